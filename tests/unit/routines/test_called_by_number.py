"""Parts that are called by numbers: `1. Main step, 16 beats`, `Order: 1 2 1`."""

import pytest

import stepcheck as sc

FRONT = "Teasel Bank (clogging)\nwait 8, left foot lead\n\n"
ROWS = "1. Main step, 8 beats\n   DS DS DS RS   start L\n   Repeat, opposite feet, start R\n\n"
HEADS = "1. Triple and Chain (8)\n2. Four Basics (8)\n3. Two Chains (8)\n4. Two Fancy Doubles (8)\n\n"


def read(said: str) -> tuple[list[str], tuple[str, ...]]:
    """Return the lines of the draft from its first part on, without remarks, and what is open."""
    made = sc.draft(FRONT + said)
    parts = [line.split("  #")[0].strip() for line in made.text[made.text.index("\npart ") :].splitlines()]
    return [line for line in parts if line], made.open


@pytest.mark.parametrize("order", ["Order: 1 2 1", "Routine: 1, 2 (ends facing front), 1"])
def test_numbers_over_lines_head_the_parts_that_the_order_calls(order: str) -> None:
    """A numbered line over others is the head of a part with its length and its title, which is not danced as well."""
    made, left = read(f"{ROWS}2. Drag step, 4 beats\n   DS DR ST DR ST RS\n\n{order}\n")

    assert made[:3] == ["part Part 1: 8 beats", "DS(L) DS DS RS", "DS(R) DS DS RS"]
    assert made[3:5] == ["part Part 2: 4 beats", "DS DR ST DR ST RS"]
    assert [line for line in made[made.index("dance:") + 1 :] if "expect" not in line] == ["Part 1", "Part 2", "Part 1"]
    assert left == ()


def test_an_order_may_call_numbers_from_one_to_another() -> None:
    """`1-3` is one, two and three."""
    made, left = read(f"{HEADS}Order: 1-3, 2-4, 1\n")

    assert made[made.index("dance:") + 1 :] == [f"Part {each}" for each in (1, 2, 3, 2, 3, 4, 1)]
    assert left == ()


def test_a_title_over_lines_is_not_danced() -> None:
    """Figures beside a number are the title of the lines under it, or what stands before a colon of those behind it."""
    made, left = read("1. Triples\n   2 Triples\n2) Vine: Vine L, Vine R\n\nOrder: 1 2 1\n")

    assert made[:5] == ["part Part 1:", "Triple x2", "part Part 2:", "Vine, left foot", "Vine, right foot"]
    assert left == ()


def test_a_figure_over_its_footwork_is_danced_on_the_feet_beside_it() -> None:
    """A row under a numbered figure spells it, as often as the stated beats have room for."""
    made, left = read("1. Triple L, R (8 beats)\n   DS DS DS RS\n2. Chain, 4 beats\n   DS RS RS RS\n\nOrder: 2 1 2\n")

    assert made[:5] == [
        "part Part 1: 8 beats",
        "Triple, left foot",
        "Triple, right foot",
        "part Part 2: 4 beats",
        "Chain",
    ]
    assert left == ()


def test_numbers_that_no_order_calls_count_lines() -> None:
    """Numbered lines of a part stay lines of it."""
    assert read(f"A:\n{HEADS}B: 2 Chains\n\nOrder: A B A\n")[0][0] == "part A:"
