"""On which counts steps stand whose counts are said behind them, of a span, or not at all."""

import pytest

import stepcheck as sc

PAGE = "Weir Lane\n32 counts, 2 walls, intro 16\n\nS1\n1-8 Vine R touch, vine L touch\nS2\n{said}\nS3\n1-8 Vine R touch, vine L touch\n"


def lines_of(said: str) -> tuple[list[str], sc.Draft]:
    """Return the lines of the second section, and the draft."""
    made = sc.draft(PAGE.format(said=said))
    return [each.strip() for each in made.text.split("# S2\n")[-1].split("  counts 17-24")[0].splitlines()], made


@pytest.mark.parametrize("led", ["", "1-8 ", "1-8: ", "9-16 "])
@pytest.mark.parametrize("dash", ["-", " ", ","])
def test_counts_behind_words_fill_the_span_in_front_of_their_line(led: str, dash: str) -> None:
    """`9-16 … 1-2, … 3&4, …` is read as without the span, whichever sign joins its counts."""
    found, made = lines_of(
        f"{led}Rock R fwd, rec L 1{dash}2, R coaster 3&4, L dorothy 5{dash}6&, R kick ball change 7&8"
    )

    assert found == [
        "RK(R) RC(L) (forward)",
        "Coaster, right foot",
        "Dorothy Step, left foot",
        "Kick Ball Change, right foot",
    ]
    assert not made.open


@pytest.mark.parametrize("last", ["5-6", "7-8, walk R L 9-10"])
def test_counts_that_do_not_fill_their_span_leave_the_line_open(last: str) -> None:
    """Behind `1-8` counts that end on 6 or on 10 are a slip, and nothing of it is guessed."""
    _, made = lines_of(f"1-8 Rock R fwd, rec L 1-2, R coaster 3&4, walk L R {last}")

    assert made.open


@pytest.mark.parametrize("word", ["again", "repeat", "same again", "ditto"])
def test_a_piece_may_be_danced_once_more_on_its_counts(word: str) -> None:
    """`R kick ball change 1&2, again 3&4` dances it twice."""
    found, made = lines_of(f"R kick ball change 1&2, {word} 3&4, walk R L 5-6, step R pivot 1/2 L 7-8")

    assert found[:2] == ["Kick Ball Change, right foot"] * 2
    assert not made.open


def test_a_piece_is_not_danced_again_on_more_counts_than_it_has() -> None:
    """`again` on four counts behind two says nothing that can be danced."""
    assert lines_of("R kick ball change 1&2, again 3-6, walk R L 7-8")[1].open


@pytest.mark.parametrize(
    "said, row",
    [
        ("R kick ball step, R kick ball step, walk R L, R shuffle", "K(R)@1 BA@1& S@2 K(R)@3 BA@3& S@4 S(R)@5 S(L)@6"),
        (
            "Walk R, L, R, L. Side rock L, recover R, L behind, R side, cross L over",
            "S(R)@1 S(L)@2 S(R)@3 S(L)@4 RK(L)@5 RC(R)@6 S(L)@7 S(R)@7& S(L)@8 (side, behind, side, cross)",
        ),
    ],
)
def test_triples_have_two_counts_where_these_are_short_by_just_that(said: str, row: str) -> None:
    """Kick, ball and a step, and behind, side, cross, have a half in the middle (common practice); it is assumed."""
    found, made = lines_of(f"1-8 {said}")

    assert row in found
    assert not made.open
    assert any("on two counts" in each for each in made.assumed)


@pytest.mark.parametrize(
    "said",
    [
        "Walk R, L, R, L, R. Side rock L, recover R, L behind, R side, cross L over",  # one more than that
        "R kick ball step, walk R L R, R kick ball step, hold, hold",
        "Step R side, L together, R side, touch L, step L side, R together, L side, touch R, hold",
    ],
)
def test_other_steps_too_many_stay_open(said: str) -> None:
    """What no triple explains may be the mistake of the sheet: it is not squeezed in."""
    assert lines_of(f"1-8 {said}")[1].open


@pytest.mark.parametrize("said", ["L shuffle RLR", "Left coaster R L R", "Vine L RLR", "Shuffle R LRL"])
def test_a_figure_on_one_foot_with_the_feet_of_the_other_is_open(said: str) -> None:
    """`L shuffle RLR` says two things: neither is taken."""
    _, made = lines_of(f"1-8 {said}, hold, hold, hold, hold, hold")

    assert made.open


@pytest.mark.parametrize("said", ["R behind side cross RLR", "behind, side, cross RLR", "R behind, side, cross (RLR)"])
def test_a_row_of_feet_behind_a_crossing_is_that_of_the_steps_before_it(said: str) -> None:
    """Three feet behind three steps are one each; no step is added."""
    found, made = lines_of(f"1-2 Side rock R, recover L\n3&4 {said}\n5-8 Vine L touch")

    assert found[1] == "S(R)@1 S(L)@1& S(R)@2 (behind, side, cross)"
    assert not made.open


def test_feet_against_those_of_the_steps_are_open() -> None:
    """`L behind side cross RLR` is no row of five steps."""
    assert lines_of("1-2 Side rock L, recover R\n3&4 L behind side cross RLR\n5-8 Vine R touch")[1].open


@pytest.mark.parametrize("spelled", ["back, together, forward", "back-together-forward", "back together forward"])
def test_what_a_bracket_spells_of_a_figure_is_no_more_than_the_figure(spelled: str) -> None:
    """Beside other steps of whole counts as well."""
    found, made = lines_of(f"1-8 Rock R forward, recover L, R coaster ({spelled}), walk L, R, L, R")

    assert found[1] == "Coaster, right foot (back, together, forward)"
    assert not made.open


