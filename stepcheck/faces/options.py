"""What commands share: where they write, options, what is offered in a shell, the sheet that is named.

Answers go to stdout or a file, messages to stderr; where stepcheck itself fails, a file keeps what is needed to see it
fail again.  A reader that leaves early, as in `stepcheck … | head`, is no error: what is written from then on is
dropped, and the exit status is what it would have been.
"""

import copy
import io
import os
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, redirect_stdout, suppress
from typing import TYPE_CHECKING, Any, TypeAlias

import click

from stepcheck.catalogue.discovery import STDIN
from stepcheck.language import files
from stepcheck.model.choices import Reading
from stepcheck.model.source import SourceError, StepcheckError, read_bytes
from stepcheck.model.words import visible


def ready() -> None:
    """Open the null device in the place of each standard stream that the command was started without."""
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        if getattr(sys, name) is None:
            setattr(sys, name, open(os.devnull, mode, encoding="utf-8"))  # noqa: SIM115 - it stays open to the end


def write(said: str) -> None:
    """Write to stdout, in UTF-8 wherever it goes.

    Raises:
        SourceError: it cannot be written, the disk being full or the like.
    """
    try:
        sys.stdout.buffer.write(said.encode("utf-8", "backslashreplace"))
        sys.stdout.buffer.flush()
    except BrokenPipeError:
        forsake(sys.stdout.fileno())
    except OSError as error:
        forsake(sys.stdout.fileno())
        raise SourceError(f"the answers cannot be written: {files.reason(error)}") from error


def remark(said: str) -> None:
    """Write a line to stderr."""
    try:
        sys.stderr.write(f"{said}\n")
        sys.stderr.flush()
    except OSError:
        forsake(sys.stderr.fileno())  # there is nowhere left to say so


def say(lines: Iterable[str]) -> None:
    """Write lines to stdout, which no name in them can steer."""
    write("".join(f"{visible(line)}\n" for line in lines))


def complain(said: str) -> None:
    """Write a message of stepcheck's own to stderr, which no name of a file in it can steer."""
    remark(f"stepcheck: {visible(said)}")


@contextmanager
def destination(output: str | None, *, force: bool = False) -> Iterator[Callable[[str], None]]:
    """Yield what writes the answers: to the file `output`, as `files.writing` does, or to stdout.

    Raises:
        SourceError: the file cannot be written, which is said before any sheet is checked.
    """
    if output is None or files.is_stdout(output):
        yield write
        return
    with files.writing(output, force=force) as put:
        yield lambda said: put(said.encode("utf-8", "backslashreplace"))


def forsake(stream: int) -> None:
    """Lead a stream to the null device: what is written to it from now on is dropped, what the interpreter flushes at
    its end too."""
    nothing = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nothing, stream)
    os.close(nothing)


def keep(reason: str, path: str | None = None, error: BaseException | None = None) -> str | None:
    """Write what is needed to see a failure again and return the file's path, or None if it can't be written.

    The file is the sheet itself under comments that tell what happened, so checking it shows the failure again.

    Args:
        reason: what happened, in one line.
        path: the sheet, if one was being worked on.
        error: the exception, if there was one.
    """
    import tempfile  # both are for this rare case only
    import traceback

    trace = "".join(traceback.format_exception(error)) if error else ""
    told = [f"stepcheck failed: {reason}", f"asked with: {' '.join(sys.argv[1:])}", f"Python {sys.version.split()[0]}"]
    lines = [line for said in (*told, trace) for line in said.splitlines()]
    head = "".join(f"# {line}\n" for line in lines).encode("utf-8", "backslashreplace")
    try:
        sheet = read_bytes(path) if path else b""
    except SourceError:
        sheet = b""
    try:  # a new file, which nobody else may read, as the sheet may be private
        handle, name = tempfile.mkstemp(prefix="stepcheck-failure-", suffix=".routine")
        with os.fdopen(handle, "wb") as file:
            file.write(head + sheet)
    except OSError:
        return None
    return name


def failure(reason: str, path: str | None = None, error: BaseException | None = None) -> str:
    """Return what to say where stepcheck itself failed, having kept what shows the failure again; as `keep`."""
    kept = keep(reason, path, error)
    where = f"; {kept} shows it again" if kept else ""
    return f"internal error, which is no verdict: {reason}{where}"


if TYPE_CHECKING:
    from click.shell_completion import CompletionItem

    from stepcheck.program.routine import Routine


# -- options -----------------------------------------------------------------------------------------------------------


