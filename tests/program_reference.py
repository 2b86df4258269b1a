"""What a program means, by dancing all its dances: slow, plain, and written from `specs/meaning.md` alone.

A filling of the blanks and an assignment of readings are fixed first; then every dance is danced, all at once as a set
of states.
"""

from collections.abc import Iterator
from contextlib import suppress
from itertools import product
from typing import NamedTuple

from stepcheck.model.claims import Check, Kind, Test
from stepcheck.model.dance import (
    TICKS,
    Body,
    Choice,
    Forever,
    Gap,
    Item,
    Lap,
    Last,
    Pass,
    Program,
    Repeat,
    Rest,
    Step,
    Timed,
    Together,
    Weight,
)
from stepcheck.model.movements import Actor, Movement, Sense
from stepcheck.model.outcome import Verdict

ENDS = 24  # of a row: pairs of a weight and a change of facing
LAPS = 30  # there are 24 pairs of weight and facing


class Impossible(Exception):
    """A figure cannot be danced under these readings."""


class State(NamedTuple):
    """One dancer in her frame; `front` is what the frame's facings are measured from."""

    weight: int
    turn: int = 0
    loose: bool = False
    clock: int = 0


class Stated(NamedTuple):
    """What a certificate says of a check, in the place of a test: the values of a property with which it holds."""

    about: str
    holds: tuple[int, ...]
    then: int
    settles: bool


