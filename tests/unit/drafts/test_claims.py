"""What lines say beside their steps: columns of beats, claims, repeats, waits, restarts; each in several words."""

import re

import pytest

import stepcheck as sc

LINE = "Osier Row\n{} counts, 4 walls, line dance\n\n"
CLOG = "Osier Row (clogging)\nWait 8 beats, left foot lead\n\n"


def body(text: str) -> list[str]:
    """Return the lines of the parts of a draft, without their notes and comments."""
    made = sc.draft(text).text
    parts = made[made.index("\npart ") + 1 : made.index("\ndance:")]
    bare = (re.sub(r" \([^()]*\)$", "", line.split("  #")[0]).strip() for line in parts.splitlines())
    return [line for line in bare if line and line[0] != "#" and not line.startswith(("part ", "counts "))]


def header(text: str) -> list[str]:
    """Return the fields of the header of a draft."""
    return [line.split("  #")[0] for line in sc.draft(text).text.split("\npart ")[0].splitlines() if line[:1] != "#"]


@pytest.mark.parametrize(
    "lines",
    [
        "4\tCharleston\n8\t2 Triples\n4\tChain L",
        "4  Charleston\n8  2 Triples\n4  Chain L",
        "4 Charleston\n8 2 Triples\n4 Chain L",
        "4: Charleston\n8: 2 Triples\n4: Chain L",
        "4 beats - Charleston\n8 beats - 2 Triples\n4 beats - Chain L",
        "4 = Charleston\n8 = 2 Triples\n4 = Chain L",
    ],
)
def test_a_column_in_front_is_of_beats_where_the_lines_last_as_long(lines: str) -> None:
    """What the words last, line for line, says what the numbers before them are."""
    wanted = ["Charleston", "Triple x2", "Chain, left foot"]

    assert wanted == [
        line.split(", ")[0] if "left" not in line else "Chain, left foot" for line in body(f"{CLOG}A (16)\n{lines}\n")
    ]
    assert () == sc.draft(f"{CLOG}A (16)\n{lines}\n").open


@pytest.mark.parametrize(
    "lines",
    ["2 Triples\n1 Cowboy\n4 Basics", "2  Triples\n1  Cowboy\n4  Basics", "(2) Triples\n(1) Cowboy\n(4) Basics"],
)
def test_a_column_in_front_is_of_times_where_its_figures_last_otherwise(lines: str) -> None:
    """Two Triples are eight beats, one Cowboy is eight."""
    assert ["Triple x2", "Cowboy", "Basic x4"] == body(f"{CLOG}A (24)\n{lines}\n")


@pytest.mark.parametrize(
    "total", ["16", "Total 16", "(16 beats)", "= 16 beats", ">> 16", "That makes 16 beats.", "16 beats in all"]
)
def test_a_total_below_the_lines_is_the_length_of_their_part(total: str) -> None:
    """It is a claim of the part, in digits or words."""
    made = sc.draft(f"{CLOG}Part A\n2 Triples\nCowboy\n{total}\nPart B\nBasic\n")

    assert "part A: 16 beats\n" in made.text
    assert () == made.open


@pytest.mark.parametrize(
    ("said", "facing"),
    [
        ("- now on 9:00", "9:00"),
        ("(you are facing 9 o'clock)", "9:00"),
        ("Now you look at the wall that was on your left.", "9:00"),
        ("You should be facing the right hand wall", "3:00"),
        (">> face the back wall", "back"),
        ("end facing front", "front"),
    ],
)
def test_a_facing_on_a_line_of_its_own_is_a_claim(said: str, facing: str) -> None:
    """It holds behind the line before it."""
    made = sc.draft(f"{LINE.format(8)}1-4 Vine L, brush R\n{said}\n5-8 Rocking chair R\n")

    assert f"Vine ending in a brush, left foot, facing {facing}\n" in made.text
    assert () == made.open


@pytest.mark.parametrize(
    ("said", "foot"),
    [
        ("- weight is on R", "left"),
        ("Weight ends on the left foot.", "right"),
        ("Now the right foot is free", "right"),
        ("You are ready to start on the left", "left"),
        ("wt on LF, facing 3:00", "right"),
    ],
)
def test_a_foot_on_a_line_of_its_own_is_a_claim(said: str, foot: str) -> None:
    """It is the foot that is free behind the line before it, and no fact of the header."""
    made = sc.draft(f"{LINE.format(8)}1-4 Vine R, touch L\n{said}\n5-8 Rocking chair L\n")

    assert f"    expect {foot} foot" in made.text
    assert "lead: right\n" in made.text
    assert () == made.open


