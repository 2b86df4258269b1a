"""What goes wrong around a run, from a spent budget to a full disk, is said plainly, and no verdict is wrong for it."""

import ctypes
import json
import os
import random
import resource
import signal
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import pytest

import stepcheck as sc
from stepcheck.catalogue import cache as caches
from stepcheck.catalogue import run as runs
from stepcheck.catalogue import workers
from stepcheck.catalogue.cache import Cache
from stepcheck.catalogue.run import check_catalogue
from stepcheck.catalogue.workers import NO_MEMORY, Options, Processes
from stepcheck.model.choices import ENGINES
from stepcheck.model.outcome import Verdict
from stepcheck.report.pipeline import decide
from stepcheck.strategies.pieces import BLANKS, TASTES
from stepcheck.strategies.random_sheets import random_sheet
from tests.corpus.expected import sheets
from tests.deaths import starved
from tests.halls import SOUND, fill
from tests.laws.test_killed import hall, writers
from tests.unit.catalogue.test_workers import run as answers

__all__ = ["hall"]  # a fixture
LITTLE = (0, 1)
EVERY = (*dict.fromkeys(TASTES), *BLANKS, "groups", "travel")
posix = pytest.mark.skipif(os.name != "posix", reason="signals and limits are those of POSIX")

# -- budgets -----------------------------------------------------------------------------------------------------------


def routines() -> list[sc.Routine]:
    """Return the catalogue's sheets that are understood, right and wrong, and 60 random ones."""
    made = [sc.load(path) for folder in ("routines", "faulty") for path in sheets(folder)]
    made += [sc.loads(random_sheet(seed, False, EVERY[seed % len(EVERY)])) for seed in range(60)]
    return [routine for routine in made if routine.program is not None]


def test_a_small_budget_gives_no_wrong_verdict() -> None:
    """With a budget of 0 and of 1, each engine and both say what is right, or that the budget is spent, and prove
    nothing."""
    seen: Counter[str] = Counter()
    for routine in routines():
        assert routine.program is not None
        right = {one.claim: one.verdict for one in decide(routine.program)[0]}
        for engine in ENGINES:
            for budget in LITTLE:
                for one in decide(routine.program, engine, budget)[0]:
                    assert one.verdict in (Verdict.UNDECIDED, right[one.claim]), (routine.path, engine, budget, one)
                    assert one.verdict is not Verdict.PROVED
                    seen[one.verdict.word] += 1
    assert seen["undecided"] > 3_000


def test_a_small_budget_gives_no_wrong_fix() -> None:
    """With a budget of 0 and of 1, what `repair` and `fill` find is proved, and neither claims to have looked at all
    where more work finds more."""
    for path in sheets("faulty"):
        routine = sc.load(path)
        for budget in LITTLE:
            found = sc.repair(routine, limit=1, budget=budget)
            assert all(fix.report.verdict is Verdict.PROVED for fix in found.fixes if not fix.evidence.left)
            if found.complete and not found.fixes:
                assert not sc.repair(routine, limit=1).fixes, path
    for path in sheets("unfinished"):
        for budget in LITTLE:
            filled = sc.fill(sc.load(path), budget=budget)
            assert not filled.fills or filled.fills[0].report.verdict is Verdict.PROVED
            assert not (filled.unique or filled.unique_effect)


def test_a_sheet_may_have_no_budget_at_all(tmp_path: Path) -> None:
    """A budget of 0 for one sheet of a catalogue is one of 0, and not the usual one."""
    path = fill(tmp_path, sound=1)[0]
    (report,) = check_catalogue(path, budgets={path: 0}).reports
    assert Verdict.UNDECIDED is report.verdict


# -- Ctrl-C ------------------------------------------------------------------------------------------------------------

BEGIN = "import sys, stepcheck.faces.start as start; print('begun', flush=True); sys.exit(start.main())"


def interrupted(words: list[str], wait: float | None) -> tuple[int, bytes, str]:
    """Run the command, with Ctrl-C after so many seconds, if any; return status, answers and messages."""
    command = [sys.executable, "-c", BEGIN, *words]
    child = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, start_new_session=True, bufsize=0)
    assert child.stdout is not None and b"begun\n" == child.stdout.readline()
    if wait is not None:
        time.sleep(wait)
        if child.poll() is None:
            os.killpg(child.pid, signal.SIGINT)
    out, err = child.communicate(timeout=60)
    return child.returncode, out, err.decode()


