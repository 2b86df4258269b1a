"""The search for the cheapest changes: every set of changes of some cost, danced all at once.

Dancers are followed one by one through the slots of a sheet.  A claim that fails ends the way, unless the claim itself is
changed to what is danced.  Changes that lead to the same place are followed together.
"""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any, NamedTuple, TypeAlias

from attrs import evolve, frozen

from stepcheck.contracts import Swap
from stepcheck.deeds import Deed, Unclear
from stepcheck.model import EIGHTHS, Check, Kind, Test
from stepcheck.offers import Offers, Variant
from stepcheck.restated import Restated, claimed, fits, led
from stepcheck.shorts import Shorts
from stepcheck.slots import Dancers, Endless, Inner, Loop, Maybe, Node, Nodes, Outline, Part, Round, Short, Slot, keys

MOST_ROUNDS = 64

Key: TypeAlias = Any
Pick: TypeAlias = tuple[Key, Variant | Restated]
Picks: TypeAlias = tuple[Pick, ...]


class Result(NamedTuple):
    """Where dancers can stand at the end of some nodes, what has to be changed for it, and what that costs.

    A dancer is where it came from (three times the assignment of readings, and its weight), its weight, its signed turn and
    its clock since the frame began.  `laps` has the bits of the changes of facing of the laps, and of the weights at their ends.
    """

    dancers: Dancers
    laps: int
    cost: int
    picks: Picks


class WorkSpent(Exception):
    """More had to be looked at than the budget allows."""


