"""Sheets with some of their blanks filled, tried out: whether something is refuted by then."""

from stepcheck.breaks.blanks import Filling, filled
from stepcheck.language import parser
from stepcheck.model.dance import Item, Program, Weight
from stepcheck.model.findings import Severity
from stepcheck.model.items import Change, mapped
from stepcheck.model.outcome import Verdict
from stepcheck.model.source import Source
from stepcheck.program.routine import Routine, elaborate
from stepcheck.walk.arrivals import Arrival, Memory, Place, Spot, arrivals, fails
from stepcheck.walk.walk import survey, walk

BUDGET = 20_000
_WAITS = "mark-not-possible-here"  # what is said where a length that the sheet needs waits on a blank


class Spent(Exception):
    """More was tried than the budget allows."""


class Trials:
    """The trials of one routine.

    `tried` counts the walks; `late` says of the last one that what is danced lasts too long for a claim, so that more
    of it would too.
    """

    def __init__(self, routine: Routine, budget: int = BUDGET) -> None:
        self.routine, self.budget, self.tried = routine, budget, 0
        self.late = False
        self._memory = Memory()

    def laid(self, fillings: tuple[Filling, ...]) -> Routine:
        """Return the routine with some of its blanks filled."""
        return self.read(filled(self.routine.sheet.source, fillings))

    def read(self, text: str) -> Routine:
        """Return the routine that a text describes, read as this one was."""
        sheet, found = parser.parse(Source(self.routine.path, text))
        return elaborate(sheet, found, readings=self.routine.readings, book=self.routine.facts.book)

    def fits(self, routine: Routine, change: Change | None = None) -> bool:
        """Say whether nothing is refuted yet in a routine, perhaps with a change to its program.

        Raises:
            Spent: more was tried than the budget allows.
        """
        program = routine.program
        if program is None:
            self._count()
            self.late = False
            return all(one.code.name == _WAITS for one in routine.diagnostics if one.code.severity is Severity.ERROR)
        return self.stands(program if change is None else mapped(program, change))

    def stands(self, program: Program) -> bool:
        """Say whether nothing is refuted yet in a program.  Raises as `fits`."""
        self._count()
        self.late = False
        failed, self.late = fails(program, self._memory)
        if failed:
            return False
        found = None if program.walls is None else survey(program, algebra=self._memory.algebra)
        return found is None or not found.refuted

    def proved(self, fillings: tuple[Filling, ...]) -> bool:
        """Say whether every claim is proved with these blanks filled.

        Raises:
            Spent: more was tried than the budget allows.
        """
        self._count()
        return self.holds(self.laid(fillings))

    def holds(self, routine: Routine) -> bool:
        """Say whether every claim of a routine is proved."""
        if routine.program is None:
            return False
        return all(one.verdict is Verdict.PROVED for one in walk(routine.program, algebra=self._memory.algebra))

    def weights(self, program: Program, line: int) -> tuple[set[Weight], set[Weight]]:
        """Return the weights with which the dance surely comes to a line, and all with which it may."""
        return _weights(arrivals(program, Place(line=line, before=True), self._memory))

    def weights_at(self, program: Program, item: Item) -> tuple[set[Weight], set[Weight]]:
        """Return the same for an item of a program."""
        return _weights(arrivals(program, Spot((item,)), self._memory))

    def _count(self) -> None:
        self.tried += 1
        if self.tried > self.budget:
            raise Spent


def _weights(found: tuple[Arrival, ...]) -> tuple[set[Weight], set[Weight]]:
    """Return the weights that surely come, and all that may."""
    sure = {weight for one in found if not one.open for weight, _ in one.states}
    return sure, {weight for one in found for weight, _ in one.states}
