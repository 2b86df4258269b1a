"""Pruning of the search: recurring changes, lower bounds on repair cost, and what the remaining lines ask of a dancer.

A bound is what a part costs whatever state dancers come from.  The conditions are found once for each place, by
following one dancer through the lines behind it as they are, so that a last change is looked up instead of tried; where
the way of the dancer is not certain, the lines from there on impose none.
"""

from collections.abc import Callable, Iterator
from typing import Any, NamedTuple

from stepcheck.language import edits
from stepcheck.language.edits import Edit
from stepcheck.language.stretches import every_line, mark_of
from stepcheck.language.syntax import DanceHead, FirstMark, Line, OnlyHead, PartHead, Row, SwapMark
from stepcheck.model.claims import Check, Kind
from stepcheck.model.dance import EIGHTHS, Forever, Lap, Pass, Repeat, Timed, Uncut, key
from stepcheck.search.changes import Offers
from stepcheck.search.slots import Key, Node, Nodes, Sketch, Slot, swap_of
from stepcheck.search.transitions import Follow, Scope, Transition
from stepcheck.walk.stands import asked


class Recurring:
    """What comes more than once in a stretch: a change at the first time of a line or claim holds at all of them."""

    def __init__(self, sketch: Sketch) -> None:
        self.sketch = sketch
        self._known: dict[int, tuple[frozenset[Key], tuple[frozenset[Key], ...]]] = {}
        self._all: dict[int, frozenset[Key]] = {}

    def keys(self, nodes: Nodes) -> frozenset[Key]:
        """Return the keys of the lines and claims of nodes."""
        if id(nodes) not in self._all:
            self._all[id(nodes)] = frozenset().union(*map(self.sketch.keys, nodes))
        return self._all[id(nodes)]

    def passed(self, nodes: Nodes) -> tuple[frozenset[Key], tuple[frozenset[Key], ...]]:
        """Return the lines and claims that come more than once in nodes, and for each node those of them before it."""
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


FAR = 1 << 30
"""A cost beyond every budget."""


class Bounds:
    """Lower bounds on the repair cost of each part, whatever state dancers come from.

    Args:
        sketch: the routine.
        ways: follows dancers through nodes.
        codes: how many states dancers can begin from.
        least: what the cheapest change costs.
        fixed: says whether nothing of a part may be changed.
    """

    def __init__(self, sketch: Sketch, ways: Follow, codes: int, least: int, fixed: Callable[[Pass], bool]) -> None:
        self.sketch, self.ways, self.codes, self.least, self.fixed = sketch, ways, codes, least, fixed
        self._bounds: dict[int, tuple[int, ...]] = {}
        self._floors: dict[int, int] = {}
        self._exact: set[int] = set()

    def bound(self, nodes: Nodes, scope: Scope) -> tuple[int, ...]:
        """Return for each node a lower bound on the cost of what follows it.

        It is the sum for the parts whose lines come there for the first time, since no change elsewhere mends those.
        """
        if scope.known or scope.closed:
            return ()
        if id(nodes) not in self._bounds:
            seen: set[Key] = set()
            costs: list[int] = []
            for node in nodes:
                own = self.sketch.keys(node)
                costs.append(self._cost(node) if not own & seen else 0)
                seen |= own
            after = [sum(costs[place + 1 :]) for place in range(len(costs))]
            self._bounds[id(nodes)] = tuple(after)
        return self._bounds[id(nodes)]

    def _cost(self, node: Node) -> int:
        if isinstance(node, Timed | Repeat | Forever | Lap):
            nodes = self.sketch.nodes(node.body)
            inside = self.bound(nodes, Scope({}))
            return inside[0] + self._cost(nodes[0]) if inside else 0
        if not isinstance(node, Pass):
            return 0
        where = id(node.body)
        if where not in self._floors:
            self._floors[where] = 0 if self._mends(node, 0) else FAR if self.fixed(node) else self.least
        return self._floors[where]

    def _mends(self, part: Pass, budget: int) -> bool:
        """Say whether from some state a part can be danced without a failing claim, with changes of this cost."""
        scope, nodes = Scope({}, swap_of(part)), self.sketch.nodes(part.body)
        return any(self.ways(nodes, ((code, code % 3, 0, 0),), scope, budget) for code in range(self.codes))

    def failing(self) -> tuple[tuple[Pass, int], ...]:
        """Return parts that fail from every state, no two of which share a line, each with its lower bound."""
        taken: set[Key] = set()
        found = []
        for part in self._surely(self.sketch.dance):
            keys = self.sketch.keys(part)
            if not keys & taken and self._cost(part):
                taken |= keys
                found.append((part, self._floors[id(part.body)]))
        return tuple(found)

    def raised(self, most: int) -> int:
        """Raise the bounds of the failing parts to what they cost, up to `most` together, and return their sum."""
        total = sum(cost for _, cost in self.failing())
        for part, cost in self.failing():
            while total <= most and id(part.body) not in self._exact:
                if self._mends(part, cost):
                    self._exact.add(id(part.body))
                    break
                total += 1
                cost += 1
                self._floors[id(part.body)] = cost
                self._bounds.clear()
        return total

    def _surely(self, nodes: Nodes) -> Iterator[Pass]:
        """Yield the passes that every dance reaches and that are not cut."""
        for node in nodes:
            match node:
                case Pass() if not any(isinstance(inner, Uncut) for inner in node.body):
                    yield node
                case Timed() | Repeat() | Lap() | Forever():
                    yield from self._surely(self.sketch.nodes(node.body))


