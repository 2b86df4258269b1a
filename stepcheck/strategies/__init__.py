"""Hypothesis strategies for the tests of other tools: books, the text of sheets, and routines.

They need hypothesis, which `pip install 'stepcheck[strategies]'` brings.
"""

from collections.abc import Callable
from typing import Literal, get_args

from stepcheck.books.book import Book, from_text
from stepcheck.model.choices import Reading
from stepcheck.model.source import Source
from stepcheck.program.routine import Routine
from stepcheck.report import pipeline
from stepcheck.strategies.pieces import Pick, Taste
from stepcheck.strategies.random_sheets import Writer
from stepcheck.strategies.sound import random_book, sound_sheet

try:
    from hypothesis import strategies as st
except ModuleNotFoundError as error:
    raise ModuleNotFoundError(
        "stepcheck.strategies needs hypothesis: pip install 'stepcheck[strategies]'", name="hypothesis"
    ) from error

__all__ = ["Taste", "book_texts", "books", "routines", "sheets"]


def sheets(huge: bool = False, taste: Taste | Literal[""] = "", sound: bool = False) -> st.SearchStrategy[str]:
    """Return a strategy for the text of sheets.

    Most are well-formed, and most have something refuted in them.

    Args:
        huge: whether repeats go up to 10**9.
        taste: what they have more of.
        sound: whether every claim is to hold: such sheets are plain, with claims about lengths and facings.

    Raises:
        UnknownOption: there is no such taste.
    """
    if taste and taste not in get_args(Taste):
        raise pipeline.UnknownOption(f"there is no taste {taste!r}; the tastes are {', '.join(get_args(Taste))}")
    return _written(lambda pick: sound_sheet(pick) if sound else Writer(pick, huge, taste).sheet())


@st.composite
def _written(draw: st.DrawFn, write: Callable[[Pick], str]) -> str:
    return write(lambda options: draw(st.sampled_from(options)))


def routines(
    huge: bool = False, taste: Taste | Literal[""] = "", sound: bool = False, readings: Reading = "usual"
) -> st.SearchStrategy[Routine]:
    """Return a strategy for routines, as `loads` gives them: well-formed, so that each has a program.

    Args:
        huge: as for `sheets`.
        taste: as for `sheets`.
        sound: as for `sheets`.
        readings: as for `loads`.
    """
    for book, figure in (("clogging", "Triple"), ("line", "Vine")):  # loading takes longer than a draw may
        pipeline.loads(f"book: {book}\ndance:\n  {figure}\n")
    made = sheets(huge, taste, sound).map(lambda text: pipeline.loads(text, readings=readings))
    return made.filter(lambda routine: routine.well_formed)


def book_texts() -> st.SearchStrategy[str]:
    """Return a strategy for the text of books of figures, as a `.book` file has it.

    Nothing in it is wrong: `lint_book` has notes at most, such as on two figures that are danced alike.  Its figures
    can be danced from either foot.
    """
    return _written(random_book)


def books() -> st.SearchStrategy[Book]:
    """Return a strategy for books of figures, as `load_book` gives them; see `book_texts`."""
    return book_texts().map(lambda text: from_text(Source("drawn.book", text)))
