"""The table of the grammar, as lark makes it: `python -m tests.grammar` writes it anew."""

import json
import re
from collections.abc import Iterable
from pathlib import Path
from re import _parser as patterns  # type: ignore[attr-defined]  # what reads patterns has no public name
from typing import Any

from lark import Lark
from lark.grammar import Rule
from lark.parsers.lalr_analysis import Shift

from stepcheck.language import grammar
from stepcheck.language.grammar import END

HOME = Path(grammar.__file__).parent
TEXT = (HOME / "language.lark").read_text(encoding="utf-8")
STARTS = ("sheet", "music", "figures", "steps", "forms", "bracket")


def build(text: str) -> Lark:
    """Return lark's own parser of the grammar `text`."""
    return Lark(text, parser="lalr", start=list(STARTS), maybe_placeholders=True, g_regex_flags=int(re.IGNORECASE))


def build_table(text: str) -> dict[str, Any]:
    """Return the table of the grammar `text`, with everything in an order that never varies."""
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
        "starts": {start: numbers[moves.start_states[start]] for start in STARTS},
        "terminals": {terminal.name: terminal.pattern.to_regexp() for terminal in terminals},
        "begins": {
            terminal.name: begins for terminal in terminals if (begins := begins_with(terminal.pattern.to_regexp()))
        },
        "rules": [
            (rule.origin.name, len(rule.expansion), rule.alias or rule.origin.name, _plan(rule)) for rule in rules
        ],
        "wanted": wanted,
        "states": [(wanted.index(tuple(names)), _brief(names, actions)) for names, actions in states],
    }


def begins_with(pattern: str) -> str:
    """Return the characters that what a pattern matches can begin with, whatever its case; nothing if there is no list
    of them."""
    found, empty = _first(patterns.parse(pattern, re.IGNORECASE))
    alike = {other for one in found or () for other in (one.lower(), one.upper(), *"\u0130\u0131\u017f\u212a")}
    return "" if found is None or empty else "".join(sorted(c for c in alike if re.match(_any_of(found), c, re.I)))


def _any_of(characters: Iterable[str]) -> str:
    return "|".join(map(re.escape, sorted(characters)))


def _first(pieces: Iterable[tuple[Any, Any]]) -> tuple[set[str] | None, bool]:
    """Return the characters with which a row of pieces of a pattern can begin, None where there is no list of them, and
    whether it can be empty."""
    found: set[str] = set()
    for kind, piece in pieces:
        one, empty = _of(str(kind), piece)
        if one is None:
            return None, False
        found |= one
        if not empty:
            return found, False
    return found, True


def _of(kind: str, piece: Any) -> tuple[set[str] | None, bool]:
    """Return the same of one piece."""
    match kind:
        case "LITERAL":
            return {chr(piece)}, False
        case "IN" if all(str(what) in ("LITERAL", "RANGE") for what, _ in piece):
            bounds = [(of, of) if str(what) == "LITERAL" else of for what, of in piece]
            return {chr(code) for low, high in bounds for code in range(low, high + 1)}, False
        case "BRANCH":
            each = [_first(branch) for branch in piece[1]]
            sets = [one for one, _ in each if one is not None]
            return set().union(*sets) if len(sets) == len(each) else None, any(empty for _, empty in each)
        case "SUBPATTERN":
            return _first(piece[-1])
        case "MAX_REPEAT" | "MIN_REPEAT":
            one, empty = _first(piece[2])
            return one, empty or not piece[0]
        case "ASSERT" | "ASSERT_NOT" | "AT":
            return set(), True
    return None, False


def _brief(names: list[str], actions: dict[str, int]) -> int | dict[str, int]:
    """Return what a state does after each of the terminals `names`: the number alone, if that is the same after all."""
    same = set(actions.values())
    return same.pop() if len(same) == 1 and set(names) == set(actions) else actions


def _plan(rule: Rule) -> list[tuple[int | None, bool]]:
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
    (HOME / "language.json").write_text(json.dumps(build_table(TEXT), separators=(",", ":")) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
