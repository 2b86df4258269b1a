"""Claims that say something else: the values with which they would hold, worked out by hand."""

import pytest
from attrs import evolve

from stepcheck.language.edits import (
    ChangeAlternative,
    ChangeLead,
    ChangeTimes,
    ChangeTurn,
    DeleteLine,
    InsertLine,
    ReplaceFigure,
    ReplaceLength,
)
from stepcheck.language.syntax import HoldRow, Length
from stepcheck.model.claims import Kind, Test
from stepcheck.model.dance import Foot, Walls
from stepcheck.program.claims import Swap
from stepcheck.search.candidates import Candidate
from stepcheck.search.changes import Offer, edit_of
from stepcheck.search.restated import Restated, Restating
from stepcheck.search.transitions import Dancers, Result
from tests.programs import BACK, Maker

AS_WRITTEN, OPPOSITE, MIRRORED = Swap(), Swap(feet=True), Swap(feet=True, mirrored=True)
ONE: Dancers = ((1, 1, 3, 24),)
TWO: Dancers = ((1, 1, 3, 24), (1, 0, -5, 36))
BOTH: Dancers = ((2, 2, 3, 24),)
BASIC = Candidate("Basic", None, BACK)


@pytest.mark.parametrize(
    ("test", "value", "dancers", "swap", "found"),
    [
        (Test.FOOT, Foot.RIGHT, ONE, AS_WRITTEN, [("foot", Foot.LEFT)]),
        (Test.FOOT, Foot.RIGHT, ONE, OPPOSITE, [("foot", Foot.RIGHT)]),
        (Test.FOOT, Foot.RIGHT, TWO, AS_WRITTEN, []),
        (Test.FOOT, Foot.RIGHT, BOTH, AS_WRITTEN, [("foot", None)]),
        (Test.BOTH, None, ONE, AS_WRITTEN, [("foot", Foot.LEFT)]),
        (Test.LEAD, Foot.RIGHT, ONE, AS_WRITTEN, [("foot", Foot.LEFT)]),
        (Test.LEAD, Foot.RIGHT, ONE, MIRRORED, [("foot", Foot.RIGHT)]),
        (Test.LEAD, Foot.LEFT, ONE, AS_WRITTEN, []),
        (Test.LEAD, Foot.LEFT, BOTH, AS_WRITTEN, [("foot", Foot.RIGHT)]),
        (Test.FACING, 0, ONE, AS_WRITTEN, [("facing", 5)]),
        (Test.FACING, 0, ONE, MIRRORED, [("facing", 3)]),
        (Test.FACING, 0, TWO, AS_WRITTEN, [("facing", 5)]),
        (Test.FACING, 0, (*ONE, (1, 0, 4, 0)), AS_WRITTEN, []),
        (Test.TURN, 0, ONE, AS_WRITTEN, [("turn", 3)]),
        (Test.TURN, 0, ONE, MIRRORED, [("turn", -3)]),
        (Test.TURN, 0, TWO, AS_WRITTEN, []),
        (Test.EITHER, 4, ONE, AS_WRITTEN, [("turn", 3)]),
        (Test.CLOCK, 12, ONE, AS_WRITTEN, [("clock", 24)]),
        (Test.CLOCK, 12, TWO, AS_WRITTEN, []),
        (Test.CLOCK, 12, ((0, 0, 0, 0),), AS_WRITTEN, []),
    ],
)
def test_the_value_with_which_a_claim_would_hold(
    test: Test, value: int | None, dancers: Dancers, swap: Swap, found: list[tuple[str, object]]
) -> None:
    """What all dancers do, as the sheet would write it where the pass is swapped; it holds then."""
    check = Maker().check(test, value)
    claims = Restating({"claim": 4}, {"c1": "claim"}, {})
    some = [*claims.others(check, dancers, swap, 2, holds=False)]

    assert [(4, Restated(sort, other, "claim")) for sort, other in found] == some
    assert all(one.after(check, dancers, swap, 2) is not None for _, one in some)
    assert [] == [*Restating({"claim": 4}, {}, {}).others(check, dancers, swap, 2, holds=False)]


def test_a_claim_that_holds_is_left_alone() -> None:
    """But for a foot that leads off from both."""
    claims = Restating({"lead": 2}, {"c1": "lead"}, {})
    foot, lead = Maker().check(Test.FOOT, Foot.LEFT), Maker().check(Test.LEAD, Foot.LEFT)

    assert (
        []
        == [*claims.others(foot, ONE, AS_WRITTEN, 0, holds=True)]
        == [*claims.others(lead, ONE, AS_WRITTEN, 0, holds=True)]
    )
    assert [(2, Restated("foot", Foot.RIGHT, "lead"))] == [*claims.others(lead, BOTH, AS_WRITTEN, 0, holds=True)]


