"""cvc5 (https://cvc5.github.io), a solver that shares no code with z3, checks the scripts of our proofs."""

from pathlib import Path
from random import Random

import cvc5
import pytest
from attrs import evolve
from hypothesis import HealthCheck, given, settings

from stepcheck.fixes.shortest import Question, Stretch, stretches
from stepcheck.model.dance import Forever, Kind, Program, Repeat, Test, Walls
from stepcheck.model.outcome import Outcome, Verdict
from stepcheck.proof.prove import prove, script
from stepcheck.report.pipeline import load
from tests.bench.problems import Sized, least, search, sheet, toy_book
from tests.bench.problems import load as load_text
from tests.programs import BACK, CHANGE, POINT, SPIN, Maker, part, programs, step

SHEETS = sorted((Path(__file__).parents[2] / "specs" / "routines").glob("*.routine"))


def answers(text: str) -> list[str]:
    """Return what cvc5 says to each question of a script."""
    solver = cvc5.Solver()
    solver.setOption("incremental", "true")
    solver.setOption("strict-parsing", "true")
    parser = cvc5.InputParser(solver)
    parser.setStringInput(cvc5.InputLanguage.SMT_LIB_2_6, text, "script")
    found, symbols = [], parser.getSymbolManager()
    while not (command := parser.nextCommand()).isNull():
        said = command.invoke(solver, symbols).strip()
        if said:
            found.append(said)
    return found


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda path: path.stem)
def test_cvc5_confirms_the_proofs_of_the_catalogue(sheet: Path) -> None:
    """Every script of the demo catalogue is unsatisfiable for cvc5, too."""
    program = load(sheet).program
    assert program is not None
    assert ["unsat"] == answers(script(program, prove(program)))


@settings(deadline=None, suppress_health_check=list(HealthCheck), max_examples=25)
@given(programs())
def test_cvc5_confirms_the_proofs_of_random_programs(program: Program) -> None:
    """Whatever the engine proves of a random program follows for cvc5."""
    assert ["unsat"] == answers(script(program, prove(program)))


def test_cvc5_denies_what_does_not_follow() -> None:
    """A claim that is passed off as proved is found out."""
    maker = Maker()
    program = maker.program(maker.choice((step(CHANGE),), (step(POINT),)), maker.check(Test.FOOT, 0))
    lies = tuple(Outcome(claim.id, Verdict.PROVED) for claim in program.claims)
    assert ["sat"] == answers(script(program, lies))


def test_cvc5_confirms_repeats_and_endless_laps() -> None:
    """Induction and long repeats are part of the script."""
    maker = Maker()
    lap = part(Repeat(1, 10**6, (step(BACK),)), step(SPIN), maker.check(Test.TURN, 2), lap=True)
    program = maker.program(Forever(1, (lap,)), walls=Walls(maker.claim(Kind.WALLS), 4, (lap,)))
    outcomes = prove(program)
    assert {Verdict.PROVED} == {outcome.verdict for outcome in outcomes}
    assert ["unsat"] == answers(script(program, outcomes))


@pytest.mark.parametrize("number", range(0, 12, 3))
def test_cvc5_confirms_that_nothing_cheaper_mends(number: int, tmp_path: Path) -> None:
    """The question of a repair is unsatisfiable for cvc5, too, and no longer for one more than the least cost."""
    asked = 0
    while not asked:
        random, number = Random(number), number + 1
        book = toy_book(random, tmp_path)
        found = search(load_text(sheet(random, book, Sized(2, 3, 5, 2)), book))
        cost, levels = least(found), found.base.levels
        if cost and levels is not None:
            asked = cost
            program = levels.sketch.program
            dance = Stretch(levels.sketch.dance, cost, program.facing, int(program.lead.other))
            assert ["unsat"] == answers(Question(levels, (dance,)).text)
            assert ["unsat"] == answers(Question(levels, stretches(levels, cost)).text)
            assert ["sat"] == answers(Question(levels, (evolve(dance, bound=cost + 1),)).text)
