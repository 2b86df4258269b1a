"""Changes of a sheet that an editor offers."""

import pytest
from attrs import evolve

from stepcheck.faces.document import Desk, folds, moments, references, spread
from stepcheck.faces.proposals import NotRenamed, put_right, renamed, unsettled
from stepcheck.model.findings import Hint, Patch
from stepcheck.model.source import Span

SHEET = """\
routine: Lock Gates
book: clogging

figures:
  Mill Wheel, 4 beats: DS DS RS RS
  Triple, 4 beats: DS DS DS RS

part Big Verse: 8 beats
  mill-wheel | Triple
  Triple from clogging

part Chorus: 20 beats
  2 Mill Wheels
  (2) Mill Wheel, left foot   # a Mill Wheel
  Stomp
  hold 3 beats

dance:
  BIG VERSE
  Chorus x2, mirrored
"""


@pytest.fixture(scope="module")
def desk() -> Desk:
    """The sheet above."""
    return spread(SHEET, "gates.routine")


def cut(span: Span) -> str:
    """Return what stands at a place of the sheet."""
    return SHEET.splitlines()[span.line - 1][span.column - 1 : span.end_column - 1]


def test_references_are_every_place_that_means_the_same(desk: Desk) -> None:
    """In any spelling, from any of the places; the figure of the book that has the same name is another."""
    wheels = references(desk, 5, 4)
    assert [(5, "Mill Wheel"), (9, "mill-wheel"), (13, "2 Mill Wheels"), (14, "Mill Wheel")] == [
        (span.line, cut(span)) for span in wheels
    ]
    assert wheels == references(desk, 14, 10) and wheels[1:] == references(desk, 9, 4, declared=False)
    assert [6, 9] == [span.line for span in references(desk, 6, 4)]
    assert [10] == [span.line for span in references(desk, 10, 4)]
    assert [8, 19] == [span.line for span in references(desk, 19, 4)]
    assert () == references(desk, 1, 1)


def test_a_name_is_another_everywhere(desk: Desk) -> None:
    """Headings, rows and lines, whatever the spelling; a number that was read with the name stays, comments stay."""
    after = renamed(desk, 13, 6, "Weir Gate").applied(desk.source)
    assert after == SHEET.replace("Mill Wheel, 4", "Weir Gate, 4").replace("mill-wheel", "Weir Gate").replace(
        "2 Mill Wheels", "Weir Gate x2"
    ).replace("(2) Mill Wheel", "(2) Weir Gate")
    part = renamed(desk, 8, 7, "  Opening   Verse ").applied(desk.source)
    assert part == SHEET.replace("Big Verse", "Opening Verse").replace("BIG VERSE", "Opening Verse")
    assert spread(after, "a").report.verdict == desk.report.verdict
    spelt = renamed(desk, 19, 4, "big verse").applied(desk.source)
    assert spelt == SHEET.replace("Big Verse", "big verse").replace("BIG VERSE", "big verse")


@pytest.mark.parametrize(
    ("place", "name", "sentence"),
    [
        ((5, 4), "chorus", "Chorus is already the name of what stands on line 12"),
        ((5, 4), "cowboy", "cowboy is already the name of a figure of the book clogging"),
        ((5, 4), "BR", "BR is already the name of a movement of the book"),
        ((10, 4), "Weir", "Triple is of the book, and keeps its name"),
        ((1, 4), "Weir", "only the name of a part, or of a figure of the sheet's own, can be another"),
        ((5, 4), "Weir, Gate", "would be read otherwise"),
        ((5, 4), "Weir x2", "would be read otherwise"),
        ((5, 4), "hold 2 beats", "would be read otherwise"),
        ((19, 4), "4 times:", "would be read otherwise"),
        ((19, 4), "", "would be read otherwise"),
        ((19, 4), "a # b", "would be read otherwise"),
        ((19, 4), "Verse\nDance", "would be read otherwise"),
    ],
)
def test_a_name_that_cannot_be_is_refused(desk: Desk, place: tuple[int, int], name: str, sentence: str) -> None:
    """One that is taken, one that means something else in a sheet, and a place where nothing can be renamed."""
    if "chorus" in name:
        sentence = sentence.replace("Chorus", name)
    if "\n" in name:
        assert "Verse Dance" in renamed(desk, *place, name).applied(desk.source)
        return
    with pytest.raises(NotRenamed, match=sentence):
        renamed(desk, *place, name)


def test_a_word_is_settled_in_the_header(desk: Desk) -> None:
    """On a line that dances a word with several readings each reading is offered, the usual one first; written, the
    word is open no more."""
    found = list(unsettled(desk, 15, 15))
    assert found and found[0].about.startswith("settle it in the header: stomp: ")
    for patch in found:
        after = spread(patch.applied(desk.source), "a")
        assert patch.about.endswith(": ".join(dict(after.routine.facts.movements).popitem()))
        assert not [word for word in after.routine.words if word.key == "stomp"]
        assert after.routine.program is not None
    assert [] == [patch for patch in unsettled(desk, 16, 20) if "stomp" in patch.about]


TYPOS = """\
routine: x
book: clogging
lead: lefft
part A: 9 beats
  Basik
  Vyne
  Vine, turn 1/4
  Rocks
  Basik, right foot
dance:
  A
"""


def test_what_has_a_single_way_out_is_put_right_at_once() -> None:
    """Every misspelt name that can mean one thing is written; what has two ways out, and refuted claims, stay."""
    found = put_right(spread(TYPOS, "a"))
    assert found is not None
    after = found.applied(spread(TYPOS, "a").source)
    assert after == TYPOS.replace("Basik", "Basic").replace("Vyne", "Vine").replace("lefft", "left")
    assert None is put_right(spread(after, "a"))
    assert None is put_right(spread(SHEET, "a"))


def test_of_changes_at_one_place_the_first_is_made() -> None:
    """Two changes that overlap do not go together: the later one is left out, the others are made."""
    sheet = spread(TYPOS, "a")
    first, *_ = [one for one in sheet.routine.diagnostics if "Basik" in one.message]
    twice = evolve(first, message="again", hints=(Hint("or this", Patch("", ((first.span, "Vine"),))),))
    again = Desk(evolve(sheet.routine, diagnostics=(*sheet.routine.diagnostics, twice)))
    found = put_right(again)
    assert found is not None
    assert found.applied(sheet.source) == TYPOS.replace("Basik", "Basic").replace("Vyne", "Vine").replace(
        "lefft", "left"
    )


def test_lines_have_beat_foot_and_facing(desk: Desk) -> None:
    """Every line that is danced, as the dance first comes to it: the beat of the part, the free foot, the facing."""
    found = {line.number: said for line, said, _ in moments(desk)}
    assert {9, 10, 13, 14, 15, 16, 19, 20} == found.keys()
    assert ("1 · left · front", "5 · left · front") == (found[9], found[10])
    assert all(desk.tracks.lines[number][0].tick >= 0 for number in found)
    assert {} == {line.number: said for line, said, _ in moments(spread("part A\n  Tripel\n", "a"))}


def test_whatever_has_lines_under_it_folds(desk: Desk) -> None:
    """Figures, parts, the dance and blocks, each to its last line."""
    assert ((4, 6), (8, 10), (12, 16), (18, 20)) == folds(desk)
    nested = spread("part A\n  2 times:\n    Triple\n\n    Triple\n\ndance:\n  A\n", "a")
    assert ((1, 5), (2, 5), (7, 8)) == folds(nested)
