"""A dancer who dances a program plainly, one step after the other, by chance, and tells which decisions she has taken.

Nothing here is shared with the engines or the judge, whose answers are held against hers: no effects, no rounds, no
memory of what was danced before.
"""

from random import Random

from attrs import evolve

from stepcheck.model.claims import Check, Test
from stepcheck.model.dance import (
    Body,
    Choice,
    Foot,
    Forever,
    Gap,
    Item,
    Lap,
    Last,
    Lined,
    Pass,
    Program,
    Repeat,
    Rest,
    Step,
    Timed,
    Together,
    Weight,
)
from stepcheck.model.movements import Actor
from stepcheck.model.outcome import Decision, End, Fill, Lead, Pick, Replay, Row, Run
from stepcheck.report.replays import State

Dancer = tuple[Weight, int | None, int, int]
"""The weight, the turn since the start of the frame if it is exactly known, the change of facing, and the ticks."""


def right(check: Check, dancer: Dancer, front: int) -> bool:
    """Say whether a check with a value holds for a dancer, by the table of `meaning.md`."""
    weight, turn, facing, ticks = dancer
    value = check.value
    match check.test:
        case Test.LEAD:
            return weight != value
        case Test.FOOT:
            return (weight, value) in ((Weight.LEFT, Foot.RIGHT), (Weight.RIGHT, Foot.LEFT))
        case Test.BOTH:
            return weight == Weight.BOTH
        case Test.FACING:
            return (front + facing) % 8 == value
        case Test.CLOCK:
            return ticks == value
    assert value is not None
    if check.test is Test.EITHER and value not in range(-40, 41, 4):
        return False  # a turn to either side leaves one facing only after a half
    sides = (value,) if check.test is Test.TURN else (value, -value)
    return turn in sides if turn is not None else facing == value % 8


def mended(check: Check, dancer: Dancer, front: int) -> Dancer:
    """Return a dancer as if a check with a value had held."""
    weight, turn, facing, ticks = dancer
    value = check.value
    if right(check, dancer, front) and check.test not in (Test.TURN, Test.LEAD):
        return dancer
    match check.test:
        case Test.LEAD | Test.FOOT:
            return (Weight.RIGHT if value == Foot.LEFT else Weight.LEFT), turn, facing, ticks
        case Test.BOTH:
            return Weight.BOTH, turn, facing, ticks
        case Test.FACING:
            assert value is not None
            return weight, None, (value - front) % 8, ticks
        case Test.CLOCK:
            assert value is not None
            return weight, turn, facing, value
    assert value is not None
    return weight, value, value % 8, ticks


class Over(Exception):
    """The dance ends with a `Last`."""


class Fails(Exception):
    """The claim fails here."""

    def __init__(self, replay: Replay) -> None:
        self.replay = replay


