"""The canonical form of a sheet: names as teachers say them, written as a sheet prints them, and the file rewritten.
Teachers say plurals, numbers before a name, and rows of movements.

A name that is known as it is written is that name, unless another reading of the same words is danced differently; then
both are spelled out and neither is chosen.
"""

from collections.abc import Iterator
from functools import lru_cache

from attrs import evolve, frozen

from stepcheck.books.book import Book
from stepcheck.books.footwork import dance, footing
from stepcheck.books.placing import last_beat, place
from stepcheck.language.files import rewrite
from stepcheck.language.grammar import COUNTED
from stepcheck.language.patch import Rewrite, restored
from stepcheck.language.printer import print_node
from stepcheck.language.syntax import FigureRow, FiguresHead, FootMark, Line, Option, PartHead, Row, Sheet
from stepcheck.model.dance import TICKS, Figure, Foot, Version, Weight, key
from stepcheck.model.findings import Diagnostic
from stepcheck.model.items import same
from stepcheck.model.source import Source, SourceError, read_bytes
from stepcheck.program.claims import finding
from stepcheck.program.header import Facts, labels_of, settled_as


@frozen
class Spoken:
    """The names that one sheet may use: its own, and those of its book, as the header's facts settle them.

    `guess` says to take the first of two readings, so that the rest of the sheet can be read.
    """

    facts: Facts
    own: frozenset[str]
    guess: bool = True

    @property
    def book(self) -> Book:
        """The book that names come from."""
        return self.facts.book

    def readings(self, option: Option) -> tuple[Option, ...]:
        """Return the possible meanings of an option, as a sheet prints them, the written words first; none if it has
        none."""
        if key(option.name) in self.own:
            return (evolve(option, forms=()),)
        possible = tuple(self._possible(option))
        if len(possible) < 2:
            return possible
        unique: dict[object, Option] = {}
        for one in possible:
            unique.setdefault(self._danced(one), one)
        return tuple(unique.values())

    def _possible(self, option: Option) -> Iterator[Option]:
        if self._stands(option.name, option.book):
            yield evolve(option, forms=())
        if option.book is not None and self.book.find(option.name, option.book):
            return
        if option.forms:
            yield from self._row(option)
            return
        number, name = _numbered(option.name)
        for one in (name, *singular(name)):
            if not self._stands(one, option.book):
                continue
            made = evolve(option, name=one[:1].upper() + one[1:])
            if number is not None and option.times != 1:  # said twice: the one, or each time the other
                yield made
                yield evolve(made, times=option.times and option.times * number)
            elif number is not None or one != option.name:
                yield evolve(made, times=option.times if number is None else number)
        if number is not None and self._stands(f"{COUNTED[number - 1]} {name}" if number <= len(COUNTED) else "", None):
            yield evolve(option, name=f"{COUNTED[number - 1].capitalize()} {name}")

    def _stands(self, name: str, book: str | None) -> bool:
        return (book is None and key(name) in self.own) or bool(self.book.find(name, book))

    def _row(self, option: Option) -> Iterator[Option]:
        """Yield a row of movements, with each foot that can lead it if feet are written in it."""
        actions, problems = place(option.forms, self.book.movement, self.book.tradition)
        if problems:
            return
        marked = next((mark.foot for mark in option.marks if isinstance(mark, FootMark)), None)
        if marked is None and any(form.foot is not None for form in option.forms):
            version = Version("", actions, last_beat(actions) * TICKS, 0)
            words = {one.movement.name: one.movement for one in actions}
            said = {name: settled_as(self.facts.movements, name, labels_of(word)) for name, word in words.items()}
            senses = {name: index for name, index in said.items() if index is not None}
            leads = [foot for foot in Foot if isinstance(dance(version, foot, False, senses), Weight)]
            at = next(form.at for form in option.forms if form.foot is not None)
            for lead in leads:
                yield evolve(option, marks=(FootMark(lead, at=at), *option.marks))
            if leads:
                return
        yield option

    def _danced(self, option: Option) -> object:
        """Return the common key of readings of the same words that are danced alike."""
        if key(option.name) in self.own:
            return option.name, option.times
        if option.forms:
            figure = row_figure(option, self.book, 0)
            return figure.lead, figure.versions, option.times
        return tuple(map(footing, self.book.find(option.name, option.book))), option.times


def _numbered(name: str) -> tuple[int | None, str]:
    """Return the number that a name begins with, in figures or in words, and the rest of it; None and the name for
    none."""
    first, space, rest = name.partition(" ")
    if not space:
        return None, name
    number = int(first) if first.isdecimal() and len(first) < 5 else _COUNTS.get(first.casefold(), 0)
    return (number, rest) if number and rest else (None, name)


_COUNTS = {word: number for number, word in enumerate(COUNTED, 1)}


