"""Reading a sheet: every line of the language, every mistake at its place, blocks by indentation."""

import sys
from pathlib import Path
from subprocess import run

import pytest

from stepcheck.language import parser, syntax
from stepcheck.language.grammar import COUNTED
from stepcheck.language.parser import LineError, parse, parse_forms, parse_line
from stepcheck.language.patch import told
from stepcheck.language.printer import print_node
from stepcheck.language.syntax import FacingMark, FeetMark, FootMark, Form, Length, NetMark, Option, Times, TurnMark
from stepcheck.model.dance import Foot
from stepcheck.model.source import Source

SHEETS = Path(__file__).parents[1] / "sheets"
LANTERN_PIER = (SHEETS / "lantern_pier.routine").read_text(encoding="utf-8")
FERRY_LIGHTS = (SHEETS / "ferry_lights.routine").read_text(encoding="utf-8")
LEFT, RIGHT, BOTH = FootMark(Foot.LEFT), FootMark(Foot.RIGHT), FootMark(None, True)


def sheet(text):
    """Return the sheet that `text` holds, which must be without findings."""
    read, findings = parse(Source("sheet", text))
    assert () == findings
    return read


def found(text):
    """Return line, first and last column, and code of each finding in `text`."""
    _, findings = parse(Source("sheet", text))
    return [(f.span.line, f.span.column, f.span.end_column, f.code.name) for f in findings]


def in_part(text):
    """Return what one line of a part means."""
    return parse_line(text, "part")


def fault(text, context="part"):
    """Return the piece at fault in one line, the code and the finding."""
    with pytest.raises(LineError) as caught:
        parse_line(text, context)
    error = caught.value
    return text[slice(*error.at)], error.code, error


# -- the sheets of the design ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("text", [LANTERN_PIER, FERRY_LIGHTS], ids=["Lantern Pier", "Ferry Lights"])
def test_the_sheets_of_the_design_parse_as_they_stand(text):
    """Both normative sheets are read without a finding, and no line of them is lost."""
    lines = sheet(text).lines

    def numbers(under):
        for line in under:
            yield line.number
            yield from numbers(line.body)

    assert list(range(1, text.count("\n") + 2)) == sorted(numbers(lines))


def test_lantern_pier_is_what_it_says():
    """The blocks of Lantern Pier stand inside each other as its indentation shows."""
    lines = {type(line.node).__name__ + getattr(line.node, "name", ""): line for line in sheet(LANTERN_PIER).lines}
    verse = lines["PartHeadVerse"]
    assert (
        syntax.PartHead("Verse", (Length(384), Length(480, "beats", 2), TurnMark(8), FeetMark(LEFT, LEFT)))
        == verse.node
    )
    repeat, second = (line for line in verse.body if line.node)
    assert syntax.TimesHead(4) == repeat.node
    assert syntax.Row((Option("Push-off", marks=(TurnMark(2, 1),)),)) == repeat.body[1].node
    assert syntax.OnlyHead(Times((2,))) == second.node
    assert "the second Verse of the dance has 8 beats more" == second.comment
    assert syntax.GapRow(Length(96)) == second.body[0].node
    assert 5 == len(lines["MusicHead"].body)
    assert syntax.Row((Option("Ending"),), "tail") == lines["DanceHead"].body[4].node


