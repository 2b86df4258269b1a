"""Counts of line dance: where they stand on their lines, and what keeps its place whatever a line is too long for."""

import pytest

import stepcheck as sc
from tests.unit.drafts.test_wordings import body

ROW = "Osier Row\n8 counts, 1 wall, line dance\n\n{}\n"


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-2 Walk R, L\n3-4 Repeat 1-2        5-6  Rock fwd R, recover L\n7-8 Walk R, L", 4),
        ("1-4 Vine right     5-8 Vine left", 2),
    ],
)
def test_counts_behind_a_gap_begin_a_row_of_their_own(said: str, wanted: int) -> None:
    """Two spans on one line are two rows, of which one may repeat."""
    made = body(ROW.format(said), "Main")

    assert len(made) == wanted and not any("?" in line for line in made)


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-4 R side, L together, shuffle fwd RLR (3&4)", ["S(R) S(L)", "Shuffle, right foot"]),
        ("1-4 Rock fwd R, recover L, coaster R (3&4)", ["RK(R) RC(L)", "Coaster, right foot"]),
    ],
)
def test_counts_in_a_bracket_are_those_of_the_last_steps(said: str, wanted: list[str]) -> None:
    """The counts before them are those of the steps before."""
    assert body(ROW.format(f"{said}\n5-8 Vine left"), "Main") == [*wanted, "Vine, left foot"]


def test_a_half_on_a_line_of_its_own_is_behind_the_counts_above_it() -> None:
    """It adds no count, and moves none."""
    text = ROW.format("1-4 Vine right, touch\n5-6 Vine\n7&8 L heel fwd, clap twice\n&     L in place").replace(
        "5-6 Vine", "5-6 Walk L, R"
    )

    assert body(text, "Main")[-1] == "HT(L)@1 CLAP@1& CLAP@2 S(L)@2&"


@pytest.mark.parametrize("heads", [("1-8", "8-16", "16-24"), ("1-8", "9-16", "16-24"), ("[1-8]", "[9-16]", "[16-24]")])
def test_a_section_that_begins_on_the_last_count_of_the_one_before_begins_behind_it(heads: tuple[str, ...]) -> None:
    """It is a slip of the head, and no count more."""
    rows = "\n".join(f"{head}\nVine right, touch\nVine left, touch" for head in heads)
    made = sc.draft(f"Osier Row\n24 counts, 1 wall, line dance\n\n{rows}\n").text

    assert "counts 9-16:" in made and "counts 17-24:" in made and "25" not in made


@pytest.mark.parametrize(
    "rows",
    [
        "vine right touch left, vine left touch right\n   1234 5678",
        "vine right touch left, vine left touch right\n12345678",
        "vine right touch left  1234\nvine left touch right  5678",
        "vine right touch left (1 2 3 4) vine left touch right (5 6 7 8)",
    ],
)
def test_figures_under_or_behind_the_words_are_their_counts(rows: str) -> None:
    """They are counted as they are spoken, each figure a count."""
    assert body(ROW.format(rows), "Main") == ["Vine, right foot", "Vine, left foot"]
    assert not sc.draft(ROW.format(rows)).open


@pytest.mark.parametrize("joined", ["n", "and", "&"])
def test_n_is_and(joined: str) -> None:
    """However the word is spelled."""
    made = body(ROW.format(f"1-2 Step R fwd, touch L {joined} clap\n3-4 Step L back, touch R\n5-8 Vine R"), "Main")

    assert made[0] == "S(R) TCH(L)"


@pytest.mark.parametrize(
    "said",
    [
        "Walk forward right, left, right (1,2,3) and kick the left (4). Small kick, Harold.",
        "Walk forward right, left, right (1, 2, 3), kick left (4). Please kick low.",
    ],
)
def test_a_sentence_behind_the_last_counts_is_no_step(said: str) -> None:
    """Where counts stand in brackets behind their words, words behind the last ones have none: a remark, and open."""
    text = ROW.format(f"{said}\nWalk back left, right, left (5,6,7) and touch the right beside the left (8).")

    assert body(text, "Main") == ["S(R) S(L) S(R)", "Kick, left foot", "S(L) S(R) S(L)", "Touch, right foot"]
    assert any("ick" in each for each in sc.draft(text).open)


