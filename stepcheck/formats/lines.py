"""Reports a line at a time: for editors and shells, as JSON Lines, and as annotations of a change on GitHub.

Each is written as soon as its sheet is done.
"""

import json
from collections.abc import Mapping

from stepcheck.formats.json import SCHEMA, plain
from stepcheck.model import words
from stepcheck.model.findings import Diagnostic, Severity
from stepcheck.report.text import word
from stepcheck.report.values import Report

LEVELS = {Severity.ERROR: "error", Severity.WARNING: "warning", Severity.NOTE: "notice"}


def findings(report: Report) -> str:
    """Return a line for each finding: `path:line:column: CODE verdict: message`; nothing where there is none."""
    return "".join(
        f"{words.visible(one.path)}:{one.span.line}:{one.span.column}: {one.code.id} {word(one.code)}: {_said(one)}\n"
        for one in report.diagnostics
    )


def json_line(report: Report) -> str:
    """Return the report as one line of JSON, with the members of a sheet in the JSON document and its `schema`."""
    return json.dumps({"schema": SCHEMA, **plain(report)}, ensure_ascii=False) + "\n"


def json_error(error: Mapping[str, str]) -> str:
    """Return what could not be checked, its `path` and `message`, as one line of JSON under `error`."""
    return json.dumps({"schema": SCHEMA, "error": dict(error)}, ensure_ascii=False) + "\n"


def annotations(report: Report) -> str:
    """Return a workflow command for each finding, which GitHub shows beside the line in a change.

    The commands are those of GitHub's page "Workflow commands for GitHub Actions"; a column means something there only
    where the finding stands on one line.
    """
    return "".join(_annotation(finding) for finding in report.diagnostics)


def annotation_of_error(error: Mapping[str, str]) -> str:
    """Return the workflow command for a file that could not be checked, given its `path` and `message`."""
    return f"::error file={_property(error['path'])},title=could not be checked::{_data(error['message'])}\n"


def _annotation(finding: Diagnostic) -> str:
    span = finding.span
    facts = {"file": finding.path, "line": str(span.line), "endLine": str(span.end_line)}
    if span.line == span.end_line:
        facts |= {"col": str(span.column), "endColumn": str(max(span.column, span.end_column - 1))}
    facts["title"] = f"{word(finding.code)} {finding.code.id}"
    said = "\n".join([_said(finding), *(f"mend: {hint}" for hint in finding.hints)])
    told = ",".join(f"{name}={_property(value)}" for name, value in facts.items())
    return f"::{LEVELS[finding.code.severity]} {told}::{_data(said)}\n"


def _said(finding: Diagnostic) -> str:
    return words.visible(finding.message)


def _data(said: str) -> str:
    """Return `said` as the text of a command, in which a line end would end the command."""
    return said.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _property(said: str) -> str:
    """Return `said` as a property of a command, in which a colon or comma would end the property."""
    return words.visible(_data(said)).replace(":", "%3A").replace(",", "%2C")
