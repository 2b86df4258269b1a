"""From words to steps: which foot moves, what it does, where it goes, and what turns."""

import itertools
import re
from collections.abc import Iterator

from attrs import evolve, frozen

from stepcheck.drafts.vocabulary import NUMBERS, Piece, Vocabulary, Word, number, pieces, plain

OTHER = {"L": "R", "R": "L"}
WEIGHT = frozenset(["S", "CL", "RK", "RC", "BA", "TW", "HW", "STO"])
"""The movements that take the weight onto the foot that makes them."""
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
    `ends` that the next one is how it ends, `several` that its name is a plural without a number; `heard` are the feet
    that stand behind it, one for each time.
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
    several: bool = False
    heard: str = ""


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
    """Words that say no step; `inside` says that they stand in brackets."""

    text: str
    inside: bool = False


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


_CLOCK = re.compile(r"(\d{1,2}:\d\d)|(\d{1,2})\s*o'?\s*clock", re.IGNORECASE)


def clock(text: str) -> str:
    """Return the facing that a time of the clock in a text names, "" if none does."""
    match = _CLOCK.search(text)
    return wall(match[1] or f"{match[2]}:00") if match else ""


def events(text: str, vocabulary: Vocabulary) -> tuple[Event, ...]:
    """Return what a text says, in order: steps, figures, facings, remarks, and what isn't understood.

    Chunks end at commas, strokes, full stops, `then`, `and`, and before the next movement.
    """
    text = _OCLOCK.sub(r"\1:00", plain(text))
    walls = _WALLS[vocabulary.tradition]
    text = walls.sub(lambda found: " 12:00f " if "front" in found[0].casefold() else " 6:00b ", text)
    text = text.replace("12:00f", " \u2191 ").replace("6:00b", " \u2193 ")
    out: list[Event] = []
    waiting: list[int] = []  # the places of the steps of one phrase whose feet may still be said
    for chunk, inside, sign, end in _chunks(pieces(text, vocabulary)):
        if out and SAME_OTHER.match(" ".join(piece[3] for piece in chunk)):
            out += _on_the_other_side(out, " ".join(piece[3] for piece in chunk))
            continue
        feet = _bare_feet(chunk) if waiting else ""
        lone = len(waiting) == 1 and isinstance(out[waiting[0]], Step)  # `march in place, R-L-R-L`
        if feet and (not lone or len(feet) > 1 or inside):
            if _footed(out, waiting, feet):
                continue
            out[waiting[0]] = Unread(" ".join((_text(out[waiting[0]]), *(piece[3] for piece in chunk))))
            continue
        waiting = []
        start = len(out)
        for event in _said(chunk, vocabulary, out, inside):
            if isinstance(event, Unread) and out and not inside and sign in ("-", "!"):
                event = Aside(event.text)
            if isinstance(event, Mention) and end in (":", "("):
                event = evolve(event, spelled=True)
            joined = end == "with" or end == "and" and any(piece[3].casefold() == "with" for piece in chunk[-3:])
            if isinstance(event, Mention) and joined:
                event = evolve(event, ends=True)
            if isinstance(event, Step | Aside) and inside:
                event = evolve(event, inside=True)
            if isinstance(event, Unread) and out and isinstance(unread := out[-1], Unread):
                event = Unread(f"{unread.text}, {event.text}")
                out.pop()
            if isinstance(event, Facing) and out and isinstance(before := out[-1], Facing):
                out.pop()
                event = event if ":" in event.wall else before
            out.append(event)
        made = out[start:]
        if len(made) > 1 and all(isinstance(each, Step) and each.codes == ("S",) for each in made):
            several = any(piece[0] in ("number", "twice") or piece[3].casefold() in NUMBERS for piece in chunk)
            waiting = list(range(start, len(out))) if several else []
        elif (
            len(made) == 1
            and isinstance(only := made[0], Step)
            and only.codes == ("S",)
            and not only.foot
            or len(made) == 1
            and isinstance(named := made[0], Mention)
            and (named.times > 1 or named.several)
        ):
            waiting = [start]
    return tuple(out)


