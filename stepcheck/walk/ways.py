"""Single dances in a search: the state of each dancer, and the decisions that led to it."""

from collections.abc import Callable
from functools import lru_cache
from typing import NamedTuple

from stepcheck.model.claims import Check
from stepcheck.model.dance import EIGHTHS, Weight
from stepcheck.model.outcome import Decision, Run
from stepcheck.walk.conditions import asked


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


class Way(NamedTuple):
    """The decisions so far, as a linked list from the last; `outer` is the way to the start of the repeat around it."""

    last: Decision | None = None
    before: "Way | None" = None
    outer: "Way | None" = None

    def taking(self, decision: Decision) -> "Way":
        """Return the way with one more decision."""
        return Way(decision, self, self.outer)

    def taking_all(self, decisions: tuple[Decision, ...]) -> "Way":
        """Return the way with more decisions."""
        way = self
        for decision in decisions:
            way = way.taking(decision)
        return way

    def own(self) -> tuple[Decision, ...]:
        """Return the decisions since the start of the repeat."""
        out: list[Decision] = []
        way: Way | None = self
        while way is not None and way.last is not None:
            out.append(way.last)
            way = way.before
        return tuple(reversed(out))

    def closed(self, again: bool) -> "Way":
        """Return the way after one time of the repeat; `again` says that it is not the first."""
        assert self.outer is not None
        decisions, last = self.own(), self.outer.last
        if again and isinstance(last, Run) and last.decisions == decisions and self.outer.before is not None:
            return Way(run_of(last.times + 1, decisions), self.outer.before, self.outer.outer)
        return self.outer.taking(run_of(1, decisions))

    def decisions(self) -> tuple[Decision, ...]:
        """Return all the decisions from the start of the dance."""
        return self.own() if self.outer is None else self.outer.taking(run_of(1, self.own())).decisions()


Dances = dict[State, Way]

_MOST_ALIKE = (
    3  # of dancers who differ by lengths or whole turns only, as many as a turn without a side has to be told from
)


def mapped(dances: Dances, change: Callable[[State], State]) -> Dances:
    """Return the dances with their states changed; of two with equal states the first stays."""
    out: Dances = {}
    for state, way in dances.items():
        out.setdefault(change(state), way)
    return out


def thinned(dances: Dances) -> Dances:
    """Return at most `_MOST_ALIKE` of the dances that differ in turn and length only.

    If a dance left out would fail a claim, so does one that is kept, with the same decisions from here.
    """
    if len(dances) <= _MOST_ALIKE:
        return dances
    count: dict[State, int] = {}
    out: Dances = {}
    for state, way in dances.items():
        alike = state._replace(turn=0, clock=0)
        number = count[alike] = count.get(alike, 0) + 1
        if number <= _MOST_ALIKE:
            out[state] = way
    return out


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