@pytest.mark.parametrize(
    "said", ["That makes 8 counts.", "- 8 counts so far", "you have done eight counts", "That's one eight"]
)
def test_counts_so_far_are_a_claim_of_their_lines(said: str) -> None:
    """What they are said of stands under these counts; what they can't be true of is named."""
    lines = "Walk forward right, left, right, and kick the left.\nWalk back left, right, left, and touch the right.\n{}\nStep right, touch left, step left, touch right.\n"
    text = LINE.format(12) + lines

    assert "counts 1-8:" in sc.draft(text.format(said)).text or "one" in said
    assert any("twelve" in each for each in sc.draft(text.format("That makes twelve counts.")).open)


@pytest.mark.parametrize(
    ("row", "wanted"),
    [
        ("DS DS DS RS   L R L RL", "DS(L) DS(R) DS(L) RS(R)"),
        ("DS BR/SL DS RS    L R/L R LR", "DS(L) BR(R) SL(L) DS(R) RS(L)"),
        ("DS TCH(f)/H TOE-HEEL(b) RS    L  R/L  R-R  LR", "DS(L) TCH(R) H(L) TW(R) HD(R) RS(L)"),
        ("STOMP STOMP DS RS    L R L RL", "STO(L) STO(R) DS(L) RS(R)"),
        ("DS STOMP PAUSE RS   L R R LR", "DS(L) STO(R) HOLD RS(L)"),
    ],
)
def test_feet_behind_a_row_are_its_feet(row: str, wanted: str) -> None:
    """A foot, or two with a stroke or a hyphen between them, for each of its codes."""
    assert [wanted] == body(f"{CLOG}Part A\n{row}\nPart B\nBasic\n")[:1]


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Fancy double x2 (DS DS RS RS) = 8", ["Fancy Double x2"]),
        ("4 Brushes, 1/4 L each (DS BR/SL)", ["DS BR SL, turn 1/4 left"] * 4),
        ("Vine L, Vine R (DS DS DS RS)", ["Vine, left foot", "Vine, right foot"]),
        ("Cowboy, 1/2 turn L on the DS RS RS RS", ["Cowboy, turn 1/2 left"]),
        ("basic L, basic R, triple L = 8", ["Basic, left foot", "Basic, right foot", "Triple, left foot"]),
    ],
)
def test_a_row_in_brackets_explains_its_name(said: str, wanted: list[str]) -> None:
    """It is danced once: by its name, or as the row where the name is none of a figure."""
    made = sc.draft(f"{CLOG}Part A\n{said}\nPart B\nTriple L\n")

    assert wanted == body(f"{CLOG}Part A\n{said}\nPart B\nTriple L\n")[: len(wanted)]
    assert () == made.open


@pytest.mark.parametrize(
    ("said", "turned"),
    [
        ("repeat all 2 lines, opp. foot, turns still 1/4 L", True),
        ("Repeat all on the other foot, same turns", True),
        ("again all of the above with opposite feet, turning the same way", True),
        ("Repeat all on the other foot", False),
    ],
)
def test_a_repeat_on_the_other_foot_keeps_the_turns_that_are_said(said: str, turned: bool) -> None:
    """Feet are the other ones; what is not said of the turns leaves a blank of just these beats."""
    made = body(f"{CLOG}Part A\nSTO DS DS RS   L R L RL   1/4 L\nDS DS DS RS   R L R LR\n{said}\nPart B\nBasic\n")
    other = ["STO(R) DS(L) DS(R) RS(L), turn 1/4 left", "DS(L) DS(R) DS(L) RS(R)"]

    assert (other if turned else ["? 8 beats"]) == made[2 : 4 if turned else 3]


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-4 FWD R, LOCK L BEH R, FWD R, SCF L", "S(R) S(L) S(R) SCUFF(L)"),
        ("1-4 FWD R, PVT 1/2 L, STO R, CLP", "S(R) PV S STO(R) CLAP, turn 1/2 left @2"),
        ("1-4 PT R SD, ½ R STEP R TOG, PT L SD, STEP L TOG", "PT(R) S(R) PT(L) S(L), turn 1/2 right @2"),
        ("1-4 TCH R BEH L, UNW ½ R (WT ON LF), STO R, HLD", "TCH(R) PV HOLD STO(R) HOLD, turn 1/2 right @2"),
        ("1-4 XIF R, SD L, BEH R, SD L", "S(R) S(L) S(R) S(L)"),
        ("1-4 RT FWD, LT TOG, RT BK, LT TOG", "S(R) S(L) S(R) S(L)"),
    ],
)
def test_abbreviations_in_capitals_are_steps(said: str, wanted: str) -> None:
    """A direction with a foot is a step."""
    assert [wanted] == body(f"{LINE.format(4)}{said}\n")


