"""Counts before each step of a line, and what both feet do."""

import pytest

import stepcheck as sc
from tests.unit.drafts.test_wordings import body

ROW = "Osier Row\n8 counts, 1 wall, line dance\n\n{}\n5-8 Vine left, touch\n"
WANTED = "S(R)@1 S(L)@2 S(R)@3 S(L)@3& S(R)@4 Vine, left foot"


@pytest.mark.parametrize(
    "said",
    [
        "1 RF step side, 2 LF together, 3 RF step fwd, & LF together, 4 RF step fwd",
        "1. R side, 2. L tog, 3. R fwd, &. L tog, 4. R fwd",
        "1: R side; 2: L tog; 3: R fwd; &: L tog; 4: R fwd",
        "1 R side 2 L tog 3 R fwd & L tog 4 R fwd",
        "1-R side, 2-L tog, 3-R fwd, &-L tog, 4-R fwd",
        "1. R side. 2. L tog. 3. R fwd. & L tog. 4. R fwd.",
        "1 R side / 2 L tog / 3 R fwd / & L tog / 4 R fwd",
    ],
)
def test_counts_before_each_step_are_counts(said: str) -> None:
    """Numbers that go up one by one through a line are the counts of the steps behind them, whatever divides these."""
    assert " ".join(body(ROW.format(said), "Main")).startswith(WANTED)


def test_counts_of_several_steps_stand_among_counts_of_one() -> None:
    """`3&4` goes on from `2` as `3` does."""
    made = body(ROW.format("1 R side, 2 L cross behind, 3&4 R fwd, L tog, R fwd"), "Main")

    assert made[:2] == ["S(R) S(L)", "S(R)@1 S(L)@1& S(R)@2"]


@pytest.mark.parametrize("said", ["5 R stomp, 6 L stomp", "5 stomp R, 6 stomp L", "5. R stomp 6. L stomp"])
def test_two_counts_of_a_line_go_on_from_those_above(said: str) -> None:
    """Two are enough."""
    made = body(f"Osier Row\n8 counts, 1 wall, line dance\n\n1-4 Vine right, touch\n{said}\n7-8 Walk L, R\n", "Main")

    assert made[1] == "STO(R) STO(L)"


def test_numbers_inside_counts_in_brackets_are_no_others() -> None:
    """Behind their words, `(3 4)` are the counts."""
    made = body(ROW.format("3. step R fwd touch L (1 2) step L back touch R (3 4)"), "Main")

    assert made[:2] == ["S(R) TCH(L)", "S(L) TCH(R)"]


@pytest.mark.parametrize("said", ["1 Jazz box, 2 stomps, 3 claps", "2 walks, 3 stomps, 4 claps"])
def test_numbers_of_several_things_are_no_counts(said: str) -> None:
    """A number before the name of several things is theirs."""
    assert not any("@" in line for line in body(ROW.format(said), "Main"))


@pytest.mark.parametrize(
    "said",
    [
        "1 RF step fwd, 2 R+L 1/2 turn L (weight LF), 3 RF step fwd, 4 LF step fwd",
        "1 R fwd, 2 both feet 1/2 turn L (weight L), 3 R fwd, 4 L fwd",
        "1 RF fwd, 2 RF+LF turn 1/2 L (weight on LF), 3 RF fwd, 4 LF fwd",
        "1 RF fwd, 2 BF 1/2 L (weight LF), 3 RF fwd, 4 LF fwd",
    ],
)
def test_a_turn_of_both_feet_is_a_pivot_onto_the_foot_that_is_said(said: str) -> None:
    """Nobody steps there: both feet turn, and one has the weight then."""
    made = " ".join(body(ROW.format(said), "Main"))

    assert "S(R) PV S(L)" in made and "turn 1/2 left @2" in made and "?" not in made


ONCE_MORE = """Section 1
1 step right with the right foot
2 cross the left foot over the right
3 step to the right with the right foot once more
4 touch the left foot beside the right
5 step to the left with the left foot again
6 scuff the right foot
7 step forward on the right foot
8 turn a half to the left and take the weight on the left foot
"""


