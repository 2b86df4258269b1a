"""Where a dance asks for care: notes, never verdicts, each with its source.  specs/floor.md has the thresholds."""

from collections.abc import Iterator

from attrs import frozen

from stepcheck.books.book import level_of
from stepcheck.books.footwork import made
from stepcheck.floor.stretches import is_line, moments
from stepcheck.model import words
from stepcheck.model.dance import EIGHTHS, TICKS, Action, Figure, Foot, Weight, key
from stepcheck.model.movements import Actor, Sense
from stepcheck.model.source import SearchError
from stepcheck.program.routine import Routine
from stepcheck.walk.stands import Moment

WHO = "With an injury, pain or dizziness ask a doctor or a physiotherapist, and the teacher before the class begins."

TURNING = 2 * EIGHTHS  # eighths one way, without a pause
PAUSE = 4 * TICKS  # ticks without a turn
STRIKES = 8  # on one foot, with none of the other between them
LULL = 8 * TICKS  # ticks without any
HARD = ("hop", "stomp", "stomp up", "stamp", "bounce", "jump")
# By tradition: the sounds a beat of plain figures, and the fastest tempo for these and for fuller ones.
PLAIN = {"clogging": (2, 160, 135), "line": (1, 200, 154)}
FASTEST = {"clogging": "cloggingresource.com/resources", "line": "cduttlinger.wixsite.com/dance/blank-2"}
_SILENT = ("hold", "clap", "pivot")
_FREEING = ("hop", "pivot", "slide", "drag")  # movements that unweight the foot that has the weight


@frozen
class Care:
    """A note on something that may hurt, or be too much.

    Attributes:
        kind: `turning`, `one foot`, `level`, `tempo` or `sticking foot`.
        line: the line at which it begins, from 1.
        message: what the dance asks for there, and what spares the dancers.
        source: where that is published; `common practice` where it is not.
    """

    kind: str
    line: int
    message: str
    source: str


def care(routine: Routine) -> tuple[Care, ...]:
    """Return where a dance asks for care, in the order of its lines; of what goes on until the music ends one round.

    Args:
        routine: as `load` returns it.

    Raises:
        IllFormed: it is not understood as written.
    """
    danced = moments(routine, each=True)
    figures = {one.figure: one.line for one in reversed(danced) if one.figure is not None}
    found = [*_turning(danced), *_one_foot(danced), *_level(routine, figures), *_tempo(routine, figures)]
    found += _sticking(danced)
    return tuple(sorted(dict.fromkeys(found), key=lambda one: (one.line, one.kind)))


def _turning(danced: tuple[Moment, ...]) -> Iterator[Care]:
    """Yield the rows of turns one way in which no pause is long enough to get one's bearings."""
    rows: list[list[Moment]] = []
    for one in (one for one in danced if one.turn):
        last = rows[-1][-1] if rows else None
        if last and last.turn * one.turn > 0 and one.tick - last.tick - last.ticks < PAUSE:
            rows[-1].append(one)
        else:
            rows.append([one])
    for row in rows:
        turn = sum(one.turn for one in row)
        if abs(turn) >= TURNING:
            said = f"{words.turn(turn)} in a row, from line {row[0].line} to line {row[-1].line}"
            message = f"{said}, with no {PAUSE // TICKS} beats between; have a way without the turns ready"
            source = "mulepackers.co.uk/dance-floor-etiquette-and-keeping-safe; the number: common practice"
            yield Care("turning", row[0].line, message, source)


def _one_foot(danced: tuple[Moment, ...]) -> Iterator[Care]:
    """Yield the rows of hard movements that all fall on one foot."""
    row: tuple[Foot | None, int, int, int] = (None, 0, 0, 0)  # the foot, the first line, the last tick, how many
    for one in (*danced, None):
        for foot, tick in _strikes(one) if one else ((None, 0),):
            if one and foot is row[0] and tick - row[2] <= LULL:
                row = foot, row[1], tick, row[3] + 1
                continue
            if row[0] is not None and row[3] >= STRIKES:
                fall = f"{row[3]} hops or stomps in a row fall on the {words.foot(row[0])} foot"
                message = f"{fall}; practise it from both sides, softly"
                source = "traditionalmusic.co.uk/appalachian-clogging, p. 4; the number: common practice"
                yield Care("one foot", row[1], message, source)
            row = (foot, one.line, tick, 1) if one else row


def _strikes(one: Moment) -> Iterator[tuple[Foot | None, int]]:
    """Yield the feet that hop or stomp in a figure, each with its tick; None for both."""
    for action, foot, sense in _deeds(one) or ():
        if action.movement.name in HARD:
            yield None if sense.actor is Actor.BOTH else foot, one.tick + action.tick - TICKS


def _deeds(one: Moment) -> tuple[tuple[Action, Foot, Sense], ...] | None:
    """Return the movements of a figure, led by the free foot, each with its foot and its usual reading; None behind a
    blank and for what is no figure."""
    figure, weight = one.figure, one.feet[0]
    if figure is None or weight is None:
        return None
    lead = figure.lead if weight is Weight.BOTH else Foot(weight).other
    found = made(figure.versions[figure.usual], lead, lead is not figure.lead, {})
    return tuple((action, foot, action.movement.senses[action.movement.usual]) for action, foot, _ in found)


def _level(routine: Routine, figures: dict[Figure, int]) -> Iterator[Care]:
    """Yield the figures above the level of the header, in its scheme; each comes with its first line."""
    book, said = routine.facts.book, dict(routine.facts.header).get("level")
    if book is None or said is None:
        return
    try:
        most = level_of(book, tuple(figures), said)
    except SearchError:
        return
    top = book.rank(most) or 0
    for figure, line in figures.items():
        for level in figure.levels:
            if key(level.scheme) == key(most.scheme) and (book.rank(level) or 0) > top:
                message = f"{figure.name} is {level.name} in the scheme {level.scheme}, the sheet {most.name}"
                yield Care("level", line, message, f"the levels of the book {figure.book}")


def _tempo(routine: Routine, figures: dict[Figure, int]) -> Iterator[Care]:
    tempo, tradition = routine.facts.tempo, "line" if is_line(routine) else "clogging"
    if not tempo:
        return
    plain, fast, slower = PLAIN[tradition]
    for figure, line in figures.items():
        version = figure.versions[figure.usual]
        sounds = len({one.tick for one in version.actions if one.movement.name not in _SILENT})
        most = fast if sounds * TICKS <= plain * version.length else slower
        if tempo > most:
            told = f"{words.count(sounds, 'sound')} in {words.length(version.length)} at a tempo over {most}"
            message = f"{figure.name} has {told}; leave out what falls between the beats"
            yield Care("tempo", line, message, FASTEST[tradition])


def _sticking(danced: tuple[Moment, ...]) -> Iterator[Care]:
    """Yield the turns of a foot with the weight on it: fewer movements unweight a foot than there are half turns."""
    for one in danced:
        deeds = _deeds(one)
        if abs(one.turn) < EIGHTHS // 4 or deeds is None:
            continue
        freed = sum(
            action.movement.name in _FREEING or (sense.lands and sense.actor in (Actor.FREE, Actor.BOTH))
            for action, _, sense in deeds
        )
        if freed < -(-abs(one.turn) // (EIGHTHS // 2)):
            leaves = f"{words.turn(one.turn)} on {one.label} leaves the weight on the foot that turns"
            message = f"{leaves}; step or hop round"
            yield Care("sticking foot", one.line, message, "hscenter.blogspot.com/2009/08; the number: common practice")
