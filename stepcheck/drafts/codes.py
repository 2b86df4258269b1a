"""Rows of clogging codes, `DS DS RS RS` with feet beside or below, and the marks behind a cue, `x2, turn 1/4 L`."""

import itertools
import re
from collections.abc import Sequence

from attrs import evolve, frozen

from stepcheck.books.book import Book
from stepcheck.books.placing import last_beat, place
from stepcheck.drafts.cue_words import feet_said
from stepcheck.drafts.outline import Assumptions, Line
from stepcheck.drafts.phrases import events
from stepcheck.drafts.steps import Facing, Turn
from stepcheck.drafts.vocabulary import Vocabulary, code, plain, tight
from stepcheck.language.grammar import LineError
from stepcheck.language.parser import parse_forms
from stepcheck.model.dance import EIGHTHS, TICKS

_SIDES = r"\(?[LR]+\)?(?:\s*[-/]\s*[LR]+)?"
FEET = r"(?:(?:L|R|left|right)\W*)+"
_FEET_TOKEN = re.compile(_SIDES)
_WORD = re.compile(r"([A-Za-z][A-Za-z]*(?:-[A-Za-z]+)*)(?:\(([A-Za-z ]+)\))?|\(hold\)")


@frozen
class Row:
    """A row of codes as written: each with its foot ("" where none is written), the words before and behind it.

    `bracketed` says that it stands in a bracket behind its name, `broken` that more codes stand behind a word of it
    that is none: then it is not the whole row.
    """

    codes: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...]
    feet: tuple[str, ...] = ()
    name: str = ""
    rest: str = ""
    broken: bool = False
    bracketed: bool = False


def forms_beats(row: str, book: Book) -> int:
    """Return how many beats a row of movements lasts, 0 where it isn't understood."""
    try:
        actions, problems = place(parse_forms(row), book.movement, book.tradition)
    except LineError:
        return 0
    return 0 if problems else last_beat(actions)


def is_feet(text: str) -> bool:
    """Say whether a line holds nothing but feet, as the row under a row of codes does."""
    words = re.sub(r"\s*[-/]\s*", "-", text).split()
    return bool(words) and all(re.fullmatch(r"\(?[LR]{1,2}\)?(?:-[LR]{1,2})?", word) for word in words)


def is_beats(text: str) -> bool:
    """Say whether a line holds nothing but beats, `&1 &2 & 3`."""
    words = text.split()
    return (
        len(words) > 1
        and any(map(str.isdecimal, text))
        and all(re.fullmatch(r"&?a?\d{1,2}|[&ea]", word) for word in words)
    )


def feet_of(text: str) -> tuple[str, ...]:
    """Return the feet of a row, a piece for each code: `L R L-R RL`."""
    return tuple(re.sub(r"[^LR-]", "", found.replace("/", "-")) for found in _FEET_TOKEN.findall(text))


def paired(codes: tuple[tuple[str, ...], ...], cells: tuple[str, ...]) -> tuple[str, ...]:
    """Return the cells under a row, one for each code, where each RS has two: its rock and its step."""
    if len(cells) != len(codes) + sum(group == ("RS",) for group in codes):
        return cells
    left = iter(cells)
    return tuple(next(left) + (next(left) if group == ("RS",) else "") for group in codes)


def _tightened(said: str) -> str:
    """Return a text whose codes of one beat hang together by hyphens, their foot or place in a bracket behind."""
    if said.count("(L)") + said.count("(R)") > 1:
        said = re.sub(r"(?<=[A-Z]) \((?=[LR]\))", "(", said)  # a foot behind each code: `DS (L) DS (R)`
    said = re.sub(r"\bTOE HEEL\b", "TOE-HEEL", said)
    said = re.sub(r"\b(?:HOLD|PAUSE) ([2-8])\b", lambda found: " ".join(["HOLD"] * int(found[1])), said)
    said = re.sub(r"(?<=[A-Z]) ?(xi[fb]|ots)(?![\w)])", r"(\1)", said)  # `DS xif`, `DSxif`
    said = re.sub(r"(?<=[A-Z])(\s+)R(\s*)S\b(?!\s*\()", r"\1RS\2", said)  # `DS R S`
    said = re.sub(r"\b([A-Z]+)(\([a-z ]+\))[/-]([A-Z]+)", r"\1-\3\2", said)  # `TCH(f)/H`
    return re.sub(r"(?<=[A-Z]{2})/(?=[A-Z]+\b)", "-", said)  # `BR/SL`


_GRID = re.compile(r"(?<!\S)(?:\.(?!\.)|-[A-Z]{1,3}|[A-Z]{1,3}-)(?=\s|$)")
"""A cell of a grid, a row for each foot: `L   DS  .  DS  -S`."""