def test_a_step_that_is_danced_again_is_the_one_that_is_said() -> None:
    """`Once more` behind a step of its own repeats nothing that stands before it; weight that is taken is a pivot's."""
    rows = body(f"Osier Row\n8 counts, 2 walls, line dance\n\n{ONCE_MORE}", "Main")

    feet = ["Step, right foot", "Step, left foot", "Step, right foot", "Touch, left foot", "Step, left foot"]
    assert rows == [*feet, "Scuff, right foot", "Step, right foot", "PV S(L), turn 1/2 left"]


@pytest.mark.parametrize("said", ["1 R side\n2 1/2 turn L, weight on R", "1 R side\n2 1/2 turn L, weight on both feet"])
def test_a_bare_turn_that_is_no_pivot_is_open(said: str) -> None:
    """Whoever keeps the weight on the foot that stepped spins on it, or does something else: that isn't known."""
    made = sc.draft(ROW.format(f"{said}\n3-4 Rock R fwd, rec L"))

    assert "? 1 count" in made.text and any("1/2 turn L" in line for line in made.open)


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        (
            "1&2 L behind turning 1/4 L (9:00), R side, L fwd\n3-4 Rock R fwd, rec L",
            "S(L)@1 S(R)@1&, turn 1/4 left @1, facing 9:00 Step, left foot RK(R) RC(L)",
        ),
        (
            "1-2 Walk R, L\n&3-4 R ball 1/4 R (3:00), L fwd, R fwd",
            "S(R) S(L) BA(R)@&1 S(L)@1, turn 1/4 right, facing 3:00 Step, right foot",
        ),
    ],
)
def test_a_facing_in_the_middle_of_a_count_is_behind_it(said: str, wanted: str) -> None:
    """It is neither dropped nor does it cut a count in two, where nothing turns in the rest of the count."""
    assert " ".join(body(ROW.format(said), "Main")[:-1]) == wanted


def test_walls_at_the_end_of_such_lines_are_no_counts() -> None:
    """`(9)` behind count 8 is a wall."""
    rows = "1 RF fwd, 2 LF fwd, 3 RF fwd, 4 R+L 1/2 turn L (weight LF) (6)\n"
    rows += "5 RF fwd, & LF tog, 6 RF fwd, 7 LF fwd, 8 L+R 1/4 turn R (weight RF) (9)"
    made = sc.draft(f"Osier Row\n8 counts, 4 walls, line dance\n\nS1 Walks\n{rows}\n").text

    assert "facing 6:00" in made and "facing 9:00" in made and "?" not in made


@pytest.mark.parametrize(
    "said",
    [
        "1 RF step diag. R fwd, 2 LF touch + clap, 3 LF step diag. R back, 4 RF touch",
        "1 RF step diag fwd R, 2 LF touch, 3 LF step diag back R, 4 RF touch",
        "1-4 step R diag. L fwd, touch L, step L diag. L back, touch R",
    ],
)
def test_a_foot_beside_diagonally_is_the_way(said: str) -> None:
    """It makes no step of its own, whichever foot it names."""
    assert body(ROW.format(said), "Main")[0] == "S(R) TCH(L) S(L) TCH(R)"


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-4 R fwd, hold, pivot 180 L, hold", "S(R) HOLD PV S HOLD, turn 1/2 left @3"),
        ("1-2 L fwd, pivot 90 right take wt onto R\n3-4 Walk L, R", "S(L) PV S(R), turn 1/4 right @2"),
        ("1-4 R fwd, LF set next to right, R fwd, LF tap next to right", "S(R) S(L) S(R) TCH(L)"),
        ("1-4 Touch R toe to L instep, R heel to diag, step R across L, hold", "TT(R) HT(R) S(R) HOLD"),
        ("1-4 R fwd, left toe tap behind right heel, L back, R toe touch beside L toe", "S(R) TT(L) S(L) TT(R)"),
    ],
)
def test_words_of_where_and_how_far_are_no_more_steps(said: str, wanted: str) -> None:
    """Degrees before a side are a turn, and a part of the other foot is where a foot goes."""
    assert body(ROW.format(said), "Main")[0] == wanted


def test_a_way_before_any_step_is_no_step() -> None:
    """`travelling back` says how, and where no step stands before it, of which isn't known."""
    made = sc.draft(ROW.format("1-4 Wobble and sink, travelling back")).text

    assert "Step" not in made and "S(" not in made


