"""Hypothesis strategies for the tests of other tools: books, the text of sheets, and routines.

They need hypothesis, which `pip install 'stepcheck[strategies]'` brings.
"""

from collections.abc import Callable
from typing import Literal, get_args

from stepcheck.books.book import Book, from_text
from stepcheck.model.choices import Reading
from stepcheck.model.source import Source
from stepcheck.program.routine import Routine
from stepcheck.random_sheets import BOOK, Pick, Taste, Writer, listed
from stepcheck.report import pipeline

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
    return _written(lambda pick: _sound(pick) if sound else Writer(pick, huge, taste).sheet())


@st.composite
def _written(draw: st.DrawFn, write: Callable[[Pick], str]) -> str:
    return write(lambda options: draw(st.sampled_from(options)))


def _sound(pick: Pick) -> str:
    """Write a sheet in which every claim holds."""
    book = pick(("line", "clogging"))
    unit = "counts" if book == "line" else "beats"
    parts: list[str] = []
    names = "ABC"[: pick((1, 2, 3))]
    for name in names:
        body, beats, eighths = [], 0, 0
        for _ in range(pick((1, 2, 3))):
            (figure, length), times = pick(BOOK[book]), pick((1, 2, 3))
            side = pick((0, 0, 1, -1))
            body.append(f"  {figure} x{times}, {('no turn', 'turn 1/4 right', 'turn 1/4 left')[side]}")
            beats, eighths = beats + length * times, eighths + 2 * side * times
        wall = ("front", "right wall", "back", "left wall")[eighths // 2 % 4]
        parts += [f"part {name}: {beats} {unit}, front to {wall}", *body, ""]
    dance = [f"  {pick(names)} x{pick((1, 2))}" for _ in range(pick((1, 2, 3)))]
    unused = [f"  {name}" for name in names if not any(row.startswith(f"  {name} ") for row in dance)]
    return "\n".join([f"book: {book}", "", *parts, "dance:", *dance, *unused]) + "\n"


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


MOVES = {
    "step": ("S", "free foot, takes weight"),
    "touch": ("TCH", "free foot, no weight"),
    "hop": ("HOP", "supporting foot, takes weight"),
    "jump": ("JUMP", "both feet, takes weight"),
}
"""Movements that can follow one another in any order, each with its form and who makes it."""
NAMES = listed("Ford; Lock; Weir; Pier; Swing; Gate; Wharf; Eddy; Buoy; Mole; Barge; Quay; Tarn; Sill")


def book_texts() -> st.SearchStrategy[str]:
    """Return a strategy for the text of books of figures, as a `.book` file has it.

    Nothing in it is wrong: `lint_book` has notes at most, such as on two figures that are danced alike.  Its figures
    can be danced from either foot.
    """
    return _written(_book)


def _book(pick: Pick) -> str:
    """Write a book."""
    below = pick(("", "line", "clogging"))
    lines = [f"book: {pick(('Weir Hall', 'Ferry', 'Old Lock'))}"]
    lines += [f"on top of: {below}"] if below else [f"tradition: {pick(('line', 'clogging'))}"]
    lines += ["", "sources:", "  hall: a sheet on the board (invented)", "", "levels:", "  hall: easy, hard", ""]
    lines += ["movements:"]
    for name, (form, who) in MOVES.items():
        lines += [f"  {name}: {form}", f"    {who}", "      from: hall"]
    lines += ["  clunk: CLK", "    with weight (usual): free foot, takes weight", "    bare: free foot, no weight"]
    lines += ["", "figures:"]
    forms = (*(form for form, _ in MOVES.values()), "CLK")
    for name in dict.fromkeys(pick(NAMES) for _ in range(pick((1, 2, 3, 5)))):
        turn = pick(("", ", turn 1/4 left", ", turn 1/2 right"))
        rows = [[pick(forms) for _ in range(pick((1, 2, 4, 6)))] for _ in range(pick((1, 1, 2)))]
        if len(rows) == 1:
            lines.append(f"  {name}{turn}: {' '.join(rows[0])}")
        else:
            labels = ("as danced here (usual)", "as it was")
            lines += [
                f"  {name}{turn}",
                *(f"    {label}: {' '.join(row)}" for label, row in zip(labels, rows, strict=True)),
            ]
        lines += [f"    also: Old {name}"] * pick((0, 1)) + [f"    level: {pick(('easy', 'hard'))} in hall"] * pick(
            (0, 1)
        )
    return "\n".join(lines) + "\n"


def books() -> st.SearchStrategy[Book]:
    """Return a strategy for books of figures, as `load_book` gives them; see `book_texts`."""
    return book_texts().map(lambda text: from_text(Source("drawn.book", text)))
