"""A dance laid out anew: over another song, to another length, or with restarts and tags where a song is irregular.

specs/fit.md says which layouts there are, and which is better.
"""

import os
import re
from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from typing import TypeAlias

from attrs import evolve, field, frozen

from stepcheck.breaks.requests import Break
from stepcheck.catalogue.discovery import relative
from stepcheck.floor.better import better
from stepcheck.floor.layouts import Layouts, Step, Task
from stepcheck.floor.moves import Move, sequence, written
from stepcheck.language import parser
from stepcheck.language.patch import difference
from stepcheck.language.printer import print_node
from stepcheck.language.syntax import MusicRow
from stepcheck.model import words
from stepcheck.model.dance import TICKS
from stepcheck.model.outcome import Verdict
from stepcheck.model.source import ROUTINE, SearchError, require
from stepcheck.music.song import NOTATIONS, load
from stepcheck.music.strains import Section, Song
from stepcheck.program.routine import Routine, lay_out
from stepcheck.report import pipeline
from stepcheck.report.values import Report

Music: TypeAlias = str | os.PathLike[str] | Song | Iterable[tuple[str, int | Fraction]]
"""A song: the path of a file, sections as text or as pairs, or as it was read."""


@frozen
class Fitted:
    """A dance that was laid out anew.

    Attributes:
        sections: of the song, in their order; one without a name where a dance is cut to a length.
        lines: under `dance:` of the sheet.
        breaks: the rows of new figures in it.
        restarts: how many passes are cut short.
        moved: how many lines do not stand behind the one that they follow in the sheet.
        places: where breaks and restarts stand, in words.
        diff: the changes as a unified diff; empty where the sheet is so already.
        text: the whole sheet after them.
        report: what both engines say of that; None where there is none.
        looked: how many places of dancers were looked at.
        reason: why there is no layout; empty where there is one.
        confirmed: what the second engine says to the question whether a better one exists: "unsat"; "open" if it did
            not settle it; empty if it was not asked, since nothing is put in or cut.
        script: that question in SMT-LIB 2.
    """

    sections: tuple[Section, ...]
    lines: tuple[str, ...] = ()
    breaks: tuple[Break, ...] = ()
    restarts: int = 0
    moved: int = 0
    places: tuple[str, ...] = ()
    diff: str = field(default="", repr=False)
    text: str = field(default="", repr=False)
    report: Report | None = field(default=None, repr=False)
    looked: int = 0
    reason: str = ""
    confirmed: str = ""
    script: str = field(default="", repr=False)

    @property
    def beats(self) -> Fraction:
        """How long the song is, or the dance that was asked for."""
        return Fraction(sum(section.ticks for section in self.sections), TICKS)

    @property
    def statement(self) -> str:
        """What is known of the layout and of better ones, as a sentence."""
        if self.reason:
            return self.reason
        counts = (len(self.breaks), "break"), (self.restarts, "restart")
        made = [words.count(number, what) if number else f"no {what}" for number, what in counts]
        said = f"{words.number(self.beats)} beats filled with {words.listed(made)}."
        if not self.breaks and not self.restarts:
            return said
        said += f" No layout has fewer: all were followed, through {words.count(self.looked, 'place')}."
        if self.confirmed:
            sure = self.confirmed == "unsat"
            confirms = "confirms it from what each line and figure does" if sure else "did not settle it"
            said += f" The second engine {confirms}."
        return said


