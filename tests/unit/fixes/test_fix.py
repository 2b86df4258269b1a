"""The command `repair`: what it writes, what it leaves, and that nothing cheaper is overlooked on lines with a
length."""

import os
from pathlib import Path

import pytest

from stepcheck.faces.cli import main
from stepcheck.fixes import mend
from stepcheck.fixes.fix import repair
from stepcheck.report import pipeline
from stepcheck.search import cheapest

FAULTY = Path(__file__).parents[3] / "specs" / "faulty"
SHEET = """\
# The spring routine.
routine:   Weir Steps
book: clogging
lead: left

part Verse: 8 beats, left foot to left foot   # twice round
   Triple      (to the window)
   Triple x3   # too many

dance:
   Verse
"""


@pytest.fixture
def weir(tmp_path: Path) -> Path:
    """A sheet with one mistake, laid out in a way of its own."""
    path = tmp_path / "weir.routine"
    path.write_text(SHEET, encoding="utf-8")
    return path


def test_a_fix_is_written_once(weir: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """--apply keeps comments, notes and layout of every other line; applying again changes nothing."""
    assert 0 == main(("repair", str(weir), "--apply", "1"))
    assert "fix 1 is written into it" in capfd.readouterr().err
    written = weir.read_bytes()
    lines = written.decode().split("\n")

    assert [7] == [place for place, (old, new) in enumerate(zip(SHEET.split("\n"), lines, strict=True)) if old != new]
    assert lines[7].endswith("# too many")
    assert 0 == main(("repair", str(weir), "--apply", "1"))
    assert capfd.readouterr().out.startswith("nothing to mend")
    assert written == weir.read_bytes()


def test_a_file_is_written_all_at_once_or_not_at_all(weir: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the new text cannot take the place of the old, the old one stays whole and nothing lies beside it."""

    def refused(*_: object) -> None:
        raise OSError("disk full")

    monkeypatch.setattr(os, "replace", refused)

    assert 2 == main(("repair", str(weir), "--apply", "1"))
    assert SHEET == weir.read_text(encoding="utf-8")
    assert [weir] == list(weir.parent.iterdir())


def test_a_fix_that_there_is_not_is_not_written(weir: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """A number beyond the fixes is an error, and the file stays as it was."""
    assert 2 == main(("repair", str(weir), "--apply", "99", "--most-cost", "1"))
    assert "there is no fix 99" in capfd.readouterr().err
    assert SHEET == weir.read_text(encoding="utf-8")


def test_a_length_on_a_line_does_not_hide_its_neighbours() -> None:
    """One line that states its length leaves the changes of the other lines to be looked at."""
    text = "book: clogging\nlead: left\npart A: 8 beats\n  Push-off, 4 beats\n  Triple x2\ndance:\n  A\n"

    assert 2 == repair(pipeline.loads(text))[0].cost


def test_enough_shapes_leave_the_least_cost_as_it_is(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where no more shapes are laid out once a fix is known, the first fix and what is said of cheaper ones stay."""
    routine = pipeline.load(FAULTY / "long_rope.routine")
    plain = repair(routine, without=("slip", "movement"))
    monkeypatch.setattr(cheapest, "ENOUGH_SHAPES", 0)
    monkeypatch.setattr(mend, "ENOUGH_SHAPES", 0)
    short = repair(routine, without=("slip", "movement"))

    assert plain[0].cost == short[0].cost and short[0].evidence.complete
    assert {fix.cost for fix in short} == {short[0].cost}


def test_fixes_that_write_the_same_are_one() -> None:
    """A line put before an equal one and a line put behind it are the same sheet."""
    text = "routine: X\nbook: clogging\npart Long: 8 beats, 1/2 turn\n  Push-off x2, turn 1/2 left\ndance:\n  Long\n"
    found = repair(pipeline.loads(text), limit=9)

    assert len(found) > 3
    assert len(found) == len({fix.text for fix in found})


def test_a_turn_without_a_side_may_be_what_is_wrong() -> None:
    """Such a claim is changed to what is danced, with its side, and of equally cheap fixes the one change comes
    first."""
    text = "routine: X\nbook: clogging\npart Long: 8 beats, 1/2 turn\n  Push-off x2, turn 1/2 left\ndance:\n  Long\n  expect front\n"
    first = repair(pipeline.loads(text))[0]

    assert text.replace("8 beats, 1/2 turn", "8 beats, full turn left") == first.text


def test_no_turn_is_not_offered_in_two_ways() -> None:
    """Where a figure has no turn of its own, leaving the turn away is all that is said; where it has one, both may
    be."""
    sheet = "book: clogging\nlead: left\n\npart Verse: 4 beats, no turn\n  Push-off, turn 1/4 left\n\ndance:\n  Verse\n"
    only = {"without": ("figure", "claim", "insert", "delete", "times")}
    plain = [fix.text for fix in repair(pipeline.loads(sheet), limit=9, **only)]
    spins = [fix.text for fix in repair(pipeline.loads(sheet.replace("Push-off", "Turning Push-off")), limit=9, **only)]

    assert [sheet.replace(", turn 1/4 left", "")] == plain
    assert [sheet.replace("Push-off, turn 1/4 left", "Turning Push-off, no turn")] == spins
