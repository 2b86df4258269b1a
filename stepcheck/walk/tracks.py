"""One sample dance: the stand of the dancers at each line when the dance first reaches it, and its timeline.

It takes the first option of a variation, from both feet the foot that the figure is written for, and no turn for a
blank one.  Claims that fail are taken as put right, as everywhere.  Pages, calls and sheets for a class are drawn from
it.
"""

from typing import TypeAlias

from attrs import evolve, field, frozen

from stepcheck.books.footwork import Impossible, ends
from stepcheck.model.claims import Check, Test, looking_at
from stepcheck.model.dance import (
    EIGHTHS,
    Body,
    Choice,
    Figure,
    Forever,
    Gap,
    Lap,
    Last,
    Pass,
    Program,
    Repeat,
    Rest,
    Step,
    Timed,
    Together,
    Weight,
    key,
)
from stepcheck.model.items import checks, every, methods
from stepcheck.walk.stands import Moment, Stand, Timeline

MOST = 400  # moments of a timeline
_OF_A_MOMENT = looking_at("weight", "facing")
_WORK = 20_000  # items are gone through for a timeline
_LAPS = 3 * EIGHTHS  # after as many the first comes round: there are no more states


Extent: TypeAlias = tuple[Stand, Stand]
"""The stands before and after a line or a part."""


@frozen
class Passed:
    """A pass of a part: its `time`, the stands before and after it, and those before and after each of its own
    `lines`."""

    time: int
    way: Extent
    lines: dict[int, Extent]


@frozen
class Tracks:
    """The stands before and after the first time of each line, and of each part by its key.

    `passes` has for each part its first pass, and the first one of each other kind: with another free foot, beat, or
    facing from where it began, at some line of it or at its end.
    """

    lines: dict[int, Extent]
    parts: dict[str, Extent]
    passes: dict[str, tuple[Passed, ...]] = field(factory=dict)


class _Follower:
    """Follows one dance, and records the first stands of each line and part, and up to `most` moments of it.

    What goes on until the music ends is danced `rounds` times; `each` keeps the times of a row apart.
    """

    def __init__(self, most: int = 0, rounds: int = 1, each: bool = False) -> None:
        self.moments: list[Moment] = []
        self.drawing = most > 0
        self.endless: tuple[Body, Stand] | None = None
        self._most, self._rounds, self._each = most, rounds, each
        self._work = _WORK
        self._others: tuple[str, ...] = ()
        self._open = False
        self.found: dict[int, Extent] = {}
        self.parts: dict[str, Extent] = {}
        self.passes: dict[str, dict[tuple[object, ...], Passed]] = {}
        self._danced: dict[str, int] = {}
        self._pass_lines: dict[int, Extent] = {}

    def body(self, body: Body, stand: Stand) -> Stand:
        """Return the stand after a body."""
        for item in body:
            self._work -= 1
            self.drawing &= self._work >= 0 and len(self.moments) <= self._most
            stand = _BY_TYPE[type(item)](self, item, stand)
        return stand

    def _silent(self, body: Body, stand: Stand) -> Stand:
        """Return the stand after a body that the timeline leaves out."""
        before, self.drawing = (self.drawing, self._open, self._danced), False
        self._danced = dict(self._danced)
        stand = self.body(body, stand)
        self.drawing, self._open, self._danced = before
        return stand

    def _drawn(
        self, line: int, label: str, before: Stand, after: Stand, figure: Figure | None = None, put_right: bool = False
    ) -> None:
        if not self.drawing:
            return
        ticks, turn = (0, 0) if put_right else (after.tick - before.tick, after.turn - before.turn)
        feet, facings = (before.weight, after.weight), (before.wall_faced, after.wall_faced)
        time = self._danced[key(before.part)] if before.part else 0
        made = Moment(before.tick, ticks, line, label, feet, facings, turn, before.part, time, others=self._others)
        made = evolve(made, put_right=put_right, figure=figure, inside=before.inside)
        again = made.after(self.moments[-1]) if self.moments and not self._each else None
        self.moments[len(self.moments) - (again is not None) :] = [again or made]

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
        self._open |= step.blank
        after = stand.moved(weight, turn if step.turn is None else step.turn, version.length)
        after = evolve(after, sure=False) if step.blank else after
        self._drawn(step.line, step.figure.name, stand, after, step.figure)
        return self._at(step.line, stand, after)

    def _rest(self, rest: Rest, stand: Stand) -> Stand:
        after = stand.moved(stand.weight, 0, rest.ticks)
        self._drawn(rest.line, "hold", stand, after)
        return self._at(rest.line, stand, after)

    def _gap(self, gap: Gap, stand: Stand) -> Stand:
        self._open = True
        after = evolve(stand.moved(None, 0, gap.ticks), sure=False)
        self._drawn(gap.line, "?", stand, after)
        return self._at(gap.line, stand, after)

    def _together(self, item: Check | Together, stand: Stand) -> Stand:
        """Take checks as true; what was not, though nothing is open, is drawn as put right."""
        together = checks(item)
        wrong = () if self._open else tuple(one for one in together if not one.blank and not stand.fits(one))
        for check in together:
            after = evolve(stand, weight=None) if check.blank else stand.taking(check)
            self._open |= check.blank
            if check in wrong:
                self._drawn(check.line, check.claim.text, stand, after, put_right=True)
            if check.test in _OF_A_MOMENT:
                before = after if check.test is Test.LEAD else stand
                self.found.setdefault(check.line, (before, after))
                self._pass_lines.setdefault(check.line, (before, after))
            stand = after
        return stand

    def _choice(self, choice: Choice, stand: Stand) -> Stand:
        others = choice.options[1:] if choice.line else ()  # a dancer does not choose her group
        around, self._others = self._others, tuple(map(_first, others))
        end = self.body(choice.options[0], stand)
        self._others = around
        for option in choice.options[1:]:
            self._silent(option, stand)
        return end

    def _lap(self, item: Lap, stand: Stand) -> Stand:
        return self.body(item.body, stand)

    def _timed(self, item: Timed, stand: Stand) -> Stand:
        end = self.body(item.body, evolve(stand, since=stand.tick))
        tick = end.tick if item.lasts is None else stand.tick + item.lasts
        return evolve(end, since=stand.since, tick=tick)

    def _forever(self, forever: Forever, stand: Stand) -> Stand:
        self.endless = self.endless or (forever.body, stand)
        for _ in range(self._rounds):
            stand = self.body(forever.body, stand)
        return stand

    def _last(self, last: Last, stand: Stand) -> Stand:
        self._silent(last.body, stand)
        return stand

    def _pass(self, item: Pass, stand: Stand) -> Stand:
        at, turn = stand.tick, stand.turn
        frame = evolve(stand, part=item.part, wall=stand.facing, began=at, since=at, turned=turn, front=0, loose=False)
        name = key(item.part)
        time = self._danced[name] = self._danced.get(name, 0) + 1
        around, self._pass_lines = self._pass_lines, {}
        end = self.body(item.body, frame)
        lines, self._pass_lines = self._pass_lines, around
        self.parts.setdefault(name, (frame, end))
        look = (_seen(end), *((line, _seen(lines[line][0])) for line in sorted(lines)))
        self.passes.setdefault(name, {}).setdefault(look, Passed(time, (frame, end), lines))
        tick, loose = end.tick if item.lasts is None else at + item.lasts, stand.loose or end.loose
        after = evolve(
            stand, weight=end.weight, facing=end.facing, turn=end.turn, sure=end.sure, tick=tick, loose=loose
        )
        return self._at(item.line, stand, after)

    def _repeat(self, repeat: Repeat, stand: Stand) -> Stand:
        """Return the stand after a repeat: time by time until a stand comes round, then whole rounds at once, but for
        the timeline, which has every time."""
        self._open |= repeat.times is None
        times = 1 if repeat.times is None else repeat.times
        seen: dict[tuple[object, ...], tuple[int, Stand, dict[str, int]]] = {}
        done = 0
        while done < times:
            look = stand.weight, stand.facing, stand.loose, stand.sure
            if look in seen and not self.drawing:
                then, before, danced = seen[look]
                rounds = (times - done) // (done - then)
                for name, number in self._danced.items():
                    self._danced[name] = number + rounds * (number - danced.get(name, 0))
                tick, turn = stand.tick - before.tick, stand.turn - before.turn
                stand = evolve(stand, tick=stand.tick + rounds * tick, turn=stand.turn + rounds * turn)
                seen, done = {}, done + rounds * (done - then)
                if done == times:
                    break
            else:
                seen[look] = done, stand, dict(self._danced)
            self._work -= 1
            self.drawing &= self._work >= 0
            stand, done = self.body(repeat.body, stand), done + 1
        return stand


