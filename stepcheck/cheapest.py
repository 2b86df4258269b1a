"""The cheapest ways to mend one sheet: changes to its shape, and in each shape changes to its rows and claims, by cost."""

from collections.abc import Iterator, Mapping
from itertools import combinations

from attrs import evolve, frozen

from stepcheck import parser, restated
from stepcheck.alterations import EditError, traced
from stepcheck.callers import Callers
from stepcheck.dancers import Picks
from stepcheck.deeds import Deeds
from stepcheck.edits import DeleteLine, Edit
from stepcheck.elaborate import Routine
from stepcheck.levels import Levels
from stepcheck.material import Material
from stepcheck.model import Kind
from stepcheck.offers import Candidate, Offers, Variant, candidates, edit_of
from stepcheck.placing import last_beat
from stepcheck.protected import parents
from stepcheck.shapes import shapes
from stepcheck.slots import Outline, Unfit, keys, laid_anew, outline
from stepcheck.source import Source
from stepcheck.waivers import Standing

ENOUGH_SHAPES = 120  # where a fix is known that costs as little
MOST_SHAPES = 400
"""How many shapes of a sheet are laid out."""

Group = tuple[Edit, ...]


@frozen(eq=False)
class Solution:
    """One way to mend a sheet: for each change the edits that come to the same, of which one is to be made."""

    cost: int
    choices: tuple[Group, ...]


@frozen(eq=False)
class View:
    """A sheet in one shape: the changes that lead to it, and the search among its rows.

    `origins` has for each of its lines the line of the sheet as it was; `levels` is None if no change of a row can mend it.
    """

    cost: int
    shape: tuple[Group, ...]
    origins: tuple[int, ...]
    sketch: Outline
    levels: Levels | None


