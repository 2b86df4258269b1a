"""Sheets that are small to write and large to dance: each is decided, or undecided, in the time that its promise names.

Times are the processor's, of this process, with both engines; a clean sheet of the same size is measured beside it.
The seconds are those of the machine on which the promise was measured: where a sheet takes longer, a large clean sheet
tells how much slower this machine is at that moment.
"""

from functools import cache
from time import process_time

import pytest

from stepcheck.model.outcome import Verdict
from stepcheck.report.pipeline import check_text
from stepcheck.report.values import Report
from tests.machine import HEAD, clean, in_time

BEYOND = 2.0  # seconds beyond a clean sheet of as many lines


def timed(text: str) -> tuple[Report, float]:
    """Return the report on a sheet by both engines, and the processor's seconds that it took."""
    began = process_time()
    report = check_text(text, engine="both")
    return report, process_time() - began


@pytest.fixture(scope="module", autouse=True)
def warm() -> None:
    """Let z3 and the books be loaded before anything is measured."""
    check_text(clean(20), engine="both")


@cache
def seconds(text: str) -> float:
    """Return the processor's seconds that the check of a sheet takes."""
    return timed(text)[1]


def within(text: str, allowed: float = BEYOND) -> Report:
    """Check a sheet, and that it took no more than a clean one of its size and what is allowed beyond."""
    return beside(text, clean(text.count("\n")), allowed)


def beside(text: str, other: str, allowed: float = BEYOND) -> Report:
    """Check a sheet, and that it took no more than another one and what is allowed beyond."""
    base = seconds(other)
    for _ in range(3):  # the machine may be busy
        report, took = timed(text)
        if in_time(took, base + allowed):
            return report
    raise AssertionError(f"{took:.2f} s, the other sheet {base:.2f} s")


def verdicts(report: Report, words: str) -> set[Verdict]:
    """Return the verdicts of the claims whose text has some words."""
    return {claim.verdict for claim in report.claims if words in claim.text}


def test_variations_repeated_in_repeats_take_less_than_a_second() -> None:
    """Sixteen times three alternatives, eight times over, with a wrong turn: refuted, and the lengths proved, within a
    second."""
    three = "    Triple, turn 1/4 left | Triple, turn 1/4 right | Triple\n"
    sheets = (
        f"{HEAD}part A: 64 beats, no turn\n  16 times:\n{three}\npart B: 512 beats\n  A x8\n\ndance:\n  B\n",
        f"{HEAD}part A: 64 beats\n  16 times:\n{three}\npart B: no turn\n  A x8\n\ndance:\n  B\n",
    )
    for text in sheets:
        report, took = timed(text)
        assert took < 1
        assert {Verdict.REFUTED} == verdicts(report, "no turn")
        assert {Verdict.PROVED} == verdicts(report, "64 beats") | verdicts(report, "Triple")


def test_a_turn_on_one_of_a_thousand_million_times() -> None:
    """A turn on the last time but one of 10^9 is found, and shows itself in the contract."""
    report = within(
        f"{HEAD}part A: front to front\n  Triple x1000000000, turn 1/4 left on 999999999th\n\ndance:\n  A\n"
    )
    assert {Verdict.REFUTED} == verdicts(report, "front to front")


@pytest.mark.parametrize("length", ["", "32 beats, "])
def test_thirty_lines_of_blanks(length: str) -> None:
    """Thirty lines with a number and a turn to be found are undecided soon, also where their lengths have to add up."""
    body = "  Triple x?, turn ?\n" * 30
    report = within(f"{HEAD}part A: {length}front to front\n{body}\ndance:\n  A\n  expect left foot\n")
    assert {Verdict.UNDECIDED} == {claim.verdict for claim in report.claims}


def test_a_million_times_nothing_but_a_claim() -> None:
    """A repeat in which only a claim stands is judged like the claim."""
    for before, verdict in (("", Verdict.PROVED), ("  Basic\n", Verdict.REFUTED)):
        report = within(f"{HEAD}part A:\n{before}  1000000 times:\n    expect left foot\n\ndance:\n  A\n")
        assert [verdict] == [claim.verdict for claim in report.claims]


def test_unequal_alternatives_before_what_goes_on_for_ever() -> None:
    """Alternatives of unequal length in 999 times, one of them on the last time but one only, are refuted soon."""
    text = (
        f"{HEAD}part A:\n  999 times:\n    Triple | Basic, turn 1/4 left\n    998th time only:\n"
        "      Triple, turn 1/4 right | Basic\n\npart B: 4 beats\n  Triple\n\ndance:\n  A x2\n  B until the music ends\n"
    )
    report = within(text)
    assert {Verdict.REFUTED} == verdicts(report, "Basic")
    assert {Verdict.PROVED} == verdicts(report, "4 beats")


@pytest.mark.parametrize(
    "lines",
    ["  P{0} x1000\n  777th time only:\n    {1}\n", "  1000 times:\n    P{0}\n    777th time only:\n      {1}\n"],
)
def test_nested_parts_are_danced_by_the_judge_as_well(lines: str) -> None:
    """Forty parts, each the one before a thousand times and a turn on its 777th time, end; every level's refutation is
    danced."""
    parts = "part P0: 4 beats\n  Triple\n"
    for level in range(1, 41):
        parts += f"part P{level}: front to front\n" + lines.format(level - 1, "Triple, turn 1/4 left")
    report = within(f"{HEAD}{parts}\ndance:\n  P40\n")
    assert Verdict.REFUTED in verdicts(report, "front to front")


def test_a_thousand_million_times_a_blank_number_of_times() -> None:
    """Turns that add up behind a blank number of times, in a part that is danced 10^9 times, are left open; each engine
    takes some two seconds for that, so that together they have three times what others have."""
    body = "  ? times:\n    Tarn x?\n    8 times:\n      Shuffle x3\n"
    text = (
        "book: line\nfacing: back\nwalls: 2\n\nfigures:\n  Tarn, turn 1/8 left: HOLD\n\n"
        f"part A: 2nd time front to back, 49951 counts\n{body}\n"
        "dance:\n  Shuffle x4\n  A x1000000000\n  expect left foot, facing front\n"
    )
    assert Verdict.UNDECIDED in {claim.verdict for claim in within(text, 3 * BEYOND).claims}


def test_parts_whose_times_differ_without_end_are_refused_in_time() -> None:
    """Forty parts, each the one before a thousand times and cut short, with lines at some of its times, are too many
    steps to lay out; the lengths of what is cut are worked out once."""
    parts = "part P0:\n  Basic\n"
    for level in range(1, 41):
        parts += f"part P{level}:\n  P{level - 1} x1000\n  P{level - 1}, first 2 beats\n"
        parts += "  every 7th time only:\n    Vine\n  last time only:\n    Vine\n"
    report = within(f"{HEAD}{parts}dance:\n  P40\n")
    assert ["too-many-steps"] == [found.code.name for found in report.diagnostics]


@pytest.mark.parametrize("name", ["Figure{}q", "Tripel {}", "S S{}q"])
def test_unknown_names_by_the_thousand(name: str) -> None:
    """Ten thousand names that stand for nothing are each found, within a second as fast as as many different lines are
    read: to compare each with each other one takes five."""
    many = 10_000
    good = "".join(f"  Triple (note {number})\n" for number in range(many))
    wrong = "".join(f"  {name.format(number)}\n" for number in range(many))
    right = f"{HEAD}part A: {4 * many} beats\n{good}\ndance:\n  A\n"
    report = beside(f"{HEAD}part A:\n{wrong}\ndance:\n  A\n", right, BEYOND / 2)
    assert many == len(report.diagnostics)
