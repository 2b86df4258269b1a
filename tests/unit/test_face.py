"""The face of the library: what it does with values that it does not take, and what can be done with those that it
gives."""

import copy
import json
import pickle
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from attrs.exceptions import FrozenInstanceError

import stepcheck as sc
from stepcheck.books import book as books
from stepcheck.formats import json as formats
from stepcheck.model.source import WrongValue

SPECS = Path(__file__).parents[2] / "specs"
WRONG = """\
book: clogging
part A: 16 beats
  Triple x3
  Rocking Chair
part B: 16 beats, left foot
  Triple x4
dance:
  A
  B
"""
BLANK = "book: clogging\npart A: 16 beats, 1/2 turn left\n  Triple x?\n  Push-off, turn ?\ndance:\n  A\n"


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (
            lambda: sc.check(None),
            "this takes a routine, as `load` and `loads` give it (`check_file` takes a path), not None",
        ),
        (lambda: sc.check("lantern.routine"), "not 'lantern.routine', of the type str"),
        (lambda: sc.repair("lantern.routine"), "takes a routine"),
        (lambda: sc.fill(3), "takes a routine"),
        (lambda: sc.script(None), "takes a routine"),
        (lambda: sc.break_after(None, "A", beats=4), "takes a routine"),
        (lambda: sc.break_after(sc.loads(WRONG), None, beats=4), "the name of a part or the number of a line"),
        (lambda: sc.find_endings(None, passes=1, counts=4), "takes a routine"),
        (lambda: sc.load(None), "this takes the path of a file, not None"),
        (lambda: sc.load("x.routine", book="clogging") and None, "cannot be read"),
        (lambda: sc.loads(WRONG, book="clogging"), "a book, as `books.load` gives it, not 'clogging'"),
        (lambda: sc.loads(None), "this takes the text of a sheet; `load` takes the path of one, not None"),
        (lambda: sc.check_text(["A"]), "the text of a sheet"),
        (lambda: sc.check_file(3), "the path of a file, not 3, of the type int"),
        (lambda: sc.find_breaks(None, beats=8), "takes a book"),
        (lambda: sc.find_breaks("clogging", beats=8, start=3), "a state, such as `left foot, front`"),
        (lambda: sc.check_catalogue(None), "paths of sheets and folders"),
        (lambda: sc.check_catalogue([None]), "paths of sheets and folders"),
        (lambda: sc.card("Triple"), "a figure, as `find` of a book gives it"),
        (lambda: sc.lint_book("clogging"), "takes a book"),
        (lambda: sc.format_text(None), "the text of a sheet"),
        (lambda: sc.to_json([3]), "reports, as `check` gives them"),
        (lambda: sc.flow_graph(None), "takes a routine"),
        (lambda: sc.state_graph(None), "a book, its name, or figures"),
        (lambda: sc.same_as("clogging", "Triple"), "takes a book"),
    ],
)
def test_a_value_of_the_wrong_kind_is_refused_in_words(call: Callable[[], Any], said: str) -> None:
    """Whoever hands over something else is told what is taken, by an exception that is a TypeError and stepcheck's
    own."""
    with pytest.raises((WrongValue, sc.SourceError)) as caught:
        call()
    assert said in str(caught.value)
    assert isinstance(caught.value, sc.StepcheckError)


def test_a_lone_name_is_a_row_of_one() -> None:
    """Where several names are taken, one may stand alone; it is no row of letters."""
    routine = sc.loads(WRONG)
    assert sc.repair(routine, keep=["B"], limit=1) == sc.repair(routine, keep="B", limit=1)
    assert sc.repair(routine, without=["turn"], limit=1) == sc.repair(routine, without="turn", limit=1)
    found = sc.find_breaks("clogging", beats=8, wanted="Triple", limit=1)
    assert sc.find_breaks("clogging", beats=8, wanted=["Triple"], limit=1) == found


def _values() -> dict[str, Any]:
    """Return one of each value that the face gives."""
    routine = sc.loads(WRONG)
    return {
        "routine": routine,
        "report": sc.check(routine),
        "repairs": sc.repair(routine, limit=2),
        "filled": sc.fill(sc.loads(BLANK)),
        "breaks": sc.find_breaks("clogging", beats=8, limit=2),
        "after": sc.break_after(routine, "A", beats=4, limit=1),
        "card": sc.card(books.load("clogging").find("Triple")[0]),
        "catalogue": sc.check_catalogue([SPECS / "faulty"]),
        "impact": sc.impact("clogging", "line", [SPECS / "routines"]),
        "findings": sc.check(sc.loads("part A:\n  Tripel\n")).diagnostics,
    }


def test_every_value_can_be_copied_and_pickled() -> None:
    """A copy, shallow or deep, and one that went through pickle, says the same; without figures in it, it is equal,
    too."""
    for name, value in _values().items():
        for made in (copy.copy(value), copy.deepcopy(value), pickle.loads(pickle.dumps(value))):
            assert repr(value) == repr(made)
            if name == "routine":
                assert (sc.check(value), sc.repair(value)) == (sc.check(made), sc.repair(made))
            elif name not in ("breaks", "after"):  # figures are compared by identity
                assert (name, value) == (name, made)


