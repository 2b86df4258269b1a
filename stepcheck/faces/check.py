"""The commands `check`, `format` and `editor`, as options and what they print."""

import os
import sys
import time
from contextlib import ExitStack, suppress
from shutil import get_terminal_size
from typing import Any, Self

import click
from attrs import evolve

from stepcheck.catalogue.discovery import STDIN, Found, NothingFound, sheets
from stepcheck.catalogue.interruption import Interruption, settle_down
from stepcheck.faces import options as shared
from stepcheck.faces.options import among, complain, flag, number, option, remark, write
from stepcheck.formats.renderers import renderer
from stepcheck.language import files
from stepcheck.model.choices import ENGINES, FORMATS, READINGS, Engine, Format, Reading
from stepcheck.model.source import SourceError, StepcheckError
from stepcheck.model.statuses import FAILED, PROVED, STOPPED, UNDECIDED, WRONG, exit_status
from stepcheck.model.words import count, visible
from stepcheck.report.text import text
from stepcheck.report.values import Report, build, summary

MANY = 20  # sheets
LONG = 1.5  # seconds
DUMB = ("dumb", "unknown")  # terminals that cannot take a line back
WIDE = 60  # columns from which there is room for the rate and the time left
WIDTH = 100  # of text that does not go to a terminal, so that it is the same everywhere
NARROWEST = 40  # of a terminal; one that is narrower folds lines by itself

EXCLUDE = option(
    "--exclude", "PATTERN", "Leave out what fits, in the manner of .gitignore, even if it is named.", multiple=True
)
PATHS = click.argument("paths", nargs=-1, required=True, metavar="PATH…", type=click.Path(allow_dash=True))


def look(colour: str) -> dict[str, Any]:
    """Return how text is to be rendered on this stdout, `colour` being always, never or auto.

    NO_COLOR and FORCE_COLOR decide for auto, in this order, and COLUMNS how wide a terminal is.
    """
    terminal = sys.stdout.isatty()
    plain = bool(os.environ.get("NO_COLOR"))
    auto = not plain and (bool(os.environ.get("FORCE_COLOR")) or (terminal and os.environ.get("TERM") != "dumb"))
    width = max(NARROWEST, get_terminal_size((WIDTH, 24)).columns) if terminal else WIDTH
    return {"colour": colour == "always" or (colour == "auto" and auto), "width": width}


def find(
    paths: tuple[str, ...], exclude: tuple[str, ...] = (), root: str = ""
) -> tuple[tuple[str, ...], list[dict[str, str]]]:
    """Return the sheets that `paths` mean and what could not be found, having said so; the rest as for `sheets`.

    Raises:
        NothingFound: there are paths, but no sheet.
    """
    found = sheets(paths, exclude=exclude, root=root)
    for path, reason in found.missing:
        complain(f"{path}: {reason}")
    if not found.sheets and not found.missing and not found.excluded:
        raise NothingFound(f"no sheet (*.routine) found in {', '.join(paths)}")
    return found.sheets, [{"path": path, "message": reason} for path, reason in found.missing]


