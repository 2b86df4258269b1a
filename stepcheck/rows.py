"""Rows of figures of an exact length, the best first, without ever listing the others.

The order is in specs/costs.md: fewest figures, fewest figures that are not known, least turning, then the order of the
book figure by figure.  Many figures share what they do and how long they take, so the least cost from a state to the
goal is computed over these classes; the rows themselves are drawn out of them one at a time.
"""

from collections.abc import Collection, Iterator, Mapping
from heapq import heappop, heappush

from attrs import field, frozen

from stepcheck.model import EIGHTHS, Figure, Weight
from stepcheck.repertoire import Repertoire, Way

_FIGURE, _UNKNOWN = 1 << 40, 1 << 20
_NEVER = 1 << 80

State = tuple[Weight, int]
Node = tuple[int, tuple[State, ...]]
Row = tuple[tuple[Way, ...], ...]
Extra = tuple[int, Figure | None, int, int]
Children = dict[Node, list[tuple[int, int, tuple[Way, ...], Node]]]


@frozen
class Goal:
    """What a row has to do from one weight: end with one of these weights and turns.

    Turns are in eighths from 0 to 7; or, where the question is about whole turns too, signed totals.
    """

    start: Weight
    ends: frozenset[State]


@frozen
class Limits:
    """What else is asked of a row.

    `wanted` figures all stand in it; at most `most_in_a_row` times the same one follows itself; its turns add up to at
    most `most_turn` eighths, whichever side they go to.
    """

    wanted: tuple[Figure, ...] = ()
    most_in_a_row: int | None = None
    most_turn: int | None = None


@frozen(eq=False)
class Search:
    """A question about rows from a repertoire.

    `known` are the figures that the class knows; `signed` says that turns are totals.
    """

    repertoire: Repertoire
    known: Collection[Figure] = ()
    signed: bool = False
    _classes: dict[Weight, dict[tuple[int, Weight, int], int]] = field(init=False, repr=False)
    _tables: dict[tuple[int, Weight, frozenset[State]], list[dict[State, int]]] = field(
        factory=dict, repr=False, init=False
    )
    _children: dict[tuple[int, ...], Children] = field(factory=dict, repr=False, init=False)

    @_classes.default
    def _classed(self) -> dict[Weight, dict[tuple[int, Weight, int], int]]:
        """Return, for each weight, every length with weight and turn that comes of it, at the least cost."""
        out: dict[Weight, dict[tuple[int, Weight, int], int]] = {}
        for weight, ways in self.repertoire.ways.items():
            found = out[weight] = {}
            for way in ways:
                place, cost = (way.ticks, way.after, self.turned(way.turn)), self.cost(way)
                found[place] = min(cost, found.get(place, _NEVER))
        return out

    def turned(self, turn: int) -> int:
        """Return a turn as this search counts it."""
        return turn if self.signed else turn % EIGHTHS

    def cost(self, way: Way) -> int:
        """Return what one figure adds to the cost of a row."""
        return _FIGURE + (0 if way.placed.figure in self.known else _UNKNOWN) + abs(way.turn)

    def table(self, ticks: int, start: Weight, ends: frozenset[State]) -> list[dict[State, int]]:
        """Return, for each number of ticks left up to `ticks`, the least cost to `ends` from each state that can.

        Only weights that come after `start` are looked at.
        """
        weights = self._onward(start)
        out: list[dict[State, int]] = [{} for _ in range(ticks + 1)]
        out[0] = dict.fromkeys(sorted(ends), 0)
        before: dict[State, list[tuple[int, list[tuple[State, int]]]]] = {}
        for left, rests in enumerate(out):
            for state, rest in rests.items():
                if state not in before:
                    before[state] = self._before(*state, weights)
                for length, sources in before[state]:
                    if left + length > ticks:
                        break
                    there = out[left + length]
                    for source, cost in sources:
                        if cost + rest < there.get(source, _NEVER):
                            there[source] = cost + rest
        return out

    def _onward(self, start: Weight) -> list[Weight]:
        """Return the weights that can come after `start`, with it."""
        found = [start]
        for weight in found:
            found += dict.fromkeys(after for _, after, _ in self._classes[weight] if after not in found)
        return found

    def _before(self, after: Weight, turned: int, weights: list[Weight]) -> list[tuple[int, list[tuple[State, int]]]]:
        """Return from which states one figure leads here, and its cost, by its length."""
        found: dict[int, list[tuple[State, int]]] = {}
        for weight in weights:
            for (length, end, turn), cost in self._classes[weight].items():
                if end is after:
                    found.setdefault(length, []).append(((weight, self.turned(turned - turn)), cost))
        return sorted(found.items())

    def outcomes(self, ticks: int, weights: tuple[Weight, ...]) -> dict[tuple[State, ...], int]:
        """Return what rows of exactly `ticks` can do from all of `weights` at once, with the least cost of each."""
        reached: list[dict[tuple[State, ...], int]] = [{} for _ in range(ticks + 1)]
        reached[0][tuple((weight, 0) for weight in weights)] = 0
        onward: dict[tuple[Weight, ...], dict[tuple[int, tuple[State, ...]], int]] = {}
        for done, found in enumerate(reached):
            for states, cost in found.items():
                now = tuple(weight for weight, _ in states)
                if now not in onward:
                    onward[now] = self._together(now)
                for (length, changes), more in onward[now].items():
                    if done + length <= ticks:
                        there = reached[done + length]
                        pairs = zip(states, changes, strict=True)
                        after = tuple((weight, self.turned(turned + turn)) for (_, turned), (weight, turn) in pairs)
                        there[after] = min(cost + more, there.get(after, _NEVER))
        return reached[ticks]

    def _together(self, weights: tuple[Weight, ...]) -> dict[tuple[int, tuple[State, ...]], int]:
        """Return what one line does from all of `weights` at once, by length and changes, with the least cost."""
        out: dict[tuple[int, tuple[State, ...]], int] = {}
        for ways in together(self.repertoire.ways, weights):
            place = ways[0].ticks, tuple((way.after, way.turn) for way in ways)
            out[place] = min(self.cost(ways[0]), out.get(place, _NEVER))
        return out

    def rows(
        self, ticks: int, goals: tuple[Goal, ...], limits: Limits = Limits(), limit: int = _NEVER
    ) -> Iterator[Row]:
        """Yield the rows of exactly `ticks` that meet every one of `goals`, in order, at most `limit`.

        Each row is its figures, each figure the ways that it is danced for the goals.
        """
        # What starts with the same weight does the same, and so has to meet all that is asked of it.
        asked: dict[Weight, frozenset[State]] = {}
        for goal in goals:
            asked[goal.start] = asked.get(goal.start, goal.ends) & goal.ends
        if ticks <= 0 or limit <= 0 or not all(asked.values()):
            return
        tables, starts = [], []
        for start, ends in asked.items():
            turn = -min(turn for _, turn in ends) if self.signed else 0  # one table does for every total
            where = (ticks, start, frozenset((weight, end + turn) for weight, end in ends))
            if where not in self._tables:
                self._tables[where] = self.table(*where)
            tables.append(self._tables[where])
            starts.append((start, turn))
        if all(start in table[ticks] for start, table in zip(starts, tables, strict=True)):
            children = self._children.setdefault(tuple(map(id, tables)), {})
            places = [list(asked).index(goal.start) for goal in goals]
            for row in _Run(self, tuple(tables), children, limits, limit).rows((ticks, tuple(starts))):
                yield tuple(tuple(ways[place] for place in places) for ways in row)


