"""z3 behind its wall: verdicts, values, budgets, interruption."""

import ast
import subprocess
import sys
import threading
import weakref
from pathlib import Path

import pytest
import z3

from stepcheck import proof
from stepcheck.proof import solving
from stepcheck.proof.solving import BudgetSpent, Session, Shared, satisfiable, version

TEXT = "(declare-const a (_ BitVec 3))\n(declare-const b (_ BitVec 1))\n(assert (= b (bvcomp a #b101)))\n"
HARD = (
    "(declare-const x (_ BitVec 40))\n(declare-const y (_ BitVec 40))\n"
    "(assert (= (bvmul x y) #x8f3a5c71e9))\n(assert (bvugt x #x0000000001))\n(assert (bvugt y #x0000000001))\n"
    "(assert (= ((_ extract 39 20) x) #x00000))\n(assert (= ((_ extract 39 20) y) #x00000))"
)
FOLDER = Path(str(proof.__file__)).parent


def session(budget: int = 10**6) -> Session:
    """Return a session about `TEXT`."""
    return Session.reading("", TEXT, {"a": 3, "b": 1}, "b", budget)


def test_the_version_is_a_number() -> None:
    """The version of z3 can be told."""
    assert all(piece.isdigit() for piece in version().split("."))


def test_a_text_is_decided() -> None:
    """Satisfiable and not are told apart."""
    assert satisfiable(TEXT)
    assert not satisfiable(TEXT + "(assert (= b #b1))\n(assert (= a #b000))")


def test_a_session_answers_with_values() -> None:
    """Conditions narrow down the values, which are plain numbers, and leave nothing behind."""
    here = session()
    values = here.ask(here.bits([0]))
    assert values is not None
    assert (values["a"], values["b"]) == (5, 1)
    assert here.ask(here.bits([0]), here.equal("a", 3)) is None
    assert here.ask(here.bits([0]), here.unlike([here.equal("a", 3)])) is not None
    assert here.ask(here.one_of([])) is None


def test_what_is_asked_costs_its_budget() -> None:
    """The budget is that of all questions together."""
    here = session()
    here.ask(here.bits([0]))
    assert here.left < 10**6
    here.left = 0
    with pytest.raises(BudgetSpent):
        here.ask(here.bits([0]))


def test_a_question_pays_for_nothing_but_itself() -> None:
    """What z3 did before in the same process, for other sheets and other questions, is taken from no budget."""
    alone = session()
    alone.ask(alone.bits([0]))
    for number in range(30):
        satisfiable(TEXT + f"(assert (not (= (bvmul a a) #b{number % 8:03b})))")

    here = session()
    here.ask(here.bits([0]))

    assert abs(here.left - alone.left) < (10**6 - alone.left) / 2


def test_a_number_lies_between_two() -> None:
    """Numbers below zero are compared with their sign, others without."""
    here = session()
    word = here.part("a", 2, 0)
    found = set()
    for value in range(8):
        if here.ask(here.equal("a", value), here.within(word, -2, 1)) is not None:
            found.add(value)
    assert found == {6, 7, 0, 1}
    assert here.ask(here.equal("a", 7), here.within(word, 2, 7)) is not None
    assert here.ask(here.equal("a", 1), here.within(word, 2, 7)) is None


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


def test_a_vocabulary_is_read_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Texts that begin alike share what they begin with; of many beginnings only the last ones are kept."""
    monkeypatch.setattr(solving, "MOST_READERS", 2)
    for name in ("one", "two", "three", "one"):
        words = f"(define-fun {name} () (_ BitVec 2) #b01)"
        for _ in range(2):
            here = Session.reading(words, f"(declare-const a (_ BitVec 2))(assert (= a {name}))", {"a": 2}, "a", 10**6)
            values = here.ask()
            assert values is not None
            assert values["a"] == 1


def test_what_rewrites_to_false_needs_no_solver(monkeypatch: pytest.MonkeyPatch) -> None:
    """z3's rewriter settles what holds whatever is chosen; what it leaves, or has no steps for, is asked."""

    def no_solver(*_: object) -> None:
        raise AssertionError("asked")

    monkeypatch.setattr(solving, "_solver", no_solver)
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
        def add(self, *_: object) -> None:
            pass

        def check(self) -> str:
            return "unknown"

        def reason_unknown(self) -> str:
            return "interrupted from keyboard"

    monkeypatch.setattr(solving, "_solver", lambda *_: Stopped())
    with pytest.raises(KeyboardInterrupt):
        satisfiable(TEXT)


