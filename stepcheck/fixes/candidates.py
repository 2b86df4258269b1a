"""The figures that a line of a sheet can name."""

from collections.abc import Iterable, Iterator
from functools import lru_cache

from attrs import frozen

from stepcheck.books.book import Book
from stepcheck.language.syntax import Line, Option, Sheet
from stepcheck.model.dance import Figure
from stepcheck.model.source import Source
from stepcheck.program.claims import LineFails, register
from stepcheck.program.header import Facts
from stepcheck.program.names import Names


@frozen(eq=False)
class Candidate:
    """A figure that a line can name, with the book to write behind the name if it stands in several, and whether the
    routine has it."""

    name: str
    book: str | None
    figure: Figure
    known: bool = False


def candidates(names: Names, figures: Iterable[Figure]) -> Iterator[Candidate]:
    """Yield the figures that a line of the sheet can name, prepared as the sheet reads them.

    Args:
        names: the names of the sheet.
        figures: its own figures and those of its book.
    """
    book = names.facts.book
    assert book is not None
    shelf = _shelf(book, names.facts.movements, names.facts.figures)
    for figure in figures:
        found = shelf.get(figure) if figure.book else _named(names, figure)
        if found is not None:
            yield found


@lru_cache(maxsize=32)
def _shelf(
    book: Book, movements: tuple[tuple[str, str], ...], figures: tuple[tuple[str, str], ...]
) -> dict[Figure, Candidate]:
    """Return the figures of a book as a header reads them; the same for all sheets that read them alike."""
    sheet = Sheet(Source("", ""), ())
    names = Names(sheet, Facts(book=book, movements=movements, figures=figures), register(sheet))
    found = ((figure, _named(names, figure)) for figure in book.figures())
    return {figure: candidate for figure, candidate in found if candidate is not None}


def _named(names: Names, figure: Figure) -> Candidate | None:
    """Return how a figure is written on a line; None if it cannot be danced, or cannot be told from another."""
    for book in (None, figure.book) if figure.book else (None,):
        try:
            return Candidate(figure.name, book, names.figure(Line(0, 0, None), Option(figure.name, book=book)))
        except LineFails:
            continue
    return None
