"""One phrase: which foot moves, what it does, where it goes, what turns, how often; or the figure that it names."""

import re
from collections.abc import Iterator

from attrs import evolve

from stepcheck.model.dance import EIGHTHS
from stepcheck.steps.feet import against
from stepcheck.steps.steps import (
    FREE,
    OTHER,
    SIDE,
    WEIGHT,
    Aside,
    Event,
    Mention,
    Step,
    Stretch,
    Turn,
    Unread,
    on_each,
    turn,
)
from stepcheck.steps.vocabulary import Piece, Vocabulary, Word
from stepcheck.steps.words import NUMBERS, SIDED, SIDES, number

_SHAPED = re.compile(r"(?i)(?:in|making|to make|to form|around|round) (?:a|an|your)$")  # `in a square`: where it goes
_SIZED = re.compile(r"(?i)/|\b(?:half|quarter)\b").search
_EACH = re.compile(r"(?i)\b(?:each|every)\b|\bon both$|^both(?= (?:turn|making|half|quarter|\d))")
"""What a phrase says is of each step."""
_MOVING = ("moving", "going", "travelling", "traveling", "heading")
_LEG = ("shin", "knee", "leg", "ankle", "instep", "heel", "toe")
_UNITS = ("count", "counts", "beat", "beats", "ct", "cts")
_LETTERED = (("r", "right"), ("rf", "right"), ("l", "left"), ("lf", "left"))  # `step R right`: to that side
_NONE: Piece = ("", "", None, "")


