"""Try whether the tests see a change of the program: `python -m tests.mutants stepcheck/report/judge.py`.

cosmic-ray makes the mutants.  Every test is run once to learn which lines it comes to and what it costs; then each mutant
gets a process forked from one that has imported everything, in which the changed function takes the place of the old one,
and the tests that come to its statement are run, those first that are cheap and have killed often.  What is changed outside
functions is imported anew, which takes longer.

With `--sample 1000 --seed 7` a sample of the mutants of all files named is tried, with `--changed` at most so many on the
lines of the last commit.  `--learnt FILE` keeps what the tests come to, `--save FILE` a line of JSON for each mutant.
What stands in annotations is not changed; a mutant that doesn't compile, or compiles to the same, is none.
"""

import argparse
import ast
import gc
import importlib
import importlib.machinery
import json
import os
import random
import re
import resource
import select
import signal
import subprocess
import sys
import time
import traceback
import warnings
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import cache
from itertools import groupby
from pathlib import Path
from types import CodeType, FunctionType
from typing import Any

import coverage
import pytest
from attrs import frozen
from cosmic_ray import plugins
from cosmic_ray.ast import ast_nodes, get_ast
from hypothesis import Phase

from tests import profiles

ROOMS = ("model", "program", "walk", "proof", "report", "fixes")
ROOT = Path(__file__).parents[1]
HEAVY = ("hypothesis", "lark", "networkx", "z3", "rich", "click", "pathspec")
OPERATORS = {
    name.partition("/")[2]: kind()
    for name in plugins.operator_names()
    if not (kind := plugins.get_operator(name)).arguments()
}
QUIET = (
    *("-qq", "--no-header", "--no-summary", "-p", "no:cacheprovider", "--rootdir", str(ROOT)),
    *("-W", "ignore::pytest.PytestAssertRewriteWarning", "--assert=plain"),
)
PHASES = (Phase.explicit, Phase.generate)
"""Of laws: that one fails is enough, the least example isn't looked for."""
UNCHANGED = {"name", "string", "newline", "endmarker", "trailer", "arglist", "atom", "atom_expr", "expr_stmt", "suite"}
PUNCTUATION = {"(", ")", "[", "]", "{", "}", ",", ".", ":", "="}
MEMORY = 6 << 30
"""Bytes that the tests of a mutant may take."""


@frozen
class Mutant:
    """A file with one place changed: where it is, the operator of cosmic-ray, and the changed text."""

    file: str
    line: int
    column: int
    operator: str
    text: str

    def name(self) -> tuple[str, int, int, str, str, str]:
        """Return what tells it apart: file, place, operator, and the first line that is changed, before and after."""
        old, new = (ROOT / self.file).read_text(encoding="utf-8").splitlines(), self.text.splitlines()
        at = next(n for n, (one, other) in enumerate(zip([*old, ""], [*new, ""], strict=False)) if one != other)
        lines = old[at].strip(), new[at].strip() if at < len(new) else ""
        return self.file, self.line, self.column, self.operator, *lines


# -- making mutants ----------------------------------------------------------------------------------------------------


def places(file: str, lines: set[int]) -> list[tuple[str, int, str, int]]:
    """Return where a file, named from the root of the project, can be changed, on these lines or all: the node, the
    operator, the index."""
    text = (ROOT / file).read_text(encoding="utf-8")
    skipped, found = annotations(text), []
    for number, node in enumerate(ast_nodes(get_ast(text))):
        if node.type not in UNCHANGED and getattr(node, "value", "") not in PUNCTUATION:
            for name, operator in OPERATORS.items():
                for index, (start, _) in enumerate(operator.mutation_positions(node)):
                    if (not lines or start[0] in lines) and not any(one <= start < end for one, end in skipped):
                        found.append((file, number, name, index))
    return found


def mutants(chosen: Iterable[tuple[str, int, str, int]]) -> Iterator[Mutant]:
    """Yield the mutants of places that compile, and do not compile to the same."""
    for file, group in groupby(chosen, key=lambda place: place[0]):
        text = (ROOT / file).read_text(encoding="utf-8")
        tree = get_ast(text)
        nodes = list(ast_nodes(tree))
        for _, number, name, index in group:
            node, operator = nodes[number], OPERATORS[name]
            start, _ = list(operator.mutation_positions(node))[index]
            mutant = Mutant(file, *start, name, changed(tree, node, operator, index))
            try:
                if differences(mutant) != []:
                    yield mutant
            except SyntaxError:
                continue


