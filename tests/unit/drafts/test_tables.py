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


ROWS = [
    ("A", "Side rock", "Rock R to side, recover L", "-", "1-2"),
    ("", "Cross shuffle", "Cross R over L, L to side, cross R over L", "12:00", "3&4"),
    ("", "Side, quarter", "L to side, turn 1/4 R stepping R forward", "9, 3", "5-6"),
    ("", "Shuffle forward", "L forward, R beside L, L forward", "3:00", "7&8"),
    ("B", "Step, pivot 1/2 left", "R forward, pivot 1/2 L", "9:00", "1-2"),
    ("", "Hold", "", "9:00", "3-4"),
    ("", "Stomp twice", "Stomp R, stomp L", "9:00", "5-6"),
    ("", "Shuffle 1/2 left", "R, L, R", "3:00", "7&8"),
]
SPELLED = [
    "RK(R) RC(L)",
    "S(R)@1 S(L)@1& S(R)@2, facing 12:00",
    "S(L) S(R), turn 1/4 right @2, facing 3:00",
    "S(L)@1 S(R)@1& S(L)@2, facing 3:00",
    "S(R) PV S, turn 1/2 left @2, facing 9:00",
    "HOLD HOLD, facing 9:00",
    "STO(R) STO(L), facing 9:00",
    "Shuffle, right foot, turn 1/2 left, facing 3:00",
]


@pytest.mark.parametrize("sign", [" | ", "    "])
@pytest.mark.parametrize(
    "heads",
    [
        "STEP|WHAT TO DO|FACING|COUNT",
        "Figure|Steps|Ends facing|Ct",
        "Movement|How to do it|You face|Counts",
        "Name|Description|Wall|Beats",
        "What|Feet|Faces|Count",
    ],
)
def test_a_column_of_names_is_beside_the_one_that_spells_them(heads: str, sign: str) -> None:
    """The spelled steps are danced, the name where they alone aren't all that it says; letters in front begin
    sections, rules between rows end no table, and the last of several walls is the one that they end on."""
    cells = [heads.split("|")]
    cells += [[f"{letter:3}{name}", words, wall, count] for letter, name, words, wall, count in ROWS]
    wide = [max(len(row[at]) for row in cells) for at in range(4)]
    lines = [sign.join(cell.ljust(size) for cell, size in zip(row, wide, strict=True)).rstrip() for row in cells]
    rule = ["-+-".join("-" * size for size in wide)] * (sign == " | ")
    text = HEAD.replace("8 counts", "16 counts") + "\n".join([lines[0], *rule, *lines[1:5], *rule, *lines[5:]])
    made = sc.draft(text)

    assert body(text, "Main") == SPELLED and not made.open
    assert "counts 1-8:  # A" in made.text and "counts 9-16:  # B" in made.text and "# Side, quarter; 9, 3" in made.text


BARRED = """count | foot | do this                    | wall
------+------+----------------------------+-----
First part: point, rock, turn
1     | R    | point to the side          | 12:00
&     | R    | close to L                 |
2     | L    | point to the side          |
&     | L    | close to R                 |
3     | R    | rock forward               |
4     | L    | weight back on L           | 12:00
------+------+----------------------------+-----
Second part: turns
5     | R    | step forward               |
6     | L    | 1/2 turn left, weight on L | 6:00
7     | R    | step forward               |
8     | L    | 1/4 turn left (weight L)   | 3:00
"""


def test_lines_across_the_columns_end_no_table() -> None:
    """Between strokes each count keeps its row; a bare turn onto the other foot is a pivot, and weight that goes back on
    a count of its own a step."""
    assert body(HEAD + BARRED, "Main") == [
        "PT(R)@1 CL(R)@1&, facing 12:00",
        "PT(L)@1 CL(L)@1&",
        "Rock, right foot",
        "Recover, left foot, facing 12:00",
        "Step, right foot",
        "PV S(L), turn 1/2 left, facing 6:00",
        "Step, right foot",
        "PV S(L), turn 1/4 left, facing 3:00",
    ]
    assert not sc.draft(HEAD + BARRED).open


def test_feet_in_their_column_are_no_steps() -> None:
    """They are those of the steps beside them, also where these are walked, and a column of numbers counts rows."""
    text = HEAD + "# | Step | Count | Foot | Direction | Wall\n1 | Walk | 1-2 | R, L | forward | 12\n"
    text += "2 | Shuffle | 3&4 | R | forward | 12\n3 | Rock, recover | 5-6 | L then R | forward | 12\n4 | Coaster | 7&8 | LRL | - | 12\n"

    assert body(text, "Main") == [
        "S(R) S(L), facing 12:00",
        "Shuffle, right foot, facing 12:00",
        "RK(L) RC(R), facing 12:00",
        "Coaster, left foot, facing 12:00",
    ]
    assert not sc.draft(text).open


def test_the_foot_of_a_row_is_that_of_its_first_words() -> None:
    """Where these aren't understood, it is no other step's; the count of a turn is that of a step."""
    rows = "1-4 | L | vine L w/ 1/4 L on 3, scuff R\n5-6 | L | check L across R, recover\n7-8 | L | walk L, R\n"
    lines = body(f"{HEAD}CT | FOOT | DO THIS\n{rows}", "Main")

    assert lines == ["Vine ending in a scuff, left foot, turn 1/4 left @3", "? 1 count", "Recover", "S(L) S(R)"]


CALLED = """What I call                        What you do                       Counts

OVER - TOUCH, OVER -
TOUCH                              cross R over L, touch L to side,
                                   cross L over R,
                                   touch R to side                   1-4
BACK AND CLAP                      back R, L, R, touch L beside R
                                   and clap both hands with partner  5-8
"""


@pytest.mark.parametrize("head", ["What I call", "Call", "What I say"])
def test_the_counts_of_a_row_may_stand_at_its_last_line(head: str) -> None:
    """The lines of a row that has one name are one row, and so are the lines of its name."""
    table = CALLED.replace("What I call", head.ljust(11))
    made = sc.draft(HEAD + table)

    assert body(HEAD + table, "Main") == ["S(R) TCH(L) S(L) TCH(R)", "S(R) S(L) S(R) TCH(L)"]
    assert not made.open
