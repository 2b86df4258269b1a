"""The calls of a dance, and when they come."""

from fractions import Fraction
from pathlib import Path

import pytest

import stepcheck as sc
from stepcheck.faces import cli

SHEET = """\
routine: Lock Gates
book: clogging
tempo: 120
wait: 4 beats
part Verse: 8 beats
  Triple
  Triple, turn 1/2 right
part Tag: 6 beats
  Basic x2 | Stomp x4
  hold 2 beats
dance:
  Verse x2
  Tag
"""


def called(text: str, **options: int) -> list[tuple[float, str]]:
    """Return when what is called."""
    return [(float(one.at), one.words) for one in sc.calls(sc.loads(text), **options).calls]


def test_a_call_comes_two_beats_ahead() -> None:
    """At 120 a beat lasts half a second: after four beats of wait the first figure is called at the third of them."""
    assert [
        (1.0, "Verse, left foot: Triple"),
        (3.0, "Triple, 1/2 turn right"),
        (5.0, "Verse, left foot: Triple"),
        (7.0, "Triple, 1/2 turn right"),
        (9.0, "Tag, left foot: Basic x2 or Stomp"),
        (11.0, "hold, 2 beats"),
    ] == called(SHEET)


@pytest.mark.parametrize("wait", ["wait: 0 beats\n", "wait: 1 beat\n", ""])
def test_eight_beats_are_counted_in_where_there_is_no_time_for_a_call(wait: str) -> None:
    """Without a wait, or with one that is shorter than a call comes ahead, the track begins with eight beats."""
    assert 3.0 == called(SHEET.replace("wait: 4 beats\n", wait))[0][0]
    assert 8 == sc.calls(sc.loads(SHEET.replace("wait: 4 beats\n", wait))).lead_in


def test_what_goes_on_is_called_until_it_comes_home_or_as_often_as_asked() -> None:
    """A dance on four walls is called for four rounds, one that turns nowhere for one."""
    text = "routine: x\nbook: line\ntempo: 120\npart A:\n  Vine{}\ndance:\n  A until the music ends\n"

    assert 4 == len(called(text.format(", turn 1/4 left")))
    assert 1 == len(called(text.format("")))
    assert 3 == len(called(text.format(""), rounds=3))


def test_the_track_is_as_long_as_the_dance_with_accents_where_parts_begin() -> None:
    """The lead-in counts; both passes of the verse and the tag begin with an accent."""
    made = sc.calls(sc.loads(SHEET))

    assert (Fraction(26), (4, 12, 20)) == (made.beats, made.accents)


def test_a_refuted_claim_is_named() -> None:
    """The dance is called as if it held, and its line is there to warn of it; it is no call."""
    made = sc.calls(sc.loads(SHEET.replace("turn 1/2 right\n", "turn 1/2 right\n  expect right foot\n")))

    assert (8,) == made.put_right and 6 == len(made.calls)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (SHEET.replace("tempo: 120\n", ""), "write the beats a minute in the header, such as `tempo: 120`"),
        (SHEET.replace("tempo: 120", "tempo: 5"), "is too slow"),
        (SHEET.replace("Triple", "Tripel"), "is ill-formed"),
        (SHEET.replace("Verse x2", "Verse x900000"), "too long"),
    ],
)
def test_what_has_no_time_is_not_called(text: str, said: str) -> None:
    """Without a tempo there is no time; the message says what to write."""
    with pytest.raises(sc.StepcheckError, match=said):
        sc.calls(sc.loads(text))


def test_the_command_writes_each_format(tmp_path: Path, capfdbinary: pytest.CaptureFixture[bytes]) -> None:
    """Captions and JSON go to stdout, a MIDI file only to a file, and not over one that is there."""
    sheet, track = tmp_path / "a.routine", tmp_path / "a.mid"
    sheet.write_text(SHEET)

    assert 0 == cli.main(["call", str(sheet)])
    assert capfdbinary.readouterr().out.startswith(
        b"WEBVTT\n\n00:00:01.000 --> 00:00:03.000\nVerse, left foot: Triple\n"
    )
    assert 0 == cli.main(["call", str(sheet), "--format", "json"])
    assert b'"schema": "stepcheck-calls-1"' in capfdbinary.readouterr().out
    assert 2 == cli.main(["call", str(sheet), "--format", "midi"])
    assert b"-o calls.mid" in capfdbinary.readouterr().err
    assert [0, 2] == [cli.main(["call", str(sheet), "--format", "midi", "-o", str(track)]) for _ in range(2)]
    assert sc.calls(sc.load(sheet)).midi == track.read_bytes()


def test_each_group_has_its_own_calls_and_practice() -> None:
    """The steps of the first group are called, or of the one that is named; one that is not there is refused by name."""
    text = (
        "book: clogging\ntempo: 120\ngroups: odd lines, even lines\neven lines: lead right\n\npart Weir:\n  Triple\n\n"
        "dance:\n  together:\n    odd lines: Weir\n    even lines: wait 4 beats, Push-off\n  Basic\n"
    )
    routine = sc.loads(text)
    said = {group: [one.words for one in sc.calls(routine, group=group).calls] for group in (None, "Even Lines")}

    assert said[None][0] == "Weir, left foot: Triple" and said["Even Lines"][1:] == ["Push-off", "Basic"]
    assert ["Push-off" in [one.name for one in sc.practise(routine, group=g).order] for g in ("even lines",)] == [True]
    with pytest.raises(sc.StepcheckError, match="has no group back row: the groups are odd lines and even lines"):
        sc.calls(routine, group="back row")
