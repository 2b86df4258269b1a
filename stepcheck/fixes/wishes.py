"""The blanks of a line in a search for fixes: the most favourable filling is assumed.

A blank row may have any effect; whether a row with that effect exists is for `breaks.fill` to say.
"""

from collections.abc import Iterator

from attrs import evolve

from stepcheck.fixes.transitions import Deed, Deeds, Way
from stepcheck.model.dance import Body, Gap, Item, Repeat, Step
from stepcheck.model.items import Mapped, every

TURNS = tuple(range(-8, 9))
MOST_TIMES = 64
BOTH = 2


def wishes(deeds: Deeds, bodies: tuple[tuple[Body, int], ...]) -> Iterator[tuple[Deed, ...]]:
    """Yield the deeds of a line in each of its slots, for each filling of its blanks.

    Args:
        deeds: what figures do.
        bodies: for each slot its items, and -1 where turns are mirrored, else 1.
    """
    gap = next((item for body, _ in bodies for item in body if isinstance(item, Gap)), None)
    if gap is not None:
        yield from ((one,) * len(bodies) for one in _rows(deeds, gap.ticks))
        return
    for times in range(1, MOST_TIMES + 1) if any(_counts(body) for body, _ in bodies) else (1,):
        for turn in TURNS if any(_turns(body) for body, _ in bodies) else (0,):
            yield tuple(deeds.body(_filled(body, times, sign * turn)) for body, sign in bodies)


def _rows(deeds: Deeds, ticks: int) -> Iterator[Deed]:
    """Yield the possible deeds of a row; from the other foot it is mirrored, but written turns stay."""
    for turn in TURNS:
        for other in {turn, -turn}:
            for ends in ((0, 1), (1, 0), (BOTH, BOTH)):
                ways = tuple((Way(ends[weight], (other, turn)[weight], ticks),) for weight in (0, 1))
                row = (*ways, tuple(dict.fromkeys(ways[1] + ways[0])))
                yield row * len(deeds.assignments)


def _filled(body: Body, times: int, turn: int) -> Body:
    def change(item: Item) -> Body:
        match item:
            case Step(blank=True):
                return (evolve(item, turn=turn, blank=False),)
            case Repeat(times=None):
                return (evolve(item, times=times),)
        return (item,)

    return Mapped(change).body(body)


def _counts(body: Body) -> bool:
    return any(isinstance(item, Repeat) and item.times is None for item in every(body))


def _turns(body: Body) -> bool:
    return any(isinstance(item, Step) and item.blank for item in every(body))
