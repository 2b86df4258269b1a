"""A description in plain layout, and what is read from layouts of every kind."""

import pytest

import stepcheck as sc
from stepcheck.pages.layout import laid_out, plainly
from stepcheck.pages.reader import alike

TOP = "Osier Row\n32 counts, 4 walls, line dance\n\n"
CLOG = "Osier Row (clogging)\nwait 16, left foot\n\n"


def body(text: str) -> list[str]:
    """Return the lines of the parts and of the dance of a draft, without comments and notes."""
    made = sc.draft(text).text
    return [
        bare
        for line in made[made.index("part ") :].splitlines()
        if (bare := line.split("  #")[0].split(" (")[0].strip())
    ]


@pytest.mark.parametrize(
    ("line", "plain", "headed"),
    [
        ("### Part one (1-8) Rocks", "Part one (1-8) Rocks", True),
        ("== Steps 1 to 8 ==", "[1-8]", True),
        ("**Vine R**", "Vine R", False),
        ("{9-16} Vines", "[9-16] Vines", False),
        ("| 1 | R | side |", "1\tR\tside", False),
        ("Counts 17 and 18: vine", "17-18  vine", False),
        ("Nine to sixteen", "[9-16]", False),
        ("ct. 7&8  shuffle", "7&8  shuffle", False),
        ("3.&.4 R fwd.", "3&4 R fwd.", False),
        ("1,2 - walk R", "1,2  walk R", False),
        ("9. to 12. Rocking chair", "9-12  Rocking chair", False),
        ("10...lock L", "10  lock L", False),
        ("5 & 6 & R heel, RF close, L heel, LF close", "5&6& R heel, RF close, L heel, LF close", False),
        ("1 2 & Walk R, L, R", "1,2& Walk R, L, R", False),
        ("2 & R", "2 & R", False),
        ("r.f. steps fwd., shuffle r.l.r.", "rf steps fwd, shuffle RLR", False),
        ("then 2nd 8 is vine r", "2nd 8: vine r", False),
        ("Tune....... Moss", "Tune: Moss", False),
    ],
)
def test_decorations_and_counts_are_written_one_way(line: str, plain: str, headed: bool) -> None:
    """Hashes, signs of equality, stars, braces, dots and words for counts come to one plain line."""
    assert (plain, headed) == plainly(line)


@pytest.mark.parametrize(
    ("texts", "plain"),
    [
        (["9 Right heel forward", "& Right together"], ["9&  Right heel forward, Right together"]),
        (["Vine R, touch L", "(4)"], ["Vine R, touch L (4 counts)"]),
        (["S1 Side, hold, shuffle", "1,2 3&4"], ["S1 Side, hold, shuffle   [1,2 3&4]"]),
        (["One   side", "Two   close", "Three side"], ["1. side", "2. close", "3. side"]),
        (["Vines", "-----", "Vine R"], ["Vines", "Vine R"]),
    ],
)
def test_lines_that_belong_together_are_one(texts: list[str], plain: list[str]) -> None:
    """A half, a length and counts below a line are the line's; a rule is no line of its own."""
    assert plain == [line.text for line in laid_out(texts, len)]


def test_wrapped_prose_is_one_line() -> None:
    """A sentence that goes on in the next line is read whole, and both lines of the source are accounted for."""
    text = f"{TOP}First eight: step the right foot to the side, close the left to it, step\nthe right foot to the side, touch L. Vine left.\n"
    made = sc.draft(text)

    assert ["counts 1-8:", "S(R) CL(L) S(R) TCH(L)", "Vine, left foot"] == body(text)[1:4]
    assert {4: "steps", 5: "steps"} == {line.line: line.kind for line in made.lines if line.line > 3}


