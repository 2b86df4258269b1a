"""Counterexamples: the dances in which a claim fails, for the dance itself, parts that are never danced, and the
walls."""

from itertools import product
from math import gcd

from attrs import evolve

from stepcheck.model.claims import Kind, Test, looking_at
from stepcheck.model.dance import EIGHTHS, Choice, Program, Walls, Weight
from stepcheck.model.items import checks, once
from stepcheck.model.outcome import Trace
from stepcheck.model.work import Work, WorkSpent
from stepcheck.walk.branches import Looks
from stepcheck.walk.follow import Found, Quest, Trail
from stepcheck.walk.meetings import parted
from stepcheck.walk.stands import State, Way
from stepcheck.walk.travel import lost, met

_FREE_TIMES = (48, 8, 1)
"""How many times at either end of a long repeat are decided afresh: first many, then, if that costs too much, few."""

_WALLS = looking_at("facing", "turn")  # each of these sets both


def search(
    program: Program,
    claim: str,
    readings: tuple[int, ...],
    refuted: frozenset[str],
    excused: frozenset[str],
    work: Work,
    any_filling: bool = False,
) -> tuple[Trace, ...]:
    """Return the trace to the first failure of `claim`, or two traces that differ; nothing if none is found.

    Args:
        program: the dance.
        claim: the id of a claim of it.
        readings: the reading of each open word.
        refuted: the ids of the claims that are refuted: dancers go on from them as if they had held.
        excused: the ids of those that are refuted in the dance itself, not only in a part that is never danced.
        work: what the search may cost; each try takes half of what is left.
        any_filling: whether the claim is known to fail with each filling of the blanks, so that any dance will do.
    """
    kind = next((one.claim.kind for one in program.meetings if one.claim.id == claim), None)
    if kind is Kind.APART or any(one.claim.id == claim for one in program.travels):
        share = Work(work.left // 2)
        try:
            return (met if kind is Kind.APART else lost)(program, claim, readings, share)
        except WorkSpent:
            return ()
        finally:
            work.left -= min(share.spent, share.budget)
    about_walls = program.walls is not None and program.walls.claim.id == claim
    tests, blank = _seen(program, claim)
    if kind is not None:
        tests = frozenset((Test.CLOCK,)) if kind is Kind.SAME_BEAT else _WALLS
        if blank:
            return ()
    read = {word.key: reading for word, reading in zip(program.words, readings, strict=True)}
    quest = Quest(claim, read, refuted, excused, frozenset(Test) if blank else tests, about_walls)
    # Behind a blank a dance is shown, if there is one, in which what waits on the blank holds.
    kinds = [(True, False), (False, False), (False, True)][: 2 + any_filling] if blank else [(False, False)]
    for (strict, any_filling), free in product(kinds, _FREE_TIMES):
        share = Work(work.left // 2)
        try:
            quest = evolve(quest, strict=strict, any_filling=any_filling)
            found = _tried(program, quest, share, free, readings)
            if found or (strict, any_filling) == kinds[-1]:
                return found
        except WorkSpent:
            pass
        finally:
            work.left -= min(share.spent, share.budget)
    return ()


def _tried(program: Program, quest: Quest, work: Work, free: int, readings: tuple[int, ...]) -> tuple[Trace, ...]:
    trail = Trail(quest, work, free)
    if any(one.claim.id == quest.target for one in program.meetings):
        return parted(program, quest, trail, readings)
    try:
        trail.run(program.dance, {State(Weight(program.lead.other), program.facing): Way()}, program.facing)
    except Found as found:
        return tuple(Trace(way.decisions(), words=readings) for way in found.ways)
    if quest.laps:
        assert program.walls is not None
        if quest.strict and not trail.laps:
            return ()  # no dance in which nothing else fails comes to a lap
        laps = trail.laps or {Weight(program.lead.other): Way()}
        return _chains(program.walls, laps, quest, work, free, readings)
    for number, spare in enumerate(program.spares):
        for weight in spare.weights:
            try:
                Trail(quest, work, free).run(spare.body, {State(weight, 0): Way()}, 0)
            except Found as found:
                return tuple(Trace(way.decisions(), number, weight, readings) for way in found.ways)
    return ()


def _chains(
    walls: Walls, laps: dict[Weight, Way], quest: Quest, work: Work, free: int, readings: tuple[int, ...]
) -> tuple[Trace, ...]:
    """Return a chain of passes to one that turns wrongly or comes to a foot that is not free, or two to passes that
    differ."""
    known = {weight: Trace(way.decisions(), None, weight, readings) for weight, way in laps.items()}
    pending, ends = list(known), []
    while pending:
        begun = pending.pop(0)
        chain = known[begun]
        try:
            dances = Trail(quest, work, free).alone(walls, begun)
        except Found as found:
            return (_longer(chain, found.ways[0]),)
        for end, way in dances.items():
            ends.append((end.facing, _longer(chain, way)))
            if end.weight not in known:
                known[end.weight] = ends[-1][1]
                pending.append(end.weight)
    first = ends[0]
    other = next((end for end in ends if end[0] != first[0]), None)
    if other is not None:
        return first[1], other[1]
    return (first[1],) if EIGHTHS // gcd(first[0], EIGHTHS) != walls.count else ()


def _longer(chain: Trace, way: Way) -> Trace:
    """Return a chain of passes with one more at its end."""
    return Trace(chain.decisions, None, chain.start, chain.words, (*chain.passes, way.decisions()))


def _seen(program: Program, claim: str) -> tuple[frozenset[Test], bool]:
    """Return the tests of the checks of a claim, and whether blanks stand anywhere."""
    bodies, looks = (program.dance, *(spare.body for spare in program.spares)), Looks()
    tests: set[Test] = set()
    for item in once(*bodies):
        if isinstance(item, Choice) and item.claim is not None and item.claim.id == claim:
            tests.add(Test.CLOCK)
        tests |= {check.test for check in checks(item) if check.claim.id == claim}
    return frozenset(tests | _WALLS if tests & _WALLS else tests), any(looks.of(body).blank for body in bodies)