@pytest.mark.parametrize(
    ("value", "clock", "found"),
    [
        (24, 36, [(36, 72, 24), (36, 84, 24)]),
        (24, 12, [(12, 72, 24), (12, 60, 24)]),
        (24, 72, [(72, 120, 24)]),
        (24, 30, []),
        (72, 60, [(24, 60, 24)]),
        (72, 24, []),
        (72, 65, []),
    ],
)
def test_counts_that_a_heading_could_have(value: int, clock: int, found: list[tuple[int, int, int]]) -> None:
    """From where its steps begin, as far or as long as before; or to where they end, on whole counts."""
    maker = Maker()
    check = maker.check(Test.CLOCK, value)
    check = evolve(check, claim=evolve(check.claim, kind=Kind.COUNTS))
    claims = Restating({"claim": 4}, {"c1": "claim"}, {"c1": (24, 72)})
    dancers = ((0, 0, 0, clock),)
    some = [one for _, one in claims.others(check, dancers, AS_WRITTEN, 0, holds=False)]

    assert [Restated("counts", counts, "claim") for counts in found] == some
    assert all(one.after(check, dancers, AS_WRITTEN, 0) == dancers for one in some)


def test_a_changed_claim_fails_for_those_who_do_otherwise() -> None:
    """Each sort is tested in its own way."""
    maker = Maker()
    foot, clock = maker.check(Test.FOOT, Foot.RIGHT), maker.check(Test.CLOCK, 12)

    assert ONE == Restated("foot", Foot.LEFT, "claim").after(foot, ONE, AS_WRITTEN, 0)
    assert None is Restated("foot", Foot.LEFT, "claim").after(foot, ONE, OPPOSITE, 0)
    assert None is Restated("foot", None, "claim").after(foot, ONE, AS_WRITTEN, 0)
    assert None is Restated("foot", Foot.LEFT, "claim").after(foot, BOTH, AS_WRITTEN, 0)
    assert ((2, 1, 3, 24),) == Restated("foot", Foot.LEFT, "lead").after(
        maker.check(Test.LEAD, Foot.RIGHT), BOTH, AS_WRITTEN, 0
    )
    assert None is Restated("clock", 36, "claim").after(clock, ONE, AS_WRITTEN, 0)
    assert ONE == Restated("turn", -3, "claim").after(maker.check(Test.EITHER, 4), ONE, MIRRORED, 0)


@pytest.mark.parametrize(
    ("count", "facings", "budget", "home", "walls"),
    [
        (4, 1 << 2, 0, True, (0, ())),
        (4, 1 << 6, 0, True, (0, ())),
        (2, 1 << 4, 0, True, (0, ())),
        (8, 1 << 3, 0, True, (0, ())),
        (1, 1 << 0, 0, True, (0, ())),
        (4, 1 << 4, 7, True, (7, (("c1", Restated("walls", 2, "claim")),))),
        (4, 1 << 4, 6, False, None),
        (4, 1 << 2 | 1 << 6, 9, False, None),
    ],
)
def test_walls_that_laps_come_home_after(
    count: int, facings: int, budget: int, home: bool, walls: tuple[int, tuple[object, ...]] | None
) -> None:
    """As many as the sheet claims, or as a changed claim would for what is left."""
    maker = Maker()
    claims = Restating({"claim": 4}, {"c1": "claim"}, {})
    claim, result = Walls(maker.claim(Kind.WALLS), count, ()), Result(ONE, 0, 3 if budget else 0, ())
    some = [*claims.walls(claim, {facings}, result, budget)]

    assert home is claims.home(claim, facings, result, budget)
    assert ([] if walls is None else [walls]) == [(one.cost, one.picks) for one in some]
    assert [] == [*claims.walls(claim, {1 << 1, 1 << 2}, result, 99)]
    assert [] == [*Restating({"claim": 4}, {}, {}).walls(claim, {1 << 5}, result, 99)] or count == 8


@pytest.mark.parametrize(
    ("offer", "key", "edit"),
    [
        (Offer("times", value=3, option=1), (7, 0), ChangeTimes(7, 3, 1)),
        (Offer("turn", value=-2), (7, 0), ChangeTurn(7, -2)),
        (Offer("turn", value=None, option=2), (7, 0), ChangeTurn(7, None, 2)),
        (Offer("lead", value=1), (7, 0), ChangeLead(7, Foot.RIGHT)),
        (Offer("delete"), (7, 0), DeleteLine(7)),
        (Offer("insert", value=3), (7, 2), InsertLine(7, "hold 3 beats")),
        (Offer("insert", value=1), (7, 1), InsertLine(7, "hold 1 beat", before=True)),
        (Offer("insert", BASIC, 1), (7, 2), InsertLine(7, "Basic")),
        (Offer("insert", BASIC, 2), (7, 2), InsertLine(7, "Basic x2")),
        (Offer("insert", BASIC, 1, turn=-2), (7, 2), InsertLine(7, "Basic, turn 1/4 left")),
        (Offer("insert", BASIC, 1, turn=3), (7, 1), InsertLine(7, "Basic, turn 3/8 right", before=True)),
        (Offer("figure", BASIC), (7, 0), ReplaceFigure(7, "Basic")),
        (Offer("other length", BASIC), (7, 0), ReplaceLength(7, "Basic")),
        (Offer("alternative", BASIC, option=1), (7, 0), ChangeAlternative(7, 1, "Basic")),
    ],
)
def test_an_offer_is_an_edit_of_its_line(offer: Offer, key: tuple[int, int], edit: object) -> None:
    """Of its alternative, behind it or before it."""
    assert edit == edit_of(key, offer)
    assert offer.kind != "insert" or offer.candidate or HoldRow(Length(12 * (offer.value or 0))) == offer.row()
