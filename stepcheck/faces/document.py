"""A sheet that somebody is working on: what stands at a place of it, and what that is."""

import os
from collections.abc import Iterator

from attrs import frozen

from stepcheck.books import book as books
from stepcheck.books.book import Book
from stepcheck.books.cards import card, told
from stepcheck.language.syntax import At, DanceHead, FigureRow, FiguresHead, Line, MusicHead, Option, PartHead, Row
from stepcheck.model import words
from stepcheck.model.choices import Engine
from stepcheck.model.dance import Figure, key
from stepcheck.model.source import Source, Span
from stepcheck.program.claims import LineFails, register
from stepcheck.program.names import Names
from stepcheck.program.routine import Routine
from stepcheck.report import pipeline
from stepcheck.report.values import Report
from stepcheck.walk.tracks import Stand, Tracks, tracks


@frozen
class Name:
    """A name where it stands: `option` is the row's piece that it belongs to, None where the name is defined."""

    name: str
    line: Line
    span: Span
    option: Option | None = None


@frozen
class Entry:
    """A section of a sheet for its table of contents: `kind` is part, figure, figures, music or dance."""

    name: str
    kind: str
    detail: str
    whole: Span
    span: Span
    inner: "tuple[Entry, ...]" = ()


@frozen(eq=False)
class Desk:
    """A sheet with all that is known of it."""

    routine: Routine
    report: Report
    names: Names
    tracks: Tracks

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
    """Return a text with all that is known of it; `path` is the name to call it by, and where its books lie beside.

    The walk through all states decides unless another engine is asked for: an answer is to come while somebody types.
    """
    routine = pipeline.loads(text, path=path)
    report = pipeline.check(routine, engine=engine)
    names = Names(routine.sheet, routine.facts, register(routine.sheet))
    found = tracks(routine.program) if routine.program is not None else Tracks({}, {})
    return Desk(routine, report, names, found)


def lines(desk: Desk) -> Iterator[Line]:
    """Yield every line of the sheet in order."""
    pending = list(reversed(desk.routine.sheet.lines))
    while pending:
        line = pending.pop()
        yield line
        pending += reversed(line.body)


def name_at(desk: Desk, line: int, column: int) -> Name | None:
    """Return the name of a figure or part that stands at a place, both from 1."""
    for name in _names(next((one for one in lines(desk) if one.number == line), None)):
        if name.span.column <= column <= name.span.end_column:
            return name
    return None


def _names(line: Line | None) -> Iterator[Name]:
    match line.node if line else None:
        case Row(options=options):
            yield from (Name(one.name, line, line.span(one.at), one) for one in options)  # type: ignore[union-attr,arg-type]
        case PartHead(name=name, at=at) | FigureRow(name=name, at=at):
            yield Name(name, line, line.span(at))  # type: ignore[union-attr,arg-type]


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
    if name is None:
        return None
    head = desk.names.parts.get(key(name.name))
    if head is not None and isinstance(head.node, PartHead):
        return desk.source.path, head.span(head.node.at)
    figure = figure_of(desk, name)
    if figure is None:
        return None
    if not figure.book:
        return desk.source.path, _own(desk, figure.line)
    for book in _below(desk.book):
        if book.shelf is not None and book.name == figure.book:
            source = book.shelf.text.source
            shipped = os.path.join(os.path.dirname(books.__file__), source.path)
            return shipped if key(book.name) in books.SHIPPED else source.path, source.whole_line(figure.line)
    return None


def _own(desk: Desk, number: int) -> Span:
    """Return the place of the name of a figure of the sheet's own."""
    for line in lines(desk):
        if line.number == number and isinstance(line.node, FigureRow):
            return line.span(line.node.at)
    return desk.source.whole_line(number)


def _below(book: Book) -> Iterator[Book]:
    """Yield a book, those that it is made of, and those that they stand on."""
    yield book
    for other in (*book.members, *((book.base,) if book.base else ())):
        yield from _below(other)


def contents(desk: Desk) -> tuple[Entry, ...]:
    """Return the sections of the sheet in order, each with what is defined in it."""
    return tuple(entry for line in desk.routine.sheet.lines if (entry := _entry(line)))


def _entry(line: Line) -> Entry | None:
    match line.node:
        case PartHead(name=name, at=at):
            return _made(line, name, "part", at)
        case FigureRow(name=name, at=at):
            return _made(line, name, "figure", at)
        case FiguresHead():
            return _made(line, "figures", "figures", (0, 7))
        case MusicHead():
            return _made(line, "music", "music", (0, 5))
        case DanceHead():
            return _made(line, "dance", "dance", (0, 5))
    return None


def _made(line: Line, name: str, kind: str, at: At) -> Entry:
    last = line
    while last.body:
        last = last.body[-1]
    end = last.span()
    whole = Span(line.number, line.indent + 1, end.end_line, end.end_column)
    detail = line.text.partition("#")[0].partition(":")[2].strip()
    inner = tuple(entry for below in line.body if (entry := _entry(below)))
    return Entry(name, kind, detail, whole, line.span(at), inner)
