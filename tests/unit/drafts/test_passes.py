"""Restarts and tags of a line dance: on which walls, after how many counts, told once or several times."""

import pytest

import stepcheck as sc
from tests.unit.drafts.test_wordings import body, danced

SHEET = (
    "Osier Row\n32 counts, 2 walls, line dance\n{}\n\n"
    "S1\n1-8 Vine right, vine left\n{}S2\n1-8 Vine right, vine left\n{}"
    "S3\n1-8 Vine right, vine left\nS4\n1-8 Vine right, vine left\n{}\n"
)
CUT = ["Main", "Main, first 8 counts", "Main x2", "Main, first 16 counts", "Main until the music ends"]


@pytest.mark.parametrize(
    ("above", "first", "second", "below"),
    [
        ("RST w2 after 8, w5 after 16", "   *RST w2 (becomes w3)\n", "   **RST w5\n", ""),
        ("Restarts: 2", "*RESTART 1: WALL 2 (so walls 3 & 4 are sideways!)\n", "**RESTART 2: WALL 5\n", ""),
        ("", "RESTART 1 - wall 2\n", "RESTART 2 - wall 5\n", ""),
        (
            "Restarts: two",
            "",
            "",
            "Restart 1: wall 2 after 8 counts\nRestart 2: wall 5 after 16 counts (wall 6 begins at the back)",
        ),
        ("2 restarts", "", "", "Restart 1: wall 2 after 8 counts\nRestart 2: wall 5 after 16 counts"),
    ],
)
def test_a_restart_is_danced_once_however_often_it_is_told(above: str, first: str, second: str, below: str) -> None:
    """Its number is no wall, a wall in a bracket behind its own is another one, and a line over the dance says it
    again."""
    text = SHEET.format(above, first, second, below)

    assert [each for each in danced(text) if each and each != "expect facing back"] == CUT
    assert not [said for said in sc.draft(text).open if "estart" in said or "RST" in said]


@pytest.mark.parametrize("said", ["Restarts: 3", "Restarts: 2   Tags: 1", "*** 3 easy restarts - don't panic! ***"])
def test_how_many_restarts_a_header_counts_is_open_where_the_dance_has_others(said: str) -> None:
    """A number that the lines of the dance don't bear out is named."""
    text = SHEET.format(said, "Restart here on wall 2\n", "Restart here on wall 5\n", "")

    assert any(said.split("   ")[-1].strip("* ") in each for each in sc.draft(text).open)
    assert [*filter(None, danced(text))] == CUT
    assert not sc.draft(text.replace(said, "2 easy restarts, don't worry")).open


@pytest.mark.parametrize(
    "said",
    [
        "Tag: after the 2nd and 4th time through (both times you're at the front) add one vine right and touch",
        "Tag: after the second and fourth time (facing front both times) do a vine right with a touch",
        "Tag: after the second, and fourth walls (front): vine right, touch",
    ],
)
def test_a_tag_is_danced_behind_each_wall_that_is_named(said: str) -> None:
    """Ordinals in a row are as many walls."""
    text = SHEET.format("", "", "", said)

    assert danced(text) == ["Main x2", "expect facing front", "Tag", "Main x2", "expect facing front", "Tag", *CUT[-1:]]
    assert body(text, "Tag") == ["Vine, right foot"]


TABLE = "Osier Row\n8 counts, 2 walls, line dance\n\nCounts\tSteps\tFacing\n1-4\tVine right, touch\t12\n5-8\tVine left, touch\t12\n{}\n"


def test_a_column_of_facings_holds_no_length_of_a_tag() -> None:
    """The hour in it is where the tag is danced."""
    text = (
        TABLE.format("Tag\tend of walls 2 and 4\tSway R, L, R, L (4 ct)\t12")
        .replace("Counts\tSteps\tFacing", "Sec\tCounts\tSteps\tFacing")
        .replace("\n1-4", "\n1\t1-4")
        .replace("\n5-8", "\n\t5-8")
    )

    assert body(text, "Tag") == ["S(R) S(L) S(R) S(L)"]
    assert danced(text)[:3] == ["Main x2", "expect facing 12:00", "Tag"]


def test_a_facing_under_a_restart_is_where_it_faces() -> None:
    """It is told of the wall that is cut, and not of the dance."""
    text = TABLE.format("\nRestart:\tWall 3, after count 4\nFaces:\t6:00")

    assert danced(text)[:3] == ["Main x2", "Main, first 4 counts", "expect facing 6:00"]
    assert "facing 6:00" not in " ".join(body(text, "Main"))
    assert "Restart::" not in sc.draft(text).text


