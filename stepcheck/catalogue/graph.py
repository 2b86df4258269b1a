"""Graphs of networkx: the 24 states, the lines of a routine; and any graph as GraphML, DOT, or a drawing in SVG.

networkx is imported when one is made.
"""

from collections.abc import Hashable, Iterable, Iterator
from html import escape
from itertools import islice
from math import cos, pi, sin
from typing import TYPE_CHECKING, Any, TypeAlias

from stepcheck.books import book as books
from stepcheck.books import footwork
from stepcheck.books.book import Book
from stepcheck.breaks.states import Readings, State, lines, read, repertoire
from stepcheck.model import dance, words
from stepcheck.model.claims import Check
from stepcheck.model.dance import EIGHTHS, TICKS, Body, Foot, Pass, Weight, key
from stepcheck.model.items import every, inside
from stepcheck.model.source import ROUTINE, StepcheckError, require
from stepcheck.program.routine import Routine
from stepcheck.walk.tracks import tracks

if TYPE_CHECKING:
    import networkx

START, END = "start", "end"
ROW, LETTER, GAP, MARGIN = 26, 7.4, 90, 16  # in pixels: a row of a layer, a letter, between layers, around all
MOST_TOGETHER = 4  # parts and lines that are danced over and over together
MOST_CYCLES = 500  # that are looked at
SWEEPS = 8  # forth and back over the layers, each putting nodes near those that they hang on
_QUOTED = str.maketrans({'"': r"\"", "\\": r"\\", "\n": r"\n"})

Place: TypeAlias = str | int  # a part by its key, or a line of the dance itself
_Place: TypeAlias = tuple[float, float]
_STYLE = (
    "<style>text{font:13px Georgia,serif;fill:#22302f;paint-order:stroke;stroke:#fbf7ef;stroke-width:3px}"
    ".e{fill:none;stroke:#8c3a1f;stroke-opacity:.5}</style>\n"
)
_HEADS = (
    '<marker id="to" viewBox="0 0 8 8" refX="8" refY="4" markerWidth="7" markerHeight="7" orient="auto">'
    '<path d="M0 1 8 4 0 7z" fill="#8c3a1f"/></marker><style>.e{marker-end:url(#to)}</style>\n'
)
_KEPT = "left to left, right to right"


class IllFormed(StepcheckError, ValueError):
    """A routine that is not understood as written, where one is needed that can be danced."""


