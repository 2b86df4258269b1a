"""A routine as slots: each occurrence of a line in the dance, so that other steps can be put in its place.

The program keeps its lines for that.  Its items are followed as they are; the steps of a line that dances no part are
one slot, with points before and behind it for insertions.  A claim that is given up leaves no check.
"""

from collections.abc import Iterable, Iterator, Mapping
from itertools import takewhile
from typing import Any, TypeAlias

from attrs import evolve, frozen

from stepcheck.language.stretches import mark_of, numbered
from stepcheck.language.syntax import At, ExpectRow, GapRow, HoldRow, Line, Row, Sheet, UntilMark
from stepcheck.model.claims import Check, Claim, Kind, Test
from stepcheck.model.dance import Body, Choice, Item, Lined, Pass, Program, Timed, Together, Uncut
from stepcheck.model.findings import Diagnostic, Severity
from stepcheck.model.items import Change, Mapped, checks, every, inside, is_blank, mapped, spliced, unchecked
from stepcheck.program.claims import Registry, Swap, register
from stepcheck.program.dance import Dance
from stepcheck.program.header import Facts, read
from stepcheck.program.layout import Around, Layout
from stepcheck.program.names import Names
from stepcheck.program.routine import Routine

_NOWHERE = Line(0, 0, None)

Key: TypeAlias = Any
"""The key of a line (its number, and whether it is a point before or behind it) or of a claim (its id)."""
Standing: TypeAlias = tuple[int, Kind, int]
"""Where a claim stands: its line, its kind, and which of that kind on the line it is."""


class Unfit(Exception):
    """A sheet has something that is not laid out as slots."""


@frozen(eq=False)
class Slot:
    """The steps of one row where it is danced; the checks of its foot and facing stand around it.

    `bare` says that it has none; `blank` that something in it is to be found.  A point at which something can be put in
    has no steps; `line` is the line that it is behind (or before, with `ahead`).
    """

    line: Line
    around: Around
    core: Body = ()
    bare: bool = True
    point: bool = False
    ahead: bool = False
    blank: bool = False

    @property
    def key(self) -> tuple[int, int]:
        """The key of the line, equal in all its slots."""
        return self.line.number, (2 - self.ahead) * self.point


Node: TypeAlias = Slot | Item
Nodes: TypeAlias = tuple[Node, ...]


class _Open(dict[tuple[int, At, str], Claim]):
    """The claims of a sheet by where they stand; one of its own for a piece that the sheet does not have."""

    def __missing__(self, slot: tuple[int, At, str]) -> Claim:
        return Claim(f"line {slot[0]}: {slot[1]} {slot[2]}", Kind.LEAD, slot[0], "")


