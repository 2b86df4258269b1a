"""The rank of an edit among those that cost the same, as specs/costs.md lays it down: what a teacher says first."""

import re

from stepcheck.breaks.material import Material
from stepcheck.fixes.nearness import (
    MOST_TIMES,
    PLAIN,
    UNEVEN,
    Neighbours,
    Rank,
    akin,
    apart,
    beats,
    differing,
    even,
    falls,
    kin,
    lasting,
    moves,
    regular,
    said,
    silence,
)
from stepcheck.fixes.protected import dances
from stepcheck.fixes.repairs import EVIDENT
from stepcheck.fixes.singles import LIKE
from stepcheck.language import syntax
from stepcheck.language.alterations import changed
from stepcheck.language.edits import (
    ChangeAlternative,
    ChangeBlock,
    ChangeClaim,
    ChangeCut,
    ChangeLead,
    ChangeMovement,
    ChangeMusic,
    ChangeStart,
    ChangeSwap,
    ChangeTime,
    ChangeTimes,
    ChangeTurn,
    ChangeTurnTimes,
    ChangeWait,
    ChangeWay,
    CutPass,
    DeleteLine,
    Edit,
    Exchange,
    FillCounts,
    InsertLine,
    ReplaceFigure,
    ReplacePart,
    SettleReading,
)
from stepcheck.language.parser import parse_line
from stepcheck.language.stretches import every_line
from stepcheck.language.syntax import Line, Option, Row, Times
from stepcheck.model import words
from stepcheck.model.dance import TICKS, Figure, Foot, key
from stepcheck.program.routine import Routine

PHRASE, FAR = 8 * TICKS, 12 * TICKS
OPPOSITE = {"left": "right", "forward": "back", "front": "back"}
_START = re.compile(r"start (\d+) steps? (?:to the )?(\w+)")
OPPOSITE |= {other: one for one, other in OPPOSITE.items()} | {"back": "forward"}