def annotations(text: str) -> list[tuple[tuple[int, int], tuple[int, int]]]:
    """Return where annotations stand: line and column of their beginnings and ends."""
    lines, found = text.splitlines(), []
    for node in ast.walk(ast.parse(text)):
        for one in (getattr(node, "annotation", None), getattr(node, "returns", None)):
            if one is not None:
                ends = (one.lineno, one.col_offset), (one.end_lineno, one.end_col_offset)
                found.append(tuple((row, len(lines[row - 1].encode()[:column].decode())) for row, column in ends))
    return found


def changed(tree: Any, node: Any, operator: Any, index: int) -> str:
    """Return the text of a tree with one node changed, and leave the tree as it was."""
    parent = node.parent
    kept = [(one, list(one.children)) for one in (node, parent) if hasattr(one, "children")]
    values = [(leaf, leaf.value) for leaf in ast_nodes(node) if hasattr(leaf, "value")]
    new = operator.mutate(node, index)
    parent.children = [one if one is not node else new for one in parent.children if one is not node or new is not None]
    text = tree.get_code()
    for one, children in kept:
        one.children = children
    for leaf, value in values:
        leaf.value = value
    return text


def sense(code: CodeType, inner: bool = True) -> tuple[object, ...]:
    """Return what a code object does, without lines and columns; `inner` with what is defined in it."""
    constants = tuple(
        (sense(one) if inner else one.co_name) if isinstance(one, CodeType) else (type(one), repr(one))
        for one in code.co_consts
    )
    names = code.co_names, code.co_varnames, code.co_freevars, code.co_cellvars
    return code.co_code, constants, names, code.co_flags, code.co_argcount, code.co_exceptiontable


def replaced(old: CodeType, new: CodeType) -> list[tuple[CodeType, CodeType]] | None:
    """Return the functions that differ, not those inside others; None if something differs outside of functions."""
    inner = [[one for one in code.co_consts if isinstance(one, CodeType)] for code in (old, new)]
    if sense(old, False) != sense(new, False) or len(inner[0]) != len(inner[1]):
        return None
    found: list[tuple[CodeType, CodeType]] = []
    for one, other in zip(*inner, strict=True):
        if sense(one) == sense(other):
            continue
        if one.co_flags & 1:  # a function, which has its local names by number
            found.append((one, other))
        elif (more := replaced(one, other)) is None:
            return None
        else:
            found += more
    return found


# -- the tests ---------------------------------------------------------------------------------------------------------


class Learnt:
    """Which tests come to which lines, what each costs in seconds of the processor, and how often each has killed."""

    def __init__(self, file: Path | None, known: Any = None) -> None:
        self.file = file
        kept = known or (json.loads(file.read_text()) if file and file.exists() else [{}, {}])
        self.costs: dict[str, float] = kept[0]
        self.reached: dict[str, dict[str, int]] = {  # by file and test, a bit for each line
            name: {test: int(bits, 16) for test, bits in tests.items()} for name, tests in kept[1].items()
        }
        self.kills: dict[tuple[str, str], float] = defaultdict(float)

    def known(self) -> list[Any]:
        """Return it as JSON can hold it."""
        lines = {name: {one: f"{bits:x}" for one, bits in tests.items()} for name, tests in self.reached.items()}
        return [self.costs, lines]

    def keep(self, costs: dict[str, float], lines: dict[str, dict[str, list[str]]]) -> None:
        """Add what some tests come to."""
        self.costs |= costs
        for name, more in lines.items():
            tests = self.reached.setdefault(name, {})
            for line, some in more.items():
                for test in some:
                    tests[test] = tests.get(test, 0) | 1 << int(line)
        if self.file:
            self.file.write_text(json.dumps(self.known()))

    def tests(self, mutant: Mutant, everywhere: bool) -> list[str]:
        """Return the tests that come to a mutant's statement, or to its file, those first that most likely kill it."""
        span = -1 if everywhere else sum(1 << one for one in next(s for s in spans(mutant.file) if mutant.line in s))
        found = [test for test, bits in self.reached.get(mutant.file, {}).items() if bits & span]
        return sorted(
            (one for one in found if self.costs.get(one, 1e9) < 1e9),
            key=lambda one: ((self.costs[one] + 0.002) / (1 + self.kills[mutant.file, one]), one),
        )


