"""What the first engine hands over: verdicts, dances and places, with words as they are read."""

import pytest
from attrs import evolve

from stepcheck.model.claims import Kind, Test
from stepcheck.model.dance import TICKS, Figure, Foot, Lengths, Repeat, Spare, Version, Weight
from stepcheck.model.outcome import Outcome, Pick, Trace, Verdict
from stepcheck.report.certify import confirm
from stepcheck.walk import walk as walking
from stepcheck.walk.walk import danced_wrongly, survey, trace, verdicts, walk
from tests.programs import BACK, CHANGE, STEP, STOMP, Maker, figure, part, row, step, word

TWO = Figure("Two", (Version("one way", row(STEP), TICKS, 2), Version("another", row(STEP), TICKS, 4)))


@pytest.mark.parametrize("open_", [STOMP, TWO], ids=["a movement", "a figure"])
def test_the_reading_under_which_a_claim_fails_is_shown(open_: object) -> None:
    """The least assignment under which it does, with a dance."""
    maker = Maker()
    made = TWO if open_ is TWO else figure("Stomp", STOMP)
    holding = (Test.TURN, 2) if open_ is TWO else (Test.FOOT, Foot.RIGHT)
    claim = maker.check(*holding)
    program = maker.program(part(step(made), claim), words=(word(TWO if open_ is TWO else STOMP),))
    (outcome,) = walk(program)

    assert Verdict.REFUTED is outcome.verdict and (1,) == outcome.traces[0].words
    assert confirm(program, program.claims[0], outcome.traces, frozenset({"c1"}))
    seen = survey(program)
    assert seen is not None and {"c1": 0b10} == seen.refuted


def test_places_are_the_checks_that_fail() -> None:
    """Of a claim that stands at several, under the assignment that is shown."""
    maker = Maker()
    claim = maker.check(Test.CLOCK, 12)
    other = evolve(claim, line=9)
    (outcome,) = walk(maker.program(step(BACK), claim, step(CHANGE), other, step(CHANGE), evolve(claim, line=10)))

    assert (Verdict.REFUTED, 3) == (outcome.verdict, outcome.places)

    maker = Maker()
    late = maker.check(Test.CLOCK, 5)
    (outcome,) = walk(maker.program(step(TWO), late, step(CHANGE), evolve(late, line=9), words=(word(TWO),)))
    assert ((0,), 2) == (outcome.traces[0].words, outcome.places)


@pytest.mark.parametrize(
    ("beats", "verdict"), [(1, Verdict.REFUTED), (2, Verdict.PROVED), (3, Verdict.REFUTED), (0, Verdict.REFUTED)]
)
def test_a_figure_lasts_to_its_last_beat(beats: int, verdict: Verdict) -> None:
    """What is stated of it is compared with its movements."""
    maker = Maker()
    lengths = Lengths(maker.claim(Kind.FIGURE), BACK, beats * TICKS)
    (outcome,) = walk(maker.program(lengths=(lengths,)))
    assert (verdict, int(verdict is Verdict.REFUTED), ()) == (outcome.verdict, outcome.places, outcome.traces)


def test_what_is_not_come_to_within_the_budget_is_undecided() -> None:
    """What fails before stays refuted; verdicts alone are none then, nor is a survey."""
    maker = Maker()
    early, late = maker.check(Test.CLOCK, 0), maker.check(Test.CLOCK, 0)
    program = maker.program(step(BACK), early, *(step(CHANGE),) * 50, Repeat(1, 2, (step(CHANGE),)), late)
    one, two = walk(program, budget=54)

    assert (Verdict.REFUTED, Verdict.UNDECIDED, "budget") == (one.verdict, two.verdict, two.reason)
    assert {} == verdicts(program, budget=54) and survey(program, budget=54) is None
    assert {"c1": Verdict.REFUTED, "c2": Verdict.REFUTED} == verdicts(program, budget=56)


def test_too_many_readings_are_not_walked(monkeypatch: pytest.MonkeyPatch) -> None:
    """More assignments than may be leave everything undecided; as many as may be do not."""
    maker = Maker()
    program = maker.program(step(figure("Stomp", STOMP)), maker.check(Test.CLOCK, 12), words=(word(STOMP),))
    for most, verdict in ((2, Verdict.PROVED), (1, Verdict.UNDECIDED)):
        monkeypatch.setattr(walking, "MOST_ASSIGNMENTS", most)
        assert [verdict] == [outcome.verdict for outcome in walk(program)]
        assert (verdicts(program) == {}) is (most == 1)


def test_a_dance_is_found_for_what_another_engine_refutes() -> None:
    """Under the usual readings or those given, and none for work that does not reach it."""
    maker = Maker()
    choice = maker.choice((step(BACK),), (step(CHANGE),))
    program = maker.program(part(step(TWO), maker.check(Test.TURN, 2)), choice, words=(word(TWO),))
    refuted = frozenset({"c1"})

    assert (Trace((Pick(0),), words=(0,)), Trace((Pick(1),), words=(0,))) == trace(program, "c1", refuted)
    assert (1,) == trace(program, "c2", refuted, readings=(1,))[0].words
    assert () == trace(program, "c1", refuted, budget=2) == trace(program, "c2", refuted)


def test_who_has_danced_wrongly_in_the_dance_itself() -> None:
    """Not what fails in a part that is never danced, nor without a dance."""
    maker = Maker()
    spare = Spare((Weight.LEFT,), (step(BACK), maker.check(Test.CLOCK, 12)))
    wrong = maker.check(Test.CLOCK, 12)
    program = maker.program(Repeat(1, 2, (step(CHANGE),)), wrong, spares=(spare,))
    outcomes = walk(program)

    assert [Verdict.REFUTED] * 2 == [outcome.verdict for outcome in outcomes]
    assert {"c2"} == danced_wrongly(program, (*outcomes, None, Outcome("c9", Verdict.REFUTED)), ())