@pytest.mark.parametrize(
    ("rows", "wanted"),
    [
        (
            "Count | Steps | Facing\n1-2 | R stomp, hold | 12\n3-4 | R fwd, turn 1/2 L | 6\n",
            "S(R) PV S, turn 1/2 left @2, facing 6:00",
        ),
        ("cts.   ft.   movement     dir.\n1-2    R L   rock, recover  side\n", "RK(R) RC(L)"),
        ("Counts   Right foot   Left foot\n1        side\n2                     behind\n", "Step, left foot"),
        (
            "Ct    What              Facing\n1-4   Vine R            12:00\n13-16 Walk R L R, kick L  12:00\n",
            "S(R) S(L) S(R) K(L), facing 12:00",
        ),
        (
            "WALK, WALK, WALK, KICK (counts 1-4)\nWalk R (1), walk L (2), walk R (3), kick L (4)\n",
            "S(R) S(L) S(R) K(L)",
        ),
        ("[Sec 1] Walks\n(1) Walk R (2) Walk L (3) Walk R (4) Kick L\n", "S(R) S(L) S(R) K(L)"),
        ("1 | Walks\n1-4: walk R L R, kick L\n", "S(R) S(L) S(R) K(L)"),
        ("WALKS AND A KICK\n1-4  walk R L R, kick L\n", "S(R) S(L) S(R) K(L)"),
        ("8&1  L shuffle back\n2-3  R rock back, recover L\n", "Shuffle, left foot"),
        ("1a2  cross R over L, rock L side, recover R\n", "S(R)@1 RK(L)@1a RC(R)@2"),
        ("1-4  R fwd touch, L fwd touch\n", "? 4 counts"),
        ("1-2  R side together\n", "S(R) S(L)"),
        ("1-4  R side touch L, L side touch R\n", "S(R) TCH(L) S(L) TCH(R)"),
        ("1-4  cross L toe over R, drop heel, R toe side, heel down\n", "TT(L) HW(L) TT(R) HW(R)"),
        ("1&2  half turn shuffle R stepping L R L\n", "Shuffle, left foot, turn 1/2 right"),
        ("7&8  chasse left, right, left with 1/4 turn left\n", "Chasse, left foot, turn 1/4 left"),
        ("1-2  setp R foward, tuoch L\n", "S(R) TCH(L)"),
    ],
)
def test_steps_are_read_from_any_layout(rows: str, wanted: str) -> None:
    """Columns, titles, counts before words in brackets, slips of the pen: the movements come out as they are meant."""
    assert wanted in body(TOP + rows)


@pytest.mark.parametrize(
    "said",
    [
        "R forward, half turn L, L forward, half turn R.",
        "Twice: R stomp, L stomp.",
        "Side R, touch L and clap; do that twice.",
    ],
)
def test_what_may_last_more_or_less_is_no_row(said: str) -> None:
    """A turn that may be a pivot, and steps danced an unknown number of times, stay open as a whole."""
    made = sc.draft(f"{TOP}Vine R, touch L.\n{said}\nVine L, touch R.\n")

    assert any(said.rstrip(".") in each for each in made.open)
    assert "STO" not in made.text
    assert "PV" not in made.text


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Verse\nTriple\nChorus\nBasic\nVerse again\nChorus twice\n", ["Verse", "Chorus", "Verse", "Chorus x2"]),
        (
            "Verse 1\nTriple\nChorus\nBasic\nVerse 2\nas verse 1\nChorus\nEnd\nStomp\n",
            ["Verse 1", "Chorus", "Verse 1", "Chorus", "Ending"],
        ),
        (
            "A1: Triple\nA2: same, other foot\nB: Basic\nDance it A1 A2 B, 2 times\n",
            ["A1", "A1, opposite foot", "B"] * 2,
        ),
        ("Intro (8): 4 basics\nA: Triple\nB: Basic\n", ["Intro", "A", "B"]),
        ("Step A\nTriple\nStep B\nBasic\nDo: Step A twice, Step B, Step A\n", ["A x2", "B", "A"]),
        ("A: Triple\nCh: Basic\nOrder: A Ch A Ch\n", ["A", "Ch", "A", "Ch"]),
    ],
)
def test_any_line_that_names_parts_says_what_is_danced(said: str, wanted: list[str]) -> None:
    """Without a sequence, the parts are danced where they stand and where a line names them again."""
    assert wanted == body(CLOG + said)[-len(wanted) :]


def test_numbers_before_cues_are_times_where_a_one_is_among_them() -> None:
    """`(2) Basic` is two of them in a sheet that has `(1) Triple`; else two beats."""
    assert "Basic x2" in body(f"{CLOG}A\n(2) Basic\n(1) Triple\n")
    assert "Basic x2" not in body(f"{CLOG}A\n(2) Basic\n(4) Triple\n")


