"""What a sheet explains beside its dance: figures in words, above all parts or behind them, and how long its parts are."""

import pytest

import stepcheck as sc

TOP = "Osier Row (clogging)\nwait 8, left foot lead\n\n"
PARTS = "A: 4 Basics\n   2 Triples\nB: 4 Chains\n\nOrder: A B A\nEnd: 2 Stomps\n"
BASICS = ("double step, rock step", "Double Step, Rock Step (2 beats)", "one double step and one rock step", "DS RS")
TRIPLES = (
    "double step, double step, double step, rock step",
    "Double Step, Double Step, Double Step, Rock Step (4 beats)",
    "three double steps and a rock step",
    "DS DS DS RS",
)
LISTS = [
    f"{title}\nBasic {sign} {basic}\nTriple {sign} {triple}\n"
    for title in ("Steps", "Steps you need", "Steps used:", "Glossary")
    for sign in ("=", "-", ":")
    for basic, triple in zip(BASICS, TRIPLES, strict=True)
]


@pytest.mark.parametrize("said", LISTS)
def test_figures_explained_behind_the_parts_are_not_danced(said: str) -> None:
    """A list of figures and what they are, under a title behind the last part, is no part of that."""
    plain = sc.draft(TOP + PARTS)
    made = sc.draft(f"{TOP}{PARTS}\n{said}")

    assert made.text[made.text.index("part A") :] == plain.text[plain.text.index("part A") :]
    assert made.open == plain.open


@pytest.mark.parametrize("said", LISTS)
def test_figures_explained_above_the_parts_are_not_danced(said: str) -> None:
    """Such a list above all parts is no part either."""
    plain = sc.draft(TOP + PARTS)
    made = sc.draft(f"{TOP}{said}\n{PARTS}")

    assert made.text[made.text.index("part A") :] == plain.text[plain.text.index("part A") :]


@pytest.mark.parametrize("said", ["Every part is 16 beats.", "All parts are 16 beats long", "Each part has 16 counts"])
@pytest.mark.parametrize("where", ["above", "below"])
def test_the_length_of_every_part_is_no_dance(said: str, where: str) -> None:
    """Each part that comes to it states it; the end has its own length."""
    text = f"{TOP}{said}\n\n{PARTS}" if where == "above" else f"{TOP}{PARTS}\n{said}\n"
    made = sc.draft(text)

    assert "part A: 16 beats\n" in made.text and "part B: 16 beats\n" in made.text
    assert "part Ending:\n  STO STO\n\n" in made.text and "?" not in made.text
    assert not made.open


def test_the_length_of_every_part_makes_none_longer() -> None:
    """A part all of whose lines are read, and which lasts otherwise, keeps its length; it is open."""
    made = sc.draft(f"{TOP}{PARTS}\nEvery part is 32 beats.\n")

    assert "?" not in made.text and "32 beats" not in made.text.split("part A")[1]
    assert sum("32 beats" in each for each in made.open) == 2


OWN = "A: {}\n\nBreakdowns\n{}\nBasic - DS/RS\n"


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Slur L, R / Basic x 4", "  Slur, left foot\n  Slur, right foot\n  Basic x4\n"),
        ("Slur, Basic", "  Slur\n  Basic\n"),
        ("2 Slurs, Basic", "  Slur x2\n  Basic\n"),
        ("SLUR L, BASIC", "  Slur, left foot\n  Basic\n"),
    ],
)
def test_a_figure_of_the_sheet_is_no_movement(said: str, wanted: str) -> None:
    """A figure that the sheet explains is danced where it is called by a word that is else a movement's."""
    made = sc.draft(TOP + OWN.format(said, "Slur - DS/SlurS/DS/RS"))

    assert made.text.split("part A:\n")[1].startswith(wanted)
    assert not made.open


def test_a_figure_that_is_not_read_is_no_movement() -> None:
    """Where the sheet explains a figure by steps that are not read, the movement of its name is not danced for it."""
    made = sc.draft(TOP + OWN.format("4 Brushes\n    Basic", "Brush - double step, brush the other foot and slide"))

    assert "BR" not in made.text.split("part A:")[1]
    assert any("4 Brushes" in each for each in made.open)


@pytest.mark.parametrize(
    "said", ["Intro: Wait 32   (32)", "Intro: wait 32 beats (32 beats)", "Intro (32): wait 32", "Intro (32)\nwait 32"]
)
def test_an_introduction_that_is_the_wait_is_no_part(said: str) -> None:
    """What is waited is not danced once more as a part."""
    made = sc.draft(f"Osier Row (clogging)\n{said}\n\n{PARTS}")

    assert "wait: 32 beats" in made.text and "part Intro" not in made.text