def fit(
    routine: Routine,
    *,
    music: Music | None = None,
    beats: int | Fraction | None = None,
    length: str | float | None = None,
    level: str | None = None,
    confirm: bool = True,
) -> Fitted:
    """Return the dance of a routine laid out anew, so that it fills a song or a length and every claim in it holds.

    Args:
        routine: a routine whose writing is right; whether its dance fits is all the same.
        music: the song: the path of a file, sections such as `"verse 32, chorus 32"`, or pairs; that of the sheet if
            neither this nor a length is given.
        beats: cut the dance to this many beats instead, by leaving out repeats and parts.
        length: the same, to a track of so many seconds (120, `"120s"`, `"2:00"`) at the tempo of the sheet: the longest
            dance that ends with it or before it, the wait before the first step counted.
        level: the hardest level of figures in breaks; that of the header if left out, `any` for all.
        confirm: whether to ask the second engine for a better layout, where something is put in or cut.

    Raises:
        SearchError: what is asked makes no sense, or the sheet has mistakes in the writing.
        NoSong: the file is no song.
    """
    require(routine, Routine, ROUTINE)
    if (music is not None) + (beats is not None) + (length is not None) > 1:
        raise SearchError("a dance is laid over a song, or cut to a number of beats or a length")
    if beats is None and length is None:
        sections, lines = _song(routine, music)
        return _laid(routine, Task(sections, level=level), lines, confirm)
    if beats is not None:
        exact = Task((Section("", ticks_of_all(beats)),), cut=True, level=level)
        return _laid(routine, exact, (), confirm)
    if routine.facts.tempo is None:
        raise SearchError("the sheet has no tempo: write one, such as `tempo: 120`, or give a number of beats")
    most = int(_seconds(length or 0) * routine.facts.tempo / 60) - (routine.facts.wait or 0)
    if most < 1:
        raise SearchError("the track ends before the first step")
    whole = Task((Section("", most * TICKS),), cut=True, breaks=0, restarts=False, short=True, level=level)
    return _laid(routine, whole, (), confirm)


def ticks_of_all(beats: int | Fraction) -> int:
    """Return a number of beats in ticks.

    Raises:
        SearchError: it is none, or finer than a twelfth of a beat.
    """
    ticks = Fraction(beats) * TICKS
    if ticks <= 0 or ticks.denominator != 1:
        raise SearchError(f"{beats} is no number of beats for a dance")
    return int(ticks)


def _seconds(length: str | float) -> Fraction:
    """Return a time in seconds; one that is none is a SearchError."""
    found = re.fullmatch(r"(?:(\d{1,3}):)?(\d{1,5}(?:\.\d+)?)\s*s?", str(length).strip())
    if not found:
        raise SearchError(f"{length!r} is no time; write 120s or 2:00")
    return 60 * int(found[1] or 0) + Fraction(found[2])


def _song(routine: Routine, music: Music | None) -> tuple[tuple[Section, ...], tuple[str, ...]]:
    name = ""
    match music:
        case None:
            if not routine.sheet.music:
                raise SearchError("say which song: a file, or sections such as `verse 32, chorus 32`")
            name = dict(routine.facts.header).get("music", "")
            phrases = [one.phrase for one in routine.facts.song.sections] if routine.facts.song else []
            rows = tuple(node for _, node in routine.sheet.music)
            found = tuple(
                Section(row.name, row.ticks, phrase)
                for row, phrase in zip(rows, phrases or [8] * len(rows), strict=True)
            )
        case Song():
            found = music.sections
        case str() if os.path.splitext(music)[1].casefold() not in NOTATIONS:
            found = tuple(_section(piece.strip()) for piece in music.split(","))
        case str() | os.PathLike():
            found, name = load(os.fspath(music)).sections, _beside(routine.path, os.fspath(music))
        case _:
            found = tuple(Section(one, ticks_of_all(beats)) for one, beats in music)
    if name:
        return found, (f"music: {name}",)
    return found, ("music:", *(f"  {print_node(MusicRow(one.name, one.ticks))}" for one in found))


def _section(text: str) -> Section:
    try:
        row = parser.parse_line(text, "music")
    except parser.LineError as error:
        raise SearchError(f"{text!r} is no section of a song and no file: write verse 32, chorus 32") from error
    assert isinstance(row, MusicRow)
    return Section(row.name, row.ticks)


def _beside(sheet: str, song: str) -> str:
    """Return the name by which a sheet can name a song; empty for one that does not lie beside it."""
    folder = os.path.realpath(os.path.dirname(sheet) or os.curdir)
    path = os.path.realpath(song)
    near = not sheet.startswith("<") and os.path.commonpath((folder, path)) == folder
    return relative(path, folder) if near else ""


