"""Formats of a line for each finding or sheet."""

import json

from stepcheck.formats.json import from_json, json_text
from stepcheck.formats.lines import annotation_of_error, annotations, findings, json_error, json_line
from stepcheck.model.findings import CODES, Diagnostic
from stepcheck.model.outcome import Verdict
from stepcheck.model.source import Span
from stepcheck.report.values import Report, build
from tests.unit.report.test_values import ILL_FORMED, SOURCE, bare, refuted


def test_a_finding_is_one_line() -> None:
    """Place, code, verdict and sentence stand on one line that editors jump by; without findings nothing is said."""
    expected = (
        "copper_ladle.routine:5:3: SR502 refuted: "
        "Chorus should end with the left foot free, but the right foot is free\n"
    )

    assert expected == findings(refuted())
    assert "" == findings(bare(Verdict.PROVED))


def test_a_line_of_json_is_the_sheet_of_the_document() -> None:
    """JSON Lines and the JSON document hold the same members, so that one reader reads both."""
    whole = json.loads(json_text([refuted()]))
    line = json_line(refuted())

    assert 1 == line.count("\n") and line.endswith("\n")
    assert {"schema": whole["schema"], **whole["sheets"][0]} == json.loads(line)
    assert (refuted(),) == from_json(json.dumps({**whole, "sheets": [json.loads(line)]}))
    assert {"path": "x", "message": "gone"} == json.loads(json_error({"path": "x", "message": "gone"}))["error"]


def test_an_annotation_stands_at_the_line_of_the_change() -> None:
    """The command names file, lines and columns; columns only where the finding keeps to one line."""
    told = annotations(refuted())
    many = Diagnostic(CODES["empty-block"], "x", Span(2, 3, 4, 1), "m")

    assert told.startswith(
        "::error file=copper_ladle.routine,line=5,endLine=5,col=3,endColumn=18,title=refuted SR502::"
    )
    assert "col=" not in annotations(Report("x", "", Verdict.ILL_FORMED, diagnostics=(many,)))
    assert "::notice " in annotations(
        build(SOURCE, diagnostics=(Diagnostic(CODES["usual-reading"], "x", Span(1, 1, 1, 2), "m"),))
    )


def test_a_sheet_cannot_write_commands_of_its_own() -> None:
    """Line ends, percent signs, colons and commas in a sheet's name or text never end a command or a property."""
    evil = Diagnostic(
        CODES["unknown-name"], "a,b:c%\n\x1b.routine", Span(1, 1, 1, 2), "no\n::error::x 100%", hints=("a\r\nb",)
    )
    told = annotations(Report(evil.path, "", Verdict.ILL_FORMED, diagnostics=(evil,)))

    assert 1 == told.count("\n") == len(told.splitlines())
    assert r"file=a%2Cb%3Ac%25%0A\x1b.routine,line=1" in told
    assert 1 == len(annotation_of_error({"path": "a\n", "message": "b\nc"}).splitlines())


def test_every_finding_has_its_line() -> None:
    """None is lost, whatever its severity, and the order is that of the report."""
    both = Report("x", "", Verdict.ILL_FORMED, diagnostics=(ILL_FORMED, *refuted().diagnostics))

    assert ["SR301", "SR502"] == [line.split()[1] for line in findings(both).splitlines()]
    assert 2 == len(annotations(both).splitlines())
