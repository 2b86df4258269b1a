"""One sample dance: the stand of the dancers at each line when the dance first reaches it.

It takes the first option of a variation, from both feet the foot that the figure is written for, and no turn for a
blank one.  Claims that fail are taken as put right, as everywhere.
"""

from collections.abc import Callable
from typing import TypeAlias

from attrs import evolve, field, frozen

from stepcheck.books.footwork import Impossible, ends
from stepcheck.model.dance import (
    EIGHTHS,
    Body,
    Check,
    Choice,
    Forever,
    Gap,
    Lap,
    Last,
    Pass,
    Program,
    Repeat,
    Rest,
    Step,
    Test,
    Timed,
    Together,
    Weight,
    key,
)

_OF_A_MOMENT = (Test.LEAD, Test.FOOT, Test.BOTH, Test.FACING)


@frozen
class Stand:
    """A moment of the dance.

    `weight` is where the weight is, None after a blank that nobody has filled; `facing` in eighths from the front of
    the room; `tick` the time since the dance began, `inside` since the pass did, in ticks; `part` the part, empty in
    the dance itself; `wall` the facing with which the pass began.
    """

    weight: Weight | None
    facing: int
    tick: int = 0
    inside: int = 0
    part: str = ""
    wall: int = 0


Way: TypeAlias = tuple[Stand, Stand]


@frozen
class Passed:
    """A pass of a part: its `time`, the stands before and after it, and those before and after each of its own
    `lines`."""

    time: int
    way: Way
    lines: dict[int, Way]


@frozen
class Tracks:
    """The stands before and after the first time of each line, and of each part by its key.

    `passes` has for each part its first pass, and the first one of each other kind: with another free foot, beat, or
    facing from where it began, at some line of it or at its end.
    """

    lines: dict[int, Way]
    parts: dict[str, Way]
    passes: dict[str, tuple[Passed, ...]] = field(factory=dict)


