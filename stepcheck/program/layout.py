"""The lines of a sheet laid out as the steps of its dance: which figure, how many times, on which of the times.

The effect of a step is no concern of this module.
"""

from collections.abc import Callable, Mapping
from functools import partial

from attrs import evolve, frozen

from stepcheck.books.footwork import in_a_mirror
from stepcheck.language.syntax import (
    NOWHERE,
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
    State,
    Times,
    TimesHead,
    TravelMark,
    TurnMark,
)
from stepcheck.model.claims import Check, Test
from stepcheck.model.dance import (
    TICKS,
    Body,
    Choice,
    Figure,
    Gap,
    Item,
    Lined,
    Pass,
    Repeat,
    Rest,
    Step,
    Timed,
    Uncut,
    key,
)
from stepcheck.program import failures
from stepcheck.program.claims import LineFails, Registry, Swap, contract, stated, turned
from stepcheck.program.cutting import READINGS, CutFails, Known, Pick, as_block, cut, falls, length
from stepcheck.program.failures import Extent, TooMuch, sided
from stepcheck.program.groups import marker
from stepcheck.program.header import Facts
from stepcheck.program.names import Names
from stepcheck.program.repeats import UNNAMED, Passes, Pattern, Tally, Turn, comes, nearest, passes, pattern, spread


@frozen
class Around:
    """The context of a line: the swap of its pass, the time of the nearest repeat, and whether it stands in a part."""

    swap: Swap = Swap()
    turn: Turn | None = None
    in_part: bool = False
    part: str = ""


