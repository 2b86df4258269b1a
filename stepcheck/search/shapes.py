"""Changes to the shape of a sheet: blocks, calls of parts, cuts, sections of the music, readings.

After such a change the sheet is laid out anew; within each shape the rows are changed without that.
"""

from collections.abc import Collection, Iterable, Iterator, Mapping
from itertools import zip_longest

from stepcheck.books.placing import last_beat
from stepcheck.language import edits, syntax
from stepcheck.language.edits import Edit
from stepcheck.language.printer import print_node
from stepcheck.language.stretches import block_times, falls, goes_on, label, labelled, mark_of, numbered, parts, rows
from stepcheck.language.syntax import Line, Option, Row, Times
from stepcheck.model.claims import Test
from stepcheck.model.dance import TICKS, Body, Lengths, Pass, Repeat, Timed, key
from stepcheck.model.items import checks
from stepcheck.program.cutting import length
from stepcheck.program.header import labels_of
from stepcheck.program.routine import Routine
from stepcheck.search.candidates import Candidate
from stepcheck.search.changes import MOST_TIMES, others
from stepcheck.search.transitions import Transition, Transitions

MOST_CALLS = 4
PHRASE = 8
"""In how many beats a part is cut first, or not at all: not all cuts are tried where fixes are known."""
SWAPS = ("", "opposite foot", "mirrored")


def swaps(number: int, row: Row, names: Collection[str]) -> Iterator[edits.ChangeSwap]:
    """Yield the ways to dance the parts on a row: as written, with the opposite foot, or mirrored."""
    for place, option in enumerate(row.options):
        if key(option.name) in names:
            mark = mark_of(option, syntax.SwapMark)
            had = SWAPS[1 + mark.mirrored] if mark else ""
            yield from (edits.ChangeSwap(number, swap, place) for swap in SWAPS if swap != had)


