"""The cost of a change to a sheet, by kind; the table in specs/costs.md is the same.

A change of one line is cheap, a line more or less is dearer, and a claim is dearer than a step, since the sheet means
what it promises; it is no dearer than two steps, since the sentence may be the wrong one.
"""

from collections.abc import Mapping

from stepcheck.model.source import StepcheckError

COSTS: dict[str, int] = {
    "name": 1,
    "figure": 2,
    "other length": 3,
    "alternative": 2,
    "part": 3,
    "section": 2,
    "times": 2,
    "turn": 2,
    "turn times": 2,
    "lead": 2,
    "swap": 2,
    "cut": 2,
    "restart": 3,
    "block": 2,
    "insert": 3,
    "call": 2,
    "filling": 2,
    "order": 2,
    "delete": 3,
    "twin": 2,
    "reading": 2,
    "claim": 4,
    "slip": 1,
    "time": 2,
    "movement": 2,
    "way": 2,
    "wait": 2,
    "start": 2,
    "music": 4,
    "section length": 1,
}
FACTS = ("music",)
"""Kinds that are left alone unless they are asked for."""
EVIDENT = {
    "section": "part",
    "call": "insert",
    "filling": "insert",
    "twin": "delete",
    "slip": "claim",
    "section length": "music",
}
CASES = {"other length": "figure", **EVIDENT}
ALONE = (*EVIDENT, "order", "time", "movement", "way", "wait", "start")
"""Kinds that are cheaper cases of others, where the sheet itself shows what was meant; what is set for the other kind
holds for them too. Changes of the kinds in `ALONE` mend a sheet by themselves, or beside slips."""


class CostError(StepcheckError, ValueError):
    """There is no such kind of change, or a cost is no whole number from 1."""


def priced(costs: Mapping[str, int] | None = None, without: tuple[str, ...] = ()) -> dict[str, int]:
    """Return the cost of each permitted kind of change.

    Args:
        costs: other costs by kind; naming a kind here allows it even if it changes a fact.
        without: kinds that must not be used.

    Raises:
        CostError: there is no such kind, or a cost is no whole number from 1.
    """
    given = dict(costs or {})
    for kind in (*given, *without):
        if kind not in COSTS:
            raise CostError(f"there is no kind of change {kind!r}; the kinds are {', '.join(COSTS)}")
    for kind, cost in given.items():
        if not isinstance(cost, int) or cost < 1:
            raise CostError(f"a change costs a whole number from 1, not {cost!r} ({kind})")
    kept = {kind: cost for kind, cost in COSTS.items() if kind not in FACTS}
    kept |= {kind: given[other] for kind, other in CASES.items() if other in given and other not in FACTS} | given
    return {kind: cost for kind, cost in kept.items() if kind not in without and CASES.get(kind) not in without}
