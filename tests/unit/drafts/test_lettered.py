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
