"""The question whether anything cheaper mends a sheet, for the second engine: unsatisfiable if nothing does.

What is asked is never more than what must hold: a cut pass, laps after the third, alternatives
that call parts, and laps until the music ends ask for nothing.  So `unsat` is a
proof, and `sat` is none.  The question is put for stretches that share no line: if each of some parts needs so much of its
own, all need the sum.
"""

from collections.abc import Iterator
from math import gcd

from attrs import evolve, frozen

from stepcheck.bitwords import DEAD, Lexicon, Widths, bits
from stepcheck.levels import Levels
from stepcheck.model import EIGHTHS, Check, Claim, Test
from stepcheck.nodes import Either, Endless, Inner, Lasting, Loop, Maybe, Node, Nodes, Part, Round, Short, Slot

LAPS = 3
MOST_STEPS = 3_000


class TooLong(Exception):
    """The question would be too long to ask."""


@frozen(eq=False)
class Stretch:
    """Nodes that need changes of cost `bound` of their own; `start` is the weight of dancers there, None for any."""

    nodes: Nodes
    bound: int
    front: int
    start: int | None = None


@frozen
class State:
    """A dancer in the text: what stands for its weight, turn and clock, and the weights that it can have."""

    weight: str
    turn: str
    clock: str
    weights: frozenset[int] = frozenset(range(3))


def stretches(levels: Levels, cost: int) -> tuple[Stretch, ...]:
    """Return stretches whose bounds come to `cost`: parts that share no line where that is enough, else the whole dance."""
    levels.floors.raised(cost)
    found = [Stretch(part.nodes, bound, 0) for part, bound in levels.floors.failing()]
    if sum(stretch.bound for stretch in found) >= cost:
        return tuple(found)
    start = int(levels.sketch.program.lead.other)
    return (Stretch(levels.sketch.dance, cost, levels.sketch.program.facing, start),)


def _followed(nodes: Nodes) -> Iterator[Node]:
    """Yield the slots, checks and cut passes of nodes as often as they are followed."""
    for node in nodes:
        match node:
            case Check() | Slot() | Short():
                yield node
            case Loop():
                for _ in range(node.times or 1):
                    yield from _followed(node.nodes)
            case Endless():
                for _ in range(LAPS):
                    yield from _followed(node.nodes)
            case _:
                yield from _followed(node.nodes)


