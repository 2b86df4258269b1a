"""Songs in ABC, MusicXML and MIDI, written here, through the process that reads them, and the sheets that name them."""

import os
import re
import subprocess
import sys
from collections.abc import Iterable
from fractions import Fraction as F
from pathlib import Path

import pytest

import stepcheck
from stepcheck.model import words
from stepcheck.music import song as songs
from stepcheck.music.strains import NoSong, Song

pytest.importorskip("music21", reason="songs are read with music21: pip install 'stepcheck[music]'")

ABC = """X:1
T:The Weir (invented)
M:2/4
L:1/8
Q:1/4=120
K:D
P:verse
A|"D"d2 (3fed|{g}a2f>e|"2"g2e2|[fd]2A2|d2f2|a2f2|g2e2|d3:|
P:chorus
|:A|d2f2|a2f2|g2e2|f2A2|d2f2|a2f2|g2e2|1 d3:|2 d4||
[M:6/8] [L:1/8] [P:tail] d2f a2f|[Q:3/8=90] d6|]
"""


def part(*measures: str, sounds: str = "") -> bytes:
    """Return a score of one part in MusicXML; `measures` are what stands in each."""
    inner = "".join(f'<measure number="{number}">{one}</measure>' for number, one in enumerate(measures, 1))
    head = '<part-list><score-part id="P1"><part-name>x</part-name></score-part></part-list>'
    return f'<score-partwise version="4.0">{head}<part id="P1">{inner}</part></score-partwise>'.encode()


TIME = "<attributes><divisions>2</divisions><time><beats>3</beats><beat-type>4</beat-type></time></attributes>"
SHORT_TIME = TIME.replace("<beats>3", "<beats>2")


def note(length: int) -> str:
    """Return a note of so many halves of a quarter."""
    return f"<note><pitch><step>D</step><octave>5</octave></pitch><duration>{length}</duration></note>"


def sign(side: str, inner: str) -> str:
    """Return a bar line with something on it."""
    return f'<barline location="{side}">{inner}</barline>'


BACK = '<repeat direction="backward"/>'
XML = part(
    TIME + note(2),
    "<direction><direction-type><rehearsal>verse</rehearsal></direction-type></direction>"
    + sign("left", '<repeat direction="forward"/>')
    + note(6),
    note(6),
    sign("left", '<ending number="1" type="start"/>')
    + note(4)
    + sign("right", f'<ending number="1" type="stop"/>{BACK}'),
    sign("left", '<ending number="2" type="start"/>') + note(6) + sign("right", '<ending number="2" type="stop"/>'),
    SHORT_TIME + note(4),
    note(4),
)


def midi(*events: tuple[int, bytes]) -> bytes:
    """Return a Standard MIDI File of one track, 96 ticks to the quarter; `events` stand at ticks, in order."""

    def number(value: int) -> bytes:
        return bytes([*([0x80 | value >> 7] if value > 127 else []), value & 127])

    track, now = b"", 0
    for at, event in (*events, (events[-1][0], b"\xff\x2f\x00")):
        track, now = track + number(at - now) + event, at
    return b"MThd\0\0\0\6\0\0\0\1\0\x60MTrk" + len(track).to_bytes(4, "big") + track


ON, OFF = b"\x90\x3e\x40", b"\x80\x3e\x40"
CUT_TIME = b"\xff\x58\x04\x02\x01\x18\x08"


def marker(name: str) -> bytes:
    """Return a marker."""
    return b"\xff\x06" + bytes([len(name)]) + name.encode()


def beats(song: Song) -> str:
    """Return the sections of a song with their beats."""
    return " ".join(f"{one.name} {F(one.ticks, 12)}" for one in song.sections)


def read(folder: Path, name: str, data: str | bytes) -> Song:
    """Return the song in a file with this name."""
    (folder / name).write_bytes(data.encode() if isinstance(data, str) else data)
    return songs.load(songs.beside(str(folder / "a.routine"), name))


def test_a_tune_in_abc(tmp_path: Path) -> None:
    """Labels, repeats, endings, pick-ups, tuplets, grace notes, chords, inline changes of metre and tempo."""
    found = read(tmp_path, "weir.abc", ABC)

    assert "verse 16 verse 16 chorus 16 chorus 16 tail 4" == beats(found)
    assert ((F(0), F(120)), (F(66), F(90))) == found.tempos


PAGE = (Path(__file__).parents[3] / "specs" / "meaning.md").read_text("utf-8")
TUNES = re.findall(r"^```abc (.*)\n((?:.*\n)*?)```$", PAGE, re.MULTILINE)


