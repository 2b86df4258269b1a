"""The dance of a sheet as a row of moves: what each line of it does to dancers, and where it may be cut short."""

import re
from collections.abc import Iterable

from attrs import evolve, frozen

from stepcheck.language import syntax
from stepcheck.language.alterations import last_line
from stepcheck.language.printer import print_line, print_node
from stepcheck.language.stretches import dance_of, goes_on
from stepcheck.language.syntax import Line, Row
from stepcheck.model.claims import Check
from stepcheck.model.dance import EIGHTHS, TICKS, Body, Item, Pass, Spare, Weight, key
from stepcheck.model.findings import Severity
from stepcheck.model.items import checks
from stepcheck.model.source import SearchError
from stepcheck.model.work import WorkSpent
from stepcheck.program.cutting import length
from stepcheck.program.routine import Routine
from stepcheck.report import pipeline
from stepcheck.walk.arrivals import fails, onward
from stepcheck.walk.effects import Algebra
from stepcheck.walk.stands import asked

Front = tuple[tuple[Weight, int], ...]
"""Where dancers can be, in order: weight, and facing in the room in eighths."""
MOST_MOVES = 200
"""Lines of a dance, each as often as it is danced, that are laid out anew."""
MOST_TIMES = 8
"""Passes of a part of which each is told from the others, where its lines name times."""


@frozen
class Move:
    """A line of the dance, danced once.

    Attributes:
        text: the line, as a sheet has it.
        part: the key of the part that it dances; empty where it is none, or more than one.
        label: the key of the section that the sheet dances it to; empty where it names none.
        first: whether it is the first line of that section.
        again: whether an equal one behind it may be told as `x2`.
        expected: what the sheet expects behind it, as written.
        states: the same as marks.
    """

    text: str
    part: str = ""
    label: str = ""
    first: bool = False
    again: bool = False
    expected: tuple[str, ...] = ()
    states: tuple[syntax.FootMark | syntax.FacingMark, ...] = ()


@frozen
class Sequence:
    """The moves of a dance in their order; what goes on until the music ends is there once, from `loop` on.

    `spare` are the parts that it never dances; `end` is what the sheet expects at the end.
    """

    moves: tuple[Move, ...]
    loop: int = 0
    spare: tuple[Move, ...] = ()
    end: Move = Move("")


def sequence(routine: Routine) -> Sequence:
    """Return the dance of a routine as a row of moves.

    Raises:
        SearchError: it has no dance, a block for some of its times, a blank, or very many lines.
    """
    if not any(isinstance(line.node, syntax.DanceHead) for line in routine.sheet.lines):
        raise SearchError("the sheet has no `dance:`; write it, and under it the parts in their order")
    head = dance_of(routine.sheet)
    parts = {
        key(line.node.name): line.node.name for line in routine.sheet.lines if isinstance(line.node, syntax.PartHead)
    }
    reader = _Reader(frozenset(parts))
    reader.read(head.body, "")
    end = Move("")
    if reader.moves and reader.moves[-1].expected and reader.loop is None:
        last = reader.moves[-1]
        end = evolve(end, expected=last.expected, states=last.states)
        reader.moves[-1] = evolve(last, expected=(), states=())
    used = {move.part for move in reader.moves}
    spare = tuple(Move(name, one, again=True) for one, name in parts.items() if one not in used)
    return Sequence(tuple(reader.moves), reader.loop or 0, spare, end)


