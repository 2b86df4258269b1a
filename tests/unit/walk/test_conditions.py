"""What each test asks of a dancer, as the first engine and as the judge have it, against the reference."""

from itertools import product

import pytest

from stepcheck.model.conditions import looking_at
from stepcheck.model.dance import Test, Weight
from stepcheck.report import replays
from stepcheck.walk import conditions, ways
from tests.program_reference import Naive, State
from tests.programs import Maker

VALUES: dict[Test, tuple[int | None, ...]] = {
    Test.LEAD: (0, 1),
    Test.FOOT: (0, 1),
    Test.BOTH: (None,),
    Test.FACING: (0, 2, 7),
    Test.CLOCK: (12, 36),
    Test.TURN: (2, -4, 10),
    Test.EITHER: (4, -12),
}
STATES = tuple(map(State._make, product(range(3), (-12, -4, 0, 2, 4, 10), (False, True), (0, 12))))


@pytest.mark.parametrize("framed", [False, True], ids=["in the dance", "in a pass"])
@pytest.mark.parametrize("test", Test, ids=lambda test: test.name)
def test_a_check_does_to_a_dancer_what_the_page_says(test: Test, framed: bool) -> None:
    """The engine and the judge, each by its own table, accept the dancers whom the reference accepts, which is written
    from `specs/meaning.md`, and let them go on as it does.  The judge counts from where the pass began, here facing 5
    eighths, after a turn of 1 eighth and 6 ticks."""
    maker, accepted = Maker(), set()
    naive = Naive(maker.program(), {}, {})
    front, more = (0, 5) if framed else (3, 0)
    for value, state in product(VALUES[test], STATES):
        check, (weight, turn, loose, clock) = maker.check(test, value), state
        here = ways.State(Weight(weight), (front + turn) % 8, turn, loose, clock)
        seen = replays.State(
            Weight(weight), (front + more + turn) % 8, turn + 1, loose, clock + 6, (front + more) % 8, 1, 6
        )
        holds, after = naive.holds(check, state, front), naive.taken(check, state, front)
        mine, judged = ways.taken(here, check, front), replays.taken(check, seen, framed)
        accepted.add(holds)

        assert holds == ways.fits(here, check, front) == replays.fits(check, seen, framed)
        assert (after.weight, after.clock, after.loose) == (mine.weight, mine.clock, mine.loose)
        assert (after.weight, after.clock + 6, after.loose) == (judged.weight, judged.clock, judged.loose)
        assert (front + after.turn) % 8 == mine.facing == (judged.facing - more) % 8
        assert after.loose or after.turn == mine.turn == judged.turn - 1

    assert accepted == {True, False}


def test_a_foot_to_be_found_is_no_condition_yet() -> None:
    """What a blank asks is known once it is filled: until then any dancer may be right, and nothing reads a value."""
    blank = Maker().check(Test.LEAD)

    assert blank.blank
    assert ways.fits(ways.State(Weight.BOTH, 0), blank, 0)
    with pytest.raises(AssertionError):
        conditions.asked(blank)


def test_every_test_is_about_one_property() -> None:
    """Whatever looks for the tests of a property finds each test once."""
    every = [looking_at(about) for about in ("weight", "facing", "turn", "clock")]

    assert frozenset(Test) == frozenset().union(*every)
    assert len(Test) == sum(map(len, every))
