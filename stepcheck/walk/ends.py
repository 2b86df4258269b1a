"""How a dance can end: the free foot, the wall and the length, from its steps alone; claims change nothing here.

Each body is a relation from the weight before it to the ways through it, found once.  A repeat is a power of that
relation, so that a thousand times cost ten.  Words are read as usual.
"""

from collections.abc import Iterable, Iterator
from functools import lru_cache
from itertools import product
from typing import NamedTuple, TypeAlias

from attrs import field, frozen

from stepcheck.books import footwork
from stepcheck.books.footwork import Impossible
from stepcheck.model.dance import (
    EIGHTHS,
    Body,
    Check,
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
    Test,
    Timed,
    Together,
    Weight,
)

_FEW = 16  # times of a repeat that are gone through one by one
_MOST = 64  # ways of a relation; with more, how long they last is left open


class Way(NamedTuple):
    """A way through a body: the weight after it, its turn in eighths from 0 to 7, its ticks, None where they are open.

    An `endless` way has reached a repeat that lasts until the music ends; its ticks are those before that repeat.
    """

    weight: Weight
    turn: int = 0
    ticks: int | None = 0
    endless: bool = False


@frozen
class Ways:
    """The ways through a body: those that go `on` behind it, and those that end the dance inside it (`out`)."""

    on: frozenset[Way] = frozenset()
    out: frozenset[Way] = frozenset()


Relation: TypeAlias = tuple[Ways, Ways, Ways]  # by the weight before
NOTHING: Relation = tuple(Ways(frozenset({Way(weight)})) for weight in Weight)  # type: ignore[assignment]


@frozen
class Ends:
    """How a dance can end.

    Attributes: ways: its ends; turns are facings of the room. rounds: the ticks of one time of a repeat that lasts
    until the music ends, None where they are open; empty if there is no such repeat.
    """

    ways: frozenset[Way]
    rounds: frozenset[int | None] = frozenset()


def ends(program: Program) -> Ends:
    """Return how the dance of a program can end, from its steps alone."""
    through = _Through()
    ways = through.body(program.dance, Weight(program.lead.other))
    return Ends(
        frozenset(way._replace(turn=(way.turn + program.facing) % EIGHTHS) for way in ways.on | ways.out),
        frozenset(through.rounds),
    )


def relation(body: Body) -> Relation:
    """Return the ways through a body by the weight before it."""
    return _Through().relation(body)


def _after(way: Way, then: Iterable[Way]) -> Iterator[Way]:
    _, turn, ticks, _ = way
    for more in then:
        lasted = None if ticks is None or more[2] is None else ticks + more[2]
        yield Way(more[0], (turn + more[1]) % EIGHTHS, lasted, more[3])


def _few(ways: Iterable[Way]) -> frozenset[Way]:
    found = frozenset(ways)
    return found if len(found) <= _MOST else frozenset(way._replace(ticks=None) for way in found)


def _joined(first: Relation, second: Relation) -> Relation:
    """Return the relation of two bodies, one after the other."""

    def of(ways: Ways) -> Ways:
        on = _few(onward for way in ways.on for onward in _after(way, second[way.weight].on))
        out = _few((*ways.out, *(onward for way in ways.on for onward in _after(way, second[way.weight].out))))
        return Ways(on, out)

    return of(first[0]), of(first[1]), of(first[2])


def _either(every: Iterable[Ways]) -> Ways:
    """Return the union of the ways through several bodies."""
    some = tuple(every)
    return Ways(_few(way for one in some for way in one.on), _few(way for one in some for way in one.out))


def _lasting(ways: Ways, ticks: int | None) -> Ways:
    return Ways(frozenset(way._replace(ticks=ticks) for way in ways.on), ways.out)


def _open(relation: Relation) -> Relation:
    left, right, both = (_lasting(one, None) for one in relation)
    return left, right, both


def _some(once: Relation) -> Relation:
    """Return the relation of a body danced once or more; its length is open."""
    done, again = _open(once), NOTHING
    while done != again:
        again = done
        left, right, both = map(_either, zip(done, _open(_joined(done, once)), strict=True))
        done = left, right, both
    return done


