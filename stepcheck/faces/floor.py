"""The commands for the class: `call`."""

import sys
from fractions import Fraction
from typing import Any

import click
from attrs import asdict

from stepcheck.catalogue.discovery import STDIN
from stepcheck.faces.options import FORCE, NUMBER, OUTPUT, SHEET, written_json
from stepcheck.faces.streams import destination, remark
from stepcheck.floor.calls import calls
from stepcheck.language import writer
from stepcheck.model.source import StepcheckError
from stepcheck.model.statuses import PROVED
from stepcheck.model.words import count, listed, number
from stepcheck.program.routine import Routine
from stepcheck.report import pipeline
from stepcheck.report.json import TOOL

CALLS = "stepcheck-calls-1"


def routine_at(path: str) -> Routine:
    """Return the routine in a file, or - for stdin."""
    return pipeline.loads(sys.stdin.buffer.read(), path="<stdin>") if path == STDIN else pipeline.load(path)


def plain(value: Any) -> Any:
    """Return a value as JSON has it: fractions as numbers, without what is for programs only."""
    return asdict(
        value,
        filter=lambda field, _: field.repr is True,
        value_serializer=lambda _, __, inner: float(inner) if isinstance(inner, Fraction) else inner,
    )


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
