"""The command `catalogue`: questions about many sheets, as text, as JSON, and the graphs that they are asked of."""

from collections.abc import Iterator
from typing import Any

import click

from stepcheck.catalogue.discovery import NothingFound
from stepcheck.faces import options as shared
from stepcheck.faces.check import PATHS
from stepcheck.formats.json import document, rows
from stepcheck.model.statuses import FAILED
from stepcheck.model.words import count

SCHEMA = "stepcheck-catalogue-1"
QUESTIONS = ("figures", "medleys", "twins", "level", "parts", "touched", "graph")
GRAPHS = ("graphml", "dot", "svg")


@click.command("catalogue", short_help="Ask about many sheets: figures, medleys, parts, graphs …")
@click.argument("question", type=click.Choice(QUESTIONS), metavar="QUESTION")
@PATHS
@shared.option(
    "--level", "LEVEL", "The level of the class, such as 'easy' or 'basic in convention'.", words=shared.LEVEL
)
@shared.among(
    "--format form",
    ("text", "json", *GRAPHS),
    "What to print; graphml, dot and svg print the graph that the question is asked of.",
    "text",
)
@shared.option("--figure", "NAME", "The figure or movement that is to change, for touched.", words=shared.FIGURE)
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
        shared.say(said)
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
        edges, rounds = list(medleys.edges(data="always")), relations.rounds(medleys)
        return rows(edges, "before", "after", "always"), _medleys(edges, rounds), {"rounds": rounds}
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
        yield f"{use.figure:{width}}  {home}: {count(use.times, 'time')} in {count(len(use.places), 'sheet')}"
        for place in use.places:
            lines = f"line{'s' if len(place.lines) > 1 else ''} {', '.join(map(str, place.lines))}"
            yield f"{'':{width}}  {place.path}: {count(place.times, 'time')}, {lines}"


def _medleys(found: Any, rounds: Any) -> Iterator[str]:
    for before, after, always in found:
        yield f"{before} → {after}" + ("" if always else "  (depending on how the first is danced)")
    for some in rounds:
        yield f"round and round, each leading to every other: {', '.join(some)}"
    if not found:
        yield "no routine can follow another without a step between"


def _touched(kept: Any) -> Iterator[str]:
    for kind in ("figure", "part", "routine"):
        some = [one for one in kept if one["kind"] == kind]
        if some:
            yield f"{count(len(some), kind)}:"
        yield from (f"   {one['node']}" for one in some)


def _twins(found: Any) -> Iterator[str]:
    for one in found:
        yield "one dance:"
        for path, title in zip(one.paths, one.titles, strict=True):
            yield f"   {path}: {title}{' (mirrored)' if path in one.mirrored else ''}"
    if not found:
        yield "no two routines are the same dance"


def _level(found: Any) -> Iterator[str]:
    for fit in found:
        why = [fit.reason] if fit.reason else []
        why += [f"too hard: {', '.join(fit.hard)}"] if fit.hard else []
        why += [f"nobody says how hard: {', '.join(fit.unknown)}"] if fit.unknown else []
        yield f"{fit.path}: {'yes' if fit.fits else 'no'}{': ' if why else ''}{'; '.join(why)}"


def _parts(found: Any) -> Iterator[str]:
    for one in found:
        yield f"one part in {count(one.routines, 'sheet')}:"
        for path, part in one.places:
            yield f"   {path}: {part}{' (mirrored)' if (path, part) in one.mirrored else ''}"
    if not found:
        yield "no part recurs"