@cache
def spans(file: str) -> list[range]:
    """Return the lines of each statement of a file, of a compound one its head, the shortest first."""
    found = []
    for node in ast.walk(ast.parse((ROOT / file).read_text(encoding="utf-8"))):
        if isinstance(node, ast.stmt | ast.match_case | ast.ExceptHandler):
            body = getattr(node, "body", None)
            first = node.pattern.lineno if isinstance(node, ast.match_case) else node.lineno
            last = max(body[0].lineno, first + 1) if body else (getattr(node, "end_lineno", None) or first) + 1
            found.append(range(first, last))
    return sorted(found, key=len)


def limit(seconds: float) -> None:
    """Let the process die when it takes so much of the processor from now on."""
    signal.signal(signal.SIGPROF, signal.SIG_DFL)
    signal.setitimer(signal.ITIMER_PROF, seconds)


class Runner:
    """A plugin for pytest that does something else with the tests it has collected than to run them once."""

    def __init__(self, loop: Callable[[pytest.Session], None]) -> None:
        self.loop = loop
        self.failed = False

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        if session.testsfailed:
            raise SystemExit("tests can't be collected")
        self.loop(session)
        return True

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        self.failed |= report.failed

    def run(self, item: pytest.Item, following: pytest.Item | None) -> bool:
        """Run one test, and return whether it passed."""
        self.failed = False
        item.config.hook.pytest_runtest_protocol(item=item, nextitem=following)
        return not self.failed


def pytest_run(tests: Sequence[str], runner: Runner) -> None:
    """Collect tests and hand them to a loop."""
    given = [one if one.startswith("/") else str(ROOT / one) for one in tests]
    if pytest.main([*QUIET, *given], plugins=[runner]) not in (0, 5):
        raise SystemExit("pytest has failed")


def forked(work: Callable[[Callable[[str], None]], None], patience: float) -> tuple[int, str]:
    """Do work in a process of its own, and return its status and what it has said, within so many seconds."""
    reading, writing = os.pipe()
    child = os.fork()
    if not child:
        status = 1
        try:
            os.close(reading)
            said = os.fdopen(writing, "w")
            work(lambda text: print(text, end="", file=said, flush=True))
            status = 0
        except BaseException:
            traceback.print_exc()
        finally:
            sys.stdout.flush()
            os._exit(status)
    os.close(writing)
    said, end = b"", time.monotonic() + patience
    while select.select([reading], [], [], max(0, end - time.monotonic()))[0] and (more := os.read(reading, 1 << 20)):
        said += more
    if time.monotonic() >= end:
        os.kill(child, signal.SIGKILL)
    os.close(reading)
    _, status = os.waitpid(child, 0)
    return status, said.decode()


def learn(items: list[pytest.Item], runner: Runner, learnt: Learnt, slow: float, say: Callable[[str], None]) -> None:
    """Run every test that isn't known yet once."""

    class Slow(Exception):
        pass

    def stop(*_: object) -> None:
        raise Slow

    def measure(some: list[pytest.Item], answer: Callable[[str], None]) -> None:
        measured = coverage.Coverage(
            data_file=None, config_file=False, include=[f"{ROOT}/stepcheck/{r}/*" for r in ROOMS]
        )
        costs = {}
        measured.start()
        for item, following in zip(some, [*some[1:], None], strict=True):
            measured.switch_context(item.nodeid)
            signal.signal(signal.SIGPROF, stop)
            signal.setitimer(signal.ITIMER_PROF, slow)
            begun = time.process_time()
            if runner.run(item, following):
                costs[item.nodeid] = time.process_time() - begun
            signal.setitimer(signal.ITIMER_PROF, 0)
            measured.switch_context("")
        measured.stop()
        data, lines = measured.get_data(), {}
        for file in data.measured_files():
            found = data.contexts_by_lineno(file)
            lines[str(Path(file).relative_to(ROOT))] = {
                line: [one for one in tests if one] for line, tests in found.items()
            }
        answer(json.dumps([costs, lines]))

    fresh = [one for one in items if one.nodeid not in learnt.costs]
    for number in range(0, len(fresh), 150):
        some = fresh[number : number + 150]
        _, said = forked(lambda answer, some=some: measure(some, answer), 3600)
        costs, lines = json.loads(said or "[{}, {}]")
        learnt.keep({one.nodeid: costs.get(one.nodeid, 1e9) for one in some}, lines)
        say(f"learnt {number + len(some)} of {len(fresh)} tests, {sum(costs.values()):.0f} s")


