"""A sheet that is written anew: nothing of the file is lost but what changes."""

import os
import stat
from pathlib import Path

import pytest

from stepcheck.language import files
from stepcheck.model.source import SourceError
from stepcheck.program.formatter import replace

BEFORE, AFTER = "routine: X\nbook: clogging\n", "routine: Y\nbook: clogging\n"


@pytest.mark.parametrize(("end", "mark"), [("\n", ""), ("\r\n", ""), ("\r\n", "\ufeff"), ("\r", "")])
def test_line_ends_mark_and_mode_stay(end: str, mark: str, tmp_path: Path) -> None:
    """An editor that wrote a file its own way finds it so again."""
    path = tmp_path / "x.routine"
    path.write_bytes((mark + BEFORE.replace("\n", end)).encode())
    path.chmod(0o640)
    replace(files.read(path)[0], AFTER)
    assert (mark + AFTER.replace("\n", end)).encode() == path.read_bytes()
    assert 0o640 == stat.S_IMODE(path.stat().st_mode)


def test_a_colleagues_edit_is_not_lost(tmp_path: Path) -> None:
    """A file that says something else by now stays as it is, if only a line end or a space changed."""
    path = tmp_path / "x.routine"
    path.write_text(BEFORE)
    source, _ = files.read(path)
    path.write_bytes(BEFORE.replace("\n", "\r\n").encode())
    with pytest.raises(SourceError, match="was changed meanwhile, and is left as it is"):
        replace(source, AFTER)
    assert BEFORE.replace("\n", "\r\n").encode() == path.read_bytes()


def test_a_file_with_several_names_is_written_into_only_if_asked(tmp_path: Path) -> None:
    """To replace it would part its names; written into, all of them have the new text."""
    path, other = tmp_path / "x.routine", tmp_path / "y.routine"
    path.write_text(BEFORE + "# a longer sheet than the other\n")
    os.link(path, other)
    source, _ = files.read(path)
    with pytest.raises(SourceError, match=r"has 2 names .*--in-place"):
        replace(source, AFTER)
    replace(source, AFTER, in_place=True)
    assert AFTER == path.read_text() == other.read_text()
    assert path.samefile(other)


def test_a_read_only_file_stays_as_it_is(tmp_path: Path) -> None:
    """Somebody took the right to write away on purpose; even one who could write all the same is told so."""
    path = tmp_path / "x.routine"
    path.write_text(BEFORE)
    path.chmod(0o444)
    with pytest.raises(SourceError, match="is read-only, and is left as it is"):
        replace(files.read(path)[0], AFTER)
    assert BEFORE == path.read_text()