def test_what_is_not_understood_before_its_counts_is_a_blank_of_these() -> None:
    """No other line moves for it."""
    rows = "Right heel out in front (1), put it back home (2).\nLeft heel wobbles (3), back home (4).\nWalk right, left (5,6), and two claps (7, 8)."
    made = body(ROW.format(rows), "Main")

    assert made[-2:] == ["S(R) S(L)", "CLAP CLAP"]
    assert made[0] == "One Heel Touch, right foot"
    assert "? 8 counts" not in made and sc.draft(ROW.format(rows)).text.count("are read") == 0


@pytest.mark.parametrize(
    "said", ["Walk R L R, walk L (1 2& 3 / 4)", "R nightclub basic, L nightclub basic (1 2& 3 4& / 5-6, 7-8)"]
)
def test_strokes_between_counts_of_one_bracket_are_no_rows(said: str) -> None:
    """All that stands in it is one row of counts."""
    assert not any("/" in each for each in sc.draft(ROW.format(said)).text.split("counts 1-8")[-1].split("  # /"))


@pytest.mark.parametrize("counts", ["1, 2 &", "1,2 &", "1 2 &"])
def test_a_half_behind_the_counts_is_the_last_of_them(counts: str) -> None:
    """However many commas and spaces stand between."""
    text = ROW.format(
        f"{counts}   step RF fwd, lock LF behind RF, RF small step fwd\n3, 4    walk LF, RF\n5-8   vine L"
    )

    assert body(text, "Main")[0] == "S(R)@1 S(L)@2 S(R)@2&"


TWO = "Osier Row\n16 counts, 1 wall, line dance\n\nS1: ONE\n1-2 Walk R, L\n3-4 Rock fwd R, recover L\n5-8 Vine right, touch\nS2: WALK, ROCK, WALK, WALK\n{}\n5-8 Walk R, L, R, L\n{}\n"


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-4 As S1 1-4 on opposite foot", ["S(L) S(R)", "RK(L) RC(R)"]),
        ("1-4 repeat section 1, counts 1-4", ["S(R) S(L)", "RK(R) RC(L)"]),
        ("1-4 Same as S1 1-4", ["S(R) S(L)", "RK(R) RC(L)"]),
        ("1-4 As S1 1-4 but wobblier", ["? 4 counts"]),
        ("1-4 As S1 2-5", ["? 4 counts"]),
    ],
)
def test_counts_of_another_section_are_danced_again(said: str, wanted: list[str]) -> None:
    """On the other foot where that is said; what is not understood of them is a blank of the counts they stand on, and
    a restart behind it falls behind all of them."""
    text = TWO.replace("16 counts", "24 counts").format(
        said, "Restart here on wall 3\nS3: THREE\n1-8 Walk R, L, R, L, R, L, R, L"
    )

    assert body(text, "Main")[3:] == [*wanted, "S(R) S(L) S(R) S(L)", " ".join(["S(R) S(L)"] * 4)]
    assert "Main, first 16 counts" in sc.draft(text).text


@pytest.mark.parametrize(
    "said", ["1-4 heel r tog heel l tog", "1-4 R heel home, L heel home", "1234 heel r tog heel l tog"]
)
def test_a_foot_that_comes_together_behind_its_heel_is_a_step(said: str) -> None:
    """No heel touches beside the other foot."""
    assert body(ROW.format(f"{said}\n5-8 Vine left"), "Main")[0].replace("(R)", "").replace("(L)", "") == "HT S HT S"


def test_a_wall_on_the_left_is_no_foot() -> None:
    """`start over on the left wall` says where, and not with which foot."""
    made = sc.draft(
        ROW.format("1-8 Vine right, vine left\nweight ends on left\n\nthats it start over on the left wall")
    )

    assert "expect left foot" not in made.text and "expect right foot" in made.text


