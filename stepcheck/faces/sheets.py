"""The commands about one sheet beside checking and mending it: `sheet`, as it is danced; `new`, one to fill in;
`draft`, one out of a step description; `call`, `practise`, and `fit`, which lays a dance out over another song."""

import re
from collections.abc import Iterator, Sequence
from contextlib import suppress
from typing import Any

import click
from attrs import evolve

from stepcheck.books import book as books
from stepcheck.books.cards import columns
from stepcheck.catalogue.discovery import STDIN
from stepcheck.faces import options as shared
from stepcheck.faces.options import among, flag, number, option, write
from stepcheck.floor.calls import calls
from stepcheck.floor.care import WHO
from stepcheck.floor.handout import Close, Mark, closes, handout, marks
from stepcheck.floor.practice import Practice
from stepcheck.floor.practice import practise as practised
from stepcheck.floor.stretches import Stretch, is_line
from stepcheck.formats.answers import TITLE, cautions
from stepcheck.formats.handout import handout_html, handout_svg, notes
from stepcheck.formats.json import TOOL, document, plain
from stepcheck.language import files
from stepcheck.language.files import REFUSED, decode
from stepcheck.language.grammar import LARGEST
from stepcheck.model import words
from stepcheck.model.dance import EIGHTHS
from stepcheck.model.source import SearchError, SourceError, StepcheckError, read_bytes
from stepcheck.model.source import plain as plain_text
from stepcheck.model.statuses import PROVED, WRONG
from stepcheck.program.routine import Routine, format_text
from stepcheck.report import pipeline
from stepcheck.report.sentences import DRAFTED
from stepcheck.report.text import text
from stepcheck.report.values import Report, build

SCHEMA = "stepcheck-sheet-1"
DRAFT = "stepcheck-draft-1"
CALLS, PRACTICE = "stepcheck-calls-1", "stepcheck-practice-1"
_PHRASE = 8  # counts that are filled in together
_MOST = 1_024  # counts of one part; no dance has as many


def told(found: tuple[Mark, ...], counts: bool = False, ends: tuple[Close, ...] = ()) -> str:
    """Return marked lines for people: what holds before a line stands to the left of it; beats may be called counts.

    Under a line stands what later passes come with, and under the last line of a part how it ends.
    """
    heads = ("count" if counts else "beat", "free", "facing")
    rows = [(*heads, "")]
    for mark in found:
        indent = mark.text[: len(mark.text) - len(mark.text.lstrip())]
        rows.append((mark.beat, mark.free, mark.facing, words.visible(mark.text)))
        for one in mark.later:
            rows.append((one.beat, one.free, one.facing, f"{indent}(the {words.ordinal(one.time)} time)"))
        for end in (end for end in ends if end.line == mark.line):
            name = words.visible(end.part)
            rows.append(("", end.free, end.facing, f"  (end of {name}, after {end.length})"))
            for other in end.later:
                time = f"the {words.ordinal(other.time)} time"
                time += "" if other.length == end.length else f", after {other.length}"
                rows.append(("", other.free, other.facing, f"  (end of {name} {time})"))
    return "".join(f"{line}\n" for line in columns(rows))


@click.command("sheet", short_help="Show a sheet as it is danced, or make one for the class.")
@shared.SHEET
@among(
    "--format form",
    ("text", "html", "svg", "json"),
    "The sheet as it is written, a page for the class, a picture, or JSON.",
    "text",
)
def sheet(path: str, form: str) -> int:
    """Show a sheet as it is danced: beside each line the beat, the free foot and the facing with which the dance first
    comes to it; or as a page or picture for the class, part by part. Of a variation the first option is followed, and
    what is refuted is taken as put right.

    The exit status is 0, or 1 if the sheet is not understood; its mistakes are shown then.
    """
    routine = shared.routine_at(path)
    if form == "json":
        named = {"tool": TOOL, "path": routine.path, "title": routine.title}
        shown = {"lines": marks(routine), "parts": closes(routine)}
        made = handout(routine) if routine.well_formed else None
        write(document(SCHEMA, **named, **shown, handout=made, diagnostics=routine.diagnostics))
    elif routine.well_formed and form == "text":
        write(told(marks(routine), is_line(routine), closes(routine)))
        shared.say(("", *notes(handout(routine))))
    elif routine.well_formed:
        write((handout_html if form == "html" else handout_svg)(handout(routine)))
    if routine.well_formed:
        return PROVED
    shared.remark(text((build(routine.sheet.source, diagnostics=routine.diagnostics),)).rstrip())
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
    if made.title != title:
        raise StepcheckError(f"no sheet can be called {title!r}")
    if made.program is None:
        raise StepcheckError(made.diagnostics[0].message)
    return text


