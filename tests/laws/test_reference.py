"""The naive reference says of small sheets what was worked out for them by hand."""

from collections import Counter

import pytest
from hypothesis import HealthCheck, given, settings

from stepcheck.language.parser import parse
from stepcheck.model.source import Source
from stepcheck.program.claims import register
from tests.laws.reference_sheets import ONCE_WRONG, SHEETS, Worked
from tests.reference import IllFormed, Skipped, verdicts_of
from tests.strategies import random_sheet, sheets

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


@settings(deadline=None, max_examples=40, derandomize=True, suppress_health_check=list(HealthCheck))
@given(sheets())
def test_what_is_drawn_is_a_sheet(text: str) -> None:
    """Every drawn sheet is understood line by line, and the reference has a verdict on each of its claims, or says why not."""
    read, wrong = parse(Source("drawn", text))

    assert not wrong, text
    try:
        found = verdicts_of(text)
    except (IllFormed, Skipped) as reason:
        assert str(reason)
        return
    assert {claim.id for claim in register(read).claims} <= set(found)


def test_a_seed_draws_one_sheet() -> None:
    """A seed that is reported can be looked at again."""
    assert random_sheet(7) == random_sheet(7) != random_sheet(8)
