"""What an editor offers to write: completions at a place, and changes of the sheet beside those that mend a finding."""

import re
from collections.abc import Iterator
from itertools import pairwise

from attrs import evolve, frozen

from stepcheck.books import book as books
from stepcheck.faces.document import Desk, Name, defined, every_name, figure_of, meant, name_at
from stepcheck.language.syntax import KEYS, FigureRow, HeaderField, Line, PartHead, Row
from stepcheck.model import words
from stepcheck.model.claims import FIXED
from stepcheck.model.dance import key
from stepcheck.model.findings import Patch, Severity
from stepcheck.model.floor import RELATIONS
from stepcheck.model.source import Span
from stepcheck.program.header import FACINGS, labels_of
from stepcheck.report import pipeline
from stepcheck.report.notes import open_words

SECTIONS = ("part ", "dance:", "music:", "figures:")
BLOCKS = ("2 times:", "2nd time only:", "last time only:", "except last time:", "expect ", "hold 4 beats")
IN_PARTS = (*BLOCKS, "counts 1-8:")
IN_DANCE = (*BLOCKS, "until the music ends:", "together:")
FEET = ("left foot", "right foot", "both feet")
TURNS = ("turn 1/4 right", "turn 1/4 left", "turn 1/2 right", "turn 1/2 left", "no turn")
WAYS = ("2 steps right", "2 steps left", "2 steps forward", "2 steps back", "on the spot")
CALLS = ("opposite foot", "mirrored", "first 16 counts")
_ROW = re.compile(r"(?:[A-Z]+(?:\([LR]\))?\s+)+[A-Z]*")  # a row of movements that is being written
PIECES = ("32 beats", "full turn", "1/4 turn right", "1/4 turn left", "front to front", "front to back")
ENDS = ("left foot to left foot", "returns", "within 4 steps")


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
    if section == "music":
        return ()
    if section == "figures":
        return tuple(_forms(desk, _after(text, ": \t"))) if ":" in text else ()
    return tuple((_steps if section else _margin)(desk, text, section))


def _section(desk: Desk, line: int) -> str:
    """Return the section that an indented line stands in: part, dance, music, figures, or empty."""
    for number in range(line - 1, 0, -1):
        text = desk.source.line(number)
        if text.strip() and not text[0].isspace() and text[0] != "#":
            head = text.partition(":")[0].split()[:1]
            return head[0].casefold() if head and head[0].casefold() in ("part", "dance", "music", "figures") else ""
    return ""


def _margin(desk: Desk, text: str, section: str) -> Iterator[Offer]:
    """Yield what stands at the margin: sections and fields of the header; after a colon the values of a field."""
    name, colon, value = text.partition(":")
    start = len(text) - len(value.lstrip()) + 1
    if not colon:
        yield from (Offer(one, "section", 1) for one in SECTIONS)
        yield from (Offer(f"{one}: ", "keyword", 1) for one in (*KEYS, *desk.book.words()))
    elif name.casefold().startswith("part "):
        start = _after(text, ":,")
        yield from (Offer(one, "keyword", start) for one in (*PIECES, *ENDS, *FEET))
    else:
        yield from (Offer(one, "value", start) for one in _values(desk, name))


def _values(desk: Desk, name: str) -> tuple[str, ...]:
    """Return the values that a field of the header may have, as far as they are known."""
    known = {
        "book": books.SHIPPED,
        "lead": ("left", "right"),
        "walls": ("1", "2", "4"),
        "facing": tuple(dict.fromkeys(words.WALLS + words.CLOCK)),
        key("each section"): tuple(RELATIONS),
        **dict.fromkeys(
            map(key, desk.routine.facts.groups), ("lead left", "lead right", "facing back", "start 2 steps forward")
        ),
    }
    labels = (label for word in desk.book.readings(name) for label in labels_of(word))
    return known.get(key(name), ()) or tuple(dict.fromkeys(labels))