# -- the trial ---------------------------------------------------------------------------------------------------------


@frozen
class Answer:
    """What became of a mutant: killed, survived, or no test comes to it; by which test, and what it took."""

    mutant: Mutant
    what: str
    by: str
    seconds: float

    def json(self) -> str:
        return json.dumps([*self.mutant.name(), self.what, self.by, round(self.seconds, 2)])


def heard(mutant: Mutant, status: int, said: str, seconds: float, learnt: Learnt) -> Answer:
    """Say what became of a mutant by how its process ended, and what it said of its tests."""
    begun, killed = [one[2:] for one in said.splitlines() if one[:2] == "? "], "! " in said
    if killed:
        learnt.kills[mutant.file, begun[-1]] += 1
        return Answer(mutant, "killed", begun[-1], seconds)
    if status:
        return Answer(mutant, "killed", f"{begun[-1] if begun else 'import'} (status {status})", seconds)
    return Answer(mutant, "survived", f"{len(begun)} tests{', time was up' if '. cut' in said else ''}", seconds)


def tried(run: Callable[[str], bool], tests: list[str], costs: dict[str, float], most: float) -> Callable[..., None]:
    """Return the work of a mutant's process: to run its tests until one fails, or the time is up."""

    def work(answer: Callable[[str], None]) -> None:
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
        begun = time.process_time()
        for test in tests:
            if time.process_time() - begun + costs[test] > most:
                answer(". cut\n")
                return
            answer(f"? {test}\n")
            limit(1.5 + 6 * costs[test])
            if not run(test):
                answer("! \n")
                return

    return work


def hot(
    chosen: list[Mutant], session: pytest.Session, runner: Runner, learnt: Learnt, args: Any, say: Any, end: float
) -> None:
    """Try the mutants of functions, which take the place of the old ones."""
    items = {one.nodeid: one for one in session.items}
    for file in {one.file for one in chosen}:
        importlib.import_module(".".join(Path(file).with_suffix("").parts))
    functions: dict[tuple[str, str], list[FunctionType]] = defaultdict(list)
    memories = []
    for one in gc.get_objects():
        if isinstance(one, FunctionType):
            functions[one.__code__.co_filename, one.__code__.co_qualname].append(one)
        elif type(one).__name__ == "_lru_cache_wrapper":
            memories.append(one)  # of what was made while the tests were collected, perhaps by what is changed now
    gc.freeze()
    for mutant in chosen:
        pairs = differences(mutant)
        if pairs is None or time.monotonic() > end:
            continue
        places = [
            (function, new)
            for old, new in pairs
            for function in functions[str(ROOT / mutant.file), old.co_qualname]
            if sense(function.__code__) == sense(old)
        ]
        tests = [one for one in learnt.tests(mutant, not places) if one in items]
        begun = time.process_time(), time.monotonic()

        def run(test: str) -> bool:
            return runner.run(items[test], None)

        def work(answer: Callable[[str], None], places: Any = places, tests: list[str] = tests) -> None:
            for function, new in places:
                function.__code__ = new
            for memory in memories:
                memory.cache_clear()
            tried(run, tests, learnt.costs, args.seconds)(answer)

        if not places:
            say(Answer(mutant, "survived", "no such function is alive", 0))
        elif not tests:
            say(Answer(mutant, "survived", "no test comes here", 0))
        else:
            status, said = forked(work, 300)
            say(heard(mutant, status, said, time.monotonic() - begun[1], learnt))


def differences(mutant: Mutant) -> list[tuple[CodeType, CodeType]] | None:
    """Return the functions that differ from those of the file as it is."""
    file = ROOT / mutant.file
    with warnings.catch_warnings():
        warnings.simplefilter("error")  # as in the tests: `is 0` doesn't compile
        return replaced(compiled(file), compile(mutant.text, str(file), "exec", dont_inherit=True))


