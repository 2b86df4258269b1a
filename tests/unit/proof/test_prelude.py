"""What a program holds, counted by hand."""

import pytest
from attrs import evolve

from stepcheck.model.claims import Kind, Test
from stepcheck.model.dance import (
    Body,
    Choice,
    Foot,
    Gap,
    Lap,
    Lengths,
    Pass,
    Program,
    Repeat,
    Rest,
    Spare,
    Timed,
    Together,
    Walls,
    Weight,
)
from stepcheck.model.floor import Meeting, Travel
from stepcheck.proof.prelude import Census
from tests.programs import BACK, CHANGE, LEAP, SPIN, SWING, Maker, figure, part, step
from tests.programs import STEP as STEPPING

M = Maker()
HALF = figure("Half", STEPPING, STEPPING, STEPPING, turn=-11)


@pytest.mark.parametrize(
    ("body", "turn", "ticks"),
    [
        ((), 0, 0),
        ((step(CHANGE),), 8, 12),
        ((step(HALF),), 11, 36),
        ((step(CHANGE, -9), step(CHANGE, 3)), 17, 24),
        ((Rest(1, 7),), 0, 7),
        ((Gap(1, 30),), 8, 30),
        ((M.check(Test.CLOCK, 40),), 0, 40),
        ((M.check(Test.FACING, 6),), 8, 0),
        ((M.check(Test.TURN, -20),), 20, 0),
        ((M.check(Test.LEAD, None),), 8, 0),
        ((Together((M.check(Test.CLOCK, 40), M.check(Test.TURN, 9), M.check(Test.EITHER, 4))),), 17, 40),
        ((Choice(1, None, ((step(CHANGE),), (step(HALF), Rest(1, 1)))),), 19, 49),
        ((Repeat(1, 3, (step(HALF),)),), 33, 108),
        ((Repeat(1, 0, (step(HALF),)),), 0, 0),
        ((Repeat(1, None, (step(CHANGE),)),), 512, 768),
        ((part(step(CHANGE)),), 16, 12),
        ((part(step(CHANGE), lasts=30), Timed((Rest(1, 9),), 5)), 24, 39),
        ((Lap((step(BACK),)),), 16, 24),
    ],
)
def test_no_sum_of_a_script_comes_farther(body: Body, turn: int, ticks: int) -> None:
    """A body turns and lasts no more than all it holds, and eight eighths are added for what begins elsewhere."""
    program = M.program(*body)
    found = Census.of(evolve(program, claims=()))

    assert (max(8, turn + 8), max(12, ticks)) == (found.turn, found.ticks)


def test_the_farthest_of_all_bodies_counts() -> None:
    """The dance, parts that are never danced, passes for walls and places, what groups dance, and stated lengths."""
    maker, long = Maker(), (step(HALF), step(HALF))
    claim = maker.claim(Kind.WALLS)
    for more in (
        {"spares": (Spare((Weight.LEFT,), long),)},
        {"walls": Walls(claim, 4, long)},
        {"meetings": (Meeting(1, claim, ((), long)),)},
        {"travels": (Travel(claim, 0, (Weight.LEFT,), long),)},
    ):
        found = Census.of(maker.program(step(CHANGE), **more))
        assert (30, 72) == (found.turn, found.ticks)
        assert not found.both and not found.blanks

    stated = (
        Census.of(maker.program(lengths=(Lengths(claim, SPIN, 99),))),
        Census.of(maker.program(lengths=(Lengths(claim, HALF, 9),))),
    )
    assert [99, 36] == [one.ticks for one in stated]


@pytest.mark.parametrize(
    ("body", "both", "blanks"),
    [
        ((step(SWING), Rest(1, 7), M.check(Test.LEAD, Foot.LEFT), M.check(Test.FACING, 0)), False, False),
        ((step(LEAP),), True, False),
        ((M.check(Test.BOTH),), True, False),
        ((Together((M.check(Test.BOTH),)),), True, False),
        ((step(CHANGE, blank=True),), False, True),
        ((M.check(Test.LEAD, None),), False, True),
        ((Gap(1, 30),), True, True),
        ((Repeat(1, None, (step(CHANGE),)),), False, True),
        ((Choice(1, None, ((step(CHANGE),), (part(step(LEAP)),))),), True, False),
    ],
)
def test_both_feet_and_blanks_are_seen_wherever_they_stand(body: Body, both: bool, blanks: bool) -> None:
    """A figure or a claim may bring the weight to both feet; a blank is anything to be found."""
    for dance in (body, (step(CHANGE), *body, step(CHANGE)), (part(Timed(body, None)),)):
        found = Census.of(M.program(*dance))
        assert (both, blanks) == (found.both, found.blanks)


def test_a_part_that_may_begin_on_both_feet() -> None:
    """As one that is never danced, or as a pass whose place is claimed."""
    maker = Maker()
    claim = maker.claim(Kind.SPOT)
    for weights, both in (((Weight.LEFT, Weight.BOTH), True), ((Weight.RIGHT,), False)):
        assert both is Census.of(maker.program(spares=(Spare(weights, ()),))).both
        assert both is Census.of(maker.program(travels=(Travel(claim, 0, weights, ()),))).both


def test_each_place_of_a_body_is_counted() -> None:
    """A body that stands twice is gone through once; it is varied where options stand in it, at any depth."""
    plain: Body = (step(CHANGE),)
    varied: Body = (Choice(1, None, (plain, (step(BACK),))),)
    outer: Body = (Pass(1, "A", 0, varied), Pass(1, "A", 0, varied), Pass(1, "B", 0, plain))
    program: Program = M.program(*outer, Repeat(1, 2, varied), Timed((step(BACK),), None))
    found = Census.of(program)

    assert (3, 2, 1) == (found.uses[id(varied)], found.uses[id(plain)], found.uses[id(program.dance)])
    assert {id(varied), id(program.dance)} == found.varied
