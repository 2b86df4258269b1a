"""Who made a dance and who performs its song, and what only looks like a level, a title or a song."""

import re

import pytest

import stepcheck as sc

STEPS = "\n\nPart A\n2 Triples\n4 Basics\n"


@pytest.mark.parametrize(
    ("header", "wanted", "unwanted"),
    [
        (
            "SEDGE MILL\nby Orla Finch      Choreography: Tom Askew, Reed Cloggers\nclogging, wait 8",
            ["artist: Orla Finch", "author: Tom Askew (Reed Cloggers)"],
            "author: Orla",
        ),
        (
            "Hi all, here is Sedge Mill. its the fast one by Orla Finch & the Long Acre Five. 16 beat intro",
            ["artist: Orla Finch & the Long Acre Five", "wait: 16 beats"],
            "author:",
        ),
        ("sedge mill\nclogging\nint 8 bars (32 counts) then go", ["wait: 32 beats"], "level:"),
        (
            "SEDGE MILL | The Reeds | clogging\nDance: Adv. Beginner   Intro: 16",
            ["routine: SEDGE MILL", "wait: 16 beats", "level: Adv. Beginner"],
            "level: advanced",
        ),
        ('Sedge Mill\nclogging, wait 8\nA double step takes one beat, counted "and-a-one".', [], "song:"),
        ("Sedge Mill\nclogging\nTempo: slow (about 112 b.p.m.)", ["tempo: 112"], "song:"),
        ("Sedge Mill\nclogging\nSlow, 112 beats per min.", ["tempo: 112"], "song:"),
    ],
)
def test_each_name_of_a_header_is_what_its_words_say(header: str, wanted: list[str], unwanted: str) -> None:
    """Where somebody is named as the maker, whom the title is `by` performs the song; a band is one; `int 8` is a wait,
    a level behind `Dance:` no title, and words in small letters between quotes no song."""
    text = sc.draft(header + STEPS).text

    assert all(each in text for each in wanted), text
    assert unwanted not in text


@pytest.mark.parametrize(
    ("line", "author", "opened"),
    [
        ("written out by Miss E. Sedgeway (retd.)", "Miss E. Sedgeway", ""),
        ("prepared by R. J. Sedgeway for the Monday class", "R. J. Sedgeway", ""),
        ("Choreographed by T. Sedge-Marsh for Reed-Feast-by-the-Weir", "T. Sedge-Marsh", ""),
        ("Choreo: Orla Sedge, Reed Fork Cloggers, for the Monday class", "Orla Sedge (Reed Fork Cloggers)", ""),
        ('by Orla Sedge (with thanks to Tom)\nMusic: "Mill" by Bo Finch', "Orla Sedge", ""),
        ("Choreografin: Orla Sedge, Reed Fork Cloggers", "Orla Sedge (Reed Fork Cloggers)", ""),
        ("Prepared by: Miss E. Sedgeway, for the Monday dancers", "Miss E. Sedgeway", ""),
        ("Choreographer: Orla Sedge-Marsh (Reedham, May)", "Orla Sedge-Marsh (Reedham)", ""),
        ("Taught by Orla S., workshop Reedham", "", ""),
        ("taught by Orla Sedge, choreographed by Lee Ann Finch", "Lee Ann Finch", ""),
        ("Submitted by: O. Sedge, Secretary", "", ""),
        ("Teacher: Orla Sedge    Alder Hall, Reedham", "", ""),
        ("from Orla Sedge", "", "from Orla Sedge"),
        ("Reed Fork Stompers -- Dance Sheet No. 12", "", ""),
        ("Taught by Orla Sedge\nChoreo: Bo Finch", "Bo Finch", ""),
        ("A four wall dance for the Tuesday group", "", ""),
        ("Reedham Autumn Workshop, instructor Bo Finch", "", "Bo Finch"),
        ("Dance by Orla Sedge. Phrased.", "Orla Sedge", ""),
        ("A dance for Reed Fork Cloggers", "", "Reed Fork"),
    ],
)
def test_the_author_is_who_made_the_dance(line: str, author: str, opened: str) -> None:
    """Initials belong to the name, whom it is made for or with does not; who only taught it is no author, and a line
    that says no more is a remark, as no field holds it."""
    made = sc.draft(f"SEDGE MILL\n{line}\nclogging, wait 8{STEPS}")

    assert [f"author: {author}"] * bool(author) == [each for each in made.text.splitlines() if each[:6] == "author"]
    assert opened in "\n".join(made.open)
    assert not (line.startswith(("Taught", "Teacher")) and any("Sedge" in each or "Orla" in each for each in made.open))
    assert all(word in made.text for word in line.split() if word.isalpha() and word.islower() and len(word) > 5)


