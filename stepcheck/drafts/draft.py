"""Drafts a sheet of a customary step description: every line is in it, every assumption is listed, no count is invented."""

import re

from attrs import field, frozen

from stepcheck.books import book as books
from stepcheck.drafts import lines, source
from stepcheck.drafts import vocabulary as words
from stepcheck.drafts.parts import cue_sheet
from stepcheck.drafts.sheet import shown, written
from stepcheck.drafts.words import visible
from stepcheck.model.source import require

CLOGGING = re.compile(r"\bclog", re.IGNORECASE)
LINE = re.compile(r"\bline danc|\bwalls?\b", re.IGNORECASE)


@frozen
class Drafted:
    """A line of the source, and what it was read as.

    Attributes:
        line: its number, from 1.
        kind: fact (of the header), heading, steps, order (of the dance), remark, blank or open.
        text: the line as it stands.
    """

    line: int
    kind: str
    text: str


@frozen
class Draft:
    """A sheet that was drafted.

    Attributes:
        text: the sheet in the canonical layout.
        assumed: what was taken where the source leaves it open, a sentence each.
        open: what is not understood, each with its line.
        lines: the lines of the source, with what each was read as.
    """

    text: str
    assumed: tuple[str, ...] = ()
    open: tuple[str, ...] = ()
    lines: tuple[Drafted, ...] = field(default=(), repr=False)

    @property
    def understood(self) -> bool:
        """Whether any line was read as steps."""
        return any(line.kind == "steps" for line in self.lines)


def tradition(text: str) -> str:
    """Return the tradition that a description belongs to, "clogging" or "line"."""
    if CLOGGING.search(text):
        return "clogging"
    codes = sum(1 for word in re.findall(r"\b[A-Z]{2,3}\b", text) if word in ("DS", "RS"))
    return "clogging" if codes > 3 and not LINE.search(text) else "line"


def draft(text: str, vocabulary: str = "") -> Draft:
    """Return the sheet that a customary step description comes to.

    Args:
        text: the description, as plain text.
        vocabulary: words of a club, written as `specs/drafts.md` says, added to the shipped ones.

    Raises:
        SourceError: `vocabulary` is not written as one is.  No text of a description raises anything.
        WrongValue: an argument is no text.
    """
    require(text, str, "the text of a description")
    require(vocabulary, str, "the text of a vocabulary")
    kind = tradition(text)
    reader = source.Reader(visible(text).split("\n"), words.load(kind, vocabulary), books.load(kind))
    outline = cue_sheet(reader) if kind == "clogging" else lines.step_sheet(reader)
    assumed, opened = tuple(reader.assumed.said), tuple(reader.open)
    read = tuple(Drafted(number, kind, shown(said)) for number, kind, said in reader.sources())
    return Draft(written(outline, assumed, opened), assumed, opened, read)
