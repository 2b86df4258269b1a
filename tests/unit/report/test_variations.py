"""Alternatives that end on different feet or walls are what a finding names."""

import pytest

from stepcheck.model.findings import Diagnostic
from stepcheck.model.outcome import Verdict
from stepcheck.report.pipeline import check_text


def refuted(part: str, rows: str, dance: str = "Main", book: str = "clogging") -> list[Diagnostic]:
    """Return the findings about refuted claims of a sheet with one part; semicolons divide its lines, from line 5
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
    (found,) = refuted(part, rows)

    assert (expected, line) == (found.message, found.span.line)
    assert "the claim:" in found.related[0][1] and 4 == found.related[0][0].line and found.rows


def test_one_of_two_alternatives_can_be_kept() -> None:
    """What the hint would have written is proved."""
    (found,) = refuted("left foot to left foot", "Triple; Triple | Fancy Double")

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
    assert ["should" in found.message for found in refuted(part, rows)] == [True]


def test_alternatives_of_the_dance_are_named_too() -> None:
    """What is chosen in the dance is an alternative like that of a part; the claim is about the part behind it."""
    (found,) = refuted("left foot", "Triple", "Triple | Fancy Double; Main")
    said = "The alternatives of line 7 end on different feet: with `Fancy Double` Main begins with the left foot, with `Triple` not"

    assert (said, 7) == (found.message, found.span.line)


def test_a_sentence_about_the_dance_goes_on_in_small_letters() -> None:
    """What holds with one alternative stands in the middle of the finding."""
    (finding,) = refuted("8 beats", "Triple; Triple | Fancy Double", "Main; expect left foot")

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
    (finding,) = refuted(part, rows)

    assert 6 == finding.span.line
    assert [line] == [span.line for span, about in finding.related if about.startswith("the claim: ")]
