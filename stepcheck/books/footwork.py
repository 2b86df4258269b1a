"""What a figure does to the weight, as the first engine sees it: its movements one by one."""

from collections.abc import Iterator, Mapping
from functools import lru_cache
from itertools import product
from types import MappingProxyType
from typing import NamedTuple

from attrs import evolve, frozen

from stepcheck.model.dance import Action, Figure, Foot, Program, Step, Version, Weight, Word
from stepcheck.model.items import every_item
from stepcheck.model.movements import Actor, Movement, Sense

MOST_ASSIGNMENTS = 1 << 16
"""How many assignments of readings are gone through one by one."""


@frozen
class Impossible:
    """A movement that cannot be made, and why."""

    action: Action
    reason: str


_FEET = tuple(Foot)
_ON = tuple(Weight)
_WORD = {Weight.LEFT: "left", Weight.RIGHT: "right", Weight.BOTH: "both"}


def _sense(movement: Movement, senses: Mapping[str, int]) -> Sense:
    return movement.senses[senses.get(movement.name, movement.usual) if len(movement.senses) > 1 else 0]


def _move(weight: Weight, action: Action, sense: Sense, lead: Foot, swap: bool) -> tuple[Foot, Weight | str]:
    """Return the foot that makes one movement, and the weight after it, or the reason why it cannot be made.

    Of what both feet make, or nobody, the foot says nothing.
    """
    written = action.foot if action.foot is None or not swap else action.foot.other
    match sense.actor:
        case Actor.NOBODY:
            return lead, weight
        case Actor.BOTH:
            return lead, Weight.BOTH if sense.lands else weight
        case Actor.FREE:
            free = lead if weight is Weight.BOTH else _FEET[1 - weight]
            foot = free if written is None else written
            if weight is _ON[foot]:
                return foot, f"the {_WORD[weight]} foot already has the weight"
            return foot, _ON[foot] if sense.lands else _ON[1 - foot]
        case Actor.SUPPORT:
            standing = lead if weight is Weight.BOTH else _FEET[weight]
            foot = standing if written is None else written
            if weight is _ON[foot.other]:
                return foot, f"the {_WORD[_ON[foot]]} foot has no weight on it"
            return foot, _ON[foot]


def made(
    version: Version, lead: Foot, swap: bool, senses: Mapping[str, int]
) -> Iterator[tuple[Action, Foot, Weight | str]]:
    """Yield each movement of a figure with the foot that makes it and the weight afterwards, up to the first that
    cannot be made, which has the reason instead; arguments as for `dance`."""
    weight = Weight(lead.other)
    for action in version.actions:
        foot, after = _move(weight, action, _sense(action.movement, senses), lead, swap)
        yield action, foot, after
        if isinstance(after, str):
            return
        weight = after


def dance(version: Version, lead: Foot, swap: bool, senses: Mapping[str, int]) -> Weight | Impossible:
    """Return the weight after a figure that `lead` leads, or the first movement that cannot be made.

    Args:
        version: the meaning of the figure.
        lead: the foot that leads; the weight is on the other one.
        swap: whether written feet are mirrored.
        senses: which sense of a movement holds, by its name; the usual one of any other.
    """
    weight = Weight(lead.other)
    for action in version.actions:  # as `made`, which takes a third longer
        _, after = _move(weight, action, _sense(action.movement, senses), lead, swap)
        if isinstance(after, str):
            return Impossible(action, after)
        weight = after
    return weight


def stuck(version: Version) -> Impossible | None:
    """Return the movement, as usually read, at which the lead that gets further can't go on; None if one can do it
    all."""
    left, right = (dance(version, lead, False, {}) for lead in Foot)
    if isinstance(left, Impossible) and isinstance(right, Impossible):
        return max(left, right, key=lambda end: end.action.tick)
    return None


@lru_cache(maxsize=1 << 12)
def first_impossible(figure: Figure) -> Impossible | None:
    """Return the first movement of `figure`, as usually read, that cannot be made, if there is one."""
    end = dance(figure.versions[figure.usual], figure.lead, False, {})
    return end if isinstance(end, Impossible) else None


def is_still(version: Version, senses: Mapping[str, int]) -> bool:
    """Say whether no movement is made by a free or a supporting foot, so that nobody has to choose a lead."""
    chosen = (Actor.FREE, Actor.SUPPORT)
    return not any(_sense(action.movement, senses).actor in chosen for action in version.actions)


class Led(NamedTuple):
    """What comes of a figure that `lead` leads: the weight afterwards, or what cannot be made, and its own turn in
    signed eighths."""

    lead: Foot
    weight: Weight | Impossible
    turn: int


NO_SENSES: Mapping[str, int] = MappingProxyType({})


