"""The start of a part after changes: its rows as they are then, cut where the sheet cuts it."""

from collections.abc import Iterator, Mapping
from typing import Any

from attrs import evolve

from stepcheck.fixes.changes import Offers, Variant
from stepcheck.fixes.nodes import Lasting, Nodes, Short, Slot
from stepcheck.fixes.slots import FIRST, number_of, slots_in
from stepcheck.model.dance import Body, Check, Choice, Item
from stepcheck.program.claims import LineFails
from stepcheck.program.cutting import CutFails, cut

Key = Any


class Shorts:
    """The passes of one search that are cut, as nodes, by the changes in them."""

    def __init__(self, offers: Offers) -> None:
        self.offers = offers
        self._cut: dict[object, Nodes | None] = {}
        self._inside: dict[Short, tuple[Slot, ...]] = {}
        self._lines: dict[Short, set[int]] = {}
        self._starts: dict[tuple[Lasting, int], Short] = {}

    def start(self, laps: Lasting, ticks: int) -> Short:
        """Return the start of a lap at the end of the music."""
        return self._starts.setdefault((laps, ticks), Short(ticks, laps.body, True))

    def inside(self, short: Short) -> tuple[Slot, ...]:
        """Return the slots of the whole pass, each line once."""
        if short not in self._inside:
            found: dict[Key, Slot] = {}
            for slot in slots_in(self.offers.sketch.builder.nodes(short.body)):
                found.setdefault(slot.key, slot)
            self._inside[short] = tuple(found.values())
        return self._inside[short]

    def picked(self, slots: tuple[Slot, ...], budget: int) -> Iterator[tuple[tuple[tuple[Key, Variant], ...], int]]:
        """Yield every set of changes in `slots` that a budget allows, with its cost."""
        yield (), 0
        for place, slot in enumerate(slots):
            for variant in self.offers.variants(slot.key):
                if variant.cost <= budget:
                    for rest, cost in self.picked(slots[place + 1 :], budget - variant.cost):
                        yield ((slot.key, variant), *rest), cost + variant.cost

    def nodes(self, short: Short, known: Mapping[Key, Any]) -> Nodes | None:
        """Return a pass after the changes in it, cut; None if it cannot be cut there."""
        keys = {slot.key for slot in self.inside(short)}
        changes = tuple((key, pick) for key, pick in known.items() if key in keys)
        if changes and not {line for (line, _), _ in changes} & self._reached(short):
            changes = ()  # all of them come behind the cut
        if (short, changes) not in self._cut:
            try:
                body = cut(self._changed(short.body, dict(changes)), short.ticks, last=short.last)
            except (CutFails, LineFails):
                made = None
            else:
                made = self.offers.sketch.builder.nodes(body, fixed=True)
                for slot in slots_in(made):
                    self.offers.own[slot] = self.offers.deeds.body(slot.core)
            self._cut[short, changes] = made
        return self._cut[short, changes]

    def _reached(self, short: Short) -> set[int]:
        """Return the lines of a pass whose changes may matter: those before the cut, and the one behind it."""
        if short not in self._lines:
            lines = list(dict.fromkeys(self._rows(short.body)))
            try:
                met = set(self._rows(cut(short.body, short.ticks, last=short.last)))
            except CutFails:
                met = set(lines)
            last = max((place for place, line in enumerate(lines) if line in met), default=0)
            self._lines[short] = set(lines[: last + 2])
        return self._lines[short]

    def _rows(self, body: Body) -> Iterator[int]:
        """Yield the lines of the rows of a body, in its order."""
        for item in body:
            number = number_of(item)
            if number >= FIRST:
                yield self.offers.sketch.recording.rows[number - FIRST][0].number
            inner = (
                [one for option in item.options for one in option]
                if isinstance(item, Choice)
                else getattr(item, "body", ())
            )
            yield from self._rows(tuple(inner))

    def _changed(self, body: Body, known: Mapping[Key, Variant]) -> Body:
        """Return a body with the changes in the place of its rows."""
        if not known:
            return body
        out: list[Item] = []
        place = 0
        while place < len(body):
            number, end = number_of(body[place]), place + 1
            if number < FIRST:
                out.append(self._inner(body[place], known))
                place = end
                continue
            while end < len(body) and number_of(body[end]) == number:
                end += 1
            out += self._row(body[place:end], number, known)
            place = end
        return tuple(out)

    def _inner(self, item: Item, known: Mapping[Key, Variant]) -> Item:
        """Return an item with the changes in the place of the rows inside it."""
        if isinstance(item, Choice):
            return evolve(item, options=tuple(self._changed(option, known) for option in item.options))
        body = getattr(item, "body", None)
        if body is None:
            return item
        made = self._changed(body, known)
        self.offers.sketch.recording.as_swapped(made, body)
        return evolve(item, body=made)  # type: ignore[arg-type]

    def _row(self, items: Body, number: int, known: Mapping[Key, Variant]) -> Body:
        line, around = self.offers.sketch.recording.rows[number - FIRST]
        slot = Slot(line, around)
        start, end = 0, len(items)
        while start < end and isinstance(items[start], Check):
            start += 1
        while end > start and isinstance(items[end - 1], Check):
            end -= 1
        core = items[start:end]
        if slot.key in known:
            core = self.offers.items(slot, known[slot.key].offers[0])
        else:
            core = tuple(self._inner(item, known) for item in core)
        ahead, behind = (
            self.offers.items(evolve(slot, point=True), known[key].offers[0]) if key in known else ()
            for key in ((line.number, 1), (line.number, 2))
        )
        return (*ahead, *items[:start], *core, *items[end:], *behind)
