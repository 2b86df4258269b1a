"""The judge's verdict on traces: whether the claim that an engine refutes really fails in them.

Neither this nor the judge imports an engine.  What an engine says is refuted counts only after it has been danced here.
Claims about places, of a pass or of what two groups dance, are followed stride by stride.
"""

from collections import deque
from math import gcd

from attrs import evolve

from stepcheck.model import dance
from stepcheck.model.claims import Check, Claim, Kind, Test
from stepcheck.model.dance import EIGHTHS, TICKS, Body, Choice, Lap, Pass, Program, Weight
from stepcheck.model.floor import RELATIONS
from stepcheck.model.outcome import HOME, Decision, Pick, Replay, Row, Spot, Trace
from stepcheck.model.work import Work
from stepcheck.report.judge import Judge
from stepcheck.report.replays import Begun, Decisions, Ended, Rejected, State, Stopped, taken

__all__ = ["EFFORT", "Rejected", "Replay", "Row", "confirm"]

EFFORT = 400_000
"""How many items may be danced again, over all traces of a sheet; each for the first time is free."""


def confirm(
    program: Program,
    claim: Claim,
    traces: tuple[Trace, ...],
    mended: frozenset[str],
    excused: frozenset[str] | None = None,
    effort: Work | None = None,
) -> tuple[Replay, ...]:
    """Return the replays of the traces that refute `claim`, one for each.

    Args:
        program: the dance.
        claim: the claim said to be refuted.
        traces: one dance in which it fails, or two that show that not all dances agree.
        mended: the ids of the claims that are refuted or undecided: checks of them go on as if they held.
        excused: for a claim about walls, the ids of those that are refuted in the dance itself, under the readings of
            the traces, so that a pass for its steps alone need not have these feet free; `mended` if not given.
        effort: how much may be danced, over as many claims as share it.

    Raises:
        Rejected: a trace is no dance of the program, or the claim does not fail in it.
        WorkSpent: that would take too long.
    """
    effort = effort or Work(EFFORT)
    if claim.kind is Kind.FIGURE:
        return (_figure(program, claim),)
    if not traces:
        raise Rejected("there is no trace")
    if claim.kind is Kind.WALLS:
        return _confirm_walls(program, claim, traces, mended, mended if excused is None else excused, effort)
    if claim.kind is Kind.SPOT:
        return (stride(program, claim, traces[0], effort),)
    if claim.kind is Kind.APART:
        return encounter(program, claim, traces, effort)
    if claim.kind in RELATIONS.values():
        return _confirm_apart(program, claim, traces, mended, effort)
    replays = tuple(_replay(program, claim, trace, mended, len(traces) > 1, effort) for trace in traces)
    if len(replays) > 1 and replays[0].found == replays[1].found:
        raise Rejected("the two dances do not differ")
    return replays


def _start(program: Program) -> State:
    return State(Weight(program.lead.other), program.facing, front=program.facing)


def _replay(program: Program, claim: Claim, trace: Trace, mended: frozenset[str], pair: bool, effort: Work) -> Replay:
    judge, first = Judge(program, claim, mended, trace, pair, effort), None
    try:
        if trace.spare is None:
            first = trace.decisions[0] if program.groups and trace.decisions else None
            judge.run(program.dance, _start(program))
        elif trace.start is None:
            raise Rejected("a trace of a part alone says where the weight is")
        else:
            judge.run(program.spares[trace.spare].body, State(trace.start, 0))
    except Stopped as stop:
        return evolve(stop.replay, group=program.groups[first.option] if isinstance(first, Pick) else "")
    except Ended:
        pass
    raise Rejected("the claim does not fail in this dance")


def _confirm_apart(
    program: Program, claim: Claim, traces: tuple[Trace, ...], mended: frozenset[str], effort: Work
) -> tuple[Replay, ...]:
    """Return the replays of two dancers of different groups who meet, and do not stand there as they should."""
    (one, a), (other, b) = (_come(program, claim, trace, mended, effort) for trace in traces[:2])
    (meeting, first), (same, second) = (trace.meeting or (0, 0) for trace in traces[:2])
    away = (a.facing - program.facing + b.facing - program.facing) % EIGHTHS
    feet = {(Weight.LEFT, Weight.RIGHT), (Weight.RIGHT, Weight.LEFT), (Weight.BOTH, Weight.BOTH)}
    match claim.kind:
        case Kind.SAME_WALL:
            test, values = Test.FACING, (a.facing, b.facing)
            right = a.facing == b.facing
        case Kind.SAME_BEAT:
            test, values = Test.CLOCK, (a.clock, b.clock)
            right = a.clock == b.clock
        case _ if (a.weight, b.weight) not in feet:
            test, values, right = Test.FOOT, (a.weight, b.weight), False
        case _:
            test, values, right = Test.FACING, (a.facing, b.facing), not away
    if meeting != same or first == second or (claim.kind is Kind.MIRROR and second != first + 1):
        raise Rejected("these are not two dancers of two groups who meet")
    if right:
        raise Rejected("the two dancers stand to each other as they should")
    return tuple(evolve(r, test=test, found=int(v)) for r, v in zip((one, other), values, strict=True))


