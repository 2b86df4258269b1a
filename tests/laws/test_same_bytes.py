"""The same sheets give the same bytes, whoever checks them, and whatever was kept and whichever worker was killed."""

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from stepcheck.catalogue.run import FEW, NoCluster, connected
from stepcheck.faces import cli
from stepcheck.model.choices import FORMATS
from tests.bench.generators import write
from tests.halls import BOOK, OWN, fill


@pytest.fixture(scope="module")
def hall(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A catalogue with sheets of every kind, more than one process is thought enough for."""
    folder = tmp_path_factory.mktemp("hall")
    fill(folder)
    write(folder / "deep", FEW)
    (folder / "own.routine").write_text(OWN)
    (folder / "weir.book").write_text(BOOK)
    return folder


def said(capfdbinary: pytest.CaptureFixture[bytes], *words: str) -> tuple[int, bytes, bytes]:
    """Return the exit status of a command, and what it says."""
    status = cli.main(["check", *words])
    return status, *capfdbinary.readouterr()


@pytest.mark.parametrize(("form", "jobs"), [("jsonl", "2"), ("text", "4")])
def test_the_same_bytes_from_one_process_and_from_several_cold_and_kept(
    form: str, jobs: str, hall: Path, tmp_path: Path, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    """Exit status, answers and the line that sums up are the same."""
    words = ["--engine", "walk", "--format", form, str(hall)]
    one = said(capfdbinary, "--jobs", "1", *words)
    kept = ["--cache-file", str(tmp_path / "a.sqlite")]

    assert one == said(capfdbinary, "--jobs", jobs, *kept, *words)
    assert one == said(capfdbinary, "--jobs", "1", *kept, *words)


@pytest.mark.parametrize("form", FORMATS)
def test_what_was_kept_says_the_same_in_every_format(
    form: str, hall: Path, tmp_path: Path, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    """Nothing that a format shows is lost when answers are kept; both engines and every kind of sheet take part."""
    words = ["--format", form, *(str(path) for path in sorted(hall.glob("*.routine")))]
    cold = said(capfdbinary, *words)
    words += ["--cache-file", str(tmp_path / "a.sqlite")]

    assert cold == said(capfdbinary, *words)
    assert cold == said(capfdbinary, *words)


def test_no_hash_seed_changes_a_byte(hall: Path) -> None:
    """Other seeds of Python's hashes, and paths in another order, give the same bytes."""
    paths = [str(hall / "deep"), str(hall)]
    command = [sys.executable, "-m", "stepcheck.faces.cli", "check", "--engine", "walk", "--format", "json"]
    outs = []
    for order, seed in ((paths, "random"), (paths[::-1], "0"), (paths[::-1], "4711")):
        surroundings = {**os.environ, "PYTHONHASHSEED": seed}
        run = subprocess.run([*command, "--jobs", "1", *order], capture_output=True, env=surroundings, check=False)
        outs.append((run.returncode, run.stdout, run.stderr))

    assert outs[0] == outs[1] == outs[2] and outs[0][1]


# -- a cluster -------------------------------------------------------------------------------------------------------


@contextmanager
def cluster(workers: int) -> Iterator[tuple[str, list[subprocess.Popen[bytes]]]]:
    """Yield the address of the scheduler of a Dask cluster on this machine, and its workers' processes."""
    nobody = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    quiet = {**os.environ, "DASK_DISTRIBUTED__COMM__TIMEOUTS__CONNECT": "30s"}
    code = (
        "import asyncio, sys; from distributed import Scheduler\n"
        "async def main():\n"
        "    async with Scheduler(host='127.0.0.1', port=0, dashboard_address=':0') as scheduler:\n"
        "        print(scheduler.address, flush=True); await scheduler.finished()\n"
        "asyncio.run(main())"
    )
    scheduler = subprocess.Popen(
        [sys.executable, "-c", code], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True, env=quiet
    )
    assert scheduler.stdout is not None
    address = scheduler.stdout.readline().strip()
    worker = [
        sys.executable,
        "-m",
        "distributed.cli.dask_worker",
        address,
        "--nthreads",
        "1",
        "--no-nanny",
        "--no-dashboard",
    ]
    started = [subprocess.Popen(worker, env=quiet, **nobody) for _ in range(workers)]  # type: ignore[call-overload]
    try:
        yield address, started
    finally:
        for process in (*started, scheduler):
            process.kill()
            process.wait()
        scheduler.stdout.close()


def test_a_cluster_that_loses_a_worker_gives_the_same_bytes(
    hall: Path, tmp_path: Path, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    """One of two workers is killed half-way; the other goes on, and the command says what one process says."""
    write(tmp_path / "more", 100, seed=2)
    words = ["check", "--engine", "walk", "--format", "jsonl", str(hall), str(tmp_path / "more")]
    alone = said(capfdbinary, *words[1:], "--jobs", "1")
    with cluster(2) as (address, started):
        child = subprocess.Popen(
            [sys.executable, "-m", "stepcheck.faces.cli", *words, "--scheduler", address],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            cwd=tmp_path,
            bufsize=0,
        )
        # Without a buffer, since what readline had put into one would be lost to communicate.
        assert child.stdout is not None
        first = child.stdout.readline()  # so the cluster is at work
        started[0].kill()
        out, err = child.communicate(timeout=120)

    assert alone[:2] == (child.returncode, first + out)
    assert alone[2].splitlines()[-1] == err.splitlines()[-1]


def test_a_cluster_that_is_not_there_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    """No scheduler at the address, and no `distributed` installed, are plain messages."""
    monkeypatch.setattr("stepcheck.catalogue.run.PATIENCE", 0.2)
    with (
        pytest.raises(NoCluster, match=r"there is no scheduler at tcp://127\.0\.0\.1:1"),
        connected("tcp://127.0.0.1:1"),
    ):
        pass
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(NoCluster, match=r"install stepcheck\[cluster\]"), connected("tcp://127.0.0.1:1"):
        pass
