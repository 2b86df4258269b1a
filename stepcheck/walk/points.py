"""The states of the dancers at each point of a dance, as a certificate lists them: dancer by dancer, item by item."""

from collections.abc import Callable, Collection, Iterable, Sequence
from typing import NamedTuple

from attrs import evolve

from stepcheck.books.footwork import Impossible, ends
from stepcheck.model.claims import Check
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
    Repeat,
    Rest,
    Step,
    Timed,
    Together,
    Weight,
)
from stepcheck.model.items import checks
from stepcheck.model.outcome import Spot
from stepcheck.model.work import Work
from stepcheck.walk.branches import Looks
from stepcheck.walk.stands import State, taken
from stepcheck.walk.travel import went


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
        """Return her with this clock, if it is known."""
        return self if ticks is None else self._replace(clock=ticks)

    def after(self, turn: int, loose: bool, clock: int, is_open: bool = False) -> "Dancer":
        """Return her as one who had turned and danced so much before."""
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
        """Return the dancers after a body, and write its row."""
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
        """Return the dancers after a repeat. Once they differ only in what no check compares, whole rounds are
        skipped."""
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
