"""cvc5 (https://cvc5.github.io), a solver that shares no code with z3, checks the scripts of our proofs."""

from pathlib import Path
from random import Random

import pytest
from attrs import evolve
from hypothesis import given

from stepcheck.fixes.evidence import Question, Stretch, stretches
from stepcheck.model.claims import Kind, Test
from stepcheck.model.dance import Forever, Program, Repeat, Walls
from stepcheck.model.outcome import Verdict
from stepcheck.proof.decide import decide, script
from stepcheck.report.pipeline import load
from tests import confirm
from tests.bench.problems import Sized, least, search, sheet, toy_book
from tests.bench.problems import load as load_text
from tests.confirm import answers
from tests.corpus.expected import sheets
from tests.laws.test_proof import changes
from tests.profiles import law
from tests.programs import BACK, SPIN, Maker, part, programs, step

SHEETS = sorted((Path(__file__).parents[2] / "specs" / "routines").glob("*.routine"))


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda path: path.stem)
def test_cvc5_confirms_the_proofs_of_the_catalogue(sheet: Path) -> None:
    """Every script of the demo catalogue is unsatisfiable for cvc5, too."""
    program = load(sheet).program
    assert program is not None
    assert ["unsat"] == answers(script(program))


def test_cvc5_gives_a_proof_object_without_a_step_on_trust() -> None:
    """Each step of it is checked by cvc5's own checker; of a script that can be satisfied there is none."""
    routine = load(next(path for path in SHEETS if path.stem == "barge_lane"))
    assert routine.program is not None
    assert confirm.proof(script(routine.program)).count(":rule") > 100
    wrong = load(sheets("faulty")[-1]).program
    assert wrong is not None
    with pytest.raises(ValueError, match="cvc5 says sat"):
        confirm.proof(script(wrong))


def test_cvc5_confirms_the_mistakes_of_the_catalogue() -> None:
    """The script of every faulty sheet that is understood is satisfiable for cvc5, where a claim that is reached is
    refuted, and only there."""
    told = {"sat": 0, "unsat": 0, "undecided": 0}
    for path in sheets("faulty"):
        program = load(path).program
        if program is not None:
            right, said = confirm.verdict(program)
            assert said == ("" if right == "undecided" else right), path
            told[right] += 1
    assert told["sat"] > 20 and not told["undecided"]


@pytest.mark.parametrize("seeds", [range(24), pytest.param(range(24, 100), marks=pytest.mark.nightly)], ids=str)
def test_cvc5_confirms_random_sheets(seeds: range) -> None:
    """So it is with sheets of every construct, blanks aside, from a writer that knows neither solver."""
    told = []
    for seed in seeds:
        program = confirm.drawn(seed).program
        if program is not None:
            right, said = confirm.verdict(program)
            assert said in (right, confirm.OPEN) or (right, said) == ("undecided", ""), seed
            told.append(said)
    many = len(seeds)
    assert (
        told.count("sat") > 0.4 * many and told.count("unsat") > 0.05 * many and told.count(confirm.OPEN) < 0.1 * many
    )


def test_the_runner_counts_what_cvc5_says_otherwise(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Of sheets and of what their fixes ask; where cvc5 says otherwise, the sheet's seed is printed and the status
    is 1."""
    assert 0 == confirm.main(["--sheets", "4", "--fixes"])
    said = capsys.readouterr().out
    assert "'script sat'" in said and "'script unsat'" in said and "otherwise" not in said
    monkeypatch.setattr(confirm, "answers", lambda *words, **rest: ["unknown"])
    assert 1 == confirm.main(["--sheets", "3"])
    assert "cvc5 unknown" in capsys.readouterr().out


@pytest.mark.parametrize("sheet", SHEETS[::5], ids=lambda path: path.stem)
def test_cvc5_notices_what_changes(sheet: Path) -> None:
    """The script of a changed program is satisfiable for cvc5 where something of it is refuted."""
    program = load(sheet).program
    assert program is not None
    for other in list(changes(program))[::9]:
        wrong = any(outcome.verdict is Verdict.REFUTED for outcome in decide(other))
        assert ["sat" if wrong else "unsat"] == answers(script(other))


@law(25)
@given(programs())
def test_cvc5_confirms_what_is_said_of_random_programs(program: Program) -> None:
    """A script is satisfiable for cvc5 exactly where the engine refutes a claim."""
    wrong = any(outcome.verdict is Verdict.REFUTED for outcome in decide(program))
    if program.claims:
        assert ["sat" if wrong else "unsat"] == answers(script(program))


def test_cvc5_confirms_repeats_and_endless_laps() -> None:
    """Sets, tables and long repeats are part of the script; a set without one of its elements is refused."""
    maker = Maker()
    turn = maker.choice((step(BACK, 2),), (step(BACK, -2),))
    lap = part(
        Repeat(1, 10**6, (step(BACK),)), Repeat(1, 20, (turn,)), maker.check(Test.CLOCK, 24 * (10**6 + 20)), lap=True
    )
    spin = part(step(SPIN), maker.check(Test.TURN, 2), lap=True)
    for body, walls in (((lap,), None), ((spin,), Walls(maker.claim(Kind.WALLS), 4, (step(SPIN),)))):
        program = evolve(
            maker.program(Forever(1, body), walls=walls),
            claims=tuple(maker.claims[:2] if walls is None else maker.claims[2:]),
        )
        assert {Verdict.PROVED} == {outcome.verdict for outcome in decide(program)}
        text = script(program)
        assert ["unsat"] == answers(text)
        guessed = [line for line in text.splitlines() if "may go on:" in line and line.endswith("() Bool true)")]
        assert guessed
        assert ["sat"] == answers(text.replace(guessed[0], guessed[0].replace("true", "false")))


@pytest.mark.parametrize("number", range(0, 12, 3))
def test_cvc5_confirms_that_nothing_cheaper_mends(number: int, tmp_path: Path) -> None:
    """The question of a repair is unsatisfiable for cvc5, too, and no longer for one more than the least cost."""
    asked = 0
    while not asked:
        random, number = Random(number), number + 1
        book = toy_book(random, tmp_path)
        found = search(load_text(sheet(random, book, Sized(2, 3, 5, 2)), book))
        cost, rows = least(found), found.base.search
        if cost and rows is not None:
            asked = cost
            dance = Stretch(rows.sketch.dance, cost, int(rows.sketch.program.lead.other))
            assert ["unsat"] == answers(Question(rows, (dance,)).text, one=True)
            assert ["unsat"] == answers(Question(rows, stretches(rows, cost)).text, one=True)
            assert ["sat"] == answers(Question(rows, (evolve(dance, bound=cost + 1),)).text, one=True)
