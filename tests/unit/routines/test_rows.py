"""Rows of codes: what stands beside them and under them."""

import pytest

import stepcheck as sc

_TOP = "Sallow Row (clogging)\nwait 8, left foot lead\n\n"


def _part(lines: str, name: str = "A") -> list[str]:
    """Return the lines of a part of the sheet that lines come to."""
    text = sc.draft(_TOP + lines).text
    return text.split(f"part {name}")[1].split("\n\n")[0].split("\n", 1)[1].replace("\n  ", "\n").strip().split("\n")


@pytest.mark.parametrize(
    ("row", "wanted"),
    [
        ("4  Joey   DS B(xib) B(os) B(os) B(xib) B(os) S", ["Joey, 4 beats (xib, os, os, xib, os)"]),
        ("Joey (4): DS B B B B B S", ["Joey"]),
    ],
)
def test_a_row_with_balls_is_no_order_of_part_b(row: str, wanted: list[str]) -> None:
    """`B` in a row is a ball, whatever stands in front of the row, and calls no part B."""
    lines = f"A (4 beats)\n{row}\n\nB (4 beats)\n4   2 Basics   DS RS DS RS\n\nOrder: A B A B\n"

    assert wanted == _part(lines)
    assert sc.draft(_TOP + lines).text.split("dance:\n")[1].split() == ["A", "B", "A", "B"]


_COWBOY = "8  Cowboy   DS DS DS BR SL DS RS RS RS   turn 1/2 L\n            L  R  L  R  L  R  LR LR LR\n"


@pytest.mark.parametrize(
    ("below", "wanted"),
    [
        ("8  Cowboy   repeat to face front", "Cowboy, 8 beats, turn 1/2 left, facing front"),
        ("8  Cowboy   same, to the front", "Cowboy, 8 beats, turn 1/2 left, facing front"),
        ("8  Cowboy   same foot again", "Cowboy, left foot, 8 beats, turn 1/2 left"),
        ("8  Cowboy   repeat with right foot lead", "? 8 beats  # 8 Cowboy repeat with right foot lead"),
    ],
)
def test_a_figure_is_asked_for_again_behind_its_name(below: str, wanted: str) -> None:
    """What stands in a wide space behind a figure that is told above, `repeat to face front`, asks for all that is said
    of that once more; to which side it turns on the other foot, nothing says."""
    assert wanted == _part(f"A (20 beats)\n{_COWBOY}{below}\n4  2 Basics   DS RS DS RS\n")[1]


def test_where_the_other_foot_goes_is_no_foot_of_its_own() -> None:
    """`same, start right foot, go right` is the figure on that foot, to that side."""
    vine = "8  Clogover Vine   DS DS(xif) DS DS(xib) DS DS(xif) DS RS   to the left\n"
    again = "8  Clogover Vine   same, start right foot, go right\n"

    assert "Clog-over Vine, right foot, 8 beats (to the right)" == _part(f"A (20)\n{vine}{again}4  2 Basics\n")[1]


@pytest.mark.parametrize(
    ("row", "feet", "wanted"),
    [
        ("DS  BrUp  DS  RS", "L   R     R   LR", "DS(L) BR(R) UP DS(R) RS(L)"),
        ("DS  BrSl  DS  RS", "L   RL    R   LR", "DS(L) BR(R) SL(L) DS(R) RS(L)"),
        ("DS  BR SL  DS  RS", "L   R  L   R   LR", "DS(L) BR(R) SL(L) DS(R) RS(L)"),
        (
            "DS  Tch(xif)-H  Tch(os)-H  RS",
            "L   R        L  R       L  RL",
            "DS(L) TCH(R) H(L) TCH(R) H(L) RS(R) (xif, os)",
        ),
        (
            "DS  Tch(xif)-H  Tch(os)-H  RS",
            "L   RL          RL         RL",
            "DS(L) TCH(R) H(L) TCH(R) H(L) RS(R) (xif, os)",
        ),
        ("DS  Tch-H  Tch-H  RS", "L   R  L   R  L   R L", "DS(L) TCH(R) H(L) TCH(R) H(L) RS(R)"),
        ("DS DS RS CLAP", "L R LR", "DS(L) DS(R) RS(L) CLAP"),
    ],
)
def test_feet_stand_under_codes_or_under_each_of_their_movements(row: str, feet: str, wanted: str) -> None:
    """Codes that are one word, `BrUp`, `TCH-H`, have one foot or one for each movement, a rock step one or two."""
    assert [wanted] == _part(f"A (4 beats)\n{row}\n{feet}\n")