def test_a_pivot_that_leaves_the_weight_where_it_is_steps_nowhere() -> None:
    """`R fwd, pivot 1/4 R (weight on R)`: the left foot is free behind it."""
    made = body(ROW.format("1-2 R fwd, pivot 1/4 R (weight on R)\n3-4 L side, touch R"), "Main")

    assert made[:2] == ["S(R) PV HOLD, turn 1/4 right @2", "S(L) TCH(R)"]


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-4 R heel & L heel & R point, flick", "HT(R)@1 S(R)@1& HT(L)@2 S(L)@2& PT(R)@3 FLICK@4"),
        ("1&2 R heel & L heel\n3-4 L in place, R fwd", "HT(R)@1 S(R)@1& HT(L)@2"),
        ("1-2 Kick R & kick L\n3-4 L fwd, R fwd", "K(R)@1 S(R)@1& K(L)@2"),
        ("1-4 R heel & L heel & R fwd, touch L", "HT(R)@1 S(R)@1& HT(L)@2 S(L)@2& S(R)@3 TCH(L)@4"),
        ("1-2 R fwd & L lock, R fwd\n3-4 L fwd, R fwd", "S(R)@1 S(L)@1& S(R)@2"),
    ],
)
def test_an_and_sign_between_touches_of_two_feet_is_a_step(said: str, wanted: str) -> None:
    """The weight must go over for the other foot to be free: on the half, also where whole counts are stated."""
    made = sc.draft(ROW.format(said))

    assert body(ROW.format(said), "Main")[0] == wanted and not made.open
    assert any("&" in each for each in made.assumed) == ("heel" in said or "Kick" in said)


@pytest.mark.parametrize("said", ["1-3 R heel & L heel\n4 Hold", "R heel & L heel (3 counts)\nHold (1 count)"])
def test_such_a_step_is_on_no_whole_count(said: str) -> None:
    """Where the stated counts have no room for it on the half they are a blank."""
    assert "? 3 counts" in body(ROW.format(said).replace("5-8 Vine left, touch", "Vine left (4 counts)"), "Main")


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-4 R big step side, slide L, touch L, hold", "S(R) DRAW(L) TCH(L) HOLD"),
        ("1-4 R step side, slide L to R, R side, touch L", "S(R) S(L) S(R) TCH(L)"),
    ],
)
def test_a_foot_that_moves_again_behind_its_slide_had_no_weight(said: str, wanted: str) -> None:
    """A slide takes the weight only where the other foot goes on."""
    assert body(ROW.format(said), "Main")[0] == wanted


@pytest.mark.parametrize("said", ["fan the toes out, in, out", "fan R toes R, L, R"])
def test_the_ways_of_a_fan_are_one_foot_s(said: str) -> None:
    """The toes of one foot go out and in, and no other foot moves."""
    assert [w[:3] for w in body(ROW.format(f"1-4 Stomp R fwd, {said}"), "Main")[0].split()] == ["STO", *["FAN"] * 3]


def test_the_first_section_by_its_number_is_no_count() -> None:
    """`Repeat from (1)` begins the dance again."""
    made = sc.draft(ROW.format("1-4 Vine right, touch") + "\nThat leaves you at 12:00. Repeat from (1).\n").text

    assert "?" not in made and "part Main: 8 counts" in made and "facing 12:00" in made


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-2 R heel & L heel &\n3-4 R fwd, L fwd", "HT(R)@1 S(R)@1& HT(L)@2 S(L)@2&"),
        ("1&2& R heel & L heel &\n3-4 R fwd, L fwd", "HT(R)@1 S(R)@1& HT(L)@2 S(L)@2&"),
        ("R heel & L heel & (1&2&)\n3-4 R fwd, L fwd", "HT(R)@1 S(R)@1& HT(L)@2 S(L)@2&"),
        ("1& touch R &\n2-4 L fwd, R fwd, L fwd", "TCH(R)@1 S(R)@1&"),
    ],
)
def test_an_and_sign_behind_the_last_touch_is_a_step(said: str, wanted: str) -> None:
    """The sign at the end of a row is no count of nothing: the foot that touched takes weight on the half."""
    made = sc.draft(ROW.format(said))
    assert body(ROW.format(said), "Main")[0] == wanted and not made.open


