"""Echoes: claims that the steps bear out, and that fail only because another failed claim is taken as put right."""

from attrs import evolve

from stepcheck.model import words
from stepcheck.model.dance import Body, Check, Claim, Item, Program, Together
from stepcheck.model.findings import Diagnostic
from stepcheck.model.items import mapped
from stepcheck.model.outcome import Outcome, Verdict
from stepcheck.walk.effects import Algebra
from stepcheck.walk.walk import walk

MOST_ASKED = 8  # refuted claims of a sheet; with more there is more to be mended than to be told apart


def echoes(
    program: Program, outcomes: tuple[Outcome, ...], *, budget: int | None = None, algebra: Algebra | None = None
) -> tuple[str, ...]:
    """Return the ids of the refuted claims that hold where no other refuted claim is taken as put right.

    In such a pair the other claim is the wrong one: the steps and this claim agree.
    """
    refuted = frozenset(outcome.claim for outcome in outcomes if outcome.verdict is Verdict.REFUTED)
    asked = [outcome.claim for outcome in outcomes if outcome.claim in refuted and outcome.mended]
    if len(refuted) > MOST_ASKED:
        return ()
    found = []
    for claim in asked:
        alone = without(program, refuted - {claim})
        verdicts = {one.claim: one.verdict for one in walk(alone, budget=budget, algebra=algebra)}
        if verdicts[claim] is Verdict.PROVED:
            found.append(claim)
    return tuple(found)


def without(program: Program, claims: frozenset[str]) -> Program:
    """Return a program without the checks of `claims`, so that none of them is taken as put right."""

    def bare(item: Item) -> Body:
        if isinstance(item, Check):
            return () if item.claim.id in claims else (item,)
        if isinstance(item, Together):
            return (Together(tuple(check for check in item.checks if check.claim.id not in claims)),)
        return (item,)

    return mapped(program, bare)


def told(findings: tuple[Diagnostic, ...], found: tuple[str, ...], claims: tuple[Claim, ...]) -> tuple[Diagnostic, ...]:
    """Return the findings: each echo names its cause, and the first cause of an echo names the echo.

    Their `args` have `only_with`, the ids of the claims that they hang on, so that a page need not show them by
    themselves.
    """
    lines = {claim.id: claim.line for claim in claims}
    first = {one.claim for one in findings} - {*found}
    echoes = [one for one in findings if one.claim in found and first & {*one.mended}]
    folded: dict[str, list[Diagnostic]] = {}
    for echo in echoes:
        cause = next(one.claim for one in findings if one.claim in echo.mended and one.claim in first)
        folded.setdefault(cause, []).append(echo)
    return tuple(
        _pointing(one, lines, found) if one in echoes else _naming(one, folded.get(one.claim, []), lines)
        for one in findings
    )


def _naming(finding: Diagnostic, echoes: list[Diagnostic], lines: dict[str, int]) -> Diagnostic:
    """Return a finding that names those which are there only because its claim is taken as put right."""
    more = []
    for echo in echoes:
        should = echo.message.partition(", but ")[0]
        where = "" if echo.span.line == lines[echo.claim] else f" (line {lines[echo.claim]})"
        more.append((echo.span, f"{should}{where}; as danced it does, and fails only with this taken as put right"))
    return evolve(finding, related=(*finding.related, *more))


def _pointing(finding: Diagnostic, lines: dict[str, int], found: tuple[str, ...]) -> Diagnostic:
    causes = tuple(claim for claim in finding.mended if claim not in found)
    first = sorted({lines[claim] for claim in causes})
    numbers = words.listed([str(line) for line in first])
    where = f"line{'s' if len(first) > 1 else ''} {numbers}"
    should = finding.message.partition(", but ")[0]
    message = f"{should}, and as the steps are danced it is so; it fails only with {where} taken as put right"
    hint = f"look at {where} first: what is written there may be wrong, not the steps"
    return evolve(finding, message=message, hints=(hint,), rows=(), args=(*finding.args, ("only_with", causes)))
