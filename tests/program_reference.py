"""What a program means, written straight from `specs/meaning.md` with nothing in mind but plainness.

Every dance is danced, all at once as a set of states.  Slow, and shares no code with the engines.
"""

from itertools import product
from typing import NamedTuple

from stepcheck.model.dance import (
    TICKS,
    Actor,
    Body,
    Check,
    Choice,
    Figure,
    Foot,
    Forever,
    Gap,
    Item,
    Lap,
    Last,
    Movement,
    Pass,
    Program,
    Repeat,
    Rest,
    Step,
    Test,
    Timed,
    Together,
    Weight,
)  # fmt: skip
from stepcheck.model.outcome import Verdict

LAPS = 26  # there are 24 pairs of weight and facing
MOST_TIMES = 64


class State(NamedTuple):
    """One dancer: `start` is the facing at which the frame began, `base` what its facings are measured from.

    `kept` are the values of the frames and clocks around, and marks, innermost last.
    """

    weight: Weight
    facing: int
    turn: int = 0
    loose: bool = False
    clock: int = 0
    start: int = 0
    base: int = 0
    kept: tuple[tuple[int, ...], ...] = ()


def figure_from(state: State, figure: Figure, lead: Foot | None, version, sense_of) -> tuple[Weight, int]:
    """Return the weight after a figure, and its own turn, for one lead (None: none is chosen from both feet)."""
    weight = state.weight
    if weight is not Weight.BOTH:
        lead = Foot(1 - weight)
    elif lead is not None:
        weight = Weight(1 - lead)
    leading = figure.lead if lead is None else lead
    mirrored = leading != figure.lead
    for action in version.actions:
        sense = sense_of(action.movement)
        foot = action.foot
        if foot is not None and mirrored:
            foot = Foot(1 - foot)
        if sense.actor is Actor.FREE:
            acting = foot if foot is not None else leading if weight is Weight.BOTH else Foot(1 - weight)
            if weight is Weight.BOTH:
                weight = Weight(1 - acting)
            if sense.lands:
                weight = Weight(acting)
        elif sense.actor is Actor.SUPPORT:
            acting = foot if foot is not None else leading if weight is Weight.BOTH else Foot(weight)
            weight = Weight(acting)
        elif sense.actor is Actor.BOTH and sense.lands:
            weight = Weight.BOTH
    return weight, -version.turn if mirrored else version.turn


