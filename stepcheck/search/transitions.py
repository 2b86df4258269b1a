"""Transitions of single dancers for whom every claim holds, and the state of a dancer after one.

A transition has a row for each assignment of readings and each weight before: the ways on, or None where a claim
inside fails or nothing can be danced.  Turns add up exactly here, since no claim that failed has been mended on the
way.
"""

from collections.abc import Callable, Mapping
from functools import lru_cache, reduce
from typing import Any, NamedTuple, TypeAlias

from attrs import evolve, frozen

from stepcheck.books.footwork import MOST_ASSIGNMENTS, Impossible, Words, ends
from stepcheck.model.claims import Check, Test
from stepcheck.model.dance import (
    EIGHTHS,
    Body,
    Choice,
    Figure,
    Item,
    Program,
    Repeat,
    Rest,
    Step,
    Timed,
    Together,
    Version,
    Weight,
)
from stepcheck.model.items import checks
from stepcheck.program.claims import Swap
from stepcheck.search.slots import Key, Nodes
from stepcheck.walk.stands import asked

MOST_READINGS = 64
MOST_WAYS = 64


class Unclear(Exception):
    """Too many ways, or a blank: the ways cannot be listed one by one."""


class Way(NamedTuple):
    """One way on: the weight after it, the signed turn in eighths, the ticks, and facings claimed on the way.

    `needs` has pairs of a turn since the start of the way and the facing that must hold there.
    """

    weight: int
    turn: int
    ticks: int
    needs: tuple[tuple[int, int], ...] = ()


Ways: TypeAlias = tuple[Way, ...] | None
Transition: TypeAlias = tuple[Ways, ...]