class _Follower:
    """Follows one dance, and records the first stands of each line and part."""

    def __init__(self) -> None:
        self.found: dict[int, Way] = {}
        self.parts: dict[str, Way] = {}
        self.passes: dict[str, dict[tuple[object, ...], Passed]] = {}
        self._danced: dict[str, int] = {}
        self._pass_lines: dict[int, Way] = {}
        self._by_type: dict[type, Callable[..., Stand]] = {
            Step: self._step,
            Rest: self._rest,
            Gap: self._gap,
            Check: self._check,
            Together: self._together,
            Choice: self._choice,
            Repeat: self._repeat,
            Pass: self._pass,
            Last: self._last,
            Timed: self._inner,
            Lap: self._inner,
            Forever: self._inner,
        }

    def body(self, body: Body, stand: Stand) -> Stand:
        """Return the stand after a body."""
        for item in body:
            stand = self._by_type[type(item)](item, stand)
        return stand

    def _at(self, line: int, before: Stand, after: Stand) -> Stand:
        """Record the first time that the dance reaches a line; a line of several steps ends with its last one."""
        for found in (self.found, self._pass_lines):
            known = found.get(line)
            if known is None:
                found[line] = (before, after)
            elif known[1] == before:
                found[line] = (known[0], after)
        return after

    def _step(self, step: Step, stand: Stand) -> Stand:
        version = step.figure.versions[step.figure.usual]
        weight, turn = stand.weight, version.turn
        if weight is not None:
            _, end, turn = ends(step.figure, weight)[0]
            weight = weight if isinstance(end, Impossible) else end
        return self._at(
            step.line, stand, _moved(stand, weight, turn if step.turn is None else step.turn, version.length)
        )

    def _rest(self, rest: Rest, stand: Stand) -> Stand:
        return self._at(rest.line, stand, _moved(stand, stand.weight, 0, rest.ticks))

    def _gap(self, gap: Gap, stand: Stand) -> Stand:
        return self._at(gap.line, stand, _moved(stand, None, 0, gap.ticks))

    def _check(self, check: Check, stand: Stand) -> Stand:
        value, after = check.value, stand
        match check.test:
            case Test.LEAD | Test.FOOT if value is not None:
                after = evolve(stand, weight=Weight(1 - value))
            case Test.BOTH:
                after = evolve(stand, weight=Weight.BOTH)
            case Test.FACING if value is not None:
                after = evolve(stand, facing=(stand.wall + value) % EIGHTHS)
        if check.test in _OF_A_MOMENT:
            before = after if check.test is Test.LEAD else stand
            self.found.setdefault(check.line, (before, after))
            self._pass_lines.setdefault(check.line, (before, after))
        return after

    def _together(self, together: Together, stand: Stand) -> Stand:
        for check in together.checks:
            stand = self._check(check, stand)
        return stand

    def _choice(self, choice: Choice, stand: Stand) -> Stand:
        ends = [self.body(option, stand) for option in choice.options]
        return ends[0]

    def _inner(self, item: Timed | Lap | Forever, stand: Stand) -> Stand:
        end = self.body(item.body, stand)
        lasts = item.lasts if isinstance(item, Timed) else None
        return end if lasts is None else evolve(end, tick=stand.tick + lasts, inside=stand.inside + lasts)

    def _last(self, last: Last, stand: Stand) -> Stand:
        self.body(last.body, stand)
        return stand

    def _pass(self, item: Pass, stand: Stand) -> Stand:
        begun = evolve(stand, inside=0, part=item.part, wall=stand.facing)
        name = key(item.part)
        time = self._danced[name] = self._danced.get(name, 0) + 1
        around, self._pass_lines = self._pass_lines, {}
        end = self.body(item.body, begun)
        lines, self._pass_lines = self._pass_lines, around
        self.parts.setdefault(name, (begun, end))
        look = (_seen(end), *((line, _seen(lines[line][0])) for line in sorted(lines)))
        self.passes.setdefault(name, {}).setdefault(look, Passed(time, (begun, end), lines))
        lasted = end.inside if item.lasts is None else item.lasts
        after = evolve(end, tick=stand.tick + lasted, inside=stand.inside + lasted, part=stand.part, wall=stand.wall)
        return self._at(item.line, stand, after)

    def _repeat(self, repeat: Repeat, stand: Stand) -> Stand:
        """Return the stand after a repeat: time by time until a stand comes round, then whole rounds at once."""
        times = 1 if repeat.times is None else repeat.times
        seen: dict[tuple[Weight | None, int], tuple[int, int, dict[str, int]]] = {}
        done = 0
        while done < times:
            before = seen.get((stand.weight, stand.facing))
            if before is not None:
                rounds = (times - done) // (done - before[0])
                for name, number in self._danced.items():
                    self._danced[name] = number + rounds * (number - before[2].get(name, 0))
                stand, done = _later(stand, rounds * (stand.tick - before[1])), done + rounds * (done - before[0])
                seen = {}
                if done == times:
                    break
            else:
                seen[stand.weight, stand.facing] = done, stand.tick, dict(self._danced)
            stand, done = self.body(repeat.body, stand), done + 1
        return stand


def _seen(stand: Stand) -> tuple[Weight | None, int, int]:
    """Return a stand as seen from the start of its pass: the weight, the change of facing, the time since then."""
    return stand.weight, (stand.facing - stand.wall) % EIGHTHS, stand.inside


def _moved(stand: Stand, weight: Weight | None, turn: int, ticks: int) -> Stand:
    return evolve(_later(stand, ticks), weight=weight, facing=(stand.facing + turn) % EIGHTHS)


def _later(stand: Stand, ticks: int) -> Stand:
    return evolve(stand, tick=stand.tick + ticks, inside=stand.inside + ticks)


def tracks(program: Program) -> Tracks:
    """Follow one dance of a program.

    A part that is never danced is followed from its own start, on the front wall.
    """
    follower = _Follower()
    follower.body(program.dance, Stand(Weight(program.lead.other), program.facing))
    for spare in program.spares:
        follower.body(spare.body, Stand(spare.weights[0], 0))
    passes = {name: tuple(kinds.values()) for name, kinds in follower.passes.items()}
    return Tracks(follower.found, follower.parts, passes)
