"""What a figure does to the weight, as the first engine sees it: its movements one by one, and its effect."""

from collections.abc import Mapping
from itertools import product

from attrs import frozen

from stepcheck.effects import Algebra, Effect, Entry, join
from stepcheck.model import EIGHTHS, Action, Actor, Figure, Foot, Program, Sense, Step, Version, Weight


@frozen
class Impossible:
    """A movement that cannot be made, and why."""

    action: Action
    reason: str


_WORD = {Weight.LEFT: "left", Weight.RIGHT: "right", Weight.BOTH: "both"}


def _move(weight: Weight, action: Action, sense: Sense, lead: Foot, swap: bool) -> Weight | str:
    """Return the weight after one movement, or the reason why it cannot be made."""
    written = action.foot if action.foot is None or not swap else action.foot.other
    match sense.actor:
        case Actor.NOBODY:
            return weight
        case Actor.BOTH:
            return Weight.BOTH if sense.lands else weight
        case Actor.FREE:
            free = lead if weight is Weight.BOTH else Foot(1 - weight)
            foot = free if written is None else written
            if weight == foot:
                return f"the {_WORD[weight]} foot already has the weight"
            return Weight(foot) if sense.lands else Weight(foot.other)
        case Actor.SUPPORT:
            standing = lead if weight is Weight.BOTH else Foot(weight)
            foot = standing if written is None else written
            if weight == foot.other:
                return f"the {_WORD[Weight(foot)]} foot has no weight on it"
            return Weight(foot)


def dance(version: Version, lead: Foot, swap: bool, senses: Mapping[str, int]) -> Weight | Impossible:
    """Return the weight after a figure that `lead` leads, or the first movement that cannot be made.

    Args:
        version: the meaning of the figure.
        lead: the foot that leads; the weight is on the other one.
        swap: whether written feet are mirrored.
        senses: which sense of a movement holds, by its name; the usual one of any other.
    """
    weight = Weight(lead.other)
    for action in version.actions:
        movement = action.movement
        sense = movement.senses[senses.get(movement.name, movement.usual) if len(movement.senses) > 1 else 0]
        after = _move(weight, action, sense, lead, swap)
        if isinstance(after, str):
            return Impossible(action, after)
        weight = after
    return weight


def first_impossible(figure: Figure, version: int | None = None) -> tuple[Action, str] | None:
    """Return the first movement of a version of `figure` (the usual one) that cannot be made, and why, if there is one."""
    end = dance(figure.versions[figure.usual if version is None else version], figure.lead, False, {})
    return (end.action, end.reason) if isinstance(end, Impossible) else None


def is_still(version: Version, senses: Mapping[str, int]) -> bool:
    """Say whether no movement is made by a free or a supporting foot, so that nobody has to choose a lead."""
    for action in version.actions:
        movement = action.movement
        sense = movement.senses[senses.get(movement.name, movement.usual) if len(movement.senses) > 1 else 0]
        if sense.actor in (Actor.FREE, Actor.SUPPORT):
            return False
    return True


def _row(step: Step, version: Version, lead: Foot, senses: Mapping[str, int]) -> list[Entry | None]:
    """Return the entries of a step that `lead` leads."""
    swap = lead is not step.figure.lead
    end = dance(version, lead, swap, senses)
    row: list[Entry | None] = [None, None, None]
    if not isinstance(end, Impossible):
        turn = step.turn if step.turn is not None else -version.turn if swap else version.turn
        if step.blank:
            row[end] = Entry(0, (1 << EIGHTHS) - 1, version.length, version.length, 0, 0)
        else:
            row[end] = Entry(1 << turn % EIGHTHS, 0, version.length, version.length, turn, turn)
    return row


def step_effect(algebra: Algebra, step: Step, version: Version, senses: Mapping[str, int]) -> Effect:
    """Return what a step does under one meaning of its figure and of the movements in it."""
    left, right = _row(step, version, Foot.LEFT, senses), _row(step, version, Foot.RIGHT, senses)
    both = [join(one, other) for one, other in zip(left, right, strict=True)]
    if is_still(version, senses):
        both = [None, None, join(join(both[0], both[1]), both[2])]
    return algebra.effect((right, left, both), step.blank)


class Words:
    """The open words of a program, and its assignments of readings as the bits of one integer.

    Assignment number `n` gives word `i` the digit `i` of `n`, in the mixed base of the numbers of readings.
    """

    def __init__(self, program: Program) -> None:
        self.words = program.words
        self.index = {word.key: number for number, word in enumerate(program.words)}
        self.total = 1
        self._unit: list[int] = []
        for word in program.words:
            self._unit.append(self.total)
            self.total *= len(word.labels)

    @property
    def every(self) -> int:
        """All assignments."""
        return (1 << self.total) - 1

    def where(self, word: int, reading: int) -> int:
        """Return the assignments that give `word` this reading."""
        unit, count = self._unit[word], len(self.words[word].labels)
        out, width = ((1 << unit) - 1) << (unit * reading), unit * count
        while width < self.total:
            out |= out << width
            width *= 2
        return out & self.every

    def readings(self, number: int) -> tuple[int, ...]:
        """Return the reading of each word under assignment `number`."""
        return tuple(number // unit % len(word.labels) for unit, word in zip(self._unit, self.words, strict=True))

    def least(self, assignments: int) -> tuple[int, ...]:
        """Return the readings of the assignment that departs from the usual ones in the fewest words, later words first."""

        def strangeness(number: int) -> tuple[int, tuple[tuple[int, int], ...]]:
            read = self.readings(number)
            odd = tuple(int(r != w.usual) for r, w in zip(read, self.words, strict=True))
            return sum(odd), tuple(zip(odd, read, strict=True))

        numbers = (n for n in range(self.total) if assignments >> n & 1)
        return self.readings(min(numbers, key=strangeness))

    def partition(self, step: Step) -> tuple[tuple[Version, dict[str, int], int], ...]:
        """Return each meaning that a step can have: its version, the senses of its movements, and the assignments."""
        figure = step.figure
        if not self.words:
            return ((figure.versions[figure.usual], {}, 1),)
        own = self.index.get(figure.name) if len(figure.versions) > 1 else None
        keys = [] if own is None else [own]
        for version in figure.versions:
            for action in version.actions:
                number = self.index.get(action.movement.name)
                if number is not None and len(action.movement.senses) > 1 and number not in keys:
                    keys.append(number)
        out = []
        for combination in product(*(range(len(self.words[number].labels)) for number in keys)):
            chosen = dict(zip(keys, combination, strict=True))
            bits = self.every
            for number, reading in chosen.items():
                bits &= self.where(number, reading)
            version = figure.versions[figure.usual if own is None else chosen[own]]
            senses = {self.words[number].key: reading for number, reading in chosen.items() if number != own}
            out.append((version, senses, bits))
        return tuple(out)
