"""Counts as teachers write them."""

import pytest

from stepcheck.steps.counts import read


@pytest.mark.parametrize(
    ("text", "points", "first", "length"),
    [
        ("1-2", (12, 24), 1, 2),
        ("1 - 4", (12, 24, 36, 48), 1, 4),
        ("3, 4", (36, 48), 3, 2),
        ("9 10 11", (108, 120, 132), 9, 3),
        ("3&4", (36, 42, 48), 3, 2),
        ("5&6&", (60, 66, 72, 78), 5, 2),
        ("1-2&", (12, 24, 30), 1, 2),
        ("&3-4", (30, 36, 48), 3, 2),
        ("7", (84,), 7, 1),
        ("1 to 3", (12, 24, 36), 1, 3),
    ],
)
def test_counts_are_points(text: str, points: tuple[int, ...], first: int, length: int) -> None:
    """A dash fills in the counts between, `&` is the half between two counts; a half before the first leads to it."""
    found = read(text)

    assert found is not None
    assert (points, first, length) == (found.points, found.first, found.length)


@pytest.mark.parametrize("text", ["", "2-1", "1&&2", "4 4", "0-2", "-", "and"])
def test_what_does_not_go_up_is_no_counts(text: str) -> None:
    """Counts go up, from count 1."""
    assert read(text) is None


def test_points_inside_a_row_begin_at_one() -> None:
    """`&3-4` is `@&1 @1 @2`, `7&8` is `@1 @1& @2` in the row that it makes."""
    for text, wanted in (("&3-4", (6, 12, 24)), ("7&8", (12, 18, 24)), ("5-6", (12, 24))):
        found = read(text)
        assert found is not None
        assert wanted == found.inside(found.points)
