"""Laws of the steps of line dance: what a line says comes out as just that, or as a blank of its counts."""

import pytest

import stepcheck as sc
from tests.unit.drafts.test_wordings import body, danced

ROW = "Osier Row\n8 counts, 1 wall, line dance\n\n{}\n"


def drafted(text: str) -> str:
    """Return the sheet of a description."""
    return sc.draft(text).text


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1a2 R coaster", "S(R)@1 S(L)@1a S(R)@2"),
        ("1a2 shuffle fwd RLR", "S(R)@1 S(L)@1a S(R)@2"),
        ("1&2 lock step back L-R-L", "S(L)@1 S(R)@1& S(L)@2"),
        ("1a2 L shuffle 1/4 turn L", "S(L)@1 S(R)@1a S(L)@2, turn 1/4 left"),
    ],
)
def test_a_figure_is_danced_on_the_counts_that_are_stated(said: str, wanted: str) -> None:
    """On other counts than the book's it is its movements, as many as there are counts, each on its own."""
    assert body(ROW.format(f"{said}\n3-8 Hold"), "Main")[0] == wanted


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1 R behind, sweep L from front to back\n2 Step L side", ["Step, right foot", "Step, left foot"]),
        ("1 Step R fwd, drag L\n2 Step L side", ["Step, right foot", "Step, left foot"]),
        ("1-2 Step R fwd, sweep L", ["S(R) SW(L)"]),
    ],
)
def test_what_the_other_foot_does_during_a_step_has_no_count_of_its_own(said: str, wanted: list[str]) -> None:
    """A sweep for which no count is stated is a note of its step; one that has a count is danced on it."""
    assert body(ROW.format(f"{said}\n3-8 Hold"), "Main")[:-1] == wanted


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-2 Step L fwd 1/2 turn R", ["S(L) PV S, turn 1/2 right @2"]),
        ("1 Step L fwd 1/2 turn R\n2 Step R fwd", ["Step, left foot, turn 1/2 right", "Step, right foot"]),
    ],
)
def test_a_half_turn_behind_a_step_is_a_pivot_where_it_has_a_count(said: str, wanted: list[str]) -> None:
    """The stated counts say whether the step turns, or a pivot follows it."""
    assert body(ROW.format(f"{said}\n3-8 Hold"), "Main")[:-1] == wanted


def test_a_turn_between_two_steps_of_one_foot_is_a_pivot() -> None:
    """Without counts, the foot that steps twice says that the turn took the weight from it."""
    text = "First 8: rocking chair R, step R forward half turn left, step R forward half turn left"

    assert body(ROW.format(text), "Main")[1:] == ["S(R) PV S, turn 1/2 left @2"] * 2


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-4 R fwd lock fwd scuff\n5-8 Hold", "S(R) S(L) S(R) SCUFF"),
        ("1&2 rec R L tog, step R\n3-8 Hold", "RC(R)@1 S(L)@1& S(R)@2"),
    ],
)
def test_steps_without_commas_are_as_many_as_their_counts(said: str, wanted: str) -> None:
    """The next foot, or the next place, begins the next step."""
    assert body(ROW.format(said), "Main")[0] == wanted


@pytest.mark.parametrize("said", ["Swivel heels right, centre, left, centre", "Swivel heels R, ctr, L, ctr"])
def test_heels_swivel_to_the_side_that_is_said(said: str) -> None:
    """Left and right are no feet where both feet move."""
    made = ROW.format(f"1-4 {said}\n5-8 Hold")

    assert "SWIVEL SWIVEL SWIVEL SWIVEL (right, center, left, center)" in drafted(made)


WALTZ = "Osier Row\nWaltz, 4 bars of three, 2 walls, line dance\n\n{}\n"


@pytest.mark.parametrize(
    "said",
    [
        "Bars 1-2: L twinkle, R twinkle\nBar 3: L fwd, hold 2, 3\nBar 4: R back, L back, R back",
        "Meas 1  L twinkle\nMeas 2  R twinkle\nMeas 3  L fwd, hold for 2 counts\nMeas 4  R back, L back, R back",
        "FIRST TWO BARS\nMeas. 1-2  L twinkle, R twinkle\nLAST TWO\nMeas. 3  L fwd, hold 2, 3\nMeas. 4  Walk back R L R",
    ],
)
def test_a_bar_lasts_as_many_counts_as_the_description_says(said: str) -> None:
    """Bars before the lines are their counts, and those in a heading its length."""
    wanted = ["Twinkle, left foot", "Twinkle, right foot", "S(L) HOLD HOLD", "S(R) S(L) S(R)"]

    assert body(WALTZ.format(said), "Main") == wanted


@pytest.mark.parametrize("said", ["As bars 1-2", "as bars 1-2 again", "same as bars 1 and 2"])
def test_bars_are_danced_again(said: str) -> None:
    """Bars that are as others are the lines of these."""
    text = WALTZ.format(f"Bars 1-2: L twinkle, R twinkle\nBars 3-4: {said}")

    assert body(text, "Main") == ["Twinkle, left foot", "Twinkle, right foot"] * 2


def test_a_restart_after_a_bar_is_after_its_last_count() -> None:
    """Bars where a wall is cut, and those that a tag lasts, are counts as well."""
    text = WALTZ.format(
        "Bars 1-2: L twinkle, R twinkle\nBars 3-4: L twinkle, R twinkle\n\n"
        "Restart on wall 3 after bar 2\nTag after wall 4, one bar: L fwd, R tog, L in place"
    )
    made = drafted(text)

    assert "Main, first 6 counts" in made
    assert "part Tag: 3 counts\n" in made


