"""The effect of a stretch of dance: a table from weight to weight that can be composed, joined and raised to a power.

An effect does not depend on the wall, so it is a table from weight to weight.  An entry holds the changes of facing
that can come out (the signed turns that are exactly known, and apart from them the facings of *loose* ones, known only
up to whole turns), and the least and greatest length in ticks.  Composition is exact: sums of turns, union of
rotations, (min,+) and (max,+).  Of very many turns an entry keeps for each facing the least and the greatest, which is
all that decides whether dancers turn alike.

Equal effects are one object, made by one `Algebra`, so that composing the same two again is one look-up.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import cached_property
from typing import NamedTuple, TypeAlias
from weakref import WeakKeyDictionary

from stepcheck.books.footwork import Impossible, ends
from stepcheck.model.claims import Check, Condition
from stepcheck.model.dance import EIGHTHS, Figure, Step, Version, Weight
from stepcheck.walk.stands import asked

WEIGHTS = (Weight.LEFT, Weight.RIGHT, Weight.BOTH)
ANY_FACING = (1 << EIGHTHS) - 1
MOST_TURNS = 32  # of more, an entry keeps the least and the greatest for each facing


class Entry(NamedTuple):
    """One way from a weight to a weight: the turns exactly known, rising, the facings of loose ones as bits, both since
    the start, and the least and greatest length.

    With `more` there are other turns between the least and the greatest of those that leave the same facing.
    **Invariant:** some turn or loose facing.
    """

    turns: tuple[int, ...]
    loose: int
    low: int
    high: int
    more: bool = False

    @property
    def facings(self) -> int:
        """Every change of facing, exact or loose, as bits."""
        return self.loose | faced(self.turns)

    def walls(self, front: int) -> tuple[int, ...]:
        """Return every facing, in eighths, if the frame began with the facing `front`."""
        facings = rotated(self.facings, 1 << front)
        return tuple(wall for wall in range(EIGHTHS) if facings >> wall & 1)


Row: TypeAlias = tuple[Entry | None, ...]  # by the weight after
EntryChange: TypeAlias = Callable[[Entry], Entry | None]


class Effect:
    """A table of entries by weight before and weight after, None where there is no way.

    `open` says that which of the ways is danced waits on a blank.  `kept` are effects made of it, by what was done.
    Compared by identity.
    """

    def __init__(self, rows: tuple[Row, ...], is_open: bool) -> None:
        self.rows = rows
        self.open = is_open
        self.judged: dict[object, tuple[bool, bool, Effect]] = {}  # by check, as `conditions` finds it
        self.kept: dict[object, Effect] = {}

    @cached_property
    def entries(self) -> tuple[tuple[Weight, Weight, Entry], ...]:
        """Every entry with the weights before and after it, in a fixed order."""
        return tuple(
            (before, after, entry)
            for before, row in zip(WEIGHTS, self.rows, strict=True)
            for after, entry in zip(WEIGHTS, row, strict=True)
            if entry is not None
        )

    @cached_property
    def ends(self) -> tuple[Weight, ...]:
        """The weights that it can end with."""
        return tuple(after for after in WEIGHTS if any(row[after] is not None for row in self.rows))

    @cached_property
    def clock(self) -> tuple[int, int]:
        """The least and the greatest length in ticks."""
        low = min((entry.low for _, _, entry in self.entries), default=0)
        return low, max((entry.high for _, _, entry in self.entries), default=0)

    @property
    def single(self) -> bool:
        """Whether each weight before leads to one weight and one facing."""
        return all(
            len(ways) == 1 and ways[0].facings.bit_count() == 1
            for row in self.rows
            if (ways := [entry for entry in row if entry is not None])
        )


def faced(turns: Iterable[int], front: int = 0) -> int:
    """Return the changes of facing that turns make, or that lead from `front` to facings, as bits."""
    bits = 0
    for turn in turns:
        bits |= 1 << (turn - front) % EIGHTHS
    return bits


def rotated(one: int, other: int) -> int:
    """Return the sums modulo 8 of a member of `one` and a member of `other`, all sets of eighths as bits."""
    out = 0
    while other:
        turn = (other & -other).bit_length() - 1
        out |= one << turn | one >> (EIGHTHS - turn)
        other &= other - 1
    return out & ANY_FACING


def thinned(turns: set[int], more: bool) -> tuple[tuple[int, ...], bool]:
    """Return turns in order, and whether some are left out: of too many, or of some left out already, the least and the
    greatest for each facing are kept."""
    if not more and len(turns) <= MOST_TURNS:
        return tuple(sorted(turns)), False
    order = sorted(turns)
    greatest = {turn % EIGHTHS: turn for turn in order}
    least = {turn % EIGHTHS: turn for turn in reversed(order)}
    return tuple(sorted({*least.values(), *greatest.values()})), least != greatest


def follow(one: Entry, other: Entry) -> Entry:
    """Return `one` and then `other`."""
    if len(one.turns) == 1 and len(other.turns) == 1 and not (one.loose or other.loose):
        return Entry((one.turns[0] + other.turns[0],), 0, one.low + other.low, one.high + other.high)
    return follow_each([(one, other)])


def follow_each(pairs: Sequence[tuple[Entry, Entry]]) -> Entry:
    """Return the union of the first and then the second of each pair."""
    turns: set[int] = set()
    loose, more = 0, False
    for one, other in pairs:
        turns.update([turn + further for turn in one.turns for further in other.turns])
        if loose != ANY_FACING and (one.loose or other.loose):
            loose |= rotated(one.facings, other.loose) | rotated(one.loose, faced(other.turns))
        more = more or one.more or other.more
    low = min([one.low + other.low for one, other in pairs])
    high = max([one.high + other.high for one, other in pairs])
    kept, more = thinned(turns, more)
    return Entry(kept, loose, low, high, more)


def join(one: Entry | None, other: Entry | None) -> Entry | None:
    """Return the union of two entries."""
    if one is None or other is None:
        return one or other
    turns, more = one.turns, one.more
    if turns != other.turns or more is not other.more:
        turns, more = thinned({*turns, *other.turns}, more or other.more)
    return Entry(turns, one.loose | other.loose, min(one.low, other.low), max(one.high, other.high), more)


def _onward(row: Row, rows: tuple[Row, ...]) -> list[Entry | None]:
    """Return the ways of a row, each followed by those of the row of the weight after it."""
    out: list[Entry | None] = [None, None, None]
    for way, onward in zip(row, rows, strict=True):
        if way is not None:
            for after, entry in enumerate(onward):
                if entry is not None:
                    out[after] = join(out[after], follow(way, entry))
    return out


class Algebra:
    """The effects of one run, each made once.

    `known` are those of the steps of each figure, kept as long as the figure is; `squares` are, by relation (see
    `branches`) and whether fewer times will do, the relation danced once, twice, four times and so on.
    """

    def __init__(self) -> None:
        self._made: dict[tuple[tuple[Row, ...], bool], Effect] = {}
        self.known: WeakKeyDictionary[Figure, dict[object, Effect]] = WeakKeyDictionary()
        self._starts: dict[tuple[tuple[Weight, ...], bool], Effect] = {}
        self.squares: dict[tuple[tuple[Effect, ...], bool], list[tuple[Effect, ...]]] = {}

    def effect(self, rows: Iterable[Iterable[Entry | None]], is_open: bool = False) -> Effect:
        """Return the effect with these rows."""
        table = tuple(map(tuple, rows))
        made = self._made.get((table, is_open))
        if made is None:
            made = self._made[table, is_open] = Effect(table, is_open)
        return made

    def start(self, weights: tuple[Weight, ...], is_open: bool = False) -> Effect:
        """Return the identity effect, from these weights only."""
        made = self._starts.get((weights, is_open))
        if made is None:
            still = Entry((0,), 0, 0, 0)
            rows = [
                [still if before is after and after in weights else None for after in WEIGHTS] for before in WEIGHTS
            ]
            made = self._starts[weights, is_open] = self.effect(rows, is_open)
        return made

    def then(self, one: Effect, other: Effect) -> Effect:
        """Return `one` followed by `other`."""
        made = one.kept.get(other)
        if made is None:
            rows = (_onward(row, other.rows) if any(row) else row for row in one.rows)
            made = one.kept[other] = self.effect(rows, one.open or other.open)
        return made

    def either(self, one: Effect, other: Effect) -> Effect:
        """Return the union of two effects."""
        if one is other:
            return one
        rows = [[join(a, b) for a, b in zip(p, q, strict=True)] for p, q in zip(one.rows, other.rows, strict=True)]
        return self.effect(rows, one.open or other.open)

    def shifted(self, effect: Effect, low: int, high: int) -> Effect:
        """Return `effect` with `low` and `high` ticks added to its least and greatest length."""
        if low == high == 0:
            return effect
        return self._kept(effect, (low, high), lambda e: e._replace(low=e.low + low, high=e.high + high))

    def fresh(self, effect: Effect) -> Effect:
        """Return `effect` with no time gone by."""
        return self._kept(effect, "fresh", lambda e: e._replace(low=0, high=0))

    def timeless(self, effect: Effect) -> Effect:
        """Return `effect` without its lengths and turns, which have no meaning in a dance that may go on for ever."""
        return self._kept(effect, "timeless", lambda e: Entry((), e.facings, 0, 0))

    def _kept(self, effect: Effect, deed: object, change: EntryChange) -> Effect:
        """Return `effect` with every entry changed; the same deed is done once."""
        made = effect.kept.get(deed)
        if made is None:
            made = effect.kept[deed] = self.mapped(effect, change)
        return made

    def mapped(self, effect: Effect, change: EntryChange) -> Effect:
        """Return `effect` with every entry changed; one changed to None goes."""
        return self.effect([[None if e is None else change(e) for e in row] for row in effect.rows], effect.open)

    def turned(self, effect: Effect, eighths: int) -> Effect:
        """Return `effect` with `eighths` added to every turn."""
        if not eighths:
            return effect
        bit = 1 << eighths % EIGHTHS
        return self.mapped(
            effect,
            lambda e: Entry(
                tuple([turn + eighths for turn in e.turns]),
                rotated(e.loose, bit) if e.loose else 0,
                e.low,
                e.high,
                e.more,
            ),
        )

    def moved(self, effect: Effect, to: Sequence[int]) -> Effect:
        """Return `effect` with the weight at its end moved: `to` has the new one for each."""
        rows = []
        for row in effect.rows:
            out: list[Entry | None] = [None, None, None]
            for end, entry in zip(to, row, strict=True):
                out[end] = join(out[end], entry)
            rows.append(out)
        return self.effect(rows, effect.open)

    def opened(self, effect: Effect, is_open: bool = True) -> Effect:
        """Return `effect` with `open` set so."""
        return effect if effect.open is is_open else self.effect(effect.rows, is_open)


def _row(step: Step, version: Version, senses: Mapping[str, int], weight: Weight) -> list[Entry | None]:
    row: list[Entry | None] = [None, None, None]
    for _, end, own in ends(step.figure, weight, version, senses):
        if not isinstance(end, Impossible):
            turn = own if step.turn is None else step.turn
            exact, loose = ((), ANY_FACING) if step.blank else ((turn,), 0)
            row[end] = join(row[end], Entry(exact, loose, version.length, version.length))
    return row


def step_effect(algebra: Algebra, step: Step, version: Version, senses: Mapping[str, int]) -> Effect:
    """Return the effect of a step under one meaning of its figure and of the movements in it; it is computed once."""
    known = algebra.known.setdefault(step.figure, {})
    where = (step.turn, step.blank, id(version), *senses.items())
    made = known.get(where)
    if made is None:
        rows = [_row(step, version, senses, weight) for weight in WEIGHTS]
        made = known[where] = algebra.effect(rows, step.blank)
    return made


# -- checks ------------------------------------------------------------------------------------------------------------


def judged(algebra: Algebra, effect: Effect, check: Check, front: int) -> tuple[bool, bool, Effect]:
    """Return whether a check holds for all the states of `effect`, whether it does for some, and the effect after it,
    as if it had held for every state."""
    where = check.test, check.value, front
    found = effect.judged.get(where)
    if found is None and check.blank:
        spread = algebra.either(*(algebra.moved(effect, (end,) * 3) for end in (Weight.LEFT, Weight.RIGHT)))
        every = all(weight is Weight.BOTH for weight in effect.ends)
        found = effect.judged[where] = every, bool(effect.ends), algebra.opened(spread)
    elif found is None:
        about, goal = check.test.about, asked(check)
        ways = [_holds(after, entry, about, goal, front) for _, after, entry in effect.entries]
        every, some = all(every for every, _ in ways), any(some for _, some in ways)
        found = effect.judged[where] = every, some, _taken(algebra, effect, about, goal, front)
    return found


def _holds(weight: Weight, entry: Entry, about: str, goal: Condition, front: int) -> tuple[bool, bool]:
    """Say whether a condition holds for all the states of one entry that ends with `weight`, and whether it does for
    some."""
    holds = goal.holds
    match about:
        case "weight":
            return (weight in holds,) * 2
        case "facing":
            bits = faced(holds, front)
            return not entry.facings & ~bits, bool(entry.facings & bits)
        case "clock":
            some = [tick for tick in holds if entry.low <= tick <= entry.high]
            return len(some) == entry.high - entry.low + 1, bool(some)
    loose = faced(holds)
    every = not entry.more and {*entry.turns} <= {*holds} and not entry.loose & ~loose
    return every, bool(entry.loose & loose) or any(_has(entry, turn) for turn in holds)


def _has(entry: Entry, turn: int) -> bool:
    """Say whether an exact turn is one of an entry, or may be, between two that leave the same facing."""
    if turn in entry.turns or not entry.more:
        return turn in entry.turns
    alike = [one for one in entry.turns if (one - turn) % EIGHTHS == 0]
    return bool(alike) and alike[0] < turn < alike[-1]


def _taken(algebra: Algebra, effect: Effect, about: str, goal: Condition, front: int) -> Effect:
    match about:
        case "weight":
            to = tuple(map(goal.after, WEIGHTS))
            return effect if all(to[end] == end for end in effect.ends) else algebra.moved(effect, to)
        case "facing":
            return algebra.mapped(effect, lambda entry: _faced(entry, goal, front))
        case "clock":
            return algebra.mapped(effect, lambda entry: entry._replace(low=goal.then, high=goal.then))
    return algebra.mapped(effect, lambda entry: _turned(entry, goal))


def _faced(entry: Entry, goal: Condition, front: int) -> Entry:
    """Return an entry with every facing changed to one that is accepted; those that were wrong are loose."""
    bits = faced(goal.holds, front)
    turns = tuple(one for one in entry.turns if bits >> one % EIGHTHS & 1)
    loose = entry.loose & bits
    if entry.loose & ~bits or len(turns) < len(entry.turns):
        loose |= faced((goal.then,), front)
    return entry._replace(turns=turns, loose=loose, more=entry.more and len(turns) > 1)


def _turned(entry: Entry, goal: Condition) -> Entry:
    """Return an entry with every turn changed to one that is accepted; those that were wrong are exact."""
    loose = 0 if goal.settles else entry.loose & faced(goal.holds)
    turns = {turn for turn in goal.holds if _has(entry, turn)}
    if entry.loose & ~loose or not {*entry.turns} <= turns:
        turns.add(goal.then)
    return Entry(tuple(sorted(turns)), loose, entry.low, entry.high)