class Levels:
    """One search over a routine."""

    def __init__(self, sketch: Outline, offers: Offers, budget: int) -> None:
        self.sketch, self.offers, self.left = sketch, offers, budget
        self.prices, self.deeds = offers.prices, offers.deeds
        self.least = min(self.prices.values(), default=1 << 60)
        self.restating = claimed(sketch, self.prices, offers.kept)
        self._memo: dict[object, list[Result]] = {}
        self._known: dict[int, tuple[frozenset[Key], tuple[frozenset[Key], ...]]] = {}
        self.shorts = Shorts(offers)
        for nodes in (sketch.dance, *(nodes for _, nodes in sketch.spares), sketch.walls):
            self._take(nodes, set())

    def _take(self, nodes: Nodes, seen: set[int]) -> None:
        if id(nodes) in seen:
            return
        seen.add(id(nodes))
        for node in nodes:
            if isinstance(node, Slot):
                self.offers.add(node)
            elif isinstance(node, Short):
                self._take(self.sketch.builder.nodes(node.body), seen)
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
                ends = self.drive(self.sketch.walls, begin, result.picks, Swap(), 0)
                if ends is None:
                    return
                for _, after, turn, _ in ends.dancers:
                    facings |= 1 << turn % EIGHTHS
                    pending |= 1 << after
            turns.add(facings)
        yield from self.restating.walls(walls, turns, result, budget)

    # -- nodes -------------------------------------------------------------------------------------------------------

    def drive(self, nodes: Nodes, dancers: Dancers, picks: Picks, swap: Swap, front: int) -> Result | None:
        """Return where dancers come to without any more changes; None if something fails."""
        found = self.ways(nodes, dancers, Scope(dict(picks), swap, front), 0)
        return found[0] if found else None

    def ways(self, nodes: Nodes, dancers: Dancers, scope: "Scope", budget: int) -> list[Result]:
        """Return where dancers can come to with changes of cost `budget` at most, beside those already picked."""
        recurring, passed = self._passed(nodes)
        if budget < self.least:
            recurring = frozenset()
        frontier: dict[tuple[Dancers, int, int, Picks], list[Picks]] = {(dancers, 0, 0, ()): [()]}
        for node, behind in zip(nodes, passed, strict=True):
            onward: dict[tuple[Dancers, int, int, Picks], list[Picks]] = {}
            self.left -= len(frontier)
            if self.left < 0:
                raise WorkSpent
            inner = evolve(scope, closed=scope.closed | behind) if behind and recurring else scope
            for (here, laps, cost, tag), before in frontier.items():
                around = evolve(inner, known={**scope.known, **dict(tag)}) if tag else inner
                for there, more_laps, more, made in self._step(node, here, around, budget - cost):
                    kept = tag + tuple(pick for pick in made if pick[0] in recurring) if made else tag
                    where = (there, laps | more_laps, cost + more, kept)
                    ways = [one + made for one in before] if made else before
                    onward[where] = onward[where] + ways if where in onward else ways
            frontier = onward
            if not frontier:
                break
        return [Result(there, laps, cost, one) for (there, laps, cost, _), some in frontier.items() for one in some]

    def _passed(self, nodes: Nodes) -> tuple[frozenset[Key], tuple[frozenset[Key], ...]]:
        """Return the lines and claims that nodes come to more than once, and for each node those that came before it."""
        if id(nodes) not in self._known:
            seen: set[Key] = set()
            again: set[Key] = set()
            passed: list[frozenset[Key]] = []
            for node in nodes:
                found = set(keys((node,), self.sketch.builder))
                again |= found & seen
                if not isinstance(node, Check | Slot | Part):
                    again |= found
                passed.append(frozenset(seen))
                seen |= found
            recurring = frozenset(again)
            # The two ends of a heading of counts are one claim, which may be changed at either.
            ends = {n.claim.id for n in nodes if isinstance(n, Check) and n.claim.kind is Kind.COUNTS}
            self._known[id(nodes)] = recurring, tuple(some & recurring - ends for some in passed)
        return self._known[id(nodes)]

    def _step(self, node: Node, dancers: Dancers, scope: "Scope", budget: int) -> Iterable[Result]:
        """Return where dancers come to after one node."""
        match node:
            case Slot():
                return self._slot(node, dancers, scope, budget)
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
            case Maybe():
                found = self.ways(node.nodes, dancers, scope, budget)
                return [one._replace(dancers=dancers) for one in found]

    def _slot(self, slot: Slot, dancers: Dancers, scope: "Scope", budget: int) -> list[Result]:
        key, front = slot.key, scope.front
        picked = scope.known.get(key)
        own = moved(self.offers.own[slot] if picked is None else self._deed(slot, picked), dancers, front)
        out = [] if own is None else [Result(own, 0, 0, ())]
        if picked is not None or budget < self.least or key in scope.closed:
            return out
        for variant in self.offers.variants(key):
            if variant.cost <= budget:
                after = moved(self._deed(slot, variant), dancers, front)
                if after is not None:
                    out.append(Result(after, 0, variant.cost, ((key, variant),)))
        return out

    def _deed(self, slot: Slot, variant: Variant) -> Deed:
        return variant.deeds[0 if slot.point else self.offers.index[slot]]

    def _check(self, check: Check, dancers: Dancers, scope: "Scope", budget: int) -> Iterator[Result]:
        if check.value is None and check.test is Test.LEAD:
            raise Unclear("a blank")
        claim, swap, front = check.claim.id, scope.swap, scope.front
        restated = scope.known.get(claim)
        if restated is not None:
            after = restated.after(check, dancers, swap, front)
            if after is not None:
                yield Result(after, 0, 0, ())
            return
        holds = fits(check, dancers, front)
        if holds:
            yield Result(led(check, dancers), 0, 0, ())
        if budget >= self.least and claim not in scope.closed:
            for cost, other in self.restating.others(check, dancers, swap, front, holds):
                after = other.after(check, dancers, swap, front) if cost <= budget else None
                if after is not None:
                    yield Result(after, 0, cost, ((claim, other),))

    def _part(self, part: Part, dancers: Dancers, scope: "Scope", budget: int) -> Iterator[Result]:
        codes = tuple(sorted({origin - origin % 3 + weight for origin, weight, _, _ in dancers}))
        inside = {key: pick for key, pick in scope.known.items() if key in part.keys}
        closed = scope.closed & part.keys
        if budget < self.least or closed == part.keys:
            budget = 0
        where = (part, codes, tuple(inside.items()), closed, budget)
        found = self._memo.get(where)
        if found is None:
            begin = tuple((code, code % 3, 0, 0) for code in codes)
            found = self._memo[where] = self.ways(part.nodes, begin, Scope(inside, part.swap, 0, closed), budget)
        for result in found:
            out = {}
            laps = result.laps
            for origin, weight, turn, clock in dancers:
                code = origin - origin % 3 + weight
                for came, after, more, ticks in result.dancers:
                    if came == code:
                        out[origin, after, turn + more, clock + ticks] = None
                        if part.lap:
                            laps |= (1 << more % EIGHTHS | 256 << after) << 11 * (origin // 3)
            yield result._replace(dancers=tuple(sorted(out)), laps=laps)

    def _inner(self, node: Inner, dancers: Dancers, scope: "Scope", budget: int) -> Iterator[Result]:
        clocks = {origin // 3: clock for origin, _, _, clock in dancers}
        inside = tuple((origin, weight, turn, 0) for origin, weight, turn, _ in dancers)
        for found in self.ways(node.nodes, inside, scope, budget):
            yield found._replace(dancers=tuple((o, w, t, c + clocks[o // 3]) for o, w, t, c in found.dancers))

    def _loop(self, loop: Loop, dancers: Dancers, scope: "Scope", budget: int) -> Iterator[Result]:
        if loop.times > MOST_ROUNDS:
            raise Unclear("a block is danced very often")
        for found in self.ways(loop.nodes, dancers, scope, budget):
            settled = scope.settled(found.picks)
            here, laps = found.dancers, found.laps
            for _ in range(loop.times - 1):
                again = self.ways(loop.nodes, here, settled, 0)
                if not again:
                    break
                here, laps = again[0].dancers, laps | again[0].laps
            else:
                yield found._replace(dancers=here, laps=laps)

    def _round(self, node: Round, dancers: Dancers, scope: "Scope", budget: int) -> Iterator[Result]:
        for found in self.ways(node.nodes, dancers, scope, budget):
            settled, laps = scope.settled(found.picks), found.laps
            for dancer in dancers:
                for alone in self.ways(node.nodes, (dancer,), settled, 0):
                    for origin, after, turn, _ in alone.dancers:
                        laps |= (1 << (turn - dancer[2]) % EIGHTHS | 256 << after) << 11 * (origin // 3)
            yield found._replace(laps=laps)

    def _endless(self, node: Endless, dancers: Dancers, scope: "Scope", budget: int) -> Iterator[Result]:
        start = _timeless(dancers)
        for found in self.ways(node.nodes, start, scope, budget):
            settled = scope.settled(found.picks)
            here, there, laps = start, found.dancers, found.laps
            while True:
                grown = tuple(sorted({*here, *_timeless(there)}))
                if grown == here:
                    yield found._replace(dancers=here, laps=laps)
                    break
                again = self.ways(node.nodes, grown, settled, 0)
                if not again:
                    break
                here, there, laps = grown, again[0].dancers, laps | again[0].laps

    def _short(self, short: Short, dancers: Dancers, scope: "Scope", budget: int) -> Iterator[Result]:
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


@frozen
class Scope:
    """What is settled around some nodes.

    `known` are the changes made, by line and claim; `swap` is how the pass around is swapped, `front` the facing at which
    its turns began to be counted; `closed` are lines and claims that were come to before and stay as they are.
    """

    known: Mapping[Key, Any]
    swap: Swap = Swap()
    front: int = 0
    closed: frozenset[Key] = frozenset()

    def settled(self, picks: Picks) -> "Scope":
        """Return the scope with more changes made."""
        return evolve(self, known={**self.known, **dict(picks)}) if picks else self


def _timeless(dancers: Dancers) -> Dancers:
    """Return dancers without their clocks and whole turns, which mean nothing to what may go on for ever."""
    return tuple(sorted({(origin, weight, turn % EIGHTHS, 0) for origin, weight, turn, _ in dancers}))


def moved(deed: Deed, dancers: Dancers, front: int) -> Dancers | None:
    """Return where dancers stand after a deed; None if one of them cannot do it, or does not face as is claimed."""
    if len(dancers) == 1:
        origin, weight, turn, clock = dancers[0]
        ways = deed[origin - origin % 3 + weight]
        if ways is None:
            return None
        if len(ways) == 1 and not ways[0].needs:
            way = ways[0]
            return ((origin, way.weight, turn + way.turn, clock + way.ticks),)
    out = set()
    for origin, weight, turn, clock in dancers:
        ways = deed[origin - origin % 3 + weight]
        if ways is None:
            return None
        for way in ways:
            if any((front + turn + more - facing) % EIGHTHS for more, facing in way.needs):
                return None
            out.add((origin, way.weight, turn + way.turn, clock + way.ticks))
    return tuple(sorted(out))