def test_bars_of_unknown_length_are_no_counts() -> None:
    """Where nothing says how many counts a bar has, no count is made up."""
    made = drafted("Osier Row\n2 walls, line dance\n\nBars 1-2: L twinkle, R twinkle\nBar 3: L fwd, hold\n")

    assert "part " not in made
    assert all(f"not used: {bars}" in made for bars in ("Bars 1-2: L twinkle, R twinkle", "Bar 3: L fwd, hold"))


def test_quick_and_slow_are_one_count_and_two() -> None:
    """Brackets of Q and S behind steps say how long they last, where the description says what they are."""
    text = (
        "Osier Row\n12 counts, 4 walls, line dance, two-step timing: Q = 1 beat, S = 2 beats, so each line below is 6 beats\n\n"
        "1) Walk fwd L, R (QQ), L (S), R (S)\n2) Rock fwd L, recover R (QQ), back L (S), back R (S)\n"
    )

    assert body(text, "Main") == ["S(L) S(R) S(L) HOLD S(R) HOLD", "RK(L) RC(R) S(L) HOLD S(R) HOLD"]


def test_a_ditto_stands_for_the_words_above_it() -> None:
    """With other feet beside it, it is the line above on these feet."""
    text = ROW.format('1&2 Shuffle fwd RLR\n3&4 ""   LRL\n5&6 "   "   RLR  <- keep it small\n7&8 do.  LRL')

    assert body(text, "Main") == [f"Shuffle, {side} foot" for side in ("right", "left") * 2]


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-4 Weave R.. no - R toe strut, L toe strut\n5-8 Hold", ["Toe Strut, right foot", "Toe Strut, left foot"]),
        ("1-2 Walk R, L\n3&4 bump R L R... no wait\n3-4 Stomp R, stomp L\n5-8 Hold", ["S(R) S(L)", "STO(R) STO(L)"]),
        ("1-2 Walk R, L\n3-4 Vine R with touch, no sorry, scuff\n5-8 Hold", ["S(R) S(L)", "? 2 counts"]),
    ],
)
def test_what_is_taken_back_is_not_danced(said: str, wanted: list[str]) -> None:
    """What stands behind it, or the next line on the same counts, is; where neither says it whole, nothing is."""
    assert body(ROW.format(said), "Main")[:-1] == wanted


@pytest.mark.parametrize(
    "said",
    [
        "First 8: Vine right. Vine left. Anyone with sore feet just do the vine again!!",
        "1-4 Vine right\n5-8 Vine left\nIf your knees hurt, step R, L, R, L (1-4).",
        "1-4 Vine right\n5-8 Vine left (easy: four walks)",
        "1-4 Vine right (or simply walk R, L, R)\n5-8 Vine left",
        "1-4 Vine right\n5-8 Vine left\nThose who get giddy may do 2 vines instead.",
    ],
)
def test_what_some_dance_instead_is_not_danced_as_well(said: str) -> None:
    """A sentence for those who can't, or an easier way in brackets, adds no step."""
    assert body(ROW.format(said), "Main") == ["Vine, right foot", "Vine, left foot"]


@pytest.mark.parametrize(
    "said",
    [
        "Counts 1 to 4 you walk R, L, R, L. Counts 5 to 8 the same again.",
        "1-4 walk R, L, R, L. Then 5-8 repeat 1-4.",
        "1-8 Walk R, L, R, L. Repeat counts 1-4.",
    ],
)
def test_counts_in_the_middle_of_a_line_begin_a_row(said: str) -> None:
    """Each sentence is danced on its own counts."""
    assert body(ROW.format(said), "Main") == ["S(R) S(L) S(R) S(L)"] * 2


def test_a_correction_of_a_part_of_a_line_replaces_no_more() -> None:
    """Where the line doesn't count what it takes back, its reading is open."""
    made = drafted(ROW.format("1-4 Vine right\n5-8 Vine left\n\nTag: after wall 2, stomp R twice, hold... no, clap it"))

    assert "part Tag" not in made
    assert "stomp R twice" in made.split("routine:")[0]


def test_a_restart_behind_stars_is_no_step() -> None:
    """What stands before it is danced, and the wall is cut there."""
    made = drafted(
        "Osier Row\n16 counts, 1 wall, line dance\n\n1-8 Vine right, vine left  ** restart here 5th wall\n9-16 Vine right, vine left\n"
    )

    assert made.count("Vine, right foot") == 2
    assert "Main x4\n  Main, first 8 counts" in made


@pytest.mark.parametrize("said", ["Basic forward, L R L\nBasic back, R L R", "Basic fwd L\nBasic bk R"])
def test_a_basic_of_a_waltz_is_the_waltz_basic(said: str) -> None:
    """In a waltz it has three counts."""
    first, second = said.split("\n")
    text = WALTZ.format(f"Bar 1: {first}\nBar 2: {second}\nBars 3-4: hold")

    assert body(text, "Main")[:2] == ["Waltz Basic, left foot", "Waltz Basic, right foot"]


def test_steps_over_which_a_turn_is_made_go_nowhere() -> None:
    """`Over the three steps` is no direction."""
    made = drafted(
        WALTZ.format("Bar 1: Step L forward turning 1/2 left over the three steps (L, R, L)\nBars 2-4: hold")
    )

    assert "over" not in made.split("counts 1")[1]


