"""Why no fix exists: a least set of claims and of kept lines that can't hold together.

The set grows by the pieces that its cheapest fixes break, until it has no fix.  Then each piece is given up in turn,
and stays out where there is still no fix.  So every piece that is left is needed: without it there is a fix, which is
danced.
"""

from collections.abc import Mapping, Sequence
from typing import TypeAlias

from attrs import frozen

from stepcheck.breaks.material import Material
from stepcheck.fixes.protected import Trials, dances
from stepcheck.language.alterations import traced
from stepcheck.language.stretches import numbered, parents
from stepcheck.model.words import visible
from stepcheck.model.work import WorkSpent
from stepcheck.program.routine import reread
from stepcheck.search.cheapest import Cheapest, Solution
from stepcheck.search.slots import Unfit, standings, without
from stepcheck.search.transitions import Unclear
from stepcheck.walk.walk import failing

MOST_ROUNDS = 64
PAIR = 4
"""The cost of two cheap changes, up to which the reason is looked for first."""
FEW_SHAPES = 150
"""How many shapes of a sheet are laid out for one set of pieces."""
SHOWN = 6
"""How many lines a sentence names."""


@frozen
class Held:
    """One piece of a conflict: a claim that is to hold, or a line that is to stay as it is.

    Attributes:
        kind: "claim" or "line".
        line: where it stands, from 1.
        text: the claim, or the line, as the sheet has it.
        part: the part that it stands in, empty for none.
        kept: whether it is a line that stays as it is.
        without: what the cheapest fix costs if this alone is given up, 0 if nothing need change then; None if that is
            not known.
    """

    kind: str
    line: int
    text: str
    part: str
    kept: bool
    without: int | None = None

    @property
    def sentence(self) -> str:
        """The piece in words."""
        where = f"part {self.part}, " if self.kind == "claim" and self.part not in ("", "music") else ""
        return f"line {self.line}: {where}`{visible(self.text)}`" + (", kept" if self.kept else "")


@frozen
class Conflict:
    """Pieces of a sheet that can't hold together.

    Attributes:
        bound: whatever is changed that costs so much or less, together.
        holds: the pieces.
        least: whether each of them is needed, which was tried out.
    """

    bound: int
    holds: tuple[Held, ...]
    least: bool = True

    @property
    def claim(self) -> str:
        """The opening of the sentence, before the pieces."""
        return "this can't hold" if len(self.holds) == 1 else "these can't hold together"

    @property
    def sentence(self) -> str:
        """The conflict as part of a sentence."""
        said = "; ".join(one.sentence for one in self.holds[:SHOWN])
        more = len(self.holds) - SHOWN
        return f"{self.claim}: {said}" + (f"; and {more} more" if more > 0 else "")


Pieces: TypeAlias = frozenset[str | int]
"""Ids of claims and numbers of kept lines."""


class _Lost(Exception):
    """The budget ended before it was known whether there is a fix."""