def test_a_name_that_no_book_has_behind_its_row_is_danced_again_by_it() -> None:
    """`Donkey` in a wide space behind a row is what that is called, and `Repeat Donkey on R foot` dances it."""
    said = _part(
        "A (8 beats)\nDS  Tch(xif)-H  Tch(os)-H  RS        Donkey\nL   R        L  R       L  RL\nRepeat Donkey on R foot\n"
    )

    assert ["DS(L) TCH(R) H(L) TCH(R) H(L) RS(R) (xif, os, Donkey)", "Donkey, right foot"] == said


_VINE = (
    "  Slur Vine & Triple      DS(ots) SLUR S(xib) DS RS   DS DS DS RS\n"
    "    8 beats               L       R    R      L  RL   R  L  R  LR\n"
)
_CHAINS = "  2 Chains                DS RS RS RS\n    4 beats each          L  RL RL RL   "
_WIDE = " " * 26


@pytest.mark.parametrize(
    ("lines", "wanted"),
    [
        (_VINE, ["Slur Vine, left foot", "Triple"]),
        (
            f"{_VINE}{_WIDE}vine to the left, turn 1/2 right on the Triple\n",
            ["Slur Vine, left foot (to the left)", "Triple, turn 1/2 right"],
        ),
        (f"{_CHAINS}left, then right on the opposite foot", ["Chain x2, left foot"]),
        (f"{_CHAINS}second one right foot lead", ["Chain x2, left foot"]),
        (f"{_CHAINS}turn 1/4 left on each, all four walls", ["Chain x2, left foot, turn 1/4 left"]),
        (f"{_CHAINS}\n{_WIDE}forward on the first 4", ["Chain x2, left foot (forward, on the first 4)"]),
        ("  2 Chains   DS RS RS RS\n    6 beats each   L RL RL RL", ["? 12 beats  # 2 Chains"]),
    ],
)
def test_beats_stand_in_front_of_feet_and_notes_behind_and_below_them(lines: str, wanted: list[str]) -> None:
    """`8 beats   L R R` is the length of the row and its feet; what stands behind these, or below the row in its
    column, says something of the figures of the line and is never danced itself."""
    assert wanted == _part(f"A\n{lines}\n")


@pytest.mark.parametrize(
    ("lines", "wanted"),
    [
        (
            "DS DS(xif) DS BR SL  DS DS(xif) DS RS            Vine & brush, then vine back   8 beats\n"
            "L  R       L  R  L   R  L       R  LR\n"
            "&1 &2      &3 &  4   &5 &6      &7 &8\n",
            [
                "DS(L)@1 DS(R)@2 DS(L)@3 BR(R)@&4 SL(L)@4 DS(R)@5 DS(L)@6 DS(R)@7 RS(L)@8 "
                "(xif, xif, Vine, brush, vine back)"
            ],
        ),
        (
            "DS RS RS RS   DS RS RS RS                        Chain, left then right         8 beats\n"
            "L  RL RL RL   R  LR LR LR                        (1/4 L on 2nd chain)\n"
            "&1 &2 &3 &4   &5 &6 &7 &8\n",
            ["DS(L) RS(R) RS(R) RS(R) (Chain)", "DS(R) RS(L) RS(L) RS(L), turn 1/4 left"],
        ),
        ("DS DS DS RS (L), STO (R), HOLD", ["DS(L) DS DS RS STO(R) HOLD"]),
        (
            "Brush x 4   DS-BR-SL (L-R-L) alternate feet",
            ["DS(L) BR(R) SL(L) DS(R) BR(L) SL(R)" + " DS(L) BR(R) SL(L) DS(R) BR(L) SL(R)"],
        ),
        (
            "Heel Rocks   DS(L) HR(R) S(L) HR(R) S(L) RS(RL)\nTriple\n",
            ["# Heel Rocks DS(L) HR(R) S(L) HR(R) S(L) RS(RL)", "Triple"],
        ),
    ],
)
def test_rows_have_the_feet_and_the_times_that_stand_beside_and_below_them(lines: str, wanted: list[str]) -> None:
    """A row that fills its beats has its name behind it; one of two chains is danced twice, and turns on the one that
    is named; a foot that stands apart begins the codes before it; a word that is no code leaves its row open."""
    assert wanted == _part(f"A\n{lines}\n")[: len(wanted)]


