"""What both engines together say where one of them has no verdict."""

from pathlib import Path

import pytest

from stepcheck.model.choices import Engine
from stepcheck.model.claims import Claim, Kind
from stepcheck.model.outcome import Outcome, Verdict
from stepcheck.report import pipeline
from stepcheck.report.pipeline import Disagreement, _agreed

SHEET = """\
book: clogging
lead: left
dance:
  Basic
  expect right foot
  expect left foot
"""


def test_what_one_engine_refutes_is_not_lost_where_the_other_spends_its_budget(monkeypatch: pytest.MonkeyPatch) -> None:
    """The judge has danced it, so nothing else has to vouch for it; a proof by one engine alone is left undecided."""
    program = pipeline.loads(SHEET).program
    assert program is not None
    spent = tuple(Outcome(claim.id, Verdict.UNDECIDED, reason="budget") for claim in program.claims)

    decided, shown = pipeline.decide(program)
    monkeypatch.setattr(pipeline, "walk", lambda program, **given: spent)
    outcomes, replays = pipeline.decide(program)

    assert [Verdict.PROVED, Verdict.REFUTED] == [one.verdict for one in decided]
    assert [(Verdict.UNDECIDED, "budget"), (Verdict.REFUTED, "")] == [(one.verdict, one.reason) for one in outcomes]
    assert shown == replays


OPEN, BUDGET = Outcome("a", Verdict.UNDECIDED, reason="blank"), Outcome("a", Verdict.UNDECIDED, reason="budget")
PROVED, REFUTED, VACUOUS = (Outcome("a", one) for one in (Verdict.PROVED, Verdict.REFUTED, Verdict.VACUOUS))


@pytest.mark.parametrize(
    ("walked", "solved", "agreed"),
    [
        *((one, one, one) for one in (OPEN, BUDGET, PROVED, REFUTED, VACUOUS)),
        *((OPEN, one, one) for one in (PROVED, REFUTED, VACUOUS)),
        *((BUDGET, one, BUDGET) for one in (PROVED, VACUOUS)),
        *((one, BUDGET, BUDGET) for one in (PROVED, VACUOUS)),
        (BUDGET, REFUTED, REFUTED),
        (REFUTED, BUDGET, REFUTED),
        (OPEN, BUDGET, OPEN),
        *((one, OPEN, None) for one in (PROVED, REFUTED, VACUOUS)),
        (PROVED, REFUTED, None),
        (REFUTED, VACUOUS, None),
    ],
)
def test_the_engines_agree_or_the_difference_is_told(walked: Outcome, solved: Outcome, agreed: Outcome | None) -> None:
    """Only the walk may leave open behind a blank what the solver decides; who spends the budget decides nothing, and
    any other difference is a mistake of stepcheck."""
    claim = Claim("a", Kind.FOOT, 1, "left foot")
    if agreed is None:
        with pytest.raises(Disagreement):
            _agreed(claim, walked, solved)
    else:
        assert _agreed(claim, walked, solved) is agreed


@pytest.mark.parametrize(
    ("engine", "named"), [("walk", ["stepcheck"]), ("z3", ["stepcheck", "z3"]), ("both", ["stepcheck", "z3"])]
)
def test_a_report_names_the_programs_that_decided(engine: Engine, named: list[str]) -> None:
    """The solver only where it has been asked, of a sheet that is ill-formed, too."""
    for text in (SHEET, "nothing"):
        assert named == [name for name, _ in pipeline.check_text(text, engine=engine).versions]


def test_the_script_and_the_certificate_of_a_sheet_stand_where_it_is_said(tmp_path: Path) -> None:
    """In a folder that is made for them, beside the report."""
    scripts, papers = tmp_path / "scripts", tmp_path / "papers"
    pipeline.check_text(SHEET, path="weir.routine", engine="walk", smt2=str(scripts), certificate=str(papers))

    assert [1, 1] == [len(list(folder.iterdir())) for folder in (scripts, papers)]
    assert "(assert" in next(scripts.iterdir()).read_text()