@pytest.mark.parametrize(
    "said", ["TAG: End of wall 2: 8 counts: repeat section 1", "Tag after wall 2: repeat section 1"]
)
def test_a_tag_that_repeats_a_section_is_not_danced_in_the_dance(said: str) -> None:
    """Its lines are those of the tag."""
    text = SHEET.format("", "", "", said)

    assert len(body(text, "Main")) == 8
    assert body(text, "Tag") == ["Vine, right foot", "Vine, left foot"]
    assert danced(text)[:2] == ["Main x2", "Tag"]


CUES = (
    "Osier Row\n32 counts, 2 walls, line dance\n\n"
    "S1  R shuffle fwd, L shuffle fwd, step R 1/2 pivot L, step R 1/2 pivot L\n{}"
    "S2  R lock step fwd scuff L, L lock step fwd scuff R\n"
    "S3  vine R touch, vine L touch\nS4  vine R touch, vine L touch\n\n{}\n"
)


@pytest.mark.parametrize(
    "said",
    [
        "(no turners: rocking chair)",
        "(non-turners: rocking chair)",
        "[easy: rocking chair]",
        "(or rocking chair)",
        "(lazy version - rocking chair)",
        "(instead of the turns: rocking chair)",
        "(bad knees: leave out the turns, rocking chair)",
        "(if turning is too much, rocking chair)",
    ],
)
def test_what_some_do_instead_on_a_line_of_its_own_takes_the_place_of_nothing(said: str) -> None:
    """The steps before it are danced, it is a remark on them, and a restart under it is behind them."""
    text = CUES.format(f"    {said}\n    ** restart wall 3\n", "")
    made = sc.draft(text)

    assert made.text.count("PV") == 2 and "Rocking Chair" not in made.text and said.strip("()[]") in made.text
    assert [*filter(None, danced(text))] == ["Main x2", "Main, first 8 counts", "Main until the music ends"]
    assert not made.open


@pytest.mark.parametrize("said", ["no turners: rocking chair", "Easy option: rocking chair", "Alternative: vine R"])
def test_what_some_do_instead_without_a_bracket_is_open_and_takes_the_place_of_nothing(said: str) -> None:
    """As any other sentence on what some do."""
    made = sc.draft(CUES.format(f"{said}\n", ""))

    assert made.text.count("PV") == 2 and [f"line 5: {said}"] == [*made.open]


@pytest.mark.parametrize(
    ("said", "starts", "faced"),
    [
        ("Finish: wall 7 starts at 6, do up to end of S2 and you're at the front. Stomp R!", "6:00", "front"),
        ("Finish: wall 7 starts at 6:00, dance up to the end of S2, you're at 12, stomp R", "6:00", "12:00"),
        ("Ending: Wall 7 begins facing the back. Dance to end of section 2 then stomp R and pose", "back", ""),
        ("FINISH - Wall 7 (6:00): do S1 & S2 and you're facing 12. Stomp R!", "", "12:00"),
        ("Finish\tWall 7, back wall: first 16 counts (you're on the front), then stomp R", "back", "front"),
        ("Ending: you start wall 7 facing 6:00. Dance counts 1-16, then stomp R", "6:00", ""),
    ],
)
def test_an_end_says_its_wall_its_section_and_a_step(said: str, starts: str, faced: str) -> None:
    """Where its wall begins is no count but a claim, and the section over it is no title."""
    text = CUES.format("", said)
    made = sc.draft(text)

    begun, ended = ([f"expect facing {each}"] * bool(each) for each in (starts, faced))
    cut = ["Main x6", *begun, "Main, first 16 counts", *ended, "Ending"]
    assert [*filter(None, danced(text))] == cut and "Stomp, right foot" in made.text and not made.open


@pytest.mark.parametrize("head", ["~ {} ~", "{}", "PART {}:"])
@pytest.mark.parametrize("label", ["Order of the parts:", "SEQUENCE", "Order:"])
@pytest.mark.parametrize("mark", ["{})", "{}.", " {}:"])
def test_an_order_may_be_a_numbered_list(head: str, label: str, mark: str) -> None:
    """Each line names a part, how often it is danced, and how much of it; its number is no count."""
    rows = "\n".join(f"{mark.format(at)} {said}" for at, said in enumerate(("A", "B", "A, first 8 only", "B x2"), 1))
    parts = f"{head.format('A')}\n1-8  Vine right, vine left\n9-16 Vine right, vine left\n\n"
    text = f"Osier Row\nPhrased line dance\n\n{label}\n{rows}\n\n{parts}{head.format('B')}\n1-4 Rocking chair\n"

    assert [*filter(None, danced(text))] == ["A", "B", "A, first 8 counts", "B x2"] and not sc.draft(text).open


PARTS = "PART A\n1-8  Vine right, vine left\n\nPART B\n1-4 Rocking chair\n"