def test_counts_before_each_sentence_of_a_line_are_those_of_the_sentence() -> None:
    """`1 … . 2 … .`: a number behind a full stop that goes on from the one before it is a count."""
    said = "1 Left foot steps forward. 2 Touch right beside left. 3 Right foot steps back. 4 Hold."
    text = ROW.format(f"{said}\n5 Left to the left side. 6 Cross right over left. 7 Left to side. 8 Right together.")

    assert body(text, "Main") == ["S(L) TCH(R) S(R) HOLD", "S(L) S(R) S(L) S(R)"]
    assert not sc.draft(text).open


@pytest.mark.parametrize("said", ["R mambo fwd, hold, L coaster, hold", "R coaster, hold, L coaster (slow), hold"])
def test_figures_whose_movements_are_just_the_counts_are_danced_slowly(said: str) -> None:
    """Behind each of three slow steps the fourth count is still: there is no other way to fill the line."""
    made = body(ROW.format(f"[1-8] {said}"), "Main")

    assert len(made) == 4 and not any("?" in line for line in made) and made[0].count("@") == 0
    assert not sc.draft(ROW.format(f"[1-8] {said}")).open


@pytest.mark.parametrize("often", ["x2", "twice", "2x"])
def test_how_often_behind_a_row_of_movements_is_not_said_of_the_last_of_them(often: str) -> None:
    """`kick ball cross x2` has no second cross alone: it is the row twice, or a blank of its counts."""
    made = body(ROW.format(f"[1-8] R kick ball cross {often}, R side rock, behind side cross"), "Main")

    assert "BA S S" not in made[0]


FILLED = "Osier Row\nline dance\n\nPART A ({} counts)\n{}\n\nPART B (4 counts)\n1-4 Vine right\n\nSequence: A B A\n"
R_VINE, L_VINE, BOX = "Vine, right foot", "Vine, left foot", "Jazz Box, right foot"


@pytest.mark.parametrize(
    ("length", "rows", "wanted"),
    [
        (16, "1 - 8   Vine R, vine L\n1 - 4   Jazz box R\n5 - 8   Vine R", [R_VINE, L_VINE, BOX, R_VINE]),
        (16, "1-8 Vine R, vine L\n1-4 Jazz box R\n5-8 Vine R", [R_VINE, L_VINE, BOX, R_VINE]),
        (8, "1 - 8   Two vines\n1 - 4   Vine R\n5 - 8   Vine L", [R_VINE, L_VINE]),
        (12, "1 - 8   Vine R, vine L\n9 - 12   Jazz box R", [R_VINE, L_VINE, BOX]),
    ],
)
def test_the_first_counts_of_a_part_are_steps_where_it_has_room_for_them(
    length: int, rows: str, wanted: list[str]
) -> None:
    """They head the lines below only where these come to the length of the part without them."""
    text = FILLED.format(length, rows)

    assert body(text, "A") == wanted
    assert not sc.draft(text).open


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        (
            "Grapevine to the right (side, behind, side) and touch left. Grapevine to the left and touch right.",
            ["Vine, right foot", "Vine, left foot"],
        ),
        (
            "Grapevine right (side, behind, side) and scuff left. Vine left, touch right.",
            ["Vine ending in a scuff, right foot", "Vine, left foot"],
        ),
        (
            "Vine right, touch left. Then step forward on right and pivot a quarter turn left, twice.",
            ["Vine, right foot", "S(R) PV S, turn 1/4 left @2", "S(R) PV S, turn 1/4 left @2"],
        ),
        ("Vine right, touch left. Step right forward, twice.", ["Vine, right foot", "? 4 counts"]),
    ],
)
def test_prose_under_a_head_comes_to_its_counts(said: str, wanted: list[str]) -> None:
    """A bracket that spells the first counts of a figure leaves it the touch behind; what is danced twice fills what
    the section has left, or is a blank of it."""
    assert body(ROW.format(f"First eight\n{said}"), "Main") == wanted


