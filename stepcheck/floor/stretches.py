"""The dance of a routine as a class is taught it: figure after figure, in words."""

from collections.abc import Iterable, Iterator
from fractions import Fraction

from attrs import evolve, field, frozen

from stepcheck.catalogue.graph import IllFormed
from stepcheck.model import words
from stepcheck.model.dance import EIGHTHS, TICKS, Choice, Figure, Program, key
from stepcheck.model.source import ROUTINE, StepcheckError, require
from stepcheck.program.routine import Routine
from stepcheck.walk.stands import Moment, Timeline
from stepcheck.walk.tracks import timeline

MOST_BREAK = 16
"""Beats of a break (midlandmavericks.com/line-dancing-terms.html has bridges of 8 or 16)."""
MOST = 4_000
"""How many stretches of a dance are looked at; no song lasts as long."""


@frozen
class Stretch:
    """A figure danced some times in a row from one line, silence, or a blank.

    Attributes:
        line: where it stands, from 1.
        part: the part that it is danced in; empty in the dance itself.
        time: which pass of that part, from 1; 0 in the dance itself.
        starts: the beats before it, from the first step of the dance.
        beats: how long it lasts.
        count: the beat on which it begins, as dancers count it from the start of the pass, or of the dance.
        words: what is danced: `Push-off x2`; of a variation the first way, with the others behind it.
        free: the foot that is free at its start: `left`, `right`, `none` with the weight on both, `?` behind a blank.
        facing: the wall of the room faced at its start; `?` behind a blank.
        turn: how far it turns, in whole turns, left negative.
        figure: the figure; None for silence and blanks.
    """

    line: int
    part: str
    time: int
    starts: Fraction
    beats: Fraction
    count: str
    words: str
    free: str
    facing: str
    turn: Fraction
    figure: Figure | None = field(default=None, repr=False)


def program_of(routine: Routine) -> Program:
    """Return the program of a routine.

    Raises:
        IllFormed: it is not understood as written.
    """
    require(routine, Routine, ROUTINE)
    if routine.program is None:
        raise IllFormed(f"{routine.path} is ill-formed, so nothing can be danced by it; `check` says what is wrong")
    return routine.program


def of_group(routine: Routine, group: str | None) -> Routine:
    """Return a routine as one group of the floor dances it, the first unless one is named.

    Raises:
        IllFormed: it is not understood as written.
        StepcheckError: there is no such group.
    """
    program, keys = program_of(routine), [key(one) for one in routine.facts.groups]
    if group is not None and key(group) not in keys:
        has = f"the groups are {words.listed(routine.facts.groups)}" if keys else "all dance alike"
        raise StepcheckError(f"{routine.path} has no group {group}: {has}")
    if not keys:
        return routine
    choice, *ever = program.dance
    assert isinstance(choice, Choice)
    own = choice.options[keys.index(key(group)) if group is not None else 0]
    return evolve(routine, program=evolve(program, dance=(*own, *ever), groups=(), meetings=()))


def is_line(routine: Routine) -> bool:
    """Say whether a routine is a line dance, which has counts, and walls by the clock."""
    return routine.facts.book.tradition == "line"


def moments(routine: Routine, rounds: int = 1, each: bool = False) -> tuple[Moment, ...]:
    """Return the first `MOST` moments of a dance, what is put right left out; arguments as for `timeline`.

    Raises:
        IllFormed: it is not understood as written.
    """
    return danced(timeline(program_of(routine), MOST, rounds, each))


def danced(found: Timeline) -> tuple[Moment, ...]:
    """Return the moments that last and are not put right."""
    return tuple(one for one in found.moments if one.ticks and not one.put_right)


def told(found: Iterable[Moment], clock: bool) -> Iterator[Stretch]:
    """Yield the stretches that are danced; walls may be named by the clock.

    Each begins when the one before it has ended, or later where a length of the sheet says so.
    """
    ended = 0
    unit = "counts" if clock else "beats"
    for one in found:
        starts = max(ended, one.tick)
        ended = starts + one.ticks
        label = "blank" if one.label == "?" else one.label
        label = one.label if one.figure else f"{label}, {words.length(one.ticks, unit)}"
        times = f" x{one.times}" if one.times > 1 and one.figure else ""
        turn = f", {words.turn(one.turn)}" if one.turn else ""
        yield Stretch(
            one.line,
            one.part,
            one.time,
            Fraction(starts, TICKS),
            Fraction(one.ticks, TICKS),
            words.beat(one.inside if one.part else one.tick),
            " or ".join((f"{label}{times}{turn}", *one.others)),
            words.free(one.feet[0]),
            words.facing(one.facings[0], clock),
            Fraction(one.turn, EIGHTHS),
            one.figure,
        )
