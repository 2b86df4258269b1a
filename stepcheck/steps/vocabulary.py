"""The words of step descriptions, from a text file that a club can add to, and the words of a text by kind."""

import re
import unicodedata
from collections.abc import Iterator
from fractions import Fraction
from functools import lru_cache

from attrs import field, frozen

from stepcheck.books import book as books
from stepcheck.model.dance import EIGHTHS
from stepcheck.steps.words import CUES, LISTS, NUMBERS, SIDED, SIDES, SPOKEN_FEET, entries, number, shipped, words_of

_COMPOUNDS = ("DS", "RS", "HB", "TB")


@frozen
class Word:
    """What a phrase means: its kind, and the code, direction, size or name that it stands for.

    `kind` is one of verb, part, dir, noise, talk, turn, size, twice, figure, codes.
    """

    kind: str
    value: str = ""
    note: str = ""


@frozen
class Vocabulary:
    """The phrases of one tradition.

    `phrases` are the meanings by lower-case words; `combined` the codes of a movement on a part of the foot, by the set
    of its words; `places` the words before the foot that another one goes to; `sided` the words read only where a side
    is said; `footless` the codes of what both feet do, or none;
    `repeating` those that a direction alone means again: `fan R toe out, in`.
    """

    tradition: str
    phrases: dict[tuple[str, ...], Word] = field(repr=False)
    combined: dict[frozenset[str], str] = field(repr=False)
    places: frozenset[str] = frozenset()
    sided: frozenset[str] = frozenset()
    talk: frozenset[str] = frozenset()
    footless: frozenset[str] = frozenset()
    repeating: frozenset[str] = frozenset(["FAN", "SWIVEL", "SPL", "BUMP"])
    longest: int = 1
    words: frozenset[str] = field(default=frozenset(), repr=False)

    def match(self, words: list[str], at: int) -> tuple[int, Word] | None:
        """Return how many of the words from `at` on are one phrase, the longest, and what it means."""
        for size in range(min(self.longest, len(words) - at), 0, -1):
            found = self.phrases.get(tuple(words[at : at + size]))
            footed = (
                words[at + size : at + size + 1]
                and words[at + size] in SIDES
                and words[at - 1 : at][:1] not in (["l"], ["r"])
            )
            if at and words[at - 1 : at + size] == ["step", "lock", "step"]:
                continue  # three steps, and no figure behind a step
            moves = footed and all(self.phrases.get((word,), Word("")).kind == "verb" for word in words[at : at + size])
            if found and (found.note != SPELLED or moves or _several(words, at, size, found)):
                return size, found
        return None


SPELLED = "said by steps"
"""The note of a figure such as Step Touch, whose words are steps unless several are spoken of."""


