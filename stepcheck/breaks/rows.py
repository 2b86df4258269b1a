"""Rows of figures of an exact length, the best first, without ever listing the others.

The order is in specs/costs.md: fewest figures, fewest figures that are not known, least turning, then the order of the
book figure by figure.  Many figures share what they do and how long they take, so the least cost from a state to the
goal is computed over these classes; the rows themselves are drawn out of them one at a time.
"""

from collections.abc import Collection, Iterable, Iterator
from heapq import heappop, heappush

from attrs import evolve, field, frozen

from stepcheck.breaks.runs import NEVER, Children, Guide, Limits, Move, Node, Replay, Row, Run, State, Totals
from stepcheck.breaks.states import Repertoire, Way
from stepcheck.model.dance import EIGHTHS, Figure, Foot, Weight

_FIGURE, _UNKNOWN = 1 << 40, 1 << 20
_NEVER, _ANY = NEVER, Limits()

CROSSED, LOOSE = 3, 6
"""Offsets that mark the weight of a dancer whose line was written for another dancer, so that its turns are danced as
written: `CROSSED` in a pass with the opposite foot, where a named foot is the other one too, `LOOSE` in other
passes."""

Written = tuple[Figure, int | None, Foot | None]


@frozen
class Goal:
    """The goal of a row from one weight: to end with one of these weights and turns.

    Turns are in eighths from 0 to 7; or, where the question is about whole turns too, signed totals.  To the weights
    `CROSSED` or `LOOSE` may be added.
    """

    start: int
    ends: frozenset[State]


