"""The two engines, the judge and a plain reference have one meaning."""

from pathlib import Path

import pytest
from attrs import evolve
from hypothesis import given

from stepcheck.books import book as books
from stepcheck.model.claims import Check, Test
from stepcheck.model.dance import EIGHTHS, Body, Choice, Figure, Pass, Program, Spare, Step, Together, Weight
from stepcheck.model.outcome import Outcome, Pick, Run, Trace, Verdict
from stepcheck.proof.decide import decide
from stepcheck.report import pipeline
from stepcheck.report.certify import Rejected, confirm
from stepcheck.walk.effects import WEIGHTS, Algebra, step_effect
from stepcheck.walk.walk import danced_wrongly, walk
from stepcheck.walk.walk import verdicts as quick_verdicts
from tests.profiles import law
from tests.program_reference import verdicts
from tests.programs import HOLD, Maker, figure, programs

SPECS = Path(__file__).parents[2] / "specs"
SHEETS = sorted((*SPECS.glob("routines/*.routine"), *SPECS.glob("faulty/*.routine")))
LAW = law(60)

MOST_FILLINGS = 300


def told(outcomes: tuple[Outcome, ...]) -> dict[str, Verdict]:
    """Return the verdicts by claim."""
    return {outcome.claim: outcome.verdict for outcome in outcomes}


# -- random programs -------------------------------------------------------------------------------------------------


@LAW
@given(programs())
def test_walk_has_the_meaning_of_the_reference(program: Program) -> None:
    """Walk decides every claim as the plain enumeration of all dances does."""
    assert verdicts(program) == told(walk(program))


@LAW
@given(programs(words=True))
def test_verdicts_without_dances_are_those_with(program: Program) -> None:
    """Asked for nothing but verdicts, walk decides every claim that is come to as it does when it shows the dances."""
    shown = told(walk(program))
    assert quick_verdicts(program) == {claim: one for claim, one in shown.items() if one is not Verdict.VACUOUS}


@LAW
@given(programs(words=True))
def test_walk_has_the_meaning_of_the_reference_with_open_words(program: Program) -> None:
    """A claim is refuted if one assignment of readings refutes it."""
    assert verdicts(program) == told(walk(program))


@LAW
@given(programs(blanks=True, depth=1))
def test_walk_decides_nothing_that_a_blank_leaves_open(program: Program) -> None:
    """With blanks walk may leave open what the reference decides, but never decides otherwise."""
    plain = verdicts(program, MOST_FILLINGS)
    for claim, verdict in told(walk(program)).items() if plain is not None else ():
        assert verdict in (plain[claim], Verdict.UNDECIDED)


@LAW
@given(programs())
def test_every_refutation_is_confirmed_by_the_judge(program: Program) -> None:
    """Whatever the walk refutes fails when its trace is danced."""
    outcomes = walk(program)
    refuted = frozenset(o.claim for o in outcomes if o.verdict is Verdict.REFUTED)
    for claim, outcome in zip(program.claims, outcomes, strict=True):
        if outcome.verdict is Verdict.REFUTED:
            excused = danced_wrongly(program, outcomes, outcome.traces[0].words if outcome.traces else ())
            assert confirm(program, claim, outcome.traces, refuted, excused)


# -- every figure of both books --------------------------------------------------------------------------------------


def single(made: Figure) -> tuple[Figure, ...]:
    """Return a figure once for each of its versions."""
    return tuple(evolve(made, versions=(version,), usual=0) for version in made.versions)


@pytest.mark.parametrize("book", books.SHIPPED)
def test_the_solver_dances_every_figure_from_every_state_as_walk_does(book: str) -> None:
    """proof ≡ walk: every figure and version of the book, from every weight and facing, both leads, ends alike."""
    turner = figure("Turner", HOLD)
    count = 0
    for made in (one for known in books.load(book).figures() for one in single(known)):
        maker, spares, algebra = Maker(), [], Algebra()
        effect = step_effect(algebra, Step(1, made), made.versions[0], {})
        for weight in WEIGHTS:
            ways = [(after, entry) for before, after, entry in effect.entries if before is weight]
            for facing in range(EIGHTHS):
                body: Body = (Step(1, turner, facing), Step(1, made))
                if len(ways) == 1:
                    after, _ = ways[0]
                    feet = (Test.BOTH, None) if after is Weight.BOTH else (Test.FOOT, 1 - after)
                    body += (maker.check(*feet),)
                turns = {bound for _, entry in ways for bound in entry.turns}
                if len(turns) == 1:
                    (turn,) = turns
                    body += (maker.check(Test.FACING, (facing + turn) % EIGHTHS), maker.check(Test.TURN, facing + turn))
                body += (maker.check(Test.CLOCK, ways[0][1].low + 12),)
                spares.append(Spare((weight,), body))
                count += 1
        program = maker.program(spares=tuple(spares))

        assert {Verdict.PROVED} == set(told(decide(program)).values())
        assert {Verdict.PROVED} == set(told(walk(program)).values())
    assert count == 24 * sum(len(known.versions) for known in books.load(book).figures())


