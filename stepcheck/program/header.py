"""The header of a sheet as facts, and the book of its names."""

import os
import re
from collections.abc import Callable, Iterator
from difflib import get_close_matches
from fractions import Fraction
from typing import TYPE_CHECKING, TypeAlias, TypeVar

from attrs import evolve, field, frozen

from stepcheck.books import book as books
from stepcheck.books.book import Book
from stepcheck.language.patch import MEANT, Rewrite
from stepcheck.language.syntax import KEYS, At, HeaderField, Line, MusicHead, Sheet
from stepcheck.model import words
from stepcheck.model.dance import Figure, Foot, key
from stepcheck.model.findings import Diagnostic
from stepcheck.model.floor import RELATIONS
from stepcheck.model.movements import Movement
from stepcheck.model.source import StepcheckError
from stepcheck.program.claims import finding, pieces
from stepcheck.program.failures import each

if TYPE_CHECKING:
    from stepcheck.music.strains import Song

_OTHERWISE = {
    "routine": "title, name, dance name",
    "tempo": "bpm, speed",
    "wait": "intro, introduction",
    "author": "choreographer, choreography, choreographed by, by",
    "artist": "singer, band",
    "song": "track",
    "walls": "wall",
    "level": "difficulty, grade",
    "lead": "start foot, lead foot",
    "book": "style, tradition",
}
SPOKEN = {said: field for field, names in _OTHERWISE.items() for said in names.split(", ")}
"""The fields of a header by what other sheets call them."""
FACINGS = words.FACINGS | {"right": 2, "left": 6}
Settled: TypeAlias = tuple[str, str]
"""A word, and the label of its reading."""
Start: TypeAlias = tuple[int, Foot, int, tuple[int, int] | None]
Read = TypeVar("Read")
_KEYS = frozenset(map(key, KEYS))
_FEET = {"left": Foot.LEFT, "right": Foot.RIGHT, "left foot": Foot.LEFT, "right foot": Foot.RIGHT}


@frozen
class Facts:
    """The facts of a header.

    Attributes:
        book: the book that names come from.
        title: the name of the routine.
        lead: the foot that goes first.
        facing: the wall at the start, in eighths of a turn clockwise from the front, 0 to 7.
        walls: the number of walls that is claimed, if it is.
        walls_line: the line that claims it, from 1; 0 for none.
        header: pairs of a field and its value, in order.
        movements: pairs of a word and a label: readings of movements that are settled, later ones before earlier ones.
        figures: the same for figures.
        song: the song that the header names, if it can be read.
        groups: the groups of the floor, in order; none where all dance alike.
        starts: for each of them the line that says how it begins (0 for none), its lead, its facing, and its place if
            the sheet says it: steps to the right and forward of the middle, as the header faces.
    """

    book: Book = field(repr=False)
    title: str = ""
    lead: Foot = Foot.LEFT
    facing: int = 0
    walls: int | None = None
    walls_line: int = 0
    header: tuple[tuple[str, str], ...] = ()
    movements: tuple[tuple[str, str], ...] = ()
    figures: tuple[tuple[str, str], ...] = ()
    song: "Song | None" = field(default=None, repr=False)
    groups: tuple[str, ...] = ()
    starts: tuple[Start, ...] = ()

    @property
    def tempo(self) -> Fraction | None:
        """Beats a minute: the header's, else the song's; None where neither says."""
        written = _tempo(dict(self.header).get("tempo", ""))
        return written if written or not self.song else self.song.tempo

    @property
    def wait(self) -> int | None:
        """The beats before the first step; None where the sheet says nothing."""
        return _wait(dict(self.header).get("wait", ""))