def test_an_order_says_where_dancers_face_behind_a_part() -> None:
    """`B (to 6:00)` is danced, and what is claimed stands behind it."""
    text = f"Osier Row\nPhrased line dance\nSequence: A, B, A, B (to 6:00)\n\n{PARTS}"

    assert [*filter(None, danced(text))] == ["A", "B", "A", "B", "expect facing 6:00"] and not sc.draft(text).open


def test_an_order_of_which_the_end_is_not_read_is_none() -> None:
    """Steps behind it that no part has are open with all of it, and only half of it is danced by nobody."""
    said = "A twice, B, A twice. Then the fiddle comes in, 16 counts, do A-1 and A-2."
    made = sc.draft(f"Osier Row\nPhrased line dance\nSequence: {said}\n\n{PARTS}")

    assert "\ndance:" not in made.text and any(said[:30] in each for each in made.open)


def test_counts_behind_the_wall_of_a_tag_are_no_walls() -> None:
    """`wall 2, 1-4:` is one wall, and the counts of the tag."""
    text = SHEET.format("", "", "", "TAG: end of wall 2, 1-4: stomp R, hold, stomp L, hold")

    assert [*filter(None, danced(text))] == ["Main x2", "Tag", "Main until the music ends"]


@pytest.mark.parametrize(
    "said", ["RESTART DANCE IN NEW DIRECTION", "Restart the dance facing the new wall", "RESTART DANCE"]
)
def test_the_dance_that_restarts_on_no_wall_begins_again(said: str) -> None:
    """It is no restart of which the wall is missing."""
    text = SHEET.format("", "", "", said)

    assert [*filter(None, danced(text))] == ["Main until the music ends"] and not sc.draft(text).open


def test_rounds_are_walls_and_a_tag_or_bridge_is_one_thing() -> None:
    """`after end of 2nd and 4th round` names two walls, and the steps below are the tag's."""
    text = SHEET.format("", "", "", "\nTag/Bridge (after end of 2nd and 4th round)\n1-4 Hip bumps R R L L")
    made = sc.draft(text)

    assert [*filter(None, danced(text))] == ["Main x2", "Tag", "Main x2", "Tag", "Main until the music ends"]
    assert "BUMP BUMP BUMP BUMP" in made.text.split("part Tag")[1] and not made.open


def test_where_a_wall_starts_is_not_where_it_is_cut() -> None:
    """`at the front when it starts` is no facing of the restart."""
    said = "Restart in 3rd time thru, after 8 counts. We're at the front when it starts so at the back when we restart."

    assert "expect facing back" in danced(SHEET.format("", "", "", said))


@pytest.mark.parametrize(
    "said",
    [
        "Intro 32 counts. Tag after wall 2. Restart on wall 3.",
        "Restart on wall 3. Tag at the end of wall 2. High beginner / easy improver.",
        "Tag end of W2; Restart W3. Improver",
        "Tag wall 2 / Restart wall 3",
    ],
)
def test_a_header_that_sums_up_restarts_and_tags_adds_none(said: str) -> None:
    """Each of its sentences is of its own walls and of the restart or the tag that is told below, and a level behind
    them is one."""
    text = SHEET.format(said, "", "Restart here on wall 3\n", "Tag (end of wall 2): 1-4 Rocking chair")
    made = sc.draft(text)

    wanted = ["Main x2", "Tag", "Main, first 16 counts", "Main until the music ends"]
    assert [*filter(None, danced(text))] == wanted and body(text, "Tag") == ["Rocking Chair"] and not made.open
    assert ("level:" in made.text) is ("mprover" in said)


@pytest.mark.parametrize(
    "head",
    [
        "TAG (after W3) K step:",
        "Tag after wall 3: K step:",
        "Tag (end of wall 3) Four wobbles:",
        "Tag: when wall 3 is done add a K Step",
        "Tag, 8 counts, after wall 3 - vine right, vine left",
    ],
)
def test_words_over_the_rows_of_a_tag_are_its_title(head: str) -> None:
    """The rows below that count from one are the tag's, whether the words are known or not, and are not danced twice."""
    rows = "1-4 R fwd, touch L, L back, touch R\n5-8 R back, touch L, L fwd, touch R"
    text = SHEET.format("", "", "", f"{head}\n{rows}")

    assert len(body(text, "Main")) == 8 and body(text, "Tag") == ["S(R) TCH(L) S(L) TCH(R)"] * 2
    assert danced(text)[:2] == ["Main x3", "Tag"] and not sc.draft(text).open


@pytest.mark.parametrize(
    "said",
    [
        "Tag after wall 2: rocking chair, then carry on with wall 3.",
        "Tag (4 counts) after the second wall, then go straight into wall 3: rocking chair",
        "There is one tag. It comes after the second time through. Rocking chair, and go on with the third wall.",
        "Tag at the end of wall 2, before you start wall 3: rocking chair",
        "Tag before wall 3: rocking chair",
        "Tag (4 counts) before you start the third wall: rocking chair",
    ],
)
def test_the_wall_with_which_a_dance_goes_on_has_no_tag_of_its_own(said: str) -> None:
    """What is danced before it is behind the one before."""
    text = SHEET.format("", "", "", said)

    assert [*filter(None, danced(text))] == ["Main x2", "Tag", "Main until the music ends"]
    assert body(text, "Tag") == ["Rocking Chair"] and not sc.draft(text).open


