"""A draft before it is written: lines, blocks and parts of the sheet to come."""

from attrs import field, frozen

from stepcheck.drafts.steps import Turn
from stepcheck.model.dance import TICKS

WEIGHT = frozenset(["S", "CL", "RK", "RC", "BA", "TW", "HW", "STO"])
"""The movements that take the weight onto the foot that makes them."""


@frozen
class Move:
    """A movement of a row: its code, its foot ("L", "R" or "") and its tick, 12 at count 1, 0 where it is placed in order."""

    code: str
    foot: str
    tick: int


@frozen
class Line:
    """A line of dance.

    It is a row of `moves`, else a figure, `name`, danced `times` times with `foot` ("L", "R", ""), else silence (`code` of all
    moves is HOLD), else a blank of `counts`, which are also those that a row lasts.  `stated` says that the source states them.
    `turn` is at count `at`, 0 for the whole line, on the times `on` of several, "" for all; `facing` is what is said to hold behind it.
    """

    moves: tuple[Move, ...] = ()
    name: str = ""
    times: int = 1
    foot: str = ""
    counts: int = 0
    blank: bool = False
    stated: bool = False
    turn: Turn | None = None
    at: int = 0
    on: str = ""
    facing: str = ""
    note: tuple[str, ...] = ()
    remark: str = ""

    @property
    def syncopated(self) -> bool:
        """Whether a movement of the row stands off the next count."""
        ticks = [move.tick for move in self.moves if move.code != "PV"]
        return any(ticks) and ticks != [TICKS * (index + 1) for index in range(len(ticks))]


@frozen
class Expect:
    """A claim between lines: a free foot ("left foot"), or a facing ("facing 6:00")."""

    says: str
    remark: str = ""


@frozen
class Remark:
    """A comment of its own."""

    text: str


@frozen
class Block:
    """Lines under a heading such as `counts 1-8` or `2 times`."""

    head: str
    lines: tuple["Item", ...] = ()
    facing: str = ""
    remark: str = ""


Item = Line | Expect | Remark | Block


@frozen
class Part:
    """A part: its name, what its contract says, and its lines."""

    name: str
    contract: tuple[str, ...] = ()
    lines: tuple[Item, ...] = ()
    remark: str = ""


@frozen
class Definition:
    """A figure of the sheet's own: name, row as text, note, and its built-in turn as text."""

    name: str
    row: str
    note: str = ""
    facts: str = ""


@frozen
class Outline:
    """All that a draft holds: header fields (key, value, comment), remarks at the top, figures, parts, the dance."""

    header: tuple[tuple[str, str, str], ...]
    tradition: str
    remarks: tuple[str, ...] = ()
    figures: tuple[Definition, ...] = ()
    parts: tuple[Part, ...] = ()
    dance: tuple[tuple[str, str], ...] = field(default=())
    endings: tuple[str, ...] = ()
