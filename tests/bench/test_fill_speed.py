"""Six blanks at once."""

from itertools import islice
from statistics import median
from time import perf_counter

import pytest

from stepcheck import loads
from stepcheck.breaks.fill import fill
from stepcheck.breaks.material import material
from stepcheck.breaks.puzzle import Puzzle
from tests.bench import goals

SHEET = """\
routine: Six Smudges
book: clogging
level: easy, club scheme
lead: left
wait: 16 beats

part Verse: 32 beats, full turn left, left foot to left foot
  Triple
  Push-off, turn ?
  Clog-over Vine
  Basic x?
  expect facing back
  Rocking Chair, turn ?
  Triple

part Chorus: 32 beats, 1/2 turn right, left foot to left foot
  Triple, ? foot
  Push-off, turn ?
  expect facing back
  ? times:
    Vine
    Basic x2
    Brush-Up Basic x2

dance:
  Verse
  Chorus
  Verse
  Chorus
  expect facing front
"""


def timed(run: object, rounds: int = 9) -> float:
    """Return the median of several runs in seconds."""
    times = []
    for _ in range(rounds):
        begun = perf_counter()
        run()  # type: ignore[operator]
        times.append(perf_counter() - begun)
    return median(times)


@pytest.mark.bench
def test_six_blanks() -> None:
    """Six blanks of four kinds are filled, and nothing else shown to fit, in at most 200 ms with the report."""
    routine = loads(SHEET)
    assert 6 == len(Puzzle(routine, material(routine)).blanks)
    found = fill(routine)
    assert found.unique
    alone = timed(lambda: list(islice(Puzzle(routine, material(routine)).distinct(), 2)))
    whole = timed(lambda: fill(routine))
    goals.BLANKS.show(1000 * alone, "solved")
    goals.BLANKS.show(1000 * whole, "with the report of both engines")


LONG = """\
routine: Long Smudge
book: {book}
part A: 64 {unit}{more}
  ? 64 {unit}
dance:
{calls}
"""


@pytest.mark.bench
@pytest.mark.parametrize(
    "book,more,calls",
    [
        ("clogging", ", no turn, left foot to left foot", "  A"),
        ("clogging", "", "  A x2\n  expect facing back"),
        ("clogging", ", 1/2 turn right, left foot to right foot", "  A\n  A, mirrored"),
        ("line", ", 1/4 turn left", "  A until the music ends"),
    ],
)
def test_a_long_gap(book: str, more: str, calls: str) -> None:
    """A gap of 64 beats is filled in a second at most, also where it is danced from several feet, or mirrored."""
    unit = "counts" if book == "line" else "beats"
    routine = loads(LONG.format(book=book, unit=unit, more=more, calls=calls))
    assert 3 == len(fill(routine).fills)
    whole = timed(lambda: fill(routine), 3)
    goal = goals.LONG_GAP_LINE if book == "line" else goals.LONG_GAP
    goal.show(1000 * whole, f"{more.lstrip(', ') or 'no claim'}, danced as {' '.join(calls.split())}")