def test_the_steps_behind_the_wait_of_an_introduction_have_the_rest() -> None:
    """Of its stated beats those that are waited are none of the part's."""
    made = sc.draft(f"Osier Row (clogging)\nIntro (32): wait 16, then 4 Basics, 2 Charlestons\n\n{PARTS}")

    assert "wait: 16 beats" in made.text and "part Intro: 16 beats\n  Basic x4\n  Charleston x2\n" in made.text


@pytest.mark.parametrize("order", ["Entrance, A, B, A", "A, B, A, Promenade", "Entrance / A / B / A"])
def test_a_name_of_the_order_that_no_part_has_is_open(order: str) -> None:
    """A name in a list of parts is one of these; the others are danced."""
    made = sc.draft(f"{TOP}{PARTS.replace('A B A', order)}")
    name = "Entrance" if "Entrance" in order else "Promenade"

    assert any(name in each for each in made.open)
    assert "dance:\n  A\n  B\n  A\n" in made.text


@pytest.mark.parametrize("head", ["ENTRANCE, 32 beats", "Entrance, 32 beats", "ENTRANCE (32)"])
def test_a_name_in_capitals_with_its_length_is_a_part(head: str) -> None:
    """Whatever stands between the name and its length, behind an empty line."""
    made = sc.draft(f"{TOP}{head}\n8 Triples\n\n{PARTS}")

    assert ": 32 beats\n  Triple x8\n" in made.text


@pytest.mark.parametrize(
    "said",
    [
        "Abbreviations: DS double step, RS rock step, SL slide,\nSTO stomp, xif cross in front, xib cross in back",
        "Key: DS double step / RS rock step / SL slide\nSTO stomp / xif cross in front",
        "Abbrev. - DS double step; RS rock step;\n   STO stomp",
        "Key:  DS double step    RS rock step\n      STO stomp         BR brush",
        "DS double step, RS rock step, TCH touch,\nSTO stomp, BR brush",
        "DS double step, RS rock step, Br brush, Sto stomp, xif cross in front, ea each",
        "DS double step, RS rock step, S step, H heel, os out to side, ea. each, rpt repeat",
        "Codes: DS double toe step; HR heel rock (weight on the heel in front);\nDR drag; xb cross behind; o out.",
        "DS - Double Step   RS - Rock Step   Br - Brush   Sto - Stomp",
        "DS=double step  RS=rock step  BrUp=brush up  ots=out to side",
        "(DS is double step, RS is rock step, St is step, Tch is touch)",
        "Legend\nDS - double step\nRS - rock step\nSto - stomp",
        "Codes used\nDS   double step\nRS   rock step\nSto   stomp",
        "DS double step\nRS rock step\nSto stomp\nxif cross in front",
    ],
)
def test_a_list_of_abbreviations_goes_on_in_the_next_line(said: str) -> None:
    """No line of it is a step, whatever stands between its words."""
    plain = sc.draft(TOP + PARTS)
    made = sc.draft(f"{TOP}{PARTS}\n{said}\n")

    assert made.text[made.text.index("part A") :].startswith(plain.text[plain.text.index("part A") :].rstrip())
    assert not made.open


def test_steps_on_their_feet_are_no_abbreviations() -> None:
    """What is danced behind a list of abbreviations is danced."""
    made = sc.draft(f"{TOP}A: 4 Basics\n\nKey: DS double step, RS rock step\nB: 4 Triples\nLF stomp, RF stomp\n")

    assert "part B:\n  Triple x4\n  STO(L) STO(R)\n" in made.text


@pytest.mark.parametrize("said", ["STO stomp\nDS double step", "Step, step, stomp", "S step, S step, Stomp stomp"])
def test_steps_and_their_words_in_a_part_are_danced(said: str) -> None:
    """What stands right under the head of a part is its dance, whatever words stand beside its codes."""
    made = sc.draft(f"{TOP}A: 4 Basics\nBreak:\n{said}\n")

    assert "\n#" not in made.text.split("part Break")[1]


