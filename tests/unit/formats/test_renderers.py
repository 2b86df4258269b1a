"""Formats by name."""

import json
from pathlib import Path

import pytest

from stepcheck.formats.renderers import renderer
from stepcheck.model.choices import FORMATS
from stepcheck.model.outcome import Verdict
from stepcheck.report.text import text
from tests.unit.report.test_values import bare, refuted


@pytest.mark.parametrize("form", FORMATS)
def test_every_format_says_every_finding(form: str) -> None:
    """Whatever the format, the sentence of a finding and its code stand in what is written."""
    made = renderer(form)
    said = made.each(refuted()) + made.end((refuted(),), [])

    assert refuted().diagnostics[0].message in said
    assert "SR502" in said


@pytest.mark.parametrize("form", FORMATS)
def test_a_format_is_written_sheet_by_sheet_or_once(form: str) -> None:
    """A format of lines keeps no sheet for the end; one that is a document is written then, also without a sheet."""
    made = renderer(form)
    each, end = made.each(refuted()), made.end((refuted(),) if made.streams else (), [])

    assert ("" != each, "" != end) == (made.streams, not made.streams)


@pytest.mark.parametrize("form", [form for form in FORMATS if form not in ("text", "lines")])
def test_what_could_not_be_checked_is_said(form: str) -> None:
    """A format for programs names the files that could not be checked, with the reason."""
    said = renderer(form).end((bare(Verdict.PROVED),), [{"path": "gone.routine", "message": "it is gone"}])

    assert "gone.routine" in said and "it is gone" in said


def test_text_takes_its_style() -> None:
    """Colour, width and the proved claims are the caller's choice."""
    style = {"colour": True, "width": 60, "verbose": True}

    assert text((refuted(),), **style) == renderer("text", **style).each(refuted())


def test_json_is_one_document() -> None:
    """The document has the sheets in order."""
    done = (bare(Verdict.PROVED), refuted())

    assert ["x.routine", "copper_ladle.routine"] == [
        sheet["path"] for sheet in json.loads(renderer("json").end(done, []))["sheets"]
    ]


def test_the_page_of_formats_is_about_the_program() -> None:
    """The table in the specifications has every format, in the program's order, and says which of them stream."""
    page = (Path(__file__).parents[3] / "specs" / "formats.md").read_text("utf-8").partition("\n## ")[0]
    rows = [[cell.strip() for cell in line.strip("|").split("|")] for line in page.splitlines() if line[:1] == "|"][2:]

    assert [(form, "yes" if renderer(form).streams else "no") for form in FORMATS] == [(r[0], r[2]) for r in rows]
