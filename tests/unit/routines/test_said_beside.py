"""What stands beside the steps of a description: numbers of a list, bars, keys, footwork behind a name, words of the order."""

import re

import pytest

import stepcheck as sc

FRONT = "Osier Row (clogging)\nwait 8, left foot lead\n\n"


def drafted(said: str) -> list[str]:
    """Return the lines of the draft below its header, without remarks."""
    text = sc.draft(FRONT + said).text
    lines = [line.split("#")[0].strip() for line in text[text.index("lead:") :].splitlines()]
    return [line for line in lines if line][2:]


def test_numbers_of_a_list_are_no_beats() -> None:
    """`1) 4 Basics`, `2) 2 Triples` are counted up from part to part; `4) 2 Basics` alone is four beats."""
    counted = drafted("A\n1) 4 Basics\n2) 2 Triples\n\nB\n1) Rocking Chair\n2) 3 Basics\n3) Triple\n")

    assert ["part A:", "Basic x4", "Triple x2", "part B:", "Rocking Chair", "Basic x3", "Triple"] == counted[:7]
    again = drafted(
        "A (32)\n1) 2 Triples. (Double step, double step, double step, rock step.)\n2) 4 Basics\n3) Same again\n"
    )
    assert ["part A: 32 beats", "2 times:", "Triple x2", "Basic x4"] == again[:4]
    assert ["part A:", "Basic x2, 4 beats"] == drafted("A\n4) 2 Basics\n4) Triple\n")[:2]


@pytest.mark.parametrize("unit", ["bar", "bars", "meas.", "measures"])
def test_bars_stand_in_front_of_a_line_as_its_length(unit: str) -> None:
    """`2 bars: 2 Triples` lasts two bars; how long one is, the lines say that state both."""
    made = drafted(f"A\n- 1 {unit}: DS DS DS RS\n- 2 {unit}: 2 Triples\n- 2 {unit}: something odd\n")

    assert ["part A:", "DS DS DS RS", "Triple x2", "? 8 beats"] == made[:4]


def test_a_key_may_have_a_line_for_each_code() -> None:
    """Lines that only say what codes mean are no steps."""
    text = "DS = double step (toe, then step)\nRS = rock step\nST = stomp (flat)\nTRIPLE = DS DS DS RS\n\nA\nST DS DS RS\n2 Triples\n"
    made = drafted(text)

    assert not sc.draft(FRONT + text).open
    assert made == ["figures:", "Triple: DS DS DS RS", "part A:", "STO DS DS RS", "Triple x2", "dance:", "A"]


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        (
            "Two Triples, moving forward. (Double step, double step, double step, rock step. Left, then right.)",
            "Triple x2",
        ),
        ("One Fancy Double. (Double step, double step, rock step, rock step.)", "Fancy Double"),
        ("2 Triples. DS DS DS RS each time", "Triple x2"),
    ],
)
def test_footwork_in_a_sentence_behind_a_figure_is_its_own(line: str, wanted: str) -> None:
    """A figure and its footwork in the next sentence are danced once."""
    made = [each for each in drafted(f"A\n{line}\n4 Basics\n") if "figures" not in each and ": DS" not in each]

    assert made[1].startswith(wanted) and made[2:] == ["Basic x4", "dance:", "A"]


def test_other_footwork_behind_a_figure_is_no_footwork_of_it() -> None:
    """Steps behind a figure that are not its own are danced behind it."""
    assert drafted("A\n2 Triples. DS RS DS RS\n")[:3] == ["part A:", "Triple x2", "DS RS DS RS"]


def test_an_introduction_without_a_name_of_its_own_is_no_mistake() -> None:
    """`Intro` in the order is the wait, wherever a head says `INTRO`."""
    said = sc.draft(
        "Osier Row (clogging)\nall measures are 4 beats\n\nINTRO     4 meas. wait\n\nPART A\nm. 1-2  2 Triples\n"
        "m. 3-4  as m. 1-2\n\nIntro - A - A - A\n"
    )

    assert "wait: 16 beats" in said.text and not said.open
    assert "dance:\n  A\n  A\n  A\n" in said.text