class Phrase:
    """The words of a phrase by what they say; `word` is that of the movement, `span` the counts that it lasts."""

    def __init__(self, chunk: list[Piece], vocabulary: Vocabulary, inside: bool) -> None:
        self.chunk, self.vocabulary, self.inside = chunk, vocabulary, inside
        self.verb: Word | None = None
        self.word = self.name = self.part = self.foot = self.feet = ""
        self.codes: tuple[str, ...] = ()
        self.spin: Turn | None = None
        self.times, self.span, self.nth = 1, 0, 0
        self.note: list[str] = []
        self.apart = self.unknown = self.several = False
        self.each = _EACH.search(" ".join(piece[3] for piece in chunk)) is not None
        self._place = self._to = self.placed = False
        self._of = -1  # the place of the last foot that another one goes to
        for index, piece in enumerate(chunk):
            self._take(index, piece)
        if self.verb and self.verb.value in ("PV S", "UNWIND") and self.spin and not self.spin.side and self.foot:
            self.spin, self.foot = evolve(self.spin, side=SIDE[self.foot]), ""

    @property
    def feeble(self) -> bool:
        """Whether neither feet nor directions are said."""
        return not (self.foot or self.feet or self.note)

    def _take(self, index: int, piece: Piece) -> None:
        kind, value, word, text = piece
        low = text.casefold()
        after_place, self._place = self._place, False
        after_to, self._to = self._to, low in ("to", "to the") or (self._to and low == "the")
        if kind == "verb" and word is not None:
            self.verb, self.word = word, low
            self._place = " " in low and low.split()[-1] in self.vocabulary.places
            self.note += [word.note] if word.note else []
        elif kind == "foot":
            self._footed(index, value, after_place, after_to)
        elif kind == "dir":
            self.note.append(value)
            self._place = low in self.vocabulary.places
        elif kind in ("noise", "talk"):
            behind = low in self.vocabulary.places and bool(self.foot or self.name) and low != "to"
            self._place = (after_place or behind) and not (low == "with" and self.name)
            self.unknown |= low == "them" and self.verb is not None and self.verb.value in ("S", "CL")  # `bring them`
        elif kind == "part" and 0 < index == self._of + 1:
            return  # `tap R toe behind L heel`: where it goes
        elif not self._named(kind, value, low) and not self._counted(index, kind, low):
            self._unknown(index, kind, text)

    def _named(self, kind: str, value: str, low: str) -> bool:
        """Take a part of the foot, a figure, codes, a turn, how often, or feet; return whether a word is one."""
        if kind == "part":
            part = low if low == "hips" else low.rstrip("s")
            self.part, self.unknown = part, self.unknown or self.part != ""
        elif kind == "figure":
            self.name, self.several = value, low.endswith("s") and not value.casefold().endswith("s")
            side, _, name = value.partition(" ")  # `Right Vine`
            if side in ("Right", "Left") and (tuple(name.casefold().split()) in self.vocabulary.phrases):
                self.name, self.foot = name, side[0]
        elif kind == "codes":
            self.codes = (*self.codes, *value.split())
        elif kind == "turned":
            self.unknown = self.unknown or self.spin is not None
            self.spin, self.apart = turn(value), self._apart(value, low)
        elif kind == "twice":
            self.times = int(value)
        elif kind == "feet":
            self.feet += value
        elif kind == "nth":
            self.nth = int(value)
        return kind in ("part", "figure", "codes", "turned", "twice", "feet", "nth")

    def _apart(self, value: str, low: str) -> bool:
        """Say whether a turn may have a count of its own: it is told to be made, is away from a step forward, or all
        that is said of a step is how far it turns."""
        away = self.foot and not {*self.note} - {"forward"} and not value.endswith(self.foot)
        if self.verb is None:
            return bool(away and self.note)  # `R fwd 1/4 L`
        bare = self.word == "step" and self.feeble and len(self.chunk) == 2
        return low.startswith("turn ") or bare or bool(away and ("turn" in low.split() or self.word == "step"))

    def _footed(self, index: int, foot: str, after_place: bool, after_to: bool) -> None:
        """Take a foot: the one that moves, one more, or the one that another goes to."""
        before = self.chunk[index - 1][3].casefold() if index else ""
        following = (*self.chunk, _NONE)[index + 1][:2]
        lettered = self.verb is not None and (before, self.chunk[index][3].casefold()) in _LETTERED
        after_to = after_to or lettered or (before in _MOVING and not (self.foot or self.verb))
        leg = (*self.chunk, _NONE)[index + 1][3].casefold() in _LEG
        hooks = self.verb is not None and self.verb.value in ("HK", "FLICK")
        near = hooks or self.note[-1:] == ["beside"]  # `hook over L`, `touch beside L`
        placed = after_place and (leg or near or self.foot or (self.name and not self.feet))
        placed = placed or (hooks and leg and self.foot)  # `RF hook for left shin`
        slanting = any(piece[:2] == ("dir", "diagonally") for piece in self.chunk[max(0, index - 2) : index])
        sideways = following in (("dir", "side"), ("dir", "diagonally")) or slanting  # `LF step diag R fwd`
        if placed or (after_to and self.foot and not self.name) or (sideways and self.foot):
            aside = after_to and not placed and not sideways and foot == self.foot
            self.note += ["side"] * (aside and "side" not in self.note)  # `RF to R`
            self.placed, self._of = self.placed or after_to, index
            return
        if after_to and self.word == "step" and not (self.foot or self.note):
            self.note += ["side"] * (following != ("dir", "side"))  # `step to right`: where the free foot goes
            return
        if after_to and not self.foot and (self.name or before in _MOVING):
            self.note.append(f"to the {SIDE[foot]}")
            self.foot = foot if self.vocabulary.tradition == "line" and self.name else ""
        elif not self.foot or before in ("on", "onto", "the"):
            self.foot = foot
        elif self.foot != foot or self.feet or before in SIDES:
            self.feet += foot if self.feet else self.foot + foot

    def _counted(self, index: int, kind: str, low: str) -> bool:
        """Take a number: of counts, or of times; return whether a word is one."""
        if not (kind == "number" or low in NUMBERS) or not 0 < number(low) <= 16:
            return False
        before = self.chunk[index - 1][3].casefold() if index else ""
        following = (*self.chunk, _NONE)[index + 1][3].casefold()
        if before == "on":
            self.unknown = True  # `scuff R on 8`: the count that it is on
        elif self.inside or before in ("for", "over") or following in _UNITS:
            self.span = number(low)
        elif self.name and self.vocabulary.tradition == "clogging":
            self.unknown = True  # `Chain L 4`: its beats, or how often?
        else:
            self.times = number(low)
        over = " ".join(piece[3].casefold() for piece in self.chunk[max(0, index - 2) : index])
        self.note = self.note[:-1] if over.removesuffix(" the").endswith("over") and self.note else self.note
        return True

    def _unknown(self, index: int, kind: str, text: str) -> None:
        shaped = _SHAPED.match(" ".join(piece[3] for piece in self.chunk[max(0, index - 2) : index]))
        pivots = self.spin is not None and self.verb is not None and self.verb.value == "PV S"  # `1/2 pivot turn`
        sized = any(_SIZED(piece[3]) for piece in self.chunk if piece[0] == "figure")  # `Monterey 1/2 turn`
        turning = any(said[0] == "turned" for said in self.chunk)
        if text.casefold() in ("each", "every" if turning else "each") or (kind == "turn" and (sized or pivots)):
            return
        if kind == "word" and self.name and shaped:
            self.note.append(f"in a {text}")
        elif not (text.casefold() in _UNITS and (self.span or self.chunk[index - 1][3].casefold() == "one")):
            self.unknown = True


