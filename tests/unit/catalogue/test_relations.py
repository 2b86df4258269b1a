"""The graphs of a catalogue, and what networkx answers on them."""

from pathlib import Path

import networkx
import pytest

import stepcheck as sc
from stepcheck.breaks.states import SearchError
from stepcheck.catalogue import questions
from stepcheck.catalogue.relations import likeness_graph, medley_graph, rounds, shelf, touched, use_graph
from stepcheck.faces import cli
from stepcheck.model.source import WrongValue
from stepcheck.walk.tracks import tracks
from tests.corpus.expected import ROOT

ROUTINES = ROOT / "specs" / "routines"
HEAD = "book: clogging\nfigures:\n  Sluice, 2 beats: S(L) S(R)\n"


@pytest.fixture
def hall(tmp_path: Path) -> Path:
    """Two sheets that share a figure of the book, each with a figure of its own called alike."""
    inner = "part In:\n  Triple\n  Sluice\npart Out:\n  In\n  Basic x2 | Triple\ndance:\n  Out x3\n  Joey\n"
    (tmp_path / "a.routine").write_text(f"routine: A\n{HEAD}{inner}")
    (tmp_path / "b.routine").write_text(f"routine: B\n{HEAD}part In:\n  Sluice\n  Basic\ndance:\n  In\n")
    return tmp_path


def test_uses_lead_from_movements_to_routines(hall: Path) -> None:
    """A movement leads to figures, a figure to the parts that dance it, a part to that around it, and to the routine."""
    graph = use_graph(hall)
    a, b = f"{hall}/a.routine", f"{hall}/b.routine"

    assert {(f"{a}: In", f"{a}: Out"), (f"{a}: Out", a), ("Joey (clogging)", a)} <= set(graph.edges)
    assert [f"{b}: In"] == list(graph.successors(f"Sluice ({b})"))
    assert {"movement", "figure", "part", "routine"} == {kind for _, kind in graph.nodes(data="kind")}
    assert networkx.is_directed_acyclic_graph(graph)


def test_what_a_changed_figure_touches(hall: Path) -> None:
    """All that hangs on it, however far: a figure, both of one name, or every figure that a movement stands in."""
    graph = use_graph(hall)
    a, b = f"{hall}/a.routine", f"{hall}/b.routine"

    assert {"Triple (clogging)", f"{a}: In", f"{a}: Out", a} == set(touched(graph, "triple"))
    assert {f"Sluice ({a})", f"Sluice ({b})", f"{a}: In", f"{a}: Out", f"{b}: In", a, b} == set(
        touched(graph, "Sluice")
    )
    assert set(touched(graph, "Triple")) < set(touched(graph, "step"))
    with pytest.raises(SearchError, match="'Vine'"):
        touched(graph, "Vine")


def test_touched_sheets_are_those_that_dance_it() -> None:
    """On the demo catalogue the routines among what a figure touches are those in which `questions.uses` counts it."""
    every = shelf(ROUTINES)
    graph = use_graph(every)
    for use in questions.uses(every):
        if use.book:
            found = {node for node in touched(graph, use.figure) if graph.nodes[node]["kind"] == "routine"}
            assert {place.path for place in use.places} <= found


def test_medleys_on_the_demo_catalogue() -> None:
    """Along an edge that always holds the next dance begins where `walk.tracks`, another follower, sees the first end."""
    every = shelf(ROUTINES)
    graph = medley_graph(every)
    programs = {routine.path: program for routine, program in every.programs}
    compared = 0
    for before, after, always in graph.edges(data="always"):
        found = tracks(programs[before])
        last = max((way[1] for way in found.lines.values()), key=lambda stand: stand.tick)
        if always and not any("Forever" in type(item).__name__ for item in programs[before].dance):
            assert programs[after].facing == last.facing
            compared += 1
    assert compared > 20
    assert set(graph) == {routine.path for routine in every.routines}


def test_rounds_are_sets_in_which_all_lead_to_all() -> None:
    """From each routine of a round networkx finds a way to every other; no two rounds share one."""
    graph = medley_graph(ROUTINES)
    found = rounds(graph)

    assert found
    for some in found:
        assert all(networkx.has_path(graph, one, other) for one in some for other in some)
    assert len({one for some in found for one in some}) == sum(map(len, found))


def test_alike_is_an_equivalence(hall: Path) -> None:
    """What is danced alike is joined, parts with parts and routines with routines; what has a blank is no node."""
    (hall / "c.routine").write_text(
        (hall / "b.routine").read_text().replace("routine: B", "routine: C").replace("In", "Ebb")
    )
    (hall / "open.routine").write_text("book: clogging\npart P:\n  ? 4 beats\ndance:\n  P\n")
    graph = likeness_graph(hall)
    b, c = f"{hall}/b.routine", f"{hall}/c.routine"

    assert {frozenset({b, c}), frozenset({f"{b}: In", f"{c}: Ebb"})} == set(map(frozenset, graph.edges))
    assert not any("open.routine" in node for node in graph)


def test_the_graphs_stand_in_the_library(hall: Path) -> None:
    """Paths are taken as `check_catalogue` takes them; what is none is refused in words."""
    assert set(sc.use_graph(str(hall))) == set(sc.use_graph([hall / "a.routine", hall / "b.routine"]))
    with pytest.raises(WrongValue, match="not None"):
        sc.medley_graph(None)  # type: ignore[arg-type]


def test_the_readme_shows_what_the_command_draws(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The drawing beside the README is that of the command in it, byte for byte."""
    monkeypatch.chdir(ROUTINES)
    text = (ROOT / "README.md").read_text("utf-8")
    words = text.partition("`stepcheck catalogue graph ")[2].partition("`")[0].split()

    assert 0 == cli.main(["catalogue", "graph", *words])
    assert (ROOT / "specs" / "uses.svg").read_text("utf-8") == capsys.readouterr().out
    assert "](specs/uses.svg)" in text
