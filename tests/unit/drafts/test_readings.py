"""What descriptions say in customary words, each once read as something else or not at all."""

import re

import pytest

import stepcheck as sc

LINE = "Osier Row\n{} counts, 1 wall, line dance\n\n"
CLOG = "Osier Row (clogging)\nWait 8 beats, left foot lead\n\n"


def body(text: str) -> list[str]:
    """Return the lines of the parts of a draft, without their notes and comments."""
    made = sc.draft(text).text
    parts = made[made.index("\npart ") + 1 : made.index("\ndance:")]
    bare = (re.sub(r" \([^()]*\)$", "", line.split("  #")[0]).strip() for line in parts.splitlines())
    return [line for line in bare if line and line[0] != "#"]


@pytest.mark.parametrize(
    ("said", "wanted", "figures"),
    [
        ("Charleston   DS TCH(f) TOE HEEL RS", "Charleston", "  Charleston: DS TCH TW HD RS (f)\n"),
        ("Charleston   DS TCH PLOP HEEL RS", "Charleston", ""),
        ("Fogbound   DS TCH PLOP HEEL RS", "# Fogbound DS TCH PLOP HEEL RS", ""),
        ("Cowboy turn 1/2 left   DS DS DS RS", "Cowboy, turn 1/2 left", "  Cowboy: DS DS DS RS\n"),
        ("Rocking Chair 1/4 L   DS BR-UP DS RS", "Rocking Chair, turn 1/4 left", "  Rocking Chair: DS BR UP DS RS\n"),
    ],
)
def test_a_row_is_the_footwork_of_its_name_or_of_nothing(said: str, wanted: str, figures: str) -> None:
    """A row with a word that is no code is not cut at it, and a turn behind a name is no part of the name."""
    made = sc.draft(f"{CLOG}Part A\n{said}\nStomp L\n").text
    found = re.search(r"(?<=figures:\n)(?:  .+\n)+", made)

    assert figures == (found[0] if found else "")
    assert wanted in made


def test_a_row_behind_several_figures_is_that_of_them_all() -> None:
    """`Basic L, Basic R   DS RS DS RS`: one row for both, and no Basic of four beats."""
    assert ["part A:", "Basic, left foot", "Basic, right foot"] == body(
        f"{CLOG}Part A\nBasic L, Basic R   DS RS DS RS\n"
    )


def test_a_length_that_a_row_does_not_have_is_named_with_both_figures() -> None:
    """What is open says the beats that are stated and those that the row has."""
    made = sc.draft(f"{CLOG}Part A\nDS DS RS (8)\nL R LR\n")

    assert any("8 beats are stated, 3 are read" in said for said in made.open)
    assert "? 8 beats" in made.text


def test_beats_before_a_cue_are_those_of_the_cue() -> None:
    """`8 beats   Turkey` says nothing of how long its part lasts."""
    assert ["part Verse:", "Basic x2, left foot, 4 beats", "? 8 beats"] == body(
        f"{CLOG}VERSE\n4 beats   Basic x 2 (L, R)\n8 beats   Rooster Run (left)\n"
    )


def test_the_first_beats_are_repeated_and_no_others() -> None:
    """`8: Repeat first 8` is the first eight beats once more, not the whole part."""
    assert ["part A:", "Triple x2, 8 beats", "Charleston x2, 8 beats", "Triple x2, 8 beats"] == body(
        f"{CLOG}8: 2 Triples\n8: 2 Charlestons\n8: Repeat first 8\n"
    )


def test_a_bracket_behind_the_head_of_a_part_is_no_other_part() -> None:
    """`Part C (break)` is part C, as the sequence calls it."""
    made = sc.draft(f"{CLOG}Part A\nTriple L\nPart C (break)\nStomp L\nSequence: A C A\n").text

    assert "part C:  # break\n" in made
    assert "  A\n  C\n  A\n" in made


def test_a_line_that_says_its_counts_loses_no_sentence() -> None:
    """`8 counts: … . …` is all of its sentences, in a section of its own."""
    said = "8 counts: vine R, vine L\n8 counts: rock R to side, recover, cross R, hold. Rock L to side, recover, cross L, hold.\n"

    assert ["S(L) HOLD", "S(R) HOLD"] == sorted(
        line.split(" ", 2)[2] for line in body(LINE.format(16) + said) if line.startswith("RK")
    )


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("R side together side touch", "S(R) S(L) S(R) TCH"),
        ("L side together forward kick", "S(L) S(R) S(L) K"),
        ("Out R, out L, in R, in L", "S(R) S(L) S(R) S(L)"),
    ],
)
def test_places_in_a_row_are_steps(said: str, wanted: str) -> None:
    """Places without signs between them are a step each, and the movement behind them is one more."""
    assert ["part Main: 4 counts", "counts 1-4:", wanted] == body(f"{LINE.format(4)}1-4  {said}\n")


def test_halves_may_be_written_in_words() -> None:
    """`3 and 4` is a half between two counts."""
    assert "Shuffle, right foot" in body(f"{LINE.format(4)}1 to 2  side R, together L\n3 and 4  shuffle to the right\n")


def test_how_often_may_stand_in_brackets() -> None:
    """`Step touches (x4)` alone is four of them; behind several things it is open how many are meant."""
    assert "Step Touch x4" in body(f"{LINE.format(8)}1-8  Step touches (x4)\n")
    assert "? 8 counts" in body(f"{LINE.format(8)}1-8  Step touches, stomp (x4)\n")
