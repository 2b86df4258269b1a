"""The heads of parts in a routine, `PART A (16)`, `Chorus - 16 beats`, `~B~`, and a part while it is read."""

import re

from stepcheck.drafts.order import line_of
from stepcheck.drafts.outline import Block, Expect, Item, Line, Part
from stepcheck.drafts.source import Reader, fill_up
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

    def finished(self, twice: bool, reader: Reader) -> Part:
        """Return the part with its contract; danced again in one, its lines stand under `2 times`.

        `twice` says that the sequence has it twice in a row, and so does the repeat itself.
        """
        lines = tuple(fill_up(self.lines, self.beats - sum(beats_of(item) for item in self.lines)))
        once, stated, total = sum(beats_of(item) for item in lines), self.beats, self.beats
        if self.repeat and not twice:
            stated, total = self.once or self.beats, self.total
            inner: tuple[Item, ...] = (Block(f"beats 1-{stated}", lines),) if stated else lines
            if self.halfway:
                inner += (Block("1st time only", (Expect(f"facing {self.halfway}"),)),)
            faced = self.repeat != "again"
            lines = (Block("2 times", inner, "", "" if faced else self.repeat_remark),)
            lines += (Expect(f"facing {self.repeat}", self.repeat_remark),) if faced else ()
            reader.assumed.add(f"{self.name} in the sequence is {self.name} with its repeat")
        if stated and once != stated:
            reader.open.append(f"{self.name}: {stated} beats are stated, {once} are read")
        return Part(self.name, ((f"{total} beats",) if total else ()) + tuple(self.contract), lines, self.remark)


def beats_of(item: Item) -> int:
    """Return how many beats a line lasts, or the lines of a block."""
    if isinstance(item, Block):
        return sum(beats_of(each) for each in item.lines) * (2 if item.head == "2 times" else 1)
    return item.counts if isinstance(item, Line) else 0


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


def definitions(text: str) -> list[tuple[str, str]]:
    """Return the figures that a line spells out, `Triple = DS DS DS RS` or `Outhouse: DS, touch …`: names and steps."""
    said = plain(text)
    found = re.findall(
        r"(?:^|\s{2,}|,\s+)(?:a |an )?([A-Za-z][\w' -]*?)\s*=\s*(.+?)(?=\s{2,}[A-Za-z][\w' -]*\s*=|$)", said
    )
    if not found:
        found = re.findall(r"\b[Aa]n? ([a-z][a-z' -]*?) is ((?:[A-Z]{2,3}\b[ ,]*)+)", said)
    if (
        not found
        and (one := re.match(r"\s*(?:[-(]?\s*\d+\)?:?\s+)?([A-Z][\w' -]+?)\s*:\s*(?=\S)(.+)$", said))
        and not head(text)
    ):
        found = [(one[1], one[2])]
    return [
        (name, spelled)
        for name, spelled in found
        if name.casefold() not in ("music", "tune", "song", "tempo", "cues", "beats")
    ]
