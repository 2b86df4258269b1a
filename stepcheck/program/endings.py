"""Repeats until the music ends whose last time differs: the music may end after any number of laps."""

from collections.abc import Callable, Sequence
from itertools import chain

from stepcheck.language.syntax import Line, UntilHead
from stepcheck.model.dance import Body, Forever, Last
from stepcheck.program.claims import LineFails
from stepcheck.program.cutting import stated


def any_end(line: int, start: int, period: int, reach: int, exactly: Callable[[int], Sequence[Body]]) -> Body:
    """Return a dance of any number of laps, each of which may be the last.

    All dances begin alike, up to the first lap that hangs on where they end. In laps that come round for ever, this is
    never further from the end than some of their rounds, so those before them are written out.

    Args:
        line: where that stands which goes on.
        start: how many laps come before those that come round for ever.
        period: how many these are.
        reach: how many laps before the end something may hang on it.
        exactly: returns what comes before the first lap, and each lap, of a dance of so many laps.
    """
    first = start + period
    longest = exactly(first + period + reach)

    def lap(number: int) -> Body:
        return longest[number if number <= start else start + 1 + (number - start - 1) % period]

    ends: dict[int, list[Body]] = {}
    for number in range(1, first + period + reach):
        ended = exactly(number)
        differs = next((place for place, body in enumerate(ended) if body != lap(place)), first + period)
        ends.setdefault(differs, []).append(tuple(chain.from_iterable(ended[differs:])))

    def with_ends(number: int) -> Body:
        here = ends.get(number, [])
        longest = [end for end in here if not any(other is not end and other[: len(end)] == end for other in here)]
        return (*map(Last, longest), *lap(number))

    forever = chain.from_iterable(map(with_ends, range(first, first + period)))
    return (*chain.from_iterable(map(with_ends, range(first))), Forever(line, tuple(forever)))


def inner(line: Line) -> tuple[Line, ...]:
    """Return the lines that go on until the music ends."""
    return line.body if isinstance(line.node, UntilHead) else (line,)


def fitting(room: int, times: int, laps: Body) -> int:
    """Return how many rounds of `laps` fit into the ticks that are left."""
    return room // (stated(laps) or 1)


def unmeasured(line: Line) -> LineFails:
    """Return the failure of a repeat until the music ends whose number of times a blank leaves open."""
    return LineFails(
        "mark-not-possible-here",
        line,
        (0, 0),
        "how long this is waits on a blank, so the music does not say how often it fits",
        "state the length of the part, or fill the blank",
    )