@click.command("new", short_help="Write a sheet to fill in.")
@click.argument("title")
@option("--book", "NAME", "The book that the figures are from.", default="line", show_default=True)
@click.option(
    "--counts",
    "--beats",
    type=click.IntRange(1, min(_MOST, LARGEST)),
    default=32,
    show_default=True,
    help="How long the part is.",
)
@among("--walls", "1248", "How many walls it is danced to.  [default: nothing is claimed]")
@shared.WRITTEN
@shared.FORCE
def new(title: str, book: str, counts: int, walls: str | None, output: str | None, force: bool) -> int:
    """Write a sheet called TITLE with a blank for every eight counts, to be filled in.

    `stepcheck check` says how many lines are to fill; what holds whatever fills them, such as the length, is proved all
    the same. The exit status is 0, or 2 if no sheet can have such a title or the file is not to be written.
    """
    if output is not None:
        files.permit(output, force=force, sheet=True)
    text = blank_sheet(title, book=book, counts=counts, walls=None if walls is None else int(walls))
    with shared.destination(output, force=force) as put:
        put(text)
    return PROVED


@click.command("draft", short_help="Turn a step description into a sheet.")
@shared.SHEET
@shared.WRITTEN
@flag("--force", "Write over a file that is there.")
@flag("--check checked", "Check the sheet as well; the exit status is then that of the check.")
@option(
    "--vocabulary", "WORDS", "Words of a club, added to the shipped ones.", type=click.Path(exists=True, dir_okay=False)
)
@shared.FORM
def draft(path: str, output: str | None, force: bool, checked: bool, vocabulary: str | None, form: str) -> int:
    """Turn a step description as teachers write it, FILE or - for stdin, into a sheet.

    Every line of it is in the sheet: as what it was read as, as a blank of its counts, or as a comment. What was
    assumed, and what is open, goes to stderr, a line each. A file that is not UTF-8 is read as Windows-1252. The exit
    status is 2 if neither steps nor counts are understood.
    """
    from stepcheck.drafts.draft import draft as drafted

    name = "<stdin>" if path == STDIN else path
    said, western = _text(shared.read_input(path), name)
    shared.may_write(output, path, force, sheet=True)
    found = drafted(said, "" if vocabulary is None else _text(read_bytes(vocabulary), vocabulary)[0])
    if western:
        assumed = f"the text is Windows-1252, as it is not UTF-8: its signs are {western}"
        found = evolve(
            found,
            text=f"# assumed: {assumed}\n{found.text}",
            assumed=(assumed, *found.assumed),
            origins=(0, *found.origins),
        )
    if not found.understood:
        line = next((each for each in found.lines), None)
        where, what = (f":{line.line}", f"; the first is: {line.text[:80]}") if line else ("", ": it is empty")
        raise StepcheckError(f"{name}{where}: no line is understood as steps or as their counts{what}")
    report = pipeline.check(pipeline.loads(found.text, path=output or DRAFTED)) if checked else None
    with shared.destination(output, force=force) as put:
        checked_too = {} if report is None else {"report": report}
        put(found.text if form != "json" else document(DRAFT, tool=TOOL, path=name, **plain(found), **checked_too))
    for how, each in [("assumed", one) for one in found.assumed] + [("open", one) for one in found.open]:
        shared.remark(f"{name}: {how}: {each}")
    read = sum(line.kind not in ("blank", "open", "remark") for line in found.lines)
    shared.remark(
        f"{words.count(len(found.lines), 'line')}: {read} read; {len(found.assumed)} assumed, {len(found.open)} open"
    )
    if report is None:
        return PROVED
    if form == "text":
        shared.remark(text((_placed(report, found.origins, name),)).rstrip())
    return report.exit_status