@cache
def compiled(file: Path) -> CodeType:
    """Return the code of a file as it is."""
    return compile(file.read_text(encoding="utf-8"), str(file), "exec", dont_inherit=True)


class Instead(importlib.machinery.PathFinder):
    """Finds one module with its changed text in place of the file's."""

    mutant: Mutant

    @classmethod
    def find_spec(cls, fullname: str, path: Any = None, target: Any = None) -> Any:
        spec = super().find_spec(fullname, path, target)
        if spec and spec.origin == str(ROOT / cls.mutant.file):

            class Loader(importlib.machinery.SourceFileLoader):
                def get_code(self, fullname: str) -> CodeType:
                    return compile(cls.mutant.text, self.path, "exec", dont_inherit=True)

            spec.loader = Loader(fullname, spec.origin)
        return spec


def cold(mutant: Mutant, learnt: Learnt, args: Any, known: set[str]) -> Answer:
    """Try a mutant of what stands outside functions: everything is imported anew."""
    tests = [one for one in learnt.tests(mutant, True) if one in known]
    few = [*dict.fromkeys(one.partition("::")[0] for one in tests)][:12]  # to be imported
    tests = [one for one in tests if one.partition("::")[0] in few]
    begun = time.monotonic()

    def work(answer: Callable[[str], None]) -> None:
        Instead.mutant = mutant
        sys.meta_path.insert(0, Instead)

        def loop(session: pytest.Session) -> None:
            items = {one.nodeid: one for one in session.items}
            order = [one for one in tests if one in items]
            tried(lambda test: runner.run(items[test], None), order, learnt.costs, args.seconds)(answer)

        limit(60)
        quiet = os.open(os.devnull, os.O_WRONLY)
        os.dup2(quiet, 1)
        os.dup2(quiet, 2)
        runner = Runner(loop)
        ended = pytest.main([*QUIET, *(str(ROOT / one) for one in few)], plugins=[runner])
        if ended not in (0, 1, 5):
            answer("? import\n! \n")

    status, said = forked(work, 300)
    return heard(mutant, status, said, time.monotonic() - begun, learnt)


def touched(folder: str) -> dict[str, set[int]] | None:
    """Return the lines in the rooms that the last commit of a folder's repository has changed, by file; None without such
    a commit."""
    command = [
        "git",
        "-C",
        folder,
        "diff",
        "--relative",
        "-U0",
        "HEAD~1",
        "HEAD",
        "--",
        *(f"stepcheck/{one}" for one in ROOMS),
    ]
    try:
        told = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    except (OSError, subprocess.CalledProcessError):
        return None
    found: dict[str, set[int]] = {}
    file = ""
    for line in told.splitlines():
        if line.startswith("+++ "):
            file = line.removeprefix("+++ b/")
        elif (hunk := re.match(r"@@ \S+ \+(\d+)(?:,(\d+))? @@", line)) and file.endswith(".py"):
            first = int(hunk[1])
            found.setdefault(file, set()).update(range(first, first + int(hunk[2] or 1)))
    return {file: lines for file, lines in found.items() if (ROOT / file).exists()}


def tests_of(files: Iterable[str]) -> list[str]:
    """Return the tests named like these modules, of their rooms and of the laws, or else all unit tests of their rooms."""
    found = set()
    for file in map(Path, files):
        room, name = ROOT / "tests" / "unit" / file.parent.name, f"test_{file.stem}.py"
        found |= {room / name if (room / name).exists() else room, *(ROOT / "tests" / "laws").glob(name)}
    return sorted(map(str, found))


def results(file: Path) -> list[list[Any]]:
    """Return what a file of results holds."""
    return [json.loads(line) for line in file.read_text().splitlines()]


