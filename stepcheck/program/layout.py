"""The lines of a sheet laid out as the steps of its dance: which figure, how many times, on which of the times.

What a step does is not looked at here.
"""

from collections.abc import Callable
from math import lcm

from attrs import evolve, frozen

from stepcheck.language.syntax import (
    At,
    CountsHead,
    ExpectRow,
    FacingMark,
    FirstMark,
    FootMark,
    GapRow,
    HoldRow,
    Length,
    Line,
    OnlyHead,
    Option,
    PartHead,
    Row,
    SwapMark,
    TimesHead,
    TurnMark,
    UntilMark,
)  # fmt: skip
from stepcheck.model.dance import (
    EIGHTHS,
    TICKS,
    Body,
    Check,
    Choice,
    Figure,
    Gap,
    Item,
    Pass,
    Repeat,
    Rest,
    Step,
    Test,
    Timed,
    key,
)  # fmt: skip
from stepcheck.program.claims import LineFails, Registry
from stepcheck.program.contracts import Swap, contract, foot_check, shortened, turned
from stepcheck.program.header import Facts
from stepcheck.program.names import Names
from stepcheck.program.repeats import Pattern, Turn, covers, nearest, pattern, spread

MOST_LINES = 20_000  # laid out again, beyond once each
MOST_ITEMS = 150_000


@frozen
class Around:
    """What is around a line: the swap of its pass, the time of the nearest repeat, and whether a part is around it."""

    swap: Swap = Swap()
    turn: Turn | None = None
    in_part: bool = False
    part: str = ""


