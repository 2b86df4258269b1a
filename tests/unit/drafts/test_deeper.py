"""Heads with counts over the deeper lines that spell them, and counts of other sections that are danced again."""

import pytest

import stepcheck as sc
from tests.unit.drafts.test_wordings import body

WALTZ = """Osier Waltz (waltz)
24 counts, 2 walls

{}basic forward and back
   - L forward, R together, L in place
   - R back, L together, R in place
{}two twinkles
   - cross L over R, R to side, L in place
   - cross R over L, L to side, R in place
{}weave, big step and drag
   - cross L over R, R to side, L behind R
   - big step R to side, drag L to R for two counts (weight stays R)
{}twinkles
   - {}
"""
HEADS = ["counts 1-6", "counts 7-12", "counts 13-18", "counts 19-24"]
SPANS = ((1, 6), (7, 12), (13, 18), (19, 24))


@pytest.mark.parametrize(
    "head",
    [
        "* Counts {}-{}, ",
        "Counts {}-{}, ",
        "Counts {}-{}: ",
        "{}-{}  ",
        "{}-{}: ",
        "Counts {} to {} - ",
        "- Cts {}-{}: ",
    ],
)
@pytest.mark.parametrize("bullet", ["- ", "", "* "])
def test_deeper_lines_spell_the_head_over_them(head: str, bullet: str) -> None:
    """The head is a title, whatever figures it names: each step is danced once, on its counts."""
    heads = (head.format(*span) for span in SPANS)
    text = WALTZ.format(*heads, "same as 7-12 (6:00)").replace("   - ", f"   {bullet}")
    made = sc.draft(text)
    lines = body(text, "Main")

    assert [f"counts {a}-{b}" for a, b in SPANS if f"\n  counts {a}-{b}:" in made.text] == HEADS
    assert lines.count("S(L) S(R) S(L)") == 4 and "Weave" not in lines and "?" not in " ".join(lines)
    assert not made.open and "facing 6:00" in made.text


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("same again (6:00)", "S(R) DRAW(L) HOLD"),
        ("same as above (6:00)", "S(R) DRAW(L) HOLD"),
        ("as 1-6, 6:00", "S(R) S(L) S(R)"),
    ],
)
def test_a_head_with_counts_is_counts_of_before_again(said: str, wanted: str) -> None:
    """`same again` under a head is the section before, counts are those of the dance, with the facing that is said."""
    text = WALTZ.format(*(f"Counts {a}-{b}, " for a, b in SPANS), said)
    lines = " / ".join(body(text, "Main"))

    assert (
        lines.endswith(
            (
                f"S(L) S(R) S(L) / {wanted} / expect left foot / expect facing 6:00",
                f"S(L) S(R) S(L) / {wanted}, facing 6:00",
            )
        )
        and not sc.draft(text).open
    )


def test_a_line_that_goes_on_deeper_is_no_head() -> None:
    """Steps that a line says itself are danced, and what stands deeper goes on from them."""
    text = "Osier Row\n16 counts, 2 walls, line dance\n\n1-8  Vine right, touch L, vine left, touch R\n     clap on 4 and 8\n"
    text += "9-16 Walk fwd R, L, R, kick L, walk back\n     L, R, L, touch R\n"
    lines = body(text, "Main")

    assert lines[:2] == ["Vine, right foot", "Vine, left foot"]


@pytest.mark.parametrize(
    "said",
    [
        "L forward starting 1/2 left, R finishing the turn, L together (6:00)",
        "L forward beginning 1/2 turn left, R side completing the turn, L together (6:00)",
        "L fwd starting a 1/2 turn L, R finishing turn, L tog (6:00)",
    ],
)
def test_a_turn_that_two_steps_share_is_made_where_it_ends(said: str) -> None:
    """It is whole on the step that finishes it."""
    made = body(f"Osier Waltz (waltz)\n6 counts, 2 walls\n\n1-3 {said}\n4-6 R back, L together, R in place\n", "Main")

    assert "S(L) S(R) S(L), turn 1/2 left @2, facing 6:00" in made