def test_a_turn_in_the_bracket_behind_a_figure_is_not_lost() -> None:
    """The figure has it, or is a blank."""
    made = body(ROW.format("1-4 Vine R (side, behind, turn 1/4 R fwd), scuff L\n5-8 Vine L"), "Main")

    assert made[0] == "? 4 counts" or "1/4 right" in made[0]


def test_a_part_of_the_order_is_cut_after_its_counts_only() -> None:
    """`A (16 counts only)` is the part as far as that, like `A (16)`."""
    parts = "PART A (24 counts)\n1-8 Vine R, vine L\n9-16 Vine R, vine L\n17-24 Vine R, vine L\n\nPART B (4 counts)\n1-4 Jazz box R\n"
    made = sc.draft(f"Osier Row\nline dance\n\n{parts}\nSequence: A - B - A (16 counts only)\n")

    assert made.text.split("\ndance:\n")[1].split("\n")[:3] == ["  A", "  B", "  A, first 16 counts"]
    assert not made.open


@pytest.mark.parametrize("lines", ["1-3 {}\n4-6 {}\n1-3 {}\n4-6 {}", "1-6 {}, {}\n1-6 {}, {}"])
def test_bars_of_a_section_that_count_from_one_again_run_on(lines: str) -> None:
    """A section has as many counts as all its rows, and the next one goes on behind it."""
    basics = ("L fwd, R tog, L tog", "R bk, L tog, R tog") * 2
    body = lines.format(*basics)
    made = sc.draft(f"Osier Row (waltz)\n24 counts, 4 walls, line dance\n\nBasics\n{body}\n\nBasics again\n{body}\n")

    assert "counts 1-12:" in made.text and "counts 13-24:" in made.text and not made.open


def test_rows_on_counts_that_are_no_bars_do_not_run_on() -> None:
    """`1-2` behind `1-2` may be the same counts told twice, which is open."""
    made = sc.draft("Osier Row\n8 counts, line dance\n\nSteps\n1-2 Walk R, L\n1-2 Walk L, R\n3-6 Vine right, touch\n")

    assert any("counts" in each for each in made.open)


@pytest.mark.parametrize("gap", ["", "\n"])
@pytest.mark.parametrize(
    "heads", [("HEELS", "STRUTS (SNAP YOUR FINGERS)"), ("Heels", "Grapevine right"), ("WALK UP", "WALK BACK")]
)
def test_counts_run_on_behind_the_title_of_a_section(heads: tuple[str, str], gap: str) -> None:
    """A line for each count, from 5 behind a title, is no line of five counts; the title is danced by nobody."""
    first = "1   Touch right heel forward\n2   Step right home\n3   Touch left heel forward\n4   Step left home\n"
    second = "5   Right to side\n6   Left behind\n7   Right to side\n8   Touch left by right and clap\n"
    made = sc.draft(f"Osier Row\n8 counts, 1 wall, line dance\n\n{heads[0]}\n{first}{gap}{heads[1]}\n{second}")

    assert f"  counts 5-8:  # {heads[1]}\n    Step, right foot (side)\n" in made.text
    assert "Touch, left foot (beside clap)" in made.text
    assert not made.open


def test_counts_may_begin_again_behind_the_head_of_a_section() -> None:
    """A first line of one count that is not understood is a blank of that count."""
    first = "1   Touch right heel forward\n2   Step right home\n"
    second = "1   Wibble the hazel\n2   Step left home\n"
    made = sc.draft(f"Osier Row\n4 counts, 1 wall, line dance\n\nSection 1\n{first}\nSection 2\n{second}")

    assert "? 1 count  # Wibble the hazel\n    Step, left foot" in made.text


_SHUFFLED = "Osier Row\n16 counts, 2 walls, line dance\n\n{}\n"
_LINES = ("rock R forward, recover L", "shuffle back R, L, R", "rock L back, recover R", "shuffle forward L, R, L")


