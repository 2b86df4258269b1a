"""Sections and counts that a line dances again by their names, and what a head says of how often."""

import pytest

import stepcheck as sc
from tests.unit.drafts.test_wordings import body

WALTZ = (
    "Osier Row\nA waltz line dance, {} counts, 2 walls\n\n"
    "A. Twinkles\n  Cross left over right, right to side, left in place   1 2 3\n"
    "  Cross right over left, left to side, right in place   4 5 6\n"
    "B. Basic half turn\n  Left fwd, turn 1/2 left and step right back, left together   1 2 3\n"
    "  Right back, left together, right together   4 5 6\n"
)
TWINKLES = ["S(L) S(R) S(L)", "S(R) S(L) S(R)"]
BASICS = ["S(L) S(R) S(L), turn 1/2 left @2", "S(R) S(L) S(R)"]
PARTS = "Osier Row\nline dance\nSequence: A B A\n\nPART A\nA1 {}\n1-2 R point side, 1/4 turn R closing R beside L\n{}\n\nPART B\n1-4 Vine R, touch\n"


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("C. Basic half turn, same as B   1-6", BASICS),
        ("C. Same as B   1-6", BASICS),
        (
            "C. Basic half turn once more; you are now at the front wall   1-6",
            [BASICS[0], f"{BASICS[1]}, facing front"],
        ),
        ("C. Twinkles again   1-6", TWINKLES),
        ("C. Twinkles, as A   1-6", TWINKLES),
    ],
)
def test_a_section_is_danced_again_by_its_name(line: str, wanted: list[str]) -> None:
    """A letter or a title before `again` names the section; where it ends is a claim."""
    made = sc.draft(WALTZ.format(18) + line)

    assert wanted == body(WALTZ.format(18) + line, "Main")[4:] and not made.open


@pytest.mark.parametrize("line", ["C. Twinkles again, faster   1-6", "C. Same as D   1-6", "C. Twinkles again   1-9"])
def test_a_section_that_is_not_known_or_changed_is_a_blank(line: str) -> None:
    """What more is said of it, or other counts, leave it open."""
    made = sc.draft(WALTZ.format(18) + line)

    assert made.open and any(each.startswith("? ") for each in body(WALTZ.format(18) + line, "Main"))


@pytest.mark.parametrize(
    "said", ["5-8 Repeat 1-4 [6:00]", "5-8 Repeat 1-4 (6:00)", "5-8 Repeat counts 1-4 [facing 6:00]"]
)
def test_counts_of_a_part_are_danced_again(said: str) -> None:
    """A head that says how often is a title where its rows come to eight counts, and is open where they don't."""
    rows = "3-4 L point side, L together\n"
    whole = PARTS.format("Monterey 1/4 turn, twice", rows + said)
    lines = ["PT(R) CL(R), turn 1/4 right @2", "PT(L) S(L)"]

    assert [*lines, lines[0], f"{lines[1]}, facing 6:00"] == body(whole, "A")
    assert not [each for each in sc.draft(whole).open if "Repeat" in each or "twice" in each]
    assert any("twice" in each for each in sc.draft(PARTS.format("Monterey 1/4 turn, twice", rows)).open)


@pytest.mark.parametrize(
    "said", ["Begin again on the new wall (3:00).", "Start again (3:00)", "Begin again, now on your new wall [3:00]"]
)
def test_a_facing_where_the_dance_begins_again_is_claimed(said: str) -> None:
    """The hour in brackets is where its last line ends."""
    made = sc.draft(f"Osier Row\n4 counts, 4 walls, line dance\n\n1-4 Vine R turning 1/4 R, touch L\n\n{said}\n")

    assert "Vine, right foot, turn 1/4 right, facing 3:00" in made.text and not made.open


