"""The bars of a song played out: repeats and endings followed, and what is played cut into its strains."""

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise
from math import ceil
from typing import NamedTuple

from attrs import frozen

from stepcheck.model.dance import TICKS
from stepcheck.model.source import StepcheckError

COMPOUND = {(6, 8), (9, 8), (12, 8)}
"""Metres that are danced to the dotted crotchet; in any other the dance beat is the note that its lower number says."""
LONGEST = 20_000
"""Bars that a song may be played out to."""


class NoSong(StepcheckError, ValueError):
    """A file cannot be read as a song, or may not be read, and why."""


@frozen
class Bar:
    """A bar as it is written; lengths in quarter notes.

    `begins` and `ends` say whether a repeat sign stands at its start or end, `plays` how often the repeat that ends
    here is played; `endings` are the times that it belongs to, empty for all; `edge` says that a double bar line ends
    it, `free` that it need not be as long as its metre says.
    """

    length: Fraction
    metre: tuple[int, int]
    begins: bool = False
    ends: bool = False
    plays: int = 2
    endings: tuple[int, ...] = ()
    edge: bool = False
    label: str | None = None
    tempos: tuple[tuple[Fraction, Fraction], ...] = ()
    free: bool = False

    @property
    def whole(self) -> Fraction:
        """How long a bar of its metre is, in quarter notes."""
        return Fraction(4 * self.metre[0], self.metre[1])

    @property
    def beat(self) -> Fraction:
        """How long a dance beat is, in quarter notes."""
        return Fraction(3, 2) if self.metre in COMPOUND else Fraction(4, self.metre[1])

    @property
    def phrase(self) -> int:
        """How many beats a phrase has (*common practice*): 8, and 12 where a bar has three of them."""
        return 12 if self.whole / self.beat == 3 else 8

    @property
    def short(self) -> bool:
        """Whether it is less than a bar of its metre: a pick-up at the start of a strain."""
        return not self.free and self.length < self.whole


@frozen
class Section:
    """A strain as it is played once.

    Attributes:
        name: as the file labels it, else A, B and so on.
        ticks: its length from its first downbeat to that of the next section.
        phrase: how many beats each of its phrases has.
    """

    name: str
    ticks: int
    phrase: int = 8


@frozen
class Song:
    """A song as it is danced to.

    Attributes:
        sections: in the order in which they are played.
        tempos: pairs of a beat from which a tempo holds and the beats a minute; the first holds from beat 0. Empty
            where the file has none.
        left_out: what the file says that is not followed.
    """

    sections: tuple[Section, ...]
    tempos: tuple[tuple[Fraction, Fraction], ...] = ()
    left_out: tuple[str, ...] = ()

    @property
    def tempo(self) -> Fraction | None:
        """The beats a minute at which the whole song takes as long as it does, to a tenth; None if it has no tempo."""
        if not self.tempos:
            return None
        beats = Fraction(sum(section.ticks for section in self.sections), TICKS)
        spans = pairwise((*((at, speed) for at, speed in self.tempos if at < beats), (beats, Fraction(1))))
        minutes = sum(((end - at) / speed for (at, speed), (end, _) in spans), Fraction())
        return Fraction(round(10 * beats / minutes), 10)


def song(bars: tuple[Bar, ...], left_out: tuple[str, ...] = ()) -> Song:
    """Return the song that bars make when they are played out.

    A section lasts from its first downbeat to the next section's; a pick-up before the first downbeat comes before the
    dance, and the last bar lasts as long as its metre says.

    Raises:
        NoSong: the repeats don't come to an end, or a section is too short to be danced to.
    """
    runs = tuple(_runs(bars))
    sections: list[Section] = []
    tempos: list[tuple[Fraction, Fraction]] = []
    done = Fraction()
    for number, (name, lead, body) in enumerate(runs):
        tempos += _tempos(bars, (*lead, *body), done - _beats(bars, lead))
        after = runs[number + 1].lead if number + 1 < len(runs) else ()
        last = bars[body[-1]]
        beats = _beats(bars, body) + _beats(bars, after)
        if number + 1 == len(runs):
            rest = last.whole - last.length
            beats = Fraction(ceil(beats)) if last.free else beats + (rest / last.beat if last.short else 0)
        done += beats
        sections.append(Section(name, round(beats * TICKS), bars[body[0]].phrase))
    if not all(section.ticks for section in sections):
        raise NoSong("a section of it is shorter than a tick, a twelfth of a beat")
    return Song(tuple(sections), _changes(tempos), left_out)