@pytest.mark.parametrize("title", ["Osier Row (waltz)", "OSIER ROW   waltz"])
def test_a_rhythm_beside_the_title_is_a_comment(title: str) -> None:
    """It is no field, and not lost."""
    made = sc.draft(f"{title}\n6 counts, 2 walls\n\n1-3 L back, R side, L fwd\n4-6 R back, L side, R fwd\n").text

    assert f"# {' '.join(title.split())}" in made and f"routine: {title[:9]}\n" in made


SETS = """Osier Row
32 counts, 2 walls

{}Right lock step, scuff; left lock step, scuff
{}R forward, lock L behind, R forward, scuff L; L forward, lock R behind, L forward, scuff R.

{}Two Monterey turns, 1/4 each
{}Point R side, 1/4 turn right closing R, point L side, close L; the same again. (6:00)

{}Toe struts; rocking chair
{}R toe, heel, L toe, heel; rock R forward, recover L, rock R back, recover L.

{}Weave right; side rock, cross, hold
{}R side, L behind, R side, L across; rock R side, recover L, cross R over L, hold.

{}
"""
SPELLED = [
    "S(R) S(L) S(R) SCUFF(L) S(L) S(R) S(L) SCUFF(R)",
    "PT(R) CL(R) PT(L) CL(L) PT(R), turn 1/4 right @2",
    "CL(R) PT(L) CL(L), turn 1/4 right @1, facing 6:00",
    "TT(R) HW(R) TT(L) HW(L) RK(R) RC(L) RK(R) RC(L)",
    "S(R) S(L) S(R) S(L) RK(R) RC(L) S(R) HOLD",
]


@pytest.mark.parametrize(
    "said", ["Each line is 8 counts.", "All sections are 8 counts", "Every set has eight counts long."]
)
@pytest.mark.parametrize(
    ("labels", "depth"),
    [
        (("I.    ", "II.   ", "III.  ", "IV.   "), "      "),
        (("I.  ", "II.  ", "III.  ", "IV.  "), ""),
        (("I) ", "II) ", "III) ", "IV) "), "    "),
        (("(I) ", "(II) ", "(III) ", "(IV) "), ""),
        (("I   ", "II   ", "III   ", "IV   "), "   "),
        (("1   ", "2   ", "3   ", "4   "), "    "),
        (("1. ", "2. ", "3. ", "4. "), "   "),
    ],
)
def test_numbers_in_their_order_head_the_lines_that_spell_them(labels: tuple[str, ...], depth: str, said: str) -> None:
    """Each step is danced once, in sections of as many counts as all are said to have; how often steps are danced in
    one is then known."""
    text = SETS.format(*labels_and(labels, depth), said)
    made = sc.draft(text)

    assert body(text, "Main") == SPELLED and not made.open
    assert [f"counts {at}-{at + 7}:" in made.text for at in (1, 9, 17, 25)] == [True] * 4


def labels_and(labels: tuple[str, ...], depth: str) -> list[str]:
    """Return the beginnings of lines, a label and a depth in turn."""
    return [each for label in labels for each in (label, depth)]


def test_a_length_of_all_sections_that_they_have_not_is_open() -> None:
    """It is no fact of a dance whose sections are others."""
    said = "Each section is 6 counts."
    made = sc.draft(SETS.format(*labels_and(("I. ", "II. ", "III. ", "IV. "), "   "), said))

    assert [each for each in made.open if said in each]


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("R toe, heel, L toe, heel", "TT(R) HW(R) TT(L) HT"),
        ("R toe, heel, stomp R, hold", "TT(R) HT STO(R) HOLD"),
        ("L toe, heel, R toe, R heel", "TT(L) HW(L) TT(R) HT(R)"),
    ],
)
def test_a_bare_heel_behind_a_toe_drops_where_the_other_foot_moves(said: str, wanted: str) -> None:
    """That foot has the weight then; behind others it is a touch."""
    assert body(f"Osier Row\n4 counts, 2 walls, line dance\n\nS1\n1-4 {said}\n", "Main") == [wanted]
