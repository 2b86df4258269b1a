"""The search among rows and claims: every set of changes of one cost after which no claim fails.

Dancers are followed through the slots of a sheet, each slot with every change that the cost still allows.  Where a
claim fails the way ends, unless the claim itself is changed to what is danced.  Sets of changes that lead dancers to
the same place are followed together.  What a stretch does is remembered by the identity of its nodes.
"""

from collections.abc import Iterable, Iterator
from typing import TypeAlias

from attrs import evolve

from stepcheck.model.claims import Check
from stepcheck.model.dance import EIGHTHS, Choice, Forever, Item, Lap, Last, Pass, Repeat, Timed, Uncut, Weight
from stepcheck.model.work import Work
from stepcheck.program.cutting import length
from stepcheck.search.bounds import Bounds, LookAhead, Recurring
from stepcheck.search.changes import Offers, Variant
from stepcheck.search.reached import Reached
from stepcheck.search.restated import claimed
from stepcheck.search.rounds import Cuts, Rounds
from stepcheck.search.slots import Nodes, Sketch, Slot, swap_of
from stepcheck.search.transitions import Dancer, Dancers, Picks, Result, Scope, Unclear, fits, lapped, mended, moved

Sorted: TypeAlias = tuple[dict[int, dict[int, list[tuple[int, Variant]]]], tuple[Variant, ...]]


