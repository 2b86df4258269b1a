"""Reports for programs."""

import json
from pathlib import Path

import jsonschema
import pytest
from attrs import evolve

from stepcheck.formats.json import SCHEMA, FormatError, from_json, json_text
from stepcheck.model.claims import Kind
from stepcheck.model.findings import CODES
from stepcheck.model.outcome import Verdict
from stepcheck.report.text import word
from stepcheck.report.values import Leaning, build
from tests.unit.report.test_values import ILL_FORMED, SOURCE, bare, refuted

PUBLISHED = json.loads((Path(__file__).parents[3] / "specs" / "report.schema.json").read_text("utf-8"))
REPORTS = (refuted(versions={"stepcheck": "1"}), build(SOURCE, diagnostics=(ILL_FORMED,)), bare(Verdict.PROVED))


def test_json_keeps_to_the_published_schema() -> None:
    """The schema beside the specifications is a schema, and what is printed keeps to it, errors and all."""
    jsonschema.Draft202012Validator.check_schema(PUBLISHED)
    document = json.loads(json_text(REPORTS, errors=[{"path": "x", "message": "it is missing"}]))
    jsonschema.validate(document, PUBLISHED)


def test_the_schema_names_what_the_program_has() -> None:
    """Version, verdicts, kinds of claims and words for findings are the program's own, all of them."""
    defs = PUBLISHED["$defs"]
    assert SCHEMA == PUBLISHED["properties"]["schema"]["const"] == PUBLISHED["$id"]
    assert [verdict.word for verdict in Verdict] == defs["claim"]["properties"]["verdict"]["enum"]
    assert [kind.value for kind in Kind] == defs["claim"]["properties"]["kind"]["enum"]
    assert {word(code) for code in CODES.values()} == set(defs["diagnostic"]["properties"]["word"]["enum"])


def test_reports_turn_into_json_and_back() -> None:
    """What was written is read back equal, findings, steps, arguments and all."""
    assert REPORTS == from_json(json_text(REPORTS))
    assert json_text(REPORTS) == json_text(from_json(json_text(REPORTS)))


def test_the_order_of_members_means_nothing() -> None:
    """A document that another tool wrote anew with its members in order of the alphabet is read as before."""
    leaning = Leaning(settle=(("stomp", "takes weight"),))
    reports = (*REPORTS, evolve(REPORTS[-1], leaning=leaning))

    assert reports == from_json(json.dumps(json.loads(json_text(reports)), sort_keys=True))


def test_findings_carry_place_code_and_arguments() -> None:
    """A program finds the line, the code, the sentence and its values without reading the sentence."""
    (finding,) = json.loads(json_text(REPORTS[:1]))["sheets"][0]["diagnostics"]

    assert (5, 3, "SR502", "wrong-free-foot") == tuple(finding[name] for name in ("line", "column", "code", "name"))
    assert {"expected": "left", "found_values": [0]} == finding["args"]
    assert [False, False, True] == [row["marked"] for row in finding["trace"][0]]


@pytest.mark.parametrize(
    "wrong", ["", "[]", "{}", "null", '{"schema": "stepcheck-report-0"}', f'{{"schema": "{SCHEMA}", "sheets": [{{}}]}}']
)
def test_what_is_no_report_is_refused(wrong: str) -> None:
    """A text that is not a report of this layout is refused with a reason, and never half read."""
    with pytest.raises(FormatError, match="report"):
        from_json(wrong)


def test_the_same_reports_give_the_same_bytes() -> None:
    """The order of members is fixed, and text that can't be UTF-8 is still JSON."""
    assert json_text(REPORTS) == json_text(tuple(REPORTS))
    assert '"sheets": []' in json_text(())
