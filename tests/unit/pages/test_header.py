"""What the lines above the steps say of a dance's title, music and people, and what of them stays open."""

import pytest

import stepcheck as sc

KEYS = ("routine", "level", "tempo", "wait", "walls", "song", "artist", "author")


def stated(head: str, tradition: str = "clogging") -> tuple[list[str], str]:
    """Return the fields that a draft has of a title and the lines under it, and what is open, in one text."""
    steps = "1-4 Vine R, touch L\n" if tradition == "line" else "A (4 beats)\nTriple\n\nB (4 beats)\nDS DS RS RS\n"
    made = sc.draft(f"{head}\n\n{steps}")
    fields = made.text.split("\npart ")[0].splitlines()
    return [each for each in fields if each.split(": ")[0] in KEYS], "\n".join(made.open)


def under(head: str) -> tuple[set[str], str]:
    """Return the people and the music that lines under a title state, and what is open."""
    fields, said = stated(f"Osier Row (clogging)\n{head}")
    return {each for each in fields if each.split(": ")[0] in ("song", "artist", "author")}, said


@pytest.mark.parametrize(
    "head",
    [
        'Cue sheet for "Tallow Lane"',
        "Cue Sheet: Tallow Lane",
        'Notes for the Tuesday class: "Tallow Lane"',
        "Steps for Tallow Lane",
        "Class notes - Tallow Lane",
        "Handout: Tallow Lane (clogging)",
    ],
)
def test_what_the_paper_is_stands_before_the_title(head: str) -> None:
    """A cue sheet, notes or a handout say what they are of; that is the title, and nothing is open."""
    fields, said = stated(head)

    assert fields[0] == "routine: Tallow Lane"
    assert "line 1:" not in said


@pytest.mark.parametrize("signs", ["<< {} >>", "\u00ab {} \u00bb", "> {} <", "-= {} =-", "<{}>"])
def test_signs_around_a_title_are_none_of_it(signs: str) -> None:
    """A title is set off by whatever stands at both of its ends."""
    fields, said = stated(f"{signs.format('TALLOW LANE')}\n16 counts, 2 walls", "line")

    assert (fields[0], said) == ("routine: TALLOW LANE", "")


@pytest.mark.parametrize(
    ("said", "fields"),
    [
        ("Music: The Lantern Creek Boys", {"artist: The Lantern Creek Boys"}),
        ("Music: Mudlark Jug Assoc.  |  Wait 8", {"artist: Mudlark Jug Assoc"}),
        ("Music: Lantern Creek", {"song: Lantern Creek"}),
        ('rec. "Low Water" by Reed Trio  |  100 bpm', {"song: Low Water", "artist: Reed Trio"}),
        ("Ada Reed and the Night Owls, 118 bpm", {"artist: Ada Reed and the Night Owls"}),
        ("The Long Reed Band / 132 bpm / Int", {"artist: The Long Reed Band"}),
        ("Velda Pym & Her Nephews       4/4   120 BPM", {"artist: Velda Pym & Her Nephews"}),
        (
            "by Ada Reed & the Tallow Trio\nsteps put together by Bo Lee for the hall, Bell Fork",
            {"artist: Ada Reed & the Tallow Trio", "author: Bo Lee"},
        ),
    ],
)
def test_the_name_of_a_band_is_the_artist(said: str, fields: set[str]) -> None:
    """Whether `Music:`, `by` or nothing stands before it; it is no song and no author."""
    assert fields == under(said)[0]


@pytest.mark.parametrize(
    ("said", "fields", "opened"),
    [
        ('Artist - Reed Band, from the CD "Low Water"', {"artist: Reed Band"}, ""),
        ('Double step is written "dbl-step". It takes one beat.', set(), ""),
        ('Count it aloud and say "Clog!" on the eight', set(), ""),
        ('"Low Water" means the slow part', set(), ""),
        ('the word "water" is the cue', set(), ""),
        ('Music is "Reed Hill", Junior Ash, the SHORT version, 2:20.', {"song: Reed Hill", "artist: Junior Ash"}, ""),
        (
            'Tune: any slow waltz will do; I use "Low Water" as played by the Reed Trio.',
            {"song: Low Water", "artist: the Reed Trio"},
            "",
        ),
    ],
)
def test_words_in_quotes_are_a_song_where_the_line_speaks_of_music(said: str, fields: set[str], opened: str) -> None:
    """No album, no word of a legend and none that is called out is the song."""
    made, said_open = under(said)

    assert fields == made
    assert opened in said_open


