"""Why a line cannot be laid out: marks where they cannot stand, cuts and times that cannot be made."""

from collections.abc import Iterable

from stepcheck.language.patch import Rewrite
from stepcheck.language.syntax import NOWHERE, At, FirstMark, Line, Option, SwapMark, TurnMark, UntilMark
from stepcheck.model import words
from stepcheck.model.dance import TICKS
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
