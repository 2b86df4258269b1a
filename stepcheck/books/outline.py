"""The outline of a book of figures: what stands at its margin, and on which lines its entries are.

A book is laid out like a sheet: sections at the margin, an entry two spaces in, what belongs to it further in.  Only
this outline is made when a book is opened; an entry is read when somebody asks for it.  The layout is specs/books.md.
"""

from collections.abc import Iterator

from attrs import define, field, frozen

from stepcheck.model.source import Source

SECTIONS = ("sources", "levels", "movements", "figures", "known by name", "readings")
FACTS = ("book", "tradition", "lead", "on top of", "author", "date", "version")
MEMORY = "memory"
FROM_MEMORY = "from memory"
USUAL = "(usual)"
NAMELESS = ",:"  # begin a line where a name should stand


@frozen
class Fault:
    """Something in a book that is not right: the name of its code, the line, the reason, what to write instead."""

    code: str
    line: int
    reason: str
    hints: tuple[str, ...] = ()


@frozen
class Entry:
    """A movement or a figure: its name and synonyms, the lines `start` to `end` (exclusive) that it fills, and whether
    one of several meanings is marked as the usual one."""

    names: tuple[str, ...]
    start: int
    end: int
    several: bool = False


@frozen
class Listing:
    """A line of names with the short names of its sources: the levels of the scheme `title`, or figures known by
    name."""

    title: str
    names: tuple[str, ...]
    sources: tuple[str, ...] = ()


@frozen(eq=False)
class Outline:
    """A book as far as it is read when it is opened.

    `facts` are the lines at the margin, `sources` the published sources by their short names, `levels` the schemes with
    their levels from the easiest, `known` the names without published footwork, `readings` the sets of settled words by
    name (the empty name: always).
    """

    source: Source
    facts: dict[str, str]
    sources: dict[str, str]
    levels: tuple[Listing, ...]
    movements: tuple[Entry, ...]
    figures: tuple[Entry, ...]
    known: tuple[Listing, ...]
    readings: tuple[tuple[str, tuple[tuple[str, str], ...]], ...]
    faults: tuple[Fault, ...] = ()

    def cited(self, names: tuple[str, ...]) -> tuple[str, ...]:
        """Return the sources with these short names in full, memory as what it is, an unknown name as it stands."""
        return tuple(FROM_MEMORY if name == MEMORY else self.sources.get(name, name) for name in names)


@define
class _Item:
    """An entry of a section while the book is gone through: its first line, and what the lines under it add."""

    start: int
    text: str
    also: list[str] = field(factory=list)
    sources: tuple[str, ...] = ()
    several: bool = False


class _Block:
    """The entries of a section while the book is gone through; `end` is the line behind the last one."""

    def __init__(self, title: str = "") -> None:
        self.title = title
        self.entries: list[_Item] = []
        self.end = 0

    def go_on(self, text: str) -> None:
        """Take a line that belongs to the last entry."""
        if not self.entries:
            return
        head, _, rest = text.strip().partition(":")
        if head == "also":
            self.entries[-1].also.extend(listed(rest))
        elif head == "from":
            self.entries[-1].sources = listed(rest)
        elif USUAL in text:
            self.entries[-1].several = True

    def outlines(self) -> tuple[Entry, ...]:
        """Return the entries that have a name, each of which goes on to the next one."""
        ends = [*(entry.start for entry in self.entries[1:]), self.end]
        return tuple(
            Entry((one.text.partition(":")[0].partition(",")[0].strip(), *one.also), one.start, end, one.several)
            for one, end in zip(self.entries, ends, strict=False)
            if one.text[0] not in NAMELESS
        )

    def pairs(self) -> tuple[tuple[str, str], ...]:
        """Return the lines as names with what stands after the colon."""
        halves = (entry.text.partition(":") for entry in self.entries)
        return tuple((name.strip(), value.strip()) for name, _, value in halves)

    def listings(self) -> tuple[Listing, ...]:
        """Return the lines as titles with the names after the colon; a line without a colon has no title."""
        halves = [(*entry.text.rpartition(":")[::2], entry.sources) for entry in self.entries]
        return tuple(Listing(title.strip(), listed(names), sources) for title, names, sources in halves)


def outline(source: Source) -> Outline:
    """Return the outline of the book in `source`; whatever can't be read at its margin is among the faults."""
    facts: dict[str, str] = {}
    blocks = {name: _Block() for name in SECTIONS}
    readings: list[_Block] = []
    faults: list[Fault] = []
    block: _Block | None = None
    for number, raw in enumerate(source.lines, 1):
        text = raw.partition("#")[0].rstrip()
        if not text:
            continue
        if text[0] != " ":
            if block is not None:
                block.end = number
            block = _at_margin(text, number, facts, blocks, faults)
            if block is not None and block not in blocks.values():
                readings.append(block)
        elif block is None:
            faults.append(Fault("misplaced-line", number, "this line stands in no section"))
        elif text[:3] == "   ":
            block.go_on(text)
        else:
            block.entries.append(_Item(number, text.strip()))
            if text.lstrip()[0] in NAMELESS:
                hint = "write the name before the comma or the colon"
                faults.append(Fault("line-not-understood", number, "this entry has no name", (hint,)))
    if block is not None:
        block.end = len(source.lines) + 1
    sources = dict(blocks["sources"].pairs())
    faults += [
        Fault("unknown-name", entry.start, *unnamed(name))
        for section in ("levels", "known by name")
        for entry in blocks[section].entries
        for name in entry.sources
        if name != MEMORY and name not in sources
    ]
    return Outline(
        source=source,
        facts=facts,
        sources=sources,
        levels=blocks["levels"].listings(),
        movements=blocks["movements"].outlines(),
        figures=blocks["figures"].outlines(),
        known=blocks["known by name"].listings(),
        readings=tuple((found.title, found.pairs()) for found in readings),
        faults=tuple(faults),
    )


def _at_margin(
    text: str, number: int, facts: dict[str, str], blocks: dict[str, _Block], faults: list[Fault]
) -> _Block | None:
    """Return the section that a line at the margin opens, if it opens one; note a fact or a fault."""
    head, colon, value = text.partition(":")
    name, value = " ".join(head.split()).lower(), value.strip()
    if colon and not value and (name == "readings" or name.startswith("readings ")):
        return _Block(name.removeprefix("readings").strip())
    if colon and not value and name in blocks:
        return blocks[name]
    if value and name in FACTS:
        facts[name] = value
        return None
    hints = (f"the sections are {', '.join(SECTIONS)}", f"the facts are {', '.join(FACTS)}")
    faults.append(Fault("unknown-header", number, f"a book has no line like {text!r} at the margin", hints))
    return _Block()


def unnamed(source: str) -> tuple[str, tuple[str, ...]]:
    """Return the reason and the hint for a source that the book doesn't name."""
    return f"the book names no source {source!r}", (f"write {source}: … under sources:",)


def rows(source: Source, entry: Entry) -> Iterator[tuple[int, str]]:
    """Yield the lines of an entry with their numbers, without comments, empty lines and needless spaces."""
    for number in range(entry.start, entry.end):
        line = " ".join(source.line(number).partition("#")[0].split())
        if line:
            yield number, line


def listed(text: str) -> tuple[str, ...]:
    """Return the pieces between the commas of a line."""
    return tuple(" ".join(piece.split()) for piece in text.split(",") if piece.strip())
