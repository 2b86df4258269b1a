"""Many sheets: checked in this process or by workers, or taken from a cache; the answers in the order of the sheets."""

import os
import sys
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from typing import TYPE_CHECKING

from attrs import define, evolve, field, frozen

from stepcheck.catalogue.discovery import STDIN, Found, NothingFound, sheets
from stepcheck.catalogue.workers import Alone, Answer, Crew, Handed, Job, Options, Processes
from stepcheck.model.choices import ENGINES, READINGS, Engine, Reading
from stepcheck.model.source import SourceError, StepcheckError, each, read_bytes, require
from stepcheck.model.statuses import exit_status
from stepcheck.model.words import visible
from stepcheck.report.pipeline import UnknownOption
from stepcheck.report.text import text
from stepcheck.report.values import Printed, Report, summary

if TYPE_CHECKING:
    from concurrent.futures import Executor

    from stepcheck.catalogue.cache import Cache

AHEAD = 512  # sheets are looked at while the answer to an earlier one is waited for
PATIENCE = 10  # seconds to wait for a cluster
FEW = 64  # sheets to be checked are not worth starting processes for


class NoCluster(StepcheckError, OSError):
    """The cluster cannot be reached, or `distributed` is not installed."""


@frozen
class Failure:
    """A sheet to which there is no answer.

    Attributes:
        path: the sheet.
        reason: why there is none.
    """

    path: str
    reason: str


@frozen
class Catalogue(Printed):
    """The answers to the sheets of a catalogue; printed, they are the text of the command.

    Attributes:
        reports: the answers, in a fixed order.
        failures: the sheets to which there is none.
        remembered: how many answers came from a cache.
    """

    reports: tuple[Report, ...]
    failures: tuple[Failure, ...] = ()
    remembered: int = field(default=0, eq=False)

    def __str__(self) -> str:
        """The text that the command prints, with the line that ends a run."""
        failed = "".join(f"{visible(one.path)}: {visible(one.reason)}\n" for one in self.failures)
        return text(self.reports) + failed + self.summary

    @property
    def summary(self) -> str:
        """The line that ends a run: `12 sheets: 11 proved, 1 undecided`."""
        return summary(self.reports, len(self.failures))

    @property
    def exit_status(self) -> int:
        """That of the worst sheet: 2 could not run, then 1, then 3, then 0."""
        return exit_status([*(2 for _ in self.failures), *(report.exit_status for report in self.reports)])


def check_catalogue(
    paths: str | os.PathLike[str] | Iterable[str | os.PathLike[str]],
    *,
    executor: "Executor | None" = None,
    cache: "Cache | str | os.PathLike[str] | bool | None" = None,
    engine: Engine = "both",
    budget: int | None = None,
    budgets: Mapping[str, int] | None = None,
    readings: Reading = "usual",
    exclude: Iterable[str] = (),
    jobs: int | None = 1,
    on_report: Callable[[Report], None] | None = None,
) -> Catalogue:
    """Check every sheet that `paths` mean.

    Args:
        paths: sheets, folders and patterns such as `specs/**/*.routine`; one or several.
        executor: who is to check, an executor or a Dask client; every sheet goes to it as text. It is not ended here.
        cache: a cache, a file to keep answers in, or True for the usual file.
        engine: "walk", "z3", or "both", which must agree.
        budget: how much work a sheet may cost; as for `check`.
        budgets: other budgets, by the path of a sheet as it is found.
        readings: how words with several readings are read; as for `load`.
        exclude: patterns of sheets to leave out, in the manner of `.gitignore`.
        jobs: how many processes are to check, if no executor is handed in; 1 is this one alone, None is as many as the
            machine has processors, if there is enough to do.  A program that asks for more than one must guard its main
            module, as all that use `multiprocessing` must.
        on_report: told each report as soon as those before it are there.

    Raises:
        NothingFound: the paths mean no sheet.
        UnknownOption: an option has a value that it cannot have.
    """
    require(paths, str | os.PathLike | Iterable, "paths of sheets and folders")
    paths = (paths,) if isinstance(paths, str | os.PathLike) else tuple(paths)
    for path in paths:
        require(path, str | os.PathLike, "paths of sheets and folders")
    found = sheets([os.fspath(path) for path in paths], exclude=each(exclude))
    if not found.sheets and not found.missing:
        raise NothingFound("no sheet (*.routine) found")
    kept = opened(cache) if cache is None or isinstance(cache, str | os.PathLike | bool) else cache
    options = Options(engine, budget, readings, keep=kept is not None)
    run = Run(found, options, crew(options, jobs, executor), kept, budgets or {})
    reports, failures = [], [Failure(path, reason) for path, reason in found.missing]
    try:
        for one in run:
            if one.report is None:
                failures.append(Failure(one.path, one.reason))
            else:
                reports.append(one.report)
                if on_report is not None:
                    on_report(one.report)
    finally:
        run.stop()
        if kept is not None and kept is not cache:
            kept.close()
    return Catalogue(tuple(reports), tuple(failures), run.remembered)


def opened(
    cache: str | os.PathLike[str] | bool | None, say: Callable[[str], None] = lambda said: None
) -> "Cache | None":
    """Return the cache that is asked for: True is the usual file, False and None are none."""
    if cache is None or cache is False:
        return None
    from stepcheck.catalogue.cache import Cache, default_file

    return Cache(default_file() if cache is True else cache, say=say)


