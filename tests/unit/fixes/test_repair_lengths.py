"""The length that a line states of itself is a claim like any other: it may be what is wrong."""

import pytest

from stepcheck.fixes.fix import repair
from stepcheck.model.outcome import Verdict
from stepcheck.report import pipeline


def sheet(*rows: str, contract: str = "8 beats", calls: tuple[str, ...] = ("A",)) -> str:
    """Return a sheet of one part."""
    head = ["routine: Long Breath", "book: clogging", f"part A: {contract}"]
    return "\n".join([*head, *(f"  {row}" for row in rows), "dance:", *(f"  {call}" for call in calls), ""])


@pytest.mark.parametrize(
    ("rows", "line", "length"),
    [
        (("Triple, 5 beats", "Triple"), 4, "4 beats"),
        (("Triple", "Triple, 5 beats | Basic x2"), 5, "4 beats"),
        (("Triple", "Triple | Basic x2, 5 beats"), 5, "4 beats"),
        (("Basic x4, 4 beats",), 4, "8 beats"),
    ],
)
def test_a_length_on_a_line_is_changed_to_what_is_danced(rows: tuple[str, ...], line: int, length: str) -> None:
    """A wrong length costs no more than a claim, whichever alternative states it, and both engines say nothing is
    cheaper; it is a slip, since the length of the part contradicts it too."""
    routine = pipeline.loads(sheet(*rows, calls=("A", "A")))
    found = repair(routine, limit=1, without=("slip",))
    (edit,) = found[0].edits
    assert ("claim", line, 4) == (edit.kind, edit.line, found[0].cost)
    assert f"{length}" in found[0].text.splitlines()[line - 1]
    assert Verdict.PROVED is found[0].report.verdict
    assert ("unsat", True) == (found[0].evidence.solver, found[0].evidence.complete)
    assert found[0].text in [fix.text for fix in repair(routine)]


def test_a_length_on_a_line_and_its_figure_are_changed_together() -> None:
    """A line is changed in one way beside its claims, and its length is one of them."""
    found = repair(
        pipeline.loads(sheet("Triple, 5 beats", "Basic")), without=("times", "insert", "delete", "part", "slip")
    )
    assert {"claim", "figure"} == {edit.kind for edit in found[0].edits}
    assert 6 == found[0].cost


def test_a_kept_line_keeps_its_length() -> None:
    """Where the line or claims may not change, no other length is offered."""
    routine = pipeline.loads(sheet("Triple, 5 beats", "Triple", calls=("A", "A")))
    assert not repair(routine, keep=("4", "dance"))
    assert all(edit.kind != "claim" for fix in repair(routine, without=("claim",)) for edit in fix.edits)


def test_a_length_of_a_cut_pass_is_changed_too() -> None:
    """A line whose length is wrong is mended where its part is also danced cut."""
    found = repair(pipeline.loads(sheet("Triple", "Triple, 5 beats", calls=("A", "A, first 4 beats"))), limit=1)
    assert ("slip", 5) == (found[0].edits[0].kind, found[0].edits[0].line)


def test_steps_that_fill_the_length_are_offered_before_the_length_is_changed() -> None:
    """A line that is right in its length and wrong in its steps is mended by a step, which is cheaper."""
    found = repair(pipeline.loads(sheet("Basic, 4 beats", "Triple")), limit=20)
    assert 2 == found[0].cost
    assert all(edit.kind != "claim" for fix in found for edit in fix.edits if fix.cost == 2)
