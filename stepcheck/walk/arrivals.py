"""Questions to one walk: the states that reach a place, the length and turn of a part, and whether any claim fails.

None of these walks looks for counterexamples, so a search can afford many.
"""

from attrs import frozen

from stepcheck.books.footwork import MOST_ASSIGNMENTS, Words
from stepcheck.model.claims import Check, Claim, Kind, Test
from stepcheck.model.dance import Body, Item, Pass, Program, Weight, key
from stepcheck.model.outcome import Verdict
from stepcheck.model.work import WorkSpent
from stepcheck.walk.branches import Front
from stepcheck.walk.effects import Algebra, Effect
from stepcheck.walk.frontier import Fronts

BUDGET = 1_000_000


@frozen
class Place:
    """A line of the sheet, the passes of a part, or particular items of a program, told apart by identity.

    `before` means the moment before it, else the moment after it.
    """

    line: int = 0
    part: str = ""
    before: bool = False
    items: tuple[Item, ...] = ()

    def is_at(self, item: Item) -> bool:
        """Say whether an item of the program belongs to the place."""
        if self.items:
            return any(item is one for one in self.items)
        if self.part:
            return isinstance(item, Pass) and key(item.part) == key(self.part)
        return getattr(item, "line", 0) == self.line


@frozen
class Arrival:
    """The states in which dancers can reach a place at one time, facings measured from the start of the part around it.

    `open` says that which of them comes waits on a blank.
    """

    states: tuple[tuple[Weight, int], ...]
    open: bool


class _Stop(Exception):
    """A claim fails; `late` says that it is about a length and that the steps last too long."""

    def __init__(self, late: bool) -> None:
        self.late = late


class _Watch(Fronts):
    """A walk that records the states at one place."""

    def __init__(self, algebra: Algebra, words: Words, place: Place) -> None:
        super().__init__(algebra, BUDGET, words)
        self._place = place
        self._inside = False
        self.found: dict[Arrival, None] = {}

    def run(self, body: Body, front: Front, facing: int) -> Front:
        """Return the front at the end of `body`, one item after the other."""
        for number, item in enumerate(body):
            here = not self._inside and self._notes and self._place.is_at(item)
            if here and self._place.before and not (number and self._place.is_at(body[number - 1])):
                self._note_arrival(front, facing)
            self._inside |= here
            front = super().run((item,), front, facing)
            self._inside &= not here
            last = number + 1 == len(body) or bool(self._place.part) or not self._place.is_at(body[number + 1])
            if here and last and not self._place.before:
                self._note_arrival(front, facing)
        return front

    def _note_arrival(self, front: Front, began: int) -> None:
        for effect, _ in front:
            self.found[Arrival(_states(effect, began), effect.open)] = None


class _Trial(Fronts):
    """A walk that stops at the first claim that fails."""

    _late = False

    def _judge(self, check: Check, effect: Effect, every: bool, some: bool, who: int) -> None:
        self._late = check.test is Test.CLOCK and effect.clock[0] > check.number
        super()._judge(check, effect, every, some, who)

    def _note(self, claim: Claim, verdict: Verdict, who: int, check: object) -> None:
        if verdict is Verdict.REFUTED and who and self._notes:
            raise _Stop(self._late and claim.kind is not Kind.ALTERNATIVES)
        super()._note(claim, verdict, who, check)


class _Measure(Fronts):
    """A walk that records the lengths and turns of one part."""

    def __init__(self, words: Words, part: str) -> None:
        super().__init__(Algebra(), BUDGET, words)
        self._part = key(part)
        self.lengths: set[int] = set()
        self.turns: set[int | None] = set()

    def _pass(self, item: Pass, front: Front, facing: int) -> Front:
        for before, _ in front if key(item.part) == self._part else ():
            for effect, _ in self.passed(item.body, before.ends, before.open).ends:
                for _, _, entry in effect.entries:
                    self.lengths |= {entry.low, entry.high} if item.lasts is None else {item.lasts}
                    self.turns |= {None} if entry.loose else {*entry.turns}
        return super()._pass(item, front, facing)


def measures(program: Program, part: str) -> tuple[int | None, int | None]:
    """Return how many ticks a part lasts and how many signed eighths it turns; None for what is not always the same.

    Raises:
        WorkSpent: that is too much to look at.
    """
    measure = _Measure(_words(program), part)
    _dance(measure, program)
    one_length, one_turn = len(measure.lengths) == 1, len(measure.turns) == 1
    return min(measure.lengths) if one_length else None, next(iter(measure.turns)) if one_turn else None


def arrivals(program: Program, place: Place, algebra: Algebra | None = None) -> tuple[Arrival, ...]:
    """Return the arrivals at a place, each different one once, in the order of the dance.

    A place inside a part that is never danced is reached from the part's own start.

    Raises:
        WorkSpent: that is too much to look at.
    """
    watch = _Watch(algebra or Algebra(), _words(program), place)
    _dance(watch, program)
    return tuple(watch.found)


def onward(program: Program, body: Body, weight: Weight | None = None) -> tuple[tuple[Weight, int], ...]:
    """Return the states to which `body` leads, from the start of the dance, or from a weight with the facing 0.

    Raises:
        WorkSpent: that is too much to look at.
    """
    fronts = Fronts(Algebra(), BUDGET, _words(program))
    begun = (Weight(program.lead.other),) if weight is None else (weight,)
    facing = program.facing if weight is None else 0
    ends = fronts.run(body, fronts.begin(begun), facing)
    return tuple(sorted({state for effect, _ in ends for state in _states(effect, facing)}))


def _states(effect: Effect, began: int) -> tuple[tuple[Weight, int], ...]:
    """Return the weights and facings at the end of an effect in a frame that began with the facing `began`."""
    return tuple(sorted({(after, wall) for _, after, entry in effect.entries for wall in entry.walls(began)}))


def fails(program: Program, algebra: Algebra | None = None) -> tuple[bool, bool]:
    """Say whether some claim about the steps is refuted, and whether because the steps last too long.

    Claims about walls, and claims that are never reached, are not looked at.  Steps that last too long stay too long
    whatever is added to them.

    Raises:
        WorkSpent: that is too much to look at.
    """
    trial = _Trial(algebra or Algebra(), BUDGET, _words(program))
    try:
        _dance(trial, program)
    except _Stop as stop:
        return True, stop.late
    return any(event.verdict is Verdict.REFUTED and event.who for event in trial.events), False


def _words(program: Program) -> Words:
    words = Words(program)
    if words.total > MOST_ASSIGNMENTS:
        raise WorkSpent
    return words


def _dance(fronts: Fronts, program: Program) -> None:
    fronts.run(program.dance, fronts.begin((Weight(program.lead.other),)), program.facing)
    for spare in program.spares:
        for weight in spare.weights:
            fronts.run(spare.body, fronts.begin((weight,)), 0)
