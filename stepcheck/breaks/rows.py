"""Rows of figures of an exact length, the best first, without ever listing the others.

The order is in specs/costs.md: fewest figures, fewest figures that are not known, least turning, then the order of the
book figure by figure.  Many figures share what they do and how long they take, so the least cost from a state to the
goal is computed over these classes; the rows themselves are drawn out of them one at a time.
"""

from collections.abc import Callable, Collection, Iterator, Sequence
from heapq import heappop, heappush
from itertools import product

from attrs import evolve, field, frozen

from stepcheck.breaks.runs import NEVER, Children, Guide, Limits, Move, Node, Replay, Row, Run, State, Totals, Weights
from stepcheck.breaks.states import Danceable, Repertoire
from stepcheck.model.dance import EIGHTHS, Figure, Foot, Weight

_FIGURE, _UNKNOWN = 1 << 40, 1 << 20
_NEVER, _ANY = NEVER, Limits()

CROSSED, LOOSE = 3, 6
"""Offsets that mark the weight of a dancer whose line was written for another dancer, so that its turns are danced as
written: `CROSSED` in a pass with the opposite foot, where a named foot is the other one too, `LOOSE` in other
passes."""

Written = tuple[Figure, int | None, Foot | None]
Step = tuple[int, Weights, Weights, int, tuple[Danceable, ...]]
"""What one line does from several weights: its ticks, the weights after it, its turns, its cost, and its ways."""


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
    _lines: dict[int, dict[Written, Danceable]] = field(factory=dict, init=False, repr=False)
    _guides: dict[tuple[object, ...], tuple[Guide, Children]] = field(factory=dict, repr=False, init=False)
    _steps: dict[Weights, list[Step]] = field(factory=dict, repr=False, init=False)
    _outcomes: dict[tuple[int, int], dict[State, int]] = field(factory=dict, repr=False, init=False)
    _joint: dict[tuple[int, Weights], Replay[tuple[tuple[State, ...], int, Row]]] = field(
        factory=dict, repr=False, init=False
    )
    _rows: dict[tuple[int, tuple[Goal, ...]], Replay[Row]] = field(factory=dict, repr=False, init=False)

    def turned(self, turn: int) -> int:
        """Return a turn as this search counts it."""
        return turn if self.signed else turn % EIGHTHS

    def cost(self, way: Danceable) -> int:
        """Return what one figure adds to the cost of a row."""
        return _FIGURE + (0 if way.placed.figure in self.known else _UNKNOWN) + abs(way.turn)

    def order(self, row: Row) -> tuple[int, tuple[int, ...]]:
        """Return the place of a row in the written order: its cost, and the ranks of its figures."""
        return sum(self.cost(ways[0]) for ways in row), tuple(ways[0].rank for ways in row)

    def guide(self, ticks: int, starts: Weights, ends: tuple[frozenset[State], ...]) -> tuple[Guide, Children]:
        """Return the guide of rows of up to `ticks` from weights that end with one of `ends` each, and the nodes that
        are opened with it.

        It is the least cost of the rows that all can dance, by the turn of each alone; the greatest of these is exact
        where all turn alike, and elsewhere a lower bound.
        """
        steps = self._onward(starts)
        where = ticks, tuple(sorted(steps)), ends
        if where not in self._guides:
            number = {weights: place for place, weights in enumerate(sorted(steps))}
            made: dict[tuple[object, ...], Callable[[int, int, int], int]] = {}
            tables = []
            for at in range(len(starts)):
                begun = frozenset(
                    (number[weights], some[at][1])
                    for some in product(*ends)
                    if (weights := tuple(weight for weight, _ in some)) in number
                )
                back = tuple(
                    Move(length, number[after], number[now], -turns[at], cost)
                    for now, found in steps.items()
                    for length, after, turns, cost, _ in found
                )
                if (begun, back) not in made:
                    made[begun, back] = self._least(ticks, begun, back)
                tables.append(made[begun, back])

            def guide(left: int, states: tuple[State, ...]) -> int:
                now = number[tuple(weight for weight, _ in states)]
                return max([cost(left, now, state[1]) for cost, state in zip(tables, states, strict=True)])

            self._guides[where] = guide, {}
        return self._guides[where]

    def _least(self, ticks: int, begun: Collection[State], back: Sequence[Move]) -> Callable[[int, int, int], int]:
        """Return the least cost of each total from `begun` on; where turns are not totals, round the circle."""
        if self.signed:
            return Totals(ticks, begun, back).cost
        out: list[dict[State, int]] = [{} for _ in range(ticks + 1)]
        out[0] = dict.fromkeys(sorted(begun), 0)
        ordered = sorted(back)
        moves = {
            (now, turned): [
                (length, (before, (turned + turn) % EIGHTHS), more)
                for length, after, before, turn, more in ordered
                if after == now
            ]
            for now in {move.before for move in back}
            for turned in range(EIGHTHS)
        }
        for done, totals in enumerate(out):
            for state, cost in totals.items():
                for length, there, more in moves.get(state, ()):
                    if done + length > ticks:
                        break
                    known = out[done + length].get(there)
                    if known is None or cost + more < known:
                        out[done + length][there] = cost + more
        return lambda left, weights, turn: out[left].get((weights, turn), _NEVER)

    def steps(self, weights: Weights) -> list[Step]:
        """Return what one line can do from weights, each with the cheapest line that does it."""
        if weights not in self._steps:
            found: dict[tuple[int, Weights, Weights], tuple[int, tuple[Danceable, ...]]] = {}
            for ways in self.together(weights):
                after, turns = tuple(int(way.after) for way in ways), tuple(self.turned(way.turn) for way in ways)
                place, cost = (ways[0].ticks, after, turns), self.cost(ways[0])
                if place not in found or cost < found[place][0]:
                    found[place] = cost, ways
            self._steps[weights] = [(*place, *made) for place, made in found.items()]
        return self._steps[weights]

    def _onward(self, weights: Weights) -> dict[Weights, list[Step]]:
        """Return the steps from weights, and from all that can come after them."""
        found: dict[Weights, list[Step]] = {}
        pending = [weights]
        for now in pending:
            found[now] = self.steps(now)
            pending += dict.fromkeys(after for _, after, *_ in found[now] if after not in pending)
        return found

    def outcomes(self, ticks: int, weight: int) -> dict[State, int]:
        """Return the end states of rows of exactly `ticks` from a weight, each with its least cost; turns are
        totals."""
        if (ticks, weight) not in self._outcomes:
            moves = [
                Move(length, now, after, turn, cost)
                for (now,), found in self._onward((weight,)).items()
                for length, (after,), (turn,), cost, _ in found
            ]
            self._outcomes[ticks, weight] = Totals(ticks, ((weight, 0),), moves).after(ticks)
        return self._outcomes[ticks, weight]

    def joint(self, ticks: int, weights: Weights) -> Iterator[tuple[tuple[State, ...], int, Row]]:
        """Yield the joint end states of rows of exactly `ticks` from all of `weights` at once, the cheapest first, each
        with its cost and a row."""
        if (ticks, weights) not in self._joint:
            self._joint[ticks, weights] = Replay(self._joined(ticks, weights))
        return iter(self._joint[ticks, weights])

    def _joined(self, ticks: int, weights: Weights) -> Iterator[tuple[tuple[State, ...], int, Row]]:
        rest = self._rest(ticks, weights)
        start = tuple((weight, 0) for weight in weights)
        best: dict[Node, int] = {(ticks, start): 0}
        came: dict[Node, tuple[Node, tuple[Danceable, ...]]] = {}
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
            for length, after, turns, more, ways in self.steps(now):
                ahead = rest[left - length].get(after) if length <= left else None
                if ahead is None:
                    continue
                pairs = zip(after, states, turns, strict=True)
                there = left - length, tuple((one, self.turned(turned + turn)) for one, (_, turned), turn in pairs)
                if cost + more < best.get(there, _NEVER):
                    best[there] = cost + more
                    came[there] = node, ways
                    heappush(heap, (cost + more + ahead, cost + more, there))

    def _rest(self, ticks: int, weights: Weights) -> list[dict[Weights, int]]:
        """Return the least cost of so many ticks from some weights, however they turn."""
        steps = self._onward(weights)
        rest: list[dict[Weights, int]] = [dict.fromkeys(steps, 0)]
        for left in range(1, ticks + 1):
            here = {}
            for now, moves in steps.items():
                some = [
                    rest[left - one[0]][one[1]] + one[3]
                    for one in moves
                    if one[0] <= left and one[1] in rest[left - one[0]]
                ]
                if some:
                    here[now] = min(some)
            rest.append(here)
        return rest

    def lines(self, weight: int) -> dict[Written, Danceable]:
        """Return the ways from a weight by the text that writes them: figure, turn and named foot."""
        if weight not in self._lines:
            self._lines[weight] = self._plain(Weight(weight)) if weight < CROSSED else self._loose(weight)
        return self._lines[weight]

    def _plain(self, weight: Weight) -> dict[Written, Danceable]:
        line = {way.written: way for way in self.repertoire.ways[weight]}
        if weight is not Weight.BOTH:
            # From one foot the line of a figure does not name it; but it may, if it is the foot that is free.
            line.update({(figure, turn, way.placed.lead): way for (figure, turn, _), way in tuple(line.items())})
        return line

    def _loose(self, number: int) -> dict[Written, Danceable]:
        """Return the ways from a weight marked `CROSSED` or `LOOSE`: turns are danced as written."""
        weight, swapped = Weight(number % CROSSED), number < LOOSE
        own = {
            (way.placed.figure, way.placed.lead): way
            for way in self.repertoire.ways[weight]
            if way.placed.eighths is None
        }
        out: dict[Written, Danceable] = {}
        for way in sorted((way for ways in self.repertoire.ways.values() for way in ways), key=lambda way: way.rank):
            figure, turn = way.placed.figure, way.placed.eighths
            for lead in (None, *Foot):
                danced = own.get((figure, lead.other if lead is not None and swapped else lead))
                if danced is None:
                    continue
                both = weight is Weight.BOTH and lead is not None
                placed = evolve(way.placed, lead=lead, named=both)
                made = Danceable(
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

    def together(self, weights: tuple[int, ...]) -> Iterator[tuple[Danceable, ...]]:
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
        starts, ends = [], []
        for start, wanted in asked.items():
            turn = -min(turn for _, turn in wanted) if self.signed else 0  # one table does for every total
            starts.append((start, turn))
            ends.append(frozenset((weight, end + turn) for weight, end in wanted))
        root = tuple(starts)
        guide, children = self.guide(ticks, tuple(asked), tuple(ends))
        if guide(ticks, root) < _NEVER:
            places = [list(asked).index(goal.start) for goal in goals]
            for row in Run(self, guide, children, limits, limit).rows((ticks, root)):
                yield tuple(tuple(ways[place] for place in places) for ways in row)


def _traced(node: Node, came: dict[Node, tuple[Node, tuple[Danceable, ...]]]) -> Row:
    row = []
    while node in came:
        node, ways = came[node]
        row.append(ways)
    return tuple(reversed(row))
