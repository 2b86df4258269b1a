"""What one phrase of line dance moves: no place, turn or part of the foot that it says is lost."""

import pytest

import stepcheck as sc
from tests.unit.drafts.test_wordings import body

ROW = "Osier Row\n8 counts, 1 wall, line dance\n\n{}\n"


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-4 heel-hook-heel-tog R", "HT HK HT S(R)"),
        ("1-4 Heel hook heel tog R", "HT HK HT S(R)"),
        ("1-4 swivel both heels R, toes R, heels R, hold", "SWIVEL SWIVEL SWIVEL HOLD"),
        ("1-4 swivel heels left, toes left, heels left, clap", "SWIVEL SWIVEL SWIVEL CLAP"),
        ("1-4 touch R heel, toe R, heel R, hold", "HT(R) TT(R) HT(R) HOLD"),
        ("1-4 out out in in, that's R L R L", "S(R) S(L) S(R) S(L)"),
    ],
)
def test_each_word_of_a_chain_is_a_movement(said: str, wanted: str) -> None:
    """Parts of the foot joined by hyphens, and those of feet that swivel."""
    assert body(ROW.format(f"{said}\n5-8 Vine left"), "Main")[0] == wanted


@pytest.mark.parametrize("said", ["1-2 L behind 1/4 R fwd", "1-2 heel hop heel R"])
def test_a_phrase_of_two_places_is_no_single_step(said: str) -> None:
    """What may be two steps is a blank of its counts, or two."""
    assert body(ROW.format(f"{said}\n3-4 Walk R, L\n5-8 Vine left"), "Main")[0] in ("? 2 counts", "S(R) S(R)")


@pytest.mark.parametrize(
    "said",
    [
        "[1-4] step r 1/2 turn l step r 1/4 turn l",
        "1-4 step R 1/2 turn L, step R 1/4 turn L",
        "1-4 Step R half turn left step R quarter turn left",
    ],
)
def test_a_turn_to_the_other_side_between_steps_of_one_foot_is_a_pivot(said: str) -> None:
    """Both turns are danced, each behind its step."""
    made = " ".join(body(ROW.format(f"{said}\n[5-8] Vine left"), "Main"))

    assert made.startswith("S(R) PV S, turn 1/2 left @2 S(R) PV S, turn 1/4 left @2")


def test_two_turns_of_one_phrase_are_a_blank() -> None:
    """Neither is dropped for the other."""
    assert body(ROW.format("1-2 step R fwd 1/4 R 1/2 R\n3-8 Hold"), "Main")[0] == "? 2 counts"


@pytest.mark.parametrize("said", ["jazz box R (L tch on 8 -> no! step it)", "jazz box R (that wobbles L and taps)"])
def test_a_bracket_that_is_not_understood_spells_no_figure(said: str) -> None:
    """The figure stands if it fills its counts; else the line is a blank."""
    made = body(ROW.format(f"[1-4] {said}\n[5-8] Vine left"), "Main")

    assert made[0] in ("Jazz Box, right foot", "? 4 counts")


def test_a_clap_in_a_bracket_takes_no_count() -> None:
    """Where none is said, it is beside the step before it."""
    text = ROW.format("First 8: walk fwd R L R, kick L (clap). walk back L R L, touch R.")

    assert body(text, "Main") == ["S(R) S(L) S(R) K(L) S(L) S(R) S(L) TCH(R)"]


@pytest.mark.parametrize(
    "said", ["R out, L out, R in, L in (2 counts each)", "R out, L out, R in, L in, all slow (2 cts each)"]
)
def test_steps_of_two_counts_each_last_so_long(said: str) -> None:
    """What a bracket says of each step is said of all before it."""
    assert body(ROW.format(f"1-8 {said}"), "Main") == ["S(R) HOLD S(L) HOLD S(R) HOLD S(L) HOLD"]


@pytest.mark.parametrize("arrow", ["  >6:00", " -> 6:00", " → (6:00)", "   >> 6:00", " --> 6 o'clock"])
def test_an_hour_behind_an_arrow_is_where_dancers_face(arrow: str) -> None:
    """It is no word of the steps."""
    text = ROW.format(f"[1-4] step R, pivot 1/2 L, walk R, L{arrow}\n[5-8] Vine left")

    assert "facing 6:00" in sc.draft(text).text and not sc.draft(text).open