@pytest.mark.parametrize(
    "counts",
    [
        ("1-2", "3+4", "5-6", "7+8"),
        ("1+2", "3&4", "5+6", "7&8"),
        ("1 and 2", "3 & 4", "5 and 6", "7 & 8"),
        ("1-2", "3-&-4", "5-6", "7-&-8"),
        ("1 - 2", "3 - & - 4", "5 - 6", "7 - & - 8"),
        ("1, 2", "3, &, 4", "5, 6", "7, &, 8"),
        ("1 thru 2", "3n4", "5 thru 6", "7n8"),
        ("1..2", "3 and 4", "5..6", "7 and 8"),
        ("1/2", "3&4", "5/6", "7&8"),
        ("C1-2", "C3&4", "C5-6", "C7&8"),
        ("#1-2", "#3+4", "#5-6", "#7+8"),
        ("cts 1.2", "cts 3&4", "cts 5.6", "cts 7&8"),
        ("Beats 1,2", "Beats 3+4", "Beats 5,6", "Beats 7+8"),
    ],
)
@pytest.mark.parametrize(
    "row",
    [
        *("{0}  {1}", "{0}: {1}", "{0} > {1}", "On {0}: {1}", "({0}) {1}", "{0} | {1}", "| {0} | {1} |", "{0}, {1}"),
        *("{0} / {1}", "{1}, {0}", "{1} - {0}", "{1} [{0}]", "{1} (facing 9:00) .... {0}", "{1}\t{0}", "{1}: {0}."),
    ],
)
def test_counts_are_the_same_however_their_signs_are_written(counts: tuple[str, ...], row: str) -> None:
    """A sign that halves in one sheet joins whole counts in another, which writes its halves as `&`, wherever they
    stand."""
    lines = "\n".join(row.format(*each) for each in zip(counts, _LINES, strict=True))
    text = _SHUFFLED.format(f"{lines}\n\nRow two\n{row.format('1-4', 'Vine right')}\n{row.format('5-8', 'Vine left')}")

    facing = ", facing 9:00" * ("9:00" in row)
    assert not sc.draft(text).open
    assert body(text, "Main")[:4] == [
        f"{each}{facing}" for each in ("RK(R) RC(L)", "Shuffle, right foot", "RK(L) RC(R)", "Shuffle, left foot")
    ]


_TITLE = "S1: ROCK FORWARD, RECOVER, SHUFFLE BACK, ROCK BACK, RECOVER, SHUFFLE FORWARD"
_COUNTS = ("1-2", "3&4", "5-6", "7&8")


@pytest.mark.parametrize("title", [_TITLE, _TITLE.title(), "Section 1 - " + _TITLE[4:].capitalize()])
@pytest.mark.parametrize(
    "row", ["({0}) {1}", "[{0}] {1}", "{1} ({0})", "{1}: {0}", "{1} - {0}", "{1} ..... {0}", "{0}\n{1}"]
)
def test_rows_under_a_long_title_are_not_its_end(title: str, row: str) -> None:
    """A line that counts from one begins the rows, and the last row of a section is no head of the next one."""
    rows = "\n".join(row.format(*each) for each in zip(_COUNTS, _LINES, strict=True))
    text = _SHUFFLED.format(f"{title}\n{rows}\n\n{title.replace('1', '2')}\n{rows}")

    assert not sc.draft(text).open
    assert body(text, "Main") == 2 * ["RK(R) RC(L)", "Shuffle, right foot", "RK(L) RC(R)", "Shuffle, left foot"]


@pytest.mark.parametrize(
    "sign", [" -> ", " > ", " => ", " \u2192 ", " * ", " followed by ", ", followed by ", "\n", "\n      ", "-"]
)
@pytest.mark.parametrize("row", ["{0} {1}", "| {0} | {1} |", "[{0}.] {1}"])
def test_steps_of_a_row_may_stand_apart_by_any_sign(sign: str, row: str) -> None:
    """An arrow, a star or the end of the line stands between two steps of the same counts."""
    sign = sign if row[0] != "|" or "\n" not in sign else "; "
    rows = [("1-2", f"step R forward{sign}touch L behind"), ("3-4", "step L back, hook R")]
    rows += [("5-6", f"step R to side{sign}kick L"), ("7-8", f"step L beside{sign}scuff R")]
    text = ROW.format("\n".join(row.format(*each) for each in rows))

    assert not sc.draft(text).open
    assert body(text, "Main") == ["S(R) TCH(L)", "S(L) HK(R)", "S(R) K(L)", "S(L) SCUFF(R)"]


