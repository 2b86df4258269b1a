"""The least that mends a sheet: changes, each with the text after it, what both engines say of that, and why none is
cheaper."""

from collections.abc import Iterable, Mapping

from attrs import evolve

from stepcheck.breaks.blanks import blanks
from stepcheck.breaks.fill import fill
from stepcheck.breaks.material import material
from stepcheck.breaks.states import SearchError
from stepcheck.fixes.cheapest import ENOUGH_SHAPES, Cheapest, Solution
from stepcheck.fixes.conflict import FEW_SHAPES, conflict
from stepcheck.fixes.costs import EVIDENT, priced
from stepcheck.fixes.evidence import Question, TooLong, stretches
from stepcheck.fixes.evident import singles, slips
from stepcheck.fixes.order import Ranking
from stepcheck.fixes.protected import dances, kept_lines
from stepcheck.fixes.repairs import Evidence, Fix, Repairs
from stepcheck.fixes.slots import Unfit
from stepcheck.fixes.spelling import respelled
from stepcheck.fixes.transitions import Unclear
from stepcheck.language.alterations import applied
from stepcheck.language.edits import Edit
from stepcheck.language.patch import difference
from stepcheck.model.outcome import Verdict
from stepcheck.model.source import ROUTINE, each, require
from stepcheck.model.work import WorkSpent
from stepcheck.program.routine import Routine
from stepcheck.proof.solving import FINITE, BudgetSpent, satisfiable
from stepcheck.report import pipeline
from stepcheck.report.values import Report
from stepcheck.walk.effects import Algebra
from stepcheck.walk.walk import walk

MOST_COST = 8
DEARER = 1
"""How much dearer than the cheapest fix the others may be."""
BUDGET = 150_000
"""How many places of dancers a search may come to; to lay the sheet out in another shape counts as many of them."""
MANY = ("figure", "alternative", "turn", "insert")
"""Kinds that offer very much on every line: where a search is spent, the others are gone through by themselves."""
REST = 2
"""Which part of the budget that may take."""

FILLINGS = 400
"""How many sheets are tried to see whether the blanks can still be filled after a fix."""
WHY = 3
"""Which part of that the search for the reason may take, if there is no fix."""


def repair(
    routine: Routine,
    *,
    limit: int = 3,
    costs: Mapping[str, int] | None = None,
    without: Iterable[str] = (),
    keep: Iterable[str | int] = (),
    level: str | None = None,
    most_cost: int = MOST_COST,
    budget: int | None = None,
) -> Repairs:
    """Return the cheapest ways to mend a sheet, in the order that specs/costs.md lays down.

    Args:
        routine: as `load` returns it.
        limit: how many fixes.
        costs: what a change of a kind costs, where it is not as in specs/costs.md.
        without: kinds of changes that are not made.
        keep: parts, by name, and lines, by number, that stay as they are.
        level: the hardest level of figures that are put in; that of the header if left out, `any` for all.
        most_cost: what the changes may cost together.
        budget: how much work the search may take.

    Raises:
        CostError: there is no such kind of change.
        NoSuchPart: there is no such part or line.
        SearchError: there is no such level, or the limit is less than one.
    """
    if limit < 1:
        raise SearchError("ask for at least one fix")
    require(routine, Routine, ROUTINE)
    prices = priced(costs, each(without))
    kept = kept_lines(routine.sheet, keep)
    work = BUDGET if budget is None else budget
    if routine.program is None:
        return _renamed(routine, prices, kept, level, limit, most_cost, work)
    return _mended(routine, prices, kept, level, limit, most_cost, work)