class Plain:
    """A dance by chance, up to where a claim fails."""

    def __init__(self, program: Program, claim: str, rng: Random, words: tuple[int, ...] = (), until: int = 0) -> None:
        self.claim, self.rng, self.until = claim, rng, until
        self.came = 0  # how often to alternatives that the claim is about; the dance ends at time `until`
        self.readings = {word.key: number for word, number in zip(program.words, words, strict=True)}
        self.decisions: list[Decision] = []
        self.earlier: list[Decision] = []  # of the last time through a repeat, taken again where they fit
        self.rows: list[Row] = []
        self.clocks: set[int] = set()  # of the dance, between its items
        self.parts: list[tuple[str, int, int]] = []
        self.starts: list[tuple[int, int]] = []
        self.counts: dict[str, int] = {}
        self.state = State(Weight(program.lead.other), program.facing, front=program.facing)

    def decide(self, decision: Decision) -> Decision:
        """Take a decision, more often than not that of the last time here."""
        at = len(self.decisions)
        if at < len(self.earlier) and type(self.earlier[at]) is type(decision) and self.rng.random() < 0.8:
            decision = self.earlier[at]
        self.decisions.append(decision)
        return decision

    def fail(self, line: int, test: Test | None, expected: int | None, found: int) -> None:
        """Stop here."""
        parts, starts = tuple(self.parts), tuple(self.starts)
        raise Fails(Replay((), line, test, expected, found, parts, self.state.clock, starts))

    def dance(self, body: Body) -> None:
        """Dance a body."""
        for number, item in enumerate(body):
            self.clocks.add(self.state.clock)
            self.item(item, number == 0)
        self.clocks.add(self.state.clock)

    def item(self, item: Item, first: bool) -> None:
        """Dance one item."""
        match item:
            case Step():
                self.step(item)
            case Rest(ticks=ticks, line=line):
                self.row(line, "hold", None, self.state.weight, 0, ticks)
            case Gap(ticks=ticks, line=line):
                fill = self.decide(Fill(self.rng.choice((None, *Weight)), self.rng.randrange(8)))
                assert isinstance(fill, Fill)
                weight = self.state.weight if fill.weight is None else fill.weight
                self.row(line, "?", None, weight, fill.turn, ticks)
                self.state = evolve(self.state, loose=True)
            case Check():
                self.check((item,), first)
            case Together(checks=checks):
                self.check(checks, first)
            case Choice():
                self.choice(item)
            case Repeat():
                self.repeat(item)
            case Forever(body=body):
                self.runs(body, self.rng.randrange(4))
            case Timed(body=body, lasts=lasts):
                before = self.state
                self.state = evolve(before, since=before.clock)
                self.dance(body)
                self.state = evolve(self.state, since=before.since)
                if lasts is not None:
                    self.state = evolve(self.state, clock=before.clock + lasts)
            case Pass():
                self.once(item)
            case Lap(body=body) | Lined(body=body):
                self.dance(body)
            case Last(body=body):
                end = self.decide(End(self.rng.random() < 0.3))
                assert isinstance(end, End)
                if end.here:
                    self.dance(body)
                    raise Over

    def step(self, step: Step) -> None:
        """Dance a figure, movement by movement."""
        figure = step.figure
        version = figure.versions[self.readings.get(figure.name, figure.usual) if len(figure.versions) > 1 else 0]
        weight = self.state.weight
        senses = []
        for action in version.actions:
            movement = action.movement
            many = len(movement.senses) > 1
            senses.append(movement.senses[self.readings.get(movement.name, movement.usual) if many else 0])
        if weight is not Weight.BOTH:
            lead = Foot.RIGHT if weight is Weight.LEFT else Foot.LEFT
        elif any(sense.actor in (Actor.FREE, Actor.SUPPORT) for sense in senses):
            decision = self.decide(Lead(self.rng.choice((*Foot,))))
            assert isinstance(decision, Lead)
            lead = decision.foot
            weight = Weight(lead.other)
        else:
            lead = figure.lead
        for action, sense in zip(version.actions, senses, strict=True):
            foot = action.foot
            if foot is not None and lead is not figure.lead:
                foot = foot.other
            if sense.actor is Actor.FREE:
                foot = foot if foot is not None else lead if weight is Weight.BOTH else Foot(weight).other
                weight = Weight(foot if sense.lands else foot.other)
            elif sense.actor is Actor.SUPPORT:
                weight = Weight(foot if foot is not None else lead) if weight is Weight.BOTH else weight
            elif sense.actor is Actor.BOTH and sense.lands:
                weight = Weight.BOTH
        if step.blank:
            fill = self.decide(Fill(None, self.rng.randrange(8)))
            assert isinstance(fill, Fill)
            turn = fill.turn
        elif step.turn is not None:
            turn = step.turn
        else:
            turn = version.turn if lead is figure.lead else -version.turn
        self.row(step.line, figure.name, lead, weight, turn, version.length)
        if step.blank:
            self.state = evolve(self.state, loose=True)

    def row(self, line: int, label: str, lead: Foot | None, weight: Weight, turn: int, ticks: int) -> None:
        """Move, and keep the row."""
        old = self.state
        facing = (old.facing + turn) % 8
        self.rows.append(Row(old.clock, ticks, line, label, lead, old.weight, weight, old.facing, facing, turn=turn))
        self.state = evolve(old, weight=weight, facing=facing, turn=old.turn + turn, clock=old.clock + ticks)

    def check(self, checks: tuple[Check, ...], first: bool) -> None:
        """Be judged as she comes, and go on as if all had held."""
        filled = []
        for check in checks:
            if check.test is Test.LEAD and check.value is None:
                decision = self.decide(Lead(self.rng.choice((*Foot,))))
                assert isinstance(decision, Lead)
                check = evolve(check, value=decision.foot)
            filled.append(check)
        front = 0 if self.parts else self.state.front
        for check in filled:
            if not right(check, self.dancer(), front) and check.claim.id == self.claim:
                line = self.parts[-1][1] if first and self.parts and check.test is Test.LEAD else check.line
                weight, turn, facing, ticks = self.dancer()
                match check.test:
                    case Test.FACING:
                        found = (front + facing) % 8
                    case Test.CLOCK:
                        found = ticks
                    case Test.TURN | Test.EITHER:
                        found = self.state.turn - self.state.turned
                    case _:
                        found = weight
                self.fail(line, check.test, check.value, int(found))
        for check in filled:
            weight, turn, facing, ticks = mended(check, self.dancer(), front)
            state = self.state
            total = state.turn if turn is None else state.turned + turn
            self.state = evolve(
                state,
                weight=weight,
                turn=total,
                loose=turn is None,
                facing=(state.front + facing) % 8,
                clock=state.since + ticks,
            )

    def dancer(self) -> Dancer:
        """Return how she stands in her frame."""
        state = self.state
        turn = None if state.loose else state.turn - state.turned
        return state.weight, turn, (state.facing - state.front) % 8, state.clock - state.since

    def choice(self, choice: Choice) -> None:
        """Dance an option; where the claim is that they last equally long, go on as if this one lasted like the first."""
        pick = self.decide(Pick(self.rng.randrange(len(choice.options))))
        assert isinstance(pick, Pick)
        before = self.state.clock
        self.dance(choice.options[pick.option])
        if choice.claim is None:
            return
        self.came += choice.claim.id == self.claim
        if choice.claim.id == self.claim and self.came == self.until:
            self.fail(choice.line, None, None, self.state.clock - before)
        self.state = evolve(self.state, clock=before + self.stated(choice.options[0]))

    def stated(self, body: Body) -> int:
        """Return how long a body lasts by what is stated."""
        total = 0
        for item in body:
            match item:
                case Step(figure=figure):
                    many = len(figure.versions) > 1
                    total += figure.versions[self.readings.get(figure.name, figure.usual) if many else 0].length
                case Rest(ticks=ticks) | Gap(ticks=ticks):
                    total += ticks
                case Repeat(times=times, body=inner):
                    total += self.stated(inner) * (1 if times is None or times == 0 else times)
                case Choice(options=options):
                    total += self.stated(options[0])
                case Timed(body=inner, lasts=lasts) | Pass(body=inner, lasts=lasts):
                    total += self.stated(inner) if lasts is None else lasts
                case Lap(body=inner):
                    total += self.stated(inner)
                case Check(test=Test.CLOCK, value=value):
                    assert value is not None
                    total = value
                case Together(checks=checks):
                    clocks = [one.value for one in checks if one.test is Test.CLOCK and one.value is not None]
                    total = clocks[0] if clocks else total
        return total

    def repeat(self, repeat: Repeat) -> None:
        """Dance a body so many times, or any number of them."""
        times = self.rng.choice((0, 1, 2, 3, 30)) if repeat.times is None else repeat.times
        self.runs(repeat.body, times)
        if repeat.times is None:
            self.decisions.append(End(True))

    def runs(self, body: Body, times: int) -> None:
        """Dance a body so many times; times with the same decisions make one run, but for one that ends with the first of
        a pair: that is told by where the decisions end."""
        outer, before = self.decisions, self.earlier
        runs: list[Run] = []
        self.earlier = []
        try:
            for _ in range(times):
                self.decisions, through = [], False
                try:
                    self.dance(body)
                    through = True
                finally:
                    mine = tuple(self.decisions)
                    if runs and runs[-1].decisions == mine and (through or not self.until):
                        runs[-1] = evolve(runs[-1], times=runs[-1].times + 1)
                    else:
                        runs.append(Run(1, mine))
                    self.earlier = self.decisions
        finally:
            self.decisions, self.earlier = [*outer, *runs], before

    def once(self, item: Pass) -> None:
        """Dance one time through a part, in a frame of its own."""
        state = self.state
        self.counts[item.part] = self.counts.get(item.part, 0) + 1
        self.parts.append((item.part, item.line, self.counts[item.part]))
        self.starts.append((state.clock, state.facing))
        self.state = evolve(state, loose=False, front=state.facing, turned=state.turn, since=state.clock)
        self.dance(item.body)
        self.parts.pop()
        self.starts.pop()
        inner = self.state
        clock = inner.clock if item.lasts is None else state.clock + item.lasts
        loose = state.loose or inner.loose
        self.state = evolve(inner, loose=loose, front=state.front, turned=state.turned, since=state.since, clock=clock)
