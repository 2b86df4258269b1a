"""Wordings of one thing, several of each: what teachers write in many ways comes out as one sheet."""

import pytest

import stepcheck as sc

CLOG = "Osier Row (clogging)\n{}Wait 8, left foot lead\n\n{}\n"
LINE = "Osier Row\n{} counts, 1 wall, line dance\n\n{}\n"
PARTS = "\n\nA (4 beats)\nTriple\n\nB (2 beats)\nBasic\n"


def body(text: str, part: str) -> list[str]:
    """Return the lines of a part of a draft, without comments, notes and heads of beats."""
    made = sc.draft(text).text
    lines = made[made.index(f"\npart {part}") + 1 :].split("\n\n")[0].splitlines()[1:]
    bare = (line.split("  #")[0].split(" (")[0].strip() for line in lines)
    return [line for line in bare if line and line[0] != "#" and not line.startswith(("beats ", "counts "))]


def danced(text: str) -> list[str]:
    """Return the parts in the order in which a draft dances them."""
    made = sc.draft(text).text
    return [line.split("  #")[0].strip() for line in made[made.index("\ndance:") :].splitlines()[2:] if line]


@pytest.mark.parametrize(
    "said",
    [
        "Triple, left foot, 4\nBasic R, Basic L, 4\n2 Fancy Doubles, 8",
        "Triple, left foot - 4\nBasic R, Basic L - 4\n2 Fancy Doubles - 8",
        "Triple, left foot 4b\nBasic R, Basic L 4b\n2 Fancy Doubles 8b",
        "Triple, left foot ....... 4 beats\nBasic R, Basic L ....... 4 beats\n2 Fancy Doubles ....... 8 beats",
        "A1) Triple, left foot [4]\nA2) Basic R, Basic L [4]\nA3) 2 Fancy Doubles [8]",
    ],
)
def test_a_length_at_the_end_of_a_cue_is_that_of_its_line(said: str) -> None:
    """Behind a comma, a dash, a gap, dots or in brackets, with a unit or without, it makes no step and no blank."""
    wanted = ["Triple, left foot", "Basic, right foot", "Basic, left foot", "Fancy Double x2"]

    assert wanted == body(CLOG.format("", f"A (16 beats)\n{said}"), "A")


@pytest.mark.parametrize(
    "order",
    [
        "Seq.: wait 8 | A B A | B\n",
        "Order: Wait 8 - A - B - A - B\n",
        "A, B, A, B\n",
        "We wander about; play A B A B\n",
        "Here's our order: A, B, A, B\n",
        "This is the order: A B A and B\n",
        "The parts are danced in this order: A, B, A and finally B.\n",
        "Do it in this order - A B A B\n",
        "Wait   8 beats\nA   4 beats\nB   2 beats\nA   4 beats\nB   2 beats\n",
        "Verse 1 ..... A\nChorus ...... B\nVerse 2 ..... A\nChorus ...... B\n",
    ],
)
def test_a_sequence_is_read_however_it_stands(order: str) -> None:
    """With bars, dashes or dots, on a line of its own or behind other words, or down the page; its wait is no part."""
    made = sc.draft(CLOG.format(order, PARTS.strip()))

    assert ["A", "B", "A", "B"] == danced(CLOG.format(order, PARTS.strip()))
    assert "wait: 8 beats" in made.text


@pytest.mark.parametrize(
    ("order", "wanted"),
    [
        ("Order: A B Brk A End", ["A", "B", "Break", "A", "End"]),
        ("Order: A, B, Bk, A, End", ["A", "B", "Break", "A", "End"]),
        ("Order: Part A, Part B, Break, Part A, End", ["A", "B", "Break", "A", "End"]),
        ("Order: Step A, Step B, Brk, Step A, End", ["A", "B", "Break", "A", "End"]),
        ("Order: A B Brg A End", ["A", "B", "Brg", "A", "End"]),
    ],
)
def test_an_order_with_a_short_or_unknown_name_is_danced_whole(order: str, wanted: list[str]) -> None:
    """A short name is that of its part; one that no part has stays in its place, for the check to name, and what
    stands behind it is not lost."""
    text = f"Osier Row (clogging)\n{order}{PARTS}\nBreak (2 beats)\nBasic\n\nEnd\nStomp, Stomp\n"

    assert wanted == danced(text)


@pytest.mark.parametrize(
    ("line", "book"),
    [
        ("A (8 beats)\n2 Triples", "clogging"),
        ("A 8 beats\nTriple, then 2 Basics", "clogging"),
        ("A\nTriple  4 beats\n2 Basics  4 beats", "clogging"),
        ("A 8 counts\nVine right, Vine left", "line"),
        ("8 beats of music, then 32 counts, 4 walls\n1-8 Vine right, Vine left", "line"),
    ],
)
def test_cloggers_count_beats(line: str, book: str) -> None:
    """Where nobody says what is danced, beats are a clogger's, counts a line dancer's, and walls too."""
    assert f"book: {book}" in sc.draft(f"Osier Row\n\n{line}\n").text


@pytest.mark.parametrize(
    "head",
    [
        "CHORUS (4 beats, do it twice = 8)",
        "CHORUS - 4 beats (do it twice)",
        "Chorus (4) now the loud one - do it twice",
    ],
)
def test_the_head_of_a_part_may_hold_a_remark(head: str) -> None:
    """What stands behind the name and the length is a remark, and how often it is danced is said of the part."""
    text = CLOG.format("Order: Verse, Chorus, Verse, Chorus\n", f"VERSE (2 beats)\nBasic\n\n{head}\nTriple\n")

    assert ["2 times:", "Triple"] == body(text, "Chorus")


@pytest.mark.parametrize(
    ("over", "wanted"),
    [
        ("triple, L then R", ["Triple, left foot", "Triple, right foot"]),
        ("2 Triples", ["Triple x2, left foot"]),
        ("Triple L + Triple R", ["Triple, left foot", "Triple, right foot"]),
        ("Mill Race", ["Mill Race, left foot"]),
    ],
)
def test_a_name_over_its_rows_is_danced_once(over: str, wanted: list[str]) -> None:
    """Codes, feet and counts under a line of figures are their footwork, and no more steps."""
    rows = " DS DS DS RS DS DS DS RS\n L  R  L  RL R  L  R  LR\n &1 &2 &3 &4 &5 &6 &7 &8"

    assert wanted == body(CLOG.format("", f"A (8)\n{over}\n{rows}"), "A")


@pytest.mark.parametrize(
    ("lines", "wanted"),
    [
        ("Rocking Chair x2 (8 beats)\nDS BR DS RS\nL R R LR", ["Rocking Chair x2, left foot"]),
        ("2. Two Rocking Chairs (8)\n(DS Brush DS RS, always starts L)", ["Rocking Chair x2, left foot"]),
        ("2 Triples (8)\n   [DS DS DS RS each]", ["Triple x2"]),
        ("* 4 Basics ..... 8\n    - DS RS, DS RS, DS RS, DS RS", ["Basic x4"]),
        (
            "Donkey L and R (8)\nDS R(xif) S R(ots) S R(xib) S\nL R L R L R L\n&a1 & 2 & 3 & 4",
            ["Donkey, left foot", "Donkey, right foot"],
        ),
        ("2 Fancy Doubles (8)\n(DS DS RS RS, on the 2nd turn 1/4 L)", ["Fancy Double x2, turn 1/4 left on 2nd"]),
        ("Clogover Vine L\nDS DS(xif) DS DS(xib)\nDS DS(xif) DS RS", ["Clog-over Vine, left foot"]),
    ],
)
def test_rows_under_a_cue_spell_it(lines: str, wanted: list[str]) -> None:
    """Steps without a name that come to the beats of the cue over them are its footwork, however they are set."""
    text = CLOG.format("", f"A (8)\n{lines}\n\nB (2)\nBasic\n\nSequence: A B A")

    assert (wanted, ()) == (body(text, "A"), sc.draft(text).open)


