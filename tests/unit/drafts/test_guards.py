"""What keeps a draft from saying anything else than its description: stated counts decide, nothing is lost silently."""

import re

import pytest

import stepcheck as sc
from stepcheck.pages import order

LINE = "Osier Row\n{} counts, 1 wall, line dance\n\n"
CLOG = "Osier Row (clogging)\nWait 8 beats, left foot lead\n\nA ({} beats)\n{}\nB (2 beats)\nBasic\nSequence: A B A\n"


def lines(text: str) -> list[str]:
    """Return the lines of the first part of a draft, without its head, comments and notes."""
    made = sc.draft(text).text
    body = made[made.index("\npart ") + 1 :].split("\n\n")[0].splitlines()[1:]
    return [bare for line in body if (bare := line.split("  #")[0].split(" (")[0].strip()) and bare[0] != "#"]


@pytest.mark.parametrize(
    ("counts", "said", "wanted"),
    [
        (4, "Jazz box - cross R, back L, side R, together L", ["Jazz Box, right foot"]),
        (4, "Jazz box turning 1/4 R, you know it: cross R, back L, turn, L together", ["Jazz Box, turn 1/4 right"]),
        (8, "Jazz box - stomp R, stomp L, clap, clap", ["Jazz Box", "STO(R) STO(L) CLAP CLAP"]),
        (3, "Jazz box - stomp R, stomp L, clap", ["STO(R) STO(L) CLAP"]),
    ],
)
def test_counts_choose_between_a_figure_and_its_steps(counts: int, said: str, wanted: list[str]) -> None:
    """A name, with steps behind a dash or a colon, is one or the other, or both where the counts say so."""
    assert [f"counts 1-{counts}:", *wanted] == lines(f"{LINE.format(counts)}Counts 1-{counts}\n{said}\n")


@pytest.mark.parametrize(
    ("line", "key"),
    [
        ("Music: anything by the Wet Spokes, about 100", "song"),
        ('Any steady tune will do, we use "Bellwether" by the Long Acre Trio', "song: Any"),
        ("Nan Ollerton (Sheepwash Social, Tuesdays) rev. 2   June", "June"),
        ("Music: Jam Tart Jive by the Pantry Kings (jive tempo, 148)", "Kings jive"),
    ],
)
def test_a_name_stands_as_it_is_written(line: str, key: str) -> None:
    """A title, a song or a person has no words of its neighbours in it; else the field stays open."""
    head = sc.draft(f"Osier Row\n8 counts, 1 wall, line dance\n{line}\n\nS1\n1-4 Vine R, touch L\n5-8 Vine L, touch R")

    assert not any(key in each for each in head.text.split("\npart ")[0].splitlines() if each[:1] != "#")


def test_a_section_that_comes_to_other_counts_is_a_blank_of_its_own() -> None:
    """What contradicts the counts that a section states is not believed, and what its lines are stands beside it."""
    text = f"{LINE.format(16)}Counts 1-8\nVine R, Vine L, stomp R\nCounts 9-16\nVine R, Vine L\n"
    made = sc.draft(text)

    assert ["counts 1-8:", "? 8 counts", "counts 9-16:", "Vine, right foot", "Vine, left foot"] == lines(text)
    assert "# Vine R, Vine L, stomp R" in made.text
    assert made.open[0].startswith("line 5: ")


@pytest.mark.parametrize(
    ("beats", "said", "wanted"),
    [
        (
            8,
            "4 ... Triple L, moving up: DS DS DS RS\n4 ... Triple R",
            ["Triple, left foot, 4 beats", "Triple, right foot, 4 beats"],
        ),
        (6, "6 ... Triple", ["? 6 beats"]),
        (8, "2 Triples, Basic", ["? 8 beats"]),
        (4, "Donkey, to the side\tDS K-H RS\tL R LR\t4", ["? 4 beats"]),
        (4, "Cog, to the left\tDS DS DS RS\tL R L RL\t4", ["Cog, left foot"]),
    ],
)
def test_rows_of_cues_come_to_their_beats(beats: int, said: str, wanted: list[str]) -> None:
    """A row of cues is what its beats allow, else a blank of them; a part never sums to more than it states."""
    assert wanted == lines(CLOG.format(beats, said))


@pytest.mark.parametrize("words", ["moving up", "left", "go fwd", "½ turn R"])
def test_words_of_a_cue_name_no_figure(words: str) -> None:
    """Where a dancer goes, or how far, is no figure, though codes stand behind it."""
    made = sc.draft(CLOG.format(4, f"4 ... Triple L, {words}: DS DS DS RS")).text

    assert re.findall(r"(?<=figures:\n)(?:  .+: .+\n)+", made) in ([], ["  Triple: DS DS DS RS\n"])


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("8 ... both triples again", ["2 times:", "Triple, left foot", "Triple, right foot"]),
        ("Same thing, opposite feet (8)", ["Triple, right foot", "Triple, left foot"]),
        (
            "8 ... both again, finish at (6:00)",
            ["2 times:", "Triple, left foot", "Triple, right foot", "expect facing 6:00"],
        ),
        ("8 ... both triples again, another ¼ turn L", ["? 8 beats"]),
        ("8 ... basic and triple again", ["? 8 beats"]),
        ("6 ... both triples again", ["? 6 beats"]),
    ],
)
def test_the_last_lines_are_danced_again_where_that_is_plain(said: str, wanted: list[str]) -> None:
    """The lines must be just the beats that are stated, and the figures that are named; else the row is open."""
    beats = 14 if wanted == ["? 6 beats"] else 16
    made = lines(CLOG.format(beats, f"(4) Triple L\n(4) Triple R\n{said}"))

    assert wanted == [line.replace(", 4 beats", "") for line in made[0 if wanted[0] == "2 times:" else 2 :]]


def test_counts_are_repeated_in_the_middle_of_a_line() -> None:
    """`5-8 repeat 1-4 (12:00)`: the same lines once more, which end facing 12:00."""
    text = f"{LINE.format(8)}S1: half turns\n1-2 Step R fwd, pivot 1/2 L (6:00); 3-4 repeat 1-2 (12:00)\n"
    pivots = ["S(R) PV S, turn 1/2 left @2, facing 6:00", "S(R) PV S, turn 1/2 left @2, facing 12:00"]

    assert ["counts 1-4:", *pivots] == lines(text)


def test_numbers_keep_their_role() -> None:
    """Counts up to 45 are no degrees, and a facing in the middle of a section is none of the whole."""
    text = f"{LINE.format(48)}- rock L back, recover R, L side (43-45)\n- R side, L together, R side (46-48)\n"
    told = f"{LINE.format(8)}First eight: step R, pivot 1/2 L (6:00), step R, pivot 1/2 L (12:00), walk R, L, R, L.\n"

    assert ["counts 43-48:", "RK(L) RC(R) S(L)", "S(R) S(L) S(R)"] == lines(text)
    assert "counts 1-8:" == lines(told)[0]


def test_an_unknown_title_is_a_note_of_the_steps_that_fit() -> None:
    """`River basic: forward, together, together` on three counts is its three steps."""
    assert ["counts 1-3:", "S(L) S(R) S(L)"] == lines(
        f"{LINE.format(3)}- L river basic: LF fwd, RF together, LF together (1-3)\n"
    )


def test_a_part_is_never_lost() -> None:
    """Heads may say more than their counts; rows numbered by their part are its steps; a part that isn't there is
    named."""
    text = """Osier Row
A = 8 counts, B = 4 counts
Order: A B A C
PART A (8 counts)
A1. Walk R, L, R, kick L
A2. Walk back L, R, L, touch R
PART B (4 counts, always at the front)
B1. Whirl like a reed
"""
    made = sc.draft(text)

    assert ["S(R) S(L) S(R) K(L)", "S(L) S(R) S(L) TCH(R)"] == lines(text)
    assert (
        "part B: 4 counts  # always at the front\n  expect facing front\n  # B1. Whirl like a reed\n  ? 4 counts"
        in made.text
    )
    assert "the order of the parts: no part C is read" in made.open


def test_a_tag_in_a_table_is_a_tag() -> None:
    """Its row says its counts and its wall; the rows below it are its steps."""
    rows = (
        "Counts\tSteps\tFacing\n1-4\tVine R\t12:00\nTag\t4 cts, after wall 2, you look at 12:00\n1-4\tVine L\t12:00\n"
    )
    made = sc.draft(LINE.format(4) + rows).text

    assert "part Tag: 4 counts\n  Vine, left foot" in made
    assert "  Main x2\n  expect facing 12:00\n  Tag" in made


