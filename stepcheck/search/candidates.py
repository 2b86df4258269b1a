"""What may stand on a line in a search: the figures that it can name, and the fillings of its blanks.

The most favourable filling is assumed: a blank row may have any effect; whether a row with that effect exists is for
`breaks.fill` to say.
"""

from collections.abc import Iterator
from functools import lru_cache

from attrs import evolve, frozen

from stepcheck.books.book import Book
from stepcheck.breaks.material import Material
from stepcheck.language.syntax import Line, Option, Sheet
from stepcheck.model.dance import MOST_TIMES, Body, Figure, Gap, Item, Repeat, Step, Weight
from stepcheck.model.items import Mapped, every
from stepcheck.model.source import Source
from stepcheck.program.claims import LineFails, register
from stepcheck.program.header import Facts
from stepcheck.program.names import Names
from stepcheck.search.transitions import Transition, Transitions, Way


@frozen(eq=False)
class Candidate:
    """A figure that a line can name, with the book to write behind the name if it stands in several, and whether the
    routine has it."""

    name: str
    book: str | None
    figure: Figure
    known: bool = False


def candidates(names: Names, stuff: Material) -> Iterator[Candidate]:
    """Yield the figures of some material that a line of the sheet can name, prepared as the sheet reads them."""
    shelf = _shelf(names.facts.book, names.facts.movements, names.facts.figures)
    hard = {*stuff.hard}
    for figure in (one for one in stuff.figures if one not in hard):
        found = shelf.get(figure) if figure.book else _named(names, figure)
        if found is not None:
            yield evolve(found, known=True) if figure in stuff.known else found


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


TURNS = tuple(range(-8, 9))


def wishes(transitions: Transitions, bodies: tuple[tuple[Body, int], ...]) -> Iterator[tuple[Transition, ...]]:
    """Yield the transitions of a line in each of its slots, for each filling of its blanks.

    Args:
        transitions: what figures do.
        bodies: for each slot its items, and -1 where turns are mirrored, else 1.
    """
    gap = next((item for body, _ in bodies for item in body if isinstance(item, Gap)), None)
    items = [item for body, _ in bodies for item in every(body)]
    if gap is not None:
        yield from ((one,) * len(bodies) for one in _rows(transitions, gap.ticks))
        return
    counts = any(isinstance(one, Repeat) and one.times is None for one in items)
    turns = any(isinstance(one, Step) and one.blank for one in items)
    for times in range(1, MOST_TIMES + 1) if counts else (1,):
        for turn in TURNS if turns else (0,):
            yield tuple(transitions.body(_filled(body, times, sign * turn)) for body, sign in bodies)


def _rows(transitions: Transitions, ticks: int) -> Iterator[Transition]:
    """Yield the possible transitions of a row; from the other foot it is mirrored, but written turns stay."""
    for turn in TURNS:
        for other in {turn, -turn}:
            for ends in ((0, 1), (1, 0), (Weight.BOTH, Weight.BOTH)):
                ways = tuple((Way(ends[weight], (other, turn)[weight], ticks),) for weight in (0, 1))
                row = (*ways, tuple(dict.fromkeys(ways[1] + ways[0])))
                yield row * len(transitions.assignments)


def _filled(body: Body, times: int, turn: int) -> Body:
    def change(item: Item) -> Body:
        match item:
            case Step(blank=True):
                return (evolve(item, turn=turn, blank=False),)
            case Repeat(times=None):
                return (evolve(item, times=times),)
        return (item,)

    return Mapped(change).body(body)
