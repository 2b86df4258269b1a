"""What a book of figures says, line by line, as written.

A book is laid out like a sheet: sections at the margin, an entry two or more spaces in, what belongs to it further in.
Only the outline is read at once; an entry is read when somebody asks for it, so that a large book costs little.  The
layout is specs/books.md.  Turns are in eighths, lengths in ticks.
"""

import re
from collections.abc import Iterator
from fractions import Fraction

from attrs import field, frozen

from stepcheck.model import EIGHTHS, TICKS, Actor, Foot, Movement, Sense
from stepcheck.source import Source
from stepcheck.syntax import Form

SECTIONS = ("sources", "levels", "movements", "figures", "known by name", "readings")
FACTS = ("book", "tradition", "lead", "on top of", "author", "date", "version")
MEMORY = "memory"
FROM_MEMORY = "from memory"

_FORM = re.compile(r"([A-Za-z][A-Za-z0-9]*)(?:\(([LR])\))?(?:@(?:(\d{1,4})([e&a]?)|&(\d{1,4})))?")
_LENGTH = re.compile(r"(\d{1,4}) (?:beats?|counts?)")
_SIZE = r"(full|half|quarter|\d{1,2}(?:/\d)?)"
_TURN = re.compile(rf"(?:turn {_SIZE}|{_SIZE} turn) (left|right)(?: ?@(\d{{1,4}}))?")
_USUAL = re.compile(rf"{_SIZE} (left|right|either way)")
_LEVEL = re.compile(r"(.+) in (.+)")
_INSIDE = {"": 0, "e": TICKS // 4, "&": TICKS // 2, "a": 3 * TICKS // 4}
_SHARES = {"full": Fraction(1), "half": Fraction(1, 2), "quarter": Fraction(1, 4)}
_ACTORS = {actor.value: actor for actor in Actor}


@frozen
class Fault:
    """Something in a book that can't be read: the name of its code, the line, the reason, what to write instead."""

    code: str
    line: int
    reason: str
    hints: tuple[str, ...] = ()


class Unreadable(Exception):
    """Raised inside this module when a piece of an entry can't be read."""


@frozen
class Entry:
    """A movement or figure in the outline of a book: its names, the lines `start` to `end` (exclusive) that it fills,
    and whether more than one meaning stands under it."""

    names: tuple[str, ...]
    start: int
    end: int
    several: bool = False


@frozen
class VersionText:
    """A meaning of a figure, as written; `line` is the line of its row."""

    label: str
    forms: tuple[Form, ...]
    length: int | None
    turn: int
    turn_beat: int | None
    sources: tuple[str, ...]
    memory: bool
    line: int


@frozen
class FigureText:
    """A figure, as written."""

    name: str
    names: tuple[str, ...]
    lead: Foot | None
    levels: tuple[tuple[str, str], ...]
    usual_turns: tuple[int, ...]
    one_lead: bool
    versions: tuple[VersionText, ...]
    usual: int
    line: int


@frozen(eq=False)
class BookText:
    """The outline of a book: what stands at the margin, and where its entries are."""

    source: Source
    facts: dict[str, str]
    sources: dict[str, str]
    levels: tuple[tuple[str, tuple[str, ...]], ...]
    movements: tuple[Entry, ...]
    figures: tuple[Entry, ...]
    known: tuple[str, ...]
    readings: tuple[tuple[str, tuple[tuple[str, str], ...]], ...]
    faults: tuple[Fault, ...] = field(default=())

    def cited(self, keys: tuple[str, ...]) -> tuple[str, ...]:
        """Return the sources with these keys in full, and memory as what it is; an unknown key stays as it is."""
        return tuple(FROM_MEMORY if name == MEMORY else self.sources.get(name, name) for name in keys)


def outline(source: Source) -> BookText:
    """Return the outline of the book in `source`.  Whatever can't be read there is among its `faults`."""
    facts: dict[str, str] = {}
    entries: dict[str, list[tuple[int, str]]] = {name: [] for name in SECTIONS}
    readings: list[tuple[str, list[tuple[str, str]]]] = []
    faults: list[Fault] = []
    ends: dict[str, int] = {}
    section, block = "", []
    for number, raw in enumerate(source.lines, 1):
        text = raw.partition("#")[0].rstrip()
        if not text:
            continue
        if text[0] != " ":
            ends.setdefault(section, number)
            name, colon, value = text.partition(":")
            name, value = " ".join(name.split()).lower(), value.strip()
            block = entries.get(name, [])
            section = name
            if name.startswith("readings") and colon and not value:
                section = "readings"
                readings.append((name.removeprefix("readings").strip(), []))
            elif name in FACTS and value:
                facts[name] = value
            elif name not in entries or not colon or value:
                faults.append(Fault("unknown-header", number, f"a book has no line like {text!r} at the margin",
                                    (f"the sections are {', '.join(SECTIONS)}", f"the facts are {', '.join(FACTS)}")))
        elif section == "readings":
            word, _, label = text.strip().partition(":")
            readings[-1][1].append((word.strip(), label.strip()))
        elif section in ("movements", "figures") and text[:3] == "   ":
            if block and text.lstrip()[:5] == "also:":
                block[-1] = (block[-1][0], f"{block[-1][1]}\n{text.partition(':')[2]}")
            elif block and "(usual)" in text:
                block[-1] = (block[-1][0], f"{block[-1][1]}\a")
        elif section in entries:
            block.append((number, text.strip()))
        elif not section:
            faults.append(Fault("misplaced-line", number, "this line stands in no section"))
    ends.setdefault(section, len(source.lines) + 1)
    return BookText(
        source=source,
        facts=facts,
        sources=dict(_pairs(entries["sources"])),
        levels=tuple((scheme, _listed(names)) for scheme, names in _pairs(entries["levels"])),
        movements=_entries(entries["movements"], ends.get("movements", 0)),
        figures=_entries(entries["figures"], ends.get("figures", 0)),
        known=tuple(name for _, text in entries["known by name"] for name in _listed(text)),
        readings=tuple((name, tuple(pairs)) for name, pairs in readings),
        faults=tuple(faults),
    )


def movement(text: BookText, entry: Entry) -> tuple[Movement | None, tuple[Fault, ...]]:
    """Return the movement of an entry, or None, and what is wrong with it."""
    rows = tuple(_rows(text.source, entry))
    faults: list[Fault] = []
    number, line = rows[0]
    head, _, forms = line.partition(":")
    name, *marks = _listed(head)
    for mark in marks:
        if mark not in ("upbeat", "no place"):
            faults.append(Fault("line-not-understood", number, f"a movement is never {mark!r}", ("write upbeat or no place",)))
    senses: list[Sense] = []
    usual = 0
    for number, line in rows[1:]:
        if line.startswith("from:"):
            if senses:
                last = senses[-1]
                senses[-1] = Sense(last.label, last.actor, last.lands, text.cited(_listed(line[5:])))
            continue
        label, colon, rest = line.partition(":")
        if not colon:
            label, rest = "", line
        if label.endswith("(usual)"):
            label, usual = label.removesuffix("(usual)").strip(), len(senses)
        try:
            actor, lands = _deed(rest)
        except Unreadable as error:
            faults.append(Fault("line-not-understood", number, str(error), (f"who acts is one of {', '.join(_ACTORS)}",)))
            continue
        senses.append(Sense(label.strip(), actor, lands))
    if not senses:
        faults.append(Fault("line-not-understood", entry.start, f"{name} does not say who makes it, and with which weight",
                            ("write a line like free foot, takes weight under it",)))
        return None, tuple(faults)
    if len(senses) > 1:
        faults.extend(_unsorted(name, entry, tuple(sense.label for sense in senses)))
    placed = "no place" not in marks
    return Movement(name, tuple(forms.split()), tuple(senses), usual, "upbeat" in marks, placed), tuple(faults)


def figure(text: BookText, entry: Entry) -> tuple[FigureText | None, tuple[Fault, ...]]:
    """Return the figure of an entry, or None, and what is wrong with it."""
    rows = tuple(_rows(text.source, entry))
    faults: list[Fault] = []
    names: list[str] = []
    levels: list[tuple[str, str]] = []
    turns: list[int] = []
    versions: list[VersionText] = []
    usual, one_lead = 0, False
    name, shared, foot = _head(rows[0], faults)
    if shared.forms:
        versions.append(shared)
    for number, line in rows[1:]:
        word, colon, rest = line.partition(":")
        if line == "left lead only by custom" or line == "right lead only by custom":
            one_lead = True
        elif not colon:
            faults.append(Fault("line-not-understood", number, f"{line!r} says nothing that a figure can have"))
        elif word == "also":
            names.extend(_listed(rest))
        elif word == "level":
            levels.extend(_levels(rest, number, text, faults))
        elif word == "usual turns":
            turns.extend(_usual_turns(rest, number, faults))
        elif word == "from":
            versions[-1:] = [_sourced(version, rest) for version in versions[-1:]]
        else:
            if "(usual)" in word:
                usual = len(versions)
            versions.append(_version((number, line.replace("(usual)", "")), shared, faults))
    if not versions:
        faults.append(Fault("figure-without-beats", entry.start, f"{name} has no footwork", ("write its movements after the colon",)))
        return None, tuple(faults)
    for version in versions:
        faults.extend(_uncited(text, version))
    if len(versions) > 1:
        faults.extend(_unsorted(name, entry, tuple(version.label for version in versions)))
    made = FigureText(name, tuple(names), foot, tuple(levels), tuple(turns), one_lead, tuple(versions), usual, entry.start)
    return made, tuple(faults)


def row(text: str) -> tuple[Form, ...]:
    """Return the forms of a row such as `DT S@1 R(L)@&2 S`.

    Raises:
        Unreadable: a piece of it is no form.
    """
    out = []
    for match in re.finditer(r"\S+", text):
        found = _FORM.fullmatch(match[0])
        if found is None:
            raise Unreadable(f"{match[0]!r} is no movement")
        form, foot, beat, inside, lead_to = found.groups()
        tick = int(beat) * TICKS + _INSIDE[inside] if beat else int(lead_to) * TICKS - TICKS // 2 if lead_to else None
        out.append(Form(form, Foot("LR".index(foot)) if foot else None, tick, int(beat or lead_to) if tick else None, match.span()))
    return tuple(out)


def _rows(source: Source, entry: Entry) -> Iterator[tuple[int, str]]:
    """Yield the lines of an entry with their numbers, without comments, empty lines and indentation."""
    for number in range(entry.start, entry.end):
        line = " ".join(source.line(number).partition("#")[0].split())
        if line:
            yield number, line


def _pairs(lines: list[tuple[int, str]]) -> Iterator[tuple[str, str]]:
    for _, text in lines:
        name, _, value = text.partition(":")
        yield name.strip(), value.strip()


def _listed(text: str) -> tuple[str, ...]:
    return tuple(" ".join(piece.split()) for piece in text.split(",") if piece.strip())


def _entries(lines: list[tuple[int, str]], total: int) -> tuple[Entry, ...]:
    """Return the outline of the entries that begin at `lines`; an entry goes on to the next one, or to the margin."""
    starts = [number for number, _ in lines[1:]] + [total]
    out = []
    for (number, line), end in zip(lines, starts, strict=True):
        head, *also = line.replace("\a", "").split("\n")
        name = head.partition(":")[0].partition(",")[0].strip()
        out.append(Entry((name, *(other for names in also for other in _listed(names))), number, end, "\a" in line))
    return tuple(out)


def _deed(text: str) -> tuple[Actor, bool]:
    """Return who acts and whether the weight ends there, from `free foot, takes weight`."""
    who, *rest = _listed(text)
    if who not in _ACTORS:
        raise Unreadable(f"{who!r} does not say who makes the movement")
    actor = _ACTORS[who]
    if rest not in ([], ["takes weight"], ["no weight"]):
        raise Unreadable(f"{', '.join(rest)!r} does not say whether it takes weight")
    return actor, rest == ["takes weight"] or (not rest and actor is Actor.SUPPORT)


def _head(line: tuple[int, str], faults: list[Fault]) -> tuple[str, VersionText, Foot | None]:
    """Return a figure's name, what its first line says of every version, and the foot that it is written for."""
    number, text = line
    facts, colon, forms = text.partition(":")
    name, *marks = _listed(facts)
    foot = None
    for mark in ("left foot", "right foot"):
        if mark in marks:
            marks.remove(mark)
            foot = Foot.LEFT if mark == "left foot" else Foot.RIGHT
    blank = VersionText("", (), None, 0, None, (), False, number)
    return name, _version((number, ", ".join(["", *marks]) + colon + forms), blank, faults), foot


def _version(line: tuple[int, str], shared: VersionText, faults: list[Fault]) -> VersionText:
    """Return the version on a line such as `ends in a touch, 4 counts: S S S TCH`."""
    number, text = line
    head, _, forms = text.partition(":")
    label, *marks = (piece.strip() for piece in head.split(","))
    marks = [label, *marks] if _LENGTH.fullmatch(label) else marks
    length, turn, beat, made = shared.length, shared.turn, shared.turn_beat, ()
    for mark in marks:
        if found := _LENGTH.fullmatch(mark):
            length = int(found[1]) * TICKS
        elif mark == "no turn":
            turn, beat = 0, None
        elif (found := _TURN.fullmatch(mark)) and (size := _eighths(found[1] or found[2])):
            turn = -size if found[3] == "left" else size
            beat = int(found[4]) if found[4] else None
        else:
            faults.append(Fault("line-not-understood", number, f"{mark!r} is neither a length nor a turn",
                                ("write a length like 4 beats", "write a turn like turn 1/2 left")))
    try:
        made = row(forms)
    except Unreadable as error:
        faults.append(Fault("unknown-form", number, str(error), ("write movements like S, S(L), S@2 or S(L)@2&",)))
    return VersionText(label, made, length, turn, beat, shared.sources, shared.memory, number)


def _sourced(version: VersionText, text: str) -> VersionText:
    """Return `version` with the sources that a line names, `memory` among them."""
    keys = tuple(name for name in _listed(text) if name != MEMORY)
    return VersionText(version.label, version.forms, version.length, version.turn, version.turn_beat, keys,
                       MEMORY in _listed(text), version.line)


def _uncited(text: BookText, version: VersionText) -> Iterator[Fault]:
    """Yield a fault for each source that a version names and the book doesn't."""
    for name in version.sources:
        if name not in text.sources:
            yield Fault("unknown-name", version.line, f"the book names no source {name!r}", (f"write {name}: … under sources:",))


def _unsorted(name: str, entry: Entry, labels: tuple[str, ...]) -> Iterator[Fault]:
    """Yield a fault if several meanings can't be told apart, or none is the usual one."""
    if not entry.several:
        yield Fault("line-not-understood", entry.start, f"{name} has several meanings and none is marked as the usual one",
                    ("write (usual) after the label of one",))
    if len(set(labels)) < len(labels) or "" in labels:
        yield Fault("name-taken-twice", entry.start, f"the meanings of {name} need a label each", ("write a label like ends in a step",))


def _levels(text: str, number: int, book: BookText, faults: list[Fault]) -> Iterator[tuple[str, str]]:
    """Yield the scheme and the level of each piece of `easy in club, basic plus in convention`."""
    for piece in _listed(text):
        found = _LEVEL.fullmatch(piece)
        if found is None:
            faults.append(Fault("line-not-understood", number, f"{piece!r} does not say in which scheme", ("write easy in club",)))
        else:
            yield found[2], found[1]


def _usual_turns(text: str, number: int, faults: list[Fault]) -> Iterator[int]:
    """Yield the signed turns of `1/2 left, 1/4 either way`."""
    for piece in _listed(text):
        found = _USUAL.fullmatch(piece)
        size = _eighths(found[1]) if found else None
        if found is None or size is None:
            faults.append(Fault("impossible-turn", number, f"{piece!r} is no turn", ("write 1/4 left or 1/2 either way",)))
            continue
        yield from {"left": (-size,), "right": (size,), "either way": (-size, size)}[found[2]]


def _eighths(text: str) -> int | None:
    """Return the eighths of `1/4`, `full`, `2`; None if it isn't a whole number of them."""
    top, _, bottom = text.partition("/")
    share = _SHARES[text] if text in _SHARES else Fraction(int(top), int(bottom or 1)) if bottom != "0" else Fraction(1, 3)
    eighths = share * EIGHTHS
    return int(eighths) if eighths.denominator == 1 and eighths else None
