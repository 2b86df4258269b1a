"""Ctrl-C that is not lost, wherever it comes.

Python raises KeyboardInterrupt between any two steps, and one that is raised while an object is being cleared away is
printed and forgotten.  Here it is remembered, and nothing of that kind is printed once somebody has asked to stop.
"""

import signal
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType, TracebackType
from typing import Any, Self


class Interruption:
    """Remembers whether somebody has asked to stop while it is entered."""

    def __init__(self) -> None:
        self.asked = False
        self._before: Any = None
        self._hook = sys.unraisablehook

    def __enter__(self) -> Self:
        if threading.current_thread() is threading.main_thread():
            self._before = signal.getsignal(signal.SIGINT)
            if self._before is signal.default_int_handler:
                signal.signal(signal.SIGINT, self._ask)
            self._hook = sys.unraisablehook
            sys.unraisablehook = self._lost
        return self

    def __exit__(
        self, kind: type[BaseException] | None, value: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._before is signal.default_int_handler:
            signal.signal(signal.SIGINT, signal.default_int_handler)
        sys.unraisablehook = self._hook

    def heed(self) -> None:
        """Stop if somebody has asked to.

        Raises:
            KeyboardInterrupt: somebody has.
        """
        if self.asked:
            raise KeyboardInterrupt

    def _ask(self, number: int, frame: FrameType | None) -> None:
        self.asked = True
        signal.default_int_handler(number, frame)

    def _lost(self, found: Any) -> None:
        if not self.asked:
            self._hook(found)


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