class Layout:
    """Lays out the lines of one sheet.

    `tally` counts how often each part has been laid out so far.  With `unnamed`, passes are laid out as those of a time
    that never comes, and are not counted.  `failures` are the lines that can't be laid out.  With `lined`, what each
    line lays is an item of its own, and passes are cut later.  `lap` is the part whose whole passes the number of walls
    is about, with how it is swapped.
    """

    def __init__(
        self, facts: Facts, names: Names, registry: Registry, lap: tuple[str, Swap] = ("", Swap()), lined: bool = False
    ) -> None:
        self.facts, self.names, self.registry, self.lap, self.lined = facts, names, registry, lap, lined
        self.tally = Tally()
        self.patterns = names.calls
        self.unnamed = False
        self.failures: list[LineFails] = []
        # Lines of which more or less is danced where words are read otherwise.
        self.hanging: list[LineFails] = []
        # Parts and claims that are known to come, and are not in what is laid.
        self.behind: set[str] = set()
        self.met: set[str] = set()
        # The lines of the named times that have come.
        self.come: set[int] = set()
        # Where laps begin: the place in the round of the block, and in that of each part whose passes differ.
        self.begun: set[tuple[int, ...]] = set()
        self._counts = 0, 0
        # The bodies of passes, with the passes in each of the parts whose passes differ.
        self._laid: dict[tuple[object, ...], tuple[Body, Mapping[str, int]]] = {}
        self._lengths: Known = {}
        self._passes: Passes = {}
        self.extent = Extent(len(names.sheet.source.lines))

    # -- times -------------------------------------------------------------------------------------------------------

    def told(self, lines: tuple[Line, ...]) -> Mapping[str, Pattern]:
        """Return the parts danced in `lines` whose passes differ, each with the pattern of its passes."""
        return {} if self.unnamed else self.patterns.told(lines)

    def told_in(self, part: str) -> Mapping[str, Pattern]:
        """Return the parts danced in a part whose passes differ, each with the pattern of its passes."""
        return {} if self.unnamed else self.patterns.inside(part)

    def meet(self, line: Line, at: At, times: Times, turn: Turn) -> Body:
        """Return the checks that mark that named times come; they go once the reached times are known."""
        claims = tuple(self.registry.at(line, at, f"time {time}") for time in comes(times, turn))
        self.met.update(claim.id for claim in claims if self.lined)
        return () if self.lined else tuple(Check(line.number, claim, Test.CLOCK, None) for claim in claims)

    # -- blocks ------------------------------------------------------------------------------------------------------

    def lines(self, lines: tuple[Line, ...], around: Around) -> Body:
        """Return lines laid out; one that cannot be is a failure, and the rest go on."""
        out: list[Item] = []
        for line in lines:
            if line.node is None:
                continue
            try:
                laid = self.laid(line, around)
            except TooMuch:
                raise
            except LineFails as failure:
                self.failures.append(failure.with_traceback(None))  # which would hold all that was under way
                continue
            self.extent.spend(line, 1, len(laid))
            out += laid
        return tuple(out)

    def laid(self, line: Line, around: Around) -> Body:
        """Return the body of one line, as an item of its own where lines are kept."""
        body = self.line(line, around)
        return (Lined(line.number, around, body),) if self.lined and body else body

    def line(self, line: Line, around: Around) -> Body:
        """Return one line, and the lines under it, laid out."""
        match line.node:
            case Row():
                return self._row(line, line.node, around)
            case ExpectRow():
                return tuple(check for mark in line.node.states for check in self.state(line, mark, around))
            case HoldRow():
                return (Rest(line.number, line.node.length.ticks),)
            case GapRow():
                return (Gap(line.number, line.node.length.ticks, around.swap.feet, around.swap.mirrored),)
            case TimesHead():
                return self._times(line, line.node.times, around)
            case OnlyHead():
                return self._only(line, line.node, around)
            case CountsHead():
                return self._heading(line, line.node, around)
            case _:
                raise LineFails("misplaced-line", line, NOWHERE, "this line does not belong here")

    def _times(self, line: Line, times: int | None, around: Around) -> Body:
        timed = _headed(line.body)

        def lay(turn: Turn) -> Body:
            with self.extent.deeper(line, 3):
                inner = evolve(around, turn=turn)
                return (Timed(self._numbered(line.body, inner)),) if timed else self.lines(line.body, inner)

        return self._spread(line, times, pattern(nearest(line.body)), lay, self.told(line.body))

    def _spread(
        self,
        line: Line,
        times: int | None,
        own: Pattern,
        lay: Callable[[Turn], Body],
        parts: Mapping[str, Pattern] | None = None,
        place: int = 0,
    ) -> Body:
        """Return a repeat of which the times in `own` and passes of `parts` differ; none may where their number is a
        blank."""
        if times is not None:
            return spread(line.number, times, own, lay, parts, self.tally)
        if parts or not own.plain:
            said = "how often this is danced is to be found, so no time of it can be named"
            hints = "write the number of times", "or take the named times out"
            raise failures.impossible(line, NOWHERE, said, *hints)
        return (Repeat(line.number, None, lay(Turn(1, None)), place),)

    def _only(self, line: Line, node: OnlyHead, around: Around) -> Body:
        if around.turn is None:
            raise failures.outside_repeat(line, node.at, "put it in a part, or under a line such as 2 times:")
        mark = self.meet(line, node.at, node.times, around.turn)
        if node.times.covers(around.turn.time, around.turn.is_last) is node.exclude:
            return mark
        self.come.add(line.number)
        return (*mark, *as_block(line.number, self.lines(line.body, around)))

    def _numbered(self, lines: tuple[Line, ...], around: Around) -> Body:
        """Return lines whose counts are numbered from 1."""
        kept, self._counts = self._counts, (0, 0)
        body = self.lines(lines, around)
        self._counts = kept
        return body

    def _heading(self, line: Line, node: CountsHead, around: Around) -> Body:
        """Return the lines under a heading of counts; one that begins at 1 numbers anew from where the counts before
        end."""
        base, before = self._counts
        base = before if node.first == 1 else base
        start, end = base + node.first - 1, base + node.last
        claim = self.registry.at(line, node.at)
        begins = Check(line.number, claim, Test.CLOCK, start * TICKS, opens=True)
        ends = Check(line.number, claim, Test.CLOCK, end * TICKS)
        foot = () if node.foot is None else self.state(line, node.foot, around)
        self._counts = base, start
        body = self.lines(line.body, around)
        self._counts = base, end
        faced = () if node.facing is None else self.state(line, node.facing, around)
        return (begins, *foot, *body, ends, *faced)

    # -- claims about states -----------------------------------------------------------------------------------------

    def state(self, line: Line, mark: State, around: Around) -> Body:
        """Return the check of a state, mirrored where its pass is."""
        claim = self.registry.at(line, mark.at)
        if claim.kind.test is None:
            if not self.facts.groups:
                hint = "name them in the header, as in: groups: odd lines, even lines"
                raise LineFails("wrong-groups", line, mark.at, "this is said of groups, and there are none", hint)
            return (marker(line.number, claim),)
        if around.swap.unchecked and claim.kind.test.about == "facing":
            return ()
        return (stated(line.number, claim, mark, around.swap),)

    # -- rows --------------------------------------------------------------------------------------------------------

    def _row(self, line: Line, row: Row, around: Around) -> Body:
        if len(row.options) == 1:
            return self._option(line, row.options[0], around)
        for option in row.options:
            if self.names.part(option.name) and self.patterns.with_inside(key(option.name)):
                said = f"{option.name} differs from one time to another, so it cannot be an alternative"
                raise failures.impossible(line, option.at, said, "write the alternatives as figures")
        at = (row.options[0].at[0], row.options[-1].at[1])
        claim = self.registry.at(line, at, "alternatives")
        return (Choice(line.number, claim, tuple(self._option(line, option, around) for option in row.options)),)

    def _option(self, line: Line, option: Option, around: Around) -> Body:
        marks, part = option.marks, self.names.part(option.name)
        said = sorted((mark for mark in marks if isinstance(mark, FootMark)), key=lambda mark: not mark.both)
        feet = tuple(one for mark in said for one in self.state(line, mark, around))  # a foot that leads is then chosen
        written = any(form.foot is not None for form in option.forms)
        each = feet if written else ()  # feet in a row are those of each of its times
        steps = self._part(line, option, around) if part else self._figure(line, option, around, each)
        if not marks:
            return steps
        for mark in marks:
            if isinstance(mark, Length):
                claim = self.registry.at(line, mark.at)
                steps = (Timed((*steps, Check(line.number, claim, Test.CLOCK, mark.ticks))),)
        faced = [one for mark in marks if isinstance(mark, FacingMark) for one in self.state(line, mark, around)]
        return (*(() if each else feet), *steps, *faced)

    def _figure(self, line: Line, option: Option, around: Around, each: Body = ()) -> Body:
        figure = self.names.figure(line, option)
        figure = in_a_mirror(figure) if around.swap.mirrored else figure
        if not option.marks and option.times == 1:
            return (Step(line.number, figure),)
        failures.refuse_marks_of_figure(line, option, figure)
        marks = [mark for mark in option.marks if isinstance(mark, TurnMark)]
        ways = [mark for mark in option.marks if isinstance(mark, TravelMark)]
        cuts = [mark for mark in option.marks if isinstance(mark, FirstMark)]

        def lay(turn: Turn | None) -> Body:
            laid = self._step(line, figure, marks, turn, around)
            for way in ways[:1]:
                far = -way.right if around.swap.mirrored else way.right
                laid = tuple(evolve(one, travel=(far, way.forward)) if isinstance(one, Step) else one for one in laid)
            return (*each, *(self.shortened(line, laid, cuts[0]) if cuts else laid))

        if option.times == 1:
            return lay(around.turn)  # a turn on some times counts those of the block
        own = pattern(mark.times for mark in marks if mark.times is not None)
        return self._spread(line, option.times, own, lay, place=option.at[0])

    def _step(self, line: Line, figure: Figure, marks: list[TurnMark], turn: Turn | None, around: Around) -> Body:
        met: Body = ()
        for mark in marks:
            if mark.times is not None:
                if turn is None or turn.part:
                    hint = "write x2 behind the name, or put it under a line such as 2 times:"
                    raise failures.outside_repeat(line, mark.at, hint)
                met += self.meet(line, mark.at, mark.times, turn)
                if not mark.times.covers(turn.time, turn.is_last):
                    continue
            if mark.eighths is None:
                return (*met, Step(line.number, figure, None, True, mark.beat, around.swap.mirrored, mark.at[0]))
            if mark.eighths and not mark.side:
                raise LineFails("turn-needs-a-side", line, mark.at, "this turn has no side", *sided(mark))
            return (*met, Step(line.number, figure, turned(mark.eighths * mark.side, around.swap), turn_beat=mark.beat))
        return (*met, Step(line.number, figure))

    # -- parts -------------------------------------------------------------------------------------------------------

    def _part(self, line: Line, option: Option, around: Around) -> Body:
        part = key(option.name)
        failures.refuse_marks_of_part(line, option, around.in_part)
        swap = around.swap.with_marks(option.marks)
        cuts = [mark for mark in option.marks if isinstance(mark, FirstMark)]

        def lay(turn: Turn) -> Body:
            return (self.one_pass(line, part, swap, cuts[0] if cuts else None),)

        if option.times == 1:
            return lay(Turn(1, 1))
        parts = {} if self.unnamed else self.patterns.with_inside(part)
        return self._spread(line, option.times, Pattern(), lay, parts, option.at[0])

    def one_pass(self, line: Line, part: str, swap: Swap = Swap(), mark: FirstMark | None = None) -> Pass:
        """Return the next time through a part."""
        lap, lasts = mark is None and (part, swap) == self.lap, None if mark is None else mark.ticks
        if lap and not self.unnamed:
            self.begun.add((0, *self.tally.phase(self.patterns.with_inside(part))))
        turn = UNNAMED if self.unnamed else self.tally.next(part)
        kind, inner = self.patterns.of(part).kind(turn), self.told_in(part)
        self.extent.spend(line, 0, 1 + len(inner))
        where = (part, self.unnamed or kind, swap, mark and mark.ticks, *self.tally.phase(inner))
        body, more = self._laid.get(where, (None, {}))
        if body is None or self.tally.room(inner, more) == 0:
            before = self.tally.counts(inner)
            with self.extent.deeper(line, 5):
                body = self._contents(line, part, turn, swap, mark)
            more = self.tally.since(before)
            if self.tally.room(inner, more, before) != 0:
                self._laid[where] = body, more
        else:
            self.tally.add(more)
        return Pass(line.number, self.names.parts[part].node.name, kind[0], body, lap, lasts)  # type: ignore[union-attr]

    def _contents(self, line: Line, part: str, turn: Turn, swap: Swap, mark: FirstMark | None) -> Body:
        """Return the contents of a pass with the checks of its contract around them; of a pass cut short those at its
        start."""
        head = self.names.parts[part]
        assert isinstance(head.node, PartHead)
        before, after = contract(self.registry, head, turn, swap)
        counts = self.tally.counts(self.told_in(part))
        body = self._numbered(head.body, Around(swap, turn, True, head.node.name))
        if mark is None:
            return (*before, *body, *after)
        start = self.shortened(line, body, mark)
        self.recount(counts, start)
        if self.lined:
            self.behind.update(passes(start, self._passes))
            start = (Uncut(line.number, mark.ticks, body),)
        return (*before, *start)

    def hang(self, line: Line, at: At, length: Callable[[Pick], object]) -> None:
        """Record that the layout depends on the readings of words, if some reading changes the length of a body."""
        if self.names.uneven and len(set(map(length, READINGS))) > 1:
            said = "how much is danced here hangs on how words are read"
            hint = f"settle in the header how to read {' or '.join(self.names.uneven)}"
            self.hanging.append(failures.impossible(line, at, said, hint))

    def shortened(self, line: Line, body: Body, mark: FirstMark) -> Body:
        """Return the start of a body; where it would split a turn, that is a failure, and the turn is left out."""
        self.hang(line, mark.at, partial(falls, body, mark.ticks, known=self._lengths))
        try:
            return cut(body, mark.ticks, known=self._lengths)
        except CutFails as failed:
            failure = failures.cut_failure(line, mark, failed, length(body, known=self._lengths))
        # Raised out here, so that what fails holds nothing of what was under way.
        if failure.code != "cut-splits-a-turn":
            raise failure
        self.failures.append(failure)
        return cut(body, mark.ticks, last=True)

    def recount(self, counts: Mapping[str, int], body: Body) -> None:
        """Count the passes that a cut leaves; `counts` are the passes before the body."""
        if counts:
            found = passes(body, self._passes)
            for part, count in counts.items():
                self.tally.danced[part] = count + found[part]


def _headed(lines: tuple[Line, ...]) -> bool:
    """Say whether headings of counts stand among lines, so that these are counted each time."""
    return any(
        isinstance(line.node, CountsHead) or (isinstance(line.node, OnlyHead) and _headed(line.body)) for line in lines
    )
