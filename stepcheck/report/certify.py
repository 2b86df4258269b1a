"""The judge's verdict on a trace: whether the claim that an engine refutes really fails in it.

Neither this nor the judge imports an engine.  What an engine says is refuted counts only after it has been danced here.
"""

from math import gcd

from stepcheck.model.dance import EIGHTHS, TICKS, Body, Claim, Kind, Program, Test, Weight
from stepcheck.model.outcome import Replay, Row, Trace
from stepcheck.report.judge import Ended, Judge, Rejected, State, Stopped

__all__ = ["Rejected", "Replay", "Row", "confirm"]


def confirm(program: Program, claim: Claim, traces: tuple[Trace, ...], mended: frozenset[str]) -> tuple[Replay, ...]:
    """Return the replays of the traces that refute `claim`, one for each.

    Args:
        program: the dance.
        claim: the claim said to be refuted.
        traces: one dance in which it fails, or two that show that not all dances agree.
        mended: the ids of the claims that are refuted: checks of them go on as if they held.

    Raises:
        Rejected: a trace is no dance of the program, or the claim does not fail in it.
    """
    if claim.kind is Kind.FIGURE:
        return (_figure(program, claim),)
    if not traces:
        raise Rejected("there is no trace")
    if claim.kind is Kind.WALLS:
        return _confirm_walls(program, claim, traces, mended)
    replays = tuple(_replay(program, claim, trace, mended, len(traces) > 1) for trace in traces)
    if len(replays) > 1 and replays[0].found == replays[1].found:
        raise Rejected("the two dances do not differ")
    return replays


def _begin(program: Program, trace: Trace) -> tuple[Body, State]:
    """Return what a trace dances, and the state at its start."""
    if trace.spare is None:
        return program.dance, State(Weight(program.lead.other), program.facing, front=program.facing)
    if trace.start is None:
        raise Rejected("a trace of a part alone says where the weight is")
    if trace.spare < 0:
        assert program.walls is not None
        return program.walls.body, State(trace.start, 0)
    return program.spares[trace.spare].body, State(trace.start, 0)


def _replay(program: Program, claim: Claim, trace: Trace, mended: frozenset[str], pair: bool) -> Replay:
    judge = Judge(program, claim, mended, trace, pair)
    body, state = _begin(program, trace)
    try:
        judge.run(body, state)
    except Stopped as stop:
        return stop.replay
    except Ended:
        pass
    raise Rejected("the claim does not fail in this dance")


def _confirm_walls(
    program: Program, claim: Claim, traces: tuple[Trace, ...], mended: frozenset[str]
) -> tuple[Replay, ...]:
    """Return a replay of a lap that does not come home in time, or of two laps that differ."""
    assert program.walls is not None
    laps: list[tuple[int, Replay]] = []
    for trace in traces:
        judge = Judge(program, claim, mended, trace, False)
        body, state = _begin(program, trace)
        try:
            end = judge.run(body, state)
        except Ended as ended:
            end = ended.state
        if trace.spare is not None:
            judge.note_lap(state, end)
        laps += judge.laps
    for turn, replay in laps:
        other = next((later for later in laps if later[0] != turn), None)
        if other is not None:
            return replay, other[1]
        if EIGHTHS // gcd(turn, EIGHTHS) != program.walls.count:
            return (replay,)
    raise Rejected("every lap turns as it should")


def _figure(program: Program, claim: Claim) -> Replay:
    """Return the replay of a figure whose stated length is wrong."""
    for length in program.lengths:
        if length.claim.id == claim.id:
            version = length.figure.versions[length.figure.usual]
            last = max((action.beat for action in version.actions), default=0) * TICKS
            if last != length.ticks:
                return Replay((), claim.line, Test.CLOCK, length.ticks, last)
    raise Rejected("the figure is as long as it says")
