"""What a number, a bracket or a sign of line dance belongs to: to what stands beside it, or the line is a blank."""

import pytest

import stepcheck as sc
from stepcheck.pages.facts import claims, facts_of
from stepcheck.pages.song import song
from tests.unit.drafts.test_wordings import body, danced

ROW = "Osier Row\n8 counts, 1 wall, line dance\n\n{}\n"
VINES = "1-8 Vine right, vine left\n9-16 Vine right, vine left\n"


def drafted(text: str) -> str:
    """Return the sheet of a description."""
    return sc.draft(text).text


@pytest.mark.parametrize(
    ("line", "counts", "walls"),
    [
        ("Osier Row    32 - 4W - BEG", "32", "4"),
        ("48 counts = 16 bars of 3. Two walls.", "48", "2"),
        ("Count 32 + a tag // Wall 4 // Level: Beginner", "32", "4"),
        ("Counts 64 / Walls 2", "64", "2"),
    ],
)
def test_fields_of_a_header_are_apart_by_signs(line: str, counts: str, walls: str) -> None:
    """A number before the walls is the counts; bars behind an equal sign are none."""
    said = {fact.key: fact.value for fact in facts_of(line, "line")[0]}

    assert (counts, walls) == (said.get("counts"), said.get("walls"))


@pytest.mark.parametrize(
    ("said", "title", "player"),
    [
        ("Low Water, by Ada Reed (album: Slow Tide)", "Low Water", "Ada Reed"),
        ("Low Water by Ada Reed (live)", "Low Water", "Ada Reed"),
        ("Low Water (live) - Ada Reed", "Low Water", "Ada Reed"),
        ("Low Water, Reed & Tallow (any slow waltz will do)", "Low Water", "Reed & Tallow"),
        ("Low Water (Ada Reed)", "Low Water", "Ada Reed"),
        ("Low Water (sung by Ada Reed)", "Low Water", "Ada Reed"),
    ],
)
def test_a_bracket_behind_a_song_is_the_artist_where_it_holds_a_name(said: str, title: str, player: str) -> None:
    """And where none stands outside it; else it is a remark, and no artist is left in the title."""
    found = {fact.key: fact.value for fact in song(said)}

    assert (title, player) == (found.get("song"), found.get("artist"))


def test_a_field_of_a_header_names_no_wall_of_another_fields_tag() -> None:
    """`two tags // Wall 4` says how many tags there are, and how many walls."""
    text = f"Osier Row\nCounts 16 + a wee tag // Wall 4 // Beginner\nline dance\n\n{VINES}"

    assert "walls: 4\n" in drafted(text)
    assert danced(text) == ["Main until the music ends"]
    assert "# Counts 16 + a wee tag // Wall 4 // Beginner" in drafted(text)


def test_a_number_of_steps_is_no_place_where_a_wall_is_cut() -> None:
    """`to 2 stomps` says what is danced, `here` where."""
    said = "Restart here on wall 3, changing the last touch to 2 stomps"
    text = f"Osier Row\n16 counts, 2 walls, line dance\n\n1-8 Vine right, vine left\n{said}\n9-16 Weave left for 8\n"

    assert danced(text)[:2] == ["Main x2", "Main, first 8 counts"]


def test_a_wall_behind_an_equal_sign_is_no_length() -> None:
    """`= 3:00` ends a row facing there, and heads nothing."""
    text = ROW.format("R shuffle, L shuffle\nR rocking chair turning 1/4 R   = 3:00")

    assert body(text, "Main")[-1] == "Rocking Chair, right foot, turn 1/4 right, facing 3:00"