ANY_FACING = (1 << EIGHTHS) - 1
MOST_TIMES = 8


class Need(NamedTuple):
    """The clock that a dancer must have, and the signed turns, None for any; and the turns modulo 8, as bits."""

    clock: int | None = None
    turns: frozenset[int] | None = None
    facings: int = ANY_FACING

    def fits(self, turn: int, clock: int) -> bool:
        """Say whether a dancer fits."""
        return (
            (self.clock is None or self.clock == clock)
            and (self.turns is None or turn in self.turns)
            and bool(self.facings >> turn % EIGHTHS & 1)
        )


class _Lost(Exception):
    """Which way the dancer goes on is not certain."""


class _Dead(Exception):
    """A claim fails, or a line cannot be danced."""


class _Ahead:
    """One dancer followed from a weight, with the turn and time made since then, and what the claims asked so far."""

    def __init__(self, code: int, front: int, need: Need) -> None:
        self.weight, self.base, self.front, self.need = code % 3, code - code % 3, front, need
        self.turn = self.ticks = 0

    def move(self, transition: Transition) -> None:
        ways = transition[self.base + self.weight]
        if ways is None:
            raise _Dead
        if len(ways) > 1 or ways[0].needs:
            raise _Lost
        self.weight, self.turn, self.ticks = ways[0].weight, self.turn + ways[0].turn, self.ticks + ways[0].ticks

    def check(self, check: Check) -> None:
        if check.blank:
            raise _Lost
        goal = asked(check)
        match check.test.about:
            case "weight":
                self._ask(self.weight in goal.holds)
                self.weight = goal.after(self.weight)
            case "facing":
                facings = sum(1 << (facing - self.front - self.turn) % EIGHTHS for facing in goal.holds)
                facings &= self.need.facings
                self._ask(facings > 0, facings=facings)
            case "turn":
                turns = frozenset(turn - self.turn for turn in goal.holds)
                turns = turns if self.need.turns is None else self.need.turns & turns
                self._ask(bool(turns), turns=turns)
            case "clock" if len(goal.holds) == 1:
                tick = goal.then - self.ticks
                self._ask(self.need.clock in (None, tick), clock=tick)
            case _:
                raise _Lost

    def _ask(self, can_be: bool, **more: Any) -> None:
        if not can_be:
            raise _Dead
        self.need = self.need._replace(**more)


class LookAhead:
    """The conditions behind each place of one sheet, where no more changes are made there."""

    def __init__(self, sketch: Sketch, offers: Offers) -> None:
        self.sketch, self.offers = sketch, offers
        self._known: dict[object, Need | None] = {}

    def behind(self, nodes: Nodes, place: int, code: int, scope: Scope, key: Key) -> Need | None:
        """Return the conditions that `nodes` impose behind number `place`; None if no dancer meets them.

        Args:
            nodes: a stretch.
            place: where something is changed.
            code: three times the assignment of readings, and the weight after the change.
            scope: what is settled around; where it holds changes, nothing is foreseen.
            key: what is changed there, so that its transition is not yet known where it comes again.
        """
        where = (id(nodes), place, code, scope.front)
        if where not in self._known:
            ahead = _Ahead(code, scope.front, Need())
            try:
                self._go(nodes[place + 1 :], ahead, key)
            except _Lost:
                pass
            except _Dead:
                self._known[where] = None
                return None
            self._known[where] = ahead.need
        return self._known[where]

    def _go(self, nodes: Nodes, ahead: _Ahead, key: Key) -> None:
        for node in nodes:
            self._node(node, ahead, key)

    def _node(self, node: Node, ahead: _Ahead, key: Key) -> None:
        match node:
            case Slot():
                if node.key == key or node.blank:
                    raise _Lost
                ahead.move(self.offers.own[node])
            case Check():
                ahead.check(node)
            case Repeat(times=int(times)) if times <= MOST_TIMES:
                for _ in range(times):
                    self._go(self.sketch.nodes(node.body), ahead, key)
            case Pass():
                if key in self.sketch.keys(node):
                    raise _Lost
                inner = _Ahead(ahead.base + ahead.weight, 0, Need(0, frozenset({0})))
                self._go(self.sketch.nodes(node.body), inner, key)
                ahead.weight = inner.weight
                ahead.turn, ahead.ticks = ahead.turn + inner.turn, ahead.ticks + inner.ticks
            case Timed():
                clock, start = ahead.need.clock, ahead.ticks
                ahead.need, ahead.ticks = ahead.need._replace(clock=0), 0
                try:
                    self._go(self.sketch.nodes(node.body), ahead, key)
                finally:
                    ahead.need, ahead.ticks = ahead.need._replace(clock=clock), start + ahead.ticks
            case _:
                raise _Lost