class _Run(NamedTuple):
    """A strain as it is played once: its name, and the places of the bars of its pick-up and of its own."""

    name: str
    lead: tuple[int, ...]
    body: tuple[int, ...]


def _runs(bars: tuple[Bar, ...]) -> Iterator[_Run]:
    """Yield the strains in the order in which they are played; a pick-up that is fenced off belongs to what follows."""
    played = tuple(_played(bars))
    starts = [at for at, place in enumerate(played) if _begins(bars, place)]
    names: dict[int, str] = {}
    fenced: tuple[int, ...] = ()
    for start, end in pairwise((*starts, len(played))):
        run = played[start:end]
        if end < len(played) and all(bars[place].short for place in run):
            fenced += run
            continue
        lead = run[:1] if len(run) > 1 and bars[run[0]].short else ()
        label = "".join(char if char.isalnum() or char in "'-" else " " for char in bars[run[0]].label or "")
        number = len(names)
        letter = chr(ord("A") + number % 26) + (str(number // 26 + 1) if number > 25 else "")
        name = names.setdefault(run[0], " ".join(label.split()).strip("'-") or letter)
        yield _Run(name, fenced + lead, run[len(lead) :])
        fenced = ()


def _begins(bars: tuple[Bar, ...], place: int) -> bool:
    """Say whether a strain begins with the bar at a place: after a double bar line or a repeat, or with a name."""
    bar = bars[place]
    if not place or bar.label or bar.begins:
        return True
    before = bars[place - 1]
    if before.endings:  # what follows a first ending is the second one, whether or not it is numbered
        return not bar.endings and not (before.ends and max(before.endings) == 1)
    return before.ends or before.edge


def _played(bars: tuple[Bar, ...]) -> Iterator[int]:
    """Yield the places of the bars in the order in which they are played.

    A repeat without a sign where it begins goes back to the name, double bar line or end of a repeat before it.
    """
    place, start, time, open_, steps = 0, 0, 1, False, 0
    while place < len(bars):
        bar = bars[place]
        if (bar.begins or (bar.label and not open_)) and place != start:
            start, time, open_ = place, 1, bar.begins
        if not bar.endings or time in bar.endings:
            yield place
            steps += 1
            if steps > LONGEST:
                raise NoSong(f"played out it has more than {LONGEST} bars")
            if bar.ends and time < _plays(bars, place):
                place, time = start, time + 1
                continue
        following = bars[place + 1] if place + 1 < len(bars) else None
        done = bar.ends and not (following and following.endings)
        past = bar.endings and not (following and following.endings)
        if done or past or (bar.edge and not open_ and not bar.endings):
            start, time, open_ = place + 1, 1, False
        open_ |= bar.begins
        place += 1


def _plays(bars: tuple[Bar, ...], place: int) -> int:
    """Return how often the repeat is played that ends with the bar at a place: as often as it has endings."""
    if not bars[place].endings:
        return bars[place].plays
    last = place
    while last + 1 < len(bars) and bars[last + 1].endings:
        last += 1
    while place and bars[place - 1].endings:
        place -= 1
    return max(2, *(max(bar.endings) for bar in bars[place : last + 1]))


def _beats(bars: tuple[Bar, ...], run: tuple[int, ...]) -> Fraction:
    return sum((bars[place].length / bars[place].beat for place in run), Fraction())


def _tempos(bars: tuple[Bar, ...], run: tuple[int, ...], begins: Fraction) -> Iterator[tuple[Fraction, Fraction]]:
    for place in run:
        for at, speed in bars[place].tempos:
            yield begins + at / bars[place].beat, speed / bars[place].beat
        begins += bars[place].length / bars[place].beat


def _changes(tempos: list[tuple[Fraction, Fraction]]) -> tuple[tuple[Fraction, Fraction], ...]:
    """Return tempos in their order, without those that say what holds already; the first holds from the start."""
    kept: list[tuple[Fraction, Fraction]] = []
    for at, speed in sorted(tempos, key=lambda one: one[0]):
        if not kept or kept[-1][1] != speed:
            kept.append((max(at, Fraction()) if kept else Fraction(), speed))
    return tuple(kept)
