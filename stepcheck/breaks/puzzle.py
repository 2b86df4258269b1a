"""The search for fillings of the blanks of a sheet, blank by blank in a fixed order, with the first engine as the test.

Numbers of times come first, since lengths depend on nothing else; then the blanks in the order of the dance.  After
each one the sheet is walked with the blanks that are left: a claim refuted then is refuted whatever fills them.
"""

from collections.abc import Callable, Hashable, Iterable, Iterator
from heapq import heappop, heappush
from typing import TypeAlias

from attrs import evolve

from stepcheck.breaks.blanks import BUDGET, Blank, Filling, Trials, blanks, filling
from stepcheck.breaks.gaps import Candidate, Gap, Order, search
from stepcheck.breaks.material import Material
from stepcheck.breaks.rows import Search
from stepcheck.breaks.runs import Replay
from stepcheck.language.stretches import numbered
from stepcheck.language.syntax import Line, OnlyHead, PartHead, Row, TurnMark
from stepcheck.model.dance import EIGHTHS, MOST_TIMES, Body, Foot, Program, Repeat, Step
from stepcheck.model.items import Change, inside
from stepcheck.program.routine import Routine

_KINDS = ("times", "foot", "turn", "beats")

Solution: TypeAlias = tuple[Filling, ...]
Keys: TypeAlias = tuple[Hashable, ...]


class Puzzle:
    """The blanks of one routine, in the order in which they are filled."""

    def __init__(
        self, routine: Routine, material: Material, budget: int = BUDGET, like: "Puzzle | None" = None
    ) -> None:
        """Take a routine; the caches of `like`, a puzzle of the same material, are reused."""
        self.routine, self.material = routine, material
        self.trials = Trials(routine, budget)
        self.searches: tuple[Search, Search]
        self.searches = (search(material), search(material, custom=False)) if like is None else like.searches
        self.lines = numbered(routine.sheet)
        self._named_times = any(map(_names_times, self.lines.values()))
        self._streams: dict[Keys, Replay[Candidate]] = {}
        self._alive: dict[Keys, bool] = {}
        places = {} if routine.program is None else _places(routine.program)
        self.blanks = tuple(
            sorted(
                blanks(routine.sheet),
                key=lambda b: (b.kind != "times", places.get(b.line, len(places)), b.line, _KINDS.index(b.kind), b.at),
            )
        )

    # -- solutions ---------------------------------------------------------------------------------------------------

    def distinct(self, done: Solution = (), keys: Keys = ()) -> Iterator[tuple[Keys, Solution]]:
        """Yield the first solution of each effect on the claims, of those that begin with what is `done`.

        Raises:
            WorkSpent: more was tried than the budget allows, or a try is too much to look at.
        """
        if len(done) == len(self.blanks):
            if self._is_alive(done, keys):
                yield keys, done
            return
        for candidate in self.candidates(done, keys):
            yield from self.distinct((*done, candidate.filling), (*keys, candidate.key))

    def solutions(self, done: Solution = (), keys: Keys = ()) -> Iterator[Solution]:
        """Yield every way to fill the blanks that begins with what is `done` and proves every claim, in the order of
        the first blank and so on.  Raises as `distinct`."""
        if len(done) == len(self.blanks):
            yield done
            return
        live = (one for one in self.candidates(done, keys) if self._is_alive((*done, one.filling), (*keys, one.key)))
        for key, one in _merged(live):
            yield from self.solutions((*done, one), (*keys, key))

    def _is_alive(self, done: Solution, keys: Keys) -> bool:
        """Say whether the blanks that are left can be filled."""
        if keys not in self._alive:
            if len(done) == len(self.blanks):
                self._alive[keys] = self.trials.proved(done)
            else:
                self._alive[keys] = next(self.distinct(done, keys), None) is not None
        return self._alive[keys]

    # -- candidates --------------------------------------------------------------------------------------------------

    def candidates(self, done: Solution, keys: Keys) -> "Replay[Candidate]":
        """Return the candidates for the next blank with which nothing is refuted; made once for equal keys."""
        if keys not in self._streams:
            self._streams[keys] = Replay(self._made(done))
        return self._streams[keys]

    def _made(self, done: Solution) -> Iterator[Candidate]:
        blank = self.blanks[len(done)]
        match blank.kind:
            case "foot":
                yield from self._fitting(blank, done, Foot)
            case "turn":
                alone = sum(isinstance(mark, TurnMark) for mark in _marks(self.lines[blank.line])) == 1
                base = self.trials.laid((*done, filling(blank, 1))) if alone else None
                yield from self._fitting(blank, done, self._turns(blank), base, _with_turn)
            case "times":
                beside = [other for other in self.blanks if (other.line, other.kind) == (blank.line, blank.kind)]
                base = None if self._named_times or len(beside) > 1 else self.trials.laid(done)
                yield from self._fitting(blank, done, range(1, MOST_TIMES + 1), base, _with_times)
            case _:
                yield from Gap(self.trials, self.searches, blank, done, self.line(blank, done)).choices()

    def _fitting(
        self,
        blank: Blank,
        done: Solution,
        values: Iterable[int],
        base: Routine | None = None,
        change: Callable[[int, int], Change] | None = None,
    ) -> Iterator[Candidate]:
        """Yield those of some values that fit a blank; of numbers of times none behind one that is too many.

        In the routine `base` a `change` to the program, for the line and a value but 0, does what that value would;
        without it each value is laid out.
        """
        line = self.line(blank, done)
        for value in values:
            one = filling(blank, value)
            if base is None or base.program is None or change is None or not value:
                fits = self.trials.fits(self.trials.laid((*done, one)))
            else:
                fits = self.trials.fits(base, change(line, value))
            if fits:
                yield Candidate(value, one)
            elif blank.kind == "times" and self.trials.late:
                return

    def _turns(self, blank: Blank) -> list[int]:
        """Return all turns: those that are usual for a figure of the line, to whichever side, first, then the smallest,
        right before left."""
        node = self.lines[blank.line].node
        usual = {0}
        for option in node.options if isinstance(node, Row) else ():
            for figure in self.material.book.find(option.name, option.book):
                usual.update(map(abs, figure.usual_turns), (abs(version.turn) for version in figure.versions))
        return sorted(range(-EIGHTHS, EIGHTHS + 1), key=lambda turn: (abs(turn) not in usual, abs(turn), turn < 0))

    def line(self, blank: Blank, done: Solution) -> int:
        """Return the line of a blank once rows of several lines have been put in above it."""
        above = (one for one in done if one.blank.kind == "beats" and one.blank.line < blank.line)
        return blank.line + sum(len(one.lines) - 1 for one in above)


