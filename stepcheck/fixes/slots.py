"""A sheet laid out as slots: each line where it is danced, so that something else can be put there.

The layout is that of `elaborate`; it is only watched.  Every row is laid under a number of its own for each context
that it is laid in, by which its steps are found again in the program.
"""

from collections.abc import Iterator

from attrs import evolve, field, frozen

from stepcheck.fixes.nodes import (
    Either,
    Endless,
    Inner,
    Lasting,
    Loop,
    Maybe,
    Node,
    Nodes,
    Part,
    Round,
    Short,
    Slot,
    is_blank,
    timed,
)
from stepcheck.fixes.waivers import Standing, eased, listed, standings
from stepcheck.language.syntax import At, FirstMark, GapRow, HoldRow, Line, Row, Sheet, Times, UntilMark
from stepcheck.model.dance import (
    Body,
    Check,
    Choice,
    Claim,
    Forever,
    Item,
    Kind,
    Lap,
    Last,
    Pass,
    Program,
    Repeat,
    Rest,
    Timed,
    Together,
)
from stepcheck.model.findings import Diagnostic, Severity
from stepcheck.model.items import checks
from stepcheck.program.claims import Registry, register
from stepcheck.program.contracts import Swap, contract
from stepcheck.program.dance import Dance
from stepcheck.program.header import Facts, read
from stepcheck.program.laid import passes
from stepcheck.program.layout import Around, Layout
from stepcheck.program.names import Names
from stepcheck.program.repeats import Turn, nearest, pattern
from stepcheck.program.routine import Routine

FIRST = 1 << 32
"""Where the numbers of rows begin: above those of lines."""
_NOWHERE = Line(0, 0, None)


class Unfit(Exception):
    """A sheet has something that is not laid out as slots."""


@frozen(eq=False)
class Outline:
    """A routine as slots.

    `places` says where each claim stands: its line, the piece of it, the role in that piece.  `recording` lays out
    lines anew. `waived` are claims that are given up: their checks are left out.
    """

    routine: Routine
    program: Program
    dance: Nodes
    spares: tuple[tuple[tuple[int, ...], Nodes], ...]
    walls: Nodes
    places: dict[str, tuple[int, At, str]] = field(repr=False)
    recording: "Recorded" = field(repr=False)
    builder: "Builder" = field(repr=False)
    waived: frozenset[str] = frozenset()


class _Marks(Registry):
    """The claims of a sheet, found again for rows that are laid under other numbers."""

    real: dict[int, int]

    def at(self, line: Line | int, at: At, role: str = "") -> Claim:
        """Return the claim that stands there; one of its own for a piece that the sheet does not have."""
        number = line if isinstance(line, int) else line.number
        number = self.real.get(number, number)
        found = self.slots.get((number, at, role))
        return Claim(f"line {number}: {at} {role}", Kind.LEAD, number, "") if found is None else found


