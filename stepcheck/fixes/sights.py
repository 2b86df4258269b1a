"""What claims can tell of dancers: where none speaks of facings, turns or times, dancers that differ in them are
alike."""

from collections.abc import Iterator, Mapping

from attrs import frozen

from stepcheck.fixes.dancers import Dancers, Key
from stepcheck.fixes.nodes import Either, Lasting, Nodes, Part, Short, Slot
from stepcheck.fixes.slots import Outline
from stepcheck.fixes.transitions import Deed
from stepcheck.model.dance import EIGHTHS, Check, Test


@frozen
class Sight:
    """What matters: the turn in full, only up to whole turns, or not at all; and the clock."""

    turns: bool
    facings: bool
    clocks: bool

    def seen(self, dancers: Dancers) -> Dancers:
        """Return dancers without what does not matter."""
        if self.turns and self.clocks:
            return dancers
        if len(dancers) == 1:
            ((origin, weight, turn, clock),) = dancers
            return ((origin, weight, self._turn(turn), clock if self.clocks else 0),)
        return tuple(sorted({(o, w, self._turn(turn), clock if self.clocks else 0) for o, w, turn, clock in dancers}))

    def alike(self, deed: Deed) -> object:
        """Return what can be told of a deed."""
        return tuple(
            None
            if row is None
            else frozenset(
                (way.weight, self._turn(way.turn), way.ticks if self.clocks else 0, way.needs) for way in row
            )
            for row in deed
        )

    def _turn(self, turn: int) -> int:
        return turn if self.turns else turn % EIGHTHS if self.facings else 0


class Sights:
    """What matters in each stretch of one outline: what its claims speak of, and those of the stretches around it.

    A part counts turns and times of its own, so what is claimed in it says nothing of what is outside.
    """

    def __init__(self, sketch: Outline, own: Mapping[Slot, Deed]) -> None:
        self.sketch, self.own = sketch, own
        self._tests: dict[int, frozenset[Test]] = {}
        self._lines: dict[Key, frozenset[Test]] = {}
        self._made: dict[frozenset[Test], Sight] = {}
        outer = frozenset({Test.FACING} if sketch.program.walls is not None else ())
        for nodes in (sketch.dance, sketch.walls, *(nodes for _, nodes in sketch.spares)):
            self._part(nodes, outer)

    def of(self, nodes: Nodes) -> Sight:
        """Return what matters in a stretch; everything in one that is not the outline's."""
        return self._sight(self._tests.get(id(nodes), frozenset(Test)))

    def line(self, key: Key) -> Sight:
        """Return what matters of a line."""
        return self._sight(self._lines.get(key, frozenset(Test)))

    def _sight(self, tests: frozenset[Test]) -> Sight:
        if tests not in self._made:
            turns = bool(tests & {Test.TURN, Test.EITHER})
            self._made[tests] = Sight(turns, Test.FACING in tests, Test.CLOCK in tests)
        return self._made[tests]

    def _part(self, nodes: Nodes, outer: frozenset[Test]) -> None:
        """Take in what is claimed in one time through a part, or in the dance."""
        known = self._tests.get(id(nodes))
        tests = outer | frozenset(self._claimed(nodes)) | (known or frozenset())
        if tests != known:
            self._spread(nodes, tests)

    def _claimed(self, nodes: Nodes) -> Iterator[Test]:
        for node in nodes:
            match node:
                case Check():
                    yield node.test
                case Slot():
                    if any(way.needs for row in self.own.get(node, ()) for way in row or ()):
                        yield Test.FACING
                case Short() | Lasting():
                    yield from Test
                case Either():
                    yield Test.CLOCK
                    yield from self._claimed(node.nodes)
                case Part():
                    pass
                case _:
                    yield from self._claimed(node.nodes)

    def _spread(self, nodes: Nodes, tests: frozenset[Test]) -> None:
        self._tests[id(nodes)] = self._tests.get(id(nodes), frozenset()) | tests
        for node in nodes:
            match node:
                case Slot():
                    self._lines[node.key] = self._lines.get(node.key, frozenset()) | tests
                case Part():
                    self._part(node.nodes, tests)
                case Short():
                    self._spread(self.sketch.builder.nodes(node.body), tests)
                case Either():
                    for option in node.options:
                        self._spread(option, tests)
                case Check():
                    pass
                case _:
                    self._spread(node.nodes, tests)