@pytest.mark.parametrize("said", ["R rkg chair", "R rocking chr", "rkg chair R"])
def test_figures_are_written_short(said: str) -> None:
    """By the first letters of their words."""
    assert body(ROW.format(f"1-4 {said}\n5-8 Vine left"), "Main")[0] == "Rocking Chair, right foot"


BEHIND = (
    "Osier Row\n16 counts, 1 wall, line dance\n\nS1\n1-8 Vine right, vine left\nS2\n1-8 Vine right, vine left\n\n{}\n"
)


@pytest.mark.parametrize(
    "said",
    [
        "-- teach 9-16 first, slow, they lose it on the second vine",
        "-- if no vines: 1-8 = point R, tog, point L, tog twice",
        'Say it out loud: "side behind side touch, side behind side touch"',
        "omg count the vine as 4. heel on 1 turn n step l on 2",
    ],
)
def test_what_stands_behind_a_dance_whose_counts_are_full_is_not_danced(said: str) -> None:
    """Steps in it are open, and add no count."""
    text = BEHIND.format(said)

    assert body(text, "Main") == ["Vine, right foot", "Vine, left foot"] * 2
    assert any(said.split(" first")[0].strip("- ")[:12] in each for each in sc.draft(text).open)


def test_what_is_said_behind_the_end_of_a_dance_is_not_danced() -> None:
    """A line that lets the dance begin again ends it, also where some of its counts are open."""
    text = BEHIND.replace("S2\n1-8 Vine right, vine left", "S2\n1-4 Vine right\nthe wobble").format(
        "repeat til song ends\n\nomg count the vine as 4. heel on 1 turn n step l on 2"
    )

    assert "omg" not in sc.draft(text).text.split("part Main")[1].split("dance:")[0]


@pytest.mark.parametrize("said", ["Section Two: Repeat Section One.", "Section 2: same as section one", "S2 = S1"])
def test_a_section_is_danced_again_by_its_number_in_words(said: str) -> None:
    """As by its number in figures."""
    text = f"Osier Row\n16 counts, 1 wall, line dance\n\nSection One: vines\n1-8 Vine right, vine left\n\n{said}\n"

    assert body(text, "Main") == ["Vine, right foot", "Vine, left foot"] * 2


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-2 R heel, hook it over L shin", "HT(R) HK"),
        ("1-2 R heel, hook R over L knee", "HT(R) HK(R)"),
        ("1-2 cross L over R, touch R", "S(L) TCH(R)"),
    ],
)
def test_the_shin_that_a_foot_crosses_is_not_its_own(said: str, wanted: str) -> None:
    """A foot before a part of the leg, behind a word of place, does not move."""
    assert body(ROW.format(f"{said}\n3-4 Walk R, L\n5-8 Vine left"), "Main")[0] == wanted


def test_toes_that_go_from_side_to_side_are_no_foot() -> None:
    """`toes L to R` says where they go; what they do then is not said by the foot."""
    made = body(
        ROW.format("&1,2 Step L slightly back, R heel fwd, grind toes L to R\n3-4 Walk R, L\n5-8 Vine left"), "Main"
    )

    assert "TW" not in made[0] and "L" not in made[0].split("HT")[-1]


def test_a_syncopated_figure_lasts_as_long_as_the_book_says_where_counts_are_a_span() -> None:
    """What is not understood beside it takes the counts that are left."""
    made = body(ROW.format("[1-8] R side rock rec, R behind-side-cross, L side rock rec, L wobbles"), "Main")

    assert made[-1] == "? 2 counts" and made[1].startswith("Behind-Side-Cross")


def test_a_clap_in_a_cell_is_not_lost() -> None:
    """Where it has no count, it is beside the step before it."""
    made = sc.draft(
        "Osier Row\n8 counts, 1 wall, line dance\n\nCount\tSteps\tFoot\n1-4\tWalk fwd 3, kick (clap)\tR L R, L\n5-8\tVine\tL\n"
    )

    assert "clap" in made.text.split("part Main")[1].split("dance:")[0]


def test_steps_over_counts_before_those_in_the_bracket_have_these() -> None:
    """`over 4 counts, then … (5 6 7 8)` is all of eight, and the section beside it has what is left."""
    rows = "S1: Wobble over 4 counts, then knee pops R L R R (5 6 7 8)\nS2: Step R fwd, hold, pivot 1/2 L, hold, step R, pivot 1/2 L, walk R, walk L"
    made = body(f"Osier Row\n16 counts, 1 wall, line dance\n\n{rows}\n", "Main")

    assert made[0] == "? 8 counts" and not any("?" in line for line in made[1:])


