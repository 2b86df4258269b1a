"""The judge: dances one single dance and says what really happens in it.

It imports no engine.  What an engine says is refuted counts only after its trace has been danced here.
"""

from collections import deque
from math import gcd

from attrs import evolve, field, frozen

from stepcheck.model import (
    EIGHTHS, TICKS, Actor, Body, Check, Choice, Claim, Figure, Foot, Forever, Gap, Item, Kind, Lap, Last, Pass, Program,
    Repeat, Rest, Step, Test, Timed, Weight,
)  # fmt: skip
from stepcheck.outcome import Decision, End, Fill, Lead, Pick, Run, Trace

_MOST_ROWS = 400
_PLAIN_TIMES = 24


@frozen
class Row:
    """One step of a replay.

    `tick` and `ticks` are its start, from the start of the dance, and its length; facings are those of the room.
    `times` folds steps that were danced many times alike and are not shown.
    """

    tick: int
    ticks: int
    line: int
    label: str
    lead: Foot | None
    before: Weight
    after: Weight
    facing_before: int
    facing_after: int
    times: int = 1


@frozen
class Replay:
    """What a trace comes to.

    `line` is where the finding stands; `test`, `expected` and `found` say what was compared (for alternatives: the
    length in ticks; for walls: the change of facing of a lap); `parts` are the passes around the place, outermost first, as
    (name, line of the call, which time it is danced), `starts` the time and the facing at which each began; `tick` is
    the time in the dance.
    """

    rows: tuple[Row, ...]
    line: int
    test: Test | None
    expected: int | None
    found: int
    parts: tuple[tuple[str, int, int], ...] = ()
    tick: int = 0
    starts: tuple[tuple[int, int], ...] = ()


class Rejected(Exception):
    """A trace is not a dance of this program, or the claim does not fail in it."""


class _Ended(Exception):
    """The dance ends here, in this state."""

    def __init__(self, state: "_State") -> None:
        self.state = state


class _Stop(Exception):
    """The claim fails here."""

    def __init__(self, replay: Replay) -> None:
        self.replay = replay


@frozen
class _State:
    """One dancer in the room: `front`, `turned` and `since` are the facing, turn and clock at the start of the frame."""

    weight: Weight
    facing: int
    turn: int = 0
    loose: bool = False
    clock: int = 0
    front: int = 0
    turned: int = 0
    since: int = 0


@frozen
class _Decisions:
    """Decisions still to be taken, as a queue that its owner replaces."""

    left: deque[Decision] = field(factory=deque)

    def take(self, kind: type[Decision]) -> Decision:
        """Return the next decision, which has to be of this kind."""
        if not self.left or not isinstance(self.left[0], kind):
            raise Rejected(f"a {kind.__name__} is needed, but {self.left[0] if self.left else 'nothing'} comes")
        return self.left.popleft()


