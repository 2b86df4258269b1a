"""Lengths as stated, and steps cut short."""

import pytest

from stepcheck.model.dance import Gap, Kind, Repeat, Rest, Step, Test, Timed
from stepcheck.program.cutting import CutFails, cut, length
from tests.programs import BACK, CHANGE, SPIN, Maker, part, step


def test_lengths_are_those_stated() -> None:
    """Steps, rests and repeats add up; a stated length counts even where the steps do not fill it."""
    maker = Maker()

    assert 24 + 12 + 36 == length((step(BACK), Rest(1, 12), Repeat(1, 3, (step(CHANGE),))))
    assert 96 == length((part(step(BACK), maker.check(Test.CLOCK, 96)),))
    assert 24 == length((maker.choice((step(BACK),), (step(CHANGE),)),))
    assert 48 == length((Gap(1, 48),))


def test_a_blank_number_of_times_has_no_length() -> None:
    """Unless the length is stated behind it."""
    maker = Maker()

    assert length((Repeat(1, None, (step(BACK),)),)) is None
    assert 96 == length((Repeat(1, None, (step(BACK),)), maker.check(Test.CLOCK, 96)))


def test_a_cut_between_steps_keeps_the_steps_before() -> None:
    """And a repeat keeps its whole times and a part of one."""
    assert (step(BACK),) == cut((step(BACK), step(CHANGE)), 24)
    assert (Repeat(1, 3, (step(BACK),)),) == cut((Repeat(1, 5, (step(BACK),)),), 72)
    assert 60 == length(cut((Repeat(1, 5, (step(BACK),)),), 60))


def test_a_cut_inside_a_figure_keeps_the_movements_of_its_beats() -> None:
    """A figure of two steps cut after one beat is one step long."""
    (kept,) = cut((step(BACK),), 12)
    assert isinstance(kept, Step)
    (version,) = kept.figure.versions

    assert (1, 12) == (len(version.actions), version.length)


def test_a_figure_that_turns_cannot_be_cut_unless_its_turn_has_a_count() -> None:
    """It is not known whether the turn was done; at the end of the music nobody asks."""
    with pytest.raises(CutFails, match="cut-splits-a-turn"):
        cut((step(SPIN),), 12)
    with pytest.raises(CutFails, match="cut-splits-a-turn"):
        cut((step(BACK, 2),), 12)
    (kept,) = cut((step(SPIN),), 12, last=True)
    assert 0 == kept.figure.versions[0].turn
    (early,) = cut((Step(1, BACK, 2, turn_beat=1),), 12)
    (late,) = cut((Step(1, BACK, 2, turn_beat=2),), 12)
    assert (2, 0) == (early.turn, late.turn)


def test_a_cut_beyond_the_end_fails() -> None:
    """There is nothing there to keep."""
    with pytest.raises(CutFails, match="cut-beyond-the-end"):
        cut((step(BACK),), 36)


def test_claims_at_the_cut_are_kept_and_leads_behind_it_are_not() -> None:
    """What holds after the last step that is danced is still claimed; the foot that the next line leads with is not."""
    maker = Maker()
    after, lead = maker.check(Test.FACING, 0), maker.check(Test.LEAD, 0)

    assert (step(BACK), after) == cut((step(BACK), after, lead, step(BACK)), 24)
    assert Kind.FACING is after.claim.kind


def test_a_cut_goes_into_what_stands_inside() -> None:
    """Clocks and passes are cut where they stand."""
    assert (Timed((step(BACK),)),) == cut((Timed((step(BACK), step(BACK))),), 24)
