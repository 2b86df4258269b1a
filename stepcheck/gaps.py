"""What can be danced in a gap of whole beats: first what a row may do there, then the rows that do it."""

from collections.abc import Callable, Iterator
from functools import partial
from heapq import heappop, heappush

from attrs import frozen

from stepcheck.blanks import Blank, Filling, filling
from stepcheck.elaborate import Routine
from stepcheck.material import Material
from stepcheck.model import Weight
from stepcheck.repertoire import Placed
from stepcheck.request import made
from stepcheck.rows import Goal, Row, Search, State
from stepcheck.stand_ins import replaced, stand_in, with_outcome
from stepcheck.trials import Trials

_FEET = (Weight.LEFT, Weight.RIGHT)
Outcome = tuple[tuple[Weight, State], ...]
Order = tuple[int, tuple[int, ...]]


@frozen(eq=False)
class Rows:
    """The rows that do one and the same: the first with its place in the order, and what yields them all."""

    outcome: Outcome
    order: Order
    first: Filling
    each: Callable[[], Iterator[tuple[Order, Filling]]]


def search(material: Material) -> Search:
    """Return the search for rows among what a routine can be filled with; turns are totals."""
    hard = set(material.hard)
    pool = tuple(figure for figure in material.figures if figure not in hard)
    return Search(made(pool, material.readings, material.book.lead, False), material.known, True)


class Gap:
    """A blank of whole beats in a routine whose blanks before it are filled; `line` is where it stands there."""

    def __init__(
        self, trials: Trials, rows: Search, blank: Blank, done: tuple[Filling, ...], line: int, swaps: bool
    ) -> None:
        self.trials, self.search, self.blank, self.done, self.line = trials, rows, blank, done, line
        self.base: Routine = trials.laid(done)
        self.weights = self._weights()
        self.one_foot = (
            len(self.weights) == 1 and self.weights[0] in _FEET and not swaps and self.base.program is not None
        )

    def _weights(self) -> tuple[Weight, ...]:
        program = self.base.program
        if program is not None:
            sure, perhaps = self.trials.weights(program, self.line)
            if sure or perhaps:
                return tuple(sorted(sure or perhaps))
        return (Weight(self.base.facts.lead.other),)

    def choices(self) -> Iterator[Rows]:
        """Yield what rows can do here with nothing refuted, each with the first row that does it, in their order."""
        heap: list[tuple[int, tuple[int, ...], Outcome, Rows | None, bool]] = []
        for outcome, cost in self._outcomes(self.weights):
            heappush(heap, (cost, (), outcome, None, False))
        while heap:
            cost, _, outcome, rows, refined = heappop(heap)
            if rows is not None:
                yield rows
                continue
            fits = self._decided(outcome) if self.one_foot and not refined else None
            if fits is None and self.one_foot and not refined:
                for finer, more in self._outcomes(_FEET):
                    if finer[self.weights[0]] == outcome[0]:
                        heappush(heap, (more, (), finer, None, True))
            elif fits is not False:
                first = next(self._rows(outcome), None)
                if first is not None and (fits or self.trials.fits(self.trials.laid((*self.done, first[1])))):
                    heappush(heap, (*first[0], outcome, Rows(outcome, *first, partial(self._rows, outcome)), refined))

    def _outcomes(self, weights: tuple[Weight, ...]) -> list[tuple[Outcome, int]]:
        """Return what rows of the length can do from these weights, with the least cost of each."""
        found = self.search.outcomes(self.blank.ticks, weights)
        return sorted((tuple(zip(weights, ends, strict=True)), cost) for ends, cost in found.items())

    def _decided(self, outcome: Outcome) -> bool | None:
        """Say whether a row that does this fits; None if that hangs on what it does from the other foot as well."""
        ((before, (after, turn)),) = outcome
        program = self.base.program
        assert program is not None
        change = with_outcome(self.line, stand_in(self.blank.ticks, before, after), turn)
        _, weights = self.trials.weights(replaced(program, change), self.line)
        return self.trials.fits(self.base, change) if weights <= {before} else None

    def _rows(self, outcome: Outcome) -> Iterator[tuple[Order, Filling]]:
        goals = tuple(Goal(before, frozenset({end})) for before, end in outcome)
        for row in self.search.rows(self.blank.ticks, goals):
            cost = sum(self.search.cost(ways[0]) for ways in row)
            yield (cost, tuple(ways[0].rank for ways in row)), filling(self.blank, written(row))


def written(row: Row) -> tuple[Placed, ...]:
    """Return the figures of a row as the sheet has them."""
    return tuple(next((way.placed for way in ways if way.placed.named), ways[0].placed) for ways in row)
