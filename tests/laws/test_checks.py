"""Checks are judged three times, each in its own words; every one of them says what a table of dancers says."""

from collections.abc import Iterator
from itertools import pairwise, product

import pytest

from stepcheck.model.claims import Check, Claim, Kind, Test
from stepcheck.model.dance import Foot, Weight
from stepcheck.report import replays
from stepcheck.walk import stands
from stepcheck.walk.effects import Algebra, Effect, Entry, judged
from tests.dancers import Dancer, mended, right

TURNS = (-12, -10, -8, -6, -4, -2, 0, 1, 2, 4, 6, 8, 10, 12, 16)
LONG = int("1000")  # made while it runs, so that no other number is the same object
VALUES: dict[Test, tuple[int | None, ...]] = {
    Test.LEAD: (None, *Foot),
    Test.FOOT: tuple(Foot),
    Test.BOTH: (None,),
    Test.FACING: (0, 1, 2, 4, 6, 7),
    Test.CLOCK: (0, 11, 12, 13, 24, 25, LONG),
    Test.TURN: TURNS,
    Test.EITHER: TURNS,
}


def checks(test: Test) -> Iterator[Check]:
    """Yield checks of a kind, with every value."""
    for value in VALUES[test]:
        yield Check(1, Claim("c", Kind.TURN, 1, "claim"), test, value)


def filled(check: Check) -> list[Check]:
    """Return a check with each foot in place of a blank."""
    blank = check.test is Test.LEAD and check.value is None
    return [Check(1, check.claim, check.test, foot) for foot in Foot] if blank else [check]


DANCERS = [
    (weight, turn, facing, ticks)
    for weight, (turn, facing), ticks in product(
        Weight,
        [(turn, turn % 8) for turn in (-8, -4, -2, 0, 2, 4, 8, 10)] + [(None, facing) for facing in (0, 2, 4, 7)],
        (0, 12, LONG),
    )
]


@pytest.mark.parametrize("test", Test)
def test_a_dancer_of_the_search_is_judged_and_mended_by_the_table(test: Test) -> None:
    """The single dances in which the first engine looks for a failure."""
    for given, front, (weight, turn, facing, ticks) in product(checks(test), (0, 3), DANCERS):
        state = stands.State(weight, (front + facing) % 8, 77 if turn is None else turn, turn is None, ticks)
        for check in filled(given):
            dancer = weight, turn, facing, ticks
            assert stands.fits(state, check, front) is right(check, dancer, front), (check, front, dancer)
            after = stands.taken(state, check, front)
            assert after.facing in range(8)
            found = after.weight, None if after.loose else after.turn, (after.facing - front) % 8, after.clock
            assert found == mended(check, dancer, front), (check, front, dancer)


@pytest.mark.parametrize("framed", [True, False])
@pytest.mark.parametrize("test", Test)
def test_a_dancer_of_the_judge_is_judged_and_mended_by_the_table(test: Test, framed: bool) -> None:
    """The replay, inside a pass, whose facings count from its own start, and outside, where they are those of the room."""
    for given, front, (weight, turn, facing, ticks) in product(checks(test), (0, 3), DANCERS):
        start = 0 if framed else front
        state = replays.State(
            weight,
            (front + facing) % 8,
            5 + (77 if turn is None else turn),
            turn is None,
            7 + ticks,
            front,
            turned=5,
            since=7,
        )
        for check in filled(given):
            dancer = weight, turn, facing, ticks
            assert replays.fits(check, state, framed) is right(check, dancer, start), (check, front, dancer)
            after = replays.taken(check, state, framed)
            assert after.facing in range(8)
            exact = None if after.loose else after.turn - 5
            found = after.weight, exact, (after.facing - front) % 8, after.clock - 7
            assert found == mended(check, dancer, start), (check, front, dancer)
            assert (after.front, after.turned, after.since) == (front, 5, 7)


def dancers(effect: Effect) -> dict[Weight, set[Dancer]]:
    """Return the dancers of an effect by the weight before it."""
    out: dict[Weight, set[Dancer]] = {}
    for before, after, entry in effect.entries:
        ways = [(turn, turn % 8) for turn in entry.turns] + [(None, f) for f in range(8) if entry.loose >> f & 1]
        for (turn, facing), ticks in product(ways, range(entry.low, entry.high + 1)):
            out.setdefault(before, set()).add((after, turn, facing, ticks))
    return out


ENTRIES = (
    Entry((0,), 0, 12, 12),
    Entry((4,), 0, 11, 13),
    Entry((-4, 4), 0, 12, 13),
    Entry((-4, 0, 4), 0, 0, 0),
    Entry((2, 10), 1 << 2, 24, 24),
    Entry((), 1 << 4, 11, 12),
    Entry((), 1 << 0 | 1 << 4, 24, 25),
    Entry((-8, 8), 1 << 0, 12, 12),
    Entry((8,), 1 << 7, 12, 24),
    Entry((1, 6), 0, int("1000"), int("1000")),
)


