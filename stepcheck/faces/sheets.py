"""The commands `sheet`, `new` and `draft`: a sheet as it is danced, one to fill in, and one out of a customary step
description."""

from collections.abc import Iterator

import click
from attrs import evolve, frozen

from stepcheck.books import book as books
from stepcheck.catalogue.discovery import STDIN
from stepcheck.faces.options import (
    FORCE,
    FORM,
    SHEET,
    WRITTEN,
    destination,
    may_write,
    read_input,
    remark,
    routine_at,
    write,
)
from stepcheck.floor.handout import handout
from stepcheck.floor.stretches import is_line
from stepcheck.formats.handout import handout_html, handout_svg, notes
from stepcheck.formats.json import TOOL, document, plain
from stepcheck.language import files
from stepcheck.language.files import REFUSED, decode
from stepcheck.language.grammar import LARGEST
from stepcheck.language.syntax import ExpectRow, GapRow, HoldRow, Line, PartHead, Row
from stepcheck.model import words
from stepcheck.model.dance import EIGHTHS, key
from stepcheck.model.source import SourceError, StepcheckError, read_bytes
from stepcheck.model.statuses import PROVED, WRONG
from stepcheck.model.words import count
from stepcheck.program.formatter import format_text
from stepcheck.program.routine import Routine
from stepcheck.report import pipeline
from stepcheck.report.text import text
from stepcheck.report.values import build
from stepcheck.walk.stands import Stand
from stepcheck.walk.tracks import Tracks, tracks

SCHEMA = "stepcheck-sheet-1"
DRAFT = "stepcheck-draft-1"
_PHRASE = 8  # counts that are filled in together
_MOST = 1_024  # counts of one part; no dance has as many


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
    clock = is_line(routine)
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
    followed, clock, found = tracks(routine.program), is_line(routine), []
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
    facing = (stand.facing - stand.wall) % EIGHTHS if stand.part else stand.facing
    beat = words.beat(stand.inside if stand.part else stand.tick)
    return beat, words.free(stand.weight), words.facing(facing, clock)


def _danced(lines: tuple[Line, ...]) -> Iterator[int]:
    """Yield the numbers of the lines that something is danced on, or expected; what a heading says holds at its end."""
    for line in lines:
        if isinstance(line.node, Row | HoldRow | GapRow | ExpectRow):
            yield line.number
        yield from _danced(line.body)


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


@click.command("sheet", short_help="Show a sheet as it is danced, or make one for the class.")
@SHEET
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "html", "svg", "json"]),
    default="text",
    show_default=True,
    help="The sheet as it is written, a page for the class, a picture, or JSON.",
)
def sheet(path: str, form: str) -> int:
    """Show a sheet as it is danced: beside each line the beat, the free foot and the facing with which the dance first
    comes to it; or as a page or picture for the class, part by part. Of a variation the first option is followed, and
    what is refuted is taken as put right.

    The exit status is 0, or 1 if the sheet is not understood; its mistakes are shown then.
    """
    routine = routine_at(path)
    if form == "json":
        named = {"tool": TOOL, "path": routine.path, "title": routine.title}
        shown = {"lines": marks(routine), "parts": closes(routine)}
        made = handout(routine) if routine.well_formed else None
        write(document(SCHEMA, **named, **shown, handout=made, diagnostics=routine.diagnostics))
    elif routine.well_formed and form == "text":
        write(told(marks(routine), is_line(routine), closes(routine)))
        write("".join(f"{words.visible(line)}\n" for line in ("", *notes(handout(routine)))))
    elif routine.well_formed:
        write((handout_html if form == "html" else handout_svg)(handout(routine)))
    if routine.well_formed:
        return PROVED
    remark(text((build(routine.sheet.source, diagnostics=routine.diagnostics),)).rstrip())
    return WRONG


def blank_sheet(title: str, *, book: str = "line", counts: int = 32, walls: int | None = None) -> str:
    """Return the text of a sheet with a blank for every eight counts.

    Args:
        title: the name of the routine.
        book: the book that its figures are from: `line`, `clogging`, or another by name or path.
        counts: how long its one part is, in counts or beats.
        walls: how many walls it is danced to: 1, 2, 4 or 8; None claims nothing.

    Raises:
        StepcheckError: no sheet can say it.
    """
    is_line = books.load(book).tradition == "line"
    part, unit = ("Main", "counts") if is_line else ("A", "beats")
    head = [f"routine: {title}", f"book: {book}", "# tempo: 120", *([] if walls is None else [f"walls: {walls}"])]
    body = [f"part {part}: {counts} {unit}"]
    for first in range(1, counts + 1, _PHRASE):
        last = min(first + _PHRASE - 1, counts)
        blank = f"? {last - first + 1} {unit if last > first else unit.removesuffix('s')}"
        body += [f"  counts {first}-{last}:", f"    {blank}"] if is_line and last > first else [f"  {blank}"]
    how = " until the music ends" if is_line or walls is not None else ""
    fill = "# In the place of each ? comes a row of figures, one a line: `stepcheck figures` lists them."
    text = format_text("\n".join([*head, "", fill, *body, "", "dance:", f"  {part}{how}", ""]))
    made = pipeline.loads(text)
    if made.title != title or made.program is None:
        raise StepcheckError(
            f"no sheet can be called {title!r}" if made.title != title else made.diagnostics[0].message
        )
    return text


