"""The lines of a sheet in the script of the second engine: what stands on one is a choice.

The constant of a line says what it does from each foot.  It is as the steps of the line do, or, for a cost, as those of
one of its changes do, each stated movement by movement as all steps are.  Figures that the first engine takes for the
same are stated as one, and it is asked whether they do the same.  What is not looked into has a constant that can be
anything.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, TypeAlias

from attrs import evolve, field, frozen

from stepcheck.language.syntax import Row
from stepcheck.model.claims import Check, Claim, Kind, Test
from stepcheck.model.dance import (
    TICKS,
    Body,
    Choice,
    Figure,
    Foot,
    Forever,
    Item,
    Lined,
    Repeat,
    Rest,
    Step,
    Uncut,
    Weight,
)
from stepcheck.model.items import Block, Mapped, every
from stepcheck.proof.bodies import FEW, Bodies
from stepcheck.proof.names import FEET, Function, Names, Picks, TooLarge, chosen, literal
from stepcheck.search.candidates import Candidate
from stepcheck.search.changes import Offer, Variant, plain
from stepcheck.search.search import Search
from stepcheck.search.slots import Node, Nodes, Slot, timed
from stepcheck.search.transitions import Transition

LAPS = 3
COST = 16
"""The bits of a cost."""
LED = Claim("led by a foot", Kind.LEAD, 0, "a foot leads")
"""The claim of a line to which a foot is written."""

Coming: TypeAlias = tuple[int, bool]
"""The weight before, and whether the last is picked of all that dancers can pick, not the first."""


@frozen(eq=False)
class Word:
    """A line that may change: its title, and the ways for which its constant says what it does.

    `places` maps each kind of place of the line in the dance to its function, and to the bodies that can stand there,
    each with its cost.
    """

    title: str
    ways: tuple[Coming, ...]
    places: dict[object, tuple[Function, tuple[tuple[int, Body], ...]]] = field(factory=dict)


class Alternatives:
    """The lines of one question; `asked` are conditions on their constants, `spent` terms of what is spent on them.

    `place` is the number of the readings, `feet` are those on which the weight can be.
    """

    def __init__(self, bodies: Bodies, spent: list[str], search: Search, place: int, feet: int) -> None:
        self.bodies, self.names, self.spent, self.place, self.feet = bodies, bodies.names, spent, place, feet
        self.sketch, self.offers, self.transitions = search.sketch, search.offers, search.transitions
        self.asked: list[str] = []
        self.width = self.names.turn_width + self.names.beats_width + 4
        self._most = 0
        self._words: dict[object, Word] = {}
        self._items: dict[int, Body] = {}
        self._unknowns: dict[int, Function] = {}
        self._plain: dict[object, Body] = {}
        self._does: dict[object, str] = {}
        self._same: dict[bool, dict[Candidate, Candidate]] = {}
        self._laid = Mapped(_laid)
        high, fails = self.width - 1, self.names.bit("something fails in a change")
        self.names.say(
            f"(define-fun does ((d Dancer)) (_ BitVec {high + 1}) ; and whether something fails in it\n"
            "  (concat (ite (= none (off d)) #b0 #b1) (but-off d)))\n"
            f"(define-fun doing ((e (_ BitVec {high + 1})) (d Dancer)) Dancer (then d\n"
            f"  (concat (ite (= ((_ extract {high} {high}) e) #b1) {fails} none) ((_ extract {high - 1} 0) e))))"
        )

    def items(self, nodes: Nodes, most: int) -> Body:
        """Return nodes as items; lines that may change for so much, and what is not looked into, as functions."""
        self._most = most
        known = len(self._words)
        items = self._body(nodes)
        for word in tuple(self._words.values())[known:]:
            self._say(word)
        return items

    def weight(self, title: str) -> str:
        """Return a constant that is any weight."""
        name = self.names.pick(title, 2)
        self.asked.append(f"(bvult {name} {literal(self.feet, 2)})")
        return name

    def unlike(self) -> list[str]:
        """Return that figures which are taken for the same are not."""
        ways = self._ways([foot == Weight.BOTH for foot in range(self.feet)])
        found = []
        for turning, same in self._same.items():
            for one, first in same.items():
                if one is not first:
                    each = (self._danced(some.figure, None if turning else 0, 1) for some in (one, first))
                    found.append(f"(not (= {' '.join(self._doing(body, ways) for body in each)}))")
        return found

    # -- items ---------------------------------------------------------------------------------------------------------

    def _body(self, nodes: Nodes) -> Body:
        if id(nodes) not in self._items:
            self._items[id(nodes)] = tuple(item for node in nodes for item in self._item(node))
        return self._items[id(nodes)]

    def _item(self, node: Node) -> tuple[Any, ...]:
        match node:
            case Slot():
                return self._slot(node)
            case Uncut() | Choice():
                return (self._unknown(node),)
            case Forever():
                return (Repeat(node.line, LAPS, self._body(self.sketch.nodes(node.body))),)
        if not isinstance(node, Block):
            return (node,)
        return (evolve(node, body=self._body(self.sketch.nodes(node.body))),)

    def _unknown(self, node: Uncut | Choice) -> Function:
        """Return what is not looked into: it does the same each time, from each foot and by what is picked."""
        if id(node) not in self._unknowns:
            ways = self._ways([True] * self.feet)
            title = f"{node.line}: not looked into"
            parts = self._parts(self.names.pick(f"outcome of {title}", self.width * len(ways)), len(ways))
            made = self._unknowns[id(node)] = Function(self.names.fresh(title), 1, 1)
            self.asked += [f"(bvult ((_ extract 1 0) {part}) {literal(self.feet, 2)})" for part in parts]
            music = node.music if isinstance(node, Uncut) else None
            self._state(made, ways, parts, "" if music is None else f"at {self.names.beats(music)}")
            if isinstance(node, Uncut) and music is None:
                beats = f"(_ extract {1 + self.names.beats_width} 2)"
                self.asked += [f"(= ({beats} {part}) {self.names.beats(node.ticks)})" for part in parts]
        return self._unknowns[id(node)]

    def _slot(self, slot: Slot) -> tuple[Any, ...]:
        """Return a line where it stands; as it is, if it may not change or has something to be found in it."""
        variants = () if slot.blank else tuple(v for v in self.offers.every(slot.key) if v.cost <= self._most)
        if not variants:
            return self._laid.body(slot.core)
        slots, row = self.offers.slots[slot.key], slot.line.node
        step = None
        if isinstance(row, Row) and not slot.point and all(plain(one, row) for one in slots):
            step = plain(slot, row)
        where = slot.around.swap.mirrored if slot.point else (step.turn, slot.around.swap) if step else slot.around
        if slot.key not in self._words:
            title = f"{slot.line.number}{('', ': before it', ': behind it')[slot.key[1]]}"
            self._words[slot.key] = Word(title, self._ways(self._parted(slots, variants)))
        word = self._words[slot.key]
        if where not in word.places:
            turning = step is None or step.turn is None
            offers = dict.fromkeys((one.cost, self._first(offer, turning)) for one in variants for offer in one.offers)
            changes = ((cost, self._changed(slot, step, offer)) for cost, offer in offers)
            made = Function(self.names.fresh(word.title), int(len(word.ways) > self.feet), 1)
            own = self._laid.body(slot.core)
            if step and isinstance(row, Row):
                own = self._danced(step.figure, step.turn, row.options[0].times or 1)
            word.places[where] = made, ((0, own), *changes)
        return (word.places[where][0],)

    def _parted(self, slots: Iterable[Slot], variants: Iterable[Variant]) -> list[bool]:
        """Return for each foot whether dancers who come from it to a line may pick something that matters."""
        if any(isinstance(item, Choice) for slot in slots for item in every(slot.core)):
            return [True] * self.feet
        transitions = [
            *(self.offers.own[slot] for slot in slots),
            *(transition for one in variants for transition in one.transitions),
        ]
        return [
            any(len(transition[3 * self.place + foot] or ()) > 1 for transition in transitions)
            for foot in range(self.feet)
        ]

    def _first(self, offer: Offer, turning: bool) -> Offer:
        """Return an offer with the first figure that does the same, with its own turn or without it."""
        if offer.candidate is None:
            return offer
        if turning not in self._same:
            firsts: dict[Transition, Candidate] = {}
            transition = [self.transitions.step(one.figure, None if turning else 0) for one in self.offers.pool]
            same = zip(self.offers.pool, transition, strict=True)
            self._same[turning] = {one: firsts.setdefault(found, one) for one, found in same}
        return offer._replace(candidate=self._same[turning][offer.candidate])

    def _changed(self, slot: Slot, step: Step | None, offer: Offer) -> Body:
        """Return the steps of a line after a change; `step` is its own, where it is one danced some times."""
        kind, candidate, value = offer.kind, offer.candidate, offer.value
        if slot.point and candidate is None:
            return (Rest(0, (value or 1) * TICKS),)
        if slot.point and candidate is not None:
            turn = offer.turn and (-offer.turn if slot.around.swap.mirrored else offer.turn)
            return self._danced(candidate.figure, turn, value or 1)
        row = slot.line.node
        if step is None or kind == "delete" or not isinstance(row, Row):
            return self._laid.body(timed(self.offers.items(slot, offer))[0])
        figure, turn, times, swap = step.figure, step.turn, row.options[0].times or 1, slot.around.swap
        match kind:
            case "figure" | "other length" if candidate is not None:
                figure = candidate.figure
            case "times":
                times = value or 1
            case "turn":
                turn = -value if value is not None and swap.mirrored else value
        body = self._danced(figure, turn, times)
        if kind != "lead":
            return body
        foot = Foot(value or 0)
        return (Check(0, LED, Test.LEAD, int(foot.other if swap.feet else foot)), *body)

    def _danced(self, figure: Figure, turn: int | None, times: int) -> Body:
        """Return a figure danced some times, the same body each time that it is asked for."""
        where = (id(figure), turn, times)
        if where not in self._plain:
            step = (Step(0, figure, turn),)
            self._plain[where] = step * times if times <= FEW else (Repeat(0, times, step),)
        return self._plain[where]

    # -- text ----------------------------------------------------------------------------------------------------------

    def _ways(self, parted: Sequence[bool]) -> tuple[Coming, ...]:
        """Return the ways to come to a line: from a foot, picking the first or, if dancers pick something, the last."""
        return tuple((foot, last) for foot, parts in enumerate(parted) for last in (False, True)[: 1 + parts])

    def _parts(self, name: str, number: int) -> list[str]:
        """Return the equal parts of a word of bits, the highest first."""
        return [f"((_ extract {(n + 1) * self.width - 1} {n * self.width}) {name})" for n in reversed(range(number))]

    def _state(self, made: Function, ways: Sequence[Coming], parts: Sequence[str], after: str = "") -> None:
        """State the function of a line from what it does in each way."""
        does: Mapping[Coming, str] = dict(zip(ways, parts, strict=True))
        ends = []
        for foot in range(self.feet):
            last = does.get((foot, True))
            ends.append(f"(ite (= p #b1) {last} {does[foot, False]})" if last else does[foot, False])
        term = f"(doing {chosen(lambda foot: f'(= (weight d) {FEET[foot]})', ends)} d)"
        head = f"((d Dancer){' (p (_ BitVec 1))' if made.picks else ''}) Dancer"
        self.names.say(f"(define-fun {made.name} {head} {f'({after} {term})' if after else term})")

    def _doing(self, body: Body, ways: tuple[Coming, ...]) -> str:
        """Return the name of what steps do in some ways, empty if that hangs on where dancers face."""
        where = (id(body), ways)
        if where not in self._does:
            title = next((item.figure.name for item in every(body) if isinstance(item, Step)), "no step")
            ends, looks = [], 0
            for foot, last in ways:
                end, picks = f"(fresh {FEET[foot]})", _Picked(self.names, last)
                for item in body:
                    said = self.bodies.item(item, title, "#b000", picks)
                    end, looks = f"(let ((d {end})) {said.term})", looks | said.looks
                ends.append(f"(does {end})")
            name = "" if looks else self.names.fresh(f"{title} does")
            if name:
                sort = f"(_ BitVec {self.width * len(ways)})"
                self.names.say(f"(define-fun {name} () {sort} (concat {' '.join(ends)}))")
            self._does[where] = name
        return self._does[where]

    def _say(self, word: Word) -> None:
        """State the constant of a line, what it can be, what that costs, and a function for each place of the line."""
        names, number = self.names, len(word.ways)
        name = names.pick(f"choice of {word.title}", self.width * number * len(word.places))
        parts = self._parts(name, number * len(word.places))
        for place, (made, _) in enumerate(word.places.values()):
            self._state(made, word.ways, parts[place * number :][:number])
        can_be: dict[int, dict[str, None]] = {}
        for each in zip(*(options for _, options in word.places.values()), strict=True):
            does = [self._doing(body, word.ways) for _, body in each]
            if not all(does):
                return  # it may do anything
            can_be.setdefault(each[0][0], {})[f"(concat {' '.join(does)})" if len(does) > 1 else does[0]] = None
        width = len(can_be).bit_length()
        cost = names.pick(f"cost of {word.title}", width)
        costs = [f"(= {cost} {literal(one, width)})" for one in range(len(can_be))]
        some = (f"(or false {' '.join(f'(= {name} {one})' for one in each)})" for each in can_be.values())
        self.asked.append(f"(or {' '.join(f'(and {one} {other})' for one, other in zip(costs, some, strict=True))})")
        self.spent.append(chosen(lambda one: costs[one], [literal(price, COST) for price in can_be]))


class _Picked(Picks):
    """What one of the two dancers picks: always the first, or always the last."""

    def __init__(self, names: Names, last: bool) -> None:
        super().__init__(names)
        self.last = last

    def take(self, width: int) -> str:
        """Return what is picked of so many bits."""
        return picked(self.last, width)


def picked(last: bool, picks: int) -> str:
    """Return that the first, or the last, is picked of everything that so many bits can pick."""
    return literal((1 << picks) - 1 if last else 0, picks) if picks else ""


def _laid(item: Item) -> Body:
    """Return what stands in a script in the place of an item: of a line what it lays."""
    if isinstance(item, Uncut):
        raise TooLarge
    return item.body if isinstance(item, Lined) else (item,)
