"""The notes on figures that are danced across the end of a phrase of a song."""

from bisect import bisect_right
from collections.abc import Generator
from fractions import Fraction
from itertools import accumulate, islice
from typing import TYPE_CHECKING

from stepcheck.language.syntax import Sheet
from stepcheck.model import words
from stepcheck.model.dance import TICKS, Body, Choice, Forever, Gap, Pass, Repeat, Rest, Step, Test, Timed
from stepcheck.model.findings import CODES, Diagnostic
from stepcheck.model.items import checks, inside

if TYPE_CHECKING:
    from stepcheck.music.strains import Song

MOST = 100_000
"""Figures of a dance that are looked at."""


def across(sheet: Sheet, dance: Body, song: "Song | None") -> tuple[Diagnostic, ...]:
    """Return a note for each line with a figure that begins in one phrase of a song and ends in another.

    The first option of each variation is looked at; sections are taken as filled.
    """
    ends: list[int] = []
    names: list[str] = []
    sections = song.sections if song else ()
    for section, end in zip(sections, accumulate(section.ticks for section in sections), strict=True):
        start = end - section.ticks
        found = (*range(start + section.phrase * TICKS, end, section.phrase * TICKS), end)
        ends += found
        names += [f"beat {words.number(Fraction(one - start, TICKS))} of {section.name}" for one in found]
    told: dict[int, tuple[str, list[str]]] = {}
    for line, figure, start, end in islice(_figures(dance, 0), MOST) if ends else ():
        place = bisect_right(ends, start)
        if place < len(ends) and ends[place] < end:
            told.setdefault(line, (figure, []))[1].append(names[place])
    return tuple(
        Diagnostic(
            CODES["across-a-phrase"],
            sheet.source.path,
            sheet.source.whole_line(line),
            f"{figure} is danced across the end of a phrase, {places[0]}"
            + (f", and {words.count(len(places) - 1, 'time')} more" if len(places) > 1 else ""),
            args=(("figure", figure), ("places", tuple(places))),
        )
        for line, (figure, places) in told.items()
    )


def _figures(body: Body, clock: int) -> Generator[tuple[int, str, int, int], None, int]:
    """Yield the figures of a body that begins at `clock`: line, name, start and end in ticks; return when it ends."""
    for item in body:
        match item:
            case Step():
                end = clock + item.figure.versions[item.figure.usual].length
                yield item.line, item.figure.name, clock, end
                clock = end
            case Rest() | Gap():
                clock += item.ticks
            case Repeat():
                for _ in range(item.times or 1):
                    clock = yield from _figures(item.body, clock)
            case Forever():
                return clock
            case Choice():
                clock = yield from _figures(item.options[0], clock)
            case Timed() | Pass():
                end = yield from _figures(item.body, clock)
                filled = [check.number for inner in item.body for check in checks(inner) if check.test is Test.CLOCK]
                lasts = filled[-1] if filled and isinstance(item, Timed) else item.lasts
                clock = end if lasts is None else clock + lasts
            case _:
                for inner in inside(item):
                    clock = yield from _figures(inner, clock)

    return clock