@pytest.mark.parametrize(
    "said", ["A K-step of our own", "we add 4 counts of nothing here", "NB to finish: step R fwd, pivot 1/2 L, stomp R"]
)
def test_what_the_sheet_does_not_use_is_named(said: str) -> None:
    """A line among the steps that speaks of steps or counts and is not read is open."""
    text = f"{LINE.format(8)}Counts 1-4\nVine R\nCounts 5-8\n{said}\nVine L\n"

    assert any(said in each for each in sc.draft(text).open)


@pytest.mark.parametrize(
    "remark", ["P.S. Step lightly", "Abbreviations: DS = double step, RS = rock step", "Note: 2 steps"]
)
def test_remarks_say_no_steps(remark: str) -> None:
    """A postscript, a note, a list of abbreviations stand as they are."""
    made = sc.draft(CLOG.format(4, "Triple L") + remark + "\n")

    assert "figures:" not in made.text
    assert f"# {remark}" in made.text
    assert () == made.open


def test_a_letter_states_title_and_start() -> None:
    """The title stands before its counts; a word on which dancers start is no song."""
    made = sc.draft('Hello you,\nReed Cutter, 4 counts, 1 wall\nstart on the word "reed"\n\nCounts 1-4\nVine R\n').text

    assert "routine: Reed Cutter" in made
    assert "song:" not in made
    assert "author:" not in made
    assert '# start on the word "reed"' in made


@pytest.mark.parametrize(
    ("said", "wanted"),
    [("1-4  2 heel digs (right, left)", ["? 4 counts"]), ("1-4  R pivot 1/4 L x 2, as we like it", ["? 4 counts"])],
)
def test_what_fits_only_in_part_is_open(said: str, wanted: list[str]) -> None:
    """Feet behind several steps are theirs; a foot alone is no step."""
    assert wanted == lines(f"{LINE.format(8)}{said}\n5-8 Vine R\n")[1:-1]


def test_a_tag_whose_steps_are_not_read_is_a_blank() -> None:
    """It stands in the dance, with the counts that are stated of it, and is named as open."""
    made = sc.draft(f"{LINE.format(4)}1-4  Vine R\nTag: 8 counts at the end of wall 3: whirl about\n")

    assert "part Tag: 8 counts\n" in made.text
    assert "  ? 8 counts" in made.text
    assert any(said.startswith("line 5: Tag") for said in made.open)


def test_sections_run_on_through_their_part() -> None:
    """Sections that each count from one stand at their counts of the part."""
    text = LINE.format(8) + "S1\n1-4 Vine R\nS2\n1-4 Vine L\n"

    assert ["counts 1-4:", "Vine, right foot", "counts 5-8:", "Vine, left foot"] == lines(text)


def test_a_repeat_to_the_other_side_is_not_the_same_again() -> None:
    """Lines that are repeated to the right begin with the other foot."""
    made = lines(CLOG.format(8, "4 ... Triple L\n4 ... Repeat A to the right"))

    assert ["Triple, left foot, 4 beats", "Triple, right foot, 4 beats"] == made


def test_counts_that_go_back_are_the_counts_of_others() -> None:
    """`5-8: Repeat 1-4 on the other foot` lasts four counts; a section numbered by parts is danced again."""
    text = f"{LINE.format(16)}Part 1: vines\n1-4: Vine R\n5-8: Repeat 1-4 our own way\nPart 2: repeat part 1\n"
    made = ["Vine, right foot", "? 4 counts"]

    assert ["counts 1-8:", *made, "counts 9-16:", *made] == lines(text)


def test_a_heading_without_steps_is_open() -> None:
    """Nothing stands under it in the sheet, which is said."""
    text = f"{LINE.format(16)}S1: vines\n1-4 Vine R\nS2: whirls\nS3: vines\n1-4 Vine L\n"

    assert "line 6: nothing stands under it: S2: whirls" in sc.draft(text).open


def test_a_labelled_title_is_the_title() -> None:
    """`dance: …` names the dance wherever it stands above the steps, and `to: …` no song."""
    made = sc.draft(
        "to: the Reed Club\ndance: Reed Cutter (clogging)\nwait 8\nA: Triple\nB: Basic\nOrder: A B A\n"
    ).text

    assert "routine: Reed Cutter" in made
    assert "song:" not in made


def test_rows_that_state_their_counts_stand() -> None:
    """What contradicts them among lines without counts is a comment, and a length of the whole that they don't make is
    named, the rows stay."""
    rows = "1 2\tStep R fwd, step L fwd\n3 4\tStep R back, step L together\n"
    head = "Osier Row\nA = 4 counts, B = 4 counts\nOrder: A B A\nPART A\n"
    made = ["S(R) S(L)", "S(R) S(L)"]
    more = f"{LINE.format(4)}Counts 1-4\nVine R, Vine L\n{rows}"
    short = f"{head}A1: Walks, and together [1-4]\n{rows}PART B\n{rows}"

    assert ["counts 1-4:", *made] == lines(short) == lines(short.replace("A = 4", "A = 8"))
    assert "A: 8 counts are stated, 4 are read" in sc.draft(short.replace("A = 4", "A = 8")).open
    assert ["counts 1-4:", *made] == lines(more)
    assert "Vine R, Vine L\n" in sc.draft(more).text
    assert sc.draft(more).understood


def test_lettered_titles_head_sections() -> None:
    """`A. Vines` over counted steps is the head of a section, and says no steps of its own."""
    text = f"{LINE.format(8)}A. Vine R and L\n1-2 Walk R, L. 3-4 Walk R, L\n\nB. Walks\n1-2 Walk R, L\n3-4 Walk R, L\n"
    made = ["S(R) S(L)", "S(R) S(L)"]

    assert ["counts 1-4:", *made, "counts 5-8:", *made] == lines(text)


def test_the_head_row_of_a_table_says_what_its_columns_are() -> None:
    """Beats are no times, a foot is the figure's, notes are notes, through all parts of the table; a row that does not
    come to its beats is a blank of them."""
    rows = (
        "Step\tFoot\tBeats\tNotes\nPart A\t\t28\t\nTriple\tL\t4\tfwd\n2 Basics\tL R\t4\t1/4 L on each\nTriple\tR\t6\t\n"
    )
    again = "Repeat Part A so far\t\t14\tends facing front\nPart B\t\t4\t\nDS RS Stomp Stomp\tL RL R L\t4\t\n"
    made = sc.draft(f"Osier Row (clogging)\nwait 8\nSequence: A B A\n{rows}{again}").text

    assert (
        "Triple, left foot, 4 beats (forward)\n    Basic x2, left foot, 4 beats, turn 1/4 left\n    ? 6 beats" in made
    )
    assert "part B: 4 beats\n  DS(L) RS(R) STO(R) STO(L), 4 beats" in made
    assert "2 times:" in made


@pytest.mark.parametrize(
    "legend",
    [
        "tog = together, bk = back",
        "tg = together / frt = front / wk = walk",
        "Dear all, mind that RF = right foot, LF = left foot.",
    ],
)
def test_abbreviations_that_are_explained_are_no_steps(legend: str) -> None:
    """What abbreviations stand for is a comment, above the steps and behind them."""
    for text in (f"Osier Row\n{legend}\n\n1-4 Vine R\n", f"Osier Row\n\n1-4 Vine R\n{legend}\n"):
        made = sc.draft(text)
        assert ["counts 1-4:", "Vine, right foot"] == lines(text)
        assert (f"# {legend.rstrip('.')}" in made.text, made.open) == (True, ())


def test_a_part_in_the_sequence_may_be_cut() -> None:
    """`A(1-4)` is the first four counts of A; `3 4  Repeat 1-2` dances these counts again."""
    head = "Osier Row\nA = 4 counts, B = 4 counts\nOrder: A B A(1-2)\n"
    text = f"{head}PART A\n1 2\tWalk R, L\n3 4\tRepeat 1-2\nPART B\n1-4 Vine R\n"

    assert sc.draft(text).text.endswith("dance:\n  A\n  B\n  A, first 2 counts\n")
    assert ["counts 1-4:", "S(R) S(L)", "S(R) S(L)"] == lines(text)


