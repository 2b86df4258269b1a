"""The words that the patterns of both readers are made of: what each pattern takes, and what it means."""

import re

import pytest

from stepcheck.steps.steps import CLOCKS, WALLS, Turn, turned
from stepcheck.steps.vocabulary import eighths
from stepcheck.steps.words import (
    FOOT,
    NUMBER,
    NUMBERS,
    ORDINAL,
    SIZE,
    SPOKEN_FEET,
    TIMES,
    UNITS,
    meter,
    number,
    often,
    ordinal,
)


def takes(pattern: str, text: str) -> bool:
    """Say whether a pattern takes all of a text."""
    return re.fullmatch(f"(?i){pattern}", text) is not None


@pytest.mark.parametrize("word", [*NUMBERS, "7", "32"])
def test_a_number_is_one_in_words_and_in_digits(word: str) -> None:
    """What the pattern takes has a value, and no more words have one."""
    assert takes(NUMBER, word) and number(word.upper()) > 0 and not takes(NUMBER, f"{word}ish")


@pytest.mark.parametrize(
    ("word", "at"),
    [("first", 1), ("Third", 3), ("ninth", 9), ("1st", 1), ("2nd", 2), ("11th", 11), ("last", 0), ("2", 0)],
)
def test_an_ordinal_says_which(word: str, at: int) -> None:
    """In words or digits; what is last, or a bare number, is none."""
    assert takes(ORDINAL, word) is (at > 0) and (not at or ordinal(word) == at)


@pytest.mark.parametrize("said", ["x4", "x 4", "4x", "four times", "4 TIMES", "4 more times"])
def test_how_often_is_said_in_several_ways(said: str) -> None:
    """Each is the same number; what is danced twice needs none, and once is what nobody says."""
    found = re.fullmatch(f"(?i){TIMES}", said)

    assert found and often(*found.groups()) == 4
    assert often(None, None, "Twice") == 2 and often(None) == 1 and not takes(TIMES, f"{said}ish")


@pytest.mark.parametrize(
    "said", ["8 counts", "8 count", "8 cts.", "8ct", "8 cnts", "8 beats", "8 bts.", "8b", "8c", "8 c"]
)
def test_counts_and_beats_are_written_in_many_ways(said: str) -> None:
    """A part B or C behind a number is none of them, nor is a word that only begins so."""
    assert takes(rf"\d+\s*{UNITS}", said)
    assert not re.search(rf"(?i)\d\s*{UNITS}(?!\w)", "8 B, 8C, 8 bars, 8 beaters, 8 crosses")


@pytest.mark.parametrize("foot", [*SPOKEN_FEET])
def test_each_foot_that_is_spoken_of_is_a_foot(foot: str) -> None:
    """The pattern takes just the words that have a foot, however they are written."""
    assert takes(FOOT, foot) and takes(FOOT, foot.upper()) and SPOKEN_FEET[foot] == foot[0].upper()


@pytest.mark.parametrize(("size", "wanted"), [("1/8", 1), ("quarter", 2), ("Half", 4), ("3/4", 6), ("full", 8)])
def test_how_far_a_turn_goes_is_one_in_words_and_as_a_fraction(size: str, wanted: int) -> None:
    """No other fraction is a turn."""
    assert takes(SIZE, size) and eighths(size) == wanted and not takes(SIZE, "1/3") and not eighths("1/3")


def test_every_facing_is_so_many_eighths_from_the_front() -> None:
    """Those between walls as well, and front and back as their hours."""
    assert [WALLS[hour] for hour in CLOCKS] == [*range(8)]
    assert (WALLS["front"], WALLS["back"]) == (WALLS["12:00"], WALLS["6:00"])


@pytest.mark.parametrize(
    ("turn", "times", "wanted"),
    [(Turn(2, "right"), 3, 6), (Turn(2, "left"), 1, -2), (Turn(4), 1, 4), (Turn(8), 2, 16), (Turn(2), 1, None)],
)
def test_a_turn_goes_so_far_to_the_right(turn: Turn, times: int, wanted: int | None) -> None:
    """Without a side a half turn does, and a quarter may go either way."""
    assert turned(turn, times) == wanted


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("two beats to the bar", 2),
        ("16 bars (48 counts)", 3),
        ("16 measures = 48 beats", 3),
        ("I count in 4-beat measures", 4),
        ("a measure is 2 beats", 2),
        ("Wait 4 bars, 4 beats to the bar", 4),
        ("Wait 3 bars, 16 counts", 0),
        ("Wait 8 bars", 0),
    ],
)
def test_how_many_counts_a_bar_has(said: str, wanted: int) -> None:
    """As it is said, or as bars and counts beside each other come to it, if they come to whole counts."""
    assert meter(said) == wanted