def test_the_head_of_a_mail_names_no_people_of_the_dance() -> None:
    """Neither who sent it nor whom it went to, and no level of theirs."""
    text = sc.draft(f"From: Orla\nTo: monday beginners\nDate: 3 May\n\nSedge Mill, clogging, wait 8{STEPS}").text

    assert "From: Orla" in text
    assert "author:" not in text
    assert "level:" not in text


def test_the_subject_of_a_mail_that_names_its_dance_further_on_is_nobody() -> None:
    """It is a comment."""
    text = sc.draft(f"Subject: Sedge Mill\nhi all here's Sedge Mill Rag (by Finch Band), wait 16{STEPS}").text

    assert "routine: Sedge Mill Rag\n" in text
    assert "author:" not in text
    assert "Subject: Sedge Mill" in text


def test_a_name_before_the_version_of_a_band_is_no_author() -> None:
    """It may be the dance or its song, and stays open."""
    made = sc.draft(
        f"Hi all, notes below.\n\nLow Water Friday  - the Finch Brothers version not the slow one!!  easy\nwait 16{STEPS}"
    )

    assert "artist: Finch Brothers" in made.text
    assert "author:" not in made.text
    assert not any("not used: the Finch" in each for each in made.open)
    assert any("Low Water Friday" in each for each in made.open)


@pytest.mark.parametrize(
    ("music", "fields"),
    [
        ("Song by: Orla Finch", ["artist: Orla Finch"]),
        ("Music: Sedge Mill - Orla Finch", ["song: Sedge Mill", "artist: Orla Finch"]),
        ("Music: Orla Finch - Sedge Mill", ["song: Sedge Mill", "artist: Orla Finch"]),
        ('Music: Orla Finch - "Down Below" (intro 32)', ["song: Down Below", "artist: Orla Finch"]),
        ("Music: Orla Finch, Down at the Mill", ["song: Down at the Mill", "artist: Orla Finch"]),
        ("Music: Low Water by Orla Finch", ["song: Low Water", "artist: Orla Finch"]),
        ("Music: Low Water (Orla Finch)", ["song: Low Water", "artist: Orla Finch"]),
        ("Music: The Reed Trio / Low Water", ["song: Low Water", "artist: The Reed Trio"]),
        ("Music: Low Water - Orla Finch feat. Bo Lee", ["song: Low Water", "artist: Orla Finch feat. Bo Lee"]),
        ("Song: Low Water - Orla Finch", ["song: Low Water", "artist: Orla Finch"]),
        ("Music: Orla Finch - Low Water", []),
        ("Music: Low Water, Orla Finch", []),
        ('Music: anything steady. We use "Low Water" by Orla Finch.', ["song: Low Water", "artist: Orla Finch"]),
        ("Song is Low Water, the Orla Finch version NOT the slow one.", ["song: Low Water", "artist: Orla Finch"]),
        ("The music is the Orla Finch recording, not the fast one.", ["artist: Orla Finch"]),
        ("Music: The Long Reeds", []),
        ("Track: The Long Reeds", ["song: The Long Reeds"]),
        ("Demo - Reed Fork Cloggers", []),
        (
            "Music: Down at the Mill, played by Orla & Finch String Band",
            ["song: Down at the Mill", "artist: Orla & Finch String Band"],
        ),
    ],
)
def test_a_song_and_its_artist_are_told_apart_or_both_open(music: str, fields: list[str]) -> None:
    """By quotes, by `by`, by a bracket, by the title of the dance or by a word of bands; nothing is taken the wrong way
    round."""
    made = sc.draft(f"Sedge Mill\n32 counts, 4 walls\n{music}\n\n1-4 Vine R, touch L\n")

    assert fields == [each for each in made.text.splitlines() if each.split(":")[0] in ("song", "artist")]
    assert fields or any(music.split(": ")[-1] in each for each in made.open)