class Layout:
    """The laying out of one sheet.

    `danced` counts how often each part has been laid out so far; `totals` how often it is in all, where known; `met`
    are the claims about named times that come.
    """

    def __init__(self, facts: Facts, names: Names, registry: Registry) -> None:
        self.facts, self.names, self.registry = facts, names, registry
        self.danced: dict[str, int] = {}
        self.totals: dict[str, int | None] = {}
        self.ending: dict[str, int] = {}
        self.met: set[str] = set()
        self.failures: list[LineFails] = []
        self.lap_part = ""
        self._laid: dict[tuple[object, ...], Body] = {}
        self._patterns: dict[str, Pattern] = {}
        self._left = MOST_LINES + len(names.sheet.source.lines)
        self._items = MOST_ITEMS

    # -- times -------------------------------------------------------------------------------------------------------

    def pattern(self, part: str) -> Pattern:
        """Return which passes of a part differ."""
        if part not in self._patterns:
            head = self.names.parts[part]
            node = head.node
            assert isinstance(node, PartHead)
            named = max((getattr(piece, "time", None) or 0 for piece in node.pieces), default=0)
            lines = pattern(nearest(head.body))
            self._patterns[part] = evolve(lines, named=max(lines.named, named))
        return self._patterns[part]

    def told(self, lines: tuple[Line, ...]) -> frozenset[str]:
        """Return the parts called by `lines`, or by parts that they call, whose passes differ."""
        return frozenset(part for part in self.names.called(lines) if not self.pattern(part).plain)

    def rounds(self, line: int, total: int, lines: tuple[Line, ...], own: Pattern, lay: Callable[[Turn], Body]) -> Body:
        """Return a repeat, laid out time by time as far as its own times or those of the parts in it differ."""
        told = self.told(lines)
        if not told:
            return spread(line, total, own, lay)
        out: list[Item] = []
        time = 0
        while time < total and not self._settled(told, own, time, lines):
            time += 1
            out += lay(Turn(time, total))
        left = total - time
        after = 1 if left and (own.last or any(self.pattern(part).last for part in told)) else 0
        period = self._period(told, own, lines)
        rounds, rest = divmod(left - after, period)
        if rounds > 0:
            before = dict(self.danced)
            once = tuple(item for step in range(1, period + 1) for item in lay(Turn(time + step, total)))
            out.append(Repeat(line, rounds, once))
            for part, count in self.danced.items():
                self.danced[part] = count + (rounds - 1) * (count - before.get(part, 0))
        done = total - rest - after
        for step in range(done + 1, total + 1):
            out += lay(Turn(step, total))
        return tuple(out)

    def _settled(self, told: frozenset[str], own: Pattern, time: int, lines: tuple[Line, ...]) -> bool:
        """Say whether from the next time on only rounds and the last time differ."""
        return time >= own.named and all(self.danced.get(part, 0) >= self.pattern(part).named for part in told)

    def _period(self, told: frozenset[str], own: Pattern, lines: tuple[Line, ...]) -> int:
        """Return after how many times the rounds of the repeat and of the parts in it come out alike."""
        return lcm(own.period, *(self.pattern(part).period for part in told))

    # -- blocks ------------------------------------------------------------------------------------------------------

    def lines(self, lines: tuple[Line, ...], around: Around) -> Body:
        """Return lines laid out; one that cannot be is a failure, and the rest go on."""
        out: list[Item] = []
        count_end = 0
        for line in lines:
            if line.node is None:
                continue
            self._left -= 1
            try:
                if isinstance(line.node, CountsHead):
                    laid, count_end = self._counts(line, line.node, around, count_end)
                else:
                    laid = self.line(line, around)
            except LineFails as failure:
                self.failures.append(failure.with_traceback(None))  # which would hold all that was under way
                continue
            self._items -= len(laid)
            if self._left < 0 or self._items < 0:
                raise LineFails(
                    "too-many-steps", line, (0, 0), "the dance has too many different steps to lay out",
                    "name fewer times, or split the sheet",
                )  # fmt: skip
            out += laid
        return tuple(out)

    def line(self, line: Line, around: Around) -> Body:
        """Return one line, and what stands under it, laid out."""
        match line.node:
            case Row():
                return self._row(line, line.node, around)
            case ExpectRow():
                return tuple(check for mark in line.node.states for check in self.state(line, mark, around, Test.FOOT))
            case HoldRow():
                return (Rest(line.number, line.node.length.ticks),)
            case GapRow():
                return (Gap(line.number, line.node.length.ticks, around.swap.feet, around.swap.turns),)
            case TimesHead():
                return self._times(line, line.node.times, around)
            case OnlyHead():
                return self._only(line, line.node, around)
            case _:
                raise LineFails("misplaced-line", line, (0, 0), "this line does not belong here")

    def _times(self, line: Line, times: int | None, around: Around) -> Body:
        """Return a block danced several times."""
        timed = any(isinstance(inner.node, CountsHead) for inner in line.body)

        def lay(turn: Turn) -> Body:
            body = self.lines(line.body, Around(around.swap, turn, around.in_part, around.part))
            return (Timed(body),) if timed else body

        if times is None:
            return (Repeat(line.number, None, lay(Turn(1, None))),)
        return self.rounds(line.number, times, line.body, pattern(nearest(line.body)), lay)

    def _only(self, line: Line, node: OnlyHead, around: Around) -> Body:
        """Return a block that is danced on some times only."""
        if around.turn is None:
            raise LineFails(
                "time-outside-repeat", line, node.at, "nothing around this line is danced several times",
                "put it in a part, or under a line such as 2 times:",
            )  # fmt: skip
        self.meet(line, node.at, node.times.named, around.turn)
        return self.lines(line.body, around) if covers(node.times, around.turn) is not node.exclude else ()

    def meet(self, line: Line, at: At, named: tuple[int, ...], turn: Turn) -> None:
        """Remember that a named time comes."""
        if turn.time in named:
            self.met.add(self.registry.at(line, at, f"time {turn.time}").id)

    def _counts(self, line: Line, node: CountsHead, around: Around, before: int) -> tuple[Body, int]:
        """Return the lines under a heading of counts, and the count that it ends with; a heading may begin at 1 again."""
        start = before if node.first == 1 else node.first - 1
        end = start + node.last - node.first + 1
        claim = self.registry.at(line, node.at)
        out: list[Item] = [Check(line.number, claim, Test.CLOCK, start * TICKS)]
        if node.foot is not None:
            out += self.state(line, node.foot, around, Test.LEAD)
        out += self.lines(line.body, around)
        out.append(Check(line.number, claim, Test.CLOCK, end * TICKS))
        if node.facing is not None:
            out += self.state(line, node.facing, around, Test.FOOT)
        return tuple(out), end

    # -- claims about states -----------------------------------------------------------------------------------------

    def state(self, line: Line, mark: FootMark | FacingMark, around: Around, test: Test) -> Body:
        """Return the check of a foot or facing, mirrored where its pass is; `test` says how a foot is meant."""
        claim = self.registry.at(line, mark.at)
        if isinstance(mark, FacingMark):
            if around.swap.unchecked:
                return ()
            return (Check(line.number, claim, Test.FACING, turned(mark.facing, around.swap) % EIGHTHS),)
        return (foot_check(line.number, claim, mark, around.swap, test),)

    # -- rows --------------------------------------------------------------------------------------------------------

    def _row(self, line: Line, row: Row, around: Around) -> Body:
        """Return a line of dance."""
        if len(row.options) == 1:
            return self._option(line, row.options[0], around)
        for option in row.options:
            if self.names.part(option.name) and self.told_one(option.name):
                raise LineFails(
                    "mark-not-possible-here", line, option.at, f"{option.name} differs from one time to another, so it cannot be an alternative",
                    "write the alternatives as figures",
                )  # fmt: skip
        at = (row.options[0].at[0], row.options[-1].at[1])
        claim = self.registry.at(line, at, "alternatives")
        return (Choice(line.number, claim, tuple(self._option(line, option, around) for option in row.options)),)

    def told_one(self, name: str) -> bool:
        """Say whether the passes of a part differ."""
        return not self.pattern(key(name)).plain

    def _option(self, line: Line, option: Option, around: Around) -> Body:
        """Return one alternative: its foot, its steps, and what is claimed of them."""
        marks = option.marks
        if not marks:
            return (
                self._part(line, option, around) if self.names.part(option.name) else self._figure(line, option, around)
            )
        out: list[Item] = []
        for mark in marks:
            if isinstance(mark, FootMark):
                out += self.state(line, mark, around, Test.LEAD)
        steps = self._part(line, option, around) if self.names.part(option.name) else self._figure(line, option, around)
        for mark in marks:
            if isinstance(mark, Length):
                claim = self.registry.at(line, mark.at)
                steps = (Timed((*steps, Check(line.number, claim, Test.CLOCK, mark.ticks))),)
        out += steps
        for mark in marks:
            if isinstance(mark, FacingMark):
                out += self.state(line, mark, around, Test.FOOT)
        return tuple(out)

    def _figure(self, line: Line, option: Option, around: Around) -> Body:
        """Return a figure danced as often as the line says."""
        figure = self.names.figure(line, option)
        if not option.marks and option.times == 1:
            return (Step(line.number, figure),)
        marks = [mark for mark in option.marks if isinstance(mark, TurnMark)]
        for mark in option.marks:
            if isinstance(mark, SwapMark | UntilMark):
                what = (
                    "until the music ends"
                    if isinstance(mark, UntilMark)
                    else "mirrored"
                    if mark.turns
                    else "opposite foot"
                )
                raise LineFails(
                    "mark-not-possible-here", line, mark.at, f"{what} is said of a part, not of a figure",
                    f"put {option.name} into a part of its own",
                )  # fmt: skip
        if len(marks) > 1 and not all(mark.times for mark in marks):
            raise LineFails("mark-not-possible-here", line, marks[1].at, "one line has two turns", "keep one of them")
        cuts = [mark for mark in option.marks if isinstance(mark, FirstMark)]

        def lay(turn: Turn | None) -> Body:
            step = self._step(line, figure, marks, turn, around)
            return shortened(line, (step,), cuts[0]) if cuts else (step,)

        if option.times == 1:
            return lay(around.turn)
        own = pattern(mark.times for mark in marks if mark.times is not None)
        if option.times is None:
            return (Repeat(line.number, None, lay(Turn(1, None))),)
        return spread(line.number, option.times, own, lay)

    def _step(self, line: Line, figure: Figure, marks: list[TurnMark], turn: Turn | None, around: Around) -> Step:
        """Return a figure with the turn that the line gives it this time."""
        for mark in marks:
            if mark.times is not None:
                if turn is None:
                    raise LineFails(
                        "time-outside-repeat", line, mark.at, "nothing around this line is danced several times",
                        "write x2 behind the name, or put it under a line such as 2 times:",
                    )  # fmt: skip
                self.meet(line, mark.at, mark.times.named, turn)
                if not covers(mark.times, turn):
                    continue
            if mark.eighths is None:
                return Step(line.number, figure, blank=True)
            if mark.eighths and not mark.side:
                raise LineFails(
                    "turn-needs-a-side", line, mark.at, "this turn has no side", "write left or right behind it"
                )
            return Step(line.number, figure, turned(mark.eighths * mark.side, around.swap), turn_beat=mark.beat)
        return Step(line.number, figure)

    # -- parts -------------------------------------------------------------------------------------------------------

    def _part(self, line: Line, option: Option, around: Around) -> Body:
        """Return a part danced as often as the line says."""
        part = key(option.name)
        swap, marks = around.swap, []
        for mark in option.marks:
            if isinstance(mark, SwapMark):
                swap = swap.with_mark(mark)
            elif isinstance(mark, FirstMark):
                marks.append(mark)
            elif isinstance(mark, TurnMark):
                raise LineFails(
                    "mark-not-possible-here", line, mark.at, "a turn is written on a figure, not on a part",
                    f"write it in part {option.name}",
                )  # fmt: skip
            elif isinstance(mark, UntilMark) and around.in_part:
                raise LineFails(
                    "mark-not-possible-here",
                    line,
                    mark.at,
                    "only the dance goes on until the music ends",
                    "write it under dance:",
                )

        def lay(turn: Turn) -> Body:
            return (self.one_pass(line, part, swap, marks[0] if marks else None),)

        if option.times == 1:
            return lay(Turn(1, 1))
        if option.times is None:
            return (Repeat(line.number, None, lay(Turn(1, None))),)
        called = (evolve(line, body=()),)
        return self.rounds(line.number, option.times, called, Pattern(), lay)

    def one_pass(
        self, line: Line, part: str, swap: Swap = Swap(), mark: FirstMark | None = None, *, last: bool = False
    ) -> Pass:
        """Return the next time through a part."""
        number = self.danced[part] = self.danced.get(part, 0) + 1
        turn = Turn(number, self.totals.get(part), self.ending.get(part) == number)
        kind = self.pattern(part).kind(number, number if turn.is_last else None)
        where = (part, kind, swap, mark and mark.ticks, last)
        inner = self.told(self.names.parts[part].body)
        if inner or where not in self._laid:
            self._laid[where] = self._contents(line, part, turn, swap, mark, last)
        lap = part == self.lap_part and mark is None and swap == Swap()
        return Pass(line.number, self.names.parts[part].node.name, kind[0], self._laid[where], lap)

    def _contents(self, line: Line, part: str, turn: Turn, swap: Swap, mark: FirstMark | None, last: bool) -> Body:
        """Return the contents of a pass with the checks of its contract around them."""
        head = self.names.parts[part]
        assert isinstance(head.node, PartHead)
        around = Around(swap, turn, True, head.node.name)
        before, after = contract(self.registry, head, turn, swap)
        body = self.lines(head.body, around)
        if mark is not None:
            return (*before, *shortened(line, body, mark, last=last))
        return (*before, *body, *after)
