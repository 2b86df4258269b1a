"""Words that all readers know: the sections of the vocabulary, and patterns of numbers, ordinals, feet and sides."""

import re
from collections.abc import Iterator
from functools import lru_cache
from importlib.resources import files

from stepcheck.language.grammar import COUNTED
from stepcheck.model.source import SourceError

SECTIONS = (
    "movements",
    "movements of line",
    "movements of clogging",
    "with a side",
    "parts of the foot",
    "on a part of the foot",
    "directions",
    "directions of line",
    "places",
    "small words",
    "facing talk",
    "turning words",
    "sizes",
    "twice",
    "figures of line",
    "figures of clogging",
    "codes of clogging",
)
CUES = (
    "words of a row",
    "small codes",
    "places of a row",
    "otherwise",
    "manner",
    "addressed",
    "talk",
    "toward",
    "body",
    "repeat",
    "short names",
    "columns of line",
    "columns of clogging",
    "closing names",
    "ordinals",
)
"""Sections that only the shipped vocabulary has; `words_of` gives their words."""
LISTS = (
    "with a side",
    "parts of the foot",
    "places",
    "small words",
    "facing talk",
    "turning words",
    *(each for each in CUES if each not in ("words of a row", "short names", "columns of line", "columns of clogging")),
)
"""Sections that list words, and give them no meaning."""


def entries(text: str, path: str, sections: tuple[str, ...] = SECTIONS) -> Iterator[tuple[str, str, str]]:
    """Yield the section, meaning and phrase of each word of a vocabulary that has some of these sections."""
    section = ""
    for at, raw in enumerate(text.splitlines(), 1):
        line = raw.split("#")[0].rstrip()
        if not line:
            continue
        if not line[0].isspace():
            section = line.removesuffix(":").strip()
            if section not in sections or not line.endswith(":"):
                raise SourceError(f"{path}:{at}: {line} is no section of a vocabulary: {', '.join(sections)}")
            continue
        meaning, mark, rest = line.strip().partition(":")
        if section in LISTS:
            meaning, rest = "", line
        elif not mark or not section:
            raise SourceError(f"{path}:{at}: an entry is a meaning, a colon and words: {line.strip()}")
        for phrase in rest.split(","):
            if phrase.strip():
                yield section, meaning.strip(), phrase.strip().casefold()


@lru_cache(maxsize=1)
def shipped() -> tuple[tuple[str, str, str], ...]:
    """Return the section, meaning and phrase of each word of the shipped vocabulary."""
    text = files("stepcheck.steps").joinpath("vocabulary.txt").read_text(encoding="utf-8")
    return tuple(entries(text, "vocabulary", SECTIONS + CUES))


def words_of(section: str) -> dict[str, str]:
    """Return the phrases of a section of the shipped vocabulary, with what each means, "" in a mere list."""
    return {phrase: meaning for of, meaning, phrase in shipped() if of == section}


_UNITS = (*COUNTED, "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen")
_TENS = ("twenty", "thirty", "forty", "fifty", "sixty")
NUMBERS = {word: at for at, word in enumerate(_UNITS, 1)} | {
    f"{ten}{f'-{_UNITS[unit - 1]}' if unit else ''}": 20 + 10 * at + unit
    for at, ten in enumerate(_TENS)
    for unit in range(10)
}
NUMBER = rf"(\d{{1,3}}|(?:{'|'.join(sorted(NUMBERS, key=len, reverse=True))})\b(?!-[a-z]))"
"""A number in digits or as a word, as a pattern with one group."""


def number(word: str) -> int:
    """Return the number that digits or a word name."""
    return int(word) if word.isdecimal() else NUMBERS[word.casefold()]


ORDINALS = {word: at for at, word in enumerate(words_of("ordinals"), 1)}
NTHS = ("1st", "2nd", "3rd", "4th")
"""The first ordinals in digits."""
ORDINAL = rf"(?:{'|'.join(ORDINALS)}|\d{{1,2}}(?:st|nd|rd|th))\b"
"""An ordinal as a word or in digits, as a pattern."""


