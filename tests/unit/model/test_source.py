"""Texts and places in them."""

import os

import pytest

from stepcheck.model.source import MAX_BYTES, Source, SourceError, Span, plain, read_bytes


def test_lines_count_from_one():
    """Line 1 is the first; beyond the end there is nothing."""
    source = Source("x", "one\ntwo")
    assert ["", "one", "two", ""] == [source.line(number) for number in (0, 1, 2, 3)]


def test_a_whole_line_is_without_its_indentation():
    """The span of a line runs from its first to its last character, also when it is blank."""
    source = Source("x", "  two  \n\n   ")
    assert Span(1, 3, 1, 6) == source.whole_line(1)
    assert Span(2, 1, 2, 1) == source.whole_line(2)
    assert source.whole_line(3).column == source.whole_line(3).end_column


def test_line_ends_become_one():
    """Every kind of line end becomes one, and a byte-order mark goes."""
    assert "a\nb\nc\n\nd" == plain("\ufeffa\r\nb\rc\n\nd")


def test_bytes_are_read_up_to_the_limit(tmp_path):
    """One byte beyond the limit is read, to see that there are too many, and no more."""
    path = tmp_path / "large"
    path.write_bytes(b"x" * (MAX_BYTES + 100))
    assert MAX_BYTES + 1 == len(read_bytes(path))


def test_what_is_no_file_is_an_error(tmp_path):
    """A folder, a pipe, a loop of links and a missing file are refused with the reason, without waiting."""
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "loop").symlink_to(tmp_path / "loop")
    for name, reason in [
        ("", "a folder"),
        ("pipe", "not a plain file"),
        ("loop", "symbolic"),
        ("gone", "no such file"),
    ]:
        with pytest.raises(SourceError, match=reason):
            read_bytes(tmp_path / name)


def test_an_error_of_a_source_is_an_os_error():
    """Programs that catch OSError catch ours."""
    assert issubclass(SourceError, OSError)


def test_a_whole_line_begins_behind_its_margin():
    """However wide that is."""
    for margin in range(5):
        span = Source("x", f"{' ' * margin}Weir  ").whole_line(1)
        assert (margin + 1, margin + 5) == (span.column, span.end_column)
