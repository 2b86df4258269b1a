"""The question whether anything cheaper mends a sheet, in the script of the second engine: unsatisfiable if nothing
does.

The dance is stated as for every proof, but lines and claims that may change are choices.  It is asked whether choices
that cost less leave no sentence false on the way of two dancers, of whom one picks the first and one the last of all
that is left to dancers.  That is less than the sheet asks: a cut pass, laps after the third, alternatives that call
parts, and laps until the music ends ask for nothing, and sums are taken modulo a power of two.  So `unsat` is a proof,
and `sat` is none.

Taken over from the first engine are the lines of the dance (`slots`), their changes (`changes`), and that the question
is put for parts that share no line, each with a bound: if each of some parts needs so much of its own, all need the
sum, and each of these bounds is asked for.
"""

from math import gcd
from typing import NoReturn

from attrs import define, evolve, field, frozen

from stepcheck.fixes.alternatives import COST, Alternatives, picked
from stepcheck.model.claims import Check, Claim, Test
from stepcheck.model.dance import EIGHTHS, Choice, Foot, Step
from stepcheck.proof.bodies import Bodies
from stepcheck.proof.figures import Figures
from stepcheck.proof.names import FEET, Function, Names, TooLarge, joined, literal
from stepcheck.proof.passes import Guesses
from stepcheck.proof.prelude import Census, Widths, prelude
from stepcheck.proof.repeats import SMALL, Repeats
from stepcheck.proof.script import opening, widths_of
from stepcheck.search.search import Search
from stepcheck.search.slots import Nodes


@frozen(eq=False)
class Stretch:
    """Nodes that need changes of cost `bound` of their own; `start` is the weight of dancers there, None for any.

    With a `start` it is the whole dance.
    """

    nodes: Nodes
    bound: int
    start: int | None = None


def stretches(search: Search, cost: int) -> tuple[Stretch, ...]:
    """Return stretches whose bounds come to `cost`: parts that share no line where that is enough, else the whole
    dance."""
    search.bounds.raised(cost)
    found = [Stretch(search.sketch.nodes(part.body), bound) for part, bound in search.bounds.failing()]
    if sum(stretch.bound for stretch in found) >= cost:
        return tuple(found)
    return (Stretch(search.sketch.dance, cost, int(search.sketch.program.lead.other)),)


class _Repeats(Repeats):
    """Repeats in which all that dancers pick is told apart."""

    def read_off(self, once: Function, small: int = SMALL) -> Function:
        """Return `once` as a table, if nothing is picked in it."""
        return once if once.picks else super().read_off(once, small)

    def times(self, once: Function, times: int) -> Function:
        """Return a function danced so many times, written out if something is picked in it."""
        return self._flat(once, times) if once.picks else super().times(once, times)


@define
class _Bodies(Bodies):
    """The bodies of a question: a claim that may change holds for its cost, and laps turn alike.

    `prices` are the costs of the claims that may change, `spent` the terms of what is spent, on lines too; `lap` is the
    turn of a lap and the bit that says that one turns otherwise.
    """

    prices: dict[str, int] = field(factory=dict)
    spent: list[str] = field(factory=list)
    lap: tuple[str, str] = ("", "")

    def changed(self, claim: Claim) -> str:
        """Return that a claim is changed; `false` if that costs too much."""
        if claim.id not in self.prices:
            return "false"
        where = ("changed", claim.id)
        if where not in self.names.once:
            name = self.names.once[where] = self.names.pick(f"{claim.line}: {claim.text} is changed", 1)
            self.spent.append(f"(ite (= {name} #b1) {literal(self.prices[claim.id], COST)} {literal(0, COST)})")
        return f"(= {self.names.once[where]} #b1)"

    def claim(self, item: Check | Choice) -> str:
        """Return the bit of a claim, none for one that is given up."""
        return super().claim(item) if item.claim is not None and item.claim.id else "none"

    def check(self, check: Check, front: str, came: str) -> str:
        """Return a check, after which the other foot leads if a claim of the leading foot is changed."""
        said, changed = super().check(check, front, came), self.changed(check.claim)
        if changed == "false" or check.blank:
            return said
        other = evolve(check, value=int(Foot(check.number).other)) if check.test is Test.LEAD else None
        return f"(ite {changed} {super().check(other, front, came) if other else came} {said})"

    def begun(self, term: str) -> str:
        """Note that a lap turns otherwise than the others."""
        turn, bit = self.lap
        if not turn:
            return term
        return f"(let ((went {term})) (ite (= (bvadd (facing d) {turn}) (facing went)) went (noted {bit} went)))"