class _Header:
    def __init__(self, sheet: Sheet) -> None:
        self.sheet = sheet
        self.fields: dict[str, tuple[Line, HeaderField]] = {}
        self.others: list[tuple[Line, HeaderField]] = []
        self.found: list[Diagnostic] = []
        for line in sheet.lines:
            if isinstance(line.node, HeaderField):
                self._sort(line, line.node)

    def _sort(self, line: Line, node: HeaderField) -> None:
        name, said = key(node.key), f"{node.key} stands in the header twice"
        if name in self.fields or any(key(other.key) == name for _, other in self.others):
            self.say("name-taken-twice", line, node.at, said, "keep one of the lines")
        elif name in _KEYS:
            self.fields[name] = line, node
        else:
            self.others.append((line, node))

    def say(self, code: str, line: Line, at: At, message: str, *hints: str | Rewrite) -> None:
        """Add a finding."""
        self.found.append(finding(self.sheet, code, line, at, message, *hints))

    def value(self, name: str, read: Callable[[str], Read | None], default: Read, hint: str) -> Read:
        """Return the value of a field as `read` understands it; the default if it is not there or makes no sense."""
        if name not in self.fields:
            return default
        line, node = self.fields[name]
        made = read(node.value.strip().casefold())
        if made is None:
            meant = [one for one in _respelled(node.value.strip()) if read(one.casefold()) is not None]
            hints = tuple(Rewrite(one, node.value_at, MEANT) for one in meant)[:2]
            self.say("header-value", line, node.value_at, f"{node.value!r} is no value for {name}", *(hints or (hint,)))
            return default
        return made


def read(sheet: Sheet, *, book: Book | None = None) -> tuple[Facts, tuple[Diagnostic, ...]]:
    """Return the facts of a sheet's header, and what is wrong with it.

    Args:
        sheet: the sheet as written.
        book: a book to use instead of the one that the header names.
    """
    header = _Header(sheet)
    own = _book(header) if book is None else book
    groups, own_lines = _groups(header)
    movements, figures = _readings(header, own)
    facts = Facts(
        title=header.fields["routine"][1].value.strip() if "routine" in header.fields else "",
        book=own,
        lead=header.value("lead", _FEET.get, own.lead, "write left or right"),
        facing=header.value("facing", _facing, 0, "write front, right wall, back, left wall, or a clock time"),
        walls=header.value("walls", _walls, None, "write 1, 2, 4 or 8"),
        walls_line=header.fields["walls"][0].number if "walls" in header.fields else 0,
        header=tuple((name, node.value.strip()) for name, (_, node) in header.fields.items()),
        movements=tuple(movements),
        figures=tuple(figures),
        song=_song(header),
        groups=groups,
    )
    facts = evolve(facts, starts=tuple(_start(header, facts, own_lines.get(key(group))) for group in groups))
    header.value("tempo", _tempo, None, "write the beats a minute, such as 126")
    header.value("wait", _wait, None, "write the beats before the first step, such as 16 beats")
    return facts, tuple(header.found)


_VALUES = ("left", "right", "front", "back", "wall", "beats", "counts", "beat", "count", "bpm", "foot")


def _respelled(value: str) -> Iterator[str]:
    """Yield a value with one of its words spelt as one that values have, or with its letters left out."""
    for word in re.finditer(r"[^\s,]+", value):
        for near in get_close_matches(word[0].casefold(), _VALUES, 2):
            yield value[: word.start()] + near + value[word.end() :]
        if digits := re.sub(r"[^0-9:]", "", word[0]):
            yield value[: word.start()] + digits + value[word.end() :]


def _facing(text: str) -> int | None:
    return FACINGS.get(" ".join(text.split()))


def _walls(text: str) -> int | None:
    return int(text) if text.isascii() and text.isdigit() and 0 < int(text[:9]) <= 99 else None


def _tempo(text: str) -> Fraction | None:
    match = re.fullmatch(r"(\d{1,3}(?:\.\d+)?)\s*(?:bpm|beats a minute|beats per minute)?", text)
    return Fraction(match[1]) if match and Fraction(match[1]) > 0 else None


def _wait(text: str) -> int | None:
    match = re.fullmatch(r"(\d{1,4})\s*(?:beats?|counts?)?", text)
    return int(match[1]) if match else None


