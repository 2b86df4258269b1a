"""Changes that were tried."""

from pathlib import Path

from stepcheck.fixes.fix import repair
from stepcheck.fixes.repairs import Fix
from stepcheck.formats.fixes import MOST, QUICK, mending, remedies, repairs
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


def test_what_is_preferred_leaves_the_claims_where_the_steps_cost_as_little() -> None:
    """An editor applies the first change without a question, so it is no change of what the teacher claims; a slip of the
    pen costs less than any step."""
    folder = Path(__file__).parents[3] / "specs" / "faulty"
    for path in sorted(folder.glob("*.routine")):
        routine = pipeline.load(path)
        fixes = {f"{fix.name} (cost {fix.cost})": fix for fix in repair(routine, budget=QUICK)}
        if fixes:
            first, *others = (fixes[patch.about] for patch in repairs(routine))
            alike = [fix for fix in others if fix.cost == first.cost]
            assert not _claims(first) or all(map(_claims, alike)), path


def _claims(fix: Fix) -> bool:
    return any(edit.kind in ("claim", "slip", "lead", "music") for edit in fix.edits)


def test_a_change_is_called_by_what_it_writes() -> None:
    """Three changes of one finding can be told apart by their titles."""
    found = repairs(pipeline.loads(SHEET, path="x"))
    assert len({patch.about for patch in found}) == len(found)
    assert all(patch.about.startswith("line") for patch in found)
