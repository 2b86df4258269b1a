"""How a dance can end, whatever is claimed."""

import pytest
from hypothesis import given

from stepcheck.model.claims import Check, Test
from stepcheck.model.dance import (
    TICKS,
    Body,
    Choice,
    Foot,
    Forever,
    Item,
    Lap,
    Last,
    Program,
    Repeat,
    Rest,
    Timed,
    Together,
    Weight,
)
from stepcheck.report.pipeline import loads
from stepcheck.walk.ends import NOTHING, Ends, Passage, ends, relation
from stepcheck.walk.tracks import tracks
from tests.profiles import law
from tests.program_reference import Naive, State
from tests.programs import BACK, CHANGE, LEAP, SPIN, Maker, part, programs, step


def found(lines: str, dance: str = "A", header: str = "") -> Ends:
    """Return how the dance of a clogging sheet with one part can end; semicolons divide its lines."""
    body = "".join(f"  {row}\n" for row in lines.split("; "))
    rows = "".join(f"  {row}\n" for row in dance.split("; "))
    program = loads(f"routine: Weir\nbook: clogging\n{header}part A:\n{body}dance:\n{rows}").program
    assert program is not None
    return ends(program)


@pytest.mark.parametrize(
    ("lines", "dance", "expected"),
    [
        ("Triple", "A", {Passage(Weight.LEFT, 0, 4 * TICKS)}),
        ("Triple, turn 1/4 left", "A x3", {Passage(Weight.LEFT, 2, 12 * TICKS)}),
        ("Triple | Fancy Double", "A", {Passage(Weight.LEFT, 0, 4 * TICKS), Passage(Weight.RIGHT, 0, 4 * TICKS)}),
        (
            "Triple, turn 1/2 left | Triple",
            "A",
            {Passage(Weight.LEFT, 4, 4 * TICKS), Passage(Weight.LEFT, 0, 4 * TICKS)},
        ),
        ("Triple; hold 2 beats", "A; A, first 4 beats", {Passage(Weight.RIGHT, 0, 10 * TICKS)}),
        ("Triple, facing back; Triple, right foot", "A", {Passage(Weight.RIGHT, 0, 8 * TICKS)}),
    ],
)
def test_the_ends_of_a_dance_are_those_of_its_steps(lines: str, dance: str, expected: set[Passage]) -> None:
    """Each way to choose gives an end; a claim that is refuted changes none."""
    assert Ends(frozenset(expected)) == found(lines, dance)


def test_a_blank_leaves_open_what_it_hides() -> None:
    """A gap can end anywhere after its beats, a turn to be found on any wall, and a number of times is no length."""
    assert 24 == len(found("? 4 beats").ways)
    assert set(range(8)) == {way.turn for way in found("Triple, turn ?").ways}
    assert {None} == {way.ticks for way in found("Triple x?").ways}


def test_what_goes_on_until_the_music_ends_is_told_by_the_time_round() -> None:
    """The dance comes to every wall that a time round leads to, after what was danced before; a round has a length."""
    got = found("Triple x2, turn 1/4 left on last", "Triple x2; A until the music ends")

    assert frozenset({8 * TICKS}) == got.rounds
    assert {Passage(Weight.RIGHT, wall, 8 * TICKS, True) for wall in (0, 2, 4, 6)} == got.ways


