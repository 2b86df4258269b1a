"""Transitions of dancers for whom every claim holds, against the plain enumeration of all dances."""

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stepcheck.model.claims import Check, Test
from stepcheck.model.dance import Body, Choice, Figure, Foot, Item, Repeat, Rest, Timed, Together, Weight
from stepcheck.model.movements import Movement
from stepcheck.search.transitions import Transitions, fits, lasting, mended, moved, timeless
from tests import dancers
from tests.laws.test_checks import checks
from tests.profiles import law
from tests.program_reference import Naive, State
from tests.programs import (
    BACK,
    BOUNCE,
    CHANGE,
    FREE,
    LEAP,
    NOBODY,
    POINT,
    SPIN,
    STEP,
    STOMP,
    SWING,
    Maker,
    figure,
    step,
    word,
)

TURNING = figure("Stomp Turn", STOMP, turn=2)


@st.composite
def bodies(draw: st.DrawFn, maker: Maker, pool: tuple[Figure, ...], depth: int = 1) -> Body:
    """Draw a body without parts."""

    def item() -> Item:
        kinds = ["step"] * 4 + ["rest", "foot", "foot", "facing"] + ["choice", "choice", "repeat", "timed"] * depth
        match draw(st.sampled_from(kinds)):
            case "step":
                return step(draw(st.sampled_from(pool)), draw(st.sampled_from((None, None, 0, 3, -2))))
            case "rest":
                return Rest(1, 5)
            case "foot":
                test = draw(st.sampled_from((Test.LEAD, Test.FOOT, Test.BOTH)))
                return maker.check(test, None if test is Test.BOTH else draw(st.sampled_from(Foot)))
            case "facing":
                facing = maker.check(Test.FACING, draw(st.sampled_from((0, 2, 3))))
                return Together((facing,)) if draw(st.booleans()) else facing
            case "choice":
                options = tuple(draw(bodies(maker, pool, 0)) for _ in range(2))
                return Choice(1, None, options) if draw(st.booleans()) else maker.choice(*options)
            case "repeat":
                return Repeat(1, draw(st.integers(1, 5)), draw(bodies(maker, pool, 0)))
        return Timed(draw(bodies(maker, pool, 0)), 24)

    return tuple(item() for _ in range(draw(st.integers(0, 3))))


BEGUN = st.tuples(st.sampled_from(Weight), st.sampled_from((0, 5, -11)), st.sampled_from((0, 7)))


@law(80)
@given(st.data(), st.lists(BEGUN, min_size=1, max_size=2, unique=True), st.sampled_from((0, 3)))
def test_dancers_are_moved_as_all_their_dances_go(
    data: st.DataObject, begun: list[tuple[Weight, int, int]], front: int
) -> None:
    """Under each reading of a word; there is no way on where a claim fails for one of them."""
    maker = Maker()
    pool = (CHANGE, BACK, SPIN, SWING, LEAP, POINT, figure("Bounce", BOUNCE, turn=2), TURNING)
    body = data.draw(bodies(maker, pool))
    program = maker.program(step(TURNING), *body, words=(word(STOMP),))
    transitions = Transitions(program)
    assert transitions.assignments == (0, 1)
    transition = transitions.body(body)
    for place in transitions.assignments:
        naive = Naive(program, {STOMP.name: transitions.words.readings(place)[0]}, {})
        # Of the time before nothing is looked at, but in a stretch that lasts what it is said to.
        ends: set[tuple[int, int, int, int]] = set()
        for weight, turn, clock in begun:
            after = naive.body(body, {State(int(weight), turn)}, front)
            ends |= {(3 * place + weight, one.weight, one.turn, clock + one.clock) for one in after}
        there = moved(transition, tuple((3 * place + w, int(w), turn, clock) for w, turn, clock in begun), front)
        assert there == (None if naive.failed else tuple(sorted(ends)))


def test_a_deed_may_have_to_last_so_long() -> None:
    """Each way of it."""
    transitions = Transitions(Maker().program(step(CHANGE)))
    both = transitions.body((Choice(1, None, ((step(CHANGE),), (step(BACK),))),))

    assert transitions.body((step(BACK),)) == lasting(transitions.body((step(BACK),)), 24)
    assert (None,) * 3 == lasting(both, 24) == lasting(transitions.step(BACK), 12)
    timed = Timed((step(BACK), Maker().check(Test.CLOCK, 24)), None)
    assert transitions.step(BACK) == transitions.item(timed)


@pytest.mark.parametrize("test", Test)
def test_single_dancers_are_judged_and_mended_by_the_table(test: Test) -> None:
    """As everywhere; but a facing that is put right is a turn to the right that is known."""

    def wanted(check: Check, dancer: dancers.Dancer, front: int) -> tuple[int, int, int]:
        weight, turn, facing, ticks = dancers.mended(check, dancer, front)
        if turn is None:
            assert dancer[1] is not None
            turn = dancer[1] + (facing - dancer[2]) % 8
        return int(weight), turn, ticks

    for check, front, weight, turn, clock in product(checks(test), (0, 3), Weight, (-8, -2, 0, 4, 8, 10), (0, 12)):
        if check.blank:
            continue
        dancer = weight, turn, turn % 8, clock
        made = ((3 + weight, int(weight), turn, clock),)
        assert fits(check, made, front) is dancers.right(check, dancer, front)
        assert mended(check, made, front) == ((3 + weight, *wanted(check, dancer, front)),)


def test_all_dancers_have_to_fit() -> None:
    """Two of whom one fails do not; both are mended, and are one where they are alike then."""
    maker = Maker()
    two = ((0, 0, 2, 12), (0, 1, 2, 24))
    foot, clock, facing = maker.check(Test.FOOT, Foot.RIGHT), maker.check(Test.CLOCK, 24), maker.check(Test.FACING, 5)

    assert [False, False, True] == [fits(one, two, 3) for one in (foot, clock, facing)]
    assert ((0, 0, 2, 12), (0, 0, 2, 24)) == mended(foot, two, 3)
    assert ((0, 0, 2, 12),) == mended(foot, ((0, 0, 2, 12), (0, 1, 2, 12)), 3)
    assert two == mended(facing, two, 3) and ((0, 0, 4, 12), (0, 1, 4, 24)) == mended(facing, two, 1)
    assert ((0, 0, 2, 0), (0, 1, 7, 0)) == timeless(((0, 1, -9, 5), (0, 0, 10, 3), (0, 0, 2, 1)))


@pytest.mark.parametrize(
    ("turn", "facing", "holds"), [(2, 5, True), (2, 1, False), (-3, 0, True), (-3, 6, False), (9, 4, True)]
)
def test_a_facing_is_looked_at_where_it_is_claimed(turn: int, facing: int, holds: bool) -> None:
    """Behind the turns before it on the way, not those behind it."""
    maker = Maker()
    body: Body = (step(CHANGE, turn), maker.check(Test.FACING, facing), step(CHANGE, 1))
    found = moved(Transitions(maker.program(*body)).body(body), ((1, 1, 0, 7),), 3)
    assert found == (((1, 1, turn + 1, 31),) if holds else None)


def test_a_reading_that_nobody_can_mean_has_no_deeds() -> None:
    """Only the others are gone through."""
    sway = Movement("sway", ("SWAY",), (FREE, NOBODY))
    bound = step(figure("Bound Sway", sway, (STEP, Foot.LEFT)))
    assert (1,) == Transitions(Maker().program(bound, words=(word(sway),))).assignments