def _placed(report: Report, origins: Sequence[int], name: str) -> Report:
    """Return a report on a draft, each finding with the line of the description that its line comes from."""
    told = []
    for finding in report.diagnostics:
        at = origins[finding.span.line - 1] if finding.span.line <= len(origins) else 0
        told.append(evolve(finding, message=f"{finding.message} ({name}, line {at})") if at else finding)
    return evolve(report, diagnostics=tuple(told))


def _text(data: bytes, name: str) -> tuple[str, str]:
    """Return the text of a description, and the signs in it that are read as Windows-1252, "" where it is UTF-8.

    What is no text, or mixes the two, is a SourceError.
    """
    source, findings = decode(data, name)
    if source.text != REFUSED:
        read = data.decode("utf-8", errors="replace")
        if all(finding.code.name != "not-text" for finding in findings):
            return plain_text(read), ""
        with suppress(UnicodeDecodeError):
            if not re.search(r"[^\x00-\x7f\ufffd]", read):
                said = plain_text(data.decode("cp1252"))
                return said, " ".join(dict.fromkeys(re.findall(r"[^\x00-\x7f]", said)))
    hints = "".join(f"; {hint}" for hint in findings[0].hints)
    raise SourceError(f"{name}:{findings[0].span.line}: {findings[0].message}{hints}")


# -- the floor -------------------------------------------------------------------------------------------------------

GROUP = option("--group", "NAME", "Whose steps, where the floor is split.  [default: the first group's]")


def _whose(routine: Routine, group: str | None) -> None:
    """Say whose steps follow, where nobody has."""
    if routine.facts.groups and group is None:
        shared.remark(
            f"{routine.path}: these are the steps of {routine.facts.groups[0]}; `--group` names another group"
        )


@click.command("call", short_help="Write the calls of a sheet, in time with its music.")
@shared.SHEET
@among(
    "--format form",
    ("vtt", "midi", "json"),
    "Captions (WebVTT), a track of clicks with the calls as lyrics (MIDI), or JSON.",
    "vtt",
)
@number("--rounds", "How often to dance what goes on until the music ends.  [default: home again]", "NUMBER")
@GROUP
@shared.OUTPUT
@shared.FORCE
def call(path: str, form: str, rounds: int | None, group: str | None, output: str | None, force: bool) -> int:
    """Write when each figure is called: two beats ahead of it, at the sheet's tempo.

    The track begins with the beats of `wait:`, or with eight to count in. Of a variation the first way is called, and
    what is refuted is taken as put right.
    """
    if form == "midi" and output is None:
        raise StepcheckError("a MIDI file is no text: say where it goes, such as `-o calls.mid`")
    shared.may_write(output, path, force)
    routine = shared.routine_at(path)
    made = calls(routine, rounds=rounds, group=group)
    _whose(routine, group)
    if made.put_right:
        shared.remark(f"{path}: called as if {words.lines(made.put_right)} held; `check` says what is wrong")
    if output is not None and form == "midi":
        files.write(output, made.midi, force=force)
    else:
        with shared.destination(output, force=force) as put:
            put(made.webvtt if form == "vtt" else document(CALLS, tool=TOOL, path=path, **plain(made)))
    shared.remark(
        f"{words.count(len(made.calls), 'call')} over {words.number(made.beats)} beats at {words.number(made.tempo)}"
    )
    return PROVED


