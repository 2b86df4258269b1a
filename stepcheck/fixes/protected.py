"""The protected lines of a repair (parts that a class knows, single lines, at least one figure), and what fails."""

from collections.abc import Iterable

from attrs import evolve

from stepcheck.books.footwork import danced
from stepcheck.fixes.slots import is_blank
from stepcheck.language.stretches import every_line
from stepcheck.language.syntax import DanceHead, FigureRow, Line, PartHead, Sheet
from stepcheck.model.dance import Program, key
from stepcheck.model.outcome import Verdict
from stepcheck.model.source import StepcheckError, each
from stepcheck.walk.effects import Algebra
from stepcheck.walk.walk import verdicts, walk


class NoSuchPart(StepcheckError, ValueError):
    """There is no part or line to be left as it is."""


def parents(sheet: Sheet) -> dict[int, int]:
    """Return for each line under another the one that it stands under."""
    return {inner.number: line.number for line in every_line(sheet.lines) for inner in line.body}


def kept_lines(sheet: Sheet, keep: Iterable[str | int]) -> frozenset[int]:
    """Return the numbers of the lines that are kept.

    Args:
        sheet: the sheet.
        keep: names of parts or of the sheet's own figures, `dance`, or numbers of lines.

    Raises:
        NoSuchPart: there is none of that name or number.
    """
    keep = each(keep)
    named: dict[str, Line] = {}
    lines = {line.number: line for line in every_line(sheet.lines)}
    for line in lines.values():
        if isinstance(line.node, PartHead | FigureRow):
            named.setdefault(key(line.node.name), line)
        elif isinstance(line.node, DanceHead):
            named.setdefault("dance", line)
    found: set[int] = set()
    for one in keep:
        if isinstance(one, str) and one.strip().isdigit():
            one = int(one)
        meant = lines.get(one) if isinstance(one, int) else named.get(key(one))
        if meant is None:
            raise NoSuchPart(f"there is no {'line' if isinstance(one, int) else 'part'} {one} to be kept")
        found.update(inner.number for inner in every_line((meant,)))
    return frozenset(found)


def failing(program: Program, algebra: Algebra | None = None) -> tuple[str, ...]:
    """Return the ids of the claims of a program that fail, as the first engine finds, in their order."""
    outcomes = walk(program, algebra=algebra)
    return tuple(one.claim for one in outcomes if one.verdict > Verdict.UNDECIDED)


def holds(program: Program, algebra: Algebra) -> bool:
    """Say whether no claim of a program fails, as the first engine finds; how they fail is not looked for."""
    worst = verdicts(program, algebra=algebra)
    return all(worst.get(one.id, Verdict.VACUOUS) <= Verdict.UNDECIDED for one in program.claims)


def dances(program: Program) -> bool:
    """Say whether the dance itself has a figure, or a blank for one; figures in parts that are never danced don't
    count."""
    return bool(danced(evolve(program, spares=(), walls=None))) or any(map(is_blank, program.dance))
