"""Where the command writes: answers to stdout or a file, messages to stderr.

A reader that leaves early, as in `stepcheck … | head`, is no error: what is written from then on goes nowhere, and the
exit status is what it would have been.
"""

import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from stepcheck.language.writer import is_stdout, reason, writing
from stepcheck.model.source import SourceError
from stepcheck.model.words import visible


def ready() -> None:
    """Open nothing in the place of each stream that the command was started without."""
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        if getattr(sys, name) is None:
            setattr(sys, name, open(os.devnull, mode, encoding="utf-8"))  # noqa: SIM115 - it stays open to the end


def write(said: str) -> None:
    """Write to stdout, in UTF-8 wherever it goes.

    Raises:
        SourceError: it cannot be written, the disk being full or the like.
    """
    try:
        sys.stdout.buffer.write(said.encode("utf-8", "backslashreplace"))
        sys.stdout.buffer.flush()
    except BrokenPipeError:
        forsake(sys.stdout.fileno())
    except OSError as error:
        forsake(sys.stdout.fileno())
        raise SourceError(f"the answers cannot be written: {reason(error)}") from error


def remark(said: str) -> None:
    """Write a line to stderr."""
    try:
        sys.stderr.write(f"{said}\n")
        sys.stderr.flush()
    except OSError:
        forsake(sys.stderr.fileno())  # there is nowhere left to say so


def complain(said: str) -> None:
    """Write a message of stepcheck's own to stderr, which no name of a file in it can steer."""
    remark(f"stepcheck: {visible(said)}")


@contextmanager
def destination(output: str | None, *, force: bool = False, sheet: bool = False) -> Iterator[Callable[[str], None]]:
    """Yield what writes the answers: to the file `output`, as `files.writing` does, or to stdout.

    Raises:
        SourceError: the file cannot be written, which is said before any sheet is checked.
    """
    if output is None or is_stdout(output):
        yield write
        return
    with writing(output, force=force, sheet=sheet) as put:
        yield lambda said: put(said.encode("utf-8", "backslashreplace"))


def forsake(stream: int) -> None:
    """Have all that is written to a stream from now on go nowhere, what the interpreter empties on its way out too."""
    nothing = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nothing, stream)
    os.close(nothing)
