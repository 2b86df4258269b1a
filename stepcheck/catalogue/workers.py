"""Who checks the sheets: this process, processes of our own, or whatever executor is handed in.

All take jobs, which carry the text of a sheet, and hand back answers, which are plain values; so it makes no difference
to an answer who found it.
"""

import os
import signal
import traceback
from collections import deque
from contextlib import suppress
from typing import TYPE_CHECKING, TypeAlias

from attrs import evolve, field, frozen

from stepcheck.catalogue.interruption import settle_down, withheld
from stepcheck.model.choices import Engine, Reading
from stepcheck.model.source import SourceError
from stepcheck.report import pipeline
from stepcheck.report.values import Report
from stepcheck.walk.effects import Algebra

# One sheet is checked without any of them, and each takes its time to load.
if TYPE_CHECKING:
    from concurrent.futures import Executor, Future
    from multiprocessing.connection import Connection

    from stepcheck.catalogue.evidence import Kept

RECYCLE = 2_000  # sheets, after which a worker process is replaced, with whatever it has heaped up
FRESH = 500  # sheets, after which effects are made anew
MOST_STILLBORN = 4  # workers that die one after the other while they start, until no more are started
WINDOW = 64  # chunks that a handed-in executor has at once
SHORT, NO_MEMORY = 12, "there is not enough memory to check it"  # the exit status of a worker, and the reason


@frozen
class Options:
    """How sheets are to be checked; as in `pipeline.check_file`.  `keep` asks for what a cache keeps."""

    engine: Engine = "both"
    budget: int | None = None
    readings: Reading = "usual"
    keep: bool = False


@frozen
class Job:
    """A sheet to be checked: its number in the run, what to call it by, its bytes, and a budget of its own, if any.

    `books` has the digests of the books beside it, `script` and `certificate` the files for its proof, if it is wanted.
    """

    number: int
    path: str
    data: bytes = field(repr=False)
    budget: int | None = None
    books: tuple[tuple[str, str], ...] = ()
    script: str = ""
    certificate: str = ""


@frozen
class Answer:
    """What came of a job: a report, or the reason why there is none, with the trace of what went wrong in stepcheck.

    `uncertified` says why a certificate that was wanted is not written.
    """

    number: int
    path: str
    report: Report | None = None
    reason: str = ""
    trace: str = ""
    kept: "Kept | None" = None
    uncertified: str = ""


Jobs = tuple[Job, ...]


def answer(job: Job, options: Options, algebra: Algebra | None = None) -> Answer:
    """Check one sheet; whatever goes wrong stays in the answer."""
    try:
        return _checked(job, options, algebra)
    except MemoryError:
        pass  # nothing can be made here: what fills the memory goes with the exception
    except (SourceError, pipeline.UnknownOption) as error:
        return Answer(job.number, job.path, reason=str(error))
    except Exception as error:
        if "out of memory" not in str(error):  # as z3 says it
            trace = "".join(traceback.format_exception(error))
            return Answer(job.number, job.path, reason=f"{type(error).__name__}: {error}", trace=trace)
    return Answer(job.number, job.path, reason=NO_MEMORY)


def _checked(job: Job, options: Options, algebra: Algebra | None) -> Answer:
    budget = options.budget if job.budget is None else job.budget
    routine = pipeline.loads(job.data, path=job.path, readings=options.readings)
    if options.keep:
        from stepcheck.catalogue import evidence

        before = evidence.files_of(job.path, routine.facts)
    report, outcomes = pipeline.examine(routine, engine=options.engine, budget=budget, algebra=algebra)
    if job.script:
        pipeline.write_script(routine, job.script, force=True)
    uncertified = ""
    if job.certificate:
        from stepcheck.report import certificates

        uncertified = certificates.write(routine, outcomes, job.certificate, force=True)
    kept = None
    # A book or song that was changed meanwhile may have been read before or after.
    if options.keep and evidence.keepable(routine, report) and before == evidence.files_of(job.path, routine.facts):
        kept = evidence.kept(report, outcomes, before)
    return Answer(job.number, job.path, report, "", "", kept, uncertified)