def moved(chunk: list[Piece], text: str, vocabulary: Vocabulary, before: list[Event], inside: bool) -> list[Event]:
    """Return the steps, or the figure, of a phrase that has movements, feet, directions or turns.

    `before` are the events before it, which a turn or a note without a movement belongs to.
    """
    said = Phrase(chunk, vocabulary, inside)
    made = [*_moved(said, text, before)]
    return on_each(said.spin, made, before, text) if said.each and said.spin else made


def _moved(said: Phrase, text: str, before: list[Event]) -> Iterator[Event]:
    chunk, vocabulary = said.chunk, said.vocabulary
    note = tuple(each for each in said.note if each != "over" or "cross" not in said.note)
    alone = said.verb is None and not said.part
    if (
        said.unknown
        or (said.name and (said.codes or against(chunk)))
        or (said.nth and not (said.name or (said.spin and isinstance(_last(before), Mention))))
    ):
        danced = said.foot or said.feet or said.name or said.codes or said.spin
        yield Aside(text) if alone and not danced and {*note} <= _ADDED else Unread(text)
    elif said.name:
        times, feet = said.span or said.times, said.feet or said.foot
        many = said.several and times == 1
        made = Mention(said.name, feet, note, said.spin, times, text, nth=said.nth, several=many)
        glued = any(piece[0] == "feet" for piece in chunk)  # `shuffles RLR`
        each = many and not glued and re.search("LR|RL", feet) and not re.search("LL|RR", feet)  # `struts R L R L`
        yield evolve(made, feet=feet[0], heard=feet, times=len(feet), several=False) if each else made
    elif said.codes:
        yield from _coded(said, note, text)
    elif vocabulary.tradition == "clogging" and said.part not in ("", "ball") and not said.verb and not note:
        yield Unread(text)  # a toe or a heel alone may be a touch or a step
    elif alone and (told := _told(said, note, text, before)) is not None:
        yield from told
    elif said.verb and said.verb.value == "PV S" and said.times > 1 and not any(isinstance(e, Step) for e in before):
        yield Mention("Pivot Turn", said.feet or said.foot, note, said.spin, said.times, text)
    else:
        yield from _stepped(said, note, text, before)


def _coded(said: Phrase, note: tuple[str, ...], text: str) -> Iterator[Event]:
    """Yield the movements of codes, each with its foot."""
    codes = said.codes * said.times
    if said.feet and len(said.feet) != len(codes):
        yield Unread(text)
        return
    for at, code in enumerate(codes):
        foot = said.feet[at : at + 1] or (said.foot if not at else "")
        yield Step((code,), foot, note if not at else (), said.spin if not at else None, text)


def _last(before: list[Event]) -> Step | Mention | None:
    return next((event for event in reversed(before) if isinstance(event, Step | Mention)), None)


_WAYS = {"forward", "back", "side", "diagonally"}
_SLANTING = re.compile(rf"(?i)(?:to|towards?|on|at) (?:the |your )?(?:{SIDED} )?(?:diagonal|diag|corner)")
"""Where several steps go: `R step lock step scuff, to the R diagonal`."""
_PLACES = {*_WAYS, "together", "in place", "in", "out", "behind", "over", "in front", "beside", "center", "snap"}
"""Where a foot is put: each alone is a step."""
_ELSEWHERE = ({"forward", "back"}, {"forward", "behind"}, {"in", "out"})
"""Places to which no single step goes."""
_TO_AND_FRO = {"in", "out"}
_TOUCHES = ("TCH", "TT", "HT", "PT", "DIG")
"""What is done again where only a way to and fro is said behind it: `touch R out, in, out`."""
_ADDED = {"clap", "snap", "apart", "sway", "slowly", "small", "long", "low", "high"}
"""Notes that alone belong to the movement before them."""


