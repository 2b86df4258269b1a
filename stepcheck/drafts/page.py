"""The state of a description while it is read: its parts and sections, its header, its order, what is open."""

import itertools
import re

from attrs import evolve

from stepcheck.drafts.codes import Waiting
from stepcheck.drafts.counts import sized
from stepcheck.drafts.cues import Cues
from stepcheck.drafts.facts import Fact
from stepcheck.drafts.order import Order, named_in_order
from stepcheck.drafts.outline import Item, Line, Reader
from stepcheck.drafts.parts import OpenPart, Section
from stepcheck.drafts.passes import Passes, Tag
from stepcheck.drafts.steps import WEIGHT
from stepcheck.drafts.vocabulary import tight


class Page:
    """A description while it is read.

    `parts` are those that have begun, the last of which is open; `tag` is the tag that lines go to until it is full;
    `beside` are the words that stand beside what was read of a line, with its number.
    """

    def __init__(self, reader: Reader) -> None:
        self.reader = reader
        self.alias: dict[str, str] = {}
        self.line = reader.vocabulary.tradition == "line"
        self.cues = Cues(reader.vocabulary, reader.book, reader.assumed)
        self.parts: list[OpenPart] = []
        self.facts: list[Fact] = []
        self.left: list[str] = []
        self.ends: list[str] = []
        self.beside: list[tuple[int, str]] = []
        self.order, self.passes = Order("counts" if self.line else "beats"), Passes()
        self.glossary: dict[int, str] = {}
        self.table: tuple[str, ...] = ()
        self.beats = {**reader.lengths}
        self.waiting: Waiting | None = None
        self.danced: list[tuple[str, str]] = []
        self.several: list[tuple[int, str]] = []
        self.tag: Tag | None = None
        self.closing = self.title = ""
        self.spelled = False
        texts = [text for _, text in reader.numbered()]
        self.all = "\n".join(texts)
        self.names, at = named_in_order(texts)
        self.ordered = reader.numbered()[at][0] if at >= 0 else 0
        self.cues.numbered = any(re.match(r"\s*\(1\)\s+[A-Za-z]{2}", text) for text in texts)
        numbered = [re.match(r"\s*\(?\d{1,2}[.)]\s+[A-Za-z]", text) is not None for text in texts]
        alone = 3 * sum(one and other for one, other in itertools.pairwise([*numbered, True])) <= sum(numbered) - 2
        self.titled = self.line and sum(numbered) > 2 and alone
        self.sized = self.line and sized(texts)
        self.cues.votes = 0 if self.line or self.cues.numbered else self.cues.in_front(texts)
        self.parted = (
            not self.line or bool(self.names) or len(re.findall(r"^\W*part [a-h]\b", self.all, re.I | re.M)) > 1
        )

    @property
    def here(self) -> Section:
        """The section that is being read."""
        return self.opened().sections[-1]

    def opened(self) -> OpenPart:
        """Return the part that is open; the first steps open one where no head does."""
        return self.parts[-1] if self.parts else self.begin("Main" if self.line else "A", 0)

    def begin(self, name: str, beats: int) -> OpenPart:
        """Open a part."""
        self.parts.append(OpenPart(name, beats))
        self.danced.append((name, ""))
        return self.parts[-1]

    def section(self, section: Section) -> None:
        """Open a section of the part that is open."""
        if self.parts and not self.parts[-1].sections[-1].used:
            self.parts[-1].sections.pop()
        elif not self.parts:
            self.begin("Main" if self.line else "A", 0)
            self.parts[-1].sections.pop()
        self.parts[-1].sections.append(section)

    @property
    def sections(self) -> list[Section]:
        """The sections of the part that is open."""
        return self.parts[-1].sections if self.parts else []

    def anew(self, count: int, number: int) -> None:
        """Open a section without a head for counts from one again, or behind those that the head over them states."""
        here = self.here
        beyond = here.items and here.stated and count > here.stated[1]
        if not self.tag and (beyond or (not here.title and count <= here.last)):
            self.section(Section("", None, number))

    def close(self, text: str) -> None:
        """Keep the words that say that the dance begins again."""
        if self.closing:
            self.ends.append(tight(text))
        else:
            self.closing = tight(text)

    @property
    def target(self) -> list[Item]:
        """The lines that are being read: those of a tag, else of the section."""
        return self.tag.items if self.tag else self.here.items

    def sourced(self, number: int, text: str) -> None:
        """Note the line that the new lines of the section were read from."""
        items = self.here.items
        items[:] = [evolve(i, source=i.source or number) if isinstance(i, Line) else i for i in items]
        self.here.sources.append((number, text))

    def stands(self) -> str:
        """Return the foot that the last line of movements leaves the weight on, "" if that isn't known."""
        last = next((item for item in reversed(self.here.items) if isinstance(item, Line)), None)
        moves = last.moves if last else ()
        return next((move.foot for move in reversed(moves) if move.code in WEIGHT), "")

    def passed(self, first: int, last: int) -> None:
        """Note the counts that the section has come to."""
        if not self.tag:
            self.here.first = self.here.first or first
            self.here.last = max(self.here.last, last)
