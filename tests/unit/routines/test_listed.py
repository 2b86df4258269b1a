"""A list of steps apart from the parts, and the parts that call them."""

import pytest

import stepcheck as sc

FRONT = "Osier Row (clogging)\nwait 8, left foot lead\n\n"
STEPS = ("BASIC    DS RS", "TRIPLE   DS DS DS RS", "Hen Walk   DS HT DS RS", "ROCKING CHAIR    DS BR DS RS")


def parts(said: str, front: str = FRONT) -> list[str]:
    """Return the lines of the draft from its first part on, without remarks, and what is open."""
    draft = sc.draft(front + said)
    lines = [line.split("  #")[0].strip() for line in draft.text[draft.text.index("part ") :].splitlines()]
    return [line for line in lines if line] + [str(each) for each in draft.open]


WANTED = [
    "part A: 32 beats",
    "Rocking Chair x4",
    "Basic x2, left foot",
    "Triple, right foot",
    "Hen Walk, left foot",
    "Hen Walk, right foot",
    "part B: 8 beats",
    "Basic x4",
    "dance:",
    "A",
    "B",
]


@pytest.mark.parametrize(
    ("title", "signs", "calls"),
    [
        ("STEPS\n", ("#1 ", "#2 ", "#3 ", "#4 "), ("#1", "#2", "#3", "#4")),
        ("", ("#1 ", "#2 ", "#3 ", "#4 "), ("# 1", "#2", "# 3", "# 4")),
        ("Steps used:\n", ("1. ", "2. ", "3. ", "4. "), ("#1", "#2", "#3", "#4")),
        ("", ("(1) ", "(2) ", "(3) ", "(4) "), ("(1)", "(2)", "(3)", "(4)")),
        ("", ("1  ", "2  ", "3  ", "4  "), ("Step 1", "Step 2", "step 3", "Step 4")),
        ("", ("Step A: ", "Step B: ", "Step C: ", "Step D: "), ("Step A", "Step B", "step C", "Step D")),
        ("The steps\n", ("(a) ", "(b) ", "(c) ", "(d) "), ("(a)", "(b)", "(c)", "(d)")),
        ("KEY STEPS\n", ("a) ", "b) ", "c) ", "d) "), ("step a", "step b", "step c", "step d")),
        ("STEPS\n", ("", "", "", ""), ("Basic", "Triple", "Hen Walk", "Rocking Chair")),
    ],
)
@pytest.mark.parametrize("below", [False, True])
def test_parts_call_steps_of_a_list_by_their_numbers(
    title: str, signs: tuple[str, ...], calls: tuple[str, ...], below: bool
) -> None:
    """A list of steps above the parts, or below them under a title, is danced where the parts call its steps, by a
    number, a letter or their names, and nowhere else."""
    said = title + "".join(f"{sign}{step}\n" for sign, step in zip(signs, STEPS, strict=True)) + "\n"
    told = (
        f"PART A (32)   {calls[3]} x4\n   {calls[0]} twice left, {calls[1]} right\n   {calls[2]} left, {calls[2]} right\n"
        f"PART B (8)   {calls[0]} four times\n\n"
    )
    if below and not title:
        return
    made = parts(told + said if below else f"{said}{'PARTS' * bool(title)}\n{told}")

    assert [each for each in made if each != "# assumed"] == WANTED


def test_rows_below_names_and_several_steps_in_a_row() -> None:
    """Rows, feet and beats may stand below a name; steps that are called together are danced together."""
    made = parts(
        "STEPS\n#1 Basic\n   DS RS\n   L RL\n   &1 &2\n#2 Triple\n   DS DS DS RS\n   L R L RL\n\n"
        "Verse: #1-#2 twice\nChorus: steps 1 and 2 x2\n\nOrder: Verse, Chorus\n"
    )

    assert made == [
        "part Verse:",
        "2 times:",
        "Basic",
        "Triple",
        "part Chorus:",
        "2 times:",
        "Basic",
        "Triple",
        "dance:",
        "Verse",
        "Chorus",
    ]


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("PART A\n#1 Basic  DS RS\n#2 Triple  DS DS DS RS\n\nPART B\nRepeat #1 & #2\n", ["part A:", "Basic", "Triple"]),
        ("#1 Basic  DS RS\n#2 Triple  DS DS DS RS\n#3 Triple  DS DS DS RS\n", ["part A:", "Basic", "Triple", "Triple"]),
        (
            "1 Basic  DS RS\n2 Triples  DS DS DS RS\n\nBREAK\n4 Basics\n",
            ["part A:", "Basic", "Triple x2", "part Break:"],
        ),
    ],
)
def test_steps_of_a_part_are_no_list(said: str, wanted: list[str]) -> None:
    """Numbered lines below the head of a part are danced, and so are those that no part calls."""
    assert parts(said)[: len(wanted)] == wanted


def test_what_is_not_understood_of_a_list_is_open() -> None:
    """A step of the list that is not understood is open, and its calls are blanks of unknown length."""
    made = parts("STEPS\n#1 Basic  DS RS\n#2 Hen Walk  DS RS but twice on Sundays\n\nA (8): #1 left, #1 right\nB: #2\n")

    assert "Hen Walk" not in made
    assert any("Hen Walk" in each and each.startswith("line") for each in made)
    assert "? 4 beats" in made or "?" in made


