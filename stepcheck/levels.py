"""The search for the cheapest changes: every set of changes of some cost, danced all at once.

Dancers are followed one by one through the slots of a sheet.  A claim that fails ends the way, unless the claim itself is
changed to what is danced.  Changes that lead to the same place are followed together.
"""

from collections.abc import Iterable, Iterator

from attrs import evolve

from stepcheck.dancers import Dancer, Dancers, Picks, Result, Scope, fits, led, mended, moved, timeless
from stepcheck.deeds import Unclear
from stepcheck.floors import Floors
from stepcheck.model import EIGHTHS, Check, Test, Weight
from stepcheck.needs import Needs
from stepcheck.nodes import Either, Endless, Inner, Lasting, Loop, Maybe, Node, Nodes, Part, Round, Short, Slot
from stepcheck.offers import Offers, Variant
from stepcheck.recurring import Recurring
from stepcheck.restated import claimed
from stepcheck.shorts import Shorts
from stepcheck.sights import Sights
from stepcheck.slots import Outline, keys, slots_in

MOST_ROUNDS = 64



class WorkSpent(Exception):
    """More had to be looked at than the budget allows."""


class Levels:
    """One search over a routine; with `alone` one way to each place is kept, where which one makes no difference."""

    def __init__(self, sketch: Outline, offers: Offers, budget: int, alone: bool = False) -> None:
        self.sketch, self.offers, self.left = sketch, offers, budget
        # Where laps are not all of the dance, what is not told apart here could still matter to the number of walls.
        self.alone = alone and (sketch.program.walls is None or all(isinstance(one, Endless | Check) for one in sketch.dance))
        self.prices, self.deeds = offers.prices, offers.deeds
        self.least = min(self.prices.values(), default=1 << 60)
        self.restating = claimed(sketch, self.prices, offers.kept)
        self._memo: dict[object, list[Result]] = {}
        self.shorts = Shorts(offers)
        self.recurring = Recurring(sketch.builder)
        self.floors = Floors(sketch.dance, self.recurring, self.ways, len(self.deeds.still), self.least)
        seen: set[int] = set()
        for nodes in (sketch.dance, *(nodes for _, nodes in sketch.spares), sketch.walls):
            self._take(nodes, seen)
        self.needs = Needs(offers)
        self.sights = Sights(sketch, self.offers.own)
        if self.alone:
            self.offers.alike = lambda key, deed: self.sights.line(key).alike(deed)

    def _take(self, nodes: Nodes, seen: set[int]) -> None:
        if id(nodes) in seen:
            return
        seen.add(id(nodes))
        for node in nodes:
            if isinstance(node, Slot):
                self.offers.add(node)
            elif isinstance(node, Lasting):
                self._take(node.nodes, seen)
                self.offers.cut.update(slot.key for slot in slots_in(node.nodes))
            elif isinstance(node, Short):
                self._take(self.sketch.builder.nodes(node.body), seen)
                self.offers.cut.update(slot.key for slot in slots_in(self.sketch.builder.nodes(node.body)))
            elif not isinstance(node, Check):
                self._take(node.nodes, seen)

    # -- the whole sheet ---------------------------------------------------------------------------------------------

    def found(self, budget: int) -> list[tuple[int, Picks]]:
        """Return every set of changes of cost `budget` at most after which nothing fails; each with its cost."""
        program = self.sketch.program
        start = int(program.lead.other)
        begin = tuple((3 * place + start, start, 0, 0) for place in range(len(self.deeds.assignments)))
        results = self.ways(self.sketch.dance, begin, Scope({}, front=program.facing), budget)
        closed = frozenset(keys(self.sketch.dance, self.sketch.builder))
        for weights, nodes in self.sketch.spares:
            for weight in weights:
                begin = tuple((3 * place + weight, weight, 0, 0) for place in range(len(self.deeds.assignments)))
                results = [
                    Result((), result.laps, result.cost + more.cost, result.picks + more.picks)
                    for result in results
                    for more in self.ways(nodes, begin, Scope(dict(result.picks), closed=closed), budget - result.cost)
                ]
                closed |= frozenset(keys(nodes, self.sketch.builder))
        if program.walls is not None:
            results = [more for result in results for more in self._walls(result, budget)]
        return [(result.cost, result.picks) for result in results]

    def _walls(self, result: Result, budget: int) -> Iterator[Result]:
        """Yield a result if the laps turn alike and come home after as many as the sheet has walls, or claims so then."""
        walls = self.sketch.program.walls
        assert walls is not None
        turns = set()
        for place in range(len(self.deeds.assignments)):
            facings, known = 0, 0
            bits = result.laps >> 11 * place
            facings, pending = bits & 255, bits >> 8 & 7
            if not bits & 2047:
                pending = 1 << int(self.sketch.program.lead.other)
            while pending & ~known:
                weight = (pending & ~known).bit_length() - 1
                known |= 1 << weight
                begin = ((3 * place + weight, weight, 0, 0),)
                ends = self.ways(self.sketch.walls, begin, Scope(dict(result.picks), mending=True), 0)
                if not ends:
                    return
                for _, after, turn, _ in ends[0].dancers:
                    facings |= 1 << turn % EIGHTHS
                    pending |= 1 << after
            turns.add(facings)
        yield from self.restating.walls(walls, turns, result, budget)

    # -- nodes -------------------------------------------------------------------------------------------------------

    def ways(self, nodes: Nodes, dancers: Dancers, scope: Scope, budget: int) -> list[Result]:
        """Return where dancers can come to with changes of cost `budget` at most, beside those already picked."""
        recurring, passed = self.recurring.passed(nodes) if budget >= self.least else (frozenset(), ())
        bounds = self.floors.bound(nodes, scope) if budget >= self.least else ()
        seen = self.sights.of(nodes).seen
        frontier: dict[tuple[Dancers, int, int, Picks], list[Picks]] = {(dancers, 0, 0, ()): [()]}
        for place, node in enumerate(nodes):
            onward: dict[tuple[Dancers, int, int, Picks], list[Picks]] = {}
            most = budget - bounds[place] if bounds else budget
            inner = evolve(scope, closed=scope.closed | passed[place]) if recurring and passed[place] else scope
            for (here, laps, cost, tag), before in frontier.items():
                if cost > most:
                    continue
                around = evolve(inner, known={**scope.known, **dict(tag)}) if tag else inner
                if isinstance(node, Slot):
                    last = most - cost < 2 * self.least and most == budget
                    found: Iterable[Result] = self._slot(nodes, place if last else -1, node, here, around, most - cost)
                else:
                    found = self._step(node, here, around, most - cost)
                for there, more_laps, more, made in found:
                    there = seen(there)
                    if self.alone:
                        self.left -= 1
                        if self.left < 0:
                            raise WorkSpent
                    kept = tag + tuple(pick for pick in made if pick[0] in recurring) if made else tag
                    where = (there, laps | more_laps, cost + more, kept)
                    if self.alone and where in onward:
                        continue
                    ways = [one + made for one in before] if made else before
                    onward[where] = onward[where] + ways if where in onward else ways
            frontier = onward
            self.left -= 0 if self.alone else len(frontier)
            if self.left < 0:
                raise WorkSpent
            if not frontier:
                break
        return [Result(there, laps, cost, one) for (there, laps, cost, _), some in frontier.items() for one in some]

    def _step(self, node: Node, dancers: Dancers, scope: Scope, budget: int) -> Iterable[Result]:
        """Return where dancers come to after one node."""
        match node:
            case Check():
                return self._check(node, dancers, scope, budget)
            case Part():
                return self._part(node, dancers, scope, budget)
            case Loop():
                return self._loop(node, dancers, scope, budget)
            case Inner():
                return self._inner(node, dancers, scope, budget)
            case Short():
                return self._short(node, dancers, scope, budget)
            case Round():
                return self._round(node, dancers, scope, budget)
            case Endless():
                return self._endless(node, dancers, scope, budget)
            case Either():
                return self._either(node, dancers, scope, budget)
            case Lasting():
                return self._lasting(node, dancers, scope, budget)
            case Maybe():
                found = self.ways(node.nodes, dancers, scope, budget)
                return [one._replace(dancers=dancers) for one in found]

    def _slot(
        self, nodes: Nodes, place: int, slot: Slot, dancers: Dancers, scope: Scope, budget: int
    ) -> Iterator[Result]:
        """Yield where dancers come to after a slot; `place` is its number in `nodes` if there is only one more change, else -1."""
        key, front = slot.key, scope.front
        picked = scope.known.get(key)
        own = moved(self.offers.own[slot] if picked is None else self.offers.deed(slot, picked), dancers, front)
        if own is not None:
            yield Result(own, 0, 0, ())
        if picked is not None or (not slot.blank and (budget < self.least or key in scope.closed)):
            return
        variants: Iterable[Variant] = self.offers.variants(key)
        if not variants:
            return
        if not slot.blank and place >= 0 and len(dancers) == 1 and not (scope.known and scope.known.keys() & self.recurring.keys(nodes)):
            # This is the last change here, so only what fits all that comes behind it is of use.
            variants = self._last(nodes, place, slot, dancers[0], scope, budget)
        for variant in variants:
            self.left -= self.alone
            if variant.cost <= budget:
                after = moved(self.offers.deed(slot, variant), dancers, front)
                if after is not None:
                    yield Result(after, 0, variant.cost, ((key, variant),))

    def _last(self, nodes: Nodes, place: int, slot: Slot, dancer: Dancer, scope: Scope, budget: int) -> Iterator[Variant]:
        """Yield the variants of a slot after which nothing more need be changed in `nodes`, and those that lead several ways."""
        origin, weight, turn, clock = dancer
        base = origin - origin % 3
        found = self.offers.sorted(slot, base + weight)
        for after, by_ticks in found.ways.items():
            need = self.needs.behind(nodes, place, base + after, scope, slot.key)
            if need is None:
                continue
            if need.clock is None:
                some = ((ticks, one) for ticks, ones in by_ticks.items() for one in ones)
            else:
                some = ((need.clock - clock, one) for one in by_ticks.get(need.clock - clock, ()))
            for ticks, (more, variant) in some:
                if need.fits(turn + more, clock + ticks):
                    yield variant
        yield from found.rest

    def _check(self, check: Check, dancers: Dancers, scope: Scope, budget: int) -> Iterator[Result]:
        if check.value is None and check.test is Test.LEAD:
            # A foot that is to be found is the free one; from both feet it is either.
            for weight in Weight if any(one[1] == Weight.BOTH for one in dancers) else ():
                if weight != Weight.BOTH:
                    yield Result(tuple(sorted({(o, min(w, weight) if w == 2 else w, t, c) for o, w, t, c in dancers})), 0, 0, ())
            if all(one[1] != Weight.BOTH for one in dancers):
                yield Result(dancers, 0, 0, ())
            return
        claim, swap, front = check.claim.id, scope.swap, scope.front
        restated = scope.known.get(claim)
        if restated is not None:
            after = restated.after(check, dancers, swap, front)
            if after is not None or scope.mending:
                yield Result(mended(check, dancers, front) if after is None else after, 0, 0, ())
            return
        holds = fits(check, dancers, front)
        if holds:
            yield Result(led(check, dancers), 0, 0, ())
        elif scope.mending:
            yield Result(mended(check, dancers, front), 0, 0, ())
        if budget >= self.least and claim not in scope.closed:
            for cost, other in self.restating.others(check, dancers, swap, front, holds):
                after = other.after(check, dancers, swap, front) if cost <= budget else None
                if after is not None:
                    yield Result(after, 0, cost, ((claim, other),))

    def _part(self, part: Part, dancers: Dancers, scope: Scope, budget: int) -> Iterator[Result]:
        codes = tuple(sorted({origin - origin % 3 + weight for origin, weight, _, _ in dancers}))
        inside = {key: pick for key, pick in scope.known.items() if key in part.keys}
        closed = scope.closed & part.keys
        if budget < self.least or closed == part.keys:
            budget = 0
        where = (part, codes, tuple(inside.items()), closed, budget, scope.mending)
        found = self._memo.get(where)
        if found is None:
            begin = tuple((code, code % 3, 0, 0) for code in codes)
            found = self._memo[where] = self.ways(part.nodes, begin, Scope(inside, part.swap, 0, closed, scope.mending), budget)
        for result in found:
            out: dict[Dancer, None] = {}
            laps = result.laps
            for origin, weight, turn, clock in dancers:
                code = origin - origin % 3 + weight
                for came, after, more, ticks in result.dancers:
                    if came == code:
                        out[origin, after, turn + more, clock + ticks] = None
                        if part.lap:
                            laps |= (1 << more % EIGHTHS | 256 << after) << 11 * (origin // 3)
            yield result._replace(dancers=tuple(sorted(out)), laps=laps)

    def _inner(self, node: Inner, dancers: Dancers, scope: Scope, budget: int) -> Iterator[Result]:
        clocks = {origin // 3: clock for origin, _, _, clock in dancers}
        inside = tuple((origin, weight, turn, 0) for origin, weight, turn, _ in dancers)
        for found in self.ways(node.nodes, inside, scope, budget):
            yield found._replace(dancers=tuple((o, w, t, c + clocks[o // 3]) for o, w, t, c in found.dancers))

    def _loop(self, loop: Loop, dancers: Dancers, scope: Scope, budget: int) -> Iterator[Result]:
        if loop.times is not None and loop.times > MOST_ROUNDS:
            raise Unclear("a block is danced very often")
        for found in self.ways(loop.nodes, dancers, scope, budget):
            settled = scope.settled(found.picks)
            here, laps = found.dancers, found.laps
            for _ in range((loop.times or MOST_ROUNDS) - 1):
                if loop.times is None:
                    yield found._replace(dancers=here, laps=laps)
                again = self.ways(loop.nodes, here, settled, 0)
                if not again:
                    break
                here, laps = again[0].dancers, laps | again[0].laps
            else:
                yield found._replace(dancers=here, laps=laps)

    def _round(self, node: Round, dancers: Dancers, scope: Scope, budget: int) -> Iterator[Result]:
        for found in self.ways(node.nodes, dancers, scope, budget):
            settled, laps = scope.settled(found.picks), found.laps
            for dancer in dancers:
                for alone in self.ways(node.nodes, (dancer,), settled, 0):
                    for origin, after, turn, _ in alone.dancers:
                        laps |= (1 << (turn - dancer[2]) % EIGHTHS | 256 << after) << 11 * (origin // 3)
            yield found._replace(laps=laps)

    def _endless(self, node: Endless, dancers: Dancers, scope: Scope, budget: int) -> Iterator[Result]:
        start = timeless(dancers)
        for found in self.ways(node.nodes, start, scope, budget):
            settled = scope.settled(found.picks)
            here, there, laps = start, found.dancers, found.laps
            while True:
                grown = tuple(sorted({*here, *timeless(there)}))
                if grown == here:
                    yield found._replace(dancers=here, laps=laps)
                    break
                again = self.ways(node.nodes, grown, settled, 0)
                if not again:
                    break
                here, there, laps = grown, again[0].dancers, laps | again[0].laps

    def _either(self, node: Either, dancers: Dancers, scope: Scope, budget: int) -> Iterator[Result]:
        """Yield where alternatives lead, each chosen afresh; what is changed in one is changed in those after it."""
        clocks = {origin // 3: clock for origin, _, _, clock in dancers}
        inside = tuple((origin, weight, turn, 0) for origin, weight, turn, _ in dancers)
        found = [Result((), 0, 0, ())]
        closed = scope.closed
        for number, option in enumerate(node.options):
            onward = []
            for before in found:
                around = evolve(scope, closed=closed).settled(before.picks)
                for more in self.ways(option, inside, around, budget - before.cost):
                    ends = more.dancers
                    if number and not node.claimed:
                        long = {origin // 3: clock for origin, _, _, clock in before.dancers}
                        ends = tuple((o, w, t, long[o // 3]) for o, w, t, _ in ends)
                    ends = tuple(sorted({*before.dancers, *ends}))
                    onward.append(Result(ends, before.laps | more.laps, before.cost + more.cost, before.picks + more.picks))
            found, closed = onward, closed | self.recurring.keys(option)
        for one in found:
            if len({(origin // 3, clock) for origin, _, _, clock in one.dancers}) == len(clocks):
                yield one._replace(dancers=tuple((o, w, t, c + clocks[o // 3]) for o, w, t, c in one.dancers))

    def _lasting(self, node: Lasting, dancers: Dancers, scope: Scope, budget: int) -> Iterator[Result]:
        """Yield where laps until the music ends lead: as many whole ones as there is room for, and the start of another."""
        for found in self.ways(node.nodes, dancers, scope, budget):
            settled, here, laps = scope.settled(found.picks), found.dancers, found.laps
            clock, lap = (min(some[3] for some in group) for group in (dancers, here))
            lap -= clock
            if lap <= 0 or any(one[3] != clock for one in dancers) or any(one[3] != clock + lap for one in here):
                continue
            rounds, rest = divmod(node.ticks - clock, lap)
            if rounds > MOST_ROUNDS:
                raise Unclear("the dance goes round very often")
            again: list[Result] = [found] if rounds > 0 else []
            for _ in range(rounds - 1):
                again = self.ways(node.nodes, here, settled, 0)
                if not again:
                    break
                here, laps = again[0].dancers, laps | again[0].laps
            if again and rest:
                nodes = self.shorts.nodes(self.shorts.start(node, rest), settled.known)
                again = self.ways(nodes, here, settled, 0) if nodes is not None else []
                here = again[0].dancers if again else here
            if again:
                yield found._replace(dancers=here, laps=laps)

    def _short(self, short: Short, dancers: Dancers, scope: Scope, budget: int) -> Iterator[Result]:
        """Yield where a pass that is cut leads; what is still open in it is picked before it is cut."""
        opened: list[Slot] = []
        if budget >= self.least:
            slots = self.shorts.inside(short)
            opened = [slot for slot in slots if slot.key not in scope.known and slot.key not in scope.closed]
        for more, cost in self.shorts.picked(tuple(opened), budget):
            inner = scope.settled(more)
            nodes = self.shorts.nodes(short, inner.known)
            for found in self.ways(nodes, dancers, inner, budget - cost) if nodes is not None else ():
                yield found._replace(cost=found.cost + cost, picks=(*more, *found.picks))
