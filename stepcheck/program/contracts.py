"""The contract of a part, as checks at the start and at the end of each pass of it."""

from collections.abc import Iterator

from attrs import evolve, frozen

from stepcheck.language.syntax import (
    FacingMark,
    FeetMark,
    FootMark,
    Length,
    Line,
    NetMark,
    PartHead,
    Piece,
    Sheet,
    State,
    SwapMark,
    TurnMark,
)
from stepcheck.model.claims import Check, Claim, Test
from stepcheck.model.dance import EIGHTHS, Body, Foot, Item, Together
from stepcheck.model.findings import Diagnostic
from stepcheck.program.claims import Registry, finding
from stepcheck.program.repeats import Turn


@frozen
class Swap:
    """How a pass differs from its part as written: feet swapped, turns swapped, facings and turns not checked."""

    feet: bool = False
    turns: bool = False
    unchecked: bool = False

    def with_mark(self, mark: SwapMark) -> "Swap":
        """Return this swap and that of a mark."""
        if mark.turns:
            return Swap(not self.feet, not self.turns, self.unchecked)
        return Swap(not self.feet, self.turns, not self.unchecked)


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
    before: list[Item] = []
    after: list[Check] = []
    for piece in pieces(head.node, turn):
        match piece:
            case Length():
                after.append(Check(head.number, registry.at(head, piece.at), Test.CLOCK, piece.ticks))
            case TurnMark() if piece.eighths is not None and not swap.unchecked:
                after.append(_turn_check(registry, head, piece, swap))
            case NetMark() if not swap.unchecked:
                value = turned(piece.end - piece.start, swap) % EIGHTHS
                after.append(Check(head.number, registry.at(head, piece.at), Test.FACING, value))
            case FeetMark():
                start, end = (registry.at(head, piece.at, role) for role in ("start", "end"))
                before.append(stated(head.number, start, piece.start, swap))
                after.append(stated(head.number, end, piece.end, swap))
            case FootMark():
                before.append(stated(head.number, registry.at(head, piece.at), piece, swap))
    after.sort(key=lambda check: _ORDER.index(check.test.about))
    return tuple(before), (Together(tuple(after)),) if len(after) > 1 else tuple(after)


def pieces(node: PartHead, turn: Turn) -> tuple[Piece, ...]:
    """Return the pieces of a contract that hold at one time; one of that time takes the place of the general one of its
    kind."""
    if not any(getattr(piece, "time", None) for piece in node.pieces):
        return node.pieces
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


def _turn_check(registry: Registry, head: Line, piece: TurnMark, swap: Swap) -> Check:
    claim = registry.at(head, piece.at)
    assert piece.eighths is not None
    if piece.side or not piece.eighths:
        return Check(head.number, claim, Test.TURN, turned(piece.eighths * piece.side, swap))
    return Check(head.number, claim, Test.EITHER, turned(piece.eighths, swap))


def turned(eighths: int, swap: Swap) -> int:
    """Return a written turn or facing as it is in a pass."""
    return -eighths if swap.turns else eighths


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
