"""Traversal of programs: the checks and bodies in an item, all items of a body, and a program with its items
changed."""

from collections.abc import Callable, Collection, Iterator, Sequence
from operator import is_
from typing import Any, TypeAlias, TypeGuard, get_args

from attrs import evolve

from stepcheck.model.claims import Check
from stepcheck.model.dance import (
    Body,
    Choice,
    Forever,
    Gap,
    Item,
    Lap,
    Last,
    Lined,
    Pass,
    Program,
    Repeat,
    Step,
    Timed,
    Together,
    Uncut,
)

Block: TypeAlias = Repeat | Timed | Pass | Lap | Forever | Last | Lined
"""An item that holds one body."""
Change: TypeAlias = Callable[[Item], Body]
"""What takes the place of an item."""


def methods(owner: type) -> dict[type, Callable[..., Any]]:
    """Return the method of a class for each kind of item that engines meet, called as the kind: `_step` for `Step`; a
    lone check is judged by `_together` as well."""
    kinds = {kind: "together" if kind is Check else kind.__name__.lower() for kind in get_args(Item)}
    return {kind: getattr(owner, f"_{name}") for kind, name in kinds.items() if kind not in (Lined, Uncut)}


def checks(item: Item) -> tuple[Check, ...]:
    """Return the checks of an item: itself, those judged together, or none."""
    if isinstance(item, Together):
        return item.checks
    return (item,) if isinstance(item, Check) else ()


def is_blank(item: Item) -> TypeGuard[Gap | Step | Check | Repeat]:
    """Say whether an item itself is to be found, or its turn, its foot or its times; what is inside does not count."""
    match item:
        case Gap() | Step(blank=True) | Check(blank=True) | Repeat(times=None):
            return True
    return False


def unchecked(item: Item, claims: Collection[str]) -> Body:
    """Return a check, or checks that are judged together, without those of some claims."""
    left = tuple(check for check in checks(item) if check.claim.id not in claims)
    if len(left) == len(checks(item)):
        return (item,)
    return (Together(left),) if left else ()


def inside(item: Item) -> tuple[Body, ...]:
    """Return the bodies in an item: the options of a variation, the body of a block or pass, or none."""
    if isinstance(item, Choice):
        return item.options
    return (item.body,) if isinstance(item, Block) else ()


def every(body: Body) -> Iterator[Item]:
    """Yield the items of a body, each before those inside it."""
    for item in body:
        yield item
        for inner in inside(item):
            yield from every(inner)


def _gather(body: Body, seen: set[int], found: list[Item]) -> None:
    if id(body) not in seen:
        seen.add(id(body))
        for item in body:
            found.append(item)
            for inner in inside(item):
                _gather(inner, seen, found)


def once(*bodies: Body) -> list[Item]:
    """Return the items of bodies, each before those inside it, and those of a body that stands in several places
    once."""
    seen, found = set[int](), list[Item]()
    for body in bodies:
        _gather(body, seen, found)
    return found


def every_item(program: Program) -> list[Item]:
    """Return the items of a program, of its dance, its spare parts and its walls, as `once`."""
    walls = (program.walls.body,) if program.walls else ()
    return once(program.dance, *(spare.body for spare in program.spares), *walls)


def spliced(body: Body) -> Body:
    """Return a body with the items that its lines lay in the place of the lines."""
    if not any(isinstance(item, Lined) for item in body):
        return body
    return tuple(one for item in body for one in (spliced(item.body) if isinstance(item, Lined) else (item,)))


def same(some: Sequence[object], others: Sequence[object]) -> bool:
    """Say whether two rows hold the same objects."""
    return len(some) == len(others) and all(map(is_, some, others))


class Mapped:
    """Bodies with `change` made to each item, from the inside out; what does not change stays the same object."""

    def __init__(self, change: Change) -> None:
        self.change = change
        self._made: dict[int, tuple[Body, Body]] = {}

    def body(self, body: Body) -> Body:
        """Return one body changed; equal bodies stay one body."""
        if id(body) not in self._made:
            out = tuple(one for item in body for one in self.change(self._item(item)))
            self._made[id(body)] = body, body if same(out, body) else out
        return self._made[id(body)][1]

    def _item(self, item: Item) -> Item:
        if isinstance(item, Choice):
            options = tuple(map(self.body, item.options))
            return item if same(options, item.options) else evolve(item, options=options)
        if not isinstance(item, Block):
            return item
        body = self.body(item.body)
        return item if body is item.body else evolve(item, body=body)


def mapped(program: Program, change: Change) -> Program:
    """Return a program with `change` made to each item of its dance, its spare parts, its walls and its meetings."""
    made = Mapped(change)
    spares = tuple(evolve(spare, body=made.body(spare.body)) for spare in program.spares)
    walls = program.walls and evolve(program.walls, body=made.body(program.walls.body))
    meetings = tuple(evolve(one, before=tuple(map(made.body, one.before))) for one in program.meetings)
    return evolve(program, dance=made.body(program.dance), spares=spares, walls=walls, meetings=meetings)