def test_an_example_of_the_counts_is_none() -> None:
    """`(1&2, 3&4 and so on)` says how the counts are said."""
    text = "First of all, four shuffles forward along the line of dance, R L R L. That's 8 beats (1&2, 3&4 and so on)."

    assert body(ROW.format(text), "Main") == ["Shuffle x4, right foot"]


EIGHTS = (
    "Osier Row\n16 counts, 2 walls, line dance\n\nS1\n1-8 Vine right, vine left\nS2\n1-8 Vine right, vine left\n\n{}\n"
)


@pytest.mark.parametrize(
    "said",
    [
        "RST: W3 aft S1 (fcg 12)\nTag: after wall 9, 2 counts: sway R, L",
        "Restart: 3rd time through begins at 12:00. Dance counts 1-8, then from the top, facing 12:00.",
        "Restart: third time through, stop after count 8 and begin again, facing 12. You'll be on the proper foot.",
        "Third time through there's a break in the tune. Do the first 8 then restart, facing 12.",
        "Restart\tWall 3\tafter sect 1\tfacing 12",
    ],
)
def test_a_restart_is_read_however_it_is_told(said: str) -> None:
    """The wall, the place where it is cut and the facing stand in one sentence or in several, short or in full."""
    dance = drafted(EIGHTS.format(said)).replace(
        "  expect facing 12:00\n  Main, first", "  Main, first"
    )  # its beginning

    assert "  Main x2\n  Main, first 8 counts" in dance
    assert "\n  expect facing 12:00" in drafted(EIGHTS.format(said))


def test_lines_count_as_long_as_they_last() -> None:
    """`Do lines 1-2` cuts a wall behind the counts of these lines."""
    rows = "1) Walk R, L, R, L\n2) Walk R, L, R, L\n3) Vine right, vine left\n\nOn wall 3 do lines 1-2 then restart"

    assert "Main, first 8 counts" in drafted(f"Osier Row\n16 counts, 2 walls, line dance\n\n{rows}\n")


def test_a_restart_whose_place_is_not_understood_is_open() -> None:
    """No wall is cut where the lines that stand before the sentence happen to end."""
    made = drafted(EIGHTS.format("Restart on wall 3 aft the wiggle\nTag: after wall 9, 2 counts: sway R, L"))

    assert "Main, first" not in made
    assert "# open: line 9: Restart on wall 3 after the wiggle\n" in made


@pytest.mark.parametrize(
    "said",
    [
        "at the end of wall 5 (you're facing 9 again) the band stops for 4 counts, so just stand & sway R L R L then carry on",
        "Tag\tend wall 5 (facing 9)\t4 counts\tsway R L R L",
        "After wall 5 the music pauses for 4 counts: sway R, L, R, L",
    ],
)
def test_a_tag_is_read_where_the_music_stops(said: str) -> None:
    """What is danced while it does is the tag, behind its wall."""
    made = drafted(EIGHTS.format(said))

    assert "Main x5\n" in made
    assert "part Tag: 4 counts\n  S(R) S(L) S(R) S(L) (sway, sway, sway, sway)" in made
    assert "Main, first" not in made


@pytest.mark.parametrize(
    "said",
    [
        "end: wall 9 S1 only then pose arms up",
        "Ends on wall 9 after 8, just pose",
        "Ending: wall 9, dance 8 counts and pose",
    ],
)
def test_a_dance_that_ends_in_a_pose_ends_there(said: str) -> None:
    """The last wall is cut, nothing stands behind it, and the words stay beside it."""
    made = drafted(EIGHTS.format(said))

    assert "  Main x8\n  Main, first 8 counts  # " in made
    assert "until the music ends" not in made.split("dance:")[1]


TABLE = (
    "Osier Row\n16 counts, 2 walls, line dance\n\nSect\tCount\tFoot\tStep\tClock\n1\t1-4\tR\tvine right\t12\n"
    "1\t5-8\tL\tvine left, 1/4 turn left\t9\n2\t1-8\tR\tvine right, vine left\t9\n\n{}\n"
)


def test_a_row_of_a_table_about_a_wall_is_no_row_of_steps() -> None:
    """Restarts and tags below the steps are those of the dance; a column of hours is of facings."""
    made = drafted(TABLE.format("Restart\tWall 3\tafter sect 1\tfacing 9\nTag\tend wall 5\t2 counts\tsway R L"))

    assert "turn 1/4 left, facing 9:00" in made
    assert "Main, first 8 counts" in made
    assert "part Tag: 2 counts\n  S(R) S(L) (sway, sway)" in made
    assert "?" not in made


def test_a_facing_in_a_column_stands_behind_a_blank_as_well() -> None:
    """What is not understood still ends where the row says."""
    made = drafted(
        "Osier Row\n4 counts, 1 wall, line dance\n\nCount\tFoot\tStep\tFacing\n1-2\tR\twobble about\t6\n3-4\tR\twalk R, L\t6\n"
    )

    assert "? 2 counts  # wobble about\n    expect facing 6:00" in made


def test_twelve_in_brackets_behind_a_counted_line_is_a_wall() -> None:
    """It is no first and second count."""
    text = "1-2 Step R fwd, pivot 1/2 L [6]\n3-4 Step R fwd, pivot 1/2 L [12]\n5-8 Vine right [12]"

    assert body(ROW.format(text), "Main")[1:] == [
        "S(R) PV S, turn 1/2 left @2, facing 12:00",
        "Vine, right foot, facing 12:00",
    ]


