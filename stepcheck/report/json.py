"""Reports for programs: JSON, and back.

The layout is published as a schema beside the specifications; `SCHEMA` names its version and changes with it.
"""

import json
from collections.abc import Iterable
from typing import Any

from stepcheck.model.findings import CODES, Diagnostic, Hint, Patch, TraceRow
from stepcheck.model.outcome import Verdict
from stepcheck.model.source import Span, StepcheckError, require
from stepcheck.report import finish, leanings
from stepcheck.report.values import ClaimReport, Report, word

SCHEMA = "stepcheck-report-1"
TOOL = "stepcheck"


class FormatError(StepcheckError, ValueError):
    """A text that is not a report in the layout that this version reads."""


def json_text(reports: Iterable[Report], **more: Any) -> str:
    """Return `reports` as one JSON document that ends in a line end.

    Args:
        reports: in the order in which they are to stand.
        more: further members of the document, such as `errors`, the files that could not be read.
    """
    done = tuple(reports)
    versions = dict(pair for report in done for pair in report.versions)
    document = {
        "schema": SCHEMA,
        "tool": TOOL,
        "versions": versions,
        "sheets": [sheet_value(report) for report in done],
    }
    return json.dumps({**document, **more}, ensure_ascii=False, indent=2) + "\n"


def to_json(reports: Report | Iterable[Report]) -> str:
    """Return a report, or several, as one JSON document that `from_json` reads and `schema("json")` describes."""
    done = (reports,) if isinstance(reports, Report) else tuple(reports)
    for report in done:
        require(report, Report, "reports, as `check` gives them")
    return json_text(done)


def from_json(text: str) -> tuple[Report, ...]:
    """Return the reports in `text`, equal to those that it was written from.

    Raises:
        FormatError: `text` is no such document, or one of another version.
    """
    try:
        document = json.loads(text)
        if document["schema"] != SCHEMA:
            raise FormatError(f"this report has the layout {document['schema']}, and {SCHEMA} is read here")
        made = tuple(_report(sheet) for sheet in document["sheets"])
        json_text(made)  # what can't be written was never written
        return made
    except (LookupError, TypeError, AttributeError, ValueError, ArithmeticError, RecursionError) as error:
        if isinstance(error, FormatError):
            raise
        raise FormatError(f"this is not a report of stepcheck: {error}") from error


def sheet_value(report: Report) -> dict[str, Any]:
    """Return a report as plain values."""
    return {
        "path": report.path,
        "title": report.title,
        "verdict": report.verdict.word,
        "exit_status": report.exit_status,
        "engine": report.engine,
        "claims": [claim_value(claim) for claim in report.claims],
        "diagnostics": [{"number": n, **finding_value(finding)} for n, finding in enumerate(report.diagnostics, 1)],
        "effort": dict(report.effort),
        "versions": dict(report.versions),
        "quotes": [{"line": line, "text": quote} for line, quote in report.quotes],
        "readings": report.readings,
        "leaning": leanings.value(report.leaning),
        "finish": finish.value(report.finish),
    }


def claim_value(claim: ClaimReport) -> dict[str, Any]:
    """Return the answer to a claim as plain values."""
    return {
        "id": claim.id,
        "kind": claim.kind,
        "text": claim.text,
        "line": claim.line,
        "verdict": claim.verdict.word,
        "sentence": claim.sentence,
        "mended": list(claim.mended),
        "reason": claim.reason,
    }


def finding_value(finding: Diagnostic) -> dict[str, Any]:
    """Return a finding as plain values."""
    return {
        **_span_value(finding.span),
        "code": finding.code.id,
        "name": finding.code.name,
        "severity": finding.code.severity.name.lower(),
        "word": word(finding.code),
        "message": finding.message,
        "args": {name: list(value) if isinstance(value, tuple) else value for name, value in finding.args},
        "hints": [hint.text for hint in finding.hints],
        **({"patches": patches} if any(patches := [_patch_value(hint) for hint in finding.hints]) else {}),
        "trace": [[_row_value(row) for row in rows] for rows in finding.rows],
        "claim": finding.claim,
        "places": finding.places,
        "mended": list(finding.mended),
        "related": [{**_span_value(span), "message": about} for span, about in finding.related],
        "path": finding.path,
    }


def _patch_value(hint: Hint) -> list[dict[str, Any]]:
    """Return the stretches of text that a hint replaces, each with its new text; none where it writes nothing."""
    return [{**_span_value(span), "text": text} for span, text in (hint.patch.replacements if hint.patch else ())]


def _hint(text: str, stretches: list[dict[str, Any]]) -> Hint:
    if not stretches:
        return Hint(text)
    about = f"write {' / '.join(stretches[0]['text'].split(chr(10)))}"
    return Hint(text, Patch(about, tuple((_span(one), one["text"]) for one in stretches)))


def _span_value(span: Span) -> dict[str, int]:
    return {"line": span.line, "column": span.column, "end_line": span.end_line, "end_column": span.end_column}


def _row_value(row: TraceRow) -> dict[str, Any]:
    return {
        "beat": row.beat,
        "line": row.line,
        "figure": row.figure,
        "free_foot": list(row.feet),
        "facing": list(row.facings),
        "times": row.times,
        "marked": row.marked,
        **({"turn": row.turn} if row.turn else {}),
    }


def _report(sheet: dict[str, Any]) -> Report:
    return Report(
        path=sheet["path"],
        title=sheet["title"],
        verdict=_VERDICTS[sheet["verdict"]],
        claims=tuple(_claim(claim) for claim in sheet["claims"]),
        diagnostics=tuple(_finding(finding) for finding in sheet["diagnostics"]),
        engine=sheet["engine"],
        effort=sheet["effort"],
        versions=sheet["versions"],
        quotes=tuple((quote["line"], quote["text"]) for quote in sheet["quotes"]),
        readings=sheet.get("readings", "usual"),
        leaning=leanings.from_value(sheet["leaning"]) if "leaning" in sheet else leanings.Leaning(),
        finish=finish.from_value(sheet.get("finish")),
    )


_VERDICTS = {verdict.word: verdict for verdict in Verdict}


def _claim(claim: dict[str, Any]) -> ClaimReport:
    return ClaimReport(
        claim["id"],
        claim["kind"],
        claim["text"],
        claim["line"],
        _VERDICTS[claim["verdict"]],
        claim["sentence"],
        tuple(claim["mended"]),
        claim["reason"],
    )


def _finding(finding: dict[str, Any]) -> Diagnostic:
    args = ((name, tuple(value) if isinstance(value, list) else value) for name, value in finding["args"].items())
    return Diagnostic(
        code=CODES[finding["name"]],
        path=finding["path"],
        span=_span(finding),
        message=finding["message"],
        args=tuple(args),
        hints=tuple(map(_hint, finding["hints"], finding.get("patches") or [[]] * len(finding["hints"]))),
        rows=tuple(tuple(_row(row) for row in rows) for rows in finding["trace"]),
        claim=finding["claim"],
        places=finding["places"],
        mended=tuple(finding["mended"]),
        related=tuple((_span(other), other["message"]) for other in finding["related"]),
    )


def _span(place: dict[str, Any]) -> Span:
    return Span(place["line"], place["column"], place["end_line"], place["end_column"])


def _row(row: dict[str, Any]) -> TraceRow:
    feet, facings = tuple(row["free_foot"]), tuple(row["facing"])
    return TraceRow(
        row["beat"], row["line"], row["figure"], feet, facings, row["times"], row["marked"], row.get("turn", "")
    )
