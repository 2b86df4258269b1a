"""What is said of the whole floor: places at which groups meet, and where a pass of a part ends."""

from attrs import frozen

from stepcheck.model.claims import FIXED, Claim
from stepcheck.model.dance import Body, Program, Weight

RELATIONS = {words: kind for words, kind in FIXED.items() if kind.test is None}
"""What may hold between groups."""


TOO_LONG = ("",)
"""In the place of figures of which nobody says how far they go: there are more steps than are followed."""


@frozen
class Meeting:
    """A place of the dance at which a claim about the groups stands: `before` is what each of them dances up to it.

    For `never meet` that is for its steps alone, and `unknown` are the figures of which nobody says how far they go.
    """

    line: int
    claim: Claim
    before: tuple[Body, ...]
    unknown: tuple[str, ...] = ()


@frozen
class Travel:
    """`returns`, with 0 `steps`, or `within N steps`: of a whole pass `body` for its steps alone, from each of its
    `weights`.  `unknown` are the figures of which nobody says how far they go."""

    claim: Claim
    steps: int
    weights: tuple[Weight, ...]
    body: Body
    unknown: tuple[str, ...] = ()


def unknown(program: Program, claim: str) -> tuple[str, ...]:
    """Return the figures that a claim about places waits on; none where all ways are known."""
    places: tuple[Travel | Meeting, ...] = (*program.travels, *program.meetings)
    return tuple(dict.fromkeys(name for one in places if one.claim.id == claim for name in one.unknown))
