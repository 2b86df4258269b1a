"""A sheet that somebody is working on: what stands at a place of it, and what that is."""

import os
from collections.abc import Iterator
from functools import cached_property

from attrs import frozen

from stepcheck.books import book as books
from stepcheck.books.book import Book
from stepcheck.books.cards import card, told
from stepcheck.language import syntax
from stepcheck.language.stretches import every_line
from stepcheck.model import words
from stepcheck.model.choices import Engine
from stepcheck.model.dance import Figure, key
from stepcheck.model.source import Source, Span
from stepcheck.program.claims import LineFails, register
from stepcheck.program.names import Names
from stepcheck.program.routine import Routine
from stepcheck.report import pipeline
from stepcheck.report.values import Report
from stepcheck.walk.stands import Stand
from stepcheck.walk.tracks import Tracks, tracks

SECTIONS: dict[type, str] = {
    syntax.PartHead: "part",
    syntax.FigureRow: "figure",
    syntax.FiguresHead: "figures",
    syntax.MusicHead: "music",
    syntax.DanceHead: "dance",
}


@frozen
class Name:
    """A name where it stands: `option` is the row's piece that it belongs to, None where the name is defined."""

    name: str
    line: syntax.Line
    span: Span
    option: syntax.Option | None = None


@frozen
class Entry:
    """A section of a sheet for its table of contents: `kind` is part, figure, figures, music or dance."""

    name: str
    kind: str
    detail: str
    whole: Span
    span: Span
    inner: "tuple[Entry, ...]" = ()


@frozen(eq=False, slots=False)
class Desk:
    """A sheet with all that is known of it, each thing worked out when it is first asked for.

    The walk through all states decides unless another engine is asked for: an answer is to come while somebody types.
    """

    routine: Routine
    engine: Engine = "walk"

    @cached_property
    def report(self) -> Report:
        """The verdicts and findings."""
        return pipeline.check(self.routine, engine=self.engine)

    @cached_property
    def names(self) -> Names:
        """What the names of the sheet stand for."""
        return Names(self.routine.sheet, self.routine.facts, register(self.routine.sheet))

    @cached_property
    def tracks(self) -> Tracks:
        """Where the dance first comes to each line; nothing of a sheet that is ill-formed."""
        return tracks(self.routine.program) if self.routine.program is not None else Tracks({}, {})

    @cached_property
    def heads(self) -> "dict[str, Name]":
        """The names of the parts and of the sheet's own figures where they are defined, by key; of two the first."""
        return {key(one.name): one for one in reversed(tuple(every_name(self))) if one.option is None}

    @property
    def source(self) -> Source:
        """The text."""
        return self.routine.sheet.source

    @property
    def book(self) -> Book:
        """The book that its names come from."""
        return self.routine.facts.book or books.load("clogging")

    @property
    def clock(self) -> bool:
        """Whether walls are named by the clock."""
        return self.book.tradition == "line"


def spread(text: str, path: str, engine: Engine = "walk") -> Desk:
    """Return a text with all that is known of it; `path` is the name to call it by, and where its books lie beside."""
    return Desk(pipeline.loads(text, path=path), engine)


def lines(desk: Desk) -> list[syntax.Line]:
    """Return every line of the sheet in order."""
    return every_line(desk.routine.sheet.lines)


def name_at(desk: Desk, line: int, column: int) -> Name | None:
    """Return the name of a figure or part that stands at a place, both from 1."""
    here = (name for name in every_name(desk) if name.line.number == line)
    return next((name for name in here if name.span.column <= column <= name.span.end_column), None)


def every_name(desk: Desk) -> Iterator[Name]:
    """Yield every name of a part or figure in the sheet, in order."""
    for line in lines(desk):
        match line.node:
            case syntax.Row(options=options):
                yield from (Name(one.name, line, line.span(one.at), one) for one in options)
            case syntax.PartHead(name=name, at=at) | syntax.FigureRow(name=name, at=at):
                yield Name(name, line, line.span(at))


# -- what a name is --------------------------------------------------------------------------------------------------


def hover(desk: Desk, line: int, column: int) -> tuple[str, Span] | None:
    """Return what to say about a place as Markdown, and the stretch that it is about; None if there is nothing to say.

    A figure has its count table and what comes of it from either lead; every line that is danced has the free foot, the
    facing and the beat with which the dance first comes to it.
    """
    name = name_at(desk, line, column)
    blocks = [_about(desk, name)] if name else []
    way = desk.tracks.lines.get(line)
    if name and name.option is None and key(name.name) in desk.tracks.parts:
        way = desk.tracks.parts[key(name.name)]
    if way:
        before, after = way
        blocks.append(f"**Here, the first time:** {_moment(before, desk.clock)}.")
        if before != after:
            blocks.append(f"**Afterwards:** {_moment(after, desk.clock)}.")
    said = "\n\n".join(filter(None, blocks))
    return (said, name.span if name else desk.source.whole_line(line)) if said else None


