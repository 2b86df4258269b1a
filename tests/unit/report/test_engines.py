"""What both engines together say where one of them has no verdict."""

from stepcheck.model.outcome import Outcome, Verdict
from stepcheck.report import pipeline

SHEET = """\
book: clogging
lead: left
dance:
  Basic
  expect right foot
  expect left foot
"""


def test_what_one_engine_refutes_is_not_lost_where_the_other_spends_its_budget() -> None:
    """The judge has danced it, so nothing else has to vouch for it; a proof by one engine alone is left undecided."""
    program = pipeline.loads(SHEET).program
    assert program is not None
    spent = tuple(Outcome(claim.id, Verdict.UNDECIDED, reason="budget") for claim in program.claims)

    decided, shown = pipeline.decide(program)
    outcomes, replays = pipeline.decide(program, walked=spent)

    assert [Verdict.PROVED, Verdict.REFUTED] == [one.verdict for one in decided]
    assert [(Verdict.UNDECIDED, "budget"), (Verdict.REFUTED, "")] == [(one.verdict, one.reason) for one in outcomes]
    assert shown == replays
