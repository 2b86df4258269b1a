"""Calls as others read them: captions by webvtt-py, tracks by mido, every demo sheet with a tempo."""

import io
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import mido
import pytest
import webvtt

import stepcheck as sc

SPECS = Path(__file__).parents[2] / "specs"
SHEETS = [
    path
    for folder in ("routines", "faulty", "unfinished")
    for path in sorted((SPECS / folder).glob("*.routine"))
    if "\ntempo:" in path.read_text("utf-8") and sc.load(path).well_formed
]
NEAR = 0.010  # seconds


def seconds(stamp: str) -> float:
    """Return a time of a caption in seconds."""
    hours, minutes, rest = stamp.split(":")
    return int(hours) * 3600 + int(minutes) * 60 + float(rest)


def wanted(path: Path) -> list[tuple[float, str]]:
    """Return when each figure begins by the sheet's own tempo, less two beats, and the words of its call."""
    routine = sc.load(path)
    header = dict(routine.facts.header)
    beat = 60 / float(header["tempo"].split()[0])
    made = sc.calls(routine)
    return [(float(one.starts) - 2 * beat, one.words) for one in made.calls]


def test_most_sheets_have_a_tempo() -> None:
    """The tests below have something to read."""
    assert len(SHEETS) > 20


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_captions_come_on_their_beat(path: Path) -> None:
    """webvtt-py reads every caption, its words as written, each within 10 ms of two beats ahead of its figure; none
    lasts into the next."""
    read = list(webvtt.from_string(sc.calls(sc.load(path)).webvtt))
    expected = wanted(path)

    assert [said for _, said in expected] == [one.text for one in read]
    assert all(abs(seconds(one.start) - at) < NEAR for one, (at, _) in zip(read, expected, strict=True))
    assert all(one.start < one.end for one in read)
    assert all(one.end <= then.start for one, then in pairwise(read))


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_lyrics_and_clicks_come_on_their_beat(path: Path) -> None:
    """mido plays the track by its own clock: each lyric within 10 ms of two beats ahead of its figure, a click within
    10 ms of every beat to the end, the higher one where a part begins."""
    made = sc.calls(sc.load(path))
    beat, now = 60 / float(made.tempo), 0.0
    lyrics, clicks = [], []
    for message in mido.MidiFile(file=io.BytesIO(made.midi), charset="utf-8"):
        now += message.time
        if message.type == "lyrics":
            lyrics.append((now, message.text))
        elif message.type == "note_on":
            clicks.append((now, message.note))
    expected = wanted(path)

    assert [said for _, said in expected] == [said for _, said in lyrics]
    assert all(abs(at - want) < NEAR for (at, _), (want, _) in zip(lyrics, expected, strict=True))
    assert -(-made.beats // Fraction(1)) == len(clicks)
    assert all(abs(at - number * beat) < NEAR for number, (at, _) in enumerate(clicks))
    assert list(made.accents) == [number for number, (_, note) in enumerate(clicks) if note == 76]


def test_words_that_look_like_marks_are_words() -> None:
    """A part called `A & B` makes no mark-up (WebVTT, 6.4: cue text escapes ampersands); the track has it as it is."""
    text = "routine: x\nbook: line\ntempo: 100\nfigures:\n  Über Tor, 4 counts: S S S S\npart A & B:\n  Über Tor\ndance:\n  A & B\n"
    made = sc.calls(sc.loads(text))
    lyrics = [one.text for one in mido.MidiFile(file=io.BytesIO(made.midi), charset="utf-8") if one.type == "lyrics"]

    assert ["A &amp; B, right foot: Über Tor"] == [one.text for one in webvtt.from_string(made.webvtt)]
    assert ["A & B, right foot: Über Tor"] == lyrics
