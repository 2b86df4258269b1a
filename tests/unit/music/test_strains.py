"""What bars are played out to: strains, repeats, endings, pick-ups, metres, tempos."""

from fractions import Fraction as F

import pytest

from stepcheck.music.strains import Bar, NoSong, Section, song

TWO = Bar(F(2), (2, 4))
PICK_UP = Bar(F(1, 2), (2, 4))


def bars(text: str, metre: tuple[int, int] = (2, 4)) -> tuple[Bar, ...]:
    """Return bars from a row of words: the length in quarter notes, before it `|:` or `1=` for an ending and `name=`,
    behind it `:|`, `:|3` or `||`."""
    out = []
    for word in text.split():
        label, _, rest = word.rpartition("=")
        begins, ends, edge = rest.startswith("|:"), ":|" in rest[1:], rest.endswith("||")
        length, _, plays = rest.removeprefix("|:").removesuffix("||").partition(":|")
        endings = tuple(map(int, label.split(","))) if label[:1].isdigit() else ()
        named = label if label and not endings else None
        out.append(Bar(F(length), metre, begins, ends, int(plays or 2), endings, edge, named))
    return tuple(out)


def played(text: str, metre: tuple[int, int] = (2, 4)) -> str:
    """Return the sections that bars are played out to, with their beats."""
    return " ".join(f"{one.name}{F(one.ticks, 12)}" for one in song(bars(text, metre)).sections)


@pytest.mark.parametrize(
    ("text", "sections"),
    [
        ("2 2 2 2||", "A8"),
        ("|:2 2:| |:2 2 2:|", "A4 A4 B6 B6"),
        ("2 2:| 2 2 2:|", "A4 A4 B6 B6"),
        ("|:2 2:|3", "A4 A4 A4"),
        ("|:2 1=2:| 2=2 2=2|| |:2 2:|", "A4 A6 B4 B4"),
        ("|:2 1,2=2:| 3=2 2", "A4 A4 A4 B2"),
        ("|:2 1=2:| 2 2|| 2", "A4 A6 B2"),
        ("2 2|| 2 2:|", "A4 B4 B4"),
        ("|:2 2|| 2 2:|", "A4 B4 A4 B4"),
        ("verse=2 2 chorus=2 2:| verse=2", "verse4 chorus4 chorus4 verse2"),
    ],
    ids=["none", "signs", "no start", "thrice", "endings", "three", "unnumbered", "double bar", "inside", "names"],
)
def test_repeats_and_endings_are_played_out(text: str, sections: str) -> None:
    """Strains come as often as they are played, each as long as its own time; a repeat without a sign where it begins
    goes back to the name, double bar line or repeat before."""
    assert sections == played(text)


@pytest.mark.parametrize(
    ("text", "sections"),
    [
        ("1/2 2 2 2 3/2:| |:1/2 2 2 2 3/2:|", "A8 A8 B8 B8"),
        ("1/2 2 2 2 2:| 2 2", "A17/2 A8 B4"),
        ("1/2 |:2 2 3/2||", "A6"),
        ("1/2 2 2 1", "A6"),
        ("2 2 3/2 1 2 2", "A21/2"),
    ],
    ids=["regular", "crooked", "fenced off", "last bar", "inside"],
)
def test_a_section_lasts_from_downbeat_to_downbeat(text: str, sections: str) -> None:
    """A pick-up belongs to the section before it, the first to none; the last bar lasts as long as its metre says; a
    pick-up that nothing before it makes room for makes its section crooked."""
    assert sections == played(text)


@pytest.mark.parametrize(
    ("metre", "length", "beats", "phrase"),
    [
        ((2, 4), 2, 2, 8),
        ((2, 2), 4, 2, 8),
        ((4, 4), 4, 4, 8),
        ((3, 4), 3, 3, 12),
        ((6, 8), 3, 2, 8),
        ((9, 8), F(9, 2), 3, 12),
        ((12, 8), 6, 4, 8),
        ((3, 8), F(3, 2), 3, 12),
    ],
    ids=str,
)
def test_the_dance_beat_of_a_metre(metre: tuple[int, int], length: F, beats: int, phrase: int) -> None:
    """A beat is a minim in cut time, a dotted crotchet in 6/8, 9/8 and 12/8, else the note of the lower number."""
    assert (Section("A", 48 * beats, phrase),) == song((Bar(F(length), metre),) * 4).sections


def test_metres_may_change_inside_a_strain() -> None:
    """Every bar counts by its own metre, and none is taken for a pick-up that is whole in its own."""
    assert 12 * 7 == song((TWO, TWO, Bar(F(3), (3, 4)))).sections[0].ticks


def test_tempos_count_dance_beats() -> None:
    """Tempos are told in dance beats a minute from a beat of the dance on; that of the whole song is their mean in
    time, and what is played again is as fast as it was."""
    fast = Bar(F(3), (6, 8), tempos=((F(0), F(180)),))
    slow = Bar(F(3), (6, 8), tempos=((F(0), F(90)),))
    found = song((fast, fast, slow, Bar(F(3), (6, 8), ends=True)))

    assert ((F(0), F(120)), (F(4), F(60)), (F(8), F(120)), (F(12), F(60))) == found.tempos
    assert F(80) == found.tempo
    assert song((TWO,)).tempo is None


def test_what_is_no_song() -> None:
    """Repeats that go on and on are refused, and a stretch too short to be danced to."""
    with pytest.raises(NoSong, match="more than"):
        song(bars("|:2:|30000"))
    with pytest.raises(NoSong, match="shorter than a tick"):
        song((Bar(F(1, 100), (2, 4), free=True), Bar(F(2), (2, 4), label="B")))
