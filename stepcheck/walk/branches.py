"""The values of the walk: fronts (effects up to a point of the dance, by assignment of readings), events (verdicts),
and the relations of repeated bodies.

Where nothing in a body tests the facing, its relation is one effect.  Else it is eight: one for each change of facing
at the start of the body.
"""

from collections.abc import Callable, Iterable, Iterator
from typing import NamedTuple, TypeAlias

from attrs import frozen

from stepcheck.model.claims import Test, looking_at
from stepcheck.model.dance import EIGHTHS, MOST_TIMES, Body, Choice, Pass, Repeat, Step, Timed, Weight
from stepcheck.model.items import checks, inside, is_blank
from stepcheck.model.outcome import Verdict
from stepcheck.walk.effects import WEIGHTS, Algebra, Effect, Entry, follow_each


class Event(NamedTuple):
    """One verdict of one check for the assignments `who` (bits): held (proved), waiting on a blank (undecided) or
    failed (refuted)."""

    claim: str
    verdict: Verdict
    who: int
    check: int


class Start(NamedTuple):
    """The start of a lap, with the weights that dancers can have there; `open` says that these wait on a blank."""

    weights: tuple[Weight, ...]
    open: bool
    who: int


Branch: TypeAlias = tuple[Effect, int]
"""The effect of the dance up to one point, with the assignments of readings (bits) for which it is so."""
Front: TypeAlias = tuple[Branch, ...]


@frozen
class Met:
    """The results of one pass: the front at its end, its events, and the laps begun in it."""

    ends: Front
    events: tuple[Event, ...]
    laps: tuple[Start, ...]


Passes: TypeAlias = dict[tuple[int, tuple[Weight, ...], bool, bool, bool], Met]
"""Results of passes by the `id` of the body, the weights before it and how it is walked; the owner keeps the bodies
alive."""


def merged(branches: Iterable[Branch]) -> Front:
    """Return a front in which branches with the same effect are one, in the order of their first appearance."""
    found: dict[Effect, int] = {}
    for effect, who in branches:
        found[effect] = found.get(effect, 0) | who
    return tuple(found.items())


def changed(front: Front, change: Callable[[Effect], Effect]) -> Front:
    """Return a front with a change made to each effect."""
    return merged([(change(effect), who) for effect, who in front])


def unrepeated(events: list[Event]) -> list[Event]:
    """Return the events of a repeat with each pair of check and verdict once."""
    found: dict[tuple[str, Verdict, int], int] = {}
    for claim, verdict, who, check in events:
        where = claim, verdict, check
        found[where] = found.get(where, 0) | who
    return [Event(claim, verdict, who, check) for (claim, verdict, check), who in found.items()]


Relation = tuple[Effect, ...]
"""Effects by the change of facing at the start, or only one if it is the same for all; turns count from there."""

_HIDDEN: dict[type, frozenset[Test]] = {Pass: frozenset(Test), Timed: looking_at("clock")}


@frozen
class Look:
    """The tests in a body: `tests` are those measured from the start of the frame or clock around it; `checks` says
    whether it has any check, `blank` any blank; `rounds` is how often its innermost repeat is danced."""

    tests: frozenset[Test]
    checks: bool
    blank: bool
    rounds: int


class Looks:
    """The tests in bodies; each body is looked at once."""

    def __init__(self) -> None:
        self._known: dict[int, tuple[Body, Look]] = {}

    def of(self, body: Body) -> Look:
        """Return the tests in a body."""
        known = self._known.get(id(body))
        if known is None:
            known = self._known[id(body)] = body, self._looked(body)
        return known[1]

    def _looked(self, body: Body) -> Look:
        tests: set[Test] = set()
        checked = blank = False
        rounds = 1
        for item in body:
            if isinstance(item, Step):
                blank |= item.blank
                continue
            blank |= is_blank(item)
            for check in checks(item):
                tests.add(check.test)
                blank |= check.blank
                checked = True
            times = (item.times or MOST_TIMES) if isinstance(item, Repeat) else 1
            for inner in map(self.of, inside(item)):
                tests |= inner.tests - _HIDDEN.get(type(item), frozenset())
                checked |= inner.checks
                blank |= inner.blank
                rounds = max(rounds, inner.rounds * times)
            checked |= isinstance(item, Choice) and item.claim is not None
        return Look(frozenset(tests), checked, blank, rounds)