@pytest.mark.parametrize("word", ["run it", "Run", "we run it"])
def test_the_order_may_be_run(word: str) -> None:
    """`run it A B A` is the order, whatever follows as prose."""
    assert drafted(f"A\n2 Triples\n\nB\n4 Basics\n\n{word} A B A\n")[-4:] == ["dance:", "A", "B", "A"]


def test_a_list_of_parts_may_say_that_one_comes_again() -> None:
    """`Chorus again` in a list of parts is the chorus once more, no repeat inside the part."""
    made = drafted("A\n2 Triples\n\nChorus\n4 Basics\n\nWhat order?\nA\nChorus\nA\nChorus\nChorus again\n")

    assert ["part Chorus:", "Basic x4", "dance:", "A", "Chorus", "A", "Chorus", "Chorus"] == made[2:]


def test_half_of_a_part_of_unknown_length_is_no_whole_one() -> None:
    """Where nobody knows how long a part is, half of it stands in the order as it was written."""
    said = sc.draft(f"{FRONT}A\n2 Triples\n2 Turkeys\n\nB\n4 Basics\n\nOrder: A B A(half)\n")

    assert said.text.rstrip().endswith("dance:\n  A\n  B\n  # half of A")


def test_what_others_do_is_no_step_of_everybody() -> None:
    """`others do basics` is not danced."""
    said = sc.draft(f"{FRONT}A.....just lines 1 & 2 dance, others do basics\n4 Triples\n")

    assert "  Basic" not in said.text and "  Triple x4" in said.text and any("others" in one for one in said.open)


def test_a_row_of_beats_may_end_in_a_hold() -> None:
    """`&1 &2 & 3 ...hold 4` is the beats of the row above it; four beats of standing still it is not."""
    made = drafted("A\nHeron    DS DS R S     (4)\n         L  R  L R\n         &1 &2 &  3  ...hold 4\nBasic\n")

    assert ["? 4 beats", "Basic"] == made[-4:-2]


def test_steps_in_words_are_on_the_beats_below_them_or_open() -> None:
    """`T H T H` above `& 1 & 2` is not four beats, whatever the words last by themselves."""
    made = drafted("A\n T  H  T  H\n L  L  R  R\n &  1  &  2\nDT S R S R S\nL  L R L R L\n&a 1 & 2 & 3\n")

    assert "T H T H" not in made and "DT(L)@&1 S(L)@1 RS(R)@2 RS(R)@3" in made


def test_a_title_between_signs_is_no_part() -> None:
    """`*** OSIER ROW ***` on the first line is the title."""
    said = sc.draft(
        "*** OSIER ROW ***\n(our first clogging dance)\n\nwait 16, left foot\n\n*** PART A ***\n2 Triples\n"
    )

    assert "routine: OSIER ROW" in said.text and "part A:" in said.text and "part OSIER" not in said.text


def test_every_eighth_is_no_turn_on_each() -> None:
    """`4 Basics turn 1/2 L (one every 8th)` is not half a turn on each."""
    assert not any("turn 1/2" in line for line in drafted("A\n4 Basics turn 1/2 L (one every 8th)\n"))


@pytest.mark.parametrize("said", ["1 bar = 4 counts", "Each measure has 4 beats.", "4 beats to the bar"])
def test_a_line_may_say_how_long_a_bar_is(said: str) -> None:
    """Heads and an introduction in bars have as many beats as that line says; nothing of it is open."""
    text = f"Osier Row (clogging)\n{said}\n\nintro 4 bars\n\nA 2 bars\nbar 1  Triple\nbar 2  2 Basics\n"
    made = sc.draft(text)

    assert "wait: 16 beats" in made.text and "part A: 8 beats\n  Triple\n  Basic x2\n" in made.text and not made.open


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("2 TRIP FWD", ["Triple x2 (forward)"]),
        ("4 BAS", ["Basic x4"]),
        ("Stomp stomp, wait 2", ["STO STO", "hold 2 beats"]),
        ("4 Basics\nDO CHORUS 2 TIMES", ["2 times:", "Basic x4"]),
    ],
)
def test_short_words_of_a_cue(line: str, wanted: list[str]) -> None:
    """`TRIP` and `BAS` are the figures, a wait between steps is a hold, and a part is done twice by its name."""
    made = drafted(f"Chorus\n{line}\n\nB\n2 Triples\n")

    assert made[: len(wanted) + 1] == ["part Chorus:", *wanted]


