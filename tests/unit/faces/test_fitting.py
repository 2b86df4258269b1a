"""The command `fit`."""

import io
import json
import sys
from pathlib import Path

import pytest

import stepcheck as sc
from stepcheck.faces import cli

SHEET = """routine: Sluice Gate
book: clogging
basic: with double toe

part Verse: 16 beats
  Triple x3
  Basic x2

dance:
  Verse
"""


@pytest.fixture
def sheet(tmp_path: Path) -> Path:
    """Return a sheet in a file."""
    path = tmp_path / "sluice_gate.routine"
    path.write_text(SHEET)
    return path


def test_a_fit_is_printed_and_written(sheet: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The answer is a diff, the places, the report and the cautions; with `--apply` the file has it, and nothing is left
    to change."""
    words = ["fit", str(sheet), "--music", "verse 32, chorus 18"]
    assert 0 == cli.main(words)
    text = capsys.readouterr().out
    assert SHEET == sheet.read_text()
    for piece in (
        "+  verse: Verse x2",
        "beat 17 of chorus, section 2: a break of 2 beats",
        ": proved",
        "Stop at any strain",
    ):
        assert piece in text
    assert 0 == cli.main([*words, "--apply"])
    assert "laid out anew" in capsys.readouterr().err
    assert "proved" == sc.check_file(sheet).verdict.word
    assert 0 == cli.main(["fit", str(sheet)])
    assert "the sheet is laid out so already" in capsys.readouterr().out


def test_a_fit_as_json_and_its_question(sheet: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """JSON has the answer as values, and `--smt2` the question whether a layout is better."""
    assert 0 == cli.main(["fit", str(sheet), "--music", "a 18", "--format", "json", "--smt2", str(tmp_path / "proofs")])
    found = json.loads(capsys.readouterr().out)
    assert ("stepcheck-fit-1", [{"name": "a", "beats": 18.0, "phrase": 8}], "unsat") == (
        found["schema"],
        found["sections"],
        found["confirmed"],
    )
    assert ([2.0], 0, "proved") == (
        [one["beats"] for one in found["breaks"]],
        found["restarts"],
        found["report"]["verdict"],
    )
    (script,) = (tmp_path / "proofs").iterdir()
    assert "(check-sat)" in script.read_text()


def test_where_there_is_no_fit(sheet: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The reason is the answer, with exit status 1; nothing is written."""
    assert 1 == cli.main(["fit", str(sheet), "--music", "a 16 1/2"])
    assert capsys.readouterr().out.startswith("none: the section a (number 1, 16 1/2 beats) cannot be filled")
    assert 2 == cli.main(["fit", str(sheet), "--music", "a 16 1/2", "--apply"])
    assert "nothing is written" in capsys.readouterr().err
    assert 2 == cli.main(["fit", str(sheet), "--beats", "16", "--length", "60s"])
    assert "a dance is laid over a song, or cut" in capsys.readouterr().err
    assert SHEET == sheet.read_text()


def test_a_sheet_from_stdin(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """A sheet may come from stdin, which can't be written to."""
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(SHEET.encode())))
    assert 0 == cli.main(["fit", "-", "--beats", "16"])
    assert 2 == cli.main(["fit", "-", "--beats", "16", "--apply"])
    assert "stdin cannot be written to" in capsys.readouterr().err
