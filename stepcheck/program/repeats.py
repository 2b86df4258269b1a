"""The times of a repeat, laid out: which of them differ, and how many of the rest there are."""

from collections.abc import Callable, Iterable
from math import lcm

from attrs import frozen

from stepcheck.language.syntax import Line, OnlyHead, Row, Times, TimesHead, TurnMark, UntilHead
from stepcheck.model.dance import Body, Repeat


@frozen
class Pattern:
    """Which times of a repeat may differ: those up to `named`, in rounds of `period`, and the `last`."""

    named: int = 0
    period: int = 1
    last: bool = False

    @property
    def plain(self) -> bool:
        """Whether all times are alike."""
        return self.named == 0 and self.period == 1 and not self.last

    def kind(self, time: int, total: int | None) -> tuple[int, int, bool]:
        """Return what tells time number `time` (from 1) of `total` from others; the first is 0 for the rest."""
        named = time if time <= self.named else 0
        return named, time % self.period, self.last and time == total


@frozen
class Turn:
    """One time of a repeat: its number from 1 and how many there are, None if that is not known.

    `ends` says that this time is the last whatever the number.
    """

    time: int
    total: int | None
    ends: bool = False

    @property
    def is_last(self) -> bool:
        """Whether it is the last time."""
        return self.ends or self.time == self.total


def covers(times: Times, turn: Turn) -> bool:
    """Say whether something written for `times` happens this time."""
    if times.every is not None and turn.time % times.every == 0:
        return True
    return turn.time in times.named or (times.last and turn.is_last)


def pattern(times: Iterable[Times]) -> Pattern:
    """Return which times differ when something happens on each of `times`."""
    named, period, last = 0, 1, False
    for one in times:
        named = max((named, *one.named))
        period = lcm(period, one.every or 1)
        last |= one.last
    return Pattern(named, period, last)


def nearest(lines: Iterable[Line]) -> Iterable[Times]:
    """Return the times that lines name and that count the repeat around them, not one inside."""
    for line in lines:
        node = line.node
        match node:
            case TimesHead() | UntilHead():
                continue
            case OnlyHead():
                yield node.times
            case Row():
                for option in node.options:
                    if option.times == 1:
                        yield from (m.times for m in option.marks if isinstance(m, TurnMark) and m.times is not None)
        yield from nearest(line.body)


def spread(line: int, total: int, pattern: Pattern, lay: Callable[[Turn], Body]) -> Body:
    """Return a repeat of `total` times as the times that differ and repeats of those that don't.

    Args:
        line: where the repeat stands.
        total: how many times, at least 1.
        pattern: which times may differ.
        lay: returns the body for one time.
    """
    if pattern.plain:
        return (Repeat(line, total, lay(Turn(1, total))),)
    before = min(total, -(-pattern.named // pattern.period) * pattern.period)
    after = 1 if pattern.last and total > before else 0
    rounds, left = divmod(total - before - after, pattern.period)
    out: list[Body] = [lay(Turn(time, total)) for time in range(1, before + 1)]
    if rounds:
        once = tuple(item for time in range(1, pattern.period + 1) for item in lay(Turn(before + time, total)))
        out.append(once if rounds == 1 else (Repeat(line, rounds, once),))
    done = before + rounds * pattern.period
    out += (lay(Turn(time, total)) for time in range(done + 1, done + left + after + 1))
    return tuple(item for body in out for item in body)