def state_graph(
    figures: Book | str | Iterable[dance.Figure],
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
    known = shelf.figures() if isinstance(shelf, Book) else shelf
    for weight, ways in repertoire(tuple(known), readings, first=first, any_lead=any_lead).ways.items():
        for way in ways:
            said = lines((way.placed,))[0]
            about = {"figure": way.placed.name, "line": said, "beats": way.ticks / TICKS, "turn": way.turn}
            for facing in range(EIGHTHS):
                after = State(way.after, (facing + way.turn) % EIGHTHS)
                graph.add_edge(str(State(weight, facing)), str(after), said, **about)
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
    often it is danced.  Edges back to an earlier line are those of repeats.  An edge has what the line that it leads to
    does: its `beats`, its `turn` in eighths from its own lead (None for one to be found), and `weight`, where the
    weight is before and after it (`left to right, right to left`; None behind a blank).

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
    graph.add_edges_from(((node, END) for node in ends), beats=0.0, turn=0, weight=_KEPT)
    return graph


def loops(routine: Routine) -> tuple[tuple[Place, ...], ...]:
    """Return the cycles of a routine's flow graph, each part taken as one node, in which every join fits without a step
    between: the free foot at an end is that at the next start, as the dance first comes there.

    A part that ends on the foot with which it begins may follow itself.  Places are parts, as their keys, and lines of
    the dance itself; a cycle begins where the dance comes first, and the cycles come in that order, the short ones
    first.

    Args:
        routine: as `load` returns it.

    Raises:
        IllFormed: nothing can be danced by it, as it is not understood.
    """
    import networkx

    graph = flow_graph(routine)
    assert routine.program is not None
    found, blocks = tracks(routine.program), dict[Place, set[Hashable]]()
    for item in _outer(routine.program.dance):
        place: Place = key(item.part) if isinstance(item, Pass) else item.line
        inner = every(item.body) if isinstance(item, Pass) else ()
        danced = (one.line for one in inner if isinstance(one, dance.Step | dance.Rest | dance.Gap | Pass))
        blocks.setdefault(place, set()).update((item.line, *danced))
    order = {place: number for number, place in enumerate(blocks)}
    of = {line: place for place, lines in blocks.items() for line in lines}
    ways = {place: found.parts[place] if isinstance(place, str) else found.lines[place] for place in blocks}
    after = networkx.DiGraph()
    after.add_nodes_from(blocks)
    joins = {(of[before], of[then]) for before, then in graph.edges if before in of and then in of}
    joins |= {(place, place) for place in blocks}
    for before, then in sorted(joins, key=lambda join: (order[join[0]], order[join[1]])):
        if before == then and not isinstance(before, str):
            continue
        end, start = ways[before][1].weight, ways[then][0].weight
        if end is not None and end in (start, Weight.BOTH):
            after.add_edge(before, then)
    cycles = []
    for cycle in islice(networkx.simple_cycles(after, MOST_TOGETHER), MOST_CYCLES):
        first = min(range(len(cycle)), key=lambda number: order[cycle[number]])
        cycles.append((*cycle[first:], *cycle[:first]))
    return tuple(sorted(cycles, key=lambda cycle: (len(cycle), [order[place] for place in cycle])))


def _outer(body: Body) -> Iterator[Pass | dance.Step | dance.Rest | dance.Gap]:
    """Yield the passes of a dance and what is danced between them."""
    for item in body:
        if isinstance(item, Pass | dance.Step | dance.Rest | dance.Gap):
            yield item
        else:
            for one in inside(item):
                yield from _outer(one)


def _change(item: dance.Step | dance.Rest | dance.Gap) -> dict[str, Any]:
    """Return what a line does to the dancer, as the attributes of an edge."""
    if isinstance(item, dance.Gap):
        return {"beats": item.ticks / TICKS, "turn": None, "weight": None}
    if isinstance(item, dance.Rest):
        return {"beats": item.ticks / TICKS, "turn": 0, "weight": _KEPT}
    figure = item.figure
    version = figure.versions[figure.usual]
    ends = [(weight, footwork.ends(figure, weight)[0].weight) for weight in (Weight.LEFT, Weight.RIGHT)]
    ways = [f"{on.name} to {end.name}".lower() for on, end in ends if not isinstance(end, footwork.Impossible)]
    turn = None if item.blank else version.turn if item.turn is None else item.turn
    return {"beats": version.length / TICKS, "turn": turn, "weight": ", ".join(ways)}


def _flow(graph: Any, body: Body, entries: dict[Any, None]) -> dict[Any, None]:
    """Add a body that may begin after any of `entries`; return the nodes that it may end with."""
    for item in body:
        entries = _item(graph, item, entries)
    return entries


def _item(graph: Any, item: Any, entries: dict[Any, None]) -> dict[Any, None]:
    match item:
        case dance.Step() | dance.Rest() | dance.Gap():
            still = "hold" if isinstance(item, dance.Rest) else "?"
            label = item.figure.name if isinstance(item, dance.Step) else still
            graph.add_node(item.line, label=label, kind=type(item).__name__.lower())
            graph.add_edges_from(((entry, item.line) for entry in entries), **_change(item))
            return {item.line: None}
        case Check() | dance.Together():
            return entries
        case dance.Choice():
            ends: dict[Any, None] = {}
            for option in item.options:
                ends.update(_flow(graph, option, entries))
            return ends
        case dance.Repeat() | dance.Forever():
            once = _flow(graph, item.body, entries)
            if isinstance(item, dance.Forever) or item.times != 1:
                _flow(graph, item.body, once)
            return {**entries, **once} if isinstance(item, dance.Forever) else once
        case dance.Last():
            last = _flow(graph, item.body, entries)
            graph.add_edges_from(((end, END) for end in last), beats=0.0, turn=0, weight=_KEPT)
            return entries
        case Pass():
            graph.add_node(item.line, label=item.part, kind="part")
            graph.add_edges_from(((entry, item.line) for entry in entries), beats=0.0, turn=0, weight=_KEPT)
            return _flow(graph, item.body, {item.line: None})
        case _:
            return _flow(graph, item.body, entries)


# -- as text ----------------------------------------------------------------------------------------------------------


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


def svg(graph: "networkx.Graph") -> str:
    """Return a drawing of a graph: in layers from left to right where it comes round nowhere, else in a ring.

    Nodes are drawn by their `label`; the same graph gives the same bytes.
    """
    import networkx

    names = {node: str(data.get("label", node)) for node, data in graph.nodes(data=True)}
    widths = {node: LETTER * len(name) for node, name in names.items()}
    widest = max(widths.values(), default=0.0)
    plain = networkx.DiGraph(graph)
    layered = networkx.is_directed_acyclic_graph(plain)
    places = _layers(plain, widths) if layered else _ring(list(plain), widest)
    edges = plain.edges if graph.is_directed() else graph.edges
    pieces = [_edge(places[one], places[other], widths[one] if layered else 0) for one, other in edges]
    for node, (x, y) in places.items():
        end = not layered and x < 0
        shift = 0 if layered else -6 if end else 6
        anchor = ' text-anchor="end"' if end else ""
        pieces.append(f'<text x="{x + shift:.1f}" y="{y + 4:.1f}"{anchor}>{escape(names[node])}</text>')
    xs, ys = ([place[axis] for place in places.values()] or [0.0] for axis in (0, 1))
    left, right = (0 if layered else min(xs) - widest), max(xs) + widest
    box = (left - MARGIN, min(ys) - ROW - MARGIN, right - left + 2 * MARGIN, max(ys) - min(ys) + 2 * (ROW + MARGIN))
    start, top, wide, high = (f"{one:.0f}" for one in box)
    heads = _HEADS if graph.is_directed() and not layered else ""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{start} {top} {wide} {high}" width="{wide}" height="{high}">'
        f'{_STYLE}{heads}<rect x="{start}" y="{top}" width="100%" height="100%" fill="#fbf7ef"/>\n'
        + "".join(f"{piece}\n" for piece in pieces)
        + "</svg>\n"
    )


