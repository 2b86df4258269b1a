"""Effects: composition, union, powers."""

from hypothesis import given
from hypothesis import strategies as st

from stepcheck.model.dance import Weight
from stepcheck.walk.effects import WEIGHTS, Algebra, Effect, Entry, follow, join, rotated
from tests.profiles import law

ALGEBRA = Algebra()

entries = st.builds(
    lambda turns, low, long, loose: Entry(tuple(sorted(turns)), loose, low, low + long),
    st.sets(st.integers(-12, 12), min_size=1, max_size=3),
    st.integers(0, 48),
    st.integers(0, 12),
    st.sampled_from((0, 0, 1, 0b10001)),
)
effects = st.lists(st.none() | entries, min_size=9, max_size=9).map(
    lambda cells: ALGEBRA.effect((cells[:3], cells[3:6], cells[6:]))
)


def table(effect: Effect) -> dict[tuple[Weight, Weight], Entry]:
    """Return the entries by the weights before and after."""
    return {(before, after): entry for before, after, entry in effect.entries()}


def test_rotations_add_up_modulo_eight() -> None:
    """Every sum of a turn of one set and a turn of the other is there, and no other."""
    assert 1 << 1 | 1 << 5 == rotated(1 << 7 | 1 << 3, 1 << 2)
    assert 0 == rotated(0, 255)


def test_one_way_after_another_adds_lengths_and_turns() -> None:
    """Lengths and exact turns add up; what is loose once stays loose."""
    quarter, loose = Entry((2,), 0, 24, 24), Entry((), 1 << 1, 12, 24)

    assert Entry((4,), 0, 48, 48) == follow(quarter, quarter)
    assert Entry((), 1 << 3, 36, 48) == follow(quarter, loose)
    assert Entry((0, 2, 4), 0, 4, 4) == follow(Entry((0, 2), 0, 2, 2), Entry((0, 2), 0, 2, 2))


def test_joined_ways_keep_the_least_and_the_greatest() -> None:
    """Either of two ways: every turn, the least and the greatest length."""
    assert Entry((-2, 0, 2), 0, 12, 36) == join(Entry((-2, 0), 0, 12, 24), Entry((2,), 0, 24, 36))
    assert join(None, None) is None


def test_of_very_many_turns_the_ends_are_kept_for_each_facing() -> None:
    """A billion choices of a quarter turn or none: the least and the greatest turn that leave each wall, and that there
    are more."""
    rows = ((Entry((0, 2), 0, 12, 12), None, None), (None,) * 3, (None,) * 3)
    entry = table(ALGEBRA.power(ALGEBRA.effect(rows), 10**9))[Weight.LEFT, Weight.LEFT]

    assert entry.more and 0b01010101 == entry.facings
    assert (0, 2 * 10**9) == (entry.turns[0], entry.turns[-1])
    assert 8 == len(entry.turns)


def test_equal_effects_are_one() -> None:
    """An algebra makes each effect once, so that they can be compared by identity."""
    rows = ((None, Entry((0,), 0, 12, 12), None), (None,) * 3, (None,) * 3)

    assert ALGEBRA.effect(rows) is ALGEBRA.effect(rows)


def test_a_billion_times_costs_no_more_than_a_few() -> None:
    """A power by squaring: a quarter turn and a beat, a billion times."""
    step = ALGEBRA.effect(((None, Entry((2,), 0, 12, 12), None), (Entry((2,), 0, 12, 12), None, None), (None,) * 3))
    found = table(ALGEBRA.power(step, 10**9))

    assert Entry((2 * 10**9,), 0, 12 * 10**9, 12 * 10**9) == found[Weight.LEFT, Weight.LEFT]
    assert {(Weight.LEFT, Weight.LEFT), (Weight.RIGHT, Weight.RIGHT)} == set(found)


@law(60)
@given(effects, effects, effects)
def test_composition_does_not_care_for_brackets(one: Effect, two: Effect, three: Effect) -> None:
    """(a b) c is a (b c)."""
    assert ALGEBRA.then(ALGEBRA.then(one, two), three) is ALGEBRA.then(one, ALGEBRA.then(two, three))


@law(60)
@given(effects, st.integers(0, 9))
def test_k_repeats_are_the_kth_power(effect: Effect, times: int) -> None:
    """Dancing k times over is the k-th power."""
    one_by_one = ALGEBRA.start(WEIGHTS)
    for _ in range(times):
        one_by_one = ALGEBRA.then(one_by_one, effect)

    assert one_by_one is ALGEBRA.power(effect, times)


@law(60)
@given(effects, effects)
def test_either_is_the_same_from_either_side(one: Effect, two: Effect) -> None:
    """Joining is commutative and idempotent."""
    assert ALGEBRA.either(one, two) is ALGEBRA.either(two, one)
    assert ALGEBRA.either(one, one) is one
