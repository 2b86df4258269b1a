"""Who checks the sheets."""

import json
import os
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Iterator
from concurrent.futures import Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor
from multiprocessing import get_context
from pathlib import Path

import pytest

from stepcheck.catalogue import workers
from stepcheck.catalogue.run import FEW, Catalogue, check_catalogue
from stepcheck.catalogue.workers import Answer, Job, Options, Processes
from stepcheck.faces import cli
from stepcheck.model.source import WrongValue
from tests.deaths import deadly_work, refusing_work, starting_once, starting_once_dead
from tests.halls import BOOK, OWN, SOUND, WRONG, fill


@pytest.fixture(scope="module")
def hall(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with more sheets than one process is thought enough for."""
    folder = tmp_path_factory.mktemp("many")
    fill(folder, sound=FEW + 10)
    (folder / "own.routine").write_text(OWN)
    (folder / "weir.book").write_text(BOOK)
    return folder


@pytest.fixture(scope="module")
def alone(hall: Path) -> Catalogue:
    """The answers of one process."""
    return check_catalogue(hall, engine="walk")


def test_processes_answer_as_one_does(hall: Path, alone: Catalogue) -> None:
    """Three processes, each replaced after a few sheets, come to the same reports in the same order."""
    assert alone == check_catalogue(hall, engine="walk", jobs=3)
    assert alone.reports == tuple(answer.report for answer in run(Processes(2, Options("walk"), recycle=20), hall))


def run(crew: workers.Crew, hall: Path) -> list[Answer]:
    """Return what a crew answers to all sheets of a folder, in order."""
    jobs = [Job(n, str(path), path.read_bytes()) for n, path in enumerate(sorted(hall.glob("*.routine")))]
    todo, out = list(jobs), []
    while len(out) < len(jobs):
        while todo and crew.has_room():
            crew.take(tuple(todo[: crew.chunk]))
            del todo[: crew.chunk]
        out += crew.answers(patient=True)
    crew.stop()
    return sorted(out, key=lambda answer: answer.number)


@pytest.mark.parametrize(
    "make", [ThreadPoolExecutor, lambda n: ProcessPoolExecutor(n, mp_context=get_context("spawn"))]
)
def test_an_executor_may_be_handed_in(make: type[Executor], hall: Path, alone: Catalogue) -> None:
    """Threads or processes, the answers are the same, and the executor is not ended."""
    few = [hall / f"{name}.routine" for name in ("a0", "a1", "ill", "open", "own", "wrong")]
    with make(2) as executor:  # type: ignore[call-arg]
        assert alone == check_catalogue(hall, engine="walk", executor=executor)
        assert check_catalogue(few) == check_catalogue(few, executor=executor)
        assert 5 == executor.submit(len, "abcde").result()


class Broken(Executor):
    """An executor that answers for some sheets only."""

    def submit(self, call, /, *args, **options):  # type: ignore[no-untyped-def]
        future: Future[object] = Future()
        if any(job.path.endswith("a3.routine") for job in args[0]):
            future.set_exception(MemoryError("out of room"))
        else:
            future.set_result(call(*args, **options))
        return future


def test_a_sheet_that_an_executor_cannot_answer_harms_no_other(hall: Path, alone: Catalogue) -> None:
    """A chunk that fails is tried sheet by sheet; the one that fails alone is named with the reason."""
    whole = check_catalogue(hall, engine="walk", executor=Broken())

    assert ["the executor gave no answer: MemoryError: out of room"] == [one.reason for one in whole.failures]
    assert [one for one in alone.reports if not one.path.endswith("a3.routine")] == list(whole.reports)


def test_a_worker_that_reads_another_book_is_not_believed(tmp_path: Path) -> None:
    """A worker elsewhere must see the club's own books as they are here; if not, that is said, and nothing is
    answered."""
    (tmp_path / "own.routine").write_text(OWN)
    job = Job(0, str(tmp_path / "own.routine"), OWN.encode(), None, ((str(tmp_path / "weir.book"), "0" * 32),))
    (answer,) = workers.answer_all((job,), Options("walk"))

    assert (None, True) == (answer.report, "does not see" in answer.reason)


def test_a_worker_of_another_version_is_not_believed(hall: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What another stepcheck or another z3 has found is refused."""
    monkeypatch.setattr(workers.pipeline, "versions", lambda solver: (("stepcheck", "0.0.1"), ("z3", "1.0")))
    ours = workers.answer(Job(0, "x", SOUND.encode()), Options("walk"))
    monkeypatch.undo()

    assert "other versions than are installed here: stepcheck 0.0.1, z3 1.0" in workers._of_this_version(ours).reason


# -- processes that die ----------------------------------------------------------------------------------------------


@pytest.fixture
def crew(monkeypatch: pytest.MonkeyPatch) -> Iterator[Processes]:
    """Two worker processes that may die of their sheets."""
    monkeypatch.setattr(workers, "work", deadly_work)
    made = Processes(2, Options("walk"), chunk=4)
    yield made
    made.stop()


def test_a_sheet_that_kills_its_process_harms_no_other(crew: Processes, tmp_path: Path) -> None:
    """The sheet is named, after a second try; all others are answered once, and new processes take over."""
    for number in range(20):
        said = "# deadly" if number in (5, 11) else "# once" if number in (6, 7) else ""
        (tmp_path / f"{number:02}.routine").write_text(SOUND + said)
    answers = run(crew, tmp_path)

    assert list(range(20)) == [answer.number for answer in answers]
    died = [answer.number for answer in answers if "died twice (exit status -9)" in answer.reason]
    assert [5, 11] == died
    assert 18 == sum(answer.reason == "looked at" for answer in answers)


def test_a_process_that_dies_while_it_starts_harms_no_sheet(
    crew: Processes, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Another takes its place, and every sheet is answered."""
    monkeypatch.setattr(workers, "work", starting_once_dead)
    monkeypatch.setenv("STILLBORN", str(tmp_path / "seen"))
    for number in range(6):
        (tmp_path / f"{number}.routine").write_text(SOUND)

    assert ["looked at"] * 6 == [answer.reason for answer in run(crew, tmp_path)]
    assert (tmp_path / "seen").exists()


def test_where_no_process_starts_every_sheet_is_told_so(
    crew: Processes, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """The run ends after a few tries, with an answer for each sheet rather than none at all."""
    monkeypatch.setattr(workers, "work", refusing_work)
    for number in range(40):
        (tmp_path / f"{number:02}.routine").write_text(SOUND)
    reasons = [answer.reason for answer in run(crew, tmp_path)]

    assert ["no process starts that could check it"] * 40 == reasons


def test_what_lives_checks_all_where_no_more_processes_start(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """No more are started after a few tries; the one that lives is waited for."""
    monkeypatch.setattr(workers, "work", starting_once)
    monkeypatch.setenv("STILLBORN", str(tmp_path / "seen"))
    for number in range(40):
        (tmp_path / f"{number:02}.routine").write_text(SOUND)
    crew = Processes(3, Options("walk"), chunk=1)

    assert ["looked at"] * 40 == [answer.reason for answer in run(crew, tmp_path)]


class Client:
    """What gives its executor to whoever asks, as a Dask client does."""

    def __init__(self, executor: Executor) -> None:
        self.executor = executor

    def get_executor(self, *, pure: bool) -> Executor:
        """Return the executor; what is asked twice is to be done twice."""
        assert not pure
        return self.executor


def test_a_client_of_a_cluster_is_an_executor(tmp_path: Path) -> None:
    """A Dask client may be handed in as it is; what takes no work is refused in words."""
    (tmp_path / "a.routine").write_text(SOUND)
    with ThreadPoolExecutor(1) as pool:
        made = check_catalogue(tmp_path, engine="walk", executor=Client(pool))  # type: ignore[arg-type]
    assert check_catalogue(tmp_path, engine="walk") == made
    with pytest.raises(WrongValue, match=r"an executor, as `concurrent\.futures` has them, or a Dask client, not 3"):
        check_catalogue(tmp_path, executor=3)  # type: ignore[arg-type]


# -- Ctrl-C ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("jobs", ["1", "2"])
def test_stopping_keeps_what_is_done(jobs: str, tmp_path: Path) -> None:
    """Ctrl-C ends the command and its processes, what was done is printed whole and kept, and the next run goes on."""
    slow = WRONG + "".join(f"# {n}\n" for n in range(5_000))
    for number in range(300):
        (tmp_path / f"{number:04}.routine").write_text(slow + f"# {number}\n")
    words = ["check", "--jobs", jobs, "--format", "jsonl", "--cache-file", str(tmp_path / "a.sqlite"), str(tmp_path)]
    child = subprocess.Popen(
        [sys.executable, "-m", "stepcheck.faces.cli", *words],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        start_new_session=True,
        bufsize=0,
    )
    assert child.stdout is not None
    first = child.stdout.readline()  # without a buffer, which communicate would pass over
    os.killpg(child.pid, signal.SIGINT)
    began = time.monotonic()
    out, err = child.communicate(timeout=60)
    took = time.monotonic() - began
    lines, err = [first, *out.splitlines()], err.decode()

    assert 130 == child.returncode
    assert took < 10  # a loose bound that only a wait for all sheets would break; the second is measured in the bench
    assert all("verdict" in json.loads(line) for line in lines) and len(lines) < 300
    assert f"stopped after {len(lines)} of 300" in err and "Traceback" not in err
    with sqlite3.connect(tmp_path / "a.sqlite") as base:
        (kept,) = base.execute("select count(*) from answers").fetchone()
    base.close()
    assert len(lines) <= kept


def test_the_command_hands_on_how_many_processes(hall: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The bytes are the same from one process and from two, also of a format that is written at the end."""
    outs = []
    for jobs in ("1", "2"):
        assert 1 == cli.main(["check", "--engine", "walk", "--format", "junit", "--jobs", jobs, str(hall)])
        outs.append(capsys.readouterr())
    assert outs[0] == outs[1]
