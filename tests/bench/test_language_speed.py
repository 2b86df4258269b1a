"""How long reading takes, as ratios and against the limits that the tracker names.  Run with `pytest -m bench -s`."""

import sys
import time
from subprocess import run
from timeit import repeat

import pytest

from stepcheck.language.parser import parse, take
from stepcheck.model.source import Source
from tests.bench import goals

pytestmark = pytest.mark.bench

LOOP = "  4 times:\n    Triple\n    Push-off, turn 1/4 right\n  Vine x2 | Triple x2\n  expect facing front\n"


def seconds(text):
    """Return the processor time of taking and reading `text` once."""
    began = time.process_time()
    parse(take(text)[0])
    return time.process_time() - began


def test_a_known_sheet_is_read_in_microseconds():
    """A sheet of 61 lines whose lines are known is read in well under 0.3 ms: about 2 microseconds a line."""
    source = Source("x", "part A:\n" + LOOP * 12)
    parse(source)
    best = min(repeat(lambda: parse(source), number=50, repeat=20)) / 50
    goals.KNOWN.show(best * 1e3, f"{best / 61 * 1e6:.2f} µs a line")


def test_the_first_sheet_costs_a_few_milliseconds():
    """The table is loaded and the words compiled while the first sheet is read: less than a fifth of importing lark."""
    code = (
        "import sys, time; from stepcheck.language import parser; from stepcheck.model import source; a = time.process_time();"
        "parser.parse(source.Source('x', sys.argv[1])); b = time.process_time(); import lark; c = time.process_time();"
        "print(b - a, c - b)"
    )
    command = [sys.executable, "-c", code, "part A:\n" + LOOP]
    runs = [run(command, capture_output=True, text=True, check=True).stdout.split() for _ in range(5)]
    first, lark = (min(float(times[at]) for times in runs) for at in (0, 1))
    goals.FIRST.show(first / lark, f"{first * 1e3:.1f} ms, lark {lark * 1e3:.1f} ms")


def test_reading_is_linear():
    """Ten times the different lines take about ten times as long."""
    texts = ("part A:\n" + "".join(f"  Vine {n} of {size}\n" for n in range(size)) for size in (5_000, 50_000))
    few, many = map(seconds, texts)
    goals.READING.show(many / few, f"5,000 different lines {few:.2f} s; 50,000 {many:.2f} s")


@pytest.mark.parametrize(
    "text",
    [
        "Vine\n" * 1_000_000,
        "x" * 7_900_000,
        "part A:\n" + "".join(" " * depth + "2 times:\n" for depth in range(1, 2_000)),
        "\0" * 7_900_000,
        "part A:\n" + ("  " + "V|" * 990 + "\n") * 4_000,
    ],
    ids=["a million lines", "one long line", "deep nesting", "NUL bytes", "equal long lines"],
)
def test_bad_input_takes_bounded_time(text):
    """No bad input takes two seconds."""
    goals.BAD_INPUT.show(seconds(text))
