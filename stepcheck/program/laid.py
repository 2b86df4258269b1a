"""What is in a body that is laid out: the parts and times that come in it, the foot that goes first, its steps
alone."""

from collections.abc import Callable
from typing import TypeAlias

from attrs import evolve, field, frozen

from stepcheck.model.dance import (
    Body,
    Check,
    Choice,
    Claim,
    Gap,
    Item,
    Kind,
    Lap,
    Pass,
    Repeat,
    Rest,
    Step,
    Test,
    Timed,
    Together,
    Weight,
    key,
)

EITHER_FOOT = (Weight.LEFT, Weight.RIGHT)
_Change: TypeAlias = Callable[[Item], Body]


class _Changed:
    """Bodies with `change` made to each of their items, once what is in the item is changed; equal bodies stay one."""

    def __init__(self, change: _Change) -> None:
        self.change = change
        self._made: dict[int, Body] = {}

    def body(self, body: Body) -> Body:
        if id(body) not in self._made:
            out = tuple(one for item in body for one in self.change(self._inside(item)))
            same = len(out) == len(body) and all(one is other for one, other in zip(out, body, strict=True))
            self._made[id(body)] = body if same else out
        return self._made[id(body)]

    def _inside(self, item: Item) -> Item:
        match item:
            case Choice(options=options):
                made = tuple(map(self.body, options))
                return item if all(map(_same, made, options)) else evolve(item, options=made)
            case Check() | Together() | Step() | Rest() | Gap():
                return item
        inner = self.body(item.body)
        return item if inner is item.body else evolve(item, body=inner)


def _same(one: Body, other: Body) -> bool:
    return one is other


@frozen
class Reached:
    """What a dance comes to: parts, by key, and the ids of claims that a time comes."""

    parts: set[str] = field(factory=set)
    times: set[str] = field(factory=set)

    def without_times(self, body: Body) -> Body:
        """Return a body without the checks that a time comes, which only mark its place; remember what is in the
        body."""

        def change(item: Item) -> Body:
            if isinstance(item, Pass):
                self.parts.add(key(item.part))
            if isinstance(item, Check) and item.claim.kind is Kind.TIME:
                self.times.add(item.claim.id)
                return ()
            return () if isinstance(item, Repeat) and not item.body else (item,)

        return _Changed(change).body(body)


def steps_alone(body: Body) -> Body:
    """Return the steps of a body, with no check but those of the feet that are to lead."""

    def change(item: Item) -> Body:
        match item:
            case Check():
                return (item,) if item.test is Test.LEAD else ()
            case Together():
                return ()
            case Choice():
                return (evolve(item, claim=None),)
            case Timed() | Lap():
                return item.body
            case Pass():
                return (evolve(item, lap=False, lasts=None),)
            case Repeat():
                return (item,) if item.body else ()
        return (item,)

    return _Changed(change).body(body)


def lengths_alone(body: Body) -> Body:
    """Return a body with no check but those of lengths, which hang on no foot and no facing."""

    def change(item: Item) -> Body:
        match item:
            case Check():
                return (item,) if item.test is Test.CLOCK else ()
            case Together():
                return tuple(check for check in item.checks if check.test is Test.CLOCK)
        return (item,)

    return _Changed(change).body(body)


Passes: TypeAlias = dict[int, tuple[Body, dict[str, int]]]
"""How many passes of each part there are in bodies, by the `id` of each, with the body itself so that it stays."""


def passes(body: Body, known: Passes) -> dict[str, int]:
    """Return how many passes of each part there are in a body, those in passes included; `known` holds earlier
    answers."""
    if id(body) not in known:
        found: dict[str, int] = {}
        for item in body:
            if isinstance(item, Pass):
                found[key(item.part)] = found.get(key(item.part), 0) + 1
            times = item.times or 1 if isinstance(item, Repeat) else 1
            for inner in item.options if isinstance(item, Choice) else (getattr(item, "body", ()),):
                for part, number in passes(inner, known).items() if inner else ():
                    found[part] = found.get(part, 0) + number * times
        known[id(body)] = body, found
    return known[id(body)][1]


def first_weights(body: Body, heads: frozenset[int]) -> tuple[Weight, ...]:
    """Return where the weight may be before a body: as the first that is danced in it names, else on either foot.

    Args:
        body: a body as laid out.
        heads: the lines of the headings of parts, whose contracts may say that a part begins on both feet.
    """
    return _named(body, heads) or EITHER_FOOT


def _under(body: Body, number: int, claim: Claim) -> Body | None:
    """Return what stands under the heading of counts whose foot is number `number` of a body; None if it is no such.

    The foot of a heading is that of the first line under it: it names nothing where none is danced.
    """
    rest = body[number + 1 :]
    for end, item in enumerate(rest):
        if isinstance(item, Check) and item.claim.kind is Kind.COUNTS and item.claim.line == claim.line:
            return rest[:end]
    return None


def _named(body: Body, heads: frozenset[int]) -> tuple[Weight, ...] | None:
    """Return the weight before the first that is danced in a body: none if no foot is named; None if nothing is
    danced."""
    for number, item in enumerate(body):
        found: tuple[Weight, ...] | None = None
        match item:
            case Check(test=Test.LEAD, value=foot, claim=claim):
                under = _under(body, number, claim)
                if under is None or _named(under, heads) is not None:
                    return (Weight.BOTH,) if foot is None else (Weight(1 - foot),)  # from both, any foot can be found
            case Step() | Gap():
                return ()
            case Choice():
                named = {_named((*option, *body[number + 1 :]), heads) for option in item.options}
                return named.pop() if len(named) == 1 else ()
            case Check(test=Test.BOTH, claim=claim) if claim.kind is Kind.STAND and claim.line in heads:
                return (Weight.BOTH,)
            case Check() | Together() | Rest():
                continue
            case _:
                found = _named(item.body, heads)
        if found is not None:
            return found
    return None