def test_the_last_of_the_lengths_in_a_bracket_is_read() -> None:
    """`(A = 8, B = 4)` says how long B is."""
    steps = "PART A\n1-8 Vine right, vine left\n\nPART B\n1-4 Vine right\n"
    made = drafted(f"Osier Row\nline dance (A = 8, B = 4)\nSequence: A B A\n\n{steps}")

    assert "part A: 8 counts" in made
    assert "part B: 4 counts" in made


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-4 R toe strut x-over - L toe strut side\n5-8 Hold", ["Toe Strut, right foot", "Toe Strut, left foot"]),
        ("1-2 Stomp, stomp (R, L)\n3-8 Hold", ["STO(R) STO(L)"]),
        ("1-2 Walk fwd (R, L)\n3-8 Hold", ["S(R) S(L)"]),
        ("1-2 Step R side, touch (L)\n3-8 Hold", ["S(R) TCH(L)"]),
        ("1-2 Stomp R, stomp (R, up)\n3-8 Hold", ["Stomp, right foot", "? 1 count"]),
        ("1-3 L fwd 1/2 turn L (L, R, L)\n4-8 Hold", ["S(L) S(R) S(L), turn 1/2 left"]),
        ("1 Touch R (L)\n2-8 Hold", ["? 1 count"]),
    ],
)
def test_what_stands_in_a_bracket_or_behind_a_figure_is_no_step(said: str, wanted: list[str]) -> None:
    """Feet in a bracket are those of the steps before it, `x-over` is where a figure goes; what neither is, is a
    blank."""
    assert body(ROW.format(said), "Main")[:-1] == wanted


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-4 Step 1/2 L, step 1/4 L\n5-8 Hold", ["S PV S, turn 1/2 left @2", "S PV S, turn 1/4 left @2"]),
        ("1-2 Step 1/2 L, step 1/4 L\n3-8 Hold", ["Step, turn 1/2 left", "Step, turn 1/4 left"]),
        ("Step 1/2 L, step 1/4 L\nVine R", ["? 4 counts", "Vine, right foot"]),
    ],
)
def test_a_step_that_only_turns_is_a_pivot_where_it_has_two_counts(said: str, wanted: list[str]) -> None:
    """The stated counts decide; without any it is a blank."""
    assert body(ROW.format(said), "Main")[: len(wanted)] == wanted


def test_capitals_head_nothing_where_all_is_in_capitals() -> None:
    """A line of steps behind a gap is danced."""
    made = drafted("OSIER ROW\n8 COUNTS, 1 WALL, LINE DANCE\n\nWALK R, L, R\n\nVINE R\nwalk back (smile!)\n")

    assert "  Vine, right foot\n" in made


def test_small_letters_join_no_lines_where_sentences_begin_in_them() -> None:
    """A long row of steps is not a restart because the remark below it speaks of one."""
    row = "cross R over, L side, R sailor, cross L over, R back, L side, R tog"
    text = f"osier row\n16 counts, 2 walls, line dance\n\nvine right, vine left\n\n{row}\nthats all, wall 3 is the odd one\n"

    assert "  Sailor Step, right foot\n" in drafted(text)
    assert "  Main until the music ends" in drafted(text)


TOLD = "Osier Row\n16 counts, 2 walls, line dance\n\n1-8 Weave right for 8\n{}\n9-16 Weave left for 8\n\n{}\n"


def test_a_restart_that_is_told_again_says_where_it_faces() -> None:
    """The second line stands in the sheet; it adds what the first leaves out."""
    text = TOLD.format("Restart here on wall 3", "Restart on wall 3 after 8 counts, facing 6:00")

    assert danced(text)[1:3] == ["Main, first 8 counts", "expect facing 6:00"]
    assert "# Restart on wall 3 after 8 counts, facing 6:00" in drafted(text)


def test_a_restart_that_is_told_otherwise_is_open() -> None:
    """Neither of two places is chosen in silence."""
    said = "Restart on wall 3 after 12 counts"

    assert any(said in each for each in sc.draft(TOLD.format("Restart here on wall 3", said)).open)


def test_where_a_wall_starts_is_not_where_it_is_cut() -> None:
    """`wall 3 starts at 12` says an hour; what else its line says of a foot is open."""
    said = "Think that's it. The half after L is L home. Wall 3 starts at 12 so the restart faces the back"
    text = TOLD.format("", said)

    assert not any("first 12" in each for each in danced(text))
    assert any("L is L home" in each for each in sc.draft(text).open)


def test_a_part_of_which_all_is_repeated_is_danced_twice() -> None:
    """`Repeat all of B once` is said of B, and the end of a dance of parts is in the sheet."""
    parts = "PART A\n1-8 Vine right, vine left\n\nPART B\n1-4 Vine right\nRepeat all of B once\n\nThen begin again, smiling\n"
    made = drafted(f"Osier Row\nline dance (A = 8, B = 8)\nSequence: A B A\n\n{parts}")

    assert "part B: 8 counts\n  2 times:  # Repeat all of B once" in made
    assert "# Then begin again, smiling" in made