@pytest.mark.parametrize(
    ("said", "faced"),
    [
        ("Restart on wall 2 after 8 counts and go on with wall 3 at the back", "back"),
        ("Restart on wall 2 after 8 counts, wall 3 begins at the back", "back"),
        ("Restart on wall 2 after 8 counts, then start wall 3 facing 6:00", "6:00"),
    ],
)
def test_the_wall_behind_a_restart_is_not_cut(said: str, faced: str) -> None:
    """It says where dancers face when they restart."""
    wanted = ["Main", "Main, first 8 counts", f"expect facing {faced}", "Main until the music ends"]

    assert [*filter(None, danced(SHEET.format("", "", "", said)))] == wanted


@pytest.mark.parametrize("said", ["Tag after wall 2 and wall 3: vine right", "Tag: wall 2, then wall 3: vine right"])
def test_two_walls_in_a_row_may_both_have_a_tag(said: str) -> None:
    """No word says that the second only goes on."""
    assert danced(SHEET.format("", "", "", said))[:4] == ["Main x2", "Tag", "Main", "Tag"]


def test_a_figure_in_front_of_its_feet_keeps_where_it_goes() -> None:
    """Its direction is a note of the steps that are its feet."""
    text = SHEET.format("", "", "", "Tag after wall 2: balance forward (left, right, left), balance back (R, L, R)")

    assert "(balance: forward, balance: back)" in sc.draft(text).text


@pytest.mark.parametrize(
    "said", ["Do the vine with no turn", "Dance the vine without the touch", "Don't turn the vine"]
)
def test_a_restart_that_changes_steps_is_open(said: str) -> None:
    """The wall that it cuts has other steps than the dance."""
    made = sc.draft(SHEET.format("", "", "", f"Restart: wall 2, after 16 counts. {said} and restart facing 12:00."))

    assert [line for line in made.open if said in line]


MARKED = (
    "Osier Row\n16 counts, 1 wall, line dance\nEasy. Tag end of W3. Restart W5.\n\nVine R, vine L [1-8] {0}\n"
    "Rocking chair R [9-12]\nStomp R, stomp L, clap, clap [13-16]\n\n"
    "TAG (after W3, facing 12:00) {1}:\nRock fwd R, rec L, rock back R, rec L [1-4]\nStomp R, hold, stomp L, hold [5-8]\n\n"
    "{0} = Restart, W5 only, after 8 ct\n"
)


@pytest.mark.parametrize("mark", ["*R*", "(R)", "R*", "<R>", "[R]"])
@pytest.mark.parametrize("title", ["K step", "Rocking chair, stomps"])
def test_a_mark_is_no_foot_and_a_title_of_a_tag_no_step(mark: str, title: str) -> None:
    """Letters that a line below explains are none of the dance; the steps under the title are all of the tag, of which
    the line above the dance told no more."""
    text = MARKED.format(mark, title)

    assert body(text, "Main") == [
        "Vine, right foot",
        "Vine, left foot",
        "Rocking Chair, right foot",
        "STO(R) STO(L) CLAP CLAP",
    ]
    assert body(text, "Tag") == ["RK(R) RC(L) RK(R) RC(L)", "STO(R) HOLD STO(L) HOLD"]
    wanted = ["Main x3", "expect facing 12:00", "Tag", "Main", "Main, first 8 counts", "Main until the music ends"]
    assert [line for line in danced(text) if line] == wanted and not sc.draft(text).open


@pytest.mark.parametrize(
    ("said", "starts"),
    [
        ("END: W7 starts 9:00 and finishes 6:00. Add step R fwd, 1/2 pivot L.", "9:00"),
        ("Ending: at the end of wall 7, facing 6:00, step R forward, pivot 1/2 left", ""),
        ("Ending: after wall 7 (6:00) step R forward, pivot 1/2 left", ""),
        (
            "Ending: wall 7 starts at 12:00. Dance the whole wall to face 6:00, then step R forward, pivot 1/2 left",
            "12:00",
        ),
    ],
)
def test_an_end_behind_a_whole_wall_says_no_count(said: str, starts: str) -> None:
    """All of the wall is danced, and the last steps behind it."""
    text = SHEET.format("", "", "", said)

    begun = [f"expect facing {starts}"] * bool(starts)
    assert [*filter(None, danced(text))] == ["Main x6", *begun, "Main", "expect facing 6:00", "Ending"]
    assert body(text, "Ending") == ["S(R) PV S, turn 1/2 left @2"] and not sc.draft(text).open


