"""Facts of a header that are said in so many words: the wait, its bars, the foot that starts, the level."""

import re

import pytest

import stepcheck as sc
from stepcheck.pages.facts import facts_of


def said(line: str, key: str, tradition: str = "clogging") -> str:
    """Return what a line says of a field, "" for nothing."""
    return next((fact.value for fact in facts_of(line, tradition)[0] if fact.key == key), "")


@pytest.mark.parametrize(
    ("line", "wait"),
    [
        ("Intro: Wait 16 beats.", 16),
        ("Intro - 24 beats", 24),
        ("INTRO wait 16 + 2 basics", 16),
        ("Introduction: wait sixteen beats. Left foot first.", 16),
        ("hold 32 and go when he sings", 32),
        ("8 cts in", 8),
        ("24 beats wait, the fiddle plays alone", 24),
        ("let the first 16 pass", 16),
        ('start on "hey" (after 32)', 32),
        ("in on 16", 16),
        ("w 16", 16),
        ("8-count intro x 4 (= 32)", 32),
        ("Intro: allow sixteen beats to pass", 16),
        ("Let the church bell go by, then 16 more, and left foot", 16),
        ("IN: 24", 24),
        ("Count in: 8 + 8 + 8", 24),
        ("count 8 + 8 after the drums and go", 16),
        ("Intro: banjo plays 16 counts", 16),
        ("Hold 16 cts", 16),
        ("HOLD 24 BEATS. LEFT FOOT.", 24),
        ("Hold first 16", 16),
        ("Listen to the bell, count 16 and off we start", 16),
        ("Hold 16 cts, left foot lead", 16),
        ("count-in 8", 8),
        ("Count in: 16 beats", 16),
        ('begin after she says "hey now" then 16 cts', 16),
        ("Start after the drum roll, then 8 more", 8),
        ("Start 4 x 8 in, weight on R", 32),
        ("Start on vocals (16 counts)", 16),
        ("begin with the singing (approx. 24 cts in)", 24),
    ],
)
def test_a_wait_is_a_number_beside_a_word_of_waiting(line: str, wait: int) -> None:
    """Before it or behind it, with or without its unit."""
    assert f"{wait} beats" == said(line, "wait")


@pytest.mark.parametrize(
    "line",
    [
        "typed on the phone in the shed",
        "Wait 8 measures",
        "Intro: 4 bars",
        "276 beats in total",
        "hold 2, stomp, hold 2",
        "start again after 16 counts",
        "after the intro. 2 restarts",
        "wait 16? No.",
        "In after 8 bars... no, 4 bars (16 c)",
        "start after the tag then 2 Triples",
        "Count in: 5 6 7 8",
        "I count in 4-beat measures",
        "Start on vocals (14 sec)",
        "Start on the words (2 verses)",
    ],
)
def test_no_wait_is_made_of_other_numbers(line: str) -> None:
    """A part of a word, bars of which nobody says how long they are, a total, a step and a restart are none."""
    assert "" == said(line, "wait")


@pytest.mark.parametrize(
    "line",
    [
        "Wait 8 measures | Two beats to the measure",
        "Wait 8 measures (two beats to a measure)",
        "Wait 4 bars of 4",
        "Intro: 4 measures (each measure = 4 beats)",
        "8 measures intro, 2 beats per measure",
        "Wait 8 bars (16 beats)",
    ],
)
def test_bars_are_counted_by_what_a_bar_has(line: str) -> None:
    """How many beats that are is said beside them; it is no length of the dance."""
    assert "16 beats" == said(line, "wait")
    assert "" == said(line, "counts")


def test_how_long_a_bar_is_may_stand_on_another_line() -> None:
    """Else the wait is open, with its words."""
    text = "Osier Row\nclogging\n{}\nWait 8 measures\n\nA (4 beats)\nTriple\n"

    assert "wait: 16 beats\n" in sc.draft(text.format("Two beats to the measure")).text
    unsaid = sc.draft(text.format("Level: Easy"))
    assert "wait:" not in unsaid.text
    assert any("Wait 8 measures" in each for each in unsaid.open)


@pytest.mark.parametrize(
    ("line", "foot"),
    [
        ("wait 16, left foot starts", "left"),
        ("wait 16    R ft", "right"),
        ("left foot starts, two triples, left then right", "left"),
        ("rt foot lead", "right"),
        ("weight on left", "right"),
        ("wait 16 then left foot", "left"),
        ("two triples, left then right", ""),
        ("Foot: Left lead", "left"),
        ("the weight upon the right foot", "left"),
        ("LF free? No: start R.", "right"),
        ("go right after she says so", ""),
        ("Leads: R", "right"),
    ],
)
def test_the_foot_that_starts_has_a_word_of_starting_beside_it(line: str, foot: str) -> None:
    """The first that is said; feet of steps are none."""
    assert foot == said(line, "lead")


