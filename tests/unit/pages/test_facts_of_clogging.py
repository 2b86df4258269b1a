"""Who made a clogging routine, what it is called, and its song, wait and foot, as its first lines say them."""

import pytest

import stepcheck as sc

STEPS = "\n\nPart A\n2 Triples\n4 Basics\n"


@pytest.mark.parametrize(
    ("header", "wanted"),
    [
        ("Tallow Reel\nChoreo. by: Ada Millrace", ["author: Ada Millrace"]),
        ("Tallow Reel\nChor. by: Ada Millrace", ["author: Ada Millrace"]),
        ("Tallow Reel\nSteps by: Ada Millrace", ["author: Ada Millrace"]),
        ("Tallow Reel\nStepped by Ada Millrace", ["author: Ada Millrace"]),
        ("~~ Tallow Reel ~~\n~ Ada Millrace ~", ["routine: Tallow Reel", "author: Ada Millrace"]),
        ("TITLE - Tallow Reel\nCHOREO - Ada Millrace", ["routine: Tallow Reel", "author: Ada Millrace"]),
        ("Clogging: Tallow Reel", ["routine: Tallow Reel"]),
        ("Tallow Reel - Step Sheet", ["routine: Tallow Reel"]),
        ("CLOGGING CUE SHEET\nTallow Reel", ["routine: Tallow Reel"]),
        ("Our Step Sheet\nTallow Reel\nby Ada Millrace", ["routine: Tallow Reel", "author: Ada Millrace"]),
        ("Here's what we did on Monday:\nTallow Reel\nAda Millrace made up the steps.", ["routine: Tallow Reel"]),
    ],
)
def test_a_title_and_who_made_it_have_many_labels(header: str, wanted: list[str]) -> None:
    """A sheet of paper is no title, and nobody is called like the dance."""
    made = sc.draft(f"{header}\nMusic: Soft Soap by the Candle Band\nWait 16{STEPS}")

    assert not made.open
    assert "author: Tallow" not in made.text
    assert all(each in made.text.splitlines() for each in [*wanted, "routine: Tallow Reel", "song: Soft Soap"])


@pytest.mark.parametrize(
    "music",
    [
        'Recorded by the Candle Band: "Soft Soap"',
        "Music by the Candle Band: Soft Soap",
        'CD: the Candle Band, "Soft Soap"',
        'Album: the Candle Band - "Soft Soap"',
        "Sung by the Candle Band: Soft Soap, 120 bpm",
        "mp3: Soft Soap - the Candle Band",
        "Musik: Soft Soap by the Candle Band",
        "Soft Soap by the Candle Band",
        "Music:\tSoft Soap\tthe Candle Band\t120 BPM",
        "Music Soft Soap -- the Candle Band -- 120 BPM",
        'We use "Soft Soap" by the Candle Band, which runs at 120 bpm.',
    ],
)
def test_a_song_and_who_plays_it_stand_in_either_order(music: str) -> None:
    """Whoever a name that isn't the title is `by` plays that song, and made no dance."""
    made = sc.draft(f"Tallow Reel\nLevel: easy\n{music}\nWait 16{STEPS}")

    assert not made.open
    assert ["song: Soft Soap", "artist: the Candle Band"] == [
        line for line in made.text.splitlines() if line.startswith(("song", "artist", "author"))
    ]
    assert ("120" in music) == ("tempo: 120" in made.text)


@pytest.mark.parametrize("made", ["Steps by Ada Millrace", "Written by Ada Millrace", "Adapted by Ada Millrace"])
def test_whom_steps_are_by_plays_no_song(made: str) -> None:
    """Words of making are no song."""
    assert "song:" not in sc.draft(f"Tallow Reel\nLevel: easy\n{made}\nWait 16{STEPS}").text


@pytest.mark.parametrize(
    "wait",
    [
        "Wt 16 bts, R foot",
        "Wait: 16\tFoot: Right",
        "Wait:\t16 beats\nFoot:\tright",
        "Lead in: 16 beats, no steps. We go on the right foot.",
        "| Wait | 16 beats |\n| Foot | R |",
    ],
)
def test_a_wait_and_the_foot_have_fields_of_their_own(wait: str) -> None:
    """`Wt` is a wait before a number, and `Foot:` the one that starts."""
    made = sc.draft(f"Tallow Reel\nLevel: easy\n{wait}{STEPS}")

    assert not made.open
    assert {"wait: 16 beats", "lead: right"} <= {*made.text.splitlines()}


@pytest.mark.parametrize(
    "said", ["We listen for 16 beats, then begin. Always the LEFT foot first.", "Listen for 16 beats"]
)
def test_the_beats_for_which_dancers_listen_are_the_wait(said: str) -> None:
    """However a teacher says that nobody dances yet."""
    made = sc.draft(f"Tallow Reel\n{said}\nclogging{STEPS}")

    assert "\nwait: 16 beats\n" in made.text