def test_where_the_last_step_faces_is_not_where_it_begins() -> None:
    """A facing behind the last steps is theirs."""
    said = "Ending: wall 7, dance 12 counts, step R forward, pivot 1/2 left to face the front"
    text = SHEET.format("", "", "", said)

    assert [*filter(None, danced(text))] == ["Main x6", "Main, first 12 counts", "Ending"]
    assert body(text, "Ending") == ["S(R) PV S, turn 1/2 left @2, facing front"]


@pytest.mark.parametrize(
    ("said", "starts", "faced"),
    [
        ("Restart: wall 3 starts at the front, dance 16 counts and start over from the BACK wall", "front", "back"),
        ("Restart:\tWall 3 begins at 9:00. Dance 16 counts and start again facing 12:00.", "9:00", "12:00"),
        ("Restart wall 3 (starting at 6) after 16 counts, you'll be on the front wall", "6:00", "front"),
        ("Restart: you start wall 3 facing 3:00, do 16 counts and begin again", "3:00", ""),
        ("Restart: do 16 counts of wall 3 and start facing 6:00", "", ""),
    ],
)
def test_where_a_wall_starts_is_claimed_before_it(said: str, starts: str, faced: str) -> None:
    """It is no facing of the restart; how dancers are told to start anew is none of the wall."""
    text = SHEET.format("", "", "", said)

    begun, ended = ([f"expect facing {each}"] * bool(each) for each in (starts, faced))
    assert danced(text) == ["Main x2", *begun, "Main, first 16 counts", *ended, "Main until the music ends"]


def test_walls_of_which_only_the_start_is_told_again_keep_their_cuts() -> None:
    """Where each of them starts is claimed, and a wall behind a tag starts behind it."""
    marks = SHEET.format("", "Restart here on walls 2 and 5\n", "", "{}\nTag after wall 3: hip bumps R, R, L, L")
    said = "Restarts: wall 2 starts facing 3:00 and wall 5 starts facing 9:00."

    cut, tagged = "Main, first 8 counts", ["Main", "Tag", "Main"]
    wanted = ["Main", "expect facing 3:00", cut, *tagged, "expect facing 9:00", cut, "Main until the music ends"]
    assert [*filter(None, danced(marks.format(said)))] == wanted


@pytest.mark.parametrize(
    "mark",
    [
        "     << RESTART W3",
        "  RESTART W3",
        "  (Restart here on wall 3)",
        " [RST W3]",
        "  <-- RESTART WALL 3",
        " ~ restart here, wall 3",
    ],
)
def test_a_restart_may_stand_at_the_end_of_a_row(mark: str) -> None:
    """Behind a sign, a gap or in a bracket: it is no step of the row, and cuts behind it."""
    text = SHEET.format("", "", "", "").replace("vine left\nS3", f"vine left{mark}\nS3")

    assert danced(text) == ["Main x2", "Main, first 16 counts", "Main until the music ends"]
    assert not sc.draft(text).open


def test_a_row_of_a_table_that_is_a_restart_heads_no_section() -> None:
    """The counts that begin anew below it are sections as those above it."""
    rows = "1-4\tR\tVine right, touch\n5-8\tL\tVine left, touch\n"
    text = f"Osier Row\n32 counts, 2 walls, line dance\n\nCount\tFoot\tMovement\n{rows}\n{rows}\t\tRESTART on wall 5\n\n{rows}\n{rows}"
    made = sc.draft(text)

    assert danced(text) == ["Main x4", "Main, first 16 counts", "Main until the music ends"]
    assert "counts 17-24:\n" in made.text and "counts 25-32:\n" in made.text and not made.open


@pytest.mark.parametrize("said", ["1 restart, 1 tag", "1 Tag / 1 Restart", "1 tag 1 restart 1 ending"])
def test_how_many_there_are_is_no_order_of_parts(said: str) -> None:
    """Its numbers are no sections, and the lines that begin with its words are no heads."""
    text = SHEET.format(
        said,
        "",
        "Restart here on wall 3\n",
        "Restart: wall 3 starts at 6:00\nTag: after wall 5: hip bumps R, R, L, L\nEnding: wall 9, dance 8 counts, stomp R",
    ).replace("S1", "Section 1: Vines")

    done = [*filter(None, danced(text))]
    assert done[:3] == ["Main x2", "expect facing 6:00", "Main, first 16 counts"]
    assert done[3:6] == ["Main x2", "Tag", "Main x3"]


def test_how_often_a_wall_was_at_the_front_is_not_where_a_restart_faces() -> None:
    """`back at the front wall for the 2nd time` is where the wall begins."""
    said = "restart!! wall 5 (ur back at the front wall for the 2nd time). do the first 16 then go from the top"
    wanted = ["Main x4", "Main, first 16 counts", "Main until the music ends"]

    assert [*filter(None, danced(SHEET.format("", "", "", said)))] == wanted