def test_what_a_bracket_says_of_a_step_of_the_row_is_danced_once() -> None:
    """`(last DS RS turns 1/2)` behind a row is no step of its own, and leaves the row open, at its
    length."""
    made = drafted("A\nStomp (L), clap, Stomp (R), clap, DS DS RS    (last DS RS turns 1/2, then home)\n")

    assert made == ["part A:", "STO(L) CLAP STO(R) CLAP", "? 3 beats", "dance:", "A"]


@pytest.mark.parametrize("said", ["[8]  wait", "INTRO: Wait through eight beats. Begin with the left foot."])
def test_a_wait_above_the_parts_may_be_said_otherwise(said: str) -> None:
    """`[8] wait` and `wait through eight beats` are how long the dancers wait."""
    assert "wait: 8 beats" in sc.draft(f"Osier Row (clogging)\n\n{said}\n\nPART A\n[4] Triple\n").text


def test_words_behind_a_row_of_beats_are_said_of_its_row() -> None:
    """`&1 &2 & 3    turn 1/4 left` is the beats of the row above, and its turn."""
    made = drafted("A\nDS DS R S\nL  R  L R\n&1 &2 & 3      turn 1/4 left\nDS RS\nL  RL\n&1 &2    (smile)\n")

    assert made[:2] == ["part A:", "DS(L)@&1 DS(R)@&2 RS(L)@3, turn 1/4 left"] or "turn 1/4 left" in made[1]


def test_numbers_of_figures_are_no_parts_in_order() -> None:
    """`2 Basics, 1/2 turn` is no order of parts 1 and 2."""
    made = drafted("1ST 16 COUNTS\n4 Triples\n2 Basics, 1/2 turn L on each\n\n2ND 16 COUNTS\n8 Basics\n")

    assert made[-3:] == ["dance:", "Part 1", "Part 2"] and "Basic x8" in made


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("Stomp Double L. Nobody stomps early. Harold. (4)", "Stomp Double, left foot"),
        ("Cowboy. Kick and come home along the rocks. (8)", "Cowboy"),
        ("[4] Triple L...toes pointed to the L corner", "Triple, left foot"),
        ("[16] 4 Triples...lines trade places, pass R shoulders", "Triple x4"),
    ],
)
def test_prose_behind_steps_that_fill_their_beats_is_no_step(line: str, wanted: str) -> None:
    """Where the stated beats are full, words of a sentence that hold a movement say how, or nothing."""
    assert (
        wanted
        == drafted(f"A\n{line}\n4 Basics\n")[1]
        .split(" (")[0]
        .split(", 4 beats")[0]
        .split(", 16 beats")[0]
        .split(", 8 beats")[0]
    )


@pytest.mark.parametrize(
    "line", ["[4] Triple, then stomp stomp", "Triple. Then 2 stomps. (4)", "[4] Triple, turn 1/4 on it"]
)
def test_steps_beyond_the_stated_beats_are_no_prose(line: str) -> None:
    """More steps than there is room for, or a turn, are never dropped."""
    made = drafted(f"A\n{line}\n4 Basics\n")

    assert made[1].startswith("? 4 beats") or "turn 1/4" in made[1]


