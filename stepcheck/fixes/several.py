"""Sheets with several mistakes, mended one finding at a time."""

from collections.abc import Iterator
from itertools import islice

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

MANY = 3
"""The number of findings from which they are mended one by one, if no fix for all of them was found."""
QUICK = 8_000
"""How much work one finding may take where there are many."""
MOST = 8
"""How many findings are mended by themselves where nobody asks for one."""
CHOICE = 3
"""Among how many fixes of one finding the one is taken that leaves the fewest others."""
AGAIN = 2
"""How many of the findings that are left are looked at again."""


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


def stepwise(
    routine: Routine, terms: Terms, found: Repairs, made: tuple[Edit, ...], most: int | None = None
) -> Repairs:
    """Return the fixes that were found for all of a sheet, or else one made of fixes for single findings; and what
    mends each finding by itself.

    Args:
        routine: the routine.
        terms: what fixes are looked for.
        found: what a search for all findings came to.
        made: the slips of the sheet put right.
        most: what all changes may cost together; None for no bound.
    """
    quick = evolve(terms, work=min(QUICK, terms.work), limit=1)
    singles = tuple(
        Single(number, finding.span.line, finding.message, next(iter(_of(routine, quick, finding, made)), None))
        for number, finding in islice(findings(routine).items(), MOST)
    )
    if found.fixes:
        return evolve(found, singles=singles)
    fix = _together(routine, quick, singles)
    dear = fix is not None and most is not None and fix.cost > most
    return evolve(found, singles=singles) if fix is None or dear else Repairs((fix,), singles=singles)


def _together(routine: Routine, terms: Terms, singles: tuple[Single, ...]) -> Fix | None:
    """Return the fixes for single findings, as far as they go together, as one; None if there are none.

    What is left after that is looked at once more.
    """
    edits: tuple[Edit, ...] = ()
    algebra = Algebra()
    now = tried(routine, (), algebra)
    assert now is not None
    for single in singles:
        step = _with(routine, edits, single.fix.edits, now, algebra) if single.fix is not None else None
        edits, now = step or (edits, now)
    for finding in islice(findings(now.routine).values(), AGAIN):
        kept = frozenset(number for number, old in enumerate(now.origins, 1) if old in terms.kept)
        for fix in _of(now.routine, evolve(terms, kept=kept), finding, slips(now.routine, kept, terms.prices)):
            more = tuple(map(now.moved, fix.edits))
            step = _with(routine, edits, more, now, algebra) if all(edit.line for edit in more) else None
            edits, now = step or (edits, now)
    if not edits:
        return None
    cost = sum(terms.prices[edit.kind] for edit in edits)
    diff, evidence = difference(routine.sheet.source, now.text), Evidence(cost, False, 0, 0, left=len(now.left))
    return Fix(edits, described(routine.sheet, edits), cost, diff, now.text, pipeline.check(now.routine), evidence)


def _with(
    routine: Routine, edits: tuple[Edit, ...], more: tuple[Edit, ...], now: Tried, algebra: Algebra
) -> tuple[tuple[Edit, ...], Tried] | None:
    """Return more edits of a sheet with those before, and the sheet, if less fails then than `now`."""
    every = tuple(sorted({*edits, *more}, key=lambda edit: (edit.line, edit.kind)))
    if {edit.line for edit in edits} & {edit.line for edit in more if edit not in edits}:
        return None  # a line is changed in one way only
    after = tried(routine, every, algebra)
    return (every, after) if after is not None and len(after.left) < len(now.left) else None
