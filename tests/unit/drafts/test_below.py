"""Rows of nothing but counts, which stand below the rows of steps that they count, or above them."""

import pytest

import stepcheck as sc
from tests.unit.drafts.test_wordings import body

TOP = "Osier Row\n{} counts, 2 walls, line dance\n\n"
VINES = ["Vine ending in a scuff, right foot", "Vine ending in a scuff, left foot, turn 1/4 left, facing 9:00"]
ROCKS = ["RK(L) RC(R)", "Shuffle, left foot"]


def drafted(counts: int, text: str) -> list[str]:
    """Return the lines of the only part that a text of so many counts comes to; nothing of it is open."""
    made = sc.draft(TOP.format(counts) + text)
    assert not made.open
    return body(TOP.format(counts) + text, "Main")


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("Rt vine, scuff Lt; Lt vine with 1/4 L, scuff Rt (9:00)\n1-4; 5-8\n", VINES),
        ("Rt vine, scuff Lt, Lt vine with 1/4 L, scuff Rt (9:00)\n1-4 / 5-8\n", VINES),
        ("Rt vine, scuff Lt   Lt vine with 1/4 L, scuff Rt (9:00)\n1-4                 5-8\n", VINES),
        ("Rt vine, scuff Lt | Lt vine with 1/4 L, scuff Rt (9:00)\n1 2 3 4 | 5 6 7 8\n", VINES),
        ("Rt vine, scuff Lt. Lt vine with 1/4 L, scuff Rt (9:00)\n(1-4) (5-8)\n", VINES),
        ("Rt vine, scuff Lt,\nLt vine with 1/4 L, scuff Rt (9:00)\ncounts 1 to 8\n", VINES),
        ("Rt vine, scuff Lt, Lt vine with 1/4 L, scuff Rt (9:00)\n1-8\n", VINES),
        ("1. Rt vine, scuff Lt\n   1-4\n   Lt vine with 1/4 L, scuff Rt (9:00)\n   5-8\n", VINES),
        ("Section 1\nRt vine, scuff Lt\n1-4\nLt vine with 1/4 L, scuff Rt (9:00)\n5-8\nStart again\n", VINES),
        ("1-4; 5-8\nRt vine, scuff Lt; Lt vine with 1/4 L, scuff Rt (9:00)\n", VINES),
        ("1 2 3 4\nRt vine, scuff Lt\n5 6 7 8\nLt vine with 1/4 L, scuff Rt (9:00)\n", VINES),
        (
            "Step Rt fwd   touch Lt   step Lt back   hold   Step Rt side   lock Lt behind   Rt side   scuff Lt\n"
            "1             2          3              4      5              6                7         8\n",
            ["S(R) TCH(L) S(L) HOLD S(R) S(L) S(R) SCUFF(L)"],
        ),
        (
            "Rock Lt fwd, rec Rt   Shuffle back L R L   Rock Rt back, rec Lt   Shuffle fwd R L R\n"
            "1   2                 3 & 4                5   6                  7 & 8\n",
            [*ROCKS, "RK(R) RC(L)", "Shuffle, right foot"],
        ),
        (
            "Rock Lt fwd   rec Rt   Lt coaster step   Rock Rt fwd   rec Lt   Rt coaster step\n"
            "  1             2       3  &  4              5          6       7  &  8\n",
            ["RK(L) RC(R)", "Coaster, left foot", "RK(R) RC(L)", "Coaster, right foot"],
        ),
        (
            "ROCKS AND SHUFFLES\nRock Lt fwd, rec Rt, shuffle back L R L\n1-2, 3&4,\n"
            "Rock Rt back, rec Lt, shuffle fwd R L R\n5-6, 7&8\n\nWall 3: restart after 8 counts\n",
            [*ROCKS, "RK(R) RC(L)", "Shuffle, right foot"],
        ),
        (
            "Rock Lt fwd, rec Rt, shuffle back L R L\n1-2 3&4\n\nRock Rt back, rec Lt, shuffle fwd R L R\n5-6, 7&8\n",
            [*ROCKS, "RK(R) RC(L)", "Shuffle, right foot"],
        ),
    ],
)
def test_a_row_of_counts_is_of_the_row_of_steps_at_it(text: str, wanted: list[str]) -> None:
    """Counts below or above a row of steps, in one span, in spans or in columns, are those of this row."""
    assert wanted == drafted(8, text)


def test_a_title_under_an_empty_line_is_not_of_the_counts_over_it() -> None:
    """Counts that end a paragraph stay with their row, whatever the next paragraph begins with."""
    rows = "Rt vine, scuff Lt\n1 2 3 4\nLt vine, scuff Rt\n5 6 7 8\n\n"
    text = f"VINES\n{rows}MORE VINES AND ROCKS\n{rows}"

    assert ["Vine ending in a scuff, right foot", "Vine ending in a scuff, left foot"] * 2 == drafted(16, text)


def test_each_paragraph_may_count_from_one() -> None:
    """Rows that are counted from one again are sections, and run on: no count is added."""
    text = "Rt vine, scuff Lt; Lt vine, scuff Rt\n1-4; 5-8\n\n" * 2 + "Wall 4: restart after 8 counts\n"

    assert ["Vine ending in a scuff, right foot", "Vine ending in a scuff, left foot"] * 2 == drafted(16, text)


@pytest.mark.parametrize(
    "text",
    [
        "1-8\nRt vine, scuff Lt\nLt vine with 1/4 L, scuff Rt (9:00)\n",
        "VINES\n1-8\nRt vine, scuff Lt\nLt vine with 1/4 L, scuff Rt (9:00)\n",
        "Two vines\n1-8\n\nRt vine, scuff Lt\nLt vine with 1/4 L, scuff Rt (9:00)\n",
    ],
)
def test_counts_over_several_lines_are_their_head(text: str) -> None:
    """Counts over the lines that they are of are no counts of the title above them."""
    assert VINES == drafted(8, text)


@pytest.mark.parametrize(
    ("foot", "fields", "opened"),
    [
        (
            '"Low Water" (music: Reed County Line) phrased intermediate. Ada Reed, Hollis Dance Barn',
            ["routine: Low Water", "level: phrased intermediate"],
            ["Ada Reed, Hollis Dance Barn", "music: Reed County Line"],
        ),
        (
            '"Low Water" (music: "Mill Race" by Bo Finch), improver, choreographed by Ada Reed',
            [
                "routine: Low Water",
                "level: improver, club scheme",
                "song: Mill Race",
                "artist: Bo Finch",
                "author: Ada Reed",
            ],
            [],
        ),
        ('"Low Water", choreo Ada Reed', ["routine: Low Water", "author: Ada Reed"], []),
        ('"Low Water" by Bo Finch', ["song: Low Water", "artist: Bo Finch"], []),
    ],
)
def test_a_name_in_quotes_at_the_foot_is_the_title_where_none_stands_above(
    foot: str, fields: list[str], opened: list[str]
) -> None:
    """If the line says more of the dance than its music; a name alone that is the music may be song or artist."""
    parts = "PART A (4 counts)\n1-4 Vine R\n\nPART B (4 counts)\n1-4 Jazz box R\n\nSequence: A B A\n"
    made = sc.draft(f"{parts}{foot}\n")
    found = [each for each in made.text.split("\npart ")[0].splitlines() if each[:1] not in ("#", "")]

    assert [each for each in found if each.split(":")[0] not in ("book", "lead")] == fields
    assert [each.split("not used: ")[-1] for each in made.open] == opened
    assert "routine: Osier Row" in sc.draft(f"Osier Row\n{parts}{foot}\n").text
