"""The least cost of everything that rows can add up to: the weight after so many ticks, and the signed turn in all.

Turns are in eighths.  For each length and weight the costs stand in a row, one for each turn, since very many turns can
come of a long row and each is looked at once for each figure.
"""

from collections.abc import Iterable, Sequence
from math import gcd
from typing import NamedTuple

NEVER = 1 << 80


class Move(NamedTuple):
    """What one figure, or its reverse, adds: its ticks, the weights before and after it, its turn and its cost."""

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
    """The least cost of every total, by ticks, weight and turn.

    Args:
        ticks: how long rows are.
        begun: the totals that nothing has been added to, as weights and turns.
        moves: what can be added.
        most: how far what has been added so far may turn after so many ticks, if that is bounded.
    """

    def __init__(
        self, ticks: int, begun: Iterable[tuple[int, int]], moves: Iterable[Move], most: Sequence[int] | None = None
    ) -> None:
        starts, steps = sorted(begun), sorted(moves)
        first = starts[0][1] if starts else 0
        self.unit = gcd(*(move.turn for move in steps), *(turn - first for _, turn in starts)) or 1
        self.first = first
        self._found: list[dict[int, Costs]] = [{}]
        for weight, turn in starts:
            self._found[0][weight] = _least(
                [self._found[0].get(weight, _NONE), Costs((turn - first) // self.unit, [0])]
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
                if most is not None:
                    made = _within(made, most[done] // self.unit)
                if made.values:
                    here[after] = made
            self._found.append(here)

    def cost(self, ticks: int, weight: int, turn: int) -> int:
        """Return the least cost of a total, `NEVER` or more if there is no such."""
        costs = self._found[ticks].get(weight)
        place, rest = divmod(turn - self.first, self.unit)
        if costs is None or rest or not 0 <= place - costs.least < len(costs.values):
            return NEVER
        return costs.values[place - costs.least]

    def after(self, ticks: int) -> dict[tuple[int, int], int]:
        """Return the totals after so many ticks, as weights and turns, each with its cost."""
        return {
            (weight, self.first + self.unit * (costs.least + place)): value
            for weight, costs in sorted(self._found[ticks].items())
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


def _within(costs: Costs, most: int) -> Costs:
    """Return the costs of turns up to `most`, to either side."""
    low, high = max(costs.least, -most), min(costs.least + len(costs.values) - 1, most)
    return Costs(low, costs.values[low - costs.least : high - costs.least + 1] if low <= high else [])


def reach(ticks: int, moves: Iterable[Move]) -> list[int]:
    """Return how far rows of each length up to `ticks` can turn, to whichever side."""
    farthest: dict[int, int] = {}
    for move in moves:
        farthest[move.ticks] = max(farthest.get(move.ticks, 0), abs(move.turn))
    found = [0]
    for done in range(1, ticks + 1):
        found.append(
            max([found[done - 1], *(found[done - long] + turn for long, turn in farthest.items() if long <= done)])
        )
    return found