@pytest.mark.parametrize(
    ("said", "people"),
    [
        ("Class handout prepared by Mrs. R. Reed, retired, who corrects spelling", "Mrs. R. Reed"),
        ("steps by Ada Reed", "Ada Reed"),
        ("Choreo Ada Reed", "Ada Reed"),
        ("Choreography - Wes & Ada Reed", "Wes & Ada Reed"),
        ("Chor: Ada Reed, Low Lane Cloggers      Level: Easy Intermediate", "Ada Reed (Low Lane Cloggers)"),
        ("Chor: Ada Reed", "Ada Reed"),
        ("from Ada R.'s notebook", ""),
        ("FROM ADA R. AT THE HALL....RING ME", ""),
        ("From Ada Reed, Low Lane Cloggers", "Ada Reed (Low Lane Cloggers)"),
        ("(drawn and copied by A. Reed, treasurer)", ""),
        ("Worked out by Ada Reed", "Ada Reed"),
        ("sheet handed round by Ada Reed", ""),
        ("Reed Fork Hoofers - handout from the hall. Secretary: B. Meeks. Cuer: Uncle Bo", "Uncle Bo"),
        ("Ada Reed, Low Lane Cloggers ........ 3 min 5 sec ........ Easy Int.", "Ada Reed (Low Lane Cloggers)"),
        ("Ada Reed\nMusic: Low Water - The Tallows", "Ada Reed"),
        ("Ada Reed\nby Bo Lee", "Bo Lee"),
        ("Choreo . . . . . . . Ada Reed", "Ada Reed"),
        ("Old choreo Ada Reed, changed by Bo Lee", ""),
        ("(Corrie Ashlock -- fast! slow it down 5% to teach)", ""),
        ("Step Level: Beginner / Easy Intermediate", ""),
        ('from "Low Water"', ""),
    ],
)
def test_the_author_has_a_word_of_making_or_a_club_beside(said: str, people: str) -> None:
    """A name without either may be the band's or the club's: it is open, unless the artist is named elsewhere."""
    fields, opened = under(said)

    assert {f"author: {people}"} - {"author: "} == {each for each in fields if each.startswith("author")}
    assert people or said[:4] == "Step" or said.split(" --")[0].split(" - ")[0].strip("()") in opened


@pytest.mark.parametrize(
    "field", ["level: easy intermediate, convention scheme", "author: Ada Reed (Low Lane Cloggers)"]
)
def test_leaders_of_dots_stand_between_fields(field: str) -> None:
    """Each is read for itself, and a length of the music that no field takes is a comment."""
    head = "Osier Row\nAda Reed, Low Lane Cloggers ........ 3 min 5 sec ........ Easy Int.\nclogging"

    assert field in stated(head)[0]
    assert "3 min 5 sec" in sc.draft(f"{head}\n\nA (4 beats)\nTriple\n").text


@pytest.mark.parametrize(
    ("head", "title"),
    [
        ('"Low Water Reel"\nclogging', "Low Water Reel"),
        ("Low Water by Ada Reed\nclogging", "Low Water"),
        ("Side by Side\nclogging", "Side by Side"),
        ("Title\tLow Water\tLevel\tEasy\nclogging", "Low Water"),
        ("To: all the class\nRe: Low Water\n\nclogging, wait 16", "Low Water"),
        ("Dear all,\nThe Low Water Reel. Clogging, wait 16. Left foot to begin.", "The Low Water Reel"),
        ("Hi girls\nlow water - the lonesome reeds - wait 8\nclogging", "low water"),
        ("Hi,\nyou asked for the changes.\nLow Water, The Reed Ramblers, 2:48. Intermediate. Wait 16.", "Low Water"),
        ("Subject: RE: RE: low water changes\nclogging, wait 16", ""),
        ('*** Fen Counties Clog Convention, Room 2, Sun 10:30 ***\n"LOW WATER"   Bo Lee   118 bpm', "LOW WATER"),
        ('Saturday Night\n"Low Water" by The Reed Trio, clogging', "Saturday Night"),
        ("LOW WATER...THE REED BOYS...EASY\nclogging", "LOW WATER"),
        ("low water!! notes from the hall (sorry)\nclogging", "low water"),
    ],
)
def test_a_title_stands_in_quotes_in_a_row_or_behind_a_greeting(head: str, title: str) -> None:
    """It is the first name that the lines begin with; a subject that says more is none."""
    assert [f"routine: {title}"] * bool(title) == [each for each in stated(head)[0] if each.startswith("routine")]


