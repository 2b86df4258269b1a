"""A sheet for the class: the parts with their steps, the order in which they are danced, names, and care; and the lines
of a sheet with where the dance comes to each."""

from fractions import Fraction
from itertools import islice

from attrs import evolve, frozen

from stepcheck.floor.care import Care, care
from stepcheck.floor.stretches import MOST, Stretch, danced, is_line, program_of, told
from stepcheck.language.stretches import every_line
from stepcheck.language.syntax import ExpectRow, GapRow, HoldRow, PartHead, Row
from stepcheck.model import words
from stepcheck.model.dance import EIGHTHS, key
from stepcheck.program.routine import Routine
from stepcheck.walk.stands import Stand, Timeline
from stepcheck.walk.tracks import Tracks, timeline, tracks

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
    said = told(moments, clock)
    pieces: dict[object, Piece] = {}
    order = []
    for row in Timeline(moments).passes:
        first, last, steps = row[0], row[-1], tuple(islice(said, len(row)))
        turn = sum(one.turn for one in row)
        way = Way(words.free(first.feet[0]), words.free(last.feet[1]), first.facings[0], turn)
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


# -- the sheet itself ------------------------------------------------------------------------------------------------


@frozen
class Later:
    """A later pass of a part, number `time`, that comes to a line on another beat, foot or facing than the first pass.

    Of passes that come to it alike the first is meant.
    """

    time: int
    beat: str
    free: str
    facing: str


@frozen
class Close:
    """How a part ends, behind `line`, at its pass number `time`: after how many beats, with which foot free, facing
    where.

    `later` are later passes that end otherwise; of those that end alike the first is meant.
    """

    part: str
    line: int
    length: str
    free: str
    facing: str
    time: int = 1
    later: tuple["Close", ...] = ()


@frozen
class Mark:
    """A line of a sheet, with the beat, the free foot and the facing with which the dance first comes to it.

    Inside a part beat and facing are those of the pass, in the dance those of the room; all three are empty where
    nothing is danced or said.
    """

    line: int
    text: str
    beat: str = ""
    free: str = ""
    facing: str = ""
    later: tuple[Later, ...] = ()


def marks(routine: Routine) -> tuple[Mark, ...]:
    """Return the lines of a routine, of a variation after its first option; bare lines where it is ill-formed."""
    followed, clock = tracks(routine.program) if routine.program is not None else Tracks({}, {}), is_line(routine)
    # Not on headings: what one says holds at its end.
    kinds = Row | HoldRow | GapRow | ExpectRow
    danced = {line.number for line in every_line(routine.sheet.lines) if isinstance(line.node, kinds)}
    passes = {line: some for some in followed.passes.values() for line in some[0].lines}
    made = [Mark(number, row) for number, row in enumerate(routine.sheet.source.text.rstrip("\n").split("\n"), 1)]
    for number in danced & followed.lines.keys():
        later: dict[tuple[str, str, str], int] = {}
        for one in passes.get(number, ()):
            if number in one.lines:
                later.setdefault(_shown(one.lines[number][0], clock), one.time)
        others = tuple(Later(time, *shown) for shown, time in later.items())[1:]
        shown = _shown(followed.lines[number][0], clock)
        made[number - 1] = Mark(number, made[number - 1].text, *shown, others)
    return tuple(made)


def closes(routine: Routine) -> tuple[Close, ...]:
    """Return how the parts of a routine end, in the order of the sheet; those that are never danced end as they do
    alone."""
    if routine.program is None:
        return ()
    followed, clock, found = tracks(routine.program), is_line(routine), []
    for line in routine.sheet.lines:
        passes = followed.passes.get(key(line.node.name), ()) if isinstance(line.node, PartHead) else ()
        if not isinstance(line.node, PartHead) or not passes:
            continue
        last = max((one.number for one in every_line(line.body) if one.node is not None), default=line.number)
        kinds: dict[tuple[str, str, str], int] = {}
        for one in passes:
            end = one.way[1]
            length = words.length(end.inside, "counts" if clock else "beats")
            kinds.setdefault((length, *_shown(end, clock)[1:]), one.time)
        first, *later = (Close(line.node.name, last, *shown, time) for shown, time in kinds.items())
        found.append(evolve(first, later=tuple(later)))
    return tuple(found)


def _shown(stand: Stand, clock: bool) -> tuple[str, str, str]:
    """Return beat, free foot and facing of a moment: those of the pass inside a part, else those of the room."""
    facing = (stand.facing - stand.wall) % EIGHTHS if stand.part else stand.facing
    beat = words.beat(stand.inside if stand.part else stand.tick)
    return beat, words.free(stand.weight), words.facing(facing, clock)
