"""What is kept of all that may come of a repeat in which dancers part, and that it is enough for every claim."""

from collections.abc import Callable

import pytest

from stepcheck.model.claims import Test
from stepcheck.model.dance import Body, Choice, Foot, Repeat, Rest
from stepcheck.proof.decide import decide
from stepcheck.proof.ways import Group, grouped, one_after_other
from tests.program_reference import verdicts
from tests.programs import BACK, CHANGE, LEAP, SPIN, STOMP, Maker, figure, part, step, word


def test_ends_are_grouped_by_foot_and_facing() -> None:
    """With the two least turns and the greatest, loose ones by facing, and the shortest and longest time."""
    ends = [(0, 0, 2, 12), (0, 0, 26, 48), (0, 0, 10, 36), (0, 0, 18, 5), (0, 1, 10, 7), (0, 1, 2, 9), (1, 0, -6, 1)]

    assert (Group(0, 0, (2, 10, 26), 5, 48), Group(0, 1, (2,), 7, 9), Group(1, 0, (-6,), 1, 1)) == grouped(ends)
    assert [(0, 0, turn, ticks) for turn in (2, 10, 26) for ticks in (5, 48)] == [*grouped(ends)[0].ends()]
    assert [(1, 0, -6, 1)] == [*grouped(ends)[2].ends()]
    assert () == grouped([])


@pytest.mark.parametrize("facings", [True, False])
def test_tables_one_after_the_other(facings: bool) -> None:
    """The second begins on the foot, and with the facing if it matters, on which the first ends; all sums are there."""
    first = {(0, 2 if facings else 0): grouped([(1, 0, 3, 12), (0, 1, 4, 24)])}
    second = {
        (1, 5 if facings else 0): grouped([(0, 0, 1, 12), (1, 0, -2, 24)]),
        (0, 6 if facings else 0): grouped([(1, 0, 2, 6)]),
    }
    found = one_after_other(first, second, facings)

    assert {(0, 2 if facings else 0): grouped([(0, 0, 4, 24), (1, 0, 1, 36), (1, 1, 6, 30)])} == found


TURNING = figure("Stomp Turn", STOMP, turn=2)


def varied(*options: Body) -> Choice:
    """Return options that are not compared."""
    return Choice(1, None, options)


BODIES: dict[str, tuple[Callable[[Maker], Body], tuple[tuple[Test, int | None], ...]]] = {
    "turns": (
        lambda m: (varied((step(CHANGE, 2),), (step(CHANGE),)),),
        ((Test.TURN, 0), (Test.FACING, 4), (Test.CLOCK, 108)),
    ),
    "either side": (
        lambda m: (varied((step(BACK, 4),), (step(BACK, -4),)),),
        ((Test.EITHER, 4), (Test.FACING, 4), (Test.EITHER, 36)),
    ),
    "lengths": (
        lambda m: (varied((step(CHANGE),), (step(CHANGE), Rest(1, 12))),),
        ((Test.CLOCK, 216), (Test.FOOT, Foot.RIGHT)),
    ),
    "feet": (
        lambda m: (varied((step(CHANGE),), (step(BACK),)),),
        ((Test.FOOT, Foot.LEFT), (Test.TURN, 0), (Test.CLOCK, 216)),
    ),
    "a facing inside": (
        lambda m: (varied((step(CHANGE, 2),), (step(CHANGE, 4),)), m.check(Test.FACING, 2)),
        ((Test.FACING, 2), (Test.TURN, 18)),
    ),
    "an order inside": (
        lambda m: (varied((step(CHANGE),), (step(BACK),)), m.check(Test.LEAD, Foot.RIGHT)),
        ((Test.LEAD, Foot.RIGHT), (Test.CLOCK, 108)),
    ),
    "both feet": (lambda m: (step(LEAP), step(SPIN)), ((Test.TURN, 2), (Test.FOOT, Foot.RIGHT), (Test.CLOCK, 324))),
}


@pytest.mark.parametrize("name", BODIES)
def test_what_is_kept_decides_every_claim(name: str) -> None:
    """Many times over, for claims that hold and claims that fail, as all dances do."""
    make, claims = BODIES[name]
    maker = Maker()
    body = make(maker)
    program = maker.program(part(Repeat(1, 9, body), *(maker.check(*claim) for claim in claims)))
    assert verdicts(program) == {one.claim: one.verdict for one in decide(program)}


def test_every_word_is_read_in_each_way() -> None:
    """In a repeat, too."""
    maker = Maker()
    body: Body = (varied((step(TURNING),), (step(CHANGE),)), maker.check(Test.FACING, 2))
    program = maker.program(
        Repeat(1, 9, body), maker.check(Test.FOOT, Foot.RIGHT), maker.check(Test.LEAD, Foot.LEFT), words=(word(STOMP),)
    )
    assert verdicts(program) == {one.claim: one.verdict for one in decide(program)}
