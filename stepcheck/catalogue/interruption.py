"""Ctrl-C handling that loses no interruption, whatever the process is doing.

Python raises KeyboardInterrupt between any two steps, and one that is raised while an object is being cleared away is
printed and forgotten.  Here it is remembered, and nothing of that kind is printed once somebody has asked to stop.
While code outside Python runs, Python raises nothing at all; so a thread watches the process of the command.
"""

import gc
import os
import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType
from typing import Any, Self

from stepcheck.model.statuses import STOPPED

PATIENCE = 0.8  # seconds that Ctrl-C may wait for what is outside Python


class Interruption:
    """Remembers whether somebody has asked to stop while it is entered."""

    def __init__(self) -> None:
        self.asked = False
        self._before: Any = None
        self._hook = sys.unraisablehook

    def __enter__(self) -> Self:
        if threading.current_thread() is threading.main_thread():
            self._before = signal.getsignal(signal.SIGINT)
            if self._takes_over():
                signal.signal(signal.SIGINT, self._ask)
            self._hook = sys.unraisablehook
            sys.unraisablehook = self._lost
        return self

    def __exit__(self, *_: object) -> None:
        if self._takes_over():
            signal.signal(signal.SIGINT, self._before)
        sys.unraisablehook = self._hook

    def heed(self) -> None:
        """Stop if somebody has asked to.

        Raises:
            KeyboardInterrupt: somebody has.
        """
        if self.asked:
            raise KeyboardInterrupt

    def _takes_over(self) -> bool:
        """Say whether Ctrl-C was Python's own, or another interruption's, before this one."""
        before = self._before
        return before is signal.default_int_handler or isinstance(getattr(before, "__self__", None), Interruption)

    def _ask(self, number: int, frame: FrameType | None) -> None:
        self.asked = True
        self._before(number, frame)

    def _lost(self, found: Any) -> None:
        if not self.asked:
            self._hook(found)


class Watch:
    """Ends this process within a second of Ctrl-C, also inside foreign code; for a process that belongs to stepcheck.

    The solver, which hears of nothing while it works, is told to stop.  Where the process has not come back to Python
    after `PATIENCE`, it is ended as it stands: answers that were printed are there, a file is as it was.
    """

    def __init__(self, wanted: bool = True) -> None:
        self._wanted = wanted
        self._stop = Interruption()
        self._wake, self._woken = -1, -1

    def __enter__(self) -> Self:
        if self._wanted:
            from stepcheck.proof import solving

            self._woken, self._wake = os.pipe()
            os.set_blocking(self._wake, False)
            signal.set_wakeup_fd(self._wake, warn_on_full_buffer=False)
            threading.Thread(target=self._watch, args=(solving.stopper(),), daemon=True).start()
            signal.signal(signal.SIGINT, signal.default_int_handler)
            self._stop.__enter__()
        return self

    def __exit__(self, *_: object) -> None:
        if self._wanted:
            self._stop.__exit__()
            signal.set_wakeup_fd(-1)
            os.close(self._wake)

    def _watch(self, stop: Callable[[], None]) -> None:
        while numbers := os.read(self._woken, 1):
            if numbers[0] == signal.SIGINT:
                stop()
                time.sleep(PATIENCE)
                if not self._stop.asked:
                    os.write(2, b"stepcheck: stopped\n")
                    os._exit(STOPPED)


def settle_down() -> None:
    """Let the collector of this process pass over what is loaded by now, and come less often: reports make no circles.

    It is for processes that belong to stepcheck; a library leaves the collector alone.
    """
    gc.freeze()
    gc.set_threshold(200_000, 20, 50)


@contextmanager
def withheld() -> Iterator[None]:
    """Keep Ctrl-C back, from this process until the end and from those that it starts in the meantime for good."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
