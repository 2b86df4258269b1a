"""The cheapest ways to mend one sheet: changes to its shape, and in each shape changes to its rows and claims, by cost.

The effect of a part depends on its own lines only, so most shapes need not be laid out to find their failures.
"""

from collections.abc import Iterator, Mapping
from itertools import combinations
from typing import Any

from attrs import evolve, frozen

from stepcheck.books.placing import last_beat
from stepcheck.breaks.blanks import blanks
from stepcheck.breaks.material import Material
from stepcheck.language import parser
from stepcheck.language.alterations import EditError, applied, traced
from stepcheck.language.edits import DeleteLine, Edit
from stepcheck.language.stretches import under
from stepcheck.model.claims import Kind
from stepcheck.model.dance import TICKS, Pass
from stepcheck.model.source import Source
from stepcheck.model.work import LAYING, Work
from stepcheck.program.routine import Routine, reread
from stepcheck.search import restated
from stepcheck.search.bounds import Callers
from stepcheck.search.candidates import Candidate, candidates
from stepcheck.search.changes import Offers, Variant, edit_of
from stepcheck.search.search import Search
from stepcheck.search.shapes import shapes
from stepcheck.search.slots import Sketch, Standing, Unfit, laid_anew, sketched
from stepcheck.search.transitions import Picks, Transitions
from stepcheck.walk.effects import Algebra
from stepcheck.walk.walk import failing

ENOUGH_SHAPES = 60  # where a fix is known that costs as little
MOST_SHAPES = 400
"""How many shapes of a sheet are laid out."""

Group = tuple[Edit, ...]


@frozen(eq=False)
class Solution:
    """One way to mend a sheet: for each change its equivalent edits, of which one is to be made."""

    cost: int
    choices: tuple[Group, ...]


@frozen(eq=False)
class View:
    """A sheet in one shape: the changes that lead to it, and the search among its rows.

    `origins` has for each of its lines the line of the sheet as it was; `search` is None if no change of a row can mend
    it.
    """

    cost: int
    shape: tuple[Group, ...]
    origins: tuple[int, ...]
    sketch: Sketch
    search: Search | None


