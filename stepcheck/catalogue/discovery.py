"""Which sheets a row of paths means."""

import os
from collections.abc import Callable, Iterable, Iterator
from shlex import quote
from typing import TypeAlias

from attrs import frozen

from stepcheck.language.files import reason
from stepcheck.model.source import StepcheckError

SUFFIX = ".routine"
BOOK = ".book"
SONGS = (".abc", ".mid", ".midi", ".musicxml")
STDIN = "-"
IGNORE = ".stepcheckignore"

Test: TypeAlias = Callable[[str], bool]


@frozen
class Found:
    """The sheets that paths mean, each once in a fixed order, and what could not be looked into, with the reason.

    `excluded` are those that were named and left out all the same.
    """

    sheets: tuple[str, ...]
    missing: tuple[tuple[str, str], ...] = ()
    excluded: tuple[str, ...] = ()


class NothingFound(StepcheckError, LookupError):
    """Paths that mean no sheet at all."""


def sheets(paths: Iterable[str], *, exclude: Iterable[str] = (), root: str = "") -> Found:
    """Return the sheets that `paths` mean: a file is itself, a folder is every `*.routine` below it.

    Folders whose name begins with a dot are passed over; links are followed, and a folder that links come back to is
    looked into once.  A path with `*`, `?` or `[` that is no file's name is a pattern, in which `**` stands for any
    folders.  A sheet is left out where `exclude` says so; if it is found below a folder or by a pattern, and not named,
    also where a file `.stepcheckignore` in the folder or in one above it, below `root`, says so.

    Args:
        paths: the paths and patterns.
        exclude: patterns in the manner of `.gitignore`, from the folder `root`.
        root: the folder that `exclude` starts from, "" for the current one.
    """
    found: dict[str, None] = {}
    missing: dict[str, str] = {}
    excluded: dict[str, None] = {}
    left_out = _Left(tuple(exclude), root)
    for path in paths:
        if path.endswith(BOOK) and os.path.isfile(path):
            look = f"stepcheck figures --check {quote(path)}"
            missing[path] = f"it is a book of figures, not a sheet; to look it over: {look}"
        elif path.endswith(SONGS) and os.path.isfile(path):
            missing[path] = f"it is a song, not a sheet; a sheet beside it names it: music: {os.path.basename(path)}"
        elif path != STDIN and os.path.isfile(path) and left_out.excludes(path):
            excluded[path] = None
        elif path == STDIN or os.path.lexists(path):
            _add(path, found, missing, left_out)
        elif any(mark in path for mark in "*?["):
            from glob import iglob

            hits = [hit for hit in sorted(iglob(path, recursive=True)) if not left_out(hit)]
            for hit in hits:
                if os.path.isdir(hit) or hit.endswith(SUFFIX):
                    _add(hit, found, missing, left_out)
            if not hits:
                missing[path] = "nothing fits this pattern"
        else:
            missing[path] = "there is no such file or folder" if path else "a name of a sheet or folder is empty"
    # By folder, so that a folder's sheets stay together whatever its name begins with.
    ordered = sorted(found, key=lambda path: os.path.normpath(path).split(os.sep))
    return Found(tuple(ordered), tuple(missing.items()), tuple(excluded))


def _add(path: str, found: dict[str, None], missing: dict[str, str], left_out: Test) -> None:
    if path != STDIN and os.path.isdir(path):
        found.update((sheet, None) for sheet in _below(path, missing, left_out))
    else:
        found.setdefault(path)


class _Left:
    """The test whether a path is left out; what a folder's sheets have to pass is looked up once."""

    def __init__(self, exclude: tuple[str, ...], root: str) -> None:
        self._root = os.path.realpath(root or os.curdir)
        self._exclude = ((self._root, ignoring(exclude)),) if exclude else ()
        self._folders: dict[str, tuple[str, tuple[tuple[str, Test], ...]]] = {}

    def excludes(self, path: str) -> bool:
        """Say whether a pattern that was given leaves out a file, though it is named."""
        real = os.path.realpath(path)
        return any(test(relative(real, start)) for start, test in self._exclude)

    def __call__(self, path: str) -> bool:
        """Say whether `path`, which ends in a slash if it is a folder, is left out."""
        folder, name = os.path.split(path.rstrip("/"))
        if folder not in self._folders:
            real = os.path.realpath(folder or os.curdir)
            self._folders[folder] = real, (*self._exclude, *self._files(real))
        real, tests = self._folders[folder]
        slash = "/" if path.endswith("/") else ""
        return any(test(relative(os.path.join(real, name), start) + slash) for start, test in tests)

    def _files(self, folder: str) -> Iterator[tuple[str, Test]]:
        """Yield what the ignore files in a folder and in those above it say, with the folder."""
        while True:
            try:
                with open(os.path.join(folder, IGNORE), encoding="utf-8", errors="replace") as file:
                    yield folder, ignoring(tuple(file))
            except OSError:
                pass
            above = os.path.dirname(folder)
            if folder == self._root or above == folder:
                return
            folder = above


def relative(path: str, folder: str) -> str:
    """Return a path as patterns see it, from a folder and with slashes."""
    return os.path.relpath(path, folder).replace(os.sep, "/")


def ignoring(patterns: tuple[str, ...]) -> Test:
    """Return the test whether a path fits patterns in the manner of `.gitignore`."""
    from pathspec import GitIgnoreSpec  # only where something is left out

    return GitIgnoreSpec.from_lines(patterns).match_file


def _below(folder: str, missing: dict[str, str], left_out: Test) -> Iterator[str]:
    seen: set[tuple[int, int]] = set()

    def failed(error: OSError) -> None:
        missing[str(error.filename)] = f"it cannot be looked into: {reason(error)}"

    for here, folders, files in os.walk(folder, onerror=failed, followlinks=True):
        try:
            about = os.stat(here)
        except OSError as error:
            failed(error)
            continue
        if (about.st_dev, about.st_ino) in seen:
            folders.clear()
            continue
        seen.add((about.st_dev, about.st_ino))
        kept = [name for name in sorted(folders) if not name.startswith(".")]
        folders[:] = [name for name in kept if not left_out(os.path.join(here, name, ""))]
        sheets = (os.path.join(here, name) for name in sorted(files) if name.endswith(SUFFIX))
        yield from (sheet for sheet in sheets if not left_out(sheet))