def ends(
    figure: Figure, weight: Weight, version: Version | None = None, senses: Mapping[str, int] = NO_SENSES
) -> tuple[Led, ...]:
    """Return what comes of a figure from `weight`, with each foot that can lead it.

    From both feet either foot can, that for which the figure is written first; a figure in which nobody has to choose
    is danced as it is written, and leaves the weight on both.

    Args:
        figure: the figure.
        weight: where the weight is before it.
        version: its meaning; the usual one if left out.
        senses: which sense of a movement holds, by its name; the usual one of any other.
    """
    version = version or figure.versions[figure.usual]
    still = weight is Weight.BOTH and is_still(version, senses)
    leads = (figure.lead, *(() if still else (figure.lead.other,))) if weight is Weight.BOTH else (_FEET[1 - weight],)
    out = []
    for lead in leads:
        swap = lead is not figure.lead
        end = dance(version, lead, swap, senses)
        end = Weight.BOTH if still and not isinstance(end, Impossible) else end
        out.append(Led(lead, end, -version.turn if swap else version.turn))
    return tuple(out)


@lru_cache(maxsize=1 << 10)
def in_a_mirror(figure: Figure) -> Figure:
    """Return a figure as a mirrored pass dances it.

    A lead makes the mirror image by itself; a figure that turns or goes aside and that neither foot leads, which is
    danced as written, is turned round here.
    """
    ways = [(version.travel or (0, 0))[0] for version in figure.versions]
    if not any((one.turn or way) and is_still(one, {}) for one, way in zip(figure.versions, ways, strict=True)):
        return figure
    turned = tuple(
        evolve(version, turn=-version.turn, travel=version.travel and (-version.travel[0], version.travel[1]))
        for version in figure.versions
    )
    return evolve(figure, lead=figure.lead.other, versions=turned)


def danced(program: Program) -> tuple[tuple[int, Figure], ...]:
    """Return the figures that a program dances, each with the line on which it first stands, in the order of the
    dance."""
    found: dict[Figure, int] = {}
    for item in every_item(program):
        if isinstance(item, Step) and item.figure.versions[0].length:  # a group's start takes no time
            found.setdefault(item.figure, item.line)
    return tuple((line, figure) for figure, line in found.items())


def deeds(version: Version) -> tuple[object, ...]:
    """Return what two versions for one lead share that no claim can tell apart, whatever their movements are read as.

    Where either is cut it takes `cuts`, too.
    """
    moves = tuple(
        (action.foot, movement.name if len(movement.senses) > 1 else "", *((s.actor, s.lands) for s in movement.senses))
        for action in version.actions
        for movement in (action.movement,)
    )
    return version.length, version.turn, version.travel, moves


def cuts(version: Version) -> tuple[object, ...]:
    """Return what two versions share, beside what they do, that are cut alike: when each movement and the turn is."""
    return version.turn_beat, tuple((action.tick, action.beat) for action in version.actions)


def footing(figure: Figure) -> object:
    """Return what figures share that are written alike: their lead, and of each version what it does, by which
    movements and when."""
    return figure.lead, figure.usual, tuple((one.actions, deeds(one), cuts(one)) for one in figure.versions)


@lru_cache(maxsize=1 << 12)
def _of_figure(figure: Figure) -> tuple[tuple[object, ...], tuple[Movement, ...], bool]:
    """Return what each version of a figure does, if there are several, its movements with several senses, and whether
    any foot is written."""
    actions = [action for version in figure.versions for action in version.actions]
    movements = {action.movement.name: action.movement for action in actions if len(action.movement.senses) > 1}
    each = tuple(map(deeds, figure.versions)) if len(figure.versions) > 1 else ()
    return each, tuple(movements.values()), any(action.foot is not None for action in actions)