def test_a_letter_that_is_a_step_in_the_list_is_no_word_of_the_rows() -> None:
    """`R S` is a rock step with or without a list that says `R=rock  S=step`, which names a step and no other word."""
    text = "T\n\nPART A (8 beats)\n2 Basics   DS R S\n           L  R L\nChain L    DS R S R S R S\n           L  R L R L R L\n"
    made = sc.draft(f"{text}\nDS=double toe step  R=rock  S=step  BR=brush  SL=slide\n").text

    assert "  Basic: DS RS\n  Chain: DS RS RS RS\n" in made
    assert made.startswith(sc.draft(text).text)


@pytest.mark.parametrize(
    "said",
    [
        "Fancy Double - QZS RS RS",
        "Fancy Double: QZS QZS RS RS",
        "Fancy Double = QZS DS RS RS",
        "Fancy Double   QZS(x) DS RS RS",
        "Fancy Double - DS QZS RS RS",
    ],
)
@pytest.mark.parametrize("head", ["REMEMBER", "Steps to know:"])
def test_a_code_that_no_book_has_is_no_name_of_a_figure(said: str, head: str) -> None:
    """The line is open: the codes behind it are not all of its row."""
    made = sc.draft(f"{TOP}{PARTS}\n{head}\nBasic - DS RS\n{said}\nChain - DS RS RS RS\n")

    assert "figures:\n  Basic: DS RS\n  Chain: DS RS RS RS\n\n" in made.text
    assert [each for each in made.open if said.replace("   ", " ") in each]


@pytest.mark.parametrize("row", ["DTS DTS DTS RS", "DTS-DTS-DTS-RS", "DTS DTS(xif) DTS RS", "DTS, DTS, DTS, RS"])
def test_a_double_toe_step_is_a_double_step(row: str) -> None:
    """However its row is written."""
    made = sc.draft(f"{TOP}{PARTS}\nREMEMBER\nBasic - DTS RS\nTriple - {row}\n")

    assert "  Basic: DS RS\n  Triple: DS DS DS RS" in made.text and not made.open


@pytest.mark.parametrize(
    "said",
    [
        "Chain: DS RS RS RS",
        "Chain: DS RS RS RS\n       L  RL RL RL   (4)",
        "Chain = two quick shuffles and a prayer",
        "basic = 2 beats,  chain = 4",
    ],
)
@pytest.mark.parametrize("beside", ["Mind the loose board.\nThe caretaker locks up early.\nBring soft shoes.\n", ""])
def test_one_line_that_explains_a_figure_of_the_dance_is_none(said: str, beside: str) -> None:
    """Behind the last part a name that is danced above, with its row or an equality sign, is no dance, whatever other
    lines its paragraph has."""
    plain = sc.draft(TOP + PARTS).text
    made = sc.draft(f"{TOP}{PARTS}\n{beside}{said}\n").text

    assert made[made.index("part A") :].startswith(plain[plain.index("part A") :].rstrip())


def test_a_row_of_a_figure_that_is_danced_nowhere_above_is_danced() -> None:
    """A line that spells a figure of its own behind an empty line of the last part stays a line of it."""
    made = sc.draft(f"{TOP}A: 4 Basics\nB: 4 Chains\n\nJoey turn\nSlur walk\nTriple: DS DS DS RS\n")

    assert "  Triple" in made.text.split("part B")[1]


@pytest.mark.parametrize("name", ["SLUR STEP", "Slur Step"])
def test_a_name_of_movements_in_capitals_is_the_figure_that_the_sheet_explains(name: str) -> None:
    """Where it is danced it is no row of codes."""
    made = sc.draft(
        f"{TOP}A: 4 Basics\nB:\n{name} L, {name} R   8\n\n{name} = DS SLUR-S(BEHIND) DS RS   (L R-R L RL)\n"
    )

    assert "  Slur Step: DS SLR S DS RS (behind)\n" in made.text and not made.open
    assert "part B:\n  Slur Step, left foot\n  Slur Step, right foot\n" in made.text


def test_a_name_of_movements_that_is_explained_and_not_read_is_a_blank() -> None:
    """It is not danced as these movements."""
    made = sc.draft(
        f"{TOP}A: 4 Basics\nTag (8 beats)\n4 Brush steps L, R, L, R\n\nBrush step = DS, skim the other foot\n"
    )

    assert "part Tag: 8 beats\n  ? 8 beats  # 4 Brush steps" in made.text


@pytest.mark.parametrize("row", ["D-S D-S D-S R-S", "Dbl-St, Dbl-St, Dbl-St, Rk-St", "DBL-S DBL-S DBL-S RK-S"])
def test_steps_of_two_words_are_double_steps_and_rock_steps(row: str) -> None:
    """However they are shortened; so is a step behind a drag."""
    made = sc.draft(f"{TOP}{PARTS}\nTriple Two = {row}\nMud Drag = Dbl-St, Drag-St, Rk-St\n").text

    assert "  Triple Two: DS DS DS RS\n  Mud Drag: DS DR S RS\n" in made


