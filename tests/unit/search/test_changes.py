"""What lines can be changed into, what the search makes of it at each cost, and which parts fail for certain."""

import pytest

from stepcheck.fixes.fix import repair
from stepcheck.fixes.repairs import COSTS
from stepcheck.language.edits import ChangeLead
from stepcheck.language.syntax import Row
from stepcheck.model.dance import TICKS, Foot, Step
from stepcheck.report import pipeline
from stepcheck.search.changes import Offers, plain
from stepcheck.search.transitions import Result
from tests.unit.fixes.test_evidence import BOOK, PRICES, search_of

ROWS = "part Verse: 8 beats\n  Triple x2, turn 1/4 left on 1st\n  Basic\n  Triple | Basic\n"


def test_a_figure_of_another_length_costs_its_own_price() -> None:
    """On a row that is laid out anew too: what is put in as a figure lasts as long, or the routine has it."""
    offers = search_of(ROWS, "  Verse\n").offers
    for line in (4, 5):
        made = [offer for one in offers.variants((line, 0)) for offer in one.offers if offer.candidate is not None]
        own = 48 if line == 4 else 24
        assert {"figure", "other length"} == {one.kind for one in made}
        for one in made:
            assert one.candidate is not None
            assert (one.kind == "figure") is (one.candidate.known or one.candidate.figure.length == own), one


@pytest.mark.parametrize("beat", [2, 4])
def test_a_figure_is_put_where_the_turn_has_its_count(beat: int) -> None:
    """A turn keeps its count, so that no shorter figure is offered than has it."""
    offers = search_of(f"part Verse: 8 beats\n  Triple, turn 1/4 left @{beat}\n  Triple\n", "  Verse\n").offers
    found = {offer.candidate for one in offers.variants((4, 0)) for offer in one.offers if offer.candidate is not None}

    assert min(one.figure.length for one in found) == beat * TICKS


def test_a_row_of_one_figure_danced_alike_is_plain() -> None:
    """Not one that turns on some times, nor alternatives."""
    slots = search_of(ROWS, "  Verse\n").offers.slots
    found = {key[0]: plain(slots[key][0], slots[key][0].line.node) for key in slots if key[1] == 0 and key[0] < 7}  # type: ignore[arg-type]
    assert {4: False, 5: True, 6: False} == {line: isinstance(one, Step) for line, one in found.items()}
    assert all(isinstance(slots[line, 0][0].line.node, Row) for line in found)


def test_nothing_is_put_in_at_closed_lines() -> None:
    """Nor before the first line, where none is."""
    made = search_of(ROWS, "  Verse\n").offers
    prices = {**PRICES, "insert": 3}
    shut, still = (
        Offers(made.sketch, made.transitions, made.pool, prices, closed=frozenset(some)) for some in ((5,), ())
    )
    assert () == shut.variants((5, 2)) == shut.variants((0, 2)) and shut.variants((4, 2))
    assert still.variants((5, 2)) and () == still.variants((0, 2))


def test_what_is_found_at_a_cost_costs_that() -> None:
    """Not less: what costs less was found before."""
    search = search_of("part Verse: 8 beats\n  Triple\n", "  Verse\n")
    assert [False, True, False] == [bool(search.found(cost)) for cost in (0, 2, 3)]


def test_a_choice_of_parts_is_come_to_on_either_foot() -> None:
    """The first pass ends on either; only the claim can be changed for all."""
    parts = "part A:\n  Two\npart B:\n  Point\npart C: 3 counts\n  A | B\n"
    search = search_of(parts, "  C\n  C\n", BOOK)
    assert [0, 0, 1] == [len(search.found(cost)) for cost in (0, 2, 4)]


def test_only_parts_that_fail_have_a_bound() -> None:
    """Of parts that hold nothing needs to be changed."""
    search = search_of("part Verse: 4 beats\n  Triple\npart Chorus: 8 beats\n  Triple\n", "  Verse\n  Chorus\n")
    assert [("Chorus", 2)] == [(part.part, bound) for part, bound in search.bounds.failing()]


@pytest.mark.parametrize(
    ("turn", "lap", "home"),
    [
        ("1/4", 1 << 6 | 256 << 1, True),  # a quarter, and on the right foot at its end
        ("1/4", 1 << 4 | 256 << 1, False),  # a lap that was danced has turned half
        ("1/2", 256 << 1, False),  # the next one would
        ("1/4", 0, True),  # none was danced
        ("1/2", 0, False),
    ],
)
def test_laps_come_home_after_as_many_as_there_are_walls(turn: str, lap: int, home: bool) -> None:
    """Those that were danced, and those from every foot that one ends on."""
    search = search_of(f"walls: 4\npart A:\n  Triple x2, turn {turn} left on last\n", "  A until the music ends\n")
    assert home is bool([*search._walls(Result((), lap, 0, ()), 0)])


@pytest.mark.parametrize(
    ("text", "kind", "cost"),
    [
        ("part A: 3 counts\n  Two | Point\ndance:\n  A\n  A\n", "claim", 4),  # comes to A on either foot
        ("part A:\n  counts 1-2, left foot:\n    Change\n    Change\ndance:\n  Change\n  A\n", "lead", 2),
    ],
)
def test_a_change_of_one_kind_mends_a_sheet(text: str, kind: str, cost: int) -> None:
    """The only one there is."""
    without = [one for one in COSTS if one not in (kind, "music")]
    found = repair(pipeline.loads(f"routine: Toy\n{text}", book=BOOK), without=without, level="any")
    assert [(kind, cost)] == [(fix.edits[0].kind, fix.cost) for fix in found]
    if kind == "lead":
        assert (ChangeLead(3, Foot.RIGHT),) == found[0].edits
