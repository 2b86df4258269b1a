"""Laws of the groups of the floor: mirror images, canons, and groups as sheets of their own."""

from collections.abc import Iterator

import pytest
from attrs import evolve
from hypothesis import given
from hypothesis import strategies as st

import stepcheck as sc
from stepcheck.model.dance import Choice, Program, Weight
from stepcheck.model.floor import RELATIONS
from stepcheck.model.outcome import Row, Trace, Verdict
from stepcheck.model.work import Work
from stepcheck.program.routine import Routine
from stepcheck.report.certify import Rejected, confirm
from stepcheck.report.judge import Judge
from stepcheck.report.replays import State
from stepcheck.strategies import sheets
from stepcheck.strategies.random_sheets import random_sheet
from stepcheck.walk.walk import walk
from tests.profiles import law

HEAD = """book: line
lead: left
groups: odd lines, even lines
{start}
figures:
  Ford: S
  Lock: S S
  Swing, turn 1/4 left: S
  Gate, turn 1/2 right @1: S S
  Tarn, turn 1/8 left: HOLD

part A:
{lines}

dance:
"""
LINES = st.lists(
    st.sampled_from(
        (
            "Ford",
            "Lock",
            "Swing",
            "Gate",
            "Tarn",
            "Ford, turn 3/8 right",
            "Lock x2, turn 1/4 left on 2nd",
            "hold 1 count",
        )
    ),
    min_size=1,
    max_size=6,
)


def routine(lines: list[str], dance: str, start: str = "") -> Routine:
    """Return a sheet whose part has these lines."""
    return sc.loads(HEAD.format(lines="\n".join(f"  {line}" for line in lines), start=start) + dance)


def verdicts(made: Routine) -> dict[str, str]:
    """Return the verdict on each claim, which both engines and the judge agree on, by its text."""
    return {claim.text: claim.verdict.word for claim in sc.check(made).claims}


MIRRORED = "  together:\n    odd lines: A\n    even lines: A, mirrored\n  expect mirror images, same beat\n"


@law(25)
@given(LINES)
def test_groups_that_are_mirrored_give_mirrored_traces(lines: list[str]) -> None:
    """From opposite feet a part and its mirror image are mirror images at their end, and step by step: the other foot
    is free, and the wall faced lies as far to the other side."""
    made = routine(lines, MIRRORED, "even lines: lead right\n")
    assert made.program is not None
    odd, even = (danced(made.program, group) for group in range(2))

    assert verdicts(made) == {"mirror images": "proved", "same beat": "proved"}
    assert [(row.tick, row.ticks, 1 - row.after, -row.facing_after % 8, -row.turn) for row in odd] == [
        (row.tick, row.ticks, row.after, row.facing_after, row.turn) for row in even
    ]


def danced(program: Program, group: int) -> list[Row]:
    """Return what a group dances before the first meeting, step by step, but for the step of no length before it."""
    judge = Judge(program, program.claims[0], frozenset(), Trace(), False, Work(10**6))
    start = State(Weight(program.lead.other), program.facing, front=program.facing)
    judge.run(program.meetings[0].before[group], start)
    return [row for row in judge.rows if row.ticks]


@law(25)
@given(LINES, st.integers(1, 3), st.integers(1, 4))
def test_a_canon_of_a_part_that_comes_back_to_its_state_never_drifts(lines: list[str], late: int, times: int) -> None:
    """However often the part is danced, the group that sets off later stays behind by just its wait, and faces the same
    wall once it has caught up; a beat more is told.

    Eight times of anything change the feet and turn by whole turns: so such a part comes back.
    """
    block = ["8 times:", *(f"  {line}" for line in lines)]
    canon = "  together:\n    odd lines:\n      A x{times}\n      hold {hold} counts\n    even lines: wait {late} counts, A x{times}\n"
    claims = "  expect same wall, same beat\n"

    kept = verdicts(routine(block, canon.format(times=times, hold=late, late=late) + claims))
    lost = verdicts(routine(block, canon.format(times=times, hold=late + 1, late=late) + claims))

    assert kept == {"same wall": "proved", "same beat": "proved"}
    assert lost == {"same wall": "proved", "same beat": "refuted"}


def alone(program: Program) -> Iterator[Program]:
    """Yield for each group the program of a sheet in which all dance as it does."""
    choice = program.dance[0]
    assert isinstance(choice, Choice)
    for option in choice.options:
        yield evolve(program, dance=(*option, *program.dance[1:]), groups=(), meetings=())


@law(40)
@given(sheets(taste="groups"))
def test_a_claim_holds_if_it_holds_in_the_dance_of_each_group(text: str) -> None:
    """A sheet with groups says of each sentence about dancers the worst that the dances of its groups say of it."""
    program = sc.loads(text).program
    if program is None or program.walls is not None or "?" in text:
        return
    whole = {one.claim: one.verdict for one in walk(program)}
    each = [{one.claim: one.verdict for one in walk(one)} for one in alone(program)]
    for claim in program.claims:
        if claim.kind not in RELATIONS.values():
            found = {one[claim.id] for one in each} - {Verdict.VACUOUS}
            assert whole[claim.id] is max(found, default=Verdict.VACUOUS), claim


@pytest.mark.parametrize("seed", range(60))
def test_the_judge_accepts_no_other_dances(seed: int) -> None:
    """Two dances that show how groups part show nothing as one dance twice, or without a meeting."""
    program = sc.loads(random_sheet(seed, taste="groups")).program
    if program is None:
        return
    kinds = {claim.id: claim for claim in program.claims if claim.kind in RELATIONS.values()}
    outcomes = walk(program)
    mended = frozenset(one.claim for one in outcomes if one.verdict in (Verdict.REFUTED, Verdict.UNDECIDED))
    for one in outcomes:
        if one.claim in kinds and one.traces:
            claim, (first, second) = kinds[one.claim], one.traces
            assert len(confirm(program, claim, one.traces, mended)) == 2
            for wrong in ((first, first), (evolve(first, meeting=None), second)):
                with pytest.raises(Rejected):
                    confirm(program, claim, wrong, mended)