@pytest.mark.parametrize(
    ("said", "foot"),
    [
        ("all of that again, 8 beats", "left"),
        ("repeat to the back (8)", "left"),
        ("All of that again, opposite footwork, 8 beats", "right"),
        ("Mirror that, going right (8)", "right"),
        ("same thing, leading R (8)", "right"),
    ],
)
def test_lines_are_told_again_in_many_words(said: str, foot: str) -> None:
    """They are the last lines of just the beats that are stated, on the other foot where that is said."""
    made = body(CLOG.format("", f"A (16)\nTriple L (4)\nTriple R (4)\n{said}"), "A")
    once = ["Triple, left foot", "Triple, right foot"]

    assert (["2 times:", *once] if foot == "left" else [*once, *once[::-1]]) == made[: 3 + (foot == "right")]
    assert made[3 + (foot == "right") :] == ["expect facing back"] * ("back" in said)


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        (
            "1-4 Lock step forward on right, scuff left (fwd, lock, fwd, scuff)",
            ["Lock Step, right foot", "Scuff, left foot"],
        ),
        ("1-4 Rocking chair: R fwd, recover L, R back, recover L", ["Rocking Chair, right foot"]),
        ("1&2 R kick ball step\n3-4 L fwd, recover R", ["K(R)@1 BA(R)@1& S@2", "RK(L) RC(R)"]),
        ("1-2 stomp R, stomp L\n3&4 RPT 1&2", ["STO(R) STO(L)", "STO(R) STO(L)"]),
    ],
)
def test_names_and_brackets_are_no_more_steps(said: str, wanted: list[str]) -> None:
    """What a bracket spells is not danced besides; a recover makes the step before it a rock; counts are repeated
    by their numbers."""
    made = body(LINE.format(8, f"S1\n{said}\n5-8 Vine R, touch L"), "Main")

    assert wanted == [line.replace("BA@", "BA(R)@") for line in made[:-1]]


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Tag after walls 2 + 5: stomp R, stomp L", ["Main x2", "Tag", "Main x3", "Tag"]),
        ("RST on wall 3 after 4 counts", ["Main x2", "Main, first 4 counts"]),
        ("RESTART on wall 3, after the first vine (4 counts).", ["Main x2", "Main, first 4 counts"]),
        ("Restart: 3rd wall only, after 4 counts. No tags.", ["Main x2", "Main, first 4 counts"]),
        (
            "1 RST (W3), 1 TAG (AFTER W4)\nRST on W3 after 4 counts\nTAG after W4: stomp R",
            ["Main x2", "Main, first 4 counts", "Main", "Tag"],
        ),
        ("Finish: some late wall, dance 4 counts and whoop, then stomp R", []),
        ("Finish: after the lot stomp R", []),
    ],
)
def test_walls_are_read_in_short_and_an_ending_is_no_restart(said: str, wanted: list[str]) -> None:
    """`+` joins walls, `RST` is a restart, what a line announces is told once; how a dance ends is no restart."""
    text = LINE.format(8, f"S1\n1-4 Vine R, touch L\n5-8 Vine L, touch R\n\n{said}")
    passes = [line for line in danced(text) if line and not line.startswith("#")]

    assert [*wanted, "Main until the music ends"] == passes
    assert wanted or any("stomp R" in each for each in sc.draft(text).open)


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("S2 - all that again on the other foot", ["Vine, left foot", "STO(L) STO(R)", "hold 2 counts"]),
        ("S2: same as 1, but with arms and a shimmy", ["? 8 counts"]),
        ("S2: arms\n1-4 R fwd, pivot 1/2 L, and again\n5-8 Slow coaster: R back, L tog, R fwd, hold", 3 * ["S"]),
        ("S2: cross-back-side-fwd\n1-4 jazz: cross-back-side-fwd\n5-8 stomp R and clap, stomp L and clap", 2 * ["S"]),
    ],
)
def test_what_a_head_says_to_dance_again(said: str, wanted: list[str]) -> None:
    """A section whose head tells it is that section again, or a blank of its counts; nothing moves up into its place."""
    text = LINE.format(24, f"S1\n1-4 Vine R\n5-6 stomp R, stomp L\n7-8 hold\n\n{said}\n\nS3\n1-4 Vine R\n5-8 Vine L")
    made = body(text, "Main")[3:-2]

    assert [each[: len(want)] for each, want in zip(made, wanted, strict=False)] == wanted
    assert "counts 17-24:" in sc.draft(text).text


@pytest.mark.parametrize(
    "said",
    [
        "R side, L behind, R side, touch L <1-4>\nL side, R behind, L side, touch R <5-8>",
        "1  R side, L behind, R side, touch L – 4\n2  opp. ft – 4\n3  hold, hold, hold, hold – 4",
        "R side, L behind, R side, touch L, 4\nsame on the other foot, 4\nhold, hold, hold, hold, 4",
    ],
)
def test_counts_and_lengths_stand_in_any_bracket_and_behind_any_sign(said: str) -> None:
    """A number before a line of stated length is that of its section; a length is no step and no blank."""
    made = body(LINE.format(12, said), "Main")

    assert ["S(R) S(L) S(R) TCH(L)", "S(L) S(R) S(L) TCH(R)"] == made[:2]
    assert not any("?" in each for each in made)


def test_a_description_without_codes_is_of_the_tradition_of_its_figures() -> None:
    """Beats are counted in line dance as well; figures that only one tradition has tell."""
    text = "Osier Row\nWait 32 beats\n\nStep R, pivot 1/2 L, sway R, sway L, 4 beats\nShuffle R, shuffle L, 4 beats\n"

    assert "book: line" in sc.draft(text).text


def test_how_long_each_step_lasts() -> None:
    """`two counts each` is said of every step before it, `(2 counts)` of the last one."""
    said = "S1\n1-8 sway R, sway L, sway R, sway L - two counts for each\n9-12 R fwd, L fwd, sweep R (2 counts)"

    assert ["S(R) HOLD S(L) HOLD S(R) HOLD S(L) HOLD", "S(R) S(L) SW(R) HOLD"] == body(LINE.format(12, said), "Main")


def test_the_end_of_a_numbered_wall_is_danced_behind_the_cut_wall() -> None:
    """The walls before it, that one as far as it is said to be danced, where dancers face then, and its steps."""
    text = LINE.format(
        8, "S1\n1-4 Vine R, touch L\n5-8 Vine L, touch R\n\nEND: wall 6, dance 4 counts (12:00), then stomp R"
    )

    assert ["Main x5", "Main, first 4 counts", "expect facing 12:00", "Ending"] == danced(text)
    assert ["Stomp, right foot"] == body(text, "Ending")


