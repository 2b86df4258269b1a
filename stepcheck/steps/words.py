"""Words that the patterns of all readers are made of: numbers, ordinals, what is counted, feet and sides."""

import re

from stepcheck.language.grammar import COUNTED
from stepcheck.steps.sections import words_of

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
