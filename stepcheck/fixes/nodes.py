"""The shape of a dance with its slots: where a line is danced, and the blocks around it."""

from typing import TypeAlias

from attrs import frozen

from stepcheck.language.syntax import Line
from stepcheck.model.dance import Body, Check, Choice, Gap, Item, Repeat, Step, Timed
from stepcheck.program.contracts import Swap
from stepcheck.program.layout import Around


@frozen(eq=False)
class Slot:
    """The steps of one row where it is danced; the checks of its foot and facing stand around it.

    `bare` says that it has none; `blank` that something in it is to be found.  A point at which something can be put in
    has no steps; `line` is the line that it is behind (or before, with `ahead`).
    """

    line: Line
    around: Around
    core: Body = ()
    bare: bool = True
    point: bool = False
    ahead: bool = False
    blank: bool = False

    @property
    def key(self) -> tuple[int, int]:
        """What stands for the line in all its slots."""
        return self.line.number, (2 - self.ahead) * self.point


@frozen(eq=False)
class Loop:
    """A block danced `times` times, None for a number that is to be found."""

    times: int | None
    nodes: "Nodes"


@frozen(eq=False)
class Inner:
    """A stretch with a clock of its own."""

    nodes: "Nodes"


@frozen(eq=False)
class Part:
    """One time through a part."""

    name: str
    nodes: "Nodes"
    swap: Swap
    lap: bool
    keys: frozenset[str | tuple[int, int]] = frozenset()


@frozen(eq=False)
class Short:
    """The start of a part, `ticks` long; `body` is the whole of it, as laid."""

    ticks: int
    body: Body
    last: bool = False


@frozen(eq=False)
class Round:
    """One time through what goes on until the music ends."""

    nodes: "Nodes"


@frozen(eq=False)
class Endless:
    """What goes on until the music ends."""

    nodes: "Nodes"


@frozen(eq=False)
class Either:
    """Alternatives that call parts; `nodes` are those of all `options`.  They last equally long, unless that is not
    `claimed`."""

    options: tuple["Nodes", ...]
    claimed: bool
    nodes: "Nodes"


@frozen(eq=False)
class Lasting:
    """What goes on until the music ends, `ticks` after the clock's start: whole laps, the last one perhaps cut.

    `body` is one lap, as laid.
    """

    ticks: int
    body: Body
    nodes: "Nodes"


@frozen(eq=False)
class Maybe:
    """What the dance may end with."""

    nodes: "Nodes"


Given: TypeAlias = Check | Loop | Inner | Part | Short | Round | Endless | Either | Lasting | Maybe
Node: TypeAlias = Slot | Given
Nodes: TypeAlias = tuple[Node, ...]


def timed(core: Body) -> tuple[Body, Check | None]:
    """Return the steps of a row, and what it says of their length, if it does."""
    match core:
        case (Timed(body=(*steps, Check() as length)),):
            return tuple(steps), length
    return core, None


def is_blank(item: Item) -> bool:
    """Say whether something in an item is to be found."""
    match item:
        case Gap() | Step(blank=True) | Repeat(times=None):
            return True
        case Choice():
            return any(is_blank(inner) for option in item.options for inner in option)
    return any(map(is_blank, getattr(item, "body", ())))