def _forms(words: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    """Yield the other forms of a movement's word: walks and walking of walk, toe fans of toe fan, kicks of kick."""
    yield _plural(words)
    if len(words) == 1:
        stem = words[0]
        short = stem[:-1] if stem.endswith("e") else stem
        twice = short + short[-1] if re.search(r"[^aeiou][aeiou][bdgmnpt]$", short) else short
        yield from {(short + "ing",), (twice + "ing",)}
    yield (_plural(words[:1])[0], *words[1:])


def _plural(words: tuple[str, ...]) -> tuple[str, ...]:
    return (*words[:-1], words[-1] + ("es" if words[-1].endswith(("ch", "sh", "s", "x")) else "s"))


@lru_cache(maxsize=8)
def load(tradition: str, more: str = "", path: str = "vocabulary") -> Vocabulary:
    """Return the vocabulary of a tradition, "line" or "clogging", with what the text `more` adds to the shipped one.

    Raises:
        SourceError: `more` is not written as a vocabulary is; `path` is what to call it by.
    """
    phrases: dict[tuple[str, ...], Word] = {}
    combined: dict[frozenset[str], str] = {}
    lists: dict[str, set[str]] = {name: set() for name in LISTS}
    book = books.load(tradition)
    for section, meaning, phrase in (*shipped(), *entries(more, path)):
        kind, _, of = section.partition(" of ")
        words = tuple(phrase.split())
        if section in CUES or (of in ("line", "clogging") and of != tradition):
            continue
        if section in LISTS:
            lists[section].add(phrase)
        if section == "on a part of the foot":
            combined[frozenset(words)] = meaning
            for word in words:
                phrases.setdefault((word,), Word("part" if word in lists["parts of the foot"] else "verb"))
        elif (meant := _meant(kind, meaning, book)) and (kind not in _LATE or words not in phrases):
            phrases[words] = meant
            if meant.kind == "figure":
                phrases[_plural(words)] = meant
    _derived(phrases, book)
    places, sided, talk = (frozenset(lists[name]) for name in ("places", "with a side", "facing talk"))
    codes = {word.value for word in phrases.values() if word.kind == "verb"} | set(combined.values())
    footless = frozenset(each for each in codes if _actor(each, book) in ("BOTH", "NOBODY"))
    known = frozenset(word for phrase in phrases for word in phrase if word.isalpha()) | {*SPOKEN_FEET, "weight"}
    return Vocabulary(
        tradition, phrases, combined, places, sided, talk, footless, longest=max(map(len, phrases)), words=known
    )


_KINDS = {"small words": "noise", "facing talk": "talk", "turning words": "turn", "directions": "dir", "sizes": "size"}
_KINDS |= {"twice": "twice", "codes": "codes"}
_LATE = ("small words", "facing talk", "turning words", "directions")
"""The sections whose words mean what an earlier one says, if it has them."""


def _meant(section: str, meaning: str, book: books.Book) -> Word | None:
    """Return what an entry of a section means, None for one that only lists words."""
    if section == "movements":
        code, _, note = meaning.partition(",")
        return Word("verb", code.strip(), note.strip())
    if section == "figures":
        return Word("figure", meaning) if book.find(meaning) else None
    return Word(_KINDS[section], meaning) if section in _KINDS else None


def _derived(phrases: dict[tuple[str, ...], Word], book: books.Book) -> None:
    """Add the other forms of movements, phrases with hyphens, and the names of the book."""
    for words, meant in [*phrases.items()]:
        for form in _forms(words) if meant.kind == "verb" and meant.value else ():
            phrases.setdefault(form, meant)
    for words, meant in [*phrases.items()]:
        phrases.setdefault(("-".join(words),), meant)
    single = {words[0]: word.kind for words, word in phrases.items() if len(words) == 1}
    for name in book.names():
        for words in {tuple(name.casefold().replace("-", " ").split()), tuple(name.casefold().split())}:
            made_of = {"size" if "/" in word else single.get(word, "") for word in words}
            whole = "" in made_of or (len(words) > 1 and "figure" in made_of and bool(made_of & {"verb", "codes"}))
            sized = not whole and "size" in made_of  # `pivot half` is a pivot, and how far it turns
            if whole or (not sized and (len(words) > 1 or "-" in words[0])):
                named = Word("figure", name, "" if whole else SPELLED)
                phrases.setdefault(words, named)
                phrases.setdefault(_plural(words), named)


def _actor(code: str, book: books.Book) -> str:
    found = book.movement(code)
    return found[0].senses[found[0].usual].actor.name if found else ""


def moving(text: str, vocabulary: Vocabulary) -> bool:
    """Say whether a text has the word of a movement, a figure or a code."""
    return any(kind in ("verb", "figure", "codes", "part") for kind, *_ in pieces(plain(text), vocabulary))


@lru_cache(maxsize=1 << 12)
def code(word: str, tradition: str) -> tuple[str, ...]:
    """Return the codes that a word in capitals stands for, as in DS, BR-SL or STO; none if it is no row of codes."""
    book = books.load(tradition)
    vocabulary = load(tradition)
    found = vocabulary.phrases.get((word.casefold(),))
    if found and found.kind == "codes":
        return tuple(found.value.split())
    pieces = re.findall("DS|RS", word) if re.fullmatch("(?:DS|RS){2,}", word) else re.split("-", word)
    pieces = ["SLR" if piece == "SLUR" else piece for piece in pieces]
    if all(piece.isupper() and (piece in _COMPOUNDS or book.movement(piece)) for piece in pieces):
        return tuple(pieces)
    return ()


_TOKEN = re.compile(r"(?i)@-?\d+|\d+/\d+|\d{1,2}:\d\d|\d+(?:st|nd|rd|th)?|[^\W\d_][\w']*(?:-[^\W\d_][\w']*)*|\S")
_FRACTIONS = str.maketrans({"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅛": " 1/8", "\t": "  "}) | str.maketrans(
    "’‘–—×“”•", "''--x\"\" "
)
_BARS = re.compile(r"^\s*\|\s*([^|]{1,9}?)\s*\|")
_WITH = re.compile(r"(?i:\bw/\s*)|\bw (?=[a-z]|\d/\d|[½¼¾])|(?<=[a-z] )w\.\s+")
_JOINED = re.compile(r"(?<=[a-z])-(?=(?:[LR]|left|right)\b)|(?i:(?<=\bwt)\.\s*)")
_DEGREES = re.compile(
    r"(?i)(?:\b(turn\w*|pivot)\s+)?(?<![-&\w])(45|90|180|270|360)\b"
    rf"(?:\s*(?:degrees?|°|(?=\W*$))|(?(1)(?=\s+(?:to the )?{SIDED}\b)|(?!)))"
)
PARTS_OF_A_TURN = {"45": "1/8", "90": "1/4", "180": "1/2", "270": "3/4", "360": "full"}
_WIDE = re.compile(r"\s{7,}")
_OCLOCK = re.compile(r"(?i)\b(1[0-2]|[1-9])\s*o'?\s*clock\b|(?<=[ (\[])@\s?(12|3|6|9)(?::00)?(?=\W*$)")
UNSEEN = ("Cc", "Cf", "Cs", "Zl", "Zp")
"""The Unicode categories of control and format characters."""
Piece = tuple[str, str, Word | None, str]  # kind, value, word, text
"""A word or phrase: its kind, what it stands for, its entry in the vocabulary, its text."""


def visible(text: str) -> str:
    """Return a text whose control and format characters are spaces, tabs and ends of lines left alone."""
    return "".join(" " if unicodedata.category(c) in UNSEEN and c not in "\t\n" else c for c in text)


def tight(text: str) -> str:
    """Return a text with single spaces between its words."""
    return " ".join(text.split())


@lru_cache(maxsize=1 << 10)
def plain(text: str) -> str:
    """Return a text with its typographic signs as plain ones: fractions, quotation marks, dashes."""
    text = _BARS.sub(r"[\1]", text)
    text = _WITH.sub("with ", re.sub(r"(?i)\bw/o\b", "without", _JOINED.sub(" ", text)))
    text = _DEGREES.sub(lambda found: f"{found[1]} {PARTS_OF_A_TURN[found[2]]}" if found[1] else " diagonally ", text)
    return _WIDE.sub(" " * 6, text.translate(_FRACTIONS))


def hours(text: str) -> str:
    """Return a text with plain signs, its times of the clock in digits: `3 o'clock` and `@3` behind it as `3:00`."""
    return _OCLOCK.sub(lambda found: f"{found[1] or found[2]}:00", plain(text))


def pieces(text: str, vocabulary: Vocabulary) -> list[Piece]:
    """Return the words of a text, each with its kind: foot, feet, verb, dir, figure, codes, turn, sep, word, …"""
    raw = [word for found in _TOKEN.finditer(text) for word in _parted(found[0], vocabulary)]
    words = [mended(word.casefold().strip("."), vocabulary) or word for word in raw]
    out: list[Piece] = []
    at = 0
    while at < len(raw):
        piece, size = _piece(raw, words, at, vocabulary)
        before = -2 if out and out[-1][0] == "foot" else -1
        crosses = out[before][2] if len(out) >= -before else None
        if piece[0] == "figure" and crosses and (crosses.kind, crosses.note) == ("verb", "cross"):
            out[before] = ("dir", "cross", None, out[before][3])  # `cross L toe strut`
        crossed = piece[0] == "verb" and piece[2] and piece[2].note == "cross" and "over" in piece[3].casefold()
        if crossed and _figure_before(out) and [*raw, "."][at + size] in ",;/&+()[].-":
            piece = ("dir", "over", None, piece[3])  # `toe strut cross over`
        if piece[1] in ("change", "chg") and any(each[3].casefold() == "ball" for each in out[-4:]):
            piece = ("verb", "S", Word("verb", "S"), piece[3])  # `kick R, ball R, change L`
        out.append(piece)
        at += size
    return list(_turned(out))


def _figure_before(said: list[Piece]) -> bool:
    """Say whether a figure stands before, and no sign behind it."""
    kinds = [kind for kind, *_ in reversed(said)]
    return "figure" in kinds and "sep" not in kinds[: kinds.index("figure")]


def mended(word: str, vocabulary: Vocabulary) -> str:
    """Return a word without its slip, where one letter doubled, left out or swapped with the next makes it just one
    word of the vocabulary, or the only one whose vowels it leaves out, `trpls`; else the word itself."""
    if len(word) > 2 and word.isalpha() and word not in vocabulary.words and not re.search("[aeiou]", word):
        whole = {each for each in vocabulary.words if re.sub("(?<!^)[aeiou]", "", each) == word}
        return next(iter(whole)) if len(whole) == 1 else word
    if len(word) < 4 or word in vocabulary.words or word in NUMBERS or not word.isalpha():
        return word
    swapped = {word[:at] + word[at + 1] + word[at] + word[at + 2 :] for at in range(1, len(word) - 1)}
    longer = {word[:at] + word[at + 1 :] for at in range(1, len(word))} if len(word) > 5 else set()
    found = vocabulary.words & (swapped | longer)
    if len(word) > 5:
        found |= {
            each
            for each in vocabulary.words
            if len(each) == len(word) + 1
            and each[0] == word[0]
            and word in {each[:at] + each[at + 1 :] for at in range(1, len(each))}
        }
    return next(iter(found)) if len(found) == 1 else word


def _piece(raw: list[str], words: list[str], at: int, vocabulary: Vocabulary) -> tuple[Piece, int]:
    """Return what the word at a place is, or the phrase that begins there, and how many words that has."""
    word, low = raw[at], words[at]
    size, meant = vocabulary.match(words, at) or (1, None)
    low = "and" if low == "n" and vocabulary.tradition == "line" else low
    separates = low in ("then", "and") or word in ",;/&+:()[]!?=.-"
    spoken = words[max(0, at - 2) : at] == ["on", "the"] and low != "ball"  # `turn on the brush` speaks of a movement
    times = _TIMES.fullmatch(" ".join(words[at : at + 2])) or _TIMES.fullmatch(low)
    if meant and size > 1 and (separates or not (meant.kind == "figure" and spoken)):
        return (meant.kind, meant.value, meant, " ".join(raw[at : at + size])), size
    if separates:
        return ("sep", low, None, word), 1
    if times:
        return ("twice", str(number(times[1] or times[2])), None, times[0]), len(times[0].split())
    if kind := _plain_kind(word, low, meant, vocabulary.tradition):
        return (*kind, None, word), 1
    if meant and not (words[max(0, at - 1)] == "the" and (meant.kind == "verb" or spoken)):
        return (meant.kind, meant.value, meant, word), 1
    return ("word", low, None, word), 1


def _plain_kind(word: str, low: str, meant: Word | None, tradition: str) -> tuple[str, str] | None:
    """Return the kind and value of a word that no vocabulary is needed for: feet, codes, sizes, times, numbers."""
    if low in SPOKEN_FEET:
        return "foot", SPOKEN_FEET[low]
    if (re.fullmatch(r"[LR](?:-?[LR])+", word) and low not in ("rr", "ll")) or word in ("RR", "LL"):
        return "feet", word.replace("-", "")
    if (codes := code(word, tradition) if tradition == "clogging" else ()) and not (
        meant and meant.kind in ("codes", "figure")  # a figure of the sheet: `Slur L, R`
    ):
        return "codes", " ".join(codes)
    if re.fullmatch(r"@-?\d+", word):
        return "nth", word[1:]
    for kind, pattern in (("size", r"\d+/\d+"), ("clock", r"\d{1,2}:\d\d"), ("number", r"\d+")):
        if re.fullmatch(pattern, word):
            return kind, word
    return None


_TIMES = re.compile(rf"x ?(\d)|(\d|{'|'.join(NUMBERS)}) ?(?:x|times)")


def _several(words: list[str], at: int, size: int, word: Word) -> bool:
    """Say whether several figures are spoken of: `4 Step Touches`, `Step Touch x4`."""
    before, behind = words[at - 1] if at else "", " ".join(words[at + size : at + size + 2])
    many = words[at + size - 1] != word.value.casefold().replace("-", " ").split()[-1]
    return many or before.isdecimal() or before in NUMBERS or _TIMES.match(behind) is not None or "twice" in behind


def _parted(word: str, vocabulary: Vocabulary) -> list[str]:
    """Return the words of one with hyphens, where each is known and the whole isn't: `step-touch`."""
    parts = word.split("-")
    if len(parts) < 2 or not all(parts) or (word.casefold(),) in vocabulary.phrases or code(word, vocabulary.tradition):
        return [word]
    known = [(part.casefold(),) in vocabulary.phrases or part.casefold() in SPOKEN_FEET for part in parts]
    feet = re.fullmatch(r"[LR](?:-?[LR])+", word)
    meant = [vocabulary.phrases.get((part.casefold(),), Word("")) for part in parts]
    named = "-".join(word.note or word.value for word in meant)
    if len(parts) > 2 and (named,) in vocabulary.phrases:
        return [named]  # `bhd-sd-x`
    moved = ("verb", "dir", "part") if vocabulary.tradition == "line" else ("verb", "dir")
    if len(parts) > 2 and all(word.kind in moved for word in meant):
        return [said for each in parts for said in (",", each)][1:]  # `cross-back-side-fwd`
    whole = tuple(map(str.casefold, parts)) in vocabulary.phrases  # `V-step`
    return parts if (all(known) or whole) and not feet else [word]


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
        if at < len(pieces) and pieces[at][0] == "size" and (size := eighths(pieces[at][1])):
            at += 1
            end = at
            while end < len(pieces) and (
                pieces[end][0] == "turn" or pieces[end][3].casefold() in ("to", "the", "over")
            ):
                end += 1
            if not side and end < len(pieces) and _sided(pieces[end : end + 2]):
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


def _sided(later: list[Piece]) -> bool:
    """Say whether a foot behind a turn is its side: also by its short name, `1/2 turn RF stepping RF beside`, where no
    word behind it says what that foot does, `1/4 turn RF fwd`."""
    foot, behind = later[0], later[1:]
    moves = bool(behind) and behind[0][0] in ("dir", "verb", "part") and not behind[0][3].casefold().endswith("ing")
    return foot[0] == "foot" and (foot[3].casefold() in SIDES or not moves)


_SIZES = words_of("sizes")


def eighths(size: str) -> int:
    """Return how many eighths of a turn a fraction, a whole number or a word is, 0 if it is no turn."""
    try:
        found = Fraction(_SIZES.get(size.casefold(), size)) * EIGHTHS
    except (ValueError, ZeroDivisionError):
        return 0
    return int(found) if found.denominator == 1 and 0 < found <= 24 else 0