@pytest.mark.parametrize(
    "line", ["5-8 Repeat 1-4 (3 o'clock)", "5-8  repeat 1-4, now facing 3 o'clock", "5-8 Repeat the last 4 (3:00)"]
)
def test_counts_danced_again_end_at_an_hour(line: str) -> None:
    """In words or in digits, the hour is where they end, and no count."""
    text = f"Osier Row\n8 counts, 4 walls, line dance\n\n1-2 Rock R forward, recover L\n3-4 Rock R back, recover L\n{line}\n"

    assert body(text, "Main") == ["RK(R) RC(L)"] * 3 + ["RK(R) RC(L), facing 3:00"] and not sc.draft(text).open


@pytest.mark.parametrize("sign", ["  ", ", ", ". ", " "])
def test_counts_behind_a_row_on_its_line_may_be_danced_again(sign: str) -> None:
    """`3&4 repeat 1&2` stands on its own two counts."""
    text = f"Osier Row\n8 counts, 1 wall, line dance\n\nS1\n1&2 R kick, R step on ball, L step in place{sign}3&4 repeat 1&2\n5-8 Vine R\n"

    assert body(text, "Main") == [*["K(R)@1 BA(R)@1& S(L)@2"] * 2, "Vine, right foot"] and not sc.draft(text).open


@pytest.mark.parametrize("head", ["AND THE OTHER WAY", "Same to the left", "Repeat to the left"])
def test_words_between_counts_that_run_on_are_danced_by_nobody(head: str) -> None:
    """They have no counts of their own, and are a title."""
    text = (
        "Osier Row\n8 counts, 1 wall, line dance\n\nSIDE TO SIDE\n1-2 R side, L touch\n3-4 L side, R touch\n\n"
        f"{head}\n5-6 L side, R touch\n7-8 R side, L touch\n"
    )

    assert body(text, "Main") == ["S(R) TCH(L)", "S(L) TCH(R)", "S(L) TCH(R)", "S(R) TCH(L)"]


@pytest.mark.parametrize(
    "said", ["Same again (1-6) 12 o'clock", "Repeat (1-6) 12:00", "The same once more (1-6) (12:00)"]
)
@pytest.mark.parametrize("head", ["Half turn, back basic", "Half turn once more", "Alder Ferry turn"])
def test_a_title_over_a_line_that_dances_a_section_again_is_no_step(said: str, head: str) -> None:
    """Whatever steps it names: the section before is danced on its counts, and ends where the line says."""
    text = (
        "Alder Ferry Waltz\n12 counts, 1 wall\nWaltz, left foot starts\n\nHalf turn, back basic\n"
        "Left fwd, turn 1/2 left stepping back right, left together (1-3) 6 o'clock\n"
        f"Right back, left together, right in place (4-6)\n\n{head}\n{said}\n"
    )
    made = sc.draft(text)

    assert f"  counts 7-12:  # {head.replace('back basic', 'waltz basic back')}\n" in made.text and not made.open
    assert [each.split(" (")[0] for each in body(text, "Main")[2:]] == [
        "S(L) S(R) S(L), turn 1/2 left @2",
        "S(R) S(L) S(R), facing 12:00",
    ]


FIRST = ["RK(R) RC(L)", "RK(R) RC(L)", "Vine, right foot"]
SECOND = ["Vine, left foot", "Jazz Box, right foot"]
TWO = (
    "Osier Row\n32 counts, 1 wall, line dance\n\nS1\n1-2 Rock R forward, recover L\n3-4 Rock R back, recover L\n"
    "5-8 Vine R\n\nS2\n9-12 Vine L\n13-16 Jazz box R\n\n"
)


