"""Effects: composition, union, powers."""

from functools import reduce

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stepcheck.model.dance import Weight
from stepcheck.walk.branches import Relations
from stepcheck.walk.effects import (
    WEIGHTS,
    Algebra,
    Effect,
    Entry,
    faced,
    follow,
    follow_each,
    join,
    rotated,
    step_effect,
    thinned,
)
from tests.profiles import law
from tests.programs import SPIN, step

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
    return {(before, after): entry for before, after, entry in effect.entries}


def power(effect: Effect, times: int) -> Effect:
    """Return an effect danced so many times, by the powers of the relation that it is."""
    relations = Relations(ALGEBRA)
    return reduce(relations.then, relations.powers((effect,), times, False), ALGEBRA.start(WEIGHTS))


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
    entry = table(power(ALGEBRA.effect(rows), 10**9))[Weight.LEFT, Weight.LEFT]

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
    found = table(power(step, 10**9))

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

    assert one_by_one is power(effect, times)


@law(60)
@given(effects, effects)
def test_either_is_the_same_from_either_side(one: Effect, two: Effect) -> None:
    """Joining is commutative and idempotent."""
    assert ALGEBRA.either(one, two) is ALGEBRA.either(two, one)
    assert ALGEBRA.either(one, one) is one


# -- one by one --------------------------------------------------------------------------------------------------------


def facings(bits: int) -> set[int]:
    """Return facings from their bits."""
    return {turn for turn in range(8) if bits >> turn & 1}


@law(60)
@given(entries, entries)
def test_what_follows_is_every_pair(one: Entry, other: Entry) -> None:
    """Every exact turn after every exact turn; a facing that is loose in either is loose; lengths add up."""
    found = follow(one, other)
    pairs = [(a, b, False) for a in one.turns for b in other.turns]
    pairs += [(a, b, True) for a in facings(one.loose) for b in facings(faced(other.turns) | other.loose)]
    pairs += [(a, b, True) for a in one.turns for b in facings(other.loose)]

    assert found.turns == tuple(sorted({a + b for a, b, loose in pairs if not loose}))
    assert facings(found.loose) == {(a + b) % 8 for a, b, loose in pairs if loose}
    assert (found.low, found.high, found.more) == (one.low + other.low, one.high + other.high, False)
    assert facings(found.facings) == {(a + b) % 8 for a, b, _ in pairs}
    assert found.walls(3) == tuple(sorted({(3 + a + b) % 8 for a, b, _ in pairs}))


@law(60)
@given(entries, entries)
def test_what_is_joined_is_either(one: Entry, other: Entry) -> None:
    """Every turn and facing of both, from the shorter to the longer."""
    found = join(one, other)
    assert found == Entry(
        tuple(sorted({*one.turns, *other.turns})),
        one.loose | other.loose,
        min(one.low, other.low),
        max(one.high, other.high),
    )


@law(200)
@given(st.lists(st.tuples(entries, entries), min_size=1, max_size=5))
def test_pairs_are_followed_together_as_each_alone(pairs: list[tuple[Entry, Entry]]) -> None:
    """What they come to is the union of each, to the facing, the turn and the length."""
    assert follow_each(pairs) == reduce(join, (follow(one, other) for one, other in pairs))


@pytest.mark.parametrize(
    ("turns", "more", "kept", "left"),
    [
        (range(32), False, range(32), False),
        (range(33), False, [*range(8), *range(25, 33)], True),
        (range(-20, 20), False, [*range(-20, -12), *range(12, 20)], True),
        ((0, 8, 16, 3), True, (0, 3, 16), True),
        ((0, 1, -6), True, (-6, 0, 1), False),
        ((5, 13), True, (5, 13), True),
    ],
)
def test_too_many_turns_are_the_ends_for_each_facing(turns: range, more: bool, kept: range, left: bool) -> None:
    """More than 32, or what is thinned already; it is told whether others lie between."""
    assert (tuple(kept), left) == thinned(set(turns), more)


def test_what_is_thinned_stays_told() -> None:
    """A turn left out between two ends is left out of what is made of them, and of either of them."""
    many, still = Entry((0, 16), 0, 0, 0, True), Entry((0,), 0, 0, 0)

    assert Entry((0, 2, 16, 18), 0, 5, 6, True) == follow(many, Entry((0, 2), 0, 5, 6))
    assert Entry((2, 18), 0, 5, 6, True) == follow(Entry((0, 16), 0, 5, 5, True), Entry((2,), 0, 0, 1))
    assert Entry((0, 16), 0, 0, 0, True) == join(many, still) == join(still, many)
    assert Entry((0, 16), 0, 0, 0, True) == join(Entry((0, 16), 0, 0, 0), many)


