"""The rows for a gap of whole beats: first the outcomes that fit there, then the rows with such an outcome.

A row is danced at every occurrence of its gap: from several feet, and in passes that are mirrored or danced with the
opposite foot.  Its outcome has an entry for each of these *dancers*.  Dancers that only a filled gap leads to are found
on the way.
"""

from collections.abc import Callable, Hashable, Iterator, Mapping
from functools import partial
from heapq import heappop, heappush
from typing import TypeAlias

from attrs import frozen

from stepcheck.breaks.blanks import Blank, Filling, Trials, filling
from stepcheck.breaks.material import Material
from stepcheck.breaks.requests import written
from stepcheck.breaks.rows import CROSSED, LOOSE, Goal, Search
from stepcheck.breaks.runs import Row, State
from stepcheck.breaks.states import Placed, repertoire
from stepcheck.model.dance import Action, Figure, Foot, Item, Program, Repeat, Step, Version, Weight
from stepcheck.model.dance import Gap as Silence
from stepcheck.model.items import Change, every_item, mapped
from stepcheck.model.movements import Actor, Movement, Sense
from stepcheck.program.routine import Routine

_FEET = (Weight.LEFT, Weight.RIGHT)
Swapped: TypeAlias = tuple[bool, bool]
"""Whether feet are swapped in a pass, and whether turns are."""
PLAIN: Swapped = (False, False)

Dancer: TypeAlias = tuple[Swapped, Weight]
"""The swap of the pass, and the weight before the gap."""
Dancers: TypeAlias = tuple[Dancer, ...]
Outcome: TypeAlias = tuple[tuple[Dancer, State], ...]
Order: TypeAlias = tuple[int, tuple[int, ...]]


@frozen(eq=False)
class Candidate:
    """A candidate for a blank; `key` is its effect on the claims.

    Of a row of figures it has the place in the order, and a function that yields all rows with the same effect.
    """

    key: Hashable
    filling: Filling
    order: Order = (0, ())
    rows: Callable[[], Iterator[tuple[Order, Filling]]] | None = None


def search(material: Material, custom: bool = True) -> Search:
    """Return the search for rows among what a routine can be filled with; turns are totals.

    Without `custom` figures are left out that custom leads with one foot only.
    """
    hard = set(material.hard)
    pool = tuple(figure for figure in material.figures if figure not in hard and (custom or not figure.one_lead))
    return Search(repertoire(pool, material.readings, first=material.book.lead), material.known, True)