@pytest.mark.parametrize(("sections", "tune"), TUNES, ids=[sections for sections, _ in TUNES])
def test_the_tunes_of_the_page_are_played_as_it_says(sections: str, tune: str, tmp_path: Path) -> None:
    """Every tune in `specs/meaning.md` gives the sections behind it."""
    found = read(tmp_path, "page.abc", tune)

    assert len(TUNES) == PAGE.count("```abc")
    assert sections == ", ".join(f"{one.name} {words.number(F(one.ticks, 12))}" for one in found.sections)


def test_a_score_in_musicxml(tmp_path: Path) -> None:
    """Rehearsal marks, endings over bars, three beats in a bar, and a change to two."""
    assert "verse 8 verse 9 B 4" == beats(read(tmp_path, "weir.musicxml", XML))


def test_markers_of_a_midi_file(tmp_path: Path) -> None:
    """Sections begin at markers, with the beat of their metre; the end is rounded up to a beat; the tempo is told in
    dance beats."""
    tempo = b"\xff\x51\x03\x07\xa1\x20"  # half a million microseconds a quarter
    data = midi(
        (0, CUT_TIME),
        (0, tempo),
        (0, marker("verse")),
        (0, ON),
        (96 * 8, OFF),
        (96 * 16, marker("chorus")),
        (96 * 16, ON),
        (96 * 24 - 5, OFF),
    )
    found = read(tmp_path, "weir.mid", data)

    assert "verse 8 chorus 4" == beats(found)
    assert F(60) == found.tempo
    assert "A 4" == beats(read(tmp_path, "plain.mid", midi((0, ON), (380, OFF))))


@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("a.txt", b"", "ends in .abc"),
        ("missing.abc", None, "cannot be read"),
        ("a.abc", b"X:1\nM:2/4\nK:D\n", "no note"),
        ("a.abc", b"X:1\nK:D\nd2f2|\n", "metre"),
        ("a.abc", ABC.encode() + b"\n" + ABC.encode(), "several tunes"),
        ("a.xml", b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "b">]><x>&a;</x>', "entities"),
        ("a.xml", b'<!DOCTYPE x [<!ENTITY % a SYSTEM "file:///etc/hostname"> %a;]><x/>', "entities"),
        (
            "a.xml",
            '<?xml version="1.0" encoding="UTF-16"?><!DOCTYPE x [<!ENTITY a "b">]><x/>'.encode("utf-16"),
            "entities",
        ),
        ("a.xml", b"<x", "no XML"),
        ("a.mid", b"MThd", "."),
    ],
    ids=["name", "missing", "empty", "metre", "two", "entity", "parameter", "utf-16", "broken", "midi"],
)
def test_what_is_no_song(name: str, data: bytes | None, said: str, tmp_path: Path) -> None:
    """Each kind of file that holds no song is refused with the reason."""
    with pytest.raises(NoSong, match=said):
        if data is None:
            songs.load(str(tmp_path / name))
        else:
            read(tmp_path, name, data)


def test_a_document_type_that_declares_nothing_is_read(tmp_path: Path) -> None:
    """Most writers of MusicXML name its document type; nothing is fetched for it."""
    plain = b'<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://localhost:1/x.dtd">'

    assert read(tmp_path, "a.musicxml", XML) == read(tmp_path, "b.musicxml", plain + XML)


@pytest.mark.parametrize(
    "name", ["../weir.abc", "songs/../../weir.abc", "{0}/weir.abc", "..\\weir.abc", "away.abc", "C:weir.abc"]
)
def test_a_song_is_read_only_from_beside_the_sheet(name: str, tmp_path: Path) -> None:
    """No path above the sheet, no absolute one, no link that leads away."""
    folder = tmp_path / "sheets"
    folder.mkdir()
    (tmp_path / "weir.abc").write_text(ABC)
    os.symlink(tmp_path / "weir.abc", folder / "away.abc")

    with pytest.raises(NoSong, match="only from beside"):
        songs.beside(str(folder / "a.routine"), name.format(tmp_path))


def test_a_song_may_lie_in_a_folder_beside_the_sheet(tmp_path: Path) -> None:
    """Below is beside."""
    (tmp_path / "songs").mkdir()
    (tmp_path / "songs" / "weir.abc").write_text(ABC)

    assert songs.load(songs.beside(str(tmp_path / "a.routine"), "songs/weir.abc")).sections


