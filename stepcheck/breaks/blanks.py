"""The blanks of a sheet: where they stand, the text with some of them filled, and whether something is refuted then."""

from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import TypeAlias

from attrs import evolve, frozen

from stepcheck.breaks.states import Placed, lines
from stepcheck.language.printer import print_node
from stepcheck.language.stretches import every_line
from stepcheck.language.syntax import At, FootMark, GapRow, Line, Row, Sheet, TimesHead, TurnMark
from stepcheck.model.dance import EIGHTHS, Foot, Item, Program, Weight
from stepcheck.model.findings import Severity
from stepcheck.model.items import Change, mapped
from stepcheck.model.outcome import Verdict
from stepcheck.model.source import Source
from stepcheck.model.work import WorkSpent
from stepcheck.program.routine import Routine, reread
from stepcheck.walk.arrivals import Place, arrivals, fails
from stepcheck.walk.effects import Algebra
from stepcheck.walk.walk import survey, walk

Value: TypeAlias = int | Foot | tuple[Placed, ...]


@frozen
class Blank:
    """A `?` of a sheet.

    Attributes:
        kind: what is to be found: `beats`, a row of figures; `turn`; `times`, how often a figure or a block is danced;
            `foot`.
        line: the line, from 1.
        at: the piece of the line that gives way: from where to where, in characters from its first one.
        text: that piece.
        ticks: how long the row of figures is, in twelfths of a beat; 0 for the other kinds.
        mark: the turn as written, for the kind `turn`.
    """

    kind: str
    line: int
    at: At
    text: str
    ticks: int = 0
    mark: TurnMark | None = None


@frozen
class Filling:
    """The value of a filled blank.

    Attributes:
        blank: the blank.
        value: how often, the foot, or the row of figures; a turn in eighths of a turn, left negative, which `turn` has
            whole.
        lines: the lines, or the piece of a line, that say it.
    """

    blank: Blank
    value: Value
    lines: tuple[str, ...]

    @property
    def turn(self) -> Fraction:
        """The turn in whole turns, left negative; 0 where the blank is not one of a turn."""
        return (
            Fraction(self.value, EIGHTHS) if self.blank.kind == "turn" and isinstance(self.value, int) else Fraction(0)
        )

    @property
    def text(self) -> str:
        """The text in the place of the blank, on one line."""
        return " / ".join(self.lines) or "once"


def blanks(sheet: Sheet) -> tuple[Blank, ...]:
    """Return the blanks of a sheet in its order."""
    return tuple(blank for line in every_line(sheet.lines) for blank in sorted(_of(line), key=lambda blank: blank.at))


def filling(blank: Blank, value: Value) -> Filling:
    """Return the filling of a blank with a value of its kind."""
    if isinstance(value, tuple):
        return Filling(blank, value, lines(value))
    if isinstance(value, Foot):
        return Filling(blank, value, (print_node(FootMark(value)),))
    if blank.mark is not None:
        side = (value > 0) - (value < 0)
        return Filling(blank, value, (print_node(evolve(blank.mark, eighths=abs(value), side=side)),))
    if blank.text.startswith("?"):
        return Filling(blank, value, (f"{value} time{'' if value == 1 else 's'}",))
    return Filling(blank, value, (f"x{value}",) if value > 1 else ())


def filled(source: Source, fillings: Iterable[Filling]) -> str:
    """Return the text of a sheet with some blanks filled; notes stay, and comments, if they can in their column."""
    by_line: dict[int, list[Filling]] = {}
    for one in fillings:
        by_line.setdefault(one.blank.line, []).append(one)
    out: list[str] = []
    for number, raw in enumerate(source.lines, 1):
        text, more = raw, tuple[str, ...]()
        margin = raw[: len(raw) - len(raw.lstrip())]
        for one in sorted(by_line.get(number, ()), key=lambda one: one.blank.at, reverse=True):
            start, end = (len(margin) + place for place in one.blank.at)
            before = text[:start] if one.lines else text[:start].rstrip()
            text = before + "".join(one.lines[:1]) + text[end:]
            more = tuple(margin + line for line in one.lines[1:]) or more
        out += [text if text == raw else _aligned(raw, text), *more]
    return "\n".join(out)


def _aligned(raw: str, text: str) -> str:
    """Return a changed line with its comment in the old column, if two spaces before it can stay."""
    body, mark, comment = text.partition("#")
    if not mark or not raw.partition("#")[0].endswith(" "):
        return text
    body = body.rstrip()
    return body.ljust(max(raw.find("#"), len(body) + 2)) + mark + comment


def _of(line: Line) -> Iterator[Blank]:
    node = line.node
    text = line.text.strip()

    def blank(kind: str, at: At, ticks: int = 0, mark: TurnMark | None = None) -> Blank:
        return Blank(kind, line.number, at, text[slice(*at)], ticks, mark)

    match node:
        case GapRow():
            yield blank("beats", (0, node.length.at[1]), node.length.ticks)
        case TimesHead(times=None):
            yield blank("times", (0, text.index(":")))
        case Row():
            for option in node.options:
                if option.times is None:
                    yield blank("times", option.times_at)
                for mark in option.marks:
                    if isinstance(mark, TurnMark) and mark.eighths is None:
                        yield blank("turn", mark.at, mark=mark)
                    elif isinstance(mark, FootMark) and mark.foot is None and not mark.both:
                        yield blank("foot", mark.at)


BUDGET = 20_000
_WAITS = "mark-not-possible-here"  # what is said where a length that the sheet needs waits on a blank


class Trials:
    """The trials of one routine.

    `tried` counts the walks; `late` says of the last one that what is danced lasts too long for a claim, so that more
    of it would too.
    """

    def __init__(self, routine: Routine, budget: int = BUDGET) -> None:
        self.routine, self.budget, self.tried = routine, budget, 0
        self.late = False
        self._algebra = Algebra()

    def laid(self, fillings: tuple[Filling, ...]) -> Routine:
        """Return the routine with some of its blanks filled."""
        return reread(self.routine, filled(self.routine.sheet.source, fillings))

    def fits(self, routine: Routine, change: Change | None = None) -> bool:
        """Say whether nothing is refuted yet in a routine, perhaps with a change to its program.

        Raises:
            WorkSpent: more was tried than the budget allows, or a try is too much to look at.
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
        failed, self.late = fails(program, self._algebra)
        if failed:
            return False
        if program.walls is None:
            return True
        found = survey(program, algebra=self._algebra)
        if found is None:
            raise WorkSpent
        return not found.refuted

    def proved(self, fillings: tuple[Filling, ...]) -> bool:
        """Say whether every claim is proved with these blanks filled.

        Raises:
            WorkSpent: more was tried than the budget allows, or a try is too much to look at.
        """
        self._count()
        return self.holds(self.laid(fillings))

    def holds(self, routine: Routine) -> bool:
        """Say whether every claim of a routine is proved."""
        if routine.program is None:
            return False
        return all(one.verdict is Verdict.PROVED for one in walk(routine.program, algebra=self._algebra))

    def weights(self, program: Program, item: Item) -> tuple[set[Weight], set[Weight]]:
        """Return the weights with which the dance surely comes to an item, and all with which it may.

        Raises:
            WorkSpent: that is too much to look at.
        """
        found = arrivals(program, Place(before=True, items=(item,)), self._algebra)
        sure = {weight for one in found if not one.open for weight, _ in one.states}
        return sure, {weight for one in found for weight, _ in one.states}

    def _count(self) -> None:
        self.tried += 1
        if self.tried > self.budget:
            raise WorkSpent
