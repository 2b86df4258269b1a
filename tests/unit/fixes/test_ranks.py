"""The rank of single edits, worked out by hand from the rules of specs/costs.md, and the order of equal fixes."""

import pytest

from stepcheck.breaks.material import material
from stepcheck.fixes.nearness import PLAIN, UNEVEN, Rank
from stepcheck.fixes.ranks import Ranking
from stepcheck.language.edits import (
    ChangeCut,
    ChangeStart,
    ChangeTimes,
    ChangeTurn,
    ChangeTurnTimes,
    ChangeWait,
    ChangeWay,
    Edit,
)
from stepcheck.language.syntax import Times
from stepcheck.model.dance import TICKS
from stepcheck.report import pipeline
from stepcheck.search.cheapest import Solution

SHEET = """\
book: clogging
lead: left
figures:
  Weir Drop, 4 beats, 1/4 right: DS DS DS RS
part A:
  Triple, turn 1/4 left
  Triple, turn 1/2 left
  Basic x12
part B:
  4 times:
    Triple, turn 1/4 left on 1st
  Triple x2, turn 1/4 left on 1st
dance:
  A, first 8 beats
  hold 2 beats
  B
  Triple, 2 steps right
"""


@pytest.fixture(scope="module")
def ranking() -> Ranking:
    """The ranks of the edits of a sheet, whose part A lasts 32 beats."""
    routine = pipeline.loads(SHEET)
    assert routine.program is not None
    return Ranking(routine, material(routine))


@pytest.mark.parametrize(
    ("edit", "rank"),
    [
        (ChangeCut(14, 16 * TICKS), Rank(uneven=0, place=1)),  # half of the part, and no more than 12 beats away
        (ChangeCut(14, 24 * TICKS), Rank(marks=1, new=1, uneven=0, place=2, turn=1)),  # far away
        (ChangeCut(14, 12 * TICKS), Rank(new=1, uneven=PLAIN, place=0, turn=1)),  # no whole eights
        (ChangeCut(14, None), Rank(marks=1, new=1, uneven=PLAIN, place=3, turn=1)),
        (ChangeWait(15, 5 * TICKS), Rank(place=3 * TICKS)),
        (ChangeTimes(8, 8), Rank(uneven=0, moves=0, place=4)),  # of 12, which are uneven; no part is called
        (ChangeTimes(6, 2), Rank(uneven=0, moves=1, place=1)),
        (ChangeTurn(6, -4), Rank(shown=0, marks=0, uneven=PLAIN, beats=1, place=2, turn=9)),  # as the line behind it
        (ChangeTurn(7, -2), Rank(shown=0, marks=0, uneven=PLAIN, beats=1, place=2, turn=5)),  # as the line before it
        (ChangeTurn(7, 2), Rank(marks=0, new=0, uneven=PLAIN, beats=1, place=6, turn=4)),
        (ChangeTurn(4, -2), Rank(beats=0, place=4)),  # of a figure: its own to the other side
        (ChangeTurn(4, 4), Rank(beats=1, place=2)),
        (ChangeWay(17, -2, 0), Rank(turn=-17)),  # to the other side, on the last line first
        (ChangeWay(17, 3, 0), Rank(beats=1, place=1, turn=-17)),
        (ChangeTurnTimes(11, None), Rank(shown=1, uneven=0)),
        (ChangeTurnTimes(11, Times((), every=2)), Rank(uneven=0, beats=3, moves=3)),  # 1 no more, 2 and 4 instead
        (ChangeTurnTimes(11, Times((1, 3))), Rank(uneven=UNEVEN, beats=1, moves=2)),
    ],
)
def test_the_rank_of_an_edit(ranking: Ranking, edit: Edit, rank: Rank) -> None:
    """Each of its pieces, by hand."""
    assert rank._replace(line=edit.line) == ranking.rank(edit)


@pytest.mark.parametrize(
    ("one", "other", "place"),
    [
        ("facing front", "facing back", 0),
        ("facing back", "facing front", 1),  # front goes without saying, so that back is written on purpose
        ("lead left", "lead right", 0),
        ("lead right", "lead left", 0),
        ("start 2 steps back", "start 2 steps forward", 0),
        ("start 2 steps forward", "start 2 steps back", 0),
        ("start 2 steps forward", "start 2 steps left", 1),
    ],
)
def test_a_start_on_the_opposite_side_is_the_likelier_slip(one: str, other: str, place: int) -> None:
    """Feet and ways are written for their opposites, and front for back."""
    head = "book: line\ngroups: odd lines, even lines\nodd lines: {}\npart A:\n  Vine\ndance:\n  A\n"
    routine = pipeline.loads(head.format(one))
    assert place == Ranking(routine, material(routine)).rank(ChangeStart(3, other)).place


@pytest.mark.parametrize(
    ("line", "one", "other"),
    [
        (12, Times((2,)), Times((), last=True)),  # of two times on one line
        (11, Times((4,)), Times((), last=True)),  # of four times of a block
        (11, Times((2, 4)), Times((), every=2)),
    ],
)
def test_of_times_that_are_the_same_one_fix_is_given(ranking: Ranking, line: int, one: Times, other: Times) -> None:
    """In whichever words."""
    edits = tuple(ChangeTurnTimes(line, times) for times in (one, other))
    assert 1 == len([*ranking.ordered([Solution(2, (edits,))])])


def test_every_choice_of_a_solution_is_given_once_and_the_best_first(ranking: Ranking) -> None:
    """The least likely of two changes decides between the combinations of all choices of two changes."""
    three, five = ChangeWait(15, 3 * TICKS), ChangeWait(15, 5 * TICKS)
    often, more, odd = ChangeTimes(8, 16), ChangeTimes(8, 8), ChangeTimes(8, 11)  # 4 times more or less than 12, or 1
    found = [*ranking.ordered([Solution(4, ((odd, often, more), (five, three)))])]
    assert [(often, three), (more, three), (often, five), (more, five), (odd, three), (odd, five)] == found
