"""Paragraphs of sentences that state their counts: wrapped lines, titles before the steps, what is said of their manner."""

import pytest

import stepcheck as sc
from stepcheck.books import book as books
from stepcheck.pages.reader import Reader
from stepcheck.steps.vocabulary import load
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


EIGHT = ["RK(R) RC(L)", "Shuffle, right foot", "Step, left foot", "Kick, right foot", "S(R) S(L)"]


@pytest.mark.parametrize(
    "said",
    [
        "First eight, rocks and a shuffle. On 1 and 2 rock right forward and recover left; on 3&4 shuffle back right.\n"
        "On 5 step back on the left, on 6 kick the right. On counts 7 to 8 walk forward right, left.",
        "First eight. Rock the right foot forward and recover on the left for counts 1 and 2, then shuffle back right on 3&4.\n"
        "Step back on the left on 5\nand kick the right on 6. Walk forward right, left for 7 and 8.",
        "Rock right forward, recover left (1, 2), shuffle back right (3&4), step back left on five, and kick the right on\n"
        "six, then walk forward right, left on seven and eight.",
        "Rock right forward, recover left and on 3&4 shuffle back right. Step left back and on 6 kick right. Then on 7, 8 walk\n"
        "forward right, left.",
        "On counts 1 and 2 rock right forward and recover left.\nOn 3&4 shuffle back right.\nOn 5 step left back.\n"
        "On 6 kick right.\nOn 7 and 8 walk forward right, left.",
    ],
)
def test_counts_in_running_words_are_those_of_their_words(said: str) -> None:
    """Before the words or behind them, over the ends of lines; the sentence over all of them is a title."""
    text = f"Osier Row\n8 counts, 2 walls, line dance\n\n{said}\n"

    assert body(text, "Main") == EIGHT and not sc.draft(text).open


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Vine right and touch left on 4, vine left and touch right on 8.", ["Vine, right foot", "Vine, left foot"]),
        (
            "Touch right heel on 1 and left on 2. Walk right on 3, left on 4.\n5-8 Vine right",
            [
                "One Heel Touch, right foot",
                "One Heel Touch, left foot",
                "Step, right foot",
                "Step, left foot",
                "Vine, right foot",
            ],
        ),
        (
            "Stomp right on 1 and left on 2.\nStep left back on 3, right on 4.\n5-8 Vine right",
            ["Stomp, right foot", "Stomp, left foot", "Step, left foot", "Step, right foot", "Vine, right foot"],
        ),
    ],
)
def test_a_side_alone_behind_its_count_has_the_verb_before_it(said: str, wanted: list[str]) -> None:
    """It is no step of its own, and a figure has the counts up to the one that it ends on."""
    assert body(f"Osier Row\n8 counts, 2 walls, line dance\n\n{said}\n", "Main") == wanted


@pytest.mark.parametrize(
    "note", ["Kick on 4, clap on 8.", "On 4 kick high, on 8 clap.", "Claps on 2 and on 4.", "Smile on 1 and wave on 5."]
)
def test_a_remark_on_some_counts_is_no_row(note: str) -> None:
    """Its counts don't run on from one."""
    text = f"Osier Row\n8 counts, 2 walls, line dance\n\n1-4 Vine right\n5-8 Vine left\n{note}\n"

    assert body(text, "Main")[:2] == ["Vine, right foot", "Vine, left foot"] and len(body(text, "Main")) == 2


@pytest.mark.parametrize(
    "said",
    [
        "Section 1: Vine right on the right foot (1-4), vine left (5-8)\nSection 2: Rocking chair right (1-4), stomp, stomp, (5-6), clap over your head, clap (7-8)",
        "1-4 Vine right\n5-6 Vine over 2 counts\nhm, count the vine as 2. Heel on 1, turn and step left on 2",
    ],
)
def test_counts_in_brackets_and_what_is_said_of_some_are_no_running_words(said: str) -> None:
    """The lines stay as they are."""
    laid = Reader(said.splitlines(), load("line"), books.load("line")).laid

    assert [line.text for line in laid] == said.splitlines()


