"""Rows of codes below a line of several cues, or of several times of one."""

import pytest

import stepcheck as sc


def drafted(said: str) -> tuple[list[str], tuple[object, ...]]:
    """Return the lines of a part of a clogging routine, without their comments, and what is open."""
    made = sc.draft(f"Osier Row\nclogging, easy\nleft foot lead\n\nPart A\n{said}\n\nPart B\n8 Basics   16\n")
    inside = made.text.partition("\npart A:")[2].partition("\npart B:")[0]
    return [line.partition("#")[0].strip() for line in inside.splitlines() if line.startswith("  ")], made.open


@pytest.mark.parametrize(
    "under",
    [
        "   DS RS DS RS STO STO   6",
        "   DS  R  S  DS  R  S  STO  STO\n   L   R  L  R   L  R  L    R",
        "   DS  R  S  DS  R  S  STO  STO\n   L   R  L  R   L  R  L    R\n   &1  &  2  &3  &  4  5    6",
    ],
)
def test_a_row_below_several_cues_that_is_all_of_them_tells_them_once_more(under: str) -> None:
    """Steps in words among the cues have their movements in it; nothing is danced twice."""
    said, opened = drafted(f"2 Basics, stomp L, stomp R\n{under}")

    assert said == ["Basic x2, left foot" if "R  L" in under else "Basic x2", "STO(L) STO(R)"]
    assert not opened


def test_a_row_below_several_cues_on_other_beats_leaves_its_steps_open() -> None:
    """Counts below the row that make the stomps later than the words do are no telling of these."""
    rows = "   DS  R  S  STO  STO\n   L   R  L  R    L\n   &1  &  2  4    6"

    assert drafted(f"Basic, stomp R, stomp L\n{rows}")[1]


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Chain x2\n  DS RS RS RS\n  DS RS RS RS   8", "Chain x2"),
        ("2 Triples\n  DS DS DS RS\n  DS DS DS RS (1/4 R)   8", "Triple x2, turn 1/4 right on 2nd"),
        ("2 Triples, 2nd one 1/2 L\n  DS DS DS RS   4\n  DS DS DS RS (1/2 L)   4", "Triple x2, turn 1/2 left on 2nd"),
    ],
)
def test_a_row_below_its_cue_stands_once_for_each_time(said: str, wanted: str) -> None:
    """As many like rows as a cue has times are these times; a turn behind the last is that one's."""
    assert drafted(said) == ([wanted], ())


def test_more_rows_than_times_are_danced() -> None:
    """A third row below two times is one of its own; so is one with another turn than the words have."""
    assert len(drafted("2 Triples\n  DS DS DS RS\n  DS DS DS RS\n  DS DS DS RS")[0]) == 2
    assert len(drafted("2 Triples, 2nd one 1/2 L\n  DS DS DS RS\n  DS DS DS RS (1/4 R)")[0]) == 2


def test_a_row_below_one_figure_on_each_foot_is_the_footwork_of_both() -> None:
    """What no book has is known by it wherever the line names it."""
    said, opened = drafted("Hazel left, Hazel right\n   DS RS RS RS   8")

    assert said == ["Hazel, left foot", "Hazel, right foot"]
    assert not opened
