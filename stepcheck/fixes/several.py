"""Sheets with several mistakes, mended one finding at a time."""

from collections.abc import Iterator, Mapping
from itertools import islice
from typing import TypeAlias

from attrs import evolve

from stepcheck.breaks.states import SearchError
from stepcheck.fixes.evident import slips
from stepcheck.fixes.mend import Mend, Terms
from stepcheck.fixes.repairs import Evidence, Fix, Repairs, Single
from stepcheck.fixes.tried import Tried, tried
from stepcheck.language.alterations import described
from stepcheck.language.edits import Edit
from stepcheck.language.patch import difference
from stepcheck.model.findings import Diagnostic, Severity
from stepcheck.model.outcome import Verdict
from stepcheck.model.words import listed
from stepcheck.program.routine import Routine
from stepcheck.report import pipeline
from stepcheck.walk.effects import Algebra

MANY = 2
"""The number of findings from which they are mended one after another, if no cheap fix for all of them was found."""
QUICK = 8_000
"""How much work one finding may take where there are many."""
MOST = 8
"""How many findings are mended by themselves where nobody asks for one."""
CHOICE = 3
"""Among how many fixes of one finding the one is taken that leaves the fewest others."""


def findings(routine: Routine) -> dict[int, Diagnostic]:
    """Return the findings about claims that fail, in their order, by the numbers with which `check` tells them."""
    told = pipeline.check(routine, engine="walk").diagnostics
    return {number: one for number, one in enumerate(told, 1) if one.claim and one.code.severity is Severity.ERROR}


def one(routine: Routine, terms: Terms, number: int, made: tuple[Edit, ...]) -> Repairs:
    """Return the fixes for one finding by itself, after which it is gone, and no more fail than before; `made` are the
    slips of the sheet put right.

    Raises:
        SearchError: there is no finding of this number.
    """
    told = findings(routine)
    if not told:
        return Repairs(needed=False, reason="Nothing fails: there is nothing to mend.")
    if number not in told:
        raise SearchError(f"finding {number} is none that can be mended; there is {listed([*map(str, told)])}")
    return Repairs(tuple(_of(routine, terms, told[number], made)), reason="No change by itself mends it.")


def _of(routine: Routine, terms: Terms, finding: Diagnostic, made: tuple[Edit, ...]) -> list[Fix]:
    """Return fixes of one finding, of those that cost the same the ones first that leave the fewest others."""

    def left(fix: Fix) -> tuple[int, int]:
        return fix.cost, sum(claim.verdict > Verdict.UNDECIDED for claim in fix.report.claims)

    return sorted(_any(routine, evolve(terms, limit=max(terms.limit, CHOICE)), finding, made), key=left)[: terms.limit]


def _any(routine: Routine, terms: Terms, finding: Diagnostic, made: tuple[Edit, ...]) -> Iterator[Fix]:
    """Yield fixes of one finding: a slip of the pen put right, and what a search finds."""
    mend = Mend(routine, terms, target=finding.claim)
    left = terms.limit
    for edit in made:
        fix = mend.made((edit,))
        if edit.line == finding.span.line and fix is not None:
            yield fix
            left -= 1
    if left:
        yield from mend.run(why=False).fixes[:left]


Alone: TypeAlias = Mapping[str, tuple[Fix, ...]]
"""The fixes of single findings, by the ids of the claims that these are about."""


def alone(routine: Routine, terms: Terms, made: tuple[Edit, ...]) -> Alone:
    """Return the fixes of each of the first findings by itself; `made` are the slips of the sheet put right."""
    quick = evolve(terms, work=min(QUICK, terms.work), limit=CHOICE)
    told = islice(findings(routine).values(), MOST)
    return {finding.claim: tuple(_of(routine, quick, finding, made)) for finding in told}


def stepwise(routine: Routine, found: Repairs, each: Alone) -> Repairs:
    """Return an answer with what mends each finding by itself."""
    singles = (
        Single(number, finding.span.line, finding.message, next(iter(each[finding.claim]), None))
        for number, finding in findings(routine).items()
        if finding.claim in each
    )
    return evolve(found, singles=tuple(singles))


def together(routine: Routine, terms: Terms, each: Alone) -> list[Fix]:
    """Return fixes made of those of single findings, one after another, none of which touches a line of another: those
    after which nothing fails, or the one that leaves the fewest findings.

    Args:
        routine: the routine.
        terms: what fixes are looked for.
        each: fixes of single findings that are known.
    """
    quick, algebra = evolve(terms, work=min(QUICK, terms.work), limit=CHOICE), Algebra()
    now = tried(routine, (), algebra)
    assert now is not None
    chain: list[list[tuple[Edit, ...]]] = []
    passed: set[str] = set()
    known, searches, again = dict(each), 0, False
    while searches < MOST:
        left = findings(now.routine).values()
        finding = next((one for one in left if one.claim not in passed), None)
        if finding is None and again:  # what could not be mended before may be now
            passed, again, finding = set(), False, next(iter(left), None)
        if finding is None:
            break
        closed = {0, *terms.kept, *(edit.line for step in chain for edit in step[0])}
        if finding.claim in known:
            fixes = [fix.edits for fix in known[finding.claim]]
        else:
            kept = frozenset(number for number, old in enumerate(now.origins, 1) if old in closed)
            made, searches = slips(now.routine, kept, terms.prices), searches + 1
            more = _of(now.routine, evolve(quick, kept=kept), finding, made)
            fixes = [tuple(map(now.moved, fix.edits)) for fix in more]
        options = [some for some in fixes if not closed & {edit.line for edit in some}]
        after = _after(routine, [*(step[0] for step in chain), *options[:1]], algebra)
        if options and after is not None and len(after.left) < len(now.left):
            chain.append(options)
            now, again = after, True
        elif known.pop(finding.claim, None) is None:
            passed.add(finding.claim)
    first = [step[0] for step in chain]
    ways = [first] + [
        [*first[:at], other, *first[at + 1 :]] for at, step in enumerate(chain) for other in step[1:] if not now.left
    ]
    found: dict[str, Fix] = {}
    for way in ways if chain else ():
        for step in tuple(way):  # what another step mends too is left away
            rest = [one for one in way if one is not step]
            without = _after(routine, rest, algebra) if not now.left and rest else None
            way = rest if without is not None and not without.left else way
        sheet = _after(routine, way, algebra)
        if sheet is not None and len(sheet.left) <= len(now.left):
            fix = _fix(routine, terms, way, sheet)
            found.setdefault(fix.text, fix)
    return sorted(found.values(), key=lambda fix: fix.cost)[: terms.limit]


def _after(routine: Routine, steps: list[tuple[Edit, ...]], algebra: Algebra) -> Tried | None:
    return tried(routine, tuple(edit for step in steps for edit in step), algebra)


def _fix(routine: Routine, terms: Terms, steps: list[tuple[Edit, ...]], sheet: Tried) -> Fix:
    """Return what some steps lead to as one fix."""
    edits = tuple(sorted((edit for step in steps for edit in step), key=lambda edit: (edit.line, edit.kind)))
    cost = sum(terms.prices[edit.kind] for edit in edits)
    diff, evidence = difference(routine.sheet.source, sheet.text), Evidence(cost, False, 0, 0, left=len(sheet.left))
    return Fix(edits, described(routine.sheet, edits), cost, diff, sheet.text, pipeline.check(sheet.routine), evidence)
