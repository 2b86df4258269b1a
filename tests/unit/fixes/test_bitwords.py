"""Texts for a solver: costs add up layer by layer, and only what is needed is written."""

from itertools import product

import pytest

from stepcheck.fixes.bitwords import Script, Sum
from stepcheck.proof.solving import FINITE, satisfiable

CHOICES = [
    ([(2,), (2,), (3,)], 4),
    ([(2, 3), (2, 3), (4,)], 6),
    ([(1, 3), (1, 3), (2,), (2,)], 3),
    ([(3, 5), (2,), (4,), (4,)], 7),
    ([(2,), (7,)], 6),
]


@pytest.mark.parametrize("prices,most", CHOICES)
def test_costs_are_bounded_as_they_add_up(prices: list[tuple[int, ...]], most: int) -> None:
    """For every choice of costs the text holds if, and only if, they come to no more than they may."""
    for costs in product(*((0, *some) for some in prices)):
        script = Script("")
        items = [[(price, script.constant("f", "Bool")) for price in some] for some in prices]
        script.holds += [
            flag if cost >= price else f"(not {flag})"
            for some, cost in zip(items, costs, strict=True)
            for price, flag in some
        ]
        script.spend(items, most)
        text = "\n".join([*script.needed(), *(f"(assert {term})" for term in script.holds)])
        assert (sum(costs) <= most) is satisfiable(text, logic=FINITE)


def test_only_what_is_used_is_written() -> None:
    """Names that nothing hangs on are left out, with what only they hang on."""
    script = Script("p")
    one, other = script.vector("a", 4), script.vector("b", 4)
    kept = script.added(Sum(one, 2), Sum("", 3), 4)
    script.added(kept, Sum(other, 0), 4)
    script.holds.append(f"(= {kept.term} #b0001)")

    assert Sum(one, 5) == kept
    assert [f"(declare-const {one} (_ BitVec 4))"] == list(script.needed())


def test_numbers_are_taken_from_one_another() -> None:
    """A difference of what hangs on the same is known; others are written out."""
    script = Script("")
    one, other = Sum(script.vector("a", 4), 7), Sum(script.vector("b", 4), 1)

    assert Sum("", 6) == script.taken(one, Sum(one.term, 1), 4)
    assert Sum(one.term, 5) == script.taken(one, Sum("", 2), 4)
    assert 6 == script.taken(one, other, 4).more
    assert "(bvsub #b0000 b1)" in _line(script, script.taken(Sum("", 3), other, 4).term)


def _line(script: Script, name: str) -> str:
    """Return the line that defines a name."""
    script.holds.append(name)
    return next(line for line in script.needed() if line.startswith(f"(define-fun {name} "))
