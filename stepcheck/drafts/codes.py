"""Rows of codes, `DS DS RS RS` with `L R LR LR` beside or below, and the marks behind a row or a cue, `x2, turn 1/4 L`."""

import re

from attrs import evolve, frozen

from stepcheck.books.book import Book
from stepcheck.books.placing import last_beat, place
from stepcheck.drafts.outline import Assumptions, Line
from stepcheck.drafts.steps import Facing, Turn, events
from stepcheck.drafts.vocabulary import Vocabulary, code, plain
from stepcheck.language.measures import LineError
from stepcheck.language.parser import parse_forms
from stepcheck.model.dance import EIGHTHS, TICKS

_FEET_TOKEN = re.compile(r"\(?[LR]+\)?(?:\s*-\s*[LR]+)?")


@frozen
class Row:
    """A row of codes as written: each with its foot ("" where none is written), the words before and behind it."""

    codes: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...]
    feet: tuple[str, ...] = ()
    name: str = ""
    rest: str = ""


def forms_beats(row: str, book: Book) -> int:
    """Return how many beats a row of movements lasts, 0 where it isn't understood."""
    try:
        actions, problems = place(parse_forms(row), book.movement, book.tradition)
    except LineError:
        return 0
    return 0 if problems else last_beat(actions)


def is_feet(text: str) -> bool:
    """Say whether a line holds nothing but feet, as the row under a row of codes does."""
    words = re.sub(r"\s*-\s*", "-", text).split()
    return bool(words) and all(re.fullmatch(r"\(?[LR]{1,2}\)?(?:-[LR]{1,2})?", word) for word in words)


def is_beats(text: str) -> bool:
    """Say whether a line holds nothing but beats, `&1 &2 & 3`."""
    words = text.split()
    return (
        len(words) > 1
        and any(map(str.isdecimal, text))
        and all(re.fullmatch(r"&?\d{1,2}|[&ea]", word) for word in words)
    )


def feet_of(text: str) -> tuple[str, ...]:
    """Return the feet of a row, a piece for each code: `L R L-R RL`."""
    return tuple(re.sub(r"[^LR-]", "", found) for found in _FEET_TOKEN.findall(text))


def row(text: str) -> Row | None:
    """Return the row of codes that a text has, with a name before it and words behind it; None if it has none."""
    said = plain(text)
    if said.count("(L)") + said.count("(R)") > 1:
        said = re.sub(r"(?<=[A-Z]) \((?=[LR]\))", "(", said)  # a foot behind each code: `DS (L) DS (R)`
    spots = [
        (found.start(), found.end(), found[0])
        for found in re.finditer(r"[A-Za-z][A-Za-z]*(?:-[A-Za-z]+)*(?:\((?:[a-z ]+|[LR])\))?|\(hold\)", said)
    ]
    codes: list[tuple[str, ...]] = []
    notes: list[str] = []
    own: list[str] = []
    begin = end = -1
    for at, stop, word in spots:
        bare = word.split("(")[0]
        found = (
            ("HOLD",)
            if word == "(hold)"
            else ("BA",)
            if bare == "B"
            else code(bare, "clogging")
            if _coded(bare)
            else ()
        )
        if bare == "T" and "(" in word:
            found = ("TT",)
        gap = said[end:at] if codes else ""
        if found and not (codes and re.search(r"[^\s,]", gap)):
            begin = at if not codes else begin
            codes.append(found)
            inner = word[len(bare) :].strip("()") if word != "(hold)" else ""
            own.append(inner if inner in ("L", "R") else "")
            notes.append("" if own[-1] else inner)
            end = stop
        elif codes:
            break
    count = sum(len(each) for each in codes)
    if count < 2 or all(each in (("L",), ("R",)) for each in codes):
        return None
    rest = said[end:]
    feet: tuple[str, ...] = ()
    behind = re.match(
        r"[\s)]*((?:\(?[LR]+\)?(?:\s*-\s*[LR]+)?\s+)*\(?[LR]+\)?(?:\s*-\s*[LR]+)?)(?=\s{2,}|\s*$|\t|\s+\d)", rest
    )
    if behind and len(feet_of(behind[1])) >= 2:
        feet, rest = feet_of(behind[1]), rest[behind.end() :]
    elif any(own):
        feet = tuple(own)
    return Row(tuple(codes), tuple(notes), feet, said[:begin].strip(" \t:-("), rest.strip(" \t)"))


