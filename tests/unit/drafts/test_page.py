"""The page about drafts: every example on it is executed."""

import re
from pathlib import Path

import pytest

import stepcheck as sc
from stepcheck.steps.words import SECTIONS

PAGE = (Path(__file__).parents[3] / "specs" / "drafts.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"^```(\w+)\n(.*?)^```$", PAGE, re.MULTILINE | re.DOTALL)
PAIRS = [(BLOCKS[at - 1][1], text) for at, (kind, text) in enumerate(BLOCKS) if kind == "sheet"]


def test_every_block_is_executed() -> None:
    """The page has descriptions, each with its sheet, and a vocabulary."""
    assert {"description", "sheet", "vocabulary"} == {kind for kind, _ in BLOCKS}
    assert 2 * len(PAIRS) + 1 == len(BLOCKS)


@pytest.mark.parametrize(("source", "sheet"), PAIRS)
def test_a_description_of_the_page_becomes_its_sheet(source: str, sheet: str) -> None:
    """What the page shows is what comes out, byte for byte."""
    assert sheet == sc.draft(source).text


def test_the_vocabulary_of_the_page_adds_its_words() -> None:
    """A club's words are read once its vocabulary is given, and not before."""
    more = next(text for kind, text in BLOCKS if kind == "vocabulary")
    source = "Weir Lane\n32 counts\n\n1-2  Wade R fwd, wade L fwd\n3-6  See-saw R\n"

    assert 2 == len(sc.draft(source).open)
    found = sc.draft(source, more)
    assert () == found.open
    assert "S(R) S(L)" in found.text
    assert "Rocking Chair, right foot" in found.text


def test_the_table_of_sections_is_that_of_the_program() -> None:
    """Every section that a vocabulary may have stands on the page."""
    assert all(f"`{name}:`" in PAGE for name in SECTIONS)


def test_a_vocabulary_that_is_not_one_is_refused() -> None:
    """A section that doesn't exist, and an entry without a meaning, are refused at their line."""
    with pytest.raises(sc.SourceError, match=r"vocabulary:1: .*no section"):
        sc.draft("x", "words:\n")
    with pytest.raises(sc.SourceError, match="vocabulary:2: an entry is a meaning"):
        sc.draft("x", "movements:\n  wade\n")


_DANCE = "Tallow Swing\n8 counts, 1 wall\nChoreo: Bo Finch\n\n1-8 Vine R, vine L\n\n{}\n"


@pytest.mark.parametrize(
    "foot",
    [
        "Last updated: 14 March 2023",
        "Last revised 3/11/09",
        "\u00a9 2021 Nell Osier, all rights reserved",
        "Page 1 of 1",
        "Tel: 01234 567890",
        "Step sheet written by Nell Osier, January 2022",
        "Taught at the Millrace Hall on 5/10/2019",
        "Handout no. 12 - Beginners' class, Thursdays 7pm",
        "Subs are now \u00a33.50 including tea.",
        "Thank you to Nell for typing this up.",
        "If you want another copy, see Nell at the door.",
        "See you Thursday at the Ferry Hall.",
        "Written for my Monday class, with love",
    ],
)
def test_a_foot_that_speaks_of_the_paper_or_the_class_is_a_remark(foot: str) -> None:
    """Dates, prices, telephone numbers, hours and pages are no counts, and nobody named there made the dance."""
    made = sc.draft(_DANCE.format(f"Start again\n{foot}"))

    assert not made.open
    assert f"# {foot}" in made.text


@pytest.mark.parametrize(
    "foot",
    [
        "Thank you to Nell for the extra 4 counts",
        "Last updated: now touch R forward",
        "Printed with 3 walls",
        "See you at the front wall on Thursday",
        "Revised 2021: kick on 8",
    ],
)
def test_a_foot_that_speaks_of_the_dance_is_open(foot: str) -> None:
    """A number that may be a count, a step or a wall is nothing of the paper."""
    assert sc.draft(_DANCE.format(f"Start again\n{foot}")).open


@pytest.mark.parametrize(
    "end", ["Back to the beginning", "Dance again!", "End of dance - start again", "END OF THE DANCE: BEGIN AGAIN"]
)
def test_the_dance_begins_again_by_any_words(end: str) -> None:
    """They are the end of the dance, and no ending of it."""
    made = sc.draft(_DANCE.format(end))

    assert not made.open
    assert f"Main until the music ends  # {end}" in made.text


@pytest.mark.parametrize(
    "foot",
    [
        "End of dance",
        "~ The end of the dance ~",
        "Back to the top!",
        "Last updated 14 March",
        "Revised: version 2 (spelling corrected)",
        "Taught at the osier barn, Wednesday 7.30 pm",
    ],
)
def test_the_end_and_what_is_of_the_paper_say_nothing_of_the_dance(foot: str) -> None:
    """Dates without a year, versions and hours are no counts, and the top is no wall."""
    assert not sc.draft(_DANCE.format(f"Start again\n{foot}")).open
    assert not sc.draft(_DANCE.format(foot)).open


def test_steps_under_the_end_of_the_dance_are_its_ending() -> None:
    """They are none of the dance."""
    made = sc.draft(_DANCE.format("End of dance\n1-2 Stomp R, stomp L"))

    assert made.open or "part Ending" in made.text


def test_to_whom_a_mail_goes_is_nothing_of_the_dance() -> None:
    """Nor is its subject, which the title stands in."""
    mail = "From: Nan\nTo: Friday Steppers\nSubject: the new one!! (TALLOW SWING)\n\nHiya all,\n"
    text = f"{mail}here is Tallow Swing. It's 8 counts, 1 wall.\n\n1-8 Vine R, vine L\n"

    assert "routine: Tallow Swing" in sc.draft(text).text and not sc.draft(text).open