@pytest.mark.parametrize(
    ("line", "level"),
    [
        ("Level: Beginner", "level: beginner, club scheme"),
        ("Easy Int.", "level: easy intermediate, convention scheme"),
        ("Intermediate plus", "level: intermediate plus, convention scheme"),
        ("Level: Easy +", "level: Easy +"),
        ("Level: Beginner / Easy Intermediate", "level: Beginner / Easy Intermediate"),
        ("Beginner/Beginner plus", "level: Beginner/Beginner plus"),
        ("Beginner II", "level: Beginner II"),
        ("beginner I'd say", "level: beginner, club scheme"),
        ("Level: Easy 2", "level: Easy 2"),
        ("Level: Low/Mid", "level: Low/Mid"),
        ("for the Monday beginners", "level: beginner, club scheme"),
        ("Level: Easy 4 wall", "level: easy, club scheme"),
        ("Level: Easy Plus. A basic = two beats, one Basic.", "level: Easy Plus"),
    ],
)
def test_a_level_is_the_whole_of_its_words(line: str, level: str) -> None:
    """What no scheme has, such as two levels at once, stands as it is written, and no part of it is taken for another."""
    made = sc.draft(f"Osier Row (clogging)\n{line}\n\nA (4 beats)\nTriple\n").text

    assert [level] == [each for each in made.splitlines() if each.split(":")[0] == "level"]
    assert "author:" not in made


def test_the_length_of_a_wait_is_no_length_of_the_dance() -> None:
    """In line dance too `Wait 8 bars (16 counts)` says nothing of the steps."""
    made = sc.draft("Osier Row\n4 walls, line dance\nWait 8 bars (16 counts)\n\n1-4 Vine right\n5-8 Vine left\n").text

    assert "wait: 16 counts\n" in made
    assert "part Main:\n" in made


@pytest.mark.parametrize(
    ("line", "tempo"),
    [
        ("Speed: slow enough (about 112)", "112"),
        ("Low Water, 3.04 ; to practise: anything at 100 bpm", ""),
        ("Speed 92 for practice, 110 bpm for real", "110"),
        ("Tune: whatever is lively, 98-106 bpm", ""),
        ("Low Water, 100 to 110 bpm", ""),
        ("Low Water - 110 bpm", "110"),
        ("134 bpm, for practice 115 bpm", "134"),
    ],
)
def test_the_tempo_is_that_of_the_song(line: str, tempo: str) -> None:
    """Not of what is played to learn the dance."""
    assert tempo == said(line, "tempo")


@pytest.mark.parametrize(
    "line",
    [
        "Level: Easy    Time 2:41",
        "Level: Easy (3:12, medium)",
        "Level: Easy (3'12\", medium)",
        "Level: Easy, 4/4, moderate",
        "Level: Easy, wait 16, start on the singing, about 12 secs in",
        'Wait 16, and begin on the word "kettle"',
        "Level: Easy    Reed Fork Stompers    typed by the secretary, 14/3",
        "Reed Fork Cloggers",
        'Level: Easy (album: "Half a Loaf")',
        "Secretary's copy - Reed Fork Stompers - revised March",
        "Level: Easy    handout from the October workshop    week 3",
        "Left foot starts unless marked (yes, left!)",
        "Level: Easy. It may be slowed by five per cent while learning.",
        "Speed +5%, Level: Easy, for practice 115",
        "Hi Edda,",
        "Wait 32, start when Big Edda starts singing",
        'Wait 32. (She says "mind the kettle" - go right after "kettle".)',
        "Level: Easy    for the Monday dancers, Reed Hall",
    ],
)
@pytest.mark.parametrize("tradition", ["clogging", "line"])
def test_what_no_field_holds_and_no_step_depends_on_is_a_comment(line: str, tradition: str) -> None:
    """How long the music is, what it is like, on which word it starts, a club and who typed it: the words stand in the
    sheet, and nothing of them is open."""
    body = "Part A (4 beats)\nTriple\n" if tradition == "clogging" else "1-4 Vine right\n5-8 Vine left\n"
    made = sc.draft(f"Osier Row\n{tradition} dance\n{line}\n\n{body}")

    assert not [each for each in made.open if each.startswith("line 3")]
    assert all(word in made.text for word in re.findall(r"[a-z]{5,}", line))


def test_a_row_of_a_table_that_waits_is_the_wait() -> None:
    """In whatever column its beats stand."""
    for head, row in (
        ("Beats\tPart\tStep\tFoot\tDir", "16\tIntro\twait\t-\t-"),
        ("Part\tStep\tFoot\tBeats\tNotes", "Intro\tWait\t\t16\t"),
    ):
        cells = {"Beats": "4", "Part": "A", "Step": "Triple", "Foot": "L"}
        step = "\t".join(cells.get(each, "") for each in head.split("\t"))
        made = sc.draft(f"Osier Row\nclogging\n\n{head}\n{row}\n{step}\n")

        assert "wait: 16 beats" in made.text
        assert "Triple" in made.text
        assert not made.open


