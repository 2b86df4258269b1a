"""Files: read into text fit for a sheet, with findings; written whole or not at all, and never over one that is read.

What is written comes into a file without a name, which takes the old file's place when it is whole; so an old file
stays as it was whatever happens on the way, a full disk, Ctrl-C or the end of the process included.
"""

import errno
import os
import re
import stat
from collections.abc import Callable, Collection, Iterable, Iterator
from contextlib import contextmanager, suppress
from itertools import islice
from typing import Any, BinaryIO, TypeAlias

from stepcheck.model.findings import CODES, Diagnostic
from stepcheck.model.source import MAX_BYTES, MAX_COLUMNS, MAX_LINES, Source, SourceError, Span, plain, read_bytes

MOST_STRAYS = 1_000
NO_TEXT = 30  # bytes among which no text has a control
REFUSED = "\f"
"""The text that is kept of a file which is refused whole."""

# Controls, and marks that nobody sees but that make two names differ.
_STRAY = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u00ad\u200b\u202a-\u202e\u2060\u2066-\u2069\ufeff\ud800-\udfff]")
_START = Span(1, 1, 1, 1)
_FORMATS = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0", b"%PDF", b"{\\rtf")  # of word processors, by their first bytes
_NO_TEXT = re.compile(rb"[\x00-\x08\x0e-\x1a\x1c-\x1f]")  # in no text, whatever its encoding


def read(path: str | os.PathLike[str]) -> tuple[Source, tuple[Diagnostic, ...]]:
    """Return the text of the file at `path`, and what is wrong with it as text.

    What can be kept is kept; of a file that is too large nothing is.

    Raises:
        SourceError: the file can't be opened.
    """
    return decode(read_bytes(path), os.fspath(path))


def decode(data: bytes, name: str = "<text>") -> tuple[Source, tuple[Diagnostic, ...]]:
    """Return the text that `data` holds, and what is wrong with it as text; `name` is what to call it by."""
    if len(data) > MAX_BYTES:
        reason = f"the file is larger than {MAX_BYTES} bytes, which no sheet is"
        return _refused("too-large", name, _START, reason, limit=MAX_BYTES)
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return _refused("not-text", name, _START, "the file is UTF-16, not UTF-8", "save the file as UTF-8")
    if data.startswith(_FORMATS):
        reason = "this is the file of a word processor or the like, not plain text"
        return _refused("not-text", name, _START, reason, "save it as plain text, in UTF-8")
    try:
        return take(data.decode("utf-8"), name)
    except UnicodeDecodeError as error:
        if len(_NO_TEXT.findall(data)) * NO_TEXT > len(data):
            hint = "a sheet is plain text, as an editor writes it; perhaps this is some other file"
            return _refused("not-text", name, _START, "this is no text", hint)
        before = plain(data[: error.start].decode("utf-8"))
        line, column = before.count("\n") + 1, len(before) - before.rfind("\n")
        reason = f"byte {data[error.start]:#04x} is not UTF-8"
        wrong = _finding("not-text", name, Span(line, column, line, column + 1), reason, "save the file as UTF-8")
        source, findings = take(data.decode("utf-8", errors="replace"), name)
        return source, (wrong, *findings)


def take(text: str, path: str = "<text>") -> tuple[Source, tuple[Diagnostic, ...]]:
    """Return `text` as a source, and what is wrong with it.

    Stray characters become spaces, so that every other place stays as it is; lines that are too long are left blank.
    """
    raw, text = text, plain(text)
    if text.count("\n") > MAX_LINES:
        reason = f"the sheet has more than {MAX_LINES} lines"
        return _refused("too-large", path, Span(MAX_LINES + 1, 1, MAX_LINES + 1, 1), reason, limit=MAX_LINES)
    findings: list[Diagnostic] = []
    if strays := list(islice(_STRAY.finditer(text), MOST_STRAYS + 1)):
        at, char = strays[0].start(), strays[0][0]
        line, column = text.count("\n", 0, at) + 1, at - text.rfind("\n", 0, at)
        others = f", and {len(strays) - 1} more like it" if len(strays) > 1 else ""
        reason = f"the character U+{ord(char):04X} can't be seen and has no place in a sheet{others}"
        span = Span(line, column, line, column + 1)
        findings.append(_finding("stray-character", path, span, reason, "delete it", count=len(strays)))
        if len(strays) > MOST_STRAYS:
            reason = f"this is no text: more than {MOST_STRAYS} of its characters can't be seen"
            return _refused("not-text", path, findings[0].span, reason)
        text = _STRAY.sub(" ", text)
    lines = text.split("\n")
    long = [number for number, line in enumerate(lines, 1) if len(line) > MAX_COLUMNS]
    if long:
        span = Span(long[0], MAX_COLUMNS + 1, long[0], len(lines[long[0] - 1]) + 1)
        others = f", and {len(long) - 1} more like it" if len(long) > 1 else ""
        reason = f"the line is longer than {MAX_COLUMNS} characters{others}"
        findings.append(_finding("too-large", path, span, reason, limit=MAX_COLUMNS))
        text = "\n".join(line if len(line) <= MAX_COLUMNS else "" for line in lines)
    return Source(path, text, raw if raw != text else ""), tuple(findings)


def _finding(code: str, path: str, span: Span, message: str, *hints: str, **args: Any) -> Diagnostic:
    return Diagnostic(CODES[code], path, span, message, tuple(sorted(args.items())), hints)


def _refused(
    code: str, path: str, span: Span, message: str, *hints: str, **args: Any
) -> tuple[Source, tuple[Diagnostic, ...]]:
    return Source(path, REFUSED), (_finding(code, path, span, message, *hints, **args),)


# -- writing -----------------------------------------------------------------------------------------------------------

Inode: TypeAlias = tuple[int, int]
Put: TypeAlias = Callable[[bytes], None]

READ = (".routine", ".book", ".stepcheckignore", "pyproject.toml")  # ends of the names of what stepcheck reads
STDIN, STDOUT = 0, 1
SCRIPT, CERTIFICATE = ".smt2", ".certificate.json"


def inodes(paths: Iterable[str | int]) -> frozenset[Inode]:
    """Return what tells the plain files at `paths` from all others, by whatever name: links of both kinds are their
    target.

    Args:
        paths: names of files and numbers of open ones; one that is not there is passed over.
    """
    found = set()
    for path in paths:
        with suppress(OSError, ValueError):
            about = os.stat(path)
            if stat.S_ISREG(about.st_mode):
                found.add((about.st_dev, about.st_ino))
    return frozenset(found)


def permit(path: str | int, sources: Collection[Inode] = (), *, force: bool = False, sheet: bool = False) -> None:
    """Refuse a place for an answer where something would be lost; nothing is touched.

    Args:
        path: where an answer is to be written, or the number of an open file.
        sources: what this run reads, as `inodes` has it.
        force: whether another file may be written over.
        sheet: whether the answer is a sheet itself, so that an older one may be, too.

    Raises:
        SourceError: a file that is read is there, a folder, or without `force` any file.
    """
    name = "stdout" if path == STDOUT else str(path)
    with blamed(name):
        about = _about(path)
    if about is None:
        return
    if stat.S_ISDIR(about.st_mode):
        raise SourceError(f"{name} cannot be written: it is a folder")
    if not stat.S_ISREG(about.st_mode):
        return
    if (about.st_dev, about.st_ino) in sources:
        raise SourceError(f"{name} is read in this run, and is not written over")
    if isinstance(path, int) or is_stdout(path):
        return
    if os.path.realpath(path).endswith(READ[1:] if sheet else READ):
        raise SourceError(f"{name} is a file that stepcheck reads, and no answer is written over it")
    if not force:
        raise SourceError(f"{name} is there already; it is written over with --force only")


def is_stdout(path: str) -> bool:
    """Say whether `path` names what this process has as stdout."""
    with suppress(OSError, ValueError):
        return os.path.samestat(os.stat(path), os.fstat(STDOUT))
    return False


@contextmanager
def writing(path: str, *, force: bool = False) -> Iterator[Put]:
    """Yield what writes to the file at `path`, or, through a link, at its target, whose permissions are kept.

    The file is there when all is written; if the body raises, everything stays as it was.  What is not a plain file (a
    pipe, a terminal, `/dev/null`) is written to as it comes.

    Args:
        path: the file; its folder has to be there.
        force: whether a file that is there is replaced.

    Raises:
        SourceError: it cannot be written, or is there and may not be replaced.
    """
    with blamed(path):
        old, name = _about(path), ""
        target = os.path.realpath(path)
        direct = old is not None and not stat.S_ISREG(old.st_mode)
        if direct:
            file: BinaryIO = open(path, "wb")  # noqa: SIM115 - what is written outlives this block
        elif old is not None and not (force and os.access(path, os.W_OK)):
            denied = PermissionError(errno.EACCES, "permission denied")
            raise denied if force else FileExistsError(errno.EEXIST, "it is there already")
        else:
            file, name = _begun(target)

    def put(data: bytes) -> None:
        with blamed(path):
            file.write(data)
            if direct:
                file.flush()

    try:
        yield put
        with blamed(path):
            file.flush()
            if not direct:
                if old is not None:
                    os.fsync(file.fileno())  # before the old file goes
                if not name:
                    name = _named(file.fileno(), _beside(target))
                file.close()
                _take_place(name, target, old, force=force)
    except BaseException:
        if name:
            with suppress(OSError):
                os.unlink(name)
        raise
    finally:
        with suppress(OSError):  # where it could not be written, closing it fails as well
            file.close()


def write(path: str, data: bytes, *, force: bool = False) -> None:
    """Write `data` to the file at `path`, as `writing` does.

    Raises:
        SourceError: it cannot be written, or is there and may not be replaced.
    """
    with writing(path, force=force) as put:
        put(data)


def rewrite(path: str, data: bytes, last: Callable[[], None], *, in_place: bool = False) -> None:
    """Write `data` to a file that is there, which keeps its owner and permissions.

    Args:
        path: the file, or a link to it.
        data: what it is to hold.
        last: what is looked at before the old file goes; it raises what stops that.
        in_place: whether a file with several names is written into, and not replaced.

    Raises:
        SourceError: it cannot be written, is read-only, or has several names.
    """
    with blamed(path):
        about = os.stat(path)
    if not about.st_mode & (stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH):
        raise SourceError(f"{path} is read-only, and is left as it is")
    if about.st_nlink > 1 and not in_place:
        raise SourceError(
            f"{path} has {about.st_nlink} names (hard links), and the others would keep the old text; "
            "--in-place writes into the file itself"
        )
    if in_place:
        last()
        with blamed(path), open(path, "r+b") as file:
            file.write(data)
            file.truncate()
        return
    with writing(path, force=True) as put:
        put(data)
        last()


def folder(path: str) -> None:
    """Make a folder to write to, before anything is done that would be lost without it.

    Raises:
        SourceError: nothing can be written there.
    """
    with blamed(path):
        os.makedirs(path, exist_ok=True)
        if not os.access(path, os.W_OK | os.X_OK):
            raise PermissionError(errno.EACCES, "no permission")


def beside(paths: Iterable[str], within: str | None, ending: str = SCRIPT, *, made: bool = False) -> dict[str, str]:
    """Return for each sheet the path of a file about it in a folder, no two the same; nothing without a folder.

    The file is called after its sheet; where the sheets lie in several folders, the folders below the one that they
    share come first, with dashes between: `d1-x.smt2`, `d2-x.smt2`.  A name that an earlier sheet has got is numbered.

    Args:
        paths: the sheets, `<stdin>` or `-` for one that has no file.
        within: the folder.
        ending: of the names.
        made: whether the folder is made.

    Raises:
        SourceError: it can't be made.
    """
    if within is None:
        return {}
    if made:
        folder(within)
    whole = {path: os.path.abspath("stdin" if path == "-" else path.strip("<>") or "sheet") for path in paths}
    shared = os.path.commonpath([os.path.dirname(path) for path in whole.values()]) if whole else ""
    found: dict[str, str] = {}
    taken: set[str] = set()
    for path, full in whole.items():
        stem = os.path.relpath(full, shared).removesuffix(READ[0]).replace(os.sep, "-")
        names = (f"{stem}{f'-{number}' if number > 1 else ''}{ending}" for number in range(1, len(whole) + 2))
        name = next(name for name in names if name.casefold() not in taken)
        taken.add(name.casefold())
        found[path] = os.path.join(within, name)
    return found


@contextmanager
def blamed(path: str) -> Iterator[None]:
    """Say of a failure inside that the file at `path` cannot be written.

    Raises:
        SourceError: it cannot.
    """
    try:
        yield
    except SourceError:
        raise
    except (OSError, ValueError) as error:
        raise SourceError(f"{path} cannot be written: {reason(error)}") from error


def reason(error: Exception) -> str:
    """Return why the system refused, as the end of a sentence."""
    return (getattr(error, "strerror", None) or str(error)).lower()


def _about(path: str | int) -> os.stat_result | None:
    try:
        return os.stat(path)
    except OSError as error:
        if error.errno in (errno.ENOENT, errno.EBADF):  # a file, or a descriptor, that is not there
            return None
        raise


def _begun(target: str) -> tuple[BinaryIO, str]:
    """Open a new file where `target` is to be; without a name, which leaves nothing behind, where the system can."""
    if hasattr(os, "O_TMPFILE") and os.path.isdir("/proc/self/fd"):
        with suppress(OSError):
            return open(os.open(os.path.dirname(target), os.O_TMPFILE | os.O_WRONLY, 0o666), "wb"), ""
    name = _beside(target)
    return open(name, "xb"), name


def _beside(target: str) -> str:
    return os.path.join(os.path.dirname(target), f".stepcheck-{os.urandom(8).hex()}")


def _named(number: int, name: str) -> str:
    """Give an open file without a name this one."""
    numbers = os.open("/proc/self/fd", os.O_RDONLY)
    try:
        os.link(str(number), name, src_dir_fd=numbers)
    finally:
        os.close(numbers)
    return name


def _take_place(name: str, target: str, old: os.stat_result | None, *, force: bool) -> None:
    """Put a file in a free place, or in that of the old one with its permissions and, if one may, its owner."""
    if old is not None:
        if hasattr(os, "chown"):
            with suppress(OSError):
                os.chown(name, old.st_uid, old.st_gid)
        os.chmod(name, stat.S_IMODE(old.st_mode))
    elif not force and os.path.lexists(target):
        raise FileExistsError(errno.EEXIST, "it has come into being meanwhile")
    os.replace(name, target)
