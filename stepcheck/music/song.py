"""The song that a sheet names: a file beside it, read in a process of its own with limits of memory and time."""

import json
import os
import re
import subprocess
import sys
from fractions import Fraction
from functools import lru_cache
from typing import Any

from stepcheck.model.source import MAX_BYTES, SourceError, read_bytes
from stepcheck.music import bars
from stepcheck.music.strains import Bar, NoSong, Song, song

NOTATIONS = {".abc": "abc", ".mid": "midi", ".midi": "midi", ".musicxml": "musicxml", ".xml": "musicxml"}
PATIENCE = 2 * bars.SECONDS
"""Seconds until the process that reads a song is given up."""


def beside(sheet: str, name: str) -> str:
    """Return the path of a song that a sheet names.

    Args:
        sheet: the path of the sheet.
        name: the name of the file, from the folder of the sheet.

    Raises:
        NoSong: the sheet is no file, or the song lies somewhere else than beside the sheet or in a folder there.
    """
    if not sheet or sheet.startswith("<"):
        raise NoSong("a sheet that is no file has no song beside it; list the sections under a line music:")
    if os.path.isabs(name) or "\\" in name or ":" in name or ".." in name.split("/"):
        raise NoSong("a song is read only from beside the sheet")
    folder = os.path.dirname(sheet)
    path = os.path.join(folder, name)
    real = os.path.realpath(folder or os.curdir)
    if os.path.commonpath((real, os.path.realpath(path))) != real:
        raise NoSong("a song is read only from beside the sheet, and this is a link that leads away")
    return path


def load(path: str) -> Song:
    """Return the song in a file: ABC, MusicXML or MIDI, by the end of its name.

    Raises:
        NoSong: it cannot be read as a song.
    """
    notation = NOTATIONS.get(os.path.splitext(path)[1].casefold())
    if notation is None:
        raise NoSong(f"a song's name ends in {', '.join(NOTATIONS)}")
    try:
        data = read_bytes(path)
    except SourceError as error:
        raise NoSong(str(error)) from error
    if len(data) > MAX_BYTES:
        raise NoSong(f"it has more than {MAX_BYTES:,} bytes")
    found = _read(notation, data)
    if isinstance(found, str):
        raise NoSong(found)
    return found


@lru_cache(maxsize=64)
def _read(notation: str, data: bytes) -> Song | str:
    command = [sys.executable, "-P", bars.__file__, notation]
    env = os.environ | {"OPENBLAS_NUM_THREADS": "1"}  # each thread takes address space
    try:
        done = subprocess.run(command, input=data, capture_output=True, timeout=PATIENCE, env=env, check=False)
    except subprocess.TimeoutExpired:
        return f"it takes more than {PATIENCE} seconds to read"
    if done.returncode == bars.MISSING:
        return "songs are read with music21: pip install 'stepcheck[music]'"
    if done.returncode < 0:
        return f"it takes more than {bars.SECONDS} seconds of computing, or more memory than a song needs"
    if done.returncode:
        said = done.stderr.decode("utf-8", "replace").strip().splitlines() or ["it cannot be read"]
        return re.sub(r"\s+", " ", said[-1])
    found = json.loads(done.stdout)
    try:
        return song(tuple(map(_bar, found["bars"])), tuple(found["left_out"]))
    except NoSong as error:
        return str(error)


def _bar(made: dict[str, Any]) -> Bar:
    tempos = tuple((Fraction(at), Fraction(speed)) for at, speed in made["tempos"])
    exact = {"length": Fraction(made["length"]), "metre": tuple(made["metre"]), "endings": tuple(made["endings"])}
    return Bar(**made | exact | {"tempos": tempos})
