"""What a stretch of dance does, for every weight at once: tables that can be composed, joined and raised to a power.

An effect does not depend on the wall, so it is a table from weight to weight.  An entry holds the changes of facing that
can come out (a set of eighths as 8 bits, apart for turns that are exactly known and for *loose* ones, known only up to
whole turns), the least and greatest length in ticks, and the least and greatest signed turn in eighths of the exact ones.
Composition is exact: union of rotations, (min,+) and (max,+).

Equal effects are one object, made by one `Algebra`, so that composing the same two again is one look-up.
"""

from collections.abc import Callable, Iterable, Mapping
from typing import NamedTuple, TypeAlias
from weakref import WeakKeyDictionary

from stepcheck.books.footwork import Impossible, dance, is_still
from stepcheck.model.dance import EIGHTHS, Figure, Foot, Step, Version, Weight

WEIGHTS = (Weight.LEFT, Weight.RIGHT, Weight.BOTH)
_ALL = (1 << EIGHTHS) - 1


class Entry(NamedTuple):
    """One way from a weight to a weight.

    **Invariant:** `exact | loose` is not empty; `turn_low == turn_high == 0` if `exact` is empty.
    """

    exact: int
    loose: int
    low: int
    high: int
    turn_low: int
    turn_high: int

    @property
    def facings(self) -> int:
        """Every change of facing, exact or loose, as bits."""
        return self.exact | self.loose


EntryChange: TypeAlias = Callable[[Entry], Entry | None]


class Effect:
    """A table of entries by weight before and weight after, None where there is no way.

    `open` says that which of the ways is danced waits on a blank.  Compared by identity.
    """

    __slots__ = ("_clock", "_ends", "_entries", "_then", "held", "open", "rows")

    def __init__(self, rows: tuple[tuple[Entry | None, ...], ...], is_open: bool) -> None:
        self.rows = rows
        self.open = is_open
        self.held: dict[object, tuple[bool, bool]] = {}  # how checks stand of it, as `checks` finds
        self._then: dict[Effect, Effect] = {}
        self._entries: tuple[tuple[Weight, Weight, Entry], ...] | None = None
        self._ends: tuple[Weight, ...] | None = None
        self._clock: tuple[int, int] | None = None

    def entries(self) -> tuple[tuple[Weight, Weight, Entry], ...]:
        """Return every entry with the weights before and after it, in a fixed order."""
        if self._entries is None:
            self._entries = tuple(
                (before, after, entry)
                for before, row in zip(WEIGHTS, self.rows, strict=True)
                for after, entry in zip(WEIGHTS, row, strict=True)
                if entry is not None
            )
        return self._entries

    def ends(self) -> tuple[Weight, ...]:
        """Return the weights that it can end with."""
        if self._ends is None:
            self._ends = tuple(after for after in WEIGHTS if any(row[after] is not None for row in self.rows))
        return self._ends

    def clock(self) -> tuple[int, int]:
        """Return the least and the greatest length in ticks."""
        if self._clock is None:
            entries = [entry for _, _, entry in self.entries()]
            self._clock = min(entry.low for entry in entries), max(entry.high for entry in entries)
        return self._clock

    def single(self) -> bool:
        """Say whether each weight before leads to one weight and one facing."""
        return all(
            len(ways) == 1 and ways[0].facings.bit_count() == 1
            for row in self.rows
            if (ways := [entry for entry in row if entry is not None])
        )


def rotated(one: int, other: int) -> int:
    """Return the sums modulo 8 of a member of `one` and a member of `other`, all sets of eighths as bits."""
    out = 0
    while other:
        turn = (other & -other).bit_length() - 1
        out |= one << turn | one >> (EIGHTHS - turn)
        other &= other - 1
    return out & _ALL


def follow(one: Entry, other: Entry) -> Entry:
    """Return `one` and then `other`."""
    exact, loose, low, high, turn_low, turn_high = one
    more, looser, lower, higher, turn_lower, turn_higher = other
    if loose or looser:
        loose = rotated(exact | loose, looser) | rotated(loose, more)
    exact = rotated(exact, more)
    if not exact:
        return Entry(0, loose, low + lower, high + higher, 0, 0)
    return Entry(exact, loose, low + lower, high + higher, turn_low + turn_lower, turn_high + turn_higher)


def join(one: Entry | None, other: Entry | None) -> Entry | None:
    """Return what allows either."""
    if one is None or other is None:
        return one or other
    bounds = [(entry.turn_low, entry.turn_high) for entry in (one, other) if entry.exact] or [(0, 0)]
    return Entry(
        one.exact | other.exact,
        one.loose | other.loose,
        min(one.low, other.low),
        max(one.high, other.high),
        min(low for low, _ in bounds),
        max(high for _, high in bounds),
    )


