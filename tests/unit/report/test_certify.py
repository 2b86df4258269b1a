"""The judge of traces: a dance in which nothing is wrong is no counterexample."""

import pytest

from stepcheck.model.dance import TICKS
from stepcheck.model.outcome import Trace
from stepcheck.model.work import WorkSpent
from stepcheck.report import pipeline
from stepcheck.report.certify import Rejected, confirm
from stepcheck.report.readings import lean, opened_up
from stepcheck.report.wording import scene
from stepcheck.walk.walk import walk

SHEET = """routine: Weir
book: line
lead: left
facing: {facing}
groups: odd, even
even: lead right, facing {facing}
figures:
  Ford: S
part A:
  Ford
dance:
  together:
    odd: A
    even: A
  together:
    odd: {odd}
    even: {even}
  expect mirror images
"""
LEFT, RIGHT = "Ford, turn 1/4 left", "Ford, turn 1/4 right"


@pytest.mark.parametrize("facing", ["front", "right wall", "7:30"])
@pytest.mark.parametrize(
    ("odd", "even", "mirrored"),
    [("A", "A", True), ("B", "C", True), ("C", "B", True), ("B", "B", False), ("A", "C", False), ("B", "A", False)],
)
def test_mirror_images_are_no_counterexample(facing: str, odd: str, even: str, mirrored: bool) -> None:
    """As far as each has turned from the front of the dance to one side, the other has to the other side."""
    text = SHEET.format(facing=facing, odd=odd, even=even)
    text = text.replace("dance:", f"part B:\n  {LEFT}\npart C:\n  {RIGHT}\ndance:")
    program = pipeline.loads(text).program
    assert program is not None
    (claim,) = program.claims
    traces = Trace(meeting=(0, 0)), Trace(meeting=(0, 1))

    if mirrored:
        with pytest.raises(Rejected, match="stand to each other as they should"):
            confirm(program, claim, traces, frozenset())
    else:
        assert ["odd", "even"] == [replay.group for replay in confirm(program, claim, traces, frozenset())]


def test_a_visit_that_takes_too_long_to_judge_is_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """The words on which a sheet hangs are told all the same."""
    routine = pipeline.loads(
        "routine: Weir\nbook: clogging\npart A: 1 beat, left foot to right foot\n  Stomp\ndance:\n  A\n"
    )
    assert routine.program is not None
    view = opened_up(routine.program, routine.words)
    assert view is not None
    seen = scene(routine.sheet, routine.program)
    told = lean(view, seen)
    assert told.visits

    def spent(*given: object) -> None:
        raise WorkSpent

    monkeypatch.setattr("stepcheck.report.certify.confirm", spent)
    fewer = lean(view, seen)
    assert told.hangs == fewer.hangs != () and () == fewer.visits


@pytest.mark.parametrize(
    ("start", "lines", "tick"),
    [("start 1 step right", (11, 15), 12), ("start 1 step right, start 1 step left", (0, 0), 0)],
)
def test_two_who_meet_are_told_with_the_lines_that_lead_them_there(
    start: str, lines: tuple[int, int], tick: int
) -> None:
    """The line of the step that ends where they stand on one place; none before the first step."""
    text = SHEET.format(facing="front", odd="A", even="Quay, on the spot").replace("lead right, facing front", start)
    text = text.replace("  Ford: S\n", "  Ford, 1 step right: S\n  Quay: S\n").replace("mirror images", "never meet")
    text = text.replace("  together:\n    odd: A\n    even: A\n", "", 1)
    program = pipeline.loads(text).program
    assert program is not None
    claim = program.claims[-1]
    (traces,) = (one.traces for one in walk(program) if one.claim == claim.id)
    found = confirm(program, claim, traces, frozenset())

    assert [(line, tick) for line in lines] == [(replay.line, replay.tick) for replay in found]


@pytest.mark.parametrize(("beats", "found"), [(2, None), (1, 2), (3, 2)])
def test_a_figure_is_as_long_as_its_last_beat(beats: int, found: int | None) -> None:
    """What it says of its length is true, or it is told how long its movements are."""
    unit = "beat" if beats == 1 else "beats"
    text = f"book: clogging\nfigures:\n  Lock, {beats} {unit}: S S\npart A:\n  Lock\ndance:\n  A\n"
    program = pipeline.loads(text).program
    assert program is not None
    (claim,) = program.claims

    if found is None:
        with pytest.raises(Rejected):
            confirm(program, claim, (), frozenset())
    else:
        (replay,) = confirm(program, claim, (), frozenset())
        assert (beats * TICKS, found * TICKS) == (replay.expected, replay.found)


def test_the_length_of_another_figure_is_no_counterexample() -> None:
    """Of two figures the one that the claim is about is looked at."""
    text = "book: clogging\nfigures:\n  Anchor, 1 beat: S S\n  Bend, 2 beats: S S\npart A:\n  Anchor\n  Bend\ndance:\n  A\n"
    program = pipeline.loads(text).program
    assert program is not None
    wrong, right = program.claims

    assert 1 == len(confirm(program, wrong, (), frozenset()))
    with pytest.raises(Rejected):
        confirm(program, right, (), frozenset())


@pytest.mark.parametrize(("foot", "free"), [("left", "right"), ("right", "left")])
@pytest.mark.parametrize("row", ["JUMP S", "JUMP HOP"])
def test_from_both_feet_inside_a_figure_its_lead_moves(row: str, foot: str, free: str) -> None:
    """The foot that leads the figure takes the step or the hop behind a jump, whichever carried the weight before."""
    beats = len(row.split())
    text = (
        f"book: clogging\nlead: {foot}\nfigures:\n  Leap, {beats} beats: {row}\n"
        f"part A: {foot} foot to {foot} foot\n  Leap\ndance:\n  A\n"
    )
    (finding,) = (one for one in pipeline.check_text(text, engine="walk").diagnostics if one.claim)

    assert f"A should end with the {foot} foot free, but the {free} foot is free" == finding.message
