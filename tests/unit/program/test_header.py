"""The header of a sheet: its values, and what is said of others."""

from fractions import Fraction

import pytest

from stepcheck.model.dance import Foot
from stepcheck.model.source import Source
from stepcheck.program.header import _tempo, _wait, _walls
from stepcheck.report import pipeline


@pytest.mark.parametrize(
    ("text", "tempo"),
    [
        ("126", 126),
        ("126 bpm", 126),
        ("90 beats a minute", 90),
        ("90 beats per minute", 90),
        ("0.5", Fraction(1, 2)),
        ("999bpm", 999),
        *((text, None) for text in ("0", "0.0", "1000", "-1", "fast", "120 beats", "")),
    ],
)
def test_a_tempo_is_a_number_of_beats_a_minute(text: str, tempo: Fraction | int | None) -> None:
    """More than none and less than a thousand, as a decimal fraction."""
    assert tempo == _tempo(text)


def test_walls_and_waits_are_whole_numbers() -> None:
    """From 1 to 99 walls; up to 9,999 beats or counts before the first step."""
    assert [None, 1, 4, 99, None, None] == [_walls(text) for text in ("0", "1", "4", "99", "100", "four")]
    assert [0, 16, 1, 9999, None, None] == [
        _wait(text) for text in ("0", "16 beats", "1 count", "9999", "10000", "long")
    ]


GROUPS = """routine: Weir
book: clogging
groups: odd, even
{}

part A:
  Triple

dance:
  A
"""


@pytest.mark.parametrize(
    ("row", "start"),
    [
        ("even: lead right", (4, Foot.RIGHT, 0, None)),
        ("even: facing back, lead left", (4, Foot.LEFT, 4, None)),
        ("even: start 2 steps forward", (4, Foot.LEFT, 0, (0, 2))),
        ("even: start 2 steps back", (4, Foot.LEFT, 0, (0, -2))),
        ("even: start 3 steps right, start 1 step backwards", (4, Foot.LEFT, 0, (3, -1))),
        ("even: start 3 steps to the left, start 4 steps right", (4, Foot.LEFT, 0, (1, 0))),
        ("even: start 1 step forward, start 4 steps forward", (4, Foot.LEFT, 0, (0, 5))),
    ],
)
def test_a_group_begins_where_its_line_says(row: str, start: object) -> None:
    """Ways add up, to the right and forward; what is left out is that of the dance."""
    found = pipeline.loads(GROUPS.format(row))

    assert ((0, Foot.LEFT, 0, None), start) == found.facts.starts


@pytest.mark.parametrize(("piece", "place"), [("lead", (7, 11)), ("lead up", (7, 14)), ("right", (7, 12))])
def test_what_no_group_begins_with_is_refused_at_its_place(piece: str, place: tuple[int, int]) -> None:
    """A foot or a lead alone is nothing."""
    (found,) = pipeline.loads(GROUPS.format(f"even: {piece}")).diagnostics

    assert f"{piece!r} is nothing that a group begins with" == found.message
    assert (4, *place) == (found.span.line, found.span.column, found.span.end_column)


@pytest.mark.parametrize("books", ["cloging", "line, cloging", "cloging, line"])
def test_the_name_of_a_book_is_mended_where_it_stands(books: str) -> None:
    """The book that may be meant is written in the place of the name alone."""
    text = f"routine: Weir\nbook: {books}\n\npart A:\n  Triple from clogging\n\ndance:\n  A\n"
    (found, *_) = pipeline.loads(text).diagnostics
    (made,) = [hint.patch.applied(Source("x", text)) for hint in found.hints if hint.patch]

    assert text.replace("cloging", "clogging", 1).replace("from cloggging", "from clogging") == made


@pytest.mark.parametrize(("field", "hint"), [("tempo: 126x", "126"), ("lead: lefft", "left"), ("facing: bakc", "back")])
def test_a_value_with_a_word_misspelt_is_mended(field: str, hint: str) -> None:
    """Its words are spelt as values are, or its letters left out; what is still no value is not offered."""
    text = f"book: clogging\n{field}\n\npart A:\n  Triple\n\ndance:\n  A\n"
    (found,) = pipeline.loads(text).diagnostics
    made = [one.patch.applied(Source("x", text)).splitlines()[1] for one in found.hints if one.patch]

    assert [f"{field.partition(':')[0]}: {hint}"] == made


def test_a_word_is_settled_once() -> None:
    """Two lines about one word are one too many, whatever they say."""
    text = "book: clogging\nstomp: takes weight\nStomp: no weight\npart A:\n  Stomp\ndance:\n  A\n"
    (found,) = pipeline.loads(text).diagnostics

    assert ("name-taken-twice", 3) == (found.code.name, found.span.line)
