"""The question whether anything cheaper mends a sheet, for the second engine: unsatisfiable if nothing does.

It states lines, not dances: the effect of each line as it is and after each of its changes, and each claim.  A solver
chooses the changes, adds up turns, times and costs, and finds that some claim always fails.  The question asks for less
than the sheet: a cut pass, laps after the third, alternatives that call parts, and laps until the music ends ask for
nothing.  So `unsat` is a proof, and `sat` is none.

Three things are taken over from the first engine, and shared with it: which nodes a dance is made of (`slots`), what a
change makes of its line (`changes`), and that the question is put for stretches that share no line, each with a bound:
if each of some parts needs so much of its own, all need the sum, and each of these bounds is asked for.  How dancers
get through a stretch, and that nothing cheaper lets them, is not.  Written down already added up is what lines do as
they are, and left out are changes that cannot be danced from any foot that comes to their line, and those that differ
in nothing that a claim of the stretch asks.
"""

from collections.abc import Iterator, Sequence
from math import gcd

from attrs import evolve, frozen

from stepcheck.fixes.bitwords import Lexicon, Script, Span, Sum, Widths, affordable, bits, span
from stepcheck.fixes.search import Search
from stepcheck.fixes.slots import Node, Nodes, Outline, Slot
from stepcheck.model.dance import EIGHTHS, Check, Choice, Claim, Forever, Lap, Last, Pass, Repeat, Test, Timed, Weight
from stepcheck.program.laid import Uncut

LAPS = 3
MOST_STEPS = 3_000

ZERO = Sum("", 0)
TRUE = "true"


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
    """A dancer in the text: the terms for weight, turn and clock, and the weights that are possible."""

    weight: int | str
    turn: Sum
    clock: Sum
    weights: frozenset[int]


def stretches(levels: Search, cost: int) -> tuple[Stretch, ...]:
    """Return stretches whose bounds come to `cost`: parts that share no line where that is enough, else the whole
    dance."""
    levels.bounds.raised(cost)
    found = [Stretch(levels.sketch.nodes(part.body), bound, 0) for part, bound in levels.bounds.failing()]
    if sum(stretch.bound for stretch in found) >= cost:
        return tuple(found)
    start = int(levels.sketch.program.lead.other)
    return (Stretch(levels.sketch.dance, cost, levels.sketch.program.facing, start),)


def _followed(sketch: Outline, nodes: Nodes) -> Iterator[Node]:
    """Yield the slots, checks and cut passes of nodes as often as they are followed."""
    for node in nodes:
        if isinstance(node, Check | Slot) or (isinstance(node, Uncut) and node.music is None):
            yield node
        times = (node.times or 1) if isinstance(node, Repeat) else LAPS if isinstance(node, Forever) else 1
        for inner in () if isinstance(node, Uncut) and node.music is None else sketch.inside(node):
            for _ in range(times):
                yield from _followed(sketch, inner)


class Question:
    """One question about some stretches: that one of them is mended for less than its bound."""

    def __init__(self, levels: Search, chosen: tuple[Stretch, ...]) -> None:
        self.asked = [
            _Account(levels, stretch, f"p{number}" if len(chosen) > 1 else "") for number, stretch in enumerate(chosen)
        ]

    @property
    def text(self) -> str:
        """The question as an SMT-LIB 2 script."""
        lines = [line for one in self.asked for line in one.lines]
        ends = [" ".join(one.holds) for one in self.asked]
        if len(ends) == 1:
            lines += [f"(assert {term})" for term in self.asked[0].holds]
        else:
            lines.append(f"(assert (or false {' '.join(f'(and true {term})' for term in ends)}))")
        return "\n".join(["(set-logic QF_BV)", *lines, "(check-sat)", ""])


