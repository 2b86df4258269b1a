"""What things are called in a script, and when it is too large."""

import pytest

from stepcheck.proof import names as naming
from stepcheck.proof.names import Names, TooLarge


def test_times_turns_and_walls_have_the_names_that_dancers_give_them() -> None:
    """With a value of as many bits; each is stated once."""
    names = Names(8, 12)
    told = {
        names.turn(0): "|no turn| () Turn (_ bv0 8)",
        names.turn(4): "|2/4 right| () Turn (_ bv4 8)",
        names.turn(-6): "|3/4 left| () Turn (bvneg (_ bv6 8))",
        names.turn(10): "|5/4 right| () Turn (_ bv10 8)",
        names.turn(1): "|1/8 right| () Turn (_ bv1 8)",
        names.turn(-3): "|3/8 left| () Turn (bvneg (_ bv3 8))",
        names.beats(0): "|0 beats| () Beats (_ bv0 12)",
        names.beats(36): "|3 beats| () Beats (_ bv36 12)",
        names.beats(41): "|3 beats 5/12| () Beats (_ bv41 12)",
        names.wall(2): "|3:00| () Eighths #b010",
        names.wall(-1): "|10:30| () Eighths #b111",
    }
    assert [f"(define-fun {text})" for text in told.values()] == [*names.shared]
    assert [*told] == [name for (name,) in names.shared.values()]
    assert names.turn(12 - 8) == "|2/4 right|" and len(names.shared) == len(told)


def test_a_name_is_given_once() -> None:
    """The next of the same text has a number, from 2; what the vocabulary has is numbered at once."""
    names = Names(8, 12)

    assert ["|ape|", "|ape #2|", "|ape #3|", "|bee|"] == [names.fresh(text) for text in ("ape", "ape", "ape", "bee")]
    assert "|ite #1|" == Names(8, 12).fresh("ite")
    assert names.named("part", "cod") == names.named("part", "cod") == "|cod|"
    assert "|cod #2|" == names.named("figure", "cod")
    assert "|pick|" == names.pick("pick", 3) and "|pick #2|" == names.pick("pick", 4)
    assert [3, 4] == [names.constants[one].width for one in ("|pick|", "|pick #2|")]
    assert names.known >= {"|ape|", "|ape #2|", "|pick|", "|pick #2|", "|cod|"}


def test_a_sentence_has_one_bit() -> None:
    """Numbered in the order in which they are named; a guess has no claim."""
    names = Names(8, 12)
    first, guess, second = names.bit("1: left foot", "c1"), names.bit("a guess"), names.bit("1: left foot", "c2")

    assert (first, guess, second) == (
        names.bit("1: left foot", "c1"),
        names.bit("a guess"),
        names.bit("1: left foot", "c2"),
    )
    assert {first: 0, guess: 1, second: 2} == names.bits
    assert ["c1", "", "c2"] == names.owners


@pytest.mark.parametrize(
    ("limit", "text", "figures", "owners"),
    [("MOST_TEXT", "x" * 10, 0, 0), ("MOST_FIGURES", "", 10, 0), ("MOST_BITS", "", 5, 2)],
)
def test_what_is_too_large_is_not_said(
    monkeypatch: pytest.MonkeyPatch, limit: str, text: str, figures: int, owners: int
) -> None:
    """More text, figures, or figures times sentences than may be; as much as may be is said."""
    for most, large in ((10, False), (9, True)):
        monkeypatch.setattr(naming, limit, most)
        names = Names(8, 12)
        for number in range(owners):
            names.bit(f"guess {number}")
        if large:
            with pytest.raises(TooLarge):
                names.say(text, figures)
        else:
            names.say(text, figures)
            with pytest.raises(TooLarge):
                names.say("x", 1)


def test_texts_that_others_share_are_taken_where_no_name_means_something_else() -> None:
    """A name that is taken for something else refuses them all."""
    names, other = Names(8, 12), Names(8, 12)
    texts = {"(define-fun |f| () Bool true)": ("|f|",), "(define-fun |g| () Bool |f|)": ("|g|",)}
    other.fresh("g")

    assert names.adopt(texts, 3) and names.adopt(texts, 3) and not other.adopt(texts, 3)
    assert (texts, 6) == (names.shared, names.figures) and ({}, 0) == (other.shared, other.figures)
