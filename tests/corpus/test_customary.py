"""Forty-four step descriptions in thirteen layouts, written by hand before drafts were built, against sheets made from
them by hand.

`customary` holds the descriptions with what they mean (READING.md) and their mistakes (MISTAKES.md),
`customary_expected` the sheets, written by another hand from the page of the language, with the conventions that they
follow.
"""

import difflib
import re
from functools import cache
from pathlib import Path

import pytest

import stepcheck as sc
from stepcheck.drafts.draft import Draft
from stepcheck.language.parser import parse
from stepcheck.language.printer import print_sheet
from stepcheck.model.outcome import Verdict
from stepcheck.model.source import Source

HERE = Path(__file__).parent
SOURCES = sorted((HERE / "customary").glob("*.txt"))
NAMES = [path.stem for path in SOURCES]
LAYOUTS = dict(
    re.findall(r"^\| (\S+)\.txt \| (\w) \|", (HERE / "customary" / "INDEX.md").read_text("utf-8"), re.MULTILINE)
)
MISTAKEN = set(
    re.findall(r"^\| (\S+)\.txt \| \d", (HERE / "customary" / "MISTAKES.md").read_text("utf-8"), re.MULTILINE)
)
REMARKS = {
    "07": (6,),
    "18": (5,),
    "19": (5,),
    "20": (19,),
    "21": (1, 11),
    "27": (27,),
    "30": (4,),
    "33": (12,),
    "34": (9,),
    "35": (4,),
    "42": (5,),
}
"""The lines that say no dance: greetings, jokes, heads of tables (LINES.md)."""
READ = ("fact", "heading", "steps", "order")
BLANKS = {"33_lantern_slide", "43_sunday_boots"}
"""The descriptions of which some counts are not read."""


@cache
def made(name: str) -> Draft:
    """Return the draft of a description."""
    return sc.draft((HERE / "customary" / f"{name}.txt").read_text("utf-8"))


def content(name: str) -> list[str]:
    """Return what each line of a description was read as, remarks and heads of tables left out."""
    return [line.kind for line in made(name).lines if line.line not in REMARKS.get(name[:2], ())]


def said(text: str) -> list[str]:
    """Return what a sheet says: its lines without comments and notes, and without who wrote it and to what music."""
    lines = []
    for line in text.splitlines():
        bare = re.sub(r"\s+\([^()]*\)$", "", re.sub(r"(?:^|\s+)#.*$", "", line).rstrip())
        if bare.strip() and not re.match(r"(?:routine|song|artist|author|level|tempo):", bare):
            lines.append(bare)
    return lines


def share(names: list[str]) -> float:
    """Return which share of the content of descriptions is read, without a blank and not open."""
    kinds = [kind for name in names for kind in content(name)]
    return sum(kind in READ for kind in kinds) / len(kinds)


def test_the_corpus_is_what_it_is_said_to_be() -> None:
    """Forty-four descriptions, in thirteen layouts, each with its sheet; 796 lines of content."""
    assert 44 == len(SOURCES) == len(list((HERE / "customary_expected").glob("*.routine")))
    assert set(NAMES) == set(LAYOUTS)
    assert 13 == len(set(LAYOUTS.values()))
    assert 796 == sum(len(content(name)) for name in NAMES)


def test_nine_lines_in_ten_are_read() -> None:
    """Over all, and in each layout, at least nine lines of content in ten become steps, facts, headings or the
    order."""
    assert share(NAMES) >= 0.9
    for layout in sorted(set(LAYOUTS.values())):
        assert share([name for name in NAMES if LAYOUTS[name] == layout]) >= 0.9, layout


@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_read_as_something_else(name: str) -> None:
    """A draft has the lines of the expected sheet, movement by movement: feet, counts, turns, facings, figures,
    contracts, walls, order; where it differs, it has a blank."""
    expected = (HERE / "customary_expected" / f"{name}.routine").read_text("utf-8")
    wanted, found = said(expected), said(made(name).text)
    for tag, a, b, c, d in difflib.SequenceMatcher(None, wanted, found, autojunk=False).get_opcodes():
        if tag != "equal":
            assert name in BLANKS, (wanted[a:b], found[c:d])
            assert all(re.fullmatch(r"\s*\? \d+ (?:counts?|beats?)", line) for line in found[c:d]), found[c:d]


@pytest.mark.parametrize("name", NAMES)
def test_every_line_of_the_source_is_accounted_for(name: str) -> None:
    """Every line that says something is read as something; one that is not understood stands in the sheet as it is."""
    text = (HERE / "customary" / f"{name}.txt").read_text("utf-8")
    draft = made(name)

    assert [at for at, line in enumerate(text.splitlines(), 1) if line.strip()] == [line.line for line in draft.lines]
    words = set(re.findall(r"\w+", draft.text))
    for line in draft.lines:
        if line.kind in ("remark", "open"):
            assert set(re.findall(r"[A-Za-z]{4,}", line.text)) <= words, line
        if line.kind in ("blank", "open"):
            assert any(said.startswith(f"line {line.line}: ") for said in draft.open), line


@pytest.mark.parametrize("name", NAMES)
def test_a_draft_is_a_sheet_in_the_canonical_layout(name: str) -> None:
    """The language has no finding in a draft, and the formatter changes nothing."""
    sheet, findings = parse(Source(name, made(name).text))

    assert () == findings
    assert made(name).text == print_sheet(sheet)


@pytest.mark.parametrize("name", NAMES)
def test_the_check_finds_the_mistakes_that_the_authors_left_in(name: str) -> None:
    """Of the drafts just those eight are not proved whose description has a mistake; two wait on their blank."""
    verdict = sc.check(sc.loads(made(name).text), engine="walk").verdict

    if name in MISTAKEN:
        assert verdict in (Verdict.REFUTED, Verdict.ILL_FORMED)
    else:
        assert verdict is (Verdict.UNDECIDED if name in BLANKS else Verdict.PROVED)
