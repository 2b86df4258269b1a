"""Conditions: what checks ask of one property of a dancer, as data that everything reads alike.

Which condition a check states is decided three times: by each engine and by the judge, each for itself.
"""

from attrs import frozen

from stepcheck.model.dance import Test


@frozen
class Condition:
    """The values of a property that a check accepts, and the value of a dancer after it.

    Attributes:
        holds: the values for which it holds: a `Weight`, eighths, or ticks.
        then: the value with which a dancer goes on for whom it does not hold.
        settles: whether those for whom it holds go on with `then` too; else they go on as they are.
    """

    holds: tuple[int, ...]
    then: int
    settles: bool = False

    def after(self, value: int) -> int:
        """Return the value after the check of a dancer who comes with `value`, as if it had held."""
        return value if value in self.holds and not self.settles else self.then


def looking_at(*properties: str) -> frozenset[Test]:
    """Return the tests that are about one of these properties: `weight`, `facing`, `turn` or `clock`."""
    return frozenset(test for test in Test if test.about in properties)
