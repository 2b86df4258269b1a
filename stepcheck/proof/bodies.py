"""Lines, checks, variations and passes: each a function from dancer to dancer, stated item by item."""

from collections.abc import Mapping, Sequence

from attrs import define, evolve, field, frozen

from stepcheck.model.dance import (
    Body,
    Check,
    Choice,
    Gap,
    Item,
    Lap,
    Last,
    Pass,
    Program,
    Repeat,
    Rest,
    Step,
    Test,
    Timed,
    Together,
    Weight,
)
from stepcheck.model.items import inside
from stepcheck.model.movements import Actor
from stepcheck.proof.figures import Figures
from stepcheck.proof.names import FEET, Names, chosen, foot_name, literal
from stepcheck.proof.repeats import Function, Looks, Repeats

_LOOKS = {Test.FACING: Looks.FACING, Test.TURN: Looks.TURN, Test.EITHER: Looks.TURN, Test.CLOCK: Looks.CLOCK}
FEW = 4  # times that are written out where they stand
BEGINS = tuple(f"a pass begins on {foot}" for foot in FEET)


class Picks:
    """What a dancer picks in a body, as slices of its argument; at a point of the dance, as constants."""

    def __init__(self, names: Names, place: str = "") -> None:
        self.width = 0
        self._names, self._place = names, place

    def take(self, width: int) -> str:
        """Return the next so many bits, the empty text for none."""
        if not width:
            return ""
        if self._place:
            return self._names.pick(self._place, width)
        self.width += width
        return f"((_ extract {self.width - 1} {self.width - width}) p)"


@frozen
class Said:
    """An item as a term of the dancer `d`: a comment, the figures it stands for, what it looks at of its frame."""

    term: str
    note: str = ""
    figures: int = 0
    looks: Looks = Looks.NOTHING


