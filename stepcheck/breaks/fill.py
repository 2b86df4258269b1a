"""Blanks filled: what can stand in each so that every claim of the sheet is proved, whether nothing else can, and why
nothing fits.
"""

from itertools import islice

from attrs import field, frozen

from stepcheck.breaks.blanks import BUDGET, Blank, Filling, blanks, filled
from stepcheck.breaks.gaps import PLAIN, Gap, stand_in, with_items
from stepcheck.breaks.material import material
from stepcheck.breaks.puzzle import Puzzle
from stepcheck.breaks.requests import Request
from stepcheck.breaks.requests import reason as why
from stepcheck.breaks.settling import settling
from stepcheck.breaks.states import SearchError, State
from stepcheck.language.patch import difference
from stepcheck.model import words
from stepcheck.model.dance import EIGHTHS, Step, Weight
from stepcheck.model.findings import Severity
from stepcheck.model.outcome import Verdict
from stepcheck.model.source import ROUTINE, require
from stepcheck.model.work import WorkSpent
from stepcheck.program.routine import Routine
from stepcheck.report import pipeline
from stepcheck.report.values import Report
from stepcheck.walk.walk import walk

_WHAT = {"beats": "no row of figures", "turn": "no turn", "times": "no number of times", "foot": "neither foot"}


def reason(puzzle: Puzzle) -> str:
    """Return why nothing fits: the blank that stays empty, and for a row of figures the conditions of the sheet."""
    try:
        return _reason(puzzle)
    except WorkSpent:
        return "nothing fits"


def _reason(puzzle: Puzzle) -> str:
    done = _furthest(puzzle)
    if len(done) == len(puzzle.blanks):
        return "each blank can be filled, but not all of them together so that every claim is reached and holds"
    blank = puzzle.blanks[len(done)]
    before = "".join(f", with {one.text} on line {one.blank.line}" for one in done[-1:])
    said = f"{_WHAT[blank.kind]} fits {blank.text} on line {blank.line}{before}"
    wanted = _wanted(puzzle, blank, done) if blank.kind == "beats" else ""
    return f"{said}: {wanted}" if wanted else f"{said} so that nothing else of the sheet fails"


def _furthest(puzzle: Puzzle) -> tuple[Filling, ...]:
    """Return fillings, one after the other, as far as they go."""
    done: tuple[Filling, ...] = ()
    keys: tuple[object, ...] = ()
    best = done
    stack = [(done, keys)]
    tried = 0
    while stack and tried < 64:
        done, keys = stack.pop()
        tried += 1
        best = max(best, done, key=len)
        if len(done) < len(puzzle.blanks):
            found = list(puzzle.candidates(done, keys))[:8]
            stack += [((*done, one.filling), (*keys, one.key)) for one in reversed(found)]
    return best


def _wanted(puzzle: Puzzle, blank: Blank, done: tuple[Filling, ...]) -> str:
    """Return the conditions of the sheet on a row, and why no row meets them."""
    gap = Gap(puzzle.trials, puzzle.searches, blank, done, puzzle.line(blank, done))
    if not gap.one_foot:
        return ""
    ((_, weight),) = gap.dancers
    start = State(weight, 0)
    ends = [
        (after, turn)
        for after in Weight
        for turn in range(-EIGHTHS, EIGHTHS + 1)
        if puzzle.trials.fits(
            gap.base, with_items(gap.line, {PLAIN: Step(gap.line, stand_in(gap.blank.ticks, weight, after), turn)})
        )
    ]
    material = puzzle.material
    asked = Request(
        material.figures,
        blank.ticks,
        ((start,),),
        State(),
        known=material.known,
        hard=material.hard,
        readings=material.readings,
        first=material.book.lead,
    )
    if not asked.possible:
        return why(asked, material.level)
    feet, turns = {after for after, _ in ends}, {turn for _, turn in ends}
    pieces = []
    if len(feet) == 1:
        pieces.append(f"after it {words.freely(feet.pop())}")
    if len(turns) == 1:
        pieces.append(f"it makes {words.turn(turns.pop())}")
    return (
        f"the sheet holds only if {' and '.join(pieces)}, and no row of {words.length(blank.ticks)} does that"
        if pieces
        else ""
    )


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
        unread = "the sheet is not understood: see what `stepcheck check` says"
        return Filled((), reason="the sheet has no blank" if routine.program is not None else unread)
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
    except WorkSpent:
        complete = False
    if not fills:
        first = f"nothing was found among the first {budget} tries"
        unknown = first if puzzle.trials.tried > budget else "what can stand in the blanks is too much to look at"
        said = reason(puzzle) if complete else unknown
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
    return Fill(text, in_order, difference(routine.sheet.source, text, "filled"), pipeline.check(after))
