"""What a sheet is made of, and the page that shows it."""

from pathlib import Path

from stepcheck.formats.floorplan import plan, read
from stepcheck.formats.page import SHAPES, PartPlan, page
from stepcheck.model.findings import CODES
from stepcheck.model.outcome import Verdict
from stepcheck.report import pipeline
from stepcheck.report.values import word
from tests.unit.report.test_values import refuted

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


def test_a_plan_has_facts_parts_and_walls() -> None:
    """Facts and contracts stand as written; a part has the free foot and the facing of its first start and end."""
    made = plan(pipeline.loads(SHEET))

    assert (("book", "line"), ("walls", "2")) == made.facts
    assert (2, True) == (made.walls, made.clock)
    assert (PartPlan("Main", 4, "8 counts, 1/2 turn right", ("right", "right"), (0, 4)),) == made.parts


def test_an_ill_formed_sheet_has_a_plan_too(tmp_path: Path) -> None:
    """What can be read of it is shown; where parts start is not known; a file that is gone has no plan."""
    path = tmp_path / "x.routine"
    path.write_text(SHEET.replace("Vine,", "Vien,"))
    made = read(str(path))

    assert made is not None and (PartPlan("Main", 4, "8 counts, 1/2 turn right"),) == made.parts
    assert None is read(str(tmp_path / "gone.routine"))


def test_every_verdict_has_a_shape_of_its_own() -> None:
    """Nothing is told by colour alone: each word that a finding or claim is announced with has its shape."""
    said = {verdict.word for verdict in Verdict} | {word(code) for code in CODES.values()}

    assert said - {"internal error"} == set(SHAPES)
    assert len(SHAPES) == len(set(SHAPES.values()))


def test_the_page_needs_nothing_else_and_is_the_same_each_time() -> None:
    """No address is named in it, so nothing can be fetched; equal reports give equal bytes, and none at all a page."""
    made = page([refuted()])

    assert "http" not in made.replace("http-equiv", "")
    assert made == page([refuted()])
    assert "<!doctype html>" == page([]).splitlines()[0]


def test_the_page_shows_the_cautions() -> None:
    """Where changes are suggested, dancers are told to be careful."""
    assert "medical advice" in page([refuted()])
