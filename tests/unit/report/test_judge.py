"""What a judge is handed is one dance, said so that it can be danced in one way only."""

from pathlib import Path

import pytest
from attrs import evolve

from stepcheck.model.dance import Claim, Foot, Kind, Program, Repeat, Rest, Test, Timed, Together, Walls, Weight
from stepcheck.model.outcome import Pick, Run, Trace, Verdict
from stepcheck.report import certify, pipeline
from stepcheck.report.certify import Effort, Rejected, Spent, confirm
from stepcheck.walk.walk import walk
from tests.programs import BACK, CHANGE, LEAP, SPIN, Maker, part, step

SPECS = Path(__file__).parents[3] / "specs"

SHEET = """\
routine: Slow Lock
book: clogging
lead: left
part V: 16 beats
  Triple x2
{blank}
part C: 16 beats
  Cowboy
  Basic x3
dance:
  V
  C
"""


@pytest.mark.parametrize("blank", ["  Basic x?", "  ? times:\n    Basic", "  Triple x2"])
def test_a_blank_number_ends_before_the_next_repeat(blank: str) -> None:
    """How often a blank is danced is told apart from the repeats after it, so that what they refute can be shown."""
    report = pipeline.check_text(SHEET.format(blank=blank), engine="walk")
    (wrong,) = (claim for claim in report.claims if claim.verdict is Verdict.REFUTED)

    assert "16 beats" == wrong.text
    assert all(not one.code.id.startswith("SR9") for one in report.diagnostics)


@pytest.mark.parametrize("readings", ["report", "all"])
def test_nobody_is_told_of_a_dance_in_which_an_open_claim_fails(readings: str) -> None:
    """A dance that shows a failure passes no other claim that may fail in it (an internal error once)."""
    text = (SPECS / "unfinished" / "rain_on_the_tarp.routine").read_text(encoding="utf-8")

    for sheet in (text, SHEET.format(blank="  Basic x?")):
        report = pipeline.check_text(sheet, engine="walk", readings=readings)
        assert report.claims and not any(one.code.id.startswith("SR9") for one in report.diagnostics)


# -- replays of programs built by hand -------------------------------------------------------------------------------


def confirmed(program: Program, claim: Claim) -> int:
    """Return what the judge finds of a claim in the dance that the walk shows."""
    outcomes = walk(program)
    refuted = frozenset(one.claim for one in outcomes if one.verdict is Verdict.REFUTED)
    (outcome,) = (one for one in outcomes if one.claim == claim.id)
    return confirm(program, claim, outcome.traces, refuted)[0].found


def test_checks_that_stand_together_are_judged_before_any_is_taken_as_true() -> None:
    """A wrong turn beside a net facing says nothing of that facing; behind both the facing is the net's."""
    maker = Maker()
    both = Together((maker.check(Test.TURN, 8), maker.check(Test.FACING, 2)))
    after = maker.check(Test.FACING, 4)
    program = maker.program(part(step(SPIN), both, after))

    assert 2 == confirmed(program, both.checks[0].claim) == confirmed(program, after.claim)


def test_a_cut_that_lasts_its_counts_is_replayed_so() -> None:
    """The clock behind a cut is that of its counts, whatever was danced."""
    maker = Maker()
    program = maker.program(Timed((step(BACK),), 12), part(step(BACK), lasts=36), maker.check(Test.CLOCK, 0))

    assert 48 == confirmed(program, program.claims[-1])


def test_a_billion_times_are_replayed_by_whole_rounds() -> None:
    """A run of a billion times in a run of a billion times is danced as often as it takes to come round."""
    maker = Maker()
    inner = Repeat(1, 10**9, (step(CHANGE, 2),))
    program = maker.program(Repeat(1, 10**9, (inner, Rest(1, 12))), maker.check(Test.CLOCK, 0))

    assert 12 * (10**18 + 10**9) == confirmed(program, program.claims[-1])


# -- chains of passes ------------------------------------------------------------------------------------------------


def walled() -> tuple[Program, Claim, tuple[Trace, ...], frozenset[str]]:
    """Return a dance whose second pass comes to an ordered foot that is not free, with the chain to it."""
    maker = Maker()
    order = maker.check(Test.LEAD, Foot.LEFT)
    walls = Walls(maker.claim(Kind.WALLS), 4, (part(order, step(CHANGE, 2)),))
    variation = maker.choice((step(BACK),), (step(BACK, 0),))
    program = maker.program(variation, part(order, step(CHANGE, 2), lap=True), walls=walls)
    (outcome,) = (one for one in walk(program) if one.claim == walls.claim.id)
    return program, walls.claim, outcome.traces, frozenset({walls.claim.id})


def test_a_chain_of_passes_ends_at_the_foot_that_is_not_free() -> None:
    """The dance up to a lap, one pass, and the second one, which stops at the order."""
    program, claim, traces, refuted = walled()
    (replay,) = confirm(program, claim, traces, refuted)

    assert (Test.LEAD, 1, Weight.LEFT, Weight.LEFT) == (replay.test, replay.line, replay.found, replay.begins)
    assert (Trace((Pick(0),), start=Weight.RIGHT, passes=((), ())),) == traces


@pytest.mark.parametrize(
    "wrong",
    [
        {"start": Weight.LEFT},
        {"start": None},
        {"decisions": ()},
        {"decisions": (Pick(0), Pick(0))},
        {"passes": ()},
        {"passes": ((),)},
        {"passes": ((), (Pick(0),))},
        {"passes": ((), (), ())},
        {"passes": ((Run(1, ()),), ())},
    ],
    ids=str,
)
def test_a_chain_that_is_not_of_this_dance_is_refused(wrong: dict[str, object]) -> None:
    """Its first weight is that of a lap of the dance, each pass is danced whole, and no decision is left over."""
    program, claim, (trace,), refuted = walled()

    with pytest.raises(Rejected):
        confirm(program, claim, (evolve(trace, **wrong),), refuted)


def test_where_the_dance_holds_no_lap_a_chain_begins_as_the_dance_does() -> None:
    """Nothing comes before its passes then, and its first weight is that of the start."""
    maker = Maker()
    walls = Walls(maker.claim(Kind.WALLS), 4, (part(step(CHANGE, 4)),))
    program = maker.program(step(LEAP), walls=walls)
    (outcome,) = walk(program)

    assert 4 == confirm(program, walls.claim, outcome.traces, frozenset())[0].found
    for wrong in ({"start": Weight.BOTH}, {"decisions": (Pick(0),)}):
        with pytest.raises(Rejected):
            confirm(program, walls.claim, (evolve(outcome.traces[0], **wrong),), frozenset())


# -- effort ----------------------------------------------------------------------------------------------------------


def test_a_dance_that_takes_too_long_to_replay_is_no_refutation(monkeypatch: pytest.MonkeyPatch) -> None:
    """What the judge dances again is counted: beyond its effort nothing is shown, and the claim is undecided."""
    maker = Maker()
    wrong = maker.check(Test.TURN, 0)
    program = maker.program(part(Repeat(1, 9, (step(BACK, 2),)), wrong))
    (outcome,) = walk(program)
    with pytest.raises(Spent):
        confirm(program, wrong.claim, outcome.traces, frozenset({wrong.claim.id}), effort=Effort(3))
    assert [Verdict.REFUTED] == [one.verdict for one in pipeline.decide(program, "walk")[0]]
    monkeypatch.setattr(certify, "Effort", lambda: Effort(3))
    outcomes, replays = pipeline.decide(program, "walk")
    assert [(Verdict.UNDECIDED, "budget")] == [(one.verdict, one.reason) for one in outcomes]
    assert not replays