def _coded(word: str) -> bool:
    return (
        word.isupper()
        and word not in ("R", "A", "D", "E", "G", "H", "K", "L", "P")
        or ("-" in word and bool(code(word.upper(), "clogging")))
    )


def sides(group: tuple[str, ...], said: str) -> list[str]:
    """Return the feet of the codes that a piece such as `BR-SL` has, from `L-R` or `LR`."""
    return list(said) if len(group) > 1 and "-" not in said else said.split("-")


def listed(text: str) -> list[str]:
    """Return a text cut at commas, semicolons, `then` and `and` that stand outside brackets."""
    out, depth, start = [], 0, 0
    for found in re.finditer(r"[()\[\]]|,|;|\.\s|\s-\s|\s&\s|\b(?:then|and)\b", text):
        sign = found[0]
        if sign in "([":
            depth += 1
        elif sign in ")]":
            depth = max(0, depth - 1)
        elif not depth:
            out.append(text[start : found.start()])
            start = found.end()
    return [piece.strip() for piece in (*out, text[start:]) if piece.strip(" .")]


def turn_text(turn: Turn, at: int = 0) -> str:
    """Return a turn as a mark."""
    whole, rest = divmod(turn.eighths, EIGHTHS)
    part = next(f"{rest * n // EIGHTHS}/{n}" for n in (1, 2, 4, 8) if not rest * n % EIGHTHS) if rest else ""
    size = (
        "full" if not part and whole == 1 else " ".join(piece for piece in (str(whole) if whole else "", part) if piece)
    )
    side = f" {turn.side}" if turn.side else ""
    return f"turn {size}{side}" + (f" @{at}" if at else "")


AGAIN = re.compile(r"\(?\bx\s?(\d)\b\)?|\(?\b(\d)\s?x\b\)?|\(?\b(twice)\b\)?", re.IGNORECASE)
_ON = re.compile(r"\bon (?:the )?(\d(?:st|nd|rd|th)|first|second|third|fourth|last)\b(?! \w)", re.IGNORECASE)
_TIME_OF = {"first": "1st", "second": "2nd", "third": "3rd", "fourth": "4th"}
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
        line = evolve(line, on=_TIME_OF.get(times[1].casefold(), times[1].casefold()))
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


class Waiting:
    """A row with the feet and the beats that have been read under it; `stated` are the beats that stand before it, or 0."""

    def __init__(self, row: Row, stated: int) -> None:
        self.row, self.stated = row, stated
        self.feet: tuple[str, ...] = ()
        self.beats: tuple[str, ...] = ()

    @property
    def span(self) -> tuple[int, int]:
        """The first and the last beat that are written under it, 0 if none is."""
        said = [int(word.strip("&")) for word in self.beats if word.strip("&")]
        return (said[0], said[-1]) if said else (0, 0)

    def takes(self, text: str) -> bool:
        """Take a line that holds nothing but feet, or nothing but beats; return whether it does."""
        if is_feet(text):
            self.feet = feet_of(text)
        elif is_beats(text):
            self.beats = tuple(re.findall(r"&?\d+|&", text))
        else:
            return False
        return True

    def placed(self, line: Line) -> Line:
        """Return a row on the beats that stand under it, if some of its movements need them."""
        words, first = self.beats, self.span[0]
        single = all(len(group) == 1 for group in self.row.codes)
        if not line.moves or len(words) != len(self.row.codes) or "&" not in words or not single or not first:
            return line
        tick = 0
        moves = []
        for move, word in zip(line.moves, words, strict=True):
            digits = re.sub(r"\D", "", word)
            tick = (int(digits) - first + 1) * TICKS if digits else tick - tick % TICKS + TICKS // 2
            moves.append(evolve(move, tick=tick))
        ticks = [move.tick for move in moves]
        return evolve(line, moves=tuple(moves)) if ticks == sorted(set(ticks)) and ticks[0] > 0 else line
