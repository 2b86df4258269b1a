"""What can come to each point of a dance: effects composed step by step, with every claim judged on the way.

The state space is finite and small, so this is exact: what comes to a check is the set of all states that can.
"""

from collections.abc import Callable
from functools import reduce
from typing import ClassVar

from stepcheck.books.footwork import Words
from stepcheck.model.dance import (
    EIGHTHS,
    Body,
    Check,
    Choice,
    Claim,
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
    Weight,
)
from stepcheck.model.outcome import Verdict
from stepcheck.walk.branches import Branch, Event, Front, merged, unrepeated
from stepcheck.walk.checks import go_on, holds, lead_off
from stepcheck.walk.effects import WEIGHTS, Algebra, Effect, step_effect

MOST_TIMES = 64
MOST_EVENTS = 10_000  # checks met in one pass; of more, those of one check count as one
_UNROLLED = 8


class BudgetSpent(Exception):
    """More steps were needed than the budget allows."""


# What dances an item of each kind. A class has them by kind, its own in the place of what it inherits; no walk holds itself.
_METHODS = {
    Step: "_step", Rest: "_rest", Gap: "_gap", Check: "_check", Choice: "_choice", Repeat: "_repeat", Timed: "_timed",
    Pass: "_pass", Lap: "_lap", Forever: "_forever", Last: "_last",
}  # fmt: skip


