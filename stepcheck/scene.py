"""A sheet and its program side by side, looked up by line and by claim."""

from collections.abc import Iterator, Mapping
from typing import Any

from attrs import frozen

from stepcheck import words
from stepcheck.model import Body, Check, Choice, Claim, Program, Test, key
from stepcheck.source import Span
from stepcheck.syntax import (
    CountsHead,
    DanceHead,
    ExpectRow,
    FigureRow,
    HeaderField,
    LabelHead,
    Line,
    MusicRow,
    PartHead,
    Row,
    Sheet,
)


@frozen
class Place:
    """What a line speaks about: its `who`, whether it speaks of the end of that, and how many counts it heads."""

    who: str
    end: bool = True
    counts: int = 0


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
        """Return the subject of a claim."""
        name = self.places.get(claim.line, Place(claim.part or "the dance")).who
        return f"{name} ({words.ordinal(claim.time)} time)" if claim.time else name


def scene(sheet: Sheet, program: Program) -> Scene:
    """Return `sheet` and `program` looked up; walls are named by the clock where the book is the line dancers'."""
    header = (line.node for line in sheet.lines if isinstance(line.node, HeaderField))
    books = [key(field.value) for field in header if key(field.key) == "book"]
    return Scene(sheet, program, dict(_places(sheet.lines)), _wants(program), books == ["line"])


def _places(lines: tuple[Line, ...], owner: str = "the dance", closing: bool = False) -> Iterator[tuple[int, Place]]:
    """Yield the place of every line; `closing` says that the last of `lines` ends their `owner`."""
    said = [line.number for line in lines if line.node is not None]
    for line in lines:
        match line.node:
            case PartHead(name=name):
                yield line.number, Place(name)
                yield from _places(line.body, name, closing=True)
            case DanceHead():
                yield line.number, Place("the dance")
                yield from _places(line.body, "the dance", closing=True)
            case None:
                pass
            case node:
                yield line.number, _place(node, owner, closing and line.number == said[-1])
                yield from _places(line.body, owner)


def _place(node: Any, owner: str, end: bool) -> Place:
    match node:
        case ExpectRow():
            return Place(owner, end)
        case CountsHead(first=first, last=last):
            return Place(f"the phrase counts {first}-{last}", counts=last - first + 1)
        case LabelHead(name=name) | MusicRow(name=name):
            return Place(f"the section {name}")
        case Row(section=str(name)):
            return Place(f"the section {name}")
        case FigureRow(name=name):
            return Place(name)
        case Row(options=options):
            return Place(options[0].name)
        case _:
            return Place(owner)


def _wants(program: Program) -> dict[str, tuple[Test | None, int | None]]:
    """Return what each claim compares with, by its first check."""
    wants: dict[str, tuple[Test | None, int | None]] = {}
    extra = (program.walls.body,) if program.walls else ()
    todo: list[Body] = [*extra, *(spare.body for spare in reversed(program.spares)), program.dance]
    seen: set[int] = set()
    while todo:
        body = todo.pop()
        if id(body) in seen:
            continue
        seen.add(id(body))
        for item in body:
            match item:
                case Check(claim=claim, test=test, value=value):
                    wants.setdefault(claim.id, (test, value))
                case Choice(options=options):
                    todo.extend(reversed(options))
                case _:
                    todo.extend([item.body] if hasattr(item, "body") else [])
    for stated in program.lengths:
        wants[stated.claim.id] = (Test.CLOCK, stated.ticks)
    if program.walls:
        wants[program.walls.claim.id] = (None, program.walls.count)
    return wants
