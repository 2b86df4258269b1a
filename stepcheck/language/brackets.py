"""Finds notes in brackets that say what a mark should say, since nothing in brackets is checked."""

import re
from collections.abc import Iterator
from typing import Any

from stepcheck.language import syntax
from stepcheck.language.grammar import Stuck
from stepcheck.language.measures import LineError
from stepcheck.language.patch import Rewrite
from stepcheck.language.printer import print_node, print_times

_RESTART = re.compile(r"\brestart\b", re.IGNORECASE)
_AFTER = re.compile(
    r"restart\s+(?:here\s+)?(?:after\s+)?(?:count\s+)?(?P<n>[0-9]+)(?:\s+(?:counts?|beats?))?", re.IGNORECASE
)
_READ = (
    syntax.PartHead,
    syntax.DanceHead,
    syntax.CountsHead,
    syntax.TimesHead,
    syntax.OnlyHead,
    syntax.UntilHead,
    syntax.LabelHead,
    syntax.ExpectRow,
    syntax.HoldRow,
    syntax.GapRow,
    syntax.FigureRow,
    syntax.Row,
    type(None),
)


def unread(node: Any, body: str, note: str, end: int, parse: Any, start: str) -> Iterator[LineError]:
    """Yield for each piece of a note that would mean something outside its bracket that it is not read.

    Args:
        node: what the line means without the note; None for a note alone.
        body: the text of the line without the note.
        note: what stands in the brackets.
        end: where the bracket closes, from the start of the line.
        parse: the grammar's machine, from a text and a start.
        start: where the line stands, as for the grammar.
    """
    if not isinstance(node, _READ):
        return
    one = not isinstance(_meaning(note, parse), str | None)
    pieces = [note] if one else [piece.strip() for piece in note.split(",")]
    for piece in pieces:
        meaning = _meaning(piece, parse)
        if meaning is None or (
            isinstance(meaning, syntax.NetMark | syntax.FeetMark) and not isinstance(node, syntax.PartHead)
        ):
            continue
        at = end - 1 - len(note) + note.find(piece)
        rest = [other for other in pieces if other is not piece]
        said = f"{piece!r} stands in brackets, where nothing is read"
        behind = f" ({', '.join(rest)})" if rest else ""
        hints = tuple(_outside(node, body, piece, meaning, behind, end, parse, start))
        yield LineError((at, at + len(piece)), said, hints, "note-not-read")


def _meaning(piece: str, parse: Any) -> Any:
    """Return what a piece of a note would mean outside its bracket, None for nothing, its text for a restart."""
    try:
        return parse(piece, "bracket")
    except (Stuck, LineError):
        return piece if _RESTART.search(piece) else None


def _outside(
    node: Any, body: str, piece: str, meaning: Any, behind: str, end: int, parse: Any, start: str
) -> Iterator[str | Rewrite]:
    """Yield how to write a piece of a note so that it is read; `behind` is what stays in brackets."""
    times = meaning[0] if isinstance(meaning, tuple) else None
    if isinstance(meaning, str):
        cut = _AFTER.fullmatch(piece)
        if cut and isinstance(node, syntax.Row) and node.options[-1].times == 1:
            piece = f"first {cut['n']} counts"
        else:
            yield "a restart is a part that is cut short, as in: Main, first 16 counts"
            return
    if times is not None:
        head = f"{print_times(times)} time only:"
        if isinstance(node, syntax.Row):
            otherwise = f"a time is a heading inside a part, or inside a block that is danced several times: {head}"
            yield Rewrite(f"{head}\n  {body}{behind}", (0, end), otherwise=otherwise)
        elif isinstance(node, syntax.PartHead):
            yield f"write the lines of that time under {head}"
        else:
            yield f"write it as a heading of its own: {head}"
        return
    if isinstance(node, syntax.PartHead | syntax.DanceHead):
        text = f"{body}{'' if body.endswith(':') else ','} {piece}"
    elif isinstance(node, syntax.CountsHead):
        text = f"{body.rstrip(': ')}, {piece}:"
    elif isinstance(node, syntax.FigureRow):
        head, _, forms = body.partition(":")
        text = f"{head}, {piece}:{forms}"
    else:
        text = f"{body}, {piece}"
    example = (
        print_node(parse(f"Vine, {piece}", "steps"))
        if not isinstance(meaning, syntax.NetMark | syntax.FeetMark)
        else piece
    )
    otherwise = f"outside brackets it is written, where it can stand: {example}"
    try:
        yield Rewrite(print_node(parse(text, start)) + behind, (0, end), otherwise=otherwise)
    except (Stuck, LineError, TypeError):
        yield otherwise