def test_letters_in_order_head_sections_of_eight_counts() -> None:
    """Where as many eights are the counts of the dance, also without empty lines between; a restart may name them."""
    rows = (
        "A. TOE STRUTS x4 fwd  R L R L\nB. ROCK fwd R, rec, COASTER R\n   ROCK fwd L, rec, COASTER L\nC. VINE R, VINE L"
    )
    text = f"Osier Row  24 ct / 4W\n\n{rows}\n\nRESTART W3 after B\n"
    made = sc.draft(text).text

    assert body(text, "Main")[0] == "Toe Strut x4, right foot" and "Main, first 16 counts" in made


@pytest.mark.parametrize(
    "said", ["Twinkles. Cross L over R, step R to side, L in place. Cross R over L, step L to side, R in place."]
)
def test_a_name_before_a_full_stop_is_spelled_by_the_sentences_behind_it(said: str) -> None:
    """The steps stand where they are just the counts."""
    text = f"Osier Row\n6 counts, 1 wall, waltz\n\n1-6 {said}\n"

    assert body(text, "Main") == ["Twinkle, left foot", "S(R) S(L) S(R)"]


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        (
            "1-4 Turn a full turn to the left, travelling to the left, stepping left, right, left; touch R",
            "S(L) S(R) S(L) TCH(R), turn full left",
        ),
        ("1-4 Make a full turn left stepping left, right, left, touch R", "S(L) S(R) S(L) TCH(R), turn full left"),
        (
            "1-3 Step forward left commencing to turn, step right making a half turn to the left, step left beside right\n4 Hold for a count",
            "S(L) S(R) S(L), turn 1/2 left @2",
        ),
        ("1-4 Step L, touch the right toe forward, hold for a count, step R", "S(L) TT(R) HOLD S(R)"),
        (
            "1&2 Kick the right foot, step on the ball of the right foot beside the left, step the left foot in place\n3-4 Walk R, L",
            "K(R)@1 BA(R)@1& S(L)@2",
        ),
    ],
)
def test_sentences_of_careful_teachers_say_one_step_each(said: str, wanted: str) -> None:
    """Also where the way, the turn and the part of the foot stand in many words."""
    assert body(ROW.format(f"{said}\n5-8 Vine left"), "Main")[0] == wanted


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-2 back rock L\n3-4 side rock R", ["RK(L) RC(R)", "RK(R) RC(L)"]),
        ("R rock back (1-2), walk R, L (3-4)", ["RK(R) RC(L)", "S(R) S(L)"]),
    ],
)
def test_a_rock_of_two_counts_is_a_rock_and_its_recover(said: str, wanted: list[str]) -> None:
    """Nothing is still for a count in it, and that is assumed."""
    made = sc.draft(ROW.format(f"{said}\n5-8 Vine left"))

    assert body(ROW.format(f"{said}\n5-8 Vine left"), "Main")[:2] == wanted
    assert "a rock of two counts is a rock and its recover" in made.assumed


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-4 R toe fan out in out in", "FAN(R) FAN(R) FAN(R) FAN(R)"),
        ("1-4 fan R toe out in, out in", "FAN(R) FAN(R) FAN(R) FAN(R)"),
        ("1&2 1/2 shuffle turn R stepping RLR\n3-4 Walk L, R", "Shuffle, right foot, turn 1/2 right"),
    ],
)
def test_words_without_signs_are_as_many_movements(said: str, wanted: str) -> None:
    """Ways to and fro are one each; a turn that a figure splits is the figure's."""
    assert body(ROW.format(f"{said}\n5-8 Vine left"), "Main")[0] == wanted


def test_what_a_line_makes_is_its_length() -> None:
    """`… = 8` at its end is no step."""
    text = "Osier Row\n16 counts, 1 wall, line dance\n\nsec 1\nwalk fwd R L R kick L, walk back L R L touch R = 8\nsec 2\n1-8 Vine R, vine L\n"

    assert body(text, "Main")[0] == "S(R) S(L) S(R) K(L) S(L) S(R) S(L) TCH(R)"


