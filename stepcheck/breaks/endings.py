"""Breaks for a place in a routine: after a part, or where the music stops."""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from difflib import get_close_matches
from fractions import Fraction
from itertools import islice, zip_longest
from typing import Any

from attrs import evolve

from stepcheck.breaks.breaks import Breaks, Number, answer, request, ticks_of
from stepcheck.breaks.material import Material, material
from stepcheck.breaks.requests import Break, Request, reason
from stepcheck.breaks.states import SearchError, State, read
from stepcheck.language.printer import print_node
from stepcheck.language.stretches import dance_of, mark_of, parts, rows
from stepcheck.language.syntax import DanceHead, FirstMark, Option, PartHead, Row, UntilMark
from stepcheck.model.dance import (
    EIGHTHS,
    TICKS,
    Body,
    Figure,
    Forever,
    Item,
    Lap,
    Pass,
    Program,
    Repeat,
    Timed,
    Weight,
    key,
)
from stepcheck.model.source import ROUTINE, require
from stepcheck.model.words import count as said_count
from stepcheck.model.words import length as said_length
from stepcheck.model.words import listed
from stepcheck.model.work import WorkSpent
from stepcheck.program.cutting import CutFails, cut, length
from stepcheck.program.routine import Routine
from stepcheck.walk.arrivals import Place, arrivals, onward

_MOST_ITEMS = 10_000


def break_after(
    routine: Routine,
    place: str | int,
    *,
    beats: Number,
    end: str | State | None = None,
    limit: int = 5,
    level: str | None = None,
    wanted: Iterable[str] = (),
    unwanted: Iterable[str] = (),
    known: Iterable[str] = (),
    steps: str | tuple[int, int] | None = None,
    most_in_a_row: int | None = None,
    most_turn: Number | None = None,
    any_lead: bool = False,
) -> Breaks:
    """Return breaks for a place in a routine, from the states that really come there; one that fits fits all of them.

    Args:
        routine: a routine that is well-formed.
        place: the name of a part, or the number of a line; the break goes after it.  Facings are those that an `expect`
            there would name: of the room in the dance, as seen from the start of the part inside one.
        beats: how long the row is, from 1/12 to 128 beats: 8, `"15/2"`, `Fraction(15, 2)`.
        end: where it leads; back to where it started if left out, so that what follows stays as it was.
        limit: how many rows.
        level: the hardest level; that of the header if left out, `any` for all.
        wanted: names of figures that all have to stand in the row.
        unwanted: names of figures that must not.
        known: names of figures that the class knows, beside those that the routine dances.
        steps: the fewest and the most figures; two to four first, from eight beats on, if left out.
        most_in_a_row: how often the same figure may be danced in a row.
        most_turn: how far the row may turn in all, in whole turns, whichever side: `"1/4"`, `Fraction(1, 4)`, 1.
        any_lead: allow figures on the foot that custom does not lead them with.

    Raises:
        SearchError: nothing comes there, what comes there waits on a blank, or what is asked makes no sense.
    """
    program = _program(routine)
    require(place, str | int, "the name of a part or the number of a line")
    where = Place(line=place) if isinstance(place, int) else Place(part=place)
    with _looked_at():
        found = arrivals(program, where)
    if not found:
        raise SearchError(_nowhere(routine, place))
    sure = [one for one in found if not one.open]
    if not sure:
        raise SearchError(f"what comes after {place} waits on a blank; fill that first")
    starts = tuple(State(*state) for state in sorted({state for one in sure for state in one.states}))
    stuff = material(routine, level)
    asked = _request(
        stuff,
        starts,
        None if end is None else read(end),
        ticks_of(beats),
        wanted=wanted,
        unwanted=unwanted,
        known=known,
        steps=steps,
        most_in_a_row=most_in_a_row,
        most_turn=most_turn,
        any_lead=any_lead,
    )
    return answer(asked, limit, stuff.level, _beside(routine, place, stuff))


def _beside(routine: Routine, place: str | int, stuff: Material) -> tuple[Figure, ...]:
    """Return the figures that are danced last before a place and first after it, as they are written there."""
    bodies = {
        key(head.node.name) if isinstance(head.node, PartHead) else "": [
            (number, [key(option.name) for option in row.options]) for number, row in rows(head.body)
        ]
        for head in routine.sheet.lines
        if isinstance(head.node, PartHead | DanceHead)
    }

    def edge(names: list[str], end: int) -> set[str]:
        """Return what is danced first (0) or last (-1) of what is named."""
        return {one for name in names for one in (edge(bodies[name][end][1], end) if bodies.get(name) else {name})}

    found = set() if isinstance(place, int) else edge([key(place)], -1)
    for lines in bodies.values():
        for (number, names), after in zip_longest(lines, lines[1:]):
            if number == place or (isinstance(place, str) and key(place) in names):
                found |= edge(names, -1) | (edge(after[1], 0) if after is not None else set())
    return tuple(figure for figure in stuff.figures if key(figure.name) in found)


def _nowhere(routine: Routine, place: str | int) -> str:
    """Return the reason why the dance never reaches a place."""
    if isinstance(place, int):
        return f"line {place} is never danced"
    names = {name: head.name for name, head in parts(routine.sheet).items()}
    if key(place) in names:
        return f"{place} is never danced"
    near = get_close_matches(key(place), names, 1)
    advice = f"did you mean {names[near[0]]}?" if near else f"there is {listed(tuple(names.values()))}" if names else ""
    return f"there is no part {place!r}" + (f"; {advice}" if advice else "; give the number of a line of the dance")


