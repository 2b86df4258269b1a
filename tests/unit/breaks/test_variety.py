"""Breaks that a teacher would offer come first."""

import pytest

from stepcheck.breaks.breaks import find_breaks, steps_of
from stepcheck.breaks.endings import break_after
from stepcheck.breaks.states import SearchError
from stepcheck.report import pipeline

SHEET = """routine: Gap
book: clogging
level: easy, club scheme
lead: left

part A: 32 beats, left foot to left foot
  Triple x2
  Rocking Chair
  Fancy Double
  Basic x4
  Cowboy

part B: 16 beats
  Cowboy
  Triple x2

dance:
  A
  B
"""


def test_a_few_figures_that_the_class_knows_come_first() -> None:
    """Eight beats after a figure of eight are two to four others of the routine, not that figure again."""
    routine = pipeline.loads(SHEET)
    for row in break_after(routine, "A", beats=8).breaks:
        names = [one.name for one in row.figures]
        assert 2 <= len(names) <= 4 and "Cowboy" not in names
        assert {*names} <= {"Triple", "Rocking Chair", "Fancy Double", "Basic"}


def test_the_offers_differ_in_kind() -> None:
    """The first three rows have no figure in common."""
    rows = [
        {one.name for one in row.figures} for row in break_after(pipeline.loads(SHEET), "A", beats=8, limit=3).breaks
    ]
    assert sum(map(len, rows)) == len(set().union(*rows))


def test_a_shorter_row_is_one_figure_where_one_is_known() -> None:
    """Below eight beats the fewest figures come first."""
    assert 1 == len(break_after(pipeline.loads(SHEET), "A", beats=4, limit=1).breaks[0].figures)


def test_the_number_of_figures_is_what_was_asked() -> None:
    """`steps` holds for each row, and none is found where no row has as many."""
    rows = find_breaks("clogging", beats=8, steps="3-4", limit=30).breaks
    assert {3, 4} >= {len(row.figures) for row in rows} and 30 == len(rows)
    assert {1} == {len(row.figures) for row in break_after(pipeline.loads(SHEET), "A", beats=8, steps=(1, 1)).breaks}
    assert not find_breaks("clogging", beats=1, steps="9").breaks


@pytest.mark.parametrize("steps", ["x", "4-2", "0", "1-2-3", (2, 1)])
def test_a_number_of_figures_that_is_none_is_refused(steps: str | tuple[int, int]) -> None:
    """What is no two numbers, the lesser first, is said to be none."""
    with pytest.raises(SearchError, match="is no number of figures; write 3, or 2-4"):
        steps_of(steps)