def test_a_turn_is_never_lost() -> None:
    """Two turns to both sides on a count and its half stand in no row, which is then a blank."""
    said = "1& ½ turn L stepping R back, ½ turn R stepping L fwd (12:00)"

    assert "? 1 count" in lines(f"{LINE.format(4)}S1: turns\n{said}\n2-4 Walk R, L, R\n")


@pytest.mark.parametrize(
    ("beats", "said", "wanted"),
    [
        (8, "(8) Otter L & R    DS DS DS RS", ["Otter, left foot", "Otter, right foot"]),
        (8, "Triple fwd, Triple back    DS DS DS RS", ["Triple", "Triple"]),
        (8, "(8) 2 Otters    DS DS DS RS", ["Otters x2, 8 beats"]),
        (12, "(8)  Otter L    DS DS DS RS\n(4)  Triple L", ["? 8 beats", "Triple, left foot, 4 beats"]),
        (8, "(8) Samantha    DS  DSxif  DR-S  DR-S  RS  DS  DS  RS", ["Samantha, 8 beats"]),
    ],
)
def test_a_named_row_is_a_cue_of_its_beats(beats: int, said: str, wanted: list[str]) -> None:
    """Both feet are two times, a direction is a note; a row that does not come to its beats is a blank of just these."""
    assert wanted == lines(CLOG.format(beats, said))


def test_a_list_of_figures_is_no_part_of_the_dance() -> None:
    """Under a heading of its own it spells the figures; what is not understood of it is open."""
    text = (
        CLOG.format(4, "Triple L")
        + "End with a stomp on L\n\nSteps:\nOtter - DS DS RS\nTriple - DS DS DS RS\nEel - whirl\n"
    )
    made = sc.draft(text)

    assert "  Otter: DS DS RS\n  Triple: DS DS DS RS\n" in made.text
    assert "part Ending:\n  Stomp, left foot\n\n" in made.text
    assert ("line 14: Eel - whirl",) == made.open


def test_a_row_of_words_between_counts_that_run_on_is_a_title() -> None:
    """It heads the section of the rows below it; where counts lack between, it stays open."""
    rows = "Counts\tSteps\tFacing\n\tVine out\t\n1-4\tVine R\t12:00\n\tVine back\t\n{}\tVine L\t12:00\n"
    made = ["counts 1-4:", "Vine, right foot, facing 12:00", "counts 5-8:", "Vine, left foot, facing 12:00"]

    assert made == lines(LINE.format(8) + rows.format("5-8"))
    assert any("Vine back" in said for said in sc.draft(LINE.format(12) + rows.format("9-12")).open)


@pytest.mark.parametrize(
    ("top", "title", "author"),
    [
        (
            "Hi everyone,\nhere is Tuesday's dance.\n\nReed Cutter\n8 counts, 1 wall\nBy Nan Ollerton",
            "Reed Cutter",
            "Nan Ollerton",
        ),
        (
            "From: Bo Lee\nSubject: steps for Reed Cutter\n\n8 counts, 1 wall, by Nan Ollerton",
            "Reed Cutter",
            "Nan Ollerton",
        ),
        ("Sheet no. 7\nREED CUTTER\nline dance by Nan Ollerton\n8 counts, 1 wall", "REED CUTTER", "Nan Ollerton"),
    ],
)
def test_letters_and_handouts_name_their_dance(top: str, title: str, author: str) -> None:
    """Neither a greeting, a sender nor the number of a handout is the title, and no title is a person."""
    made = sc.draft(f"{top}\n\n1-4 Vine R\n5-8 Vine L\n").text

    assert (f"routine: {title}\n" in made, f"author: {author}\n" in made) == (True, True)


def test_where_a_wall_starts_is_not_where_its_restart_faces() -> None:
    """`Wall 3 (starts at the front), after count 4, facing 6:00` expects 6:00 behind the four counts."""
    text = (
        f"{LINE.format(8)}1-4 Vine R\n5-8 Vine L\nRestart: wall 3 (starts at the front), after count 4, facing 6:00\n"
    )

    assert "expect facing 6:00" in sc.draft(text).text


def test_a_name_in_brackets_behind_its_steps_is_theirs() -> None:
    """The counts are those of the steps: the name says what they are together."""
    assert ["S(R) S(L) S(R) S(L)"] == lines(f"{LINE.format(4)}1-4 R over L, L back, R to right, L fwd (jazz box)\n")[1:]


def test_feet_behind_a_figure_are_its_feet() -> None:
    """`stepping RLR` says which feet dance the shuffle, and no steps behind it."""
    made = ["RK(R) RC(L)", "Shuffle, right foot, turn 1/2 right"]

    assert made == lines(f"{LINE.format(4)}R rock fwd, rec L, shuffle ½ R stepping RLR   1-2 3&4\n")[1:]


def test_the_walls_of_a_dance_of_parts_are_open() -> None:
    """They are about one part that is danced over and over: of several parts the sheet can't claim them."""
    made = sc.draft("Osier Row\n2 walls, A = 4 counts, B = 4 counts\nOrder: A B A\nA: 1-4 Vine R\nB: 1-4 Vine L\n")

    assert "\n# walls: 2\n" in made.text
    assert ("the number of walls, 2, is said of no single part",) == made.open