class _Reader:
    """Reads the lines of a dance; `loop` is the number of the first move that goes on until the music ends."""

    def __init__(self, parts: frozenset[str]) -> None:
        self.parts = parts
        self.moves: list[Move] = []
        self.loop: int | None = None

    def read(self, lines: tuple[Line, ...], label: str) -> None:  # noqa: C901 - a case for each kind
        """Add the moves of lines, which stand in a section with this label."""
        fresh = bool(label)
        for line in lines:
            match line.node:
                case None:
                    continue
                case syntax.LabelHead(name=name):
                    self.read(line.body, name)
                    label = name
                case syntax.TimesHead(times=int(times)):
                    for _ in range(times):
                        self.read(line.body, label)
                case syntax.UntilHead():
                    self.loop = len(self.moves)
                    self.read(line.body, label)
                case syntax.ExpectRow(states=states) if self.moves:
                    last = self.moves[-1]
                    said = (*last.expected, _text(line))
                    marks = (mark for mark in states if isinstance(mark, syntax.FootMark | syntax.FacingMark))
                    self.moves[-1] = evolve(last, expected=said, states=(*last.states, *marks))
                case syntax.HoldRow():
                    self.moves.append(Move(_text(line), label=key(label)))
                case Row() as row:
                    label, fresh = row.section or label, fresh or row.section is not None
                    if goes_on(row):
                        self.loop = len(self.moves)
                    self.row(line, row, key(label), fresh)
                    fresh = False
                case _:
                    what = "is a blank, holds for some times only, or tells groups apart"
                    raise SearchError(f"line {line.number} {what}: such a dance is not laid out anew")
            if len(self.moves) > MOST_MOVES:
                raise SearchError(f"the dance has more than {MOST_MOVES} lines; it is not laid out anew")

    def row(self, line: Line, row: Row, label: str, fresh: bool) -> None:
        """Add a line as often as it is danced."""
        option, *others = row.options
        tells = any(isinstance(mark, syntax.TurnMark) and mark.times for mark in option.marks)
        times = 1 if others or tells else option.times
        if times is None:
            raise SearchError(f"line {line.number} is a blank")
        part = key(option.name) if not others and key(option.name) in self.parts and not option.book else ""
        for number in range(min(times, MOST_MOVES + 1)):
            options = tuple(
                evolve(one, times=one.times if others or tells else 1, marks=_marks(one, number, times))
                for one in row.options
            )
            text = _text(evolve(line, node=Row(options)))
            again = (
                not others and all(isinstance(mark, syntax.SwapMark) for mark in options[0].marks) and line.note is None
            )
            self.moves.append(Move(text, part, label, fresh and not number, again and line.comment is None))


def _text(line: Line) -> str:
    return print_line(evolve(line, text="", indent=0))


def _marks(option: syntax.Option, number: int, times: int) -> tuple[syntax.Mark, ...]:
    """Return the marks of one time of a line: a foot is that of the first, a wall that of the last."""
    left: dict[type, bool] = {
        syntax.UntilMark: True,
        syntax.FootMark: number > 0,
        syntax.FacingMark: number + 1 < times,
        syntax.Length: times > 1,
    }
    return tuple(mark for mark in option.marks if not left.get(type(mark), False))


def cut(move: Move, beats: int, unit: str) -> Move | None:
    """Return a pass of a part that is cut short; None for what is no part, or has marks that a cut would change."""
    if not move.part or not move.again:
        return None
    mark = print_node(Row((syntax.Option("x", marks=(syntax.FirstMark(beats * TICKS, unit),)),))).removeprefix("x")
    return Move(move.text + mark, move.part, move.label)


def written(routine: Routine, dance: Iterable[str], music: Iterable[str] = (), head: str = "dance:") -> str:
    """Return the text of a sheet with another dance, and another song: lines of the header, or `music:` and lines under
    it; without any song if `music` is empty.

    Args:
        routine: the routine.
        dance: the lines under `dance:`, with their indentation.
        music: the lines for the song.
        head: the heading of the dance.
    """
    lines, song = routine.sheet.lines, tuple(music)
    fields = [line for line in lines if isinstance(line.node, syntax.HeaderField)]
    blocks = [line for line in lines if isinstance(line.node, syntax.MusicHead)]
    dances = dance_of(routine.sheet)
    block = song[:1] == ("music:",)
    place = blocks[0] if block and blocks else fields[-1] if fields else dances
    gone = {line.number for line in fields if key(line.node.key) == "music"}  # type: ignore[union-attr]
    gone |= {number for line in (*blocks, dances) for number in range(line.number, last_line(line) + 1)}
    rows: list[str] = []
    for number, text in enumerate(routine.sheet.source.lines, 1):
        if number == dances.number:
            rows += [head, *dance]
        rows += [] if number in gone else [text]
        if number == place.number:
            rows += ["", *song, ""] if block else song
    return re.sub(r"\n{3,}", "\n\n", "\n".join(rows))


