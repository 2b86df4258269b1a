"""The passes of one search that are cut, after the changes in them, where the sheet or the music says."""

from collections.abc import Iterator, Mapping
from typing import Any

from attrs import evolve

from stepcheck.fixes.changes import Offers, Variant
from stepcheck.fixes.dancers import Picks
from stepcheck.fixes.slots import Key, Nodes, Slot, parted
from stepcheck.language.syntax import GapRow, HoldRow, Row
from stepcheck.model.dance import Body, Item, Lined
from stepcheck.model.items import Mapped, inside
from stepcheck.program.claims import LineFails
from stepcheck.program.cutting import CutFails, cut
from stepcheck.program.laid import Uncut
from stepcheck.program.layout import Around


class Cuts:
    """The cut passes of one search."""

    def __init__(self, offers: Offers) -> None:
        self.offers, self.sketch = offers, offers.sketch
        self._nodes: dict[object, Nodes | None] = {}
        self._slots: dict[int, tuple[Slot, ...]] = {}
        self._lines: dict[tuple[int, int], frozenset[int]] = {}

    def slots(self, uncut: Uncut) -> tuple[Slot, ...]:
        """Return the slots of the whole pass, each line once."""
        if id(uncut) not in self._slots:
            found: dict[Key, Slot] = {}
            for slot in self.sketch.slots(self.sketch.nodes(uncut.body)):
                found.setdefault(slot.key, slot)
            self._slots[id(uncut)] = tuple(found.values())
        return self._slots[id(uncut)]

    def picked(self, slots: tuple[Slot, ...], budget: int) -> Iterator[tuple[Picks, int]]:
        """Yield every set of changes in `slots` that a budget allows, with its cost."""
        yield (), 0
        for place, slot in enumerate(slots):
            for variant in self.offers.variants(slot.key):
                if variant.cost <= budget:
                    for rest, cost in self.picked(slots[place + 1 :], budget - variant.cost):
                        yield ((slot.key, variant), *rest), cost + variant.cost

    def nodes(self, uncut: Uncut, ticks: int, known: Mapping[Key, Any]) -> Nodes | None:
        """Return the first `ticks` of a pass after the changes in it; None if it cannot be cut there."""
        keys = self.sketch.keys(uncut)
        changes = tuple((key, one) for key, one in known.items() if key in keys and isinstance(one, Variant))
        if changes and self._reached(uncut, ticks).isdisjoint(line for (line, _), _ in changes):
            changes = ()  # all of them come behind the cut
        where = (id(uncut), ticks, changes)
        if where not in self._nodes:
            last = uncut.music is not None
            try:
                body = cut(self._changed(uncut.body, dict(changes)), ticks, last=last)
            except (CutFails, LineFails):
                self._nodes[where] = None
            else:
                made = self._nodes[where] = self.sketch.nodes(body)
                self.offers.own.update(
                    (slot, self.offers.deeds.body(slot.core))
                    for slot in self.sketch.slots(made)
                    if slot not in self.offers.own
                )
        return self._nodes[where]

    def _reached(self, uncut: Uncut, ticks: int) -> frozenset[int]:
        """Return the lines of a pass whose changes may matter: those before the cut, and the one behind it."""
        if (id(uncut), ticks) not in self._lines:
            lines = list(dict.fromkeys(self._rows(uncut.body)))
            try:
                met = set(self._rows(cut(uncut.body, ticks, last=uncut.music is not None)))
            except CutFails:
                met = set(lines)
            last = max((place for place, line in enumerate(lines) if line in met), default=0)
            self._lines[id(uncut), ticks] = frozenset(lines[: last + 2])
        return self._lines[id(uncut), ticks]

    def _rows(self, body: Body) -> Iterator[int]:
        """Yield the lines of the rows of a body, in its order."""
        for item in body:
            number = getattr(item, "line", 0)
            if number and isinstance(self.sketch.lines[number].node, Row | HoldRow | GapRow):
                yield number
            for inner in inside(item):
                yield from self._rows(inner)

    def _changed(self, body: Body, known: Mapping[Key, Variant]) -> Body:
        """Return a body with the changes in the place of its rows."""

        def change(item: Item) -> Body:
            if not isinstance(item, Lined) or not isinstance(item.context, Around):
                return (item,)
            ahead, own, behind = (known.get((item.line, place)) for place in (1, 0, 2))
            if ahead is own is behind is None:
                return (item,)
            before, core, after = parted(item.body)
            slot = Slot(self.sketch.lines[item.line], item.context)
            made = [
                () if one is None else self.offers.items(evolve(slot, point=place > 0, ahead=place == 1), one.offers[0])
                for place, one in ((1, ahead), (0, own), (2, behind))
            ]
            return (*made[0], *before, *(core if own is None else made[1]), *after, *made[2])

        return Mapped(change).body(body) if known else body
