"""Views for other tools: the 24 states with figures between them, and what follows what among the lines of a routine.

The graphs are networkx's; it is imported when one is made.
"""

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

from stepcheck.books import book as books
from stepcheck.books.book import Book
from stepcheck.breaks.repertoire import Readings, lines, repertoire
from stepcheck.breaks.states import State, read
from stepcheck.model import words
from stepcheck.model.dance import (
    EIGHTHS,
    TICKS,
    Body,
    Check,
    Choice,
    Figure,
    Foot,
    Forever,
    Gap,
    Last,
    Pass,
    Repeat,
    Rest,
    Step,
    Together,
)
from stepcheck.model.source import ROUTINE, StepcheckError, require
from stepcheck.program.routine import Routine

if TYPE_CHECKING:
    import networkx

START, END = "start", "end"
_QUOTED = str.maketrans({'"': r"\"", "\\": r"\\", "\n": r"\n"})


class IllFormed(StepcheckError, ValueError):
    """A routine that is not understood as written, where one is needed that can be danced."""


def state_graph(
    figures: Book | str | Iterable[Figure],
    readings: Readings = Readings(),
    *,
    first: Foot = Foot.LEFT,
    any_lead: bool = False,
) -> "networkx.MultiDiGraph":
    """Return the 24 states with an edge for each thing that can be danced.

    Nodes are states in words (`left foot, front`) with `weight` and `facing` (eighths); edges have the `figure`, the
    `line` of a sheet that says it, `beats` and the signed `turn` in eighths.

    Args:
        figures: a book or its name, or figures out of one.
        readings: which meanings hold where they are not the usual ones.
        first: the foot that goes first in this kind of dance.
        any_lead: whether figures that custom leads with one foot only are led with the other one as well.
    """
    import networkx

    require(figures, Book | str | Iterable, "a book, its name, or figures")
    shelf = books.load(figures) if isinstance(figures, str) else figures
    graph = networkx.MultiDiGraph()
    for state in State().each(first):
        assert state.weight is not None
        graph.add_node(str(state), weight=state.weight.name.lower(), facing=state.facing)
    for weight, ways in repertoire(
        shelf.figures() if isinstance(shelf, Book) else shelf, readings, first=first, any_lead=any_lead
    ).ways.items():
        for way in ways:
            said = lines((way.placed,))[0]
            for facing in range(EIGHTHS):
                before, after = State(weight, facing), State(way.after, (facing + way.turn) % EIGHTHS)
                graph.add_edge(
                    str(before),
                    str(after),
                    said,
                    figure=way.placed.name,
                    line=said,
                    beats=way.ticks / TICKS,
                    turn=way.turn,
                )
    return graph


def walls_within(graph: "networkx.MultiDiGraph", start: str | State, beats: int) -> dict[int, tuple[str, ...]]:
    """Return the walls that can be faced after each number of beats up to `beats`, clockwise from the front.

    Args:
        graph: a graph of states.
        start: the state to begin with, such as `left foot, front`; what it leaves open may be anything.
        beats: how many beats.

    Raises:
        SearchError: `start` is no state.
    """
    begun = read(start)
    reached: list[dict[str, None]] = [{} for _ in range(beats + 1)]
    reached[0] = {str(state): None for state in begun.each()}
    for done in range(beats):
        for node in reached[done]:
            for _, after, length in graph.out_edges(node, data="beats"):
                if length == int(length) and done + length <= beats:
                    reached[done + int(length)][after] = None
    return {
        done: tuple(words.facing(wall) for wall in sorted({graph.nodes[node]["facing"] for node in nodes}))
        for done, nodes in enumerate(reached)
    }


def flow_graph(routine: Routine) -> "networkx.DiGraph":
    """Return the lines of a routine with an edge from each to those that may follow it.

    Nodes are line numbers with a `label` and a `kind`, and `start` and `end`; lines of a part are one node however
    often it is danced.  Edges back to an earlier line are those of repeats.

    Args:
        routine: as `load` returns it.

    Raises:
        IllFormed: nothing can be danced by it, as it is not understood.
    """
    import networkx

    require(routine, Routine, ROUTINE)
    if routine.program is None:
        raise IllFormed(f"{routine.path} is ill-formed, so nothing follows anything in it; `check` says what is wrong")

    graph = networkx.DiGraph()
    graph.add_node(START, label=START, kind=START)
    graph.add_node(END, label=END, kind=END)
    ends = _flow(graph, routine.program.dance, {START: None})
    for node in ends:
        graph.add_edge(node, END)
    return graph


def _flow(graph: Any, body: Body, entries: dict[Any, None]) -> dict[Any, None]:
    """Add a body that may begin after any of `entries`; return the nodes that it may end with."""
    for item in body:
        entries = _item(graph, item, entries)
    return entries


def _item(graph: Any, item: Any, entries: dict[Any, None]) -> dict[Any, None]:  # noqa: C901 - a case for each kind
    match item:
        case Step() | Rest() | Gap():
            label = item.figure.name if isinstance(item, Step) else "hold" if isinstance(item, Rest) else "?"
            graph.add_node(item.line, label=label, kind=type(item).__name__.lower())
            for entry in entries:
                graph.add_edge(entry, item.line)
            return {item.line: None}
        case Check() | Together():
            return entries
        case Choice():
            ends: dict[Any, None] = {}
            for option in item.options:
                ends.update(_flow(graph, option, entries))
            return ends
        case Repeat() | Forever():
            once = _flow(graph, item.body, entries)
            if isinstance(item, Forever) or item.times != 1:
                _flow(graph, item.body, once)
            return {**entries, **once} if isinstance(item, Forever) else once
        case Last():
            for end in _flow(graph, item.body, entries):
                graph.add_edge(end, END)
            return entries
        case Pass():
            graph.add_node(item.line, label=item.part, kind="part")
            for entry in entries:
                graph.add_edge(entry, item.line)
            return _flow(graph, item.body, {item.line: None})
        case _:
            return _flow(graph, item.body, entries)


def medley_graph(titles: Mapping[str, str], follows: Iterable[tuple[str, str, bool]]) -> "networkx.DiGraph":
    """Return routines with an edge from each to those that can follow it without a step between.

    Args:
        titles: of the routines, by path; the paths are the nodes, the titles their `label`.
        follows: pairs of paths, each with whether that is so however the first is danced, the edge's `always`.
    """
    import networkx

    graph = networkx.DiGraph()
    for path, title in titles.items():
        graph.add_node(path, label=title or path)
    graph.add_edges_from((before, after, {"always": always}) for before, after, always in follows)
    return graph


def graphml(graph: "networkx.Graph") -> str:
    """Return a graph as GraphML."""
    import networkx

    return "\n".join(networkx.generate_graphml(graph)) + "\n"


def dot(graph: "networkx.Graph") -> str:
    """Return a directed graph in the DOT language, nodes and edges in their order."""
    out = ["digraph {"]
    for node, data in graph.nodes(data=True):
        out.append(f"  {_quoted(node)} [label={_quoted(data.get('label', node))}];")
    for before, after, data in graph.edges(data=True):
        label = f" [label={_quoted(data['line'])}]" if "line" in data else ""
        out.append(f"  {_quoted(before)} -> {_quoted(after)}{label};")
    return "\n".join((*out, "}", ""))


def _quoted(said: object) -> str:
    return f'"{str(said).translate(_QUOTED)}"'
