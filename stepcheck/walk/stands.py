"""The stands of one sample dance, and the moments of its timeline."""

from itertools import groupby

from attrs import evolve, frozen

from stepcheck.model.claims import Check
from stepcheck.model.dance import EIGHTHS, Body, Figure, Program, Weight
from stepcheck.walk.ways import State, fits, taken

UNKNOWN = -1  # a facing that a blank leaves open


@frozen
class Stand:
    """A moment of the dance.

    `weight` is where the weight is, None after a blank that nobody has filled; `facing` in eighths from the front of
    the room, not `sure` behind such a blank; `tick` the time since the dance began in ticks, `turn` the turn in signed
    eighths, both 0 at first; `part` the part, empty in the dance itself, and `wall` and `began` the facing and tick
    with which its pass began.  `front`, `turned` and `since` are facing, turn and tick at the start of what claims
    count from; `loose` says that the turn is known up to whole turns only.
    """

    weight: Weight | None
    facing: int
    tick: int = 0
    turn: int = 0
    part: str = ""
    wall: int = 0
    began: int = 0
    front: int = 0
    turned: int = 0
    since: int = 0
    loose: bool = False
    sure: bool = True

    @classmethod
    def first(cls, program: Program) -> "Stand":
        """Return the stand in which the dance of a program begins."""
        return cls(Weight(program.lead.other), program.facing, front=program.facing)

    @property
    def inside(self) -> int:
        """The ticks since the pass began."""
        return self.tick - self.began

    @property
    def wall_faced(self) -> int:
        """The facing in eighths from the front of the room, `UNKNOWN` where a blank leaves it open."""
        return self.facing if self.sure else UNKNOWN

    def fits(self, check: Check) -> bool:
        """Say whether a check holds here; none is judged where the weight is open."""
        return fits(self._state(), check, self.front)

    def taking(self, check: Check) -> "Stand":
        """Return the stand after a check, as if it had held."""
        state = taken(self._state(), check, self.front)
        return evolve(
            self,
            weight=state.weight if check.test.about == "weight" else self.weight,
            facing=(self.wall + state.facing) % EIGHTHS,
            turn=self.turned + state.turn,
            loose=state.loose,
            tick=self.since + state.clock,
            sure=self.sure or check.test.about == "facing",
        )

    def moved(self, weight: Weight | None, turn: int, ticks: int) -> "Stand":
        """Return the stand after a movement."""
        facing = (self.facing + turn) % EIGHTHS
        return evolve(self, weight=weight, facing=facing, turn=self.turn + turn, tick=self.tick + ticks)

    def _state(self) -> State:
        weight = Weight.BOTH if self.weight is None else self.weight
        facing = (self.facing - self.wall) % EIGHTHS
        return State(weight, facing, self.turn - self.turned, self.loose, self.tick - self.since)


@frozen
class Moment:
    """A stretch of a timeline: a figure danced some times in a row, or a claim that is taken as put right.

    `tick` is its start since that of the dance and `ticks` its length; `feet` has the weight before and after it, None
    where a blank leaves it open; `facings` likewise in eighths, `UNKNOWN` where they are open; `turn` in eighths, left
    negative.  It stands in the pass number `time` of `part`, both empty outside of parts, `inside` ticks after its
    start.  `others` are the first figures of the alternatives to it; `figure` is None for silence, blanks and claims.
    """

    tick: int
    ticks: int
    line: int
    label: str
    feet: tuple[Weight | None, Weight | None]
    facings: tuple[int, int]
    turn: int = 0
    part: str = ""
    time: int = 0
    times: int = 1
    others: tuple[str, ...] = ()
    put_right: bool = False
    figure: Figure | None = None
    inside: int = 0

    def after(self, last: "Moment") -> "Moment | None":
        """Return `last` danced once more, where this is the same in a row and neither turns."""
        same = (self.line, self.label, self.part, self.time) == (last.line, last.label, last.part, last.time)
        if not same or self.put_right or last.put_right or self.turn or last.turn:
            return None
        feet, facings = (last.feet[0], self.feet[1]), (last.facings[0], self.facings[1])
        return evolve(last, ticks=last.ticks + self.ticks, feet=feet, facings=facings, times=last.times + 1)


@frozen
class Timeline:
    """One dance from its start, as `moments`, and whether they are the `whole` of it.

    `endless` is the body of a repeat until the music ends with the stand at its start, None where there is none.
    """

    moments: tuple[Moment, ...] = ()
    whole: bool = True
    endless: tuple[Body, Stand] | None = None

    @property
    def passes(self) -> tuple[tuple[Moment, ...], ...]:
        """The moments, cut where a pass of a part begins or ends."""
        return tuple(tuple(some) for _, some in groupby(self.moments, lambda one: (one.part, one.time)))
