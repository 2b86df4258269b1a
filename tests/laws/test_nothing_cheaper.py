"""The question whether anything cheaper mends a sheet has the answer that the search for the cheapest changes has."""

from pathlib import Path
from random import Random

import pytest
from hypothesis import example, given

from stepcheck.books import book as books
from stepcheck.breaks.material import material
from stepcheck.fixes.evidence import Question, Stretch, stretches
from stepcheck.fixes.repairs import COSTS
from stepcheck.proof.names import TooLarge
from stepcheck.proof.solving import FINITE, satisfiable
from stepcheck.report import pipeline
from stepcheck.search.cheapest import Cheapest
from stepcheck.search.search import Search
from stepcheck.search.slots import Unfit
from stepcheck.search.transitions import Unclear
from tests.bench.problems import Sized, least, load, search, sheet, toy_book
from tests.laws.test_repair import alternatives, sheets, smudged, songs
from tests.profiles import law

BOOK = books.load(Path(__file__).parents[1] / "small.book")
MANY = law(25)
KINDS = ("figure", "alternative", "times", "turn", "lead", "insert", "delete", "claim")


def whole(rows: Search, bound: int) -> tuple[Stretch, ...]:
    """Return the whole dance as one stretch."""
    return (Stretch(rows.sketch.dance, bound, int(rows.sketch.program.lead.other)),)


def can_be_mended(rows: Search, chosen: tuple[Stretch, ...]) -> bool:
    """Return what z3 says to a question."""
    return satisfiable(Question(rows, chosen).text, logic=FINITE)


@pytest.mark.parametrize(
    "start", [0, 30, *(pytest.param(start, marks=pytest.mark.nightly) for start in range(60, 240, 30))]
)
def test_what_is_asked_turns_true_at_the_optimum(start: int, tmp_path: Path) -> None:
    """On random sheets and prices the question is unsatisfiable for the optimum, and satisfiable for one more."""
    asked = 0
    for number in range(start, start + 30):
        random = Random(number)
        size = Sized(*random.choice(((1, 2), (1, 3), (2, 1), (2, 2), (3, 2))), 5, random.randint(1, 3))
        book = toy_book(random, tmp_path)
        prices = {kind: random.randint(1, 3) for kind in ("figure", "turn", "times")} | {"claim": random.randint(2, 5)}
        found = search(load(sheet(random, book, size), book), prices)
        cost = least(found)
        rows = found.base.search
        if cost and rows is not None:
            asked += 1
            assert not can_be_mended(rows, whole(rows, cost))
            assert not can_be_mended(rows, stretches(rows, cost))
            assert can_be_mended(rows, whole(rows, cost + 1))

    assert asked > 15


def holds_where_there_is_a_fix(text: str) -> None:
    """Ask of a sheet whether it can be mended for what its cheapest fix costs: it can."""
    routine = pipeline.loads(text, book=BOOK)
    if routine.program is None:
        return
    try:
        found = Cheapest(
            routine, material(routine, "any"), {kind: COSTS[kind] for kind in KINDS}, frozenset(), 1_000_000
        )
    except (Unfit, Unclear):
        return
    found.singles = ()
    cost = least(found, 4)
    rows = found.base.search
    if cost is None or rows is None:
        return
    try:
        question = Question(rows, whole(rows, cost + 1))
    except TooLarge:
        return
    assert satisfiable(question.text, logic=FINITE)


TURNING = """routine: Toy
walls: 4
part A:
  Point, turn 1/4 left
dance:
  A
  expect left foot
  expect facing front
"""
MIRRORED = """routine: Toy
part A:
  hold 2 counts
part B:
  Point, turn 1/4 left
dance:
  A
  expect facing left wall
  A, mirrored
  expect facing front
  B
"""


@example(TURNING)  # a line that turns can be put in
@MANY
@given(sheets())
def test_a_fix_is_never_denied(text: str) -> None:
    """With variations, lines more and less, walls and both feet, no fix of rows and claims makes the question
    unsatisfiable."""
    holds_where_there_is_a_fix(text)


@MANY
@given(alternatives())
def test_a_fix_of_parts_as_alternatives_is_never_denied(text: str) -> None:
    """What is not asked of alternatives that call parts denies no fix either."""
    holds_where_there_is_a_fix(text)


@MANY
@given(songs())
def test_a_fix_of_what_goes_on_until_the_music_ends_is_never_denied(text: str) -> None:
    """What is not asked of laps until the music ends denies no fix either."""
    holds_where_there_is_a_fix(text)


@MANY
@given(smudged())
def test_a_fix_beside_a_blank_is_never_denied(text: str) -> None:
    """A blank is filled as a fix needs it, for nothing."""
    holds_where_there_is_a_fix(text)


def test_a_line_that_is_put_in_turns_the_other_way_in_a_mirrored_pass() -> None:
    """A Point that turns left, put into A for 3, turns right where A is mirrored: the question doesn't deny that."""
    routine = pipeline.loads(MIRRORED, book=BOOK)
    prices = {kind: COSTS[kind] for kind in KINDS}
    rows = Cheapest(routine, material(routine, "any"), prices, frozenset(), 1_000_000).base.search
    assert rows is not None
    assert [can_be_mended(rows, whole(rows, bound)) for bound in (3, 4)] == [False, True]
