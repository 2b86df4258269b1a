"""The shortest way to where a claim fails: a search over single dances, made only for a claim known to fail."""

from collections.abc import Callable

from stepcheck.books.footwork import Impossible, dance, is_still
from stepcheck.model.dance import (
    EIGHTHS,
    Body,
    Check,
    Choice,
    Foot,
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
    Version,
    Weight,
)  # fmt: skip
from stepcheck.model.outcome import End, Fill, Lead, Pick, Run, Trace
from stepcheck.walk.ways import Dances, State, Way

_FREE_TIMES = 48
_MOST_TIMES = 64


class Found(Exception):
    """The claim fails at the end of each of these ways, or because they differ."""

    def __init__(self, *ways: Way) -> None:
        self.ways = ways


class Trail:
    """A search for where the claim `target` fails, under one reading of each open word."""

    def __init__(self, program: Program, target: str, readings: tuple[int, ...]) -> None:
        self._target = target
        self._readings = {word.key: reading for word, reading in zip(program.words, readings, strict=True)}
        self._open = False
        self._endless: dict[int, tuple[State, Way]] | None = None
        self.laps: list[tuple[int, Way]] = []

    def run(self, body: Body, dances: Dances, facing: int) -> Dances:
        """Return the dances at the end of `body`; raise `Found` where the claim fails first."""
        for item in body:
            dances = _BY_TYPE[type(item)](self, item, dances, facing)
        return dances

    # -- steps -------------------------------------------------------------------------------------------------------

    def _version(self, step: Step) -> Version:
        figure = step.figure
        own = self._readings.get(figure.name, figure.usual) if len(figure.versions) > 1 else figure.usual
        return figure.versions[own]

    def _step(self, step: Step, dances: Dances, facing: int) -> Dances:
        version, out = self._version(step), Dances()
        for state, way in dances.items():
            if state.weight is not Weight.BOTH:
                leads = [(Foot(1 - state.weight), way)]
            elif is_still(version, self._readings):
                leads = [(step.figure.lead, way)]
            else:
                leads = [(foot, way.taking(Lead(foot))) for foot in Foot]
            for lead, onward in leads:
                self._danced(step, version, lead, state, onward, out)
        return out

    def _danced(self, step: Step, version: Version, lead: Foot, state: State, way: Way, out: Dances) -> None:
        """Add the ends of a step that `lead` leads to `out`."""
        swap = lead is not step.figure.lead
        end = dance(version, lead, swap, self._readings)
        if isinstance(end, Impossible):
            return
        if state.weight is Weight.BOTH and is_still(version, self._readings):
            end = Weight.BOTH
        turn = step.turn if step.turn is not None else -version.turn if swap else version.turn
        self._open |= step.blank
        for more in range(EIGHTHS) if step.blank else (turn,):
            taken = way.taking(Fill(None, more)) if step.blank else way
            loose, clock = state.loose or step.blank, state.clock + version.length
            after = State(end, (state.facing + more) % EIGHTHS, state.turn + more, loose, clock, state.outer)
            out.setdefault(after, taken)

    def _rest(self, rest: Rest, dances: Dances, facing: int) -> Dances:
        return _mapped(dances, lambda state: state._replace(clock=state.clock + rest.ticks))

    def _gap(self, gap: Gap, dances: Dances, front: int) -> Dances:
        out, self._open = Dances(), True
        for state, way in dances.items():
            for weight in Weight:
                for turn in range(EIGHTHS):
                    facing, clock = (state.facing + turn) % EIGHTHS, state.clock + gap.ticks
                    after = State(weight, facing, state.turn + turn, True, clock, state.outer)
                    out.setdefault(after, way.taking(Fill(weight, turn)))
        return out

    # -- claims ------------------------------------------------------------------------------------------------------

    def _check(self, check: Check, dances: Dances, facing: int) -> Dances:
        if check.test is Test.LEAD and check.value is None:
            self._open, out = True, Dances()
            for state, way in dances.items():
                for foot in Foot:
                    out.setdefault(state._replace(weight=Weight(foot.other)), way.taking(Lead(foot)))
            return out
        wrong = [state for state in dances if not _fits(state, check, facing)]
        if check.test is Test.EITHER and not wrong:
            wrong = self._parted(check, dances, facing)
        some = len(wrong) < len(dances)
        if check.claim.id == self._target and wrong and not (self._open and some):
            raise Found(dances[wrong[0]])
        if self._open and some:
            dances = {state: way for state, way in dances.items() if state not in set(wrong)}
        return _mapped(dances, lambda state: _mended(state, check, facing))

    def _parted(self, check: Check, dances: Dances, facing: int) -> list[State]:
        """Return the states that turn another way than the first; raise `Found` if that is what the search is for."""
        first = next(iter(dances), None)
        if first is None:
            return []
        if self._endless is not None:
            # What comes in a later lap has to agree with what came in an earlier one.
            first, before = self._endless.setdefault(id(check), (first, dances[first]))
            dances = {first: before, **dances}
        loose = any(state.loose for state in dances)
        other = [s for s in dances if (s.facing != first.facing if loose else s.turn != first.turn)]
        if other and check.claim.id == self._target and not self._open:
            raise Found(dances[first], dances[other[0]])
        return [] if self._open else other

    def _choice(self, choice: Choice, dances: Dances, facing: int) -> Dances:
        out: Dances = {}
        for state, way in dances.items():
            clocks: list[tuple[int, Way]] = []
            for number, option in enumerate(choice.options):
                ends = self.run(option, {state: way.taking(Pick(number))}, facing)
                for end, onward in ends.items():
                    clocks.append((end.clock, onward))
                    if choice.claim.id == self._target and end.clock != clocks[0][0]:
                        raise Found(clocks[0][1], onward)
                    out.setdefault(end._replace(clock=clocks[0][0]), onward)
        return out

    # -- blocks ------------------------------------------------------------------------------------------------------

    def _timed(self, timed: Timed, dances: Dances, facing: int) -> Dances:
        inner = _mapped(dances, lambda state: state._replace(clock=0, outer=state))
        ends = self.run(timed.body, inner, facing)
        return _mapped(ends, lambda end: end._replace(clock=end.outer.clock + end.clock, outer=end.outer.outer))

    def _pass(self, item: Pass, dances: Dances, facing: int) -> Dances:
        began_open = self._open
        ends = self.run(item.body, _mapped(dances, State.entered), 0)
        if item.lap:
            self.laps += ((end.facing, way) for end, way in ends.items())
        if not began_open and len({(end.weight, end.facing, end.outer) for end in ends}) <= len(dances):
            self._open = False
        return _mapped(ends, State.left)

    def _lap(self, lap: Lap, dances: Dances, facing: int) -> Dances:
        out: Dances = {}
        for state, way in dances.items():
            for end, onward in self.run(lap.body, {state: way}, facing).items():
                self.laps.append(((end.facing - state.facing) % EIGHTHS, onward))
                out.setdefault(end, onward)
        return out

    def _last(self, last: Last, dances: Dances, facing: int) -> Dances:
        self.run(last.body, {state: way.taking(End(True)) for state, way in dances.items()}, facing)
        return {state: way.taking(End(False)) for state, way in dances.items()}

    def _forever(self, forever: Forever, dances: Dances, facing: int) -> Dances:
        seen: set[tuple[Weight, int]] = set()
        self._endless = {}
        begun = {_bare(state): Way(outer=way) for state, way in dances.items()}
        again = False
        while begun:
            seen.update((state.weight, state.facing) for state in begun)
            ends = self.run(forever.body, begun, facing)
            fresh = {_bare(s): w.closed(again) for s, w in ends.items() if (s.weight, s.facing) not in seen}
            begun, again = {state: Way(outer=way) for state, way in fresh.items()}, True
        return {}

    # -- repeats -----------------------------------------------------------------------------------------------------

    def _repeat(self, repeat: Repeat, dances: Dances, facing: int) -> Dances:
        if repeat.times is None:
            return self._some_times(repeat.body, dances, facing)
        times, done = repeat.times, 0
        while done < times:
            if done == _FREE_TIMES and times > 2 * _FREE_TIMES:
                dances = self._alike(repeat.body, dances, times - 2 * _FREE_TIMES, facing)
                done += times - 2 * _FREE_TIMES
            dances, done = self._once(repeat.body, dances, facing, done > 0), done + 1
        return dances

    def _once(self, body: Body, dances: Dances, facing: int, again: bool) -> Dances:
        """Run a repeat's body once more."""
        ends = self.run(body, {state: Way(outer=way) for state, way in dances.items()}, facing)
        return {state: way.closed(again) for state, way in ends.items()}

    def _some_times(self, body: Body, dances: Dances, facing: int) -> Dances:
        out: Dances = {}
        for number in range(_MOST_TIMES):
            dances = self._once(body, dances, facing, number > 0)
            for state, way in dances.items():
                out.setdefault(state, way.taking(End(True)))
            self._open = True
        return out

    def _alike(self, body: Body, dances: Dances, times: int, facing: int) -> Dances:
        """Dance a body many times, each dancer always deciding the same: a search of all the ways would not end.

        Whatever shows after so many times shows after the free ones at either end of them.
        """
        out: Dances = {}
        for state, way in dances.items():
            at, done = state, 0
            seen: dict[tuple[Weight, int], tuple[int, State]] = {}
            while done < times:
                if (at.weight, at.facing) in seen:
                    before, earlier = seen[at.weight, at.facing]
                    rounds, period = (times - done) // (done - before), done - before
                    at = at._replace(
                        turn=at.turn + rounds * (at.turn - earlier.turn),
                        clock=at.clock + rounds * (at.clock - earlier.clock),
                    )
                    done, seen = done + rounds * period, {}
                    if done == times:
                        break
                else:
                    seen[at.weight, at.facing] = done, at
                ends = self.run(body, {at: Way(outer=way)}, facing)
                at, decided = next(iter(ends.items()))
                way, done = (decided.closed(True) if done == 0 else way), done + 1
            last = way.last
            assert isinstance(last, Run)
            out.setdefault(at, Way(Run(last.times + times - 1, last.decisions), way.before, way.outer))
        return out