class Words:
    """The open words of a program, and its assignments of readings as the bits of one integer.

    Readings of a word that do the same are one *class*; `classes` has the readings of each class of each word, the
    class of the usual one first.  Assignment number `n` gives word `i` the class that is the digit `i` of `n`, in the
    mixed base of the numbers of classes; so the usual readings are number 0.  `every` holds the assignments under which
    all figures can be danced, `impossible` those of the others by figure and what cannot be made.
    """

    def __init__(self, program: Program) -> None:
        self.words = program.words
        self.index = {word.key: number for number, word in enumerate(program.words)}
        figures = danced(program) if program.words else ()
        self.classes = tuple(self._classes(word, figures) for word in program.words)
        self.total = 1
        self._unit: list[int] = []
        for classes in self.classes:
            self._unit.append(self.total)
            self.total *= len(classes)
        self._parts: dict[Figure, tuple[tuple[Version, dict[str, int], int], ...]] = {}
        self.every = 1
        self.impossible: dict[tuple[int, str, Impossible], int] = {}
        if self.total <= MOST_ASSIGNMENTS:
            self.every = (1 << self.total) - 1
            self._leave_out(figures)

    def _classes(self, word: Word, figures: tuple[tuple[int, Figure], ...]) -> tuple[tuple[int, ...], ...]:
        """Return the readings of a word, those together that do the same in every figure danced."""
        alike: list[list[object]] = [[] for _ in word.labels]
        for _, figure in figures:
            each, movements, _ = _of_figure(figure)
            if figure.name == word.key:
                for number, deed in enumerate(each):
                    alike[number].append(deed)
            for movement in movements:
                if movement.name == word.key:
                    for number, sense in enumerate(movement.senses):
                        alike[number].append((sense.actor, sense.lands))
        found: dict[tuple[object, ...], list[int]] = {tuple(alike[word.usual]): [word.usual]}
        for number in range(len(word.labels)):
            if number != word.usual:
                found.setdefault(tuple(alike[number]), []).append(number)
        return tuple(map(tuple, found.values()))

    def _leave_out(self, figures: tuple[tuple[int, Figure], ...]) -> None:
        """Leave out the assignments under which some figure cannot be danced: nobody can mean those."""
        for line, figure in figures:
            if not _of_figure(figure)[2]:
                continue  # only a written foot can be the wrong one
            for version, senses, who in self.partition(figure):
                end = dance(version, figure.lead, False, senses)
                if isinstance(end, Impossible):
                    where = line, figure.name, end
                    self.impossible[where] = self.impossible.get(where, 0) | who
        for who in self.impossible.values():
            self.every &= ~who
        self._parts.clear()  # they still have what is left out

    def where(self, word: int, kind: int) -> int:
        """Return the assignments that give `word` a reading of class number `kind`, of which 0 is the usual one's."""
        unit, count = self._unit[word], len(self.classes[word])
        out, width = ((1 << unit) - 1) << (unit * kind), unit * count
        while width < self.total:
            out |= out << width
            width *= 2
        return out & ((1 << self.total) - 1)

    def kinds(self, number: int) -> tuple[int, ...]:
        """Return the class of each word's reading under assignment `number`."""
        return tuple(number // unit % len(kinds) for unit, kinds in zip(self._unit, self.classes, strict=True))

    def readings(self, number: int) -> tuple[int, ...]:
        """Return the reading of each word under assignment `number`."""
        return tuple(kinds[kind][0] for kind, kinds in zip(self.kinds(number), self.classes, strict=True))

    def number(self, kinds: tuple[int, ...]) -> int:
        """Return the assignment that gives the words readings of these classes."""
        return sum(unit * kind for unit, kind in zip(self._unit, kinds, strict=True))

    def layers(self, departs: tuple[int, ...]) -> list[int]:
        """Return for each number of words the assignments that stand in just so many of `departs`."""
        layers = [(1 << self.total) - 1]
        for odd in departs:
            layers = [(same & ~odd) | (fewer & odd) for same, fewer in zip([*layers, 0], [0, *layers], strict=True)]
        return layers

    def least(self, assignments: int) -> int:
        """Return the assignment that departs from the usual readings in the fewest words, later words first."""
        every = (1 << self.total) - 1
        departs = tuple(every & ~self.where(word, 0) for word in range(len(self.words)))
        left = next(layer & assignments for layer in self.layers(departs) if layer & assignments)
        for word, kinds in enumerate(self.classes):  # the usual class first, the others by their first reading
            order = [0, *sorted(range(1, len(kinds)), key=lambda kind: kinds[kind][0])]
            left = next(some for kind in order if (some := left & self.where(word, kind)))
        return left.bit_length() - 1

    def partition(self, figure: Figure) -> tuple[tuple[Version, dict[str, int], int], ...]:
        """Return each meaning that a figure can have: its version, the senses of its movements, and the assignments."""
        made = self._parts.get(figure)
        if made is None:
            made = self._parts[figure] = tuple(self._meanings(figure)) if self.words else _usual(figure, self.every)
        return made

    def _meanings(self, figure: Figure) -> Iterator[tuple[Version, dict[str, int], int]]:
        own = self.index.get(figure.name) if len(figure.versions) > 1 else None
        keys = [] if own is None else [own]
        for movement in _of_figure(figure)[1]:
            number = self.index.get(movement.name)
            if number is not None and number not in keys:
                keys.append(number)
        if not keys:
            yield from _usual(figure, self.every)
            return
        for combination in product(*(range(len(self.classes[number])) for number in keys)):
            chosen = dict(zip(keys, combination, strict=True))
            bits = self.every
            for number, kind in chosen.items():
                bits &= self.where(number, kind)
            if not bits:
                continue
            readings = {number: self.classes[number][kind][0] for number, kind in chosen.items()}
            version = figure.versions[figure.usual if own is None else readings[own]]
            senses = {self.words[number].key: reading for number, reading in readings.items() if number != own}
            yield version, senses, bits


def _usual(figure: Figure, every: int) -> tuple[tuple[Version, dict[str, int], int], ...]:
    return ((figure.versions[figure.usual], {}, every),) if every else ()