TAGGED = "Osier Row\n16 counts, 2 walls, line dance\n{}\n1-8 Weave right for 8\n9-16 Weave left for 8\n\n{}\n"


@pytest.mark.parametrize(
    ("above", "below"),
    [
        ("1 tag end of wall 2 n w4\n", "tag 4c\nsway R, L, R, L"),
        ("Tag after walls 2 and 4\n", "Tag (4 counts)\nSway R, L, R, L"),
        ("", "Tag (4 counts): sway R, L, R, L\nTag at the end of walls 2 and 4"),
        ("", "TAG\n1-4 Sway R, L, R, L\n\nTag at the end of walls 2 and 4"),
    ],
)
def test_the_steps_of_a_tag_and_its_walls_may_stand_apart(above: str, below: str) -> None:
    """In any order; the steps under the head of a tag are never the dance's."""
    text = TAGGED.format(above, below)

    assert body(text, "Tag") == ["S(R) S(L) S(R) S(L)"]
    assert danced(text) == ["Main x2", "Tag", "Main x2", "Tag", "Main until the music ends"]


def test_a_tag_of_no_wall_is_open() -> None:
    """It is a part that is not danced."""
    made = sc.draft(TAGGED.format("", "tag 4c\nsway R, L, R, L"))

    assert "part Tag: 4 counts\n  S(R)" in made.text
    assert "Tag: on which walls it is danced is not said" in made.open


def test_sections_of_the_whole_dance_are_eights() -> None:
    """Where one doesn't come to eight counts, only that one is a blank."""
    one, other = "Vine right, vine left", "Walk R, L, kick R"
    text = f"Osier Row\n24 counts, 2 walls, line dance\n\nS1 vines\n{one}\n\nS2 walks\n{other}\n\nS3\n{one}\n"
    vines = ["Vine, right foot", "Vine, left foot"]

    assert body(text, "Main") == [*vines, "? 8 counts", *vines]
    assert "  counts 17-24:" in drafted(text)


def test_paragraphs_behind_letters_are_sections() -> None:
    """`A)`, `B)` before the first line of each, of eight counts."""
    made = drafted("Osier Row\n16 - 2W - line dance\n\nA) vine right\nvine left\n\nB) vine right\nwalk R, L, R, L\n")

    assert (
        "  counts 1-8:  # Section A\n    Vine, right foot\n    Vine, left foot\n  counts 9-16:  # Section B\n" in made
    )


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        (
            "r fwd, l lock behind & r fwd / l fwd, r lock behind & l fwd",
            ["S(R)@1 S(L)@2 S(R)@2&", "S(L)@1 S(R)@2 S(L)@2&"],
        ),
        ("r rock side, rec l / r x over l, l side, r x over l", ["RK(R) RC(L)", "S(R)@1 S(L)@1& S(R)@2"]),
        (
            "& r side, l heel fwd, & l home, r x over l / l side, r touch",
            ["S(R)@&1 HT(L)@1 S(L)@1& S(R)@2", "S(L) TCH(R)"],
        ),
    ],
)
def test_a_section_that_has_no_more_counts_says_what_is_quick(said: str, wanted: list[str]) -> None:
    """An `&` is a half, and three steps are a triple; with a count for each they are not."""
    quick = f"Osier Row\n16 counts, 2 walls, line dance\n\nS1 vines\nvine right, vine left\n\nS2\nvine right\n{said}\n"
    slow = "Osier Row\n8 counts, 2 walls, line dance\n\nvine right\nr x over l, l side, r x over l\nclap\n"

    assert body(quick, "Main")[-2:] == wanted
    assert body(slow, "Main")[1:] == ["S(R) S(L) S(R)", "Clap"]


def test_hours_behind_lines_that_turn_are_walls() -> None:
    """`(6)` is no length there; beside other numbers it is none."""
    text = "Osier Row\n8 counts, 2 walls, line dance\n\nr fwd, pivot 1/2 l (6)\nr fwd, pivot 1/4 l (3)\nvine right\n"
    made = body(text, "Main")

    assert made[0].endswith("facing 6:00")
    assert made[1].endswith("facing 3:00")


