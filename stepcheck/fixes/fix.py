"""The public question for fixes: the cheapest changes after which both engines prove every claim. Says why none is
cheaper; mends several findings one after another."""

from collections.abc import Iterable, Mapping
from itertools import islice
from typing import TypeAlias

from attrs import evolve

from stepcheck.breaks.states import SearchError
from stepcheck.fixes.evident import facts, relabelled, respelled, slips
from stepcheck.fixes.mend import BUDGET, DEARER, Mend, Mended, Terms, nothing
from stepcheck.fixes.protected import Trials, Tried, kept_lines
from stepcheck.fixes.repairs import ALONE, COSTS, Evidence, Fix, Repairs, Single, priced
from stepcheck.language.alterations import applied, described
from stepcheck.language.edits import Edit
from stepcheck.language.patch import difference
from stepcheck.model.findings import Diagnostic, Severity
from stepcheck.model.source import ROUTINE, each, require
from stepcheck.model.words import listed
from stepcheck.program.routine import Routine, format_text
from stepcheck.report import pipeline
from stepcheck.report.values import Report

MOST_COST = 8
FACTS = 4
"""Which part of the work may go into other changes, where the length of the music alone is what would mend a sheet."""
BESIDE = 15
"""Which part of the work may go into other changes, where slips of the pen put right mend a sheet."""
SHARES = ((5, 16), (2, 2))
"""Which part of the work may go into changes for all findings at once, from how many findings on."""
NEAR = 3
"""What changes for all findings cost at most, where the fixes of single findings are not put together as well."""
MANY = 2
"""The number of findings from which they are mended one after another, if no cheap fix for all of them was found."""
QUICK = 8_000
"""How much work one finding may take where there are many."""
MOST = 8
"""How many findings are mended by themselves where nobody asks for one."""
CHOICE = 3
"""Among how many fixes of one finding the one is taken that leaves the fewest others."""


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
    trials = Trials(routine)
    made = slips(trials, terms.kept, terms.prices)
    if finding is not None:
        return one(trials, terms, finding, made)
    fact = None if any(edit.kind == "section length" for edit in made) else _fact(trials, terms)
    if fact is not None:
        # The search may be long and find nothing, since what is wrong is what it leaves alone.
        found, _ = _mended(trials, evolve(terms, work=work // FACTS), made, why=False)
        known = evolve(fact.evidence, complete=found.complete, searched=True)
        return found if found.fixes else Repairs((evolve(fact, evidence=known),), complete=found.complete)
    many = len(trials.wrong)
    if many < MANY:
        return _mended(trials, terms, made)[0]
    return _several(trials, terms, made, many, budget is None)


def _several(trials: Trials, terms: Terms, made: tuple[Edit, ...], many: int, shared: bool) -> Repairs:
    """Return the fixes of a sheet with several findings, `many` of them; with only a share of the work for changes for
    all of them at once, if it is `shared`."""
    # So many mistakes are seldom in reach of one search: what a short one does not find is mended one after another.
    part = next(part for least, part in SHARES if many >= least)
    share = evolve(terms, work=terms.work // part) if shared else terms
    found, done = _mended(trials, share, made, why=False)
    best = found.fixes[0] if found.fixes else None
    sure = best is not None and best.evidence.complete
    if best is not None and sure and (best.cost <= NEAR or trials.partial.isdisjoint(ALONE)):
        return found
    few = many < SHARES[0][0]
    lone = {} if few else alone(trials, share, made)
    apart = together(trials, share, lone)
    apart = [fix for fix in apart if terms.most == MOST_COST or fix.cost <= terms.most]
    if best is not None and sure:  # what mends each finding by itself comes first where it costs no more
        known = {best.cost: best.evidence}
        alike = [
            evolve(fix, evidence=known.get(fix.cost, evolve(fix.evidence, complete=True, searched=True)))
            for fix in apart
            if fix.cost <= best.cost and not fix.evidence.left
        ]
        return Repairs(_unlike([*alike, *found])[: terms.limit])
    if not apart or apart[0].evidence.left or len(apart[0].edits) == 1:
        if few and best is None:
            found, _ = _mended(trials, share, made, why=many == MANY or found.complete)
        if few and found.complete:
            return found
        found = Repairs(tuple(apart)) if apart and not found.fixes else found
        return stepwise(trials, terms, found, lone or alone(trials, share, made))
    sure = done >= apart[0].cost - 1
    if not sure:
        found, _ = _mended(trials, evolve(share, most=apart[0].cost - 1), made, why=False)
        sure = found.complete and (not found.fixes or found.fixes[0].evidence.complete)
    apart = [evolve(fix, evidence=evolve(fix.evidence, complete=sure, searched=True)) for fix in apart]
    return Repairs(_unlike(sorted([*apart, *found], key=lambda fix: fix.cost))[: terms.limit])


def _fact(trials: Trials, terms: Terms) -> Fix | None:
    """Return what mends a sheet by the lengths of its music alone, which are facts, where no cost is set for these."""
    edits = facts(trials) if "music" not in terms.prices and "section length" in terms.prices else ()
    if not edits or terms.kept & {edit.line for edit in edits}:
        return None
    way = Mend(trials, evolve(terms, prices={**COSTS, **terms.prices})).made(edits)
    return None if way is None else way.fix


def _mended(trials: Trials, terms: Terms, made: tuple[Edit, ...], why: bool = True) -> tuple[Repairs, int]:
    """Return the fixes of a sheet that is well-formed, those that put its slips of the pen (`made`) right first, and
    others; and the cost up to which all was looked at."""
    routine, plain, spent = trials.routine, Mend(trials, terms), sum(terms.prices[edit.kind] for edit in made)
    if not made or spent > terms.most:
        return plain.run(why), plain.done
    text = applied(routine.sheet, made)
    after = Trials(pipeline.loads(text, path=routine.path, readings=routine.readings, book=routine.facts.book))
    if after.wrong:
        # More is wrong than the slips, or something else instead of them, which may cost less.
        alone = Mend(trials, evolve(terms, most=min(spent + 1, terms.most))).run(False)
        terms = evolve(terms, most=min(alone[0].cost + DEARER, terms.most)) if alone.fixes else terms
    right = Mend(after, terms, made, routine).run(False)
    if right.fixes:
        plain = Mend(trials, evolve(terms, work=terms.work // BESIDE))
        plain.asked = right[0].cost
    found = plain.run(why and not right.fixes)
    sure = bool(right.fixes) and max(plain.done, 0) >= right[0].cost - 1
    known = (evolve(fix, evidence=evolve(fix.evidence, complete=fix.evidence.complete and sure)) for fix in right)
    ordered = sorted((*found, *known), key=lambda fix: fix.cost)
    return (Repairs(_unlike(ordered)[: terms.limit]) if ordered else found), plain.done


def _renamed(routine: Routine, terms: Terms) -> Repairs:
    """Return the fixes of a sheet that is ill-formed, perhaps only in names or in the order of its sections."""
    ways = (*(respelled(routine) if "name" in terms.prices else ()), *relabelled(routine))
    found = [
        fix
        for edits, after in ways
        if {edit.kind for edit in edits} <= {*terms.prices} and not any(terms.kept & edit.lines for edit in edits)
        for fix in Mend(Trials(after), terms, edits, routine).run()
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
        texts.setdefault(format_text(fix.text), fix)
    return tuple(texts.values())


def findings(report: Report) -> dict[int, Diagnostic]:
    """Return the findings about claims that fail, in their order, by the numbers with which a report tells them."""
    return {
        number: one
        for number, one in enumerate(report.diagnostics, 1)
        if one.claim and one.code.severity is Severity.ERROR
    }


def one(trials: Trials, terms: Terms, number: int, made: tuple[Edit, ...]) -> Repairs:
    """Return the fixes for one finding by itself, after which it is gone, and no more fail than before; `made` are the
    slips of the sheet put right.

    Raises:
        SearchError: there is no finding of this number.
    """
    told = findings(trials.report)
    if not told:
        return nothing(trials)
    if number not in told:
        raise SearchError(f"finding {number} is none that can be mended; there is {listed([*map(str, told)])}")
    fixes = (way.fix for way in _of(trials, terms, told[number], made, quick=False) if way.fix is not None)
    return Repairs(tuple(fixes), reason="No change by itself mends it.")


def _of(trials: Trials, terms: Terms, finding: Diagnostic, made: tuple[Edit, ...], quick: bool = True) -> list[Mended]:
    """Return ways to mend one finding, of those that cost the same the ones first that leave the fewest others: a slip
    of the pen put right, and what a search finds."""
    mend = Mend(trials, evolve(terms, limit=max(terms.limit, CHOICE)), target=finding.claim, quick=quick)
    put = (mend.made((edit,)) for edit in made if edit.line == finding.span.line)
    found = [way for way in put if way is not None]
    mend.run(why=False)
    found += mend.found[: max(terms.limit, CHOICE) - len(found)]
    return sorted(found, key=lambda way: (way.cost, len(way.sheet.left)))[: terms.limit]


Alone: TypeAlias = Mapping[str, list[Mended]]
"""The ways to mend single findings, by the ids of the claims that these are about."""


def alone(trials: Trials, terms: Terms, made: tuple[Edit, ...]) -> Alone:
    """Return the ways to mend each of the first findings by itself; `made` are the slips of the sheet put right."""
    quick = evolve(terms, work=min(QUICK, terms.work), limit=CHOICE)
    told = islice(findings(trials.report).values(), MOST)
    return {finding.claim: _of(trials, quick, finding, made) for finding in told}


def stepwise(trials: Trials, terms: Terms, found: Repairs, each: Alone) -> Repairs:
    """Return an answer with what mends each finding by itself."""
    singles = (
        Single(
            number,
            finding.span.line,
            finding.message,
            next((_fix(trials.routine, terms, [way.edits], way.sheet, 0) for way in each[finding.claim]), None),
        )
        for number, finding in findings(trials.report).items()
        if finding.claim in each
    )
    return evolve(found, singles=tuple(singles))


def together(trials: Trials, terms: Terms, each: Alone) -> list[Fix]:
    """Return fixes made of those of single findings, one after another, none of which touches a line of another: those
    after which nothing fails, or the one that leaves the fewest findings.

    Args:
        trials: the sheet.
        terms: what fixes are looked for.
        each: fixes of single findings that are known.
    """
    quick = evolve(terms, work=min(QUICK, terms.work), limit=CHOICE)
    now, here = trials.after(()), trials
    assert now is not None
    chain: list[list[tuple[Edit, ...]]] = []
    passed: set[str] = set()
    known, searches, again = dict(each), 0, False
    while searches < MOST:
        left = findings(here.report).values()
        finding = next((one for one in left if one.claim not in passed), None)
        if finding is None and again:  # what could not be mended before may be now
            passed, again, finding = set(), False, next(iter(left), None)
        if finding is None:
            break
        closed = {0, *terms.kept, *(edit.line for step in chain for edit in step[0])}
        if finding.claim in known:
            fixes = [fix.edits for fix in known[finding.claim]]
        else:
            kept = frozenset(number for number, old in enumerate(now.origins, 1) if old in closed)
            made, searches = slips(here, kept, terms.prices), searches + 1
            more = _of(here, evolve(quick, kept=kept), finding, made)
            fixes = [tuple(map(now.moved, fix.edits)) for fix in more]
        options = [some for some in fixes if not closed & {edit.line for edit in some}]
        after = _after(trials, [*(step[0] for step in chain), *options[:1]])
        if options and after is not None and len(after.left) < len(now.left):
            chain.append(options)
            now, here, again = after, Trials(after.routine), True
        elif known.pop(finding.claim, None) is None:
            passed.add(finding.claim)
    first = [step[0] for step in chain]
    ways = [first] + [
        [*first[:at], other, *first[at + 1 :]] for at, step in enumerate(chain) for other in step[1:] if not now.left
    ]
    found: dict[str, Fix] = {}
    for way in ways if chain else ():
        for step in tuple(way):  # what another step mends too is left away
            rest = [one for one in way if one is not step]
            without = _after(trials, rest) if not now.left and rest else None
            way = rest if without is not None and not without.left else way
        sheet = _after(trials, way)
        if sheet is not None and len(sheet.left) <= len(now.left):
            fix = _fix(trials.routine, terms, way, sheet, len(sheet.left))
            found.setdefault(fix.text, fix)
    return sorted(found.values(), key=lambda fix: fix.cost)[: terms.limit]


def _after(trials: Trials, steps: list[tuple[Edit, ...]]) -> Tried | None:
    return trials.after(tuple(edit for step in steps for edit in step))


def _fix(routine: Routine, terms: Terms, steps: list[tuple[Edit, ...]], sheet: Tried, left: int) -> Fix:
    edits = tuple(sorted((edit for step in steps for edit in step), key=lambda edit: (edit.line, edit.kind)))
    cost = sum(terms.prices[edit.kind] for edit in edits)
    diff, evidence = difference(routine.sheet.source, sheet.text), Evidence(cost, False, 0, 0, left=left)
    return Fix(edits, described(routine.sheet, edits), cost, diff, sheet.text, pipeline.check(sheet.routine), evidence)