def whole(value: str | int) -> int:
    """Return the value of an option that is a whole number from 1."""
    with suppress(ValueError):
        if (found := int(value)) > 0:
            return found
    raise click.BadParameter(f"{str(value)!r} is no whole number from 1")


Option: TypeAlias = Callable[[Any], Any]


def option(names: str, metavar: str, about: str, words: "Completion | None" = None, **more: Any) -> Option:
    """Return an option with a value, called `metavar`, for which a shell offers `words`; `names` stand with spaces
    between them."""
    return click.option(*names.split(), metavar=metavar, help=about, shell_complete=words, **more)


def flag(names: str, about: str) -> Option:
    """Return an option without a value."""
    return click.option(*names.split(), is_flag=True, help=about)


def among(names: str, choices: Iterable[str], about: str, default: str | None = None) -> Option:
    """Return an option whose value is one of some words, perhaps with one that is usual."""
    kind = click.Choice(tuple(choices))
    return click.option(*names.split(), type=kind, default=default, show_default=default is not None, help=about)


def number(names: str, about: str, metavar: str = "N", **more: Any) -> Option:
    """Return an option whose value is a whole number from 1."""
    return click.option(*names.split(), type=whole, metavar=metavar, help=about, **more)


_FILE, _FOLDER = click.Path(dir_okay=False), click.Path(file_okay=False)
FORCE = flag("--force", "Write over files that are there, though never over one that is read.")
IN_PLACE = flag("--in-place", "Write into a file that has several names (hard links), which is else refused.")
SMT2 = option("--smt2", "DIR", "Write each proof into this folder as an SMT-LIB 2 script.", type=_FOLDER)
CERTIFICATE = option(
    "--certificate",
    "DIR",
    "Write what `python -m stepcheck.certify` checks, a certificate of each sheet, into this folder.",
    type=_FOLDER,
)
OUTPUT = option("-o --output", "FILE", "Write it to a file instead of stdout.", type=_FILE)
WRITTEN = option("-o --output", "SHEET", "Write the sheet to a file instead of stdout.", type=_FILE)
SHEET = click.argument("path", metavar="FILE", type=click.Path(allow_dash=True))
FORM = among("--format form", ("text", "json"), "What to print.", "text")
EITHER = among(
    "--readings",
    ("usual", "all"),
    "Have it hold as words are usually read, or for every reading of words that the sheet leaves open.",
    "usual",
)


def read_input(path: str) -> bytes:
    """Return what a file holds, or stdin for `-`.

    Raises:
        SourceError: it cannot be read.
    """
    return sys.stdin.buffer.read() if path == STDIN else read_bytes(path)


def routine_at(path: str, readings: Reading = "usual") -> "Routine":
    """Return the routine in a file, or on stdin for `-`.

    Args:
        path: the file.
        readings: how words with several readings are read; as for `load`.

    Raises:
        SourceError: the file cannot be read.
    """
    from stepcheck.report import pipeline

    if path == STDIN:
        return pipeline.loads(read_input(path), path="<stdin>", readings=readings)
    return pipeline.load(path, readings=readings)


def may_write(output: str | None, path: str, force: bool, sheet: bool = False) -> None:
    """Refuse to write a file, if one is named, over what is there or the sheet at `path`; as `files.permit`."""
    if output:
        files.permit(output, files.inodes((files.STDIN if path == STDIN else path,)), force=force, sheet=sheet)


def place_in(folder: str | None, path: str, ending: str, force: bool) -> str:
    """Return the file for a sheet in a folder, which is made; empty where none is named.

    Raises:
        SourceError: the file is there, or the folder cannot be made.
    """
    place = files.beside((path,), folder, ending).get(path, "")
    if folder is not None:
        may_write(place, path, force)
        files.folder(folder)
    return place


def tell(found: Any, path: str, form: str) -> None:
    """Print fixes, fillings, breaks or a new layout as text or JSON."""
    from stepcheck.formats.answers import answer_text
    from stepcheck.formats.json import answer_json

    write(answer_json(found, path) if form == "json" else answer_text(found))


def put_script(place: str, script: str, force: bool) -> None:
    """Write a question to the solver to its file, if one is named, or say that there is none."""
    if place and script:
        files.write(place, script.encode(), force=force)
    elif place:
        complain("no script is written, since there was nothing to ask the solver")


def put_answer(path: str, routine: "Routine", text: str, what: str, in_place: bool) -> None:
    """Write the text of an answer into the sheet that it is about, and say so."""
    from stepcheck.program.formatter import replace

    replace(routine.sheet.source, text, in_place=in_place)
    complain(f"{path}: {what}")