def test_abbreviations_of_two_codes_in_small_letters_are_no_dance() -> None:
    """`br-sl brush slide` explains as the lines around it do, under the title of such a list."""
    key = "key to the codes\nds double step\nrs rock step\nbr-sl brush slide\n"
    plain = sc.draft(TOP + PARTS)
    made = sc.draft(f"{TOP}{PARTS}\n{key}")

    assert made.text[made.text.index("part A") :].startswith(plain.text[plain.text.index("part A") :].rstrip())
    assert made.open == plain.open


def test_lengths_of_several_parts_stand_before_one_sign() -> None:
    """`A,B = 16   Tag = 8` says how long three parts are."""
    made = sc.draft(
        f"{TOP}{PARTS}\nA,B = 16   Tag = 8\n".replace("End: 2 Stomps", "Tag: 4 Basics").replace("A B A", "A B A Tag")
    )

    assert "part A: 16 beats\n" in made.text and "part B: 16 beats\n" in made.text and "part Tag: 8 beats" in made.text
    assert not made.open


HAZEL = """Millrace Reel (clogging)
wait 8

Part A
Gosling
4 basics

Part B
2 triples
"""
WALK = """
Gosling
     &1   &2   &     3    &    4
L    ds        br         r
R         ds         sl        s
"""


@pytest.mark.parametrize("order", ["\na / b / a / end\n", "\nSequence: A - B - A - End\n", ""])
@pytest.mark.parametrize("labels", ["LR", ("Left foot", "Right foot"), ("L:", "R:"), "lr"])
def test_a_row_on_a_line_for_each_foot_is_one_row(order: str, labels: tuple[str, str] | str) -> None:
    """What each foot does under its beats is one row of both; it explains the figure over it where that is danced
    above, also in front of the order and an end in one line, and adds no dance to the last part."""
    top, first, second = (f"{label:10}" for label in ("", *labels))
    lines = WALK.replace("   &1", f"{top}   &1").replace("L  ", f"{first}   ").replace("R  ", f"{second}   ")
    made = sc.draft(HAZEL + lines + order + ("\nend = stomp l\n" if order else ""))

    assert not made.open
    assert "Gosling: DS@1 DS@2 BR@&3 SL@3 RS@4\n" in made.text
    assert "part A:\n  Gosling\n  Basic x4\n\npart B:\n  Triple x2\n\n" in made.text


@pytest.mark.parametrize("row", [WALK.replace("ds         sl", "ds   br    sl"), WALK.replace("  s\n", "\n")])
def test_a_row_for_each_foot_is_read_whole_or_not_at_all(row: str) -> None:
    """Where both feet move in a column, or none does, the figure is not learnt from it."""
    made = sc.draft(HAZEL + row)

    assert made.open
    assert "Gosling:" not in made.text


GRID = """
Gosling
 beat   1     2     3     4    |  5     6     7     8
 Left   DS    -SL         Rk-  |        DS          -S
 Right        BR    DS    -S   |  DS          DS    Rk-
"""


def test_a_dash_in_a_row_for_each_foot_is_the_other_half_of_its_beat() -> None:
    """`Rk-` comes before `-S` of the other foot, and `-SL` behind `BR`; strokes part the bars."""
    made = sc.draft(HAZEL + GRID)

    assert not made.open and "Gosling: DS BR SL DS RS DS DS DS RS\n" in made.text


@pytest.mark.parametrize("title", ["STEPS\n", "Footwork:\n", "Key\n", "HOW THE STEPS GO\n", ""])
@pytest.mark.parametrize("sign", ["     ", " = ", " - ", ": "])
@pytest.mark.parametrize("feet", ["", "                L  RL\n"])
def test_a_length_beside_the_name_of_a_figure_leaves_it_explained(title: str, sign: str, feet: str) -> None:
    """`Basic (2)    DS RS` behind the last part says what a Basic is, and is danced by nobody."""
    plain = sc.draft(TOP + PARTS)
    made = sc.draft(f"{TOP}{PARTS}\n{title}Basic (2){sign}DS RS\n{feet}Triple (4){sign}DS DS DS RS\n")

    assert made.text[made.text.index("part A") :] == plain.text[plain.text.index("part A") :]
