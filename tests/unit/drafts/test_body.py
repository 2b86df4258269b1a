"""Lines of a description by their kinds: heads, lengths, repeats, restarts, sequences."""

import time

import pytest

import stepcheck as sc
from tests.machine import in_time

TOP = "Weir Lane\n32 counts, 4 walls, line dance\n\n"
CLOG = "Barge Pole (clogging)\nWait 16\n\n"


def lines(text: str) -> list[str]:
    """Return the lines of the parts and of the dance of a draft, without comments and notes."""
    made = sc.draft(text).text
    body = made[made.index("part ") :].splitlines()
    return [bare for line in body if (bare := line.split("  #")[0].split(" (")[0].strip())]


def parts(text: str) -> list[str]:
    """Return the lines of the parts, without the head of the first and without the dance."""
    return lines(text)[1 : lines(text).index("dance:")]


@pytest.mark.parametrize(
    "head",
    [
        "SEC 1 (1-8): WALKS, VINE",
        "S1: Walks, vine",
        "A1 [1-8]: walks, vine",
        "[1-8] Walks, vine",
        "|1-8| WALKS, VINE",
        "Section one - walks, vine",
        "First eight:",
    ],
)
def test_a_head_of_a_section_is_no_steps(head: str) -> None:
    """A section may be numbered, named by its counts or by its place; the figures in its title are not danced."""
    text = f"{TOP}{head}\n1-4 Walk forward R, L, R, kick L\n5-8 Walk back L, R, L, touch R\n"

    assert ["counts 1-8:", "S(R) S(L) S(R) K(L)", "S(L) S(R) S(L) TCH(R)"] == parts(text)


def test_numbered_titles_over_lines_of_steps_are_heads() -> None:
    """Where each numbered line has an unnumbered one below it, it is a title."""
    text = f"{TOP}1. Rumba box\nR side, L together, R forward, hold\n2. Rock\nL rock, R recover, L back, hold\n3. Vine\nVine R\n"

    assert ["S(R) S(L) S(R) HOLD", "RK(L) RC(R) S(L) HOLD", "Vine, right foot"] == parts(text)


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("1. Clap 3 times and hold (4 counts)", "CLAP CLAP CLAP HOLD"),
        ("Vine right, touch (4 counts)", "Vine, right foot"),
        ("Rocking chair = 4 counts", "Rocking Chair"),
        ("Walk R, L, R (2 counts)", "? 2 counts"),
        ("Counts 1 to 4: Walk forward right, left, right and touch left.", "S(R) S(L) S(R) TCH(L)"),
        ("1 - 2: Rock R to side, recover L", "RK(R) RC(L)"),
        ("3 & 4: Cross R over L, L to side, cross R over L", "S(R)@1 S(L)@1& S(R)@2"),
        ("7-8) R foot to side, hold", "S(R) HOLD"),
        ("Step R (1), lock L (2), step R (&)", "S(R)@1 S(L)@2 S(R)@2&"),
    ],
)
def test_a_line_says_its_counts_or_its_length(line: str, wanted: str) -> None:
    """Counts stand before or behind, a length at an end; words that don't fit the length are a blank of it."""
    assert wanted in parts(TOP + line + "\n")


def test_a_column_of_lengths_is_no_column_of_counts() -> None:
    """Numbers at the ends of lines that repeat are how long the lines last; those that go up are counts."""
    lasting = "".join(
        f"{said} .... {size}\n" for said, size in (("VINE RIGHT, TOUCH", 4), ("ROCKING CHAIR", 4), ("CLAP TWICE", 2))
    )
    counts = "".join(
        f"{said} .... {at}\n" for said, at in (("Step R", 1), ("Touch L", 2), ("Step L", 3), ("Touch R", 4))
    )

    assert ["Vine, right foot", "Rocking Chair", "CLAP CLAP"] == parts(TOP + lasting)
    assert ["counts 1-4:", "Step, right foot", "Touch, left foot", "Step, left foot", "Touch, right foot"] == parts(
        TOP + counts
    )


