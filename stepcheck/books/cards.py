"""A figure of a book written out: its count table, what it does from either lead, its readings and their sources; and
the figures that can stand for it."""

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import product
from typing import TypeAlias

from attrs import astuple, frozen

from stepcheck.books.book import Book
from stepcheck.books.footwork import Impossible, Led, ends, made
from stepcheck.books.outline import FROM_MEMORY
from stepcheck.books.placing import counted
from stepcheck.model import words
from stepcheck.model.dance import EIGHTHS, TICKS, Figure, Version, Weight
from stepcheck.model.movements import Actor
from stepcheck.model.source import BOOK, require


@frozen
class Pace:
    """One movement of the count table.

    Attributes:
        count: when it is made, as dancers count: `1`, `&2`.
        movement: which it is.
        foot: who makes it: `left`, `right`, `both`, or `–` where nobody does.
        weight: where the weight is afterwards: `left`, `right` or `both`.
    """

    count: str
    movement: str
    foot: str
    weight: str


@frozen
class End:
    """What comes of a figure.

    Attributes:
        start: what is free before it: `left foot`, `right foot` or `both feet`.
        free: the foot that is free after it: `left`, `right`, or `none` with the weight on both.
        turn: how far it turns, in whole turns, left negative.
    """

    start: str
    free: str
    turn: Fraction


@frozen
class Meaning:
    """One reading of a figure.

    Attributes:
        label: what the reading is called, empty where there is only one.
        usual: whether it holds where nothing settles it.
        beats: how long it is, in beats.
        paces: its count table.
        ends: what comes of it, from the left foot, the right foot, and from both feet where that is something else.
        sources: where it is published.
        memory: whether it is written down from memory.
        fails: at which count it cannot be danced, and why; empty where it can.
    """

    label: str
    usual: bool
    beats: Fraction
    paces: tuple[Pace, ...]
    ends: tuple[End, ...]
    sources: tuple[str, ...]
    memory: bool
    fails: str = ""


@frozen
class Card:
    """A figure written out.

    Attributes:
        name: its name.
        book: the book that it is from.
        also: its other names.
        lead: the foot that it is written for: `left` or `right`.
        levels: pairs of a level and the scheme in which it means something.
        usual_turns: turns that are usual on it, in whole turns for its own lead, left negative.
        one_lead: whether custom leads it with that foot only.
        meanings: its readings.
        words: movements in it that have several readings, each with triples of label, whether usual, and sources.
    """

    name: str
    book: str
    also: tuple[str, ...]
    lead: str
    levels: tuple[tuple[str, str], ...]
    usual_turns: tuple[Fraction, ...]
    one_lead: bool
    meanings: tuple[Meaning, ...]
    words: tuple[tuple[str, tuple[tuple[str, bool, tuple[str, ...]], ...]], ...]

    @property
    def beats(self) -> Fraction:
        """How long it lasts as usually read, in beats."""
        return next(meaning.beats for meaning in self.meanings if meaning.usual)


def card(figure: Figure) -> Card:
    """Return a figure written out; its movements are read as usual."""
    require(figure, Figure, "a figure, as `find` of a book gives it")
    movements = (action.movement for version in figure.versions for action in version.actions)
    read = {
        one.name: tuple((sense.label, n == one.usual, sense.sources) for n, sense in enumerate(one.senses))
        for one in movements
        if len(one.senses) > 1
    }
    levels = tuple((level.name, level.scheme) for level in figure.levels)
    turns = tuple(Fraction(turn, EIGHTHS) for turn in figure.usual_turns)
    meanings = tuple(_meaning(figure, one, number == figure.usual) for number, one in enumerate(figure.versions))
    lead, custom = words.foot(figure.lead), figure.one_lead
    return Card(figure.name, figure.book, figure.names, lead, levels, turns, custom, meanings, tuple(read.items()))


