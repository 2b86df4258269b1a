"""Tests of stepcheck.proof.script: what a script says, read back by a reader of our own."""

import subprocess
import sys
from pathlib import Path

import pytest
from attrs import evolve

from stepcheck.books.footwork import danced
from stepcheck.model.claims import Test
from stepcheck.model.dance import TICKS, Pass, Program, Repeat, Step
from stepcheck.model.outcome import Verdict
from stepcheck.proof import names
from stepcheck.proof.decide import decide, script
from stepcheck.proof.prelude import Widths, prelude
from stepcheck.proof.solving import Session
from stepcheck.report.pipeline import load
from tests.programs import BACK, STEP, TOUCH, Maker, figure, part, step
from tests.unit.proof.smtlib import Reading, Term, read

SPECS = Path(__file__).parents[3] / "specs"
SHEETS = sorted(SPECS.glob("routines/*.routine"))
FAULTY = [path for path in sorted(SPECS.glob("faulty/*.routine")) if load(path).program is not None]


def program_of(path: Path) -> Program:
    """Return the program of a sheet."""
    program = load(path).program
    assert program is not None
    return program


VOCABULARY = set(Reading(prelude(Widths(8, 8, 16))).defined)


@pytest.mark.parametrize("path", [*SHEETS, *FAULTY], ids=lambda path: path.stem)
def test_nothing_is_folded(path: Path) -> None:
    """No comparison, sum or condition outside the vocabulary has literals only, names of literals put in."""
    assert not list(Reading(script(program_of(path))).folded(VOCABULARY))


def test_the_reader_finds_what_is_folded() -> None:
    """The law above can fail: names of literals, sums of them and conditions on them are found out."""
    text = """(define-fun a () (_ BitVec 4) (_ bv3 4))(define-fun b () (_ BitVec 4) (bvneg a))(declare-const d (_ BitVec 4))
    (assert (= a #b0011))(assert (= d a))(assert (= d (bvadd a b)))(assert (ite true (= d a) (= d b)))"""
    found = list(Reading(text).folded(set()))
    assert found == [["=", "a", "#b0011"], ["bvadd", "a", "b"], ["ite", "true", ["=", "d", "a"], ["=", "d", "b"]]]


def movements(term: Term) -> list[str]:
    """Return the movements of a figure as it is stated: the functions bound to w, outermost first."""
    found = []
    while isinstance(term, list) and term[0] == "let":
        found += [
            bound[0].strip("|").removesuffix(" of a foot")
            for name, bound in term[1]
            if name == "w" and bound[0] != "weight"
        ]
        term = term[2]
    return found


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_every_movement_of_every_figure_stands_in_the_script(path: Path) -> None:
    """Each figure that is danced is stated movement by movement, in order, and what is asserted hangs on it."""
    program, reading = program_of(path), None
    reading = Reading(script(program))
    used = reading.used()
    stated = [movements(command[4]) for name, command in reading.defined.items() if name in used]
    figures = danced(program)
    assert figures
    for _, one in figures:
        assert [action.movement.name for action in one.versions[one.usual].actions] in stated, one.name


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_every_claim_that_is_reached_stands_in_the_script(path: Path) -> None:
    """A sentence that is proved has a bit that is named after its line, and what is asserted hangs on it."""
    program = program_of(path)
    used = Reading(script(program)).used()
    for claim, outcome in zip(program.claims, decide(program), strict=True):
        if outcome.verdict is Verdict.PROVED:
            assert any(name.startswith(f"|{claim.line}: ") for name in used), claim.text


@pytest.mark.parametrize("path", SHEETS[:4], ids=lambda path: path.stem)
def test_a_script_asks_one_question_in_plain_smt_lib(path: Path) -> None:
    """The head says what is asked; the logic is QF_BV; there is one check, and one assertion beside those that name
    terms."""
    text = script(program_of(path))
    assert text.startswith("; Does every sentence of this sheet hold")
    commands = read(text)
    assert ["set-logic", "QF_BV"] in commands
    assert commands[-2:] == [["assert", ["not", ["=", "sentences", "none"]]], ["check-sat"]]
    assert {command[0] for command in commands} <= {
        "set-logic",
        "define-sort",
        "define-fun",
        "declare-const",
        "assert",
        "check-sat",
    }


