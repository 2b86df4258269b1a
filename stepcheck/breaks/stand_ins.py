"""Stand-ins for what is put in a blank: the program with it, without laying the sheet out again."""

from collections.abc import Callable, Iterable, Mapping

from attrs import evolve

from stepcheck.model.dance import (
    Action,
    Body,
    Choice,
    Figure,
    Foot,
    Forever,
    Gap,
    Item,
    Lap,
    Last,
    Pass,
    Program,
    Repeat,
    Step,
    Timed,
    Version,
    Weight,
)
from stepcheck.model.movements import Actor, Movement, Sense

Change = Callable[[Item], Item]
Swapped = tuple[bool, bool]
"""Whether feet are swapped in a pass, and whether turns are."""


def replaced(program: Program, change: Change) -> Program:
    """Return a program with `change` made to every item of it that is no block; equal bodies stay one body."""
    done: dict[int, Body] = {}

    def body(items: Body) -> Body:
        if id(items) not in done:
            done[id(items)] = tuple(map(item, items))
        return done[id(items)]

    def item(one: Item) -> Item:
        if isinstance(one, Choice):
            return evolve(one, options=tuple(map(body, one.options)))
        if isinstance(one, Repeat | Timed | Pass | Lap | Forever | Last):
            return change(evolve(one, body=body(one.body)))
        return change(one)

    walls = program.walls and evolve(program.walls, body=body(program.walls.body))
    spares = tuple(evolve(spare, body=body(spare.body)) for spare in program.spares)
    return evolve(program, dance=body(program.dance), spares=spares, walls=walls)


def with_turn(line: int, turn: int) -> Change:
    """Return the change that gives the steps of a line `turn` eighths in the place of one; mirrored where they are."""
    return lambda item: (
        evolve(item, turn=item.turn * turn) if isinstance(item, Step) and item.line == line and item.turn else item
    )


def with_times(line: int, times: int) -> Change:
    """Return the change that has the open repeats of a line danced `times` times."""
    return lambda item: (
        evolve(item, times=times) if isinstance(item, Repeat) and item.line == line and item.times is None else item
    )


def with_outcome(line: int, figure: Figure, turn: int) -> Change:
    """Return the change that puts one step with `turn` in the place of the gap of a line."""
    return lambda item: Step(line, figure, turn) if isinstance(item, Gap) and item.line == line else item


def with_items(line: int, items: Mapping[Swapped, Item]) -> Change:
    """Return the change that puts items in the place of the gap of a line, by how its pass is swapped there."""
    return lambda item: (
        items.get((item.feet, item.turns), item) if isinstance(item, Gap) and item.line == line else item
    )


def as_repeat(line: int, row: Iterable[tuple[Figure, int | None]], turns: bool) -> Repeat:
    """Return figures with the turns that are written on them as one item; `turns` says that these are swapped."""
    steps = (Step(line, figure, None if turn is None else -turn if turns else turn) for figure, turn in row)
    return Repeat(line, 1, tuple(steps))


def stand_in(ticks: int, before: Weight, after: Weight) -> Figure:
    """Return a figure that lasts `ticks` and leads from one foot to `after`."""
    actor = Actor.BOTH if after is Weight.BOTH else Actor.FREE
    movement = Movement("?", ("?",), (Sense("", actor, after is not before),))
    return Figure("?", (Version("", (Action(movement, None, ticks, 1),), ticks),), lead=Foot(before).other)