@pytest.mark.parametrize(
    "said",
    [
        "S3 + S4\nRepeat 1-16",
        "Sections 3 + 4: repeat 1 & 2",
        "[17-32] Repeat [1-16]",
        "17-32 Repeat the above 16 counts",
        "Repeat counts 1-16",
        "Repeat 1-16",
        "[17-32] Same again",
        "17-32 As 1-16",
        "[17-24] Repeat [1-8]\n[25-32] Repeat [9-16]",
        "17-24 Repeat 1st 8\n25-32 Repeat the second 8",
        "S3\nRepeat S1\n\nS4\nRepeat section 2",
        "S3\n1-8 Repeat section 1\nS4\n1-8 Repeat section 2",
        "S3\nRepeat 1-8\nS4\nRepeat 9-16",
    ],
)
def test_sections_are_danced_again_by_their_numbers_or_their_counts(said: str) -> None:
    """Each is a section of its own, under the head that stands over it, and fills the dance to its counts."""
    made = sc.draft(TWO + said + "\n")

    assert (FIRST + SECOND) * 2 == body(TWO + said + "\n", "Main") and not made.open
    assert "counts 17-24:" in made.text and "counts 25-32:" in made.text


@pytest.mark.parametrize("said", ["on the other foot", "starting with the left", "on L foot"])
@pytest.mark.parametrize("head", ["[17-24] Repeat [1-8]", "S3: Repeat section 1", "17-24 Repeat the first 8"])
def test_a_section_is_danced_again_on_the_foot_that_is_said(said: str, head: str) -> None:
    """With its feet changed where it began on the other one."""
    made = body(TWO + f"{head} {said}\n", "Main")

    assert FIRST + SECOND + ["RK(L) RC(R)", "RK(L) RC(R)", "Vine, left foot"] == made


@pytest.mark.parametrize(
    "said",
    [
        "S3: = S1 mirrored to the left, begin with LF",
        "S3: like S1 mirrored",
        "S3: like S1, but mirrored\n1-8 as S1 on the other foot (LF forward, RF back ...)",
        "S3\n1-8 as S1, but mirrored, begin with LF",
        "S3: as S1 opposite\n1-8 Repeat S1 with the left foot",
        "17-24 like S1 on the opposite foot",
    ],
)
def test_a_section_is_danced_mirrored_by_its_number(said: str) -> None:
    """Told by the head, or by the row of all its counts under it, it is danced once."""
    made = sc.draft(TWO + f"{said}\n\nS4\n25-32 Vine R, vine L\n")

    wanted = ["RK(L) RC(R)", "RK(L) RC(R)", "Vine, left foot", "Vine, right foot", "Vine, left foot"]
    assert body(TWO + f"{said}\n\nS4\n25-32 Vine R, vine L\n", "Main")[5:] == wanted and not made.open


TURNING = "Osier Row\n16 counts, 1 wall, line dance\n\nS1\n1-4 Shuffle R fwd, shuffle L 1/2 turn R\n5-8 Vine R\n\n{}\n"


def test_a_mirror_turns_to_the_other_side() -> None:
    """Where just the foot is another one the turn is not known."""
    assert body(TURNING.format("S2: like S1 mirrored"), "Main")[3:5] == [
        "Shuffle, left foot",
        "Shuffle, right foot, turn 1/2 left",
    ]
    assert sc.draft(TURNING.format("S2: like S1 on the other foot")).open


@pytest.mark.parametrize(
    "said",
    ["S3\n1-8 like S1 but mirrored, last 4 counts", "S3\n1-4 as S1 mirrored", "S3: as S1 mirrored, begin with RF"],
)
def test_a_mirror_of_something_else_is_open(said: str) -> None:
    """Other counts, a piece of it, or the foot that it begins on anyway are in doubt."""
    assert sc.draft(TWO + said + "\n").open


@pytest.mark.parametrize(
    "said", ["S3\nRepeat S4", "[17-24] Repeat [5-12]", "[25-32] Repeat [1-8]", "[17-22] Repeat [1-8]"]
)
def test_counts_that_no_section_fills_stay_open(said: str) -> None:
    """Neither a section that isn't there nor counts on which a repeat can't stand are guessed."""
    made = sc.draft(TWO + said + "\n")

    assert FIRST + SECOND == [each for each in body(TWO + said + "\n", "Main") if not each.startswith("?")]
    assert made.open


