"""Changes to a sheet: what each kind makes of a line, what stays as it is, and what must not be changed."""

import json
from itertools import permutations

import pytest
from attrs import fields

from stepcheck.fixes.protected import NoSuchPart, kept_lines
from stepcheck.fixes.repairs import COSTS
from stepcheck.formats.json import plain as edit_value
from stepcheck.language.alterations import EditError, applied, last_line, traced
from stepcheck.language.edits import (
    ChangeAlternative,
    ChangeBlock,
    ChangeClaim,
    ChangeCut,
    ChangeLead,
    ChangeMovement,
    ChangeMusic,
    ChangeStart,
    ChangeSwap,
    ChangeTime,
    ChangeTimes,
    ChangeTurn,
    ChangeTurnTimes,
    ChangeWait,
    ChangeWay,
    CorrectMusic,
    CorrectSlip,
    CutPass,
    DeleteLine,
    Edit,
    Exchange,
    FixName,
    InsertLine,
    NameSection,
    ReplaceFigure,
    ReplaceLength,
    ReplacePart,
    SettleReading,
)
from stepcheck.language.parser import parse
from stepcheck.language.patch import difference
from stepcheck.language.stretches import every_line
from stepcheck.language.syntax import At, DanceHead, ExpectRow, FigureRow, PartHead, Sheet, Times
from stepcheck.model.dance import TICKS, Foot
from stepcheck.model.source import Source
from stepcheck.report import pipeline
from tests.corpus.fields import kinds

TEXT = """\
# What stands above stays.
routine:   Weir Steps
book: clogging
lead: left
walls: 1
stomp: no weight                  # settled at the meeting

music:
  verse 32
  tail 4

figures:
  Weir Drop, 4 beats, left foot: DS DS RS HOLD

part Verse: 32 beats, 2nd time 36 beats, 1/2 turn right, front to back, left foot to left foot
  # two halves
  4 times:
    Triple                        # the first
    Push-off, turn 1/4 right on 2nd   (to the window)
    2nd time only:
      Basic x2,  left foot
  counts 17-24, left foot, facing 9:00:
    Triple | Vine x2              # the second is easier
    hold 2 beats
  expect facing back, left foot
dance: 64 beats
  verse: Verse
  Verse, first 16 counts          # cut
  Verse, mirrored
"""
LINES = TEXT.split("\n")


def sheet(text: str = TEXT) -> Sheet:
    """Return a sheet that is understood."""
    made, findings = parse(Source("weir.routine", text))
    assert () == tuple(findings)
    return made


def after(*edits: Edit) -> dict[int, str]:
    """Return the lines that edits change, where they add none and take none out."""
    found = applied(sheet(), edits).split("\n")
    assert len(LINES) == len(found)
    return {number: new for number, (old, new) in enumerate(zip(LINES, found, strict=True), 1) if old != new}


def at(line: int, kind: type, place: int = 0) -> At:
    """Return where a piece of a line stands: the one of this kind, or of several the one at `place`."""
    node = next(one.node for one in every_line(sheet().lines) if one.number == line)
    match node:
        case PartHead(pieces=pieces):
            some = pieces
        case ExpectRow(states=states):
            some = states
        case DanceHead(length=length) | FigureRow(length=length):
            some = (length,)
        case _:
            some = (node, getattr(node, "foot", None), getattr(node, "facing", None))
    return [one.at for one in some if type(one).__name__ == kind][place]


def number(start: str) -> int:
    """Return the number of the line that begins so."""
    return next(place for place, line in enumerate(LINES, 1) if line.strip().startswith(start))


TRIPLE, PUSH, BASIC, PAIR, HOLD = map(number, ("Triple  ", "Push-off", "Basic", "Triple |", "hold"))
PART, ROUNDS, SECOND, COUNTS, EXPECT = map(number, ("part", "4 times", "2nd time only", "counts", "expect"))
DANCE, CALL, CUT, SWAPPED = map(number, ("dance", "verse: Verse", "Verse, first", "Verse, mirrored"))