def test_a_wall_is_cut_by_the_counts_of_a_section() -> None:
    """Where steps of a section would last longer than the counts before them, a restart behind it is at its counts."""
    text = "S1\n1-2 Walk R, L\n3-4 Step R, step L, step R; step L\n5-8 Vine right\n\nRestart on wall 3 after S1"
    made = drafted(f"Osier Row\n16 counts, 2 walls, line dance\n\n{text}\n")

    assert "? 2 counts  # Step R, step L, step R; step L\n" in made
    assert "Main, first 8 counts" in made


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1 Kick L fwd (not too high, please!)\n2 Step L back", ["Kick, left foot", "Step, left foot"]),
        ("1-2 Step R side, touch L beside R (clap if you like)", ["S(R) TCH(L)"]),
        ("1 Step R fwd\n2 Turn 1/8 to the left, weight goes to Left", ["Step, right foot", "PV S(L), turn 1/8 left"]),
        ("1&2 L bhd-sd-x", ["Behind-Side-Cross, left foot"]),
        ("&1&2 out out, in in", ["S@&1 S@1 S@1& S@2"]),
        ("1-2 out out, in in", ["? 2 counts"]),
        ("1-2 Step R to the right corner, step L back to where you came from", ["S(R) S(L)"]),
        ("1-2 Full turn R travelling fwd, stepping L then R", ["S(L) S(R), turn full right"]),
        ("1&2 Triple full turn L, stepping R L R", ["Triple, right foot, turn full left"]),
        (
            "1&2 Rock R side, recover L, cross R\n3&4 Mirror of 1&2",
            ["RK(R)@1 RC(L)@1& S(R)@2", "RK(L)@1 RC(R)@1& S(L)@2"],
        ),
        ("1 Kick L fwd + clap with the people beside you\n2 Step L", ["Kick, left foot", "Step, left foot"]),
    ],
)
def test_a_row_is_what_its_words_say(said: str, wanted: list[str]) -> None:
    """A remark in brackets, a corner, a turn that is stepped and steps joined by hyphens make no step more or less."""
    last = {"1 ": 2, "1&": 2, "1-": 2, "&1": 2}[said[:2]] + 2 * ("3&4" in said)

    assert body(ROW.format(f"{said}\n{last + 1}-8 Hold"), "Main")[:-1] == wanted


@pytest.mark.parametrize(
    "said",
    [
        "Last 8 - R heel, hook, heel, together.\nsame with the left: heel, hook, heel, together",
        "Last 8 - R heel, hook, heel, together. Same on the left foot: heel, hook, heel, together",
    ],
)
def test_the_foot_before_a_list_begins_it(said: str) -> None:
    """`Same with the left:` says whose the steps behind it are."""
    assert " ".join(body(ROW.format(said), "Main")) == "HT(R) HK HT S HT(L) HK HT S"


@pytest.mark.parametrize(
    "said",
    [
        "Third 8 - K step. R fwd diagonal, touch L + clap, L back home, touch R, R back diagonal, touch L, L fwd home, touch R",
        "1-8 K step. R fwd diagonal, touch L, L back home, touch R, R back diagonal, touch L, L fwd home, touch R",
    ],
)
def test_a_name_that_no_book_has_is_spelled_by_the_steps_behind_it(said: str) -> None:
    """Where these come to the counts, the name adds none."""
    steps = " ".join(body(ROW.format(said), "Main"))

    assert steps.count("S(") == steps.count("TCH(") == 4
    assert "?" not in steps


@pytest.mark.parametrize("said", ["Teacher's tip:", "Tips:", "My note:", "N.B."])
def test_a_tip_is_not_danced(said: str) -> None:
    """A figure that it speaks of is danced where it stands, not here."""
    assert body(ROW.format(f"1-8 Vine right, vine left\n{said} catch us at the next grapevine"), "Main") == [
        "Vine, right foot",
        "Vine, left foot",
    ]


def test_a_number_that_runs_on_is_a_count_whatever_stands_behind_it() -> None:
    """What is not understood on one count moves none of the others."""
    rows = "\n".join(f"Count {at}: Step {foot} fwd" for at, foot in ((1, "R"), (2, "L"), (3, "R")))
    text = f"{rows}\nCount 4: Wobble, see the wall and grin\nCount 5: Stomp R\nCount 6: Stomp L\nCounts 7 and 8: hold"

    assert body(ROW.format(text), "Main")[3:] == ["? 1 count", "Stomp, right foot", "Stomp, left foot", "hold 2 counts"]


HEADS = "Osier Row\n16 counts, 2 walls, line dance\n\n{} (8)\n{}\n\n{} (8)\n{}\n\nRepeat\n"


@pytest.mark.parametrize("first", ["Walk fwd & back", "Vines x2", "Zip thru", "Turn & bump"])
def test_a_line_with_a_length_over_lines_of_that_length_is_their_head(first: str) -> None:
    """Whether it says steps or none, they are danced once."""
    text = HEADS.format(
        first, "1-3 Walk R, L, R\n4 kick L\n5-7 walk back L, R, L\n8 touch R", "Vines x2", "Vine right\nVine left"
    )

    assert body(text, "Main")[-2:] == ["Vine, right foot", "Vine, left foot"]
    assert sum("S(" in line for line in body(text, "Main")) == 2
    assert "?" not in drafted(text)


PHRASED = "Osier Row\nline dance\n{}\n\nPart A\n1-8 Vine right, vine left\n9-16 Vine right, vine left\n\nPart B\n1-8 Vine right, vine left\n"