def _layers(graph: "networkx.DiGraph", widths: dict[Hashable, float]) -> dict[Hashable, _Place]:
    """Return where the nodes of a graph without circles stand: behind all that lead to them, near these in height."""
    import networkx

    rows = [list(layer) for layer in networkx.topological_generations(graph)]
    height = {node: float(place) for layer in rows for place, node in enumerate(layer)}
    for sweep in range(SWEEPS):
        forth = sweep % 2 == 0
        for layer in rows if forth else reversed(rows):
            near = {node: list(graph.pred[node] if forth else graph.succ[node]) for node in layer}
            mean = {n: sum(height[m] for m in some) / len(some) if some else height[n] for n, some in near.items()}
            layer.sort(key=lambda node: (mean[node], str(node)))
            height.update({node: place - len(layer) / 2 for place, node in enumerate(layer)})
    places, x = {}, 0.0
    for layer in rows:
        places.update({node: (x, ROW * height[node]) for node in layer})
        x += max(widths[node] for node in layer) + GAP
    return places


def _ring(nodes: list[Hashable], widest: float) -> dict[Hashable, _Place]:
    """Return where nodes stand on a ring, clockwise from the top."""
    across = max(ROW * len(nodes) / pi, widest, ROW)
    angles = {node: 2 * pi * (number + 0.5) / len(nodes) for number, node in enumerate(nodes)}
    return {node: (round(across * sin(angle), 3), round(-across * cos(angle), 3)) for node, angle in angles.items()}


def _edge(before: _Place, after: _Place, width: float) -> str:
    """Return the curve from one node to another; from itself to itself a loop."""
    (x, y), (z, w) = (before[0] + width + (4 if width else 0), before[1]), (after[0] - (4 if width else 0), after[1])
    if before == after:
        return f'<path class="e" d="M{x:.1f} {y:.1f}c-18 -22 18 -22 0 0"/>'
    if not width:
        return f'<path class="e" d="M{x:.1f} {y:.1f}Q{(x + z) / 4:.1f} {(y + w) / 4:.1f} {z:.1f} {w:.1f}"/>'
    half = (z - x) / 2
    return f'<path class="e" d="M{x:.1f} {y:.1f}C{x + half:.1f} {y:.1f} {z - half:.1f} {w:.1f} {z:.1f} {w:.1f}"/>'
