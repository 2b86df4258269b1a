"""The canonical layout: one way to write each thing, and nothing lost."""

from pathlib import Path

import pytest

from stepcheck.language.parser import parse, parse_line
from stepcheck.language.printer import print_line, print_node, print_sheet
from stepcheck.language.syntax import (
    FacingMark,
    FootMark,
    HoldRow,
    Length,
    Line,
    NetMark,
    Option,
    Row,
    StateMark,
    TurnMark,
)
from stepcheck.model import words
from stepcheck.model.claims import FIXED
from stepcheck.model.source import Source

SHEETS = Path(__file__).parents[1] / "sheets"


def printed(text):
    """Return the layout of the sheet that `text` holds."""
    return print_sheet(parse(Source("sheet", text))[0])


@pytest.mark.parametrize("name", ["lantern_pier", "ferry_lights"])
def test_the_sheets_of_the_design_are_printed_as_they_stand(name):
    """Both normative sheets are in the canonical layout, comments in their columns."""
    text = (SHEETS / f"{name}.routine").read_text(encoding="utf-8")
    assert text == printed(text)


@pytest.mark.parametrize("said", FIXED)
def test_every_claim_of_fixed_words_is_read_and_printed(said):
    """The grammar has the words of each, which the table of claims has, and the layout is these words."""
    sheet, findings = parse(Source("sheet", f"dance:\n  Vine\n  expect {said.upper()}\n"))
    node = sheet.lines[0].body[1].node

    assert () == findings
    assert node.states == (StateMark(said),)
    assert f"expect {said}" == print_node(node)


@pytest.mark.parametrize(
    ("context", "written", "canonical"),
    [
        ("part", "VINE  x1", "VINE"),
        ("part", "Vine ×3", "Vine x3"),
        ("part", "Vine x 3,left foot", "Vine x3, left foot"),
        ("part", "Vine|Triple", "Vine | Triple"),
        ("part", "Vine, Turn Half LEFT", "Vine, turn 1/2 left"),
        ("part", "Vine, quarter turn right", "Vine, turn 1/4 right"),
        ("part", "Vine, turn 1 left", "Vine, turn full left"),
        ("part", "Vine, turn 2/8 left on the 2nd and 4th", "Vine, turn 1/4 left on 2nd, 4th"),
        ("part", "Vine, turn 1/4 left on last, 2nd", "Vine, turn 1/4 left on 2nd, last"),
        ("part", "Vine, turn 12/8 left @ 3", "Vine, turn 1 1/2 left @3"),
        ("part", "Vine, facing left", "Vine, facing left wall"),
        ("part", "Vine, facing the".replace(" the", " 09:00"), "Vine, facing 9:00"),
        ("part", "Vine, facing 4:30", "Vine, facing 4:30"),
        ("part", "Vine, 1 beats", "Vine, 1 beat"),
        ("part", "Vine, 9/2 count", "Vine, 4 1/2 counts"),
        ("part", "Vine, until the music ends, mirrored", "Vine until the music ends, mirrored"),
        ("part", "Vine, mirrored, until the music ends", "Vine, mirrored, until the music ends"),
        ("part", "Main, OPPOSITE feet", "Main, opposite foot"),
        ("part", "two times:", "2 times:"),
        ("part", "? time:", "? times:"),
        ("part", "3rd, 1st times only:", "1st, 3rd time only:"),
        ("part", "2nd time:", "2nd time only:"),
        ("part", "except 2nd and last times:", "except 2nd, last time:"),
        ("part", "every 2nd times only:", "every 2nd time only:"),
        ("part", "Counts 1 to 8 , facing 12:00 , left foot:", "counts 1-8, left foot, facing 12:00:"),
        ("part", "counts 9-9:", "count 9:"),
        ("part", "beats 1-8:", "beats 1-8:"),
        ("part", "expect back, left foot", "expect facing back, left foot"),
        ("part", "hold 1 count", "hold 1 count"),
        ("part", "? 16 beat", "? 16 beats"),
        ("dance", "verse : Main x2", "verse: Main x2"),
        ("dance", "until the music ends :", "until the music ends:"),
        ("sheet", "PART  B : turn".replace("turn", "no turn"), "part B: no turn"),
        ("sheet", "part B: 1 1/4 turn left, 2nd time 2 turn", "part B: 1 1/4 turns left, 2nd time 2 turns"),
        ("sheet", "part B: 2nd time 12:00 to right wall", "part B: 2nd time 12:00 to right wall"),
        ("sheet", "part B: 2nd time right foot to both feet", "part B: 2nd time right foot to both feet"),
        ("sheet", "part B: 2nd time half turn left", "part B: 2nd time 1/2 turn left"),
        ("sheet", "dance: 64 Beats", "dance: 64 beats"),
        ("sheet", "Wait  : 16 beats", "wait: 16 beats"),
        ("music", "verse 1: 32 beats", "verse 1 32"),
        ("music", "verse 4, 1/2", "verse 4, 1/2"),
        (
            "figures",
            "Lock Gate,left foot,2 counts: S(l)@1 s (right)@1& K@&3 K@3a",
            "Lock Gate, 2 counts, left foot: S(L)@1 s(R)@1& K@&3 K@3a",
        ),
    ],
)
def test_there_is_one_way_to_write_each_thing(context, written, canonical):
    """Synonyms and spaces go; what is printed means the same and is printed the same again."""
    node = parse_line(written, context)
    assert canonical == print_node(node)
    assert node == parse_line(canonical, context)
    assert canonical == print_node(parse_line(canonical, context))


