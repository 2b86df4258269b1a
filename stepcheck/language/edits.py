"""The edits of a sheet as values: another figure, count, turn or claim on a line, a line put in or taken out.

A change is made to the sheet, so to every time that the line is danced.  It names the line by its number in the sheet
as it was.
"""

from typing import ClassVar, TypeAlias

from attrs import frozen

from stepcheck.language.syntax import At, Times
from stepcheck.model.dance import Foot


@frozen
class Edit:
    """A change of one line.

    Attributes:
        kind: what is changed, by the name that costs are set for.
        line: the line, from 1.
    """

    kind: ClassVar[str]
    line: int

    def __init_subclass__(cls, kind: str = "") -> None:
        cls.kind = kind or cls.kind  # attrs makes a class a second time, with what the first one had

    @property
    def lines(self) -> frozenset[int]:
        """The lines that change: one, or the two that are exchanged."""
        return frozenset((self.line,))


@frozen
class ReplaceFigure(Edit, kind="figure"):
    """Dance another figure on a line."""

    name: str
    book: str | None = None


@frozen
class ReplaceLength(ReplaceFigure, kind="other length"):
    """Dance a figure of another length on a line."""


@frozen
class ChangeAlternative(Edit, kind="alternative"):
    """Dance another figure as alternative number `option` (from 0) of a line."""

    option: int
    name: str
    book: str | None = None


@frozen
class ReplacePart(Edit, kind="part"):
    """Dance another part on a line, or as alternative number `option` (from 0) of it."""

    name: str
    option: int = 0


@frozen
class NameSection(ReplacePart, kind="section"):
    """Dance the part that has the name of the section of the music on its line."""


@frozen
class ChangeTimes(Edit, kind="times"):
    """Dance the figure or part of a line another number of times."""

    times: int
    option: int = 0


@frozen
class ChangeTurn(Edit, kind="turn"):
    """Turn otherwise on a line: signed eighths, 0 for `no turn`, None for the figure's own."""

    turn: int | None
    option: int = 0


@frozen
class ChangeTurnTimes(Edit, kind="turn times"):
    """Let a written turn fall on other times of its repeat; None for every time."""

    times: Times | None
    option: int = 0


@frozen
class ChangeLead(Edit, kind="lead"):
    """Write another foot on a line or on a heading of counts: the one that leads."""

    foot: Foot
    option: int = 0


@frozen
class ChangeSwap(Edit, kind="swap"):
    """Dance a part as written (empty), with the `opposite foot`, or `mirrored`."""

    swap: str
    option: int = 0


@frozen
class ChangeCut(Edit, kind="cut"):
    """Cut a part or figure that is cut after another time, in ticks; None dances it whole."""

    ticks: int | None
    option: int = 0


@frozen
class CutPass(Edit, kind="restart"):
    """Cut a part that is danced whole, after a time in ticks, which is written in `unit`."""

    ticks: int
    option: int = 0
    unit: str = "counts"


@frozen
class ChangeBlock(Edit, kind="block"):
    """Dance a block another number of times, or on other times of the repeat around it."""

    times: int | Times


@frozen
class InsertLine(Edit, kind="insert"):
    """Put a line behind another and all that stands under it, or before it; it stands as deep."""

    text: str
    before: bool = False


@frozen
class InsertCall(InsertLine, kind="call"):
    """Put in what stands beside the same line elsewhere."""


@frozen
class FillCounts(InsertLine, kind="filling"):
    """Put in a figure of the routine that fills what a heading of counts, or a part, is short of."""


@frozen
class Exchange(Edit, kind="order"):
    """Let what is danced on two lines, or stands under them, change places; if `whole`, with the sections they name."""

    other: int
    whole: bool = False

    @property
    def lines(self) -> frozenset[int]:
        """The two lines."""
        return frozenset((self.line, self.other))


@frozen
class DeleteLine(Edit, kind="delete"):
    """Take out a line with all that stands under it."""


@frozen
class DeleteTwin(DeleteLine, kind="twin"):
    """Take out a line that says what the line before it says."""


@frozen
class SettleReading(Edit, kind="reading"):
    """Settle a word in the header; `line` is its line there, or the one after which it is written."""

    word: str
    reading: str
    new: bool = False


Claimed: TypeAlias = int | tuple[int, int] | Foot | None


@frozen
class ChangeClaim(Edit, kind="claim"):
    """Claim something else: the piece at `at` of a line is not what the dance does.

    `value` is a length in ticks, a turn in signed eighths, a facing in eighths, a number of walls, first and last
    count, or a foot (None for both feet); `role` tells the two feet of `left foot to left foot` apart.
    """

    at: At
    value: Claimed
    role: str = ""


@frozen
class CorrectSlip(ChangeClaim, kind="slip"):
    """Claim what is danced, where the sheet itself shows that the claim is a slip of the pen."""


@frozen
class ChangeTime(Edit, kind="time"):
    """Let the pieces of a contract that speak of one time of the part speak of another."""

    old: int
    time: int


@frozen
class ChangeMovement(Edit, kind="movement"):
    """Dance another movement as number `place` (from 0) of a figure of the sheet; none, if `form` is empty; before it,
    if it is one `more`."""

    place: int
    form: str
    more: bool = False


@frozen
class ChangeWay(Edit, kind="way"):
    """Let a line, or a figure of the sheet, go so many steps to the dancer's right and forward."""

    right: int
    forward: int
    option: int = 0


@frozen
class ChangeWait(Edit, kind="wait"):
    """Let a group wait before its line, or silence last, another time in ticks; None lets it not wait."""

    ticks: int | None


@frozen
class ChangeStart(Edit, kind="start"):
    """Let a group begin with another foot, wall or place: what its line in the header says."""

    value: str


@frozen
class ChangeMusic(Edit, kind="music"):
    """Write another length of a section of the music, in ticks: a fact, which is changed only if asked."""

    ticks: int


@frozen
class CorrectMusic(ChangeMusic, kind="section length"):
    """Write the length of a section of the music that is danced, where the rest of the sheet agrees with it."""


@frozen
class FixName(Edit, kind="name"):
    """Write another name in the place of a piece of a line, from `start` to `end` (columns from 1, exclusive)."""

    start: int
    end: int
    name: str
