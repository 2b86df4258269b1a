"""Numbers, lengths, turns, walls and times as a line writes them, and the error of a line that writes them wrongly."""

import re
from typing import Any

from attrs import frozen

from stepcheck.language import syntax
from stepcheck.language.patch import Rewrite
from stepcheck.language.syntax import At
from stepcheck.model.dance import EIGHTHS, TICKS
from stepcheck.model.source import StepcheckError

LARGEST = 10**9
SIZES = "1/8, 1/4, 3/8, 1/2, 5/8, 3/4, 7/8, full, or a whole number with one of these, as in 1 1/2"
WALLS = {
    "front": 0,
    "front wall": 0,
    "12:00": 0,
    "1:30": 1,
    "01:30": 1,
    "right": 2,
    "right wall": 2,
    "3:00": 2,
    "03:00": 2,
    "4:30": 3,
    "04:30": 3,
    "back": 4,
    "back wall": 4,
    "6:00": 4,
    "06:00": 4,
    "7:30": 5,
    "07:30": 5,
    "left": 6,
    "left wall": 6,
    "9:00": 6,
    "09:00": 6,
    "10:30": 7,
}
_SHARES = {"full": (1, 1), "half": (1, 2), "quarter": (1, 4), "eighth": (1, 8)}
TYPESET = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
COUNTED = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


class LineError(StepcheckError, ValueError):
    """A line that can't be understood: the place of the piece at fault, the reason, what would mend it, the code."""

    def __init__(
        self, at: At, reason: str, hints: tuple[str | Rewrite, ...] = (), code: str = "line-not-understood"
    ) -> None:
        super().__init__(reason)
        self.at = at
        self.reason = reason
        self.hints = hints
        self.code = code


@frozen
class Amount:
    """A number as written: `top` over `bottom`."""

    top: int
    bottom: int
    at: At

    def times(self, unit: int) -> int | None:
        """Return how many whole units this is, if `unit` of them make one and nothing is left over."""
        return self.top * unit // self.bottom if self.top * unit % self.bottom == 0 else None


@frozen
class Often:
    """How often a line is danced, None for `x?`; not a mark of the syntax, but a piece of an option."""

    times: int | None
    at: At


def often(token: Any) -> int | None:
    """Return how often `token` says: `x4`, `4x`, `(4)`, `four times`, `twice`; None for a blank."""
    word = re.sub(r"^(?:repeat|do|dance)\b|\btimes?$|[x×()\s]", "", words(token))
    if word == "?":
        return None
    spelled = {"once": 1, "twice": 2} | {name: count for count, name in enumerate(COUNTED, 1)}
    return spelled.get(word) or number(word, token.at)


def place(*pieces: Any) -> At:
    """Return the place from the first to the last of these tokens and nodes, None left out."""
    there = [piece for piece in pieces if piece is not None]
    return there[0].at[0], there[-1].at[1]


def number(text: str, at: At, least: int = 1, most: int = LARGEST) -> int:
    """Return the whole number `text`; one out of range is a `LineError`."""
    digits = text.lstrip("0") or "0"
    value = int(digits) if len(digits) <= 10 else LARGEST + 1
    if not least <= value <= most:
        shown = text if len(text) <= 12 else f"{text[:9]}…"
        bound = f"small: the least is {least}" if value < least else f"large: the most is {most}"
        raise LineError(at, f"{shown} is too {bound}", (), "number-out-of-range")
    return value


def words(token: str) -> str:
    """Return the token in small letters with single spaces; the i without a dot, and with one too many, is an i."""
    return " ".join(token.casefold().replace("\u0131", "i").replace("\u0307", "").split())


def unit_of(token: Any) -> str:
    """Return "beats" or "counts"."""
    return "beats" if token.casefold().startswith("b") else "counts"


def ticks(amount: Amount) -> int:
    """Return the ticks of a number of beats: not none, and halves, thirds, quarters, sixths or twelfths."""
    whole = amount.times(TICKS)
    if whole is None:
        hint = ("a beat divides into halves, thirds, quarters, sixths and twelfths",)
        raise LineError(amount.at, "no count falls on such a fraction of a beat", hint, "number-out-of-range")
    if not 0 < whole <= LARGEST * TICKS:
        reason = "a length is more than nothing" if not whole else f"a length is at most {LARGEST} beats"
        raise LineError(amount.at, reason, (), "number-out-of-range")
    return whole


def eighths(size: Any) -> int:
    """Return the eighths of a turn that `size` says, which are not none."""
    if not isinstance(size, Amount):
        word = words(size).replace("-", " ")
        top, bottom = (3, 4) if word.startswith("three") else _SHARES[word]
        return top * EIGHTHS // bottom
    parts = size.times(EIGHTHS)
    if parts is None:
        reason, hint = "nobody turns by this much: turns go by eighths", f"the sizes are {SIZES}"
        raise LineError(size.at, reason, (hint,), "impossible-turn")
    if not parts:
        raise LineError(size.at, "this is no turn at all", ("write: no turn",), "impossible-turn")
    if parts > LARGEST * EIGHTHS:
        raise LineError(size.at, f"a turn is at most {LARGEST} times round", (), "number-out-of-range")
    return parts


def side_of(token: Any) -> int:
    """Return -1 for left, 1 for right, 0 for none."""
    return 0 if token is None else -1 if words(token).split()[-1][0] == "l" else 1


def wall_of(token: Any) -> int:
    """Return the facing in eighths of a wall or a time on the clock."""
    said = re.sub(r"^l(?= )", "left", re.sub(r"^r(?= )", "right", words(token)))
    hour = re.fullmatch(r"([0-9]{1,2})\s*(?:o\s?['’]?\s?clock)?", said)
    digits = re.fullmatch(r"([0-9]{1,2})([0-9]{2})", said)
    wall = WALLS.get(f"{hour[1]}:00" if hour else f"{digits[1]}:{digits[2]}" if digits else said)
    if wall is None:
        hint = ("the walls are 12:00, 1:30, 3:00, 4:30, 6:00, 7:30, 9:00 and 10:30",)
        raise LineError(place(token), f"no wall stands at {token}", hint)
    return wall


def sided(token: Any) -> Any:
    """Return the name of a wall, which without `facing` before it must be more than a side."""
    side = words(token)
    if side in ("left", "right"):
        raise LineError(place(token), f"{token} could be a foot or a wall", (f"write {side} foot or {side} wall",))
    return token


def times_of(token: Any) -> tuple[syntax.Times, At]:
    """Return the times that a list of ordinals names, and its place."""
    at = place(token)
    named, last = [], False
    for found in re.finditer(r"([0-9]+)[a-z]{2}|last", token, re.I):
        if found[1]:
            named.append(number(found[1], (at[0] + found.start(), at[0] + found.end())))
        else:
            last = True
    if len(set(named)) < len(named):
        raise LineError(at, "the same time is named twice", ("keep one of the two",))
    return syntax.Times(tuple(sorted(named)), None, last), at
