"""Answers written to a file."""

from pathlib import Path

import pytest

from stepcheck.faces import cli

SHEET = "routine: Late Ferry\nbook: clogging\npart Verse: 8 beats\n  Triple\ndance:\n  Verse\n"


@pytest.fixture
def sheet(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """The name of a sheet in the current folder."""
    monkeypatch.chdir(tmp_path)
    Path("late.routine").write_text(SHEET)
    return "late.routine"


@pytest.mark.parametrize("form", ["text", "lines", "json", "jsonl", "sarif", "junit", "github", "html"])
def test_a_file_gets_the_bytes_that_stdout_would(
    sheet: str, form: str, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    """With --output nothing goes to stdout, and the file has every byte of it; the exit status is the same."""
    assert 1 == cli.main(["check", "--engine", "walk", "--format", form, sheet])
    out = capfdbinary.readouterr().out
    assert 1 == cli.main(["check", "--engine", "walk", "--format", form, "--output", "out", sheet])

    assert (b"", out) == (capfdbinary.readouterr().out, Path("out").read_bytes())
    assert out


def test_a_file_that_cannot_be_written_is_said_at_once(sheet: str, capsys: pytest.CaptureFixture[str]) -> None:
    """No sheet is checked for answers that would be lost: status 2 and the reason."""
    assert 2 == cli.main(["check", "--output", "no/such/out", sheet])
    assert "no/such/out cannot be written: no such file or directory" in capsys.readouterr().err
