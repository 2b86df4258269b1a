"""z3 behind its wall: verdicts, values, budgets, interruption."""

import subprocess
import sys
import threading

import pytest

from stepcheck.proof import solver
from stepcheck.proof.solver import BudgetSpent, Session, satisfiable, true, version

TEXT = "(declare-const a (_ BitVec 3))\n(declare-const b Bool)\n(assert (= b (bvugt a #b101)))"
HARD = (
    "(declare-const x (_ BitVec 40))\n(declare-const y (_ BitVec 40))\n"
    "(assert (= (bvmul x y) #x8f3a5c71e9))\n(assert (bvugt x #x0000000001))\n(assert (bvugt y #x0000000001))\n"
    "(assert (= ((_ extract 39 20) x) #x00000))\n(assert (= ((_ extract 39 20) y) #x00000))"
)


def test_the_version_is_a_number() -> None:
    """The version of z3 can be told."""
    assert all(piece.isdigit() for piece in version().split("."))


def test_a_text_is_decided() -> None:
    """Satisfiable and not are told apart."""
    assert satisfiable(TEXT)
    assert not satisfiable(TEXT + "\n(assert b)\n(assert (= a #b000))")


def test_a_session_answers_with_values() -> None:
    """Clauses narrow down the values, which are plain numbers."""
    session = Session(TEXT, {"a": 3, "b": 0})
    values = session.ask([true(["b"]), (("a", 7, False),)])
    assert values is not None
    assert (6, 1) == (values["a"], values["b"])


def test_questions_leave_nothing_behind() -> None:
    """An unsatisfiable question does not change the next."""
    session = Session(TEXT, {"a": 3, "b": 0})
    assert session.ask([true(["b"]), (("a", 0, True),)]) is None
    assert session.ask([true(["b"])]) is not None


def test_texts_leave_nothing_behind() -> None:
    """A name may mean something else in the next text, after one that cannot be read as well."""
    assert satisfiable("(declare-const a Bool)\n(assert a)")
    assert satisfiable("(define-sort W () (_ BitVec 2))\n(declare-const a W)\n(assert (= a #b10))")
    with pytest.raises(Exception, match="unknown constant b"):
        satisfiable("(declare-const a Bool)\n(assert (and a b))")
    assert satisfiable(TEXT)
    assert not satisfiable("(define-sort W () (_ BitVec 3))\n(declare-const a W)\n(assert (not (= a a)))")


def test_a_script_sets_its_logic() -> None:
    """Whole scripts are read, one after the other."""
    for _ in range(2):
        assert not satisfiable("(set-logic QF_BV)\n(declare-const a Bool)\n(assert (and a (not a)))\n(check-sat)")


def test_an_empty_clause_is_false() -> None:
    """Of no literals none is true."""
    assert Session(TEXT, {}).ask([()]) is None


def test_what_rewrites_to_false_needs_no_solver(monkeypatch: pytest.MonkeyPatch) -> None:
    """z3's rewriter settles what holds whatever is chosen; what it leaves, or has no steps for, is asked."""
    def no_solver(*_: object) -> None:
        raise AssertionError("asked")

    monkeypatch.setattr(solver, "_solver", no_solver)
    plain = "(declare-const a (_ BitVec 2))\n(assert (not (= (bvxor (bvxor a #b01) #b01) a)))"
    assert not satisfiable(plain)
    with pytest.raises(AssertionError):
        satisfiable(plain, budget=1)
    with pytest.raises(AssertionError):
        satisfiable(TEXT)


def test_a_spent_budget_is_no_verdict() -> None:
    """A question that costs more than its budget raises, whatever z3 has found by then."""
    with pytest.raises(BudgetSpent):
        satisfiable(HARD, budget=100)


def test_an_interruption_is_a_keyboard_interrupt(monkeypatch: pytest.MonkeyPatch) -> None:
    """z3 swallows Ctrl-C and answers "unknown": the user's wish is passed on."""

    class Stopped:
        def set(self, *_: object) -> None:
            pass

        def add(self, *_: object) -> None:
            pass

        def check(self) -> str:
            return "unknown"

        def reason_unknown(self) -> str:
            return "interrupted from keyboard"

    monkeypatch.setattr(solver, "_solver", lambda *_: Stopped())
    with pytest.raises(KeyboardInterrupt):
        satisfiable(TEXT)


def test_threads_have_contexts_of_their_own() -> None:
    """Contexts are never shared, so threads do not crash."""
    found: list[bool] = []

    def work() -> None:
        found.extend(satisfiable(TEXT) for _ in range(20))

    threads = [threading.Thread(target=work) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert [True] * 80 == found


def test_the_modules_of_the_engine_load_no_z3() -> None:
    """z3 is loaded by the first question only."""
    code = "import sys, stepcheck.proof.prove, stepcheck.proof.encode, stepcheck.proof.solver; sys.exit('z3' in sys.modules)"
    assert 0 == subprocess.run([sys.executable, "-c", code], check=False).returncode
