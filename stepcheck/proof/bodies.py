"""Lines, checks, variations and passes: each a function from dancer to dancer, stated item by item."""

from collections.abc import Iterable, Sequence
from functools import reduce
from operator import or_

from attrs import define, evolve, field, frozen

from stepcheck.model.claims import Check
from stepcheck.model.dance import Body, Choice, Gap, Item, Lap, Last, Pass, Repeat, Rest, Step, Timed, Together, Weight
from stepcheck.model.items import every
from stepcheck.proof.figures import Figures
from stepcheck.proof.names import FEET, Function, Names, Picks, chosen, joined, literal
from stepcheck.proof.prelude import SENTENCES, Census
from stepcheck.proof.repeats import CLOCK, FACING, TURN, Repeats

_LOOKS = {"weight": 0, "facing": FACING, "turn": TURN, "clock": CLOCK}
FEW = 4  # times that are written out where they stand
BEGINS = tuple(f"a pass begins on {foot}" for foot in FEET)


@frozen
class Said:
    """An item as a term of the dancer `d`, with a comment, its number of figures, and the properties of the frame that
    it tests."""

    term: str
    note: str = ""
    figures: int = 0
    looks: int = 0


def _lines(said: Sequence[Said]) -> str:
    """Return items one after the other, a line each, and the dancer who has danced them."""
    lines = [f"\n  (let ((d {one.term}))" + (f" ; {one.note}" if one.note else "") for one in said]
    return f"{''.join(lines)}\n  d{')' * len(said)}"


def _looks(said: Iterable[Said | Function]) -> int:
    return reduce(or_, (one.looks for one in said), 0)


