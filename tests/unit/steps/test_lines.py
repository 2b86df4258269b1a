"""Rows that are led apart: what stands before both feet land, and what a written foot begins behind."""

import pytest

import stepcheck as sc
from stepcheck.steps.lines import led_apart
from stepcheck.steps.outline import Line, Move, row_text
from stepcheck.steps.steps import Turn

BOOK = sc.load_book("line")


@pytest.mark.parametrize(
    ("row", "wanted"),
    [
        ("JUMP S(L)", ["JUMP", "S(L)"]),
        ("JUMP PV S(L)", ["JUMP", "PV S(L)"]),
        ("S JUMP S(L) S(R)", ["S JUMP", "S(L) S(R)"]),
        ("CLAP S(L)", ["CLAP S(L)"]),
        ("S(L) JUMP S(L)", ["S(L) JUMP S(L)"]),
        ("JUMP S", ["JUMP S"]),
    ],
)
def test_a_row_is_cut_before_the_foot_that_both_feet_hide(row: str, wanted: list[str]) -> None:
    """It is cut nowhere else: a foot that is written first leads it, and so does one that only silence stands before."""
    codes = [each.removesuffix(")").partition("(") for each in row.split()]
    moves = tuple(Move(code, foot, 0) for code, _, foot in codes)
    assert list(map(row_text, led_apart(Line(moves=moves), BOOK))) == wanted


def test_counts_and_turns_go_with_their_row() -> None:
    """Behind the cut counts begin at 1; a turn stands where its count does, and no row is cut within a count."""
    moves = (Move("JUMP", "", 12), Move("JUMP", "", 18), Move("S", "L", 24), Move("TCH", "R", 30))
    turn = Turn(2, "left")
    for at, first, second in ((1, 1, 0), (2, 0, 1)):
        before, behind = led_apart(Line(moves=moves, turn=turn, at=at, facing="9:00"), BOOK)
        assert (before.at, behind.at) == (first, second)
        assert (before.turn, behind.turn) == ((turn, None) if first else (None, turn))
        assert [move.tick for move in behind.moves] == [12, 18]
        assert (before.facing, behind.facing) == ("", "9:00")
    (whole,) = led_apart(Line(moves=(moves[0], Move("S", "L", 18))), BOOK)
    assert whole.moves[1].tick == 18
