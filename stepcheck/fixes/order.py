"""The order of fixes that cost the same: closest in footwork, figures that the routine knows, the order of the book."""

from collections.abc import Iterable, Iterator
from heapq import heappop, heappush
from itertools import pairwise
from typing import NamedTuple

from stepcheck.breaks.material import Material
from stepcheck.fixes.cheapest import Solution
from stepcheck.language import syntax
from stepcheck.language.edits import (
    ChangeAlternative,
    ChangeCut,
    ChangeSwap,
    ChangeTimes,
    ChangeTurn,
    CutPass,
    DeleteLine,
    Edit,
    InsertLine,
    ReplaceFigure,
    ReplacePart,
)
from stepcheck.language.parser import parse_line
from stepcheck.language.stretches import every_line
from stepcheck.language.syntax import Line, Option, Row
from stepcheck.model.dance import TICKS, Figure, key
from stepcheck.program.routine import Routine

PHRASE = 8 * TICKS


class Rank(NamedTuple):
    """How far an edit is from the sheet: movements that change, figures that are new to the class, place in the book,
    line, and size and side of a turn."""

    footwork: int = 0
    new: int = 0
    place: int = 0
    line: int = 0
    turn: int = 0


class Ranking:
    """The order of the fixes of one routine."""

    def __init__(self, routine: Routine, stuff: Material) -> None:
        self.lines: dict[int, Line] = {line.number: line for line in every_line(routine.sheet.lines)}
        self.figures: dict[str, tuple[int, Figure]] = {}
        for place, figure in enumerate(stuff.figures):
            for name in (figure.name, *figure.names):
                self.figures.setdefault(key(name), (place, figure))
        self._known = {_moves(figure) for figure in stuff.known}
        self._ranks: dict[Edit, Rank] = {}
        self._turned = {
            (key(option.name), mark.side * mark.eighths)
            for line in self.lines.values()
            if isinstance(line.node, Row)
            for option in line.node.options
            for mark in option.marks
            if isinstance(mark, syntax.TurnMark) and mark.eighths is not None
        }

    def rank(self, edit: Edit) -> Rank:
        """Return how far an edit is from the sheet."""
        if edit not in self._ranks:
            self._ranks[edit] = self._rank(edit)
        return self._ranks[edit]

    def _rank(self, edit: Edit) -> Rank:  # noqa: C901 - a case for each kind
        match edit:
            case ReplaceFigure() | ChangeAlternative():
                old = self._option(edit)
                place, figure = self.figures[key(edit.name)]
                return Rank(apart(self._moves(old.name), _moves(figure)), self._is_new(figure), place, edit.line)
            case ReplacePart():
                node = self.lines[edit.line].node
                if isinstance(node, Row) and key(node.section or "") == key(edit.name):
                    return Rank(0, 0, -1, edit.line)
                steps = max(self._part(self._option(edit).name), self._part(edit.name))
                return Rank(steps, self._neighbours(edit.line, edit.name, 0), 0, edit.line)
            case ChangeTimes():
                old = self._option(edit)
                steps = 0 if key(old.name) in self.figures else self._part(old.name)
                return Rank(steps, 0, abs(edit.times - (old.times or 1)), edit.line)
            case ChangeTurn():
                return self._turn(edit)
            case InsertLine():
                return self._inserted(edit)
            case DeleteLine():
                return Rank(sum(map(self._length, every_line((self.lines[edit.line],)))), 0, 0, edit.line)
            case ChangeSwap():
                return Rank(1 + (edit.swap == "mirrored"), 0, 0, edit.line)
            case CutPass():
                return Rank(self._part(self._option(edit).name), int(edit.ticks % PHRASE > 0), 0, edit.line)
            case ChangeCut():
                before = next(mark.ticks for mark in self._option(edit).marks if isinstance(mark, syntax.FirstMark))
                if edit.ticks is None:
                    return Rank(line=edit.line)
                return Rank(0, int(edit.ticks % PHRASE > 0), abs(edit.ticks - before), edit.line)
        return Rank(line=edit.line)

    def _is_new(self, figure: Figure) -> int:
        """Return 1 for footwork that the routine does not have yet."""
        return int(_moves(figure) not in self._known)

    def _option(
        self, edit: ReplaceFigure | ChangeAlternative | ReplacePart | ChangeTimes | ChangeTurn | ChangeCut | CutPass
    ) -> Option:
        node = self.lines[edit.line].node
        assert isinstance(node, Row)
        return node.options[getattr(edit, "option", 0)]

    def _turn(self, edit: ChangeTurn) -> Rank:
        """A turn that is usual for the figure, or that the sheet gives it elsewhere, is nothing new on a line that
        turns."""
        option = self._option(edit)
        _, figure = self.figures.get(key(option.name), (0, None))
        own = figure.versions[figure.usual].turn if figure is not None else 0
        usual = (*(figure.usual_turns if figure is not None else ()), own)
        turn = edit.turn or 0
        # The mirror image of a figure turns to the other side, but one that turns by itself is what its name says.
        usual += () if own else tuple(-one for one in usual)
        old = next((m.side * (m.eighths or 0) for m in option.marks if isinstance(m, syntax.TurnMark)), own)
        known = edit.turn is None or turn in usual or (key(option.name), turn) in self._turned
        # Of turns that are as near to the old one the smaller comes first, then the one to the right.
        side = 2 * abs(turn) + (turn < 0)
        return Rank(int(not known) + int(not old), int(not known), abs(turn - old), edit.line, side)

    def _inserted(self, edit: InsertLine) -> Rank:
        node = parse_line(edit.text, "dance")
        if not isinstance(node, Row):
            return Rank(node.length.ticks // 12 if isinstance(node, syntax.HoldRow) else 0, 1, 0, edit.line)
        option = node.options[0]
        found = self.figures.get(key(option.name))
        if found is None:
            return Rank(0, self._neighbours(edit.line, option.name), 0, edit.line)
        place, figure = found
        return Rank(len(_moves(figure)) * (option.times or 1), self._is_new(figure), place, edit.line)

    def _neighbours(self, line: int, name: str, behind: int = 1) -> int:
        """Return how many of the neighbours of a part that is put in behind `line`, or (0) on it, never stand beside it
        elsewhere."""
        rows = [key(one.node.options[0].name) for one in self.lines.values() if isinstance(one.node, Row)]
        places = [number for number, one in self.lines.items() if isinstance(one.node, Row)]
        at = sum(place <= line for place in places) - (1 - behind)
        after = at + 1 - behind
        pairs = set(pairwise(rows))
        around = [(rows[at - 1], key(name))] if at else []
        around += [(key(name), rows[after])] if after < len(rows) else []
        return sum(pair not in pairs for pair in around)

    def _moves(self, name: str) -> tuple[str, ...]:
        found = self.figures.get(key(name))
        return _moves(found[1]) if found is not None else ()

    def _part(self, name: str) -> int:
        """Return how many movements stand under a part."""
        heads = (line for line in self.lines.values() if isinstance(line.node, syntax.PartHead))
        part = next((line for line in heads if key(str(line.node.name)) == key(name)), None)  # type: ignore[union-attr]
        return sum(map(self._length, every_line(part.body))) if part is not None else 0

    def _length(self, line: Line) -> int:
        if not isinstance(line.node, Row):
            return 0
        return sum(len(self._moves(option.name)) * (option.times or 1) for option in line.node.options)

    # -- fixes -------------------------------------------------------------------------------------------------------

    def ordered(self, solutions: Iterable[Solution]) -> Iterator[tuple[Edit, ...]]:
        """Yield the sets of edits that solutions of one cost stand for, best first, each once."""
        heap: list[tuple[object, int, tuple[int, ...]]] = []
        groups: list[list[list[Edit]]] = []
        for solution in solutions:
            groups.append([sorted(choice, key=self.rank) for choice in solution.choices])
            start = (0,) * len(solution.choices)
            heappush(heap, (self._order(groups[-1], start), len(groups) - 1, start))
        seen: set[object] = set()
        given: set[frozenset[Edit]] = set()
        while heap:
            _, number, at = heappop(heap)
            edits = tuple(group[place] for group, place in zip(groups[number], at, strict=True))
            if frozenset(edits) not in given:
                given.add(frozenset(edits))
                yield tuple(sorted(edits, key=lambda edit: (edit.line, edit.kind)))
            for place in range(len(at)):
                onward = (*at[:place], at[place] + 1, *at[place + 1 :])
                if onward[place] < len(groups[number][place]) and (number, onward) not in seen:
                    seen.add((number, onward))
                    heappush(heap, (self._order(groups[number], onward), number, onward))

    def _order(self, groups: list[list[Edit]], at: tuple[int, ...]) -> tuple[object, ...]:
        ranks = [self.rank(group[place]) for group, place in zip(groups, at, strict=True)]
        return (
            len(ranks),
            sum(rank.footwork for rank in ranks),
            sum(rank.new for rank in ranks),
            tuple(rank.place for rank in ranks),
            tuple(rank.line for rank in ranks),
            tuple(rank.turn for rank in ranks),
        )


def _moves(figure: Figure) -> tuple[str, ...]:
    return tuple(action.movement.name for action in figure.versions[figure.usual].actions)


def apart(one: tuple[str, ...], other: tuple[str, ...]) -> int:
    """Return how many movements have to be put in, taken out or replaced to get from one row to another."""
    before = list(range(len(other) + 1))
    for number, move in enumerate(one, 1):
        row = [number]
        for place, there in enumerate(other, 1):
            row.append(min(before[place] + 1, row[-1] + 1, before[place - 1] + (move != there)))
        before = row
    return before[-1]
