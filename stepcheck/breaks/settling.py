"""A claim that settles a sheet with several ways to fill its blanks: added to the sheet, it leaves one of them."""

from collections.abc import Iterator
from itertools import islice

from attrs import evolve

from stepcheck.breaks.blanks import Filling
from stepcheck.breaks.puzzle import Puzzle
from stepcheck.language.printer import print_node
from stepcheck.language.stretches import every_line
from stepcheck.language.syntax import At, Length, PartHead, TurnMark
from stepcheck.model import words
from stepcheck.model.dance import Program, Weight
from stepcheck.model.work import WorkSpent
from stepcheck.program.routine import reread
from stepcheck.walk.arrivals import Place, arrivals, measures


def settling(puzzle: Puzzle, text: str, fillings: tuple[Filling, ...]) -> str:
    """Return a claim, in words, that is true of one filling and leaves no other that does something else; or nothing.

    Args:
        puzzle: the sheet with its blanks.
        text: the sheet as the filling makes it.
        fillings: the filling.
    """
    program = reread(puzzle.routine, text).program
    for said, with_blanks, with_filling in _claims(puzzle, program, text, fillings) if program is not None else ():
        if not puzzle.trials.holds(reread(puzzle.routine, with_filling)):
            continue
        try:
            again = Puzzle(reread(puzzle.routine, with_blanks), puzzle.material, puzzle.trials.budget, puzzle)
            if sum(1 for _ in islice(again.distinct(), 2)) == 1:
                return said
        except WorkSpent:
            continue
    return ""


def _claims(puzzle: Puzzle, program: Program, text: str, fillings: tuple[Filling, ...]) -> Iterator[tuple[str, ...]]:
    """Yield claims to try, each with the sheet that makes it: with its blanks, and filled; `program` is that of the
    filled sheet."""
    source = puzzle.routine.sheet.source

    def both(number: int, new: str, behind: bool = False) -> tuple[str, ...]:
        """Return the sheet with a line in the place of one, or `behind` it: with its blanks, and filled."""
        made = []
        for one, at in ((source.text, number), (text, number + _added(fillings, number))):
            lines = one.split("\n")
            lines[at - (not behind) : at] = [new]
            made.append("\n".join(lines))
        return tuple(made)

    for blank in puzzle.blanks:
        line, raw = puzzle.lines[blank.line], source.line(blank.line)
        below = max(one.number for one in every_line((line,)))
        margin = raw[: len(raw) - len(raw.lstrip())]
        for state in _states(program, line.number + _added(fillings, line.number)):
            said = f"expect {state}"
            yield f"{said}, under line {below}", *both(below, margin + said, True)
    for head in puzzle.routine.sheet.lines:
        if isinstance(head.node, PartHead):
            where, raw = f"in the heading of {head.node.name}, line {head.number}", source.line(head.number)
            for (start, end), sharper in _sharper(head.node):
                yield f"{sharper} {where}", *both(head.number, raw[:start] + sharper + raw[end:])
            before, colon, after = raw.partition(":")
            for piece in _pieces(head.node, *_measured(program, head.node.name)):
                more = f"{piece}," if head.node.pieces else piece
                yield f"{piece} {where}", *both(head.number, f"{before}{colon} {more}{after}")


def _states(program: Program, line: int) -> list[str]:
    """Return the facing and the foot that hold after a line of the filled sheet, where they always do."""
    try:
        states = [state for one in arrivals(program, Place(line=line)) for state in one.states]
    except WorkSpent:  # nobody knows what else comes there
        return []
    walls = sorted({facing for _, facing in states})
    weights = sorted({weight for weight, _ in states})
    out = [f"facing {words.facing(walls[0])}"] if len(walls) == 1 else []
    if len(weights) == 1:
        out.append("both feet" if weights[0] is Weight.BOTH else f"{words.free(weights[0])} foot")
    return [*out, ", ".join(out)] if len(out) == 2 else out


def _measured(program: Program, part: str) -> tuple[int | None, int | None]:
    """Return how long a part of the filled sheet lasts and how far it turns, where that is always the same."""
    try:
        return measures(program, part)
    except WorkSpent:
        return None, None


def _pieces(head: PartHead, ticks: int | None, turn: int | None) -> Iterator[str]:
    """Yield the length and the turn of a part that its contract does not state."""
    kinds = {type(piece) for piece in head.pieces}
    if TurnMark not in kinds and turn is not None:
        yield _said(TurnMark.of(turn))
    if Length not in kinds and ticks is not None:
        yield print_node(Length(ticks))


def _sharper(head: PartHead) -> Iterator[tuple[At, str]]:
    """Yield the turns of a contract that have no side, with a side, each with its place."""
    for piece in head.pieces:
        if isinstance(piece, TurnMark) and piece.eighths and not piece.side:
            for side in (1, -1):
                yield piece.at, _said(evolve(piece, side=side))


def _said(piece: TurnMark) -> str:
    return print_node(PartHead("A", (piece,))).removeprefix("part A: ")


def _added(fillings: tuple[Filling, ...], line: int) -> int:
    """Return how many lines the fillings put in above or on a line."""
    return sum(len(one.lines) - 1 for one in fillings if one.blank.kind == "beats" and one.blank.line <= line)
