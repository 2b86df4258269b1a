"""Restarts and tags of a line dance: on which walls, after how many counts, told once or several times."""

import pytest

import stepcheck as sc
from tests.unit.drafts.test_wordings import body, danced

SHEET = (
    "Osier Row\n32 counts, 2 walls, line dance\n{}\n\n"
    "S1\n1-8 Vine right, vine left\n{}S2\n1-8 Vine right, vine left\n{}"
    "S3\n1-8 Vine right, vine left\nS4\n1-8 Vine right, vine left\n{}\n"
)
CUT = ["Main", "Main, first 8 counts", "Main x2", "Main, first 16 counts", "Main until the music ends"]


@pytest.mark.parametrize(
    ("above", "first", "second", "below"),
    [
        ("RST w2 after 8, w5 after 16", "   *RST w2 (becomes w3)\n", "   **RST w5\n", ""),
        ("Restarts: 2", "*RESTART 1: WALL 2 (so walls 3 & 4 are sideways!)\n", "**RESTART 2: WALL 5\n", ""),
        ("", "RESTART 1 - wall 2\n", "RESTART 2 - wall 5\n", ""),
        (
            "Restarts: two",
            "",
            "",
            "Restart 1: wall 2 after 8 counts\nRestart 2: wall 5 after 16 counts (wall 6 begins at the back)",
        ),
        ("2 restarts", "", "", "Restart 1: wall 2 after 8 counts\nRestart 2: wall 5 after 16 counts"),
    ],
)
def test_a_restart_is_danced_once_however_often_it_is_told(above: str, first: str, second: str, below: str) -> None:
    """Its number is no wall, a wall in a bracket behind its own is another one, and a line over the dance says it
    again."""
    text = SHEET.format(above, first, second, below)

    assert [*filter(None, danced(text))] == CUT
    assert not [said for said in sc.draft(text).open if "estart" in said or "RST" in said]


@pytest.mark.parametrize("said", ["Restarts: 3", "Restarts: 2   Tags: 1"])
def test_how_many_restarts_a_header_counts_is_open_where_the_dance_has_others(said: str) -> None:
    """A number that the lines of the dance don't bear out is named."""
    text = SHEET.format(said, "Restart here on wall 2\n", "Restart here on wall 5\n", "")

    assert any(said.split("   ")[-1] in each for each in sc.draft(text).open)
    assert [*filter(None, danced(text))] == CUT


@pytest.mark.parametrize(
    "said",
    [
        "Tag: after the 2nd and 4th time through (both times you're at the front) add one vine right and touch",
        "Tag: after the second and fourth time (facing front both times) do a vine right with a touch",
        "Tag: after the second, and fourth walls (front): vine right, touch",
    ],
)
def test_a_tag_is_danced_behind_each_wall_that_is_named(said: str) -> None:
    """Ordinals in a row are as many walls."""
    text = SHEET.format("", "", "", said)

    assert danced(text) == ["Main x2", "expect facing front", "Tag", "Main x2", "expect facing front", "Tag", *CUT[-1:]]
    assert body(text, "Tag") == ["Vine, right foot"]


TABLE = "Osier Row\n8 counts, 2 walls, line dance\n\nCounts\tSteps\tFacing\n1-4\tVine right, touch\t12\n5-8\tVine left, touch\t12\n{}\n"


def test_a_column_of_facings_holds_no_length_of_a_tag() -> None:
    """The hour in it is where the tag is danced."""
    text = (
        TABLE.format("Tag\tend of walls 2 and 4\tSway R, L, R, L (4 ct)\t12")
        .replace("Counts\tSteps\tFacing", "Sec\tCounts\tSteps\tFacing")
        .replace("\n1-4", "\n1\t1-4")
        .replace("\n5-8", "\n\t5-8")
    )

    assert body(text, "Tag") == ["S(R) S(L) S(R) S(L)"]
    assert danced(text)[:3] == ["Main x2", "expect facing 12:00", "Tag"]


def test_a_facing_under_a_restart_is_where_it_faces() -> None:
    """It is told of the wall that is cut, and not of the dance."""
    text = TABLE.format("\nRestart:\tWall 3, after count 4\nFaces:\t6:00")

    assert danced(text)[:3] == ["Main x2", "Main, first 4 counts", "expect facing 6:00"]
    assert "facing 6:00" not in " ".join(body(text, "Main"))
    assert "Restart::" not in sc.draft(text).text


@pytest.mark.parametrize(
    "said", ["TAG: End of wall 2: 8 counts: repeat section 1", "Tag after wall 2: repeat section 1"]
)
def test_a_tag_that_repeats_a_section_is_not_danced_in_the_dance(said: str) -> None:
    """Its lines are those of the tag."""
    text = SHEET.format("", "", "", said)

    assert len(body(text, "Main")) == 8
    assert body(text, "Tag") == ["Vine, right foot", "Vine, left foot"]
    assert danced(text)[:2] == ["Main x2", "Tag"]
