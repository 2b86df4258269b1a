"""Sections of eight counts under letters: titles, and what they head."""

import pytest

import stepcheck as sc
from tests.unit.drafts.test_wordings import body

TOP = "Osier Row  {} ct / 4W / Imp\n\n{}\n"


@pytest.mark.parametrize("sign", ["({})", "{}.", "{})", "8{}"])
def test_a_title_behind_a_letter_is_not_danced_where_the_lines_under_it_fill_the_section(sign: str) -> None:
    """Else it is danced with them."""
    rows = (
        f"{sign.format('A')} walks + kick\nWALK R L R, KICK L / WALK BK L R L, TCH R\n"
        f"{sign.format('B')} VINE R, touch\nVINE L, touch\n"
        f"{sign.format('C')} ROCK fwd R, rec, COASTER R\n   ROCK fwd L, rec, COASTER L"
    )
    made = body(TOP.format(24, rows), "Main")

    assert " ".join(made[:-6]) == "S(R) S(L) S(R) K(L) S(L) S(R) S(L) TCH(R)"
    assert made[-6:] == [
        "Vine, right foot",
        "Vine, left foot",
        "RK(R) RC(L)",
        "Coaster, right foot",
        "RK(L) RC(R)",
        "Coaster, left foot",
    ]


@pytest.mark.parametrize(
    "said",
    [
        "RST: W3 + W5 aft (B)",
        "Restart w3, w5 after B",
        "Restart walls 3 and 5 after section B",
        "walls 3, 5: stop after 8B, restart",
    ],
)
def test_a_restart_is_cut_behind_the_section_that_it_names(said: str) -> None:
    """By its letter, in a bracket or not, whatever is open in it; each section has its eight counts."""
    rows = (
        "(A) vines\nVINE R, touch / VINE L, touch\n(B) wobbles\nWOBBLE about\n(C) vines\nVINE R, touch / VINE L, touch"
    )
    made = sc.draft(TOP.format(24, f"{rows}\n\n{said}")).text

    assert "  Main x2\n  Main, first 16 counts" in made and made.count("Main, first 16 counts") == 2
    assert "? 8 counts" in made


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1&2 L kick ball touch", "K(L)@1 BA@1& TCH@2"),
        ("1&2 R kick ball point L", "K(R)@1 BA@1& PT(L)@2"),
        ("1-2 cross L toe strut over R", "Toe Strut, left foot"),
        ("1-2 cross R toe strut", "Toe Strut, right foot"),
    ],
)
def test_names_with_a_word_between_are_read(said: str, wanted: str) -> None:
    """A ball ends its movement, and a figure may cross."""
    text = f"Osier Row\n8 counts, 1 wall, line dance\n\n{said}\n3-4 Walk R, L\n5-8 Vine left\n"

    assert body(text, "Main")[0] == wanted


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1-2 R heel hold", "HT(R) HOLD"),
        ("1-2 L side hold", "S(L) HOLD"),
        ("1-3 R heel & clap clap, hold", "HT(R) CLAP HOLD"),
        ("[1-8] walk R, hold, walk L, hold x2", "S(R) HOLD S(L) HOLD S(R) HOLD S(L) HOLD"),
        ("[1-6] walk R, walk L, walk R, hold x2", "? 6 counts"),
    ],
)
def test_a_hold_behind_a_step_is_its_own_and_often_is_said_of_all(said: str, wanted: str) -> None:
    """No step is lost for the hold or the clap behind it; `x2` behind several steps is theirs where the counts say so."""
    text = f"Osier Row\n8 counts, 1 wall, line dance\n\n{said}\n"

    assert body(text, "Main")[0] == wanted


def test_a_number_of_times_before_a_plural_is_no_count() -> None:
    """`4 x heel struts` is danced four times."""
    text = "Osier Row\n16 counts, 1 wall, line dance\n\nS1\n4 x heel struts\nS2\n1-8 Vine right, vine left\n"

    assert body(text, "Main")[0].startswith("Heel Strut x4")


ROWED = (
    "{}1-2 R side rock, rec L   3&4 R cross shuffle\n    5-8 L jazz box 1/4 L: L cross, R back, L side, R cross (9:00)",
    "{}1&2& R heel fwd, R tog, L heel fwd, L tog   3-4 R fwd, 1/4 pivot L\n    5&6 R shuffle fwd   7-8 L rock fwd, rec R",
    "{}1-2 R side, hold   &3-4 L tog, R side, L touch\n    5-8 L vine",
)
LABELS = (
    "A   B   C   ",
    "A:  B:  C:  ",
    "A - B - C - ",
    "A)  B)  C)  ",
    "1   2   3   ",
    "1 - 2 - 3 - ",
    "I   II  III ",
)


@pytest.mark.parametrize("labels", LABELS)
def test_a_label_before_counts_heads_its_section(labels: str) -> None:
    """Whatever stands over it: the row before is no head of the counts behind the label, and the label is no step."""
    rows = [row.format(labels[4 * at : 4 * at + 4]) for at, row in enumerate(ROWED)]
    text = TOP.format(24, "\n".join(rows) + "\n\nRestart: wall 3, after count 16")

    assert body(text, "Main") == [
        "RK(R) RC(L)",
        "Cross Shuffle, right foot",
        "Jazz Box, left foot, turn 1/4 left, facing 9:00",
        "HT(R)@1 S(R)@1& HT(L)@2 S(L)@2&",
        "S(R) PV S, turn 1/4 left @2",
        "Shuffle, right foot",
        "RK(L) RC(R)",
        "S(R) HOLD",
        "S(L)@&1 S(R)@1 TCH(L)@2",
        "Vine, left foot",
    ]
    assert not sc.draft(text).open


@pytest.mark.parametrize("sign", ["   ", " | "])
def test_a_column_of_numbers_heads_no_line_of_its_own(sign: str) -> None:
    """The table says what its columns are."""
    rows = [("SEC", "CTS", "STEPS", "WALL"), ("1", "1-4", "Vine R", "12"), ("", "5-8", "Vine L", "12")]
    rows += [("2", "1-4", "Vine R, turn 1/4 R", "3"), ("", "5-8", "Vine L", "3")]
    wide = (5, 5, 20, 4)
    text = "\n".join(sign.join(cell.ljust(size) for cell, size in zip(row, wide, strict=True)).rstrip() for row in rows)
    made = body(TOP.format(16, text), "Main")

    assert made == [
        "Vine, right foot, facing 12:00",
        "Vine, left foot, facing 12:00",
        "Vine, right foot, turn 1/4 right, facing 3:00",
        "Vine, left foot, facing 3:00",
    ]