def test_each_line_is_made_plain_once_where_the_sequence_is_looked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whether a line begins with a name is asked for each name of each line; its plain words are made once."""
    asked: list[str] = []
    plain = order.plain
    monkeypatch.setattr(order, "plain", lambda text: asked.append(text) or plain(text))
    texts = [f"Wherry {number} hop" for number in range(60)]
    assert ((), -1) == order.named_in_order(texts)
    assert len(asked) <= 3 * len(texts)


@pytest.mark.parametrize("heading", ["Key", "What the names are", "For the new folks:", "STEPS WE USE", "Footwork:"])
@pytest.mark.parametrize("entry", ["{} - {}", "{}: {}", "{} = {}", "{}      {}", "2\t{}\tL\t{}"])
def test_a_list_of_figures_behind_the_last_part_is_not_danced(heading: str, entry: str) -> None:
    """Whatever the heading over it, and however its entries are set, a list of figures adds nothing to the last part."""
    text = CLOG.format(4, "Triple") + f"\n{heading}\n{entry.format('Triple', 'DS DS DS RS')}\nMind the gap with 3\n"
    made = sc.draft(text + entry.format("Cog Wheel", "DS RS") + "\n")
    last = made.text[made.text.index("part B:") :].split("\n\n")[0]

    assert "part B: 2 beats\n  Basic" == last
    assert "  Triple: DS DS DS RS" in made.text
    assert "  Cog Wheel: DS RS" in made.text
    assert any("Mind the gap with 3" in each for each in made.open)


@pytest.mark.parametrize(
    ("beats", "said", "wanted"),
    [
        (
            8,
            "(4) Triple L\n(2) Stomp L, stomp R\n(1) Stomp R\n(1) Clap",
            ["Triple, left foot, 4 beats", "STO(L) STO(R)"],
        ),
        (
            16,
            "(4) Triple, fwd\n(4) Triple, back\n(8) Fancy Double, Fancy Double",
            ["Triple, 4 beats", "Triple, 4 beats", "Fancy Double", "Fancy Double"],
        ),
        (32, "(4) Triple\n(4) Fancy Double", ["Triple x4", "Fancy Double x4"]),
        (12, "(1) Triple\n(2) Fancy Double", ["Triple", "Fancy Double x2"]),
        (8, "(2) Triple\n", ["Triple x2"]),
    ],
)
def test_what_fills_the_part_says_whether_numbers_are_beats_or_times(beats: int, said: str, wanted: list[str]) -> None:
    """A number in brackets before a cue is its beats or its times: of a whole sheet, what its lines and lengths say."""
    assert wanted == lines(CLOG.format(beats, said))[: len(wanted)]


def test_numbers_that_count_the_lines_are_no_beats() -> None:
    """`1 2 Triples`, `2 4 Basics`, `3 2 Charlestons`: behind the number of its line stands how often each is danced."""
    text = CLOG.format(24, "1 2 Triples\n2 4 Basics\n3 2 Charlestons")

    assert ["Triple x2", "Basic x4", "Charleston x2"] == lines(text)
    assert () == sc.draft(text).open


@pytest.mark.parametrize(
    "rows",
    [
        "1-4 Triple\n5-8 2 Basics\n9-16 Cowboy",
        "1 - 4 Triple\n5 - 8 2 Basics\n9 - 16 Cowboy",
        "Triple [1-4]\n2 Basics [5-8]\nCowboy [9-16]",
        "Triple (1-4)\n2 Basics (5-8)\nCowboy (9-16)",
        "Triple\t1-4\n2 Basics\t5-8\nCowboy\t9-16",
    ],
)
def test_beats_that_run_on_are_those_of_their_lines(rows: str) -> None:
    """Before the cues or behind them they are no times and no names, and what lasts otherwise is a blank of them."""
    assert ["Triple", "Basic x2", "Cowboy"] == lines(CLOG.format(16, rows))
    assert ["Triple", "? 4 beats", "Cowboy"] == lines(CLOG.format(16, rows.replace("2 Basics", "3 Basics")))


@pytest.mark.parametrize(
    "said", ["1/2 Triple", "Half a Triple", "Triple and a half", "Triple (double time)", "Triple at half speed"]
)
def test_part_of_a_figure_or_another_speed_is_open(said: str) -> None:
    """A half of a figure is no half turn, and at another speed it does not last as long: how long is not guessed."""
    assert ["Basic", "Basic"] == lines(CLOG.replace(" ({} beats)", "").format(f"Basic\n{said}\nBasic"))
    assert ["Basic", "? 2 beats", "Basic"] == lines(CLOG.format(6, f"Basic\n{said}\nBasic"))
    assert sc.draft(CLOG.format(6, f"Basic\n{said}\nBasic")).open


@pytest.mark.parametrize(
    ("said", "times"), [("repeat once more", 2), ("repeat twice more", 3), ("do that 2 more times", 3), ("twice", 2)]
)
def test_how_often_more_is_counted_from_the_first_time(said: str, times: int) -> None:
    """What is danced twice more is danced three times in all."""
    made = lines(CLOG.replace(" ({} beats)", "").format(f"2 Triples\nCowboy\n{said}"))

    assert [f"{times} times:", "Triple x2", "Cowboy"] == made


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Triple L R L R L", ["Triple, left foot"]),
        ("Triple L R L", []),
        ("Triple L & R", ["Triple, left foot", "Triple, right foot"]),
        ("Step L, R, L, touch R", ["S(L) S(R) S(L) TCH(R)"]),
        ("Stomp L, R", ["STO(L) STO(R)"]),
        ("Skip the Triple", []),
        ("Leave out the Cowboy", []),
    ],
)
def test_several_feet_are_those_of_the_steps_or_of_the_times(said: str, wanted: list[str]) -> None:
    """Feet that are neither are open; what is left out has no beats."""
    made = lines(CLOG.replace(" ({} beats)", "").format(f"Basic\n{said}\nBasic"))

    assert ["Basic", *wanted, "Basic"] == made


def test_a_head_may_say_how_often_its_part_is_danced() -> None:
    """`B x 2 (4)` begins B."""
    made = sc.draft("Osier Row (clogging)\n\nA (8) x2\n2 Triples\nB x 2 (4)\n2 Basics\nOrder: A B A\n").text

    assert "part A:" in made and "\npart B:" in made
    assert "  2 times:  # x 2\n    beats 1-4:\n      Basic x2" in made


@pytest.mark.parametrize(
    ("behind", "wanted"),
    [
        ("A x2\nB\n", ["A", "B", "A", "B"]),
        ("Order: A x2, B, A x2\n", ["A x2", "B", "A x2"]),
        ("Order: A A B A A\n", ["A", "A", "B", "A", "A"]),
        ("Order: A B A\n", ["A", "B", "A"]),
    ],
)
def test_a_part_that_its_head_says_twice_is_danced_no_four_times(behind: str, wanted: list[str]) -> None:
    """It is danced again in itself or by the order, and not by both."""
    made = sc.draft(f"Osier Row (clogging)\n\nA x2\nTriple\nB\nBasic\n{behind}").text
    again = not any("x2" in each for each in wanted) and "A A" not in " ".join(wanted)

    assert ("2 times:" in made) is again
    assert wanted == [line.strip() for line in made.split("\ndance:\n")[1].splitlines()]


def test_totals_so_far_are_no_length_of_the_part() -> None:
    """`= 8` in the middle of a part and `= 16` at its end: the part lasts sixteen beats; one that is wrong is open."""
    text = CLOG.replace(" ({} beats)", "").format("2 Triples\n= {}\nCowboy\n= 16")
    made = sc.draft(text.replace("{}", "8"))

    assert "part A: 16 beats\n  Triple x2\n  Cowboy\n\n" in made.text
    assert () == made.open
    assert any("= 12" in each for each in sc.draft(text.replace("{}", "12")).open)


def test_a_head_under_which_nothing_stands_is_not_lost() -> None:
    """What it says is open where no order names it, and its lines may stand under its next place."""
    text = "Osier Row (clogging)\n\nA\nTriple\nBreak (just wiggle)\nB\nBasic\n{}"
    made = sc.draft(text.format("Break\nTriple\n")).text

    assert "line 5: nothing stands under it: Break (just wiggle)" in sc.draft(text.format("Order: A B A\n")).open
    assert "part B:\n  Basic\n\npart Break:" in made
    assert made.endswith("dance:\n  A\n  Break\n  B\n  Break\n")


@pytest.mark.parametrize("often", ["twice", "x2"])
def test_how_often_behind_a_list_is_of_all_or_of_the_last(often: str) -> None:
    """Which of both is not said: the line is open, and a blank of what its part has left."""
    text = f"Triple\nBasic, Triple, {often}"

    assert ["Triple"] == lines(CLOG.replace(" ({} beats)", "").format(text))
    assert ["Triple", "? 12 beats"] == lines(CLOG.format(16, text))


def test_a_figure_that_is_danced_again_is_no_repeat_of_its_part() -> None:
    """`Repeat Cowboy` is one more Cowboy."""
    made = lines(CLOG.replace(" ({} beats)", "").format("Triple\nCowboy\nRepeat Cowboy"))

    assert ["Triple", "Cowboy", "Cowboy"] == made


@pytest.mark.parametrize("said", ["This is fun, that is great.", "Ab = abc, it = that", "CH = chorus, BR = break"])
def test_only_abbreviations_in_capitals_are_written_out(said: str) -> None:
    """No word of the language and no name of a part is replaced, whatever a line says that it is."""
    made = lines(f"{said}\n" + CLOG.replace(" ({} beats)", "").format("Triple\nCowboy\ndo it all again"))

    assert ["2 times:", "Triple", "Cowboy"] == made


def test_a_row_of_a_table_loses_no_column() -> None:
    """What stands in a column whose head says nothing known is said of its row; a number of the row is not."""
    rows = "#\tStep\tBeats\tFoot\tHow\n1\tTriple\t4\tL\tturn 1/4 L\n2\t2 Basics\t4\tR\t\n"
    made = lines(f"Osier Row (clogging)\n\nPart A\n{rows}")

    assert ["Triple, left foot, 4 beats, turn 1/4 left", "Basic x2, right foot, 4 beats"] == made


@pytest.mark.parametrize(
    ("head", "field", "value"),
    [
        ("choreo by Nan Ollerton\nSeq: Wait 8 - A x2 - B - A", "author", "Nan Ollerton"),
        ("choreo: Nan Ollerton\n32 counts, NO RESTARTS", "author", "Nan Ollerton"),
        ("choreo: Nan Ollerton (ver. 2, one line mended)", "author", "Nan Ollerton"),
        ("choreo: Nan Ollerton, spring social", "author", "Nan Ollerton"),
        ("by Nan Ollerton (Sheepwash Club)", "author", "Nan Ollerton (Sheepwash Club)"),
        ("steps by Nan Ollerton & Ada Pell", "author", "Nan Ollerton & Ada Pell"),
        ("routine: Nan Ollerton", "author", "Nan Ollerton"),
        ("taught at Weir Hall", "author", ""),
        ('"Boil Up", about 2 min 40', "artist", ""),
        ('"Boil Up" by Ada Pell but anything will do', "artist", "Ada Pell"),
        ('"beginner" if you ask', "song", ""),
    ],
)
def test_a_field_of_the_header_takes_only_what_is_its_own(head: str, field: str, value: str) -> None:
    """What stands beside people and music, or on another line, is no part of their names, and no length is an artist."""
    text = sc.draft(f"Osier Row (clogging)\n{head}\n\nA\nTriple\nBasic\n\nB\nBasic\n").text

    assert [value] * bool(value) == re.findall(rf"(?m)^{field}: (.*)$", text)
    assert "routine: Osier Row\n" in text


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Repeat that (4)", ["2 times:", "Basic x2", "Triple"]),
        ("Do this 3 times", ["3 times:", "Basic x2", "Triple"]),
        ("Same again w/ your arms up (4)", ["Basic x2", "? 4 beats", "Triple"]),
    ],
)
def test_a_repeat_ahead_of_other_lines_is_of_the_lines_before_it(said: str, wanted: list[str]) -> None:
    """It spans what fills the part; where it says more than that it repeats, it is a blank of its beats."""
    total = 16 if "3" in said else 12
    assert wanted == lines(CLOG.format(total, f"2 Basics\n{said}\nTriple"))


@pytest.mark.parametrize("said", ["½A = just the first line (2)", "Cog = the wheel one", "\nodd leftover: STO on L"])
def test_what_explains_or_stands_apart_is_no_step_of_its_part(said: str) -> None:
    """What a word means, and what a label tells apart, is open and adds no beats."""
    made = sc.draft(CLOG.format(4, f"Triple\n{said}"))

    assert "part A: 4 beats\n  Triple\n\n" in made.text
    assert any(said.strip()[:15] in each for each in made.open)


def test_beats_that_are_missing_are_a_blank() -> None:
    """A part that comes to fewer beats than it states ends with the rest of them as a blank, and is open."""
    made = sc.draft(CLOG.format(16, "4  Triple\n4  Fancy Double\n8  Do the dance so far once more"))

    assert 16 == sum(
        int(n) for n in re.findall(r"(\d+) beats", made.text.split("part A: 16 beats")[1].split("\n\n")[0])
    )


@pytest.mark.parametrize(
    "said",
    [
        "4 Basics, finish the turn",
        "Triple and two of whatever (4)",
        "2 Basics, but the second one slow (4)",
        "Triple, opposite foot",
        "DS DS DS RS   8 - R",
        "8 Stomps (L R L R L R L R), clap on 4 and 8",
    ],
)
def test_a_cue_that_its_reading_does_not_account_for_is_a_blank(said: str) -> None:
    """A foot, a turn, a number or a word of change that no line of the reading holds makes a blank, named as open."""
    text = CLOG.replace(" ({} beats)", "").format(said)

    assert sc.draft(text).open and not [each for each in lines(text) if each[0] != "?"]


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        (
            "Chain L, Chain R (DS RS RS RS), 1/4 R ON EACH",
            ["Chain, left foot, turn 1/4 right", "Chain, right foot, turn 1/4 right"],
        ),
        ("2 Fancy Doubles, full turn left over both", ["Fancy Double x2, turn 1/2 left"]),
        ("2 Trpls (L, R)", ["Triple x2, left foot"]),
        ("Triple L\nTriple, opp. footwork", ["Triple, left foot", "Triple, right foot"]),
        ("Vine L\nBasic\nVine R again, opp. foot (4)", ["Vine, left foot", "Basic", "Vine, right foot"]),
        ("Basic\nTriple\nBoth of these 2 more times, once to each wall (12)", ["3 times:", "Basic", "Triple"]),
        ("2 Basics L & R, 1/4 L on the second basic", ["Basic x2, left foot, turn 1/4 left on 2nd"]),
        ("STO  CLAP  DS  RS\nL    -     R   LR", ["STO(L) CLAP DS(R) RS(L)"]),
    ],
)
def test_marks_of_several_cues(said: str, wanted: list[str]) -> None:
    """What is said of each, of both, of the other foot or of more times is that, and nothing else."""
    assert wanted == lines(CLOG.replace(" ({} beats)", "").format(said))


def test_a_turn_between_two_cues_is_open() -> None:
    """It may be that of the cue before, or a step of its own."""
    text = CLOG.replace(" ({} beats)", "").format("Push Off L, 360 L, Push Off R")

    assert ["Push-off, right foot"] == lines(text)
    assert ("line 5: Push Off L, full L",) == sc.draft(text).open


def test_an_abbreviation_that_the_sheet_explains_is_written_out() -> None:
    """A line of the sheet says what its words mean; the others are read with them."""
    text = CLOG.format(8, "2 RKG CHRS").replace("Sequence:", "FCG = facing, RKG = rocking, CHRS = chairs\nSequence:")

    assert ["Rocking Chair x2"] == lines(text)


@pytest.mark.parametrize(
    ("order", "wanted"),
    [
        ("V Ch V Ch Br Ch", ["Verse", "Chorus", "Verse", "Chorus", "Break", "Chorus"]),
        ("V, Ch (once, no turn), Br", ["Verse", "# Chorus (once, no turn)", "Break"]),
        ("V - Ch- - Br - V", ["Verse", "# Chorus-", "Break", "Verse"]),
    ],
)
def test_an_order_by_short_names_is_that_of_the_parts_and_what_changes_one_is_none(
    order: str, wanted: list[str]
) -> None:
    """A short name is the only head that it can be of; a part that is danced otherwise there is a comment, and open."""
    parts = "Verse (4)\nTriple\nChorus (4)\n2 Basics\nBreak (2)\nBasic\n"
    made = sc.draft(f"Osier Row (clogging)\nWait 8 beats, left foot lead\n\n{parts}\nSEQ: {order}\n")

    assert wanted == [each.strip() for each in made.text.split("\ndance:\n")[1].splitlines() if each]
    assert [each for each in wanted if each[0] == "#"] == [
        f"# {each.removeprefix('the order of the parts: ')}" for each in made.open
    ]


def test_letters_that_the_sheet_explains_are_figures_beside_a_number_or_a_foot() -> None:
    """`B = basic` is a Basic in `4 B`, and part B stays one; figures that only cloggers dance say the tradition."""
    text = "Osier Row\n\nB = basic, T = triple, FD = fancy double, PO = push off\nA 16\n4 B  8\nT L, T R  8\nB 12\n2 FD  8\nPO L  4\nSeq A B A\n"

    assert ["Basic x4", "Triple, left foot", "Triple, right foot"] == lines(text)
    assert "part B: 12 beats\n  Fancy Double x2\n  Push-off, left foot\n" in sc.draft(text).text


def test_counts_behind_cues_are_how_long_they_last() -> None:
    """A column of counts behind the cues of a part, `5-8`, `1&2 3&4`."""
    text = CLOG.format(
        16, "Basic L    1-2\nBasic R    3-4\nRocking chair, 1/4 L    5-8\nSailor L    9-12\nDS BR UP, L then R    13-16"
    )

    assert ["Basic, left foot", "Basic, right foot", "Rocking Chair, turn 1/4 left", "? 4 beats"] == lines(text)[:4]
    assert ["DS(L) BR UP DS(R) BR UP"] == lines(text)[4:]


def test_half_of_a_part_that_has_its_own_lines_is_a_part() -> None:
    """`½ Chorus` over lines is no line of the part before it."""
    parts = "Verse\nTriple\nChorus\n2 Basics\n1/2 Chorus\nBasic\n"
    made = sc.draft(f"Osier Row (clogging)\n\nSequence: Verse, Chorus, ½ Chorus, Verse\n\n{parts}").text

    assert "part Half Chorus:\n  Basic\n" in made and made.endswith("  Verse\n  Chorus\n  Half Chorus\n  Verse\n")


def test_how_often_is_not_said_of_the_last_of_several_steps() -> None:
    """`rock L, step R four times` may be both, four times: it is a blank."""
    assert "? 4 beats" in lines(CLOG.format(4, "rock L, step R four times"))


def test_a_row_of_a_table_is_what_its_call_says() -> None:
    """`same` is the row above with the feet beside it, a foot for each time is each one's, several rows are one cell."""
    table = (
        "Beats\tCall\tFootwork\tFeet\tNotes\n4\tSlur Left\tDS SLUR S DS RS\tL R R L RL\n4\tSlur Right\tsame\tR L L R LR\n"
        "8\t4 Basics\tDS RS\tL, R, L, R\tfull turn L\n4\t4 Toe-Heels\tTH TH TH TH\tL R L R\n20\tRepeat all\t\t\tend facing front\n"
    )
    made = lines(f"Osier Row (clogging)\n\nPART A\t40\n{table}")

    assert "Slur, right foot, 4 beats" in made and "Basic x4, left foot, 8 beats, turn 1/4 left" in made
    assert "Toe-Heel x4, left foot, 4 beats" in made


