"""Changes to a sheet that were tried: after each, the finding that it is about is gone."""

from collections.abc import Collection, Iterable, Iterator

from stepcheck.language import files
from stepcheck.language.edits import ChangeClaim, ChangeLead, ChangeMusic, ChangeTime
from stepcheck.language.patch import from_diff
from stepcheck.model.findings import Diagnostic, Patch, Severity
from stepcheck.model.outcome import Verdict
from stepcheck.model.source import Source, SourceError
from stepcheck.program.routine import Routine
from stepcheck.report import pipeline
from stepcheck.report.text import mistakes
from stepcheck.report.values import Report

QUICK = 30_000  # places of dancers that are looked at for an editor
CLAIMS = (ChangeClaim, ChangeTime, ChangeMusic, ChangeLead)  # edits of what the teacher claims
SEVERAL = 3  # from how many findings on each is mended by itself
MOST = 5  # findings of one sheet that changes are tried for; each try checks the sheet again


def remedies(reports: Iterable[Report]) -> dict[Diagnostic, tuple[Patch, ...]]:
    """Return for the findings in sheets that are files the changes that were tried and mend them."""
    found: dict[Diagnostic, tuple[Patch, ...]] = {}
    for report in reports:
        if any(finding.hints for finding in report.diagnostics):
            try:
                source, _ = files.read(report.path)
            except SourceError:
                continue
            found.update(mending(source, report))
    return found


def mending(source: Source, report: Report) -> Iterator[tuple[Diagnostic, tuple[Patch, ...]]]:
    """Yield each finding in a sheet that a change mends, with the changes that do."""
    tried = 0
    for finding in report.diagnostics:
        candidates = tuple(hint.patch for hint in finding.hints if hint.patch is not None)
        if candidates and tried < MOST:
            tried += 1
            good = tuple(patch for patch in candidates if mends(source, report, finding, patch))
            if good:
                yield finding, good


def repaired(
    routine: Routine, report: Report, asked: Collection[Diagnostic]
) -> tuple[Diagnostic | None, tuple[Patch, ...]]:
    """Return what mends a sheet as a whole, or, of one with several findings, the first of them that is asked about."""
    each = enumerate(report.diagnostics, 1)
    told = {number: one for number, one in each if one.claim and one.code.severity is Severity.ERROR}
    number = next((number for number, one in told.items() if one in asked), None)
    if number is None:
        return None, ()
    return (None, repairs(routine)) if len(told) < SEVERAL else (told[number], repairs(routine, finding=number))


def repairs(routine: Routine, limit: int = 3, finding: int | None = None) -> tuple[Patch, ...]:
    """Return the least changes that leave nothing refuted, or mend one finding; the one to be preferred first.

    Somebody waits for them with a cursor on the line, so little work is spent on it.

    Args:
        routine: the routine.
        limit: how many.
        finding: the number of the finding, from 1, among those about claims; None for the sheet as a whole.
    """
    from stepcheck.fixes.fix import repair  # it is asked for where there is a mistake only, and takes its time to load

    fixes = repair(routine, limit=limit, budget=QUICK, finding=finding)
    ordered = sorted(fixes, key=lambda fix: (fix.cost, any(isinstance(edit, CLAIMS) for edit in fix.edits)))
    return tuple(from_diff(f"{fix.name} (cost {fix.cost})", fix.diff) for fix in ordered)


def mends(source: Source, report: Report, finding: Diagnostic, patch: Patch) -> bool:
    """Say whether a sheet without this finding, and with no other instead of it, comes of a change."""
    after = pipeline.check_text(patch.applied(source), path=source.path, engine="walk")
    if finding.claim:
        return _wrong(after) < _wrong(report) and after.verdict <= report.verdict
    return _wrong(after)[0] < _wrong(report)[0]


def _wrong(report: Report) -> tuple[int, int]:
    """Return how many findings about the writing a report has, and how many claims that fail or are vacuous."""
    wrong = sum(claim.verdict not in (Verdict.PROVED, Verdict.UNDECIDED) for claim in report.claims)
    return len(mistakes(report)), wrong
