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
        ("side R touch, side L touch", "S(R) TCH S(L) TCH"),
        ("fwd R kick, back L hook", "S(R) K S(L) HK"),
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


def test_what_is_counted_alone_is_no_refusal() -> None:
    """A description of which the counts are read, and no step, is a sheet of blanks."""
    made = sc.draft(f"{LINE.format(8)}1-4  wiggle like an eel\n5-8  wiggle back\n")

    assert made.understood
    assert ["? 4 counts", "? 4 counts"] == body(f"{LINE.format(8)}1-4  wiggle like an eel\n5-8  wiggle back\n")[2:]
    assert not sc.draft("Osier Row\n\nWe wiggle like eels, as we please.\n").understood


def test_counts_in_brackets_before_their_words_may_have_halves() -> None:
    """`(1)R heel (&)R tog (2)L heel` is on 1, the half after it, and 2."""
    said = "S1: (1)R heel (&)R tog (2)L heel (&)L tog (3)R heel (4)clap (5-8) wiggle"

    assert ["HT(R)@1 S(R)@1& HT(L)@2 S(L)@2& HT(R)@3 CLAP@4", "? 4 counts"] == body(f"{LINE.format(8)}{said}\n")[2:]


def test_halves_without_their_step_are_a_blank() -> None:
    """`Heel & heel &` says no step for its halves: nobody knows how many counts it is."""
    assert ["? 4 counts"] == body(f"{LINE.format(4)}1-4  R heel & L heel & stomp R &\n")[2:]


def test_feet_in_brackets_behind_more_steps_are_a_remark() -> None:
    """`Heel, together, heel, together (R, L)` is four steps, not six."""
    assert ["HT S HT S"] == body(f"{LINE.format(4)}1-4  Heel, together, heel, together (R, L)\n")[2:]


def test_repeat_alone_is_the_section_so_far_where_it_fits() -> None:
    """`Repeat (5-8)` behind counts 1-4 is these again; behind six counts it is a blank."""
    first = "Step R to side, touch L (1-2)\nStep L to side, touch R (3-4)\n"

    assert ["S(R) TCH(L)", "S(L) TCH(R)"] * 2 == body(f"{LINE.format(8)}[1-8] TOUCHES\n{first}Repeat (5-8)\n")[2:]
    assert "? 2 counts" in body(f"{LINE.format(8)}[1-8] TOUCHES\n{first}Stomp R, stomp L (5-6)\nRepeat (7-8)\n")


def test_counts_in_a_heading_may_have_spaces() -> None:
    """`Counts 1 - 8` alone heads the lines below it and adds no counts."""
    wanted = ["part Main: 8 counts", "counts 1-8:", "Vine, right foot", "Vine, left foot"]

    assert wanted == body(f"{LINE.format(8)}Counts 1 - 8\nVine R\nVine L\n")


def test_a_table_of_cues_needs_no_head_of_a_part() -> None:
    """Rows under column heads are steps from the first on; one whose cue is unknown is a blank of its beats."""
    rows = (
        "Beats   Cue             Steps         Direction\n"
        "4       Triple          DS DS DS RS   fwd\n"
        "2       Basic           DS RS         L\n"
        "8       Mountain Goat\n"
    )

    assert ["part A:", "Triple, 4 beats", "Basic, 2 beats", "? 8 beats"] == body(CLOG + rows)


def test_a_heel_walk_is_no_touch_of_the_heel() -> None:
    """What nobody has written down is not made of its words."""
    assert ["part A:", "Triple"] == body(f"{CLOG}Part A\nTriple\nHeel Walk 8\n")


def test_a_numbered_line_is_open_where_it_is_not_read() -> None:
    """A number before a line among steps makes it steps; and so does the name of a figure."""
    for said in ("3. Hip rolls x 2", "Right foot: jazz box in eight slow counts"):
        made = sc.draft(f"{LINE.format(16)}1. Vine right, stomp R\n2. Vine left, stomp L\n{said}\n")
        assert any(said in each for each in made.open), said


def test_the_counts_of_the_whole_dance_are_no_steps() -> None:
    """`Again from the start, 32 counts in all` adds no counts to those that are danced."""
    made = sc.draft("Osier Row\n\nVine right\nVine left\nThen again from the start. 32 counts in all.\n")

    assert "32 counts" not in made.text.split("\npart ")[1].split("\ndance:")[0]
    assert "until the music ends  # Then again from the start." in made.text


def test_the_word_steps_alone_is_no_step() -> None:
    """`Steps:` heads what follows."""
    assert ["part Main:", "Vine, right foot", "Vine, left foot"] == body(
        "Osier Row\nSteps:\n- Vine right\n- Vine left\n"
    )


def test_movements_and_their_codes_are_danced_once() -> None:
    """`Run 4 (DS DS DS DS)` is a double step four times; a length behind a dash is that of its line."""
    assert ["part A:", "Run x4", "? 8 beats"] == body(
        f"{CLOG}Part A\nRun 4 (DS DS DS DS)\nHeel L, toe L, swish - 8 beats\n"
    )


def test_a_turn_over_several_counts_without_steps_is_a_blank() -> None:
    """`Full turn forward over three counts` says no steps."""
    assert ["? 3 counts", "S TCH HOLD"] == body(
        f"{LINE.format(6)}1-6  Full turn forward over three counts, step, touch, hold\n"
    )[2:]


def test_an_order_of_parts_that_has_no_such_part_is_open() -> None:
    """A part that the order has and the sheet has not stands in its place, and is named; no step above a head is lost."""
    made = sc.draft(f"{CLOG}Triple\nTriple\nChorus\nCharleston\nVERSE, CHORUS, VERSE, CHORUS, CHORUS\n")

    assert any("no part Verse is read" in said for said in made.open)
    assert "\npart A:\n  Triple\n  Triple\n" in made.text
