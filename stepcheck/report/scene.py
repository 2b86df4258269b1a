"""A sheet and its program side by side, looked up by line and by claim."""

from collections.abc import Mapping
from typing import Any, NamedTuple

from attrs import frozen

from stepcheck.language.stretches import every_line
from stepcheck.language.syntax import (
    CountsHead,
    DanceHead,
    ExpectRow,
    FigureRow,
    HeaderField,
    LabelHead,
    Line,
    Mark,
    MusicRow,
    PartHead,
    Row,
    Sheet,
    SwapMark,
)
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

    sheet: Sheet
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
        claims = [one.id for one in self.program.claims if one.kind is Kind.SECTION]
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
        marks = [one.marks for one in options if claim.part and key(one.name) == key(claim.part)]
        return claim.kind in (Kind.TURN, Kind.NET, Kind.FACING) and bool(marks) and all(map(_is_opposite, marks))

    def undanced(self, claim: Claim) -> str:
        """Return the line that could fill a section in which nothing is danced: what is danced to it another time, or
        the first part."""
        name = self._sections(claim)[0]
        lines = [line.node for line in every_line(self.sheet.lines)]
        named = [node for node in lines if isinstance(node, Row) and node.section and key(node.section) == key(name)]
        parts = [node.options[0].name for node in named] + [node.name for node in lines if isinstance(node, PartHead)]
        return f"{name}: {parts[0]}" if name and parts else ""


def _is_opposite(marks: tuple[Mark, ...]) -> bool:
    return any(isinstance(mark, SwapMark) and not mark.turns for mark in marks)


def scene(sheet: Sheet, program: Program) -> Scene:
    """Return `sheet` and `program` looked up; walls are named by the clock where the book is the line dancers'."""
    header = (line.node for line in sheet.lines if isinstance(line.node, HeaderField))
    books = [key(field.value) for field in header if key(field.key) == "book"]
    return Scene(
        sheet, program, _places(sheet.lines, frozenset(map(key, program.groups))), _wants(program), books == ["line"]
    )


def _places(lines: tuple[Line, ...], groups: frozenset[str]) -> dict[int, Place]:
    """Return the place of every line."""
    places: dict[int, Place] = {}
    _put(places, lines, "the dance", False, groups)
    return places


def _put(places: dict[int, Place], lines: tuple[Line, ...], owner: str, closing: bool, groups: frozenset[str]) -> None:
    """Put the places of `lines`; `closing` says that the last of them ends their `owner`."""
    last = next((line.number for line in reversed(lines) if line.node is not None), 0) if closing else 0
    for line in lines:
        node = line.node
        if isinstance(node, Row):
            name = node.options[0].name if node.section is None else _labelled(node.section, groups)
            places[line.number] = Place(name)
        elif isinstance(node, PartHead):
            places[line.number] = Place(node.name)
            _put(places, line.body, node.name, True, groups)
        elif isinstance(node, DanceHead):
            places[line.number] = Place("the dance")
            _put(places, line.body, "the dance", True, groups)
        elif node is not None:
            places[line.number] = _place(node, owner, line.number == last, groups)
            if line.body:
                _put(places, line.body, owner, False, groups)


def _labelled(name: str, groups: frozenset[str]) -> str:
    """Return whom a label means: a group of dancers, or a section of the music."""
    return name if key(name) in groups else f"the section {name}"


def _place(node: Any, owner: str, end: bool, groups: frozenset[str]) -> Place:
    match node:
        case ExpectRow():
            return Place(owner, end)
        case CountsHead(first=first, last=last):
            return Place(f"the phrase counts {first}-{last}", True, last - first + 1, first)
        case LabelHead(name=name) | MusicRow(name=name):
            return Place(_labelled(name, groups))
        case FigureRow(name=name):
            return Place(name)
        case _:
            return Place(owner)


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