def test_a_claim_between_lines_is_none_of_the_lines_danced_again() -> None:
    """Where dancers face after a section is said of its first time only."""
    text = TWO.replace("5-8 Vine R\n", "5-8 Vine R\nYou face 12:00, weight on R\n") + "S3\nRepeat section 1 (6:00)\n"
    made = sc.draft(text).text

    assert "Vine, right foot, facing 6:00" in made and 1 == made.count("facing 12:00")


@pytest.mark.parametrize(
    ("said", "rows"),
    [("3&4 As 1&2", 2), ("3&4 Repeat", 2), ("3&4 Repeat 1&2", 2), ("3&4 the same as 1&2", 2), ("3&4 Same again", 2)],
)
def test_half_a_row_is_danced_again_on_its_counts(said: str, rows: int) -> None:
    """`3&4 As 1&2` dances two counts, and none is invented."""
    text = f"Osier Row\n8 counts, 1 wall, line dance\n\nS1\n1&2 R kick, R step on ball, L step in place\n{said}\n5-8 Vine R\n"
    made = body(text, "Main")

    assert made == [*["K(R)@1 BA(R)@1& S(L)@2"] * rows, *["? 2 counts"] * (2 - rows), "Vine, right foot"]


def test_counts_of_a_section_that_begin_anew_are_its_own() -> None:
    """`3-4 Repeat 1-2` in a section whose counts begin with 1 dances none of the section before."""
    text = (
        "Osier Row\n16 counts, 1 wall, line dance\n\n[1-8]\n1-4 Vine R\n5-8 Vine L\n\n[9-16]\n1-2 Kick R, step R\n"
        "3-4 Repeat 1-2\n5-8 Vine L\n"
    )

    assert ["K(R) S(R)"] * 2 == body(text, "Main")[2:4]


@pytest.mark.parametrize("head", ["S2: 2 rocking chairs", "S2: 4 rocks", "2 ROCKING CHAIRS"])
@pytest.mark.parametrize("again", ["Repeat {}-{}", "Same again", "Rock R forward, recover L, rock R back, recover L"])
@pytest.mark.parametrize("first", [1, 9])
def test_a_number_in_a_title_is_no_count(head: str, again: str, first: int) -> None:
    """The rows under `2 rocking chairs` dance them, whether their counts run on or begin anew; what is danced again
    among them is theirs."""
    again = f"{first + 4}-{first + 7} {again.format(first, first + 3)}"
    text = (
        "Osier Row\n16 counts, 1 wall, line dance\n\nSIDE TO SIDE\n1-4 Vine R\n5-8 Vine L\n\n"
        f"{head}\n{first}-{first + 3} Rock R forward, recover L, rock R back, recover L\n{again}\n"
    )

    assert ["RK(R) RC(L) RK(R) RC(L)"] * 2 == body(text, "Main")[2:] and not sc.draft(text).open


@pytest.mark.parametrize(
    "said",
    ["same again, step R fwd, pivot 1/2 L", "Again, step R fwd, pivot 1/2 L", "repeat (step R fwd, pivot 1/2 L)"],
)
def test_what_is_danced_again_may_be_spelled_once_more(said: str) -> None:
    """Where the steps are just those of the line before; others are in doubt."""
    rows = "Osier Row\n8 counts, 1 wall, line dance\n\n1-2 Step R fwd, pivot 1/2 L (weight on L)\n3-4 {}\n5-8 Vine R\n"
    made = sc.draft(rows.format(said))

    assert body(rows.format(said), "Main") == ["S(R) PV S(L), turn 1/2 left @2"] * 2 + ["Vine, right foot"]
    assert not made.open and sc.draft(rows.format(said.replace("1/2", "1/4"))).open


@pytest.mark.parametrize(
    "said", ["Do it all again!", "Do the whole thing again", "And do it all over again", "Repeat all of the above"]
)
def test_all_again_behind_all_counts_is_the_dance_beginning_again(said: str) -> None:
    """It is danced no longer than it is stated."""
    made = sc.draft(f"Osier Row\n16 counts, 1 wall, line dance\n\n1-8 Vine R, vine L\n9-16 Vine R, vine L\n\n{said}\n")

    assert f"Main until the music ends  # {said}" in made.text and made.text.count("Vine") == 4 and not made.open


