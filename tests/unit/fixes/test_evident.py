"""What a refuted claim would have to say, where the steps give it one value."""

import pytest

from stepcheck.fixes.evident import facts, restatements
from stepcheck.language.edits import ChangeClaim, ChangeMusic
from stepcheck.model.dance import Foot
from stepcheck.report import pipeline

HEAD = "book: clogging\nlead: left\n"


def found(text: str) -> list[tuple[int, object]]:
    """Return the lines and values of the claims of a sheet that would say what is danced."""
    routine = pipeline.loads(HEAD + text)
    return [
        (one.line, one.value if isinstance(one, ChangeClaim) else one.ticks)
        for one in restatements(routine, pipeline.check(routine, engine="walk").diagnostics)
    ]


@pytest.mark.parametrize(
    ("claim", "steps", "value"),
    [
        ("8 beats", "Triple x3", 144),
        ("8 beats", "Triple x2", None),
        ("1/2 turn left", "Triple, turn 1/4 left", -2),
        ("no turn", "Triple, turn 3/4 right", 6),
        ("no turn", "Triple x2, turn 1/4 right on 1st", 2),
        ("front to back", "Triple, turn 1/4 left", 6),
        ("left foot to left foot", "Triple", Foot.RIGHT),
        ("left foot to right foot", "Triple x2", Foot.LEFT),
        ("right foot", "Triple", Foot.LEFT),
        ("left foot to both feet", "Triple", Foot.RIGHT),
        ("8 beats", "Triple | Basic", 48),
    ],
)
def test_a_part_that_is_claimed_otherwise(claim: str, steps: str, value: object) -> None:
    """Length, turn, facing and feet as they are danced; nothing where the steps give no one value."""
    assert ([] if value is None else [(3, value)]) == found(f"part A: {claim}\n  {steps}\ndance:\n  A\n")


@pytest.mark.parametrize(
    ("claim", "value"),
    [("facing front", 2), ("facing right wall", None), ("left foot", Foot.RIGHT), ("both feet", Foot.RIGHT)],
)
def test_an_end_that_is_expected_otherwise(claim: str, value: object) -> None:
    """Of the dance."""
    text = f"part A:\n  Triple, turn 1/4 right\ndance:\n  A\n  expect {claim}\n"
    assert ([] if value is None else [(7, value)]) == found(text)


@pytest.mark.parametrize(("turn", "value"), [("1/2", 2), ("1/4", None), ("1/8", 8), ("3/4", None), ("3/8", 8)])
def test_walls_are_as_many_as_laps_come_home_after(turn: str, value: int | None) -> None:
    """Whichever way they turn."""
    text = f"walls: 4\npart A:\n  Triple x2, turn {turn} left on last\ndance:\n  A until the music ends\n"
    assert ([] if value is None else [(3, value)]) == found(text)


@pytest.mark.parametrize(
    ("first", "second", "line", "value"),
    [("1-4", "5-8", None, None), ("1-6", "7-8", 4, (1, 4)), ("1-4", "7-10", 6, (5, 10)), ("1-4", "5-12", 6, (5, 8))],
)
def test_counts_are_those_that_are_danced(first: str, second: str, line: int | None, value: object) -> None:
    """A heading begins behind the one before, and ends where its steps do."""
    text = f"part A:\n  counts {first}:\n    Triple\n  counts {second}:\n    Triple\ndance:\n  A\n"
    assert (line is None) is (found(text) == [])
    assert line is None or (line, value) in found(text)


def test_the_length_of_a_section_is_a_fact() -> None:
    """What is danced to it, where something is."""
    text = HEAD + "music:\n  verse 12\npart A:\n  Triple x2\ndance:\n  verse: A\n"
    assert (ChangeMusic(4, 96),) == facts(pipeline.loads(text))
    assert () == facts(pipeline.loads(text.replace("12", "8")))