class Reference:
    """All dances of a program under one assignment of readings."""

    def __init__(self, program: Program, readings: dict[str, int]) -> None:
        self.program = program
        self.readings = readings
        self.found: dict[str, set[Verdict]] = {}
        self.begins: set[tuple[Weight, bool]] = set()
        self.quiet = False

    # -- figures -----------------------------------------------------------------------------------------------------

    def sense(self, movement: Movement):
        """Return the sense of a movement."""
        open_ = movement.name in self.readings and len(movement.senses) > 1
        return movement.senses[self.readings[movement.name] if open_ else movement.usual]

    def version(self, figure: Figure):
        """Return the version of a figure."""
        open_ = figure.name in self.readings and len(figure.versions) > 1
        return figure.versions[self.readings[figure.name] if open_ else figure.usual]

    def step(self, step: Step, states: set[State]) -> set[State]:
        """Dance a figure."""
        out, version = set(), self.version(step.figure)
        acts = any(self.sense(a.movement).actor in (Actor.FREE, Actor.SUPPORT) for a in version.actions)
        for state in states:
            leads = tuple(Foot) if state.weight is Weight.BOTH and acts else (None,)
            for lead in leads:
                weight, own = figure_from(state, step.figure, lead, version, self.sense)
                after = state._replace(weight=weight, clock=state.clock + version.length)
                if step.blank:
                    out |= {after._replace(facing=f, turn=(f - state.start) % 8, loose=True) for f in range(8)}
                else:
                    turn = own if step.turn is None else step.turn
                    out.add(after._replace(facing=(state.facing + turn) % 8, turn=state.turn + turn))
        return out

    # -- checks ------------------------------------------------------------------------------------------------------

    def judge(self, claim: str, good: set[State], bad: set[State], open_: bool, maybe: bool) -> None:
        """Note the verdict at a point; what waits on a blank is undecided where some filling may make it true."""
        if (good or bad) and not self.quiet:
            waits = open_ and (good or maybe)
            verdict = Verdict.PROVED if not bad else Verdict.UNDECIDED if waits else Verdict.REFUTED
            self.found.setdefault(claim, set()).add(verdict)

    def holds(self, check: Check, state: State) -> bool:
        """Whether a check holds for one dancer."""
        value = check.value
        if check.test is Test.LEAD:
            return state.weight != value
        if check.test is Test.FOOT:
            return state.weight == 1 - value
        if check.test is Test.BOTH:
            return state.weight is Weight.BOTH
        if check.test is Test.FACING:
            return (state.facing - state.base) % 8 == value
        if check.test is Test.CLOCK:
            return state.clock == value
        if check.test is Test.EITHER and value % 4:
            return False
        if state.loose:
            return (state.facing - state.start - value) % 8 == 0
        return state.turn == value or (check.test is Test.EITHER and state.turn == -value)

    def onward(self, check: Check, state: State) -> State:
        """One dancer as if a check had held."""
        value = check.value
        if check.test in (Test.LEAD, Test.FOOT):
            return state._replace(weight=Weight(1 - value))
        if check.test is Test.BOTH:
            return state._replace(weight=Weight.BOTH)
        if check.test is Test.CLOCK:
            return state._replace(clock=value)
        if check.test is Test.FACING:
            return state if self.holds(check, state) else state._replace(facing=(state.base + value) % 8, loose=True)
        if check.test is Test.EITHER and self.holds(check, state):
            return state
        return state._replace(facing=(state.start + value) % 8, turn=value, loose=False)

    def checks(self, checks: tuple[Check, ...], states: set[State], open_: bool, maybe: bool) -> tuple[set[State], bool]:
        """Judge checks that stand at one place, then take them all as true."""
        opened = open_
        for check in checks:
            if check.value is None and check.test is Test.LEAD:
                good = {s for s in states if s.weight is Weight.BOTH}
                self.judge(check.claim.id, states, states - good, True, maybe)
                opened = True
                continue
            good = {state for state in states if self.holds(check, state)}
            self.judge(check.claim.id, good, states - good, open_, maybe)
        for check in checks:
            if check.value is None and check.test is Test.LEAD:
                states = {s._replace(weight=w) for s in states for w in (Weight.LEFT, Weight.RIGHT)}
            else:
                states = {self.onward(check, state) for state in states}
        return states, opened

    # -- bodies ------------------------------------------------------------------------------------------------------

    def body(self, body: Body, states: set[State], open_: bool, maybe: bool) -> tuple[set[State], bool]:
        """Dance a body."""
        for item in body:
            if states:
                states, open_ = self.item(item, states, open_, maybe)
        return states, open_

    def item(self, item: Item, states: set[State], open_: bool, maybe: bool) -> tuple[set[State], bool]:
        """Dance an item."""
        match item:
            case Step():
                return self.step(item, states), open_ or item.blank
            case Rest():
                return {s._replace(clock=s.clock + item.ticks) for s in states}, open_
            case Gap():
                return {
                    s._replace(weight=w, facing=f, turn=(f - s.start) % 8, loose=True, clock=s.clock + item.ticks)
                    for s in states
                    for w in Weight
                    for f in range(8)
                }, True
            case Check():
                return self.checks((item,), states, open_, maybe)
            case Together():
                return self.checks(item.checks, states, open_, maybe)
            case Choice():
                return self.choice(item, states, open_, maybe)
            case Repeat(times=None):
                return self.blank_repeat(item, states, open_, maybe)
            case Repeat():
                for _ in range(item.times):
                    states, open_ = self.body(item.body, states, open_, maybe)
                return states, open_
            case Timed():
                inside = {s._replace(clock=0, kept=(*s.kept, (s.clock,))) for s in states}
                after, open_ = self.body(item.body, inside, open_, maybe)
                return {
                    s._replace(clock=s.kept[-1][0] + (s.clock if item.lasts is None else item.lasts), kept=s.kept[:-1])
                    for s in after
                }, open_
            case Pass():
                return self.one_pass(item, states, open_, maybe)
            case Lap():
                self.lap(states, open_ or maybe)
                return self.body(item.body, states, open_, maybe)
            case Last():
                self.body(item.body, states, open_, maybe)
                return states, open_
            case Forever():
                for _ in range(LAPS):
                    states, open_ = self.body(item.body, states, open_, maybe)
                return set(), open_

    def lap(self, states: set[State], open_: bool) -> None:
        """Note with which weights a lap begins."""
        self.begins |= {(state.weight, open_) for state in states}

    def choice(self, choice: Choice, states: set[State], open_: bool, maybe: bool) -> tuple[set[State], bool]:
        """Dance one of the options."""
        inside = {s._replace(kept=(*s.kept, (s.clock,))) for s in states}
        found = [self.body(option, inside, open_, maybe) for option in choice.options]
        if choice.claim is None:
            return {s._replace(kept=s.kept[:-1]) for states, _ in found for s in states}, any(o for _, o in found)
        first = {s.kept[-1]: s.clock for s in found[0][0]}
        out = set().union(*(states for states, _ in found))
        good = {s for s in out if all(s2.clock == first[s.kept[-1]] for o, _ in found for s2 in o if s2.kept == s.kept)}
        opened = any(o for _, o in found)
        self.judge(choice.claim.id, good, out - good, opened, maybe)
        return {s._replace(clock=first[s.kept[-1]], kept=s.kept[:-1]) for s in out}, opened

    def blank_repeat(self, repeat: Repeat, states: set[State], open_: bool, maybe: bool) -> tuple[set[State], bool]:
        """Dance a body some number of times."""
        out: set[State] = set()
        states, open_ = self.body(repeat.body, states, open_, maybe)
        out |= states
        for _ in range(MOST_TIMES - 1):
            states, _ = self.body(repeat.body, states, True, True)
            out |= states
        return out, True

    def one_pass(self, item: Pass, states: set[State], open_: bool, maybe: bool) -> tuple[set[State], bool]:
        """Dance through a part."""
        if item.lap:
            self.lap(states, open_ or maybe)
        inside = {
            State(s.weight, s.facing, start=s.facing, base=s.facing,
                  kept=(*s.kept, (s.weight, s.facing), (s.turn, s.loose, s.clock, s.start, s.base)))
            for s in states
        }  # fmt: skip
        after, opened = self.body(item.body, inside, open_, maybe)
        if opened and not open_:
            left: dict[int, set[tuple[Weight, int]]] = {}
            for s in after:
                left.setdefault(s.kept[-2][0], set()).add((s.weight, (s.facing - s.start) % 8))
            opened = any(len(ends) > 1 for ends in left.values())
        out = set()
        for s in after:
            turn, loose, clock, start, base = s.kept[-1]
            out.add(
                State(
                    s.weight, s.facing, turn + s.turn, bool(loose) or s.loose,
                    clock + (s.clock if item.lasts is None else item.lasts), start, base, s.kept[:-2],
                )  # fmt: skip
            )
        return out, opened

    # -- all ---------------------------------------------------------------------------------------------------------

    def decide(self) -> dict[str, set[Verdict]]:
        """Return every verdict at every point, by claim."""
        program = self.program
        begin = Weight(1 - program.lead)
        self.body(program.dance, {State(begin, program.facing, start=program.facing)}, False, False)
        begins = set(self.begins) or {(begin, False)}
        if program.walls is not None:  # before the parts that are never danced: what fails in those excuses no foot
            self.walls(begins)
        for spare in program.spares:
            for weight in spare.weights:
                self.body(spare.body, {State(weight, 0)}, False, False)
        for lengths in program.lengths:
            last = max((a.beat for a in lengths.figure.versions[lengths.figure.usual].actions), default=0)
            held = last * TICKS == lengths.ticks
            self.found.setdefault(lengths.claim.id, set()).add(Verdict.PROVED if held else Verdict.REFUTED)
        return self.found

    def walls(self, waiting: set[tuple[Weight, bool]]) -> None:
        """Decide the claim about walls: passes for their steps alone, from every weight with which one can begin."""
        walls = self.program.walls
        refuted = {claim for claim, here in self.found.items() if Verdict.REFUTED in here}
        seen: set[tuple[Weight, bool]] = set()
        sure: set[int] = set()
        maybe: set[int] = set()
        blocked = waits = False
        while waiting - seen:
            weight, open_ = min(waiting - seen)
            seen.add((weight, open_))
            self.found, kept = {}, self.found
            after, opened = self.body(walls.body, {State(weight, 0)}, open_, False)
            feet = {v for claim, here in self.found.items() if claim not in refuted for v in here}
            self.found = kept
            blocked |= Verdict.REFUTED in feet and not open_
            waits |= Verdict.UNDECIDED in feet or (Verdict.REFUTED in feet and open_)
            opened = open_ or (opened and len({(s.weight, s.facing) for s in after}) > 1)
            (maybe if opened else sure).update(s.facing for s in after)
            waiting = waiting | {(s.weight, opened) for s in after}
            if opened:  # a pass that begins for sure need not be looked at as one that may begin
                seen |= {(w, True) for w, o in waiting if (w, False) in waiting}
        order = {t: next(n for n in range(1, 9) if n * t % 8 == 0) for t in range(8)}
        fitting = {turn for turn in sure or maybe if order[turn] == walls.count}
        if blocked or len(sure) > 1 or not fitting:
            verdict = Verdict.REFUTED
        else:
            verdict = Verdict.UNDECIDED if waits or len(sure | maybe) > 1 else Verdict.PROVED
        self.found.setdefault(walls.claim.id, set()).add(verdict)


def verdicts(program: Program) -> dict[str, Verdict]:
    """Return the verdict on every claim of a program."""
    found: dict[str, set[Verdict]] = {}
    for readings in product(*(range(len(word.labels)) for word in program.words)):
        names = {word.key: reading for word, reading in zip(program.words, readings, strict=True)}
        for claim, here in Reference(program, names).decide().items():
            found.setdefault(claim, set()).update(here)
    worst = {claim.id: found.get(claim.id, {Verdict.VACUOUS}) for claim in program.claims}
    return {claim: max(here) for claim, here in worst.items()}
