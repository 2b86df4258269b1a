"""The judge's verdict on places: a pass, or what two groups dance, stride by stride, by the decisions of traces."""

from collections import deque

from attrs import evolve

from stepcheck.model.claims import Check, Claim
from stepcheck.model.dance import EIGHTHS, Body, Choice, Foot, Pass, Program, Repeat, Rest, Step, Timed, Weight
from stepcheck.model.outcome import HOME, Pick, Place, Replay, Run, Trace
from stepcheck.report.judge import Judge
from stepcheck.report.replays import Decisions, Effort, Rejected, State


class _Left(Exception):
    """She is too far away."""


def stride(program: Program, claim: Claim, trace: Trace, effort: Effort) -> Replay:
    """Return the replay of a pass that does not end where its part says, or leaves the circle that it should keep to.

    Raises:
        Rejected: the trace is no dance of the pass, or nothing is wrong in it.
    """
    if trace.travel is None or trace.start is None:
        raise Rejected("a trace of where a pass ends says which it is, and where the weight is")
    travel = program.travels[trace.travel]
    if travel.claim.id != claim.id or trace.start not in travel.weights or travel.unknown:
        raise Rejected("the pass of another claim, or from another foot, is danced")
    walk = _Stride(travel.steps, Judge(program, claim, frozenset(), trace, False, effort), State(trace.start, 0))
    try:
        walk.run(travel.body)
    except _Left:
        pass
    else:
        if not walk.judge.told:
            raise Rejected("decisions are left over")
        if travel.steps or walk.place == HOME:
            raise Rejected("the pass ends where it should")
    return evolve(walk.judge.replay(claim.line, None, travel.steps, 0, walk.state), place=walk.place)


def encounter(program: Program, claim: Claim, traces: tuple[Trace, ...], effort: Effort) -> tuple[Replay, ...]:
    """Return the replays, up to the moment at which they stand on one place, of two dancers of different groups who
    should never meet.

    Raises:
        Rejected: the traces are no two such dances, or these do not meet.
    """
    (number, first), (same, second) = (trace.meeting or (-1, -1) for trace in traces[:2])
    if number < 0 or number != same or first == second:
        raise Rejected("these are not two dancers of two groups who meet")
    meeting, walks = program.meetings[number], []
    if meeting.claim.id != claim.id or meeting.unknown:
        raise Rejected("another claim stands where they meet, or nobody knows")
    for trace, group in zip(traces, (first, second), strict=False):
        judge = Judge(program, claim, frozenset(), trace, False, effort)
        walks.append(_Stride(0, judge, State(Weight(program.lead.other), program.facing)))
        walks[-1].turned = program.facing
        walks[-1].run(meeting.before[group])
        if not judge.told:
            raise Rejected("decisions are left over")
    one, other = walks
    last = min(one.state.clock, other.state.clock)
    for moment in sorted({tick for tick, _ in (*one.stands, *other.stands) if tick <= last}):
        if one.at(moment) == other.at(moment):
            return tuple(
                evolve(walk.replay(moment), group=program.groups[group])
                for walk, group in zip(walks, (first, second), strict=True)
            )
    raise Rejected("the two dancers do not meet")


class _Stride:
    """One pass being danced, with the place that the dancer has come to, and when she came to each.

    Places are as one sees them who faces `turned`.
    """

    def __init__(self, steps: int, judge: Judge, state: State) -> None:
        self.steps, self.judge, self.state, self.place, self.turned = steps, judge, state, HOME, 0
        self.stands = [(0, HOME)]

    def at(self, moment: int) -> Place:
        """Return where the dancer stands at a moment."""
        return [place for tick, place in self.stands if tick <= moment][-1]

    def replay(self, moment: int) -> Replay:
        """Return the replay up to a moment at which the dancer stands where she should not."""
        rows = tuple(row for row in self.judge.rows if row.tick + row.ticks <= moment)
        line = rows[-1].line if rows and rows[-1].tick + rows[-1].ticks == moment else 0
        made = self.judge.replay(line, None, None, moment, self.state)
        return evolve(made, rows=rows, tick=moment, place=self.at(moment))

    def run(self, body: Body) -> None:
        """Dance a body."""
        for item in body:
            match item:
                case Step():
                    self._step(item)
                case Check(value=int(foot)):
                    self.state = evolve(self.state, weight=Weight(Foot(foot).other))
                case Choice():
                    option = self.judge.decisions.take(Pick).option
                    if not 0 <= option < len(item.options):
                        raise Rejected(f"there is no option {option}")
                    self.run(item.options[option])
                case Repeat(times=int(times)):
                    self._repeat(item.body, times)
                case Rest():
                    self.state = self.judge.dance(item, self.state, False)
                case Pass(lasts=lasts) | Timed(lasts=lasts):
                    begun = self.state.clock
                    self.run(item.body)
                    if lasts is not None:
                        self.state = evolve(self.state, clock=begun + lasts)

    def _repeat(self, body: Body, times: int) -> None:
        while times > 0:
            run = self.judge.decisions.take(Run)
            times -= run.times
            for _ in range(run.times):
                self.judge.outer.append(self.judge.decisions)
                self.judge.decisions = Decisions(deque(run.decisions))
                self.run(body)
                if self.judge.decisions.left:
                    raise Rejected("decisions are left over at the end of a repeat")
                self.judge.decisions = self.judge.outer.pop()
        if times:
            raise Rejected("a repeat is danced too often")

    def _step(self, step: Step) -> None:
        facing, figure = (self.state.facing - self.turned) % EIGHTHS, step.figure
        self.state = self.judge.dance(step, self.state, False)
        right, forward = step.travel or self.judge.version(step).travel or (0, 0)
        if step.travel is None and self.judge.rows[-1].lead is not figure.lead:
            right = -right
        place = list(self.place)
        for way, steps in ((facing, forward), ((facing + 2) % EIGHTHS, right)):
            place[way % 4] += steps if way < 4 else -steps
        self.place = place[0], place[1], place[2], place[3]
        self.stands.append((self.state.clock, self.place))
        if self.steps and not _near(self.place, self.steps):
            raise _Left


def _near(place: Place, steps: int) -> bool:
    """Say whether a place is at most so many steps away.

    In halves of steps to the right and forward it is (2 east + c root, 2 north + d root), root that of two; so four
    times the square of the distance, less that of the circle, is whole + rest root.
    """
    north, mixed, east, cross = place
    c, d = mixed + cross, mixed - cross
    whole = 4 * (east * east + north * north) + 2 * (c * c + d * d) - 4 * steps * steps
    rest = 4 * (east * c + north * d)
    if rest <= 0:
        return whole <= 0 or whole * whole <= 2 * rest * rest
    return whole <= 0 and whole * whole >= 2 * rest * rest