def test_what_begins_afresh_keeps_no_context_beside_its_own() -> None:
    """The old context is gone once a new one is made, since a worker may have no room for two."""
    satisfiable(TEXT)
    before, many = solving.context(), len(solving._CONTEXTS)
    gone = weakref.ref(before)
    del before
    assert satisfiable(TEXT)
    assert gone() is None
    assert many == len(solving._CONTEXTS)


def test_nothing_is_asked_after_all_was_stopped(monkeypatch: pytest.MonkeyPatch) -> None:
    """A context that is made after Ctrl-C would not hear of it any more, so none is."""
    monkeypatch.setattr(solving, "_STOPPED", threading.Event())
    assert satisfiable(TEXT)
    solving._STOPPED.set()
    with pytest.raises(KeyboardInterrupt):
        satisfiable(TEXT)


def test_a_text_whose_reading_is_stopped_is_no_error(monkeypatch: pytest.MonkeyPatch) -> None:
    """z3's reader says `canceled` as it does of a text that is none: the user's wish is passed on, and else the error."""
    monkeypatch.setattr(solving, "_STOPPED", threading.Event())
    with pytest.raises(z3.Z3Exception):
        satisfiable("(assert nothing)")
    satisfiable(TEXT)
    kept = solving.context()
    monkeypatch.setattr(solving, "afresh", lambda: None)
    assert solving.context() is kept
    solving._STOPPED.set()
    with pytest.raises(KeyboardInterrupt):
        satisfiable("(assert nothing)")


def test_threads_have_contexts_of_their_own() -> None:
    """Contexts are never shared, so threads do not crash."""
    found: list[bool] = []
    threads = [threading.Thread(target=lambda: found.extend(satisfiable(TEXT) for _ in range(20))) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert [True] * 80 == found


def test_the_modules_of_the_engine_load_no_z3() -> None:
    """z3 is loaded by the first question only."""
    code = "import sys, stepcheck.proof.decide; sys.exit('z3' in sys.modules)"
    assert 0 == subprocess.run([sys.executable, "-c", code], check=False).returncode


def test_the_engine_knows_values_only_and_one_module_knows_z3() -> None:
    """The folder imports the values of a program, their traversal and outcomes, and nothing of the walk; z3 is imported
    in one place."""
    found: dict[str, set[str]] = {}
    for path in FOLDER.glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            for name in names:
                found.setdefault(name, set()).add(path.stem)
    assert found["z3"] == {"solving"}
    ours = {name for name in found if name.startswith("stepcheck.") and not name.startswith("stepcheck.proof")}
    assert ours == {
        f"stepcheck.model.{name}" for name in ("claims", "dance", "floor", "items", "movements", "outcome", "source")
    }


def test_what_sheets_share_is_read_once_and_never_mistaken() -> None:
    """A symbol of one text means in the next what that text says, whether it is shared, shared otherwise, or its
    own."""

    def value(shared: str, own: str = "") -> int:
        texts = {shared: ("|x|",)} if shared else {}
        text = f"{own}(declare-const a (_ BitVec 4))(assert (= a |x|))"
        session = Session.reading("; shared\n", text, {"a": 4}, "a", 10**6, Shared(texts, frozenset({"|x|"})))
        found = session.ask()
        assert found is not None
        return found["a"]

    one, two = (f"(define-fun |x| () (_ BitVec 4) (_ bv{number} 4))" for number in (1, 2))
    assert [1, 2, 1, 2, 1] == [value(one), value(two), value(one), value("", two), value("", one)]