# -- one line --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "node"),
    [
        ("Triple", Option("Triple")),
        ("Triple x4", Option("Triple", 4)),
        ("Triple x?", Option("Triple", None)),
        ("Triple ×2", Option("Triple", 2)),
        ("Triple x1000000000", Option("Triple", 10**9)),
        ("Triple from line", Option("Triple", book="line")),
        ("Triple from line x2, left foot", Option("Triple", 2, "line", (LEFT,))),
        ("Vine ending in a step, right foot", Option("Vine ending in a step", marks=(RIGHT,))),
        ("Vine, ? foot", Option("Vine", marks=(FootMark(None),))),
        ("Vine, both feet", Option("Vine", marks=(BOTH,))),
        ("Vine, turn 1/4 right", Option("Vine", marks=(TurnMark(2, 1),))),
        ("Vine, turn full left", Option("Vine", marks=(TurnMark(8, -1),))),
        ("Vine, turn 1 1/2 left", Option("Vine", marks=(TurnMark(12, -1),))),
        ("Vine, turn 2 left", Option("Vine", marks=(TurnMark(16, -1),))),
        ("Vine, turn half left", Option("Vine", marks=(TurnMark(4, -1),))),
        ("Vine, three-quarter turn left", Option("Vine", marks=(TurnMark(6, -1),))),
        ("Vine, 1/2 turn right", Option("Vine", marks=(TurnMark(4, 1),))),
        ("Vine, turn 1/4", Option("Vine", marks=(TurnMark(2),))),
        ("Vine, turn ?", Option("Vine", marks=(TurnMark(None),))),
        ("Vine, no turn", Option("Vine", marks=(TurnMark(0),))),
        ("Vine, turn 1/4 left @3", Option("Vine", marks=(TurnMark(2, -1, 3),))),
        ("Vine x4, turn 1/4 left on 2nd, 4th", Option("Vine", 4, marks=(TurnMark(2, -1, times=Times((2, 4))),))),
        ("Vine, turn 1/4 left on every 2nd", Option("Vine", marks=(TurnMark(2, -1, times=Times(every=2)),))),
        ("Vine, turn 1/4 left on last", Option("Vine", marks=(TurnMark(2, -1, times=Times(last=True)),))),
        ("Vine, turn ? on 2nd and last", Option("Vine", marks=(TurnMark(None, times=Times((2,), None, True)),))),
        (
            "Vine x4, turn 1/4 left on 2nd, 4th, facing back",
            Option("Vine", 4, marks=(TurnMark(2, -1, times=Times((2, 4))), FacingMark(4))),
        ),
        ("Vine, facing right wall", Option("Vine", marks=(FacingMark(2),))),
        ("Vine, facing left", Option("Vine", marks=(FacingMark(6),))),
        ("Vine, facing 10:30", Option("Vine", marks=(FacingMark(7),))),
        ("Vine, 4 beats", Option("Vine", marks=(Length(48),))),
        ("Vine, 4 1/2 counts", Option("Vine", marks=(Length(54, "counts"),))),
        ("Main, first 16 counts", Option("Main", marks=(syntax.FirstMark(192),))),
        ("Main, opposite foot", Option("Main", marks=(syntax.SwapMark(False),))),
        ("Main, mirrored", Option("Main", marks=(syntax.SwapMark(True),))),
        ("Main until the music ends", Option("Main", marks=(syntax.UntilMark(),))),
        ("Main, until the music ends", Option("Main", marks=(syntax.UntilMark(),))),
        ("MAIN X2, LEFT FOOT", Option("MAIN", 2, marks=(LEFT,))),
        ("Vine, R\u0130GHT foot, turn e\u0131ghth left", Option("Vine", marks=(RIGHT, TurnMark(1, -1)))),
        ("Rock 'n' Row", Option("Rock 'n' Row")),
        ("Schritt für Schritt", Option("Schritt für Schritt")),
        ("Pie\u0301ce de Résistance", Option("Pie\u0301ce de Résistance")),
        ("K-step 2", Option("K-step 2")),
        ("Three Step Turn", Option("Three Step Turn")),
        ("Late Waltz", Option("Late Waltz")),
        ("2nd Verse", Option("2nd Verse")),
        ("From Home", Option("From Home")),
        ("Step from Home Ground", Option("Step from Home Ground")),
    ],
)
def test_a_line_of_dance_is_read(text, node):
    """Names, counts and every mark mean what the design says."""
    assert syntax.Row((node,)) == in_part(text)