@pytest.mark.parametrize(
    ("header", "fields"),
    [
        (
            "SEDGE MILL (Orla Finch Band)  wait 16  L",
            ["routine: SEDGE MILL", "artist: Orla Finch Band", "wait: 16 beats"],
        ),
        (
            "SEDGE MILL .... ORLA FINCH AND THE REEDS\nBEG .... WAIT 16 .... L FT",
            ["routine: SEDGE MILL", "artist: ORLA FINCH AND THE REEDS", "lead: left", "wait: 16 beats"],
        ),
        ("SEDGE MILL - The Reed Trio - 124bpm - int - W8 - RF", ["tempo: 124", "wait: 8 beats", "lead: right"]),
        (
            'Hi all,\nhere\'s "Sedge Mill" (by the Reed Sisters) for you',
            ["routine: Sedge Mill", "artist: the Reed Sisters"],
        ),
        (
            "** Sedge Mill You Know ** Beg+ (Choreographed at home by Bo Lee)",
            ["routine: Sedge Mill You Know", "author: Bo Lee"],
        ),
        ("SEDGE MILL (Orla Finch + the Tin Reeds)", ["routine: SEDGE MILL", "artist: Orla Finch + the Tin Reeds"]),
        (
            "Hi,\nit is what we did for Sedge Mill (Orla Finch Band, the fast one)",
            ["routine: Sedge Mill", "artist: Orla Finch Band"],
        ),
        ("SEDGE MILL - the Finch Brothers version", ["routine: SEDGE MILL", "artist: Finch Brothers"]),
        (
            "Dear all,\nThe Miller's Waltz. Left foot to begin. Wait 16.",
            ["routine: The Miller's Waltz", "wait: 16 beats"],
        ),
        ("hi, no time. song is Low Water by Orla Finch, wait 16", ["song: Low Water", "artist: Orla Finch"]),
    ],
)
def test_a_line_may_say_all_of_a_dance(header: str, fields: list[str]) -> None:
    """A title, its band in brackets, the wait and the foot in letters between signs, and a title in a sentence."""
    made = sc.draft(f"{header}{STEPS}".replace("Part A", "Part A (clogging)"))

    assert {*fields} <= {*made.text.splitlines()}, made.text
    assert not any("not used" in each for each in made.open), made.open


def test_what_a_mail_leaves_open_stands_on_its_own_line() -> None:
    """Whatever lines of its head are above, and no line is open twice."""
    made = sc.draft(f"from: my phone\nok its Sedge Mill by Orla Finch, wait 24\nTaught by Bo Lee{STEPS}").open

    assert "line 2" in next(each for each in made if "Sedge Mill" in each)
    assert 0 == sum("Bo Lee" in each for each in made)


MAIL = (
    "Hi everyone,\n\nHere is the dance we did last night. It is called Sedge Mill, it's 32 counts and goes to four "
    "walls. {} Start when he sings.\n\n1-8\nVine right, vine left\n"
)
SHEET = "SEDGE MILL\n32 counts, 4 walls\n{}\n\n1-8 Vine right, vine left\n"


@pytest.mark.parametrize("page", [MAIL, SHEET])
@pytest.mark.parametrize(
    "said",
    [
        'We used "Mill Race" by Orla Finch.',
        'We danced it to "Mill Race" by Orla Finch.',
        "It was danced to Mill Race by Orla Finch.",
        "I used Mill Race by Orla Finch.",
        "I use Mill Race by Orla Finch.",
        'We put on "Mill Race" by Orla Finch.',
        'It goes well with "Mill Race" by Orla Finch.',
        'We did this to "Mill Race" by Orla Finch.',
        "This is danced to Mill Race by Orla Finch.",
    ],
)
def test_a_song_that_is_danced_to_is_by_who_performs_it(said: str, page: str) -> None:
    """Also where a sentence of the header tells it, and with quotes or without."""
    text = sc.draft(page.format(said)).text

    assert "\nsong: Mill Race\nartist: Orla Finch\n" in text and "\nauthor:" not in text


