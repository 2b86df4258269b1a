"""Rows of tables that go on in the next line, and counts that overlap by a slip."""

import pytest

import stepcheck as sc
from tests.unit.drafts.test_wordings import body

HEAD = "Osier Row\n8 counts, 4 walls, line dance\n\n"
SPACED = """COUNT    STEP                                FACING
1-4      Vine left: L side, R behind,
         L 1/4 left, scuff R                 9:00
5-8      R step forward, slide L up to R,
         R step forward,
         scuff L
"""
WANTED = ["S(L) S(R) S(L) SCUFF(R), turn 1/4 left @3, facing 9:00", "S(R) S(L) S(R) SCUFF(L)"]


@pytest.mark.parametrize(
    "table",
    [
        SPACED,
        SPACED.replace("R behind,", "R behind").replace("L 1/4 left", "then L 1/4 left"),
        "| Counts | Steps | Wall |\n|---|---|---|\n| 1-4 | L side, R behind, | |\n| | L 1/4 left, scuff R | 9:00 |\n"
        "| 5-8 | R fwd, slide L up to R, | |\n| | R fwd, scuff L | |\n",
        "Counts\tSteps\tWall\n1-4\tL side, R behind,\t\n\tL 1/4 left, scuff R\t9:00\n"
        "5-8\tR fwd, slide L up to R and\t\n\tR fwd, scuff L\t\n",
        "Sec | Counts | Steps | Facing\n1 | 1-4 | L side, R behind, | \n  |  | L 1/4 left, scuff R | 9:00\n"
        "  | 5-8 | R fwd, slide L up to R, | \n  |  | R fwd, scuff L | \n",
        "COUNT    FACING   STEP\n1-4      9:00     L side, R behind,\n                  L 1/4 left, scuff R\n"
        "5-8               R fwd, slide L up to R,\n                  R fwd, scuff L\n",
    ],
)
def test_a_row_goes_on_in_the_next_line(table: str) -> None:
    """Where its first cell is empty it has no counts of its own: its words and its facing are the row's above."""
    assert body(HEAD + table, "Main") == WANTED and not sc.draft(HEAD + table).open


@pytest.mark.parametrize("title", ["SECOND SIDE", "Second side"])
def test_a_title_in_the_column_of_steps_is_no_row_that_goes_on(title: str) -> None:
    """The words over it are at their end."""
    table = f"COUNT    STEP                  FACING\n1-4      Vine left, scuff R    12:00\n         {title}\n5-8      Vine right, scuff L   12:00\n"
    lines = body(HEAD + table, "Main")

    assert lines == [
        "Vine ending in a scuff, left foot, facing 12:00",
        "Vine ending in a scuff, right foot, facing 12:00",
    ]


@pytest.mark.parametrize("rows", ["1-2 R fwd, scuff L\n2-6 Walk back L, R, L, touch R\n7-8 Stomp R, stomp L"])
def test_counts_that_begin_on_the_last_one_before_begin_behind_it(rows: str) -> None:
    """Where the steps are just as many: it is a slip, which is said."""
    made = sc.draft(HEAD + rows)

    assert body(HEAD + rows, "Main")[1] == "S(L) S(R) S(L) TCH(R)" and not made.open
    assert "counts 2-6 begin behind count 2" in made.assumed