@pytest.mark.parametrize(
    "heads",
    [
        ("FIRST BIT ........ 8 counts", "SECOND BIT ........ 8 counts"),
        ("Opening ____ 8 cts", "Final ____ 8 cts"),
        ("The walks … 8 counts", "The turns … 8 counts"),
        ("Start (8 counts)", "Middle (8 counts)"),
    ],
)
def test_a_title_with_a_length_heads_a_section(heads: tuple[str, str]) -> None:
    """Leaders, lines and brackets between a title and its length come off."""
    text = f"{LINE.format(16)}{heads[0]}\nrocking chair right\njazz box right\n{heads[1]}\nvine right, touch left\nvine left, touch right\n"

    assert "  counts 1-8:" in sc.draft(text).text
    assert "  counts 9-16:" in sc.draft(text).text
    assert () == sc.draft(text).open


@pytest.mark.parametrize("said", ["same again", "And the same once more", "(all that again)", "do it again"])
def test_the_same_again_is_what_its_section_has_room_for(said: str) -> None:
    """The line before once more."""
    text = f"{LINE.format(8)}First bit (8 counts)\njazz box right\n{said}\n"

    assert ["Jazz Box, right foot"] * 2 == body(text)


@pytest.mark.parametrize(
    "said",
    [
        "5-8 Now the same to the left",
        "Now the same to the left, touching with the right, for counts 5 to 8.",
        "5-8 Same on the other foot",
        "5-8 Repeat to the left, touch R",
    ],
)
def test_the_same_to_the_other_side_may_say_how_it_ends(said: str) -> None:
    """Its last movement, said once more, is none of its own."""
    assert ["Vine, right foot", "Vine, left foot"] == body(f"{LINE.format(8)}1-4 Vine right, touch left\n{said}\n")


@pytest.mark.parametrize(
    ("said", "wait"),
    [
        ("Wait: 32 beats", 32),
        ("pause 16, then go on L", 16),
        ("Wait for sixteen counts and begin with your right foot.", 16),
        ("Let 24 counts go by", 24),
        ("8-count intro x 4 (= 32)", 32),
        ("Intro 16", 16),
    ],
)
def test_a_wait_is_read_in_words(said: str, wait: int) -> None:
    """Above the steps, whatever it is called."""
    assert f"wait: {wait} counts" in header(f"Osier Row\n32 counts, 4 walls, line dance\n{said}\n\n1-4 Vine R\n")


@pytest.mark.parametrize(
    ("said", "dance"),
    [
        (
            "RESTART - wall 3 after 16 cts [3:00]; wall 6 after 8 cts [6:00]",
            [
                "Main x2",
                "Main, first 16 counts",
                "expect facing 3:00",
                "Main x2",
                "Main, first 8 counts",
                "expect facing 6:00",
            ],
        ),
        ("Restart: in wall 2 dance S1 and S2 (16 counts) and begin again", ["Main", "Main, first 16 counts"]),
        ("On the second wall dance sections 1 and 2 only, then begin again.", ["Main", "Main, first 16 counts"]),
        ("Restarts on walls 2 and 4 after 8 counts", ["Main", "Main, first 8 counts", "Main", "Main, first 8 counts"]),
        (
            "TAG (4 counts) - after wall 1 [6:00] and wall 3 [12:00]: stomp R, stomp L, clap, clap",
            ["Main", "expect facing 6:00", "Tag", "Main x2", "expect facing 12:00", "Tag"],
        ),
        ("At the end of the first wall there are four extra counts: stomp R, stomp L and clap twice.", ["Main", "Tag"]),
    ],
)
def test_restarts_and_tags_say_each_of_their_places(said: str, dance: list[str]) -> None:
    """Several walls in a line, each with its counts and its facing; sections instead of counts; a tag in prose."""
    text = f"{LINE.format(32)}S1\n1-8 Vine R, touch L, vine L, touch R\nS2\n1-8 Vine R, touch L, vine L, touch R\nS3\n1-8 Vine R, touch L, vine L, touch R\nS4\n1-8 Vine R, touch L, vine L, touch R\n{said}\n"
    made = sc.draft(text)
    danced = [line.split("  #")[0].strip() for line in made.text.split("\ndance:\n")[1].splitlines()]

    assert [*dance, "Main until the music ends"] == danced
    assert () == made.open