@pytest.mark.parametrize("said", ["1-2 R fwd &", "1& R fwd &", "7-8& R heel, hold &"])
def test_an_and_sign_behind_another_step_is_open(said: str) -> None:
    """What is danced on the half isn't said."""
    made = sc.draft(f"Osier Row\n32 counts, 4 walls, line dance\n\nSection 1\n{said}\n")
    assert [each for each in made.open if "&" in each]


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-2 Toe L back, half turn L keeping weight on R", "TT(L) PV HOLD, turn 1/2 left @2 (back)"),
        ("1-2 Touch L back, unwind 1/2 L (weight on R)", "TCH(L) PV HOLD, turn 1/2 left @2 (back, unwind)"),
        ("1-2 Touch L back, unwind 1/2 L (weight on L)", "TCH(L) PV S(L), turn 1/2 left @2 (back, unwind)"),
        ("1-2 Point R to side, 1/4 turn R keeping weight on L", "PT(R) PV HOLD, turn 1/4 right @2 (side)"),
        ("1-2 Step R fwd, 1/2 turn L, weight on L", "S(R) PV S(L), turn 1/2 left @2 (forward)"),
        ("1 Stomp (weight on R)", "Stomp"),
        ("1-2 Stomp L beside R (weight on R), hold", "STU(L) HOLD (beside)"),
        ("1-2 Stomp R, stomp L (weight on L)", "STO(R) STO(L)"),
        ("1-2 Stomp R, stomp L (no weight)", "STO(R) STU(L)"),
        ("1-2 Stomp L beside R, stomp-up R (without weight)", "STO(L) STU(R) (beside)"),
        (
            "1-3 R side, L behind, R 1/4 turn right (3h)",
            "S(R) S(L) S(R), turn 1/4 right @3, facing 3:00 (side, behind)",
        ),
        (
            "1-2 L forward, 1/2 turn to right (weight on R) 6H00",
            "S(L) PV S(R), turn 1/2 right @2, facing 6:00 (forward)",
        ),
        ("1-2 Stomp R up x2", "STU(R) STU(R) (up, up)"),
        ("1-2 Stomp L up, kick L", "STU(L) K(L) (up)"),
    ],
)
def test_a_foot_that_is_said_to_keep_the_weight_has_kept_it(said: str, wanted: str) -> None:
    """Behind the other foot's touch or stomp, also through a turn; a stomp up never takes it."""
    made = sc.draft(f"Osier Row\n32 counts, 4 walls, line dance\n\nSection 1\n{said}\n")
    assert next(line.strip() for line in made.text.splitlines() if line.startswith("    ")) == wanted
    assert not made.open


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-4 Step fwd R bumping hips fwd, back, fwd, back", "S(R) BUMP BUMP BUMP"),
        ("1-4 Toe fan R, close, toe fan R, close", "FAN(R) FAN(R) FAN(R) FAN(R)"),
        ("1-2 Fan R, close L", "FAN(R) CL(L)"),
        ("1-2 Swivel walk R, L", "S(R) S(L)"),
    ],
)
def test_hips_and_toes_that_go_to_and_fro_take_no_steps(said: str, wanted: str) -> None:
    """Directions behind `bumping hips` are bumps, `close` behind a fan brings the toes back, and a swivel walk walks."""
    made = sc.draft(f"Osier Row\n32 counts, 4 walls, line dance\n\nSection 1\n{said}\n")
    line = next(line.strip() for line in made.text.splitlines() if line.startswith("    "))
    assert line.partition(" (f")[0] == wanted and not made.open


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-4 Bump R, bump L, step L, touch R", ["BUMP BUMP (right, left)", "S(L) TCH(R)"]),
        ("1-2 Jump out, step R in (9:00)", ["Jump (out, in)", "Step, right foot, facing 9:00"]),
        ("1&2 Bump hips L R, step L", ["BUMP@1 BUMP@1& (left, right)", "Step, left foot"]),
        (
            "1-4 Bump R, bump L, step L turning 1/4 L, touch R",
            ["BUMP BUMP (right, left)", "S(L) TCH(R), turn 1/4 left @1"],
        ),
        ("1-2 Clap, step L", ["CLAP S(L)"]),
    ],
)
def test_a_foot_behind_both_feet_begins_a_row(said: str, wanted: list[str]) -> None:
    """Either foot could lead a row that lands on both before it; the sheet says that it is this foot, and is read."""
    made = sc.draft(f"Osier Row\n4 walls, line dance\n\nSection 1\n{said}\n")
    assert [line.strip() for line in made.text.splitlines() if line.startswith("    ")] == wanted
    assert sc.check_text(made.text).verdict.word != "ill-formed"
