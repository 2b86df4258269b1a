"""The question whether anything cheaper mends a sheet, for the second engine: unsatisfiable if nothing does.

Each line has one word of bits that says what it does to a dancer from each weight, how far it turns and how long it lasts,
and what it costs; the word is one of those that the line's changes come to.  What is asked is never more than what must
hold: a cut pass, and laps after the third, ask for nothing.  So `unsat` is a proof, and `sat` is none.

The question is put for stretches that share no line: if each of some parts needs so much of its own, all need the sum.
"""

from collections.abc import Iterator
from math import gcd

from attrs import frozen

from stepcheck.deeds import Deed
from stepcheck.levels import Levels
from stepcheck.model import EIGHTHS, Check, Claim, Test
from stepcheck.slots import Endless, Inner, Loop, Maybe, Node, Nodes, Part, Round, Short, Slot

LAPS = 3
MOST_STEPS = 3_000
DEAD = 3


class TooLong(Exception):
    """The question would be too long to ask."""


@frozen(eq=False)
class Stretch:
    """Nodes that need changes of cost `bound` of their own; `code` is where dancers start, None for anywhere."""

    nodes: Nodes
    bound: int
    front: int
    code: int | None = None


@frozen
class State:
    """A dancer in the text: the names of its weight, turn and clock."""

    weight: str
    turn: str
    clock: str


def bits(value: int, width: int) -> str:
    """Return a number as bits, two's complement if it is negative."""
    return f"#b{value & ((1 << width) - 1):0{width}b}"


def stretches(levels: Levels, cost: int) -> tuple[Stretch, ...]:
    """Return stretches whose bounds come to `cost`: parts that share no line where that is enough, else the whole dance."""
    found = [Stretch(part.nodes, levels.bound_of(part, cost), 0) for part, _ in levels.failing()]
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
                for _ in range(node.times):
                    yield from _followed(node.nodes)
            case Endless():
                for _ in range(LAPS):
                    yield from _followed(node.nodes)
            case _:
                yield from _followed(node.nodes)


