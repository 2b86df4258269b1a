"""A sheet for the class: the parts with their steps, the order in which they are danced, names, and care."""

from fractions import Fraction
from itertools import groupby

from attrs import frozen

from stepcheck.floor.care import Care, care
from stepcheck.floor.stretches import MOST, Stretch, danced, is_line, program_of, told
from stepcheck.model import words
from stepcheck.program.routine import Routine
from stepcheck.walk.tracks import timeline

_FACTS = ("song", "artist", "author", "level", "tempo", "wait", "walls")


@frozen
class Way:
    """How a class goes through a part, or through a row in the dance itself.

    Attributes:
        free: the free foot at its start: `left`, `right`, `none` with the weight on both, `?` behind a blank.
        free_after: the same at its end.
        facing: the wall faced at its start, in eighths of a turn clockwise from the front; -1 behind a blank.
        turn: the turn made in it, in eighths, left negative.
    """

    free: str
    free_after: str
    facing: int
    turn: int


@frozen
class Piece:
    """A part as it is danced the first time, or the first time with other steps; or a row in the dance itself.

    Attributes:
        name: the part; empty for a row in the dance itself.
        time: which pass it is, from 1; 0 for such a row.
        beats: how long it lasts.
        way: how the class goes through it that time.
        steps: what is danced.
    """

    name: str
    time: int
    beats: Fraction
    way: Way
    steps: tuple[Stretch, ...]


@frozen
class Turn:
    """A pass in the order of the dance.

    Attributes:
        name: the part; for a row in the dance itself its first figure.
        time: which pass it is, from 1; 0 for such a row.
        beat: the beat of the dance on which it begins, as dancers count it.
        way: how the class goes through it.
    """

    name: str
    time: int
    beat: str
    way: Way


@frozen
class Handout:
    """A sheet for the class.

    Attributes:
        title: the name of the routine.
        facts: pairs of a field of the header and its value.
        pieces: what is danced, in the order in which the dance comes to it.
        order: the passes in the order of the dance; of what goes on until the music ends one round.
        again: the beat from which it goes on until the music ends, as dancers count it; empty where nothing does.
        names: pairs of a figure and its other names, which other regions use.
        care: where the dance asks for care.
        clock: whether walls are named by the clock, and beats called counts.
        refuted: whether anything is taken as put right.
        whole: whether all of the dance is in it; else it is too long, and `order` ends early.
    """

    title: str
    facts: tuple[tuple[str, str], ...]
    pieces: tuple[Piece, ...]
    order: tuple[Turn, ...]
    again: str
    names: tuple[tuple[str, tuple[str, ...]], ...]
    care: tuple[Care, ...]
    clock: bool
    refuted: bool
    whole: bool = True

    @property
    def unit(self) -> str:
        """What beats are called."""
        return "counts" if self.clock else "beats"


def handout(routine: Routine) -> Handout:
    """Return the sheet for the class; of a variation the first way is followed, what is refuted is taken as put right.

    Args:
        routine: as `load` returns it.

    Raises:
        IllFormed: it is not understood as written.
    """
    clock, found = is_line(routine), timeline(program_of(routine), MOST)
    moments = danced(found)
    rows = [
        tuple(row)
        for _, row in groupby(
            zip(moments, told(moments, clock), strict=True), lambda both: (both[0].part, both[0].time)
        )
    ]
    pieces: dict[object, Piece] = {}
    order = []
    for row in rows:
        first, last = row[0][0], row[-1][0]
        way = Way(
            words.free(first.feet[0]), words.free(last.feet[1]), first.facings[0], sum(one.turn for one, _ in row)
        )
        steps = tuple(said for _, said in row)
        beats = sum((one.beats for one in steps), Fraction())
        order.append(Turn(first.part or steps[0].words, first.time, words.beat(first.tick), way))
        look = first.part, tuple((one.line, one.words, one.free) for one in steps)
        pieces.setdefault(look, Piece(first.part, first.time, beats, way, steps))
    header = dict(routine.facts.header)
    figures = {one.figure.name: one.figure.names for one in moments if one.figure is not None and one.figure.names}
    return Handout(
        routine.title or routine.path,
        tuple((name, header[name]) for name in _FACTS if name in header),
        tuple(pieces.values()),
        tuple(order),
        words.beat(found.endless[1].tick) if found.endless else "",
        tuple(figures.items()),
        care(routine),
        clock,
        any(one.put_right for one in found.moments),
        found.whole,
    )
