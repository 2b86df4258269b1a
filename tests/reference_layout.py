"""A sheet with its names looked up, and what makes it ill-formed: what the naive reference dances from.

Nothing is laid out here: times, cuts and headings are found out while dancing.
"""

from collections.abc import Iterator
from math import lcm
from typing import Any

from stepcheck.books.book import Book
from stepcheck.language.syntax import (
    DanceHead,
    ExpectRow,
    FeetMark,
    FootMark,
    Length,
    Line,
    MusicHead,
    MusicRow,
    NetMark,
    OnlyHead,
    Option,
    Piece,
    Row,
    Sheet,
    SpotMark,
    StateMark,
    SwapMark,
    Times,
    TimesHead,
    TogetherHead,
    TravelMark,
    TurnMark,
    UntilHead,
    UntilMark,
)
from stepcheck.model.dance import Weight, key
from stepcheck.model.findings import Severity
from stepcheck.program import header as headers
from stepcheck.program.claims import LineFails, register
from stepcheck.program.names import Names

MOST_STEPS = 10_000


class IllFormed(Exception):
    """The sheet can't be understood as written."""


class Skipped(Exception):
    """There are too many dances, or a construct that nobody has decided: its name."""


def nodes(lines: tuple[Line, ...]) -> Iterator[Line]:
    """Yield all lines, outer ones first."""
    for line in lines:
        yield line
        yield from nodes(line.body)


def comes(times: Times, time: int, last: bool) -> bool:
    """Say whether one of the times is this one."""
    return time in times.named or bool(times.every and time % times.every == 0) or (times.last and last)


def effective(pieces: tuple[Piece, ...], time: int | None) -> list[Piece]:
    """A timed piece of a contract takes the place of the general piece of its kind at that time."""
    kinds = {FootMark: "foot", FeetMark: "foot", Length: "length", TurnMark: "turn", NetMark: "net", SpotMark: "spot"}
    now = {kinds[type(p)] for p in pieces if getattr(p, "time", None) == time and time is not None}
    return [
        p
        for p in pieces
        if (getattr(p, "time", None) == time if kinds[type(p)] in now else getattr(p, "time", None) is None)
    ]