@law(60)
@given(effects, st.integers(-9, 9), st.integers(-9, 9))
def test_each_way_is_changed_by_itself(effect: Effect, low: int, high: int) -> None:
    """Time and turns added, taken away, or left out; the way stays."""
    ways = table(effect)

    def shown(made: Effect) -> dict[tuple[Weight, Weight], Entry]:
        assert not made.open
        return table(made)

    for some in ((low, high), (low, low), (0, 0), (1, 1)):
        assert shown(ALGEBRA.shifted(effect, *some)) == {
            where: one._replace(low=one.low + some[0], high=one.high + some[1]) for where, one in ways.items()
        }
    assert shown(ALGEBRA.fresh(effect)) == {where: one._replace(low=0, high=0) for where, one in ways.items()}
    assert shown(ALGEBRA.timeless(effect)) == {where: Entry((), one.facings, 0, 0) for where, one in ways.items()}
    assert shown(ALGEBRA.turned(effect, low)) == {
        where: one._replace(
            turns=tuple(turn + low for turn in one.turns),
            loose=sum(1 << (turn + low) % 8 for turn in facings(one.loose)),
        )
        for where, one in ways.items()
    }
    assert effect.clock == (
        min((one.low for one in ways.values()), default=0),
        max((one.high for one in ways.values()), default=0),
    )
    assert effect.ends == tuple(sorted({after for _, after in ways}))
    by_before = [[one for (begun, _), one in ways.items() if begun is weight] for weight in WEIGHTS]
    assert effect.single is all(len(some) < 2 and all(len(facings(e.facings)) == 1 for e in some) for some in by_before)


def test_a_weight_is_moved_by_name() -> None:
    """All to one foot are joined there, those to three are changed about."""
    left, right = Entry((0,), 0, 1, 1), Entry((2,), 0, 3, 3)
    effect = ALGEBRA.effect(((left, right, None), (None,) * 3, (None, None, right)))

    assert {(0, 2): Entry((0, 2), 0, 1, 3), (2, 2): right} == table(ALGEBRA.moved(effect, (2, 2, 2)))
    assert {(0, 1): left, (0, 2): right, (2, 0): right} == table(ALGEBRA.moved(effect, (1, 2, 0)))


def test_what_is_open_stays_open() -> None:
    """What waits on a blank does so with whatever comes before, after and beside it, until it is said to be settled."""
    still = ALGEBRA.start(WEIGHTS)
    opened = ALGEBRA.opened(still)

    assert opened.open and not still.open and opened is not still
    assert opened is ALGEBRA.opened(opened) is ALGEBRA.start(WEIGHTS, True)
    assert still is ALGEBRA.opened(opened, False) is ALGEBRA.opened(still, False)
    for one, other in ((opened, still), (still, opened)):
        assert ALGEBRA.then(one, other).open and ALGEBRA.either(one, other).open
    assert ALGEBRA.shifted(opened, 1, 1).open and ALGEBRA.moved(opened, (0, 1, 2)) is opened
    assert table(opened) == table(still) == {(w, w): Entry((0,), 0, 0, 0) for w in WEIGHTS}
    assert [Weight.BOTH] == [after for _, after in table(ALGEBRA.start((Weight.BOTH,)))]


def test_a_step_is_a_table_from_weight_to_weight() -> None:
    """A half turn for the left lead goes the other way from the other foot, and either way from both; a turn on the
    line holds for all, and one to be found is any."""
    written, version = step(SPIN), SPIN.versions[0]
    left, right = Entry((-2,), 0, 24, 24), Entry((2,), 0, 24, 24)
    found = {(0, 0): left, (1, 1): right, (2, 0): left, (2, 1): right}

    assert found == table(step_effect(ALGEBRA, written, version, {}))
    for turn in (0, 3):
        assert {where: Entry((turn,), 0, 24, 24) for where in found} == table(
            step_effect(ALGEBRA, step(SPIN, turn), version, {})
        )
    blank = step_effect(ALGEBRA, step(SPIN, blank=True), version, {})
    assert blank.open and {where: Entry((), 255, 24, 24) for where in found} == table(blank)