@pytest.mark.parametrize(
    ("line", "facts"),
    [
        ("Intro 16 counts, start with right", ["wait: 16 beats", "lead: right"]),
        ("Introduction: allow sixteen beats to pass. Please do not whistle.", ["wait: 16 beats"]),
        ("Intro: fiddle plays 16 counts", ["wait: 16 beats"]),
    ],
)
def test_an_introduction_that_says_no_step_is_the_wait(line: str, facts: list[str]) -> None:
    """With the foot that starts behind it."""
    made = sc.draft(f"Osier Row (clogging)\n\n{line}\n\nA (4 beats)\nTriple\n")

    assert {*facts} <= {*made.text.splitlines()}
    assert "part Intro" not in made.text
    assert not made.open
    danced = sc.draft("Osier Row (clogging)\n\nIntro 8 counts, 4 Basics\n\nA (4 beats)\nTriple\n").text
    assert "wait:" not in danced
    assert "Basic x4" in danced


def test_minutes_are_no_tempo() -> None:
    """`Time 3:24   BPM 122` is a tempo of 122, whatever number stands before the word."""
    assert said("Time 3:24   BPM 122", "tempo") == "122"


@pytest.mark.parametrize(
    ("line", "opened"),
    [
        ("Begin with the singing, left foot free.", ["line 2: not used: Begin with the singing"]),
        ("Hint: it starts when she sings", ["line 2: not used: starts when she sings"]),
        ("Wait 16, start on the vocals", []),
    ],
)
def test_what_a_line_dance_begins_with_is_open_where_no_wait_is_said(line: str, opened: list[str]) -> None:
    """Its counts are for the teacher to count out."""
    assert opened == [*sc.draft(f"Osier Row\n{line}\n\n1-4 Vine right\n5-8 Vine left\n").open]


@pytest.mark.parametrize(
    ("line", "wait"),
    [
        ("bpm 126    in on ct 17", 16),
        ("start on count 33", 32),
        ("we come in on the 17th beat", 16),
        ("dance starts on ct 49 with vocals", 48),
        ("begin on 9", 8),
        ("in on 16", 16),
        ("Intro 32 counts, start on 33", 32),
        ("start on wall 9", 0),
    ],
)
def test_dancers_who_come_in_on_a_count_behind_full_eights_wait_for_these(line: str, wait: int) -> None:
    """On count 17 they have waited for sixteen; a number in front of `in` that is something else is no wait."""
    assert said(line, "wait", "line") == (f"{wait} counts" if wait else "")


@pytest.mark.parametrize(
    ("line", "pace"),
    [
        ('"Tallow" by the Osiers, about 112, mellow', "112"),
        ("it isn't fast, maybe 96", "96"),
        ("The Long Reed Band, 108 or so. 16 ct intro", "108"),
        ("about 64 counts", ""),
        ("around 120 walls of tallow", ""),
        ("for practice about 100", ""),
    ],
)
def test_a_number_that_is_only_about_right_is_the_tempo(line: str, pace: str) -> None:
    """It has no unit, and is as many beats a minute as music has."""
    assert said(line, "tempo", "line") == pace


@pytest.mark.parametrize(
    "said",
    [
        "16 counts then go",
        "16 counts, then dance",
        "Y'all hold off for 16 counts, then we start.",
        "sixteen counts and then we begin",
    ],
)
def test_a_wait_is_what_stands_before_the_dance_begins(said: str) -> None:
    """However it is told, it is the wait and nothing open."""
    made = sc.draft(f"Tallow Swing\n8 counts, 1 wall\n{said}\n\n1-8 Vine R, vine L\n")

    assert "wait: 16 counts" in made.text
    assert not any("line 3:" in each for each in made.open)


def test_the_counts_in_a_dance_are_no_wait() -> None:
    """`32 counts in this dance` says how long it is."""
    text = "Tallow Swing\nThere are 8 counts in this dance.\nIntro: 16 counts\n\n1-8 Vine R, vine L\n"

    assert "wait: 16 counts" in sc.draft(text).text


@pytest.mark.parametrize(
    "said",
    [
        "wait 4 16 counts then go",
        "Allow 16 beats of introduction before commencing",
        "16 counts of the intro",
        "Wait for 16",
        "Start: on the vocals, after 16 counts",
        "Start: with the singing (16 counts)",
        'wait 16 and go in on the word "river"',
    ],
)
def test_a_wait_is_how_many_counts_it_says(said: str) -> None:
    """A `4` before another number is no number."""
    text = f"Tallow Swing\n8 counts, 1 wall\n{said}\n\n1-8 Vine R, vine L\n"

    assert "wait: 16 counts" in sc.draft(text).text
