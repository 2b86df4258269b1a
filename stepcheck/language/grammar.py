"""The grammar of a line: its table, the machine that reads lines with it, and what its words stand for.

`language.lark` is the grammar.  lark makes its LALR(1) table once; `language.json` holds it, so that reading a sheet
needs neither lark nor the time to build.  `python -m tests.grammar` writes the table anew, and a test proves that it is
up to date.
"""

import json
import re
from collections.abc import Sequence
from functools import cached_property
from os.path import dirname, join
from typing import Any

from attrs import frozen

from stepcheck.language import syntax
from stepcheck.language.patch import Rewrite
from stepcheck.language.syntax import At
from stepcheck.model import words as names
from stepcheck.model.dance import EIGHTHS, TICKS
from stepcheck.model.source import StepcheckError

END = "$END"


class Token(str):
    """A word of a line, with its place."""

    __slots__ = ("at",)
    at: At


class Stuck(ValueError):
    """A line that leaves the grammar at `at`."""

    def __init__(self, at: int, machine: "Machine", states: tuple[int, ...]) -> None:
        super().__init__(at)
        self.at = at
        self._machine, self._states = machine, states

    @cached_property
    def wanted(self) -> tuple[str, ...]:
        """The terminals one of which could stand there."""
        return self._machine.possible(self._states)


class Machine:
    """A shift-reduce machine over a table.

    **Invariant:** in each state only the terminals that may come there are tried, in the order of the table, so that a
    name may hold any word that has no meaning where the name stands.  Of those, only the ones that can begin with the
    next character are: most need not even be compiled.
    """

    def __init__(self, table: dict[str, Any], meanings: object) -> None:
        self._starts: dict[str, int] = table["starts"]
        wanted: list[list[str]] = table["wanted"]
        self._states: list[tuple[list[str], dict[str, int]]] = [
            (wanted[names], dict.fromkeys(wanted[names], after) if isinstance(after, int) else after)
            for names, after in table["states"]
        ]
        self._rules = [(name, size, plan, getattr(meanings, call, None)) for name, size, call, plan in table["rules"]]
        self._patterns: dict[str, str] = table["terminals"]
        self._begins: dict[str, str] = table["begins"]
        self._matchers: dict[str, Any] = {}
        self._tried: dict[tuple[int, str], list[tuple[str, Any]]] = {}

    @cached_property
    def _skip(self) -> Any:
        return re.compile(r"\s*").match

    def matcher(self, terminal: str) -> Any:
        """Return the function that matches `terminal` at a place, compiled when it is first wanted."""
        if terminal not in self._matchers:
            self._matchers[terminal] = re.compile(self._patterns[terminal], re.IGNORECASE).match
        return self._matchers[terminal]

    def parse(self, text: str, start: str) -> Any:
        """Return the meaning of `text`, read from `start`.

        Raises:
            Stuck: the text isn't of the language; and whatever the meanings raise.
        """
        states, at = [self._starts[start]], 0
        values: list[Any] = []
        while True:
            at = self._skip(text, at).end()
            terminal, found = END, None
            if at < len(text):
                where = states[-1], text[at]
                tried = self._tried.get(where)
                if tried is None:
                    tried = self._tried[where] = self._beginning(*where)
                for name, matches in tried:
                    if found := matches(text, at):
                        terminal = name
                        break
                else:
                    raise Stuck(at, self, tuple(states))
            here = tuple(states)
            action = self._reduced(states, values, terminal)
            if action is None:
                raise Stuck(at, self, here)
            if found is None:
                return values[0]
            token = Token(found[0])
            token.at = found.span()
            states.append(action)
            values.append(token)
            at = found.end()

    def _beginning(self, state: int, character: str) -> list[tuple[str, Any]]:
        """Return the terminals that may come in a state and begin with a character, with what matches each."""
        wanted = (name for name in self._states[state][0] if name != END)
        return [(name, self.matcher(name)) for name in wanted if character in self._begins.get(name, character)]

    def _reduced(self, states: list[int], values: list[Any], terminal: str) -> int | None:
        """Finish every phrase that ends before `terminal`; return the state after it, or None if it can't come here."""
        while (action := self._states[states[-1]][1].get(terminal)) is not None and action < 0:
            name, size, plan, call = self._rules[-1 - action]
            pieces: list[Any] = []
            for index, opened in plan:
                if index is None:
                    pieces.append(None)
                elif opened:
                    pieces += values[index - size]
                else:
                    pieces.append(values[index - size])
            if size:
                del states[-size:], values[-size:]
            values.append(call(pieces) if call else pieces[0] if name[0] != "_" else pieces)
            states.append(self._states[states[-1]][1][name])
        return action

    def possible(self, states: Sequence[int]) -> tuple[str, ...]:
        """Return the terminals that can come after `states`: fewer than the last state's, which others share."""
        return tuple(terminal for terminal in self._states[states[-1]][0] if self._shifts(list(states), terminal))

    def _shifts(self, states: list[int], terminal: str) -> bool:
        while (action := self._states[states[-1]][1].get(terminal)) is not None and action < 0:
            name, size, _, _ = self._rules[-1 - action]
            del states[len(states) - size :]
            states.append(self._states[states[-1]][1][name])
        return action is not None


def load(meanings: object) -> Machine:
    """Return the machine whose rules call the methods of `meanings` that have their names."""
    # importlib.resources would cost ten times the reading
    with open(join(dirname(__file__), "language.json"), encoding="utf-8") as file:
        return Machine(json.load(file), meanings)


# -- what words stand for ----------------------------------------------------------------------------------------------

LARGEST = 10**9
SIZES = "1/8, 1/4, 3/8, 1/2, 5/8, 3/4, 7/8, full, or a whole number with one of these, as in 1 1/2"
WALLS = names.FACINGS | {"front wall": 0, "right": 2, "back wall": 4, "left": 6}
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
    word = re.sub(r"^(?:repeat|do|dance)\b|\btimes?$|[()\s]", "", words(token))
    bare = word.strip("x×")  # not the x of six
    if bare == "?":
        return None
    spelled = {"once": 1, "twice": 2} | {name: count for count, name in enumerate(COUNTED, 1)}
    return spelled.get(word) or number(bare, token.at)


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
    digits = re.fullmatch(r"([0-9]{1,2}):?([0-9]{2})", said)
    wall = WALLS.get(f"{int(hour[1])}:00" if hour else f"{int(digits[1])}:{digits[2]}" if digits else said)
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
