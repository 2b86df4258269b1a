"""The first dance in which a claim fails, as it was worked out by hand; the judge confirms each."""

from collections.abc import Callable

import pytest

from stepcheck.model.claims import Test
from stepcheck.model.dance import Body, Choice, Foot, Forever, Gap, Lap, Last, Repeat, Rest, Timed, Together, Weight
from stepcheck.model.outcome import Decision, End, Fill, Lead, Pick, Run, Verdict
from stepcheck.model.work import Work, WorkSpent
from stepcheck.report.certify import confirm
from stepcheck.walk.follow import Quest, Trail
from stepcheck.walk.stands import Past, State
from stepcheck.walk.walk import danced_wrongly, walk
from tests.programs import BACK, CHANGE, LEAP, SPIN, Maker, part, step

LEFT, RIGHT, BOTH = Weight


def either(*options: Body) -> Choice:
    """Return options that are not compared."""
    return Choice(1, None, options)


def rest(ticks: int) -> Rest:
    """Return a silence."""
    return Rest(1, ticks)


def some(times: int, *decisions: Decision) -> Run:
    """Return so many times."""
    return Run(times, decisions)


Make = Callable[[Maker], Body]
DANCES: dict[str, tuple[Make, tuple[Decision, ...]]] = {
    "the first option holds": (
        lambda m: (either((step(CHANGE, 2),), (step(CHANGE, 4),)), m.check(Test.FACING, 2)),
        (Pick(1),),
    ),
    "a turn goes on": (
        lambda m: (step(CHANGE, 6), either((step(CHANGE, 3),), (step(CHANGE, 2),)), m.check(Test.TURN, 9)),
        (Pick(1),),
    ),
    "a length goes on behind a stretch": (
        lambda m: (either((rest(12),), (rest(20),)), Timed((step(BACK),), None), m.check(Test.CLOCK, 36)),
        (Pick(1),),
    ),
    "a stretch lasts what is settled": (
        lambda m: (
            rest(12),
            Timed((either((rest(1),), (rest(12),)), m.check(Test.CLOCK, 1)), 20),
            m.check(Test.CLOCK, 31),
        ),
        (Pick(1),),
    ),
    "a stretch in a stretch": (
        lambda m: (
            rest(5),
            Timed((rest(6), Timed((either((rest(7),), (rest(8),)),), None), m.check(Test.CLOCK, 13)), None),
            rest(1),
        ),
        (Pick(1),),
    ),
    "a part lasts what is settled": (
        lambda m: (
            rest(5),
            part(either((rest(7),), (rest(8),)), lasts=30),
            either((), (rest(1),)),
            m.check(Test.CLOCK, 35),
        ),
        (Pick(0), Pick(1)),
    ),
    "a part adds its length and turn": (
        lambda m: (step(CHANGE, 3), part(either((step(CHANGE, 7),), (step(CHANGE, 6),))), m.check(Test.TURN, 10)),
        (Pick(1),),
    ),
    "from both feet either leads": (
        lambda m: (step(LEAP), step(SPIN), m.check(Test.FOOT, Foot.LEFT)),
        (Lead(Foot.RIGHT),),
    ),
    "a turn goes with the lead": (lambda m: (step(LEAP), step(SPIN), m.check(Test.TURN, 2)), (Lead(Foot.RIGHT),)),
    "an order settles who leads": (
        lambda m: (step(LEAP), m.check(Test.LEAD, Foot.RIGHT), step(SPIN), m.check(Test.TURN, 2)),
        (),
    ),
    "a foot fails for one of two": (
        lambda m: (either((step(CHANGE),), (step(BACK),)), m.check(Test.LEAD, Foot.RIGHT)),
        (Pick(1),),
    ),
    "what failed before goes on as if it had held": (
        lambda m: (
            either((), (step(CHANGE, 2),)),
            m.check(Test.FACING, 4),
            m.check(Test.FACING, 4),
            m.check(Test.CLOCK, 0),
        ),
        (Pick(0),),
    ),
    "checks are judged together": (
        lambda m: (
            either((step(CHANGE, 2),), (step(BACK, 4),)),
            Together((m.check(Test.CLOCK, 12), m.check(Test.FACING, 2))),
        ),
        (Pick(1),),
    ),
    "the second time": (lambda m: (Repeat(1, 3, (step(CHANGE, 2), m.check(Test.TURN, 2))),), (some(1), some(1))),
    "a last time of three": (
        lambda m: (Repeat(1, 3, (either((step(CHANGE, 1),), (step(CHANGE, 2),)),)), m.check(Test.TURN, 3)),
        (some(2, Pick(0)), some(1, Pick(1))),
    ),
    "a billion times": (lambda m: (Repeat(1, 10**9, (step(CHANGE, 1),)), m.check(Test.TURN, 0)), (some(10**9),)),
    "an odd number of times": (
        lambda m: (Repeat(1, 1001, (step(CHANGE),)), m.check(Test.FOOT, Foot.LEFT)),
        (some(1001),),
    ),
    "a thousand times and one other": (
        lambda m: (Repeat(1, 1001, (either((rest(12),), (rest(13),)),)), m.check(Test.CLOCK, 12 * 1001)),
        (some(1000, Pick(0)), some(1, Pick(1))),
    ),
    "a turn of thousands": (
        lambda m: (Repeat(1, 1001, (either((step(CHANGE, 1),), (step(CHANGE, 2),)),)), m.check(Test.TURN, 1001)),
        (some(1000, Pick(0)), some(1, Pick(1))),
    ),
    "a repeat in a repeat": (
        lambda m: (Repeat(1, 2, (Repeat(1, 2, (either((), (rest(1),)),)),)), m.check(Test.CLOCK, 0)),
        (some(1, some(2, Pick(0))), some(1, some(1, Pick(0)), some(1, Pick(1)))),
    ),
    "options that differ": (
        lambda m: (step(CHANGE), m.choice((step(BACK),), (step(BACK),), (step(CHANGE),))),
        (Pick(0),),
    ),
    "a round without end": (
        lambda m: (Forever(1, (part(step(CHANGE, 2)), m.check(Test.FOOT, Foot.RIGHT))),),
        (some(1), some(1)),
    ),
    "a foot of the second round": (
        lambda m: (
            Forever(
                1, (Lap((m.check(Test.FACING, 0), step(CHANGE, 0), m.check(Test.LEAD, Foot.RIGHT), step(BACK, 0))),)
            ),
        ),
        (some(1), some(1)),
    ),
    "a wall of a later round": (
        lambda m: (
            step(CHANGE, 4),
            Forever(
                1,
                (
                    step(BACK, 4),
                    either((step(BACK),), (step(BACK, 2),)),
                    part(m.check(Test.FACING, 0)),
                    m.check(Test.FACING, 0),
                ),
            ),
        ),
        (some(1, Pick(1)),),
    ),
    "both feet before many times": (
        lambda m: (step(LEAP), Repeat(1, 1001, (step(CHANGE),)), m.check(Test.TURN, 2)),
        (some(1, Lead(Foot.LEFT)), some(1000)),
    ),
    "an end of its own": (
        lambda m: (Forever(1, (Last((step(CHANGE), m.check(Test.FOOT, Foot.RIGHT))), step(CHANGE))),),
        (some(1, End(False)), some(1, End(True))),
    ),
}