@click.command(short_help="Prove that sheets have no mistake, or show the mistakes.")
@PATHS
@EXCLUDE
@among("--format form", FORMATS, "What to print.  [default: text]")
@shared.OUTPUT
@shared.FORCE
@among(
    "--engine",
    ENGINES,
    "Who decides: the walk through all states, the solver, or both, which must agree.  [default: both]",
)
@number("--budget", "How much work a claim may cost, in solver steps.")
@among(
    "--colour --color",
    ("auto", "always", "never"),
    "Whether to paint the text; auto does on a terminal, unless NO_COLOR is set, and where FORCE_COLOR is.",
    "auto",
)
@shared.SMT2
@shared.CERTIFICATE
@among(
    "--readings",
    READINGS,
    "Words read in several ways: as usual; in all ways at once; as usual, with what others would do wrong.  "
    "[default: usual]",
)
@number("--jobs", "How many processes check.  [default: one a processor]")
@click.option(
    "--cache/--no-cache", "cached", default=None, help="Keep answers, and believe those that were kept.  [default: no]"
)
@option(
    "--cache-file",
    "FILE",
    "Keep answers in this file; without it, in the one that STEPCHECK_CACHE_FILE names.",
    type=click.Path(dir_okay=False),
    envvar="STEPCHECK_CACHE_FILE",
)
@option("--scheduler", "ADDRESS", "Let a Dask cluster check, the one with this scheduler.")
@flag("--allow-undecided", "Exit with 0 where nothing is wrong, though something waits on a blank.")
@flag("-v --verbose", "Say the claims that are proved, too.")
def check(  # noqa: C901 - one run, from its options to its status
    paths: tuple[str, ...],
    exclude: tuple[str, ...],
    form: Format | None,
    output: str | None,
    force: bool,
    engine: Engine | None,
    budget: int | None,
    colour: str,
    smt2: str | None,
    certificate: str | None,
    readings: Reading | None,
    jobs: int | None,
    cached: bool | None,
    cache_file: str | None,
    scheduler: str | None,
    allow_undecided: bool,
    verbose: bool,
) -> int:
    """Check sheets: each PATH is a sheet, a folder of *.routine files, a pattern, or - for stdin.

    Every claim of a sheet is proved, or refuted with the steps that lead to the mistake. The answers go to stdout, one
    line that sums them up to stderr. What is usual in a project stands in its pyproject.toml under [tool.stepcheck].
    """
    from stepcheck.catalogue import run as catalogue
    from stepcheck.catalogue import settings
    from stepcheck.catalogue.workers import Options

    settle_down()
    usual = settings.read()
    found, errors = find(paths, usual.patterns(exclude), usual.root)
    style = look(colour) if output is None else {"colour": colour == "always", "width": WIDTH}
    rendered = renderer(form or usual.format, verbose=verbose or usual.verbose, **style)
    wanted = cached is not False and (cache_file or _settled(usual.cache) or bool(cached))
    asked = Options(engine or usual.engine, budget or usual.budget, readings or usual.readings, bool(wanted))
    scripts = files.beside(found, smt2)
    certificates = files.beside(found, certificate, files.CERTIFICATE)
    read = (*found, wanted) if isinstance(wanted, str) else found
    _permit(output, (*scripts.values(), *certificates.values()), read, force=force)
    done: list[Report] = []
    statuses: list[int] = [FAILED] * len(errors)
    stopped = False

    def told(answer: Any) -> None:
        report = _report(answer, errors)
        if answer.uncertified:
            complain(f"{answer.path}: there is no certificate: {answer.uncertified}")
        statuses.append(report.exit_status if report else FAILED)
        if report:
            done.append(evolve(report, claims=(), diagnostics=()) if rendered.streams else report)
            if said := rendered.each(report):
                progress.hide()
                put(said)
        progress.step()

    with suppress(_Unwritten), ExitStack() as stack:
        for folder in filter(None, (smt2, certificate)):
            files.folder(folder)
        put = stack.enter_context(shared.destination(output, force=force))
        progress = stack.enter_context(Progress(len(found)))
        kept = catalogue.opened(wanted, say=complain)
        if kept is not None:
            stack.enter_context(kept)
        executor = stack.enter_context(catalogue.connected(scheduler)) if scheduler else None
        crew = catalogue.crew(asked, jobs or usual.jobs or None, executor)
        run = catalogue.Run(Found(found), asked, crew, kept, usual.budgets_of(found), scripts, certificates)
        stop = stack.enter_context(Interruption())
        try:
            for answer in run:
                told(answer)
                stop.heed()
        except KeyboardInterrupt:
            stopped = True
        finally:
            left = run.stop()
        for answer in left if stopped else ():
            told(answer)
        progress.hide()
        if said := rendered.end(tuple(done), errors):
            put(said)
        if output is not None and (stopped or not done):
            raise _Unwritten
    remark(summary(done, len(errors)))
    if stopped:
        unwritten = "; a file is written only by a run that ends" if output else ""
        complain(f"stopped after {len(done) + len(errors)} of {len(found)}{unwritten}")
        return STOPPED
    status = exit_status(statuses)
    return PROVED if allow_undecided and status == UNDECIDED else status


def _settled(cache: str | bool) -> str | bool:
    """Return the cache that a project settles, if it may be believed; else False, having said what to write."""
    if isinstance(cache, bool):
        return cache
    from stepcheck.catalogue.cache import is_own

    if is_own(cache):
        return cache
    from shlex import quote

    complain(
        f"{cache}, which pyproject.toml names as cache, lies outside your own cache folder and is not used, since "
        f"whoever wrote it may have made its answers up; if you trust it, write --cache-file {quote(cache)}, or set "
        "STEPCHECK_CACHE_FILE"
    )
    return False


class _Unwritten(Exception):
    """The answers are not all there: the file that they were to go to stays as it was."""


def _permit(output: str | None, written: tuple[str, ...], read: tuple[str, ...], *, force: bool) -> None:
    """Refuse, before anything is touched, to write over what is read or over another answer of this run.

    Raises:
        SourceError: something would be lost.
    """
    places = (files.STDOUT if output is None else output, *written)
    if files.inodes(places):
        sources = files.inodes(files.STDIN if path == STDIN else path for path in read)
        for place in places:
            files.permit(place, sources, force=force)
    if output is not None and os.path.realpath(output) in map(os.path.realpath, written):
        raise SourceError(f"{output} is to be a script or a certificate, and no report is written over it")


class Elsewhere(Exception):
    """A failure in this process or in a worker, as text."""