# -- the sheets ------------------------------------------------------------------------------------------------------


def program_of(path: Path) -> Program | None:
    """Return the program of a sheet."""
    return pipeline.load(path).program


def changed(body: Body, change, in_pass: bool = False) -> Body:
    """Return a body with every step and check changed; `change` is told whether it stands in a pass."""
    out = []
    for item in body:
        if isinstance(item, Step | Check):
            out.append(change(item, in_pass))
        elif isinstance(item, Together):
            out.append(Together(tuple(change(check, in_pass) for check in item.checks)))
        elif isinstance(item, Choice):
            out.append(evolve(item, options=tuple(changed(option, change, in_pass) for option in item.options)))
        elif hasattr(item, "body"):
            out.append(evolve(item, body=changed(item.body, change, in_pass or isinstance(item, Pass))))
        else:
            out.append(item)
    return tuple(out)


def mirrored(item: Step | Check, in_pass: bool) -> Step | Check:
    """Return a step or check as in a mirror."""
    if isinstance(item, Step):
        return evolve(item, turn=None if item.turn is None else -item.turn)
    if item.value is None or item.test in (Test.CLOCK, Test.EITHER):
        return item
    if item.test in (Test.LEAD, Test.FOOT):
        return evolve(item, value=1 - item.value)
    return evolve(item, value=-item.value % EIGHTHS if item.test is Test.FACING else -item.value)


def other(weight: Weight) -> Weight:
    """Return a weight as in a mirror."""
    return weight if weight is Weight.BOTH else Weight(1 - weight)


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_a_mirror_changes_no_verdict(path: Path) -> None:
    """Left for right, turns and all: what was proved stays proved, what was refuted stays refuted."""
    program = program_of(path)
    if program is None:
        assert pipeline.check_file(path, engine="walk").verdict is Verdict.ILL_FORMED
        return
    image = evolve(
        program,
        lead=program.lead.other,
        facing=-program.facing % EIGHTHS,
        dance=changed(program.dance, mirrored),
        spares=tuple(Spare(tuple(map(other, s.weights)), changed(s.body, mirrored)) for s in program.spares),
        walls=program.walls and evolve(program.walls, body=changed(program.walls.body, mirrored, True)),
    )

    assert told(walk(program)) == told(walk(image))


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_another_wall_to_begin_with_changes_no_verdict(path: Path) -> None:
    """A dance begun on another wall, with what it says of the room turned alike, has the same verdicts."""
    program = program_of(path)
    if program is None:
        assert pipeline.check_file(path, engine="walk").verdict is Verdict.ILL_FORMED
        return

    def turned(item: Step | Check, in_pass: bool) -> Step | Check:
        if isinstance(item, Step) or in_pass or item.test is not Test.FACING:
            return item
        return evolve(item, value=(item.value + 3) % EIGHTHS)

    image = evolve(program, facing=(program.facing + 3) % EIGHTHS, dance=changed(program.dance, turned))

    assert told(walk(program)) == told(walk(image))


def test_a_trace_that_is_tampered_with_is_rejected() -> None:
    """The judge takes no decision that the dance does not ask for, and misses none that it does."""
    program = program_of(SPECS / "faulty" / "copper_ladle.routine")
    assert program is not None
    outcomes = walk(program)
    refuted = frozenset(o.claim for o in outcomes if o.verdict is Verdict.REFUTED)
    claim, outcome = next((c, o) for c, o in zip(program.claims, outcomes, strict=True) if o.claim in refuted)
    (trace,) = outcome.traces

    assert confirm(program, claim, (trace,), refuted)
    for wrong in ((Pick(7), *trace.decisions), (Run(0, ()), *trace.decisions), (Run(10**6, ()), *trace.decisions)):
        with pytest.raises(Rejected):
            confirm(program, claim, (evolve(trace, decisions=wrong),), refuted)
    with pytest.raises(Rejected):
        confirm(program, claim, (), refuted)


def test_a_claim_that_holds_cannot_be_refuted() -> None:
    """No trace makes the judge confirm a failure of a claim that is proved."""
    program = program_of(SPECS / "routines" / "ferry_lights.routine")
    assert program is not None
    for claim in program.claims:
        with pytest.raises(Rejected):
            confirm(program, claim, (Trace(),), frozenset())
