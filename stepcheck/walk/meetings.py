"""The claims about groups: the ends of what each of them has danced before a meeting, compared."""

from itertools import combinations, pairwise, product

from stepcheck.model.claims import Kind
from stepcheck.model.dance import EIGHTHS, Program, Weight
from stepcheck.model.floor import Meeting
from stepcheck.model.outcome import Trace, Verdict
from stepcheck.walk.branches import Branch, Event
from stepcheck.walk.follow import Quest, Trail
from stepcheck.walk.frontier import Fronts
from stepcheck.walk.ways import State, Way


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
            who = fronts.words.every
            for branch in branches:
                who &= branch.who
            right = _right(meeting.claim.kind, branches)
            waits = any(branch.effect.open for branch in branches)
            verdict = Verdict.PROVED if right else Verdict.UNDECIDED if waits else Verdict.REFUTED
            if who:
                found.append(Event(meeting.claim.id, verdict, who, id(meeting)))
    del fronts.events[events:]
    fronts.laps = laps
    return found


def _right(kind: Kind, branches: tuple[Branch, ...]) -> bool:
    """Say whether any two dancers of different groups stand to each other as they should."""
    if kind is Kind.SAME_BEAT:
        return len({tick for branch in branches for tick in branch.effect.clock()}) == 1
    stands = [
        {(after, turn) for _, after, entry in branch.effect.entries() for turn in entry.walls(0)} for branch in branches
    ]
    if kind is Kind.SAME_WALL:
        return len({turn for group in stands for _, turn in group}) == 1
    return all(_mirrored(*one, *other) for a, b in pairwise(stands) for one, other in product(a, b))


def _mirrored(weight: Weight, turn: int, other: Weight, back: int) -> bool:
    """Say whether two dancers who have turned so far from the same wall are mirror images of each other."""
    feet = weight is Weight.BOTH if other is Weight.BOTH else weight == 1 - other
    return feet and (turn + back) % EIGHTHS == 0


def parted(program: Program, quest: Quest, trail: Trail, readings: tuple[int, ...]) -> tuple[Trace, ...]:
    """Return the dances of two dancers before the first meeting at which they do not stand as a claim says; none if
    there are no such."""
    begun = {State(Weight(program.lead.other), program.facing): Way()}
    for number, meeting in enumerate(program.meetings):
        if meeting.claim.id != quest.target:
            continue
        ends = [trail.run(before, begun, program.facing) for before in meeting.before]
        groups = range(len(ends))
        for one, two in pairwise(groups) if meeting.claim.kind is Kind.MIRROR else combinations(groups, 2):
            for (a, way), (b, back) in product(ends[one].items(), ends[two].items()):
                if _apart(meeting, a, b, program.facing):
                    ways = (one, way), (two, back)
                    return tuple(Trace(w.decisions(), words=readings, meeting=(number, group)) for group, w in ways)
    return ()


def _apart(meeting: Meeting, a: State, b: State, front: int) -> bool:
    match meeting.claim.kind:
        case Kind.SAME_WALL:
            return a.facing != b.facing
        case Kind.SAME_BEAT:
            return a.clock != b.clock
        case _:
            return not _mirrored(a.weight, a.facing - front, b.weight, b.facing - front)
