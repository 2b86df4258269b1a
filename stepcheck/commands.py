"""The commands `check` and `format`, as options and what they print."""

import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import click

from stepcheck.discovery import STDIN, NothingFound, sheets
from stepcheck.progress import Progress
from stepcheck.renderers import FORMATS, renderer
from stepcheck.report import Report, build, exit_status, summary, text
from stepcheck.source import SourceError, StepcheckError
from stepcheck.words import count

WIDTH = 100  # of text that does not go to a terminal, so that it is the same everywhere

PATHS = click.argument("paths", nargs=-1, required=True, metavar="PATH…", type=click.Path(allow_dash=True))


class ReaderLeft(StepcheckError):
    """Whoever read the answers has left."""


def write(said: str) -> None:
    """Write to stdout, in UTF-8 wherever it goes.

    Raises:
        ReaderLeft: nobody reads it any more.
    """
    try:
        sys.stdout.buffer.write(said.encode("utf-8", "backslashreplace"))
        sys.stdout.buffer.flush()
    except BrokenPipeError as error:
        raise ReaderLeft("nobody reads the answers any more") from error


@contextmanager
def destination(output: str | None) -> Iterator[Callable[[str], None]]:
    """Yield what writes the answers: to the file `output`, or to stdout.

    Raises:
        SourceError: the file cannot be written; it is opened before any sheet is checked.
    """
    if output is None:
        yield write
        return
    try:
        file = open(output, "w", encoding="utf-8", errors="backslashreplace", newline="\n")
    except OSError as error:
        raise SourceError(f"{output} cannot be written: {(error.strerror or str(error)).lower()}") from error
    with file:

        def put(said: str) -> None:
            file.write(said)
            file.flush()

        yield put


def complain(said: str) -> None:
    """Write a message to stderr."""
    click.echo(f"stepcheck: {said}", err=True)


def failed(reason: str, path: str | None = None, error: BaseException | None = None) -> str:
    """Return what to say where stepcheck itself failed, having kept what shows the failure again."""
    from stepcheck import crash  # what it loads is for this rare case only

    return crash.sentence(reason, crash.keep(reason, path, error))


def look(colour: str) -> dict[str, Any]:
    """Return how text is to be rendered on this stdout, `colour` being always, never or auto."""
    terminal = sys.stdout.isatty()
    plain = bool(os.environ.get("NO_COLOR")) or os.environ.get("TERM") == "dumb"
    width = max(40, os.get_terminal_size(sys.stdout.fileno()).columns or WIDTH) if terminal else WIDTH
    return {"colour": colour == "always" or (colour == "auto" and terminal and not plain), "width": width}


def find(paths: tuple[str, ...]) -> tuple[tuple[str, ...], list[dict[str, str]]]:
    """Return the sheets that `paths` mean and what could not be found, having said so.

    Raises:
        NothingFound: there are paths, but no sheet.
    """
    found = sheets(paths)
    for path, reason in found.missing:
        complain(f"{path}: {reason}")
    if not found.sheets and not found.missing:
        raise NothingFound(f"no sheet (*.routine) found in {', '.join(paths)}")
    return found.sheets, [{"path": path, "message": reason} for path, reason in found.missing]


