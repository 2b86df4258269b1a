"""Repeats and cut passes in the search: both depend on the changes made at the first time of their lines."""

from collections.abc import Iterator, Mapping
from typing import Any

from attrs import evolve

from stepcheck.language.syntax import ExpectRow, GapRow, HoldRow, Row
from stepcheck.model.dance import Body, Forever, Item, Lap, Lined, Repeat, Uncut
from stepcheck.model.items import Mapped, inside
from stepcheck.program.claims import LineFails
from stepcheck.program.cutting import CutFails, cut
from stepcheck.program.layout import Around
from stepcheck.search.changes import Offers, Variant
from stepcheck.search.reached import Reached
from stepcheck.search.slots import Key, Nodes, Sketch, Slot, parted
from stepcheck.search.transitions import Dancer, Dancers, Follow, Picks, Result, Scope, Unclear, lapped, timeless


class Cuts:
    """The cut passes of one search."""

    def __init__(self, offers: Offers) -> None:
        self.offers, self.sketch = offers, offers.sketch
        self._nodes: dict[object, Nodes | None] = {}
        self._slots: dict[int, tuple[Slot, ...]] = {}
        self._lines: dict[tuple[int, int], frozenset[int]] = {}
        self._others: dict[int, frozenset[Key]] = {}

    def slots(self, uncut: Uncut) -> tuple[Slot, ...]:
        """Return the slots of the whole pass, each line once."""
        if id(uncut) not in self._slots:
            found: dict[Key, Slot] = {}
            for slot in self.sketch.slots(self.sketch.nodes(uncut.body)):
                found.setdefault(slot.key, slot)
            self._slots[id(uncut)] = tuple(found.values())
        return self._slots[id(uncut)]

    def opened(self, uncut: Uncut, ticks: int, scope: Scope, settled: frozenset[Key]) -> tuple[tuple[Slot, ...], int]:
        """Return the slots of a pass that may still change, and how many of them, from the first, can be the first
        change. A line behind the cut that stands nowhere else makes no difference alone."""
        slots = [slot for slot in self.slots(uncut) if slot.key not in settled]
        before = self._reached(uncut, ticks)
        if uncut.music is not None or any(key[0] in before for key in scope.known if not isinstance(key, str)):
            return tuple(slots), len(slots)
        first = [slot for slot in slots if slot.key[0] in before or slot.key in self._elsewhere(uncut)]
        return (*first, *(slot for slot in slots if slot not in first)), len(first)

    def _elsewhere(self, uncut: Uncut) -> frozenset[Key]:
        """Return the keys of all that is danced, but for this pass."""
        if id(uncut) not in self._others:
            found: set[Key] = set()
            bodies = [self.sketch.dance, self.sketch.walls, *(nodes for _, nodes in self.sketch.spares)]
            while bodies:
                for node in bodies.pop():
                    if isinstance(node, Slot):
                        found.add(node.key)
                    elif node is not uncut:
                        bodies += self.sketch.inside(node)
            self._others[id(uncut)] = frozenset(found)
        return self._others[id(uncut)]

    def picked(self, slots: tuple[Slot, ...], budget: int, first: int | None = None) -> Iterator[tuple[Picks, int]]:
        """Yield every set of changes in `slots` within a budget, with its cost; each changes one of the `first` of
        them."""
        yield (), 0
        for place, slot in enumerate(slots[:first]):
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
                    (slot, self.offers.transitions.body(slot.core))
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
            if number and isinstance(self.sketch.lines[number].node, Row | HoldRow | GapRow | ExpectRow):
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


MOST_ROUNDS = 64


