"""Rows of tables as lines of cues."""

import re

import pytest

import stepcheck as sc


@pytest.mark.parametrize(
    ("cell", "wanted"),
    [("16", 16), ("8+8", 16), ("8 + 4 + 4 cts", 16), ("17-32", 16), ("1 - 16", 16), ("(16)", 16), ("16 (in all)", 16)],
)
def test_a_cell_says_how_many_beats(cell: str, wanted: int) -> None:
    """A column of beats holds a length, the lengths of its halves, or the first beat and the last."""
    made = sc.draft(
        f"Quern Lane (clogging)\nwait 8, left foot lead\n\nA\n\nSteps\tBeats\tNotes\nGander Hop\t{cell}\tlow\n4 Basics\t8\tlow\n"
    )

    assert f"  ? {wanted} beats" in made.text


MARGIN = """Sedge Mill (clogging)

{}
      VERSE
 16   wait
  8   2 triples fwd (L, R)
  4   rocking chair, 1/4 L
  8   chain L, chain R
      CHORUS
  8   4 basics
      VERSE
 20   same
      CHORUS x 2
 16   same
"""


@pytest.mark.parametrize("head", ["beats", "", "(beats)"])
def test_numbers_in_a_margin_are_beats(head: str) -> None:
    """Where the margin has its head, or how often a figure is danced stands behind its numbers, no number of it is how
    often."""
    made = sc.draft(MARGIN.format(head))
    lines = [line.strip() for line in made.text.splitlines()]

    assert "Rocking Chair, 4 beats, turn 1/4 left" in lines
    assert not any("x8" in line or "x4, left foot" in line for line in lines)
    assert ["Verse", "Chorus", "Verse", "Chorus x2"] == lines[lines.index("dance:") + 1 :][:4]
    assert () == made.open


TABLE = """Sedge Mill (clogging)

STEP              FOOTWORK                     BEATS   DIRECTION

PART A
Vine              DS DS(xf) DS RS              4       left
2 Basics          DS RS DS RS                  4       R foot

PART B
Triple            DS DS DS RS                  4       1/2 R
Repeat all                                     4       to front

SEQUENCE
A   B   A
"""


def test_a_table_goes_on_behind_empty_lines() -> None:
    """The columns of a table are those of its head until a line has none of them, whatever parts stand between."""
    made = sc.draft(TABLE)

    assert "  Basic x2, right foot, 4 beats\n" in made.text
    assert "    Triple, 4 beats, turn 1/2 right\n  expect facing front" in made.text
    assert made.text.endswith("dance:\n  A\n  B\n  A\n")
    assert () == made.open


BESIDE = """Sedge Mill (clogging)

PART A  (24 beats)
  2 Triples     DS  DS  DS  RS     DS  DS  DS  RS
  (fwd, back)   L   R   L   RL     R   L   R   LR
                &1  &2  &3  &4     &5  &6  &7  &8

  Cowboy        DS  DS  DS  BR SL  DS  RS  RS  RS
  (turn 1/2 L   L   R   L   R  L   R   LR  LR  LR
   on last 4)   &1  &2  &3  &  4   &5  &6  &7  &8

  Triple L & R  DS  DS  DS  RS
                L   R   L   RL
                repeat on R foot
"""


def test_a_bracket_beside_rows_is_of_their_cue() -> None:
    """What stands in brackets in front of the feet and beats of a row, on one line or on two, marks the cue of the row;
    the foot of a repeat that the cue has already adds nothing."""
    made = sc.draft(BESIDE)
    lines = [line.strip() for line in made.text[made.text.index("part A") :].splitlines()]

    assert [
        "Triple x2, left foot (forward, back)",
        "Cowboy, left foot, turn 1/2 left (on the last 4)",
        "Triple, left foot",
        "Triple, right foot",
    ] == lines[1:5]


