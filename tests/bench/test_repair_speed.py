"""What mending a sheet costs, against a CP-SAT model and an answer-set program of the same problem, in one run.

Run with `pytest -m bench -s`.  All three get a sheet that is loaded already; stepcheck reads its own tables of it, the
others get them ready-made, so that building the model or grounding the program is theirs, as it is ours.  A rival that
needs more than `LIMIT` seconds or 4 GB is stopped there, and counts as that long.
"""

import gc
import resource
from collections.abc import Callable
from multiprocessing import get_context
from multiprocessing.connection import Connection
from random import Random
from statistics import median
from time import perf_counter, process_time
from typing import Any

import pytest

from stepcheck.fixes.fix import repair
from stepcheck.program.routine import Routine
from tests.bench import goals
from tests.bench.problems import PRICES, WITHOUT, Problem, Sized, full_book, least, load, problem, search, sheet
from tests.bench.rivals import by_answer_sets, by_constraints

pytestmark = pytest.mark.bench

FIGURES = 160
LIMIT = 30  # seconds that a rival may take
MEMORY = 4 * 2**30
SIZES = [(parts, mistakes) for parts in (3, 5, 7) for mistakes in (1, 2, 3)]  # of eight rows each: 24 to 56 lines


def asked(pipe: Connection, solve: Callable[[Problem], int | None], tables: Problem) -> None:
    """Solve a problem in a process of its own, with so much memory, and send the optimum and the seconds."""
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    began = perf_counter()
    try:
        found: Any = solve(tables)
    except (MemoryError, RuntimeError) as error:
        found = type(error).__name__
    pipe.send((found, perf_counter() - began))


def rival(solve: Callable[[Problem], int | None], tables: Problem) -> tuple[int | None, float]:
    """Return the optimum that a rival finds, None if it does not end, and its seconds."""
    context = get_context("fork")
    ours, theirs = context.Pipe()
    process = context.Process(target=asked, args=(theirs, solve, tables))
    process.start()
    theirs.close()
    try:
        found, seconds = ours.recv() if ours.poll(LIMIT) else (None, float(LIMIT))
    except EOFError:
        found, seconds = None, float(LIMIT)
    process.kill()
    process.join()
    return (found, seconds) if isinstance(found, int) else (None, max(seconds, 0.0) if found is None else float(LIMIT))


def timed(call: Callable[[], Any]) -> tuple[Any, float]:
    """Return what a call returns, and its seconds."""
    began = perf_counter()
    found = call()
    return found, perf_counter() - began


@pytest.fixture(scope="module")
def sheets(tmp_path_factory: pytest.TempPathFactory) -> list[tuple[Routine, str]]:
    """Sheets that need mending, the same on every run, each with its size in words."""
    folder, out, number = tmp_path_factory.mktemp("book"), [], 0
    for parts, mistakes in SIZES:
        optimum: int | None = 0
        while not optimum:
            random, number = Random(number), number + 1
            book = full_book(random, folder, FIGURES)
            routine = load(sheet(random, book, Sized(parts, 8, 14, mistakes)), book)
            optimum = least(search(routine, PRICES))
        out.append((routine, f"{parts * 8} lines, {mistakes} changed"))
    return out


def test_the_least_fix_against_other_solvers(sheets: list[tuple[Routine, str]]) -> None:
    """The optimum is found at least ten times as fast as by either rival; those that end in time find the same."""
    seconds: dict[str, list[float]] = {"stepcheck": [], "CP-SAT": [], "clingo": []}
    for routine, size in sheets:
        found, took = timed(lambda routine=routine: search(routine, PRICES))
        ours = least(found)
        tables = problem(found.base.search)
        seconds["stepcheck"].append(took)
        line = f"\n  {size:<24} cost {ours}: {1000 * took:6.0f} ms"
        for name, solve in (("CP-SAT", by_constraints), ("clingo", by_answer_sets)):
            theirs, took = rival(solve, tables)
            seconds[name].append(took)
            line += f", {name} {1000 * took:6.0f} ms{'' if theirs is not None else ' (stopped)'}"
            assert theirs in (ours, None), f"{name} finds {theirs}, stepcheck {ours}:\n{routine.sheet.source.text}"
        print(line, end="")
    middle = {name: median(took) for name, took in seconds.items()}
    for name, goal in (("CP-SAT", goals.CP_SAT), ("clingo", goals.CLINGO)):
        each = [theirs / ours for theirs, ours in zip(seconds[name], seconds["stepcheck"], strict=True)]
        goal.show(middle[name] / middle["stepcheck"], f"least of one sheet {min(each):.1f}")


def test_a_fix_with_its_evidence(sheets: list[tuple[Routine, str]]) -> None:
    """The report after the least fix, by both engines, and the question to z3 whether anything is cheaper, included."""
    took, work = [], []
    _, once = timed(lambda: [repair(routine, without=WITHOUT, level="any", limit=1) for routine, _ in sheets[:2]])
    print(
        f"\n  what a process does once, loading z3 and its solvers, is not counted ({1000 * once:.0f} ms with two repairs)",
        end="",
    )
    gc.collect()
    gc.freeze()  # what the tests have piled up is not looked through again and again
    for routine, size in sheets:
        before = process_time()
        found, seconds = timed(lambda routine=routine: repair(routine, without=WITHOUT, level="any", limit=1))
        work.append(1000 * (process_time() - before))
        took.append(1000 * seconds)
        known = f"cost {found[0].cost}, z3: {found[0].evidence.solver}" if found else "nothing to mend"
        print(f"\n  {size:<24} {known}: {1000 * seconds:6.0f} ms", end="")
    gc.unfreeze()
    goals.FIX.show(
        median(took), f"worst {max(took):.0f} ms; by processor time {median(work):.0f} ms, worst {max(work):.0f} ms"
    )
