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


@pytest.mark.parametrize(
    ("lines", "wanted"),
    [
        ("[3] Triple\n[1] Rocking Chair\n[4] Basic", ["Triple x3", "Rocking Chair", "Basic x4"]),
        ("[1] Rocking Chair\n[1] Triple\nBasic", ["Rocking Chair", "Triple", "Basic"]),
        (
            "[2] Triple [3] Rocking Chair\n[2] Basic\n[1] Triple",
            ["Triple x2", "Rocking Chair x3", "Basic x2", "Triple"],
        ),
        ("Triple - 1\nRocking Chair - 2\n2 Basics", ["Triple", "Rocking Chair x2", "Basic x2"]),
        ("Triple (2)\nBasic\nRocking Chair", ["Triple x2", "Basic", "Rocking Chair"]),
        ("3-Basic, 2-Triple\nRocking Chair", ["Basic x3", "Triple x2", "Rocking Chair"]),
        ("2 Triples / 8\nBasic\n3 Basics / 6", ["Triple x2", "Basic", "Basic x3"]),
    ],
)
def test_numbers_that_no_figure_lasts_are_times_wherever_they_stand(lines: str, wanted: list[str]) -> None:
    """In square brackets before a figure, behind a dash or a hyphen; those behind a stroke are beats."""
    made = sc.draft(f"Tallow Reel\nclogging\nwait 16\n\nPart A\n{lines}\n")

    assert not made.open
    said = made.text[made.text.index("\npart A:") : made.text.index("\ndance:")].splitlines()[2:]
    assert wanted == [each.split(",")[0].strip() for each in said if each.strip()]


@pytest.mark.parametrize(
    "lines", ["[4] Triple\n[2] Basic\n[4] Rocking Chair", "Triple (4)\nRocking Chair (2)\nBasic (2)"]
)
def test_numbers_of_which_some_are_what_figures_last_may_be_beats(lines: str) -> None:
    """Then one that is less may be a slip, and the figures are danced once."""
    made = sc.draft(f"Tallow Reel\nclogging\nwait 16\n\nPart A\n{lines}\n").text

    assert " x" not in made
