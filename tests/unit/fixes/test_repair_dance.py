"""A fix leaves something to dance."""

from pathlib import Path

import pytest

from stepcheck.books import book as books
from stepcheck.fixes.fix import repair
from stepcheck.fixes.protected import dances
from stepcheck.language.edits import InsertLine
from stepcheck.report import pipeline

ONLY = """routine: Empty Floor
book: clogging

part Long: 4 beats, 1/2 turn left
  Triple, turn 1/4 left

dance:
  Long
"""
STILL = """routine: Still Water
book: clogging
part A: 4 beats
  Triple
dance: 8 beats
  hold 4 beats
"""


def test_the_only_part_is_not_taken_out_of_the_dance() -> None:
    """Without its steps a dance claims nothing that fails, but that is no fix, however many are asked for."""
    found = repair(pipeline.loads(ONLY), limit=12)
    assert found
    assert all(dances(pipeline.loads(fix.text).program) for fix in found)  # type: ignore[arg-type]


def test_where_only_an_empty_dance_would_do_there_is_no_fix() -> None:
    """If all that is allowed is to take lines out, a dance of one line has no fix, and the reason is looked for."""
    kinds = (
        "figure",
        "turn",
        "times",
        "insert",
        "claim",
        "reading",
        "swap",
        "part",
        "lead",
        "block",
        "cut",
        "turn times",
    )
    found = repair(pipeline.loads(ONLY), without=kinds)
    assert () == found.fixes
    assert "mends it" in found.reason


def test_a_dance_of_silence_may_stay_one() -> None:
    """Where the sheet danced nothing, nothing need be danced after a fix."""
    found = repair(pipeline.loads(STILL), limit=6, without=("claim", "call", "wait"))
    assert found and 3 == found[0].cost
    assert any(not dances(pipeline.loads(fix.text).program) for fix in found)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("rows", "something"),
    [("  Triple", True), ("  hold 4 beats", False), ("  ? 4 beats", True), ("  2 times:\n    Triple", True)],
)
def test_what_is_danced_is_a_figure_or_a_blank_for_one(rows: str, something: bool) -> None:
    """Silence is nothing; a row that is to be found is something."""
    program = pipeline.loads(f"book: clogging\npart A: 4 beats\n  Triple\ndance:\n{rows}\n").program
    assert program is not None
    assert something is dances(program)
    assert program.spares


def test_what_is_put_in_before_a_part_danced_twice_is_danced_once() -> None:
    """One step before `A x2` brings the dance onto the right foot; it does not come again between the two times."""
    text = "lead: left\npart A: right foot to right foot\n  Two\ndance: 5 counts\n  A x2\n"
    book = books.load(Path(__file__).parents[2] / "small.book")
    found = repair(pipeline.loads(text, book=book), costs={"insert": 1}, without=["claim", "lead"], level="any")

    assert (1, (InsertLine(5, "Change", True),)) == (found[0].cost, found[0].edits)
