"""How far figures and edits are from one another, and what stands beside what, worked out by hand."""

from itertools import product

import pytest

from stepcheck.fixes.nearness import (
    UNEVEN,
    Neighbours,
    Rank,
    apart,
    beats,
    common,
    content,
    differing,
    even,
    kin,
    moves,
)
from stepcheck.language.edits import ChangeTimes, DeleteLine, Edit
from stepcheck.language.stretches import falls
from stepcheck.language.syntax import Times
from stepcheck.report import pipeline
from tests.programs import BACK, CHANGE, HOP, JUMP, POINT, STEP, TOUCH, figure


@pytest.mark.parametrize(
    ("times", "most", "numbers"),
    [
        (None, 3, (1, 2, 3)),
        (Times((2,)), 4, (2,)),
        (Times((2, 5)), 4, (2,)),
        (Times((1,), last=True), 4, (1, 4)),
        (Times((), every=2), 5, (2, 4)),
        (Times((), last=True), 1, (1,)),
    ],
)
def test_times_fall_on_their_numbers(times: Times | None, most: int, numbers: tuple[int, ...]) -> None:
    """All, those that are named, each second or third, the last."""
    assert numbers == falls(times, most)


def test_numbers_of_times_usual_in_music_are_even() -> None:
    """1, 2, 4, 8, 16."""
    assert [1, 2, 4, 8, 16] == [times for times in range(1, 25) if even(times) == 0]
    assert UNEVEN == even(3) == even(6)


def distance(one: str, other: str) -> int:
    """Return the edit distance of two words, as it is defined."""
    if not one or not other:
        return len(one) + len(other)
    return min(
        distance(one[1:], other) + 1, distance(one, other[1:]) + 1, distance(one[1:], other[1:]) + (one[0] != other[0])
    )


def test_rows_of_movements_are_an_edit_distance_apart() -> None:
    """Insertions, deletions and replacements, as the definition counts them."""
    words = ["", "a", "b", "ab", "ba", "aab", "bba", "abab"]
    for one, other in product(words, repeat=2):
        assert distance(one, other) == apart(tuple(one), tuple(other)), (one, other)


def test_figures_differ_beat_by_beat() -> None:
    """A beat that only one of them has differs as well; nothing is known of no figure."""
    long = figure("Long", STEP, STEP, TOUCH)
    off = figure("Off", STEP, HOP, JUMP, ticks=24)

    assert [0, 1, 2, 2, 1, 3] == [
        differing(one, other)
        for one, other in ((BACK, BACK), (BACK, CHANGE), (BACK, POINT), (CHANGE, long), (BACK, long), (POINT, long))
    ]
    assert [(("step", 0),), (("step", 0),)] == beats(BACK) and [] == beats(None)
    assert [(("step", 0),), (("hop", 0),)] == beats(off)
    assert 2 == differing(BACK, None) == differing(None, BACK)
    assert ("touch",) == moves(POINT) and () == moves(None)
    assert kin("Vine Left", "Vine Right") and kin("Vine", "Vine Right") and not kin("Vine", "Vines")


def test_an_edit_is_the_same_on_another_line() -> None:
    """The same change in every group is one change."""
    twice, thrice, gone = ChangeTimes(3, 2), ChangeTimes(5, 3), DeleteLine(9)
    groups: list[list[Edit]] = [
        [twice, thrice, gone],
        [ChangeTimes(7, 3), DeleteLine(4)],
        [DeleteLine(2), ChangeTimes(1, 3)],
    ]

    assert content(twice) == content(ChangeTimes(8, 2)) != content(thrice)
    assert content(DeleteLine(1)) != content(twice)
    assert [[thrice, ChangeTimes(7, 3), ChangeTimes(1, 3)], [gone, DeleteLine(4), DeleteLine(2)]] == [*common(groups)]


def test_an_edit_of_which_nothing_is_known_is_neither_first_nor_last() -> None:
    """Nothing is changed for the worse, and nothing is shown."""
    assert (0, 1, 0, 0, 1, 0, 0, 0, 0, 0, 0) == Rank()


SHEET = """\
book: clogging

part Verse: 16 beats
  Triple
  Basic x2
  expect left foot
  Triple
  Cowboy

part Chorus:
  3 times:
    Basic
    1st time only:
      Triple
    2nd, 3rd time only:
      Stomp
  Cowboy

part Bridge:
  Stomp

part Ending:
  Stomp

dance:
  Verse
  Verse
  Chorus
  expect facing front
  Verse x2
"""