@pytest.mark.parametrize(
    ("text", "context", "node"),
    [
        ("Vine x2 | Triple x2, left foot", "part", syntax.Row((Option("Vine", 2), Option("Triple", 2, marks=(LEFT,))))),
        ("verse: Verse", "dance", syntax.Row((Option("Verse"),), "verse")),
        ("verse two: A | B", "dance", syntax.Row((Option("A"), Option("B")), "verse two")),
        ("verse:", "dance", syntax.LabelHead("verse")),
        ("counts 1-8:", "part", syntax.CountsHead(1, 8)),
        ("counts 1 to 8:", "part", syntax.CountsHead(1, 8)),
        ("count 9:", "part", syntax.CountsHead(9, 9)),
        ("beats 9-16:", "part", syntax.CountsHead(9, 16, "beats")),
        ("counts 9–16, facing 9:00:", "part", syntax.CountsHead(9, 16, facing=FacingMark(6))),
        ("counts 1-8, left foot:", "part", syntax.CountsHead(1, 8, foot=LEFT)),
        ("counts 1-8, facing back, both feet:", "part", syntax.CountsHead(1, 8, foot=BOTH, facing=FacingMark(4))),
        ("4 times:", "part", syntax.TimesHead(4)),
        ("Twelve times:", "part", syntax.TimesHead(12)),
        ("F\u0131ve t\u0130me\u017f:", "part", syntax.TimesHead(5)),
        ("? times:", "part", syntax.TimesHead(None)),
        ("1 time:", "part", syntax.TimesHead(1)),
        ("2nd time only:", "part", syntax.OnlyHead(Times((2,)))),
        ("2nd time:", "part", syntax.OnlyHead(Times((2,)))),
        ("1st, 3rd time only:", "part", syntax.OnlyHead(Times((1, 3)))),
        ("3rd and 1st times only:", "part", syntax.OnlyHead(Times((1, 3)))),
        ("last time only:", "part", syntax.OnlyHead(Times(last=True))),
        ("every 2nd time only:", "part", syntax.OnlyHead(Times(every=2))),
        ("except last time:", "part", syntax.OnlyHead(Times(last=True), True)),
        ("except 2nd time:", "part", syntax.OnlyHead(Times((2,)), True)),
        ("except every 3rd time:", "part", syntax.OnlyHead(Times(every=3), True)),
        ("until the music ends:", "dance", syntax.UntilHead()),
        ("expect facing front, left foot", "part", syntax.ExpectRow((FacingMark(0), LEFT))),
        ("expect both feet", "part", syntax.ExpectRow((BOTH,))),
        ("expect back", "part", syntax.ExpectRow((FacingMark(4),))),
        ("hold 4 beats", "part", syntax.HoldRow(Length(48))),
        ("hold 1/2 beat", "part", syntax.HoldRow(Length(6))),
        ("? 8 beats", "part", syntax.GapRow(Length(96))),
        ("verse 32", "music", syntax.MusicRow("verse", 384)),
        ("verse 1 32 beats", "music", syntax.MusicRow("verse 1", 384)),
        ("half chorus: 4 1/2", "music", syntax.MusicRow("half chorus", 54)),
        ("music:", "sheet", syntax.MusicHead()),
        ("figures:", "sheet", syntax.FiguresHead()),
        ("dance:", "sheet", syntax.DanceHead()),
        ("dance: 256 beats", "sheet", syntax.DanceHead(Length(3072))),
        ("PART verse:", "sheet", syntax.PartHead("verse")),
        ("part B2: no turn", "sheet", syntax.PartHead("B2", (TurnMark(0),))),
        ("part A: 1/4 turn left, 9:00 to 12:00", "sheet", syntax.PartHead("A", (TurnMark(2, -1), NetMark(6, 0)))),
        ("part A: 1 1/2 turns, both feet", "sheet", syntax.PartHead("A", (TurnMark(12), BOTH))),
        (
            "part A: 2nd time full turn right, 3rd time front to back, 1st time left foot to right foot",
            "sheet",
            syntax.PartHead("A", (TurnMark(8, 1, time=2), NetMark(0, 4, 3), FeetMark(LEFT, RIGHT, 1))),
        ),
        ("Wait: 16 beats", "sheet", syntax.HeaderField("wait", "16 beats")),
        ("song: Ten to Nine: a reel", "sheet", syntax.HeaderField("song", "Ten to Nine: a reel")),
    ],
)
def test_every_other_line_is_read(text, context, node):
    """Headings, claims, silence, blanks, sections and fields mean what the design says."""
    assert node == parse_line(text, context)


