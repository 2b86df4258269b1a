"""Paragraphs of sentences that state their counts: wrapped lines, titles before the steps, what is said of their manner."""

import pytest

import stepcheck as sc
from tests.unit.drafts.test_wordings import body

TOP = "Osier Row\n{} counts, 2 walls, line dance\n\n"
K_STEP = ["S(R) TCH(L)", "S(L) TCH(R)", "S(R) TCH(L)", "S(L) TCH(R)"]


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        (
            "2. K-step. Right foot diagonally forward, touch left and clap. Left foot back\n"
            "   to the middle, touch right and clap. Right foot diagonally back, touch left\n"
            "   and clap. Left foot forward to the middle, touch right and clap. (8 counts)\n",
            K_STEP,
        ),
        (
            "1. Grapevine to the right: step right, left behind, step right, touch the left\n"
            "   foot next to it. Grapevine to the left the same way, finishing with a touch\n"
            "   of the right foot. (8 counts)\n",
            ["Grapevine, right foot", "Grapevine, left foot"],
        ),
        (
            "1. Rocking chair. Rock forward on the right foot, recover onto the left foot and\n"
            "   rock back on the right foot, recover onto the left. Then do the rocking chair\n"
            "   again. (8 counts)\n",
            ["RK(R) RC(L) RK(R) RC(L)", "Rocking Chair"],
        ),
        (
            "VINES - Step right foot to the right side, cross left behind right, step right\n"
            "to the right side and touch left beside right. Do the same to the left, starting\n"
            "with the left foot. That is 8 counts.\n",
            ["Vine, right foot", "Vine, left foot"],
        ),
        (
            "Kicks: Kick right forward twice, step right beside left and hold. Kick left forward\n"
            "twice, step left beside right and hold. 8 counts.\n",
            ["K(R) K(R) S(R) HOLD", "K(L) K(L) S(L) HOLD"],
        ),
        (
            "Vines. Vine to the right, touch left. Vine to the left, touch right. 8 counts.\n",
            ["Vine, right foot", "Vine, left foot"],
        ),
        (
            "3. Toe struts. Walk forward with four toe struts: right, left, right, left. (8 counts)\n",
            ["Toe Strut x4, right foot"],
        ),
        (
            "3. Charleston. Step forward on the right, kick left, step back on the left, touch\n"
            "   right back. Do that twice. (8 counts)\n",
            ["S(R) K(L) S(L) TCH(R)"] * 2,
        ),
        (
            "4. Jazz box with a quarter turn to the right: cross right over left, step back\n"
            "   on the left, turn a quarter right and step on the right, bring the left\n"
            "   beside it. Do a second jazz box with another quarter turn right. You now\n"
            "   look at the back wall. (8 counts)\n",
            ["Jazz Box, right foot, turn 1/4 right @3", "Jazz Box, turn 1/4 right, facing back"],
        ),
    ],
)
def test_a_wrapped_paragraph_is_one_text(text: str, wanted: list[str]) -> None:
    """Lines of a paragraph that goes on are read as its sentences: its title is danced only where it is no title, and
    its counts are a section."""
    text = TOP.format(8) + text

    assert wanted == body(text, "Main") and "counts 1-8:" in sc.draft(text).text
    assert not sc.draft(text).open


def test_how_steps_are_danced_adds_no_counts() -> None:
    """A sentence behind all the counts of a paragraph that names no foot is a remark, and open."""
    text = (
        f"{TOP.format(8)}3. Four heel struts going forward, right, left, right, left. Put the heel down\n"
        "   first and then drop the toes. (8 counts)\n"
    )

    assert ["Heel Strut x4, right foot"] == body(text, "Main")
    assert {"line 4: not used: Put the heel down first", "line 4: not used: drop the toes."} == {*sc.draft(text).open}


@pytest.mark.parametrize(
    "text",
    [
        "1. Wobble to the right and to the left in whatever manner suits the mood of the\n   evening. Stomp right. (8 counts)\n",
        "2. Boogie walks. Bend the knees and do whatever the person in front of you is doing\n   until the fiddle stops. (8 counts)\n",
    ],
)
def test_a_paragraph_that_is_not_all_read_lasts_as_it_states(text: str) -> None:
    """What is not understood of it is a blank in it, open, and the next paragraph begins behind its counts."""
    made = sc.draft(f"{TOP.format(16)}{text}\n3. Vine right, touch left. Vine left, touch right. (8 counts)\n")

    assert "counts 9-16:" in made.text and any(each.startswith("line 4:") for each in made.open)
    assert not any("are read" in each for each in made.open)
