"""Sheets laid out anew: what the formatter makes of a file, and how it gets back there."""

import os
import shutil
import tempfile
from difflib import unified_diff

from attrs import frozen

from stepcheck.model.findings import Diagnostic, Severity
from stepcheck.model.source import Source, SourceError, read_bytes
from stepcheck.model.words import visible


@frozen
class Layout:
    """A sheet before and after formatting; `after` is None where it is not understood, and `findings` say why."""

    source: Source
    before: str
    after: str | None
    findings: tuple[Diagnostic, ...] = ()

    @property
    def path(self) -> str:
        """The name of the sheet."""
        return self.source.path

    @property
    def changed(self) -> bool:
        """Whether the formatter writes it differently."""
        return self.after is not None and self.after != self.before

    def diff(self) -> str:
        """Return what changes, as a unified diff."""
        before, after = (said.split("\n") for said in (self.before, self.after or ""))
        name = visible(self.path)
        lines = unified_diff(before, after, name, f"{name} (laid out)", lineterm="")
        return "".join(f"{line}\n" for line in lines)


def lay_out(path: str, data: bytes | None = None) -> Layout:
    """Return the sheet at `path`, or the text in `data` under that name, as the formatter writes it.

    Raises:
        SourceError: the file can't be read.
    """
    from stepcheck.language import parser, printer

    raw = read_bytes(path) if data is None else data
    before = raw.decode("utf-8", "replace")
    source, findings = parser.read(path) if data is None else parser.take(before, path)
    sheet, more = parser.parse(source)
    wrong = tuple(finding for finding in (*findings, *more) if finding.code.severity is Severity.ERROR)
    return Layout(source, before, None if wrong else printer.print_sheet(sheet), wrong)


def replace(path: str, text: str) -> None:
    """Write `text` to the file at `path`, all at once or not at all, keeping its permissions and following links.

    Raises:
        SourceError: it can't be written.
    """
    target = os.path.realpath(path)
    made = ""
    try:
        handle, made = tempfile.mkstemp(prefix=".stepcheck-", dir=os.path.dirname(target))
        with os.fdopen(handle, "wb") as file:
            file.write(text.encode("utf-8"))
        shutil.copymode(target, made)
        os.replace(made, target)
    except OSError as error:
        if made and os.path.exists(made):
            os.unlink(made)
        raise SourceError(f"{path} cannot be written: {(error.strerror or str(error)).lower()}") from error
