"""How to practise a dance: what goes over and over, the breaks, the hardest joins, and an order to teach in."""

from fractions import Fraction
from itertools import groupby, pairwise
from math import gcd

from attrs import frozen

from stepcheck.catalogue.graph import loops
from stepcheck.catalogue.relations import teaching_order
from stepcheck.floor.care import Care, care
from stepcheck.floor.stretches import MOST_BREAK, Stretch, is_line, moments, of_group, program_of, told
from stepcheck.language.syntax import PartHead
from stepcheck.model import words
from stepcheck.model.dance import EIGHTHS, TICKS, Foot, Step, Weight, key
from stepcheck.model.items import every
from stepcheck.program.routine import Routine
from stepcheck.walk.stands import Moment
from stepcheck.walk.tracks import tracks

AROUND = 8  # beats before and after a break: two bars of four
AROUND_JOIN = 6  # figures that are taken in beside a join
LOOPS = 12  # are shown, the short ones first
JOINS = 3  # of the hardest joins are shown


@frozen
class Loop:
    """Parts, and lines of the dance itself, that can be danced over and over without a step between.

    Attributes:
        names: what is danced, in order.
        beats: how long it lasts, each time.
        turn: how far it turns each time, in whole turns, left negative.
        home: after how many times the wall is again that of its beginning.
    """

    names: tuple[str, ...]
    beats: Fraction
    turn: Fraction
    home: int


@frozen
class Drill:
    """A break with what is danced around it.

    Attributes:
        name: the part, or the first figure of a row in the dance itself.
        line: where it stands in the dance, from 1.
        before: the last two bars before it.
        steps: the break.
        after: the first two bars after it; empty where it ends the dance.
    """

    name: str
    line: int
    before: tuple[Stretch, ...]
    steps: tuple[Stretch, ...]
    after: tuple[Stretch, ...]


@frozen
class Join:
    """A place where one figure leads into another.

    Attributes:
        first: the figure before it.
        then: the figure after it.
        points: how hard it is; specs/floor.md has the table.
        reasons: what makes it hard.
        loop: the shortest row of figures around it that can be danced over and over; empty if none is short.
    """

    first: Stretch
    then: Stretch
    points: int
    reasons: tuple[str, ...]
    loop: tuple[Stretch, ...] = ()


@frozen
class Lesson:
    """A figure or a part to teach.

    Attributes:
        kind: `figure` or `part`.
        name: its name.
        about: how new a figure is: `this sheet's own`, or its levels; how long a part is.
    """

    kind: str
    name: str
    about: str = ""


@frozen
class Practice:
    """How to practise a dance.

    Attributes:
        loops: what can be danced over and over, short ones first.
        drills: the breaks by themselves.
        joins: the hardest joins, the hardest first.
        order: figures and parts in the order in which to teach them.
        care: where the dance asks for care.
        unit: what beats are called: `beats` or `counts`.
    """

    loops: tuple[Loop, ...]
    drills: tuple[Drill, ...]
    joins: tuple[Join, ...]
    order: tuple[Lesson, ...]
    care: tuple[Care, ...] = ()
    unit: str = "beats"


def practise(routine: Routine, *, group: str | None = None) -> Practice:
    """Return how to practise a dance; of a very long one its first `MOST` figures are looked through.

    Args:
        routine: as `load` returns it.
        group: whose steps are practised where the floor is split; those of the first group if left out.

    Raises:
        IllFormed: it is not understood as written.
        StepcheckError: it has no such group.
    """
    routine = of_group(routine, group)
    unit = "counts" if is_line(routine) else "beats"
    danced = moments(routine, 2, each=True)
    said = tuple(told(danced, is_line(routine)))
    return Practice(_loops(routine), _drills(said), _joins(danced, said), _order(routine, unit), care(routine), unit)


