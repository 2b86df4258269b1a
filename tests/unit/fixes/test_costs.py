"""What changes cost: the page and the code say the same, and prices that are given are checked."""

import re
from pathlib import Path

import pytest

from stepcheck.fixes.repairs import COSTS, FACTS, CostError, priced

PAGE = Path(__file__).parents[3] / "specs" / "costs.md"


def test_the_table_of_the_page_is_that_of_the_code() -> None:
    """Every kind stands in specs/costs.md with its cost, in the same order, and no other does."""
    repairs = PAGE.read_text(encoding="utf-8").partition("\n## Repairs\n")[2].partition("\n## ")[0]
    rows = re.findall(r"^\| ([a-z ]+?) \| (\d+) \|", repairs, re.MULTILINE)

    assert [(kind, int(cost)) for kind, cost in rows] == list(COSTS.items())


def test_facts_are_left_alone_unless_they_are_priced() -> None:
    """A kind that changes a fact is used only by somebody who sets a cost for it; any kind can be ruled out."""
    assert set(COSTS) - set(FACTS) == set(priced())
    assert 7 == priced({"music": 7})["music"]
    assert "claim" not in priced({"claim": 9}, ("claim",))
    assert COSTS | {"figure": 5, "other length": 5} == priced({"figure": 5, "music": COSTS["music"]})


@pytest.mark.parametrize(
    ("costs", "without"), [({"steps": 2}, ()), ({}, ("steps",)), ({"figure": 0}, ()), ({"figure": 1.5}, ())]
)
def test_a_price_that_means_nothing_is_refused(costs: dict[str, int], without: tuple[str, ...]) -> None:
    """A kind that there is not, and a cost that is no whole number from 1, are errors."""
    with pytest.raises(CostError):
        priced(costs, without)
