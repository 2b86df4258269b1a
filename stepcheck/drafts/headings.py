"""The heads of parts in a routine, `PART A (16)`, `Chorus - 16 beats`, `~B~`, and a part while it is read."""

import re

from stepcheck.drafts.order import line_of
from stepcheck.drafts.outline import Item
from stepcheck.drafts.words import plain

_WORDS = r"(?:[a-z]+ )?(?:chorus|break|bridge|tag|ending|end|last|finish|verse|coda|interlude)"
_PART = re.compile(
    rf"^[\s~*(]*(?:(part\s+(?:[A-Z]|\d{{1,2}}))|({_WORDS})|([A-H]))\b(?!')[~)]*\s*"
    rf"(?:(?:is\s+the\s+\w+)|(?:with\s+(?=a\b)))?\s*[-,]?\s*"
    rf"(?:[\[(]?\s*(\d{{1,3}})(?:\s*beats?)?\s*[\])]?(?=\s*(?:$|[:.~-]|\s{{2,}})))?\s*([:.]?)",
    re.IGNORECASE,
)
REPEAT = re.compile(
    r"\brepeat\s+(?:part\s+)?(\w{1,8})\b|^[\s~(]*(?:part\s+)?(\w{1,2})~?\s+again\b|\bwhole of (?:part )?(\w+) again",
    re.IGNORECASE,
)
"""The name of a part that is danced again."""


class Draft:
    """A part while it is read: `beats` of one time, `total` of all, `once` where the source says it of one of several.

    `repeat` is the facing after it is danced again, "again" if none is said, "" if it isn't; `halfway` the one between.
    """

    def __init__(self, name: str, beats: int, number: int) -> None:
        self.name, self.beats, self.number = name, beats, number
        self.lines: list[Item] = []
        self.contract: list[str] = []
        self.remark = self.repeat = self.repeat_remark = self.halfway = ""
        self.total = self.once = 0


def head(text: str) -> tuple[str, int, str] | None:
    """Return the name, beats and remaining words of the head of a part, None if a line is none."""
    said = plain(text)
    found = _PART.match(said)
    if (
        not found
        or re.match(r"\s*(?:again|is\s+eight)\b", said[found.end() :], re.IGNORECASE)
        or REPEAT.search(said)
        and not found[5]
    ):
        return None
    rest = said[found.end() :]
    name = " ".join((found[1] or found[2] or found[3]).split())
    marked = found[5] or found[4] or "~" in found[0] or not rest.strip()
    if found[3] and not marked:
        return None
    apart = re.match(r"\s{2,}|\t", said[len(found[0].rstrip()) :]) or re.match(r"\W*finish with", said, re.IGNORECASE)
    if not marked and not apart:
        return None
    return name, int(found[4] or 0), rest.strip(" \t-")


def name_of(said: str, source: str) -> str:
    """Return a part's name as the sheet writes it; `source` is the whole description."""
    low = said.casefold()
    if re.fullmatch(r"part [a-z]", low):
        return low[-1].upper()
    if re.fullmatch(r"[a-h]", low):
        return low.upper()
    if low in ("finish", "end") and not re.search(r"[,\s](?:END|End)\b\s*$", line_of(source)):
        return "Ending"
    return said if " " in said and not low.startswith("part") else said.capitalize()
