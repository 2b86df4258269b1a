"""Fillings against brute force: every value of every blank put into the text and walked."""

from itertools import islice, product
from math import prod
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from stepcheck import loads
from stepcheck.blanks import blanks, filled, filling
from stepcheck.fills import fill
from stepcheck.gaps import written
from stepcheck.material import material
from stepcheck.model import Foot, Weight
from stepcheck.outcome import Verdict
from stepcheck.puzzle import Puzzle
from stepcheck.rows import Goal
from stepcheck.walk import walk

VALUES = {"turn": range(-8, 9), "times": range(1, 65), "foot": tuple(Foot)}
MOST = 300  # ways that are tried one by one
FIGURES = ("Triple", "Basic", "Push-off", "Rocking Chair", "Turning Push-off")
CLAIMS = ("", "  expect left foot\n", "  expect facing back\n", "  expect facing front, left foot\n")


@st.composite
def sheets(draw: Any) -> str:
    """Return a small sheet with one or two blanks, and claims that may or may not be possible."""
    lines = []
    kinds = draw(st.lists(st.sampled_from(["turn", "times", "foot", "block", "plain"]), min_size=1, max_size=3))
    dear = 0
    for kind in kinds:
        figure = draw(st.sampled_from(FIGURES))
        dear += kind in ("times", "block")
        kind = "plain" if kind in ("times", "block") and dear > 1 else kind
        lines += {
            "turn": [f"  {figure}, turn ?{draw(st.sampled_from(['', '', ' on 2nd']))}"],
            "times": [f"  {figure} x?"],
            "foot": [f"  {figure}, ? foot"],
            "block": ["  ? times:", f"    {figure}", f"    {draw(st.sampled_from(FIGURES))}"],
            "plain": [f"  {figure}"],
        }[kind]
        lines.append(draw(st.sampled_from(CLAIMS)).rstrip("\n"))
    pieces = st.sampled_from(["16 beats", "12 beats", "1/2 turn left", "front to back"])
    contract = draw(st.lists(pieces, max_size=2, unique=True))
    calls = draw(st.sampled_from(["  A\n", "  A x2\n", "  A\n  A, mirrored\n"]))
    body = "\n".join(line for line in lines if line)
    ends = draw(st.sampled_from(CLAIMS))
    return f"book: clogging\npart A: {', '.join(contract)}\n{body}\ndance:\n{calls}{ends}"


@settings(max_examples=25, deadline=None)
@given(sheets())
def test_the_fillings_are_those_of_brute_force(text: str) -> None:
    """Putting every value of every blank into the text and walking it gives the same set of fillings."""
    routine = loads(text)
    found = blanks(routine.sheet)
    if routine.program is None or not found or not 0 < prod(len(VALUES[one.kind]) for one in found) <= MOST:
        return
    puzzle = Puzzle(routine, material(routine))
    ours = {
        tuple(one.value for one in sorted(solution, key=lambda one: (one.blank.line, one.blank.at)))
        for solution in puzzle.solutions()
    }
    theirs = set()
    for values in product(*(VALUES[one.kind] for one in found)):
        after = loads(
            filled(routine.sheet.source, [filling(one, value) for one, value in zip(found, values, strict=True)])
        )
        if after.program is not None and all(one.verdict is Verdict.PROVED for one in walk(after.program)):
            theirs.add(values)
    assert theirs == ours


@settings(max_examples=30, deadline=None)
@given(
    st.sampled_from(("left foot", "right foot")), st.integers(-4, 4), st.integers(1, 6),
    st.sampled_from(("1", "1 x2", "1\n  1, mirrored")),
)  # fmt: skip
def test_rows_that_fit_are_those_that_prove_the_sheet(foot: str, turn: int, beats: int, calls: str) -> None:
    """Every row found proves the sheet, and of the first rows of the length none that does is left out."""
    size = {0: "no turn"}.get(turn, f"{abs(turn)}/8 turn {'left' if turn < 0 else 'right'}")
    dance = calls.replace("1", "A")
    text = f"book: clogging\npart A: {beats} beats, {size}, left foot to {foot}\n  ? {beats} beats\ndance:\n  {dance}\n"
    if foot == "right foot" and calls == "1 x2":
        return
    routine = loads(text)
    puzzle = Puzzle(routine, material(routine))
    ours = [one[0].lines for one in islice(puzzle.solutions(), 12)]
    theirs = []
    search = puzzle.search
    for outcome in search.outcomes(beats * 12, (Weight.RIGHT,)):
        for row in islice(search.rows(beats * 12, (Goal(Weight.RIGHT, frozenset(outcome)),)), 12):
            one = filling(puzzle.blanks[0], written(row))
            after = loads(filled(routine.sheet.source, [one]))
            if after.program is not None and all(claim.verdict is Verdict.PROVED for claim in walk(after.program)):
                cost = sum(search.cost(ways[0]) for ways in row)
                theirs.append(((cost, tuple(ways[0].rank for ways in row)), one.lines))
    if "mirrored" in calls and turn:
        # A row is asked to fit from both feet as written; what fits only because a mirror swaps its turn is left out.
        for one in islice(puzzle.solutions(), 12):
            after = loads(filled(routine.sheet.source, list(one)))
            assert {Verdict.PROVED} == {claim.verdict for claim in walk(after.program)}
        return
    assert [lines for _, lines in sorted(theirs)][: len(ours)] == ours
    assert bool(theirs) == bool(ours)


def test_the_same_sheet_is_filled_alike_every_time() -> None:
    """Two runs give the same text, the same order and the same words."""
    lines = ("book: clogging", "part A: 16 beats", "  ? 8 beats", "  Push-off, turn ?", "  Triple", "dance:", "  A x2")
    text = "\n".join((*lines, "  expect facing back", ""))
    one, other = fill(loads(text)), fill(loads(text))
    assert [way.text for way in one.fills] == [way.text for way in other.fills]
    assert one.settled_by == other.settled_by
