"""Fixes come in the order in which a teacher would make them, by a table that was written without a look at the answers."""

import pytest

from stepcheck.fixes.fix import Repairs, repair
from stepcheck.model.outcome import Verdict
from stepcheck.program.routine import format_text
from stepcheck.report import pipeline
from tests.quality.teacher_choices import READERS, Mistake, choices, chosen, meaning, mistakes

MISTAKES = mistakes()
GROUPS = ("first", "second", "third")
FIRST, AMONG = 0.70, 0.95
"""The goals: which part of the choices comes first, and which among the first three."""
STEPS = [pytest.param(2, id="half"), pytest.param(1, id="all", marks=pytest.mark.nightly)]
"""To find all fixes takes a tenth of all tests: each run looks at every second mistake, the nightly run at all."""


def place(mistake: Mistake, fixes: Repairs) -> int:
    """Return the place among the fixes of a mistake, from 0, of what either reader chose; 3 if it is none of them."""
    wanted = {meaning(chosen(mistake.text, one)) for reader in READERS for one in choices(reader).get(mistake.name, ())}
    found = [number for number, fix in enumerate(fixes) if meaning(fix.text) in wanted]
    return found[0] if found else 3


@pytest.mark.parametrize("mistake", MISTAKES, ids=lambda one: one.name)
def test_every_choice_mends_its_sheet(mistake: Mistake) -> None:
    """A choice that left something refuted would measure nothing."""
    found = [one for reader in READERS for one in choices(reader).get(mistake.name, ())]
    assert found
    for text in {chosen(mistake.text, choice) for choice in found}:
        assert Verdict.PROVED is pipeline.check_text(text, path=str(mistake.path)).verdict


def test_the_table_is_as_large_as_it_should_be() -> None:
    """Three groups of at least forty mistakes: the second was chosen for after the order was fixed."""
    assert min(sum(one.group == group for one in MISTAKES) for group in GROUPS) >= 40


@pytest.mark.parametrize("step", STEPS)
@pytest.mark.parametrize("group", GROUPS)
def test_fixes_come_in_the_order_in_which_a_teacher_would_make_them(group: str, step: int) -> None:
    """In each group of the table the first fix is one that a teacher chose in at least seven of ten, and one of the
    first three is in at least nineteen of twenty; each fix of an answer is another one, and proves its sheet (what
    names a time that never comes would be vacuous)."""
    places = []
    for mistake in MISTAKES[::step]:
        if mistake.group == group:
            fixes = repair(pipeline.load(str(mistake.path)))
            texts = [format_text(fix.text) for fix in fixes]
            assert len(texts) == len(set(texts)) == len({meaning(text) for text in texts}), mistake.name
            assert all(fix.report.verdict is Verdict.PROVED for fix in fixes), mistake.name
            places.append(place(mistake, fixes))
    assert sum(one == 0 for one in places) >= FIRST * len(places)
    assert sum(one < 3 for one in places) >= AMONG * len(places)
