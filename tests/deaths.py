"""Worker processes that die, as they are started; a module of its own, for which a process has to load no pytest."""

import os
import signal
from pathlib import Path

from stepcheck.catalogue import workers
from stepcheck.catalogue.workers import Answer, Job, Options
from tests.halls import SOUND


def deadly(job: Job, options: Options, algebra: object = None) -> Answer:
    """Stand in for a check at which a process dies whenever the sheet says so."""
    if b"deadly" in job.data:
        os.kill(os.getpid(), signal.SIGKILL)
    if b"once" in job.data and not os.path.exists(job.path + ".seen"):
        Path(job.path + ".seen").write_text("")
        os.kill(os.getpid(), signal.SIGKILL)
    return Answer(job.number, job.path, reason="looked at")


def deadly_work(pipe: object, options: Options) -> None:
    """Do what a worker process does, with checks that may kill it."""
    workers.answer = deadly
    workers.work(pipe, options)  # type: ignore[arg-type]


def refusing_work(pipe: object, options: Options) -> None:
    """Be a worker process that does not start."""
    raise SystemExit(3)


def starting_once_dead(pipe: object, options: Options) -> None:
    """Be a worker process that dies while it starts, the first time."""
    seen = Path(os.environ["STILLBORN"])
    if not seen.exists():
        seen.write_text("")
        raise SystemExit(3)
    deadly_work(pipe, options)


def starting_once(pipe: object, options: Options) -> None:
    """Be a worker process of which only the first starts."""
    try:
        Path(os.environ["STILLBORN"]).open("x").close()
    except FileExistsError:
        raise SystemExit(3) from None
    deadly_work(pipe, options)


def starved(pipe: object, options: Options) -> None:
    """Be a worker process with room for a small sheet and no large one."""
    import resource  # POSIX has it

    workers.answer(Job(0, "x", SOUND.encode()), options)  # what every sheet needs is loaded
    pages = int(Path("/proc/self/statm").read_text().split()[0])
    most = pages * resource.getpagesize() + (16 << 20)
    resource.setrlimit(resource.RLIMIT_AS, (most, most))
    workers.work(pipe, options)  # type: ignore[arg-type]
