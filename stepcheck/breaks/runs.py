"""One search for rows, the best first, and its guide: the least cost of every total that rows can add up to.

Turns are in eighths.  For each length and weight the costs stand in a row, one for each turn, since very many turns can
come of a long row and each is looked at once for each figure.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from heapq import heappop, heappush
from itertools import tee
from math import gcd
from typing import TYPE_CHECKING, Generic, NamedTuple, TypeVar

from attrs import frozen

from stepcheck.breaks.states import Danceable
from stepcheck.model.dance import Figure

if TYPE_CHECKING:
    from stepcheck.breaks.rows import Search

NEVER = 1 << 80


class Move(NamedTuple):
    """One line, or its reverse, as a step of the search: its ticks, the numbers of the weights before and after it, the
    turn of one of those who dance it, and its cost."""

    ticks: int
    before: int
    after: int
    turn: int
    cost: int


class Costs(NamedTuple):
    """Costs of turns that are `unit` apart, from the turn `least` on."""

    least: int
    values: list[int]


class Totals:
    """The least cost of every total, by ticks, weights and turn.

    Args:
        ticks: how long rows are.
        begun: the totals that nothing has been added to, as weights and turns.
        moves: what can be added.
    """

    def __init__(self, ticks: int, begun: Iterable[tuple[int, int]], moves: Iterable[Move]) -> None:
        starts, steps = sorted(begun), sorted(moves)
        first = starts[0][1] if starts else 0
        self.unit = gcd(*(move.turn for move in steps), *(turn - first for _, turn in starts)) or 1
        self.first = first
        self._found: list[dict[int, Costs]] = [{}]
        for weights, turn in starts:
            self._found[0][weights] = _least(
                [self._found[0].get(weights, _NONE), Costs((turn - first) // self.unit, [0])]
            )
        into: dict[int, list[Move]] = {}
        for move in steps:
            into.setdefault(move.after, []).append(move)
        step = gcd(*(move.ticks for move in steps)) or 1
        for done in range(1, ticks + 1):
            here: dict[int, Costs] = {}
            for after, some in into.items() if done % step == 0 else ():
                added = [
                    Costs(costs.least + move.turn // self.unit, [value + move.cost for value in costs.values])
                    for move in some
                    if move.ticks <= done and (costs := self._found[done - move.ticks].get(move.before)) is not None
                ]
                made = _least(added)
                if made.values:
                    here[after] = made
            self._found.append(here)

    def cost(self, ticks: int, weights: int, turn: int) -> int:
        """Return the least cost of a total, `NEVER` or more if there is no such."""
        costs = self._found[ticks].get(weights)
        place, rest = divmod(turn - self.first, self.unit)
        if costs is None or rest or not 0 <= place - costs.least < len(costs.values):
            return NEVER
        return costs.values[place - costs.least]

    def after(self, ticks: int) -> dict[tuple[int, int], int]:
        """Return the totals after so many ticks, as weights and turns, each with its cost."""
        return {
            (weights, self.first + self.unit * (costs.least + place)): value
            for weights, costs in sorted(self._found[ticks].items())
            for place, value in enumerate(costs.values)
            if value < NEVER
        }


_NONE = Costs(0, [])


def _least(costs: Sequence[Costs]) -> Costs:
    """Return the least of costs, turn by turn."""
    some = [one for one in costs if one.values]
    if len(some) < 2:
        return some[0] if some else _NONE
    low, high = min(one.least for one in some), max(one.least + len(one.values) for one in some)
    wide = ([NEVER] * (one.least - low) + one.values + [NEVER] * (high - one.least - len(one.values)) for one in some)
    return Costs(low, list(map(min, *wide)))


State = tuple[int, int]
Weights = tuple[int, ...]
"""The weights of those who dance a row together."""
Node = tuple[int, tuple[State, ...]]
Row = tuple[tuple[Danceable, ...], ...]
Extra = tuple[int, Figure | None, int, int, int]
Guide = Callable[[int, tuple[State, ...]], int]
"""The least cost of the rest of a row, or a lower bound of it, `NEVER` or more if there is none: for the ticks left and
the state of each of those who dance it."""
Children = dict[Node, list[tuple[int, int, tuple[Danceable, ...], Node]]]

T = TypeVar("T")


class Replay(Generic[T]):
    """An iterator that keeps its values, so that it can be read again."""

    def __init__(self, source: Iterable[T]) -> None:
        self._source = iter(source)

    def __iter__(self) -> Iterator[T]:
        self._source, again = tee(self._source)
        return again


@frozen
class Limits:
    """Further conditions on a row.

    `wanted` figures all stand in it; at most `most_in_a_row` times the same one follows itself; its turns add up to at
    most `most_turn` eighths, whichever side they go to; it has from the first to the second of `steps` figures.
    """

    wanted: tuple[Figure, ...] = ()
    most_in_a_row: int | None = None
    most_turn: int | None = None
    steps: tuple[int, int] | None = None


class Run:
    """One search under way: best first, with the exact rest of the cost, or a lower bound of it, as the guide.

    A state from which `limit` better rows go on already is left alone, so that no question takes for ever.
    """

    def __init__(self, search: "Search", guide: Guide, children: Children, limits: Limits, limit: int) -> None:
        self.search, self.guide, self.limits, self.limit = search, guide, limits, limit
        self._children = children
        self._visits: dict[tuple[Node, Extra], int] = {}
        every = [way for ways in search.repertoire.ways.values() for way in ways]
        self._wanted = [min((w.ticks for w in every if w.placed.figure is one), default=NEVER) for one in limits.wanted]

    def rows(self, root: Node) -> Iterator[Row]:
        heap: list[tuple[int, tuple[int, ...], int, Node, int, Row, Extra]] = []

        def offer(done: int, ranks: tuple[int, ...], node: Node, index: int, row: Row, extra: Extra) -> None:
            children = self.children(node)
            if index < len(children):
                more, rank, _, _ = children[index]
                heappush(heap, (done + more, (*ranks, rank), done, node, index, row, extra))

        start: Extra = (0, None, 0, 0, 0)
        if self.needed(start) <= root[0]:
            offer(0, (), root, 0, (), start)
        found = 0
        while heap:
            _, ranks, done, node, index, row, extra = heappop(heap)
            offer(done, ranks[:-1], node, index + 1, row, extra)
            _, _, ways, child = self.children(node)[index]
            onward = self.allowed(ways[0], extra, child[0])
            if onward is None or (self._wanted and self.needed(onward) > child[0]):
                continue
            if self.limit < NEVER:
                visits = self._visits[child, onward] = self._visits.get((child, onward), 0) + 1
                if visits > self.limit:
                    continue
            row = (*row, ways)
            if child[0]:
                offer(done + self.search.cost(ways[0]), ranks, child, 0, row, onward)
            else:
                yield row
                found += 1
                if found == self.limit:
                    return

    def children(self, node: Node) -> list[tuple[int, int, tuple[Danceable, ...], Node]]:
        """Return the next ways, the cheapest whole row first: cost, rank, ways, and the node after them."""
        made = self._children.get(node)
        if made is None:
            made = self._children[node] = []
            left, states = node
            for ways in self.search.together(tuple(weight for weight, _ in states)):
                rest = left - ways[0].ticks
                if rest < 0:
                    continue
                after = tuple(
                    (way.after, self.search.turned(turned + way.turn))
                    for way, (_, turned) in zip(ways, states, strict=True)
                )
                ahead = self.guide(rest, after)
                if ahead < NEVER:
                    made.append((self.search.cost(ways[0]) + ahead, ways[0].rank, ways, (rest, after)))
            made.sort(key=lambda child: child[:2])
        return made

    def needed(self, extra: Extra) -> int:
        """Return the ticks that the wanted figures take which are still to come."""
        return sum(ticks for number, ticks in enumerate(self._wanted) if not extra[0] >> number & 1)

    def allowed(self, way: Danceable, extra: Extra, left: int) -> Extra | None:
        """Return the state of the limits after a figure, with some ticks left, or None if they forbid it."""
        wanted, last, times, turned, steps = extra
        figure, limits = way.placed.figure, self.limits
        if limits.wanted and figure in limits.wanted:
            wanted |= 1 << limits.wanted.index(figure)
        if limits.most_in_a_row is not None:
            times = times + 1 if figure is last else 1
            last = figure
            if times > limits.most_in_a_row:
                return None
        if limits.most_turn is not None:
            turned += abs(way.turn)
            if turned > limits.most_turn:
                return None
        if limits.steps is not None:
            steps += 1
            if steps > limits.steps[1] or (not left and steps < limits.steps[0]):
                return None
        return wanted, last, times, turned, steps
