"""The repair of one sheet: the results of the search in their order, each with its text and the verdicts of both
engines."""

from collections.abc import Mapping
from itertools import islice

from attrs import evolve, frozen

from stepcheck.breaks.blanks import blanks
from stepcheck.breaks.fill import fill
from stepcheck.breaks.material import material
from stepcheck.fixes.cheapest import ENOUGH_SHAPES, Cheapest, Solution
from stepcheck.fixes.conflict import FEW_SHAPES, conflict
from stepcheck.fixes.costs import ALONE
from stepcheck.fixes.evidence import Question, stretches
from stepcheck.fixes.evident import singles
from stepcheck.fixes.order import Ranking
from stepcheck.fixes.protected import dances, failing
from stepcheck.fixes.repairs import Evidence, Fix, Repairs
from stepcheck.fixes.shapes import swaps
from stepcheck.fixes.slots import Standing, Unfit, standings, without
from stepcheck.fixes.transitions import Unclear
from stepcheck.language.alterations import described, traced
from stepcheck.language.edits import Edit
from stepcheck.language.patch import difference
from stepcheck.language.stretches import every_line
from stepcheck.language.syntax import PartHead, Row
from stepcheck.model.dance import Kind, key
from stepcheck.model.floor import RELATIONS
from stepcheck.model.outcome import Verdict
from stepcheck.model.work import WorkSpent
from stepcheck.program.formatter import format_text
from stepcheck.program.routine import Routine
from stepcheck.proof.names import TooLarge
from stepcheck.proof.solving import FINITE, BudgetSpent, satisfiable
from stepcheck.report import pipeline
from stepcheck.walk.effects import Algebra
from stepcheck.walk.walk import verdicts

DEARER = 1
"""How much dearer than the cheapest fix the others may be."""
BUDGET = 150_000
"""How many places of dancers a search may come to; to lay the sheet out in another shape counts as many of them."""
_APART = frozenset((*RELATIONS.values(), Kind.SPOT))
READINGS = 2
"""For how many ways to read the sheet it is asked, one after the other, whether anything is cheaper."""
FILLINGS = 400
"""How many sheets are tried to see whether the blanks can still be filled after a fix."""
SPENT = "No fix was found within the budget."
TRIES = 24
"""How many changes for one finding are tried, where the others stay."""
WHY = 3
"""The divisor of the work that the search for the reason may take, if there is no fix."""


@frozen
class Terms:
    """The terms of a question for fixes: the cost of each kind, the lines that stay, the hardest level, how many fixes,
    their greatest cost, and the work."""

    prices: Mapping[str, int]
    kept: frozenset[int]
    level: str | None
    limit: int
    most: int
    work: int


