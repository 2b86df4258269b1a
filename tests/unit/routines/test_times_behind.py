"""Numbers in brackets behind the figures of a whole sheet."""

import pytest

import stepcheck as sc

FRONT = "Osier Row (clogging)\nwait 8, left foot lead\n\nA\n"


def parts(said: str) -> list[str]:
    """Return the lines of part A, without remarks."""
    text = sc.draft(FRONT + said).text
    lines = [line.split("  #")[0].strip() for line in text[text.index("part ") :].split("dance:")[0].splitlines()]
    return [line for line in lines[1:] if line]


def test_numbers_that_are_less_than_the_figures_last_are_times() -> None:
    """`CHARLESTON (2)` is danced twice, and then so is all that has such a number in the sheet."""
    made = parts("CHARLESTON (2)  FANCY DBL (2)\nROCKING CHAIR (4) 1/4 LEFT EA.\nTriple (2), Basic (4)\n")

    assert made == ["Charleston x2", "Fancy Double x2", "Rocking Chair x4, turn 1/4 left", "Triple x2", "Basic x4"]


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Triple (4), Charleston (4)\n4 Basics (8)\n", ["Triple", "Charleston", "Basic x4"]),
        ("Clogover Vine (8)\nTriple (4)\nFancy Double (4)\n", ["Clog-over Vine", "Triple", "Fancy Double"]),
        ("Triple (4)\nBasic (2)\n", ["Triple", "Basic"]),
    ],
)
def test_numbers_that_figures_last_are_beats(said: str, wanted: list[str]) -> None:
    """A number behind a figure is its beats where the numbers of the sheet are those that its figures last."""
    assert parts(said) == wanted
