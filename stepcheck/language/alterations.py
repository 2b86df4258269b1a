"""Applies edits to a sheet, and says them in a few words: `line 12: Triple instead of Basic`.

Only the lines that change are printed anew; comments and notes stay, and so does the layout of every other line.
"""

import re
from collections.abc import Callable, Iterable
from difflib import SequenceMatcher
from typing import Any

from attrs import evolve

from stepcheck.language import edits as kinds
from stepcheck.language import parser, syntax
from stepcheck.language.printer import print_node
from stepcheck.language.stretches import mark_of, numbered
from stepcheck.language.syntax import Line, Node, Option, Row, Sheet
from stepcheck.model import words
from stepcheck.model.dance import EIGHTHS
from stepcheck.model.findings import Patch
from stepcheck.model.source import Source, Span, StepcheckError


class EditError(StepcheckError, ValueError):
    """A change does not fit the sheet."""


def applied(sheet: Sheet, edits: Iterable[kinds.Edit]) -> str:
    """Return the text of a sheet after edits; as `traced`."""
    return traced(sheet, edits)[0]


def traced(sheet: Sheet, edits: Iterable[kinds.Edit]) -> tuple[str, tuple[int, ...]]:  # noqa: C901 - a case for each kind
    """Return the text of a sheet after edits, and for each of its lines the one that it comes from, 0 for a new one.

    Args:
        sheet: the sheet as it is; the edits name its lines.
        edits: in any order; of several rows put in at one place the first comes first.  The others are made after names
            are put right.

    Raises:
        EditError: an edit does not fit the sheet.
    """
    edits = tuple(edits)
    places = numbered(sheet)
    for edit in edits:
        if edit.line not in places:
            raise EditError(f"there is no line {edit.line} to change")
    names = [edit for edit in edits if isinstance(edit, kinds.FixName)]
    if names:
        spans = tuple((Span(one.line, one.start, one.line, one.end), one.name) for one in names)
        sheet = parser.parse(Source(sheet.source.path, Patch("", spans).applied(sheet.source)))[0]
        places = numbered(sheet)
    texts = list(sheet.source.lines)
    before: dict[int, list[str]] = {}
    after: dict[int, list[str]] = {}
    nodes: dict[int, Node] = {}
    gone: set[int] = set()
    order = list(range(1, len(texts) + 1))
    for edit in edits:
        place = places[edit.line]
        margin = texts[edit.line - 1][: place.indent]
        match edit:
            case kinds.DeleteLine():
                gone.update(range(edit.line, last_line(place) + 1))
            case kinds.Exchange(other=other, whole=whole):
                _exchange(place, places[other], nodes, order, whole)
            case kinds.InsertLine(before=True):
                before.setdefault(edit.line, []).append(margin + edit.text)
            case kinds.InsertLine():
                after.setdefault(last_line(place), []).append(margin + edit.text)
            case kinds.SettleReading(new=True):
                after.setdefault(edit.line, []).append(f"{edit.word}: {edit.reading}")
            case kinds.FixName():
                pass
            case _:
                nodes[edit.line] = changed(edit, nodes.get(edit.line, place.node))
    for number, node in nodes.items():
        texts[number - 1] = printed(sheet, places[number], node)
    out = [
        one
        for number in order
        for one in (
            *((new, 0) for new in before.get(number, [])),
            *(() if number in gone else ((texts[number - 1], number),)),
            *((new, 0) for new in after.get(number, [])),
        )
    ]
    return "\n".join(text for text, _ in out), tuple(number for _, number in out)


def _exchange(one: Line, other: Line, nodes: dict[int, Node], order: list[int], whole: bool) -> None:
    """Exchange two lines and all under them; if both name a section of the music, what is danced only, unless the
    `whole` lines are meant."""
    rows = isinstance(one.node, Row) and isinstance(other.node, Row) and one.node.section != other.node.section
    if rows and not whole:
        assert isinstance(one.node, Row) and isinstance(other.node, Row)
        nodes[one.number] = evolve(one.node, options=other.node.options)
        nodes[other.number] = evolve(other.node, options=one.node.options)
        return
    first, last = (range(line.number, last_line(line) + 1) for line in (one, other))
    order[first.start - 1 : last.stop - 1] = [*last, *order[first.stop - 1 : last.start - 1], *first]


def last_line(line: Line) -> int:
    """Return the number of the last line that stands under one, or its own."""
    said = [one for one in line.body if one.node is not None or one.broken]
    return last_line(said[-1]) if said else line.number


def printed(sheet: Sheet, line: Line, node: Node) -> str:
    """Return a line with another meaning; its note stays, and its comment in its column if two spaces before it can."""
    raw = sheet.source.line(line.number)
    pieces = [print_node(node)] + ([] if line.note is None else [f"({line.note})"])
    text = raw[: line.indent] + " ".join(pieces)
    if line.comment is None:
        return text
    start = raw.index("#", line.indent)
    return text.ljust(max(start, len(text) + 2)) + raw[start:].rstrip()