@pytest.mark.parametrize(
    ("said", "line"),
    [
        ("Cowboy, 1/2 L on the last 4 beats", "Cowboy, turn 1/2 left (on the last 4)"),
        ("Cowboy DS DS DS BR SL DS RS RS RS\n(turn 1/2 L on last 4)", "Cowboy, turn 1/2 left (on the last 4)"),
        ("Cowboy, backing up on the last 4", "Cowboy (back, on the last 4)"),
        ("4 Basics, turn 1/2 L on last 2", "? 8 beats  # 4 Basics, turn 1/2 L on last 2"),
    ],
)
def test_the_beats_of_a_figure_on_which_it_turns_are_a_note(said: str, line: str) -> None:
    """The figure turns once, whichever of its beats does; of several times it may be some, and the line is a blank."""
    made = sc.draft(f"Sedge Mill (clogging)\n\nA\n{said}\n2 Triples\n").text

    assert f"part A:\n  {line}\n  Triple x2\n" in made


_HEAD = "STEP              CODES                          FOOT   BEATS   NOTES\n"


def _table(rows: str) -> list[str]:
    """Return the lines of part A of a sheet that rows of a table come to."""
    text = sc.draft(f"Sedge Mill (clogging)\nwait 8, left foot lead\n\n{_HEAD}{rows}").text
    return text.split("part A")[1].split("\n\n")[0].split("\n", 1)[1].replace("\n  ", "\n").strip().split("\n")


@pytest.mark.parametrize(
    ("rows", "wanted"),
    [
        (
            "PART A\n"
            "Clogover Vine     DS DS(xif) DS DS(xib)\n"
            "                  DS DS(xif) DS RS               L      8       to left\n"
            "Clogover Vine     same                           R      8       to right\n",
            ["Clog-over Vine, left foot, 8 beats (to the left)", "Clog-over Vine, right foot, 8 beats (to the right)"],
        ),
        (
            "PART A\n"
            "Clogover Vine     DS DS(xif) DS DS(xib)          L      8       to left\n"
            "                  DS DS(xif) DS RS\n"
            "Triple            DS DS DS RS                    R      4       move\n"
            "                                                                forward\n",
            ["Clog-over Vine, left foot, 8 beats (to the left)", "Triple, right foot, 4 beats (forward)"],
        ),
        (
            "PART A\n"
            "Triple            DS DS DS RS                    L      4\n"
            "                  DS DS DS RS                    R      4\n",
            ["Triple, left foot, 4 beats", "DS(R) DS DS RS, 4 beats"],
        ),
        (
            "PART A\n"
            "Repeat nothing here, the first line stands across all of the columns\n"
            "4 Basics          DS RS                          LRLR   8       360 left\n"
            "2 Triples         DS DS DS RS                    L,R    8       1/2 left each\n",
            ["Basic x4, left foot, 8 beats, turn 1/4 left", "Triple x2, left foot, 8 beats, turn 1/2 left"],
        ),
    ],
)
def test_a_row_goes_on_in_the_next_one_and_a_table_behind_a_line_across_it(rows: str, wanted: list[str]) -> None:
    """A row that names no step goes on with the codes or the notes above it, where just one of both has the beats; a
    line across the columns ends no table."""
    assert wanted == _table(rows)[-len(wanted) :]


@pytest.mark.parametrize(
    ("row", "wanted"),
    [
        (
            "| 8 | Basic (4) | DS RS, 4 times | L RL R LR, x2 | 1/4 L on each |",
            "Basic x4, left foot, 8 beats, turn 1/4 left",
        ),
        ("| 16 | Rocking Chair(4) | DS BR SL DS RS | L R L R LR | |", "Rocking Chair x4, left foot, 16 beats"),
        ("| 4 | Basic (2) | DS RS DS RS | L RL R LR | in place |", "Basic x2, left foot, 4 beats (in place)"),
        ("| 4 | Toe Heels (4) | T H, T H, T H, T H | L R L R | walk forward |", "T(L) H T(R) H T(L) H T(R) H, 4 beats"),
        ("| 2 | Stomp, clap | STO, clap | L | hold the pose |", "STO(L) CLAP, 2 beats"),
        ("| 2 | Double Steps | DS DS | L R | |", "DS(L) DS(R), 2 beats"),
    ],
)
def test_cells_between_bars_say_how_often_and_on_which_feet(row: str, wanted: str) -> None:
    """A number in brackets behind a step is how often it is danced where the beats have their own column, feet of
    several times are those of each, and words for the codes of a row are no other steps; heads of parts stand between
    bars as well."""
    head = "| Beats | Cue | Steps | Feet | Notes |\n|-----|-----|\n| PART A         |\n"
    text = sc.draft(f"Sedge Mill (clogging)\nwait 8, left foot lead\n\n{head}{row}\n").text

    assert wanted in text.split("part A")[1]


