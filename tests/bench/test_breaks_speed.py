"""Breaks against a general search for short paths: rows that are just as good, far sooner."""

from itertools import islice, pairwise
from statistics import median
from time import perf_counter

import networkx
import pytest

from stepcheck.books import book as books
from stepcheck.breaks.breaks import find_breaks
from stepcheck.breaks.rows import Search
from stepcheck.breaks.states import repertoire
from stepcheck.model.dance import EIGHTHS, TICKS, Weight
from tests.bench import goals

BEATS, MOST = 32, 10


def unrolled(book: str) -> networkx.DiGraph:
    """Return the states at each beat, with a node between two of them for each thing that can be danced."""
    found = books.load(book)
    graph = networkx.DiGraph()
    all_ways = repertoire(found.figures(), first=found.lead)
    search = Search(all_ways)
    for weight, ways in all_ways.ways.items():
        for way in ways:
            for done in range(0, BEATS * TICKS - way.ticks + 1, TICKS):
                for facing in range(EIGHTHS):
                    before = (done, weight, facing)
                    after = (done + way.ticks, way.after, (facing + way.turn) % EIGHTHS)
                    graph.add_edge(before, (before, way.rank), cost=search.cost(way))
                    graph.add_edge((before, way.rank), after, cost=0)
    return graph


def timed(run: object, rounds: int) -> float:
    """Return the median of several runs in seconds."""
    times = []
    for _ in range(rounds):
        begun = perf_counter()
        run()  # type: ignore[operator]
        times.append(perf_counter() - begun)
    return median(times)


@pytest.mark.bench
@pytest.mark.parametrize("book", ["clogging", "line"])
def test_ten_breaks_of_32_beats(book: str) -> None:
    """Ten best breaks of 32 beats in at most 20 ms, and 50 times sooner than networkx's shortest simple paths."""
    graph = unrolled(book)
    start, end = (0, Weight.RIGHT, 0), (BEATS * TICKS, Weight.RIGHT, 0)

    def ours() -> list[tuple[int, int]]:
        found = find_breaks(book, beats=BEATS, start="left foot, front", limit=MOST)
        return [(len(row.figures), row.turning) for row in found.breaks]

    def theirs() -> list[tuple[int, int]]:
        paths = networkx.shortest_simple_paths(graph, start, end, weight="cost")
        costs = [sum(graph.edges[edge]["cost"] for edge in pairwise(path)) for path in islice(paths, MOST)]
        return [(cost >> 40, cost & (1 << 20) - 1) for cost in costs]

    assert theirs() == ours()
    one, other = timed(ours, 15), timed(theirs, 3)
    goals.BREAKS.show(1000 * one, book)
    goals.BREAKS_RIVAL.show(other / one, f"{1000 * other:.0f} ms")
