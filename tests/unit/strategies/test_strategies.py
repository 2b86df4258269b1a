"""Hypothesis strategies for the tests of other tools."""

import subprocess
import sys
from collections import Counter
from typing import get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import stepcheck as sc
from stepcheck import strategies
from stepcheck.strategies.random_sheets import random_sheet
from tests.profiles import law

LAW = law(60)


@LAW
@given(strategies.sheets())
def test_a_sheet_is_read(text: str) -> None:
    """Every sheet is a text that lays out the same once it is laid out, and that has a verdict."""
    routine = sc.loads(text)
    assert routine.well_formed or routine.diagnostics
    if routine.well_formed:
        laid = sc.format_text(text)
        assert laid == sc.format_text(laid)
        assert sc.check(routine, engine="walk").verdict in sc.Verdict


@LAW
@given(strategies.sheets(sound=True))
def test_every_claim_of_a_sound_sheet_holds(text: str) -> None:
    """Lengths and facings are those that come out, by both engines; notes are all that is found."""
    report = sc.check_text(text)
    assert sc.Verdict.PROVED is report.verdict and len(report.claims) >= 2
    assert {sc.Severity.NOTE} >= {one.code.severity for one in report.diagnostics}


@LAW
@given(strategies.routines(taste="blanks", readings="all"))
def test_a_routine_has_a_program(routine: sc.Routine) -> None:
    """What is drawn can be decided, with the readings that were asked for."""
    assert routine.well_formed and routine.readings == "all"


@pytest.mark.parametrize("taste", get_args(strategies.Taste))
def test_a_taste_is_met(taste: strategies.Taste) -> None:
    """Each taste can be asked for, and gives sheets."""
    assert random_sheet(3, taste=taste).startswith("book: ")


def test_tastes_differ() -> None:
    """Sheets with a taste for blanks have them; a taste that there is none of is refused."""
    blanks = Counter("?" in random_sheet(seed, taste="blanks") for seed in range(40))
    plain = Counter("?" in random_sheet(seed, taste="plain") for seed in range(40))
    assert blanks[True] > 20 > plain[True]
    with pytest.raises(sc.UnknownOption, match="no taste 'sour'; the tastes are blanks, both"):
        strategies.sheets(taste="sour")  # type: ignore[arg-type]


@LAW
@given(strategies.books(), st.data())
def test_a_book_has_nothing_wrong(book: sc.Book, data: st.DataObject) -> None:
    """The lint finds notes at most; every figure can be danced from either foot; a sheet can be written with it."""
    assert {sc.Severity.NOTE} >= {one.code.severity for one in sc.lint_book(book)}
    own = [figure for figure in book.figures() if figure.book == book.name]
    figure = data.draw(st.sampled_from(own))
    assert sc.card(figure).meanings[0].fails == ""
    report = sc.check(sc.loads(f"dance:\n  {figure.name} x2\n", book=book), engine="walk")
    assert report.verdict is sc.Verdict.PROVED


def test_books_come_in_every_kind() -> None:
    """Among some books there are both traditions, one on top of a shipped one, synonyms, levels and readings."""
    texts: list[str] = []

    @settings(max_examples=60, database=None, derandomize=True)
    @given(strategies.book_texts())
    def drawn(text: str) -> None:
        texts.append(text)

    drawn()
    for piece in (
        "on top of: line",
        "tradition: clogging",
        "also: Old ",
        "level: easy in hall",
        "(usual): S",
        "turn 1/2",
    ):
        assert any(piece in text for text in texts), piece


def test_without_hypothesis_it_says_what_is_missing() -> None:
    """Where hypothesis is not installed the error names the extra that brings it; `import stepcheck` needs none."""
    code = "import sys; sys.modules['hypothesis'] = None\nimport stepcheck as sc\nsc.loads('dance:\\n  Triple\\n')\n"
    code += "assert 'stepcheck.strategies' not in sys.modules\nimport stepcheck.strategies"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60, check=False)
    assert (
        "ModuleNotFoundError: stepcheck.strategies needs hypothesis: pip install 'stepcheck[strategies]'" in done.stderr
    )