def test_a_name_with_signs_is_looked_for_as_it_is_written() -> None:
    """The signs in a figure's name are no pattern: what stands behind the feet of such a row keeps its beats."""
    made = sc.draft("T\n\nA\n2 Rock**      DS DS RS RS\n              L  R  LR LR    , turn 1/2 left\n")

    assert "  ? 8 beats  # 2 Rock" in made.text


@pytest.mark.parametrize(
    "row",
    [
        "DS DS RS RS   L-R-LR-LR",
        "DS DS RS RS - L R LR LR",
        "DS DS RS RS  LRLRLR",
        "L R LR LR   DS DS RS RS",
        "L-R-LR-LR: DS DS RS RS",
        "LRLRLR: DS DS RS RS",
    ],
)
def test_feet_on_the_line_of_their_codes_are_those_of_one_time(row: str) -> None:
    """Before or behind their codes, as many as its steps, with two for a rock step, they are no times of the row."""
    lines = f"A (4 beats)\n{row}\n\nB (4 beats)\nTriple\n\nOrder: A B\n"
    (said,) = _part(lines)

    assert [code.split("(")[0] for code in said.split()] == ["DS", "DS", "RS", "RS"]
    assert said.startswith("DS(L)")
    assert not sc.draft(_TOP + lines).open


@pytest.mark.parametrize("said", ["2 triple steps", "Triple step x2", "4 Basic steps"])
def test_a_figure_may_be_called_a_step(said: str) -> None:
    """`triple step` and `basic step` are the Triple and the Basic."""
    (line,) = _part(f"A (8 beats)\n{said}\n")

    assert line in ("Triple x2", "Basic x4")


@pytest.mark.parametrize(
    ("cue", "below", "wanted"),
    [
        (
            "2 Triples     DS DS DS RS    DS DS DS RS",
            "fwd 4, back 4 L  R  L  RL    R  L  R  LR",
            "Triple x2, left foot (forward, back)",
        ),
        ("2 Triples     DS DS DS RS", "forward       L  R  L  RL", "Triple x2, left foot (forward)"),
        (
            "2 Triples     DS DS DS RS    DS DS DS RS",
            "fwd, back      &1 &2 &3 &4    &5 &6 &7 &8",
            "Triple x2 (forward, back)",
        ),
        (
            "1 Cowboy      DS DS DS BR SL DS RS RS RS",
            "up 4, 1/2 L   L  R  L  R  L  R  LR LR LR",
            "Cowboy, left foot, turn 1/2 left (up, on the first 4)",
        ),
        (
            "2 Charlestons  DS BR SL T(bk) H(bk) RS",
            "               L  R  L  R     R     LR (same again)",
            "Charleston x2, left foot",
        ),
        ("2 Charlestons  DS BR SL T H(bk) RS", "               L  R  L  R R     LR twice", "Charleston x2, left foot"),
    ],
)
def test_what_stands_below_the_name_of_a_row_is_of_its_figure(cue: str, below: str, wanted: str) -> None:
    """Feet or beats below the codes are theirs, what stands before them says how the figure is danced."""
    text = f"{_TOP}A\n{cue}\n{below}\n2 Basics\n"

    assert _part(text.removeprefix(_TOP))[0] == wanted
    assert not sc.draft(text).open