def unless_piped(path: str, apply: object) -> None:
    """Refuse to write an answer into stdin.

    Raises:
        UsageError: that is asked for.
    """
    if path == STDIN and apply:
        raise click.UsageError("stdin cannot be written to; name the file")


def answering(command: click.Command) -> click.Command:
    """Return a command with `-o FILE` added: its answer goes to the file, which is written only if there is an
    answer."""
    run = command.callback
    assert run is not None
    made = copy.copy(command)
    known = {param.name for param in command.params}
    own = [added for name, added in (("output", OUTPUT), ("force", FORCE)) if name not in known]
    made.params = [*command.params, *(click.command()(added(lambda: None)).params[0] for added in own)]

    def callback(output: str | None, force: bool, **values: Any) -> Any:
        values |= {"force": force} if "force" in known else {}
        if output is None:
            return run(**values)
        files.permit(output, files.inodes(_files(values)), force=force)
        answer = io.BytesIO()
        with redirect_stdout(io.TextIOWrapper(answer, "utf-8", write_through=True)):
            status = run(**values)
            text = answer.getvalue().decode("utf-8")
        if text:
            with destination(output, force=force) as put:
                put(text)
        return status

    made.callback = callback
    return made


def _files(values: dict[str, Any]) -> list[str | int]:
    """Return the files among the values of options and arguments, stdin by its number."""
    texts = [text for value in values.values() for text in (value if isinstance(value, tuple) else (value,))]
    named = [files.STDIN if text == "-" else text for text in texts if isinstance(text, str)]
    return [one for one in named if isinstance(one, int) or os.path.isfile(one)]


# -- what a shell offers ----------------------------------------------------------------------------------------------

Found: TypeAlias = Callable[[click.Context], Iterable[str]]
Completion: TypeAlias = "Callable[[click.Context, click.Parameter, str], list[CompletionItem]]"


def offering(found: Found) -> "Completion":
    """Return what completes a text: the words that begin with what has been typed, whatever its case; none where a file
    cannot be read."""

    def offered(context: click.Context, param: click.Parameter, incomplete: str) -> "list[CompletionItem]":
        from click.shell_completion import CompletionItem

        begun = incomplete.casefold()
        try:
            words = dict.fromkeys(word for word in found(context) if word.casefold().startswith(begun))
        except StepcheckError:
            return []
        return [CompletionItem(_written(word)) for word in words]

    return offered


def _written(word: str) -> str:
    """Return a word as it is to stand in the command; bash puts it there as it comes."""
    if not os.environ.get("_STEPCHECK_COMPLETE", "").startswith("bash"):
        return word
    return "".join(f"\\{char}" if char in " '\"\\$`&|;<>()*?[]#~!" else char for char in word)


def _shelf(context: click.Context) -> Any:
    """Return the books that the command names so far, those that are shipped where it names none."""
    from stepcheck.books import book as books

    named = context.params.get("titles") or context.params.get("book") or ()
    return books.combine(tuple(map(books.load, (named,) if isinstance(named, str) else named or books.SHIPPED)))


def _levels(context: click.Context) -> Iterator[str]:
    for level in (level for figure in _shelf(context).figures() for level in figure.levels):
        yield level.name if level.scheme == "club" else f"{level.name} in {level.scheme}"


def _books(context: click.Context) -> Iterator[str]:
    from stepcheck.books import book as books

    yield from (*books.SHIPPED, *sorted(name for name in os.listdir() if name.endswith(".book")))


def _parts(context: click.Context) -> Iterator[str]:
    from stepcheck.language.syntax import PartHead
    from stepcheck.report import pipeline

    # The file stands among what is left, where the option before the cursor has no value yet.
    path = next((word for word in (context.params.get("path"), *context.args) if word), None)
    for line in pipeline.load(path).sheet.lines if path else ():
        if isinstance(line.node, PartHead):
            yield str(line.node.name)


def _codes(context: click.Context) -> Iterator[str]:
    from stepcheck.model.findings import CODES

    for code in CODES.values():
        yield from (code.id, code.name)


FIGURE, LEVEL, BOOK, PART, CODE = map(
    offering, (lambda context: _shelf(context).names(), _levels, _books, _parts, _codes)
)
LEVELLED = option(
    "--level", "LEVEL", "The hardest level of figures; `any` for all.  [default: that of the header]", words=LEVEL
)