def _mapped(dances: Dances, change: Callable[[State], State]) -> Dances:
    """Return the dances with their states changed; of two that become alike the first stays."""
    out: Dances = {}
    for state, way in dances.items():
        out.setdefault(change(state), way)
    return out


def _bare(state: State) -> State:
    """Return a state without its turn and clock, which mean nothing to what may go on for ever."""
    return state._replace(turn=0, clock=0)


def _fits(state: State, check: Check, front: int) -> bool:
    """Say whether a check holds for one state."""
    value = check.value
    match check.test:
        case Test.LEAD:
            return state.weight != value
        case Test.FOOT:
            return state.weight == 1 - value
        case Test.BOTH:
            return state.weight is Weight.BOTH
        case Test.FACING:
            return state.facing == value
        case Test.CLOCK:
            return state.clock == value
        case Test.TURN:
            return _turns(state, value, front)
        case Test.EITHER:
            return _turns(state, value, front) or _turns(state, -value, front)


def _turns(state: State, turn: int, front: int) -> bool:
    """Say whether a state has turned so far; a loose one has if the facing fits."""
    return (state.facing - front - turn) % EIGHTHS == 0 if state.loose else state.turn == turn


def _mended(state: State, check: Check, front: int) -> State:
    """Return a state as it goes on after a check."""
    value = check.value
    match check.test:
        case Test.LEAD | Test.FOOT:
            return state._replace(weight=Weight(1 - value))
        case Test.BOTH:
            return state._replace(weight=Weight.BOTH)
        case Test.FACING:
            return state._replace(facing=value, loose=state.loose or state.facing != value)
        case Test.CLOCK:
            return state._replace(clock=value)
        case Test.TURN:
            return state._replace(facing=(front + value) % EIGHTHS, turn=value, loose=False)
        case Test.EITHER:
            if _fits(state, check, front):
                return state
            return state._replace(facing=(front + value) % EIGHTHS, turn=value, loose=False)


