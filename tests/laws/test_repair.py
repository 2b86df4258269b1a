"""Fixes are as cheap as trying everything finds, and each of them mends."""

from itertools import product
from pathlib import Path
from typing import Any

import pytest
from attrs import fields, has
from hypothesis import given
from hypothesis import strategies as st

from stepcheck.books import book as books
from stepcheck.breaks.fill import fill
from stepcheck.fixes.fix import repair
from stepcheck.fixes.repairs import COSTS, EVIDENT
from stepcheck.language.alterations import applied
from stepcheck.model.claims import Claim
from stepcheck.model.dance import Step
from stepcheck.model.outcome import Verdict
from stepcheck.report import pipeline
from stepcheck.walk.effects import Algebra
from stepcheck.walk.walk import failing
from tests.edit_sets import cheapest, singles
from tests.profiles import law

BOOK = books.load(Path(__file__).parents[1] / "small.book")
SLOW = law(8)
FEW = law(8)
FEWER = law(4)
ROWS = (
    "Change",
    "Two",
    "Point",
    "Quarter",
    "Two x2",
    "Point, turn 1/4 left",
    "Change x3",
    "Change | Point",
    "Leap",
    "hold 1 beat",
)
CONTRACTS = (
    "4 counts",
    "6 counts",
    "no turn",
    "1/4 turn right",
    "1/2 turn",
    "left foot",
    "right foot to left foot",
    "front to back",
)


@st.composite
def sheets(draw: st.DrawFn, most: int = 3) -> str:
    """Draw a small sheet, right or wrong."""
    rows = st.lists(st.sampled_from(ROWS), min_size=1, max_size=most)
    lines = ["routine: Toy", *draw(st.sampled_from(([], ["walls: 4"], ["walls: 1"], [])))]
    for part in ("A", "B")[: draw(st.integers(1, 2))]:
        contract = ", ".join(draw(st.lists(st.sampled_from(CONTRACTS), max_size=2, unique=True)))
        lines += [f"part {part}: {contract}".rstrip(), *(f"  {row}" for row in draw(rows))]
    if lines[1].startswith("walls") and "part B" in "\n".join(lines):
        del lines[1]
    calls = [
        "  A",
        *draw(st.lists(st.sampled_from(("  A", "  A x2", "  expect left foot", "  expect facing front")), max_size=2)),
    ]
    calls += ["  B"] if "part B" in "\n".join(lines) else []
    return "\n".join([*lines, "dance:", *calls, ""])


@st.composite
def alternatives(draw: st.DrawFn) -> str:
    """Draw a small sheet in whose dance parts are alternatives."""
    rows = st.lists(st.sampled_from(("Change", "Two", "Point", "Quarter", "Leap")), min_size=1, max_size=2)
    lines = ["routine: Toy"]
    for part in ("A", "B"):
        contract = ", ".join(draw(st.lists(st.sampled_from(CONTRACTS), max_size=1)))
        lines += [f"part {part}: {contract}".rstrip(), *(f"  {row}" for row in draw(rows))]
    after = draw(st.sampled_from((["  expect left foot"], ["  expect facing front"], ["  A"], [])))
    return "\n".join([*lines, draw(st.sampled_from(("dance:", "dance: 6 counts"))), "  A | B", *after, ""])


@st.composite
def songs(draw: st.DrawFn) -> str:
    """Draw a small sheet that goes round until its music ends."""
    rows = draw(
        st.lists(st.sampled_from(("Change", "Two", "Point", "Quarter", "Point, turn 1/4 left")), min_size=1, max_size=3)
    )
    contract = draw(st.sampled_from(("4 counts", "3 counts", "1/4 turn right", "no turn", "left foot to left foot")))
    walls = draw(st.sampled_from(([], ["walls: 4"])))
    head = ["routine: Toy", *walls, "music:", f"  song {draw(st.integers(6, 14))}"]
    first = draw(st.sampled_from(([], ["  Two"])))
    return "\n".join(
        [*head, f"part A: {contract}", *(f"  {row}" for row in rows), "dance:", *first, "  A until the music ends", ""]
    )


def prices(kinds: tuple[str, ...]) -> dict[str, int]:
    """Return the costs of these kinds alone."""
    return {kind: COSTS[kind] for kind in kinds if kind not in EVIDENT}


