"""What a fix says of itself: how complete the search was, what was asked of the solver, and when it stops."""

from typing import Any

import pytest

from stepcheck.fixes.fix import repair
from stepcheck.report import pipeline

HEAD = "routine: X\nbook: clogging\nlead: left\n"
SLIP = "part A: 21 beats\n  Triple x3\ndance:\n  A\n"
TWIN = "part A: 8 beats\n  Triple\n  Triple\n  Triple\ndance:\n  A\n"


@pytest.mark.parametrize(
    ("asked", "complete"),
    [
        ({}, True),
        ({"costs": {"slip": 2}}, True),
        ({"costs": {"slip": 2}, "most_cost": 2}, True),  # so that nothing dearer is looked at
        ({"costs": {"slip": 2}, "budget": 1}, False),  # so that nothing else is
    ],
)
def test_a_slip_is_the_cheapest_as_far_as_all_cheaper_was_looked_at(asked: dict[str, Any], complete: bool) -> None:
    """What costs one less, and not more, has to be looked at."""
    fix = repair(pipeline.loads(HEAD + SLIP), limit=1, **asked)[0]
    assert ("slip", complete) == (fix.edits[0].kind, fix.evidence.complete)


def test_a_slip_that_is_a_finding_is_put_right_without_a_search() -> None:
    """So no changes were counted, and nothing cheaper is left to be looked at."""
    proof = repair(pipeline.loads(HEAD + SLIP), limit=1, finding=1)[0].evidence
    assert (True, 0, 0, "") == (proof.complete, proof.single, proof.shapes, proof.solver)


@pytest.mark.parametrize(
    ("asked", "kind", "solver"),
    [
        ({"without": ["twin"]}, "delete", "unsat"),
        ({}, "twin", ""),  # costs as little as any change
        ({"costs": {"twin": 1}}, "twin", ""),  # costs less than any that the solver knows
        ({"without": ["twin"], "finding": 1}, "delete", ""),  # a finding by itself is none of its questions
    ],
)
def test_the_solver_is_asked_where_something_could_be_cheaper(asked: dict[str, Any], kind: str, solver: str) -> None:
    """Whether anything is, if the fix costs more than the cheapest change does."""
    fix = repair(pipeline.loads(HEAD + TWIN), limit=1, **asked)[0]
    assert (kind, solver) == (fix.edits[0].kind, fix.evidence.solver)


@pytest.mark.parametrize(("budget", "known"), [(1_000, False), (None, True)])
def test_the_reason_is_looked_for_with_a_part_of_the_work(budget: int | None, known: bool) -> None:
    """Where that is spent, the answer stands without a reason."""
    sheet = HEAD + "part A: 8 beats\n  Triple\ndance:\n  A\n  expect left foot\n"
    found = repair(pipeline.loads(sheet), keep=["A"], most_cost=2, budget=budget)
    assert (True, known) == (found.complete, found.conflict is not None)


def test_the_first_claim_about_a_place_is_named_where_nothing_mends_it() -> None:
    """Of two that fail."""
    sheet = HEAD + "".join(f"part {name}: 4 beats, returns\n  Triple, 2 steps right\n" for name in "AB")
    found = repair(pipeline.loads(sheet + "dance:\n  A\n  B\n"), keep=["A", "B"])
    assert "No change of a line mends it: line 4 is about where a part leads." == found.reason


@pytest.mark.parametrize(
    ("header", "dance"),
    [("", "  A\n"), ("groups: odd lines, even lines\n", "  together:\n    odd lines: A\n    even lines: A\n")],
)
def test_the_value_that_makes_a_claim_true_needs_no_search(header: str, dance: str) -> None:
    """It is found where there is no work to spend, and where groups dance side by side, which no search follows."""
    part = "part A: left foot to right foot\n  Weir Drop\n  Triple\n"
    figure = "figures:\n  Weir Drop, 4 beats: DS DS DS RS\n"
    found = repair(pipeline.loads(f"{HEAD}{header}{figure}{part}dance:\n{dance}"), budget=1, without=["movement"])
    assert any("part A: left foot to left foot" in fix.text for fix in found)
    assert (False, False) == (found.complete, found[0].evidence.complete)