class Recorded(Layout):
    """A layout that remembers in which contexts rows are laid, and how passes are swapped."""

    def __init__(self, facts: Facts, names: Names, registry: Registry, lap_part: str = "") -> None:
        marks = _Marks(registry.claims, registry.slots)
        super().__init__(facts, names, marks, lap_part)
        self.rows: list[tuple[Line, Around]] = []
        self.numbers: dict[tuple[int, Around], int] = {}
        self.swaps: dict[int, Swap] = {}
        self.shorts: dict[int, Short] = {}
        self.lasting: dict[int, tuple[int, Body]] = {}
        self._keep: list[Body] = []
        object.__setattr__(marks, "real", {})
        self.real = marks.real

    def line(self, line: Line, around: Around) -> Body:
        """Return one line laid out, a row under a number of its own."""
        if not isinstance(line.node, Row | HoldRow | GapRow):
            return super().line(line, around)
        where = (line.number, around)
        if where not in self.numbers:
            self.numbers[where] = FIRST + len(self.rows)
            self.rows.append((line, around))
            self.real[FIRST + len(self.rows) - 1] = line.number
        return super().line(evolve(line, number=self.numbers[where]), around)

    def as_swapped(self, body: Body, like: Body) -> None:
        """Remember that a body is swapped like another."""
        if id(like) in self.swaps:
            self.swaps[id(body)] = self.swaps[id(like)]
            self._keep.append(body)

    def again(self, slot: Slot, row: Row) -> Body:
        """Return another row laid out in the place of that of a slot.

        Raises:
            LineFails: it cannot be laid out there.
        """
        return super().line(evolve(slot.line, node=row), slot.around)

    def meet(self, line: Line, at: At, times: Times, turn: Turn) -> Body:
        """Remember the named times that come, and leave no mark of them."""
        self.met.update(check.claim.id for check in super().meet(line, at, times, turn) if isinstance(check, Check))
        return ()

    def _contents(self, line: Line, part: str, turn: Turn, swap: Swap, mark: FirstMark | None) -> Body:
        counts = self.tally.counts(self.told_in(part))
        body = super()._contents(line, part, turn, swap, None)
        if mark is not None:
            before, after = contract(self.registry, self.names.parts[part], turn, swap)
            whole = body[len(before) : len(body) - len(after)]
            self.recount(counts, kept := self.shortened(line, whole, mark))
            self.behind.update(passes(kept, {}))
            # What is cut is laid as silence of that length, which is found again by its body.
            body = (*before, Rest(line.number, mark.ticks))
            self.shorts[id(body)] = Short(mark.ticks, whole)
        self.swaps[id(body)] = swap
        self._keep.append(body)
        return body


class _Recording(Dance):
    layouts = Recorded
    total = 0

    def lines(self, lines: tuple[Line, ...], ticks: int | None = None) -> Body:
        """Return lines of the dance; remembers how much music they have."""
        self.total = ticks or 0
        return super().lines(lines, ticks)

    def _as_long(self, line: Line, ticks: int) -> Body:
        """Return what stands for laps until the music ends, which are as many as their lengths will have it then."""
        if self.layout.told(self._inner(line)) or not pattern(nearest(line.body)).plain:
            raise Unfit("the dance goes round until the music ends, and its rounds differ")
        assert isinstance(self.layout, Recorded)
        rest = Rest(line.number, ticks)
        lap = self._lap(line, Turn(1, None))
        self.layout.lasting[id(rest)] = self.total, lap
        self.layout.behind.update(passes(lap, {}))
        return (rest,)


def outline(routine: Routine, given: frozenset[Standing] = frozenset()) -> Outline:
    """Return a routine as slots.

    Args:
        routine: a routine.
        given: where the claims stand that are given up.

    Raises:
        Unfit: it is ill-formed, or something in it is laid out in a way that hangs on more than its own line.
    """
    made = _outline(routine.sheet, routine.facts, (), routine, given, None)
    if made is None:
        raise Unfit("the sheet is ill-formed")
    return made


def laid_anew(
    sheet: Sheet, found: tuple[Diagnostic, ...], like: Routine, given: frozenset[Standing], origins: tuple[int, ...]
) -> Outline | None:
    """Return a changed sheet as slots, read as the routine that it comes from; None if it is ill-formed.  Raises as
    `outline`.

    Args:
        sheet: the sheet after changes.
        found: what the parser found in it.
        like: the routine as it was.
        given: where, in the sheet as it was, the claims stand that are given up.
        origins: for each line the one that it comes from, 0 for a new one.
    """
    facts, wrong = read(sheet, book=like.facts.book)
    return _outline(sheet, facts, (*found, *wrong), like, given, dict(enumerate(origins, 1)))