def _with_turn(line: int, turn: int) -> Change:
    """Return the change that gives the steps of a line `turn` eighths in the place of one; mirrored where they are."""
    return lambda item: (
        evolve(item, turn=item.turn * turn) if isinstance(item, Step) and item.line == line and item.turn else item,
    )


def _with_times(line: int, times: int) -> Change:
    """Return the change that has the open repeats of a line danced `times` times."""
    return lambda item: (
        evolve(item, times=times) if isinstance(item, Repeat) and item.line == line and item.times is None else item,
    )


def _merged(candidates: Iterator[Candidate]) -> Iterator[tuple[Hashable, Filling]]:
    """Yield the fillings of candidates with their keys; rows that do different things in one written order."""
    heap: list[tuple[Order, int, Filling, Candidate, Iterator[tuple[Order, Filling]]]] = []
    number = 0
    coming = next(candidates, None)
    while heap or coming is not None:
        if coming is not None and (coming.rows is None or not heap or coming.order < heap[0][0]):
            candidate, coming = coming, next(candidates, None)
            if candidate.rows is None:
                yield candidate.key, candidate.filling
                continue
            number += 1
            others = candidate.rows()
            order, one = next(others)
            heappush(heap, (order, number, one, candidate, others))
            continue
        _, place, one, candidate, others = heappop(heap)
        yield candidate.key, one
        following = next(others, None)
        if following is not None:
            heappush(heap, (following[0], place, following[1], candidate, others))


def _marks(line: Line) -> list[object]:
    return [mark for option in line.node.options for mark in option.marks] if isinstance(line.node, Row) else []


def _names_times(line: Line) -> bool:
    """Say whether something on a line happens on some times only."""
    node = line.node
    if isinstance(node, PartHead):
        return any(getattr(piece, "time", None) is not None for piece in node.pieces)
    return isinstance(node, OnlyHead) or any(
        isinstance(mark, TurnMark) and mark.times is not None for mark in _marks(line)
    )


def _places(program: Program) -> dict[int, int]:
    """Return the place of each line in the order of the dance, by its first time; a repeat comes after the lines inside
    it."""
    found: dict[int, int] = {}
    seen: set[int] = set()

    def visit(body: Body) -> None:
        if id(body) in seen:
            return
        seen.add(id(body))
        for item in body:
            for inner in inside(item):
                visit(inner)
            line = getattr(item, "line", 0)
            if line and (line not in found or isinstance(item, Repeat)):
                found[line] = len(found)

    for body in (program.dance, *(spare.body for spare in program.spares)):
        visit(body)
    return found
