"""What a refuted claim would have to say, where the steps give it one value."""

import pytest

from stepcheck.fixes.evident import facts, named, restatements, slips
from stepcheck.fixes.protected import Trials
from stepcheck.fixes.repairs import priced
from stepcheck.language.edits import ChangeClaim, ChangeMusic, CorrectSlip
from stepcheck.language.stretches import parts
from stepcheck.language.syntax import DanceHead
from stepcheck.model.dance import Foot
from stepcheck.report import pipeline

HEAD = "book: clogging\nlead: left\n"


def found(text: str) -> list[tuple[int, object]]:
    """Return the lines and values of the claims of a sheet that would say what is danced."""
    routine = pipeline.loads(HEAD + text)
    return [
        (one.line, one.value if isinstance(one, ChangeClaim) else one.ticks) for one in restatements(Trials(routine))
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


def test_counts_that_end_before_they_begin_are_none() -> None:
    """Where neither the beginning nor the end can be what is danced."""
    text = "part A:\n  counts 1-4:\n    Triple\n  Basic\n  counts {}-12:\n    Triple\ndance:\n  A\n"
    assert [(7, (6, 6))] == found(text.format(6)) and [] == found(text.format(10))


def test_the_length_of_a_section_is_a_fact() -> None:
    """What is danced to it, where something is."""
    text = HEAD + "music:\n  verse 12\npart A:\n  Triple x2\ndance:\n  verse: A\n"
    assert (ChangeMusic(4, 96),) == facts(Trials(pipeline.loads(text)))
    assert () == facts(Trials(pipeline.loads(text.replace("12", "8"))))


@pytest.mark.parametrize(
    ("steps", "value"),
    [
        ("part A: 21 beats\n  Triple x3", 144),  # two digits swapped
        ("part A: 22 beats\n  Triple x3", 144),  # no whole fours, where that is
        ("part A: 16 beats\n  Triple x3", None),
        ("part A: 8 beats\n  counts 1-4:\n    Triple\n  counts 5-12:\n    Triple x2", 144),  # its last heading holds
    ],
)
def test_a_length_is_a_slip_where_the_sheet_shows_it(steps: str, value: int | None) -> None:
    """By its digits, or by what the last heading under it says."""
    made = slips(Trials(pipeline.loads(f"{HEAD}{steps}\ndance:\n  A\n")), frozenset(), priced())
    assert ([] if value is None else [value]) == [one.value for one in made if isinstance(one, CorrectSlip)]


@pytest.mark.parametrize(
    ("claim", "steps", "slip"),
    [
        (
            "no turn",
            "Triple, turn full left",
            True,
        ),  # a class sees no difference, and no other side of the turn makes it
        ("no turn", "Triple x4, turn 1/4 left", False),  # two of four turns to the other side would
        ("1/4 turn left", "Triple, turn full left", False),
    ],
)
def test_a_whole_turn_more_is_a_slip(claim: str, steps: str, slip: bool) -> None:
    """Where turns to the other side do not make it."""
    routine = pipeline.loads(f"{HEAD}part A: {claim}\n  {steps}\ndance:\n  A\n")
    assert routine.program is not None
    assert slip is bool(slips(Trials(routine), frozenset(), priced()))


@pytest.mark.parametrize(("claim", "slip"), [("8 beats", False), ("1/4 turn left", True)])
def test_walls_are_a_slip_where_a_turn_is_claimed(claim: str, slip: bool) -> None:
    """A claim about something else that holds says nothing of them."""
    text = f"walls: 2\npart A: {claim}\n  Triple x2, turn 1/4 left on last\ndance:\n  A until the music ends\n"
    assert slip is bool(slips(Trials(pipeline.loads(HEAD + text)), frozenset(), priced()))


@pytest.mark.parametrize(
    ("dance", "found"),
    [
        ("AXBANBNB", {(2, "N"), (5, "X")}),  # A before N, and B behind it, do not both stand elsewhere
        ("AXBANBANB", {(2, "N")}),
        ("AXBAXB", set()),
        ("AXNB", set()),
    ],
)
def test_a_part_stands_between_two_as_elsewhere(dance: str, found: set[tuple[int, str]]) -> None:
    """Another part that stands between the same two elsewhere may be meant where the written one does not."""
    written = "".join(f"part {name}:\n  Triple\n" for name in "ABNX")
    sheet = pipeline.loads(HEAD + written + "dance:\n" + "".join(f"  {name}\n" for name in dance)).sheet
    head = next(line for line in sheet.lines if isinstance(line.node, DanceHead))
    assert found == {(one.line - head.number, one.name) for one in named(head, parts(sheet))}
