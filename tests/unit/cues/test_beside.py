"""What stands beside a figure or under its row: quotes, places, beats in brackets, and marks."""

import pytest

import stepcheck as sc

FRONT = "Fuller's Ford (clogging)\nwait 8, left foot lead\n\n"


def part(said: str) -> list[str]:
    """Return the lines of the first part of the draft, without remarks."""
    text = sc.draft(FRONT + said).text
    lines = [line.split("  #")[0].strip() for line in text.partition("\npart ")[2].splitlines()[1:]]
    return [line for line in lines[: lines.index("")] if line]


def test_a_name_in_quotes_over_its_row_is_a_figure() -> None:
    """Its row, feet and beats are its footwork, even where its words are those of steps, and what stands behind the
    beats is its mark; the name alone is the figure once more."""
    said = (
        'A\n"Stamp Kick"  do 2\n DS  STA  K  RS\n L   R    R  RL\n &1  &    2  &3   turn 1/4 L on each\n\n'
        '"Stamp Kick" right foot same as above\n"Triple" (4) L foot, moving left\n'
    )

    assert ["Stamp Kick x2, left foot, turn 1/4 left", "Stamp Kick, right foot", "Triple, left foot"] == [
        each.split(" (")[0] for each in part(said)
    ]
    assert "Stamp Kick: DS@1 STA@&2 K@2 RS@3" in sc.draft(FRONT + said).text


def test_a_name_in_quotes_with_its_length_is_no_head() -> None:
    """`"Mill Wheel" (8)` over its row is danced in the part above."""
    said = 'A\n2 Triples\n\n"Mill Wheel" (8)\n DS DS DR S DR S RS DS DS RS\n R L L R R L RL R L RL\n'

    assert ["Triple x2", "Mill Wheel, right foot"] == part(said)


def test_beats_with_gaps_are_no_beats_of_their_row() -> None:
    """A figure whose beats stand under only some of its codes has no known length."""
    made = sc.draft(f'{FRONT}A\n"Back Buck"\n DS DT BA H BA H DS RS\n L R R R L L R LR\n &1 & 2 & 3 ...\n\n2 Basics\n')

    assert "Back Buck:" not in made.text and any("Back Buck" in each for each in made.open)


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("ds ds ds br-up fwd R diag", "DS DS DS BR UP"),
        ("Triple to the L diagonal", "Triple"),
        ("DS DS DS RS   to the left", "DS DS DS RS"),
        ("Triple (4), 2 Basics (4)", "Triple"),
        ("Cowboy, turn 1/2 R on the RS's", "Cowboy, turn 1/2 right"),
        ("Rocking Chair, 4 of them, 1/4 L each", "Rocking Chair x4, turn 1/4 left"),
        ("2 Triples, 1/4 L on 1st, stay on 2nd", "Triple x2, turn 1/4 left on 1st"),
        ("Triple (8)", "? 8 beats"),
    ],
)
def test_places_numbers_and_beats_beside_a_cue(line: str, wanted: str) -> None:
    """A side that is a place is no foot; a number alone in brackets is beats; `4 of them` is how often; the time that
    stays does not turn."""
    assert wanted == part(f"A\n{line}\n4 Basics\n")[0].split(" (")[0]


def test_a_table_says_beats_places_and_the_same_row_on_the_other_foot() -> None:
    """`Where` is a place and no foot; `same, R ft` is the figure of the row above on that foot; `hold` in the
    introduction is the wait, as long as its cell says."""
    made = sc.draft(
        "Fuller's Ford (clogging)\n\n| Part | Ct | Figure | Steps | Where |\n| Intro | 16 | hold | - | snap |\n"
        "| A | 4 | Gosling Run | DS DS(xif) R(os) S(xif) R(os) S(xif) | L |\n| A | 4 | Gosling Run | same, R ft | R |\n"
    ).text

    assert "wait: 16 beats" in made
    assert "Gosling Run: DS DS RS RS (xif, os, xif, os, xif)" in made
    assert "  Gosling Run, 4 beats (to the left)\n  Gosling Run, right foot, 4 beats (to the right)\n" in made


def test_a_figure_spelled_below_the_last_part_is_no_dance() -> None:
    """Neither its name, nor the feet and the beats under its row are danced there."""
    said = "A\n2 Gosling Runs (16)\n\nGosling Run:  DS DR-S DR-S RS DS DS DS RS\n  L L R R L RL R L R LR\n  1 2 3 4 5 6 7 8\n"

    assert ["Gosling Run x2"] == part(said)


def test_braces_are_no_name() -> None:
    """`{DS RS RS RS} L` is the row on that foot."""
    assert ["DS(L) RS RS RS", "DS RS DS RS"] == part("A\n{DS RS RS RS} L\n{DS RS} twice\n")


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("Step touch 4x slow, 2 beats each", "S@1 TCH@2 S@3 TCH@4 S@5 TCH@6 S@7 TCH@8"),
        ("Four slow stomps, left right left right, 2 beats each", "STO(L) HOLD STO(R) HOLD STO(L) HOLD STO(R) HOLD"),
        ("Stomps L R L R, 1 beat each", "STO(L) STO(R) STO(L) STO(R)"),
        ("(2)x7 Basic   DS RS", "Basic x7"),
        ("(2)x4 Gander   with a honk", "? 8 beats"),
        ("Stomp   STO   R   (1)", "Stomp, right foot"),
        ("Stomp Stomp   STO-STO   R-L", "STO(R) STO(L)"),
    ],
)
def test_beats_of_each_time_are_those_of_all_times_together(line: str, wanted: str) -> None:
    """`4x, 2 beats each` and `(2)x4` last eight beats, also where the words are not read; steps in words and in codes
    beside them are the same steps."""
    assert wanted == part(f"A\n{line}\n4 Basics\n")[0].split(" (slowly")[0]


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Step left, kick right; step right, kick left. Do this twice. (8 beats)", "2 times:"),
        ("step touch L, step touch R", "S(L)@1 TCH@2 S(R)@3 TCH@4"),
        ("step left, touch, step right, touch (4)", "S(L)@1 TCH@2 S(R)@3 TCH@4"),
        ("step, step, step, clap", "S S S CLAP"),
        ("rock left, step right (1)", "RK(L) S(R)"),
        ("toe heel toe heel (2)", "TW HD TW HD"),
    ],
)
def test_steps_to_and_fro_in_words_have_a_beat_each(said: str, wanted: str) -> None:
    """`step touch` is two beats, though a row of codes has a touch on the half; a foot behind it is that of the step.
    Stated beats decide, and buck steps stay on halves."""
    assert part(f"Tag\n{said}\n2 Basics\n")[0] == wanted
