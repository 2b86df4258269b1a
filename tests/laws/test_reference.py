"""The naive reference says of small sheets what was worked out by hand, and both engines say what it says of any
sheet."""

from collections import Counter
from functools import cache

import pytest
from hypothesis import given

from stepcheck.language.parser import parse
from stepcheck.model.source import Source
from stepcheck.program.claims import register
from stepcheck.strategies import sheets
from stepcheck.strategies.random_sheets import random_sheet
from tests.compare import LEFT_OPEN, by_engine, by_engines, by_reference, differences, kinds_of
from tests.laws.reference_sheets import FLOORS, GOING, MEETING, ONCE_WRONG, SHEETS, Worked
from tests.profiles import law
from tests.reference import IllFormed, Skipped, verdicts_of

LETTERS = {"proved": "p", "refuted": "r", "vacuous": "v", "undecided": "u"}


@cache
def by_hand(worked: Worked) -> dict[str, str]:
    """Return what the reference says of a sheet that was worked out by hand."""
    return verdicts_of(worked.text, worked.readings, steps=200_000)


@pytest.mark.parametrize(
    "worked", (*SHEETS, *FLOORS, *GOING, *MEETING, *ONCE_WRONG), ids=lambda worked: f"{worked.construct}: {worked.why}"
)
def test_the_reference_says_what_was_worked_out_by_hand(worked: Worked) -> None:
    """Each claim of each small sheet has the verdict that its meaning, read by a person, gives it."""
    if worked.verdicts == "i":
        with pytest.raises(IllFormed):
            verdicts_of(worked.text)
        return
    found = by_hand(worked)

    assert "".join(LETTERS[verdict] for verdict in found.values()) == worked.verdicts, found


def test_each_construct_has_three_sheets() -> None:
    """No construct rests on a single example."""
    counts = Counter(worked.construct for worked in (*SHEETS, *FLOORS, *GOING, *MEETING))

    assert {name: number for name, number in counts.items() if number < 3} == {}


@law(20)
@given(sheets())
def test_what_is_drawn_is_a_sheet(text: str) -> None:
    """Every drawn sheet is understood line by line, and the reference has a verdict on each of its claims, or says why
    not."""
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


@law(80)
@given(sheets())
def test_both_engines_say_what_the_reference_says(text: str) -> None:
    """Each claim of a sheet has one verdict, by the walk, by the proof, and by dancing all its dances from the syntax
    on."""
    plain = by_reference(text)
    if isinstance(plain, str) and plain.startswith("skipped"):
        return
    answers = (plain, *by_engines(text, ("walk", "z3")))

    assert [] == list(differences(answers, kinds_of(text))), text


@law(30)
@given(sheets(huge=True))
def test_the_engines_agree_on_repeats_that_nobody_dances_out(text: str) -> None:
    """With repeats of up to 10**9, one in another, the walk and the proof have one verdict on each claim."""
    answers = (by_engine(text, "walk"), by_engine(text, "z3"))

    assert [] == list(differences(answers, kinds_of(text))), text


@pytest.mark.parametrize(
    "worked", (*SHEETS, *FLOORS, *GOING, *MEETING, *ONCE_WRONG), ids=lambda worked: f"{worked.construct}: {worked.why}"
)
def test_each_engine_says_what_was_worked_out_by_hand(worked: Worked) -> None:
    """The sheets that were worked out by hand have their verdicts by each engine alone and by both together, who leave
    nothing open."""
    plain = by_hand(worked) if worked.verdicts != "i" else "ill-formed"
    walk, z3, both = by_engines(worked.text, ("walk", "z3", "both"), worked.readings)

    assert [] == list(differences((plain, walk, z3, both), kinds_of(worked.text)))
    assert isinstance(both, str) or LEFT_OPEN not in both.values()