@pytest.mark.parametrize("said", ["Mus.  {} - {}", "Mus. {} by {}", "MUS.: {}, {}", "Mus:  {} / {}     Intro 16 ct"])
def test_music_may_be_written_short(said: str) -> None:
    """With its full stop, and a gap behind it."""
    text = sc.draft(SHEET.format(said.format("Sedge Mill", "Orla Finch"))).text

    assert "\nsong: Sedge Mill\nartist: Orla Finch\n" in text


@pytest.mark.parametrize("page", [MAIL, SHEET])
@pytest.mark.parametrize(
    ("said", "author"),
    [
        ("The card was given to us by Orla Finch.", ""),
        ("It was shown to us by Orla Finch.", ""),
        ("It was kindly lent by Orla Finch.", ""),
        ("Any polka by Orla Finch will do.", ""),
        ("We had it played by Orla Finch.", ""),
        ("We love everything by Orla Finch.", ""),
        ("It was written by Orla Finch.", "Orla Finch"),
        ("The dance is by Orla Finch.", "Orla Finch"),
        ("This is a dance by Orla Finch.", "Orla Finch"),
        ("It was choreographed by Orla Finch.", "Orla Finch"),
    ],
)
def test_by_somebody_in_a_sentence_is_the_author_only_if_it_speaks_of_making(said: str, author: str, page: str) -> None:
    """Any other sentence stays open, and names no author."""
    made = sc.draft(page.format(said))

    assert [f"author: {author}"] * bool(author) == [each for each in made.text.splitlines() if each[:6] == "author"]
    assert author or [each for each in made.open if "Orla Finch" in each]


@pytest.mark.parametrize(
    ("line", "fields"),
    [
        (
            'Dance by Orla Finch, music "Mill Race" by Tom Askew',
            ["author: Orla Finch", "song: Mill Race", "artist: Tom Askew"],
        ),
        (
            "Dance by Orla Finch, song Mill Race by Tom Askew",
            ["author: Orla Finch", "song: Mill Race", "artist: Tom Askew"],
        ),
        ("Song: Mill Race - Tom Askew 3:12", ["song: Mill Race", "artist: Tom Askew\n"]),
        ("Music: Sedge Mill, Tom Askew (3:12), 32 in", ["song: Sedge Mill", "artist: Tom Askew\n", "wait: 32 counts"]),
    ],
)
def test_the_people_of_one_line_are_told_apart(line: str, fields: list[str]) -> None:
    """Who stands behind the song plays it, who stands before it made the dance; how long a track is, is no name."""
    text = sc.draft(f"Sedge Mill\n8 counts, 1 wall, line dance\n{line}\n\n1-4 Vine R, touch\n5-8 Vine L, touch\n").text

    assert all(each in text for each in fields), text
    assert text.count("author:") == ("author" in fields[0])


@pytest.mark.parametrize("title", ["Sedge Mill (32, 2 wall)", "Sedge Mill (2 walls, 32)", "Sedge Mill - 32, 2 walls"])
def test_a_number_beside_the_walls_is_that_of_the_counts(title: str) -> None:
    """A title may state the counts without a word for them; the song below the steps is told by the title's words."""
    text = f"{title}\n\n1-4 Vine R, touch\n5-8 Vine L, touch\n\nMusic: Sedge Mill, Tom Askew. 32 in.\n"
    made = sc.draft(text).text

    assert all(each in made for each in ("part Main: 32 counts", "walls: 2", "song: Sedge Mill", "artist: Tom Askew"))
    assert "wait: 32 counts" in made


