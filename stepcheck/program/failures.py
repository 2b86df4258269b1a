"""Why a line cannot be laid out: marks, cuts, times and sections that cannot be, and a dance that is too large."""

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from difflib import get_close_matches

from stepcheck.language.parser import meant_lines
from stepcheck.language.patch import MEANT, Rewrite
from stepcheck.language.stretches import every_line
from stepcheck.language.syntax import (
    NOWHERE,
    At,
    FirstMark,
    LabelHead,
    Line,
    MusicRow,
    Option,
    Row,
    SwapMark,
    TurnMark,
    UntilMark,
)
from stepcheck.model import words
from stepcheck.model.dance import TICKS, key
from stepcheck.program.claims import LineFails
from stepcheck.program.cutting import CutFails


def impossible(line: Line, at: At, message: str, *hints: str) -> LineFails:
    """Return the failure of a mark that is not possible where it stands."""
    return LineFails("mark-not-possible-here", line, at, message, *hints)


def outside_repeat(line: Line, at: At, hint: str) -> LineFails:
    """Return the failure of a named time where nothing is repeated."""
    return LineFails("time-outside-repeat", line, at, "nothing around this line is danced several times", hint)


def refuse_marks_of_figure(line: Line, option: Option) -> None:
    """Raise the failure of a figure with a mark that is said of a part, or with two turns at once."""
    for mark in option.marks:
        if isinstance(mark, SwapMark | UntilMark):
            swap = "mirrored" if isinstance(mark, SwapMark) and mark.turns else "opposite foot"
            what = "until the music ends" if isinstance(mark, UntilMark) else swap
            said = f"{what} is said of a part, not of a figure"
            raise impossible(line, mark.at, said, f"put {option.name} into a part of its own")
    turns = [mark for mark in option.marks if isinstance(mark, TurnMark)]
    if turns[1:] and not all(mark.times for mark in turns):
        raise impossible(line, turns[1].at, "one line has two turns", "keep one of them")


def refuse_marks_of_part(line: Line, option: Option, in_part: bool) -> None:
    """Raise the failure of a part with a turn, or that goes on until the music ends inside a part."""
    for mark in option.marks:
        if isinstance(mark, TurnMark):
            said = "a turn is written on a figure, not on a part"
            raise impossible(line, mark.at, said, f"write it in part {option.name}")
        if isinstance(mark, UntilMark) and in_part:
            raise impossible(line, mark.at, "only the dance goes on until the music ends", "write it under dance:")


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
        said = "where the cut falls waits on a blank"
        return impossible(line, mark.at, said, "state the length of the part, or fill the blank")
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
    said = "how much is danced here hangs on how words are read"
    return impossible(line, at, said, f"settle in the header how to read {' or '.join(words)}")


def unknown_times(line: Line) -> LineFails:
    """Return the failure of a line that names a time of a repeat whose number of times is a blank."""
    said = "how often this is danced is to be found, so no time of it can be named"
    return impossible(line, NOWHERE, said, "write the number of times", "or take the named times out")


MOST_LINES = 40_000  # laid out again, beyond twice each
MOST_ITEMS = 150_000
MOST_LEVELS = 400  # what a pass or a block counts for is about half of the calls that laying it out takes


class TooMuch(LineFails):
    """A dance is too large to be laid out: the line at which that shows, and what to do."""

    def __init__(self, line: Line, message: str, hint: str) -> None:
        super().__init__("too-many-steps", line, NOWHERE, message, hint)


class Extent:
    """The lines, items and levels that may still be laid out for a sheet of `lines` lines."""

    def __init__(self, lines: int) -> None:
        self._lines = MOST_LINES + 2 * lines
        self._items = MOST_ITEMS
        self._levels = MOST_LEVELS

    def spend(self, line: Line, lines: int, items: int = 0) -> None:
        """Count lines that are laid out, and the items laid.

        Raises:
            TooMuch: there are none left.
        """
        self._lines -= lines
        self._items -= items
        if self._lines < 0 or self._items < 0:
            what, hint = "the dance has too many different steps to lay out", "name fewer times, or split the sheet"
            raise TooMuch(line, what, hint)

    @contextmanager
    def deeper(self, line: Line, levels: int) -> Iterator[None]:
        """Lay out a body `levels` deeper in passes and blocks than the body around it.

        Raises:
            TooMuch: that is too deep.
        """
        self._levels -= levels
        if self._levels < 0:
            what = "the parts and blocks of the dance go too deep into one another"
            raise TooMuch(line, what, "call fewer parts from parts")
        try:
            yield
        finally:
            self._levels += levels


def unknown_section(head: Line, music: Sequence[tuple[Line, MusicRow]], label: str, first: Line) -> LineFails:
    """Return the failure of a section's name in the dance.

    Args:
        head: the line `dance:`.
        music: the sections of the music.
        label: the name.
        first: the first line of the dance that belongs to it.
    """
    line, at = _label(head, label, first)
    rows = {key(section.name): (row, section) for row, section in music}
    hints: list[str | Rewrite] = []
    if not rows:
        message, last = f"there is no section {label} of the music", "list the sections under a line music:"
    else:
        if key(label) in rows:
            message = f"the music has no more {label} here"
            last = "bring the dance into the order of the music, or add the section under music:"
        else:
            message = f"the music has no section {label}"
            last = f"the sections are {', '.join(node.name for _, node in rows.values())}"
        near = get_close_matches(key(label), [one for one in rows if one != key(label)])
        hints += [Rewrite(rows[one][1].name, at, MEANT) for one in near]
        for row, node in (rows[one] for one in near if not rows[one][1].role):
            instead = Rewrite(label, node.at, f"or call the section on line {row.number} {{}}")
            hints.append(instead.hint(row.number, row.text[:0].ljust(row.indent), node.at))
    if isinstance(line.node, LabelHead):  # it may be a heading of the language with one word mended
        hints += meant_lines(line.text.partition("#")[0].strip(), "dance")
    return LineFails("unknown-section", line, at, message, *hints, last)


def _label(head: Line, label: str, first: Line) -> tuple[Line, At]:
    """Return the line on which a section is named, above or on the `first` line under it, and the place."""
    if isinstance(first.node, Row) and first.node.section is not None:
        return first, first.node.section_at
    for line in every_line(head.body):
        if isinstance(line.node, LabelHead) and line.node.name == label and first in line.body:
            return line, line.node.at
    return first, NOWHERE
