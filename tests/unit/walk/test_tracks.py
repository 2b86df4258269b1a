"""Where the dancers stand at a line."""

import random

import pytest

from stepcheck.model.dance import TICKS, Weight, key
from stepcheck.report import pipeline
from stepcheck.walk.ends import ends
from stepcheck.walk.tracks import Tracks, timeline, tracks, walls_of
from tests.bench.generators import sheet

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

    assert (facing, 4 * times * TICKS, 2 * times) == (before.facing, before.tick, before.turn)


def test_a_wrong_claim_is_taken_as_put_right() -> None:
    """What comes after a refuted foot or facing goes on from what the sheet says."""
    text = SHEET.replace("expect left foot", "expect right foot, facing front").replace(", front to back", "")
    found = follow(text)
    _, ended = found.parts[key("Verse")]

    assert 4 == found.lines[7][0].facing
    assert (Weight.LEFT, 0) == (ended.weight, ended.facing)


def test_a_timeline_goes_on_where_it_was_and_ends_as_its_relations_say() -> None:
    """Every moment begins with the feet, wall and beat of the one before; the last ends as `walk.ends`, which follows
    no single dancer, says that the dance can end."""
    compared = 0
    for number in random.Random(1).sample(range(2000), 12):
        routine = pipeline.loads(sheet(1, number))
        assert routine.program is not None
        made = timeline(routine.program)
        if not made.whole or pipeline.check(routine, engine="walk").verdict.word != "proved":
            continue
        for one, then in zip(made.moments, made.moments[1:], strict=False):
            assert (one.feet[1], one.facings[1], one.tick + one.ticks) == (then.feet[0], then.facings[0], then.tick)
            compared += 1
        last = made.moments[-1]
        found = {(way.weight, way.turn, way.ticks) for way in ends(routine.program).ways}
        assert made.endless or (last.feet[1], last.facings[1], last.tick + last.ticks) in found
    assert compared > 100


def test_a_timeline_has_every_time_until_it_is_too_long() -> None:
    """A repeat is drawn time by time; one of a thousand million is cut, and the timeline says so; nothing hangs."""
    text = "routine: x\npart A:\n  {} times:\n    Triple, turn 1/4 right\ndance:\n  A\n"
    few, many = (pipeline.loads(text.format(times)).program for times in (5, 10**9))
    assert few is not None and many is not None

    assert [0, 2, 4, 6, 0] == [one.facings[0] for one in timeline(few).moments]
    assert timeline(few).whole and not timeline(many, most=20).whole
    assert 21 == len(timeline(many, most=20).moments)


def test_a_round_until_the_music_ends_is_danced_as_often_as_asked() -> None:
    """Rounds begin on the walls that the dance comes to."""
    program = pipeline.loads(
        "routine: x\npart A:\n  Triple, turn 1/4 right\ndance:\n  A until the music ends\n"
    ).program
    assert program is not None
    made = timeline(program, rounds=5)

    assert [0, 2, 4, 6, 0] == [one.facings[0] for one in made.moments]
    assert (0, 2, 4, 6) == walls_of(program, made.endless)
