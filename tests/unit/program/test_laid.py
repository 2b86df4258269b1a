"""Questions about a body that is laid out."""

from stepcheck.model.claims import Check, Claim, Kind, Test
from stepcheck.model.dance import Choice, Pass, Repeat, Rest, Weight
from stepcheck.program.laid import EITHER_FOOT, first_weights, passes
from tests.programs import BACK, Maker, step


def one(name: str, *body: object) -> Pass:
    """Return a pass of a part."""
    return Pass(1, name, 0, body)  # type: ignore[arg-type]


def test_the_passes_of_a_body_are_counted_by_part() -> None:
    """Those in passes and of each time of a repeat, too; of a blank number of times one."""
    inner = one("Inner", Rest(1, 12))
    body = (one("Outer", inner, inner), Repeat(1, 5, (inner, Repeat(1, 3, (inner,)))), Repeat(1, None, (inner,)))

    assert {"outer": 1, "inner": 2 + 5 + 15 + 1} == passes(body, {})
    assert {} == passes((Repeat(1, 2, (Rest(1, 12),)),), {})


def heading(line: int, foot: int, *inner: object) -> tuple[object, ...]:
    """Return what is laid of a heading of counts that names a foot."""
    counts, lead = Claim(f"n{line}", Kind.COUNTS, line, "counts"), Claim(f"f{line}", Kind.LEAD, line, "foot")
    return (
        Check(line, counts, Test.CLOCK, 0),
        Check(line, lead, Test.LEAD, foot),
        *inner,
        Check(line, counts, Test.CLOCK, 12),
    )


def test_the_foot_of_a_heading_is_that_of_its_first_line() -> None:
    """Where nothing is danced under it, the next heading names the foot, and where nothing names one, it may be
    either."""
    left, right = (Weight.RIGHT,), (Weight.LEFT,)
    none = frozenset[int]()

    assert left == first_weights((*heading(5, 0, step(BACK)), *heading(7, 1, step(BACK))), none)
    assert right == first_weights((*heading(5, 0), *heading(7, 1, step(BACK))), none)
    assert right == first_weights((*heading(5, 0, Rest(1, 12)), *heading(7, 1, step(BACK))), none)
    assert left == first_weights((*heading(7, 0, *heading(5, 1)[:1], step(BACK)), *heading(9, 1, step(BACK))), none)
    assert EITHER_FOOT == first_weights((step(BACK), *heading(7, 1, step(BACK))), none)
    assert EITHER_FOOT == first_weights((*heading(5, 0), *heading(7, 1)), none)


def test_the_first_foot_behind_alternatives_is_that_of_all() -> None:
    """An alternative in which nothing is danced leads on to what stands right behind it."""
    maker = Maker()
    lead, other = maker.check(Test.LEAD, 0), maker.check(Test.LEAD, 1)
    none = frozenset[int]()

    assert (Weight.RIGHT,) == first_weights((Choice(1, None, ((), ())), lead, step(BACK)), none)
    assert (Weight.RIGHT,) == first_weights((Choice(1, None, ((), (lead, step(BACK)))), lead, step(BACK)), none)
    assert EITHER_FOOT == first_weights((Choice(1, None, ((), (other, step(BACK)))), lead, step(BACK)), none)
    assert (Weight.RIGHT,) == first_weights((Rest(1, 12), Choice(1, None, ((), ())), lead, step(BACK)), none)
    assert (Weight.RIGHT,) == first_weights((Rest(1, 12), Choice(1, None, ((), ())), lead, other, step(BACK)), none)
