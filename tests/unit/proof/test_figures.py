"""Conditions of a script."""

import pytest

from stepcheck.proof.figures import conditions


@pytest.mark.parametrize(
    ("terms", "text"),
    [
        ((), "true"),
        (("true", "true"), "true"),
        (("true", "(= a b)"), "(= a b)"),
        (("(= a b)", "true", "c"), "(and (= a b) c)"),
    ],
)
def test_conditions_that_say_something_are_joined(terms: tuple[str, ...], text: str) -> None:
    """What is always so is left out."""
    assert text == conditions(terms)
