"""What leads to a point of a dance, reading by reading, and the checks met on the way there: values of the walk."""

from collections.abc import Iterable
from typing import NamedTuple, TypeAlias

from attrs import frozen

from stepcheck.model.dance import Weight
from stepcheck.model.outcome import Verdict
from stepcheck.walk.effects import Effect


class Branch(NamedTuple):
    """What leads to one point under some assignments of readings."""

    effect: Effect
    who: int


class Event(NamedTuple):
    """A check met on the way: the claim is only seen, waits on a blank, or fails, for the assignments `who`."""

    claim: str
    verdict: Verdict
    who: int
    check: int


class Start(NamedTuple):
    """The start of a lap, with the weights of those who come to it; `open` says that this waits on a blank."""

    weights: tuple[Weight, ...]
    open: bool
    who: int


Front = tuple[Branch, ...]


@frozen
class Met:
    """What is met in one pass: how it ends, the checks, and the laps begun."""

    ends: Front
    events: tuple[Event, ...]
    laps: tuple[Start, ...]


Passes: TypeAlias = dict[tuple[int, tuple[Weight, ...], bool, bool, bool], Met]
"""What passes do, by the `id` of their body, the weights before it and how it is walked: of bodies that are kept."""


def merged(branches: Iterable[Branch]) -> Front:
    """Return the branches with those of one effect put together, in the order in which they came."""
    if type(branches) is list and len(branches) == 1:
        return (branches[0],)
    found: dict[Effect, int] = {}
    for effect, who in branches:
        found[effect] = found.get(effect, 0) | who
    return tuple(Branch(effect, who) for effect, who in found.items())


def unrepeated(events: list[Event]) -> list[Event]:
    """Return the events of a repeat with each check's counted once for each verdict."""
    found: dict[tuple[int, str, Verdict], Event] = {}
    for event in events:
        claim, verdict, who, check = event
        where = check, claim, verdict
        known = found.get(where)
        if known is None:
            found[where] = event
        elif who & ~known.who:
            found[where] = Event(claim, verdict, known.who | who, check)
    return list(found.values())
