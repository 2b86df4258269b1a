"""What a shell offers where a word of the command may be completed: figures, books, levels, parts, codes."""

import os
from collections.abc import Callable, Iterable, Iterator
from typing import Any

import click
from click.shell_completion import CompletionItem

from stepcheck.model.source import StepcheckError

Found = Callable[[click.Context], Iterable[str]]


class Offered(click.ParamType):
    """A text for which words are offered; any other is taken as well."""

    name = "text"

    def __init__(self, found: Found) -> None:
        self._found = found

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> str:
        """Return the text as it was written."""
        return str(value)

    def shell_complete(self, ctx: click.Context, param: click.Parameter, incomplete: str) -> list[CompletionItem]:
        """Return the words that begin with what has been typed, whatever its case; none where a file cannot be read."""
        begun = incomplete.casefold()
        try:
            words = dict.fromkeys(word for word in self._found(ctx) if word.casefold().startswith(begun))
        except StepcheckError:
            return []
        return [CompletionItem(_written(word)) for word in words]


def _written(word: str) -> str:
    """Return a word as it is to stand in the command; bash puts it there as it comes."""
    if not os.environ.get("_STEPCHECK_COMPLETE", "").startswith("bash"):
        return word
    return "".join(f"\\{char}" if char in " '\"\\$`&|;<>()*?[]#~!" else char for char in word)


def _shelf(context: click.Context) -> Any:
    """Return the books that the command names so far, those that are shipped where it names none."""
    from stepcheck.books import book as books

    named = context.params.get("titles") or context.params.get("book") or ()
    return books.combine(tuple(map(books.load, (named,) if isinstance(named, str) else named or books.SHIPPED)))


def _figures(context: click.Context) -> Iterable[str]:
    return _shelf(context).names()  # type: ignore[no-any-return]


def _levels(context: click.Context) -> Iterator[str]:
    for figure in _shelf(context).figures():
        yield from (
            level.name if level.scheme == "club" else f"{level.name} in {level.scheme}" for level in figure.levels
        )


def _books(context: click.Context) -> Iterator[str]:
    from stepcheck.books import book as books

    yield from books.SHIPPED
    yield from sorted(name for name in os.listdir() if name.endswith(".book"))


def _parts(context: click.Context) -> Iterator[str]:
    from stepcheck.language.syntax import PartHead
    from stepcheck.report import pipeline

    # The file stands among what is left, where the option before the cursor has no value yet.
    path = next((word for word in (context.params.get("path"), *context.args) if word), None)
    for line in pipeline.load(path).sheet.lines if path else ():
        if isinstance(line.node, PartHead):
            yield str(line.node.name)


def _codes(context: click.Context) -> Iterator[str]:
    from stepcheck.model.findings import CODES

    for code in CODES.values():
        yield from (code.id, code.name)


FIGURE, LEVEL, BOOK, PART, CODE = (Offered(one) for one in (_figures, _levels, _books, _parts, _codes))