class Rounds:
    """The rounds of one search; `ways` follows dancers through nodes."""

    def __init__(self, sketch: Sketch, ways: Follow, cuts: Cuts, reached: Reached) -> None:
        self.sketch, self.ways, self.cuts, self.reached = sketch, ways, cuts, reached

    def again(self, nodes: Nodes, dancers: Dancers, scope: Scope) -> list[Result]:
        """Return the results of one more time, with the changes of the first time; nothing if a claim fails then."""
        return [one._replace(picks=()) for one in self.ways(nodes, dancers, scope, 0)[:1]]

    def loop(self, loop: Repeat, dancers: Dancers, scope: Scope, budget: int) -> Iterator[Result]:
        """Yield the results of a block danced several times."""
        nodes = self.sketch.nodes(loop.body)
        if loop.times is not None and loop.times > MOST_ROUNDS:
            raise Unclear("a block is danced very often")
        for found in self.ways(nodes, dancers, scope, budget):
            rounds = [found]
            for _ in range((loop.times or MOST_ROUNDS) - 1):
                if loop.times is None:
                    yield from rounds
                rounds = [
                    Result(more.dancers, one.laps | more.laps, one.cost, one.picks + more.picks)
                    for one in rounds
                    for more in self.again(nodes, one.dancers, scope.settled(one.picks))
                ]
            yield from rounds

    def lap(self, node: Lap, dancers: Dancers, scope: Scope, budget: int) -> Iterator[Result]:
        """Yield the results of one lap."""
        nodes = self.sketch.nodes(node.body)
        for found in self.ways(nodes, dancers, scope, budget):
            ends = [found]
            for dancer in dancers:
                ends = [
                    one._replace(laps=_lapped(one.laps, dancer, alone), picks=one.picks + alone.picks)
                    for one in ends
                    # Who dances alone needs no second look.
                    for alone in (
                        (found._replace(picks=()),)
                        if len(dancers) == 1
                        else self.again(nodes, (dancer,), scope.settled(one.picks))
                    )
                ]
            yield from ends

    def endless(self, node: Forever, dancers: Dancers, scope: Scope, budget: int) -> Iterator[Result]:
        """Yield the results of any number of laps."""
        start, nodes = timeless(dancers), self.sketch.nodes(node.body)
        for found in self.ways(nodes, start, scope, budget):
            open_ends = [(start, found)]
            while open_ends:
                here, last = open_ends.pop()
                grown = tuple(sorted({*here, *timeless(last.dancers)}))
                if grown == here:
                    yield last._replace(dancers=here)
                    continue
                for again in self.again(nodes, grown, scope.settled(last.picks)):
                    both = Result(again.dancers, last.laps | again.laps, last.cost, last.picks + again.picks)
                    open_ends.append((grown, both))

    def lasting(self, node: Uncut, dancers: Dancers, scope: Scope, budget: int) -> Iterator[Result]:
        """Yield the results of laps until the music ends: as many whole ones as fit, and the start of another."""
        lap_nodes = self.sketch.nodes(node.body)
        for found in self.ways(lap_nodes, dancers, scope, budget):
            settled, here, laps = scope.settled(found.picks), found.dancers, found.laps | self.reached.within(lap_nodes)
            clock, lap = (min(some[3] for some in group) for group in (dancers, here))
            lap -= clock
            if lap <= 0 or any(one[3] != clock for one in dancers) or any(one[3] != clock + lap for one in here):
                continue
            rounds, rest = divmod((node.music or 0) - clock, lap)
            if rounds > MOST_ROUNDS:
                raise Unclear("the dance goes round very often")
            again: list[Result] = [found] if rounds > 0 else []
            for _ in range(rounds - 1):
                again = self.ways(lap_nodes, here, settled, 0)
                if not again:
                    break
                here, laps = again[0].dancers, laps | again[0].laps
            if again and rest:
                nodes = self.cuts.nodes(node, rest, settled.known)
                again = self.ways(nodes, here, settled, 0) if nodes is not None else []
                if again:
                    here, laps = again[0].dancers, laps | again[0].laps | self.reached.within(nodes or ())
            if again:
                yield found._replace(dancers=here, laps=laps)


def _lapped(laps: int, dancer: Dancer, alone: Result) -> int:
    """Return the bits of laps with those of one that a dancer makes alone."""
    for origin, weight, turn, _ in alone.dancers:
        laps = lapped(laps, origin, turn - dancer[2], weight)
    return laps
