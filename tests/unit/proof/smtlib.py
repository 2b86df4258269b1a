"""A small reader of SMT-LIB 2, enough for the scripts of the second engine, and independent of every solver."""

import re
from collections.abc import Iterator
from typing import TypeAlias

Term: TypeAlias = "str | list[Term]"

_TOKEN = re.compile(r"\s+|;[^\n]*|(\()|(\))|(\|[^|]*\|)|([^\s();|]+)")
_LITERAL = re.compile(r"#[bx][0-9a-f]+$|true$|false$|bv\d+$|\d+$")
FOLDING = {
    "=",
    "bvadd",
    "bvsub",
    "bvneg",
    "bvult",
    "bvule",
    "bvsle",
    "ite",
    "and",
    "or",
    "not",
    "bvor",
    "bvand",
    "bvcomp",
}


def read(text: str) -> list[Term]:
    """Return the commands of a script."""
    stack: list[list[Term]] = [[]]
    place = 0
    while place < len(text):
        found = _TOKEN.match(text, place)
        assert found, text[place : place + 40]
        place = found.end()
        if found[1]:
            stack.append([])
        elif found[2]:
            done = stack.pop()
            stack[-1].append(done)
        elif found[3] or found[4]:
            stack[-1].append(found[0])
    (commands,) = stack
    return commands


class Reading:
    """A script that has been read: its definitions by name, what it declares, what it asserts."""

    def __init__(self, text: str) -> None:
        self.commands = read(text)
        self.defined = {c[1]: c for c in self.commands if c[0] == "define-fun"}
        self.declared = {c[1] for c in self.commands if c[0] == "declare-const"}
        self.asserted = [c[1] for c in self.commands if c[0] == "assert"]

    def is_literal(self, term: Term) -> bool:
        """Whether a term is a number, or a name of one, or made of such alone by an operator of the logic."""
        if isinstance(term, str):
            if _LITERAL.match(term):
                return True
            found = self.defined.get(term)
            return found is not None and found[2] == [] and self.is_literal(found[4])
        if term[0] == "_":
            return True
        return (isinstance(term[0], list) or term[0] in FOLDING or term[0].startswith("bv")) and all(
            map(self.is_literal, term[1:])
        )

    def folded(self, names: set[str]) -> Iterator[Term]:
        """Yield what compares, adds or decides between literals only, outside of the definitions `names`."""
        for command in self.commands:
            if command[0] == "define-fun" and command[1] not in names and not self.is_literal(command[1]):
                yield from self._folded(command[4])
            elif command[0] == "assert":
                yield from self._folded(command[1])

    def _folded(self, term: Term) -> Iterator[Term]:
        if isinstance(term, str):
            return
        head = term[0] if isinstance(term[0], str) else ""
        if head == "let":
            for _, bound in term[1]:
                yield from self._folded(bound)
            yield from self._folded(term[2])
            return
        if head in FOLDING and all(map(self.is_literal, term[1:])):
            yield term
        if head == "ite" and self.is_literal(term[1]):
            yield term
        for part in term[1:]:
            yield from self._folded(part)

    def applied(self, term: Term) -> set[str]:
        """Return the names that stand in a term."""
        if isinstance(term, str):
            return {term}
        return set().union(*map(self.applied, term))

    def used(self) -> set[str]:
        """Return the names that the assertions hang on."""
        waiting, seen = set().union(*map(self.applied, self.asserted)), set()
        while waiting:
            name = waiting.pop()
            seen.add(name)
            if name in self.defined:
                waiting |= self.applied(self.defined[name][4]) - seen
        return seen