_BY_TYPE = methods(_Follower)


def _first(body: Body) -> str:
    return next((item.figure.name for item in every(body) if isinstance(item, Step)), "hold")


def _seen(stand: Stand) -> tuple[Weight | None, int, int]:
    """Return a stand as seen from the start of its pass: the weight, the change of facing, the time since then."""
    return stand.weight, (stand.facing - stand.wall) % EIGHTHS, stand.inside


def tracks(program: Program) -> Tracks:
    """Follow one dance of a program.

    A part that is never danced is followed from its own start, on the front wall.
    """
    follower = _Follower()
    follower.body(program.dance, Stand.first(program))
    for spare in program.spares:
        follower.body(spare.body, Stand(spare.weights[0], 0))
    passes = {name: tuple(kinds.values()) for name, kinds in follower.passes.items()}
    return Tracks(follower.found, follower.parts, passes)


def timeline(program: Program, most: int = MOST, rounds: int = 1, each: bool = False) -> Timeline:
    """Return the timeline of one dance of a program.

    Args:
        program: the dance.
        most: about how many moments it has; a longer one is not whole.
        rounds: how many times it goes through what goes on until the music ends.
        each: whether a figure that is danced some times in a row has a moment for each.
    """
    follower = _Follower(most, rounds, each)
    follower.body(program.dance, Stand.first(program))
    return Timeline(tuple(follower.moments), follower.drawing, follower.endless)


def walls_of(program: Program, endless: tuple[Body, Stand] | None = None) -> tuple[int, ...]:
    """Return the different facings (eighths) at the starts of laps, in the order in which they first come.

    There are none where a blank leaves them open.

    Laps are those of the claim about walls, for their steps alone, else the times of `endless`, a repeat until the
    music ends with the stand at its start.
    """
    body, stand = (program.walls.body, Stand.first(program)) if program.walls else endless or ((), Stand.first(program))
    found: dict[int, None] = {}
    for _ in range(_LAPS if body else 0):
        found.setdefault(stand.facing)
        stand = _Follower().body(body, evolve(stand, front=stand.facing, turned=stand.turn, since=stand.tick))
        if stand.weight is None or not stand.sure:
            return ()
    return tuple(found)
