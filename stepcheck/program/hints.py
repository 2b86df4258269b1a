"""Hints that are tried: what a hint writes is put in its place, and the whole sheet is read again before anybody sees
it."""

from collections import Counter
from collections.abc import Callable, Iterable

from attrs import evolve

from stepcheck.model.findings import Diagnostic, Hint, Patch, Severity
from stepcheck.model.source import Source

MOST_LINES = 10_000
"""How many lines are read again for one sheet; hints beyond that are not given."""
FINDING = 10
"""How many lines take as long as one finding."""

MOST_OFFERED = 3
"""How many changes are offered for one finding."""

Read = Callable[[Source], Iterable[Diagnostic]]


def tried(source: Source, findings: tuple[Diagnostic, ...], read: Read) -> tuple[Diagnostic, ...]:
    """Return findings with those hints only that stand: they write nothing, or with it the finding goes and none comes.

    Args:
        source: the sheet that the findings are about.
        findings: all that is wrong with its writing.
        read: gives the findings of another text of the sheet.
    """
    if not any(hint.patch for finding in findings for hint in finding.hints):
        return findings
    before = Counter(map(_mark, findings))
    wrong = {_mark(finding) for finding in findings if finding.code.severity is Severity.ERROR}
    left = MOST_LINES

    def stands(finding: Diagnostic, patch: Patch) -> bool:
        nonlocal left
        left -= len(source.lines) + FINDING * len(findings)
        if left < 0:
            return False
        found = tuple(read(Source(source.path, patch.applied(source))))
        after = Counter(map(_mark, found))
        errors = {_mark(one) for one in found if one.code.severity is Severity.ERROR}
        if errors & wrong:  # while other lines aren't read, a cut falls elsewhere
            errors = {mark for mark in errors if mark[0] != "cut-splits-a-turn"}
        return (
            after[_mark(finding)] < before[_mark(finding)]
            and errors <= wrong
            and all(after[m] <= before[m] for m in errors)
        )

    def kept(finding: Diagnostic) -> Diagnostic:
        hints: list[Hint] = []
        for hint in finding.hints:
            offered = sum(one.patch is not None for one in hints)
            if hint.patch is None or (offered < MOST_OFFERED and stands(finding, hint.patch)):
                hints.append(hint)
        if not hints:
            said = (hint.otherwise for hint in finding.hints if hint.otherwise)
            hints = [Hint(next(said, f"read what it is about: stepcheck explain {finding.code.id}"))]
        if hints and hints[0] != finding.hints[0] and hints[0].startswith("or "):
            hints[0] = Hint(hints[0].removeprefix("or "), hints[0].patch)
        return evolve(finding, hints=tuple(hints))

    return tuple(kept(finding) if any(hint.patch for hint in finding.hints) else finding for finding in findings)


def _mark(finding: Diagnostic) -> tuple[str, str]:
    """Return the part of a finding that is equal for the same mistake on another line."""
    return finding.code.name, finding.message