class Cheapest:
    """The search for one sheet.

    `complete` says that nothing was left out so far for want of work.  Claims that are `given` up, by where they stand,
    need not hold.
    What is worked out of figures is `shared` with other searches of the same routine, for the same figures and prices.
    """

    def __init__(
        self,
        routine: Routine,
        stuff: Material,
        prices: Mapping[str, int],
        kept: frozenset[int],
        budget: int,
        given: frozenset[Standing] = frozenset(),
        most_shapes: int = MOST_SHAPES,
        shared: dict[object, Any] | None = None,
    ) -> None:
        self.routine, self.stuff, self.prices, self.kept, self.work = routine, stuff, prices, kept, Work(budget)
        self.given, self.most_shapes = given, most_shapes
        self.closed = under(routine.sheet, kept)
        self.complete = True
        self.shared: dict[object, Any] = {} if shared is None else shared
        sketch = sketched(routine, given)
        if "pool" not in self.shared:
            pool = tuple(candidates(sketch.layout.names, stuff))
            self.shared |= {"transitions": Transitions(sketch.program), "pool": pool}
        self.transitions: Transitions = self.shared["transitions"]
        self.pool: tuple[Candidate, ...] = self.shared["pool"]
        self.base = self._view((), sketch, tuple(range(1, len(routine.sheet.source.lines) + 1)))
        rows = self.base.search.offers if self.base.search is not None else None
        found = shapes(routine, self.pool, self.transitions, prices, kept, self.closed)
        self.singles = tuple(some for some in found if rows is None or not _in_rows(some[0], rows))
        self.failing = self.base.search.bounds.failing() if self.base.search is not None else ()
        self.callers = Callers(sketch)
        self._views: dict[tuple[Group, ...], View | None] = {(): self.base}
        self._followed: set[tuple[Group, ...]] = set()
        self.algebra = Algebra()
        self.plain = not given and not blanks(routine.sheet)

    def _view(self, shape: tuple[Group, ...], sketch: Sketch, origins: tuple[int, ...]) -> View:
        """Return a sheet in one shape, with the search among its rows."""
        kept, closed, search = self.kept, self.closed, None

        def there(lines: frozenset[int], inserted: bool) -> frozenset[int]:
            """Return some lines, and those that the shape changes, by their numbers in it; with its new lines."""
            lines |= {edit.line for edit, *_ in shape if (edit.kind == "insert") is inserted}
            return frozenset(number for number, old in enumerate(origins, 1) if not old or old in lines)

        if shape:
            kept, closed = there(kept, False), there(closed, True)
        if not _idle(sketch):
            alike = sketch.program.words == () and sketch.routine.facts.movements == self.routine.facts.movements
            alike = alike and sketch.routine.facts.figures == self.routine.facts.figures
            transitions = self.transitions if alike else Transitions(sketch.program)
            pool = self.pool if alike else tuple(candidates(sketch.layout.names, self.stuff))
            offers = Offers(sketch, transitions, pool, self.prices, kept, closed, self.shared if alike else None)
            search = Search(sketch, offers, self.work)
        return View(self._price(shape), shape, origins, sketch, search)

    def _shaped(self, shape: tuple[Group, ...]) -> View | None:
        """Return the sheet after changes to its shape; None if it is ill-formed then, or they do not go together."""
        if shape not in self._views:
            self.work.spend(LAYING)
            self._views[shape] = None
            try:
                text, origins = traced(self.routine.sheet, (some[0] for some in shape))
                sheet, found = parser.parse(Source(self.routine.path, text))
                sketch = laid_anew(sheet, found, self.routine, self.given, origins)
                if sketch is not None:
                    self._views[shape] = self._view(shape, sketch, origins)
            except EditError:
                pass
            except Unfit:
                self.complete = False
        return self._views[shape]

    def counts(self) -> tuple[int, int]:
        """Return how many single changes were looked at, of rows and claims, and of the shape.

        Where parts that fail by themselves leave nothing over for other lines, these need not be looked at.
        """
        search = self.base.search
        single = len(search.restating.kinds) + search.offers.seen if search is not None else 0
        return single, sum(map(len, self.singles))

    # -- by cost ----------------------------------------------------------------------------------------------------

    def sums(self, most: int) -> list[int]:
        """Return the costs that sets of changes can have, up to `most`, from 0."""
        found = {0}
        for cost in range(1, most + 1):
            if any(cost - price in found for price in self.prices.values()):
                found.add(cost)
        return sorted(found)

    def level(self, cost: int, some: bool = False) -> Iterator[Solution]:
        """Yield the ways to mend the sheet that cost `cost`, and no less.  Raises `WorkSpent` as the search does.

        Once there is one, or there are `some` already, and many shapes were laid out, no new ones of several changes
        are: they would only bring others that are no cheaper.
        """
        if self.base.search is not None:
            self.base.search.bounds.raised(cost)
            self.failing = self.base.search.bounds.failing()
        done: set[tuple[Group, ...]] = set()
        for shape in self._shapes(cost):
            several = len(shape) > 1 or self._price(shape) < cost
            if shape not in self._views and self.shaped > (ENOUGH_SHAPES if some and several else self.most_shapes):
                self.complete = self.complete and some
                break
            done.add(shape)
            for solution in self._mending(shape, cost):
                some = True
                yield solution
        # Where no more shapes are laid out, those that are stay to be looked at.
        for shape in (shape for shape in tuple(self._views) if shape not in done):
            if cost - self._price(shape) in self.sums(cost) and self._least(shape, cost) <= cost:
                yield from self._mending(shape, cost)

    def _mending(self, shape: tuple[Group, ...], cost: int) -> Iterator[Solution]:
        """Yield the ways to mend the sheet in one shape that cost `cost` with what the shape costs."""
        if shape not in self._views and self._price(shape) == cost and self.plain:
            # Nothing else is changed, so it is enough to follow the dance as it is then.
            if self._holds(shape):
                yield Solution(cost, shape)
            return
        view = self._shaped(shape)
        if view is None or view.search is None:
            return
        solutions = (self._solution(view, cost, picks) for picks in view.search.found(cost - view.cost))
        yield from (one for one in solutions if one is not None)

    def _holds(self, shape: tuple[Group, ...]) -> bool:
        """Say whether nothing fails in a sheet after changes to its shape."""
        self.work.spend(LAYING)
        self._followed.add(shape)
        try:
            text = applied(self.routine.sheet, [some[0] for some in shape])
        except EditError:
            return False
        after = reread(self.routine, text).program
        return after is not None and not failing(after, self.algebra)

    def _price(self, shape: tuple[Group, ...]) -> int:
        return sum(self.prices[some[0].kind] for some in shape)

    def _shapes(self, cost: int) -> Iterator[tuple[Group, ...]]:
        """Yield the sets of changes to the shape, on different lines, that can be part of one that costs `cost`; fewest
        first.

        What the parts that fail need at least is left over for those that none of the changes matters to.
        """
        rests = set(self.sums(cost))
        prices = [self.prices[some[0].kind] for some in self.singles]
        nets = [
            price - sum(bound for part, bound in self.failing if self.callers.matters(part, some[0]))
            for price, some in zip(prices, self.singles, strict=True)
        ]
        slack = cost - sum(bound for _, bound in self.failing)
        cheap, gain = min(prices, default=cost + 1), min(nets, default=0)

        def grown(shape: tuple[Group, ...], start: int, own: int, net: int, left: int) -> Iterator[tuple[Group, ...]]:
            if not left:
                if cost - own in rests and self._least(shape, cost) <= cost:
                    yield shape
                return
            places = {_place(some[0]) for some in shape}
            for at in range(start, len(self.singles)):
                more, after = own + prices[at], net + nets[at]
                if more + (left - 1) * cheap > cost or after + (left - 1) * min(gain, 0) > slack:
                    continue
                edit = self.singles[at][0]
                if _place(edit) not in places:
                    yield from grown((*shape, self.singles[at]), at + 1, more, after, left - 1)

        for number in range(cost // min(self.prices.values(), default=cost + 1) + 1):
            yield from grown((), 0, 0, 0, number)

    def _least(self, shape: tuple[Group, ...], cost: int) -> int:
        """Return the cost of a shape, with a lower bound on that of the parts that still fail in it, up to more than
        `cost`."""
        edits = tuple(some[0] for some in shape)
        own = sum(self.prices[edit.kind] for edit in edits)
        least = own + sum(bound for part, bound in self.failing if not self.callers.touched(part, edits))
        for fewer in (some for number in range(1, len(shape)) for some in combinations(shape, number)):
            # What fails after some of the changes fails after all of them too, unless one of the others touches it.
            view = self._views.get(fewer)
            if least <= cost and view is not None and view.search is not None:
                done = {some[0] for some in fewer}
                failing = view.search.bounds.failing()
                least = max(least, own + sum(bound for part, bound in failing if not self._mended(part, edits, done)))
        return least

    def _mended(self, part: Pass, edits: tuple[Edit, ...], done: set[Edit]) -> bool:
        """Say whether a part that fails after the changes that are done may be mended by the others."""
        others = (edit for edit in edits if edit not in done or not self.callers.within(part, edit))
        return self.callers.touched(part, tuple(others))

    @property
    def shaped(self) -> int:
        """How many shapes of the sheet were laid out."""
        return len(self._views) + len(self._followed)

    def _solution(self, view: View, cost: int, picks: Picks) -> Solution | None:
        """Return the picked changes as edits of the original sheet; None if a line is changed twice."""
        touched = {_place(some[0]) for some in view.shape}
        choices = list(view.shape)
        for place, pick in picks:
            if isinstance(pick, Variant) and not pick.cost:
                continue
            edits: tuple[Edit, ...] = (
                tuple(edit_of(place, offer) for offer in pick.offers)
                if isinstance(pick, Variant)
                else (restated.edit_of(view.sketch, place, pick),)
            )
            line = view.origins[edits[0].line - 1]
            edits = tuple(evolve(edit, line=line) for edit in edits)
            if not line or _place(edits[0]) in touched:
                return None
            choices.append(edits)
        return Solution(cost, tuple(choices))


def _place(edit: Edit) -> tuple[int, bool]:
    """Return the line of an edit, and whether it is put in beside that."""
    return edit.line, edit.kind == "insert"


def _in_rows(edit: Edit, rows: Offers) -> bool:
    """Say whether a line that is taken out is one of the rows, which are changed without laying the sheet out anew."""
    slots = rows.slots.get((edit.line, 0), ()) if isinstance(edit, DeleteLine) else ()
    return bool(slots) and all(slot.bare for slot in slots)


def _idle(sketch: Sketch) -> bool:
    """Say whether a claim fails, or is never reached, whatever the rows are."""
    claims = {claim.id: claim for claim in sketch.program.claims}
    reached: set[object] = {length.claim.id for length in sketch.program.lengths}
    for nodes in (sketch.dance, *(nodes for _, nodes in sketch.spares), sketch.walls):
        reached.update(*map(sketch.keys, nodes))
    if sketch.program.walls is not None:
        reached.add(sketch.program.walls.claim.id)
    if any(
        length.ticks != last_beat(length.figure.versions[length.figure.usual].actions) * TICKS
        for length in sketch.program.lengths
    ):
        return True
    # A length that a row states stands among the steps of the row.
    return any(
        claim.kind is not Kind.ALTERNATIVES and name not in reached and (claim.line, 0) not in reached
        for name, claim in claims.items()
    )