def _come(program: Program, claim: Claim, trace: Trace, mended: frozenset[str], effort: Work) -> tuple[Replay, State]:
    """Return the replay of a dancer who comes to a meeting, and her state there."""
    if trace.meeting is None:
        raise Rejected("a trace about groups says where they meet")
    number, group = trace.meeting
    meeting = program.meetings[number]
    if meeting.claim.id != claim.id:
        raise Rejected("another claim stands where they meet")
    judge = Judge(program, claim, mended, trace, False, effort)
    end = judge.run(meeting.before[group], _start(program))
    if not judge.told:
        raise Rejected("decisions are left over")
    return evolve(judge.replay(meeting.line, None, None, 0, end), group=program.groups[group]), end


def _confirm_walls(
    program: Program,
    claim: Claim,
    traces: tuple[Trace, ...],
    mended: frozenset[str],
    excused: frozenset[str],
    effort: Work,
) -> tuple[Replay, ...]:
    """Return the replay of a pass that does not come home or cannot go on for ever, or of two that differ."""
    assert program.walls is not None
    replays = tuple(_chain(program, claim, trace, mended, excused, effort) for trace in traces)
    first = replays[0]
    if first.test is Test.LEAD:
        return (first,)
    if len(replays) > 1 and replays[1].test is None and replays[1].found != first.found:
        return replays[:2]
    if EIGHTHS // gcd(first.found, EIGHTHS) != program.walls.count:
        return (first,)
    raise Rejected("every pass turns as it should")


def _chain(
    program: Program, claim: Claim, trace: Trace, mended: frozenset[str], excused: frozenset[str], effort: Work
) -> Replay:
    """Return the replay of the last pass of a chain of passes, the first of which begins as a lap of the dance does."""
    assert program.walls is not None
    if trace.start is None or not trace.passes or trace.spare is not None:
        raise Rejected("a trace about walls says with which weight the first pass begins, and dances it")
    weight = _lap_begins(program, claim, trace, mended, effort)
    for number, decisions in enumerate(trace.passes, 1):
        judge = Judge(program, claim, excused, trace, False, effort)
        judge.alone, judge.begins, judge.decisions = True, weight, Decisions(deque(decisions))
        try:
            end = judge.run(program.walls.body, State(weight, 0))
        except Stopped as stop:
            if number < len(trace.passes) or not judge.told:
                raise Rejected("decisions are left over") from None
            return stop.replay
        if not judge.told:
            raise Rejected("decisions are left over")
        weight = end.weight
    return judge.replay(claim.line, None, None, end.facing, end)


def _lap_begins(program: Program, claim: Claim, trace: Trace, mended: frozenset[str], effort: Work) -> Weight:
    """Return the weight with which the first pass of a chain begins, after dancing to where a lap begins with it."""
    assert trace.start is not None
    if not _has_lap(program.dance, set()):
        if trace.decisions or trace.start is not Weight(program.lead.other):
            raise Rejected("the dance holds no lap, so the first pass begins as it does, and nothing comes before")
        return trace.start
    judge = Judge(program, claim, mended, trace, False, effort)
    try:
        judge.run(program.dance, _start(program))
    except Begun:
        return trace.start
    except Ended:
        pass
    raise Rejected("no lap of the dance begins so")


def _has_lap(body: Body, seen: set[int]) -> bool:
    """Say whether some lap stands in a body; `seen` are those looked at, by their `id`."""
    if id(body) in seen:
        return False
    seen.add(id(body))
    laps = any(isinstance(item, Lap) or (isinstance(item, Pass) and item.lap) for item in body)
    inner = (item.options if isinstance(item, Choice) else (getattr(item, "body", ()),) for item in body)
    return laps or any(_has_lap(one, seen) for some in inner for one in some)


def _figure(program: Program, claim: Claim) -> Replay:
    for length in program.lengths:
        if length.claim.id == claim.id:
            version = length.figure.versions[length.figure.usual]
            last = max((action.beat for action in version.actions), default=0) * TICKS
            if last != length.ticks:
                return Replay((), claim.line, Test.CLOCK, length.ticks, last)
    raise Rejected("the figure is as long as it says")