def _groups(header: _Header) -> tuple[tuple[str, ...], dict[str, tuple[Line, HeaderField]]]:
    """Return the groups of the floor, and the line of each that has one; such lines are no readings."""
    groups: list[str] = []
    if "groups" in header.fields:
        line, node = header.fields["groups"]
        taken = {key(section.name) for _, section in header.sheet.music}
        for group, at in pieces(node):
            if key(group) in taken or key(group) in _KEYS or not group[0].isalnum():
                header.say("header-value", line, at, f"{group!r} is no name for a group", "give it another name")
            else:
                taken.add(key(group))
                groups.append(node.value[at[0] - node.value_at[0] : at[1] - node.value_at[0]])
        if len(tuple(pieces(node))) < 2:
            hint = "as in: groups: odd lines, even lines"
            header.say("header-value", line, node.value_at, "a floor is split into two groups or more", hint)
    if key("each section") in header.fields:
        line, node = header.fields[key("each section")]
        for said, at in pieces(node):
            if said not in RELATIONS:
                message = f"{said!r} is nothing that holds between groups"
                header.say("header-value", line, at, message, f"write {', '.join(RELATIONS)}")
        if not groups:
            message = "this is said of groups, and there are none"
            header.say("header-value", line, node.at, message, "name them, as in: groups: odd lines, even lines")
    names = set(map(key, groups))
    own = {key(node.key): (line, node) for line, node in header.others if key(node.key) in names}
    header.others = [one for one in header.others if key(one[1].key) not in own]
    return tuple(groups), own


def _start(header: _Header, facts: Facts, said: tuple[Line, HeaderField] | None) -> Start:
    """Return the line of a group, the foot that it leads with, and its wall and place at the start."""
    lead, facing = facts.lead, facts.facing
    if said is None:
        return 0, lead, facing, None
    place: tuple[int, int] | None = None
    for piece, at in pieces(said[1]):
        word, _, rest = piece.partition(" ")
        if word == "lead" and rest in _FEET:
            lead = _FEET[rest]
        elif word == "facing" and _facing(rest) is not None:
            facing = FACINGS[rest]
        elif way := re.fullmatch(r"start (\d{1,3}) steps? (?:to the )?(right|left|forward|back)(?:wards?)?", piece):
            steps = int(way[1]) * (1 if way[2] in ("right", "forward") else -1)
            right, forward = place or (0, 0)
            place = (right, forward + steps) if way[2] in ("forward", "back") else (right + steps, forward)
        else:
            hint = "write lead left, lead right, facing and a wall, or a place such as start 2 steps forward"
            header.say("header-value", said[0], at, f"{piece!r} is nothing that a group begins with", hint)
    return said[0].number, lead, facing, place


def _book(header: _Header) -> Book:
    """Return the book that the header names: one, several, or a file beside the sheet; the clogging book if it names
    none."""
    if "book" not in header.fields:
        return books.load("clogging")
    line, node = header.fields["book"]
    found = []
    for name in (piece.strip() for piece in node.value.split(",")):
        read_so = name.endswith(" readings")
        title, _, readings = name.removesuffix(" readings").partition(" with ") if read_so else (name, "", "")
        try:
            found.append(books.load(_beside(header.sheet.source.path, title.strip()), readings.strip() or None))
        except (StepcheckError, ValueError, KeyError) as error:
            start = node.value_at[0] + max(node.value.casefold().find(name.casefold()), 0)
            meant = get_close_matches(name, books.SHIPPED, 1)
            hints: tuple[str | Rewrite, ...] = tuple(Rewrite(near, (start, start + len(name)), MEANT) for near in meant)
            hints += (f"the books that come with stepcheck are {' and '.join(books.SHIPPED)}",)
            header.say("header-value", line, node.value_at, f"there is no book {name!r}: {error}", *hints)
    if not found:
        return books.load("clogging")
    return found[0] if len(found) == 1 else books.combine(tuple(found))


def _beside(path: str, name: str) -> str:
    """Return a shipped book's name as it is, and a file's name as a path from the folder of the sheet."""
    if key(name) in books.SHIPPED:
        return key(name)
    file = name if name.endswith(".book") else f"{name}.book"
    return os.path.join(os.path.dirname(path), file)