class _Run:
    """One search under way: best first, with the exact rest of the cost, or a lower bound of it, as the guide.

    A state from which `limit` better rows go on already is left alone, so that no question takes for ever.
    """

    def __init__(
        self, search: Search, tables: tuple[list[dict[State, int]], ...], children: Children, limits: Limits, limit: int
    ) -> None:
        self.search, self.tables, self.limits, self.limit = search, tables, limits, limit
        self._children = children
        self._visits: dict[tuple[Node, Extra], int] = {}
        every = [way for ways in search.repertoire.ways.values() for way in ways]
        self._wanted = [
            min((w.ticks for w in every if w.placed.figure is one), default=_NEVER) for one in limits.wanted
        ]

    def rows(self, root: Node) -> Iterator[Row]:
        heap: list[tuple[int, tuple[int, ...], int, Node, int, Row, Extra]] = []

        def offer(done: int, ranks: tuple[int, ...], node: Node, index: int, row: Row, extra: Extra) -> None:
            children = self.children(node)
            if index < len(children):
                more, rank, _, _ = children[index]
                heappush(heap, (done + more, (*ranks, rank), done, node, index, row, extra))

        start: Extra = (0, None, 0, 0)
        if self.needed(start) <= root[0]:
            offer(0, (), root, 0, (), start)
        found = 0
        while heap:
            _, ranks, done, node, index, row, extra = heappop(heap)
            offer(done, ranks[:-1], node, index + 1, row, extra)
            _, _, ways, child = self.children(node)[index]
            onward = self.allowed(ways[0], extra)
            if onward is None:
                continue
            if self.needed(onward) > child[0]:
                continue
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
            for ways in together(self.search.repertoire.ways, tuple(weight for weight, _ in states)):
                rest = left - ways[0].ticks
                if rest < 0:
                    continue
                after = tuple(
                    (way.after, self.search.turned(turned + way.turn))
                    for way, (_, turned) in zip(ways, states, strict=True)
                )
                ahead = [table[rest].get(state, _NEVER) for table, state in zip(self.tables, after, strict=True)]
                if max(ahead) < _NEVER:
                    made.append((self.search.cost(ways[0]) + max(ahead), ways[0].rank, ways, (rest, after)))
            made.sort(key=lambda child: child[:2])
        return made

    def needed(self, extra: Extra) -> int:
        """Return the ticks that the wanted figures take which are still to come."""
        return sum(ticks for number, ticks in enumerate(self._wanted) if not extra[0] >> number & 1)

    def allowed(self, way: Way, extra: Extra) -> Extra | None:
        """Return what is to be remembered after a figure, or None if the limits forbid it."""
        wanted, last, times, turned = extra
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
        return wanted, last, times, turned


def together(ways: Mapping[Weight, tuple[Way, ...]], weights: tuple[Weight, ...]) -> Iterator[tuple[Way, ...]]:
    """Yield what can be danced from all of `weights` by one and the same line, in order."""
    if len(set(weights)) == 1:
        yield from ((way,) * len(weights) for way in ways[weights[0]])
        return
    by_line = [{way.written: way for way in ways[weight]} for weight in weights]
    # From one foot the line of a figure does not name it; but it may, if it is the foot that is free.
    for line, found in zip(by_line, weights, strict=True):
        if found is not Weight.BOTH:
            line.update({(figure, turn, way.placed.lead): way for (figure, turn, _), way in tuple(line.items())})
    for written in dict.fromkeys(written for line in by_line for written in line):
        if all(written in line for line in by_line) and (written[2] is None or Weight.BOTH in weights):
            yield tuple(line[written] for line in by_line)
