"""The relations between the sheets of a catalogue as networkx graphs: uses, medleys, and likeness.

Other tools are given the same graphs that the questions about a catalogue are asked on.
"""

import os
from collections.abc import Iterable, Iterator
from contextlib import suppress
from typing import TYPE_CHECKING, Any, TypeAlias

from attrs import field, frozen

from stepcheck.breaks.states import SearchError
from stepcheck.catalogue import likeness
from stepcheck.catalogue.discovery import sheets
from stepcheck.catalogue.likeness import Danced
from stepcheck.model.dance import Body, Figure, Pass, Program, Step, Weight, key
from stepcheck.model.items import every, inside
from stepcheck.model.source import SourceError, require
from stepcheck.model.work import WorkSpent
from stepcheck.program.routine import Routine
from stepcheck.report import pipeline
from stepcheck.walk.arrivals import onward

if TYPE_CHECKING:
    import networkx


@frozen
class Shelf:
    """The well-formed routines of a catalogue, and the sheets left out, each with the reason."""

    routines: tuple[Routine, ...] = field(repr=False)
    left_out: tuple[tuple[str, str], ...] = ()

    @property
    def programs(self) -> Iterator[tuple[Routine, Program]]:
        """The routines, each with its program."""
        for routine in self.routines:
            assert routine.program is not None
            yield routine, routine.program


Sheets: TypeAlias = "Shelf | str | os.PathLike[str] | Iterable[str | os.PathLike[str]]"


def shelf(paths: Sheets, *, exclude: Iterable[str] = ()) -> Shelf:
    """Return the routines that `paths` mean, as for `check_catalogue`; those that are ill-formed are left out."""
    if isinstance(paths, Shelf):
        return paths
    require(paths, str | os.PathLike | Iterable, "paths of sheets and folders")
    paths = (paths,) if isinstance(paths, str | os.PathLike) else paths
    found = sheets([os.fspath(path) for path in paths], exclude=exclude)
    routines, left_out = [], list(found.missing)
    for path in found.sheets:
        try:
            routine = pipeline.load(path)
        except SourceError as error:
            left_out.append((path, str(error)))
            continue
        if routine.program is None:
            left_out.append((path, "it is ill-formed"))
        else:
            routines.append(routine)
    return Shelf(tuple(routines), tuple(left_out))


def use_graph(paths: Sheets) -> "networkx.DiGraph":
    """Return the graph of uses in a catalogue: from movements to the figures made of them, and on to the parts and
    routines that dance these.

    Nodes have a `kind` (movement, figure, part, routine) and a `label`; an edge leads to what uses something, from a
    figure with the `lines` on which it is danced.  What a change of a node touches are its descendants.

    Args:
        paths: sheets, folders and patterns, as for `check_catalogue`; sheets that are ill-formed are left out.
    """
    import networkx

    graph = networkx.DiGraph()
    for routine, program in shelf(paths).programs:
        graph.add_node(routine.path, kind="routine", label=routine.title or routine.path)
        _use(graph, routine, program.dance, routine.path)
    return graph


def _use(graph: Any, routine: Routine, body: Body, user: str) -> None:
    """Add the uses in a body; `user` is the part or routine around it."""
    for item in body:
        if isinstance(item, Step):
            name = _figure(graph, routine, item.figure)
            lines = set(graph.edges[name, user]["lines"].split()) if graph.has_edge(name, user) else set()
            graph.add_edge(name, user, lines=" ".join(sorted(lines | {str(item.line)}, key=int)))
        elif isinstance(item, Pass):
            part = f"{routine.path}: {item.part}"
            is_new = part not in graph
            graph.add_node(part, kind="part", label=item.part)
            graph.add_edge(part, user)
            if is_new:
                _use(graph, routine, item.body, part)
        else:
            for inner in inside(item):
                _use(graph, routine, inner, user)


def _figure(graph: Any, routine: Routine, figure: Figure) -> str:
    """Return the node of a figure, added with the movements that it is made of."""
    name = _node(routine, figure)
    if name not in graph:
        graph.add_node(name, kind="figure", label=likeness.plain_name(figure))
        for version in figure.versions:
            for action in version.actions:
                movement = f"{action.movement.name} (movement)"
                graph.add_node(movement, kind="movement", label=action.movement.name)
                graph.add_edge(movement, name)
    return name


def _node(routine: Routine, figure: Figure) -> str:
    return f"{likeness.plain_name(figure)} ({figure.book or routine.path})"


