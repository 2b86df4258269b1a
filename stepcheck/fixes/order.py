"""The order of fixes that cost the same, as specs/costs.md lays it down."""

from collections.abc import Iterable, Iterator
from heapq import heappop, heappush

from stepcheck.fixes.cheapest import Solution
from stepcheck.fixes.nearness import common, content, falls, moves
from stepcheck.fixes.ranks import Ranks
from stepcheck.language import syntax
from stepcheck.language.edits import ChangeBlock, ChangeTurn, ChangeTurnTimes, Edit, ReplaceFigure
from stepcheck.language.syntax import Row, Times
from stepcheck.model.dance import key


class Ranking(Ranks):
    """The order of the fixes of one routine."""

    def ordered(self, solutions: Iterable[Solution]) -> Iterator[tuple[Edit, ...]]:
        """Yield the sets of edits that solutions of one cost stand for, best first, each once.

        The same change in several places is one change. What says the same as one that came before is left out.
        """
        heap: list[tuple[object, int, tuple[int, ...]]] = []
        groups: list[list[list[Edit]]] = []

        def push(choices: list[list[Edit]]) -> None:
            groups.append(choices)
            start = (0,) * len(choices)
            heappush(heap, (self._order(choices, start), len(groups) - 1, start))

        for solution in solutions:
            choices = [sorted(choice, key=self.rank) for choice in solution.choices]
            push(choices)
            if len(choices) > 1:
                for same in common(choices):
                    push([[edit] for edit in same])
        seen: set[object] = set()
        given: set[object] = set()
        while heap:
            _, number, at = heappop(heap)
            edits = tuple(group[place] for group, place in zip(groups[number], at, strict=True))
            meant = frozenset(map(self._meaning, edits))
            if meant not in given:
                given.add(meant)
                yield tuple(sorted(edits, key=lambda edit: (edit.line, edit.kind)))
            for place in range(len(at)):
                onward = (*at[:place], at[place] + 1, *at[place + 1 :])
                if onward[place] < len(groups[number][place]) and (number, onward) not in seen:
                    seen.add((number, onward))
                    heappush(heap, (self._order(groups[number], onward), number, onward))

    def _order(self, groups: list[list[Edit]], at: tuple[int, ...]) -> tuple[object, ...]:
        edits = [group[place] for group, place in zip(groups, at, strict=True)]
        likely = sorted(map(self.rank, edits), reverse=True)  # a set is as likely as its least likely change
        return (len(set(map(content, edits))), len(edits), likely)

    def _meaning(self, edit: Edit) -> object:
        """Return the meaning of an edit for its line, equal for two edits that say the same in two ways."""
        match edit:
            case ChangeTurnTimes(times=Times() as times):
                option = self._option(edit)
                most = option.times if option.times not in (None, 1) else self._repeats.get(edit.line)
                return (edit.line, edit.option, "on", falls(times, most)) if most else edit
            case ChangeBlock(times=Times() as times):
                most = self._repeats.get(edit.line) or self.near.danced(edit.line)
                return (edit.line, "on", falls(times, most)) if most else edit
            case ChangeTurn() | ReplaceFigure() if isinstance(self.lines[edit.line].node, Row):
                option = self._option(edit)
                name = edit.name if isinstance(edit, ReplaceFigure) else option.name
                _, figure = self.figures.get(key(name), (0, None))
                _, was = self.figures.get(key(option.name), (0, None))
                mark = next((m for m in option.marks if isinstance(m, syntax.TurnMark)), None)
                own = figure.versions[figure.usual].turn if figure is not None else 0
                turn = own if mark is None else mark.side * (mark.eighths or 0)
                if isinstance(edit, ChangeTurn):
                    turn = own if edit.turn is None else edit.turn
                if figure is None or was is None or moves(figure) != moves(was):
                    return edit
                return (edit.line, moves(figure), turn)
        return edit
