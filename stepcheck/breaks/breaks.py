"""Breaks: rows of figures of exactly so many beats, from one state to another, out of a book."""

import os
import re
from collections.abc import Collection, Iterable, Iterator
from fractions import Fraction
from typing import TypeAlias

from attrs import evolve, frozen

from stepcheck.books import book as books
from stepcheck.books.book import Book, too_hard
from stepcheck.breaks.requests import MOST_BEATS, Break, Request, reason
from stepcheck.breaks.runs import Limits
from stepcheck.breaks.states import Readings, SearchError, State, read
from stepcheck.model.dance import EIGHTHS, TICKS, Figure, Foot, key
from stepcheck.model.movements import Movement
from stepcheck.model.source import BOOK, each, require

Number: TypeAlias = int | float | str | Fraction
"""A number of beats or turns, as a number or as it is written: `15/2`."""


@frozen
class Breaks:
    """The answer to a question for rows of figures.

    Attributes:
        breaks: rows in the written order.
        reason: why there is none; empty where there are some.
        before: lines that are danced before the row, such as a part cut short for an ending.
    """

    breaks: tuple[Break, ...]
    reason: str = ""
    before: tuple[str, ...] = ()


def find_breaks(
    book: str | Book = "clogging",
    *,
    beats: Number,
    start: str | State = "left foot, front",
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
    """Return the first rows of figures that last exactly `beats`, in the order that specs/costs.md lays down.

    A figure is danced with its own turn or with one that the book lists as usual for it.

    Args:
        book: the book, or the name or path of one.
        beats: how long the row is, from 1/12 to 128 beats: 8, `"15/2"`, `Fraction(15, 2)`.
        start: such as `left foot, front`, where the foot is the free one; what it leaves open may be anything.
        end: the same; where the row starts, if left out.
        limit: how many rows.
        level: the hardest level, such as `easy` or `basic plus in convention`; figures without a level of that scheme
            are left out.
        wanted: names of figures that all have to stand in the row.
        unwanted: names of figures that must not.
        known: names of figures that the class knows; they are preferred.
        steps: the fewest and the most figures: `"2-4"`, `(2, 4)`.
        most_in_a_row: how often the same figure may be danced in a row.
        most_turn: how far the row may turn in all, in whole turns, whichever side: `"1/4"`, `Fraction(1, 4)`, 1.
        any_lead: allow figures on the foot that custom does not lead them with.

    Raises:
        SearchError: there is no such state, level, figure or length.
        SourceError: there is no such book.
    """
    opened = books.load(book) if isinstance(book, str | os.PathLike) else book
    require(opened, Book, BOOK)
    asked = request(
        opened,
        opened.figures(),
        readings_of(opened),
        beats=beats,
        starts=tuple((one,) for one in read(start).each(opened.lead)),
        end=read(start if end is None else end),
        level=level,
        wanted=wanted,
        unwanted=unwanted,
        known=known,
        steps=steps,
        most_in_a_row=most_in_a_row,
        most_turn=most_turn,
        any_lead=any_lead,
    )
    return answer(asked, limit, level or "")


def answer(asked: Request, limit: int, level: str = "", beside: Collection[Figure] | None = None) -> Breaks:
    """Return the rows for a request, or the reason why there is none.

    Where it is known which figures stand `beside` the row, rows differ in kind, as `varied` has them.

    Raises:
        SearchError: `limit` is less than one.
    """
    if limit < 1:
        raise SearchError("ask for at least one row")
    found = asked.found(limit) if beside is None else varied(asked, beside, limit)
    return Breaks(found, "" if found else reason(asked, level))


def request(
    book: Book,
    figures: Iterable[Figure],
    readings: Readings,
    *,
    beats: Number,
    starts: tuple[tuple[State, ...], ...],
    end: State | None,
    lead: Foot | None = None,
    level: str | None = None,
    wanted: Iterable[str] = (),
    unwanted: Iterable[str] = (),
    known: Iterable[str | Figure] = (),
    steps: str | tuple[int, int] | None = None,
    most_in_a_row: int | None = None,
    most_turn: Number | None = None,
    any_lead: bool = False,
) -> Request:
    """Return the request that words describe, for figures of a book and of a sheet; arguments as for `find_breaks`.

    Raises:
        SearchError: there is no such level, figure or length.
    """
    pool = tuple(figures)
    if most_in_a_row is not None and most_in_a_row < 1:
        raise SearchError("a figure is danced at least once in a row")
    return Request(
        pool,
        ticks_of(beats),
        starts,
        end,
        Limits(
            tuple(dict.fromkeys(_named(book, pool, name) for name in each(wanted))),
            most_in_a_row,
            eighths_of(most_turn),
            steps_of(steps),
        ),
        frozenset(_named(book, pool, name) if isinstance(name, str) else name for name in each(known)),
        () if level is None else too_hard(book, pool, level),
        tuple(dict.fromkeys(_named(book, pool, name) for name in each(unwanted))),
        readings,
        book.lead if lead is None else lead,
        any_lead,
    )


def steps_of(steps: str | tuple[int, int] | None) -> tuple[int, int] | None:
    """Return the fewest and the most figures of a row; None stays None.

    Raises:
        SearchError: they are no two whole numbers from 1, the lesser first.
    """
    if steps is None:
        return None
    found = tuple(re.split(r" *- *", steps.strip())) if isinstance(steps, str) else tuple(map(str, steps))
    least, most = found if len(found) == 2 else found * 2 if len(found) == 1 else ("", "")
    if not (least.isdecimal() and most.isdecimal() and 1 <= int(least) <= int(most)):
        raise SearchError(f"{steps!r} is no number of figures; write 3, or 2-4")
    return int(least), int(most)


def ticks_of(beats: Number) -> int:
    """Return a number of beats in ticks.

    Raises:
        SearchError: it is not from 1/12 to 128, or finer than a twelfth of a beat.
    """
    ticks = _number(beats, "beats; write 8, 7.5 or 15/2").limit_denominator(1_000) * TICKS
    if not 0 < ticks <= MOST_BEATS * TICKS:
        raise SearchError(f"a row lasts from 1/12 to {MOST_BEATS} beats, not {beats}")
    if ticks.denominator != 1:
        raise SearchError(f"{beats} beats are finer than a twelfth of a beat")
    return int(ticks)


def eighths_of(turns: Number | None) -> int | None:
    """Return a number of whole turns in eighths of a turn; None stays None.

    Raises:
        SearchError: it is none from 0, or finer than an eighth of a turn.
    """
    if turns is None:
        return None
    what = "turns, by eighths; write 0, 1/4, 0.25 or 1"
    eighths = _number(turns, what) * EIGHTHS
    if eighths < 0 or eighths.denominator != 1:
        raise SearchError(f"{str(turns)!r} is no number of {what}")
    return int(eighths)


def _number(said: Number, what: str) -> Fraction:
    try:
        return Fraction(said)
    except (ValueError, OverflowError, TypeError, ZeroDivisionError) as error:
        raise SearchError(f"{said!r} is no number of {what}") from error


def readings_of(book: Book) -> Readings:
    """Return the readings that a book settles."""
    figures: list[tuple[str, str]] = []
    movements: list[tuple[str, str]] = []
    for name, label in reversed(book.settled):
        for word in book.readings(name):
            labels = tuple(one.label for one in (word.senses if isinstance(word, Movement) else word.versions))
            chosen = books.reading(labels, label)
            if chosen is not None:
                (movements if isinstance(word, Movement) else figures).append((word.name, labels[chosen]))
    return Readings(tuple(figures), tuple(movements))


def _named(book: Book, figures: tuple[Figure, ...], name: str) -> Figure:
    for figure in figures:
        if key(name) in map(key, (figure.name, *figure.names)):
            return figure
    near = book.nearest(name)
    raise SearchError(f"there is no figure {name!r}" + (f"; did you mean {near[0]}?" if near else ""))


# -- rows that a teacher would offer: few figures, known to the class, unlike their neighbours and each other ----------

STEPS = (2, 4)
"""How many figures a teacher takes for eight beats or more."""
LONG = 8 * TICKS
POOL = 40
"""The number of rows searched for those that differ."""


def varied(asked: Request, beside: Collection[Figure], limit: int) -> tuple[Break, ...]:
    """Return rows for a request, first those that a teacher would offer.

    Args:
        asked: the request; what it asks of the number of figures holds, else it is two to four from eight beats on.
        beside: the figures before and after the row, which do not stand in it as long as there are others.
        limit: how many rows.
    """
    few = asked
    if asked.limits.steps is None and asked.ticks >= LONG:
        few = evolve(asked, limits=evolve(asked.limits, steps=STEPS))
    new = tuple(figure for figure in asked.figures if figure not in asked.known and figure not in asked.limits.wanted)
    near = tuple(figure for figure in beside if figure not in asked.limits.wanted)
    barred = ((*near, *new), new, near, ())
    found: dict[tuple[str, ...], Break] = {}
    for stage in (*(evolve(few, unwanted=(*asked.unwanted, *some)) for some in barred), asked):
        for row in _apart(stage.found(max(POOL, limit)), tuple(found.values())):
            if len(found) == limit:
                return tuple(found.values())
            found.setdefault(row.lines, row)
    return tuple(found.values())


def _apart(rows: tuple[Break, ...], before: tuple[Break, ...]) -> Iterator[Break]:
    """Yield rows, always next the one that has the smallest part of its figures in common with those before; of these
    the first.

    Rows of several figures come before those of one that is danced several times.
    """
    taken = [_kinds(row) for row in before]
    left = sorted(rows, key=lambda row: len(_kinds(row)) == 1)
    while left:
        shared = [max((len(some & one) / len(some | one) for one in taken), default=0) for some in map(_kinds, left)]
        row = left.pop(shared.index(min(shared)))
        taken.append(_kinds(row))
        yield row


def _kinds(row: Break) -> frozenset[str]:
    return frozenset(one.name for one in row.figures)