@pytest.mark.parametrize("said", ["Order: 1, 2 (8), 3, tag, 4", "Dance order: 1 - 2 (8 counts) - 3 - TAG - 4 = end"])
def test_an_order_of_walls_is_no_row_of_counts(said: str) -> None:
    """It agrees with the restarts and tags, or is named as open; it never adds counts."""
    text = f"{LINE.format(8)}1-8 Vine R, touch L, vine L, touch R\nRestart on wall 2 after 8 counts\n{{}}{said}\n"

    assert any(said in each for each in sc.draft(text.format("")).open)
    assert () == sc.draft(text.format("Tag after wall 3: stomp R, stomp L\n")).open
    assert "?" not in sc.draft(text.format("")).text.split("\npart ")[1].split("\ndance:")[0].replace("part Main", "")


@pytest.mark.parametrize(
    ("row", "wanted"),
    [
        ("1-2 | Side rock, recover | R", "RK(R) RC(L)"),
        ("1-2 | Step, 1/2 pivot L | R", "S(R) PV S(L), turn 1/2 left @2"),
        ("1-2 | Heel fwd, together | L", "HT(L) S(L)"),
        ("1-4 | Vine w. 1/4 turn L, brush | L", "Vine ending in a brush, left foot, turn 1/4 left"),
    ],
)
def test_the_foot_of_a_row_is_that_of_its_first_step(row: str, wanted: str) -> None:
    """The next ones are made by the foot that is free then."""
    assert [wanted] == body(f"{LINE.format(4)}Counts | What | Foot\n{row}\n")


@pytest.mark.parametrize(
    ("said", "fields"),
    [
        (
            "Music\tEnd of the Row, Mr. Pym – The Saffron Six",
            ["song: End of the Row, Mr. Pym", "artist: The Saffron Six"],
        ),
        ("song by Dob & Marigold Fenner, abt 116", ["tempo: 116", "artist: Dob & Marigold Fenner"]),
        ("48 CT / 2 WALL / INT. / CHOR. H. P. DRUMGOLE", ["author: H. P. DRUMGOLE"]),
        ("Cuer: Hester Pomfrey ... written down from memory", ["author: Hester Pomfrey"]),
        ("Song:  Three Quarters – the Barley Band.  medium pace.", ["song: Three Quarters", "artist: the Barley Band"]),
        (
            'We use "Windowpane" by Corrie Ashlock, which goes at about 104 beats a minute',
            ["tempo: 104", "artist: Corrie Ashlock"],
        ),
    ],
)
def test_people_and_music_end_where_other_words_begin(said: str, fields: list[str]) -> None:
    """A title keeps its comma, an artist has no relative clause, a stroke divides."""
    assert set(fields) <= set(header(f"Osier Row\n{said}\n\n1-4 Vine R\n"))


@pytest.mark.parametrize("title", ["SILVER   ALDER", "S I L V E R   A L D E R", "Dance:     SILVER ALDER"])
def test_a_title_that_is_set_wide_is_whole(title: str) -> None:
    """Its words, or its letters, stand apart."""
    assert "routine: SILVER ALDER" in header(f"{title}\n32 counts, 4 walls\n\n1-4 Vine R\n")


def test_the_first_steps_of_a_letter_are_no_header() -> None:
    """A first paragraph that says a figure and what it ends in is danced."""
    text = "Osier Row\nAn easy dance of 8 counts and one wall.\n\nStart with a grapevine to the right, finishing with a touch of the left – that's four counts.\nNow the same to the left.\n"

    assert ["Vine, right foot", "Vine, left foot"] == body(text)


