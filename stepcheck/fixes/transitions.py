"""What steps do to single dancers on whom every claim holds: where each can stand afterwards.

A *deed* has a row for each assignment of readings and each weight before: the ways that lead on, or None where a claim
inside fails or nothing can be danced.  Turns add up exactly here, since no claim that failed has been mended on the
way.
"""

from collections.abc import Mapping
from functools import lru_cache, reduce
from typing import NamedTuple, TypeAlias

from stepcheck.books.footwork import MOST_ASSIGNMENTS, Impossible, Words, dance, is_still
from stepcheck.model.dance import (
    Body,
    Check,
    Choice,
    Figure,
    Foot,
    Item,
    Program,
    Repeat,
    Rest,
    Step,
    Test,
    Timed,
    Together,
    Version,
    Weight,
)
from stepcheck.model.items import checks

MOST_READINGS = 64
MOST_WAYS = 64


class Unclear(Exception):
    """Too many ways, or a blank: not to be looked at one by one."""


class Way(NamedTuple):
    """One way on: the weight after it, the signed turn in eighths, the ticks, and facings claimed on the way.

    `needs` has pairs of a turn since the start of the way and the facing that must hold there.
    """

    weight: int
    turn: int
    ticks: int
    needs: tuple[tuple[int, int], ...] = ()


Ways: TypeAlias = tuple[Way, ...] | None
Deed: TypeAlias = tuple[Ways, ...]


class Deeds:
    """The deeds of one program's steps, under each of its assignments of readings."""

    def __init__(self, program: Program) -> None:
        self.words = Words(program)
        if self.words.total > MOST_ASSIGNMENTS or self.words.every.bit_count() > MOST_READINGS:
            raise Unclear("too many readings")
        every = self.words.every
        self.assignments = tuple(number for number in range(self.words.total) if every >> number & 1)
        self.still: Deed = tuple((Way(weight, 0, 0),) for _ in self.assignments for weight in range(3))
        self.nothing: Deed = (None,) * len(self.still)
        self._figures: dict[Figure, Deed] = {}
        self._steps: dict[tuple[Figure, int | None], Deed] = {}
        self._powers: dict[tuple[Deed, int], Deed] = {}

    def body(self, items: Body) -> Deed:
        """Return the deed of items that hold no part."""
        return reduce(then, map(self.item, items), self.still)

    def item(self, item: Item) -> Deed:
        """Return the deed of one item."""
        match item:
            case Step(blank=False):
                return self.step(item.figure, item.turn)
            case Rest():
                return self.rest(item.ticks)
            case Check() | Together():
                return reduce(then, map(self._check, checks(item)), self.still)
            case Choice():
                return self._choice(
                    [self.body(option) for option in item.options], None if item.claim is None else bool(item.claim.id)
                )
            case Repeat(times=int(times)):
                return self.power(self.body(item.body), times)
            case Timed(lasts=int(ticks)):
                return tuple(
                    None if row is None else tuple(dict.fromkeys(way._replace(ticks=ticks) for way in row))
                    for row in self.body(item.body)
                )
            case Timed():
                *inner, last = item.body
                if isinstance(last, Check) and last.test is Test.CLOCK:
                    return lasting(self.body(tuple(inner)), last.value)
        raise Unclear("this is not looked at step by step")

    def rest(self, ticks: int) -> Deed:
        """Return the deed of silence."""
        return tuple((Way(weight, 0, ticks),) for _ in self.assignments for weight in range(3))

    def step(self, figure: Figure, turn: int | None = None) -> Deed:
        """Return the deed of a figure; `turn` in eighths, as written, is absolute and replaces its own."""
        where = (figure, turn)
        made = self._steps.get(where)
        if made is None:
            own = self._figures.get(figure)
            if own is None:
                own = self._figures[figure] = self._figure(figure)
            made = (
                own
                if turn is None
                else tuple(
                    None if row is None else tuple(dict.fromkeys(way._replace(turn=turn) for way in row)) for row in own
                )
            )
            self._steps[where] = made
        return made

    def _figure(self, figure: Figure) -> Deed:
        if not self.words.words:
            return _usual(figure)
        parts = self.words.partition(figure)
        out: list[Ways] = []
        done: dict[int, tuple[Ways, Ways, Ways]] = {}
        for number in self.assignments:
            kind = next(at for at, (_, _, who) in enumerate(parts) if who >> number & 1)
            if kind not in done:
                version, senses, _ = parts[kind]
                done[kind] = _danced(figure, version, senses)
            out += done[kind]
        return tuple(out)

    def _choice(self, options: list[Deed], alike: bool | None) -> Deed:
        """Return the deed of a variation, whose options have to last equally long if they are to be `alike`.

        If that is given up they last as long as the first; None leaves each its own length.
        """
        out: list[Ways] = []
        for rows in zip(*options, strict=True):
            if any(row is None for row in rows):
                out.append(None)
                continue
            ways = tuple(dict.fromkeys(way for row in rows for way in row or ()))
            if alike is False:
                ways = tuple(dict.fromkeys(way._replace(ticks=ways[0].ticks) for way in ways))
            out.append(ways if alike is None or len({way.ticks for way in ways}) == 1 else None)
        return tuple(out)

    def _check(self, check: Check) -> Deed:
        """Return the deed of a check inside an alternative: who fails it does not get on."""
        value, rows = check.value, []
        for number in range(len(self.still)):
            weight = number % 3
            match check.test:
                case Test.LEAD if value is not None:
                    rows.append(None if weight == value else (Way(1 - value, 0, 0),))
                case Test.FOOT if value is not None:
                    rows.append((Way(weight, 0, 0),) if weight == 1 - value else None)
                case Test.BOTH:
                    rows.append((Way(weight, 0, 0),) if weight == Weight.BOTH else None)
                case Test.FACING if value is not None:
                    rows.append((Way(weight, 0, 0, ((0, value),)),))
                case _:
                    raise Unclear("a blank, or a claim about time")
        return tuple(rows)

    def power(self, deed: Deed, times: int) -> Deed:
        """Return a deed done `times` times."""
        if times == 1:
            return deed
        made = self._powers.get((deed, times))
        if made is None:
            out, square, left = self.still, deed, times
            while left:
                if left & 1:
                    out = then(out, square)
                left >>= 1
                if left:
                    square = then(square, square)
            made = self._powers[deed, times] = out
        return made


