"""The two engines, the judge and a plain reference have one meaning."""

import pytest
from hypothesis import HealthCheck, given, settings

from stepcheck.certify import confirm
from stepcheck.effects import WEIGHTS, Algebra
from stepcheck.model import EIGHTHS, Foot, Program, Step, Weight
from stepcheck.moves import Words, dance, step_effect
from stepcheck.outcome import Verdict
from stepcheck.prove import prove
from stepcheck.walk import walk
from tests.programs import programs
from tests.reference import verdicts

SLOW = settings(deadline=None, suppress_health_check=list(HealthCheck), max_examples=150)


def told(outcomes):
    """Return the verdicts by claim."""
    return {outcome.claim: outcome.verdict for outcome in outcomes}


@SLOW
@given(programs())
def test_walk_has_the_meaning_of_the_reference(program: Program) -> None:
    """Walk decides every claim as the plain enumeration of all dances does."""
    assert verdicts(program) == told(walk(program))


@SLOW
@given(programs(blanks=True))
def test_walk_has_the_meaning_of_the_reference_with_blanks(program: Program) -> None:
    """Blanks make exactly those claims undecided that the reference finds open."""
    assert verdicts(program) == told(walk(program))


@SLOW
@given(programs(words=True))
def test_walk_has_the_meaning_of_the_reference_with_open_words(program: Program) -> None:
    """A claim is refuted if one assignment of readings refutes it."""
    assert verdicts(program) == told(walk(program))


@SLOW
@given(programs())
def test_both_engines_agree(program: Program) -> None:
    """Walk and z3 give the same verdict on every claim."""
    assert told(walk(program)) == told(prove(program))


@SLOW
@given(programs())
def test_every_refutation_is_confirmed_by_the_judge(program: Program) -> None:
    """Whatever an engine refutes fails when its trace is danced."""
    for outcomes in (walk(program), prove(program)):
        refuted = frozenset(o.claim for o in outcomes if o.verdict is Verdict.REFUTED)
        for claim, outcome in zip(program.claims, outcomes, strict=True):
            if outcome.verdict is Verdict.REFUTED:
                assert confirm(program, claim, outcome.traces, refuted)