class Algebra:
    """The effects of one run, each made once.

    `known` are those of the steps of each figure, kept as long as the figure is.
    """

    def __init__(self) -> None:
        self._made: dict[tuple[tuple[tuple[Entry | None, ...], ...], bool], Effect] = {}
        self.known: WeakKeyDictionary[Figure, dict[object, Effect]] = WeakKeyDictionary()
        self._starts: dict[tuple[tuple[Weight, ...], int, bool], Effect] = {}
        self._shifted: dict[tuple[Effect, int, int], Effect] = {}
        self._fresh: dict[Effect, Effect] = {}
        self._timeless: dict[Effect, Effect] = {}

    def effect(self, rows: Iterable[Iterable[Entry | None]], is_open: bool = False) -> Effect:
        """Return the effect with these rows."""
        table = tuple(map(tuple, rows))
        made = self._made.get((table, is_open))
        if made is None:
            made = self._made[table, is_open] = Effect(table, is_open)
        return made

    def start(self, weights: tuple[Weight, ...], facing: int = 0, is_open: bool = False) -> Effect:
        """Return what does nothing, from these weights only and with the facing `facing` (eighths) to begin with."""
        made = self._starts.get((weights, facing, is_open))
        if made is None:
            still = Entry(1 << facing, 0, 0, 0, 0, 0)
            rows = [
                [still if before is after and after in weights else None for after in WEIGHTS] for before in WEIGHTS
            ]
            made = self._starts[weights, facing, is_open] = self.effect(rows, is_open)
        return made

    def then(self, one: Effect, other: Effect) -> Effect:
        """Return `one` followed by `other`."""
        made = one._then.get(other)
        if made is None:
            rows: list[list[Entry | None]] = []
            for row in one.rows:
                out: list[Entry | None] = [None, None, None]
                for way, onward in zip(row, other.rows):
                    if way is not None:
                        for after, entry in enumerate(onward):
                            if entry is not None:
                                made_of, known = follow(way, entry), out[after]
                                out[after] = made_of if known is None else join(known, made_of)
                rows.append(out)
            made = one._then[other] = self.effect(rows, one.open or other.open)
        return made

    def either(self, one: Effect, other: Effect) -> Effect:
        """Return what allows either."""
        if one is other:
            return one
        rows = [[join(a, b) for a, b in zip(p, q, strict=True)] for p, q in zip(one.rows, other.rows, strict=True)]
        return self.effect(rows, one.open or other.open)

    def power(self, effect: Effect, times: int) -> Effect:
        """Return `effect` danced `times` times, by squaring; nothing for 0."""
        out, square = self.start(WEIGHTS), effect
        while times:
            if times & 1:
                out = self.then(out, square)
            times >>= 1
            if times:
                square = self.then(square, square)
        return out

    def shifted(self, effect: Effect, low: int, high: int) -> Effect:
        """Return `effect` with `low` and `high` ticks added to its least and greatest length."""
        if low == high == 0:
            return effect
        made = self._shifted.get((effect, low, high))
        if made is None:
            made = self.mapped(effect, lambda entry: entry._replace(low=entry.low + low, high=entry.high + high))
            self._shifted[effect, low, high] = made
        return made

    def fresh(self, effect: Effect) -> Effect:
        """Return `effect` with no time gone by."""
        made = self._fresh.get(effect)
        if made is None:
            made = self._fresh[effect] = self.mapped(effect, lambda entry: entry._replace(low=0, high=0))
        return made

    def timeless(self, effect: Effect) -> Effect:
        """Return `effect` without its lengths and turns, which mean nothing to what may go on for ever."""
        made = self._timeless.get(effect)
        if made is None:
            made = self.mapped(effect, lambda entry: entry._replace(low=0, high=0, turn_low=0, turn_high=0))
            self._timeless[effect] = made
        return made

    def mapped(self, effect: Effect, change: EntryChange) -> Effect:
        """Return `effect` with every entry changed; one changed to None goes."""
        return self.effect([[None if e is None else change(e) for e in row] for row in effect.rows], effect.open)

    def turned(self, effect: Effect, eighths: int) -> Effect:
        """Return `effect` with every change of facing turned by `eighths` more."""
        bit = 1 << eighths % EIGHTHS
        return self.mapped(effect, lambda e: e._replace(exact=rotated(e.exact, bit), loose=rotated(e.loose, bit)))

    def moved(self, effect: Effect, weight: Weight) -> Effect:
        """Return `effect` with the weight at its end put on `weight`."""
        rows = []
        for row in effect.rows:
            total: Entry | None = None
            for entry in row:
                total = join(total, entry)
            rows.append([total if after is weight else None for after in WEIGHTS])
        return self.effect(rows, effect.open)

    def opened(self, effect: Effect, is_open: bool = True) -> Effect:
        """Return `effect` with `open` set so."""
        return effect if effect.open is is_open else self.effect(effect.rows, is_open)


def _row(step: Step, version: Version, lead: Foot, senses: Mapping[str, int]) -> list[Entry | None]:
    """Return the entries of a step that `lead` leads."""
    swap = lead is not step.figure.lead
    end = dance(version, lead, swap, senses)
    row: list[Entry | None] = [None, None, None]
    if not isinstance(end, Impossible):
        turn = step.turn if step.turn is not None else -version.turn if swap else version.turn
        if step.blank:
            row[end] = Entry(0, (1 << EIGHTHS) - 1, version.length, version.length, 0, 0)
        else:
            row[end] = Entry(1 << turn % EIGHTHS, 0, version.length, version.length, turn, turn)
    return row


def step_effect(algebra: Algebra, step: Step, version: Version, senses: Mapping[str, int]) -> Effect:
    """Return what a step does under one meaning of its figure and of the movements in it; it is worked out once."""
    known = algebra.known.setdefault(step.figure, {})
    where = (step.turn, step.blank, id(version), *senses.items())
    made = known.get(where)
    if made is None:
        made = known[where] = _step_effect(algebra, step, version, senses)
    return made


def _step_effect(algebra: Algebra, step: Step, version: Version, senses: Mapping[str, int]) -> Effect:
    left, right = _row(step, version, Foot.LEFT, senses), _row(step, version, Foot.RIGHT, senses)
    both = [join(one, other) for one, other in zip(left, right, strict=True)]
    if is_still(version, senses):
        own = left if step.figure.lead is Foot.LEFT else right
        both = [None, None, next((entry for entry in own if entry is not None), None)]
    return algebra.effect((right, left, both), step.blank)