_BY_TYPE: dict[type, Callable[..., Dances]] = {
    Step: Trail._step, Rest: Trail._rest, Gap: Trail._gap, Check: Trail._check, Choice: Trail._choice,
    Repeat: Trail._repeat, Timed: Trail._timed, Pass: Trail._pass, Lap: Trail._lap, Forever: Trail._forever,
    Last: Trail._last,
}  # fmt: skip


def effort(program: Program) -> int:
    """Return how many items a search goes through at most, where no choice is open."""
    known: dict[int, int] = {}
    return sum(_effort(body, known) for body in (program.dance, *(spare.body for spare in program.spares)))


def _effort(body: Body, known: dict[int, int]) -> int:
    """Return the items of a body; `known` has those of the bodies gone through already, by their `id`."""
    made = known.get(id(body))
    if made is None:
        made = known[id(body)] = sum(
            1 if type(item) in (Step, Check)
            else sum(_effort(option, known) for option in item.options) if isinstance(item, Choice)
            else _times(item) * _effort(getattr(item, "body", ()), known)
            for item in body
        )  # fmt: skip
    return made


def _times(item: object) -> int:
    """Return how often an item is danced in a search at most."""
    return min(item.times or _MOST_TIMES, 2 * _FREE_TIMES) if isinstance(item, Repeat) else 1


def search(program: Program, claim: str, readings: tuple[int, ...]) -> tuple[Trace, ...]:
    """Return the trace to where `claim` fails first, or the two that differ; nothing if it fails nowhere.

    Args:
        program: the dance.
        claim: the id of a claim of it.
        readings: the reading of each open word.
    """
    trail = Trail(program, claim, readings)
    start = State(Weight(program.lead.other), program.facing)
    try:
        trail.run(program.dance, {start: Way()}, program.facing)
    except Found as found:
        return tuple(Trace(way.decisions(), words=readings) for way in found.ways)
    for number, spare in enumerate(program.spares):
        for weight in spare.weights:
            try:
                Trail(program, claim, readings).run(spare.body, {State(weight, 0): Way()}, 0)
            except Found as found:
                return tuple(Trace(way.decisions(), number, weight, readings) for way in found.ways)
    if program.walls is not None and program.walls.claim.id == claim:
        return _walls(program, trail, readings)
    return ()


def _walls(program: Program, trail: Trail, readings: tuple[int, ...]) -> tuple[Trace, ...]:
    """Return a trace to the end of a lap that does not fit the number of walls, or two to laps that differ."""
    assert program.walls is not None
    laps = [(turn, Trace(way.decisions(), words=readings)) for turn, way in trail.laps]
    for weight in Weight:
        alone = Trail(program, program.walls.claim.id, readings)
        ends = alone.run(program.walls.body, {State(weight, 0): Way()}, 0)
        laps += ((end.facing, Trace(way.decisions(), -1, weight, readings)) for end, way in ends.items())
    if not laps:
        return ()
    first = laps[0]
    other = next((lap for lap in laps if lap[0] != first[0]), None)
    return (first[1],) if other is None else (first[1], other[1])