def test_a_row_of_labels_and_cells_is_read_cell_by_cell() -> None:
    """What stands in a cell of its own behind the music is not the artist's."""
    head = "Slow Reed\t32 count\t2 wall\tIntermediate\nMusic\tReed in June – Elin Ash\tStart on vocals (approx 14 sec)"
    fields = stated(head, "line")[0]

    assert {"routine: Slow Reed", "walls: 2", "song: Reed in June", "artist: Elin Ash"} <= set(fields)


def test_an_abbreviated_chorus_of_figures_is_a_part() -> None:
    """`Chor:` is the choreographer only above all other parts and before a name that is no dance."""
    steps = "Osier Row (clogging)\n\nChor: Fancy Double, Mountain Basic\nVerse: 2 Triples\n"

    assert "part Chor:" in sc.draft(steps).text
    assert "author" not in sc.draft(steps).text
    assert "part Chor" not in sc.draft(steps.replace("Fancy Double, Mountain Basic", "Ada Reed, Low Lane")).text


def test_a_level_and_a_name_share_a_line() -> None:
    """What stands apart by spaces is a field of its own."""
    fields = stated("Osier Row\nChor: Ada Reed, Low Lane Cloggers      Level: Easy Intermediate")[0]

    assert "level: easy intermediate, convention scheme" in fields
    assert "author: Ada Reed (Low Lane Cloggers)" in fields


@pytest.mark.parametrize(
    ("head", "wanted"),
    [
        ("OSIER ROW     32 CT / 4 WALL / ABS. BEG.", "level: ABS. BEG"),
        ("Osier Row\nNan typed it all up. It's an easy-int, you know.", "level: easy-int"),
    ],
)
def test_a_level_is_whole_behind_a_full_stop(head: str, wanted: str) -> None:
    """No word of a level goes where an abbreviation in it, or a small word before it, ends in a full stop."""
    fields, said = stated(head, "line")

    assert wanted in fields and "ABS" not in said


def test_counts_that_no_field_takes_are_open() -> None:
    """A line above the steps that states counts beside a word of starting is a wait, or named as open."""
    assert "12 counts" in stated("Osier Row\nclogging\nstart when the drums stop, it is 12 counts")[1]


def test_numbers_that_are_taken_back_are_no_facts() -> None:
    """`1 wall, so really 4` states neither."""
    fields, opened = stated("Osier Row\n8 counts, 1 wall turning each time so really 4", "line")

    assert "walls: 1" not in fields
    assert "really 4" in opened


@pytest.mark.parametrize("said", ["wait", "hold", "Wait"])
def test_a_row_of_a_table_that_waits_is_the_wait(said: str) -> None:
    """With the foot that is free beside it."""
    head = "Osier Row\tLevel: Easy\n\nPart\tBeats\tHow many\tStep\tFootwork\tNotes\n"
    made = sc.draft(f"{head}Intro\t16\t-\t{said}\t-\tright foot free\nA\t4\t1\tTriple\tDS DS DS RS\t\n")

    assert "wait: 16 beats\n" in made.text
    assert "lead: right\n" in made.text
    assert not made.open


def test_dots_in_the_first_line_stand_between_title_band_and_level() -> None:
    """Three of them more than once, as well as leaders of dots."""
    fields = stated("LOW WATER...THE REED BOYS...EASY\nclogging")[0]

    assert ["routine: LOW WATER", "level: easy, club scheme", "artist: THE REED BOYS"] == fields