def test_a_movement_before_a_row_is_danced_with_it() -> None:
    """`Stomp DS DS RS` is a row of four, and defines no figure."""
    assert "STO DS DS RS" in body(f"{CLOG}A: Stomp DS DS RS\n")


@pytest.mark.parametrize("key", ["Number of counts: 24", "Count: 24", "Counts 24", "24 steps", "twenty four counts"])
def test_labels_say_what_their_values_are(key: str) -> None:
    """The counts of a dance may be named in any words; no label is a person or a song."""
    made = sc.draft(f"Name of dance: Osier Row\n{key}\nSinger: The Reeds\n\n1-4 Vine R\n").text

    assert "part Main: 24 counts" in made
    assert "routine: Osier Row\n" in made
    assert "artist: The Reeds\n" in made
    assert "author" not in made


@pytest.mark.parametrize(
    ("order", "inside", "opened"), [("A B A B", True, 0), ("A A B A A B", False, 0), ("A B A A B", False, 1)]
)
def test_a_part_in_pairs_is_danced_in_halves(order: str, inside: bool, opened: int) -> None:
    """`Repeat A to the front` is in the part where the sequence has A alone, where it has A in pairs only, it is they,
    and where it has both, it is open which."""
    text = f"{CLOG}A: Triple, turn 1/2 left\nRepeat A to the front\nB: Basic\nSequence: {order}\n"
    lines = body(text)
    danced = [line for line in lines[lines.index("dance:") + 1 :] if not line.startswith("expect")]

    assert order.split() == danced
    assert ("2 times:" in lines) is inside
    assert opened == len(sc.draft(text).open)


@pytest.mark.parametrize(
    ("rows", "wanted"),
    [
        ("1-4 Step R to side, step L behind,\nstep R to side, touch L", "S(R) S(L) S(R) TCH(L)"),
        ("1-4 Side R, L behind, side R,\n     and touch L beside", "S(R) S(L) S(R) TCH(L)"),
        ("1-4 Step R to side, cross L behind, step R\n    to side, touch L beside R", "S(R) S(L) S(R) TCH(L)"),
        (
            "1-2 Stomp R, clap\n3&4 Step left forward, step right together,\n   step left forward",
            "S(L)@1 S(R)@1& S(L)@2",
        ),
        (
            "1-2 Stomp R, clap\n3&4 L shuffle fwd: step left forward, step right together,\n   step left forward",
            "Shuffle, left foot",
        ),
        ("1-4 Rock R back, recover L, and\n   hold, hold", "RK(R) RC(L) HOLD HOLD"),
        ("1-4 Walk R, L, R,\nL", "S(R) S(L) S(R) S(L)"),
    ],
)
def test_a_row_that_its_counts_have_room_for_goes_on_in_the_next_line(rows: str, wanted: str) -> None:
    """A row that says fewer steps than its counts hold, and stops in the middle of a sentence or above a deeper line,
    goes on there."""
    text = f"{TOP}{rows}\n5-8 Vine L, touch R\n"

    assert wanted in body(text)
    assert sc.draft(text).open == ()
    assert body(text).count("Vine, left foot") == 1


@pytest.mark.parametrize(
    ("rows", "title"),
    [
        (
            "1-4 Vine R, touch L,\nROCKS AND STOMPS\n5-6 Rock L back, recover R\n7-8 Stomp L, stomp R",
            "ROCKS AND STOMPS",
        ),
        (
            "1-2 Stomp R, clap\n  smile at your neighbour\n3-8 Vine L, touch R, stomp R, stomp L",
            "smile at your neighbour",
        ),
    ],
)
def test_a_full_row_does_not_go_on(rows: str, title: str) -> None:
    """A line below a row whose counts are all said is no more of it, and never danced."""
    made = sc.draft(f"{TOP}{rows}\n")

    assert f"# {title}" in made.text
    assert made.open == ()


