"""Claims of a sheet, the checks by which they are judged, and what a check asks, as data without meaning.

Which condition a test states is decided three times: by each engine and by the judge, each for itself.
"""

from enum import Enum

from attrs import frozen


class Test(Enum):
    """What a check compares: the property of a dancer that it is `about`, and how.  Behind it: what `Check.value` is.

    Facings and turns are measured from the start of the innermost `Pass` (in the dance: from the front of the room, and
    from its start), the clock from the start of the innermost `Timed` or `Pass`.
    """

    __test__ = False  # a noun of ours, not a case for pytest to collect
    LEAD = "weight", "this foot can lead: it is free, or the weight is on both"  # Foot, or None for a blank
    FOOT = "weight", "this foot is free"  # Foot
    BOTH = "weight", "the weight is on both feet"  # None
    FACING = "facing", "the facing"  # eighths, 0 to 7
    CLOCK = "clock", "the time since the start"  # ticks
    TURN = "turn", "the signed turn since the start"  # eighths
    EITHER = ("turn", "the turn since the start to either side, each dancer by herself")  # eighths: halves

    def __init__(self, about: str, _: str) -> None:
        self.about = about

    __hash__ = object.__hash__


class Kind(Enum):
    """What a claim is about; of a state that a line states, by which test it is judged."""

    LEAD = "lead foot", Test.LEAD
    FOOT = "free foot", Test.FOOT
    BOTH = "both feet", Test.BOTH
    STAND = "both feet at the start", Test.BOTH
    FACING = "facing", Test.FACING
    LENGTH = "length"
    COUNTS = "counts"
    TURN = "turn"
    NET = "net facing"
    SECTION = "section"
    ALTERNATIVES = "alternatives"
    FIGURE = "figure length"
    WALLS = "walls"
    TIME = "named time"
    SAME_WALL = "same wall"
    SAME_BEAT = "same beat"
    MIRROR = "mirror images"
    APART = "never meet"
    SPOT = "spot"

    test: Test | None

    def __new__(cls, words: str, test: Test | None = None) -> "Kind":
        """Return the member whose value is its words."""
        kind = object.__new__(cls)
        kind._value_, kind.test = words, test
        return kind

    __hash__ = object.__hash__


FIXED = {kind.value: kind for kind in (Kind.SAME_WALL, Kind.SAME_BEAT, Kind.MIRROR, Kind.APART)}
"""The claims that a sheet states in words without a value, by these words: those without a test are about groups."""


@frozen
class Claim:
    """A sentence of the sheet that can be true or false.

    `id` stays the same when other lines change.  `part` is the part or figure that it stands in, if any; `text` is the
    sentence as the sheet has it; `line` is where it stands; `time` is the occurrence that it speaks of, 0 for any.
    """

    id: str
    kind: Kind
    line: int
    text: str
    part: str = ""
    time: int = 0


@frozen
class Check:
    """A claim at one point of the dance; `feet` says whether a foot that is to be found is swapped where it stands,
    `opens` whether what the claim is about only begins here: it may fail here, but is reached at its end alone."""

    line: int
    claim: Claim
    test: Test
    value: int | None
    feet: bool = False
    opens: bool = False

    @property
    def number(self) -> int:
        """The value, where the test compares with a foot or a number."""
        assert self.value is not None
        return self.value

    @property
    def blank(self) -> bool:
        """Whether the foot that leads is to be found."""
        return self.test is Test.LEAD and self.value is None


@frozen
class Condition:
    """The values of a property that a check accepts, and the value of a dancer after it.

    Attributes:
        holds: the values for which it holds: a `Weight`, eighths, or ticks.
        then: the value with which a dancer goes on for whom it does not hold.
        settles: whether those for whom it holds go on with `then` too; else they go on as they are.
    """

    holds: tuple[int, ...]
    then: int
    settles: bool = False

    def after(self, value: int) -> int:
        """Return the value after the check of a dancer who comes with `value`, as if it had held."""
        return value if value in self.holds and not self.settles else self.then


def looking_at(*properties: str) -> frozenset[Test]:
    """Return the tests that are about one of these properties: `weight`, `facing`, `turn` or `clock`."""
    return frozenset(test for test in Test if test.about in properties)
