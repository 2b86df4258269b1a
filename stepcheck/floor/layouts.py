"""The best way to fill sections with the moves of a dance: a shortest path, one number of breaks after the other.

A node is a place of the dancers; an edge a pass, a pass cut short, or a break. Costs are compared piece by piece, as
specs/fit.md has them; of equally good ways the one whose moves come first in the sheet.
"""

from bisect import bisect_right
from collections.abc import Iterator
from fractions import Fraction
from heapq import heapify, heappop, heappush
from itertools import accumulate
from typing import NamedTuple

from attrs import evolve, frozen

from stepcheck.breaks.breaks import request
from stepcheck.breaks.material import material
from stepcheck.breaks.requests import Break, Request
from stepcheck.breaks.rows import Search
from stepcheck.breaks.states import State
from stepcheck.floor.moves import Effects, Front, Move, Sequence, cut, lands, ticks_of
from stepcheck.floor.stretches import MOST_BREAK, is_line
from stepcheck.model import words
from stepcheck.model.dance import EIGHTHS, TICKS, Weight, key
from stepcheck.music.strains import Section
from stepcheck.program.routine import Routine

MOST_BREAKS = 4
RESTART = 4
"""Passes are cut after a multiple of so many beats, 3 where bars have three (*common practice*)."""
BUDGET = 200_000
"""Places of dancers that are looked at."""
_BREAK = 1 << 20


@frozen
class Task:
    """What is to be filled.

    Attributes:
        sections: of the song; one without a name where a dance is cut to a length.
        cut: whether lines are only left out, and none is moved or repeated.
        breaks: how many breaks there may be.
        restarts: whether passes may be cut short.
        short: whether the dance may end before the end, as late as can be.
        level: the hardest level of figures in breaks.
    """

    sections: tuple[Section, ...]
    cut: bool = False
    breaks: int = MOST_BREAKS
    restarts: bool = True
    short: bool = False
    level: str | None = None

    @property
    def total(self) -> int:
        """How long it is, in ticks."""
        return sum(section.ticks for section in self.sections)


class Cost(NamedTuple):
    """The cost of a layout, compared from the first piece on.

    `breaks` are counted, `new` is the time in them together, in ticks; `restarts` are passes cut short; `lost` are
    parts left out where they come for the first time, `moved` lines that do not stand behind the line that they follow
    in the sheet; `lines` is the number of lines, or for a dance that is cut, of lines left out.
    """

    breaks: int = 0
    new: int = 0
    restarts: int = 0
    lost: int = 0
    moved: int = 0
    lines: int = 0

    def plus(self, other: "Cost") -> "Cost":
        """Return the sum."""
        return Cost(*(a + b for a, b in zip(self, other, strict=True)))


class Place(NamedTuple):
    """A place in a layout: the tick, the dancers, the number of the move danced last, and how often each part whose
    times differ was danced."""

    tick: int
    front: Front
    last: int
    times: tuple[tuple[str, int], ...] = ()


class Step(NamedTuple):
    """A step of a layout: where it begins and ends, the number of its move (a break has -1), and the beats after which
    that is cut."""

    tick: int
    end: int
    number: int
    cut: int
    moved: bool
    before: Front
    after: Front


class Partial(NamedTuple):
    """A layout up to a place; `told` are its steps as numbers, which decide between equally good ones.

    Where a break comes next, `lengths` are those that it may have, the shortest first; `cost` is that with the
    shortest, `before` that without a break.
    """

    cost: Cost
    told: tuple[tuple[int, ...], ...]
    place: Place
    steps: tuple[Step, ...]
    lengths: tuple[int, ...] = ()
    before: Cost = Cost()

    def then(self, more: Cost, step: Step, after: Place) -> "Partial":
        """Return it with a step more."""
        told = (step.number, step.cut) if step.number >= 0 else (_BREAK, step.end - step.tick, *sum(step.after, ()))
        return Partial(self.cost.plus(more), (*self.told, told), after, (*self.steps, step))

    def waiting(self, lengths: tuple[int, ...]) -> "Partial":
        """Return it, to go on with a break of one of these lengths, the shortest first."""
        return self._replace(cost=self.cost.plus(Cost(1, *lengths[:1])), lengths=lengths, before=self.cost)