def _turning(said: Phrase, spin: Turn, text: str, before: list[Event]) -> list[Event]:
    """Return what a turn alone says, which is made at the step before it; one in all that is said again is none."""
    last = _last(before)
    turned = [each.turn for each in before if isinstance(each, Step) and each.turn]
    if spin.eighths == EIGHTHS and turned and spin in (turned[-1], evolve(turned[-1], side="")):
        return []  # `RLR turning full right, one full turn`
    if last is None or last.turn is not None:
        return [Unread(text) if last or spin.side or said.inside else Aside(text)]
    made = evolve(last, turn=spin, turned=True) if isinstance(last, Step) else evolve(last, turn=spin, nth=said.nth)
    before[before.index(last)] = made
    return []


def _told(said: Phrase, note: tuple[str, ...], text: str, before: list[Event]) -> list[Event] | None:
    """Return what a phrase without a movement says; None where its foot or direction is a step."""
    last, footed = _last(before), bool(said.foot or said.feet)
    clogging = said.vocabulary.tradition == "clogging"
    if clogging and note and not footed and not said.spin:
        return [Aside(text)]
    endless = said.spin and said.span and not footed  # `full turn over three counts`: of how many steps?
    if endless or (clogging and footed and not isinstance(last, Step)):
        return [Unread(text)]
    if said.spin and said.feeble:
        return _turning(said, said.spin, text, before)
    if said.feeble and said.inside and said.times > 1 and [last] == before and isinstance(last, Mention):
        before[0] = evolve(last, times=said.times) if last.times == 1 else Unread(f"{last.text} ({text})")
        return []  # `Step touches (x4)`, and nothing before them
    if said.times > 1 and not said.feet and (not note or said.times > 8):
        return [Unread(text)]  # of one movement, or of all before?
    if said.feeble:
        return [Stretch(said.span, said.each) if said.span and last else Aside(text)]
    slanting = _SLANTING.fullmatch(text) and sum(isinstance(event, Step | Mention) for event in before) > 1
    travelling = slanting or said.chunk[0][3].casefold() in _MOVING
    if note and (set(note) <= _ADDED or travelling) and (slanting or not footed):
        if last is not None:
            before[before.index(last)] = evolve(last, note=(*last.note, *note))
        return [Aside(text)] * (travelling and last is None)
    return [Unread(text)] if before and isinstance(before[-1], Unread) and not note else None


def _stepped(said: Phrase, note: tuple[str, ...], text: str, before: list[Event]) -> Iterator[Event]:
    """Yield the steps of a phrase with a movement, or with a foot or a direction that is a step."""
    vocabulary, last = said.vocabulary, _last(before)
    found, foot = _footed(said, last)
    free = isinstance(last, Step) and last.codes[-1] not in {*WEIGHT, "HOLD", "CLAP", *vocabulary.repeating}
    alone = said.verb is None and not said.part
    bare = not (foot or said.feet) and ((free and set(note) & _WAYS) or not set(note) & _PLACES)
    twice = isinstance(last, Step) and last.bare and (last.codes, last.foot) == (("S",), foot)  # `left, left`
    if alone and (bare or (twice and not note)):
        yield Unread(text)  # `touch R forward, side`: a touch again, or a step?  `up` says how, and no step
        return
    if alone:
        found, foot, note = _carried(said, note, before)
    note = tuple(each for each in note if (vocabulary.combined.get(frozenset((said.part, each))),) != found)
    sided = said.word.removesuffix("s") in vocabulary.sided
    if found is None or any(both <= {*note} for both in _ELSEWHERE) or (sided and not (foot or said.feet)):
        yield Unread(text)
        return
    if sided and isinstance(last, Step) and (last.foot, last.codes) == (foot, ("S",)) and "sway" not in last.note:
        before[before.index(last)] = evolve(last, note=(*last.note, "sway"))
        return
    jumps = found == ("JUMP",) and (len(said.feet) > 1 or (foot and {*note} & _WAYS))  # onto one foot, `jump back R L`
    found, note = (("S",), (*note, "jump")) if jumps else (found, note)
    found = ("STU",) if found == ("STO",) and "up" in note else found
    marching = said.span and said.word.startswith(("walk", "march", "run"))
    said.times = said.span if marching else said.times
    row, twice = _made_by(found, said, foot), any(piece[0] == "twice" for piece in said.chunk)
    if row is None or (
        twice and found == ("HOLD",) and sum(isinstance(event, Step) for event in before) > 1
    ):  # of all before it?
        yield Unread(text)
        return
    for index, side in enumerate(row):
        free = found == ("STO",) and row[index + 1 : index + 2] == [side] != [""]
        codes, noted = (("STU",), (*note, FREE)) if free else (found, note)
        if found[0] in ("BUMP", "SWIVEL") and (heard := (said.feet or said.foot)[index:][:1] or said.foot):
            noted = (*note, SIDE[heard])  # to that side: both feet make it
        if index and "bump" in note:
            codes, side = ("BUMP",), ""  # `step R, bumping hips R L R`
        spin = said.spin if not index else None
        yield Step(codes, side, noted, spin, text, turned=said.apart and not index, bare=alone)
    if said.span and not marching:
        yield Stretch(said.span)


