"""The contract of a part, as checks at the start and at the end of each pass of it."""

from collections.abc import Iterable, Iterator

from attrs import frozen

from stepcheck.language.patch import Rewrite
from stepcheck.language.syntax import (
    At,
    FeetMark,
    FirstMark,
    FootMark,
    Length,
    Line,
    NetMark,
    PartHead,
    Piece,
    Sheet,
    SwapMark,
    TurnMark,
)
from stepcheck.model import words
from stepcheck.model.dance import EIGHTHS, TICKS, Body, Check, Claim, Item, Test, Together
from stepcheck.model.findings import Diagnostic
from stepcheck.program.claims import LineFails, Registry, finding
from stepcheck.program.cutting import CutFails
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
                before.append(foot_check(head.number, start, piece.start, swap, Test.LEAD))
                after.append(foot_check(head.number, end, piece.end, swap, Test.FOOT))
            case FootMark():
                claim = registry.at(head, piece.at)
                before.append(foot_check(head.number, claim, piece, swap, Test.LEAD))
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


def foot_check(line: int, claim: Claim, mark: FootMark, swap: Swap, test: Test) -> Check:
    """Return the check of a foot as it is in a pass; a blank foot leads."""
    if mark.both:
        return Check(line, claim, Test.BOTH, None)
    if mark.foot is None:
        return Check(line, claim, Test.LEAD, None, swap.feet)
    return Check(line, claim, test, int(mark.foot.other if swap.feet else mark.foot))


def cut_failure(line: Line, mark: FirstMark, failure: CutFails) -> LineFails:
    """Return why a line cannot be cut where it says."""
    counts = mark.ticks // TICKS
    if failure.name == "cut-splits-a-turn":
        return LineFails(
            failure.name,
            line,
            mark.at,
            f"the cut after {counts} counts falls inside a figure that turns (line {failure.line})",
            "cut where a figure ends",
            "or say on which count it turns: turn 1/2 left @2",
        )
    if failure.name == "cut-behind-a-blank":
        return LineFails(
            "mark-not-possible-here",
            line,
            mark.at,
            "where the cut falls waits on a blank",
            "state the length of the part, or fill the blank",
        )
    said = f"there are no {counts} counts to dance here"
    less = (Rewrite(f"first {other} {mark.unit}", mark.at) for other in _slipped(counts) if 0 < other < counts)
    return LineFails(failure.name, line, mark.at, said, *less, "write a smaller number")


def _slipped(number: int) -> tuple[int, ...]:
    """Return the numbers that two digits swapped, or one written too many, may have made of another."""
    text = str(number)
    shorter = (text[:at] + text[at + 1 :] for at in range(len(text)))
    return tuple(dict.fromkeys(int(one or 0) for one in (*words.swaps(text), *shorter)))


def hanging_failure(line: Line, at: At, words: Iterable[str]) -> LineFails:
    """Return the failure of a line whose length is unknown while its words may be read in any way."""
    return LineFails(
        "mark-not-possible-here",
        line,
        at,
        "how much is danced here hangs on how words are read",
        f"settle in the header how to read {' or '.join(words)}",
    )


def unknown_times(line: Line) -> LineFails:
    """Return the failure of a line that names a time of a repeat whose number of times is a blank."""
    return LineFails(
        "mark-not-possible-here",
        line,
        (0, 0),
        "how often this is danced is to be found, so no time of it can be named",
        "write the number of times",
        "or take the named times out",
    )
