"""Turns on the half of a count, and several turns in one row of counts."""

import pytest

import stepcheck as sc

SHEET = "Osier Row\n4 counts, 2 walls, line dance\n\nS1\n{}\n3-4 Walk R, walk L\n"


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        (
            "1-2& Step L side, step R behind L, turn 1/4 left stepping L forward",
            ["S(L)@1 S(R)@2 S(L)@2&, turn 1/4 left (side, behind, turning forward)"],
        ),
        (
            "1&2 Step L forward, turn 1/2 left stepping R back, step L back",
            ["S(L)@1 S(R)@1& S(L)@2, turn 1/2 left (forward, turning back, back)"],
        ),
        (
            "&1-2 Turn 1/4 left stepping L side, cross R over L, hold",
            ["S(L)@&1 S(R)@1 HOLD@2, turn 1/4 left (turning side, cross)"],
        ),
        ("1&2 Step L side, step R behind L, turn 1/4 left stepping L forward", ["turn 1/4 left @2"]),
    ],
)
def test_a_turn_on_a_half_is_said_of_its_step(said: str, wanted: list[str]) -> None:
    """A turn has a place on whole counts only, so that it is of the row, and its step says that it turns."""
    made = sc.draft(SHEET.format(said))

    assert all(each in made.text for each in wanted) and not made.open


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        (
            "1-2& Turn 1/4 left stepping L forward, step R forward, pivot 1/2 left",
            ["Step, left foot, turn 1/4 left (forward)", "S(R)@1 PV S@1&, turn 1/2 left (forward)"],
        ),
        (
            "1-2& Turn 1/4 left stepping R side, cross L over R, turn 1/4 right stepping R back",
            ["Step, right foot, turn 1/4 left (side)", "S(L)@1 S(R)@1&, turn 1/4 right (cross, turning back)"],
        ),
        (
            "1-2& Step R forward, turn 1/2 right stepping L back, turn 1/2 right stepping R forward",
            ["S(R)@1 S(L)@2 S(R)@2&, turn full right (forward, turning back, turning forward)"],
        ),
        ("1-2& Step R forward, turn 1/2 right stepping L back, turn 1/4 left stepping R forward", ["? 2 counts"]),
    ],
)
def test_several_turns_in_a_row_are_cut_at_whole_counts(said: str, wanted: list[str]) -> None:
    """Those to one side within a count are one turn; to both sides they are a blank."""
    lines = [line.strip() for line in sc.draft(SHEET.format(said)).text.splitlines()]

    assert [line.split("  #")[0] for line in lines[lines.index("counts 1-4:  # S1") + 1 :]][: len(wanted)] == wanted