def _about(desk: Desk, name: Name) -> str:
    """Return what a name stands for, as Markdown."""
    head = desk.names.parts.get(key(name.name))
    if head is not None:
        return _code(head.text.partition("#")[0].strip().rstrip(":"))
    figure = figure_of(desk, name)
    if figure is None:
        return ""
    shown = list(told(card(figure)))
    if not figure.book:
        shown[0] = f"{figure.name} (this sheet, line {figure.line})"
    return _code("\n".join(words.visible(line) for line in shown))


def figure_of(desk: Desk, name: Name) -> Figure | None:
    """Return the figure that a name stands for, None if it is none or unknown."""
    if name.option is None:
        return desk.names.own.get(key(name.name))
    try:
        return desk.names.figure(name.line, name.option)
    except LineFails:
        return None


def _code(said: str) -> str:
    return f"```text\n{said.replace('```', '` ` `')}\n```"


def _moment(stand: Stand, clock: bool) -> str:
    """Return a moment in dance words: the free foot, the facing, the beat."""
    foot = "the weight waits on a blank" if stand.weight is None else words.freely(stand.weight)
    facing = f"facing {words.towards(stand.facing, clock)}"
    beat = f"beat {words.beat(stand.tick)} of the dance"
    inside = f"beat {words.beat(stand.inside)} of {stand.part}, " if stand.part else ""
    return f"{foot}, {facing}, {inside}{beat}"


# -- where a name comes from, and what stands where ------------------------------------------------------------------


def definition(desk: Desk, line: int, column: int) -> tuple[str, Span] | None:
    """Return the path and the place where the part or figure at a place is defined, in the sheet or in its book."""
    name = name_at(desk, line, column)
    if name and (own := defined(desk, name)):
        return desk.source.path, own.span
    figure = name and figure_of(desk, name)
    for book in books.within(desk.book) if figure else ():
        if figure and book.shelf is not None and book.name == figure.book:
            source = book.shelf.text.source
            shipped = os.path.join(os.path.dirname(books.__file__), source.path)
            return shipped if key(book.name) in books.SHIPPED else source.path, source.whole_line(figure.line)
    return None


def defined(desk: Desk, name: Name) -> Name | None:
    """Return the name in the heading of the part, or the row of the sheet's own figure, that a name stands for."""
    if name.option is not None and (name.option.book is not None or name.option.forms):
        return None
    return desk.heads.get(key(name.name))


def references(desk: Desk, line: int, column: int, *, declared: bool = True) -> tuple[Span, ...]:
    """Return every place of the sheet that names the same part or figure as the place does, in order.

    Args:
        desk: the sheet.
        line: the line of the place, from 1.
        column: its column, from 1.
        declared: whether the place where a part or figure of the sheet's own is defined is among them.
    """
    name = name_at(desk, line, column)
    about = name and meant(desk, name)
    if about is None:
        return ()
    found = (one for one in every_name(desk) if meant(desk, one) == about)
    return tuple(one.span for one in found if declared or one.option is not None)


def meant(desk: Desk, name: Name) -> tuple[str, int] | None:
    """Return what identifies the part or figure that a name stands for: its book, empty for the sheet itself, and its
    line there."""
    own = defined(desk, name)
    if own is not None:
        return "", own.line.number
    figure = figure_of(desk, name)
    return (figure.book, figure.line) if figure else None


# -- what stands on the lines --------------------------------------------------------------------------------------


def folds(desk: Desk) -> tuple[tuple[int, int], ...]:
    """Return the first and last line, from 1, of everything that has lines under it."""
    return tuple((line.number, _last(line).number) for line in lines(desk) if line.body)


def moments(desk: Desk) -> Iterator[tuple[syntax.Line, str, str]]:
    """Yield every line that is danced, the beat, free foot and facing with which the dance first comes to it, and the
    same in whole words."""
    for line in lines(desk):
        if isinstance(line.node, syntax.Row | syntax.HoldRow | syntax.GapRow) and line.number in desk.tracks.lines:
            stand, _ = desk.tracks.lines[line.number]
            foot = words.free(stand.weight)
            foot = "both feet" if foot == "none" else foot
            beat = words.beat(stand.inside if stand.part else stand.tick)
            yield line, f"{beat} · {foot} · {words.facing(stand.facing, desk.clock)}", _moment(stand, desk.clock)


def contents(desk: Desk) -> tuple[Entry, ...]:
    """Return the sections of the sheet in order, each with what is defined in it."""
    return tuple(entry for line in desk.routine.sheet.lines if (entry := _entry(line)))


def _entry(line: syntax.Line) -> Entry | None:
    kind = SECTIONS.get(type(line.node), "")
    if not kind:
        return None
    name, at = getattr(line.node, "name", kind), getattr(line.node, "at", (0, len(kind)))
    end = _last(line).span()
    whole = Span(line.number, line.indent + 1, end.end_line, end.end_column)
    detail = line.text.partition("#")[0].partition(":")[2].strip()
    inner = tuple(entry for below in line.body if (entry := _entry(below)))
    return Entry(name, kind, detail, whole, line.span(at), inner)


def _last(line: syntax.Line) -> syntax.Line:
    while line.body:
        line = line.body[-1]
    return line
