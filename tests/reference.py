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
        self.turns: set[int] = set()
        self.ends: set[Weight] = set()
        self.laps = 0
        self.open_laps = False
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

    def judge(self, claim: str, good: set[State], bad: set[State], open_: bool, maybe: bool) -> str:
        """Note the verdict at a point; return whether it "held", "failed", or is held open by a "blank"."""
        if not good and not bad:
            return "held"
        if not bad:
            verdict, word = Verdict.PROVED, "held"
        elif open_ and (good or maybe):
            verdict, word = Verdict.UNDECIDED, "blank"
        else:
            verdict, word = Verdict.REFUTED, "failed"
        if not self.quiet:
            self.found.setdefault(claim, set()).add(verdict)
        return word

    def check(self, check: Check, states: set[State], open_: bool, maybe: bool) -> set[State]:
        """Compare, and go on as if it held."""
        value, claim = check.value, check.claim.id
        if check.test is Test.EITHER:
            return self.either(claim, value, states, open_, maybe)
        holds = {
            Test.LEAD: lambda s: s.weight != value,
            Test.FOOT: lambda s: s.weight == 1 - value,
            Test.BOTH: lambda s: s.weight is Weight.BOTH,
            Test.FACING: lambda s: (s.facing - s.base) % 8 == value,
            Test.CLOCK: lambda s: s.clock == value,
            Test.TURN: lambda s: (s.facing - s.start - value) % 8 == 0 if s.loose else s.turn == value,
        }[check.test]
        good = {state for state in states if holds(state)}
        word = self.judge(claim, good, states - good, open_, maybe)
        on = good if word == "blank" else states
        match check.test:
            case Test.LEAD | Test.FOOT:
                return {s._replace(weight=Weight(1 - value)) for s in on}
            case Test.BOTH:
                return {s._replace(weight=Weight.BOTH) for s in on}
            case Test.CLOCK:
                return {s._replace(clock=value) for s in on}
            case Test.TURN:
                return {self.turned(s, value) for s in on}
            case _:
                return {s if s in good else s._replace(facing=(s.base + value) % 8, loose=True) for s in on}

    def turned(self, state: State, turn: int) -> State:
        """Return the state as if the frame had turned so far."""
        return state._replace(facing=(state.start + turn) % 8, turn=turn, loose=False)

    def either(self, claim: str, size: int, states: set[State], open_: bool, maybe: bool) -> set[State]:
        """Compare a turn without a side."""

        def sides(state: State, loose: bool) -> list[int]:
            if loose:
                return [t for t in (size, -size) if (state.facing - state.start - t) % 8 == 0]
            return [t for t in (size, -size) if state.turn == t]

        if open_:
            good = {s for s in states if sides(s, s.loose)}
            alike = any(all(t in sides(s, s.loose) for s in states) for t in (size, -size))
            word = self.judge(claim, good, states - good, open_, maybe)
            if word == "held" and not alike and states and not self.quiet:
                self.found[claim].add(Verdict.UNDECIDED)
            if word != "failed":
                return {self.turned(s, sides(s, True)[0]) for s in good}
            return {self.turned(s, size) for s in states}
        loose = any(state.loose for state in states)
        for turn in (size, -size):
            if all(turn in sides(state, loose) for state in states):
                self.judge(claim, states, set(), False, False)
                return {self.turned(state, turn) for state in states}
        self.judge(claim, set(), states, False, False)
        return {self.turned(state, size) for state in states}

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
            case Check(test=Test.LEAD, value=None):
                led = {(s, foot) for s in states for foot in Foot}
                good = {s for s, foot in led if s.weight != Weight(foot)}
                bad = {s for s, foot in led if s.weight == Weight(foot)}
                self.judge(item.claim.id, good, bad, True, maybe)
                return {s._replace(weight=Weight(1 - foot)) for s, foot in led}, True
            case Check():
                return self.check(item, states, open_, maybe), open_
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
                return {s._replace(clock=s.kept[-1][0] + s.clock, kept=s.kept[:-1]) for s in after}, open_
            case Pass():
                return self.one_pass(item, states, open_, maybe)
            case Lap():
                inside = {s._replace(kept=(*s.kept, (s.facing,))) for s in states}
                after, open_ = self.body(item.body, inside, open_, maybe)
                self.lap({((s.facing - s.kept[-1][0]) % 8, s.weight) for s in after}, open_)
                return {s._replace(kept=s.kept[:-1]) for s in after}, open_
            case Last():
                self.body(item.body, states, open_, maybe)
                return states, open_
            case Forever():
                for _ in range(LAPS):
                    states, open_ = self.body(item.body, states, open_, maybe)
                return set(), open_

    def lap(self, ends: set[tuple[int, Weight]], open_: bool) -> None:
        """Note how a lap turns and ends."""
        if ends and not self.quiet:
            self.laps += 1
            self.open_laps |= open_
            self.turns |= {turn for turn, _ in ends}
            self.ends |= {weight for _, weight in ends}

    def choice(self, choice: Choice, states: set[State], open_: bool, maybe: bool) -> tuple[set[State], bool]:
        """Dance one of the options."""
        inside = {s._replace(kept=(*s.kept, (s.clock,))) for s in states}
        found = [self.body(option, inside, open_, maybe) for option in choice.options]
        first = {s.kept[-1]: s.clock for s in found[0][0]}
        out = set().union(*(states for states, _ in found))
        good = {s for s in out if all(s2.clock == first[s.kept[-1]] for o, _ in found for s2 in o if s2.kept == s.kept)}
        opened = any(o for _, o in found)
        word = self.judge(choice.claim.id, good, out - good, opened, maybe)
        on = good if word == "blank" else out
        return {s._replace(clock=first[s.kept[-1]], kept=s.kept[:-1]) for s in on}, opened

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
        if item.lap:
            self.lap({((s.facing - s.start) % 8, s.weight) for s in after}, opened)
        out = set()
        for s in after:
            turn, loose, clock, start, base = s.kept[-1]
            out.add(
                State(s.weight, s.facing, turn + s.turn, bool(loose) or s.loose, clock + s.clock, start, base, s.kept[:-2])
            )
        return out, opened

    # -- all ---------------------------------------------------------------------------------------------------------

    def decide(self) -> dict[str, set[Verdict]]:
        """Return every verdict at every point, by claim."""
        program = self.program
        begin = Weight(1 - program.lead)
        self.body(program.dance, {State(begin, program.facing, start=program.facing)}, False, False)
        for spare in program.spares:
            for weight in spare.weights:
                self.body(spare.body, {State(weight, 0)}, False, False)
        for lengths in program.lengths:
            last = max((a.beat for a in lengths.figure.versions[lengths.figure.usual].actions), default=0)
            held = last * TICKS == lengths.ticks
            self.found.setdefault(lengths.claim.id, set()).add(Verdict.PROVED if held else Verdict.REFUTED)
        if program.walls is not None:
            self.walls(begin)
        return self.found

    def walls(self, begin: Weight) -> None:
        """Decide the claim about walls."""
        self.quiet = True
        waiting = list(self.ends) if self.laps else [begin]
        seen = set(waiting)
        while waiting:
            after, open_ = self.body(self.program.walls.body, {State(waiting.pop(), 0)}, False, False)
            self.open_laps |= open_ and len({(s.weight, s.facing) for s in after}) > 1
            self.turns |= {s.facing for s in after}
            new = {s.weight for s in after} - seen
            seen |= new
            waiting += new
        order = {t: next(n for n in range(1, 9) if n * t % 8 == 0) for t in range(8)}
        fitting = {turn for turn in self.turns if order[turn] == self.program.walls.count}
        verdict = Verdict.PROVED if fitting and len(self.turns) == 1 else Verdict.REFUTED
        if verdict is Verdict.REFUTED and fitting and self.open_laps:
            verdict = Verdict.UNDECIDED
        self.found.setdefault(self.program.walls.claim.id, set()).add(verdict)


def verdicts(program: Program) -> dict[str, Verdict]:
    """Return the verdict on every claim of a program."""
    found: dict[str, set[Verdict]] = {}
    for readings in product(*(range(len(word.labels)) for word in program.words)):
        names = {word.key: reading for word, reading in zip(program.words, readings, strict=True)}
        for claim, here in Reference(program, names).decide().items():
            found.setdefault(claim, set()).update(here)
    worst = {claim.id: found.get(claim.id, {Verdict.VACUOUS}) for claim in program.claims}
    return {claim: max(here) for claim, here in worst.items()}
