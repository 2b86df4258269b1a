"""The outline of a book of figures: what stands at its margin, and which lines its entries are.

A book is laid out like a sheet: sections at the margin, an entry two spaces in, what belongs to it further in.  Only
this outline is made when a book is opened; an entry is read when somebody asks for it.  The layout is specs/books.md.
"""

import re
from collections.abc import Iterator

from attrs import frozen

from stepcheck.model.source import Source

SECTIONS = ("sources", "levels", "movements", "figures", "known by name", "readings")
FACTS = ("book", "tradition", "lead", "on top of", "author", "date", "version")
MEMORY = "memory"
FROM_MEMORY = "from memory"
USUAL = "(usual)"
NAMELESS = ",:"  # begin a line where a name should stand

Rows = list[list[tuple[int, str]]]  # of a section: for each entry its lines, with their numbers


@frozen
class Fault:
    """Something in a book that is not right: the name of its code, the line, the reason, what to write instead."""

    code: str
    line: int
    reason: str
    hints: tuple[str, ...] = ()


@frozen
class Entry:
    """A movement or a figure: its name and synonyms, its lines with their numbers, without comments, and whether one of
    several meanings is marked as the usual one."""

    names: tuple[str, ...]
    rows: tuple[tuple[int, str], ...]
    several: bool = False

    @property
    def start(self) -> int:
        """The number of its first line."""
        return self.rows[0][0]

    @property
    def forms(self) -> tuple[str, ...]:
        """What stands behind the colon of its first line."""
        return tuple(self.rows[0][1].partition(":")[2].split())


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


def outline(source: Source) -> Outline:
    """Return the outline of the book in `source`; whatever can't be read at its margin is among the faults."""
    facts: dict[str, str] = {}
    sections: dict[str, Rows] = {name: [] for name in SECTIONS}
    readings: list[tuple[str, Rows]] = []
    faults: list[Fault] = []
    here: Rows | None = None
    for number, raw in enumerate(source.lines, 1):
        text = raw.partition("#")[0].rstrip()
        row = number, " ".join(text.split())
        if not text:
            continue
        if text[0] != " ":
            here = _opened(number, row[1], facts, sections, readings, faults)
        elif here is None:
            faults.append(Fault("misplaced-line", number, "this line stands in no section"))
        elif text[:3] != "   ":
            here.append([row])
            if row[1][0] in NAMELESS:
                hint = "write the name before the comma or the colon"
                faults.append(Fault("line-not-understood", number, "this entry has no name", (hint,)))
        elif here:
            here[-1].append(row)
    sources = dict(_pairs(sections["sources"]))
    for rows in (*sections["levels"], *sections["known by name"]):
        unknown = (name for name in _from(rows) if name != MEMORY and name not in sources)
        faults += (Fault("unknown-name", rows[0][0], *unnamed(name)) for name in unknown)
    return Outline(
        source=source,
        facts=facts,
        sources=sources,
        levels=_listings(sections["levels"]),
        movements=_entries(sections["movements"]),
        figures=_entries(sections["figures"]),
        known=_listings(sections["known by name"]),
        readings=tuple((title, tuple(_pairs(rows))) for title, rows in readings),
        faults=tuple(faults),
    )


def _opened(
    number: int,
    text: str,
    facts: dict[str, str],
    sections: dict[str, Rows],
    readings: list[tuple[str, Rows]],
    faults: list[Fault],
) -> Rows | None:
    """Return the section that a line at the margin opens, if it opens one; note a fact or a fault."""
    head, colon, value = text.partition(":")
    name, value = head.strip().lower(), value.strip()
    if colon and not value and name.partition(" ")[0] == "readings":
        readings.append((name.removeprefix("readings").strip(), []))
        return readings[-1][1]
    if colon and not value and name in sections:
        return sections[name]
    if value and name in FACTS:
        facts[name] = value
        return None
    hints = (f"the sections are {', '.join(SECTIONS)}", f"the facts are {', '.join(FACTS)}")
    faults.append(Fault("unknown-header", number, f"a book has no line like {text!r} at the margin", hints))
    return []


def _pairs(section: Rows) -> Iterator[tuple[str, str]]:
    for rows in section:
        name, _, value = rows[0][1].partition(":")
        yield name.strip(), value.strip()


def _listings(section: Rows) -> tuple[Listing, ...]:
    """Return the lines of a section as titles with the names after the colon; one without a colon has no title."""
    halves = ((*rows[0][1].rpartition(":")[::2], _from(rows)) for rows in section)
    return tuple(Listing(title.strip(), listed(names), sources) for title, names, sources in halves)


def _entries(section: Rows) -> tuple[Entry, ...]:
    out = []
    for rows in section:
        name = re.split("[,:]", rows[0][1])[0].strip()
        below = [(word.strip(), text, rest) for _, text in rows[1:] for word, _, rest in (text.partition(":"),)]
        also = (other for word, _, rest in below if word == "also" for other in listed(rest))
        several = any(USUAL in text for word, text, _ in below if word not in ("also", "from"))
        out += [Entry((name, *also), tuple(rows), several)] if name else []
    return tuple(out)


def _from(rows: list[tuple[int, str]]) -> tuple[str, ...]:
    named = [text.partition(":")[2] for _, text in rows[1:] if text.partition(":")[0].strip() == "from"]
    return listed(named[-1]) if named else ()


def unnamed(source: str) -> tuple[str, tuple[str, ...]]:
    """Return the reason and the hint for a source that the book doesn't name."""
    return f"the book names no source {source!r}", (f"write {source}: … under sources:",)


def listed(text: str) -> tuple[str, ...]:
    """Return the pieces between the commas of a line."""
    return tuple(" ".join(piece.split()) for piece in text.split(",") if piece.strip())
