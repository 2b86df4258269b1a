"""The limit on the size of a dance, counted in lines, items and levels, so that it is the same on every machine."""

from collections.abc import Iterator
from contextlib import contextmanager

from stepcheck.language.syntax import NOWHERE, Line
from stepcheck.program.claims import LineFails

MOST_LINES = 40_000  # laid out again, beyond twice each
MOST_ITEMS = 150_000
MOST_LEVELS = 400  # what a pass or a block counts for is about half of the calls that laying it out takes


class TooMuch(LineFails):
    """A dance is too large to be laid out: the line at which that shows, and what to do."""


class Extent:
    """The lines, items and levels that may still be laid out for a sheet of `lines` lines."""

    def __init__(self, lines: int) -> None:
        self._lines = MOST_LINES + 2 * lines
        self._items = MOST_ITEMS
        self._levels = MOST_LEVELS

    def spend(self, line: Line, lines: int, items: int = 0) -> None:
        """Count lines that are laid out, and the items laid.

        Raises:
            TooMuch: there are none left.
        """
        self._lines -= lines
        self._items -= items
        if self._lines < 0 or self._items < 0:
            raise TooMuch(
                "too-many-steps",
                line,
                NOWHERE,
                "the dance has too many different steps to lay out",
                "name fewer times, or split the sheet",
            )

    @contextmanager
    def deeper(self, line: Line, levels: int) -> Iterator[None]:
        """Lay out a body `levels` deeper in passes and blocks than the body around it.

        Raises:
            TooMuch: that is too deep.
        """
        self._levels -= levels
        if self._levels < 0:
            raise TooMuch(
                "too-many-steps",
                line,
                NOWHERE,
                "the parts and blocks of the dance go too deep into one another",
                "call fewer parts from parts",
            )
        try:
            yield
        finally:
            self._levels += levels
