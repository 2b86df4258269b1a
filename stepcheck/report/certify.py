"""The judge's verdict on a trace: whether the claim that an engine refutes really fails in it.

Neither this nor the judge imports an engine.  What an engine says is refuted counts only after it has been danced here.
"""

from collections import deque
from math import gcd

from attrs import evolve

from stepcheck.model.claims import Claim, Kind, Test
from stepcheck.model.dance import EIGHTHS, TICKS, Body, Choice, Lap, Pass, Program, Weight
from stepcheck.model.floor import RELATIONS
from stepcheck.model.outcome import Pick, Replay, Row, Trace
from stepcheck.report.judge import Judge
from stepcheck.report.replays import Begun, Decisions, Effort, Ended, Rejected, Spent, State, Stopped
from stepcheck.report.strides import encounter, stride

__all__ = ["Effort", "Rejected", "Replay", "Row", "Spent", "confirm"]


def confirm(
    program: Program,
    claim: Claim,
    traces: tuple[Trace, ...],
    mended: frozenset[str],
    excused: frozenset[str] | None = None,
    effort: Effort | None = None,
) -> tuple[Replay, ...]:
    """Return the replays of the traces that refute `claim`, one for each.

    Args:
        program: the dance.
        claim: the claim said to be refuted.
        traces: one dance in which it fails, or two that show that not all dances agree.
        mended: the ids of the claims that are refuted or undecided: checks of them go on as if they held.
        excused: for a claim about walls, the ids of those that are refuted in the dance itself, so that a pass for its
            steps alone need not have these feet free; `mended` if they are not given.
        effort: how much may be danced, over as many claims as share it.

    Raises:
        Rejected: a trace is no dance of the program, or the claim does not fail in it.
        Spent: that would take too long.
    """
    effort = effort or Effort()
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


def _begin(program: Program, trace: Trace) -> tuple[Body, State]:
    """Return the body that a trace dances, and the state at its start."""
    if trace.spare is None:
        return program.dance, State(Weight(program.lead.other), program.facing, front=program.facing)
    if trace.start is None:
        raise Rejected("a trace of a part alone says where the weight is")
    return program.spares[trace.spare].body, State(trace.start, 0)


def _replay(program: Program, claim: Claim, trace: Trace, mended: frozenset[str], pair: bool, effort: Effort) -> Replay:
    judge = Judge(program, claim, mended, trace, pair, effort)
    body, state = _begin(program, trace)
    try:
        judge.run(body, state)
    except Stopped as stop:
        return evolve(stop.replay, group=_group(program, trace))
    except Ended:
        pass
    raise Rejected("the claim does not fail in this dance")


def _group(program: Program, trace: Trace) -> str:
    """Return the group that a trace of the dance dances with; empty where there are none."""
    first = trace.decisions[0] if program.groups and trace.spare is None and trace.decisions else None
    return program.groups[first.option] if isinstance(first, Pick) else ""


def _confirm_apart(
    program: Program, claim: Claim, traces: tuple[Trace, ...], mended: frozenset[str], effort: Effort
) -> tuple[Replay, ...]:
    """Return the replays of two dancers of different groups who come to one meeting and do not stand there as they
    should."""
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


def _come(program: Program, claim: Claim, trace: Trace, mended: frozenset[str], effort: Effort) -> tuple[Replay, State]:
    """Return the replay of a dancer who comes to a meeting, and her state there."""
    if trace.meeting is None:
        raise Rejected("a trace about groups says where they meet")
    number, group = trace.meeting
    meeting = program.meetings[number]
    if meeting.claim.id != claim.id:
        raise Rejected("another claim stands where they meet")
    judge = Judge(program, claim, mended, trace, False, effort)
    begin = State(Weight(program.lead.other), program.facing, front=program.facing)
    end = judge.run(meeting.before[group], begin)
    if not judge.told:
        raise Rejected("decisions are left over")
    return evolve(judge.replay(meeting.line, None, None, 0, end), group=program.groups[group]), end


def _confirm_walls(
    program: Program,
    claim: Claim,
    traces: tuple[Trace, ...],
    mended: frozenset[str],
    excused: frozenset[str],
    effort: Effort,
) -> tuple[Replay, ...]:
    """Return a replay of a pass that does not come home in time or cannot be danced over and over, or of two that
    differ."""
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
    program: Program, claim: Claim, trace: Trace, mended: frozenset[str], excused: frozenset[str], effort: Effort
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
        except Rejected:
            if judge.blocked is not None and number == len(trace.passes):
                return judge.blocked
            raise
        except Stopped as stop:
            if number < len(trace.passes) or not judge.told:
                raise Rejected("decisions are left over") from None
            return stop.replay
        if not judge.told:
            raise Rejected("decisions are left over")
        weight = end.weight
    turned = judge.replay(claim.line, None, None, end.facing, end)
    fits = EIGHTHS // gcd(turned.found, EIGHTHS) == program.walls.count
    return judge.blocked if fits and judge.blocked is not None else turned


def _lap_begins(program: Program, claim: Claim, trace: Trace, mended: frozenset[str], effort: Effort) -> Weight:
    """Return the weight with which the first pass of a chain begins, after dancing to where a lap begins with it."""
    assert trace.start is not None
    if not _has_lap(program.dance, set()):
        if trace.decisions or trace.start is not Weight(program.lead.other):
            raise Rejected(
                "the dance holds no lap, so the first pass begins as the dance does, and nothing comes before"
            )
        return trace.start
    judge = Judge(program, claim, mended, trace, False, effort)
    try:
        judge.run(program.dance, State(Weight(program.lead.other), program.facing, front=program.facing))
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
    for item in body:
        if isinstance(item, Lap) or (isinstance(item, Pass) and item.lap):
            return True
        inner = item.options if isinstance(item, Choice) else (getattr(item, "body", ()),)
        if any(_has_lap(one, seen) for one in inner):
            return True
    return False


def _figure(program: Program, claim: Claim) -> Replay:
    """Return the replay of a figure whose stated length is wrong."""
    for length in program.lengths:
        if length.claim.id == claim.id:
            version = length.figure.versions[length.figure.usual]
            last = max((action.beat for action in version.actions), default=0) * TICKS
            if last != length.ticks:
                return Replay((), claim.line, Test.CLOCK, length.ticks, last)
    raise Rejected("the figure is as long as it says")
