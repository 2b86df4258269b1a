"""A claim that settles a sheet with several ways to fill its blanks: added to the sheet, it leaves one of them."""

from collections.abc import Callable, Iterator
from functools import partial
from itertools import islice

from attrs import evolve

from stepcheck.breaks.blanks import Filling, Spent
from stepcheck.breaks.puzzle import Puzzle
from stepcheck.language.printer import print_node
from stepcheck.language.syntax import At, Length, Line, PartHead, TurnMark
from stepcheck.model import words
from stepcheck.model.dance import Program, Weight
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
        except Spent:
            continue
    return ""


def _claims(
    puzzle: Puzzle, program: Program, text: str, fillings: tuple[Filling, ...]
) -> Iterator[tuple[str, str, str]]:
    """Yield claims to try, each with the sheet that makes it: with its blanks, and filled; `program` is that of the
    filled sheet."""
    source = puzzle.routine.sheet.source

    def both(number: int, change: Callable[[str], str]) -> tuple[str, str]:
        """Return the sheet with one line changed: with its blanks, and filled."""
        return _changed(source.text, number, change), _changed(text, number + _added(fillings, number), change)

    for blank in puzzle.blanks:
        line = puzzle.lines[blank.line]
        below, raw = _below(line), source.line(blank.line)
        margin = raw[: len(raw) - len(raw.lstrip())]
        for state in _states(program, line.number + _added(fillings, line.number)):
            said = f"expect {state}"
            yield f"{said}, under line {below}", *both(below, partial(_followed, margin + said))
    for head in puzzle.routine.sheet.lines:
        if isinstance(head.node, PartHead):
            where = f"in the heading of {head.node.name}, line {head.number}"
            for vague, sharper in _sharper(head.node):
                yield f"{sharper} {where}", *both(head.number, partial(_replaced, vague.at, sharper))
            for piece in _pieces(head.node, *measures(program, head.node.name)):
                yield f"{piece} {where}", *both(head.number, partial(_headed, head.node, piece))


def _states(program: Program, line: int) -> list[str]:
    """Return the facing and the foot that hold after a line of the filled sheet, where they always do."""
    states = [state for one in arrivals(program, Place(line=line)) for state in one.states]
    walls = sorted({facing for _, facing in states})
    weights = sorted({weight for weight, _ in states})
    out = [f"facing {words.facing(walls[0])}"] if len(walls) == 1 else []
    if len(weights) == 1:
        out.append("both feet" if weights[0] is Weight.BOTH else f"{words.free(weights[0])} foot")
    return [*out, ", ".join(out)] if len(out) == 2 else out


def _pieces(head: PartHead, ticks: int | None, turn: int | None) -> Iterator[str]:
    """Yield the length and the turn of a part that its contract does not state."""
    kinds = {type(piece) for piece in head.pieces}
    if TurnMark not in kinds and turn is not None:
        yield _said(TurnMark.of(turn))
    if Length not in kinds and ticks is not None:
        yield print_node(Length(ticks))


def _sharper(head: PartHead) -> Iterator[tuple[TurnMark, str]]:
    """Yield the turns of a contract that have no side, with a side."""
    for piece in head.pieces:
        if isinstance(piece, TurnMark) and piece.eighths and not piece.side:
            for side in (1, -1):
                yield piece, _said(evolve(piece, side=side))


def _said(piece: TurnMark) -> str:
    """Return a turn as it stands in a contract."""
    return print_node(PartHead("A", (piece,))).removeprefix("part A: ")


def _changed(text: str, number: int, change: Callable[[str], str]) -> str:
    """Return a text with a change made to one of its lines."""
    lines = text.split("\n")
    lines[number - 1] = change(lines[number - 1])
    return "\n".join(lines)


def _followed(new: str, line: str) -> str:
    """Return a line with a new one below it."""
    return f"{line}\n{new}"


def _replaced(at: At, said: str, line: str) -> str:
    """Return a line, which has no margin, with a piece of it replaced."""
    return line[: at[0]] + said + line[at[1] :]


def _headed(head: PartHead, piece: str, line: str) -> str:
    """Return the heading of a part with one more piece in its contract."""
    before, colon, after = line.partition(":")
    return f"{before}{colon} {piece}{',' if head.pieces else ''}{after}"


def _below(line: Line) -> int:
    """Return the number of the last line of a block."""
    return max([line.number, *(_below(inner) for inner in line.body)])


def _added(fillings: tuple[Filling, ...], line: int) -> int:
    """Return how many lines the fillings put in above or on a line."""
    return sum(len(one.lines) - 1 for one in fillings if one.blank.kind == "beats" and one.blank.line <= line)