def test_a_list_of_steps_in_words_with_their_lengths_is_no_dance() -> None:
    """`Steps you need:` over figures that are explained in words begins no part; a wait below them is the wait."""
    steps = (
        "Steps you need:\nBasic (2 counts): double step, rock step\nChain (4 counts): double step, rock step, rock step"
    )
    part = "First part\nDo two chains and four basics.\n"
    made = sc.draft(f"Quern Lane\nclogging\n\n{steps}, rock step\n\nWait for the first 16 counts.\n\n{part}").text

    assert "wait: 16 beats\n" in made and made.count("\npart ") == 1
    assert "part First part:\n  Chain x2\n  Basic x4\n" in made


@pytest.mark.parametrize(
    "key",
    [
        "ABBREVIATIONS\n DS   double-toe step        RS   rock step\n BR   brush                  K    kick\n",
        "Key\n STO\tstomp\tTCH\ttouch\n xif\tcross in front\tots\tout to side\n",
        "Abbreviations\nSTO  stomp     BR   brush     SL   slide     DR   drag\nS    step      pvt  pivot\n",
    ],
)
def test_abbreviations_in_columns_are_no_dance(key: str) -> None:
    """Short words and what they mean, side by side, are explained, and head no part."""
    made = sc.draft(f"Tallow Row (clogging)\nwait 8, left foot lead\n\nVerse\n 4 Basics\n 2 Triples\n\n{key}")

    assert made.text.count("part ") == 1 and not made.open
    assert "part Verse:\n  Basic x4\n  Triple x2\n\ndance:" in made.text


GRID = "Mud Buck (2)\nDT   B   H   B   H   S\nL    L   L   R   R   L\n&a   1   e   &   a   2\n\n"
MORE = "Mud Triple (4)\nDT  B  H   DT  B  H   DS   RS\nL   L  L   R   R  R   L    RL\n&a  1  e   &a  2  e   &3   &4\n\n"


@pytest.mark.parametrize("end", ["Sill Heel (1):   B  H   =  &  1  (one foot)\n\n", ""])
@pytest.mark.parametrize("over", ["== dance ==   wait 16", "== the dance ==\nwait 16", "Wait 16"])
def test_steps_over_their_feet_and_beats_with_quarters_are_no_dance(end: str, over: str) -> None:
    """Each is open with its row and all that stands under it; a wait under the list, or beside what the parts are
    called, is the wait, and begins no part."""
    made = sc.draft(
        f"Osier Row (clogging)\n\n== steps ==\n\n{GRID}{MORE}{end}{over}\n\nA: 4 Mud Bucks (8)\nB: 2 Mud Triples (8)\n\nA B A\n"
    )

    assert "wait: 16 beats\n" in made.text
    assert made.text.count("\npart ") == 2 and "dance:\n  A\n  B\n  A\n" in made.text
    for said in (GRID + MORE + end).splitlines():
        assert not said or any(" ".join(said.split()) in each for each in made.open)


def test_beats_of_the_last_steps_beside_a_head_are_none_of_its_line() -> None:
    """What stands beside a head begins on its first beat: it lasts as long as its line says."""
    made = sc.draft(
        f"{FRONT}A: 2 Basics\nBrk: STO L (1) hold (2) STO R (3) hold (4) 4 Sills LRLR (5-8)     8\n\nOrder: A Brk A\n"
    )

    assert "\n  ? 8 beats" in made.text.split("part Brk")[1]


OUTDENTED = """Soap Reel (clogging)
wait 16, left foot
VERSE 1
  JOEY LEFT, JOEY RIGHT ............ 8
CHORUS
  2 TRIPLES ........................ 8
{head}
  4 STOMP DOUBLES .................. 16
VERSE 2
  SAME AS VERSE 1 .................. 8
CHORUS ............................. 8
ENDING
  STOMP L, STOMP R, STOMP L, HOLD .. 4
"""


@pytest.mark.parametrize("head", ["FIDDLE", "Fiddle solo", "FIDDLE (line splits)"])
def test_words_at_the_margin_head_the_lines_that_stand_further_in(head: str) -> None:
    """Where all heads stand so: what is below them is danced there, and not in the part above."""
    made = sc.draft(OUTDENTED.format(head=head))

    name = head.split(" (")[0]
    assert f"part Chorus:\n  Triple x2\n\npart {name}:" in made.text
    assert f"  Chorus\n  {name}\n  Verse 1\n  Chorus\n  End" in made.text
    assert not made.open


def test_the_order_below_the_list_of_steps_is_none_of_these() -> None:
    """`SEQUENCE: A - Chorus - A` behind the last step of the list is what it says."""
    made = sc.draft(
        "Sallow Row (clogging)\nleft foot lead\n\nPART A (8)\n2 Triples\n\nCHORUS (8)\n4 Basics\n\n"
        "STEPS\n  Basic    DS RS\n  Triple   DS DS DS RS\n\nSEQUENCE:  A - Chorus - A - Chorus\n"
    )

    assert "dance:\n  A\n  Chorus\n  A\n  Chorus\n" in made.text
    assert not made.open


def test_a_line_that_calls_a_step_that_is_not_read_has_what_is_left_of_its_part() -> None:
    """`#3 x4   L R L R` is danced, though the row of its step has a word that is no code."""
    made = sc.draft(
        "Sallow Row (clogging)\nleft foot lead\n\nFIGURES\n #1  Basic     DS RS         2\n #2  Triple    DS DS DS RS   4\n"
        " #3  Hazel     DS PLOPF RS   4\n\nVERSE 16\n  #1 x4\n  #2 x2\n\nBREAK 16\n  #3 x4     L R L R\n\n"
        "Order: Verse, Break, Verse\n"
    )

    assert "part Break: 16 beats\n  ? 16 beats  # #3 x4 L R L R\n" in made.text
    assert "part Verse: 16 beats\n  Basic x4\n  Triple x2\n" in made.text