def test_fields_behind_a_row_are_its_beats_and_its_foot() -> None:
    """`- 8 - L`, and `x2 the lot` below; feet that are neither those of the codes nor of all but the claps are a doubt."""
    said = "DS RS DS RS / DS DS DS RS  - 8 - L\nSTO clap STO clap  - 4 - L R\nx2 the lot"
    made = lines(CLOG.format(24, said))

    assert ["2 times:", "DS(L) RS DS RS DS DS DS RS", "STO(L) CLAP STO(R) CLAP"] == [
        each for each in made if "beats" not in each
    ]
    assert "? 4 beats" in lines(CLOG.format(4, "DS DS DS RS\nL R L R L R L"))


_UNDER = "1-2 R fwd, pivot 1/4 L\n3-4 R fwd, pivot 1/4 L\n5-8 rock R fwd, rec L, rock R back, rec L\n"
_TABLE = "Count\tSteps\tFoot\n{}\t2 PIVOTS, ROCKING CHAIR\t\n" + _UNDER.replace("-2 ", "-2\t").replace(
    "-4 ", "-4\t"
).replace("-8 ", "-8\t")


@pytest.mark.parametrize(
    "section",
    [
        *(
            f"{head}\n{_UNDER}"
            for head in (
                "A1 (1-8)  2 quarter pivots, rocking chair",
                "S1: 2 pivots 1/4, rocking chair",
                "Section 1 - 2 pivots 1/4 L, rocking chair (8 counts)",
                "SET 1, counts 1-8: 2 pivots, 1 rocking chair",
            )
        ),
        *(_TABLE.format(head) for head in ("Section 1", "S1", "[1-8]", "Part 1")),
        "A1 (1-8)  2 pivots\n" + re.sub(r"(?m)^\d-\d ", "", _UNDER),
    ],
)
def test_a_heading_that_names_the_lines_under_it_is_a_title(section: str) -> None:
    """Where the lines under a heading come to its counts by themselves, nothing of it is danced, and nothing is open."""
    made = sc.draft(f"Osier Row\n8 counts, 2 walls, line dance\n\n{section}")

    assert "counts 1-8:" in made.text
    assert made.text.count("turn 1/4 left @2") == 2
    assert "?" not in made.text
    assert not made.open