def test_a_turn_over_a_shoulder_has_its_side() -> None:
    """`1/2 turn shuffle over R shoulder` turns right."""
    made = body(ROW.format("1&2 1/2 turn shuffle over R shoulder R L R\n3-8 Hold"), "Main")

    assert made[0] == "Shuffle, right foot, turn 1/2 right"


def test_what_the_finish_is_is_not_danced_in_the_dance() -> None:
    """`FINISH: … stomp` is an ending, or open."""
    text = "Osier Row\n8 counts, 2 walls, line dance\n\nVine right, vine left\n\nFinish: walk R, L, then stomp R\n"

    assert body(text, "Main") == ["Vine, right foot", "Vine, left foot"]
    assert any("Finish" in each for each in sc.draft(text).open)


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-4 Vine right\n5-8 repeat 1-4. You should be home again.", ["Vine, right foot", "Vine, right foot"]),
        ("1-2 Rock R out to right, back on to L\n3-8 Hold", ["RK(R) RC(L)"]),
        ("1-3 Full turn to the left, L R L, one full turn\n4-8 Hold", ["S(L) S(R) S(L), turn full left"]),
        ("1-2 Step R fwd. Kick L fwd, low please, we are in a hall\n3-8 Hold", ["S(R) K(L)"]),
        ("1-2 Step R fwd, touch L. Tired people: just step R, hold.\n3-8 Hold", ["S(R) TCH(L)"]),
    ],
)
def test_what_is_said_to_the_dancers_or_twice_is_no_step(said: str, wanted: list[str]) -> None:
    """A wish, what some dance instead, a turn in all that is told again; weight that goes back steps nowhere."""
    made = [each for each in body(ROW.format(said), "Main") if each[0] != "#"]

    assert made[: len(wanted)] == wanted
    assert not any(each[0] == "?" for each in made)


TWICE = "Osier Row\n16 counts, 2 walls, line dance\n\n1-8 Weave right for 8\n9-16 Weave left for 8\n\n{}\n"


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("5th time: leave off after count 8 and begin from count 1", ["Main x4", "Main, first 8 counts"]),
        ("Restart: wall 3, do the first 8 then start again. You have no free leg", ["Main x2", "Main, first 8 counts"]),
        (
            "Tag: end of wall 2, 2 counts: sway R, L\nTag 2: end of wall 4: do tag 1 twice = 4 counts",
            ["Main x2", "Tag"],
        ),
        ("Finish: wall 6, dance 4 counts, then stomp R", ["Main x5", "Main, first 4 counts", "Ending"]),
    ],
)
def test_other_words_about_a_wall(said: str, wanted: list[str]) -> None:
    """Where it is left, and which tag is danced again."""
    assert danced(TWICE.format(said))[: len(wanted)] == wanted


def test_a_tag_that_is_another_one_twice_has_its_steps() -> None:
    """And as many counts as are said."""
    said = "Tag: end of wall 2, 2 counts: sway R, L\nTag 2: end of wall 4 (facing front each time): do tag 1 twice = 4 counts"

    assert body(TWICE.format(said), "Tag 2") == ["S(R) S(L)", "S(R) S(L)"]


PARTS = """Osier Row
line dance
Sequence: A B A B A(8) Tag B

PART A
1-8 Vine right, vine left
9-16 Vine right, vine left

PART B
B1
1-2 R side, touch L
3-4 L side, touch R
5-8 Rock back L, recover R, stomp L, stomp R
B2 = B1 mirrored, starting LF

TAG: 4 counts. Stomp R, stomp L, clap, clap

A(8): only the first vines. You face 9:00 then.
"""


def test_a_section_that_is_another_one_mirrored_has_its_steps() -> None:
    """`B2 = B1 mirrored`: the same counts with the other feet."""
    made = [each for each in body(PARTS, "B") if each[0] != "c"]

    assert made[3:] == ["S(L) TCH(R)", "S(R) TCH(L)", "RK(R) RC(L) STO(R) STO(L)"]


