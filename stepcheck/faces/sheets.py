"""The command `sheet`: a sheet with where the dancers are when they first come to each of its lines."""

import json
import sys
from collections.abc import Iterator
from typing import Any

import click
from attrs import asdict, evolve, frozen

from stepcheck.catalogue.discovery import STDIN
from stepcheck.faces.streams import remark, write
from stepcheck.language.syntax import ExpectRow, GapRow, HoldRow, Line, PartHead, Row
from stepcheck.model import words
from stepcheck.model.dance import EIGHTHS, key
from stepcheck.model.statuses import PROVED, WRONG
from stepcheck.program.routine import Routine
from stepcheck.report import pipeline
from stepcheck.report.json import TOOL, finding_value
from stepcheck.report.values import build, text
from stepcheck.walk.tracks import Stand, Tracks, tracks

SCHEMA = "stepcheck-sheet-1"


@frozen
class Later:
    """What a later pass of a part comes to a line with, where it differs from the first; `time` is which one.

    Of passes that differ alike the first is meant.
    """

    time: int
    beat: str
    free: str
    facing: str


@frozen
class Close:
    """How a part ends, behind `line`, at its pass number `time`: after how many beats, with which foot free, facing
    where.

    `later` are later passes that end otherwise; of those that end alike the first is meant.
    """

    part: str
    line: int
    length: str
    free: str
    facing: str
    time: int = 1
    later: tuple["Close", ...] = ()


@frozen
class Mark:
    """A line of a sheet, with the beat, the free foot and the facing with which the dance first comes to it.

    Inside a part beat and facing are those of the pass, in the dance those of the room; all three are empty where
    nothing is danced or said.
    """

    line: int
    text: str
    beat: str = ""
    free: str = ""
    facing: str = ""
    later: tuple[Later, ...] = ()


def marks(routine: Routine) -> tuple[Mark, ...]:
    """Return the lines of a routine, of a variation after its first option; bare lines where it is ill-formed."""
    followed = tracks(routine.program) if routine.program is not None else Tracks({}, {})
    stands = followed.lines
    found = {number: stands[number] for number in _danced(routine.sheet.lines) if number in stands}
    clock = _clock(routine)
    rows = enumerate(routine.sheet.source.text.rstrip("\n").split("\n"), 1)
    passes = {line: kinds for kinds in followed.passes.values() for line in kinds[0].lines}
    return tuple(
        evolve(
            _mark(number, row, found[number][0] if number in found else None, clock),
            later=_later([(one.time, one.lines[number][0]) for one in passes[number] if number in one.lines], clock)
            if number in found and number in passes
            else (),
        )
        for number, row in rows
    )


def closes(routine: Routine) -> tuple[Close, ...]:
    """Return how the parts of a routine end, in the order of the sheet; those that are never danced end as they do
    alone."""
    if routine.program is None:
        return ()
    followed, clock, found = tracks(routine.program), _clock(routine), []
    for line in routine.sheet.lines:
        if not isinstance(line.node, PartHead):
            continue
        passes = followed.passes.get(key(line.node.name), ())
        if not passes:
            continue
        kinds: dict[tuple[str, str, str], int] = {}
        for one in passes:
            end = one.way[1]
            length = words.length(end.inside, "counts" if clock else "beats")
            kinds.setdefault((length, *_shown(end, clock)[1:]), one.time)
        first, *later = (Close(line.node.name, _last(line), *shown, time) for shown, time in kinds.items())
        found.append(evolve(first, later=tuple(later)))
    return tuple(found)


def _last(line: Line) -> int:
    """Return the number of the last line in a line's body that is not empty."""
    return max((_last(one) for one in line.body if one.node is not None), default=line.number)


def _later(stands: list[tuple[int, Stand]], clock: bool) -> tuple[Later, ...]:
    """Return what later passes show that no earlier one does, the first of which is left out."""
    kinds: dict[tuple[str, str, str], int] = {}
    for time, stand in stands:
        kinds.setdefault(_shown(stand, clock), time)
    return tuple(Later(time, *shown) for shown, time in kinds.items())[1:]


