"""Laws of clogging drafts, over lines that are drawn from what cue sheets are made of."""

import unicodedata
from time import process_time

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

import stepcheck as sc
from stepcheck.drafts.draft import draft
from stepcheck.language.parser import parse
from stepcheck.language.printer import print_sheet
from stepcheck.model.source import Source
from tests.machine import in_time

KINDS = {"fact", "heading", "steps", "order", "remark", "blank", "open"}
FIGURES = [
    "Triple",
    "Triples",
    "Basic",
    "Cowboy",
    "Charleston",
    "Push Off",
    "Rocking Chair",
    "Fancy Double",
    "Clogover Vine",
]
UNKNOWN = ["Mountain Goat", "Turkey", "Rooster Run", "Joey Kick", "wobbles"]
CODES = [
    "DS",
    "RS",
    "S",
    "DS(L)",
    "DS(xif)",
    "BR UP",
    "BR/SL",
    "DR",
    "SL",
    "TCH",
    "STO",
    "K",
    "H",
    "T",
    "TW HD",
    "DT",
    "ba",
    "st",
]
MARKS = [
    "L",
    "R",
    "(L)",
    "(R L)",
    "x2",
    "twice",
    "turn 1/4 L",
    "1/2 R on each",
    "full turn",
    "to the back",
    "facing front",
]
MARKS += [
    "moving forward",
    "on the brush",
    "on the last one",
    "other foot",
    "instead of the first",
    "both times",
    "@1",
    "@9",
]
ROWS = st.lists(st.sampled_from(CODES), min_size=1, max_size=9).map(" ".join)
FEET = st.lists(st.sampled_from(["L", "R", "LR", "RL", "L-R", "-"]), min_size=1, max_size=9).map("  ".join)
BEATS = st.lists(st.sampled_from(["1", "&1", "& 2", "3", "&", "a", "e&", "4"]), min_size=1, max_size=9).map("  ".join)
NUMBERS = st.sampled_from(["", "", "2 ", "4 ", "(2) ", "two ", "16 "])
NAMES = st.sampled_from([*FIGURES, *FIGURES, *UNKNOWN])
CUES = st.one_of(
    st.tuples(NUMBERS, NAMES, st.lists(st.sampled_from(MARKS), max_size=3)).map(
        lambda drawn: " ".join((drawn[0] + drawn[1], *drawn[2]))
    ),
    st.tuples(NAMES, ROWS).map(lambda drawn: f"{drawn[0]} ({drawn[1]})"),
    ROWS,
    st.sampled_from(["Stomp L, clap", "step R, hold", "Kick left, touch right, slap", "hold 2", "walk round"]),
)
SEVERAL = st.lists(CUES, min_size=1, max_size=4).map(lambda drawn: ", ".join(drawn))
SENTENCES = st.lists(SEVERAL, min_size=1, max_size=2).map(lambda drawn: ". ".join(drawn))
GROUPS = st.tuples(SEVERAL, st.sampled_from(["({}) x2", "({}) twice + Basic", "[{}; {}", "{})", "(({})"])).map(
    lambda drawn: drawn[1].format(drawn[0], drawn[0])
)
REPEATS = [
    "Repeat",
    "Repeat A to the back",
    "same on R",
    "all of that 3 more times",
    "repeat 1-3",
    "last 8 beats again",
]
REPEATS += [
    "Repeat lines 1, 2 and 9",
    "2 steps again",
    "opposite footwork",
    "Repeat bars 3-4",
    "ditto",
    "x4",
    "A again",
]
HEADS = [
    "A:",
    "PART B (32 beats)",
    "Chorus - 16 cts",
    "Break",
    "C",
    "Ending: Stomp",
    "A (16)",
    "Bridge = A",
    "Intro: wait 16",
]
ORDERS = ["Order: A B A", "A, B, A x2, B", "Sequence - A A B, half of A", "AABA", "Then dance A B and end", "Order:"]
TALK = [
    "Enjoy!",
    "1-4",
    "8 beats",
    "that makes 16",
    "Note: the left one",
    "DS = double step, RS = rock step",
    "| a | b | 4 |",
]
LINES = st.one_of(
    SEVERAL,
    GROUPS,
    FEET,
    BEATS,
    st.sampled_from(REPEATS),
    st.sampled_from(HEADS),
    st.sampled_from(ORDERS),
    st.sampled_from(TALK),
    st.tuples(SEVERAL, st.integers(0, 40)).map(lambda drawn: f"{drawn[0]} ({drawn[1]})"),
    st.just(""),
)


