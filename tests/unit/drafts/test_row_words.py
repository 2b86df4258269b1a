"""Words of a row: a foot that another one goes to, a toe that its heel follows, titles of several figures."""

import pytest

import stepcheck as sc
from tests.unit.drafts.test_wordings import LINE, body


@pytest.mark.parametrize(
    ("row", "wanted"),
    [
        ("1-4 R heel fwd, hook over L, R heel fwd, touch tog", "HT(R) HK HT(R) TCH"),
        ("1-4 R heel fwd, hook across left, R heel fwd, R together", "HT(R) HK HT(R) S(R)"),
        ("1-2 R side, touch beside R", "S(R) TCH"),
        ("1-2 R side, touch next to the right", "S(R) TCH"),
        ("1-2 L heel fwd, hook L over R", "HT(L) HK(L)"),
        ("1-4 R toe fwd, heel down, L toe tog, heel down", "TT(R) HW(R) TT(L) HW(L)"),
        ("1-4 R toe fwd, drop heel, L toe together, drop heel", "TT(R) HW(R) TT(L) HW(L)"),
        ("1-2 L heel tog", "HT(L) S"),
        ("1-4 Step to right, L behind, step to right, touch L", "S S(L) S(R) TCH(L)"),
        ("1-2 L step to right, R step to right", "S(L) S(R)"),
        ("1-2 Step to right, step to left", "S S"),
        (
            "1-8 Toe strut jazz box: R toe across, heel down, L toe back, heel down, R toe side, heel down, "
            "L toe tog, heel down",
            "TT(R) HW(R) TT(L) HW(L) TT(R) HW(R) TT(L) HW(L)",
        ),
    ],
)
def test_a_row_is_what_its_steps_say(row: str, wanted: str) -> None:
    """A foot behind `over` or `beside` is no foot that moves; a toe and its heel are a strut; figures before a colon are
    the title of the steps that come to the counts."""
    text = LINE.format(8, row)

    assert [wanted] == body(text, "Main")
    assert not [each for each in sc.draft(text).open if "stated" not in each]


@pytest.mark.parametrize(
    ("row", "wanted"),
    [
        ("1-2 Step R fwd, lift L knee", "S(R) HITCH(L)"),
        ("1-2 Step R fwd, L knee up", "S(R) HITCH(L)"),
        ("1-2 Walk RF, bring your LF knee up", "S(R) HITCH(L)"),
        ("1-2 Step R fwd, raise left knee (hitch)", "S(R) HITCH(L)"),
        ("1-2 Touch R toes fwd, step down on R heel", "TT(R) HW(R)"),
        ("1-2 Step L toe fwd, drop L heel down", "TT(L) HW(L)"),
        ("1-2 Touch your L toe back and then drop the heel, taking weight", "TT(L) HW(L)"),
        ("1-2 Touch L toe back, lower L heel to the floor", "TT(L) HW(L)"),
        ("1-2 R heel forward, step R in back of L", "HT(R) S(R)"),
        ("1-2 Touch L toe at side of R, St L bes R", "TT(L) S(L)"),
        ("1-2 St R fwd, Kk L fwd", "S(R) K(L)"),
        ("1-2 Take a step to the side with your R, hook L over R", "S(R) HK(L)"),
        ("1-2 Step R fwd, clap once", "S(R) CLAP"),
        ("1-2 Step L back, clap your hands", "S(L) CLAP"),
        ("1-2 Step L back, give one clap of the hands", "S(L) CLAP"),
        ("1-2 Stomp R, hold for one count", "STO(R) HOLD"),
        ("1-2 Stomp R, just hold it there for one beat", "STO(R) HOLD"),
        ("1-2 Stomp R, hold still", "STO(R) HOLD"),
        ("1&2 Kick R, ball R, change L", "K(R)@1 BA(R)@1& S(L)@2"),
        ("1&2 Kick R, step on ball of R beside L, change weight to L", "K(R)@1 BA(R)@1& RC(L)@2"),
        ("1-2 Step L forward, 1/2 pivot turn R (weight on R)", "S(L) PV S(R), turn 1/2 right @2"),
        ("1-2 Step L forward, pivot 1/4 R, weight onto R", "S(L) PV S(R), turn 1/4 right @2"),
    ],
)
def test_a_step_is_read_in_the_words_of_many_teachers(row: str, wanted: str) -> None:
    """A knee that is lifted is a hitch, a heel that comes down behind its toe drops; what a step is called otherwise,
    or in short, is that step, and nothing of it is open."""
    text = LINE.format(2, row)

    assert [wanted] == body(text, "Main")
    assert not sc.draft(text).open


