"""The second engine's verdicts, against the plain reference and by hand."""

import pytest
from hypothesis import HealthCheck, given, settings

from stepcheck.model.dance import (
    TICKS,
    Foot,
    Forever,
    Gap,
    Kind,
    Last,
    Lengths,
    Program,
    Repeat,
    Spare,
    Test,
    Walls,
    Weight,
)
from stepcheck.model.outcome import Lead, Outcome, Pick, Run, Trace, Verdict
from stepcheck.proof.prove import prove, script
from stepcheck.proof.solver import satisfiable
from stepcheck.report.certify import confirm
from tests.program_reference import verdicts
from tests.programs import (
    BACK,
    CHANGE,
    LEAP,
    POINT,
    SPIN,
    STEP,
    STOMP,
    SWING,
    Maker,
    figure,
    part,
    programs,
    step,
    word,
)

PLAIN = settings(deadline=None, suppress_health_check=list(HealthCheck), max_examples=60)
FEW = settings(PLAIN, max_examples=25)


def told(outcomes: tuple[Outcome, ...]) -> dict[str, Verdict]:
    """Return the verdicts by claim."""
    return {outcome.claim: outcome.verdict for outcome in outcomes}


def confirmed(program: Program, outcomes: tuple[Outcome, ...]) -> bool:
    """Whether the judge confirms every refutation."""
    refuted = frozenset(outcome.claim for outcome in outcomes if outcome.verdict is Verdict.REFUTED)
    pairs = [(claim, one) for claim, one in zip(program.claims, outcomes, strict=True) if claim.id in refuted]
    return all(confirm(program, claim, one.traces, refuted) for claim, one in pairs)


@PLAIN
@given(programs())
def test_verdicts_are_those_of_the_reference(program: Program) -> None:
    """Every claim of a random program is decided as by dancing all dances, and each refutation is a real dance."""
    outcomes = prove(program)
    assert verdicts(program) == told(outcomes)
    assert confirmed(program, outcomes)


@settings(PLAIN, max_examples=12)
@given(programs(words=True))
def test_open_words_are_all_their_readings(program: Program) -> None:
    """A claim is refuted if it is refuted under one reading."""
    assert verdicts(program) == told(prove(program))


@FEW
@given(programs(blanks=True, depth=1, endless=False))
def test_blanks_leave_open_what_hangs_on_them(program: Program) -> None:
    """With blanks there are three answers, those of the reference."""
    assert verdicts(program) == told(prove(program))


@FEW
@given(programs())
def test_the_script_of_a_proof_is_unsatisfiable(program: Program) -> None:
    """The script says that no dance makes a proved claim fail, the refuted ones taken as mended."""
    text = script(program, prove(program))
    assert not satisfiable(text.replace("(check-sat)", ""))


def test_a_wrong_foot_is_refuted_once() -> None:
    """One mistake gives one finding: what follows is checked as if the sentence were true."""
    maker = Maker()
    program = maker.program(
        maker.check(Test.LEAD, 0),
        step(CHANGE),
        maker.check(Test.LEAD, 0),
        step(CHANGE),
        maker.check(Test.FOOT, 1),
    )
    assert [Verdict.PROVED, Verdict.REFUTED, Verdict.PROVED] == [outcome.verdict for outcome in prove(program)]


def test_a_trace_takes_the_first_options() -> None:
    """Of all failing dances the first in the order of decisions is shown."""
    maker = Maker()
    program = maker.program(
        maker.choice((step(CHANGE),), (step(POINT),)),
        maker.choice((step(CHANGE),), (step(POINT),)),
        maker.check(Test.FOOT, 0),
    )
    outcome = prove(program)[2]
    assert (Trace((Pick(0), Pick(1))),) == outcome.traces


def test_a_lead_from_both_feet_is_a_decision() -> None:
    """After a leap either foot may lead, the left one first."""
    maker = Maker()
    program = maker.program(step(LEAP), step(CHANGE), maker.check(Test.FOOT, 0))
    assert (Trace((Lead(Foot.LEFT),)),) == prove(program)[0].traces


