"""How far figures and edits are from one another, and how evenly something falls on the times of a repeat."""

from collections import Counter
from collections.abc import Iterator
from itertools import pairwise
from typing import NamedTuple

from attrs import evolve

from stepcheck.language import syntax
from stepcheck.language.alterations import last_line
from stepcheck.language.edits import Edit
from stepcheck.language.stretches import dance_of, every_line, falls, mark_of, numbered, rows
from stepcheck.language.syntax import Line, Option, Row, Times
from stepcheck.model.dance import TICKS, Figure, key

MOST_TIMES = 8
ENDS = ("ending", "outro", "finish", "finale")
"""The names of parts that end a dance: common practice."""
PLAIN, UNEVEN = 1, 2
"""The unevenness of a set of times of a repeat: all of its times (0), as before (1), or some of them (2)."""


def regular(times: Times, most: int) -> bool:
    """Say whether times of a repeat of `most` times, two or more, come at one distance up to the last."""
    after = falls(times, most)
    return len(after) > 1 and after == (*range(most // len(after), most + 1, most // len(after)),)


def even(times: int) -> int:
    """Return 0 for a number of times usual in music (1, 2, 4, 8, 16), else `UNEVEN`."""
    return 0 if times & (times - 1) == 0 else UNEVEN


def moves(figure: Figure | None) -> tuple[str, ...]:
    if figure is None:
        return ()
    return tuple(action.movement.name for action in figure.versions[figure.usual].actions)


def beats(figure: Figure | None) -> list[tuple[tuple[str, int], ...]]:
    """Return the movements on each beat of a figure."""
    if figure is None:
        return []
    version = figure.versions[figure.usual]
    return [
        tuple((action.movement.name, action.tick - beat * TICKS) for action in version.actions if action.beat == beat)
        for beat in range(1, version.length // TICKS + 1)
    ]


def differing(one: Figure | None, other: Figure | None) -> int:
    """Return on how many beats two figures do not dance the same."""
    here, there = beats(one), beats(other)
    return sum(a != b for a, b in zip(here, there, strict=False)) + abs(len(here) - len(there))


def apart(one: tuple[str, ...], other: tuple[str, ...]) -> int:
    """Return the edit distance of two rows of movements (insertions, deletions, replacements)."""
    before = list(range(len(other) + 1))
    for number, move in enumerate(one, 1):
        row = [number]
        for place, there in enumerate(other, 1):
            row.append(min(before[place] + 1, row[-1] + 1, before[place - 1] + (move != there)))
        before = row
    return before[-1]


def content(edit: Edit) -> object:
    """Return an edit apart from its line."""
    return (type(edit), evolve(edit, line=0))


def common(groups: list[list[Edit]]) -> Iterator[list[Edit]]:
    """Yield the changes that stand in every group, for other lines, as one for each group."""
    inside = [{content(edit): edit for edit in group} for group in groups]
    for said in inside[0]:
        if all(said in one for one in inside):
            yield [one[said] for one in inside]


class Rank(NamedTuple):
    """The rank of an edit: its distance from a teacher's first suggestion, by the rules of specs/costs.md in their
    order.

    Attributes:
        claim: 1 if the sentence is changed instead of the steps.
        shown: 0 if the sheet itself shows what was meant.
        marks: how many marks are put on lines that had none of their kind.
        new: how many things are new to the class.
        uneven: 0 if something falls on all times of a repeat alike, 2 if on some of them.
        beats: on how many beats something else is danced.
        alone: how many neighbours the line has nowhere else.
        moves: how many movements change.
        place: the place in the book, or how far a number is from the one that was written.
        turn: the size of a turn, the one to the right first.
        line: the line.
    """

    claim: int = 0
    shown: int = 1
    marks: int = 0
    new: int = 0
    uneven: int = PLAIN
    beats: int = 0
    alone: int = 0
    moves: int = 0
    place: int = 0
    turn: int = 0
    line: int = 0


def silence(line: Line) -> int:
    """Return the ticks that a line is silent for, or that a group waits before it."""
    match line.node:
        case Row(wait=syntax.Length(ticks=ticks)) | syntax.HoldRow(length=syntax.Length(ticks=ticks)):
            return ticks
    return 0


def kin(one: str, other: str) -> bool:
    """Say whether two names begin with the same word."""
    return one.split()[:1] == other.split()[:1]


def akin(one: str, other: str) -> bool:
    """Say whether one of two names is the other with some words left out."""
    fewer, more = sorted((one.casefold().split(), other.casefold().split()), key=len)
    rest = iter(more)
    return len(fewer) < len(more) and all(word in rest for word in fewer)


def said(option: Option) -> object:
    """Return the name, times and marks of an alternative, whatever their order."""
    return key(option.name), option.times, frozenset(option.marks)


def turn_of(option: Option) -> int | None:
    """Return the signed eighths that are written; None if no turn is."""
    mark = mark_of(option, syntax.TurnMark)
    return None if mark is None else mark.signed


def sides(way: tuple[int, int]) -> tuple[int, ...]:
    """Return to which sides a way goes, however far."""
    return tuple((one > 0) - (one < 0) for one in way)


class Neighbours:
    """The rows of each block in the order of the dance, a repeated row once for each time.

    `last` are the lines with which parts and headings end.
    """

    def __init__(self, sheet: syntax.Sheet) -> None:
        self.sheet = sheet
        self.lines = numbered(sheet)
        heads = (line for line in self.lines.values() if isinstance(line.node, syntax.PartHead | syntax.CountsHead))
        self.last = {under[-1][0] for head in heads if (under := rows(head.body))}
        self.parts = {
            head.number: key(head.node.name) for head in sheet.lines if isinstance(head.node, syntax.PartHead)
        }
        self.blocks = [*map(self._rows, sheet.lines), [*self.parts.items()]]

    def expected(self, line: int) -> bool:
        """Say whether something is expected right behind a line, before others."""
        bodies = ([one for one in head.body if one.node is not None] for head in self.lines.values())
        return any(
            one.number == line and isinstance(other.node, syntax.ExpectRow)
            for body in bodies
            for one, other in pairwise(body[:-1])
        )

    def joined(self, line: int, name: str, before: bool) -> tuple[int, int]:
        """Return two ranks of a part that is put in behind a line, or `before` it: how many neighbours it has nowhere
        else, and how far it is from its place.

        The place of a part that no line has danced yet is between two passes, or at the end if its name says so.
        """
        late = int(self.expected(line))
        if any(key(name) == said for block in self.blocks[:-1] for _, said in block):
            alone = (
                not self.stands([key(name)], self.names(line)[:1]) if before else self.alone(line, name, True, False)
            )
            return int(alone), late
        dance, end = [number for number, _ in self._rows(dance_of(self.sheet))], last_line(self.lines[line])
        danced = [number for number in dance if number <= end]
        if key(name) in ENDS:
            return 0, late + (before or danced != dance)
        between = not before and danced not in ([], dance) and self.names(danced[-1])[0] in self.parts.values()
        return 0, late + (not between)

    def names(self, line: int) -> list[str]:
        """Return the names of the rows of a line and of those under it."""
        return [key(row.options[0].name) for _, row in rows((self.lines[line],))]

    def twice(self, line: int, name: str) -> bool:
        """Say whether a line would name what the one beside it has danced once, which would be written `x2`."""
        return any(
            here != there and line in (here, there) and key(name) in (one, other) and often[here + there - line] == 1
            for block in self.blocks
            for often in [Counter(number for number, _ in block)]
            for (here, one), (there, other) in pairwise(block)
        )

    def _siblings(self, line: int) -> list[tuple[int, Row]]:
        """Return the rows under the heading of a line, with their numbers."""
        body = next((head.body for head in self.lines.values() if line in [one.number for one in head.body]), ())
        return [(one.number, one.node) for one in body if isinstance(one.node, Row)]

    def among_parts(self, line: int) -> bool:
        """Say whether all rows under the heading of a line have parts danced."""
        names = [name for number, _ in self._siblings(line) for name in self.names(number)]
        return {*names} <= {*self.parts.values()} and bool(names)

    def marks(self, line: int) -> set[object]:
        """Return the marks of the rows right before and behind a line."""
        pairs = (pair for pair in pairwise(self._siblings(line)) if line in [number for number, _ in pair])
        options = (option for pair in pairs for number, row in pair if number != line for option in row.options)
        return {mark for option in options for mark in option.marks}

    def stands(self, before: list[str], after: list[str]) -> bool:
        """Say whether one name stands right before another anywhere."""
        pairs = (pair for block in self.blocks for pair in pairwise(block))
        return any([one, other] == before + after for (_, one), (_, other) in pairs)

    def doubled(self, line: int, other: int) -> bool:
        """Say whether an exchange of two lines brings more lines beside one of the same name."""
        swapped = {line: self.names(other), other: self.names(line)}
        pairs = [pair for block in self.blocks for pair in pairwise(dict.fromkeys(number for number, _ in block))]

        def twice(moved: dict[int, list[str]]) -> int:
            beside = ([moved.get(number) or self.names(number) for number in pair] for pair in pairs)
            return sum(before[-1:] == after[:1] for before, after in beside)

        return twice(swapped) > twice({})

    def completes(self, line: int, times: Times) -> bool:
        """Say whether some times of a block and those of the blocks beside it cover each time of their repeat once."""
        for head in self.lines.values():
            blocks = [one for one in head.body if isinstance(one.node, syntax.OnlyHead) and not one.node.exclude]
            if isinstance(head.node, syntax.TimesHead) and len(blocks) > 1 and line in [one.number for one in blocks]:
                most = head.node.times or 0
                named = [times if one.number == line else one.node.times for one in blocks]  # type: ignore[union-attr]
                each = [number for some in named for number in falls(some, most)]  # type: ignore[arg-type]
                return sorted(each) == [*range(1, most + 1)]
        return False

    def danced(self, line: int) -> int:
        """Return how often the dance itself has the part danced in which a line stands; 0 if that is not certain."""

        def often(lines: tuple[Line, ...], name: str) -> int | None:
            total = 0
            for one in (one for one in lines if one.node is not None):
                inner, own = often(one.body, name), 0
                match one.node:
                    case Row(options=(Option(times=int(own)) as option,)) if not mark_of(option, syntax.UntilMark):
                        own *= key(option.name) == name
                    case syntax.TimesHead(times=int(times)) if inner is not None:
                        inner *= times
                    case syntax.LabelHead() | syntax.ExpectRow() | syntax.HoldRow():
                        pass
                    case _:
                        return None
                if inner is None:
                    return None
                total += own + inner
            return total

        for head in self.sheet.lines:
            if isinstance(head.node, syntax.PartHead) and self.lines[line] in every_line(head.body):
                return often(dance_of(self.sheet).body, key(head.node.name)) or 0
        return 0

    @staticmethod
    def _rows(head: Line) -> list[tuple[int, str]]:
        """Return the rows of a part or of the dance, each as often as it is danced, with their lines and names."""
        named = ((number, row.options[0]) for number, row in rows(head.body))
        return [(number, key(one.name)) for number, one in named for _ in range(min(one.times or 1, MOST_TIMES))]

    def alone(self, line: int, name: str, behind: bool = False, ends: bool = True) -> int:
        """Return how many of a figure's two neighbours on a line, or `behind` it, it has nowhere else in the sheet;
        with `ends`, the lack of one at the end of a part counts."""
        pairs: set[tuple[str, str]] = set()
        around: list[tuple[str, str]] = []
        for (here, one), (there, other) in (pair for block in self.blocks for pair in pairwise(block)):
            if behind and here == line != there:
                around += [(one, key(name)), (key(name), other)]
            elif behind or line not in (here, there):
                pairs.add((one, other))
            elif here != there:
                around.append((one, key(name)) if there == line else (key(name), other))
        return (2 if ends else len(around)) - sum(pair in pairs for pair in around)