@pytest.mark.parametrize(
    "said",
    [
        "[9-16] WEAVE L\n1-8 Repeat above to the left",
        "[9-16] THE OTHER WAY\n9-16 Repeat 1-8 on the other foot",
        "[9-16] WEAVE L\n1-8 Same as above, starting with L",
    ],
)
def test_a_row_that_dances_all_its_counts_again_stands_under_its_head(said: str) -> None:
    """A head with counts and a title is no row of its own."""
    rows = "[1-8] WEAVE R\n1-4 Step R to side, L behind, R side, cross L\n5-8 Vine R\n\n"
    text = f"Osier Row\n16 counts, 1 wall, line dance\n\n{rows}{said}\n"

    wanted = ["S(R) S(L) S(R) S(L)", "Vine, right foot", "S(L) S(R) S(L) S(R)", "Vine, left foot"]
    assert body(text, "Main") == wanted and not sc.draft(text).open and "counts 9-16:" in sc.draft(text).text


COUNTED = "Osier Row\n{} counts, 2 walls, line dance\n\nS1\n1-4 Side R, close L, side R, touch L\n5-8 {}\n"


@pytest.mark.parametrize("total", [8, 16])
@pytest.mark.parametrize(
    ("said", "foot"),
    [
        ("Repeat counts 1-4, opposite foot", "L"),
        ("Repeat 1-4 on the other foot", "L"),
        ("Repeat 1-4 (L lead)", "L"),
        ("Repeat 1-4 starting with the left", "L"),
        ("Repeat counts 1 to 4, mirror image", "L"),
        ("Repeat 1-4 leading with your right foot", "R"),
    ],
)
def test_counts_are_danced_again_on_the_foot_that_is_said(said: str, foot: str, total: int) -> None:
    """Also where the dance is just twice as long as they are: nothing says then that they are danced alike."""
    text = COUNTED.format(total, said) + "S2\n1-4 Vine right, touch\n5-8 Vine left, touch\n" * (total > 8)
    rows = {"R": "S(R) CL(L) S(R) TCH(L)", "L": "S(L) CL(R) S(L) TCH(R)"}

    assert body(text, "Main")[:2] == [rows["R"], rows[foot]] and not sc.draft(text).open


@pytest.mark.parametrize("said", ["Repeat 1-4 with a left turn", "Repeat 1-4 to the left, faster"])
def test_counts_that_are_danced_again_otherwise_are_a_blank(said: str) -> None:
    """Which foot leads them is not all that changes."""
    assert "? 4 counts" in body(COUNTED.format(8, said), "Main")


def test_counts_of_a_tag_are_danced_again_in_it() -> None:
    """They are the tag's own, where they fill the counts that come next in it."""
    tag = "Tag after wall 2\n1-4 Side R, touch L, side L, touch R\n5-8 Repeat 1-4 (12:00)\n"
    text = COUNTED.format(8, "Vine left, touch") + tag

    assert body(text, "Tag") == ["S(R) TCH(L) S(L) TCH(R)", "S(R) TCH(L) S(L) TCH(R), facing 12:00"]
    assert not sc.draft(text).open


@pytest.mark.parametrize(
    "said",
    ["1-4 Vine L, 5-8 repeat section 1", "1-4 Vine L, then repeat section 1", "Walk R, L, R, L, same as section 1"],
)
def test_steps_before_a_repeat_of_a_section_are_not_lost(said: str) -> None:
    """They are danced or open; the section alone is not all that the line says."""
    made = sc.draft(f"Osier Row\n16 counts, 1 wall, line dance\n\nS1\n1-4 Rocking chair R\n5-8 Vine R\n\nS2\n{said}\n")

    assert made.open and 1 == made.text.count("Rocking Chair")
