"""The words of step descriptions: a text file, which a club can add to, as a table of phrases."""

import re
from collections.abc import Iterator
from functools import lru_cache
from importlib.resources import files

from attrs import field, frozen

from stepcheck.books import book as books
from stepcheck.model.source import SourceError

SECTIONS = (
    "movements", "movements of line", "movements of clogging", "with a side", "parts of the foot", "on a part of the foot", "directions", "places",
    "small words", "facing talk", "turning words", "sizes", "twice", "figures of line", "figures of clogging",
    "codes of clogging",
)  # fmt: skip
LISTS = ("with a side", "parts of the foot", "places", "small words", "facing talk", "turning words")
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

    `phrases` are the meanings by lower-case words; `combined` the codes of a movement on a part of the foot, by the set of its
    words; `places` the words before the foot that another one goes to; `sided` the words read only where a side is said.
    """

    tradition: str
    phrases: dict[tuple[str, ...], Word] = field(repr=False)
    combined: dict[frozenset[str], str] = field(repr=False)
    places: frozenset[str] = frozenset()
    sided: frozenset[str] = frozenset()
    talk: frozenset[str] = frozenset()
    longest: int = 1

    def match(self, words: list[str], at: int) -> tuple[int, Word] | None:
        """Return how many of the words from `at` on are one phrase, the longest, and what it means."""
        for size in range(min(self.longest, len(words) - at), 0, -1):
            found = self.phrases.get(tuple(words[at : at + size]))
            if found:
                return size, found
        return None


def _entries(text: str, path: str) -> Iterator[tuple[str, str, str]]:
    """Yield the section, meaning and phrase of each word of a vocabulary."""
    section = ""
    for number, raw in enumerate(text.splitlines(), 1):
        line = raw.split("#")[0].rstrip()
        if not line:
            continue
        if not line[0].isspace():
            section = line.removesuffix(":").strip()
            if section not in SECTIONS or not line.endswith(":"):
                raise SourceError(f"{path}:{number}: {line} is no section of a vocabulary: {', '.join(SECTIONS)}")
            continue
        meaning, mark, rest = line.strip().partition(":")
        if section in LISTS:
            meaning, rest = "", line
        elif not mark or not section:
            raise SourceError(f"{path}:{number}: an entry is a meaning, a colon and words: {line.strip()}")
        for phrase in rest.split(","):
            if phrase.strip():
                yield section, meaning.strip(), phrase.strip().casefold()


@lru_cache(maxsize=8)
def load(tradition: str, more: str = "", path: str = "vocabulary") -> Vocabulary:
    """Return the vocabulary of a tradition, "line" or "clogging", with what the text `more` adds to the shipped one.

    Raises:
        SourceError: `more` is not written as a vocabulary is; `path` is what to call it by.
    """
    shipped = files("stepcheck.drafts").joinpath("vocabulary.txt").read_text(encoding="utf-8")
    phrases: dict[tuple[str, ...], Word] = {}
    combined: dict[frozenset[str], str] = {}
    lists: dict[str, set[str]] = {name: set() for name in LISTS}
    book = books.load(tradition)
    for section, meaning, phrase in (*_entries(shipped, "vocabulary"), *_entries(more, path)):
        kind, _, of = section.partition(" of ")
        if of in ("line", "clogging") and of != tradition:
            continue
        words = tuple(phrase.split())
        if section in LISTS:
            lists[section].add(phrase)
            kinds = {"small words": "noise", "facing talk": "talk", "turning words": "turn"}
            if section in kinds and words not in phrases:
                phrases[words] = Word(kinds[section])
        elif kind == "movements":
            code, _, note = meaning.partition(",")
            phrases[words] = Word("verb", code.strip(), note.strip())
        elif section == "on a part of the foot":
            combined[frozenset(words)] = meaning
            for word in words:
                part = word in lists["parts of the foot"]
                phrases.setdefault((word,), Word("part") if part else Word("verb"))
        elif kind == "directions":
            phrases.setdefault(words, Word("dir", meaning))
        elif section == "sizes":
            phrases[words] = Word("size", meaning)
        elif section == "twice":
            phrases[words] = Word("twice", meaning)
        elif kind == "figures" and book.find(meaning):
            phrases[words] = Word("figure", meaning)
        elif kind == "codes":
            phrases[words] = Word("codes", meaning)
    single = {words[0]: word.kind for words, word in phrases.items() if len(words) == 1}
    for name in book.names():
        for words in {tuple(name.casefold().replace("-", " ").split()), tuple(name.casefold().split())}:
            made_of = {"size" if "/" in word else single.get(word, "") for word in words}
            if "" in made_of or (len(words) > 1 and {"figure", "verb"} <= made_of):
                phrases.setdefault(
                    words, Word("figure", name)
                )  # others are said by steps, as Step Touch, and read as steps
    longest = max(map(len, phrases))
    places, sided, talk = (frozenset(lists[name]) for name in ("places", "with a side", "facing talk"))
    return Vocabulary(tradition, phrases, combined, places, sided, talk, longest)


@lru_cache(maxsize=1 << 12)
def code(word: str, tradition: str) -> tuple[str, ...]:
    """Return the codes that a word in capitals stands for, as in DS, BR-SL or STO; none if it is no row of codes."""
    book = books.load(tradition)
    vocabulary = load(tradition)
    found = vocabulary.phrases.get((word.casefold(),))
    if found and found.kind == "codes":
        return tuple(found.value.split())
    pieces = re.split("-", word)
    if all(piece.isupper() and (piece in _COMPOUNDS or book.movement(piece)) for piece in pieces):
        return tuple(pieces)
    return ()