class Question:
    """The text of one question, being written."""

    def __init__(self, levels: Levels, chosen: tuple[Stretch, ...]) -> None:
        self.levels, self.offers, self.deeds = levels, levels.offers, levels.deeds
        self.lines: list[str] = ["(set-logic QF_BV)"]
        self.steps = 0
        self.words: dict[object, tuple[str, int]] = {}
        self.first: dict[object, str] = {}
        self.restated: dict[tuple[int, str], str] = {}
        self.costs: dict[int, list[str]] = {}
        tracks = self._tracks()
        self.several = len(tracks) > 1
        turns, ticks = self._largest(chosen)
        self.turn_bits, self.tick_bits = turns.bit_length() + 2, ticks.bit_length() + 1
        self.cost_bits = max(8, (sum(stretch.bound for stretch in chosen) + 1).bit_length() + 4)
        asked = [self._stretch(number, stretch, tracks) for number, stretch in enumerate(chosen)]
        self.lines.append(f"(assert (or {' '.join(asked)} false))")

    @property
    def text(self) -> str:
        """The question as an SMT-LIB 2 script."""
        return "\n".join([*self.lines, "(check-sat)", ""])

    def _tracks(self) -> tuple[tuple[int, bool], ...]:
        """Return the dancers that are followed: for some readings the one who takes the first way, and the last."""
        several = any(row is not None and len(row) > 1 for deed in self.offers.own.values() for row in deed)
        places = range(min(2, len(self.deeds.assignments)))
        return tuple((place, last) for place in places for last in ((False, True) if several else (False,)))

    def _largest(self, chosen: tuple[Stretch, ...]) -> tuple[int, int]:
        """Return how far dancers can turn and how long they can take at most."""
        turns = ticks = claimed = EIGHTHS
        for stretch in chosen:
            for node in _followed(stretch.nodes):
                self.steps += 1
                if self.steps > MOST_STEPS:
                    raise TooLong
                if isinstance(node, Slot):
                    variants = self.offers.variants(node.key)
                    deeds = (self.offers.own[node], *(self.offers.deed(node, variant) for variant in variants))
                    ways = [way for deed in deeds for row in deed for way in row or ()]
                    turns += max((abs(way.turn) for way in ways), default=0)
                    ticks += max((way.ticks for way in ways), default=0)
                elif isinstance(node, Short):
                    turns, ticks = turns + EIGHTHS, ticks + node.ticks
                elif isinstance(node, Check):
                    claimed = max(claimed, abs(node.value or 0))
        return max(turns, claimed), max(ticks, claimed)

    # -- stretches ---------------------------------------------------------------------------------------------------

    def _stretch(self, number: int, stretch: Stretch, tracks: tuple[tuple[int, bool], ...]) -> str:
        """Write one stretch down and return the name of what says that it is mended for less than its bound."""
        self.number, self.most, self.holds = number, stretch.bound - 1, []
        self.costs[number] = []
        for place, last in tracks:
            self.place, self.last, self.front = place, last, stretch.front
            weight = self._constant("w", 2)
            if stretch.code is None:
                self.holds.append(f"(bvult {weight} {bits(DEAD, 2)})")
            else:
                self.holds.append(f"(= {weight} {bits(stretch.code, 2)})")
            self.laps: list[str] = []
            self._go(stretch.nodes, State(weight, bits(0, self.turn_bits), bits(0, self.tick_bits)))
            if stretch.code is not None:
                self._walls()
        cost = bits(0, self.cost_bits)
        for one in self.costs[number]:
            cost = f"(bvadd {cost} {one})"
        self.holds.append(f"(bvule {cost} {bits(self.most, self.cost_bits)})")
        name = f"mended_{number}"
        self.lines.append(f"(define-fun {name} () Bool (and {' '.join(self.holds)}))")
        return name

    def _constant(self, stem: str, width: int) -> str:
        name = f"{stem}_{len(self.lines)}"
        self.lines.append(f"(declare-const {name} (_ BitVec {width}))")
        return name

    def _defined(self, stem: str, width: int, term: str) -> str:
        name = f"{stem}_{len(self.lines)}"
        self.lines.append(f"(define-fun {name} () (_ BitVec {width}) {term})")
        return name

    def _go(self, nodes: Nodes, state: State) -> State:
        for node in nodes:
            state = self._node(node, state)
        return state

    def _node(self, node: Node, state: State) -> State:
        zero_turn, zero_clock = bits(0, self.turn_bits), bits(0, self.tick_bits)
        match node:
            case Slot():
                return self._slot(node, state)
            case Check():
                return self._check(node, state)
            case Loop():
                for _ in range(node.times):
                    state = self._go(node.nodes, state)
                return state
            case Inner():
                inner = self._go(node.nodes, State(state.weight, state.turn, zero_clock))
                return State(inner.weight, inner.turn, self._sum(state.clock, inner.clock, self.tick_bits))
            case Part():
                front, self.front = self.front, 0
                inner = self._go(node.nodes, State(state.weight, zero_turn, zero_clock))
                self.front = front
                self.laps += [inner.turn] if node.lap else []
                turn = self._sum(state.turn, inner.turn, self.turn_bits)
                return State(inner.weight, turn, self._sum(state.clock, inner.clock, self.tick_bits))
            case Short():
                weight = self._constant("w", 2)
                clock = self._sum(state.clock, bits(node.ticks, self.tick_bits), self.tick_bits)
                # A free turn is bounded so that later sums cannot run over.
                turn = self._constant("t", self.turn_bits)
                self.holds += [f"(bvult {weight} {bits(DEAD, 2)})", f"(bvult {turn} {bits(EIGHTHS, self.turn_bits)})"]
                return State(weight, turn, clock)
            case Endless():
                for _ in range(LAPS):
                    state = self._go(node.nodes, State(state.weight, state.turn, zero_clock))
                return state
            case Maybe():
                self._go(node.nodes, state)
                return state
            case Round():
                after = self._go(node.nodes, state)
                self.laps.append(f"(bvsub {after.turn} {state.turn})")
                return after

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

    def _sum(self, one: str, other: str, width: int) -> str:
        zero = bits(0, width)
        if one == zero:
            return other
        return self._defined("s", width, f"(bvadd {one} {other})")

    # -- rows --------------------------------------------------------------------------------------------------------

    def _word(self, slot: Slot) -> tuple[str, int]:
        """Return the name, and the bits at its end that name the change, of the word of bits that says what a line does, in one of its slots, and what that costs."""
        index = 0 if slot.point else self.offers.index.get(slot, 0)
        where = (self.number, slot.key, index, self.place, self.last)
        if where not in self.words:
            variants = [one for one in self.offers.variants(slot.key) if one.cost <= self.most]
            rows = [(0, 0, self.offers.own[slot])]
            rows += ((one.cost, place, self.offers.deed(slot, one)) for place, one in enumerate(variants, 1))
            # Only a line with several words needs to say which change each of them stands for.
            tied = self.several or len(self.offers.slots.get(slot.key, ())) > 1
            width = len(rows).bit_length() if tied and not slot.point or self.several else 0
            made = dict.fromkeys(
                self._bits(deed) + (f"{place:0{width}b}" if width else "") + f"{cost:0{self.cost_bits}b}"
                for cost, place, deed in rows
            )
            name = self._constant("x", len(next(iter(made))))
            self.lines.append(f"(assert (or {' '.join(f'(= {name} #b{one})' for one in made)} false))")
            tail = f"((_ extract {self.cost_bits + width - 1} 0) {name})"
            first = self.first.setdefault((self.number, slot.key), tail)
            if first is tail:
                self.costs[self.number].append(f"((_ extract {self.cost_bits - 1} 0) {name})")
            else:
                self.lines.append(f"(assert (= {tail} {first}))")
            self.words[where] = name, width
        return self.words[where]

    def _bits(self, deed: Deed) -> str:
        """Return what a deed does from each weight, as bits: weights, turns, ticks."""
        weights = turns = ticks = ""
        for weight in range(3):
            ways = deed[3 * self.place + weight]
            way = None if not ways else ways[-1 if self.last else 0]
            weights += f"{DEAD if way is None else way.weight:02b}"
            turns += bits(0 if way is None else way.turn, self.turn_bits)[2:]
            ticks += bits(0 if way is None else way.ticks, self.tick_bits)[2:]
        return weights + turns + ticks

    def _slot(self, slot: Slot, state: State) -> State:
        word, tail = self._word(slot)
        high = 6 + 3 * self.turn_bits + 3 * self.tick_bits + self.cost_bits + tail
        fields = []
        for width in (2, self.turn_bits, self.tick_bits):
            some = []
            for _ in range(3):
                some.append(f"((_ extract {high - 1} {high - width}) {word})")
                high -= width
            left, right, both = some
            fields.append(f"(ite (= {state.weight} #b00) {left} (ite (= {state.weight} #b01) {right} {both}))")
        weight = self._defined("w", 2, fields[0])
        turn = self._defined("t", self.turn_bits, f"(bvadd {state.turn} {fields[1]})")
        clock = self._defined("c", self.tick_bits, f"(bvadd {state.clock} {fields[2]})")
        self.holds.append(f"(not (= {weight} {bits(DEAD, 2)}))")
        return State(weight, turn, clock)

    # -- claims ------------------------------------------------------------------------------------------------------

    def _check(self, check: Check, state: State) -> State:
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
                holds = f"(= {state.clock} {bits(value, self.tick_bits)})"
            case Test.TURN:
                holds = f"(= {state.turn} {bits(value, self.turn_bits)})"
            case _:
                one, other = bits(value, self.turn_bits), bits(-value, self.turn_bits)
                holds = f"(or (= {state.turn} {one}) (= {state.turn} {other}))"
        restated = self._changed(check.claim)
        self.holds.append(f"(or {holds} {restated})" if restated else holds)
        if check.test is not Test.LEAD:
            return state
        led = bits(1 - value, 2)
        if restated:
            led = f"(ite {restated} {bits(value, 2)} {led})"
        weight = self._defined("w", 2, f"(ite (= {state.weight} #b10) {led} {state.weight})")
        return State(weight, state.turn, state.clock)

    def _changed(self, claim: Claim) -> str:
        """Return the name of what says that a claim is changed; empty if it cannot be for so little."""
        kind = self.levels.restating.kinds.get(claim.id)
        cost = self.levels.prices[kind] if kind else 0
        if not kind or cost > self.most:
            return ""
        where = (self.number, claim.id)
        if where not in self.restated:
            name = self.restated[where] = f"r_{len(self.lines)}"
            self.lines.append(f"(declare-const {name} Bool)")
            price, nothing = bits(cost, self.cost_bits), bits(0, self.cost_bits)
            self.costs[self.number].append(f"(ite {name} {price} {nothing})")
        return self.restated[where]
