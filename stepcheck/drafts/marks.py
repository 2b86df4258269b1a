"""What stands behind a cue: `turn 1/4 L on each`, `x2`, `to the front`, `on the brush`."""

import re

from attrs import evolve

from stepcheck.books.book import Book
from stepcheck.drafts.codes import forms_beats
from stepcheck.drafts.outline import Line
from stepcheck.drafts.rows import Assumptions
from stepcheck.drafts.steps import Facing, Turn, events
from stepcheck.drafts.vocabulary import Vocabulary
from stepcheck.drafts.words import plain

AGAIN = re.compile(r"\(?\bx\s?(\d)\b\)?|\(?\b(\d)\s?x\b\)?|\(?\b(twice)\b\)?", re.IGNORECASE)
_ON = re.compile(r"\bon (?:the )?(\d(?:st|nd|rd|th)|first|second|third|fourth|last)\b(?! \w)", re.IGNORECASE)
_NTH = {"first": "1st", "second": "2nd", "third": "3rd", "fourth": "4th"}
_TURN = re.compile(
    r"(?:turn(?:ing|s)?\s+)?(?:by\s+)?\b(1/8|1/4|1/2|3/4|quarter|half|full)\b(?:\s+(?:turn|circle))?(?:\s+to the)?"
    r"(?:\s+(left|right|l|r)\b)?",
    re.IGNORECASE,
)


def marked(line: Line, text: str, vocabulary: Vocabulary, book: Book, assumed: Assumptions) -> Line:
    """Return a line with what stands behind it: its foot, times, a turn, a facing, and for the rest a note.

    A turn that can't be taken is put to what is unsure.
    """
    text = " ".join(plain(text).split())
    if not text:
        return line
    if (
        (side := re.match(r"\(?\b(L|R)\b\)?(?:\s+|$)", text))
        and not line.foot
        and (line.name or line.moves)
        and not any(move.foot for move in line.moves)
    ):
        text = text[side.end() :]
        first = line.moves[:1]
        line = (
            evolve(line, foot=side[1])
            if line.name
            else evolve(line, moves=(evolve(first[0], foot=side[1]), *line.moves[1:]))
        )
    if (again := AGAIN.search(text)) and line.times == 1:
        line = evolve(line, times=int(again[1] or again[2] or 2))
        text = text.replace(again[0], " ")
    if (times := _ON.search(text)) and line.times > 1:
        line = evolve(line, on=_NTH.get(times[1].casefold(), times[1].casefold()))
        text = text.replace(times[0], " each ")
    facing, spin, at = line.facing, line.turn, line.at
    said = events(re.sub(r"[()\"]", " ", text), vocabulary)
    for event in said:
        if isinstance(event, Facing):
            facing = event.wall
    found = _TURN.search(text)
    note = " ".join(re.sub(r"[()\"]", " ", text).split())
    if found and spin is None:
        eighths = {"1/8": 1, "1/4": 2, "1/2": 4, "3/4": 6, "quarter": 2, "half": 4, "full": 8}[found[1].casefold()]
        note = plain(note).replace(found[0], " ")
        around = re.search(r"full circle", text, re.IGNORECASE)
        each = re.search(r"\((1/8|1/4|1/2) each\)", plain(text))
        if around and each:
            eighths = {"1/8": 1, "1/4": 2, "1/2": 4}[each[1]]
            note = "full circle"
        toward = re.search(r"to the (left|right)", " ".join((*line.note, note)))
        to = {"l": "left", "r": "right"}.get((found[2] or "")[:1].casefold(), toward[1].casefold() if toward else "")
        if not to and eighths not in (4, 8):
            assumed.unsure.append(text)
        else:
            spin = Turn(eighths, to)
            if line.times > 1 and not re.search(r"\beach\b", text, re.IGNORECASE):
                assumed.add(f"a turn behind {line.times} {line.name}s is each time's")
        at = _turning(line, text, book)
    note = re.sub(r"\bon each(?: of them)?\b|\beach\b|\bagain\b(?=\s*$)", " ", note, flags=re.IGNORECASE)
    if facing:
        note = re.sub(r"\b(?:to )?fac(?:e|ing) (?:the )?(?:front|back)\b", " ", note, flags=re.IGNORECASE)
    if facing and re.search(r"front|back", note, re.IGNORECASE):
        note = re.sub(r",?\s*\b(?:back\s+)?to (?:face )?(?:the )?(?:front|back)\b", " ", note, flags=re.IGNORECASE)
    note = re.sub(r"\s+", " ", note).strip(" ,.;-&")
    notes = (*line.note, note) if note else line.note
    return evolve(line, facing=facing, turn=spin, at=at, note=notes)


def _turning(line: Line, text: str, book: Book) -> int:
    """Return the beat on which a turn is said to be made, where it is one: `on the brush`."""
    found = re.search(r"\bon the (\w+)", text)
    wanted = {"brush": "BR", "kick": "K", "stomp": "STO"}.get(found[1].casefold(), "") if found else ""
    forms = [move.code for move in line.moves]
    if not wanted or forms.count(wanted) != 1:
        return line.at
    return forms_beats(" ".join(forms[: forms.index(wanted) + 1]), book)