@pytest.mark.parametrize(
    "same", ["5-8 Now the same to the left", "5-8 Repeat on the other foot", "Now the same with the left (5,6,7,8)"]
)
def test_the_same_to_the_other_side_is_danced_with_the_other_feet(same: str) -> None:
    """The lines of just these counts stand once more, their feet swapped; what turns stays open."""
    text = "1-4 Step R, close L, step R, touch L{}\n" + same + "\n"

    assert "S(L) CL(R) S(L) TCH(R)" in parts(TOP + text.format(""))
    assert sc.draft(TOP + text.format(" turning 1/4 L")).open


@pytest.mark.parametrize(
    ("said", "cut"),
    [
        ("Restart: during wall 3 dance up to count 16 then start over", 16),
        ("Wall 3: dance only to 16, then from the top", 16),
        ("There's a restart on the third wall, straight after the second eight.", 16),
        ("Restart: wall 3, after part one", 8),
    ],
)
def test_restarts_name_their_counts_in_several_ways(said: str, cut: int) -> None:
    """A count, an eight or a section says after how many counts the pass is cut; none is ever guessed."""
    text = TOP + "".join(f"Part {name}\n1-4 Vine R\n5-8 Vine L\n" for name in ("one", "two", "three")) + said + "\n"

    assert f"Main, first {cut} counts" in lines(text)
    assert sc.draft(TOP + "1-4 Vine R\nRestart on wall 3 sometimes\n").open


def test_a_tag_stands_after_each_of_its_walls() -> None:
    """`w2 & w4` are two walls."""
    text = TOP + "1-8 Step Touch x4\nTag end w2 & w4: 4ct: R rocking chair\n"

    assert ["Main x2", "Tag", "Main x2", "Tag", "Main until the music ends"] == lines(text)[-5:]


def test_columns_of_places_and_turns_belong_to_their_steps() -> None:
    """What stands in a column beside the step is said of it."""
    rows = "Count\tFoot\tWhat\tWhere\tTurn\n1\tR\tstep\tside\t1/4 R\n2\tL\trock\tback\t\n3\tR\trecover\t\t\n"
    made = sc.draft(TOP + rows)

    assert ["counts 1-3:", "Step, right foot, turn 1/4 right", "Rock, left foot"] == parts(TOP + rows)[:3]
    assert () == sc.loads(made.text).diagnostics


def test_a_line_dance_has_parts_where_a_sequence_names_them() -> None:
    """Parts, their lengths in one line, and the sequence, before the steps or behind them."""
    text = """Salt and Vinegar
Part A is 8 counts, part B is 4 counts
Sequence: A, A, B, Ending

PART A
1-8 Step Touch x4
PART B
1-4 Jazz box
ENDING: stomp R and hold
"""

    assert ["part A: 8 counts", "counts 1-8:", "Step Touch x4", "part B: 4 counts"] == lines(text)[:4]
    assert ["A", "A", "B", "Ending"] == lines(text)[-4:]


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("A: 2 Triples\n   Do it all again", ["2 times:", "Triple x2"]),
        ("A: 2 Triples. Four times, once to each wall.", ["4 times:", "Triple x2"]),
        ("A: 2 Triples. Do that four times, once to every wall.", ["4 times:", "Triple x2"]),
        ("A: (Triple, Basic) x2", ["2 times:", "Triple", "Basic"]),
        ("A: Basic, Triple; do this 4 times", ["4 times:", "Basic", "Triple"]),
        ("A: Triple L, then on the other foot", ["Triple, left foot", "Triple, right foot"]),
        ("A: Do two triples (8). Then a basic (2).", ["Triple x2", "Basic"]),
        ("A: Do two triples (6).", ["? 6 beats"]),
        ("A: (16) Triple, Triple, Cowboy 1/2 R\n   (16) repeat to front", ["2 times:", "beats 1-16:", "Triple"]),
        ("A: (2) Triples", ["Triple x2"]),
        ("A: DS DS RS RS - 2 times, quarter left on each", ["DS DS RS RS, turn 1/4 left"] * 2),
        ("A = 2 x (Triple, Basic)", ["2 times:", "Triple", "Basic"]),
        ("A\n2  Triples   DS DS DS RS   (8)", ["Triple x2"]),
        ("A\nKettle\nDS  DS  DS  K\nL   R   L   R\n", ["Kettle, left foot"]),
    ],
)
def test_parts_of_a_routine_say_how_often(said: str, wanted: list[str]) -> None:
    """Repeats of a part, of a list and of a bracket; numbers before a name, and beats behind it, which must fit."""
    assert wanted == parts(f"{CLOG}{said}\nB: Charleston\n")[: len(wanted)]


