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
