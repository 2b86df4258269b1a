"""Sheets with several mistakes are mended one finding at a time."""

from time import process_time

import pytest

from stepcheck.breaks.states import SearchError
from stepcheck.fixes.fix import findings, repair
from stepcheck.formats.answers import repairs_text
from stepcheck.formats.json import answer_json
from stepcheck.language.alterations import applied
from stepcheck.model.outcome import Verdict
from stepcheck.report import pipeline
from tests.machine import in_time

DRAFT = """routine: Second Draft
book: clogging
level: easy, club scheme
lead: left

music:
  verse 32
  chorus 16
  verse 32
  chorus 16
  bridge 16
  chorus 16

part Verse: 32 beats, full turn right, left foot to left foot
  4 times:
    Triple
    Push-off, turn 1/2 left on 2nd

part Chorus: 16 beats, no turn, left foot to left foot
  Cowboy
  Triple
  Double Basic

part Bridge: 16 beats, front to back, left foot
  Rocking Chair x2
  Basic x3

dance:
  verse: Verse
  chorus: Chorus
  verse: Chorus
  chorus: Chorus
  bridge: Bridge
  chorus: Chorus x2
  expect facing front, left foot
"""
SECONDS = 5


def test_a_first_draft_gets_something_in_five_seconds() -> None:
    """Where one search reaches no fix for all, each finding has its own, and the best so far is said to be that."""
    routine = pipeline.loads(DRAFT, path="draft.routine")
    began = process_time()
    found = repair(routine)
    assert in_time(process_time() - began, SECONDS)

    assert sum(one.fix is not None for one in found.singles) >= 4
    assert [one.number for one in found.singles] == list(range(1, len(found.singles) + 1))
    assert "best so far" in found.statement and "`--budget N`" in found.statement
    assert found[0].evidence.left < len(findings(pipeline.check(routine))) and not found[0].evidence.complete
    assert applied(routine.sheet, found[0].edits) == found[0].text
    text = repairs_text(found)
    assert "By itself, with `--finding N`:" in text and found[0].name in text
    assert '"singles"' in answer_json(found, "draft.routine")


@pytest.mark.parametrize("number", [3, 5, 6])
def test_one_finding_is_mended_by_itself(number: int) -> None:
    """After the fix the finding is gone, and no more fail than before."""
    routine = pipeline.loads(DRAFT)
    finding = findings(pipeline.check(routine))[number]
    fix = repair(routine, finding=number, limit=1)[0]
    after = findings(pipeline.check(pipeline.loads(fix.text)))
    assert (finding.claim, finding.message) not in [(one.claim, one.message) for one in after.values()]
    assert len(after) <= len(findings(pipeline.check(routine)))
    assert Verdict.REFUTED is fix.report.verdict


def test_a_number_of_no_finding_is_refused() -> None:
    """There are as many findings as `check` tells; a sheet in which nothing fails has none."""
    routine = pipeline.loads(DRAFT)
    with pytest.raises(SearchError, match="finding 40 is none that can be mended; there is 1, 2, 3"):
        repair(routine, finding=40)
    assert not repair(pipeline.loads("book: clogging\npart A: 4 beats\n  Triple\ndance:\n  A\n"), finding=1).needed


def test_the_length_of_the_music_is_changed_where_nothing_else_mends_the_sheet() -> None:
    """A fact is the last to be changed; the fix says that it is one, and it can be ruled out."""
    sheet = DRAFT.partition("music:")[0] + (
        "music:\n  verse 24\n  chorus 16\npart Verse: no turn, left foot to left foot\n  Cowboy x2\n  Cowboy x2\n"
        "part Chorus: 16 beats, no turn, left foot to left foot\n  Cowboy x2\ndance:\n  verse: Verse\n  chorus: Chorus\n"
    )
    (fix,) = repair(pipeline.loads(sheet), keep=("Verse", "dance"))
    assert fix.name == "line 7: verse 32 instead of verse 24 (what the sheet says of the music: listen to it)"
    assert ("music", 4) == (fix.edits[0].kind, fix.cost)
    assert not repair(pipeline.loads(sheet), keep=("Verse", "dance"), without=("music",)).fixes
