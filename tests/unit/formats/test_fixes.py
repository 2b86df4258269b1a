"""Changes that were tried."""

from pathlib import Path

from stepcheck.formats.fixes import MOST, mending, remedies, repairs
from stepcheck.model.outcome import Verdict
from stepcheck.model.source import Source
from stepcheck.report import pipeline

SHEET = "routine: x\nbook: clogging\npart Verse: 4 beats\n  Triple\n  expect left foot\ndance:\n  Verse\n"


def test_every_change_that_is_offered_mends() -> None:
    """Applied to the sheet, what is offered leaves fewer wrong claims than before, whichever finding it is about."""
    source = Source("x", SHEET)
    report = pipeline.check_text(SHEET, path="x", engine="walk")
    found = dict(mending(source, report))

    assert report.diagnostics == tuple(found)
    for (patch,) in found.values():
        assert Verdict.PROVED is pipeline.check_text(patch.applied(source)).verdict


def test_a_sheet_of_many_mistakes_is_not_tried_for_ever(tmp_path: Path) -> None:
    """Each try costs a check, so only the first findings of a sheet are tried."""
    path = tmp_path / "x.routine"
    path.write_text(SHEET.replace("  Triple\n", "".join(f"  Tripel{letter}\n" for letter in "abcdefghij")))

    assert MOST >= len(remedies([pipeline.check_file(path)])) > 0


def test_sheets_that_are_no_files_have_no_remedies() -> None:
    """What came from stdin, or is gone by now, is left out."""
    assert {} == remedies([pipeline.check_text(SHEET, path="<stdin>", engine="walk")])


def test_repairs_are_changes_to_the_sheet_as_a_whole() -> None:
    """A fix of the repair engine, told by its diff, is a change that an editor can apply, after which the sheet is
    proved."""
    found = repairs(pipeline.loads(SHEET, path="x"))

    assert found and all("cost" in patch.about for patch in found)
    for patch in found:
        assert Verdict.PROVED is pipeline.check_text(patch.applied(Source("x", SHEET))).verdict
    assert () == repairs(pipeline.loads("part"))
