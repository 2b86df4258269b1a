"""The stands of a sample dance and what makes a row of a timeline; which dancers of a search are kept."""

import pytest

from stepcheck.model.claims import Test
from stepcheck.model.dance import Foot, Program, Weight
from stepcheck.walk.stands import UNKNOWN, Moment, Past, Stand, State, Timeline, asked, fits, thinned
from tests.programs import Maker

# A pass that began on the left wall at tick 30, in a frame that began with three eighths of turn at tick 40.
STAND = Stand(Weight.LEFT, 0, 64, 5, "Part", 6, 30, 0, 3, 40)


def test_a_dance_begins_on_its_foot_and_wall() -> None:
    """At nothing danced and nothing turned; what it counts from is its own wall, not that of a part."""
    program: Program = Maker().program(facing=3, lead=Foot.RIGHT)
    assert Stand(Weight.LEFT, 3, 0, 0, "", 0, 0, 3, 0, 0, False, True) == Stand.first(program)
    assert (Weight.BOTH, 7) == (Stand(Weight.BOTH, 7).weight, Stand(Weight.BOTH, 7).wall_faced)
    assert (0, 0, 0) == (Stand(None, 0).since, Stand(None, 0).turned, Stand(None, 0).inside)


def test_where_a_dancer_is_seen() -> None:
    """Since her pass began; on no wall behind a blank."""
    assert (34, 0) == (STAND.inside, STAND.wall_faced)
    assert UNKNOWN == Stand(None, 3, sure=False).wall_faced


@pytest.mark.parametrize(
    ("test", "value", "after"),
    [
        (Test.LEAD, Foot.RIGHT, None),
        (Test.FOOT, Foot.RIGHT, None),
        (Test.FACING, 2, None),
        (Test.CLOCK, 24, None),
        (Test.TURN, 2, None),
        (Test.LEAD, Foot.LEFT, (Weight.RIGHT, 0, 64, 5, False)),
        (Test.BOTH, None, (Weight.BOTH, 0, 64, 5, False)),
        (Test.FACING, 4, (Weight.LEFT, 2, 64, 7, True)),
        (Test.CLOCK, 12, (Weight.LEFT, 0, 52, 5, False)),
        (Test.TURN, 4, (Weight.LEFT, 2, 64, 7, False)),
        (Test.EITHER, 4, (Weight.LEFT, 2, 64, 7, False)),
    ],
)
def test_a_check_is_judged_and_taken_in_the_frame(
    test: Test, value: int | None, after: tuple[object, ...] | None
) -> None:
    """It holds here, or the stand after it is as if it had."""
    check = Maker().check(test, value)
    taken = STAND.taking(check)

    assert STAND.fits(check) is (after is None)
    if test is not Test.FACING:
        assert (after or (Weight.LEFT, 0, 64, 5, False)) == (
            taken.weight,
            taken.facing,
            taken.tick,
            taken.turn,
            taken.loose,
        )
    else:
        expected = after or (Weight.LEFT, 0, 64, 5, False)
        assert (expected[0], expected[1], expected[2], expected[4]) == (
            taken.weight,
            taken.facing,
            taken.tick,
            taken.loose,
        )
    assert ("Part", 6, 30, 0, 3, 40) == (taken.part, taken.wall, taken.began, taken.front, taken.turned, taken.since)


@pytest.mark.parametrize(("facing", "seen"), [(6, 0), (7, 1), (5, 7)])
def test_a_facing_is_seen_from_the_wall_of_the_pass(facing: int, seen: int) -> None:
    """Round the room."""
    stand = Stand(Weight.LEFT, facing, wall=6)
    assert [seen] == [value for value in range(8) if stand.fits(Maker().check(Test.FACING, value))]


def test_a_facing_that_is_said_makes_sure_of_the_wall() -> None:
    """Behind a blank, where a foot says nothing of it; a weight that is open fits no foot."""
    blank = Stand(None, 0, sure=False)
    facing, foot = Maker().check(Test.FACING, 2), Maker().check(Test.FOOT, Foot.LEFT)

    assert blank.taking(facing).sure and not blank.taking(foot).sure
    assert (None, Weight.RIGHT) == (blank.taking(facing).weight, blank.taking(foot).weight)
    assert not blank.fits(foot)


@pytest.mark.parametrize(("turn", "facing"), [(0, 0), (2, 2), (-3, 5), (9, 1)])
def test_a_movement_turns_and_takes_its_time(turn: int, facing: int) -> None:
    """The wall round the room, the turn as a sum."""
    after = STAND.moved(Weight.RIGHT, turn, 12)
    assert (Weight.RIGHT, facing, 76, 5 + turn) == (after.weight, after.facing, after.tick, after.turn)


def moment(tick: int, **more: object) -> Moment:
    """Return a figure of a beat that changes feet."""
    before = Weight.RIGHT if tick % 24 else Weight.LEFT
    values = {"line": 3, "label": "Step", "feet": (before, Weight(1 - before)), "facings": (2, 2)} | more
    return Moment(tick, 12, **values)


def test_a_figure_some_times_in_a_row_is_one_moment() -> None:
    """From the feet before the first to those after the last."""
    two = moment(12).after(moment(0))
    assert two is not None
    three = moment(24, facings=(2, 4)).after(two)

    assert Moment(0, 24, 3, "Step", (Weight.LEFT, Weight.LEFT), (2, 2), times=2) == two
    assert Moment(0, 36, 3, "Step", (Weight.LEFT, Weight.RIGHT), (2, 4), times=3) == three


@pytest.mark.parametrize(
    "other",
    [
        {"line": 4},
        {"line": 2},
        {"label": "Stamp"},
        {"label": "A"},
        {"part": "A"},
        {"time": 2},
        {"turn": 2},
        {"turn": -2},
        {"put_right": True},
    ],
    ids=str,
)
def test_what_differs_is_a_moment_of_its_own(other: dict[str, object]) -> None:
    """Another line, figure, part or time of it, a turn, or a claim put right, before or behind."""
    assert moment(12, **other).after(moment(0)) is None
    assert moment(12).after(moment(0, **other)) is None


def test_a_timeline_is_cut_where_a_pass_begins_or_ends() -> None:
    """Each time of a part is one, and so is each stretch of the dance itself."""
    places = [("", 0), ("A", 1), ("A", 1), ("A", 2), ("", 0), ("B", 1)]
    moments = tuple(moment(12 * at, part=part, time=time) for at, (part, time) in enumerate(places))

    assert [1, 2, 1, 1, 1] == [len(one) for one in Timeline(moments).passes]
    assert moments == tuple(one for some in Timeline(moments).passes for one in some)


def test_of_dancers_who_differ_in_turn_and_length_only_the_first_three_are_kept() -> None:
    """As many as a turn without a side has to be told from; those on another foot or wall are counted apart."""
    alike = [State(Weight.LEFT, 0, turn, False, 12 * turn) for turn in (0, 8, 16, 24, 32)]
    others = [State(Weight.RIGHT, 0, 8), State(Weight.LEFT, 2, 2), State(Weight.LEFT, 0, 8, True)]
    dances = {state: Past() for state in (*alike, *others)}
    assert [*alike[:3], *others] == [*thinned(dances)]
    assert alike[:3] == [*thinned({state: Past() for state in alike[:3]})]


def test_a_foot_to_be_found_is_no_condition_yet() -> None:
    """What a blank asks is known once it is filled: until then any dancer may be right, and nothing reads a value."""
    blank = Maker().check(Test.LEAD)

    assert blank.blank
    assert fits(State(Weight.BOTH, 0), blank, 0)
    with pytest.raises(AssertionError):
        asked(blank)
