"""What a program holds: how far its sums can reach, both feet, blanks, and how often each body stands in it."""

from functools import lru_cache

from attrs import define, field

from stepcheck.model.claims import Check
from stepcheck.model.dance import (
    EIGHTHS,
    TICKS,
    Body,
    Choice,
    Figure,
    Gap,
    Item,
    Program,
    Repeat,
    Rest,
    Step,
    Together,
    Weight,
)
from stepcheck.model.movements import Actor
from stepcheck.proof.checks import SENTENCES

MOST_TIMES = 64  # of a repeat without a number


@define
class Census:
    """One traversal of a program, each body once.

    `turn` and `ticks` are more eighths to either side, and more time, than any sum of a script comes to; `both` says
    whether the weight can be on both feet, `blanks` whether something is to be found.  By their `id`, `uses` counts in
    how many places a body stands, and `varied` are the bodies with variations in them.
    """

    turn: int = EIGHTHS
    ticks: int = TICKS
    both: bool = False
    blanks: bool = False
    uses: dict[int, int] = field(factory=dict)
    varied: set[int] = field(factory=set)
    _choices: int = 0
    _reach: dict[int, tuple[int, int]] = field(factory=dict)

    @classmethod
    def of(cls, program: Program) -> "Census":
        """Return the census of a program."""
        made = cls()
        walls = (program.walls.body,) if program.walls else ()
        before = (body for meeting in program.meetings for body in meeting.before)
        ways = (travel.body for travel in program.travels)
        for body in (program.dance, *(spare.body for spare in program.spares), *walls, *before, *ways):
            turn, ticks = made._body(body)
            made.turn, made.ticks = max(made.turn, turn + EIGHTHS), max(made.ticks, ticks)
        for length in program.lengths:
            version = length.figure.versions[length.figure.usual]
            made.ticks = max(made.ticks, length.ticks, *(action.beat * TICKS for action in version.actions))
        begun = (*(one.weights for one in program.spares), *(one.weights for one in program.travels))
        made.both = made.both or any(Weight.BOTH in weights for weights in begun)
        return made

    def _body(self, body: Body) -> tuple[int, int]:
        self.uses[id(body)] = self.uses.get(id(body), 0) + 1
        self._choices += id(body) in self.varied
        if id(body) not in self._reach:
            turn, ticks, before = 0, 0, self._choices
            for item in body:
                more = self._item(item)
                turn, ticks = turn + more[0], ticks + more[1]
            if self._choices > before:
                self.varied.add(id(body))
            self._reach[id(body)] = turn, ticks
        return self._reach[id(body)]

    def _item(self, item: Item) -> tuple[int, int]:
        match item:
            case Step():
                turn, ticks, both = _figure(item.figure)
                self.both, self.blanks = self.both or both, self.blanks or item.blank
                return max(turn, abs(item.turn or 0)), ticks
            case Check():
                self.both = self.both or SENTENCES[item.test].both
                self.blanks = self.blanks or item.blank
                value = abs(item.value or 0)
                return (0, value) if item.test.about == "clock" else (max(EIGHTHS, value), 0)
            case Together():
                sizes = [self._item(check) for check in item.checks]
            case Rest():
                return 0, item.ticks
            case Gap():
                self.both = self.blanks = True
                return EIGHTHS, item.ticks
            case Choice():
                self._choices += 1
                sizes = [self._body(option) for option in item.options]
            case Repeat():
                self.blanks = self.blanks or item.times is None
                turn, ticks = self._body(item.body)
                times = MOST_TIMES if item.times is None else item.times
                return turn * times, ticks * times
            case _:
                turn, ticks = self._body(item.body)
                return turn + EIGHTHS, max(ticks, getattr(item, "lasts", None) or 0)
        return sum(size[0] for size in sizes), sum(size[1] for size in sizes)


@lru_cache(maxsize=1 << 12)
def _figure(figure: Figure) -> tuple[int, int, bool]:
    """Return how far a figure turns at most, how long it lasts, and whether it can land on both feet."""
    senses = (s for v in figure.versions for action in v.actions for s in action.movement.senses)
    both = any(sense.actor is Actor.BOTH and sense.lands for sense in senses)
    turn = max(EIGHTHS, *(abs(version.turn) for version in figure.versions))
    return turn, max(version.length for version in figure.versions), both
