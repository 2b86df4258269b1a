"""The repair of one sheet: what the search finds, in its order, each with its text and the verdicts of both engines."""

from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property
from itertools import islice

from attrs import evolve, frozen

from stepcheck.breaks.blanks import blanks
from stepcheck.breaks.fill import fill
from stepcheck.breaks.material import material
from stepcheck.fixes.conflict import FEW_SHAPES, conflict
from stepcheck.fixes.evidence import Question, stretches
from stepcheck.fixes.nearness import said
from stepcheck.fixes.protected import ON_THE_FLOOR, Trials, Tried, dances
from stepcheck.fixes.ranks import Ranking
from stepcheck.fixes.repairs import ALONE, EVIDENT, Evidence, Fix, Repairs
from stepcheck.fixes.singles import otherwise, singles, ways
from stepcheck.language.alterations import described
from stepcheck.language.edits import ChangeClaim, Edit
from stepcheck.language.patch import difference
from stepcheck.language.stretches import rows, under
from stepcheck.model.claims import Claim, Kind
from stepcheck.model.outcome import Verdict
from stepcheck.model.words import listed
from stepcheck.model.work import LAYING, Work, WorkSpent
from stepcheck.program.routine import Routine, format_text
from stepcheck.proof.names import TooLarge
from stepcheck.proof.solving import FINITE, BudgetSpent, satisfiable
from stepcheck.report import pipeline
from stepcheck.search.cheapest import ENOUGH_SHAPES, Cheapest, Solution
from stepcheck.search.slots import Standing, Unfit, without
from stepcheck.search.transitions import Unclear
from stepcheck.walk.walk import failing

DEARER = 1
"""How much dearer than the cheapest fix the others may be."""
BUDGET = 150_000
"""How many places of dancers a search may come to; to lay the sheet out in another shape counts as many of them."""
ASKED = 5_000_000  # of the solver, whether anything is cheaper: the hardest that it settles takes nearly that
READINGS = 2
"""For how many ways to read the sheet it is asked, one after the other, whether anything is cheaper."""
FILLINGS = 400
"""How many sheets are tried to see whether the blanks can still be filled after a fix."""
SPENT = "No fix was found within the budget."
TRIES = 24
"""How many changes for one finding are tried, where the others stay; and how many that a search finds at the least."""
MOST_FOUND = 5_000
"""How many changes of one cost are put in their order."""
MOST_ASKED = 1 << 30
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


@frozen(eq=False)
class Mended:
    """One way to mend a sheet as the first engine finds it: the edits, their cost, and the sheet after them; with the
    fix, if both engines have looked at it."""

    edits: tuple[Edit, ...]
    cost: int
    sheet: Tried
    fix: Fix | None = None


def nothing(trials: Trials) -> Repairs:
    """Return the answer where the first engine finds nothing that fails."""
    if not trials.beyond:
        return Repairs(needed=False, reason="Nothing fails: there is nothing to mend.")
    failing = listed([f"line {claim.line} `{claim.text}`" for claim in trials.beyond])
    reason = f"Whatever fills the blanks, this fails: {failing}. A fix is looked for once they are filled."
    return Repairs(reason=reason, complete=False)