class _Account:
    """One stretch written down: `lines` state its dances, and `holds` are true if it is mended for less than its
    bound."""

    def __init__(self, levels: Search, stretch: Stretch, prefix: str) -> None:
        self.levels, self.most, self.front = levels, stretch.bound - 1, stretch.front
        self._nodes = levels.sketch.nodes
        self.widths = self._widths(stretch.nodes)
        self.script = Script(prefix)
        self.words = Lexicon(levels.offers, self.most, self.widths, prefix)
        self.restated: dict[str, tuple[int, str]] = {}
        # Two dancers, of whom one takes the first and the other the last of several ways, have two readings if there
        # are more.
        for self.place in range(min(2, len(levels.deeds.assignments))):
            self.forked = False
            self._track(stretch, False)
            if self.forked:
                self._track(stretch, True)
        words = self.words.words.values()
        flags = [[(cost, f"(= {flag} #b1)") for cost, flag in word.flags] for word in words]
        self.script.spend([*filter(None, flags), *([one] for one in self.restated.values())], self.most)
        self.holds = tuple(dict.fromkeys(term for term in self.script.holds if term != TRUE))
        used = self.script.used()
        self.lines = (*(line for word in words for line in word.written(used)), *self.script.needed())

    def _track(self, stretch: Stretch, last: bool) -> None:
        """Follow one dancer."""
        self.last = last
        self.laps: list[Sum] = []
        self.known: dict[tuple[int, State], State] = {}
        if stretch.start is None:
            self._through(stretch.nodes, State(self.script.weight(), ZERO, ZERO, frozenset(map(int, Weight))))
        else:
            self._through(stretch.nodes, State(stretch.start, ZERO, ZERO, frozenset({stretch.start})))
            self._walls()

    def _widths(self, nodes: Nodes) -> Widths:
        """Return bits enough for all that dancers can turn, and all the time they can take, after changes for so
        little."""
        turns = claimed = EIGHTHS
        ticks = due = unit = 0
        spans: dict[object, Span] = {}
        more: dict[object, tuple[int, int]] = {}
        for number, node in enumerate(_followed(self.levels.sketch, nodes)):
            if number > MOST_STEPS:
                raise TooLong
            if isinstance(node, Slot):
                own, changed = self._spans(node, spans)
                turns, ticks, unit = turns + own.turn, ticks + own.ticks, gcd(unit, own.unit, changed.unit)
                turn, long = more.get(node.key, (0, 0))
                more[node.key] = turn + max(changed.turn - own.turn, 0), long + max(changed.ticks - own.ticks, 0)
            elif isinstance(node, Uncut):
                turns, ticks, unit = turns + EIGHTHS, ticks + node.ticks, gcd(unit, node.ticks)
            elif isinstance(node, Check):
                claimed = max(claimed, abs(node.value or 0))
                if node.test is Test.CLOCK:
                    due, unit = max(due, node.value or 0), gcd(unit, node.value or 0)
        # No more lines than the cost allows are changed, so only the greatest changes count.
        number, unit = self.most // self.levels.least, unit or 1
        turns += sum(sorted((turn for turn, _ in more.values()), reverse=True)[:number])
        ticks += sum(sorted((long for _, long in more.values()), reverse=True)[:number])
        return Widths(max(turns, claimed).bit_length() + 1, (max(ticks, due) // unit).bit_length() + 1, unit)

    def _spans(self, slot: Slot, known: dict[object, Span]) -> tuple[Span, Span]:
        """Return what a line can turn, and how long it can last, as it is and if it is changed; a blank is as it may be
        filled."""
        if slot not in known:
            known[slot] = span((self.levels.offers.own[slot],))
        if slot.key not in known:
            variants = affordable(self.levels.offers, slot, self.most)
            known[slot.key] = span(deed for one in variants for deed in one.deeds)
        return (known[slot.key] if slot.blank else known[slot]), known[slot.key]

    def _after(self, state: State, inner: State) -> State:
        """Return a dancer after a stretch with a turn and a clock of its own."""
        turn = self.script.added(state.turn, inner.turn, self.widths.turn)
        return evolve(inner, turn=turn, clock=self._later(state, inner))

    def _later(self, state: State, inner: State) -> Sum:
        return self.script.added(state.clock, inner.clock, self.widths.ticks)

    def _through(self, nodes: Nodes, state: State) -> State:
        for node in nodes:
            state = self._node(node, state)
        return state

    def _inside(self, nodes: Nodes, state: State) -> State:
        """Return a dancer after one time through a part; who is led into it as another was ends as he did."""
        number = 0
        while number < len(nodes) and isinstance(check := nodes[number], Check):
            state, number = self._check(check, state), number + 1
        where = (id(nodes), state)
        if where not in self.known:
            self.known[where] = self._through(nodes[number:], state)
        return self.known[where]

    def _node(self, node: Node, state: State) -> State:  # noqa: C901 - a case for each kind
        match node:
            case Slot():
                return self._slot(node, state)
            case Check():
                return self._check(node, state)
            case Repeat(times=None):
                raise TooLong
            case Repeat():
                for _ in range(node.times or 1):
                    state = self._through(self._nodes(node.body), state)
                return state
            case Timed():
                inner = self._through(self._nodes(node.body), evolve(state, clock=ZERO))
                return evolve(inner, clock=self._later(state, inner))
            case Pass():
                front, self.front = self.front, 0
                inner = self._inside(self._nodes(node.body), evolve(state, turn=ZERO, clock=ZERO))
                self.front = front
                self.laps += [inner.turn] if node.lap else []
                return self._after(state, inner)
            case Uncut(music=None):
                found = self._anywhere(Sum("", node.ticks // self.widths.unit))
                self.script.holds.append(f"(bvult {found.turn.term} {bits(EIGHTHS, self.widths.turn)})")
                return self._after(state, found)
            case Choice():
                return self._anywhere(Sum(self.script.vector("c", self.widths.ticks), 0))
            case Uncut(music=int(music)):
                return self._anywhere(Sum("", music // self.widths.unit))
            case Forever():
                for _ in range(LAPS):
                    state = self._through(self._nodes(node.body), evolve(state, clock=ZERO))
                return state
            case Last():
                self._through(self._nodes(node.body), state)
                return state
            case Lap():
                after = self._through(self._nodes(node.body), state)
                self.laps.append(self.script.taken(after.turn, state.turn, self.widths.turn))
                return after
        raise TooLong

    def _anywhere(self, clock: Sum) -> State:
        """Return a dancer of whom nothing is known but the time."""
        turn = Sum(self.script.vector("t", self.widths.turn), 0)
        return State(self.script.weight(), turn, clock, frozenset(map(int, Weight)))

    def _slot(self, slot: Slot, state: State) -> State:
        before = tuple(sorted(state.weights))
        found = self.words.effects(slot, self.place, self.last, before)
        self.forked |= found.forks
        for one, effect in zip(before, found.each, strict=True):
            if effect.dead:
                self.script.holds.append(f"(not (and {_weighs(state, one)} {effect.dead}))")
        if not found.ends:
            self.script.holds.append("false")
        after = self._chosen(
            state, before, [bits(e.after, 2) if isinstance(e.after, int) else e.after for e in found.each]
        )
        term = self.script.defined("w", 2, after) if len(found.ends) > 1 and "(" in after else after
        weight = min(found.ends, default=0) if len(found.ends) < 2 else term
        turn = self._met(state, before, [effect.turn for effect in found.each], self.widths.turn)
        ticks = self._met(state, before, [effect.ticks for effect in found.each], self.widths.ticks)
        return self._after(state, State(weight, turn, ticks, found.ends or frozenset({0})))

    def _met(self, state: State, before: Sequence[int], sums: Sequence[Sum], width: int) -> Sum:
        """Return the number for the weight that a dancer has."""
        if len(set(sums)) == 1:
            return sums[0]
        base = next((one.more for one in sums if one.term), sums[0].more)
        return Sum(self._chosen(state, before, [_term(one, base, width) for one in sums]), base)

    def _chosen(self, state: State, before: Sequence[int], terms: Sequence[str]) -> str:
        """Return the term for the weight that a dancer has."""
        if len(before) > 1 and all(term == bits(weight, 2) for weight, term in zip(before, terms, strict=True)):
            return str(state.weight)
        found = terms[-1]
        for weight, term in reversed(tuple(zip(before, terms, strict=True))):
            if term != found:
                found = f"(ite {_weighs(state, weight)} {term} {found})"
        return found

    # -- claims ------------------------------------------------------------------------------------------------------

    def _walls(self) -> None:
        """Have the laps turn alike, and come home after as many as the sheet has walls."""
        walls = self.levels.sketch.program.walls
        if walls is None or not self.laps:
            return
        turns = [turn for turn in range(EIGHTHS) if EIGHTHS // gcd(turn, EIGHTHS) == walls.count]
        laps = dict.fromkeys(self.laps)
        alike = (f"(and true {' '.join(_faces(lap, turn) for lap in laps)})" for turn in turns)
        self.script.holds.append(f"(or {' '.join(alike)} {self._changed(walls.claim) or 'false'})")

    def _check(self, check: Check, state: State) -> State:  # noqa: C901 - a case for each kind
        if check.value is None and check.test is Test.LEAD:
            raise TooLong
        value = check.value or 0
        match check.test:
            case Test.LEAD:
                holds = f"(not {_weighs(state, value)})" if value in state.weights else TRUE
            case Test.FOOT:
                holds = _weighs(state, 1 - value)
            case Test.BOTH:
                holds = _weighs(state, int(Weight.BOTH))
            case Test.FACING:
                holds = _faces(state.turn, value - self.front)
            case Test.CLOCK:
                holds = _equal(state.clock, value // self.widths.unit, self.widths.ticks)
            case Test.TURN:
                holds = _equal(state.turn, value, self.widths.turn)
            case Test.EITHER:
                sides = [] if value % 4 else [_equal(state.turn, side, self.widths.turn) for side in (value, -value)]
                holds = TRUE if TRUE in sides else f"(or {' '.join(sides)})"
        if check.test is Test.LEAD and Weight.BOTH in state.weights:
            return self._led(check.claim, value, holds, state)
        if holds != TRUE:
            changed = self._changed(check.claim)
            self.script.holds.append(f"(or {holds} {changed})" if changed else holds)
            if check.test is Test.LEAD and not changed:
                return evolve(state, weight=1 - value, weights=frozenset({1 - value}))
        return state

    def _led(self, claim: Claim, value: int, holds: str, state: State) -> State:
        """Return a dancer, perhaps on both feet, after a claim that a foot leads."""
        changed = self._changed(claim)
        if not changed:
            self.script.holds.append(holds)
            return evolve(state, weight=1 - value, weights=frozenset({1 - value}))
        self.script.holds.append(f"(or {holds} {changed})")
        led = f"(ite {changed} {bits(value, 2)} {bits(1 - value, 2)})"
        both = _weighs(state, int(Weight.BOTH))
        weight = self.script.defined("w", 2, led if both == TRUE else f"(ite {both} {led} {state.weight})")
        return evolve(state, weight=weight, weights=frozenset({0, 1}))

    def _changed(self, claim: Claim) -> str:
        """Return the flag that a claim is changed; empty if that costs too much."""
        kind = self.levels.restating.kinds.get(claim.id)
        cost = self.levels.prices[kind] if kind else 0
        if not kind or cost > self.most:
            return ""
        if claim.id not in self.restated:
            self.restated[claim.id] = cost, self.script.constant("r", "Bool")
        return self.restated[claim.id][1]


def _term(number: Sum, base: int, width: int) -> str:
    """Return by how much a number is more than another, as one term."""
    more = bits(number.more - base, width)
    if not number.term:
        return more
    return f"(bvadd {number.term} {more})" if number.more != base else number.term


def _weighs(state: State, weight: int) -> str:
    """Return that a dancer has a weight."""
    known = state.weight if isinstance(state.weight, str) else bits(state.weight, 2)
    return TRUE if known == bits(weight, 2) else f"(= {known} {bits(weight, 2)})"


def _equal(one: Sum, value: int, width: int) -> str:
    """Return that a number is another."""
    if not one.term:
        return TRUE if one.more == value else f"(= {bits(one.more, width)} {bits(value, width)})"
    return f"(= {one.term} {bits(value - one.more, width)})"


def _faces(turn: Sum, value: int) -> str:
    """Return the term that a turn leads to a facing."""
    if not turn.term:
        return _equal(Sum("", turn.more % EIGHTHS), value % EIGHTHS, 3)
    return f"(= ((_ extract 2 0) {turn.term}) {bits(value - turn.more, 3)})"
