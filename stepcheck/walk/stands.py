"""Single dancers: where one is, what she has decided, what each check asks of her, and the moments of her timeline."""

from collections import Counter
from collections.abc import Callable
from functools import lru_cache, reduce
from itertools import groupby
from typing import NamedTuple

from attrs import evolve, frozen

from stepcheck.model.claims import Check, Condition, Test
from stepcheck.model.dance import EIGHTHS, Body, Figure, Program, Weight
from stepcheck.model.outcome import Decision, Run


class State(NamedTuple):
    """Where one dancer is; `turn` and `clock` count from the start of the frame, `outer` is the state there."""

    weight: Weight
    facing: int
    turn: int = 0
    loose: bool = False
    clock: int = 0
    outer: "State | None" = None

    def entered(self) -> "State":
        """Return the state at the start of a pass that begins here."""
        return State(self.weight, 0, outer=self)

    def after(self, inner: "State", lasts: int | None) -> "State":
        """Return the state after a pass from here whose own end is `inner`; it lasts `lasts` ticks where that is
        settled."""
        clock = self.clock + (inner.clock if lasts is None else lasts)
        facing, loose = (self.facing + inner.facing) % EIGHTHS, self.loose or inner.loose
        return State(inner.weight, facing, self.turn + inner.turn, loose, clock, self.outer)


@lru_cache(maxsize=1 << 14)
def run_of(times: int, decisions: tuple[Decision, ...]) -> Run:
    """Return a run; equal runs are one object, so that runs inside it are compared by identity."""
    return Run(times, decisions)


class Past(NamedTuple):
    """What a dancer has decided so far, as a linked list from the last; `outer` is her past at the start of the repeat
    around."""

    last: Decision | None = None
    before: "Past | None" = None
    outer: "Past | None" = None

    def taking(self, decision: Decision) -> "Past":
        """Return the past with one more decision."""
        return Past(decision, self, self.outer)

    def taking_all(self, decisions: tuple[Decision, ...]) -> "Past":
        """Return the past with more decisions."""
        return reduce(Past.taking, decisions, self)

    def own(self) -> tuple[Decision, ...]:
        """Return the decisions since the start of the repeat."""
        out: list[Decision] = []
        past: Past | None = self
        while past is not None and past.last is not None:
            out.append(past.last)
            past = past.before
        return tuple(reversed(out))

    def closed(self, again: bool) -> "Past":
        """Return the past after one time of the repeat; `again` says that it is not the first."""
        assert self.outer is not None
        decisions, last = self.own(), self.outer.last
        if again and isinstance(last, Run) and last.decisions == decisions and self.outer.before is not None:
            return Past(run_of(last.times + 1, decisions), self.outer.before, self.outer.outer)
        return self.outer.taking(run_of(1, decisions))

    def decisions(self) -> tuple[Decision, ...]:
        """Return all the decisions from the start of the dance."""
        return self.own() if self.outer is None else self.outer.taking(run_of(1, self.own())).decisions()


Dances = dict[State, Past]

_MOST_ALIKE = 3  # of dancers who differ by lengths or whole turns only: a turn without a side is told from as many


def mapped(dances: Dances, change: Callable[[State], State]) -> Dances:
    """Return the dances with their states changed; of two with equal states the first stays."""
    out: Dances = {}
    for state, past in dances.items():
        out.setdefault(change(state), past)
    return out


def thinned(dances: Dances) -> Dances:
    """Return at most `_MOST_ALIKE` of the dances that differ in turn and length only.

    If a dance left out would fail a claim, so does one that is kept, with the same decisions from here.
    """
    if len(dances) <= _MOST_ALIKE:
        return dances
    count, out = Counter[State](), Dances()
    for state, past in dances.items():
        alike = state._replace(turn=0, clock=0)
        count[alike] += 1
        if count[alike] <= _MOST_ALIKE:
            out[state] = past
    return out


@lru_cache(maxsize=1 << 12)
def condition(test: Test, value: int | None) -> Condition:
    """Return what a test asks with a value; a foot that is to be found is no condition yet."""
    if test is Test.BOTH:
        return Condition((Weight.BOTH,), Weight.BOTH)
    assert value is not None
    match test:
        case Test.LEAD:
            return Condition((Weight(1 - value), Weight.BOTH), Weight(1 - value), settles=True)
        case Test.FOOT:
            return Condition((Weight(1 - value),), Weight(1 - value))
        case Test.FACING | Test.CLOCK:
            return Condition((value,), value)
        case Test.TURN:
            return Condition((value,), value, settles=True)
        case Test.EITHER:
            return Condition((value, -value) if value % 4 == 0 else (), value)


def asked(check: Check) -> Condition:
    """Return what a check asks."""
    return condition(check.test, check.value)


def fits(state: State, check: Check, front: int) -> bool:
    """Say whether a check holds for one state; `front` is the facing at the start of the frame.  A foot that is to be
    found may be any."""
    if check.blank:
        return True
    holds = asked(check).holds
    match check.test.about:
        case "weight":
            return state.weight in holds
        case "facing":
            return state.facing in holds
        case "clock":
            return state.clock in holds
    return any((state.facing - front - turn) % EIGHTHS == 0 for turn in holds) if state.loose else state.turn in holds