@lru_cache(maxsize=8192)
def _usual(figure: Figure) -> tuple[Ways, Ways, Ways]:
    """Return the ways of a figure as it is usually read, from each weight."""
    return _danced(figure, figure.versions[figure.usual], {})


def _danced(figure: Figure, version: Version, senses: Mapping[str, int]) -> tuple[Ways, Ways, Ways]:
    """Return the ways of a figure under one reading of it and of its movements, from each weight."""
    ways: list[Ways] = []
    for lead in (Foot.RIGHT, Foot.LEFT):
        swap = lead is not figure.lead
        end = dance(version, lead, swap, senses)
        turn = -version.turn if swap else version.turn
        ways.append(None if isinstance(end, Impossible) else (Way(int(end), turn, version.length),))
    if is_still(version, senses):
        own = ways[figure.lead is Foot.LEFT]
        both: Ways = None if own is None else tuple(way._replace(weight=2) for way in own)
    else:
        both = tuple(dict.fromkeys(way for some in reversed(ways) if some is not None for way in some))
    return ways[0], ways[1], both or None


def then(one: Deed, other: Deed) -> Deed:
    """Return one deed followed by another."""
    out: list[Ways] = []
    for number, ways in enumerate(one):
        if ways is None:
            out.append(None)
            continue
        base = number - number % 3
        if len(ways) == 1:
            way = ways[0]
            onward = other[base + way.weight]
            if onward is not None and len(onward) == 1 and not onward[0].needs and not way.needs:
                last = onward[0]
                out.append((Way(last.weight, way.turn + last.turn, way.ticks + last.ticks),))
                continue
        found: dict[Way, None] = {}
        for way in ways:
            onward = other[base + way.weight]
            if onward is None:
                out.append(None)
                break
            for last in onward:
                needs = way.needs + tuple((way.turn + turn, facing) for turn, facing in last.needs)
                found[Way(last.weight, way.turn + last.turn, way.ticks + last.ticks, needs)] = None
        else:
            if len(found) > MOST_WAYS:
                raise Unclear("too many ways")
            out.append(tuple(found))
    return tuple(out)


def lasting(deed: Deed, ticks: int | None) -> Deed:
    """Return a deed that has to last `ticks`."""
    return tuple(row if row is not None and all(way.ticks == ticks for way in row) else None for row in deed)