def _laid(routine: Routine, task: Task, music: tuple[str, ...], confirm: bool) -> Fitted:
    """Return the best layout for a task, as a sheet with its report."""
    moves = sequence(routine)
    layouts = Layouts(routine, moves, task)
    steps = layouts.best()
    if steps is None:
        return Fitted(task.sections, looked=layouts.looked, reason=layouts.reason())
    if task.short:
        task = evolve(task, sections=(Section("", steps[-1].end),))
    lines, rows = _lines(layouts, steps, task)
    head = f"dance: {words.length(task.total)}" if task.cut else "dance:"
    text = written(routine, lines, music, head)
    source = routine.sheet.source
    if not lay_out(source.path, source.text.encode()).changed:
        text = lay_out(source.path, text.encode()).after or text
    report = pipeline.check(pipeline.loads(text, path=source.path, readings=routine.readings))
    cuts = sum(step.cut > 0 for step in steps)
    reason = ""
    if report.verdict not in (Verdict.PROVED, Verdict.VACUOUS):
        first = next((one.message for one in report.diagnostics if one.code.severity > 0), report.verdict.word)
        reason = f"the layout that fills it does not hold: {first}"
    moved, places = sum(step.moved for step in steps), tuple(_places(steps, task, layouts, rows))
    diff = "" if text == source.text else difference(source, text, "fitted")
    stripped = tuple(map(str.strip, lines))
    asked = better(layouts, steps) if confirm and (rows or cuts) else ()
    return Fitted(
        task.sections, stripped, rows, cuts, moved, places, diff, text, report, layouts.looked, reason, *asked
    )


def _lines(layouts: Layouts, steps: Sequence[Step], task: Task) -> tuple[list[str], tuple[Break, ...]]:
    """Return the lines of the dance, with the breaks in them; equal lines one behind the other stand once."""
    spans = any(step.tick < end < step.end for step in steps for end in layouts.ends)
    labelled = not spans and not task.cut and len(task.sections) > 1
    out: list[str] = []
    rows: list[Break] = []
    at = 0
    for section, end in zip(task.sections, layouts.ends, strict=True):
        body: list[str] = []
        told: list[tuple[Move, int]] = []
        while at < len(steps) and steps[at].tick < end:
            step = steps[at]
            at += 1
            if step.number < 0:
                rows.append(layouts.row(step))
                lines = [*rows[-1].lines]
                lines[0] += f"  # a break of {words.length(step.end - step.tick)}"
                body += lines
                told = []
                continue
            move = layouts.cuts[step.number][step.cut] if step.cut else layouts.moves[step.number]
            if told and told[-1][0].text == move.text and move.again and not told[-1][0].expected:
                told[-1] = move, told[-1][1] + 1
                body[-1] = f"{move.text} x{told[-1][1]}"
                body += move.expected
            else:
                told = [(move, 1)]
                body += [move.text, *move.expected]
        if not labelled:
            out += body
        elif len(body) == 1 and not body[0].startswith("hold "):
            out.append(f"{section.name}: {body[0]}")
        else:
            out += [f"{section.name}:", *(f"  {line}" for line in body)]
    out += layouts.sequence.end.expected
    return [f"  {line}" for line in out], tuple(rows)


def _places(steps: Sequence[Step], task: Task, layouts: Layouts, rows: Sequence[Break]) -> Iterator[str]:
    """Yield where breaks and restarts stand, in words."""
    left = iter(rows)
    passes: dict[str, int] = {}
    for step in steps:
        number = bisect_right(layouts.ends, step.tick)
        begun = step.tick - (layouts.ends[number - 1] if number else 0)
        name = task.sections[number].name
        where = f"beat {words.beat(begun)}" + (f" of {name}, section {number + 1}" if name else "")
        if step.number < 0:
            yield f"{where}: a break of {words.length(step.end - step.tick)}: {', '.join(next(left).lines)}"
            continue
        move = layouts.moves[step.number]
        passes[move.part] = passes.get(move.part, 0) + 1
        if step.cut:
            time = words.ordinal(passes[move.part])
            yield f"{where}: {move.text} is cut after {step.cut} {layouts.unit}, the {time} time that it is danced"
