"""The frontier of a dance: the states that can reach each point, composed step by step, with every claim judged there.

A check changes each state by itself, so a body danced many times is a relation between states. The states that reach a
check inside it are those of the power of "nothing or once". The state space is finite and small, so this is exact. Only
states that wait on a blank are looked at together; then a repeat is danced time by time.
"""

from collections.abc import Callable
from functools import partial, reduce
from typing import ClassVar

from stepcheck.books.footwork import Words
from stepcheck.model.claims import Check, Claim, looking_at
from stepcheck.model.dance import (
    EIGHTHS,
    MOST_TIMES,
    Body,
    Choice,
    Figure,
    Forever,
    Gap,
    Lap,
    Last,
    Pass,
    Repeat,
    Rest,
    Step,
    Timed,
    Together,
    Weight,
)
from stepcheck.model.items import checks, methods
from stepcheck.model.outcome import Verdict
from stepcheck.model.work import Work
from stepcheck.walk.branches import (
    Branch,
    Event,
    Front,
    Looks,
    Met,
    Passes,
    Relation,
    Relations,
    Start,
    changed,
    merged,
    shifted,
    unrepeated,
)
from stepcheck.walk.effects import ANY_FACING, WEIGHTS, Algebra, Effect, judged, step_effect

MOST_EVENTS = 1_000  # checks met in one pass; of more, those of one check count as one
_UNROLLED = 8
_FACINGS, _TURNS, _CLOCKS = looking_at("facing"), looking_at("turn"), looking_at("clock")
_OF_THE_FRAME = _CLOCKS | _TURNS


