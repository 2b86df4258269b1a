"""The sheet as it is danced, line by line."""

import io
import json
import sys
from pathlib import Path

import pytest

from stepcheck.faces import cli
from stepcheck.faces.sheets import told
from stepcheck.floor.handout import Mark, closes, marks
from stepcheck.report.pipeline import loads

LINE = """\
routine: Weir Lane
book: line
walls: 4

part Main: 16 counts, 1/4 turn left
  counts 1-8, facing 9:00:
    Vine, right foot  # out
    Vine, left foot, turn 1/4 left | Vine, left foot, turn 1/4 left
  Step Touch x4

dance:
  Main x2
  hold 2 counts
  ? 4 counts
  Vine
"""
TOLD = """\
count  free   facing
                      routine: Weir Lane
                      book: line
                      walls: 4

                      part Main: 16 counts, 1/4 turn left
                        counts 1-8, facing 9:00:
1      right  12:00       Vine, right foot  # out
5      left   12:00       Vine, left foot, turn 1/4 left | Vine, left foot, turn 1/4 left
9      right  9:00      Step Touch x4
       right  9:00      (end of Main, after 16 counts)

                      dance:
1      right  12:00     Main x2
33     right  6:00      hold 2 counts
35     right  6:00      ? 4 counts
39     ?      6:00      Vine
"""


def test_each_line_has_what_the_dance_comes_with() -> None:
    """Lines of dance have count, free foot and wall, those of their pass inside a part; headings and the rest have
    none."""
    found = marks(loads(LINE))

    assert TOLD == told(found, counts=True, ends=closes(loads(LINE)))
    assert Mark(7, "    Vine, right foot  # out", "1", "right", "12:00") == found[6]
    assert Mark(6, "  counts 1-8, facing 9:00:") == found[5]


LATER = """\
routine: Weir
book: clogging

part A:
  Triple
  Fancy Double

dance:
  A x4
  A, first 4 beats
"""
LATER_TOLD = """\
beat  free   facing
                     routine: Weir
                     book: clogging

                     part A:
1     left   front     Triple
1     right  front     (the 2nd time)
5     right  front     Fancy Double
5     left   front     (the 2nd time)
      right  front     (end of A, after 8 beats)
      left   front     (end of A the 2nd time)
      right  front     (end of A the 5th time, after 4 beats)

                     dance:
1     left   front     A x4
33    left   front     A, first 4 beats
"""


def test_later_passes_stand_where_they_differ() -> None:
    """Under a line stands the first later pass that comes to it otherwise, under a part how it ends, and how later ones
    do."""
    routine = loads(LATER)

    assert LATER_TOLD == told(marks(routine), ends=closes(routine))


def test_beats_and_walls_are_those_of_the_tradition(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """A clogging sheet has beats and walls by name; a sheet may come from a file or from stdin."""
    path = tmp_path / "a.routine"
    path.write_text("book: clogging\npart A:\n  Triple, turn 1/2 left\n  expect facing back\ndance:\n  A\n")

    assert 0 == cli.main(["sheet", str(path)])
    out = capsys.readouterr().out
    assert out.startswith("beat  free   facing\n") and "\n5     right  back      expect facing back\n" in out


def test_programs_get_the_lines_as_values(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """As JSON every line is there with its number and its text."""
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(LINE.encode())))

    assert 0 == cli.main(["sheet", "-", "--format", "json"])
    document = json.loads(capsys.readouterr().out)
    assert ("Weir Lane", list(range(1, 16))) == (document["title"], [line["line"] for line in document["lines"]])
    assert {
        "line": 9,
        "text": "  Step Touch x4",
        "beat": "9",
        "free": "right",
        "facing": "9:00",
        "later": [],
    } == document["lines"][8]
    end = {"part": "Main", "line": 9, "length": "16 counts", "free": "right", "facing": "9:00", "time": 1, "later": []}
    assert [end] == document["parts"]


def test_a_sheet_that_is_not_understood_shows_its_mistakes(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """They go to stderr, nothing goes to stdout, and the exit status is 1; as JSON they are in the document."""
    path = tmp_path / "a.routine"
    path.write_text(LINE.replace("Jazz Box", "Jaz Bx").replace("hold 2", "hodl 2"))

    assert 1 == cli.main(["sheet", str(path)])
    out, err = capsys.readouterr()
    assert ("", True) == (out, "did you mean hold?" in err)
    assert 1 == cli.main(["sheet", str(path), "--format", "json"])
    assert ["line-not-understood"] == [one["name"] for one in json.loads(capsys.readouterr().out)["diagnostics"]]
