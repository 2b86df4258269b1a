"""Fillings against brute force: every value of every blank put into the text and walked."""

from itertools import islice, product
from math import prod
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from stepcheck import loads
from stepcheck.breaks.blanks import blanks, filled, filling
from stepcheck.breaks.fill import fill
from stepcheck.breaks.gaps import written
from stepcheck.breaks.material import material
from stepcheck.breaks.puzzle import Puzzle
from stepcheck.breaks.rows import Goal
from stepcheck.model.dance import Foot, Weight
from stepcheck.model.outcome import Verdict
from stepcheck.walk.walk import walk
from tests.profiles import law

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


@law(25)
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


OWN = """\
figures:
  Gate, 1 beat, turn 1/4 right: S
  Turnstile, 2 beats, turn 1/4 left: S S
"""


def held_to_brute_force(text: str, beats: int, turn: int | None, swapped: bool, most: int = 12) -> None:
    """Hold the first rows that fill a sheet to trying those that are usual from the foot on which its part begins.

    Args:
        text: the sheet; its part A begins, as it is written, with the weight on the right foot.
        beats: how long its gap is.
        turn: how far it has to turn, as the sheet says; None if it does not.
        swapped: whether the part is danced mirrored or with the opposite foot.
        most: how many of the rows are tried that do the same from that foot.
    """
    routine = loads(text)
    puzzle = Puzzle(routine, material(routine))
    ours = [one[0].lines for one in islice(puzzle.solutions(), 12)]
    theirs = []
    search = puzzle.searches[swapped]
    for outcome in search.outcomes(beats * 12, Weight.RIGHT):
        if turn is not None and turn != outcome[1]:
            continue
        for row in islice(search.rows(beats * 12, (Goal(Weight.RIGHT, frozenset({outcome})),)), most):
            one = filling(puzzle.blanks[0], written(row))
            after = loads(filled(routine.sheet.source, [one]))
            if after.program is not None and all(claim.verdict is Verdict.PROVED for claim in walk(after.program)):
                cost = sum(search.cost(ways[0]) for ways in row)
                theirs.append(((cost, tuple(ways[0].rank for ways in row)), one.lines))
    assert [lines for _, lines in sorted(theirs)][: len(ours)] == ours
    assert bool(theirs) == bool(ours)


def _size(turn: int) -> str:
    return f"{abs(turn)}/8 turn {'left' if turn < 0 else 'right'}" if turn else "no turn"


@law(30)
@given(
    st.sampled_from(("left foot", "right foot")), st.integers(-4, 4), st.integers(1, 6), st.sampled_from(("A", "A x2"))
)
def test_rows_that_fit_are_those_that_prove_the_sheet(foot: str, turn: int, beats: int, calls: str) -> None:
    """Every row found proves the sheet, and of the first rows of the length none that does is left out."""
    text = f"book: clogging\npart A: {beats} beats, {_size(turn)}, left foot to {foot}\n  ? {beats} beats\ndance:\n  {calls}\n"
    if foot == "left foot" or calls == "A":
        held_to_brute_force(text, beats, turn, False)


@law(20)
@given(
    st.sampled_from(("", "left foot to right foot", "left foot to left foot")),
    st.sampled_from((None, 0, 2, -2, 4)),
    st.integers(1, 2),
    st.sampled_from(
        ("  A, mirrored\n", "  A, opposite foot\n", "  Stomp Double\n  A, mirrored\n", "  A, mirrored\n  A\n")
    ),
    st.sampled_from(("", "  expect facing front\n", "  expect facing back, left foot\n")),
)
def test_rows_fit_each_pass_as_it_is_danced(feet: str, turn: int | None, beats: int, calls: str, end: str) -> None:
    """In a part danced mirrored or with the opposite foot a row may do something else on each pass; none is left
    out."""
    pieces = [f"{beats} beats", *([] if turn is None else [_size(turn)]), *filter(None, (feet,))]
    held_to_brute_force(
        f"book: clogging\n{OWN}part A: {', '.join(pieces)}\n  ? {beats} beats\ndance:\n  A\n{calls}{end}",
        beats,
        turn,
        True,
        300,
    )


def test_the_same_sheet_is_filled_alike_every_time() -> None:
    """Two runs give the same text, the same order and the same words."""
    lines = ("book: clogging", "part A: 16 beats", "  ? 8 beats", "  Push-off, turn ?", "  Triple", "dance:", "  A x2")
    text = "\n".join((*lines, "  expect facing back", ""))
    one, other = fill(loads(text)), fill(loads(text))
    assert [way.text for way in one.fills] == [way.text for way in other.fills]
    assert one.settled_by == other.settled_by
