"""Heads with a number behind them, the end of the dance, and the beats behind the last line of a part."""

import pytest

import stepcheck as sc

TOP = "Osier Row (clogging)\nwait 8, left foot lead\n\n"
PARTS = "PART A (16 beats)\n4 Basics\n2 Triples\n\nPART B (16 beats)\n4 Chains\n\n"


def parts(text: str) -> list[str]:
    """Return the heads of the parts of a draft."""
    return [line[5:].split(":")[0] for line in text.splitlines() if line.startswith("part ")]


@pytest.mark.parametrize(
    "end",
    [
        "SEQUENCE:\nA - B - A\n\nENDING\nStep left, Stomp right. Smile!\n",
        "SEQUENCE:\nA\nB\nA\n\nEnding\nStep left, stomp right\n",
        "SEQUENCE: A - B - A - Ending\n\nENDING\nStep left, stomp right\n",
        "Ending\nStep left, stomp right\n\nOrder\nA, B, A, Ending\n",
    ],
)
def test_the_end_stands_over_its_steps_behind_the_order(end: str) -> None:
    """A name behind an empty line, over steps, is no more of the list of parts above it."""
    made = sc.draft(TOP + PARTS + end)

    assert "part Ending:\n  S(L) STO(R)\n" in made.text and made.text.count("Ending") == 2
    assert not made.open


@pytest.mark.parametrize(
    ("said", "name", "wanted"),
    [
        ("End   1 Triple L, Stomp R, Stomp L", "End", "  Triple, left foot\n  STO(R) STO(L)\n"),
        ("Bridge  4 Basics", "Bridge", "  Basic x4\n"),
        ("INTRO   4 BASICS / 2 TRIPLES   16", "Intro", "  Basic x4\n  Triple x2\n"),
        ("Break 2 Rocking Chairs, 2 Basics", "Break", "  Rocking Chair x2\n  Basic x2\n"),
        ("TAG  1 Basic", "Tag", "  Basic\n"),
        ("Break 2   4 Basics", "Break 2", "  Basic x4\n"),
        ("Break 2: 4 Basics", "Break 2", "  Basic x4\n"),
    ],
)
def test_a_number_behind_a_head_is_how_often_its_first_figure_is_danced(said: str, name: str, wanted: str) -> None:
    """What stands behind it apart, or is the name of several things, is danced so often."""
    made = sc.draft(f"{TOP}{PARTS}{said}\n\nOrder: A B {name} A\n")

    assert parts(made.text) == ["A", "B", name]
    assert wanted in made.text and not made.open


@pytest.mark.parametrize("said", ["Verse 2 same as verse 1", "Verse 2 turns to the back", "Verse 2 Chorus 2 Verse 2"])
def test_a_number_behind_a_head_may_be_its_own(said: str) -> None:
    """Words that name no several things leave the number with the head."""
    assert "x2" not in sc.draft(f"{TOP}Verse 1: 4 Basics\nChorus: 4 Chains\n{said}\n").text


def test_no_row_names_parts() -> None:
    """A ball is no part B, where the row has a name in front of it either."""
    made = sc.draft(f"{TOP}{PARTS}BREAK\nJoey   DS B(xib) B(os) B(os) B(xib) B(os) S\n\nOrder: A B BREAK A\n")

    assert made.text.endswith("dance:\n  A\n  B\n  Break\n  A\n") and not made.open


CARD = "A    4 BASICS / 2 TRIPLES\n     RIGHT FT - 2 ROCKING CHAIRS / 2 TRIPLES   32\n\nB    2 CHAINS{}\n     2 FANCY DBLS   {}\n"


def test_beats_behind_the_last_line_are_those_of_the_part() -> None:
    """No other line states any, and all lines of one part come to them: so it is everywhere."""
    made = sc.draft(f"{TOP}{CARD.format('', 24)}\nOrder: A B A\n")

    assert "part A: 32 beats\n  Basic x4\n  Triple x2\n  Rocking Chair x2, right foot\n  Triple x2\n" in made.text
    assert "part B: 24 beats\n  Chain x2\n  Fancy Double x2\n  ? 8 beats" in made.text


def test_beats_behind_lines_are_those_of_the_lines() -> None:
    """Where each line states its own, the last does too."""
    made = sc.draft(f"{TOP}{CARD.format('   8', 8)}\nOrder: A B A\n")

    assert "part B: 8 beats" not in made.text and "  Chain x2\n  Fancy Double x2\n" in made.text


