"""Songs against music21: the clogs and hornpipes in its corpus, read from the installed package and never copied, and a
dance fitted to each clog.

The same files are read a second time by music21's translator into a score (ours reads tokens), played out by its
`expandRepeats` (ours follows signs and endings), and measured by the sum of their notes (ours by bars). music21 takes a
repeat without a sign where it begins back to the start of the tune; the test puts the missing sign into its score.
"""

import re
import time
from fractions import Fraction as F
from pathlib import Path
from typing import Any

import pytest

import stepcheck as sc
from stepcheck.music import bars, song
from stepcheck.music.strains import Song
from stepcheck.music.strains import song as played
from tests.machine import in_time

music21 = pytest.importorskip("music21", reason="songs are read with music21: pip install 'stepcheck[music]'")

FOLDER = Path(music21.__file__).parent / "corpus" / "ryansMammoth"
OTHERWISE = {
    "BrooksideHornpipe": "its score cannot be played out: the first ending stands on a line of its own",
    "CalisthenicHornpipe": "the second ending has no number, and its score leaves it out the second time",
    "CelebratedStopHornpipe": "a bar line is missing, and its score is cut into bars anew",
    "CarnivalHornpipe": "a repeat sign stands behind a double bar line, and its score loses it",
    "TelegraphHornpipe": "a repeat sign stands behind a double bar line, and its score loses it",
}
"""Files whose score in music21 is not what stands in the file, each looked at."""


def tunes(kind: str) -> list[Path]:
    """Return the files of a kind of tune."""
    wanted = re.compile(rf"^R:\s*{kind}\s*$", re.MULTILINE | re.IGNORECASE)
    return [path for path in sorted(FOLDER.glob("*.abc")) if wanted.search(path.read_text("utf-8", "replace"))]


CLOGS, HORNPIPES = tunes("clog"), tunes("hornpipe")
SAMPLE = [*CLOGS[::6], *HORNPIPES[::28]]


def ours(path: Path) -> Song:
    """Return a tune as stepcheck reads it, without a process for each."""
    found = bars.read("abc", path.read_bytes())
    return played(tuple(map(song._bar, found["bars"])), tuple(found["left_out"]))


def sounding(measure: Any) -> F:
    """Return how long the notes of a measure last, in quarters."""
    notes = [note for note in measure.notesAndRests if not isinstance(note, music21.harmony.Harmony)]
    return sum((F(note.duration.quarterLength).limit_denominator(1000) for note in notes), F())


def theirs(path: Path) -> F:
    """Return the dance beats of a tune as music21 plays it out: without the pick-up, the last measure whole."""
    part = music21.converter.parse(path.read_text("utf-8"), format="abc").parts.first()
    metre = part.recurse().getElementsByClass(music21.meter.TimeSignature).first()
    beat = F(3, 2) if metre.denominator == 8 else F(4, metre.denominator)
    whole = F(metre.barDuration.quarterLength)
    with_signs(list(part.getElementsByClass(music21.stream.Measure)))
    measures = list(part.expandRepeats().getElementsByClass(music21.stream.Measure))
    first = next(number for number, measure in enumerate(measures) if sounding(measure) >= whole)
    total = sum(map(sounding, measures[first:]), F()) + max(whole - sounding(measures[-1]), F())
    return F(round(total / beat * 12), 12)


def with_signs(measures: list[Any]) -> None:
    """Put a repeat sign where a repeat begins that has none: behind the double bar line or the repeat before it."""
    start, is_open = 0, False
    for number, measure in enumerate(measures):
        if isinstance(measure.leftBarline, music21.bar.Repeat):
            start, is_open = number, True
        right = measure.rightBarline
        if isinstance(right, music21.bar.Repeat):
            if start and not is_open:
                measures[start].leftBarline = music21.bar.Repeat(direction="start")
            start, is_open = number + 1, False
        elif right is not None and right.type in ("double", "final") and not is_open:
            start = number + 1


def test_the_corpus_has_the_tunes() -> None:
    """The package ships 37 clogs and 249 hornpipes, counted by their `R:` lines; most fill 64 beats in strains of 16."""
    assert (37, 249) == (len(CLOGS), len(HORNPIPES))
    lengths = [[section.ticks for section in ours(path).sections] for path in CLOGS]
    assert 35 == sum(set(one) == {16 * 12} for one in lengths)
    assert 30 == sum(sum(one) == 64 * 12 for one in lengths)


@pytest.mark.parametrize("path", SAMPLE, ids=lambda path: path.stem)
def test_a_tune_is_as_long_as_music21_plays_it(path: Path) -> None:
    """Every sixth clog and every twenty-eighth hornpipe lasts as many dance beats as in music21's own score."""
    agree(path)


@pytest.mark.nightly
def test_every_tune_is_as_long_as_music21_plays_it() -> None:
    """So do all others."""
    for path in (*CLOGS, *HORNPIPES):
        agree(path)


def agree(path: Path) -> None:
    """Compare one tune."""
    total = F(sum(section.ticks for section in ours(path).sections), 12)
    try:
        other = theirs(path)
    except music21.repeat.ExpanderException:
        other = None
    if path.stem in OTHERWISE:
        assert total != other, f"{path.stem} agrees by now"
    else:
        assert total == other, path.stem


SHEET = """routine: Millrace Clog
book: clogging
Basic: with double toe

part One: 16 beats
  Triple x3
  Basic x2

part Two: 16 beats
  Basic x2
  Triple x3

dance:
  One
  Two
"""
MOST_SECONDS = 10


@pytest.mark.parametrize("path", [*CLOGS[::12], FOLDER / "StatueClog.abc"], ids=lambda path: path.stem)
def test_a_dance_is_fitted_to_a_clog(path: Path) -> None:
    """Every twelfth clog, and the crooked one, is filled to the beat by two parts of sixteen beats, proved, in time."""
    fitted(path)


@pytest.mark.nightly
def test_a_dance_is_fitted_to_every_clog() -> None:
    """So is every other."""
    for path in CLOGS:
        fitted(path)


def fitted(path: Path) -> None:
    """Fit the sheet to a clog: as long as music21 plays it, or with a restart in the strains that are crooked."""
    begun = time.process_time()
    found = sc.fit(sc.loads(SHEET), music=path)
    assert in_time(time.process_time() - begun, MOST_SECONDS)
    assert found.report is not None and "proved" == found.report.verdict.word, path.stem
    assert theirs(path) == found.beats
    crooked = [number for number, one in enumerate(found.sections, 1) if one.ticks % (16 * 12)]
    assert [] == list(found.breaks)
    assert crooked == [int(re.search(r"section (\d+):", place)[1]) for place in found.places]  # type: ignore[index]
    assert (len(crooked) > 0) is (path.stem == "StatueClog")
