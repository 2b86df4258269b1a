"""SARIF against the schema that OASIS publishes.

`sarif-schema-2.1.0.json` is the schema of "Static Analysis Results Interchange Format (SARIF) Version 2.1.0 Plus
Errata 01", OASIS Standard, as its `id` says; copied unchanged.
"""

import json
from pathlib import Path
from typing import Any

import jsonschema
from attrs import evolve

from stepcheck.formats.fixes import remedies
from stepcheck.formats.sarif import SCHEMA, sarif, uri
from stepcheck.language.patch import Patch
from stepcheck.model.findings import CODES, Diagnostic
from stepcheck.model.outcome import Verdict
from stepcheck.model.source import Span
from stepcheck.report import pipeline
from stepcheck.report.values import Report

HERE = Path(__file__).parent
PUBLISHED = json.loads((HERE / "sarif-schema-2.1.0.json").read_text("utf-8"))
ROUTINES = sorted((HERE.parents[1] / "specs" / "routines").glob("*.routine"))

SHEET = """\
routine: Copper Ladle
book: clogging

part Verse: 8 beats, front to back
  Triple
  Push-off, turn 1/2 right
  expect right foot

dance:
  Verse
"""


def log(reports: list[Report], **more: Any) -> dict[str, Any]:
    """Return the log as values, after the published schema has passed it."""
    made: dict[str, Any] = json.loads(sarif(reports, **more))
    jsonschema.Draft4Validator(PUBLISHED).validate(made)
    return made


def test_the_schema_is_the_published_one() -> None:
    """The file is a schema, and what is printed names it."""
    jsonschema.Draft4Validator.check_schema(PUBLISHED)
    assert PUBLISHED["id"] == SCHEMA


def test_real_sheets_make_valid_logs() -> None:
    """Sheets with every kind of finding, and those of the catalogue, keep to the schema, errors and all."""
    wrong = SHEET.replace("Push-off", "Push-of")
    texts = (SHEET, wrong, "", "\x00")
    reports = [pipeline.check_text(text, path=f"a {number}.routine") for number, text in enumerate(texts)]
    reports += [pipeline.check_file(path, engine="walk") for path in ROUTINES[:5]]
    made = log(reports, errors=[{"path": "gone.routine", "message": "there is no such file"}])

    run = made["runs"][0]
    assert len(reports) == len(run["artifacts"])
    assert sum(len(report.diagnostics) for report in reports) == len(run["results"])
    assert not run["invocations"][0]["executionSuccessful"]
    assert log([])["runs"][0]["invocations"][0]["executionSuccessful"]


def test_every_code_is_a_valid_rule() -> None:
    """Each code that stepcheck has makes a rule and a result that keep to the schema and name each other.

    A rule brings what is known of it, and leads to no address, as there is none that would have to be kept alive.
    """
    found = tuple(Diagnostic(code, "x.routine", Span(1, 1, 1, 1), "m") for code in CODES.values())
    run = log([Report("x.routine", "", Verdict.REFUTED, diagnostics=found)])["runs"][0]

    rules = run["tool"]["driver"]["rules"]
    assert [code.id for code in CODES.values()] == [rules[one["ruleIndex"]]["id"] for one in run["results"]]
    assert not {"helpUri", "informationUri", "downloadUri"} & {
        key for one in (run["tool"]["driver"], *rules) for key in one
    }
    for rule in rules:
        assert rule["help"]["markdown"].startswith(f"# {rule['id']} ")
        assert rule["fullDescription"]["text"] and rule["help"]["text"].startswith(rule["fullDescription"]["text"])


def test_a_finding_says_all_that_the_text_says() -> None:
    """The message has the hints, the Markdown the table of steps, and the flow a place for every step."""
    report = pipeline.check_text(SHEET, path="kettle.routine")
    (result,) = log([report])["runs"][0]["results"]

    (finding,) = report.diagnostics
    assert result["message"]["text"].startswith(finding.message)
    assert all(hint in result["message"]["text"] for hint in finding.hints)
    assert "| beat | figure | free foot | facing |" in result["message"]["markdown"]
    steps = result["codeFlows"][0]["threadFlows"][0]["locations"]
    assert [row.line for row in finding.rows[0]] == [
        step["location"]["physicalLocation"]["region"]["startLine"] for step in steps
    ]
    region = result["locations"][0]["physicalLocation"]["region"]
    assert {"startLine": 7, "startColumn": 3, "endLine": 7, "endColumn": 20} == region


def test_a_fix_that_was_tried_stands_in_the_log(tmp_path: Path) -> None:
    """A name that was meant and a claim that was wrong become fixes that a reader can apply, and no other does."""
    path = tmp_path / "kettle.routine"
    path.write_text(SHEET.replace("Push-off", "Push-of"))
    report = pipeline.check_file(path)
    fixed = remedies([report])
    result = log([report], fixes=fixed)["runs"][0]["results"][0]

    (fix, *_) = result["fixes"]
    (replacement,) = fix["artifactChanges"][0]["replacements"]
    assert "write Push-off" == fix["description"]["text"]
    assert "Push-off" == replacement["insertedContent"]["text"]
    assert {"startLine": 6, "startColumn": 3, "endLine": 6, "endColumn": 10} == replacement["deletedRegion"]
    path.write_text(SHEET)
    (offered,) = remedies([pipeline.check_file(path)]).values()
    assert ["write left foot in the place of right foot"] == [patch.about for patch in offered]


def test_a_fix_that_does_not_mend_is_left_out(tmp_path: Path) -> None:
    """A change after which the finding still stands is never offered."""
    path = tmp_path / "kettle.routine"
    path.write_text(SHEET)
    (finding,) = pipeline.check_file(path).diagnostics
    report = pipeline.check_file(path)
    useless = evolve(finding, hints=("or write `right foot` here",))

    assert {} == remedies([evolve(report, diagnostics=(useless,))])


def test_paths_become_addresses() -> None:
    """A relative path stays relative and is escaped; an absolute one gets its scheme."""
    assert "specs/a%20b%23.routine" == uri("specs/a b#.routine")
    assert "file:///specs/x.routine" == uri("/specs/x.routine")
    assert "%3Cstdin%3E" == uri("<stdin>")
    assert "caf%E9.routine" == uri("caf\udce9.routine")  # a name that is not UTF-8, as the system hands it over


def test_text_of_a_sheet_is_no_markdown() -> None:
    """Links and code in a sheet come out as plain characters."""
    found = Diagnostic(CODES["unknown-name"], "x", Span(1, 1, 1, 2), "no [x](http://y) `z` <b>", hints=("*a*",))
    patch = Patch("p", ((Span(1, 1, 1, 2), "y"),))
    made = log([Report("x", "", Verdict.ILL_FORMED, diagnostics=(found,))], fixes={found: (patch,)})

    assert r"no \[x\](http://y) \`z\` \<b\>" in made["runs"][0]["results"][0]["message"]["markdown"]
