"""The question to the second engine whether some layout is better than the best that was found, as SMT-LIB 2.

A layout is better with fewer breaks; of as many, with less time in them; of as much, with fewer restarts. The first
engine says what each line and each row of figures does from each foot and wall; z3 decides whether any sequence of them
is better.
"""

from collections.abc import Iterator
from itertools import product
from math import gcd

from stepcheck.floor.layouts import Layouts, Step
from stepcheck.floor.moves import lands, ticks_of
from stepcheck.floor.stretches import MOST_BREAK
from stepcheck.model.dance import EIGHTHS, TICKS, Weight, key
from stepcheck.proof.solving import BudgetSpent, satisfiable

MOST_STEPS = 64
WORK = 20_000_000
"""Of z3's own units: some seconds."""


def better(layouts: Layouts, steps: tuple[Step, ...]) -> tuple[str, str]:
    """Return what the second engine says to the question for a better layout, and the question.

    "unsat" is that there is none, "open" that it is not settled; both are empty for a very long song.
    """
    question = _Question(layouts, steps)
    if question.many > MOST_STEPS:
        return "", ""
    script = "\n".join(question.lines())
    try:
        return ("open" if satisfiable(script, WORK) else "unsat"), script
    except BudgetSpent:
        return "open", script


class _Question:
    """The script: steps one after the other. A step has the time `t`, the weight `w`, the facing `f`, the last line `j`
    from 1, and `b` breaks, `n` time in them, `c` restarts so far."""

    def __init__(self, layouts: Layouts, steps: tuple[Step, ...]) -> None:
        self.layouts = layouts
        self.breaks = sum(step.number < 0 for step in steps)
        self.new = sum(step.end - step.tick for step in steps if step.number < 0)
        self.cuts = sum(step.cut > 0 for step in steps)
        numbers = [(number, cut) for number in range(len(layouts.moves)) for cut in (0, *layouts.cuts[number])]
        danced = [(number, cut, *self._danced(number, cut)) for number, cut in numbers]
        self.moves = [one for one in danced if one[3] and 0 < one[2] <= layouts.task.total]
        self.unit = gcd(*layouts.ends, *(one[2] for one in self.moves), *self._lengths())
        self.many = layouts.task.total // min((one[2] for one in self.moves), default=1) + self.breaks
        time = (layouts.task.total // self.unit).bit_length() + 1
        lines = len(layouts.moves).bit_length() + 1
        few = max(self.breaks, self.many).bit_length() + 1
        self.wide = {"t": time, "w": 2, "f": 3, "j": lines, "b": few, "n": time, "c": few}

    def _danced(self, number: int, cut: int) -> tuple[int, tuple[str, ...]]:
        """Return how long a line is, and the pairs of states before and behind it as conditions with `{at}` and `{on}`.

        Where dancers part company, or times of a part differ, each way counts: the script allows more than the dance.
        """
        move = self.layouts.cuts[number][cut] if cut else self.layouts.moves[number]
        pairs: dict[str, None] = {}
        bodies = self.layouts.effects.bodies(move)
        for body, weight, facing in product(bodies, Weight, range(EIGHTHS)):
            after = self.layouts.effects.through(body, ((weight, facing),)) or ()
            before = f"(= w{{at}} {_bits(weight, 2)}) (= f{{at}} {_bits(facing, 3)})"
            for one in after if lands(move.states, after) else ():
                pairs[f"(and {before} (= w{{on}} {_bits(one[0], 2)}) (= f{{on}} {_bits(one[1], 3)}))"] = None
        return (cut * TICKS or ticks_of(bodies[0])) if bodies else 0, tuple(pairs)

    def _lengths(self) -> tuple[int, ...]:
        """Return the lengths that a break can have, in ticks; a better layout has one only where the best has."""
        step = gcd(TICKS, *self.layouts.ends)
        most = min(MOST_BREAK * TICKS, self.layouts.task.total)
        return tuple(range(step, most + 1, step)) if self.breaks else ()

    def lines(self) -> Iterator[str]:
        """Yield the lines of the script."""
        bits, wide, many, total = _bits, self.wide, self.many, self.layouts.task.total // self.unit
        yield f"; fewer than {self.breaks} breaks, or {self.new} ticks in them, or {self.cuts} restarts"
        yield "(set-logic QF_BV)"
        for ticks in self._lengths():
            yield self._row(ticks)
        for at in range(many + 1):
            yield from (f"(declare-const {name}{at} (_ BitVec {width}))" for name, width in wide.items())
        ((weight, facing),) = self.layouts.start.front
        start = {"t": 0, "w": weight, "f": facing, "j": 0, "b": 0, "n": 0, "c": 0}
        yield from (f"(assert (= {name}0 {bits(value, wide[name])}))" for name, value in start.items())
        for at in range(many):
            yield f"(assert (or {' '.join(self._cases(at))}))"
            yield f"(assert (bvule b{at} {bits(self.breaks, wide['b'])}))"
        ends = [
            f"(and (= w{many} {bits(weight, 2)}) (= f{many} {bits(facing, 3)}))"
            for weight in Weight
            for facing in range(EIGHTHS)
            if lands(self.layouts.sequence.end.states, ((weight, facing),))
        ]
        yield f"(assert (and (= t{many} {bits(total, wide['t'])}) (or false {' '.join(ends)})))"
        cost = {"b": self.breaks, "n": self.new // self.unit, "c": self.cuts}
        alike, less = "true", []
        for name, value in cost.items():
            less.append(f"(and {alike} (bvult {name}{many} {bits(value, wide[name])}))")
            alike += f" (= {name}{many} {bits(value, wide[name])})"
        yield f"(assert (or {' '.join(less)}))"
        yield "(check-sat)\n"

    def _row(self, ticks: int) -> str:
        """Return the relation of breaks of a length: a bit for each weight behind it and turn, by the weight before."""
        masks = [
            sum(1 << (after * EIGHTHS + turn) for ((after, turn),) in self.layouts.rows(((weight, 0),), ticks))
            for weight in Weight
        ]
        rows = f"(ite (= w #b00) {_bits(masks[0], 32)} (ite (= w #b01) {_bits(masks[1], 32)} {_bits(masks[2], 32)}))"
        place = "((_ zero_extend 27) (concat v (bvsub g f)))"
        kinds = "((w (_ BitVec 2)) (f (_ BitVec 3)) (v (_ BitVec 2)) (g (_ BitVec 3)))"
        return f"(define-fun row{ticks} {kinds} Bool (= ((_ extract 0 0) (bvlshr {rows} {place})) #b1))"

    def _cases(self, at: int) -> Iterator[str]:
        """Yield what may be danced as step number `at`: nothing more, a line, or a break."""
        on = at + 1

        def grows(name: str, more: int) -> str:
            return f"(= {name}{on} (bvadd {name}{at} {_bits(more, self.wide[name])}))"

        total = self.layouts.task.total // self.unit
        same = " ".join(f"(= {name}{on} {name}{at})" for name in self.wide)
        yield f"(and (= t{at} {_bits(total, self.wide['t'])}) {same})"
        for number, cut, ticks, pairs in self.moves:
            places = " ".join(self._places(number, ticks, at))
            led = " ".join(pair.format(at=at, on=on) for pair in pairs)
            stays = number >= len(self.layouts.sequence.moves)
            last = f"(= j{on} {f'j{at}' if stays else _bits(number + 1, self.wide['j'])})"
            done = f"{grows('t', ticks // self.unit)} {grows('b', 0)} {grows('n', 0)} {grows('c', int(cut > 0))}"
            yield f"(and (or false {places}) (or {led}) {last} {done})"
        for ticks in self._lengths():
            places = " ".join(self._inside(section, ticks, at) for section in range(len(self.layouts.ends)))
            done = f"{grows('t', ticks // self.unit)} {grows('b', 1)} {grows('n', ticks // self.unit)} {grows('c', 0)}"
            yield f"(and (or {places}) (row{ticks} w{at} f{at} w{on} f{on}) (= j{on} j{at}) {done})"

    def _inside(self, section: int, ticks: int, at: int) -> str:
        """Return the condition that a step of so many ticks lies in a section."""
        start = self.layouts.ends[section - 1] if section else 0
        last = self.layouts.ends[section] - ticks
        wide = self.wide["t"]
        if last < start:
            return "false"
        return f"(and (bvule {_bits(start // self.unit, wide)} t{at}) (bvule t{at} {_bits(last // self.unit, wide)}))"

    def _places(self, number: int, ticks: int, at: int) -> Iterator[str]:
        """Yield the conditions under which a line may stand as step number `at`."""
        ends, lines = self.layouts.ends, range(-1, len(self.layouts.sequence.moves))
        for section, (start, end) in enumerate(zip((0, *ends), ends, strict=False)):
            name = key(self.layouts.task.sections[section].name)
            for begins in (True, False):
                lasts = [last for last in lines if self.layouts.cost(last, number, name, begins) is not None]
                behind = " ".join(f"(= j{at} {_bits(last + 1, self.wide['j'])})" for last in lasts)
                led = "true" if len(lasts) == len(lines) else f"(or false {behind})"
                here = f"(= t{at} {_bits(start // self.unit, self.wide['t'])})"
                if begins and (start + ticks <= end or start + ticks in ends):
                    yield f"(and {here} {led})"
                elif not begins and start + ticks < end:
                    yield f"(and (not {here}) {self._inside(section, ticks, at)} {led})"


def _bits(value: int, wide: int) -> str:
    return f"#b{value:0{wide}b}"
