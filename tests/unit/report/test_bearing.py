"""Findings that are there only because another sentence was taken as put right."""

import json

import pytest

from stepcheck.formats.json import from_json, to_json
from stepcheck.formats.page import page
from stepcheck.model.findings import Diagnostic
from stepcheck.model.outcome import Verdict
from stepcheck.report import pipeline
from stepcheck.report.pipeline import check_text
from stepcheck.report.text import text
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


HEADED = "book: line\npart A:\n  counts 1-8:\n    Vine{}\n  counts 9-16:\n    Vine x2\ndance: {} counts\n  A\n"


@pytest.mark.parametrize(("times", "length", "marked"), [("", 12, True), ("", 20, False), (" x3", 20, True)])
def test_an_echo_is_found_past_claims_that_hold_by_its_cause(times: str, length: int, marked: bool) -> None:
    """The second heading begins right only with the first taken as put right, so it is no witness of how long the dance
    is: as the steps are danced, that is so or not."""
    first, last = errors(HEADED.format(times, length))

    assert (3, 7) == (first.span.line, last.span.line)
    assert marked == ("as the steps are danced it is so" in last.message) == (len(first.related) > 0)


def test_two_mistakes_are_two() -> None:
    """A sentence that fails as danced, too, stays a finding of its own; and so do the verdicts of both."""
    text = WRONG_SENTENCE.format(facing="3:00").replace("part Main: 8 counts", "part Main: 9 counts")
    report = pipeline.check_text(text)
    found = [one for one in errors(text) if "as the steps are danced" not in one.message]

    assert {5, 6} == {one.span.line for one in found}
    assert {"9 counts", "facing 3:00"} <= {claim.text for claim in report.claims if claim.verdict is Verdict.REFUTED}


def findings_of(part: str, rows: str, dance: str = "Main", book: str = "clogging") -> list[Diagnostic]:
    """Return the findings about findings_of claims of a sheet with one part; semicolons divide its lines, from line 5
    on."""
    body = "".join(f"  {row}\n" for row in rows.split("; "))
    order = "".join(f"  {row}\n" for row in dance.split("; "))
    report = check_text(f"routine: Weir\nbook: {book}\n\npart Main: {part}\n{body}dance:\n{order}")
    assert report.verdict is Verdict.REFUTED
    return [one for one in report.diagnostics if one.code.id.startswith("SR5")]


@pytest.mark.parametrize(
    ("part", "rows", "expected", "line"),
    [
        (
            "left foot to left foot",
            "Triple; Triple | Fancy Double",
            (
                "The alternatives of line 6 end on different feet: with `Triple` Main ends with the left foot free, "
                "with `Fancy Double` not"
            ),
            6,
        ),
        (
            "1/4 turn left",
            "Triple; Triple, turn 1/4 left | Triple",
            (
                "The alternatives of line 6 end on different walls: with `Triple, turn 1/4 left` Main makes 1/4 turn left in all, "
                "with `Triple` not"
            ),
            6,
        ),
        (
            "left foot to left foot",
            "Triple | Fancy Double; Triple | Fancy Double",
            (
                "The alternatives of lines 5 and 6 end on different feet: "
                "with `Triple` and `Triple` Main ends with the left foot free, with `Triple` and `Fancy Double` not"
            ),
            5,
        ),
    ],
)
def test_alternatives_that_disagree_are_named(part: str, rows: str, expected: str, line: int) -> None:
    """The finding stands at the alternatives, says with which the claim holds and with which not, and points to the
    claim."""
    (found,) = findings_of(part, rows)

    assert (expected, line) == (found.message, found.span.line)
    assert "the claim:" in found.related[0][1] and 4 == found.related[0][0].line and found.rows


def test_one_of_two_alternatives_can_be_kept() -> None:
    """What the hint would have written is proved."""
    (found,) = findings_of("left foot to left foot", "Triple; Triple | Fancy Double")

    assert ("let them end with the same foot free", "or write only `Triple`") == found.hints
    text = "routine: Weir\nbook: clogging\n\npart Main: left foot to left foot\n  Triple\n  Triple\ndance:\n  Main\n"
    assert Verdict.PROVED is check_text(text).verdict


@pytest.mark.parametrize(
    ("part", "rows"),
    [
        ("left foot to left foot", "Triple; Fancy Double | Fancy Double"),
        ("left foot to left foot", "Triple; Triple, turn 1/4 left | Triple; Triple"),
        ("9 beats", "Triple; Triple | Fancy Double"),
    ],
)
def test_alternatives_that_decide_nothing_are_not_named(part: str, rows: str) -> None:
    """Where the claim fails with each of them, or they end alike in what it is about, it is said as ever."""
    assert ["should" in found.message for found in findings_of(part, rows)] == [True]


def test_alternatives_of_the_dance_are_named_too() -> None:
    """What is chosen in the dance is an alternative like that of a part; the claim is about the part behind it."""
    (found,) = findings_of("left foot", "Triple", "Triple | Fancy Double; Main")
    said = "The alternatives of line 7 end on different feet: with `Fancy Double` Main begins with the left foot, with `Triple` not"

    assert (said, 7) == (found.message, found.span.line)


def test_a_sentence_about_the_dance_goes_on_in_small_letters() -> None:
    """What holds with one alternative stands in the middle of the finding."""
    (finding,) = findings_of("8 beats", "Triple; Triple | Fancy Double", "Main; expect left foot")

    assert "with `Triple` the dance ends with the left foot free" in finding.message


@pytest.mark.parametrize(
    ("part", "rows", "line"),
    [
        ("left foot to left foot", "Triple; Triple | Fancy Double", 4),
        ("", "Triple; Triple | Fancy Double; expect left foot", 7),
    ],
)
def test_the_claim_stands_beside_the_alternatives_wherever_it_is(part: str, rows: str, line: int) -> None:
    """Before them or behind them, its line is named."""
    (finding,) = findings_of(part, rows)

    assert 6 == finding.span.line
    assert [line] == [span.line for span, about in finding.related if about.startswith("the claim: ")]


def test_no_question_about_other_claims_follows_the_dancers_over_the_floor(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where passes end, and where groups come, is worked out once, not anew for each question about causes or
    variations; nor is a dance looked for that shows the answer to one."""
    followed, shown = [], []
    travels, outcomes = walk.travels, walk._outcomes
    monkeypatch.setattr(walk, "travels", lambda one, to, *rest: followed.append(to) or travels(one, to, *rest))
    monkeypatch.setattr(walk, "_outcomes", lambda *given, **rest: shown.append(1) or outcomes(*given, **rest))
    assert Verdict.REFUTED is pipeline.check_text(FAR, engine="walk").verdict
    assert 1 == sum(map(bool, followed)) < len(followed) > 4 and 1 == len(shown)
