"""Which sheets a row of paths means."""

import os
from collections.abc import Iterable, Iterator

from attrs import frozen

from stepcheck.source import StepcheckError

SUFFIX = ".routine"
STDIN = "-"


@frozen
class Found:
    """The sheets that paths mean, each once in a fixed order, and what could not be looked into, with the reason."""

    sheets: tuple[str, ...]
    missing: tuple[tuple[str, str], ...] = ()


class NothingFound(StepcheckError, LookupError):
    """Paths that mean no sheet at all."""


def sheets(paths: Iterable[str]) -> Found:
    """Return the sheets that `paths` mean: a file is itself, a folder is every `*.routine` below it.

    Folders whose name begins with a dot are passed over; links are followed, and a folder that links come back to is
    looked into once.
    """
    found: dict[str, None] = {}
    missing: dict[str, str] = {}
    for path in paths:
        if path != STDIN and not os.path.lexists(path):
            missing[path] = "there is no such file or folder"
        elif os.path.isdir(path):
            for sheet in _below(path, missing):
                found.setdefault(sheet)
        else:
            found.setdefault(path)
    return Found(tuple(sorted(found, key=_order)), tuple(missing.items()))


def _order(path: str) -> tuple[str, ...]:
    """Sort by folder, so that a folder's sheets stay together whatever its name begins with."""
    return tuple(os.path.normpath(path).split(os.sep))


def _below(folder: str, missing: dict[str, str]) -> Iterator[str]:
    seen: set[tuple[int, int]] = set()

    def failed(error: OSError) -> None:
        missing[str(error.filename)] = f"it cannot be looked into: {(error.strerror or str(error)).lower()}"

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
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        yield from (os.path.join(here, name) for name in sorted(files) if name.endswith(SUFFIX))