@pytest.mark.parametrize(
    "rows",
    [
        "123 R side - L behind - R side\n456 L side - R behind - L side",
        "12 R side, L behind\n3 R side\n45 L side, R behind\n6 L side",
        "R side, L behind, R side (123)\nL side, R behind, L side (456)",
        "R side, L behind, R side 123\nL side, R behind, L side 456 (wt L)",
        "R side, L behind 12\nR side, L side 34 -> 12:00\nR behind, L side 56, weight L",
        "R side L behind 12 R side L side 34 R behind L side 56",
    ],
)
def test_counts_that_are_written_together_run_on(rows: str) -> None:
    """`123` is three counts where more of them run on from there; no count is a hundred."""
    made = " ".join(body(LINE.format(6, f"S1\n{rows}"), "Main"))

    assert made.count("S(") + made.count("Step,") == 6
    assert "?" not in made


def test_what_looks_like_counts_but_runs_on_from_none_is_left_alone() -> None:
    """A wall by the hour, a tempo and a street are no counts, though their digits go up."""
    made = sc.draft(
        "Osier 12\n4 counts, 1 wall, line dance\nTempo 123\n\n1-2 R fwd, L tog facing 12\n3-4 R fwd, L tog\n"
    )

    assert "S(R) S(L), facing 12:00 (forward, together)\n    S(R) S(L)" in made.text
    assert "tempo: 123" in made.text


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("BPM 118   INTRO 16 CT", {"tempo: 118", "wait: 16 counts"}),
        ("Song: Low Lamps - Ada Reed, slowed to 116", {"tempo: 116", "artist: Ada Reed"}),
        (
            "Cues: Ada Reed, Low Bridge Line Club - Improver",
            {"level: improver, club scheme", "author: Ada Reed (Low Bridge Line Club)"},
        ),
        ("(Rain on Tin - Ada Reed)", {"song: Rain on Tin", "artist: Ada Reed"}),
    ],
)
def test_a_line_of_the_header_says_several_things(line: str, wanted: set[str]) -> None:
    """Keys before and behind numbers, people behind labels, songs without one: each is its own field."""
    made = sc.draft(f"Osier Row\n{line}\n8 counts, 1 wall, line dance\n\nS1\n1-4 Vine R, touch L\n").text

    assert wanted <= {text.split("  #")[0] for text in made.splitlines()}


HEADED = "Osier Row (clogging)\n{}\n\nA (4 beats)\nTriple\n"


@pytest.mark.parametrize(
    ("said", "wanted", "never"),
    [
        ("Wait 8\n(276 cts in all)", "wait: 8 beats", "276 beats"),
        ("Wait 8\n276 beats in total", "wait: 8 beats", "wait: 276"),
        ("Lead in 8 slow counts\n(276 cts in all)", "wait: 8 beats", "276 beats"),
        ("Music: Hang It (Ursel Bain), download", "artist: Ursel Bain", "artist: download"),
        ("Song: Stinging by Bad Aunts, the 3:05 version", "artist: Bad Aunts\n", "artist: Bad Aunts, the"),
        ("Tune: 'Tick & Tock', Ambrose Fenn, album Winding Day", "artist: Ambrose Fenn\n", "artist: Ambrose Fenn, "),
        ("Band: Mudlark Row.  Song same name.", "song: Osier Row", "song: same"),
        ("Band: Mudlark Row.  Song: the same title", "song: Osier Row", "song: the same"),
        ("Mrs Cordwainer's routine, beginners can do it", "author: Mrs Cordwainer\n", "routine: Mrs"),
        ("Cue writer: Barnaby Ilk", "author: Barnaby Ilk\n", "routine: Cue"),
    ],
)
def test_a_field_takes_only_what_has_its_shape(said: str, wanted: str, never: str) -> None:
    """A total is no wait, a file no artist, `same name` no title: what stands beside a field is named open."""
    made = sc.draft(HEADED.format(said)).text

    assert wanted in made and never not in made


@pytest.mark.parametrize("subject", ["Fwd: Re: osier steps", "Re: osier steps", "Subject: osier steps"])
def test_the_subject_of_a_mail_is_no_title(subject: str) -> None:
    """The title is the line that has its song behind it."""
    made = sc.draft(
        f"{subject}\n\nHi all, sorry this is late!\nOsier Row - to Wick & Wax by Old Tallow\nWait 8\n\nA (4)\nTriple (clogging)"
    ).text

    assert all(said in made for said in ("routine: Osier Row\n", "song: Wick & Wax\n", "artist: Old Tallow\n"))


@pytest.mark.parametrize(
    "legend",
    [
        "RF = RIGHT FOOT  LF = LEFT FOOT  WT = WEIGHT  REC = RECOVER",
        "RF = RIGHT FOOT, LF = LEFT FOOT",
        "rf = right foot   lf = left foot   tog = together",
    ],
)
def test_a_legend_of_abbreviations_is_not_danced(legend: str) -> None:
    """With commas or gaps, in capitals or not, it adds no count to the steps."""
    text = LINE.format(4, f"{legend}\n\n1-2 RF FWD, LF FWD\n3-4 RF TO R, LF TOG")

    assert ["S(R) S(L)", "S(R) S(L)"] == body(text, "Main")
    assert "(side, together)" in sc.draft(text).text


@pytest.mark.parametrize(
    "order",
    [
        "How it goes: V1, Chorus, V2, Chorus again, finish",
        "Sequence: Verse 1 / Chorus / Verse 2 / Chorus / End",
        "V1 / Chorus / V2 / Chorus w/o last line / Finish",
    ],
)
def test_an_order_may_shorten_names_and_hold_remarks(order: str) -> None:
    """`V1` is Verse 1, strokes stand between names, and what changes a part there is named open."""
    parts = (
        "VERSE 1 (4)\nTriple\n\nCHORUS (2)\nBasic\n\nVERSE 2 (only 4!)\nFancy Double\n\nFINISH (2)\nStomp L, Stomp R"
    )
    made = danced(CLOG.format(f"{order}\n", parts))

    changed = "w/o" in order  # then what is danced isn't known

    assert ["verse 1", "chorus", "verse 2"] == [name.casefold() for name in made[:3]]
    assert 5 - changed == len([*filter(None, made)])
    assert ("w/o" in order) == any(
        "without" in said or "with o" in said for said in sc.draft(CLOG.format(f"{order}\n", parts)).open
    )


@pytest.mark.parametrize(
    ("order", "wanted"),
    [
        ("We hop A1 Verse Chorus, Verse and Chorus!", []),
        ("Sung: Verse Chorus Verse then Chorus (fade)", ["Verse", "Chorus", "Verse", "# Chorus (fade)"]),
    ],
)
def test_an_order_that_is_not_read_is_replaced_by_no_other(order: str, wanted: list[str]) -> None:
    """The line is open, and no order is claimed but what is read of it, with what is not in its place."""
    made = sc.draft(CLOG.format("", f"VERSE (4)\nTriple\n\nCHORUS (2)\nBasic\n\n{order}"))

    assert any("the order of the parts: " in said for said in made.open)
    assert wanted == [line.strip() for line in made.text.partition("\ndance:\n")[2].splitlines()[:4]]


