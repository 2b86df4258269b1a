"""Findings that are there only because another sentence was taken as put right."""

import json

import pytest

from stepcheck.formats.json import from_json, to_json
from stepcheck.formats.page import page
from stepcheck.model.findings import Diagnostic
from stepcheck.model.outcome import Verdict
from stepcheck.report import pipeline
from stepcheck.report.values import text
from stepcheck.walk import walk

WRONG_SENTENCE = """\
routine: Millpond
book: line
lead: right

part Main: 8 counts, 1/2 turn left
  Vine, turn 1/4 left, facing {facing}
  Vine, turn 1/4 left, facing 6:00

dance:
  Main
  expect facing 6:00
"""

FAR = """\
book: line
walls: 1

figures:
  Tarn, turn 1/8 left: HOLD
  Quay, 1 step left: S

part A: 9 counts, within 2 steps, front to front
  Quay | Tarn
  Quay, 1 step right, left foot
  expect left foot, facing left wall

dance:
  A x2
"""


def errors(text: str) -> list[Diagnostic]:
    """Return the findings of refuted claims."""
    report = pipeline.check_text(text, path="x.routine")
    return [one for one in report.diagnostics if one.code.id.startswith("SR5")]


def test_a_wrong_sentence_is_told_from_those_that_fit_the_steps() -> None:
    """What holds as danced, and fails only with a wrong sentence taken as put right, points to that sentence."""
    found = errors(WRONG_SENTENCE.format(facing="3:00"))
    first = [one for one in found if "as the steps are danced it is so" not in one.message]

    assert [6] == [one.span.line for one in first] and len(found) > 1
    for echo in found:
        if echo not in first:
            assert "fails only with line 6 taken as put right" in echo.message and () == echo.rows
            assert ("look at line 6 first: what is written there may be wrong, not the steps",) == echo.hints


def test_one_mistake_is_one_finding_on_the_page() -> None:
    """What fails only with another taken as put right stands in that one's text; alone it is shown with -v, and in
    JSON."""
    report = pipeline.check_text(WRONG_SENTENCE.format(facing="3:00"), path="x.routine")
    said, every = text([report]), text([report], verbose=True)
    folded = [one for one in report.diagnostics if "only_with" in dict(one.args)]

    assert 1 == said.count(": refuted: The ") + said.count(": refuted: Vine") + said.count(": refuted: Main")
    assert folded and all(one.message not in said and one.message in every for one in folded)
    assert (
        len(folded) == said.count("fails only with this taken") == page((report,)).count("fails only with this taken")
    )
    values = json.loads(to_json(report))["sheets"][0]
    assert [*range(1, len(report.diagnostics) + 1)] == [one["number"] for one in values["diagnostics"]]
    refuted = {claim["id"] for claim in values["claims"] if claim["verdict"] == "refuted"}
    assert {one.claim for one in folded} <= refuted and (report,) == from_json(to_json(report))


def test_a_wrong_step_has_no_echo() -> None:
    """Where the step is wrong, later sentences hold with the first taken as put right: one mistake, one finding."""
    text = WRONG_SENTENCE.format(facing="9:00").replace("Vine, turn 1/4 left, facing 9:00", "Vine, facing 9:00")

    assert [6] == [one.span.line for one in errors(text)]


def test_two_mistakes_are_two() -> None:
    """A sentence that fails as danced, too, stays a finding of its own; and so do the verdicts of both."""
    text = WRONG_SENTENCE.format(facing="3:00").replace("part Main: 8 counts", "part Main: 9 counts")
    report = pipeline.check_text(text)
    found = [one for one in errors(text) if "as the steps are danced" not in one.message]

    assert {5, 6} == {one.span.line for one in found}
    assert {"9 counts", "facing 3:00"} <= {claim.text for claim in report.claims if claim.verdict is Verdict.REFUTED}


def test_no_question_about_other_claims_follows_the_dancers_over_the_floor(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where passes end, and where groups come, is worked out once, not anew for each question about causes or
    variations; nor is a dance looked for that shows the answer to one."""
    followed, shown = [], []
    travels, outcomes = walk.travels, walk._outcomes
    monkeypatch.setattr(walk, "travels", lambda one, *rest: followed.append(one.travels) or travels(one, *rest))
    monkeypatch.setattr(walk, "_outcomes", lambda *given, **rest: shown.append(1) or outcomes(*given, **rest))
    assert Verdict.REFUTED is pipeline.check_text(FAR, engine="walk").verdict
    assert 1 == sum(map(bool, followed)) < len(followed) > 4 and 1 == len(shown)