def test_what_is_said_of_a_cut_part_heads_no_part() -> None:
    """`A(8): …` tells of the A of which eight counts are danced; the line is open."""
    made = sc.draft(PARTS)

    assert made.text.count("\npart A") == 1
    assert any("A(8): only the first vines" in each for each in made.open)


def test_when_a_dance_begins_is_open_where_no_wait_is_said() -> None:
    """`start when he coughs` beside facts of its line."""
    made = sc.draft("Osier Row\n8 counts, 2 walls, start when he coughs\n\n1-8 Weave right for 8\n")

    assert any("start when he coughs" in each for each in made.open)


def test_a_wall_is_cut_behind_sections_whose_lengths_are_known() -> None:
    """Whatever is open further down."""
    rows = "S1\n1-8 Vine right, vine left\n\nS2\nvine right, vine left\n\nS3\nwiggle R and sink\n\n"
    text = (
        f"Osier Row\n24 counts, 2 walls, line dance\n\n{rows}Restart wall 5 after section 2 (you'll be at 3 o'clock)\n"
    )

    assert danced(text)[:3] == ["Main x4", "Main, first 16 counts", "expect facing 3:00"]


def test_sections_beside_one_that_counts_are_eights_as_well() -> None:
    """What is not understood in one makes no other one a blank."""
    rows = "S1\n1-8 Vine right, vine left\n\nS2\nvine right\nwiggle and sink\n\nS3\nvine right, vine left\n"
    text = f"Osier Row\n24 counts, 2 walls, line dance\n\n{rows}\nFinish facing front with a stomp\n"
    vines = ["Vine, right foot", "Vine, left foot"]

    assert body(text, "Main") == [*vines, "? 8 counts", *vines]
    assert "Stomp" not in drafted(text)


def test_a_title_that_is_told_again_is_nobody() -> None:
    """The line under a greeting that has nothing but the title names no author."""
    made = sc.draft(
        'Hi all, steps for "Osier Row" as promised\n\nOsier Row\n8 counts, 2 walls\n\n1-8 Weave right for 8\n'
    )

    assert "routine: Osier Row\n" in made.text
    assert "author:" not in made.text


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1&2 3&4 - Shuffle fwd R L R, shuffle fwd L R L\n5-8 Hold", ["Shuffle, right foot", "Shuffle, left foot"]),
        ("1 2 - Rock fwd R, replace L\n3-8 Hold", ["RK(R) RC(L)"]),
        ("1-2 Rock back R, rec L (clap on 2)\n3-8 Hold", ["RK(R) RC(L)"]),
    ],
)
def test_counts_before_a_dash_and_claps_on_a_count(said: str, wanted: list[str]) -> None:
    """Rows of counts apart by spaces are the line's; a clap in brackets that names its count has none of its own."""
    assert body(ROW.format(said), "Main")[:-1] == wanted


def test_a_tag_in_the_middle_of_a_wall_is_open() -> None:
    """`dance up to count 8, add 2 stomps and restart` is neither a tag behind the wall nor a mere restart."""
    said = "Tag/restart: on wall 3 dance up to count 8 then add 2 stomps and restart"

    assert danced(TWICE.format(said))[-1:] == ["Main until the music ends"]
    assert any("add 2 stomps" in each for each in sc.draft(TWICE.format(said)).open)
    assert "part Tag" not in drafted(TWICE.format(said))


SETS = """Osier Row
{} counts, 2 walls, line dance

Set 1
1-8 Vine right, vine left

Set 2  Repeat set 1 with a wiggle, nose first

Set 3
1-8 Rocking chair R, rocking chair R

{}
"""


def test_sections_are_counted_with_those_that_are_blanks() -> None:
    """`Repeat sets 2-3` is the second and the third, though the second is not read."""
    made = body(SETS.format(40, "Sets 4-5 Repeat sets 2-3"), "Main")

    assert made[3:] == ["Rocking Chair, right foot"] * 2 + ["? 8 counts"] + ["Rocking Chair, right foot"] * 2


def test_a_tag_may_be_a_section_only() -> None:
    """`set 1 only` behind the wall at whose end it is danced."""
    text = SETS.format(24, "Tag (8 counts) - end of wall 4: set 1 only")

    assert body(text, "Tag") == ["Vine, right foot", "Vine, left foot"]