class Fronts:
    """One walk over a program.

    `events` are the checks in the order of the dance, `laps` the starts of the laps.
    """

    _by_type: ClassVar[dict[type, Callable[..., Front]]]

    def __init_subclass__(cls) -> None:
        cls._by_type = methods(cls)

    def __init__(self, algebra: Algebra, budget: int, words: Words, passes: Passes | None = None) -> None:
        self.algebra = algebra
        self.words = words
        self.events: list[Event] = []
        self.laps: dict[Start, None] = {}
        self.work = Work(budget)  # in items walked over
        self._notes = True
        self._maybe = False
        self._steps: dict[tuple[Figure, int | None, bool], Front] = {}
        self._passes: Passes = {} if passes is None or words.words else passes
        self._relations, self._looks = Relations(algebra), Looks()
        self._keep: list[object] = []

    def run(self, body: Body, front: Front, facing: int) -> Front:
        """Return the front at the end of `body`, from the `front` before it; `facing` is that of the start of the
        frame."""
        self.work.spend(len(body))
        for item in body:
            front = self._by_type[type(item)](self, item, front, facing)
        return front

    def begin(self, weights: tuple[Weight, ...], is_open: bool = False) -> Front:
        """Return the front at the start of a frame."""
        return ((self.algebra.start(weights, is_open), self.words.every),)

    # -- steps -------------------------------------------------------------------------------------------------------

    def _step(self, step: Step, front: Front, facing: int) -> Front:
        where = step.figure, step.turn, step.blank
        made = self._steps.get(where)
        if made is None:
            parts = self.words.partition(step.figure)
            made = self._steps[where] = merged(
                (step_effect(self.algebra, step, version, senses), who) for version, senses, who in parts
            )
        return self._compose(front, made)

    def _compose(self, front: Front, onward: Front) -> Front:
        """Return every branch of `front` followed by every branch of `onward` that shares assignments with it."""
        then = self.algebra.then
        found: dict[Effect, int] = {}
        for one, some in front:
            for other, others in onward:
                who = some & others
                if who:
                    effect = one.kept.get(other) or then(one, other)
                    found[effect] = found.get(effect, 0) | who
        return tuple(found.items())

    def _rest(self, rest: Rest, front: Front, facing: int) -> Front:
        return changed(front, lambda effect: self.algebra.shifted(effect, rest.ticks, rest.ticks))

    def _gap(self, gap: Gap, front: Front, facing: int) -> Front:
        algebra = self.algebra

        def after(effect: Effect) -> Effect:
            spread = reduce(algebra.either, (algebra.moved(effect, (weight,) * 3) for weight in WEIGHTS))
            loose = algebra.mapped(spread, lambda e: e._replace(turns=(), loose=ANY_FACING, more=False))
            return algebra.opened(algebra.shifted(loose, gap.ticks, gap.ticks))

        return changed(front, after)

    # -- claims ------------------------------------------------------------------------------------------------------

    def _note(self, claim: Claim, verdict: Verdict, who: int, check: object) -> None:
        if self._notes:
            self.events.append(Event(claim.id, verdict, who, id(check)))

    def _together(self, item: Check | Together, front: Front, facing: int) -> Front:
        """Judge checks on the front before them, and take all of them as true."""
        found: dict[Effect, int] = {}
        for before, who in front:
            effect = before
            for check in checks(item):
                every, some, after = judged(self.algebra, before, check, facing)
                self._judge(check, before, every, some, who)
                effect = after if effect is before else judged(self.algebra, effect, check, facing)[2]
            if effect.ends:
                if effect is before and len(front) == 1:
                    return front
                found[effect] = found.get(effect, 0) | who
        return tuple(found.items())

    def _judge(self, check: Check, effect: Effect, every: bool, some: bool, who: int) -> None:
        """Record the verdict of a check that holds for every state of an effect or for some; one that waits on a blank
        is undecided where some filling may make it true."""
        waits = (effect.open or check.blank) and (some or self._maybe)
        if not (every and check.opens):
            verdict = Verdict.PROVED if every else Verdict.UNDECIDED if waits else Verdict.REFUTED
            self._note(check.claim, verdict, who, check)

    def _choice(self, choice: Choice, front: Front, facing: int) -> Front:
        out: Front = ()
        for effect, who in front:
            ends = [self.run(option, ((effect, who),), facing) for option in choice.options]
            if choice.claim is not None:
                for number, end in enumerate(ends[1:], 1):
                    ends[number] = self._levelled(choice, effect.clock, ends[0], end)
            out += reduce(self._union, ends)
        return merged(out)

    def _levelled(self, choice: Choice, before: tuple[int, int], first: Front, other: Front) -> Front:
        """Return the ends of an option with the length of the first; note whether they were equal."""
        out, claim = [], choice.claim
        assert claim is not None
        for effect, who in other:
            for one, some in first:
                if not some & who:
                    continue
                (low, high), (least, most) = effect.clock, one.clock
                # Both options last so long, however long the dance has been.
                known = high - low == most - least == before[1] - before[0]
                if known and low == least:
                    verdict = Verdict.PROVED
                elif (effect.open or one.open) and (self._maybe or (not known and max(low, least) <= min(high, most))):
                    verdict = Verdict.UNDECIDED
                else:
                    verdict = Verdict.REFUTED
                self._note(claim, verdict, some & who, choice)
                out.append((self.algebra.shifted(effect, least - low, most - high), some & who))
            left = who & ~reduce(lambda bits, one: bits | one[1], first, 0)
            out += [(effect, left)] if left else []
        return merged(out)

    # -- blocks ------------------------------------------------------------------------------------------------------

    def _timed(self, timed: Timed, front: Front, facing: int) -> Front:
        out: list[Branch] = []
        for effect, who in front:
            low, high = effect.clock
            ends = self._lasting(timed.lasts, self.run(timed.body, ((self.algebra.fresh(effect), who),), facing))
            out += changed(ends, partial(self.algebra.shifted, low=low, high=high))
        return merged(out)

    def _lasting(self, lasts: int | None, front: Front) -> Front:
        """Return the front after a body; it lasts `lasts` ticks where that is settled."""
        if lasts is None:
            return front
        return changed(front, lambda effect: self.algebra.shifted(self.algebra.fresh(effect), lasts, lasts))

    def _pass(self, item: Pass, front: Front, facing: int) -> Front:
        out: list[Branch] = []
        for effect, who in front:
            if item.lap:
                self._note_lap(effect, who)
            met = self.passed(item.body, effect.ends, effect.open)
            if self._notes:
                for event in met.events:
                    some = event.who & who
                    if some:
                        self.events.append(event if some == event.who else event._replace(who=some))
                for lap in met.laps:
                    self.laps[lap._replace(who=lap.who & who)] = None
            out += self._compose(((effect, who),), self._lasting(item.lasts, met.ends))
        return merged(out)

    def passed(self, body: Body, weights: tuple[Weight, ...], is_open: bool) -> Met:
        """Return the results of a pass from these weights; the same pass is walked once."""
        where = (id(body), weights, is_open, self._maybe, self._notes)
        made = self._passes.get(where)
        if made is None:
            outer, self.events, self.laps = (self.events, self.laps), [], {}
            ends = self.run(body, self.begin(weights, is_open), 0)
            if not is_open:
                ends = changed(ends, self._settled)
            events = self.events if len(self.events) <= MOST_EVENTS else unrepeated(self.events)
            made = self._passes[where] = Met(ends, tuple(events), tuple(self.laps))
            self._keep.append(body)
            self.events, self.laps = outer
        elif self._notes:
            self.work.spend(len(made.events))
        return made

    def _settled(self, effect: Effect) -> Effect:
        """Return an effect that waits on no blank if only one weight, one facing and one length are left."""
        return self.algebra.opened(effect, effect.open and not (effect.single and len(set(effect.clock)) == 1))

    def _lap(self, lap: Lap, front: Front, facing: int) -> Front:
        for effect, who in front:
            self._note_lap(effect, who)
        return self.run(lap.body, front, facing)

    def _note_lap(self, effect: Effect, who: int) -> None:
        if self._notes:
            self.laps[Start(effect.ends, effect.open or self._maybe, who)] = None

    def _forever(self, forever: Forever, front: Front, facing: int) -> Front:
        front = changed(front, self.algebra.timeless)
        start = len(self.events)
        while True:
            onward = self.run(forever.body, front, facing)
            self.events[start:] = unrepeated(self.events[start:])
            grown = self._union(front, changed(onward, self.algebra.timeless))
            if set(grown) == set(front):
                break
            front = grown
        return front

    def _last(self, last: Last, front: Front, facing: int) -> Front:
        self.run(last.body, front, facing)
        return front

    # -- repeats -----------------------------------------------------------------------------------------------------

    def _repeat(self, repeat: Repeat, front: Front, facing: int) -> Front:
        start, seen = len(self.events), self._looks.of(repeat.body)
        if repeat.times is None:
            out = self._some_times(repeat.body, front, facing)
        elif repeat.times * seen.rounds <= _UNROLLED:
            out = front
            for _ in range(repeat.times):
                out = self.run(repeat.body, out, facing)
        elif seen.blank or seen.tests & _OF_THE_FRAME or (seen.checks and any(effect.open for effect, _ in front)):
            out = self._time_by_time(repeat.body, repeat.times, front, facing)
        else:
            out = self._many_times(repeat.body, repeat.times, front, facing)
        if seen.checks:
            self.events[start:] = unrepeated(self.events[start:])
        return out

    def _some_times(self, body: Body, front: Front, facing: int) -> Front:
        out = front = self.run(body, front, facing)
        maybe, self._maybe = self._maybe, True
        for _ in range(MOST_TIMES - 1):
            front = self.run(body, changed(front, self.algebra.opened), facing)
            out = self._union(out, front)
        self._maybe = maybe
        return changed(out, self.algebra.opened)

    def _many_times(self, body: Body, times: int, front: Front, facing: int) -> Front:
        """Run a body many times: once from all states that come to some time of it, and once as a power."""
        relations = self._related(body, facing)
        if self._notes:
            self.run(body, self._raised(front, relations, times - 1, or_less=True), facing)
        return self._raised(front, relations, times, or_less=False)

    def _related(self, body: Body, facing: int) -> tuple[tuple[Relation, int], ...]:
        """Return the relation of a body, by assignments; it is computed once."""
        turned = not self._looks.of(body).tests.isdisjoint(_FACINGS)
        where = id(body), facing if turned else None
        made = self._relations.known.get(where)
        if made is None:
            notes, self._notes = self._notes, False
            starts = [
                self.algebra.turned(self.algebra.start(WEIGHTS), turn) for turn in range(EIGHTHS if turned else 1)
            ]
            ends = [self.run(body, ((start, self.words.every),), facing) for start in starts]
            made = self._relations.known[where] = self._relations.made(ends, self.words.every)
            self._keep.append(body)
            self._notes = notes
        return made

    def _raised(self, front: Front, relations: tuple[tuple[Relation, int], ...], times: int, *, or_less: bool) -> Front:
        """Return `front` followed by a relation so many times; `or_less` allows any smaller number of times too."""
        out = []
        for relation, who in relations:
            self.work.spend(len(relation) * times.bit_length())
            powers = self._relations.powers(relation, times, or_less)
            for effect, some in front:
                if some & who:
                    out.append((reduce(self._relations.then, powers, effect), some & who))
        return merged(out)

    def _time_by_time(self, body: Body, times: int, front: Front, facing: int) -> Front:
        """Run a body time by time; once fronts differ by lengths and whole turns only, skip whole rounds."""
        tests = self._looks.of(body).tests
        seen: dict[object, tuple[int, tuple[tuple[int, int], ...]]] = {}
        start, done = len(self.events), 0
        while done < times and front:
            front, done = self.run(body, front, facing), done + 1
            # A time costs more where dancers may have turned by more: each turn is put together and sorted in.
            self.work.spend(2 * sum(len(entry.turns) for effect, _ in front for _, _, entry in effect.entries))
            if len(self.events) - start > MOST_EVENTS:
                self.events[start:] = unrepeated(self.events[start:])
            shape, least = shifted(self.algebra, front, not tests & _CLOCKS, not tests & _TURNS)
            if shape in seen:
                before, earlier = seen[shape]
                rounds = (times - done) // (done - before)
                out = []
                for (effect, who), (early, turned), (late, turn) in zip(front, earlier, least, strict=True):
                    ticks = rounds * (late - early)
                    effect = self.algebra.turned(self.algebra.shifted(effect, ticks, ticks), rounds * (turn - turned))
                    out.append((effect, who))
                front = tuple(out)
                done, seen = done + rounds * (done - before), {}
            else:
                seen[shape] = done, least
        return front

    def _union(self, one: Front, other: Front) -> Front:
        out = [(self.algebra.either(a, b), some & others) for a, some in one for b, others in other if some & others]
        for front, rest in ((one, other), (other, one)):
            there = reduce(lambda bits, branch: bits | branch[1], rest, 0)
            out += [(effect, who & ~there) for effect, who in front if who & ~there]
        return merged(out)


Fronts._by_type = methods(Fronts)