def test_a_time_with_a_full_stop_is_where_dancers_face() -> None:
    """`facing 6.00` is six o'clock, and takes no steps from the tag that it announces."""
    steps = "1-4 Step R, touch L, step L, touch R\n\nTag: After wall 2, facing 6.00\n1-2 Stomp R, hold\n"
    made = sc.draft(f"Quern Lane\n4 counts, 4 walls\n\n{steps}").text

    assert "  expect facing 6:00\n  Tag" in made and "part Tag:\n  STO(R) HOLD" in made


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-2 Step R forward, touch L beside R without putting weight on it", "S(R) TCH(L)"),
        ("1-2 Step R forward, stomp L without weight", "S(R) STU(L)"),
        ("1-2 Step R forward, bring the left beside it with no weight", "S(R) TCH(L)"),
        ("1-2 Step R forward, step L beside R (no weight)", "S(R) TCH(L)"),
        ("1-2 Step R forward, close L to R, no weight", "S(R) TCH(L)"),
        ("1-2 Step R forward, hold with no weight on L", "S(R) HOLD"),
        ("1-3 Long step left, let the right foot drag to it for two counts without weight", "S(L) DRAW(R) HOLD"),
    ],
)
def test_a_movement_that_is_said_to_have_no_weight_is_danced(said: str, wanted: str) -> None:
    """It is no remark, and a step without weight is a touch."""
    assert body(ROW.format(f"{said}\n5-8 Vine left"), "Main")[0] == wanted


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-2 RF tap heel forward, RF hook for left shin", "HT(R) HK(R)"),
        ("1-2 R heel fwd, R hook over L shin", "HT(R) HK(R)"),
        ("1-3 Step L forward, low kick right forward over two counts", "S(L) K(R) HOLD"),
        ("1-2 Kick R, low, then step R back", "K(R) S(R)"),
        ("1-2 High kick L, step L", "K(L) S(L)"),
        ("1-4 R step lock step scuff, to the R diagonal", "S(R) S(L) S(R) SCUFF"),
        ("1-4 R fwd, recover, back, recover", "RK(R) RC(L) RK(R) RC(L)"),
        ("1-4 R fwd recover back recover", "RK(R) RC(L) RK(R) RC(L)"),
        ("1-4 rocking chair R so fwd recover back recover", "Rocking Chair, right foot"),
        ("1-4 jazz box R, L finishes next to R", "Jazz Box, right foot"),
        ("1-4 rolling vine L (full turn) + brush the R", "S(L) S(R) S(L) BR(R), turn full left"),
        ("1-4 VINE L W/ 1/4 L ON 3, TOUCH R", "Vine, left foot, turn 1/4 left @3"),
        ("1-4 step L, touch R, step R w/o weight, hold", "S(L) TCH(R) TCH(R) HOLD"),
        ("1-4 vine L w/ 1/4 L on 3, touch R", "Vine, left foot, turn 1/4 left @3"),
    ],
)
def test_a_movement_is_read_with_how_and_where_it_goes(said: str, wanted: str) -> None:
    """How high a foot goes, what it goes in front of, the corner behind a row, and the count of a turn are no steps."""
    text = ROW.format(f"{said}\n5-8 Vine left")

    assert body(text, "Main")[0] == wanted


@pytest.mark.parametrize("said", ["vine R + touch", "vine r, touch l"])
@pytest.mark.parametrize("last", ["brush", "kick", "scuff", "hitch"])
def test_a_vine_that_ends_in_another_movement_lasts_as_long(said: str, last: str) -> None:
    """Its last count is that movement, and no fifth one."""
    text = f"Osier Row\n8 counts, 1 wall, line dance\n\nfirst 8\n{said}\nrolling vine l (full turn) + {last} the r\n"

    assert body(text, "Main")[0] == "Vine, right foot" and "? " not in " ".join(body(text, "Main"))
    assert body(text, "Main")[1].startswith("S(L) S(R) S(L) ") and not sc.draft(text).open


def test_a_vine_does_not_end_in_a_movement_of_the_foot_that_stands() -> None:
    """`Rolling vine L + brush the L` would have that foot under the weight and in the air: it is open."""
    text = (
        "Osier Row\n8 counts, 1 wall, line dance\n\nfirst 8\nvine R + touch\nrolling vine l (full turn) + brush the l\n"
    )

    assert sc.draft(text).open and "BR(L)" not in " ".join(body(text, "Main"))
