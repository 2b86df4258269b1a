"""The text of a question in SMT-LIB 2: names that are declared and defined, and one word of bits for each line.

A word has a field for each thing that is asked of its line anywhere: the weight after it, the turn and the ticks from a
weight before it, these by how much they differ from the line as it is; and a flag for each cost.  It is one of as many
constants as there are changes that differ in what is asked: many figures share an effect and a length, and a text that
asks for no turn tells no turns apart.
"""

import re
from collections.abc import Container, Iterable, Iterator, Sequence
from math import gcd
from typing import NamedTuple

from attrs import frozen

from stepcheck.fixes.changes import Offers, Variant
from stepcheck.fixes.slots import Slot
from stepcheck.fixes.transitions import Deed, Way, Ways


def bits(value: int, width: int) -> str:
    """Return a number as bits, two's complement if it is negative."""
    return f"#b{value & ((1 << width) - 1):0{width}b}"


class Sum(NamedTuple):
    """A number in the text: the term for its variable part, empty if no change touches it, and the constant rest."""

    term: str
    more: int


class Widths(NamedTuple):
    """How many bits there are for a turn and for a time, and how many ticks are one unit of time."""

    turn: int
    ticks: int
    unit: int


class Effect(NamedTuple):
    """The effect of a line from one weight, as terms of the text.

    `after` is the weight after it, or what stands for that in the text; `dead` is what says, in the text, that the
    change which is made cannot be danced from there, empty if all of them can.
    """

    turn: Sum
    ticks: Sum
    after: int | str
    dead: str


@frozen
class Effects:
    """The effect of a line from each weight that a dancer can have before it; `ends` are the weights after it.

    `forks` says that a change leads several ways.
    """

    each: tuple[Effect, ...]
    ends: frozenset[int]
    forks: bool


class Column(NamedTuple):
    """A field of a word: how wide it is in the text, whether it can be negative, and its value for each change."""

    width: int
    signed: bool
    values: tuple[int, ...]

    @property
    def bits(self) -> int:
        """How many bits its values need."""
        most, least = max(self.values), min(self.values)
        return min(max(most.bit_length(), (~least).bit_length() if least < 0 else 0) + self.signed, self.width)