def test_a_tag_may_be_counts_of_the_dance_an_extra_time() -> None:
    """Where dancers are then is claimed, by its hour alone as well."""
    text = SHEET.format("", "", "", "TAG  after wall 2 (you're on 6): do 25-32 one extra time")

    assert danced(text)[:3] == ["Main x2", "expect facing 6:00", "Tag"]
    assert body(text, "Tag") == ["Vine, right foot", "Vine, left foot"] and not sc.draft(text).open


def test_each_wall_with_counts_of_its_own_is_cut() -> None:
    """`on wall 3 after 8 counts, and on wall 4 start again after 4 counts`: the second is no wall to go on with."""
    text = "T\n16 counts, 4 walls\n\n1-8 Vine right, touch, vine left, touch\n9-16 Vine right, touch, vine left 1/4 left, touch\n\n{}\n"

    both = sc.draft(text.format("Restart on wall 3 after 8 counts, and on wall 4 start again after 4 counts")).text
    one = sc.draft(text.format("Restart on wall 3 after 8 counts and go on with wall 4")).text

    assert [line.partition("  #")[0].strip() for line in both.partition("dance:\n")[2].splitlines()][:3] == [
        "Main x2",
        "Main, first 8 counts",
        "Main, first 4 counts",
    ]
    assert "first 8 counts" in one and "first 4" not in one


@pytest.mark.parametrize(
    ("line", "song", "artist"),
    [
        ("Artist/Song: Low Water - Reed Sisters", "Low Water", "Reed Sisters"),
        ("Artist/Song: Reed Sisters - Low Water", "Low Water", "Reed Sisters"),
    ],
)
def test_a_band_behind_a_song_is_no_song(line: str, song: str, artist: str) -> None:
    """Where the label names the artist first and the line the song, the name that only players have decides."""
    made = sc.draft(f"T\n{line}\n16 counts\n\n1-8 Vine right, touch, vine left, touch\n").text

    assert f"song: {song}\nartist: {artist}\n" in made


@pytest.mark.parametrize("said", ["(front again)", "(12:00 again)", "facing the front again"])
def test_where_a_tag_faces_again_is_none_of_its_steps(said: str) -> None:
    """The steps behind it are read."""
    text = SHEET.format("", "", "", f"Tag after wall 4 {said}: sway right, left, right, left (4 counts)")

    assert body(text, "Tag") == ["S(R) S(L) S(R) S(L)"]
    assert "expect facing" in " ".join(danced(text)) and not sc.draft(text).open


@pytest.mark.parametrize(
    ("said", "walls"),
    [
        ("There is a small tag when you have done three walls: {}, 4 counts, and on we go.", 3),
        ("Tag after two walls: {} (4 counts)", 2),
        ("Once you've danced 3 full walls, add a tag of 4 counts: {}", 3),
        ("After the first two rounds there is a tag: {}, 4 counts", 2),
    ],
)
def test_a_tag_behind_so_many_walls_is_behind_the_last_of_them(said: str, walls: int) -> None:
    """However it is said that they are danced."""
    text = SHEET.format("", "", "", said.format("sway right, left, right, left"))

    assert danced(text)[:2] == [f"Main x{walls}", "Tag"] and body(text, "Tag") == ["S(R) S(L) S(R) S(L)"]
    assert not sc.draft(text).open


def test_a_restart_when_so_many_walls_are_danced_is_open() -> None:
    """It may be of the last of them or of the next one."""
    made = sc.draft(SHEET.format("", "", "", "When you have danced 5 walls restart after 16 counts"))

    assert "first 16" not in made.text and made.open


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        (
            "Restart after 8 counts on walls 2 (3:00) and 4 (12:00)",
            [
                "Main",
                "Main, first 8 counts",
                "expect facing 3:00",
                "Main",
                "Main, first 8 counts",
                "expect facing 12:00",
            ],
        ),
        ("Restart x2: Wall 2 (8 counts), 4 (8 counts)", ["Main", "Main, first 8 counts"] * 2),
        (
            "Tag at the end of walls 1 (3:00) and 2 (9:00): jazz box",
            ["Main", "expect facing 3:00", "Tag", "Main", "expect facing 9:00", "Tag"],
        ),
    ],
)
def test_each_of_several_walls_with_its_bracket_is_one(said: str, wanted: list[str]) -> None:
    """No wall behind the first is dropped because a bracket stands between them."""
    made = sc.draft(f"Osier Row\n16 counts, 4 walls, line dance\n\n1-8 Vine R, vine L\n9-16 Vine R, vine L\n\n{said}\n")
    dance = [line.partition("#")[0].strip() for line in made.text.partition("\ndance:\n")[2].splitlines()]
    assert dance == [*wanted, "Main until the music ends"] and not made.open