class Naive:
    """All dances of a program under one assignment of readings and one filling of the blanks."""

    def __init__(self, program: Program, readings: dict[str, int], filling: dict[object, int]) -> None:
        self.program, self.readings, self.filling = program, readings, filling
        self.order: list[str] = []
        self.failed: set[str] = set()
        self.steps_alone = False
        self.unled: set[str] = set()
        self.laps: set[int] = set()
        self.spare = False
        self.excused: set[str] = set()

    def sense(self, movement: Movement) -> Sense:
        own = self.readings.get(movement.name, movement.usual) if len(movement.senses) > 1 else movement.usual
        return movement.senses[own]

    def step(self, step: Step, state: State) -> Iterator[State]:
        figure = step.figure
        version = figure.versions[
            self.readings.get(figure.name, figure.usual) if len(figure.versions) > 1 else figure.usual
        ]
        senses = [self.sense(action.movement) for action in version.actions]
        moves = any(sense.actor in (Actor.FREE, Actor.SUPPORT) for sense in senses)
        leads: list[int | None] = [1 - state.weight] if state.weight != Weight.BOTH else [0, 1] if moves else [None]
        for chosen in leads:
            lead = figure.lead if chosen is None else chosen
            weight = state.weight if chosen is None else 1 - chosen
            for action, sense in zip(version.actions, senses, strict=True):
                foot = action.foot
                if foot is not None and lead != figure.lead:
                    foot = 1 - foot
                both = weight == Weight.BOTH
                if sense.actor is Actor.FREE:
                    acting = foot if foot is not None else lead if both else 1 - weight
                    if acting == weight:
                        raise Impossible
                    weight = acting if sense.lands else 1 - acting
                elif sense.actor is Actor.SUPPORT:
                    acting = foot if foot is not None else lead if both else weight
                    if not both and acting != weight:
                        raise Impossible
                    weight = acting
                elif sense.actor is Actor.BOTH and sense.lands:
                    weight = Weight.BOTH
            after = state._replace(weight=int(weight), clock=state.clock + version.length)
            if step.blank:
                turn = self.filling["turn", step.line, step.place]
                yield after._replace(turn=after.turn + (-turn if step.mirrored else turn), loose=True)
            else:
                own = -version.turn if lead != figure.lead else version.turn
                yield after._replace(turn=after.turn + (own if step.turn is None else step.turn))

    def check(self, check: Check, came: set[State], front: int) -> None:
        claim = check.claim.id
        if not came:
            return
        bad = {state for state in came if not self.holds(check, state, front)}
        if self.steps_alone:
            self.unled |= {claim} if bad else set()
            return
        if claim not in self.order and (bad or not check.opens):  # where it only begins it can fail, and not hold
            self.order.append(claim)
        if bad:
            self.failed.add(claim)

    def value(self, check: Check) -> int | None:
        if check.test is Test.LEAD and check.value is None:
            foot = self.filling["foot", check.claim.id]
            return 1 - foot if check.feet else foot
        return check.value

    def holds(self, check: Check, state: State, front: int) -> bool:
        value = self.value(check)
        match check.test:
            case Stated(about="weight" | "clock" as about, holds=holds):
                return getattr(state, about) in holds
            case Stated(about="facing", holds=holds):
                return (front + state.turn) % 8 in holds
            case Stated(holds=holds):
                return state.turn % 8 in {one % 8 for one in holds} if state.loose else state.turn in holds
            case Test.LEAD:
                return state.weight != value
            case Test.FOOT:
                return state.weight == 1 - value
            case Test.BOTH:
                return state.weight == Weight.BOTH
            case Test.FACING:
                return (front + state.turn) % 8 == value
            case Test.CLOCK:
                return state.clock == value
            case Test.TURN:
                return (state.turn - value) % 8 == 0 if state.loose else state.turn == value
            case Test.EITHER:
                return (state.turn - value) % 8 == 0 if state.loose else state.turn in (value, -value)

    def taken(self, check: Check, state: State, front: int) -> State:
        value = self.value(check)
        match check.test:
            case Stated(settles=False) if self.holds(check, state, front):
                return state
            case Stated(about="weight" | "clock" as about, then=then):
                return state._replace(**{about: then})
            case Stated(about="facing", then=then):
                return state._replace(turn=then - front, loose=True)
            case Stated(then=then):
                return state._replace(turn=then, loose=False)
            case Test.LEAD | Test.FOOT:
                return state._replace(weight=1 - value)
            case Test.BOTH:
                return state._replace(weight=int(Weight.BOTH))
            case Test.CLOCK:
                return state._replace(clock=value)
            case Test.TURN:
                return state._replace(turn=value, loose=False)
        if self.holds(check, state, front):
            return state
        if check.test is Test.EITHER:
            return state._replace(turn=value, loose=False)
        return state._replace(turn=value - front, loose=True)

    def body(self, body: Body, states: set[State], front: int) -> set[State]:
        for item in body:
            if states:
                states = self.item(item, states, front)
        return {state._replace(turn=state.turn % 8) if state.loose else state for state in states}

    def item(self, item: Item, states: set[State], front: int) -> set[State]:
        match item:
            case Step():
                return {after for state in states for after in self.step(item, state)}
            case Rest():
                return {state._replace(clock=state.clock + item.ticks) for state in states}
            case Gap():
                return {after for state in states for after in self.gap(item, state)}
            case Check() | Together():
                checks = item.checks if isinstance(item, Together) else (item,)
                for check in checks:
                    self.check(check, states, front)
                for check in checks:
                    states = {self.taken(check, state, front) for state in states}
                return states
            case Choice():
                return set().union(*(self.choice(item, state, front) for state in states))
            case Repeat():
                times = self.filling["times", item.line, item.place] + 1 if item.times is None else item.times
                for _ in range(times):
                    states = self.body(item.body, states, front)
                return states
            case Timed():
                out = set()
                for state in states:
                    for after in self.body(item.body, {state._replace(clock=0)}, front):
                        lasts = after.clock if item.lasts is None else item.lasts
                        out.add(after._replace(clock=state.clock + lasts))
                return out
            case Pass():
                out = set()
                if item.lap:
                    self.lap(states)
                for weight in {state.weight for state in states}:
                    ends = self.body(item.body, {State(weight)}, 0)
                    for state in states:
                        for end in ends if state.weight == weight else ():
                            lasts = end.clock if item.lasts is None else item.lasts
                            out.add(
                                State(end.weight, state.turn + end.turn, state.loose or end.loose, state.clock + lasts)
                            )
                return out
            case Lap():
                self.lap(states)
                return self.body(item.body, states, front)
            case Last():
                self.body(item.body, states, front)
                return states
            case Forever():
                for _ in range(LAPS):
                    states = self.body(item.body, states, front)
                return set()

    def lap(self, states: set[State]) -> None:
        if not self.steps_alone and not self.spare:
            self.laps |= {state.weight for state in states}

    def gap(self, gap: Gap, state: State) -> Iterator[State]:
        def swapped(weight: int) -> int:
            return weight if weight == Weight.BOTH or not gap.feet else 1 - weight

        row = self.filling["gap", gap.line, swapped(state.weight)]
        for end in range(ENDS) if row == ENDS else (row,):  # all of them: whatever dancers pick in it
            turn, weight = divmod(end, 3)
            turn = -turn if gap.mirrored else turn
            yield State(swapped(weight), state.turn + turn, True, state.clock + gap.ticks)

    def choice(self, choice: Choice, state: State, front: int) -> set[State]:
        ends = [self.body(option, {state}, front) for option in choice.options]
        if choice.claim is None:
            return set().union(*ends)
        first = {end.clock for end in ends[0]}
        claim = choice.claim.id
        if not self.steps_alone:
            if claim not in self.order:
                self.order.append(claim)
            if any({end.clock} != first for option in ends for end in option):
                self.failed.add(claim)
        return {end._replace(clock=clock) for option in ends for end in option for clock in first}

    def decide(self) -> tuple[set[str], list[str]]:
        """Return the claims that fail in some dance, and those that are checked, in order."""
        program = self.program
        begin = 1 - program.lead
        self.body(program.dance, {State(begin)}, program.facing)
        self.excused, self.spare = set(self.failed), True
        self.meet()
        for spare in program.spares:
            for weight in spare.weights:
                self.body(spare.body, {State(int(weight))}, 0)
        for one in program.lengths:
            self.order.append(one.claim.id)
            version = one.figure.versions[one.figure.usual]
            if max((a.beat for a in version.actions), default=0) * TICKS != one.ticks:
                self.failed.add(one.claim.id)
        return self.failed, self.order

    def meet(self) -> None:
        """Compare the dancers of two groups, each pair of them, where their groups meet."""
        program = self.program
        for meeting in program.meetings:
            order, failed = list(self.order), set(self.failed)
            ends = [self.body(before, {State(1 - program.lead)}, program.facing) for before in meeting.before]
            self.order, self.failed = order, failed  # what is checked on the way is checked in the dance
            kind, claim = meeting.claim.kind, meeting.claim.id
            if all(ends) and claim not in order:
                order.append(claim)
            for (one, here), (other, there) in product(enumerate(ends), repeat=2):
                for a, b in product(here, there):
                    wall, beat = (a.turn - b.turn) % 8 == 0, a.clock == b.clock
                    mirror = {a.weight, b.weight} in ({0, 1}, {int(Weight.BOTH)}) and (a.turn + b.turn) % 8 == 0
                    right = {Kind.SAME_WALL: wall, Kind.SAME_BEAT: beat, Kind.MIRROR: other - one != 1 or mirror}[kind]
                    if one < other and all(ends) and not right:
                        failed.add(claim)

    def walls(self) -> bool:
        """Whether the claim about walls fails."""
        walls, turns = self.program.walls, set()
        self.steps_alone = True
        waiting = list(self.laps) if has_laps(self.program.dance) else [1 - self.program.lead]
        seen = set(waiting)
        while waiting:
            ends = self.body(walls.body, {State(waiting.pop())}, 0)
            turns |= {end.turn % 8 for end in ends}
            waiting += {end.weight for end in ends} - seen
            seen |= {end.weight for end in ends}
        order = {turn: next(n for n in range(1, 9) if n * turn % 8 == 0) for turn in range(8)}
        return len({*turns}) != 1 or {order[turn] for turn in turns} != {walls.count} or bool(self.unled - self.excused)


