"""From words to steps: which foot moves, what it does, where it goes, and what turns."""

import re
from collections.abc import Iterator

from attrs import evolve, frozen

from stepcheck.drafts.vocabulary import Piece, Vocabulary, Word, pieces, plain

OTHER = {"L": "R", "R": "L"}
_CLOCKS = ("12:00", "1:30", "3:00", "4:30", "6:00", "7:30", "9:00", "10:30")
_TO_WALL = r"\bto\s+(?:the\s+)?(?:front|back)\b(?:\s+again)?|"
_SAID_WALL = (
    r"(?:\bfac(?:e|ing)\s+(?:the\s+)?|\bat\s+the\s+)(?:front|back)\b(?:\s+wall)?(?:\s+again)?|\((?:front|back)\s+again\b"
    r"|\b(?:front|back)\s+wall\b(?:\s+again)?"
)
_WALLS = {
    "line": re.compile(_SAID_WALL, re.IGNORECASE),  # a foot may step to the back
    "clogging": re.compile(r"(?:\bto\s+)?(?:" + _TO_WALL + _SAID_WALL + ")", re.IGNORECASE),
}
_OCLOCK = re.compile(r"\b(1[0-2]|[1-9])\s*o'?\s*clock\b", re.IGNORECASE)


@frozen
class Turn:
    """A turn of `eighths`, to the "left" or "right", or to a side that isn't said ("")."""

    eighths: int
    side: str = ""


@frozen
class Step:
    """A movement: its codes, who makes it ("L", "R" or "" where it isn't said), where it goes, and what turns at it.

    `inside` says that it stands in brackets, `turned` that its turn is said apart from it.
    """

    codes: tuple[str, ...]
    foot: str = ""
    note: tuple[str, ...] = ()
    turn: Turn | None = None
    text: str = ""
    inside: bool = False
    turned: bool = False


@frozen
class Mention:
    """A figure that is named: its name in the book, how many times, its feet where they are said.

    `at` is the count of its turn, 0 for the whole figure; `spelled` says that its steps stand behind it,
    `ends` that the next one is how it ends.
    """

    name: str
    feet: str = ""
    note: tuple[str, ...] = ()
    turn: Turn | None = None
    times: int = 1
    each: bool = False
    text: str = ""
    at: int = 0
    spelled: bool = False
    ends: bool = False


@frozen
class Stretch:
    """How many counts the step before it lasts."""

    counts: int


@frozen
class Facing:
    """A facing that is said: a time of the clock, front or back."""

    wall: str


@frozen
class Weighted:
    """The foot that is said to have the weight; "" where it is said to be on none."""

    foot: str


@frozen
class Aside:
    """Words that say no step."""

    text: str


@frozen
class Unread:
    """Words that may say steps and aren't understood."""

    text: str


Event = Step | Mention | Stretch | Facing | Weighted | Aside | Unread


def turn(value: str) -> Turn:
    """Return the turn that a piece `turned` holds."""
    size, _, side = value.partition(" ")
    return Turn(int(size), {"L": "left", "R": "right"}.get(side, ""))


def wall(text: str) -> str:
    """Return a time of the clock as a facing of a sheet, "" if it is none of the eight."""
    return text if text in _CLOCKS else ""


def events(text: str, vocabulary: Vocabulary) -> tuple[Event, ...]:
    """Return what a text says, in order: steps, figures, facings, remarks, and what isn't understood.

    Chunks end at commas, strokes, full stops, `then`, `and`, and before the next movement.
    """
    text = _OCLOCK.sub(r"\1:00", plain(text))
    walls = _WALLS[vocabulary.tradition]
    text = walls.sub(lambda found: " 12:00f " if "front" in found[0].casefold() else " 6:00b ", text)
    text = text.replace("12:00f", " \u2191 ").replace("6:00b", " \u2193 ")
    out: list[Event] = []
    for chunk, inside, sign, end in _chunks(pieces(text, vocabulary)):
        for event in _said(chunk, vocabulary, out, inside):
            if isinstance(event, Unread) and out and not inside and sign in ("-", "!"):
                event = Aside(event.text)
            if isinstance(event, Mention) and end in (":", "("):
                event = evolve(event, spelled=True)
            if isinstance(event, Mention) and end == "with":
                event = evolve(event, ends=True)
            if isinstance(event, Step) and inside:
                event = evolve(event, inside=True)
            if isinstance(event, Unread) and out and isinstance(unread := out[-1], Unread):
                event = Unread(f"{unread.text}, {event.text}")
                out.pop()
            if isinstance(event, Facing) and out and isinstance(before := out[-1], Facing):
                out.pop()
                event = event if ":" in event.wall else before
            out.append(event)
    return tuple(out)