def seen(char: str) -> bool:
    """Say whether a character leaves a mark on paper, by its Unicode category."""
    return not char.isspace() and unicodedata.category(char) not in ("Cc", "Cf", "Cs", "Zl", "Zp")


@example(["A:", "Triple @9"])
@example(["", "  ", "A:", "1-4", ""])
@example(
    [
        "INTRO: Always. &1 &2",
        "DS-RS, Chorus, Sk sheet. BRIDGE.........16 hands, (32) Circle",
        "This Doubles slur, 2x &7",
    ]
)
@example(["Triple, Triple L L moving forward, Triple L (L) 1/2 R on each", "and hold"])
@given(st.lists(LINES, max_size=14))
def test_any_lines_of_a_cue_sheet_become_a_sheet(lines: list[str]) -> None:
    """Nothing raises; what comes out is a sheet in the canonical layout; every line of the source is accounted for, and one
    that is a blank or open is named, by its number or, where the line above goes on in it, within that."""
    text = "\n".join(("Weir Lane (clogging)", *lines))

    made = draft(text)

    sheet, findings = parse(Source("draft", made.text))
    assert () == findings and made.text == print_sheet(sheet)
    assert [at for at, line in enumerate(text.split("\n"), 1) if any(map(seen, line))] == [
        line.line for line in made.lines
    ]
    assert {line.kind for line in made.lines} <= KINDS
    assert all(
        any(each.startswith(f"line {line.line}: ") or f" {line.text.strip()}" in each for each in made.open)
        for line in made.lines
        if line.kind in ("blank", "open")
    )


STATED = st.sampled_from(["{} ({})", "{} [{}]", "{} ({} beats)", "{} - {} beats", "{}   {}", "{} = {}"])


@given(st.lists(st.tuples(SENTENCES, STATED, st.integers(1, 40)), min_size=1, max_size=4))
def test_what_stands_for_a_line_lasts_as_long_as_the_line_says(drawn: list[tuple[str, str, int]]) -> None:
    """Whatever a line says, if it states its beats they are those of the steps or the blank that stand for it.

    The first line says that numbers in brackets are beats here, not how often a figure is danced.
    """
    lines = ["4 Basics (8)", *(form.format(said, size) for said, form, size in drawn)]

    made = draft("\n".join(("Weir Lane (clogging)", "Order: A", "", "A:", *lines)))

    finish = sc.check(sc.loads(made.text), engine="walk").finish
    assume(finish is not None)  # else a row was drawn that nobody can dance
    assert (8 + sum(size for _, _, size in drawn),) == finish.lengths, made.text


LONG = [
    "step ",
    "st ",
    "DS ",
    "2 RS, ",
    "2 Basics, ",
    "(a, ",
    "&a",
    "&1 ",
    "L R ",
    "--",
    "and ",
    "again ",
    "A, ",
    "A",
    "1, ",
]
LONG += ["turn 1/4 L ", "Mountain Goat ", "x = y, ", "a | ", ". Aa ", "on each ", "A = DS ", "Name   DS   ", "clap "]


@pytest.mark.parametrize("letters", [1_000, pytest.param(3_000, marks=pytest.mark.nightly)])
@pytest.mark.parametrize("piece", LONG)
def test_a_long_line_is_read_in_no_time(piece: str, letters: int) -> None:
    """A line as long as a page, in the nightly run, takes less than two seconds of the processor, whatever it repeats;
    one of a third of that takes less than a third."""
    body = piece * (letters // len(piece))
    began = process_time()

    made = draft(f"Weir Lane (clogging)\nA:\nBasic\nand {body}q\n2 Triples")

    assert in_time(process_time() - began, 2 * letters / 3_000)
    assert 5 == len(made.lines)