@pytest.mark.parametrize(
    "said, lines",
    [
        ("1-4 pivot 1/2 L, pivot 1/4 L", ["Pivot Turn, turn 1/2 left", "Pivot Turn, turn 1/4 left"]),
        (
            "1-8 Rock fwd R, recover L, pivot 1/2 L, R shuffle, L shuffle",
            ["RK(R) RC(L) (forward)", "Pivot Turn, turn 1/2 left", "Shuffle, right foot", "Shuffle, left foot"],
        ),
        ("1-4 R fwd 1/4 turn L, R fwd 1/4 L", ["S(R) PV S, turn 1/4 left @2 (forward)"] * 2),
        ("1-4 Toe strut back R L", ["Toe Strut x2, right foot (back)"]),
        ("1-4 (1/4 L) R side, L touch, L side, R touch", ["S(R) TCH(L) S(L) TCH(R), turn 1/4 left @1 (side, side)"]),
    ],
)
def test_what_counts_ask_for_is_read(said: str, lines: list[str]) -> None:
    """A pivot behind no step has one, a step with a turn pivots, a figure on two feet is two, where counts ask for it."""
    found, made = lines_of(f"{said}\n5-8 Vine R touch" if said.startswith("1-4") else said)

    assert found[: len(lines)] == lines
    assert not made.open


@pytest.mark.parametrize(
    "said", ["walk R, pivot 1/2 L, hold, hold, hold", "pivot 1/2 L, R shuffle", "pivot 1/2 L, hold"]
)
def test_a_pivot_has_no_more_counts_than_are_left(said: str) -> None:
    """Behind a step it is on that; with other counts left than one for each it stays open, or as it is told."""
    assert "Pivot Turn" not in lines_of(f"1-5 {said}")[1].text


def test_a_turn_in_a_bracket_before_all_steps_is_not_lost() -> None:
    """`(1/4 turn) R side` says no direction: the row is open."""
    assert lines_of("1-4 (1/4 turn) R side, L touch, L side, R touch")[1].open


@pytest.mark.parametrize(
    "said, lines",
    [
        (
            "Side rock R, rec L, behind side cross (3&4), side rock L, rec R, behind side cross (7&8)",
            [
                "RK(R)@1 RC(L)@2 S(R)@3 S(L)@3& S(R)@4 (side, behind, side, cross)",
                "RK(L)@1 RC(R)@2 S(L)@3 S(R)@3& S(L)@4 (side, behind, side, cross)",
            ],
        ),
        (
            "R rocking chair 1-4, step R fwd 5, pivot 1/4 L 6, cross R over L 7, hold 8",
            ["Rocking Chair, right foot", "S(R) PV S S(R) HOLD, turn 1/4 left @2 (forward, cross)"],
        ),
        (
            "R side (1), hold (2), L tog (3), hold (4), R side (5), L tog (6), R side (7), touch L (8)",
            ["S(R) HOLD S(L) HOLD S(R) S(L) S(R) TCH(L) (side, together, side, together, side)"],
        ),
        (
            "kick R fwd x2, R coaster 3&4, step L fwd, pivot 1/2 R, walk L, walk R",
            ["K(R) K(R) (forward, forward)", "Coaster, right foot", "S(L) PV S S(L) S(R), turn 1/2 right @2 (forward)"],
        ),
        (
            "R big step to side, drag L 2-3, touch L 4, L big step to side, drag R 6-7, touch R 8",
            ["S(R) DRAW(L) HOLD (long step side)", "Touch, left foot", "S(L) DRAW(R) HOLD (long step side)"],
        ),
    ],
)
@pytest.mark.parametrize("led", ["1-8 ", "1-8) ", "9-16: "])
def test_counts_that_are_not_written_are_of_the_words_before(led: str, said: str, lines: list[str]) -> None:
    """Up to the counts behind them, single or in brackets, or to the end of the span."""
    found, made = lines_of(led + said)

    assert found[: len(lines)] == lines
    assert not made.open


def test_a_wall_in_a_bracket_is_no_count_of_the_run() -> None:
    """`pivot 1/4 L (3:00)`, `(9)` behind the counts in front of a line: where dancers face."""
    found, made = lines_of("1-2 step R, pivot 1/2 L (6:00)\n3-4 step R, pivot 1/4 L (3)\n5-8 Vine R touch")

    assert found[:2] == ["S(R) PV S, turn 1/2 left @2, facing 6:00", "S(R) PV S, turn 1/4 left @2, facing 3:00"]
    assert not made.open


@pytest.mark.parametrize("then", [", then the same to the left", "; same with L", " and then the same on the left"])
def test_half_of_the_counts_may_be_the_same_on_the_other_foot(then: str) -> None:
    """`1-8 four counts, then the same to the left`."""
    found, made = lines_of(f"1-8 Step R side, tog L, step R side, touch L{then}")

    assert found[0] == "S(R) S(L) S(R) TCH(L) (side, together, side)"
    assert found[1].startswith("S(L) S(R) S(L) TCH(R) (side, together, side)")
    assert not made.open


def test_the_same_of_more_counts_than_its_steps_is_open() -> None:
    """Three counts, and the same in eight: one of them is a slip."""
    assert lines_of("1-8 Step R side, tog L, touch R; same with L")[1].open


@pytest.mark.parametrize("often", ["x2", "repeat", "twice"])
def test_a_title_before_steps_that_are_danced_twice_is_their_note(often: str) -> None:
    """`Charleston: touch, step, touch, step, x2` fills eight counts."""
    found, made = lines_of(f"1-8 Charleston: touch R fwd, step R back, touch L back, step L fwd, {often}")

    assert found[0].startswith("TCH(R) S(R) TCH(L) S(L) TCH(R) S(R) TCH(L) S(L) (charleston: forward, back")
    assert not made.open
