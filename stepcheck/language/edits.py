"""The edits of a sheet as values: another figure, count, turn or claim on a line, a line put in or taken out.

A change is made to the sheet, so to every time that the line is danced.  It names the line by its number in the sheet
as it was.
"""

from typing import ClassVar, TypeAlias

from attrs import frozen

from stepcheck.language.syntax import At, Times
from stepcheck.model.dance import Foot


@frozen
class ReplaceFigure:
    """Dance another figure on a line."""

    kind: ClassVar[str] = "figure"
    line: int
    name: str
    book: str | None = None


@frozen
class ChangeAlternative:
    """Dance another figure as alternative number `option` (from 0) of a line."""

    kind: ClassVar[str] = "alternative"
    line: int
    option: int
    name: str
    book: str | None = None


@frozen
class ReplacePart:
    """Dance another part on a line, or as alternative number `option` (from 0) of it."""

    kind: ClassVar[str] = "part"
    line: int
    name: str
    option: int = 0


@frozen
class NameSection(ReplacePart):
    """Dance the part that has the name of the section of the music on its line."""

    kind: ClassVar[str] = "section"


@frozen
class ChangeTimes:
    """Dance the figure or part of a line another number of times."""

    kind: ClassVar[str] = "times"
    line: int
    times: int
    option: int = 0


@frozen
class ChangeTurn:
    """Turn otherwise on a line: signed eighths, 0 for `no turn`, None for the figure's own."""

    kind: ClassVar[str] = "turn"
    line: int
    turn: int | None
    option: int = 0


@frozen
class ChangeTurnTimes:
    """Let a written turn fall on other times of its repeat; None for every time."""

    kind: ClassVar[str] = "turn times"
    line: int
    times: Times | None
    option: int = 0


@frozen
class ChangeLead:
    """Write another foot on a line or on a heading of counts: the one that leads."""

    kind: ClassVar[str] = "lead"
    line: int
    foot: Foot
    option: int = 0


@frozen
class ChangeSwap:
    """Dance a part as written (empty), with the `opposite foot`, or `mirrored`."""

    kind: ClassVar[str] = "swap"
    line: int
    swap: str
    option: int = 0


@frozen
class ChangeCut:
    """Cut a part or figure that is cut after another time, in ticks; None dances it whole."""

    kind: ClassVar[str] = "cut"
    line: int
    ticks: int | None
    option: int = 0


@frozen
class CutPass:
    """Cut a part that is danced whole, after a time in ticks, which is written in `unit`."""

    kind: ClassVar[str] = "restart"
    line: int
    ticks: int
    option: int = 0
    unit: str = "counts"


@frozen
class ChangeBlock:
    """Dance a block another number of times, or on other times of the repeat around it."""

    kind: ClassVar[str] = "block"
    line: int
    times: int | Times


@frozen
class InsertLine:
    """Put a line behind another and all that stands under it, or before it; it stands as deep."""

    kind: ClassVar[str] = "insert"
    line: int
    text: str
    before: bool = False


@frozen
class InsertCall(InsertLine):
    """Put in what stands beside the same line elsewhere."""

    kind: ClassVar[str] = "call"


@frozen
class Exchange:
    """Let what is danced on two lines, or stands under them, change places; if `whole`, with the sections they name."""

    kind: ClassVar[str] = "order"
    line: int
    other: int
    whole: bool = False


@frozen
class DeleteLine:
    """Take out a line with all that stands under it."""

    kind: ClassVar[str] = "delete"
    line: int


@frozen
class DeleteTwin(DeleteLine):
    """Take out a line that says what the line before it says."""

    kind: ClassVar[str] = "twin"


@frozen
class SettleReading:
    """Settle a word in the header; `line` is its line there, or the one after which it is written."""

    kind: ClassVar[str] = "reading"
    line: int
    word: str
    reading: str
    new: bool = False


Claimed: TypeAlias = int | tuple[int, int] | Foot | None


@frozen
class ChangeClaim:
    """Claim something else: the piece at `at` of a line is not what the dance does.

    `value` is a length in ticks, a turn in signed eighths, a facing in eighths, a number of walls, first and last
    count, or a foot (None for both feet); `role` tells the two feet of `left foot to left foot` apart.
    """

    kind: ClassVar[str] = "claim"
    line: int
    at: At
    value: Claimed
    role: str = ""


@frozen
class CorrectSlip(ChangeClaim):
    """Claim what is danced, where the sheet itself shows that the claim is a slip of the pen."""

    kind: ClassVar[str] = "slip"


@frozen
class ChangeTime:
    """Let the pieces of a contract that speak of one time of the part speak of another."""

    kind: ClassVar[str] = "time"
    line: int
    old: int
    time: int


@frozen
class ChangeMovement:
    """Dance another movement as number `place` (from 0) of a figure of the sheet."""

    kind: ClassVar[str] = "movement"
    line: int
    place: int
    form: str


@frozen
class ChangeMusic:
    """Write another length of a section of the music, in ticks: a fact, which is changed only if asked."""

    kind: ClassVar[str] = "music"
    line: int
    ticks: int


@frozen
class CorrectMusic(ChangeMusic):
    """Write the length of a section of the music that is danced, where the rest of the sheet agrees with it."""

    kind: ClassVar[str] = "section length"


@frozen
class FixName:
    """Write another name in the place of a piece of a line, from `start` to `end` (columns from 1, exclusive)."""

    kind: ClassVar[str] = "name"
    line: int
    start: int
    end: int
    name: str


Edit: TypeAlias = (
    ReplaceFigure
    | ChangeAlternative
    | ReplacePart
    | NameSection
    | ChangeTimes
    | ChangeTurn
    | ChangeTurnTimes
    | ChangeLead
    | ChangeSwap
    | ChangeCut
    | CutPass
    | ChangeBlock
    | InsertLine
    | InsertCall
    | Exchange
    | DeleteLine
    | DeleteTwin
    | SettleReading
    | ChangeClaim
    | CorrectSlip
    | ChangeTime
    | ChangeMovement
    | ChangeMusic
    | CorrectMusic
    | FixName
)

KINDS = tuple(edit.kind for edit in Edit.__args__)