class Mend:
    """The repair of one well-formed sheet.

    `first` are changes that were made before, and `original` the sheet before them.  With a `target` only that claim is
    to hold after a fix, and no more are to fail than before.  All that costs `done` or less was looked at.
    """

    def __init__(
        self,
        routine: Routine,
        terms: Terms,
        first: tuple[Edit, ...] = (),
        original: Routine | None = None,
        target: str = "",
    ) -> None:
        self.routine, self.terms, self.first = routine, terms, first
        self.prices, self.kept, self.work = terms.prices, terms.kept, terms.work
        self.target = target
        self.original = original or routine
        self.stuff = material(routine, terms.level)
        self.ranking = Ranking(routine, self.stuff)
        self.danced = routine.program is not None and dances(routine.program)
        self.evidence: Evidence | None = None
        self.done = -1
        self.algebra = Algebra()
        self.wrong: frozenset[str] = frozenset()
        self.spent = sum(terms.prices[edit.kind] for edit in first)

    def run(self, why: bool = True) -> Repairs:
        """Return the fixes; if there are none, and `why` is asked for, the conflict."""
        limit, most_cost = self.terms.limit, self.terms.most
        assert self.routine.program is not None
        self.wrong = frozenset(failing(self.routine.program, self.algebra))
        if not self.wrong:
            return (
                self._respelled()
                if self.first
                else Repairs(needed=False, reason="Nothing fails: there is nothing to mend.")
            )
        looked_for = {self.target} if self.target else self.wrong
        apart = next((one for one in self.routine.program.claims if one.id in looked_for and one.kind in _APART), None)
        if apart is not None:
            swapped = self._swapped() if apart.kind is not Kind.SPOT else []
            if swapped:
                return Repairs(tuple(swapped))
            about = "where a part leads" if apart.kind is Kind.SPOT else "several groups at once"
            what = f"line {apart.line} is about {about}; `stepcheck check` shows how it fails"
            return Repairs(reason=f"No fix is looked for: {what}.")
        prices = {kind: cost for kind, cost in self.prices.items() if kind != "name" and kind not in ALONE}
        try:
            search = Cheapest(self.routine, self.stuff, prices, self.kept, self.work, self._given())
            found, sure = self._found(search, limit, most_cost)
        except (Unfit, Unclear) as reason:
            return Repairs(reason=f"No fix is looked for: {reason}.")
        except WorkSpent:
            return Repairs(reason=SPENT, complete=False)
        if found or self.target:
            return Repairs(tuple(found), "" if found else "No change by itself mends it.", complete=search.complete)
        if search.complete or why:
            return evolve(self._none(search, most_cost, sure), complete=search.complete)
        return Repairs(reason=SPENT, complete=False)

    def _swapped(self) -> list[Fix]:
        """Return the fixes that dance a part of one row as written, mirrored, or with the opposite foot."""
        cost, found = self.prices.get("swap", self.terms.most + 1), list[Fix]()
        lines = [*every_line(self.routine.sheet.lines)]
        parts = {key(line.node.name) for line in lines if isinstance(line.node, PartHead)}
        rows = ((one.number, one.node) for one in lines if isinstance(one.node, Row) and one.number not in self.kept)
        edits = (edit for number, row in rows for edit in swaps(number, row, parts))
        if cost + self.spent <= self.terms.most:
            made = [Solution(cost, ((edit,),)) for edit in edits if self._after((edit,)) is not None]
            least = min(price for kind, price in self.prices.items() if kind != "name" and kind not in ALONE)
            self._add(found, made, cost, None, cost <= least, self.terms.limit)
        return found

    def _given(self) -> frozenset[Standing]:
        """Return the claims that need not hold beside a target: those that fail, and those that hold only because such
        a one is taken as put right."""
        program = self.routine.program
        assert program is not None
        given = self.wrong - {self.target} if self.target else frozenset()
        more = given
        while more:
            more = frozenset(failing(without(program, given), self.algebra)) - {self.target}
            given |= more
        stands = standings(program.claims)
        return frozenset(stands[name] for name in given)

    def _found(self, search: Cheapest, limit: int, most_cost: int) -> tuple[list[Fix], list[int]]:
        """Return the fixes that a search finds, and the costs up to which it was complete, the greatest first."""
        found: list[Fix] = []
        sure: list[int] = []
        shown = self._shown(search, most_cost - self.spent)
        costs = search.sums(most_cost - self.spent)
        ended = False
        for cost in sorted({*costs, *shown}):
            dearer = cost + self.spent - found[0].cost if found else 0
            if dearer > (DEARER if search.shaped <= ENOUGH_SHAPES else 0):
                break
            below = search.complete
            some = bool(found or shown.get(cost))
            made, ended = _made(search, cost, some) if cost in costs and not ended else ([], ended)
            made += shown.get(cost, [])
            if search.complete:
                self.done = cost
            if search.complete and search.shaped <= FEW_SHAPES:
                sure.insert(0, cost)
            self._add(found, made, cost, search, below, limit)
            if len(found) == limit or (found and ended):
                break
        return found, sure

    def _shown(self, search: Cheapest, most_cost: int) -> dict[int, list[Solution]]:
        """Return by cost the changes that the sheet itself speaks for, and that mend it alone."""
        found: dict[int, list[Solution]] = {}
        for edit in dict.fromkeys(singles(self.routine, self.kept, search.closed)):
            cost = self.prices.get(edit.kind, most_cost + 1)
            if cost <= most_cost and self._after((edit,)) is not None:
                found.setdefault(cost, []).append(Solution(cost, ((edit,),)))
        return found

    def _after(self, edits: tuple[Edit, ...]) -> tuple[str, Routine] | None:
        """Return the text after edits, and its sheet; None if it is not mended, as the first engine finds."""
        text, origins = traced(self.routine.sheet, edits)
        after = pipeline.loads(
            text, path=self.routine.path, readings=self.routine.readings, book=self.routine.facts.book
        )
        if after.program is None:
            return None
        worst = verdicts(after.program, algebra=self.algebra)
        wrong = {one.id for one in after.program.claims if worst.get(one.id, Verdict.VACUOUS) > Verdict.UNDECIDED}
        if not self.target:
            return None if wrong else (text, after)
        assert self.routine.program is not None
        stands = standings(after.program.claims, dict(enumerate(origins, 1)))
        goal = standings(self.routine.program.claims)[self.target]
        return (text, after) if len(wrong) <= len(self.wrong) and goal not in map(stands.get, wrong) else None

    def _add(
        self, found: list[Fix], made: list[Solution], cost: int, search: Cheapest | None, below: bool, limit: int
    ) -> None:
        """Add the fixes of one cost, in their order, up to a limit."""
        for edits in islice(self.ranking.ordered(made), TRIES if self.target else None):
            if any(set(edits) > set(fix.edits) for fix in found):
                continue
            fix = self._fix(edits, cost, search, below)
            if fix is None or (fix.report.verdict and any(not other.report.verdict for other in found)):
                continue  # what leaves a claim open is no fix beside one that proves all
            if all(tidy(fix) != tidy(other) for other in found):
                found.append(fix)
            if len(found) == limit:
                return

    def made(self, edits: tuple[Edit, ...]) -> Fix | None:
        """Return the fix that some edits are; None if they are none."""
        assert self.routine.program is not None
        self.wrong = frozenset(failing(self.routine.program, self.algebra))
        return self._fix(edits, sum(self.prices[edit.kind] for edit in edits), None, True)

    def _respelled(self) -> Repairs:
        fix = self._fix((), 0, None, True)
        return Repairs((fix,) if fix is not None else ())

    def _fix(self, edits: tuple[Edit, ...], cost: int, search: Cheapest | None, below: bool) -> Fix | None:
        """Return a fix, if both engines prove all of the sheet after it; `below` says that all that is cheaper was
        looked at."""
        made = self._after(edits)
        if made is None:
            return None
        text, after = made
        report = pipeline.check(after, algebra=self.algebra)
        if report.verdict > Verdict.UNDECIDED and not self.target:
            return None
        if self.danced and after.program is not None and not dances(after.program):
            return None
        if not self.target and report.verdict and self.blanks and not _fillable(after):
            return None
        diff = difference(self.original.sheet.source, text)
        if self.evidence is None:
            self.evidence = self._evidence(cost, search, below)
        every = (*self.first, *edits)
        name = "; ".join(
            filter(None, (described(self.original.sheet, self.first), described(self.routine.sheet, edits)))
        )
        return Fix(
            every, name, cost + self.spent, diff, text, report, self.evidence, any(map(self.ranking.is_new, edits))
        )

    @property
    def blanks(self) -> bool:
        """Whether the sheet has a blank."""
        return bool(blanks(self.routine.sheet))

    def _evidence(self, cost: int, search: Cheapest | None, below: bool) -> Evidence:
        """Return why nothing costs less than the first fix, which costs `cost`."""
        if search is None:
            return Evidence(cost + self.spent, below, 0, 0)
        single, shapes = search.counts()
        levels = search.base.levels
        solver = text = ""
        if below and not self.target and levels is not None and cost > levels.least:
            solver = "open"
            try:
                chosen = stretches(levels, cost)
                for place in range(min(READINGS, len(levels.deeds.assignments))):
                    text = Question(levels, chosen, place).text
                    if not satisfiable(text, logic=FINITE):
                        solver = "unsat"
                        break
            except (TooLarge, BudgetSpent):
                pass
        searched = cost > min(search.prices.values(), default=cost) or self.spent > 1
        return Evidence(cost + self.spent, below, single, shapes, solver, text, searched=searched)

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


def tidy(fix: Fix) -> str:
    """Return the sheet after a fix as the formatter writes it: two fixes that write the same are one."""
    return format_text(fix.text)


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
