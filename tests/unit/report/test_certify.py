"""The judge of traces: a dance in which nothing is wrong is no counterexample."""

import pytest

from stepcheck.model.outcome import Trace
from stepcheck.report import pipeline
from stepcheck.report.certify import Rejected, confirm
from stepcheck.report.readings import lean, opened_up
from stepcheck.report.replays import Spent

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
    told, _ = lean(view)
    assert told.visits

    def spent(*given: object) -> None:
        raise Spent

    monkeypatch.setattr("stepcheck.report.certify.confirm", spent)
    fewer, _ = lean(view)
    assert told.hangs == fewer.hangs != () and () == fewer.visits
