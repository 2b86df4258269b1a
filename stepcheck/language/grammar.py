"""The grammar of a line as a table, and the small machine that reads lines with it.

`language.lark` is the grammar.  lark makes its LALR(1) table once; `language.json` holds it, so that reading a sheet
needs neither lark nor the time to build.  `python -m stepcheck.language.grammar` writes the table anew, and a test
proves that it is up to date.  If it isn't, it is built in memory.
"""

import json
import re
from collections.abc import Sequence
from functools import cached_property
from os.path import dirname, join
from typing import TYPE_CHECKING, Any
from zlib import crc32

from stepcheck.language.syntax import At
from stepcheck.language.writer import write

if TYPE_CHECKING:
    from lark import Lark
    from lark.grammar import Rule

STARTS = ("sheet", "music", "figures", "steps", "forms", "bracket")
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
    name may hold any word that has no meaning where the name stands.
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
        self._matchers: dict[str, Any] = {}

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
            wanted = self._states[states[-1]][0]
            terminal, found = END, None
            if at < len(text):
                for terminal in wanted:
                    if terminal != END and (found := self.matcher(terminal)(text, at)):
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
    text = shipped("language.lark")
    table = json.loads(shipped("language.json"))
    return Machine(table if table["grammar"] == crc32(text.encode()) else build_table(text), meanings)


def shipped(name: str) -> str:
    """Return the text of a file that lies beside this module (importlib.resources would cost ten times the reading)."""
    with open(join(dirname(__file__), name), encoding="utf-8") as file:
        return file.read()


def build(text: str) -> "Lark":
    """Return lark's own parser of the grammar `text`."""
    from lark import Lark

    return Lark(text, parser="lalr", start=list(STARTS), maybe_placeholders=True, g_regex_flags=int(re.IGNORECASE))


def build_table(text: str) -> dict[str, Any]:
    """Return the table of the grammar `text`, with everything in an order that never varies."""
    from lark.parsers.lalr_analysis import Shift

    lark = build(text)
    moves = lark.parser.parser._parse_table  # the table has no public name
    order = [moves.start_states[start] for start in STARTS]
    for state in order:  # grows as it goes
        actions = sorted(moves.states[state].items())
        order += dict.fromkeys(goal for _, (action, goal) in actions if action is Shift and goal not in order)
    numbers = {state: number for number, state in enumerate(order)}
    rules = sorted(
        {goal for state in order for action, goal in moves.states[state].values() if action is not Shift}, key=str
    )
    ranks = {rule: -1 - number for number, rule in enumerate(rules)}
    terminals = sorted(lark.terminals, key=lambda t: (-t.priority, -t.pattern.max_width, -len(t.pattern.value), t.name))
    names = [terminal.name for terminal in terminals if terminal.name not in lark.lexer_conf.ignore] + [END]
    states = [
        (
            [name for name in names if name in moves.states[state]],
            {
                name: numbers[goal] if action is Shift else ranks[goal]
                for name, (action, goal) in sorted(moves.states[state].items())
            },
        )
        for state in order
    ]
    for state in moves.end_states.values():
        states[numbers[state]][1][END] = 0  # nothing is left to read: any state will do
    wanted = list(dict.fromkeys(tuple(names) for names, _ in states))
    return {
        "grammar": crc32(text.encode()),
        "starts": {start: numbers[moves.start_states[start]] for start in STARTS},
        "terminals": {terminal.name: terminal.pattern.to_regexp() for terminal in terminals},
        "rules": [
            (rule.origin.name, len(rule.expansion), rule.alias or rule.origin.name, _plan(rule)) for rule in rules
        ],
        "wanted": wanted,
        "states": [(wanted.index(tuple(names)), _brief(names, actions)) for names, actions in states],
    }


def _brief(names: list[str], actions: dict[str, int]) -> int | dict[str, int]:
    """Return what a state does after each of the terminals `names`: the number alone, if that is the same after all."""
    same = set(actions.values())
    return same.pop() if len(same) == 1 and set(names) == set(actions) else actions


def _plan(rule: "Rule") -> list[tuple[int | None, bool]]:
    """Return which pieces of `rule` are handed on: the index of each, None for one left out, and if it opens."""
    plan: list[tuple[int | None, bool]] = []
    marks = "".join("1" if empty else "0" for empty in rule.options.empty_indices) or "0" * len(rule.expansion)
    index = 0
    for mark in marks:
        if mark == "1":
            plan.append((None, False))
            continue
        symbol = rule.expansion[index]
        if not getattr(symbol, "filter_out", False):
            plan.append((index, not symbol.is_term and symbol.name.startswith("_")))
        index += 1
    return plan


def main() -> None:
    """Write the table beside the grammar."""
    table = build_table(shipped("language.lark"))
    made = json.dumps(table, separators=(",", ":")) + "\n"
    write(join(dirname(__file__), "language.json"), made.encode(), force=True)


if __name__ == "__main__":
    main()
