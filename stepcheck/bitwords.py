"""What the lines of a sheet can be changed into, as words of bits in an SMT-LIB 2 text: one word for each line.

A word has a field for each thing that differs between the changes: the weight after the line, the turn and the ticks, from
each weight before it; and what the change costs.  It is one of as many constants as there are changes that differ.
"""

from collections.abc import Iterator, Sequence

from attrs import frozen

from stepcheck.deeds import Deed
from stepcheck.offers import Offers
from stepcheck.slots import Slot

DEAD = 3
Ways = tuple[tuple[int, ...], tuple[int, ...], tuple[int, ...]]
"""The weights after it, the turns and the ticks of one change, each from the left foot, the right foot and both."""


def bits(value: int, width: int) -> str:
    """Return a number as bits, two's complement if it is negative."""
    return f"#b{value & ((1 << width) - 1):0{width}b}"


@frozen
class Widths:
    """How many bits there are for a turn, a time and a cost, and how many ticks are one unit of time."""

    turn: int
    ticks: int
    cost: int
    unit: int


@frozen
class Word:
    """What a line does: for the weight, the turn and the ticks what stands for them in the text, from each weight before.

    `ends` are the weights that the line can lead to, from each weight before it.
    """

    fields: tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]
    ends: tuple[frozenset[int], ...]


class Lexicon:
    """The words of one stretch: `lines` are those of the text, which it adds to, `costs` what its changes cost.

    Args of a word are a slot and a track: the assignment of readings that a dancer has, and whether of several ways he takes
    the last.  `most` is what the changes may cost; with `several` tracks a word says which change it stands for.
    """

    def __init__(self, offers: Offers, widths: Widths, most: int, lines: list[str], several: bool) -> None:
        self.offers, self.widths, self.most, self.lines, self.several = offers, widths, most, lines, several
        self.costs: list[str] = []
        self._words: dict[object, Word] = {}
        self._first: dict[object, str] = {}

    def word(self, slot: Slot, place: int, last: bool) -> Word:
        """Return the word of a line in one of its slots."""
        index = 0 if slot.point else self.offers.index.get(slot, 0)
        where = (slot.key, index, place, last)
        if where not in self._words:
            variants = [one for one in self.offers.variants(slot.key) if one.cost <= self.most]
            deeds = [self.offers.own[slot], *(self.offers.deed(slot, one) for one in variants)]
            rows = [self._ways(deed, place, last) for deed in deeds]
            # Only a line with several words needs to say which change each of them stands for.
            tied = self.several or (len(self.offers.slots.get(slot.key, ())) > 1 and not slot.point)
            self._words[where] = self._written(slot, rows, [0, *(one.cost for one in variants)], tied)
        return self._words[where]

    def _ways(self, deed: Deed, place: int, last: bool) -> Ways:
        """Return what a deed does, the length in units."""
        ways = [some[-1 if last else 0] if some else None for some in deed[3 * place : 3 * place + 3]]
        return (
            tuple(DEAD if way is None else way.weight for way in ways),
            tuple(0 if way is None else way.turn for way in ways),
            tuple(0 if way is None else way.ticks // self.widths.unit for way in ways),
        )

    def _written(self, slot: Slot, rows: Sequence[Ways], costs: Sequence[int], tied: bool) -> Word:
        """Write a word down as one of the constants that its changes come to."""
        ends = tuple(frozenset(ways[0][weight] for ways in rows) - {DEAD} for weight in range(3))
        columns: dict[tuple[int, tuple[int, ...]], int] = {}
        for kind in range(3):
            for weight in range(3):
                values = tuple(ways[kind][weight] for ways in rows)
                if len(set(values)) > 1:
                    columns.setdefault((self._width(kind), values), len(columns))
        tail = ([(len(rows).bit_length(), tuple(range(len(rows))))] if tied and len(rows) > 1 else []) + [
            (self.widths.cost, tuple(costs))
        ]
        parts = [*columns, *tail]
        name = self._name(parts) if len(rows) > 1 else ""
        places = self._places(name, parts)
        fields = tuple(
            tuple(
                places[columns[self._width(kind), values]] if len(set(values)) > 1 else bits(values[0], self._width(kind))
                for values in (tuple(ways[kind][weight] for ways in rows) for weight in range(3))
            )
            for kind in range(3)
        )
        if name:
            self._count(slot, name, sum(width for width, _ in tail))
        return Word(fields, ends)  # type: ignore[arg-type]

    def _width(self, kind: int) -> int:
        return (2, self.widths.turn, self.widths.ticks)[kind]

    def _name(self, parts: Sequence[tuple[int, tuple[int, ...]]]) -> str:
        """Write down a word that is one of the rows of `parts`, which are columns with their widths; return its name."""
        rows = zip(*([bits(value, width)[2:] for value in values] for width, values in parts), strict=True)
        made = dict.fromkeys("".join(row) for row in rows)
        name = f"x_{len(self.lines)}"
        self.lines.append(f"(declare-const {name} (_ BitVec {sum(width for width, _ in parts)}))")
        self.lines.append(f"(assert (or false {' '.join(f'(= {name} #b{one})' for one in made)}))")
        return name

    def _places(self, name: str, parts: Sequence[tuple[int, tuple[int, ...]]]) -> list[str]:
        return list(self._cut(name, parts))

    def _cut(self, name: str, parts: Sequence[tuple[int, tuple[int, ...]]]) -> Iterator[str]:
        """Yield what stands for each column of a word."""
        high = sum(width for width, _ in parts)
        for width, _ in parts:
            yield f"((_ extract {high - 1} {high - width}) {name})"
            high -= width

    def _count(self, slot: Slot, name: str, tail: int) -> None:
        """Count what a line costs once, and have its words in several slots stand for the same change."""
        end = f"((_ extract {tail - 1} 0) {name})"
        first = self._first.setdefault(slot.key, end)
        if first is end:
            self.costs.append(f"((_ extract {self.widths.cost - 1} 0) {name})")
        else:
            self.lines.append(f"(assert (= {end} {first}))")