def _meaning(figure: Figure, version: Version, usual: bool) -> Meaning:
    paces, fails = [], ""
    for action, foot, weight in made(version, figure.lead, False, {}):
        if isinstance(weight, str):
            fails = f"count {counted(action.tick)}: {action.movement.name} cannot be danced, {weight}"
            break
        sense = action.movement.senses[action.movement.usual]
        who = {Actor.NOBODY: "–", Actor.BOTH: "both"}.get(sense.actor) or words.foot(foot)
        paces.append(Pace(counted(action.tick), action.movement.name, who, weight.name.lower()))
    ends = () if fails else tuple(_ends(figure, version))
    memory, beats = version.memory or not version.sources, Fraction(version.length, TICKS)
    return Meaning(version.label, usual, beats, tuple(paces), ends, version.sources, memory, fails)


def _ends(figure: Figure, version: Version) -> Iterator[End]:
    """Yield what comes of a version from either foot, and from both feet where that is something else."""
    for weight in (Weight.RIGHT, Weight.LEFT, Weight.BOTH):
        found = ends(figure, weight, version)
        for lead, end, turn in found if len(found) == 1 else ():
            assert not isinstance(end, Impossible)
            start = "both feet" if weight is Weight.BOTH else f"{words.foot(lead)} foot"
            yield End(start, words.free(end), Fraction(turn, EIGHTHS))


# -- figures that do the same ----------------------------------------------------------------------------------------


Deed: TypeAlias = tuple[int, tuple[object, ...]]
"""The length in ticks; from each weight, for each foot that can lead, the weight afterwards, the signed turn and the
way.  Nothing else of a figure that is not cut matters to any claim."""


@frozen
class Alike:
    """Figures that can stand for one another: any claim that holds with one holds with the others.

    Attributes:
        figures: the figures, the one that was asked about first.
        always: whether they can under every reading of every word in them, else only as they are usually read.
    """

    figures: tuple[Figure, ...]
    always: bool


def meanings(figure: Figure) -> Iterator[tuple[Version, dict[str, int], bool]]:
    """Yield each version of a figure with each choice of senses for its movements, and whether that is the usual
    one."""
    for number, version in enumerate(figure.versions):
        several = {a.movement.name: a.movement for a in version.actions if len(a.movement.senses) > 1}
        for senses in product(*(range(len(movement.senses)) for movement in several.values())):
            chosen = dict(zip(several, senses, strict=True))
            usual = all(several[name].usual == sense for name, sense in chosen.items())
            yield version, chosen, usual and number == figure.usual


def deed(figure: Figure, version: Version, senses: Mapping[str, int]) -> Deed:
    """Return what a figure does under one meaning."""
    found = (ends(figure, weight, version, senses) for weight in Weight)
    return version.length, tuple(frozenset(_does(figure, version, one) for one in each) for each in found)


def _does(figure: Figure, version: Version, led: Led) -> tuple[object, ...]:
    """Return what comes of a version that one foot leads."""
    weight = "cannot be danced" if isinstance(led.weight, Impossible) else led.weight
    right, forward = version.travel or (0, 0)
    way = version.travel and (right if led.lead is figure.lead else -right, forward)
    return weight, led.turn, way


def classes(book: Book) -> tuple[Alike, ...]:
    """Return the figures of a book in groups that are interchangeable, in the order of the book; single ones too."""
    groups: dict[Deed, list[Figure]] = {}
    every: dict[Figure, frozenset[Deed]] = {}
    for figure in book.figures():
        deeds = [(deed(figure, version, senses), usual) for version, senses, usual in meanings(figure)]
        every[figure] = frozenset(made for made, _ in deeds)
        groups.setdefault(next(made for made, usual in deeds if usual), []).append(figure)
    return tuple(
        Alike(tuple(figures), all(len(every[figure]) == 1 for figure in figures)) for figures in groups.values()
    )