@pytest.mark.parametrize(
    "said",
    [
        "A - A - B - A(first 8 only) - B",
        "A-A-B-A(1st 8)-B",
        "SEQ: A, A, B, A (only the first 8 counts), B",
        "A A B A(8) B",
    ],
)
def test_a_part_of_which_only_the_first_counts_are_danced_is_cut_there(said: str) -> None:
    """However the order says it, what stands behind it is danced as well."""
    order = said if said.startswith("SEQ") else f"Sequence: {said}"

    assert danced(PHRASED.format(order)) == ["A", "A", "B", "A, first 8 counts", "B"]


@pytest.mark.parametrize(
    "said", ["A = 16, B = 8, plus a 4 count tag", "A is 16 counts, B 8 counts, and a 2 count ending"]
)
def test_an_article_is_no_part(said: str) -> None:
    """`A 4 count tag` is not four counts of part A."""
    made = drafted(PHRASED.format(f"Phrased, {said}\nOrder: A A B A B"))

    assert "part A: 16 counts\n" in made
    assert "part B: 8 counts\n" in made


def test_what_is_said_of_a_part_below_the_last_one_is_not_danced_in_it() -> None:
    """Lines that say of which time of a part they speak are open."""
    text = PHRASED.format("Order: A A B A B") + (
        "\nShort A (the last one): dance 1-8, then step R together, touch L\nLast B: on the vine make it 1 1/2 turns\n"
    )
    made = drafted(text)

    assert body(text, "B") == ["Vine, right foot", "Vine, left foot"]
    assert "Short A" in made.split("routine:")[0]
    assert "Last B" in made.split("routine:")[0]


@pytest.mark.parametrize(
    "said", ["pass R shoulders thru the gap, you end up back to back", "if you like, clap", "we love it"]
)
def test_a_bracket_that_speaks_to_the_dancers_is_a_remark(said: str) -> None:
    """What it says is no step, and the steps before it stand."""
    assert body(ROW.format(f"1&2 Shuffle fwd LRL ({said})\n3-8 Hold"), "Main")[0] == "Shuffle, left foot"


def test_paragraphs_under_a_line_with_their_length_are_sections() -> None:
    """Also where several lines have none, and the heads are figures."""
    text = HEADS.replace("16 counts", "24 counts").replace("\n\nRepeat", "\n\nShuffles (8)\n{}\n\nRepeat")
    shuffles = "\n".join(f"Shuffle fwd {feet}" for feet in ("RLR", "LRL") * 2)
    text = text.format("Vines x2", "Vine right\nVine left", "Zip thru", "Vine right\nVine left", shuffles)

    assert "?" not in drafted(text)
    assert "counts 17-24:  # Shuffles" in drafted(text)


def test_a_title_that_ends_in_the_counts_of_the_lines_under_it_is_a_head() -> None:
    """Whether it says steps or a figure, they are danced once."""
    text = (
        "Osier Row\n16 counts, 2 walls, line dance\n\nStep, lock, step, scuff x2 (1-8)\n1-4: Vine right\n5-8: Vine left\n\n"
        "Rumba box (9-16)\n1-4 Vine right\n5-8 Vine left\n"
    )

    assert body(text, "Main") == ["Vine, right foot", "Vine, left foot"] * 2


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-4 Step R fwd, 1/4 pivot L x2", ["S(R) PV S, turn 1/4 left @2"] * 2),
        ("1-4 Stomp R, clap twice", ["? 4 counts"]),
        ("1&2 Behind L sweeping R, behind R, side L\n3-4 Walk R, L", ["S(L)@1 S(R)@1& S(L)@2", "S(R) S(L)"]),
        ("Right vine (4). Left vine (4).", ["Vine, right foot", "Vine, left foot"]),
        (
            "1-4 Monterey half turn right: point R to side, turn 1/2 R stepping R beside L, point L to side, step L beside R",
            ["PT(R) S(R) PT(L) S(L), turn 1/2 right @2"],
        ),
    ],
)
def test_what_is_danced_several_times_comes_to_its_counts(said: str, wanted: list[str]) -> None:
    """Else it is a blank of these; no step of it is danced alone."""
    made = body(ROW.format(said + ("\n5-8 Hold" if said[0] == "1" else "")), "Main")

    assert made[: len(wanted)] == wanted


def test_a_figure_that_is_repeated_ends_no_dance() -> None:
    """`Repeat the vine` isn't the end of the steps."""
    made = drafted(ROW.format("1-4 Vine right\nRepeat Vine\n\nStart again"))

    assert "# Start again" in made
    assert "Repeat Vine" in made.split("routine:")[0]


def test_a_line_of_several_sentences_lasts_as_long_as_it_says() -> None:
    """Its sentences come to the length at its end, or it is a blank of just that; a length within is a sentence's."""
    text = (
        "Osier Row\nline dance, 4 walls, 24 counts\n\n"
        "Step the right foot to the side, close left to it, step right again and touch left (that's 4). "
        "Then do exactly the same to the left (8).\n"
        "Point right to the side, bring it back, point left to the side, bring it back. Do all that twice (16).\n"
        "Now some wobbles. Walk right, left (24).\n"
    )
    made = body(text, "Main")

    assert made[:2] == ["S(R) CL(L) S(R) TCH(L)", "S(L) CL(R) S(L) TCH(R)"]
    assert made[2:4] == ["PT(R) S PT(L) S"] * 2
    assert made[4:] in (["? 8 counts"], ["? 6 counts", "S(R) S(L)"])


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-2& L wizard", "Dorothy Step, left foot"),
        ("1&2 cha cha cha on the spot R-L-R", "Triple, right foot"),
        ("1-3 R back basic", "Waltz Basic, right foot"),
    ],
)
def test_other_words_for_a_figure(said: str, wanted: str) -> None:
    """What clubs call it is the book's figure."""
    assert body(f"Osier Row\nWaltz, 6 counts, 1 wall, line dance\n\n{said}\n4-6 Hold\n", "Main")[0] == wanted


