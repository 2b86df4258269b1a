"""Runs that are killed at any moment lose nothing: not what was kept, not a file of answers, not a sheet."""

import os
import random
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from stepcheck.catalogue.cache import Cache
from stepcheck.catalogue.run import FEW, check_catalogue
from tests.corpus.expected import ROOT
from tests.halls import BOOK, OWN, fill

FAULTY = ROOT / "specs" / "faulty" / "copper_ladle.routine"
OPEN = ROOT / "specs" / "unfinished" / "lantern_pier.routine"
UNTIDY = "routine:Towpath\nbook:clogging\npart A:8 beats\n    Triple  x2\ndance:\n    A\n"


@pytest.fixture(scope="module")
def hall(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A catalogue with sheets of every kind, more than one process is thought enough for."""
    folder = tmp_path_factory.mktemp("hall")
    fill(folder, sound=FEW)
    (folder / "own.routine").write_text(OWN)
    (folder / "weir.book").write_text(BOOK)
    return folder


def begun(words: list[str]) -> "subprocess.Popen[bytes]":
    """Begin the command in a group of its own."""
    command = [sys.executable, "-m", "stepcheck.faces.cli", *words]
    return subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True)


def seconds(words: list[str]) -> float:
    """Return how long the command takes."""
    start = time.monotonic()
    begun(words).wait()
    return time.monotonic() - start


def killed(process: "subprocess.Popen[bytes]") -> bool:
    """Kill a process with its workers, and say whether it was still at work."""
    if process.poll() is None:
        os.killpg(process.pid, signal.SIGKILL)
    return process.wait() == -signal.SIGKILL


def kill_caching(times: int, seed: int, hall: Path, folder: Path) -> int:
    """Kill runs with a cache, some two at once; assert that each next run is right and finds a whole file."""
    right = check_catalogue(hall, engine="walk")
    choose = random.Random(seed)
    file = folder / "a.sqlite"
    words = ["check", "--engine", "walk", "--format", "jsonl", "--cache-file", str(file), str(hall)]
    whole, many = seconds(words), 0
    for _ in range(times):
        if choose.random() < 0.5:
            for rest in ("", "-wal", "-shm"):
                Path(f"{file}{rest}").unlink(missing_ok=True)
        processes = [begun(words) for _ in range(choose.choice((1, 2)))]
        time.sleep(choose.uniform(0, whole))
        many += sum(map(killed, processes))
        told: list[str] = []
        with Cache(file, say=told.append) as cache:
            assert right == check_catalogue(hall, engine="walk", cache=cache)
        assert [] == told
    return many


def writers(hall: Path, folder: Path) -> Iterator[tuple[list[str], Path, bytes]]:
    """Yield commands that write over a file: the words, the file, and what stands in it before."""
    cache = ["--cache-file", str(folder / "kept.sqlite")]
    report, fixes = folder / "report.json", folder / "fixes.txt"
    yield ["check", *cache, "--format", "json", "-o", str(report), "--force", str(hall)], report, b"an older report"
    yield ["repair", str(FAULTY), "-o", str(fixes), "--force"], fixes, b"older fixes"
    for command, source in (("repair", FAULTY), ("fill", OPEN)):
        sheet = folder / source.name
        yield [command, str(sheet), "--apply", "1"], sheet, source.read_bytes()
    untidy = folder / "untidy.routine"
    yield ["format", str(untidy)], untidy, UNTIDY.encode()


def kill_writing(times: int, seed: int, hall: Path, folder: Path) -> int:
    """Kill runs that write over a file with `-o`, `--apply` or `format`; assert that the old file or the new one is
    there whole."""
    choose = random.Random(seed)
    calls = []
    for words, file, old in writers(hall, folder):
        file.write_bytes(old)
        whole = seconds(words)
        new = file.read_bytes()
        assert new != old
        calls.append((words, file, old, new, whole))
    many = 0
    for number in range(times):
        words, file, old, new, whole = calls[number % len(calls)]
        file.write_bytes(old)
        process = begun(words)
        time.sleep(choose.uniform(0, whole))
        many += killed(process)
        assert file.read_bytes() in (old, new), words
        file.write_bytes(old)
        if number % 10 == 0:  # what a kill leaves behind harms no later run
            begun(words).wait()
            assert new == file.read_bytes()
    left = {path.name for path in folder.iterdir()} - {file.name for _, file, *_ in calls}
    assert all(name.startswith((".stepcheck-", "kept.sqlite")) for name in left)
    return many


def test_runs_that_are_killed_lose_nothing(hall: Path, tmp_path: Path) -> None:
    """Five runs with a cache and five that write over a file are killed at random moments; a longer form runs nightly."""
    assert 0 < kill_caching(5, 1, hall, tmp_path)
    shutil.rmtree(tmp_path)
    tmp_path.mkdir()
    assert 0 < kill_writing(5, 1, hall, tmp_path)


@pytest.mark.nightly
@pytest.mark.parametrize("kill", [kill_caching, kill_writing])
def test_a_hundred_runs_that_are_killed_lose_nothing(kill: object, hall: Path, tmp_path: Path) -> None:
    """The same a hundred times, with other moments."""
    assert callable(kill) and 50 < kill(100, 2, hall, tmp_path)