def test_a_figure_of_the_sheet_is_read():
    """A figure's name, facts and movements are read, feet and counts too."""
    forms = (Form("S", Foot.LEFT, 12, 1), Form("S", Foot.RIGHT, 18, 1), Form("S", Foot.LEFT, 24, 2))
    row = parse_line("Lock Gate, 2 counts, turn 1/2 left, left foot: S(L)@1 S(R)@1& S(L)@2", "figures")
    assert syntax.FigureRow("Lock Gate", forms, Length(24, "counts"), LEFT, TurnMark(4, -1)) == row


def test_a_row_of_movements_is_read_alone():
    """Books read their rows with the same function; each count has its tick and the beat it belongs to."""
    assert (Form("DS"), Form("BR"), Form("DS"), Form("RS")) == parse_forms("DS BR DS RS")
    counts = [(form.tick, form.beat) for form in parse_forms(" K@3 K@3e K@&3 K@3& K@3a ")]
    assert [(36, 3), (39, 3), (30, 3), (42, 3), (45, 3)] == counts
    assert (Form("S", Foot.RIGHT),) == parse_forms("S (r)")
    assert (2, 4) == parse_forms("  DS")[0].at
    for wrong in ("", "  ", "DS, RS", "DS (", "@3", "DS@@3"):
        with pytest.raises(LineError):
            parse_forms(wrong)


def test_notes_and_comments_are_kept_apart():
    """A comma in a note or a comment separates nothing, and a foot in brackets is no note."""
    lines = sheet("part A: # one, two\n  Vine, left foot (out, and back)  # slow, first\n  (clap, smile)\n").lines
    assert "one, two" == lines[0].comment
    vine, clap = lines[0].body
    assert ("out, and back", "slow, first") == (vine.note, vine.comment)
    assert (None, "clap, smile") == (clap.node, clap.note)
    assert None is sheet("figures:\n  Gate: S S(R)\n").lines[0].body[0].note


def test_places_count_from_the_first_character_of_the_line():
    """Every piece knows its place, also behind letters outside ASCII and tabs of indentation."""
    line = sheet("part Mühle: 32 beats\n\tSüd x2, turn 1/4 left on 2nd, facing back\n").lines[0].body[0]
    option = line.node.options[0]
    assert ["Süd", "x2"] == [line.text[slice(*at)] for at in (option.at, option.times_at)]
    assert ["turn 1/4 left on 2nd", "facing back"] == [line.text[slice(*mark.at)] for mark in option.marks]
    assert (2, 10) == (line.span(option.marks[0].at).line, line.span(option.marks[0].at).column)


def test_equal_lines_share_their_nodes():
    """The same text means the same object, in one sheet and in another, so that work on it can be shared."""
    one, two = sheet("part A:\n  Vine x2\n  Vine x2\n").lines[0].body, sheet("part B:\n  Vine x2\n").lines[0].body
    assert one[0].node is one[1].node is two[0].node


