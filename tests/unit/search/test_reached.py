"""Claims behind a cut: a set of changes that leaves one out of the dance is none that mends the sheet."""

import pytest

from stepcheck.breaks.material import material
from stepcheck.fixes.repairs import priced
from stepcheck.language.alterations import applied
from stepcheck.report import pipeline
from stepcheck.search.cheapest import Cheapest
from stepcheck.walk.walk import failing

SHEETS = {
    "a length of a line": "part A:\n  Vine x3, 8 counts\ndance:\n  A, first 4 counts",
    "a facing": "part A:\n  counts 1-8, facing 9:00:\n    Vine x3\ndance:\n  A, first 4 counts",
    "a part": "part B: 8 counts\n  Vine x3\npart A:\n  B\ndance:\n  A, first 4 counts",
    "counts": "part A:\n  counts 1-8:\n    Vine\n  counts 9-16:\n    Vine x2\ndance:\n  A, first 4 counts",
    "alternatives": "part A:\n  Vine\n  Vine x2, left foot | Weave, right foot\ndance:\n  A, first 4 counts",
    "a lap": "music:\n  song 12\npart A:\n  Vine\n  Vine x3\n  expect facing 3:00\ndance:\n  A until the music ends",
}


@pytest.mark.parametrize("name", SHEETS)
def test_what_the_search_finds_holds(name: str) -> None:
    """Only what comes to every claim is found, however many changes leave one behind a cut."""
    routine = pipeline.loads(f"book: line\n{SHEETS[name]}\n")
    search = Cheapest(routine, material(routine, None), priced(None, ("name", "call", "part")), frozenset(), 150_000)
    found = [solution for cost in range(5) for solution in search.level(cost)]
    assert found or name == "a facing"
    for solution in found:
        after = pipeline.loads(applied(routine.sheet, [choice[0] for choice in solution.choices])).program
        assert after is not None and () == failing(after)
