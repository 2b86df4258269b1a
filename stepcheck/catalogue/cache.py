"""Answers kept in a file, so that a sheet that has not changed is not checked again.

The file is an SQLite data base in WAL mode: several processes use it at once, and one that is killed at any moment
leaves it whole. An answer is found by a digest of everything that it depends on, the program of stepcheck included. The
file may be deleted at any time; one that is not ours is never changed.
"""

import json
import os
import platform
import sqlite3
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, suppress
from functools import cache as once
from hashlib import blake2b
from itertools import count
from pathlib import Path
from typing import Self

from stepcheck.catalogue import evidence
from stepcheck.catalogue.evidence import Kept, Unbelievable
from stepcheck.language import files
from stepcheck.model.choices import Reading
from stepcheck.model.source import StepcheckError
from stepcheck.report.values import VERSION, Report

SCHEMA = 4
MARK = 0x57_41_4C_4B  # of the file, so that no other data base is taken for one of ours
MOST = 200_000  # answers are kept; of more, half are dropped, whichever
BATCH = 32  # answers are written at once
PATIENCE = 10.0  # seconds to wait for another process
SUFFIX = ".sqlite"
HEAD = 100  # bytes at the start of a data base, which say what it is
_MAGIC = b"SQLite format 3\0"
_TABLE = "create table answers (key blob primary key, report text, books text, dances text, seal blob)"
_LOOK = "select report, books, dances, seal from answers where key = ?"


class NotACache(StepcheckError, OSError):
    """The file is something else, which is not to be overwritten."""


def default_file() -> str:
    """Return where answers are kept unless another file is named."""
    home = os.path.expanduser("~")
    if sys.platform == "win32":
        folder = os.environ.get("LOCALAPPDATA") or os.path.join(home, "AppData", "Local")
    elif sys.platform == "darwin":
        folder = os.path.join(home, "Library", "Caches")
    else:
        folder = os.environ.get("XDG_CACHE_HOME", "")
        if not os.path.isabs(folder):  # which the XDG Base Directory Specification has us pass over
            folder = os.path.join(home, ".cache")
    return os.path.join(folder, "stepcheck", f"answers{SUFFIX}")


def is_own(path: str) -> bool:
    """Say whether a file lies where only this program writes for this user, links followed."""
    own = os.path.realpath(os.path.dirname(default_file()))
    return os.path.dirname(os.path.realpath(path)) == own


@once
def program_digest() -> bytes:
    """Return a digest of what decides: the files of stepcheck, and the versions of z3 and Python."""
    from importlib.metadata import version

    made = blake2b(digest_size=16)
    made.update(f"{SCHEMA} {VERSION} {version('z3-solver')} {platform.python_version()}".encode())
    for folder, below, names in os.walk(os.path.dirname(os.path.dirname(__file__))):
        below.sort()
        for name in sorted(names):
            if name.endswith((".py", ".toml", ".json", ".book")):
                with open(os.path.join(folder, name), "rb") as file:
                    made.update(name.encode() + b"\0" + blake2b(file.read(), digest_size=16).digest())
    return made.digest()


