"""The plan of a sheet for the page: its text and parts, the timeline of its dance, and the changes that were tried."""

from collections.abc import Iterable
from itertools import groupby

from attrs import evolve, field, frozen

from stepcheck.books.footwork import Impossible, dance, is_still
from stepcheck.formats import fixes
from stepcheck.language.patch import difference
from stepcheck.language.syntax import HeaderField, Line, PartHead
from stepcheck.model import words
from stepcheck.model.dance import (
    EIGHTHS,
    Body,
    Check,
    Choice,
    Foot,
    Forever,
    Gap,
    Item,
    Kind,
    Lap,
    Last,
    Lined,
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
from stepcheck.model.findings import Diagnostic, Patch
from stepcheck.model.outcome import Verdict
from stepcheck.model.source import SourceError
from stepcheck.program.routine import Routine
from stepcheck.report import pipeline
from stepcheck.report.replays import State, fits, taken
from stepcheck.report.values import Report
from stepcheck.walk.tracks import Stand, Tracks, tracks

MOST = 400  # moments of a dance are drawn
MOST_DRAWN = 200  # sheets of a page have their text and their dance on it; with more a browser gets slow
MOST_SEARCHES = 24  # refuted sheets of a page; a search takes up to a second
REPAIRS = 3  # least changes are shown of a sheet
WORST = (Verdict.REFUTED, Verdict.ILL_FORMED, Verdict.VACUOUS, Verdict.UNDECIDED, Verdict.PROVED)
_WORK = 20_000  # items of it are gone through for them
_LAPS = 3 * EIGHTHS  # after as many the first is come round to: there are no more states
_UNKNOWN = -1


@frozen
class Moment:
    """A stretch of the strip: a figure danced some times in a row, or a claim that is taken as put right.

    `tick` is its start since that of the dance and `ticks` its length; `feet` has the weight before and after it, None
    where a blank leaves it open; `facings` likewise in eighths, -1 where they are open; `turn` in eighths, left
    negative.  It stands in the pass number `time` of `part`, both empty outside of parts.  `ways` is the number of
    alternatives of which it is the first.
    """

    tick: int
    ticks: int
    line: int
    label: str
    feet: tuple[Weight | None, Weight | None]
    facings: tuple[int, int]
    turn: int = 0
    part: str = ""
    time: int = 0
    times: int = 1
    ways: int = 1
    put_right: bool = False


@frozen
class PartPlan:
    """A part: its contract as written, and the free foot and facing (eighths) at its first start and end, as words."""

    name: str
    line: int
    contract: str
    feet: tuple[str, str] | None = None
    facings: tuple[int, int] | None = None


@frozen
class Plan:
    """The data of a sheet on the page, beside its report.

    Attributes:
        lines: its text.
        parts: its parts, in order.
        strip: the dance from its start, what goes on until the music ends once through.
        whole: whether that is all of it; else it is too long to be drawn.
        endless: whether it goes on until the music ends.
        walls: the facings (eighths) with which its rounds begin, in the order in which they come, from the steps alone;
            empty where nothing comes round.
        claimed: the number of walls that the header claims.
        refuted: whether that claim is refuted.
        clock: whether walls are named by the clock, and beats called counts.
        mending: by the sentence and line of a finding the changes that were tried and mend it, as unified diffs.
        repairs: the least changes that put the sheet right, each with its name and a unified diff.
    """

    lines: tuple[str, ...] = ()
    parts: tuple[PartPlan, ...] = ()
    strip: tuple[Moment, ...] = ()
    whole: bool = True
    endless: bool = False
    walls: tuple[int, ...] = ()
    claimed: int | None = None
    refuted: bool = False
    clock: bool = False
    mending: tuple[tuple[Diagnostic, tuple[str, ...]], ...] = ()
    repairs: tuple[tuple[str, str], ...] = field(default=())

    @property
    def passes(self) -> tuple[tuple[Moment, ...], ...]:
        """The strip cut where a pass of a part begins or ends."""
        return tuple(tuple(some) for _, some in groupby(self.strip, lambda one: (one.part, one.time)))


def plan(routine: Routine, report: Report | None = None, *, repairs: int = 0) -> Plan:
    """Return the plan of a routine.

    Args:
        routine: as it was checked; of one that is ill-formed there is nothing that is danced.
        report: the answer about it, for the changes that mend its findings.
        repairs: how many least changes to look for, if something in it is refuted.
    """
    source, lines, program = routine.sheet.source, routine.sheet.lines, routine.program
    books = [
        one.node.value.strip() for one in lines if isinstance(one.node, HeaderField) and key(one.node.key) == "book"
    ]
    claims = () if report is None else report.claims

    def diff(patch: Patch) -> str:
        return difference(source, patch.applied(source))

    searched = repairs if report is not None and report.verdict is Verdict.REFUTED else 0
    dancer, ways = Dancer(), Tracks({}, {}) if program is None else tracks(program)
    whole = program is None or dancer.all(program)
    return Plan(
        source.lines,
        tuple(_part(line, line.node, ways) for line in lines if isinstance(line.node, PartHead)),
        tuple(dancer.moments),
        whole,
        dancer.endless is not None,
        () if program is None else walls_of(program, dancer.endless),
        routine.facts.walls,
        any(one.kind == Kind.WALLS.value and one.verdict is Verdict.REFUTED for one in claims),
        books == ["line"],
        tuple(
            (finding, tuple(dict.fromkeys(map(diff, good))))
            for finding, good in (fixes.mending(source, report) if report is not None else ())
        ),
        tuple((patch.about, diff(patch)) for patch in (fixes.repairs(routine, searched) if searched else ())),
    )


def worst_first(reports: Iterable[Report]) -> list[Report]:
    """Return reports in the order of the page: the refuted first, those of one verdict as they came."""
    return sorted(reports, key=lambda report: WORST.index(report.verdict))


def plans(reports: Iterable[Report]) -> dict[str, Plan]:
    """Return the plans of the sheets that reports are about, by their paths, the worst first and no more than
    `MOST_DRAWN`; a sheet that can't be read, or comes from elsewhere, has none.

    Least changes are looked for in the first refuted ones only, since each takes a search.
    """
    found: dict[str, Plan] = {}
    searches = MOST_SEARCHES
    for report in worst_first(reports)[:MOST_DRAWN]:
        try:
            routine = pipeline.load(report.path)
        except SourceError:
            continue
        searches -= report.verdict is Verdict.REFUTED
        found[report.path] = plan(routine, report, repairs=REPAIRS if searches >= 0 else 0)
    return found


def _part(line: Line, head: PartHead, found: Tracks) -> PartPlan:
    contract = line.text.partition("#")[0].partition(":")[2].strip()
    way = found.parts.get(key(head.name))
    if way is None:
        return PartPlan(head.name, line.number, contract)
    feet = _free(way[0]), _free(way[1])
    return PartPlan(head.name, line.number, contract, feet, (way[0].facing, way[1].facing))


def _free(stand: Stand) -> str:
    return "not known" if stand.weight is None else words.free(stand.weight)


def walls_of(program: Program, endless: tuple[Body, State] | None = None) -> tuple[int, ...]:
    """Return the facings (eighths) at the starts of laps, until one comes again.  Laps are those of the claim about
    walls, for their steps alone, else the times of `endless`, a repeat until the music ends with the state at its
    start."""
    begun = State(Weight(program.lead.other), program.facing)
    body, state = (program.walls.body, begun) if program.walls else endless or ((), begun)
    found: dict[int, None] = {}
    for _ in range(_LAPS if body else 0):
        dancer = Dancer()
        found.setdefault(state.facing)
        try:
            state = dancer.run(body, evolve(state, front=state.facing, turned=state.turn, since=state.clock))
        except Enough:
            return ()
        if not (dancer.feet_known and dancer.wall_known):
            return ()
    return tuple(found)


class Enough(Exception):
    """The dance is too long to be drawn."""


class Dancer:
    """Dances a program once: of a variation the first option, from both feet the one that the figure is written for.

    `moments` are the moments danced, `endless` the body of a repeat until the music ends with the state at its start.
    """

    def __init__(self) -> None:
        self.moments: list[Moment] = []
        self.endless: tuple[Body, State] | None = None
        self.feet_known = self.wall_known = True
        self._open = False
        self._work = 0
        self._ways = 1
        self._parts: list[tuple[str, int]] = []
        self._danced: dict[str, int] = {}

    def all(self, program: Program) -> bool:
        """Dance a program, and say whether it was danced to its end."""
        try:
            self.run(program.dance, State(Weight(program.lead.other), program.facing))
        except Enough:
            return False
        return True

    def run(self, body: Body, state: State) -> State:
        """Dance a body from a state, and return that at its end."""
        for item in body:
            self._work += 1
            if self._work > _WORK or len(self.moments) > MOST:
                raise Enough
            state = self._item(item, state)
        return state

    def _item(self, item: Item, state: State) -> State:  # noqa: C901 - a case for each kind
        match item:
            case Step():
                return self._step(item, state)
            case Rest():
                return self._note(item.line, "hold", state, evolve(state, clock=state.clock + item.ticks))
            case Gap():
                before, self._open = self._seen(state), True
                self.feet_known = self.wall_known = False
                return self._note(item.line, "?", state, evolve(state, clock=state.clock + item.ticks), before)
            case Check():
                return self._checked((item,), state)
            case Together():
                return self._checked(item.checks, state)
            case Choice():
                around, self._ways = self._ways, len(item.options)
                state = self.run(item.options[0], state)
                self._ways = around
                return state
            case Repeat():
                self._open |= item.times is None
                for _ in range(item.times or 1):
                    state = self.run(item.body, state)
                    if self._work > _WORK:
                        raise Enough
                    self._work += 1
                return state
            case Timed():
                inner = self.run(item.body, evolve(state, since=state.clock))
                return evolve(inner, since=state.since, clock=_end(state, inner, item.lasts))
            case Pass():
                return self._pass(item, state)
            case Lap() | Lined():
                return self.run(item.body, state)
            case Forever():
                self.endless = self.endless or (item.body, state)
                return self.run(item.body, state)
            case Last():
                return state

    def _pass(self, item: Pass, state: State) -> State:
        time = self._danced[item.part] = self._danced.get(item.part, 0) + 1
        self._parts.append((item.part, time))
        frame = evolve(state, loose=False, front=state.facing, turned=state.turn, since=state.clock)
        inner = self.run(item.body, frame)
        self._parts.pop()
        loose, clock = state.loose or inner.loose, _end(state, inner, item.lasts)
        return evolve(inner, loose=loose, front=state.front, turned=state.turned, since=state.since, clock=clock)

    def _step(self, step: Step, state: State) -> State:
        figure = step.figure
        version = figure.versions[figure.usual]
        weight = state.weight
        lead = figure.lead if weight is Weight.BOTH else Foot(weight).other
        swap = lead is not figure.lead
        if not (weight is Weight.BOTH and is_still(version, {})):
            end = dance(version, lead, swap, {})
            weight = weight if isinstance(end, Impossible) else Weight(end)
        turn = step.turn if step.turn is not None else -version.turn if swap else version.turn
        before = self._seen(state)
        if step.blank:
            self.wall_known, self._open = False, True
        after = evolve(
            state,
            weight=weight,
            facing=(state.facing + turn) % EIGHTHS,
            turn=state.turn + turn,
            clock=state.clock + version.length,
        )
        return self._note(step.line, figure.name, state, after, before)

    def _checked(self, checks: Iterable[Check], state: State) -> State:
        """Take checks as true; what was not, though nothing is open, is noted as put right."""
        framed = bool(self._parts)
        wrong = [] if self._open else [c for c in checks if c.value is not None or c.test is Test.BOTH]
        wrong = [check for check in wrong if not fits(check, state, framed)]
        for check in checks:
            before, seen = state, self._seen(state)
            if check.test in (Test.LEAD, Test.FOOT, Test.BOTH):
                self.feet_known = check.value is not None or check.test is Test.BOTH
                self._open |= not self.feet_known
            self.wall_known |= check.test is Test.FACING
            if check.value is not None or check.test is Test.BOTH:
                state = taken(check, state, framed)
            if check in wrong:
                self._note(check.line, check.claim.text, before, state, seen, put_right=True)
        return state

    def _seen(self, state: State) -> tuple[Weight | None, int]:
        return state.weight if self.feet_known else None, state.facing if self.wall_known else _UNKNOWN

    def _note(
        self,
        line: int,
        label: str,
        before: State,
        after: State,
        seen: tuple[Weight | None, int] | None = None,
        *,
        put_right: bool = False,
    ) -> State:
        """Note a moment, or that the last one comes once more; return the state after it."""
        feet, wall = seen or self._seen(before)
        then = self._seen(after)
        part, time = self._parts[-1] if self._parts else ("", 0)
        made = Moment(
            before.clock,
            0 if put_right else after.clock - before.clock,
            line,
            label,
            (feet, then[0]),
            (wall, then[1]),
            0 if put_right else after.turn - before.turn,
            part,
            time,
            ways=self._ways,
            put_right=put_right,
        )
        last = self.moments[-1] if self.moments else made
        again = (last.line, last.label, last.part, last.time) == (line, label, part, time) and last is not made
        if again and not (put_right or last.put_right or made.turn or last.turn):
            self.moments[-1] = evolve(
                last,
                ticks=last.ticks + made.ticks,
                feet=(last.feet[0], made.feet[1]),
                facings=(last.facings[0], made.facings[1]),
                times=last.times + 1,
            )
        else:
            self.moments.append(made)
        return after


def _end(before: State, after: State, lasts: int | None) -> int:
    return after.clock if lasts is None else before.clock + lasts