class Sketch:
    """A routine as slots.

    Attributes:
        routine: the routine; its program keeps its lines.
        dance: the nodes of the dance; `walls` those of a lap, `spares` those of parts that are never danced, with the
            weights to begin on.
        layout: lays lines out anew.
        places: where each claim stands: its line, the piece of it, the role in that piece.
        waived: the claims that are given up.
    """

    def __init__(self, routine: Routine, program: Program, layout: Layout, waived: frozenset[str]) -> None:
        self.routine, self.program, self.layout, self.waived = routine, without(program, waived), layout, waived
        self.places = {claim.id: slot for slot, claim in layout.registry.slots.items()}
        self.lines = numbered(routine.sheet)
        self._points = dict(_points(routine.sheet.lines))
        self._nodes: dict[int, tuple[Body, Nodes]] = {}
        self._keys: dict[int, tuple[Node, frozenset[Key]]] = {}
        self.dance = self.nodes(self.program.dance)
        self.spares = tuple((tuple(map(int, one.weights)), self.nodes(one.body)) for one in self.program.spares)
        self.walls = self.nodes(self.program.walls.body) if self.program.walls else ()

    def nodes(self, body: Body) -> Nodes:
        """Return the nodes of a body: checks, slots, and items with bodies of their own."""
        if id(body) not in self._nodes:
            self._nodes[id(body)] = body, tuple(self._found(body))
        return self._nodes[id(body)][1]

    def inside(self, node: Node) -> tuple[Nodes, ...]:
        """Return the nodes of each body in a node; a pass that is cut has those of the whole."""
        if isinstance(node, Slot):
            return ()
        return tuple(map(self.nodes, (node.body,) if isinstance(node, Uncut) else inside(node)))

    def _found(self, body: Body) -> Iterator[Node]:
        for item in body:
            match item:
                case Lined():
                    line = self.lines[item.line]
                    assert isinstance(item.context, Around)
                    if isinstance(line.node, Row | HoldRow | GapRow):
                        yield from self._row(line, item.context, item.body)
                    else:
                        yield from self._found(item.body)
                        if isinstance(line.node, ExpectRow):
                            yield Slot(line, item.context, point=True)
                case Check() | Together():
                    yield from checks(item)
                case Uncut(body=()):
                    raise Unfit("the dance goes round until the music ends, and its rounds differ")
                case _ if _opens(item):
                    yield item
                case _:
                    yield Slot(_NOWHERE, Around(), (item,))

    def _row(self, line: Line, around: Around, body: Body) -> Iterator[Node]:
        """Yield a row as a slot, or as what it calls, with the points at which something can be put in."""
        first, behind = self._points.get(line.number, (False, False))
        if first:
            yield Slot(line, around, point=True, ahead=True)
        before, core, after = parted(body)
        yield from (one for item in before for one in checks(item))
        if any(map(_calls, core)):
            yield from self._found(core)
        elif core:
            steps, length = timed(core)
            bare = length is None and len(core) == len(body)
            slot = Slot(
                line,
                around,
                steps,
                bare,
                blank=any(is_blank(one) and not isinstance(one, Check) for one in every(steps)),
            )
            if length is not None:
                # What a row says of its length is a claim behind its steps, with a clock of its own.
                (inner,) = (one for item in core for one in inside(item))
                self._nodes[id(inner)] = inner, (slot, length)
            yield slot if length is None else core[0]
        yield from (one for item in after for one in checks(item))
        if behind:
            yield Slot(line, around, point=True)

    def keys(self, node: Node) -> frozenset[Key]:
        """Return the keys of the lines and claims of a node."""
        if isinstance(node, Check):
            return frozenset((node.claim.id,))
        if isinstance(node, Slot):
            return frozenset((node.key,))
        if id(node) not in self._keys:
            found = (self.keys(one) for nodes in self.inside(node) for one in nodes)
            self._keys[id(node)] = node, frozenset().union(*found)
        return self._keys[id(node)][1]

    def slots(self, nodes: Nodes) -> Iterator[Slot]:
        """Yield the slots of nodes, those of passes that are cut left out."""
        for node in nodes:
            if isinstance(node, Slot):
                yield node
            elif not isinstance(node, Uncut):
                for inner in self.inside(node):
                    yield from self.slots(inner)

    def again(self, slot: Slot, row: Row) -> Body:
        """Return another row laid out in the place of that of a slot.

        Raises:
            LineFails: it cannot be laid out there.
        """
        return eased(self.layout.line(evolve(slot.line, node=row), slot.around), self.waived)


def swap_of(item: Pass) -> Swap:
    """Return how a pass is swapped: as the lines in it are."""
    for one in item.body:
        lines = one.body if isinstance(one, Uncut) else (one,)
        for line in lines:
            if isinstance(line, Lined) and isinstance(line.context, Around):
                return line.context.swap
    return Swap()


