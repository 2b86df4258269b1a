"""Where a pass ends and whether groups meet, counted in steps: the steps alone, dancer by dancer.

A place is four whole numbers, steps along the directions 12:00, 1:30, 3:00 and 4:30; steps the other way count down.
Two places are one only if all four are equal, for the diagonal of a square is no fraction of its side.
"""

from collections.abc import Iterable, Iterator
from itertools import combinations, product
from typing import NamedTuple, TypeAlias

from stepcheck.books.footwork import Impossible, Words, ends
from stepcheck.model.claims import Check, Test
from stepcheck.model.dance import EIGHTHS, Body, Choice, Foot, Pass, Program, Repeat, Rest, Step, Timed, Version, Weight
from stepcheck.model.floor import Meeting, Travel
from stepcheck.model.outcome import HOME, Lead, Pick, Spot, Trace, Verdict
from stepcheck.model.work import Work, WorkSpent
from stepcheck.walk.branches import Event
from stepcheck.walk.stands import Past


class Stand(NamedTuple):
    """Where a dancer is since her pass began: her weight, the change of facing, her place, and whether she has left the
    circle that she should stay in, or stood where she was looked for; if groups may meet, the clock, too."""

    weight: Weight
    facing: int = 0
    spot: Spot = HOME
    out: bool = False
    clock: int = 0


Dances: TypeAlias = dict[Stand, Past]


def gone(spot: Spot, facing: int, right: int, forward: int) -> Spot:
    """Return a place after so many steps to the right and forward of one who faces `facing`."""
    at = list(spot)
    for direction, steps in ((facing, forward), (facing + 2, right)):
        away = direction % EIGHTHS
        at[away % 4] += steps if away < 4 else -steps
    return at[0], at[1], at[2], at[3]


def went(spot: Spot, facing: int, step: Step, version: Version, lead: Foot) -> Spot:
    """Return a place after a step that `lead` leads, of one who faces `facing`."""
    right, forward = step.travel or version.travel or (0, 0)
    return gone(spot, facing, right if step.travel or lead is step.figure.lead else -right, forward)


def beyond(spot: Spot, steps: int) -> bool:
    """Say whether a place is farther away than so many steps, computed exactly: squares are `whole + roots *
    sqrt(2)`."""
    ahead, right, across, down = spot[0], spot[2], spot[1] + spot[3], spot[1] - spot[3]
    whole = 2 * (ahead * ahead + right * right) + across * across + down * down - 2 * steps * steps
    roots = 2 * (right * across + ahead * down)  # whole + roots * sqrt(2) > 0
    if whole >= 0 and roots >= 0:
        return whole + roots > 0
    if whole <= 0 and roots <= 0:
        return False
    return (whole * whole > 2 * roots * roots) is (whole > 0)


def reach(body: Body) -> int:
    """Return how many steps all figures of a body lead together at most: no dancer comes farther."""
    total = 0
    for item in body:
        match item:
            case Step():
                ways = (item.travel or version.travel or (0, 0) for version in item.figure.versions)
                total += max(abs(right) + abs(forward) for right, forward in ways)
            case Choice():
                total += max(map(reach, item.options))
            case Repeat(times=int(times)):
                total += times * reach(item.body)
            case Pass() | Timed():
                total += reach(item.body)
            case _:
                assert isinstance(item, Check | Rest), item  # what is left out here would be proved near
    return total


Stay: TypeAlias = tuple[int, int]
"""From when to when a dancer stands on a place; the end is no longer of it."""


class _Path:
    """The dances of one pass under one reading of each open word.

    Where groups may meet, `stays` has for each place when some dancer stands there, and `sought` is a place with the
    moment at which a dancer is looked for.
    """

    def __init__(self, steps: int, readings: dict[str, int], work: Work) -> None:
        self.steps, self.readings, self.work = steps, readings, work
        self.stays: dict[Spot, set[Stay]] | None = None
        self.sought: tuple[Spot, int] | None = None

    def run(self, body: Body, dances: Dances) -> Dances:  # noqa: C901 - a case for each kind
        """Return the dances at the end of a body."""
        for item in body:
            self.work.spend(len(dances))
            match item:
                case Step():
                    dances = self._step(item, dances)
                case Check(test=Test.LEAD, value=int(foot)):
                    dances = {s._replace(weight=Weight(Foot(foot).other)): w for s, w in reversed(dances.items())}
                case Choice():
                    out: Dances = {}
                    for number, option in enumerate(item.options):
                        taking = {stand: past.taking(Pick(number)) for stand, past in dances.items()}
                        for stand, past in self.run(option, taking).items():
                            out.setdefault(stand, past)
                    dances = out
                case Repeat(times=int(times)):
                    for time in range(times):
                        inner = self.run(item.body, {stand: Past(outer=past) for stand, past in dances.items()})
                        dances = {stand: past.closed(time > 0) for stand, past in inner.items()}
                case Rest():
                    dances = {self._stays(stand, item.ticks): past for stand, past in reversed(dances.items())}
                case Pass(lasts=lasts) | Timed(lasts=lasts):
                    dances = self._lasting(item.body, lasts, dances)
        return dances

    def _lasting(self, body: Body, lasts: int | None, dances: Dances) -> Dances:
        """Return the dances at the end of a body that lasts `lasts` ticks, or as long as its steps."""
        if lasts is None or self.stays is None:
            return self.run(body, dances)
        ends: Dances = {}
        for clock in dict.fromkeys(stand.clock for stand in dances):
            begun = {stand: past for stand, past in dances.items() if stand.clock == clock}
            for stand, past in self.run(body, begun).items():
                ends.setdefault(self._stays(stand, clock + lasts - stand.clock), past)
        return ends

    def _stays(self, stand: Stand, ticks: int) -> Stand:
        if self.stays is None:
            return stand
        begin, end = stand.clock, stand.clock + ticks
        self.stays.setdefault(stand.spot, set()).add((begin, end))
        seen = self.sought is not None and self.sought[0] == stand.spot and begin <= self.sought[1] < end
        return stand._replace(clock=end, out=stand.out or seen)

    def _step(self, step: Step, dances: Dances) -> Dances:
        figure, out = step.figure, Dances()
        number = self.readings.get(figure.name, figure.usual) if len(figure.versions) > 1 else figure.usual
        version = figure.versions[number]
        known = {one: sorted(ends(figure, one, version, self.readings)) for one in {stand.weight for stand in dances}}
        for begun, past in dances.items():
            stand = self._stays(begun, version.length)
            found = known[stand.weight]
            for end in found:
                if isinstance(end.weight, Impossible):
                    continue
                spot = went(stand.spot, stand.facing, step, version, end.lead)
                turn = end.turn if step.turn is None else step.turn
                away = stand.out or (self.steps > 0 and beyond(spot, self.steps))
                after = Stand(end.weight, (stand.facing + turn) % EIGHTHS, spot, away, stand.clock)
                out.setdefault(after, past.taking(Lead(end.lead)) if len(found) > 1 else past)
        return out

    def until(self, before: Body, begun: Weight) -> Dances:
        """Return the dances up to the place of a claim about groups, the moment of coming there included."""
        self.stays = {}
        ends = self.run(before, {Stand(begun): Past()})
        return {self._stays(stand, 1): past for stand, past in ends.items()}