@pytest.mark.parametrize("label", ["Steps:", "Steps used:", "Figures:\t"])
def test_a_list_of_the_steps_of_a_dance_is_no_author_and_no_level(label: str) -> None:
    """It is open, and none of its names is a field."""
    drafted = sc.draft(
        f"Quern Lane (clogging)\n{label} Basic, Triple, Outhouse\nwait 8, left foot lead\n\nA\n4 Triples\n"
    )

    assert not {"author", "level"} & {line.split(":")[0] for line in drafted.text.splitlines()}
    assert any("Outhouse" in each for each in drafted.open)


def test_the_dance_behind_its_label_is_its_maker_where_the_song_is_called_like_the_title() -> None:
    """`Dance:` names who made it if the first line is the name of the song as well."""
    text = sc.draft(
        'Low Water\n32 counts, 4 walls\nDance: Bo Finch    Music: "Low Water", Ada Reed\n\n1-4 Walk R, L, R, L\n'
    ).text

    assert {"routine: Low Water", "author: Bo Finch", "song: Low Water", "artist: Ada Reed"} <= {*text.splitlines()}


def test_the_subject_of_a_mail_is_the_title() -> None:
    """A name in the subject is the dance's, whatever the first sentence says."""
    mail = "To: the Thursday class\nFrom: Jory\nSubject: Quern in the Lane - the steps\n\nHi all,\n\n"
    text = f'{mail}Here\'s what we did last night. Song is "Quern in the Lane" (Amos Stile). Hold for 8 beats, left foot.\n'
    made = sc.draft(f"{text}\nPart A:\n4 Basics\n2 Triples\n").text

    assert "routine: Quern in the Lane\n" in made and "artist: Amos Stile\n" in made and "wait: 8 beats\n" in made


def test_a_start_with_a_foot_after_beats_is_the_wait() -> None:
    """`We begin with the left foot after 16 beats` says both."""
    made = sc.draft("Quern Lane\nclogging\nWe begin with the left foot after 16 beats of fiddle.\n\nA\n4 Basics\n").text

    assert "wait: 16 beats\n" in made and "lead: left\n" in made


@pytest.mark.parametrize(
    ("head", "title", "author"),
    [
        ("Reedham Line Dance Club\nSpring Bulletin\n\nDANCE OF THE MONTH: Low Water", "Low Water", ""),
        ("Reedham Line Dance Club\nSpring Bulletin\n\nLow Water\n32 counts, 2 walls", "Low Water", ""),
        ("The Reedham LDC\nThis week's dance: Low Water\nby Ada Reed", "Low Water", "Ada Reed"),
        ("Newsletter of the Reedham LDC\nStep of the Week: Low Water", "Low Water", ""),
        ('Reedham Line Dancers Newsletter\nSTEP CORNER: "Low Water"\nby Ada Reed', "Low Water", "Ada Reed"),
        ("Dance Club\n32 counts", "Dance Club", ""),
    ],
)
def test_what_a_club_sends_out_is_no_title_and_nobody(head: str, title: str, author: str) -> None:
    """The dance stands behind its label, or below the name of the club."""
    fields = stated(head, "line")[0]

    assert [each for each in fields if each[:4] == "rout"] == [f"routine: {title}"]
    assert [each for each in fields if each[:4] in ("auth", "arti", "song")] == [f"author: {author}"] * bool(author)


@pytest.mark.parametrize(
    ("said", "author"),
    [
        ("Our new member Ada Reed has put together a dance for all of us", "Ada Reed"),
        ("Ada Reed and Bo Finch have made up this line dance", "Ada Reed and Bo Finch"),
        ("We are glad that Ada Reed wrote us a new dance", "Ada Reed"),
        ("Ada Reed has put together a fine tea", ""),
    ],
)
def test_who_has_put_a_dance_together_made_it(said: str, author: str) -> None:
    """In a sentence as behind `by`; who did anything else is nobody."""
    fields = stated(f"Osier Row\n{said}\n32 counts, 2 walls", "line")[0]

    assert [each for each in fields if each[:4] == "auth"] == [f"author: {author}"] * bool(author)