def _song(header: _Header) -> "Song | None":
    """Return the song that the header names, with notes on what does not come from it."""
    if "music" not in header.fields:
        return None
    from stepcheck.music import song as songs  # for the few sheets that name one
    from stepcheck.music.strains import NoSong

    line, node = header.fields["music"]
    if any(isinstance(one.node, MusicHead) for one in header.sheet.lines):
        message = "the sections of the music stand in the sheet, and come from a file"
        header.say("name-taken-twice", line, node.at, message, "take this line away, or the list of sections")
        return None
    try:
        song = songs.load(songs.beside(header.sheet.source.path, node.value.strip()))
    except NoSong as error:
        hints: tuple[str | Rewrite, ...] = ("or list the sections under a line music:",)
        if not re.search(r"\.\w+$", node.value.strip()):
            title, *artist = re.split(r"\s+(?:by|[-–—])\s+", node.value.strip(), maxsplit=1)
            field = "\nartist: ".join((f"song: {title}", *artist))
            hints = (Rewrite(field, (node.at[0], node.value_at[1]), "write {} where it is no file"), *hints)
        header.say("header-value", line, node.value_at, f"there is no song {node.value!r}: {error}", *hints)
        return None
    for left_out in song.left_out:
        header.say("about-the-song", line, node.value_at, f"of {node.value}, {left_out}")
    speeds = [words.number(speed) for _, speed in song.tempos]
    if "tempo" in header.fields:
        written = header.fields["tempo"][1].value.strip()
        if speeds and [written.split()[0].removesuffix("bpm")] != speeds:
            message = f"{node.value} has {words.listed(speeds)} beats a minute; the tempo of the header holds"
            header.say("about-the-song", line, node.value_at, message)
    elif len(speeds) > 1:
        changes = f"the tempo of {node.value} changes: {words.listed(speeds)} beats a minute"
        header.say("about-the-song", line, node.value_at, f"{changes}; times are those of the whole")
    return song


def _readings(header: _Header, book: Book) -> tuple[list[Settled], list[Settled]]:
    movements, figures = list[Settled](), list[Settled]()
    for name, label in book.settled:
        _settle(book, name, label, movements, figures)
    for line, node in header.others:
        words = book.readings(node.key)
        if not words:
            names, has = {key(name): name for name in (*KEYS, *book.words())}, f"a header has {', '.join(KEYS)}"
            spoken = SPOKEN.get(key(node.key))
            near = [spoken] if spoken else get_close_matches(key(node.key), names, 1)
            meant = tuple(Rewrite(names[one], node.at, MEANT, (), has) for one in near)
            message = f"{node.key!r} is nothing that a header says"
            header.say("unknown-header", line, node.at, message, *(meant or (has,)))
            continue
        if not _settle(book, node.key, node.value, movements, figures):
            labels = tuple(dict.fromkeys(label for word in words for label in labels_of(word)))
            hints = each(labels, node.value_at)
            header.say("unknown-reading", line, node.value_at, f"{node.value!r} is no reading of {node.key}", *hints)
    return movements, figures


def labels_of(word: Movement | Figure) -> tuple[str, ...]:
    """Return the labels of the readings of a movement or figure."""
    return tuple(one.label for one in (word.versions if isinstance(word, Figure) else word.senses))


def settled_as(readings: tuple[tuple[str, str], ...], name: str, labels: tuple[str, ...]) -> int | None:
    """Return which of the readings `labels` of a word is settled, the first that it has; None if none is."""
    return next((labels.index(label) for word, label in readings if word == name and label in labels), None)


def _settle(book: Book, name: str, value: str, movements: list[Settled], figures: list[Settled]) -> bool:
    """Add the reading `value` of the word `name` to those settled; say whether the book has it."""
    hit = False
    for word in book.readings(name):
        chosen = books.reading(labels_of(word), value)
        if chosen is not None:
            hit = True
            (figures if isinstance(word, Figure) else movements).insert(0, (word.name, labels_of(word)[chosen]))
    return hit
