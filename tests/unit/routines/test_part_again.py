"""A line that has a part once more, whole or cut, between parts that are told."""

import pytest

import stepcheck as sc

TOLD = (
    "Millrace Reel (clogging)\nwait 8, left foot lead\n\nPart A\nTriple, turn 1/2 left\n2 Basics\nFancy Double\n"
    "2 Triples\n\nPart B\n4 Basics\n2 Triples\n\n{said}\n\nPart C\n2 Fancy Doubles\n"
)


def _dance(said: str) -> list[str]:
    """Return the dance of a sheet with a line between its parts B and C."""
    made = sc.draft(TOLD.format(said=said))
    assert not made.open
    assert "part B:\n  Basic x4\n  Triple x2\n\n" in made.text
    return [each.strip() for each in made.text.split("dance:\n")[1].split("\n\n")[0].splitlines()]


@pytest.mark.parametrize(
    "said",
    [
        "Part A (first 8 beats)",
        "PART A (1ST 8 BEATS ONLY)",
        "Part A - 8 beats only",
        "A, only the first 8 cts",
        "Part A: just do the first 8 beats",
        "Part A [first 8 counts]",
        "Part A\n  first 8 only",
        "Part A up to beat 8",
        "Part A, stop after 8 beats",
        "Part A (beats 1-8 only)",
        "Part A short (first 8 beats)",
        "Part A / first 8 / leave out the rest",
        "Short A - first 8 beats",
        "First 8 beats of Part A",
        "Opening 8 beats of A only",
        "Do just the first 8 counts of Part A this time",
        "Beats 1-8 of Part A",
        "Repeat A, stop after 8 beats",
        "Repeat the first 8 beats of A",
    ],
)
def test_a_part_that_is_told_may_be_danced_up_to_a_beat(said: str) -> None:
    """It is cut there, however that is said; never danced whole."""
    assert _dance(said) == ["A", "B", "A, first 8 beats", "C"]


@pytest.mark.parametrize(
    "said",
    ["Part A (first few beats)", "Part A, short", "Part A up to the Fancy Double", "Part A without the first 8 beats"],
)
def test_a_part_that_is_cut_where_nothing_says_is_open(said: str) -> None:
    """It is danced neither whole nor as far as anyone guesses."""
    made = sc.draft(TOLD.format(said=said))

    assert "  A\n  B\n  # " in made.text and made.open


@pytest.mark.parametrize(
    "said",
    [
        "Rep. Part A",
        "Rpt. A",
        "*Repeat A*",
        'Repeat "A"',
        "Go back and do Part A again",
        "Now dance Part A once more, just like before.",
        "Part A over again",
        "Do A one more time",
    ],
)
def test_a_part_that_is_told_is_danced_again(said: str) -> None:
    """In a sheet without an order it is danced at this place."""
    assert _dance(said) == ["A", "B", "A", "C"]


@pytest.mark.parametrize(
    "said",
    [
        "Repeat Part A (start facing back)",
        "Rpt. A - start at back wall",
        "Back wall: repeat Part A",
        "Facing back, rpt Part A",
        "Repeat: Part A (back wall)",
        "Repeat A from the back",
        "Repeat Part A, beginning on the back wall",
        "Part A again (you start facing the back wall)",
    ],
)
def test_where_a_part_begins_again_is_claimed_before_it(said: str) -> None:
    """It is where the part before it ends."""
    assert _dance(said) == ["A", "B", "expect facing back", "A", "C"]


@pytest.mark.parametrize("said", ["Back to Part A", "Go back to A"])
def test_back_to_a_part_between_others_is_open(said: str) -> None:
    """It may be that part alone, or all from it on."""
    made = sc.draft(TOLD.format(said=said))

    assert any(said in each for each in made.open)
    assert "  A\n  B\n  C\n" in made.text


@pytest.mark.parametrize("said", ["(over)", "Over", "OVER ->"])
def test_over_alone_turns_the_page(said: str) -> None:
    """Nothing is danced again for it."""
    made = sc.draft(TOLD.replace("Part C\n2 Fancy Doubles\n", "").format(said=said))

    assert "times" not in made.text and made.text.split("dance:\n")[1].split()[:2] == ["A", "B"]
    assert "part B:\n  Basic x4\n  Triple x2\n\n" in made.text