def test_a_row_with_its_own_name_is_not_the_footwork_of_the_line_above() -> None:
    """`DS DS RS RS - Fancy Double` below another figure is danced for itself."""
    assert ["part A:", "Kentucky Drag x2", "Fancy Double"] == drafted(
        "A\n2 Kentucky Drags\nDS DS RS RS - Fancy Double\n"
    )[-5:-2]


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("Two Triples. Eight beats.", "Triple x2, 8 beats"),
        ("Something odd, sixteen counts", "? 16 beats"),
        ("Two Triples. Each takes four beats.", "Triple x2"),
    ],
)
def test_beats_may_be_said_in_words(line: str, wanted: str) -> None:
    """`Eight beats.` behind steps is how long they last; of each it is no length of all."""
    assert drafted(f"A\n{line}\nBasic\n")[1].startswith(wanted.split(",")[0])
    assert ("Something" in line) == drafted(f"A\n{line}\nBasic\n")[1].startswith("?")


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("Four Basics in place. Double Toe Step, Rock Step. Nice and easy.", "Basic x4"),
        (
            "One Triple moving forward, left foot. Double Toe Step, Double Toe Step, Double Toe Step, Rock Step.",
            "Triple, left foot",
        ),
        ("Two Basics, making a quarter turn to the left on the first one only", "Basic x2, turn 1/4 left on 1st"),
        ("Two Triples, turning one half to the left over the two of them", "Triple x2, turn 1/4 left"),
    ],
)
def test_plain_english_says_what_a_cue_says(line: str, wanted: str) -> None:
    """Footwork in a sentence of its own, `on the first one only` and `over the two of them` are read."""
    made = drafted(f"A\n{line}\n\nB\n4 Basics\n")

    assert made[1].startswith(wanted) and made[2] == "part B:"


def test_what_is_set_apart_under_a_word_of_its_own_is_no_dance() -> None:
    """`Homework: the Chain, ten times a day` behind the parts is open."""
    said = sc.draft(f"{FRONT}A\n4 Basics\n\nHomework: the Chain, at the counter, ten times a day.\n")

    assert "Chain x10" not in said.text and any("Homework" in one for one in said.open)


def test_heads_may_have_their_length_behind_a_dash_or_nothing() -> None:
    """`A-32` and `little bit after chorus -` are heads, by the first words of which the order calls the part."""
    made = drafted(
        "A-8\n 2 TRIPLES\n\nB-8\n 4 BASICS\n\nlittle bit after chorus -\nCharleston\n\norder: A, B, little bit, A\n"
    )

    assert ["part A: 8 beats", "Triple x2", "part B: 8 beats", "Basic x4"] == made[:4]
    assert ["part little bit after chorus:", "Charleston"] == made[4:6] and made[-2:] == [
        "little bit after chorus",
        "A",
    ]


def test_bar_lines_cut_no_row_and_bars_are_no_beats() -> None:
    """`| DS DS | RS RS |` is one row; `2 meas.` before a line are measures, of as many beats as the sheet says."""
    made = drafted(
        "8 meas. = 16 beats\n\nA\n| DT Ba H-Ba | DT Ba H-Ba |\n| DS DS | RS RS |\n4 meas.  Pitty-pats, small\n2 meas.  2 Basics\n"
    )

    assert ["DS DS RS RS", "? 8 beats", "Basic x2"] == made[-5:-2] and "part A:" == made[0]


@pytest.mark.parametrize("head", ["middle bit", "In-between part (there are two)", "Strain C (key change)"])
def test_bits_parts_and_strains_are_heads(head: str) -> None:
    """What is called a bit, a part or a strain, alone behind an empty line, begins a part."""
    made = drafted(f"A\n2 Triples\n\n{head}\n4 Basics\n")

    assert made[:2] == ["part A:", "Triple x2"] and made[2].startswith("part ") and made[3] == "Basic x4"


@pytest.mark.parametrize("line", ["&5 - 8", "5 6 7 8 this after each one!!"])
def test_counts_on_a_line_of_their_own_are_no_length(line: str) -> None:
    """Numbers that only count on are not beats to be danced."""
    assert not any(each.startswith("?") for each in drafted(f"A\n2 Triples\nJoey R\n{line}\n"))