@define
class Bodies:
    """The bodies of one script, each stated once.

    `both` says whether the weight can be on both feet at all; `claimed` are the claims that a check reaches, `laps`
    says whether the dance reaches a whole pass that the number of walls is about, `places` in how many places of the
    dance the body of a pass is danced, by its `id`.
    """

    names: Names
    figures: Figures
    repeats: Repeats
    both: bool
    walls: bool
    claimed: dict[str, None] = field(factory=dict)
    laps: bool = False
    counting: bool = True
    places: Mapping[int, int] = field(factory=dict)
    _made: dict[object, tuple[Function, Body]] = field(factory=dict)

    def body(self, title: str, items: Body, front: str) -> Function:
        """State a body as a function, an item a line, and return it; `front` is what its facings are measured from."""
        key = _key(items, front)
        if key not in self._made:
            picks = Picks(self.names)
            said = [self.item(item, title, front, picks) for item in items]
            self._made[key] = self._stated(title, said, picks.width, key), items
        return self._made[key][0]

    def _stated(self, title: str, said: Sequence[Said], width: int, key: object) -> Function:
        figures, looks = sum(one.figures for one in said), Looks.NOTHING
        for one in said:
            looks |= one.looks
        name = self.names.fresh(title)
        picks = f" (p (_ BitVec {width}))" if width else ""
        lines = [f"(define-fun {name} ((d Dancer){picks}) Dancer"]
        lines += [f"  (let ((d {one.term}))" + (f" ; {one.note}" if one.note else "") for one in said]
        self.names.say("\n".join([*lines, f"  d{')' * (len(said) + 1)}"]), max(1, figures))
        return Function(name, width, max(1, figures), looks, key)

    # -- items -------------------------------------------------------------------------------------------------------

    def item(self, item: Item, title: str, front: str, picks: Picks) -> Said:  # noqa: C901 - a case for each kind
        """Return an item as a term of `d`."""
        match item:
            case Step():
                return self._step(item, picks)
            case Rest():
                return Said(f"(lasts {self.names.beats(item.ticks)} d)", f"{item.line}: hold")
            case Gap():
                return self._gap(item)
            case Check():
                return Said(self._check(item, front, "d"), looks=_LOOKS.get(item.test, Looks.NOTHING))
            case Together():
                return self._together(item, front)
            case Choice():
                return self._choice(item, title, front, picks)
            case Repeat():
                return self._repeat(item, title, front, picks)
            case Timed():
                said = self._inside(f"{title}, timed", item.body, front, picks, "(from-zero d)")
                lasting = self._lasting(said.term, item.lasts)
                return evolve(said, term=f"(timed d {lasting})", looks=said.looks & ~Looks.CLOCK)
            case Pass():
                return self._pass(item, picks)
            case Lap():
                said = self._inside(f"{title}, a pass", item.body, front, picks, "d")
                return evolve(said, term=self._begun(said.term))
            case Last():
                said = self._inside(f"{title}, the end", item.body, front, picks, "d")
                return evolve(said, term=f"(also d {said.term})", note="the dance may end so")
            case _:
                raise TypeError(f"{type(item).__name__} does not stand in a body")

    def _inside(self, title: str, body: Body, front: str, picks: Picks, entering: str) -> Said:
        made = self.body(title, body, front)
        return Said(made.of(entering, picks.take(made.picks)), "", made.figures, made.looks)

    def _step(self, step: Step, picks: Picks) -> Said:
        turning = step.turn is None and not step.blank
        chooses = self.figures.chooses(step.figure) if self.both else "false"
        term = "d"
        if chooses != "false":
            led = f"(leads {picks.take(1)} d)"
            term = led if chooses == "true" else f"(ite {chooses} {led} d)"
        term = f"({self.figures.figure(step.figure, turning)} {term})"
        if step.blank:
            turn = self._blank(f"turn of {step.figure.name}, line {step.line}", 3)
            term = f"(faces-anew {f'(bvneg {turn})' if step.turns else turn} {term})"
        elif step.turn:
            term = f"(turns {self.names.turn(step.turn)} {term})"
        return Said(term, f"{step.line}: {step.figure.name}", 1)

    def _blank(self, text: str, width: int) -> str:
        return self.names.constant(text, width, "blank")

    def _gap(self, gap: Gap) -> Said:
        ends = []
        for foot in (Weight.RIGHT, Weight.LEFT, Weight.BOTH) if gap.feet else Weight:
            row = f"line {gap.line}, from {foot_name(foot)}"
            weight, turn = self._blank(f"weight after {row}", 2), self._blank(f"turn of {row}", 3)
            allowed = f"(bvule {weight} both)"
            if allowed not in self.figures.meant:
                self.figures.meant.append(allowed)
            after = f"(ite (= {weight} both) both (other {weight}))" if gap.feet else weight
            ends.append(f"(on {after} (faces-anew {f'(bvneg {turn})' if gap.turns else turn} d))")
        row = chosen(lambda foot: f"(= (weight d) {FEET[foot]})", ends)
        return Said(f"(lasts {self.names.beats(gap.ticks)} {row})", f"{gap.line}: ?", 1)

    def _claim(self, item: Check | Choice) -> str:
        assert item.claim is not None
        if self.counting:
            self.claimed[item.claim.id] = None
        return self.names.bit(f"{item.claim.line}: {item.claim.text}", item.claim.id)

    def _check(self, check: Check, front: str, came: str) -> str:
        claim, value = self._claim(check), check.value
        match check.test:
            case Test.LEAD if value is None:
                blank = self._blank(f"foot of {check.claim.text}, line {check.line}", 1)
                feet = "left right" if check.feet else "right left"
                return f"(claim-lead {claim} (ite (= {blank} #b1) {feet}) {came} d)"
            case Test.BOTH:
                return f"(claim-both {claim} {came} d)"
        assert value is not None
        match check.test:
            case Test.LEAD:
                return f"(claim-lead {claim} {FEET[value]} {came} d)"
            case Test.FOOT:
                return f"(claim-foot {claim} {FEET[value]} {came} d)"
            case Test.FACING:
                return f"(claim-facing {claim} {front} {self.names.wall(value)} {came} d)"
            case Test.CLOCK:
                return f"(claim-beats {claim} {self.names.beats(value)} {came} d)"
            case Test.TURN:
                return f"(claim-turn {claim} {self.names.turn(value)} {came} d)"
            case _:
                return f"(claim-turn-either-way {claim} {self.names.turn(value)} {came} d)"

    def _together(self, together: Together, front: str) -> Said:
        """Judge all on the dancer who came; take them as true in their order."""
        looks = Looks.NOTHING
        text = "d"
        for check in reversed(together.checks):
            looks |= _LOOKS.get(check.test, Looks.NOTHING)
        terms = [self._check(check, front, "came") for check in together.checks]
        for term in reversed(terms):
            text = f"(let ((d {term})) {text})"
        return Said(f"(let ((came d)) {text})", looks=looks)

    def _choice(self, choice: Choice, title: str, front: str, picks: Picks) -> Said:
        options = [
            self.body(f"{title}, line {choice.line}, option {number}", option, front)
            for number, option in enumerate(choice.options, 1)
        ]
        inner, width = picks.take(max(one.picks for one in options)), (len(options) - 1).bit_length()
        ends = [one.of("d", f"((_ extract {one.picks - 1} 0) {inner})") for one in options]
        pick = picks.take(width)
        term = chosen(lambda number: f"(= {pick} {literal(number, width)})", ends)
        if choice.claim is not None:
            first = ends[0]
            if _varies(choice.options[0]):
                first = options[0].of("d", picks.take(options[0].picks))
            term = f"(as-long {self._claim(choice)} {first} {term})"
        looks = Looks.NOTHING
        for one in options:
            looks |= one.looks
        return Said(term, f"{choice.line}: a variation", sum(one.figures for one in options), looks)

    def _repeat(self, repeat: Repeat, title: str, front: str, picks: Picks) -> Said:
        if repeat.times == 0:
            return Said("d", f"{repeat.line}: 0 times")
        once = self.body(f"{title}, line {repeat.line}", repeat.body, front)
        if repeat.times is None:
            blank = self._blank(f"times of {_named(repeat.body)}, line {repeat.line}", 6)
            made = self.repeats.some_times(once, blank)
        elif repeat.times <= FEW and not once.picks:
            term = "d"
            for _ in range(repeat.times):
                term = once.of(term)
            return Said(term, f"{repeat.line}: {repeat.times} times", repeat.times * once.figures, once.looks)
        else:
            made = self.repeats.times(once, repeat.times)
        note = f"{repeat.line}: {'?' if repeat.times is None else repeat.times} times"
        return Said(made.of("d", picks.take(made.picks)), note, made.figures, made.looks)

    def _pass(self, item: Pass, picks: Picks) -> Said:
        title = f"{item.part}, time {item.time}" if item.time else item.part
        made = evolve(self.body(title, item.body, "#b000"), looks=Looks.NOTHING)
        if made.picks or self.places.get(id(item.body)) != 1:
            made = self.repeats.read_off(made)
        term = f"(then d {self._lasting(made.of('(enter d)', picks.take(made.picks)), item.lasts)})"
        note = f"{item.line}: {item.part}"
        return Said(self._begun(term) if item.lap else term, note, made.figures)

    def _lasting(self, term: str, lasts: int | None) -> str:
        return term if lasts is None else f"(at {self.names.beats(lasts)} {term})"

    def _begun(self, term: str) -> str:
        """Note on which foot a whole pass begins, if the sheet says something about walls."""
        if not self.walls:
            return term
        if self.counting:
            self.laps = True
        return f"(begins-pass d {term})"