def test_a_heading_that_alone_comes_to_its_counts_is_danced() -> None:
    """Where the lines under it come to fewer, and it comes to just its counts, it is danced, and they are open."""
    made = sc.draft(
        "Osier Row\n8 counts, 2 walls, line dance\n\nS1 (1-8): 2 step touches, rocking chair\n1-4 step R side, touch L, step L side, touch R\n"
    )

    assert "Step Touch x2" in made.text
    assert "Rocking Chair" in made.text
    assert made.open == ("line 5: 1-4 step R side, touch L, step L side, touch R",)


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-4 Vine R touch\n5-8 Vine L touch\nStomp right once more. Start again.", "Stomp right once more"),
        (
            "1-4 Vine R touch\n5-8 Vine L touch\nFinally shimmy to the right, and go again.",
            "Finally shimmy to the right",
        ),
        (
            "1-4 Vine R touch\n5-8 Vine L touch\nFinish with four sways: right, left. Then start again!",
            "Finish with four sways",
        ),
    ],
)
def test_steps_beside_the_words_of_the_repeat_are_open(said: str, wanted: str) -> None:
    """What stands beside `start again` and says steps does not end in a comment alone."""
    made = sc.draft(LINE.format(8) + said)

    assert any(wanted in each for each in made.open)


def test_steps_in_a_sentence_behind_the_foot_that_starts_are_danced() -> None:
    """The first sentence of a line may be a fact, and the steps begin with the next."""
    said = "We begin with the weight on the left. Walk forward right, left, right and kick left.\nBack left, right, left, touch right."
    made = sc.draft(f"Osier Row\n8 counts, 1 wall, line dance\n\n{said}\n")

    assert "S(R) S(L) S(R) K(L) (forward)" in made.text


@pytest.mark.parametrize(
    "rows",
    [
        "S1 (1-8)\n1-4 Vine R touch\n1-4 Vine R touch\n5-8 Vine L touch",
        "[1-8] Vines\n1-4 Vine R touch\n1-8 Vine L touch",
        "First eight: vine right and touch, vine left and touch. All vines! Step right, together, step right, touch.",
    ],
)
def test_a_section_of_which_more_is_read_than_is_stated_is_a_blank(rows: str) -> None:
    """Something of it was read twice: it is left as a blank of its counts, and open."""
    made = sc.draft(f"Osier Row\n8 counts, 1 wall, line dance\n\n{rows}\n")

    assert "? 8 counts" in made.text
    assert made.open


@pytest.mark.parametrize(
    ("said", "people"),
    [
        ("CHOR. ADA MIRK & BO LEE 10/22", "ADA MIRK & BO LEE"),
        ("Choreographer: Ada Mirk (Feb 2019)", "Ada Mirk"),
        ("Choreographed by: Ada Mirk, Aug. 2023", "Ada Mirk"),
        ("Choreo Ada Mirk 2019", "Ada Mirk"),
        ("by Ada Mirk 12.5.2020", "Ada Mirk"),
        ("by ada + bo (bo lee)", "ada + bo"),
    ],
)
def test_a_date_behind_people_is_no_part_of_their_name_and_is_kept(said: str, people: str) -> None:
    """The field holds the people, and the line stands beside it as it was written."""
    made = sc.draft(LINE.format(8).rstrip() + f"\n{said}\n\n1-4 Vine R touch\n5-8 Vine L touch\n").text

    assert f"author: {people}\n" in made
    assert f"# {said}" in made


@pytest.mark.parametrize("said", ["- Ada Mirk", "Love, Ada Mirk", "(Ada Mirk, Hollin Hall)", "~ Ada Mirk x"])
def test_a_signature_is_the_author_or_open(said: str) -> None:
    """A name in the last line is not lost in a comment."""
    made = sc.draft(LINE.format(8) + f"1-4 Vine R touch\n5-8 Vine L touch\n\n{said}\n")

    assert "author: Ada Mirk" in made.text or any("Ada Mirk" in each for each in made.open)


@pytest.mark.parametrize("said", ["all heels. Heel R", "all heels: heel R", "all heels - heel R"])
def test_what_all_the_steps_behind_it_are_is_not_danced(said: str) -> None:
    """`All heels` says of the steps behind it what they are; it is none of them."""
    made = sc.draft(LINE.format(8) + f"First 8: {said}, tog, heel L, tog, heel R, tog, heel L, tog.\n")

    assert made.text.count("HT(") == 4
    assert "?" not in made.text


def test_the_facing_of_a_row_stands_with_its_steps() -> None:
    """A claim of the weight behind the steps of a row does not take its facing away."""
    rows = "Count\tSteps\tFoot\tFacing\n1-2\tStomp, stomp (apart, wt ends L)\tR L\t12:00\n3-4\tWalk, walk\tR L\t12:00\n"
    made = sc.draft(LINE.format(4) + rows)

    assert made.text.count("facing 12:00") == 2
    assert not made.open


@pytest.mark.parametrize(
    ("beats", "row", "wanted"),
    [(8, "DS DS RS RS", ["Triple", "DS DS RS RS"]), (4, "DS DS RS RS", ["Triple"]), (4, "(DS DS RS)", ["Triple"])],
)
def test_a_row_of_other_steps_under_a_cue_is_danced_only_where_there_is_room(
    beats: int, row: str, wanted: list[str]
) -> None:
    """A row that may spell the cue over it is danced beside it where the part's length says so, else it is open."""
    text = CLOG.format(beats, f"Triple\n{row}\n")

    assert wanted == lines(text)
    assert [said for said in sc.draft(text).open if row in said] == [f"line 6: {row}"] * (len(wanted) == 1)


