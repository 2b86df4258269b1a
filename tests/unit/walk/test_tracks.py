"""Where the dancers stand at a line."""

import pytest

from stepcheck.model.dance import TICKS, Weight, key
from stepcheck.report import pipeline
from stepcheck.walk.tracks import Stand, Tracks, tracks

SHEET = """\
routine: Lock Gates
book: clogging

part Verse: 8 beats, front to back
  Triple
  Triple, turn 1/2 right
  expect left foot

part Chorus: 16 beats
  4 times:
    Triple, turn 1/4 left

part Spare: 4 beats
  Triple

dance:
  Verse x2
  Chorus
  hold 4 beats
  Stomp
"""


def follow(text: str) -> Tracks:
    """Return the tracks of a sheet that is well-formed."""
    program = pipeline.loads(text).program
    assert program is not None
    return tracks(program)


def test_a_line_has_the_moment_at_which_it_first_comes() -> None:
    """Weight, facing and beat are those of the first time, before the line and after it."""
    before, after = follow(SHEET).lines[6]

    assert (Weight.LEFT, 0, 4 * TICKS) == (before.weight, before.facing, before.tick)
    assert (Weight.RIGHT, 4, 8 * TICKS) == (after.weight, after.facing, after.tick)


def test_counts_inside_a_part_begin_with_it() -> None:
    """A line of a later part has the beat of its part and that of the dance."""
    begun, _ = follow(SHEET).lines[11]

    assert ("Chorus", 0, 16 * TICKS) == (begun.part, begun.inside, begun.tick)


def test_a_part_has_its_start_and_end() -> None:
    """The first pass of a part goes from one state to another, whatever it repeats inside."""
    begun, ended = follow(SHEET).parts[key("Chorus")]

    assert (0, 0) == (begun.facing, ended.facing)
    assert (16 * TICKS, 32 * TICKS) == (begun.tick, ended.tick)


def test_a_part_that_is_never_danced_is_followed_from_its_own_start() -> None:
    """Its lines have a state too."""
    assert key("Spare") in follow(SHEET).parts
    assert 14 in follow(SHEET).lines


def test_silence_moves_the_clock_alone() -> None:
    """A hold keeps weight and facing."""
    before, after = follow(SHEET).lines[19]

    assert (before.weight, before.facing, before.tick + 4 * TICKS) == (after.weight, after.facing, after.tick)


def test_after_a_blank_nobody_knows_the_weight() -> None:
    """What is to be found leaves the weight open until a claim says it."""
    text = "routine: x\nbook: clogging\npart A: 12 beats\n  ? 8 beats\n  Triple, left foot\ndance:\n  A\n"
    found = follow(text)

    assert None is found.lines[4][1].weight
    assert Weight.RIGHT is found.lines[5][0].weight


@pytest.mark.parametrize(("times", "facing"), [(10**9, 0), (10**9 - 1, 6)])
def test_a_great_many_times_cost_no_more(times: int, facing: int) -> None:
    """A repeat is followed until it comes round, then by arithmetic."""
    text = f"routine: x\npart A:\n  {times} times:\n    Triple, turn 1/4 right\ndance:\n  A\n  hold 1 beat\n"
    before, _ = follow(text).lines[7]

    assert Stand(before.weight, facing, 4 * times * TICKS, 4 * times * TICKS) == before


def test_a_wrong_claim_is_taken_as_put_right() -> None:
    """What comes after a refuted foot or facing goes on from what the sheet says."""
    text = SHEET.replace("expect left foot", "expect right foot, facing front").replace(", front to back", "")
    found = follow(text)
    _, ended = found.parts[key("Verse")]

    assert 4 == found.lines[7][0].facing
    assert (Weight.LEFT, 0) == (ended.weight, ended.facing)
