"""Single dances on their way: where each dancer is, and what was decided to get there."""

from typing import NamedTuple

from stepcheck.model.dance import EIGHTHS, Weight
from stepcheck.model.outcome import Decision, Run


class State(NamedTuple):
    """Where one dancer is; `turn` and `clock` count from the start of the frame, `outer` is the state there."""

    weight: Weight
    facing: int
    turn: int = 0
    loose: bool = False
    clock: int = 0
    outer: "State | None" = None

    def entered(self) -> "State":
        """Return the state at the start of a pass that begins here."""
        return State(self.weight, 0, outer=self)

    def left(self) -> "State":
        """Return the state after the pass that `entered` began."""
        s = self.outer
        assert s is not None
        facing = (s.facing + self.facing) % EIGHTHS
        return State(self.weight, facing, s.turn + self.turn, s.loose or self.loose, s.clock + self.clock, s.outer)


class Way(NamedTuple):
    """The decisions so far, last first; `outer` is the way to the start of the repeat that it is in."""

    last: Decision | None = None
    before: "Way | None" = None
    outer: "Way | None" = None

    def taking(self, decision: Decision) -> "Way":
        """Return the way that goes on with `decision`."""
        return Way(decision, self, self.outer)

    def own(self) -> tuple[Decision, ...]:
        """Return the decisions since the start of the repeat."""
        out: list[Decision] = []
        way: Way | None = self
        while way is not None and way.last is not None:
            out.append(way.last)
            way = way.before
        return tuple(reversed(out))

    def closed(self, again: bool) -> "Way":
        """Return the way after one time of the repeat; `again` says that it is not the first."""
        assert self.outer is not None
        decisions, last = self.own(), self.outer.last
        if again and isinstance(last, Run) and last.decisions == decisions and self.outer.before is not None:
            return Way(Run(last.times + 1, decisions), self.outer.before, self.outer.outer)
        return self.outer.taking(Run(1, decisions))

    def decisions(self) -> tuple[Decision, ...]:
        """Return all the decisions from the start of the dance."""
        return self.own() if self.outer is None else self.outer.taking(Run(1, self.own())).decisions()


Dances = dict[State, Way]