@pytest.mark.parametrize(
    "line",
    [
        'Artist: The Alder Five, "Low Water". 120 bpm. Wait 8.',
        'Band: The Alder Five ("Low Water")',
        'Singer: The Alder Five - "Low Water"',
        '"Low Water" played by The Alder Five',
        '"Low Water", performed by The Alder Five',
        '"Low Water" recorded by The Alder Five',
    ],
)
def test_a_title_in_quotes_beside_who_plays_it_is_the_song(line: str) -> None:
    """On either side of the name, whatever word says that it is played."""
    text = sc.draft(f"Sedge Mill\nclogging, wait 8\n{line}{STEPS}").text

    assert "song: Low Water\nartist: The Alder Five\n" in text


@pytest.mark.parametrize("greeting", ["Dear Nan,", "Hello everybody,", "Hi all!", "Dear dancers"])
@pytest.mark.parametrize(
    "said",
    [
        "You asked for the steps to our Osier Lanes after the supper, so here it is, easy enough once you have learnt the middle. "
        'The record is "Low\nWater" by the Tallow Trio, about 118 beats to the minute, and you wait 16 beats.',
        'It is called Osier Lanes. The record is "Low Water" by the Tallow Trio, 118 beats a minute. Wait 16 beats.',
    ],
)
def test_what_stands_over_the_greeting_of_a_letter_is_no_title(greeting: str, said: str) -> None:
    """It is whose letter it is; the dance is called something further on, and a song in quotes may run on."""
    made = sc.draft(
        f"Alder Ferry Cloggers\nThe Old Granary\n\n{greeting}\n\n{said}\n\nPart A (8 beats)\n4 Basics\n"
    ).text

    assert "routine: Osier Lanes\n" in made and "author:" not in made and "# The Old Granary" in made
    assert all(each in made for each in ("tempo: 118", "wait: 16 beats", "song: Low Water", "artist: the Tallow Trio"))


@pytest.mark.parametrize(
    ("line", "title"),
    [
        ("Notes for the class - OSIER LANES", "OSIER LANES"),
        ("Notes from Tuesday - Osier Lanes", "Osier Lanes"),
        ("Beginners class - The Osier Lanes", "The Osier Lanes"),
        ("Osier Lanes - notes for the class", "Osier Lanes"),
    ],
)
@pytest.mark.parametrize("made", ["Made up for Nan's 80th", "Devised for the flower show"])
def test_for_whom_a_dance_was_made_and_told_is_no_title_and_nobody(line: str, title: str, made: str) -> None:
    """The title is what stands beside it, and nobody is said to have made it."""
    text = sc.draft(f"{line}\n(32 counts, 4 walls. {made}.)\n\n1-4 Vine R, touch\n5-8 Vine L, touch\n").text

    assert f"routine: {title}\n" in text and "author:" not in text and made in text


@pytest.mark.parametrize(
    ("title", "author"),
    [
        ("Tallow Swing by Nell Osier", "Nell Osier"),
        ("TALLOW SWING by Nell Osier & Bo Finch", "Nell Osier & Bo Finch"),
        ("Tallow Swing, a line dance by Nell Osier", "Nell Osier"),
        ("Tallow Swing\n(a line dance by Nell Osier)", "Nell Osier"),
        ("Tallow Swing\nLine Dance\nChor: Nell Osier", "Nell Osier"),
    ],
)
def test_whom_a_title_is_by_made_the_dance_if_somebody_else_plays_the_music(title: str, author: str) -> None:
    """Two names of people, of which the music line says which is the band's, leave nothing open."""
    made = sc.draft(
        f"{title}\n16 counts, 1 wall\nMusic: Low Water by The Reed Trio\n\n1-8 Vine R, vine L\n9-16 Repeat\n"
    )

    assert f"author: {author}\n" in made.text and "artist: The Reed Trio\n" in made.text
    assert not any("line 1:" in each or "line 2:" in each for each in made.open)


