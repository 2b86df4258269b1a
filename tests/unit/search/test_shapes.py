"""What else blocks, calls, cuts and turns of a sheet could say, written out."""

import pytest

from stepcheck.fixes.repairs import COSTS
from stepcheck.language.edits import (
    ChangeBlock,
    ChangeClaim,
    ChangeCut,
    ChangeSwap,
    ChangeTimes,
    ChangeTurnTimes,
    CutPass,
    DeleteLine,
    Edit,
    InsertLine,
    ReplacePart,
)
from stepcheck.language.syntax import Times
from stepcheck.report import pipeline
from stepcheck.search.shapes import shapes, unfilled
from stepcheck.search.transitions import Transitions

TEXT = """\
book: clogging
figures:
  Lock, 3 beats: S S
part A: 16 beats
  3 times:
    Triple
    1st time only:
      Triple, turn 1/4 left
  Basic x4, turn 1/4 left
part B: 12 beats
  Triple x3
dance:
  A x2
  B, first 4 beats
  B
  Triple, first 2 beats
"""


def found(*kinds: type, kept: frozenset[int] = frozenset()) -> list[Edit]:
    """Return the changes of these kinds to the sheet, none of those that put something in."""
    routine = pipeline.loads(TEXT)
    assert routine.program is not None
    made = shapes(routine, (), Transitions(routine.program), COSTS, kept)
    assert all(len(some) == 1 for some in made)
    return [one for (one,) in made if type(one) in kinds]


def test_blocks_are_danced_otherwise_often() -> None:
    """Every number up to eight, and the times on which a line is danced."""
    some = [one for one in found(ChangeBlock) if one.line == 7]
    assert [ChangeBlock(5, times) for times in (1, 2, 4, 5, 6, 7, 8)] == [
        one for one in found(ChangeBlock) if one.line == 5
    ]
    assert [
        *(Times((number,)) for number in range(2, 9)),
        *(Times((1, number)) for number in range(2, 9)),
        Times(last=True),
    ] == [one.times for one in some if isinstance(one, ChangeBlock)]


def test_parts_are_called_once_more() -> None:
    """Behind each line of the dance that isn't expected to end it, and before the first."""
    text = TEXT + "  expect facing front\n"
    routine = pipeline.loads(text)
    assert routine.program is not None
    made = shapes(routine, (), Transitions(routine.program), COSTS, frozenset(), frozenset({15}))
    assert [
        *(InsertLine(13, part, before) for part in ("A", "B") for before in (True, False)),
        *(InsertLine(line, part) for line in (14, 16) for part in ("A", "B")),
    ] == [one for (one,) in made if isinstance(one, InsertLine)]


def test_parts_are_called_otherwise() -> None:
    """More or fewer times, another part, swapped."""
    assert [
        *(ChangeTimes(13, times) for times in (1, 3, 4)),
        *(ChangeTimes(line, times) for line in (14, 15) for times in (2, 3, 4)),
    ] == found(ChangeTimes)
    assert [ReplacePart(13, "B"), ReplacePart(14, "A"), ReplacePart(15, "A")] == found(ReplacePart)
    assert [ChangeSwap(line, swap) for line in (13, 14, 15) for swap in ("opposite foot", "mirrored")] == found(
        ChangeSwap
    )


def test_cuts_fall_elsewhere() -> None:
    """On each beat of a part, or of a figure as long as it may be; whole phrases first, then nowhere."""
    assert [
        *(ChangeCut(14, 12 * beat or None) for beat in (8, 0, *range(1, 8), *range(9, 12)) if beat != 4),
        *(ChangeCut(16, 12 * beat or None) for beat in (8, 0, *range(1, 8), 9) if beat != 2),
    ] == found(ChangeCut)


def test_a_turn_falls_on_other_times() -> None:
    """The last, one of them, each second or third that divides them; on a line of a block its times."""
    some = found(ChangeTurnTimes)
    assert [Times(last=True), Times((1,)), Times((2,)), Times((3,)), Times((), 2)] == [
        one.times for one in some if isinstance(one, ChangeTurnTimes) and one.line == 9
    ]
    assert [Times(last=True), Times((1,)), Times((2,))] == [
        one.times for one in some if isinstance(one, ChangeTurnTimes) and one.line == 8
    ]


def test_lines_are_taken_out_and_figures_are_as_long_as_they_are() -> None:
    """Each row and block; nothing of what is kept."""
    assert [5, 6, 7, 8, 9, 11, 13, 14, 15, 16] == [one.line for one in found(DeleteLine)]
    assert [5, 6, 7, 8, 9, 13, 14, 16] == [one.line for one in found(DeleteLine, kept=frozenset({11, 15}))]
    (claim,) = found(ChangeClaim)
    assert isinstance(claim, ChangeClaim) and (3, 24) == (claim.line, claim.value)


@pytest.mark.parametrize(
    ("length", "calls", "cuts"),
    [
        (28, ["A", "B"], []),
        (24, ["A", "B"], [(7, 12), (8, 8)]),
        (20, ["A", "B"], [(7, 8), (8, 4)]),
        (16, ["A", "B"], [(7, 4)]),
        (32, ["A", "B"], []),
        (36, ["A x2", "B"], [(7, 12), (8, 4)]),
        (37, ["A x2", "B"], [(8, 5)]),
    ],
)
def test_a_pass_is_cut_by_what_is_too_much(length: int, calls: list[str], cuts: list[tuple[int, int]]) -> None:
    """Of the dance as it is said to be long: each line by itself, all its times alike."""
    text = f"book: clogging\npart A: 16 beats\n  Triple x4\npart B: 12 beats\n  Triple x3\ndance: {length} beats\n"
    routine = pipeline.loads(text + "".join(f"  {call}\n" for call in calls))
    assert routine.program is not None
    some = (one for made in shapes(routine, (), Transitions(routine.program), COSTS, frozenset()) for one in made)
    assert [(line, 12 * beats) for line, beats in cuts] == [
        (one.line, one.ticks) for one in some if isinstance(one, CutPass)
    ]


def test_sections_without_a_line_could_stand_between_those_that_have_one() -> None:
    """Behind the line of the section before, or before the first."""
    text = "book: clogging\nmusic:\n  intro 4\n  verse 8\n  chorus 8\n  outro 4\npart A: 8 beats\n  Basic x4\ndance:\n  verse: A\n"
    rows = [(row.name, line, ahead) for row, line, ahead in unfilled(pipeline.loads(text).sheet)]

    assert [("intro", 10, True), ("chorus", 10, False), ("outro", 10, False)] == rows