class Fronts:
    """One walk over a program.

    `events` are the checks in the order of the dance; `laps` the effects of the laps, with the weights they began on.
    """

    _by_type: ClassVar[dict[type, Callable[..., Front]]]

    def __init_subclass__(cls) -> None:
        cls._by_type = {kind: getattr(cls, name) for kind, name in _METHODS.items()}

    def __init__(self, program: Program, algebra: Algebra, budget: int, words: Words) -> None:
        self.algebra = algebra
        self.words = words
        self.events: list[Event] = []
        self.laps: dict[tuple[Effect, int], None] = {}
        self._budget = budget
        self._judges = True
        self._waiting: set[int] = set()
        self._steps: dict[tuple[int, int | None, bool], Front] = {}
        self._passes: dict[tuple[int, tuple[Weight, ...], bool], tuple[Front, tuple[Event, ...]]] = {}
        self._keep: list[object] = []
        self._once: dict[int, Front] = {}
        self._innermost: dict[int, int] = {}

    def run(self, body: Body, front: Front, facing: int) -> Front:
        """Return what leads to the end of `body` from `front`; `facing` is that of the start of the frame."""
        self._budget -= len(body)
        if self._budget < 0:
            raise BudgetSpent
        for item in body:
            front = self._by_type[type(item)](self, item, front, facing)
        return front

    def begin(self, weights: tuple[Weight, ...], facing: int = 0, is_open: bool = False) -> Front:
        """Return the front at the start of a frame."""
        return (Branch(self.algebra.start(weights, facing, is_open), self.words.every),)

    # -- steps -------------------------------------------------------------------------------------------------------

    def _step(self, step: Step, front: Front, facing: int) -> Front:
        where = (id(step.figure), step.turn, step.blank)
        made = self._steps.get(where)
        if made is None:
            self._keep.append(step.figure)
            parts = self.words.partition(step.figure)
            made = self._steps[where] = merged(
                Branch(step_effect(self.algebra, step, version, senses), who) for version, senses, who in parts
            )
        return self._compose(front, made)

    def _compose(self, front: Front, onward: Front) -> Front:
        """Return every branch of `front` followed by every branch of `onward` that shares assignments with it."""
        if len(front) == 1 and len(onward) == 1:
            (one,), (other,) = front, onward
            return (Branch(self.algebra.then(one.effect, other.effect), one.who & other.who),)
        then = self.algebra.then
        found: dict[Effect, int] = {}
        for one, some in front:
            for other, others in onward:
                who = some & others
                if who:
                    effect = then(one, other)
                    found[effect] = found.get(effect, 0) | who
        return tuple(Branch(effect, who) for effect, who in found.items())

    def _rest(self, rest: Rest, front: Front, facing: int) -> Front:
        return tuple(Branch(self.algebra.shifted(b.effect, rest.ticks, rest.ticks), b.who) for b in front)

    def _gap(self, gap: Gap, front: Front, facing: int) -> Front:
        every = (1 << EIGHTHS) - 1
        out = []
        for effect, who in front:
            spread = reduce(self.algebra.either, (self.algebra.moved(effect, weight) for weight in WEIGHTS))
            low = self.algebra.mapped(
                spread,
                lambda e: e._replace(
                    exact=0, loose=every, turn_low=0, turn_high=0, low=e.low + gap.ticks, high=e.high + gap.ticks
                ),
            )
            out.append(Branch(self.algebra.opened(low), who))
        return merged(out)

    # -- claims ------------------------------------------------------------------------------------------------------

    def _note(self, claim: Claim, verdict: Verdict, who: int, check: object) -> None:
        self.events.append(Event(claim.id, verdict, who, id(check)))

    def _check(self, check: Check, front: Front, facing: int) -> Front:
        found: dict[Effect, int] = {}
        for branch in front:
            before, who = branch
            effect = self._judged(check, before, who, facing) if self._judges else before
            if check.test is Test.LEAD:
                effect = lead_off(self.algebra, effect, check)
            if effect.ends():
                if effect is before and len(front) == 1:
                    return front
                found[effect] = found.get(effect, 0) | who
        return tuple(Branch(effect, who) for effect, who in found.items())

    def _judged(self, check: Check, effect: Effect, who: int, facing: int) -> Effect:
        """Note how a check stands and return the effect as it goes on."""
        every, some = holds(effect, check, facing)
        if every:
            self._note(check.claim, Verdict.PROVED, who, check)
            return effect
        is_open = effect.open or (check.test is Test.LEAD and check.value is None)
        waits = is_open and (some or id(check) in self._waiting)
        self._note(check.claim, Verdict.UNDECIDED if waits else Verdict.REFUTED, who, check)
        return go_on(self.algebra, effect, check, facing, waits)

    def _choice(self, choice: Choice, front: Front, facing: int) -> Front:
        out: list[Branch] = []
        for branch in front:
            ends = [self.run(option, (branch,), facing) for option in choice.options]
            for first in ends[0]:
                clock, joined = first.effect.clock(), [Branch(first.effect, first.who)]
                for end in ends[1:]:
                    joined = [
                        self._joined(choice, one, other, clock)
                        for one in joined
                        for other in end
                        if one.who & other.who
                    ]
                out += joined
        return merged(out)

    def _joined(self, choice: Choice, one: Branch, other: Branch, clock: tuple[int, int]) -> Branch:
        """Return two options as one branch, the second with the length of the first; note whether they were equal."""
        who, (low, high) = one.who & other.who, other.effect.clock()
        self._note(choice.claim, Verdict.PROVED if (low, high) == clock else Verdict.REFUTED, who, choice)
        levelled = self.algebra.shifted(other.effect, clock[0] - low, clock[1] - high)
        return Branch(self.algebra.either(one.effect, levelled), who)

    # -- blocks ------------------------------------------------------------------------------------------------------

    def _timed(self, timed: Timed, front: Front, facing: int) -> Front:
        out: list[Branch] = []
        for effect, who in front:
            low, high = effect.clock()
            fresh = self.algebra.fresh(effect)
            out += (
                Branch(self.algebra.shifted(end.effect, low, high), end.who)
                for end in self.run(timed.body, (Branch(fresh, who),), facing)
            )
        return merged(out)

    def _pass(self, item: Pass, front: Front, facing: int) -> Front:
        out: list[Branch] = []
        for branch in front:
            inner, events = self.passed(item.body, branch.effect.ends(), branch.effect.open)
            if branch.who == self.words.every:
                self.events += events
            else:
                for event in events:
                    claim, verdict, who, check = event
                    if who & branch.who:
                        self.events.append(Event(claim, verdict, who & branch.who, check))
            if item.lap:
                self.laps.update(dict.fromkeys((b.effect, b.who & branch.who) for b in inner if b.who & branch.who))
            out += self._compose((branch,), inner)
        return merged(out)

    def passed(self, body: Body, weights: tuple[Weight, ...], is_open: bool) -> tuple[Front, tuple[Event, ...]]:
        """Return what a pass does from these weights, and the checks met; the same pass is walked once."""
        where = (id(body), weights, is_open)
        made = self._passes.get(where)
        if made is None:
            outer, judges = self.events, self._judges
            self.events, self._judges = [], True
            inner = self.run(body, self.begin(weights, 0, is_open), 0)
            if not is_open:
                inner = tuple(
                    Branch(self.algebra.opened(b.effect, b.effect.open and not b.effect.single()), b.who) for b in inner
                )
            events = self.events if len(self.events) <= MOST_EVENTS else unrepeated(self.events)
            made = self._passes[where] = (inner, tuple(events))
            self._keep.append(body)
            self.events, self._judges = outer, judges
        return made

    def _lap(self, lap: Lap, front: Front, facing: int) -> Front:
        begun = len(self.events)
        out = self.run(lap.body, front, facing)
        waiting, self._waiting = self._waiting, {e.check for e in self.events[begun:] if e.verdict is Verdict.UNDECIDED}
        for effect, who in front:
            for _, weight, entry in effect.entries():
                for wall in (wall for wall in range(EIGHTHS) if entry.facings >> wall & 1):
                    kept = len(self.events)
                    start = Branch(self.algebra.start((weight,), wall, effect.open), who)
                    for end in self.run(lap.body, (start,), facing):
                        self.laps[self.algebra.turned(end.effect, -wall), end.who] = None
                    del self.events[kept:]
        self._waiting = waiting
        return out

    def _forever(self, forever: Forever, front: Front, facing: int) -> Front:
        front = tuple(Branch(self.algebra.timeless(b.effect), b.who) for b in front)
        start = len(self.events)
        while True:
            onward = self.run(forever.body, front, facing)
            self.events[start:] = unrepeated(self.events[start:])
            grown = self._union(front, tuple(Branch(self.algebra.timeless(b.effect), b.who) for b in onward))
            if grown == front:
                return front
            front = grown

    def _last(self, last: Last, front: Front, facing: int) -> Front:
        self.run(last.body, front, facing)
        return front

    # -- repeats -----------------------------------------------------------------------------------------------------

    def _repeat(self, repeat: Repeat, front: Front, facing: int) -> Front:
        start = len(self.events)
        if repeat.times is None:
            out = self._some_times(repeat.body, front, facing)
        elif repeat.times * self._rounds(repeat.body) <= _UNROLLED:
            out = front
            for _ in range(repeat.times):
                out = self.run(repeat.body, out, facing)
        else:
            out = self._many_times(repeat.body, repeat.times, front, facing)
        self.events[start:] = unrepeated(self.events[start:])
        return out

    def _some_times(self, body: Body, front: Front, facing: int) -> Front:
        """Run a body that is danced a number of times that is to be found."""
        out = front = self.run(body, front, facing)
        for _ in range(MOST_TIMES - 1):
            front = tuple(Branch(self.algebra.opened(b.effect), b.who) for b in front)
            front = self.run(body, front, facing)
            out = self._union(out, front)
        return out

    def _many_times(self, body: Body, times: int, front: Front, facing: int) -> Front:
        """Run a body many times: as a power where every claim in it holds, else time by time until a pattern shows."""
        once = self._unjudged(body)
        if not self._judges:
            return self._compose(front, self._raised(once, times, or_less=False))
        start = len(self.events)
        begun = self._compose(front, self._raised(once, times - 1, or_less=True))
        self.run(body, begun, facing)
        if all(event.verdict is Verdict.PROVED for event in self.events[start:]):
            return self._compose(front, self._raised(once, times, or_less=False))
        del self.events[start:]
        return self._time_by_time(body, times, front, facing)

    def _unjudged(self, body: Body) -> Front:
        """Return what a body does from every weight, no claim in it being looked at; it is worked out once."""
        made = self._once.get(id(body))
        if made is None:
            start, judges, self._judges = len(self.events), self._judges, False
            made = self._once[id(body)] = self.run(body, self.begin(WEIGHTS), 0)
            self._keep.append(body)
            self._judges = judges
            del self.events[start:]
        return made

    def _rounds(self, body: Body) -> int:
        """Return how often the innermost repeat of a body is danced."""
        made = self._innermost.get(id(body))
        if made is None:
            inner = (
                (item.times or MOST_TIMES) * self._rounds(item.body) if type(item) is Repeat else self._rounds(item.body)
                for item in body
                if type(item) in (Repeat, Timed, Lap, Last)
            )
            made = self._innermost[id(body)] = max(inner, default=1)
            self._keep.append(body)
        return made

    def _raised(self, once: Front, times: int, *, or_less: bool) -> Front:
        """Return the powers of the branches of `once`; `or_less` allows any smaller number of times too."""
        still = self.algebra.start(WEIGHTS)
        out = []
        for effect, who in once:
            base = self.algebra.either(still, effect) if or_less else effect
            out.append(Branch(self.algebra.power(base, times), who))
        return merged(out)

    def _time_by_time(self, body: Body, times: int, front: Front, facing: int) -> Front:
        """Run a body time by time; once its fronts come round in the same shape, go whole rounds at a time."""
        seen: dict[tuple[object, ...], tuple[int, Front]] = {}
        done = 0
        while done < times:
            front, done = self.run(body, front, facing), done + 1
            shape = tuple((_shape(branch.effect), branch.who) for branch in front)
            if shape in seen:
                before, earlier = seen[shape]
                rounds = (times - done) // (done - before)
                front = tuple(
                    Branch(_onward(self.algebra, old.effect, new.effect, rounds), new.who)
                    for old, new in zip(earlier, front, strict=True)
                )
                done += rounds * (done - before)
                seen = {}
            seen[shape] = (done, front)
        return front

    def _union(self, one: Front, other: Front) -> Front:
        """Return what allows either, for each assignment."""
        return merged(
            Branch(self.algebra.either(a.effect, b.effect), a.who & b.who) for a in one for b in other if a.who & b.who
        )


Fronts._by_type = {kind: getattr(Fronts, name) for kind, name in _METHODS.items()}


def _shape(effect: Effect) -> tuple[object, ...]:
    """Return an effect's facings without its lengths and turns."""
    return (effect.open, *((e and (e.exact, e.loose)) for row in effect.rows for e in row))


def _onward(algebra: Algebra, old: Effect, new: Effect, rounds: int) -> Effect:
    """Return `new` after `rounds` more rounds that each add what lies between `old` and `new`."""
    rows = [
        [
            b and b._replace(
                low=b.low + rounds * (b.low - a.low), high=b.high + rounds * (b.high - a.high),
                turn_low=b.turn_low + rounds * (b.turn_low - a.turn_low),
                turn_high=b.turn_high + rounds * (b.turn_high - a.turn_high),
            )
            for a, b in zip(p, q, strict=True)
        ]
        for p, q in zip(old.rows, new.rows, strict=True)
    ]  # fmt: skip
    return algebra.effect(rows, new.open)
