"""Where the dancers stand at a line."""

import random

import pytest

from stepcheck.model.claims import Kind, Test
from stepcheck.model.dance import (
    TICKS,
    Body,
    Choice,
    Figure,
    Forever,
    Lap,
    Last,
    Pass,
    Repeat,
    Rest,
    Spare,
    Timed,
    Walls,
    Weight,
    key,
)
from stepcheck.report import pipeline
from stepcheck.walk import tracks as following
from stepcheck.walk.ends import ends
from stepcheck.walk.stands import Moment
from stepcheck.walk.tracks import Tracks, timeline, tracks, walls_of
from tests.bench.generators import sheet
from tests.programs import BACK, CHANGE, LEAP, SPIN, Maker, part, step

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


LONG = """\
routine: Lock Gates
book: clogging
facing: left

part Verse: 8 beats
  Triple
  Triple | Stomp x4
  expect right foot, facing left

part Tag:
  Triple x2
  hold 2 beats

dance:
  2 times:
    Verse
  Tag, first 6 beats
  Triple, turn 1/4 left
  ? 4 beats
  Triple, left foot
"""
L, R = Weight.LEFT, Weight.RIGHT
ROWS = [
    # beat, beats, line, label, feet, facings, turn, part, time, times, beats inside
    (0, 4, 6, "Triple", (R, L), (6, 6), 0, "Verse", 1, 1, 0),
    (4, 4, 7, "Triple", (L, R), (6, 6), 0, "Verse", 1, 1, 4),
    (8, 0, 8, "right foot", (R, L), (6, 6), 0, "Verse", 1, 1, 8),
    (8, 0, 8, "facing left", (L, L), (6, 4), 0, "Verse", 1, 1, 8),
    (8, 4, 6, "Triple", (L, R), (4, 4), 0, "Verse", 2, 1, 0),
    (12, 4, 7, "Triple", (R, L), (4, 4), 0, "Verse", 2, 1, 4),
    (16, 0, 8, "facing left", (L, L), (4, 2), 0, "Verse", 2, 1, 8),
    (16, 6, 11, "Triple", (L, R), (2, 2), 0, "Tag", 1, 2, 0),
    (22, 4, 18, "Triple", (R, L), (2, 0), -2, "", 0, 1, 22),
    (26, 4, 19, "?", (L, None), (0, -1), 0, "", 0, 1, 26),
    (30, 4, 20, "Triple", (R, L), (-1, -1), 0, "", 0, 1, 30),
]


def about(m: Moment) -> tuple[object, ...]:
    """Return what a row of the table says between the beats."""
    return m.line, m.label, m.feet, m.facings, m.turn, m.part, m.time, m.times


def test_a_timeline_is_what_was_worked_out_by_hand() -> None:
    """Feet, facings, beats, the time of the part; claims that fail are drawn as put right; behind a blank nobody knows."""
    program = pipeline.loads(LONG).program
    assert program is not None
    made = timeline(program).moments

    assert ROWS == [(m.tick / TICKS, m.ticks / TICKS, *about(m), m.inside / TICKS) for m in made]
    assert [m.label in ("right foot", "facing left") for m in made] == [m.put_right for m in made]
    assert [("Stomp",) if m.line == 7 else () for m in made] == [m.others for m in made]
    assert [None if m.put_right or m.label == "?" else m.label for m in made] == [
        m.figure and m.figure.name for m in made
    ]
    assert [m.time for m in timeline(program, each=True).moments if m.line == 11] == [1, 1]


def test_a_stretch_with_its_own_length_lasts_that() -> None:
    """A part or a stretch that is cut, with what is counted inside from its start."""
    maker = Maker()
    inside, outside = maker.check(Test.CLOCK, 24), maker.check(Test.CLOCK, 12 + 36 + 5)
    dance = step(CHANGE), Timed((step(BACK), inside), 36), part(step(CHANGE), lasts=5), outside, step(SPIN)
    made = timeline(maker.program(*dance), each=True).moments

    assert [(0, 12), (12, 24), (48, 12), (53, 24)] == [(one.tick, one.ticks) for one in made]
    assert not any(one.put_right for one in made)