@pytest.mark.parametrize(
    ("head", "parts"),
    [
        ("Beats\tStep\tCue\tFeet", ("PART A\t8 beats", "PART B\t8 beats", "BRIDGE\t8 beats")),
        ("Beats | Step | Cue | Feet", ("Part A | 8 beats | |", "Part B | (8) | |", "Bridge | | |")),
        ("Cts\tStep\tCue\tFeet", ("A\t8", "B\t8", "Bridge\t8")),
        ("Beats   Step       Cue           Feet", ("PART A  8 beats", "PART B  8 beats", "BRIDGE  8 beats")),
        ("No.\tStep\tCue\tFeet", ("Part A\tVerse", "Part B\tChorus, 8 beats", "Bridge\t")),
    ],
)
def test_the_head_of_a_part_in_the_column_of_numbers_begins_it(head: str, parts: tuple[str, ...]) -> None:
    """What stands beside it, such as its length, is no row of the table."""
    numbered = head.startswith("No")
    rows = (
        ("2", "Triples", "DS DS DS RS", "L R L RL"),
        ("4", "Basics", "DS RS", "L RL"),
        ("2", "Chains", "DS RS RS RS", "L RL RL RL"),
    )
    lines = [head]
    for part, (many, name, codes, feet) in zip(parts, rows, strict=True):
        cells = (many, name, codes, feet) if numbered else ("8", f"{many} {name}", codes, feet)
        spaced = f"{cells[0]:8}{cells[1]:11}{cells[2]:14}{cells[3]}"
        lines += [part, " | ".join(cells) if "|" in head else "\t".join(cells) if "\t" in head else spaced]
    made = sc.draft(
        "\n".join(["Sedge Mill (clogging)", "wait 8, left foot lead", "", *lines, "", "Order: A B A Bridge"])
    )

    assert "dance:\n  A\n  B\n  A\n  Bridge\n" in made.text and not made.open
    for part, name in (("A", "Triple x2"), ("B", "Basic x4"), ("Bridge", "Chain x2")):
        assert re.search(rf"part {part}\b.*\n  {name}, left foot", made.text)


LEADS = (
    "Millrace Lantern - clogging\nWait 16 beats, start left\n\nPart\tBeats\tStep\tHow\tLead\n"
    "A\t8\t2 Chains\tDS RS RS RS\tL, R\n\t4\tTriple, 1/2 left\tDS DS DS RS\tL\n\t4\tTriple in place\tDS DS DS RS\tR\n"
    "\t=16\tyou are now at the back\t\t\nA again\t16\tsame thing, finish facing front\t\tL\n"
    "B chorus\t8\tCowboy fwd\tDS DS DS Br-Sl DS RS RS RS\tL\n\nOrder:\tA A\tB\tA A\n"
)


def test_a_column_says_who_leads_and_a_part_stands_in_its_own() -> None:
    """A foot in the column of leads begins its figure, and is no way; a sum is the length of the part; what is danced
    again, or has a name behind its letter, is a part."""
    made = sc.draft(LEADS)
    lines = [line.split("  #")[0].split(" (")[0].strip() for line in made.text.splitlines()]

    assert lines[lines.index("part A: 16 beats") : lines.index("dance:")] == [
        "part A: 16 beats",
        "Chain x2, left foot, 8 beats",
        "Triple, left foot, 4 beats, turn 1/2 left",
        "Triple, right foot, 4 beats",
        "",
        "part B:",
        "Cowboy, left foot, 8 beats",
        "",
    ]
    assert lines[lines.index("dance:") + 1 :][:6] == ["A", "A", "expect facing front", "B", "A", "A"]
    assert [each for each in made.open if "at the back" not in each] == []


