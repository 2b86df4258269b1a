"""The states that reach a place in the dance, and those at each point of it; the length and turn of a part, the first
failing claim.

None of these walks looks for counterexamples, so a search can afford many.
"""

from collections.abc import Callable, Collection, Iterable, Sequence
from typing import NamedTuple

from attrs import evolve, frozen

from stepcheck.books.footwork import MOST_ASSIGNMENTS, Impossible, Words, ends
from stepcheck.model.claims import Check, Claim, Kind, Test
from stepcheck.model.dance import (
    EIGHTHS,
    MOST_TIMES,
    Body,
    Choice,
    Foot,
    Forever,
    Gap,
    Item,
    Lap,
    Last,
    Pass,
    Program,
    Repeat,
    Rest,
    Step,
    Timed,
    Together,
    Weight,
    key,
)
from stepcheck.model.items import checks
from stepcheck.model.outcome import Spot, Verdict
from stepcheck.model.work import Work, WorkSpent
from stepcheck.walk.branches import Front, Looks
from stepcheck.walk.effects import Algebra, Effect
from stepcheck.walk.frontier import Fronts
from stepcheck.walk.stands import State, taken
from stepcheck.walk.travel import went

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


# -- each point of a dance ---------------------------------------------------------------------------------------------


class Dancer(NamedTuple):
    """One dancer: `turn` in eighths since the frame began (0 to 7 if `loose`), `clock` in ticks since it began.

    `open` says that it hangs on what fills a blank whether she comes there. With a `place`, which then is followed,
    nothing begins a frame.
    """

    weight: Weight
    turn: int = 0
    loose: bool = False
    clock: int = 0
    open: bool = False
    place: Spot | None = None

    def state(self, front: int) -> State:
        """Return her as checks see her, in a frame that began with the facing `front`."""
        return State(self.weight, (front + self.turn) % EIGHTHS, self.turn, self.loose, self.clock)

    def lasting(self, ticks: int | None) -> "Dancer":
        """Return her with this clock, where one is settled."""
        return self if ticks is None else self._replace(clock=ticks)

    def after(self, turn: int, loose: bool, clock: int, is_open: bool = False) -> "Dancer":
        """Return her with as much turn and clock before."""
        loose, turn, is_open = self.loose or loose, self.turn + turn, self.open or is_open
        return Dancer(self.weight, turn % EIGHTHS if loose else turn, loose, self.clock + clock, is_open, self.place)


