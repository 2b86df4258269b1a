"""SMT-LIB 2 text under way: names, declarations, and the state of a dance as terms.

Weight is a bit-vector of two bits (left 00, right 01, both 10), a foot one bit, a turn a signed bit-vector so wide that
no sum of the program overflows.  A facing is the start of its frame plus the turn modulo 8, so the lowest three bits of
the turn are all that it needs.  Lengths hang on the readings of words only, never on the feet; so a clock is a sum of
lengths, written out where it is compared.
"""

from collections.abc import Sequence
from functools import reduce
from typing import NamedTuple, TypeAlias

from attrs import define, field

LONGEST_TERM = 160  # a longer term gets a name, so that no text nests deeply

Clock: TypeAlias = tuple[int, tuple[tuple[str, int], ...]]


class State(NamedTuple):
    """Where the dance is, as terms.

    The turn is `turn` (empty for 0) plus `more` eighths; `both` says that the weight may be on both feet; `clock` is a
    number of ticks and terms with how many times each counts.  `guard` is true of the dances that come here.  While the
    states are `open`, a blank says which of them comes; `maybe`, whether any does.
    """

    weight: str
    both: bool = False
    turn: str = ""
    more: int = 0
    loose: str = "false"
    clock: Clock = (0, ())
    guard: str = "true"
    open: bool = False
    maybe: bool = False


def bits(value: int, width: int) -> str:
    """Return `value`, which may be negative, as a bit-vector of `width` bits."""
    return f"#b{value % (1 << width):0{width}b}"


def conj(*conditions: str) -> str:
    """Return the conjunction of `conditions`."""
    kept = [condition for condition in dict.fromkeys(conditions) if condition != "true"]
    if "false" in kept:
        return "false"
    return "true" if not kept else kept[0] if len(kept) == 1 else f"(and {' '.join(kept)})"


def disj(*conditions: str) -> str:
    """Return the disjunction of `conditions`."""
    kept = [condition for condition in dict.fromkeys(conditions) if condition != "false"]
    if "true" in kept:
        return "true"
    return "false" if not kept else kept[0] if len(kept) == 1 else f"(or {' '.join(kept)})"


def negate(condition: str) -> str:
    """Return the negation of `condition`."""
    if condition == "true" or condition == "false":
        return "false" if condition == "true" else "true"
    return condition[5:-1] if condition.startswith("(not ") else f"(not {condition})"


def choose(condition: str, then: str, other: str) -> str:
    """Return the term that is `then` where `condition` holds, else `other`."""
    if condition in ("true", "false") or then == other:
        return other if condition == "false" else then
    return f"(ite {condition} {then} {other})"


def total(terms: Sequence[str]) -> str:
    """Return the sum of bit-vectors of one width; at least one."""
    return reduce(lambda one, two: f"(bvadd {one} {two})", terms)


def add(one: Clock, two: Clock, times: int = 1) -> Clock:
    """Return clock `one` plus `times` times clock `two`."""
    if not one[1] and not two[1]:
        return one[0] + times * two[0], ()
    terms = dict(one[1])
    for term, count in two[1]:
        terms[term] = terms.get(term, 0) + times * count
    return one[0] + times * two[0], tuple((term, count) for term, count in terms.items() if count)


@define
class Text:
    """Commands in order, with the widths of the constants (0 for a Boolean) and of the terms that a question may read.

    `asked` are the constants that a dancer or a filling chooses, in the order of the dance; `functions` the names of
    functions by what they are.  `turn_width` and `clock_width` are the bits of a turn and of a time.  A text for `once` is
    asked one question, which reads no values, so that what is seen of it needs no names.
    """

    turn_width: int
    clock_width: int
    once: bool = False
    lines: list[str] = field(factory=list)
    widths: dict[str, int] = field(factory=dict)
    seen: dict[str, int] = field(factory=dict)
    asked: list[str] = field(factory=list)
    functions: dict[tuple[str, str], str] = field(factory=dict)
    names: int = 0

    def name(self, prefix: str) -> str:
        """Return a name that is not used yet."""
        self.names += 1
        return f"{prefix}{self.names}"

    def declare(self, prefix: str, width: int, largest: int | None = None) -> str:
        """Declare a constant of `width` bits, at most `largest`, and return its name."""
        name = self.name(prefix)
        self.widths[name] = width
        self.lines.append(f"(declare-const {name} {f'(_ BitVec {width})' if width else 'Bool'})")
        if largest is not None and largest < (1 << width) - 1:
            self.lines.append(f"(assert (bvule {name} {bits(largest, width)}))")
        return name

    def ask(self, prefix: str, width: int, largest: int | None = None) -> str:
        """Declare a constant that a dancer or a filling chooses, and return its name."""
        name = self.declare(prefix, width, largest)
        self.asked.append(name)
        return name

    def define(self, sort: str, term: str) -> str:
        """Return a name for `term` of sort W (weight), T (turn), C (time) or Bool, or a short term itself."""
        if " " not in term:
            return term
        name = self.name(sort.lower()[0])
        self.lines.append(f"(define-fun {name} () {sort} {term})")
        return name

    def brief(self, sort: str, term: str) -> str:
        """Return `term`, or a name for it if it is long."""
        return self.define(sort, term) if len(term) > LONGEST_TERM else term

    def function(self, signature: str, term: str) -> str:
        """Return the name of the function with these arguments and this sort, written once."""
        made = self.functions.get((signature, term))
        if made is None:
            made = self.functions[signature, term] = f"figure{len(self.functions)}"
            self.lines.append(f"(define-fun {made} {signature} {term})")
        return made

    def condition(self, term: str) -> str:
        """Return a name for a condition that a question may ask and read, or the condition itself in a text for once."""
        return term if self.once and len(term) <= LONGEST_TERM else self.see(0, term)

    def see(self, width: int, term: str) -> str:
        """Return a name for `term` that a question may read."""
        name = self.name("v")
        self.lines.append(f"(define-fun {name} () {f'(_ BitVec {width})' if width else 'Bool'} {term})")
        self.seen[name] = width
        return name

    def turn(self, state: State) -> str:
        """Return the turn of a state as a term."""
        if not state.turn:
            return bits(state.more, self.turn_width)
        return f"(bvadd {state.turn} {bits(state.more, self.turn_width)})" if state.more else state.turn

    def facing(self, state: State) -> str:
        """Return the change of facing since the frame began as a term of three bits."""
        return f"((_ extract 2 0) {self.turn(state)})" if state.turn else bits(state.more, 3)

    def turned(self, state: State, turn: int) -> str:
        """Return the condition that the turn is `turn`, of which a loose one shows only the facing."""
        exact = f"(= {self.turn(state)} {bits(turn, self.turn_width)})"
        return choose(state.loose, self.faces(state, turn), exact)

    def faces(self, state: State, change: int) -> str:
        """Return the condition that the facing has changed by `change`, modulo 8."""
        return f"(= {self.facing(state)} {bits(change, 3)})"

    def clock(self, clock: Clock) -> str:
        """Return a time as a term."""
        terms = [bits(clock[0], self.clock_width)]
        if not clock[1]:
            return terms[0]
        terms += [term if n == 1 else f"(bvmul {bits(n, self.clock_width)} {term})" for term, n in clock[1]]
        return total(terms)
