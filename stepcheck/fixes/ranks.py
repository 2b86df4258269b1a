"""The order of fixes that cost the same, as specs/costs.md lays it down: what a teacher says first."""

from collections.abc import Iterable, Iterator
from heapq import heappop, heappush
from operator import lt

from stepcheck.breaks.material import Material
from stepcheck.fixes import nearness
from stepcheck.fixes.nearness import MOST_TIMES, PLAIN, UNEVEN, Neighbours, Rank
from stepcheck.fixes.protected import dances
from stepcheck.fixes.repairs import EVIDENT
from stepcheck.fixes.singles import LIKE, START
from stepcheck.language import edits, syntax
from stepcheck.language.alterations import changed
from stepcheck.language.edits import Edit
from stepcheck.language.parser import parse_line
from stepcheck.language.stretches import block_times, falls, mark_of, numbered, rows
from stepcheck.language.syntax import Line, Option, Row, Times
from stepcheck.model import words
from stepcheck.model.dance import TICKS, Figure, Foot, key
from stepcheck.program.routine import Routine
from stepcheck.search.cheapest import Solution

PHRASE, FAR = 8 * TICKS, 12 * TICKS
OPPOSITE = {"left": "right", "right": "left", "forward": "back", "back": "forward", "front": "back"}
"""What is meant where a foot, a way or a wall is a slip. Front goes without saying, so `facing back` is none."""


