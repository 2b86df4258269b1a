"""A sheet and its program side by side, looked up by line and by claim."""

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from attrs import frozen

from stepcheck.language import syntax
from stepcheck.language.stretches import every_line
from stepcheck.model import words
from stepcheck.model.claims import Claim, Kind, Test
from stepcheck.model.dance import Program, key
from stepcheck.model.items import checks, once
from stepcheck.model.source import Span


class Place(NamedTuple):
    """The subject of a line: its name in sentences (`who`), whether the line is about its end, and for a heading of
    counts their number and the first."""

    who: str
    end: bool = True
    counts: int = 0
    first: int = 0


@frozen
class Scene:
    """A sheet and its program, looked up by line and by claim."""

    sheet: syntax.Sheet
    program: Program
    places: Mapping[int, Place]
    wants: Mapping[str, tuple[Test | None, int | None]]
    clock: bool

    def span(self, line: int) -> Span:
        """Return the place of a line, or the top of the sheet where the line is unknown (0)."""
        return self.sheet.source.whole_line(line) if line else Span(1, 1, 1, 1)

    def who(self, claim: Claim) -> str:
        """Return the subject of a claim; the sections of a song all have the line that names its file."""
        name = self.places.get(claim.line, Place(claim.part or "the dance")).who
        if claim.kind is Kind.SECTION and name == "the dance":
            name = f"the section {claim.text.rpartition(':')[0]}"
        time = self._sections(claim)[1] or claim.time
        return f"{name} ({words.ordinal(time)} time)" if time else name

    def _sections(self, claim: Claim) -> tuple[str, int]:
        """Return the name of the section that a claim is about, and which of its name it is; 0 if only one is."""
        claims = (
            [one.id for one in self.program.claims if one.kind is Kind.SECTION] if claim.kind is Kind.SECTION else []
        )
        if claim.id not in claims or len(claims) != len(self.sheet.music):
            return "", 0
        rows = [node.name for _, node in self.sheet.music]
        here = claims.index(claim.id)
        alike = [at for at, name in enumerate(rows) if key(name) == key(rows[here])]
        return rows[here], alike.index(here) + 1 if len(alike) > 1 else 0

    def swapped(self, claim: Claim) -> bool:
        """Say whether a claim is about a turn or a facing in a part that is danced with `opposite foot` only, which
        leaves the written turns as they are, so that nothing of the kind is tested there."""
        options = [one for line in every_line(self.sheet.lines) for one in getattr(line.node, "options", ())]
        here = [one for one in options if claim.part and key(one.name) == key(claim.part)]
        swaps = (any(isinstance(mark, syntax.SwapMark) and not mark.turns for mark in one.marks) for one in here)
        return claim.kind in (Kind.TURN, Kind.NET, Kind.FACING) and bool(here) and all(swaps)

    def undanced(self, claim: Claim) -> str:
        """Return the line that could fill a section in which nothing is danced: what is danced to it another time, or
        the first part."""
        name = self._sections(claim)[0]
        lines = [line.node for line in every_line(self.sheet.lines)]
        named = [
            node for node in lines if isinstance(node, syntax.Row) and node.section and key(node.section) == key(name)
        ]
        parts = [node.options[0].name for node in named] + [
            node.name for node in lines if isinstance(node, syntax.PartHead)
        ]
        return f"{name}: {parts[0]}" if name and parts else ""


def scene(sheet: syntax.Sheet, program: Program) -> Scene:
    """Return `sheet` and `program` looked up; walls are named by the clock where the book is the line dancers'."""
    header = (line.node for line in sheet.lines if isinstance(line.node, syntax.HeaderField))
    books = [key(field.value) for field in header if key(field.key) == "book"]
    places = dict(_places(sheet.lines, "the dance", False, frozenset(map(key, program.groups))))
    return Scene(sheet, program, places, _wants(program), books == ["line"])


def _places(
    lines: tuple[syntax.Line, ...], owner: str, closing: bool, groups: frozenset[str]
) -> Iterator[tuple[int, Place]]:
    """Yield the places of `lines`; `closing` says that the last of them ends their `owner`."""
    last = next((line.number for line in reversed(lines) if line.node is not None), 0) if closing else 0

    def labelled(name: str) -> Place:
        return Place(name if key(name) in groups else f"the section {name}")

    for line in lines:
        inner, place = owner, Place(owner)
        match line.node:
            case None:
                continue
            case syntax.Row(section=None) as row:
                place = Place(row.options[0].name)
            case syntax.Row(section=str(name)) | syntax.LabelHead(name=name) | syntax.MusicRow(name=name):
                place = labelled(name)
            case syntax.PartHead() | syntax.DanceHead():
                inner = getattr(line.node, "name", "the dance")
                place = Place(inner)
            case syntax.ExpectRow():
                place = Place(owner, line.number == last)
            case syntax.CountsHead(first=first, last=end):
                place = Place(f"the phrase counts {first}-{end}", True, end - first + 1, first)
            case syntax.FigureRow(name=name):
                place = Place(name)
        yield line.number, place
        yield from _places(line.body, inner, isinstance(line.node, syntax.PartHead | syntax.DanceHead), groups)


def _wants(program: Program) -> dict[str, tuple[Test | None, int | None]]:
    """Return the test and the wanted value of each claim, from its first check."""
    wants: dict[str, tuple[Test | None, int | None]] = {}
    walls = (program.walls.body,) if program.walls else ()
    for item in once(program.dance, *(spare.body for spare in program.spares), *walls):
        for check in checks(item):
            wants.setdefault(check.claim.id, (check.test, check.value))
    for stated in program.lengths:
        wants[stated.claim.id] = (Test.CLOCK, stated.ticks)
    if program.walls:
        wants[program.walls.claim.id] = (None, program.walls.count)
    return wants