def test_dances_that_turn_to_different_sides_are_shown_as_two() -> None:
    """A turn without a side goes the same way under every choice."""
    maker = Maker()
    program = maker.program(part(maker.choice((step(CHANGE, 2),), (step(CHANGE, -2),)), maker.check(Test.EITHER, 2)))
    outcome = prove(program)[1]
    assert (Verdict.REFUTED, (Trace((Pick(0),)), Trace((Pick(1),)))) == (outcome.verdict, outcome.traces)


@pytest.mark.parametrize("turn", [2, -2])
def test_a_turn_without_a_side_may_go_either_way(turn: int) -> None:
    """All dances alike is enough."""
    maker = Maker()
    program = maker.program(part(step(CHANGE, turn), maker.check(Test.EITHER, 2)), maker.check(Test.FACING, turn % 8))
    assert {Verdict.PROVED} == set(told(prove(program)).values())


def test_each_pass_of_a_part_chooses_for_itself() -> None:
    """What is chosen in one pass binds no other, although all begin alike."""
    maker = Maker()
    left, right = (step(figure(name, STEP, STEP, turn=turn)) for name, turn in (("Left", -2), ("Right", 2)))
    both = part(maker.check(Test.LEAD, 0), maker.choice((left,), (right,)))
    program = maker.program(both, both, maker.check(Test.FACING, 4))
    assert [Verdict.PROVED, Verdict.PROVED, Verdict.REFUTED] == [outcome.verdict for outcome in prove(program)]


def test_unequal_options_are_shown_as_two_dances() -> None:
    """The dancers part company: one dance takes the first option, the other the first that lasts otherwise."""
    maker = Maker()
    program = maker.program(maker.choice((step(CHANGE),), (step(POINT),), (step(BACK),)))
    assert (Trace((Pick(0),)), Trace((Pick(2),))) == prove(program)[0].traces


def test_a_lap_that_changes_the_foot_is_caught_in_its_second_round() -> None:
    """A dance without an end is decided by induction; the trace goes round as rarely as can be."""
    maker = Maker()
    program = maker.program(Forever(1, (part(maker.check(Test.LEAD, 0), step(CHANGE)),)))
    outcome = prove(program)[0]
    assert (Verdict.REFUTED, (Trace((Run(2, ()),)),)) == (outcome.verdict, outcome.traces)


def test_facings_come_round_in_four_laps() -> None:
    """What holds for three laps may fail in the fourth."""
    maker = Maker()
    last = Last((maker.check(Test.FACING, 0), step(POINT)))
    program = maker.program(Forever(1, (last, part(step(BACK, 2)))))
    assert Verdict.REFUTED is prove(program)[0].verdict


@pytest.mark.parametrize(
    ("turn", "count", "verdict"), [(2, 4, 0), (-2, 4, 0), (4, 2, 0), (0, 1, 0), (2, 2, 3), (2, 3, 3)]
)
def test_walls_are_the_order_of_the_turn(turn: int, count: int, verdict: int) -> None:
    """A quarter turn makes four walls, a half two; three walls there are none."""
    maker = Maker()
    lap = part(step(BACK, turn), lap=True)
    program = maker.program(Forever(1, (lap,)), walls=Walls(maker.claim(Kind.WALLS), count, (lap,)))
    assert Verdict(verdict) is prove(program)[0].verdict


def test_walls_want_the_same_turn_from_every_foot() -> None:
    """A lap that ends on the other foot turns a built-in turn the other way."""
    maker = Maker()
    lap = part(step(SWING), lap=True)
    program = maker.program(lap, walls=Walls(maker.claim(Kind.WALLS), 4, (lap,)))
    outcome = prove(program)[0]
    assert (Verdict.REFUTED, 2) == (outcome.verdict, len(outcome.traces))


@pytest.mark.parametrize("times", [8, 25, 64, 1000, 10**9])
def test_a_long_repeat_is_decided_exactly(times: int) -> None:
    """Length, turn and foot of a repeat do not hang on unrolling it."""
    maker = Maker()
    program = maker.program(
        part(
            Repeat(1, times, (step(SPIN),)),
            maker.check(Test.TURN, 2 * times),
            maker.check(Test.CLOCK, 2 * TICKS * times),
            maker.check(Test.FOOT, 0),
            maker.check(Test.TURN, 2 * times - 8),
        )
    )
    assert [0, 0, 0, 3] == [outcome.verdict for outcome in prove(program)]