def _chunks(pieces: list[Piece]) -> Iterator[tuple[list[Piece], bool, str, str]]:
    """Yield the pieces between separators, cut before each second movement.

    With each go whether brackets are around them, and the separators before and behind them.
    """
    chunk: list[Piece] = []
    depth, glued, sign = 0, False, ""
    for piece in pieces:
        kind, value, *_ = piece
        if kind == "sep":
            if value == "and" and chunk and all(other[0] in ("turned", "noise") for other in chunk):
                continue  # what turns is the step behind the word
            if chunk:
                yield chunk, depth > 0, sign, value
            chunk, sign = [], value
            if value in "([":
                depth += 1
            elif value in ")]":
                depth = max(0, depth - 1)
            glued = value in ("&", "+")
            continue
        pivot = kind == "verb" and value == "PV S" and any(other[0] in ("foot", "dir") for other in chunk)
        if pivot or kind in ("verb", "figure") and any(other[0] in ("verb", "figure") for other in chunk):
            head = []
            ends = "with" if len(chunk) > 1 and any(other[3].casefold() == "with" for other in chunk[-2:]) else ""
            if kind == "verb" and chunk[-1][0] == "turned" and not any(other[0] == "figure" for other in chunk):
                head = [chunk.pop()]
            yield chunk, depth > 0, sign, ends
            chunk, sign = head, ""
        if kind == "verb" and value in ("CLAP",) and glued and not chunk:
            piece = ("dir", "clap", Word("dir", "clap"), piece[3])
        chunk.append(piece)
    if chunk:
        yield chunk, depth > 0, sign, ""


def _said(chunk: list[Piece], vocabulary: Vocabulary, before: list[Event], inside: bool) -> Iterator[Event]:
    """Yield what one chunk says."""
    text = " ".join(piece[3] for piece in chunk)
    words = [piece[3].casefold() for piece in chunk]
    kinds = {piece[0] for piece in chunk}
    if "weight" in words or "weighted" in words:
        feet = [piece[1] for piece in chunk if piece[0] == "foot"]
        yield Weighted(feet[-1] if feet and "no" not in words else "")
        if "word" in {piece[0] for piece in chunk} - {"weight"} and len(chunk) > 4:
            yield Aside(text)
        return
    spoken = [piece for piece in chunk if piece[0] not in ("noise", "talk")]
    if inside and len(chunk) == 1 and chunk[0][0] == "number" and vocabulary.tradition == "line":
        if hour := wall(f"{chunk[0][1]}:00"):
            yield Facing(hour)
        else:
            yield Aside(text)
        return
    clocks = [piece for piece in chunk if piece[0] == "clock" or piece[3] in "\u2191\u2193"]
    if clocks:
        walls = ["front" if p[3] == "\u2191" else "back" if p[3] == "\u2193" else wall(p[1]) for p in clocks]
        rest = [piece for piece in chunk if piece not in clocks]
        if any(piece[0] in ("verb", "foot", "figure", "turned", "codes") for piece in rest):
            yield from _said(rest, vocabulary, before, inside)
        yield from (Facing(found) for found in walls if found)
        return
    if not spoken:
        return
    if inside and "word" in kinds and not kinds & {"verb", "figure", "codes"}:
        yield Aside(text)
        return
    yield from _moved(chunk, text, vocabulary, before, inside)


@frozen
class _Spoken:
    """The words of a chunk by what they say; `word` is that of the movement, `span` the counts that it lasts."""

    verb: Word | None = None
    word: str = ""
    name: str = ""
    part: str = ""
    foot: str = ""
    feet: str = ""
    codes: tuple[str, ...] = ()
    spin: Turn | None = None
    apart: bool = False
    times: int = 1
    span: int = 0
    each: bool = False
    note: tuple[str, ...] = ()
    unknown: bool = False

    @property
    def feeble(self) -> bool:
        """Whether neither feet nor directions are said."""
        return not (self.foot or self.feet or self.note)


_NUMBERS = {"two": 2, "three": 3, "four": 4, "2": 2, "3": 3, "4": 4}


def _spoken(chunk: list[Piece], vocabulary: Vocabulary, inside: bool) -> _Spoken:
    """Return what the words of a chunk say, each by itself."""
    said = _Spoken()
    foot, feet, note = "", "", []
    place, to = False, False
    for index, (kind, value, word, text) in enumerate(chunk):
        low = text.casefold()
        before = chunk[index - 1][3].casefold() if index else ""
        following = chunk[index + 1] if index + 1 < len(chunk) else ("", "", None, "")
        after_place, place = place, False
        after_to, to = to, low in ("to", "to the") or (to and low == "the")
        if kind == "verb" and word is not None:
            said = evolve(said, verb=word, word=low)
            note += [word.note] if word.note else []
        elif kind == "part":
            said = evolve(said, part=low if low == "hips" else low.rstrip("s"))
        elif kind == "figure":
            said = evolve(said, name=value)
        elif kind == "codes":
            said = evolve(said, codes=(*said.codes, *value.split()))
        elif kind == "turned":
            said = evolve(said, spin=turn(value), apart=said.verb is not None and low.startswith("turn "))
        elif kind == "twice":
            said = evolve(said, times=int(value))
        elif kind == "feet":
            feet += value
        elif kind == "foot":
            elsewhere = after_place and (foot or said.name and not feet) or after_to and foot and not said.name
            if elsewhere or following[:2] in (("dir", "side"), ("dir", "diagonally")) and foot:
                continue
            if after_to and not foot and said.name:
                note.append(f"to the {'left' if value == 'L' else 'right'}")
                foot = value if vocabulary.tradition == "line" else ""
            elif not foot or before in ("on", "onto", "the"):
                foot = value
            elif foot != value or feet:
                feet += value if feet else foot + value
        elif kind == "dir":
            note.append(value)
            place = low in vocabulary.places
        elif kind in ("noise", "talk"):
            said = evolve(said, each=said.each or low == "each")
            place = after_place or low in vocabulary.places and bool(foot or said.name) and low != "to"
        elif following[0] == "figure" and (low in _NUMBERS or (kind == "number" and len(value) == 1)):
            said = evolve(said, times=_NUMBERS.get(low) or int(value) or 1)
        elif (kind == "number" or low in _NUMBERS) and (inside or before in ("for", "over")):
            said = evolve(said, span=_NUMBERS.get(low, int(low) if low.isdecimal() and len(low) < 3 else 0))
        elif low == "each":
            said = evolve(said, each=True)
        elif not (low == "counts" and said.span):
            said = evolve(said, unknown=True)
    return evolve(said, foot=foot, feet=feet, note=tuple(note))


