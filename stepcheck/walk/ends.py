"""How a dance can end: the free foot, the wall and the length, from its steps alone; claims change nothing here.

The ways through each body and each item are found once from each weight before it.  A repeat is a power of the relation
from weights to ways, so that a thousand times cost ten.  Words are read as usual.
"""

from collections.abc import Callable, Iterator
from functools import lru_cache, partial, reduce
from itertools import product
from typing import NamedTuple, TypeAlias

from attrs import field, frozen

from stepcheck.books import footwork
from stepcheck.books.footwork import Impossible
from stepcheck.model.claims import Check, Test
from stepcheck.model.dance import (
    EIGHTHS,
    Body,
    Choice,
    Figure,
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
)
from stepcheck.model.items import checks

_MOST = 64  # ways of a relation; with more, how long they last is left open


class Passage(NamedTuple):
    """A way through a body: the weight after it, its turn in eighths from 0 to 7, its ticks, None where they are open.

    An `endless` way has reached a repeat that lasts until the music ends; its ticks are those before that repeat.  With
    a way that is `over` the dance ends inside the body; any other goes on behind it.
    """

    weight: Weight
    turn: int = 0
    ticks: int | None = 0
    endless: bool = False
    over: bool = False


Ways: TypeAlias = frozenset[Passage]
Relation: TypeAlias = tuple[Ways, ...]  # by the weight before
NOTHING: Relation = tuple(frozenset({Passage(weight)}) for weight in Weight)


@frozen
class Ends:
    """How a dance can end.

    Attributes: ways: its ends; turns are facings of the room. rounds: the ticks of one time of a repeat that lasts
    until the music ends, None where they are open; empty if there is no such repeat.
    """

    ways: frozenset[Passage]
    rounds: frozenset[int | None] = frozenset()


def ends(program: Program) -> Ends:
    """Return how the dance of a program can end, from its steps alone."""
    through = _Through()
    ways = through.ways(program.dance, Weight(program.lead.other))
    return Ends(
        frozenset(way._replace(turn=(way.turn + program.facing) % EIGHTHS, over=False) for way in ways),
        frozenset(through.rounds),
    )


def relation(body: Body) -> Relation:
    """Return the ways through a body by the weight before it."""
    return tuple(map(partial(_Through().ways, body), Weight))


def _few(ways: set[Passage]) -> frozenset[Passage]:
    return frozenset(ways if len(ways) <= _MOST else (way._replace(ticks=None) for way in ways))


def _onward(ways: Ways, then: Callable[[Weight], Ways]) -> Ways:
    """Return ways, each of those that go on followed by what can be danced `then` from the weight after it."""
    found = set[Passage]()
    for way in ways:
        weight, turn, ticks, _, over = way
        if over:
            found.add(way)
            continue
        for end, more, longer, endless, last in then(weight):
            lasted = None if ticks is None or longer is None else ticks + longer
            found.add(Passage(end, (turn + more) % EIGHTHS, lasted, endless, last))
    return _few(found)


def _lasting(ways: Ways, ticks: int | None) -> Ways:
    return frozenset(way if way.over else way._replace(ticks=ticks) for way in ways)


