"""What is guessed for a script and stated in it, so that z3 can be asked whether it is so."""

from attrs import frozen

Stand = tuple[int, ...]
"""How a dancer stands where a pass of what goes on for ever begins: her weight, and her facing in the room, where one
is claimed (where a turn or a time of the dance is, these as well)."""


@frozen
class Guesses:
    """The guesses of one script.

    `apart` are the bodies after which dancers may differ by what they picked.  `again` are the stands with which what
    goes on for ever begins, `begun` the weights with which whole passes can begin, `refuted` the claims that are
    refuted in the dance.  `readings` are those of all open words, where these are gone through one by one.
    """

    apart: frozenset[object] = frozenset()
    again: frozenset[Stand] = frozenset()
    begun: frozenset[int] = frozenset()
    refuted: frozenset[str] = frozenset()
    readings: tuple[int, ...] | None = None