@pytest.mark.parametrize(
    ("title", "music"),
    [
        ("Tallow Swing by Nell Osier", "Nell Osier"),
        ("Tallow Swing by Nell Osier", ""),
        ("Tallow Swing by The Long Reeds", "Bo Finch"),
        ("Tallow Swing - Nell Osier", "Bo Finch"),
        ("Tallow Swing (Alder Ferry)", "Bo Finch"),
    ],
)
def test_a_name_behind_a_title_is_no_author_where_it_may_be_something_else(title: str, music: str) -> None:
    """It may be who plays, a place or a song."""
    by = f"Music: Low Water by {music}" if music else "Music: anything steady"
    made = sc.draft(f"{title}\n8 counts, 1 wall\n{by}\n\n1-8 Vine R, vine L\n")

    assert "author:" not in made.text


@pytest.mark.parametrize(
    ("line", "tempo"),
    [
        ("to the music Low Water by The Reeds", ""),
        ("Danced to the song Low Water by The Reeds (96 bpm)", "96"),
        ("Song title: Low Water\nSung by: The Reeds\nBPM: 96", "96"),
        ("Music used: Low Water - The Reeds [96 bpm]", "96"),
        ("The music is Low Water, and it is sung by The Reeds. Speed about 96 beats a minute.", "96"),
    ],
)
def test_song_and_player_are_read_from_any_words_around_them(line: str, tempo: str) -> None:
    """The title of the song is not that of the dance, and nobody who sings made it."""
    made = sc.draft(f"Tallow Swing\n8 counts, 1 wall\n{line}\n\n1-8 Vine R, vine L\n")

    assert {"routine: Tallow Swing", "song: Low Water", "artist: The Reeds"} <= {*made.text.splitlines()}
    assert "author:" not in made.text and not any("line 3:" in each for each in made.open)
    assert (f"tempo: {tempo}" in made.text) == bool(tempo)


_HEAD = "{}\n8 counts, 1 wall, line dance\n{}\n\n1-4 Vine R, touch\n5-8 Vine L, touch\n"


def _fields(text: str) -> dict[str, str]:
    lines = (line.partition(": ") for line in sc.draft(text).text.splitlines())
    return {key: said for key, _, said in lines if key in ("routine", "author", "song", "artist")}


@pytest.mark.parametrize(
    "title",
    [
        "Osier Stroll\nby Nan Ollerton",
        "~ Osier Stroll ~\n~ Nan Ollerton ~",
        "Folks, here is Osier Stroll by Nan Ollerton, as promised.",
        "Alder Ferry Steppers\nStep Notes\nOsier Stroll\nChor: Nan Ollerton",
    ],
)
@pytest.mark.parametrize(
    "music",
    [
        "Music: Millrace by The Tallows",
        "Low Millrace - The Tallows",
        "Millrace by The Tallows",
        "You'll need Millrace by The Tallows",
        "Music:\tMillrace\tThe Tallows\t104 bpm",
        "Track: Millrace\n        The Tallows\n        104 bpm",
    ],
)
def test_a_band_beside_a_title_plays_it(title: str, music: str) -> None:
    """Without a word of music where somebody else made the dance, and further in below one that names the song."""
    song = "Low Millrace" if "Low" in music else "Millrace"
    wanted = {"routine": "Osier Stroll", "author": "Nan Ollerton", "song": song, "artist": "The Tallows"}
    text = _HEAD.format(title, music)

    assert wanted == _fields(text)
    assert not [each for each in sc.draft(text).open if "not used" in each]


@pytest.mark.parametrize(
    ("title", "song"), [("Osier Stroll", ""), ("Osier Stroll - Nan Lee", "Low Water"), ("Osier (Nan Lee)", "Low Water")]
)
def test_two_names_of_which_the_last_is_a_band_make_no_author_of_a_song(title: str, song: str) -> None:
    """They are a song where the title has a name beside it, else a person and a club, or a song: open."""
    text = _HEAD.format(title, "Low Water - The Tallows")

    assert "author" not in _fields(text) and song == _fields(text).get("song", "")
    assert [each for each in sc.draft(text).open if "not used" in each]


