"""How a dance can end: with which free foot, on which wall, after how long, as it is danced and whatever is claimed.

A body does to a dancer what a relation says: from each weight the ways in which it can leave her.  Relations are joined in
a row, and a repeat is a power of one, so that a thousand times cost ten.  Words are read as usual.
"""

from collections.abc import Iterable
from itertools import product
from typing import NamedTuple, TypeAlias

from attrs import field, frozen

from stepcheck.books.footwork import Impossible, dance, is_still
from stepcheck.model.dance import (
    EIGHTHS,
    Body,
    Check,
    Choice,
    Foot,
    Forever,
    Gap,
    Item,
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
)  # fmt: skip

_MOST = 64  # ways of a relation; with more, how long they last is left open


class Way(NamedTuple):
    """A way through a body: the weight after it, its turn in eighths from 0 to 7, its ticks, None where they are open.

    An `endless` one has come to what goes on until the music ends; its ticks are those before that.
    """

    weight: Weight
    turn: int = 0
    ticks: int | None = 0
    endless: bool = False


@frozen
class Ways:
    """The ways in which a body leaves a dancer: those that go `on` behind it, and those that end the dance in it."""

    on: frozenset[Way] = frozenset()
    out: frozenset[Way] = frozenset()


Relation: TypeAlias = tuple[Ways, Ways, Ways]  # by the weight before
NOTHING: Relation = tuple(Ways(frozenset({Way(weight)})) for weight in Weight)  # type: ignore[assignment]


@frozen
class Ends:
    """How a dance can end.

    Attributes:
        ways: its ends; turns are facings of the room.
        rounds: the ticks of a time round of what goes on until the music ends, None where they are open; empty if nothing does.
    """

    ways: frozenset[Way]
    rounds: frozenset[int | None] = frozenset()


def ends(program: Program) -> Ends:
    """Return how the dance of a program can end, as the steps are danced: no claim changes anything."""
    through = _Through()
    ways = through.body(program.dance)[Weight(program.lead.other)]
    return Ends(
        frozenset(way._replace(turn=(way.turn + program.facing) % EIGHTHS) for way in ways.on | ways.out),
        frozenset(through.rounds),
    )


def relation(body: Body) -> Relation:
    """Return what a body does to a dancer, by the weight with which she comes to it."""
    return _Through().body(body)


def _after(way: Way, then: Iterable[Way]) -> Iterable[Way]:
    for more in then:
        ticks = None if way.ticks is None or more.ticks is None else way.ticks + more.ticks
        yield Way(more.weight, (way.turn + more.turn) % EIGHTHS, ticks, more.endless)


def _few(ways: Iterable[Way]) -> frozenset[Way]:
    found = frozenset(ways)
    return found if len(found) <= _MOST else frozenset(way._replace(ticks=None) for way in found)


def _joined(first: Relation, second: Relation) -> Relation:
    """Return what two bodies do one after the other."""

    def of(ways: Ways) -> Ways:
        on = _few(onward for way in ways.on for onward in _after(way, second[way.weight].on))
        out = _few((*ways.out, *(onward for way in ways.on for onward in _after(way, second[way.weight].out))))
        return Ways(on, out)

    return of(first[0]), of(first[1]), of(first[2])


def _either(relations: Iterable[Relation]) -> Relation:
    """Return what one of several bodies does."""
    every = tuple(relations)

    def of(weight: int) -> Ways:
        return Ways(_few(w for one in every for w in one[weight].on), _few(w for one in every for w in one[weight].out))

    return of(0), of(1), of(2)


def _to(ways: Iterable[Iterable[Way]]) -> Relation:
    left, right, both = (Ways(frozenset(some)) for some in ways)
    return left, right, both


def _lasting(relation: Relation, ticks: int | None) -> Relation:
    if ticks is None:
        return relation
    left, right, both = (Ways(frozenset(w._replace(ticks=ticks) for w in one.on), one.out) for one in relation)
    return left, right, both


