"""The points at which claims are compared, as SMT-LIB 2 text."""

from collections.abc import Mapping
from typing import TypeAlias

from attrs import define, field, frozen

from stepcheck.model.dance import EIGHTHS, Body, Check, Test
from stepcheck.proof.question import AskLead, Asks, At, Point, Sides
from stepcheck.proof.survey import leaning
from stepcheck.proof.terms import State, Text, bits, choose, conj, disj, negate

Known: TypeAlias = Mapping[str, int]


@frozen
class Frame:
    """What facings and turns are measured from: the facing at its start, and the body danced in it."""

    start: int
    body: Body


@define
class Ledger:
    """The points so far.

    Numbers that the text has added up already, lengths and written turns, are compared here where it is asked only once;
    a text that is read has the comparison written out.

    `known` holds what earlier questions settled: "fails N" that point N, of open states, fails for all of them; "side
    N" to which side all dances turn at point N (1 right, -1 left, 0 not alike, 2 as the readings say).  `mending` are
    the claims that are mended where they fail (None: all).  While `quiet`, no claim is compared; all go on as if they
    held. `lap` is the lap of a body without end.
    """

    text: Text
    known: Known
    mending: frozenset[str] | None
    points: list[Point] = field(factory=list)
    sides: list[Sides] = field(factory=list)
    quiet: bool = False
    lap: int = 0

    def filters(self, state: State) -> bool:
        """Whether only those states go on for which the next point holds."""
        return state.open and not self.known.get(f"fails {len(self.points)}")

    def point(self, claim: str, state: State, holds: str) -> tuple[State, Asks]:
        """Make a point where `claim` holds if `holds` does; of open states those go on for which it held."""
        text, number = self.text, len(self.points)
        if not state.open and not self.quiet:  # nearly always
            fails = negate(holds)
            fails = text.condition(fails if state.guard == "true" else conj(state.guard, fails))
            self.points.append(Point(number, claim, fails, "", False, state.maybe, self.lap))
            return state, (At(number),)
        after, filters = state, self.filters(state)
        if filters or state.open:
            holds = text.define("Bool", holds)
        if filters:
            after = state._replace(guard=text.define("Bool", conj(state.guard, holds)))
        if self.quiet:
            return after, ()
        fails = text.condition(conj(state.guard, negate(holds)))
        holding = text.see(0, conj(state.guard, holds)) if state.open else ""
        self.points.append(Point(number, claim, fails, holding, state.open, state.maybe, self.lap))
        return after, (At(number),)

    def check(self, check: Check, state: State, frame: Frame) -> tuple[State, Asks]:
        """Compare a state with a check's value and go on as if they agreed."""
        text, value, claim = self.text, check.value or 0, check.claim.id
        match check.test:
            case Test.CLOCK:
                if text.once and state.clock == (value, ()):
                    return self.point(claim, state, "true")
                after, asks = self.point(claim, state, f"(= {text.clock(state.clock)} {text.clock((value, ()))})")
                return after._replace(clock=(value, ())), asks
            case Test.TURN:
                if text.once and state.loose == "false" and not state.turn and state.more == value:
                    return self.point(claim, state, "true")
                after, asks = self.point(claim, state, text.turned(state, value))
                return after._replace(turn="", more=value, loose="false"), asks
            case Test.EITHER:
                return self.either(check, state, frame)
            case Test.FACING:
                return self.facing(check, state, (value - frame.start) % EIGHTHS)
        weight = text.brief("W", state.weight)
        if weight is not state.weight:
            state = state._replace(weight=weight)
        if check.test is Test.LEAD and check.value is None:
            return self.blank_lead(check, state)
        weight = bits(2 if check.test is Test.BOTH else 1 - value, 2)
        can_lead = negate(f"(= {state.weight} {bits(value, 2)})")
        holds = can_lead if check.test is Test.LEAD else f"(= {state.weight} {weight})"
        after, asks = self.point(claim, state, holds)
        return after._replace(weight=weight, both=check.test is Test.BOTH), asks

    def blank_lead(self, check: Check, state: State) -> tuple[State, Asks]:
        """Lead with a foot that is to be found: either."""
        text = self.text
        foot = text.ask("l", 1)
        fits = negate(f"(= {state.weight} (concat #b0 {foot}))")
        opened = state._replace(open=True)
        _, asks = self.point(check.claim.id, opened, fits)
        lead = AskLead(foot, text.see(0, state.guard))
        return opened._replace(weight=f"(concat #b0 (bvnot {foot}))", both=False), (lead, *asks)

    def facing(self, check: Check, state: State, change: int) -> tuple[State, Asks]:
        """Compare the facing; where it is wrong it is set, and the turn is loose."""
        text, claim = self.text, check.claim.id
        if text.once and not state.turn and (state.more - change) % EIGHTHS == 0:
            return self.point(claim, state, "true")
        holds = text.define("Bool", text.faces(state, change))
        unmended = self.filters(state) or not (self.mending is None or claim in self.mending)
        after, asks = self.point(claim, state, holds)
        if unmended:
            return after, asks
        turn = text.define("T", choose(holds, text.turn(state), bits(change, text.turn_width)))
        return after._replace(turn=turn, more=0, loose=text.define("Bool", disj(state.loose, negate(holds)))), asks

    def either(self, check: Check, state: State, frame: Frame) -> tuple[State, Asks]:
        """Compare a turn without a side: all dances turn alike, and so far."""
        text, size, number = self.text, check.value or 0, len(self.points)
        state = state._replace(turn=text.define("T", text.turn(state)), more=0)
        filters = self.filters(state)
        right, left = text.turned(state, size), text.turned(state, -size)
        after, asks = self.point(check.claim.id, state, disj(right, left))
        either_way = filters or self.quiet or self.known.get(f"side {number}") == 2
        if either_way:
            leftward = conj(text.faces(state, -size), negate(text.faces(state, size)))
            either = choose(leftward, bits(-size, text.turn_width), bits(size, text.turn_width))
            after = after._replace(turn=text.define("T", either), more=0, loose="false")
        if self.quiet or self.known.get(f"fails {number}"):
            return (after if either_way else after._replace(turn="", more=size, loose="false")), asks
        key, guard = f"side {number}", state.guard
        fails = [text.see(0, conj(guard, negate(one))) for one in (right, left)]
        wholes = [text.see(0, conj(guard, negate(text.faces(state, turn)))) for turn in (size, -size)]
        loose = text.see(0, conj(guard, state.loose))
        comes = text.see(0, guard)
        side = self.known.get(key, -1 if leaning(frame.body) < 0 else 1)
        self.sides.append(Sides(key, number, fails[0], fails[1], (wholes[0], wholes[1]), loose, comes, side))
        if either_way:
            return after, asks
        return after._replace(turn="", more=-size if side < 0 else size, loose="false"), asks