def test_a_greedy_song_is_given_up(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Reading takes place in a process with bounds of memory and time."""
    greedy = tmp_path / "greedy.py"
    real = Path(songs.bars.__file__).read_text()
    wide = "    bytearray(3 << 30)\n"
    greedy.write_text(real.replace("    _limit()\n    try:\n", f"    _limit()\n    try:\n    {wide}"))
    monkeypatch.setattr(songs.bars, "__file__", str(greedy))
    songs._read.cache_clear()
    with pytest.raises(NoSong, match="memory"):
        read(tmp_path, "a.abc", ABC)
    greedy.write_text(real.replace("    _limit()\n    try:\n", "    import time\n    time.sleep(60)\n    try:\n"))
    monkeypatch.setattr(songs, "PATIENCE", 1)
    songs._read.cache_clear()
    with pytest.raises(NoSong, match="takes more than 1 seconds"):
        read(tmp_path, "a.abc", ABC)
    songs._read.cache_clear()


def test_without_music21_the_message_says_what_to_install(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The extra is named where it is missing, and nothing else breaks."""
    hidden = tmp_path / "hidden" / "music21.py"
    hidden.parent.mkdir()
    hidden.write_text("raise ModuleNotFoundError('music21')\n")
    monkeypatch.setenv("PYTHONPATH", str(hidden.parent))
    songs._read.cache_clear()
    with pytest.raises(NoSong, match=r"pip install 'stepcheck\[music\]'"):
        read(tmp_path, "a.abc", ABC)
    songs._read.cache_clear()


SHEET = """routine: The Weir
book: clogging
music: weir.abc

part Main: 16 beats
  Triple x4

dance:
  verse: Main x2
  chorus: Main x2
  tail: Triple
"""
PLAIN = """X:1
M:2/4
L:1/8
K:D
P:verse
d4|d4|d4|d4|d4|d4|d4|d4|d4|d4|d4|d4|d4|d4|d4|d4|
P:chorus
d4|d4|d4|d4|d4|d4|d4|d4|d4|d4|d4|d4|d4|d4|d4|d4|
P:tail
d4|d4|]
"""


def sheet(folder: Path, text: str = SHEET, tune: str = PLAIN) -> Path:
    """Write a sheet with a song beside it."""
    (folder / "weir.abc").write_text(tune)
    (folder / "weir.routine").write_text(text)
    return folder / "weir.routine"


def test_the_parts_must_fill_a_song_to_the_beat(tmp_path: Path) -> None:
    """A song means the same as a block of its sections: both engines prove a dance that fills it, and refute one that
    does not, by the same values."""
    for text, right in ((SHEET, True), (SHEET.replace("chorus: Main x2", "chorus: Main"), False)):
        listed = text.replace("music: weir.abc\n", "\nmusic:\n  verse 32\n  chorus 32\n  tail 4\n")
        named = stepcheck.check(stepcheck.load(sheet(tmp_path, text)))
        block = stepcheck.check(stepcheck.loads(listed))
        assert right is (named.exit_status == 0)
        assert [(one.verdict, one.kind) for one in named.claims] == [(one.verdict, one.kind) for one in block.claims]
    (found,) = [one for one in named.diagnostics if one.code.name == "music-not-filled"]
    assert "The section chorus should be danced for 32 beats, but is danced for 16 beats" == found.message
    assert 3 == found.span.line
    assert ["add 16 beats"] == [hint.text for hint in found.hints]


@pytest.mark.parametrize("label", ["chorous", "verse"])
def test_a_section_that_a_song_does_not_have_is_named(label: str, tmp_path: Path) -> None:
    """The names of a song's sections are those that the dance may use."""
    routine = stepcheck.load(sheet(tmp_path, SHEET.replace("chorus:", f"{label}:")))
    assert ["unknown-section"] == [one.code.name for one in routine.diagnostics]


def test_a_song_stands_in_a_sheet_once(tmp_path: Path) -> None:
    """A file and a list of sections exclude each other."""
    routine = stepcheck.load(sheet(tmp_path, SHEET.replace("\npart", "\nmusic:\n  verse 32\n\npart", 1)))
    assert ["name-taken-twice"] == [one.code.name for one in routine.diagnostics]


def test_a_text_has_no_song_beside_it() -> None:
    """`loads` without a path refuses a file, and says what to write."""
    (found,) = (one for one in stepcheck.loads(SHEET).diagnostics if one.code.name == "header-value")
    assert "a sheet that is no file has no song beside it" in found.message


def test_a_bad_song_is_one_finding(tmp_path: Path) -> None:
    """What cannot be read is said once, where it is named; the labels of the dance are no further mistakes."""
    routine = stepcheck.load(sheet(tmp_path, SHEET.replace("weir.abc", "wier.abc")))
    assert {"header-value"} == {one.code.name for one in routine.diagnostics}


def test_the_tempo_of_the_header_wins(tmp_path: Path) -> None:
    """Times are those of the header's tempo, with a note; else those of the song's, with a note if it changes."""
    tune = PLAIN.replace("K:D", "Q:1/4=100\nK:D", 1)
    plain = stepcheck.check(stepcheck.load(sheet(tmp_path, tune=tune)))
    assert (F(100), []) == (
        plain.finish and plain.finish.tempo,
        [one for one in plain.diagnostics if one.code.id == "SR811"],
    )
    both = stepcheck.check(stepcheck.load(sheet(tmp_path, SHEET.replace("music:", "tempo: 120\nmusic:"), tune)))
    assert F(120) == both.finish.tempo
    assert ["weir.abc has 100 beats a minute; the tempo of the header holds"] == [
        one.message for one in both.diagnostics if one.code.id == "SR811"
    ]
    twice = stepcheck.check(stepcheck.load(sheet(tmp_path, tune=tune.replace("P:tail", "Q:1/4=50\nP:tail"))))
    assert round(F(68) / (F(64, 100) + F(4, 50)), 1) == twice.finish.tempo
    assert ["SR811"] == [one.code.id for one in twice.diagnostics if one.code.id[2:] != "803"]


def test_a_figure_across_a_phrase_gets_a_note(tmp_path: Path) -> None:
    """A figure that begins in one phrase of eight beats and ends in the next is named, with the places."""
    text = SHEET.replace("  Triple x4\n", "  Basic\n  Triple x3\n  Basic\n")
    found = [
        one.message
        for one in stepcheck.check(stepcheck.load(sheet(tmp_path, text))).diagnostics
        if one.code.id == "SR812"
    ]
    assert ["Triple is danced across the end of a phrase, beat 8 of verse, and 3 times more"] == found
    assert [] == [one for one in stepcheck.check(stepcheck.load(sheet(tmp_path))).diagnostics if one.code.id == "SR812"]


def test_the_formatter_keeps_the_song() -> None:
    """`music: FILE` stands in the header as it was written."""
    assert "music: weir.abc\n" in stepcheck.format_text(SHEET.replace("music: weir", "Music :weir"))


def test_a_kept_answer_goes_with_the_song(tmp_path: Path) -> None:
    """An answer is found again while the song is the same, and is not where its bytes changed."""
    path, cache = str(sheet(tmp_path)), str(tmp_path / "kept.sqlite")

    def remembered() -> int:
        return stepcheck.check_catalogue([path], cache=cache).remembered

    assert [0, 1] == [remembered(), remembered()]
    (tmp_path / "weir.abc").write_text(PLAIN.replace("d4|d4|]", "d4|d4|d4|]"))
    whole = stepcheck.check_catalogue([path], cache=cache)
    assert 0 == whole.remembered
    assert "refuted" == whole.reports[0].verdict.word


def test_a_folder_of_sheets_passes_songs_over(tmp_path: Path) -> None:
    """A song beside a sheet is no sheet; named itself, it is explained."""
    from stepcheck.catalogue.discovery import sheets

    path = sheet(tmp_path)
    assert (str(path),) == sheets([str(tmp_path)]).sheets
    ((_, reason),) = sheets([str(tmp_path / "weir.abc")]).missing
    assert "music: weir.abc" in reason


def test_only_a_sheet_that_names_a_song_loads_the_room(tmp_path: Path) -> None:
    """Nothing of music is imported for other sheets, and music21 never in this process."""
    names = ["stepcheck.music.song", "music21"]
    code = f"import sys, stepcheck; stepcheck.check(stepcheck.load(sys.argv[1])); print([n in sys.modules for n in {names}])"

    def loaded(text: str) -> str:
        command: Iterable[str] = (sys.executable, "-c", code, str(sheet(tmp_path, text)))
        return subprocess.run(command, capture_output=True, text=True, check=True).stdout.strip()

    assert "[True, False]" == loaded(SHEET)
    assert "[False, False]" == loaded(
        SHEET.replace("music: weir.abc", "").replace("verse: ", "").replace("chorus: ", "").replace("tail: ", "")
    )