def _key(items: Body, front: str) -> object:
    """Return what tells bodies apart: what they dance where they claim nothing, else which they are."""
    if all(isinstance(item, Step) and not item.blank for item in items):
        return tuple((item.line, id(item.figure), item.turn) for item in items if isinstance(item, Step))
    return id(items), front


def places_of(program: Program) -> dict[int, int]:
    """Return in how many places of the dance the body of each pass is danced, by its `id`; 2 stands for many."""
    found: dict[int, int] = {}
    seen: set[int] = set()
    stack: list[tuple[Body, int]] = [(program.dance, 1)]
    while stack:
        body, many = stack.pop()
        if id(body) in seen:
            continue
        seen.add(id(body))
        for item in body:
            if isinstance(item, Pass):
                found[id(item.body)] = found.get(id(item.body), 0) + many
            stack += ((inner, 2) for inner in inside(item))
    return found


def _named(body: Body) -> str:
    """Return what a repeat without a number repeats, which tells two on one line apart."""
    for item in body:
        match item:
            case Step():
                return item.figure.name
            case Pass():
                return item.part
            case Timed():
                return _named(item.body)
    return "this"


def _varies(body: Body) -> bool:
    """Whether a body holds alternatives that nobody has claimed to last equally long."""
    for item in body:
        inner = item.options if isinstance(item, Choice) else (getattr(item, "body", ()),)
        if (isinstance(item, Choice) and item.claim is None) or any(map(_varies, inner)):
            return True
    return False


def bodies_of(program: Program) -> tuple[Body, ...]:
    """Return all that is danced."""
    walls = (program.walls.body,) if program.walls else ()
    return (program.dance, *(spare.body for spare in program.spares), *walls)


def lands_on_both(program: Program) -> bool:
    """Whether the weight can come to be on both feet."""
    seen: set[int] = set()
    return any(Weight.BOTH in spare.weights for spare in program.spares) or any(
        _lands_on_both(body, seen) for body in bodies_of(program)
    )


def _lands_on_both(body: Body, seen: set[int]) -> bool:  # noqa: C901 - a case for each kind
    if id(body) in seen:
        return False
    seen.add(id(body))
    for item in body:
        match item:
            case Gap() | Check(test=Test.BOTH):
                return True
            case Together():
                if _lands_on_both(item.checks, seen):
                    return True
            case Step(figure=figure):
                if id(figure) in seen:
                    continue
                seen.add(id(figure))
                senses = (s for v in figure.versions for a in v.actions for s in a.movement.senses)
                if any(sense.actor is Actor.BOTH and sense.lands for sense in senses):
                    return True
            case Choice():
                if any(_lands_on_both(option, seen) for option in item.options):
                    return True
            case Check() | Rest():
                pass
            case _:
                if _lands_on_both(item.body, seen):
                    return True
    return False
