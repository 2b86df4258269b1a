"""The contract of a part, as checks at the start and at the end of each pass of it, and passes cut short."""

from attrs import frozen

from stepcheck.language.syntax import FeetMark, FirstMark, FootMark, Length, Line, NetMark, PartHead, SwapMark, TurnMark
from stepcheck.model.dance import EIGHTHS, TICKS, Body, Check, Claim, Item, Test
from stepcheck.program.claims import LineFails, Registry
from stepcheck.program.cutting import CutFails, cut
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
        return Swap(not self.feet, self.turns, True)


def contract(registry: Registry, head: Line, turn: Turn, swap: Swap) -> tuple[Body, Body]:
    """Return the checks at the start and at the end of a pass.

    Args:
        registry: the claims of the sheet.
        head: the heading of the part.
        turn: which time it is that the part is danced.
        swap: how the pass differs from the part as written.
    """
    assert isinstance(head.node, PartHead)
    pieces = head.node.pieces
    special = {type(piece) for piece in pieces if getattr(piece, "time", None) == turn.time} if turn.time else set()
    before: list[Item] = []
    after: list[Item] = []
    for piece in pieces:
        time = getattr(piece, "time", None)
        if time is None and type(piece) in special or time is not None and time != turn.time:
            continue
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
                before.append(foot_check(head.number, start, piece.start, swap, Test.LEAD))
                after.append(foot_check(head.number, end, piece.end, swap, Test.FOOT))
            case FootMark():
                claim = registry.at(head, piece.at)
                before.append(foot_check(head.number, claim, piece, swap, Test.LEAD))
    return tuple(before), tuple(after)


def _turn_check(registry: Registry, head: Line, piece: TurnMark, swap: Swap) -> Check:
    claim = registry.at(head, piece.at)
    assert piece.eighths is not None
    if piece.side or not piece.eighths:
        return Check(head.number, claim, Test.TURN, turned(piece.eighths * piece.side, swap))
    return Check(head.number, claim, Test.EITHER, piece.eighths)


def turned(eighths: int, swap: Swap) -> int:
    """Return a written turn or facing as it is in a pass."""
    return -eighths if swap.turns else eighths


def foot_check(line: int, claim: Claim, mark: FootMark, swap: Swap, test: Test) -> Check:
    """Return the check of a foot as it is in a pass; a blank foot leads."""
    if mark.both:
        return Check(line, claim, Test.BOTH, None)
    if mark.foot is None:
        return Check(line, claim, Test.LEAD, None)
    return Check(line, claim, test, int(mark.foot.other if swap.feet else mark.foot))


def shortened(line: Line, body: Body, mark: FirstMark, *, last: bool = False) -> Body:
    """Return the start of a body."""
    try:
        return cut(body, mark.ticks, last=last)
    except CutFails as failure:
        name, where = failure.name, failure.line
    # Raised out here, so that what fails holds nothing of what was under way.
    counts = mark.ticks // TICKS
    if name == "cut-splits-a-turn":
        raise LineFails(
            name, line, mark.at, f"the cut after {counts} counts falls inside a figure that turns (line {where})",
            "cut where a figure ends", "or say on which count it turns: turn 1/2 left @2",
        )  # fmt: skip
    raise LineFails(name, line, mark.at, f"there are no {counts} counts to dance here", "write a smaller number")
