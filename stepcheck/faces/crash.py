"""What is kept when stepcheck itself fails: a sheet that shows the failure again."""

import os
import sys
import tempfile
import traceback

from stepcheck.model.source import SourceError, read_bytes


def keep(reason: str, path: str | None = None, error: BaseException | None = None) -> str | None:
    """Write what is needed to see a failure again and return the file's path, or None if it can't be written.

    The file is the sheet itself under comments that tell what happened, so checking it shows the failure again.

    Args:
        reason: what happened, in one line.
        path: the sheet, if one was being worked on.
        error: the exception, if there was one.
    """
    trace = "".join(traceback.format_exception(error)) if error else ""
    told = [f"stepcheck failed: {reason}", f"asked with: {' '.join(sys.argv[1:])}", f"Python {sys.version.split()[0]}"]
    lines = [line for said in (*told, trace) for line in said.splitlines()]
    head = "".join(f"# {line}\n" for line in lines).encode("utf-8", "backslashreplace")
    try:
        sheet = read_bytes(path) if path else b""
    except SourceError:
        sheet = b""
    try:  # a new file, which nobody else may read, as the sheet may be private
        handle, name = tempfile.mkstemp(prefix="stepcheck-failure-", suffix=".routine")
        with os.fdopen(handle, "wb") as file:
            file.write(head + sheet)
    except OSError:
        return None
    return name


def sentence(reason: str, kept: str | None) -> str:
    """Return what to say about a failure whose evidence was `kept`."""
    where = f"; {kept} shows it again" if kept else ""
    return f"internal error, which is no verdict: {reason}{where}"