@pytest.mark.parametrize(
    ("beats", "said", "wanted", "missing"),
    [
        (8, "Repeat to the back", "2 times: / beats 1-8: / Triple x2 / expect facing back", ""),
        (16, "Repeat part A from the top, 8 beats", "2 times: / Triple x2", ""),
        (32, "Do this 4 times", "4 times: / Triple x2", ""),
        (20, "Repeat part A from the top", "2 times: / Triple x2 / ? 4 beats", "16"),
        (40, "4 times in all, ends at the front", "4 times: / Triple x2 / ? 8 beats / expect facing front", "32"),
        (12, "Do this 2 times", "2 times: / Triple x2", "16"),
    ],
)
def test_the_length_of_a_part_with_a_repeat_is_of_all_its_times_or_of_one(
    beats: int, said: str, wanted: str, missing: str
) -> None:
    """Beats that are missing of all its times are a blank behind them; beats that are too many are open."""
    text = CLOG.format(beats, f"2 Triples\n{said}\n")
    opened = [f"A: {beats} beats are stated, {missing} are read"] if missing else []

    assert wanted.split(" / ") == lines(text)
    assert opened == [each for each in sc.draft(text).open if "stated" in each]


def test_a_head_in_the_middle_of_a_line_begins_its_part() -> None:
    """`Then BREAK (8 cts):` ends the part above, and what is danced again below it are the lines of the break."""
    text = "Osier Row (clogging)\n\n2 Triples (8)\n= 8 cts. Then BREAK (8 cts) at the front:\nStomp L, stomp R\ndo that 2 times\n"
    made = sc.draft(text).text

    assert ["Triple x2"] == lines(text)
    assert "part Break: 8 beats  # at the front\n  2 times:" in made
    assert "    STO(L) STO(R)\n  ? 4 beats" in made and made.endswith("dance:\n  A\n  Break\n")


@pytest.mark.parametrize(
    ("order", "wanted"),
    [
        ("wait 8, then A - B - A - C - break - C - B, all start left", "A B A C Break C B"),
        ("A / B / C / A / B / Break", "A B C A B Break"),
        ("wait 8 > A > B > A > C > break > A and we bow", "A B A C Break A"),
        ("wait 8, then break - A - B - A - C", "Break A B A C"),
        ("Sequence: A, B, A, C, the mystery bit, A, B", ""),
        ("Order: A B A flurb C B", ""),
    ],
)
def test_an_order_is_read_whole_or_not_at_all(order: str, wanted: str) -> None:
    """A sequence of which parts are left out is no dance: it is open."""
    text = "Osier Row (clogging)\nby Nan Ollerton\n{}\n\nA\nTriple\nB\nBasic\nC\nChain\nBreak\nStomp L, stomp R\n"
    made = sc.draft(text.format(order))

    danced = made.text.partition("\ndance:\n")[2].split("\n\n")[0]

    assert wanted.split() == danced.split()
    assert wanted or any("the order of the parts" in said for said in made.open)


def test_a_row_under_a_cue_of_several_times_is_that_of_one_time() -> None:
    """It spells the cue, and is not danced once in place of so many times."""
    text = CLOG.format(8, "2 Chains (L, R)  8\n  DS RS RS RS\n")

    assert ["Chain x2, left foot"] == lines(text)
    assert () == sc.draft(text).open


@pytest.mark.parametrize("heads", ["S1: / S2:", "Section 1: / Section 2:", "A1. / A2.", "SEC 1 - / SEC 2 -", "#1 / #2"])
@pytest.mark.parametrize("indent", ["", "    "])
def test_a_head_with_its_first_counts_opens_its_section(heads: str, indent: str) -> None:
    """Nothing of it is drawn into the line above, though that isn't understood, and no two stand on the same counts."""
    one, other = heads.split(" / ")
    made = sc.draft(
        f"Osier Row\nline dance, 16 counts, 1 wall\n\n{one} 1-4 - Walk fwd R, L, R, L\n{indent}5-8 - Flurb all the way round\n"
        f"{other} 1-4 - R toe strut fwd, L toe strut fwd\n{indent}5-8 - Walk back R, L, R, L\n"
    )
    lines = [
        line.split("  #")[0].strip()
        for line in made.text.split("part Main: 16 counts\n")[1].split("\n\n")[0].splitlines()
    ]

    assert "S(R) S(L) S(R) S(L) (forward) / ? 4 counts" == " / ".join(lines[1:3])
    assert ["counts 1-8:", "counts 9-16:"] == [line for line in lines if line.startswith("counts")]
    assert (
        "Toe Strut, right foot (forward) / Toe Strut, left foot (forward) / S(R) S(L) S(R) S(L) (back)"
        == " / ".join(lines[4:])
    )
    assert any(said.startswith("line 5: Flurb") for said in made.open)


@pytest.mark.parametrize(
    "said", ["absolute beginner", "HIGH BEGINNER-IMPROVER", "Level: easy improver", "beginner/impr"]
)
def test_a_level_outside_the_schemes_stands_as_it_is(said: str) -> None:
    """A header takes any level; that no scheme says what it asks is assumed and said, and nothing of it is open."""
    text = "Osier Row\n{} / 4 counts / 1 wall / line dance\n\n1-4 vine R, touch L\n"
    level = said.removeprefix("Level: ")
    made = sc.draft(text.format(said))

    assert f"\nlevel: {level}\n" in made.text
    assert f"level {level}: in no scheme" in made.assumed
    assert () == made.open


@pytest.mark.parametrize(
    ("order", "told"),
    [
        ("A A B - A- - B", "(A- = only the first 4 counts of A)"),
        ("A A B A- B", "(A- = only the first 4 counts of A)"),
        ("A A B A- B", "A- is the first 4 counts of A"),
        ("A, A, B, A-, B", "A- is the first 4 counts of A"),
    ],
)
def test_what_a_shortened_part_is_stands_open(order: str, told: str) -> None:
    """Its place in the order, the line that says what it is and the mark where it stops are named, each of them."""
    text = (
        f"Osier Row\nphrased line dance\nSequence: {order}\n{told}\n\nPART A\n1-4 - Vine R, touch L\n>> A- stops here\n"
        "5-8 - Vine L, touch R\n\nPART B\n1-4 - Walk fwd R, L, R, L\n"
    )
    made = sc.draft(text)

    assert "the order of the parts: A-" in made.open
    assert {4, 8} <= {line.line for line in made.lines if line.kind == "open"}
    assert ["A", "A", "B", "# A-", "B"] == made.text.split("\ndance:\n")[1].split("\n\n")[0].replace(
        "  ", ""
    ).splitlines()


@pytest.mark.parametrize("said", ["L & R, turn 1/2 L .... 8", "x4 (L R) ..... 16", "(Cowboy, 1/2 L on 3-4) .... 8"])
def test_marks_that_do_not_agree_make_a_blank_of_the_length_that_is_stated(said: str) -> None:
    """Whose turn it is, or which foot begins the third time, isn't known; the length is."""
    assert [f"? {said.split()[-1]} beats"] == lines(CLOG.format(8, f"DS DS DS RS  {said}"))[:1]


@pytest.mark.parametrize("said", ["same, but kneeling", "the same, only grinning"])
def test_a_line_that_is_not_read_is_a_blank_of_what_its_part_lacks_at_its_place(said: str) -> None:
    """The lines around it stay as they are read; a part that lacks nothing has a comment there."""
    rows = f"DS DS DS RS\nSTO DS DS RS\n{said}\nDS DS RS RS"

    assert ["DS DS DS RS", "STO DS DS RS", "? 4 beats", "DS DS RS RS"] == lines(CLOG.format(16, rows))
    assert ["DS DS DS RS", "STO DS DS RS", "DS DS RS RS"] == lines(CLOG.format(12, rows))


@pytest.mark.parametrize(
    "said",
    ["Small steps, everyone.", "First, a word: we count to three, and to six for two bars. Small steps, everyone."],
)
def test_small_steps_are_how_it_is_danced(said: str) -> None:
    """Steps in the plural, without a foot, a number or a way, are none that is danced."""
    made = sc.draft(f"Osier Row\n4 counts, 1 wall, line dance\n\n{said}\n1-4 Vine right, touch\n").text

    assert "small" not in made.replace(f"# {said}", "").replace("# Small", "") and "part Main: 4 counts" in made
    assert made.count("Vine, right foot") == 1 and "S S" not in made


def test_what_is_said_behind_the_words_that_begin_again_is_no_step() -> None:
    """Counts that it names are those of the dance, and add none to it."""
    said = "Begin again facing the back. Some complain that 3-4 leaves them on the wrong foot: touch with L, please."
    made = sc.draft(f"Osier Row\n4 counts, 2 walls, line dance\n\n1-4 Vine right, touch\n\n{said}\n")

    assert "?" not in made.text and "TCH" not in made.text
    assert any("complain" in each for each in made.open)