@pytest.mark.parametrize(
    "title",
    [
        "STEP SHEET\nOsier Stroll",
        "Dance notes\nOsier Stroll",
        "DANCE SCRIPT - Osier Stroll",
        "Tonight's dance is Osier Stroll",
        "This term's dance: Osier Stroll",
        "Our line dance is called Osier Stroll",
        "steps 4 Osier Stroll",
        "1. Dance: Osier Stroll\n2. Level: Beginner",
    ],
)
def test_what_the_paper_is_and_the_number_of_a_field_are_no_title(title: str) -> None:
    """The name behind them, or on the next line, is; it is nobody's."""
    text = _HEAD.format(f"{title}\nChoreographed by Nan Ollerton", "Music: Millrace by The Tallows")
    found = _fields(text)

    assert (found["routine"], found["author"]) == ("Osier Stroll", "Nan Ollerton")
    assert not [each for each in sc.draft(text).open if "not used" in each]


@pytest.mark.parametrize(
    ("music", "wanted"),
    [
        ('Music track: "Millrace"\nSung by: The Tallows', ("Millrace", "The Tallows")),
        ("Music title: Millrace. Performed by: Nan Lee. Speed: 104 BPM.", ("Millrace", "Nan Lee")),
        ("Record: Millrace (artist: The Tallows)", ("Millrace", "The Tallows")),
        ("Track title: Millrace (singer: Nan Lee)", ("Millrace", "Nan Lee")),
    ],
)
def test_a_song_and_its_artist_have_any_label(music: str, wanted: tuple[str, str]) -> None:
    """`Music title`, `Track title`; the label of who plays it may stand in the bracket."""
    found = _fields(_HEAD.format("Osier Stroll", music))

    assert (found["song"], found["artist"]) == wanted


@pytest.mark.parametrize("music", ["Music: Millrace by The Tallows", "Wait 16", "Music: Millrace"])
@pytest.mark.parametrize(("by", "key"), [("Nan Lee", "author"), ("the Nan Lee Band", "artist")])
def test_a_person_in_a_bracket_behind_a_title_in_a_greeting_made_it_and_a_band_plays_it(
    music: str, by: str, key: str
) -> None:
    """As with `by` on a line of its own."""
    if key == "artist" and "by" in music:
        music = "Wait 8"
    text = sc.draft(_HEAD.format(f"Hi all, here are the steps for Osier Stroll (by {by})", music)).text

    assert "routine: Osier Stroll" in text and f"{key}: {by}" in text


def test_a_line_that_says_who_made_a_dance_leaves_nothing() -> None:
    """`A dance devised by` is no more than that."""
    text = _HEAD.format("Osier Stroll\n\nA dance devised by Nan Ollerton", "Music: Millrace by The Tallows")

    assert _fields(text)["author"] == "Nan Ollerton"
    assert not [each for each in sc.draft(text).open if "devised" in each]


@pytest.mark.parametrize(
    ("header", "fields", "unwanted"),
    [
        (
            '"Sedge Mill"\n\nclogging, easy\nDance: Gudrun Oberlin, Talgrund Cloggers\nMusic: "Still Water" from Lena Ems Trio',
            [
                "routine: Sedge Mill",
                "author: Gudrun Oberlin (Talgrund Cloggers)",
                "song: Still Water",
                "artist: Lena Ems",
            ],
            "from Lena",
        ),
        (
            "Sedge Mill (clogging)\nTrack: Low Water, The Tin Drovers. 3.05, med/fast",
            ["artist: The Tin Drovers\n"],
            "3.05\n",
        ),
        ('SEDGE MILL   Abs Beg clogging\nThe Eel Band "Sedge"   c.110', ["level: Abs Beg", "tempo: 110"], "beginner"),
        ("Sedge Mill (clogging)\nSong by Ivo Tenn and the Shift, 126 beats/min", ["tempo: 126"], "song:"),
        ("Sedge Mill (clogging)\nsinger is Odell March, 3 min 05", ["artist: Odell March"], "open: line 2"),
        ("Sedge Mill (clogging)\nHold 32 beats (there is a long bit)", ["wait: 32 beats"], "not used"),
        ("Sedge Mill (clogging)\nCount 16 from the first beat and off you go", ["wait: 16 beats"], "not used"),
        ('Sedge Mill (clogging)\nSong is "Low Water" by Ivo Tenn, about 104 beats. Enjoy', ["tempo: 104"], "not used"),
        (
            "From: Ines\nSubj: SEDGE MILL (from last nite)\n\nLadies and Leon,\nclogging",
            ["routine: SEDGE MILL"],
            "author",
        ),
        ("Subject: steps for the fair - sedge mill reel\n\nhi all, clogging", ["routine: sedge mill reel"], "author"),
        ("sedge mill // clog, int+ // tam moss, eel co. (ohio)", ["open: line 1: not used"], "author"),
    ],
)
def test_a_header_is_read_however_loosely_it_is_typed(header: str, fields: list[str], unwanted: str) -> None:
    """Each field has just its words, none goes to a greeting, and who may have made the dance is at least open."""
    text = sc.draft(header + STEPS).text

    assert all(each in text for each in fields), text
    assert unwanted not in re.sub(r"\n# (?!open)[^\n]*", "", text.replace("# assumed", "# ")), text