class Mend:
    """The repair of one well-formed sheet.

    Args:
        trials: the sheet.
        terms: what fixes are looked for.
        first: changes that were made before, which each fix begins with.
        original: the sheet before them.
        target: the id of the only claim that is to hold after a fix; no more claims are to fail than before.
        quick: whether ways are enough, without the fixes that they make.

    Attributes:
        found: the ways found so far.
        done: the cost up to which everything was looked at, -1 for none.
        asked: the second engine is asked about fixes that cost less than this.
    """

    def __init__(
        self,
        trials: Trials,
        terms: Terms,
        first: tuple[Edit, ...] = (),
        original: Routine | None = None,
        target: str = "",
        quick: bool = False,
    ) -> None:
        self.trials, self.terms, self.first = trials, terms, first
        self.routine = routine = trials.routine
        self.prices, self.kept, self.work = terms.prices, terms.kept, terms.work
        self.target = target
        self.original = original or routine
        self.stuff = material(routine, terms.level)
        self.ranking = Ranking(routine, self.stuff)
        self.danced = dances(trials.program)
        self.evidence: Evidence | None = None
        self.done = -1
        self.asked = MOST_ASKED
        self.quick = quick
        self.found: list[Mended] = []
        self.spent = sum(terms.prices[edit.kind] for edit in first)
        self.tries = Work(max(terms.work, TRIES * LAYING))

    def run(self, why: bool = True) -> Repairs:
        """Return the fixes; if there are none, and `why` is asked for, the conflict."""
        wrong = self.trials.wrong
        if not wrong:
            if self.first:
                self._add([Solution(0, ())], 0, None, True)
                return Repairs(self._fixes())
            return nothing(self.trials)
        looked_for = {self.target} if self.target else wrong
        apart = [one for one in self.trials.program.claims if one.id in looked_for and one.kind in ON_THE_FLOOR]
        if apart:
            return self._on_the_floor(apart)
        prices = {kind: cost for kind, cost in self.prices.items() if kind != "name" and kind not in ALONE}
        shown = self._shown()
        try:
            search = Cheapest(
                self.routine, self.stuff, prices, self.kept, self.work, self.given, shared=self.trials.shared
            )
            sure = self._search(search, shown)
        except (Unfit, Unclear, WorkSpent) as reason:
            for cost in sorted(shown):
                self._add(shown[cost], cost, None, False)
            spent = isinstance(reason, WorkSpent)
            said = "" if self.found else SPENT if spent else f"No fix is looked for: {reason}."
            return Repairs(self._fixes(), said, complete=not (spent or self.found))
        if self.found or self.target:
            said = "" if self.found else "No change by itself mends it."
            return Repairs(self._fixes(), said, complete=search.complete)
        if why:
            return evolve(self._none(search, sure), complete=search.complete)
        return Repairs(reason=self._said(search), complete=search.complete)

    def _fixes(self) -> tuple[Fix, ...]:
        return tuple(way.fix for way in self.found if way.fix is not None)

    def _on_the_floor(self, apart: list[Claim]) -> Repairs:
        """Return the fixes of a sheet in which claims about places or groups fail: single changes, each tried, and with
        what such a change leaves other changes for the rest."""
        found, work = self.found, Work(self.terms.work)
        least = min((price for kind, price in self.prices.items() if kind not in ("name", *EVIDENT)), default=0)
        costs: dict[int, list[Edit]] = {}
        for edit in dict.fromkeys(self._on_lines(apart)):
            cost = self.prices.get(edit.kind, self.terms.most + 1) + self.spent
            if cost <= self.terms.most and not self.kept & edit.lines:
                costs.setdefault(cost - self.spent, []).append(edit)
        spent = False
        for cost, edits in sorted(costs.items()):
            if found and cost + self.spent > found[0].cost + DEARER:
                break
            try:
                made = self._alone(edits, cost, work)
            except WorkSpent:
                spent = True
                break
            self._add(made, cost, None, cost <= least)
        about = "where a part leads" if apart[0].kind is Kind.SPOT else "several groups at once"
        said = f"No change of a line mends it: line {apart[0].line} is about {about}."
        return Repairs(self._fixes(), "" if found else said, complete=not spent)

    def _on_lines(self, apart: list[Claim]) -> Iterator[Edit]:
        """Yield the changes of single lines that may mend claims about places or groups."""
        sheet, kinds = self.routine.sheet, {one.kind for one in apart}
        parts = {one.part for one in apart}
        yield from singles(self.trials, self.stuff, self.kept, frozenset())
        yield from ways(sheet) if kinds & {Kind.SPOT, Kind.APART} else ()
        inside = parts.pop() if kinds == {Kind.SPOT} and len(parts) == 1 else ""
        returns = [one for one in self.trials.program.claims if one.kind is Kind.SPOT and one.text == "returns"]
        close = {one.part for one in returns if one.id not in self.trials.wrong}
        yield from otherwise(sheet, inside, sorted(figure.name for figure in self.stuff.known), close)

    def _alone(self, edits: Iterable[Edit], cost: int, work: Work | None = None) -> list[Solution]:
        """Return those of some changes of one cost that mend the sheet alone."""
        found = list[Solution]()
        for edit in edits:
            if isinstance(edit, ChangeClaim) and any(edit.line == one.choices[0][0].line for one in found):
                continue  # the least number that holds
            if work is not None:
                work.spend(LAYING)
            after = self.trials.after((edit,))
            if after is not None and self._mended(after):
                found.append(Solution(cost, ((edit,),)))
        return found

    @cached_property
    def given(self) -> frozenset[Standing]:
        """Return the claims that need not hold beside a target: those that fail, and those that hold only through a
        claim that is taken as put right."""
        given = self.trials.wrong - {self.target} if self.target else frozenset()
        more = given
        while more:
            more = frozenset(failing(without(self.trials.program, given), self.trials.algebra)) - {self.target} - given
            given |= more
        return frozenset(self.trials.stands[name] for name in given)

    def _search(self, search: Cheapest, shown: dict[int, list[Solution]]) -> list[int]:
        """Find what the sheet speaks for (`shown`, by cost) and what a search finds; return the costs up to which that
        was complete, the greatest first."""
        found, limit = self.found, self.terms.limit
        sure: list[int] = []
        costs = search.sums(self.terms.most - self.spent)
        ended = False
        for cost in sorted({*costs, *shown}):
            dearer = cost + self.spent - found[0].cost if found else 0
            if dearer > (DEARER if search.shaped <= ENOUGH_SHAPES else 0):
                break
            told = shown.get(cost, [])
            below = search.complete
            made, ended = self._level(search, cost, bool(found or told)) if cost in costs and not ended else ([], ended)
            try:
                self._add([*made, *told], cost, search, below)
            except WorkSpent:
                search.complete, ended = False, True
                self._add(told, cost, None, False)
            if search.complete:
                self.done = cost
            if search.complete and search.shaped <= FEW_SHAPES:
                sure.insert(0, cost)
            if len(found) == limit or (found and ended):
                break
        for cost in sorted(shown) if found else ():  # fewer than asked for: what the sheet speaks for at any cost
            if len(found) < limit:
                self._add(shown[cost], cost, None, False)
        return sure

    def _level(self, search: Cheapest, cost: int, some: bool) -> tuple[list[Solution], bool]:
        """Return what a search finds of one cost, and whether that is all that it can: its work is spent, or it finds
        too much."""
        made: list[Solution] = []
        try:
            for solution in search.level(cost, some):
                made.append(solution)
                if len(made) == MOST_FOUND:
                    raise WorkSpent
        except (WorkSpent, Unclear):
            search.complete = False
            return made, True
        return made, False

    def _shown(self) -> dict[int, list[Solution]]:
        """Return by cost the changes that the sheet itself speaks for, and that mend it alone."""
        found: dict[int, list[Solution]] = {}
        most_cost = self.terms.most - self.spent
        for edit in dict.fromkeys(singles(self.trials, self.stuff, self.kept, under(self.routine.sheet, self.kept))):
            cost = self.prices.get(edit.kind, most_cost + 1)
            if cost <= most_cost and (made := self._alone((edit,), cost)):
                found.setdefault(cost, []).extend(made)
        return found

    def _mended(self, after: Tried) -> bool:
        """Say whether nothing fails in a sheet; with a target, not that, no more than before, and nothing that held."""
        if not self.target:
            return not after.left
        goal = self.trials.stands[self.target]
        return goal not in after.left and after.left <= self.given and len(after.left) <= len(self.trials.wrong)

    def _add(self, made: list[Solution], cost: int, search: Cheapest | None, below: bool) -> None:
        """Add the ways of one cost, in their order, up to the limit.

        Raises:
            WorkSpent: no more of what a search found may be tried.
        """
        for edits in islice(self.ranking.ordered(made), TRIES if self.target else None):
            if any(set(edits) > set(way.edits) for way in self.found):
                continue
            if search is not None:
                self.tries.spend(LAYING)
            way = self._way(edits, cost, search, below)
            if way is None or (way.sheet.open and any(not other.sheet.open for other in self.found)):
                continue  # what leaves a claim open is no fix beside one that proves all
            if all(format_text(way.sheet.text) != format_text(other.sheet.text) for other in self.found):
                self.found.append(way)
            if len(self.found) == self.terms.limit:
                return

    def made(self, edits: tuple[Edit, ...]) -> Mended | None:
        """Return the way that some edits are; None if they mend nothing."""
        return self._way(edits, sum(self.prices[edit.kind] for edit in edits), None, True)

    def _way(self, edits: tuple[Edit, ...], cost: int, search: Cheapest | None, below: bool) -> Mended | None:
        """Return a way, if the sheet holds after it; `below` says that all that is cheaper was looked at."""
        made = self.trials.after(edits)
        if made is None or not self._mended(made):
            return None
        after = made.routine
        if any(len(set(map(said, row.options))) < len(row.options) for _, row in rows(after.sheet.lines)):
            return None  # two alternatives that say the same are none
        if self.danced and after.program is not None and not dances(after.program):
            return None
        if not self.target and made.open and blanks(self.routine.sheet):
            filled = fill(after, limit=1, budget=FILLINGS)
            if not filled.fills and filled.complete:
                return None
        fix = None if self.quick else self._fix(edits, made, cost, search, below)
        return None if fix is None and not self.quick else Mended(edits, cost + self.spent, made, fix)

    def _fix(self, edits: tuple[Edit, ...], made: Tried, cost: int, search: Cheapest | None, below: bool) -> Fix | None:
        """Return a fix, if both engines prove all of the sheet after it."""
        text, report = made.text, pipeline.check(made.routine, algebra=self.trials.algebra)
        if report.verdict > Verdict.UNDECIDED and not self.target:
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

    def _evidence(self, cost: int, search: Cheapest | None, below: bool) -> Evidence:
        """Return why nothing costs less than the first fix, which costs `cost`."""
        if search is None:
            return Evidence(cost + self.spent, below, 0, 0)
        single, shapes = search.counts()
        inner = search.base.search
        solver = text = ""
        if below and not self.target and inner is not None and inner.least < cost < self.asked:
            solver = "open"
            try:
                chosen = stretches(inner, cost)
                for place in range(min(READINGS, len(inner.transitions.assignments))):
                    text = Question(inner, chosen, place).text
                    if not satisfiable(text, ASKED, FINITE):
                        solver = "unsat"
                        break
            except (TooLarge, BudgetSpent):
                pass
        searched = cost > min(search.prices.values(), default=cost) or self.spent > 1
        return Evidence(cost + self.spent, below, single, shapes, solver, text, searched=searched)

    def _said(self, search: Cheapest) -> str:
        return f"No set of changes that costs {self.terms.most} or less mends it." if search.complete else SPENT

    def _none(self, search: Cheapest, sure: list[int]) -> Repairs:
        """Return that there is no fix, and why; `sure` are costs up to which all was looked at, the greatest first."""
        known, said, most = search.complete, self._said(search).rstrip("."), self.terms.most
        if (why := conflict(self.trials, self.stuff, search.prices, self.kept, sure, self.work // WHY)) is None:
            return Repairs(reason=f"{said}.")
        if known and why.bound == max(search.sums(most - self.spent)):
            why = evolve(why, bound=most)
            return Repairs(reason=f"{said}, since {why.sentence}.", conflict=why)
        why = evolve(why, bound=why.bound + self.spent)
        return Repairs(reason=f"{said}. For {why.bound} or less {why.sentence}.", conflict=why)