def _forms(desk: Desk, start: int) -> Iterator[Offer]:
    """Yield the movements of the book, as they are written in a row."""
    for book in books.within(desk.book):
        for form in book.shelf.movements if book.shelf else ():
            found = book.movement(form)
            if shown := next((one for one in found[0].forms if key(one) == key(form)), "") if found else "":
                yield Offer(shown, "movement", start, found[0].name)


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
            names = [section.name for _, section in desk.routine.sheet.music]
            groups = desk.routine.facts.groups
            yield from (Offer(f"{name}: ", "section", start) for name in (*dict.fromkeys(names), *groups))
    yield from (
        Offer(str(head.node.name), "part", start, head.text.partition(":")[2].partition("#")[0].strip())
        for head in desk.names.parts.values()
        if isinstance(head.node, PartHead)
    )
    yield from (Offer(one.name, "figure", start, words.length(one.length)) for one in desk.names.own.values())
    own = {*desk.names.own, *desk.names.parts}
    for name in desk.book.names():
        if key(name) not in own:
            found = desk.book.find(name)
            yield Offer(name, "figure", start, words.length(found[0].length) if found else "")


def _marks(text: str, section: str) -> Iterator[Offer]:
    """Yield what goes with a name after a comma, or after `expect`."""
    expects = text.lstrip().casefold().startswith("expect ")
    start = _after(text, ",") if "," in text else len(text) - len(text.lstrip()) + len("expect ") + 1
    faces = [f"facing {wall}" for wall in dict.fromkeys((*words.WALLS, *words.CLOCK)) if wall in FACINGS]
    marks = (*FEET, *faces) if expects else (*FEET, *TURNS, *CALLS, *faces, *WAYS)
    stated = (words for words, kind in FIXED.items() if kind.test or section == "dance") if expects else ()
    yield from (Offer(one, "keyword", start) for one in (*marks, *stated))


def _after(text: str, marks: str) -> int:
    """Return the column, from 1, of the first word after the last of `marks`."""
    place = max(text.rfind(mark) for mark in marks) + 1
    return len(text) - len(text[place:].lstrip()) + 1


MOST_TRIED = 20
"""How many changes are tried one by one where they do not go together."""


class NotRenamed(ValueError):
    """A name that cannot be another; the message is a sentence that says why."""


def renamable(desk: Desk, line: int, column: int) -> Name:
    """Return the name at a place, from 1, if it is that of a part or of a figure of the sheet's own.

    Raises:
        NotRenamed: it is another's, or none.
    """
    name = name_at(desk, line, column)
    if name is None or meant(desk, name) is None:
        raise NotRenamed("only the name of a part, or of a figure of the sheet's own, can be another")
    if defined(desk, name) is None:
        raise NotRenamed(f"{name.name} is of the book, and keeps its name")
    return name


def renamed(desk: Desk, line: int, column: int, name: str) -> Patch:
    """Return the change that calls the part or own figure at a place, from 1, `name` everywhere in the sheet.

    The sheet is read again with it: nothing but that name may be read otherwise.

    Raises:
        NotRenamed: there is nothing to rename, the name is taken, or the sheet would be read otherwise.
    """
    old, new = renamable(desk, line, column), " ".join(name.split())
    if key(new) != key(old.name):
        _free(desk, new)
    about = meant(desk, old)
    places = (one for one in every_name(desk) if meant(desk, one) == about)
    patch = Patch(f"call it {new}", tuple((one.span, _written(desk, one, new)) for one in places))
    after = pipeline.loads(patch.applied(desk.source), path=desk.source.path)
    before = _called(desk.routine.sheet.lines, key(old.name), new)
    if before != _called(after.sheet.lines, key(new), new):
        raise NotRenamed(f"a sheet with {new!r} in the place of {old.name} would be read otherwise")
    return patch