@pytest.mark.parametrize(
    "row",
    ["1-2 Step R fwd, L knee in", "1-4 Knees R L R L", "1-2 Point L toes out, R toes in", "1-2 Step R fwd, change L"],
)
def test_a_knee_that_only_moves_is_open(row: str) -> None:
    """No knee that turns in is lifted, and no foot changes without a ball before it."""
    made = sc.draft(LINE.format(4, row))

    assert "HITCH" not in made.text and made.open


@pytest.mark.parametrize(
    ("row", "wanted"),
    [
        ("1&2 Shuffle forward, starting with your L", "Shuffle, left foot"),
        ("1&2 Kick ball change, leading with RF", "Kick Ball Change, right foot"),
        ("1&2 K.B.C. on L", "Kick Ball Change, left foot"),
        ("1&2 Forward mambo step on R", "Mambo, right foot"),
        ("1-4 Gvine L, tch R", "Vine, left foot"),
        ("1-4 R/chair R: fwd, rec, bk, rec", "Rocking Chair, right foot"),
        ("1-2 Toe/strut L fwd", "Toe Strut, left foot"),
        ("1-4 4 count weave R: side, behind, side, in front", "S S S S"),
        (
            "1-4 Weave along, starting with your L to the side, then R behind, L to the side, R across",
            "Weave, left foot",
        ),
        ("5-8 4 count vine R", "? 4 counts"),
    ],
)
def test_a_figure_is_read_by_its_short_names_and_its_lead(row: str, wanted: str) -> None:
    """The foot that is said to start it is its foot; a number behind the counts that says how many counts it has is
    none of these."""
    assert wanted in body(LINE.format(8, row), "Main")


@pytest.mark.parametrize(
    ("row", "wanted"),
    [
        ("1-2 Kick R (forward), step R back", "K(R) S(R)"),
        ("1-2 Point L (to the side), step L (together)", "PT(L) S(L)"),
        ("1-2 Heel L (forward), close L", "HT(L) CL(L)"),
        ("1-2 Step R (over L), touch L (beside R)", "S(R) TCH(L)"),
        ("1-2 Rock R (side), recover L", "RK(R) RC(L)"),
        ("1-2 Step R fwd, hitch (L knee)", "S(R) HITCH(L)"),
        ("1-2 Step R, touch (L)", "S(R) TCH(L)"),
        ("1-4 Side R (step, together, step, touch)", "? 4 counts"),
    ],
)
def test_a_bracket_behind_a_step_may_hold_where_it_goes(row: str, wanted: str) -> None:
    """What says only a way, or a part of the leg, is of the step before it; steps in a bracket are none."""
    assert [wanted] == body(LINE.format(int(row[2]), row), "Main")


