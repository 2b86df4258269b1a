"""What must be changed wherever dancers come from: lower bounds on the cost of parts that fail by themselves."""

from collections.abc import Callable, Iterator

from stepcheck.fixes.dancers import Dancers, Result, Scope
from stepcheck.fixes.slots import Key, Node, Nodes, Outline, swap_of
from stepcheck.model.dance import Forever, Lap, Pass, Repeat, Timed
from stepcheck.program.laid import Uncut

Ways = Callable[[Nodes, Dancers, Scope, int], list[Result]]

FAR = 1 << 30
"""More than anything may cost."""


class Floors:
    """The bounds of one search.

    `ways` follows dancers through nodes, `codes` is how many they can begin as, and `least` what the cheapest change
    costs; `fixed` says whether a part may not be changed at all.
    """

    def __init__(self, sketch: Outline, ways: Ways, codes: int, least: int, fixed: Callable[[Pass], bool]) -> None:
        self.sketch, self.ways, self.codes, self.least, self.fixed = sketch, ways, codes, least, fixed
        self._bounds: dict[int, tuple[int, ...]] = {}
        self._floors: dict[int, int] = {}
        self._exact: set[int] = set()

    def bound(self, nodes: Nodes, scope: Scope) -> tuple[int, ...]:
        """Return for each node what the parts behind it cost at least, as they fail wherever dancers come from.

        Only parts whose lines come up for the first time there count, so that no change elsewhere can help them.
        """
        if scope.known or scope.closed:
            return ()
        if id(nodes) not in self._bounds:
            seen: set[Key] = set()
            costs: list[int] = []
            for node in nodes:
                own = self.sketch.keys(node)
                costs.append(self._cost(node) if not own & seen else 0)
                seen |= own
            after = [sum(costs[place + 1 :]) for place in range(len(costs))]
            self._bounds[id(nodes)] = tuple(after)
        return self._bounds[id(nodes)]

    def _cost(self, node: Node) -> int:
        """Return what a node costs at least, as far as that is known."""
        if isinstance(node, Timed | Repeat | Forever | Lap):
            nodes = self.sketch.nodes(node.body)
            inside = self.bound(nodes, Scope({}))
            return inside[0] + self._cost(nodes[0]) if inside else 0
        if not isinstance(node, Pass):
            return 0
        where = id(node.body)
        if where not in self._floors:
            self._floors[where] = 0 if self._mends(node, 0) else FAR if self.fixed(node) else self.least
        return self._floors[where]

    def _mends(self, part: Pass, budget: int) -> bool:
        """Say whether a part can be got through from somewhere with changes of this cost."""
        scope, nodes = Scope({}, swap_of(part)), self.sketch.nodes(part.body)
        return any(self.ways(nodes, ((code, code % 3, 0, 0),), scope, budget) for code in range(self.codes))

    def failing(self) -> tuple[tuple[Pass, int], ...]:
        """Return parts that fail wherever dancers come from, no two sharing a line, each with what it costs at
        least."""
        taken: set[Key] = set()
        found = []
        for part in self._surely(self.sketch.dance):
            keys = self.sketch.keys(part)
            if not keys & taken and self._cost(part):
                taken |= keys
                found.append((part, self._floors[id(part.body)]))
        return tuple(found)

    def raised(self, most: int) -> int:
        """Return what the parts that fail cost at least together, found out as far as it is not more than `most`."""
        total = sum(cost for _, cost in self.failing())
        for part, cost in self.failing():
            while total <= most and id(part.body) not in self._exact:
                if self._mends(part, cost):
                    self._exact.add(id(part.body))
                    break
                total += 1
                cost += 1
                self._floors[id(part.body)] = cost
                self._bounds.clear()
        return total

    def _surely(self, nodes: Nodes) -> Iterator[Pass]:
        """Yield the passes that a dance surely comes to and that are not cut."""
        for node in nodes:
            match node:
                case Pass() if not any(isinstance(inner, Uncut) for inner in node.body):
                    yield node
                case Timed() | Repeat() | Lap() | Forever():
                    yield from self._surely(self.sketch.nodes(node.body))
