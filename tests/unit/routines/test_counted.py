"""Feet and turns beside several of one thing: `4 Stomps L R L R`, `4 Basics, 1/4 turn left`."""

import re

import pytest

import stepcheck as sc

FRONT = "Teasel Bank (clogging)\nwait 8, left foot lead\n\nA\n"


def read(lines: str) -> tuple[list[str], tuple[str, ...]]:
    """Return the lines of part A that lines become, and what is open."""
    made = sc.draft(f"{FRONT}{lines}\n")
    _, _, rest = made.text.partition("part A")
    said = [each.split("  #")[0].strip() for each in rest.split("dance:")[0].splitlines()[1:]]
    return [each for each in said if each], made.open


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("4 Stomps L R L R   STO STO STO STO", ["STO(L) STO(R) STO(L) STO(R)"]),
        ("4 Stomps L, R, L, R", ["STO(L) STO(R) STO(L) STO(R)"]),
        ("3 Stomps (left, right, left)", ["STO(L) STO(R) STO(L)"]),
        ("2 Stomps (right & left)", ["STO(R) STO(L)"]),
        ("2 Stomps L, R   STO STO", ["STO(L) STO(R)"]),
        ("2 Kicks R L   K K", ["K(R) K(L)"]),
        ("Slur L   DS SLUR(xib) S DS RS", ["Slur, left foot"]),
        ("Slur (right) - DS SLUR S DS RS", ["DS(R) SLR S DS RS"]),
        ("Kick L & R (DS K DS RS)", ["DS(L) K DS RS DS(R) K DS RS"]),
    ],
)
def test_no_foot_of_steps_that_are_written_out_is_lost(line: str, wanted: list[str]) -> None:
    """The feet behind the word for a step are those of the row that spells it, one for each time or the first."""
    assert (wanted, ()) == read(line)


def test_a_full_turn_before_the_footwork_of_its_figure_is_shared() -> None:
    """Footwork behind the turn of several figures is no second cue between which the turn stands."""
    assert (["Basic x4, turn 1/4 left"], ()) == read("4 Basics, full circle left   DS RS")


def test_a_blank_of_a_figure_on_both_feet_is_as_long_as_both() -> None:
    """Whatever is not read of it, a figure on one foot and the other is danced twice."""
    assert read("Push Off L, R, turn 1/4 left")[0] == ["? 8 beats"]


@pytest.mark.parametrize(
    ("lines", "wanted"),
    [
        ("2 Basics, 1/2 left to the front", ["Basic x2, turn 1/4 left, facing front"]),
        ("2 Rocking Chairs, turn 1/4 left, to the back", ["Rocking Chair x2, turn 1/4 left, facing back"]),
        (
            "4 Basics, 1/4 turn left\n" * 3 + "4 Basics, 1/4 turn left to the front",
            ["Basic x4, turn 1/4 left on last"] * 3 + ["Basic x4, turn 1/4 left on last, facing front"],
        ),
        (
            "2 Basics: DS RS, turn 1/2 left\nRepeat to the front",
            ["2 times:", "Basic x2, turn 1/4 left", "expect facing front"],
        ),
        ("2 Triples, 1/4 left\nRepeat to the front", ["2 times:", "Triple x2, turn 1/4 left", "expect facing front"]),
        ("4 Basics, 1/4 left in all", ["Basic x4, turn 1/4 left on last"]),
    ],
)
def test_where_dancers_face_says_of_which_figures_a_turn_is(lines: str, wanted: list[str]) -> None:
    """A turn behind several figures is of each or of all together, if so alone dancers come to where they are said to
    face."""
    assert (wanted, ()) == read(lines)


@pytest.mark.parametrize(
    "lines", ["2 Triples, turn 1/2 right\n2 Triples, turn 1/2 right", "4 Basics, 1/4 left\nTriple, facing front"]
)
def test_a_turn_of_which_no_facing_says_more_is_open(lines: str) -> None:
    """A turn that may be of each figure or of all of them is a blank where no facing, or neither way, fits."""
    said, left = read(lines)

    assert said[0].startswith("? 8 beats")
    assert any(each.startswith("line 5") for each in left)


@pytest.mark.parametrize("sign", ["line 1   ", "Line 1: ", "LINE 1 - "])
@pytest.mark.parametrize("size", ["line = 8 beats", "Each line is 8 counts."])
def test_lines_of_a_part_may_be_called_lines(sign: str, size: str) -> None:
    """Their numbers count them, are no figures, and call them; how long each is is stated once for all."""
    one, two, three, rest = (sign.replace("1", each) for each in ("1", "2", "3", "3+4"))
    said = f"{one}2 triples, l & r\n{two}2 chains, 1/4 left each\n{rest}lines 1 and 2 again, home by the end\n\n"
    made = sc.draft(
        FRONT.replace("A\n", f"{size}\n\nA\n") + f"{said}B\n{one}hazel walk\n{two}2 triples\n{three}line 2 again"
    )

    told = "  Triple x2, left foot\n  Chain x2, turn 1/4 left\n"
    assert f"part A:\n{told}{told}  expect facing front" in re.sub("  # .*", "", made.text)
    assert "part B:\n  ? 8 beats  #" in made.text
    assert made.open == (f"line 12: {one.replace('   ', ' ')}hazel walk",)
