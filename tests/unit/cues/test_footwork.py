"""Rows of codes in a line, with their feet and beats."""

import pytest

import stepcheck as sc
from stepcheck.cues.codes import codes_apart
from stepcheck.cues.footwork import found_in, is_broken


@pytest.mark.parametrize(
    ("text", "codes", "feet"),
    [
        ("Cowboy   DS DS DS BR UP DS RS RS RS", "DS DS DS BR UP DS RS RS RS", ()),
        ("DS(L) Tch(f)(R) H(L) RS(RL)", "DS TCH H RS", ("L", "R", "L", "RL")),
        ("DS  BR/SL  DS  RS   L R-L R LR", "DS BR-SL DS RS", ("L", "R-L", "R", "LR")),
        ("ds tch out h tch x h", "DS TCH H TCH H", ()),
        ("DS R(XIF)S R(OTS)S", "DS RS RS", ()),
        ("Brush Up   DS BR UP", "DS BR UP", ()),
        ("St  DS  DS  RS", "STO DS DS RS", ()),
        ("st ds ds rs          stomp double", "STO DS DS RS", ()),
        ("DS BR UP DS RS     Brush Up", "DS BR UP DS RS", ()),
        ("DS BR UP DS RS     Brush up    L", "DS BR UP DS RS", ()),
        ("DS DS DS R S", "DS DS DS RS", ()),
        ("ds, ba(xib), s", "DS BA S", ()),
    ],
)
def test_a_row_is_read_however_it_is_set(text: str, codes: str, feet: tuple[str, ...]) -> None:
    """Codes in capitals or small letters, with places and feet in brackets or in columns; a name before or behind the row
    is none of it."""
    (row,) = found_in(text, {})

    assert codes == " ".join("-".join(group) for group in row.codes)
    assert feet == row.feet


@pytest.mark.parametrize(
    ("text", "codes"),
    [
        ("DOUBLE UP   DS DT UP DS RS", "DS DT UP DS RS"),
        ("BRUSH UP STEP   DS BR UP DS RS", "DS BR UP DS RS"),
        ("4  TRIPLE BRUSH\tDS DS DS BR SL", "DS DS DS BR SL"),
        ("HEEL TOE  DS H T RS RS  L R L", "DS H T RS RS"),
        ("STOMP   STO DS DS RS", "STO DS DS RS"),
        ("STOMP   DS DS RS", "STO DS DS RS"),
        ("STOMP STOMP   DS RS", "STO STO DS RS"),
        ("BRUSH   UP   DS   RS", "BR UP DS RS"),
        ("BR UP   DS RS", "BR UP DS RS"),
        ("HEEL TOE DS RS", "H T DS RS"),
        ("BRUSH HEEL TOE   DS DS RS", "DS DS RS"),
        ("STOMP - CLAP - STOMP - CLAP", "STO CLAP STO CLAP"),
    ],
)
def test_a_name_in_capitals_is_no_footwork(text: str, codes: str) -> None:
    """Words in front of a gap that is wider than those of the row behind it are a name, though each of them is also a
    code: several words in full, or one that is a step of the row. Codes, one word and the same step again are danced."""
    assert codes == " ".join("-".join(group) for group in found_in(text, {})[0].codes)


@pytest.mark.parametrize(
    ("said", "line"),
    [
        ("DS BR SL DS RS     Brush Slide", "DS BR SL DS RS (Brush Slide)"),
        ("DS DS S S     Step forward", "DS DS S S (Step forward)"),
        ("DS DS DS RS    Clap", "DS DS DS RS CLAP"),
    ],
)
def test_words_behind_a_row_that_name_its_own_steps_are_not_danced_again(said: str, line: str) -> None:
    """Behind a wide space they are what the row is called; another step is danced."""
    assert line in sc.draft(f"Quern Lane (clogging)\nwait 8, left foot lead\n\nA\n{said}\n").text


@pytest.mark.parametrize(
    "text", ["Stomp L, Stomp R", "Brush Up L", "2 RS, Stomp", "Heel Pull", "step in place and hold"]
)
def test_words_of_single_steps_are_no_row(text: str) -> None:
    """They need a double step, a rock step or codes in capitals among them."""
    assert [] == found_in(text, {})


def test_the_sheet_says_what_its_abbreviations_are() -> None:
    """A legend comes before the codes of the book."""
    assert (("STO",), ("DS",)) == found_in("Z DS", {"z": ("STO",)})[0].codes
    assert (("STO",), ("DS",)) == found_in("DR DS", {"dr": ("STO",)})[0].codes