class Question:
    """The text of one question, being written."""

    def __init__(self, levels: Levels, chosen: tuple[Stretch, ...]) -> None:
        self.levels, self.offers = levels, levels.offers
        self.lines: list[str] = ["(set-logic QF_BV)"]
        several = any(row is not None and len(row) > 1 for deed in self.offers.own.values() for row in deed)
        places = range(min(2, len(levels.deeds.assignments)))
        self.tracks = tuple((place, last) for place in places for last in ((False, True) if several else (False,)))
        self.widths = self._widths(chosen)
        asked = [self._stretch(number, stretch) for number, stretch in enumerate(chosen)]
        self.lines.append(f"(assert (or false {' '.join(asked)}))")

    @property
    def text(self) -> str:
        """The question as an SMT-LIB 2 script."""
        return "\n".join([*self.lines, "(check-sat)", ""])

    def _widths(self, chosen: tuple[Stretch, ...]) -> Widths:
        """Return bits enough for all that dancers can turn and all the time they can take."""
        turns = ticks = claimed = EIGHTHS
        unit = 0
        for number, node in enumerate(node for stretch in chosen for node in _followed(stretch.nodes)):
            if number > MOST_STEPS:
                raise TooLong
            if isinstance(node, Slot):
                variants = self.offers.variants(node.key)
                deeds = (self.offers.own[node], *(self.offers.deed(node, variant) for variant in variants))
                ways = [way for deed in deeds for row in deed for way in row or ()]
                turns += max((abs(way.turn) for way in ways), default=0)
                ticks += max((way.ticks for way in ways), default=0)
                unit = gcd(unit, *(way.ticks for way in ways))
            elif isinstance(node, Short):
                turns, ticks, unit = turns + EIGHTHS, ticks + node.ticks, gcd(unit, node.ticks)
            elif isinstance(node, Check):
                claimed = max(claimed, abs(node.value or 0))
                unit = gcd(unit, node.value or 0) if node.test is Test.CLOCK else unit
        unit = unit or 1
        costs = sum(stretch.bound for stretch in chosen) + max(self.levels.prices.values(), default=0)
        # A sum of costs has as many summands as there are lines, so it stops where it is more than is asked for.
        return Widths(max(turns, claimed).bit_length() + 2, (max(ticks, claimed) // unit).bit_length() + 1, costs.bit_length() + 1, unit)

    # -- stretches ---------------------------------------------------------------------------------------------------

    def _stretch(self, number: int, stretch: Stretch) -> str:
        """Write one stretch down and return the name of what says that it is mended for less than its bound."""
        self.words = Lexicon(self.offers, self.widths, stretch.bound - 1, self.lines, len(self.tracks) > 1)
        self.most, self.front = stretch.bound - 1, stretch.front
        self.holds: list[str] = []
        self.restated: dict[str, str] = {}
        for self.place, self.last in self.tracks:
            self.laps: list[str] = []
            start = bits(stretch.start or 0, 2)
            state = State(start, bits(0, self.widths.turn), bits(0, self.widths.ticks), frozenset({stretch.start or 0}))
            if stretch.start is None:
                weight = self._constant("w", 2)
                self.holds.append(f"(bvult {weight} {bits(DEAD, 2)})")
                state = evolve(state, weight=weight, weights=frozenset(range(3)))
            self._go(stretch.nodes, state)
            if stretch.start is not None:
                self._walls()
        self._cost()
        name = f"mended_{number}"
        self.lines.append(f"(define-fun {name} () Bool (and true {' '.join(self.holds)}))")
        return name

    def _cost(self) -> None:
        """Have the changes cost no more than is asked for, summand by summand, so that no sum runs over."""
        width, limit = self.widths.cost, bits(self.most, self.widths.cost)
        total = ""
        for cost in self.words.costs:
            total = self._defined("k", width, f"(bvadd {total} {cost})") if total else cost
            self.holds.append(f"(bvule {total} {limit})")

    def _constant(self, stem: str, width: int) -> str:
        name = f"{stem}_{len(self.lines)}"
        self.lines.append(f"(declare-const {name} (_ BitVec {width}))")
        return name

    def _defined(self, stem: str, width: int, term: str) -> str:
        name = f"{stem}_{len(self.lines)}"
        self.lines.append(f"(define-fun {name} () (_ BitVec {width}) {term})")
        return name

    def _sum(self, one: str, other: str, width: int) -> str:
        zero = bits(0, width)
        if zero in (one, other):
            return other if one == zero else one
        return self._defined("s", width, f"(bvadd {one} {other})")

    def _after(self, state: State, inner: State) -> State:
        """Return a dancer after a stretch with a turn and a clock of its own."""
        turn = self._sum(state.turn, inner.turn, self.widths.turn)
        return evolve(inner, turn=turn, clock=self._sum(state.clock, inner.clock, self.widths.ticks))

    def _go(self, nodes: Nodes, state: State) -> State:
        for node in nodes:
            state = self._node(node, state)
        return state

    def _node(self, node: Node, state: State) -> State:
        nothing = {"turn": bits(0, self.widths.turn), "clock": bits(0, self.widths.ticks)}
        match node:
            case Slot():
                return self._slot(node, state)
            case Check():
                return self._check(node, state)
            case Loop(times=None):
                raise TooLong
            case Loop():
                for _ in range(node.times or 1):
                    state = self._go(node.nodes, state)
                return state
            case Inner():
                inner = self._go(node.nodes, evolve(state, clock=nothing["clock"]))
                return evolve(inner, clock=self._sum(state.clock, inner.clock, self.widths.ticks))
            case Part():
                front, self.front = self.front, 0
                inner = self._go(node.nodes, evolve(state, **nothing))
                self.front = front
                self.laps += [inner.turn] if node.lap else []
                return self._after(state, inner)
            case Short():
                weight, turn = self._constant("w", 2), self._constant("t", self.widths.turn)
                eighths = bits(EIGHTHS, self.widths.turn)
                self.holds += [f"(bvult {weight} {bits(DEAD, 2)})", f"(bvult {turn} {eighths})"]
                return self._after(state, State(weight, turn, bits(node.ticks // self.widths.unit, self.widths.ticks)))
            case Either() | Lasting():
                weight, turn = self._constant("w", 2), self._constant("t", self.widths.turn)
                self.holds.append(f"(bvult {weight} {bits(DEAD, 2)})")
                clock = self._constant("c", self.widths.ticks)
                if isinstance(node, Lasting):
                    clock = bits(node.ticks // self.widths.unit, self.widths.ticks)
                return State(weight, turn, clock)
            case Endless():
                for _ in range(LAPS):
                    state = self._go(node.nodes, evolve(state, clock=nothing["clock"]))
                return state
            case Maybe():
                self._go(node.nodes, state)
                return state
            case Round():
                after = self._go(node.nodes, state)
                self.laps.append(f"(bvsub {after.turn} {state.turn})")
                return after

    def _slot(self, slot: Slot, state: State) -> State:
        word = self.words.word(slot, self.place, self.last)
        weight, turn, clock = (self._chosen(state, fields) for fields in word.fields)
        ends = frozenset().union(*(word.ends[before] for before in state.weights))
        if not weight.startswith("#b"):
            weight = self._defined("w", 2, weight)
        if weight == bits(DEAD, 2):
            self.holds.append("false")
        elif not weight.startswith("#b"):
            self.holds.append(f"(not (= {weight} {bits(DEAD, 2)}))")
        return self._after(state, State(weight, turn, clock, ends or frozenset({0})))

    def _chosen(self, state: State, fields: tuple[str, ...]) -> str:
        """Return the field for the weight that a dancer has."""
        *weights, last = sorted(state.weights)
        term = fields[last]
        for weight in reversed(weights):
            if fields[weight] != term:
                term = f"(ite (= {state.weight} {bits(weight, 2)}) {fields[weight]} {term})"
        return term

    # -- claims ------------------------------------------------------------------------------------------------------

    def _walls(self) -> None:
        """Have the laps turn alike, and come home after as many as the sheet has walls."""
        walls = self.levels.sketch.program.walls
        if walls is None or not self.laps:
            return
        turns = [turn for turn in range(EIGHTHS) if EIGHTHS // gcd(turn, EIGHTHS) == walls.count]
        alike = (
            f"(and {' '.join(f'(= ((_ extract 2 0) {lap}) {bits(turn, 3)})' for lap in self.laps)})" for turn in turns
        )  # fmt: skip
        self.holds.append(f"(or {' '.join(alike)} {self._changed(walls.claim) or 'false'})")

    def _check(self, check: Check, state: State) -> State:
        if check.value is None and check.test is Test.LEAD:
            raise TooLong
        value = check.value or 0
        match check.test:
            case Test.LEAD:
                holds = f"(not (= {state.weight} {bits(value, 2)}))"
            case Test.FOOT:
                holds = f"(= {state.weight} {bits(1 - value, 2)})"
            case Test.BOTH:
                holds = f"(= {state.weight} {bits(2, 2)})"
            case Test.FACING:
                holds = f"(= ((_ extract 2 0) {state.turn}) {bits(value - self.front, 3)})"
            case Test.CLOCK:
                holds = f"(= {state.clock} {bits(value // self.widths.unit, self.widths.ticks)})"
            case Test.TURN:
                holds = f"(= {state.turn} {bits(value, self.widths.turn)})"
            case Test.EITHER:
                one, other = bits(value, self.widths.turn), bits(-value, self.widths.turn)
                holds = f"(or (= {state.turn} {one}) (= {state.turn} {other}))"
        restated = self._changed(check.claim)
        self.holds.append(f"(or {holds} {restated})" if restated else holds)
        if check.test is not Test.LEAD:
            return state
        led = bits(1 - value, 2)
        if restated:
            led = f"(ite {restated} {bits(value, 2)} {led})"
        if 2 in state.weights:
            weight = led if len(state.weights) == 1 else f"(ite (= {state.weight} #b10) {led} {state.weight})"
            return evolve(state, weight=self._defined("w", 2, weight), weights=frozenset({0, 1} if restated else {1 - value}))
        return state if restated else evolve(state, weights=frozenset({1 - value}))

    def _changed(self, claim: Claim) -> str:
        """Return the name of what says that a claim is changed; empty if it cannot be for so little."""
        kind = self.levels.restating.kinds.get(claim.id)
        cost = self.levels.prices[kind] if kind else 0
        if not kind or cost > self.most:
            return ""
        if claim.id not in self.restated:
            name = self.restated[claim.id] = f"r_{len(self.lines)}"
            self.lines.append(f"(declare-const {name} Bool)")
            self.words.costs.append(f"(ite {name} {bits(cost, self.widths.cost)} {bits(0, self.widths.cost)})")
        return self.restated[claim.id]