@pytest.mark.parametrize("sign", ["   ", "\t", " | ", "  "])
@pytest.mark.parametrize(
    ("rows", "wanted"),
    [
        ("1-2 R beside L{0}L hitch\n3-4 Step L fwd{0}R heel in front", ["S(R) HITCH(L)", "S(L) HT(R)"]),
        ("1-2 Rock R back{0}recover onto L\n3-4 Stomp R{0}clap twice", ["RK(R) RC(L)"]),
    ],
)
def test_a_gap_or_a_stroke_parts_the_steps_of_a_row(sign: str, rows: str, wanted: list[str]) -> None:
    """The feet of one phrase are none of the next one's, whatever stands between the two."""
    assert set(wanted) <= {*body(TOP + rows.format(sign) + "\n")}


def test_feet_behind_a_gap_are_those_of_the_figure() -> None:
    """Feet alone, or one word, go on with what stands across the gap."""
    made = body(f"{TOP}1&2 Shuffle forward   right left right\n3-4 Walk   L, R\n5-6 L   side rock, recover\n")

    assert {"Shuffle, right foot", "S(L) S(R)", "RK(L) RC(R)"} <= {*made}


@pytest.mark.parametrize("counts", ["[{}]", "({})", " - {}", ": {}"])
def test_a_line_above_a_row_with_its_counts_behind_is_of_it(counts: str) -> None:
    """A line that says just the steps that the row below it lacks is danced on its counts, and is no title."""
    rows = [
        ("Cross right over left\nKick L forward", "1-2"),
        ("Step L beside\nTouch R beside", "3-4"),
        ("Vine R, touch L", "5-8"),
    ]
    text = "\n".join(f"{said} {counts.format(span)}" for said, span in rows)
    made = sc.draft(f"{TOP}{text}\n")

    assert made.open == ()
    assert {"S(R) K(L)", "S(L) TCH(R)", "Vine, right foot"} <= {*body(f"{TOP}{text}\n")}


@pytest.mark.parametrize("spelled", ["3-4", "3 thru 4", "3 to 4", "3, 4", "3 4"])
@pytest.mark.parametrize("before", [" - ", ", ", ": ", "\t", " ..... "])
def test_counts_behind_their_steps_are_counts_however_they_are_spelled(spelled: str, before: str) -> None:
    """Counts that run on at the ends of lines are those of their lines, whatever signs are in them and before them."""
    spans = [spelled.replace("3", str(at)).replace("4", "#").replace("#", str(at + 1)) for at in (1, 3, 5, 7)]
    steps = ["Rock R back, recover L", "Step R to side, touch L", "Rock L back, recover R", "Step L to side, touch R"]
    text = "\n".join(f"{said}{before}{span}" for said, span in zip(steps, spans, strict=True))
    made = sc.draft(f"{TOP}{text}\n")

    assert made.open == ()
    assert ["RK(R) RC(L)", "S(R) TCH(L)", "RK(L) RC(R)", "S(L) TCH(R)"] == [
        line for line in body(f"{TOP}{text}\n") if "(" in line
    ]


def test_a_sentence_goes_on_in_the_row_that_has_its_counts() -> None:
    """The last foot of a line is that of the verb below it, where the counts stand."""
    text = (
        f"{TOP}R heel forward, R together, L heel forward, left\ntogether ........ 1-4\nVine R, touch L ....... 5-8\n"
    )

    assert sc.draft(text).open == ()
    assert {"HT(R) S(R) HT(L) S(L)", "Vine, right foot"} <= {*body(text)}


def test_numbers_that_do_not_run_on_at_the_ends_of_lines_are_no_counts() -> None:
    """Walls at the ends of lines stay as they are written."""
    lines = ["Restart on walls 2 and 5", "Tag on walls 4 and 8", "Restart on walls 3, 6"]

    assert lines == alike(lines)


@pytest.mark.parametrize(
    ("rows", "below"),
    [
        ("1-4 Rock R back, recover L\nclap\n5-8 Vine L, touch R", "clap"),  # too few
        (
            "1-4 Vine R, touch L\n5-8 Rock L back, recover R\nSide, touch\n9-10 Side R, touch L",
            "Side, touch",
        ),  # a title
    ],
)
def test_a_line_that_may_be_a_title_is_not_danced(rows: str, below: str) -> None:
    """A line below a row is no more of it where the two don't come to its counts, or where a section ends there."""
    made = sc.draft(f"{TOP}{rows}\n")

    assert f"  # {below}" in made.text
    assert any("? 4 counts" in line for line in made.text.split("\n"))


