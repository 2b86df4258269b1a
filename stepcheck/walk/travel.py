"""Where a pass ends, counted in steps from where it began: the steps alone, dancer by dancer.

A place is four whole numbers, steps along the directions 12:00, 1:30, 3:00 and 4:30; steps the other way count down.
Two places are one only if all four are equal, for the diagonal of a square is no fraction of its side.
"""

from typing import NamedTuple, TypeAlias

from stepcheck.books.footwork import Impossible, Words, ends
from stepcheck.model.dance import EIGHTHS, Body, Check, Choice, Foot, Pass, Program, Repeat, Step, Test, Weight
from stepcheck.model.floor import Travel
from stepcheck.model.outcome import HOME, Lead, Pick, Place, Trace, Verdict
from stepcheck.model.work import Work
from stepcheck.walk.branches import Event
from stepcheck.walk.ways import Way


class Stand(NamedTuple):
    """Where a dancer is since her pass began: her weight, the change of facing, her place, and whether she has left the
    circle that she should stay in."""

    weight: Weight
    facing: int = 0
    spot: Place = HOME
    out: bool = False


Dances: TypeAlias = dict[Stand, Way]


def gone(spot: Place, facing: int, right: int, forward: int) -> Place:
    """Return a place after so many steps to the right and forward of one who faces `facing`."""
    at = list(spot)
    for direction, steps in ((facing, forward), (facing + 2, right)):
        away = direction % EIGHTHS
        at[away % 4] += steps if away < 4 else -steps
    return at[0], at[1], at[2], at[3]


def beyond(spot: Place, steps: int) -> bool:
    """Say whether a place is more than so many steps away: its square is a whole number and one of roots of two."""
    ahead, right, across, down = spot[0], spot[2], spot[1] + spot[3], spot[1] - spot[3]
    whole = 2 * (ahead * ahead + right * right) + across * across + down * down - 2 * steps * steps
    roots = 2 * (right * across + ahead * down)  # whole + roots * sqrt(2) > 0
    if whole >= 0 and roots >= 0:
        return whole + roots > 0
    if whole <= 0 and roots <= 0:
        return False
    return (whole * whole > 2 * roots * roots) is (whole > 0)


class _Path:
    """The dances of one pass under one reading of each open word."""

    def __init__(self, travel: Travel, readings: dict[str, int], work: Work) -> None:
        self.travel, self.readings, self.work = travel, readings, work

    def run(self, body: Body, dances: Dances) -> Dances:
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
                        taking = {stand: way.taking(Pick(number)) for stand, way in dances.items()}
                        for stand, way in self.run(option, taking).items():
                            out.setdefault(stand, way)
                    dances = out
                case Repeat(times=int(times)):
                    for time in range(times):
                        inner = self.run(item.body, {stand: Way(outer=way) for stand, way in dances.items()})
                        dances = {stand: way.closed(time > 0) for stand, way in inner.items()}
                case Pass():
                    dances = self.run(item.body, dances)
        return dances

    def _step(self, step: Step, dances: Dances) -> Dances:
        figure, out = step.figure, Dances()
        number = self.readings.get(figure.name, figure.usual) if len(figure.versions) > 1 else figure.usual
        version = figure.versions[number]
        for stand, way in dances.items():
            found = sorted(ends(figure, stand.weight, version, self.readings))
            for end in found:
                if isinstance(end.weight, Impossible):
                    continue
                right, forward = step.travel or version.travel or (0, 0)
                right = -right if step.travel is None and end.lead is not figure.lead else right
                spot = gone(stand.spot, stand.facing, right, forward)
                turn = end.turn if step.turn is None else step.turn
                away = stand.out or (self.travel.steps > 0 and beyond(spot, self.travel.steps))
                after = Stand(end.weight, (stand.facing + turn) % EIGHTHS, spot, away)
                out.setdefault(after, way.taking(Lead(end.lead)) if len(found) > 1 else way)
        return out

    def wrong(self, stand: Stand) -> bool:
        """Say whether a dancer who has come to the end is not where she should be."""
        return stand.out if self.travel.steps else stand.spot != HOME


def travels(program: Program, words: Words, work: Work) -> list[Event]:
    """Return the verdict on where each pass ends, by assignments of readings; undecided where nobody says how far it
    goes."""
    found = []
    for travel in program.travels:
        if travel.unknown:
            found.append(Event(travel.claim.id, Verdict.UNDECIDED, words.every, id(travel)))
            continue
        for number in range(words.total):
            read = {word.key: one for word, one in zip(program.words, words.readings(number), strict=True)}
            path = _Path(travel, read, work)
            wrong = any(
                path.wrong(stand)
                for weight in travel.weights
                for stand in path.run(travel.body, {Stand(weight): Way()})
            )
            found.append(Event(travel.claim.id, Verdict.REFUTED if wrong else Verdict.PROVED, 1 << number, id(travel)))
    return found


def lost(program: Program, claim: str, readings: tuple[int, ...], work: Work) -> tuple[Trace, ...]:
    """Return the dance of a pass that does not end where it should, if the claim says so and there is one."""
    read = {word.key: one for word, one in zip(program.words, readings, strict=True)}
    for number, travel in enumerate(program.travels):
        path = _Path(travel, read, work)
        for weight in travel.weights if travel.claim.id == claim else ():
            for stand, way in path.run(travel.body, {Stand(weight): Way()}).items():
                if path.wrong(stand):
                    return (Trace(way.decisions(), start=weight, words=readings, travel=number),)
    return ()
