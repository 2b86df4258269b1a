"""Levels of difficulty: which is meant by the words for one, and which figures are above it."""

from stepcheck.books.book import Book
from stepcheck.model.dance import Figure, Level, key
from stepcheck.model.source import SearchError


def too_hard(book: Book, figures: tuple[Figure, ...], said: str) -> tuple[Figure, ...]:
    """Return the figures above a level, or without one of its scheme.

    Args:
        book: the book whose schemes say which level is the harder one.
        figures: the figures.
        said: the level in words: `easy`, `basic plus in convention`, `intermediate, club scheme`.

    Raises:
        SearchError: there is no such level, or none of the figures has a level of its scheme.
    """
    most = _meant(book, figures, said)
    top = book.rank(most)
    assert top is not None

    def fits(level: Level) -> bool:
        rank = book.rank(level)
        return key(level.scheme) == key(most.scheme) and rank is not None and rank <= top

    return tuple(figure for figure in figures if not any(map(fits, figure.levels)))


def _meant(book: Book, figures: tuple[Figure, ...], said: str) -> Level:
    """Return the level that is meant; without a scheme, that of the first one that has it."""
    graded = {level.scheme: None for figure in figures for level in figure.levels}
    for apart in (" in ", ","):
        name, found, scheme = said.partition(apart)
        if found:
            level = Level(scheme.strip().removesuffix("scheme").strip(), name.strip())
            if key(level.scheme) not in map(key, graded):
                raise SearchError(f"no figure of this book is graded in {level.scheme}")
            if book.rank(level) is not None:
                return level
    for scheme in graded:
        if book.rank(Level(scheme, said.strip())) is not None:
            return Level(scheme, said.strip())
    names = dict.fromkeys(level.name for figure in figures for level in figure.levels)
    raise SearchError(f"there is no level {said!r}; the levels of the figures are {', '.join(names)}")