# -- one line --------------------------------------------------------------------------------------------------------


def changed(edit: kinds.Edit, node: Node | None) -> Node:  # noqa: C901 - a case for each kind
    """Return the meaning of a line after an edit of what stands on it.

    Raises:
        EditError: there is no such piece on the line.
    """
    if node is None:
        raise EditError(f"line {edit.line} says nothing that can be changed")
    match edit, node:
        case kinds.ChangeLead(foot=foot), syntax.CountsHead():
            return evolve(node, foot=syntax.FootMark(foot))
        case kinds.ChangeBlock(times=int() as times), syntax.TimesHead():
            return evolve(node, times=times)
        case kinds.ChangeBlock(times=syntax.Times() as times), syntax.OnlyHead():
            return evolve(node, times=times)
        case kinds.SettleReading(reading=value) | kinds.ChangeStart(value=value), syntax.HeaderField():
            return evolve(node, value=value)
        case kinds.ChangeTurn(turn=int() as turn), syntax.FigureRow(turn=syntax.TurnMark() as mark):
            return evolve(node, turn=evolve(mark, **_turned(turn)))
        case kinds.ChangeMovement(place=place, form=form, more=more), syntax.FigureRow(forms=forms) if (
            place < len(forms) + more
        ):
            old = syntax.Form("") if more else forms[place]
            new = (evolve(old, form=form),) if form else ()
            return evolve(node, forms=(*forms[:place], *new, *forms[place + (not more) :]))
        case kinds.ChangeTime(), syntax.PartHead():
            pieces: tuple[Any, ...] = node.pieces
            timed = (evolve(p, time=edit.time) if getattr(p, "time", None) == edit.old else p for p in pieces)
            return evolve(node, pieces=tuple(timed))
        case kinds.ChangeMusic(ticks=ticks), syntax.MusicRow():
            return evolve(node, ticks=ticks)
        case kinds.ChangeWay(right=right, forward=forward), syntax.FigureRow():
            return evolve(node, travel=syntax.TravelMark(right, forward))
        case kinds.ChangeWait(ticks=int() as ticks), syntax.HoldRow():
            return evolve(node, length=evolve(node.length, ticks=ticks))
        case kinds.ChangeWait(ticks=wait), Row():
            return evolve(node, wait=None if wait is None else evolve(node.wait or syntax.Length(0), ticks=wait))
        case kinds.ChangeClaim(), _:
            return _claimed(edit, node)
        case _, Row():
            number = getattr(edit, "option", 0)
            if number >= len(node.options):
                raise EditError(f"line {edit.line} has no alternative number {number + 1}")
            options = list(node.options)
            options[number] = _option(edit, options[number])
            return evolve(node, options=tuple(options))
    raise EditError(f"line {edit.line} has nothing that this would change: {edit!r}")


def _option(edit: kinds.Edit, option: Option) -> Option:  # noqa: C901 - a case for each kind
    old = mark_of(option, syntax.TurnMark)
    match edit:
        case kinds.ReplaceFigure(name=name, book=book) | kinds.ChangeAlternative(name=name, book=book):
            return evolve(option, name=name, book=book, forms=())
        case kinds.ReplacePart(name=name):
            return evolve(option, name=name, forms=())
        case kinds.ChangeTimes(times=times):
            return evolve(option, times=times)
        case kinds.ChangeTurn(turn=None):
            return _with(option, syntax.TurnMark, None)
        case kinds.ChangeTurn(turn=int() as turn):
            return _with(option, syntax.TurnMark, evolve(old or syntax.TurnMark(0), **_turned(turn)))
        case kinds.ChangeTurnTimes(times=times) if old is not None:
            return _with(option, syntax.TurnMark, evolve(old, times=times))
        case kinds.ChangeLead(foot=foot):
            return _with(option, syntax.FootMark, syntax.FootMark(foot))
        case kinds.ChangeSwap(swap=swap):
            return _with(option, syntax.SwapMark, syntax.SwapMark(swap == "mirrored") if swap else None)
        case kinds.ChangeCut(ticks=ticks):
            cut = mark_of(option, syntax.FirstMark) or syntax.FirstMark(0)
            return _with(option, syntax.FirstMark, None if ticks is None else syntax.FirstMark(ticks, cut.unit))
        case kinds.ChangeWay(right=right, forward=forward):
            return _with(option, syntax.TravelMark, syntax.TravelMark(right, forward))
        case kinds.CutPass(ticks=ticks, unit=unit):
            return _with(option, syntax.FirstMark, syntax.FirstMark(ticks, unit))
    raise EditError(f"line {edit.line} has nothing that this would change: {edit!r}")