SAME_OTHER = re.compile(
    r"^\W*(?:(?:now|then|and|do)\s+)*(?:(?:repeat|the same|same|mirror|all that|opposite|reverse)\b[\w ,]*?)"
    r"\b(?:(?:(?:to|on|with|going|leading|starting)\s+)+(?:the\s+)?(?:left|right|other|opposite|l|r)|"
    r"(?:other|opposite)\s+(?:side|foot|way|direction)|(?:left|right)$)(?:\s+(?:side|foot|way|direction|lead))?\W*$",
    re.IGNORECASE,
)
"""`Now the same to the left`, `Repeat on the other foot`."""


def _on_the_other_side(events: list[Event], said: str) -> list[Event]:
    """Return steps again with the other feet; what turns, or says no foot, can't be taken so."""
    moved = [event for event in events if isinstance(event, Step | Mention)]
    feet = any(event.foot if isinstance(event, Step) else event.feet for event in moved)
    if len(moved) < len(events) or not feet or any(event.turn for event in moved):
        return [Unread(said)]
    other = str.maketrans("LR", "RL")
    return [
        evolve(event, foot=event.foot.translate(other), text=f"{said}: {event.text}")
        if isinstance(event, Step)
        else evolve(event, feet=event.feet.translate(other), text=f"{said}: {event.text}")
        for event in moved
    ]


def _text(event: Event) -> str:
    return event.text if isinstance(event, Step | Mention | Unread | Aside) else ""


def _bare_feet(chunk: list[Piece]) -> str:
    """Return the feet of a chunk that says nothing else, "" if it does."""
    feet = "".join(piece[1] for piece in chunk if piece[0] in ("foot", "feet"))
    return feet if all(piece[0] in ("foot", "feet", "noise") for piece in chunk) else ""


def _footed(events: list[Event], waiting: list[int], feet: str) -> bool:
    """Give feet to the steps, or to the times of a figure, that wait for them; return whether they can have them."""
    first = events[waiting[0]]
    if isinstance(first, Mention):
        heard = first.heard + feet
        if any(one == other for one, other in itertools.pairwise(heard)) or 1 < first.times < len(heard):
            return False
        if not first.heard and first.feet and first.feet[-1:] != feet[:1]:
            heard = first.feet + feet
        times = first.times if first.times > 1 else len(heard)
        events[waiting[0]] = evolve(first, feet=heard[:1], heard=heard, times=len(heard) if first.several else times)
        return True
    if len(waiting) == 1 and isinstance(first, Step) and not first.foot:
        rest = [evolve(first, foot=foot, note=(), turn=None) for foot in feet[1:]]
        events[waiting[0] : waiting[0] + 1] = [evolve(first, foot=feet[0]), *rest]
        waiting.clear()
        return True
    for foot in feet:
        if waiting and isinstance(step := events[waiting[0]], Step) and step.foot in ("", foot):
            events[waiting.pop(0)] = evolve(step, foot=foot)
        elif len(waiting) > 1 and isinstance(step := events[waiting[1]], Step) and step.foot == foot:
            waiting[:] = waiting[2:]
        else:
            return False
    return True


def _chunks(pieces: list[Piece]) -> Iterator[tuple[list[Piece], bool, str, str]]:
    """Yield the pieces between separators, cut before each second movement.

    With each go whether brackets are around them, and the separators before and behind them.
    """
    chunk: list[Piece] = []
    depth, glued, sign = 0, False, ""
    for piece in pieces:
        kind, value, *_ = piece
        if kind == "sep":
            if value in ("and", "&", "+") and chunk and all(other[0] in ("turned", "noise") for other in chunk):
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
        counted = kind == "verb" and value == "S" and chunk and (chunk[-1][0] == "number" or chunk[-1][3] in NUMBERS)
        if counted and any(other[0] in ("verb", "turned") for other in chunk):
            continue  # `walk forward 4 steps`
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
    if at := next((index for index, word in enumerate(words) if word in _WEIGHT), None):
        moved = any(piece[0] in ("verb", "figure", "codes", "turned") for piece in chunk[:at])
        if moved and "no" not in words:
            yield from _said(chunk[:at], vocabulary, before, inside)
            chunk = chunk[at:]
    if at is not None:
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
    if inside and "word" in kinds and (not kinds & {"verb", "figure", "codes"} or " on the " in f" {text} "):
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
    several: bool = False

    @property
    def feeble(self) -> bool:
        """Whether neither feet nor directions are said."""
        return not (self.foot or self.feet or self.note)


