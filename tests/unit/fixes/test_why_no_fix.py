"""Why a sheet has no fix: what can't hold together, each piece of it needed."""

import json

import pytest

from stepcheck.fixes.conflict import Conflict, Held
from stepcheck.fixes.fix import repair
from stepcheck.formats.answers import repairs_text
from stepcheck.formats.json import answer_json
from stepcheck.report import pipeline

DRY_DOCK = """\
routine: Dry Dock
book: clogging
lead: left

part Verse: 16 beats, left foot to left foot
  Triple x4

part Chorus: 16 beats, front to front
  Triple x2
  Triple, turn 1/2 left            # the whole hall turns here
  Triple

dance:
  Verse
  Chorus
"""


def held(conflict: Conflict | None) -> list[tuple[int, str, str]]:
    """Return what a conflict holds, as lines, whether it is a claim or a line, and texts."""
    assert conflict is not None
    return [(one.line, one.kind, one.text) for one in conflict.holds]


def test_a_kept_part_and_its_claim_cannot_hold_together() -> None:
    """The line that turns, kept, and the claim that the part ends where it began are the reason, and nothing else."""
    found = repair(pipeline.loads(DRY_DOCK), keep=("Chorus",), without=("claim",), most_cost=6)
    assert () == found.fixes
    assert (8, "claim", "front to front") in held(found.conflict)
    assert (10, "line", "Triple, turn 1/2 left") in held(found.conflict)
    assert all(line in range(8, 12) for line, _, _ in held(found.conflict))
    assert found.conflict is not None and found.conflict.bound == 6 and found.conflict.least


def test_what_is_given_up_alone_lets_the_sheet_be_mended() -> None:
    """Beside each piece stands what the cheapest fix costs once it alone is given up."""
    found = repair(pipeline.loads(DRY_DOCK), keep=("Chorus",), without=("claim",), most_cost=6)
    assert found.conflict is not None
    assert {"line": {2}, "claim": {0, 3}} == {
        kind: {one.without for one in found.conflict.holds if one.kind == kind} for kind in ("line", "claim")
    }


def test_the_reason_is_said_in_the_words_of_the_sheet() -> None:
    """The text names line, part and words, and which lines are kept; comments of the sheet are left out."""
    text = repairs_text(repair(pipeline.loads(DRY_DOCK), keep=("Chorus",), without=("claim",), most_cost=6))
    assert text.startswith("none: no set of changes that costs 6 or less mends it, since these can't hold together:\n")
    assert "  line 8: part Chorus, `front to front`" in text
    assert "  line 10: `Triple, turn 1/2 left`, kept" in text
    assert "the whole hall" not in text


def test_the_reason_is_a_value_and_json() -> None:
    """Programs get the same pieces as people."""
    found = repair(pipeline.loads(DRY_DOCK), keep=("Chorus",), without=("claim",), most_cost=6)
    document = json.loads(answer_json(found, "x.routine"))
    assert document["conflict"]["bound"] == 6
    assert {
        "kind": "claim",
        "line": 8,
        "text": "front to front",
        "part": "Chorus",
        "kept": True,
        "without": 0,
    } in document["conflict"]["holds"]
    assert isinstance(found.conflict.holds[0], Held)  # type: ignore[union-attr]


def test_where_there_is_a_fix_nothing_stands_in_its_way() -> None:
    """A sheet that can be mended, or need not be, has no conflict."""
    assert repair(pipeline.loads(DRY_DOCK)).conflict is None
    assert repair(pipeline.loads(DRY_DOCK.replace(", front to front", ""))).conflict is None


def test_a_bound_too_low_for_two_mistakes_names_a_claim_of_each() -> None:
    """Where each mistake alone could be mended within the bound, the claims of both are the reason."""
    text = DRY_DOCK.replace("16 beats, left", "12 beats, left")
    found = repair(pipeline.loads(text), most_cost=3)
    assert [(5, "12 beats"), (8, "front to front")] == [
        (line, words) for line, kind, words in held(found.conflict) if kind == "claim"
    ]
    assert all(one.without and one.without <= 3 for one in found.conflict.holds)  # type: ignore[union-attr]


def test_one_claim_alone_may_be_the_reason() -> None:
    """Where nothing may be changed for the bound, a claim that fails is reason enough, in the singular."""
    found = repair(pipeline.loads(DRY_DOCK), most_cost=1)
    assert [(8, "claim", "front to front")] == held(found.conflict)
    assert "since this can't hold" in found.reason


def test_kept_dances_take_no_part_more() -> None:
    """With the dance kept, no part is put into it; a line of it that is kept lets others come beside it."""
    text = "book: clogging\npart A:\n  Triple x4\npart B:\n  Basic x8\ndance: 64 beats\n  A\n  B\n  A\n"
    kinds = ("claim", "times", "figure", "turn", "delete")
    assert {"  A", "  B"} & set(repair(pipeline.loads(text), without=kinds, keep=(9,))[0].text.splitlines())
    for fix in repair(pipeline.loads(text), without=("claim",), keep=("dance",)):
        assert ["  A", "  B", "  A"] == fix.text.splitlines()[-3:]


def test_a_search_that_is_cut_short_gives_no_reason_it_has_not_shown() -> None:
    """With hardly any work allowed nothing is said to be impossible."""
    found = repair(pipeline.loads(DRY_DOCK), keep=("Chorus",), without=("claim",), budget=3)
    assert found.conflict is None or found.conflict.least is False


@pytest.mark.parametrize("claim", ["Chorus, mirrored", "Chorus"])
def test_kept_lines_count_wherever_they_are_danced(claim: str) -> None:
    """A conflict is the same however the part is swapped."""
    text = DRY_DOCK.replace("  Verse\n  Chorus", f"  Verse\n  {claim}")
    found = repair(pipeline.loads(text), keep=("Chorus",), without=("claim", "delete", "swap"), most_cost=4)
    assert (8, "claim", "front to front") in held(found.conflict)