@pytest.mark.parametrize(
    "tag",
    [
        "After the third time through, when you face the back, there are four counts extra: sway L, R, L, R.",
        "Tag, only 4 cts: sway L, R, L, R\n  - after wall 3 (facing the back)",
        "After wall 3, facing the back, there are 4 extra counts: sway L, R, L, R.",
    ],
)
def test_a_tag_told_in_words_is_danced_where_it_is_said(tag: str) -> None:
    """It is a part of its own behind its wall, and no step of every time through."""
    text = LINE.format(2, f"1-2 R fwd, L fwd\n\n{tag}")

    assert ["Main x3", "expect facing back", "Tag", "Main until the music ends"] == danced(text)
    assert ["S(L) S(R) S(L) S(R)"] == body(text, "Tag")


@pytest.mark.parametrize(
    ("turn", "wanted"),
    [
        (", turn 1/2 L", ["Fancy Double, turn 1/2 left", "1st time only:", "expect facing back"]),
        (", turn 1/4 L", ["Fancy Double, turn 1/4 left", "expect facing back"]),
        ("", ["Fancy Double", "expect facing back"]),
    ],
)
@pytest.mark.parametrize("said", ["Repeat to the back (4)", "All that again, to the back (4)"])
def test_a_repeat_to_the_back_claims_the_facing_that_the_turns_give(said: str, turn: str, wanted: list[str]) -> None:
    """It begins at the back behind a half turn, else ends there, for the check to say whether it does."""
    assert ["2 times:", *wanted] == body(CLOG.format("", f"A (8)\nFancy Double{turn} (4)\n{said}"), "A")


@pytest.mark.parametrize(
    "head",
    [
        "last Chorus: nos. 1-3 only, then End",
        "Final Chorus (first 2)",
        "2nd Chorus: stop early",
        "Last Verse: finish with stomp R",
    ],
)
def test_a_remark_on_one_time_of_a_part_is_no_part(head: str) -> None:
    """It stays open, and is not danced at the end."""
    made = sc.draft(
        CLOG.format("Order: Verse, Chorus, Verse, Chorus\n", f"VERSE (4)\nTriple\n\nCHORUS (2)\nBasic\n\n{head}")
    )

    assert made.text.count("\npart ") == 2 and any(head[:9] in said for said in made.open)


@pytest.mark.parametrize(
    "said", ["same on the other foot", "mirror it: start R, 4 beats", "Triple R: opposite (4)", "same, other foot (4)"]
)
def test_a_figure_is_told_again_on_the_other_foot(said: str) -> None:
    """With its beats or without."""
    assert ["Triple, left foot", "Triple, right foot"] == [
        line.replace(", 4 beats", "") for line in body(CLOG.format("", f"A (8)\nTriple L (4)\n{said}"), "A")
    ]


@pytest.mark.parametrize(
    "said",
    [
        "Otter L (DS DS RS RS) - 4\nOtter R - 4",
        "Otter L (ds ds rs rs) - 4\nOtter R - 4",
        "Otter L (DS DS R S R S), 4\nOtter R, 4",
        "4  Otter L (DS DS RS RS)\n4  Otter R",
        "Otter left (DS DS RS RS), Otter right, 8 beats",
        "Then one Otter on the left (DS DS RS RS), 4 beats\nOtter on the right, 4 beats",
    ],
)
def test_a_row_in_brackets_spells_the_figure_before_it(said: str) -> None:
    """In capitals or not, with the rock and its step apart, before other cues: the figure is danced, its row learnt."""
    made = sc.draft(CLOG.format("", f"A (8 beats)\n{said}")).text

    assert ["Otter, left foot", "Otter, right foot"] == [
        line.replace(", 4 beats", "") for line in body(CLOG.format("", f"A (8 beats)\n{said}"), "A")
    ]
    assert "  Otter: DS DS RS RS" in made


@pytest.mark.parametrize("said", ["2 Basics, turn 1/2 R", "Basic x2, trn 1/2 right", "2 Basics turning 1/2 R"])
def test_a_turn_of_several_figures_is_said_of_each_or_open(said: str) -> None:
    """Half a turn behind two figures may be each one's or that of both; `each` decides."""
    assert ["? 4 beats"] == body(CLOG.format("", f"A (4 beats)\n{said}"), "A")
    assert ["Basic x2, turn 1/2 right"] == body(CLOG.format("", f"A (4 beats)\n{said} each"), "A")


@pytest.mark.parametrize(
    "said",
    [
        "2 Basics, L then R",
        "2 Basics (L, R)",
        "2 Basics, first L, then R",
        "Two basics, starting on the left",
        "Then dance two basics, left, right",
        "2 Basics, L foot lead",
        "2 Basics moving left, L, R",
    ],
)
def test_feet_behind_figures_are_the_foot_that_begins(said: str) -> None:
    """One foot, or a foot for each time, in many words; none of them is a note, and none is lost."""
    assert ["Basic x2, left foot"] == body(CLOG.format("", f"A (4 beats)\n{said}"), "A")


@pytest.mark.parametrize(
    "said", ["L both times", "both starting L", "each on the left", "both beginning on the left foot"]
)
def test_a_foot_that_is_said_of_each_time_is_said_of_each(said: str) -> None:
    """Two figures on one foot are two lines: a check finds whether that foot is free twice."""
    assert ["Rocking Chair, left foot"] * 2 == body(CLOG.format("", f"A (8 beats)\n2 Rocking Chairs, {said}"), "A")


@pytest.mark.parametrize(
    "said", ["finish the turn to the front", "and turn a bit", "every other one twice", "while the others turn"]
)
def test_words_that_would_change_a_cue_are_named(said: str) -> None:
    """A turn or a number of times that no cue has taken is open, with its line."""
    made = sc.draft(CLOG.format("", f"A (4 beats)\n2 Basics {said}"))

    assert any("line 5" in each for each in made.open)


def test_a_table_of_words_is_read_under_its_heads() -> None:
    """A column of parts, then cues, feet, beats and remarks, in one of which a row may spell the figure; a paragraph of
    rows below, whose names are danced above, is no dance."""
    table = "Part\tStep\tFoot\tBeats\tRemarks\nA\t2 Triples\tL, R\t8\tin place\n\t4 Basics\tL R L R\t8\t1/4 L on each\n"
    table += "B\tOtter\tL\t4\tDS DS RS RS\n\tRepeat B to the back\t\t4\n\nSequence\tA B A\n\nTriple\tDS DS DS RS\nBasic\tDS RS"
    said = CLOG.format("", table)

    assert ["Triple x2, left foot, 8 beats", "Basic x4, left foot, 8 beats, turn 1/4 left"] == body(said, "A")
    assert "Otter, left foot" in " ".join(body(said, "B")) and "Triple" not in body(said, "B")
    assert ["A", "B", "A"] == [each for each in danced(said) if each[0] != "#"]