def _shown(stand: Stand, clock: bool) -> tuple[str, str, str]:
    """Return beat, free foot and facing of a moment: those of the pass inside a part, else those of the room."""
    free = "?" if stand.weight is None else words.free(stand.weight)
    facing = (stand.facing - stand.wall) % EIGHTHS if stand.part else stand.facing
    return words.beat(stand.inside if stand.part else stand.tick), free, words.facing(facing, clock)


def _danced(lines: tuple[Line, ...]) -> Iterator[int]:
    """Yield the numbers of the lines that something is danced on, or expected; what a heading says holds at its end."""
    for line in lines:
        if isinstance(line.node, Row | HoldRow | GapRow | ExpectRow):
            yield line.number
        yield from _danced(line.body)


def _clock(routine: Routine) -> bool:
    """Say whether the routine is a line dance, which has counts, and walls by the clock."""
    return routine.facts.book is not None and routine.facts.book.tradition == "line"


def _mark(number: int, row: str, stand: Stand | None, clock: bool) -> Mark:
    return Mark(number, row) if stand is None else Mark(number, row, *_shown(stand, clock))


def told(found: tuple[Mark, ...], counts: bool = False, ends: tuple[Close, ...] = ()) -> str:
    """Return marked lines for people: what holds before a line stands to the left of it; beats may be called counts.

    Under a line stands what later passes come with, and under the last line of a part how it ends.
    """
    heads = ("count" if counts else "beat", "free", "facing")
    rows = [(*heads, "")]
    for mark in found:
        indent = mark.text[: len(mark.text) - len(mark.text.lstrip())]
        rows.append((mark.beat, mark.free, mark.facing, words.visible(mark.text)))
        rows += (
            (one.beat, one.free, one.facing, f"{indent}(the {words.ordinal(one.time)} time)") for one in mark.later
        )
        for end in ends:
            if end.line == mark.line:
                name = words.visible(end.part)
                rows.append(("", end.free, end.facing, f"  (end of {name}, after {end.length})"))
                for one in end.later:
                    after = "" if one.length == end.length else f", after {one.length}"
                    rows.append(
                        ("", one.free, one.facing, f"  (end of {name} the {words.ordinal(one.time)} time{after})")
                    )
    widths = [max(map(len, column)) for column in zip(*(row[:3] for row in rows), strict=True)]
    padded = ("  ".join(piece.ljust(width) for piece, width in zip(row, (*widths, 0), strict=True)) for row in rows)
    return "".join(f"{line.rstrip()}\n" for line in padded)


@click.command("sheet", short_help="Show a sheet with beat, free foot and facing at each line.")
@click.argument("path", metavar="FILE", type=click.Path(allow_dash=True))
@click.option(
    "--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True, help="What to print."
)
def sheet(path: str, form: str) -> int:
    """Show a sheet as it is danced: beside each line the beat, the free foot and the facing with which the dance first
    comes to it. Of a variation the first option is followed, and what is refuted is taken as put right.

    The exit status is 0, or 1 if the sheet is not understood; its mistakes are shown then.
    """
    piped = path == STDIN
    routine = pipeline.loads(sys.stdin.buffer.read(), path="<stdin>") if piped else pipeline.load(path)
    found = marks(routine)
    if form == "json":
        write(json.dumps(_value(routine, found), ensure_ascii=False, indent=2) + "\n")
    elif routine.well_formed:
        write(told(found, _clock(routine), closes(routine)))
    if routine.well_formed:
        return PROVED
    remark(text((build(routine.sheet.source, diagnostics=routine.diagnostics),)).rstrip())
    return WRONG


def _value(routine: Routine, found: tuple[Mark, ...]) -> dict[str, Any]:
    return {
        "schema": SCHEMA,
        "tool": TOOL,
        "path": routine.path,
        "title": routine.title,
        "lines": [asdict(mark) for mark in found],
        "parts": [asdict(end) for end in closes(routine)],
        "diagnostics": [finding_value(finding) for finding in routine.diagnostics],
    }
