"""`-o`, which every command has that answers with text."""

import shutil
from pathlib import Path

import pytest

from stepcheck.faces import cli
from tests.corpus.expected import ROOT

SPECS = ROOT / "specs"
FAULTY = str(SPECS / "faulty" / "copper_ladle.routine")
CALLS = [
    ["break", "--book", "clogging", "--beats", "4"],
    ["call", str(SPECS / "routines" / "night_ferry.routine")],
    ["catalogue", "figures", str(SPECS / "routines")],
    ["check", FAULTY],
    ["draft"],  # with a description that the test writes
    ["explain", "SR501", "--format", "json"],
    ["figures", "Triple"],
    ["fill", str(SPECS / "unfinished" / "lantern_pier.routine")],
    ["fit", str(SPECS / "routines" / "swan_reach.routine"), "--beats", "16"],
    ["new", "Ferry Bell"],
    ["practise", FAULTY],
    ["repair", FAULTY],
    ["sheet", FAULTY],
]


def test_the_list_has_every_command() -> None:
    """No command is left out here but those that answer with no text."""
    assert set(cli.COMMANDS) - set(cli.SILENT) == {words[0] for words in CALLS}


@pytest.mark.parametrize("words", CALLS, ids=lambda words: words[0])
def test_an_answer_goes_to_a_file(words: list[str], tmp_path: Path, capsysbinary: pytest.CaptureFixture[bytes]) -> None:
    """With `-o` the file has the bytes that stdout has without, stdout nothing, and the exit status is the same.

    A file that is there is left as it is, but with `--force`.
    """
    if words[0] == "draft":
        source = tmp_path / "told.txt"
        source.write_text("Alder Reel\n32 count 4 wall line dance\n1-4 Vine right\n")
        words = ["draft", str(source)]
    status = cli.main(words)
    right = capsysbinary.readouterr().out
    file = tmp_path / "answer"

    assert right and status == cli.main([*words, "-o", str(file)])
    assert (b"", right) == (capsysbinary.readouterr().out, file.read_bytes())
    file.write_bytes(b"mine")
    assert 2 == cli.main([*words, "-o", str(file)])
    assert b"written over with --force only" in capsysbinary.readouterr().err and b"mine" == file.read_bytes()
    assert status == cli.main([*words, "-o", str(file), "--force"])
    assert right == file.read_bytes()


@pytest.mark.parametrize("command", ["repair", "sheet", "check"])
def test_no_answer_goes_over_what_is_read(command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A sheet is not written over with an answer about it, by whatever name, `--force` or not."""
    sheet, link = tmp_path / "a.txt", tmp_path / "b.txt"
    shutil.copy(FAULTY, sheet)
    link.symlink_to(sheet)
    before = sheet.read_bytes()

    assert 2 == cli.main([command, str(sheet), "-o", str(link), "--force"])
    assert "is read in this run" in capsys.readouterr().err
    assert before == sheet.read_bytes()


def test_a_run_without_an_answer_leaves_the_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What can't be asked changes nothing, not even with `--force`."""
    file = tmp_path / "answer"
    file.write_text("mine")

    assert 2 == cli.main(["explain", "SR999", "-o", str(file), "--force"])
    assert "mine" == file.read_text()