def test_the_script_is_the_text_that_is_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is handed out is what z3 has read: its vocabulary, its text, and the question."""
    asked = []
    reading = Session.reading.__func__

    def listening(cls, vocabulary, text, widths, result, budget, shared):
        asked.append(vocabulary + shared.text + text)
        return reading(cls, vocabulary, text, widths, result, budget, shared)

    monkeypatch.setattr(Session, "reading", classmethod(listening))
    program = program_of(SPECS / "routines" / "ferry_lights.routine")
    decide(program)
    assert len(asked) == 1
    assert script(program) == asked[0] + "(check-sat)\n"
    assert asked[0].endswith("(assert (not (= sentences none))) ; some sentence is false\n")


def test_the_same_program_has_the_same_script_in_every_process() -> None:
    """No hash seed shows in a script."""
    code = (
        "from stepcheck.report.pipeline import load; from stepcheck.proof.decide import script; import hashlib;"
        f"print(hashlib.sha256(script(load({str(SPECS / 'routines' / 'night_ferry.routine')!r}).program).encode()).hexdigest())"
    )
    found = {
        subprocess.run(
            [sys.executable, "-c", code], env={"PYTHONHASHSEED": seed}, capture_output=True, check=True
        ).stdout
        for seed in ("0", "1")
    }
    assert len(found) == 1


@pytest.mark.parametrize(
    ("eighths", "ticks", "wide"),
    [
        (7, 15, Widths(4, 4, 16)),
        (8, 16, Widths(8, 8, 16)),
        (127, 255, Widths(8, 8, 16)),
        (128, 256, Widths(12, 12, 16)),
    ],
)
def test_widths_hold_what_they_are_for(eighths: int, ticks: int, wide: Widths) -> None:
    """A turn of so many eighths has a sign beside it, and a time fits, at the border and behind it."""
    assert Widths.holding(eighths, ticks, 1) == wide


@pytest.mark.parametrize("times", [1, 3, 7, 15, 31, 63, 127, 255, 511, 1023, 4095, 65535])
def test_sums_do_not_overflow(times: int) -> None:
    """Turns and times at the border of a power of two are told from those that are as much more as a word of bits
    holds."""
    for more in (0, 1 << 4, 1 << 8, 1 << 12, 1 << 16, 1 << 20):
        maker = Maker()
        turn, clock = maker.check(Test.TURN, -2 * times + more), maker.check(Test.CLOCK, 2 * TICKS * times + more)
        program = maker.program(part(Repeat(1, times, (step(BACK, -2),)), turn, clock))
        wanted = Verdict.REFUTED if more else Verdict.PROVED
        assert [outcome.verdict for outcome in decide(program)] == [wanted, wanted]


def test_a_program_too_large_to_be_stated_has_no_script(monkeypatch: pytest.MonkeyPatch) -> None:
    """Its claims are undecided for want of budget, and nobody is asked."""
    monkeypatch.setattr(names, "MOST_TEXT", 100)
    maker = Maker()
    program = maker.program(step(BACK), maker.check(Test.LEAD, 0))
    assert [(one.verdict, one.reason) for one in decide(program)] == [(Verdict.UNDECIDED, "budget")]
    assert script(program) == "; This dance is too large to be stated: the solver has not been asked.\n"


def test_names_of_the_sheet_never_mean_anything_else() -> None:
    """Figures, movements, parts and claims may be called what the script itself calls something."""
    words = (
        "left",
        "turns",
        "end",
        "ends",
        "both",
        "let",
        "and",
        "bvadd",
        "8 beats",
        "no turn",
        "12:00",
        "reading of x",
        "start",
        "d",
        "w",
    )
    words += ("a pass begins on left", "after 1: left", "left #2", "a|b\\c", "1: claim 1")
    maker = Maker()
    items = []
    for text in words:
        made = figure(text, evolve(STEP, name=text), TOUCH)
        items.append(
            Pass(1, text, 0, (Step(1, made), maker.check(Test.FOOT, 1), Step(1, made, 2), maker.check(Test.LEAD, 0)))
        )
    program = maker.program(
        *items, maker.check(Test.CLOCK, 4 * TICKS * len(words)), maker.check(Test.TURN, 2 * len(words))
    )
    assert {outcome.verdict for outcome in decide(program)} == {Verdict.PROVED}
    assert not list(Reading(script(program)).folded(VOCABULARY))