@frozen
class _Through:
    """The relations of the bodies of one program; `rounds` are the ticks of one time of each repeat until the music
    ends."""

    rounds: set[int | None] = field(factory=set)
    _done: dict[tuple[int, Weight], Ways] = field(factory=dict)

    def relation(self, body: Body) -> Relation:
        """Return the ways through a body from each weight."""
        return self.body(body, Weight.LEFT), self.body(body, Weight.RIGHT), self.body(body, Weight.BOTH)

    def body(self, body: Body, weight: Weight) -> Ways:
        """Return the ways through a body from a weight; they are found once."""
        where = id(body), weight
        known = self._done.get(where)
        if known is None:
            on, out = frozenset({Way(weight)}), set[Way]()
            for item in body:
                if type(item) is Step:
                    on = _few(
                        more
                        for way in on
                        for more in _after(way, _stepped(item.figure, item.turn, item.blank, way.weight))
                    )
                    continue
                done = {start: self.item(item, start) for start in {way.weight for way in on}}
                out.update(more for way in on for more in _after(way, done[way.weight].out))
                on = _few(more for way in on for more in _after(way, done[way.weight].on))
            known = self._done[where] = Ways(on, _few(out))
        return known

    def item(self, item: Item, weight: Weight) -> Ways:  # noqa: C901 - a case for each kind
        """Return the ways through an item that is no step from a weight."""
        match item:
            case Rest(ticks=ticks):
                return Ways(frozenset({Way(weight, 0, ticks)}))
            case Gap(ticks=ticks):
                return Ways(frozenset(Way(end, turn, ticks) for end in Weight for turn in range(EIGHTHS)))
            case Check():
                return Ways(frozenset(map(Way, _led(item, {weight}))))
            case Together(checks=checks):
                weights = {weight}
                for check in checks:
                    weights = _led(check, weights)
                return Ways(frozenset(map(Way, weights)))
            case Choice(options=options):
                return _either(self.body(option, weight) for option in options)
            case Repeat(times=None):
                return _some(self.relation(item.body))[weight]
            case Repeat(times=int(times)):
                return self.times(item.body, times, weight)
            case Timed(lasts=lasts) | Pass(lasts=lasts):
                ways = self.body(item.body, weight)
                return ways if lasts is None else _lasting(ways, lasts)
            case Forever():
                return self.forever(item.body, weight)
            case Last():
                ways = self.body(item.body, weight)
                return Ways(frozenset({Way(weight)}), ways.on | ways.out)
            case Lap():
                return self.body(item.body, weight)
        raise TypeError(f"{item!r} is no item of a dance")

    def times(self, body: Body, times: int, weight: Weight) -> Ways:
        """Return the relation of a body danced so many times: few one by one, many by squaring."""
        if times <= _FEW:
            return self._one_by_one(body, times, weight)
        once, done = self.relation(body), NOTHING
        while times:
            if times & 1:
                done = _joined(done, once)
            times >>= 1
            once = _joined(once, once) if times else once
        return done[weight]

    def _one_by_one(self, body: Body, times: int, weight: Weight) -> Ways:
        on, out = frozenset({Way(weight)}), set[Way]()
        for _ in range(times):
            out.update(more for way in on for more in _after(way, self.body(body, way.weight).out))
            on = _few(more for way in on for more in _after(way, self.body(body, way.weight).on))
        return Ways(on, _few(out))

    def forever(self, body: Body, weight: Weight) -> Ways:
        """Return the ways through a body that is danced until the music ends: it is left after any number of times."""
        ways = _some(self.relation(body))[weight]
        reached = {weight, *(way.weight for way in ways.on)}
        self.rounds.update(way.ticks for start in reached for way in self.body(body, start).on)
        return Ways(out=frozenset(way._replace(ticks=0, endless=True) for way in ways.on) | ways.out)


def _led(check: Check, weights: set[Weight]) -> set[Weight]:
    """Return the weights after a check: an ordered foot decides who leads from both feet, and one to be found is
    either."""
    if check.test is not Test.LEAD:
        return weights
    if check.value is None:
        return {Weight.LEFT, Weight.RIGHT}
    return {Weight(1 - check.value) if weight is Weight.BOTH else weight for weight in weights}


@lru_cache(maxsize=1 << 14)
def _stepped(figure: Figure, written: int | None, blank: bool, weight: Weight) -> tuple[Way, ...]:
    """Return the ways through a step; one that nobody can dance leaves the weight as it is."""
    length = figure.versions[figure.usual].length
    ways = []
    for end, more in product(footwork.ends(figure, weight), range(EIGHTHS) if blank else (0,)):
        turn = end.turn if written is None else written
        after = weight if isinstance(end.weight, Impossible) else end.weight
        ways.append(Way(after, (turn + more) % EIGHTHS, length))
    return tuple(dict.fromkeys(ways))