def test_a_line_may_be_danced_again_behind_its_bracket() -> None:
    """`(turn 1/2 L) do it again to front` dances the line twice and then faces front."""
    made = drafted("A\n2 Basics, Triple (turn 1/2 L) do it again to front\n\nB\nTriple\n")

    assert any("2 times" in line for line in made) and any("facing front" in line for line in made)


def test_which_foot_does_what_is_no_step() -> None:
    """`Left foot stomps.` behind a row adds no stomp."""
    made = drafted("A\n1. Stomp, double step, double step, rock step. Left foot stomps.\n2. Basic\n")

    assert made[1:3] == ["STO DS DS RS", "Basic"]


def test_a_subtitle_behind_a_head_with_its_length_is_no_step() -> None:
    """`PART B - the Vine (16 beats)` says what the part is called."""
    made = sc.draft("Osier Row (clogging)\nwait 8, left foot lead\n\nPART B - the Vine (16 beats)\n4 Triples\n").text

    assert "part B: 16 beats  # the Vine\n  Triple x4\n" in made


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Vine to the left. Ends with right free.", ["Vine (to the left)", "expect right foot"]),
        ("2 Basics, so your left is free again", ["Basic x2", "expect left foot"]),
        ("2 Basics - R free", ["Basic x2", "expect right foot"]),
        ("3 Basics (weight is on the left)", ["Basic x3", "expect right foot"]),
        ("2 Triples, 8 beats, left foot is free now", ["Triple x2", "expect left foot"]),
        ("2 Triples, left foot (now at the back)", ["Triple x2, left foot, facing back"]),
        ("2 Triples on the back wall now", ["Triple x2, facing back"]),
        ("2 Triples, and now at the front", ["Triple x2, facing front"]),
        ("Triple L, 1/2 L (back)", ["Triple, left foot, turn 1/2 left, facing back"]),
        ("2 Triples moving back", ["Triple x2"]),
    ],
)
def test_which_foot_is_free_and_where_dancers_are_now_is_claimed(said: str, wanted: list[str]) -> None:
    """Such words are no foot that begins, and no way in which anything goes."""
    made = [re.sub(r" \((?:back)\)$", "", each) for each in drafted(f"A\n{said}\n")]

    assert ["part A:", *wanted] == made[: len(wanted) + 1]
    assert not sc.draft(f"{FRONT}A\n{said}\n").open


@pytest.mark.parametrize(
    "said",
    [
        "You end up at the back, the next chorus brings you round to the front",
        "You come round to the front the second time you face the front",
        "Now facing the back, last time to the front",
        "You face the back, and on the 2nd time facing front",
    ],
)
def test_where_one_time_of_a_part_ends_is_claimed_of_no_other(said: str) -> None:
    """It is open: a claim in the part is one of every time."""
    made = sc.draft(
        f"Osier Lane (clogging)\nwait 8, left lead\n\nChorus: 8 beats\n2 Triples\n{said}\nB: 2 Basics\n\nChorus, B, Chorus\n"
    )

    assert "expect" not in made.text and [each for each in made.open if said in each]


@pytest.mark.parametrize(
    "way", ["forward on the 1st half, back on the 2nd half", "forward the first half, back the last half"]
)
def test_a_half_of_a_figure_is_no_turn(way: str) -> None:
    """`1st half` says over which of its beats a figure goes somewhere, as `first half` does."""
    assert ["part A:", "Cowboy (forward, back)"] == drafted(f"A\nCowboy, {way}\n")[:2]


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("2 Triples - DS DS DS RS (L) go fwd, DS DS DS RS (R) come back", "Triple x2, left foot (forward, back)"),
        (
            "March 8 steps round in a circle to the left",
            "S S S S S S S S (around, around, around, around, around, around, around, around, to the left)",
        ),
        ("4 Basics round in your own little circle to the right", "Basic x4 (around, to the right)"),
        ("Samantha, lft foot", "Samantha, left foot"),
    ],
)
def test_where_a_figure_goes_is_said_of_each_time_and_with_its_side(said: str, wanted: str) -> None:
    """The way of the second time is no less said than that of the first, and a circle has a side."""
    assert wanted in drafted(f"A\n{said}\n")


