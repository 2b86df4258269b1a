"""The least costs of totals are those of adding everything up."""

from itertools import product
from random import Random

from stepcheck.breaks.runs import NEVER, Move, Totals


def added_up(ticks: int, begun: tuple[tuple[int, int], ...], moves: list[Move]) -> dict[tuple[int, int, int], int]:
    """Return the least cost of every total by trying every row of moves."""
    found = {(0, weight, turn): 0 for weight, turn in begun}
    waiting = list(found)
    for long, weight, turn in waiting:
        for move in moves:
            if move.before == weight and long + move.ticks <= ticks:
                there = long + move.ticks, move.after, turn + move.turn
                cost = found[long, weight, turn] + move.cost
                if cost < found.get(there, NEVER):
                    found[there] = cost
                    waiting.append(there)
    return found


def test_totals_are_those_of_adding_up() -> None:
    """For every length, weight and turn the cost is that of the cheapest row, and there is none where no row leads."""
    for number in range(40):
        random = Random(number)
        moves = [
            Move(
                random.randint(1, 3),
                random.randint(0, 2),
                random.randint(0, 2),
                random.choice((-2, 0, 0, 1, 2)),
                random.randint(1, 5),
            )
            for _ in range(random.randint(1, 6))
        ]
        begun = ((0, 0), (1, random.choice((0, 2, 3))))
        theirs, ours = added_up(6, begun, moves), Totals(6, begun, moves)
        for long, weight, turn in product(range(7), range(3), range(-14, 15)):
            assert min(theirs.get((long, weight, turn), NEVER), NEVER) == min(ours.cost(long, weight, turn), NEVER)
        assert {place[1:]: cost for place, cost in theirs.items() if place[0] == 6} == ours.after(6)