def danced(text: str) -> object:
    """Return what is danced in a sheet and checked on the way, apart from the names of figures and from lines."""

    def told(item: Any) -> object:
        if isinstance(item, Step):
            version = item.figure.versions[item.figure.usual]
            moves = tuple((action.movement.name, action.foot, action.tick) for action in version.actions)
            return moves, version.turn if item.turn is None else item.turn
        if isinstance(item, Claim):
            return item.kind, item.text
        if isinstance(item, tuple):
            return tuple(map(told, item))
        if has(type(item)):
            return type(item), *(told(getattr(item, one.name)) for one in fields(type(item)) if one.name != "line")
        return item

    program = pipeline.loads(text, book=BOOK).program
    return told((program.dance, program.spares, program.walls)) if program is not None else text


def says_twice(text: str) -> bool:
    """Say whether a line of a sheet has two alternatives that are written alike, which no fix makes."""
    rows = (line.strip().split(" | ") for line in text.splitlines())
    return any(len(set(row)) < len(row) for row in rows)


def agree(text: str, kinds: tuple[str, ...], most: int) -> None:
    """Hold the cheapest fixes of a sheet to trying every set of changes."""
    routine = pipeline.loads(text, book=BOOK)
    if routine.program is None:
        return
    without = tuple(kind for kind in COSTS if kind not in kinds and kind != "music")
    found = repair(routine, without=(*without, *EVIDENT), most_cost=most, limit=400, level="any")
    plain = cheapest(routine, BOOK, prices(kinds), kinds, most)
    if plain is None:
        assert () == found.fixes
    elif plain[0] == 0:
        assert not found.needed
    else:
        cost, sets = plain
        texts = {text for edits in sets if not says_twice(text := applied(routine.sheet, edits))}
        ours = {fix.text for fix in found if fix.cost == cost}
        assert not texts or cost == found[0].cost
        # Of two fixes that say the same in two ways one is given.
        assert texts >= ours and {danced(text) for text in texts} == {danced(text) for text in ours}
        assert all(fix.report.verdict is Verdict.PROVED for fix in found)


@SLOW
@given(sheets())
def test_the_cost_is_that_of_trying_every_single_change(text: str) -> None:
    """No change of any kind that mends a small sheet is cheaper than what is found, and what is found mends it.

    Which feet may be written after both feet hangs on what was chosen before, which trying does not look into.
    """
    left_out = ("name", "music", "reading", "cut", "restart", "turn times", *(("lead",) if "Leap" in text else ()))
    agree(text, tuple(kind for kind in COSTS if kind not in left_out), 3)


@FEWER
@given(alternatives())
def test_parts_as_alternatives_are_mended_as_cheaply_as_can_be(text: str) -> None:
    """Where parts are alternatives, trying every single change finds nothing cheaper."""
    agree(
        text,
        tuple(kind for kind in COSTS if kind not in ("name", "music", "reading", "cut", "restart", "turn times")),
        3,
    )


@FEW
@given(songs())
def test_what_goes_on_until_the_music_ends_is_mended_as_cheaply_as_can_be(text: str) -> None:
    """However many laps there are after a change, and wherever the last is cut, nothing cheaper mends the sheet."""
    agree(
        text,
        tuple(kind for kind in COSTS if kind not in ("name", "music", "reading", "cut", "restart", "turn times")),
        3,
    )


LENGTHS = (
    "Two, 2 counts",
    "Two, 3 counts",
    "Change x2, 3 counts",
    "Point, 1 count | Two",
    "Change x2 | Two, 2 counts",
    "Two",
)


@st.composite
def stated(draw: st.DrawFn) -> str:
    """Draw a small sheet whose lines say how long they last, rightly or not."""
    rows = draw(st.lists(st.sampled_from(LENGTHS), min_size=1, max_size=3))
    contract = draw(st.sampled_from(("4 counts", "6 counts", "left foot to left foot", "no turn")))
    calls = draw(st.sampled_from((["  A"], ["  A", "  A"], ["  A, 4 counts"], ["  A x2", "  expect left foot"])))
    return "\n".join(["routine: Toy", f"part A: {contract}", *(f"  {row}" for row in rows), "dance:", *calls, ""])


@FEW
@given(stated())
def test_lengths_that_lines_state_are_mended_as_cheaply_as_can_be(text: str) -> None:
    """Where a line says how long it lasts, that sentence is one of the changes, as trying every single one and pair
    says."""
    agree(text, ("figure", "alternative", "claim", "delete"), 4)