def teaching_order(routine: Routine) -> tuple[tuple[str, str], ...]:
    """Return the figures and parts of a routine in the order in which to teach them, each with its kind.

    It is a topological order of the graph of uses: the figures of a part before it, parts as the dance comes to them.
    Before each part stand the figures that it brings, the new ones first: the sheet's own, then those of the harder
    level.

    Args:
        routine: one that is well-formed.
    """
    import networkx

    graph = use_graph(Shelf((routine,)))
    order = {node: number for number, node in enumerate(graph)}
    steps = (item for _, program in Shelf((routine,)).programs for item in every(program.dance))
    figures = {_node(routine, item.figure): item.figure for item in steps if isinstance(item, Step)}

    def place(node: str) -> tuple[int, ...]:
        if graph.nodes[node]["kind"] != "figure":
            return (-1,) if graph.nodes[node]["kind"] == "movement" else (order[node], 1)
        users = [order[user] for user in graph.successors(node) if graph.nodes[user]["kind"] == "part"]
        figure = figures[node]
        return min(users, default=order[node]), 0, -hardness(routine, figure), order[node]

    nodes = networkx.lexicographical_topological_sort(graph, place)
    told = [(graph.nodes[node]["kind"], graph.nodes[node]["label"]) for node in nodes]
    return tuple(one for one in told if one[0] in ("figure", "part"))


def hardness(routine: Routine, figure: Figure) -> int:
    """Return how new a figure is to dancers who know the book: more for a harder level, most for a sheet's own."""
    book = routine.facts.book
    if not figure.book or book is None:
        return 1_000
    return max((book.rank(level) or 0 for level in figure.levels), default=0)


def touched(graph: "networkx.DiGraph", name: str) -> tuple[str, ...]:
    """Return a figure or movement and all that uses it, directly or not, as nodes of a graph of uses in its order.

    Raises:
        SearchError: nothing in the graph is called so.
    """
    import networkx

    known = (node for node, data in graph.nodes(data=True) if key(data["label"]) == key(name))
    named = [node for node in known if graph.nodes[node]["kind"] in ("figure", "movement")]
    if not named:
        raise SearchError(f"no figure or movement that is danced here is called {name!r}")
    found = set(named).union(*(networkx.descendants(graph, node) for node in named))
    return tuple(node for node in graph if node in found)


def medley_graph(paths: Sheets) -> "networkx.DiGraph":
    """Return routines with an edge from each to those that can follow it without a step between.

    The free foot and the wall at the end must be those at the start of the other; after both feet either foot may go
    first.  Paths are the nodes, titles their `label`; an edge says whether that is so however the first is danced, as
    `always`.

    Args:
        paths: as for `use_graph`.
    """
    import networkx

    graph = networkx.DiGraph()
    every = []
    for routine, program in shelf(paths).programs:
        graph.add_node(routine.path, label=routine.title or routine.path)
        with suppress(WorkSpent):  # nobody knows where a dance beyond the budget ends
            ends = frozenset(onward(program, program.dance))
            every.append((routine.path, Weight(program.lead.other), program.facing, ends))
    for before, _, _, ends in every:
        for after, lead, facing, _ in every:
            fits = [wall == facing and weight in (lead, Weight.BOTH) for weight, wall in ends]
            if any(fits):
                graph.add_edge(before, after, always=all(fits))
    return graph


def rounds(graph: "networkx.DiGraph") -> tuple[tuple[str, ...], ...]:
    """Return the sets of routines, in the order of the graph, in which each leads to every other and back."""
    import networkx

    found = [frozenset(some) for some in networkx.strongly_connected_components(graph) if len(some) > 1]
    order = list(graph)
    rows = (tuple(node for node in order if node in some) for some in found)
    return tuple(sorted(rows, key=lambda some: order.index(some[0])))


def likeness_graph(paths: Sheets) -> "networkx.Graph":
    """Return routines and their parts with an edge between those that are danced alike, whatever they are called.

    Nodes have a `kind` (routine, part), a `path`, a `label`; edges say whether one is the mirror image of the other, as
    `mirrored`.  Nothing with a blank in it is a node.

    Args:
        paths: as for `use_graph`.
    """
    import networkx

    graph = networkx.Graph()
    first: dict[object, tuple[str, Danced]] = {}

    def add(node: str, kind: str, path: str, label: str, made: Danced | None) -> None:
        if made is None or not made.steps:
            return
        graph.add_node(node, kind=kind, path=path, label=label)
        other, known = first.setdefault((kind, made.either), (node, made))
        if other != node:
            graph.add_edge(other, node, mirrored=made.steps != known.steps)

    for routine, program in shelf(paths).programs:
        add(routine.path, "routine", routine.path, routine.title, likeness.danced(program))
        for name, made in likeness.parts(program).items():
            add(f"{routine.path}: {name}", "part", routine.path, name, made)
    return graph


def alike(graph: "networkx.Graph", kind: str) -> tuple[tuple[tuple[str, str, bool], ...], ...]:
    """Return the sets of routines or parts that are danced alike, each as its path, its label, and whether it is the
    mirror image of the first."""
    import networkx

    found = []
    order = {node: number for number, node in enumerate(graph)}
    for some in networkx.connected_components(graph):
        nodes = sorted(some, key=order.__getitem__)
        if len(nodes) > 1 and graph.nodes[nodes[0]]["kind"] == kind:
            mirrored = [False, *(graph.edges[nodes[0], node]["mirrored"] for node in nodes[1:])]
            told = ((graph.nodes[n]["path"], graph.nodes[n]["label"], m) for n, m in zip(nodes, mirrored, strict=True))
            found.append(tuple(told))
    return tuple(found)
