"""What the values of the model have in them where nothing is said."""

from stepcheck.model.claims import Claim, Kind
from stepcheck.model.dance import Foot, Weight
from stepcheck.model.findings import Severity
from stepcheck.model.outcome import Replay, Row


def test_a_claim_speaks_of_any_time_unless_it_says_which() -> None:
    """Its time is 0, and it stands in no part."""
    assert (0, "") == (Claim("a", Kind.FOOT, 1, "left foot").time, Claim("a", Kind.FOOT, 1, "left foot").part)


def test_a_dance_begins_at_its_first_tick() -> None:
    """A replay of which nothing else is said is one of that moment, in no part and no group."""
    made = Replay((), 1, None, None, 0)

    assert (0, (), (), None, "", None) == (made.tick, made.parts, made.starts, made.begins, made.group, made.place)


def test_a_row_turns_only_if_that_is_said() -> None:
    """It is danced once, and its turn is none."""
    made = Row(0, 12, 1, "Weir", Foot.LEFT, Weight.RIGHT, Weight.LEFT, 0, 0)

    assert (1, 0) == (made.times, made.turn)


def test_there_are_three_weights_of_findings_worst_last() -> None:
    """A note weighs less than a warning, and that less than an error."""
    assert [Severity.NOTE, Severity.WARNING, Severity.ERROR] == sorted(Severity) and 3 == len(Severity)
    assert Severity.NOTE < Severity.WARNING < Severity.ERROR