@pytest.mark.parametrize(
    "mark", ["<-- restart wall 3", "*** Restart here wall 3", "(RESTART W3)", "--> restart on wall 3"]
)
@pytest.mark.parametrize("row", ["{vines} {mark}", "{vines} (9-16) {mark}", "{vines}. [9-16] {mark}"])
def test_a_restart_behind_the_steps_of_a_line_takes_none_of_them(mark: str, row: str) -> None:
    """Whether their counts stand before it or not: the steps are danced, and wall 3 is cut behind them."""
    vines = "Vine R touch, vine L touch"
    paragraphs = [
        f"{vines}. [1-8]",
        row.format(vines=vines, mark=mark),
        f"{vines}. [17-24]",
        "Vine R touch, step L, pivot 1/2 R, walk L, touch R. [25-32]",
    ]
    made = sc.draft("Weir Lane\n32 counts, 2 walls, intro 16\n\n" + "\n\n".join(paragraphs) + "\n")

    assert made.text.count("Vine, right") == 4
    assert "\n  Main x2\n  Main, first 16 counts" in made.text
    assert not made.open


GRID = """\
  1     2       3&4       5           6        7&8
  R     L       RLR       L           R        LRL
  side  behind  chasse R  cross rock  recover  sailor, 1/4 left

  1      2            3&4             5      6            7     8
  R      L            LRL             R      L            R     -
  fwd    pivot 1/2 L  shuffle back    heel   flick back   stomp clap
         (3:00)
"""


def test_counts_over_feet_over_what_they_do_are_a_row() -> None:
    """Each step is danced once, by its foot, on its count, with the turn and the facing that stand below it."""
    rows = GRID.replace(
        "L            LRL             R      L            R     -",
        "L            RLR             L      R            L     -",
    )
    made = sc.draft("Weir Lane\n16 counts, 2 walls, intro 16\n\n" + rows)

    assert body("Weir Lane\n16 counts, 2 walls, intro 16\n\n" + rows)[1:-2] == [
        "counts 1-8:",
        "S(R) S(L)",
        "Chasse, right foot",
        "RK(L) RC(R)",
        "Sailor Step, left foot, turn 1/4 left",
        "counts 9-16:",
        "S(R) PV S, turn 1/2 left @2, facing 3:00",
        "Shuffle, right foot",
        "HT(L) FLICK(R) STO(L) CLAP",
    ]
    assert not made.open


def test_feet_that_stand_beside_their_counts_make_no_grid() -> None:
    """Where a word stands across two columns the lines are read apart, and nothing is danced by a foot that is not its."""
    made = sc.draft(
        "Weir Lane\n8 counts, 2 walls, intro 16\n\n1   2   3   4\nR   L   R   L\nwalking round to the back\n"
    )

    assert made.open


@pytest.mark.parametrize(
    ("said", "begins", "ends"),
    [
        ("Wall 3 starts at the back (6:00). Do 16 counts, facing 12:00 by then", "back", "12:00"),
        ("Wall 3 starts at the front (12:00). Do 16 counts, facing 6:00 by then", "front", "6:00"),
        ("Wall 3 starts at the back (6:00). Do 16 counts and start over", "back", ""),
    ],
)
def test_the_hour_of_the_wall_on_which_a_cut_one_starts_is_not_where_it_ends(said: str, begins: str, ends: str) -> None:
    """`starts at the back (6:00)` says one wall twice; where the cut ends is said behind it, or not at all."""
    vines = "1-8 Vine R touch, vine L touch\n"
    made = sc.draft(f"Weir Lane\n32 counts, 2 walls, intro 16\n\n{vines * 4}\nRestart: {said}\n")

    claim = f"  expect facing {ends}\n" if ends else ""
    lines = [line.split("  #")[0] + "\n" for line in made.text.split("\ndance:\n")[1].splitlines()]
    assert "".join(lines).startswith(f"  Main x2\n  expect facing {begins}\n  Main, first 16 counts\n{claim}  Main")