@pytest.mark.parametrize(
    "said", ["To end it, stomp R.", "To finish, stomp R", "End: stomp R", "And to end off: stomp R"]
)
def test_a_dance_ends_as_is_said(said: str) -> None:
    """The end in so many words is a part at the end of the dance."""
    text = CLOG.format("Order: A B A\n", f"{PARTS.strip()}\n\n{said}")

    assert ["A", "B", "A"] == danced(text)[:3]
    assert danced(text)[3:] in (["Ending"], ["End"])
    assert ["Stomp, right foot"] == body(text, "End")


@pytest.mark.parametrize(
    "said",
    [
        "Rock R forward, recover L, rock R back, recover L (4). You look at 12 o'clock.",
        "Rock R forward, recover L, rock R back, recover L, and that makes 4. You are at 12 o'clock.",
        "Rock R forward, recover L, rock R back, recover L - that is 4 counts (you face 12:00)",
        "Rock R forward, recover L, rock R back, recover L, 4 counts, facing 12:00",
        "4 counts: rock R forward, recover L, rock R back, recover L (12:00)",
    ],
)
def test_a_claim_behind_steps_takes_none_of_them(said: str) -> None:
    """How many counts and where dancers face may stand in a sentence of its own: the steps before it are danced."""
    lines = body(LINE.format(8, f"Walk R L R L (4).\n{said}"), "Main")

    assert "RK(R) RC(L) RK(R) RC(L), facing 12:00" in lines
    assert not any(line.startswith("?") for line in lines)


@pytest.mark.parametrize("said", ["travelling forward", "going forward", "moving fwd", "(moving forward)"])
def test_the_way_of_steps_is_no_step(said: str) -> None:
    """Where steps travel is a note of them."""
    assert ["HT(R) S HT(L) S"] == body(LINE.format(4, f"1-4 R heel, step down, L heel, step down, {said}"), "Main")


@pytest.mark.parametrize(
    "said",
    ["repeat section 1", "repeat S1 (12:00)", "same as section 1, turning to 12:00", "as sect. 1, now facing 12:00"],
)
def test_a_section_again_may_say_where_it_ends(said: str) -> None:
    """The section is danced again and its end is claimed; those behind it keep their counts."""
    text = "S1\n1-2 Step R fwd, pivot 1/2 L (6:00)\n3-4 Walk R L\nS2 {}\nS3\n1-4 Walk R L R L\n"
    made = sc.draft(LINE.format(12, text.format(said))).text

    assert 2 == made.count("S(R) PV S")
    assert "counts 9-12" in made
    assert ("facing 12:00" in made) == ("12:00" in said)


def test_no_turn_of_a_title_is_lost() -> None:
    """A figure whose name turns, spelled out by steps that don't, is a blank."""
    said = "Monterey 1/2 right: point R, close R, point L, close L, 4 counts"

    assert ["? 4 counts"] == body(LINE.format(4, said), "Main")


@pytest.mark.parametrize(
    "said",
    [
        "3. Repeat 1 & 2  (6)",
        "3. nos. 1 and 2 again (6)",
        "3. Lines 1, 2 once more (6)",
        "3. Rpt 1-2 (6)",
        "3. do 1 and 2 again",
    ],
)
def test_lines_are_danced_again_by_their_numbers(said: str) -> None:
    """Numbers in front of cues are what a repeat names; where it says more, it is a blank of its beats."""
    cues = ["Triple, left foot", "Basic, right foot"]

    assert cues * 2 == body(CLOG.format("", f"A (12 beats)\n1. Triple L\n2. Basic R\n{said}"), "A")
    assert [*cues, "? 6 beats"] == body(
        CLOG.format("", "A (12 beats)\n1. Triple L\n2. Basic R\n3. Repeat 1 & 2 turning 1/2 L (6)"), "A"
    )


@pytest.mark.parametrize("unit", ["", " b", " b.", " beats", " bts", ":", " counts"])
def test_a_unit_in_front_of_a_cue_is_no_name(unit: str) -> None:
    """`4 b   Triple`: the beats of the line, whatever they are called."""
    made = body(CLOG.format("", f"A (8 beats)\n4{unit}   Triple L\n4{unit}   Triple R"), "A")

    assert ["Triple, left foot", "Triple, right foot"] == [line.replace(", 4 beats", "") for line in made]


def test_a_grid_with_a_row_for_each_foot_is_open() -> None:
    """A row of which some cells are empty is no row of movements: the figure over it stands, and is danced once."""
    grid = "Triple (4 beats)\nbeat   1    2    3    4\nL      DS   .    DS   -S\nR      .    DS   .    R-"
    made = sc.draft(CLOG.format("", f"A (4 beats)\n{grid}"))

    assert ["Triple"] == body(CLOG.format("", f"A (4 beats)\n{grid}"), "A")
    assert 3 == sum("line" in each for each in made.open)


@pytest.mark.parametrize(
    "said",
    [
        "Add-on after wall 3: clap, clap",
        "Extras after wall 3: clap, clap",
        "Tag (after wall 3): clap, clap",
        "After wall 3, tag: clap, clap",
    ],
)
def test_what_is_danced_after_a_wall_is_no_step_of_every_wall(said: str) -> None:
    """A line that names a wall is a tag, or open; its steps are never those of each pass."""
    text = LINE.format(4, f"1-4 Walk R L R L\n\n{said}")

    assert ["S(R) S(L) S(R) S(L)"] == body(text, "Main")
    assert danced(text)[:2] == ["Main x3", "Tag"]


@pytest.mark.parametrize(
    "said",
    [
        "123 L fwd, R tog, L tog - 456 R back, L tog, R tog",
        "1-3 L fwd, R tog, L tog; 4-6 R back, L tog, R tog",
        "1 2 3 L fwd, R tog, L tog\n456 R back, L tog, R tog",
    ],
)
def test_counts_that_run_together_are_counts(said: str) -> None:
    """`123` before steps is one, two, three; no line lasts a hundred counts."""
    assert ["S(L) S(R) S(L)", "S(R) S(L) S(R)"] == body(LINE.format(6, said), "Main")


@pytest.mark.parametrize(
    "said", ["Seq.\n| A B | A |\n", "Order\nA B\nA\n", "Sequence:\nA - B\nA\n", "Intro. Sequence: A B A\n"]
)
def test_a_sequence_may_stand_below_its_word(said: str) -> None:
    """The lines of names under the word for the sequence are its rows; behind a sentence it is a line of its own."""
    assert ["A", "B", "A"] == danced(CLOG.format(said, PARTS.strip()))


@pytest.mark.parametrize("said", ["same as A but no turn", "as A, but without the turn", "same as A except the ending"])
def test_a_part_that_is_another_but_for_something_is_a_blank(said: str) -> None:
    """What is changed isn't known: a blank of as many beats, in its place in the dance."""
    text = CLOG.format("Order: A B A2 B\n", f"{PARTS.strip()}\n\nA2: {said}")

    assert ["? 4 beats"] == body(text, "A2")
    assert ["A", "B", "A2", "B"] == danced(text)


def test_lengths_in_a_column_behind_rows_are_no_marks() -> None:
    """Numbers at the ends of most lines are how long these last, behind a hold of so many beats as well."""
    rows = "1. DS DS DS RS (L)   4\n2. DS DS DS RS (R)   4\n3. RPT 1 & 2   8\n4. STO (L), STO (R), HOLD 2   4"
    triple = ["DS(L) DS DS RS", "DS(R) DS DS RS"]

    assert [*triple * 2, "STO(L) STO(R)", "hold 2 beats"] == body(CLOG.format("", f"A (20 beats)\n{rows}"), "A")