def test_a_box_again_turns_as_the_first_one_did() -> None:
    """`again` behind the word for a shape is all that was said of it; without a first one it turns nothing."""
    again = "4 Basics, 1/4 left on each (box)\n2 Triples\n4 Basics, box again\n"

    assert ["Basic x4, turn 1/4 left (box)"] * 2 == drafted(f"A\n{again}")[1:4:2]


def test_numbers_joined_before_a_row_are_no_times() -> None:
    """They say how its beats are grouped, and the row is danced once."""
    assert ["part A:", "DS DS RS DS DS RS DS DS"] == drafted("A\n3-3-2   DS DS RS DS DS RS DS DS\n")[:2]


def test_an_ending_of_fewer_beats_than_it_states_has_a_blank_of_the_rest() -> None:
    """What is done with a hat is no step, but lasts a beat."""
    text = sc.draft(f"{FRONT}A\n2 Triples\nEND (4 beats): Step L, Step R, Stomp L, hat off.\n").text

    assert "S(L) S(R) STO(L) (hat off)\n  ? 1 beat" in text and "# open: Ending: 4 beats are stated, 3 are read" in text


def test_a_foot_in_a_column_is_no_way() -> None:
    """A lone letter behind the code of a step says no direction."""
    text = sc.draft(
        f"{FRONT}Part\tBeats\tStep\tFootwork\tRemarks\nA\t4\tTriple\tDS DS DS RS\tL\n\t1\tStomp\tSTO\tR\n"
    ).text

    assert "to the right" not in text


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("End: Stomp L, tip the cap", "Stomp, left foot (tip cap)"),
        ("End: one Step L, arms up", "Step, left foot (arms, up)"),
        ("Break (4 beats): Stomps L R L R, with clap", "STO(L) STO(R) STO(L) STO(R) (clap)"),
        ("Break: DS L, walk R forward, moving forward", "DS(L) S(R) (forward)"),
    ],
)
def test_what_is_done_beside_single_steps_is_their_note(said: str, wanted: str) -> None:
    """A gesture behind steps in words is kept, and a way of theirs is written once."""
    assert f"  {wanted}\n" in sc.draft(f"Weir Reel (clogging)\nwait 8\n\nA (8)\n2 Triples\n\n{said}\n").text


@pytest.mark.parametrize(
    ("beside", "order", "read"),
    [
        ("only after Verse 2!", "Verse 1, Chorus, Verse 2, Break, Chorus", True),
        ("*** ONLY AFTER THE SECOND CHORUS ***", "Verse 1, Chorus, Verse 2, Chorus, Break, Chorus", True),
        ("only after the last chorus", "Verse 1, Chorus, Verse 2, Chorus, Break", True),
        ("only after the first chorus", "Verse 1, Chorus, Verse 2, Chorus, Break, Chorus", False),
        ("only after the chorus", "Verse 1, Chorus, Break, Verse 2, Break, Chorus", False),
        ("only after Verse 2, turning", "Verse 1, Chorus, Verse 2, Break, Chorus", False),
    ],
)
def test_behind_which_part_one_stands_is_a_remark_where_the_order_says_so(beside: str, order: str, read: bool) -> None:
    """Beside its head, words on its place change nothing where the order has it just there; else they are open."""
    parts = "".join(f"{name}, 8 beats\n4 Basics\n\n" for name in ("Verse 1", "Verse 2", "Chorus"))
    made = sc.draft(f"Osier (clogging)\nwait 8\n\n{parts}Break (8 beats) - {beside}\n2 Triples\n\nOrder: {order}\n")

    assert (not made.open) is read
    assert beside.strip(" *") in made.text
    assert made.text.partition("dance:\n")[2].split() == order.replace(",", "").split()