def _outline(
    sheet: Sheet,
    facts: Facts,
    found: tuple[Diagnostic, ...],
    like: Routine,
    given: frozenset[Standing],
    origins: dict[int, int] | None,
) -> Outline | None:
    registry = register(sheet)
    names = Names(sheet, facts, registry)
    dance = _Recording(sheet, facts, registry, names)
    program = dance.program()
    found = (*found, *names.findings, *dance.findings)
    if program is None or any(one.code.severity is Severity.ERROR for one in found):
        return None
    words = tuple(names.words.values())
    program = evolve(program, words=words) if like.readings == "all" else program
    there = standings(registry.claims, origins) if given else {}
    waived = frozenset(name for name, standing in there.items() if standing in given)
    program = listed(program, waived)
    routine = evolve(like, sheet=sheet, facts=facts, program=program, words=words, diagnostics=found)
    recording = dance.layout
    assert isinstance(recording, Recorded)
    build = Builder(recording, routine, waived)
    spares = tuple((tuple(map(int, spare.weights)), build.nodes(spare.body)) for spare in program.spares)
    walls = build.nodes(program.walls.body) if program.walls else ()
    places = {claim.id: slot for slot, claim in registry.slots.items()}
    return Outline(routine, program, build.nodes(program.dance), spares, walls, places, recording, build, waived)


class Builder:
    """Finds the slots of a program again; `waived` are claims whose checks are left out."""

    def __init__(self, recording: Recorded, routine: Routine, waived: frozenset[str] = frozenset()) -> None:
        self.recording, self.waived = recording, waived
        self.siblings = dict(_siblings(routine.sheet.lines))
        self._made: dict[int, Nodes] = {}
        self._keep: list[Body] = []

    def nodes(self, body: Body, swap: Swap = Swap(), *, fixed: bool = False) -> Nodes:
        """Return a body as nodes; `fixed` leaves out where something could be put in."""
        where = id(body)
        if fixed or where not in self._made:
            self._keep.append(body)
            made = tuple(self._nodes(body, fixed))
            if fixed:
                return made
            self._made[where] = made
        return self._made[where]

    def _nodes(self, body: Body, fixed: bool) -> Iterator[Node]:
        place = 0
        while place < len(body):
            number = number_of(body[place])
            if number < FIRST:
                yield from self._block(body[place], fixed)
                place += 1
                continue
            end = place
            while end < len(body) and number_of(body[end]) == number:
                end += 1
            line, around = self.recording.rows[number - FIRST]
            yield from self._row(body[place:end], line, around, fixed)
            place = end

    def _row(self, items: Body, line: Line, around: Around, fixed: bool) -> Iterator[Node]:
        """Yield a row as a slot, or as what it calls, with the points at which something can be put in."""
        first, behind = self.siblings.get(line.number, (False, False))
        if first and not fixed:
            yield Slot(line, around, point=True, ahead=True)
        start, end = 0, len(items)
        while start < end and checks(items[start]):
            start += 1
        while end > start and checks(items[end - 1]):
            end -= 1
        core = eased(items[start:end], self.waived)
        yield from self._checks(items[:start])
        if any(_calls(item) for item in core):
            for item in core:
                yield from self._block(item, fixed)
        elif core:
            steps, length = timed(core)
            bare = length is None and not any(self._checks((*items[:start], *items[end:])))
            slot = Slot(_NOWHERE if fixed else line, around, steps, bare, blank=any(map(is_blank, steps)))
            # What a row says of its length is a claim behind its steps, with a clock of its own.
            yield slot if length is None else Inner((slot, length))
        yield from self._checks(items[end:])
        if behind and not fixed:
            yield Slot(line, around, point=True)

    def _checks(self, items: Body) -> Iterator[Check]:
        """Yield the checks that are not given up."""
        yield from (one for item in items for one in checks(item) if one.claim.id not in self.waived)

    def _block(self, item: Item, fixed: bool) -> Iterator[Node]:  # noqa: C901 - a case for each kind
        match item:
            case Check() | Together():
                yield from self._checks((item,))
            case Repeat(times=times, body=body):
                yield Loop(times, self.nodes(body, fixed=fixed))
            case Timed(body=body, lasts=None):
                yield Inner(self.nodes(body, fixed=fixed))
            case Pass():
                yield self._part(item, fixed)
            case Lap(body=body):
                yield Round(self.nodes(body, fixed=fixed))
            case Forever(body=body):
                yield Endless(self.nodes(body, fixed=fixed))
            case Last(body=body):
                yield Maybe(self.nodes(body, fixed=fixed))
            case Choice() if _calls(item):
                options = tuple(tuple(self._within(option)) for option in item.options)
                claimed = item.claim is not None and item.claim.id not in self.waived
                yield Either(options, claimed, tuple(node for some in options for node in some))
            case Rest() if id(item) in self.recording.lasting:
                ticks, body = self.recording.lasting[id(item)]
                yield Lasting(ticks, body, self.nodes(body))
            case _ if fixed:
                yield Slot(_NOWHERE, Around(), eased((item,), self.waived))
            case _:
                raise Unfit("a blank stands where it is not looked at")

    def _within(self, body: Body) -> Iterator[Node]:
        """Yield an alternative: its parts as nodes, its figures as they are."""
        for item in body:
            match item:
                case Check() | Together() | Pass():
                    yield from self._block(item, False)
                case Repeat(times=int(times)) if _calls(item):
                    yield Loop(times, tuple(self._within(item.body)))
                case Timed(lasts=None):
                    yield Inner(tuple(self._within(item.body)))
                case _:
                    yield Slot(_NOWHERE, Around(), eased((item,), self.waived))

    def _part(self, item: Pass, fixed: bool) -> Part:
        short = self.recording.shorts.get(id(item.body))
        swap = self.recording.swaps.get(id(item.body), Swap())
        if short is not None:
            nodes: Nodes = (*self._checks(item.body), short)
        else:
            nodes = self.nodes(item.body, fixed=fixed)
        return Part(item.part, nodes, swap, item.lap, frozenset(keys(nodes, self)))


