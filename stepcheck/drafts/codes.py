"""Rows of codes, `DS DS RS RS` with `L R LR LR` beside or below: codes, feet, and the words around them."""

import re

from attrs import frozen

from stepcheck.books.book import Book
from stepcheck.books.placing import last_beat, place
from stepcheck.drafts.vocabulary import code
from stepcheck.drafts.words import plain
from stepcheck.language.measures import LineError
from stepcheck.language.parser import parse_forms

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


def pieces(text: str) -> list[str]:
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
