"""From the bytes of a file to a text fit to be read as a sheet, with findings about what isn't."""

import os
import re
from itertools import islice
from typing import Any

from stepcheck.model.findings import CODES, Diagnostic
from stepcheck.model.source import MAX_BYTES, MAX_COLUMNS, MAX_LINES, Source, Span, plain, read_bytes

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
        return Source(name, REFUSED), (_finding("too-large", name, _START, reason, limit=MAX_BYTES),)
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        hint = "save the file as UTF-8"
        return Source(name, REFUSED), (_finding("not-text", name, _START, "the file is UTF-16, not UTF-8", hint),)
    if data.startswith(_FORMATS):
        reason = "this is the file of a word processor or the like, not plain text"
        return Source(name, REFUSED), (_finding("not-text", name, _START, reason, "save it as plain text, in UTF-8"),)
    try:
        return take(data.decode("utf-8"), name)
    except UnicodeDecodeError as error:
        if len(_NO_TEXT.findall(data)) * NO_TEXT > len(data):
            hint = "a sheet is plain text, as an editor writes it; perhaps this is some other file"
            return Source(name, REFUSED), (_finding("not-text", name, _START, "this is no text", hint),)
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
        return Source(path, REFUSED), (
            _finding("too-large", path, Span(MAX_LINES + 1, 1, MAX_LINES + 1, 1), reason, limit=MAX_LINES),
        )
    findings: list[Diagnostic] = []
    if strays := list(islice(_STRAY.finditer(text), MOST_STRAYS + 1)):
        at, char = strays[0].start(), strays[0][0]
        line, column = text.count("\n", 0, at) + 1, at - text.rfind("\n", 0, at)
        others = f", and {len(strays) - 1} more like it" if len(strays) > 1 else ""
        reason = f"the character U+{ord(char):04X} can't be seen and has no place in a sheet{others}"
        findings.append(
            _finding(
                "stray-character", path, Span(line, column, line, column + 1), reason, "delete it", count=len(strays)
            )
        )
        if len(strays) > MOST_STRAYS:
            reason = f"this is no text: more than {MOST_STRAYS} of its characters can't be seen"
            return Source(path, REFUSED), (_finding("not-text", path, findings[0].span, reason),)
        text = _STRAY.sub(" ", text)
    lines = text.split("\n")
    long = [number for number, line in enumerate(lines, 1) if len(line) > MAX_COLUMNS]
    if long:
        span = Span(long[0], MAX_COLUMNS + 1, long[0], len(lines[long[0] - 1]) + 1)
        others = f", and {len(long) - 1} more like it" if len(long) > 1 else ""
        findings.append(
            _finding(
                "too-large", path, span, f"the line is longer than {MAX_COLUMNS} characters{others}", limit=MAX_COLUMNS
            )
        )
        text = "\n".join(line if len(line) <= MAX_COLUMNS else "" for line in lines)
    return Source(path, text, raw if raw != text else ""), tuple(findings)


def _finding(code: str, path: str, span: Span, message: str, *hints: str, **args: Any) -> Diagnostic:
    return Diagnostic(CODES[code], path, span, message, tuple(sorted(args.items())), hints)
