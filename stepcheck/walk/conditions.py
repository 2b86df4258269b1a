"""What each test asks: the meaning that the first engine gives to checks, in one table.

Whatever follows dancers without a solver takes it from here: fixes, notes, the floor.
"""

from functools import lru_cache

from stepcheck.model.claims import Check, Condition, Test
from stepcheck.model.dance import Weight


@lru_cache(maxsize=1 << 12)
def condition(test: Test, value: int | None) -> Condition:
    """Return what a test asks with a value; a foot that is to be found is no condition yet."""
    if test is Test.BOTH:
        return Condition((Weight.BOTH,), Weight.BOTH)
    assert value is not None
    match test:
        case Test.LEAD:
            return Condition((Weight(1 - value), Weight.BOTH), Weight(1 - value), settles=True)
        case Test.FOOT:
            return Condition((Weight(1 - value),), Weight(1 - value))
        case Test.FACING | Test.CLOCK:
            return Condition((value,), value)
        case Test.TURN:
            return Condition((value,), value, settles=True)
        case Test.EITHER:
            return Condition((value, -value) if value % 4 == 0 else (), value)


def asked(check: Check) -> Condition:
    """Return what a check asks."""
    return condition(check.test, check.value)