@pytest.mark.parametrize("wall", ["wall", "Facing"])
def test_a_last_column_of_walls_is_facings_and_the_one_before_it_beats(wall: str) -> None:
    """Where a heading, also one behind that of a part, says `beats   wall`, the last number of each row is a wall."""
    rows = "Basic  L RL   2   12\nBasic, 1/2 right  R LR   2   6\nTriple, 1/2 left  L R L RL   4   3-12"

    made = sc.draft(f"Osier Reel, clogging, left lead\n\nA (8)     feet   beats   {wall}\n{rows}\n\nOrder: A A\n")

    told = re.sub(r"  # .*", "", made.text).partition("part A")[2].splitlines()
    assert told[0] == ": 8 beats" and [line.split("facing ")[1] for line in told[1:4]] == ["12:00", "6:00", "12:00"]
    assert not made.open


def test_a_part_may_begin_in_a_table_whose_heads_stand_behind_the_first_part() -> None:
    """`A (4)   feet   beats   wall` heads a table that goes on in `B`, without an empty line before it."""
    rows = "Triple    L R L RL   4       12\n"

    made = sc.draft(f"Osier Reel, clogging\n\nA (4)     feet       beats   wall\n{rows}B (4)\n{rows}\nOrder: A B\n")

    assert re.findall("part .*", made.text) == ["part A: 4 beats", "part B: 4 beats"]
    assert made.text.count("Triple, left foot, 4 beats, facing 12:00\n") == 2 and not made.open


def test_two_last_numbers_without_a_heading_are_no_walls() -> None:
    """Beats may run on in the last column: without a word for walls no facing is read."""
    made = sc.draft("Osier Reel, clogging, left lead\n\nA (8)\nTriple   4   4\nFancy Double   4   8\n\nOrder: A A\n")

    assert "facing" not in made.text


@pytest.mark.parametrize("wall", ["Wall", "Facing"])
def test_heads_over_a_column_of_walls_are_not_danced(wall: str) -> None:
    """`Step   Feet   Beats   Facing` says what stands below, in each part, and the beats of each row stay its own."""
    heads, rows = (
        f"Step      Feet      Beats   {wall}",
        "Triple    L R L RL  4       12\nTriple    R L R LR  4       6\n",
    )

    made = sc.draft(f"Osier Reel, clogging, left lead\n\nA\n{heads}\n{rows}B\n{rows}\nOrder: A B\n")

    lines = ["Triple, left foot, 4 beats, facing 12:00", "Triple, right foot, 4 beats, facing 6:00"]
    assert [line.strip() for line in made.text.splitlines() if line.startswith("  ")] == [*lines, *lines, "A", "B"]
    assert not made.open


@pytest.mark.parametrize("size", ["", " (8)"])
def test_a_letter_with_a_name_begins_a_part_of_a_table(size: str) -> None:
    """`C Chorus (8)` in the column of the parts is part C, with its length and its name."""
    rows = f"Part\tBeats\tStep\tFoot\nA{size}\t4\tTriple\tL\n\t4\tTriple\tR\nC Chorus{size}\t8\tSamantha\tL\n"
    made = sc.draft(f"Osier Reel, clogging, left lead\n\n{rows}\nOrder: A C A\n")

    beats = ": 8 beats" if size else ":"
    assert f"part C{beats}  # Chorus\n  Samantha, left foot, 8 beats\n" in made.text
    assert not made.open


@pytest.mark.parametrize("where", ["left, right", "Left & right", "left then right"])
@pytest.mark.parametrize("again", ["as above", "same as above", "as before", "same"])
def test_where_each_time_goes_is_no_second_foot(where: str, again: str) -> None:
    """Sides beside the foot of each time are where these go; a row that is told above says nothing more."""
    made = sc.draft(
        "Sedge Mill (clogging)\nwait 8\n\n| Beats | Call | Foot | Steps | Where |\n| | PART A | | | |\n"
        f"| 4 | Samantha Half | L | DS DS DR S RS | |\n| 8 | 2 Push Offs | L, R | DS RS RS RS | {where} |\n"
        f"| 4 | Samantha Half | L | {again} | |\n\nPart B\n4 Basics\n"
    )

    assert not made.open
    assert (
        "  Push-off x2, left foot, 8 beats (to the left, to the right)\n  Samantha Half, left foot, 4 beats\n"
        in made.text
    )