@pytest.mark.parametrize(
    ("later", "wanted"),
    [
        ("Touch, hold\n1-2 touch L, hold", "S(R) HOLD"),
        ("(touch L if you like)", "S(R) HOLD"),
        ("touch L, hold, kick L", "S(R) HOLD"),
    ],
)
def test_a_line_that_is_no_rest_of_a_row_stays_apart(later: str, wanted: str) -> None:
    """A title of the next rows, what some dance instead, and more steps than the row lacks are none of its steps."""
    text = _SHUFFLED.format(f"1-6 walk R, L, R, L, R, L\n7-8 step R forward\n{later}")

    assert body(text, "Main")[1] == wanted


@pytest.mark.parametrize("heads", ["Section {n}\n{title}", "SET {n}:\n{title}", "{n}\t{first}-{last}\t{title}"])
@pytest.mark.parametrize("title", ["ROCK, SHUFFLE, ROCK, SHUFFLE", "Rocks and shuffles", "Rock fwd R, shuffle back R"])
def test_the_title_of_a_section_may_stand_under_its_number(heads: str, title: str) -> None:
    """Number and title are one head, also where it states its counts."""
    rows = "\n".join(f"{count}  {said}" for count, said in zip(_COUNTS, _LINES, strict=True))
    said = (heads.format(n=n, first=8 * n - 7, last=8 * n, title=title) for n in (1, 2))
    text = _SHUFFLED.format("\n\n".join(f"{head}\n{rows}" for head in said))

    assert not sc.draft(text).open
    assert body(text, "Main") == 2 * ["RK(R) RC(L)", "Shuffle, right foot", "RK(L) RC(R)", "Shuffle, left foot"]


@pytest.mark.parametrize("wall", ["[6]", "(6)", "[ 6 ]"])
@pytest.mark.parametrize("row", ["{} (1-2)", "{} - 1-2", "{} ..... 1-2", "{}  [1-2]"])
def test_a_wall_by_its_hour_stands_before_the_counts_of_its_row(wall: str, row: str) -> None:
    """It is no count of its own."""
    said = row.format(f"Step R forward, pivot 1/2, weight onto L {wall}")
    text = ROW.format(f"{said}\n{said.replace('6', '12').replace('1-2', '3-4')}\nVine R, touch L (5-8)")

    assert [f"S(R) PV S, turn 1/2 left @2, facing {hour}" for hour in ("6:00", "12:00")] == [
        line.replace("S(L)", "S") for line in body(text, "Main")[:2]
    ]
    assert not sc.draft(text).open


@pytest.mark.parametrize("said", ["Brush L heel forward (scuff)", "Hold 1 count", "(clap)", "> (clap)", "kick L (low)"])
def test_a_line_below_its_row_may_say_its_step_in_a_bracket_as_well(said: str) -> None:
    """Or how long it holds; no step of the row is held over its count."""
    made = sc.draft(ROW.format(f"1-2 Step R forward\n{said}\n3-4 Rock L back, recover R\n5-8 Vine L, touch R"))

    assert made.open == () and not any("one step for 2 counts" in each for each in made.assumed)
    assert "counts 3" not in made.text


@pytest.mark.parametrize("said", ["Jazz box starting L over R", "Begin a weave, L over R, R side, L behind, R side"])
def test_a_foot_that_goes_over_another_begins_nothing_again(said: str) -> None:
    """What starts over is the dance, no foot."""
    assert "part Main: 8 counts" in sc.draft(ROW.format(f"1-4 {said}\n5-8 Vine L, touch R")).text
    assert "until the music ends  #" not in sc.draft(ROW.format(f"1-4 {said}\n5-8 Vine L, touch R")).text


