"""How a dance can end, whatever is claimed."""

import pytest

from stepcheck.model.dance import TICKS, Weight
from stepcheck.report.pipeline import loads
from stepcheck.walk.ends import Ends, Way, ends
from stepcheck.walk.tracks import tracks


def found(lines: str, dance: str = "A", header: str = "") -> Ends:
    """Return how the dance of a clogging sheet with one part can end; semicolons divide its lines."""
    body = "".join(f"  {row}\n" for row in lines.split("; "))
    rows = "".join(f"  {row}\n" for row in dance.split("; "))
    program = loads(f"routine: Weir\nbook: clogging\n{header}part A:\n{body}dance:\n{rows}").program
    assert program is not None
    return ends(program)


@pytest.mark.parametrize(
    ("lines", "dance", "expected"),
    [
        ("Triple", "A", {Way(Weight.LEFT, 0, 4 * TICKS)}),
        ("Triple, turn 1/4 left", "A x3", {Way(Weight.LEFT, 2, 12 * TICKS)}),
        ("Triple | Fancy Double", "A", {Way(Weight.LEFT, 0, 4 * TICKS), Way(Weight.RIGHT, 0, 4 * TICKS)}),
        ("Triple, turn 1/2 left | Triple", "A", {Way(Weight.LEFT, 4, 4 * TICKS), Way(Weight.LEFT, 0, 4 * TICKS)}),
        ("Triple; hold 2 beats", "A; A, first 4 beats", {Way(Weight.RIGHT, 0, 10 * TICKS)}),
        ("Triple, facing back; Triple, right foot", "A", {Way(Weight.RIGHT, 0, 8 * TICKS)}),
    ],
)
def test_the_ends_of_a_dance_are_those_of_its_steps(lines: str, dance: str, expected: set[Way]) -> None:
    """Each way to choose gives an end; a claim that is refuted changes none."""
    assert Ends(frozenset(expected)) == found(lines, dance)


def test_a_blank_leaves_open_what_it_hides() -> None:
    """A gap can end anywhere after its beats, a turn to be found on any wall, and a number of times is no length."""
    assert 24 == len(found("? 4 beats").ways)
    assert set(range(8)) == {way.turn for way in found("Triple, turn ?").ways}
    assert {None} == {way.ticks for way in found("Triple x?").ways}


def test_what_goes_on_until_the_music_ends_is_told_by_the_time_round() -> None:
    """The dance comes to every wall that a time round leads to, after what was danced before; a round has a length."""
    got = found("Triple x2, turn 1/4 left on last", "Triple x2; A until the music ends")

    assert frozenset({8 * TICKS}) == got.rounds
    assert {Way(Weight.RIGHT, wall, 8 * TICKS, True) for wall in (0, 2, 4, 6)} == got.ways


def test_many_times_are_as_quick_as_few_and_as_right() -> None:
    """A thousand passes end where following them step by step ends."""
    text = "routine: Weir\nbook: clogging\npart A:\n  999 times:\n    Triple, turn 1/8 left\ndance:\n  A x3\n"
    program = loads(text).program
    assert program is not None
    _, end = tracks(program).parts["a"]
    (way,) = ends(program).ways

    assert (Weight.LEFT, 2997 * 4 * TICKS, -2997 % 8) == (way.weight, way.ticks, way.turn) and end.facing == -999 % 8
