"""How far steps lead, worked out by hand; `tests/laws/test_travel.py` has the laws."""

import pytest
from attrs import evolve

from stepcheck.model.claims import Kind, Test
from stepcheck.model.dance import Body, Choice, Figure, Foot, Repeat, Rest, Step, Weight
from stepcheck.model.floor import Travel
from stepcheck.model.outcome import HOME, Decision, Lead, Pick, Verdict
from stepcheck.report.certify import confirm
from stepcheck.report.pipeline import check_text
from stepcheck.walk.travel import beyond, gone, reach
from stepcheck.walk.walk import walk
from tests.programs import LEAP, STEP, Maker, figure, part, step


def going(right: int, forward: int, *, feet: int = 2, turn: int = 0) -> Figure:
    """Return a figure that goes so far for the left lead."""
    made = figure("Going", *(STEP,) * feet, turn=turn)
    return evolve(made, versions=(evolve(made.versions[0], travel=(right, forward)),))


@pytest.mark.parametrize(
    ("facing", "ahead", "right"),
    [
        (0, (1, 0, 0, 0), (0, 0, 1, 0)),
        (1, (0, 1, 0, 0), (0, 0, 0, 1)),
        (2, (0, 0, 1, 0), (-1, 0, 0, 0)),
        (3, (0, 0, 0, 1), (0, -1, 0, 0)),
        (4, (-1, 0, 0, 0), (0, 0, -1, 0)),
        (5, (0, -1, 0, 0), (0, 0, 0, -1)),
        (6, (0, 0, -1, 0), (1, 0, 0, 0)),
        (7, (0, 0, 0, -1), (0, 1, 0, 0)),
    ],
)
def test_steps_go_along_four_lines(facing: int, ahead: tuple[int, ...], right: tuple[int, ...]) -> None:
    """Of the dancer's facing, and two eighths to the right of it, counted up or down."""
    assert tuple(10 + 3 * a + 2 * r for a, r in zip(ahead, right, strict=True)) == gone((10, 10, 10, 10), facing, 2, 3)


@pytest.mark.parametrize(
    ("spot", "steps", "far"),
    [
        (HOME, 0, False),
        (HOME, 1, False),
        ((2, 0, 0, 0), 2, False),
        ((0, 0, -3, 0), 2, True),
        ((3, 0, 4, 0), 5, False),
        ((0, 3, 0, 4), 5, False),
        ((3, 0, 5, 0), 5, True),
        ((0, 4, 0, 4), 5, True),
        ((1, 1, 0, 0), 1, True),
        ((1, 1, 0, 0), 2, False),  # the root of 2 + root of 2, some 1.85
        ((2, -1, 0, 0), 1, True),  # some 1.47
        ((2, -1, 0, 0), 2, False),
        ((1, -1, 0, 1), 1, False),  # 1 - root of 2
        ((3, -3, 0, 3), 1, True),  # 3 - 3 roots of 2, some -1.24
        ((5, -3, 0, 3), 1, False),  # some 0.76
        ((7, -5, 0, 5), 0, True),  # some -0.07
        ((0, 5, -7, 5), 0, True),
    ],
)
def test_a_circle_is_exact(spot: tuple[int, int, int, int], steps: int, far: bool) -> None:
    """What is on it is not beyond it; diagonals are roots."""
    assert far is beyond(spot, steps)


AHEAD, ASIDE, ROUND = going(0, 2), going(1, 0, feet=1), going(0, 3, turn=4)
LEFT, RIGHT, BOTH = Weight