class Callers:
    """Which parts each line stands in, and which parts each part dances."""

    def __init__(self, sketch: Sketch) -> None:
        self.layout, self.names, self.lines = sketch.layout, sketch.layout.names, sketch.lines
        self.home: dict[int, str] = {}
        self.sure: dict[str, set[int]] = {}
        self.marked: set[str] = set()
        self._known: dict[str, dict[int, tuple[Edit, frozenset[int] | None]]] = {}
        for head in sketch.routine.sheet.lines:
            for line in every_line((head,)):
                if isinstance(head.node, PartHead):
                    self.home[line.number] = key(head.node.name)
                elif isinstance(head.node, DanceHead):
                    self.home[line.number] = ""
                options = line.node.options if isinstance(line.node, Row) else ()
                if any(mark_of(option, FirstMark) or mark_of(option, SwapMark) for option in options):
                    self.marked.update(self.names.called((line,)))
            if isinstance(head.node, DanceHead):
                for line in _sure(head.body):
                    for part in self.names.called((line,)):
                        self.sure.setdefault(part, set()).add(line.number)

    def touched(self, part: Pass, edits: tuple[Edit, ...]) -> bool:
        """Say whether edits may change the effect of a part from some state, or take it out of the dance.

        Args:
            part: a part that the dance surely comes to, not cut.
            edits: changes to the shape.
        """
        name = key(part.part)
        sure = self.sure.get(name, set())
        for edit in edits:
            gone = self._gone(name, edit)
            if gone is None:
                return True
            if gone:
                sure = sure - gone
        return not sure

    def matters(self, part: Pass, edit: Edit) -> bool:
        """Say whether an edit, alone or with others, may change the effect of a part, or take it out of the dance."""
        name = key(part.part)
        gone, sure = self._gone(name, edit), self.sure.get(name, set())
        return gone is None or not sure or not sure.isdisjoint(gone)

    def _gone(self, name: str, edit: Edit) -> frozenset[int] | None:
        """Return the lines that, after an edit, no longer dance a part, not even through another; None if the part may
        change."""
        # Very many sets of the same edits are asked about, and to hash an edit takes longer than all the rest.
        known = self._known.setdefault(name, {}).get(id(edit))
        if known is None:
            known = self._known[name][id(edit)] = edit, self._found(name, edit)
        return known[1]

    def _found(self, name: str, edit: Edit) -> frozenset[int] | None:
        home, inner = self.home.get(edit.line), self._danced(name)
        if home is None or home in inner or not all(self.layout.patterns.of(one).plain for one in inner):
            return None
        # A part that is danced no more is checked by itself, and its mirror image is checked as it is: it fails as it
        # did.
        mirrored = isinstance(edit, edits.ChangeSwap) and edit.swap == "mirrored"
        if not inner & self.marked and (isinstance(edit, edits.DeleteLine | edits.ReplacePart) or mirrored):
            return frozenset()
        if home:
            calls = name in self.names.called((self.lines[edit.line],))
            return frozenset(self.sure.get(name, ())) if calls else frozenset()
        if isinstance(edit, edits.DeleteLine | edits.ChangeCut | edits.CutPass | edits.ChangeSwap):
            return frozenset(line.number for line in every_line((self.lines[edit.line],)))
        return frozenset() if isinstance(edit, edits.InsertLine | edits.ChangeTimes | edits.ChangeBlock) else None

    def within(self, part: Pass, edit: Edit) -> bool:
        """Say whether an edit stands in a part, or in one that it has danced, or in the header."""
        home = self.home.get(edit.line)
        return home is None or home in self._danced(key(part.part))

    def _danced(self, name: str) -> set[str]:
        """Return a part with those that it has danced."""
        return {name, *self.names.called(self.names.parts[name].body)}


def _sure(lines: tuple[Line, ...]) -> Iterator[Line]:
    """Yield the rows that are danced whatever time it is."""
    for line in lines:
        if isinstance(line.node, Row):
            yield line
        elif not isinstance(line.node, OnlyHead):
            yield from _sure(line.body)