def test_a_row_of_a_table_that_says_its_steps_heads_nothing() -> None:
    """Whatever counts it has, and whatever stands below it; letters of sections end no dance."""
    row = "D\t1-6\tL over R, R side, L behind R, R side, L over R, point R"
    table = f"Section\tCounts\tSteps\nC\t1-3\tL fwd, R fwd, L fwd\n{row}\nRepeat C-D on the other foot"
    made = drafted(f"Osier Row   18   2 walls   line dance\n\n{table}\n")

    assert "S(L) S(R) S(L) S(R) S(L) PT(R)" in made
    assert "Main until the music ends\n" in made
    assert "part Main: 18 counts" in made


def test_one_place_of_a_foot_lasts_no_several_counts() -> None:
    """Where a word that says where one foot goes is not a step, all of its counts are a blank."""
    assert body(ROW.format("1-8 Touch R, touch L, side tog, touch R"), "Main") == ["? 8 counts"]
    assert body(ROW.format("Touch R, touch L, side tog, touch R"), "Main") == ["? 8 counts"]


def test_rs_before_a_wall_is_a_restart() -> None:
    """What is danced otherwise there is open, and so is how the dance is finished."""
    rows = "1-4 Vine right, touch\n5-8 Vine left, touch\n"
    made = sc.draft(
        f"Osier Row\n8 counts, 4 walls, line dance\n\n{rows}\nRS wall 3 after 4. Make the touch a step!!\n"
        "RS wall 6 after 4. Finish: stomp on the word home\n"
    )

    assert made.text.count("Main, first 4 counts") == 2
    assert any("Make the touch" in each for each in made.open) and any("stomp on the" in each for each in made.open)


def test_the_words_of_a_tag_that_is_a_blank_stand_beside_it() -> None:
    """More is read than is stated of it: nobody knows which of its lines lasts less."""
    tag = "Tag after wall 2, 4 counts:\nR rumba box fwd\nL side, together, back, hold\n"
    made = sc.draft(f"Osier Row\n4 counts, 4 walls, line dance\n\n1-4 Vine right, touch\n\n{tag}").text

    assert "? 4 counts" in made and "rumba box" in made and "together, back" in made


def test_a_reminder_is_no_step() -> None:
    """How small the steps are is told to the dancers, whatever numbers stand before it."""
    said = "First, a reminder: we count to three, and to six for two bars. Small steps, everyone."
    rows = "Counts 1 to 6: Walks\n1 Left forward. 2 Right forward. 3 Left forward.\n4 Right back. 5 Left back. 6 Right back."
    made = sc.draft(f"Osier Row\nA waltz line dance, 6 counts, 2 walls\n\n{said}\n\n{rows}\n").text

    assert "counts 1-6:" in made and "? " not in made and "small" not in made and "# First, a reminder" in made


def test_a_column_of_feet_says_which_foot_begins_a_figure_that_goes_to_the_other_side() -> None:
    """`weave left` begins with the right foot where its column says so; heels that split have no foot."""
    rows = "Counts | Foot | What\n1-4 | R | weave left: cross, side, behind, side\n5-8 | R | stomp, stomp, heels apart, heels in\n"
    made = sc.draft(f"Osier Row\n8 counts, 1 wall, line dance\n\n{rows}").text

    assert "Weave, right foot" in made and "STO(R) STO(L) SPL SPL" in made