@frozen(eq=False)
class Search:
    """A question about rows from a repertoire.

    `known` are the figures that the class knows; `signed` says that turns are totals.
    """

    repertoire: Repertoire
    known: Collection[Figure] = ()
    signed: bool = False
    _classes: dict[int, dict[tuple[int, int, int], int]] = field(factory=dict, init=False, repr=False)
    _lines: dict[int, dict[Written, Way]] = field(factory=dict, init=False, repr=False)
    _guides: dict[tuple[object, ...], Guide] = field(factory=dict, repr=False, init=False)
    _children: dict[tuple[int, ...], Children] = field(factory=dict, repr=False, init=False)
    _outcomes: dict[tuple[int, int], dict[State, int]] = field(factory=dict, repr=False, init=False)
    _joint: dict[tuple[int, tuple[int, ...]], Replay[tuple[tuple[State, ...], int, Row]]] = field(
        factory=dict, repr=False, init=False
    )
    _rows: dict[tuple[int, tuple[Goal, ...]], Replay[Row]] = field(factory=dict, repr=False, init=False)

    def classes(self, weight: int) -> dict[tuple[int, int, int], int]:
        """Return the classes of figures from a weight: each length, end weight and turn, with the least cost of a
        figure."""
        if weight not in self._classes:
            found = self._classes[weight] = {}
            for way in self.repertoire.ways[Weight(weight)] if weight < CROSSED else self.lines(weight).values():
                place, cost = (way.ticks, int(way.after), self.turned(way.turn)), self.cost(way)
                found[place] = min(cost, found.get(place, _NEVER))
        return self._classes[weight]

    def turned(self, turn: int) -> int:
        """Return a turn as this search counts it."""
        return turn if self.signed else turn % EIGHTHS

    def cost(self, way: Way) -> int:
        """Return what one figure adds to the cost of a row."""
        return _FIGURE + (0 if way.placed.figure in self.known else _UNKNOWN) + abs(way.turn)

    def order(self, row: Row) -> tuple[int, tuple[int, ...]]:
        """Return the place of a row in the written order: its cost, and the ranks of its figures."""
        return sum(self.cost(ways[0]) for ways in row), tuple(ways[0].rank for ways in row)

    def guide(self, ticks: int, start: int, ends: frozenset[State]) -> Guide:
        """Return a function that gives the least cost to `ends` of rows of up to `ticks`, all from the weight `start`
        on, from the ticks left and the state."""
        where = ticks, tuple(sorted(self._onward(start))), ends
        if where not in self._guides:
            if self.signed:
                back = [Move(one.ticks, one.after, one.before, -one.turn, one.cost) for one in self._moves(where[1])]
                self._guides[where] = Totals(ticks, ends, back).cost
            else:
                table = self.table(*where)
                self._guides[where] = lambda left, *state: table[left].get(state, _NEVER)
        return self._guides[where]

    def table(self, ticks: int, weights: tuple[int, ...], ends: frozenset[State]) -> list[dict[State, int]]:
        """Return, for each number of ticks left up to `ticks`, the least cost to `ends` from each state that can."""
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
                        known = there.get(source)
                        if known is None or cost + rest < known:
                            there[source] = cost + rest
        return out

    def _onward(self, start: int) -> list[int]:
        """Return the weights that can come after `start`, with it."""
        found = [start]
        for weight in found:
            found += dict.fromkeys(after for _, after, _ in self.classes(weight) if after not in found)
        return found

    def _before(self, after: int, turned: int, weights: tuple[int, ...]) -> list[tuple[int, list[tuple[State, int]]]]:
        """Return from which states one figure leads here, and its cost, by its length."""
        found: dict[int, list[tuple[State, int]]] = {}
        for weight in weights:
            for (length, end, turn), cost in self.classes(weight).items():
                if end == after:
                    found.setdefault(length, []).append(((weight, self.turned(turned - turn)), cost))
        return sorted(found.items())

    def outcomes(self, ticks: int, weight: int) -> dict[State, int]:
        """Return the end states of rows of exactly `ticks` from a weight, each with its least cost; turns are
        totals."""
        if (ticks, weight) not in self._outcomes:
            self._outcomes[ticks, weight] = Totals(ticks, ((weight, 0),), self._moves(self._onward(weight))).after(
                ticks
            )
        return self._outcomes[ticks, weight]

    def _moves(self, weights: Iterable[int]) -> list[Move]:
        return [
            Move(long, now, after, turn, cost)
            for now in weights
            for (long, after, turn), cost in self.classes(now).items()
        ]

    def joint(self, ticks: int, weights: tuple[int, ...]) -> Iterator[tuple[tuple[State, ...], int, Row]]:
        """Yield the joint end states of rows of exactly `ticks` from all of `weights` at once, the cheapest first, each
        with its cost and a row."""
        if (ticks, weights) not in self._joint:
            self._joint[ticks, weights] = Replay(self._joined(ticks, weights))
        return iter(self._joint[ticks, weights])

    def _joined(self, ticks: int, weights: tuple[int, ...]) -> Iterator[tuple[tuple[State, ...], int, Row]]:
        moves: dict[tuple[int, ...], list[tuple[int, tuple[int, ...], tuple[int, ...], int, tuple[Way, ...]]]] = {}
        rest = self._rest(ticks, weights, moves)
        start = tuple((weight, 0) for weight in weights)
        best: dict[Node, int] = {(ticks, start): 0}
        came: dict[Node, tuple[Node, tuple[Way, ...]]] = {}
        heap: list[tuple[int, int, Node]] = (
            [(rest[ticks][weights], 0, (ticks, start))] if weights in rest[ticks] else []
        )
        while heap:
            _, cost, node = heappop(heap)
            if cost > best[node]:
                continue
            left, states = node
            if not left:
                yield states, cost, _traced(node, came)
                continue
            now = tuple(weight for weight, _ in states)
            for length, after, turns, more, ways in moves[now]:
                ahead = rest[left - length].get(after) if length <= left else None
                if ahead is None:
                    continue
                pairs = zip(after, states, turns, strict=True)
                there = left - length, tuple((one, self.turned(turned + turn)) for one, (_, turned), turn in pairs)
                if cost + more < best.get(there, _NEVER):
                    best[there] = cost + more
                    came[there] = node, ways
                    heappush(heap, (cost + more + ahead, cost + more, there))

    def _rest(
        self,
        ticks: int,
        weights: tuple[int, ...],
        moves: dict[tuple[int, ...], list[tuple[int, tuple[int, ...], tuple[int, ...], int, tuple[Way, ...]]]],
    ) -> list[dict[tuple[int, ...], int]]:
        """Return the least cost of so many ticks from some weights, however they turn; fills in what one line does from
        them."""
        pending = [weights]
        for now in pending:
            found: dict[tuple[int, tuple[int, ...], tuple[int, ...]], tuple[int, tuple[Way, ...]]] = {}
            for ways in self.together(now):
                place = (
                    ways[0].ticks,
                    tuple(int(way.after) for way in ways),
                    tuple(self.turned(way.turn) for way in ways),
                )
                cost = self.cost(ways[0])
                if place not in found or cost < found[place][0]:
                    found[place] = cost, ways
            moves[now] = [(*place, *made) for place, made in found.items()]
            pending += dict.fromkeys(after for _, after, *_ in moves[now] if after not in pending)
        rest: list[dict[tuple[int, ...], int]] = [dict.fromkeys(pending, 0)]
        for left in range(1, ticks + 1):
            here = {}
            for now in pending:
                some = [
                    rest[left - one[0]][one[1]] + one[3]
                    for one in moves[now]
                    if one[0] <= left and one[1] in rest[left - one[0]]
                ]
                if some:
                    here[now] = min(some)
            rest.append(here)
        return rest

    def lines(self, weight: int) -> dict[Written, Way]:
        """Return the ways from a weight by the text that writes them: figure, turn and named foot."""
        if weight not in self._lines:
            self._lines[weight] = self._plain(Weight(weight)) if weight < CROSSED else self._loose(weight)
        return self._lines[weight]

    def _plain(self, weight: Weight) -> dict[Written, Way]:
        line = {way.written: way for way in self.repertoire.ways[weight]}
        if weight is not Weight.BOTH:
            # From one foot the line of a figure does not name it; but it may, if it is the foot that is free.
            line.update({(figure, turn, way.placed.lead): way for (figure, turn, _), way in tuple(line.items())})
        return line

    def _loose(self, number: int) -> dict[Written, Way]:
        """Return the ways from a weight marked `CROSSED` or `LOOSE`: turns are danced as written."""
        weight, swapped = Weight(number % CROSSED), number < LOOSE
        own = {
            (way.placed.figure, way.placed.lead): way
            for way in self.repertoire.ways[weight]
            if way.placed.eighths is None
        }
        out: dict[Written, Way] = {}
        for way in sorted((way for ways in self.repertoire.ways.values() for way in ways), key=lambda way: way.rank):
            figure, turn = way.placed.figure, way.placed.eighths
            for lead in (None, *Foot):
                danced = own.get((figure, lead.other if lead is not None and swapped else lead))
                if danced is None:
                    continue
                both = weight is Weight.BOTH and lead is not None
                placed = evolve(way.placed, lead=lead, named=both)
                made = Way(
                    placed,
                    way.rank,
                    danced.ticks,
                    danced.after + number - weight,  # type: ignore[arg-type]
                    danced.turn if turn is None else turn,
                )
                out.setdefault((figure, turn, lead), made)
                if not both:
                    out.setdefault((figure, turn, None), made)
        return out

    def together(self, weights: tuple[int, ...]) -> Iterator[tuple[Way, ...]]:
        """Yield the ways of each line that can be danced from all of `weights`, in order.

        A line is one that is usual from those who dance it as it is written; or, if nobody does, would be from the foot
        that is written for the first.
        """
        if len(set(weights)) == 1 and weights[0] < CROSSED:
            yield from ((way,) * len(weights) for way in self.repertoire.ways[Weight(weights[0])])
            return
        by_line = [self.lines(weight) for weight in weights]
        plain = [line for line, weight in zip(by_line, weights, strict=True) if weight < CROSSED]
        if not plain:  # a sheet has the other foot in a pass with the opposite foot
            foot = weights[0] % CROSSED
            plain = [self.lines(1 - foot if weights[0] < LOOSE and foot != Weight.BOTH else foot)]
        both = any(weight % CROSSED == Weight.BOTH for weight in weights)
        for written in dict.fromkeys(written for line in plain for written in line):
            if all(written in line for line in (*plain, *by_line)) and (written[2] is None or both):
                yield tuple(line[written] for line in by_line)

    def rows(self, ticks: int, goals: tuple[Goal, ...], limits: Limits = _ANY, limit: int = _NEVER) -> Iterator[Row]:
        """Yield the rows of exactly `ticks` that meet every one of `goals`, in order, at most `limit`.

        Each row is its figures, each figure the ways that it is danced for the goals.
        """
        if limit < _NEVER or limits != _ANY:
            return self._found(ticks, goals, limits, limit)
        if (ticks, goals) not in self._rows:
            self._rows[ticks, goals] = Replay(self._found(ticks, goals, limits, limit))
        return iter(self._rows[ticks, goals])

    def _found(self, ticks: int, goals: tuple[Goal, ...], limits: Limits, limit: int) -> Iterator[Row]:
        # What starts with the same weight does the same, and so has to meet all that is asked of it.
        asked: dict[int, frozenset[State]] = {}
        for goal in goals:
            asked[goal.start] = asked.get(goal.start, goal.ends) & goal.ends
        if ticks <= 0 or limit <= 0 or not all(asked.values()):
            return
        guides: list[Guide] = []
        starts = []
        for start, ends in asked.items():
            turn = -min(turn for _, turn in ends) if self.signed else 0  # one table does for every total
            guides.append(self.guide(ticks, start, frozenset((weight, end + turn) for weight, end in ends)))
            starts.append((start, turn))
        if all(guide(ticks, *state) < _NEVER for state, guide in zip(starts, guides, strict=True)):
            children = self._children.setdefault(tuple(map(id, guides)), {})
            places = [list(asked).index(goal.start) for goal in goals]
            for row in Run(self, tuple(guides), children, limits, limit).rows((ticks, tuple(starts))):
                yield tuple(tuple(ways[place] for place in places) for ways in row)


def _traced(node: Node, came: dict[Node, tuple[Node, tuple[Way, ...]]]) -> Row:
    row = []
    while node in came:
        node, ways = came[node]
        row.append(ways)
    return tuple(reversed(row))