class Cache:
    """A file of answers.

    Args:
        path: the file; made, with its folder, if it is not there.
        say: told what goes wrong; nothing that goes wrong here changes an answer.
        spot: of the proofs found, one in so many is walked again; 1 walks all of them.

    Raises:
        NotACache: the file is there, and is something else: neither a cache of this layout, nor empty.  In the user's
            own cache folder such a file is set aside instead.
    """

    def __init__(
        self, path: str | os.PathLike[str], *, say: Callable[[str], None] = lambda said: None, spot: int = evidence.SPOT
    ) -> None:
        self.path = os.fspath(path)
        self._say = say
        self._spot = spot
        self._turn = time.time_ns() % spot
        self._base: sqlite3.Connection | None = None
        self._inode: tuple[int, int] | None = None
        self._new: dict[bytes, Kept] = {}
        self._digest = once(evidence.digest)  # of a book beside a sheet, as it was when this run first looked
        with self._guarded():
            stranger = _stranger(self.path)
            if stranger and not is_own(self.path):
                raise NotACache(f"{self.path} {stranger}, and is left alone; name another file for the answers")
            if stranger:
                say(f"{self.path} {stranger}; it is set aside, and a new one is begun")
                self._inode = _inode(self.path)
                self._set_aside()
            else:
                self._open()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def key(self, path: str, data: bytes, options: tuple[object, ...]) -> bytes:
        """Return the digest by which the answer to a sheet is found; what books beside the sheet hold is asked
        later."""
        made = blake2b(program_digest(), digest_size=16)
        made.update(repr((path, options, len(data))).encode("utf-8", "surrogateescape"))
        made.update(data)
        return made.digest()

    def get(self, key: bytes, path: str, data: bytes, readings: Reading) -> Report | None:
        """Return the answer that was kept, if there is one that may be believed."""
        row = None
        with self._guarded():
            if self._base is not None:
                row = self._base.execute(_LOOK, (key,)).fetchone()
        if row is None:
            return None
        *texts, seal = row
        if seal != _seal(key, *texts):
            self._say(f"what was kept of {path} is damaged, and is left out")
            with self._guarded():
                if self._base is not None:
                    self._base.execute("delete from answers where key = ?", (key,))
            return None
        books = tuple((name, made) for name, made in json.loads(texts[1]))
        if any(self._digest(name) != made for name, made in books):
            return None
        spot = key[-1] % self._spot == self._turn
        try:
            return evidence.believed(Kept(texts[0], books, texts[2]), path, data, readings, spot=spot)
        except Unbelievable as error:
            self._say(f"{error}; nothing that was kept is believed any more")
            self._set_aside()
            return None

    def put(self, key: bytes, kept: Kept) -> None:
        """Keep an answer; it is written with others, at the latest when the cache is closed."""
        self._new[key] = kept
        if len(self._new) >= BATCH:
            self.flush()

    def flush(self) -> None:
        """Write what is to be kept."""
        new, self._new = self._new, {}
        texts = {key: (kept.report, json.dumps(kept.books), kept.dances) for key, kept in new.items()}
        rows = [(key, *row, _seal(key, *row)) for key, row in texts.items()]
        with self._guarded():
            if self._base is not None and rows:
                with self._base:
                    self._base.execute("begin immediate")
                    self._base.executemany("insert or replace into answers values (?, ?, ?, ?, ?)", rows)

    def close(self) -> None:
        """Write what is to be kept, and let go of the file."""
        self.flush()
        with self._guarded():
            if self._base is not None:
                (many,) = self._base.execute("select count(*) from answers").fetchone()
                if many > MOST:
                    self._base.execute(
                        "delete from answers where key in (select key from answers limit ?)", (many // 2,)
                    )
        self._let_go()

    # -- the file ----------------------------------------------------------------------------------------------------

    def _open(self) -> None:
        os.makedirs(os.path.dirname(os.path.abspath(self.path)), exist_ok=True)
        self._base = sqlite3.connect(self.path, timeout=PATIENCE, isolation_level=None, check_same_thread=False)
        self._inode = _inode(self.path)
        self._base.execute("pragma synchronous = normal")
        if self._version() != (MARK, SCHEMA):
            with self._base:
                self._base.execute("begin immediate")
                if self._version() != (MARK, SCHEMA):  # another process may have made it in the meantime
                    if self._base.execute("select 1 from sqlite_master").fetchone():
                        raise NotACache(f"{self.path} has become something else")
                    self._base.execute(_TABLE)
                    self._base.execute(f"pragma application_id = {MARK}")
                    self._base.execute(f"pragma user_version = {SCHEMA}")
        _in_wal_mode(self._base)  # only now, so that the marks stand in the file itself

    def _version(self) -> tuple[int, int]:
        assert self._base is not None
        (mark,) = self._base.execute("pragma application_id").fetchone()
        (schema,) = self._base.execute("pragma user_version").fetchone()
        return mark, schema

    @contextmanager
    def _guarded(self) -> Iterator[None]:
        """Let nothing out that goes wrong with the file: a damaged one is set aside, any other is done without."""
        try:
            yield
        except NotACache:
            self._let_go()
            raise
        except (sqlite3.OperationalError, OSError) as error:
            self._say(_unkept(self.path, error))
            self._let_go()
        except sqlite3.DatabaseError as error:
            self._say(f"{self.path} is damaged ({error}); it is set aside, and a new one is begun")
            self._set_aside()

    def _set_aside(self) -> None:
        """Put the file aside, unless another process has done so, and begin a new one."""
        self._let_go()
        try:
            if _inode(self.path) == self._inode:
                os.replace(self.path, _aside(self.path))
                for rest in ("-wal", "-shm"):
                    if os.path.exists(self.path + rest):
                        os.remove(self.path + rest)
            self._open()
        except (OSError, sqlite3.Error) as error:
            self._say(_unkept(self.path, error))
            self._let_go()

    def _let_go(self) -> None:
        base, self._base = self._base, None
        if base is not None:
            with suppress(sqlite3.Error):
                base.close()


def _in_wal_mode(base: sqlite3.Connection) -> None:
    """Put a file into WAL mode, which SQLite does not wait for while another process does the same."""
    end = time.monotonic() + PATIENCE
    while True:
        try:
            base.execute("pragma journal_mode = wal")
        except sqlite3.OperationalError:
            if time.monotonic() > end:
                raise
            time.sleep(0.01)
        else:
            return


def _seal(key: bytes, *texts: str) -> bytes:
    made = blake2b(key, digest_size=16)
    for text in texts:
        made.update(f"{len(text)} {text}".encode())
    return made.digest()


def _inode(path: str) -> tuple[int, int]:
    about = os.stat(path)
    return about.st_dev, about.st_ino


def _aside(path: str) -> str:
    """Make an empty file beside a damaged one and return its name, which was free until now."""
    for number in count(1):
        name = f"{path}.damaged" + (f"-{number}" if number > 1 else "")
        with suppress(FileExistsError), open(name, "xb"):
            return name
    raise AssertionError


def _stranger(path: str) -> str:
    """Return what a file is, if it is neither ours, nor new, nor empty; it is only read."""
    if not os.path.exists(path):
        return ""
    if not os.path.isfile(path):
        return "is not a plain file"
    with open(path, "rb") as file:
        head = file.read(HEAD)
    if not head:
        return ""
    if len(head) < HEAD or not head.startswith(_MAGIC):
        return "is not a file of answers"
    # https://sqlite.org/fileformat.html
    schema, mark = (int.from_bytes(head[start : start + 4], "big") for start in (60, 68))
    if mark == MARK:
        return "" if schema == SCHEMA else f"is of another version of stepcheck (layout {schema}; here it is {SCHEMA})"
    if mark or schema or any(os.path.exists(path + rest) for rest in ("-wal", "-journal")) or not _is_bare(path):
        return "is a data base of another program"
    return ""


def _is_bare(path: str) -> bool:
    """Say whether a data base has nothing in it."""
    try:
        with closing(sqlite3.connect(f"{Path(path).absolute().as_uri()}?mode=ro&immutable=1", uri=True)) as base:
            return base.execute("select 1 from sqlite_master").fetchone() is None
    except sqlite3.Error:
        return False


def _unkept(path: str, error: Exception) -> str:
    """Return what to say where answers cannot be kept in a file; nothing else hangs on it."""
    return f"{path}: answers cannot be kept: {files.reason(error)}; the sheets are checked all the same"