def in_grid(text: str) -> bool:
    """Say whether a line is a row of a grid, or of its beats."""
    return bool(_GRID.search(text) and re.match(r"\s*[LR]\s", text)) or is_beats(text.replace("(", "").replace(")", ""))


def row(text: str) -> Row | None:
    """Return the row of codes that a text has, with a name before it and words behind it; None if it has none."""
    said = "" if _GRID.search(text) else _tightened(plain(text))
    codes: list[tuple[str, ...]] = []
    notes: list[str] = []
    own: list[str] = []
    begin = end = -1
    for spot in _WORD.finditer(said):
        word, inner = spot[1] or "(hold)", spot[2] or ""
        found = _coded(word, inner, bool(codes), said[spot.end() :])
        if found and not (codes and re.search(r"[^\s,/|]", said[end : spot.start()])):
            begin, end = begin if codes else spot.start(), spot.end()
            codes.append(found)
            own.append(inner if inner in ("L", "R") else "")
            notes.append("" if own[-1] else inner)
        elif codes:
            break
    if sum(map(len, codes)) < 2 or all(each in (("L",), ("R",)) for each in codes):
        return None
    rest = said[end:]
    feet: tuple[str, ...] = ()
    behind = re.match(rf"[\s)]*((?:{_SIDES}\s+)*{_SIDES})(?=\s{{2,}}|\s*$|\t|\s+\d|\s*,|\s+x\d)", rest)
    if behind and len(feet_of(behind[1])) >= 2:
        feet, rest = feet_of(behind[1]), rest[behind.end() :]
    elif any(own):
        feet = tuple(own)
    name = said[:begin].strip(" \t:-(,")
    if re.search(r"\bon (?:the|last|the last)$", name):
        return None  # `Cowboy, 1/2 L on the RS RS RS`: where a figure turns
    if (turned := _TURN.search(name)) and turned.start():  # `Cowboy turn 1/2 left   DS DS ...`
        name, rest = name[: turned.start()].strip(" ,("), f"{name[turned.start() :]}, {rest.strip()}".strip(", ")
    run = re.match(r"\s*(?:[A-Z][A-Z-]+(?:\([^()]*\))?\s+)+", rest + " ")
    broken = run is not None and any(_code(word, "") for word in re.findall(r"[A-Z][A-Z-]+", run[0]))
    return Row(tuple(codes), tuple(notes), feet, name, rest.strip(" \t)"), broken, said[:begin].rstrip().endswith("("))


_IN_FULL = {
    "(hold)": "HOLD",
    "PAUSE": "HOLD",
    "B": "BA",
    "STOMP": "STO",
    "TOUCH": "TCH",
    "BRUSH": "BR",
    "STEP": "S",
} | {"SLIDE": "SL", "DRAG": "DR", "KICK": "K"}


def _coded(word: str, inner: str, within: bool, behind: str) -> tuple[str, ...]:
    """Return the codes of a word, `within` a row or before its first; `B` before no other code is a part's name."""
    if word == "B" and not within and not re.match(r"\s+[A-Z]{2}", behind):
        return ()
    if within and word in ("K", "H"):
        return _code(word, inner) or (word,)
    return _code(word.upper() if within and word in ("pause", "hold", "clap") else word, inner)


def _code(word: str, inner: str) -> tuple[str, ...]:
    """Return the codes that a word of a row stands for, `inner` being what its bracket holds; none if it is no code."""
    if said := _IN_FULL.get(word):
        return (said,)
    if word == "T" and inner:
        return ("TT",)
    capital = word.isupper() and word not in set("RADEGHKLP")
    return code(word, "clogging") if capital or ("-" in word and code(word.upper(), "clogging")) else ()


def sides(group: tuple[str, ...], said: str) -> list[str]:
    """Return the feet of the codes that a piece such as `BR-SL` has, from `L-R` or `LR`."""
    return list(said) if len(group) > 1 and "-" not in said else said.split("-")


def as_written(codes: tuple[tuple[str, ...], ...], feet: tuple[str, ...], book: Book) -> bool:
    """Say whether the feet of a row are those that can make it: then the figure by its name says the same."""
    free = feet[0][:1]
    for group, said in zip(codes, feet, strict=False):
        for each, side in zip(group, sides(group, said), strict=False):
            foot = side[:1]
            movement = book.movement({"DS": "S", "RS": "R"}.get(each, each))
            supports = bool(movement) and movement[0].senses[movement[0].usual].actor.name == "SUPPORT"
            if each == "RS":
                if foot != free:
                    return False
            elif supports or each in ("SL", "DR", "UP", "HD"):
                if foot == free:
                    return False
            elif foot != free:
                return False
            if each in ("DS", "S", "STO", "BA", "TW", "HW"):
                free = "R" if foot == "L" else "L"
    return True