@click.command("new", short_help="Write a sheet to fill in.")
@click.argument("title")
@click.option("--book", default="line", show_default=True, metavar="NAME", help="The book that the figures are from.")
@click.option(
    "--counts",
    "--beats",
    type=click.IntRange(1, min(_MOST, LARGEST)),
    default=32,
    show_default=True,
    help="How long the part is.",
)
@click.option(
    "--walls",
    type=click.Choice(["1", "2", "4", "8"]),
    help="How many walls it is danced to.  [default: nothing is claimed]",
)
@WRITTEN
@FORCE
def new(title: str, book: str, counts: int, walls: str | None, output: str | None, force: bool) -> int:
    """Write a sheet called TITLE with a blank for every eight counts, to be filled in.

    As it is, `stepcheck check` finds it undecided, since it waits on its blanks. The exit status is 0, or 2 if no sheet
    can have such a title or the file is not to be written.
    """
    if output is not None:
        files.permit(output, force=force, sheet=True)
    text = blank_sheet(title, book=book, counts=counts, walls=None if walls is None else int(walls))
    with destination(output, force=force, sheet=True) as put:
        put(text)
    return PROVED


@click.command("draft", short_help="Turn a step description into a sheet.")
@SHEET
@WRITTEN
@click.option("--force", is_flag=True, help="Write over a file that is there.")
@click.option(
    "--check", "checked", is_flag=True, help="Check the sheet as well; the exit status is then that of the check."
)
@click.option(
    "--vocabulary",
    type=click.Path(exists=True, dir_okay=False),
    metavar="WORDS",
    help="Words of a club, added to the shipped ones.",
)
@FORM
def draft(path: str, output: str | None, force: bool, checked: bool, vocabulary: str | None, form: str) -> int:
    """Turn a step description as teachers write it, FILE or - for stdin, into a sheet.

    Every line of it is in the sheet: as what it was read as, as a blank of its counts, or as a comment. What was
    assumed, and what is open, goes to stderr, a line each. The exit status is 2 if neither steps
    nor counts are understood.
    """
    from stepcheck.drafts.draft import draft as drafted

    name = "<stdin>" if path == STDIN else path
    said = _text(path, name)
    may_write(output, path, force, sheet=True)
    more = b"" if vocabulary is None else read_bytes(vocabulary)
    found = drafted(said, more.decode("utf-8-sig", errors="replace"))
    if not found.understood:
        line = next((each for each in found.lines), None)
        where = f"{name}:{line.line}: " if line else f"{name}: "
        raise StepcheckError(
            f"{where}no line is understood as steps or as their counts"
            + (f"; the first is: {line.text[:80]}" if line else ": it is empty")
        )
    report = pipeline.check(pipeline.loads(found.text, path=output or "<draft>")) if checked else None
    with destination(output, force=force, sheet=True) as put:
        checked_too = {} if report is None else {"report": report}
        put(found.text if form != "json" else document(DRAFT, tool=TOOL, path=name, **plain(found), **checked_too))
    for each in found.assumed:
        remark(f"{name}: assumed: {each}")
    for each in found.open:
        remark(f"{name}: open: {each}")
    read = sum(line.kind not in ("blank", "open", "remark") for line in found.lines)
    remark(f"{count(len(found.lines), 'line')}: {read} read; {len(found.assumed)} assumed, {len(found.open)} open")
    if report is None:
        return PROVED
    if form == "text":
        remark(text((report,)).rstrip())
    return report.exit_status


def _text(path: str, name: str) -> str:
    """Return the text of the description.

    Raises:
        SourceError: it can't be read, or is no text.
    """
    data = read_input(path)
    source, findings = decode(data, name)
    if source.text == REFUSED:
        raise SourceError(f"{name}:{findings[0].span.line}: {findings[0].message}")
    return data.decode("utf-8-sig", errors="replace").replace("\r\n", "\n").replace("\r", "\n")
