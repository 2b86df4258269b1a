"""The bar on the terminal."""

import sys

import pytest

from stepcheck.faces import check
from stepcheck.faces.check import MANY, Progress


class Terminal:
    """A stderr that says whether it is a terminal."""

    def __init__(self, terminal: bool) -> None:
        self.terminal = terminal
        self.written = ""

    def isatty(self) -> bool:
        return self.terminal

    def write(self, text: str) -> int:
        self.written += text
        return len(text)

    def flush(self) -> None:
        pass


@pytest.mark.parametrize(
    ("terminal", "total", "long", "shown"),
    [(True, MANY, -1.0, True), (False, MANY, -1.0, False), (True, 3, -1.0, False), (True, MANY, 1e9, False)],
)
def test_a_bar_comes_only_where_it_helps(
    monkeypatch: pytest.MonkeyPatch, terminal: bool, total: int, long: float, shown: bool
) -> None:
    """It is shown on a terminal, for many sheets, when the run takes long; otherwise nothing is written."""
    stderr = Terminal(terminal)
    monkeypatch.setattr(sys, "stderr", stderr)
    monkeypatch.setattr(check, "LONG", long)
    monkeypatch.setenv("TERM", "xterm")

    with Progress(total) as bar:
        for _ in range(total):
            bar.step()
            bar.hide()

    assert shown == bool(stderr.written)


def test_rich_is_not_loaded_for_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """A short run doesn't pay for the library that draws the bar."""
    monkeypatch.setitem(sys.modules, "rich", None)
    with Progress(10_000) as bar:
        bar.step()


def test_the_bar_says_how_fast_it_goes_and_how_long_it_takes_still(monkeypatch: pytest.MonkeyPatch) -> None:
    """Beside how many sheets are done it shows the rate and the time left."""
    stderr = Terminal(terminal=True)
    monkeypatch.setattr(sys, "stderr", stderr)
    monkeypatch.setattr(check, "LONG", -1.0)
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setenv("COLUMNS", "80")

    with Progress(1_000) as bar:
        for _ in range(500):
            bar.step()

    assert "500/1000" in stderr.written
    assert "a second" in stderr.written


@pytest.mark.parametrize(
    ("term", "columns", "shown"), [("dumb", "80", ""), ("xterm", "80", "a second"), ("xterm", "40", "20/20")]
)
def test_the_bar_fits_the_terminal(monkeypatch: pytest.MonkeyPatch, term: str, columns: str, shown: str) -> None:
    """A terminal that cannot take a line back gets nothing at all, a narrow one the bar and the numbers alone."""
    stderr = Terminal(terminal=True)
    monkeypatch.setattr(sys, "stderr", stderr)
    monkeypatch.setattr(check, "LONG", -1.0)
    monkeypatch.setenv("TERM", term)
    monkeypatch.setenv("COLUMNS", columns)
    with Progress(MANY) as bar:
        for _ in range(MANY):
            bar.step()

    assert bool(shown) == bool(stderr.written)
    assert shown in stderr.written
    assert ("a second" in stderr.written) is (term == "xterm" and columns == "80")