@pytest.mark.parametrize(
    ("below", "opened"),
    [("no turn here  L  R  L  RL", "no turn here"), ("              L  R  L  RL (same again)", "same again")],
)
def test_feet_are_kept_where_words_beside_them_are_open(below: str, opened: str) -> None:
    """What is not read there is named, and so is `same again` of a row behind which the other foot is free."""
    text = f"{_TOP}A\n2 Triples     DS DS DS RS\n{below}\n2 Basics\n"

    assert any(opened in each for each in sc.draft(text).open)
    assert _part(text.removeprefix(_TOP))[0].startswith("Triple x2")


@pytest.mark.parametrize(
    ("row", "wanted"),
    [
        ("DS DS RS STO = L R LR L", "DS(L) DS(R) RS(L) STO(L)"),
        ("DS DS RS STO -- L R LR L", "DS(L) DS(R) RS(L) STO(L)"),
        ("DS DS RS STO: L-R-LR-L", "DS(L) DS(R) RS(L) STO(L)"),
        ("DS BR-SL DS RS   L-R-L-R-LR", "DS(L) BR(R) SL(L) DS(R) RS(L)"),
        ("DS DR-S DR-S RS   L-(L)R-(R)L-RL", "DS(L) DR(L) S(R) DR(R) S(L) RS(R)"),
        ("2 Triples   DS DS DS RS   L-R-L-RL   R-L-R-LR", "Triple x2, left foot"),
        ("4 Basics   DS RS   R-LR L-RL R-LR L-RL", "Basic x4, right foot"),
        ("Chain left & Chain right   DS RS RS RS   L-RL-RL-RL   R-LR-LR-LR", "Chain, left foot"),
        ("DS DS RS RS   L R R LR LR   4", "? 4 beats"),
        ("Kick R, L, LR   4", "? 4 beats"),
    ],
)
def test_feet_behind_a_row_are_those_of_its_codes_whatever_sign_joins_them(row: str, wanted: str) -> None:
    """A dash, a colon or a sign of equality before feet, and dashes between them, change nothing: a row is not danced
    once for each foot; feet that don't fit it leave it a blank."""
    made = _part(f"A\n{row}\n\n")

    assert wanted == made[0].split("  #")[0]


@pytest.mark.parametrize(
    "said",
    [
        "   (other one opp. feet)",
        "   (the second one is opposite)",
        "   second on the other foot",
        "   2nd reversed",
        "   then opposite footwork",
    ],
)
def test_the_second_of_two_on_the_other_foot_is_no_change(said: str) -> None:
    """Below the feet of the first time such a line says with which foot each time begins."""
    lines = f"A (8 beats)\n2 Chains\n   DS RS RS RS\n   R LR LR LR\n{said}\n"

    assert _part(lines) == ["Chain x2, right foot"]
    assert not sc.draft(_TOP + lines).open


@pytest.mark.parametrize("said", ["stay there", "stays put", "and stay here", "staying here"])
def test_a_figure_that_stays_is_danced_in_place(said: str) -> None:
    """It is the figure without a turn, and no name that no book has."""
    made = _part(f"A (8 beats)\nTriple turn 1/2 L, Triple {said}\n")

    assert made == ["Triple, turn 1/2 left", "Triple (in place)"]


@pytest.mark.parametrize(
    "said",
    ["** all that again **", "--- all of it again to come home ---", "=== the whole lot again ===", "~~ both again ~~"],
)
def test_a_repeat_between_rules_heads_no_part(said: str) -> None:
    """What asks for all of a part again is danced there, whatever stands around it."""
    text = sc.draft(f"{_TOP}A (16)\n2 Triples\n{said}\n\nB (8)\n4 Basics\n").text

    assert "part A: 16 beats\n  2 times:" in text and text.count("\npart ") == 2