class Points:
    """The states that bodies come to, and in `begins` the weights with which the laps in them begin.

    `rows` has the states after each item of a body, by the number of the body, the facing with which the frame began (0
    where no check in the body compares it), and the state before it.

    Args:
        number: gives a body its number, those inside it first.
        bodies: the items of each body by its number, as far as numbers have been given.
        work: how many items may be danced.
    """

    def __init__(self, number: Callable[[Body], int], bodies: Sequence[Body], work: Work) -> None:
        self.begins: set[Weight] = set()
        self.rows: dict[tuple[int, int, Dancer], list[set[Dancer]]] = {}
        self._number, self._bodies, self._work = number, bodies, work
        self._looks = Looks()

    def _observed(self, number: int) -> set[str]:
        """Return which properties the checks of a body compare, measured from before it."""
        return {test.about for test in self._looks.of(self._bodies[number]).tests}

    def body(self, number: int, front: int, dancer: Dancer) -> list[Dancer]:
        """Return the dancers after a body, its row being among the rows."""
        front, entry = self._entry(number, front, dancer)
        key = number, front, entry
        after = self.rows.get(key)
        if after is None:
            after = self.rows[key] = []
            here = {entry}
            for item in self._bodies[number]:
                here = {end for one in here for end in self._after(item, front, one)}
                alone = {one._replace(open=False) for one in here}
                here = alone if len(alone) == 1 else here  # each filling leads there
                after.append(here)
        turn, clock = dancer.turn - entry.turn, dancer.clock - entry.clock
        before = turn, dancer.loose and not entry.loose, clock, dancer.open
        last = after[-1] if after else {entry}
        self._work.spend(len(last))
        return [end.after(*before) for end in last]

    def _entry(self, number: int, front: int, dancer: Dancer) -> tuple[int, Dancer]:
        """Return the facing of the frame and the state, as far as the checks of a body compare them."""
        if dancer.place is not None:
            return 0, dancer._replace(turn=dancer.turn % EIGHTHS)
        seen = self._observed(number)
        turn = dancer.turn if "turn" in seen else dancer.turn % EIGHTHS if "facing" in seen else 0
        loose, clock = dancer.loose and "turn" in seen, dancer.clock if "clock" in seen else 0
        return front if "facing" in seen else 0, Dancer(dancer.weight, turn, loose, clock)

    def _all(self, body: Body, front: int, dancers: Collection[Dancer]) -> set[Dancer]:
        self._work.spend(1 + len(dancers))
        number = self._number(body)
        return {end for one in dancers for end in self.body(number, front, one)}

    def _after(  # noqa: C901 - a case for each kind
        self, item: Item, front: int, dancer: Dancer
    ) -> Iterable[Dancer]:
        match item:
            case Step():
                own, face = item.figure.versions[item.figure.usual], dancer.turn % EIGHTHS
                return [
                    dancer._replace(weight=end, place=dancer.place and went(dancer.place, face, item, own, lead)).after(
                        more, item.blank, own.length, item.blank
                    )
                    for lead, end, turn in ends(item.figure, dancer.weight)
                    if not isinstance(end, Impossible)
                    for more in (range(EIGHTHS) if item.blank else (turn if item.turn is None else item.turn,))
                ]
            case Gap():
                begun = dancer.after(0, True, item.ticks, True)
                return [begun.after(turn, True, 0)._replace(weight=on) for on in Weight for turn in range(EIGHTHS)]
            case Rest():
                return [dancer._replace(clock=dancer.clock + item.ticks)]
            case Check() | Together() if any(check.blank for check in checks(item)):
                filled = [
                    Together(tuple(evolve(one, value=foot) if one.blank else one for one in checks(item)))
                    for foot in Foot
                ]
                begun = dancer._replace(open=True)
                return [end for one in filled for end in self._after(one, front, begun)]
            case Check() | Together():
                state = dancer.state(front)
                for check in checks(item):
                    state = taken(state, check, front)
                turn = (state.facing - front) % EIGHTHS if state.loose else state.turn
                return [Dancer(state.weight, turn, state.loose, state.clock, dancer.open, dancer.place)]
            case Choice():
                found = [self._all(option, front, [dancer]) for option in item.options]
                every = [end for one in found for end in one]
                lengths, is_open = {end.clock for end in found[0]}, any(end.open for end in found[0])
                if item.claim is None:
                    return every
                return [one.after(0, False, 0, is_open)._replace(clock=each) for one in every for each in lengths]
            case Repeat(times=None):
                here, some = {dancer}, set[Dancer]()
                for _ in range(MOST_TIMES):
                    here = {one.after(0, False, 0, True) for one in self._all(item.body, front, here)}
                    some |= here
                return some
            case Repeat():
                return self._repeated(item, front, {dancer})
            case Timed() | Pass() if dancer.place is not None:
                after = self._all(item.body, front, [dancer])
                return [one.lasting(None if item.lasts is None else dancer.clock + item.lasts) for one in after]
            case Timed():
                after = self._all(item.body, front, [dancer._replace(clock=0)])
                return [one.lasting(item.lasts).after(0, False, dancer.clock) for one in after]
            case Pass():
                self.begins |= {dancer.weight} if item.lap else set()
                after = self._all(item.body, 0, [Dancer(dancer.weight)])
                return [one.lasting(item.lasts).after(*dancer[1:5]) for one in after]
            case Lap():
                self.begins.add(dancer.weight)
                return self._all(item.body, front, [dancer])
            case Last():
                self._all(item.body, front, [dancer])
                return [dancer]
        assert isinstance(item, Forever)
        number = self._number(item.body)

        def kept(some: Iterable[Dancer]) -> set[Dancer]:
            return {self._entry(number, front, one)[1]._replace(open=one.open) for one in some}

        here = new = kept([dancer])
        while new:
            new = kept(self._all(item.body, front, new)) - here
            here |= new
        return here

    def _repeated(self, repeat: Repeat, front: int, here: set[Dancer]) -> set[Dancer]:
        """Return the dancers after a repeat, by whole rounds once they come round but for what no check compares."""
        met: dict[frozenset[Dancer], tuple[int, int, int]] = {}
        done, times = 0, repeat.times or 0
        seen = self._observed(self._number(repeat.body)) if next(iter(here)).place is None else {"turn", "clock"}
        while done < times:
            turn, clock = min(one.turn for one in here), min(one.clock for one in here)
            turn = 0 if "turn" in seen else turn - turn % EIGHTHS if "facing" in seen else turn
            clock = 0 if "clock" in seen else clock
            form = frozenset(one.after(-turn, False, -clock) for one in here)
            at, turned, lasted = met.get(form, (done, 0, 0))
            met[form] = done, turn, clock
            rounds = (times - done) // (done - at) if done > at else 0
            if rounds:
                more = rounds * (turn - turned), False, rounds * (clock - lasted)
                here, done, met = {one.after(*more) for one in here}, done + rounds * (done - at), {}
            else:
                here, done = self._all(repeat.body, front, here), done + 1
        return here
