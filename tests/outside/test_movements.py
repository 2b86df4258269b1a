"""Movements against published glossaries and code lists; the sources stand beside each row of movements.tsv."""

from pathlib import Path

import pytest

from stepcheck.books import book as books
from stepcheck.books import entries
from stepcheck.books.placing import place
from stepcheck.language.patch import told

LINES = (Path(__file__).parent / "movements.tsv").read_text("utf-8").splitlines()
ROWS = [line.split("\t") for line in LINES if not line.startswith("#")][1:]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: " ".join(row[:3]).strip())
def test_a_movement_is_made_as_its_source_has_it(row: list[str]) -> None:
    """The foot that acts and the weight are as published, under the reading that this source has."""
    book, form, reading, actor, lands, _, source = row
    (movement,) = books.load(book).movement(form)
    sense = next(sense for sense in movement.senses if books.label_matches(sense.label, reading))

    assert (actor, lands == "yes") == (sense.actor.value, sense.lands), source


@pytest.mark.parametrize("row", [row for row in ROWS if row[5] != "-"], ids=lambda row: " ".join(row[:3]).strip())
def test_a_movement_falls_on_the_upbeat_where_its_source_says_so(row: list[str]) -> None:
    """What sources place before the beat takes the half before it, what they place on the beat takes the beat."""
    (movement,) = books.load(row[0]).movement(row[1])

    assert (row[5] == "yes") == movement.upbeat, row[6]


@pytest.mark.parametrize(
    ("word", "book", "usual"),
    [
        ("stomp", "clogging", "takes weight"),
        ("stamp", "clogging", "no weight"),
        ("toe", "clogging", "takes weight"),
        ("close", "line", "takes weight"),
        ("stomp", "line", "takes weight"),
    ],
)
def test_the_usual_reading_is_the_best_supported_one(word: str, book: str, usual: str) -> None:
    """Kam Clogger codes: a stomp takes weight, a stamp none; docslib 3760743: a toe takes weight; Desert Dancers: a
    close is a step; Steps In Line: a stomp takes weight."""
    (movement,) = books.load(book).readings(word)[:1]

    assert usual == movement.senses[movement.usual].label  # type: ignore[union-attr]


def test_the_usual_stomps_of_tap_are_a_set_of_readings() -> None:
    """Tap glossaries (geocities.ws/james+robey/tapterms.htm) have stomp and stamp the other way round than clogging."""
    assert {("stomp", "no weight"), ("stamp", "takes weight")} == set(books.load("clogging", readings="tap").settled)


@pytest.mark.parametrize("form", ["LF", "PL", "RP", "CK", "DG", "SP", "SN", "HS", "SH", "F"])
def test_a_symbol_without_stated_weight_is_refused_with_others_to_write(form: str) -> None:
    """The Southern California Clogging Association (home.nethere.com/hunsakers/cuesheets/reading.html) lists these as
    symbols only, so nobody can say which foot has the weight."""
    book = books.load("clogging")
    _, (problem,) = place(entries.row(form)[0], book.movement, book.tradition)

    assert "form-without-stated-weight" == problem.code
    written = [hint.text for hint in problem.hints]
    assert all(book.movement(other) for other in written)


@pytest.mark.parametrize("form", ["B", "BO"])
def test_a_symbol_with_two_meanings_is_refused_with_others_to_write(form: str) -> None:
    """B is a ball in one set of codes and a brush in another (same sheet); BO lands on both feet (Raylin Cloggers) or
    on the foot that has the weight (docstoc.com/docs/19480969)."""
    book = books.load("clogging")
    _, (problem,) = place(entries.row(form)[0], book.movement, book.tradition)

    assert "form-with-two-meanings" == problem.code
    assert all(book.movement(hint.text) for hint in problem.hints)


@pytest.mark.parametrize(
    ("book", "form", "hint"),
    [
        ("line", "CR", "write S for a cross"),
        ("line", "REC", "write RC for a recover"),
        ("line", "TOG", "write CL for a together"),
        ("line", "SWV", "write SWIVEL for a swivel"),
        ("clogging", "CLP", "write CLAP for a clap"),
        ("clogging", "STOMP", "write STO for a stomp"),
        ("line", "BC", "write BA S for a ball change"),
        ("line", "KBC", "write K BA S for a kick ball change"),
    ],
)
def test_a_code_that_nobody_lists_names_the_word_that_it_shortens(book: str, form: str, hint: str) -> None:
    """Codes that teachers make up (common practice) shorten a word: the word is said, with the code to write."""
    shelf = books.load(book)
    _, (problem,) = place(entries.row(form)[0], shelf.movement, shelf.tradition)

    assert ("unknown-form", f"no movement is written {form}") == (problem.code, problem.reason)
    assert hint in told(problem.hints)
    assert all(shelf.movement(other) for one in problem.hints for other in one.text.split())