def test_no_value_can_be_changed() -> None:
    """What the face gives is frozen; a field can neither be set nor taken away."""
    for value in _values().values():
        if not isinstance(value, tuple):
            field = value.__attrs_attrs__[0].name
            with pytest.raises(FrozenInstanceError):
                setattr(value, field, None)
            with pytest.raises(FrozenInstanceError):
                delattr(value, field)


def test_every_report_turns_into_json_and_back() -> None:
    """All the demo sheets' reports come back from JSON as they were, and the text holds nothing but JSON."""
    reports = sc.check_catalogue([SPECS / "faulty", SPECS / "unfinished"], engine="walk").reports
    text = formats.json_text(reports)

    assert reports == formats.from_json(text)
    assert len(reports) == len(json.loads(text)["sheets"])


def test_checks_in_several_threads_are_those_of_one() -> None:
    """Four threads at once, with both engines, give the bytes that one after the other does."""
    paths = sorted((SPECS / "faulty").glob("*.routine"))[:8]
    alone = [formats.json_text([sc.check_file(path)]) for path in paths]
    with ThreadPoolExecutor(4) as threads:
        together = list(threads.map(lambda path: formats.json_text([sc.check_file(path)]), paths * 2))

    assert alone * 2 == together


def test_a_report_shows_itself_as_the_command_does(capfd: pytest.CaptureFixture[str]) -> None:
    """`print`, rich and a notebook show the text of the command: no mark of rich is read out of it, no HTML."""
    import io

    from rich.console import Console

    report = sc.check_text(
        WRONG.replace("book: clogging", "routine: <b>[red]x[/red]\nbook: clogging"), path="[bold]a.routine"
    )
    print(report)
    said = capfd.readouterr().out
    assert said == sc.render(report, "text")
    page = io.StringIO()
    Console(file=page, width=200).print(report)
    assert said.splitlines() == [line.rstrip() for line in page.getvalue().splitlines()]
    html = report._repr_html_()
    assert html.startswith("<pre>1. [bold]a.routine:")
    assert "<b>" not in html


def test_a_catalogue_shows_itself_as_the_command_does(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """`print` and a notebook show the text of all reports, what could not be checked, and the line that ends a run."""
    (tmp_path / "a.routine").write_text(WRONG)
    whole = sc.check_catalogue([tmp_path / "a.routine", tmp_path / "gone.routine"])
    print(whole)
    said = capfd.readouterr().out

    assert said.startswith(sc.render(whole, "text")) and f"{tmp_path}/gone.routine: there is no such" in said
    assert said.splitlines()[-1] == whole.summary
    assert whole._repr_html_().startswith("<pre>")


def test_units_are_whole_turns_and_beats() -> None:
    """A turn of 1 is a full turn, as on the command line; text, a number and a fraction mean the same."""
    from fractions import Fraction

    asked = [
        sc.find_breaks(beats=beats, end="back", most_turn=most, limit=3)
        for beats, most in (("8", "1/2"), (8, 0.5), (Fraction(8), Fraction(1, 2)))
    ]
    assert asked[0] == asked[1] == asked[2] and asked[0].breaks
    assert {Fraction(1, 2)} == {row.turning for row in asked[0].breaks}
    whole = sc.find_breaks(beats=8, end="back", most_turn=1, limit=5).breaks
    assert all(row.turning <= 1 for row in whole) and any(row.turning > Fraction(1, 8) for row in whole)
    for wrong in ("1/3", "far", -1, float("nan")):
        with pytest.raises(sc.SearchError, match="no number of turns"):
            sc.find_breaks(beats=8, most_turn=wrong)


def test_a_text_can_be_laid_out() -> None:
    """The formatter takes text; what it does not understand it refuses with the findings."""
    assert "dance:\n  Triple x2\n" == sc.format_text("DANCE:\n   Triple  x2 ")
    assert "dance:\n  Triple\n" == sc.format_text(sc.format_text("dance:\n  Triple"))
    with pytest.raises(sc.NotUnderstood, match=r"here\.routine:2: ") as caught:
        sc.format_text("dance:\n  Triple x2, twice\n", path="here.routine")
    assert ["line-not-understood"] == [one.code.name for one in caught.value.diagnostics]


def test_a_misspelt_name_is_an_error_that_names_it() -> None:
    """Names come lazily, but only those that there are; all of them can be listed and had."""
    with pytest.raises(AttributeError, match="no attribute 'chekc'"):
        sc.chekc  # type: ignore[attr-defined]  # noqa: B018 - the look-up is what raises
    assert set(sc.__all__) < set(dir(sc))
    assert all(getattr(sc, name) is not None for name in sc.__all__)
