"""Laws of the language: what is printed means what was read, and nothing breaks the reader.

The lines come from the grammar itself: the file that the parser's table is built from is the one that makes them.
"""

from functools import cache
from pathlib import Path

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st
from hypothesis.extra.lark import from_lark
from lark.exceptions import UnexpectedInput

from stepcheck.language import grammar
from stepcheck.language.parser import LineError, parse, parse_line, take
from stepcheck.language.phrases import Phrases
from stepcheck.language.printer import print_node, print_sheet
from stepcheck.model.source import Source
from tests.grammar import STARTS, TEXT, build
from tests.profiles import law

LARK = build(TEXT)
BARE = grammar.load(object())
MACHINE = grammar.load(Phrases())
SHEETS = sorted(Path(__file__).parent.parent.joinpath("unit", "sheets").glob("*.routine"))


def words(*choices):
    """Return a strategy for these words, in any case, with room around them."""
    return st.tuples(st.sampled_from(choices), st.sampled_from((str, str.upper, str.title))).map(
        lambda w: f" {w[1](w[0])} "
    )


NUMBERS = st.one_of(st.integers(1, 40), st.sampled_from((0, 64, 256, 10**9, 10**9 + 1))).map(str)
NAMES = st.one_of(
    words(
        "Vine",
        "Push-off",
        "Rock 'n' Row",
        "Verse 2",
        "2nd Verse",
        "Half Turn",
        "Turn Table",
        "Hold On",
        "Late Waltz",
        "Leap mirrored",
        "Mole twice",
        "Quay mirrored once",
        "Rock 4 beats",
        "Weir from line",
    ),
    st.from_regex(r"\A[A-Za-zÀ-ž][a-zß-ž'-]{0,6}( [A-Z0-9][a-z0-9]{0,6}){0,2}\Z"),
)
ORDINALS = ("1st", "2nd", "3rd", "4th", "11th")
LISTS = (*ORDINALS, "last", "2nd, 4th", "1st and 3rd", "2nd, last", "4th, 2nd")
PIECES = {
    "MUSIC": words("music"),
    "FIGURES": words("figures"),
    "DANCE": words("dance"),
    "PART": words("part"),
    "KEY": words("routine", "wait", "stomp", "artist"),
    "VALUE": st.sampled_from((" 16 beats", " Ten: a reel", " takes weight", " x, y")),
    "NAME": NAMES,
    "SECTION": NAMES,
    "BOOK": words("line", "clogging"),
    "FORM": st.sampled_from(("DS ", "BR ", "S(L) ", "S(r)@1 ", "RS@2& ", "K@&3 ", "TCH@4a ", "H@1e ", "S(x) ", "S@e ")),
    "COUNTS_HEAD": words("counts", "count", "beats"),
    "REPEAT_HEAD": words("4 times", "? times", "two times", "1 time"),
    "ONLY_HEAD": words(*LISTS, "every 2nd", "every 9th"),
    "EXCEPT": words("except"),
    "EXPECT": words("expect"),
    "HOLD": words("hold"),
    "UNTIL": words("until the music ends"),
    "TIMES_LIST": words(*LISTS),
    "ORDINAL": words(*ORDINALS),
    "_TIME": words("time", "times"),
    "_ONLY": words("only"),
    "_EVERY": words("every"),
    "_ON": words("on", "on the"),
    "_TO": words("to"),
    "_FROM": words("from"),
    "REPEAT": NUMBERS.map(" x{} ".format) | st.just(" x? "),
    "TURN": words("turn", "turns"),
    "NO_TURN": words("no turn"),
    "SIZE": words("full", "half", "quarter", "three-quarter", "e\u0131ghth"),
    "SIDE": words("left", "right"),
    "FOOT": words("left foot", "right foot", "both feet", "? foot"),
    "FACING": words("facing"),
    "FIRST": words("first"),
    "OPPOSITE": words("opposite foot"),
    "MIRRORED": words("mirrored"),
    "WALL": words("front", "back", "right wall", "left wall", "left", "12:00", "1:30", "9:00", "10:30", "2:00"),
    "UNIT": words("beats", "beat", "counts"),
    "NUMBER": NUMBERS.map(" {} ".format),
    "FRACTION": st.sampled_from((" 1/2 ", " 1/4 ", " 3/8 ", " 1/3 ", " 5/4 ", " 3/7 ", " 1/0 ")),
}
PLACES = {"sheet": "sheet", "music": "music", "figures": "figures", "part": "steps", "dance": "steps"}


@cache
def texts(start):
    """Return a strategy for what the grammar makes from `start`."""
    known = {terminal.name for terminal in LARK.grammar.compile([start], ())[0]}
    pieces = {name: strategy for name, strategy in PIECES.items() if name in known}
    return from_lark(LARK, start=start, explicit=pieces).map(str.strip)


def lines(place):
    """Return a strategy for lines that the grammar makes for `place`."""
    return texts(PLACES[place])


