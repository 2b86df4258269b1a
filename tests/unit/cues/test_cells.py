"""Rows of tables as lines of cues."""

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