@pytest.mark.parametrize(
    ("between", "way"),
    [
        ("", ""),
        ("and back to the right\n", "to the right"),
        ("then the other way\n", ""),
        ("repeat right\n", "to the right"),
        ("again, right foot\n", ""),
        ("Same to R:\n", "to the right"),
    ],
)
def test_feet_below_the_feet_of_a_row_dance_it_once_more(between: str, way: str) -> None:
    """Whatever stands between them; the first time keeps its own."""
    rows = f"DS  DS(xif)  DS  RS   osiers, go left\nL   R        L   RL\n{between}R   L        R   LR\n"
    made = sc.draft(f"Sedge Mill (clogging)\nwait 8, left lead\n\nA: 8 beats\n{rows}B: 2 Basics\n")
    first, second = made.text.split("part A: 8 beats\n")[1].split("\n")[:2]

    assert first == "  DS(L) DS(R) DS(L) RS(R) (xif, osiers, to the left)" and not made.open
    assert second.startswith("  DS(R) DS(L) DS(R) RS(L) (xif") and ("to the right" in second) is bool(way)


@pytest.mark.parametrize(
    ("rows", "wanted"),
    [
        ("2 Triples  DS DS DS RS\nR L R LR\nL R L RL\n", ["Triple x2, right foot"]),
        ("8  DS DS DS RS\n   L R L RL\n   R L R LR\n", ["DS(L) DS(R) DS(L) RS(R) DS(R) DS(L) DS(R) RS(L), 8 beats"]),
        ("DS DS DS RS\nL R L RL\nR L R\n", []),
        ("DS DS DS RS\nL R L RL\nturn 1/4 left\nR L R LR\n", []),
    ],
)
def test_feet_below_feet_are_those_of_the_next_time_or_open(rows: str, wanted: list[str]) -> None:
    """Of a figure that is danced several times they are those of the second; as many as the row has, and no turn that
    may be of one time only, else the row is a blank."""
    made = sc.draft(f"Sedge Mill (clogging)\nwait 8, left lead\n\nA: 8 beats\n{rows}B: 2 Basics\n")
    lines = [line.strip() for line in made.text.split("part A: 8 beats\n")[1].split("\n\n")[0].split("\n")]

    assert lines == wanted if wanted else lines[0].startswith("? ")
    assert bool(made.open) is not bool(wanted)


@pytest.mark.parametrize(
    ("row", "wanted"),
    [
        ("DS BR UP DS RS      Rocking Chair 1/4 L", ["Rocking Chair, turn 1/4 left"]),
        ("DS DS RS RS         Fancy Double, 1/2 R", ["Fancy Double, turn 1/2 right"]),
        ("DS BR UP DS RS      Rocking Chair 1/4 L x4", ["Rocking Chair x4, turn 1/4 left"]),
        ("DS RS DS RS         2 Basics 1/4 L each", ["Basic x2, turn 1/4 left"]),
        ("DS RS DS RS DS DS RS RS      2 Basics & Fancy Double", ["Basic x2", "Fancy Double"]),
        ("DS DS DS RS DS RS DS RS      Triple, 2 Basics 1/4 L each", ["Triple", "Basic x2, turn 1/4 left"]),
        ("DS DS DS RS DS RS      Triple + Basic\nL  R  L  RL R  LR", ["Triple, left foot", "Basic"]),
    ],
)
def test_what_a_row_is_called_may_turn_or_be_several_figures(row: str, wanted: list[str]) -> None:
    """The figures of a row stand behind it with their turns and times, and are danced once."""
    assert wanted == _part(f"A\n{row}\n\nOrder: A A\n")


