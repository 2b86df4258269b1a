"""What a dance goes on with until the music ends, laid out lap by lap."""

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from functools import partial
from itertools import chain
from typing import TypeAlias

from attrs import evolve

from stepcheck.language.syntax import NOWHERE, FootMark, Line, Row, UntilHead, UntilMark
from stepcheck.model.dance import Body, Forever, Lap, Last, Timed, Uncut
from stepcheck.model.floor import RELATIONS
from stepcheck.model.words import ordinal
from stepcheck.program.claims import LineFails
from stepcheck.program.cutting import CutFails, cut, falls, length, stated
from stepcheck.program.failures import impossible
from stepcheck.program.layout import Around, Layout
from stepcheck.program.repeats import Pattern, Round, Tally, Turn, nearest, passes, pattern

Counted: TypeAlias = Callable[[dict[str, int], tuple[str, ...], Callable[[], list[Body]]], list[Body]]


class Laps:
    """The laps of one dance.

    `endless` are the parts that are danced in laps without an end.
    """

    def __init__(self, layout: Layout) -> None:
        self.layout = layout
        self.endless: set[str] = set()

    def until(self, line: Line, before: Body, ticks: int) -> Body:
        """Return the laps behind `before` in music of so many ticks, with the foot that the line orders."""
        self.layout.hang(line, NOWHERE, partial(stated, before))
        so_far = stated(before)
        if so_far is None:
            raise _unmeasured(line)
        left = ticks - so_far
        laps = self._uncut(line, left, ticks) if self.layout.lined else self._as_long(line, left)
        return (*self.led(line), *laps) if laps else ()

    def led(self, line: Line) -> Body:
        """Return the foot ordered on a line that goes on until the music ends: it holds for the first time, as with
        `x4`."""
        marks = line.node.options[0].marks if isinstance(line.node, Row) else ()
        feet = (mark for mark in marks if isinstance(mark, FootMark))
        return tuple(check for mark in feet for check in self.layout.state(line, mark, Around()))

    def lap(self, line: Line, turn: Turn) -> Body:
        """Return one time through what goes on until the music ends."""
        self.layout.come.add(line.number)
        if isinstance(line.node, UntilHead):
            own = pattern(nearest(line.body)).period
            self.layout.begun.add(((turn.time - 1) % own, *self.layout.tally.phase(self.layout.told(line.body))))
            return (Lap(self.layout.lines(line.body, Around(turn=turn))),)
        assert isinstance(line.node, Row)
        option = line.node.options[0]
        marks = tuple(mark for mark in option.marks if not isinstance(mark, UntilMark | FootMark))
        row = evolve(line.node, options=(evolve(option, marks=marks),))
        return self.layout.laid(evolve(line, node=row), Around(turn=Turn(1, None)))

    def ordinary(self, own: Pattern, parts: Mapping[str, Pattern], lay: Callable[[Turn], Body]) -> tuple[Body, ...]:
        """Return the different bodies of the laps after every named time: one, or, where parts take turns in rounds,
        one for each place in the rounds at which a lap begins.

        Args:
            own: which laps differ.
            parts: the same of the passes of parts danced in them.
            lay: returns the body of one lap.
        """
        layout, come = self.layout, self.layout.come
        layout.come = set(come)
        pending = sorted(layout.begun) or [(0,) * (1 + len(parts))]
        seen = set[tuple[int, ...]]()
        bodies: list[Body] = []
        while pending:
            place = pending.pop(0)
            if place in seen:
                continue
            seen.add(place)
            done, *passes = place
            behind = {part: each.behind + more for (part, each), more in zip(parts.items(), passes, strict=True)}
            layout.tally = Tally(Counter(behind))
            body = lay(Turn(own.behind + done + 1, None))
            bodies += [body] * (body not in bodies)
            pending.append(((done + 1) % own.period, *layout.tally.phase(parts)))
        layout.come = come
        return tuple(bodies)

    def _round(self, line: Line) -> Round:
        """Return the repeat until the music ends, with no time laid yet."""
        own = pattern(nearest(line.body) if isinstance(line.node, UntilHead) else ())
        return Round(line.number, own, self.layout.told(_inner(line)), self.layout.tally)

    def any_number(self, lines: tuple[Line, ...], line: Line, before: Body, counted: Counted) -> Body:
        """Return a dance of any number of laps behind `lines`, which are laid out as `before`.

        `counted` lays out a body until the number of passes of each of some parts in it is known.
        """
        round = self._round(line)
        ends = round.own.last or any(part.last for part in round.parts.values())
        laps = 0
        while (found := None if not ends and round.skip() else round.endless()) is None:
            self.layout.extent.spend(line, 1)
            round.next(partial(self.lap, line), None)
            laps += 1
        start, place, self.endless = found
        if ends:  # a part's last pass may bring the last one of a part in it forward, by a round of laps at most
            reach = (laps - start) * (1 + sum(part.last for part in round.parts.values()))
            return _any_end(line.number, start, laps - start, reach, partial(self._exactly, lines, line, counted))
        return (*before, *self.led(line), *round.out[:place], Forever(line.number, tuple(round.out[place:])))

    def _exactly(self, lines: tuple[Line, ...], line: Line, counted: Counted, number: int) -> list[Body]:
        """Return the body before the first lap, and each lap, of a dance of so many laps."""
        tally, endless, self.endless = self.layout.tally, self.endless, set()

        def lay() -> list[Body]:
            self.layout.extent.spend(line, number)
            before = (*self.layout.lines(lines, Around()), *self.led(line))
            return [before, *(self.lap(line, Turn(time, number)) for time in range(1, number + 1))]

        laps = counted({}, tuple(self.layout.names.called((*lines, *_inner(line)))), lay)
        self.layout.tally, self.endless = tally, endless
        return laps

    def _last_lap(self, line: Line, time: int, before: dict[str, int]) -> Body:
        """Return the lap that has just been laid as the last one; `before` is how often each part was danced before."""
        tally = self.layout.tally
        tally.ending.update({part: tally.danced[part] for part in self.layout.told(_inner(line))})
        tally.danced.clear()
        tally.danced.update(before)
        last = self.lap(line, Turn(time, None, ends=True))
        tally.ending.clear()
        return last

    def _uncut(self, line: Line, ticks: int, music: int) -> Body:
        """Return one lap of a repeat that lasts `ticks`, until the music ends; empty where the laps differ."""
        alike = not self.layout.told(_inner(line)) and pattern(nearest(line.body)).plain
        lap = self.lap(line, Turn(1, None)) if alike else ()
        self.layout.behind.update(passes(lap, {}))
        return (Uncut(line.number, ticks, lap, music),)

    def _as_long(self, line: Line, ticks: int) -> Body:
        """Return as many laps as the music has room for, the last one perhaps cut."""
        round = self._round(line)
        ends = round.own.last or any(part.last for part in round.parts.values())
        while ticks > 0:
            counts, before = self.layout.tally.counts(round.parts), dict(self.layout.tally.danced)
            size = len(round.out)
            round.next(partial(self.lap, line), None)
            lap = tuple(round.out[size:])
            once, whole = stated(lap), length(lap)
            last = once is not None and ticks <= once  # the lap in which the music ends
            self.layout.hang(line, NOWHERE, partial(stated, lap))
            if last and ends:
                lap = self._last_lap(line, round.time, before)
                round.out[size:] = lap
                once, whole = stated(lap), length(lap)
            if once is None or whole is None:
                raise _unmeasured(line)
            if ticks < once:
                self.layout.hang(line, NOWHERE, partial(falls, lap, ticks))
            if ticks < once and ticks < whole:
                round.out[size:] = self._short(line, lap, ticks)
                self.layout.recount(counts, tuple(round.out[size:]))
                break
            if last:
                break
            ticks -= once
            self.layout.extent.spend(line, 1)
            room = max(0, ticks - ends)  # the last lap is laid by itself where it differs
            found = round.endless()
            if found is not None and not stated(tuple(round.out[found[1] :])):
                if self.layout.failures:
                    break  # a line that fails brings nothing either, and is told where it stands
                raise _idle(line, found[0] + 1)
            if rounds := round.skip(partial(_fitting, room)):
                ticks -= rounds * (stated((round.out[-1],)) or 0) // (rounds + 1)
        return tuple(round.out)

    def _short(self, line: Line, lap: Body, ticks: int) -> Body:
        """Return a lap that is cut where the music ends; it lasts till then, whatever is claimed in it.

        Where a figure that is cut turns does not matter, unless something is said there of how the groups stand.
        """
        last = not any(claim.kind in RELATIONS.values() for claim in self.layout.registry.claims)
        try:
            short = cut(lap, ticks, last=last)
        except CutFails as failure:
            if failure.name == "cut-splits-a-turn":
                said = f"the music ends in a figure that turns (line {failure.line}): how the groups stand is not said"
                hints = "say on which count it turns: turn 1/2 left @2", "or end it with a part of its own"
                raise LineFails(failure.name, line, NOWHERE, said, *hints) from failure
            said = "where the music cuts the last pass waits on a blank"
            raise impossible(line, NOWHERE, said, "end it with a part of its own") from failure
        return short if len(short) == 1 else (Timed(short, ticks),)