_SHAPED = re.compile(r"(?:in|making|to make|to form|around|round) (?:a|an|your)$", re.IGNORECASE)
"""`in a square` says where a figure goes."""
_WEIGHT = ("weight", "weighted", "wt")
FREE = "no weight"
"""The note of a stomp before another one of the same foot."""
_UNITS = ("count", "counts", "beat", "beats", "ct", "cts")


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
            part = low if low == "hips" else low.rstrip("s")
            said = evolve(said, part=part, unknown=said.unknown or said.part not in ("", part))
        elif kind == "figure":
            said = evolve(said, name=value, several=low.endswith("s") and not value.casefold().endswith("s"))
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
        elif (kind == "number" or low in NUMBERS) and 0 < number(low) <= 16:
            lasting = inside or before in ("for", "over") or following[3].casefold() in _UNITS
            said = evolve(said, span=number(low)) if lasting else evolve(said, times=number(low))
            note = note[:-1] if before == "over" and note else note
        elif low == "each":
            said = evolve(said, each=True)
        elif (
            kind == "word"
            and said.name
            and _SHAPED.match(" ".join(piece[3] for piece in chunk[max(0, index - 2) : index]))
        ):
            note.append(f"in a {text}")
        elif not (low in _UNITS and said.span):
            said = evolve(said, unknown=True)
    if said.verb and said.verb.value in ("PV S", "UNWIND") and said.spin and not said.spin.side and foot and not feet:
        said, foot = evolve(said, spin=evolve(said.spin, side="left" if foot == "L" else "right")), ""
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
        times = said.span or said.times
        yield Mention(said.name, feet or foot, note, spin, times, said.each, text, several=said.several and times == 1)
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
            if isinstance(last, Step) and note and not (foot or feet) and last.codes[0] in vocabulary.repeating:
                found, foot = last.codes, last.foot
            elif isinstance(last, Step) and not note:
                found = last.codes if last.codes not in (("RC",), ("PV", "S")) else found
                found = ("BUMP",) if "bump" in last.note else found
                note = tuple(each for each in last.note if each == "sway" and found == last.codes)
        if found is None:
            return
    sided = said.word.removesuffix("s") in vocabulary.sided
    if found is None or sided and not (foot or feet):
        yield Unread(text)
        return
    if sided and isinstance(last, Step) and (last.foot, last.codes) == (foot, ("S",)) and "sway" not in last.note:
        before[before.index(last)] = evolve(last, note=(*last.note, "sway"))
        return
    row = _made_by(found, said, feet, vocabulary)
    if row is None:
        yield Unread(text)
        return
    for index, side in enumerate(row):
        free = found == ("STO",) and row[index + 1 : index + 2] == [side] != [""]
        codes, noted = (("STU",), (*note, FREE)) if free else (found, note)
        yield Step(codes, side, noted, spin if not index else None, text, turned=said.apart and not index)
    if said.span:
        yield Stretch(said.span)


def _made_by(found: tuple[str, ...], said: _Spoken, feet: str, vocabulary: Vocabulary) -> list[str] | None:
    """Return the foot of each time that a movement is made; None where words and feet say different things.

    Steps on one foot alternate from it; both feet, or none, have no foot.
    """
    times = said.times
    if found[0] in vocabulary.footless:
        return [""] * max(times, len(feet))
    if feet and times in (1, len(feet)):
        return list(feet)
    if times == 1 or not (feet or said.foot):
        return [feet or said.foot] * times
    if found[0] in WEIGHT - {"STO"} and not feet:
        return [said.foot, OTHER[said.foot]] * (times // 2) + [said.foot] * (times % 2) if found == ("S",) else None
    return list(feet or said.foot) * times


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