@pytest.fixture(scope="module")
def near() -> Neighbours:
    """The neighbours of a sheet."""
    return Neighbours(pipeline.loads(SHEET).sheet)


def test_the_rows_of_each_block_are_known(near: Neighbours) -> None:
    """In their order, a repeated row once for each time; the last block has the parts."""
    assert [*zip([4, 5, 5, 7, 8], ["triple", "basic", "basic", "triple", "cowboy"], strict=True)] in near.blocks
    assert [*zip([12, 14, 16, 17], ["basic", "triple", "stomp", "cowboy"], strict=True)] in near.blocks
    assert [*zip([26, 27, 28, 30, 30], ["verse", "verse", "chorus", "verse", "verse"], strict=True)] in near.blocks
    assert [(3, "verse"), (10, "chorus"), (19, "bridge"), (22, "ending")] == near.blocks[-1]
    assert {8, 17, 20, 23} == near.last
    assert ["basic", "triple", "stomp"] == near.names(11) and ["chorus"] == near.names(28)


def test_what_is_expected_behind_a_line(near: Neighbours) -> None:
    """Right behind it, before others."""
    assert [5, 28] == [line for line in range(1, 31) if near.expected(line)]


@pytest.mark.parametrize(
    ("one", "other", "known"),
    [
        (["triple"], ["basic"], True),
        (["basic"], ["basic"], True),
        (["basic"], ["cowboy"], False),
        (["verse"], ["chorus"], True),
    ],
)
def test_one_name_stands_before_another(near: Neighbours, one: list[str], other: list[str], known: bool) -> None:
    """Anywhere in the sheet, and in that order."""
    assert known is near.stands(one, other)


@pytest.mark.parametrize(
    ("line", "name", "alone"),
    [(4, "Triple", 2), (5, "Triple", 2), (7, "Basic", 1), (7, "Triple", 1), (8, "Triple", 2), (28, "Verse", 0)],
)
def test_neighbours_that_are_nowhere_else(near: Neighbours, line: int, name: str, alone: int) -> None:
    """Of a figure on a line; none at the end of a part is one of two."""
    assert alone == near.alone(line, name)


@pytest.mark.parametrize(
    ("line", "name", "twice"),
    [(26, "Verse", True), (4, "Basic", False), (7, "Cowboy", True), (4, "Triple", False), (8, "Triple", True)],
)
def test_a_line_like_the_one_beside_it(near: Neighbours, line: int, name: str, twice: bool) -> None:
    """It would be written once, some times."""
    assert twice is near.twice(line, name)


def test_lines_that_change_places(near: Neighbours) -> None:
    """More lines of one name stand side by side then, or not."""
    assert [True, True, False] == [near.doubled(*pair) for pair in ((4, 5), (4, 8), (27, 28))]


@pytest.mark.parametrize(
    ("line", "times", "completes"),
    [
        (13, Times((1,)), True),
        (13, Times((2,)), False),
        (13, Times((1, 2)), False),
        (15, Times((2,), last=True), True),
        (15, Times((3,)), False),
        (4, Times((1,)), False),
    ],
)
def test_blocks_for_some_times_are_each_time_once(near: Neighbours, line: int, times: Times, completes: bool) -> None:
    """Together with the blocks beside it."""
    assert completes is near.completes(line, times)


@pytest.mark.parametrize(
    ("line", "name", "before", "joined"),
    [
        (30, "Ending", False, (0, 0)),
        (30, "Ending", True, (0, 1)),
        (26, "Ending", False, (0, 1)),
        (28, "Ending", False, (0, 2)),
        (27, "Bridge", False, (0, 0)),
        (28, "Bridge", False, (0, 1)),
        (30, "Bridge", False, (0, 1)),
        (26, "Bridge", True, (0, 1)),
        (27, "Chorus", False, (1, 0)),
        (26, "Verse", True, (0, 0)),
        (26, "Chorus", True, (0, 0)),
        (28, "Chorus", True, (1, 1)),
    ],
)
def test_a_part_that_is_put_in(near: Neighbours, line: int, name: str, before: bool, joined: tuple[int, int]) -> None:
    """How new what stands beside it is, and how far it is from its place: one that is danced nowhere stands between two
    passes, or at the end if its name says so."""
    assert joined == near.joined(line, name, before)
