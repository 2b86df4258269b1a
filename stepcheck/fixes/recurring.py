"""Which lines and claims a dance comes to more than once, so that what is changed at one time is changed at all."""

from stepcheck.fixes.slots import Key, Nodes, Outline, Slot
from stepcheck.model.dance import Check, Kind, Pass, Timed


class Recurring:
    """The lines and claims of nodes, found once for each."""

    def __init__(self, sketch: Outline) -> None:
        self.sketch = sketch
        self._known: dict[int, tuple[frozenset[Key], tuple[frozenset[Key], ...]]] = {}
        self._all: dict[int, frozenset[Key]] = {}

    def keys(self, nodes: Nodes) -> frozenset[Key]:
        """Return what stands for the lines and claims of nodes."""
        if id(nodes) not in self._all:
            self._all[id(nodes)] = frozenset().union(*map(self.sketch.keys, nodes))
        return self._all[id(nodes)]

    def passed(self, nodes: Nodes) -> tuple[frozenset[Key], tuple[frozenset[Key], ...]]:
        """Return the lines and claims that nodes come to more than once, and for each node those that came before
        it."""
        if id(nodes) not in self._known:
            seen: set[Key] = set()
            again: set[Key] = set()
            passed: list[frozenset[Key]] = []
            for node in nodes:
                found = self.sketch.keys(node)
                again |= found & seen
                if not isinstance(node, Check | Slot | Pass | Timed):
                    again |= found
                passed.append(frozenset(seen))
                seen |= found
            recurring = frozenset(again)
            # The two ends of a heading of counts are one claim, which may be changed at either.
            ends = {n.claim.id for n in nodes if isinstance(n, Check) and n.claim.kind is Kind.COUNTS}
            self._known[id(nodes)] = recurring, tuple(some & recurring - ends for some in passed)
        return self._known[id(nodes)]
