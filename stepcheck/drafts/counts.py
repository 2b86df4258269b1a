"""Counts as teachers write them, `1-2`, `3&4`, `5, 6`, `&7-8`, `1&2&`: as points in ticks of 1/12 count."""

import itertools
import re

from attrs import frozen

from stepcheck.model.dance import TICKS

_UNIT = r"&?\s?\d{1,3}"
_TAIL = r"(?:\s*(?:-|,|&|to\b|\s)\s*&?\s?\d{1,3})*(?:&(?!\w)|\s&(?!\s*[a-z]))?"
EXPRESSION = re.compile(
    rf"(?<![\w/:.,&-]){_UNIT}{_TAIL}(?![\w/:%])(?!\s*(?:bpm|o'clock))|(?<=\w )&(?=\s*(?:;|\.|$))", re.IGNORECASE
)
"""Anything that may be a row of counts; what stands around it decides."""
JOINED = re.compile(r"\d\s*(?:&|-|,)\s*\d|\d\s?&|&\s?\d|\d\s+\d")


@frozen
class Counts:
    """A row of counts: its points in ticks, 12 at count 1, in order."""

    points: tuple[int, ...]

    @property
    def first(self) -> int:
        """The count that the first point belongs to; a half belongs to the count that it leads to."""
        return -(-self.points[0] // TICKS)

    @property
    def last(self) -> int:
        """The count that the last point belongs to."""
        return self.points[-1] // TICKS

    @property
    def length(self) -> int:
        """How many counts there are."""
        return self.last - self.first + 1

    @property
    def whole(self) -> bool:
        """Whether every point is a whole count, one after the other."""
        return self.points == tuple(range(self.points[0], self.points[-1] + 1, TICKS)) and not self.points[0] % TICKS

    def inside(self, points: tuple[int, ...]) -> tuple[int, ...]:
        """Return some of the points, counted from the first whole count among them as 1."""
        first = Counts(points).first
        return tuple(point - (first - 1) * TICKS for point in points)

    def joined(self, later: "Counts") -> "Counts":
        """Return these counts and later ones as one row."""
        return Counts(self.points + later.points)


def read(text: str) -> Counts | None:
    """Return the counts that a text writes, or None: `1&2` is 1, the half after it, 2; `1-4` has the counts between."""
    if text.strip() == "&":
        return LONE
    pieces = re.findall(r"\d{1,3}|&|-|to|,", text.casefold())
    points: list[int] = []
    half = dash = False
    for piece in pieces:
        if piece.isdecimal():
            tick = int(piece) * TICKS
            if half:
                points.append(tick - TICKS // 2)
            if dash and points and not half:
                points += range(points[-1] - points[-1] % TICKS + TICKS, tick, TICKS)
            points.append(tick)
            half = dash = False
        elif piece == "&":
            if half:
                return None
            half, dash = True, False
        elif piece in ("-", "to"):
            dash = True
    if half:
        if not points:
            return None
        points.append(points[-1] + TICKS // 2)
    if not points or len(points) > 200 or any(b <= a for a, b in itertools.pairwise(points)):
        return None
    return Counts(tuple(points)) if points[0] >= TICKS // 2 else None


LONE = Counts((0,))
"""A half whose count isn't written: it leads to the counts behind it."""
