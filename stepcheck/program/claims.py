"""The claims of a sheet, each with an id that stays when other lines change, and the contract of a part as checks."""

import re
from collections.abc import Iterable, Iterator

from attrs import evolve, frozen

from stepcheck.language.patch import Rewrite, hints
from stepcheck.language.syntax import (
    NOWHERE,
    At,
    CountsHead,
    DanceHead,
    ExpectRow,
    FacingMark,
    FeetMark,
    FigureRow,
    FootMark,
    HeaderField,
    Length,
    Line,
    Mark,
    MusicRow,
    NetMark,
    OnlyHead,
    PartHead,
    Piece,
    Row,
    Sheet,
    SpotMark,
    State,
    StateMark,
    SwapMark,
    TurnMark,
)
from stepcheck.model.claims import FIXED, Check, Claim, Kind, Test
from stepcheck.model.dance import EIGHTHS, Body, Choice, Foot, Gap, Item, Rest, Step, Together, Uncut, Weight, key
from stepcheck.model.findings import CODES, Diagnostic
from stepcheck.model.floor import RELATIONS
from stepcheck.program.repeats import Turn, told

Slot = tuple[int, At, str]


class LineFails(Exception):
    """A line cannot be laid out: the name of a code, the place in the line, why, and what to do."""

    def __init__(self, code: str, line: Line, at: At, message: str, *hints: str | Rewrite) -> None:
        self.code, self.line, self.at, self.message, self.hints = code, line, at, message, hints

    def finding(self, sheet: Sheet) -> Diagnostic:
        """Return the finding that says so."""
        return finding(sheet, self.code, self.line, self.at, self.message, *self.hints)


@frozen
class Registry:
    """The claims of a sheet in its order, and by slot: the line's number, the place in the line, and a role."""

    claims: tuple[Claim, ...]
    slots: dict[Slot, Claim]

    def at(self, line: Line | int, at: At, role: str = "") -> Claim:
        """Return the claim at a line, a place in it, and a role."""
        return self.slots[line if isinstance(line, int) else line.number, at, role]


EACH_SECTION = "each section"
"""The role of a claim of the header about the groups behind each section."""
_PIECES: dict[type, Kind] = {Length: Kind.LENGTH, TurnMark: Kind.TURN, NetMark: Kind.NET, SpotMark: Kind.SPOT}


class _Clerk:
    def __init__(self, sheet: Sheet) -> None:
        self.sheet = sheet
        self.slots: dict[Slot, Claim] = {}
        self.used: dict[str, int] = {}

    def add(self, line: Line, at: At, kind: Kind, scope: str, role: str = "", time: int = 0, text: str = "") -> None:
        """Register the claim that the piece `at` of a line makes."""
        text = text or _text(line, at)
        name = f"{scope or 'dance'}: {text}".casefold()
        number = self.used[name] = self.used.get(name, 0) + 1
        unique = name if number == 1 else f"{name} #{number}"
        self.slots[line.number, at, role] = Claim(unique, kind, line.number, text, scope, time)

    def lines(self, lines: tuple[Line, ...], scope: str) -> None:  # noqa: C901 - a case for each kind
        """Register the claims of lines and of those under them."""
        for line in lines:
            node = line.node
            match node:
                case Row():
                    if node.options[0].marks or len(node.options) > 1:
                        self.row(line, node, scope)
                case HeaderField() if key(node.key) == "walls":
                    self.add(line, node.at, Kind.WALLS, "", text=f"walls: {node.value.strip()}")
                case HeaderField() if key(node.key) == "music":
                    self.lines(self.sheet.song, "")
                case HeaderField() if key(node.key) == key(EACH_SECTION):
                    for said, at in pieces(node):
                        if said in RELATIONS:
                            self.add(line, at, RELATIONS[said], "", EACH_SECTION, text=f"each section: {said}")
                case MusicRow():
                    text = " ".join(line.text.split("#")[0].split())
                    self.add(line, node.at, Kind.SECTION, "music", node.role, text=text)
                case FigureRow() if node.length is not None:
                    self.add(line, node.length.at, Kind.FIGURE, node.name)
                case PartHead():
                    scope = node.name
                    for piece in node.pieces:
                        self.piece(line, piece, scope)
                case DanceHead():
                    scope = ""
                    if node.length is not None:
                        self.add(line, node.length.at, Kind.LENGTH, "")
                case CountsHead():
                    self.add(line, node.at, Kind.COUNTS, scope)
                    self.states(line, scope, *(mark for mark in (node.foot, node.facing) if mark is not None))
                case ExpectRow():
                    self.states(line, scope, *node.states, leads=False)
                case OnlyHead():
                    self.times(line, node.at, told(node.times), scope)
            if line.body:
                self.lines(line.body, scope)

    def piece(self, line: Line, piece: Piece, scope: str) -> None:
        """Register the claims of a piece of a contract."""
        time = getattr(piece, "time", None) or 0
        match piece:
            case FeetMark():
                start, _, end = _text(line, piece.at).partition(" to ")
                self.add(line, piece.at, _foot_kind(piece.start, True), scope, "start", time, text=start)
                self.add(line, piece.at, _foot_kind(piece.end, False), scope, "end", time, text=f"to {end}")
            case FootMark():
                self.add(line, piece.at, _foot_kind(piece, True), scope, time=time)
            case _ if not isinstance(piece, TurnMark) or piece.eighths is not None:
                self.add(line, piece.at, _PIECES[type(piece)], scope, time=time)

    def states(self, line: Line, scope: str, *marks: State, leads: bool = True) -> None:
        """Register the claims about feet, facings and what has no value."""
        for mark in marks:
            if isinstance(mark, FootMark):
                kind = _foot_kind(mark, leads)
            else:
                kind = FIXED[mark.said] if isinstance(mark, StateMark) else Kind.FACING
            self.add(line, mark.at, kind, scope)

    def row(self, line: Line, row: Row, scope: str) -> None:
        """Register the claims of a line of dance."""
        if len(row.options) > 1:
            at = (row.options[0].at[0], row.options[-1].at[1])
            self.add(line, at, Kind.ALTERNATIVES, scope, "alternatives")
        for option in row.options:
            for mark in option.marks:
                match mark:
                    case FootMark() | FacingMark():
                        self.states(line, scope, mark)
                    case Length():
                        self.add(line, mark.at, Kind.LENGTH, scope)
                    case TurnMark(times=times) if times is not None:
                        self.times(line, mark.at, told(times), scope)

    def times(self, line: Line, at: At, times: tuple[int, ...], scope: str) -> None:
        """Register that each of some times comes."""
        for time in times:
            self.add(line, at, Kind.TIME, scope, f"time {time}", time, text=f"{_text(line, at)}: time {time}")


