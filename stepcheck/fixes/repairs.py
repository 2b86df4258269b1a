"""The answer to a question for fixes: the fixes in their order with what they cost, or why there is none.

The table of costs in specs/costs.md is the same as here.  A change of one line is cheap, a line more or less is dearer,
and a claim is dearer than a step, since the sheet means what it promises; it is no dearer than two steps, since the
sentence may be the wrong one.
"""

from collections.abc import Iterator, Mapping

from attrs import field, frozen

from stepcheck.fixes.conflict import Conflict
from stepcheck.language.edits import Edit
from stepcheck.model.source import StepcheckError
from stepcheck.model.words import count
from stepcheck.report.values import Report

COSTS: dict[str, int] = {
    "name": 1,
    "figure": 2,
    "other length": 3,
    "alternative": 2,
    "part": 3,
    "section": 2,
    "times": 2,
    "turn": 2,
    "turn times": 2,
    "lead": 2,
    "swap": 2,
    "cut": 2,
    "restart": 3,
    "block": 2,
    "insert": 3,
    "call": 2,
    "filling": 2,
    "order": 2,
    "delete": 3,
    "twin": 2,
    "reading": 2,
    "claim": 4,
    "slip": 1,
    "time": 2,
    "movement": 2,
    "way": 2,
    "wait": 2,
    "start": 2,
    "music": 4,
    "section length": 1,
}
FACTS = ("music",)
"""Kinds that are left alone unless they are asked for."""
EVIDENT = {
    "section": "part",
    "call": "insert",
    "filling": "insert",
    "twin": "delete",
    "slip": "claim",
    "section length": "music",
}
CASES = {"other length": "figure", **EVIDENT}
ALONE = (*EVIDENT, "order", "time", "movement", "way", "wait", "start")
"""Kinds that are cheaper cases of others, where the sheet itself shows what was meant; what is set for the other kind
holds for them too. Changes of the kinds in `ALONE` mend a sheet by themselves, or beside slips."""


class CostError(StepcheckError, ValueError):
    """There is no such kind of change, or a cost is no whole number from 1."""


def priced(costs: Mapping[str, int] | None = None, without: tuple[str, ...] = ()) -> dict[str, int]:
    """Return the cost of each permitted kind of change.

    Args:
        costs: other costs by kind; naming a kind here allows it even if it changes a fact.
        without: kinds that must not be used.

    Raises:
        CostError: there is no such kind, or a cost is no whole number from 1.
    """
    given = dict(costs or {})
    for kind in (*given, *without):
        if kind not in COSTS:
            raise CostError(f"there is no kind of change {kind!r}; the kinds are {', '.join(COSTS)}")
    for kind, cost in given.items():
        if not isinstance(cost, int) or cost < 1:
            raise CostError(f"a change costs a whole number from 1, not {cost!r} ({kind})")
    kept = {kind: cost for kind, cost in COSTS.items() if kind not in FACTS}
    kept |= {kind: given[other] for kind, other in CASES.items() if other in given and other not in FACTS} | given
    return {kind: cost for kind, cost in kept.items() if kind not in without and CASES.get(kind) not in without}


@frozen
class Evidence:
    """Why nothing costs less than a fix.

    Attributes:
        cost: what the fix costs.
        complete: whether every set of changes that costs less was followed through the dance.
        single: how many single changes of rows and claims could matter.
        shapes: how many changes of the sheet's shape could matter.
        solver: what the second engine says to the question whether changes of rows and claims for less mend it:
            "unsat"; "open" if it did not settle it; empty if it was not asked, since no change costs less, or the rows
            alone cannot mend it.
        script: that question in SMT-LIB 2.
        left: how many findings the fix leaves, where it was put together from fixes for single findings.
        searched: whether any changes cost less, so that a search was needed.
    """

    cost: int
    complete: bool
    single: int
    shapes: int
    solver: str = ""
    script: str = field(default="", repr=False)
    left: int = 0
    searched: bool = False

    @property
    def statement(self) -> str:
        """The evidence as a sentence."""
        if self.left:
            rest = f"This is the best so far: it leaves {count(self.left, 'finding')}."
            return f"{rest} `--finding N` mends one of them, `--budget N` looks further."
        if not self.complete:
            return (
                f"Whether anything costs less than {self.cost} could not be decided within the budget; "
                "`--budget N` looks further."
            )
        if not self.searched:
            return "No change costs less."
        said = (
            f"No changes that together cost less than {self.cost} mend it: all of them were followed through the dance."
        )
        if self.solver == "unsat":
            return f"{said} The second engine confirms it for changes of single lines."
        if self.solver == "open":
            return f"{said} The second engine did not settle it."
        return said


@frozen
class Fix:
    """One way to mend a sheet.

    Attributes:
        edits: the changes, in the order of their lines.
        name: the changes in a few words: `line 12: Triple instead of Basic`.
        cost: what they cost together; specs/costs.md has the table.
        diff: the changes as a unified diff.
        text: the whole sheet after them.
        report: what both engines say of that.
        evidence: why nothing cheaper exists.
        new: whether something is danced after it that the routine does not have: a figure, or a turn of one.
    """

    edits: tuple[Edit, ...]
    name: str
    cost: int
    diff: str = field(repr=False)
    text: str = field(repr=False)
    report: Report = field(repr=False)
    evidence: Evidence
    new: bool = False


@frozen
class Single:
    """A fix for one finding by itself, in a sheet that has many.

    Attributes:
        number: its number, from 1, in the order in which `check` tells the findings.
        line: its line.
        finding: what it says.
        fix: the first fix for it alone, None if none was found.
    """

    number: int
    line: int
    finding: str
    fix: Fix | None


@frozen
class Repairs:
    """The answer to a question for fixes; a row of them.

    Attributes:
        fixes: the fixes in the written order.
        reason: why there is none; empty where there are some.
        needed: whether anything fails.
        conflict: what can't hold together, where that is why there is none.
        complete: whether nothing was left out for want of work.
        singles: what mends each finding by itself, where there are many and no fix for all is known to be the least.
    """

    fixes: tuple[Fix, ...] = ()
    reason: str = ""
    needed: bool = True
    conflict: Conflict | None = None
    complete: bool = True
    singles: tuple[Single, ...] = ()

    @property
    def statement(self) -> str:
        """What is known of anything cheaper."""
        return self.fixes[0].evidence.statement if self.fixes else self.reason

    @property
    def script(self) -> str:
        """The question whether anything cheaper mends the sheet, as an SMT-LIB 2 script: unsatisfiable if nothing
        does."""
        return self.fixes[0].evidence.script if self.fixes else ""

    def __len__(self) -> int:
        return len(self.fixes)

    def __iter__(self) -> Iterator[Fix]:
        return iter(self.fixes)

    def __getitem__(self, number: int) -> Fix:
        return self.fixes[number]