def test_no_hour_is_lost_in_silence() -> None:
    """A facing that a repeat says is claimed behind it; one that is used nowhere is named."""
    again = LINE.format(16, "[1-8] Walk R, L, R, L, R, L, R, L\n[9-16] same 8 again  6:00")

    assert "S(R) S(L) S(R) S(L) S(R) S(L) S(R) S(L), facing 6:00" in body(again, "Main")


@pytest.mark.parametrize(
    ("entry", "wanted"),
    [
        ("Rocking Ch. = DS BR(sl) DS RS", "Rocking Chair: DS BR SL DS RS"),
        (
            "Clogover V. = DS DS(xif) DS DS(xib) DS DS(xif) DS RS",
            "Clog-over Vine: DS DS DS DS DS DS DS RS (xif, xib, xif)",
        ),
        (
            "Joey: DS b(xib) b(ots) b(ots) b(xib) b(ots) S  &1 & 2 & 3 & 4",
            "Joey: DS@1 BA@&2 BA@2 BA@&3 BA@3 BA@&4 S@4 (xib,",
        ),
    ],
)
def test_a_key_has_figures_by_short_names_and_on_counts(entry: str, wanted: str) -> None:
    """A name cut off by a full stop is the only figure that it begins; counts behind steps are theirs."""
    made = sc.draft(CLOG.format("", f"A (4)\nTriple\n\nSteps:\nTriple: DS DS DS RS\n{entry}"))

    assert wanted in made.text
    assert made.text.count("Triple\n") == 1


@pytest.mark.parametrize(
    ("said", "fields"),
    [
        ("MUSIC: LOW LAMPS BY THE REED TRIO - 120 BPM", "song: LOW LAMPS / artist: THE REED TRIO"),
        ("SONG: SIDE BY SIDE BY ADA REED", "song: SIDE BY SIDE / artist: ADA REED"),
        ("SONG: SIDE BY SIDE - ADA REED", "song: SIDE BY SIDE / artist: ADA REED"),
        ("TRACK: STAND BY ME - ADA REED", "song: STAND BY ME / artist: ADA REED"),
        ("SONG: DAY BY DAY", "song: DAY BY DAY"),
        ("CHOR. BY ADA REED-POOLE", "author: ADA REED-POOLE"),
        ("Choreo. by Ada Reed", "author: Ada Reed"),
        ("CHOREOGRAPHED BY ADA REED", "author: ADA REED"),
    ],
)
def test_by_parts_names_in_capitals(said: str, fields: str) -> None:
    """A `BY` stands between a song and its artist, or before a person, however it is set, unless the title says it."""
    made = sc.draft(f"OSIER ROW\n4 COUNTS, 1 WALL, LINE DANCE\n{said}\n\n1-4 VINE R, TOUCH L\n").text.splitlines()

    assert fields.split(" / ") == [line for line in made if line.startswith(("song:", "artist:", "author:"))]


@pytest.mark.parametrize(
    ("top", "title"),
    [
        ("tues class - new one!!\nlow lamps", "low lamps"),
        ("Thursday class!\nLow Lamps\nby Ada Reed", "Low Lamps"),
        ("new dance for this week\nlow lamps", "low lamps"),
        ("Thursday class!\nAda Reed", ""),
        ("Class notes, Wednesday beginners\nLOW LAMPS (waltz)", "LOW LAMPS"),
        ("Class Act\nAda Reed", "Class Act"),
        ("School Days\nlow lamps", "School Days"),
        ("Saturday class\nLOW LAMPS", "LOW LAMPS"),
        ("Thursday class!\nWater", "Water"),
        ("Thursday class!\nEasy Beginner\nLow Lamps", "Thursday class!"),
        ("card 14\nLow Lamps", "Low Lamps"),
        ("Card no. 7\nAda Reed - beginner", "Ada Reed"),
        ("Thursday class\nLow Lamps (easy beginner)", "Low Lamps"),
        ("Thursday class\nLOW LAMPS   music: Bell Row - the Reed Trio", "LOW LAMPS"),
    ],
)
def test_a_remark_on_the_class_over_the_title_is_no_title(top: str, title: str) -> None:
    """The title is the line below it, where that can be no person; else it stays open."""
    made = sc.draft(f"{top}\n4 counts, 1 wall, line dance\n\n1-4 vine R, touch L\n")

    assert [f"routine: {title}"] * bool(title) == [x for x in made.text.splitlines() if x.startswith("routine:")]
    assert title or any("Ada Reed" in said for said in made.open)


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("After wall 2 there is a gap in the song: 4 counts\nStomp R, stomp L, clap, clap", "STO(R) STO(L) CLAP CLAP"),
        ("after wall 2 theres a gap, 4 counts:\nstomp right, stomp left, clap, clap", "STO(R) STO(L) CLAP CLAP"),
        ("After wall 2 there's a gap in the music (4 counts): clap, clap, clap, clap", "CLAP CLAP CLAP CLAP"),
        ("There is a break after wall 2, 4 counts:\n1-4 Stomp R, stomp L, clap, clap", "STO(R) STO(L) CLAP CLAP"),
        ("After wall 2 the music pauses for 4 counts: hold 4 counts", "hold 4 counts"),
        ("After wall 2 there is a gap in the song, 4 counts:\nFlurb and sink", "? 4 counts"),
    ],
)
def test_a_tag_told_in_a_sentence_is_a_tag(said: str, wanted: str) -> None:
    """The counts that the music has more are danced behind their wall, and are none of the section above."""
    text = f"Osier Row\n8 counts, 1 wall, line dance\n\nfirst 8 - walk R L R, touch L, walk back L R L, touch R\n\n{said}\n"

    assert ["S(R) S(L) S(R) TCH(L) S(L) S(R) S(L) TCH(R)"] == body(text, "Main")
    assert [wanted] == body(text, "Tag")
    assert ["Main x2", "Tag", "Main until the music ends"] == danced(text)


def test_a_wall_that_is_back_at_the_front_faces_the_front() -> None:
    """`back at the front` names one wall, not two."""
    made = sc.draft(
        LINE.format(4, "1-4 vine R, touch L\nafter wall 4 (we're back at the front) a gap, 4 counts:\nclap x4")
    )

    assert "  Main x4\n  expect facing front\n  Tag " in made.text


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("DS RS  x4 (L R L R) ......... 8 beats", ["DS(L) RS DS(R) RS DS(L) RS DS(R) RS"]),
        ("DS RS (R L R L) x4 ...... 8", ["DS(R) RS DS(L) RS DS(R) RS DS(L) RS"]),
        ("DS DS DS RS  L, R - clap on the RS ... 8", ["DS(L) DS DS RS DS(R) DS DS RS"]),
        ("DS SLR S DS RS  R & L (Slur) .. 8", ["DS(R) SLR S DS RS DS(L) SLR S DS RS"]),
        ("DS BR SL DS RS  x2, \u00bd L each .... 8   (Rocking Chair)", ["Rocking Chair x2, turn 1/2 left"]),
        ("DS DS RS STO ....... 4   L R LR L", ["DS(L) DS(R) RS(L) STO(L)"]),
        ("\u2022 Triple \u2013 R \u2013 turn \u00bd left \u2013 4 beats", ["Triple, right foot, turn 1/2 left"]),
        ("- Chain (DS RS RS RS) - L - on the spot - 4 beats (hands down)", ["Chain, left foot"]),
    ],
)
def test_marks_behind_a_row_or_a_cue_stand_in_any_order(said: str, wanted: list[str]) -> None:
    """Times, feet, a turn and the length are the same marks behind dots, dashes and commas or in brackets."""
    assert wanted == body(CLOG.format("", f"A\n{said}"), "A")


