"""Edits in a few words."""

import pytest

from stepcheck.language.alterations import described
from stepcheck.language.edits import (
    ChangeSwap,
    ChangeTimes,
    ChangeTurn,
    DeleteLine,
    Edit,
    FixName,
    InsertLine,
    ReplaceFigure,
    SettleReading,
)
from stepcheck.language.parser import parse
from stepcheck.language.syntax import Sheet
from stepcheck.model.source import Source

TEXT = """book: clogging
part A: 8 beats
  Triple, turn 1/4 left      # to the window
  Basic x2
  Basic | Triple
dance:
  A
"""


def sheet() -> Sheet:
    """Return the sheet that is changed."""
    return parse(Source("x", TEXT))[0]


@pytest.mark.parametrize(
    ("edits", "said"),
    [
        ([ReplaceFigure(3, "Vine")], "line 3: Vine instead of Triple"),
        ([ChangeTurn(3, 2)], "line 3: turn 1/4 right instead of turn 1/4 left"),
        ([ChangeTurn(3, None)], "line 3: turn 1/4 left taken out"),
        ([ChangeTimes(4, 4)], "line 4: Basic x4 instead of Basic x2"),
        ([ChangeTimes(5, 2, 1)], "line 5: Triple x2 instead of Triple"),
        ([ChangeSwap(7, "mirrored")], "line 7: mirrored put in"),
        ([DeleteLine(3)], "line 3: Triple, turn 1/4 left taken out"),
        ([InsertLine(4, "Vine")], "line 4: Vine put in after it"),
        ([SettleReading(1, "stomp", "takes weight", True)], "line 1: stomp: takes weight put in after it"),
        ([FixName(4, 3, 8, "Basics")], "line 4: Basics instead of Basic"),
        ([ReplaceFigure(3, "Vine"), DeleteLine(4)], "line 3: Vine instead of Triple; line 4: Basic x2 taken out"),
        ([DeleteLine(number) for number in (3, 4, 5, 7)], None),
    ],
)
def test_an_edit_is_said_by_what_it_writes(edits: list[Edit], said: str | None) -> None:
    """What changes is said, not the whole line; of more than three the number of the others."""
    made = described(sheet(), edits)
    assert said == made or (said is None and made.endswith("; 1 more"))


def test_the_same_edit_in_several_places_is_said_once() -> None:
    """One change in two places is one change."""
    text = "book: clogging\npart A: 8 beats\n  Triple\n  Triple\ndance:\n  A\n"
    edits = [ReplaceFigure(3, "Vine"), ReplaceFigure(4, "Vine")]
    assert "lines 3 and 4: Vine instead of Triple" == described(parse(Source("x", text))[0], edits)
