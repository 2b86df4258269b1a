"""The reference of the language: every example on the page is executed."""

import re
from pathlib import Path

import pytest

from stepcheck.language.parser import LineError, parse, parse_line
from stepcheck.language.phrases import Phrases
from stepcheck.language.printer import print_node, print_sheet
from stepcheck.model.findings import Severity
from stepcheck.model.source import Source
from stepcheck.report import pipeline

PAGE = (Path(__file__).parents[3] / "specs" / "language.md").read_text(encoding="utf-8")
BLOCKS = [
    (found[1].split(), found[2], PAGE.count("\n", 0, found.start()) + 1)
    for found in re.finditer(r"^```(\S.*)\n((?:.*\n)*?)```$", PAGE, re.M)
]
PLACES = ("part", "dance", "music", "figures")
WHOLE = [(text, line) for kind, text, line in BLOCKS if kind == ["sheet"]]
LINES = [(kind[0], text, line) for kind, text, line in BLOCKS if kind[0] in PLACES]
OTHERS = [(BLOCKS[at - 1], text, line) for at, (kind, text, line) in enumerate(BLOCKS) if kind == ["also"]]
WHOLE_OTHERS = [(BLOCKS[at - 1][1], text, line) for at, (kind, text, line) in enumerate(BLOCKS) if kind == ["other"]]
NAMED = [
    (kind[1], BLOCKS[at - 1][1], text, line)
    for at, (spoken, text, line) in enumerate(BLOCKS)
    if spoken == ["spoken"]
    for kind in [BLOCKS[at - 1][0]]
]
DOUBTFUL = [(" ".join(kind[1:]), text, line) for kind, text, line in BLOCKS if kind[0] == "doubtful"]
UNREAD = [(kind[1], " ".join(kind[2:]), text, line) for kind, text, line in BLOCKS if kind[0] == "unread"]
WRONG = [(kind[1], kind[2], text, line) for kind, text, line in BLOCKS if kind[0] == "wrong"]


def at_lines(cases):
    """Return the place of each case on the page, to name it by."""
    return [f"line {case[-1]}" for case in cases]


def test_every_block_is_executed():
    """No block of the page is of a kind that nothing runs."""
    kinds = (WHOLE, LINES, OTHERS, WHOLE_OTHERS, NAMED, NAMED, DOUBTFUL, UNREAD, WRONG)
    assert len(BLOCKS) == sum(map(len, kinds))
    assert PAGE.count("```") == 2 * len(BLOCKS)


@pytest.mark.parametrize(("text", "line"), WHOLE, ids=at_lines(WHOLE))
def test_a_sheet_of_the_page_is_read_and_is_canonical(text, line):
    """A whole sheet has no findings and is printed as it stands."""
    sheet, findings = parse(Source("page", text))
    assert () == findings
    assert text == print_sheet(sheet)


@pytest.mark.parametrize(("place", "text", "line"), LINES, ids=at_lines(LINES))
def test_a_line_of_the_page_is_read_and_is_canonical(place, text, line):
    """Each line is read where the page puts it, and is printed as it stands."""
    lines = text.splitlines()
    assert lines == [print_node(parse_line(written, place)) for written in lines]


@pytest.mark.parametrize(("block", "text", "line"), OTHERS, ids=at_lines(OTHERS))
def test_another_way_to_write_a_line_means_the_same(block, text, line):
    """Each synonym is printed as the line that it stands for, names in their own spelling."""
    (place,), canonical, _ = block
    printed = [print_node(parse_line(written, place)) for written in text.splitlines()]
    assert canonical.casefold().splitlines() == [line.casefold() for line in printed]


@pytest.mark.parametrize(("canonical", "text", "line"), WHOLE_OTHERS, ids=at_lines(WHOLE_OTHERS))
def test_another_way_to_write_a_sheet_means_the_same(canonical, text, line):
    """Headings in other words are printed as the sheet before has them."""
    sheet, findings = parse(Source("page", text))
    assert () == findings
    assert canonical == print_sheet(sheet)


def sheet_of(book, line):
    """Return a sheet of which a part has this line, its names put as a sheet prints them."""
    text = f"routine: Page\nbook: {book}\n\npart Page:\n  {line}\n\ndance:\n  Page\n"
    return pipeline.loads(text)


@pytest.mark.parametrize(("book", "canonical", "text", "line"), NAMED, ids=at_lines(NAMED))
def test_a_name_as_it_is_spoken_is_printed_as_the_book_has_it(book, canonical, text, line):
    """Plurals, numbers before a name and rows with feet are read without findings, and printed the canonical way."""
    for meant, written in zip(canonical.splitlines(), text.splitlines(), strict=True):
        routine = sheet_of(book, written)
        assert () == tuple(one for one in routine.diagnostics if one.code.severity is Severity.ERROR)
        assert f"  {meant}\n" in print_sheet(routine.sheet)
        assert routine.program == sheet_of(book, meant).program or "," in meant


@pytest.mark.parametrize(("book", "text", "line"), DOUBTFUL, ids=at_lines(DOUBTFUL))
def test_what_can_mean_two_things_is_refused_with_both(book, text, line):
    """Both readings are spelled out, and each can be written."""
    (found,) = sheet_of(book, text.strip()).diagnostics
    assert "two-readings" == found.code.name
    assert 2 == len([hint for hint in found.hints if hint.patch])


@pytest.mark.parametrize(("place", "piece", "text", "line"), UNREAD, ids=at_lines(UNREAD))
def test_a_bracket_that_would_be_a_mark_gets_a_note(place, piece, text, line):
    """The note stands at the piece, says what to write outside, and makes nothing wrong."""
    source = Source("page", f"part Page:\n  {text}")
    (note,) = parse(source)[1]
    assert ("note-not-read", Severity.NOTE) == (note.code.name, note.code.severity)
    assert piece == source.line(2)[note.span.column - 1 : note.span.end_column - 1]
    assert note.hints


@pytest.mark.parametrize(("place", "code", "text", "line"), WRONG, ids=at_lines(WRONG))
def test_a_wrong_example_gives_its_code(place, code, text, line):
    """Each mistake on the page comes out with the code that the page names."""
    if place == "sheet":
        assert [code] == [finding.code.name for finding in parse(Source("page", text))[1]]
    else:
        with pytest.raises(LineError) as caught:
            parse_line(text, place)
        assert code == caught.value.code


def test_the_page_reaches_every_rule(monkeypatch):
    """The examples between them use every rule of the grammar."""
    used = set()

    class Spy(Phrases):
        """Meanings that remember which of them were asked for."""

        def __getattribute__(self, name):
            method = super().__getattribute__(name)

            def spied(found):
                used.add(name)
                return method(found)

            return method if name.startswith("_") else spied

    from stepcheck.language import grammar, parser

    machine = grammar.load(Spy())
    monkeypatch.setattr(parser, "_machine", lambda: machine)
    parser._reading.cache_clear()
    for text, _ in WHOLE:
        parse(Source("page", text))
    for place, text in [(place, text) for place, text, _ in LINES] + [(block[0][0], text) for block, text, _ in OTHERS]:
        for written in text.splitlines():
            parse_line(written, place)
    for text in [text for _, text, _ in WHOLE_OTHERS] + [f"part Page:\n  {text}" for _, _, text, _ in UNREAD]:
        parse(Source("page", text))
    parser._reading.cache_clear()
    assert {name for name in vars(Phrases) if not name.startswith("_")} - {"wall"} == used - {"wall"}
