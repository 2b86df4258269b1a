"""One single dance, danced as its decisions say: what the judge sees of it."""

from collections import deque

from attrs import evolve, field, frozen

from stepcheck.model.dance import (
    EIGHTHS,
    Actor,
    Body,
    Check,
    Choice,
    Claim,
    Foot,
    Forever,
    Gap,
    Item,
    Kind,
    Lap,
    Last,
    Pass,
    Program,
    Repeat,
    Rest,
    Step,
    Test,
    Timed,
    Weight,
)  # fmt: skip
from stepcheck.model.outcome import Decision, End, Fill, Lead, Pick, Replay, Row, Run, Trace

_FEET = tuple(Foot)
_ON = tuple(Weight)
_MOST_ROWS = 400
_PLAIN_TIMES = 24


class Rejected(Exception):
    """A trace is not a dance of this program, or the claim does not fail in it."""


class Ended(Exception):
    """The dance ends here, in this state."""

    def __init__(self, state: "State") -> None:
        self.state = state


class Stopped(Exception):
    """The claim fails here."""

    def __init__(self, replay: Replay) -> None:
        self.replay = replay


@frozen
class State:
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


class Judge:
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

    def run(self, body: Body, state: State) -> State:
        """Dance a body."""
        for number, item in enumerate(body):
            state = self.dance(item, state, number == 0)
        return state

    def dance(self, item: Item, state: State, first: bool) -> State:
        """Dance one item."""
        match item:
            case Step():
                return self._step(item, state)
            case Rest():
                return self._danced(item.line, "hold", None, state, evolve(state, clock=state.clock + item.ticks))
            case Gap():
                fill = self._decide(Fill, Fill(state.weight, 0))
                after = evolve(
                    state, weight=state.weight if fill.weight is None else fill.weight, clock=state.clock + item.ticks,
                    facing=(state.facing + fill.turn) % EIGHTHS, turn=state.turn + fill.turn, loose=True,
                )  # fmt: skip
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
                self.note_lap(state, inner)
                return inner
            case Forever():
                while self.decisions.left and isinstance(self.decisions.left[0], Run):
                    state = self._run_of(item.body, state)
                return state
            case Last():
                if self._decide(End, End(False)).here:
                    raise Ended(self.run(item.body, state))
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

    def _step(self, step: Step, state: State) -> State:
        figure = step.figure
        version = figure.versions[self._reading(figure.name, figure.usual, len(figure.versions))]
        senses = [
            a.movement.senses[self._reading(a.movement.name, a.movement.usual, len(a.movement.senses))]
            for a in version.actions
        ]
        chooses = any(sense.actor in (Actor.FREE, Actor.SUPPORT) for sense in senses)
        weight = state.weight
        lead = figure.lead if weight is Weight.BOTH else _FEET[1 - weight]
        if weight is Weight.BOTH and chooses:
            lead = self._decide(Lead, Lead(Foot.LEFT)).foot
            weight = _ON[1 - lead]
        mirrored = lead is not figure.lead
        for action, sense in zip(version.actions, senses, strict=True):
            foot = action.foot if action.foot is None or not mirrored else action.foot.other
            match sense.actor:
                case Actor.FREE:
                    foot = foot if foot is not None else lead if weight is Weight.BOTH else _FEET[1 - weight]
                    if weight == foot:
                        raise Rejected(f"{figure.name}: {action.movement.name} on the foot that has the weight")
                    weight = _ON[foot] if sense.lands else _ON[1 - foot]
                case Actor.SUPPORT:
                    foot = foot if foot is not None else lead if weight is Weight.BOTH else _FEET[weight]
                    if weight == 1 - foot:
                        raise Rejected(f"{figure.name}: {action.movement.name} on a foot without weight")
                    weight = _ON[foot]
                case Actor.BOTH if sense.lands:
                    weight = Weight.BOTH
        if step.blank:
            turn = self._decide(Fill, Fill(None, 0)).turn
        elif step.turn is not None:
            turn = step.turn
        else:
            turn = -version.turn if mirrored else version.turn
        # Steps are nearly all of a dance, so the state is made directly; evolve takes five times as long.
        after = State(
            weight, (state.facing + turn) % EIGHTHS, state.turn + turn, state.loose or step.blank,
            state.clock + version.length, state.front, state.turned, state.since,
        )  # fmt: skip
        return self._danced(step.line, figure.name, lead, state, after)

    def _danced(self, line: int, label: str, lead: Foot | None, before: State, after: State) -> State:
        """Keep a row of what was danced and return the state after it."""
        ticks = after.clock - before.clock
        self.rows.append(
            Row(before.clock, ticks, line, label, lead, before.weight, after.weight, before.facing, after.facing)
        )
        return after

    # -- claims ------------------------------------------------------------------------------------------------------

    def _check(self, check: Check, state: State, first: bool) -> State:
        value, relative = check.value, (state.facing - state.front) % EIGHTHS
        turn = state.turn - state.turned
        found: int
        match check.test:
            case Test.LEAD:
                if value is None:
                    return evolve(state, weight=Weight(self._decide(Lead, Lead(Foot.LEFT)).foot.other))
                found, fits = state.weight, state.weight != value
                mended = state if state.weight == 1 - value else evolve(state, weight=_ON[1 - value])
            case Test.FOOT:
                found, fits = state.weight, state.weight == 1 - value
                mended = state if fits else evolve(state, weight=_ON[1 - value])
            case Test.BOTH:
                found, fits = state.weight, state.weight is Weight.BOTH
                mended = state if fits else evolve(state, weight=Weight.BOTH)
            case Test.FACING:
                room = state.facing if not self._framed else relative
                found, fits = room, room == value
                mended = state if fits else evolve(state, facing=(state.facing + value - room) % EIGHTHS, loose=True)
            case Test.CLOCK:
                found, fits = state.clock - state.since, state.clock - state.since == value
                mended = state if fits else evolve(state, clock=state.since + value)
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
                raise Stopped(self._replay(stands, check.test, value, found, state))
        elif not fits and check.claim.id not in self.mended:
            raise Rejected(f"{check.claim.text!r} fails on the way, and nothing says so")
        return mended

    @property
    def _framed(self) -> bool:
        return bool(self.parts)

    def _replay(self, line: int, test: Test | None, expected: int | None, found: int, state: State) -> Replay:
        parts, starts = tuple(self.parts), tuple(self.starts)
        return Replay(tuple(self.rows), line, test, expected, int(found), parts, state.clock, starts)

    def _choice(self, choice: Choice, state: State) -> State:
        option = self._decide(Pick, Pick(0)).option
        if not 0 <= option < len(choice.options):
            raise Rejected(f"there is no option {option}")
        inner = self.run(choice.options[option], state)
        length = inner.clock - state.clock
        if choice.claim.id == self.claim.id and self.pair and self._told:
            raise Stopped(self._replay(choice.line, None, None, length, inner))
        if choice.claim.id in self.mended or choice.claim.id == self.claim.id:
            return evolve(inner, clock=state.clock + _first_length(choice.options[0]))
        return inner

    # -- blocks ------------------------------------------------------------------------------------------------------

    def _pass(self, item: Pass, state: State) -> State:
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
            self.note_lap(state, after)
        return after

    def note_lap(self, before: State, after: State) -> None:
        if self.whole:
            turn = (after.facing - before.facing) % EIGHTHS
            self.laps.append((turn, self._replay(self.claim.line, None, None, turn, after)))

    def _repeat(self, repeat: Repeat, state: State) -> State:
        done = 0
        while (done < repeat.times) if repeat.times is not None else self._more():
            if self.whole and self._told:
                return self._alike(repeat.body, state, (repeat.times or 1) - done, ())
            done += self._next_run().times
            state = self._run_of(repeat.body, state)
        if repeat.times is None:
            self._decide(End, End(True))
        elif done != repeat.times:
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

    def _run_of(self, body: Body, state: State) -> State:
        """Dance a body as often as the next run says."""
        run = self.decisions.take(Run)
        assert isinstance(run, Run)
        if run.times < 1:
            raise Rejected("a run of no times")
        return self._alike(body, state, run.times, run.decisions)

    def _alike(self, body: Body, state: State, times: int, decisions: tuple[Decision, ...]) -> State:
        """Dance a body `times` times with the same decisions; once it comes round, go whole rounds at a time."""
        done = 0
        self.outer.append(self.decisions)
        seen: dict[tuple[Weight, int, bool], tuple[int, State]] = {}
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

    def _onward(self, earlier: State, state: State, rounds: int, times: int) -> State:
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