def main() -> int:
    """Try mutants, say which have survived, and return 1 if those are more than may be."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument(
        "files", nargs="*", help="files or folders of the program, named from its root; FILE:FIRST-LAST for some lines"
    )
    parser.add_argument("--changed", metavar="FOLDER", help="only what the last commit of a repository has changed")
    parser.add_argument("--sample", type=int, help="so many of the mutants, drawn by chance")
    parser.add_argument("--seed", type=int, default=7)
    parser.add_argument("--only", nargs="+", help="try those drawn in these files or folders, named as before")
    parser.add_argument("--survivors", type=Path, help="only those that have survived in this file of results")
    parser.add_argument("--skip", type=Path, nargs="*", default=(), help="none of those in these files of results")
    parser.add_argument("--tests", nargs="+", help="by default those named like the modules, or of their rooms")
    parser.add_argument("--seconds", type=float, default=8, help="of the processor, for the tests of one mutant")
    parser.add_argument("--slow", type=float, default=15, help="a test that takes more is not run")
    parser.add_argument(
        "--within",
        type=float,
        default=1e6,
        help="seconds after which no further mutant is tried, once of functions and once of the rest",
    )
    parser.add_argument("--least", type=float, default=0, help="the share of the mutants that must be killed")
    parser.add_argument("--learnt", type=Path, help="keeps what the tests come to")
    parser.add_argument("--save", type=Path, help="a line of JSON for each mutant")
    args = parser.parse_args()
    out = os.fdopen(os.dup(1), "w")

    lines: dict[str, set[int]] | None = None
    if args.changed and not (lines := touched(args.changed)):
        print(
            f"nothing is mutated: {'no last commit is known' if lines is None else 'no code of the rooms has changed'}"
        )
        return 0
    wanted: dict[str, set[int]] = lines or {}
    for name, _, span in (one.partition(":") for one in args.files):
        first, _, last = span.partition("-")
        for path in [ROOT / name] if name.endswith(".py") else (ROOT / name).rglob("*.py"):
            wanted[str(path.relative_to(ROOT))] = {*range(int(first), int(last) + 1)} if span else set()
    files = sorted(wanted)
    found = [place for file in files for place in places(file, wanted[file])]
    drawn = found
    if args.sample and args.sample < len(found):
        drawn = [found[number] for number in sorted(random.Random(args.seed).sample(range(len(found)), args.sample))]
    chosen = list(mutants(one for one in drawn if not args.only or one[0].startswith(tuple(args.only))))
    if args.survivors:
        again = {tuple(one[:6]) for one in results(args.survivors) if one[6] != "killed"}
        chosen = [one for one in chosen if one.name() in again]
    skipped = {tuple(one[:6]) for file in args.skip for one in results(file)}
    chosen = [one for one in chosen if one.name() not in skipped] if skipped else chosen
    random.Random(args.seed).shuffle(chosen)  # what is tried before the time is up is a sample, too
    print(f"{len(chosen)} mutants, of {len(drawn)} changes drawn from {len(found)}", file=out, flush=True)
    for name in HEAVY:
        importlib.import_module(name)
    profiles.settings.register_profile("same", profiles.settings.get_profile("same"), phases=PHASES)
    counts: Counter[str] = Counter()

    def say(answer: Answer | str) -> None:
        if isinstance(answer, Answer):
            counts[answer.what] += 1
            if args.save:
                with args.save.open("a") as file:
                    print(answer.json(), file=file)
        if isinstance(answer, str) or answer.what != "killed":
            print(answer if isinstance(answer, str) else answer.json(), file=out, flush=True)

    def everything(answer: Callable[[str], None]) -> None:
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)

        def loop(session: pytest.Session) -> None:
            learnt = Learnt(args.learnt)
            learn(session.items, runner, learnt, args.slow, say)
            hot(chosen, session, runner, learnt, args, say, time.monotonic() + args.within)
            answer(json.dumps([counts, learnt.known()]))

        runner = Runner(loop)
        pytest_run(args.tests or tests_of(files), runner)

    _, said = forked(everything, 1e6)
    if not said:
        return 2
    hot_counts, known = json.loads(said)
    counts.update(hot_counts)
    learnt, end = Learnt(None, known), time.monotonic() + args.within
    for mutant in chosen:
        if time.monotonic() < end and differences(mutant) is None:
            say(cold(mutant, learnt, args, set(learnt.costs)))
    print(f"{counts.total()} tried, {counts['killed']} killed, {counts['survived']} survived", file=out, flush=True)
    return int(counts["killed"] < args.least * counts.total())


if __name__ == "__main__":
    sys.exit(main())