@pytest.mark.parametrize(
    "head",
    [
        "--- A ---   2 beats, then repeat to the back (4)",
        "-- A -- (2 beats, repeat to the front)",
        "A: 2 beats, repeat",
        "--- A --- 2 beats x2 (4)",
        "--- A --- (2 beats, twice)",
    ],
)
def test_a_head_may_say_that_its_part_is_danced_again(head: str) -> None:
    """Dashes around a name make a head; behind its length stands how often, and that of all its times."""
    text = CLOG.format("Seq: A B A B\n", f"{head}\nBasic\n\n--- B ---   4 beats\nTriple")
    made = sc.draft(text)

    assert ["2 times:", "Basic"] == body(text, "A")[:2]
    assert ("part A: 4 beats" in made.text) == ("(4)" in head)
    assert not made.open


@pytest.mark.parametrize("label", ["{}.", "Section {}:", "{})"])
def test_a_section_may_begin_behind_its_number(label: str) -> None:
    """Counts behind a numbered line, which those of the next line go on from, are its own: it is danced and no title."""
    said = "\n\n".join(
        f"{label.format(number)} Vine right, touch left (1-4)\nWalk back L, R, L, touch R (5-8)" for number in (1, 2, 3)
    )
    made = body(LINE.format(24, said), "Main")

    assert ["S(L) S(R) S(L) TCH(R)"] * 3 == [line for line in made if "TCH" in line]
    assert 3 == sum("Vine" in line for line in made) and not any(line.startswith("?") for line in made)


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-2 Lunge R, recover L", ["RK(R) RC(L)"]),
        ("1-2 Shimmy shoulders for two counts", ["hold 2 counts"]),
        ("1-2 Jump forward R, L", ["S(R) S(L)"]),
        ("1-2 Jump both feet apart, jump together", ["JUMP JUMP"]),
        ("1&2 Kick & point", ["K@1 S@1& PT@2"]),
        ("1-3 Waltz forward L R L", ["Waltz Basic, left foot"]),
        ("1-4 3 step turn R, touch L & clap", ["Rolling Vine, right foot"]),
        ("1-4 Right vine touch", ["Vine, right foot"]),
        ("1-4 Pivot 1/2 L twice", ["Pivot Turn x2, turn 1/2 left"]),
        ("1-4 Two 1/4 pivots left", ["Pivot Turn x2, turn 1/4 left"]),
        ("1-4 Hip bumps: right, right, left, left", ["BUMP BUMP BUMP BUMP"]),
        ("1-4 Heel, toe, heel, toe swivels to R", ["SWIVEL SWIVEL SWIVEL SWIVEL"]),
        ("1-4 Touch R out in out in", ["TCH(R) TCH(R) TCH(R) TCH(R)"]),
        ("1-4 Side R together L fwd R touch L", ["S(R) S(L) S(R) TCH(L)"]),
        ("1-4 R side, L touch, 1/4 L on L, R touch", ["S(R) TCH(L) S(L) TCH(R), turn 1/4 left @3"]),
        ("1-4 Walk around 3/4 turn right R L R L", ["S(R) S(L) S(R) S(L), turn 3/4 right"]),
        ("1-4 Side rock R, cross R, hold", ["RK(R) RC(L) S(R) HOLD"]),
        ("1-4 R toe fans x2", ["FAN(R) FAN(R) FAN(R) FAN(R)"]),
        ("1-4 Heel splits twice", ["SPL SPL SPL SPL"]),
        ("1-4 Hands on hips, bump R L R L", ["BUMP BUMP BUMP BUMP"]),
        ("1-4 JB 1/4 R", ["Jazz Box, turn 1/4 right"]),
        ("1-4 GV R, touch", ["Vine, right foot"]),
        ("1-4 Sd R, cl L, sd R, tch L", ["S(R) CL(L) S(R) TCH(L)"]),
        ("1-8 Toe struts fwd R L R L", ["Toe Strut x4, right foot"]),
        (
            "1-8 Shuffle R, rock back, shuffle L, rock back",
            ["Shuffle, right foot", "RK RC", "Shuffle, left foot", "RK RC"],
        ),
    ],
)
def test_what_is_said_of_steps_in_many_ways(said: str, wanted: list[str]) -> None:
    """What goes without saying is danced: the recover of a rock, a foot for each of several figures, the same again."""
    assert wanted == body(LINE.format(8, f"{said}\n"), "Main")[: len(wanted)]
    assert not sc.draft(LINE.format(8, f"{said}\n")).open


@pytest.mark.parametrize(
    "said",
    [
        "1-4 Heel switches R L R, clap",
        "1-4 R knee in, out, in, out",
        "1-8 Nightclub R, nightclub L, step sweep, cross side",
    ],
)
def test_what_does_not_come_to_its_counts_is_open(said: str) -> None:
    """A figure of halves is not spread over whole counts among other steps, its feet are as many as its movements, and a
    knee that moves is no step."""
    assert sc.draft(LINE.format(8, f"{said}\n")).open


def test_a_row_of_which_one_figure_does_not_fit_is_one_blank() -> None:
    """No figure has counts that its neighbours would have to lend it."""
    said = "1-8 Nightclub R, nightclub L, step sweep, cross side"

    assert body(LINE.format(8, f"{said}\n"), "Main") == ["? 8 counts"]


@pytest.mark.parametrize(("said", "code"), [("Touch R out, in", "TCH(R)"), ("Touch R forward, in", "S")])
def test_only_what_goes_to_and_fro_is_the_same_touch_again(said: str, code: str) -> None:
    """Behind a touch that went elsewhere a place alone is a step."""
    assert body(LINE.format(2, f"1-2 {said}\n"), "Main") == [f"TCH(R) {code}"]


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Bring your left in and touch it beside right", "TCH(L)"),
        ("Lift L and hook across R shin", "HK(L)"),
        ("Pick up left foot and kick it", "K(L)"),
        ("Bring L beside R and step on it", "S(L)"),
        ("Place L out to the side, taking weight", "S(L)"),
        ("Place left behind right (weight on left)", "S(L)"),
        ("Put your left heel forward", "HT(L)"),
        ("Point L toes out to the side", "PT(L)"),
        ("Tap your left toes out in front", "TT(L)"),
    ],
)
@pytest.mark.parametrize("row", ["1-2 Step R forward, {}", "1-2 Step R forward\n{}", "Step R forward; then {} [1-2]"])
def test_a_step_is_told_by_how_its_foot_comes_there(said: str, wanted: str, row: str) -> None:
    """It is lifted or brought, and the verb behind says what it does; one that is put somewhere and has the weight then
    steps, and toes of one foot don't split."""
    text = LINE.format(4, row.format(said) + "\n3-4 Walk back R, L")

    assert body(text, "Main")[0] == f"S(R) {wanted}"
    assert not sc.draft(text).open