CASES: list[tuple[Edit, int, str]] = [
    (ReplaceFigure(TRIPLE, "Fancy Double"), TRIPLE, "    Fancy Double                  # the first"),
    (ReplaceFigure(PUSH, "Vine", "line"), PUSH, "    Vine from line, turn 1/4 right on 2nd (to the window)"),
    (ChangeAlternative(PAIR, 1, "Basic"), PAIR, "    Triple | Basic x2             # the second is easier"),
    (ReplacePart(CALL, "Chorus"), CALL, "  verse: Chorus"),
    (NameSection(CALL, "Chorus"), CALL, "  verse: Chorus"),
    (ChangeTimes(TRIPLE, 3), TRIPLE, "    Triple x3                     # the first"),
    (ChangeTimes(BASIC, 1), BASIC, "      Basic, left foot"),
    (ChangeTimes(PAIR, 4, 1), PAIR, "    Triple | Vine x4              # the second is easier"),
    (ChangeTurn(TRIPLE, -2), TRIPLE, "    Triple, turn 1/4 left         # the first"),
    (ChangeTurn(TRIPLE, 0), TRIPLE, "    Triple, no turn               # the first"),
    (ChangeTurn(PUSH, 8), PUSH, "    Push-off, turn full right on 2nd (to the window)"),
    (ChangeTurn(PUSH, None), PUSH, "    Push-off (to the window)"),
    (ChangeTurnTimes(PUSH, Times((2, 4))), PUSH, "    Push-off, turn 1/4 right on 2nd, 4th (to the window)"),
    (ChangeTurnTimes(PUSH, None), PUSH, "    Push-off, turn 1/4 right (to the window)"),
    (ChangeTurnTimes(PUSH, Times(every=2)), PUSH, "    Push-off, turn 1/4 right on every 2nd (to the window)"),
    (ChangeLead(BASIC, Foot.RIGHT), BASIC, "      Basic x2, right foot"),
    (ChangeLead(TRIPLE, Foot.RIGHT), TRIPLE, "    Triple, right foot            # the first"),
    (ChangeLead(COUNTS, Foot.RIGHT), COUNTS, "  counts 17-24, right foot, facing 9:00:"),
    (ChangeSwap(CALL, "opposite foot"), CALL, "  verse: Verse, opposite foot"),
    (ChangeSwap(CALL, "mirrored"), CALL, "  verse: Verse, mirrored"),
    (ChangeSwap(SWAPPED, ""), SWAPPED, "  Verse"),
    (ChangeCut(CUT, 24 * TICKS), CUT, "  Verse, first 24 counts          # cut"),
    (ChangeCut(CUT, None), CUT, "  Verse                           # cut"),
    (CutPass(CALL, 24 * TICKS, unit="beats"), CALL, "  verse: Verse, first 24 beats"),
    (ChangeBlock(ROUNDS, 2), ROUNDS, "  2 times:"),
    (ChangeBlock(SECOND, Times(last=True)), SECOND, "    last time only:"),
    (SettleReading(6, "stomp", "takes weight"), 6, "stomp: takes weight               # settled at the meeting"),
    (ChangeMovement(13, 2, "S"), 13, "  Weir Drop, 4 beats, left foot: DS DS S HOLD"),
    (ReplaceLength(TRIPLE, "Basic"), TRIPLE, "    Basic                         # the first"),
    (ChangeWay(TRIPLE, -2, 0), TRIPLE, "    Triple, 2 steps left          # the first"),
    (ChangeWay(13, 0, 1), 13, "  Weir Drop, 4 beats, left foot, 1 step forward: DS DS RS HOLD"),
    (ChangeWait(HOLD, 4 * TICKS), HOLD, "    hold 4 beats"),
    (ChangeWait(CALL, 4 * TICKS), CALL, "  verse: wait 4 beats, Verse"),
    (ChangeStart(5, "2"), 5, "walls: 2"),
    (ChangeMusic(9, 36 * TICKS), 9, "  verse 36"),
    (CorrectMusic(9, 36 * TICKS), 9, "  verse 36"),
    (
        ChangeTime(PART, 2, 3),
        PART,
        "part Verse: 32 beats, 3rd time 36 beats, 1/2 turn right, front to back, left foot to left foot",
    ),
    (ChangeClaim(5, (0, 0), 4), 5, "walls: 4"),
    (CorrectSlip(5, (0, 0), 4), 5, "walls: 4"),
    (ChangeClaim(13, at(13, "Length"), 3 * TICKS), 13, "  Weir Drop, 3 beats, left foot: DS DS RS HOLD"),
    (ChangeClaim(DANCE, at(DANCE, "Length"), 96 * TICKS), DANCE, "dance: 96 beats"),
    (ChangeClaim(COUNTS, (0, 0), (17, 25)), COUNTS, "  counts 17-25, left foot, facing 9:00:"),
    (ChangeClaim(COUNTS, at(COUNTS, "FacingMark"), 2), COUNTS, "  counts 17-24, left foot, facing 3:00:"),
    (ChangeClaim(EXPECT, at(EXPECT, "FacingMark"), 0), EXPECT, "  expect facing front, left foot"),
    (ChangeClaim(EXPECT, at(EXPECT, "FootMark"), None), EXPECT, "  expect facing back, both feet"),
]
"""An edit of one line, the line, and what it says afterwards; the notes and comments are still there."""


