"""From words to steps: who moves, what the foot does, where it goes, and what turns."""

import re
from collections.abc import Iterator

from attrs import evolve, frozen

from stepcheck.drafts.vocabulary import Vocabulary, Word
from stepcheck.drafts.words import Piece, pieces, plain

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


_NUMBERS = {"two": 2, "three": 3, "four": 4, "2": 2, "3": 3, "4": 4}


def _moved(chunk: list[Piece], text: str, vocabulary: Vocabulary, before: list[Event], inside: bool) -> Iterator[Event]:
    """Yield the steps, or the figure, of a chunk that has movements, feet, directions or turns."""
    verb: Word | None = None
    name, part, foot, spin, times, span = "", "", "", None, 1, 0
    feet, codes, note, unknown = "", "", [], []
    each, verb_word, place, to, apart = False, "", False, False, False
    for index, (kind, value, word, said) in enumerate(chunk):
        low = said.casefold()
        after_place, place = place, False
        after_to, to = to, low in ("to", "to the") or (to and low == "the")
        following = chunk[index + 1][0] if index + 1 < len(chunk) else ""
        if kind == "verb" and word is not None:
            verb, verb_word = word, low
            if word.note:
                note.append(word.note)
        elif kind == "part":
            part = low.rstrip("s") if low not in ("hips",) else low
        elif kind == "figure":
            name = value
        elif kind == "codes":
            codes += f" {value}"
        elif kind == "turned":
            spin = turn(value)
            apart = verb is not None and said.casefold().startswith("turn ")
        elif kind == "twice":
            times = int(value)
        elif kind == "feet":
            feet += value
        elif kind == "foot":
            if after_place and (foot or (name and not feet)):
                continue
            if after_to and foot and not name:
                continue
            if following == "dir" and chunk[index + 1][1] in ("side", "diagonally") and foot:
                continue
            if after_to and not foot and name:
                note.append(f"to the {'left' if value == 'L' else 'right'}")
                foot = value if vocabulary.tradition == "line" else ""
            elif not foot or index and chunk[index - 1][3].casefold() in ("on", "onto", "the"):
                foot = value
            elif foot != value or feet:
                feet += value if feet else foot + value
        elif kind == "dir":
            note.append(value)
            place = low in vocabulary.places
        elif kind in ("noise", "talk"):
            each = each or low == "each"
            place = (
                after_place
                or (low in vocabulary.places and bool(foot or name) and low != "to")
                or (low == "to" and False)
            )
        elif following == "figure" and (low in _NUMBERS or (kind == "number" and len(value) == 1)):
            times = _NUMBERS.get(low) or int(value) or 1
        elif (kind == "number" or low in _NUMBERS) and (
            inside or index and chunk[index - 1][3].casefold() in ("for", "over")
        ):
            span = _NUMBERS.get(low, int(low) if low.isdecimal() and len(low) < 3 else 0)
        elif low == "counts" and span:
            pass
        elif low == "each":
            each = True
        else:
            unknown.append(said)
    if unknown:
        yield Unread(text) if (verb or part or name or codes or foot or feet or note or spin) else Aside(text)
        return
    if "cross" in note:
        note = [each for each in note if each != "over"]
    said_note = tuple(note)
    if name:
        yield Mention(name, feet or foot, said_note, spin, span or times, each, text)
        return
    if codes:
        names = codes.split() * times
        if feet and len(feet) != len(names):
            yield Unread(text)
            return
        for index, each_code in enumerate(names):
            yield Step(
                (each_code,),
                feet[index : index + 1] or (foot if not index else ""),
                said_note if not index else (),
                spin if not index else None,
                text,
            )
        return
    found = _codes(verb, verb_word, part, vocabulary)
    last = next((event for event in reversed(before) if isinstance(event, Step | Mention)), None)
    clogging = vocabulary.tradition == "clogging"
    if clogging and part and not verb and not note:
        yield Unread(text)  # a toe or a heel alone may be a touch or a step
        return
    if found is None and not verb and not part:
        if clogging and note and not feet and not foot and not spin:
            yield Aside(text)
            return
        if clogging and (foot or feet) and not isinstance(last, Step):
            yield Unread(text)
            return
        if spin and not (foot or feet or note):
            if isinstance(last, Step | Mention) and last.turn is None:
                index = before.index(last)
                if isinstance(last, Step):
                    before[index] = evolve(last, turn=spin, turned=True)
                else:
                    before[index] = evolve(last, turn=spin, each=each)
                return
            yield Unread(text) if last or spin.side else Aside(text)
            return
        if span and not (foot or feet or note or name) and last:
            yield Stretch(span)
            return
        if not (foot or feet or note):
            yield Aside(text)
            return
        if note and set(note) <= {"clap", "snap", "sway", "slowly", "small"} and not foot and not feet:
            if isinstance(last, Step | Mention):
                before[before.index(last)] = evolve(last, note=(*last.note, *note))
            return
        if before and isinstance(before[-1], Unread) and not note:
            yield Unread(text)
            return
        found = (
            last.codes if isinstance(last, Step) and not note and last.codes not in (("RC",), ("PV", "S")) else ("S",)
        )
        if isinstance(last, Step) and "bump" in last.note and not note:
            found = ("BUMP",)
        if isinstance(last, Step) and not note and found == last.codes:
            said_note = tuple(each for each in last.note if each == "sway")
    if found is None:
        yield Unread(text)
        return
    if verb_word in vocabulary.sided and not (foot or feet):
        yield Unread(text)
        return
    if (
        verb_word in vocabulary.sided
        and isinstance(last, Step)
        and last.foot == foot
        and last.codes == ("S",)
        and "sway" not in last.note
    ):
        before[before.index(last)] = evolve(last, note=(*last.note, "sway"))
        return
    if found[0] in ("CLAP", "HOLD", "BUMP", "BOUNCE", "JUMP"):
        foot, times = "", max(times, len(feet))
        feet = ""
    row = feet or foot
    for _ in range(times):
        for index, each_foot in enumerate(row or [""]):
            yield Step(found, each_foot, said_note, spin if not index else None, text, turned=apart and not index)
    if span:
        yield Stretch(span)


def _codes(verb: Word | None, verb_word: str, part: str, vocabulary: Vocabulary) -> tuple[str, ...] | None:
    """Return the codes of a movement, on a part of the foot if one is said; None if the two have none together."""
    if not part:
        return tuple(verb.value.split()) or None if verb else None
    stem = verb_word.split()[0] if verb_word else ""
    for name in (part, part + "s"):
        words = frozenset((stem, name)) if stem else frozenset((name,))
        if words in vocabulary.combined:
            return (vocabulary.combined[words],)
    for other, known in vocabulary.combined.items():
        if (
            part in other
            and verb
            and len(other) == 2
            and any(vocabulary.phrases.get((word,), Word("")).value == verb.value for word in other - {part})
        ):
            return (known,)
    return tuple(verb.value.split()) or None if verb else None