@click.command("practise", short_help="Say how to practise a sheet.")
@shared.SHEET
@shared.FORM
@GROUP
def practise(path: str, form: str, group: str | None) -> int:
    """Say what can be danced over and over without a step between, show each break with two bars before and after it,
    and the hardest joins, and give an order in which to teach figures and parts.
    """
    routine = shared.routine_at(path)
    made = practised(routine, group=group)
    _whose(routine, group)
    said = cautions(turns=True)
    if form == "json":
        write(document(PRACTICE, tool=TOOL, path=routine.path, **plain(made), cautions=[*said, WHO]))
    else:
        shared.say((*practice(made), TITLE, *(f"  {one}" for one in (*said, WHO))))
    return PROVED


def practice(made: Practice) -> Iterator[str]:
    """Yield the lines that say how to practise."""
    if made.loops:
        yield "Over and over, without a step between:"
    for loop in made.loops:
        turn = f"{words.turn(int(loop.turn * EIGHTHS))}, " if loop.turn else ""
        home = f"{turn}home after {words.count(loop.home, 'time')}" if loop.home > 1 else f"{turn}back to its wall"
        yield f"  {', '.join(loop.names)}: {words.number(loop.beats)} {made.unit}, {home}"
    for drill in made.drills:
        yield f"By itself, {drill.name} (line {drill.line}):"
        yield from _steps((*drill.before, *drill.steps, *drill.after), drill.steps)
    if made.joins:
        yield "The hardest joins:"
    for join in made.joins:
        yield f"  {join.first.words}, then {join.then.words} (lines {join.first.line} and {join.then.line}):"
        yield f"    {join.points}: {'; '.join(join.reasons)}"
        if len(join.loop) > 1:
            yield f"    over and over: {', '.join(one.words for one in join.loop)}"
    yield "Teach in this order:"
    for lesson in made.order:
        about = f" ({lesson.about})" if lesson.about else ""
        yield f"  {lesson.name}{about}" if lesson.kind == "figure" else f"  then {lesson.name}{about}"
    if made.care:
        yield "Take care:"
    for note in made.care:
        yield f"  line {note.line}: {note.message} [{note.source}]"


def _steps(rows: tuple[Stretch, ...], marked: tuple[Stretch, ...]) -> Iterator[str]:
    cells = [(row.count, row.free, row.facing, row.words) for row in rows]
    for row, line in zip(rows, columns(cells), strict=True):
        yield f" {'▸' if row in marked else ' '} {line}"


@click.command("fit", short_help="Lay a dance out over another song, or cut it to a length.")
@shared.SHEET
@option("--music", "SONG", "A file (ABC, MusicXML, MIDI), or sections: `verse 32, chorus 32`.")
@number("--beats", "Cut the dance to so many beats.", "NUMBER")
@option("--length", "TIME", "Cut it to a track that lasts so long, such as 120s or 2:00.")
@option("--level", "LEVEL", "The hardest level of figures in breaks.", words=shared.LEVEL)
@flag("--apply", "Write it into the file.")
@shared.SMT2
@shared.FORCE
@shared.IN_PLACE
@shared.FORM
def fit(path: str, apply: bool, smt2: str | None, force: bool, in_place: bool, form: str, **asked: Any) -> int:
    """Lay the parts of a sheet out so that they fill a song and every claim of the sheet holds, with the fewest breaks,
    the least new in them, and the fewest passes cut short.

    Without --music it is the song of the sheet. --beats and --length leave out repeats and parts instead. The answer is
    a diff, where breaks and restarts stand, and the report on the sheet after it. The exit status is 0 if
    there is a layout in which nothing is refuted, 1 if there is none, which comes with the reason.
    """
    from stepcheck.floor.fit import fit as fitted

    shared.unless_piped(path, apply)
    routine = shared.routine_at(path)
    script = shared.place_in(smt2, path, f".fit{files.SCRIPT}", force)
    found = fitted(routine, **asked)
    if apply and found.reason:
        raise SearchError(f"nothing is written: {found.reason}")
    shared.tell(found, path, form)
    shared.put_script(script, found.script, force)
    if apply and found.diff:
        shared.put_answer(path, routine, found.text, "the dance is laid out anew", in_place)
    return 1 if found.reason else 0
