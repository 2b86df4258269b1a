"""The second engine and a plain enumeration of dances have one meaning; a change of a program is noticed in its
script."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from attrs import evolve
from hypothesis import given
from hypothesis import strategies as st

from stepcheck.model.claims import Check, Test
from stepcheck.model.dance import TICKS, Body, Choice, Figure, Item, Pass, Program, Step, Timed, Together
from stepcheck.model.outcome import Outcome, Verdict
from stepcheck.proof.decide import decide, script
from stepcheck.proof.solving import satisfiable
from stepcheck.report.pipeline import load
from stepcheck.walk.walk import walk
from tests.profiles import law
from tests.program_reference import verdicts
from tests.programs import possible, programs

SPECS = Path(__file__).parents[2] / "specs"
SHEETS = sorted(SPECS.glob("routines/*.routine"))
LAW = law(30)
MOST_FILLINGS = 300
MOST_CHANGES = 12  # of each sheet


@st.composite
def spiced(draw: st.DrawFn, **more: object) -> Program:
    """Draw a program with checks judged together, cuts, alternatives that are not compared, and feet ordered in whole
    passes."""
    program = draw(programs(**more))

    def body(items: Body) -> Body:
        out: list[Item] = []
        for item in map(one, items):
            if isinstance(item, Check) and out and isinstance(out[-1], Check | Together) and draw(st.booleans()):
                before = out.pop()
                out.append(Together((*(before.checks if isinstance(before, Together) else (before,)), item)))
            else:
                out.append(item)
        return tuple(out)

    def one(item: Item) -> Item:
        if isinstance(item, Choice):
            claim = item.claim if draw(st.integers(0, 3)) else None
            return evolve(item, claim=claim, options=tuple(map(body, item.options)))
        if not hasattr(item, "body"):
            return item
        item = evolve(item, body=body(item.body))
        if isinstance(item, Pass | Timed) and not draw(st.integers(0, 4)):
            item = evolve(item, lasts=TICKS * draw(st.integers(1, 3)))
        return item

    walls = program.walls
    if walls is not None:
        leads = [
            item
            for item in _items(program.dance)
            if isinstance(item, Check) and item.test is Test.LEAD and item.value is not None
        ]
        if leads and draw(st.booleans()):
            walls = evolve(walls, body=(draw(st.sampled_from(leads)), *walls.body))
    return evolve(
        program,
        dance=body(program.dance),
        walls=walls,
        spares=tuple(evolve(s, body=body(s.body)) for s in program.spares),
    )


def _items(body: Body) -> Iterator[Item]:
    for item in body:
        yield item
        for inner in (
            item.options if isinstance(item, Choice) else (getattr(item, "body", getattr(item, "checks", ())),)
        ):
            yield from _items(inner)


def agrees(program: Program) -> tuple[Outcome, ...]:
    """Compare the engine with the enumeration, where that is not too much, and return what the engine says then; a budget
    that is spent says nothing."""
    wanted = verdicts(program, MOST_FILLINGS)
    found = decide(program) if wanted is not None else ()
    for outcome in found:
        assert wanted is not None
        assert outcome.verdict is wanted[outcome.claim] or outcome.reason == "budget", outcome
    return found


@LAW
@given(spiced())
def test_the_engine_has_the_meaning_of_all_dances(program: Program) -> None:
    """Every claim is decided as by dancing all dances one by one, and none is left undecided."""
    found = agrees(program) or decide(program)
    assert not any(outcome.verdict is Verdict.UNDECIDED for outcome in found)


@LAW
@given(spiced(words=True))
def test_the_engine_has_the_meaning_of_all_dances_with_open_words(program: Program) -> None:
    """A claim is refuted if one assignment of readings that somebody can mean refutes it."""
    agrees(program)


@LAW
@given(spiced(blanks=True, depth=1))
def test_the_engine_goes_through_all_fillings(program: Program) -> None:
    """Each claim is judged over all fillings, as by dancing under one after the other."""
    agrees(program)


@LAW
@given(spiced(blanks=True, words=True, depth=1))
def test_the_engine_goes_through_all_fillings_with_open_words(program: Program) -> None:
    """Fillings are gone through under each assignment of readings for itself."""
    agrees(program)


# -- changes ---------------------------------------------------------------------------------------------------------


def changed_figures(figure: Figure) -> Iterator[Figure]:
    """Yield a figure with one movement left out, with one that is danced twice, with another turn, with another
    length."""
    version = figure.versions[figure.usual]

    def made(**changes: object) -> Figure:
        return evolve(figure, versions=(evolve(version, **changes),), usual=0)

    for number in (0, len(version.actions) - 1) if version.actions else ():
        yield made(actions=version.actions[:number] + version.actions[number + 1 :])
        yield made(actions=(*version.actions[:number], *(version.actions[number],) * 2, *version.actions[number + 1 :]))
    yield made(turn=version.turn + 2)
    yield made(length=version.length + TICKS)


def with_figure(body: Body, old: Figure, new: Figure) -> Body:
    """Return a body in which another figure stands for one."""
    out: list[Item] = []
    for item in body:
        if isinstance(item, Step) and item.figure is old:
            item = evolve(item, figure=new)
        elif isinstance(item, Choice):
            item = evolve(item, options=tuple(with_figure(option, old, new) for option in item.options))
        elif hasattr(item, "body"):
            item = evolve(item, body=with_figure(item.body, old, new))
        out.append(item)
    return tuple(out)


def with_turn(body: Body, line: int) -> Body:
    """Return a body in which the steps of a line turn a quarter more."""
    out: list[Item] = []
    for item in body:
        if isinstance(item, Step) and item.line == line:
            item = evolve(item, turn=(item.turn or 0) + 2)
        elif isinstance(item, Choice):
            item = evolve(item, options=tuple(with_turn(option, line) for option in item.options))
        elif hasattr(item, "body"):
            item = evolve(item, body=with_turn(item.body, line))
        out.append(item)
    return tuple(out)


def everywhere(program: Program, change) -> Program:
    """Return a program with all its bodies changed."""
    walls = program.walls and evolve(program.walls, body=change(program.walls.body))
    spares = tuple(evolve(spare, body=change(spare.body)) for spare in program.spares)
    return evolve(program, dance=change(program.dance), walls=walls, spares=spares)


def changes(program: Program) -> Iterator[Program]:
    """Yield a program with one movement, one turn or one length changed."""
    steps = [item for item in _items(program.dance) if isinstance(item, Step)]
    for old in {id(step.figure): step.figure for step in steps}.values():
        for new in changed_figures(old):
            if possible(new.versions[0].actions):
                yield everywhere(program, lambda body, old=old, new=new: with_figure(body, old, new))
    for line in {step.line for step in steps}:
        yield everywhere(program, lambda body, line=line: with_turn(body, line))


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_a_change_is_noticed_where_the_walk_refutes_it(path: Path) -> None:
    """The script of a changed program is satisfiable exactly where the walk refutes something of it."""
    program = load(path).program
    assert program is not None
    assert not satisfiable(script(program))
    noticed, every = 0, list(changes(program))
    for other in every[:: -(-len(every) // MOST_CHANGES)]:
        found = {one.claim: one.verdict for one in decide(other)}
        assert found == {one.claim: one.verdict for one in walk(other)}
        wrong = Verdict.REFUTED in found.values()
        assert satisfiable(script(other)) is wrong
        noticed += wrong
    assert noticed or len(program.claims) < 3
