"""What a catalogue costs, as ratios: against reading as many lines of YAML, against one process, against itself.

Run with `pytest -m bench -s`; each measure prints a line with its goal.
"""

import json
import math
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from statistics import median
from time import perf_counter, process_time

import pytest

from tests.bench import goals
from tests.bench.generators import as_yaml, long_sheet, repeated, sheet, write

pytestmark = pytest.mark.bench

SHEETS = 2_000

AGAINST_YAML = """
import sys, time, yaml
from pathlib import Path
from stepcheck.catalogue import run as catalogue, workers
from stepcheck.catalogue.discovery import sheets
engine, folder, many = sys.argv[1], sys.argv[2], int(sys.argv[3])
workers.settle_down()
found = sheets([folder])
found = type(found)(found.sheets[:many])
options = workers.Options(engine)
run = iter(catalogue.Run(found, options, catalogue.crew(options)))
ours = theirs = 0.0
for start in range(0, many, 50):
    began = time.process_time()
    for path in found.sheets[start : start + 50]:
        next(run)
    between = time.process_time()
    for path in found.sheets[start : start + 50]:
        yaml.load(Path(path + ".yaml").read_bytes(), Loader=yaml.CSafeLoader)
    ours, theirs = ours + between - began, theirs + time.process_time() - between
print(ours, theirs)
"""

COUNT = "sum(n * n % 7 for n in range(12_000_000))"

CHECK = """
import json, resource, sys, time
from stepcheck.catalogue import run as catalogue, workers
if __name__ == "__main__":
    workers.settle_down()
    options = json.loads(sys.argv[2])
    began, busy = time.perf_counter(), time.process_time()
    whole = catalogue.check_catalogue(sys.argv[1], **options)
    took, busy = time.perf_counter() - began, time.process_time() - busy
    several = options.get("jobs", 1) > 1
    used = resource.getrusage(resource.RUSAGE_CHILDREN if several else resource.RUSAGE_SELF)
    spent = sum(sum(resource.getrusage(who)[:2]) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    print(took, used.ru_maxrss / 1024, whole.remembered, len(whole.reports), spent, busy)
"""