@pytest.mark.parametrize(
    ("lines", "walls", "rounds"),
    [
        ("Triple, turn 1/2 left; every 2nd time only:;   hold 4 beats", {0, 4}, {4, 8}),
        ("Triple, turn 1/4 left; 3rd time only:;   Triple, turn 1/4 right", {0, 2, 4, 6}, {4, 8}),
        ("Triple, turn 1/2 left; except 1st time:;   Triple, turn 1/2 left", {4}, {4, 8}),
        ("Triple, turn 1/2 left; last time only:;   Triple, turn 1/4 left", {2, 6}, {4, 8}),
        ("Triple, turn 1/2 left; 1st, last time only:;   Triple, turn 1/2 left", {0, 4}, {4, 8}),
        ("Triple, turn 1/2 left; 1st, last time only:;   Triple, turn 1/4 left", {0, 2, 4}, {4, 8}),
    ],
)
@pytest.mark.parametrize("dance", ["A until the music ends", "until the music ends:;   A"])
def test_any_pass_may_be_the_last(lines: str, walls: set[int], rounds: set[int], dance: str) -> None:
    """Where passes differ, the walls are those at the end of any of them, danced as the last, and each has its
    length."""
    for before in (0, 4):
        got = found(lines, f"hold {before} beats; {dance}" if before else dance)

        assert ({way.turn for way in got.ways}, {(ticks or 0) // TICKS for ticks in got.rounds}) == (walls, rounds)
        assert {(before * TICKS, True)} == {(way.ticks, way.endless) for way in got.ways}


def test_many_times_are_as_quick_as_few_and_as_right() -> None:
    """A thousand passes end where following them step by step ends."""
    text = "routine: Weir\nbook: clogging\npart A:\n  999 times:\n    Triple, turn 1/8 left\ndance:\n  A x3\n"
    program = loads(text).program
    assert program is not None
    _, end = tracks(program).parts["a"]
    (way,) = ends(program).ways

    assert (Weight.LEFT, 2997 * 4 * TICKS, -2997 % 8) == (way.weight, way.ticks, way.turn) and end.facing == -999 % 8


class Alone(Naive):
    """The steps of all dances: a claim changes nothing, but for the foot that it orders from both feet."""

    def item(self, item: Item, states: set[State], front: int) -> set[State]:
        if isinstance(item, Check | Together):
            for check in item.checks if isinstance(item, Together) else (item,):
                if check.test is Test.LEAD:
                    states = {one._replace(weight=1 - check.number) if one.weight == 2 else one for one in states}
            return states
        return super().item(item, states, front)

    def choice(self, choice: Choice, state: State, front: int) -> set[State]:
        return set().union(*(self.body(option, {state}, front) for option in choice.options))


@law(30)
@given(programs(endless=False))
def test_the_ends_are_those_of_all_dances_for_their_steps_alone(program: Program) -> None:
    """Feet, walls and lengths, from the weight and wall with which the dance begins, and from each weight."""
    naive = Alone(program, {}, {})

    def plain(weight: int, front: int) -> frozenset[Passage]:
        after = naive.body(program.dance, {State(weight)}, front)
        return frozenset(Passage(Weight(one.weight), (front + one.turn) % 8, one.clock) for one in after)

    assert Ends(plain(1 - program.lead, program.facing)) == ends(program)
    assert tuple(plain(weight, 0) for weight in Weight) == relation(program.dance)


@pytest.mark.parametrize("times", [1, 2, 16, 17, 18, 40])
def test_many_times_end_as_one_by_one(times: int) -> None:
    """By squaring as by dancing on, for options, feet and turns."""
    body = (Choice(1, None, ((step(SPIN),), (step(LEAP), Rest(1, 12)))), step(CHANGE, 1))
    one_by_one = reduced = relation(body)
    for _ in range(times - 1):
        reduced = tuple(
            frozenset(
                Passage(end.weight, (way.turn + end.turn) % 8, (way.ticks or 0) + (end.ticks or 0))
                for way in ways
                for end in one_by_one[way.weight]
            )
            for ways in reduced
        )
    found = relation((Repeat(1, times, body),))
    for plain, got in zip(reduced, found, strict=True):
        closed = {way.ticks for way in got} != {None}
        assert got == (plain if closed else {way._replace(ticks=None) for way in plain})
    assert times > 2 or found == reduced


def test_of_very_many_ways_the_lengths_are_left_open() -> None:
    """More than 64."""
    for number in (64, 65):
        body = (Choice(1, None, tuple((Rest(1, ticks),) for ticks in range(number))),)
        ways = (
            {Passage(Weight.LEFT, 0, ticks) for ticks in range(number)}
            if number == 64
            else {Passage(Weight.LEFT, 0, None)}
        )
        assert ways == relation(body)[Weight.LEFT]


L, R, B = Weight


@pytest.mark.parametrize(
    ("body", "ways"),
    [
        ((), {Passage(L)}),
        ((Repeat(1, None, (step(CHANGE, 4),)),), {Passage(R, 4, None), Passage(L, 0, None)}),
        ((step(BACK), Repeat(1, None, (Rest(1, 5),))), {Passage(L, 0, None)}),
        ((Last((step(CHANGE),)), step(BACK)), {Passage(R, 0, 12, False, True), Passage(L, 0, 24)}),
        ((part(Last((step(CHANGE),)), lasts=36),), {Passage(R, 0, 12, False, True), Passage(L, 0, 36)}),
        ((step(CHANGE), Timed((step(CHANGE),), 36)), {Passage(L, 0, 48)}),
        (
            (Forever(1, (Lap((step(CHANGE, 4),)), Lap((step(BACK),)))),),
            {Passage(R, 4, 0, True, True), Passage(L, 0, 0, True, True)},
        ),
        (
            (step(BACK), Lap((step(CHANGE, 2),)), Forever(2, (Lap((step(BACK, 4),)),))),
            {Passage(R, turn, 24, True, True) for turn in (2, 6)},
        ),
        ((step(CHANGE), Forever(2, (step(BACK, 4),))), {Passage(R, 0, 12, True, True), Passage(R, 4, 12, True, True)}),
        (
            (step(CHANGE), Forever(2, (step(BACK, 4),)), step(CHANGE)),
            {Passage(R, 0, 12, True, True), Passage(R, 4, 12, True, True)},
        ),
        ((Forever(1, (Last((step(CHANGE),)), step(BACK))), step(BACK)), {Passage(R, 0, 0, True, True)}),
        ((Lap((step(CHANGE, 3),)),), {Passage(R, 3, 12)}),
        ((step(LEAP), step(CHANGE)), {Passage(L, 0, 24), Passage(R, 0, 24)}),
        ((step(LEAP), Maker().check(Test.LEAD, Foot.LEFT), step(CHANGE)), {Passage(L, 0, 24)}),
        ((step(LEAP), Maker().check(Test.FOOT, Foot.LEFT), step(CHANGE)), {Passage(L, 0, 24), Passage(R, 0, 24)}),
        ((Maker().check(Test.LEAD, Foot.LEFT),), {Passage(L)}),
        ((step(LEAP), Together((Maker().check(Test.LEAD, Foot.RIGHT),)), step(CHANGE)), {Passage(R, 0, 24)}),
        ((step(LEAP), Maker().check(Test.LEAD, None)), {Passage(L, 0, 12), Passage(R, 0, 12)}),
    ],
)
def test_the_ways_through_a_body_from_the_left_foot(body: Body, ways: set[Passage]) -> None:
    """Worked out by hand: what is over, what goes on without end, and the foot that is ordered from both."""
    assert ways == relation(body)[Weight.LEFT]


def test_a_time_round_is_measured_from_each_foot() -> None:
    """What goes on until the music ends may last otherwise from the other foot; nothing of it is left where none
    does."""
    swung = Choice(1, None, ((step(CHANGE),), (step(LEAP), Rest(1, 12), step(CHANGE))))
    found = ends(Maker().program(step(CHANGE), Forever(2, (swung,))))

    assert {12, 36} == found.rounds and all(way.endless for way in found.ways)
    assert frozenset() == ends(Maker().program(step(CHANGE))).rounds
    assert {Passage(R, 3, 0)} == ends(Maker().program(facing=3)).ways
    assert NOTHING == relation(())