def test_a_long_repeat_of_a_choice_has_a_trace_for_all_its_times() -> None:
    """The decisions of a billion laps are written as runs that add up."""
    maker = Maker()
    body = (maker.choice((step(CHANGE),), (step(POINT),)),)
    program = maker.program(Repeat(1, 10**9, body), maker.check(Test.FOOT, 1))
    outcomes = prove(program)
    assert Verdict.REFUTED is outcomes[1].verdict
    assert 10**9 == sum(run.times for run in outcomes[1].traces[0].decisions)
    assert confirmed(program, outcomes)


def test_a_gap_leaves_open_what_it_may_decide() -> None:
    """A claim that some fillings make true is undecided; afterwards it is taken as true."""
    maker = Maker()
    program = maker.program(
        part(Gap(1, TICKS), maker.check(Test.FOOT, 0), maker.check(Test.CLOCK, TICKS)), step(CHANGE)
    )
    outcomes = prove(program)
    assert [(Verdict.UNDECIDED, "blank"), (Verdict.PROVED, "")] == [(one.verdict, one.reason) for one in outcomes]


def test_what_fails_whatever_fills_a_blank_is_refuted() -> None:
    """Time does not hang on a blank whose length is known."""
    maker = Maker()
    program = maker.program(part(Gap(1, TICKS), maker.check(Test.CLOCK, 2 * TICKS)))
    assert Verdict.REFUTED is prove(program)[0].verdict


def test_a_spare_is_checked_from_its_own_feet() -> None:
    """The trace of a part that is never danced says which one, and where the weight is."""
    maker = Maker()
    spare = Spare((Weight.LEFT, Weight.RIGHT), (maker.check(Test.FOOT, 1),))
    outcome = prove(maker.program(step(CHANGE), spares=(spare,)))[0]
    assert (Trace((), 0, Weight.RIGHT),) == outcome.traces


def test_a_figure_is_as_long_as_its_last_beat() -> None:
    """A stated length is compared with the actions."""
    maker = Maker()
    lengths = tuple(Lengths(maker.claim(Kind.FIGURE), BACK, TICKS * beats) for beats in (2, 3))
    assert [0, 3] == [outcome.verdict for outcome in prove(maker.program(lengths=lengths))]


def test_a_claim_without_a_check_is_vacuous() -> None:
    """Nothing that the dance comes to speaks of it."""
    maker = Maker()
    maker.claim(Kind.FOOT)
    assert Verdict.VACUOUS is prove(maker.program(step(CHANGE)))[0].verdict


def test_a_spent_budget_leaves_claims_undecided() -> None:
    """A limit is a limit: never an exception, never a wrong verdict."""
    maker = Maker()
    program = maker.program(
        *(maker.choice((step(CHANGE),), (step(POINT),)) for _ in range(30)), maker.check(Test.FOOT, 0)
    )
    outcomes = prove(program, budget=1)
    assert {(Verdict.UNDECIDED, "budget")} == {(outcome.verdict, outcome.reason) for outcome in outcomes}


def test_the_fewest_words_and_the_earlier_usual_ones_break_a_claim() -> None:
    """Readings of a refutation differ from the usual ones as little as can be."""
    maker = Maker()
    stomps = figure("Stomps", STOMP)
    program = maker.program(step(stomps), maker.check(Test.FOOT, 1), words=(word(STOMP),))
    assert (Trace((), words=(1,)),) == prove(program)[0].traces


def test_the_same_program_has_the_same_outcomes() -> None:
    """Asking twice in one process changes nothing, traces included."""
    maker = Maker()
    options = [maker.choice((step(LEAP),), (step(SPIN), step(CHANGE))) for _ in range(4)]
    program = maker.program(*options, maker.check(Test.FOOT, 0), maker.check(Test.FACING, 4))
    assert prove(program) == prove(program)


def test_the_script_names_its_claims_and_uses_plain_smt_lib() -> None:
    """Any solver can read it: the logic first, one question at the end."""
    maker = Maker()
    program = maker.program(step(BACK), maker.check(Test.FOOT, 0))
    text = script(program, prove(program))
    assert "; c1: claim 1" in text
    assert (1, 1) == (text.count("(set-logic QF_BV)"), text.count("(check-sat)"))