@pytest.mark.parametrize("said", ["same with LF", "same with the left", "same on LF", "the same, LF"])
def test_the_same_with_the_other_foot_is_on_that_foot(said: str) -> None:
    """However the foot is written."""
    text = ROW.format(f"1-2 RF fwd, LF lock behind\n3-4 RF fwd, LF scuff\n5-8 {said}")
    made = body(text, "Main")

    assert made[2:] == ["S(L) S(R)", "S(L) SCUFF(R)"]


def test_everything_is_more_than_the_last_section() -> None:
    """`Repeat everything` of a dance that is stated twice as long is all of it once more."""
    text = "Osier Row\n32 counts, 2 walls, line dance\n\n1-8 Vine right, vine left\n1-8 Walk R, L, R, L, R, L, R, L\n\nRepeat everything\n"

    assert "2 times:" in drafted(text)
    assert drafted(text).count("Vine, right foot") == 1


def test_how_a_figure_ends_is_said_beside_it() -> None:
    """A jazz box that ends in a cross is no other figure, but its last step goes there."""
    assert "Jazz Box, turn 1/4 right (cross)" in drafted(ROW.format("1-4 Jazz box 1/4 R ending with a cross\n5-8 hold"))


@pytest.mark.parametrize("said", ["R L R scuff L", "RLR scuff L", "R, L, R, scuff L"])
def test_feet_before_a_kick_of_another_foot_are_steps(said: str) -> None:
    """They step; the movement is that of the foot behind it."""
    assert body(ROW.format(f"1-4 {said}\n5-8 hold"), "Main")[0] == "S(R) S(L) S(R) SCUFF(L)"


PARTS = """Osier Row
Phrased line dance{lengths}
Sequence: A B A Tag B

{rule} PART A {rule}
1-4 Vine right
5-8 Vine left

{rule} PART B (the loud one) {rule}
1-4 Rocking chair R
5-8 Jazz box R

{rule} TAG {rule}
1-4 Sway R, L, R, L
"""


@pytest.mark.parametrize("rule", ["----", "--", "===="])
def test_a_name_between_rules_heads_a_part(rule: str) -> None:
    """What stands under it is that part's, and the sequence dances it."""
    text = PARTS.format(rule=rule, lengths="")

    assert body(text, "A") == ["Vine, right foot", "Vine, left foot"]
    assert body(text, "B") == ["Rocking Chair, right foot", "Jazz Box, right foot"]
    assert body(text, "Tag") == ["S(R) S(L) S(R) S(L)"]
    assert danced(text) == ["A", "B", "A", "Tag", "B"]


def test_a_sentence_between_rules_heads_nothing() -> None:
    """It is a remark among the steps."""
    text = "Osier Row\n8 counts, 1 wall, line dance\n\n1-4 Vine right\n   -- lovely fiddle here, listen --\n5-8 Vine left\n"

    assert body(text, "Main") == ["Vine, right foot", "Vine, left foot"]
    assert "fiddle" in drafted(text)


@pytest.mark.parametrize(
    "lengths",
    ["  |  A = 8c, B = 8c, TAG = 4c", "\nA = 8 counts, B = 8 counts, Tag = 4 counts", ".  A = 8, B = 8, Tag = 4"],
)
def test_the_lengths_of_parts_are_read_in_a_row(lengths: str) -> None:
    """However short the unit is written."""
    made = drafted(PARTS.format(rule="----", lengths=lengths))

    assert "part A: 8 counts" in made
    assert "part Tag: 4 counts" in made


TAGGED = """Osier Row
Count / Wall\t16 / 2
Tag\t1 (4 counts, end of wall 2)

{}
"""


@pytest.mark.parametrize(
    "said",
    [
        "1-8 Weave right for 8\n9-16 Weave left for 8\n\nTag: 1-4 Sway R, L, R, L",
        "1-8 Weave right for 8\n9-16 Weave left for 8\n\nTAG\n1-4 Sway R, L, R, L",
        "Sec\tCts\tSteps\n1\t1-8\tWeave right for 8\n2\t1-8\tWeave left for 8\n\nTAG\t1-4\tSway R, L, R, L",
    ],
)
def test_a_tag_that_the_header_announces_takes_no_steps_but_its_own(said: str) -> None:
    """The dance stands below the header; the steps of the tag under its own head."""
    text = TAGGED.format(said)

    assert len(body(text, "Main")) == 2
    assert body(text, "Tag") == ["S(R) S(L) S(R) S(L)"]
    assert danced(text) == ["Main x2", "Tag", "Main until the music ends"]
    assert "part Main: 16 counts" in drafted(text)


def test_rows_of_one_section_are_one_section() -> None:
    """The cell of the section says the same in each row of it."""
    rows = "Sec\tCts\tSteps\n1\t1-4\tVine right\n1\t5-8\tVine left\n2\t1-4\tVine right\n2\t5-8\tVine left"
    made = drafted(f"Osier Row\n16 counts, 2 walls, line dance\n\n{rows}\n")

    assert made.count("  counts ") == 2
    assert "nothing stands" not in made


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1 2 &   R side, L behind, R side\n3-8 Hold", "S(R)@1 S(L)@2 S(R)@2&"),
        ("1 & 2   R side, L behind, R side\n3-8 Hold", "S(R)@1 S(L)@1& S(R)@2"),
        ("1    Hitch R\n& 2   R ball, L cross\n3-8 Hold", "Hitch, right foot"),
    ],
)
def test_counts_written_apart_before_a_gap_are_the_lines_own(said: str, wanted: str) -> None:
    """A half between or behind them is one of them, and never goes to the line before."""
    made = body(ROW.format(said), "Main")

    assert made[0] == wanted
    assert "? " not in "".join(made)