class Gap:
    """A blank of whole beats in a routine whose blanks before it are filled.

    Args:
        trials: the routine.
        searches: the search for rows in parts that are never swapped, and that in others.
        blank: the blank.
        done: the fillings of the blanks before it.
        line: its line once they are filled.
    """

    def __init__(
        self, trials: Trials, searches: tuple[Search, Search], blank: Blank, done: tuple[Filling, ...], line: int
    ) -> None:
        self.trials, self.blank, self.done, self.line = trials, blank, done, line
        self.base: Routine = trials.laid(done)
        items = every_item(self.base.program) if self.base.program is not None else ()
        gaps = [item for item in items if isinstance(item, Silence) and item.line == line]
        self.kinds = tuple(sorted({(gap.feet, gap.mirrored) for gap in gaps})) or (PLAIN,)
        self.search = searches[self.kinds != (PLAIN,)]
        self.whole = all(gap.ticks == blank.ticks for gap in gaps)
        sure, perhaps = self._weights(self.base.program, {})
        default = ((PLAIN, Weight(self.base.facts.lead.other)),)
        self.dancers: Dancers = sure or perhaps or default
        self.settled = set(perhaps) <= set(self.dancers)
        self._known: dict[Outcome, Dancers | bool] = {}

    @property
    def one_foot(self) -> bool:
        """Whether dancers reach the gap on one foot only, in a part that is never swapped."""
        ((swapped, weight), *more) = self.dancers
        return not more and self.kinds == (swapped,) == (PLAIN,) and weight in _FEET and self.base.program is not None

    def _weights(self, program: Program | None, items: dict[Swapped, Item]) -> tuple[Dancers, Dancers]:
        """Return the dancers who surely reach the gap, and all who may; `items` stand in its place in passes of their
        kind."""
        sure: list[Dancer] = []
        perhaps: list[Dancer] = []
        for kind in self.kinds if program is not None else ():
            assert program is not None
            marked, here = items.get(kind), program
            if marked is None:
                marked = Silence(self.line, self.blank.ticks, *kind)
                here = mapped(program, with_items(self.line, {kind: marked}))
            surely, maybe = self.trials.weights(here, marked)
            sure += [(kind, weight) for weight in sorted(surely)]
            perhaps += [(kind, weight) for weight in sorted(maybe)]
        return tuple(sure), tuple(perhaps)

    # -- what rows can do --------------------------------------------------------------------------------------------

    def choices(self) -> Iterator[Candidate]:
        """Yield the outcomes with which nothing is refuted, each with its first row, in their order."""
        heap: list[tuple[int, tuple[int, ...], int, Outcome, Candidate | None, Row, Dancers]] = []
        begun: dict[Dancers, Iterator[tuple[Outcome, int, Row]]] = {}
        number = 0

        def onward(dancers: Dancers) -> None:
            """Put the next outcome for some dancers among those that are waiting."""
            nonlocal number
            found = next(begun[dancers], None)
            if found is not None:
                number += 1
                heappush(heap, (found[1], (), number, found[0], None, found[2], dancers))

        begun[self.dancers] = self._outcomes(self.dancers)
        onward(self.dancers)
        while heap:
            _, _, _, outcome, made, row, dancers = heappop(heap)
            if made is not None:
                yield made
                continue
            onward(dancers)
            found = self._followed(outcome, row)
            if found is True:
                first = next(self._rows(outcome), None)
                if first is not None:
                    number += 1
                    made = Candidate(outcome, first[1], first[0], partial(self._rows, outcome))
                    heappush(heap, (*made.order, number, outcome, made, row, dancers))
            elif found is not False and found not in begun:
                begun[found] = self._outcomes(found)
                onward(found)

    def _followed(self, outcome: Outcome, row: Row) -> Dancers | bool:
        """Say whether what a row does fits; or return the dancers that have to be told as well."""
        dancers = self.dancers
        every = dict(outcome)
        while True:
            part = tuple((dancer, every[dancer]) for dancer in dancers)
            if part not in self._known:
                self._known[part] = self._decided(part, row)
            found = self._known[part]
            if isinstance(found, bool):
                # What fits, or does not, without some of these dancers was looked at without them.
                return found and len(part) == len(outcome)
            if not set(found) <= every.keys():
                return found if len(part) == len(outcome) else False
            dancers = found

    def _decided(self, outcome: Outcome, row: Row) -> Dancers | bool:
        """Say whether a row of this outcome fits; or return the dancers who reach the gap then, if there are more."""
        program, told = self.base.program, [dancer for dancer, _ in outcome]
        items = self._items(outcome, row)
        if program is None or items is None:
            return self.trials.fits(self.trials.laid((*self.done, filling(self.blank, written(row)))))
        after = mapped(program, with_items(self.line, items))
        if not self.trials.stands(after):
            return False
        if self.settled:
            return True
        sure, perhaps = self._weights(after, items)
        more = [one for one in sure if one not in told] or [one for one in perhaps if one not in told]
        return tuple(sorted({*told, *more})) if more else True

    def _items(self, outcome: Outcome, row: Row) -> dict[Swapped, Item] | None:
        """Return an item with this outcome for the place of the gap, by the swap of the pass; None if the sheet has to
        be laid out for it."""
        kinds = [swapped for (swapped, _), _ in outcome]
        if not self.whole:
            return None
        if len(set(kinds)) == len(kinds) and all(weight in _FEET for (_, weight), _ in outcome):
            return {
                swapped: Step(self.line, stand_in(self.blank.ticks, weight, Weight(after)), turn)
                for (swapped, weight), (after, turn) in outcome
            }
        figures = written(row)
        if not row or any(placed.named for placed in figures):
            return None

        def step(placed: Placed, turns: bool) -> Step:
            turn = placed.eighths
            return Step(self.line, placed.figure, -turn if turns and turn else turn)

        return {kind: Repeat(self.line, 1, tuple(step(one, kind[1]) for one in figures)) for kind in kinds}

    def _outcomes(self, dancers: Dancers) -> Iterator[tuple[Outcome, int, Row]]:
        """Yield the outcomes of rows of the length for some dancers, the cheapest first, with a row where there are
        several."""
        based = _bases(dancers)
        bases = tuple(dict.fromkeys(based.values()))
        if (
            len(bases) == 1
            and all(weight in _FEET for _, weight in dancers)
            and len({kind for kind, _ in dancers}) == len(dancers)
        ):
            found = self.search.outcomes(self.blank.ticks, bases[0])
            for state, cost in sorted(found.items(), key=lambda one: (one[1], one[0])):
                yield tuple((dancer, _mirrored(dancer, state)) for dancer in dancers), cost, ()
            return
        for states, cost, row in self.search.joint(self.blank.ticks, bases):
            ends = dict(zip(bases, states, strict=True))
            yield tuple((dancer, _mirrored(dancer, ends[based[dancer]])) for dancer in dancers), cost, row

    def _rows(self, outcome: Outcome) -> Iterator[tuple[Order, Filling]]:
        based = _bases(tuple(dancer for dancer, _ in outcome))
        goals: dict[int, Goal] = {}
        for dancer, end in outcome:
            base = based[dancer]
            weight, turn = _mirrored(dancer, end)
            goals[base] = Goal(base, frozenset({(weight + base // CROSSED * CROSSED, turn)}))
        for row in self.search.rows(self.blank.ticks, tuple(goals.values())):
            yield self.search.order(row), filling(self.blank, written(row))


def _bases(dancers: Dancers) -> dict[Dancer, int]:
    """Return the weights from which a row does for a search what it does for dancers, or the mirror image of that."""
    plain = {int(weight) for swapped, weight in dancers if swapped == PLAIN}
    found = {}
    for dancer in dancers:
        (feet, turns), weight = dancer
        base, _ = _mirrored(dancer, (weight, 0))
        if feet is not turns:
            base += CROSSED
        elif turns and plain and base not in plain:
            base += LOOSE
        found[dancer] = base
    return found


def _mirrored(dancer: Dancer, state: State) -> State:
    """Return the mirror image of a state, without the mark of a search on its weight, for a dancer whose turns are
    swapped; for another the state itself."""
    (_, turns), _ = dancer
    weight, turn = state[0] % CROSSED, state[1]
    if not turns:
        return weight, turn
    return weight if weight == Weight.BOTH else 1 - weight, -turn


# -- what stands in the place of a gap -------------------------------------------------------------------------------


def with_items(line: int, items: Mapping[Swapped, Item]) -> Change:
    """Return the change that puts items in the place of the gap of a line, by how its pass is swapped there."""
    return lambda item: (
        items.get((item.feet, item.mirrored), item) if isinstance(item, Silence) and item.line == line else item,
    )


def stand_in(ticks: int, before: Weight, after: Weight) -> Figure:
    """Return a figure that lasts `ticks` and leads from one foot to `after`."""
    actor = Actor.BOTH if after is Weight.BOTH else Actor.FREE
    movement = Movement("?", ("?",), (Sense("", actor, after is not before),))
    return Figure("?", (Version("", (Action(movement, None, ticks, 1),), ticks),), lead=Foot(before).other)
