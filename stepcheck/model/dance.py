"""What a routine is, as data without meaning: feet, figures, claims and the steps of a dance.

Which foot moves, and what that does, is not settled here: two engines and a judge read these values, each in its own
way.  Lengths are in ticks (1/12 of a beat), turns and facings in eighths of a turn clockwise, facings from the front.
"""

from enum import IntEnum
from functools import lru_cache
from typing import TYPE_CHECKING, TypeAlias

from attrs import field, frozen

from stepcheck.model.claims import Check, Claim
from stepcheck.model.movements import Movement

if TYPE_CHECKING:
    from stepcheck.model.floor import Meeting, Travel

TICKS, EIGHTHS = 12, 8  # of a beat, of a turn
MOST_TIMES = 64
"""A number of times that is to be found is at most this."""


class Weight(IntEnum):
    """Where the weight is."""

    LEFT = 0
    RIGHT = 1
    BOTH = 2

    __hash__ = int.__hash__  # as that of the number that it equals; an enum's own is slow, and is met at every step


class Foot(IntEnum):
    """One foot.  Its value is that of the `Weight` on it."""

    LEFT = 0
    RIGHT = 1

    __hash__ = int.__hash__

    @property
    def other(self) -> "Foot":
        """The other foot."""
        return Foot.RIGHT if self is Foot.LEFT else Foot.LEFT


@frozen
class Action:
    """A movement in a figure.

    Attributes:
        movement: which it is.
        foot: the foot that is written on it; None where none is.
        tick: when it is made, in twelfths of a beat from a beat before the figure, so that beat 1 is tick 12.
        beat: the beat that it belongs to, from 1.
    """

    movement: Movement
    foot: Foot | None
    tick: int
    beat: int


@frozen
class Version:
    """One published meaning of a figure's name.

    Attributes:
        label: what it is called; empty where there is only one.
        actions: its movements in order.
        length: how long it is, in twelfths of a beat: the stated length where one is stated.
        turn: its own turn, in eighths for the lead that the figure is written for, left negative.
        turn_beat: the beat on which the turn is done, from 1; None where that is not known.
        sources: where it is published.
        memory: whether it is written down from memory.
        travel: how far it goes, in steps to the dancer's right and forward as she faces before it, for the lead that it
            is written for; None where nobody says.
    """

    label: str
    actions: tuple[Action, ...]
    length: int
    turn: int = 0
    turn_beat: int | None = None
    sources: tuple[str, ...] = ()
    memory: bool = False
    travel: tuple[int, int] | None = None


@frozen
class Level:
    """A level of difficulty, which means something only inside its scheme.

    Attributes:
        scheme: the scheme.
        name: the level.
    """

    scheme: str
    name: str


@frozen(eq=False)
class Figure:
    """A named row of movements, written for one lead; the other lead dances the mirror image.

    Compared by identity: a book makes each figure once.
    **Invariant:** at least one version.

    Attributes:
        name: its name.
        versions: its meanings.
        usual: the index of the one that holds where nothing settles it.
        names: its other names.
        book: the book that it is from; empty for one of a sheet's own.
        lead: the foot that it is written for.
        levels: how hard it is.
        usual_turns: turns that are usual on it, in eighths of a turn for its own lead, left negative.
        one_lead: whether custom leads it with that foot only.
        line: where it is written, in the book or the sheet, from 1.
    """

    name: str
    versions: tuple[Version, ...]
    usual: int = 0
    names: tuple[str, ...] = ()
    book: str = ""
    lead: Foot = Foot.LEFT
    levels: tuple[Level, ...] = ()
    usual_turns: tuple[int, ...] = ()
    one_lead: bool = False
    line: int = 0

    @property
    def length(self) -> int:
        """The ticks of one time, as the figure is usually read."""
        return self.versions[self.usual].length


@frozen
class Together:
    """Checks at one place: each is judged on the dancers as they come, then all are taken as true in their order."""

    checks: tuple[Check, ...]


@frozen
class Step:
    """A figure danced once, with the foot that is free.

    `turn` in eighths, as written on the line, replaces the figure's own; None leaves it.  It is done on the beat
    `turn_beat`, if the line says so.  `blank` is a turn to be found, to the other side where the step is `mirrored`;
    `place` is where in the line it stands.  `travel`, as written on the line, replaces the figure's own.
    """

    line: int
    figure: Figure
    turn: int | None = None
    blank: bool = False
    turn_beat: int | None = None
    mirrored: bool = False
    place: int = 0
    travel: tuple[int, int] | None = None


