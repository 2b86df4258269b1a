"""The public question for fixes: the cheapest changes after which both engines prove every claim, and why none is
cheaper."""

from collections.abc import Iterable, Mapping

from attrs import evolve

from stepcheck.breaks.states import SearchError
from stepcheck.fixes.costs import COSTS, priced
from stepcheck.fixes.evident import facts, slips
from stepcheck.fixes.mend import BUDGET, DEARER, Mend, Terms, tidy
from stepcheck.fixes.protected import failing, kept_lines
from stepcheck.fixes.repairs import Fix, Repairs
from stepcheck.fixes.several import MANY, alone, findings, one, stepwise, together
from stepcheck.fixes.spelling import relabelled, respelled
from stepcheck.language.alterations import applied
from stepcheck.language.edits import Edit
from stepcheck.model.source import ROUTINE, each, require
from stepcheck.program.routine import Routine
from stepcheck.report import pipeline

MOST_COST = 8
FACTS = 4
"""Which part of the work may go into other changes, where the length of the music alone is what would mend a sheet."""
BESIDE = 15
"""Which part of the work may go into other changes, where slips of the pen put right mend a sheet."""
SHARES = ((5, 4), (2, 2))
NEAR = 3
"""Which part of the work may go into changes for all findings at once, from how many findings on; and what these cost
together, before the fixes of single findings are put together."""


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
    finding: int | None = None,
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
        finding: the number, as `check` has it, of the one finding to be mended.

    Raises:
        CostError: there is no such kind of change.
        NoSuchPart: there is no such part or line.
        SearchError: there is no such level or finding, or the limit is less than one.
    """
    if limit < 1:
        raise SearchError("ask for at least one fix")
    require(routine, Routine, ROUTINE)
    prices = priced(costs, each(without))
    work = BUDGET if budget is None else budget
    terms = Terms(prices, kept_lines(routine.sheet, keep), level, limit, most_cost, work)
    if routine.program is None:
        return _renamed(routine, terms)
    made = slips(routine, terms.kept, terms.prices)
    if finding is not None:
        return one(routine, terms, finding, made)
    fact = None if any(edit.kind == "section length" for edit in made) else _fact(routine, terms)
    if fact is not None:
        # The search may be long and find nothing, since what is wrong is what it leaves alone.
        found = _mended(routine, evolve(terms, work=work // FACTS), made, why=False)
        known = evolve(fact.evidence, complete=found.complete, searched=True)
        return found if found.fixes else Repairs((evolve(fact, evidence=known),), complete=found.complete)
    many = len(findings(routine))
    if many < MANY:
        return _mended(routine, terms, made)
    return _several(routine, terms, made, many, budget is None)


def _several(routine: Routine, terms: Terms, made: tuple[Edit, ...], many: int, shared: bool) -> Repairs:
    """Return the fixes of a sheet with several findings, `many` of them; with only a share of the work for changes for
    all of them at once, if it is `shared`."""
    # So many mistakes are seldom in rlone of one search: what a short one does not find is mended one after another.
    part = next(part for least, part in SHARES if many >= least)
    share = evolve(terms, work=terms.work // part) if shared else terms
    found = _mended(routine, evolve(share, near=NEAR), made, why=False)
    if found.fixes and found.fixes[0].evidence.complete:
        return found
    few = many < SHARES[0][0]
    lone = {} if few else alone(routine, share, made)
    apart = [] if found.fixes else together(routine, share, lone)
    apart = [fix for fix in apart if terms.most == MOST_COST or fix.cost <= terms.most]
    if not apart or apart[0].evidence.left or len(apart[0].edits) == 1:
        if few and not found.fixes:
            found = _mended(routine, share, made, why=many == MANY)
        if few and (found.complete or (found.fixes and found.fixes[0].evidence.complete)):
            return found
        found = Repairs(tuple(apart)) if apart and not found.fixes else found
        return stepwise(routine, found, lone or alone(routine, share, made))
    sure = found.complete
    if apart[0].cost > NEAR + 1:
        found = _mended(routine, evolve(share, most=apart[0].cost - 1, work=terms.work // BESIDE), made, why=False)
        sure = found.complete and (not found.fixes or found.fixes[0].evidence.complete)
    apart = [evolve(fix, evidence=evolve(fix.evidence, complete=sure, searched=True)) for fix in apart]
    return Repairs(_unlike([*found, *apart])[: terms.limit])


def _fact(routine: Routine, terms: Terms) -> Fix | None:
    """Return what mends a sheet by the lengths of its music alone, which are facts, where no cost is set for these."""
    edits = facts(routine) if "music" not in terms.prices and "section length" in terms.prices else ()
    if not edits or terms.kept & {edit.line for edit in edits}:
        return None
    return Mend(routine, evolve(terms, prices={**COSTS, **terms.prices})).made(edits)


def _mended(routine: Routine, terms: Terms, made: tuple[Edit, ...], why: bool = True) -> Repairs:
    """Return the fixes of a sheet that is well-formed: those that put its slips of the pen (`made`) right first, and
    others."""
    plain, spent = Mend(routine, terms), sum(terms.prices[edit.kind] for edit in made)
    if not made or spent > terms.most:
        return plain.run(why)
    text = applied(routine.sheet, made)
    after = pipeline.loads(text, path=routine.path, readings=routine.readings, book=routine.facts.book)
    assert after.program is not None
    if failing(after.program):
        # More is wrong than the slips, or something else instead of them, which may cost less.
        alone = Mend(routine, evolve(terms, most=min(spent + 1, terms.most))).run(False)
        terms = evolve(terms, most=min(alone[0].cost + DEARER, terms.most)) if alone.fixes else terms
    right = Mend(after, terms, made, routine).run(False)
    if right.fixes:
        plain = Mend(routine, evolve(terms, work=terms.work // BESIDE))
        plain.asked = right[0].cost
    found = plain.run(why and not right.fixes)
    sure = bool(right.fixes) and max(plain.done, 0) >= right[0].cost - 1
    known = (evolve(fix, evidence=evolve(fix.evidence, complete=fix.evidence.complete and sure)) for fix in right)
    ordered = sorted((*found, *known), key=lambda fix: fix.cost)
    return Repairs(_unlike(ordered)[: terms.limit]) if ordered else found


def _renamed(routine: Routine, terms: Terms) -> Repairs:
    """Return the fixes of a sheet that is ill-formed, perhaps only in names or in the order of its sections."""
    ways = (*(respelled(routine) if "name" in terms.prices else ()), *relabelled(routine))
    found = [
        fix
        for edits, after in ways
        if {edit.kind for edit in edits} <= {*terms.prices}
        and not terms.kept & {number for edit in edits for number in (edit.line, getattr(edit, "other", edit.line))}
        for fix in Mend(after, terms, edits, routine).run()
    ]
    if not found:
        return Repairs(
            reason="The sheet is not understood, and not for its names or the order of its sections alone: "
            "see what `stepcheck check` says."
        )
    return Repairs(_unlike(sorted(found, key=lambda fix: (fix.cost, len(fix.edits))))[: terms.limit])


def _unlike(fixes: list[Fix]) -> tuple[Fix, ...]:
    """Return fixes in their order, of those that give one sheet the first."""
    texts: dict[str, Fix] = {}
    for fix in fixes:
        texts.setdefault(tidy(fix), fix)
    return tuple(texts.values())
