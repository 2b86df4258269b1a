"""The commands for the floor: `call`, `practise`, and `fit`, which lays a dance out over another song."""

from collections.abc import Iterator

import click

from stepcheck.faces import options as shared
from stepcheck.floor.calls import calls
from stepcheck.floor.care import WHO, Care
from stepcheck.floor.practice import Practice
from stepcheck.floor.practice import practise as practised
from stepcheck.floor.stretches import Stretch
from stepcheck.formats.answers import TITLE, cautions
from stepcheck.formats.json import TOOL, document, plain
from stepcheck.language import files
from stepcheck.model.dance import EIGHTHS
from stepcheck.model.source import SearchError, StepcheckError
from stepcheck.model.statuses import PROVED
from stepcheck.model.words import count, listed, number, visible
from stepcheck.model.words import turn as turning
from stepcheck.program.routine import Routine

CALLS, PRACTICE = "stepcheck-calls-1", "stepcheck-practice-1"


GROUP = click.option(
    "--group", metavar="NAME", help="Whose steps, where the floor is split.  [default: the first group's]"
)


def _whose(routine: Routine, group: str | None) -> None:
    """Say whose steps follow, where nobody has."""
    if routine.facts.groups and group is None:
        shared.remark(
            f"{routine.path}: these are the steps of {routine.facts.groups[0]}; `--group` names another group"
        )


@click.command("call", short_help="Write the calls of a sheet, in time with its music.")
@shared.SHEET
@click.option(
    "--format",
    "form",
    type=click.Choice(["vtt", "midi", "json"]),
    default="vtt",
    show_default=True,
    help="Captions (WebVTT), a track of clicks with the calls as lyrics (MIDI), or JSON.",
)
@click.option(
    "--rounds", type=shared.NUMBER, help="How often to dance what goes on until the music ends.  [default: home again]"
)
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
        lines = listed([str(line) for line in made.put_right])
        shared.remark(
            f"{path}: called as if line{'s' * (len(made.put_right) > 1)} {lines} held; `check` says what is wrong"
        )
    if output is not None and form == "midi":
        files.write(output, made.midi, force=force)
    else:
        with shared.destination(output, force=force) as put:
            put(made.webvtt if form == "vtt" else document(CALLS, tool=TOOL, path=path, **plain(made)))
    shared.remark(f"{count(len(made.calls), 'call')} over {number(made.beats)} beats at {number(made.tempo)}")
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
        shared.write(document(PRACTICE, tool=TOOL, path=routine.path, **plain(made), cautions=[*said, WHO]))
    else:
        shared.write(
            "".join(f"{visible(line)}\n" for line in (*told(made), TITLE, *(f"  {one}" for one in (*said, WHO))))
        )
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


@click.command("fit", short_help="Lay a dance out over another song, or cut it to a length.")
@shared.SHEET
@click.option("--music", metavar="SONG", help="A file (ABC, MusicXML, MIDI), or sections: `verse 32, chorus 32`.")
@click.option("--beats", type=shared.NUMBER, help="Cut the dance to so many beats.")
@click.option("--length", metavar="TIME", help="Cut it to a track that lasts so long, such as 120s or 2:00.")
@click.option("--level", metavar="LEVEL", type=shared.LEVEL, help="The hardest level of figures in breaks.")
@click.option("--apply", is_flag=True, help="Write it into the file.")
@shared.SMT2
@shared.FORCE
@shared.IN_PLACE
@shared.FORM
def fit(
    path: str,
    music: str | None,
    beats: int | None,
    length: str | None,
    level: str | None,
    apply: bool,
    smt2: str | None,
    force: bool,
    in_place: bool,
    form: str,
) -> int:
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
    found = fitted(routine, music=music, beats=beats, length=length, level=level)
    if apply and found.reason:
        raise SearchError(f"nothing is written: {found.reason}")
    shared.tell(found, path, form)
    shared.put_script(script, found.script, force)
    if apply and found.diff:
        shared.put_answer(path, routine, found.text, "the dance is laid out anew", in_place)
    return 1 if found.reason else 0