@pytest.mark.parametrize("said", ["CARD 61", "SHEET 112"])
def test_the_number_of_a_card_is_no_tempo(said: str) -> None:
    """Only words of a pace stand before a tempo."""
    assert "tempo" not in sc.draft(f"OSIER ROW   clogging\nW. TACKETT   {said}   LEFT FT\n\nA: 4 BASICS\n").text


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("4 BASICS AROUND L (FULL)", "Basic x4, turn 1/4 left"),
        ("4 Basics full around left", "Basic x4, turn 1/4 left"),
        ("4 Basics around to the right, 1/4 each", "Basic x4, turn 1/4 right"),
        ("4 Basics around L", "Basic x4 (around, to the left)"),
    ],
)
def test_around_goes_to_a_side(said: str, wanted: str) -> None:
    """A side behind `around` is that of the turn, or where it goes, and no foot."""
    assert f"part A:\n  {wanted}\n" in sc.draft(f"{TOP}A: {said}\n").text


def test_the_foot_of_a_figure_before_a_comma_is_no_rock() -> None:
    """`Triple R, STOMP L` is a figure and a stomp, whatever case they have."""
    made = sc.draft(f"{TOP}{PARTS}END   TRIPLE L, TRIPLE R, STOMP L\n")

    assert "part Ending:\n  Triple, left foot\n  Triple, right foot\n  Stomp, left foot\n" in made.text


@pytest.mark.parametrize(
    "lines",
    ["1x Basic\n1x Stomp", "1 x Basic\n1 X Stomp", "a) Basic\nb) Stomp", "a. Basic\nb. Stomp", "(a) Basic\n(b) Stomp"],
)
def test_the_lines_of_a_short_end_may_be_counted(lines: str) -> None:
    """A letter before each of two lines counts them, and a step is danced once as a figure is."""
    made = sc.draft(f"{TOP}{PARTS}Ending\n{lines}\n\nOrder: A B Ending\n")

    assert "part Ending:\n  Basic\n  Stomp\n" in made.text and not made.open


def test_the_numbers_of_an_order_count_no_figures() -> None:
    """`2) Basics` is how often, whatever counts the parts in a list below."""
    made = sc.draft(f"{TOP}A\n2) Basics\n4) Chains\n\nB\n3) Basics\n2) Triples\n\n1. A\n2. B\n3. A\n4. B\n")

    assert "  Basic x2\n  Chain x4\n" in made.text and "  Basic x3\n  Triple x2\n" in made.text
    assert made.text.split("dance:\n")[1].split() == ["A", "B", "A", "B"]


@pytest.mark.parametrize("head", ["End", "Ending", "FINISH"])
def test_the_end_in_the_order_is_the_part_of_its_steps(head: str) -> None:
    """Steps behind the last part of an order are a part that closes the dance and has just these, and no second one."""
    made = sc.draft(f"{TOP}Order: A B A Stomp Stomp\n\n{PARTS}{head}: STO (L), STO (R)\n")

    assert len(parts(made.text)) == 3 and not made.open
    assert made.text.split("dance:\n")[1].split() == ["A", "B", "A", head.capitalize()]


def test_other_steps_in_the_order_than_those_of_the_end_are_open() -> None:
    """Which of both closes the dance, nothing says."""
    made = sc.draft(f"{TOP}Order: A B A Clap Clap\n\n{PARTS}Ending: Stomp L, Stomp R\n")

    assert len(parts(made.text)) == 3 and [each for each in made.open if "Clap" in each]


@pytest.mark.parametrize(
    "said", ["So it runs: A, B, A, and to finish a stomp on the left", "THE WHOLE DANCE: A, B, A. Then stomp left"]
)
def test_a_close_at_the_end_of_an_order_is_in_no_part_above(said: str) -> None:
    """However the order is called, its last words are none of the part that stands over it."""
    made = sc.draft(f"{TOP}{PARTS}{said}\n").text

    assert "part B: 16 beats\n  Chain x4\n\n" in made and "dance:\n  A\n  B\n  A\n" in made


def test_a_part_that_there_is_begins_with_that_sentence() -> None:
    """`There's a break at the end` heads what its paragraph says."""
    made = sc.draft(f"{TOP}{PARTS}There's a break when the fiddle rests. 2 Stomp Doubles (8)\n\nOrder: A B Break A\n")

    assert "part Break:" in made.text and "  # when the fiddle rests\n  Stomp Double x2\n" in made.text
    assert not made.open


@pytest.mark.parametrize("said", ["Chain timing is &1 &2 &3 &4", "Chain timing: &1 &2 &3 &4"])
def test_how_a_figure_is_counted_is_no_dance(said: str) -> None:
    """Its beats behind its name are no line of the part above."""
    made = sc.draft(f"{TOP}{PARTS}{said}\n")

    assert "part B: 16 beats\n  Chain x4\n\n" in made.text and [each for each in made.open if "timing" in each]
