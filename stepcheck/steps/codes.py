"""Rows of clogging codes, `DS DS RS RS` with feet beside or below, and the marks behind a cue, `x2, turn 1/4 L`."""

import re

from attrs import evolve, frozen

from stepcheck.books.book import Book
from stepcheck.books.placing import last_beat, place
from stepcheck.language.grammar import LineError
from stepcheck.language.parser import parse_forms
from stepcheck.model.dance import TICKS
from stepcheck.steps.outline import Line
from stepcheck.steps.vocabulary import code, plain

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


def codes_of(row: Row) -> str:
    """Return the codes of a row alone."""
    return " ".join(each for group in row.codes for each in group)


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
    """Return the cells under a row, one for each code, where each RS has two, its rock and its step, or a clap has
    none."""
    still = [group in (("CLAP",), ("HOLD",)) for group in codes]
    if any(still) and len(cells) == len(codes) - sum(still):
        feet = iter(cells)
        return tuple("" if each else next(feet) for each in still)
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
    said = re.sub(r"\bR(\([a-z ]+\))\s+S\b(?!\()", r"RS\1", said)  # `R(xif) S`
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
    behind = re.match(rf"[\s)]*((?:{_SIDES}\s+)*{_SIDES})(?=\s{{2,}}|\s*$|\t|\s+\(?\d|\s*,|\s+x\d)", rest)
    if behind and len(feet_of(behind[1])) >= 2:
        feet, rest = feet_of(behind[1]), rest[behind.end() :]
    elif any(own):
        feet = tuple(own)
    elif (inside := re.search(r"\(([^()]*)\)", rest)) and is_feet(inside[1]) and len(feet_of(inside[1])) > 1:
        feet, rest = feet_of(inside[1]), rest.replace(inside[0], " ")
    name = said[:begin].strip(" \t:-(,")
    if re.search(r"\bon (?:the|last|the last)$", name):
        return None  # `Cowboy, 1/2 L on the RS RS RS`: where a figure turns
    if (turned := TURN.search(name)) and turned.start():  # `Cowboy turn 1/2 left   DS DS ...`
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
    # `DS Brush DS RS`, `DS b(xib) b(ots)`
    inside = within and word.upper() in _IN_FULL and (re.match(r"\s+[A-Z]{2}\b", behind) or (word == "b" and inner))
    return _code(word.upper() if inside or (within and word in ("pause", "hold", "clap")) else word, inner)


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


TURN = re.compile(
    r"(?i)(?:turn(?:ing|s)?\s+)?(?:by\s+)?\b(1/8|1/4|1/2|3/4|quarter|half|full)\b(?:\s+(?:turn|circle))?(?:\s+to the)?"
    r"(?:\s+(left|right|l|r)\b)?"
)


class Waiting:
    """A row with the feet and the beats that have been read under it, and how many times its name says.

    `stated` are the beats that stand before it, or 0; `text` is its line, `number` the number of that.
    """

    def __init__(self, row: Row, stated: int, times: int, text: str, number: int = 0) -> None:
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
        cells = text.split()
        if "-" in cells and all(re.fullmatch(r"[LR]{1,2}|-", cell) for cell in cells):
            self.feet = tuple(cell.strip("-") for cell in cells)  # a clap has no foot
        elif is_feet(text):
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
