"""A bar on the terminal for runs that take long; nothing at all for those that do not."""

import os
import sys
import time
from types import TracebackType
from typing import Any, Self

MANY = 20  # sheets
LONG = 1.5  # seconds
DUMB = ("dumb", "unknown")  # terminals that cannot take a line back
WIDE = 60  # columns from which there is room for the rate and the time left


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