@pytest.mark.parametrize("said", ["Place L behind R", "Put left forward", "Bring R in and step L"])
def test_a_foot_that_may_have_the_weight_or_not_is_open(said: str) -> None:
    """No word says that it steps, or another foot does."""
    assert sc.draft(LINE.format(4, f"1-2 Step R forward, {said}\n3-4 Walk back R, L")).open


@pytest.mark.parametrize("said", ["pivot 1/2 R on L bringing R beside L", "Pivot half right on left stepping R beside"])
def test_a_pivot_on_one_foot_that_brings_the_other_is_a_step_that_turns(said: str) -> None:
    """As with `turn`."""
    text = LINE.format(4, f"1-4 Point R to side, {said}, point L to side, step L together")

    assert body(text, "Main") == ["PT(R) S(R) PT(L) S(L), turn 1/2 right @2"]


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Step L forward with weight, weight back on R", "RK(L) RC(R)"),
        ("Step left to side, weight to right", "RK(L) RC(R)"),
        ("L fwd taking weight, weight forward again on R", "RK(L) RC(R)"),
        ("Step L back, then weight onto R", "RK(L) RC(R)"),
        ("Step L forward, turn 1/2 R (weight on R)", "S(L) PV S(R), turn 1/2 right @2"),
    ],
)
def test_weight_that_goes_back_onto_the_other_foot_is_a_recover(said: str, wanted: str) -> None:
    """It has a count of its own then; behind a turn it is the foot of that."""
    assert body(LINE.format(4, f"1-2 {said}\n3-4 Walk back L, R"), "Main")[0] == wanted


def test_weight_on_the_other_foot_without_a_count_is_a_claim() -> None:
    """Where all counts have their steps nobody goes back."""
    text = LINE.format(4, "1-2 Step R forward, step L back, weight on R\n3-4 Walk back L, R")

    assert body(text, "Main")[:2] == ["S(R) S(L)", "expect left foot"]


@pytest.mark.parametrize(
    "said",
    [
        "Lift L and cross it in front of R shin (hook)",
        "Cross L in front of R shin",
        "Raise left and cross it over right knee",
        "hook L x R shin",
        "Cross L heel over your right leg",
    ],
)
def test_a_foot_that_crosses_the_other_leg_hooks(said: str) -> None:
    """No foot steps in front of a shin."""
    assert body(LINE.format(4, f"1-2 Step R forward, {said}\n3-4 Walk back L, R"), "Main")[0] == "S(R) HK(L)"


@pytest.mark.parametrize(
    "said",
    ["weave R side/behind/side/cross", "Weave R: side / behind / side / over", "Weave right (side/behind/side/cross)"],
)
def test_places_between_strokes_are_how_a_figure_goes(said: str) -> None:
    """The first of them is no way of the figure."""
    assert body(LINE.format(4, f"1-4 {said}"), "Main") == ["Weave, right foot"]


@pytest.mark.parametrize(
    ("join", "wanted"),
    [
        ("Step R back into L side", "S(R) S(L)"),
        ("R steps forward into back on L", "S(R) S(L)"),
        ("Step R behind L into Hitch (L knee)", "S(R) HITCH(L)"),
        ("Step R behind L   Hitch (L knee)", "S(R) HITCH(L)"),
        ("Step R behind L\tL: side", "S(R) S(L)"),
        ("Step R fwd. \u2192 Hook L", "S(R) HK(L)"),
        ("Step R back * -hold-", "S(R) HOLD"),
        ("Left over right into step back on right", "S(L) S(R)"),
        ("Step R beside L into L heel forward", "S(R) HT(L)"),
        ("Walk back R \u2026 present L heel", "S(R) HT(L)"),
        ("Step R back. After that touch L beside R", "S(R) TCH(L)"),
        ("Step R back, after that, kick L", "S(R) K(L)"),
    ],
)
def test_a_word_or_dots_lead_from_one_step_into_the_next(join: str, wanted: str) -> None:
    """Each has its count."""
    text = LINE.format(4, f"1-2 {join}\n3-4 Hold, hold")

    assert body(text, "Main")[0] == wanted
    assert not sc.draft(text).open


@pytest.mark.parametrize(
    "wall", ["@ 6:00", "<6:00>", "(6 o'c)", "{6 o\u2019clock}", "-- 6 o clock wall", "[6 oc]", "<6 o'clock>"]
)
@pytest.mark.parametrize("counts", ["1-2", "1~2", "1 ~ 2", "On 1 2:", "Counts 1\u20142:"])
def test_a_facing_is_read_behind_any_sign_and_however_short(wall: str, counts: str) -> None:
    """So are counts with a swung dash between them."""
    text = LINE.format(4, f"{counts} Step R forward, pivot 1/2 L {wall}\n3-4 Walk R, L")

    assert body(text, "Main")[0] == "S(R) PV S, turn 1/2 left @2, facing 6:00"
    assert not sc.draft(text).open


def test_a_title_that_names_the_class_too_leaves_the_line_below_to_the_song() -> None:
    """`Low Lamps - easy clog, Tuesday class` is the title with its level, and the same name below is the song."""
    top = 'Low Lamps - easy clog, Tuesday class (handout, keep it!)\n"Low Lamps" by Ada Reed, about 112.\n'

    text = sc.draft(f"{top}\nA\n2 Basics\nTriple\n\nOrder: A A\n").text

    assert "routine: Low Lamps\n" in text and "level: easy" in text and "song: Low Lamps\nartist: Ada Reed\n" in text


KEYED = (
    "Osier Row\n8 counts, 1 wall, line dance\n\n1-2 Kc R fwd, kc R sd\n3-4 R sd, L tog\n5-8 St R, st L, st R, clap\n"
)


@pytest.mark.parametrize(
    "key",
    [
        "KEY: kc = kick, sd = side, st = stomp, tog = together",
        "kc = kick, sd = side, st = stomp",
        "Key  kc kick   sd side   st stomp   tog together",
        "ABBREVIATIONS  kc kick   sd side\n               st stomp   tog together",
        "Abbreviations:\nkc kick\nsd side\nst stomp",
        "Key\nkc = kick\nsd = side\nst = stomp",
    ],
)
def test_a_key_holds_in_every_line_and_is_no_dance(key: str) -> None:
    """What the sheet says that its letters stand for is danced, also where the vocabulary has others for them."""
    text = f"{KEYED}\n{key}\n"

    assert body(text, "Main") == ["K(R) K(R)", "S(R) S(L)", "STO(R) STO(L) STO(R) CLAP"]
    assert not sc.draft(text).open


def test_letters_that_no_key_explains_are_open() -> None:
    """A sentence that begins with the word for it is none."""
    text = f"{KEYED}\nKey change in the music there, side by side\n"

    assert any("Kc R fwd" in line for line in sc.draft(text).open)
