"""Blanks filled: what can stand in each so that every claim of the sheet is proved, and whether nothing else can."""

from itertools import islice

from attrs import field, frozen

from stepcheck.breaks.blanks import Blank, Filling, blanks, filled
from stepcheck.breaks.material import material
from stepcheck.breaks.puzzle import Puzzle
from stepcheck.breaks.settling import settling
from stepcheck.breaks.states import SearchError
from stepcheck.breaks.trials import BUDGET, Spent
from stepcheck.breaks.unfilled import reason
from stepcheck.language.patch import difference
from stepcheck.model.findings import Severity
from stepcheck.model.outcome import Verdict
from stepcheck.model.source import ROUTINE, require
from stepcheck.program.routine import Routine
from stepcheck.report import pipeline
from stepcheck.report.values import Report
from stepcheck.walk.walk import walk

__all__ = ["Blank", "Fill", "Filled", "Filling", "fill"]


@frozen
class Fill:
    """One way to fill all the blanks.

    Attributes:
        text: the sheet with them filled.
        fillings: what stands in each blank.
        diff: what changes, as a unified diff.
        report: what both engines say of the sheet after it.
    """

    text: str = field(repr=False)
    fillings: tuple[Filling, ...]
    diff: str = field(repr=False)
    report: Report = field(repr=False)

    @property
    def turns(self) -> bool:
        """Whether a figure that it puts in turns."""
        return any(one.blank.kind == "turn" and one.value for one in self.fillings) or any(
            placed.eighths or any(version.turn for version in placed.figure.versions)
            for one in self.fillings
            if isinstance(one.value, tuple)
            for placed in one.value
        )


@frozen
class Filled:
    """The answer to a question for what fits the blanks.

    Attributes:
        fills: ways to fill them in the written order, every claim proved in each by both engines.
        unique: whether there is only one way.
        unique_effect: whether whatever fits does the same, though rows may differ.
        settled_by: a claim that would leave one of several, as words; empty for none.
        reason: why there is none; empty where there are some.
        complete: whether everything was tried before the budget was spent.
        blanks: the blanks, in the order of the sheet.
    """

    fills: tuple[Fill, ...]
    unique: bool = False
    unique_effect: bool = False
    settled_by: str = ""
    reason: str = ""
    complete: bool = True
    blanks: tuple[Blank, ...] = ()

    @property
    def alternatives(self) -> tuple[Fill, ...]:
        """Every fill but the first."""
        return self.fills[1:]


def fill(routine: Routine, *, limit: int = 3, level: str | None = None, budget: int = BUDGET) -> Filled:
    """Return what fits the blanks of a routine, whatever dancers choose and however its open words are read.

    Args:
        routine: a routine, as `load` returns it.
        limit: how many ways to return.
        level: the hardest level of figures to put in; that of the header if left out, `any` for all.
        budget: how many sheets may be tried.

    Raises:
        SearchError: there is no such level, or `limit` is less than one.
    """
    if limit < 1:
        raise SearchError("ask for at least one way to fill the blanks")
    require(routine, Routine, ROUTINE)
    found = blanks(routine.sheet)
    if not found:
        return Filled((), reason="the sheet has no blank")
    wrong = _hopeless(routine)
    if wrong:
        return Filled((), reason=wrong, blanks=found)
    puzzle = Puzzle(routine, material(routine, level), budget)
    fills: list[Fill] = []
    distinct = 0
    complete, more = True, False
    try:
        distinct = sum(1 for _ in islice(puzzle.distinct(), 2))
        for solution in puzzle.solutions() if distinct else ():
            if len(fills) == limit or (fills and limit == 1):
                more = True
                break
            made = _made(routine, solution)
            if made.report.verdict is Verdict.PROVED:
                fills.append(made)
    except Spent:
        complete = False
    if not fills:
        said = f"nothing was found among the first {budget} tries" if not complete else reason(puzzle)
        return Filled((), reason=said, complete=complete, blanks=puzzle.blanks)
    unique_effect = complete and distinct == 1
    settled = "" if unique_effect or not complete else settling(puzzle, fills[0].text, fills[0].fillings)
    only = unique_effect and len(fills) == 1 and not more
    return Filled(tuple(fills), only, unique_effect, settled, "", complete, puzzle.blanks)


def _hopeless(routine: Routine) -> str:
    """Return what is wrong with a sheet whatever fills its blanks."""
    if routine.program is not None:
        refuted = {one.claim for one in walk(routine.program) if one.verdict is Verdict.REFUTED}
        for claim in routine.program.claims:
            if claim.id in refuted:
                return f"line {claim.line}: {claim.text!r} fails whatever is put in the blanks; mend that first"
        return ""
    errors = [one for one in routine.diagnostics if one.code.severity is Severity.ERROR]
    for one in errors:
        if one.code.name != "mark-not-possible-here":
            return f"line {one.span.line}: {one.message}; mend that first"
    return ""


def _made(routine: Routine, fillings: tuple[Filling, ...]) -> Fill:
    """Return a filling with its report, decided by both engines."""
    text = filled(routine.sheet.source, fillings)
    after = pipeline.loads(text, path=routine.path, readings=routine.readings, book=routine.facts.book)
    in_order = tuple(sorted(fillings, key=lambda one: (one.blank.line, one.blank.at)))
    return Fill(text, in_order, _diff(routine, text), pipeline.check(after))


def _diff(routine: Routine, text: str) -> str:
    return difference(routine.sheet.source, text, "filled")