@lru_cache(maxsize=1 << 12)
def singular(name: str) -> tuple[str, ...]:
    """Return the names of which `name` may be the plural."""
    low = name.casefold()
    if not low.endswith("s") or low.endswith(("ss", " s")):
        return ()
    found = [name[:-1]]
    if low.endswith("ies"):
        found.append(f"{name[:-3]}y")
    if low.endswith(("ches", "shes", "xes", "sses", "zes", "oes")):
        found.append(name[:-2])
    return tuple(found)


def row_figure(option: Option, book: Book, line: int) -> Figure:
    """Return the figure that a row of movements is, as long as its placing; written for the foot that the line
    names."""
    actions, _ = place(option.forms, book.movement, book.tradition)
    version = Version("", actions, last_beat(actions) * TICKS, 0)
    lead = next((mark.foot for mark in option.marks if isinstance(mark, FootMark) and mark.foot is not None), Foot.LEFT)
    return Figure(print_node(Option("", forms=option.forms)), (version,), lead=lead, line=line)


def settled(sheet: Sheet, facts: Facts, *, guess: bool = True) -> tuple[Sheet, tuple[Diagnostic, ...]]:
    """Return a sheet with every name as a sheet prints it, and a finding for each line that can mean two things.

    Args:
        sheet: the sheet as written.
        facts: what its header says: the book that its names come from, and how words are read.
        guess: whether such a line is then read in the first way, rather than left as it is.
    """
    heads = [line.node.name for line in sheet.lines if isinstance(line.node, PartHead)]
    rows = (row.node for line in sheet.lines if isinstance(line.node, FiguresHead) for row in line.body)
    own = frozenset(map(key, [*heads, *(row.name for row in rows if isinstance(row, FigureRow))]))
    spoken = Spoken(facts, own, guess)
    found: list[Diagnostic] = []
    lines = tuple(_settled(line, spoken, sheet, found, isinstance(line.node, PartHead)) for line in sheet.lines)
    return (sheet if same(lines, sheet.lines) else evolve(sheet, lines=lines)), tuple(found)


def _settled(line: Line, spoken: Spoken, sheet: Sheet, found: list[Diagnostic], in_part: bool) -> Line:
    """Return a line, and the lines under it, with names as a sheet prints them; the line itself if nothing changes.

    Rows of movements stand in parts only.
    """
    node = line.node
    if isinstance(node, Row):
        written = node.options if in_part else tuple(evolve(o, forms=()) if o.forms else o for o in node.options)
        options = tuple(_chosen(option, line, spoken, sheet, found) for option in written)
        if not same(options, node.options):
            line = evolve(line, node=evolve(node, options=options))
    if line.body:
        body = tuple(_settled(one, spoken, sheet, found, in_part) for one in line.body)
        if not same(body, line.body):
            line = evolve(line, body=body)
    return line


def _chosen(option: Option, line: Line, spoken: Spoken, sheet: Sheet, found: list[Diagnostic]) -> Option:
    """Return the one reading of an option; the option itself, with a finding, where there are several."""
    numbered = _numbered(option.name)[0] is not None or option.name[0].isdecimal()
    if not option.forms and option.name[-1] not in "sS" and not numbered:
        return option
    readings = spoken.readings(option)
    if len(readings) == 1:
        unchanged = readings[0] == option and readings[0].forms == option.forms
        return option if unchanged else evolve(readings[0], at=option.at, times_at=option.times_at)
    if readings:
        found.append(two_readings(option, line, readings, spoken, sheet))
        return option if not spoken.guess else evolve(readings[0], at=option.at, times_at=option.times_at)
    return option


def two_readings(option: Option, line: Line, readings: tuple[Option, ...], spoken: Spoken, sheet: Sheet) -> Diagnostic:
    """Return the finding that the words of an option can mean two things, both spelled out."""
    at = option.at[0], max([option.at[1], option.times_at[1], *(mark.at[1] for mark in option.marks)])
    hints = []
    for number, one in enumerate(readings):
        homes = spoken.book.find(one.name) if not one.forms and one.book is None else ()
        if homes and len(spoken.readings(evolve(one, marks=()))) > 1:
            one = evolve(one, book=homes[0].book)
        hints.append(Rewrite(print_node(one), at, "or write {}" if number else "write {}"))
    said = " or ".join(print_node(one if one.forms else evolve(one, marks=())) for one in readings)
    return finding(sheet, "two-readings", line, option.at, f"{option.name} can mean two things: {said}", *hints)


def replace(source: Source, text: str, *, in_place: bool = False) -> None:
    """Write another text into the file of a sheet, with its line ends and its byte-order mark, unless it says something
    else by now than it did when it was read.

    Args:
        source: the sheet, as it was read.
        text: the text.
        in_place: whether a file with several names is written into, and not replaced.

    Raises:
        SourceError: it can't be written, was changed, is read-only, or has several names.
    """

    def unchanged() -> None:
        if read_bytes(source.path) != (source.raw or source.text).encode("utf-8", "replace"):
            raise SourceError(f"{source.path} was changed meanwhile, and is left as it is")

    unchanged()
    rewrite(source.path, restored(source, text).encode("utf-8"), unchanged, in_place=in_place)
