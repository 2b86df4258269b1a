"""The first dance in which a claim fails: a search over single dancers, made only for a claim known to fail.

Only the part of a dancer's state that the claim tests is followed: a claim about feet ignores walls, and one about
lengths ignores turns.  Work is counted.  If the search for the very first dance is too costly, a second one has dancers
repeat their decisions for longer.
"""

from functools import partial

from attrs import frozen

from stepcheck.books.footwork import Impossible, Led, ends
from stepcheck.model.claims import Check, Test, looking_at
from stepcheck.model.dance import (
    EIGHTHS,
    MOST_TIMES,
    Body,
    Choice,
    Figure,
    Foot,
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
    Walls,
    Weight,
)
from stepcheck.model.items import checks, methods
from stepcheck.model.outcome import Decision, End, Fill, Lead, Pick, Run
from stepcheck.model.work import Work
from stepcheck.walk.stands import Dances, Past, State, fits, mapped, run_of, taken, thinned

_MOST_UNROLLED = 1_000
_FEET, _TURNS = looking_at("weight"), looking_at("turn")


class Found(Exception):
    """The result of the search: the claim fails at the end of each of these pasts, or because the pasts differ."""

    def __init__(self, *pasts: Past) -> None:
        self.pasts = pasts


@frozen
class Quest:
    """The question of one search: the claim, one reading of each open word, and the tests that bear on the claim.

    `refuted` are the claims that fail in some dance; `excused` those of them that fail in the dance itself, so that a
    pass for its steps alone need not have these feet free.  `strict` asks for a dance in which no other claim fails,
    `any_filling` for any in which the claim fails, whatever fills the blanks.
    """

    target: str
    readings: dict[str, int]
    refuted: frozenset[str]
    excused: frozenset[str]
    tests: frozenset[Test]
    laps: bool = False
    strict: bool = False
    any_filling: bool = False