class Question:
    """One question about some stretches: that one of them is mended for less than its bound.

    Args:
        search: the search in the sheet.
        chosen: the stretches.
        place: the number of the readings that are taken, of those under which the sheet can be danced.

    Raises:
        TooLarge: it would be too long to ask.
    """

    def __init__(self, search: Search, chosen: tuple[Stretch, ...], place: int = 0) -> None:
        self.search, self.program = search, search.sketch.program
        most = max(stretch.bound for stretch in chosen) - 1
        if most >> COST:
            raise TooLarge
        pool = tuple(Step(0, one.figure) for one in search.offers.pool) if most >= search.least else ()
        census = Census.of(evolve(self.program, dance=(*self.program.dance, *pool)))
        widths = Widths.holding(census.turn, census.ticks, 1)
        self.names = names = Names(widths.turn, widths.beats)
        feet = len(FEET) if census.both else 2
        figures = Figures(names, feet, {word.key: word for word in self.program.words})
        repeats = _Repeats(names, feet, frozenset(), _refused, True)
        self.bodies = _Bodies(names, figures, repeats, census, False)
        self.lines = Alternatives(self.bodies, self.bodies.spent, search, place, feet)
        ends = [self._stretch(number, stretch) for number, stretch in enumerate(chosen, 1)]
        ends += self.lines.unlike()
        words = search.transitions.words
        guesses = Guesses(readings=words.readings(search.transitions.assignments[place]))
        widths = widths_of(names)
        told = opening(evolve(self.program, walls=None), names, guesses, widths)
        self.text = "\n".join(
            [
                "; Can choices that cost less leave no sentence of this sheet false?  unsat: no.",
                prelude(widths).partition("\n")[2],
                *names.shared,
                *told,
                *(f"(assert {condition})" for condition in self.lines.asked),
                f"(assert (or false {' '.join(ends)}))",
                "(check-sat)\n",
            ]
        )

    def _stretch(self, number: int, stretch: Stretch) -> str:
        """State a stretch, and return that it is mended for less than its bound."""
        names, bodies, whole = self.names, self.bodies, stretch.start is not None
        prices, kinds = self.search.prices, self.search.restating.kinds
        bodies.prices = {claim: prices[kind] for claim, kind in kinds.items() if prices[kind] < stretch.bound}
        bodies.spent.clear()
        bodies.lap = self._lap() if whole else ("", "")
        items = self.lines.items(stretch.nodes, stretch.bound - 1)
        dance = bodies.body(f"stretch {number}", items, "front" if whole else "#b000")
        begin = FEET[stretch.start] if stretch.start is not None else self.lines.weight("the first weight")
        off = []
        for last in (False, True)[: 1 + bool(dance.picks)]:
            end = names.fresh(f"end of stretch {number}")
            names.say(f"(define-fun {end} () Dancer {dance.of(f'(fresh {begin})', picked(last, dance.picks))})")
            off.append(f"(= none (off {end}))")
        if whole and self.program.walls is None:
            off += self._spares(stretch.bound - 1)
        spent = joined("bvadd", bodies.spent, literal(0, COST))
        return f"(and (bvult {spent} {literal(stretch.bound, COST)}) {' '.join(off)})"

    def _spares(self, most: int) -> list[str]:
        """Return that nothing is false in parts that are never danced."""
        off = []
        for weights, nodes in self.search.sketch.spares:
            part = self.bodies.body("a part by itself", self.lines.items(nodes, most), "#b000")
            begin = (part.of(f"(fresh {FEET[weight]})", picked(False, part.picks)) for weight in weights)
            off += [f"(= none (off {end}))" for end in begin]
        return off

    def _lap(self) -> tuple[str, str]:
        """Return the turn of a lap, with which dancers come home after as many as the sheet has walls, and the bit of
        that."""
        walls = self.program.walls
        if walls is None:
            return "", ""
        turn = self.names.pick("the turn of a lap", 3)
        turns = [one for one in range(EIGHTHS) if EIGHTHS // gcd(one, EIGHTHS) == walls.count]
        home = " ".join(f"(= {turn} {self.names.wall(one)})" for one in turns)
        self.lines.asked.append(f"(or {self.bodies.changed(walls.claim)} {home} false)")
        return turn, self.names.bit(f"{walls.claim.line}: {walls.claim.text}", walls.claim.id)


def _refused(*_: object) -> NoReturn:
    raise TooLarge
