"""Lists in which each line is one count, and turns that are told by where they lead."""

import pytest

import stepcheck as sc
from tests.unit.drafts.test_wordings import body

LIST = """Osier Row
16 {}, 2 walls

{}
"""
STEPS = (
    "Step right foot to the right",
    "Close left foot to right",
    "Step right foot to the right",
    "Touch left foot beside right",
    "Step left foot to the left",
    "Close right foot to left",
    "Step left foot to the left",
    "Touch right foot beside left",
    "Right heel forward",
    "Right foot home",
    "Left heel forward",
    "Left foot home",
    "Step right foot forward",
    "Hold",
    "{}",
    "Hold",
)


def listed(said: str, number: str = "{}. ", counts: str = "counts") -> str:
    """Return a dance of sixteen numbered lines, the last but one of them as given."""
    return LIST.format(counts, "\n".join(number.format(at) + step for at, step in enumerate(STEPS, 1))).format(said)


@pytest.mark.parametrize("number", ["{}. ", "{}) ", " {}.  ", "{}: "])
@pytest.mark.parametrize("counts", ["counts", "steps"])
@pytest.mark.parametrize("said", ["Wobble and sink", "Wobble your knees", "Pivot to wherever, weight on left"])
def test_what_is_not_read_of_a_numbered_list_is_a_blank_of_its_count(said: str, number: str, counts: str) -> None:
    """Where the numbers of lines run to the counts of the dance, each line is its counts."""
    text = listed(said, number, counts).replace("Left heel forward", "Shimmy a bit")
    made, lines = sc.draft(text), body(text, "Main")

    assert lines[10] == lines[14] == "? 1 count" and len([each for each in lines if "expect" not in each]) == 16
    assert [each for each in made.open if said.split(",")[0] in each] and "are stated" not in " ".join(made.open)


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Pivot to face the back, weight on left", "PV S(L), turn 1/2 left, facing back"),
        ("Pivot round to the back wall, weight on left", "PV S(L), turn 1/2 left, facing back"),
        ("Turn to the back wall, weight on left", "? 1 count"),
        ("Pivot left to face the back", "PV S, turn 1/2 left, facing back"),
        ("Pivot left to face 9:00", "PV S, turn 1/4 left, facing 9:00"),
        ("Pivot to face 6:00, weight on left", "PV S(L), turn 1/2 left, facing 6:00"),
        ("Pivot to face 9:00, weight on left", "? 1 count"),
        ("Pivot to face the front, weight on left", "? 1 count"),
    ],
)
def test_a_pivot_told_by_its_aim_turns_as_far_as_that_is(said: str, wanted: str) -> None:
    """It is read where it is known how dancers face before it, and the side is said or it is a half turn, off the step."""
    assert body(listed(said), "Main")[14] == wanted


def test_a_pivot_told_by_its_aim_is_open_where_the_facing_before_it_is_not_known() -> None:
    """A blank before it may turn."""
    text = listed("Pivot to face the back, weight on left").replace("Left foot home", "Wobble")

    assert body(text, "Main")[11] == body(text, "Main")[14] == "? 1 count"


@pytest.mark.parametrize(
    "said", ["Do 9 to 12 again", "Repeat 9-12", "Repeat steps 9 through 12", "9 to 12 again", "Dance 9-12 once more"]
)
def test_lines_are_danced_again_by_their_numbers(said: str) -> None:
    """The number of a line is its count."""
    text = listed("Hold").replace("13. Step right foot forward\n14. Hold\n15. Hold\n16. Hold", f"13-16. {said}")
    lines = body(text, "Main")

    assert lines[8:12] == lines[12:] and len(lines) == 16 and not sc.draft(text).open


@pytest.mark.parametrize("mark", ["{}   ", "{}. ", "{}) "])
def test_numbered_rows_that_end_in_their_length_and_a_wall_last_so_long(mark: str) -> None:
    """`8   (9:00)` is eight counts that end on a wall; the number in front of a row is none of its counts."""
    rows = [
        "Vine right, touch L; vine left, touch R   8",
        "Fwd R L R kick L, back L R L touch R   8   (12:00)",
        "Rocking chair R, hazel turn and sink   8",
        "Rocking chair R, jazz box 1/4 R   8   (3:00)",
    ]
    text = "\n".join(mark.format(at) + row for at, row in enumerate(rows, 1))
    made = sc.draft(f"Osier Row\n32 counts, 4 walls, line dance\n\n{text}\n")
    said = [
        each.split("  # ")[0].split(" (")[0].strip()
        for each in made.text.split("part Main: 32 counts\n")[1].splitlines()
    ]

    assert [each for each in said if each and each[0] != "#"][:6] == [
        "Vine, right foot",
        "Vine, left foot",
        "S(R) S(L) S(R) K(L) S(L) S(R) S(L) TCH(R), facing 12:00",
        "? 8 counts",
        "Rocking Chair, right foot",
        "Jazz Box, turn 1/4 right, facing 3:00",
    ]
