"""Sixty lines with twelve words that are read in two ways: 4,096 dances decided at once."""

import random
from pathlib import Path
from time import process_time

import pytest

from stepcheck.model.outcome import Outcome, Verdict
from stepcheck.program.routine import Routine
from stepcheck.proof.decide import decide
from stepcheck.report.pipeline import check, loads
from stepcheck.walk.walk import walk
from tests.bench import goals

PAIRS = [("DS RS", "DS TCH HD", 2), ("DS DS DS RS", "DS DS DS S", 4), ("S S S TCH", "S S S S", 4)]


def sheet(folder: Path, words: int, lines: int, seed: int) -> Routine:
    """Return a sheet of so many lines out of so many two-way figures, with a claim on every tenth, all words open."""
    rng = random.Random(seed)
    rows = []
    for number in range(words):
        usual, other, beats = PAIRS[number % len(PAIRS)]
        rows += [
            f"  Word {chr(65 + number)}",
            f"    one (usual), {beats} beats: {usual}",
            f"    two, {beats} beats: {other}",
        ]
    (folder / "mill.book").write_text("\n".join(["book: Mill", "on top of: clogging", "figures:", *rows, ""]), "utf-8")
    body = []
    for number in range(lines):
        body.append(f"  Word {chr(65 + rng.randrange(words))}")
        body += ["  expect left foot"] if number % 10 == 9 else []
    text = "\n".join(["routine: Many", "book: mill.book", "part Main: left foot", *body, "dance:", "  Main x2", ""])
    return loads(text, path=str(folder / "many.routine"), readings="all")


def verdicts(outcomes: tuple[Outcome, ...]) -> list[Verdict]:
    """Return the verdicts alone."""
    return [outcome.verdict for outcome in outcomes]


@pytest.mark.bench
@pytest.mark.parametrize("seed", range(3))
def test_twelve_words_in_sixty_lines(seed: int, tmp_path: Path) -> None:
    """Each engine decides the 4,096 combinations in less than half a second, and both say the same."""
    routine = sheet(tmp_path, 12, 60, seed)
    warm = sheet(tmp_path, 2, 4, seed)
    decide(warm.program)
    routine = sheet(tmp_path, 12, 60, seed)
    times, found = [], []
    for engine in (walk, decide):
        begun = process_time()
        found.append(verdicts(engine(routine.program)))
        times.append(process_time() - begun)

    assert found[0] == found[1]
    for name, took in zip(("walk", "proof"), times, strict=True):
        goals.READINGS.show(1000 * took, name)


@pytest.mark.bench
def test_the_report_on_readings_is_quick(tmp_path: Path) -> None:
    """What visitors do wrong, and the shortest clarification, cost less than a second on the same sheet."""
    routine = sheet(tmp_path, 12, 60, 0)
    begun = process_time()
    found = check(routine, engine="walk")
    took = process_time() - begun

    assert found.leaning.shortest
    goals.READINGS_REPORT.show(1000 * took, f"{len(found.hangs)} sets, {len(found.leaning.settle)} lines")
