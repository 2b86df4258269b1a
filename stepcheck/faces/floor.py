"""The commands for the class: `call` and `practise`."""

import sys
from collections.abc import Iterator

import click

from stepcheck.catalogue.discovery import STDIN
from stepcheck.faces.options import FORCE, FORM, NUMBER, OUTPUT, SHEET, plain, written_json
from stepcheck.faces.streams import destination, remark, write
from stepcheck.floor.calls import calls
from stepcheck.floor.care import WHO, Care
from stepcheck.floor.practice import Practice
from stepcheck.floor.practice import practise as practised
from stepcheck.floor.stretches import Stretch
from stepcheck.formats.cautions import TITLE, cautions
from stepcheck.language import writer
from stepcheck.model.dance import EIGHTHS
from stepcheck.model.source import StepcheckError
from stepcheck.model.statuses import PROVED
from stepcheck.model.words import count, listed, number, visible
from stepcheck.model.words import turn as turning
from stepcheck.program.routine import Routine
from stepcheck.report import pipeline
from stepcheck.report.json import TOOL

CALLS, PRACTICE = "stepcheck-calls-1", "stepcheck-practice-1"


def routine_at(path: str) -> Routine:
    """Return the routine in a file, or - for stdin."""
    return pipeline.loads(sys.stdin.buffer.read(), path="<stdin>") if path == STDIN else pipeline.load(path)


@click.command("call", short_help="Write the calls of a sheet, in time with its music.")
@SHEET
@click.option(
    "--format",
    "form",
    type=click.Choice(["vtt", "midi", "json"]),
    default="vtt",
    show_default=True,
    help="Captions (WebVTT), a track of clicks with the calls as lyrics (MIDI), or JSON.",
)
@click.option(
    "--rounds", type=NUMBER, help="How often to dance what goes on until the music ends.  [default: home again]"
)
@OUTPUT
@FORCE
def call(path: str, form: str, rounds: int | None, output: str | None, force: bool) -> int:
    """Write when each figure is called: two beats ahead of it, at the sheet's tempo.

    The track begins with the beats of `wait:`, or with eight to count in. Of a variation the first way is called, and
    what is refuted is taken as put right.
    """
    if form == "midi" and output is None:
        raise StepcheckError("a MIDI file is no text: say where it goes, such as `-o calls.mid`")
    if output is not None:
        writer.permit(output, writer.inodes((writer.STDIN if path == STDIN else path,)), force=force)
    made = calls(routine_at(path), rounds=rounds)
    if made.put_right:
        lines = listed([str(line) for line in made.put_right])
        remark(f"{path}: called as if line{'s' * (len(made.put_right) > 1)} {lines} held; `check` says what is wrong")
    if output is not None and form == "midi":
        writer.write(output, made.midi, force=force)
    else:
        with destination(output, force=force) as put:
            put(made.webvtt if form == "vtt" else written_json(CALLS, tool=TOOL, path=path, **plain(made)))
    remark(f"{count(len(made.calls), 'call')} over {number(made.beats)} beats at {number(made.tempo)}")
    return PROVED


@click.command("practise", short_help="Say how to practise a sheet.")
@SHEET
@FORM
def practise(path: str, form: str) -> int:
    """Say what can be danced over and over without a step between, show each break with two bars before and after it,
    and the hardest joins, and give an order in which to teach figures and parts.
    """
    routine = routine_at(path)
    made = practised(routine)
    said = cautions(turns=True)
    if form == "json":
        write(written_json(PRACTICE, tool=TOOL, path=routine.path, **plain(made), cautions=[*said, WHO]))
    else:
        write("".join(f"{visible(line)}\n" for line in (*told(made), TITLE, *(f"  {one}" for one in (*said, WHO)))))
    return PROVED


def told(made: Practice) -> Iterator[str]:
    """Yield the lines that say how to practise."""
    if made.loops:
        yield "Over and over, without a step between:"
    for loop in made.loops:
        turn = f"{turning(int(loop.turn * EIGHTHS))}, " if loop.turn else ""
        home = f"{turn}home after {count(loop.home, 'time')}" if loop.home > 1 else f"{turn}back to its wall"
        yield f"  {', '.join(loop.names)}: {number(loop.beats)} {made.unit}, {home}"
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
    yield from taken_care(made.care)


def taken_care(found: tuple[Care, ...]) -> Iterator[str]:
    """Yield notes on care as lines."""
    if found:
        yield "Take care:"
    for one in found:
        yield f"  line {one.line}: {one.message} [{one.source}]"


def _steps(rows: tuple[Stretch, ...], marked: tuple[Stretch, ...]) -> Iterator[str]:
    widths = [max(len(getattr(row, name)) for row in rows) for name in ("count", "free", "facing")]
    for row in rows:
        cells = zip((row.count, row.free, row.facing), widths, strict=True)
        mark = "▸" if row in marked else " "
        yield f" {mark} {'  '.join(cell.ljust(width) for cell, width in cells)}  {row.words}"