def same_as(book: Book, name: str) -> tuple[Alike, ...]:
    """Return for each figure called `name` the figures that are interchangeable with it, itself first.

    `always` is said of each pair: the group is split into those that are so under every reading and those that are as
    usual only.

    Args:
        book: a book, as `load_book` gives it.
        name: the name of the figure in any spelling.
    """
    require(book, Book, BOOK)
    out = []
    for figure in book.find(name):
        group = next(found.figures for found in classes(book) if figure in found.figures)
        fixed = {other: len({deed(other, v, s) for v, s, _ in meanings(other)}) == 1 for other in group}
        others = [other for other in group if other is not figure]
        sure = [other for other in others if fixed[figure] and fixed[other]]
        unsure = [other for other in others if other not in sure]
        out += [Alike((figure, *found), always) for found, always in ((sure, True), (unsure, False)) if found]
        out += [] if others else [Alike((figure,), fixed[figure])]
    return tuple(out)


# -- as text -------------------------------------------------------------------------------------


def line(one: Card) -> tuple[str, str, str, str]:
    """Return a figure as a row of a list: name, length, what comes of it, level."""
    usual = next(meaning for meaning in one.meanings if meaning.usual)
    readings = f"{len(one.meanings)} readings" if len(one.meanings) > 1 else ""
    memory = "from memory" if usual.memory and not usual.sources else ""
    marks = readings, memory, f"{one.lead} lead only" if one.one_lead else ""
    level = ", ".join(f"{name} in {scheme}" for name, scheme in one.levels)
    return one.name, _length(usual), _brief(usual), "; ".join(filter(None, [level, *marks]))


def _brief(meaning: Meaning) -> str:
    """Return what comes of a meaning, said from the foot that leads."""
    if meaning.fails:
        return "cannot be danced"
    first = meaning.ends[0]
    foot = {"left": "same foot free", "right": "other foot free", "none": "both feet"}[first.free]
    turns = sorted({words.size(int(end.turn * EIGHTHS)) for end in meaning.ends if end.turn})
    return ", ".join([foot, *turns])


def told(one: Card) -> Iterator[str]:
    """Yield a figure's card line by line."""
    yield f"{one.name} (book {one.book})"
    if one.also:
        yield f"   also: {', '.join(one.also)}"
    for name, scheme in one.levels:
        yield f"   level: {name} in {scheme}"
    if one.usual_turns:
        turns = ", ".join(words.turn(int(turn * EIGHTHS)) for turn in one.usual_turns)
        yield f"   usual turns: {turns} (from the {one.lead} foot)"
    if one.one_lead:
        yield f"   by custom from the {one.lead} foot only"
    for meaning in one.meanings:
        yield from _told(one, meaning)
    for word, readings in one.words:
        yield f"   {word} is read as"
        for label, usual, sources in readings:
            yield f"      {label}{' (usual)' if usual else ''}: {', '.join(sources) or FROM_MEMORY}"


def _length(meaning: Meaning, unit: str = "beats") -> str:
    return words.length(int(meaning.beats * TICKS), unit)


def _told(one: Card, meaning: Meaning) -> Iterator[str]:
    lasts = {_length(meaning), _length(meaning, "counts")}
    title = meaning.label + (" (usual)" if meaning.label and meaning.usual else "")
    pieces = [title, "" if meaning.label in lasts else _length(meaning), f"written for the {one.lead} lead"]
    yield f"   {', '.join(filter(None, pieces))}"
    cells = [("count", "movement", "foot", "weight on"), *map(astuple, meaning.paces)]
    yield from (f"      {row}" for row in columns(cells))
    if meaning.fails:
        yield f"      {meaning.fails}"
    for end in meaning.ends:
        then = "on both feet" if end.free == "none" else f"{end.free} foot free"
        start = end.start if end.start == "both feet" else f"the {end.start}"
        yield f"      from {start}: {then}{f', {words.turn(int(end.turn * EIGHTHS))}' if end.turn else ''}"
    if meaning.ends and meaning.ends[-1].start != "both feet":
        yield "      from both feet: as with the foot that is chosen to lead"
    kept = [*meaning.sources, *([FROM_MEMORY] if meaning.memory else [])]
    yield from (f"      from: {source}" if source != FROM_MEMORY else f"      {source}" for source in kept)


def columns(cells: Sequence[tuple[str, ...]]) -> Iterator[str]:
    """Yield rows of cells with the columns lined up."""
    widths = [max(map(len, column)) for column in zip(*cells, strict=True)]
    for row in cells:
        yield "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
