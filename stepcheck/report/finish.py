"""The length of a dance in all, and how it ends: the first question of a teacher."""

from collections.abc import Set
from fractions import Fraction

from attrs import frozen

from stepcheck.model import words
from stepcheck.model.dance import EIGHTHS, TICKS, Program
from stepcheck.model.source import Sent
from stepcheck.walk.ends import ends

MOST_SAID = 4  # lengths one by one; of more, the shortest and the longest


@frozen
class Finish(Sent):
    """The end of a dance by its steps alone, whatever the sheet claims; words are read as usual.

    Attributes:
        lengths: how many beats it can last in all, rising; empty where that is open. What goes on until the music ends
            is not counted.
        feet: the feet that can be free at the end: `left`, `right`, `none`.
        facings: the walls that can be faced at the end, in words.
        rounds: how many beats a time round of what goes on until the music ends can last; None where nothing does,
            empty where it is open.
        unit: what they are called: `beats` or `counts`.
        tempo: beats a minute; None where the sheet says nothing.
    """

    lengths: tuple[Fraction, ...]
    feet: tuple[str, ...]
    facings: tuple[str, ...]
    rounds: tuple[Fraction, ...] | None = None
    unit: str = "beats"
    tempo: Fraction | None = None

    def __str__(self) -> str:
        """The line above the verdict of a sheet."""
        if self.rounds is None:
            said = self._lasting(self.lengths, " in all")
        else:
            said = self._lasting(self.rounds, " each time round until the music ends")
            said = said if self.lengths == (Fraction(),) else f"{self._lasting(self.lengths)}, then {said}"
        feet = words.listed([{"none": "no"}.get(foot, foot) for foot in self.feet], "or")
        walls = "any wall" if len(self.facings) == EIGHTHS else words.listed(self.facings, "or")
        return f"{said}; ends facing {walls}, {feet} foot free"

    def _lasting(self, lengths: tuple[Fraction, ...], how: str = "") -> str:
        """Return lengths with the time that they take."""
        if not lengths:
            return f"an open number of {self.unit}{how}"
        far = len(lengths) > MOST_SAID
        shown = (lengths[0], lengths[-1]) if far else lengths
        numbers, times = [_number(one) for one in shown], [self._time(one) for one in shown]
        said, time = (
            (" to ".join(numbers), " to ".join(times))
            if far
            else (words.listed(numbers, "or"), words.listed(list(dict.fromkeys(times)), "or"))
        )
        unit = self.unit.removesuffix("s") if shown == (Fraction(1),) else self.unit
        return f"{said} {unit}{how}" + (f" ({time} at {words.number(self.tempo)})" if self.tempo else "")

    def _time(self, beats: Fraction) -> str:
        seconds = round(beats * 60 / self.tempo) if self.tempo else 0
        return f"{seconds // 60}:{seconds % 60:02}"


def _number(value: Fraction) -> str:
    return f"{value.numerator:,}" if value.denominator == 1 else words.number(value)


def finish(program: Program, clock: bool, tempo: Fraction | None) -> Finish | None:
    """Return how a dance ends; None where nothing is danced.

    Args:
        program: the dance.
        clock: whether its walls are named by the clock, and its beats called counts.
        tempo: beats a minute; None where the sheet says nothing.
    """
    found = ends(program)
    if not found.rounds and all(way.ticks == 0 for way in found.ways):
        return None
    return Finish(
        _beats({way.ticks for way in found.ways}),
        tuple(dict.fromkeys(words.free(weight) for weight in sorted({way.weight for way in found.ways}, reverse=True))),
        tuple(words.facing(wall, clock) for wall in sorted({way.turn for way in found.ways})),
        _beats(found.rounds) if found.rounds else None,
        "counts" if clock else "beats",
        tempo,
    )


def _beats(ticks: Set[int | None]) -> tuple[Fraction, ...]:
    """Return lengths in beats, rising; none if one of them is open."""
    known = sorted(each for each in ticks if each is not None)
    return tuple(Fraction(each, TICKS) for each in known) if len(known) == len(ticks) else ()
