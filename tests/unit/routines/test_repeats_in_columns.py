"""Repeats behind a running list, behind a figure in its column, with beats beside them, and with a change."""

import pytest

import stepcheck as sc

TOP = "Osier Row (clogging)\nwait 8, left foot lead\n\n"
ORDER = "\n\nB: 4 Basics\n\nOrder: A B A A\n"


@pytest.mark.parametrize(
    "said",
    [
        "A (32)   2 Triples - 2 Basics - 1 Fancy Dbl - REPEAT",
        "A (32 beats): 2 Triples / 2 Basics / Fancy Double / RPT",
        "A (32)\n2 Triples\n2 Basics, Fancy Double - Repeat",
        "PART A\n[8] 2 Triples\n[4] 2 Basics\n[4] Fancy Double\n[16] Repeat Part A",
        "PART A\n2 Triples - 8\n2 Basics - 4\nFancy Double - 4\nRepeat all of Part A - 16",
    ],
)
def test_a_repeat_in_capitals_or_with_its_beats_is_of_the_part(said: str) -> None:
    """It is danced in the part, whether or not the order has the part twice in a row here and there."""
    made = sc.draft(TOP + said + ORDER)

    assert "part A: 32 beats\n  2 times:" in made.text and "    Basic x2\n    Fancy Double\n" in made.text
    assert not made.open


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Cowboy L, turn 1/2 L\nCowboy   repeat to face front", "  Cowboy, turn 1/2 left, facing front\n"),
        ("Cowboy L, turn 1/2 L\nCowboy   same, to the front", "  Cowboy, turn 1/2 left, facing front\n"),
        ("Joey L\nJoey   repeat with right foot lead", "  Joey, right foot\n"),
        ("Joey L\nJoey   same foot again", "  Joey, left foot\n  Joey, left foot\n"),
        ("Joey L\nJoey R   repeat with right foot lead", "  Joey, left foot\n  Joey, right foot\n"),
    ],
)
def test_a_figure_before_the_word_again_is_danced_once_more(said: str, wanted: str) -> None:
    """It has the turn and the foot of its last time, but for what is said."""
    made = sc.draft(f"{TOP}A:\n{said}{ORDER}")

    assert wanted in made.text.split("part B")[0] and not made.open


@pytest.mark.parametrize("way", ["Triples moving back", "Triples backing up", "Triples back"])
def test_a_figure_may_go_elsewhere_when_it_is_repeated(way: str) -> None:
    """The lines are danced again, and the figure has its way in them."""
    made = sc.draft(f"{TOP}A:\n2 Triples fwd - 8\n2 Joeys - 8\nRepeat all, {way}   16{ORDER}")

    assert "  Triple x2 (forward)\n  Joey x2\n  Triple x2 (back)" in made.text and not made.open


def test_other_steps_behind_a_repeat_are_open() -> None:
    """A figure that is not among the lines is no way of theirs."""
    made = sc.draft(f"{TOP}A:\n2 Triples - 8\n2 Joeys - 8\nRepeat all, Chains moving back   16{ORDER}")

    assert "  ? 16 beats" in made.text and len(made.open) == 1


def test_a_wall_for_each_time_is_where_that_time_ends() -> None:
    """As many walls as more times: none of them is where all of it ends."""
    made = sc.draft(f"{TOP}A:\nTriple\nBasic, 1/4 L\nRepeat 3 more times, face 9:00, 6:00, 3:00{ORDER}")

    assert "    1st time only:\n      expect facing 9:00\n" in made.text
    assert "    3rd time only:\n      expect facing 3:00\n" in made.text
    assert "\n  expect facing" not in made.text and not made.open


def test_more_walls_than_times_are_open() -> None:
    """Of which time each is, nothing says."""
    assert sc.draft(f"{TOP}A:\nTriple\nBasic, 1/4 L\nRepeat to face 9:00, 6:00 and 3:00{ORDER}").open


_HEADS = "Alder Row (clogging)\nwait 8, left foot lead\n\nBeats\tStep\tFootwork\tFeet\tWhere\nPART A\n"


@pytest.mark.parametrize(
    ("row", "wanted"),
    [
        ("8\t2 Chains\tDS RS RS RS\tL RL RL RL\tL and R", "Chain x2, left foot, 8 beats"),
        ("8\t2 Chains\tDS RS RS RS\t\tright, then left", "Chain x2, right foot, 8 beats"),
        ("8\t2 Joeys\tDS BA BA BA BA BA S\tL RLRLRL\tL, then R w/ opp ft", "Joey x2, left foot, 8 beats"),
        ("4\tTriple\tDS DS DS RS\tL-R-L-RL\tleft", "Triple, left foot, 4 beats (to the left)"),
        ("8\t2 Chains\tDS RS RS RS\tR LR LR LR\tL and R", "Chain x2, right foot, 8 beats (to the left, to the right)"),
    ],
)
def test_a_cell_of_as_many_sides_as_times_says_the_foot_of_each(row: str, wanted: str) -> None:
    """Behind the feet of one time they are no third and fourth foot; where these begin on another one, they are where
    it goes."""
    text = sc.draft(f"{_HEADS}{row}\n").text

    assert wanted == text.split("part A:\n")[1].splitlines()[0].strip().split("  #")[0]