@click.command(short_help="Prove that sheets have no mistake, or show the mistakes.")
@PATHS
@click.option(
    "--format", "form", type=click.Choice(FORMATS), default="text", show_default=True, help="What to print."
)
@click.option(
    "-o", "--output", type=click.Path(dir_okay=False), metavar="FILE", help="Write it to a file instead of stdout."
)
@click.option(
    "--engine", type=click.Choice(["walk", "z3", "both"]), default="both", show_default=True,
    help="Who decides: the walk through all states, the solver, or both, which must agree.",
)  # fmt: skip
@click.option(
    "--budget", type=click.IntRange(min=1), metavar="N", help="How much work a claim may cost, in solver steps."
)
@click.option(
    "--colour", "--color", type=click.Choice(["auto", "always", "never"]), default="auto", show_default=True,
    help="Whether to paint the text; auto does on a terminal.",
)  # fmt: skip
@click.option(
    "--smt2", type=click.Path(file_okay=False), metavar="DIR", help="Write each proof as an SMT-LIB 2 script."
)
@click.option(
    "--readings", type=click.Choice(["usual", "all", "report"]), default="usual", show_default=True,
    help="Words read in several ways: as usual; in all ways at once; as usual, with what others would do wrong.",
)  # fmt: skip
@click.option("-v", "--verbose", is_flag=True, help="Say the claims that are proved, too.")
def check(
    paths: tuple[str, ...], form: str, output: str | None, engine: str, budget: int | None, colour: str,
    smt2: str | None, readings: str, verbose: bool,
) -> int:  # fmt: skip
    """Check sheets: each PATH is a sheet, a folder of *.routine files, or - for stdin.

    Every claim of a sheet is proved, or refuted with the steps that lead to the mistake. The answers go to stdout, one
    line that sums them up to stderr.
    """
    from stepcheck import pipeline

    found, errors = find(paths)
    style = look(colour) if output is None else {"colour": colour == "always", "width": WIDTH}
    rendered = renderer(form, verbose=verbose, **style)
    done: list[Report] = []
    failed: list[int] = [2] * len(errors)
    options = {"engine": engine, "budget": budget, **({"smt2": smt2} if smt2 else {})}
    options |= {"readings": readings} if readings != "usual" else {}
    stopped = False
    with destination(output) as put, Progress(len(found)) as progress:
        try:
            for path in found:
                report = _one(pipeline, path, options, errors)
                failed += [] if report else [2]
                done += [report] if report else []
                if report and (said := rendered.each(report)):
                    progress.hide()
                    put(said)
                progress.step()
        except KeyboardInterrupt:
            stopped = True
        progress.hide()
        if said := rendered.end(tuple(done), errors):
            put(said)
    click.echo(summary(done) + (f"; {len(errors)} could not be checked" if errors else ""), err=True)
    if stopped:
        complain(f"stopped after {len(done) + len(errors)} of {len(found)}")
        return 130
    return exit_status([*failed, *(report.exit_status for report in done)])


def _one(pipeline: Any, path: str, options: dict[str, Any], errors: list[dict[str, str]]) -> Report | None:
    """Return the report on one sheet; or None, having said why, so that the other sheets of a run are unharmed."""
    try:
        if path == STDIN:
            said = sys.stdin.buffer.read()
            report = pipeline.check_text(said, path="<stdin>", **options)
        else:
            report = pipeline.check_file(path, **options)
    except SourceError as error:
        reason = str(error)
    except Exception as error:
        reason = failed(f"{type(error).__name__}: {error}", path, error)
    else:
        for finding in report.diagnostics:
            if finding.code.id.startswith("SR9"):
                complain(f"{path}: {failed(finding.message, path)}")
        return report  # type: ignore[no-any-return]
    complain(reason if path in reason else f"{path}: {reason}")
    errors.append({"path": path, "message": reason})
    return None


@click.command("format", short_help="Lay sheets out the one canonical way.")
@PATHS
@click.option("--check", "only_check", is_flag=True, help="Change nothing; exit with 1 if a sheet would change.")
@click.option("--diff", is_flag=True, help="Change nothing; print what would change.")
def layout(paths: tuple[str, ...], only_check: bool, diff: bool) -> int:
    """Lay sheets out the one canonical way, keeping every comment and note.

    Each PATH is a sheet, a folder of *.routine files, or - to go from stdin to stdout. A sheet that is not understood
    is left as it is, and its mistakes are shown. With --check or --diff the exit status is 1 if a sheet would change.
    """
    from stepcheck.layouts import lay_out, replace

    found, errors = find(paths)
    statuses = [2] * len(errors)
    changed = 0
    for path in found:
        try:
            piped = path == STDIN
            laid = lay_out("<stdin>", sys.stdin.buffer.read()) if piped else lay_out(path)
            if laid.after is None:
                report = build(laid.source, diagnostics=laid.findings)
                if piped and not (only_check or diff):
                    write(laid.before)
                click.echo(text((report,)), err=True, nl=False)
                statuses.append(1)
                continue
            changed += laid.changed
            if diff and laid.changed:
                write(laid.diff())
            if only_check or diff:
                statuses.append(1 if laid.changed else 0)
            elif piped:
                write(laid.after)
            elif laid.changed:
                replace(path, laid.after)
        except SourceError as error:
            complain(str(error))
            statuses.append(2)
    done = "would be laid out anew" if only_check or diff else "laid out anew"
    click.echo(f"{count(len(found), 'sheet')}: {changed} {done}", err=True)
    return exit_status(statuses)