@pytest.mark.parametrize(
    ("one", "two", "tag"),
    [
        ("Part A is 16 counts.", "Part B is 8 counts and always happens at the back.", "Tag, 4 counts:"),
        ("Part A, 16 counts:", "Part B has 8 counts,", "The tag is 4 counts."),
        ("part A takes 16 counts.", "The part B lasts 8 counts.", "The tag has four counts,"),
    ],
)
def test_a_paragraph_that_says_how_long_its_part_is_begins_that(one: str, two: str, tag: str) -> None:
    """The sentence is the head of the part, and its steps stand behind it; what is said of a part behind the order is
    no part in it."""
    steps = "Walk fwd R, L, R, kick L (1-4). Walk back L, R, L, touch R (5-8). Vine right (9-12). Vine left (13-16)."
    text = (
        f"OSIER ROW - phrased line dance\nMusic: Tallow by Nan Orr\n\n{one} {steps}\n\n{two} Rocking chair right (1-4). "
        f"Jazz box right (5-8).\n\n{tag} stomp right, stomp left, clap, clap.\n\n"
        "Order: A A B A tag B. The tag is danced but once.\n"
    )
    made = sc.draft(text).text

    assert all(
        each in made for each in ("part A: 16 counts", "part B: 8 counts", "part Tag: 4 counts\n  STO(R) STO(L) CLAP")
    )
    assert ["A", "A", "B", "A", "Tag", "B"] == [
        each.strip() for each in made.split("dance:\n")[1].split("\n\n")[0].splitlines()
    ]
    assert ("expect facing back" in made) is ("at the back" in two)


def test_a_foot_that_is_brought_home_says_nothing_of_a_wall() -> None:
    """`bring it home` is said of a foot; `brings you home` of the dancers."""
    said = "Osier Row\n8 counts, 1 wall\n\n1-4 Point R to side, bring it home, point L to side, step L home\n5-8 Vine right, touch left{}\n"

    assert "facing" not in sc.draft(said.format("")).text
    assert "facing front" in sc.draft(said.format(", which brings you home")).text


def test_a_turn_in_the_steps_of_several_figures_is_not_each_ones() -> None:
    """Where the steps behind `two vines` turn once, they are danced as they stand, and the name is their title."""
    said = (
        "The first eight is two vines. Step right to the side, left behind, right to the side and touch the left beside "
        "it. Then left to the side, right behind, {} left {}, and touch the right foot beside it.\n"
    )
    plainly, turned = (said.format(*words) for words in (("step", "to the side"), ("turn a quarter", "stepping left")))

    assert body(TOP.format(8) + plainly, "Main") == ["Vine x2"]
    assert body(TOP.format(8) + turned, "Main") == ["S(R) S(L) S(R) TCH(L) S(L) S(R) S(L) TCH(R), turn 1/4 left @7"]


TALKED = """Osier Row
16 counts, 2 walls, line dance

1.  A vine and a kick (counts 1 to 8)

On count 1 step to the left with the left foot, on 2 cross the right foot behind the left, on
3 step to the left with the left foot, and on 4 touch the right foot beside the left. Step back
with the right foot on 5, the left foot on 6 and the right foot on 7, and kick the left foot forward on
8. Keep it low, nobody needs a big kick.

2.  Round and round (counts 9 to 16)

Step forward on the left foot on 9 and on 10 turn a half to the right, with the weight on the
right foot. Touch the left heel forward on 11 and on 12 step the left foot beside the right. On
count 13 rock forward on the right foot, on 14 recover on to the left foot, on 15 rock back on the right
foot, and on 16 recover on to the left foot. You are facing 6 o'clock.

Now begin again.
"""


def test_steps_are_told_count_by_count_in_running_text() -> None:
    """Wherever its lines are wrapped: a sentence may have its counts before and behind what is danced on them, goes on
    from the section before, and its title is not danced; what is said behind the last count dances nothing."""
    made = body(TALKED, "Main")

    feet = ["S(L)", "S(R)", "S(L)", "TCH(R)", "S(R)", "S(L)", "S(R)", "K(L)"]
    words = {"S": "Step", "TCH": "Touch", "K": "Kick"}
    sides = {"L": "left foot", "R": "right foot"}
    first = [f"{words[code]}, {sides[foot[0]]}" for code, foot in (each.split("(") for each in feet)]
    assert made[:8] == first
    assert made[8:12] == ["Step, left foot", "PV S(R), turn 1/2 right", "One Heel Touch, left foot", "Step, left foot"]
    assert made[12:] == [
        "Rock, right foot",
        "Recover, left foot",
        "Rock, right foot",
        "Recover, left foot, facing 6:00",
    ]
    assert "counts 1-8:  # 1. A vine and a kick" in sc.draft(TALKED).text