@pytest.mark.parametrize(
    ("said", "dance"),
    [
        ("We leave out the last eight counts on wall two.", ["Main", "Main, first 8 counts"]),
        ("Restart W2 after #1", ["Main", "Main, first 8 counts"]),
        ("Restart: W2 after A (6:00)", ["Main", "Main, first 8 counts", "expect facing 6:00"]),
    ],
)
def test_a_wall_is_cut_after_what_its_section_is_called(said: str, dance: list[str]) -> None:
    """A number with its sign, a letter, or how much is left out at the end; an hour in a bracket is a facing."""
    text = f"{LINE.format(16)}A  1-8  Vine R, touch L, vine L, touch R   (12)\nB  1-8  rocking chair R, jazz box R   (12)\n{said}\n"
    made = sc.draft(text)

    assert ["Vine, right foot", "Vine, left foot, facing 12:00", "Rocking Chair, right foot"] == body(text)[:3]
    assert dance == [line.split("  #")[0].strip() for line in made.text.split("\ndance:\n")[1].splitlines()][:-1]


def test_initials_of_parts_are_their_sequence() -> None:
    """`V C V C` behind parts that begin with these letters."""
    made = sc.draft(f"{CLOG}Verse: 2 Triples\nChorus: 2 Basics\nEnd: Stomp\n\nV C V C E\n")

    assert ["Verse", "Chorus", "Verse", "Chorus", "End"] == made.text.split("\ndance:\n")[1].split()


@pytest.mark.parametrize("often", ["- twice", "x2", "(x2)", "and do that again", "2 times"])
def test_counts_say_what_is_danced_twice(often: str) -> None:
    """Two counts of steps on four counts are danced twice."""
    assert ["S(R) PV S, turn 1/4 left @2"] * 2 == body(f"{LINE.format(4)}1-4 R fwd, pivot 1/4 L, {often}\n")


def test_totals_behind_lines_are_their_own_lengths() -> None:
    """`(8)`, `(16)`, `(24)`, up to the counts of the dance."""
    lines = "Four toe struts forward R (8).\nJazz box R, jazz box R (16).\nVine R, touch L, vine L, touch R (24).\n"

    assert ["Toe Strut x4, right foot", "Jazz Box, right foot", "Jazz Box, right foot"] == body(
        LINE.format(24) + lines
    )[:3]
    assert () == sc.draft(LINE.format(24) + lines).open


def test_a_whole_that_is_danced_again_makes_the_counts_of_the_dance() -> None:
    """Half of the stated counts, danced twice."""
    made = sc.draft(
        f"{LINE.format(16)}1-8 Vine R, touch L, vine L, touch R\nRepeat the whole 8 counts to make 16, facing 6:00\n"
    )

    assert "  2 times:\n" in made.text
    assert "  expect facing 6:00" in made.text


@pytest.mark.parametrize(
    ("beside", "faced"),
    [
        ("front wall", "front"),
        ("starts facing 6:00", "6:00"),
        ("always at the back", "back"),
        ("you are facing 12 o'clock", "12:00"),
        ("begins at the back wall, ends at the front", ""),
        ("6:00", ""),
    ],
)
def test_where_a_part_of_a_line_dance_begins_is_a_claim(beside: str, faced: str) -> None:
    """What its head says of it is claimed before its first step, or named as open."""
    rows = "1-8 Vine right, touch, vine left, touch\n"
    made = sc.draft(f"Osier Row\nphrased line dance\nOrder: A, B, A, B\n\nPART A\n{rows}\nPART B ({beside})\n{rows}")

    first = made.text.split("\npart B:")[1].splitlines()[1].strip()
    assert first == (f"expect facing {faced}" if faced else "counts 1-8:")
    assert bool(made.open) is not bool(faced)


@pytest.mark.parametrize(
    "said", ["you should be looking at the stage now (3 o'clock)", "Facing the kitchen (3:00)", "ye're facing 3:00 now"]
)
def test_what_stands_at_an_hour_of_the_hall_is_no_wall_of_its_own(said: str) -> None:
    """The hour is where the lines above it end."""
    text = f"Osier Row\n8 counts, 4 walls, line dance\n\n1-4 Vine R\n5-8 Vine L 1/4 L, scuff R\n{said}\n"
    made = sc.draft(text)

    assert "facing 3:00" in made.text and not made.open


def test_a_restart_goes_on_behind_a_bracket() -> None:
    """`and` in small letters begins no sentence."""
    rows = "1-8 Vine R, vine L\n9-16 Vine R, vine L\n\n"
    said = "There is one restart, on the 3rd wall. Do the first 8 (as far as the second vine)\nand start over, ye'll be facing the back"
    made = sc.draft(f"Osier Row\n16 counts, 4 walls, line dance\n\n{rows}{said}\n")

    assert "  Main, first 8 counts" in made.text and "  expect facing back" in made.text and not made.open