def _loops(routine: Routine) -> tuple[Loop, ...]:
    found = tracks(program_of(routine))
    names: dict[str | int, str] = {one.line: one.label for one in moments(routine)}
    names |= {key(one.node.name): one.node.name for one in routine.sheet.lines if isinstance(one.node, PartHead)}
    made = []
    for cycle in loops(routine)[:LOOPS]:
        ways = [found.parts[place] if isinstance(place, str) else found.lines[place] for place in cycle]
        turn = sum(end.turn - start.turn for start, end in ways)
        beats = Fraction(sum(end.tick - start.tick for start, end in ways), TICKS)
        row = tuple(names.get(place, f"line {place}") for place in cycle)
        made.append(Loop(row, beats, Fraction(turn, EIGHTHS), EIGHTHS // gcd(turn, EIGHTHS)))
    return tuple(made)


def _drills(danced: tuple[Stretch, ...]) -> tuple[Drill, ...]:
    """Return the breaks: of at most `MOST_BREAK` beats, and shorter than what is danced before and after them."""
    rows = [tuple(some) for _, some in groupby(danced, lambda one: (one.part, one.time))]
    found: dict[tuple[int, ...], Drill] = {}  # by their lines
    for number, row in enumerate(rows[1:], 1):
        beats, lines = _beats(row), tuple(one.line for one in row)
        around = [_beats(rows[number - 1]), *map(_beats, rows[number + 1 : number + 2])]
        if lines in found or beats > MOST_BREAK or beats >= min(around):
            continue
        before, after = row[0].starts - AROUND, row[-1].starts + row[-1].beats + AROUND
        earlier = tuple(one for one in danced if before < one.starts + one.beats and one.starts < row[0].starts)
        later = tuple(one for one in danced if row[-1].starts < one.starts < after)
        found[lines] = Drill(row[0].part or row[0].words, row[0].line, earlier, row, later)
    return tuple(found.values())


def _beats(row: tuple[Stretch, ...]) -> Fraction:
    return sum((one.beats for one in row), Fraction())


def _joins(danced: tuple[Moment, ...], said: tuple[Stretch, ...]) -> tuple[Join, ...]:
    """Return the hardest joins, each the first time that it comes."""
    seen, found = set[str](), dict[tuple[int, int], Join]()
    for number, (first, then) in enumerate(pairwise(danced)):
        seen.add(first.label)
        reasons: dict[str, int] = dict(_reasons(first, then, then.label not in seen))
        if first.label != then.label and reasons:
            start, end = _around(danced, number)
            join = Join(said[number], said[number + 1], sum(reasons.values()), tuple(reasons), said[start:end])
            found.setdefault((first.line, then.line), join)
    return tuple(sorted(found.values(), key=lambda join: -join.points)[:JOINS])


def _around(danced: tuple[Moment, ...], number: int) -> tuple[int, int]:
    """Return where the shortest row of figures around a join begins and ends that comes back to its free foot."""
    for more in range(AROUND_JOIN):
        for before in range(more + 1):
            start, end = number - before, number + 2 + more - before
            if start >= 0 and end <= len(danced):
                feet = danced[start].feet[0], danced[end - 1].feet[1]
                if None not in feet and feet[1] in (feet[0], Weight.BOTH):
                    return start, end
    return 0, 0


def _reasons(first: Moment, then: Moment, is_new: bool) -> list[tuple[str, int]]:
    """Return what makes a join hard, each with its points."""
    if then.figure is None:
        return []
    weight, turn = then.feet[0], abs(then.turn)
    led = None if weight is None or weight is Weight.BOTH else Foot(weight).other
    custom = then.figure.one_lead and led is then.figure.lead.other
    may: tuple[tuple[str, int, bool], ...] = (
        ("the weight is on both feet", 3, weight is Weight.BOTH),
        (f"{then.label} is seldom danced from the {words.foot(then.figure.lead.other)} foot", 3, custom),
        ("it turns one way and then the other", 2, first.turn * then.turn < 0),
        (f"{words.turn(then.turn)} follows", -(-turn // 2), turn > 0),
        ("it has more sounds a beat than what comes before", 1, _pace(then) > _pace(first)),
        (f"{then.label} is new", 1, is_new),
    )
    return [(reason, points) for reason, points, holds in may if holds]


def _pace(one: Moment) -> Fraction:
    """Return how many movements a figure has in a beat."""
    version = one.figure.versions[one.figure.usual] if one.figure else None
    return Fraction(len(version.actions) * TICKS, version.length) if version and version.length else Fraction()


def _order(routine: Routine, unit: str) -> tuple[Lesson, ...]:
    found = tracks(program_of(routine)).parts
    figures = {one.figure.name: one.figure for one in every(program_of(routine).dance) if isinstance(one, Step)}
    made = []
    for kind, name in teaching_order(routine):
        if kind == "part":
            start, end = found[key(name)]
            about = words.length(end.tick - start.tick, unit)
        else:
            figure = figures.get(name)
            levels = ", ".join(f"{one.name} in {one.scheme}" for one in figure.levels) if figure else ""
            about = levels if figure is None or figure.book else "this sheet's own"
        made.append(Lesson(kind, name, about))
    return tuple(made)