@define
class Bodies:
    """The bodies of one script, each stated once.

    `claimed` are the claims that a check asks, each with whether one reaches its end, `laps` says whether the dance
    reaches a whole pass that the number of walls is about.
    """

    names: Names
    figures: Figures
    repeats: Repeats
    census: Census
    walls: bool
    claimed: dict[str, bool] = field(factory=dict)
    laps: bool = False
    counting: bool = True
    _made: dict[object, tuple[Function, Body]] = field(factory=dict)

    def body(self, title: str, items: Body, front: str) -> Function:
        """State a body as a function, an item a line, and return it; `front` is what its facings are measured from."""
        key = _key(items, front)
        if key not in self._made:
            picks = Picks(self.names)
            said = [self.item(item, title, front, picks) for item in items]
            figures = max(1, sum(one.figures for one in said))
            name = self.names.fresh(title)
            self.names.say(f"(define-fun {name} ((d Dancer){picks.taken}) Dancer{_lines(said)})", figures)
            self._made[key] = Function(name, picks.width, figures, _looks(said), key), items
        return self._made[key][0]

    # -- items -------------------------------------------------------------------------------------------------------

    def item(self, item: Item | Function, title: str, front: str, picks: Picks) -> Said:  # noqa: C901 - a case for each kind
        """Return an item, or a function that is stated already, as a term of `d`."""
        match item:
            case Function():
                return Said(item.of("d", picks.take(item.picks)), item.title, item.figures, item.looks)
            case Step():
                return Said(self._step(item, picks, "d"), f"{item.line}: {item.figure.name}", 1)
            case Check():
                return Said(self.check(item, front, "d"), "", 0, _LOOKS[item.test.about])
            case Together():
                return self._together(item, front)
            case Rest():
                return Said(f"(lasts {self.names.beats(item.ticks)} d)", f"{item.line}: hold")
            case Gap():
                return self._gap(item, picks)
            case Choice():
                return self._choice(item, title, front, picks)
            case Repeat():
                return self._repeat(item, title, front, picks)
            case Timed():
                said = self.inside(f"{title}, timed", item.body, front, picks, "(from-zero d)")
                lasting = self._lasting(said.term, item.lasts)
                return evolve(said, term=f"(timed d {lasting})", looks=said.looks & ~CLOCK)
            case Pass():
                return self._pass(item, picks)
            case Lap():
                said = self.inside(f"{title}, a pass", item.body, front, picks, "d")
                return evolve(said, term=self.begun(said.term))
            case Last():
                said = self.inside(f"{title}, the end", item.body, front, picks, "d")
                return evolve(said, term=f"(also d {said.term})", note="the dance may end so")
            case _:
                raise TypeError(f"{type(item).__name__} does not stand in a body")

    def inside(self, title: str, body: Body, front: str, picks: Picks, entering: str) -> Said:
        """Return a body that stands in another, from the dancer who enters it."""
        if picks.place and self.in_place(body):
            said = [self.item(item, title, front, picks) for item in body]
            return Said(
                f"(let ((d {entering})){_lines(said)})", "", max(1, sum(one.figures for one in said)), _looks(said)
            )
        made = self.body(title, body, front)
        return Said(made.of(entering, picks.take(made.picks)), "", made.figures, made.looks)

    def in_place(self, body: Body) -> bool:
        """Whether a body can be stated at a point of the dance: it stands nowhere else, and nothing is picked in it."""
        census = self.census
        return census.uses[id(body)] == 1 and not census.both and id(body) not in census.varied

    def _step(self, step: Step, picks: Picks, term: str) -> str:
        chooses = self.figures.chooses(step.figure) if self.census.both else "false"
        if chooses != "false":
            led = f"(leads {picks.take(1)} {term})"
            term = led if chooses == "true" else f"(ite {chooses} {led} {term})"
        term = f"({self.figures.figure(step.figure, step.turn is None and not step.blank)} {term})"
        if step.blank:
            turn = self.names.blank(f"turn of {step.figure.name}, line {step.line}", 3, step.place)
            return f"(faces-anew {f'(bvneg {turn})' if step.mirrored else turn} {term})"
        return f"(turns {self.names.turn(step.turn)} {term})" if step.turn else term

    def _gap(self, gap: Gap, picks: Picks) -> Said:
        """Return what the row does that fills beats: from each foot one thing, or whatever a dancer picks in it."""
        ends, free = [], picks.take(5)
        picked = f"((_ extract 1 0) {free})", f"((_ extract 4 2) {free})"
        for foot in (Weight.RIGHT, Weight.LEFT, Weight.BOTH) if gap.feet else Weight:
            row = f"line {gap.line}, from {FEET[foot]}"
            weight = self.names.blank(f"weight after {row}", 2, 0, "row")
            turn = self.names.blank(f"turn of {row}", 3, 0)
            after = f"(ite (bvult {weight} both) (other {weight}) {weight})" if gap.feet else weight
            ends.append(f"(row {after} {f'(bvneg {turn})' if gap.mirrored else turn} {picked[0]} {picked[1]} d)")
        row = chosen(lambda foot: f"(= (weight d) {FEET[foot]})", ends)
        return Said(f"(lasts {self.names.beats(gap.ticks)} {row})", f"{gap.line}: ?", 1)

    def claim(self, item: Check | Choice) -> str:
        """Return the name of the bit of a claim."""
        assert item.claim is not None
        if self.counting:
            opens = isinstance(item, Check) and item.opens
            self.claimed[item.claim.id] = self.claimed.get(item.claim.id, False) or not opens
        return self.names.bit(f"{item.claim.line}: {item.claim.text}", item.claim.id)

    def check(self, check: Check, front: str, came: str) -> str:
        """Return a check as a term, of the dancer who came to it."""
        claim, value, names = self.claim(check), check.value, self.names
        match check.test.about:
            case _ if check.blank:
                blank = names.blank(f"foot of {check.claim.text}, line {check.line}", 1, check.claim.id)
                wanted = f" (ite (= {blank} #b1) {'left right' if check.feet else 'right left'})"
            case _ if value is None:
                wanted = ""
            case "weight":
                wanted = f" {FEET[value]}"
            case "facing":
                wanted = f" {front} {names.wall(value)}"
            case "clock":
                wanted = f" {names.beats(value)}"
            case _:
                wanted = f" {names.turn(value)}"
        return f"({SENTENCES[check.test]} {claim}{wanted} {came})"

    def _together(self, together: Together, front: str) -> Said:
        """Judge all on the dancer who came; take them as true in their order.

        Those that look at different things of her say nothing to each other, one after the other as well as at once.
        """
        looks, term = [_LOOKS[check.test.about] for check in together.checks], "d"
        for check in together.checks:
            term = self.check(check, front, term)
        about = [TURN if look == FACING else look for look in looks]
        if len(set(about)) < len(about):
            each = [f"(off {self.check(check, front, 'd')})" for check in together.checks]
            term = f"(telling {joined('bvor', each)} {term})"
        return Said(term, looks=sum(set(looks)))

    def _choice(self, choice: Choice, title: str, front: str, picks: Picks) -> Said:
        what = f"line {choice.line}, option" if choice.line else "group"
        options = [
            self.body(f"{title}, {what} {number}", option, front) for number, option in enumerate(choice.options, 1)
        ]
        inner, width = picks.take(max(one.picks for one in options)), (len(options) - 1).bit_length()
        ends = [one.of("d", f"((_ extract {one.picks - 1} 0) {inner})") for one in options]
        pick = picks.take(width)
        term = chosen(lambda number: f"(= {pick} {literal(number, width)})", ends)
        if choice.claim is not None:
            first = ends[0]
            if _varies(choice.options[0]):
                first = options[0].of("d", picks.take(options[0].picks))
            term = f"(as-long {self.claim(choice)} {first} {term})"
        note = f"{choice.line}: a variation" if choice.line else "what her group dances"
        return Said(term, note, sum(one.figures for one in options), _looks(options))

    def _repeat(self, repeat: Repeat, title: str, front: str, picks: Picks) -> Said:
        if repeat.times == 0:
            return Said("d", f"{repeat.line}: 0 times")
        once = repeat.body[0] if len(repeat.body) == 1 else None
        few = repeat.times is not None and repeat.times <= FEW
        if isinstance(once, Step) and few and not self.census.both:
            term = "d"
            for _ in range(repeat.times or 0):
                term = self._step(once, picks, term)
            return Said(term, f"{repeat.line}: {once.figure.name}, {repeat.times} times", repeat.times or 0)
        body = self.body(f"{title}, line {repeat.line}", repeat.body, front)
        note = f"{repeat.line}: {'?' if repeat.times is None else repeat.times} times"
        if repeat.times is not None and few and not body.picks:
            term = "d"
            for _ in range(repeat.times):
                term = body.of(term)
            return Said(term, note, repeat.times * body.figures, body.looks)
        if repeat.times is None:
            text = f"times of {_named(repeat.body)}, line {repeat.line}"
            made = self.repeats.some_times(body, self.names.blank(text, 6, repeat.place))
        else:
            made = self.repeats.times(body, repeat.times)
        return Said(made.of("d", picks.take(made.picks)), note, made.figures, made.looks)

    def _pass(self, item: Pass, picks: Picks) -> Said:
        title = f"{item.part}, time {item.time}" if item.time else item.part
        if picks.place and self.in_place(item.body):
            said = self.inside(title, item.body, "#b000", picks, "(enter d)")
        else:
            made = self.repeats.read_off(evolve(self.body(title, item.body, "#b000"), looks=0))
            said = Said(made.of("(enter d)", picks.take(made.picks)), "", made.figures)
        term = f"(then d {self._lasting(said.term, item.lasts)})"
        return Said(self.begun(term) if item.lap else term, f"{item.line}: {item.part}", said.figures)

    def _lasting(self, term: str, lasts: int | None) -> str:
        return term if lasts is None else f"(at {self.names.beats(lasts)} {term})"

    def begun(self, term: str) -> str:
        """Note on which foot a whole pass begins, if the sheet says something about walls."""
        if not self.walls:
            return term
        if self.counting:
            self.laps = True
        return f"(begins-pass d {term})"


def _key(items: Body, front: str) -> object:
    """Return what bodies that need only one statement share: what they dance, and which they are if they claim
    something."""
    if all(isinstance(item, Step) and not item.blank for item in items):
        return tuple((item.line, id(item.figure), item.turn) for item in items if isinstance(item, Step))
    return id(items), front


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
    return any(isinstance(item, Choice) and item.claim is None for item in every(body))