@pytest.mark.parametrize(
    "steps",
    [
        "Bump hips R R L L (weight on L)",
        "Bump hips R, R, L, L (wt. ends on L)",
        "Bump R, R, L, L  (end up with your weight on L)",
        "Step R side bumping hips R, R, then L, L (weight on L)",
    ],
)
def test_weight_behind_hip_bumps_is_noted_and_never_dropped(steps: str) -> None:
    """Hip bumps are on both feet, so that no claim can hold: the note says which foot has the weight."""
    made = sc.draft(ROW.format(f"1-4 {steps}\n5-8 Rock R fwd, recover L, step R back, L together"))

    assert "BUMP" in made.text and "left, left weight on the left)" in made.text
    assert () == made.open


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-2 LF step fwd, 1/2 turn right on both balls (weight RF)", ["S(L) PV S(R), turn 1/2 right @2"]),
        ("1-2 Step L fwd, turn 1/2 right on the balls of both feet", ["S(L) PV S, turn 1/2 right @2"]),
        ("1-2 RF point right, 1/4 turn right on LF and RF close to LF", ["PT(R) CL(R), turn 1/4 right @2"]),
        ("1-2 Point R to right, 1/4 turn right on L and step R beside L", ["PT(R) S(R), turn 1/4 right @2"]),
        ("1-2 Split both heels out, bring them back in", ["SPL SPL"]),
        ("1-2 Push heels apart, close them", ["SPL SPL"]),
        ("1-2 Stomp R, stomp L (end with weight on R so your L is free)", ["STO(R) STU(L)"]),
        ("1-2 Stomp R, stomp L (weight stays on L leaving R free)", ["STO(R) STO(L)", "expect right foot"]),
    ],
)
def test_what_bears_a_turn_or_is_free_is_no_step(said: str, wanted: list[str]) -> None:
    """The foot behind the word for weight has it, and heels that part come back."""
    made = sc.draft(ROW.format(f"{said}\n3-8 Hold"))

    assert [each for each in body(ROW.format(f"{said}\n3-8 Hold"), "Main") if each[0] != "#"][:-1] == wanted
    assert not made.open


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-2 Step R right, close L", "S(R) CL(L)"),
        ("1-2 Point LF left, LF together", "PT(L) S(L)"),
        ("1-4 Touch R right, touch R beside L, kick R right, hold", "TCH(R) TCH(R) K(R) HOLD"),
        ("1-4 Walk R L R, touch L left", "S(R) S(L) S(R) TCH(L)"),
    ],
)
def test_a_side_in_full_behind_the_letter_of_a_foot_is_where_that_goes(said: str, wanted: str) -> None:
    """No foot moves twice because both are said."""
    assert body(ROW.format(f"{said}\n{int(said[2]) + 1}-8 Hold"), "Main")[0] == wanted


@pytest.mark.parametrize("said", ["1-2 Wobble both heels, bring them in", "1-2 Wobble, then close them"])
def test_what_is_done_with_something_that_is_not_read_is_no_step(said: str) -> None:
    """No foot steps where they are brought."""
    made = body(ROW.format(f"{said}\n3-8 Hold"), "Main")

    assert made[0].startswith("?") and not any("Step" in each or "Close" in each for each in made)


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-4 Right, touch, left, touch", "S(R) TCH S(L) TCH"),
        ("1-4 Step R, kick, L, kick", "S(R) K S(L) K"),
        ("1-4 Right, touch, left, together", "S(R) TCH S(L) S(R)"),
        ("1-4 Touch R, L, R, L", "TCH(R) TCH(L) TCH(R) TCH(L)"),
        ("1-4 Walk R, L, R, touch", "S(R) S(L) S(R) TCH"),
    ],
)
def test_a_foot_behind_a_touch_that_has_none_steps(said: str, wanted: str) -> None:
    """`R, touch, L, touch`: the touch is of the other foot; a touch that says its foot is made again by the next."""
    assert body(ROW.format(f"{said}\n5-8 Hold"), "Main")[0] == wanted


@pytest.mark.parametrize(
    ("said", "facing"),
    [("you are home", "front"), ("you're back home", "front"), ("now you are back to back", "back"), ("step home", "")],
)
def test_home_is_the_front_wall_of_who_is_there(said: str, facing: str) -> None:
    """`you are home` claims it; a foot that goes home claims nothing."""
    made = claims(said)

    assert (made.facing if made else "") == facing


def test_a_line_that_ends_in_a_little_word_goes_on_whatever_counts_it_begins_with() -> None:
    """A count behind the word that is cut off, `next to / L (7)`, is no step of its own."""
    text = (
        "Osier Row\n8 counts, 4 walls, line dance\n\n1. STIR.  Cross R over L, step back L, step R to the side, cross L over R\n"
        "    (1 2 3 4).  Rock R out to the side, recover on L (5 6).  Touch R next to\n    L (7), clap (8).\n"
    )

    assert body(text, "Main") == ["S(R) S(L) S(R) S(L)", "RK(R) RC(L)", "TCH(R) CLAP"] and not sc.draft(text).open