class Transitions:
    """The transitions of one program's steps, under each of its assignments of readings."""

    def __init__(self, program: Program) -> None:
        self.words = Words(program)
        if self.words.total > MOST_ASSIGNMENTS or self.words.every.bit_count() > MOST_READINGS:
            raise Unclear("too many readings")
        every = self.words.every
        self.assignments = tuple(number for number in range(self.words.total) if every >> number & 1)
        self.still: Transition = tuple((Way(weight, 0, 0),) for _ in self.assignments for weight in range(3))
        self.nothing: Transition = (None,) * len(self.still)
        self._steps: dict[tuple[Figure, int | None], Transition] = {}
        self._powers: dict[tuple[Transition, int], Transition] = {}

    def body(self, items: Body) -> Transition:
        """Return the transition of items that hold no part."""
        return reduce(then, map(self.item, items), self.still)

    def item(self, item: Item) -> Transition:
        """Return the transition of one item."""
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
                return _each(self.body(item.body), lambda way: way._replace(ticks=ticks))
            case Timed():
                *inner, last = item.body
                if isinstance(last, Check) and last.test is Test.CLOCK:
                    return lasting(self.body(tuple(inner)), last.value)
        raise Unclear("this is not looked at step by step")

    def rest(self, ticks: int) -> Transition:
        """Return the transition of silence."""
        return tuple((Way(weight, 0, ticks),) for _ in self.assignments for weight in range(3))

    def step(self, figure: Figure, turn: int | None = None) -> Transition:
        """Return the transition of a figure; `turn` in eighths, as written, is absolute and replaces its own."""
        where = (figure, turn)
        if where not in self._steps:
            self._steps[where] = (
                self._figure(figure) if turn is None else _each(self.step(figure), lambda way: way._replace(turn=turn))
            )
        return self._steps[where]

    def _figure(self, figure: Figure) -> Transition:
        if not self.words.words:
            return _usual(figure)
        meanings = self.words.partition(figure)
        danced = [(who, _danced(figure, version, senses)) for version, senses, who in meanings]
        each = (next(ways for who, ways in danced if who >> number & 1) for number in self.assignments)
        return tuple(one for ways in each for one in ways)

    def _choice(self, options: list[Transition], alike: bool | None) -> Transition:
        """Return the transition of a variation, whose options have to last equally long if they are to be `alike`.

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

    def _check(self, check: Check) -> Transition:
        """Return the transition of a check inside an alternative: a dancer who fails it has no way on."""
        goal, weights = None if check.blank else asked(check), [number % 3 for number in range(len(self.still))]
        if goal and check.test.about == "weight":
            return tuple((Way(goal.after(on), 0, 0),) if on in goal.holds else None for on in weights)
        if goal and check.test.about == "facing" and len(goal.holds) == 1:
            return tuple((Way(weight, 0, 0, ((0, goal.then),)),) for weight in weights)
        raise Unclear("a blank, or a claim about time")

    def power(self, transition: Transition, times: int) -> Transition:
        """Return a transition done `times` times."""
        if times == 1:
            return transition
        where = (transition, times)
        if where not in self._powers:
            even = self.power(then(transition, transition), times // 2)
            self._powers[where] = then(transition, even) if times % 2 else even
        return self._powers[where]


@lru_cache(maxsize=8192)
def _usual(figure: Figure) -> tuple[Ways, Ways, Ways]:
    """Return the ways of a figure as it is usually read, from each weight."""
    return _danced(figure, figure.versions[figure.usual], {})


def _danced(figure: Figure, version: Version, senses: Mapping[str, int]) -> tuple[Ways, Ways, Ways]:
    """Return the ways of a figure under one reading of it and of its movements, from each weight."""

    def ways(weight: Weight) -> Ways:
        led = sorted(ends(figure, weight, version, senses), key=lambda one: one.lead)
        made = (Way(int(e.weight), e.turn, version.length) for e in led if not isinstance(e.weight, Impossible))
        return tuple(dict.fromkeys(made)) or None

    return ways(Weight.LEFT), ways(Weight.RIGHT), ways(Weight.BOTH)


def _each(transition: Transition, change: Callable[[Way], Way]) -> Transition:
    return tuple(None if row is None else tuple(dict.fromkeys(map(change, row))) for row in transition)


def then(one: Transition, other: Transition) -> Transition:
    """Return one transition followed by another."""
    out: list[Ways] = []
    for number, ways in enumerate(one):
        if ways is None:
            out.append(None)
            continue
        base = number - number % 3
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


def lasting(transition: Transition, ticks: int | None) -> Transition:
    """Return a transition that has to last `ticks`."""
    return tuple(row if row is not None and all(way.ticks == ticks for way in row) else None for row in transition)


Dancer: TypeAlias = tuple[int, int, int, int]
"""A dancer: its origin (three times the assignment of readings, plus the first weight), weight, signed turn, and
clock."""
Dancers: TypeAlias = tuple[Dancer, ...]
Pick: TypeAlias = tuple[Key, Any]
Picks: TypeAlias = tuple[Pick, ...]


class Result(NamedTuple):
    """A result of some nodes: the dancers at their end, the changes that this needs, and their cost.

    `laps` has eleven bits for each assignment of readings: eight for the changes of facing of its laps, three for the
    weights at their ends.  Behind these stands a bit for each claim that a cut may leave out and that was come to.
    """

    dancers: Dancers
    laps: int
    cost: int
    picks: Picks


@frozen
class Scope:
    """The decisions that hold around some nodes.

    `known` are the changes made, by line and claim; `swap` is how the pass around is swapped, `front` the facing at
    which its turns began to be counted; `closed` are lines and claims that were come to before and stay as they are.
    With `mending` dancers for whom a claim fails go on as if it had held: laps that nobody dances are not checked.
    """

    known: Mapping[Key, Any]
    swap: Swap = Swap()
    front: int = 0
    closed: frozenset[Key] = frozenset()
    mending: bool = False

    def settled(self, picks: Picks) -> "Scope":
        """Return the scope with more changes made."""
        return evolve(self, known={**self.known, **dict(picks)}) if picks else self


Follow: TypeAlias = Callable[[Nodes, Dancers, Scope, int], list[Result]]
"""What follows dancers through nodes, with what holds around them and a budget for changes."""


def values(about: str, dancers: Dancers, front: int) -> list[int]:
    """Return for each dancer what a test is `about`; `front` is the facing at which turns began to be counted."""
    match about:
        case "weight":
            return [weight for _, weight, _, _ in dancers]
        case "facing":
            return [(front + turn) % EIGHTHS for _, _, turn, _ in dancers]
        case "clock":
            return [clock for _, _, _, clock in dancers]
    return [turn for _, _, turn, _ in dancers]


def fits(check: Check, dancers: Dancers, front: int) -> bool:
    """Say whether a check holds for all dancers; `front` is as for `values`."""
    holds = asked(check).holds
    return all(value in holds for value in values(check.test.about, dancers, front))


def mended(check: Check, dancers: Dancers, front: int) -> Dancers:
    """Return dancers after a check, as if it had held: a foot that leads takes the weight off both feet."""
    goal, about = asked(check), check.test.about
    if len(goal.holds) == 1 and fits(check, dancers, front):
        return dancers
    out = set()
    for (origin, weight, turn, clock), value in zip(dancers, values(about, dancers, front), strict=True):
        after = goal.after(value)
        match about:
            case "weight":
                weight = after
            case "facing":
                turn += (after - value) % EIGHTHS
            case "clock":
                clock = after
            case _:
                turn = after
        out.add((origin, weight, turn, clock))
    return dancers if out == {*dancers} else tuple(sorted(out))


def lapped(laps: int, origin: int, turn: int, weight: int) -> int:
    """Return the bits of laps with those of one of a dancer: its change of facing, and the weight at its end."""
    return laps | (1 << turn % EIGHTHS | 256 << weight) << 11 * (origin // 3)


def timeless(dancers: Dancers) -> Dancers:
    """Return dancers without their clocks and whole turns, which have no meaning in a dance that may go on for ever."""
    return tuple(sorted({(origin, weight, turn % EIGHTHS, 0) for origin, weight, turn, _ in dancers}))


def moved(transition: Transition, dancers: Dancers, front: int) -> Dancers | None:
    """Return dancers after a transition; None if one of them cannot do it, or does not face as claimed."""
    out = set()
    for origin, weight, turn, clock in dancers:
        ways = transition[origin - origin % 3 + weight]
        if ways is None:
            return None
        for way in ways:
            if any((front + turn + more - facing) % EIGHTHS for more, facing in way.needs):
                return None
            out.add((origin, way.weight, turn + way.turn, clock + way.ticks))
    return tuple(sorted(out))