@pytest.mark.parametrize(("edit", "line", "text"), CASES, ids=lambda one: one.kind if hasattr(one, "kind") else "")
def test_an_edit_prints_its_line_anew_and_no_other(edit: Edit, line: int, text: str) -> None:
    """Each kind changes the piece that it names; a note and a comment stay, the comment in its column."""
    assert {line: text} == after(edit)


PIECES: list[tuple[str, int, int | Foot | None, str, str]] = [
    ("Length", 0, 40 * TICKS, "", "40 beats, 2nd time 36 beats, 1/2 turn right, front to back, left foot to left foot"),
    ("Length", 1, 40 * TICKS, "", "32 beats, 2nd time 40 beats, 1/2 turn right, front to back, left foot to left foot"),
    ("TurnMark", 0, -4, "", "32 beats, 2nd time 36 beats, 1/2 turn left, front to back, left foot to left foot"),
    ("TurnMark", 0, 0, "", "32 beats, 2nd time 36 beats, no turn, front to back, left foot to left foot"),
    ("NetMark", 0, 2, "", "32 beats, 2nd time 36 beats, 1/2 turn right, front to right wall, left foot to left foot"),
    (
        "FeetMark",
        0,
        Foot.RIGHT,
        "start",
        "32 beats, 2nd time 36 beats, 1/2 turn right, front to back, right foot to left foot",
    ),
    ("FeetMark", 0, None, "end", "32 beats, 2nd time 36 beats, 1/2 turn right, front to back, left foot to both feet"),
]


@pytest.mark.parametrize(("kind", "place", "value", "role", "text"), PIECES)
def test_one_piece_of_a_contract_changes(kind: str, place: int, value: int | Foot | None, role: str, text: str) -> None:
    """A contract has many pieces; the one at the place named says something else, the rest says what it said."""
    assert {PART: f"part Verse: {text}"} == after(ChangeClaim(PART, at(PART, kind, place), value, role))


def test_every_kind_of_edit_is_tried_here_and_has_a_cost() -> None:
    """No kind is without a cost, none has a cost that nothing goes by, and each is among the examples of this page."""
    here = {edit.kind for edit, _, _ in CASES} | {"insert", "delete", "call", "filling", "twin", "order", "name"}

    named = [made.kind for made in kinds()]
    assert set(COSTS) == set(named) == here
    assert len(set(named)) == len(named)


def test_two_lines_that_change_places_take_what_stands_under_them_along() -> None:
    """Whole lines change places with their comments; where both name a section of the music, only what is danced does."""
    lines = applied(sheet(), [Exchange(TRIPLE, PUSH)]).split("\n")
    assert [LINES[PUSH - 1], LINES[TRIPLE - 1]] == lines[TRIPLE - 1 : PUSH]

    text, origins = traced(sheet(), [Exchange(ROUNDS, COUNTS)])
    assert LINES[COUNTS - 1] == text.split("\n")[ROUNDS - 1]
    assert COUNTS == origins[ROUNDS - 1] and sorted(origins) == [*range(1, len(LINES) + 1)]

    song = sheet("music:\n  verse 8\n  chorus 8\npart A:\n  Vine x2\ndance:\n  verse: Vine x2\n  chorus: A  # home\n")
    assert applied(song, [Exchange(7, 8)]).endswith("  verse: A\n  chorus: Vine x2  # home\n")