def _free(desk: Desk, name: str) -> None:
    taken = desk.heads.get(key(name))
    if taken is not None:
        raise NotRenamed(f"{name} is already the name of what stands on line {taken.line.number}")
    for kind, found in (("figure", desk.book.find(name)), ("movement", desk.book.movement(name))):
        if found:
            raise NotRenamed(f"{name} is already the name of a {kind} of the book {desk.book.name}")


def _written(desk: Desk, name: Name, new: str) -> str:
    """Return what to write in the place of a name; a number that was read as part of it is kept behind."""
    there = desk.source.line(name.span.line)[name.span.column - 1 : name.span.end_column - 1]
    many = name.option is not None and name.option.times not in (None, 1) and there[:1].isdigit()
    return f"{new} x{name.option.times}" if many and name.option else new


def _called(found: tuple[Line, ...], old: str, new: str) -> tuple[Line, ...]:
    """Return lines with the part or own figure `old` called `new`."""

    def one(line: Line) -> Line:
        node = line.node
        if isinstance(node, PartHead | FigureRow) and key(node.name) == old:
            node = evolve(node, name=new)
        elif isinstance(node, Row):
            meant = (key(option.name) == old and option.book is None for option in node.options)
            options = (evolve(o, name=new) if is_it else o for o, is_it in zip(node.options, meant, strict=True))
            node = evolve(node, options=tuple(options))
        return evolve(line, node=node, body=_called(line.body, old, new))

    return tuple(map(one, found))


def unsettled(desk: Desk, first: int, last: int) -> Iterator[Patch]:
    """Yield the changes that settle in the header a word that is danced on one of some lines and read in several ways.

    The reading that is usual comes first; the verdicts may be others with the other one.
    """
    danced = {
        word
        for one in every_name(desk)
        if first <= one.line.number <= last and one.option and (figure := figure_of(desk, one))
        for word in open_words(figure)
    }
    heads = [line.number for line in desk.routine.sheet.lines if isinstance(line.node, HeaderField)]
    place = max(heads, default=0) + 1
    for word in desk.routine.words:
        if word.key in danced:
            for label in dict.fromkeys((word.labels[word.usual], *word.labels)):
                said = f"{word.key}: {label}"
                yield Patch(f"settle it in the header: {said}", ((Span(place, 1, place, 1), f"{said}\n"),))


def put_right(desk: Desk) -> Patch | None:
    """Return one change that mends every finding with a single way out, None if there is no such finding.

    A refuted claim is none of them: the sentence may be wrong, or the steps.  Where two changes do not go together, the
    later one is left out.
    """
    ill = [one for one in desk.routine.diagnostics if one.code.severity is not Severity.NOTE]
    ways = [(one.hints[0].patch, sum(hint.patch is not None for hint in one.hints)) for one in ill if one.hints]
    single = list(dict.fromkeys(first for first, number in ways if first is not None and number == 1))
    if not single or _mends(desk, single, len(ill)):
        return _together(single) if single else None
    kept: list[Patch] = []
    for patch in single[:MOST_TRIED]:
        kept += [patch] if _mends(desk, [*kept, patch], len(ill)) else []
    return _together(kept) if kept else None


def _together(patches: list[Patch]) -> Patch:
    replacements = dict.fromkeys(r for one in patches for r in one.replacements)
    return Patch("put right what has a single way out", tuple(replacements))


def _mends(desk: Desk, patches: list[Patch], ill: int) -> bool:
    """Say whether changes overlap nowhere, and take away a finding each of the `ill` that there are."""
    spans = sorted(span for span, _ in _together(patches).replacements)
    if any((one.end_line, one.end_column) > (other.line, other.column) for one, other in pairwise(spans)):
        return False
    after = pipeline.loads(_together(patches).applied(desk.source), path=desk.source.path)
    return sum(one.code.severity is not Severity.NOTE for one in after.diagnostics) <= ill - len(patches)
