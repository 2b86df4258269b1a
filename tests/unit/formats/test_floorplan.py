"""What a sheet is made of and what is danced, for the page."""

from pathlib import Path

import pytest

from stepcheck.formats import floorplan
from stepcheck.formats.floorplan import PartPlan, Plan, plan, plans
from stepcheck.model.dance import TICKS, Weight
from stepcheck.report import pipeline
from stepcheck.walk.tracks import MOST

SHEET = """\
routine: Lock Gates
book: line
walls: 2
part Main: 8 counts, 1/2 turn right   # round the gate
  Vine, right foot
  Vine, turn 1/2 right
dance:
  Main until the music ends
"""
CHORUS = """\
routine: Weir Jig
book: clogging
part Chorus: 12 beats
  Triple x2
  expect right foot
  Triple
dance:
  Chorus x2
"""


def drawn(text: str) -> Plan:
    """Return the plan of a sheet, with its report."""
    routine = pipeline.loads(text)
    return plan(routine, pipeline.check(routine, engine="walk"))


def test_a_plan_has_text_parts_and_walls() -> None:
    """The text stands as written, contracts too; a part has the free foot and the facing of its first start and end."""
    made = drawn(SHEET)

    assert tuple(SHEET.split("\n")) == made.lines
    assert (2, (0, 4), True) == (made.claimed, made.walls, made.clock)
    (main,) = made.parts
    assert main.way is not None and PartPlan("Main", 4, "8 counts, 1/2 turn right", main.way) == main
    assert [(Weight.LEFT, 0), (Weight.LEFT, 4)] == [(stand.weight, stand.facing) for stand in main.way]


def test_an_ill_formed_sheet_has_a_plan_too() -> None:
    """What can be read of it is shown, with the change that mends it; where parts start is not known."""
    made = drawn(SHEET.replace("Vine,", "Vien,"))

    assert (PartPlan("Main", 4, "8 counts, 1/2 turn right"),) == made.parts
    assert ((), ()) == (made.dance.moments, made.walls)
    assert [True, True] == [any("+  Vine," in diff for diff in diffs) for _, diffs in made.mending]


@pytest.mark.parametrize(
    ("turn", "walls"),
    [("1/4 right", (0, 2, 4, 6)), ("1/2 left", (0, 4)), ("1 left", (0,)), ("3/8 left", (0, 5, 2, 7, 4, 1, 6, 3))],
)
def test_the_walls_are_those_that_are_danced(turn: str, walls: tuple[int, ...]) -> None:
    """Rounds begin on what the steps turn to, whatever the header claims: four here; of eight the order is as danced."""
    made = drawn(SHEET.replace("walls: 2", "walls: 4").replace(", 1/2 turn right ", " ").replace("1/2 right", turn))

    assert (walls, 4) == (made.walls, made.claimed)


def test_what_is_put_right_is_a_stretch_of_its_own() -> None:
    """Where a claim fails the strip says so, and goes on as if it were true; each pass is a row."""
    made = drawn(CHORUS)
    first, second = made.dance.passes

    assert [("Triple", 2, False), ("right foot", 1, True), ("Triple", 1, False)] == [
        (one.label, one.times, one.put_right) for one in first
    ]
    assert ((Weight.RIGHT, Weight.LEFT), (Weight.LEFT, Weight.RIGHT)) == (first[1].feet, first[2].feet)
    assert [(1, 0), (2, 12)] == [(row[0].time, row[0].tick // TICKS) for row in (first, second)]
    assert [False, True, False] == [one.put_right for one in second]


def test_a_long_dance_is_cut() -> None:
    """Of a dance that is too long to be drawn a beginning is, and the plan says that it is not the whole."""
    made = drawn("routine: Long\nbook: clogging\npart A:\n  Triple\n  Basic\ndance:\n  A x900000\n")

    assert not made.dance.whole and MOST < len(made.dance.moments) <= MOST + 2


def test_what_a_blank_leaves_open_is_not_drawn() -> None:
    """After a blank neither foot nor wall is known until a sentence of the sheet says it, and nothing is put right."""
    made = drawn("routine: Gap\nbook: clogging\npart A:\n  ? 8 beats\n  Triple\n  Triple, left foot\ndance:\n  A\n")

    assert [(None, -1), (None, -1), (Weight.RIGHT, -1)] == [
        (one.feet[1 if one.label == "?" else 0], one.facings[1]) for one in made.dance.moments
    ]
    assert not any(one.put_right for one in made.dance.moments)


def test_least_changes_are_looked_for_in_a_few_refuted_sheets(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file that is gone has no plan; of many refuted sheets the first ones have the changes that mend them."""
    monkeypatch.setattr(floorplan, "MOST_SEARCHES", few := 3)
    paths = [tmp_path / f"{number:02}.routine" for number in range(few + 2)]
    for path in paths:
        path.write_text(CHORUS)
    reports = [pipeline.check_file(str(path), engine="walk") for path in paths]
    paths[0].unlink()
    made = plans(reports)

    assert [str(path) for path in paths[1:]] == list(made)
    assert [True] * few + [False] == [bool(made[str(path)].repairs) for path in paths[1:]]
    assert all("+++" in diff for one in made.values() for _, diff in one.repairs)