def travels(program: Program, places: Iterable[Travel | Meeting], words: Words, work: Work) -> list[Event]:
    """Return the verdicts on where passes end and whether groups never meet, by assignments of readings; undecided
    where nobody says how far they go, or that is too much work."""
    found = []
    for place in places:
        if place.unknown:
            found.append(Event(place.claim.id, Verdict.UNDECIDED, words.every, id(place)))
            continue
        if isinstance(place, Travel) and reach(place.body) <= place.steps:
            found.append(Event(place.claim.id, Verdict.PROVED, words.every, id(place)))
            continue
        for number in range(words.total):
            read = {word.key: one for word, one in zip(program.words, words.readings(number), strict=True)}
            try:
                if isinstance(place, Meeting):
                    wrong = _met(program, place, read, work) is not None
                else:
                    wrong = next(_strays(place, read, work), None) is not None
                verdict = Verdict.REFUTED if wrong else Verdict.PROVED
            except WorkSpent:
                verdict = Verdict.UNDECIDED
            found.append(Event(place.claim.id, verdict, 1 << number, id(place)))
    return found


def _strays(travel: Travel, readings: dict[str, int], work: Work) -> Iterator[tuple[Weight, Past]]:
    """Yield the dances of a pass that do not end where they should, each with the weight before it."""
    path = _Path(travel.steps, readings, work)
    for weight in travel.weights:
        for stand, past in path.run(travel.body, {Stand(weight): Past()}).items():
            if stand.out if travel.steps else stand.spot != HOME:
                yield weight, past


def lost(program: Program, claim: str, readings: tuple[int, ...], work: Work) -> tuple[Trace, ...]:
    """Return the dance of a pass that does not end where it should, if the claim says so and there is one."""
    read = {word.key: one for word, one in zip(program.words, readings, strict=True)}
    for number, travel in enumerate(program.travels):
        for weight, past in _strays(travel, read, work) if travel.claim.id == claim else ():
            return (Trace(past.decisions(), start=weight, words=readings, travel=number),)
    return ()


def _met(program: Program, meeting: Meeting, readings: dict[str, int], work: Work) -> tuple[int, Spot, int, int] | None:
    """Return the first moment at which dancers of two groups stand on one place, with it and the groups."""
    stays = []
    for before in meeting.before:
        path = _Path(0, readings, work)
        path.until(before, Weight(program.lead.other))
        stays.append(path.stays or {})
    found = (
        (max(one[0], other[0]), spot, a, b)
        for a, b in combinations(range(len(stays)), 2)
        for spot in stays[a].keys() & stays[b].keys()
        for one, other in product(stays[a][spot], stays[b][spot])
        if max(one[0], other[0]) < min(one[1], other[1])
    )
    return min(found, default=None)


def met(program: Program, claim: str, readings: tuple[int, ...], work: Work) -> tuple[Trace, ...]:
    """Return the dances of two dancers who meet before the first place that claims otherwise; none if nobody meets."""
    read = {word.key: one for word, one in zip(program.words, readings, strict=True)}
    for number, meeting in enumerate(program.meetings):
        first = None if meeting.claim.id != claim or meeting.unknown else _met(program, meeting, read, work)
        if first is None:
            continue
        moment, spot, *groups = first
        traces = []
        for group in groups:
            path = _Path(0, read, work)
            path.sought = spot, moment
            ends = path.until(meeting.before[group], Weight(program.lead.other))
            past = next(past for stand, past in ends.items() if stand.out)
            traces.append(Trace(past.decisions(), words=readings, meeting=(number, group)))
        return tuple(traces)
    return ()