class Routine:
    """A sheet with its names looked up, and the findings that make it ill-formed."""

    def __init__(self, sheet: Sheet, book: Book | None) -> None:
        self.sheet, self.steps, self.budget = sheet, 0, MOST_STEPS
        self.moved: dict[tuple[Any, ...], tuple[Weight, bool]] = {}
        self.known: dict[tuple[Any, ...], tuple[Any, Any]] = {}
        self.come: set[int] = set()
        self.strange: set[tuple[int, tuple[int, int], str]] = set()
        self.facts, wrong = headers.read(sheet, book=book)
        self.registry = register(sheet)
        self.names = Names(sheet, self.facts, self.registry)
        for found in (*wrong, *self.names.findings):
            if found.code.severity is Severity.ERROR:
                raise IllFormed(found.message)
        self.parts: dict[str, Line] = self.names.parts
        self.music = [row for line in sheet.lines if isinstance(line.node, MusicHead) for row in line.body if row.node]
        self.heads = [line for line in sheet.lines if isinstance(line.node, DanceHead)]
        if not self.heads:
            raise IllFormed("there is no dance")
        self.head = self.heads[0]
        ticks = [row.node.ticks for row in self.music if isinstance(row.node, MusicRow)]
        self.ends = [sum(ticks[: n + 1]) for n in range(len(ticks))]
        self.everything = list(nodes(sheet.lines))
        times = [
            t
            for line in self.everything
            for t in (
                *([line.node.times] if isinstance(line.node, OnlyHead) else ()),
                *(m.times for m in self.marks(line) if isinstance(m, TurnMark) and m.times),
            )
        ]
        pieces = [p for part in self.parts.values() for p in part.node.pieces]  # type: ignore[union-attr]
        self.largest = max([1, *(n for t in times for n in t.named), *(getattr(p, "time", None) or 1 for p in pieces)])
        self.every = lcm(*(t.every for t in times if t.every))
        self.last = any(t.last for t in times)
        self.timed = tuple(sorted(name for name, line in self.parts.items() if self.is_timed(line)))
        self.vet(self.head.body, False, True, False)
        for part in self.parts.values():
            self.vet_contract(part)
            self.vet(part.body, True, True, False)
        self.until = self.find_until()
        closing = [line for line in sheet.lines if getattr(line.node, "key", "").casefold() == "each section"]
        self.closing = [slot for slot in self.registry.slots if slot[0] in {line.number for line in closing}]
        self.vet_groups()

    @staticmethod
    def marks(line: Line) -> list[Any]:
        """Return the marks of all options of a line."""
        return [m for o in line.node.options for m in o.marks] if isinstance(line.node, Row) else []

    def is_timed(self, part: Line) -> bool:
        """Say whether a part differs from one of its times to another."""

        def own(lines: tuple[Line, ...]) -> Iterator[Line]:
            for line in lines:
                yield line
                if not isinstance(line.node, TimesHead):
                    yield from own(line.body)

        contract = any(getattr(p, "time", None) for p in part.node.pieces)  # type: ignore[union-attr]
        return contract or any(isinstance(line.node, OnlyHead) for line in own(part.body))

    def called(self, lines: tuple[Line, ...]) -> set[str]:
        """Return the parts that lines dance, and those danced inside these."""
        out: set[str] = set()
        for line in nodes(lines):
            for option in line.node.options if isinstance(line.node, Row) else ():
                name = key(option.name)
                if name in self.parts and name not in out:
                    out |= {name} | self.called(self.parts[name].body)
        return out

    # -- what makes a sheet ill-formed ---------------------------------------------------------------------------------

    def vet_groups(self) -> None:
        """Each block gives each group a line; what holds between groups needs groups, and a place that they come to."""
        groups = [key(group) for group in self.facts.groups]
        for line in self.everything:
            if isinstance(line.node, TogetherHead):
                names = [getattr(one.node, "name", None) or getattr(one.node, "section", None) for one in line.body]
                if sorted(key(name) for name in names if name) != sorted(groups):
                    raise IllFormed("a block that doesn't name each group once")
            open_ = isinstance(line.node, UntilHead) or (isinstance(line.node, TimesHead) and line.node.times is None)
            for one in nodes((line,)) if open_ else [line]:
                states = one.node.states if isinstance(one.node, ExpectRow) else ()
                if any(isinstance(mark, StateMark) for mark in states) and (open_ or not groups):
                    raise IllFormed("groups that don't meet")
        never = any(claim.kind.value == "never meet" for claim in self.registry.slots.values())
        if never and [start[3] for start in self.facts.starts].count(None) > 1:
            raise IllFormed("nobody says where the groups start")
        if not groups or self.until is None:
            return
        split = any(isinstance(line.node, TogetherHead) for line in nodes((self.until,)))
        if split and self.facts.walls is not None:
            raise IllFormed("passes that differ from group to group")
        head = self.head.node
        if not self.ends and isinstance(head, DanceHead) and head.length is None:
            meets = self.closing or any(
                isinstance(m, StateMark) for line in self.everything for m in getattr(line.node, "states", ())
            )
            if split or meets:
                raise IllFormed("groups that don't go on alike, or meet where nobody says when")
            if self.timed or self.last:
                raise Skipped("groups, and times in what goes on")

    def vet_contract(self, part: Line) -> None:
        """A turn without a side is for halves and whole turns only; the others are asked for it."""
        for piece in part.node.pieces:  # type: ignore[union-attr]
            if isinstance(piece, TurnMark):
                if piece.eighths is None:
                    raise Skipped("blank turn in a contract")
                if piece.eighths % 4 and not piece.side:
                    raise IllFormed("a contract's turn has no side")

    def vet(self, lines: tuple[Line, ...], in_part: bool, outside: bool, choice: bool) -> None:
        """Refuse what can't be said where it stands; `outside` says that no block of `N times` is around."""
        followed: Line | None = None
        for line in lines:
            node = line.node
            if line.broken:
                raise IllFormed("a line is not understood")
            if node is None:
                continue
            if followed is not None:
                raise IllFormed("something follows what goes on until the music ends")
            if isinstance(node, OnlyHead) and outside and not in_part:
                raise IllFormed("a time outside any repeat")
            if isinstance(node, UntilHead):
                followed = line
            if isinstance(node, Row):
                for option in node.options:
                    self.vet_option(line, option, in_part, outside, len(node.options) > 1)
                    if any(isinstance(m, UntilMark) for m in option.marks):
                        followed = line
                        if not outside:
                            raise Skipped("until inside a repeat")
            inner = outside and not isinstance(node, TimesHead | UntilHead)
            if isinstance(node, UntilHead) and not outside:
                raise Skipped("until inside a repeat")
            self.vet(line.body, in_part, inner, choice)

    def vet_option(self, line: Line, option: Option, in_part: bool, outside: bool, choice: bool) -> None:
        """Refuse marks that can't be said of a part or of a figure."""
        part = key(option.name) in self.parts and option.book is None
        if not part:
            try:
                self.names.figure(line, option)
            except LineFails as fails:
                raise IllFormed(fails.message) from fails
        elif choice and (self.called((line,)) & set(self.timed)):
            raise IllFormed("an alternative that differs from time to time")
        for mark in option.marks:
            if isinstance(mark, TravelMark) and part:
                raise IllFormed("how far a part goes")
            if isinstance(mark, TurnMark):
                if part:
                    raise IllFormed("a turn on a part")
                if mark.eighths and not mark.side:
                    raise IllFormed("a turn without a side")
                if mark.times and outside and option.times == 1:
                    raise IllFormed("times outside any repeat")
            if isinstance(mark, SwapMark) and not part:
                raise IllFormed("a figure mirrored")
            if isinstance(mark, UntilMark):
                if in_part:
                    raise IllFormed("only the dance goes on until the music ends")
                if choice:
                    raise Skipped("until as an alternative")

    def folded(self, time: int) -> int:
        """Return one number for all times behind the largest named that are alike in every `every Nth`."""
        return min(time, self.largest + 1 + (time - self.largest - 1) % self.every)

    def find_until(self) -> Line | None:
        """Return the line or block that goes on until the music ends."""
        for line in nodes(self.head.body):
            if isinstance(line.node, UntilHead) or any(isinstance(m, UntilMark) for m in self.marks(line)):
                return line
        return None
