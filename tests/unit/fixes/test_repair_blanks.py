"""Fixes of sheets that also hold blanks: what fails is mended, what waits on a blank is named, and the blanks can be
filled."""

import pytest

from stepcheck.breaks.fill import fill
from stepcheck.fixes.fix import repair
from stepcheck.formats.answers import repairs_text
from stepcheck.model.outcome import Verdict
from stepcheck.report import pipeline

GAP = """\
routine: Gap in the Hedge
book: clogging
level: intermediate, club scheme
lead: left

part Verse: 32 beats, 1/2 turn right, left foot to left foot
  2 times:
    Triple x2
    Basic x3, turn 1/4 right on last

part Bridge: 16 beats, 1/2 turn left, left foot to left foot
  Rocking Chair
  ? 8 beats
  Fancy Double

dance:
  Verse
  Bridge
  expect facing front
"""
TURN = """\
routine: Smudge
book: clogging
lead: left

part Verse: 16 beats, 1/2 turn left, left foot to left foot
  Triple x2
  Push-off, turn ?
  Triple

part Chorus: 16 beats, no turn
  Cowboy
  Basic x3

dance:
  Verse
  Chorus
  expect facing back, left foot
"""
TIMES = """\
routine: Smudge
book: clogging
lead: left

part Verse: 16 beats, left foot to left foot
  2 times:
    Triple
  ? times:
    Basic

part Chorus: 16 beats, no turn
  Cowboy
  Basic x3

dance:
  Chorus, left foot
  Verse
"""
FOOT = """\
book: line
lead: right

part Main: 16 counts, right foot to right foot
  Vine, right foot
  Vine, ? foot
  Jazz Box x3

dance:
  Main x2
"""


@pytest.mark.parametrize("text", [GAP, TURN, TIMES, FOOT])
def test_a_fix_leaves_only_what_waits_on_a_blank_and_fill_then_finishes(text: str) -> None:
    """After each fix nothing fails any more, and what stays open can be filled so that all is proved."""
    routine = pipeline.loads(text)
    assert pipeline.check(routine).verdict is Verdict.REFUTED
    found = repair(routine)
    assert found.fixes
    for fix in found:
        assert Verdict.UNDECIDED is fix.report.verdict
        assert fill(pipeline.loads(fix.text), limit=1).fills
        assert fix.text.count("?") == text.count("?")


def test_what_waits_is_named() -> None:
    """The text says which claims wait on the blanks."""
    text = repairs_text(repair(pipeline.loads(TURN), limit=1))
    assert "(cost 2) (waits on a blank: line 5 `1/2 turn left`" in text


def test_the_one_turn_that_a_blank_may_have_counts_for_all_its_times() -> None:
    """A blank danced twice is one unknown: a fix must not need two values of it."""
    text = "book: clogging\nlead: left\npart A: 8 beats\n  Triple, turn ?\n  Triple\ndance:\n  A\n  expect facing 3:00\n  A\n  expect facing 3:00\n"
    for fix in repair(pipeline.loads(text)):
        assert fill(pipeline.loads(fix.text), limit=1).fills


def test_a_sheet_that_fails_whatever_fills_its_blanks_is_not_said_to_hold() -> None:
    """What only the second engine refutes, since each row fails somewhere else, is named and not denied."""
    text = (
        "routine: Ford\nbook: line\nvine: ends in a touch\n\npart Main: 16 counts\n  Vine, right foot\n  ? 4 counts\n  Shuffle\n"
        "  Rock Step\n  Shuffle x2\n\ndance:\n  Main\n  Main, first 8 counts\n  Main x2\n"
    )
    routine = pipeline.loads(text)

    (claim,) = (one for one in pipeline.check(routine).claims if one.verdict is Verdict.REFUTED)
    found = repair(routine)
    assert (found.needed, found.fixes) == (True, ())
    assert found.reason.startswith(f"Whatever fills the blanks, this fails: line {claim.line} `{claim.text}`.")
    assert not repair(pipeline.loads(text.replace(", first 8 counts", ""))).needed
