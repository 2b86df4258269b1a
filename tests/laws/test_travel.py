"""Laws of how far steps lead: the wall, the mirror image, and the exactness of diagonals."""

from decimal import Decimal, localcontext

import pytest
from attrs import evolve
from hypothesis import given
from hypothesis import strategies as st

import stepcheck as sc
from stepcheck.model.claims import Kind
from stepcheck.model.dance import Weight
from stepcheck.model.outcome import HOME, Verdict
from stepcheck.report.certify import Rejected, _near, confirm
from stepcheck.strategies.random_sheets import random_sheet
from stepcheck.walk.travel import beyond, gone
from stepcheck.walk.walk import walk
from tests.profiles import law

WAYS = st.lists(st.tuples(st.integers(0, 7), st.integers(-5, 5), st.integers(-5, 5)), max_size=12)
"""Steps: the facing, how far to the right, how far forward."""

HEAD = """book: line
lead: left
facing: {facing}

figures:
  Ford, 1 step right: S
  Ahead, 2 steps forward: S
  Swing, turn 1/4 left, on the spot: S
  Tarn, turn 1/8 right, 1 step back: S S

part A: {claim}
{lines}

dance:
  {dance}
"""
LINES = st.lists(
    st.sampled_from(("Ford", "Ahead", "Swing", "Tarn", "Ford x3", "Ahead, 1 step left, turn 3/8 left", "Ford | Swing")),
    min_size=1,
    max_size=5,
)


def verdict(lines: list[str], claim: str, facing: str = "front", dance: str = "A") -> str:
    """Return the verdict on where a part ends."""
    text = HEAD.format(lines="\n".join(f"  {line}" for line in lines), claim=claim, facing=facing, dance=dance)
    report = sc.check_text(text)
    return next(one.verdict.word for one in report.claims if one.kind == "spot")


@law(20)
@given(LINES, st.sampled_from(("returns", "within 2 steps")), st.sampled_from(("right wall", "1:30", "back")))
def test_travel_does_not_change_with_the_wall(lines: list[str], claim: str, wall: str) -> None:
    """Whatever wall the dance begins on, and wherever the part stands in it, it comes as far."""
    assert verdict(lines, claim) == verdict(lines, claim, wall) == verdict(lines, claim, dance="Swing\n  A, mirrored")


@law(20)
@given(
    st.lists(st.sampled_from(("Ahead", "Ahead x3", "Ford, 2 steps left", "Ford, 1 step back")), min_size=1, max_size=5)
)
def test_a_part_that_is_danced_back_comes_home(lines: list[str]) -> None:
    """What is danced without a turn, and again with the back to where it went, leads home; so do eight eighths round."""
    back = ["2 times:", *(f"  {line}" for line in lines), "  Swing, turn 1/2 left"]
    round_ = ["8 times:", *(f"  {line}" for line in lines), "  Swing, turn 1/8 left"]

    assert (verdict(back, "returns"), verdict(round_, "returns")) == ("proved", "proved")
    assert verdict([*back, "Ahead"], "returns") == "refuted"


@law(200)
@given(WAYS, st.integers(1, 12))
def test_both_rules_for_a_circle_are_those_of_decimals(ways: list[tuple[int, int, int]], steps: int) -> None:
    """The walk and the judge say of any place whether it is farther away than so many steps, as forty digits do."""
    spot = HOME
    right = ahead = Decimal(0)
    with localcontext(prec=60):
        half = Decimal(2).sqrt() / 2
        units = (0, half, 1, half, 0, -half, -1, -half)
        for facing, aside, forward in ways:
            spot = gone(spot, facing, aside, forward)
            right += forward * units[facing] + aside * units[(facing + 2) % 8]
            ahead += forward * units[(facing + 2) % 8] - aside * units[facing]
        far = right * right + ahead * ahead - steps * steps
        exact = far > Decimal("1e-40")
        assert (abs(right) + abs(ahead) < Decimal("1e-40")) is (spot == HOME)

    assert beyond(spot, steps) is exact
    assert _near(spot, steps) is not exact


def test_the_diagonal_of_a_square_is_no_fraction_of_its_side() -> None:
    """Seven steps aside and seven ahead are nearly ten along the diagonal, and no way back from there."""
    lines = [
        "Ford, 7 steps right",
        "Ahead, 7 steps forward",
        "Tarn, on the spot, turn 1/8 right",
        "Ford, 10 steps back",
    ]

    assert verdict(lines, "returns") == "refuted"
    assert verdict(lines, "within 10 steps") == "proved"
    assert verdict(lines, "within 9 steps") == "refuted"


@pytest.mark.parametrize("seed", range(60))
def test_the_judge_accepts_no_other_pass(seed: int) -> None:
    """A dance that shows how a part strays shows nothing from another foot, or of another part."""
    program = sc.loads(random_sheet(seed, taste="travel")).program
    if program is None:
        return
    spots = {claim.id: claim for claim in program.claims if claim.kind is Kind.SPOT}
    for one in walk(program):
        if one.claim in spots and one.verdict is Verdict.REFUTED:
            claim, (trace,) = spots[one.claim], one.traces
            (replay,) = confirm(program, claim, one.traces, frozenset())
            assert replay.place != HOME
            travel = program.travels[trace.travel or 0]
            other = next((at for at, one in enumerate(program.travels) if one.claim != claim), None)
            foot = next(weight for weight in (Weight.BOTH, Weight.LEFT) if weight not in travel.weights)
            for wrong in (evolve(trace, travel=other), evolve(trace, travel=None), evolve(trace, start=foot)):
                with pytest.raises(Rejected):
                    confirm(program, claim, (wrong,), frozenset())


def test_a_place_that_takes_too_much_work_to_find_is_undecided_alone() -> None:
    """Where the dancers of a pass are too many to follow, the claim about its end is open, and no other one."""
    report = sc.check_text(random_sheet(3523, taste="travel"), engine="walk")

    by_text = {claim.text: claim.verdict for claim in report.claims}
    assert Verdict.UNDECIDED is by_text["returns"]
    assert Verdict.PROVED is by_text["never meet"]
