"""What must be changed wherever dancers come from: lower bounds on the cost of parts that fail by themselves."""

from collections.abc import Callable, Iterator

from stepcheck.fixes.dancers import Dancers, Key, Result, Scope
from stepcheck.fixes.nodes import Endless, Inner, Loop, Node, Nodes, Part, Round, Short
from stepcheck.fixes.recurring import Recurring

Ways = Callable[[Nodes, Dancers, Scope, int], list[Result]]

FAR = 1 << 30
"""More than anything may cost."""


class Floors:
    """The bounds of one search.

    `ways` follows dancers through nodes, `codes` is how many they can begin as, and `least` what the cheapest change
    costs; `fixed` says whether a part may not be changed at all.
    """

    def __init__(
        self, dance: Nodes, recurring: Recurring, ways: Ways, codes: int, least: int, fixed: Callable[[Part], bool]
    ) -> None:
        self.dance, self.recurring, self.ways, self.codes, self.least = dance, recurring, ways, codes, least
        self.fixed = fixed
        self._bounds: dict[int, tuple[int, ...]] = {}
        self._floors: dict[Part, int] = {}
        self._exact: set[Part] = set()

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
                own = self.recurring.keys((node,))
                costs.append(self._cost(node) if not own & seen else 0)
                seen |= own
            after = [sum(costs[place + 1 :]) for place in range(len(costs))]
            self._bounds[id(nodes)] = tuple(after)
        return self._bounds[id(nodes)]

    def _cost(self, node: Node) -> int:
        """Return what a node costs at least, as far as that is known."""
        if isinstance(node, Inner | Loop | Endless | Round):
            inside = self.bound(node.nodes, Scope({}))
            return inside[0] + self._cost(node.nodes[0]) if inside else 0
        if not isinstance(node, Part):
            return 0
        if node not in self._floors:
            self._floors[node] = 0 if self._mends(node, 0) else FAR if self.fixed(node) else self.least
        return self._floors[node]

    def _mends(self, part: Part, budget: int) -> bool:
        """Say whether a part can be got through from somewhere with changes of this cost."""
        scope = Scope({}, part.swap)
        return any(self.ways(part.nodes, ((code, code % 3, 0, 0),), scope, budget) for code in range(self.codes))

    def failing(self) -> tuple[tuple[Part, int], ...]:
        """Return parts that fail wherever dancers come from, no two sharing a line, each with what it costs at
        least."""
        taken: set[Key] = set()
        found = []
        for part in surely(self.dance):
            if not part.keys & taken and self._cost(part):
                taken |= part.keys
                found.append((part, self._floors[part]))
        return tuple(found)

    def raised(self, most: int) -> int:
        """Return what the parts that fail cost at least together, found out as far as it is not more than `most`."""
        total = sum(cost for _, cost in self.failing())
        for part, cost in self.failing():
            while total <= most and part not in self._exact:
                if self._mends(part, cost):
                    self._exact.add(part)
                    break
                total += 1
                cost += 1
                self._floors[part] = cost
                self._bounds.clear()
        return total


def surely(nodes: Nodes) -> Iterator[Part]:
    """Yield the parts that a dance surely comes to and that are not cut."""
    for node in nodes:
        match node:
            case Part() if not any(isinstance(inner, Short) for inner in node.nodes):
                yield node
            case Inner() | Loop() | Round() | Endless():
                yield from surely(node.nodes)