class _Judge:
    """One replay: the claim looked for, the claims taken as mended, and the readings of the open words."""

    def __init__(self, program: Program, claim: Claim, mended: frozenset[str], trace: Trace, pair: bool) -> None:
        self.claim = claim
        self.mended = mended
        self.readings = {word.key: number for word, number in zip(program.words, trace.words, strict=False)}
        self.pair = pair
        self.whole = claim.kind is Kind.WALLS
        self.rows: deque[Row] = deque(maxlen=_MOST_ROWS)
        self.parts: list[tuple[str, int, int]] = []
        self.starts: list[tuple[int, int]] = []
        self.danced: dict[str, int] = {}
        self.laps: list[tuple[int, Replay]] = []
        self.outer: list[_Decisions] = []
        self.decisions = _Decisions(deque(trace.decisions))

    def run(self, body: Body, state: _State) -> _State:
        """Dance a body."""
        for number, item in enumerate(body):
            state = self.dance(item, state, number == 0)
        return state

    def dance(self, item: Item, state: _State, first: bool) -> _State:
        """Dance one item."""
        match item:
            case Step():
                return self._step(item, state)
            case Rest():
                return self._danced(item.line, "hold", None, state, evolve(state, clock=state.clock + item.ticks))
            case Gap():
                fill = self._decide(Fill, Fill(state.weight, 0))
                after = self._turned(state, fill.turn, loose=True)
                after = evolve(after, weight=state.weight if fill.weight is None else fill.weight, clock=state.clock + item.ticks)
                return self._danced(item.line, "?", None, state, after)
            case Check():
                return self._check(item, state, first)
            case Choice():
                return self._choice(item, state)
            case Repeat():
                return self._repeat(item, state)
            case Timed():
                inner = self.run(item.body, evolve(state, since=state.clock))
                return evolve(inner, since=state.since)
            case Pass():
                return self._pass(item, state)
            case Lap():
                inner = self.run(item.body, state)
                self._note_lap(state, inner)
                return inner
            case Forever():
                while self.decisions.left and isinstance(self.decisions.left[0], Run):
                    state = self._run_of(item.body, state)
                return state
            case Last():
                if self._decide(End, End(False)).here:
                    raise _Ended(self.run(item.body, state))
                return state

    @property
    def _told(self) -> bool:
        """Whether the trace says no more."""
        return not self.decisions.left and not any(decisions.left for decisions in self.outer)

    def _decide(self, kind: type[Decision], default: Decision) -> Decision:
        """Return the next decision; the default where walls are looked at and the trace says no more."""
        if self.whole and self._told:
            return default
        return self.decisions.take(kind)

    # -- steps -------------------------------------------------------------------------------------------------------

    def _reading(self, name: str, usual: int, count: int) -> int:
        return self.readings.get(name, usual) if count > 1 else usual

    def _step(self, step: Step, state: _State) -> _State:
        figure = step.figure
        version = figure.versions[self._reading(figure.name, figure.usual, len(figure.versions))]
        senses = [
            a.movement.senses[self._reading(a.movement.name, a.movement.usual, len(a.movement.senses))] for a in version.actions
        ]
        chooses = any(sense.actor in (Actor.FREE, Actor.SUPPORT) for sense in senses)
        weight = state.weight
        lead = figure.lead if weight is Weight.BOTH else Foot(1 - weight)
        if weight is Weight.BOTH and chooses:
            lead = self._decide(Lead, Lead(Foot.LEFT)).foot
            weight = Weight(lead.other)
        mirrored = lead is not figure.lead
        for action, sense in zip(version.actions, senses, strict=True):
            foot = action.foot if action.foot is None or not mirrored else action.foot.other
            match sense.actor:
                case Actor.FREE:
                    foot = foot if foot is not None else lead if weight is Weight.BOTH else Foot(1 - weight)
                    if weight == foot:
                        raise Rejected(f"{figure.name}: {action.movement.name} on the foot that has the weight")
                    weight = Weight(foot) if sense.lands else Weight(1 - foot)
                case Actor.SUPPORT:
                    foot = foot if foot is not None else lead if weight is Weight.BOTH else Foot(weight)
                    if weight == 1 - foot:
                        raise Rejected(f"{figure.name}: {action.movement.name} on a foot without weight")
                    weight = Weight(foot)
                case Actor.BOTH if sense.lands:
                    weight = Weight.BOTH
        if step.blank:
            turn = self._decide(Fill, Fill(None, 0)).turn
        elif step.turn is not None:
            turn = step.turn
        else:
            turn = -version.turn if mirrored else version.turn
        after = evolve(self._turned(state, turn, loose=step.blank), weight=weight, clock=state.clock + version.length)
        return self._danced(step.line, figure.name, lead, state, after)

    def _turned(self, state: _State, turn: int, *, loose: bool) -> _State:
        return evolve(state, facing=(state.facing + turn) % EIGHTHS, turn=state.turn + turn, loose=state.loose or loose)

    def _danced(self, line: int, label: str, lead: Foot | None, before: _State, after: _State) -> _State:
        """Keep a row of what was danced and return the state after it."""
        ticks = after.clock - before.clock
        self.rows.append(
            Row(before.clock, ticks, line, label, lead, before.weight, after.weight, before.facing, after.facing)
        )
        return after

    # -- claims ------------------------------------------------------------------------------------------------------

    def _check(self, check: Check, state: _State, first: bool) -> _State:
        value, relative = check.value, (state.facing - state.front) % EIGHTHS
        turn = state.turn - state.turned
        found: int
        match check.test:
            case Test.LEAD:
                if value is None:
                    return evolve(state, weight=Weight(self._decide(Lead, Lead(Foot.LEFT)).foot.other))
                found, fits = state.weight, state.weight != value
                mended = evolve(state, weight=Weight(1 - value))
            case Test.FOOT:
                found, fits = state.weight, state.weight == 1 - value
                mended = evolve(state, weight=Weight(1 - value))
            case Test.BOTH:
                found, fits = state.weight, state.weight is Weight.BOTH
                mended = evolve(state, weight=Weight.BOTH)
            case Test.FACING:
                room = state.facing if not self._framed else relative
                found, fits = room, room == value
                mended = evolve(state, facing=(state.facing + value - room) % EIGHTHS, loose=state.loose or not fits)
            case Test.CLOCK:
                found, fits = state.clock - state.since, state.clock - state.since == value
                mended = evolve(state, clock=state.since + value)
            case Test.TURN | Test.EITHER:
                sides = (value,) if check.test is Test.TURN else (value, -value)
                found = turn
                fits = any((relative - side) % EIGHTHS == 0 if state.loose else turn == side for side in sides)
                mended = state
                if not fits or (check.test is Test.TURN and state.loose):
                    mended = evolve(
                        state, facing=(state.front + value) % EIGHTHS, turn=state.turned + value, loose=False
                    )
        if check.claim.id == self.claim.id:
            if not fits or (self.pair and self._told):
                stands = self.parts[-1][1] if first and self.parts and check.test is Test.LEAD else check.line
                raise _Stop(self._replay(stands, check.test, value, found, state))
        elif not fits and check.claim.id not in self.mended:
            raise Rejected(f"{check.claim.text!r} fails on the way, and nothing says so")
        return mended

    @property
    def _framed(self) -> bool:
        return bool(self.parts)

    def _replay(self, line: int, test: Test | None, expected: int | None, found: int, state: _State) -> Replay:
        parts, starts = tuple(self.parts), tuple(self.starts)
        return Replay(tuple(self.rows), line, test, expected, int(found), parts, state.clock, starts)

    def _choice(self, choice: Choice, state: _State) -> _State:
        option = self._decide(Pick, Pick(0)).option
        if not 0 <= option < len(choice.options):
            raise Rejected(f"there is no option {option}")
        inner = self.run(choice.options[option], state)
        length = inner.clock - state.clock
        if choice.claim.id == self.claim.id and self.pair and self._told:
            raise _Stop(self._replay(choice.line, None, None, length, inner))
        if choice.claim.id in self.mended or choice.claim.id == self.claim.id:
            return evolve(inner, clock=state.clock + _first_length(choice.options[0]))
        return inner

    # -- blocks ------------------------------------------------------------------------------------------------------

    def _pass(self, item: Pass, state: _State) -> _State:
        number = self.danced[item.part] = self.danced.get(item.part, 0) + 1
        self.parts.append((item.part, item.line, number))
        self.starts.append((state.clock, state.facing))
        frame = evolve(state, loose=False, front=state.facing, turned=state.turn, since=state.clock)
        inner = self.run(item.body, frame)
        self.parts.pop()
        self.starts.pop()
        after = evolve(
            inner, loose=state.loose or inner.loose, front=state.front, turned=state.turned, since=state.since
        )
        if item.lap:
            self._note_lap(state, after)
        return after

    def _note_lap(self, before: _State, after: _State) -> None:
        if self.whole:
            turn = (after.facing - before.facing) % EIGHTHS
            self.laps.append((turn, self._replay(self.claim.line, None, None, turn, after)))

    def _repeat(self, repeat: Repeat, state: _State) -> _State:
        done = 0
        while (done < repeat.times) if repeat.times is not None else self._more():
            if self.whole and self._told:
                return self._alike(repeat.body, state, (repeat.times or 1) - done, ())
            done += self._next_run().times
            state = self._run_of(repeat.body, state)
        if repeat.times is not None and done != repeat.times:
            raise Rejected(f"a repeat of {repeat.times} times was danced {done} times")
        return state

    def _more(self) -> bool:
        return bool(self.decisions.left) and isinstance(self.decisions.left[0], Run)

    def _next_run(self) -> Run:
        if not self._more():
            raise Rejected("a repeat ends too early")
        run = self.decisions.left[0]
        assert isinstance(run, Run)
        return run

    def _run_of(self, body: Body, state: _State) -> _State:
        """Dance a body as often as the next run says."""
        run = self.decisions.take(Run)
        assert isinstance(run, Run)
        if run.times < 1:
            raise Rejected("a run of no times")
        return self._alike(body, state, run.times, run.decisions)

    def _alike(self, body: Body, state: _State, times: int, decisions: tuple[Decision, ...]) -> _State:
        """Dance a body `times` times with the same decisions; once it comes round, go whole rounds at a time."""
        done = 0
        self.outer.append(self.decisions)
        seen: dict[tuple[Weight, int, bool], tuple[int, _State]] = {}
        while done < times:
            where = state.weight, state.facing, state.loose
            if done > _PLAIN_TIMES and where in seen:
                before, earlier = seen[where]
                rounds, period = (times - done) // (done - before), done - before
                if rounds:
                    state = self._onward(earlier, state, rounds, rounds * period)
                done, seen = done + rounds * period, {}
                continue
            seen[where] = done, state
            self.decisions = _Decisions(deque(decisions))
            state, done = self.run(body, state), done + 1
            if self.decisions.left:
                raise Rejected("decisions are left over at the end of a repeat")
        self.decisions = self.outer.pop()
        return state

    def _onward(self, earlier: _State, state: _State, rounds: int, times: int) -> _State:
        """Return the state after whole rounds more, and keep a row that stands for them."""
        after = evolve(
            state,
            turn=state.turn + rounds * (state.turn - earlier.turn),
            clock=state.clock + rounds * (state.clock - earlier.clock),
        )
        last = self.rows[-1]
        self.rows.append(evolve(last, tick=state.clock, ticks=after.clock - state.clock, times=times))
        return after