def _carried(said: Phrase, note: tuple[str, ...], before: list[Event]) -> tuple[tuple[str, ...], str, tuple[str, ...]]:
    """Return the codes, the foot and the note of a phrase that says no movement: a step, or that of before again."""
    last = _last(before)
    if not isinstance(last, Step):
        return ("S",), said.foot, note
    if note and "bump" in last.note:
        return ("BUMP",), "", note  # `step R, bumping hips forward, back`
    if note or said.placed:
        touching = last.codes[0] in _TOUCHES and {*note} <= _TO_AND_FRO and bool({*last.note} & _TO_AND_FRO)
        again = not (said.foot or said.feet) and (touching or last.codes[0] in said.vocabulary.repeating)
        return (last.codes, last.foot, note) if again else (("S",), said.foot, note)
    if last.codes == ("FAN",) and last.foot and said.foot:
        return last.codes, last.foot, (SIDE[said.foot],)  # `fan R toes R, L`: the ways
    footed = any(isinstance(event, Step) and event.foot for event in before)
    own = last.foot or not footed or last.codes[0] in said.vocabulary.repeating  # not in `R, touch, L, touch`
    found = last.codes if own and last.codes not in (("RC",), ("PV", "S")) and not said.spin else ("S",)
    found = ("BUMP",) if "bump" in last.note else found
    return found, said.foot, tuple(each for each in last.note if each == "sway" and found == last.codes)


def _made_by(found: tuple[str, ...], said: Phrase, foot: str) -> list[str] | None:
    """Return the foot of each time that a movement is made; None where words and feet say different things.

    Steps on one foot alternate from it; both feet, or none, have no foot.
    """
    times, feet = said.times, said.feet
    if found == ("HOLD",) and len(feet) > 1:
        return None  # of the movement before them
    if found[0] in said.vocabulary.footless:
        return [""] * max(times, len(feet))
    if found[0] == "PV" and times > 1:
        return None  # of the pivot, or of the step before it as well?
    if feet and times in (1, len(feet)):
        return list(feet)
    if times == 1 or not (feet or foot):
        return [feet or foot] * times
    if found[0] in WEIGHT - {"STO"} and not feet:
        return ([foot, OTHER[foot]] * times)[:times] if found == ("S",) else None
    return list(feet or foot) * times


def _footed(said: Phrase, last: Step | Mention | None) -> tuple[tuple[str, ...] | None, str]:
    """Return the codes of a movement and its foot; what closes behind a fan are its toes: `toe fan R, close`."""
    if said.verb and said.verb.value == "CL" and isinstance(last, Step) and last.codes == ("FAN",) and not said.foot:
        return last.codes, last.foot
    return _codes(said, last), said.foot


def _codes(said: Phrase, last: Step | Mention | None) -> tuple[str, ...] | None:
    """Return the codes of a movement, on a part of the foot if one is said; None if the two have none together.

    Behind a swivel, `last`, heels and toes alone swivel as well: `swivel heels R, toes R`.
    """
    verb, stem, vocabulary = said.verb, said.word.split()[:1], said.vocabulary
    if verb is None and said.part in ("toe", "heel") and isinstance(last, Step) and last.codes == ("SWIVEL",):
        return last.codes
    if said.part and said.word.startswith(("walk", "march", "run")):
        return None  # `heel walk`
    if said.part:
        for name in (said.part, said.part + "s"):
            for words in ((name, *(said.note or stem)), (*stem, name)):
                if code := vocabulary.combined.get(frozenset(words)):
                    return (code,)
        for both, code in vocabulary.combined.items():
            alike = (vocabulary.phrases.get((word,), Word("")).value for word in both - {said.part})
            if said.part in both and verb and len(both) == 2 and verb.value and verb.value in alike:
                return (code,)
    return tuple(verb.value.split()) or None if verb else None
