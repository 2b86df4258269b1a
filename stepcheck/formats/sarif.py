"""Reports in SARIF 2.1.0, the exchange format of checkers that code hosts and editors read.

The layout is that of the OASIS standard "Static Analysis Results Interchange Format (SARIF) Version 2.1.0".
"""

import json
import os
from collections.abc import Iterable, Mapping
from pathlib import PurePath
from typing import Any
from urllib.parse import quote

from stepcheck.formats.reference import page
from stepcheck.model.findings import Code, Diagnostic, Patch, Severity, TraceRow
from stepcheck.model.outcome import Verdict
from stepcheck.model.source import Span
from stepcheck.report.text import arrow, repeated, word
from stepcheck.report.values import Report

SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
LEVELS = {Severity.ERROR: "error", Severity.WARNING: "warning", Severity.NOTE: "note"}
_NOTHING: Mapping[Diagnostic, tuple[Patch, ...]] = {}


def sarif(
    reports: Iterable[Report],
    fixes: Mapping[Diagnostic, tuple[Patch, ...]] = _NOTHING,
    errors: Iterable[Mapping[str, str]] = (),
) -> str:
    """Return `reports` as one SARIF log that ends in a line end.

    Args:
        reports: in the order in which they are to stand.
        fixes: for a finding the changes that mend it, each on its own.
        errors: the files that could not be checked, each with `path` and `message`.
    """
    done = tuple(reports)
    codes = sorted({one.code for report in done for one in report.diagnostics}, key=lambda code: code.id)
    rules = {code: number for number, code in enumerate(codes)}
    failed = [_notification(error) for error in errors]
    versions = dict(pair for report in done for pair in report.versions)
    run = {
        "tool": {"driver": _driver(codes, versions)},
        "invocations": [{"executionSuccessful": not failed, "toolExecutionNotifications": failed}],
        "columnKind": "unicodeCodePoints",
        "artifacts": [_artifact(report) for report in done],
        "results": [
            _result(one, rules[one.code], number, fixes.get(one, ()))
            for number, report in enumerate(done)
            for one in report.diagnostics
        ],
    }
    log = {"$schema": SCHEMA, "version": "2.1.0", "runs": [run]}
    return json.dumps(log, ensure_ascii=False, indent=2) + "\n"


def uri(path: str) -> str:
    """Return a path as an address: a relative one from the folder of the run, an absolute one with its scheme."""
    where = PurePath(path)
    return where.as_uri() if where.is_absolute() else quote(os.fsencode(where.as_posix()))


def _driver(codes: list[Code], versions: Mapping[str, str]) -> dict[str, Any]:
    version = {"version": versions["stepcheck"]} if "stepcheck" in versions else {}
    return {"name": "stepcheck", **version, "rules": [_rule(code) for code in codes]}


def _rule(code: Code) -> dict[str, Any]:
    said = code.name.replace("-", " ")
    about, out, *_ = (" ".join(body.split()) for _, body in page(code).sections)
    return {
        "id": code.id,
        "name": said.title().replace(" ", ""),
        "shortDescription": {"text": f"{said[:1].upper()}{said[1:]}."},
        "fullDescription": {"text": about},
        "help": {"text": f"{about} {out}", "markdown": page(code).markdown},
        "defaultConfiguration": {"level": LEVELS[code.severity]},
    }


def _artifact(report: Report) -> dict[str, Any]:
    tally = {verdict.word: sum(claim.verdict is verdict for claim in report.claims) for verdict in Verdict}
    facts = {"title": report.title, "verdict": report.verdict.word, "claims": {k: n for k, n in tally.items() if n}}
    return {"location": {"uri": uri(report.path)}, "properties": facts}


def _notification(error: Mapping[str, str]) -> dict[str, Any]:
    location = {"physicalLocation": {"artifactLocation": {"uri": uri(error["path"])}}}
    return {"level": "error", "message": {"text": error["message"]}, "locations": [location]}


def _result(finding: Diagnostic, rule: int, artifact: int, patches: tuple[Patch, ...]) -> dict[str, Any]:
    result = {
        "ruleId": finding.code.id,
        "ruleIndex": rule,
        "level": LEVELS[finding.code.severity],
        "message": {"text": _plain(finding), "markdown": _marked(finding)},
        "locations": [_location(finding.path, finding.span, artifact)],
        "partialFingerprints": {"finding/v1": f"{finding.code.id} {finding.claim or finding.message}"},
        "properties": {"verdict": word(finding.code)},
    }
    if finding.related:
        result["relatedLocations"] = [
            {**_location(finding.path, span, artifact), "message": {"text": about}} for span, about in finding.related
        ]
    flows = [_flow(finding.path, rows, artifact) for rows in finding.rows if rows]
    if flows:
        result["codeFlows"] = flows
    if patches:
        result["fixes"] = [_fix(finding.path, patch, artifact) for patch in patches]
    return result


def _location(path: str, span: Span, artifact: int) -> dict[str, Any]:
    return {"physicalLocation": {"artifactLocation": {"uri": uri(path), "index": artifact}, "region": _region(span)}}


def _region(span: Span) -> dict[str, int]:
    return {"startLine": span.line, "startColumn": span.column, "endLine": span.end_line, "endColumn": span.end_column}


def _flow(path: str, rows: tuple[TraceRow, ...], artifact: int) -> dict[str, Any]:
    """Return the steps that lead to a finding, each at its line."""
    steps = []
    for row in rows:
        place = {"artifactLocation": {"uri": uri(path), "index": artifact}, "region": {"startLine": max(row.line, 1)}}
        location = {"physicalLocation": place, "message": {"text": step(row)}}
        steps.append({"location": location, "importance": "essential" if row.marked else "important"})
    return {"threadFlows": [{"locations": steps}]}


def step(row: TraceRow) -> str:
    """Return a step that leads to a finding, in a line."""
    return f"beat {row.beat}: {repeated(row)}, free foot {arrow(row.feet)}, facing {arrow(row.facings)}"


def _fix(path: str, patch: Patch, artifact: int) -> dict[str, Any]:
    replacements = [
        {"deletedRegion": _region(span), "insertedContent": {"text": text}} for span, text in patch.replacements
    ]
    changes = [{"artifactLocation": {"uri": uri(path), "index": artifact}, "replacements": replacements}]
    return {"description": {"text": patch.about}, "artifactChanges": changes}


def _plain(finding: Diagnostic) -> str:
    return ". ".join([finding.message, *(f"Mend: {hint}" for hint in finding.hints)])


def _marked(finding: Diagnostic) -> str:
    """Return the finding as Markdown, with the table of its steps."""
    blocks = [_escaped(finding.message)]
    for rows in finding.rows:
        if rows:
            lines = ["| beat | figure | free foot | facing |", "|---|---|---|---|"]
            for row in rows:
                cells = map(_escaped, (row.beat, repeated(row), arrow(row.feet), arrow(row.facings)))
                lines.append(f"| {' | '.join(f'**{cell}**' if row.marked else cell for cell in cells)} |")
            blocks.append("\n".join(lines))
    if finding.hints:
        blocks.append("\n".join(f"- {_escaped(hint)}" for hint in finding.hints))
    return "\n\n".join(blocks)


def _escaped(said: str) -> str:
    """Return `said` with what would start a mark of Markdown, or a link, as plain characters."""
    return "".join(f"\\{char}" if char in "\\`*_[]<>|#" else char for char in said)