def _open(relation: Relation) -> Relation:
    left, right, both = (Ways(frozenset(w._replace(ticks=None) for w in one.on), one.out) for one in relation)
    return left, right, both


def _some(once: Relation) -> Relation:
    """Return what a body does that is danced once or more; how long that lasts is open."""
    done, again = _open(once), NOTHING
    while done != again:
        again, done = done, _either((done, _open(_joined(done, once))))
    return done


@frozen
class _Through:
    """Goes through a program; `rounds` are the ticks of what is danced until the music ends."""

    rounds: set[int | None] = field(factory=set)
    _done: dict[int, Relation] = field(factory=dict)

    def body(self, body: Body) -> Relation:
        """Return what a body does; the same body is gone through once."""
        known = self._done.get(id(body))
        if known is None:
            known = NOTHING
            for item in body:
                known = _joined(known, self.item(item))
            self._done[id(body)] = known
        return known

    def item(self, item: Item) -> Relation:
        """Return what an item does."""
        match item:
            case Step():
                return _to(_stepped(item, weight) for weight in Weight)
            case Rest(ticks=ticks):
                return _to([Way(weight, 0, ticks)] for weight in Weight)
            case Gap(ticks=ticks):
                return _to([Way(end, turn, ticks) for end in Weight for turn in range(EIGHTHS)] for _ in Weight)
            case Check():
                return _led(item)
            case Together(checks=checks):
                done = NOTHING
                for check in checks:
                    done = _joined(done, _led(check))
                return done
            case Choice(options=options):
                return _either(map(self.body, options))
            case Repeat(times=None):
                return _some(self.body(item.body))
            case Repeat(times=int(times)):
                return self.power(self.body(item.body), times)
            case Timed(lasts=lasts) | Pass(lasts=lasts):
                return _lasting(self.body(item.body), lasts)
            case Forever():
                return self.forever(self.body(item.body))
            case Last():
                left, right, both = (
                    Ways(frozenset({Way(weight)}), ways.on | ways.out)
                    for weight, ways in zip(Weight, self.body(item.body), strict=True)
                )
                return left, right, both
        return self.body(item.body)

    def power(self, once: Relation, times: int) -> Relation:
        """Return what a body does that is danced so many times, by squaring."""
        done = NOTHING
        while times:
            if times & 1:
                done = _joined(done, once)
            times >>= 1
            once = _joined(once, once) if times else once
        return done

    def forever(self, once: Relation) -> Relation:
        """Return what a body does that is danced until the music ends: it is left after some time round."""
        self.rounds.update(way.ticks for ways in once for way in ways.on)
        left, right, both = (
            Ways(out=frozenset(way._replace(ticks=0, endless=True) for way in ways.on) | ways.out) for ways in _some(once)
        )
        return left, right, both


def _led(check: Check) -> Relation:
    """Return what a check does: an ordered foot decides who leads from both feet, and one to be found is either."""
    if check.test is not Test.LEAD:
        return NOTHING
    if check.value is None:
        return _to([Way(Weight.LEFT), Way(Weight.RIGHT)] for _ in Weight)
    return _to([Way(Weight(1 - check.value) if weight is Weight.BOTH else weight)] for weight in Weight)


def _stepped(step: Step, weight: Weight) -> Iterable[Way]:
    """Return the ways through a step; one that nobody can dance leaves the weight as it is."""
    figure = step.figure
    version = figure.versions[figure.usual]
    still = weight is Weight.BOTH and is_still(version, {})
    leads = tuple(Foot) if weight is Weight.BOTH and not still else (figure.lead if still else Foot(weight).other,)
    for lead, more in product(leads, range(EIGHTHS) if step.blank else (0,)):
        swap = lead is not figure.lead
        end = dance(version, lead, swap, {})
        turn = step.turn if step.turn is not None else -version.turn if swap else version.turn
        after = weight if still or isinstance(end, Impossible) else Weight(end)
        yield Way(after, (turn + more) % EIGHTHS, version.length)
