"""The entries of a book of figures, read one by one: a movement with its senses, a figure with its versions.

Lengths are in ticks, turns in eighths (left negative) for the foot that the figure is written for.  What an entry may
say is in specs/books.md.
"""

import re
from collections.abc import Iterator
from fractions import Fraction
from typing import TYPE_CHECKING

from attrs import evolve

from stepcheck.books.outline import MEMORY, USUAL, Entry, Fault, Outline, listed, unnamed
from stepcheck.books.placing import last_beat, last_count, place
from stepcheck.language.patch import told
from stepcheck.language.syntax import Form
from stepcheck.model.dance import EIGHTHS, TICKS, Figure, Foot, Level, Version
from stepcheck.model.movements import Actor, Movement, Sense

if TYPE_CHECKING:
    from stepcheck.books.book import Book

_FORM = re.compile(r"([A-Za-z][A-Za-z0-9]*)(?:\(([LR])\))?(?:@(?:(\d{1,4})([e&a]?)|&(\d{1,4})))?")
_LENGTH = re.compile(r"(\d{1,4}) (?:beats?|counts?)")
_SIZE = r"(full|half|quarter|\d{1,2}(?:/\d)?)"
_TURN = re.compile(rf"(?:turn {_SIZE}|{_SIZE} turn) (left|right)(?: ?@(\d{{1,4}}))?")
_USUAL_TURN = re.compile(rf"{_SIZE} (left|right|either way)")
_LEVEL = re.compile(r"(.+) in (.+)")
_CUSTOM = re.compile(r"(left|right) lead only by custom")
_INSIDE = {"": 0, "e": TICKS // 4, "&": TICKS // 2, "a": 3 * TICKS // 4}
_SHARES = {"full": Fraction(1), "half": Fraction(1, 2), "quarter": Fraction(1, 4)}
_ACTORS = {actor.value: actor for actor in Actor}


# Of a row: its length in ticks, if it is stated, its turn, the turn's beat, and how far it goes, if that is said.
Facts = tuple[int | None, int, int | None, tuple[int, int] | None]
_TRAVEL = re.compile(r"(\d{1,3}) steps? (right|left|forward|back)|on the spot")
_WAYS = {"right": (1, 0), "left": (-1, 0), "forward": (0, 1), "back": (0, -1), None: (0, 0)}


class _Reader:
    def __init__(self, outline: Outline, entry: Entry) -> None:
        self.outline = outline
        self.entry = entry
        self.line = entry.start
        self.faults: list[Fault] = []

    def blame(self, reason: str, *hints: str, code: str = "line-not-understood") -> None:
        """Note a fault on the line that is being read."""
        self.faults.append(Fault(code, self.line, reason, hints))

    def body(self) -> Iterator[tuple[str, str, str]]:
        """Yield each further line and its two halves, before and after the colon."""
        for number, text in self.entry.rows[1:]:
            self.line = number
            head, _, rest = text.partition(":")
            yield text, head.strip(), rest.strip()
        self.line = self.entry.start

    def sources(self, text: str) -> tuple[str, ...]:
        """Return the short names of the sources that a line names."""
        names = listed(text)
        for name in names:
            if name != MEMORY and name not in self.outline.sources:
                reason, hints = unnamed(name)
                self.blame(reason, *hints, code="unknown-name")
        return names

    def facts(self, said: list[str], usual: Facts) -> Facts:
        """Return the length and the turn that are written beside a name or a label; what is not said is as `usual`."""
        length, turn, beat, travel = usual
        for fact in said:
            if found := _LENGTH.fullmatch(fact):
                length = int(found[1]) * TICKS
            elif fact == "no turn":
                turn, beat = 0, None
            elif (found := _TURN.fullmatch(fact)) and (size := _eighths(found[1] or found[2])):
                turn = -size if found[3] == "left" else size
                beat = int(found[4]) if found[4] else None
            elif found := _TRAVEL.fullmatch(fact):
                (right, forward), size = _WAYS[found[2]], int(found[1] or 0)
                travel = right * size, forward * size
            else:
                self.blame(f"{fact!r} is neither a length nor a turn", "write 4 beats", "write turn 1/2 left")
        return length, turn, beat, travel

    def versions(self, label: str, facts: Facts, text: str, book: "Book", empty: bool = False) -> Iterator[Version]:
        """Yield the version of a row, its movements placed; of a row without any only if it may be `empty`."""
        forms, strange = row(text)
        for piece in strange:
            self.blame(f"{piece!r} is no movement", "write movements like S, S(L), S@2 or S(L)@2&", code="unknown-form")
        if forms or empty:
            actions, problems = place(forms, book.movement, book.tradition)
            for problem in problems:
                self.blame(problem.reason, *told(problem.hints), code=problem.code)
            length, turn, beat, travel = facts
            lasts = last_beat(actions) * TICKS if length is None else length
            counts = last_count(actions, lasts)
            if beat is not None and beat > counts > 0:
                self.blame(f"there is no count {beat} to turn on, only {counts}", code="turn-beyond-the-end")
            yield Version(label, actions, lasts, turn, beat, travel=travel)

    def sort_out(self, labels: tuple[str, ...]) -> None:
        """Note a fault if several meanings can't be told apart, or none of them is the usual one."""
        name = self.entry.names[0]
        if len(labels) > 1 and not self.entry.several:
            self.blame(f"{name} has several meanings, and none is marked", f"write {USUAL} after one of the labels")
        if len(labels) > 1 and (len(set(labels)) < len(labels) or "" in labels):
            self.blame(f"each meaning of {name} needs a label of its own", "write a label like ends in a step")


def movement(outline: Outline, entry: Entry) -> tuple[Movement | None, tuple[Fault, ...]]:
    """Return the movement of an entry, or None if it says too little, and what is wrong with the entry."""
    read = _Reader(outline, entry)
    head, _, forms = entry.rows[0][1].partition(":")
    name, *marks = listed(head)
    for mark in marks:
        if mark not in ("upbeat", "no place"):
            read.blame(f"a movement is never {mark!r}", "write upbeat, or no place")
    senses: list[Sense] = []
    usual = 0
    for text, label, rest in read.body():
        if label == "from":
            senses[-1:] = [evolve(sense, sources=outline.cited(read.sources(rest))) for sense in senses[-1:]]
            continue
        if USUAL in label:
            label, usual = label.replace(USUAL, "").strip(), len(senses)
        deed = _deed(rest if ":" in text else text)
        if deed is None:
            read.blame(f"{rest or text!r} does not say who makes it", f"write one of {', '.join(_ACTORS)}")
        else:
            senses.append(Sense(label if ":" in text else "", *deed))
    read.sort_out(tuple(sense.label for sense in senses))
    if not senses:
        read.blame(f"{name} does not say who makes it", "write a line like free foot, takes weight under it")
        return None, tuple(read.faults)
    made = Movement(name, tuple(forms.split()), tuple(senses), usual, "upbeat" in marks, "no place" not in marks)
    return made, tuple(read.faults)


def figure(outline: Outline, entry: Entry, book: "Book") -> tuple[Figure | None, tuple[Fault, ...]]:
    """Return the figure of an entry, or None if it has no footwork, and what is wrong with the entry."""
    read = _Reader(outline, entry)
    head, _, forms = entry.rows[0][1].partition(":")
    name, *marks = listed(head)
    feet = [foot for foot in Foot if f"{foot.name.lower()} foot" in marks]
    shared = read.facts([mark for mark in marks if mark not in ("left foot", "right foot")], (None, 0, None, None))
    versions = list(read.versions("", shared, forms, book)) if forms else []
    levels: list[Level] = []
    turns: list[int] = []
    usual, one_lead = 0, False
    for text, word, rest in read.body():
        if _CUSTOM.fullmatch(text):
            one_lead = True
        elif ":" not in text:
            read.blame(f"{text!r} says nothing that a figure can have")
        elif word == "level":
            levels.extend(_levels(read, rest))
        elif word == "usual turns":
            turns.extend(_usual_turns(read, rest))
        elif word == "from":
            names = read.sources(rest)
            kept = outline.cited(tuple(source for source in names if source != MEMORY))
            versions[-1:] = [evolve(version, sources=kept, memory=MEMORY in names) for version in versions[-1:]]
        elif word != "also":
            usual = len(versions) if USUAL in word else usual
            label, *said = (piece.strip() for piece in word.replace(USUAL, "").split(","))
            facts = read.facts([label, *said] if _LENGTH.fullmatch(label) else said, shared)
            versions += read.versions(label, facts, rest, book, empty=True)
    read.sort_out(tuple(version.label for version in versions))
    if not versions:
        read.blame(f"{name} has no footwork", "write its movements after the colon", code="figure-without-beats")
        return None, tuple(read.faults)
    lead, names = feet[0] if feet else book.lead, entry.names[1:]
    custom = tuple(levels), tuple(turns), one_lead
    return Figure(name, tuple(versions), usual, names, book.name, lead, *custom, entry.start), tuple(read.faults)


def row(text: str) -> tuple[tuple[Form, ...], tuple[str, ...]]:
    """Return the forms of a row such as `DT S@1 R(L)@&2 S`, and the pieces of it that are no forms."""
    forms, strange = [], []
    for match in re.finditer(r"\S+", text):
        found = _FORM.fullmatch(match[0])
        if found is None:
            strange.append(match[0])
            continue
        form, side, beat, inside, ahead = found.groups()
        foot, counted = None if side is None else Foot("LR".index(side)), beat or ahead
        count = int(counted) if counted else None
        tick = None if count is None else count * TICKS + (_INSIDE[inside] if beat else -TICKS // 2)
        forms.append(Form(form, foot, tick, count, match.span()))
    return tuple(forms), tuple(strange)


def label_matches(label: str, words: str) -> bool:
    """Say whether `words` is a way to write the reading `label`.

    Small words and endings don't count, `takes` and `with` may be left out, `without` is `no`: so "ending in a step" is
    "ends in a step", and "without weight" and "takes no weight" are "no weight".
    """
    return _gist(label) == _gist(words)


def reading(labels: tuple[str, ...], words: str) -> int | None:
    """Return the index of the label that `words` stands for, or None."""
    return next((index for index, label in enumerate(labels) if label_matches(label, words)), None)


def _deed(text: str) -> tuple[Actor, bool] | None:
    """Return who acts and whether the weight ends there, from `free foot, takes weight`; None if it doesn't say."""
    who, *rest = listed(text) or ("",)
    if who not in _ACTORS or rest not in ([], ["takes weight"], ["no weight"]):
        return None
    return _ACTORS[who], rest == ["takes weight"]


def _levels(read: _Reader, text: str) -> Iterator[Level]:
    """Yield the levels of `easy in club, basic plus in convention`."""
    for piece in listed(text):
        found = _LEVEL.fullmatch(piece)
        if found:
            yield Level(found[2], found[1])
        else:
            read.blame(f"{piece!r} does not say in which scheme", "write easy in club")


def _usual_turns(read: _Reader, text: str) -> Iterator[int]:
    """Yield the signed turns of `1/2 left, 1/4 either way`."""
    for piece in listed(text):
        found = _USUAL_TURN.fullmatch(piece)
        size = _eighths(found[1]) if found else None
        if found is None or size is None:
            read.blame(f"{piece!r} is no turn", "write 1/4 left, or 1/2 either way", code="impossible-turn")
        else:
            yield from {"left": (-size,), "right": (size,), "either way": (-size, size)}[found[2]]


def _eighths(text: str) -> int | None:
    """Return the eighths of `1/4`, `full` or `2`; None if they are no whole number above 0."""
    top, _, bottom = text.partition("/")
    if text not in _SHARES and bottom == "0":
        return None
    eighths = EIGHTHS * (_SHARES[text] if text in _SHARES else Fraction(int(top), int(bottom or 1)))
    return int(eighths) if eighths and eighths.denominator == 1 else None


def _gist(words: str) -> tuple[str, ...]:
    """Return the words that count in a label, each without its ending."""
    small = {"a", "an", "the", "in", "with", "takes", "taking", "take", "and"}
    plainer = (word for word in re.findall(r"[\w/]+", words.casefold()) if word not in small)
    return tuple("no" if word == "without" else re.sub(r"(?<=\w\w)(ing|s|e|es)$", "", word) for word in plainer)