class _Finder:
    """Finds the changes to the shape of one sheet."""

    def __init__(self, routine: Routine, pool: Iterable[Candidate], transitions: Transitions) -> None:
        self.routine, self.pool, self.transitions = routine, tuple(pool), transitions
        self.parts = parts(routine.sheet)
        self.nodes = {number: line.node for number, line in numbered(routine.sheet).items()}
        self.repeats = block_times(routine.sheet)
        options = (option for _, row in rows(routine.sheet.lines) for option in row.options)
        marks = (mark for option in options for mark in option.marks)
        self.swaps = dict.fromkeys(mark for mark in marks if isinstance(mark, syntax.SwapMark))
        self.unit = "counts" if routine.facts.book.tradition == "line" else "beats"

    def lines(self, lines: tuple[Line, ...], in_dance: bool) -> Iterator[Edit]:
        """Yield the changes to lines and to those under them."""
        said = [line for line in lines if line.node is not None]
        for at, (line, after) in enumerate(zip_longest(said, said[1:])):
            last = after is None or not isinstance(after.node, syntax.ExpectRow)
            yield from self.line(line, in_dance and not (last and isinstance(line.node, syntax.ExpectRow)), not at)
            yield from self.lines(line.body, in_dance)

    def line(self, line: Line, in_dance: bool, first: bool) -> Iterator[Edit]:
        """Yield the changes to one line."""
        node, number = line.node, line.number
        match node:
            case Row():
                yield from self._row(number, node)
            case syntax.TimesHead(times=int(times)):
                yield from (edits.ChangeBlock(number, other) for other in others(times))
            case syntax.OnlyHead(times=times):
                yield from (
                    edits.ChangeBlock(number, other) for other in _other_times(times) if times.every or not other.every
                )
        if isinstance(node, Row | syntax.TimesHead | syntax.OnlyHead | syntax.CountsHead | syntax.UntilHead):
            yield edits.DeleteLine(number)
        if in_dance:
            for part in self.parts.values():
                for marks in ((), *((mark,) for mark in self.swaps)):
                    call = print_node(Row((Option(part.name, marks=marks),)))
                    if first and label(line) is None:
                        yield edits.InsertLine(number, call, before=True)
                    if not goes_on(node):
                        yield edits.InsertLine(number, call)

    def _row(self, number: int, row: Row) -> Iterator[Edit]:
        yield from swaps(number, row, self.parts)
        for place, option in enumerate(row.options):
            call = key(option.name) in self.parts
            for name, part in self.parts.items() if call else ():
                if name != key(option.name):
                    yield edits.ReplacePart(number, part.name, place)
            if call and option.times is not None and not goes_on(row):
                yield from (edits.ChangeTimes(number, n, place) for n in others(option.times, MOST_CALLS))
            for mark in option.marks:
                if isinstance(mark, syntax.FirstMark):
                    most = self._longest(option) if call else mark.ticks // TICKS + 8
                    phrases = [*range(PHRASE, most, PHRASE), 0]
                    yield from (
                        edits.ChangeCut(number, beats * TICKS or None, place)
                        for beats in (*phrases, *(beats for beats in range(1, most) if beats not in phrases))
                        if beats * TICKS != mark.ticks
                    )
                elif isinstance(mark, syntax.TurnMark) and (mark.eighths or mark.times):
                    inside = option.times if option.times != 1 else self.repeats.get(number)
                    yield from (edits.ChangeTurnTimes(number, times, place) for times in _turning(mark.times, inside))

    def _longest(self, option: Option) -> int:
        """Return how many beats a part is said to last; many if it is not said."""
        pieces = self.parts[key(option.name)].pieces
        return max((piece.ticks // TICKS for piece in pieces if isinstance(piece, syntax.Length)), default=64)

    # -- restarts ----------------------------------------------------------------------------------------------------

    def restarts(self, body: Body) -> Iterator[Edit]:
        """Yield the cuts of passes danced whole that take away just what is too much for a section, or for the
        dance."""
        for item in body:
            if isinstance(item, Timed):
                clocks = [one for inner in item.body for one in checks(inner) if one.test is Test.CLOCK]
                danced = length(tuple(one for one in item.body if not checks(one)))
                if clocks and danced is not None and clocks[-1].value is not None:
                    yield from self._cut(item.body, danced - clocks[-1].value)
                yield from self.restarts(item.body)

    def _cut(self, body: Body, surplus: int) -> Iterator[Edit]:
        """Yield the cuts of passes in a body, by line, that take away a surplus of ticks; each by whole beats."""
        passes = list(_passes(body, 1))
        for line in dict.fromkeys(item.line for item, _ in passes):
            many = sum(times for item, times in passes if item.line == line)
            item = next(item for item, _ in passes if item.line == line)
            node, whole = self.nodes.get(line), length(item.body)
            if surplus <= 0 or surplus % (many * TICKS) or whole is None or not isinstance(node, Row):
                continue
            marks, left = node.options[0].marks, whole - surplus // many
            alone = len(node.options) == 1 and left > 0
            if alone and not any(isinstance(mark, syntax.FirstMark | syntax.UntilMark) for mark in marks):
                yield edits.CutPass(line, left, 0, self.unit)

    # -- sections of the music ---------------------------------------------------------------------------------------

    def sections(self) -> Iterator[tuple[Edit, ...]]:
        """Yield the rows, those together that do the same, that fill a section of the music which has no line in the
        dance."""
        for row, number, ahead in unfilled(self.routine.sheet):
            for texts in self._fillings(row):
                yield tuple(edits.InsertLine(number, f"{row.name}: {text}", ahead) for text in texts)

    def _fillings(self, row: syntax.MusicRow) -> Iterator[tuple[str, ...]]:
        """Yield the lines that last as long as a section: parts, and figures some times, those with the same transition
        together."""
        for part in self.parts.values():
            yield (print_node(Row((Option(part.name),))),)
        groups: dict[Transition, list[str]] = {}
        for one in self.pool:
            ticks = one.figure.length
            if ticks and row.ticks % ticks == 0:
                transition = self.transitions.power(self.transitions.step(one.figure), row.ticks // ticks)
                groups.setdefault(transition, []).append(
                    print_node(Row((Option(one.name, row.ticks // ticks, one.book),)))
                )
        yield from map(tuple, groups.values())

    # -- the header --------------------------------------------------------------------------------------------------

    def readings(self) -> Iterator[Edit]:
        """Yield the readings that words of the dance could be settled to."""
        nodes = ((line.number, line.node) for line in self.routine.sheet.lines)
        fields = {key(node.key): (number, node) for number, node in nodes if isinstance(node, syntax.HeaderField)}
        for number, field in fields.values():
            words = self.routine.facts.book.readings(field.key)
            for reading in dict.fromkeys(one for word in words for one in labels_of(word)):
                if key(reading) != key(field.value):
                    yield edits.SettleReading(number, field.key, reading)
        last = max((number for number, _ in fields.values()), default=0)
        for word in self.routine.words if last else ():
            if key(word.key) not in fields:
                yield from (edits.SettleReading(last, word.key, reading, True) for reading in word.labels)

    def figures(self, lengths: tuple[Lengths, ...]) -> Iterator[Edit]:
        """Yield the lengths that figures of the sheet's own should state."""
        rows = {line.number: line.node for head in self.routine.sheet.lines for line in head.body}
        for stated in lengths:
            last = last_beat(stated.figure.versions[stated.figure.usual].actions) * TICKS
            row = rows.get(stated.figure.line)
            if last != stated.ticks and isinstance(row, syntax.FigureRow) and row.length is not None:
                yield edits.ChangeClaim(stated.figure.line, row.length.at, last)


def shapes(
    routine: Routine,
    pool: Iterable[Candidate],
    transitions: Transitions,
    prices: Mapping[str, int],
    kept: frozenset[int],
    closed: frozenset[int] = frozenset(),
) -> tuple[tuple[Edit, ...], ...]:
    """Return the single changes to the shape of a sheet, in the order of its lines; those together that do the same.

    Args:
        routine: a routine that is well-formed.
        pool: the figures that may be put in.
        transitions: what they do.
        prices: what each kind of change costs; those without a price are left out.
        kept: lines that stay as they are.
        closed: lines beside which nothing is put in.
    """
    finder = _Finder(routine, pool, transitions)
    found: list[tuple[Edit, ...]] = []
    for line in routine.sheet.lines:
        if isinstance(line.node, syntax.PartHead | syntax.DanceHead):
            found += ((edit,) for edit in finder.lines(line.body, isinstance(line.node, syntax.DanceHead)))
    found += finder.sections()
    found += ((edit,) for edit in finder.readings())
    if routine.program is not None:
        found += ((edit,) for edit in finder.figures(routine.program.lengths))
        found += ((edit,) for edit in finder.restarts(routine.program.dance))
    fits = (
        some
        for some in found
        if some[0].kind in prices and some[0].line not in (closed if some[0].kind == "insert" else kept)
    )
    return tuple(dict.fromkeys(fits))


def _passes(body: Body, times: int) -> Iterator[tuple[Pass, int]]:
    """Yield the passes that a body dances itself, each with how often."""
    for item in body:
        if isinstance(item, Pass):
            yield item, times
        elif isinstance(item, Repeat) and item.times is not None:
            yield from _passes(item.body, times * item.times)


def unfilled(sheet: syntax.Sheet) -> Iterator[tuple[syntax.MusicRow, int, bool]]:
    """Yield the sections of the music without a line in the dance, each with a line beside which one could stand: True
    for before it, False for behind it."""
    head = next((line for line in sheet.lines if isinstance(line.node, syntax.DanceHead)), None)
    labels = [*_labels(head.body, ())] if head is not None else []
    places, ahead, at = labels[0][1] if labels else (), True, 0
    found: list[tuple[syntax.MusicRow, int, bool]] = []
    for _, row in sheet.music:
        if at < len(labels) and key(labels[at][0]) == key(row.name):
            places, ahead, at = labels[at][2], False, at + 1
        else:
            found += ((row, number, ahead) for number in places)
    yield from dict.fromkeys(found)


def _labels(
    lines: tuple[Line, ...], outer: tuple[int, ...], time: int = 1, most: int = 1
) -> Iterator[tuple[str, tuple[int, ...], tuple[int, ...]]]:
    """Yield the sections that lines of the dance name, in order, each time of a repeat. With each come its line, and
    the lines behind which the next section could stand.

    Args:
        lines: the lines of a block.
        outer: the lines behind which it could stand where the block ends.
        time: which time of a repeat it is.
        most: how many times there are.
    """
    said = [line for line in lines if line.node is not None]
    heads = [at for at, line in enumerate(said) if labelled((line,))]
    for at, end in zip(heads, [*heads, len(said)][1:], strict=True):
        line, rest = said[at], said[at:end]
        danced = max((n for n, one in enumerate(rest) if not isinstance(one.node, syntax.ExpectRow)), default=0)
        behind = (rest[-1].number, rest[danced].number, *(outer if end == len(said) else ()))
        name = label(line)
        if name is not None:
            yield name, (line.number,), behind
        elif isinstance(line.node, syntax.TimesHead):
            times = line.node.times or 1
            for number in range(1, times + 1):
                yield from _labels(line.body, behind if number == times else (), number, times)
        elif not isinstance(line.node, syntax.OnlyHead) or (time in falls(line.node.times, most)) != line.node.exclude:
            yield from _labels(line.body, behind)


def _turning(times: Times | None, most: int | None) -> Iterator[Times | None]:
    """Yield the other times of a repeat, danced `most` times, that a turn could fall on; None for every time."""
    if times is not None:
        yield None
        yield from _other_times(times)
    elif most is not None:
        yield from (Times(last=True), *(Times((number,)) for number in range(1, min(most, MOST_TIMES))))
        yield from (Times((), every) for every in range(2, most // 2 + 1) if most % every == 0)


def _other_times(times: Times) -> Iterator[Times]:
    """Yield the other times of a repeat that something could fall on: one time, one more or fewer, or the last."""
    singles = range(1, MOST_TIMES + 1)
    found = [Times((number,)) for number in singles]
    if times.every is None:
        found += [
            Times(tuple(sorted({*times.named} ^ {number})), None, times.last)
            for number in singles
            if {*times.named} ^ {number}
        ]
    found += [Times(last=True)] + [Times((), number) for number in range(2, MOST_TIMES + 1)]
    yield from (other for other in dict.fromkeys(found) if other != times)
