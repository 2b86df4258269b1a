"""Which refuted claims bear on others: those taken as true before a claim is checked, the causes of a failure, and
echoes: claims that the steps bear out, and that fail only because another failed claim is taken as put right.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import partial

from attrs import evolve

from stepcheck.model import words
from stepcheck.model.claims import Claim, Kind
from stepcheck.model.dance import Choice, Item, Lap, Pass, Program
from stepcheck.model.findings import Diagnostic
from stepcheck.model.floor import RELATIONS
from stepcheck.model.items import checks, mapped, once, unchecked
from stepcheck.model.outcome import Outcome, Verdict
from stepcheck.walk.effects import Algebra
from stepcheck.walk.walk import verdicts


def mended(
    program: Program, claim: Claim, refuted: frozenset[str], order: Mapping[str, tuple[int, int]]
) -> tuple[str, ...]:
    """Return the refuted claims that are checked before the last check of `claim`, or before its meetings."""
    refuted -= {meeting.claim.id for meeting in program.meetings}  # nothing goes on from these as if they had held
    if claim.kind in RELATIONS.values():
        before = (body for meeting in program.meetings if meeting.claim.id == claim.id for body in meeting.before)
        return tuple(sorted(refuted.intersection(_claims(once(*before)))))
    last = order.get(claim.id, (0, 0))[1]
    return tuple(sorted(other for other in refuted if other != claim.id and order.get(other, (0, 0))[0] < last))


def causes(program: Program, claim: Claim, refuted: frozenset[str], shown: Sequence[Outcome]) -> tuple[str, ...]:
    """Return the refuted claims because of which a refuted claim is no finding of its own.

    About walls: those inside the passes that it is about.  About groups: that these are apart earlier in the dance.
    """
    if claim.id not in refuted:
        return ()
    if claim.kind is Kind.WALLS:
        return tuple(sorted(refuted & _lapped(program)))
    alike = {one.id for one in program.claims if one.kind is claim.kind and one.kind in RELATIONS.values()} & refuted
    first = min(
        ((one.traces[0].meeting or (0, 0), one.claim) for one in shown if one.claim in alike), default=((), claim.id)
    )[1]
    return () if first == claim.id else (first,)


def order(program: Program) -> dict[str, tuple[int, int]]:
    """Return for each claim where it is first and last checked, by a count of the items of the program."""
    order: dict[str, tuple[int, int]] = {}
    claims = [length.claim.id for length in program.lengths]
    claims += _claims(once(program.dance, *(spare.body for spare in program.spares)))
    claims += (program.walls.claim.id,) if program.walls else ()
    for number, claim in enumerate(claims):
        order[claim] = (order.get(claim, (number, number))[0], number)
    return order


def _claims(items: Iterable[Item]) -> Iterator[str]:
    """Yield the claims that items check."""
    for item in items:
        if isinstance(item, Choice) and item.claim is not None:
            yield item.claim.id
        yield from (check.claim.id for check in checks(item))


def _lapped(program: Program) -> frozenset[str]:
    """Return the claims that are checked in the laps of a dance."""
    laps = (i.body for i in once(program.dance) if isinstance(i, Lap) or (isinstance(i, Pass) and i.lap))
    return frozenset(_claims(once(*laps)))


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
        met = tuple(one for one in program.meetings if one.claim.id == claim)
        alone = mapped(
            evolve(program, travels=(), meetings=met),  # no claim on where a pass ends waits on another
            partial(unchecked, claims=refuted - {claim}),
        )
        if verdicts(alone, budget=budget, algebra=algebra).get(claim) is Verdict.PROVED:
            found.append(claim)
    return tuple(found)


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