# -- lines more and less ---------------------------------------------------------------------------------------------


def test_a_line_goes_behind_all_that_stands_under_another_and_as_deep() -> None:
    """Behind a block means behind its last line, and the new line stands where the block's heading stands."""
    text, origins = traced(sheet(), [InsertLine(SECOND, "Fancy Double")])
    lines = text.split("\n")

    assert ["      Basic x2,  left foot", "    Fancy Double"] == lines[BASIC - 1 : BASIC + 1]
    assert 0 == origins[BASIC] and BASIC == last_line(
        next(one for one in every_line(sheet().lines) if one.number == SECOND)
    )
    assert LINES == lines[:BASIC] + lines[BASIC + 1 :]


def test_a_line_goes_before_another() -> None:
    """At the head of a block a line can be put before the first."""
    lines = applied(sheet(), [InsertLine(TRIPLE, "Basic x2", before=True)]).split("\n")

    assert ["  4 times:", "    Basic x2", LINES[TRIPLE - 1]] == lines[ROUNDS - 1 : ROUNDS + 2]


def test_several_lines_at_one_place_come_in_the_order_given() -> None:
    """Of several lines put in at one place the first comes first."""
    lines = applied(sheet(), [InsertLine(TRIPLE, "Vine"), InsertLine(TRIPLE, "Cowboy")]).split("\n")

    assert ["    Vine", "    Cowboy"] == lines[TRIPLE : TRIPLE + 2]


def test_a_line_is_taken_out_with_all_that_stands_under_it() -> None:
    """A block goes with its lines; nothing is left that would stand under something else."""
    text, origins = traced(sheet(), [DeleteLine(ROUNDS)])

    assert LINES[: ROUNDS - 1] + LINES[BASIC:] == text.split("\n")
    assert not {*range(ROUNDS, BASIC + 1)} & set(origins)


def test_a_new_reading_goes_behind_the_line_named() -> None:
    """A word that the header does not settle yet is settled on a line of its own."""
    lines = applied(sheet(), [SettleReading(6, "stamp", "takes weight", new=True)]).split("\n")

    assert [LINES[5], "stamp: takes weight", ""] == lines[5:8]


def test_edits_may_come_in_any_order() -> None:
    """What is changed, put in and taken out is named by the lines of the sheet as it was, whatever comes first."""
    edits = (ChangeTimes(TRIPLE, 2), InsertLine(TRIPLE, "Vine"), DeleteLine(SECOND), ChangeClaim(5, (0, 0), 2))

    assert 1 == len({applied(sheet(), some) for some in permutations(edits)})


def test_two_edits_of_one_line_go_together() -> None:
    """A line may change what it says and what it claims."""
    text = "    Fancy Double, turn 1/2 right on 2nd (to the window)"

    assert {PUSH: text} == after(ReplaceFigure(PUSH, "Fancy Double"), ChangeTurn(PUSH, 4))


def test_no_edits_change_nothing() -> None:
    """The text stays as it is to the last blank, and each line comes from itself."""
    assert (TEXT, tuple(range(1, len(LINES) + 1))) == traced(sheet(), [])


# -- names -----------------------------------------------------------------------------------------------------------


def test_names_are_put_in_where_they_stand_before_the_rest_is_changed() -> None:
    """Two names on one line, and another change of it, do not get in each other's way."""
    made, _ = parse(Source("x", "part A:\n  Tripel | Vien x2   # slow\ndance:\n  A\n"))
    edits = (FixName(2, 3, 9, "Triple"), FixName(2, 12, 16, "Vine"), ChangeTimes(2, 3, 1))

    assert "  Triple | Vine x3   # slow" == applied(made, edits).split("\n")[1]
    assert "  Triple | Vine x2   # slow" == applied(made, edits[:2]).split("\n")[1]