@pytest.mark.parametrize("name", DANCES)
def test_the_first_dance_in_which_a_claim_fails(name: str) -> None:
    """The first claim that fails has this dance; each dance that is shown is confirmed by the judge."""
    maker = Maker()
    make, decisions = DANCES[name]
    program = maker.program(*make(maker))
    outcomes = walk(program)
    refuted = [one for one in outcomes if one.verdict is Verdict.REFUTED]
    for claim, one in zip(program.claims, outcomes, strict=True):
        if one in refuted:
            excused = danced_wrongly(program, outcomes, one.traces[0].words)
            assert confirm(program, claim, one.traces, frozenset(r.claim for r in refuted), excused)

    assert decisions == (refuted[0].traces[0].decisions if refuted else ())


def danced(body: Body, tests: frozenset[Test], dances: dict[State, Past], work: Work) -> dict[State, Past]:
    """Return the dances after a body, for a claim about such things that stands elsewhere."""
    return Trail(Quest("elsewhere", {}, frozenset(), frozenset(), tests), work, 48).run(body, dances, 3)


@pytest.mark.parametrize(
    ("tests", "state"),
    [
        (frozenset(Test), State(LEFT, 6, 19, False, 19)),
        (frozenset({Test.CLOCK}), State(LEFT, 0, 0, False, 19)),
        (frozenset({Test.TURN}), State(LEFT, 6, 19, False, 0)),
        (frozenset({Test.FACING}), State(LEFT, 6, 0, False, 0)),
        (frozenset({Test.FOOT}), State(LEFT, 0, 0, False, 0)),
    ],
)
def test_what_no_claim_tests_is_left_out(tests: frozenset[Test], state: State) -> None:
    """A claim about feet ignores walls and lengths, one about walls counts no whole turns."""
    begun = State(RIGHT, 3 if state.facing else 0, 16 if state.turn else 0, False, 7 if state.clock else 0)
    assert {state: Past()} == danced((step(CHANGE, 3),), tests, {begun: Past()}, Work(99))


def test_a_gap_is_filled_in_every_way() -> None:
    """With every weight and change of facing, in the order of both; its time goes by."""
    begun = State(RIGHT, 3, 16, False, 7)
    found = danced((Gap(1, 24),), frozenset(Test), {begun: Past()}, Work(99))

    assert [(past.decisions(), state) for state, past in found.items()] == [
        ((Fill(weight, turn),), State(weight, (3 + turn) % 8, 16 + turn, True, 31))
        for weight in Weight
        for turn in range(8)
    ]


def test_a_turn_to_be_found_is_each() -> None:
    """From the turn that was, and loose from then on."""
    found = danced((step(CHANGE, 5, blank=True),), frozenset(Test), {State(RIGHT, 3, 16): Past()}, Work(99))

    assert [(past.decisions(), state) for state, past in found.items()] == [
        ((Fill(None, turn),), State(LEFT, (3 + turn) % 8, 16 + turn, True, 12)) for turn in range(8)
    ]


TWO = {State(RIGHT, 3): Past(), State(LEFT, 3): Past()}


@pytest.mark.parametrize(
    ("body", "work"),
    [
        ((step(CHANGE),), 3),
        ((step(CHANGE), rest(1)), 6),
        ((Gap(1, 24),), 3 + 2 * 3 * 8),
        ((step(CHANGE, blank=True),), 3 + 2 * 8),
        ((Repeat(1, 3, (step(CHANGE),)),), 3 + 3 * (2 + 3)),
        ((either((step(CHANGE),), ()),), 3 + 2 * 2),
        ((part(step(CHANGE)),), 3 + 2 * (2 + 1)),
    ],
)
def test_work_is_places_that_dancers_come_to(body: Body, work: int) -> None:
    """Each item costs one and its dancers, a blank all its fillings; a pass is danced once from each weight."""
    spent = Work(10**4)
    danced(body, frozenset(Test), TWO, spent)

    assert work == spent.spent
    with pytest.raises(WorkSpent):
        danced(body, frozenset(Test), TWO, Work(work - 1))