class Effects:
    """What moves do, worked out by the first engine, once for each move and weight.

    `base` is the sheet with each move of its dance once, over no song.
    """

    def __init__(self, routine: Routine, moves: Iterable[Move]) -> None:
        self._routine = routine
        self.base = self._loaded(moves)
        errors = [one for one in self.base.diagnostics if one.code.severity is Severity.ERROR]
        if errors or self.base.program is None:
            said = f": {errors[0].message}" if errors else ""
            raise SearchError(f"{routine.path} has mistakes in the writing; check it first{said}")
        self._program = self.base.program
        if self._program.groups:
            raise SearchError("a dance of groups is not laid out anew: lay out one group's dance at a time")
        self._laid: dict[str, tuple[Body, ...]] = {}
        self._ways: dict[tuple[int, Weight], tuple[Item, Front | None]] = {}
        self._algebra = Algebra()

    def _loaded(self, moves: Iterable[Move]) -> Routine:
        text = written(self._routine, [f"  {move.text}" for move in moves])
        text = "\n".join("" if key(line.partition(":")[0]) == "walls" else line for line in text.split("\n"))
        return pipeline.loads(text, path=self._routine.path, readings=self._routine.readings)

    def bodies(self, move: Move) -> tuple[Body, ...]:
        """Return what a move dances the first time, the second time and so on; the last stands for all later ones.

        Empty for what cannot be danced by itself, such as a part cut inside a turn.
        """
        if move.text not in self._laid:
            found = self._lay(move, MOST_TIMES + 1)
            told = any(isinstance(item, Pass) and item.time for body in found for item in body)
            self._laid[move.text] = found[: MOST_TIMES if told else 1]
        return self._laid[move.text]

    def _lay(self, move: Move, times: int) -> tuple[Body, ...]:
        program = self._loaded([move] * times).program
        dance = program.dance if program is not None else ()
        size = len(dance) // times
        return tuple(dance[at * size : (at + 1) * size] for at in range(times)) if dance else ()

    def through(self, body: Body, front: Front) -> Front | None:
        """Return where a body leads to; None where something that it claims does not hold for some dancer."""
        for item in body:
            found = _checked(checks(item), front) if checks(item) else self._danced(item, front)
            if found is None:
                return None
            front = found
        return front

    def _danced(self, item: Item, front: Front) -> Front | None:
        found: set[tuple[Weight, int]] = set()
        for weight, facing in front:
            where = (id(item), weight)
            if where not in self._ways:
                spare = evolve(self._program, dance=(), spares=(Spare((weight,), (item,)),), walls=None)
                try:
                    wrong, _ = fails(spare, self._algebra)
                    self._ways[where] = item, None if wrong else onward(self._program, (item,), weight)
                except WorkSpent:
                    raise SearchError("what a line of the dance does is too much to look at") from None
            _, ways = self._ways[where]
            if not ways:
                return None
            found |= {(after, (facing + turn) % EIGHTHS) for after, turn in ways}
        return tuple(sorted(found))


def _checked(found: Iterable[Check], front: Front) -> Front | None:
    """Return where dancers are behind checks of the dance itself; None if one fails."""
    for check in found:
        goal = asked(check)
        match check.test.about:
            case "weight":
                if any(weight not in goal.holds for weight, _ in front):
                    return None
                front = tuple(sorted({(Weight(goal.after(weight)), facing) for weight, facing in front}))
            case "facing" if any(facing not in goal.holds for _, facing in front):
                return None
    return front


def lands(states: Iterable[syntax.FootMark | syntax.FacingMark], front: Front) -> bool:
    """Say whether what a sheet expects is so for all dancers."""

    def holds(state: syntax.FootMark | syntax.FacingMark, weight: Weight, facing: int) -> bool:
        if isinstance(state, syntax.FacingMark):
            return facing == state.facing
        free = None if state.foot is None else Weight(state.foot.other)
        return weight is (Weight.BOTH if state.both else free)

    return all(holds(state, weight, facing) for state in states for weight, facing in front)


def ticks_of(body: Body) -> int:
    """Return how long a body lasts in ticks, 0 where that is not known."""
    return length(body) or 0
