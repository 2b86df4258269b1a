"""Laws of drafts, over any text: nothing raises, the sheet is one, and no count is dropped or invented."""

import re
import unicodedata
from pathlib import Path
from time import process_time

from hypothesis import example, given
from hypothesis import strategies as st

from stepcheck.drafts.draft import draft
from stepcheck.language.parser import parse
from stepcheck.language.printer import print_sheet
from stepcheck.model.source import Source
from tests.machine import in_time

CORPUS = sorted((Path(__file__).parents[1] / "corpus" / "customary").glob("*.txt"))
LINES = sorted({line for path in CORPUS for line in path.read_text("utf-8").splitlines()})
WORDS = sorted({word for line in LINES for word in line.split()})
MIXED = st.one_of(
    st.sampled_from(LINES),
    st.lists(st.sampled_from(WORDS), max_size=12).map(" ".join),
    st.tuples(
        st.sampled_from(("({0})", "{0} ({0})", "({0}) {0}", "- {0}", "{0} |", "= {0}")), st.sampled_from(LINES)
    ).map(lambda drawn: drawn[0].format(drawn[1])),
    st.lists(st.sampled_from(WORDS), max_size=8).map("\t".join),
    st.text(max_size=40),
)
SPLICED = st.tuples(
    *[st.sampled_from([path.read_text("utf-8").splitlines() for path in CORPUS])] * 2, st.integers(0, 60)
).map(lambda texts: "\n".join((*texts[0][: texts[2]], *texts[1][texts[2] :])))
TEXTS = st.one_of(st.lists(MIXED, max_size=14).map("\n".join), SPLICED)

STEPS = {
    "step {0} forward": "S",
    "touch {0} beside": "TCH",
    "{0} to side": "S",
    "kick {0} forward": "K",
    "rock {0} back": "RK",
    "{0} heel forward": "HT",
    "stomp {0}": "STO",
    "scuff {0}": "SCUFF",
    "cross {0} behind": "S",
    "point {0} to side": "PT",
}


def seen(char: str) -> bool:
    """Say whether a character leaves a mark on paper, by its Unicode category."""
    return not char.isspace() and unicodedata.category(char) not in ("Cc", "Cf", "Cs", "Zl", "Zp")


@example("\x1b")
@example('"Alder "Alder "Alder "Alder\n"ALDER')
@example("Alder Hop\nA: 2 Triples\n(DS RS) (DS RS)")
@example("VERSE\nDS, DS DS, DS RS, DS, DS, RS R LR, left free\nlead.")
@given(TEXTS)
def test_any_text_becomes_a_sheet_in_the_canonical_layout(text: str) -> None:
    """Drafting raises nothing; the language finds nothing in what comes out, and the formatter changes nothing in
    it."""
    made = draft(text)
    sheet, findings = parse(Source("draft", made.text))

    assert () == findings or not made.lines
    assert made.text == print_sheet(sheet)
    assert [line.line for line in made.lines] == [
        at for at, line in enumerate(text.split("\n"), 1) if any(map(seen, line))
    ]


BESIDE = {
    "a number": ["that is 12 in all", "keep to 3 rows", "we were sixteen last week"],
    "a foot": ["mind the left one", "R is hard here", "it hurts my right knee"],
    "a facing": ["look to the front", "the back is at 6:00", "now at 9 o'clock"],
    "a step": ["no kicks please", "the vine is the worst", "shuffle as you like"],
    "nothing": ["we like this one", "mind the cake", "with love from Ada"],
}


@given(st.sampled_from(sorted(BESIDE)), st.integers(0, 2), st.integers(0, 3), st.booleans())
def test_what_holds_a_piece_of_dance_is_never_a_silent_comment(kind: str, which: int, at: int, clogging: bool) -> None:
    """A line with a number, a foot, a facing or a step in it, wherever it stands, is read, a blank, a fact, a title of
    the steps below it, or named as open with its number; a plain remark, and only that, is a comment without a word."""
    said = BESIDE[kind][which]
    lines = ["Weir Lane (clogging)", "Part A", "2 Triples", "Cowboy"] if clogging else ["Weir Lane", "8 counts, 1 wall"]
    lines += [] if clogging else ["1-4 Vine R, touch L", "5-8 Vine L, touch R"]
    lines.insert(at + 1, said)

    made = draft("\n".join(lines))

    read = next(line.kind for line in made.lines if line.line == at + 2)
    named = any(each.startswith(f"line {at + 2}: ") for each in made.open)
    assert (read in ("remark", "heading") and not named) if kind == "nothing" else read != "remark"
    assert named or read not in ("blank", "open")


@given(
    st.lists(
        st.lists(st.tuples(st.sampled_from(sorted(STEPS)), st.sampled_from("LR")), min_size=2, max_size=2),
        min_size=4,
        max_size=4,
    ),
    st.sampled_from(["{0}  {1}", "{1}  ({0})", "{1} {0}.", "- {0} {1}"]),
)
def test_steps_in_pairs_come_out_as_they_were_written(groups: list[list[tuple[str, str]]], layout: str) -> None:
    """Of eight counts, two a line, in any of four layouts, every movement comes out with its code, its foot and its
    count."""
    lines = ["Weir Lane", "32 counts, 4 walls", "", "1-8  Section"]
    for index, pair in enumerate(groups):
        steps = ", ".join(step.format(foot) for step, foot in pair)
        lines.append(layout.format(f"{2 * index + 1}-{2 * index + 2}", steps))

    made = draft("\n".join(lines))

    wanted = [" ".join(f"{STEPS[step]}({foot})" for step, foot in pair) for pair in groups]
    assert wanted == re.findall(r"^    ((?:[A-Z]+\([LR]\) ?)+?)(?: \([^()]*\))?$", made.text, re.MULTILINE)
    assert "  counts 1-8:" in made.text
    assert () == made.open


@given(st.integers(1, 7), st.sampled_from(["swish and swirl", "wiggle the hips about", "twiddle R to the moon"]))
def test_what_is_not_understood_is_a_blank_of_its_counts(size: int, unknown: str) -> None:
    """A group whose words aren't understood is a blank of just its counts, with its words beside it, and named as
    open."""
    last = f"{size + 1}-8" if size < 7 else "8"
    text = f"Weir Lane\n32 counts, 4 walls\n\n[1-8] Section\n1-{size}  {unknown}\n{last}  hold\n"

    made = draft(text.replace("1-1 ", "1 "))

    assert f"? {size} count{'s' if size > 1 else ''}  # {unknown}" in made.text
    assert any(unknown in said for said in made.open)
    assert f"hold {8 - size} count{'s' if size < 7 else ''}" in made.text


def test_what_is_wider_than_a_line_is_read_in_no_time() -> None:
    """Thousands of blanks, dots or brackets in a row are read as a line's width of them."""
    for char in (" ", ".", "[", "-"):
        began = process_time()
        found = draft(f"Weir Lane\n\n1-8  Vine right{char * 6000}and left\n")
        assert in_time(process_time() - began, 1) and "Vine" in found.text, char
