"""Laws of the steps of line dance: what a line says comes out as just that, or as a blank of its counts."""

import pytest

import stepcheck as sc
from tests.unit.drafts.test_wordings import body

ROW = "Osier Row\n8 counts, 1 wall, line dance\n\n{}\n"


def drafted(text: str) -> str:
    """Return the sheet of a description."""
    return sc.draft(text).text


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1a2 R coaster", "S(R)@1 S(L)@1a S(R)@2"),
        ("1a2 shuffle fwd RLR", "S(R)@1 S(L)@1a S(R)@2"),
        ("1&2 lock step back L-R-L", "S(L)@1 S(R)@1& S(L)@2"),
        ("1a2 L shuffle 1/4 turn L", "S(L)@1 S(R)@1a S(L)@2, turn 1/4 left"),
    ],
)
def test_a_figure_is_danced_on_the_counts_that_are_stated(said: str, wanted: str) -> None:
    """On other counts than the book's it is its movements, as many as there are counts, each on its own."""
    assert body(ROW.format(f"{said}\n3-8 Hold"), "Main")[0] == wanted


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1 R behind, sweep L from front to back\n2 Step L side", ["Step, right foot", "Step, left foot"]),
        ("1 Step R fwd, drag L\n2 Step L side", ["Step, right foot", "Step, left foot"]),
        ("1-2 Step R fwd, sweep L", ["S(R) SW(L)"]),
    ],
)
def test_what_the_other_foot_does_during_a_step_has_no_count_of_its_own(said: str, wanted: list[str]) -> None:
    """A sweep for which no count is stated is a note of its step; one that has a count is danced on it."""
    assert body(ROW.format(f"{said}\n3-8 Hold"), "Main")[:-1] == wanted


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-2 Step L fwd 1/2 turn R", ["S(L) PV S, turn 1/2 right @2"]),
        ("1 Step L fwd 1/2 turn R\n2 Step R fwd", ["Step, left foot, turn 1/2 right", "Step, right foot"]),
    ],
)
def test_a_half_turn_behind_a_step_is_a_pivot_where_it_has_a_count(said: str, wanted: list[str]) -> None:
    """The stated counts say whether the step turns, or a pivot follows it."""
    assert body(ROW.format(f"{said}\n3-8 Hold"), "Main")[:-1] == wanted


def test_a_turn_between_two_steps_of_one_foot_is_a_pivot() -> None:
    """Without counts, the foot that steps twice says that the turn took the weight from it."""
    text = "First 8: rocking chair R, step R forward half turn left, step R forward half turn left"

    assert body(ROW.format(text), "Main")[1:] == ["S(R) PV S, turn 1/2 left @2"] * 2


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-4 R fwd lock fwd scuff\n5-8 Hold", "S(R) S(L) S(R) SCUFF"),
        ("1&2 rec R L tog, step R\n3-8 Hold", "RC(R)@1 S(L)@1& S(R)@2"),
    ],
)
def test_steps_without_commas_are_as_many_as_their_counts(said: str, wanted: str) -> None:
    """The next foot, or the next place, begins the next step."""
    assert body(ROW.format(said), "Main")[0] == wanted


@pytest.mark.parametrize("said", ["Swivel heels right, centre, left, centre", "Swivel heels R, ctr, L, ctr"])
def test_heels_swivel_to_the_side_that_is_said(said: str) -> None:
    """Left and right are no feet where both feet move."""
    made = ROW.format(f"1-4 {said}\n5-8 Hold")

    assert "SWIVEL SWIVEL SWIVEL SWIVEL (right, center, left, center)" in drafted(made)