# -- mistakes --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "context", "piece", "hint"),
    [
        ("expct facing front", "part", "expct", "did you mean expect?"),
        ("Vine, tun 1/4 left", "part", "tun", "did you mean turn?"),
        ("coutns 1-8:", "part", "coutns", "did you mean counts?"),
        ("Vine, fcaing front", "part", "fcaing", "did you mean facing?"),
        ("Vine, facing frnt", "part", "frnt", "did you mean front?"),
        ("Triple, Basic", "part", "Basic", "write one figure a line: Basic on the next one"),
        ("x4", "part", "x4", "write it behind the figure, as in Vine x4, or above a block: 4 times:"),
        ("Main*2", "dance", "Main*2", "write Main x2"),
        (
            "Restart after 16 counts on wall 3",
            "dance",
            "Restart after 16 counts on wall 3",
            "write it as a line of the dance, as in Main, first 16 counts",
        ),
        ("Main until the end", "dance", "Main until the end", "write Main until the music ends"),
        ("Part A - 32 beats", "sheet", "Part A - 32 beats", "write Part A: 32 beats"),
        ("Chorus:", "sheet", "Chorus:", "write part Chorus:"),
        ("Mill: 4 beats DS RS", "figures", "Mill: 4 beats DS RS", "write Mill, 4 beats: DS RS"),
        ("Mill: DS, RS", "figures", "Mill: DS, RS", "write Mill: DS RS"),
        ("Triple; Basic x2", "part", ";", "write one figure a line: Basic x2 on the next one"),
        ("part A: 8 beats; left foot", "sheet", ";", "write a comma in its place"),
        ("Vine, “moving left”", "part", "“moving left”", "write Vine (moving left): a note stands in brackets"),
        ("Vine, to the left", "part", "Vine, to the left", "write Vine (to the left)"),
        ("• Vine x2", "part", "•", "write Vine x2"),
        ("Vine; turn 1/4 left", "part", ";", "write a comma in its place"),
        ("'Vine'", "part", "'Vine'", "write Vine"),
        ("“Side Vine” x2", "part", "“Side Vine”", "write Side Vine x2"),
        ('part "Verse": 8 beats', "sheet", '"Verse"', "write part Verse: 8 beats"),
        (
            "part B: 4 counts, to left foot",
            "sheet",
            "to",
            "a part is written: part Verse: 32 beats, full turn right, left foot to left foot",
        ),
        ("expect facing the wall", "part", "wall", "did you mean expect facing the left wall?"),
        ("counts 1-8, of steps:", "part", "of", "a heading of counts is written: counts 1-8, facing 9:00:"),
        ("Vine, left foto", "part", "foto", "did you mean foot?"),
        ("Vine, left", "part", "Vine, left", "write Vine, left foot"),
        ("expect left", "part", "left", "write left foot or left wall"),
        ("part A: right to front", "sheet", "right", "write right foot or right wall"),
        ("danceq", "sheet", "danceq", "did you mean dance:?"),
        ("Vine out)", "part", ")", "as in: Vine, left foot (moving left)"),
        (
            "verse: hold 8 beats",
            "dance",
            "hold 8 beats",
            "several lines under one section stand under a heading, as in: verse:",
        ),
        (
            "Vine x2 | hold 8 counts",
            "part",
            "hold 8 counts",
            "figures and parts only are alternatives: put it into a part of its own, and write its name here",
        ),
        ("Vine, left foot, right foot", "part", "right foot", "keep one of the two"),
        ("Vine, turn 1/4 left, no turn", "part", "no turn", "keep one of the two"),
        ("part A: 32 beats, full turn, 32 counts", "sheet", "32 counts", "keep one of the two"),
        ("part A: 2nd time 8 beats, 2nd time 4 beats", "sheet", "2nd time 4 beats", "keep one of the two"),
        ("Vine, mirored", "part", "mirored", "did you mean mirrored?"),
        ("hodl 4 beats", "part", "hodl", "did you mean hold?"),
        ("hold 4 baets", "part", "baets", "did you mean beats?"),
        ("exept last time:", "part", "exept", "did you mean except?"),
        ("untill the music ends:", "part", "untill", "did you mean until?"),
        ("prat Verse: 32 beats", "sheet", "prat", "did you mean part?"),
        ("musik:", "sheet", "musik", "did you mean music?"),
        ("dence:", "sheet", "dence", "did you mean dance?"),
        ("Mill, 4 beets: DS", "figures", "beets", "did you mean beats?"),
        ("Vine, turn left", "part", "left", "as in: turn 1/4 left"),
        ("Vine (out", "part", "(", "as in: Vine, left foot (moving left)"),
        ("Vine (out), left foot", "part", "(", "as in: Vine, left foot (moving left)"),
        ("4 beats", "part", "4 beats", "write hold 4 beats"),
        ("2 times", "part", "", "write 2 times:"),
        ("part A", "sheet", "", "write part A:"),
        ("counts 1-8", "part", "", "write counts 1-8:"),
        ("Triple", "sheet", "Triple", "put two spaces before a line of the part or dance above it"),
        ("part: 32 beats", "sheet", "part", "as in: part Verse: 32 beats"),
        ("verse", "music", "verse", "a section of the music is written: verse 32"),
        ("Mill: DS S(X)", "figures", "X", "a foot is written (L) or (R)"),
        ("Mill: DS S@3x", "figures", "@3x", "a count is written @3, @3e, @3&, @3a or @&3"),
        ("Vine, facing 2:00", "part", "2:00", "the walls are 12:00, 1:30, 3:00, 4:30, 6:00, 7:30, 9:00 and 10:30"),
        ("expect left foot, right foot", "part", "right foot", "keep one of the two"),
        ("counts 1-8, left foot, left foot:", "part", "left foot", "keep one of the two"),
        ("expect ? foot", "part", "? foot", "write left foot, right foot or both feet"),
        ("part A: 2nd, 3rd time 8 beats", "sheet", "2nd, 3rd", "as in: 2nd time 40 beats"),
        ("part A: 2nd time left foot", "sheet", "left foot", "as in: 2nd time left foot to right foot"),
        ("2nd, 2nd time only:", "part", "2nd, 2nd", "keep one of the two"),
    ],
)
def test_a_mistake_stands_at_its_piece_with_a_hint(text, context, piece, hint):
    """The piece at fault is named exactly, and the first hint is the nearest legal word or form."""
    at, code, error = fault(text, context)
    assert (piece, "line-not-understood") == (at, code)
    assert hint in (told(error.hints) or ("",)) or not hint
    assert error.reason


