"""The figures for blanks and breaks of a routine: those that a line can name, and among them those that it dances
already."""

from attrs import frozen

from stepcheck.books.book import Book, too_hard
from stepcheck.books.footwork import danced
from stepcheck.breaks.states import Readings, SearchError
from stepcheck.model.dance import Figure, key
from stepcheck.program.claims import register
from stepcheck.program.names import Names
from stepcheck.program.routine import Routine

ANY_LEVEL = "any"


@frozen(eq=False)
class Material:
    """The figures that a line of the routine can name, its own first.

    `known` are those that it dances already, `hard` those above its `level`.
    """

    book: Book
    figures: tuple[Figure, ...]
    known: frozenset[Figure]
    hard: tuple[Figure, ...]
    level: str
    readings: Readings


def material(routine: Routine, level: str | None = None) -> Material:
    """Return the figures for blanks and breaks of a routine.

    Args:
        routine: a routine that is well-formed.
        level: the hardest level; that of the header if left out, `any` for all.

    Raises:
        SearchError: there is no such level.
    """
    facts, program = routine.facts, routine.program
    names = Names(routine.sheet, facts, register(routine.sheet))
    book = (
        figure
        for figure in facts.book.figures()
        if key(figure.name) not in names.parts and key(figure.name) not in names.own
    )
    figures = (*names.own.values(), *book)
    used = {(key(figure.name), figure.book) for _, figure in danced(program)} if program is not None else set()
    known = frozenset(figure for figure in figures if (key(figure.name), figure.book) in used)
    said = dict(facts.header).get("level", ANY_LEVEL) if level is None else level
    hard: tuple[Figure, ...] = ()
    if said.strip().casefold() != ANY_LEVEL:
        try:
            above = too_hard(facts.book, figures, said)
        except SearchError:
            if level is not None:
                raise
            said, above = ANY_LEVEL, ()  # a header may name a level that no scheme of the book has
        hard = tuple(figure for figure in above if figure not in known and figure.book)
    readings = Readings(facts.figures, facts.movements, routine.readings == "all")
    return Material(facts.book, figures, known, hard, said, readings)