def _any_end(line: int, start: int, period: int, reach: int, exactly: Callable[[int], Sequence[Body]]) -> Body:
    """Return a dance of any number of laps, each of which may be the last.

    All dances begin alike, up to the first lap that hangs on where they end. In laps that come round for ever, this is
    never further from the end than `reach`, and those of a dance too short for that may end otherwise: so the laps in
    which such dances end are written out.

    Args:
        line: where that stands which goes on.
        start: how many laps come before those that come round for ever.
        period: how many these are.
        reach: how many laps before the end something may hang on it.
        exactly: returns what comes before the first lap, and each lap, of a dance of so many laps.
    """
    first = start + max(period, reach + 1)  # a dance may end behind the laps before a place with nothing more
    longest = exactly(first + period + reach)

    def lap(number: int) -> Body:
        return longest[number if number <= start else start + 1 + (number - start - 1) % period]

    ends: dict[int, list[Body]] = {}
    for number in range(1, first + period + reach):
        ended = exactly(number)
        differs = next((place for place, body in enumerate(ended) if body != lap(place)), len(ended))
        ends.setdefault(differs, []).append(tuple(chain.from_iterable(ended[differs:])))

    def with_ends(number: int) -> Body:
        here = ends.get(number, [])
        return (*(Last(end) for place, end in enumerate(here) if end not in here[:place]), *lap(number))

    laps = [with_ends(number) for number in range(first + period)]
    while first > start + period and laps[first - 1] == laps[-1]:  # what comes round is not written out
        first -= 1
        laps.pop()
    return (*chain.from_iterable(laps[:first]), Forever(line, tuple(chain.from_iterable(laps[first:]))))


def _inner(line: Line) -> tuple[Line, ...]:
    return line.body if isinstance(line.node, UntilHead) else (line,)


def _fitting(room: int, times: int, laps: Body) -> int:
    once = stated(laps)
    return room // once if once else 0


def _idle(line: Line, time: int) -> LineFails:
    """Return the failure of a repeat until the music ends that brings nothing more from one of its times on."""
    said = f"nothing is danced here from the {ordinal(time)} time on, so the music never ends"
    return impossible(line, NOWHERE, said, "write what is danced each time")


def _unmeasured(line: Line) -> LineFails:
    """Return the failure of a repeat until the music ends whose number of times a blank leaves open."""
    said = "how long this is waits on a blank, so the music does not say how often it fits"
    return impossible(line, NOWHERE, said, "state the length of the part, or fill the blank")