def answer_all(jobs: Jobs, options: Options) -> list[Answer]:
    """Check sheets one after the other; this is what a handed-in executor is asked to do."""
    from stepcheck.catalogue.evidence import digest

    algebra, out = Algebra(), []
    for job in jobs:
        if other := next((path for path, made in job.books if digest(path) != made), None):
            reason = f"the worker does not see {other} as it is here; put the books where every worker reads them"
            out.append(Answer(job.number, job.path, reason=reason))
        else:
            out.append(answer(job, options, algebra))
    return out


class Alone:
    """This process, one sheet at a time; like every crew it takes jobs and hands back answers, in any order."""

    chunk = 1

    def __init__(self, options: Options) -> None:
        self._options = options
        self._algebra = Algebra()
        self._done = 0
        self._answers: list[Answer] = []

    def has_room(self) -> bool:
        """Say whether it can take jobs now."""
        return not self._answers

    def take(self, jobs: Jobs) -> None:
        """Take jobs."""
        for job in jobs:
            self._done += 1
            if self._done % FRESH == 0:
                self._algebra = Algebra()
            self._answers.append(answer(job, self._options, self._algebra))

    def answers(self, *, patient: bool) -> list[Answer]:
        """Return the answers that have come; if `patient`, wait for one."""
        out, self._answers = self._answers, []
        return out

    def stop(self) -> None:
        """Stop at once, whatever is under way."""
        self._answers = []


class Handed:
    """An executor that somebody else made and will end; sheets go to it a chunk at a time."""

    chunk = 8

    def __init__(self, executor: "Executor", options: Options) -> None:
        self._executor, self._options = executor, options
        self._under_way: dict[Future[list[Answer]], Jobs] = {}
        self._failed: list[Answer] = []

    def has_room(self) -> bool:
        return len(self._under_way) < WINDOW

    def take(self, jobs: Jobs) -> None:
        from stepcheck.catalogue.evidence import files_named

        jobs = tuple(evolve(job, books=files_named(job.path, job.data)) for job in jobs)
        try:
            self._under_way[self._executor.submit(answer_all, jobs, self._options)] = jobs
        except Exception as error:
            self._failed += _lost(jobs, error)

    def answers(self, *, patient: bool) -> list[Answer]:
        out, self._failed = self._failed, []
        from concurrent.futures import FIRST_COMPLETED, wait

        done, _ = wait(self._under_way, None if patient and not out else 0, FIRST_COMPLETED)
        for future in sorted(done, key=lambda one: self._under_way[one][0].number):
            jobs = self._under_way.pop(future)
            try:
                out += map(_of_this_version, future.result())
            except Exception as error:
                if len(jobs) == 1:
                    out += _lost(jobs, error)
                else:  # one of them may have killed its worker; the others are not to suffer for it
                    for job in jobs:
                        self.take((job,))
        out, self._failed = out + self._failed, []
        return out

    def stop(self) -> None:
        for future in self._under_way:
            future.cancel()
        self._under_way.clear()


def _lost(jobs: Jobs, error: Exception) -> list[Answer]:
    reason = f"the executor gave no answer: {type(error).__name__}: {error}".rstrip(": ")
    return [Answer(job.number, job.path, reason=reason) for job in jobs]


def _of_this_version(answer: Answer) -> Answer:
    """Return an answer as it is, if the worker has the versions that are installed here."""
    if answer.report is None:
        return answer
    ours = dict(pipeline.versions("z3" in dict(answer.report.versions)))
    if any(ours.get(name) != found for name, found in answer.report.versions):
        told = ", ".join(f"{name} {found}" for name, found in answer.report.versions)
        told = f"the worker has other versions than are installed here: {told}"
        return Answer(answer.number, answer.path, reason=told)
    return answer


# -- processes of our own --------------------------------------------------------------------------------------------


class Worker:
    """A process that checks sheets, and what it has been asked."""

    def __init__(self, options: Options) -> None:
        import multiprocessing

        context = multiprocessing.get_context("spawn")
        self.pipe, theirs = context.Pipe()
        self.process = context.Process(target=work, args=(theirs, options), daemon=True)
        if os.name == "posix":
            from multiprocessing import resource_tracker

            resource_tracker.ensure_running()  # where it is started, it lets through what is withheld
        with withheld():  # a process that is only starting has nothing to stop, and would say so at length
            self.process.start()
        theirs.close()
        self.jobs: deque[Job] = deque()
        self.began, self.done = False, 0

    def end(self) -> None:
        """Let it end by itself, if it can still hear."""
        with suppress(OSError):
            self.pipe.send(None)
        self.pipe.close()

    def kill(self) -> None:
        """End the process at once, also in the middle of a sheet."""
        self.process.kill()
        self.process.join()
        self.pipe.close()