@pytest.fixture(scope="module", autouse=True)
def kept_bytecode(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Let every process find its modules compiled, as an installed package has them."""
    with pytest.MonkeyPatch.context() as surroundings:
        surroundings.delenv("PYTHONDONTWRITEBYTECODE", raising=False)
        surroundings.setenv("PYTHONPYCACHEPREFIX", str(tmp_path_factory.mktemp("bytecode")))
        yield


@pytest.fixture(scope="module")
def hall(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A catalogue, each sheet with the YAML of as many lines beside it."""
    folder = tmp_path_factory.mktemp("catalogue")
    for path in write(folder, SHEETS):
        Path(f"{path}.yaml").write_text(as_yaml(path.read_text()))
    return folder


def script(code: str, *words: str, folder: Path) -> list[float]:
    """Run a script in a process of its own and return the numbers that it prints."""
    file = folder / "measured.py"
    file.write_text(code)
    run = subprocess.run([sys.executable, str(file), *words], capture_output=True, text=True, check=False)
    assert 0 == run.returncode, run.stderr
    return list(map(float, run.stdout.split()))


def check(folder: Path, beside: Path, **options: object) -> list[float]:
    """Return the seconds, the megabytes, the sheets remembered, the sheets, the processors' seconds of the process and
    its children, and those of the call alone."""
    return script(CHECK, str(folder), json.dumps(options), folder=beside)


def test_the_generator_is_fair() -> None:
    """The sheets are distinct, 40 to 80 lines long, and at most 5 % of their lines are distinct."""
    texts = [sheet(1, number) for number in range(SHEETS)]
    lines = [line for text in texts for line in text.splitlines() if line.strip()]
    share = len(set(lines)) / len(lines)
    assert SHEETS == len(set(texts))
    assert all(40 <= len(text.splitlines()) <= 80 for text in texts)
    goals.DISTINCT.show(100 * share)


@pytest.mark.parametrize(("engine", "goal"), [("walk", goals.COLD_WALK), ("both", goals.COLD_BOTH)])
def test_cold_against_a_yaml_loader(engine: str, goal: goals.Goal, hall: Path, tmp_path: Path) -> None:
    """One process checks the sheets for the first time, and reads as many lines as YAML with the C loader.

    Both by the processor's time of that process, which other work disturbs less than the clock.
    """
    ours, theirs = script(AGAINST_YAML, engine, str(hall), str(SHEETS), folder=tmp_path)
    each = f"{1000 * ours / SHEETS:.2f} ms a sheet, YAML {1000 * theirs / SHEETS:.2f} ms"
    goal.show(ours / theirs, each)


def test_two_processes_against_one(hall: Path, tmp_path: Path) -> None:
    """Both engines over all the sheets: by the clock, and by the processors' time, which other work disturbs less.

    What the machine can do is measured beside it: two processes that only count, against one.
    """
    alone = perf_counter()
    subprocess.run([sys.executable, "-c", COUNT], check=True)
    alone = perf_counter() - alone
    began = perf_counter()
    for child in [subprocess.Popen([sys.executable, "-c", COUNT]) for _ in range(2)]:
        child.wait()
    print(f"\ntwo processes that only count, against one {2 * alone / (perf_counter() - began):8.2f}", end="")
    one, two = (check(hall, tmp_path, jobs=jobs) for jobs in (1, 2))
    clock = f"by the clock {one[0]:.1f} s, {two[0]:.1f} s: {one[0] / two[0]:.2f}; load {os.getloadavg()[0]:.1f}"
    goals.TWO_PROCESSES.show(one[4] / (two[4] / 2), clock)


def test_again_and_with_one_sheet_changed(hall: Path, tmp_path: Path) -> None:
    """What is kept costs at most 5 % of checking it; a changed sheet costs itself on top.

    By the processor's time of the call, which other work disturbs less than the clock; that is printed beside it.
    """
    kept = {"cache": str(tmp_path / "a.sqlite")}
    cold = check(hall, tmp_path, **kept)
    again = [check(hall, tmp_path, **kept) for _ in range(3)]
    first = next(iter(sorted(hall.glob("*.routine"))))
    text = first.read_text()
    first.write_text(text + "# another\n")
    changed = check(hall, tmp_path, **kept)
    (tmp_path / "one").mkdir()
    (tmp_path / "one" / first.name).write_text(first.read_text())
    alone = check(tmp_path / "one", tmp_path)[5]
    first.write_text(text)
    warm = min(run[5] for run in again)
    clock = 100 * min(run[0] for run in again) / cold[0]

    assert [SHEETS] * 3 == [run[2] for run in again] and SHEETS - 1 == changed[2]
    goals.AGAIN.show(100 * warm / cold[5], f"{cold[5]:.1f} s, {warm:.2f} s; by the clock {clock:.1f} %")
    goals.ONE_CHANGED.show(changed[5] / (warm + alone), f"{changed[5]:.2f} s, alone {alone:.2f} s")


def test_memory_is_flat(hall: Path, tmp_path: Path) -> None:
    """A worker process needs no more for all the sheets than for a few, and less than 200 MB."""
    few = tmp_path / "few"
    few.mkdir()
    for path in sorted(hall.glob("*.routine"))[:200]:
        (few / path.name).write_text(path.read_text())
    small, large = (check(folder, tmp_path, jobs=2)[1] for folder in (few, hall))
    goals.MEMORY.show(large)
    goals.MEMORY_GROWTH.show(large / small)


def seconds(text: str, engine: str = "walk") -> float:
    """Return how long a sheet takes by the processor's time, the best of a few runs."""
    from stepcheck.report.pipeline import check_text

    def once() -> float:
        began = process_time()
        check_text(text, engine=engine)
        return process_time() - began

    return min(once() for _ in range(3 if len(text) < 500_000 else 1))


def slope(points: list[tuple[float, float]]) -> float:
    """Return the slope of the line through points on two logarithmic scales."""
    xs, ys = ([math.log(point[axis]) for point in points] for axis in (0, 1))
    middle = sum(xs) / len(xs), sum(ys) / len(ys)
    return sum((x - middle[0]) * (y - middle[1]) for x, y in zip(xs, ys, strict=True)) / sum(
        (x - middle[0]) ** 2 for x in xs
    )


def test_growth_with_lines() -> None:
    """From a hundred lines to a hundred thousand the time grows hardly faster than the lines."""
    points = []
    for lines in (100, 1_000, 10_000, 100_000):
        text = long_sheet(lines)
        points.append((float(text.count("\n")), seconds(text)))
    goals.LINES.show(slope(points), f"{points[0][1] * 1e3:.1f} ms to {points[-1][1]:.1f} s")


@pytest.mark.parametrize(("engine", "goal"), [("walk", goals.REPEATS_WALK), ("both", goals.REPEATS_BOTH)])
def test_growth_with_repeats(engine: str, goal: goals.Goal) -> None:
    """A thousand million times take about as long as ten."""
    times = [seconds(repeated(number), engine) for number in (10, 10**3, 10**6, 10**9)]
    goal.show(times[-1] / times[0], f"{times[0] * 1e3:.1f} ms, {times[-1] * 1e3:.1f} ms")


def test_starting(tmp_path: Path) -> None:
    """Checking one sheet with both engines takes little longer than importing what it stands on."""
    path = tmp_path / "a.routine"
    path.write_text(sheet(1, 0))

    def run(*words: str) -> Callable[[], float]:
        def once() -> float:
            began = perf_counter()
            subprocess.run([sys.executable, *words], capture_output=True, check=False, cwd=tmp_path)
            return perf_counter() - began

        return once

    ours, base = run("-m", "stepcheck.faces.start", "check", "a.routine"), run("-c", "import z3, lark, attrs, click")
    pairs = [(ours(), base()) for _ in range(7)]
    figure = median(one for one, _ in pairs) / median(two for _, two in pairs)
    goals.STARTING.show(figure, f"{1000 * median(one for one, _ in pairs):.0f} ms")


def test_stopping_takes_less_than_a_second(tmp_path: Path) -> None:
    """Ctrl-C ends a run of two processes, and of one, within a second."""
    import signal

    write(tmp_path / "many", 400)
    for jobs in ("1", "2"):
        child = subprocess.Popen(
            [
                sys.executable,
                "-m",
                "stepcheck.faces.cli",
                "check",
                "--jobs",
                jobs,
                "--format",
                "jsonl",
                str(tmp_path / "many"),
            ],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            start_new_session=True,
        )
        assert child.stdout is not None
        child.stdout.readline()
        began = perf_counter()
        os.killpg(child.pid, signal.SIGINT)
        child.communicate(timeout=60)
        took = perf_counter() - began
        goals.STOPPING.show(took, f"{jobs} at work")
        assert child.returncode == 130
