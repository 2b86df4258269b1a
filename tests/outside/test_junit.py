"""JUnit XML against a published schema.

`junit-10.xsd` is the schema of the xUnit plugin of Jenkins (Gregory Boissinot, 2014, MIT licence), copied unchanged
from the source distribution of pytest 8.3.4, which is checked against it as well.
"""

from pathlib import Path

from lxml import etree

from stepcheck.formats.junit import junit
from stepcheck.model.findings import CODES, Diagnostic
from stepcheck.model.outcome import Verdict
from stepcheck.model.source import Span
from stepcheck.report import pipeline
from stepcheck.report.values import ClaimReport, Report

HERE = Path(__file__).parent
PUBLISHED = etree.XMLSchema(etree.parse(HERE / "junit-10.xsd"))
ROUTINES = sorted((HERE.parents[1] / "specs" / "routines").glob("*.routine"))


def read(text: str) -> etree._Element:
    """Return the document, after the published schema has passed it."""
    document = etree.fromstring(text.encode("utf-8"))
    PUBLISHED.assertValid(document)
    return document


def claim(number: int, verdict: Verdict) -> ClaimReport:
    """Return a claim with a verdict."""
    return ClaimReport(f"a: claim {number}", "turn", "x", number, verdict, "it <turns> & turns", reason="budget")


def test_every_verdict_has_its_outcome() -> None:
    """Proved passes, refuted and vacuous fail, undecided is skipped; the counts are those of the cases."""
    claims = tuple(claim(number, verdict) for number, verdict in enumerate(list(Verdict)[:4], 1))
    suite = read(junit([Report("x.routine", "X", Verdict.REFUTED, claims)]))[0]

    assert [None, None, "skipped", "failure", "failure"] == [next((c.tag for c in case), None) for case in suite]
    assert ("5", "2", "0", "1") == tuple(suite.get(name) for name in ("tests", "failures", "errors", "skipped"))
    assert ["refuted", "it <turns> & turns"] == [suite[4][0].get(name) for name in ("type", "message")]


def test_what_cannot_be_read_is_an_error() -> None:
    """A sheet that is not understood, and a file that can't be opened, are errors and never pass."""
    made = junit([pipeline.check_text("part", path="x")], [{"path": "gone", "message": "there is no such file"}])
    root = read(made)

    assert "2" == root.get("errors")
    assert ["error", "error"] == [suite.find("testcase")[0].tag for suite in root]


def test_real_sheets_make_valid_documents() -> None:
    """The catalogue keeps to the schema, with a case for each claim and one for each sheet."""
    reports = [pipeline.check_file(path, engine="walk") for path in ROUTINES]
    root = read(junit(reports))

    assert str(sum(len(report.claims) + 1 for report in reports)) == root.get("tests")
    assert len(reports) == len(root)


def test_what_xml_cannot_hold_is_written_out() -> None:
    """Control characters, angle brackets and quotes of a sheet leave the document whole."""
    evil = Diagnostic(CODES["stray-character"], 'a\x00<&">.routine', Span(1, 1, 1, 2), "]]> \x1b \ufffe <b>")
    note = Diagnostic(CODES["usual-reading"], evil.path, Span(1, 1, 1, 2), "\x07 & so on")
    suite = read(junit([Report(evil.path, "\x01", Verdict.ILL_FORMED, diagnostics=(evil, note))]))[0]

    assert r"]]> \x1b \ufffe <b>" in suite[0][0].text
    assert r"line 1: \x07 & so on" == suite.find("system-out").text


def test_equal_reports_give_equal_bytes() -> None:
    """No time or host stands in the document."""
    report = pipeline.check_file(ROUTINES[0], engine="walk")

    assert junit([report]) == junit([report])
    assert not {"time", "timestamp", "hostname"} & set(read(junit([report]))[0].attrib)