def _moved(chunk: list[Piece], text: str, vocabulary: Vocabulary, before: list[Event], inside: bool) -> Iterator[Event]:
    """Yield the steps, or the figure, of a chunk that has movements, feet, directions or turns."""
    said = _spoken(chunk, vocabulary, inside)
    foot, feet, spin = said.foot, said.feet, said.spin
    clogging = vocabulary.tradition == "clogging"
    if said.unknown:
        talk = said.feeble and not (said.verb or said.part or said.name or said.codes or spin)
        yield Aside(text) if talk else Unread(text)
        return
    note = tuple(each for each in said.note if each != "over" or "cross" not in said.note)
    if said.name:
        yield Mention(said.name, feet or foot, note, spin, said.span or said.times, said.each, text)
        return
    if said.codes:
        codes = said.codes * said.times
        if feet and len(feet) != len(codes):
            yield Unread(text)
            return
        yield Step(codes[:1], feet[:1] or foot, note, spin, text)
        yield from (Step((code,), feet[at : at + 1], (), None, text) for at, code in enumerate(codes) if at)
        return
    found = _codes(said, vocabulary)
    last = next((event for event in reversed(before) if isinstance(event, Step | Mention)), None)
    if clogging and said.part and not said.verb and not note:
        yield Unread(text)  # a toe or a heel alone may be a touch or a step
        return
    if found is None and not said.verb and not said.part:
        if clogging and note and not (feet or foot or spin):
            yield Aside(text)
        elif clogging and (foot or feet) and not isinstance(last, Step):
            yield Unread(text)
        elif spin and said.feeble:
            if isinstance(last, Step) and last.turn is None:
                before[before.index(last)] = evolve(last, turn=spin, turned=True)
            elif isinstance(last, Mention) and last.turn is None:
                before[before.index(last)] = evolve(last, turn=spin, each=said.each)
            else:
                yield Unread(text) if last or spin.side else Aside(text)
        elif said.feeble:
            yield Stretch(said.span) if said.span and last else Aside(text)
        elif note and set(note) <= {"clap", "snap", "sway", "slowly", "small"} and not foot and not feet:
            if last is not None:
                before[before.index(last)] = evolve(last, note=(*last.note, *note))
        elif before and isinstance(before[-1], Unread) and not note:
            yield Unread(text)
        else:
            found = ("S",)
            if isinstance(last, Step) and not note:
                found = last.codes if last.codes not in (("RC",), ("PV", "S")) else found
                found = ("BUMP",) if "bump" in last.note else found
                note = tuple(each for each in last.note if each == "sway" and found == last.codes)
        if found is None:
            return
    sided = said.word in vocabulary.sided
    if found is None or sided and not (foot or feet):
        yield Unread(text)
        return
    if sided and isinstance(last, Step) and (last.foot, last.codes) == (foot, ("S",)) and "sway" not in last.note:
        before[before.index(last)] = evolve(last, note=(*last.note, "sway"))
        return
    times, row = said.times, feet or foot
    if found[0] in ("CLAP", "HOLD", "BUMP", "BOUNCE", "JUMP"):
        times, row = max(times, len(feet)), ""
    for _ in range(times):
        for index, side in enumerate(row or [""]):
            yield Step(found, side, note, spin if not index else None, text, turned=said.apart and not index)
    if said.span:
        yield Stretch(said.span)


def _codes(said: _Spoken, vocabulary: Vocabulary) -> tuple[str, ...] | None:
    """Return the codes of a movement, on a part of the foot if one is said; None if the two have none together."""
    verb, stem = said.verb, said.word.split()[:1]
    if said.part:
        for name in (said.part, said.part + "s"):
            if code := vocabulary.combined.get(frozenset((*stem, name))):
                return (code,)
        for words, code in vocabulary.combined.items():
            alike = (vocabulary.phrases.get((word,), Word("")).value for word in words - {said.part})
            if said.part in words and verb and len(words) == 2 and verb.value in alike:
                return (code,)
    return tuple(verb.value.split()) or None if verb else None
