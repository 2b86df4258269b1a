"""What an engine hands over: verdicts, and the evidence for each."""

from enum import IntEnum
from typing import TypeAlias

from attrs import frozen

from stepcheck.model import Foot, Weight


class Verdict(IntEnum):
    """How a claim stands, ordered from best to worst; the worst claim is the sheet's verdict."""

    PROVED = 0
    UNDECIDED = 1
    VACUOUS = 2
    REFUTED = 3
    ILL_FORMED = 4

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
class Passes:
    """At the next `Forever`, go round this many times before the pass in which the claim fails."""

    count: int


@frozen
class End:
    """At the next `Last`, end the dance there (True) or go on."""

    here: bool


@frozen
class Run:
    """Within one repeat, these decisions for each of the next `times` times."""

    times: int
    decisions: tuple["Decision", ...]


Decision: TypeAlias = Pick | Lead | Passes | End | Run


@frozen
class Trace:
    """One dance, as the decisions that single it out, in the order in which the steps ask for them.

    A repeat or `Forever` whose body asks for none takes none; any other takes `Run` values that add up to its times.
    `start` is the weight at the beginning of spare number `spare`, or None for the dance itself.  `words` gives a
    reading for each open word, by index.  The trace ends where the claim fails for the first time.
    """

    decisions: tuple[Decision, ...] = ()
    spare: int | None = None
    start: Weight | None = None
    words: tuple[int, ...] = ()


@frozen
class Outcome:
    """The verdict on one claim.

    A refutation carries traces: one that ends where the claim fails or, where the claim is that all dances agree, two
    that differ.  `places` counts the points of the dance where it fails.  `mended` are the ids of the claims taken as
    true after they were found not to be.  `reason` says why a claim is undecided: "blank" or "budget".
    """

    claim: str
    verdict: Verdict
    traces: tuple[Trace, ...] = ()
    places: int = 0
    mended: tuple[str, ...] = ()
    reason: str = ""