def interrupt(times: int, seed: int, hall: Path, folder: Path) -> int:
    """Interrupt commands of every kind at random moments; return how many were still at work."""
    choose, stopped = random.Random(seed), 0
    kept = folder / "a.sqlite"
    right = check_catalogue(hall, engine="walk")
    reading = ["check", "--engine", "walk", "--format", "jsonl", "--cache-file", str(kept), "--jobs", "2", str(hall)]
    calls: list[tuple[list[str], Path | None, bytes]] = [(reading, None, b""), *writers(hall, folder)]
    known = []
    for words, file, old in calls:
        if file is not None:
            file.write_bytes(old)
        began = time.monotonic()
        status, _, _ = interrupted(words, None)
        known.append((words, file, old, file.read_bytes() if file else b"", status, time.monotonic() - began))
    for number in range(times):
        words, file, old, new, status, whole = known[number % len(known)]
        if file is not None:
            file.write_bytes(old)
        got, out, said = interrupted(words, choose.uniform(0, whole))
        stopped += got == 130
        assert "Traceback" not in said and "KeyboardInterrupt" not in said, said
        assert got in (130, status, -signal.SIGINT), (words, got, said)
        if file is None:
            assert all("verdict" in json.loads(line) for line in out.splitlines())
            told: list[str] = []
            with Cache(kept, say=told.append) as cache:
                assert right == check_catalogue(hall, engine="walk", cache=cache)
            assert [] == told
        else:
            assert file.read_bytes() in ((old, new) if got == 130 else (new,)), words
    left = {path.name for path in folder.iterdir()} - {file.name for _, file, *_ in known if file}
    assert all(name.startswith(("a.sqlite", "kept.sqlite")) for name in left), left
    return stopped


@posix
def test_ctrl_c_at_any_moment_leaves_nothing_half_done(hall: Path, tmp_path: Path) -> None:
    """At 12 random moments: status 130, or that of a run that had ended; no traceback, each file whole, old or new,
    nothing beside it, and what was kept is right."""
    assert 3 < interrupt(12, 1, hall, tmp_path)


@posix
@pytest.mark.nightly
def test_ctrl_c_at_two_hundred_moments_leaves_nothing_half_done(hall: Path, tmp_path: Path) -> None:
    """The same 200 times, at other moments."""
    assert 100 < interrupt(200, 2, hall, tmp_path)


# -- files -------------------------------------------------------------------------------------------------------------


def limited() -> None:
    """Let the system take no more than 40,000 bytes a file, as a disk that is almost full does."""
    resource.setrlimit(resource.RLIMIT_FSIZE, (40_000, 40_000))


def unprivileged() -> None:
    """Give up root's right to write anywhere (capabilities(7): PR_CAPBSET_DROP of CAP_DAC_OVERRIDE)."""
    ctypes.CDLL(None).prctl(24, 1, 0, 0, 0)


def command(*words: str, prepare: Callable[[], None] | None = None) -> "subprocess.CompletedProcess[str]":
    """Run the command in a process of its own."""
    called = [sys.executable, "-m", "stepcheck.faces.start", *words]
    return subprocess.run(called, capture_output=True, text=True, timeout=60, check=False, preexec_fn=prepare)


@posix
def test_a_full_disk_changes_no_answer_of_a_run_with_a_cache(tmp_path: Path) -> None:
    """Where the cache can't grow, that is said once, and the sheets are answered; the next run finds a whole file."""
    fill(tmp_path / "hall", sound=40)
    words = ("check", "--engine", "walk", "--cache-file", str(tmp_path / "a.sqlite"), str(tmp_path / "hall"))
    done = command(*words, prepare=limited)
    assert 1 == done.returncode and "43 sheets: 40 proved" in done.stderr
    assert 1 == done.stderr.count("answers cannot be kept") and "Traceback" not in done.stderr
    again = command(*words)
    assert (1, done.stdout) == (again.returncode, again.stdout)
    assert "stepcheck:" not in again.stderr


@posix
@pytest.mark.skipif(sys.platform != "linux", reason="root's rights are given up as Linux has it")
@pytest.mark.parametrize("option", ["-o", "--smt2", "--certificate", "--cache-file"])
def test_a_folder_that_is_read_only(option: str, tmp_path: Path) -> None:
    """Status 2 and the reason, before a sheet is checked; a cache there is done without, and nothing is left behind."""
    path = fill(tmp_path / "hall", sound=1)[0]
    shut = tmp_path / "shut"
    shut.mkdir()
    shut.chmod(0o555)
    place = shut if option in ("--smt2", "--certificate") else shut / "a"
    done = command("check", option, str(place), path, prepare=unprivileged)
    assert [] == os.listdir(shut) and "Traceback" not in done.stderr
    said = {"-o": "permission denied", "--cache-file": "answers cannot be kept"}.get(option, "no permission")
    assert said in done.stderr
    assert ((0, True) if option == "--cache-file" else (2, False)) == (done.returncode, "proved" in done.stderr)