def test_counts_said_twice_of_one_piece_are_the_finer_ones() -> None:
    """The bracket behind the words says how the counts before them are counted."""
    made = body(ROW.format("[A] 1-4 hold   5-6 R side, L behind, R side (5&6)\n7-8 Hold"), "Main")

    assert "S(R)@1 S(L)@1& S(R)@2" in made


def test_a_label_in_brackets_before_counts_is_no_step() -> None:
    """It heads its section; each of the spans on the line counts the words behind it."""
    text = PARTS.format(rule="----", lengths="").replace(
        "1-4 Rocking chair R\n5-8 Jazz box R", "[B1] 1-2 RF rock fwd, recover  3&4 shuffle back R   5-8 Jazz box L"
    )

    assert body(text, "B") == ["RK(R) RC(L)", "Shuffle, right foot", "Jazz Box, left foot"]


@pytest.mark.parametrize("sign", ["[12]", "(12)"])
def test_a_twelve_behind_the_steps_of_a_count_is_a_wall(sign: str) -> None:
    """A line that begins with its counts ends in no others."""
    text = ROW.format(
        f"1-2  Step R fwd, pivot 1/2 L [6]\n3   1/2 L step R back  {sign}\n4&  L back, R together {sign}\n5   1/4 R step L side [3]\n6-8 Hold"
    )

    assert body(text, "Main")[1:3] == ["Step, right foot, turn 1/2 left, facing 12:00", "S(L)@1 S(R)@1&, facing 12:00"]


def test_where_to_straighten_is_where_the_step_ends() -> None:
    """It is a facing behind the step, and what the other foot does during it is a note."""
    made = body(ROW.format("1&  L back, R back\n2   straighten to [9], L side w/ sweep of R\n3-8 Hold"), "Main")

    assert made[1] == "Step, left foot, facing 9:00"


@pytest.mark.parametrize("said", ["square up to 12 on the &", "square to the 12", "turn to 12 instead"])
def test_the_wall_that_a_restart_squares_to_is_no_count(said: str) -> None:
    """The restart is where its line stands."""
    rows = "1-8 Walk R, L, R, L, R, L, R, L\n9-16 Walk R, L, R, L, R, L, R, L"
    more = "17-24 Walk R, L, R, L, R, L, R, L\n25-32 Walk R, L, R, L, R, L, R, L"
    text = f"Osier Row\n32 counts, 2 walls, line dance\n\n{rows}\n*** RESTART wall 3 here: {said} ***\n{more}\n"

    assert "Main, first 16 counts" in danced(text)


def test_a_summary_over_rows_that_go_on_from_the_next_eight_is_a_title() -> None:
    """Rows end on `8&1` and go on with 2: what stands between them without counts is danced once."""
    rows = "2 3 rock fwd R rec L\n4&5 shuffle back R\n6 7 rock back L rec R\n8&1 shuffle fwd L"
    text = (
        f"Osier Row\n17 counts, 2 walls, line dance\n\n1 step L side\n{rows}\n\nrock, shuffle, rock, shuffle\n{rows}\n"
    )
    made = drafted(text)

    assert made.count("RK(R) RC(L)") == 2
    assert "counts 10-17:  # rock, shuffle, rock, shuffle" in made


def test_step_half_without_counts_is_a_step_and_a_pivot() -> None:
    """So dancers say it; on one count the step itself turns."""
    assert (
        body(ROW.format("Walk R, walk L\nSTEP 1/2 - STEP 1/2\nSTOMP R, STOMP L"), "Main")[1:3]
        == ["S PV S, turn 1/2 left @2"] * 2
    )


def test_heel_hook_heel_is_three_movements_of_one_foot() -> None:
    """The foot in the bracket is that of all of them; only the last takes the weight."""
    assert body(ROW.format("HEEL hook HEEL together (R)\nHEEL hook HEEL together (L)"), "Main") == [
        f"HT({foot}) HK({foot}) HT({foot}) S({foot})" for foot in "RL"
    ]


def test_heels_swivel_as_often_as_sides_are_said() -> None:
    """Without commas too."""
    assert "SWIVEL@1 SWIVEL@1& SWIVEL@2" in drafted(ROW.format("1&2 heel swivels out in out\n3-8 Hold"))


def test_no_turn_of_a_title_is_lost() -> None:
    """What turns before a colon is no note of the steps behind it."""
    made = body(ROW.format("1-4 wavelet full turn R: cross R, side L, cross R, side L\n5-8 Hold"), "Main")

    assert "turn" in made[0] or made[0] == "? 4 counts"


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Choreo\tTam Freer (Quay Club)", "author: Tam Freer (Quay Club)"),
        ("Dance\tOsier Waltz\nChoreo\tTam Freer", "routine: Osier Waltz"),
        ('Music\tBoats Come In - Callum & the Cordage, album "Low Tide"', "song: Boats Come In"),
        ('Music\tBoats Come In - Callum & the Cordage, album "Low Tide"', "artist: Callum & the Cordage"),
    ],
)
def test_names_of_a_header_stand_whole(said: str, wanted: str) -> None:
    """No word of a name is another fact, a label is none of its title, and an album is no song."""
    made = drafted(f"Copied from the club's sheet\n{said}\n8 counts, 2 walls, line dance\n\n1-8 Weave right for 8\n")

    assert f"\n{wanted}\n" in made