@pytest.mark.parametrize("first", [CHANGE, LEAP])
@pytest.mark.parametrize("body", [BACK, CHANGE, SPIN])
def test_a_part_is_counted_on_from_before_a_repeat(first: Figure, body: Figure) -> None:
    """Once before it, each time of it, from whatever foot it begins, and what comes behind."""
    kinds = [(step(first),), (step(body),), (step(SPIN), step(CHANGE))]
    one, two, three = (Pass(1, "Part", 0, kind) for kind in kinds)
    for times in (2, 5, 30):
        program = Maker().program(one, one, Repeat(1, times, (two, step(BACK))), three, facing=3)
        plain = Maker().program(one, one, *(two, step(BACK)) * times, three, facing=3)
        short, long = (tracks(made).passes["part"] for made in (program, plain))

        assert [(each.time, each.way) for each in long] == [(each.time, each.way) for each in short]
        assert 3 + times == short[-1].time


def test_the_passes_of_a_part_are_numbered_through_repeats() -> None:
    """Each kind of pass has the number of its first one, however many times of a repeat were gone through at once."""
    once, last = Pass(1, "Part", 0, (step(SPIN),)), Pass(1, "Part", 0, (step(SPIN), step(CHANGE)))
    found = tracks(Maker().program(step(CHANGE), Repeat(1, 13, (once, step(BACK), once)), last)).passes["part"]

    assert [(1, 12), (27, 12 + 13 * 72)] == [(one.time, one.way[0].tick) for one in found]


@pytest.mark.parametrize(
    "body",
    [
        (part(step(CHANGE, 3)),),
        (part(step(CHANGE, 2)), part(step(BACK))),
        (Choice(0, None, ((part(step(SPIN)),), (part(step(CHANGE)),))), Rest(1, 12)),
        (Timed((part(step(BACK, 1)),), 30), Last((part(step(CHANGE)),))),
        (Lap((part(step(CHANGE, -1)),)), Repeat(1, 3, (part(step(BACK)),))),
    ],
    ids=["a part", "two parts", "options", "a last time", "a repeat inside"],
)
def test_a_repeat_is_its_times_written_out(body: Body) -> None:
    """Whole rounds at once give the passes, and the stands behind them, that the times do one by one."""
    for times in (1, 2, 9, 18, 29):
        after = step(CHANGE, 1), part(step(CHANGE), step(CHANGE))
        short, long = (
            tracks(Maker().program(*dance, facing=3))
            for dance in ((Repeat(1, times, body), *after), (*body * times, *after))
        )
        assert short.parts == long.parts
        assert [(one.time, one.way) for one in short.passes["part"]] == [
            (one.time, one.way) for one in long.passes["part"]
        ]


def test_a_part_that_is_never_danced_begins_on_its_weight_on_the_front_wall() -> None:
    """Its first weight, whatever wall the dance begins on."""
    program = Maker().program(step(CHANGE), facing=3, spares=(Spare((Weight.BOTH, Weight.LEFT), (part(step(SPIN)),)),))
    begun, ended = tracks(program).parts["part"]

    assert (Weight.BOTH, 0, 0, 0) == (begun.weight, begun.facing, begun.tick, begun.turn)
    assert (Weight.RIGHT, 2, 24, 2) == (ended.weight, ended.facing, ended.tick, ended.turn)


@pytest.mark.parametrize(
    ("body", "walls"),
    [
        ((step(CHANGE, 2),), (3, 5, 7, 1)),
        ((step(CHANGE, 3),), (3, 6, 1, 4, 7, 2, 5, 0)),
        ((step(SPIN), step(CHANGE)), (3, 5)),
        ((step(CHANGE, 2, blank=True),), ()),
    ],
)
def test_walls_are_those_at_the_starts_of_laps(body: Body, walls: tuple[int, ...]) -> None:
    """In the order in which they come, from the wall on which the dance begins; none behind a blank."""
    maker = Maker()
    claim = Walls(maker.claim(Kind.WALLS), 4, (part(*body),))
    assert walls == walls_of(maker.program(part(*body, lap=True), facing=3, walls=claim))
    assert walls == walls_of(
        maker.program(Forever(1, body), facing=3), timeline(maker.program(Forever(1, body), facing=3)).endless
    )
    assert () == walls_of(maker.program(*body))


def test_a_pass_that_turns_otherwise_is_of_another_kind() -> None:
    """On the same foot and beat, with another facing from where it began."""
    passes = [Pass(1, "Part", 0, (step(BACK, turn),)) for turn in (1, 3, 9, 1, -7)]
    assert [1, 2] == [one.time for one in tracks(Maker().program(*passes)).passes["part"]]


def test_a_timeline_is_whole_as_far_as_its_work_goes(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each item and each time of a repeat is some work."""
    for work, whole in ((5, True), (4, False)):
        monkeypatch.setattr(following, "_WORK", work)
        made = timeline(Maker().program(Repeat(1, 2, (step(CHANGE),))), each=True)
        assert (whole, 2 if whole else 1) == (made.whole, len(made.moments))
