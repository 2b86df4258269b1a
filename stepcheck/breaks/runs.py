"""One search for rows under way: the best first, drawn out of the classes of figures one at a time."""

from collections.abc import Callable, Iterable, Iterator
from heapq import heappop, heappush
from typing import Generic, Protocol, TypeVar

from attrs import frozen

from stepcheck.breaks.repertoire import Repertoire, Way
from stepcheck.breaks.totals import NEVER
from stepcheck.model.dance import Figure

State = tuple[int, int]
Node = tuple[int, tuple[State, ...]]
Row = tuple[tuple[Way, ...], ...]
Extra = tuple[int, Figure | None, int, int, int]
Guide = Callable[[int, int, int], int]
"""The least cost of what is left, `NEVER` or more if there is no way: for the ticks left, the weight and the turn."""
Children = dict[Node, list[tuple[int, int, tuple[Way, ...], Node]]]

T = TypeVar("T")


class Replay(Generic[T]):
    """What comes of a source, made when it is first asked for, and kept for those who ask again."""

    def __init__(self, source: Iterable[T]) -> None:
        self._source, self._kept = iter(source), list[T]()

    def __iter__(self) -> Iterator[T]:
        number = 0
        while True:
            if number == len(self._kept):
                for one in self._source:
                    self._kept.append(one)
                    break
                else:
                    return
            yield self._kept[number]
            number += 1


class Danced(Protocol):
    """What is asked about rows: which lines there are, and what they cost."""

    @property
    def repertoire(self) -> Repertoire:
        """What can be danced."""

    def cost(self, way: Way) -> int:
        """Return what one figure adds to the cost of a row."""

    def turned(self, turn: int) -> int:
        """Return a turn as it is counted."""

    def together(self, weights: tuple[int, ...]) -> Iterator[tuple[Way, ...]]:
        """Yield what can be danced from all of `weights` by one and the same line, in order."""


@frozen
class Limits:
    """What else is asked of a row.

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

    def __init__(
        self, search: Danced, guides: tuple[Guide, ...], children: Children, limits: Limits, limit: int
    ) -> None:
        self.search, self.guides, self.limits, self.limit = search, guides, limits, limit
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

    def children(self, node: Node) -> list[tuple[int, int, tuple[Way, ...], Node]]:
        """Return what can be danced next, the cheapest whole row first: its cost, rank, ways, and what is left."""
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
                ahead = [guide(rest, *state) for guide, state in zip(self.guides, after, strict=True)]
                if max(ahead) < NEVER:
                    made.append((self.search.cost(ways[0]) + max(ahead), ways[0].rank, ways, (rest, after)))
            made.sort(key=lambda child: child[:2])
        return made

    def needed(self, extra: Extra) -> int:
        """Return the ticks that the wanted figures take which are still to come."""
        return sum(ticks for number, ticks in enumerate(self._wanted) if not extra[0] >> number & 1)

    def allowed(self, way: Way, extra: Extra, left: int) -> Extra | None:
        """Return what is to be remembered after a figure, with some ticks left, or None if the limits forbid it."""
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
