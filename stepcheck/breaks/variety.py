"""The choice of rows that a teacher would offer: few figures, known to the class, unlike their neighbours and each
other."""

from collections.abc import Collection, Iterator

from attrs import evolve

from stepcheck.breaks.requests import Break, Request
from stepcheck.model.dance import TICKS, Figure

STEPS = (2, 4)
"""How many figures a teacher takes for eight beats or more."""
LONG = 8 * TICKS
POOL = 40
"""The number of rows searched for those that differ."""


def varied(asked: Request, beside: Collection[Figure], limit: int) -> tuple[Break, ...]:
    """Return rows for a request, first those that a teacher would offer.

    Args:
        asked: the request; what it asks of the number of figures holds, else it is two to four from eight beats on.
        beside: the figures before and after the row, which do not stand in it as long as there are others.
        limit: how many rows.
    """
    few = asked
    if asked.limits.steps is None and asked.ticks >= LONG:
        few = evolve(asked, limits=evolve(asked.limits, steps=STEPS))
    new = tuple(figure for figure in asked.figures if figure not in asked.known and figure not in asked.limits.wanted)
    near = tuple(figure for figure in beside if figure not in asked.limits.wanted)
    barred = ((*near, *new), new, near, ())
    found: dict[tuple[str, ...], Break] = {}
    for stage in (*(evolve(few, unwanted=(*asked.unwanted, *some)) for some in barred), asked):
        for row in _apart(stage.found(max(POOL, limit)), tuple(found.values())):
            if len(found) == limit:
                return tuple(found.values())
            found.setdefault(row.lines, row)
    return tuple(found.values())


def _apart(rows: tuple[Break, ...], before: tuple[Break, ...]) -> Iterator[Break]:
    """Yield rows, always next the one that shares the fewest figures with those before; of these the first.

    Rows of several figures come before those of one that is danced several times.
    """
    taken = [_kinds(row) for row in before]
    left = sorted(rows, key=lambda row: len(_kinds(row)) == 1)
    while left:
        at = min(
            range(len(left)),
            key=lambda number: (max((_shared(_kinds(left[number]), one) for one in taken), default=0), number),
        )
        row = left.pop(at)
        taken.append(_kinds(row))
        yield row


def _kinds(row: Break) -> frozenset[str]:
    return frozenset(one.name for one in row.figures)


def _shared(one: frozenset[str], other: frozenset[str]) -> float:
    """Return which part of the figures two rows have in common."""
    return len(one & other) / len(one | other)