def find_endings(
    routine: Routine,
    *,
    passes: int,
    counts: int,
    facing: str | None = None,
    beats: int | None = None,
    both_feet: bool = False,
    part: str | None = None,
    limit: int = 5,
    level: str | None = None,
) -> Breaks:
    """Return the shortest endings where the music stops inside a pass: at the front, on the last beat.

    The ending takes the place of the last counts before the music stops; what is danced of the pass before it stands in
    `before` of the answer.

    Args:
        routine: a routine that is well-formed.
        passes: the pass of the part in which the music stops, the first being 1.
        counts: after how many counts of that pass it stops.
        facing: the wall that is faced then without an ending, such as `9:00`; as the sheet has it if left out.
        beats: how long the ending is; the shortest length that can be if left out.
        both_feet: whether it has to end with the weight on both feet.
        part: the part that goes round; the one danced until the music ends, else the only one, if left out.
        limit: how many endings.
        level: the hardest level; that of the header if left out, `any` for all.

    Raises:
        SearchError: there is no such pass, count or wall.
    """
    program = _program(routine)
    name = part or _round(routine)
    body, before = _reached(program, name, passes)
    stop = counts * TICKS
    whole = length(body)
    if counts < 1 or whole is None or stop > whole:
        raise SearchError(f"{name} has no {counts} counts to stop after")
    stuff = material(routine, level)
    end = State(Weight.BOTH if both_feet else None, 0)
    asked: Request | None = None
    for size in range(counts + 1) if beats is None else (beats,):
        kept = stop - size * TICKS
        with _looked_at():
            starts = _at(program, before, body, kept, stop, facing) if kept >= 0 else ()
        if not starts:
            continue
        lines = _cut_line(routine, name, kept, whole)
        if size == 0:
            if all(end.allows(*state) for state in starts):
                states = tuple(State(*state) for state in starts)
                return Breaks((Break((), (), Fraction(0), states, states),), "", lines)
            continue
        asked = _request(stuff, tuple(State(*state) for state in starts), end, size * TICKS)
        found = asked.found(limit)
        if found:
            return Breaks(found, "", lines)
    if asked is None:
        raise SearchError(f"{name} cannot be cut there for an ending")
    longest = said_length(counts * TICKS if beats is None else beats * TICKS)
    return Breaks((), f"no ending of {'up to ' if beats is None else ''}{longest}: {reason(asked, stuff.level)}")


@contextmanager
def _looked_at() -> Iterator[None]:
    """Raise a SearchError where what is danced is too much to look at."""
    try:
        yield
    except WorkSpent:
        raise SearchError("what comes there is too much to look at") from None


def _program(routine: Routine) -> Program:
    require(routine, Routine, ROUTINE)
    if routine.program is None:
        raise SearchError(f"{routine.path} has mistakes in the writing; check it first")
    return routine.program


def _request(
    stuff: Material, starts: tuple[State, ...], end: State | None, ticks: int, known: Iterable[str] = (), **more: Any
) -> Request:
    asked = request(
        stuff.book,
        stuff.figures,
        stuff.readings,
        beats=Fraction(ticks, TICKS),
        starts=(starts,),
        end=end,
        known=(*stuff.known, *known),
        **more,
    )
    return evolve(asked, hard=stuff.hard)


def _round(routine: Routine) -> str:
    heads = [head.name for head in parts(routine.sheet).values()]
    for option in (option for _, row in rows(dance_of(routine.sheet).body) for option in row.options):
        if mark_of(option, UntilMark):
            return option.name
    if len(heads) == 1:
        return heads[0]
    raise SearchError(f"say which part the music stops in: {', '.join(heads)}" if heads else "the routine has no part")


def _reached(program: Program, part: str, passes: int) -> tuple[Body, Body]:
    """Return the body of a pass of a part, and all that is danced before it."""
    before: list[Item] = []
    count = 0
    for item in islice(_unrolled(program.dance), _MOST_ITEMS):
        if isinstance(item, Pass) and key(item.part) == key(part):
            count += 1
            if count == passes:
                return item.body, tuple(before)
        before.append(item)
    raise SearchError(f"{part} is danced only {said_count(count, 'time')}" if count else f"{part} is never danced")


def _unrolled(body: Body) -> Iterator[Item]:
    """Yield the items of a dance one after the other, what goes on until the music ends for ever."""
    for item in body:
        match item:
            case Repeat() if item.times is not None:
                for _ in range(item.times):
                    yield from _unrolled(item.body)
            case Timed() | Lap():
                yield from _unrolled(item.body)
            case Forever():
                while item.body:
                    yield from _unrolled(item.body)
            case _:
                yield item


def _at(
    program: Program, before: Body, body: Body, kept: int, stop: int, facing: str | None
) -> tuple[tuple[Weight, int], ...]:
    """Return the states in the room after `kept` ticks of a pass; none if it cannot be cut there."""
    try:
        short, full = (cut(body, ticks, last=ticks == stop) if ticks else () for ticks in (kept, stop))
    except CutFails:
        return ()
    if facing is None:
        return onward(program, (*before, Pass(0, "", 0, short)))
    wall = read(facing).facing
    if wall is None:
        raise SearchError(f"{facing!r} is no wall")
    found: dict[tuple[Weight, int], None] = {}
    for weight in dict.fromkeys(weight for weight, _ in onward(program, before)):
        for turned in dict.fromkeys(turn for _, turn in onward(program, full, weight)):
            for after, turn in onward(program, short, weight):
                found[after, (wall - turned + turn) % EIGHTHS] = None
    return tuple(sorted(found))


def _cut_line(routine: Routine, part: str, kept: int, whole: int) -> tuple[str, ...]:
    """Return the line for what is danced of a pass before its ending."""
    if not kept:
        return ()
    unit = "counts" if routine.facts.book.tradition == "line" else "beats"
    marks = () if kept == whole else (FirstMark(kept, unit),)
    return (print_node(Row((Option(part, marks=marks),))),)
