"""What the lines of a dance of several groups, and of where it goes, could say otherwise, written out."""

import pytest

from stepcheck.fixes.singles import starts, waits, ways
from stepcheck.language.edits import ChangeStart, ChangeWait, ChangeWay
from stepcheck.language.syntax import Sheet
from stepcheck.report import pipeline

HEAD = "book: line\ngroups: odd lines, even lines\n"


def sheet(text: str) -> Sheet:
    """Return a sheet."""
    return pipeline.loads(text).sheet


@pytest.mark.parametrize(
    ("line", "had", "most"),
    [("hold 2 counts", 2, 16), ("hold 10 counts", 10, 20), ("even lines: wait 4 counts, A", 4, 16)],
)
def test_another_silence(line: str, had: int, most: int) -> None:
    """Every number of counts up to sixteen, or twice as many; a group that waits may also not wait."""
    waiting = "wait" in line
    dance = f"  together:\n    odd lines: A\n    {line}" if waiting else f"  {line}"
    found = [*waits(sheet(f"{HEAD}part A:\n  Vine\ndance:\n{dance}\n"))]
    number = 8 if waiting else 6
    if waiting:
        assert [ChangeWait(7, 12 * count) for count in range(1, 17)] == found[:16]
        assert ChangeWait(8, None) == found[16]
        del found[:17]

    assert [ChangeWait(number, 12 * count) for count in range(1, most + 1) if count != had] == found


def test_a_group_that_does_not_wait_could() -> None:
    """Before its own line; other lines do not."""
    found = [*waits(sheet(HEAD + "part A:\n  Vine\ndance:\n  even lines: A\n  A\n"))]
    assert [ChangeWait(6, 12 * count) for count in range(1, 17)] == found


@pytest.mark.parametrize(
    ("value", "others"),
    [
        ("lead right", ["lead left"]),
        ("facing back", ["facing front", "facing right wall", "facing left wall"]),
        (
            "start 2 steps to the right",
            [
                *(f"start 2 steps {side}" for side in ("right", "left", "forward", "back")),
                *(f"start {steps} step{'s' if steps > 1 else ''} right" for steps in range(1, 7)),
            ],
        ),
        (
            "start 1 step forward",
            [
                *(f"start 1 step {side}" for side in ("right", "left", "back")),
                *(f"start {steps} steps forward" for steps in range(2, 7)),
            ],
        ),
        (
            "lead left, facing front",
            [
                "facing front",
                "lead right, facing front",
                "lead left",
                *(f"lead left, facing {wall}" for wall in ("right wall", "back", "left wall")),
            ],
        ),
    ],
)
def test_another_start(value: str, others: list[str]) -> None:
    """One piece of the line of a group says something else, or is left out."""
    found = [*starts(sheet(f"{HEAD}odd lines: {value}\npart A:\n  Vine\ndance:\n  A\n"))]
    assert {ChangeStart(3, other) for other in others} == {*found} and len(found) >= len(others)


def test_another_way() -> None:
    """As far to another side, otherwise far to the same, or on the spot; what says no way goes as far as others do."""
    found = [
        *ways(sheet("book: line\npart A:\n  Vine, 3 steps right\n  Vine\ndance:\n  A\n  Rock Step, on the spot\n"))
    ]
    sides = [(3, 0), (-3, 0), (0, 3), (0, -3)]

    assert [(0, 0), *sides[1:], *((steps, 0) for steps in (1, 2, 4, 5, 6))] == [
        (one.right, one.forward) for one in found if one.line == 3
    ]
    assert [(0, 0), *sides] == [(one.right, one.forward) for one in found if one.line == 4]
    assert sides == [(one.right, one.forward) for one in found if one.line == 7]
    assert {3, 4, 7} == {one.line for one in found} and ChangeWay(4, 3, 0, 0) in found


def test_a_long_way_may_be_twice_as_long() -> None:
    """Of a figure of the sheet's own, too."""
    found = [*ways(sheet("book: line\nfigures:\n  Ford, 5 steps back: S\npart A:\n  Ford\ndance:\n  A\n"))]

    assert [(0, 0), (5, 0), (-5, 0), (0, 5), *((0, -steps) for steps in (1, 2, 3, 4, 6, 7, 8, 9, 10))] == [
        (one.right, one.forward) for one in found if one.line == 3
    ]