class Word:
    """One line in the text, as it is or in one of its variants; `out` are the variants that nobody can dance."""

    def __init__(self, name: str, variants: Sequence[Variant], widths: Widths) -> None:
        self.name, self.variants, self.widths = name, variants, widths
        self.costs = (0, *(one.cost for one in variants))
        self.flags = tuple((cost, f"{name}k{cost}") for cost in sorted(set(self.costs)) if cost)
        self.out: set[int] = set()
        self._columns: dict[Column, str] = {}
        self._effects: dict[object, Effects] = {}

    def effects(self, own: Deed, index: int, place: int, last: bool, before: tuple[int, ...]) -> Effects:
        """Return the effects of the line in one of its slots.

        Args:
            own: what it does there as it is.
            index: the number of the slot among those of the line.
            place: the number of the readings that are taken.
            last: whether of several ways the last is taken, not the first.
            before: the weights that a dancer can have.
        """
        where = (index, place, last, before)
        if where not in self._effects:
            deeds = [own, *(one.deeds[index] for one in self.variants)]
            self._effects[where] = self._found(
                [[deed[3 * place + weight] for weight in before] for deed in deeds], last
            )
        return self._effects[where]

    def _found(self, rows: list[list[Ways]], last: bool) -> Effects:
        self.out.update(place for place, row in enumerate(rows) if not any(row))
        pick = -1 if last else 0
        first = next((ways[pick] for ways in rows[0] if ways), Way(0, 0, 0))
        ends: set[int] = set()
        each = []
        for number in range(len(rows[0])):
            found = [row[number] for row in rows]
            alive = [(place, ways[pick]) for place, ways in enumerate(found) if ways]
            ends.update(way.weight for _, way in alive)
            gone = [place for place, ways in enumerate(found) if not ways and place not in self.out]
            dead = f"(= {self._column(1, False, [(place, 1) for place in gone])} #b1)" if gone else ""
            turn = self._sum([(place, way.turn - first.turn) for place, way in alive], first.turn, self.widths.turn)
            unit = self.widths.unit
            ticks = self._sum(
                [(place, (way.ticks - first.ticks) // unit) for place, way in alive],
                first.ticks // unit,
                self.widths.ticks,
            )
            weights = {way.weight for _, way in alive}
            after = (
                self._column(2, False, [(place, way.weight) for place, way in alive])
                if len(weights) > 1
                else min(weights, default=0)
            )
            each.append(Effect(turn, ticks, after, dead))
        forks = any(ways and len(ways) > 1 for row in rows for ways in row)
        return Effects(tuple(each), frozenset(ends), forks)

    def _sum(self, values: list[tuple[int, int]], own: int, width: int) -> Sum:
        some = {value for _, value in values}
        if len(some) > 1:
            return Sum(self._column(width, True, values), own)
        return Sum("", own + min(some, default=0))

    def _column(self, width: int, signed: bool, values: list[tuple[int, int]]) -> str:
        """Return the name of a field; `values` has those that matter, by the number of the change."""
        filled = [0] * len(self.costs)
        for place, value in values:
            filled[place] = value
        return self._columns.setdefault(Column(width, signed, tuple(filled)), f"{self.name}f{len(self._columns)}")

    def written(self, used: Container[str]) -> Iterator[str]:
        """Yield the lines of the text for the word, with the fields that are used."""
        columns = [(name, column) for column, name in self._columns.items() if name in used]
        flags = [(name, Column(1, False, tuple(int(one >= cost) for one in self.costs))) for cost, name in self.flags]
        fields = [(name, column, column.bits) for name, column in (*columns, *flags)]
        total = sum(width for _, _, width in fields)
        if not total:
            return
        yield f"(declare-const {self.name} (_ BitVec {total}))"
        high = total
        for name, column, width in fields:
            term = f"((_ extract {high - 1} {high - width}) {self.name})"
            high -= width
            if column.width > width:
                term = f"((_ {'sign' if column.signed else 'zero'}_extend {column.width - width}) {term})"
            yield f"(define-fun {name} () (_ BitVec {column.width}) {term})"
        made: dict[tuple[int, ...], int] = {}
        for place in sorted(range(len(self.costs)), key=self.costs.__getitem__):
            if place not in self.out:
                made.setdefault(tuple(column.values[place] for _, column in columns), place)
        yield (
            f"(assert (or false "
            f"{' '.join(f'(= {self.name} #b{_packed(fields, place):0{total}b})' for place in made.values())}))"
        )


def _packed(fields: Sequence[tuple[str, Column, int]], place: int) -> int:
    """Return the fields of a word for one change as one number."""
    out = 0
    for _, column, width in fields:
        out = out << width | column.values[place] & ((1 << width) - 1)
    return out


class Lexicon:
    """The words of one stretch, by their lines; `most` is the greatest cost of the changes together."""

    def __init__(self, offers: Offers, most: int, widths: Widths, prefix: str) -> None:
        self.offers, self.most, self.widths, self.prefix = offers, most, widths, prefix
        self.words: dict[object, Word] = {}

    def effects(self, slot: Slot, place: int, last: bool, before: tuple[int, ...]) -> Effects:
        """Return the effects of a line in a slot.  See `Word.effects`."""
        if slot.key not in self.words:
            variants = affordable(self.offers, slot, self.most)
            self.words[slot.key] = Word(f"{self.prefix}x{len(self.words)}", variants, self.widths)
        index = 0 if slot.point else self.offers.index.get(slot, 0)
        return self.words[slot.key].effects(self.offers.own[slot], index, place, last, before)


class Span(NamedTuple):
    """The greatest turn of deeds, to either side, their greatest length, and the common divisor of their lengths."""

    turn: int
    ticks: int
    unit: int


def span(deeds: Iterable[Deed]) -> Span:
    """Return the span of deeds."""
    ways = {id(deed): [way for row in deed for way in row or ()] for deed in deeds}
    every = [way for some in ways.values() for way in some]
    long = {way.ticks for way in every}
    return Span(max((abs(way.turn) for way in every), default=0), max(long, default=0), gcd(*long))


def affordable(offers: Offers, slot: Slot, most: int) -> tuple[Variant, ...]:
    """Return the variants of a line that cost no more."""
    return tuple(one for one in offers.variants(slot.key) if one.cost <= most)


_NAME = re.compile(r"[a-z]\w*")

Flags = Sequence[tuple[int, str]]
"""The flags of an item in the text, one for each of its costs, the least first: it costs at least so much."""


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
        """Bound the sum of the costs of items by `most`, with a layer of flags for each item: so much is spent by
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