class Ranking:
    """The order of the fixes of one routine, by the ranks of their edits."""

    def __init__(self, routine: Routine, stuff: Material) -> None:
        self.lines = numbered(routine.sheet)
        self.figures: dict[str, tuple[int, Figure]] = {}
        for place, figure in enumerate(stuff.figures):
            for name in (figure.name, *figure.names):
                self.figures.setdefault(key(name), (place, figure))
        self._known = stuff.known
        self._footwork = {nearness.moves(figure) for figure in stuff.known}
        self._steps = routine.program is not None and dances(routine.program)
        self._ranks: dict[Edit, Rank] = {}
        self._options = [(number, option) for number, row in rows(routine.sheet.lines) for option in row.options]
        self._marks = {mark for _, option in self._options for mark in option.marks}
        turns = ((option.name, mark) for _, option in self._options for mark in option.marks)
        self._turned = {
            (key(name), mark.signed)
            for name, mark in turns
            if isinstance(mark, syntax.TurnMark) and mark.eighths is not None
        }
        self._repeats = block_times(routine.sheet)
        self._silent = {line.number: nearness.silence(line) for line in self.lines.values()}
        self.near = Neighbours(routine.sheet)

    def rank(self, edit: Edit) -> Rank:
        """Return the rank of an edit."""
        if edit not in self._ranks:
            self._ranks[edit] = self._rank(edit)._replace(line=edit.line)
        return self._ranks[edit]

    def ordered(self, solutions: Iterable[Solution]) -> Iterator[tuple[Edit, ...]]:
        """Yield the sets of edits that solutions of one cost stand for, best first, each once.

        The same change in several places is one change. What says the same as one that came before is left out.
        """
        heap: list[tuple[object, int, tuple[int, ...]]] = []
        groups: list[list[list[Edit]]] = []

        seen: set[object] = set()
        given: set[object] = set()

        def push(number: int, at: tuple[int, ...]) -> None:
            if (number, at) not in seen and all(map(lt, at, map(len, groups[number]))):
                seen.add((number, at))
                heappush(heap, (self._order(groups[number], at), number, at))

        for solution in solutions:
            groups.append([sorted(choice, key=self.rank) for choice in solution.choices])
            if len(solution.choices) > 1:
                groups += ([[edit] for edit in same] for same in nearness.common(groups[-1]))
        for number, choices in enumerate(groups):
            push(number, (0,) * len(choices))
        while heap:
            _, number, at = heappop(heap)
            made = tuple(group[place] for group, place in zip(groups[number], at, strict=True))
            meant = frozenset(map(self._meaning, made))
            if meant not in given:
                given.add(meant)
                yield tuple(sorted(made, key=lambda edit: (edit.line, edit.kind)))
            for place in range(len(at)):
                push(number, (*at[:place], at[place] + 1, *at[place + 1 :]))

    def _order(self, groups: list[list[Edit]], at: tuple[int, ...]) -> tuple[object, ...]:
        made = [group[place] for group, place in zip(groups, at, strict=True)]
        likely = sorted(map(self.rank, made), reverse=True)  # a set is as likely as its least likely change
        return (len(set(map(nearness.content, made))), len(made), likely)

    def _meaning(self, edit: Edit) -> object:
        """Return the meaning of an edit for its line, equal for two edits that say the same in two ways."""
        match edit:
            case edits.ChangeTurnTimes(times=Times() as times):
                most = self._times(edit)
                return (edit.line, edit.option, "on", falls(times, most)) if most else edit
            case edits.ChangeBlock(times=Times() as times):
                most = self._repeats.get(edit.line) or self.near.danced(edit.line)
                return (edit.line, "on", falls(times, most)) if most else edit
            case edits.ChangeTurn() | edits.ReplaceFigure() if isinstance(self.lines[edit.line].node, Row):
                option, was = self._option(edit), self._figure(self._option(edit).name)
                figure = self._figure(edit.name) if isinstance(edit, edits.ReplaceFigure) else was
                if figure is None or was is None or nearness.moves(figure) != nearness.moves(was):
                    return edit
                turn, own = nearness.turn_of(option), figure.versions[figure.usual].turn
                turn = edit.turn if isinstance(edit, edits.ChangeTurn) else turn
                return (edit.line, nearness.moves(figure), own if turn is None else turn)
        return edit

    def is_new(self, edit: Edit) -> bool:
        """Say whether something is danced after an edit that the routine does not have: a figure, or a turn of one."""
        match edit:
            case edits.ReplaceFigure(name=name) | edits.ChangeAlternative(name=name):
                return self._figure(name) not in self._known
            case edits.ChangeTurn(turn=turn):
                if isinstance(self.lines[edit.line].node, syntax.FigureRow):
                    return True
                return bool(turn) and (key(self._option(edit).name), turn) not in self._turned
            case edits.InsertLine(text=text):
                node = parse_line(text, "dance")
                if not isinstance(node, Row) or (figure := self._figure(node.options[0].name)) is None:
                    return False
                return mark_of(node.options[0], syntax.TurnMark) is not None or figure not in self._known
        return False

    def _rank(self, edit: Edit) -> Rank:  # noqa: C901 - a case for each kind
        """Return the rank of an edit but for its line; `shown` says whether the sheet itself shows what was meant."""
        match edit:
            case edits.ReplaceFigure() | edits.ChangeAlternative():
                return self._replaced(edit.line, self._option(edit).name, edit.name)
            case edits.ReplacePart():
                steps = max(self._part(self._option(edit).name), self._part(edit.name))
                new = self.near.alone(edit.line, edit.name, ends=False)
                return _shown(edit.kind in EVIDENT, new=new, beats=steps)
            case edits.ChangeTimes():
                return self._danced_times(edit)
            case edits.ChangeBlock():
                return self._block(edit)
            case edits.ChangeTurn():
                return self._turn(edit)
            case edits.ChangeTurnTimes():
                return self._turn_times(edit)
            case edits.Exchange():
                return self._exchanged(edit)
            case edits.InsertLine():
                return self._inserted(edit)
            case edits.DeleteLine():
                return _shown(edit.kind in EVIDENT, beats=self._beats((self.lines[edit.line],)))
            case edits.ChangeSwap():
                mark = syntax.SwapMark(edit.swap == "mirrored")
                put = bool(edit.swap) and mark_of(self._option(edit), syntax.SwapMark) is None
                beside = mark in self.near.marks(edit.line)
                new = (edit.swap and mark not in self._marks) or (put and beside)
                return Rank(marks=put and not beside, new=bool(new), moves=1 + mark.mirrored + 2 * put)
            case edits.CutPass():
                return Rank(marks=1, new=edit.ticks % PHRASE > 0, beats=self._part(self._option(edit).name))
            case edits.ChangeCut():
                return self._cut(edit)
            case edits.ChangeLead():
                node = self.lines[edit.line].node
                marks = self._option(edit).marks if isinstance(node, Row) else (getattr(node, "foot", None),)
                return Rank(marks=not any(isinstance(mark, syntax.FootMark) for mark in marks))
            case edits.SettleReading(new=new):
                return Rank(marks=new, new=2 * new)
            case edits.ChangeClaim() | edits.ChangeMusic() | edits.ChangeTime():
                return _shown(edit.kind in EVIDENT, claim=1)
            case edits.ChangeWay():
                return self._way(edit)
            case edits.ChangeWait():
                before = self._silent[edit.line]
                others = [ticks for number, ticks in self._silent.items() if number != edit.line]
                return _shown(edit.ticks in others, marks=not before, place=abs((edit.ticks or 0) - before))
            case edits.ChangeStart():
                return self._start(edit)
            case edits.ChangeMovement():
                return self._moved(edit)
        return Rank()

    def _danced_times(self, edit: edits.ChangeTimes) -> Rank:
        old = self._option(edit)
        called, times = key(old.name) not in self.figures, old.times or 1
        many, steps = (called and old.times == 1) or edit.times > 2 * times, called * self._part(old.name)
        uneven, even = nearness.even(edit.times), nearness.even(times) == 0
        return Rank(marks=many, uneven=uneven, beats=steps, moves=even, place=abs(edit.times - times))

    def _block(self, edit: edits.ChangeBlock) -> Rank:
        if isinstance(edit.times, int):
            node = self.lines[edit.line].node
            assert isinstance(node, syntax.TimesHead)
            far = abs(edit.times - (node.times or 1))
            return _shown(node.times == 1, uneven=nearness.even(edit.times), place=far)
        most = self._repeats.get(edit.line) or MOST_TIMES
        uneven = 0 if nearness.regular(edit.times, most) else UNEVEN
        said = len(edit.times.named) + 2 * edit.times.last
        return _shown(self.near.completes(edit.line, edit.times), uneven=uneven, place=said)

    def _cut(self, edit: edits.ChangeCut) -> Rank:
        mark = mark_of(self._option(edit), syntax.FirstMark)
        assert mark is not None
        before, whole = mark.ticks, self._part(self._option(edit).name) * TICKS
        after = whole if edit.ticks is None else edit.ticks
        swapped = edit.ticks is not None and str(edit.ticks // TICKS) in words.swaps(str(before // TICKS))
        far = abs(after - before) > FAR and after not in (2 * before, before / 2)
        odd = (after % PHRASE > 0 and edit.ticks is not None) or 4 * after < whole
        uneven = PLAIN if odd or edit.ticks is None else 0
        place = abs(after - before) // PHRASE
        return _shown(swapped, marks=far, new=far or odd, uneven=uneven, place=place, turn=2 * after != whole)

    def _start(self, edit: edits.ChangeStart) -> Rank:
        """Shown where another group begins as far from the middle, on the other side."""
        pieces, others = getattr(self.lines[edit.line].node, "value", "").split(), edit.value.split()
        opposite = any(OPPOSITE.get(one) == other for one, other in zip(pieces, others, strict=False))
        twice = pieces.count("start") > others.count("start") > 0  # of two places one is meant
        out = sum(int(steps) for steps, _ in START.findall(edit.value))  # farther apart they meet less
        said = {number: START.findall(getattr(line.node, "value", "")) for number, line in self.lines.items()}
        images = {(n, OPPOSITE.get(side)) for line, some in said.items() if line != edit.line for n, side in some}
        mirrors = not images.isdisjoint({*START.findall(edit.value)} - {*said[edit.line]})
        return _shown(mirrors, place=0 if twice else 2 if len(pieces) != len(others) else not opposite, turn=-out)

    def _moved(self, edit: edits.ChangeMovement) -> Rank:
        row, place, form = self.lines[edit.line].node, edit.place, edit.form
        assert isinstance(row, syntax.FigureRow)
        forms = [one.form for one in row.forms]
        if edit.more or LIKE.get(forms[place]) != form:
            near = {*forms[max(place - 1, 0) : place], *forms[place + (not edit.more) :][:1]}
            double = (edit.more or not form) and (form or forms[place]) in near
            far = 0 if double else 2 + bool(form and not edit.more)
        else:
            # A figure may end in a touch, and ends as it did.
            far = 1 if place + 1 == len(forms) else 2 * (form == "TCH")
        return _shown(far < 2, beats=1, place=far, turn=-place)

    def _is_new(self, figure: Figure) -> int:
        """Return 0 for a figure that the routine has, 1 for another name of its footwork, 2 for what is wholly new."""
        return 0 if figure in self._known else 1 if nearness.moves(figure) in self._footwork else 2

    def _figure(self, name: str) -> Figure | None:
        return self.figures.get(key(name), (0, None))[1]

    def _option(self, edit: Edit) -> Option:
        node = self.lines[edit.line].node
        assert isinstance(node, Row)
        return node.options[getattr(edit, "option", 0)]

    def _times(self, edit: edits.ChangeTurnTimes) -> int | None:
        """Return how often the figure that turns is danced, by its own line or else by the block around."""
        times = self._option(edit).times
        return times if times not in (None, 1) else self._repeats.get(edit.line)

    def _replaced(self, line: int, old: str, name: str) -> Rank:
        place, figure = self.figures[key(name)]
        was = self._figure(old)
        kin, lasts = nearness.kin(old, name), None if was is None else was.length
        wholly_new = self._is_new(figure) > 1 and not kin
        return _shown(
            self._misnamed(line, old, name),
            marks=wholly_new or (lasts not in (None, figure.length) and not nearness.akin(old, name)),
            new=(not kin and self._is_new(figure)) + self.near.twice(line, name),
            beats=nearness.differing(was, figure),
            alone=self.near.alone(line, name),
            moves=nearness.apart(nearness.moves(was), nearness.moves(figure)),
            place=place,
        )

    def _misnamed(self, line: int, old: str, name: str) -> bool:
        """Say whether the name on a line is easily written for another, or stands where that one stands elsewhere."""
        odd = self.near.alone(line, old) and not self.near.alone(line, name)
        lone = [one.times for _, one in self._options if key(one.name) == key(old)] == [1]
        return (
            bool(odd) or nearness.apart(tuple(key(old)), tuple(key(name))) == 1 or (lone and nearness.akin(old, name))
        )

    def _turn(self, edit: edits.ChangeTurn) -> Rank:
        """A turn is nothing new that is usual for the figure, or stands on it elsewhere, on a line that turns
        already."""
        row = self.lines[edit.line].node
        if isinstance(row, syntax.FigureRow):
            before = row.turn.signed if row.turn is not None else 0
            return Rank(beats=edit.turn != -before, place=abs((edit.turn or 0) - before))
        option = self._option(edit)
        figure = self._figure(option.name)
        own = figure.versions[figure.usual].turn if figure is not None else 0
        usual = (*(figure.usual_turns if figure is not None else ()), own)
        turn = edit.turn or 0
        # The mirror image of a figure turns to the other side, but one that turns by itself is what its name says.
        usual += () if own else tuple(-one for one in usual)
        mark, foot = mark_of(option, syntax.TurnMark), mark_of(option, syntax.FootMark)
        written = nearness.turn_of(option)
        old = own if written is None else written
        known = edit.turn is None or turn in (*usual, -old) or (key(option.name), turn) in self._turned
        known |= mark is not None and old not in usual
        often = option.times not in (None, 1) or edit.line in self._repeats
        return _shown(
            edit.turn is not None and self._stands_elsewhere(edit),
            marks=mark is None,
            new=not known,
            uneven=0 if often and mark is not None and mark.times is None else PLAIN,
            beats=0 if turn == -old else 1 + (not old),
            moves=foot is not None and foot.foot is not None and (turn > 0) != (foot.foot is Foot.RIGHT),
            place=abs(turn - old),
            turn=2 * abs(turn) + (turn < 0),
        )

    def _stands_elsewhere(self, edit: edits.ChangeTurn) -> bool:
        """Say whether another line says what a row says after an edit, and none what it says now."""
        node = changed(edit, self.lines[edit.line].node)
        assert isinstance(node, Row)
        others = [nearness.said(other) for number, other in self._options if number != edit.line]
        return nearness.said(node.options[edit.option]) in others and nearness.said(self._option(edit)) not in others

    def _way(self, edit: edits.ChangeWay) -> Rank:
        """The last line comes first: what leads back stands behind what leads away."""
        old, usual = self._ways(edit)
        was, new = old or (0, 0), (edit.right, edit.forward)
        far = abs(new[0] - was[0]) + abs(new[1] - was[1])
        twice = new in [(2 * was[0], 2 * was[1]), (was[0] / 2, was[1] / 2)]
        other = new != (-was[0], -was[1])
        own = not isinstance(self.lines[edit.line].node, Row)  # of a figure, which all its lines are changed with
        place = far * (other and not twice)
        as_usual = old is not None and usual == (abs(old[0]), abs(old[1]))
        shown = as_usual and not own and nearness.sides(was) == nearness.sides(new) != (0, 0)
        return _shown(shown, marks=old is None, new=own, beats=other, place=place, turn=-edit.line)

    def _ways(self, edit: edits.ChangeWay) -> tuple[tuple[int, int] | None, tuple[int, int] | None]:
        """Return the way that a line says, and how far the figure of the sheet on it goes by itself."""
        node = self.lines[edit.line].node
        marks = self._option(edit).marks if isinstance(node, Row) else (getattr(node, "travel", None),)
        old = next(((mark.right, mark.forward) for mark in marks if isinstance(mark, syntax.TravelMark)), None)
        name = key(self._option(edit).name) if isinstance(node, Row) else ""
        figures = (line.node for line in self.lines.values() if isinstance(line.node, syntax.FigureRow))
        travels = (one.travel for one in figures if key(one.name) == name and one.travel is not None)
        return old, next(((abs(own.right), abs(own.forward)) for own in travels), None)

    def _turn_times(self, edit: edits.ChangeTurnTimes) -> Rank:
        most, mark = self._times(edit), mark_of(self._option(edit), syntax.TurnMark)
        assert mark is not None
        last = edit.times is not None and edit.times.last and not edit.times.named
        marks = [one for one in self._option(edit).marks if isinstance(one, syntax.TurnMark)]
        shown = last and all(one.times is None for one in marks)
        if edit.times is None or most is None:
            return _shown(shown, uneven=0, beats=0 if mark.eighths else most or MOST_TIMES)
        before, after = (set(falls(times, most)) for times in (mark.times, edit.times))
        # Two times are named where the line names some; of more of them, `every` says it in fewer words.
        said = len(edit.times.named) or (3 if edit.times.every and mark.times and mark.times.named else 1)
        return _shown(
            shown,
            uneven=0 if nearness.regular(edit.times, most) else UNEVEN,
            beats=len(before ^ after),
            moves=said + 2 * bool(edit.times.named and edit.times.last),
        )

    def _exchanged(self, edit: edits.Exchange) -> Rank:
        """Rows in an order that the sheet has elsewhere are nothing new; exchanged passes of one part are danced
        anew."""
        one, other = (self.near.names(line) for line in (edit.line, edit.other))
        if one == other or self.near.doubled(edit.line, edit.other):
            return Rank(marks=1, new=1, beats=sum(map(self._part, [*one, *other])), moves=1)
        new = not self.near.stands(other[-1:], one[:1])
        return _shown(not new, new=new)

    def _inserted(self, edit: edits.InsertLine) -> Rank:
        node, call = parse_line(edit.text, "dance"), isinstance(edit, edits.InsertCall)
        if not isinstance(node, Row):
            return _shown(call, new=3 * self._steps)  # silence is seldom what was left out
        option = node.options[0]
        found = self.figures.get(key(option.name))
        if found is None:
            new, alone = self.near.joined(edit.line, option.name, edit.before)
            return _shown(call, new=new, alone=alone)
        place, figure = found
        danced = len(nearness.beats(figure)) * (option.times or 1)
        alone = self.near.alone(edit.line, option.name, not edit.before)
        alone += edit.before or edit.line not in self.near.last  # what is missing, is missing at the end
        marks = int(mark_of(option, syntax.TurnMark) is not None)
        marks += isinstance(edit, edits.FillCounts) or self.near.among_parts(edit.line)
        return _shown(call, marks=marks, new=self._is_new(figure), beats=danced, alone=alone, place=place)

    def _part(self, name: str) -> int:
        """Return how many beats stand under a part."""
        heads = (line for line in self.lines.values() if isinstance(line.node, syntax.PartHead))
        return next((self._beats(line.body) for line in heads if key(line.node.name) == key(name)), 0)  # type: ignore[union-attr]

    def _beats(self, lines: tuple[Line, ...]) -> int:
        """Return how many beats the figures on lines last, and on those under them."""
        options = (option for _, row in rows(lines) for option in row.options)
        return sum(len(nearness.beats(self._figure(one.name))) * (one.times or 1) for one in options)


def _shown(shown: bool, **pieces: int) -> Rank:
    """Return a rank of these pieces; `shown` says whether the sheet itself shows what was meant."""
    return Rank(shown=not shown, **pieces)
