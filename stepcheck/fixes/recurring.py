"""Which lines and claims a dance comes to more than once, so that what is changed at one time is changed at all."""

from stepcheck.fixes.dancers import Key
from stepcheck.fixes.nodes import Inner, Nodes, Part, Slot
from stepcheck.fixes.slots import Builder, keys
from stepcheck.model.dance import Check, Kind


class Recurring:
    """The lines and claims of nodes, found once for each."""

    def __init__(self, builder: Builder) -> None:
        self.builder = builder
        self._known: dict[int, tuple[frozenset[Key], tuple[frozenset[Key], ...]]] = {}
        self._all: dict[int, frozenset[Key]] = {}

    def keys(self, nodes: Nodes) -> frozenset[Key]:
        where = id(nodes[0]) if len(nodes) == 1 else id(nodes)
        if where not in self._all:
            self._all[where] = frozenset(keys(nodes, self.builder))
        return self._all[where]

    def passed(self, nodes: Nodes) -> tuple[frozenset[Key], tuple[frozenset[Key], ...]]:
        """Return the lines and claims that nodes come to more than once, and for each node those that came before
        it."""
        if id(nodes) not in self._known:
            seen: set[Key] = set()
            again: set[Key] = set()
            passed: list[frozenset[Key]] = []
            for node in nodes:
                found = self.keys((node,))
                again |= found & seen
                if not isinstance(node, Check | Slot | Part | Inner):
                    again |= found
                passed.append(frozenset(seen))
                seen |= found
            recurring = frozenset(again)
            # The two ends of a heading of counts are one claim, which may be changed at either.
            ends = {n.claim.id for n in nodes if isinstance(n, Check) and n.claim.kind is Kind.COUNTS}
            self._known[id(nodes)] = recurring, tuple(some & recurring - ends for some in passed)
        return self._known[id(nodes)]