class Search:
    """The search in one routine laid out as slots.

    Args:
        sketch: the routine.
        offers: what each line can be changed into, and what that costs.
        work: how many places of dancers may be come to.
    """

    def __init__(self, sketch: Sketch, offers: Offers, work: Work) -> None:
        self.sketch, self.offers, self.work = sketch, offers, work
        self.prices, self.transitions = offers.prices, offers.transitions
        self.least = min(self.prices.values(), default=1 << 60)
        self.restating = claimed(sketch, self.prices, offers.kept)
        self._memo: dict[object, list[Result]] = {}
        self._ends: dict[object, list[Result]] = {}  # without further changes, by the changes that were made
        self.cuts = Cuts(offers)
        self.recurring = Recurring(sketch)
        self.reached = Reached(sketch, 11 * len(self.transitions.assignments))
        self.rounds = Rounds(sketch, self.ways, self.cuts, self.reached)
        self.bounds = Bounds(sketch, self.ways, len(self.transitions.still), self.least, self._fixed)
        seen: set[int] = set()
        for nodes in (sketch.dance, *(nodes for _, nodes in sketch.spares), sketch.walls):
            self._take(nodes, seen)
        self.ahead = LookAhead(sketch, offers)

    def _take(self, nodes: Nodes, seen: set[int]) -> None:
        if id(nodes) in seen:
            return
        seen.add(id(nodes))
        for node in nodes:
            if isinstance(node, Slot):
                self.offers.add(node)
            for inner in self.sketch.inside(node):
                self._take(inner, seen)

    def _fixed(self, part: Pass) -> bool:
        """Say whether nothing of a part may be changed."""
        kept, closed, kinds = self.offers.kept, self.offers.closed, self.restating.kinds
        return all(
            key not in kinds if isinstance(key, str) else key[0] in (closed if key[1] else kept)
            for key in self.sketch.keys(part)
        )

    # -- the whole sheet ---------------------------------------------------------------------------------------------

    def found(self, budget: int) -> list[Picks]:
        """Return every set of changes of cost `budget` after which nothing fails."""
        program = self.sketch.program
        begin = self._begin(int(program.lead.other))
        results = self.ways(self.sketch.dance, begin, Scope({}, front=program.facing), budget)
        closed = self.recurring.keys(self.sketch.dance)
        for weights, nodes in self.sketch.spares:
            for weight in weights:
                begin = self._begin(weight)
                results = [
                    Result((), result.laps | more.laps, result.cost + more.cost, result.picks + more.picks)
                    for result in results
                    for more in self.ways(nodes, begin, Scope(dict(result.picks), closed=closed), budget - result.cost)
                ]
                closed |= self.recurring.keys(nodes)
        if program.walls is not None:
            results = [more for result in results for more in self._walls(result, budget)]
        return [result.picks for result in results if result.cost == budget and self.reached.all(result)]

    def _begin(self, weight: int) -> Dancers:
        return tuple((3 * place + weight, weight, 0, 0) for place in range(len(self.transitions.assignments)))

    def _walls(self, result: Result, budget: int) -> Iterator[Result]:
        """Yield a result if the laps turn alike and come home after as many as the sheet has walls, or claims so
        then."""
        walls = self.sketch.program.walls
        assert walls is not None
        turns = set()

        def fits_home(facings: int) -> bool:
            return not facings or self.restating.home(walls, facings, result, budget)

        for place in range(len(self.transitions.assignments)):
            known = 0
            bits = result.laps >> 11 * place
            facings, pending = bits & 255, bits >> 8 & 7
            if not bits & 2047:
                pending = 1 << int(self.sketch.program.lead.other)
            # Laps that turn in several ways come home after no number of them, whatever is claimed.
            while fits_home(facings) and pending & ~known:
                weight = (pending & ~known).bit_length() - 1
                known |= 1 << weight
                begin = ((3 * place + weight, weight, 0, 0),)
                ends = self.ways(self.sketch.walls, begin, Scope(dict(result.picks), mending=True), 0)
                if not ends:
                    return
                for _, after, turn, _ in ends[0].dancers:
                    facings |= 1 << turn % EIGHTHS
                    pending |= 1 << after
            if not fits_home(facings):
                return
            turns.add(facings)
        yield from self.restating.walls(walls, turns, result, budget)

    # -- nodes -------------------------------------------------------------------------------------------------------

    def ways(self, nodes: Nodes, dancers: Dancers, scope: Scope, budget: int) -> list[Result]:
        """Return the results of nodes with changes of cost `budget` at most, beside those already picked."""
        recurring, passed = self.recurring.passed(nodes) if budget >= self.least else (frozenset(), ())
        bounds = self.bounds.bound(nodes, scope) if budget >= self.least else ()
        frontier: dict[tuple[Dancers, int, int, Picks], list[Picks]] = {(dancers, 0, 0, ()): [()]}
        for place, node in enumerate(nodes):
            onward: dict[tuple[Dancers, int, int, Picks], list[Picks]] = {}
            most = budget - bounds[place] if bounds else budget
            inner = evolve(scope, closed=scope.closed | passed[place]) if recurring and passed[place] else scope
            for (here, laps, cost, tag), before in frontier.items():
                if cost > most:
                    continue
                around = inner.settled(tag)
                if isinstance(node, Slot):
                    last = most - cost < 2 * self.least and most == budget
                    found: Iterable[Result] = self._slot(nodes, place if last else -1, node, here, around, most - cost)
                else:
                    found = self._step(node, here, around, most - cost)
                for there, more_laps, more, made in found:
                    kept = tag + tuple(pick for pick in made if pick[0] in recurring) if made else tag
                    where = (there, laps | more_laps, cost + more, kept)
                    ways = [one + made for one in before] if made else before
                    onward[where] = onward[where] + ways if where in onward else ways
            frontier = onward
            self.work.spend(len(frontier))
            if not frontier:
                break
        return [Result(there, laps, cost, one) for (there, laps, cost, _), some in frontier.items() for one in some]

    def _step(self, node: Item, dancers: Dancers, scope: Scope, budget: int) -> Iterable[Result]:  # noqa: C901 - a case for each kind
        match node:
            case Check():
                return self._check(node, dancers, scope, budget)
            case Pass():
                return self._part(node, dancers, scope, budget)
            case Repeat():
                return self.rounds.loop(node, dancers, scope, budget)
            case Timed():
                found = self.ways(self.sketch.nodes(node.body), _reset(dancers), scope, budget)
                return [one._replace(dancers=_later(one.dancers, dancers)) for one in found]
            case Uncut(music=None):
                return self._cut(node, node.ticks, dancers, scope, budget)
            case Uncut():
                return self._lasting(node, dancers, scope, budget)
            case Lap():
                return self.rounds.lap(node, dancers, scope, budget)
            case Forever():
                return self.rounds.endless(node, dancers, scope, budget)
            case Choice():
                return self._choice(node, dancers, scope, budget)
            case Last():
                found = self.ways(self.sketch.nodes(node.body), dancers, scope, budget)
                return [one._replace(dancers=dancers) for one in found]
        raise Unclear("this is not looked at step by step")

    def _slot(
        self, nodes: Nodes, place: int, slot: Slot, dancers: Dancers, scope: Scope, budget: int
    ) -> Iterator[Result]:
        """Yield the results of a slot; `place` is its number in `nodes` if there is only one more change, else -1."""
        key, front = slot.key, scope.front
        picked = scope.known.get(key)
        own = moved(self.offers.own[slot] if picked is None else self.offers.transition(slot, picked), dancers, front)
        if own is not None:
            yield Result(own, 0, 0, ())
        if picked is not None or (not slot.blank and (budget < self.least or key in scope.closed)):
            return
        some: Iterable[Variant] = self.offers.variants(key)
        last = place >= 0 and len(dancers) == 1 and self.recurring.keys(nodes).isdisjoint(scope.known)
        if some and last and not slot.blank:
            # This is the last change here, so only what fits all that comes behind it is of use.
            some = self._last(nodes, place, slot, dancers[0], scope)
        for one in some:
            after = moved(self.offers.transition(slot, one), dancers, front) if one.cost <= budget else None
            if after is not None:
                yield Result(after, 0, one.cost, ((key, one),))

    def _last(self, nodes: Nodes, place: int, slot: Slot, dancer: Dancer, scope: Scope) -> Iterator[Variant]:
        """Yield the variants of a slot after which `nodes` need no other change, and those that lead several ways."""
        origin, weight, turn, clock = dancer
        base = origin - origin % 3
        ways, rest = self._sorted(slot, base + weight)
        for after, by_ticks in ways.items():
            need = self.ahead.behind(nodes, place, base + after, scope, slot.key)
            if need is None:
                continue
            asked = by_ticks if need.clock is None else (need.clock - clock,)
            for ticks in asked:
                for more, variant in by_ticks.get(ticks, ()):
                    if need.fits(turn + more, clock + ticks):
                        yield variant
        yield from rest

    def _sorted(self, slot: Slot, code: int) -> Sorted:
        """Return the variants of a slot by the weight after them and their ticks, each with its turn, and those that
        lead several ways; `code` is three times the assignment, and the weight before."""
        variants, index = self.offers.variants(slot.key), 0 if slot.point else self.offers.index[slot]
        where = (id(variants), index, code)
        if where not in self.offers.shared:
            ways: dict[int, dict[int, list[tuple[int, Variant]]]] = {}
            rest = []
            for one in variants:
                row = one.transitions[index][code]
                if row is not None and len(row) == 1 and not row[0].needs:
                    ways.setdefault(row[0].weight, {}).setdefault(row[0].ticks, []).append((row[0].turn, one))
                elif row is not None:
                    rest.append(one)
            self.offers.shared[where] = variants, (ways, tuple(rest))
        made: Sorted = self.offers.shared[where][1]
        return made

    def _check(self, check: Check, dancers: Dancers, scope: Scope, budget: int) -> Iterator[Result]:
        """Yield the results of a check: as it is where it holds, and with each other value of its claim."""
        if check.blank:
            yield from _foot_found(dancers)
            return
        claim, swap, front = check.claim.id, scope.swap, scope.front
        restated = scope.known.get(claim)
        if restated is not None:
            after = restated.after(check, dancers, swap, front)
            if after is not None or scope.mending:
                yield Result(mended(check, dancers, front) if after is None else after, 0, 0, ())
            return
        holds = fits(check, dancers, front)
        if holds or scope.mending:
            yield Result(mended(check, dancers, front), 0, 0, ())
        if budget >= self.least and claim not in scope.closed:
            for cost, other in self.restating.others(check, dancers, swap, front, holds):
                after = other.after(check, dancers, swap, front) if cost <= budget else None
                if after is not None:
                    yield Result(after, 0, cost, ((claim, other),))

    def _part(self, part: Pass, dancers: Dancers, scope: Scope, budget: int) -> Iterator[Result]:
        keys, nodes = self.sketch.keys(part), self.sketch.nodes(part.body)
        codes = tuple(sorted({origin - origin % 3 + weight for origin, weight, _, _ in dancers}))
        inside = {key: pick for key, pick in scope.known.items() if key in keys}
        closed = scope.closed & keys
        if budget < self.least or closed == keys:
            budget = 0
            closed = frozenset()
        where = (id(nodes), codes, tuple(inside.items()), closed, budget, scope.mending)
        found = self._memo.get(where)
        if found is None and not budget:
            found = self._ends.get((id(nodes), codes, tuple(inside.items())))
        if found is None:
            begin = tuple((code, code % 3, 0, 0) for code in codes)
            inner = Scope(inside, swap_of(part), 0, closed, scope.mending)
            found = self._memo[where] = self.ways(nodes, begin, inner, budget)
            for one in () if inside else found:
                # Dancers who come there again from the same foot, with the same changes, get as far.
                self._ends.setdefault((id(nodes), codes, one.picks), []).append(one._replace(cost=0, picks=()))
        for result in found:
            out: dict[Dancer, None] = {}
            laps = result.laps
            for origin, weight, turn, clock in dancers:
                code = origin - origin % 3 + weight
                for came, after, more, ticks in result.dancers:
                    if came == code:
                        out[origin, after, turn + more, clock + ticks] = None
                        if part.lap:
                            laps = lapped(laps, origin, more, after)
            yield result._replace(dancers=tuple(sorted(out)), laps=laps)

    def _choice(self, node: Choice, dancers: Dancers, scope: Scope, budget: int) -> Iterator[Result]:
        """Yield the results of alternatives, each chosen afresh; a change in one holds in those after it."""
        found = [Result((), 0, 0, ())]
        closed, alike = scope.closed, node.claim is not None and bool(node.claim.id)
        for number, option in enumerate(self.sketch.inside(node)):
            onward = []
            for before in found:
                around = evolve(scope, closed=closed).settled(before.picks)
                for more in self.ways(option, _reset(dancers), around, budget - before.cost):
                    ends = more.dancers
                    if number and not alike:
                        ends = _later(_reset(ends), before.dancers)
                    ends = tuple(sorted({*before.dancers, *ends}))
                    onward.append(
                        Result(ends, before.laps | more.laps, before.cost + more.cost, before.picks + more.picks)
                    )
            found, closed = onward, closed | self.recurring.keys(option)
        for one in found:
            if len({(origin // 3, clock) for origin, _, _, clock in one.dancers}) == len(_clocks(dancers)):
                yield one._replace(dancers=_later(one.dancers, dancers))

    def _lasting(self, uncut: Uncut, dancers: Dancers, scope: Scope, budget: int) -> Iterator[Result]:
        """Yield the results of laps until the music ends; where it ends before the first lap does, that is cut."""
        rooms = {(uncut.music or 0) - clock for _, _, _, clock in dancers}
        if len(rooms) == 1 and 0 < min(rooms) < (length(uncut.body) or 0):
            yield from self._cut(uncut, rooms.pop(), dancers, scope, budget)
        yield from self.rounds.lasting(uncut, dancers, scope, budget)

    def _cut(self, uncut: Uncut, ticks: int, dancers: Dancers, scope: Scope, budget: int) -> Iterator[Result]:
        """Yield the results of a pass cut after `ticks`; its open lines are picked before it is cut."""
        keys = frozenset(slot.key for slot in self.cuts.slots(uncut))
        settled = scope.closed.union(scope.known) if budget >= self.least else keys
        opened, first = self.cuts.opened(uncut, ticks, scope, settled)
        for more, cost in self.cuts.picked(opened, budget, first):
            self.work.spend(1)
            inner = evolve(scope, closed=scope.closed | keys).settled(more)
            nodes = self.cuts.nodes(uncut, ticks, inner.known)
            for found in self._start(nodes, dancers, inner, budget - cost) if nodes is not None else ():
                laps = found.laps | self.reached.within(nodes or ())
                yield Result(found.dancers, laps, found.cost + cost, (*more, *found.picks))

    def _start(self, nodes: Nodes, dancers: Dancers, scope: Scope, budget: int) -> list[Result]:
        """Return where the start of a pass leads, with its rows as they are; what stands behind the cut makes no
        difference."""
        said = tuple(pick for pick in scope.known.items() if isinstance(pick[0], str))
        closed = scope.closed if budget >= self.least else frozenset()
        where = (id(nodes), dancers, said, scope.swap, scope.front, closed, budget, scope.mending)
        if where not in self._memo:
            self._memo[where] = self.ways(nodes, dancers, scope, budget)
        return self._memo[where]


def _clocks(dancers: Dancers) -> dict[int, int]:
    return {origin // 3: clock for origin, _, _, clock in dancers}


def _reset(dancers: Dancers) -> Dancers:
    return tuple((origin, weight, turn, 0) for origin, weight, turn, _ in dancers)


def _later(dancers: Dancers, before: Dancers) -> Dancers:
    """Return dancers whose clocks go on from those of the dancers before."""
    clocks = _clocks(before)
    return tuple((origin, weight, turn, clock + clocks[origin // 3]) for origin, weight, turn, clock in dancers)


def _foot_found(dancers: Dancers) -> Iterator[Result]:
    """Yield the results of a blank foot: the free one; from both feet either."""
    if all(one[1] != Weight.BOTH for one in dancers):
        yield Result(dancers, 0, 0, ())
        return
    for weight in (Weight.LEFT, Weight.RIGHT):
        yield Result(tuple(sorted({(o, weight if w == Weight.BOTH else w, t, c) for o, w, t, c in dancers})), 0, 0, ())
