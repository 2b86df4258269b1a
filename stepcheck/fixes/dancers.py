"""Dancers followed one by one: where they stand, what a check says of them, and where a deed leads them."""

from collections.abc import Mapping
from typing import Any, NamedTuple, TypeAlias

from attrs import evolve, frozen

from stepcheck.fixes.slots import Key
from stepcheck.fixes.transitions import Deed
from stepcheck.model.dance import EIGHTHS, Check, Test, Weight
from stepcheck.program.contracts import Swap

Dancer: TypeAlias = tuple[int, int, int, int]
"""Where a dancer came from (three times the assignment of readings, and the weight), weight, signed turn, and clock."""
Dancers: TypeAlias = tuple[Dancer, ...]
Pick: TypeAlias = tuple[Key, Any]
Picks: TypeAlias = tuple[Pick, ...]


class Result(NamedTuple):
    """Where dancers can stand at the end of some nodes, what has to be changed for it, and what that costs.

    A dancer is where it came from (three times the assignment of readings, and its weight), its weight, its signed turn
    and its clock since the frame began.  `laps` has the bits of the changes of facing of the laps, and of the weights
    at their ends.
    """

    dancers: Dancers
    laps: int
    cost: int
    picks: Picks


@frozen
class Scope:
    """What is settled around some nodes.

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


def fits(check: Check, dancers: Dancers, front: int) -> bool:
    """Say whether a check holds for all dancers; `front` is the facing at which turns began to be counted."""
    value = check.value
    match check.test:
        case Test.LEAD:
            return all(weight != value for _, weight, _, _ in dancers)
        case Test.FOOT:
            return value is not None and all(weight == 1 - value for _, weight, _, _ in dancers)
        case Test.BOTH:
            return all(weight == Weight.BOTH for _, weight, _, _ in dancers)
        case Test.FACING:
            return value is not None and not any((front + turn - value) % EIGHTHS for _, _, turn, _ in dancers)
        case Test.CLOCK:
            return all(clock == value for _, _, _, clock in dancers)
        case Test.TURN:
            return all(turn == value for _, _, turn, _ in dancers)
        case Test.EITHER:
            return value is not None and value % 4 == 0 and all(abs(turn) == abs(value) for _, _, turn, _ in dancers)


def led(check: Check, dancers: Dancers) -> Dancers:
    """Return dancers after a check that holds: a foot that leads takes the weight off both feet."""
    if check.test is not Test.LEAD or check.value is None or not any(d[1] == Weight.BOTH for d in dancers):
        return dancers
    weight = 1 - check.value
    return tuple(sorted({(origin, weight, turn, clock) for origin, _, turn, clock in dancers}))


def mended(check: Check, dancers: Dancers, front: int) -> Dancers:
    """Return dancers after a check, as if it had held."""
    out = set()
    value = int(check.value or 0)
    for origin, weight, turn, clock in dancers:
        match check.test:
            case Test.LEAD | Test.FOOT:
                weight = 1 - value
            case Test.BOTH:
                weight = int(Weight.BOTH)
            case Test.FACING:
                turn += (value - front - turn) % EIGHTHS
            case Test.EITHER if value % 4 == 0 and abs(turn) == abs(value):
                pass
            case Test.TURN | Test.EITHER:
                turn = value
            case Test.CLOCK:
                clock = value
        out.add((origin, weight, turn, clock))
    return tuple(sorted(out))


def timeless(dancers: Dancers) -> Dancers:
    """Return dancers without their clocks and whole turns, which mean nothing to what may go on for ever."""
    return tuple(sorted({(origin, weight, turn % EIGHTHS, 0) for origin, weight, turn, _ in dancers}))


def moved(deed: Deed, dancers: Dancers, front: int) -> Dancers | None:
    """Return where dancers stand after a deed; None if one of them cannot do it, or does not face as is claimed."""
    if len(dancers) == 1:
        origin, weight, turn, clock = dancers[0]
        ways = deed[origin - origin % 3 + weight]
        if ways is None:
            return None
        if len(ways) == 1 and not ways[0].needs:
            way = ways[0]
            return ((origin, way.weight, turn + way.turn, clock + way.ticks),)
    out = set()
    for origin, weight, turn, clock in dancers:
        ways = deed[origin - origin % 3 + weight]
        if ways is None:
            return None
        for way in ways:
            if any((front + turn + more - facing) % EIGHTHS for more, facing in way.needs):
                return None
            out.add((origin, way.weight, turn + way.turn, clock + way.ticks))
    return tuple(sorted(out))