def taken(state: State, check: Check, front: int) -> State:
    """Return a state after a check, as if the check had held."""
    goal = asked(check)
    match check.test.about:
        case "weight":
            return state._replace(weight=Weight(goal.after(state.weight)))
        case "clock":
            return state._replace(clock=goal.after(state.clock))
    if not goal.settles and fits(state, check, front):
        return state
    if check.test.about == "facing":
        return state._replace(facing=goal.then, loose=True)
    return state._replace(facing=(front + goal.then) % EIGHTHS, turn=goal.then, loose=False)


UNKNOWN = -1  # a facing that a blank leaves open


@frozen
class Stand:
    """A moment of the dance.

    `weight` is where the weight is, None after a blank that nobody has filled; `facing` in eighths from the front of
    the room, not `sure` behind such a blank; `tick` the time since the dance began in ticks, `turn` the turn in signed
    eighths, both 0 at first; `part` the part, empty in the dance itself, and `wall` and `began` the facing and tick
    with which its pass began.  `front`, `turned` and `since` are facing, turn and tick at the start of what claims
    count from; `loose` says that the turn is known up to whole turns only.
    """

    weight: Weight | None
    facing: int
    tick: int = 0
    turn: int = 0
    part: str = ""
    wall: int = 0
    began: int = 0
    front: int = 0
    turned: int = 0
    since: int = 0
    loose: bool = False
    sure: bool = True

    @classmethod
    def first(cls, program: Program) -> "Stand":
        """Return the stand in which the dance of a program begins."""
        return cls(Weight(program.lead.other), program.facing, front=program.facing)

    @property
    def inside(self) -> int:
        """The ticks since the pass began."""
        return self.tick - self.began

    @property
    def wall_faced(self) -> int:
        """The facing in eighths from the front of the room, `UNKNOWN` where a blank leaves it open."""
        return self.facing if self.sure else UNKNOWN

    def fits(self, check: Check) -> bool:
        """Say whether a check holds here; none is judged where the weight is open."""
        return fits(self._state(), check, self.front)

    def taking(self, check: Check) -> "Stand":
        """Return the stand after a check, as if it had held."""
        state = taken(self._state(), check, self.front)
        return evolve(
            self,
            weight=state.weight if check.test.about == "weight" else self.weight,
            facing=(self.wall + state.facing) % EIGHTHS,
            turn=self.turned + state.turn,
            loose=state.loose,
            tick=self.since + state.clock,
            sure=self.sure or check.test.about == "facing",
        )

    def moved(self, weight: Weight | None, turn: int, ticks: int) -> "Stand":
        """Return the stand after a movement."""
        facing = (self.facing + turn) % EIGHTHS
        return evolve(self, weight=weight, facing=facing, turn=self.turn + turn, tick=self.tick + ticks)

    def _state(self) -> State:
        weight = Weight.BOTH if self.weight is None else self.weight
        facing = (self.facing - self.wall) % EIGHTHS
        return State(weight, facing, self.turn - self.turned, self.loose, self.tick - self.since)


@frozen
class Moment:
    """A stretch of a timeline: a figure danced some times in a row, or a claim that is taken as put right.

    `tick` is its start since that of the dance and `ticks` its length; `feet` has the weight before and after it, None
    where a blank leaves it open; `facings` likewise in eighths, `UNKNOWN` where they are open; `turn` in eighths, left
    negative.  It stands in the pass number `time` of `part`, both empty outside of parts, `inside` ticks after its
    start.  `others` are the first figures of the alternatives to it; `figure` is None for silence, blanks and claims.
    """

    tick: int
    ticks: int
    line: int
    label: str
    feet: tuple[Weight | None, Weight | None]
    facings: tuple[int, int]
    turn: int = 0
    part: str = ""
    time: int = 0
    times: int = 1
    others: tuple[str, ...] = ()
    put_right: bool = False
    figure: Figure | None = None
    inside: int = 0

    def after(self, last: "Moment") -> "Moment | None":
        """Return `last` danced once more, where this is the same in a row and neither turns."""
        same = (self.line, self.label, self.part, self.time) == (last.line, last.label, last.part, last.time)
        if not same or self.put_right or last.put_right or self.turn or last.turn:
            return None
        feet, facings = (last.feet[0], self.feet[1]), (last.facings[0], self.facings[1])
        return evolve(last, ticks=last.ticks + self.ticks, feet=feet, facings=facings, times=last.times + 1)


@frozen
class Timeline:
    """One dance from its start, as `moments`, and whether they are the `whole` of it.

    `endless` is the body of a repeat until the music ends with the stand at its start, None where there is none.
    """

    moments: tuple[Moment, ...] = ()
    whole: bool = True
    endless: tuple[Body, Stand] | None = None

    @property
    def passes(self) -> tuple[tuple[Moment, ...], ...]:
        """The moments, cut where a pass of a part begins or ends."""
        return tuple(tuple(some) for _, some in groupby(self.moments, lambda one: (one.part, one.time)))
