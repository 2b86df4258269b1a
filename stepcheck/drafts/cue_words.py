"""Words of cues: how often, how long, on which foot, and that what was before is danced again."""

import re

from stepcheck.drafts.steps import NUMBER, number
from stepcheck.drafts.vocabulary import Vocabulary, pieces, plain

TIMES = {"a": 1, "an": 1, "one": 1, "another": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "eight": 8}
_TIMES = re.compile(rf"(?i)^\W*\(?(?:(\d{{1,2}})\s*x?|({'|'.join(TIMES)}))\)?\s+(?:more\s+)?(?=[^\W\d])")
_TIMES_BEHIND = re.compile(r"(?i)[\s(]+(?:x\s?(\d)|(\d)\s?x)\)?\s*$")
_AGAIN = re.compile(
    rf"(?i)^\W*(?:(?:now|then|and|all)\s+)*(?:(?:repeat|do|dance)\b(?:\s+(?:it|this|that|these|all|of|the|above|everything|whole|"
    rf"lot|thing|part|two|three|four|steps?|same))*\s*)?(?:(?P<times>\d|{'|'.join(TIMES)})\s+(?P<more>more\s+)?times(?P<also>\s+more)?"
    rf"|(?P<twice>twice)|(?P<again>again|over|once more))?\b"
)
_SIDE = {"l": "L", "r": "R", "left": "L", "right": "R", "lf": "L", "rf": "R"}
_ON_FEET = re.compile(
    r"(?i)(?:\W|\b(?:now|then|and|first|next|on|with|the|foot|feet|ft|footed|lead|leads|start(?:s|ing)?|begin(?:s|ning)?|"
    r"leading|times?|both|each|every|all|[lr]f?|left|right)\b)*"
)


def feet_said(text: str, times: int = 1) -> str:
    """Return the feet that words name and nothing else: `L, then R`, `both beginning on the left` of so many times."""
    words = re.findall(r"[a-z]+", text.casefold())
    sides = "".join(_SIDE[word] for word in words if word in _SIDE)
    if not sides or not _ON_FEET.fullmatch(text):
        return ""
    return sides * times if len(sides) == 1 and {"both", "each", "every", "all"} & {*words} else sides


_SAME = re.compile(
    r"(?i)^\W*(?:(?:and|then|the)\s+)*(?:same\b.*\b(?:again|once more)|repeat (?:all (?:of )?)?(?:that|this|it))\b"
)


def times_again(text: str) -> int:
    """Return how often what was before is danced in all: `Do this 4 times`, `Repeat all to the front`; else 0."""
    said = re.sub(r"^\W*\(\d{1,2}\)", "", plain(text))
    found = _AGAIN.match(said)
    bare = re.match(r"(?i)\W*repeat\b(?!\s+(?:[A-Z]\b|part|last|first|counts?|beats?|\d))", said)
    if re.search(r"(?i)\b(?:other|opposite|left|right|[lr]f?)\b", said):
        return 0
    if _SAME.search(said):
        return 2
    if few := re.fullmatch(rf"(?i)\W*{NUMBER} of (?:them|these|those)\W*", said):
        return number(few[1])
    if not found or not (
        bare or found["times"] or found["twice"] or (found["again"] and re.search(r"(?i)\b(?:do|dance)\b", found[0]))
    ):
        return 0
    if found["times"]:
        times = int(found["times"]) if found["times"].isdecimal() else TIMES[found["times"].casefold()]
        return times + bool(found["more"] or found["also"])
    return 2


_FILLER = re.compile(
    r"(?i)^\W*(?<![(\[])(?:(?:then|now|and|do(?!\s+(?:it|this|that|these|all|the|everything)\b)|next|first|"
    r"dance|finish with|finish|start with|followed by|just)\s+)+(?=\w)"
)


def bare_cue(text: str) -> str:
    """Return a cue without the words that only lead to it: `then do`."""
    return _FILLER.sub("", text)


_CUE_LASTS = re.compile(r"\s*\((?:=\s*)?(\d{1,2})(?:\s*(?:beats?|counts?|b\b\.?))?\)\s*\.?$")


def times_of(text: str) -> tuple[int, str]:
    """Return how many times a cue says, `2 Triples`, and the rest; 1 where it says none."""
    stated = _TIMES.match(text)
    if not stated and (behind := _TIMES_BEHIND.search(text)):
        return int(behind[1] or behind[2]), text[: behind.start()]
    if not stated:
        return 1, text
    return int(stated[1]) if stated[1] else TIMES[stated[2].casefold()], text[stated.end() :]


def lasting_cue(text: str) -> tuple[int, str]:
    """Return the beats that stand behind a cue in brackets, `(8)`, and the rest; 0 where none do."""
    found = _CUE_LASTS.search(text)
    return (int(found[1]), text[: found.start()]) if found else (0, text)


def split_foot(name: str) -> tuple[str, str]:
    """Return a figure's name without the foot behind it, and the foot, or both of `Vine L & R`, `Push Off (left)`."""
    both = re.search(r"(?i)[\s(]+(left|L)\s*(?:&|and|\+|,)\s*(?:right|R)\)?\s*$", name)
    both = both or re.search(r"(?i)[\s(]+(right|R)\s*(?:&|and|\+|,)\s*(?:left|L)\)?\s*$", name)
    if both:
        return name[: both.start()].strip(" ("), "LR" if both[1][0].upper() == "L" else "RL"
    found = re.search(r"(?i)[\s(]+(?:(?:to|on) (?:the )?)?(left|right|L|R)\)?\s*$", name)
    return (name[: found.start()].strip(" ("), found[1][0].upper()) if found else (name.strip(), "")


def nameable(text: str) -> bool:
    """Say whether the words before a row are a name, with a foot perhaps."""
    return bool(re.fullmatch(r"[A-Za-z][\w' -]*(?:\s*\(?(?:left|right|L|R)\)?)?", text)) and len(text.split()) < 5


def names_figure(text: str, vocabulary: Vocabulary) -> bool:
    """Say whether words may name a figure: one that is known, or words that do not all say where, or how far."""
    kinds = {kind for kind, *_ in pieces(plain(text), vocabulary)}
    return (
        "figure" in kinds
        or bool(text[:1].isupper() and kinds & {"word", "verb", "part"})
        or bool("codes" in kinds and re.match(r"[A-Z][a-z]", text))
    )
