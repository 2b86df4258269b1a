"""The states of all dancers at each point of a program, each body looked at once for each state that matters in it.

What the checks of a body do not compare, turn or time, is left out of the state in which it begins, and added to the
states after it.
"""

from collections.abc import Callable, Collection, Iterable, Sequence
from typing import NamedTuple

from stepcheck.books.footwork import Impossible, ends
from stepcheck.model.claims import Check
from stepcheck.model.dance import (
    EIGHTHS,
    Body,
    Choice,
    Forever,
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
from stepcheck.model.work import Work
from stepcheck.walk.branches import Looks
from stepcheck.walk.stands import State, taken


class Dancer(NamedTuple):
    """One dancer: `turn` in eighths since the frame began (0 to 7 if `loose`), `clock` in ticks since it began."""

    weight: Weight
    turn: int = 0
    loose: bool = False
    clock: int = 0

    def state(self, front: int) -> State:
        """Return her as checks see her, in a frame that began with the facing `front`."""
        return State(self.weight, (front + self.turn) % EIGHTHS, self.turn, self.loose, self.clock)

    def lasting(self, ticks: int | None) -> "Dancer":
        """Return her with this clock, where one is settled."""
        return self if ticks is None else self._replace(clock=ticks)

    def after(self, turn: int, loose: bool, clock: int) -> "Dancer":
        """Return her with as much turn and clock before."""
        loose, turn = self.loose or loose, self.turn + turn
        return Dancer(self.weight, turn % EIGHTHS if loose else turn, loose, self.clock + clock)


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
                after.append(here)
        before = dancer.turn - entry.turn, dancer.loose and not entry.loose, dancer.clock - entry.clock
        return [end.after(*before) for end in (after[-1] if after else {entry})]

    def _entry(self, number: int, front: int, dancer: Dancer) -> tuple[int, Dancer]:
        """Return the facing of the frame and the state, as far as the checks of a body compare them."""
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
                length = item.figure.length
                return [
                    Dancer(end, dancer.turn, dancer.loose, dancer.clock).after(
                        turn if item.turn is None else item.turn, False, length
                    )
                    for _, end, turn in ends(item.figure, dancer.weight)
                    if not isinstance(end, Impossible)
                ]
            case Rest():
                return [dancer._replace(clock=dancer.clock + item.ticks)]
            case Check() | Together():
                state = dancer.state(front)
                for check in checks(item):
                    state = taken(state, check, front)
                turn = (state.facing - front) % EIGHTHS if state.loose else state.turn
                return [Dancer(state.weight, turn, state.loose, state.clock)]
            case Choice():
                found = [self._all(option, front, [dancer]) for option in item.options]
                every = [end for one in found for end in one]
                lengths = {end.clock for end in found[0]}
                return every if item.claim is None else [one._replace(clock=each) for one in every for each in lengths]
            case Repeat():
                return self._repeated(item, front, {dancer})
            case Timed():
                after = self._all(item.body, front, [dancer._replace(clock=0)])
                return [one.lasting(item.lasts).after(0, False, dancer.clock) for one in after]
            case Pass():
                self.begins |= {dancer.weight} if item.lap else set()
                after = self._all(item.body, 0, [Dancer(dancer.weight)])
                return [one.lasting(item.lasts).after(*dancer[1:]) for one in after]
            case Lap():
                self.begins.add(dancer.weight)
                return self._all(item.body, front, [dancer])
            case Last():
                self._all(item.body, front, [dancer])
                return [dancer]
        assert isinstance(item, Forever)
        number = self._number(item.body)
        here = new = {self._entry(number, front, dancer)[1]}
        while new:
            new = {self._entry(number, front, end)[1] for end in self._all(item.body, front, new)} - here
            here = here | new
        return here

    def _repeated(self, repeat: Repeat, front: int, here: set[Dancer]) -> set[Dancer]:
        """Return the dancers after a repeat, by whole rounds once they come round but for what no check compares."""
        met: dict[frozenset[Dancer], tuple[int, int, int]] = {}
        done, times, seen = 0, repeat.times or 0, self._observed(self._number(repeat.body))
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