def test_a_kind_of_dance_before_its_level_is_no_title() -> None:
    """`Line dance: Improver` says how hard it is."""
    made = sc.draft(
        "Harbour Nights\nLine dance: Improver | 4 walls | 8 counts\n\n1-4 Step R, touch L, step L, touch R\n"
    ).text

    assert "routine: Harbour Nights\n" in made and "level: improver" in made


@pytest.mark.parametrize(
    ("said", "fields"),
    [
        ("Song: Low Water - Ray Marsh (album: Nickels for the Rain)", {"song: Low Water", "artist: Ray Marsh"}),
        ('Music: Reed Sisters, "Low Water" (3:06, moderate)', {"song: Low Water", "artist: Reed Sisters"}),
        ("Song / artist: Low Water / The Reed Trio", {"song: Low Water", "artist: The Reed Trio"}),
        ("Artist/Song: The Reed Trio - Low Water", {"song: Low Water", "artist: The Reed Trio"}),
        ("to the song of the same name by Ada Reed & Sons", {"song: Osier Row", "artist: Ada Reed & Sons"}),
        ("Set to the tune of the same title, played by Ray Marsh", {"song: Osier Row", "artist: Ray Marsh"}),
        (
            "Choreo by Bo Lee to the music of the same name by the Reed Band",
            {"song: Osier Row", "artist: the Reed Band", "author: Bo Lee"},
        ),
        ("Choreography ... Bo Lee-Marsh, Slate Hill Stompers", {"author: Bo Lee-Marsh (Slate Hill Stompers)"}),
        ("Artist ... Ray Marsh", {"artist: Ray Marsh"}),
        ("Reed Hall, Weds lesson w/ DJ Clint", set()),
    ],
)
def test_song_and_people_stand_in_either_order_behind_one_label_or_the_title(said: str, fields: set[str]) -> None:
    """What plays is told from what is played, a song without a name of its own is the title's, and where and when a
    dance is taught made nothing."""
    assert fields == under(said)[0]


def test_behind_a_title_in_quotes_stands_who_plays_it() -> None:
    """Where another line says who made the dance; else the name is open."""
    fields, said = stated('"Osier Row" - Ray & Ada Marsh - fast 2/4\nClogging routine by Bo Lee')
    assert fields == ["routine: Osier Row", "artist: Ray & Ada Marsh", "author: Bo Lee"] and not said
    fields, said = stated('"Osier Row" - Ray & Ada Marsh - fast 2/4\nClogging')
    assert "artist: Ray & Ada Marsh" not in fields and "Ray & Ada Marsh" in said


@pytest.mark.parametrize(
    ("said", "field"),
    [
        ("Reel in 2/4, quarter = 116", "tempo: 116"),
        ("crotchet = about 100", "tempo: 100  # about"),
        ("B. TARN   CARD 61", ""),
        ("B. TARN   Sheet no. 114", ""),
        ("Wait 16 counts after the train whistle", "wait: 16 beats  # after the train whistle"),
        ("Wait ... 16 counts after the bell", "wait: 16 beats  # after the bell"),
    ],
)
def test_a_note_is_a_tempo_and_a_card_is_none(said: str, field: str) -> None:
    """A wait keeps what it begins behind; the number of a card is no pace."""
    fields = {each for each in stated(f"Osier Row (clogging)\n{said}")[0] if each.startswith(("tempo", "wait"))}
    assert fields == {*filter(None, [field])}


def test_a_title_is_no_sentence() -> None:
    """In a mail, and in what a club sends out, it is what a sentence says that the dance is; never the sentence."""
    mail = (
        "To: all\nSubject: song\n\nHi gang,\n\nSorry this took me two weeks. {}The band plays 32 counts before we go."
    )
    told = stated(mail.format("This is the whole thing for Half a Mile of Osier (fast). "))[0]
    assert told == ["routine: Half a Mile of Osier", "wait: 32 beats"]
    assert not any("Sorry" in each for each in stated(mail.format(""))[0])
    sent = "From the Hill Liner, spring number\nDANCE OF THE MONTH, with Ada\n\nLow Water is a soft little waltz of 24 counts."
    assert stated(sent, "line")[0] == ["routine: Low Water"]


