"""What a sheet says, line by line, as written.

A node is the meaning of one line's text or of a piece of it, so equal lines share their nodes.  `at` is its place in
the line: start and end (exclusive) in code points behind the indentation, from 0.  Only a `Line` knows where it stands
in the sheet.  Lengths are in ticks, turns and facings in eighths.
"""

from typing import TypeAlias

from attrs import field, frozen

from stepcheck.model.dance import Foot
from stepcheck.model.source import Source, Span

At: TypeAlias = tuple[int, int]
NOWHERE: At = (0, 0)
_FIELDS = "routine book lead facing tempo wait walls groups each_section level song music artist author date version"
KEYS = tuple(name.replace("_", " ") for name in _FIELDS.split())
"""The fields that every header may have; a book's words with several readings come to them."""


@frozen
class Times:
    """The times of a repeat that something happens on: the `named` ones, `every` so many, or the `last`."""

    named: tuple[int, ...] = ()
    every: int | None = None
    last: bool = False

    def covers(self, number: int, last: bool) -> bool:
        """Say whether the time of this number, from 1, is one of them; `last` says that it is the last."""
        every = self.every is not None and number % self.every == 0
        return number > 0 and (every or number in self.named or (self.last and last))


# -- pieces of lines -------------------------------------------------------------------------------------------------


@frozen
class Length:
    """`N beats` or `N counts`, perhaps for one `time` (from 1) of a part only."""

    ticks: int
    unit: str = "beats"
    time: int | None = None
    at: At = field(default=NOWHERE, eq=False)


@frozen
class FootMark:
    """`left foot`, `right foot`, `both feet`, or `? foot`: foot is None with `both` set, or None for the blank."""

    foot: Foot | None
    both: bool = False
    at: At = field(default=NOWHERE, eq=False)


@frozen
class FacingMark:
    """`facing X`; `clock` says that X was written as a time, and is printed so again."""

    facing: int
    at: At = field(default=NOWHERE, eq=False)
    clock: bool = field(default=False, eq=False)


@frozen
class TurnMark:
    """A turn: `eighths` is its size; `side` is -1 left, 1 right, 0 where none is written.

    `no turn` has 0 eighths; a blank (`turn ?`) has None.  `beat` is a count after `@`; `times` are those of the repeat
    that it falls on; `time` is the occurrence of the part that a contract speaks of.
    """

    eighths: int | None
    side: int = 0
    beat: int | None = None
    times: Times | None = None
    time: int | None = None
    at: At = field(default=NOWHERE, eq=False)

    @classmethod
    def of(cls, signed: int) -> "TurnMark":
        """Return a turn of so many signed eighths, left negative."""
        return cls(abs(signed), (signed > 0) - (signed < 0))

    @property
    def signed(self) -> int:
        """The turn in signed eighths, left negative; 0 where its size or its side is not said."""
        return self.side * (self.eighths or 0)


@frozen
class NetMark:
    """`X to Y` in a contract: two facings; `clocks` says which were written as times."""

    start: int
    end: int
    time: int | None = None
    at: At = field(default=NOWHERE, eq=False)
    clocks: tuple[bool, bool] = field(default=(False, False), eq=False)


@frozen
class FeetMark:
    """`left foot to left foot` in a contract."""

    start: FootMark
    end: FootMark
    time: int | None = None
    at: At = field(default=NOWHERE, eq=False)


@frozen
class FirstMark:
    """`first N counts`: the pass is cut there."""

    ticks: int
    unit: str = "counts"
    at: At = field(default=NOWHERE, eq=False)


@frozen
class SwapMark:
    """`opposite foot`, or `mirrored`."""

    mirrored: bool
    at: At = field(default=NOWHERE, eq=False)


@frozen
class UntilMark:
    """`until the music ends`."""

    at: At = field(default=NOWHERE, eq=False)


@frozen
class TravelMark:
    """`N steps right`, `N steps back`, `on the spot`: how far a figure goes, to the dancer's right and forward."""

    right: int
    forward: int
    at: At = field(default=NOWHERE, eq=False)


@frozen
class SpotMark:
    """`returns` to where a part began, with 0 steps; or on the whole way `within N steps` of it."""

    steps: int
    at: At = field(default=NOWHERE, eq=False)


@frozen
class StateMark:
    """`same wall` and the like: a claim without a value, in the words of `FIXED` in `model.claims`."""

    said: str
    at: At = field(default=NOWHERE, eq=False)


Mark: TypeAlias = Length | FootMark | FacingMark | TurnMark | FirstMark | SwapMark | UntilMark | TravelMark
Piece: TypeAlias = Length | TurnMark | NetMark | FeetMark | FootMark | SpotMark
State: TypeAlias = FootMark | FacingMark | StateMark


@frozen
class Option:
    """One alternative of a row: a name, perhaps with the book it is from, how many times (None for `x?`), and marks.

    `forms` are the movements where the name is written as a row of them, as in `DS DS RS RS`.
    """

    name: str
    times: int | None = 1
    book: str | None = None
    marks: tuple[Mark, ...] = ()
    at: At = field(default=NOWHERE, eq=False)
    times_at: At = field(default=NOWHERE, eq=False)
    forms: tuple["Form", ...] = field(default=(), eq=False)
    book_at: At = field(default=NOWHERE, eq=False)


