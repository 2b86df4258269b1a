"""Single dances in a search."""

from stepcheck.model.dance import Weight
from stepcheck.walk.stands import State, Way, thinned


def test_of_dancers_who_differ_in_turn_and_length_only_the_first_three_are_kept() -> None:
    """As many as a turn without a side has to be told from; those on another foot or wall are counted apart."""
    alike = [State(Weight.LEFT, 0, turn, False, 12 * turn) for turn in (0, 8, 16, 24, 32)]
    others = [State(Weight.RIGHT, 0, 8), State(Weight.LEFT, 2, 2), State(Weight.LEFT, 0, 8, True)]
    dances = {state: Way() for state in (*alike, *others)}
    assert [*alike[:3], *others] == [*thinned(dances)]
    assert alike[:3] == [*thinned({state: Way() for state in alike[:3]})]