def listed(text: str) -> list[str]:
    """Return a text cut at commas, semicolons, `then` and `and` that stand outside brackets."""
    out, depth, start = [], 0, 0
    for found in re.finditer(r"[()\[\]]|,|;|\.\s|\s[-/+]\s|\s&\s|\b(?:then|and)\b", text):
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
    size = "full" if not part and whole == 1 else " ".join(filter(None, (str(whole or ""), part)))
    side = f" {turn.side}" if turn.side else ""
    return f"turn {size}{side}" + (f" @{at}" if at else "")


AGAIN = re.compile(r"(?i)\(?\bx\s?(\d)\b\)?|\(?\b(\d)\s?(?:x|times)\b\)?|\(?\b(twice)\b\)?")
_ON = re.compile(r"(?i)\bon (?:the )?(\d(?:st|nd|rd|th)|first|second|third|fourth|last)\b(?! \w)")
_TIME_OF = {"first": "1st", "second": "2nd", "third": "3rd", "fourth": "4th"}
_EIGHTHS = {"1/8": 1, "1/4": 2, "1/2": 4, "3/4": 6, "quarter": 2, "half": 4, "full": 8}
_TURN = re.compile(
    r"(?i)(?:turn(?:ing|s)?\s+)?(?:by\s+)?\b(1/8|1/4|1/2|3/4|quarter|half|full)\b(?:\s+(?:turn|circle))?(?:\s+to the)?"
    r"(?:\s+(left|right|l|r)\b)?"
)


def marked(line: Line, text: str, vocabulary: Vocabulary, book: Book, assumed: Assumptions) -> Line:
    """Return a line with what stands behind it: its foot, times, a turn, a facing, and for the rest a note.

    A turn to a side that is not said, or of each of several or of them all, makes it a blank.
    """
    text = tight(plain(text))
    if not text:
        return line
    footless = not line.foot and not any(move.foot for move in line.moves)
    if footless and (line.name or line.moves) and (side := re.match(r"\(?\b(L|R)\b\)?(?:\s+|$)", text)):
        text = text[side.end() :]
        line = footed_once(line, side[1])
    for piece in re.split(r"[,;()>]", text) if footless and (line.name or line.moves) else ():
        if feet := feet_said(piece):
            line = footed_once(line, feet[0])
            text = text.replace(piece, " ", 1)
            break
    if (again := AGAIN.search(text)) and line.times == 1:
        line = evolve(line, times=int(again[1] or again[2] or 2))
        text = text.replace(again[0], " ")
    if (times := _ON.search(text)) and line.times > 1:
        line = evolve(line, on=_TIME_OF.get(times[1].casefold(), times[1].casefold()))
        text = text.replace(times[0], " each ")
    note = tight(re.sub(r"[()\"]", " ", text))
    walls = re.findall(r"[(\[]\s*(front|back)\s*(?:[)\]]|$)", text.casefold()) if _TURN.search(text) else []
    walls += [event.wall for event in events(note, vocabulary) if isinstance(event, Facing)]
    line = evolve(line, facing=walls[-1] if walls else line.facing)
    if (found := _TURN.search(text)) and line.turn is None:
        eighths = _EIGHTHS[found[1].casefold()]
        note = note.replace(found[0], " ")
        toward = re.search(r"to the (left|right)", " ".join((*line.note, note)))
        to = {"l": "left", "r": "right"}.get((found[2] or "")[:1].casefold(), toward[1].casefold() if toward else "")
        line = evolve(line, at=_turning(line, text, book))
        line = turned(line, Turn(eighths, to), text, assumed)
        note = f"{note} full turn" if line.turn and line.turn.eighths != eighths else note
        if line.blank:
            return line
    said = r"\bon each(?: of them)?\b|\beach\b|\bagain\b(?=\s*$)"
    if line.facing:
        said += (
            r"|\b(?:to )?fac(?:e|ing) (?:the )?(?:front|back)\b|"
            r",?\s*\b(?:back\s+)?to (?:face )?(?:the )?(?:front|back)\b|(?:^|(?<=\s))(?:front|back)\s*$"
        )
    note = tight(re.sub(said, " ", note, flags=re.IGNORECASE)).strip(" ,.;-&")
    return evolve(line, note=(*line.note, note) if note else line.note)


def footed_once(line: Line, foot: str) -> Line:
    """Return a figure, or a row, that a foot begins."""
    if line.name:
        return evolve(line, foot=foot)
    return evolve(line, moves=(*(evolve(move, foot=foot) for move in line.moves[:1]), *line.moves[1:]))