def test_a_sheet_that_vanishes_harms_no_other(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A sheet that is gone between listing and reading is named with the reason, and the others are answered."""
    paths, real = fill(tmp_path, sound=3), runs.sheets

    def listed(*words: object, **rest: object) -> object:
        found = real(*words, **rest)  # type: ignore[arg-type]
        os.unlink(paths[1])
        return found

    monkeypatch.setattr(runs, "sheets", listed)
    made = check_catalogue(tmp_path, engine="walk")
    assert (5, 2) == (len(made.reports), made.exit_status)
    assert [f"{paths[1]} cannot be read: no such file or directory"] == [one.reason for one in made.failures]


@posix
@pytest.mark.parametrize("force", [True, False])
def test_two_writers_of_one_file(force: bool, tmp_path: Path) -> None:
    """Four runs write one file at once: it is whole, and without `--force` one run has written it, the others say
    that it is there."""
    out = tmp_path / "report.json"
    paths = fill(tmp_path / "hall", sound=4)[:4]
    words = [sys.executable, "-m", "stepcheck.faces.start", "check", "--engine", "walk", "--format", "json"]
    words += ["-o", str(out), *["--force"] * force]
    children = [subprocess.Popen([*words, path], stderr=subprocess.PIPE, text=True) for path in paths]
    ends = [(child.communicate(timeout=60)[1], child.returncode) for child in children]
    assert json.loads(out.read_text())["sheets"][0]["path"] in paths
    wrote = [status for _, status in ends if status == 0]
    assert len(wrote) == (4 if force else 1)
    assert all("there already" in said or "meanwhile" in said for said, status in ends if status)
    assert [] == [name for name in os.listdir(tmp_path) if name.startswith(".")]


# -- the clock ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("leap", [-(2**62), 10**18])
def test_a_clock_that_jumps_changes_nothing(leap: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A clock that is set back or forward by years, and sheets of another century: what was kept is found, and says
    the same; deadlines hang on a clock that nobody sets."""
    folder = tmp_path / "hall"
    paths = fill(folder, sound=4)
    first = check_catalogue(folder, cache=tmp_path / "a.sqlite")
    real, monotonic = time.time_ns, caches.time.monotonic
    monkeypatch.setattr(time, "time_ns", lambda: real() + leap)
    monkeypatch.setattr(time, "time", lambda: (real() + leap) / 1e9)
    assert caches.time.monotonic is monotonic
    for path in paths:
        os.utime(path, (0, 0) if leap < 0 else (2**33, 2**33))
    again = check_catalogue(folder, cache=tmp_path / "a.sqlite")
    assert (first, 6) == (again, again.remembered)


# -- memory ------------------------------------------------------------------------------------------------------------


@pytest.mark.skipif(sys.platform != "linux", reason="the size of a process is read as Linux has it")
def test_a_worker_that_is_short_of_memory_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    """The sheet that does not fit is named with the reason, the others are answered, and nobody sees a traceback."""
    fill(tmp_path, sound=3)
    (tmp_path / "large.routine").write_text(SOUND + "# a comment that says nothing\n" * 60_000)
    monkeypatch.setattr(workers, "work", starved)
    made = answers(Processes(2, Options(), chunk=4), tmp_path)
    assert [NO_MEMORY] == [one.reason for one in made if one.report is None]
    assert 6 == sum(one.report is not None for one in made)
    assert ("", "") == capfd.readouterr()


def test_memory_that_runs_out_elsewhere_is_said_plainly(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The command says so in its own words, with status 2, also where z3 says it."""
    from stepcheck.faces import cli
    from stepcheck.report import pipeline

    path = fill(tmp_path, sound=1)[0]
    for error in (MemoryError(), RuntimeError(b"out of memory")):
        with monkeypatch.context() as patch:
            patch.setattr(pipeline, "examine", lambda *words, error=error, **rest: (_ for _ in ()).throw(error))
            assert 2 == cli.main(["check", path])
        assert f"stepcheck: {path}: {NO_MEMORY}\n" in capsys.readouterr().err
    monkeypatch.setattr(cli, "stepcheck", type("Failing", (), {"main": staticmethod(lambda **rest: bytearray(2**62))}))
    assert 2 == cli.main(["check", path])
    assert "stepcheck: there is not enough memory\n" == capsys.readouterr().err
