"""Which refuted claims bear on others: those taken as true before a claim is checked, and the causes of a failure."""

from collections.abc import Iterator, Mapping, Sequence

from stepcheck.model.dance import Body, Choice, Claim, Kind, Lap, Pass, Program
from stepcheck.model.floor import RELATIONS
from stepcheck.model.items import checks, inside
from stepcheck.model.outcome import Outcome


def mended(
    program: Program, claim: Claim, refuted: frozenset[str], order: Mapping[str, tuple[int, int]]
) -> tuple[str, ...]:
    """Return the refuted claims that are checked before the last check of `claim`, or before its meetings."""
    refuted -= {meeting.claim.id for meeting in program.meetings}  # nothing goes on from these as if they had held
    if claim.kind in RELATIONS.values():
        seen: set[int] = set()
        before = (body for meeting in program.meetings if meeting.claim.id == claim.id for body in meeting.before)
        return tuple(sorted(refuted.intersection(one for body in before for one in _checked_inside(body, seen))))
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
    seen: set[int] = set()
    bodies = (program.dance, *(spare.body for spare in program.spares))
    claims = [length.claim.id for length in program.lengths]
    claims += (claim for body in bodies for claim in _checked_inside(body, seen))
    claims += (program.walls.claim.id,) if program.walls else ()
    for number, claim in enumerate(claims):
        order[claim] = (order.get(claim, (number, number))[0], number)
    return order


def _checked_inside(body: Body, seen: set[int]) -> Iterator[str]:
    """Yield the claims that a body checks; `seen` are the bodies gone through already, by their `id`."""
    if id(body) in seen:
        return
    seen.add(id(body))
    for item in body:
        if isinstance(item, Choice) and item.claim is not None:
            yield item.claim.id
        yield from (check.claim.id for check in checks(item))
        for inner in inside(item):
            yield from _checked_inside(inner, seen)


def _lapped(program: Program) -> frozenset[str]:
    """Return the claims that are checked in the laps of a dance."""
    found, inner, seen = set[str](), set[int](), set[int]()
    stack: list[Body] = [program.dance]
    while stack:
        body = stack.pop()
        if id(body) in seen:
            continue
        seen.add(id(body))
        for item in body:
            if isinstance(item, Lap) or (isinstance(item, Pass) and item.lap):
                found.update(_checked_inside(item.body, inner))
            else:
                stack += inside(item)
    return frozenset(found)