def pieces(node: HeaderField) -> Iterator[tuple[str, At]]:
    """Yield the pieces between the commas of a field's value, in small letters, each with its place in the line."""
    for found in re.finditer(r"[^,\s](?:[^,]*[^,\s])?", node.value):
        start = node.value_at[0] + found.start()
        yield " ".join(found[0].casefold().split()), (start, start + len(found[0]))


def _text(line: Line, at: At) -> str:
    """Return a piece of a line, with single spaces."""
    return " ".join(line.text.strip()[slice(*at)].split())


def _foot_kind(mark: FootMark, leads: bool) -> Kind:
    if mark.both:
        return Kind.STAND if leads else Kind.BOTH
    return Kind.LEAD if leads or mark.foot is None else Kind.FOOT


def register(sheet: Sheet) -> Registry:
    """Return the claims of a sheet."""
    clerk = _Clerk(sheet)
    clerk.lines(sheet.lines, "")
    return Registry(tuple(clerk.slots.values()), clerk.slots)


def finding(sheet: Sheet, code: str, line: Line, at: At, message: str, *given: str | Rewrite) -> Diagnostic:
    """Return a finding about a piece of a line."""
    margin = sheet.source.line(line.number)[: line.indent]
    place = at if at != NOWHERE else (0, len(line.text.strip()))
    said = hints(given, line.number, margin, place)
    return Diagnostic(CODES[code], sheet.source.path, line.span(at), message, hints=said)


@frozen
class Swap:
    """How a pass differs from its part: its feet swapped, all of it mirrored, or facings and turns unchecked."""

    feet: bool = False
    mirrored: bool = False
    unchecked: bool = False

    def with_marks(self, marks: Iterable[Mark]) -> "Swap":
        """Return this swap and those of some marks."""
        swap = self
        for mark in marks:
            if isinstance(mark, SwapMark):
                swap = Swap(not swap.feet, swap.mirrored != mark.mirrored, swap.unchecked == mark.mirrored)
        return swap


# The order in which what is said of the end of a pass is taken as true.
_ORDER = "clock", "turn", "facing", "weight"


