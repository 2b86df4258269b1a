"""Rows of tables as lines of cues."""

import pytest

import stepcheck as sc


@pytest.mark.parametrize(
    ("cell", "wanted"),
    [("16", 16), ("8+8", 16), ("8 + 4 + 4 cts", 16), ("17-32", 16), ("1 - 16", 16), ("(16)", 16), ("16 (in all)", 16)],
)
def test_a_cell_says_how_many_beats(cell: str, wanted: int) -> None:
    """A column of beats holds a length, the lengths of its halves, or the first beat and the last."""
    made = sc.draft(
        f"Quern Lane (clogging)\nwait 8, left foot lead\n\nA\n\nSteps\tBeats\tNotes\nGander Hop\t{cell}\tlow\n4 Basics\t8\tlow\n"
    )

    assert f"  ? {wanted} beats" in made.text