@pytest.mark.parametrize(
    ("text", "context", "piece", "code"),
    [
        ("Vine, turn 3/7 left", "part", "3/7", "impossible-turn"),
        ("Vine, turn 0 left", "part", "0", "impossible-turn"),
        ("part A: 1/3 turn", "sheet", "1/3", "impossible-turn"),
        ("Vine x1000000001", "part", "x1000000001", "number-out-of-range"),
        ("Vine x" + "9" * 1900, "part", "x" + "9" * 1900, "number-out-of-range"),
        ("Vine x0", "part", "x0", "number-out-of-range"),
        ("0 times:", "part", "0 times", "number-out-of-range"),
        ("hold 0 beats", "part", "0", "number-out-of-range"),
        ("hold 1/5 beat", "part", "1/5", "number-out-of-range"),
        ("hold 1/0 beat", "part", "1/0", "number-out-of-range"),
        ("counts 8-1:", "part", "8-1", "number-out-of-range"),
        ("every 9th time only:", "part", "every 9th", "number-out-of-range"),
        ("Vine, turn 1/4 left on every 1st", "part", "1st", "number-out-of-range"),
        ("0th time only:", "part", "0th", "number-out-of-range"),
        ("Mill: S@0", "figures", "@0", "number-out-of-range"),
        ("Mill, 0 beats: DS", "figures", "0", "number-out-of-range"),
        ("verse: Vine", "part", "verse: Vine", "misplaced-line"),
        ("dance:", "part", "dance:", "misplaced-line"),
        ("until the music ends:", "part", "until the music ends:", "misplaced-line"),
        ("counts 1-8:", "dance", "counts 1-8:", "misplaced-line"),
        ("verse: Vine", "section", "verse: Vine", "misplaced-line"),
    ],
)
def test_a_number_or_place_that_cannot_be_has_its_own_code(text, context, piece, code):
    """Turns go by eighths, numbers from 1 to a thousand million, and some lines stand only in some places."""
    assert (piece, code) == fault(text, context)[:2]