def test_the_letters_of_a_figure_are_no_head_of_a_section() -> None:
    """`K.B.C.` at the beginning of a row is a kick ball change."""
    made = sc.draft(ROW.format("K.B.C. on R (1&2)\nRock R forward, recover L (3-4)\nVine R, touch L (5-8)"))

    assert made.open == () and "Kick Ball Change, right foot" in made.text


@pytest.mark.parametrize("wall", ["6:00", "facing 6:00", "to face 6 o'clock", "(6:00)", ", now facing 6:00"])
@pytest.mark.parametrize("said", ["weight onto L", "wt on L", "taking weight on left"])
def test_where_dancers_face_may_stand_behind_the_foot_that_has_the_weight(said: str, wall: str) -> None:
    """Without a sign between them as well."""
    text = ROW.format(
        f"1-2 Step R forward, pivot 1/2 L, {said} {wall}\n3-4 Rock R forward, recover L\n5-8 Vine R, touch L"
    )

    assert "facing 6:00" in body(text, "Main")[0] and sc.draft(text).open == ()


@pytest.mark.parametrize("said", ["4 count weave R: side, behind, side, in front", "Vine R, a 4 count figure"])
@pytest.mark.parametrize("counts", [("1.2.3.4", "5&6", "7.8"), ("1 thru 4", "5&6", "7 thru 8"), ("1-4", "5+6", "7-8")])
def test_counts_stand_behind_steps_that_say_how_long_they_last(said: str, counts: tuple[str, ...]) -> None:
    """A length at the beginning of the line is none of its counts."""
    rows = (
        said,
        "Kick ball change R",
        "Rock back R, recover L",
        "Vine R, touch L",
        "Coaster L",
        "Rock back R, recover L",
    )
    text = "\n".join(f"{row} ..... {span}" for row, span in zip(rows, counts * 2, strict=True))
    made = sc.draft(_SHUFFLED.format(text))

    assert "Kick Ball Change, right foot" in made.text and "RK(R) RC(L)" in made.text
    assert "part Main: 16 counts" in made.text and not any("are read" in each for each in made.open)


@pytest.mark.parametrize("joint", [", & ", " & ", ", "])
def test_a_bracket_that_says_a_step_again_asks_for_no_half(joint: str) -> None:
    """Two steps on two counts stand on these, whatever joins them."""
    text = ROW.format(
        f"1,2 Step R to side{joint}kick L forward (low kick)\n3-4 Rock L back, recover R\n5-8 Vine L, touch R"
    )

    assert body(text, "Main")[0] == "S(R) K(L)"


@pytest.mark.parametrize(
    "said", ["step R forward-Touch L behind", "Step R behind L-Touch L to side", "Step forward on R-Tap L heel forward"]
)
def test_a_hyphen_before_a_capital_parts_two_steps(said: str) -> None:
    """And is none of a name: `Kick-Ball-Change`."""
    text = ROW.format(f"1-2 {said}\n3&4 Kick-Ball-Change L\n5-8 Vine R, touch L")
    lines = body(text, "Main")

    assert lines[0][:5] == "S(R) " and "(L)" in lines[0] and lines[1] == "Kick Ball Change, left foot"
    assert not sc.draft(text).open


def test_a_cross_of_one_foot_is_no_number_of_times() -> None:
    """`8 X L over R` has the count before it."""
    made = sc.draft(
        ROW.format("1 2 - X L over R  One clap of the hands\n3 4 - Rock R back, recover L\n5 6 7 8 - Vine R")
    )

    assert not any("are read" in each for each in made.open)