@frozen
class Rest:
    """Silence of `ticks`."""

    line: int
    ticks: int


@frozen
class Gap:
    """`ticks` of dance that are to be found, with the `feet` swapped where it stands, or all of it `mirrored`."""

    line: int
    ticks: int
    feet: bool = False
    mirrored: bool = False


@frozen
class Choice:
    """A variation: each dancer picks one of the options, afresh each time.  The claim is that they last equally long;
    None where a cut falls in them, so that they are not compared."""

    line: int
    claim: Claim | None
    options: tuple["Body", ...]


@frozen
class Repeat:
    """A body danced `times` times; None is a number to be found, which stands at `place` in the line."""

    line: int
    times: int | None
    body: "Body"
    place: int = 0


@frozen
class Timed:
    """A body with a clock of its own; it lasts `lasts` ticks where it is cut short, else as long as its clock says."""

    body: "Body"
    lasts: int | None = None


@frozen
class Pass:
    """One time through a part, from whatever wall: its facings, turns and clock count from its start.

    `time` is the occurrence that the body was laid out for, 0 for the rest.  `lap` marks a whole pass of the part that
    the claim about walls speaks of.  It lasts `lasts` ticks where it is cut short, else as long as its clock says.
    """

    line: int
    part: str
    time: int
    body: "Body"
    lap: bool = False
    lasts: int | None = None


@frozen
class Lap:
    """One time through the block that the claim about walls speaks of."""

    body: "Body"


@frozen
class Forever:
    """A body danced any whole number of times; nothing follows it."""

    line: int
    body: "Body"


@frozen
class Last:
    """The dance may end with this body instead of what follows."""

    body: "Body"


@frozen
class Lined:
    """What one line of the sheet lays; `context` is what that depends on beside the line.  No engine meets one."""

    line: int
    context: object = field(eq=False)
    body: "Body"


@frozen
class Uncut:
    """The first `ticks` of a body that is cut once its lines are changed, in a program that keeps its lines.  No engine
    meets one.

    With `music`, `body` is one lap of what goes on until the music ends, `music` ticks after the clock's start; it is
    empty where the laps differ.
    """

    line: int
    ticks: int
    body: "Body" = ()
    music: int | None = None


Item: TypeAlias = (
    Check | Together | Step | Rest | Gap | Choice | Repeat | Timed | Pass | Lap | Forever | Last | Lined | Uncut
)
Body: TypeAlias = tuple[Item, ...]


@frozen
class Spare:
    """A part that is never danced, with the weights from which it is checked."""

    weights: tuple[Weight, ...]
    body: Body


@frozen
class Walls:
    """`walls: N`, and a whole pass for its steps alone: its only checks are those of LEAD, the feet that it orders."""

    claim: Claim
    count: int
    body: Body


@frozen
class Word:
    """A movement or figure whose readings are left open.

    Attributes:
        key: its name.
        labels: what its readings are called.
        usual: the index of the one that the book has as usual.
    """

    key: str
    labels: tuple[str, ...]
    usual: int


@frozen
class Lengths:
    """The claim that a figure of the sheet lasts `ticks`."""

    claim: Claim
    figure: Figure
    ticks: int


@frozen
class Program:
    """A sheet ready to be decided: `lead` is the foot that goes first, `facing` the wall at the start.  Every claim is
    listed once, in the order of the sheet; one that no check reaches, but those that open it, is vacuous.  With
    `groups` the dance is a choice of one for each; `meetings` are in its order."""

    lead: Foot
    facing: int
    dance: Body
    claims: tuple[Claim, ...]
    spares: tuple[Spare, ...] = ()
    walls: Walls | None = None
    lengths: tuple[Lengths, ...] = ()
    words: tuple[Word, ...] = field(default=())
    groups: tuple[str, ...] = ()
    meetings: tuple["Meeting", ...] = ()
    travels: tuple["Travel", ...] = ()


@lru_cache(maxsize=1 << 16)
def key(name: str) -> str:
    """Return what two spellings of one name share: case, hyphens, apostrophes and spaces do not count."""
    return "".join(char for char in name.casefold() if char not in " -\u2010\u2011\u2013'\u2019\t")
