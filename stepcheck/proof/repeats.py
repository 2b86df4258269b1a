"""Repeats in the script: one time is tabulated from each start, and the table is squared for many times."""

from collections.abc import Callable

from attrs import define, evolve, field

from stepcheck.model.dance import EIGHTHS
from stepcheck.proof import ways
from stepcheck.proof.names import FEET, WALLS, Function, Names, Picks, TooLarge, chosen

FLAT = 48  # figures of a repeat that is written out
FLAT_APART = 24  # the same, where dancers part in it
FLAT_BLANK = 400  # the same, where there are blanks: tables say nothing of single fillings
MOST_FLAT = 4096  # the same, where it looks at the turn or the time of what is around it
SMALL = 4  # figures of a part that is danced as it is

# The properties of the frame that the claims in a body test, as a sum.
FACING, TURN, CLOCK = 1, 2, 4


Start = tuple[int, int | None]


@define
class Repeats:
    """The repeats of one script.

    `feet` are those with which anything can begin; `apart` are the bodies after which dancers may differ, by what they
    picked; `alike` are the bits of the guesses that they don't, with the bodies.  `probe` says what may come of a body
    in which they part, `blanks` whether there are any; `asked` are terms of what is false of what is guessed so.
    """

    names: Names
    feet: int
    apart: frozenset[object]
    probe: ways.Probe
    blanks: bool
    asked: list[str] = field(factory=list)
    alike: dict[str, object] = field(factory=dict)
    _made: dict[object, Function] = field(factory=dict)

    def read_off(self, once: Function, small: int = SMALL) -> Function:
        """Return `once` as a table: its result from each foot (and facing, where a claim in it tests one).

        Where dancers pick something in it, the guess is that they end alike whatever they pick; z3 checks the guess.
        """
        if once.figures < small or once.key in self.apart:
            return once
        if (once.key, once.name) not in self._made:
            free = bit = ""
            if once.picks:
                free = self.names.pick(f"picks of {once.title}", once.picks)
                bit = self.names.bit(f"{once.title}: all end alike, whatever is picked")
                self.alike[bit] = once.key
            same = f"(_ bv0 {once.picks})"

            def term(start: str) -> str:
                if not once.picks:
                    return once.of(start)
                return f"(alike {bit} {once.of(start, same)} {once.of(start, free)})"

            self._made[once.key, once.name] = self._table(once.title, f"{once.title}, read off", term, once)
        return self._made[once.key, once.name]

    def _starts(self, looks: int) -> list[Start]:
        facings = range(EIGHTHS) if looks & FACING else (None,)
        return [(foot, facing) for foot in range(self.feet) for facing in facings]

    def _table(self, stem: str, title: str, term: Callable[[str], str], once: Function) -> Function:
        """Name the result of `term` from each start, and return the function that looks them up."""
        rows, starts = [], self._starts(once.looks)
        for foot, facing in starts:
            begin = f"(fresh {FEET[foot]})"
            name = f"{stem} from {FEET[foot]}"
            if facing is not None:
                wall = self.names.wall(facing)
                name, begin = f"{name}, turned to {WALLS[facing]}", f"(standing {FEET[foot]} {wall})"
            rows.append(self.names.fresh(name))
            end = term(begin) if facing is None else f"(since {wall} {term(begin)})"
            self.names.say(f"(define-fun {rows[-1]} () Dancer {end})", once.figures)
        name = self.names.fresh(title)

        def comes_so(number: int) -> str:
            foot, facing = starts[number]
            on = f"(= (weight d) {FEET[foot]})"
            return on if facing is None else f"(and {on} (= (facing d) {self.names.wall(facing)}))"

        self.names.say(f"(define-fun {name} ((d Dancer)) Dancer (then d {chosen(comes_so, rows)}))")
        return Function(name, 0, 1, once.looks, (once.key, title))

    def times(self, once: Function, times: int) -> Function:
        """Return a function danced so many times."""
        if times == 1:
            return once
        figures = once.figures * times
        if figures <= (8 if once.picks else FLAT):
            return self._flat(once, times)
        if once.looks & (TURN | CLOCK):
            if figures > MOST_FLAT:
                raise TooLarge
            return self._flat(once, times)
        if once.key in self.apart and once.picks:
            flat = figures <= (FLAT_BLANK if self.blanks else FLAT_APART)
            return self._flat(once, times) if flat else self._parted(once, times)
        return self._squared(once, self.read_off(once, 0), times)

    def _flat(self, once: Function, times: int) -> Function:
        """Return a function written out so many times, half by half."""
        if times == 1:
            return once
        key = (once.name, times)
        if key not in self._made:
            half = self._flat(once, times // 2)
            parts = [half, half, once] if times % 2 else [half, half]
            term, picks = "d", Picks(self.names)
            for part in parts:
                term = part.of(term, picks.take(part.picks))
            name = self.names.fresh(f"{once.title} x{times}")
            self.names.say(f"(define-fun {name} ((d Dancer){picks.taken}) Dancer {term})", once.figures * times)
            self._made[key] = Function(name, picks.width, once.figures * times, once.looks, (once.key, times))
        return self._made[key]

    def _squared(self, once: Function, read: Function, times: int) -> Function:
        """Return a function read off, so many times: from each start twice the half, and once more if that is odd."""
        if times == 1:
            return read
        key = (read.name, times)
        if key not in self._made:
            half = self._squared(once, read, times // 2)
            title = f"{once.title} x{times}"

            def term(start: str) -> str:
                end = half.of(half.of(start))
                return read.of(end) if times % 2 else end

            self._made[key] = self._table(title, title, term, read)
        return self._made[key]

    def _parted(self, once: Function, times: int) -> Function:
        """Return a function in which dancers part, so many times, by tables."""
        key = (once.name, times)
        if key not in self._made:
            starts = tuple((foot, facing or 0) for foot, facing in self._starts(once.looks))
            body = ways.Repeated(once.name, once.picks, once.figures, once.looks, once.key, starts)
            made, asked = ways.stated(self.names, body, times, self.probe(self.names, body))
            self.asked += asked
            self._made[key] = evolve(made, figures=once.figures + 2 * times.bit_length(), looks=once.looks, key=key)
        return self._made[key]

    def some_times(self, once: Function, blank: str) -> Function:
        """Return a function danced once, and as often again as the six bits of a blank say."""
        key = (once.name, blank)
        if key not in self._made:
            picks, figures = Picks(self.names), once.figures
            term = once.of("d", picks.take(once.picks))
            for bit in range(6):
                power = self.times(once, 1 << bit)
                more = power.of("d", picks.take(power.picks))
                term = f"(let ((d {term})) (ite (= ((_ extract {bit} {bit}) {blank}) #b1) {more} d))"
                figures += power.figures
            name = self.names.fresh(f"{once.title}, ? times")
            self.names.say(f"(define-fun {name} ((d Dancer){picks.taken}) Dancer {term})", figures)
            self._made[key] = Function(name, picks.width, figures, once.looks, key)
        return self._made[key]
