"""What stays and what fails: kept lines, parts that a class knows, at least one figure; and a sheet after changes."""

from collections.abc import Iterable

from attrs import evolve, frozen

from stepcheck.books.footwork import danced
from stepcheck.fixes.slots import is_blank, standings
from stepcheck.language.alterations import EditError, traced
from stepcheck.language.edits import Edit, Exchange
from stepcheck.language.stretches import every_line
from stepcheck.language.syntax import DanceHead, FigureRow, Line, PartHead, Sheet
from stepcheck.model.claims import Kind
from stepcheck.model.dance import Program, key
from stepcheck.model.floor import RELATIONS
from stepcheck.model.outcome import Verdict
from stepcheck.model.source import StepcheckError, each
from stepcheck.program.routine import Routine
from stepcheck.report import pipeline
from stepcheck.walk.effects import Algebra
from stepcheck.walk.walk import verdicts, walk


class NoSuchPart(StepcheckError, ValueError):
    """There is no part or line to be left as it is."""


def parents(sheet: Sheet) -> dict[int, int]:
    """Return for each line under another the one that it stands under."""
    return {inner.number: line.number for line in every_line(sheet.lines) for inner in line.body}


def kept_lines(sheet: Sheet, keep: Iterable[str | int]) -> frozenset[int]:
    """Return the numbers of the lines that are kept.

    Args:
        sheet: the sheet.
        keep: names of parts or of the sheet's own figures, `dance`, or numbers of lines.

    Raises:
        NoSuchPart: there is none of that name or number.
    """
    keep = each(keep)
    named: dict[str, Line] = {}
    lines = {line.number: line for line in every_line(sheet.lines)}
    for line in lines.values():
        if isinstance(line.node, PartHead | FigureRow):
            named.setdefault(key(line.node.name), line)
        elif isinstance(line.node, DanceHead):
            named.setdefault("dance", line)
    found: set[int] = set()
    for one in keep:
        if isinstance(one, str) and one.strip().isdigit():
            one = int(one)
        meant = lines.get(one) if isinstance(one, int) else named.get(key(one))
        if meant is None:
            raise NoSuchPart(f"there is no {'line' if isinstance(one, int) else 'part'} {one} to be kept")
        found.update(inner.number for inner in every_line((meant,)))
    return frozenset(found)


def failing(program: Program, algebra: Algebra | None = None) -> tuple[str, ...]:
    """Return the ids of the claims of a program that fail, as the first engine finds, in their order."""
    outcomes = walk(program, algebra=algebra)
    return tuple(one.claim for one in outcomes if one.verdict > Verdict.UNDECIDED)


def holds(program: Program, algebra: Algebra) -> bool:
    """Say whether no claim of a program fails, as the first engine finds; how they fail is not looked for."""
    worst = verdicts(program, algebra=algebra)
    return all(worst.get(one.id, Verdict.VACUOUS) <= Verdict.UNDECIDED for one in program.claims)


def dances(program: Program) -> bool:
    """Say whether the dance itself has a figure, or a blank for one; figures in parts that are never danced don't
    count."""
    return bool(danced(evolve(program, spares=(), walls=None))) or any(map(is_blank, program.dance))


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
