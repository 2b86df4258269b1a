"""What an engine hands over: verdicts, and the evidence for each."""

from enum import IntEnum
from typing import TypeAlias

from attrs import frozen

from stepcheck.model.claims import Test
from stepcheck.model.dance import Foot, Weight


class Verdict(IntEnum):
    """How a claim stands, ordered from best to worst; the worst claim is the sheet's verdict."""

    PROVED = 0
    UNDECIDED = 1
    VACUOUS = 2
    REFUTED = 3
    ILL_FORMED = 4

    __hash__ = int.__hash__  # an enum's own is slow

    @property
    def word(self) -> str:
        """The verdict as it is printed."""
        return self.name.lower().replace("_", "-")


@frozen
class Pick:
    """At the next variation, take the option with this index."""

    option: int


@frozen
class Lead:
    """At the next figure that begins with the weight on both feet and no foot named, lead with this foot."""

    foot: Foot


@frozen
class Fill:
    """At the next blank, end with this weight (None where the blank does not move it) after this change of facing.

    `turn` is in eighths, 0 to 7.
    """

    weight: Weight | None
    turn: int


@frozen
class End:
    """At the next `Last`, end the dance there (True) or go on; True also ends a repeat whose number is to be found."""

    here: bool


@frozen(cache_hash=True)  # runs stand in runs, many of them the same
class Run:
    """Within one repeat or `Forever`, these decisions for each of the next `times` times."""

    times: int
    decisions: tuple["Decision", ...]


Spot: TypeAlias = tuple[int, int, int, int]
HOME: Spot = (0, 0, 0, 0)
"""Steps from where a pass began, along 12:00, 1:30, 3:00 and 4:30 as it began; those the other way count down."""
Decision: TypeAlias = Pick | Lead | Fill | End | Run


@frozen
class Trace:
    """One dance, as the decisions that single it out, in the order in which the steps ask for them.

    Every `Repeat` takes `Run` values that add up to its times, and a `Forever` as many as there are laps, even where
    their bodies ask for nothing.  The trace ends where the claim fails for the first time, perhaps inside a `Run`.
    `start` is the weight at the beginning of spare number `spare`, None for the dance itself.  `words` gives a reading
    for each open word, by index.

    A trace about walls has `passes`: the decisions tell the dance until a lap begins with the weight `start` (nothing,
    where the dance holds no lap), and then those of each pass one such pass of `Walls.body`, for its steps alone.

    A trace about the groups dances what comes before a `meeting`: its number, and that of the group. One about where a
    pass ends dances `Travel.body` of the `travel` with this number, from the weight `start`.
    """

    decisions: tuple[Decision, ...] = ()
    spare: int | None = None
    start: Weight | None = None
    words: tuple[int, ...] = ()
    passes: tuple[tuple[Decision, ...], ...] = ()
    meeting: tuple[int, int] | None = None
    travel: int | None = None


@frozen
class Outcome:
    """The verdict on one claim.

    A refutation carries traces: one that ends where the claim fails or, where the claim is that all dances agree, two
    that differ.  `places` counts the points of the dance where it fails.  `mended` are the ids of the claims taken as
    true after they were found not to be.  `reason` says why a claim is undecided: "blank", "budget" or "travel".
    `causes` are the refuted claims because of which a refuted one, about walls or groups, is no finding of its own.
    """

    claim: str
    verdict: Verdict
    traces: tuple[Trace, ...] = ()
    places: int = 0
    mended: tuple[str, ...] = ()
    reason: str = ""
    causes: tuple[str, ...] = ()


@frozen
class Row:
    """One step of a replay.

    `tick` and `ticks` are its start, from the start of the dance, and its length; facings are those of the room.
    `turn` is the signed turn in eighths.  `times` folds steps that were danced many times alike and are not shown.
    """

    tick: int
    ticks: int
    line: int
    label: str
    lead: Foot | None
    before: Weight
    after: Weight
    facing_before: int
    facing_after: int
    times: int = 1
    turn: int = 0


@frozen
class Replay:
    """What a trace comes to.

    `line` is where the finding stands; `test`, `expected` and `found` say what was compared (for alternatives: the
    length in ticks; for walls: the change of facing of a pass, or the weight that comes to an ordered foot, and
    `begins` is the weight with which that pass begins); `parts` are the passes around the place, outermost first, as
    (name, line of the call, which time it is danced), `starts` the time and the facing at which each began; `tick` is
    the time in the dance; `group` is the one that dances it, if there are groups; `place` is where
    a pass ends that should end elsewhere, or where groups meet.
    """

    rows: tuple[Row, ...]
    line: int
    test: Test | None
    expected: int | None
    found: int
    parts: tuple[tuple[str, int, int], ...] = ()
    tick: int = 0
    starts: tuple[tuple[int, int], ...] = ()
    begins: Weight | None = None
    group: str = ""
    place: Spot | None = None
