"""Reachability and shortest rows against networkx: another library's search over the same graph agrees."""

import networkx
import pytest

from stepcheck.books import book as books
from stepcheck.breaks.breaks import find_breaks
from stepcheck.breaks.states import State
from stepcheck.catalogue.graph import state_graph
from stepcheck.model.dance import Weight

BEATS = 6


def unrolled(name: str) -> networkx.DiGraph:
    """Return the states at each beat, an edge for each figure; made from the published view of the book."""
    book = books.load(name)
    graph, flat = state_graph(book.figures(), first=book.lead), networkx.DiGraph()
    for before, after, beats in graph.edges(data="beats"):
        for done in range(BEATS - int(beats) + 1):
            flat.add_edge((done, before), (done + int(beats), after))
    return flat


@pytest.mark.parametrize("name", ["clogging", "line"])
def test_networkx_agrees_on_what_can_be_reached_and_with_how_few_figures(name: str) -> None:
    """A row is found exactly where networkx finds a path of that length, and has as few figures as its shortest one."""
    flat = unrolled(name)
    for weight in Weight:
        start = State(weight, 0)
        away = networkx.single_source_shortest_path_length(flat, (0, str(start)))
        for (beats, end), count in away.items():
            if beats:
                found = find_breaks(name, beats=beats, start=start, end=end, limit=1).breaks
                assert count == len(found[0].figures)


@pytest.mark.parametrize("name", ["clogging", "line"])
def test_where_networkx_finds_no_path_there_is_no_row(name: str) -> None:
    """What networkx can't reach in so many beats is answered with a reason."""
    flat = unrolled(name)
    start = (0, "left foot, front")
    away = networkx.descendants(flat, start)
    missing = [(beats, end) for beats in (1, 2, 3) for end in map(str, State().each()) if (beats, end) not in away]
    for beats, end in missing[:20]:
        found = find_breaks(name, beats=beats, start="left foot, front", end=end)
        assert ((), True) == (found.breaks, bool(found.reason))