def test_a_reason_is_short_and_names_the_whole_piece():
    """What may stand in a place is named where it is little; a piece ends where the next comma is."""
    assert "= is not understood here" == fault("Vine = 4")[2].reason
    assert "x is not understood here: a number can stand here" == fault("counts 1-x, y")[2].reason


def test_all_mistakes_of_a_sheet_come_in_one_run():
    """A broken line hides no other, is kept as it stands, and what stands under it is read."""
    text = "routine: X\npart A\n  expct back\n  coutns 1-8:\n    Vine, tun 1/4 left\n  Triple\ndence:\n  A x0\n"
    read, findings = parse(Source("sheet", text))
    assert [2, 3, 4, 5, 7, 8] == [finding.span.line for finding in findings]
    part, dance = read.lines[1:3]
    assert (True, "part A", None) == (part.broken, part.text, part.node)
    assert [None, None, syntax.Row((Option("Triple"),))] == [line.node for line in part.body]
    assert (True, True) == (part.body[1].body[0].broken, dance.body[0].broken)


def test_indentation_must_be_even():
    """A line deeper or shallower than its block is a finding once, and is kept in the block."""
    assert [(3, 1, 5, "uneven-indentation")] == found("part A:\n  Vine\n    Triple\n    Triple\n  Vine\n")
    assert [(3, 1, 3, "uneven-indentation")] == found("part A:\n    Vine\n  Triple\n  Triple\n    Vine\n")
    assert [] == found("part A:\n\tVine\n    Triple\n")
    assert [] == found("  routine: X\n  part A:\n      Vine\n")


def test_a_heading_with_nothing_under_it_is_found():
    """Every kind of heading needs a line under it; a comment is none."""
    text = "part A:\n  # soon\npart B:\n  2 times:\n  Vine\ndance:\n  verse:\n"
    assert [(1, "empty-block"), (4, "empty-block"), (7, "empty-block")] == [(f[0], f[3]) for f in found(text)]


def test_header_fields_stand_above_the_first_section():
    """A field after a section is misplaced: it is often a line of dance without its indentation."""
    assert [(3, 1, 13, "misplaced-line")] == found("part A:\n  Vine\nverse: Verse\n")


def test_a_length_behind_a_word_is_the_heading_of_a_part() -> None:
    """One finding, with the heading to write; the lines under it are read as those of a part."""
    text = "part A:\n  Vine\nbreak: 4 beats\n  Vine\ndance:\n  A\n"
    (finding,) = parse(Source("s", text))[1]
    assert (3, "misplaced-line") == (finding.span.line, finding.code.name)
    assert ["a part is headed by its word: write part Break: 4 beats"] == list(map(str, finding.hints))
    assert finding.hints[0].patch and "part Break: 4 beats" == finding.hints[0].patch.replacements[0][1]


def test_turns_on_different_times_stand_together():
    """Two turns on one line are fine when they fall on different times of it."""
    marks = in_part("Vine x4, turn 1/4 left on 2nd, turn 1/2 left on 4th").options[0].marks
    assert [Times((2,)), Times((4,))] == [mark.times for mark in marks]


@pytest.mark.parametrize("head", ["music", "figures", "dance"])
def test_these_sections_stand_once(head):
    """Music, figures and the dance are each told once; parts come as often as they like."""
    rows = {"music": "verse 32", "figures": "Mill: DS", "dance": "Vine"}
    text = f"{head}:\n  {rows[head]}\npart A:\n  Vine\npart B:\n  Vine\n{head}:\n  {rows[head]}\n"
    assert [(7, 1, len(head) + 2, "misplaced-line")] == found(text)


