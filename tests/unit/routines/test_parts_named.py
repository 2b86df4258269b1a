"""Parts as their heads and the order of the dance call them."""

import pytest

import stepcheck as sc

TOLD = (
    "Millrace Reel (clogging)\nwait 8, left foot lead\n\nPart A\nTriple\n2 Basics\nFancy Double\n2 Triples\n\nPart B\n"
    "4 Basics\n2 Triples\n\nBreak\n2 Triples\n\nPart C\n2 Fancy Doubles\n\n{said}\n"
)


@pytest.mark.parametrize(
    "said",
    [
        "Order: A, B, repeat A, Break, C, repeat B",
        "Sequence: A - B - repeat A - Break - C - rpt Part B",
        "The parts go A, then B, then A again, then the Break, then C, and finish with B.",
        "Parts are danced: A, B, A, Break, C, and end with B",
        "Order: A B A *Break* C B",
        "Order: A, B, A, 8 beat break, C, B",
        "Order: A, B, A, then an 8-count Break, C, B",
    ],
)
def test_an_order_may_say_more_than_names(said: str) -> None:
    """What only says that a part is the next one, or how long it is, leaves the order whole."""
    made = sc.draft(TOLD.format(said=said))

    assert not made.open
    assert made.text.split("dance:\n")[1].split() == ["A", "B", "A", "Break", "C", "B"]


@pytest.mark.parametrize("said", ["A B\nA C\nB", "A - B\nA - C\nB", "A, B,\nA, C,\nB"])
def test_an_order_may_stand_on_several_lines(said: str) -> None:
    """Lines of nothing but letters of parts below each other are the order."""
    made = sc.draft(TOLD.replace("Break\n2 Triples\n\n", "").format(said=said))

    assert not made.open
    assert made.text.split("dance:\n")[1].split() == ["A", "B", "A", "C", "B"]


def test_a_repeat_between_parts_names_none() -> None:
    """`A, repeat, B` is not A and B once each."""
    made = sc.draft(TOLD.format(said="Order: A, repeat, B, Break, C"))

    assert any("repeat" in each for each in made.open) or "  A x2\n" in made.text or "  A\n  A\n" in made.text


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ('Part "A"', 'Part "B"'),
        ('"A" Part', '"B" Part'),
        ("Part-A (8)", "Part-B [8]"),
        ("Part (A)", "Part (B)"),
        ("PART 'A':", "PART 'B':"),
        ("Part A, Verse, 8 beats in all", "Part B, Chorus, 8 beats in all"),
    ],
)
def test_the_letter_of_a_part_may_stand_between_signs(first: str, second: str) -> None:
    """Such a head begins a part as any other does."""
    made = sc.draft(f"Millrace Reel (clogging)\nwait 8\n\n{first}\n2 Triples\n\n{second}\n4 Basics\n\nOrder: A B A\n")

    assert "  Triple x2\n\npart B:" in made.text.replace(" 8 beats", "") and "?" not in made.text
    assert made.text.split("dance:\n")[1].split() == ["A", "B", "A"]


@pytest.mark.parametrize("said", ["Ending", "Part: Ending", "End of dance:", "End of the song:", "Finish / Ending"])
def test_the_end_of_the_dance_is_a_part_by_several_names(said: str) -> None:
    """The order calls it `Ending`."""
    made = sc.draft(f"Millrace Reel (clogging)\nwait 8\n\nA\n2 Triples\n\n{said}\nTriple\nBasic\n\nOrder: A A Ending\n")

    assert "part Ending:\n  Triple\n  Basic\n" in made.text
    assert made.text.split("dance:\n")[1].split() == ["A", "A", "Ending"]
    assert not made.open


def test_the_end_of_the_dance_without_steps_is_no_part() -> None:
    """`End of dance` under everything only says so."""
    made = sc.draft("Millrace Reel (clogging)\nwait 8\n\nA\n2 Triples\n\nB\n4 Basics\n\nOrder: A B A\n\nEnd of dance\n")

    assert "part End" not in made.text


@pytest.mark.parametrize(
    ("heads", "said", "wanted"),
    [
        (("A. Verse", "B. Chorus", "C. Bridge"), "A B A C", ["A", "B", "A", "C"]),
        (("A. Verse", "B. Chorus", "C. Bridge"), "*A - first 8 beats only*", ["A", "B", "C", "A, first 8 beats"]),
        (("Verse (A)", "Chorus (B)", "Break"), "Sequence: A B Break A", ["A", "B", "Break", "A"]),
        (("Verse (A)", "Chorus (B)", "Break"), "Verse, Chorus, Break", ["Verse", "Chorus", "Break"]),
        (("Verse - Part A", "Chorus - Part B", "Break"), "A B A Break", ["A", "B", "A", "Break"]),
        (("Verse / Part A", "Chorus (Part B)", "Break"), "A (first 8 beats)", ["A", "B", "Break", "A, first 8 beats"]),
        (("Verse: Part A", "Chorus: Part B", "Break"), "Repeat Part A", ["A", "B", "Break", "A"]),
        (("Part A", "Part B", "Part C"), "*** KEEP THOSE FEET HAPPY ***", ["A", "B", "C"]),
    ],
)
def test_parts_are_danced_by_the_names_that_read_most_of_the_order(
    heads: tuple[str, str, str], said: str, wanted: list[str]
) -> None:
    """Letters with a stop head parts where they go up, an order may have the names beside the heads, and a slogan below
    all is no part."""
    made = sc.draft(
        "Weir Reel (clogging)\nwait 8\n\n{}\n4 Triples\n\n{}\n2 Basics\n\n{}\nChain\n\n".format(*heads) + said
    )
    dance = [line.split("  #")[0].strip() for line in made.text.split("dance:")[1].split("\n")]

    assert [line for line in dance if line and line[0] != "#"] == wanted
    assert made.open == ()


def test_a_letter_in_brackets_heads_a_part_and_a_level_between_stars_none() -> None:
    """`(C)` with nothing behind it is no copyright, and `*easy*` is what it says."""
    made = sc.draft("Weir Reel (clogging)\n*easy*\nwait 8\n\n(A)\n4 Triples\n\n(C)\nChain\n\nSequence: A C A\n")

    assert {"level: easy, club scheme", "wait: 8 beats", "part A:", "part C:"} <= {*made.text.splitlines()}
    assert not made.open