def ordinal(word: str) -> int:
    """Return which one an ordinal says."""
    return ORDINALS.get(word.casefold()) or int(re.sub(r"\D", "", word))


TIMES = rf"(?:[x\u00d7]\s?(\d{{1,2}})|{NUMBER}\s?(?:x|(?:more )?times)|(twice))(?!\w)"
"""How often something is danced, as a pattern with three groups."""


def often(*said: str | None) -> int:
    """Return how often something is danced: what the first group says that says anything, once where none does."""
    word = next(filter(None, said), "1").casefold()
    return number(word) if word.isdecimal() or word in NUMBERS else 2


CLOSES = tuple(words_of("closing names"))
ROMANS = ("I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX", "X", "XI", "XII")
UNITS = r"(?:beats?|counts?|c(?:ts?|nts?)\b\.?|bts?\b\.?|(?<=\d)(?-i:[bc])\b|(?<=\d )(?-i:c)\b)"
"""What dancers count, as a pattern."""
SECTION = r"(?:sections?|sect?|sets?|parts?|blocks?|s)"
"""What a section of a line dance is called before its number, as a pattern without regard to case."""
SIZE = r"(?:[1-7]/8|[1-3]/4|1/2|[\u00bc-\u00be]|half|quarter|full)"
"""How far something turns, as a pattern."""
SIDES = {"l": "L", "r": "R", "left": "L", "right": "R"}
SPOKEN_FEET = SIDES | {"lf": "L", "rf": "R", "lt": "L", "rt": "R"}
SIDED = r"(?:left|right|[lr])"
"""A side, as a pattern without regard to case."""
FOOT = r"(?:left|right|[lr][ft]?)"
"""A foot, as a pattern without regard to case."""
BARS = r"(?:measures?|meas\.?|bars?)"
METER = re.compile(
    rf"(?i)\b{NUMBER}\s*{UNITS}\s*(?:to|per|in|an?|each|=|/)\s*(?:the\s+|an?\s+|each\s+|every\s+)?{BARS}"
    rf"|\b{BARS}\s*(?:=|is|has|have|of|are)\s*{NUMBER}(?:\s*{UNITS})?|\b(\d)-(?:beat|count)\s{BARS}"
)
"""How many counts a bar has, in the group that says anything."""
_MEASURED = re.compile(rf"(?i)\b{NUMBER}\s*{BARS}\W*{NUMBER}\s*{UNITS}(?!\w|\s*(?:to|per|in|an?|each|/)\b)")


def meter(text: str) -> int:
    """Return how many counts a bar has by a text, such as `two beats to the bar` or `16 bars (48 counts)`; 0 if it
    doesn't say."""
    said, whole = METER.search(text), _MEASURED.search(text)
    bars, counts = map(number, whole.groups()) if whole else (0, 0)
    if bars and not counts % bars:
        return counts // bars
    return number(next(filter(None, said.groups()))) if said else 0


_BEGUN = re.compile(
    rf"(?i)\b(?:(?:we|you|dance|steps?) )?(?:start|begin|come in|in|go)s? on (?:the )?(?:{UNITS}\s)?"
    rf"{NUMBER}(?:st|rd|th)?(?:\s{UNITS})?(?![\w/:])"
)


def begun_on(text: str) -> str:
    """Return a text with the count on which dancers come in behind full eights, `start on count 17`, as how long they
    wait, if it says no other wait."""
    found = _BEGUN.search(text)
    size = number(found[1]) if found else 0
    if not found or size < 9 or size % 8 != 1 or re.search(r"(?i)\b(?:wait|intro)", text):
        return text
    return f"{text[: found.start()]}wait {size - 1} counts{text[found.end() :]}"
