"""The command `sheet`: a sheet with where the dancers are when they first come to each of its lines."""

import json
import sys
from collections.abc import Iterator
from typing import Any

import click
from attrs import asdict, frozen

from stepcheck.catalogue.discovery import STDIN
from stepcheck.faces.streams import remark, write
from stepcheck.language.syntax import ExpectRow, GapRow, HoldRow, Line, Row
from stepcheck.model import words
from stepcheck.model.dance import EIGHTHS
from stepcheck.model.statuses import PROVED, WRONG
from stepcheck.program.routine import Routine
from stepcheck.report import pipeline
from stepcheck.report.json import TOOL, finding_value
from stepcheck.report.values import build, text
from stepcheck.walk.tracks import Stand, tracks

SCHEMA = "stepcheck-sheet-1"


@frozen
class Mark:
    """A line of a sheet, with the beat, the free foot and the facing with which the dance first comes to it.

    Inside a part beat and facing are those of the pass, in the dance those of the room; all three are empty where nothing
    is danced or said.
    """

    line: int
    text: str
    beat: str = ""
    free: str = ""
    facing: str = ""


def marks(routine: Routine) -> tuple[Mark, ...]:
    """Return the lines of a routine, of a variation after its first option; bare lines where it is ill-formed."""
    stands = tracks(routine.program).lines if routine.program is not None else {}
    found = {number: stands[number] for number in _danced(routine.sheet.lines) if number in stands}
    clock = _clock(routine)
    rows = enumerate(routine.sheet.source.text.rstrip("\n").split("\n"), 1)
    return tuple(_mark(number, row, found[number][0] if number in found else None, clock) for number, row in rows)


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
    if stand is None:
        return Mark(number, row)
    free = "?" if stand.weight is None else words.free(stand.weight)
    facing = (stand.facing - stand.wall) % EIGHTHS if stand.part else stand.facing
    return Mark(number, row, words.beat(stand.inside if stand.part else stand.tick), free, words.facing(facing, clock))


def told(found: tuple[Mark, ...], counts: bool = False) -> str:
    """Return marked lines for people: what holds before a line stands to the left of it; beats may be called counts."""
    heads = ("count" if counts else "beat", "free", "facing")
    cells = [(mark.beat, mark.free, mark.facing) for mark in found]
    widths = [max(map(len, column)) for column in zip(heads, *cells, strict=True)]
    rows = [(*heads, ""), *((*cell, words.visible(mark.text)) for cell, mark in zip(cells, found, strict=True))]
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
        write(told(found, _clock(routine)))
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
        "diagnostics": [finding_value(finding) for finding in routine.diagnostics],
    }
