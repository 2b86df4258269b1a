"""Mends slips of the typist: proposes lines with one word spelt right, put in or moved."""

import re
from collections.abc import Callable, Iterable, Iterator
from difflib import SequenceMatcher, get_close_matches
from itertools import islice
from typing import Any

from stepcheck.language import syntax
from stepcheck.language.grammar import Stuck
from stepcheck.language.measures import LineError
from stepcheck.language.patch import MEANT, Rewrite
from stepcheck.language.printer import ordinal

WORDS = (
    "left",
    "right",
    "foot",
    "feet",
    "both",
    "facing",
    "front",
    "back",
    "wall",
    "turn",
    "turns",
    "full",
    "half",
    "quarter",
    "no",
    "to",
    "on",
    "every",
    "last",
    "time",
    "times",
    "only",
    "except",
    "expect",
    "hold",
    "until",
    "the",
    "music",
    "ends",
    "first",
    "opposite",
    "mirrored",
    "beats",
    "counts",
    "beat",
    "count",
    "part",
    "dance",
    "figures",
    "from",
)
_LOST = (
    "foot",
    "left",
    "right",
    "turn",
    "time",
    "times",
    "to",
    "beats",
    "counts",
    "facing",
    "only",
    "feet",
    "both",
    "no",
)
_WORD = re.compile(r"[^\s,:|()@#]+")
_LOOSE = (syntax.Row, syntax.LabelHead, syntax.HeaderField)
MOST = 8
"""How many of the lines that may be meant are tried."""

Parse = Callable[[str, str], Any]
Slips = Callable[[str, int], Iterable[tuple[str, Rewrite]]]


def respelled(
    text: str, start: str, parse: Parse, lines: Iterable[tuple[str, Rewrite]], *, strict: bool = False
) -> tuple[Rewrite, ...]:
    """Return the changes of one word, nearest first, with which a line is one of the language.

    Args:
        text: the line.
        start: where it stands, as for the grammar.
        parse: the grammar.
        lines: what the line may be meant to be, each with the change that makes it so.
        strict: whether a line of dance, a label or a field will not do, since that is what `text` is already.
    """

    def reads(line: str) -> bool:
        try:
            return not (isinstance(parse(line, start), _LOOSE) and strict)
        except (Stuck, LineError):
            return False

    return tuple(islice(dict.fromkeys(rewrite for line, rewrite in lines if reads(line)), MOST))


def moved_or_lost(text: str, near: int) -> Iterator[tuple[str, Rewrite]]:
    """Yield a line with a space or mark moved by a letter, or with one more word in it, first of all at the place
    `near`."""
    yield from _moved(text)
    yield from _put_in(text, near)


def misspelt(text: str, place: int = 0) -> list[tuple[str, Rewrite]]:
    """Return a line with each word that is near one of the language spelt as that one, the nearest first; `place` is
    any."""
    found = []
    for word in _WORD.finditer(text):
        said = word[0].casefold()
        near = [one for one in get_close_matches(said, WORDS, n=2, cutoff=0.6) if one != said]
        if number := re.fullmatch(r"([0-9]{1,3})[a-z]{1,3}", said):
            near.append(ordinal(int(number[1])))
        if times := re.fullmatch(r"[a-z]([0-9]{1,3})", said):
            near.append(f"x{times[1]}")
        for one in near:
            line = text[: word.start()] + one + text[word.end() :]
            found.append((-SequenceMatcher(None, said, one).ratio(), line, Rewrite(one, word.span(), MEANT)))
    return [(line, rewrite) for _, line, rewrite in sorted(found, key=lambda one: one[0])]


def _moved(text: str) -> Iterator[tuple[str, Rewrite]]:
    """Yield the line with a space or a mark one letter further left or right."""
    for at in range(len(text) - 1):
        if text[at].isalnum() != text[at + 1].isalnum():
            line = text[:at] + text[at + 1] + text[at] + text[at + 2 :]
            if line == line.strip():
                yield line, Rewrite(line, (0, len(text)), MEANT)


def _put_in(text: str, near: int) -> Iterator[tuple[str, Rewrite]]:
    """Yield the line with one more word of the language in it."""
    places = [*(word.start() for word in _WORD.finditer(text)), len(text.rstrip(":"))]
    for at in sorted(places, key=lambda place: abs(place - near)):
        if text[:at].rstrip(" ,:|"):
            line = f"{text[:at].rstrip()}, {text[at:]}"
            yield line, Rewrite(line, (0, len(text)))
        for word in _LOST:
            line = f"{text[:at].rstrip()} {word} {text[at:]}".strip().replace(" ,", ",").replace(" :", ":")
            yield line, Rewrite(line, (0, len(text)), MEANT)
