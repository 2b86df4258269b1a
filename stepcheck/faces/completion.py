"""What may be written next at a place of a sheet."""

import re
from collections.abc import Iterator

from attrs import frozen

from stepcheck.books import book as books
from stepcheck.faces.document import Desk
from stepcheck.language.syntax import KEYS, MusicRow, PartHead
from stepcheck.model import words
from stepcheck.model.dance import Figure, key
from stepcheck.program.header import FACINGS, labels_of

SECTIONS = ("part ", "dance:", "music:", "figures:")
BLOCKS = ("2 times:", "2nd time only:", "last time only:", "except last time:", "expect ", "hold 4 beats")
IN_PARTS = (*BLOCKS, "counts 1-8:")
IN_DANCE = (*BLOCKS, "until the music ends:")
FEET = ("left foot", "right foot", "both feet")
TURNS = ("turn 1/4 right", "turn 1/4 left", "turn 1/2 right", "turn 1/2 left", "no turn")
CALLS = ("opposite foot", "mirrored", "first 16 counts")
_ROW = re.compile(r"(?:[A-Z]+(?:\([LR]\))?\s+)+[A-Z]*")  # a row of movements that is being written
PIECES = (
    "32 beats",
    "full turn",
    "1/4 turn right",
    "1/4 turn left",
    "front to front",
    "front to back",
    "left foot to left foot",
)


@frozen
class Offer:
    """Something that may be written: `kind` is figure, part, section, movement, keyword or value.

    `column` is where what has been typed of it begins, from 1.
    """

    label: str
    kind: str
    column: int
    detail: str = ""


def offers(desk: Desk, line: int, column: int) -> tuple[Offer, ...]:
    """Return what may be written at a place, both from 1, in a fixed order; an editor picks by what has been typed."""
    text = desk.source.line(line)[: column - 1]
    if "#" in text:
        return ()
    section = _section(desk, line) if text[:1].isspace() else ""
    made = {"": _margin, "figures": _figures, "music": _nothing}.get(section, _steps)
    return tuple(made(desk, text, section))


def _section(desk: Desk, line: int) -> str:
    """Return the section that an indented line stands in: part, dance, music, figures, or empty."""
    for number in range(line - 1, 0, -1):
        text = desk.source.line(number)
        if text.strip() and not text[0].isspace() and text[0] != "#":
            head = text.partition(":")[0].split()[:1]
            return head[0].casefold() if head and head[0].casefold() in ("part", "dance", "music", "figures") else ""
    return ""


def _nothing(desk: Desk, text: str, section: str) -> Iterator[Offer]:
    yield from ()


def _margin(desk: Desk, text: str, section: str) -> Iterator[Offer]:
    """Yield what stands at the margin: sections and fields of the header; after a colon the values of a field."""
    name, colon, value = text.partition(":")
    start = len(text) - len(value.lstrip()) + 1
    if not colon:
        fields = [*(f"{one}: " for one in (*KEYS, *desk.book.words()))]
        yield from (Offer(one, "section", 1) for one in SECTIONS)
        yield from (Offer(one, "keyword", 1) for one in fields)
    elif name.casefold().startswith("part "):
        start = _after(text, ":,")
        yield from (Offer(one, "keyword", start) for one in (*PIECES, *FEET))
    else:
        yield from (Offer(one, "value", start) for one in _values(desk, name))


def _values(desk: Desk, name: str) -> tuple[str, ...]:
    """Return the values that a field of the header may have, as far as they are known."""
    known = {
        "book": books.SHIPPED,
        "lead": ("left", "right"),
        "walls": ("1", "2", "4"),
        "facing": tuple(dict.fromkeys(words.WALLS + words.CLOCK)),
    }
    labels = (label for word in desk.book.readings(name) for label in labels_of(word))
    return known.get(key(name), ()) or tuple(dict.fromkeys(labels))


def _figures(desk: Desk, text: str, section: str) -> Iterator[Offer]:
    """Yield the movements that a figure of the sheet's own may be made of."""
    if ":" not in text:
        yield from ()
        return
    yield from _forms(desk, _after(text, ": \t"))


def _forms(desk: Desk, start: int) -> Iterator[Offer]:
    """Yield the movements of the book, as they are written in a row."""
    for book in (desk.book, *desk.book.members):
        while book is not None:
            for form in book.shelf.movements if book.shelf else ():
                found = book.movement(form)
                if found and key(form) in map(key, found[0].forms):
                    shown = next(one for one in found[0].forms if key(one) == key(form))
                    yield Offer(shown, "movement", start, found[0].name)
            book = book.base  # type: ignore[assignment]


def _steps(desk: Desk, text: str, section: str) -> Iterator[Offer]:
    """Yield what stands under a part or the dance: names and blocks; after a comma what goes with a name."""
    bare = text.lstrip()
    if bare.casefold().startswith(("facing ", "expect ")) or "," in text:
        yield from _marks(text, section)
        return
    if section == "part" and _ROW.fullmatch(bare):
        yield from _forms(desk, _after(text, " \t"))
        return
    start = _after(text, "|:") if "|" in text or ":" in text else len(text) - len(bare) + 1
    if "|" not in text and ":" not in text:
        yield from (Offer(one, "keyword", start) for one in (IN_DANCE if section == "dance" else IN_PARTS))
        if section == "dance":
            yield from (Offer(f"{name}: ", "section", start) for name in _music(desk))
    yield from (
        Offer(str(head.node.name), "part", start, head.text.partition(":")[2].partition("#")[0].strip())
        for head in desk.names.parts.values()
        if isinstance(head.node, PartHead)
    )
    yield from (Offer(one.name, "figure", start, _length(one)) for one in desk.names.own.values())
    own = {*desk.names.own, *desk.names.parts}
    for name in desk.book.names():
        if key(name) not in own:
            found = desk.book.find(name)
            yield Offer(name, "figure", start, _length(found[0]) if found else "")


def _marks(text: str, section: str) -> Iterator[Offer]:
    """Yield what goes with a name after a comma, or after `expect`."""
    expects = text.lstrip().casefold().startswith("expect ")
    start = _after(text, ",") if "," in text else len(text) - len(text.lstrip()) + len("expect ") + 1
    faces = [f"facing {wall}" for wall in dict.fromkeys((*words.WALLS, *words.CLOCK)) if wall in FACINGS]
    marks = (*FEET, *faces) if expects else (*FEET, *TURNS, *CALLS, *faces)
    yield from (Offer(one, "keyword", start) for one in marks)


def _music(desk: Desk) -> tuple[str, ...]:
    """Return the names of the sections of the music."""
    rows = (inner.node for line in desk.routine.sheet.lines for inner in line.body)
    return tuple(dict.fromkeys(row.name for row in rows if isinstance(row, MusicRow)))


def _length(figure: Figure) -> str:
    return words.length(figure.versions[figure.usual].length)


def _after(text: str, marks: str) -> int:
    """Return the column, from 1, of the first word after the last of `marks`."""
    place = max(text.rfind(mark) for mark in marks) + 1
    return len(text) - len(text[place:].lstrip()) + 1