class Relations:
    """The relations of one walk, `known` by body and facing of the frame."""

    def __init__(self, algebra: Algebra) -> None:
        self.known: dict[tuple[int, int | None], tuple[tuple[Relation, int], ...]] = {}
        self._algebra = algebra

    def made(self, ends: list[Front], every: int) -> tuple[tuple[Relation, int], ...]:
        """Return relations with their assignments, from the front at the end of a body for each facing at its start."""
        none = self._algebra.start(())
        found: list[tuple[Relation, int]] = [((), every)]
        for turn, front in enumerate(ends):
            parts = [(self._algebra.turned(effect, -turn), who) for effect, who in front]
            left = every
            for _, who in parts:
                left &= ~who
            parts += [(none, left)] if left else []
            found = [
                ((*relation, effect), who & some) for relation, who in found for effect, some in parts if who & some
            ]
        return tuple(found)

    def then(self, effect: Effect, relation: Relation) -> Effect:
        """Return an effect followed by a relation."""
        if len(relation) == 1:
            return self._algebra.then(effect, relation[0])
        rows = []
        for row in effect.rows:
            pairs: tuple[list[tuple[Entry, Entry]], ...] = ([], [], [])
            for weight, way in enumerate(row):
                for turn, piece in _pieces(way):
                    for after, entry in enumerate(relation[turn].rows[weight]):
                        if entry is not None:
                            pairs[after].append((piece, entry))
            rows.append([follow_each(each) if each else None for each in pairs])
        return self._algebra.effect(rows, effect.open)

    def powers(self, relation: Relation, times: int, or_less: bool) -> tuple[Relation, ...]:
        """Return relations whose composition is `relation` danced `times` times; with `or_less` at most so often.

        The algebra keeps the squares, since a body that is danced here and there, or in many walks, is raised each
        time.
        """
        squares = self._algebra.squares.setdefault((relation, or_less), [])
        if not squares:
            still = self._algebra.start(WEIGHTS)
            squares.append(tuple(self._algebra.either(still, each) for each in relation) if or_less else relation)
        while len(squares) < times.bit_length():
            squares.append(self._squared(squares[-1]))
        return tuple(square for bit, square in enumerate(squares) if times >> bit & 1)

    def _squared(self, relation: Relation) -> Relation:
        turned = self._algebra.turned
        return tuple(turned(self.then(turned(effect, turn), relation), -turn) for turn, effect in enumerate(relation))


def _pieces(way: Entry | None) -> Iterator[tuple[int, Entry]]:
    """Yield the states of an entry by their change of facing."""
    if way is None:
        return
    changes: tuple[list[int], ...] = tuple([] for _ in range(EIGHTHS))
    for one in way.turns:
        changes[one % EIGHTHS].append(one)
    for turn, turns in enumerate(changes):
        loose = way.loose & 1 << turn
        if turns or loose:
            yield turn, Entry(tuple(turns), loose, way.low, way.high, way.more and len(turns) > 1)


def shifted(algebra: Algebra, front: Front, clocks: bool, turns: bool) -> tuple[object, tuple[tuple[int, int], ...]]:
    """Return a front with its least length and least whole turns taken off, and what was taken off each branch, in
    ticks and eighths."""
    shape, least = [], []
    for effect, who in front:
        low = min((entry.low for _, _, entry in effect.entries), default=0) if clocks else 0
        turn = min((entry.turns[0] for _, _, entry in effect.entries if entry.turns), default=0) if turns else 0
        turn -= turn % EIGHTHS
        shape.append((algebra.turned(algebra.shifted(effect, -low, -low), -turn), who))
        least.append((low, turn))
    return tuple(shape), tuple(least)
