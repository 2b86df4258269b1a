"""Changes to a dance of several groups, and to where it goes: ways, waits, starts, and what else one line can say.

No search follows groups side by side, or dancers over the floor, so each of these changes is tried by itself.
"""

import re
from collections.abc import Collection, Iterator

from stepcheck.fixes.shapes import swaps
from stepcheck.language import syntax
from stepcheck.language.edits import (
    ChangeClaim,
    ChangeLead,
    ChangeStart,
    ChangeTimes,
    ChangeTurn,
    ChangeWait,
    ChangeWay,
    DeleteLine,
    Edit,
    InsertLine,
    ReplaceFigure,
    ReplacePart,
)
from stepcheck.language.stretches import every_line
from stepcheck.language.syntax import Line, Row, Sheet, TravelMark
from stepcheck.model.dance import TICKS, Foot, key
from stepcheck.program.header import FACINGS

MOST_STEPS, MOST_WAIT, MOST_TIMES, MOST_INSIDE = 6, 16, 4, 12
TURNS = (-8, -4, -2, 2, 4, 8)
WALLS = ("front", "right wall", "back", "left wall")
SIDES = {"right": (1, 0), "left": (-1, 0), "forward": (0, 1), "back": (0, -1)}
_START = re.compile(r"start (\d+) steps? (?:to the )?(\w+)")


def waits(sheet: Sheet) -> Iterator[ChangeWait]:
    """Yield the other times that silence could last, or that a group could wait before its line."""
    groups = _groups(sheet)
    for line in every_line(sheet.lines):
        match line.node:
            case syntax.HoldRow(length=length):
                yield from _other_waits(line.number, length.ticks)
            case Row(wait=syntax.Length(ticks=ticks)):
                yield ChangeWait(line.number, None)
                yield from _other_waits(line.number, ticks)
            case Row(section=str(name)) if key(name) in groups:
                yield from _other_waits(line.number, 0)


