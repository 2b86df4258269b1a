"""The judge against a dancer who dances plainly: the same end, the same failure, the same rows."""

from itertools import pairwise
from random import Random

from attrs import evolve
from hypothesis import given
from hypothesis import strategies as st

from stepcheck.model.dance import Pass, Program, Repeat, Weight
from stepcheck.model.outcome import Replay, Row, Trace
from stepcheck.model.work import Work
from stepcheck.report.judge import Judge
from stepcheck.report.replays import Ended, State, Stopped
from tests.dancers import Fails, Over, Plain
from tests.profiles import law
from tests.programs import programs


def plainly(program: Program, claim: str, seed: int, words: tuple[int, ...], pair: bool) -> tuple[Plain, Replay | None]:
    """Dance a program by chance, and return the dancer and where the claim fails, if it does.

    One of a pair of traces, which differ, ends at any of the alternatives that the claim is about.
    """
    replay, until = None, 0
    for _ in range(1 + pair):
        dancer = Plain(program, claim, Random(seed), words, until)
        try:
            dancer.dance(program.dance)
        except Over:
            pass
        except Fails as stop:
            replay = stop.replay
        until = Random(seed).randint(1, dancer.came) if dancer.came else 0
    return dancer, replay


def hold(program: Program, claim: str, seed: int, words: tuple[int, ...] = (), pair: bool = False) -> None:
    """Hold the judge against a plain dance with the same decisions."""
    dancer, replay = plainly(program, claim, seed, words, pair)
    begin = State(Weight(program.lead.other), program.facing, front=program.facing)
    (about,) = [one for one in program.claims if one.id == claim]
    others = frozenset(one.id for one in program.claims if one.id != claim)
    judge = Judge(program, about, others, Trace(tuple(dancer.decisions), words=words), pair, Work(10**6))
    try:
        end, found = judge.run(program.dance, begin), None
    except Ended as stop:
        end, found = stop.state, None
    except Stopped as stop:
        found = stop.replay
    assert (found is None) is (replay is None)
    if found is None or replay is None:
        assert (end, judge.told, judge.parts, judge.starts) == (dancer.state, True, [], [])
        compare(tuple(judge.rows), dancer)
    else:
        assert evolve(found, rows=()) == replay
        compare(found.rows, dancer)
    assert judge.danced.keys() <= dancer.counts.keys()


def compare(found: tuple[Row, ...], dancer: Plain) -> None:
    """Hold rows against those of the plain dance: the same, but for rows that stand for many like the one before."""
    plain = dancer.rows[-400:]
    if [*found] == plain:
        return
    known = set(dancer.rows)  # rows that stand for many reach further back
    for before, row in pairwise(found):
        stands = evolve(before, tick=row.tick, ticks=row.ticks, times=row.times) == row
        assert row in known or (stands and {row.tick, row.tick + row.ticks} <= dancer.clocks)
    assert found[0] in known


@law(80)
@given(programs(blanks=True, words=True), st.integers(0, 2**16), st.integers(0, 1), st.booleans())
def test_the_judge_dances_as_a_plain_dancer_does(program: Program, seed: int, reading: int, pair: bool) -> None:
    """Every item, by whatever decisions: for each claim the judge stops where it fails, or ends as the dance does."""
    for number, claim in enumerate(program.claims):
        hold(program, claim.id, seed + number, (reading,), pair)


@law(40)
@given(programs(blanks=True, words=True, endless=False, depth=1), st.integers(0, 2**16), st.booleans())
def test_deep_inside_the_judge_dances_as_a_plain_dancer_does(program: Program, seed: int, pair: bool) -> None:
    """Passes and repeats around a part danced again and again, where the judge goes by what it remembers."""
    inner = Pass(2, "Inner", 0, program.dance)
    lasting = Pass(3, "Inner", 0, program.dance, lasts=30)
    body: tuple[object, ...] = (inner, lasting, inner, *program.dance, inner, inner, lasting)
    for depth, times in enumerate((2, 3)):
        body = (Repeat(depth, times, (Pass(depth, f"Part {depth}", 0, body),)),)  # type: ignore[arg-type]
    for number, claim in enumerate(program.claims[:2]):
        hold(evolve(program, dance=body), claim.id, seed + number, (0,), pair)