def outline(under):
    """Return what lines mean, without where they stand and without blank lines."""
    return tuple(
        (line.node, line.note, line.comment, line.text if line.broken else "", outline(line.body))
        for line in under
        if line.node or line.broken or line.note is not None or line.comment is not None
    )


@pytest.mark.parametrize("place", PLACES)
@given(data=st.data())
def test_a_line_that_is_printed_means_the_same(place, data):
    """Reading what is printed gives the same node, and it is printed the same again."""
    text = data.draw(lines(place))
    try:
        node = parse_line(text, place)
    except LineError as error:
        assert error.reason
        assert 0 <= error.at[0] <= error.at[1] <= len(text)
        return
    printed = print_node(node)
    assert node == parse_line(printed, place)
    assert printed == print_node(parse_line(printed, place))


@pytest.mark.parametrize("start", STARTS)
@given(data=st.data())
def test_the_machine_reads_what_lark_reads(start, data):
    """The table's machine takes exactly the lines that lark itself takes with the same grammar."""
    text = data.draw(texts(start))
    try:
        LARK.parse(text, start=start)
        taken = True
    except UnexpectedInput:
        taken = False
    try:
        BARE.parse(text, start)
        assert taken
    except grammar.Stuck:
        assert not taken


@st.composite
def sheets(draw, places=("part", "dance")):
    """Return the text of a sheet whose lines come from the grammar, with comments, notes, and any indentation."""
    written = []
    for place in draw(st.lists(st.sampled_from(places), min_size=1, max_size=3)):
        written.append("dance:" if place == "dance" else f"part {draw(NAMES).strip()}:")
        depths = [draw(st.sampled_from(("  ", "    ", "\t")))]
        for text in draw(st.lists(lines(place), max_size=6)):
            tail = draw(st.sampled_from(("", "", " (out)", "  # slow", " (out)   # slow")))
            written += draw(
                st.lists(st.sampled_from(("", f"{depths[-1]}# here", "# margin", "      # deep")), max_size=2)
            )
            written.append(depths[-1] + text + tail)
            if text.endswith(":") and draw(st.integers(0, 3)):
                depths.append(depths[-1] + draw(st.sampled_from((" ", "  ", "\t"))))
            elif len(depths) > 1 and draw(st.booleans()):
                depths.pop()
    return "\n".join(written) + draw(st.sampled_from(("", "\n", "\n\n# end\n")))


@given(sheets())
@example("part Vine:\n  Vine  FROM  line  left foot")
@example("part Vine:\n  Vine from line turn 1/4 left x2")
def test_a_sheet_that_is_printed_means_the_same(text):
    """Printing is idempotent; every node, note, comment and block of a sheet outlives it."""
    read, findings = parse(Source("x", text))
    printed = print_sheet(read)
    again, others = parse(Source("x", printed))
    assert printed == print_sheet(again)
    if not any(finding.code.name in ("uneven-indentation", "too-deep") for finding in findings):
        assert outline(read.lines) == outline(again.lines)
        assert [finding.message for finding in findings] == [finding.message for finding in others]


@given(st.text(st.characters(codec="utf-8") | st.sampled_from("\n\n  \t:,#()|@?x"), max_size=200))
def test_no_text_breaks_the_reader(text):
    """Any text at all is read without an exception, and what is printed of it stays as it is."""
    source, _ = take(text)
    read, findings = parse(source)
    printed = print_sheet(read)
    assert printed == print_sheet(parse(Source("x", printed))[0])
    assert all(1 <= finding.span.line <= len(source.lines) for finding in findings)


@given(st.sampled_from(SHEETS), st.data())
def test_one_wrong_key_gives_findings_only_near_it(path, data):
    """A letter changed in a good sheet breaks its own line, or the block that its line opens, and no other."""
    text = path.read_text(encoding="utf-8")
    at = data.draw(st.integers(0, len(text) - 1))
    assume(text[at] not in "\n ")
    changed = text[:at] + data.draw(st.sampled_from("qz;!")) + text[at + 1 :]
    assume(changed.split("\n")[text.count("\n", 0, at)].strip())
    _, findings = parse(Source("x", changed))
    number = text.count("\n", 0, at) + 1
    assert len([finding for finding in findings if finding.span.line != number]) <= 5
    assert all(finding.span.line >= number for finding in findings)


@law(30)
@given(st.data())
def test_what_a_line_means_does_not_depend_on_the_lines_before(data):
    """A line is read alike first and last: nothing but its own text and its place counts."""
    text = data.draw(lines("part"))
    try:
        first = parse_line(text, "part")
    except LineError as error:
        with pytest.raises(LineError) as again:
            parse_line(text, "part")
        assert (error.at, error.reason, error.hints) == (again.value.at, again.value.reason, again.value.hints)
        return
    assert first == MACHINE.parse(text, "steps")
