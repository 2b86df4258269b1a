"""Tags that are told by what the dance has: a section by its number or its title, counts, the last ones."""

import re

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


FOUR = """Weir Lane
16 counts, 4 walls

S1
1-4 Vine right, touch left
5-8 Vine left, touch right
S2
1-4 Vine right, touch left
5-8 Rocking chair R

{}
Start again
"""
APART = ["Step, right foot", "Touch, left foot", "Step, left foot", "Touch, right foot"]


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Tag: end of wall 3\n1 Step R to side\n2 Touch L beside R\n3 Step L to side\n4 Touch R beside L", APART),
        ("Tag (4 counts) after wall 3\n- side R (1)\n- touch L (2)\n- side L (3)\n- touch R (4)", APART),
        ("Tag after wall 3: 1 R to side, 2 touch L, 3 L to side, 4 touch R", ["S(R) TCH(L) S(L)", APART[-1]]),
        (
            "There is a 4 count tag at the end of wall 3. (1) side R, (2) touch L, (3) side L, (4) touch R.",
            ["S(R) TCH(L) S(L)", APART[-1]],
        ),
        ("Tag (after wall 3): R to side (1), touch L (2), L to side (3), touch R (4)", ["S(R) TCH(L) S(L) TCH(R)"]),
        ("4-count tag, end of wall 3:\n1-2 Side R, touch L\n3-4 Side L, touch R", ["S(R) TCH(L)", "S(L) TCH(R)"]),
        (
            "After wall 3 add the following 4 counts:\n1-2 Side R, touch L\n3-4 Side L, touch R",
            ["S(R) TCH(L)", "S(L) TCH(R)"],
        ),
        (
            "TAG: at end of wall 3 do\nSIDE TOUCHES\n1-2 Side R, touch L\n3-4 Side L, touch R",
            ["S(R) TCH(L)", "S(L) TCH(R)"],
        ),
        ("Tag\nWhen: end of wall 3\nCounts: 4\nSteps: side R, touch L, side L, touch R", ["S(R) TCH(L) S(L) TCH(R)"]),
        (
            "After wall 3 do this 4 count tag, then start again: side R, touch L, side L, touch R",
            ["S(R) TCH(L) S(L) TCH(R)"],
        ),
    ],
)
def test_the_counts_of_a_tag_are_its_own(said: str, wanted: list[str]) -> None:
    """Counts of a tag run on from one, in rows, in brackets or in running words, and are none of how long it is; its
    title, and what is told field by field, are its own as well."""
    made = sc.draft(FOUR.format(said))
    tag = made.text[made.text.index("part Tag") :].split("dance:")[0]
    lines = [re.sub(r" \([a-z, ]+\)", "", line.split("  #")[0].strip()) for line in tag.split("\n")]

    assert made.open == ()
    assert [line for line in lines if line and not line.startswith(("part", "#"))] == wanted
    assert ("part Tag: 4 counts" in tag) == bool(re.search("(?i)4[ -]counts?|counts: 4", said))
    assert "  Main x3\n  Tag" in made.text and "Rocking Chair, right foot" in made.text


@pytest.mark.parametrize(
    "said",
    [
        "Restart: Wall 3\nAfter: 8 counts\nFacing: 6 o'clock",
        "Restart\nWall 3: after 8 counts, facing 6:00",
        "On wall 3 dance up to and including count 8, then restart facing 6:00",
        "NB. Restart wall 3 after ct 8, fcg 6",
        "(Wall 3: restart after 8, 6 o'clock wall)",
        "Rst: W3, 8 cts, 6:00",
    ],
)
def test_a_restart_may_be_told_field_by_field(said: str) -> None:
    """The wall, the counts and the facing of a restart stand on its line or below it, in few words or many."""
    made = sc.draft(FOUR.format(said))

    assert made.open == ()
    assert "  Main x2\n  Main, first 8 counts" in made.text and "  expect facing 6:00" in made.text


def test_a_head_below_a_tag_in_the_middle_is_of_the_dance() -> None:
    """Before all counts of the dance are read, a title below a tag without steps heads the next section."""
    first, second = FOUR.split("S2\n")
    made = sc.draft(f"{first}Tag: end of wall 3\nS2: MORE\n{second.format('')}")

    assert "  counts 9-16:  # S2: MORE" in made.text and "Rocking Chair, right foot" in made.text
    assert any("no steps of Tag" in each for each in made.open)


@pytest.mark.parametrize(
    "said", ["Repeat counts 1-16 of part B", "Repeat 1-16 of B", "Repeat the first 16 counts of part B"]
)
def test_counts_of_a_part_are_danced_again_in_it(said: str) -> None:
    """The part whose counts are named is the one that is read; those of another one stay open."""
    text = (
        "Osier Row\nline dance\nSequence: A B A B\n\nPART A\n[1-8]\n1-4 Vine R\n5-8 Vine L\n\nPART B\n[1-8]\n1-4 Rocking chair L\n"
        f"5-8 Vine R\n[9-16]\n1-4 Vine L\n5-8 Jazz box R\n[17-32] {said}\n"
    )
    half = ["Rocking Chair, left foot", "Vine, right foot", "Vine, left foot", "Jazz Box, right foot"]

    assert half * 2 == body(text, "B") and not sc.draft(text).open
    assert [*half, "? 16 counts"] == body(text.replace("of part B", "of part A").replace("of B", "of A"), "B")
