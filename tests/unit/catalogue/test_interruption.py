"""Ctrl-C, wherever it comes."""

import signal
import subprocess
import sys
import threading

import pytest

from stepcheck.catalogue.interruption import Interruption, withheld


class Cleared:
    """An object in whose clearing away Ctrl-C comes."""

    def __del__(self) -> None:
        signal.raise_signal(signal.SIGINT)


def test_an_interruption_that_python_forgets_is_remembered(capsys: pytest.CaptureFixture[str]) -> None:
    """Ctrl-C in the clearing away of an object stops at the next chance, and nothing is printed of it."""
    with Interruption() as stop:
        stop.heed()
        made = Cleared()
        del made

        assert stop.asked
        with pytest.raises(KeyboardInterrupt):
            stop.heed()
    assert ("", "") == capsys.readouterr()


def test_an_interruption_stops_at_once_where_it_can() -> None:
    """Elsewhere Ctrl-C is what it always is, and afterwards everything is as it was."""
    before = signal.getsignal(signal.SIGINT), sys.unraisablehook
    with pytest.raises(KeyboardInterrupt), Interruption():
        signal.raise_signal(signal.SIGINT)

    assert before == (signal.getsignal(signal.SIGINT), sys.unraisablehook)


def test_who_handles_it_otherwise_goes_on_doing_so() -> None:
    """A handler of somebody else, and threads other than the main one, are left alone."""
    heard: list[int] = []
    before = signal.signal(signal.SIGINT, lambda number, frame: heard.append(number))
    try:
        with Interruption() as stop:
            signal.raise_signal(signal.SIGINT)
        assert ([signal.SIGINT], False) == (heard, stop.asked)
    finally:
        signal.signal(signal.SIGINT, before)

    def elsewhere() -> None:
        with Interruption() as stop:
            stop.heed()
        heard.append(0)

    thread = threading.Thread(target=elsewhere)
    thread.start()
    thread.join()
    assert 0 in heard


def test_what_is_withheld_comes_afterwards() -> None:
    """Ctrl-C that comes meanwhile stops at the end, and a process that is started meanwhile never hears of one."""
    code = "import os, signal; os.kill(os.getpid(), signal.SIGINT); print('alive')"
    said = ""
    with pytest.raises(KeyboardInterrupt), withheld():
        said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
        # To this thread: one that another test has left running would take what is sent to the process, and tell late.
        signal.pthread_kill(threading.get_ident(), signal.SIGINT)

    assert "alive\n" == said
