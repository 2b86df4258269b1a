"""The command `draft`: a customary step description becomes a sheet."""

import json
import sys
from typing import Any

import click
from attrs import asdict

from stepcheck.catalogue.discovery import STDIN
from stepcheck.drafts.draft import Draft
from stepcheck.drafts.draft import draft as drafted
from stepcheck.faces.streams import destination, remark
from stepcheck.language import writer
from stepcheck.language.reader import REFUSED, decode
from stepcheck.model.source import SourceError, StepcheckError, read_bytes
from stepcheck.model.statuses import PROVED
from stepcheck.model.words import count
from stepcheck.report import pipeline
from stepcheck.report.json import TOOL, sheet_value
from stepcheck.report.values import Report, text

SCHEMA = "stepcheck-draft-1"


@click.command("draft", short_help="Turn a step description into a sheet.")
@click.argument("path", metavar="FILE", type=click.Path(allow_dash=True))
@click.option(
    "-o",
    "--output",
    type=click.Path(dir_okay=False),
    metavar="SHEET",
    help="Write the sheet to a file instead of stdout.",
)
@click.option("--force", is_flag=True, help="Write over a file that is there.")
@click.option(
    "--check", "checked", is_flag=True, help="Check the sheet as well; the exit status is then that of the check."
)
@click.option(
    "--vocabulary",
    type=click.Path(exists=True, dir_okay=False),
    metavar="WORDS",
    help="Words of a club, added to the shipped ones.",
)
@click.option(
    "--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True, help="What to print."
)
def draft(path: str, output: str | None, force: bool, checked: bool, vocabulary: str | None, form: str) -> int:
    """Turn a step description as teachers write it, FILE or - for stdin, into a sheet.

    Every line of it is in the sheet: as what it was read as, as a blank of its counts, or as a comment. What was
    assumed, and what is open, goes to stderr, a line each. The exit status is 2 if nothing is understood as steps.
    """
    name = "<stdin>" if path == STDIN else path
    said = _text(path, name)
    if output is not None:
        writer.permit(output, writer.inodes((writer.STDIN if path == STDIN else path,)), force=force, sheet=True)
    found = drafted(said, _words(vocabulary))
    if not found.understood:
        line = next((each for each in found.lines), None)
        where = f"{name}:{line.line}: " if line else f"{name}: "
        raise StepcheckError(
            f"{where}no line is understood as steps"
            + (f"; the first is: {line.text[:80]}" if line else ": it is empty")
        )
    report = pipeline.check(pipeline.loads(found.text, path=output or "<draft>")) if checked else None
    with destination(output, force=force, sheet=True) as put:
        put(_json(found, name, report) if form == "json" else found.text)
    for each in found.assumed:
        remark(f"{name}: assumed: {each}")
    for each in found.open:
        remark(f"{name}: open: {each}")
    read = sum(line.kind not in ("blank", "open") for line in found.lines)
    remark(f"{count(len(found.lines), 'line')}: {read} read; {len(found.assumed)} assumed, {len(found.open)} open")
    if report is None:
        return PROVED
    if form == "text":
        remark(text((report,)).rstrip())
    return report.exit_status


def _text(path: str, name: str) -> str:
    """Return the text of the description.

    Raises:
        SourceError: it can't be read, or is no text.
    """
    data = sys.stdin.buffer.read() if path == STDIN else read_bytes(path)
    source, findings = decode(data, name)
    if source.text == REFUSED:
        raise SourceError(f"{name}:{findings[0].span.line}: {findings[0].message}")
    return data.decode("utf-8-sig", errors="replace").replace("\r\n", "\n").replace("\r", "\n")


def _words(vocabulary: str | None) -> str:
    return "" if vocabulary is None else read_bytes(vocabulary).decode("utf-8-sig", errors="replace")


def _json(found: Draft, name: str, report: Report | None) -> str:
    value: dict[str, Any] = {
        "schema": SCHEMA,
        "tool": TOOL,
        "path": name,
        "text": found.text,
        "assumed": list(found.assumed),
        "open": list(found.open),
        "lines": [asdict(line) for line in found.lines],
    }
    if report is not None:
        value["report"] = sheet_value(report)
    return json.dumps(value, ensure_ascii=False, indent=2) + "\n"