@pytest.mark.parametrize(
    "head", ["Steps {}-{}\nWALK, BOX", "8 counts no {n} ({}-{})", "Eight no. {n}", "Steps {} to {}"]
)
@pytest.mark.parametrize("row", ["{}-{} {}", "{}/{} = {}", "{}..{} {}", "{}~{}: {}"])
def test_a_head_of_steps_or_an_eight_with_a_number_is_a_section(head: str, row: str) -> None:
    """However its rows write their counts."""
    heads = [head.format(first, first + 7, n=n) for n, first in enumerate((1, 9, 17, 25), 1)]
    rows = [
        row.format(first, first + 1, f"Walk {feet}")
        for first, feet in ((1, "R, L"), (3, "R, L"), (5, "R, L"), (7, "R, L"))
    ]
    text = "Osier Row\n32 counts, 1 wall, line dance\n\n" + "\n\n".join("\n".join([each, *rows]) for each in heads)
    made = sc.draft(text)

    assert not made.open
    assert [line.strip()[:13] for line in made.text.splitlines() if "counts " in line[:10]] == [
        "counts 1-8:  ",
        "counts 9-16: ",
        "counts 17-24:",
        "counts 25-32:",
    ]


@pytest.mark.parametrize(("open", "close"), [("[", "]"), ("(", ")"), ("", "")])
def test_the_last_row_of_a_paragraph_is_no_head_of_the_title_below(open: str, close: str) -> None:
    """Its counts run on from the row above it; what stands below an empty line is of the next section."""
    eight = f"{open}1-4{close} Vine R, touch L\n{open}5-8{close} left grapevine, touch right"
    made = sc.draft(f"Osier Row\n16 counts, 1 wall\n\nVINE R, VINE L\n{eight}\n\nVINE R, VINE L\n{eight}")

    assert not made.open
    assert made.text.count("Vine, right foot") == 2 and "counts 9-16" in made.text


def test_two_figures_that_are_one_number_are_no_counts_behind_it() -> None:
    """`23 24` behind `21 22` are two counts, and `Counts   32` is a fact where rows are marked `counts`."""
    rows = [f"{first} {first + 1}  Walk R, L" for first in range(1, 32, 2)]
    made = sc.draft("Osier Row\nCounts   32\nWalls   1\n\n" + "\n".join(rows))

    assert not made.open and made.text.count("S(R) S(L)") == 16

    marked = [f"Walk R, L, counts {first}-{first + 1}" for first in range(1, 32, 2)]
    made = sc.draft("Osier Row\nCounts   32\nWalls   1\n\n" + "\n".join(marked))

    assert not made.open and "part Main: 32 counts" in made.text


@pytest.mark.parametrize("counts", [("1\u20144", "5\u20146", "7\u20148"), ("1~4", "5~6", "7~8"), ("1-4", "5-6", "7-8")])
def test_counts_on_lines_of_their_own_below_a_span_are_of_its_rows(counts: tuple[str, str, str]) -> None:
    """Whatever sign stands between them."""
    rows = "\n".join(
        f"  {at}\n  {said}" for at, said in zip(counts, ("Vine R, touch L", "Walk L, R", "Walk L, R"), strict=True)
    )
    made = sc.draft(f"Osier Row\n16 counts, 1 wall\n\n[1-8] VINE R, WALKS\n{rows}\n\n[9-16] VINE R, WALKS\n{rows}")

    assert not made.open and made.text.count("Vine, right foot") == 2


def test_a_row_that_begins_with_a_turn_ends_in_its_counts() -> None:
    """`1/2 turn` is no count."""
    rows = ("Walk R, L\t1 to 2", "Walk R, L\t3 to 4", "1/2 Monterey turn R [6:00]\t5 to 8")
    made = sc.draft(f"Osier Row\n8 counts, 2 walls\n\n{chr(10).join(rows)}")

    assert not made.open and "Monterey 1/2, right foot, facing 6:00" in made.text


def test_a_date_at_the_end_of_a_line_is_no_counts() -> None:
    """Counts at the ends of lines rise or begin with one; what does neither stays as it is written."""
    rows = "Vine R, touch L, Beats 1,2,3,4\nRock R back, recover L, Beats 5,6\nKick ball change R, Beats 7&8\n\n"

    made = sc.draft(f"Weir Lane\n16 counts, 4 walls\n\nSection 1\n{rows}Section 2\n{rows}Last updated: 14/3/11\n")

    assert "part Main: 16 counts\n" in made.text and "# Last updated: 14/3/11\n" in made.text and () == made.open
