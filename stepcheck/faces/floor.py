"""The commands around the check: `call`, `practise`, `fit`, and `catalogue`, which asks about many sheets."""

from collections.abc import Iterator
from typing import Any

import click

from stepcheck.catalogue.discovery import NothingFound
from stepcheck.faces import options as shared
from stepcheck.faces.check import PATHS
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
from stepcheck.model.statuses import FAILED, PROVED
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


# -- many sheets -------------------------------------------------------------------------------------------------------

SCHEMA = "stepcheck-catalogue-1"
QUESTIONS = ("figures", "medleys", "twins", "level", "parts", "touched", "graph")
GRAPHS = ("graphml", "dot", "svg")


@click.command("catalogue", short_help="Ask about many sheets: figures, medleys, parts, graphs …")
@click.argument("question", type=click.Choice(QUESTIONS), metavar="QUESTION")
@PATHS
@click.option(
    "--level",
    metavar="LEVEL",
    type=shared.LEVEL,
    help="The level of the class, such as 'easy' or 'basic in convention'.",
)
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "json", *GRAPHS]),
    default="text",
    show_default=True,
    help="What to print; graphml, dot and svg print the graph that the question is asked of.",
)
@click.option(
    "--figure", metavar="NAME", type=shared.FIGURE, help="The figure or movement that is to change, for touched."
)
def ask(question: str, paths: tuple[str, ...], level: str | None, form: str, figure: str | None) -> int:
    """Ask about many sheets; each PATH is a sheet, a folder or a pattern, as for check. QUESTION is one of

    \b
    figures  which figures are danced, where, and how often
    medleys  which routines can follow which without a step between
    twins    which routines are one dance under two titles
    level    what a class of the level --level can dance
    parts    which parts recur
    touched  which parts and routines hang on the figure or movement --figure
    graph    movements, figures, parts and routines, with what uses what
    """
    _fit(question, level, figure, form)
    from stepcheck.catalogue import relations, settings

    usual = settings.read()
    shelf = relations.shelf(paths, exclude=usual.exclude)
    if not shelf.routines and not shelf.left_out:
        raise NothingFound(f"no sheet (*.routine) found in {', '.join(paths)}")
    for path, reason in shelf.left_out:
        shared.complain(f"{path}: {reason}")
    if not shelf.routines and form != "json":
        return FAILED
    if form in GRAPHS:
        shared.write(_drawn(question, form, shelf))
        return _status(shelf)
    value, said, more = _answered(question, shelf, level, figure)
    if form == "json":
        out = [{"path": path, "message": reason} for path, reason in shelf.left_out]
        shared.write(document(SCHEMA, question=question, answers=value, **more, errors=out))
    else:
        shared.write("".join(f"{line}\n" for line in said))
    return _status(shelf)


def _fit(question: str, level: str | None, figure: str | None, form: str) -> None:
    """Refuse a level, a figure or a form that does not go with the question."""
    if question == "level" and level is None:
        raise click.UsageError("say the level of the class, as in --level easy")
    if question != "level" and level is not None:
        raise click.UsageError(f"the answer to {question} hangs on no level; --level is for the question level")
    if question == "touched" and figure is None:
        raise click.UsageError("say the figure or movement that is to change, as in --figure Triple")
    if question != "touched" and figure is not None:
        raise click.UsageError(f"the answer to {question} hangs on no figure; --figure is for the question touched")
    if question == "graph" and form not in GRAPHS:
        raise click.UsageError("a graph is printed with --format graphml, dot or svg")
    if form in GRAPHS and question == "level":
        raise click.UsageError("the answer to level is no graph")


def _answered(question: str, shelf: Any, level: str | None, figure: str | None) -> tuple[Any, Iterator[str], Any]:
    """Return the answer to a question: as values, as lines, and what else belongs to it."""
    from stepcheck.catalogue import questions, relations

    if question == "medleys":
        medleys = relations.medley_graph(shelf)
        follows, rounds = questions.follows(medleys), relations.rounds(medleys)
        return follows, _medleys(follows, rounds), {"rounds": rounds}
    if question == "touched":
        uses = relations.use_graph(shelf)
        nodes = [(uses.nodes[node], node) for node in relations.touched(uses, figure or "")]
        kept = [{"kind": one["kind"], "name": one["label"], "node": node} for one, node in nodes]
        return kept, _touched(kept), {}
    ask, said = {
        "figures": (questions.uses, _figures),
        "twins": (questions.twins, _twins),
        "level": (lambda shelf: questions.danceable(shelf, level or ""), _level),
        "parts": (questions.recurring, _parts),
    }[question]
    found = ask(shelf)
    return found, said(found), {}


def _drawn(question: str, form: str, shelf: Any) -> str:
    """Return the graph that a question is asked of."""
    from stepcheck.catalogue import graph, relations

    graphs = {"medleys": relations.medley_graph, "twins": relations.likeness_graph, "parts": relations.likeness_graph}
    made = graphs.get(question, relations.use_graph)(shelf)
    return {"graphml": graph.graphml, "dot": graph.dot, "svg": graph.svg}[form](made)


def _status(shelf: Any) -> int:
    """Return 2 if nothing could be asked, or a sheet is not there, else 0."""
    return FAILED if not shelf.routines or any("no such file" in reason for _, reason in shelf.left_out) else 0


def _figures(found: Any) -> Iterator[str]:
    width = max((len(use.figure) for use in found), default=0)
    for use in found:
        home = use.book or "the sheet's own"
        yield (f"{use.figure:{width}}  {home}: {count(use.times, 'time')} in {count(len(use.places), 'sheet')}")
        for place in use.places:
            lines = f"line{'s' if len(place.lines) > 1 else ''} {', '.join(map(str, place.lines))}"
            yield f"{'':{width}}  {visible(place.path)}: {count(place.times, 'time')}, {lines}"


def _medleys(found: Any, rounds: Any) -> Iterator[str]:
    for one in found:
        perhaps = "" if one.always else "  (depending on how the first is danced)"
        yield f"{visible(one.before)} → {visible(one.after)}{perhaps}"
    for some in rounds:
        yield f"round and round, each leading to every other: {', '.join(map(visible, some))}"
    if not found:
        yield "no routine can follow another without a step between"


def _touched(kept: Any) -> Iterator[str]:
    for kind in ("figure", "part", "routine"):
        some = [one for one in kept if one["kind"] == kind]
        if some:
            yield f"{count(len(some), kind)}:"
        yield from (f"   {visible(one['node'])}" for one in some)


def _twins(found: Any) -> Iterator[str]:
    for one in found:
        yield "one dance:"
        for path, title in zip(one.paths, one.titles, strict=True):
            yield f"   {visible(path)}: {visible(title)}{' (mirrored)' if path in one.mirrored else ''}"
    if not found:
        yield "no two routines are the same dance"


def _level(found: Any) -> Iterator[str]:
    for fit in found:
        why = [fit.reason] if fit.reason else []
        why += [f"too hard: {', '.join(fit.hard)}"] if fit.hard else []
        why += [f"nobody says how hard: {', '.join(fit.unknown)}"] if fit.unknown else []
        yield f"{visible(fit.path)}: {'yes' if fit.fits else 'no'}{': ' if why else ''}{'; '.join(why)}"


def _parts(found: Any) -> Iterator[str]:
    for one in found:
        yield f"one part in {count(one.routines, 'sheet')}:"
        for path, part in one.places:
            yield (f"   {visible(path)}: {visible(part)}{' (mirrored)' if (path, part) in one.mirrored else ''}")
    if not found:
        yield "no part recurs"
