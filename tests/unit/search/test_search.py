"""The cheapest changes of small sheets, one for each construct, against trying every change to the text."""

import pytest

from tests.laws.test_repair import agree

SHEETS = {
    "another figure": ("part A: 3 counts\n  Two\n  Two\ndance:\n  A", ("figure", "times"), 3),
    "a turn": ("part A: 1/4 turn right\n  Quarter\n  Change x2\n  Quarter\ndance:\n  A", ("figure", "turn"), 3),
    "a claim": ("part A: 3 counts, 1/4 turn right\n  Two\n  Quarter\ndance:\n  A", ("turn", "claim"), 4),
    "alternatives": ("part A: 4 counts\n  Change | Two\n  Two\ndance:\n  A", ("alternative", "figure"), 4),
    "alternatives that turn": (
        "part A: left foot to right foot\n  Quarter | Point\n  Two\ndance:\n  A\n  expect facing 3:00",
        ("alternative", "turn"),
        3,
    ),
    "a block": (
        "part A: 6 counts, 1/2 turn right\n  3 times:\n    Point\n    Change, turn 1/4 right\ndance:\n  A",
        ("figure", "turn", "block"),
        2,
    ),
    "a part twice": (
        "part A: left foot to left foot\n  Change\n  Two\ndance:\n  A\n  A\n  expect right foot",
        ("figure", "claim"),
        4,
    ),
    "a part from either foot": (
        "part A:\n  Quarter\n  Change\ndance:\n  A x2\n  expect facing 6:00",
        ("figure", "turn"),
        4,
    ),
    "a mirrored part": (
        "part A:\n  Quarter\n  Change\ndance:\n  A\n  A, mirrored\n  expect facing back",
        ("figure", "swap"),
        2,
    ),
    "a cut pass": (
        "part A:\n  Change\n  Two\n  Quarter\ndance:\n  A, first 3 counts\n  A\n  expect left foot, facing front",
        ("figure", "turn"),
        2,
    ),
    "counts": (
        "part A: 6 counts\n  counts 1-4, right foot:\n    Change\n    Two\n  counts 5-6:\n    Two\ndance:\n  A",
        ("figure", "times"),
        2,
    ),
    "walls": (
        "walls: 4\npart A: 4 counts\n  Two\n  Quarter, turn 1/2 right\ndance:\n  A until the music ends",
        ("turn", "claim"),
        4,
    ),
    "laps that change feet": (
        "walls: 2\npart A:\n  Quarter\n  Change\ndance:\n  A until the music ends",
        ("figure", "turn"),
        2,
    ),
    "some laps": (
        "walls: 4\npart A:\n  Point, turn 1/4 left\n  Quarter\ndance:\n  A\n  A\n  expect facing 6:00",
        ("turn", "claim"),
        4,
    ),
    "a song": (
        "music:\n  song 10\npart A: 4 counts\n  Two\n  Change\ndance:\n  Change\n  A until the music ends",
        ("figure", "times"),
        3,
    ),
    "a part that is never danced": (
        "part A: 2 counts\n  Change\npart B: 4 counts\n  Two\n  Two\ndance:\n  B",
        ("figure", "times"),
        2,
    ),
    "both feet": (
        "lead: right\npart A: right foot to both feet\n  Two\n  Leap\n  Change\ndance:\n  A",
        ("figure", "delete"),
        3,
    ),
    "the last time": (
        "part A: 6 counts, no turn\n  3 times:\n    Two\n    last time only:\n      Point, turn 1/4 left\ndance:\n  A",
        ("figure", "times", "block"),
        2,
    ),
    "counts that are claimed": (
        "part A: 5 counts\n  counts 1-3:\n    Two\n    Two\n  Change\ndance:\n  A",
        ("claim",),
        4,
    ),
    "a later heading": ("part A:\n  Two\n  counts 4-5:\n    Two\n    Change\ndance:\n  A", ("claim",), 8),
    "feet of a heading": (
        "part A:\n  counts 1-2, left foot:\n    Change\n    Change\ndance:\n  Change\n  A",
        ("lead",),
        4,
    ),
    "feet of lines": (
        "part A:\n  Change, left foot\n  Two, left foot | Point, right foot\ndance:\n  A\n  A, opposite foot",
        ("lead",),
        4,
    ),
    "walls that are claimed": (
        "walls: 4\npart A:\n  Quarter, turn 1/2 right\ndance:\n  A until the music ends",
        ("claim",),
        4,
    ),
    "what is expected": (
        "part A: 1/2 turn, left foot to both feet\n  Quarter, turn 1/2 right\n  Change\ndance:\n  A",
        ("claim",),
        4,
    ),
    "where a part ends": (
        "part A: front to back\n  Quarter\n  Change\ndance:\n  Change\n  A\n  expect facing 3:00",
        ("claim",),
        4,
    ),
    "a mirrored turn": ("part A: 1/2 turn left\n  Quarter\ndance:\n  A, mirrored\n  Change\n  A", ("claim",), 4),
    "laps of two parts": (
        "walls: 4\npart A:\n  Two\npart B:\n  Quarter, turn 1/2 right\ndance:\n  until the music ends:\n    A\n    B",
        ("turn",),
        2,
    ),
    "laps from both feet": (
        "walls: 4\npart A:\n  Leap\n  Quarter\npart B:\n  Change\ndance:\n  Leap\n  until the music ends:\n    A\n    B",
        ("turn",),
        2,
    ),
    "laps of alternatives": (
        "walls: 2\npart A:\n  Two | Quarter\ndance:\n  A until the music ends",
        ("turn", "alternative"),
        2,
    ),
    "a cut pass that is changed": (
        "part A:\n  Two\n  Quarter\n  Change\ndance: 7 counts\n  A, first 4 counts\n  A, first 2 counts\n  expect facing front",
        ("turn",),
        2,
    ),
    "a length behind a cut": (
        "part A:\n  Two\n  Change x2, 2 counts\ndance:\n  A, first 3 counts",
        ("figure", "other length", "times"),
        4,
    ),
    "a facing behind a cut": (
        "part A:\n  Two\n  Two\n  expect facing 3:00\n  Point\ndance:\n  A, first 3 counts",
        ("figure", "other length"),
        5,
    ),
    "a part that ends behind a cut": (
        "part B: 2 counts, 1/4 turn right\n  Two x2\npart A:\n  B\ndance:\n  A, first 1 count\n  A",
        ("figure", "times", "turn"),
        4,
    ),
    "alternatives behind a cut": (
        "part A:\n  Two\n  Change | Point\ndance:\n  A, first 2 counts",
        ("figure", "other length", "alternative", "delete"),
        4,
    ),
    "a row behind the start of a last lap": (
        "music:\n  song 3\npart A:\n  Change\n  Two\n  Change, right foot\ndance:\n  A until the music ends",
        ("figure", "delete"),
        4,
    ),
    "a lap that the music cuts": (
        "music:\n  song 7\npart A:\n  Two\n  counts 3-5, facing 3:00:\n    Two\n    Change\ndance:\n  A until the music ends",
        ("figure",),
        4,
    ),
    "two changes": (
        "part A: 3 counts\n  Two\n  Two\npart B: 1/4 turn left\n  Two\ndance:\n  A\n  B\n  A",
        ("figure",),
        4,
    ),
}


@pytest.mark.parametrize("name", SHEETS)
def test_nothing_cheaper_is_overlooked(name: str) -> None:
    """Everything that mends for the least cost is found, and nothing else."""
    text, kinds, most = SHEETS[name]
    agree(f"routine: Toy\n{text}\n", kinds, most)