def contract(registry: Registry, head: Line, turn: Turn, swap: Swap) -> tuple[Body, Body]:
    """Return the checks at the start and at the end of a pass.

    Args:
        registry: the claims of the sheet.
        head: the heading of the part.
        turn: which time it is that the part is danced.
        swap: how the pass differs from the part as written.
    """
    assert isinstance(head.node, PartHead)
    number, before, after = head.number, list[Item](), list[Check]()
    for piece in _due(head.node, turn):
        match piece:
            case Length():
                after.append(Check(number, registry.at(head, piece.at), Test.CLOCK, piece.ticks))
            case TurnMark(eighths=int(eighths)) if not swap.unchecked:
                test = Test.TURN if piece.side or not eighths else Test.EITHER
                value = turned(eighths * (piece.side or 1), swap)
                after.append(Check(number, registry.at(head, piece.at), test, value))
            case NetMark() if not swap.unchecked:
                value = turned(piece.end - piece.start, swap) % EIGHTHS
                after.append(Check(number, registry.at(head, piece.at), Test.FACING, value))
            case FeetMark():
                before.append(stated(number, registry.at(head, piece.at, "start"), piece.start, swap))
                after.append(stated(number, registry.at(head, piece.at, "end"), piece.end, swap))
            case FootMark():
                before.append(stated(number, registry.at(head, piece.at), piece, swap))
    after.sort(key=lambda check: _ORDER.index(check.test.about))
    return tuple(before), (Together(tuple(after)),) if len(after) > 1 else tuple(after)


def _due(node: PartHead, turn: Turn) -> tuple[Piece, ...]:
    """Return the pieces of a contract that hold at one time: those of that time, and general ones of all other
    kinds."""
    special = {_kind(piece) for piece in node.pieces if getattr(piece, "time", None) == turn.time}
    kept = (None,), (turn.time,)
    return tuple(piece for piece in node.pieces if getattr(piece, "time", None) in kept[_kind(piece) in special])


def _kind(piece: Piece) -> type[Piece]:
    """Return the kind of a piece; all pieces about feet have one kind."""
    return FeetMark if isinstance(piece, FootMark) else type(piece)


def sideless(sheet: Sheet, head: Line) -> Iterator[Diagnostic]:
    """Yield a finding for each turn of a contract that needs a side: of less than a half, or of parts of a half."""
    assert isinstance(head.node, PartHead)
    for piece in head.node.pieces:
        if isinstance(piece, TurnMark) and piece.eighths and not piece.side and piece.eighths % (EIGHTHS // 2):
            message = "this turn may lead to either of two walls, and has no side"
            yield finding(sheet, "turn-needs-a-side", head, piece.at, message, "write left or right behind it")


def turned(eighths: int, swap: Swap) -> int:
    """Return a written turn or facing as it is in a pass."""
    return -eighths if swap.mirrored else eighths


def stated(line: int, claim: Claim, mark: State, swap: Swap) -> Check:
    """Return the check of a foot, a facing or another state as it is in a pass."""
    value = None
    match mark:
        case FacingMark():
            value = turned(mark.facing, swap) % EIGHTHS
        case FootMark(foot=Foot() as foot):
            value = int(foot.other if swap.feet else foot)
    assert claim.kind.test is not None
    check = Check(line, claim, claim.kind.test, value)
    return evolve(check, feet=swap.feet) if check.blank else check


def first_weights(body: Body, heads: frozenset[int]) -> tuple[Weight, ...]:
    """Return the possible weights before a body: by the foot that its first step names, else on either foot.

    Args:
        body: a body as laid out.
        heads: the lines of the headings of parts, whose contracts may say that a part begins on both feet.
    """
    return _ordered(body, heads) or (Weight.LEFT, Weight.RIGHT)


def _ends_counts(item: Item, line: int) -> bool:
    """Say whether an item is the check at the end of the heading of counts on a line."""
    return isinstance(item, Check) and item.claim.kind is Kind.COUNTS and item.claim.line == line


def _ordered(body: Body, heads: frozenset[int]) -> tuple[Weight, ...] | None:
    """Return the weights before the first step of a body: none if it names no foot; None if nothing is danced."""
    for number, item in enumerate(body):
        found: tuple[Weight, ...] | None = None
        match item:
            case Check(test=Test.LEAD, value=foot, claim=claim):
                # A heading's foot is that of the first line under it: it names nothing where none is danced.
                rest = body[number + 1 :]
                under = next((rest[:end] for end, one in enumerate(rest) if _ends_counts(one, claim.line)), None)
                if under is None or _ordered(under, heads) is not None:
                    return (Weight.BOTH,) if foot is None else (Weight(1 - foot),)  # from both, any foot can be found
            case Step() | Gap():
                return ()
            case Choice():
                named = {_ordered((*option, *body[number + 1 :]), heads) for option in item.options}
                return named.pop() if len(named) == 1 else ()
            case Check(test=Test.BOTH, claim=claim) if claim.kind is Kind.STAND and claim.line in heads:
                return (Weight.BOTH,)
            case Check() | Together() | Rest() | Uncut():
                continue
            case _:
                found = _ordered(item.body, heads)
        if found is not None:
            return found
    return None
