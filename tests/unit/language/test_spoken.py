"""Lines written as teachers speak."""

import re

import pytest

from stepcheck.language.parser import parse_line
from stepcheck.language.spoken import HABITS, spoken

LINES = (
    ("steps", "Repeat 4 times:"), ("steps", "x4"), ("steps", "Main * 3"), ("steps", "Main x2 times"),
    ("steps", "restart after 16 counts"), ("steps", "Main, until the end of it"),
    ("steps", "Vine, turn half to the right"),
    ("steps", "Vine, 1/2 right turn, left foot"), ("steps", "Vine, start on the right"),
    ("steps", "Vine, LF, turn 1/4 left"), ("steps", "Vine, ending on right foot"), ("steps", "Vine, facing 3"),
    ("steps", "Pause 4"), ("steps", "Main up to count 16"), ("sheet", "part Verse: 8 beats and full turn right"),
    ("sheet", "part Verse, 32 beats, full turn"), ("sheet", "Chorus:"),
    ("figures", "Mill Wheel: 4 beats, DS DS RS RS"), ("figures", "Mill Wheel: DS DS, RS RS"),
)  # fmt: skip


def test_every_habit_has_an_example() -> None:
    """The examples here show each habit once, in its order."""
    shown = [
        next(habit for habit in HABITS if habit.start == start and re.fullmatch(habit.pattern, text, re.IGNORECASE))
        for start, text in LINES
    ]

    assert list(HABITS) == shown


@pytest.mark.parametrize(("start", "text"), LINES)
def test_what_is_offered_can_be_written(start: str, text: str) -> None:
    """The line that is offered in the place of a spoken one is a line of the language."""
    error = spoken(text, start, True)
    assert error is not None and (0, len(text)) == error.at
    (hint,) = error.hints
    found = re.fullmatch(r"write `?([^`]*?)`?(?: if it is a part.*)?", hint)
    if found and "behind the figure" not in hint and "a line of the dance" not in hint and "below" not in hint:
        assert parse_line(found[1], {"steps": "dance"}.get(start, start))


@pytest.mark.parametrize(
    "text",
    [
        "Restart",
        "Rest",
        "Rebound x2",
        "4 times:",
        "Reverse Vine",
        "Quarter Left Turn",
        "Full Turn Forward",
        "Vine, turn 1/4 left",
    ],
)
def test_lines_that_are_right_are_left_alone(text: str) -> None:
    """What the language has is not taken for a habit, and neither is a name."""
    assert parse_line(text, "dance")