# -- places ----------------------------------------------------------------------------------------------------------


class _Left(Exception):
    """The dancer is too far away."""


def stride(program: Program, claim: Claim, trace: Trace, effort: Work) -> Replay:
    """Return the replay of a pass that does not end where its part says, or leaves the circle that it should keep to.

    Raises:
        Rejected: the trace is no dance of the pass, or nothing is wrong in it.
    """
    if trace.travel is None or trace.start is None:
        raise Rejected("a trace of where a pass ends says which it is, and where the weight is")
    travel = program.travels[trace.travel]
    if travel.claim.id != claim.id or trace.start not in travel.weights or travel.unknown:
        raise Rejected("the pass of another claim, or from another foot, is danced")
    walk = _Stride(program, claim, trace, effort, State(trace.start, 0), travel.steps)
    try:
        walk.follow(travel.body)
    except _Left:
        pass
    else:
        if travel.steps or walk.place == HOME:
            raise Rejected("the pass ends where it should")
    return evolve(walk.replay(claim.line, None, travel.steps, 0, walk.state), place=walk.place)


def encounter(program: Program, claim: Claim, traces: tuple[Trace, ...], effort: Work) -> tuple[Replay, ...]:
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
    start = State(Weight(program.lead.other), program.facing)
    for trace, group in zip(traces, (first, second), strict=False):
        walks.append(_Stride(program, claim, trace, effort, start))
        walks[-1].follow(meeting.before[group])
    one, other = walks
    last = min(one.state.clock, other.state.clock)
    for moment in sorted({tick for tick, _ in (*one.stands, *other.stands) if tick <= last}):
        if one.at(moment) == other.at(moment):
            return tuple(
                evolve(walk.until(moment), group=program.groups[group])
                for walk, group in zip(walks, (first, second), strict=True)
            )
    raise Rejected("the two dancers do not meet")


class _Stride(Judge):
    """One dance of steps alone, with each place that the dancer comes to and when; places are seen as she faces at
    first.

    It ends where she is more than `steps` away, if there are any.
    """

    def __init__(
        self, program: Program, claim: Claim, trace: Trace, effort: Work, start: State, steps: int = 0
    ) -> None:
        super().__init__(program, claim, frozenset(), trace, False, effort)
        self._steps, self._turned, self.state, self.place = steps, start.facing, start, HOME
        self.stands = [(0, HOME)]

    def follow(self, body: Body) -> None:
        """Dance a body to its end."""
        self.state = self.run(body, self.state)
        if not self.told:
            raise Rejected("decisions are left over")

    def at(self, moment: int) -> Spot:
        """Return where the dancer stands at a moment."""
        return [place for tick, place in self.stands if tick <= moment][-1]

    def until(self, moment: int) -> Replay:
        """Return the replay up to a moment at which the dancer stands where she should not."""
        rows = tuple(row for row in self.rows if row.tick + row.ticks <= moment)
        line = rows[-1].line if rows and rows[-1].tick + rows[-1].ticks == moment else 0
        made = self.replay(line, None, None, moment, self.state)
        return evolve(made, rows=rows, tick=moment, place=self.at(moment))

    def _together(self, checks: tuple[Check, ...], state: State, first: bool) -> State:
        for check in checks:
            state = state if check.blank else taken(check, state, False)
        return state

    def _pass(self, item: Pass, state: State) -> State:
        return self.item(dance.Timed(item.body, item.lasts), state, False)

    def _alike(self, body: Body, state: State, times: int, decisions: tuple[Decision, ...]) -> State:
        self.outer.append(self.decisions)
        for _ in range(times):
            state = self._once(body, state, decisions)
        self.decisions = self.outer.pop()
        return state

    def _step(self, step: dance.Step, state: State) -> State:
        facing, figure = (state.facing - self._turned) % EIGHTHS, step.figure
        self.state = super()._step(step, state)
        right, forward = step.travel or self.version(step).travel or (0, 0)
        if step.travel is None and self.rows[-1].lead is not figure.lead:
            right = -right
        place = list(self.place)
        for way, steps in ((facing, forward), ((facing + 2) % EIGHTHS, right)):
            place[way % 4] += steps if way < 4 else -steps
        self.place = place[0], place[1], place[2], place[3]
        self.stands.append((self.state.clock, self.place))
        if self._steps and not _near(self.place, self._steps):
            raise _Left
        return self.state


def _near(place: Spot, steps: int) -> bool:
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