@pytest.mark.parametrize("text", ["", "\n\n", "# only a comment\n", "   \n"])
def test_an_empty_sheet_is_a_finding(text):
    """A text without a line says so, and nothing else."""
    assert ["empty-sheet"] == [finding[3] for finding in found(text)]


def test_comments_stay_with_their_block():
    """A comment belongs where its indentation puts it, and never ends a block."""
    text = "part A:\n# out\n  Vine\n  # in\n  2 times:\n    Triple\n    # deep\n  # end\n# next\npart B:\n  Vine\n"
    lines = sheet(text).lines
    assert ["out", None, "in", None, "end"] == [line.comment for line in lines[0].body]
    assert ["deep"] == [line.comment for line in lines[0].body[3].body if line.comment]
    assert [None, "next", None] == [line.comment for line in lines if line.node or line.comment]


# -- hard use --------------------------------------------------------------------------------------------------------


def test_nesting_has_a_limit():
    """10,000 blocks inside each other are refused once, without recursion."""
    text = "part A:\n" + "".join(" " * depth + "2 times:\n" for depth in range(1, 10_001)) + " " * 10_001 + "Vine\n"
    assert ["too-deep"] == [finding[3] for finding in found(text)]


def test_nesting_up_to_the_limit_is_read():
    """99 blocks inside a part are fine."""
    text = "part A:\n" + "".join(" " * depth + "2 times:\n" for depth in range(1, 100)) + " " * 100 + "Vine\n"
    assert [] == found(text)


def test_a_long_line_is_refused_at_its_end():
    """A line beyond the limit is a finding of its own, even when the text didn't come from a file."""
    assert [(2, 2003, 2009, "too-large")] == found("part A:\n  " + "V" * 2006 + "\n  Vine\n")


@pytest.mark.parametrize(
    "text",
    [
        "|",
        ",",
        ":",
        "x2",
        "?",
        "()",
        ")(",
        "part",
        "part :",
        "a:b:c",
        "@",
        "Vine,",
        "Vine |",
        "| Vine",
        "Vine,,",
        "#",
        "\ufffd",
        "½ turn",
        "expect",
        "hold",
        "counts",
        "counts x",
        "every",
        "part A: ,",
        "dance: x",
        "Vine, turn",
        "1/2",
    ],
)
@pytest.mark.parametrize("context", ["sheet", "music", "figures", "part", "dance"])
def test_no_scrap_of_text_is_too_strange(text, context):
    """Whatever stands on a line gives a node or a finding, never another exception."""
    try:
        assert parse_line(text, context) is not None
    except LineError as error:
        assert error.reason
        assert 0 <= error.at[0] <= error.at[1] <= len(text)


def test_reading_does_not_need_lark():
    """The table that ships is enough: neither the import nor a parse loads lark."""
    code = (
        "import sys; from stepcheck.language import parser; from stepcheck.model import source;"
        "parser.parse(source.Source('x', 'part A:\\n  Vine\\n  Vine, tun 1/4 left\\n')); print('lark' in sys.modules)"
    )
    done = run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert "False" == done.stdout.strip()


def test_what_the_module_offers():
    """The names that others use are there."""
    assert {"LineError", "parse", "parse_forms", "parse_line", "read", "take"} == set(parser.__all__)


@pytest.mark.parametrize(("said", "times"), [*zip(COUNTED[1:8], range(2, 9), strict=True), ("6", 6), ("06", 6)])
def test_how_often_may_be_spelled_out(said: str, times: int) -> None:
    """In words as in digits, before a colon as behind a name; the x of six is none that stands for times."""
    head, row = (in_part(text) for text in (f"repeat {said} times:", f"Vine, {said} times"))
    assert syntax.TimesHead(times) == head
    assert print_node(in_part(f"Vine x{times}")) == print_node(row)
