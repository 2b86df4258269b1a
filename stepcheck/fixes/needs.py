"""What the rest of a stretch asks of whoever comes to it: looked at from its end, so that a last change fits at once.

Only what is certain is asked: where the rest cannot be foreseen, nothing more is.
"""

from typing import NamedTuple

from stepcheck.fixes.changes import Offers
from stepcheck.fixes.dancers import Scope
from stepcheck.fixes.slots import Key, Node, Nodes, Outline, Slot
from stepcheck.fixes.transitions import Deed
from stepcheck.model.dance import EIGHTHS, Check, Pass, Repeat, Test, Timed, Weight

ANY_FACING = (1 << EIGHTHS) - 1
MOST_TIMES = 8


class Need(NamedTuple):
    """The clock and the signed turns that a dancer must have, None for any, and the turns modulo 8, as bits."""

    clock: int | None = None
    turns: frozenset[int] | None = None
    facings: int = ANY_FACING

    def fits(self, turn: int, clock: int) -> bool:
        """Say whether a dancer fits."""
        return (
            (self.clock is None or self.clock == clock)
            and (self.turns is None or turn in self.turns)
            and bool(self.facings >> turn % EIGHTHS & 1)
        )


class _Lost(Exception):
    """What comes next cannot be foreseen."""


class _Dead(Exception):
    """Nobody gets through."""


class _Ahead:
    """One dancer sent ahead from a weight, with the turn and clock made since then."""

    def __init__(self, code: int, front: int) -> None:
        self.weight, self.base, self.front = code % 3, code - code % 3, front
        self.turn = self.ticks = 0
        self.clock: int | None = None
        self.turns: frozenset[int] | None = None
        self.facings = ANY_FACING

    def need(self) -> Need:
        return Need(self.clock, self.turns, self.facings)

    def move(self, deed: Deed) -> None:
        ways = deed[self.base + self.weight]
        if ways is None:
            raise _Dead
        if len(ways) > 1 or ways[0].needs:
            raise _Lost
        self.weight, self.turn, self.ticks = ways[0].weight, self.turn + ways[0].turn, self.ticks + ways[0].ticks

    def check(self, check: Check) -> None:
        value = check.value
        if value is None and check.test is not Test.BOTH:
            raise _Lost
        match check.test:
            case Test.LEAD:
                self._stand(self.weight != value)
                self.weight = 1 - int(value or 0)
            case Test.FOOT:
                self._stand(self.weight == 1 - int(value or 0))
            case Test.BOTH:
                self._stand(self.weight == Weight.BOTH)
            case Test.FACING:
                self.facings &= 1 << (int(value or 0) - self.front - self.turn) % EIGHTHS
                self._stand(self.facings > 0)
            case Test.CLOCK:
                asked = int(value or 0) - self.ticks
                self._stand(self.clock in (None, asked))
                self.clock = asked
            case Test.TURN | Test.EITHER:
                sides = {int(value or 0), -int(value or 0)} if check.test is Test.EITHER else {int(value or 0)}
                self._stand(check.test is Test.TURN or int(value or 0) % 4 == 0)
                found = frozenset(side - self.turn for side in sides)
                self.turns = found if self.turns is None else self.turns & found
                self._stand(bool(self.turns))

    def _stand(self, holds: bool) -> None:
        if not holds:
            raise _Dead


class Needs:
    """What is asked behind each place of one sheet, where no more changes are made there."""

    def __init__(self, sketch: Outline, offers: Offers) -> None:
        self.sketch, self.offers = sketch, offers
        self._known: dict[object, Need | None] = {}

    def behind(self, nodes: Nodes, place: int, code: int, scope: Scope, key: Key) -> Need | None:
        """Return what `nodes` ask behind number `place` of who comes there; None if nobody gets through.

        Args:
            nodes: a stretch.
            place: where something is changed.
            code: three times the assignment of readings, and the weight after the change.
            scope: what is settled around; where it holds changes, nothing is foreseen.
            key: what is changed there, so that its deed is not yet known where it comes again.
        """
        where = (id(nodes), place, code, scope.front)
        if where not in self._known:
            ahead = _Ahead(code, scope.front)
            try:
                self._go(nodes[place + 1 :], ahead, key)
            except _Lost:
                pass
            except _Dead:
                self._known[where] = None
                return None
            self._known[where] = ahead.need()
        return self._known[where]

    def _go(self, nodes: Nodes, ahead: _Ahead, key: Key) -> None:
        for node in nodes:
            self._node(node, ahead, key)

    def _node(self, node: Node, ahead: _Ahead, key: Key) -> None:
        match node:
            case Slot():
                if node.key == key or node.blank:
                    raise _Lost
                ahead.move(self.offers.own[node])
            case Check():
                ahead.check(node)
            case Repeat(times=int(times)) if times <= MOST_TIMES:
                for _ in range(times):
                    self._go(self.sketch.nodes(node.body), ahead, key)
            case Pass():
                if key in self.sketch.keys(node):
                    raise _Lost
                inner = _Ahead(ahead.base + ahead.weight, 0)
                inner.clock, inner.turns = 0, frozenset({0})
                self._go(self.sketch.nodes(node.body), inner, key)
                ahead.weight = inner.weight
                ahead.turn, ahead.ticks = ahead.turn + inner.turn, ahead.ticks + inner.ticks
            case Timed():
                kept, ahead.clock = ahead.clock, 0
                start, ahead.ticks = ahead.ticks, 0
                try:
                    self._go(self.sketch.nodes(node.body), ahead, key)
                finally:
                    ahead.clock, ahead.ticks = kept, start + ahead.ticks
            case _:
                raise _Lost
