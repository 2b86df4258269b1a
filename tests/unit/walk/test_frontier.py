"""Blocks in blocks and parts in parts: what they come to is worked out without dancing all of it."""

import pytest

from stepcheck.model.outcome import Verdict
from stepcheck.report import pipeline


def nested(depth: int, times: int, claim: str) -> str:
    """Return a sheet of `depth` blocks, one in the other, around a figure."""
    blocks = [f"{'  ' * level}{times} times:" for level in range(1, depth + 1)]
    lines = ["routine: Deep Water", "book: line", f"part Main: {claim}", *blocks, f"{'  ' * (depth + 1)}Vine"]
    return "\n".join([*lines, "dance:", "  Main", ""])


def twice(depth: int, last: str) -> str:
    """Return a sheet of parts that each dance the one before twice."""
    parts = [f"part P{number}:\n  P{number - 1}\n  P{number - 1}" for number in range(1, depth)]
    lines = ["routine: Deep Water", "book: line", "part P0:", "  Vine", f"  expect {last}", *parts]
    return "\n".join([*lines, "dance:", f"  P{depth - 1}", ""])


@pytest.mark.parametrize(("depth", "times"), [(12, 2), (40, 2), (98, 2), (3, 8), (5, 10**9), (2, 7)])
def test_blocks_in_blocks_are_powers_of_powers(depth: int, times: int) -> None:
    """The walk proves what holds in them, whatever their depth and number."""
    (claim,) = pipeline.check_text(nested(depth, times, "no turn"), engine="walk").claims

    assert Verdict.PROVED is claim.verdict


@pytest.mark.parametrize("text", [nested(5, 10**9, "4 counts"), nested(20, 2, "4 counts"), twice(40, "left foot")])
def test_what_is_too_much_to_be_danced_out_is_undecided(text: str) -> None:
    """Neither engine hangs: where a failure can't be shown, or not all be written out, the claim is left open."""
    for engine in ("walk", "both"):
        (claim,) = pipeline.check_text(text, engine=engine).claims

        assert Verdict.UNDECIDED is claim.verdict and "budget" == claim.reason
    assert "too long to be written out" in pipeline.script(pipeline.loads(text))


def test_parts_in_parts_are_walked_once() -> None:
    """A claim in the innermost of many parts is decided at the first, and its places are not counted one by one."""
    (claim,) = pipeline.check_text(twice(40, "front"), engine="walk").claims

    assert Verdict.PROVED is claim.verdict
