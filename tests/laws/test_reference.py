"""The naive reference says of small sheets what was worked out for them by hand."""

from collections import Counter

import pytest

from tests.laws.reference_sheets import ONCE_WRONG, SHEETS, Worked
from tests.reference import IllFormed, verdicts_of

LETTERS = {"proved": "p", "refuted": "r", "vacuous": "v", "undecided": "u"}


@pytest.mark.parametrize("worked", (*SHEETS, *ONCE_WRONG), ids=lambda worked: f"{worked.construct}: {worked.why}")
def test_the_reference_says_what_was_worked_out_by_hand(worked: Worked) -> None:
    """Each claim of each small sheet has the verdict that its meaning, read by a person, gives it."""
    if worked.verdicts == "i":
        with pytest.raises(IllFormed):
            verdicts_of(worked.text)
        return
    found = verdicts_of(worked.text, worked.readings, steps=200_000)

    assert "".join(LETTERS[verdict] for verdict in found.values()) == worked.verdicts, found


def test_each_construct_has_three_sheets() -> None:
    """No construct rests on a single example."""
    counts = Counter(worked.construct for worked in SHEETS)

    assert {name: number for name, number in counts.items() if number < 3} == {}