def _report(answer: Any, errors: list[dict[str, str]]) -> Report | None:
    """Return the report of an answer; or None, having said why there is none."""
    if answer.report is not None:
        report: Report = answer.report
        for finding in report.diagnostics:
            if finding.code.id.startswith("SR9"):
                complain(f"{answer.path}: {shared.failure(finding.message, answer.path)}")
        return report
    reason = shared.failure(answer.reason, answer.path, Elsewhere(answer.trace)) if answer.trace else answer.reason
    complain(reason if answer.path in reason else f"{answer.path}: {reason}")
    errors.append({"path": answer.path, "message": reason})
    return None


@click.command("format", short_help="Lay sheets out the one canonical way.")
@PATHS
@EXCLUDE
@flag("--check only_check", "Change nothing; name the sheets that would change, and exit with 1 if any.")
@flag("--diff", "Change nothing; print what would change.")
@shared.IN_PLACE
def layout(paths: tuple[str, ...], exclude: tuple[str, ...], only_check: bool, diff: bool, in_place: bool) -> int:
    """Lay sheets out the one canonical way, keeping every comment and note.

    Each PATH is a sheet, a folder of *.routine files, or - to go from stdin to stdout. A sheet that is not understood
    is left as it is, and its mistakes are shown. With --check or --diff the exit status is 1 if a sheet would change.
    """
    from stepcheck.catalogue import settings
    from stepcheck.language.patch import restored
    from stepcheck.program.formatter import replace
    from stepcheck.program.routine import lay_out

    usual = settings.read()
    found, errors = find(paths, usual.patterns(exclude), usual.root)
    statuses = [FAILED] * len(errors)
    changed = 0
    for path in found:
        try:
            piped = path == STDIN
            laid = lay_out("<stdin>", sys.stdin.buffer.read()) if piped else lay_out(path)
            if laid.after is None:
                report = build(laid.source, diagnostics=laid.findings)
                if piped and not (only_check or diff):
                    write(laid.source.raw or laid.source.text)
                remark(text((report,)).rstrip())
                statuses.append(WRONG)
                continue
            if diff and laid.changed:
                write(laid.diff())
            elif only_check and laid.changed:
                write(f"{visible(laid.source.path)}: would be laid out anew\n")
            if only_check or diff:
                statuses.append(WRONG if laid.changed else PROVED)
            elif piped:
                write(restored(laid.source, laid.after))
            elif laid.changed:
                replace(laid.source, laid.after, in_place=in_place)
            changed += laid.changed
        except SourceError as error:
            complain(str(error))
            statuses.append(FAILED)
    done = "would be laid out anew" if only_check or diff else "laid out anew"
    remark(f"{count(len(found), 'sheet')}: {changed} {done}")
    return exit_status(statuses)


@click.command("editor", short_help="Serve an editor: findings while typing, hover, completion, fixes.")
def serve() -> int:
    """Serve one editor by the Language Server Protocol over stdin and stdout; editors start this themselves."""
    try:
        from stepcheck.faces.editor import main
    except ImportError as error:
        raise StepcheckError(
            f"the language server needs what `pip install 'stepcheck[editor]'` brings: {error}"
        ) from error
    if sys.stdin.isatty():
        complain("an editor starts this by itself; in a terminal there is nothing to see, and Ctrl-C ends it")
    return main()


# -- how far a run has come --------------------------------------------------------------------------------------------


class Progress:
    """Shows how far a run over `total` sheets has come, on stderr, if that is a terminal and the run takes long."""

    def __init__(self, total: int) -> None:
        self._total = total
        self._done = 0
        self._wanted = total >= MANY and sys.stderr.isatty() and os.environ.get("TERM") not in DUMB
        self._start = time.monotonic()
        self._bar: Any = None

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.hide()

    def step(self) -> None:
        """Count one sheet as done."""
        self._done += 1
        if self._bar is None and self._wanted and time.monotonic() - self._start > LONG:
            self._bar = _bar(self._total)
        if self._bar is not None:
            self._bar.start()
            rate = self._done / (time.monotonic() - self._start)
            self._bar.update(self._bar.task_ids[0], completed=self._done, rate=f"{rate:,.0f} a second")

    def hide(self) -> None:
        """Take the bar off the terminal, so that something else can be written; the next `step` brings it back."""
        if self._bar is not None:
            self._bar.stop()


def _bar(total: int) -> Any:
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, ProgressColumn, TextColumn, TimeRemainingColumn
    from rich.progress import Progress as Bar

    rate, left = TextColumn("{task.fields[rate]}"), TimeRemainingColumn(elapsed_when_finished=True)
    console = Console(stderr=True)
    shown: tuple[ProgressColumn, ...] = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn())
    shown += (rate, left) if console.width >= WIDE else ()
    bar = Bar(*shown, console=console, transient=True, redirect_stdout=False, redirect_stderr=False)
    bar.add_task("sheets", total=total, rate="")
    return bar
