"""A claim that settles a sheet with several ways to fill its blanks: added to the sheet, it leaves one of them."""

from collections.abc import Iterator
from itertools import islice

from attrs import evolve

from stepcheck.breaks.blanks import Filling, Spent
from stepcheck.breaks.puzzle import Puzzle
from stepcheck.language.printer import print_node
from stepcheck.language.syntax import At, Length, Line, PartHead, TurnMark
from stepcheck.model import words
from stepcheck.model.dance import Weight
from stepcheck.walk.arrivals import Place, arrivals, measures


def settling(puzzle: Puzzle, text: str, fillings: tuple[Filling, ...]) -> str:
    """Return a claim, in words, that is true of one filling and leaves no other that does something else; or nothing.

    Args:
        puzzle: the sheet with its blanks.
        text: the sheet as the filling makes it.
        fillings: the filling.
    """
    after = puzzle.trials.read(text)
    for said, with_blanks, with_filling in _claims(puzzle, text, fillings):
        routine = puzzle.trials.read(with_filling)
        if routine.program is None or after.program is None or not puzzle.trials.holds(routine):
            continue
        try:
            again = Puzzle(puzzle.trials.read(with_blanks), puzzle.material, puzzle.trials.budget, puzzle)
            if sum(1 for _ in islice(again.distinct(), 2)) == 1:
                return said
        except Spent:
            continue
    return ""


def _claims(puzzle: Puzzle, text: str, fillings: tuple[Filling, ...]) -> Iterator[tuple[str, str, str]]:
    """Yield claims to try, each with the sheet that makes it: with its blanks, and filled."""
    source = puzzle.routine.sheet.source
    for blank in puzzle.blanks:
        line = puzzle.lines[blank.line]
        below, raw = _below(line), source.line(blank.line)
        margin = raw[: len(raw) - len(raw.lstrip())]
        for state in _states(puzzle, text, line.number + _added(fillings, line.number)):
            said = f"expect {state}"
            there = below + _added(fillings, below)
            yield (
                f"{said}, under line {below}",
                _inserted(source.text, below, margin + said),
                _inserted(text, there, margin + said),
            )
    program = puzzle.trials.read(text).program
    for head in puzzle.routine.sheet.lines:
        if program is not None and isinstance(head.node, PartHead):
            there = head.number + _added(fillings, head.number)
            for vague, sharper in _sharper(head.node):
                yield (
                    f"{sharper} in the heading of {head.node.name}, line {head.number}",
                    _replaced(source.text, head.number, vague.at, sharper),
                    _replaced(text, there, vague.at, sharper),
                )
            for piece in _pieces(head.node, *measures(program, head.node.name)):
                yield (
                    f"{piece} in the heading of {head.node.name}, line {head.number}",
                    _headed(source.text, head.number, head.node, piece),
                    _headed(text, there, head.node, piece),
                )


def _states(puzzle: Puzzle, text: str, line: int) -> list[str]:
    """Return the facing and the foot that hold after a line of the filled sheet, where they always do."""
    program = puzzle.trials.read(text).program
    found = () if program is None else arrivals(program, Place(line=line))
    states = [state for one in found for state in one.states]
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
        yield _said(TurnMark(abs(turn), (turn > 0) - (turn < 0)))
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


def _replaced(text: str, number: int, at: At, said: str) -> str:
    """Return a text with a piece of one of its lines, which has no margin, replaced."""
    lines = text.split("\n")
    lines[number - 1] = lines[number - 1][: at[0]] + said + lines[number - 1][at[1] :]
    return "\n".join(lines)


def _below(line: Line) -> int:
    """Return the number of the last line of a block."""
    return max([line.number, *(_below(inner) for inner in line.body)])


def _added(fillings: tuple[Filling, ...], line: int) -> int:
    """Return how many lines the fillings put in above or on a line."""
    return sum(len(one.lines) - 1 for one in fillings if one.blank.kind == "beats" and one.blank.line <= line)


def _inserted(text: str, below: int, line: str) -> str:
    """Return a text with one more line."""
    lines = text.split("\n")
    return "\n".join([*lines[:below], line, *lines[below:]])


def _headed(text: str, number: int, head: PartHead, piece: str) -> str:
    """Return a text with one more piece in the contract of a part."""
    lines = text.split("\n")
    before, colon, after = lines[number - 1].partition(":")
    lines[number - 1] = f"{before}{colon} {piece}{',' if head.pieces else ''}{after}"
    return "\n".join(lines)
