"""Which claims a dance comes to: a cut, or the end of the music, may leave out some.

A claim that the dance does not come to is as little kept as one that fails, so that a set of changes after which one is
left out mends nothing.
"""

from collections.abc import Iterator

from stepcheck.model.claims import Check
from stepcheck.model.dance import Choice, Uncut
from stepcheck.model.items import every
from stepcheck.search.changes import Variant
from stepcheck.search.slots import Nodes, Sketch, Slot
from stepcheck.search.transitions import Result


class Reached:
    """The claims of a routine that a cut may leave out of the dance, each with its bit among the `laps` of a result.

    Args:
        sketch: the routine.
        first: the number of the first bit.
    """

    def __init__(self, sketch: Sketch, first: int) -> None:
        self.sketch = sketch
        self._known: dict[int, tuple[Nodes, frozenset[str]]] = {}
        lines = {claim.id: claim.line for claim in sketch.program.claims}
        bodies = [sketch.dance, *(nodes for _, nodes in sketch.spares)]
        sure = frozenset[str]().union(*map(self._met, bodies))
        # Alternatives stand within the steps of a row, and go with it where it is taken out.
        within: dict[str, bool] = {}
        while bodies:
            for node in bodies.pop():
                within |= dict.fromkeys(_claims(node), isinstance(node, Slot)) if isinstance(node, Slot | Check) else {}
                bodies += sketch.inside(node)
        left = [(claim, at) for claim, at in within.items() if claim not in sure and claim in lines]
        self._bits = {claim: 1 << first + number for number, (claim, _) in enumerate(left)}
        self._rows = [(lines[claim], self._bits[claim]) for claim, at in left if at]
        self._every = sum(self._bits.values())

    def within(self, nodes: Nodes) -> int:
        """Return the bits of the claims in nodes; those in passes that are cut have none."""
        return sum(self._bits[claim] for claim in self._met(nodes) if claim in self._bits) if self._bits else 0

    def all(self, result: Result) -> bool:
        """Say whether a way through the whole dance comes to every claim, but for those in rows that it takes out."""
        taken = {key for key, one in result.picks if isinstance(one, Variant) and one.offers[0].kind == "delete"}
        free = sum(bit for line, bit in self._rows if (line, 0) in taken)
        return (result.laps | free) & self._every == self._every

    def _met(self, nodes: Nodes) -> frozenset[str]:
        """Return the claims in nodes, those in passes that are cut left out."""
        if id(nodes) not in self._known:
            found: set[str] = set()
            for node in nodes:
                if isinstance(node, Slot | Check):
                    found.update(_claims(node))
                elif not isinstance(node, Uncut):
                    found.update(*map(self._met, self.sketch.inside(node)))
            self._known[id(nodes)] = nodes, frozenset(found)
        return self._known[id(nodes)][1]


def _claims(node: Slot | Check) -> Iterator[str]:
    """Yield the claim of a check at its end, or those of the alternatives in a slot."""
    if isinstance(node, Check):
        yield from () if node.opens else (node.claim.id,)
    else:
        yield from (one.claim.id for one in every(node.core) if isinstance(one, Choice) and one.claim is not None)