@frozen
class Form:
    """A movement in a figure's row: its form as written, the foot in brackets, and the count after `@`.

    `tick` is from the figure's start (beat 1 at tick 12), `beat` the beat that the count belongs to.
    """

    form: str
    foot: Foot | None = None
    tick: int | None = None
    beat: int | None = None
    at: At = field(default=NOWHERE, eq=False)


# -- lines -----------------------------------------------------------------------------------------------------------


@frozen
class HeaderField:
    """`key: value` above the first section."""

    key: str
    value: str
    at: At = field(default=NOWHERE, eq=False)
    value_at: At = field(default=NOWHERE, eq=False)


@frozen
class MusicHead:
    """`music:`"""


@frozen
class FiguresHead:
    """`figures:`"""


@frozen
class MusicRow:
    """A section of the music and how long it is; `role` tells those apart that come from one line, which names a
    song."""

    name: str
    ticks: int
    at: At = field(default=NOWHERE, eq=False)
    role: str = field(default="", eq=False)


@frozen
class FigureRow:
    """A figure of the sheet's own: `Mill Wheel, 4 beats: DS DS RS RS`."""

    name: str
    forms: tuple[Form, ...]
    length: Length | None = None
    foot: FootMark | None = None
    turn: TurnMark | None = None
    travel: TravelMark | None = None
    at: At = field(default=NOWHERE, eq=False)


@frozen
class PartHead:
    """`part NAME: contract`."""

    name: str
    pieces: tuple[Piece, ...] = ()
    at: At = field(default=NOWHERE, eq=False)


@frozen
class DanceHead:
    """`dance:`, perhaps with the length of the whole."""

    length: Length | None = None


@frozen
class CountsHead:
    """`counts 9-16, facing 9:00:`"""

    first: int
    last: int
    unit: str = "counts"
    foot: FootMark | None = None
    facing: FacingMark | None = None
    at: At = field(default=NOWHERE, eq=False)


@frozen
class TimesHead:
    """`N times:`; None for `? times:`."""

    times: int | None
    at: At = field(default=NOWHERE, eq=False)


@frozen
class OnlyHead:
    """`2nd time only:`, `last time only:`; with `exclude`, `except last time:`."""

    times: Times
    exclude: bool = False
    at: At = field(default=NOWHERE, eq=False)


@frozen
class UntilHead:
    """`until the music ends:`"""

    at: At = field(default=NOWHERE, eq=False)


@frozen
class LabelHead:
    """A section of the music as a heading in the dance: `verse:`."""

    name: str
    at: At = field(default=NOWHERE, eq=False)


@frozen
class TogetherHead:
    """`together:`, with a line or heading for each group of the floor."""


@frozen
class ExpectRow:
    """`expect facing front, left foot`."""

    states: tuple[State, ...]


@frozen
class HoldRow:
    """`hold N beats`."""

    length: Length


@frozen
class GapRow:
    """`? N beats`."""

    length: Length


@frozen
class Row:
    """A line of dance: its alternatives, under a section of the music or for a group, which may `wait` first."""

    options: tuple[Option, ...]
    section: str | None = None
    section_at: At = field(default=NOWHERE, eq=False)
    wait: Length | None = None


Head: TypeAlias = MusicHead | FiguresHead | PartHead | DanceHead | CountsHead | TimesHead | OnlyHead | UntilHead
Node: TypeAlias = (
    Head | TogetherHead | LabelHead | HeaderField | MusicRow | FigureRow | ExpectRow | HoldRow | GapRow | Row
)


@frozen
class Line:
    """A line of the sheet with those under it; `node` is None if it is empty, a comment, or not understood (`broken`,
    kept as `text`). `note` is the text in the round brackets at its end, `comment` that after `#`."""

    number: int
    indent: int
    node: Node | None
    note: str | None = None
    comment: str | None = None
    body: tuple["Line", ...] = ()
    text: str = field(default="", eq=False)
    broken: bool = False

    def span(self, at: At | None = None) -> Span:
        """Return the place of the piece `at`, or of the whole line."""
        start, end = at if at and at != NOWHERE else (0, len(self.text.strip()))
        return Span(self.number, self.indent + start + 1, self.number, self.indent + end + 1)


@frozen
class Sheet:
    """A sheet as written: every line of it, in order and nested.

    `song` are the sections of the file that its header names, as lines that stand where it is named.
    """

    source: Source
    lines: tuple[Line, ...]
    song: tuple[Line, ...] = field(default=(), eq=False, repr=False)

    @property
    def music(self) -> tuple[tuple[Line, MusicRow], ...]:
        """The sections of the music in their order, each with its line."""
        heads = (line for line in self.lines if isinstance(line.node, MusicHead))
        rows = self.song or tuple(row for head in heads for row in head.body)
        return tuple((row, row.node) for row in rows if isinstance(row.node, MusicRow))
