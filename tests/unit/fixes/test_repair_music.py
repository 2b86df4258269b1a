"""Fixes of dances over music that go round until it ends, and of parts that are alternatives."""

from pathlib import Path

from stepcheck.books import book as books
from stepcheck.fixes.fix import repair
from stepcheck.language.edits import ReplaceLength
from stepcheck.model.outcome import Verdict
from stepcheck.report import pipeline

SONG = """\
book: line
lead: right

music:
  intro 16
  song 144

part Opening: 16 counts, right foot to right foot
  Vine x2
  Jazz Box x2

part Main: 32 counts, 1/4 turn right, right foot to right foot
  Vine x2
  Charleston x2
  Shuffle x4
  Jazz Box
  Pivot Half
  Rock Step

dance:
  intro: Opening
  song: Main until the music ends
"""
EITHER = """\
book: clogging
lead: left

part Plain: 16 beats, left foot to left foot
  Triple x4

part Showy: 16 beats, left foot to left foot
  Cowboy
  Triple x2
  Basic

dance: 48 beats
  Plain
  Plain | Showy
  Plain
"""


RESTART = """\
book: clogging
lead: left

music:
  verse 32
  bridge 8
  verse 24

part Verse: 32 beats, left foot to left foot
  Triple x2
  Basic x4
  Cowboy
  Rocking Chair x2

dance:
  verse: Verse
  bridge: Basic x4
  verse: Verse
"""


def test_a_pass_is_cut_where_the_music_has_less_room() -> None:
    """Where a section is too short for the part danced to it, the part is begun and left where the section ends."""
    found = repair(pipeline.loads(RESTART))
    assert (3, "restart") == (found[0].cost, found[0].edits[0].kind)
    assert "  verse: Verse\n  bridge: Basic x4\n  verse: Verse, first 24 beats\n" in found[0].text


def test_a_part_danced_twice_is_cut_both_times() -> None:
    """What is too much is shared by the passes of a line; where it cannot be, no pass of that line is cut."""
    twice = RESTART.replace("verse 24", "verse 48").replace(
        "  bridge: Basic x4\n  verse: Verse\n", "  bridge: Basic x4\n  verse: Verse x2\n"
    )
    assert "  verse: Verse x2, first 24 beats\n" in repair(pipeline.loads(twice))[0].text
    odd = twice.replace("verse 48", "verse 49")
    assert all(edit.kind != "restart" for fix in repair(pipeline.loads(odd)) for edit in fix.edits)


def test_a_pass_that_should_not_be_cut_is_danced_whole() -> None:
    """A restart that the music does not have is taken away."""
    found = repair(
        pipeline.loads(
            RESTART.replace("verse 24", "verse 32").replace(
                "  verse: Verse\n  b", "  verse: Verse, first 24 beats\n  b"
            )
        )
    )
    assert (2, "cut") == (found[0].cost, found[0].edits[0].kind)
    assert "first" not in found[0].text


def test_the_turn_of_a_lap_is_mended_however_the_music_cuts_the_last() -> None:
    """The teacher's fix comes first: the turn of the figure that turns."""
    found = repair(pipeline.loads(SONG))
    assert "Pivot Half, turn 1/4 right" in found[0].text
    assert all(fix.report.verdict is Verdict.PROVED for fix in found)


def test_laps_may_become_longer_or_shorter_by_a_fix() -> None:
    """Where the length of a lap is wrong, the number of laps after the fix is another one."""
    found = repair(pipeline.loads(SONG.replace("Shuffle x4", "Shuffle x2").replace("Half", "Half, turn 1/4 right")))
    assert any("Shuffle x4" in fix.text for fix in found)


def test_a_part_that_is_an_alternative_is_mended_inside() -> None:
    """A line too many in one of two parts to choose from is taken out."""
    found = repair(pipeline.loads(EITHER))
    assert (3, "Basic") == (found[0].cost, pipeline.loads(EITHER).sheet.source.line(found[0].edits[0].line).strip())


def test_another_part_can_be_called() -> None:
    """A wrong part in the order of the dance is replaced by the right one, dearer than a figure, as much of the dance
    changes."""
    text = (
        EITHER.replace("  Basic\n", "").replace("  Plain | Showy\n  Plain", "  Showy\n  Tag")
        + "part Tag: 4 beats\n  Triple\n"
    )
    head, tag = text.split("part Tag")
    text = head.replace("dance:", f"part Tag{tag}\ndance:")
    found = repair(pipeline.loads(text), without=("claim", "times", "figure", "insert"))
    assert any(fix.cost == 3 and fix.text.rstrip().endswith(("Showy\n  Plain", "Showy\n  Showy")) for fix in found)


def test_the_part_that_has_the_name_of_its_section_is_the_likeliest() -> None:
    """Of parts and figures that fill a section, the one that the section is named after comes before what is put in."""
    text = (
        "book: clogging\nlead: left\n\nmusic:\n  verse 32\n  chorus 16\n\npart Verse: 32 beats, left foot to left foot\n  Triple x8\n\n"
        "part Chorus: 16 beats\n  Basic x4\n  Fancy Double x2\n\ndance:\n  verse: Chorus\n  chorus: Chorus\n"
    )
    found = repair(pipeline.loads(text), without=("times",))
    assert "  verse: Verse" in found[0].text.splitlines()


def test_a_part_that_goes_round_until_the_music_ends_is_no_part_that_is_never_danced() -> None:
    """The part is mended for the foot with which the dance comes to it: a turn that goes to the other side from the
    other foot is a fix too."""
    book = books.load(Path(__file__).parents[2] / "small.book")
    text = "music:\n  song 6\npart A: 1/4 turn right\n  Change\ndance:\n  A until the music ends\n"
    found = repair(pipeline.loads(text, book=book), limit=8, level="any")

    assert ReplaceLength(4, "Quarter", None) in [edit for fix in found for edit in fix.edits]


def test_music_that_ends_before_the_first_lap_does_cuts_that_lap() -> None:
    """A lap of which the music has no room for a whole one is danced up to its end, and what is wrong before is mended."""
    text = (
        "book: line\nlead: right\n\nmusic:\n  song 16\n  fade 4\n\npart Main: 8 counts, 1/4 turn right\n"
        "  Rocking Chair\n  Jazz Box, turn 1/4 right\n\n"
        "dance:\n  song: Main x2\n  expect facing 6:00\n  fade: Main until the music ends\n"
    )
    assert Verdict.PROVED is pipeline.check_text(text).verdict

    (first, *_) = repair(pipeline.loads(text.replace("turn 1/4 right\n\n", "turn 1/4 left\n\n")))
    assert text == first.text