class Trail:
    """The search for the first failure of a claim; `free` is how many times at either end of a long repeat are decided
    afresh.

    `laps` has for each weight the past of a dancer with whom a lap begins.
    """

    def __init__(self, quest: Quest, work: Work, free: int) -> None:
        self._quest = quest
        self._work = work
        self._free = free
        self._steps_alone = False
        self._open = self._maybe = False
        self._walls = not quest.tests.isdisjoint(looking_at("facing", "turn"))
        self._turns = not quest.tests.isdisjoint(_TURNS)
        self._clocks = not quest.tests.isdisjoint(looking_at("clock"))
        self._passes: dict[tuple[int, Weight], tuple[list[tuple[State, tuple[Decision, ...]]], bool]] = {}
        self.laps: dict[Weight, Past] = {}
        self._ends: dict[tuple[Figure, int, Weight], tuple[Led, ...]] = {}

    def run(self, body: Body, dances: Dances, facing: int) -> Dances:
        """Return the dances at the end of `body`; raise `Found` where the claim fails first."""
        for item in body:
            self._work.spend(1 + len(dances))
            dances = _BY_TYPE[type(item)](self, item, dances, facing)
        return dances

    def alone(self, walls: Walls, weight: Weight) -> Dances:
        """Return the dances at the end of a whole pass for its steps alone; raise `Found` at an ordered foot that is
        not free."""
        self._steps_alone, self._walls = True, True
        return self.run(walls.body, {State(weight, 0): Past()}, 0)

    # -- steps -------------------------------------------------------------------------------------------------------

    def _step(self, step: Step, dances: Dances, facing: int) -> Dances:
        figure, readings = step.figure, self._quest.readings
        own = readings.get(figure.name, figure.usual) if len(figure.versions) > 1 else figure.usual
        version, out = figure.versions[own], Dances()
        self._work.spend(EIGHTHS * len(dances) if step.blank else 0)
        for state, past in dances.items():
            where = figure, own, state.weight
            ways = self._ends.get(where)
            if ways is None:
                ways = self._ends[where] = tuple(sorted(ends(figure, state.weight, version, readings)))
            for end in ways:
                onward = past.taking(Lead(end.lead)) if len(ways) > 1 else past
                self._danced(step, version.length, end, state, onward, out)
        return out

    def _danced(self, step: Step, ticks: int, end: Led, state: State, past: Past, out: Dances) -> None:
        """Add to `out` the states after a step with this end."""
        if isinstance(end.weight, Impossible):
            return
        self._open |= step.blank
        for turn in range(EIGHTHS) if step.blank else (end.turn if step.turn is None else step.turn,):
            taking = past.taking(Fill(None, turn)) if step.blank else past
            out.setdefault(self._after(state, end.weight, turn, ticks, step.blank), taking)

    def _after(self, state: State, weight: Weight, turn: int, ticks: int, is_loose: bool = False) -> State:
        """Return a state after a movement, as far as the claim tests it."""
        facing = (state.facing + turn) % EIGHTHS if self._walls else 0
        turned, loose = (state.turn + turn, state.loose or is_loose) if self._turns else (0, False)
        return State(weight, facing, turned, loose, state.clock + ticks if self._clocks else 0, state.outer)

    def _rest(self, rest: Rest, dances: Dances, facing: int) -> Dances:
        return mapped(dances, lambda state: self._after(state, state.weight, 0, rest.ticks))

    def _gap(self, gap: Gap, dances: Dances, front: int) -> Dances:
        out, self._open = Dances(), True
        self._work.spend(len(dances) * len(Weight) * EIGHTHS)
        for state, past in dances.items():
            for weight in Weight:
                for turn in range(EIGHTHS):
                    out.setdefault(self._after(state, weight, turn, gap.ticks, True), past.taking(Fill(weight, turn)))
        return thinned(out)

    # -- claims ------------------------------------------------------------------------------------------------------

    def _together(self, item: Check | Together, dances: Dances, facing: int) -> Dances:
        """Judge checks on the dancers as they come, then take all of them as true."""
        seen = [check for check in checks(item) if check.test in self._quest.tests or check.test in _FEET]
        for check in seen:
            self._judge(check, dances, facing)
            must_hold = check.claim.id not in self._quest.excused if self._steps_alone else self._quest.strict
            if must_hold and (self._steps_alone or check.claim.id not in self._quest.refuted):
                dances = {state: past for state, past in dances.items() if fits(state, check, facing)}
        for check in seen:
            if check.blank:
                self._open, led = True, Dances()
                for state, past in dances.items():
                    for foot in Foot:
                        led.setdefault(state._replace(weight=Weight(foot.other)), past.taking(Lead(foot)))
                dances = led
            elif dances:
                dances = mapped(dances, partial(taken, check=check, front=facing))
        return dances

    def _judge(self, check: Check, dances: Dances, facing: int) -> None:
        """Raise `Found` if a check is the claim, or an ordered foot of a pass for its steps alone, and fails."""
        if self._steps_alone:
            looked_for = check.claim.id not in self._quest.excused
        else:
            looked_for = check.claim.id == self._quest.target
        is_open = self._open and not self._quest.any_filling
        if not looked_for or (self._maybe and is_open):
            return
        wrong = [past for state, past in dances.items() if not fits(state, check, facing)]
        if check.blank and self._quest.any_filling and not self._steps_alone:
            stood = ((state.weight, past) for state, past in dances.items() if state.weight is not Weight.BOTH)
            wrong = [past.taking(Lead(Foot(weight))) for weight, past in stood]
        if wrong and not (is_open and len(wrong) < len(dances)):
            raise Found(wrong[0])

    def _choice(self, choice: Choice, dances: Dances, facing: int) -> Dances:
        out: Dances = {}
        claim, began_open = choice.claim.id if choice.claim else "", self._open
        levels = claim and (not began_open or claim == self._quest.target or claim in self._quest.refuted)
        for state, past in dances.items():
            first: tuple[int, Past] | None = None
            for number, option in enumerate(choice.options):
                opened, self._open = self._open, began_open
                ends = self.run(option, {state: past.taking(Pick(number))}, facing)
                self._open |= opened
                if levels and self._quest.strict and first is None and number:
                    break  # the first option, whose length the others get, is not danced from here without a failure
                for end, onward in ends.items():
                    first = first or (end.clock, onward)
                    if claim and claim == self._quest.target and end.clock != first[0]:
                        raise Found(first[1], onward)
                    out.setdefault(end._replace(clock=first[0]) if levels else end, onward)
        return thinned(out)

    # -- blocks ------------------------------------------------------------------------------------------------------

    def _timed(self, timed: Timed, dances: Dances, facing: int) -> Dances:
        if not self._clocks:
            return self.run(timed.body, dances, facing)
        inner = mapped(dances, lambda state: state._replace(clock=0, outer=state))
        ends = self.run(timed.body, inner, facing)

        def after(end: State) -> State:
            assert end.outer is not None
            lasted = end.clock if timed.lasts is None else timed.lasts
            return end._replace(clock=end.outer.clock + lasted, outer=end.outer.outer)

        return mapped(ends, after)

    def _pass(self, item: Pass, dances: Dances, facing: int) -> Dances:
        if item.lap:
            self._note_laps(dances)
        if self._open or self._quest.laps:
            return self._pass_of_all(item, dances)
        out: Dances = {}
        for state, past in dances.items():
            for end, decisions in self._passed(item.body, state.weight, past):
                out.setdefault(self._left(state, end, item.lasts), past.taking_all(decisions))
        return thinned(out)

    def _left(self, state: State, end: State, lasts: int | None) -> State:
        return state.after(end, lasts if self._clocks else 0)

    def _passed(self, body: Body, weight: Weight, before: Past) -> list[tuple[State, tuple[Decision, ...]]]:
        """Return the ends of a pass with the decisions taken in it; the same pass is danced once from each weight."""
        known = self._passes.get((id(body), weight))
        if known is None:
            try:
                ends = self.run(body, {State(weight, 0): Past()}, 0)
            except Found as found:
                raise Found(*(before.taking_all(past.decisions()) for past in found.pasts)) from None
            self._open &= len({(end.weight, end.facing, end.clock) for end in ends}) > 1
            made = [(end, past.decisions()) for end, past in ends.items()]
            known = self._passes[id(body), weight] = made, self._open
        self._work.spend(len(known[0]))
        self._open |= known[1]
        return known[0]

    def _pass_of_all(self, item: Pass, dances: Dances) -> Dances:
        began_open = self._open
        ends = self.run(item.body, mapped(dances, State.entered), 0)
        if not began_open and len({(end.weight, end.facing, end.clock, end.outer) for end in ends}) <= len(dances):
            self._open = False

        def after(end: State) -> State:
            assert end.outer is not None
            return self._left(end.outer, end, item.lasts)

        return thinned(mapped(ends, after))

    def _lap(self, lap: Lap, dances: Dances, facing: int) -> Dances:
        self._note_laps(dances)
        return self.run(lap.body, dances, facing)

    def _note_laps(self, dances: Dances) -> None:
        for state, past in dances.items() if not self._steps_alone else ():
            self.laps.setdefault(state.weight, past)

    def _last(self, last: Last, dances: Dances, facing: int) -> Dances:
        self.run(last.body, {state: past.taking(End(True)) for state, past in dances.items()}, facing)
        return {state: past.taking(End(False)) for state, past in dances.items()}

    def _forever(self, forever: Forever, dances: Dances, facing: int) -> Dances:
        seen: set[tuple[Weight, int]] = set()
        begun = {_bare(state): Past(outer=past) for state, past in dances.items()}
        again = False
        while begun:
            seen.update((state.weight, state.facing) for state in begun)
            ends = self.run(forever.body, begun, facing)
            fresh = {_bare(s): w.closed(again) for s, w in ends.items() if (s.weight, s.facing) not in seen}
            begun, again = {state: Past(outer=past) for state, past in fresh.items()}, True
        return {}

    # -- repeats -----------------------------------------------------------------------------------------------------

    def _repeat(self, repeat: Repeat, dances: Dances, facing: int) -> Dances:
        if repeat.times is None:
            return self._some_times(repeat.body, dances, facing)
        seen: set[frozenset[State]] = set()
        times, done, skipped = repeat.times, 0, False
        while done < times and dances:
            stand = frozenset(state._replace(turn=0, clock=0) for state in dances)
            if not skipped and (stand in seen or done >= self._free):
                last = min(done, self._free)
                if times - done - last > 1:
                    dances = self._alike(repeat.body, dances, times - done - last, done > 0, facing)
                    done = times - last
                skipped = True
                continue
            seen.add(stand)
            dances, done = self._once(repeat.body, dances, facing, done > 0), done + 1
        return dances

    def _once(self, body: Body, dances: Dances, facing: int, again: bool) -> Dances:
        self._work.spend(len(dances))
        ends = self.run(body, {state: Past(outer=past) for state, past in dances.items()}, facing)
        return thinned({state: past.closed(again) for state, past in ends.items()})

    def _some_times(self, body: Body, dances: Dances, facing: int) -> Dances:
        out: Dances = {}
        maybe = self._maybe
        for number in range(MOST_TIMES):
            dances = self._once(body, dances, facing, number > 0)
            for state, past in dances.items():
                out.setdefault(state, past.taking(End(True)))
            self._open = self._maybe = True
        self._maybe = maybe
        return thinned(out)

    def _alike(self, body: Body, dances: Dances, times: int, again: bool, facing: int) -> Dances:
        """Dance a body many times, each dancer the first way there is, and whole rounds at once when she comes round.

        A dancer whose rounds cannot be told in few words is left out.
        """
        out: Dances = {}
        for begun, past in dances.items():
            state, done, more = begun, 0, again
            seen: dict[tuple[Weight, int, bool], tuple[int, State]] = {}
            told: list[tuple[Decision, ...]] = []
            while done < times:
                where = state.weight, state.facing, state.loose
                if where in seen:
                    (before, earlier), seen = seen[where], {}
                    period = done - before
                    rounds, cycle = (times - done) // period, told[before - done :]
                    if len(set(cycle)) > 1 and rounds * period > _MOST_UNROLLED:
                        break
                    state = state._replace(
                        turn=state.turn + rounds * (state.turn - earlier.turn),
                        clock=state.clock + rounds * (state.clock - earlier.clock),
                    )
                    past = _told(past, cycle, rounds)
                    done, told = done + rounds * period, []
                    continue
                seen[where] = done, state
                ends = self.run(body, {state: Past(outer=past)}, facing)
                if not ends:
                    break
                state, decided = next(iter(ends.items()))
                told.append(decided.own())
                past, done, more = decided.closed(more), done + 1, True
            if done == times:
                out.setdefault(state, past)
        return out


def _told(past: Past, cycle: list[tuple[Decision, ...]], rounds: int) -> Past:
    """Return a past to which so many rounds of `cycle` are added, the last times of the repeat that it tells."""
    if len(set(cycle)) == 1 and isinstance(past.last, Run):
        assert past.before is not None
        return Past(run_of(past.last.times + rounds * len(cycle), cycle[0]), past.before, past.outer)
    return past.taking_all(tuple(run_of(1, decisions) for _ in range(rounds) for decisions in cycle))


def _bare(state: State) -> State:
    """Return a state without its turn and clock, which have no meaning in a dance that may go on for ever."""
    return state._replace(turn=0, clock=0)


_BY_TYPE = methods(Trail)