@pytest.mark.parametrize(
    ("body", "steps", "weights", "dance"),
    [
        ((), 0, (LEFT,), None),
        ((step(AHEAD),), 0, (LEFT,), (LEFT, ())),
        ((step(AHEAD),), 2, (LEFT,), None),
        ((step(AHEAD),), 1, (RIGHT,), (RIGHT, ())),
        ((step(AHEAD, 4), step(AHEAD)), 0, (LEFT, RIGHT), None),
        ((step(AHEAD, 4), step(AHEAD)), 1, (LEFT, RIGHT), (LEFT, ())),
        ((step(ASIDE), step(ASIDE)), 0, (LEFT, RIGHT, BOTH), None),
        ((step(ASIDE), step(ASIDE, 0), step(ASIDE)), 0, (RIGHT,), (RIGHT, ())),
        ((step(ROUND), step(ROUND)), 0, (LEFT, RIGHT), None),
        ((Step(1, AHEAD, travel=(0, 0)),), 0, (LEFT, RIGHT), None),
        ((Step(1, ASIDE, travel=(3, 0)), Step(1, ASIDE, travel=(-3, 0))), 0, (LEFT, RIGHT), None),
        (
            (Choice(1, None, ((step(AHEAD, 4), step(AHEAD)), (step(ASIDE), step(AHEAD)))),),
            0,
            (LEFT,),
            (LEFT, (Pick(1),)),
        ),
        ((Repeat(1, 8, (step(AHEAD, 1),)),), 0, (LEFT, RIGHT), None),
        ((Repeat(1, 4, (part(step(AHEAD, 2)),)),), 0, (LEFT, RIGHT), None),
        ((step(LEAP), step(ASIDE), step(ASIDE)), 0, (LEFT,), None),
        ((step(LEAP), step(ROUND, 0), Step(1, ROUND, 0, travel=(1, -3))), 0, (LEFT,), (LEFT, (Lead(Foot.LEFT),))),
        (
            (Maker().check(Test.LEAD, Foot.LEFT), step(ASIDE), Maker().check(Test.LEAD, Foot.LEFT), step(ASIDE)),
            1,
            (LEFT,),
            (LEFT, ()),
        ),
        (
            (Maker().check(Test.LEAD, Foot.LEFT), step(ASIDE), Maker().check(Test.LEAD, Foot.RIGHT), step(ASIDE)),
            0,
            (LEFT,),
            None,
        ),
    ],
)
def test_where_a_pass_ends(
    body: Body, steps: int, weights: tuple[Weight, ...], dance: tuple[Weight, tuple[Decision, ...]] | None
) -> None:
    """From each of its weights, at home or within so many steps all the way; the first dance that isn't is shown."""
    maker = Maker()
    never, claim = maker.claim(Kind.SPOT), maker.claim(Kind.SPOT)
    travels = Travel(never, 0, (LEFT,), ()), Travel(claim, steps, weights, body)
    program = maker.program(travels=travels)
    other, one = walk(program)

    assert Verdict.PROVED is other.verdict
    if dance is None:
        assert (Verdict.PROVED, ()) == (one.verdict, one.traces)
    else:
        (trace,) = one.traces
        assert (Verdict.REFUTED, 1, *dance) == (one.verdict, trace.travel, trace.start, trace.decisions)
        assert confirm(program, claim, one.traces, frozenset({claim.id}), frozenset())


def test_the_work_allowed_holds_for_places_too() -> None:
    """Turns and ways that part the dancers again and again are left open where little work is allowed, and cost no
    more than that."""
    text = (
        "book: line\nfigures:\n  Quay, 1 step left: S\n\npart A: within 2 steps\n  3 times:\n"
        "    Quay, turn 1/4 left, 1 step right | Quay, turn 1/4 right, 1 step back | Quay\n\ndance:\n  A\n"
    )
    less, whole = (
        {claim.text: claim.verdict for claim in check_text(text, engine="walk", budget=budget).claims}
        for budget in (20, None)
    )

    assert (Verdict.UNDECIDED, Verdict.REFUTED) == (less["within 2 steps"], whole["within 2 steps"])


@pytest.mark.parametrize(
    ("body", "most"),
    [
        ((), 0),
        ((step(AHEAD), step(ASIDE), Rest(2, 12)), 3),
        ((Step(1, AHEAD, travel=(-2, -3)), Step(1, AHEAD, travel=(0, 0))), 5),
        ((Choice(1, None, ((step(AHEAD), step(AHEAD)), (step(ASIDE),))), step(ROUND)), 7),
        ((Repeat(1, 4, (part(step(AHEAD), step(ASIDE)),)),), 12),
    ],
)
def test_nobody_comes_farther_than_all_steps_together(body: Body, most: int) -> None:
    """Of one option of each variation, wherever they lead, times and repeats counted."""
    assert most == reach(body)


SPREADING = """book: line
part A: within {} steps
  5 times:
    Vine, 1 step right, turn 1/8 left | Vine, 2 steps forward, turn 1/8 right | Vine, 1 step left, turn 3/8 left
dance:
  A
"""


@pytest.mark.parametrize(("engine", "budget"), [("walk", 600), ("z3", 40_000)])
def test_what_all_steps_together_do_not_leave_is_kept_at_once(engine: str, budget: int) -> None:
    """However many ways there are, nobody follows them.  One step less has to be looked into, and where that is too
    much, what else is claimed is decided all the same."""
    near, far = (
        [claim.verdict for claim in check_text(SPREADING.format(steps), engine=engine, budget=budget).claims]
        for steps in (10, 9)
    )
    assert [Verdict.PROVED, Verdict.PROVED] == near
    assert [Verdict.UNDECIDED, Verdict.PROVED] == far
