"""The values of the walk: fronts (effects up to a point of the dance, by assignment of readings) and events
(verdicts)."""

from collections.abc import Iterable
from typing import NamedTuple, TypeAlias

from attrs import frozen

from stepcheck.model.dance import Weight
from stepcheck.model.outcome import Verdict
from stepcheck.walk.effects import Effect


class Branch(NamedTuple):
    """The effect of the dance up to one point, for the assignments of readings in `who` (bits)."""

    effect: Effect
    who: int


class Event(NamedTuple):
    """One verdict of one check for the assignments `who` (bits): held (proved), waiting on a blank (undecided) or
    failed (refuted)."""

    claim: str
    verdict: Verdict
    who: int
    check: int


class Start(NamedTuple):
    """The start of a lap, with the weights that dancers can have there; `open` says that these wait on a blank."""

    weights: tuple[Weight, ...]
    open: bool
    who: int


Front = tuple[Branch, ...]


@frozen
class Met:
    """The results of one pass: the front at its end, its events, and the laps begun in it."""

    ends: Front
    events: tuple[Event, ...]
    laps: tuple[Start, ...]


Passes: TypeAlias = dict[tuple[int, tuple[Weight, ...], bool, bool, bool], Met]
"""Results of passes by the `id` of the body, the weights before it and how it is walked; the owner keeps the bodies
alive."""


def merged(branches: Iterable[Branch]) -> Front:
    """Return a front in which branches with the same effect are one, in the order of their first appearance."""
    if type(branches) is list and len(branches) == 1:
        return (branches[0],)
    found: dict[Effect, int] = {}
    for effect, who in branches:
        found[effect] = found.get(effect, 0) | who
    return tuple(Branch(effect, who) for effect, who in found.items())


def unrepeated(events: list[Event]) -> list[Event]:
    """Return the events of a repeat with each pair of check and verdict once."""
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