class _Finder:
    """The search for one sheet."""

    def __init__(
        self, trials: Trials, stuff: Material, prices: Mapping[str, int], kept: frozenset[int], most: int, budget: int
    ) -> None:
        self.trials, self.stuff, self.prices, self.kept = trials, stuff, prices, kept
        self.most, self.left = most, budget
        self.claims = {claim.id: claim for claim in trials.program.claims}
        self.over = parents(trials.routine.sheet)

    def way(self, pieces: Pieces) -> tuple[int, Pieces] | None:
        """Return what the cheapest fix costs after which these claims hold and these lines stay, and the pieces that it
        breaks; None if there is none.

        Raises:
            _Lost: that could not be found out.
        """
        waived = frozenset(name for name in self.claims if name not in pieces)
        given = frozenset(self.trials.stands[name] for name in waived)
        search = None
        try:
            kept = frozenset(number for number in self.kept if number in pieces)
            search = Cheapest(
                self.trials.routine, self.stuff, self.prices, kept, self.left, given, FEW_SHAPES, self.trials.shared
            )
            for cost in search.sums(self.most):
                for solution in search.level(cost):
                    way = self._danced(solution, pieces)
                    if way is not None:
                        return way
            if not search.complete:
                raise _Lost
            return None
        except (Unfit, Unclear, WorkSpent) as reason:
            raise _Lost from reason
        finally:
            self.left = max(1, search.work.left if search is not None else 0)

    def _danced(self, solution: Solution, pieces: Pieces) -> tuple[int, Pieces] | None:
        """Return what a fix costs and what it breaks, after it has been danced; None if nothing is left of the
        dance."""
        edits = tuple(choice[0] for choice in solution.choices)
        text, origins = traced(self.trials.routine.sheet, edits)
        after = reread(self.trials.routine, text).program
        if after is None:
            raise _Lost
        if dances(self.trials.program) and not dances(after):
            return None
        old = {standing: name for name, standing in self.trials.stands.items()}
        there = standings(after.claims, dict(enumerate(origins, 1)))
        here = {name: old.get(standing, "") for name, standing in there.items()}
        waived = frozenset(name for name, was in here.items() if was not in pieces)
        if failing(without(after, waived), self.trials.algebra):
            raise _Lost
        broken: set[str | int] = {here[name] for name in failing(after, self.trials.algebra) if here.get(name)}
        # What is put in changes the line under whose heading it stands.
        lines = {self.over.get(edit.line, 0) if edit.kind == "insert" else edit.line for edit in edits}
        broken |= lines & self.kept
        return solution.cost, frozenset(broken - pieces)

    def conflict(self) -> tuple[Pieces, dict[str | int, int], bool] | None:
        """Return a set without a fix, what one costs without each piece, and whether each is needed; None if none is
        found."""
        grown: list[str | int] = [*failing(self.trials.program, self.trials.algebra)]
        for _ in range(MOST_ROUNDS):
            found = self.way(frozenset(grown))
            if found is None:
                return self._least(grown)
            if not found[1]:
                return None
            grown += sorted(found[1], key=lambda one: (isinstance(one, str), *self.place(one)))
        return None

    def _least(self, grown: list[str | int]) -> tuple[Pieces, dict[str | int, int], bool]:
        """Give up the pieces that are not needed, the latest first; lines before claims."""
        pieces = frozenset(grown)
        costs: dict[str | int, int] = {}
        sure = True
        lines, claims = ([one for one in grown[::-1] if isinstance(one, int) is line] for line in (True, False))
        for last in (*lines, *claims):
            try:
                found = self.way(pieces - {last})
            except _Lost:
                sure = False
                continue
            if found is None:
                pieces -= {last}
            else:
                costs[last], _ = found
        return pieces, costs, sure

    def raised(self, pieces: Pieces, most: int, budget: int) -> int:
        """Return `most` if there is no fix for these pieces for that either, else what was looked at before.

        A fix without one of them that costs little is one that costs no more, so each is needed as before.
        """
        before, self.most, self.left = self.most, most, budget
        try:
            return most if before < most and self.way(pieces) is None else before
        except _Lost:
            return before

    def place(self, piece: str | int) -> tuple[int, int, str]:
        """Return the place of a piece in the sheet; of one line the line itself comes before its claims."""
        return (piece, 0, "") if isinstance(piece, int) else (self.claims[piece].line, 1, piece)

    def held(self, piece: str | int, without: int | None) -> Held:
        """Return a piece as it is told."""
        if isinstance(piece, str):
            claim = self.claims[piece]
            return Held("claim", claim.line, claim.text, claim.part, claim.line in self.kept, without)
        return Held("line", piece, _shown(numbered(self.trials.routine.sheet)[piece].text), "", True, without)


def _shown(text: str) -> str:
    """Return a line without its comment and note."""
    said = text.split("#")[0].strip()
    return said.split(" (")[0] if said.endswith(")") else said


def conflict(
    trials: Trials, stuff: Material, prices: Mapping[str, int], kept: frozenset[int], bounds: Sequence[int], budget: int
) -> Conflict | None:
    """Return why a sheet cannot be mended; None if that could not be found out.

    Args:
        trials: a sheet in which something fails.
        stuff: the figures that may be put in.
        prices: what each kind of change costs; those without a price are not made.
        kept: lines that stay as they are.
        bounds: what all changes may cost together at most, greatest first.  The reason is looked for in what two
            changes cost, and tried for the greatest.
        budget: how much work the search may take.
    """
    if not bounds:
        return None
    finder = _Finder(trials, stuff, prices, kept, min(bounds, key=lambda one: abs(one - PAIR)), budget)
    try:
        found = finder.conflict()
    except _Lost:
        return None
    if found is None:
        return None
    pieces, costs, sure = found
    told = (finder.held(one, costs.get(one)) for one in sorted(pieces, key=finder.place))
    return Conflict(finder.raised(pieces, bounds[0], budget), tuple(told), sure)