def _first_length(option: Body) -> int:
    """Return the length in ticks of an option that is danced as it stands: by the lengths that are stated."""
    total = 0
    for item in option:
        match item:
            case Step():
                total += item.figure.versions[item.figure.usual].length
            case Rest() | Gap():
                total += item.ticks
            case Repeat():
                total += (item.times or 1) * _first_length(item.body)
            case Choice():
                total += _first_length(item.options[0])
            case Timed() | Pass() | Lap():
                total += _first_length(item.body)
            case Check() if item.test is Test.CLOCK and item.value is not None:
                total = item.value
            case _:
                pass
    return total


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


def _begin(program: Program, trace: Trace) -> tuple[Body, _State]:
    """Return what a trace dances, and the state at its start."""
    if trace.spare is None:
        return program.dance, _State(Weight(program.lead.other), program.facing, front=program.facing)
    if trace.start is None:
        raise Rejected("a trace of a part alone says where the weight is")
    if trace.spare < 0:
        assert program.walls is not None
        return program.walls.body, _State(trace.start, 0)
    return program.spares[trace.spare].body, _State(trace.start, 0)


def _replay(program: Program, claim: Claim, trace: Trace, mended: frozenset[str], pair: bool) -> Replay:
    judge = _Judge(program, claim, mended, trace, pair)
    body, state = _begin(program, trace)
    try:
        judge.run(body, state)
    except _Stop as stop:
        return stop.replay
    except _Ended:
        pass
    raise Rejected("the claim does not fail in this dance")


def _confirm_walls(
    program: Program, claim: Claim, traces: tuple[Trace, ...], mended: frozenset[str]
) -> tuple[Replay, ...]:
    """Return a replay of a lap that does not come home in time, or of two laps that differ."""
    assert program.walls is not None
    laps: list[tuple[int, Replay]] = []
    for trace in traces:
        judge = _Judge(program, claim, mended, trace, False)
        body, state = _begin(program, trace)
        try:
            end = judge.run(body, state)
        except _Ended as ended:
            end = ended.state
        if trace.spare is not None:
            judge._note_lap(state, end)
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