@st.composite
def smudged(draw: st.DrawFn) -> str:
    """Draw a small sheet with a blank and, in another part, perhaps a mistake."""
    rows = st.lists(st.sampled_from(("Change", "Two", "Point", "Quarter", "Leap")), min_size=1, max_size=2)
    blank = draw(st.sampled_from(("Two, turn ?", "Change x?", "? 2 counts", "Point, turn ?")))
    first = [f"  {row}" for row in draw(rows)]
    contracts = [draw(st.sampled_from(CONTRACTS)) for _ in range(2)]
    lines = [
        f"part A: {contracts[0]}",
        *first,
        f"  {blank}",
        f"part B: {contracts[1]}",
        *(f"  {row}" for row in draw(rows)),
    ]
    return "\n".join(
        [*lines, "dance:", *draw(st.sampled_from((["  B", "  A"], ["  B", "  A", "  expect facing front"]))), ""]
    )


@FEWER
@given(smudged())
def test_sheets_with_blanks_are_mended_as_cheaply_as_can_be(text: str) -> None:
    """Of all single changes beside the blank, those after which nothing fails and the blank can be filled are found."""
    routine = pipeline.loads(text, book=BOOK)
    if routine.program is None:
        return
    kinds = ("figure", "times", "turn", "delete", "insert")
    without = tuple(kind for kind in COSTS if kind not in kinds and kind != "music")
    found = repair(routine, without=without, most_cost=3, limit=400, level="any")
    if not found.needed:
        return
    texts: dict[int, set[str]] = {}
    algebra = Algebra()
    for edit in singles(routine, BOOK, kinds):
        if "?" not in routine.sheet.source.line(edit.line) or edit.kind == "insert":
            after = pipeline.loads(applied(routine.sheet, (edit,)), book=BOOK)
            if after.program is not None and not failing(after.program, algebra) and fill(after, limit=1).fills:
                texts.setdefault(COSTS[edit.kind], set()).add(after.sheet.source.text)
    cost = min(texts, default=0)
    assert {fix.text for fix in found if fix.cost == cost} == texts.get(cost, set())
    assert [fix.cost for fix in found][:1] == ([cost] if cost else [])


@SLOW
@given(sheets(2))
def test_the_cost_is_that_of_trying_every_pair_of_changes(text: str) -> None:
    """Pairs of changes of figures, and claims, are tried out against all of them too."""
    agree(text, ("figure", "alternative", "claim"), 4)


@SLOW
@given(sheets())
def test_a_repaired_sheet_needs_no_repair(text: str) -> None:
    """Asking again after a fix finds nothing to mend, and the edits of a fix make its text."""
    routine = pipeline.loads(text, book=BOOK)
    if routine.program is None:
        return
    for fix in repair(routine, most_cost=4):
        assert not repair(pipeline.loads(fix.text, book=BOOK)).needed
        assert applied(routine.sheet, fix.edits) == fix.text


@SLOW
@given(sheets(), st.sampled_from(("figure", "times", "turn", "claim", "insert")))
def test_a_dearer_kind_is_not_used_where_a_cheaper_set_does(text: str, kind: str) -> None:
    """A kind that is made dearer never makes the fix cheaper, and is not used where others cost less."""
    routine = pipeline.loads(text, book=BOOK)
    if routine.program is None or not (before := repair(routine, limit=1, most_cost=4)):
        return
    after = repair(routine, limit=1, most_cost=4, costs={kind: COSTS[kind] + 1})
    rest = repair(routine, limit=1, most_cost=4, without=(kind,))
    if after:
        assert before[0].cost <= after[0].cost <= (rest[0].cost if rest else 4)
    if rest and rest[0].cost == before[0].cost:
        assert all(edit.kind != kind for edit in after[0].edits)


@SLOW
@given(sheets())
def test_another_figure_in_the_book_never_makes_a_fix_dearer(text: str) -> None:
    """More to choose from is never worse."""
    routine = pipeline.loads(text, book=BOOK)
    if routine.program is None:
        return
    larger = books.load(Path(__file__).parents[1] / "larger.book")
    few = repair(routine, limit=1, most_cost=4)
    many = repair(pipeline.loads(text, book=larger), limit=1, most_cost=4)
    assert few.needed == many.needed
    assert not few or many[0].cost <= few[0].cost


@pytest.mark.parametrize("lead,end", list(product(("left", "right"), ("left", "right", "both"))))
def test_every_end_of_a_part_can_be_reached(lead: str, end: str) -> None:
    """Whatever foot a part of one line is to end with, one change does it."""
    feet = "both feet" if end == "both" else f"{end} foot"
    text = f"lead: {lead}\npart A: {lead} foot to {feet}\n  Two\n  Two\ndance:\n  A\n"
    found = repair(pipeline.loads(text, book=BOOK), limit=1)
    # What comes onto both feet in this book is new to the class, and shorter.
    assert (not found.needed) if end == lead else (3 if end == "both" else 2) == found[0].cost