def test_the_song_of_a_letter_is_not_its_dance() -> None:
    """What is quoted behind a word for music is the song."""
    made = drafted(
        'hi Jo, here are the steps, track is "Lime Street" by Dessa Marrow, its 8 ct 2 wall, start on vocals\n\n'
        "1-4 Vine right\n5-8 Vine left\n"
    )

    assert "\nsong: Lime Street\nartist: Dessa Marrow\n" in made
    assert "routine: Lime" not in made


def test_how_often_all_is_danced_is_never_lost() -> None:
    """What is not read of it is open."""
    assert "5x" in drafted(ROW.format("1-8 Walk R, L, R, L, R, L, R, L\n\n5x and a bow")).split("routine:")[0]


def test_rows_that_state_their_counts_stand_where_their_section_is_too_short_for_them() -> None:
    """Its length is what is in doubt, and open; none of the rows is lost in a blank of all."""
    text = (
        "Osier Row\n16 counts, 2 walls, line dance\n\nS1 (1-8) Walks\n1-2 Walk R, L\n3-4 Rock fwd R, recover L\n"
        "4-6 Shuffle back R, hold\n7-8 Stomp R, stomp L\n\nS2 (9-16) Vines\n1-4 Vine right\n5-8 Vine left\n"
    )
    made = drafted(text)

    assert body(text, "Main")[:2] == ["S(R) S(L)", "RK(R) RC(L)"]
    assert "STO(R) STO(L)" in body(text, "Main")
    assert "? 8 counts" not in made
    assert "the section has counts 1 to 8, but 9 counts are read in it" in made.split("routine:")[0]


@pytest.mark.parametrize(
    ("above", "below"),
    [
        ("Tag: 4 counts after wall 2", "Tag (after wall 2): 1-4 Sway R, L, R, L"),
        ("Tags: 1 (4 counts, end of wall 2)", "TAG:\nSway R, L, R, L"),
        ("One tag, end of wall 2", "Tag\n1-2 Sway R, L\n3-4 Sway R, L"),
        ("Tag: end of wall 2", "Tag 1-4 Sway R, L, R, L"),
    ],
)
def test_a_tag_that_is_announced_is_danced_once(above: str, below: str) -> None:
    """Its steps further down are those of the same tag, and its wall is not the number of walls."""
    text = f"Osier Row\n8 counts, line dance, beginner\n{above}\n\n1-4 Vine right\n5-8 Vine left\n\n{below}\n"
    made = drafted(text)

    assert body(text, "Main") == ["Vine, right foot", "Vine, left foot"]
    assert "".join(body(text, "Tag")).replace(")S", ") S") == "S(R) S(L) S(R) S(L)"
    assert danced(text) == ["Main x2", "Tag", "Main until the music ends"]
    assert "walls:" not in made


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-2 R heel heel\n3-4 R toe toe behind", ["HT(R) HT", "TT(R) TT"]),
        ("1-2 Rock/Step R fwd, Replace wt L\n3,4 Rock/Step R back, Replace L", ["RK(R) RC(L)", "RK(R) RC(L)"]),
        ("1-2 Cross R over L and rock, recover onto L\n3-4 Step R to side, L in place", ["RK(R) RC(L)", "S(R) S(L)"]),
        ("1-2 Step R fwd, L in place, turning slightly to the left\n3-4 Walk R, L", ["S(R) S(L)", "S(R) S(L)"]),
    ],
)
def test_two_words_for_one_step_are_one_and_one_word_twice_is_two(said: str, wanted: list[str]) -> None:
    """A rock that says neither foot nor place is the step beside it; heels twice are two touches; an angle is none."""
    text = f"Osier Row\n4 counts, 1 wall, line dance\n\n{said}\n"

    assert body(text, "Main") == wanted and not sc.draft(text).open


def test_steps_behind_a_label_before_a_tag_are_danced() -> None:
    """The words under the head of the tag are none of the section before it."""
    rows = "B1  Vine right, touch, vine left, touch\nB2  Charleston: touch R fwd, step R back, touch L back, step L fwd"
    made = sc.draft(
        f"Osier Row\n1 wall, line dance\nSequence: B B Tag\n\nPART B\n{rows}\n\nTAG - face the front\n1-4 Vine right"
    )

    assert "TCH(R) S(R) TCH(L) S(L) (charleston:" in made.text
    assert not any("nothing stands" in each for each in made.open)


def test_a_time_of_the_clock_and_a_restart_are_no_lengths_of_sections() -> None:
    """A paragraph whose first line ends in a facing, or says where the dance begins again, is headed by no length."""
    text = (
        "Alder Ferry\n32 counts, 4 walls\n\nA  1-4  Vine right, touch\n   5-8  Vine left, touch\n\n"
        "B  1-4  Jazz box 1/4 turn right (9:00)\n   5-8  Rocking chair\n\n"
        "Restart on wall 3 after 16 counts\nEnding: wall 7. Dance to count 8, then step right\n"
    )
    made = sc.draft(text)

    assert made.open == ()
    assert "    Jazz Box, turn 1/4 right, facing 9:00\n    Rocking Chair\n" in made.text
    assert "  Main, first 16 counts  # Restart on wall 3 after 16 counts\n" in made.text