@pytest.mark.parametrize(
    ("under", "wanted"),
    [
        ("DS DS RS RS    Fancy Double 1/4 L\nL  R  LR LR    do 4X", ["DS(L) DS(R) RS(L) RS(L), turn 1/4 left"] * 4),
        ("DS DS DS RS DS RS DS RS    Triple, 2 Basics\nL  R  L  RL R  LR L  RL    do this twice",
         ["2 times:", "  Triple, left foot", "  Basic x2"]),
    ],
)  # fmt: skip
def test_times_beside_the_feet_of_a_row_are_those_of_all_of_it(under: str, wanted: list[str]) -> None:
    """What stands behind the feet dances the row so often, with its turn each time."""
    made = [each.replace(" (Fancy Double)", "") for each in _part(f"A\n{under}\n\nOrder: A A\n")]

    assert wanted == made


def test_a_row_that_its_figures_do_not_come_to_is_not_theirs() -> None:
    """Figures behind the name of a row that last otherwise are danced as well."""
    made = _part("A\nDS DS DS RS      Triple & 2 Basics\n\nOrder: A A\n")

    assert ["Triple", "Basic x2"] == made


@pytest.mark.parametrize(
    "row",
    ["DS-L | DS-R | DS-L | RS-RL", "DS-L DS-R DS-L RS-RL", "DS-L, DS-R, DS-L, RS-RL", "DS-L // DS-R // DS-L // RS-RL"],
)
def test_feet_may_hang_on_their_codes(row: str) -> None:
    """With bars between the codes or without; no code with its foot is the name of a figure."""
    lines = f"A (4 beats)\n{row}\n\nB (4 beats)\nSTO-L, STO-R, STO-L, hold\n\nOrder: A B\n"

    assert _part(lines) == ["DS(L) DS(R) DS(L) RS(R)"]
    assert _part(lines, "B") == ["STO(L) STO(R) STO(L) HOLD"]
    assert not sc.draft(_TOP + lines).open


def test_a_place_behind_a_code_keeps_its_foot() -> None:
    """`S-R(xib)` is a step of the right foot, behind the other."""
    assert _part("A (4 beats)\nDS-L | SLUR S-R(xib) | DS-L | RS-RL\n") == ["DS(L) SLR S(R) DS(L) RS(R) (xib)"]


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("&1 ds L, 2 R toe touch xif, &3 ds R, 4 L toe touch xif", "DS(L) TCH(R) DS(R) TCH(L) (xif, xif)"),
        ("DS L, brush R slide L, toe-heel R in back, rock L step R", "DS(L) BR(R) SL(L) TW(R) HD RS(L) (in back)"),
        ("DS, drag step, rock step, DS", "DS DR S RS DS"),
        ("ds L, R kick, ds R, L brush", "DS(L) K(R) DS(R) BR(L)"),
        ("stomp L, ds R, ds L, r/s R L   (1 &2 &3 &4)", "STO(L) DS(R) DS(L) RS(R)"),
        ("&1 ds L, &2 ds R xif, &3 ds L, &4 rock R xib step L", "DS(L) DS(R) DS(L) RS(R) (xif, xib)"),
        ("ds L, 2 rs, 3 ds, 4 rs", "? 4 beats"),  # no halves: how often?
        ("1 ds L, 3 ds R, 2 ds L, &4 rs R", "? 4 beats"),  # no beats that rise
        ("&1 ds L, &2 rs R", "? 4 beats"),  # of two steps nothing says that they are counted
    ],
)
def test_each_step_of_a_row_may_have_its_count_and_its_foot_before_it(said: str, wanted: str) -> None:
    """Counts that rise by one before three steps or more are no numbers; feet stand before their steps or behind."""
    made = sc.draft(f"Weir Reel (clogging)\nwait 8\n\nA (8)\n1-4: {said}\n5-8: Triple\n")

    assert f"\n  {wanted}" in made.text and bool(made.open) == wanted.startswith("?")
    assert "\n  Triple\n" in made.text


def test_a_row_with_its_beats_is_not_named_by_the_next() -> None:
    """A figure on beats of its own is danced, though the row above it spells it."""
    made = sc.draft("Weir Reel (clogging)\nwait 8\n\nA\n1-4: DS DS DS RS\n5-8: Triple\n")

    assert "\n  DS DS DS RS\n  Triple\n" in made.text
