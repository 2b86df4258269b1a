"""Graphs for other tools: the 24 states, the lines of a routine, GraphML and DOT."""

import xml.etree.ElementTree as xml

import pytest

from stepcheck import loads
from stepcheck.books import book as books
from stepcheck.catalogue.graph import IllFormed, dot, flow_graph, graphml, state_graph, svg, walls_within
from stepcheck.model.source import WrongValue

FIGURES = books.load("clogging").figures()


def test_there_are_24_states() -> None:
    """Every weight with every wall is a node, whether a figure leads there or not."""
    graph = state_graph(FIGURES)
    assert 24 == len(graph)
    assert ("right", 0) == (graph.nodes["left foot, front"]["weight"], graph.nodes["left foot, front"]["facing"])


def test_an_edge_says_what_is_danced() -> None:
    """Each edge has the figure, its line, its beats and its turn, and leads where the turn leads."""
    graph = state_graph(FIGURES)
    edge = graph.edges["left foot, front", "right foot, back", "Push-off, turn 1/2 left"]
    assert {"figure": "Push-off", "line": "Push-off, turn 1/2 left", "beats": 4.0, "turn": -4} == edge


def test_which_walls_in_four_beats() -> None:
    """The walls that can be faced after each beat are those that the usual turns lead to."""
    walls = walls_within(state_graph(FIGURES), "left foot, front", 4)
    assert ("front",) == walls[1]
    assert ("front", "right wall", "back", "left wall") == walls[4]


def test_the_lines_of_a_routine_follow_one_another() -> None:
    """Each line leads to the next, a repeat to its own start, a variation to both of its ways."""
    text = "book: clogging\npart A:\n  Triple\n  2 times:\n    Basic\n  Vine | Triple\ndance:\n  A\n  Stomp\n"
    graph = flow_graph(loads(text))
    assert {("start", 8), (8, 3), (3, 5), (5, 5), (5, 6), (6, 9), (9, "end")} == set(graph.edges)


def test_edges_between_lines_hold_what_is_danced() -> None:
    """Weight, turn and beats of the line that an edge leads to stand on the edge; what a blank leaves open is None."""
    text = "book: clogging\npart A:\n  Triple\n  Push-off, turn 1/4 left\n  ? 4 beats\n  hold 2 beats\ndance:\n  A\n"
    graph = flow_graph(loads(text))
    swaps, kept = "left to right, right to left", "left to left, right to right"

    assert {"beats": 4.0, "turn": 0, "weight": swaps} == graph.edges[8, 3]
    assert {"beats": 4.0, "turn": -2, "weight": swaps} == graph.edges[3, 4]
    assert {"beats": 4.0, "turn": None, "weight": None} == graph.edges[4, 5]
    assert [{"beats": beats, "turn": 0, "weight": kept} for beats in (2.0, 0.0, 0.0)] == [
        graph.edges[edge] for edge in ((5, 6), (6, "end"), ("start", 8))
    ]


def test_a_dance_may_end_after_any_lap() -> None:
    """What goes on until the music ends leads back to its start and to the end."""
    graph = flow_graph(loads("book: line\npart A:\n  Vine\ndance:\n  A until the music ends\n"))
    assert {(3, 5), (3, "end"), ("start", "end")} <= set(graph.edges)


def test_graphs_take_what_the_face_gives() -> None:
    """A book or its name has states; a routine that cannot be danced, and what is none, are refused in words."""
    book = books.load("clogging")
    edges = set(state_graph(FIGURES).edges)
    assert edges == set(state_graph(book).edges) == set(state_graph("clogging").edges)
    with pytest.raises(IllFormed, match="<text> is ill-formed, so nothing follows anything in it"):
        flow_graph(loads("part A:\n  Tripel\n"))
    for call in (lambda: flow_graph(None), lambda: flow_graph(loads("").program), lambda: state_graph(None)):
        with pytest.raises(WrongValue, match=r"this takes .* not None"):
            call()


def test_graphml_can_be_read() -> None:
    """The GraphML is well-formed, with a node for each state."""
    root = xml.fromstring(graphml(state_graph(FIGURES)))
    space = {"g": "http://graphml.graphdrawing.org/xmlns"}
    assert 24 == len(root.findall(".//g:node", space))


def test_dot_quotes_its_names() -> None:
    """Every name in the DOT text is quoted, and what would end a name is escaped."""
    import networkx

    graph = networkx.DiGraph()
    graph.add_edge('a"b', "c\\d")
    assert 'digraph {\n  "a\\"b" [label="a\\"b"];\n  "c\\\\d" [label="c\\\\d"];\n  "a\\"b" -> "c\\\\d";\n}\n' == dot(
        graph
    )


@pytest.mark.parametrize("edges", [[("a", "b"), ("b", "c"), ("a", "c")], [("a", "b"), ("b", "a"), ("c", "c")], []])
def test_a_drawing_needs_no_other_program(edges: list[tuple[str, str]]) -> None:
    """In layers or in a ring every node stands once, as its label, none on another; equal graphs give equal bytes."""
    import networkx

    def made() -> str:
        graph = networkx.DiGraph()
        graph.add_nodes_from((name, {"label": f"<{name}>"}) for name in "abc")
        graph.add_edges_from(edges)
        return svg(graph)

    root = xml.fromstring(made())
    texts = list(root.iter("{http://www.w3.org/2000/svg}text"))
    assert ["<a>", "<b>", "<c>"] == sorted(one.text or "" for one in texts)
    assert 3 == len({(one.get("x"), one.get("y")) for one in texts})
    assert len(edges) == sum(one.get("class") == "e" for one in root.iter("{http://www.w3.org/2000/svg}path"))
    assert made() == made()


def test_layers_lead_from_left_to_right() -> None:
    """Where nothing comes round, every edge of a drawing leads to the right."""
    import networkx

    graph = networkx.DiGraph([("step", "Triple"), ("Triple", "A"), ("Basic", "A"), ("step", "Basic"), ("A", "Reel")])
    places = {
        one.text: float(one.get("x", "nan"))
        for one in xml.fromstring(svg(graph)).iter("{http://www.w3.org/2000/svg}text")
    }
    assert all(places[before] < places[after] for before, after in graph.edges)