@pytest.mark.parametrize(
    ("said", "line"),
    [
        ("Triple\n   DS R, DS L, DS R, RS (L R)    &5 &6 &7 &8", "Triple, right foot"),
        ("Stomp Double\n   Stomp L, DS R, DS L, RS (R L)   1 &2 &3 &4", "Stomp Double, left foot"),
        ("(L) DS-DS(xif)-DS-RS     Vine 4, left", "Vine, left foot (to the left)"),
        ("(R) DS-DS-DS-RS     Triple, right", "Triple, right foot (to the right)"),
        ("Triple, quarter turn R\n> do it 3 more times, 4 walls in all", "4 times:"),
        ("Triple, quarter turn R\n> do it 2 more times, 4 walls in all", "Triple, turn 1/4 right"),
    ],
)
def test_feet_beside_each_code_and_the_way_behind_a_name_are_read(said: str, line: str) -> None:
    """A row in words has its feet behind its codes, two of them behind a rock step; a side said twice is where the
    figure goes."""
    made = sc.draft(f"Sedge Mill (clogging)\n\nA\n{said}\n").text
    lines = [each.split("  # ")[0].strip() for each in made[made.index("part A") :].splitlines()]

    assert line == lines[1]


@pytest.mark.parametrize(
    ("said", "line"),
    [
        ("Rocking Chair  DS BrSl DS RS", "Rocking Chair"),
        ("DS BrUp DS RS", "DS BR UP DS RS"),
        ("Triple Brush  DS DS DS BrXx", "# Triple Brush DS DS DS BrXx"),
    ],
)
def test_two_codes_in_one_word_are_both_danced(said: str, line: str) -> None:
    """A capital inside a word begins a code; a word that is written so and is no code leaves its row open, never cut
    short."""
    made = sc.draft(f"Sedge Mill (clogging)\n\nA\n4 Basics\n{said}\n")
    lines = [each.strip() for each in made.text[made.text.index("part A") :].splitlines()]

    assert line == lines[2]
    assert line.startswith("#") == bool(made.open)


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("DS BRSL DS RS", "DS BR SL DS RS"),
        ("2 Rocking Chairs (DS BRSL DS RS)", "2 Rocking Chairs (DS BR SL DS RS)"),
        ("DS(xif) BRUP TCHH RS", "DS(xif) BR UP TCH H RS"),
        ("DS/BRSL/DS/RS", "DS/BR SL/DS/RS"),
        ("DS DRS DRS RS", "DS DRS DRS RS"),  # `DR S` or `D RS`
        ("DS TOE HEEL RS", "DS TOE HEEL RS"),
        ("STOP DS RS", "STOP DS RS"),
        ("SLUR VINE R, BAS, BAS", "SLUR VINE R, BAS, BAS"),
        ("BRSL", "BRSL"),  # nothing says that it is a code
        ("BRSL = brush slide, DS = double step", "BRSL = brush slide, DS = double step"),
        ("CHAIN DS RS RS RS, TRIPLE DS DS DS RS", "CHAIN DS RS RS RS, TRIPLE DS DS DS RS"),
    ],
)
def test_codes_that_are_one_word_in_a_row_are_two(said: str, wanted: str) -> None:
    """A word beside codes is the two codes of which it is made, if it is made of no others."""
    assert codes_apart(said) == wanted


@pytest.mark.parametrize("row", ["DS BRXX DS RS", "DS(xif) BRXX DS RS", "DS RS BRXX DS", "DS DRS RS DS"])
def test_a_row_with_a_word_that_is_no_code_is_not_cut_short(row: str) -> None:
    """Whatever stands before or behind the word, the row is in doubt as a whole."""
    assert is_broken(row, {})


@pytest.mark.parametrize(
    "row", ["BASIC DS RS", "DS DS RS RS   R LR LR", "DS RS AND DS", "(DS RS) TRIPLE DS DS DS RS", "DS R DS RS"]
)
def test_a_row_beside_a_name_is_whole(row: str) -> None:
    """A name, feet and small words cut no row short."""
    assert not is_broken(row, {})


@pytest.mark.parametrize("said", ["TOUCH SIDE, TOUCH ACROSS, TOUCH BEHIND", "TCH SIDE TCH ACROSS TCH BEHIND"])
def test_a_place_in_capitals_ends_no_row(said: str) -> None:
    """On a sheet in capitals where a foot goes is of its code, and the row goes on behind it."""
    made = sc.draft(f"OSIER ROW (CLOGGING)\n\nPART A\nGOSLING L:  DOUBLE STEP, {said}\n2 BASICS\n\nPART B\n4 BASICS\n")

    assert "Gosling: DS TCH TCH TCH (side, across, behind)\n".casefold() in made.text.casefold()
    assert not made.open
