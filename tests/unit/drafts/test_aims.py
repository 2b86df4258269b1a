"""The sides of turns that say none."""

from stepcheck.books import book as books
from stepcheck.drafts.aims import sided
from stepcheck.pages.reader import Opened, Reader
from stepcheck.steps.outline import Block, Line, Move, Outline, Part
from stepcheck.steps.steps import Turn
from stepcheck.steps.vocabulary import load

QUARTER = Line(moves=(Move("S", "R", 12),), counts=1, turn=Turn(2), at=1, facing="3:00", source=1)


def test_a_turn_goes_to_the_wall_that_is_said_where_that_is_known() -> None:
    """A quarter to 3:00 from the front is to the right; danced several times it begins elsewhere, and is open."""
    once, reader = (
        Outline((), "line", parts=(Part("Main", (), (QUARTER,)),)),
        Reader(["step R 1/4 (3:00)"], load("line"), books.load("line")),
    )
    made = sided(once, reader).parts[0].lines[0]
    assert isinstance(made, Line) and made.turn == Turn(2, "right") and reader.open == []

    twice = Outline((), "line", parts=(Part("Main", (), (Block("2 times", (QUARTER,)),)),))
    block = sided(twice, reader).parts[0].lines[0]
    assert isinstance(block, Block) and isinstance(block.lines[0], Line) and block.lines[0].blank
    assert reader.open == [Opened(1, "step R 1/4 (3:00)")]
