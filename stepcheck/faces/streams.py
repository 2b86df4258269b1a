"""Where the command writes and reads: answers to stdout or a file, messages and a bar to stderr, what shows a failure
of its own again to a file; messages of an editor from stdin.

A reader that leaves early, as in `stepcheck … | head`, is no error: what is written from then on goes nowhere, and the
exit status is what it would have been.
"""

import io
import os
import re
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import TracebackType
from typing import Any, BinaryIO, Self

from stepcheck.language.files import is_stdout, reason, writing
from stepcheck.model.source import MAX_BYTES, SourceError, read_bytes
from stepcheck.model.words import visible

MANY = 20  # sheets
LONG = 1.5  # seconds
DUMB = ("dumb", "unknown")  # terminals that cannot take a line back
WIDE = 60  # columns from which there is room for the rate and the time left
HEADING = re.compile(rb"Content-Length: (\d{1,9})\r\n$")
LONGEST = 16 * MAX_BYTES  # bytes of a message: a sheet, each character as JSON may write it


def ready() -> None:
    """Open nothing in the place of each stream that the command was started without."""
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        if getattr(sys, name) is None:
            setattr(sys, name, open(os.devnull, mode, encoding="utf-8"))  # noqa: SIM115 - it stays open to the end


def write(said: str) -> None:
    """Write to stdout, in UTF-8 wherever it goes.

    Raises:
        SourceError: it cannot be written, the disk being full or the like.
    """
    try:
        sys.stdout.buffer.write(said.encode("utf-8", "backslashreplace"))
        sys.stdout.buffer.flush()
    except BrokenPipeError:
        forsake(sys.stdout.fileno())
    except OSError as error:
        forsake(sys.stdout.fileno())
        raise SourceError(f"the answers cannot be written: {reason(error)}") from error


def remark(said: str) -> None:
    """Write a line to stderr."""
    try:
        sys.stderr.write(f"{said}\n")
        sys.stderr.flush()
    except OSError:
        forsake(sys.stderr.fileno())  # there is nowhere left to say so


def complain(said: str) -> None:
    """Write a message of stepcheck's own to stderr, which no name of a file in it can steer."""
    remark(f"stepcheck: {visible(said)}")


@contextmanager
def destination(output: str | None, *, force: bool = False, sheet: bool = False) -> Iterator[Callable[[str], None]]:
    """Yield what writes the answers: to the file `output`, as `files.writing` does, or to stdout.

    Raises:
        SourceError: the file cannot be written, which is said before any sheet is checked.
    """
    if output is None or is_stdout(output):
        yield write
        return
    with writing(output, force=force, sheet=sheet) as put:
        yield lambda said: put(said.encode("utf-8", "backslashreplace"))


def forsake(stream: int) -> None:
    """Have all that is written to a stream from now on go nowhere, what the interpreter empties on its way out too."""
    nothing = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nothing, stream)
    os.close(nothing)


class Progress:
    """Shows how far a run over `total` sheets has come, on stderr, if that is a terminal and the run takes long."""

    def __init__(self, total: int) -> None:
        self._total = total
        self._done = 0
        self._wanted = total >= MANY and sys.stderr.isatty() and os.environ.get("TERM") not in DUMB
        self._start = time.monotonic()
        self._bar: Any = None

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, value: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.hide()

    def step(self) -> None:
        """Count one sheet as done."""
        self._done += 1
        if self._bar is None and self._wanted and time.monotonic() - self._start > LONG:
            self._bar = _bar(self._total)
        if self._bar is not None:
            self._bar.start()
            rate = self._done / (time.monotonic() - self._start)
            self._bar.update(self._bar.task_ids[0], completed=self._done, rate=f"{rate:,.0f} a second")

    def hide(self) -> None:
        """Take the bar off the terminal, so that something else can be written; the next `step` brings it back."""
        if self._bar is not None:
            self._bar.stop()


def _bar(total: int) -> Any:
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, ProgressColumn, TextColumn, TimeRemainingColumn
    from rich.progress import Progress as Bar

    rate, left = TextColumn("{task.fields[rate]}"), TimeRemainingColumn(elapsed_when_finished=True)
    console = Console(stderr=True)
    shown: tuple[ProgressColumn, ...] = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn())
    shown += (rate, left) if console.width >= WIDE else ()
    bar = Bar(*shown, console=console, transient=True, redirect_stdout=False, redirect_stderr=False)
    bar.add_task("sheets", total=total, rate="")
    return bar


def keep(reason: str, path: str | None = None, error: BaseException | None = None) -> str | None:
    """Write what is needed to see a failure again and return the file's path, or None if it can't be written.

    The file is the sheet itself under comments that tell what happened, so checking it shows the failure again.

    Args:
        reason: what happened, in one line.
        path: the sheet, if one was being worked on.
        error: the exception, if there was one.
    """
    import tempfile  # both are for this rare case only
    import traceback

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


def failure(reason: str, path: str | None = None, error: BaseException | None = None) -> str:
    """Return what to say where stepcheck itself failed, having kept what shows the failure again; as `keep`."""
    kept = keep(reason, path, error)
    where = f"; {kept} shows it again" if kept else ""
    return f"internal error, which is no verdict: {reason}{where}"


# -- what an editor says ----------------------------------------------------------------------------------------------


class Messages(io.BufferedIOBase):
    """The messages of an editor on stdin, without headings that cannot be: a length that is none, or too long.

    A heading is found at the end of a line too, behind what is left of a message that was passed over.
    """

    def __init__(self, stdin: BinaryIO) -> None:
        self._stdin = stdin

    def readline(self, size: int | None = -1, /) -> bytes:
        """Return the next line of a heading; one that gives no possible length becomes one that says nothing."""
        line = self._stdin.readline()
        length = HEADING.search(line)
        if length is None:
            return b"-\r\n" if line.strip() else line
        return length[0] if int(length[1]) <= LONGEST else b"-\r\n"

    def read(self, size: int | None = -1, /) -> bytes:
        """Return the body of a message."""
        return self._stdin.read(-1 if size is None else size)