@pytest.mark.parametrize("said", ["(ppl do rolling vines here)", "(clap on all the touches)", "(some do a coaster)"])
def test_a_bracket_about_some_dancers_or_the_claps_is_a_remark(said: str) -> None:
    """The steps before it are danced as they stand."""
    made = sc.draft(f"Osier Row\n8 counts, 1 wall, line dance\n\nR vine, touch\nL vine, touch {said}\n")

    assert "Vine, left foot" in made.text and not [each for each in made.open if "vine" in each]


def test_a_letter_and_figures_over_counted_lines_head_a_section() -> None:
    """A line with a letter that has no counts stands over the lines that do, whatever steps its title says; counts in
    brackets that begin a line are those of the steps above them."""
    made = sc.draft(
        "Osier Row\nA 16 count, 2 wall line dance\n\n"
        "A. Vine, touch, toe struts\nStep R to right side (1), L behind R (2), R to side (3), touch L (4).\n"
        "R toe forward (5), drop R heel (6), L toe forward (7), drop L heel (8).\n\n"
        "B. Rock, triple half turn, step pivot, stomps\n"
        "Rock L forward (1), recover on R (2). Triple step on the spot L, R, L\n(3&4). Step R forward (5), "
        "pivot 1/2 turn left onto L (6).\nStomp R (7), stomp L (8).\n"
    )
    heads = [line.strip() for line in made.text.splitlines() if "Section" in line]

    assert [
        "counts 1-8:  # Section A: Vine, touch, toe struts",
        "counts 9-16:  # Section B: Rock, triple half turn, step pivot, stomps",
    ] == heads
    assert "Triple, left foot (in place)" in made.text
    assert () == made.open


def test_a_row_of_strokes_has_its_facing_in_its_last_cell() -> None:
    """`3&4   | R kick ball change   | 3` faces 3:00; a part between stars may have a bracket behind them."""
    made = sc.draft(
        "Osier Row\nline dance\n\nCount | Step                  | Facing\n------+-----------------------+-------\n"
        "1-2   | Walk R, walk L        | 12\n3&4   | R kick ball change    | 12\n5-6   | Step R forward, 1/2 pivot left  | 6\n"
        "7&8   | R shuffle forward     | 6\n"
    )
    parts = sc.draft(
        "Osier Row\nline dance\n\n** Part A **\n1-4 Vine R, touch\n\n** Part B ** (slow)\n1-4 Vine L, touch\n\nA B"
    )

    assert "Kick Ball Change, right foot, facing 12:00\n" in made.text
    assert "turn 1/2 left @2, facing 6:00 (forward)\n" in made.text
    assert () == made.open
    assert "part B:  # slow\n  " in parts.text


@pytest.mark.parametrize("length", ["16 counts", "16 count", "16-count", "* 16 counts *"])
@pytest.mark.parametrize("heads", [("Section 1", "Section 2"), ("[1-8]", "[9-16]"), ("1-8 VINES", "9-16 VINES")])
def test_a_length_apart_under_the_title_is_that_of_the_dance(length: str, heads: tuple[str, str]) -> None:
    """It is no section, of which all counts would be missing; one that stands on the steps below it heads them."""
    rows = "{}\n1-4 Vine R, touch L\n5-8 Vine L, touch R\n\n"
    text = f"Osier Row\n{length}\n\n{''.join(map(rows.format, heads))}"

    made = sc.draft(text)

    assert () == made.open and "part Main: 16 counts\n" in made.text and "?" not in made.text
    assert (
        "counts 1-8:  # 8 counts" in sc.draft("Osier Row\n\n8 counts\n1-4 Vine R, touch L\n5-8 Vine L, touch R\n").text
    )


@pytest.mark.parametrize(
    ("said", "left"),
    [
        ("Restart on wall 3 after 8 counts with stomp R", "not used: stomp R"),
        ("Restart: wall 3 after 8 counts, adding a stomp R", "not used: a stomp R"),
        ("Restart on wall 3 after 8 counts plus step L together", "not used: step L together"),
        ("Order: 16, 16, 8, 16", "Order: 16, 16, 8, 16"),
        ("Restart on wall 3 after 8 counts with a smile", ""),
        (
            "Restart: wall 3 after 8 counts but on count 8 step L beside R (no touch)",
            "Restart: wall 3 after 8 counts but on count 8 step L beside R (no touch)",
        ),
        ("Restart: wall 3, dance 8 counts but on count 8 step L beside R", "not used: step L beside R"),
        (
            "Don't like vines? 5-8 can be side, together, side, touch",
            "Don't like vines? 5-8 can be side, together, side, touch",
        ),
        ("Restart on wall 3 after 8 counts, begin with the right foot", ""),
    ],
)
def test_what_a_restart_adds_and_lengths_of_walls_are_named(said: str, left: str) -> None:
    """Steps that a restart comes with are open, for nobody says on which count they are; numbers that don't rise are
    no walls."""
    vines = "1-4 Vine R, touch L\n5-8 Vine L, touch R\n9-12 Vine R, touch L\n13-16 Vine L, touch R\n"

    made = sc.draft(f"Osier Row\n16 counts, 4 walls, line dance\n\n{vines}\n{said}\n")

    assert ((f"line 9: {left}",) if left else ()) == made.open


def test_a_restart_by_the_number_of_its_line_and_walls_by_their_turn() -> None:
    """`after 2.` is behind the line of that number; `first time`, `second time` are of the walls that have numbers, and
    what they say of each is open."""
    rows = "1. Vine R, touch L 1-4, vine L, touch R 5-8\n2. Vine R, touch L 1-4, vine L, touch R 5-8\n"
    head = "Osier Row\n16 counts, 2 walls, line dance\n\n"

    cut = sc.draft(f"{head}{rows}3. Rocking chair R 1-4, jazz box R 5-8\n\nRestart: wall 3 after 2.\n")
    tag = sc.draft(
        f"{head}{rows}\nTag, after walls 2 and 5: jazz box R - 4 counts. First time facing front, second time back\n"
    )

    plain = sc.draft(f"{head}1-8 Vine R, vine L\n9-16 Vine R, vine L\n\nRestart: wall 3 after 2.\n")
    once = sc.draft(f"{head}{rows}\nTag after walls 2 and 4, the first time without a clap: jazz box R - 4 counts\n")

    assert "  Main x2\n  Main, first 16 counts" in cut.text and "first 16" not in plain.text
    assert ["Main x2", "Tag", "Main x2", "Tag"] == [
        line.split("  #")[0].strip() for line in once.text.split("dance:\n")[1].splitlines()[:4]
    ]
    assert tag.text.split("dance:\n")[1].splitlines()[0] == "  Main x2" and "expect" not in tag.text
    assert "not used: First time facing front, second time back" in tag.open[-1]


@pytest.mark.parametrize(
    "said",
    [
        "Optional: replace the vine with a rolling vine",
        "(Optional: rolling vine for counts 1-4)",
        "Watch the vine: it is slow, step side, behind, side",
    ],
)
def test_what_may_be_danced_or_is_watched_is_not_danced(said: str) -> None:
    """An option, and words on what to watch, add no steps to the dance, and are named."""
    made = sc.draft(f"{LINE.format(8)}1-4 Vine R\n5-8 Vine L\n{said}\n")
    assert [line.strip() for line in made.text.splitlines() if line.startswith("    ")] == [
        "Vine, right foot",
        "Vine, left foot",
    ]
    assert [each for each in made.open if "line" in each]


def test_steps_above_the_first_counts_are_open() -> None:
    """Steps that stand with the header are no remark on the dance."""
    made = sc.draft("Osier Row\n32 counts, 4 walls, line dance\n\nVine R, touch\nwobble\nVine L, touch (12 counts)\n")
    assert [each for each in made.open if "Vine R, touch" in each]


def test_a_row_of_its_own_counts_is_no_title_of_the_next() -> None:
    """Words that aren't understood and state counts, as the row below does, don't vanish into its heading."""
    made = sc.draft(f"{LINE.format(12)}Vine right ... 4 counts\nsome mumbling ... 4 counts\nVine left ... 4 counts\n")
    assert [each for each in made.open if "mumbling" in each]
