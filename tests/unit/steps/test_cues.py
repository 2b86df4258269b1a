"""Cues and rows of codes."""

import pytest

from stepcheck.drafts.draft import Draft, draft
from stepcheck.pages.heads import head
from stepcheck.pages.order import Order
from stepcheck.routines.order import Danced
from stepcheck.routines.order import order as order_of


def part(text: str) -> Draft:
    """Return the draft of a routine of one part that is a list of cues."""
    return draft(f"Barge Pole (clogging)\nWait 16, left foot\n\nPart A\n{text}\n")


def written(text: str) -> list[str]:
    """Return the lines of dance that a list of cues comes to."""
    lines = part(text).text.partition("part A:")[2].partition("dance:")[0].splitlines()[1:]
    return [line.split("#")[0].strip() for line in lines if line.split("#")[0].strip()]


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("2 Triples, Charleston", ["Triple x2", "Charleston"]),
        ("(2) Basics, turn 1/4 L on each", ["Basic x2, turn 1/4 left"]),
        ("4x Basic in place", ["Basic x4 (in place)"]),
        ("Chain L & R", ["Chain, left foot", "Chain, right foot"]),
        ("2 Triples, L and R", ["Triple x2, left foot"]),
        ("Cowboy turning 1/2 R, to face front", ["Cowboy, turn 1/2 right, facing front"]),
        ("DS DS RS RS, Stomp L", ["DS DS RS RS STO(L)"]),
        ("DS L, hold 3", ["DS(L)", "hold 3 beats"]),
        ("4 basics full circle L (1/4 each)", ["Basic x4, turn 1/4 left"]),
        ("Triple (x2)", ["Triple x2"]),
        ("2 x (Triple, Basic)", ["2 times:", "Triple", "Basic"]),
        ("4 Basics, full turn left", ["Basic x4, turn 1/4 left"]),
        ("8 Basics turning a full turn L", ["Basic x8, turn 1/8 left"]),
        ("Triple x2, 1/4 L on 2nd", ["Triple x2, turn 1/4 left on 2nd"]),
        ("Stomp Double (L & R)", ["Stomp Double, left foot", "Stomp Double, right foot"]),
        ("DS (L) DS (R) RS RS", ["DS(L) DS(R) RS RS"]),
        ("Cowboy (turn 1/2 L)", ["Cowboy, turn 1/2 left"]),
        ("2 Triples, face back, 2 Triples, face front", ["Triple x2, facing back", "Triple x2, facing front"]),
        ("Basic, Triple, and the same once more", ["2 times:", "Basic", "Triple"]),
    ],
)
def test_cues_become_lines(text: str, lines: list[str]) -> None:
    """Numbers, feet, turns, facings and rows of single steps; nothing is danced more or less often than is said."""
    assert lines == written(text)


@pytest.mark.parametrize(
    ("again", "order", "open_"),
    [
        ("Repeat A & B to the back", "", 0),
        ("Repeat A & B to the back", "SEQUENCE: A B C A", 1),
        ("Repeat A & D to the back", "", 1),
    ],
)
def test_parts_repeated_together_are_danced_again_there(again: str, order: str, open_: int) -> None:
    """Without a sequence, parts are danced as they stand, those repeated together once more; a sequence says it all."""
    made = draft(f"Barge Pole (clogging)\nWait 16\n\nA: 2 Triples\nB: Cowboy\n{again}\nC: 2 Basics\n{order}\n")
    dance = [
        line.split("  #")[0].strip()
        for line in made.text.partition("dance:\n")[2].splitlines()
        if line.startswith("  ")
    ]

    assert open_ == len(made.open)
    assert dance == (["A", "B", "C", *"A" * bool(order)] if open_ else ["A", "B", "A", "B", "expect facing back", "C"])


def test_beats_that_are_repeated_are_danced_again() -> None:
    """`Repeat last 16` is the lines of these beats once more; beats that no lines end on stay open."""
    made = draft("Barge Pole (clogging)\nWait 16\n\nA: 2 Triples\n   Cowboy\n   Repeat last 16\n   Repeat last 9\n")

    assert "  2 times:  # Repeat last 16\n    Triple x2\n    Cowboy\n" in made.text
    assert ["line 7: Repeat last 9"] == list(made.open)


def test_a_foot_behind_a_blank_is_no_foot_of_a_movement() -> None:
    """What stands behind a cue that isn't understood stays with it, and raises nothing."""
    assert ("line 5: Donkey R on the spot",) == part("Basic, Donkey R on the spot").open


@pytest.mark.parametrize("unknown", ["wild Triple sideways", "Donkey L", "2 donkeys", "High Horse"])
def test_what_cannot_be_taken_is_a_blank_not_a_note(unknown: str) -> None:
    """A cue that speaks of a figure, or looks like one, and isn't understood is no remark of the one before it."""
    assert ["Basic"] == written(f"Basic, {unknown}")
    assert (f"line 5: {unknown}",) == part(f"Basic, {unknown}").open


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("PART A (16)", ("PART A", 16, "")),
        ("~B~  (16 beats)", ("B", 16, "")),
        ("Chorus - 16 beats", ("Chorus", 16, "")),
        ("A:  2 Triples", ("A", 0, "2 Triples")),
        ("Part B [32 beats]", ("Part B", 32, "")),
        ("BREAK   Stomp L", ("BREAK", 0, "Stomp L")),
        ("stamp break (8)", ("stamp break", 8, "")),
        ("All start left", None),
        ("B again to the front", None),
        ("A Basic is DS RS", None),
    ],
)
def test_heads_of_parts(text: str, wanted: tuple[str, int, str] | None) -> None:
    """A letter is a part where something marks it; a part that is danced again begins none."""
    assert wanted == head(text)


def test_the_sequence_is_read_to_what_is_no_part() -> None:
    """How often is kept; words that name no part are left with the letter beside them, not danced."""
    order = Order()
    order.take("SEQUENCE: A, B Chorus x2 / D then we bow")

    found, left = order_of(order.said, ["A", "B", "Chorus"])
    assert [Danced("A"), Danced("B"), Danced("Chorus", 2)] == found and left == "D then we bow"
