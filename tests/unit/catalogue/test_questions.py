"""Questions about a catalogue."""

import json
from pathlib import Path
from xml.etree import ElementTree

import pytest

from stepcheck.breaks.states import SearchError
from stepcheck.catalogue import questions
from stepcheck.catalogue.questions import Fit, Place, Recurrence, Twins, Use
from stepcheck.catalogue.relations import Shelf, medley_graph
from stepcheck.catalogue.relations import shelf as shelf_of
from stepcheck.faces import cli
from tests.halls import ILL

HEAD = "routine: {title}\nbook: {book}\nlead: {lead}\nfacing: {facing}\n"
FIGURES = "figures:\n  Mill Wheel, 4 beats: DS DS RS RS\n  Sluice, 2 beats: S(L) S(R)\n"


def sheet(title: str, body: str, book: str = "clogging", lead: str = "left", facing: str = "front") -> str:
    """Return a sheet with this title and body."""
    return HEAD.format(title=title, book=book, lead=lead, facing=facing) + body


@pytest.fixture
def hall(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty current folder."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


def write(**sheets: str) -> Shelf:
    """Write sheets and return the shelf of them."""
    for name, text in sheets.items():
        Path(f"{name}.routine").write_text(text)
    return shelf_of([f"{name}.routine" for name in sheets])


def test_figures_are_counted_as_they_are_danced(hall: Path) -> None:
    """Repeats, parts danced twice and both sides of a variation count; a million costs no more than one."""
    part = "part P:\n  2 times:\n    Triple\n    Basic x3 | Joey\ndance:\n  P x1000000\n  Triple\n"
    found = questions.uses(write(a=sheet("A", part), b=sheet("B", FIGURES + "dance:\n  Triple\n  Mill Wheel\n")))

    assert (
        Use("Triple", "clogging", (Place("a.routine", 2_000_001, (7, 11)), Place("b.routine", 1, (9,)))),
        Use("Basic", "clogging", (Place("a.routine", 6_000_000, (8,)),)),
        Use("Joey", "clogging", (Place("a.routine", 2_000_000, (8,)),)),
        Use("Mill Wheel", "", (Place("b.routine", 1, (10,)),)),
    ) == found
    assert [2_000_002, 6_000_000, 2_000_000, 1] == [use.times for use in found]


def test_a_routine_follows_where_foot_and_wall_meet(hall: Path) -> None:
    """The free foot and the wall at the end are those at the start of the next; both feet let either foot go first."""
    shelf = write(
        stay=sheet("Stay", "dance:\n  Triple x2\n"),
        turn=sheet("Turn", "dance:\n  Triple\n  Push-off, turn 1/2 left\n"),
        back=sheet("Back", "dance:\n  Triple\n  Push-off, turn 1/2 left\n", facing="back"),
        right=sheet("Right", "dance:\n  Triple x2\n", lead="right"),
        end=sheet("End", "dance:\n  Heel Splits\n", book="line", lead="left"),
    )
    pairs = {
        (before.removesuffix(".routine"), after.removesuffix(".routine")) for before, after in medley_graph(shelf).edges
    }

    fronts = {"stay", "end", "turn"}
    there = (
        {("stay", one) for one in fronts} | {("back", one) for one in fronts} | {("turn", "back"), ("right", "right")}
    )
    assert there | {("end", one) for one in {*fronts, "right"}} == pairs


def test_what_hangs_on_the_dancer_is_not_always_so(hall: Path) -> None:
    """A variation that ends on either wall lets another follow, but not always."""
    shelf = write(
        a=sheet("A", "dance:\n  Triple\n  Push-off, turn 1/2 left | Push-off\n"), b=sheet("B", "dance:\n  Triple\n")
    )

    assert {("a.routine", "a.routine", False), ("a.routine", "b.routine", False)} == {
        *medley_graph(shelf).edges(data="always")
    }


ONE = "part P: 8 beats, left foot to left foot\n  Triple\n  Push-off, turn 1/4 left\n\ndance:\n  P x2\n  hold 2 beats\n  Vine\n"
SAME = "dance:\n  2 times:\n    Triple\n    Push-off, turn 1/4 left\n  hold 1 beat\n  hold 1 beat\n  Vine, 4 beats\n"


def test_one_dance_under_two_titles_is_found(hall: Path) -> None:
    """Names, parts, blocks, claims and the wall at the start make no difference; a step, a turn or a side does."""
    shelf = write(
        one=sheet("One", ONE),
        same=sheet("Same", SAME, facing="back"),
        theirs=sheet("Mirror", SAME.replace("left", "right"), lead="right"),
        side=sheet("Side", SAME.replace("left", "right")),
        more=sheet("More", SAME + "  Vine\n"),
        less=sheet("Less", SAME.replace("2 times", "3 times")),
    )
    paths = ("one.routine", "same.routine", "theirs.routine")

    assert (Twins(paths, ("One", "Same", "Mirror"), ("theirs.routine",)),) == questions.twins(shelf)


def test_a_figure_of_a_sheet_is_its_movements(hall: Path) -> None:
    """Two names for one row of movements are one figure, from whichever foot it is written; a book's figure is
    itself."""
    body = "figures:\n  {}, 4 beats{}\ndance:\n  {}\n"
    rows = {"a": ("Trio", ": S(L) S S DS"), "b": ("Tree", ", right foot: S(R) S S DS"), "c": ("Trio", ": S(L) S DS S")}
    own = {name: sheet(name, body.format(figure, rest, figure)) for name, (figure, rest) in rows.items()}
    book = {"d": sheet("D", "dance:\n  Triple\n"), "e": sheet("E", "dance:\n  Vine\n")}

    assert [("a.routine", "b.routine")] == [one.paths for one in questions.twins(write(**own, **book))]


@pytest.mark.parametrize("times", [3, 4, 10**6, 10**6 + 1])
def test_long_repeats_are_compared_by_their_number(times: int, hall: Path) -> None:
    """A million times is told from a million and one, and where the feet are afterwards is known."""
    shelf = write(
        a=sheet("A", f"dance:\n  {times} times:\n    Triple\n  Vine\n"),
        b=sheet("B", f"part P:\n  Triple x{times}\n\ndance:\n  P\n  Vine, {'right' if times % 2 else 'left'} foot\n"),
        c=sheet("C", f"dance:\n  Triple x{times + 2}\n  Vine\n"),
    )

    assert [("a.routine", "b.routine")] == [one.paths for one in questions.twins(shelf)]


def test_a_sheet_with_a_blank_is_like_no_other(hall: Path) -> None:
    """What nobody knows yet can't be the same."""
    gap = "dance:\n  ? 4 beats\n  Triple\n"
    shelf = write(a=sheet("A", gap), b=sheet("B", gap), c=sheet("C", "dance:\n  Push-off, turn ?\n"))

    assert ((), ()) == (questions.twins(shelf), questions.recurring(shelf))


def test_parts_that_recur_are_found(hall: Path) -> None:
    """In another sheet, under another name, or as the mirror image; a part danced twice by one sheet is one part."""
    part = "part {}:\n  Triple\n  Push-off, turn 1/4 {}\n\ndance:\n  {} x2\n"
    shelf = write(
        a=sheet("A", part.format("Lane", "left", "Lane")),
        b=sheet("B", part.format("Quay", "right", "Quay"), lead="right"),
        c=sheet("C", "part X:\n  Triple\n\npart Y:\n  Triple\n\npart Z:\n  Vine\n\ndance:\n  X\n  Z\n  Y\n"),
    )

    assert (
        Recurrence((("a.routine", "Lane"), ("b.routine", "Quay")), (("b.routine", "Quay"),)),
        Recurrence((("c.routine", "X"), ("c.routine", "Y"))),
    ) == questions.recurring(shelf)


def test_what_a_class_can_dance(hall: Path) -> None:
    """By the levels of the book; a figure of the sheet's own has none, and a book without the level says so."""
    shelf = write(
        a=sheet("A", "dance:\n  Triple\n  Fancy Double\n"),
        b=sheet("B", FIGURES + "dance:\n  Joey\n  Mill Wheel\n"),
        c=sheet("C", "dance:\n  Vine\n", book="line"),
    )
    a, b, c = questions.danceable(shelf, "easy")

    assert (Fit("a.routine", "A"), Fit("b.routine", "B", ("Joey",), ("Mill Wheel",))) == (a, b)
    assert (True, False, False) == (a.fits, b.fits, c.fits)
    assert "no level 'easy'" in c.reason
    with pytest.raises(SearchError, match="no level 'esay'"):
        questions.danceable(shelf, "esay")


def test_sheets_that_cannot_be_asked_about_are_named(hall: Path) -> None:
    """An ill-formed sheet, and a path that leads nowhere, are left out with the reason."""
    Path("ill.routine").write_text(ILL)
    shelf = shelf_of(["ill.routine", "nowhere.routine"])

    assert (
        ("nowhere.routine", "there is no such file or folder"),
        ("ill.routine", "it is ill-formed"),
    ) == shelf.left_out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["figures"], "Triple  clogging: 2 times in 2 sheets\n        a.routine: 1 time, line 6\n"),
        (["medleys"], "a.routine → b.routine\n"),
        (["twins"], "one dance:\n   a.routine: A\n   b.routine: B\n"),
        (["level", "--level", "easy"], "a.routine: yes\nb.routine: yes\n"),
        (["parts"], "no part recurs\n"),
    ],
)
def test_the_command_answers(words: list[str], said: str, hall: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Each question has an answer in words and as one JSON document, and exits with 0."""
    write(a=sheet("A", "dance:\n  Triple\n", lead="left"), b=sheet("B", "dance:\n  Triple\n", facing="back"))
    Path("b.routine").write_text(
        Path("b.routine").read_text().replace("facing: back\n", "lead: left\nfacing: front\n", 0)
    )
    if words[0] == "medleys":
        write(a=sheet("A", "dance:\n  Triple x2\n"), b=sheet("B", "dance:\n  Triple\n"))
    question, *rest = words

    assert 0 == cli.main(["catalogue", question, ".", *rest])
    assert said.replace("a.routine", "./a.routine").replace("b.routine", "./b.routine") in capsys.readouterr().out
    assert 0 == cli.main(["catalogue", question, ".", *rest, "--format", "json"])
    assert question == json.loads(capsys.readouterr().out)["question"]


def test_medleys_are_a_graph_for_other_tools(hall: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """As GraphML and as DOT, with the titles; other answers are none."""
    write(a=sheet("A & Co", "dance:\n  Triple x2\n"), b=sheet("B", "dance:\n  Triple\n"))

    assert 0 == cli.main(["catalogue", "medleys", ".", "--format", "graphml"])
    root = ElementTree.fromstring(capsys.readouterr().out)
    edges = [(one.get("source"), one.get("target")) for one in root.iter("{http://graphml.graphdrawing.org/xmlns}edge")]
    assert [("./a.routine", "./a.routine"), ("./a.routine", "./b.routine")] == edges
    assert 0 == cli.main(["catalogue", "medleys", ".", "--format", "dot"])
    assert (
        '"./a.routine" [label="A & Co"];' in (dot := capsys.readouterr().out)
        and '"./a.routine" -> "./b.routine";' in dot
    )


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["level", ".", "--level", "easy", "--format", "dot"], "no graph"),
        (["graph", "."], "--format graphml, dot or svg"),
        (["touched", "."], "say the figure or movement"),
        (["touched", ".", "--figure", "Vine"], "called 'Vine'"),
        (["parts", ".", "--figure", "Triple"], "--figure is for the question touched"),
        (["level", "."], "say the level of the class, as in --level easy"),
        (["parts", ".", "--level", "easy"], "--level is for the question level"),
        (["medleys", "ill.routine"], "ill.routine: it is ill-formed"),
        (["level", ".", "--level", "esay"], "no level 'esay'"),
        (["colour", "."], "invalid value"),
        (["parts", "nowhere"], "there is no such file or folder"),
        (["parts", "empty"], "no sheet (*.routine) found in empty"),
    ],
)
def test_what_cannot_be_asked_exits_with_2(
    words: list[str], said: str, hall: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A wrong question, level or path gives 2 and the reason."""
    write(a=sheet("A", "dance:\n  Triple\n"))
    Path("ill.routine").write_text(ILL)
    Path("empty").mkdir()

    assert 2 == cli.main(["catalogue", *words])
    assert said in capsys.readouterr().err