class _Repair:
    """The repair of one well-formed sheet; `first` are changes that were made before, and `original` the sheet before
    them."""

    def __init__(
        self,
        routine: Routine,
        prices: Mapping[str, int],
        kept: frozenset[int],
        level: str | None,
        work: int,
        first: tuple[Edit, ...] = (),
        original: Routine | None = None,
    ) -> None:
        self.routine, self.prices, self.kept, self.work, self.first = routine, prices, kept, work, first
        self.original = original or routine
        self.stuff = material(routine, level)
        self.ranking = Ranking(routine, self.stuff)
        self.danced = routine.program is not None and dances(routine.program)
        self.evidence: Evidence | None = None
        self.algebra = Algebra()
        self.spent = sum(prices[edit.kind] for edit in first)

    def run(self, limit: int, most_cost: int) -> Repairs:
        """Return the fixes."""
        assert self.routine.program is not None
        outcomes = walk(self.routine.program, algebra=self.algebra)
        if all(outcome.verdict <= Verdict.UNDECIDED for outcome in outcomes):
            return (
                self._respelled()
                if self.first
                else Repairs(needed=False, reason="Nothing fails: there is nothing to mend.")
            )
        prices = {kind: cost for kind, cost in self.prices.items() if kind != "name" and kind not in EVIDENT}
        try:
            search = Cheapest(self.routine, self.stuff, prices, self.kept, self.work)
            found, sure = self._found(search, limit, most_cost)
            if not found and search.work.left < 0:
                found = self._few(search, limit, most_cost)
        except (Unfit, Unclear) as reason:
            return Repairs(reason=f"No fix is looked for: {reason}.")
        except WorkSpent:
            return Repairs(reason="No fix was found within the budget.")
        return Repairs(tuple(found)) if found else self._none(search, most_cost, sure)

    def _found(self, search: Cheapest, limit: int, most_cost: int) -> tuple[list[Fix], list[int]]:
        """Return the fixes that a search comes to, and the costs up to which all was looked at, the greatest first."""
        found: list[Fix] = []
        sure: list[int] = []
        shown = self._shown(search, most_cost - self.spent)
        costs = search.sums(most_cost - self.spent)
        for cost in sorted({*costs, *shown}):
            dearer = cost + self.spent - found[0].cost if found else 0
            if dearer > (DEARER if search.shaped <= ENOUGH_SHAPES else 0):
                break
            below = search.complete
            some = bool(found or shown.get(cost))
            made, ended = _made(search, cost, some) if cost in costs else ([], False)
            made += shown.get(cost, [])
            if search.complete and search.shaped <= FEW_SHAPES:
                sure.insert(0, cost)
            self._add(found, made, cost, search, below, limit)
            if len(found) == limit or ended:
                break
        return found, sure

    def _shown(self, search: Cheapest, most_cost: int) -> dict[int, list[Solution]]:
        """Return by cost the changes that the sheet itself speaks for, and that mend it alone."""
        found: dict[int, list[Solution]] = {}
        for edit in singles(self.routine, self.kept, search.closed):
            cost = self.prices.get(edit.kind, most_cost + 1)
            if cost <= most_cost and self._check(applied(self.routine.sheet, (edit,)))[1].verdict <= Verdict.UNDECIDED:
                found.setdefault(cost, []).append(Solution(cost, ((edit,),)))
        return found

    def _check(self, text: str) -> tuple[Routine, Report]:
        """Return a sheet after changes, and what both engines say of it."""
        book = self.routine.facts.book
        after = pipeline.loads(text, path=self.routine.path, readings=self.routine.readings, book=book)
        return after, pipeline.check(after, algebra=self.algebra)

    def _few(self, search: Cheapest, limit: int, most_cost: int) -> list[Fix]:
        """Return fixes of two changes at most, of kinds that offer little on a line, where a search was spent."""
        prices = {kind: 1 for kind in search.prices if kind not in MANY}
        rest = Cheapest(self.routine, self.stuff, prices, self.kept, self.work // REST, like=search)
        by_cost: dict[int, list[Solution]] = {}
        for number in (1, 2):
            for one in _made(rest, number)[0]:
                cost = sum(self.prices[choice[0].kind] for choice in one.choices)
                by_cost.setdefault(cost, []).append(one)
        found: list[Fix] = []
        for cost in sorted(by_cost):
            if cost <= most_cost - self.spent and len(found) < limit:
                self._add(found, by_cost[cost], cost, rest, False, limit)
        return found

    def _add(
        self, found: list[Fix], made: list[Solution], cost: int, search: Cheapest, below: bool, limit: int
    ) -> None:
        """Add the fixes of one cost, in their order, up to a limit."""
        for edits in self.ranking.ordered(made):
            if any(set(edits) > set(fix.edits) for fix in found):
                continue
            fix = self._fix(edits, cost, search, below)
            if fix is not None and all(fix.text != other.text for other in found):
                found.append(fix)
            if len(found) == limit:
                return

    def _respelled(self) -> Repairs:
        fix = self._fix((), 0, None, True)
        return Repairs((fix,) if fix is not None else ())

    def _fix(self, edits: tuple[Edit, ...], cost: int, search: Cheapest | None, below: bool) -> Fix | None:
        """Return a fix, if both engines prove all of the sheet after it; `below` says that all that is cheaper was
        looked at."""
        text = applied(self.routine.sheet, edits)
        after, report = self._check(text)
        if report.verdict > Verdict.UNDECIDED or (
            self.danced and after.program is not None and not dances(after.program)
        ):
            return None
        if report.verdict and self.blanks and not _fillable(after):
            return None
        diff = difference(self.routine.path, self.original.sheet.source.text, text)
        if self.evidence is None:
            self.evidence = self._evidence(cost, search, below)
        return Fix((*self.first, *edits), cost + self.spent, diff, text, report, self.evidence)

    @property
    def blanks(self) -> bool:
        """Whether something in the sheet is to be found."""
        return bool(blanks(self.routine.sheet))

    def _evidence(self, cost: int, search: Cheapest | None, below: bool) -> Evidence:
        """Return why nothing costs less than the first fix, which costs `cost`."""
        if search is None:
            return Evidence(self.spent, True, 0, 0)
        single, shapes = search.counts()
        levels = search.base.levels
        solver = text = ""
        if below and levels is not None and cost > levels.least:
            solver = "open"
            try:
                text = Question(levels, stretches(levels, cost)).text
                if not satisfiable(text, logic=FINITE):
                    solver = "unsat"
            except (TooLong, BudgetSpent):
                pass
        return Evidence(cost + self.spent, below, single, shapes, solver, text)

    def _none(self, search: Cheapest, most_cost: int, sure: list[int]) -> Repairs:
        """Return that there is no fix, and why; `sure` are costs up to which all was looked at, the greatest first."""
        known = search.complete
        said = (
            f"No set of changes that costs {most_cost} or less mends it"
            if known
            else "No fix was found within the budget"
        )
        why = conflict(self.routine, self.stuff, search.prices, self.kept, sure, self.work // WHY)
        if why is None:
            return Repairs(reason=f"{said}.")
        if known and why.bound == max(search.sums(most_cost - self.spent)):
            why = evolve(why, bound=most_cost)
            return Repairs(reason=f"{said}, since {why.sentence}.", conflict=why)
        why = evolve(why, bound=why.bound + self.spent)
        return Repairs(reason=f"{said}. For {why.bound} or less {why.sentence}.", conflict=why)


def _made(search: Cheapest, cost: int, some: bool = False) -> tuple[list[Solution], bool]:
    """Return what a search finds at a cost, as far as its work goes, and whether it came to an end there.

    With `some` there are fixes already.
    """
    made = []
    try:
        for solution in search.level(cost, some):
            made.append(solution)
    except (WorkSpent, Unclear):
        search.complete = False
        return made, True
    return made, False


def _fillable(after: Routine) -> bool:
    """Say whether the blanks of a sheet can be filled, as far as that can be found out with little work."""
    found = fill(after, limit=1, budget=FILLINGS)
    return bool(found.fills) or not found.complete


def _mended(
    routine: Routine,
    prices: Mapping[str, int],
    kept: frozenset[int],
    level: str | None,
    limit: int,
    most: int,
    work: int,
) -> Repairs:
    """Return the fixes of a sheet that is well-formed: those that put its slips of the pen right first, and others."""
    made = slips(routine, kept) if "slip" in prices else ()
    right: Repairs | None = None
    if made and len(made) * prices["slip"] <= most:
        text = applied(routine.sheet, made)
        after = pipeline.loads(text, path=routine.path, readings=routine.readings, book=routine.facts.book)
        right = _Repair(after, prices, kept, level, work, made, routine).run(limit, most)
    plain = _Repair(routine, prices, kept, level, work)
    found = plain.run(limit, most)
    if right is None or not right.fixes:
        return found
    sure = plain.evidence is None or plain.evidence.complete
    known = (evolve(fix, evidence=evolve(fix.evidence, complete=fix.evidence.complete and sure)) for fix in right)
    ordered = sorted((*found, *known), key=lambda fix: fix.cost)
    return Repairs(tuple({fix.text: fix for fix in reversed(ordered)}.values())[::-1][:limit])


def _renamed(
    routine: Routine,
    prices: Mapping[str, int],
    kept: frozenset[int],
    level: str | None,
    limit: int,
    most: int,
    work: int,
) -> Repairs:
    """Return the fixes of a sheet that is ill-formed, perhaps only in names."""
    found: list[Fix] = []
    for names, after in respelled(routine) if "name" in prices else ():
        if not kept & {fix.line for fix in names}:
            repairs = _Repair(after, prices, kept, level, work, names, routine).run(limit, most)
            found += repairs.fixes
    if not found:
        return Repairs(
            reason="The sheet is not understood, and not for its names alone: see what `stepcheck check` says."
        )
    return Repairs(tuple(sorted(found, key=lambda fix: (fix.cost, len(fix.edits)))[:limit]))