TWICE = "Osier Row (clogging)\nwait 8, left foot lead\n\nPart A\n4 Basics\n2 Triples, 1/4 L each\n{said}\n\nPart B\n4 Chains\n\n"


@pytest.mark.parametrize(
    ("said", "order", "wanted"),
    [
        ("16, you are at the back. Do A again to get home.", "A A B", ["A", "facing back", "A", "facing front", "B"]),
        ("That makes 16 beats and you face the back. Do A again.", "A A B", ["A", "facing back", "A", "B"]),
        ("16, you are at the back. Repeat A to the front.", "A x2, B", ["A", "facing back", "A", "facing front", "B"]),
        ("Do A again to the front.", "A A B A A", ["A", "A", "facing front", "B", "A", "A"]),
    ],
)
def test_a_part_that_the_order_has_twice_is_not_danced_again_in_itself(
    said: str, order: str, wanted: list[str]
) -> None:
    """Where each of both times ends is said behind it; `A` in `Do A again` is the part."""
    made = sc.draft(f"{TWICE.format(said=said)}Order: {order}\n")

    assert [line.strip().removeprefix("expect ") for line in made.text.split("dance:\n")[1].splitlines()] == wanted
    assert "  Triple x2, turn 1/4 left\n\npart B" in made.text and not made.open


@pytest.mark.parametrize(("length", "wanted"), [(8, "  Basic x4\n"), (32, "  4 times:  # 4 times makes a box\n")])
def test_how_often_a_figure_is_danced_told_again_below_it(length: int, wanted: str) -> None:
    """Where it fills its part that is no repeat; in a part that has room for so many it is."""
    made = sc.draft(
        f"Osier Row (clogging)\nwait 8, left foot lead\n\nA ({length} beats)\n4 Basics\n4 times makes a box\n"
    )

    assert f"part A: {length} beats\n{wanted}" in made.text and not made.open


@pytest.mark.parametrize("said", ["(repeat)", "(same again)", "(do it again)", "(Repeat A)"])
def test_a_bracket_alone_asks_for_the_lines_above_it_again(said: str) -> None:
    """On a line of its own it says no less than without the bracket."""
    made = sc.draft(f"Osier Row (clogging)\nwait 8, left foot lead\n\nA\n2 Triples\n{said}\n\nB\n2 Basics\n")

    assert f"part A:\n  2 times:  # {said}\n    Triple x2\n" in made.text and not made.open


@pytest.mark.parametrize("said", ["basic basic triple", "Basic Basic Triple (8)"])
def test_figures_with_nothing_between_are_danced_one_by_one(said: str) -> None:
    """So many, or so alike, are no name."""
    made = sc.draft(f"Osier Row (clogging)\nwait 8, left foot lead\n\nA\n{said}\n\nB\n2 Basics\n")

    assert "part A:\n  Basic\n  Basic\n  Triple\n" in made.text and not made.open


@pytest.mark.parametrize("said", ["in your own little circle", "in their own spot"])
def test_a_way_of_ones_own_is_a_note(said: str) -> None:
    """A circle is danced, and not in place."""
    made = sc.draft(f"Osier Row (clogging)\nwait 8, left foot lead\n\nA\n4 Basics {said}\n\nB\n2 Basics\n").text

    assert "  Basic x4 (" in made and ("in place" in made) == ("spot" in said)


@pytest.mark.parametrize(
    ("talk", "read"),
    [("I know.", True), ("Yes, really. You know this one!", True), ("But turn right.", False), ("Add a Stomp.", False)],
)
def test_talk_behind_a_part_that_is_another_one_changes_nothing(talk: str, read: bool) -> None:
    """It is a remark where it says nothing of a dance; else the part is a blank, and open."""
    made = sc.draft(
        "Osier (clogging)\nwait 8\n\nChorus 1 (16 beats)\n4 Triples\n\nBreak\n2 Basics\n\n"
        f"Chorus 2\nSame as Chorus 1. {talk}\n\nOrder: Chorus 1, Break, Chorus 2\n"
    )

    assert (
        made.text.partition("dance:\n")[2]
        .split("\n\n")[0]
        .strip()
        .endswith("Break\n  Chorus 1" if read else "Chorus 2")
    )
    assert talk.split(".")[0] in made.text and bool(made.open) != read
