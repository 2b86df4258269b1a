"""The pages of the codes, and the tables of verdicts, exit statuses and codes."""

import re
from pathlib import Path
from typing import Any

import pytest

from stepcheck.model.findings import CODES, Code, Severity
from stepcheck.model.outcome import Verdict
from stepcheck.model.statuses import STATUS, STATUSES
from stepcheck.report.text import word

SPECS = Path(__file__).parents[3] / "specs"
PAGES = SPECS / "codes"
HEADINGS = ["What was found", "Ways out", "What the class would notice", "A sheet with it", "The same sheet mended"]
OWN_HEADINGS = {"engines-disagree": ["What was found", "Ways out", "Why this is no verdict", "A sheet without it"]}
SHEETLESS = {"engines-disagree"}
"""Codes that no sheet brings about: stepcheck's own faults."""
NOTES = sorted(code.name for code in CODES.values() if code.id[2] == "8")


def page(code: Code) -> str:
    """Return the page of a code."""
    return (PAGES / f"{code.id}-{code.name}.md").read_text("utf-8")


def section(code: Code, heading: str) -> str:
    """Return what stands under a heading of the page."""
    return page(code).split(f"\n## {heading}\n")[1].split("\n## ")[0]


def answer(code: Code, heading: str, folder: Path) -> tuple[Verdict, set[str], set[str]]:
    """Return the verdict on the sheet or book under a heading, the ids of what it is answered with, and those of notes.

    The fence says how it is checked: `routine`, perhaps with options such as `budget=1`; `book`; or `python` that makes
    `sheet`, and perhaps `files`, the songs beside it by name.
    """
    from stepcheck.books import book as books
    from stepcheck.books.lint import lint_book
    from stepcheck.report import pipeline

    found = re.search(r"```(\w+)([^\n]*)\n(.*?)```", section(code, heading), re.DOTALL)
    assert found, f"{code.name} has no sheet under {heading!r}"
    kind, words, body = found.groups()
    made: dict[str, Any] = {"sheet": body, "files": {}}
    if kind == "python":
        exec(body, made)
    for name, text in made["files"].items():
        pytest.importorskip("music21", reason="songs are read with music21: pip install 'stepcheck[music]'")
        (folder / name).write_text(text)
    sheet = made["sheet"]
    file = folder / f"{code.name}.{'book' if kind == 'book' else 'routine'}"
    file.write_bytes(sheet if isinstance(sheet, bytes) else sheet.encode())
    options = {
        name: int(value) if value.isdigit() else value for name, value in (pair.split("=") for pair in words.split())
    }
    if kind == "book":
        diagnostics = lint_book(books.load(file))
        verdict = Verdict.PROVED
    else:
        report = pipeline.check_file(file, **options)  # type: ignore[arg-type]
        diagnostics, verdict = report.diagnostics, report.verdict
    notes = {finding.code.id for finding in diagnostics if finding.code.severity is Severity.NOTE}
    return verdict, {finding.code.id for finding in diagnostics} - notes, notes


def test_every_code_has_its_page_and_every_page_its_code() -> None:
    """Pages and codes belong together one to one, and a page has the title of its code and the fixed headings."""
    assert {f"{code.id}-{code.name}.md" for code in CODES.values()} == {path.name for path in PAGES.iterdir()}
    for code in CODES.values():
        assert page(code).startswith(f"# {code.id} {code.name}\n")
        assert re.findall(r"^## (.*)$", page(code), re.MULTILINE) == OWN_HEADINGS.get(code.name, HEADINGS)


@pytest.mark.parametrize(
    "code", [code for code in CODES.values() if code.name not in SHEETLESS], ids=lambda code: code.name
)
def test_the_sheet_with_it_brings_the_code(code: Code, tmp_path: Path) -> None:
    """The page's sheet with it is answered with the page's code, and is wrong in no second way."""
    _, found, notes = answer(code, "A sheet with it", tmp_path)

    assert code.id in found | notes
    assert found <= {code.id}


@pytest.mark.parametrize("name", NOTES)
def test_a_note_changes_no_verdict(name: str, tmp_path: Path) -> None:
    """What is only worth knowing leaves the sheet proved."""
    verdict, found, notes = answer(CODES[name], "A sheet with it", tmp_path)

    assert (Verdict.PROVED, set()) == (verdict, found)
    assert CODES[name].id in notes


@pytest.mark.parametrize("code", CODES.values(), ids=lambda code: code.name)
def test_the_mended_sheet_is_proved(code: Code, tmp_path: Path) -> None:
    """The page's mended sheet is proved and doesn't bring the code."""
    verdict, found, notes = answer(code, OWN_HEADINGS.get(code.name, HEADINGS)[-1], tmp_path)

    assert (Verdict.PROVED, set()) == (verdict, found)
    assert code.id not in notes


def rows(heading: str) -> list[list[str]]:
    """Return the cells of the table under a heading of the page of verdicts."""
    text = (SPECS / "verdicts.md").read_text("utf-8").split(f"\n## {heading}\n")[1].split("\n## ")[0]
    lines = [line for line in text.splitlines() if line.startswith("|")][2:]
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in lines]


def test_the_table_of_verdicts_is_the_programs() -> None:
    """Verdicts stand in order, each with the bands of codes that give it and its exit status."""
    table = rows("Verdicts")

    assert [verdict.word for verdict in Verdict] == [row[0] for row in table]
    assert [str(STATUS[verdict]) for verdict in Verdict] == [row[3] for row in table]
    bands = {band.strip(): row[0] for row in table for band in row[2].split(",") if band.strip().isdigit()}
    for code in CODES.values():
        if code.severity is not Severity.NOTE and code.id[2] != "9":
            assert bands[code.id[2]] == word(code)


def test_the_table_of_exit_statuses_is_the_programs() -> None:
    """The specification and the command's help have the same statuses with the same words."""
    assert [[str(status), about] for status, about in STATUSES] == rows("Exit statuses")


def test_the_table_of_codes_is_the_programs() -> None:
    """Every code stands there with its page, name and severity, in order."""
    pages = {code.name: f"[{code.id}](codes/{code.id}-{code.name}.md)" for code in CODES.values()}
    expected = [[pages[code.name], code.name, code.severity.name.lower()] for code in CODES.values()]
    assert expected == rows("Codes")


def test_codes_are_numbered_in_their_bands() -> None:
    """Ids and names are unique, in order, in a band that the page explains."""
    ids = [code.id for code in CODES.values()]

    assert sorted(set(ids)) == ids
    assert {row[0] for row in rows("Bands")} == {id[2] for id in ids}