def test_nodes_made_by_hand_are_printed():
    """A repair prints lines that never were text; without a spelling of its own a facing has its wall's name."""
    row = Row((Option("Vine", None, "line", (FootMark(None), TurnMark(None), FacingMark(2))),), "verse")
    assert "verse: Vine from line x?, ? foot, turn ?, facing right wall" == print_node(row)
    assert "1:30 to left wall" == print_node(NetMark(1, 6))
    assert "    hold 1/3 beat (breathe)  # long" == print_line(Line(0, 0, HoldRow(Length(4)), "breathe", "long"), 2)
    with pytest.raises(TypeError, match="no line"):
        print_node("Vine")


def test_blocks_are_laid_out_with_two_spaces_and_one_blank_line():
    """Indentation and blank lines come out even, whatever they were."""
    messy = "\n\nroutine: X\n\n\n\nmusic:\n\n\tverse 32\n# of A\npart A:\n"
    messy += "        2 times:\n           Vine\n\n\n           Triple\n\n\ndance:\n A\n\n\n"
    neat = "routine: X\n\nmusic:\n  verse 32\n\n# of A\npart A:\n  2 times:\n    Vine\n\n    Triple\n\ndance:\n  A\n"
    assert neat == printed(messy)
    assert neat == printed(neat)


def test_notes_and_comments_are_kept():
    """Every note and comment comes out where it belongs; a comment keeps its column while two spaces fit before it."""
    messy = "part A:#one\n    Vine ( out )#two\n    Vine, left foot,no turn # three\n"
    messy += "    (clap)\n    #four\n    Vine      # five\n"
    neat = "part A:  # one\n  Vine (out)    # two\n  Vine, left foot, no turn  # three\n"
    neat += "  (clap)\n  # four\n  Vine        # five\n"
    assert neat == printed(messy)
    assert neat == printed(neat)


def test_broken_lines_are_printed_as_they_stand():
    """What could not be understood is kept, letter by letter, at the depth of its block."""
    text = "part A\n    Vine,  tun 1/4   left   # why\n    coutns 1-8:\n        Vine\n"
    assert "part A\n  Vine,  tun 1/4   left   # why\n  coutns 1-8:\n    Vine\n" == printed(text)


def test_an_empty_sheet_is_empty():
    """Nothing but blank lines is nothing."""
    assert "" == printed("\n \n\n")


@pytest.mark.parametrize(
    ("number", "word"),
    [
        (1, "1st"),
        (2, "2nd"),
        (3, "3rd"),
        (4, "4th"),
        (11, "11th"),
        (12, "12th"),
        (13, "13th"),
        (21, "21st"),
        (112, "112th"),
    ],
)
def test_ordinals(number, word):
    """The eleventh, twelfth and thirteenth are exceptions."""
    assert word == words.ordinal(number)