@pytest.mark.parametrize(
    ("first", "title"),
    [
        ("Bring the Rain, Bettina", "Bring the Rain, Bettina"),
        ("Low Water, Beginner", "Low Water"),
        ("Low, Waltz", "Low"),
    ],
)
def test_a_name_alone_behind_a_comma_is_of_the_title(first: str, title: str) -> None:
    """A level, a day or a kind of dance is not."""
    assert f"routine: {title}" in stated(f"{first}\nclogging\nWait 8")[0]


@pytest.mark.parametrize(
    ("said", "field"),
    [
        ("Song: Low Water, Artist: The Reed Trio", "artist: The Reed Trio"),
        ('Start dancing after 32 counts on the word "river"', "wait: 32 counts"),
        ("Start with weight on left", "lead: right"),
        ("Start: weight L, facing 12:00", "lead: right"),
        ("Date: 3 March 2024 | Rev. 2 | 32 counts", "routine: Osier Row"),
        ("Style: country two step", "routine: Osier Row"),
        ("Wait 16 beats, start right foot", "wait: 16 counts"),
    ],
)
def test_facts_of_a_line_dance_are_read_whatever_stands_beside_them(said: str, field: str) -> None:
    """A label ends the name before it; what no field holds, such as a date or a style, is not open."""
    made = sc.draft(f"Osier Row\n{said}\n\n1-4 Vine R, touch L\n5-8 Vine L, touch R\n")

    assert field in made.text.splitlines()
    assert "Vine, right foot" in made.text
    assert not made.open


@pytest.mark.parametrize(
    ("head", "wanted"),
    [
        ("Alder Ferry, Thursday night\n\nDear Nan,\nhere it is. It is called Tallow Gate, wait 16.", "Tallow Gate"),
        ("Osier hall, Monday\nHi all,\nThis dance is called Low Mill and has 16 counts.", "Low Mill"),
        ("To: Monday list\nSubject: Tallow Gate step sheet\nHello,\n16 counts, 2 walls", "Tallow Gate"),
        ("To: Monday list\nSubject: Tallow Gate cues\nHello,\n16 counts, 2 walls", "Tallow Gate"),
        ("Subject: Tallow & Osier steps!!\n\nHi gang, as promised. 16 counts, 2 walls", "Tallow & Osier"),
        ("To: all\n\nHi all, here we are. Tallow & Osier, 16 counts, 2 walls", "Tallow & Osier"),
        ("Subject: Tallow Gate, the steps again\nHi all,\n16 counts, I'd call it Easy Intermediate.", "Tallow Gate"),
        ("Subject: Tallow Gate\nHi all,\n16 counts, and we call it Easy Street.", "Easy Street"),
        ("Subject: Tallow & Osier\nHi gang, it is Tallow & Osier, 16 counts, 2 walls", "Tallow & Osier"),
        (
            "Class notes, the osier hall, 2nd Monday\nTALLOW GATE - phrased line dance, easy.\nMusic: Tallow Gate by Nan Orr",
            "TALLOW GATE",
        ),
        ("Tallow Gate\nHi all,\nhere are 16 counts", "Tallow Gate"),
    ],
)
def test_the_place_and_day_of_a_letter_are_no_title(head: str, wanted: str) -> None:
    """The dance is what the letter, its subject or the line in capitals calls it; nobody is called like the place."""
    fields = stated(head, "line")[0]

    assert [each for each in fields if each.split(": ")[0] in ("routine", "author")] == [f"routine: {wanted}"]


@pytest.mark.parametrize(
    "said",
    [
        "Choreo: Orla Marchbank, 2019",
        "Choreo: Orla Marchbank (May 2019)",
        "Artist: Jude & the Sluice Five      Choreo: Orla Marchbank, 2019",
        "Artist: The Sluice Five Choreo: Orla Marchbank",
    ],
)
def test_a_label_or_a_year_beside_a_name_is_no_part_of_it(said: str) -> None:
    """Who is named behind a label of its own is no song of the artist before it; a year behind a name is a remark, and
    the name may begin like a month."""
    made = sc.draft(f"Barge Pole\n{said}\nClogging\n\nPart A\n8 Basics\n")

    assert "\nauthor: Orla Marchbank\n" in made.text
    assert "\nsong:" not in made.text
    assert not made.open
