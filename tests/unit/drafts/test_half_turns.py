"""Turns on the half of a count, and several turns in one row of counts."""

import pytest

import stepcheck as sc
from tests.unit.drafts.test_wordings import body

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


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-3 Full turn left travelling forward on left, right, left", "S(L) S(R) S(L), turn full left"),
        ("1-4 Full turn L stepping L, R, L, touch R", "S(L) S(R) S(L) TCH(R), turn full left"),
        ("1-2 1/2 turn R on R, L", "S(R) S(L), turn 1/2 right"),
        ("1-4 1/2 turn L walking forward L, R, L, R", "S(L) S(R) S(L) S(R), turn 1/2 left"),
        ("1-2 1/4 turn L stepping forward on left, right", "S(L) S(R), turn 1/4 left @1"),
        ("1-2 1/4 turn L stepping left forward, right together", "S(L) S(R), turn 1/4 left @1"),
    ],
)
def test_a_turn_before_a_row_of_feet_is_that_of_all_of_them(said: str, wanted: str) -> None:
    """No one step turns it alone, whatever else is on the line; a step that goes somewhere turns its own."""
    assert body(f"Osier Row\n8 counts, 2 walls, line dance\n\n{said}\n", "Main") == [wanted]


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-4 1/4 Monterey R: point R, turn & close R, point L, close L", "PT(R) CL(R) PT(L) CL(L), turn 1/4 right @2"),
        ("1-4 Jazz box 1/4 R: cross R, L back, R side with turn, L fwd", "Jazz Box, right foot, turn 1/4 right @3"),
        ("1-4 Vine L 1/4 L: L side, R behind, turning step L fwd, touch R", "Vine, left foot, turn 1/4 left @3"),
        ("1&2 Sailor 1/2 L: L behind turning, R side, L fwd", "Sailor Step, left foot, turn 1/2 left @1"),
    ],
)
def test_a_step_that_turns_has_the_turn_of_the_title(said: str, wanted: str) -> None:
    """Where it alone says that it turns, and nothing how far."""
    made = sc.draft(f"Osier Row\n{said[2]} counts, 4 walls, line dance\n\n{said}\n")

    assert wanted in made.text and not made.open


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-2 Turn 1/2 RF stepping RF beside LF, LF point side", "S(R) PT(L), turn 1/2 right @1"),
        ("1-2 Step RF fwd, 1/2 turn LF", "S(R) PV S, turn 1/2 left @2"),
        ("1-2 Step RT fwd, pivot 1/4 LT (weight LT)", "S(R) PV S(L), turn 1/4 left @2"),
        ("1-2 LF side making 1/4 turn RF, touch RF beside", "S(L) TCH(R), turn 1/4 right @1"),
    ],
)
def test_a_foot_behind_a_turn_is_its_side(said: str, wanted: str) -> None:
    """`1/2 turn RF` is to the right, as `1/2 turn R` is: a foot of which no word says what it does."""
    made = sc.draft(SHEET.format(said))

    assert wanted in made.text and not made.open


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-2 Step R forward, pivot 1/4 (9:00)", "S(R) PV S, turn 1/4 left @2, facing 9:00"),
        ("1-2 Turn 1/4 stepping RF side, LF beside (3:00)", "S(R) S(L), turn 1/4 right @1, facing 3:00"),
        ("1&2 Sailor R with a quarter turn\n(now facing 3:00)", "Sailor Step, right foot, turn 1/4 right, facing 3:00"),
        ("1-2 Turn 1/4 stepping RF side, step LF over RF turning 1/4 left (12:00)", "Step, right foot, turn 1/4 right"),
    ],
)
def test_the_side_of_a_turn_is_that_which_leads_to_the_stated_facing(said: str, wanted: str) -> None:
    """Where it is known how dancers face before a turn, only one side leads from there to the wall that is claimed."""
    made = sc.draft(SHEET.format(said))

    assert wanted in made.text and not made.open
    assert not any("half turn" in each for each in made.assumed)


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-2 Step R forward, pivot 1/2 (6:00)", "S(R) PV S, turn 1/2 left @2, facing 6:00"),
        ("1-2 LF fwd, half turn", "S(L) PV S, turn 1/2 right @2"),
        ("1-2 Cross R over L, unwind 1/2 (weight on L)", "S(R) PV S(L), turn 1/2 left @2"),
        ("1-2 Point L to side, 1/2 turn stepping L beside R (6:00)", "PT(L) S(L), turn 1/2 left @2, facing 6:00"),
    ],
)
def test_a_half_turn_without_a_side_goes_as_its_figure_does(said: str, wanted: str) -> None:
    """Both ways lead to the stated wall: a pivot goes away from the foot that steps, a Monterey to the one that
    points, which is assumed, and said."""
    made = sc.draft(SHEET.format(said))

    assert wanted in made.text and not made.open
    assert "a half turn off a step is away from its foot, and from a point to its foot" in made.assumed


@pytest.mark.parametrize(
    "said",
    [
        "1-2 Step R forward, pivot 1/4",
        "1-2 Step R forward, pivot 1/4 (6:00)",
        "1-2 1/4 turn RF fwd, LF beside",
        "1-2 Step R back, pivot 1/2 (6:00)",
        "1-2 Cross R behind L, unwind 1/2 (weight on L)",
        "1-2 Full turn stepping R, L",
        "1&2 Shuffle R 1/2 turn (6:00)",
    ],
)
def test_a_turn_that_may_go_to_either_side_is_open(said: str) -> None:
    """It is a blank of its counts with its words beside it, and named: a sheet with a turn without a side is none."""
    made = sc.draft(SHEET.format(said))

    assert f"? 2 counts  # {said}" in made.text and f"line 5: {said}" in made.open
    assert sc.loads(made.text).program is not None
