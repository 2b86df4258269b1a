"""Where a dancer is before or after a row of figures: the foot and the wall, each perhaps left open, in words."""

from collections.abc import Iterator

from attrs import frozen

from stepcheck.model import words
from stepcheck.model.dance import EIGHTHS, Foot, Weight
from stepcheck.model.source import SearchError as SearchError
from stepcheck.model.source import require

_WALLS = {
    **{name: eighths for eighths, name in enumerate(words.WALLS)},
    **{name: eighths for eighths, name in enumerate(words.CLOCK)},
}
_FEET = {"left foot": Weight(Foot.LEFT.other), "right foot": Weight(Foot.RIGHT.other), "both feet": Weight.BOTH}
_ANY_FOOT = ("any foot", "either foot")
_ANY_WALL = ("any wall", "every wall")


@frozen
class State:
    """Where a dancer is.

    In words the foot is the free one: `left foot, front` has the weight on the right foot.

    Attributes:
        weight: where the weight is; None where that is left open.
        facing: the wall in eighths of a turn clockwise from the front, 0 to 7; None where that is left open.
    """

    weight: Weight | None = None
    facing: int | None = None

    def __str__(self) -> str:
        """The state as it is written: `left foot, front`."""
        said = [name for name, weight in _FEET.items() if weight is self.weight]
        said += [] if self.facing is None else [words.facing(self.facing)]
        return ", ".join(said) or "any"

    def each(self, lead: Foot = Foot.LEFT) -> Iterator["State"]:
        """Yield every full state that this one allows: `lead` free first, the front first and then clockwise."""
        weights = (Weight(lead.other), Weight(lead), Weight.BOTH) if self.weight is None else (self.weight,)
        facings = range(EIGHTHS) if self.facing is None else (self.facing,)
        for weight in weights:
            for facing in facings:
                yield State(weight, facing)

    def allows(self, weight: Weight, facing: int) -> bool:
        """Say whether a full state is one of these."""
        return self.weight in (None, weight) and self.facing in (None, facing)


def read(said: "str | State") -> State:
    """Return the state that words such as `left foot, front`, `both feet`, `9:00` or `any` describe.

    Raises:
        SearchError: they describe none.
    """
    if isinstance(said, State):
        return said
    require(said, str, "a state, such as `left foot, front`")
    weight: Weight | None = None
    facing: int | None = None
    for piece in said.split(","):
        name = " ".join(piece.split()).casefold().removeprefix("facing ").removeprefix("the ")
        if name in _FEET and weight is None:
            weight = _FEET[name]
        elif name in _WALLS and facing is None:
            facing = _WALLS[name]
        elif name not in (*_ANY_FOOT, *_ANY_WALL, "any"):
            raise SearchError(
                f"{piece.strip()!r} is no foot and no wall; write it like this: left foot, front"
                " (or both feet; or only a wall, such as back or 9:00; or any)"
            )
    return State(weight, facing)
