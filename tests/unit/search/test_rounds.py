"""Rounds of a dance, with a way through its nodes that each test makes up."""

from types import SimpleNamespace
from typing import Any

import pytest

from stepcheck.model.dance import Forever, Uncut
from stepcheck.search.rounds import Rounds, _lapped
from stepcheck.search.transitions import Dancers, Result, Scope

SKETCH: Any = SimpleNamespace(nodes=lambda body: body)


def rounds(lasting: int, price: int = 0) -> Rounds:
    """Return rounds of nodes that last some ticks, and hold for a price only."""

    def ways(nodes: object, dancers: Dancers, scope: Scope, budget: int) -> list[Result]:
        after = tuple((origin, weight, turn + 2, clock + lasting) for origin, weight, turn, clock in dancers)
        return [Result(after, 0, price, ())] if budget >= price else []

    reached: Any = SimpleNamespace(within=lambda _: 0)
    return Rounds(SKETCH, ways, SimpleNamespace(nodes=lambda *_: ()), reached)  # type: ignore[arg-type]


def test_nothing_is_changed_the_second_time() -> None:
    """A claim that fails then fails, whatever a change costs."""
    assert [] == rounds(12, price=1).again((), ((1, 1, 0, 0),), Scope({}))


def test_a_lap_leaves_its_turn_and_its_weight() -> None:
    """Eight bits for the turn from where it began, three for the weight, for each reading."""
    alone = Result(((1, 0, 5, 48), (4, 2, 3, 48)), 0, 0, ())
    assert (1 << 2 | 256) | (1 << 0 | 1024) << 11 == _lapped(0, (1, 1, 3, 24), alone)
    assert 7 << 20 | 1 << 2 | 256 == _lapped(7 << 20, (1, 1, 3, 24), alone._replace(dancers=alone.dancers[:1]))


@pytest.mark.parametrize(
    ("clocks", "lasting", "ends"),
    [
        ((300, 300), 30, [(1_200, 60), (1_200, 60)]),  # 900 ticks are left: 30 laps, two eighths each
        ((300, 301), 30, None),  # they are not together
        ((300, 300), 0, None),  # nothing is danced
        ((300, 300), -12, None),
    ],
)
def test_laps_until_the_music_ends(clocks: tuple[int, int], lasting: int, ends: list[tuple[int, int]] | None) -> None:
    """As many as fit, for dancers who are all as far in the music."""
    dancers = tuple((number, number, 0, int(f"{clock}")) for number, clock in enumerate(clocks))  # each a number anew
    found = [*rounds(lasting).lasting(Uncut(0, (), 0, 1_200), dancers, Scope({}), 0)]
    assert ends == ([(clock, turn) for _, _, turn, clock in found[0].dancers] if found else None)
    assert len(found) <= 1


def test_endless_laps_come_to_every_facing_once() -> None:
    """Four quarter turns lead home."""
    found = [*rounds(12).endless(Forever(0, ()), ((1, 1, 0, 0),), Scope({}), 0)]
    assert [{0, 2, 4, 6}] == [{turn % 8 for _, _, turn, _ in one.dancers} for one in found]
