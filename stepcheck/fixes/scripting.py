"""The text of a question being written: names that are declared and defined, what must hold, and what of it is
needed."""

import re
from collections.abc import Iterable, Iterator, Sequence

from stepcheck.fixes.bitwords import Sum, bits

_NAME = re.compile(r"[a-z]\w*")

Flags = Sequence[tuple[int, str]]
"""What says, in the text, that something costs no less than so much: for each of its costs, the least first."""


class Script:
    """One stretch of an SMT-LIB 2 text; `prefix` sets its names apart from those of others.

    `holds` are the terms that must hold.
    """

    def __init__(self, prefix: str) -> None:
        self.prefix = prefix
        self.holds: list[str] = []
        self._lines: list[tuple[str, str]] = []

    def _name(self, stem: str) -> str:
        return f"{self.prefix}{stem}{len(self._lines)}"

    def constant(self, stem: str, sort: str) -> str:
        """Declare a constant and return its name."""
        name = self._name(stem)
        self._lines.append((name, f"(declare-const {name} {sort})"))
        return name

    def vector(self, stem: str, width: int) -> str:
        """Declare a word of bits and return its name."""
        return self.constant(stem, f"(_ BitVec {width})")

    def weight(self) -> str:
        """Declare a weight, which may be any, and return its name."""
        name = self.vector("w", 2)
        self.holds.append(f"(bvule {name} #b10)")
        return name

    def named(self, stem: str, sort: str, term: str) -> str:
        """Define a name for a term and return it."""
        name = self._name(stem)
        self._lines.append((name, f"(define-fun {name} () {sort} {term})"))
        return name

    def defined(self, stem: str, width: int, term: str) -> str:
        """Define a name for a word of bits and return it."""
        return self.named(stem, f"(_ BitVec {width})", term)

    def added(self, one: Sum, other: Sum, width: int) -> Sum:
        """Return the sum of two numbers."""
        more = one.more + other.more
        if one.term and other.term:
            return Sum(self.defined("s", width, f"(bvadd {one.term} {other.term})"), more)
        return Sum(one.term or other.term, more)

    def taken(self, one: Sum, other: Sum, width: int) -> Sum:
        """Return the difference of two numbers."""
        more = one.more - other.more
        if one.term == other.term or not other.term:
            return Sum("" if one.term == other.term else one.term, more)
        return Sum(self.defined("s", width, f"(bvsub {one.term or bits(0, width)} {other.term})"), more)

    def spend(self, items: Iterable[Flags], most: int) -> None:
        """Have what items cost together come to no more than `most`, layer by layer: that so much has been spent by
        then."""
        spent: dict[int, str] = {}
        for flags in items:
            onward: dict[int, str] = {}
            for least in sorted({*spent, *(cost + price for cost in (0, *spent) for price, _ in flags)}):
                known = min((cost for cost in spent if cost >= least), default=0)
                terms = [spent[known]] if known else []
                for price, flag in flags:
                    before = min((cost for cost in spent if cost + price >= least), default=0)
                    if price >= least:
                        terms.append(flag)
                    elif before:
                        terms.append(f"(and {spent[before]} {flag})")
                term = terms[0] if len(terms) == 1 else f"(or {' '.join(terms)})"
                if least > most:
                    self.holds.append(f"(not {term})")
                    break
                onward[least] = self.named("k", "Bool", term)
            spent = onward

    def needed(self) -> Iterator[str]:
        """Yield the lines for the names that are used in what must hold, in order."""
        used = self.used()
        return (line for name, line in self._lines if name in used)

    def used(self) -> set[str]:
        """Return the names that are used in what must hold."""
        used = set(_NAME.findall(" ".join(self.holds)))
        for name, line in reversed(self._lines):
            if name in used:
                used.update(_NAME.findall(line))
        return used
