"""Reports as JUnit XML, which CI servers show as tests: a suite for each sheet, a case for each claim.

The layout is the schema `junit-10.xsd` of the xUnit plugin of Jenkins, which its readers agree on.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from xml.sax.saxutils import escape, quoteattr

from stepcheck.model.findings import Diagnostic, Severity
from stepcheck.model.outcome import Verdict
from stepcheck.model.words import count, visible
from stepcheck.report.text import text, word
from stepcheck.report.values import Report

READS = "reads as a sheet"
TAGS = {Verdict.PROVED: "", Verdict.REFUTED: "failure", Verdict.VACUOUS: "failure", Verdict.UNDECIDED: "skipped"}


def junit(reports: Iterable[Report], errors: Iterable[Mapping[str, str]] = ()) -> str:
    """Return `reports` as one XML document that ends in a line end.

    A refuted or vacuous claim is a failure, an undecided one is skipped with its reason, and a sheet that can't be
    understood or read is an error.  No times stand in it, so that equal reports give equal bytes.

    Args:
        reports: in the order in which they are to stand.
        errors: the files that could not be checked, each with `path` and `message`.
    """
    suites = [_suite(report) for report in reports]
    suites += [_broken(error) for error in errors]
    totals = [sum(suite[0][place] for suite in suites) for place in range(3)]
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<testsuites name="stepcheck" tests="{totals[0]}" failures="{totals[1]}" errors="{totals[2]}">',
        *(line for _, suite in suites for line in suite),
        "</testsuites>",
    ]
    return "".join(f"{line}\n" for line in lines)


def _suite(report: Report) -> tuple[tuple[int, int, int], list[str]]:
    """Return how many tests, failures and errors a sheet has, and its lines."""
    by_claim = {one.claim: one for one in report.diagnostics if one.claim}
    wrong = [one for one in report.diagnostics if word(one.code) in ("ill-formed", "internal error")]
    tally = Counter(TAGS[claim.verdict] for claim in report.claims)
    counts = (len(report.claims) + 1, tally["failure"], 1 if wrong else 0)
    lines = [
        f'  <testsuite name={_quoted(report.title or report.path)} file={_quoted(report.path)} tests="{counts[0]}" '
        f'failures="{counts[1]}" errors="{counts[2]}" skipped="{tally["skipped"]}">',
        *_case(report, READS, "error" if wrong else "", wrong, f"{count(len(wrong), 'mistake')} in the writing"),
    ]
    for claim in report.claims:
        found = [by_claim[claim.id]] if claim.id in by_claim else []
        name, message = f"{claim.id} (line {claim.line})", claim.sentence or claim.text
        lines += _case(report, name, TAGS[claim.verdict], found, message, claim.verdict.word)
    notes = [one for one in report.diagnostics if one.code.severity is Severity.NOTE]
    if notes:
        said = "\n".join(f"line {one.span.line}: {visible(one.message)}" for one in notes)
        lines.append(f"    <system-out>{_escaped(said)}</system-out>")
    return counts, [*lines, "  </testsuite>"]


def _case(
    report: Report, name: str, tag: str, found: list[Diagnostic], message: str, kind: str = "ill-formed"
) -> Iterator[str]:
    """Yield a case that ends as `tag` says, with what was found; one without a tag is passed."""
    opened = f"<testcase classname={_quoted(report.path)} name={_quoted(name)}"
    if not tag:
        yield f"    {opened}/>"
        return
    only = Report(report.path, report.title, report.verdict, report.claims, tuple(found), quotes=report.quotes)
    said = "\n".join(text((only,)).splitlines()[:-1])
    yield f"    {opened}>"
    yield f"      <{tag} type={_quoted(kind)} message={_quoted(message)}>{_escaped(said)}</{tag}>"
    yield "    </testcase>"


def _broken(error: Mapping[str, str]) -> tuple[tuple[int, int, int], list[str]]:
    """Return the suite of a file that could not be checked."""
    name, message = _quoted(error["path"]), _quoted(error["message"])
    return (1, 0, 1), [
        f'  <testsuite name={name} file={name} tests="1" failures="0" errors="1" skipped="0">',
        f'    <testcase classname={name} name="{READS}">',
        f'      <error type="could not be checked" message={message}/>',
        "    </testcase>",
        "  </testsuite>",
    ]


def _quoted(said: str) -> str:
    return quoteattr(visible(said))


def _escaped(said: str) -> str:
    """Return `said` as the text of an element; what XML can't hold is written out."""
    return "\n".join(escape(visible(line)) for line in said.split("\n"))