def has_laps(body: Body) -> bool:
    """Whether a lap is reached."""
    for item in body:
        if isinstance(item, Lap) or isinstance(item, Pass) and item.lap:
            return True
        inner = item.options if isinstance(item, Choice) else (getattr(item, "body", ()),)
        if any(map(has_laps, inner)):
            return True
    return False


def blanks(body: Body) -> dict[object, int]:
    """Return the blanks in a body, with how many values each has."""
    found: dict[object, int] = {}
    for item in body:
        match item:
            case Gap():
                found |= {("gap", item.line, weight): ENDS + 1 for weight in range(3)}
            case Step(blank=True):
                found["turn", item.line, item.place] = 8
            case Check(test=Test.LEAD, value=None):
                found["foot", item.claim.id] = 2
            case Repeat(times=None):
                found["times", item.line, item.place] = 64
        for inner in (
            item.options if isinstance(item, Choice) else (getattr(item, "body", getattr(item, "checks", ())),)
        ):
            found |= blanks(inner)
    return found


def verdicts(program: Program, most: int = 10**9) -> dict[str, Verdict] | None:
    """Return the verdict on every claim of a program, None where more than `most` fillings would have to be danced."""
    bodies = [
        program.dance,
        *(spare.body for spare in program.spares),
        *([program.walls.body] if program.walls else []),
        *(before for meeting in program.meetings for before in meeting.before),
    ]
    holes: dict[object, int] = {}
    for body in bodies:
        holes |= blanks(body)
    count = 1
    for values in holes.values():
        count *= values
    if count > most:
        return None
    runs: list[list[Naive]] = []
    for readings in product(*(range(len(word.labels)) for word in program.words)):
        names = {word.key: reading for word, reading in zip(program.words, readings, strict=True)}
        with suppress(Impossible):  # nobody can mean such readings
            runs.append(
                [
                    _danced(program, names, dict(zip(holes, values, strict=True)))
                    for values in product(*map(range, holes.values()))
                ]
            )
    return {claim.id: _of(claim.id, runs) for claim in program.claims}


def _danced(program: Program, readings: dict[str, int], filling: dict[object, int]) -> Naive:
    """Return what is seen under one assignment of readings and one filling."""
    run = Naive(program, readings, filling)
    run.decide()
    if program.walls:
        run.order.append(program.walls.claim.id)
        run.failed |= {program.walls.claim.id} if run.walls() else set()
    return run


def _of(claim: str, runs: list[list[Naive]]) -> Verdict:
    """Return the verdict on a claim: refuted if each filling has readings under which it fails in some dance."""
    if not any(claim in run.order for under in runs for run in under):
        return Verdict.VACUOUS
    fails = [any(claim in run.failed for run in filled) for filled in zip(*runs, strict=True)]
    return Verdict.PROVED if not any(fails) else Verdict.REFUTED if all(fails) else Verdict.UNDECIDED
