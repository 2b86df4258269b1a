"""What is settled before any claim: to which side dances turn, how many laps are new, what a blank has left."""

import re
from collections.abc import Callable, Iterable, Sequence
from functools import partial

from attrs import define, field

from stepcheck.model.dance import Program, Weight
from stepcheck.proof.encode import encode
from stepcheck.proof.question import Circle, Closing, Encoding, Point, Sides
from stepcheck.proof.solver import Clause, Session, Values, true
from stepcheck.proof.terms import bits, conj, disj, negate

MORE_LAPS = 4  # laps added at a time while they bring new states
ALL_STATES = 24

_SEEN = re.compile(r"^\(define-fun (v\d+) \(\) (Bool|\(_ BitVec \d+\)) (.*)\)$")
_NAME = re.compile(r"(?<![#\w])([a-z]\d+)\b")


def assertion(conditions: Iterable[str]) -> str:
    """Return the assertion that one of the conditions is true."""
    return f"(assert {disj(*conditions)})"


def closure(circle: Circle) -> str:
    """Return the condition that the last lap of a circle does not end as it began, so that another may be new."""
    before, after = circle.states[-2:]
    same = [f"(= {one} {two})" for one, two in zip(before, after, strict=True)]
    return f"(and {circle.guards[-1]} (not (and {' '.join(same if circle.moves else same[:1])})))"


def readable(encoding: Encoding) -> str:
    """Return the text with constants in place of those definitions that a question may read."""
    lines = list(encoding.sorts)
    for line in encoding.lines:
        found = _SEEN.match(line)
        lines.append(f"(declare-const {found[1]} {found[2]})\n(assert (= {found[1]} {found[3]}))" if found else line)
    return "\n".join(lines)


@define
class Inquiry:
    """A program, what is `known` about it, and its text under that.

    `uncertain` are the points that some fillings of a blank make true and others false.  `layers` are, for each body
    without end, the states at the start of each lap.  `fixed` are readings of all open words, if they are given.
    """

    program: Program
    budget: int
    fixed: tuple[int, ...] = ()
    known: dict[str, int] = field(factory=dict)
    uncertain: set[int] = field(factory=set)
    layers: dict[str, list[frozenset[tuple[int, ...]]]] = field(factory=dict)
    encoding: Encoding = field(init=False)
    session: Session = field(init=False)

    def __attrs_post_init__(self) -> None:
        """Write the text."""
        self.known["whole laps"] = len(Weight)
        self.renew()

    def renew(self) -> None:
        """Write the text again, under what is known now."""
        self.encoding = encode(self.program, self.known, None, self.fixed)
        self.session = Session(readable(self.encoding), {**self.encoding.widths, **self.encoding.seen}, self.budget)

    def ask(self, clauses: Sequence[Clause]) -> Values | None:
        """Return values under which every clause holds, or None."""
        return self.session.ask(clauses)

    @property
    def readings_open(self) -> bool:
        """Whether any word is left open."""
        return bool(self.encoding.words) and not self.fixed

    def hangs_on_readings(self) -> bool:
        """Whether what was settled may differ from one assignment of readings to the next."""
        opened = self.encoding.closings or any(point.open for point in self.encoding.points)
        broken = any(self.known.get(side.key) == 0 for side in self.encoding.sides)
        return self.readings_open and bool(opened or broken)

    def all_of(self, guard: str, names: Sequence[str]) -> frozenset[tuple[int, ...]]:
        """Return every combination of values that `names` take where `guard` is true."""
        found: set[tuple[int, ...]] = set()
        clauses: list[Clause] = [true([guard])]
        while (values := self.ask(clauses)) is not None:
            found.add(tuple(values[name] for name in names))
            clauses.append(tuple((name, values[name], False) for name in names))
        return frozenset(found)

    # -- readings ----------------------------------------------------------------------------------------------------

    def usual_words(self, clauses: Sequence[Clause], values: Values) -> tuple[list[Clause], Values]:
        """Fix the readings so that as few as can be are not the usual ones; return them with values that have them."""
        return _usual(self.session, self.encoding, self.program, clauses, values)

    def words_apart(self, one: Sequence[str], two: Sequence[str]) -> list[Clause] | None:
        """Return readings under which some dance makes one of `one` true and another one of `two`; None if none do."""
        if not self.readings_open:
            both = self.ask([true(one)]) is not None and self.ask([true(two)]) is not None
            return [] if both else None
        text = readable(self.encoding)
        again = _NAME.sub(r"\1_", text[text.index("(declare-const") :])
        again = "\n".join(
            line for line in again.splitlines() if "word" not in line.split(" ")[1] and "figure" not in line[:19]
        )
        widths = {**self.encoding.widths, **self.encoding.seen}
        second = {f"{name}_": width for name, width in widths.items() if not name.startswith("word")}
        session = Session(f"{text}\n{again}", {**widths, **second}, self.budget)
        clauses = [true(one), true(f"{name}_" for name in two)]
        values = session.ask(clauses)
        return None if values is None else _usual(session, self.encoding, self.program, clauses, values)[0]

    # -- questions ---------------------------------------------------------------------------------------------------

    def open_point(self, point: Point) -> bool:
        """Settle a point of open states: fails for all, or for some?"""
        if self.ask([true([point.fails])]) is None:
            return False
        if point.maybe or self.ask([true([point.holds])]) is not None:
            self.uncertain.add(point.number)
            return False
        self.known[f"fails {point.number}"] = 1
        return True

    def side(self, side: Sides) -> bool:
        """Settle to which side all dances turn."""
        point = self.encoding.points[side.point]
        if point.open:
            apart = self.words_apart([side.right], [side.left]) is not None
            if apart:
                self.uncertain.add(point.number)
            return False
        pairs = [(side.right, side.left)]
        if self.ask([true([side.loose])]) is not None:
            pairs.append(side.modulo)
        found = 0
        for right, left in pairs:
            sides = [sign for sign, fails in ((1, right), (-1, left)) if self.ask([true([fails])]) is None]
            if sides:
                found = sides[0]
                break
            if self.readings_open and self.words_apart([right], [left]) is None:
                found = 2
                break
        self.known[side.key] = found
        return found != side.side

    def closing(self, closing: Closing) -> bool:
        """Settle whether the states stop being open."""
        left = (closing.weight, closing.facing)
        for start in range(3):
            begun: list[Clause] = [true([closing.guard]), ((closing.start, start, True),)]
            values = self.ask(begun)
            if values is None:
                continue
            if self.ask([*begun, tuple((name, values[name], False) for name in left)]) is not None:
                self.known[closing.key] = 0
                return True
        self.known[closing.key] = 1
        return False

    def circle(self, circle: Circle) -> bool:
        """Settle how many laps bring something new; while they do, dance more."""
        laps = len(circle.states) - 1
        if self.readings_open:
            self.known[circle.key] = max(ALL_STATES if circle.moves else len(Weight), circle.least)
            return laps < self.known[circle.key]
        layers: list[frozenset[tuple[int, ...]]] = []
        for state, guard in zip(circle.states, circle.guards, strict=True):
            layer = self.all_of(guard, state if circle.moves else state[:1])
            old = layer in layers if circle.whole else layer <= frozenset().union(*layers)
            layers.append(layer)
            if old and len(layers) > circle.least:
                self.layers[circle.key] = layers
                return False
        self.known[circle.key] = laps + MORE_LAPS
        return True

    # -- scripts -----------------------------------------------------------------------------------------------------

    def circle_opens(self, encoding: Encoding, circle: Circle) -> str:
        """Return the condition, in the names of `encoding`, that a lap begins or ends in a state that is not listed."""
        away = []
        for state, guard, layer in zip(circle.states, circle.guards, self.layers.get(circle.key, []), strict=False):
            names = state if circle.moves else state[:1]
            widths = [encoding.seen[name] for name in names]
            listed = [
                conj(*(_equal(name, value, width) for name, value, width in zip(names, values, widths, strict=True)))
                for values in sorted(layer)
            ]
            away.append(conj(guard, negate(disj(*listed))))
        return disj(*away)

    def home_turn(self) -> int | None:
        """Return which of the home turns all laps make, or None if it hangs on a reading."""
        rounds = self.encoding.rounds
        for turn in range(len(rounds[0].on)):
            others = [name for one in rounds for n, name in enumerate((*one.on, one.wrong)) if n != turn]
            if self.ask([true(others)]) is None:
                return turn
        return None


