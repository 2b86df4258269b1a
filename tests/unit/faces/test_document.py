"""A sheet that somebody is working on."""

import os
from pathlib import Path

import pytest

from stepcheck.faces.document import Desk, contents, definition, hover, spread
from stepcheck.model.source import Span

SHEET = """\
routine: Lock Gates
book: clogging

figures:
  Mill Wheel, 4 beats: DS DS RS RS

part Verse: 8 beats, front to back
  Triple
  Mill Wheel, turn 1/2 right
  expect right foot

part Chorus: 8 beats
  Vine | Triple x2

dance:
  Verse
  Chorus
"""


@pytest.fixture(scope="module")
def desk() -> Desk:
    """The sheet above."""
    return spread(SHEET, "gates.routine")


def test_a_figure_is_shown_with_its_counts_and_ends(desk: Desk) -> None:
    """Over the name of a figure stand its count table and what comes of it from either lead."""
    found = hover(desk, 8, 4)
    assert found is not None
    said, span = found

    assert Span(8, 3, 8, 9) == span
    assert "Triple (book clogging)" in said and "count  movement" in said
    assert "from the left foot: " in said and "from the right foot: " in said


def test_a_line_has_the_state_with_which_the_dance_comes_to_it(desk: Desk) -> None:
    """Free foot, facing and beat, in the part and in the dance, before the line and after it."""
    said, _ = hover(desk, 9, 20) or ("", None)

    assert (
        "**Here, the first time:** the right foot is free, facing front, beat 5 of Verse, beat 5 of the dance." in said
    )
    assert "**Afterwards:** the " in said and "facing back, beat 9 of Verse" in said


def test_a_figure_of_the_sheets_own_says_where_it_is(desk: Desk) -> None:
    """A figure that the sheet defines is shown as one of the book is."""
    said, _ = hover(desk, 9, 3) or ("", None)

    assert "Mill Wheel (this sheet, line 5)" in said


def test_a_part_shows_its_contract(desk: Desk) -> None:
    """Over a part's name, where it is danced or defined, stands what it says and the state at its start."""
    called, _ = hover(desk, 16, 4) or ("", None)
    defined, _ = hover(desk, 12, 8) or ("", None)

    assert "part Verse: 8 beats, front to back" in called
    assert "facing back, beat 1 of Chorus, beat 9 of the dance" in defined


@pytest.mark.parametrize("line", [1, 3, 6, 99])
def test_where_nothing_is_to_say_nothing_is_said(desk: Desk, line: int) -> None:
    """A header, an empty line and a place beyond the end have nothing over them."""
    assert None is hover(desk, line, 1)


def test_names_lead_to_where_they_are_defined(desk: Desk) -> None:
    """A part leads to its heading, a figure of the sheet's own to its line, one of a book to the book's line."""
    assert ("gates.routine", Span(7, 6, 7, 11)) == definition(desk, 16, 3)
    assert ("gates.routine", Span(5, 3, 5, 13)) == definition(desk, 9, 8)
    path, span = definition(desk, 8, 3) or ("", Span(1, 1, 1, 1))
    assert os.path.exists(path) and Path(path).read_text("utf-8").split("\n")[span.line - 1].strip().startswith(
        "Triple"
    )
    assert None is definition(desk, 10, 5)


def test_a_clubs_figure_leads_to_the_clubs_book() -> None:
    """A book beside the sheet is where its figures are."""
    folder = Path(__file__).parents[3] / "specs" / "routines"
    text = "routine: x\nbook: millrace\npart A:\n  NAME\ndance:\n  A\n"
    club = spread(text, str(folder / "x.routine")).book
    own = next(figure.name for figure in club.figures() if figure.book == club.name)
    found = definition(spread(text.replace("NAME", own), str(folder / "x.routine")), 4, 3)

    assert found is not None and str(folder / "millrace.book") == found[0]


def test_contents_are_the_sections_in_order(desk: Desk) -> None:
    """Figures, parts and the dance stand with what they say; a figure stands inside its section."""
    found = contents(desk)

    assert [("figures", "figures"), ("Verse", "part"), ("Chorus", "part"), ("dance", "dance")] == [
        (entry.name, entry.kind) for entry in found
    ]
    assert ["Mill Wheel"] == [entry.name for entry in found[0].inner]
    assert "8 beats, front to back" == found[1].detail
    assert Span(7, 1, 10, 20) == found[1].whole


@pytest.mark.parametrize(
    "text", ["", "part", "routine: x\npart A:\n  Tripel\n", "dance:\n  A\n", "\x00", "part A:\n  ? x?\n"]
)
def test_a_sheet_in_the_making_has_a_desk(text: str) -> None:
    """Whatever has been typed so far, every place can be asked about."""
    desk = spread(text, "x")
    for line in range(1, 6):
        for column in range(1, 12):
            hover(desk, line, column)
            definition(desk, line, column)
    assert contents(desk) == contents(desk)
