"""Repeats laid out: the times that differ one by one, and runs of equal times as smaller repeats. Counts which parts
call which others, and which of their passes differ."""

from bisect import bisect_right
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from itertools import chain
from math import lcm
from typing import TypeAlias

from attrs import field, frozen

from stepcheck.language.syntax import Line, OnlyHead, Row, Times, TimesHead, TurnMark, UntilHead
from stepcheck.model.dance import Body, Item, Pass, Repeat, key
from stepcheck.model.items import inside
from stepcheck.program.cutting import as_block


@frozen
class Pattern:
    """Which times may differ: the `named` ones (rising), all in rounds of `period`, and the `last`."""

    named: tuple[int, ...] = ()
    period: int = 1
    last: bool = False

    @property
    def plain(self) -> bool:
        """Whether all times are alike."""
        return not self.named and self.period == 1 and not self.last

    @property
    def behind(self) -> int:
        """How many times come before the first whole round of times that nothing names."""
        return -(-max(self.named, default=0) // self.period) * self.period

    def kind(self, turn: "Turn") -> tuple[int, int, bool]:
        """Return the kind of one time: its number if it is named, its place in the round, whether it is the last."""
        named = turn.time if self.after(turn.time - 1) == turn.time else 0
        return named, turn.time % self.period, self.last and turn.is_last

    def after(self, time: int) -> int | None:
        """Return the first named time after `time`."""
        place = bisect_right(self.named, time)
        return self.named[place] if place < len(self.named) else None


@frozen
class Turn:
    """One time of a repeat: its number from 1 and how many there are, None if that is not known.

    `ends` says that this time is the last whatever the number; `part` that it is one of a part, and not of a block.
    """

    time: int
    total: int | None
    ends: bool = False
    part: bool = False

    @property
    def is_last(self) -> bool:
        """Whether it is the last time."""
        return self.ends or self.time == self.total


UNNAMED = Turn(0, None)
"""A time that never comes: neither the 1st, 2nd …, nor one of every so many, nor the last."""


def told(times: Times) -> tuple[int, ...]:
    """Return the times that have to come so that each named one comes, and one of every so many."""
    return tuple(dict.fromkeys((*times.named, *((times.every,) if times.every else ()))))


def comes(times: Times, turn: Turn) -> Iterator[int]:
    """Yield those of `told` that this time is one of."""
    if turn.time:
        yield from (time for time in told(times) if time == turn.time or (time == times.every and not turn.time % time))


def pattern(times: Iterable[Times], named: Iterable[int] = ()) -> Pattern:
    """Return the pattern of a repeat in which something happens on each of `times`, and on those `named`."""
    times = tuple(times)
    found = {*named, *chain.from_iterable(one.named for one in times)}
    return Pattern(tuple(sorted(found)), lcm(*(one.every or 1 for one in times)), any(one.last for one in times))


def nearest(lines: Iterable[Line]) -> Iterable[Times]:
    """Return the times that lines name of the repeat around them, not of one inside."""
    for line in lines:
        match line.node:
            case TimesHead() | UntilHead():
                continue
            case OnlyHead(times=times):
                yield times
            case Row(options=options):
                marks = chain.from_iterable(option.marks for option in options if option.times == 1)
                yield from (m.times for m in marks if isinstance(m, TurnMark) and m.times is not None)
        yield from nearest(line.body)


@frozen(eq=False)
class Tally:
    """How often each part has been danced so far.

    `totals` is how often it is in all, where that is known; `ending` the number of the pass with which it ends, where
    the dance may end there.
    """

    danced: Counter[str] = field(factory=Counter)
    totals: dict[str, int] = field(factory=dict)
    ending: dict[str, int] = field(factory=dict)

    def next(self, part: str) -> Turn:
        """Count one more pass of a part, and return it."""
        self.danced[part] += 1
        number = self.danced[part]
        return Turn(number, self.totals.get(part), self.ending.get(part) == number, True)

    def counts(self, parts: Iterable[str]) -> dict[str, int]:
        """Return how often each of some parts has been danced."""
        return {part: self.danced[part] for part in parts}

    def since(self, before: Mapping[str, int]) -> dict[str, int]:
        """Return how often each part has been danced since `before`."""
        return {part: self.danced[part] - count for part, count in before.items()}

    def phase(self, parts: Mapping[str, Pattern]) -> tuple[int, ...]:
        """Return the place of each part in its rounds."""
        return tuple(self.danced[part] % pattern.period for part, pattern in parts.items())

    def room(
        self, parts: Mapping[str, Pattern], more: Mapping[str, int], start: Mapping[str, int] | None = None
    ) -> int | None:
        """Return how often `more` passes of parts fit before a named or the last pass; None if for ever.

        Args:
            parts: the parts whose passes differ.
            more: how many passes of each.
            start: the passes danced before; all so far if left out.
        """
        rounds = []
        for part, pattern in parts.items():
            done = (self.danced if start is None else start)[part]
            ends = (self.totals.get(part), self.ending.get(part)) if pattern.last else ()
            special = (time for time in (pattern.after(done), *ends) if more[part] and time is not None and time > done)
            rounds += [(time - 1 - done) // more[part] for time in special]
        return min(rounds, default=None)

    def add(self, more: Mapping[str, int], times: int = 1) -> None:
        """Count passes that are not laid out one by one."""
        for part, passes in more.items():
            self.danced[part] += passes * times


class Round:
    """A repeat under construction, laid out time by time until only equal times are left.

    `own` says which of its times differ, `parts` the same of the parts danced in it.
    """

    def __init__(self, line: int, own: Pattern, parts: Mapping[str, Pattern], tally: Tally) -> None:
        self.line, self.own, self.parts, self.tally = line, own, parts, tally
        self.out: list[Item] = []
        self.time = 0
        self._seen: dict[tuple[int, ...], tuple[int, int, dict[str, int]]] = {}

    def next(self, lay: Callable[[Turn], Body], total: int | None) -> None:
        """Lay one more time."""
        before = self.tally.counts(self.parts)
        self._seen[self._phase()] = self.time, len(self.out), before
        self.time += 1
        turn = Turn(self.time, total)
        self.out += lay(turn)
        named, _, last = self.own.kind(turn)
        if named or last or self.tally.room(self.parts, self.tally.since(before), before) == 0:
            self._seen.clear()

    def _phase(self) -> tuple[int, ...]:
        return (self.time % self.own.period, *self.tally.phase(self.parts))

    def _again(self) -> tuple[int, int, dict[str, int], int | None] | None:
        """Return, if the next times may be those since some time over again: how many these are, where they begin in
        what is laid, the passes in them, and how often they come before a time that differs, None for ever."""
        found = self._seen.get(self._phase())
        if found is None:
            return None
        then, start, before = found
        since, named = self.tally.since(before), self.own.after(self.time)
        until = None if named is None else (named - 1 - self.time) // (self.time - then)
        rounds = [limit for limit in (self.tally.room(self.parts, since), until) if limit is not None]
        return self.time - then, start, since, min(rounds, default=None)

    def skip(self, most: Callable[[int, Body], int] | None = None) -> int:
        """Lay the rounds of equal times that come next as a repeat, and return how many rounds they are.

        Args:
            most: returns how many there may be of rounds of so many times, which are laid so.
        """
        found = self._again()
        if found is None:
            return 0
        step, start, since, rounds = found
        once = tuple(self.out[start:])
        limits = [limit for limit in (rounds, most and most(step, once)) if limit is not None]
        rounds = min(limits, default=0)
        if not rounds:
            return 0
        self.out[start:] = [Repeat(self.line, rounds + 1, once)] if once else []
        self.time += rounds * step
        self.tally.add(since, rounds)
        self._seen.clear()
        return rounds

    def endless(self) -> tuple[int, int, set[str]] | None:
        """Return, once nothing but the times laid last comes round for ever, how many are laid before these, where they
        begin in what is laid, and which parts are danced in them; None as long as something else comes."""
        found = self._again()
        if found is None or found[3] is not None:
            return None
        step, start, since, _ = found
        return self.time - step, start, {part for part, more in since.items() if more}


def spread(
    line: int,
    total: int,
    own: Pattern,
    lay: Callable[[Turn], Body],
    parts: Mapping[str, Pattern] | None = None,
    tally: Tally | None = None,
) -> Body:
    """Return a repeat of `total` times as the times that differ and repeats of those that don't.

    Args:
        line: where the repeat stands.
        total: how many times, at least 1.
        own: which of its times may differ.
        lay: returns the body for one time.
        parts: which passes differ of the parts in it, where some do.
        tally: how often these have been danced.
    """
    if own.plain and not parts:
        return (Repeat(line, total, lay(Turn(1, total))),)
    round = Round(line, own, parts or {}, tally or Tally())
    while round.time < total:
        round.skip(lambda step, _: (total - round.time - own.last) // step)
        if round.time < total:
            round.next(lay, total)
    return as_block(line, tuple(round.out))


class Calls:
    """The calls of parts in the lines of one sheet, and the pattern of each part's passes.

    `parts` are the headings of its parts by key.
    """

    def __init__(self, parts: Mapping[str, Line]) -> None:
        self._parts = parts
        self._known: dict[int, tuple[tuple[Line, ...], dict[str, None]]] = {}
        self._patterns: dict[str, Pattern] = {}
        self._inside: dict[str, Mapping[str, Pattern]] = {}

    def _direct(self, lines: tuple[Line, ...]) -> dict[str, None]:
        """Return the parts that lines call themselves, in order; the same lines are gone through once."""
        if id(lines) not in self._known:
            out: dict[str, None] = {}
            self._known[id(lines)] = lines, out
            for line in lines:
                named = line.node.options if isinstance(line.node, Row) else ()
                out.update((key(option.name), None) for option in named if key(option.name) in self._parts)
                out.update(self._direct(line.body))
        return self._known[id(lines)][1]

    def all(self, lines: tuple[Line, ...]) -> dict[str, None]:
        """Return the parts that lines call, and those that these call, in order."""
        out: dict[str, None] = {}
        pending = list(self._direct(lines))
        while pending:
            part = pending.pop(0)
            if part not in out:
                out[part] = None
                pending += self._direct(self._parts[part].body)
        return out

    def circles(self) -> Iterator[tuple[str, ...]]:
        """Yield the ways from part to part that come round: the last part is on the way already."""
        finished: set[str] = set()
        for start in self._parts:
            path: dict[str, Iterator[str]] = {start: iter(self._direct(self._parts[start].body))}
            while path:
                part, calls = next(reversed(path.items()))
                onward = next(calls, None)
                if onward in path:
                    yield *path, onward
                if onward is None or onward in path:
                    path.pop(part)
                    finished.add(part)
                elif onward not in finished:
                    path[onward] = iter(self._direct(self._parts[onward].body))

    def of(self, part: str) -> Pattern:
        """Return the pattern of a part's passes."""
        if part not in self._patterns:
            head = self._parts[part]
            named = (getattr(piece, "time", None) for piece in getattr(head.node, "pieces", ()))
            self._patterns[part] = pattern(nearest(head.body), (time for time in named if time is not None))
        return self._patterns[part]

    def told(self, lines: tuple[Line, ...]) -> Mapping[str, Pattern]:
        """Return the parts called by `lines`, or by parts that they call, whose passes differ, each with its
        pattern."""
        return self._told(self.all(lines))

    def inside(self, part: str) -> Mapping[str, Pattern]:
        """Return the parts called in a part whose passes differ, each with its pattern."""
        if part not in self._inside:
            self._inside[part] = self.told(self._parts[part].body)
        return self._inside[part]

    def with_inside(self, part: str) -> Mapping[str, Pattern]:
        """Return the same of a part and of the parts called in it."""
        return {**self._told((part,)), **self.inside(part)}

    def _told(self, parts: Iterable[str]) -> Mapping[str, Pattern]:
        return {part: self.of(part) for part in parts if not self.of(part).plain}


Passes: TypeAlias = dict[int, tuple[Body, Counter[str]]]
"""How many passes of each part there are in bodies, by the `id` of each, with the body itself so that it stays."""


def passes(body: Body, known: Passes) -> Counter[str]:
    """Return how many passes of each part there are in a body, those in passes included; `known` holds earlier
    answers."""
    if id(body) not in known:
        found = Counter[str]()
        for item in body:
            if isinstance(item, Pass):
                found[key(item.part)] += 1
            times = item.times or 1 if isinstance(item, Repeat) else 1
            for inner in inside(item):
                for part, number in passes(inner, known).items():
                    found[part] += number * times
        known[id(body)] = body, found
    return known[id(body)][1]