class Cheapest:
    """The search for one sheet.

    `complete` says that nothing was left out so far for want of work.  Claims that are `given` up, by where they stand,
    need not hold; with `alone` one way to each place that dancers can come to is enough.
    What was worked out of figures for a search `like` it, of the same routine, is taken over.
    """

    def __init__(
        self, routine: Routine, stuff: Material, prices: Mapping[str, int], kept: frozenset[int], budget: int,
        given: frozenset[Standing] = frozenset(), alone: bool = False, most_shapes: int = MOST_SHAPES,
        like: "Cheapest | None" = None,
    ) -> None:  # fmt: skip
        self.routine, self.stuff, self.prices, self.kept, self.budget = routine, stuff, prices, kept, budget
        self.given, self.alone, self.most_shapes = given, alone, most_shapes
        over = parents(routine.sheet)
        self.closed = frozenset(number for number, head in over.items() if head in kept)
        self.complete = True
        self.shared: dict[object, tuple[Variant, ...]] = {} if like is None else like.shared
        sketch = outline(routine, given)
        self.deeds: Deeds = Deeds(sketch.program) if like is None else like.deeds
        self.pool: tuple[Candidate, ...] = self._pool(sketch) if like is None else like.pool
        self.base = self._view((), sketch, tuple(range(1, len(routine.sheet.source.lines) + 1)))
        rows = self.base.levels.offers if self.base.levels is not None else None
        found = shapes(routine, self.pool, self.deeds, prices, kept, self.closed)
        self.singles = tuple(some for some in found if rows is None or not _in_rows(some[0], rows))
        self.failing = self.base.levels.floors.failing() if self.base.levels is not None else ()
        self.callers = Callers(sketch)
        self._views: dict[tuple[Group, ...], View | None] = {(): self.base}

    def _pool(self, sketch: Outline) -> tuple[Candidate, ...]:
        hard = set(self.stuff.hard)
        return tuple(candidates(sketch.recording.names, (one for one in self.stuff.figures if one not in hard)))

    def _view(self, shape: tuple[Group, ...], sketch: Outline, origins: tuple[int, ...]) -> View:
        """Return a sheet in one shape, with the search among its rows."""
        kept, closed, levels = self.kept, self.closed, None
        if shape:
            done = {edit.line for edit, *_ in shape if edit.kind != "insert"}
            beside = {edit.line for edit, *_ in shape if edit.kind == "insert"}
            kept = frozenset(number for number, old in enumerate(origins, 1) if not old or old in self.kept or old in done)
            closed = frozenset(number for number, old in enumerate(origins, 1) if not old or old in closed or old in beside)
        if not _idle(sketch):
            alike = sketch.program.words == () and sketch.routine.facts.movements == self.routine.facts.movements
            alike = alike and sketch.routine.facts.figures == self.routine.facts.figures
            deeds = self.deeds if alike else Deeds(sketch.program)
            pool = self.pool if alike else self._pool(sketch)
            offers = Offers(sketch, deeds, pool, self.prices, kept, closed, self.shared if alike else None)
            levels = Levels(sketch, offers, self.budget, self.alone)
        return View(sum(self.prices[some[0].kind] for some in shape), shape, origins, sketch, levels)

    def _shaped(self, shape: tuple[Group, ...]) -> View | None:
        """Return the sheet after changes to its shape; None if it is ill-formed then, or they do not go together."""
        if shape not in self._views:
            if len(self._views) > self.most_shapes:
                self.complete = False
                return None
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

    def counts(self) -> tuple[int, int, bool]:
        """Return how many single changes were looked at, of rows and claims, and of the shape; and whether that is all.

        Where parts that fail by themselves leave nothing over for other lines, these need not be looked at.
        """
        levels = self.base.levels
        single = len(levels.restating.kinds) + levels.offers.seen if levels is not None else 0
        return single, sum(map(len, self.singles)), self.complete

    # -- levels ------------------------------------------------------------------------------------------------------

    def sums(self, most: int) -> list[int]:
        """Return the costs that sets of changes can have, up to `most`, from 0."""
        found = {0}
        for cost in range(1, most + 1):
            if any(cost - price in found for price in self.prices.values()):
                found.add(cost)
        return sorted(found)

    def level(self, cost: int) -> Iterator[Solution]:
        """Yield the ways to mend the sheet that cost `cost`, and no less.  Raises `WorkSpent` as the search does.

        Once there is one, and many shapes were laid out, no new ones are: they would only bring others of the same cost.
        """
        some = False
        if self.base.levels is not None:
            self.base.levels.floors.raised(cost)
            self.failing = self.base.levels.floors.failing()
        for shape in self._shapes(cost):
            if some and self.shaped > ENOUGH_SHAPES and shape not in self._views:
                continue
            view = self._shaped(shape)
            if view is None or view.levels is None:
                continue
            for more, picks in view.levels.found(cost - view.cost):
                if view.cost + more == cost:
                    solution = self._solution(view, cost, picks)
                    if solution is not None:
                        some = True
                        yield solution

    def _shapes(self, cost: int) -> Iterator[tuple[Group, ...]]:
        """Yield the sets of changes to the shape that cost `cost` at most, on different lines, fewest first."""
        most = cost // min(self.prices.values(), default=cost + 1)
        for number in range(most + 1):
            for shape in combinations(self.singles, number):
                places = {(some[0].line, some[0].kind == "insert") for some in shape}
                if len(places) == number and self._least(shape) <= cost:
                    yield shape

    def _least(self, shape: tuple[Group, ...]) -> int:
        """Return what a shape costs, and what the parts that fail in it all the same need at least."""
        edits = tuple(some[0] for some in shape)
        own = sum(self.prices[edit.kind] for edit in edits)
        return own + sum(cost for part, cost in self.failing if not self.callers.touched(part, edits))

    @property
    def shaped(self) -> int:
        """How many shapes of the sheet were laid out."""
        return len(self._views)

    @property
    def spent(self) -> int:
        """How many places of dancers were come to."""
        views = (view for view in self._views.values() if view is not None)
        return sum(self.budget - view.levels.left for view in views if view.levels is not None)

    def _solution(self, view: View, cost: int, picks: Picks) -> Solution | None:
        """Return what was picked as edits of the sheet as it was; None if a line is changed twice."""
        touched = {(some[0].line, some[0].kind == "insert") for some in view.shape}
        choices = list(view.shape)
        for key, pick in picks:
            if isinstance(pick, Variant) and not pick.cost:
                continue
            edits: tuple[Edit, ...] = (
                tuple(edit_of(key, offer) for offer in pick.offers)
                if isinstance(pick, Variant)
                else (restated.edit_of(view.sketch, key, pick),)
            )
            line = view.origins[edits[0].line - 1]
            where = (line, edits[0].kind == "insert")
            if not line or (where in touched and view.shape):
                return None
            choices.append(tuple(evolve(edit, line=line) for edit in edits))
        return Solution(cost, tuple(choices))


def _in_rows(edit: Edit, rows: Offers) -> bool:
    """Say whether a line that is taken out is one of the rows, which are changed without laying the sheet out anew."""
    slots = rows.slots.get((edit.line, 0), ()) if isinstance(edit, DeleteLine) else ()
    return bool(slots) and all(slot.bare for slot in slots)


def _idle(sketch: Outline) -> bool:
    """Say whether a claim fails, or is never come to, whatever the rows are."""
    claims = {claim.id: claim for claim in sketch.program.claims}
    reached: set[object] = {length.claim.id for length in sketch.program.lengths}
    for nodes in (sketch.dance, *(nodes for _, nodes in sketch.spares), sketch.walls):
        reached.update(keys(nodes, sketch.builder))
    if sketch.program.walls is not None:
        reached.add(sketch.program.walls.claim.id)
    if any(length.ticks != last_beat(length.figure.versions[length.figure.usual].actions) * 12 for length in sketch.program.lengths):
        return True
    # A length that a row states stands among the steps of the row.
    return any(
        claim.kind is not Kind.ALTERNATIVES and name not in reached and (claim.line, 0) not in reached
        for name, claim in claims.items()
    )
