"""Sheets laid out anew: what the formatter makes of a file, and how it gets back there."""

import os
import shutil
import tempfile
from difflib import unified_diff

from attrs import frozen

from stepcheck.diagnostics import Diagnostic
from stepcheck.source import SourceError


@frozen
class Layout:
    """A sheet before and after formatting; `after` is None where it is not understood, and `findings` say why."""

    path: str
    before: str
    after: str | None
    findings: tuple[Diagnostic, ...] = ()

    @property
    def changed(self) -> bool:
        """Whether the formatter writes it differently."""
        return self.after is not None and self.after != self.before

    def diff(self) -> str:
        """Return what changes, as a unified diff."""
        before, after = self.before.splitlines(keepends=True), (self.after or "").splitlines(keepends=True)
        lines = unified_diff(before, after, self.path, f"{self.path} (laid out)")
        return "".join(line if line.endswith("\n") else f"{line}\n\\ No newline at end of file\n" for line in lines)


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
