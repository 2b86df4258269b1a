"""The values of a replay: the dancer, the meaning of each check, the decisions, and the ways in which it can stop."""

from collections import deque
from typing import TypeVar

from attrs import evolve, field, frozen

from stepcheck.model.claims import Check, Condition, Test
from stepcheck.model.dance import EIGHTHS, Weight
from stepcheck.model.outcome import Decision, Replay

_Kind = TypeVar("_Kind", bound=Decision)


class Rejected(Exception):
    """A trace is not a dance of this program, or the claim does not fail in it."""


class Ended(Exception):
    """The dance ends here, in this state."""

    def __init__(self, state: "State") -> None:
        self.state = state


class Begun(Exception):
    """A lap begins here, as the trace says."""


class Stopped(Exception):
    """The claim fails here."""

    def __init__(self, replay: Replay) -> None:
        self.replay = replay


@frozen
class State:
    """One dancer in the room: `front`, `turned` and `since` are the facing, turn and clock at the start of the
    frame."""

    weight: Weight
    facing: int
    turn: int = 0
    loose: bool = False
    clock: int = 0
    front: int = 0
    turned: int = 0
    since: int = 0


@frozen
class Decisions:
    """Decisions still to be taken, as a queue that its owner replaces."""

    left: deque[Decision] = field(factory=deque)

    def take(self, kind: type[_Kind]) -> _Kind:
        """Return the next decision, which has to be of this kind."""
        first = self.left[0] if self.left else None
        if not isinstance(first, kind):
            raise Rejected(f"a {kind.__name__} is needed, but {first or 'nothing'} comes")
        self.left.popleft()
        return first


def asked(check: Check) -> Condition:
    """Return what a check asks, as the judge reads `specs/meaning.md`: the free foot is the one without the weight."""
    if check.test is Test.BOTH:
        return Condition((Weight.BOTH,), Weight.BOTH)
    value, leads = check.number, check.test is Test.LEAD
    match check.test:
        case Test.LEAD | Test.FOOT:
            free = tuple(on for on in Weight if on != value and (leads or on is not Weight.BOTH))
            return Condition(free, Weight(1 - value), settles=leads)
        case Test.EITHER:
            return Condition(tuple(side for side in (value, -value) if side % 4 == 0), value)
        case Test.TURN | Test.FACING | Test.CLOCK:
            return Condition((value,), value, settles=check.test is Test.TURN)


def fits(check: Check, state: State, framed: bool) -> bool:
    """Say whether a check holds for the dancer; `framed` says that she is inside a pass."""
    holds = asked(check).holds
    if state.loose and check.test.about == "turn":
        return any((state.facing - state.front - turn) % EIGHTHS == 0 for turn in holds)
    return found(check, state, framed) in holds


def found(check: Check, state: State, framed: bool) -> int:
    """Return the property of the dancer that a check compares with its value."""
    match check.test.about:
        case "weight":
            return state.weight
        case "facing":
            return (state.facing - state.front) % EIGHTHS if framed else state.facing
        case "clock":
            return state.clock - state.since
        case _:
            return state.turn - state.turned


def taken(check: Check, state: State, framed: bool) -> State:
    """Return the dancer as if a check had held."""
    goal = asked(check)
    if fits(check, state, framed) and not goal.settles:
        return state
    match check.test.about:
        case "weight":
            return evolve(state, weight=Weight(goal.then))
        case "facing":
            more = goal.then - found(check, state, framed)
            return evolve(state, facing=(state.facing + more) % EIGHTHS, loose=True)
        case "clock":
            return evolve(state, clock=state.since + goal.then)
        case _:
            facing = (state.front + goal.then) % EIGHTHS
            return evolve(state, facing=facing, turn=state.turned + goal.then, loose=False)
