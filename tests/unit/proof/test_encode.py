"""The text of a program: every figure from every state, and texts that come out alike."""

import itertools
import subprocess
import sys

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stepcheck.model.dance import EIGHTHS, TICKS, Figure, Foot, Repeat, Test, Weight
from stepcheck.proof.encode import encode
from stepcheck.proof.footwork import footwork, readings
from stepcheck.proof.solver import satisfiable
from stepcheck.proof.survey import compares, extent, leaning
from stepcheck.proof.terms import bits
from tests.program_reference import State, figure_from
from tests.programs import (
    BACK,
    CHANGE,
    HOLD,
    JUMP,
    LEAP,
    MOVEMENTS,
    SPIN,
    STEP,
    STOMP,
    SWING,
    Maker,
    figure,
    figures,
    part,
    step,
    word,
)

SORTS = ["(define-sort W () (_ BitVec 2))", "(define-sort F () (_ BitVec 1))", "(define-sort T () (_ BitVec 6))"]
SLOW = settings(deadline=None, suppress_health_check=list(HealthCheck), max_examples=120)


def usual(movement):
    """Return the usual sense of a movement."""
    return movement.senses[movement.usual]


def agrees(made: Figure) -> bool:
    """Whether the functions of a figure give what the reference gives, from every weight and with both leads."""
    text = footwork(made, {}, 6, 6)
    wrong, functions = [], [f"(define-fun f ((w W) (l F)) W {text.weight})"]
    if text.turn:
        functions.append(f"(define-fun ft ((w W) (l F)) T {text.turn})")
    acts = text.chooses == "true"
    for weight, lead in itertools.product(Weight, Foot):
        chosen = lead if weight is Weight.BOTH and acts else None
        after, turn = figure_from(State(weight, 0), made, chosen, made.versions[0], usual)
        wrong.append(f"(not (= (f {bits(weight, 2)} {bits(lead, 1)}) {bits(after, 2)}))")
        if text.turn:
            wrong.append(f"(not (= (ft {bits(weight, 2)} {bits(lead, 1)}) {bits(turn, 6)}))")
        elif turn:
            return False
    return not satisfiable("\n".join([*SORTS, *functions, f"(assert (or {' '.join(wrong)}))"]))


@SLOW
@given(figures())
def test_every_figure_does_what_the_meaning_says_from_every_weight_with_both_leads(made: Figure) -> None:
    """The functions of random figures equal the plain reading of the page, exhaustively over weights and leads."""
    assert agrees(made)


def test_every_row_of_two_movements_does_what_the_meaning_says() -> None:
    """All rows of two movements, written feet or none, either lead of the figure: nothing is left to chance."""
    moves = [(movement, foot) for movement in MOVEMENTS for foot in (None, *Foot)]
    rows = itertools.product(moves, moves, Foot)
    made = [figure("Row", one, two, turn=1, lead=lead) for one, two, lead in rows]
    assert [] == [row for row in made if not agrees(row)]


def test_a_figure_on_both_feet_only_chooses_nothing() -> None:
    """Where no free or supporting foot acts there is no lead to choose."""
    assert "false" == footwork(figure("Rest", JUMP, HOLD), {}, 6, 6).chooses


def test_an_open_word_decides_whether_a_movement_takes_weight() -> None:
    """The reading of an open word selects the sense."""
    open_words = readings((word(STOMP),))
    text = footwork(figure("Stomp", STOMP), open_words, 6, 6)
    lines = [*SORTS, "(declare-const word0 (_ BitVec 1))", f"(define-fun f ((w W) (l F)) W {text.weight})"]
    stays = "(assert (= (f #b00 #b0) #b00))"
    assert satisfiable("\n".join([*lines, "(assert (= word0 #b1))", stays]))
    assert not satisfiable("\n".join([*lines, "(assert (= word0 #b0))", stays]))


def test_no_turn_or_time_overflows_its_bits() -> None:
    """The widths hold the largest sum, for long repeats as well."""
    times = 10**9
    assert (times * (2 + EIGHTHS), times * 24) == extent((Repeat(1, times, (step(SPIN),)),))


def test_a_body_knows_what_it_compares_in_its_own_frame() -> None:
    """A check inside a pass is the pass's own."""
    check = Maker().check(Test.FACING, 0)
    assert compares((Repeat(1, 2, (check,)),), Test.FACING)
    assert not compares((part(check),), Test.FACING)


def test_the_leaning_of_a_body_is_the_sum_of_its_turns() -> None:
    """The guess at a side adds what is written and what is built in."""
    assert 2 + 2 * -2 + 1 == leaning((step(SPIN), Repeat(1, 2, (step(SWING),)), part(step(CHANGE, 1))))


def test_equal_programs_have_the_same_text() -> None:
    """The text hangs on nothing but the program."""

    def made():
        maker = Maker()
        return maker.program(step(LEAP), maker.choice((step(BACK),), (step(CHANGE), step(CHANGE))))

    assert encode(made(), {}).lines == encode(made(), {}).lines


def test_the_text_is_free_of_hash_order() -> None:
    """Two processes with different hash seeds write the same bytes."""
    code = (
        "from tests.programs import *\nfrom stepcheck.proof.encode import encode\nm = Maker()\n"
        "p = m.program(step(LEAP), m.choice((step(SPIN),), (step(CHANGE),)), m.check(Test.FOOT, 0))\n"
        "print(encode(p, {}).lines)"
    )
    texts = {
        subprocess.run(
            [sys.executable, "-c", code], env={"PYTHONHASHSEED": seed}, capture_output=True, text=True, check=True
        ).stdout
        for seed in ("1", "2")
    }
    assert 1 == len(texts)


@given(st.integers(-32, 31))
def test_bits_are_twos_complement(value: int) -> None:
    """A negative turn is its complement."""
    assert value % 64 == int(bits(value, 6).removeprefix("#b"), base=2)


def test_a_pass_that_begins_alike_is_asked_once() -> None:
    """The same part again adds only the claims at its start to the question, and all of them to a text that is read."""
    maker = Maker()
    lead, clock = maker.check(Test.LEAD, 0), maker.check(Test.CLOCK, 2 * TICKS)
    program = maker.program(*(part(lead, step(CHANGE), step(CHANGE), clock),) * 4)
    asked, read = (
        [[point.claim for point in encode(program, {}, once=once).points].count(check.claim.id) for check in (lead, clock)]
        for once in (True, False)
    )
    assert ([4, 1], [4, 4]) == (asked, read)


def test_figures_that_do_the_same_are_one_function() -> None:
    """What is written once is read once."""
    program = Maker().program(step(CHANGE), step(figure("Another", STEP)))
    assert 1 == sum("define-fun figure" in line for line in encode(program, {}).lines)


def test_a_step_is_one_line_at_most() -> None:
    """The text grows with the distinct lines, by a few characters for a step."""
    maker = Maker()
    program = maker.program(*(step(figure("Two", STEP, STEP)) for _ in range(1)), *(step(CHANGE) for _ in range(100)))
    assert 40 > len(encode(program, {}).lines)
