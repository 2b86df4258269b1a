"""What a judge is handed is one dance, said so that it can be danced in one way only."""

import pytest

from stepcheck.model.outcome import Verdict
from stepcheck.report import pipeline

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


@pytest.mark.parametrize("engine", ["walk", "z3", "both"])
@pytest.mark.parametrize("blank", ["  Basic x?", "  ? times:\n    Basic", "  Triple x2"])
def test_a_blank_number_ends_before_the_next_repeat(blank: str, engine: str) -> None:
    """How often a blank is danced is told apart from the repeats after it, so that what they refute can be shown."""
    report = pipeline.check_text(SHEET.format(blank=blank), engine=engine)
    (wrong,) = (claim for claim in report.claims if claim.verdict is Verdict.REFUTED)

    assert "16 beats" == wrong.text
    assert all(not one.code.id.startswith("SR9") for one in report.diagnostics)
