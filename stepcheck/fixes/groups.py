"""Changes of a line that do the same to those who come there, taken together: which of them it is, is settled
afterwards."""

from typing import NamedTuple

from stepcheck.fixes.changes import Offers, Variant
from stepcheck.fixes.slots import Slot
from stepcheck.fixes.transitions import Deed


class Alike(NamedTuple):
    """Variants of one cost that do the same to the dancers who come there, with the deed of one of them."""

    cost: int
    deed: Deed
    variants: tuple[Variant, ...]


class Sorted(NamedTuple):
    """Variants by the weight after them and their ticks, each with its turn; `rest` lead several ways."""

    ways: dict[int, dict[int, list[tuple[int, Alike]]]]
    rest: tuple[Alike, ...]


class Groups:
    """The variants of one search, by what they do."""

    def __init__(self, offers: Offers) -> None:
        self.offers = offers
        self._sorted: dict[int, Sorted] = {}

    def by_effect(self, slot: Slot, codes: tuple[int, ...]) -> tuple[Alike, ...]:
        """Return the variants of a slot, together that do the same: each code is three times the assignment, and the
        weight."""
        variants, index = self.offers.variants(slot.key), 0 if slot.point else self.offers.index[slot]
        where = (tuple(map(id, variants)), index, codes)
        if where not in self.offers.shared:
            groups: dict[object, list[Variant]] = {}
            for variant in variants:
                deed = variant.deeds[index]
                rows = tuple(deed[code] for code in codes)
                if None not in rows:
                    groups.setdefault((variant.cost, rows), []).append(variant)
            some = tuple(Alike(one[0].cost, one[0].deeds[index], tuple(one)) for one in groups.values())
            self.offers.shared[where] = variants, some
        made: tuple[Alike, ...] = self.offers.shared[where][1]
        return made

    def sorted(self, slot: Slot, code: int) -> Sorted:
        """Return the variants of a slot by what they do to a dancer: `code` is three times the assignment, and the
        weight."""
        some = self.by_effect(slot, (code,))
        if id(some) not in self._sorted:
            ways: dict[int, dict[int, list[tuple[int, Alike]]]] = {}
            rest = []
            for one in some:
                row = one.deed[code] or ()
                if len(row) == 1 and not row[0].needs:
                    ways.setdefault(row[0].weight, {}).setdefault(row[0].ticks, []).append((row[0].turn, one))
                else:
                    rest.append(one)
            self._sorted[id(some)] = Sorted(ways, tuple(rest))
        return self._sorted[id(some)]
