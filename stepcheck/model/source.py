"""The text of a sheet and places in it."""

import os
import stat
from types import UnionType
from typing import Any

from attrs import field, frozen

MAX_BYTES = 8_000_000
MAX_LINES = 120_000
MAX_COLUMNS = 2_000
ROUTINE = "a routine, as `load` and `loads` give it (`check_file` takes a path)"
BOOK = "a book, as `books.load` gives it"
LONGEST = 80  # characters of a value that is shown


class StepcheckError(Exception):
    """The root of every exception that stepcheck raises on purpose."""


class SearchError(StepcheckError, ValueError):
    """A question that cannot be asked: no such state, level, figure or length."""


class WrongValue(StepcheckError, TypeError):
    """A value of a kind that a function does not take."""


class SourceError(StepcheckError, OSError):
    """A file that cannot be read at all: missing, a folder, no permission, a link that leads nowhere."""


@frozen(order=True)
class Span:
    """A stretch of text.

    **Invariant:** the end is exclusive and not before the start.

    Attributes:
        line: where it begins, from 1.
        column: where it begins, in code points from 1.
        end_line: where it ends, from 1.
        end_column: where it ends, in code points from 1, exclusive.
    """

    line: int
    column: int
    end_line: int
    end_column: int


@frozen
class Source:
    """A text with its name.

    **Invariant:** `text` has no byte-order mark and only ``\\n`` as a line end.

    Attributes:
        path: what it is called by.
        text: the text.
        raw: the text as the file has it, with its mark and line ends; empty where it is `text`.
        lines: its lines, without their ends.
    """

    path: str
    text: str = field(repr=False)
    raw: str = field(default="", repr=False, eq=False)
    lines: tuple[str, ...] = field(init=False, repr=False, eq=False)

    @lines.default
    def _split(self) -> tuple[str, ...]:
        return tuple(self.text.split("\n"))

    def line(self, number: int) -> str:
        """Return line `number` (from 1), or an empty text beyond the end."""
        return self.lines[number - 1] if 0 < number <= len(self.lines) else ""

    def whole_line(self, number: int) -> Span:
        """Return the span of line `number` without its indentation."""
        text = self.line(number)
        start = len(text) - len(text.lstrip()) + 1
        return Span(number, start, number, max(start, len(text.rstrip()) + 1))


def read_bytes(path: str | os.PathLike[str]) -> bytes:
    """Return the bytes of the file at `path`, at most one more than `MAX_BYTES`.

    Raises:
        SourceError: it cannot be opened, or is not a plain file.
    """
    require(path, str | os.PathLike, "the path of a file")
    name = os.fspath(path)
    try:
        about = os.stat(name)
        if stat.S_ISDIR(about.st_mode):
            raise SourceError(f"{name} is a folder, not a sheet")
        if not stat.S_ISREG(about.st_mode):
            raise SourceError(f"{name} is not a plain file")
        with open(name, "rb") as file:
            return file.read(MAX_BYTES + 1)
    except SourceError:
        raise
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise SourceError(f"{name} cannot be read: {reason.lower()}") from error


def require(value: object, kinds: type | UnionType, what: str) -> None:
    """Refuse a value that is none of `kinds`; `what` says what is taken.

    Raises:
        WrongValue: it is none of them.
    """
    if not isinstance(value, kinds):
        given = "None" if value is None else f"{value!r}, of the type {type(value).__name__}"
        raise WrongValue(f"this takes {what}, not {given if len(given) < LONGEST else type(value).__name__}")


def each(names: Any) -> tuple[Any, ...]:
    """Return names, or numbers, as a row; a lone one is a row of one, as it is meant."""
    return (names,) if isinstance(names, str | int) else tuple(names)


def plain(text: str) -> str:
    """Return `text` without a byte-order mark and with ``\\n`` line ends."""
    return text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