def test_who_only_taught_a_dance_stays_beside_what_its_line_states() -> None:
    """Its line is a remark besides: nothing is dropped. `leave 16 beats` is a wait."""
    made = sc.draft(
        f"SEDGE MILL\nTaught by Orla Sedge, Reed Fork Cloggers      Int. level\nclogging, leave 16 beats{STEPS}"
    )

    assert "# Taught by Orla Sedge, Reed Fork Cloggers" in made.text and "level: intermediate" in made.text
    assert "wait: 16 beats\n" in made.text and not any("Sedge" in each for each in made.open)


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("(Copper Moon, The Weir Band)", {"song": "Copper Moon", "artist": "The Weir Band"}),
        ("By N. Farrow\nCopper Moon / Weir Band   16ct intro", {"song": "Copper Moon", "author": "N. Farrow"}),
        ("Copper Moon / The Weir Band", {"author": "", "song": ""}),
        ("Dance: 32 counts, 2 walls, one restart", {"routine": "Lantern Row", "walls": "2"}),
        ("By Ada Reed & Jo Finch (Feb, for the Thursday class at Sedge)", {"author": "Ada Reed & Jo Finch"}),
        ("Dance: easy 32 count 4 wall", {"routine": "Lantern Row", "walls": "4"}),
    ],
)
def test_a_song_beside_its_band_is_nobody_and_counts_are_no_title(said: str, wanted: dict[str, str]) -> None:
    """A band behind a stroke or in a bracket is no club of a person's; `Dance:` before counts names no dance."""
    made = sc.draft(f"Lantern Row\n{said}\n\nSection 1\n1-4 Vine right\n5-8 Vine left\n")
    fields = dict(line.split(": ", 1) for line in made.text.partition("\npart ")[0].splitlines() if ": " in line)
    assert {key: fields.get(key, "") for key in wanted} == wanted
    assert wanted.get("song") != "" or [each for each in made.open if said in each]


@pytest.mark.parametrize("sign", [" - ", ", "])
def test_a_name_in_quotes_behind_a_person_is_their_club_where_the_song_is_labelled(sign: str) -> None:
    """It takes the place of no song."""
    said = f'Tom Askew{sign}"Schilfhalle e.V."     Class sheet\nDance: Sedge Mill\nMusic: Low Water (The Reeds)'
    made = sc.draft(f"{said}\n8 counts, 1 wall, line dance\n\n1-8 Vine R, vine L\n")

    assert all(each in made.text for each in ("song: Low Water\n", "artist: The Reeds\n", "routine: Sedge Mill\n"))
    assert "author: Tom Askew (Schilfhalle" in made.text and not [each for each in made.open if "Low Water" in each]


@pytest.mark.parametrize(
    "said", ["Written the 3rd of May", "Written 12 Jan", "Choreographed 4 March", "written in May"]
)
def test_when_a_dance_was_written_is_nobody(said: str) -> None:
    """Only a name made it."""
    text = f"Sedge Mill\n8 counts, 1 wall, line dance\n{said}\n\n1-8 Vine R, vine L\n"

    assert "author:" not in sc.draft(text).text