def test_a_turn_at_the_end_is_more_than_a_pose() -> None:
    """What turns dancers at the end of the music isn't dropped with the pose."""
    said = "Ending: The music ends on wall 7 at count 12. Turn 1/2 L to face the front and pose"
    made = sc.draft(f"Osier Row\n16 counts, 4 walls, line dance\n\n1-8 Vine R, vine L\n9-16 Vine R, vine L\n\n{said}\n")
    assert [each for each in made.open if "Turn 1/2 L" in each]


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        (
            "Restart: In the 3. wall after Part 1, you are then on 12:00.",
            ["Main x2", "Main, first 8 counts", "facing 12:00"],
        ),
        (
            "Restart W3 (strt 6.00) after 8 -> still 6.00, go again",
            ["facing 6:00", "Main, first 8 counts", "facing 6:00"],
        ),
        ("RST: W3 (starts @ 6) aft 8 ct, facing 6.", ["facing 6:00", "Main, first 8 counts", "facing 6:00"]),
        ("Restart on wall 3 after 8 counts; you will be on 6 o'clock", ["Main, first 8 counts", "facing 6:00"]),
        ("End: 7. wall begins on 6:00. Dance to the end of Part 1, stomp R", ["Main x6", "facing 6:00", "first 8"]),
        ("Tag: end of wall 4, front wall, 4 counts: sway R, hold, sway L, hold", ["Main x4", "facing front", "Tag"]),
        ("Tag end W4 @12.00, 4ct: sway R, hold, sway L, hold", ["Main x4", "facing 12:00", "Tag"]),
        ("Tag x2 - end W1 + end W3, both front - sway R, L, R, L", ["Main", "front", "Tag", "Main x2", "front", "Tag"]),
        (
            "Tag after walls 2 and 4, front wall both times: sway R, L",
            ["Main x2", "front", "Tag", "Main x2", "front", "Tag"],
        ),
    ],
)
def test_where_dancers_face_at_a_restart_or_a_tag_is_claimed_there(line: str, wanted: list[str]) -> None:
    """However the wall and the facing are typed; no facing is lost, and none is taken for another place's."""
    text = f"Osier Row\n16 counts, 4 walls, line dance\n\nPart 1\n1-8 Vine R, vine L\nPart 2\n9-16 Vine R, vine L\n\n{line}\n"
    made = sc.draft(text)
    dance = [each.strip() for each in made.text[made.text.index("\ndance:") :].splitlines()[2:]]

    runs = [dance[at : at + len(wanted)] for at in range(len(dance) - len(wanted) + 1)]
    assert any(all(said in each for said, each in zip(wanted, run, strict=True)) for run in runs), dance
    assert "facing" not in made.text[: made.text.index("\ndance:")] and () == made.open


def test_a_hall_has_a_back_that_nobody_faces() -> None:
    """What is done at the back of the hall says no facing."""
    text = "Osier Row\n8 counts, line dance\n\n1-8 Vine R, vine L. Mind the people at the back of the hall.\n"

    assert "facing" not in sc.draft(text).text


@pytest.mark.parametrize("end", ["4   (9)", "4   9"])
def test_a_wall_stands_behind_the_length_of_a_row(end: str) -> None:
    """It is no length, also where the row itself doesn't turn."""
    text = f"Osier Row\n16 counts, 4 walls, line dance\n\n1   Vine R, vine L            8\n2   R fwd, pivot 1/4 L, stomp R, stomp L   4\n    R heel, tog, L heel, tog     {end}\n"
    made = sc.draft(text)

    assert "HT(R) S HT(L) S, facing 9:00" in made.text and "part Main: 16 counts" in made.text
    assert () == made.open


@pytest.mark.parametrize(
    ("place", "counts"),
    [
        ("to the pivot in section 2", 14),
        ("to the end of the pivot 1/4 in section 2", 14),
        ("to the end of section 1", 8),
        ("to the rock in section 2", 0),
        ("to the vine in section 1", 0),
        ("to the wobble in section 2", 0),
    ],
)
def test_a_wall_is_cut_at_a_step_that_one_row_of_its_section_ends_in(place: str, counts: int) -> None:
    """Behind that row, never behind the whole section; where no row or several end in it, the line is open."""
    rows = "S1\n1-4 Vine R, touch L\n5-8 Vine L, touch R\nS2\n9-12 Rock R fwd, recover L, R back, touch L\n13-14 Step L, pivot 1/4 R\n15-16 Walk L, R"
    made = sc.draft(
        f"Osier Row\n16 counts, 4 walls, line dance\n\n{rows}\n\nEnding: wall 3, dance {place}, then stomp R\n"
    )

    assert (f"Main, first {counts} counts" in made.text) == bool(counts)
    assert (made.open == ()) == bool(counts)


