"""Claims that compare dances: the groups where they meet, and the whole passes of a number of walls."""

from functools import reduce
from itertools import chain, combinations, pairwise, product
from math import gcd
from operator import and_, or_

from stepcheck.model.claims import Kind
from stepcheck.model.dance import EIGHTHS, Program, Walls, Weight
from stepcheck.model.outcome import Trace, Verdict
from stepcheck.walk.branches import Event, Start
from stepcheck.walk.follow import Quest, Trail
from stepcheck.walk.frontier import Fronts
from stepcheck.walk.stands import Past, State


def meetings(program: Program, fronts: Fronts) -> list[Event]:
    """Return the verdict on each meeting of the groups, by assignments; `fronts` is left as it was, but for its
    budget."""
    start, found = fronts.begin((Weight(program.lead.other),)), []
    events, laps = len(fronts.events), dict(fronts.laps)
    for meeting in program.meetings:
        if meeting.claim.kind is Kind.APART:  # where dancers stand is followed in `walk.travel`
            continue
        ends = [fronts.run(before, start, program.facing) for before in meeting.before]
        for branches in product(*ends):
            who = reduce(and_, (some for _, some in branches), fronts.words.every)
            stands = [
                [
                    (end, wall, tick)
                    for _, end, entry in effect.entries
                    for wall in entry.walls(0)
                    for tick in effect.clock
                ]
                for effect, _ in branches
            ]
            pairs = chain.from_iterable(product(a, b) for a, b in pairwise(stands))
            right = all(_agree(meeting.claim.kind, one, other) for one, other in pairs)
            waits = any(effect.open for effect, _ in branches)
            verdict = Verdict.PROVED if right else Verdict.UNDECIDED if waits else Verdict.REFUTED
            if who:
                found.append(Event(meeting.claim.id, verdict, who, id(meeting)))
    del fronts.events[events:]
    fronts.laps = laps
    return found


def _agree(kind: Kind, one: tuple[Weight, int, int], other: tuple[Weight, int, int]) -> bool:
    """Say whether two dancers stand to each other as they should: the weight, the turn from the same wall, the clock of
    each."""
    (weight, turn, clock), (weight_too, turn_too, clock_too) = one, other
    match kind:
        case Kind.SAME_WALL:
            return (turn - turn_too) % EIGHTHS == 0
        case Kind.SAME_BEAT:
            return clock == clock_too
    feet = weight is Weight.BOTH if weight_too is Weight.BOTH else weight == 1 - weight_too
    return feet and (turn + turn_too) % EIGHTHS == 0


def parted(program: Program, quest: Quest, trail: Trail, readings: tuple[int, ...]) -> tuple[Trace, ...]:
    """Return the dances of two dancers up to the first meeting at which they do not stand as the claim says; none if
    there is none."""
    begun = {State(Weight(program.lead.other), program.facing): Past()}
    for number, meeting in enumerate(program.meetings):
        if meeting.claim.id != quest.target:
            continue
        ends = [trail.run(before, begun, program.facing) for before in meeting.before]
        groups, kind = range(len(ends)), meeting.claim.kind
        for one, two in pairwise(groups) if kind is Kind.MIRROR else combinations(groups, 2):
            for (a, past), (b, back) in product(ends[one].items(), ends[two].items()):
                stood = ((state.weight, state.facing - program.facing, state.clock) for state in (a, b))
                if not _agree(kind, *stood):
                    pasts = (one, past), (two, back)
                    return tuple(Trace(p.decisions(), words=readings, meeting=(number, group)) for group, p in pasts)
    return ()


def walls(claim: Walls, begun: Weight, laps: tuple[Start, ...], fronts: Fronts) -> list[Event]:  # noqa: C901 - one worklist
    """Return the verdicts on a claim about walls, by assignments.

    Args:
        claim: the claim, with a whole pass for its steps alone.
        begun: the weight at the start of the dance.
        laps: the starts of the laps that the dance reaches.
        fronts: the walk over the dance; it is left as it was, but for its budget.
    """
    refuted: dict[str, int] = {}
    doubted: dict[str, int] = {}  # what may be refuted under each filling, each time by another dancer
    for event in fronts.events:
        if event.verdict is not Verdict.PROVED:
            noted = refuted if event.verdict is Verdict.REFUTED else doubted
            noted[event.claim] = noted.get(event.claim, 0) | event.who
    passes: list[tuple[int, int, bool]] = []  # changes of facing as bits, assignments, whether a blank decides
    failing = waiting = 0
    reached = reduce(or_, (lap.who for lap in laps), 0)
    pending = [Start((begun,), False, fronts.words.every & ~reached)] if fronts.words.every & ~reached else []
    pending += sorted(laps, key=lambda lap: lap.open)
    sure, known = dict.fromkeys(Weight, 0), dict.fromkeys(Weight, 0)
    while pending:
        lap = pending.pop(next((number for number, one in enumerate(pending) if not one.open), 0))
        for weight in lap.weights:
            seen = known if lap.open else sure
            who = lap.who & ~seen[weight]
            if not who:
                continue
            known[weight] |= who
            sure[weight] |= 0 if lap.open else who
            met = fronts.passed(claim.body, (weight,), lap.open)
            for event in met.events:
                bits = event.who & who & ~refuted.get(event.claim, 0)
                if event.verdict is Verdict.REFUTED and not lap.open:
                    failing |= bits & ~doubted.get(event.claim, 0)
                    bits &= doubted.get(event.claim, 0)
                if event.verdict is not Verdict.PROVED:
                    waiting |= bits
            for effect, some in met.ends:
                if some & who:
                    is_open = lap.open or effect.open
                    facings = reduce(or_, (entry.facings for _, _, entry in effect.entries), 0)
                    passes.append((facings, some & who, is_open))
                    pending.append(Start(effect.ends, is_open, some & who))
    found: dict[Verdict, int] = {}
    for number in range(fronts.words.total):
        here = 1 << number & fronts.words.every
        turns, maybe = (
            reduce(or_, (facings for facings, who, waits in passes if who & here and waits is is_open), 0)
            for is_open in (False, True)
        )
        if here:
            verdict = _stands(claim.count, turns, maybe, bool(failing & here), bool(waiting & here))
            found[verdict] = found.get(verdict, 0) | here
    return [Event(claim.claim.id, verdict, who, id(claim)) for verdict, who in found.items()]


def _stands(count: int, facings: int, maybe: int, failing: bool, waiting: bool) -> Verdict:
    """Return the verdict where laps turn by `facings` (bits), and some that wait on a blank by `maybe` (bits)."""
    fitting = sum(1 << turn for turn in range(EIGHTHS) if EIGHTHS // gcd(turn, EIGHTHS) == count)
    if failing or facings.bit_count() > 1 or not fitting & (facings or maybe):
        return Verdict.REFUTED
    if waiting or (facings | maybe).bit_count() > 1:
        return Verdict.UNDECIDED
    return Verdict.PROVED