def _equal(name: str, value: int, width: int) -> str:
    return f"(= {name} {bits(value, width)})" if width else (name if value else negate(name))


def _usual(
    session: Session, encoding: Encoding, program: Program, clauses: Sequence[Clause], values: Values
) -> tuple[list[Clause], Values]:
    """Fix the readings so that as few as can be are not the usual ones, earlier words first."""
    if not encoding.words:
        return [], values
    for count in range(values[encoding.unusual]):
        found = session.ask([*clauses, ((encoding.unusual, count, True),)])
        if found is not None:
            values = found
            break
    fixed: list[Clause] = [((encoding.unusual, values[encoding.unusual], True),)]
    for name, word in zip(encoding.words, program.words, strict=True):
        for reading in sorted(range(len(word.labels)), key=lambda index: index != word.usual):
            if reading == values[name]:
                break
            found = session.ask([*clauses, *fixed, ((name, reading, True),)])
            if found is not None:
                values = found
                break
        fixed.append(((name, values[name], True),))
    return fixed, values


def settle(program: Program, budget: int, fixed: tuple[int, ...] = ()) -> Inquiry:
    """Settle whatever has to be known before the claims of `program`, in the order of the dance.

    `fixed` are readings of all open words, if they are given.

    Raises:
        BudgetSpent: a question cost more than `budget`.
        KeyboardInterrupt: the user stopped it.
    """
    inquiry, done = Inquiry(program, budget, fixed), set[tuple[int, int, int]]()
    while True:
        encoding = inquiry.encoding
        jobs: list[tuple[tuple[int, int, int], Callable[[], bool]]] = []
        for number, closing in enumerate(encoding.closings):
            jobs.append(((closing.before, 0, number), partial(inquiry.closing, closing)))
        for number, circle in enumerate(encoding.circles):
            jobs.append(((circle.before, 1, number), partial(inquiry.circle, circle)))
        for point in encoding.points:
            if point.open:
                jobs.append(((point.number, 2, 0), partial(inquiry.open_point, point)))
        for side in encoding.sides:
            jobs.append(((side.point, 3, 0), partial(inquiry.side, side)))
        waiting = sorted((job for job in jobs if job[0] not in done), key=lambda job: job[0])
        if not waiting:
            return inquiry
        for place, question in waiting:
            changed = question()
            if not (changed and place[1] == 1):
                done.add(place)
            if changed:
                inquiry.renew()
                break