@pytest.mark.parametrize("test", Test)
def test_an_effect_is_judged_and_mended_as_its_dancers_are(test: Test) -> None:
    """All of its dancers are right, some are, and behind it they stand as if all had been."""
    algebra = Algebra()
    effects = [algebra.effect(((one, None, None), (None, None, None), (None, None, None))) for one in ENTRIES]
    effects += [algebra.effect(((None, None, one), (None, None, None), (None, None, one))) for one in ENTRIES[:2]]
    effects += [
        algebra.effect(((None, one, two), (None, None, one), (two, None, None))) for one, two in pairwise(ENTRIES)
    ]
    for check, front, effect in product(checks(test), (0, 3), effects):
        before = dancers(effect)
        ways = filled(check)
        verdicts = [right(one, dancer, front) for one in ways for some in before.values() for dancer in some]
        every, some, after = judged(algebra, effect, check, front)
        assert (every, some) == (all(verdicts), any(verdicts)), (check, front, effect.rows)
        expected = {
            weight: {mended(one, dancer, front) for one in ways for dancer in some} for weight, some in before.items()
        }
        spread = {weight: _spread(some) for weight, some in expected.items()}
        assert dancers(after) == spread, (check, front, effect.rows)
        assert after.open is (len(ways) > 1)
        assert judged(algebra, effect, check, front) == (every, some, after)


def _spread(some: set[Dancer]) -> set[Dancer]:
    """Return dancers with every length that an effect has who ends with their weight."""
    out = set()
    for weight in {one[0] for one in some}:
        alike = [one for one in some if one[0] == weight]
        lengths = range(min(one[3] for one in alike), max(one[3] for one in alike) + 1)
        out |= {(weight, turn, facing, ticks) for _, turn, facing, _ in alike for ticks in lengths}
    return out


MANY = Entry((-8, 2, 8, 18), 0, 12, 12, True)


@pytest.mark.parametrize(
    ("test", "value", "entry", "verdict", "after"),
    [
        (Test.TURN, -16, MANY, (False, False), Entry((-16,), 0, 12, 12)),
        (Test.TURN, -8, MANY, (False, True), Entry((-8,), 0, 12, 12)),
        (Test.TURN, 0, MANY, (False, True), Entry((0,), 0, 12, 12)),
        (Test.TURN, 10, MANY, (False, True), Entry((10,), 0, 12, 12)),
        (Test.TURN, 18, MANY, (False, True), Entry((18,), 0, 12, 12)),
        (Test.TURN, 4, MANY, (False, False), Entry((4,), 0, 12, 12)),
        (Test.TURN, 16, Entry((8, 18), 0, 0, 0, True), (False, False), Entry((16,), 0, 0, 0)),
        (Test.FACING, 0, MANY, (False, True), Entry((-8, 8), 1 << 0, 12, 12, True)),
        (Test.FACING, 0, Entry((-8, 8), 0, 0, 0, True), (True, True), Entry((-8, 8), 0, 0, 0, True)),
        (Test.FACING, 2, Entry((-8, 2, 8), 0, 0, 0, True), (False, True), Entry((2,), 1 << 2, 0, 0)),
        (Test.FACING, 4, MANY, (False, False), Entry((), 1 << 4, 12, 12)),
        (Test.EITHER, 0, Entry((-8, 8), 0, 0, 0, True), (False, True), Entry((0,), 0, 0, 0)),
        (Test.EITHER, 8, Entry((-8, 8), 0, 0, 0, True), (False, True), Entry((-8, 8), 0, 0, 0)),
        (Test.EITHER, -8, Entry((8, 18), 0, 0, 0, True), (False, True), Entry((-8, 8), 0, 0, 0)),
        (Test.EITHER, 16, MANY, (False, False), Entry((16,), 0, 12, 12)),
        (Test.EITHER, 4, MANY, (False, False), Entry((4,), 0, 12, 12)),
    ],
    ids=str,
)
def test_turns_left_out_may_be_right_and_are_never_all_right(
    test: Test, value: int, entry: Entry, verdict: tuple[bool, bool], after: Entry
) -> None:
    """Of very many turns the ends are kept for each facing: a turn between two ends may be danced, another may not."""
    algebra = Algebra()
    effect = algebra.effect(((entry, None, None), (None,) * 3, (None,) * 3))
    every, some, behind = judged(algebra, effect, Check(1, Claim("c", Kind.TURN, 1, "claim"), test, value), 0)
    assert ((every, some), [(Weight.LEFT, Weight.LEFT, after)]) == (verdict, [*behind.entries])
