"""What stays and what fails: kept lines, parts that a class knows, at least one figure; and a sheet after changes."""

from collections.abc import Iterable
from functools import cached_property
from typing import Any

from attrs import evolve, frozen

from stepcheck.books.footwork import danced
from stepcheck.language.alterations import EditError, traced
from stepcheck.language.edits import Edit, Exchange
from stepcheck.language.stretches import every_line, numbered
from stepcheck.language.syntax import DanceHead, FigureRow, Line, PartHead, Sheet
from stepcheck.model.claims import Kind
from stepcheck.model.dance import Program, key
from stepcheck.model.floor import RELATIONS
from stepcheck.model.items import every, is_blank
from stepcheck.model.outcome import Verdict
from stepcheck.model.source import StepcheckError, each
from stepcheck.program.routine import Routine
from stepcheck.report import pipeline
from stepcheck.report.values import ClaimReport, Report
from stepcheck.search.slots import standings
from stepcheck.walk.effects import Algebra
from stepcheck.walk.walk import failing, verdicts


class NoSuchPart(StepcheckError, ValueError):
    """There is no part or line to be left as it is."""


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
    lines = numbered(sheet)
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


def dances(program: Program) -> bool:
    """Say whether the dance itself has a figure, or a blank for one; figures in parts that are never danced don't
    count."""
    return bool(danced(evolve(program, spares=(), walls=None))) or any(map(is_blank, every(program.dance)))


ON_THE_FLOOR = frozenset((*RELATIONS.values(), Kind.SPOT))
"""The kinds of claims about places and groups, which no search follows."""


@frozen(eq=False)
class Tried:
    """A sheet after changes: its text, its routine, for each line the one that it comes from, where the claims that
    fail stand in the sheet as it was, and whether one is left open."""

    text: str
    routine: Routine
    origins: tuple[int, ...]
    left: frozenset[object]
    open: bool

    def moved(self, edit: Edit) -> Edit:
        """Return an edit of the sheet after the changes as one of the sheet as it was; of line 0 if its lines are
        new."""
        line = self.origins[edit.line - 1]
        if isinstance(edit, Exchange):
            other = self.origins[edit.other - 1]
            return evolve(edit, other=other, line=line if other else 0)
        return evolve(edit, line=line)


class Trials:
    """A well-formed sheet, what fails in it, and what becomes of it by changes, as the first engine finds; each set of
    changes is tried once.

    `shared` are the effects of figures and rows for all searches of the sheet.
    """

    def __init__(self, routine: Routine) -> None:
        assert routine.program is not None
        self.routine, self.program, self.algebra = routine, routine.program, Algebra()
        self.stands = standings(self.program.claims)
        self.shared: dict[object, Any] = {}
        self._known: dict[tuple[Edit, ...], Tried | None] = {}

    @cached_property
    def report(self) -> Report:
        """The report on the sheet as it is."""
        return pipeline.check(self.routine, engine="walk", algebra=self.algebra)

    @cached_property
    def wrong(self) -> frozenset[str]:
        """The ids of the claims that fail."""
        return frozenset(failing(self.program, self.algebra))

    @cached_property
    def beyond(self) -> tuple[ClaimReport, ...]:
        """The claims that fail whatever fills the blanks, which only the second engine sees."""
        if not any(claim.verdict is Verdict.UNDECIDED for claim in self.report.claims):
            return ()
        both = pipeline.check(self.routine)
        return tuple(one for one in both.claims if one.verdict is Verdict.REFUTED and one.id not in self.wrong)

    @cached_property
    def standing(self) -> frozenset[object]:
        """Where the claims stand that fail."""
        return frozenset(self.stands[name] for name in self.wrong)

    def after(self, edits: tuple[Edit, ...]) -> Tried | None:
        """Return the sheet after edits; None if it is ill-formed then, or they mend nothing."""
        if edits not in self._known:
            made = self._made(edits)
            mends = made is not None and (not edits or not self.standing <= made.left)
            self._known[edits] = made if mends else None
        return self._known[edits]

    @property
    def partial(self) -> set[str]:
        """The kinds of the single changes tried so far that mend some of what fails, and break nothing."""
        some = ((edits, made) for edits, made in self._known.items() if made is not None and len(edits) == 1)
        return {edits[0].kind for edits, made in some if made.left < self.standing}

    def _made(self, edits: tuple[Edit, ...]) -> Tried | None:
        """Return the sheet after edits; None if it is ill-formed.

        Where nobody says how far a figure goes, no claim about places that fails is mended.
        """
        try:
            text, origins = traced(self.routine.sheet, edits)
        except EditError:
            return None
        like = self.routine
        after = pipeline.loads(text, path=like.path, readings=like.readings, book=like.facts.book)
        if after.program is None:
            return None
        worst = verdicts(after.program, algebra=self.algebra)
        stands = standings(after.program.claims, dict(enumerate(origins, 1)))
        left, most = set[object](), Verdict.PROVED
        for one in after.program.claims:
            verdict, place = worst.get(one.id, Verdict.VACUOUS), stands.get(one.id, one.id)
            unknown = one.kind in ON_THE_FLOOR and verdict is Verdict.UNDECIDED and place in self.standing
            if verdict > Verdict.UNDECIDED or unknown:
                left.add(place)
            most = max(most, verdict)
        return Tried(text, after, origins, frozenset(left), most > Verdict.PROVED)