def sketched(routine: Routine, given: frozenset[Standing] = frozenset()) -> Sketch:
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
) -> Sketch | None:
    """Return a changed sheet as slots, read as the routine that it comes from; None if it is ill-formed.  Raises as
    `sketched`.

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
) -> Sketch | None:
    registry = register(sheet)
    registry = Registry(registry.claims, _Open(registry.slots))
    names = Names(sheet, facts, registry)
    dance = Dance(sheet, facts, registry, names, lined=True)
    program = dance.program()
    found = (*found, *names.findings, *dance.findings)
    if program is None or any(one.code.severity is Severity.ERROR for one in found):
        return None
    words = tuple(names.words.values())
    program = evolve(program, words=words) if like.readings == "all" else program
    routine = evolve(like, sheet=sheet, facts=facts, program=program, words=words, diagnostics=found)
    there = standings(registry.claims, origins) if given else {}
    waived = frozenset(name for name, standing in there.items() if standing in given)
    return Sketch(routine, program, dance.layout, waived)


# -- items -----------------------------------------------------------------------------------------------------------


def parted(body: Body) -> tuple[Body, Body, Body]:
    """Return the checks at the start of a row, its steps, and the checks at its end."""
    before = tuple(takewhile(checks, body))
    rest = body[len(before) :]
    end = len(rest) - len(tuple(takewhile(checks, reversed(rest))))
    return before, rest[:end], rest[end:]


def timed(core: Body) -> tuple[Body, Check | None]:
    """Return the steps of a row, and what it says of their length, if it does."""
    match core:
        case (Timed(body=(*steps, Check() as length)),):
            return tuple(steps), length
    return core, None


def _calls(item: Item) -> bool:
    return any(isinstance(one, Pass) for one in every((item,)))


def _opens(item: Item) -> bool:
    """Say whether the items inside an item are followed one by one."""
    match item:
        case Pass() | Uncut() | Lined() | Check() | Together():
            return True
        case Choice():
            return _calls(item)
        case Timed(lasts=int()):
            return False
    return any(_opens(inner) for body in inside(item) for inner in body)


def _points(lines: tuple[Line, ...]) -> Iterator[tuple[int, tuple[bool, bool]]]:
    """Yield for each row whether something can be put in right before it, and right behind it.

    Before it only where no row stands before it in its block, since behind that one it is the same place.
    """
    row_before = False
    for line in lines:
        if line.node is None:
            continue
        row = isinstance(line.node, Row | HoldRow)
        if row:
            ends = isinstance(line.node, Row) and any(mark_of(option, UntilMark) for option in line.node.options)
            labelled = isinstance(line.node, Row) and line.node.section is not None
            yield line.number, (not row_before and not labelled, not ends)
        row_before = row or isinstance(line.node, ExpectRow)
        yield from _points(line.body)


# -- claims that are given up ----------------------------------------------------------------------------------------

NOBODY = Claim("", Kind.ALTERNATIVES, 0, "")
"""The claim of alternatives that nobody claims to be equally long."""


def standings(claims: Iterable[Claim], origins: Mapping[int, int] | None = None) -> dict[str, Standing]:
    """Return where each claim stands, by its id.

    Args:
        claims: the claims of a sheet, in its order.
        origins: for each line of a changed sheet the line that it comes from; those of new lines are left out.
    """
    found: dict[str, Standing] = {}
    met: dict[tuple[int, Kind], int] = {}
    for claim in claims:
        line = claim.line if origins is None else origins.get(claim.line, 0)
        if line:
            number = met[line, claim.kind] = met.get((line, claim.kind), 0) + 1
            found[claim.id] = line, claim.kind, number
    return found


def _easing(waived: frozenset[str]) -> Change:
    """Return the change that leaves out the checks of some claims.

    Alternatives whose claim is given up count as long as the first of them.
    """

    def change(item: Item) -> Body:
        match item:
            case Check() | Together():
                return unchecked(item, waived)
            case Choice(claim=Claim(id=name)) if name in waived:
                return (evolve(item, claim=NOBODY),)
            case Uncut():
                return (evolve(item, body=eased(item.body, waived)),)
            case Timed(lasts=None):
                # Laps until the music ends last as long as the clock around them says.
                kept = spliced(item.body)
                clocks = (check.test is Test.CLOCK for one in kept for check in checks(one))
                return (item,) if any(clocks) or any(isinstance(one, Uncut) for one in kept) else item.body
        return (item,)

    return change


def eased(body: Body, waived: frozenset[str]) -> Body:
    """Return a body without the checks of some claims."""
    return Mapped(_easing(waived)).body(body) if waived else body


def without(program: Program, waived: frozenset[str]) -> Program:
    """Return a program that claims some things less."""
    if not waived:
        return program
    walls = program.walls if program.walls is None or program.walls.claim.id not in waived else None
    left = evolve(
        program,
        claims=tuple(claim for claim in program.claims if claim.id not in waived),
        lengths=tuple(length for length in program.lengths if length.claim.id not in waived),
        walls=walls,
    )
    return mapped(left, _easing(waived))