def test_a_part_without_a_change_of_wall_turns_nothing_in_all() -> None:
    """It is a claim of the part, which a check holds against its turns."""
    text = (
        "OSIER ROW\nPHRASED LINE DANCE   A=8  B=4\nSEQ:  A B A B\n\n--A--\n1-4 VINE R, TOUCH L\n5-8 VINE L, TOUCH R\n\n"
        "--B--  (NO CHANGE OF WALL)\n1-4 ROCKING CHAIR R\n"
    )

    assert "\npart B: 4 counts, no turn" in sc.draft(text).text


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("We put in a 4 count tag: sway R, L, R, L. Wall 7 starts at the front", []),
        ("After wall 2 there is a 4 count tag: sway R, L, R, L. Wall 4 starts at the front", ["Main x2", "Tag"]),
    ],
)
def test_a_tag_does_not_come_behind_the_wall_of_the_next_sentence(said: str, wanted: list[str]) -> None:
    """`Wall 7 starts …` says where that begins; a tag whose own wall is not said is open."""
    text = SHEET.format("", "", "", said)
    lines = [each for each in danced(text) if each]
    assert lines[: len(wanted)] == wanted and ("Tag" in lines) is bool(wanted)
    assert bool(wanted) or any("tag" in each for each in sc.draft(text).open)


@pytest.mark.parametrize(
    ("said", "counts"),
    [
        ("Optional ending: after 12 counts of wall 7, step R forward, pivot 1/2 left", 12),
        ("ENDING\nDance up to count 12 of wall 7, then:\n1-2 Step R forward, pivot 1/2 left", 12),
        ("Ending: on wall 7 replace counts 15-16 with step R forward, pivot 1/2 left", 14),
        ("To finish: during wall 7 change counts 15-16 to step R forward, pivot 1/2 L.", 14),
        ("Finish\nOn wall 7 dance 12 counts and add:\n13-14 Step R forward, pivot 1/2 left", 12),
    ],
)
def test_an_end_says_in_any_order_where_its_wall_is_cut(said: str, counts: int) -> None:
    """In front of the wall or behind it, by the counts that are danced or by those that are replaced, on its line or
    over its rows."""
    text = SHEET.format("", "", "", said)

    assert [*filter(None, danced(text))] == ["Main x6", f"Main, first {counts} counts", "Ending"]
    assert body(text, "Ending") == ["S(R) PV S, turn 1/2 left @2"] and not sc.draft(text).open


@pytest.mark.parametrize(
    ("said", "rows", "wanted", "ending"),
    [
        ("Ending: wall 7, dance 16 counts, then:", "1 Stomp R\n2-4 Hold", ["Main, first 16 counts"], []),
        ("ENDING (wall 7, after 16 counts)", "17 Stomp R\n18-20 Hold", ["Main, first 16 counts"], []),
        (
            "The ending: wall 7 after count 8 of the second section, you face the front with your R free",
            "1 Stomp R\n2-4 Hold",
            ["Main, first 16 counts", "expect facing front"],
            ["expect right foot"],
        ),
        (
            "Ending: wall 7, do the first 16 counts (to 8& in the second section)",
            "1 Stomp R\n2-4 Hold",
            ["Main, first 16 counts"],
            [],
        ),
    ],
)
def test_rows_below_the_words_of_the_end_are_its_steps(
    said: str, rows: str, wanted: list[str], ending: list[str]
) -> None:
    """None of them is danced in the dance; what is claimed there is claimed before them."""
    text = SHEET.format("", "", "", f"Start again\n\n{said}\n{rows}")
    made = sc.draft(text)

    assert [*filter(None, danced(text))] == ["Main x6", *wanted, "Ending"]
    assert body(text, "Ending") == [*ending, "Stomp, right foot", "hold 3 counts"] and not made.open


@pytest.mark.parametrize(
    "said", ["Ending", "ENDING, when the band stops:", "Ending: at the end of the dance", "Big finish:"]
)
def test_rows_below_an_end_of_no_wall_are_none_of_the_dance(said: str) -> None:
    """They are a part that is not danced, and the line over them is open."""
    text = SHEET.format("", "", "", f"{said}\n1-2 Stomp R, stomp L")

    assert [*filter(None, danced(text))] == ["Main until the music ends"]
    assert body(text, "Ending") == ["STO(R) STO(L)"]
    assert [each for each in sc.draft(text).open if said in each]


def test_an_end_of_so_many_counts_is_a_cut() -> None:
    """Where it says no steps none are danced behind the cut."""
    text = SHEET.format("", "", "", "Ending: wall 7, dance 16 counts.")

    assert [*filter(None, danced(text))] == ["Main x6", "Main, first 16 counts"] and not sc.draft(text).open
