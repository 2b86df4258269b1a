"""How to practise a dance."""

from itertools import pairwise
from pathlib import Path

import pytest

import stepcheck as sc
from stepcheck.catalogue.graph import loops
from stepcheck.faces import cli
from stepcheck.language.stretches import every_line
from stepcheck.language.syntax import PartHead
from stepcheck.model.dance import key
from tests.corpus.expected import ROOT

SHEET = """\
routine: Lock Gates
book: clogging
figures:
  Weir Step, 4 beats: DS BR DS RS
part Verse: 32 beats
  4 times:
    Triple
    Push-off, turn 1/4 right
part Chorus: 28 beats
  Fancy Double x7
part Turn: 8 beats
  Basic x2
  Weir Step
dance:
  Verse
  Chorus
  Turn
  Verse
  Chorus
"""


def looped(text: str) -> list[tuple[str, ...]]:
    """Return what can be danced over and over."""
    return [one.names for one in sc.practise(sc.loads(text)).loops]


def test_what_comes_back_to_its_foot_goes_over_and_over() -> None:
    """Each part that ends on the foot with which it begins, and each row of parts that the dance comes round to; a part
    that ends on the other foot stands in none by itself, and none has a join that does not fit."""
    assert [("Verse",), ("Chorus",), ("Turn",), ("Verse", "Chorus", "Turn")] == looped(SHEET)
    assert [("Verse",), ("Turn",)] == looped(SHEET.replace("Fancy Double x7", "Triple x7"))


def test_a_loop_is_a_cycle_of_the_flow_graph() -> None:
    """Of every demo sheet, each place of a loop is followed by the next along an edge of the exported graph; only a part
    by itself need not be danced twice in a row there."""
    compared = 0
    for path in sorted((ROOT / "specs" / "routines").glob("*.routine")):
        routine = sc.load(path)
        graph = sc.flow_graph(routine)
        lines: dict[str | int, set[int]] = {}
        for head in routine.sheet.lines:
            if isinstance(head.node, PartHead):
                lines[key(head.node.name)] = {one.number for one in every_line((head,))}
        for node, data in graph.nodes(data=True):
            if data["kind"] == "part":
                lines.setdefault(key(data["label"]), set()).add(node)
        for cycle in loops(routine):
            for before, then in pairwise((*cycle, cycle[0])) if len(cycle) > 1 else ():
                sides = lines.get(before, {before}), lines.get(then, {then})
                assert any(graph.has_edge(one, other) for one in sides[0] for other in sides[1]), (path, before, then)
                compared += 1
    assert compared > 10


@pytest.mark.parametrize(("turn", "home"), [("1/8 left", 4), ("1/2 right", 1), ("1/4 left", 2), ("1 left", 1)])
def test_a_turn_comes_home(turn: str, home: int) -> None:
    """A part of two lines that each make the turn is home after as many times as the whole takes to come round."""
    text = f"routine: x\nbook: line\npart A:\n  Vine x2, turn {turn}\ndance:\n  A\n"

    assert [home] == [one.home for one in sc.practise(sc.loads(text)).loops]


def test_a_break_stands_between_two_bars() -> None:
    """The shorter part between two longer ones, whole figures of eight beats on either side."""
    (drill,) = sc.practise(sc.loads(SHEET)).drills

    assert ("Turn", 12) == (drill.name, drill.line)
    assert ["Fancy Double", "Fancy Double"] == [one.words for one in drill.before]
    assert ["Basic", "Basic", "Weir Step"] == [one.words for one in drill.steps]
    assert ["Triple", "Push-off, 1/4 turn right"] == [one.words for one in drill.after]


@pytest.mark.parametrize(
    ("body", "reason", "points"),
    [
        ("Triple x8; Triple, turn 1/2 left; Push-off, turn 1/4 right", "it turns one way and then the other", 4),
        ("Triple x2; Basic, turn 1 left; Triple", "a full turn left follows", 5),
        ("Basic; Buck Basic", "it has more sounds a beat than what comes before", 2),
    ],
)
def test_the_hardest_join_has_the_most_points(body: str, reason: str, points: int) -> None:
    """Points are those of the table, summed up; what is hard is said."""
    lines = "".join(f"  {line}\n" for line in body.split("; "))
    joins = sc.practise(sc.loads(f"routine: x\nbook: clogging\npart A:\n{lines}dance:\n  A\n")).joins

    assert points == joins[0].points and reason in joins[0].reasons
    assert sorted((one.points for one in joins), reverse=True) == [one.points for one in joins]


@pytest.mark.parametrize(("figure", "length"), [("Triple", 2), ("Basic", 2), ("Fancy Double", 3)])
def test_a_join_is_practised_over_and_over(figure: str, length: int) -> None:
    """Around it stands the shortest row of figures that comes back to its foot: one more where the two alone do not."""
    text = (
        "routine: x\nbook: clogging\npart A:\n  Basic\n  {}\n  Push-off, turn 1/2 left\n  Basic\n  Basic\ndance:\n  A\n"
    )
    join = sc.practise(sc.loads(text.format(figure))).joins[0]

    assert (figure, "Push-off, 1/2 turn left") == (join.first.words, join.then.words)
    assert length == len(join.loop) and join.first in join.loop and join.then in join.loop


def test_figures_are_taught_before_the_parts_that_use_them() -> None:
    """Parts come as the dance does, behind the figures that they bring; the sheet's own figure before the book's."""
    order = [one.name for one in sc.practise(sc.loads(SHEET)).order]

    assert ["Triple", "Push-off", "Verse", "Fancy Double", "Chorus", "Weir Step", "Basic", "Turn"] == order


def test_every_use_comes_after_what_it_uses() -> None:
    """On every demo sheet the order is a topological one of the graph of uses."""
    for path in sorted((ROOT / "specs" / "routines").glob("*.routine")):
        order = [one.name for one in sc.practise(sc.load(path)).order]
        graph = sc.use_graph(str(path))
        for used, user in graph.edges:
            names = graph.nodes[used]["label"], graph.nodes[user]["label"]
            if graph.nodes[used]["kind"] != "movement" and graph.nodes[user]["kind"] != "routine":
                assert order.index(names[0]) < order.index(names[1]), (path, names)


def test_the_command_says_it_with_the_cautions(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The text has each section, the notes on care and the cautions; JSON the same values."""
    sheet = tmp_path / "a.routine"
    sheet.write_text(SHEET.replace("book: clogging\n", "book: clogging\nlevel: basic, club scheme\n"))

    assert 0 == cli.main(["practise", str(sheet)])
    said = capsys.readouterr().out
    assert "Over and over, without a step between:\n  Verse: 32 beats, a full turn right, back to its wall\n" in said
    assert " ▸ 1   left   front  Basic\n" in said
    assert "Teach in this order:\n  Triple (basic in club)\n" in said
    assert "Fancy Double is easy in the scheme club, the sheet basic" in said and "physiotherapist" in said
    assert 0 == cli.main(["practise", str(sheet), "--format", "json"])
    assert '"schema": "stepcheck-practice-1"' in capsys.readouterr().out


def test_a_dance_of_a_million_figures_is_practised_at_once() -> None:
    """What is very long is looked through from its start."""
    found = sc.practise(sc.load(str(ROOT / "specs" / "routines" / "millpond_drill.routine")))

    assert ["Rocking Chair", "Basic", "Triple", "Drill"] == [one.name for one in found.order]
