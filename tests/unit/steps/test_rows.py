"""Rows by their counts: figures that feet alone dance again, and turns that have a count of their own."""

import pytest

import stepcheck as sc


def danced(said: str, counts: int = 8) -> list[str]:
    """Return the lines that a draft has for words on so many counts."""
    text = f"Osier Row\n16 counts, 2 walls, line dance\n\nS1\n1-{counts} {said}\nS2\n1-8 Vine R touch, vine L touch\n"
    lines = sc.draft(text).text.partition("part Main")[2].splitlines()
    return [line.split("  #")[0].strip() for line in lines[2:] if line.startswith("    ")][:-2]


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Toe strut R, L, R, L fwd", ["Toe Strut, right foot", "Toe Strut, left foot"] * 2),
        ("Toe strut R, toe strut L, R, L", ["Toe Strut, right foot", "Toe Strut, left foot"] * 2),
        ("Heel struts R, L, R, L", ["Heel Strut x4, right foot"]),
        ("Shuffle R, L, rocking chair R", ["Shuffle, right foot", "Shuffle, left foot", "Rocking Chair, right foot"]),
        (
            "Shuffle R-L-R, L-R-L 1/2 R, rock R, recover, coaster R",
            ["Shuffle, right foot", "Shuffle, left foot, turn 1/2 right", "RK(R) RC(L)", "Coaster, right foot"],
        ),
        (
            "Toe strut R, step L, R, L, touch R, hold, touch R",
            ["Toe Strut, right foot", "S(L) S(R) S(L) TCH(R) HOLD TCH(R)"],
        ),
        (
            "Heel strut R, L, walk R, L, R, L",
            ["Heel Strut, right foot", "Heel Strut, left foot", "S(R) S(L) S(R) S(L)"],
        ),
        ("Toe strut R, R, L, L", ["? 8 counts"]),
        ("Rocking chair R, L, R, L, touch R", ["Rocking Chair, right foot", "S(L) S(R) S(L) TCH(R)"]),
        ("V-step x2", ["V Step x2"]),
    ],
)
def test_feet_alone_behind_a_figure_dance_it_again_where_steps_do_not_fill_the_counts(
    said: str, wanted: list[str]
) -> None:
    """Each is the other foot of that before; steps where these fill the counts, and a blank where neither does."""
    assert [line.replace(" (forward)", "") for line in danced(said)] == wanted


@pytest.mark.parametrize(
    ("said", "counts", "wanted"),
    [
        (
            "Kick ball change R x2, step R 1/2 L, stomp R L",
            8,
            ["Kick Ball Change x2, right foot", "S(R) PV S STO(R) STO(L), turn 1/2 left @2"],
        ),
        ("Step R 1/2 L, step R, step L", 4, ["S(R) PV S S(R) S(L), turn 1/2 left @2"]),
        ("Step R 1/4 L, step L, step R", 3, ["S(R) S(L) S(R), turn 1/4 left @1"]),
        ("Step R 1/4 L, step L, step R", 4, ["? 4 counts"]),  # a pivot would end on the left foot
        ("Step R turn 1/4 L, shuffle L", 4, ["? 4 counts"]),
        ("Shuffle R, step L 1/4 R, step R, step L", 6, ["? 6 counts"]),
    ],
)
def test_a_turn_is_a_pivot_where_a_count_is_left_for_it_and_its_foot_is_free_of_the_next(
    said: str, counts: int, wanted: list[str]
) -> None:
    """Beside figures as well; the foot on which a pivot ends can't move next."""
    assert danced(said, counts) == wanted