def _with(option: Option, kind: type, mark: Any) -> Option:
    """Return an alternative with the mark in the place of the first of its kind, or behind the name and the foot; None
    takes it away."""
    marks = list(option.marks)
    place = next((number for number, one in enumerate(marks) if isinstance(one, kind)), None)
    if place is not None:
        marks[place : place + 1] = [] if mark is None else [mark]
    elif mark is not None:
        first = syntax.UntilMark if kind is syntax.FootMark else syntax.UntilMark | syntax.FootMark
        marks.insert(sum(isinstance(one, first) for one in marks), mark)
    return evolve(option, marks=tuple(marks))


# -- claims ----------------------------------------------------------------------------------------------------------


def _claimed(edit: kinds.ChangeClaim, node: Node) -> Node:
    put: Callable[[Any], Any] = lambda piece: _piece(edit, piece) if piece and piece.at == edit.at else piece  # noqa: E731
    match node:
        case syntax.HeaderField():
            return evolve(node, value=str(edit.value))
        case syntax.PartHead():
            return evolve(node, pieces=tuple(map(put, node.pieces)))
        case syntax.FigureRow() | syntax.DanceHead():
            return evolve(node, length=put(node.length))
        case syntax.ExpectRow():
            return evolve(node, states=tuple(map(put, node.states)))
        case syntax.CountsHead() if isinstance(edit.value, tuple):
            first, last = edit.value
            return evolve(node, first=first, last=last)
        case syntax.CountsHead():
            return evolve(node, foot=put(node.foot), facing=put(node.facing))
        case Row():
            options = tuple(evolve(option, marks=tuple(map(put, option.marks))) for option in node.options)
            return evolve(node, options=options)
    raise EditError(f"line {edit.line} claims nothing that this would change: {edit!r}")


_PIECES: dict[type, Callable[[Any, Any, str], dict[str, Any]]] = {
    syntax.Length: lambda piece, value, role: {"ticks": value},
    syntax.TurnMark: lambda piece, value, role: _turned(value),
    syntax.NetMark: lambda piece, value, role: {"end": (piece.start + value) % EIGHTHS},
    syntax.FacingMark: lambda piece, value, role: {"facing": value},
    syntax.FootMark: lambda piece, value, role: {"foot": value, "both": value is None},
    syntax.SpotMark: lambda piece, value, role: {"steps": value},
    syntax.FeetMark: lambda piece, value, role: {role or "end": syntax.FootMark(value, value is None)},
}
"""What another value, of one of the two feet that its role names, changes in a piece."""


def _piece(edit: kinds.ChangeClaim, piece: Any) -> Any:
    if type(piece) not in _PIECES:
        raise EditError(f"line {edit.line} claims nothing that this would change: {edit!r}")
    return evolve(piece, **_PIECES[type(piece)](piece, edit.value, edit.role))


def _turned(eighths: int) -> dict[str, Any]:
    return {"eighths": abs(eighths), "side": (eighths > 0) - (eighths < 0)}


# -- in words --------------------------------------------------------------------------------------------------------

_BETWEEN = re.compile(r", | \| |: |:$")
MOST = 3
"""How many changes are named; of more the number is said."""


def described(sheet: Sheet, edits: Iterable[kinds.Edit]) -> str:
    """Return edits of a sheet in words; the same one on several lines is said once.

    Args:
        sheet: the sheet as it is.
        edits: they name its lines.
    """
    places: dict[str, list[int]] = {}
    for edit in edits:
        places.setdefault(_said(sheet, edit), []).append(edit.line)
    said = [
        f"line{'s' if len(lines) > 1 else ''} {words.listed([str(line) for line in lines])}{what}"
        for what, lines in places.items()
    ]
    more = [f"{len(said) - MOST} more"] if len(said) > MOST else []
    return "; ".join([*said[:MOST], *more])


def _said(sheet: Sheet, edit: kinds.Edit) -> str:
    """Return what an edit does, as it stands behind the number of its line."""
    line = numbered(sheet)[edit.line]
    match edit:
        case kinds.InsertLine(text=text, before=before):
            return f": {text} put in {'before' if before else 'after'} it"
        case kinds.SettleReading(word=word, reading=reading, new=True):
            return f": {word}: {reading} put in after it"
        case kinds.Exchange(other=other):
            return f" and line {other}: exchanged"
        case kinds.DeleteLine():
            return f": {line.text.partition('#')[0].strip().rstrip(':')} taken out"
        case kinds.FixName(start=start, end=end, name=name):
            return f": {name} instead of {sheet.source.line(edit.line)[start - 1 : end - 1]}"
    assert line.node is not None
    old, new = (_BETWEEN.split(print_node(node)) for node in (line.node, changed(edit, line.node)))
    gone, came = [], []
    for what, start, end, first, last in SequenceMatcher(None, old, new, autojunk=False).get_opcodes():
        if what != "equal":
            gone += old[start:end]
            came += new[first:last]
    if not gone:
        return f": {', '.join(came)} put in"
    said = f": {', '.join(came)} instead of {', '.join(gone)}" if came else f": {', '.join(gone)} taken out"
    return f"{said} (what the sheet says of the music: listen to it)" if isinstance(edit, kinds.ChangeMusic) else said
