"""The lines of a sheet: all of them, its rows and parts, and those of the dance by the sections of the music and by
what repeats them."""

from collections.abc import Collection
from typing import TypeVar

from stepcheck.language.syntax import (
    DanceHead,
    ExpectRow,
    LabelHead,
    Line,
    Option,
    PartHead,
    Row,
    Sheet,
    StateMark,
    SwapMark,
    Times,
    TimesHead,
    UntilHead,
    UntilMark,
)
from stepcheck.model.dance import key
from stepcheck.model.floor import RELATIONS

M = TypeVar("M")


def groups(lines: tuple[Line, ...], most: int) -> list[tuple[str | None, tuple[Line, ...]]]:
    """Return the lines of the dance by the section that they stand in, blocks around sections danced out."""
    found: list[tuple[str | None, list[Line]]] = []
    for line in lines:
        match line.node:
            case None:
                continue
            case LabelHead(name=name):
                found.append((name, list(line.body)))
            case Row(section=str(name)):
                found.append((name, [line]))
            case TimesHead(times=int(times)) if labelled(line.body):
                for _ in range(min(times, most)):
                    found += ((name, list(inner)) for name, inner in groups(line.body, most))
            case _ if found:
                found[-1][1].append(line)
            case _:
                found.append((None, [line]))
    return [(name, tuple(inner)) for name, inner in found if inner]


def labelled(lines: tuple[Line, ...]) -> bool:
    """Say whether lines name sections of the music."""
    return any(label(line) is not None for line in every_line(lines))


def label(line: Line) -> str | None:
    """Return the section of the music that a line of the dance names."""
    if isinstance(line.node, LabelHead):
        return line.node.name
    return line.node.section if isinstance(line.node, Row) else None


def every_line(lines: tuple[Line, ...]) -> list[Line]:
    """Return lines and all that stand under them."""
    return [one for line in lines for one in (line, *every_line(line.body))]


def numbered(sheet: Sheet) -> dict[int, Line]:
    """Return the lines of a sheet by their numbers."""
    return {line.number: line for line in every_line(sheet.lines)}


def rows(lines: tuple[Line, ...]) -> list[tuple[int, Row]]:
    """Return the rows among lines and all that stand under them, each with the number of its line."""
    return [(line.number, line.node) for line in every_line(lines) if isinstance(line.node, Row)]


def parents(sheet: Sheet) -> dict[int, int]:
    """Return for each line under another the one that it stands under."""
    return {inner.number: line.number for line in every_line(sheet.lines) for inner in line.body}


def parts(sheet: Sheet) -> dict[str, PartHead]:
    """Return what the headings of the parts of a sheet say, by the keys of their names."""
    heads = (line.node for line in sheet.lines)
    return {key(head.name): head for head in heads if isinstance(head, PartHead)}


def under(sheet: Sheet, heads: Collection[int]) -> frozenset[int]:
    """Return the lines right under some headings, all by their numbers."""
    return frozenset(number for number, head in parents(sheet).items() if head in heads)


def dance_of(sheet: Sheet) -> Line:
    """Return the line that begins the dance of a well-formed sheet."""
    return next(line for line in sheet.lines if isinstance(line.node, DanceHead))


def mark_of(option: Option, kind: type[M]) -> M | None:
    """Return the first mark of a kind on an alternative; None if it has none."""
    return next((mark for mark in option.marks if isinstance(mark, kind)), None)


def opposite(option: Option) -> bool:
    """Say whether an alternative is danced with the opposite foot, its written turns as they are."""
    return any(isinstance(mark, SwapMark) and not mark.mirrored for mark in option.marks)


def block_times(sheet: Sheet) -> dict[int, int | None]:
    """Return how often the lines in repeated blocks are danced in the innermost of them, by number; None for `?`."""
    heads = ((line.node, line.body) for line in every_line(sheet.lines))
    return {one.number: node.times for node, body in heads if isinstance(node, TimesHead) for one in every_line(body)}


def relates(node: object) -> bool:
    """Say whether a line claims something about groups of dancers."""
    states = node.states if isinstance(node, ExpectRow) else ()
    return any(isinstance(one, StateMark) and one.said in RELATIONS for one in states)


def until(lines: tuple[Line, ...]) -> int | None:
    """Return the place of the line that goes on until the music ends."""
    return next((number for number, line in enumerate(lines) if goes_on(line.node)), None)


def goes_on(node: object) -> bool:
    """Say whether what is on a line, or under it, goes on until the music ends."""
    options = node.options if isinstance(node, Row) else ()
    return isinstance(node, UntilHead) or any(mark_of(option, UntilMark) for option in options)


def repeated(lines: tuple[Line, ...], inside: bool = False) -> frozenset[int]:
    """Return the numbers of the lines whose times are those of a block around them, or their own, not of a part."""
    found: set[int] = set()
    for line in lines:
        own = isinstance(line.node, Row) and any(option.times != 1 for option in line.node.options)
        if inside or own:
            found.add(line.number)
        found |= repeated(line.body, inside or isinstance(line.node, TimesHead))
    return frozenset(found)


def falls(times: Times | None, most: int) -> tuple[int, ...]:
    """Return the numbers of the times of a repeat of `most` times that `times` names; all if it is None."""
    return tuple(n for n in range(1, most + 1) if times is None or times.covers(n, n == most))