def footed(line: Line, feet: Sequence[str]) -> list[Line]:
    """Return a figure on the feet that are said, one for each time or the first; a blank where they are others."""
    feet = [each[:1] for each in feet]
    if len(feet) == line.times > 1 and len({*feet}) == 1:
        return [evolve(line, foot=feet[0], times=1)] * line.times
    alternate = all(one != other for one, other in itertools.pairwise(feet))
    if len(feet) == 2 and alternate and line.times == 1:
        return [evolve(line, foot=side) for side in feet]
    fits = alternate and len(feet) in (1, line.times)
    return [evolve(line, foot=feet[0]) if fits else Line(blank=True, remark=f"{line.name} {' '.join(feet)}")]


def turned(line: Line, turn: Turn, text: str, assumed: Assumptions) -> Line:
    """Return a line with its turn: each time's, or its share of a full turn that is said of several; a blank where it
    may be each one's or that of them all, or where its side isn't said."""
    alone = line.times == 1 or line.on or re.search(r"(?i)\beach\b|\bon (?:the|every) (?!spot)", text)
    if not alone and turn.eighths == EIGHTHS and line.times in (2, 4, 8):
        assumed.add(f"a full turn over {line.times} {line.name}s is shared among them")
        return evolve(line, turn=Turn(EIGHTHS // line.times, turn.side))
    if not alone or (not turn.side and turn.eighths not in (4, 8)):
        return Line(blank=True, remark=tight(f"{line.name} {text}"))
    return evolve(line, turn=turn)


def _turning(line: Line, text: str, book: Book) -> int:
    """Return the beat on which a turn is said to be made, where it is one: `on the brush`."""
    found = re.search(r"\bon the (\w+)", text)
    wanted = {"brush": "BR", "kick": "K", "stomp": "STO"}.get(found[1].casefold(), "") if found else ""
    forms = [move.code for move in line.moves]
    if not wanted or forms.count(wanted) != 1:
        return line.at
    return forms_beats(" ".join(forms[: forms.index(wanted) + 1]), book)


class Waiting:
    """A row with the feet and the beats that have been read under it, and how many times its name says.

    `stated` are the beats that stand before it, or 0; `text` is its line, `number` the number of that,
    `over` the line that names it.
    """

    def __init__(self, row: Row, stated: int, times: int, text: str, number: int = 0, over: str = "") -> None:
        self.over = over
        self.row, self.stated, self.times, self.text, self.number = row, stated, times, text, number
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
            self.beats = tuple(re.findall(r"&?\d+|&", text.replace("&a", "&")))
        else:
            return False
        return True

    def placed(self, line: Line, book: Book) -> Line:
        """Return a row on the beats that stand under it, if some of its movements need them."""
        words, (first, last) = paired(self.row.codes, self.beats), self.span
        words = (
            tuple(
                re.sub(r"^&(?=\d)", "", word) if group == ("RS",) else word
                for word, group in zip(words, self.row.codes, strict=False)
            )
            if len(words) < len(self.beats)
            else words
        )
        plainly = last and forms_beats(" ".join(move.code for move in line.moves), book) == last - first + 1
        single = all(len(group) == 1 for group in self.row.codes)
        if (
            not line.moves
            or len(words) != len(self.row.codes)
            or ("&" not in words and plainly)
            or not single
            or not first
        ):
            return line
        tick = 0
        moves = []
        for move, word in zip(line.moves, words, strict=True):
            digits = re.sub(r"\D", "", word)
            tick = (int(digits) - first + 1) * TICKS if digits else tick - tick % TICKS + TICKS // 2
            moves.append(evolve(move, tick=tick))
        ticks = [move.tick for move in moves]
        return evolve(line, moves=tuple(moves)) if ticks == sorted(set(ticks)) and ticks[0] > 0 else line


def row_text(line: Line, leads: bool = False) -> str:
    """Return the movements of a row, each with its foot, and with its count where one stands off the next."""
    off = line.syncopated or (leads and any(move.tick for move in line.moves))
    return " ".join(
        move.code
        + (f"({move.foot})" if move.foot else "")
        + (f"@{count_text(move.tick, leads)}" if off and move.code != "PV" else "")
        for move in line.moves
    )


def count_text(tick: int, leads: bool = False) -> str:
    """Return a tick as a movement's count: 1, 1&, and &1 for the half before count 1; where halves lead, &2 for 1&."""
    beat, rest = divmod(tick, TICKS)
    return (
        f"&{beat + 1}"
        if not beat or (leads and rest == TICKS // 2)
        else f"{beat}{ {0: '', 3: 'e', 6: '&', 9: 'a'}[rest] }"
    )
