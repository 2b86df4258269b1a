"""Answers and messages: where they go, and what becomes of them where nobody reads or nothing can be written."""

import errno
import io
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from stepcheck.faces import check as commands
from stepcheck.faces import cli, options
from stepcheck.language import files
from stepcheck.model.choices import FORMATS
from stepcheck.model.source import Source, SourceError
from stepcheck.program import formatter

WRONG = "book: clogging\npart A: 5 beats\n  Triple\ndance:\n  A\n"


def run(*words: str, stdout: int | None = None, stderr: int = subprocess.PIPE, folder: Path) -> tuple[int, bytes]:
    """Run the command with these streams and return its status and what it said to stderr."""
    command = [sys.executable, "-W", "error", "-m", "stepcheck.faces.cli", *words]
    done = subprocess.run(command, stdout=stdout, stderr=stderr, cwd=folder, timeout=120, check=False)
    return done.returncode, done.stderr or b""


@pytest.fixture
def closed() -> Iterator[int]:
    """The writing end of a pipe whose reader has left."""
    read, write = os.pipe()
    os.close(read)
    yield write
    os.close(write)


@pytest.mark.parametrize("form", FORMATS)
def test_a_reader_that_leaves_early_changes_no_status(form: str, closed: int, tmp_path: Path) -> None:
    """`stepcheck check … | head` ends quietly, with the status of the sheets, whatever the format."""
    (tmp_path / "a.routine").write_text(WRONG)
    (tmp_path / "b.routine").write_text(WRONG)

    assert (1, b"2 sheets: 2 refuted\n") == run("check", ".", "--format", form, stdout=closed, folder=tmp_path)


@pytest.mark.parametrize(
    ("words", "status"),
    [
        (["--version"], 0),
        (["check", "--help"], 0),
        (["figures", "Triple"], 0),
        (["break", "--beats", "4"], 0),
        (["repair", "a.routine"], 0),
        (["catalogue", "figures", "a.routine"], 0),
        (["format", "--diff", "a.routine"], 1),
    ],
)
def test_every_command_lets_its_reader_leave(words: list[str], status: int, closed: int, tmp_path: Path) -> None:
    """No command complains of a closed pipe, and each ends as it would with a reader."""
    (tmp_path / "a.routine").write_text(WRONG.replace("\n  Triple", "\n   Triple"))
    made, said = run(*words, stdout=closed, folder=tmp_path)

    assert (status, False) == (made, b"stepcheck:" in said)


def test_a_reader_of_the_messages_may_leave_too(closed: int, tmp_path: Path) -> None:
    """`stepcheck … 2>&1 | head` is as quiet."""
    (tmp_path / "a.routine").write_text(WRONG)

    assert 1 == run("check", "a.routine", stdout=closed, stderr=closed, folder=tmp_path)[0]


class Full(io.RawIOBase):
    """A file on a disk that is full."""

    def __init__(self, number: int) -> None:
        self.number = number

    def writable(self) -> bool:
        return True

    def fileno(self) -> int:
        return self.number

    def write(self, data: object) -> int:
        raise OSError(errno.ENOSPC, "No space left on device")


def test_a_full_disk_is_said(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """What cannot be written is said in words, with the file if there is one."""
    with open(tmp_path / "out", "wb") as spare, io.TextIOWrapper(Full(spare.fileno())) as full:
        monkeypatch.setattr(sys, "stdout", full)
        with pytest.raises(SourceError, match="the answers cannot be written: no space left on device"):
            options.write("x")
    with pytest.raises(SourceError, match=r"o\.xml cannot be written: no space left on device"), files.blamed("o.xml"):
        raise OSError(errno.ENOSPC, "No space left on device")


def test_streams_that_are_closed_are_nobody(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """A command started without stdout or stderr runs; it has nobody to tell."""
    for name in ("stdin", "stdout", "stderr"):
        monkeypatch.setattr(sys, name, None)
    options.ready()
    with sys.stdin as empty, sys.stdout, sys.stderr:
        options.write("x")
        options.complain("x")

        assert "" == empty.read()


def test_no_name_of_a_file_steers_a_terminal(capfd: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """Escape sequences in names are written out in every message, whatever becomes of the file."""
    name = str(tmp_path / "\x1b[2Jgone\x07.routine")
    assert 2 == cli.main(["check", name])
    assert 2 == cli.main(["repair", name])
    Path(name).write_bytes(b"part A:\n   Tripel\n")
    assert 1 == cli.main(["check", name])
    assert 1 == cli.main(["format", "--check", name])
    assert 1 == cli.main(["sheet", name])
    assert 2 == cli.main(["check", "--" + name])
    said = "".join(capfd.readouterr())

    assert "\x1b" not in said and "\x07" not in said
    assert said.count(r"\x1b[2Jgone\x07.routine") > 5


def test_what_fails_elsewhere_is_not_blamed_on_the_file(tmp_path: Path) -> None:
    """Only what is written to the file can fail because of it."""
    path = str(tmp_path / "out")
    with pytest.raises(PermissionError), options.destination(path):
        raise PermissionError(13, "Permission denied")
    said = "no/such/folder cannot be written: no such file or directory"
    with pytest.raises(SourceError, match=said), options.destination("no/such/folder"):
        raise AssertionError


def test_a_sheet_that_could_not_be_written_is_not_counted(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Of sheets laid out anew only those are counted that are."""
    (tmp_path / "a.routine").write_text("book: clogging\npart A:\n    Triple\ndance:\n  A\n")
    said: list[str] = []
    monkeypatch.setattr(formatter, "replace", refused)
    monkeypatch.setattr(commands, "remark", said.append)

    assert 2 == cli.main(["format", str(tmp_path)])
    assert ["1 sheet: 0 laid out anew"] == said


def refused(source: Source, text: str, *, in_place: bool) -> None:
    """Write nothing."""
    raise SourceError(f"{source.path} cannot be written: read-only file system")
