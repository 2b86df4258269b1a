"""The feet with which a body that is laid out can begin."""

from stepcheck.model.claims import Check, Claim, Kind, Test
from stepcheck.model.dance import Choice, Rest, Weight
from stepcheck.program.claims import first_weights
from tests.programs import BACK, Maker, step

EITHER = (Weight.LEFT, Weight.RIGHT)


def headed(line: int, foot: int, *inner: object) -> tuple[object, ...]:
    """Return what is laid of a heading of counts that names a foot."""
    counts, lead = Claim(f"n{line}", Kind.COUNTS, line, "counts"), Claim(f"f{line}", Kind.LEAD, line, "foot")
    return (
        Check(line, counts, Test.CLOCK, 0, opens=True),
        Check(line, lead, Test.LEAD, foot),
        *inner,
        Check(line, counts, Test.CLOCK, 12),
    )


def test_the_foot_of_a_heading_is_that_of_its_first_line() -> None:
    """Where nothing is danced under it, the next heading names the foot, and where nothing names one, it may be
    either."""
    left, right = (Weight.RIGHT,), (Weight.LEFT,)
    none = frozenset[int]()

    assert left == first_weights((*headed(5, 0, step(BACK)), *headed(7, 1, step(BACK))), none)
    assert right == first_weights((*headed(5, 0), *headed(7, 1, step(BACK))), none)
    assert right == first_weights((*headed(5, 0, Rest(1, 12)), *headed(7, 1, step(BACK))), none)
    assert left == first_weights((*headed(7, 0, *headed(5, 1)[:1], step(BACK)), *headed(9, 1, step(BACK))), none)
    assert EITHER == first_weights((step(BACK), *headed(7, 1, step(BACK))), none)
    assert EITHER == first_weights((*headed(5, 0), *headed(7, 1)), none)


def test_the_first_foot_behind_alternatives_is_that_of_all() -> None:
    """An alternative in which nothing is danced leads on to what stands right behind it."""
    maker = Maker()
    lead, other = maker.check(Test.LEAD, 0), maker.check(Test.LEAD, 1)
    none = frozenset[int]()

    assert (Weight.RIGHT,) == first_weights((Choice(1, None, ((), ())), lead, step(BACK)), none)
    assert (Weight.RIGHT,) == first_weights((Choice(1, None, ((), (lead, step(BACK)))), lead, step(BACK)), none)
    assert EITHER == first_weights((Choice(1, None, ((), (other, step(BACK)))), lead, step(BACK)), none)
    assert (Weight.RIGHT,) == first_weights((Rest(1, 12), Choice(1, None, ((), ())), lead, step(BACK)), none)
    assert (Weight.RIGHT,) == first_weights((Rest(1, 12), Choice(1, None, ((), ())), lead, other, step(BACK)), none)