@frozen
class _Through:
    """The ways through the bodies and items of one program, each found once; `rounds` are the ticks of one lap of what
    goes on until the music ends."""

    rounds: set[int | None] = field(factory=set)
    _done: dict[tuple[int, Weight, int], Ways] = field(factory=dict)

    def ways(self, part: Body | Item, weight: Weight) -> Ways:
        """Return the ways through a body or an item from a weight; they are found once."""
        where = id(part), weight, 1
        if where not in self._done:
            if isinstance(part, tuple):
                begin, end = _goes_on(part)
                ways = reduce(self._then, part[:begin], NOTHING[weight])
                self._done[where] = _onward(ways, partial(self._endless, part[begin:end])) if begin < end else ways
            else:
                self._done[where] = self._item(part, weight)
        return self._done[where]

    def _then(self, ways: Ways, item: Item) -> Ways:
        if isinstance(item, Step):
            return _onward(ways, _step(item.figure, item.turn, item.blank).__getitem__)
        for check in checks(item):
            ways = _led(ways, check)
        return ways if isinstance(item, Check | Together) else _onward(ways, partial(self.ways, item))

    def _item(self, item: Item, weight: Weight) -> Ways:
        match item:
            case Rest(ticks=ticks):
                return frozenset({Passage(weight, 0, ticks)})
            case Gap(ticks=ticks):
                return frozenset(Passage(end, turn, ticks) for end in Weight for turn in range(EIGHTHS))
            case Choice(options=options):
                return _few({way for option in options for way in self.ways(option, weight)})
            case Repeat(times=None):
                return self._some(item.body, weight)
            case Repeat(times=int(times)):
                return self._times(item.body, times, weight)
            case Timed(lasts=lasts) | Pass(lasts=lasts):
                ways = self.ways(item.body, weight)
                return ways if lasts is None else _lasting(ways, lasts)
            case Last():
                return NOTHING[weight] | {way._replace(over=True) for way in self.ways(item.body, weight)}
            case Lap():
                return self.ways(item.body, weight)
        raise TypeError(f"{item!r} is no item of a dance")

    def _times(self, body: Body, times: int, weight: Weight) -> Ways:
        """Return the ways through a body danced so often: through half of the times, twice, and through an odd one."""
        if times < 2:
            return self.ways(body, weight) if times else NOTHING[weight]
        where = id(body), weight, times
        if where not in self._done:
            half = partial(self._times, body, times // 2)
            even = _onward(half(weight), half)
            self._done[where] = _onward(even, partial(self.ways, body)) if times % 2 else even
        return self._done[where]

    def _some(self, body: Body, weight: Weight) -> Ways:
        """Return the ways through a body danced once or more; their length is open."""
        once = partial(self.ways, body)
        more, done = _lasting(once(weight), None), NOTHING[weight]
        while more != done:
            done = more
            more = _few({*done, *_lasting(_onward(done, once), None)})
        return done

    def _endless(self, laps: Body, weight: Weight) -> Ways:
        """Return the ways through laps until the music ends, of which the last item holds those that come round.

        The dance ends behind any of them; where laps say how the last one is danced, only so.
        """
        ends, seen = set[Passage](), set[Passage]()
        assert isinstance(laps[-1], Forever)
        again = laps[-1].body
        found = self._lapped(laps[:-1], NOTHING[weight], ends)
        while not found <= seen:
            seen |= found
            found = self._lapped(again, found, ends)
        told = any(isinstance(item, Last) for item in (*laps, *again))
        return frozenset(way._replace(over=True) for way in ends if way.over or not told)

    def _lapped(self, laps: Body, found: Ways, ends: set[Passage]) -> Ways:
        """Return the ways that go on behind laps; `ends` gets those behind each lap, those that are over where it is
        the last one, and `rounds` how long each lasts."""
        for item in laps:
            if isinstance(item, Last):
                ends |= {way._replace(endless=True, over=True) for way in self._lapped(item.body, found, set())}
                continue
            found = self._then(found, item)
            if not checks(item):
                self.rounds.update(way.ticks for way in found)
                found = frozenset(way._replace(ticks=0, endless=True) for way in found)
                ends |= found
        return found


def _goes_on(body: Body) -> tuple[int, int]:
    """Return the slice of a body that is danced until the music ends: the laps written out, and the `Forever` behind
    them. Without one, the slice is empty, at the end."""
    at = next((number for number, item in enumerate(body) if isinstance(item, Forever)), None)
    if at is None:
        return len(body), len(body)
    begin, line = at, _line(body[at])
    while begin and (isinstance(body[begin - 1], Lap | Last) or _line(body[begin - 1]) == line):
        begin -= 1
    return begin, at + 1


def _line(item: Item) -> int:
    """Return the line that lays an item; a clock of its own has that of what is danced by it."""
    return _line(item.body[0]) if isinstance(item, Timed) and item.body else getattr(item, "line", 0)


def _led(ways: Ways, check: Check) -> Ways:
    """Return the ways behind a check: an ordered foot decides who leads from both feet; one to be found is either."""
    if check.blank:
        return _onward(ways, lambda weight: frozenset({Passage(Weight.LEFT), Passage(Weight.RIGHT)}))
    if check.test is Test.LEAD:
        led = Weight(1 - check.number)
        return _onward(ways, lambda weight: NOTHING[led if weight is Weight.BOTH else weight])
    return ways


@lru_cache(maxsize=1 << 12)
def _step(figure: Figure, turn: int | None, blank: bool) -> Relation:
    """Return the ways through a step; one that nobody can dance leaves the weight as it is."""
    return tuple(frozenset(_stepped(figure, turn, blank, weight)) for weight in Weight)


def _stepped(figure: Figure, turn: int | None, blank: bool, weight: Weight) -> Iterator[Passage]:
    for end, more in product(footwork.ends(figure, weight), range(EIGHTHS) if blank else (0,)):
        after = weight if isinstance(end.weight, Impossible) else end.weight
        yield Passage(after, ((end.turn if turn is None else turn) + more) % EIGHTHS, figure.length)