class Ranks:
    """The ranks of the edits of one routine."""

    def __init__(self, routine: Routine, stuff: Material) -> None:
        self.lines: dict[int, Line] = {line.number: line for line in every_line(routine.sheet.lines)}
        self.figures: dict[str, tuple[int, Figure]] = {}
        for place, figure in enumerate(stuff.figures):
            for name in (figure.name, *figure.names):
                self.figures.setdefault(key(name), (place, figure))
        self._known = stuff.known
        self._footwork = {moves(figure) for figure in stuff.known}
        self._steps = routine.program is not None and dances(routine.program)
        self._ranks: dict[Edit, Rank] = {}
        rows = [line for line in self.lines.values() if isinstance(line.node, Row)]
        self._options = [(line.number, option) for line in rows for option in line.node.options]  # type: ignore[union-attr]
        self._marks = {mark for _, option in self._options for mark in option.marks}
        self._turned = {
            (key(option.name), mark.side * mark.eighths)
            for _, option in self._options
            for mark in option.marks
            if isinstance(mark, syntax.TurnMark) and mark.eighths is not None
        }
        self._repeats = {
            inner.number: line.node.times
            for line in self.lines.values()
            if isinstance(line.node, syntax.TimesHead)
            for inner in every_line(line.body)
        }
        self._silent = {line.number: silence(line) for line in self.lines.values()}
        self.near = Neighbours(routine.sheet)

    def rank(self, edit: Edit) -> Rank:
        """Return the rank of an edit."""
        if edit not in self._ranks:
            self._ranks[edit] = self._rank(edit)._replace(shown=int(not self._shown(edit)), line=edit.line)
        return self._ranks[edit]

    def is_new(self, edit: Edit) -> bool:
        """Say whether something is danced after an edit that the routine does not have: a figure, or a turn of one."""
        match edit:
            case ReplaceFigure(name=name) | ChangeAlternative(name=name):
                return self.figures[key(name)][1] not in self._known
            case ChangeTurn(turn=turn):
                if isinstance(self.lines[edit.line].node, syntax.FigureRow):
                    return True
                return bool(turn) and (key(self._option(edit).name), turn) not in self._turned
            case InsertLine(text=text):
                node = parse_line(text, "dance")
                if not isinstance(node, Row) or key(node.options[0].name) not in self.figures:
                    return False
                turns = [m for m in node.options[0].marks if isinstance(m, syntax.TurnMark)]
                return bool(turns) or self.figures[key(node.options[0].name)][1] not in self._known
        return False

    def _rank(self, edit: Edit) -> Rank:  # noqa: C901 - a case for each kind
        match edit:
            case ReplaceFigure() | ChangeAlternative():
                old = self._option(edit)
                place, figure = self.figures[key(edit.name)]
                was = self.figures[key(old.name)][1] if key(old.name) in self.figures else None
                return Rank(
                    shown=1,
                    marks=int(
                        (self._is_new(figure) > 1 and not kin(old.name, edit.name))
                        or (lasting(was) not in (None, lasting(figure)) and not akin(old.name, edit.name))
                    ),
                    new=(not kin(old.name, edit.name) and self._is_new(figure)) + self.near.twice(edit.line, edit.name),
                    beats=differing(was, figure),
                    alone=self.near.alone(edit.line, edit.name),
                    moves=apart(moves(was), moves(figure)),
                    place=place,
                )
            case ReplacePart():
                steps = max(self._part(self._option(edit).name), self._part(edit.name))
                return Rank(new=self.near.alone(edit.line, edit.name, ends=False), beats=steps)
            case ChangeTimes():
                old = self._option(edit)
                called = key(old.name) not in self.figures
                return Rank(
                    marks=int((called and old.times == 1) or edit.times > 2 * (old.times or 1)),
                    uneven=even(edit.times),
                    beats=self._part(old.name) if called else 0,
                    moves=int(even(old.times or 1) == 0),
                    place=abs(edit.times - (old.times or 1)),
                )
            case ChangeBlock(times=int() as times):
                node = self.lines[edit.line].node
                assert isinstance(node, syntax.TimesHead)
                return Rank(uneven=even(times), place=abs(times - (node.times or 1)))
            case ChangeBlock(times=Times() as some):
                most = self._repeats.get(edit.line) or MOST_TIMES
                return Rank(uneven=0 if regular(some, most) else UNEVEN, place=len(some.named) + 2 * some.last)
            case ChangeTurn():
                return self._turn(edit)
            case ChangeTurnTimes():
                return self._turn_times(edit)
            case Exchange():
                return self._exchanged(edit)
            case InsertLine():
                return self._inserted(edit)
            case DeleteLine():
                return Rank(beats=sum(map(self._length, every_line((self.lines[edit.line],)))))
            case ChangeSwap():
                mark = syntax.SwapMark(edit.swap == "mirrored")
                put = edit.swap and not any(isinstance(one, syntax.SwapMark) for one in self._option(edit).marks)
                new = edit.swap and mark not in self._marks
                beside = mark in self.near.marks(edit.line)
                moves_ = 1 + mark.turns + 2 * bool(put)
                return Rank(marks=int(bool(put and not beside)), new=int(bool(new or (put and beside))), moves=moves_)
            case CutPass():
                return Rank(marks=1, new=int(edit.ticks % PHRASE > 0), beats=self._part(self._option(edit).name))
            case ChangeCut():
                before = next(mark.ticks for mark in self._option(edit).marks if isinstance(mark, syntax.FirstMark))
                whole = self._part(self._option(edit).name) * TICKS
                after = whole if edit.ticks is None else edit.ticks
                far = abs(after - before) > FAR and after not in (2 * before, before / 2)
                odd = (after % PHRASE > 0 and edit.ticks is not None) or 4 * after < whole
                uneven = PLAIN if odd or edit.ticks is None else 0
                half = 2 * after == whole
                place = abs(after - before) // PHRASE
                return Rank(marks=int(far), new=int(far or odd), uneven=uneven, place=place, turn=int(not half))
            case ChangeLead():
                node = self.lines[edit.line].node
                marks = self._option(edit).marks if isinstance(node, Row) else (getattr(node, "foot", None),)
                return Rank(marks=int(not any(isinstance(mark, syntax.FootMark) for mark in marks)))
            case SettleReading(new=new):
                return Rank(marks=int(new), new=2 * new)
            case ChangeClaim() | ChangeMusic() | ChangeTime():
                return Rank(claim=1)
            case ChangeWay():
                return self._way(edit)
            case ChangeWait():
                before = self._silent[edit.line]
                return Rank(marks=int(not before), place=abs((edit.ticks or 0) - before))
            case ChangeStart(value=value):
                pieces = getattr(self.lines[edit.line].node, "value", "").split()
                opposite = any(OPPOSITE.get(one) == other for one, other in zip(pieces, value.split(), strict=False))
                twice = pieces.count("start") > value.split().count("start") > 0  # of two places one is meant
                less = len(pieces) != len(value.split())
                out = sum(int(steps) for steps, _ in _START.findall(value))  # farther apart they meet less
                return Rank(place=0 if twice else 2 if less else int(not opposite), turn=-out)
            case ChangeMovement(place=place, form=form):
                row = self.lines[edit.line].node
                assert isinstance(row, syntax.FigureRow)
                forms = [one.form for one in row.forms]
                if edit.more or LIKE.get(forms[place]) != form:
                    near = {*forms[max(place - 1, 0) : place], *forms[place + (not edit.more) :][:1]}
                    double = (edit.more or not form) and (form or forms[place]) in near
                    return Rank(beats=1, place=0 if double else 2 + bool(form and not edit.more), turn=-place)
                last = place + 1 == len(forms)  # a figure may end in a touch, and ends as it did
                return Rank(beats=1, place=1 if last else 2 * (form == "TCH"), turn=-place)
        return Rank()

    def _is_new(self, figure: Figure) -> int:
        """Return 0 for a figure that the routine has, 1 for another name of its footwork, 2 for what is wholly new."""
        return 0 if figure in self._known else 1 if moves(figure) in self._footwork else 2

    def _option(
        self,
        edit: ReplaceFigure
        | ChangeAlternative
        | ReplacePart
        | ChangeTimes
        | ChangeTurn
        | ChangeTurnTimes
        | ChangeCut
        | CutPass
        | ChangeLead
        | ChangeSwap
        | ChangeWay,
    ) -> Option:
        node = self.lines[edit.line].node
        assert isinstance(node, Row)
        return node.options[getattr(edit, "option", 0)]

    def _shown(self, edit: Edit) -> bool:  # noqa: C901 - a case for each kind
        """Say whether the sheet itself shows that an edit is what was meant."""
        match edit:
            case ReplaceFigure() | ChangeAlternative():
                return self._misnamed(edit.line, self._option(edit).name, edit.name)
            case ChangeCut(ticks=int() as ticks):
                before = next(mark.ticks for mark in self._option(edit).marks if isinstance(mark, syntax.FirstMark))
                return str(ticks // TICKS) in words.swaps(str(before // TICKS))
            case FillCounts() | ChangeMovement():
                return isinstance(edit, ChangeMovement) and self._rank(edit).place < 2
            case ChangeWay(right=right, forward=forward) if isinstance(self.lines[edit.line].node, Row):
                old, own = self._ways(edit)
                return old is not None and own == (abs(old[0]), abs(old[1])) and _along(old, (right, forward))
            case ChangeBlock(times=int()):
                return getattr(self.lines[edit.line].node, "times", None) == 1
            case Exchange():
                return self._exchanged(edit) == Rank()
            case ChangeBlock(times=Times() as times):
                return self.near.completes(edit.line, times)
            case ChangeTurnTimes(times=Times(last=True, named=())):
                return all(mark.times is None for mark in self._option(edit).marks if isinstance(mark, syntax.TurnMark))
            case ChangeStart():
                return self._mirrors(edit)
            case ChangeWait():
                return edit.ticks in [ticks for number, ticks in self._silent.items() if number != edit.line]
            case ChangeTurn(turn=int()) if isinstance(self.lines[edit.line].node, Row):
                node = changed(edit, self.lines[edit.line].node)
                assert isinstance(node, Row)
                others = [said(other) for number, other in self._options if number != edit.line]
                return said(node.options[edit.option]) in others and said(self._option(edit)) not in others
        return edit.kind in (*EVIDENT, "movement")

    def _mirrors(self, edit: ChangeStart) -> bool:
        """Say whether a group begins as far from the middle as another then, on the other side."""
        said = {number: _START.findall(getattr(line.node, "value", "")) for number, line in self.lines.items()}
        images = {
            (steps, OPPOSITE.get(side)) for line, some in said.items() if line != edit.line for steps, side in some
        }
        return not images.isdisjoint({*_START.findall(edit.value)} - {*said[edit.line]})

    def _misnamed(self, line: int, old: str, name: str) -> bool:
        """Say whether the name on a line is easily written for another, or stands where that one stands elsewhere."""
        odd = self.near.alone(line, old) and not self.near.alone(line, name)
        lone = [one.times for _, one in self._options if key(one.name) == key(old)] == [1]
        return bool(odd) or apart(tuple(key(old)), tuple(key(name))) == 1 or (lone and akin(old, name))

    def _turn(self, edit: ChangeTurn) -> Rank:
        """A turn that is usual for the figure, or that the sheet gives it elsewhere, is nothing new on a line that
        turns."""
        row = self.lines[edit.line].node
        if isinstance(row, syntax.FigureRow):
            before = row.turn.side * (row.turn.eighths or 0) if row.turn is not None else 0
            return Rank(beats=int(edit.turn != -before), place=abs((edit.turn or 0) - before))
        option = self._option(edit)
        _, figure = self.figures.get(key(option.name), (0, None))
        own = figure.versions[figure.usual].turn if figure is not None else 0
        usual = (*(figure.usual_turns if figure is not None else ()), own)
        turn = edit.turn or 0
        # The mirror image of a figure turns to the other side, but one that turns by itself is what its name says.
        usual += () if own else tuple(-one for one in usual)
        mark = next((m for m in option.marks if isinstance(m, syntax.TurnMark)), None)
        old = own if mark is None else mark.side * (mark.eighths or 0)
        known = edit.turn is None or turn in (*usual, -old) or (key(option.name), turn) in self._turned
        known |= mark is not None and old not in usual
        foot = next((m.foot for m in option.marks if isinstance(m, syntax.FootMark)), None)
        often = option.times not in (None, 1) or edit.line in self._repeats
        return Rank(
            marks=int(mark is None),
            new=int(not known),
            uneven=0 if often and mark is not None and mark.times is None else PLAIN,
            beats=0 if turn == -old else 1 + (not old),
            moves=int(foot is not None and (turn > 0) != (foot is Foot.RIGHT)),
            place=abs(turn - old),
            turn=2 * abs(turn) + (turn < 0),
        )

    def _way(self, edit: ChangeWay) -> Rank:
        """The last line first: what leads back stands behind what leads away."""
        old, _ = self._ways(edit)
        was = old or (0, 0)
        far = abs(edit.right - was[0]) + abs(edit.forward - was[1])
        twice = (edit.right, edit.forward) in [(2 * was[0], 2 * was[1]), (was[0] / 2, was[1] / 2)]
        other = (edit.right, edit.forward) != (-was[0], -was[1])
        own = not isinstance(self.lines[edit.line].node, Row)  # of a figure, which all its lines are changed with
        place = far * (other and not twice)
        return Rank(marks=int(old is None), new=int(own), beats=int(other), place=place, turn=-edit.line)

    def _ways(self, edit: ChangeWay) -> tuple[tuple[int, int] | None, tuple[int, int] | None]:
        """Return the way that a line says, and how far the figure of the sheet on it goes by itself."""
        node = self.lines[edit.line].node
        marks = self._option(edit).marks if isinstance(node, Row) else (getattr(node, "travel", None),)
        old = next(((mark.right, mark.forward) for mark in marks if isinstance(mark, syntax.TravelMark)), None)
        name = key(self._option(edit).name) if isinstance(node, Row) else ""
        figures = (line.node for line in self.lines.values() if isinstance(line.node, syntax.FigureRow))
        own = next((one.travel for one in figures if key(one.name) == name and one.travel is not None), None)
        return old, None if own is None else (abs(own.right), abs(own.forward))

    def _turn_times(self, edit: ChangeTurnTimes) -> Rank:
        option = self._option(edit)
        most = option.times if option.times not in (None, 1) else self._repeats.get(edit.line)
        mark = next(mark for mark in option.marks if isinstance(mark, syntax.TurnMark))
        if edit.times is None or most is None:
            return Rank(uneven=0, beats=0 if mark.eighths else most or MOST_TIMES)
        before, after = (set(falls(times, most)) for times in (mark.times, edit.times))
        # Two times are named where the line names some; of more of them, `every` says it in fewer words.
        words = len(edit.times.named) or (3 if edit.times.every and mark.times and mark.times.named else 1)
        return Rank(
            uneven=0 if regular(edit.times, most) else UNEVEN,
            beats=len(before ^ after),
            moves=words + 2 * bool(edit.times.named and edit.times.last),
        )

    def _exchanged(self, edit: Exchange) -> Rank:
        """Rows in an order in which they stand elsewhere are nothing new; two passes of one part are danced anew."""
        one, other = (self.near.names(line) for line in (edit.line, edit.other))
        if one == other or self.near.doubled(edit.line, edit.other):
            return Rank(marks=1, new=1, beats=sum(map(self._part, [*one, *other])), moves=1)
        return Rank(new=int(not self.near.stands(other[-1:], one[:1])))

    def _inserted(self, edit: InsertLine) -> Rank:
        node = parse_line(edit.text, "dance")
        if not isinstance(node, Row):
            return Rank(new=3 * self._steps)  # silence is seldom what was left out
        option = node.options[0]
        found = self.figures.get(key(option.name))
        if found is None:
            new, alone = self.near.joined(edit.line, option.name, edit.before)
            return Rank(new=new, alone=alone)
        place, figure = found
        danced = len(beats(figure)) * (option.times or 1)
        alone = self.near.alone(edit.line, option.name, not edit.before)
        turns = sum(isinstance(mark, syntax.TurnMark) for mark in option.marks)
        alone += edit.before or edit.line not in self.near.last  # what is missing, is missing at the end
        turns += isinstance(edit, FillCounts) or self.near.among_parts(edit.line)
        return Rank(marks=turns, new=self._is_new(figure), beats=danced, alone=alone, place=place)

    def _part(self, name: str) -> int:
        """Return how many beats stand under a part."""
        heads = (line for line in self.lines.values() if isinstance(line.node, syntax.PartHead))
        part = next((line for line in heads if key(str(line.node.name)) == key(name)), None)  # type: ignore[union-attr]
        return sum(map(self._length, every_line(part.body))) if part is not None else 0

    def _length(self, line: Line) -> int:
        if not isinstance(line.node, Row):
            return 0
        found = ((self.figures.get(key(option.name)), option.times or 1) for option in line.node.options)
        return sum(len(beats(one[1])) * times for one, times in found if one is not None)


def _along(old: tuple[int, int], new: tuple[int, int]) -> bool:
    """Say whether a way goes to the side of another, otherwise far."""
    return any(new) and all(
        (one > 0) - (one < 0) == (other > 0) - (other < 0) for one, other in zip(old, new, strict=True)
    )
