"""The words of a text, each with its kind: feet, movements, figures, directions, turns, and what is none of them."""

import re
from collections.abc import Iterator
from fractions import Fraction

from stepcheck.drafts.vocabulary import Vocabulary, Word, code
from stepcheck.model.dance import EIGHTHS

SIDES = {"l": "L", "r": "R", "left": "L", "right": "R"}
_FEET = SIDES | {"lf": "L", "rf": "R"}
_TOKEN = re.compile(r"\d+/\d+|\d{1,2}:\d\d|\d+(?:st|nd|rd|th)?|[^\W\d_][\w']*(?:-[^\W\d_][\w']*)*|\S", re.IGNORECASE)
_FRACTIONS = str.maketrans(
    {
        "½": " 1/2",
        "¼": " 1/4",
        "¾": " 3/4",
        "⅛": " 1/8",
        "’": "'",
        "‘": "'",
        "–": "-",
        "—": "-",
        "×": "x",
        "“": '"',
        "”": '"',
        "•": " ",
        "\t": "  ",
    }
)
_STOPS = re.compile(r"\b(diag|fwd|bwd|bk|tog|rec|approx|opp|diagonally)\.(?=\s+\w)", re.IGNORECASE)
_WITH = re.compile(r"\bw/\s*")
_JOINED = re.compile(r"(?<=[a-z])-(?=(?:[LR]|left|right)\b)")
_DEGREES = re.compile(r"(?:\b(turn\w*|pivot)\s+)?\b(45|90|180|270|360)\b\s*(?:degrees?|°|(?=\W*$))", re.IGNORECASE)
_PARTS = {"45": "1/8", "90": "1/4", "180": "1/2", "270": "3/4", "360": "full"}
_WIDE = re.compile(r"\s{7,}")
Piece = tuple[str, str, Word | None, str]  # kind, value, word, text
"""A word or phrase: its kind, what it stands for, its entry in the vocabulary, its text."""


def plain(text: str) -> str:
    """Return a text with its typographic signs as plain ones: fractions, quotation marks, dashes."""
    text = _WITH.sub("with ", _JOINED.sub(" ", text))
    text = _DEGREES.sub(lambda found: f"{found[1]} {_PARTS[found[2]]}" if found[1] else " diagonally ", text)
    return _WIDE.sub(" " * 6, _STOPS.sub(r"\1", text.translate(_FRACTIONS)))


def pieces(text: str, vocabulary: Vocabulary) -> list[Piece]:
    """Return the words of a text, each with its kind: foot, feet, verb, dir, figure, codes, turn, sep, word, …"""
    raw = [found[0] for found in _TOKEN.finditer(text)]
    words = [word.casefold().strip(".") or word for word in raw]
    out: list[Piece] = []
    at = 0
    while at < len(raw):
        word, low = raw[at], words[at]
        matched = vocabulary.match(words, at)
        codes = code(word, vocabulary.tradition) if vocabulary.tradition == "clogging" else ()
        if low in ("then", "and") or word in ",;/&+:()[]!?=" or (word == "." or word == "-"):
            two = vocabulary.match(words, at)
            if two and two[0] > 1:
                out.append((two[1].kind, two[1].value, two[1], " ".join(raw[at : at + two[0]])))
                at += two[0]
                continue
            out.append(("sep", low, None, word))
        elif (
            matched
            and matched[0] > 1
            and not (matched[1].kind == "figure" and words[max(0, at - 2) : at] == ["on", "the"])
        ):
            out.append((matched[1].kind, matched[1].value, matched[1], " ".join(raw[at : at + matched[0]])))
            at += matched[0]
            continue
        elif low in _FEET:
            out.append(("foot", _FEET[low], None, word))
        elif re.fullmatch(r"[LR](?:-?[LR])+", word) and low not in ("rr", "ll") or word in ("RR", "LL"):
            out.append(("feet", word.replace("-", ""), None, word))
        elif codes and not (matched and matched[1].kind == "codes"):
            out.append(("codes", " ".join(codes), None, word))
        elif re.fullmatch(r"\d+/\d+", word):
            out.append(("size", word, None, word))
        elif re.fullmatch(r"\d{1,2}:\d\d", word):
            out.append(("clock", word, None, word))
        elif word.isdecimal():
            out.append(("number", word, None, word))
        elif (
            matched
            and words[max(0, at - 1)] == "the"
            and (matched[1].kind == "verb" or words[at - 2 : at - 1] == ["on"])
        ):
            out.append(("word", low, None, word))  # a movement spoken of, as in "turn on the brush"
        elif matched:
            out.append((matched[1].kind, matched[1].value, matched[1], word))
        else:
            out.append(("word", low, None, word))
        at += 1
    return list(_turned(out))


def word_kinds(text: str, vocabulary: Vocabulary) -> list[Piece]:
    """Return the words of a text, each with its kind."""
    return pieces(plain(text), vocabulary)


def _turned(pieces: list[Piece]) -> Iterator[Piece]:
    """Yield the pieces with every turn as one: `1/4 L`, `½ turn right`, `turning 1/4`, `left 1/4`."""
    at = 0
    while at < len(pieces):
        start = at
        while at < len(pieces) and (
            pieces[at][0] == "turn" or (at > start and pieces[at][3].casefold() in ("a", "by", "another"))
        ):
            at += 1
        side = ""
        if at > start and at + 1 < len(pieces) and pieces[at][0] == "foot" and pieces[at + 1][0] == "size":
            side = pieces[at][1]
            at += 1
        if at < len(pieces) and pieces[at][0] == "size" and (size := _eighths(pieces[at][1])):
            at += 1
            end = at
            while end < len(pieces) and (
                pieces[end][0] == "turn" or pieces[end][3].casefold() in ("to", "the", "over")
            ):
                end += 1
            if not side and end < len(pieces) and pieces[end][0] == "foot" and pieces[end][3].casefold() in SIDES:
                side = pieces[end][1]
                at = end + 1
            else:
                while at < len(pieces) and pieces[at][0] == "turn":
                    at += 1
            said = " ".join(piece[3] for piece in pieces[start:at])
            yield ("turned", f"{size} {side}", None, said)
            continue
        yield from pieces[start : max(at, start + 1)]
        at = max(at, start + 1)


def _eighths(size: str) -> int:
    try:
        found = Fraction(size) * EIGHTHS
    except (ValueError, ZeroDivisionError):
        return 0
    return int(found) if found.denominator == 1 and 0 < found <= 24 else 0
