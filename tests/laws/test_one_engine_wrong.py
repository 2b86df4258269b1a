"""A figure that is wrong in one engine only, in its foot, its turn or its length, is seen by the other or the judge."""

import pytest
from attrs import evolve

from stepcheck.books.footwork import danced
from stepcheck.model.dance import TICKS, Figure, Program, Version
from stepcheck.model.outcome import Verdict
from stepcheck.proof import decide as proof
from stepcheck.report import pipeline
from stepcheck.report.pipeline import Disagreement, decide, loads
from tests.laws.test_proof import everywhere, with_figure

HEAD = "book: clogging\n\nfigures:\n  Ford: S S S\n\n"
SHEETS = {
    "foot": ("part A: left foot to right foot", "part A: left foot to left foot"),
    "turn": ("part A: 1/4 turn left", "part A: no turn"),
    "length": ("part A: 3 beats", "part A: 4 beats"),
}
DANCE = "\n  Ford\n\ndance:\n  A\n"
"""For each kind a claim that holds of the figure as it is written, and one that holds of it as it is flipped."""


def flipped(version: Version, kind: str) -> Version:
    """Return a figure with its last movement left out, which flips the foot, with no turn, or a beat longer."""
    match kind:
        case "foot":
            return evolve(version, actions=version.actions[:-1])
        case "turn":
            return evolve(version, turn=0)
        case _:
            return evolve(version, length=version.length + TICKS)


def text(kind: str, right: bool) -> str:
    """Return a sheet with a claim of a kind; right, or right of the flipped figure."""
    head = HEAD.replace("Ford:", "Ford, turn 1/4 left:")
    return head + SHEETS[kind][0 if right else 1] + DANCE


def misread(program: Program, kind: str) -> Program:
    """Return the program as an engine sees it that has the figure wrong."""
    ((_, old),) = danced(program)
    new: Figure = evolve(old, versions=tuple(flipped(one, kind) for one in old.versions))
    return everywhere(program, lambda body: with_figure(body, old, new))


def wrong(monkeypatch: pytest.MonkeyPatch, engine: str, kind: str) -> None:
    """Let one engine have the figure wrong."""
    place, name = (pipeline, "walk") if engine == "walk" else (proof, "decide")
    real = getattr(place, name)
    monkeypatch.setattr(place, name, lambda program, *words, **rest: real(misread(program, kind), *words, **rest))


@pytest.mark.parametrize("right", [True, False])
@pytest.mark.parametrize("engine", ["walk", "z3"])
@pytest.mark.parametrize("kind", SHEETS)
def test_the_other_engine_objects(kind: str, engine: str, right: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whether the claim is right or wrong, a figure that one engine has wrong gives no verdict of both."""
    program = loads(text(kind, right)).program
    assert program is not None
    assert (Verdict.PROVED if right else Verdict.REFUTED) in {one.verdict for one in decide(program)[0]}
    wrong(monkeypatch, engine, kind)
    with pytest.raises(Disagreement, match="one engine says"):
        decide(program)


@pytest.mark.parametrize("kind", SHEETS)
def test_the_judge_objects(kind: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """The walk alone, with a figure that it has wrong, refutes nothing that is true: the judge dances it."""
    program = loads(text(kind, True)).program
    assert program is not None
    wrong(monkeypatch, "walk", kind)
    with pytest.raises(Disagreement, match="danced step by step"):
        decide(program, "walk")


@pytest.mark.parametrize("kind", SHEETS)
def test_nothing_is_refuted_that_no_dance_shows(kind: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """z3 alone, with a figure that it has wrong, refutes nothing that is true: no dance is found that shows it."""
    program = loads(text(kind, True)).program
    assert program is not None
    wrong(monkeypatch, "z3", kind)
    assert Verdict.REFUTED not in {one.verdict for one in decide(program, "z3")[0]}
