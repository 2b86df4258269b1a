"""From bytes to text: what is no text, what is too much, and what must be taken as it comes."""

import pytest

from stepcheck.language import reader
from stepcheck.language.parser import parse, read, take
from stepcheck.model.source import MAX_BYTES, MAX_COLUMNS, MAX_LINES, Source, SourceError

SHEET = "routine: X\npart A:\n  Vine\n"


def reading(tmp_path, data):
    """Return the text that is kept of a file with these bytes, and its findings as code, line and column."""
    path = tmp_path / "x.routine"
    path.write_bytes(data)
    source, findings = read(path)
    return source, [(f.code.name, f.span.line, f.span.column) for f in findings]


@pytest.mark.parametrize(
    "data",
    [
        SHEET.encode(),
        b"\xef\xbb\xbf" + SHEET.encode(),
        SHEET.replace("\n", "\r\n").encode(),
        SHEET.replace("\n", "\r").encode(),
    ],
    ids=["plain", "byte-order mark", "CRLF", "CR"],
)
def test_line_ends_and_marks_do_not_matter(tmp_path, data):
    """The same sheet comes out whatever the editor wrote around it."""
    source, findings = reading(tmp_path, data)
    assert (SHEET, []) == (source.text, findings)


def test_tabs_are_kept(tmp_path):
    """Tabs indent; they are no stray characters."""
    assert [] == reading(tmp_path, SHEET.replace("  ", "\t").encode())[1]


def test_bytes_that_are_not_utf8_have_a_place(tmp_path):
    """The first bad byte is found at its line and column, and the other lines are still read."""
    source, findings = reading(tmp_path, "routine: Mühle\npart É:\n  Vine\n".encode("latin-1"))
    assert [("not-text", 1, 11)] == findings
    assert 3 == len([line for line in parse(source)[0].lines if line.node or line.broken]) + 1


def test_utf16_is_named(tmp_path):
    """A file of the commonest wrong encoding is refused with its name, and says nothing more."""
    source, findings = reading(tmp_path, SHEET.encode("utf-16"))
    assert [("not-text", 1, 1)] == findings
    assert () == parse(source)[1]


@pytest.mark.parametrize("char", ["\0", "\x07", "\x0b", "\x1b", "\x85", "\u200b", "\u202e", "\u00ad", "\ufeff"])
def test_stray_characters_have_a_place(tmp_path, char):
    """A character that can't be seen is found where it first stands; every other place stays as it is."""
    source, findings = reading(tmp_path, f"routine: X\npart A:\n  Vine{char}{char} x2\n".encode())
    assert [("stray-character", 3, 7)] == findings
    assert "  Vine   x2" == source.line(3)
    assert () == parse(source)[1]


def test_what_is_no_text_at_all_is_refused_whole(tmp_path):
    """A file of bytes that mean something else gives one finding at the first, not thousands."""
    source, findings = reading(tmp_path, b"routine: X\n" + b"\0" * 100_000)
    assert [("not-text", 2, 1)] == findings
    assert () == parse(source)[1]


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"PK\x03\x04" + bytes(200), "word processor"),
        (b"{\\rtf1 routine: X\n}", "word processor"),
        (b"%PDF-1.7\n", "word processor"),
        (b"\x89\xff\x00\x01\n" * 40, "no text"),
    ],
)
def test_what_another_program_wrote_is_one_finding(tmp_path, data, said):
    """A document, a picture or the like is named as what it is, once; its bytes are not read as lines."""
    path = tmp_path / "x.routine"
    path.write_bytes(data)
    source, (finding,) = read(path)
    assert ("not-text", 1, True) == (finding.code.name, finding.span.line, said in finding.message)
    assert () == parse(source)[1]


def test_half_a_character_is_stray():
    """A lone half of a surrogate pair in a text from memory can't break what is printed later."""
    source, findings = take("routine: X\ud800\n")
    assert ["stray-character"] == [finding.code.name for finding in findings]
    assert source.text.encode()


def test_a_file_that_is_too_large_is_refused(tmp_path):
    """More bytes than any sheet has are refused with one finding."""
    source, findings = reading(tmp_path, b"x" * (MAX_BYTES + 1))
    assert [("too-large", 1, 1)] == findings
    assert () == parse(source)[1]


def test_a_million_lines_are_refused(tmp_path):
    """Too many lines are refused with one finding."""
    source, findings = reading(tmp_path, b"Vine\n" * 1_000_000)
    assert [("too-large", MAX_LINES + 1, 1)] == findings
    assert () == parse(source)[1]


def test_a_long_line_is_refused_and_the_rest_is_read(tmp_path):
    """A line of ten million letters, or of one too many, doesn't hide the lines after it."""
    text = f"routine: X\n# {'y' * MAX_COLUMNS}\npart A:\n  Vine, tun 1/4 left\n"
    source, findings = reading(tmp_path, text.encode())
    assert [("too-large", 2, MAX_COLUMNS + 1)] == findings
    assert [4] == [finding.span.line for finding in parse(source)[1]]
    assert ["too-large"] == [finding[0] for finding in reading(tmp_path, b"x" * 10_000_000)[1]]


def test_one_finding_stands_for_many_of_a_kind():
    """A text full of one fault gives one finding that counts the others."""
    findings = take("\0" * 50 + "\n" + ("y" * 3000 + "\n") * 7)[1]
    assert ["stray-character", "too-large"] == [finding.code.name for finding in findings]
    assert ["and 49 more" in findings[0].message, "and 6 more" in findings[1].message] == [True, True]
    assert (("count", 50),) == findings[0].args


@pytest.mark.parametrize("name", [".", "missing.routine", "nul\0.routine"])
def test_what_cannot_be_opened_is_raised(name):
    """A folder, a missing file and a name that can't be are errors, not sheets."""
    with pytest.raises(SourceError):
        read(name)


def test_bytes_are_read_as_a_file_is(tmp_path):
    """Bytes that an editor hands over give the same text and findings as the file that holds them."""
    data = b"\xef\xbb\xbfroutine: M\xfchle\r\npart A:\n  Vine\0\n"
    source, findings = reader.decode(data, "x")
    assert (source.text, [(f.code.name, f.span.line, f.span.column) for f in findings]) == (
        (lambda kept, found: (kept.text, found))(*reading(tmp_path, data))
    )
    assert ["not-text", "stray-character"] == [finding.code.name for finding in findings]


def test_a_refused_text_is_not_called_empty():
    """One fault gives one finding: a refused file is not reported as an empty sheet too."""
    assert () == parse(Source("x", reader.REFUSED))[1]
    assert ["empty-sheet"] == [finding.code.name for finding in parse(Source("x", ""))[1]]
