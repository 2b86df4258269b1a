"""Laws of what teachers type: whatever everyday layouts come together, the steps that were written are the ones read."""

from random import Random

from hypothesis import given
from hypothesis import strategies as st

from stepcheck.drafts.draft import Draft, draft
from stepcheck.model.dance import TICKS, Program
from stepcheck.report import pipeline
from tests.handouts import clogging, landed, line_dance
from tests.profiles import law

SEEDS = st.integers(0, 2**32)


def program(text: str) -> Program:
    """Return the program of a sheet that must load."""
    made = pipeline.loads(text).program
    assert made is not None, text
    return made


def facts(made: Draft) -> set[str]:
    """Return the fields of the header of a draft."""
    return set(made.text.partition("\n\n")[0].splitlines())


@law(20)
@given(SEEDS)
def test_a_line_dance_lands_every_foot_that_was_written(seed: int) -> None:
    """Of four sections in a layout drawn by chance, nothing is open, and each foot comes down on its count, bearing the
    weight or not, and each turn ends on its wall."""
    wanted = line_dance(Random(seed))

    made = draft(wanted.text)

    landings, walls = landed(program(made.text))
    counts = 4 * 8 * TICKS
    assert () == made.open
    assert wanted.landings == landings[: len(wanted.landings)]
    assert wanted.walls == {tick: wall for tick, wall in walls.items() if tick <= counts}
    assert {"routine: Alder Swing", "song: Low Water", "artist: The Tallow Boys", "wait: 16 counts"} <= facts(made)


@law(20)
@given(SEEDS)
def test_a_cue_sheet_lands_every_foot_that_was_written(seed: int) -> None:
    """Of three parts in a layout drawn by chance, danced in the order that is said, nothing is open, and what comes
    down, and faces where, is what the sheet written beside it says."""
    text, sheet = clogging(Random(seed))

    made = draft(text)

    assert () == made.open
    assert landed(program(sheet)) == landed(program(made.text))
    assert {"routine: Alder Reel", "song: Low Water", "artist: The Tallow Boys", "wait: 16 beats"} <= facts(made)
