"""Same in, same out: what z3 spends on a program hangs on nothing but the program and its budget."""

import os
import subprocess
import sys
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import pytest

from stepcheck.model.outcome import Outcome
from stepcheck.proof import solving
from stepcheck.proof.decide import decide
from stepcheck.report.pipeline import load

SPECS = Path(__file__).parents[3] / "specs"

T = TypeVar("T")
Spent = tuple[tuple[Outcome, ...], tuple[int, ...]]
"""The outcomes, and what was left of the budget after each question."""


def alone(ask: Callable[[], T]) -> T:
    """Return what is found where nothing has been asked before: in a thread of its own."""
    found: list[T] = []
    thread = threading.Thread(target=lambda: found.append(ask()))
    thread.start()
    thread.join()
    return found[0]


@pytest.mark.parametrize("name", ["gap_in_the_fence", "lantern_pier", "rain_on_the_tarp", "two_smudges"])
def test_what_was_asked_before_changes_neither_what_is_spent_nor_a_verdict(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A sheet near its budget is decided or left open alike, alone and after others: each question spends the same."""
    left: list[int] = []
    ask = solving.Session.ask

    def noted(self: solving.Session, *conditions: Any) -> solving.Values | None:
        try:
            return ask(self, *conditions)
        finally:
            left.append(self.left)

    def told(budget: int) -> Spent:
        left.clear()
        return decide(program, budget), tuple(left)

    monkeypatch.setattr(solving.Session, "ask", noted)
    program = load(SPECS / "unfinished" / f"{name}.routine").program
    assert program is not None
    whole = alone(lambda: told(10**6))
    spent = 10**6 - whole[1][-1]
    for path in sorted((SPECS / "faulty").glob("*.routine"))[:8]:
        other = load(path).program
        assert other is None or decide(other)

    assert whole == told(10**6)
    last = spent - (whole[1][-2] - whole[1][-1])  # what is spent before the last question
    for budget in (last, spent - 1, spent, spent + 1):
        assert alone(lambda budget=budget: told(budget)) == told(budget)  # type: ignore[misc]


def test_a_question_by_itself_costs_the_same_after_others(monkeypatch: pytest.MonkeyPatch) -> None:
    """So does what fixes and songs ask, which may end near its budget: spent or not, it is so after others as well."""
    question = (
        "(declare-const x (_ BitVec 20))\n(declare-const y (_ BitVec 20))\n(assert (= (bvmul x y) #x2c3a5))\n"
        "(assert (bvult #x00001 x))\n(assert (bvult x #x00100))\n(assert (bvult #x00001 y))\n(assert (bvult y #x00400))"
    )
    work: list[int] = []
    decided = solving._satisfiable

    def noted(solver: Any) -> bool:
        try:
            return decided(solver)
        finally:
            work.append(solving._work(solver))

    def found(budget: int) -> tuple[str, int]:
        try:
            said = str(solving.satisfiable(question, budget))
        except solving.BudgetSpent:
            said = "spent"
        return said, work.pop()

    monkeypatch.setattr(solving, "_satisfiable", noted)
    whole = alone(lambda: found(10**7))
    near = [whole[1] * share // 100 for share in (50, 98, 99, 100)]
    first = [alone(lambda budget=budget: found(budget)) for budget in near]  # type: ignore[misc]
    assert {"spent", whole[0]} == {said for said, _ in first}
    for number in range(3):
        solving.satisfiable(question.replace("x2c3a5", f"x2c3a{number}"), 10**5 * 5)
    assert [whole, *first] == [found(budget) for budget in (10**7, *near)]


def test_no_hash_seed_changes_what_is_spent() -> None:
    """Questions are asked in an order that hangs on no seed of Python's hashes."""
    code = (
        "import sys; from stepcheck.proof import decide, solving; from stepcheck.report.pipeline import load\n"
        "ask = solving.Session.ask\n"
        "def noted(self, *conditions):\n"
        "    values = ask(self, *conditions); print(self.left); return values\n"
        "solving.Session.ask = noted\n"
        "print(decide.decide(load(sys.argv[1]).program))"
    )
    command = [sys.executable, "-c", code, str(SPECS / "unfinished" / "old_ferry_ticket.routine")]
    said = [
        subprocess.run(command, capture_output=True, env={**os.environ, "PYTHONHASHSEED": seed}, check=True).stdout
        for seed in ("0", "1", "2", "3")
    ]
    assert said == said[:1] * 4 and said[0]
