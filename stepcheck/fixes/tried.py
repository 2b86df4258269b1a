"""A sheet after changes, and what fails in it."""

from collections.abc import Iterable

from attrs import evolve, frozen

from stepcheck.fixes.slots import standings
from stepcheck.language.alterations import EditError, traced
from stepcheck.language.edits import Edit, Exchange
from stepcheck.model.claims import Kind
from stepcheck.model.floor import RELATIONS
from stepcheck.model.outcome import Verdict
from stepcheck.program.routine import Routine
from stepcheck.report import pipeline
from stepcheck.walk.effects import Algebra
from stepcheck.walk.walk import verdicts

ON_THE_FLOOR = frozenset((*RELATIONS.values(), Kind.SPOT))
"""The kinds of claims about places and groups, which no search follows."""


@frozen(eq=False)
class Tried:
    """A sheet after changes: its text, its routine, for each line the one that it comes from, and where the claims
    stand, in the sheet as it was, that fail."""

    text: str
    routine: Routine
    origins: tuple[int, ...]
    left: frozenset[object]

    def moved(self, edit: Edit) -> Edit:
        """Return an edit of the sheet after the changes as one of the sheet as it was; of line 0 if its lines are
        new."""
        line = self.origins[edit.line - 1]
        if isinstance(edit, Exchange):
            other = self.origins[edit.other - 1]
            return evolve(edit, other=other, line=line if other else 0)
        return evolve(edit, line=line)


def tried(
    routine: Routine, edits: Iterable[Edit], algebra: Algebra, failing: frozenset[object] = frozenset()
) -> Tried | None:
    """Return a sheet after edits, and what fails in it, as the first engine finds; None if it is ill-formed.

    Where nobody says how far a figure goes, no claim about places among the `failing` is mended.
    """
    try:
        text, origins = traced(routine.sheet, edits)
    except EditError:
        return None
    after = pipeline.loads(text, path=routine.path, readings=routine.readings, book=routine.facts.book)
    if after.program is None:
        return None
    worst = verdicts(after.program, algebra=algebra)
    stands = standings(after.program.claims, dict(enumerate(origins, 1)))
    left = set[object]()
    for one in after.program.claims:
        verdict, place = worst.get(one.id, Verdict.VACUOUS), stands.get(one.id, one.id)
        unknown = one.kind in ON_THE_FLOOR and verdict is Verdict.UNDECIDED and place in failing
        if verdict > Verdict.UNDECIDED or unknown:
            left.add(place)
    return Tried(text, after, origins, frozenset(left))
