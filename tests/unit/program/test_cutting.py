"""Lengths as danced and as stated, and steps cut short."""

import pytest

from stepcheck.model.claims import Check, Kind, Test
from stepcheck.model.dance import (
    Action,
    Body,
    Choice,
    Figure,
    Gap,
    Item,
    Lap,
    Pass,
    Repeat,
    Rest,
    Step,
    Timed,
    Together,
    Version,
)
from stepcheck.program.cutting import CutFails, cut, length, stated
from tests.programs import BACK, CHANGE, SPIN, STEP, Maker, part, step


def test_lengths_are_those_danced_or_those_stated() -> None:
    """Steps, rests and repeats add up; a claim about the length counts for what is stated only."""
    maker = Maker()
    claimed = (part(step(BACK), Together((maker.check(Test.CLOCK, 96), maker.check(Test.FOOT, 0)))),)

    assert 24 + 12 + 36 == length((step(BACK), Rest(1, 12), Repeat(1, 3, (step(CHANGE),))))
    assert (24, 96) == (length(claimed), stated(claimed))
    assert 24 == length((maker.choice((step(BACK),), (step(CHANGE),)),))
    assert 48 == length((Gap(1, 48),))
    assert 12 == length((Timed((step(BACK),), 12),))


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


def test_a_cut_inside_a_beat_keeps_what_is_made_before_it() -> None:
    """Of the beats that have begun; an upbeat belongs to the beat that it leads to, and a turn comes with its count."""
    made = (Action(STEP, None, tick, beat) for tick, beat in ((6, 1), (12, 1), (18, 1), (18, 2), (24, 2), (30, 2)))
    row = Figure("Row", (Version("", tuple(made), 24, 2, 2),))

    def kept(ticks: int) -> tuple[list[int], int]:
        ((version,),) = (one.figure.versions for one in cut((step(row),), ticks) if isinstance(one, Step))
        return [action.tick * 10 + action.beat for action in version.actions], version.turn

    early, first = [61, 121], [61, 121, 181]
    assert [(early, 0), (early, 0), (first, 0), (first, 0)] == [kept(ticks) for ticks in (1, 6, 7, 12)]
    later = [*first, 182, 242]
    assert [(later, 2), (later, 2), ([*later, 302], 2)] == [kept(ticks) for ticks in (13, 18, 19)]


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


def test_expects_at_the_cut_are_kept_and_what_begins_there_is_not() -> None:
    """What holds after the last step that is danced is still claimed; the foot that the next line leads with is not."""
    maker = Maker()
    after, lead, behind = maker.check(Test.FACING, 0), maker.check(Test.LEAD, 0), maker.check(Test.FACING, 0)

    assert (step(BACK), after) == cut((step(BACK), after, lead, behind, step(BACK)), 24)
    assert (step(BACK), after) == cut((step(BACK), after, Repeat(1, 2, (behind, step(BACK)))), 24)
    assert (Repeat(1, 2, (behind, step(BACK))), after) == cut((Repeat(1, 2, (behind, step(BACK))), after), 48)
    assert (Repeat(1, 1, (behind, step(BACK))), behind) == cut((Repeat(1, 2, (behind, step(BACK))), after), 24)


def heading(maker: Maker, start: int, end: int, *inner: Item) -> Body:
    """Return steps under a heading of counts."""
    claim = maker.claim(Kind.COUNTS)
    return (Check(1, claim, Test.CLOCK, start, opens=True), *inner, Check(1, claim, Test.CLOCK, end))


def test_a_heading_is_reached_if_it_begins_before_the_cut() -> None:
    """One that ends at the cut is whole, one in which the cut falls keeps its start, one that begins at it is left
    out."""
    maker = Maker()
    one, two = heading(maker, 0, 24, step(BACK)), heading(maker, 24, 48, step(BACK))

    assert one == cut((*one, *two), 24)
    assert (*one, *two[:1]) == cut((*one, *two), 36)[:4]
    assert 5 == len(cut((*one, *two), 36))


def test_a_cut_counts_what_is_danced_whatever_is_claimed() -> None:
    """A heading that claims more than stands under it moves no cut, and a cut pass lasts as long as its counts."""
    maker = Maker()
    wrong = heading(maker, 0, 96, step(BACK))
    (kept,) = cut((part(*wrong, step(BACK), step(BACK)),), 48)
    assert isinstance(kept, Pass)

    assert ((*wrong, step(BACK)), 48, False) == (kept.body, kept.lasts, kept.lap)


def test_alternatives_in_which_a_cut_falls_are_not_compared() -> None:
    """Each is cut on its own; those that end before the cut or at it are compared as ever."""
    maker = Maker()
    choice = maker.choice((step(BACK), step(BACK)), (step(CHANGE),) * 4)
    (inside,) = cut((choice, step(BACK)), 24)
    assert isinstance(inside, Choice)

    assert (None, ((step(BACK),), (step(CHANGE),) * 2)) == (inside.claim, inside.options)
    assert (choice,) == cut((choice, step(BACK)), 48)


def test_a_cut_behind_a_blank_number_of_times_fails() -> None:
    """Where it falls is not known; in the first time it is."""
    with pytest.raises(CutFails, match="cut-behind-a-blank"):
        cut((Repeat(1, None, (step(BACK),)), step(BACK)), 36)
    assert (step(BACK),) == cut((Repeat(1, None, (step(BACK), step(BACK))),), 24)


def test_a_cut_goes_into_what_stands_inside() -> None:
    """Clocks, passes and laps are cut where they stand, and last as long as is left of them."""
    two = (step(BACK), step(BACK))

    assert (Timed((step(BACK),), 24),) == cut((Timed(two),), 24)
    assert (Timed((step(BACK),), 24),) == cut((Lap(two),), 24)


def test_what_begins_behind_the_last_step_of_a_time_is_not_reached() -> None:
    """A repeat cut where a time ends is cut in that time, before the foot that is ordered for what comes."""
    maker = Maker()
    lead = maker.check(Test.LEAD, 0)
    once = (step(BACK), lead)

    assert (step(BACK),) == cut((Repeat(1, 3, once),), 24)
    assert (Repeat(1, 1, once), step(BACK)) == cut((Repeat(1, 3, once),), 48)
    assert (Repeat(1, 3, once), step(BACK)) == cut((Repeat(1, 4, once),), 96)
    assert (Repeat(1, 3, once), step(BACK)) == cut((Repeat(1, 4, once), step(BACK)), 96)
    assert (Timed((step(BACK),), 24), step(BACK)) != cut((Timed(once), step(BACK)), 24)
    assert (Timed((step(BACK),), 24),) == cut((Timed(once), step(BACK)), 24)


def test_what_begins_at_the_end_of_an_item_is_reached_by_a_cut_behind_it() -> None:
    """And of one inside another, by none that falls at the end of both."""
    maker = Maker()
    once = (step(BACK), maker.check(Test.LEAD, 0))

    assert (Timed(once), step(BACK)) == cut((Timed(once), step(BACK)), 48)
    assert (Repeat(1, 4, once), step(BACK)) == cut((Repeat(1, 4, once), step(BACK), step(BACK)), 120)
    assert (Timed((Timed((step(BACK),), 24),), 24),) == cut((Timed((Timed(once),)), step(BACK)), 24)
