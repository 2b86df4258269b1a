"""The work of a repair: one budget for all the shapes of a sheet, and what is said where it is spent."""

from pathlib import Path

import pytest

from stepcheck.breaks.material import material
from stepcheck.fixes.fix import repair
from stepcheck.fixes.protected import Trials
from stepcheck.fixes.repairs import priced
from stepcheck.model.outcome import Verdict
from stepcheck.model.work import LAYING, Work, WorkSpent
from stepcheck.report import pipeline
from stepcheck.search.cheapest import Cheapest

FAULTY = Path(__file__).parents[3] / "specs" / "faulty"
KITE = """routine: Copper Kite
book: clogging
lead: left

music:
  verse 32
  chorus 16
  verse 32
  chorus 16

part Verse: 32 beats, 2nd time 40 beats, left foot to left foot, no turn
  4 times:
    Triple
    Push-off
  2nd time only:
    Cowboy

part Chorus: 16 beats, front to back
  Fancy Double | Basic x2
  Push-off, turn 1/4 right
  Fancy Double
  Push-off, turn 1/4 right

dance:
  verse: Verse
  chorus: Chorus
  verse: Verse
  chorus: Chorus
"""


def test_work_is_spent_once() -> None:
    """What is more than the budget is refused, and what was spent is told."""
    work = Work(5)
    work.spend(3)
    assert 3 == work.spent
    work.spend(2)
    with pytest.raises(WorkSpent):
        work.spend(1)


def test_all_shapes_of_a_sheet_share_one_budget() -> None:
    """No more shapes are laid out than the budget allows, and what is danced in them counts too."""
    routine = pipeline.loads(KITE)
    search = Cheapest(routine, material(routine, None), priced(None, ("name",)), frozenset(), 20 * LAYING)
    with pytest.raises(WorkSpent):
        for cost in search.sums(8):
            list(search.level(cost))
    assert 2 < search.shaped < 20


def test_a_fix_behind_a_search_that_was_spent_is_not_said_to_be_the_cheapest() -> None:
    """A fix is given that may not be the cheapest, and the sheet is told so, not that nothing cheaper exists."""
    found = repair(pipeline.loads(KITE), budget=150_000)
    assert 4 == found[0].cost
    assert ["music"] == [edit.kind for edit in found[0].edits]
    assert Verdict.PROVED is found[0].report.verdict
    assert (
        "Whether anything costs less than 4 could not be decided within the budget; `--budget N` looks further."
        == found.statement
    )
    assert "" == found[0].evidence.solver


def test_a_budget_that_is_too_small_for_anything_says_so() -> None:
    """Nothing is claimed of a search that hardly began."""
    found = repair(pipeline.loads(KITE), budget=10, without=("music",))
    assert () == found.fixes
    assert found.needed and found.reason.startswith("No fix was found within the budget")


GATES = """routine: Two Gates
book: clogging
part A: 8 beats
  Triple
  Double Basic
part B: 16 beats
  Triple
  Triple
dance:
  A
  B
"""


@pytest.mark.parametrize("without", [("claim",), ("claim", "part"), ()])
def test_wishes_that_contradict_each_other_are_no_matter_of_the_budget(without: tuple[str, ...]) -> None:
    """A kept part that fails by itself is mended by no change beside it, and that is said for all that was asked."""
    found = repair(pipeline.loads(GATES), keep=("B",), without=without)
    assert () == found.fixes
    assert found.reason.startswith("No set of changes that costs 8 or less mends it")
    assert found.conflict is not None and {"line 6", "line 7", "line 8"} <= {
        one.sentence.partition(":")[0] for one in found.conflict.holds
    }


def test_parts_that_are_known_cost_little_of_the_budget() -> None:
    """A part is not followed again from the same foot with the same changes: little work mends a sheet of one part."""
    found = repair(pipeline.load(FAULTY / "four_winds.routine"), budget=3_000, limit=1)

    assert (2, "No change costs less.") == (found[0].cost, found.statement)


def test_changes_that_turn_out_to_mend_nothing_are_work_too(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where a cut keeps the dance from a claim, many changes let nothing fail and leave it out of reach all the same:
    how many of them are tried is a matter of the budget."""
    tried: list[object] = []
    after = Trials.after
    monkeypatch.setattr(Trials, "after", lambda self, edits: (tried.append(edits), after(self, edits))[1])
    sheet = pipeline.loads("book: line\npart A:\n  counts 1-8:\n    Vine x3\ndance:\n  A, first 4 counts\n")

    assert not repair(sheet, budget=20_000).complete
    assert 0 < len(tried) < 2 * 20_000 // LAYING