def crew(options: Options, jobs: int | None = 1, executor: "Executor | None" = None) -> Crew:
    """Return who is to check.

    Raises:
        UnknownOption: an option has a value that it cannot have.
    """
    if options.engine not in ENGINES:
        raise UnknownOption(f"there is no engine {options.engine!r}; the engines are {', '.join(ENGINES)}")
    if options.readings not in READINGS:
        raise UnknownOption(f"words are not read {options.readings!r}; it is one of {', '.join(READINGS)}")
    if jobs is not None and jobs < 1:
        raise UnknownOption(f"{jobs} processes cannot check anything")
    if executor is not None:
        return Handed(_executor(executor), options)
    number = processors() if jobs is None else jobs
    return Processes(number, options) if number > 1 else Alone(options)


def _executor(handed: "Executor") -> "Executor":
    """Return what was handed in as an executor; a Dask client has one.

    Raises:
        WrongValue: it is nothing that takes work.
    """
    from concurrent.futures import Executor

    if not isinstance(handed, Executor) and hasattr(handed, "get_executor"):
        handed = handed.get_executor(pure=False)
    require(handed, Executor, "an executor, as `concurrent.futures` has them, or a Dask client")
    return handed


@contextmanager
def connected(address: str) -> "Iterator[Executor]":
    """Yield an executor that hands everything to the cluster whose scheduler is at `address`.

    A worker that dies harms nothing: the scheduler gives what it had to another.

    Raises:
        NoCluster: there is none.
    """
    try:
        from distributed import Client
    except ImportError as error:
        raise NoCluster("a cluster needs more packages: install stepcheck[cluster]") from error
    try:
        client = Client(address, timeout=PATIENCE, set_as_default=False)
    except (OSError, ValueError) as error:
        raise NoCluster(f"there is no scheduler at {address}: {error}") from error
    with client:
        yield client.get_executor(pure=False)


def processors() -> int:
    """Return how many processors this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


@define(eq=False, slots=False)
class Run:
    """A run over sheets that have been found; iterate over it for the answers, in the order of the sheets.

    A sheet whose proof is to be written to a file, which `scripts` or `certificates` name by path, is checked, whatever
    the cache has.
    `remembered` counts the answers from the cache.  Whatever ends the iteration, call `stop`.
    """

    _found: Found
    _options: Options
    _crew: Crew
    _cache: "Cache | None" = None
    _budgets: Mapping[str, int] = field(factory=dict)
    _scripts: Mapping[str, str] = field(factory=dict)
    _certificates: Mapping[str, str] = field(factory=dict)
    remembered: int = field(default=0, init=False)
    _keys: dict[int, bytes] = field(factory=dict, init=False)
    _waiting: deque[Job] = field(factory=deque, init=False)
    _under_way: int = field(default=0, init=False)
    _begun: bool = field(default=False, init=False)
    _ready: dict[int, Answer] = field(factory=dict, init=False)

    def __attrs_post_init__(self) -> None:
        self._alone = Alone(self._options)

    def __iter__(self) -> Iterator[Answer]:
        source = self._looked_up()
        due, more = 0, True
        while more or self._waiting or self._under_way:
            looking = more and len(self._ready) + len(self._waiting) + self._under_way < AHEAD
            if looking:
                item = next(source, None)
                more = item is not None
                if isinstance(item, Job):
                    self._waiting.append(item)
                elif item is not None:
                    self._ready[item.number] = item
            self._hand_out(every=not looking)
            for one in self._crew.answers(patient=not looking) if self._under_way else ():
                self._under_way -= 1
                self._put_away(one)
            while due in self._ready:
                yield self._ready.pop(due)
                due += 1

    def _hand_out(self, *, every: bool) -> None:
        """Give the crew what it has room for; `every` says not to wait until there is more to give."""
        slow_start = isinstance(self._crew, Processes) and not self._begun
        if slow_start and len(self._waiting) <= FEW:
            if every and self._waiting:
                self._alone.take((self._waiting.popleft(),))
                self._put_away(*self._alone.answers(patient=True))
            return
        size = self._crew.chunk
        while len(self._waiting) >= (1 if every else size) and self._crew.has_room():
            jobs = tuple(self._waiting.popleft() for _ in range(min(size, len(self._waiting))))
            self._begun = True
            self._under_way += len(jobs)
            self._crew.take(jobs)

    def _put_away(self, one: Answer) -> None:
        """Keep an answer until it is due, and for the next run."""
        key = self._keys.pop(one.number, None)
        if self._cache is not None and key is not None and one.kept is not None:
            self._cache.put(key, one.kept)
        self._ready[one.number] = evolve(one, kept=None) if one.kept is not None else one

    def _looked_up(self) -> Iterator[Job | Answer]:
        """Yield each sheet in order: as an answer, where it is remembered or cannot be read, else as a job."""
        options = self._options
        for number, path in enumerate(self._found.sheets):
            name = "<stdin>" if path == STDIN else path
            try:
                data = sys.stdin.buffer.read() if path == STDIN else read_bytes(path)
            except SourceError as error:
                yield Answer(number, name, reason=str(error))
                continue
            budget, proofs = self._budgets.get(path), (self._scripts.get(path, ""), self._certificates.get(path, ""))
            if self._cache is not None:
                work = options.budget if budget is None else budget
                key = self._cache.key(name, data, (options.engine, work, options.readings))
                report = None if any(proofs) else self._cache.get(key, name, data, options.readings)
                if report is not None:
                    self.remembered += 1
                    yield Answer(number, name, report)
                    continue
                self._keys[number] = key
            yield Job(number, name, data, budget, (), *proofs)

    def stop(self) -> list[Answer]:
        """Stop what is under way, and return the answers that had come but were not yet due, in order."""
        self._crew.stop()
        if self._cache is not None:
            self._cache.flush()
        left, self._ready = self._ready, {}
        return [left[number] for number in sorted(left)]