class Layouts:
    """The layouts of one routine for one task; `looked` is how many places were looked at."""

    def __init__(self, routine: Routine, sequence: Sequence, task: Task) -> None:
        self.task, self.sequence = task, sequence
        self.moves = (*sequence.moves, *sequence.spare)
        self.effects = Effects(routine, self.moves)
        base = self.effects.base
        self.start = Place(0, ((Weight(base.facts.lead.other), base.facts.facing),), -1)
        self.ends = tuple(accumulate(section.ticks for section in task.sections))
        self.labels = {move.label for move in self.moves if move.label}
        self.names = self.labels | {move.part for move in self.moves if move.part}
        self.unit = "counts" if is_line(base) else "beats"
        self._stuff = material(base, task.level)
        self._search: Search | None = None
        self._rows: dict[tuple[Front, int], tuple[Front, ...]] = {}
        self.cuts = {number: dict(self._cut(move)) for number, move in enumerate(self.moves) if task.restarts}
        firsts: dict[str, int] = {}
        for number, move in enumerate(sequence.moves):
            firsts.setdefault(move.part or move.text, number)
        self._firsts = frozenset(firsts.values())
        self.looked = 0
        self.furthest = 0
        self.spent = False

    def best(self) -> tuple[Step, ...] | None:
        """Return the best layout; None if there is none, or none is found within the budget."""
        heap = [Partial(Cost(), (), self.start, ())]
        done: set[Place] = set()
        for _ in range(self.task.breaks + 1):
            settled, goal = self._settled(heap, done)
            if goal is not None or self.spent:
                return None if goal is None or self.spent else goal.steps
            waiting = (one.waiting(self.lengths(one.place)) for one in settled)
            heap = [one for one in waiting if one.lengths]
            heapify(heap)
        return None

    def _settled(self, heap: list["Partial"], done: set[Place]) -> tuple[list["Partial"], "Partial | None"]:
        """Return the best way to each place that is reached from those in the heap without a break more, and the best
        whole layout; once there is one, what costs more is left out."""
        settled: list[Partial] = []
        goal: Partial | None = None
        while heap and not self.spent and (goal is None or self.task.short or heap[0].cost <= goal.cost):
            one = heappop(heap)
            if one.lengths:
                for partial in self._broken(one, done):
                    heappush(heap, partial)
                continue
            if one.place in done:
                continue
            done.add(one.place)
            settled.append(one)
            self.looked += 1
            self.spent = self.looked > BUDGET
            if one.place.tick in self.ends:
                self.furthest = max(self.furthest, one.place.tick)
            ends = one.place.tick == self.task.total or (self.task.short and one.place.tick > 0)
            if ends and lands(self.sequence.end.states, one.place.front):
                whole = one._replace(cost=one.cost.plus(self._rest(one.place.last)))
                goal = min((whole, *([goal] if goal else [])), key=lambda one: (-one.place.tick, one.cost, one.told))
            for more, step, after in self.onward(one.place) if one.place.tick < self.task.total else ():
                if after not in done:
                    heappush(heap, one.then(more, step, after))
        return settled, goal

    def _broken(self, one: "Partial", done: set[Place]) -> Iterator["Partial"]:
        """Yield a layout with its next break, wherever that leads, and with the longer ones still to come."""
        for more, step, after in self.breaks(one.place, one.lengths[:1]):
            if after not in done:
                yield one._replace(cost=one.before, lengths=()).then(more, step, after)
        if len(one.lengths) > 1:
            yield one._replace(cost=one.before).waiting(one.lengths[1:])

    # -- edges -------------------------------------------------------------------------------------------------------

    def onward(self, place: Place) -> Iterator[tuple[Cost, Step, Place]]:
        """Yield what may be danced at a place: its cost, the step, and the place behind it."""
        section = bisect_right(self.ends, place.tick)
        begins = place.tick in (0, *self.ends)
        for number, move in enumerate(self.moves):
            cost = self.cost(place.last, number, key(self.task.sections[section].name), begins)
            if cost is None:
                continue
            danced = dict(place.times).get(move.part, 0)
            for beats, one in ((0, move), *self.cuts.get(number, {}).items()):
                bodies = self.effects.bodies(one)
                if not bodies:
                    continue
                body = bodies[min(danced, len(bodies) - 1)]
                end = place.tick + (beats * TICKS or ticks_of(body))
                if end <= place.tick or not (end <= self.ends[section] or (begins and end in self.ends)):
                    continue
                after = self.effects.through(body, place.front)
                if after is None or not lands(one.states, after):
                    continue
                times = dict(place.times)
                if len(self.effects.bodies(move)) > 1:
                    times[move.part] = min(danced + 1, len(self.effects.bodies(move)) - 1)
                last = number if number < len(self.sequence.moves) else place.last
                step = Step(place.tick, end, number, beats, bool(cost.moved), place.front, after)
                there = Place(end, after, last, tuple(sorted(times.items())))
                yield cost._replace(restarts=int(beats > 0)), step, there

    def cost(self, last: int, number: int, section: str, begins: bool) -> Cost | None:
        """Return the cost of a move behind the last one; None where it may not stand."""
        move, many = self.moves[number], len(self.sequence.moves)
        if self.task.cut:
            if not last < number < many:
                return None
            lost = sum(one in self._firsts for one in range(last + 1, number))
            return Cost(lost=lost, moved=int(number != last + 1), lines=number - last - 1)
        mine = (move.label if section in self.labels else move.part) == section
        follows = number == last + 1 < many or (last == many - 1 and number == self.sequence.loop)
        if section in self.names and mine:
            follows = follows or section not in self.labels or (begins and move.first)
        if not follows and not move.part:
            return None
        return Cost(moved=int(not follows or (section in self.names and not mine)), lines=1)

    def _rest(self, last: int) -> Cost:
        """Return the cost of what is left out at the end."""
        left = range(last + 1, len(self.sequence.moves)) if self.task.cut else ()
        return Cost(lost=sum(one in self._firsts for one in left), moved=int(bool(left)), lines=len(left))

    def _cut(self, move: Move) -> Iterator[tuple[int, Move]]:
        """Yield the beats after which a move may be cut short, with the move."""
        whole = max((ticks_of(body) for body in self.effects.bodies(move)), default=0)
        step = 3 if all(section.phrase % 3 == 0 for section in self.task.sections) else RESTART
        for beats in range(step, min(whole - 1, self.task.total) // TICKS + 1, step):
            short = cut(move, beats, self.unit)
            if short is not None and self.effects.bodies(short):
                yield beats, short

    # -- breaks ------------------------------------------------------------------------------------------------------

    def lengths(self, place: Place) -> tuple[int, ...]:
        """Return how long a break at a place can be, in ticks: whole beats, or all that is left of its section."""
        left = next((end for end in self.ends if place.tick < end), place.tick) - place.tick
        most = min(left, MOST_BREAK * TICKS)
        return tuple(sorted({*range(TICKS, most + 1, TICKS), *([left] if 0 < left <= most else [])}))

    def breaks(self, place: Place, lengths: tuple[int, ...]) -> Iterator[tuple[Cost, Step, Place]]:
        """Yield the breaks of some lengths that may stand at a place: the cost, the step, and the place behind it."""
        for ticks in lengths:
            for after in self.rows(place.front, ticks):
                step = Step(place.tick, place.tick + ticks, -1, 0, False, place.front, after)
                yield Cost(1, ticks, lines=1), step, place._replace(tick=place.tick + ticks, front=after)

    def rows(self, front: Front, ticks: int) -> tuple[Front, ...]:
        """Return where rows of so many ticks lead from a front: all dancers to one place, or each back."""
        turn = front[0][1]
        level = tuple((weight, (facing - turn) % EIGHTHS) for weight, facing in front)
        if (level, ticks) not in self._rows:
            self._rows[level, ticks] = tuple(self._ends(level, ticks))
        return tuple(
            tuple(sorted((weight, (facing + turn) % EIGHTHS) for weight, facing in end))
            for end in self._rows[level, ticks]
        )

    def _ends(self, level: Front, ticks: int) -> Iterator[Front]:
        """Yield where rows of so many ticks lead from a front of which the first dancer faces the front."""
        asked = self.asked(level, ticks, level)
        search = self._search = self._search or asked.search()
        every: list[Front] = [((weight, facing),) for weight in Weight for facing in range(EIGHTHS)]
        if not level[1:]:  # whatever one dancer can come to, some row leads to
            found = {(weight, turn % EIGHTHS) for weight, turn in search.outcomes(ticks, level[0][0])}
            yield from (end for end in every if end[0] in found)
            return
        for end in (*every, level):
            to = evolve(asked, end=State(*end[0]) if len(end) == 1 else None)
            goals = tuple(map(to.goal, asked.starts[0]))
            if next(search.rows(ticks, goals, asked.limits, 1), None) is not None:
                yield end

    def asked(self, front: Front, ticks: int, end: Front) -> Request:
        """Return the request for a break of so many ticks between two fronts."""
        stuff = self._stuff
        made = request(
            stuff.book,
            stuff.figures,
            stuff.readings,
            beats=Fraction(ticks, TICKS),
            starts=(tuple(State(*one) for one in front),),
            end=State(*end[0]) if len(end) == 1 else None,
            known=stuff.known,
        )
        return evolve(made, hard=stuff.hard)

    def row(self, step: Step) -> Break:
        """Return the first row of figures, in the order of breaks, for a step that is one."""
        return self.asked(step.before, step.end - step.tick, step.after).found(1)[0]

    # -- why there is none -------------------------------------------------------------------------------------------

    def reason(self) -> str:
        """Return why there is no layout: the section that cannot be filled, and how long what could fill it is."""
        if self.spent:
            said = f"after {BUDGET:,} places no layout was found"
            return f"{said}; that is neither a layout nor a proof that there is none"
        number = min(bisect_right(self.ends, self.furthest), len(self.ends) - 1)
        section = self.task.sections[number]
        long = sorted({ticks_of(body) for move in self.moves for body in self.effects.bodies(move)})
        where = f"number {number + 1}, {words.length(section.ticks)}"
        what = f"the section {section.name} ({where})" if section.name else "it"
        listed = words.listed([words.length(ticks) for ticks in long]) if long else "nothing"
        if self.furthest == self.task.total:
            return f"{words.length(self.task.total)} can be filled, but not so that the dance ends as the sheet expects"
        breaks = f", with up to {words.count(self.task.breaks, 'break')} of whole figures" if self.task.breaks else ""
        return f"{what} cannot be filled: the lines of the dance last {listed}{breaks}"
