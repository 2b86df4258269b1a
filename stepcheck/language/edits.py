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


@frozen
class ReplaceFigure(Edit):
    """Dance another figure on a line."""

    kind: ClassVar[str] = "figure"
    name: str
    book: str | None = None


@frozen
class ReplaceLength(ReplaceFigure):
    """Dance a figure of another length on a line."""

    kind: ClassVar[str] = "other length"


@frozen
class ChangeAlternative(Edit):
    """Dance another figure as alternative number `option` (from 0) of a line."""

    kind: ClassVar[str] = "alternative"
    option: int
    name: str
    book: str | None = None


@frozen
class ReplacePart(Edit):
    """Dance another part on a line, or as alternative number `option` (from 0) of it."""

    kind: ClassVar[str] = "part"
    name: str
    option: int = 0


@frozen
class NameSection(ReplacePart):
    """Dance the part that has the name of the section of the music on its line."""

    kind: ClassVar[str] = "section"


@frozen
class ChangeTimes(Edit):
    """Dance the figure or part of a line another number of times."""

    kind: ClassVar[str] = "times"
    times: int
    option: int = 0


@frozen
class ChangeTurn(Edit):
    """Turn otherwise on a line: signed eighths, 0 for `no turn`, None for the figure's own."""

    kind: ClassVar[str] = "turn"
    turn: int | None
    option: int = 0


@frozen
class ChangeTurnTimes(Edit):
    """Let a written turn fall on other times of its repeat; None for every time."""

    kind: ClassVar[str] = "turn times"
    times: Times | None
    option: int = 0


@frozen
class ChangeLead(Edit):
    """Write another foot on a line or on a heading of counts: the one that leads."""

    kind: ClassVar[str] = "lead"
    foot: Foot
    option: int = 0


@frozen
class ChangeSwap(Edit):
    """Dance a part as written (empty), with the `opposite foot`, or `mirrored`."""

    kind: ClassVar[str] = "swap"
    swap: str
    option: int = 0


@frozen
class ChangeCut(Edit):
    """Cut a part or figure that is cut after another time, in ticks; None dances it whole."""

    kind: ClassVar[str] = "cut"
    ticks: int | None
    option: int = 0


@frozen
class CutPass(Edit):
    """Cut a part that is danced whole, after a time in ticks, which is written in `unit`."""

    kind: ClassVar[str] = "restart"
    ticks: int
    option: int = 0
    unit: str = "counts"


@frozen
class ChangeBlock(Edit):
    """Dance a block another number of times, or on other times of the repeat around it."""

    kind: ClassVar[str] = "block"
    times: int | Times


@frozen
class InsertLine(Edit):
    """Put a line behind another and all that stands under it, or before it; it stands as deep."""

    kind: ClassVar[str] = "insert"
    text: str
    before: bool = False


@frozen
class InsertCall(InsertLine):
    """Put in what stands beside the same line elsewhere."""

    kind: ClassVar[str] = "call"


@frozen
class FillCounts(InsertLine):
    """Put in a figure of the routine that fills what a heading of counts, or a part, is short of."""

    kind: ClassVar[str] = "filling"


@frozen
class Exchange(Edit):
    """Let what is danced on two lines, or stands under them, change places; if `whole`, with the sections they name."""

    kind: ClassVar[str] = "order"
    other: int
    whole: bool = False


@frozen
class DeleteLine(Edit):
    """Take out a line with all that stands under it."""

    kind: ClassVar[str] = "delete"


@frozen
class DeleteTwin(DeleteLine):
    """Take out a line that says what the line before it says."""

    kind: ClassVar[str] = "twin"


@frozen
class SettleReading(Edit):
    """Settle a word in the header; `line` is its line there, or the one after which it is written."""

    kind: ClassVar[str] = "reading"
    word: str
    reading: str
    new: bool = False


Claimed: TypeAlias = int | tuple[int, int] | Foot | None


@frozen
class ChangeClaim(Edit):
    """Claim something else: the piece at `at` of a line is not what the dance does.

    `value` is a length in ticks, a turn in signed eighths, a facing in eighths, a number of walls, first and last
    count, or a foot (None for both feet); `role` tells the two feet of `left foot to left foot` apart.
    """

    kind: ClassVar[str] = "claim"
    at: At
    value: Claimed
    role: str = ""


@frozen
class CorrectSlip(ChangeClaim):
    """Claim what is danced, where the sheet itself shows that the claim is a slip of the pen."""

    kind: ClassVar[str] = "slip"


@frozen
class ChangeTime(Edit):
    """Let the pieces of a contract that speak of one time of the part speak of another."""

    kind: ClassVar[str] = "time"
    old: int
    time: int


@frozen
class ChangeMovement(Edit):
    """Dance another movement as number `place` (from 0) of a figure of the sheet."""

    kind: ClassVar[str] = "movement"
    place: int
    form: str


@frozen
class ChangeWay(Edit):
    """Let a line, or a figure of the sheet, go so many steps to the dancer's right and forward."""

    kind: ClassVar[str] = "way"
    right: int
    forward: int
    option: int = 0


@frozen
class ChangeWait(Edit):
    """Let a group wait before its line, or silence last, another time in ticks; None lets it not wait."""

    kind: ClassVar[str] = "wait"
    ticks: int | None


@frozen
class ChangeStart(Edit):
    """Let a group begin with another foot, wall or place: what its line in the header says."""

    kind: ClassVar[str] = "start"
    value: str


@frozen
class ChangeMusic(Edit):
    """Write another length of a section of the music, in ticks: a fact, which is changed only if asked."""

    kind: ClassVar[str] = "music"
    ticks: int


@frozen
class CorrectMusic(ChangeMusic):
    """Write the length of a section of the music that is danced, where the rest of the sheet agrees with it."""

    kind: ClassVar[str] = "section length"


@frozen
class FixName(Edit):
    """Write another name in the place of a piece of a line, from `start` to `end` (columns from 1, exclusive)."""

    kind: ClassVar[str] = "name"
    start: int
    end: int
    name: str
