"""Tags that are told by what the dance has: a section by its number or its title, counts, the last ones."""

import pytest

import stepcheck as sc
from tests.unit.drafts.test_wordings import body

SHEET = """Osier Row
32 counts, 2 walls, line dance

{}
1-8 Vine right, vine left
{}
1-2 Step R forward, touch L
3-4 Step L back, touch R
5-6 Rock R back, recover L
7-8 Stomp R, stomp L
{}
1-8 Vine right, vine left
{}
1-4 Vine left
5-8 Rocking chair

{}
"""
ROCKS = ["S(R) TCH(L)", "S(L) TCH(R)", "RK(R) RC(L)", "STO(R) STO(L)"]
HEADS = (
    ("S1: Vines", "S2: Rocks and Stomps", "S3: Vines", "S4: Chair"),
    (
        "Section 1 Vines [1-8]",
        "Section 2 Rocks and Stomps [9-16]",
        "Section 3 Vines [17-24]",
        "Section 4 Chair [25-32]",
    ),
)


@pytest.mark.parametrize("heads", HEADS)
@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Tag after walls 2 and 6: repeat the rocks and stomps (8 counts).", ROCKS),
        ("Tag after wall 2: do the Rocks and Stomps section again", ROCKS),
        ("Tag after wall 2 (8 counts): dance Rocks and Stomps once more", ROCKS),
        ("Tag: after wall 2, repeat counts 9-12", ROCKS[:2]),
        ("Tag after wall 2: dance 9 to 12 again", ROCKS[:2]),
        ("Tag after wall 2 (4 counts): repeat the last 4 counts", ["Rocking Chair"]),
        ("Tag after wall 2: repeat section 2", ROCKS),
        ("Tag after wall 2 (4 counts): repeat the rocks and stomps", ["? 4 counts"]),
        ("Tag after wall 2 (8 counts): repeat the vines", ["? 8 counts"]),
        ("Tag after wall 2 (8 counts): repeat the rocks and wobble", ["? 8 counts"]),
    ],
)
def test_a_tag_may_be_a_piece_of_the_dance(said: str, wanted: list[str], heads: tuple[str, ...]) -> None:
    """By a title that one section alone has; what comes to other counts, or is of two sections, is a blank."""
    text = SHEET.format(*heads, said)

    assert body(text, "Tag") == wanted
    assert bool(sc.draft(text).open) is (wanted[0][0] == "?")


@pytest.mark.parametrize(
    "said", ["Tag after wall 2: 1-3 stomp R, stomp L, stomp R", "Tag (4 counts) after wall 2\n1-4 Vine right"]
)
def test_a_tag_makes_no_head_of_the_line_above_it(said: str) -> None:
    """Its counts are its own, and the last section has its lines."""
    text = f"Osier Row\n16 counts, 2 walls\n\nS1\n1-8 Vine right, vine left\nS2\n1-8 Vine right, vine left\n\n{said}\n"

    assert body(text, "Main") == ["Vine, right foot", "Vine, left foot"] * 2 and not sc.draft(text).open


@pytest.mark.parametrize("sign", [":", ""])
def test_counts_behind_the_walls_of_a_tag_are_no_walls(sign: str) -> None:
    """`walls 2 & 4, 1-4 Sway` is danced at the end of two walls."""
    sheet = SHEET.format("S1", "S2", "S3", "S4", f"Tag at the end of walls 2 & 4, 1-4{sign} Sway R L R L")
    dance = sc.draft(sheet).text.split("dance:")[1]

    assert [line.split("  #")[0].strip() for line in dance.splitlines()[1:5]] == ["Main x2", "Tag", "Main x2", "Tag"]
