"""What is kept when stepcheck itself fails."""

import os
import tempfile
from pathlib import Path

import pytest

from stepcheck.faces import options


@pytest.fixture(autouse=True)
def kept_here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Keep what is kept in a folder of the test."""
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))


def test_the_file_is_the_sheet_under_comments(tmp_path: Path) -> None:
    """What is kept can be checked again: every added line is a comment, and the sheet follows byte for byte."""
    sheet = tmp_path / "weir.routine"
    sheet.write_bytes(b"routine: Weir\xff\r\n")
    try:
        raise ValueError("two lines\nof reason")
    except ValueError as error:
        kept = options.keep("ValueError: two lines\nof reason", str(sheet), error)

    assert kept is not None and kept.endswith(".routine")
    head, _, rest = Path(kept).read_bytes().partition(b"routine: Weir")
    assert b"\xff\r\n" == rest
    assert all(line.startswith(b"# ") for line in head.splitlines())
    assert b"Traceback" in head and b"of reason" in head


def test_nothing_to_keep_it_in_is_no_second_failure(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where no file can be written, or the sheet is gone, the message still comes."""
    assert options.keep("reason", os.path.join("no", "such", "sheet")) is not None
    monkeypatch.setattr(tempfile, "tempdir", os.path.join("no", "such", "folder"))
    assert options.keep("reason") is None
    assert "internal error, which is no verdict: reason" == options.failure("reason")