def work(pipe: "Connection", options: Options) -> None:
    """Answer jobs until there are none: what a worker process does."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C goes to all processes of a terminal; ours ends its workers
    settle_down()
    alone = Alone(options)
    try:
        pipe.send(None)
        while (jobs := pipe.recv()) is not None:
            for job in jobs:
                alone.take((job,))
                pipe.send(alone.answers(patient=False))
    except MemoryError:  # the answer itself does not fit
        os._exit(SHORT)
    except (EOFError, OSError):
        return  # nobody listens any more


class Processes:
    """Processes of our own, each with its own solver.

    The sheets that one had when it died are tried once more, one by one; if another dies of one, that is its answer,
    and no other sheet's.  No sheet is to blame where a worker dies while it starts.  Where none starts any more, those
    that live do the work; where none lives, that is the answer to all sheets that are left.
    """

    def __init__(self, number: int, options: Options, *, chunk: int = 8, recycle: int = RECYCLE) -> None:
        self.chunk = chunk
        self._number, self._options, self._recycle = number, options, recycle
        self._workers: list[Worker] = []
        self._again: deque[Job] = deque()
        self._suspects: dict[int, int] = {}
        self._stillborn = 0  # workers, one after the other
        self._lost: list[Answer] = []

    def has_room(self) -> bool:
        return not self._again and self._idle()

    def _idle(self) -> bool:
        return self._starts() or not self._workers or any(not worker.jobs for worker in self._workers)

    def _starts(self) -> bool:
        """Say whether one more worker may be started."""
        return len(self._workers) < self._number and self._stillborn < MOST_STILLBORN

    def take(self, jobs: Jobs) -> None:
        worker = next((worker for worker in self._workers if not worker.jobs), None)
        if worker is None and not self._starts():
            self._lost += (Answer(job.number, job.path, reason="no process starts that could check it") for job in jobs)
            return
        if worker is None:
            worker = Worker(self._options)
            self._workers.append(worker)
        worker.jobs.extend(jobs)
        if worker.began:
            self._ask(worker)

    def _ask(self, worker: Worker) -> None:
        with suppress(OSError):  # it has died; that is noticed where its answers are waited for
            worker.pipe.send(tuple(worker.jobs))

    def answers(self, *, patient: bool) -> list[Answer]:
        from multiprocessing.connection import wait as ready

        out, self._lost = self._lost, []
        while not out and (busy := {worker.pipe: worker for worker in self._workers if worker.jobs}):
            for pipe in ready(list(busy), None if patient else 0):
                worker = busy[pipe]  # type: ignore[index]
                try:
                    out += self._heard(worker, worker.pipe.recv())
                except (EOFError, OSError):
                    out += self._died(worker)
            while self._again and self._idle():  # one by one, the jobs of workers that have died
                self.take((self._again.popleft(),))
            out, self._lost = out + self._lost, []
            if not patient:
                break
        return out

    def _heard(self, worker: Worker, said: list[Answer] | None) -> list[Answer]:
        """Return the answers that a worker has sent; its first word is only that it is there."""
        if said is None:
            worker.began = True
            self._stillborn = 0
            self._ask(worker)
            return []
        for _ in said:
            worker.jobs.popleft()
        worker.done += len(said)
        if not worker.jobs and worker.done >= self._recycle and not self._stillborn:
            self._workers.remove(worker)
            worker.end()
        return said

    def _died(self, worker: Worker) -> list[Answer]:
        """Replace a worker that is dead, and return an answer if its sheet is to blame."""
        self._workers.remove(worker)
        worker.kill()
        if not worker.began:
            self._stillborn += 1
            self._again.extend(worker.jobs)
            return []
        first, *others = worker.jobs
        self._again.extend(others)
        deaths = self._suspects[first.number] = self._suspects.get(first.number, 0) + 1
        if deaths < 2:
            self._again.append(first)
            return []
        status = worker.process.exitcode
        why = NO_MEMORY if status == SHORT else f"the process that checked it died twice (exit status {status})"
        return [Answer(first.number, first.path, reason=why)]

    def stop(self) -> None:
        for worker in self._workers:
            worker.kill()
        self._workers.clear()


Crew: TypeAlias = Alone | Handed | Processes