@pytest.mark.parametrize(
    ("row", "wanted"),
    [
        ("1&2 Kick ball change (R, R, L)", "Kick Ball Change, right foot"),
        ("1&2 Kick ball change L L R", "Kick Ball Change, left foot"),
        ("1&2 Coaster step (R, L, R)", "Coaster, right foot"),
        ("1-2 Toe strut fwd R (toe, heel)", "Toe Strut, right foot"),
        ("1-2 Toe strut L: toe, heel", "Toe Strut, left foot"),
        ("1-2 Heel strut R (heel, toe)", "Heel Strut, right foot"),
        ("1-2 R forward strut: toe, heel", "TT(R) HW(R)"),
        ("1-2 Right strut: toe, heel", "TT(R) HW(R)"),
        ("1-2 Waltzy left: side, together", "? 2 counts"),
        ("1&2 Kick ball change (R, L, L)", "? 2 counts"),
    ],
)
def test_feet_and_titles_of_a_figure_are_of_its_steps(row: str, wanted: str) -> None:
    """As many feet as a figure has movements are theirs if it can be danced so, its toe and heel are a strut, and the
    foot that a title begins with is that of the first step; another one in it leaves the row open."""
    assert [wanted] == body(LINE.format(2, row), "Main")


@pytest.mark.parametrize(
    ("rows", "wanted", "settled"),
    [
        (("1-4 Vine R, touch L", "5-8 Vine L, touch R"), ["Vine, right foot", "Vine, left foot"], True),
        (("1-4 Vine R, touch L beside", "5-8 Vine L"), ["Vine, right foot", "Vine, left foot"], False),
        (
            ("1-4 Vine R, touch L", "5-8 Vine L, scuff R"),
            ["Vine, right foot", "Vine ending in a scuff, left foot"],
            True,
        ),
        (("1-4 Vine R, step L together", "5-8 Rocking chair R"), ["Vine ending in a step, right foot"], False),
        (("1-4 Vine R, close L", "5-8 Rocking chair R"), ["S(R) S(L) S(R) CL(L)"], False),
        (("1-4 Vine R, step L forward", "5-8 Rocking chair R"), ["? 4 counts"], False),
    ],
)
def test_how_a_figure_ends_is_settled_where_every_line_says_so(
    rows: tuple[str, str], wanted: list[str], settled: bool
) -> None:
    """The header says it then, so that no reading stays open that the description has closed."""
    text = LINE.format(8, "\n".join(rows))

    assert wanted == body(text, "Main")[: len(wanted)]
    assert settled is ("\nvine: ends in a touch\n" in sc.draft(text).text)


@pytest.mark.parametrize(
    ("row", "wanted"),
    [
        ("1-2 Rock step R back, forward onto L", "Rock Step, right foot"),
        ("1-2 Rock back on R, rock forward onto L", "RK(R) RC(L)"),
        ("1-2 Rock L forward, then back on R", "RK(L) RC(R)"),
        ("1-2 Rock L forward, step back on R", "RK(L) RC(R)"),
        ("1-2 Sidestep with L, sidestep right", "S(L) S(R)"),
        (
            "1-4 Point R out, on ball of L turn 1/2 R & step R next to L, point L out, step L in",
            "PT(R) S(R) PT(L) S(L), turn 1/2 right @2",
        ),
        ("1-4 Rocking chair, starting R forward", "Rocking Chair, right foot"),
        ("1&2 Kick ball-change, left kicking", "Kick Ball Change, left foot"),
        ("1-4 Kick R twice, L twice", "K(R) K(R) K(L) K(L)"),
        ("1&2 R k/ball/change", "Kick Ball Change, right foot"),
        ("1&2 Kickball change L", "Kick Ball Change, left foot"),
        ("1&2 Coaster stp left", "Coaster, left foot"),
        ("1-2 Step R to side, lift L & hook across R", "S(R) HK(L)"),
        ("1-2 Step R fwd, pivot 1/4 L @3", "S(R) PV S, turn 1/4 left @2, facing 3:00"),
        ("1-2 Step R fwd, pivot 1/4 L (@ 3)", "S(R) PV S, turn 1/4 left @2, facing 3:00"),
    ],
)
def test_more_words_of_rows(row: str, wanted: str) -> None:
    """A rock comes back onto its other foot whatever that is called, a foot that bears a turn makes no step, who leads may
    be said behind a figure, and an hour may stand behind its sign."""
    assert [wanted] == body(LINE.format(int(row[2]), row), "Main")