def keys(nodes: Nodes, build: Builder) -> Iterator[str | tuple[int, int]]:
    """Yield what stands for the lines and claims of nodes."""
    for node in nodes:
        match node:
            case Check():
                yield node.claim.id
            case Slot():
                yield node.key
            case Part():
                yield from node.keys
            case Short():
                yield from keys(build.nodes(node.body), build)
            case _:
                yield from keys(node.nodes, build)


def slots_in(nodes: Nodes) -> Iterator[Slot]:
    """Yield the slots of nodes, those of a pass that is cut left out."""
    for node in nodes:
        if isinstance(node, Slot):
            yield node
        elif not isinstance(node, Check | Short):
            yield from slots_in(node.nodes)


def number_of(item: Item) -> int:
    """Return the number under which an item is laid."""
    match item:
        case Timed() | Together():
            found = {number_of(inner) for inner in checks(item) or getattr(item, "body", ())}
            return found.pop() if len(found) == 1 else 0
        case Lap() | Last():
            return 0
        case _:
            return item.line


def _calls(item: Item) -> bool:
    """Say whether a part is called in an item."""
    if isinstance(item, Pass):
        return True
    if isinstance(item, Choice):
        return any(_calls(inner) for option in item.options for inner in option)
    return any(map(_calls, getattr(item, "body", ())))


def _siblings(lines: tuple[Line, ...]) -> Iterator[tuple[int, tuple[bool, bool]]]:
    """Yield for each row whether something can be put in right before it, and right behind it.

    Before it only where no row stands before it in its block, since behind that one it is the same place.
    """
    row_before = False
    for line in lines:
        if line.node is None:
            continue
        row = isinstance(line.node, Row | HoldRow)
        if row:
            ends = isinstance(line.node, Row) and any(
                isinstance(m, UntilMark) for o in line.node.options for m in o.marks
            )
            labelled = isinstance(line.node, Row) and line.node.section is not None
            yield line.number, (not row_before and not labelled, not ends)
        row_before = row
        yield from _siblings(line.body)