# -- what does not fit -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("edit", "said"),
    [
        (ReplaceFigure(99, "Vine"), "there is no line 99"),
        (FixName(99, 1, 2, "x"), "there is no line 99"),
        (ReplaceFigure(1, "Vine"), "line 1 says nothing"),
        (ReplaceFigure(PART, "Vine"), f"line {PART} has nothing"),
        (ChangeAlternative(PAIR, 2, "Vine"), f"line {PAIR} has no alternative number 3"),
        (ChangeTurnTimes(TRIPLE, Times((1,))), f"line {TRIPLE} has nothing"),
        (ChangeBlock(TRIPLE, 3), f"line {TRIPLE} has nothing"),
        (ChangeClaim(ROUNDS, (0, 0), 3), f"line {ROUNDS} claims nothing"),
    ],
)
def test_an_edit_that_does_not_fit_the_sheet_is_refused(edit: Edit, said: str) -> None:
    """A change of what is not there is an error with the line's number, never a sheet that says something else."""
    with pytest.raises(EditError, match=said):
        applied(sheet(), [edit])


# -- as diff and as JSON ---------------------------------------------------------------------------------------------


def test_the_difference_is_a_unified_diff() -> None:
    """Only the lines that change are in it, with the path of the sheet; nothing changed is an empty text."""
    text = applied(sheet(), [ChangeTimes(TRIPLE, 3)])
    diff = difference(Source("weir.routine", TEXT), text).split("\n")

    assert ["--- weir.routine", "+++ weir.routine (mended)"] == diff[:2]
    assert [LINES[TRIPLE - 1]] == [line[1:] for line in diff[2:] if line.startswith("-")]
    assert "" == difference(Source("weir.routine", TEXT), TEXT)


@pytest.mark.parametrize("edit", [edit for edit, _, _ in CASES] + [InsertLine(3, "Vine", True), DeleteLine(4)])
def test_an_edit_as_json_has_its_kind_and_its_pieces(edit: Edit) -> None:
    """A program that reads the JSON finds each piece by its name, and can tell the edit from every other one."""
    value = json.loads(json.dumps(edit_value(edit)))
    others = [json.dumps(edit_value(other), sort_keys=True) for other, _, _ in CASES if other != edit]

    assert edit.kind == value["kind"] and edit.line == value["line"]
    pieces = ("beats" if field.name == "ticks" else field.name for field in fields(type(edit)))
    assert ["kind", *pieces] == list(value)
    assert json.dumps(value, sort_keys=True) not in others


# -- what is kept ----------------------------------------------------------------------------------------------------


def test_a_part_the_dance_a_figure_and_a_line_can_be_kept() -> None:
    """Names are those of the sheet, however they are written; a line or a part is kept with all that stands under
    it."""
    assert set(range(PART, EXPECT + 1)) == kept_lines(sheet(), ["verse"])
    assert {DANCE, CALL, CUT, SWAPPED} == kept_lines(sheet(), ["dance"])
    assert {13} == kept_lines(sheet(), ["weir-drop"])
    assert {ROUNDS, *range(TRIPLE, BASIC + 1)} == kept_lines(sheet(), [ROUNDS]) == kept_lines(sheet(), [f" {ROUNDS} "])
    assert {13, DANCE, CALL, CUT, SWAPPED} == kept_lines(sheet(), ["Weir Drop", "dance"])
    assert frozenset() == kept_lines(sheet(), [])


@pytest.mark.parametrize(("keep", "said"), [("Chorus", "no part Chorus"), (99, "no line 99"), ("99", "no line 99")])
def test_what_is_not_there_cannot_be_kept(keep: str | int, said: str) -> None:
    """A part that is misspelt would not be protected, so it is an error."""
    with pytest.raises(NoSuchPart, match=said):
        kept_lines(sheet(), [keep])


def test_the_sheet_of_this_page_is_well_formed() -> None:
    """The examples are changes to a sheet that means something."""
    assert pipeline.loads(TEXT).program is not None