@pytest.mark.parametrize("order", ["A B A A", "ABAA", "A - B - A - A", "Order: A, B, A, A", "So: A / B / A / A"])
def test_a_sequence_needs_no_word_for_it(order: str) -> None:
    """A line of names that begin other lines is the sequence, however its names are set apart."""
    assert ["A", "B", "A", "A"] == lines(f"{CLOG}A: Triple\nB: Basic\n{order}\n")[-4:]


def test_names_of_the_sequence_are_heads() -> None:
    """What the sequence calls a part begins one, whatever it is called; a part may be cut in the sequence."""
    text = f"{CLOG}v: 2 Triples\nch: 4 Basics\nv ch v ch (first 4)\n"

    assert ["part V:", "Triple x2", "part Ch:", "Basic x4"] == lines(text)[:4]
    assert ["V", "Ch", "V", "Ch, first 4 beats"] == lines(text)[-4:]


def test_tables_with_bars_and_bullets_are_read_as_others() -> None:
    """Bars set cells apart as tabs do; bullets and dashes around a line say nothing."""
    rows = (
        "| Count | Step | Facing |\n|---|---|---|\n| 1-2 | Rock R forward, recover L | 12 |\n| 3&4 | R shuffle | 12 |\n"
    )
    listed = "-- SECTION 1 --\n* Rock R forward, recover L (counts 1-2)\n* R shuffle (counts 3&4)\n"

    assert ["counts 1-4:", "RK(R) RC(L), facing 12:00", "Shuffle, right foot, facing 12:00"] == parts(TOP + rows)
    assert ["counts 1-4:", "RK(R) RC(L)", "Shuffle, right foot"] == parts(TOP + listed)


def test_a_section_is_danced_again_by_its_number() -> None:
    """`Repeat section 1` is its lines once more; a section that isn't there stays open."""
    text = f"{TOP}SECT 1 VINES\n1-4 Vine R\n5-8 Vine L\nSECT 2 REPEAT SECTION {{}}\n"

    vines = ["Vine, right foot", "Vine, left foot"]
    assert ["counts 1-8:", *vines, "counts 9-16:", *vines] == parts(text.format(1))
    assert sc.draft(text.format(3)).open


def test_the_number_of_a_section_before_its_counts_is_no_count() -> None:
    """A number at the start of a line whose counts stand behind its words is a label."""
    text = f"{TOP}1  R side, L tog, R chasse [1 2 3&4]\n   L cross rock, recover, L chasse [5 6 7&8]\n"

    assert "counts 1-8:" in parts(text)
    assert () == sc.draft(text).open


@pytest.mark.parametrize(
    "piece", ["AB", "A ", "Aa ", "(", "1&", "1 ", "- ", "x2 ", "R ", "step ", "the same ", "repeat ", ", "]
)
def test_a_long_line_is_read_in_a_moment(piece: str) -> None:
    """No text makes the reader look for more than a moment, whatever it repeats."""
    begun = time.process_time()
    for text in (TOP, CLOG):
        sc.draft(f"{text}{piece * 60}\n")

    assert in_time(time.process_time() - begun, 5)


def test_an_appalachian_dance_is_clogging_and_a_club_of_that_name_is_not() -> None:
    """What is danced is told by its words, not by who dances it."""
    danced = "A\n2 Triples\n4 Basics\n"
    club = "Heron Bank   16 / 4w\ncal. Ned Arkle, Fernrake Flatfooters\n\n1-2  Step R fwd, touch L\n3-4  Step L back, touch R\n"

    assert "book: clogging" in sc.draft(f"Mill Row (an Appalachian reel)\n\n{danced}").text
    assert "book: line" in sc.draft(club).text
