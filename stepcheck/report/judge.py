"""The judge's replay: one single dance, step by step, by the decisions of a trace."""

from collections import Counter, deque
from itertools import islice, zip_longest

from attrs import evolve

from stepcheck.model import dance
from stepcheck.model.claims import Check, Claim, Kind, Test
from stepcheck.model.dance import EIGHTHS, Body, Program, Weight
from stepcheck.model.items import checks
from stepcheck.model.movements import Actor
from stepcheck.model.outcome import Decision, End, Fill, Lead, Pick, Replay, Row, Run, Trace
from stepcheck.model.work import Work
from stepcheck.report.replays import Begun, Decisions, Ended, Rejected, State, Stopped, fits, found, taken

_FEET = tuple(dance.Foot)
_ON = tuple(Weight)
_MOST_ROWS = 400
_PLAIN_TIMES = 24  # of a repeat that stands in no other; they are danced one by one, for the rows
_DEEP = 4  # repeats and parts around a pass that is not danced a second time
_PASSES = 64  # of a part; one behind these, in a repeat, is not danced a second time either
_ROUNDS = 3  # as many are danced, for a turn to either side may hold twice where it is another each time


class Judge:
    """One replay: the claim looked for, the claims taken as mended, and the readings of the open words."""

    def __init__(
        self, program: Program, claim: Claim, mended: frozenset[str], trace: Trace, pair: bool, effort: Work
    ) -> None:
        self.claim = claim
        self.mended = mended
        self.readings = {word.key: number for word, number in zip(program.words, trace.words, strict=False)}
        self.pair = pair
        self.start = trace.start if claim.kind is Kind.WALLS else None
        self.alone = False
        self.begins: Weight | None = None
        self.rows: deque[Row] = deque(maxlen=_MOST_ROWS)
        self.parts: list[tuple[str, int, int]] = []
        self.starts: list[tuple[int, int]] = []
        self.danced = Counter[str]()
        self.outer: list[Decisions] = []
        self.decisions = Decisions(deque(trace.decisions))
        self._effort = effort
        self._seen: set[int] = set()
        self._passed: dict[tuple[object, ...], tuple[tuple[Decision, ...], State, State, Counter[str]]] = {}

    def run(self, body: Body, state: State) -> State:
        """Dance a body."""
        if id(body) in self._seen:
            self._effort.spend(len(body))
        self._seen.add(id(body))
        for number, item in enumerate(body):
            state = self.item(item, state, number == 0)
        return state

    def item(self, item: dance.Item, state: State, first: bool) -> State:  # noqa: C901 - a case for each kind
        """Dance one item."""
        match item:
            case dance.Step():
                return self._step(item, state)
            case dance.Rest():
                return self._danced(item.line, "hold", None, state, evolve(state, clock=state.clock + item.ticks))
            case dance.Gap():
                fill = self.decisions.take(Fill)
                weight = state.weight if fill.weight is None else fill.weight
                facing, turn = (state.facing + fill.turn) % EIGHTHS, state.turn + fill.turn
                after = evolve(
                    state, weight=weight, facing=facing, turn=turn, clock=state.clock + item.ticks, loose=True
                )
                return self._danced(item.line, "?", None, state, after)
            case Check() | dance.Together():
                return self._together(checks(item), state, first)
            case dance.Choice():
                return self._choice(item, state)
            case dance.Repeat():
                return self._repeat(item, state)
            case dance.Timed():
                inner = self.run(item.body, evolve(state, since=state.clock))
                clock = inner.clock if item.lasts is None else state.clock + item.lasts
                return evolve(inner, since=state.since, clock=clock)
            case dance.Pass():
                return self._pass(item, state)
            case dance.Lap():
                self._lap(state)
                return self.run(item.body, state)
            case dance.Lined() | dance.Uncut():
                raise Rejected("lines are danced as they are laid out")
            case dance.Forever():
                return self._runs(item.body, state)
            case dance.Last():
                if self.decisions.take(End).here:
                    raise Ended(self.run(item.body, state))
                return state

    @property
    def told(self) -> bool:
        """Whether the trace has no more decisions."""
        return not self.decisions.left and not any(decisions.left for decisions in self.outer)

    def _lap(self, state: State) -> None:
        """Stop where a lap begins with the weight that a trace about walls names, once it has told the dance so far."""
        if self.told and not self.alone and state.weight is self.start:
            raise Begun

    # -- steps -------------------------------------------------------------------------------------------------------

    def _reading(self, name: str, usual: int, count: int) -> int:
        return self.readings.get(name, usual) if count > 1 else usual

    def version(self, step: dance.Step) -> dance.Version:
        """Return the version of a figure that is danced under the readings."""
        figure = step.figure
        return figure.versions[self._reading(figure.name, figure.usual, len(figure.versions))]

    def _step(self, step: dance.Step, state: State) -> State:
        figure = step.figure
        version = self.version(step)
        senses = [
            a.movement.senses[self._reading(a.movement.name, a.movement.usual, len(a.movement.senses))]
            for a in version.actions
        ]
        chooses = any(sense.actor in (Actor.FREE, Actor.SUPPORT) for sense in senses)
        weight = state.weight
        lead = figure.lead if weight is Weight.BOTH else _FEET[1 - weight]
        if weight is Weight.BOTH and chooses:
            lead = self.decisions.take(Lead).foot
            weight = _ON[1 - lead]
        mirrored = lead is not figure.lead
        for action, sense in zip(version.actions, senses, strict=True):
            foot = action.foot if action.foot is None or not mirrored else action.foot.other
            match sense.actor:
                case Actor.FREE:
                    foot = foot if foot is not None else lead if weight is Weight.BOTH else _FEET[1 - weight]
                    if weight is _ON[foot]:
                        raise Rejected(f"{figure.name}: {action.movement.name} on the foot that has the weight")
                    weight = _ON[foot] if sense.lands else _ON[1 - foot]
                case Actor.SUPPORT:
                    foot = foot if foot is not None else lead if weight is Weight.BOTH else _FEET[weight]
                    if weight is _ON[1 - foot]:
                        raise Rejected(f"{figure.name}: {action.movement.name} on a foot without weight")
                    weight = _ON[foot]
                case Actor.BOTH if sense.lands:
                    weight = Weight.BOTH
        if step.blank:
            turn = self.decisions.take(Fill).turn
        elif step.turn is not None:
            turn = step.turn
        else:
            turn = -version.turn if mirrored else version.turn
        # Steps are nearly all of a dance, so the state is made directly; evolve takes five times as long.
        facing, loose, clock = (state.facing + turn) % EIGHTHS, state.loose or step.blank, state.clock + version.length
        frame = state.front, state.turned, state.since
        after = State(weight, facing, state.turn + turn, loose, clock, *frame)
        return self._danced(step.line, figure.name, lead, state, after)

    def _danced(self, line: int, label: str, lead: dance.Foot | None, before: State, after: State) -> State:
        """Keep a row of the dance for the table, and return the state after it."""
        ticks, turn = after.clock - before.clock, after.turn - before.turn
        states = before.weight, after.weight, before.facing, after.facing
        self.rows.append(Row(before.clock, ticks, line, label, lead, *states, turn=turn))
        return after

    # -- claims ------------------------------------------------------------------------------------------------------

    def _together(self, checks: tuple[Check, ...], state: State, first: bool) -> State:
        """Judge checks on the dancer as she comes, then take all of them as true."""
        filled = [evolve(one, value=self.decisions.take(Lead).foot) if one.blank else one for one in checks]
        for check, written in zip(filled, checks, strict=True):
            if check is written or not self.alone:  # of a pass for its steps alone a blank foot says nothing
                self._check(check, state, first)
        for check in filled:
            state = taken(check, state, self._framed)
        return state

    def _check(self, check: Check, state: State, first: bool) -> None:
        """Stop if the claim fails here; reject the trace if another one does of which nothing says so."""
        if fits(check, state, self._framed):
            return
        claim, got = check.claim, found(check, state, self._framed)
        if claim.id == self.claim.id or (self.alone and claim.id not in self.mended):
            called = first and self.parts and check.test is Test.LEAD and not self.alone
            raise Stopped(self.replay(self.parts[-1][1] if called else check.line, check.test, check.value, got, state))
        if claim.id not in self.mended:
            raise Rejected(f"{claim.text!r} fails on the way, and nothing says so")

    @property
    def _framed(self) -> bool:
        return bool(self.parts)

    def replay(self, line: int, test: Test | None, expected: int | None, found: int, state: State) -> Replay:
        parts, starts = tuple(self.parts), tuple(self.starts)
        return Replay(tuple(self.rows), line, test, expected, int(found), parts, state.clock, starts, self.begins)

    def _choice(self, choice: dance.Choice, state: State) -> State:
        option = self.decisions.take(Pick).option
        if not 0 <= option < len(choice.options):
            raise Rejected(f"there is no option {option}")
        inner = self.run(choice.options[option], state)
        length = inner.clock - state.clock
        claim = choice.claim.id if choice.claim is not None and not self.alone else ""
        if claim and claim == self.claim.id and self.pair and self.told:
            raise Stopped(self.replay(choice.line, None, None, length, inner))
        if claim and (claim in self.mended or claim == self.claim.id):
            return evolve(inner, clock=state.clock + self._length(choice.options[0]))
        return inner

    # -- blocks ------------------------------------------------------------------------------------------------------

    def _pass(self, item: dance.Pass, state: State) -> State:
        if item.lap:
            self._lap(state)
        self.danced[item.part] += 1
        number = self.danced[item.part]
        # A pass looks at its own frame alone: deep inside, one that decides alike is not danced again.
        deep = len(self.outer) + len(self.parts) >= _DEEP or (number > _PASSES and len(self.outer) > 1)
        deep &= not self.alone
        key = (id(item.body), item.lasts, state.weight)
        if deep and (again := self._again(key, state)):
            return again
        left, before = (tuple(self.decisions.left), self.danced.copy()) if deep else ((), None)
        self.parts.append((item.part, item.line, number))
        self.starts.append((state.clock, state.facing))
        frame = evolve(state, loose=False, front=state.facing, turned=state.turn, since=state.clock)
        inner = self.run(item.body, frame)
        self.parts.pop()
        self.starts.pop()
        after = evolve(
            inner,
            loose=state.loose or inner.loose,
            front=state.front,
            turned=state.turned,
            since=state.since,
            clock=inner.clock if item.lasts is None else state.clock + item.lasts,
        )
        if before is not None:
            decided, again = left[: len(left) - len(self.decisions.left)], evolve(after, loose=inner.loose)
            self._passed[key] = decided, state, again, self.danced - before
        return after

    def _again(self, key: tuple[object, ...], state: State) -> State | None:
        """Return the state after a pass that was danced before with the decisions that come next, unless these are the
        last ones: there the alternatives are found that differ in length, or a lap begins."""
        if key not in self._passed:
            return None
        (decided, earlier, after, more), left = self._passed[key], self.decisions.left
        if any(one is not other and one != other for one, other in zip_longest(decided, islice(left, len(decided)))):
            return None
        last = len(left) == len(decided) and not any(decisions.left for decisions in self.outer)
        if last and (self.pair or self.start is not None):
            return None
        for _ in decided:
            left.popleft()
        for part, times in more.items():
            self.danced[part] += times
        facing, turn = (state.facing + after.facing - earlier.facing) % EIGHTHS, state.turn + after.turn - earlier.turn
        clock, loose = state.clock + after.clock - earlier.clock, state.loose or after.loose
        again = State(after.weight, facing, turn, loose, clock, state.front, state.turned, state.since)
        return self._onward(state, again, self.rows[-1].times if self.rows else 1)

    def _repeat(self, repeat: dance.Repeat, state: State) -> State:
        if repeat.times is None:
            state = self._runs(repeat.body, state)
            self.decisions.take(End)
            return state
        done = 0
        while done < repeat.times:
            if not isinstance(run := self._next, Run):
                raise Rejected("a repeat ends too early")
            done, state = done + run.times, self._run(repeat.body, state)
        if done != repeat.times:
            raise Rejected(f"a repeat of {repeat.times} times was danced {done} times")
        return state

    @property
    def _next(self) -> Decision | None:
        return self.decisions.left[0] if self.decisions.left else None

    def _runs(self, body: Body, state: State) -> State:
        while isinstance(self._next, Run):
            state = self._run(body, state)
        return state

    def _run(self, body: Body, state: State) -> State:
        run = self.decisions.take(Run)
        if run.times < 1:
            raise Rejected("a run of no times")
        return self._alike(body, state, run.times, run.decisions)

    def _alike(self, body: Body, state: State, times: int, decisions: tuple[Decision, ...]) -> State:
        """Dance a body `times` times with the same decisions; once it comes round, go whole rounds at a time."""
        done = 0
        self.outer.append(self.decisions)
        seen: dict[tuple[Weight, int, bool], list[tuple[int, State, dict[str, int]]]] = {}
        while done < times:
            before = seen.setdefault((state.weight, state.facing, state.loose), [])
            if len(before) >= _ROUNDS and done > (_PLAIN_TIMES if len(self.outer) == 1 else 0):
                at, earlier, counted = before[-1]
                rounds, period = (times - done) // (done - at), done - at
                if rounds:
                    for part, danced in self.danced.items():
                        self.danced[part] += rounds * (danced - counted.get(part, 0))
                    turn, ticks = rounds * (state.turn - earlier.turn), rounds * (state.clock - earlier.clock)
                    after = evolve(state, turn=state.turn + turn, clock=state.clock + ticks)
                    state = self._onward(state, after, rounds * period)
                done, seen = done + rounds * period, {}
                continue
            before.append((done, state, dict(self.danced)))
            state, done = self._once(body, state, decisions), done + 1
        self.decisions = self.outer.pop()
        return state

    def _once(self, body: Body, state: State, decisions: tuple[Decision, ...]) -> State:
        self.decisions = Decisions(deque(decisions))
        state = self.run(body, state)
        if self.decisions.left:
            raise Rejected("decisions are left over at the end of a repeat")
        return state

    def _onward(self, state: State, after: State, times: int = 1) -> State:
        """Return the state after what is not danced again, with one row in its place."""
        if self.rows:
            one, ticks = self.rows[-1], after.clock - state.clock
            ends = one.before, one.after, one.facing_before, one.facing_after
            self.rows.append(Row(state.clock, ticks, one.line, one.label, one.lead, *ends, times, one.turn))
        return after

    def _length(self, option: Body) -> int:
        """Return the length in ticks of an option that is danced as it stands: by the lengths that are stated."""
        total = 0
        for item in option:
            match item:
                case dance.Step():
                    total += self.version(item).length
                case dance.Rest() | dance.Gap():
                    total += item.ticks
                case dance.Repeat():
                    total += (item.times or 1) * self._length(item.body)
                case dance.Choice():
                    total += self._length(item.options[0])
                case dance.Timed(lasts=int(ticks)) | dance.Pass(lasts=int(ticks)):
                    total += ticks
                case dance.Timed() | dance.Pass() | dance.Lap():
                    total += self._length(item.body)
                case Check(test=Test.CLOCK, value=int(ticks)):
                    total = ticks
                case dance.Together():
                    total = next((c.value for c in item.checks if c.test is Test.CLOCK and c.value is not None), total)
        return total
