"""Numbers as digits and as words."""

from stepcheck.language.grammar import COUNTED

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
