"""Two solvers that know nothing of stepcheck, CP-SAT and clingo, find the same optimum as the search for fixes.

They get the tables of the problem and nothing else: no bound and no order.  The prices are drawn too, so that an
optimum is not always one of a few even numbers.
"""

from pathlib import Path
from random import Random

import pytest

from stepcheck.fixes.fix import repair
from stepcheck.model.outcome import Verdict
from stepcheck.program.routine import Routine
from tests.bench.problems import WITHOUT, Sized, least, load, problem, search, sheet, toy_book
from tests.bench.rivals import by_answer_sets, by_constraints

IN_CI = 90
NIGHTLY = 10_000
CHUNK = 30


def drawn(number: int, folder: Path) -> tuple[Routine, dict[str, int]]:
    """Return a random routine and the prices of changes; the same ones for the same number."""
    random = Random(number)
    book = toy_book(random, folder)
    parts, rows = random.choice(((1, 1), (1, 2), (1, 3), (2, 1), (2, 2)))
    text = sheet(random, book, Sized(parts, rows, 5, random.randint(1, 3)))
    prices = {kind: random.randint(1, 3) for kind in ("figure", "turn", "times")} | {"claim": random.randint(2, 5)}
    return load(text, book), prices


def agreed(number: int, folder: Path) -> int | None:
    """Return the optimum of a problem, on which all three agree."""
    routine, prices = drawn(number, folder)
    found = search(routine, prices)
    assert found.base.search is not None
    tables = problem(found.base.search)
    ours = least(found)
    theirs = {"CP-SAT": by_constraints(tables), "clingo": by_answer_sets(tables)}
    assert {"CP-SAT": ours, "clingo": ours} == theirs, f"problem {number}:\n{routine.sheet.source.text}\n{prices}"
    return ours


@pytest.mark.parametrize("start", range(0, IN_CI, CHUNK))
def test_other_solvers_find_the_same_optimum(start: int, tmp_path: Path) -> None:
    """On random sheets no solver finds anything cheaper or has to pay more, and few are right as they are drawn."""
    optima = [agreed(number, tmp_path) for number in range(start, start + CHUNK)]

    assert len(set(optima)) >= 5 and optima.count(0) <= CHUNK // 3


def test_what_is_found_costs_what_they_say(tmp_path: Path) -> None:
    """`repair` itself, with its report and its evidence, comes to the optimum of the others."""
    for number in range(20):
        routine, prices = drawn(number, tmp_path)
        found = repair(routine, costs=prices, without=WITHOUT, level="any", limit=1, most_cost=40)
        optimum = agreed(number, tmp_path)

        assert found.needed is (optimum != 0)
        assert [optimum] * found.needed == [fix.cost for fix in found]
        assert all(fix.evidence.complete and fix.report.verdict is Verdict.PROVED for fix in found)


@pytest.mark.nightly
def test_other_solvers_find_the_same_optimum_of_very_many(tmp_path: Path) -> None:
    """The same for ten thousand problems, none of which CI looks at."""
    optima = [agreed(number, tmp_path) for number in range(IN_CI, IN_CI + NIGHTLY)]

    assert len(set(optima)) >= 10 and None not in optima
