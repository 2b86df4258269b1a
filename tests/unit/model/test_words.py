"""Dance words: one spelling of feet, walls, turns, lengths and counts for every face."""

from fractions import Fraction

import pytest

from stepcheck.model import words
from stepcheck.model.dance import Foot, Weight


@pytest.mark.parametrize(
    ("tick", "said"),
    [(0, "1"), (3, "1e"), (6, "1&"), (9, "1a"), (12, "2"), (18, "2&"), (288, "25"), (4, "1 1/3"), (20, "2 2/3")],
)
def test_a_tick_is_said_as_dancers_count(tick: int, said: str) -> None:
    """The first beat is 1, halves and quarters have their letters, and what has none is a fraction."""
    assert said == words.beat(tick)


@pytest.mark.parametrize(
    ("ticks", "said"), [(0, "0 beats"), (6, "1/2 beat"), (12, "1 beat"), (18, "1 1/2 beats"), (384, "32 beats")]
)
def test_a_length_agrees_with_its_noun(ticks: int, said: str) -> None:
    """One beat is a beat, more are beats, and halves are fractions."""
    assert said == words.length(ticks)
    assert said.replace("beat", "count") == words.length(ticks, "counts")


@pytest.mark.parametrize(
    ("eighths", "said"),
    [(0, "no turn"), (2, "1/4 turn right"), (-4, "1/2 turn left"), (8, "a full turn right"), (-12, "1 1/2 turns left")],
)
def test_a_turn_has_size_and_side(eighths: int, said: str) -> None:
    """A turn is said with its side, and a full turn is not no turn."""
    assert said == words.turn(eighths)


def test_turns_and_facings_are_language() -> None:
    """What a hint offers to write in a contract or on a line is understood by the parser."""
    from stepcheck.language.parser import parse_line
    from stepcheck.language.syntax import ExpectRow, FacingMark

    for eighths in range(-17, 18):
        (mark,) = parse_line(f"part Verse: {words.turn(eighths).removeprefix('a ')}", "sheet").pieces  # type: ignore[union-attr]
        assert abs(eighths) == mark.eighths and (eighths > 0) - (eighths < 0) == mark.side  # type: ignore[union-attr]
    for eighths in range(8):
        for clock in (False, True):
            node = parse_line(f"expect facing {words.facing(eighths, clock)}", "part")
            assert ExpectRow((FacingMark(eighths),)) == node


def test_a_change_of_facing_is_said_the_short_way_round() -> None:
    """Whatever the number of whole turns, the wall is said by the shorter way, and a half has no side."""
    assert ["where it began", "1/4 turn right of where it began"] == [words.away(8), words.away(2)]
    assert ["1/2 turn from where it began"] * 2 == [words.away(4), words.away(-4)]
    assert "1/8 turn left of where it began" == words.away(15)


def test_the_shortest_turn_is_at_most_a_half() -> None:
    """As far round as the whole turn, by three eighths to the left at most, and by four to the right."""
    assert [0, 1, 2, 3, 4, -3, -2, -1] * 3 == [words.shortest(eighths) for eighths in range(-8, 16)]


def test_letters_side_by_side_are_swapped() -> None:
    """Each two letters side by side are swapped once, and nothing else changes."""
    assert ("bacd", "acbd", "abdc") == words.swaps("abcd")
    assert () == words.swaps("a") == words.swaps("")


def test_walls_have_names_and_clock_times() -> None:
    """The eight directions have a name and a time each; an unknown one is a question mark, not a guess."""
    assert ["front", "right wall", "back", "left wall"] == [words.facing(wall) for wall in (0, 2, 4, 6)]
    assert ["12:00", "3:00", "6:00", "9:00"] == [words.facing(wall, clock=True) for wall in (0, 2, 4, 6)]
    assert ("?", "an unknown wall") == (words.facing(-1), words.towards(-1))
    assert ("the left wall", "back", "10:30") == (words.towards(6), words.towards(4), words.towards(7))


def test_the_free_foot_is_the_other_one() -> None:
    """Weight on the left leaves the right foot free, and weight on both leaves none."""
    assert ["right", "left", "none"] == [words.free(weight) for weight in Weight]
    assert "the weight is on both feet" == words.freely(Weight.BOTH)
    assert "left" == words.foot(Foot.LEFT)


def test_small_numbers_read_well() -> None:
    """Ordinals, nouns and mixed numbers are English."""
    assert "1st 2nd 3rd 4th 11th 12th 21st 112th" == " ".join(map(words.ordinal, (1, 2, 3, 4, 11, 12, 21, 112)))
    assert ("1 sheet", "0 sheets", "1,200 sheets") == tuple(words.count(n, "sheet") for n in (1, 0, 1200))
    assert ("3", "3/4", "2 1/4") == tuple(words.number(Fraction(n, 4)) for n in (12, 3, 9))


def test_a_sheet_cannot_steer_the_terminal() -> None:
    """Escapes, marks that reverse text and lone surrogates are written out; everything readable stays."""
    assert "\\x1b[2J\\u202e" == words.visible("\x1b[2J\u202e")
    assert "Café → 5½" == words.visible("Café → 5½")
    words.visible("\udc80").encode("utf-8")


def test_what_there_is_only() -> None:
    """One is said in a word of its own."""
    assert ["there are only 0", "there is only one", "there are only 1,200"] == [words.only(n) for n in (0, 1, 1200)]
