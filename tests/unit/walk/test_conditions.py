"""What each test asks of a dancer; `tests/laws/test_checks.py` holds the engine and the judge to a table of dancers."""

import pytest

from stepcheck.model.claims import Test, looking_at
from stepcheck.model.dance import Weight
from stepcheck.walk import conditions, stands
from tests.programs import Maker


def test_a_foot_to_be_found_is_no_condition_yet() -> None:
    """What a blank asks is known once it is filled: until then any dancer may be right, and nothing reads a value."""
    blank = Maker().check(Test.LEAD)

    assert blank.blank
    assert stands.fits(stands.State(Weight.BOTH, 0), blank, 0)
    with pytest.raises(AssertionError):
        conditions.asked(blank)


def test_every_test_is_about_one_property() -> None:
    """Whatever looks for the tests of a property finds each test once."""
    every = [looking_at(about) for about in ("weight", "facing", "turn", "clock")]

    assert frozenset(Test) == frozenset().union(*every)
    assert len(Test) == sum(map(len, every))