def _other_waits(number: int, ticks: int) -> Iterator[ChangeWait]:
    most = max(MOST_WAIT, 2 * ticks // TICKS)
    yield from (ChangeWait(number, beats * TICKS) for beats in range(1, most + 1) if beats * TICKS != ticks)


def starts(sheet: Sheet) -> Iterator[ChangeStart]:
    """Yield the other feet, walls and places that a group could begin with, one piece of its line changed."""
    groups = _groups(sheet)
    for line in sheet.lines:
        if isinstance(line.node, syntax.HeaderField) and key(line.node.key) in groups:
            said = [piece.strip() for piece in line.node.value.split(",")]
            for at, piece in enumerate(said):
                if len(said) > 1:
                    yield ChangeStart(line.number, ", ".join([*said[:at], *said[at + 1 :]]))
                yield from (
                    ChangeStart(line.number, ", ".join([*said[:at], other, *said[at + 1 :]]))
                    for other in _other_starts(piece)
                    if other != piece
                )


def _other_starts(piece: str) -> Iterator[str]:
    """Yield what else a piece of the line of a group could say."""
    word, _, rest = piece.partition(" ")
    if way := _START.match(piece):
        yield from (f"start {way[1]} step{'s' * (way[1] != '1')} {side}" for side in SIDES)
        yield from (f"start {steps} step{'s' * (steps > 1)} {way[2]}" for steps in range(1, MOST_STEPS + 1))
    elif word == "lead":
        yield f"lead {'left' if rest == 'right' else 'right'}"
    elif word == "facing":
        yield from (f"facing {wall}" for wall in WALLS if FACINGS[wall] != FACINGS.get(rest))


def ways(sheet: Sheet) -> Iterator[ChangeWay]:
    """Yield the other ways that lines and figures of the sheet could go: as far to another side, otherwise far to the
    same; one that says no way, as far as others go."""
    lines = [*every_line(sheet.lines)]
    calls = {key(line.node.name) for line in lines if isinstance(line.node, syntax.PartHead)}
    marks = [mark for line in lines for _, mark in _going(line, calls) if mark is not None]
    sizes = sorted({abs(mark.right or mark.forward) for mark in marks} - {0})
    for line in lines:
        for option, mark in _going(line, calls):
            size, old = abs(mark.right or mark.forward) if mark else 0, (mark.right, mark.forward) if mark else None
            found = [(0, 0)]
            for steps in (size,) if size else sizes:
                found += [(steps * right, steps * forward) for right, forward in SIDES.values()]
            if mark is not None and size:
                right, forward = mark.right // size, mark.forward // size
                found += [(steps * right, steps * forward) for steps in range(1, max(MOST_STEPS, 2 * size) + 1)]
            yield from (ChangeWay(line.number, *way, option) for way in dict.fromkeys(found) if way != old)


def _going(line: Line, calls: Collection[str]) -> Iterator[tuple[int, TravelMark | None]]:
    """Yield the alternatives of a line that goes somewhere, or could, each with the way that it says."""
    match line.node:
        case Row(options=options):
            for number, option in enumerate(options):
                if key(option.name) not in calls:
                    yield number, next((mark for mark in option.marks if isinstance(mark, TravelMark)), None)
        case syntax.FigureRow(travel=TravelMark() as mark):
            yield 0, mark


def rows(sheet: Sheet, part: str, known: Collection[str]) -> Iterator[Edit]:
    """Yield what single lines could say otherwise.

    Args:
        sheet: the sheet.
        part: the part whose lines are changed; empty for all.
        known: the names of figures that may be put in.
    """
    parts = {key(line.node.name): line.node.name for line in sheet.lines if isinstance(line.node, syntax.PartHead)}
    for head in sheet.lines:
        if isinstance(head.node, syntax.PartHead) and part in ("", head.node.name):
            spots = (piece for piece in head.node.pieces if isinstance(piece, syntax.SpotMark) and piece.steps)
            yield from (
                ChangeClaim(head.number, piece.at, steps)
                for piece in spots
                for steps in range(1, MOST_INSIDE + 1)
                if steps != piece.steps
            )
        elif not isinstance(head.node, syntax.DanceHead) or part:
            continue
        for line in every_line(head.body):
            if isinstance(line.node, Row):
                yield from _row(line.number, line.node, parts, known)
                if isinstance(head.node, syntax.DanceHead):
                    yield from (InsertLine(line.number, name) for name in parts.values())
            if isinstance(line.node, Row | syntax.HoldRow):
                yield DeleteLine(line.number)


def _row(number: int, row: Row, parts: dict[str, str], known: Collection[str]) -> Iterator[Edit]:
    """Yield what one row could say otherwise."""
    yield from swaps(number, row, parts)
    for place, option in enumerate(row.options):
        called = key(option.name) in parts
        if option.times is not None:
            most = max(MOST_TIMES, 2 * option.times)
            yield from (ChangeTimes(number, n, place) for n in range(1, most + 1) if n != option.times)
        if called:
            yield from (ReplacePart(number, name, place) for name in parts.values() if key(name) != key(option.name))
            continue
        feet = [mark.foot for mark in option.marks if isinstance(mark, syntax.FootMark)]
        yield from (ChangeLead(number, foot.other, place) for foot in feet if isinstance(foot, Foot))
        turns = [mark.side * (mark.eighths or 0) for mark in option.marks if isinstance(mark, syntax.TurnMark)]
        yield from (ChangeTurn(number, turn, place) for turn in (*TURNS, *([None] if turns else [])) if [turn] != turns)
        yield from (ReplaceFigure(number, name) for name in known if key(name) != key(option.name) and not place)


def _groups(sheet: Sheet) -> frozenset[str]:
    """Return the names of the groups of the floor."""
    fields = (line.node for line in sheet.lines if isinstance(line.node, syntax.HeaderField))
    return frozenset(key(name.strip()) for one in fields if key(one.key) == "groups" for name in one.value.split(","))
