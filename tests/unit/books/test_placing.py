"""Movements on their counts."""

import pytest

from stepcheck.books import book as books
from stepcheck.books import entries
from stepcheck.books.placing import COMPOUNDS, FORMS, last_beat, place
from stepcheck.language.syntax import Form
from stepcheck.model.dance import Foot


def placed(row: str, book: str = "clogging") -> list[tuple[str, int, int]]:
    """Return the name, tick and beat of each movement of a row without problems."""
    found = books.load(book)
    actions, problems = place(entries.row(row)[0], found.movement, found.tradition)
    assert () == problems
    return [(action.movement.name, action.tick, action.beat) for action in actions]


def ticks(row: str, book: str = "clogging") -> list[int]:
    """Return the ticks of the movements of a row."""
    return [tick for _, tick, _ in placed(row, book)]


def codes(row: str, book: str = "clogging") -> list[str]:
    """Return the codes of what is wrong with a row."""
    found = books.load(book)
    return [problem.code for problem in place(entries.row(row)[0], found.movement, found.tradition)[1]]


def beats(row: str, book: str = "clogging") -> int:
    """Return how many beats a row fills."""
    found = books.load(book)
    return last_beat(place(entries.row(row)[0], found.movement, found.tradition)[0])


@pytest.mark.parametrize(
    ("row", "expected"),
    [
        ("DS", 1),
        ("RS", 1),
        ("DS RS", 2),
        ("DS DS DS RS", 4),
        ("DS BR DS RS", 4),
        ("DS BR UP DS RS", 4),
        ("DS BR HD DS RS", 4),
        ("DS RS RS RS", 4),
        ("S S S S", 4),
        ("STO DS DS RS", 4),
        ("DS DR S DR S RS", 4),
        ("DS HOLD", 2),
        ("HOLD HOLD", 2),
        ("DS TCH HD TCH HD TCH HD", 4),
        ("BR BR", 2),
        ("S PV S", 2),
        ("DT", 1),
    ],
)
def test_clogging_fills_the_beats_that_dancers_count(row: str, expected: int) -> None:
    """An upbeat takes the next half, anything else the next beat: a brush between double steps has a beat to itself."""
    assert expected == beats(row)


@pytest.mark.parametrize(
    ("row", "expected"), [("S S S TCH", 4), ("R RC", 2), ("K BA S", 3), ("S PV S", 2), ("RS", 2), ("DS", 2)]
)
def test_line_dance_gives_each_movement_a_count(row: str, expected: int) -> None:
    """Without `@` every movement takes one count, a pivot none."""
    assert expected == beats(row, "line")


def test_an_upbeat_comes_before_its_beat_and_belongs_to_it() -> None:
    """A double step is counted &1: its double toe stands half a beat before count 1 and belongs to it."""
    assert [("double toe", 6, 1), ("step", 12, 1), ("rock", 18, 2), ("step", 24, 2)] == placed("DS RS")


def test_counts_are_where_they_are_written() -> None:
    """`@1e @1& @1a` are the quarters after beat 1, `@&2` the half before beat 2."""
    assert [12, 15, 18, 21, 24] == ticks("S@1 S@1e S@1& S@1a S@2", "line")
    assert [12, 18, 24] == ticks("S@1 S@&2 S@2", "line")


def test_the_number_written_is_the_beat_that_it_belongs_to() -> None:
    """`@2&` belongs to 2 and `@&3` to 3, though both are the same moment: that decides lengths and cuts."""
    assert [("step", 30, 2)] == placed("S@2&", "line")
    assert [("step", 30, 3)] == placed("S@&3", "line")
    assert (2, 3) == (beats("S@1 S@2&", "line"), beats("S@1 S@&3", "line"))


def test_placing_goes_on_after_a_count() -> None:
    """A movement without a count takes the next place of its kind after one with a count."""
    assert [12, 18, 24] == ticks("S@1 S@1& S", "line")
    assert [36, 42, 48] == ticks("S@3 RS")


def test_a_compounds_count_is_that_of_its_last_movement() -> None:
    """DS@3 steps on 3, its double toe half a beat before; where that is taken, halfway from what is taken."""
    assert [("double toe", 30, 3), ("step", 36, 3)] == placed("DS@3")
    assert [12, 15, 18] == ticks("S@1 DS@1&")
    assert [12, 24] == ticks("RS@2", "line")


def test_a_pivot_takes_no_place() -> None:
    """A pivot has the count of the movement before it; at the start of a row, of the one after it."""
    assert [("step", 12, 1), ("pivot", 12, 1), ("step", 24, 2)] == placed("S PV S")
    assert [("pivot", 6, 1), ("double toe", 6, 1), ("step", 12, 1)] == placed("PV DS")
    assert [("touch", 12, 1), ("pivot", 24, 2)] == placed("TCH PV@2", "line")


@pytest.mark.parametrize(
    ("row", "feet"),
    [("DS(R)", [Foot.RIGHT, Foot.RIGHT]), ("RS(L)", [Foot.LEFT, Foot.RIGHT]), ("HB(L)", [Foot.LEFT, Foot.LEFT])],
)
def test_the_foot_of_a_compound(row: str, feet: list[Foot]) -> None:
    """A double step, heel-ball or toe-ball is made by one foot, a rock step by one and then the other."""
    book = books.load("clogging")
    actions, _ = place(entries.row(row)[0], book.movement, book.tradition)

    assert feet == [action.foot for action in actions]


def test_case_does_not_count_in_forms() -> None:
    """`ds` is DS."""
    assert placed("DS rs") == placed("ds RS")


def test_a_toe_is_one_movement_with_two_readings() -> None:
    """T and TO are no mistakes: they are read in one of two ways."""
    book = books.load("clogging")

    assert book.movement("T") == book.movement("TO")
    assert 2 == len(book.movement("T")[0].senses)


@pytest.mark.parametrize("book", books.SHIPPED)
def test_every_form_of_the_trade_can_be_placed(book: str) -> None:
    """The abbreviations that are offered to writers are all in both books."""
    found = books.load(book)

    assert [] == [form for form in FORMS if form.lower() not in COMPOUNDS and not found.movement(form)]
    assert set() == {part for parts in COMPOUNDS.values() for part in parts if not found.movement(part)}


@pytest.mark.parametrize(
    ("row", "code"),
    [
        ("S XYZZY", "unknown-form"),
        ("B", "form-with-two-meanings"),
        ("BO S", "form-with-two-meanings"),
        ("S SH", "form-without-stated-weight"),
        ("HS", "form-without-stated-weight"),
        ("S@2 S@1", "count-out-of-order"),
        ("S@0", "count-out-of-order"),
        ("PV", "figure-without-beats"),
        ("", "figure-without-beats"),
    ],
)
def test_what_cannot_be_placed_is_named(row: str, code: str) -> None:
    """Each mistake in a row is one finding."""
    assert [code] == codes(row)


def test_one_wrong_count_is_one_finding() -> None:
    """The counts after a wrong one are measured from it, so they are not blamed as well."""
    assert ["count-out-of-order"] == codes("S@1 S@4 S@2 S@3 S@4", "line")


def test_an_unknown_form_has_its_neighbours_and_its_place() -> None:
    """TCJ is shown at its place in the line, with TCH to write instead."""
    book = books.load("clogging")
    _, (problem,) = place((Form("S", at=(0, 1)), Form("TCJ", at=(2, 5))), book.movement, book.tradition)

    assert (2, 5) == problem.at
    assert "TCH" == problem.hints[0].text


def test_a_form_far_from_all_is_told_what_a_row_is() -> None:
    """A form that resembles none is answered with a row, and with the command that lists the codes."""
    book = books.load("line")
    _, (problem,) = place((Form("QQQQ"),), book.movement, book.tradition)

    assert "S TCH S TCH; `stepcheck figures --movements` lists them" in problem.hints[0]


def test_the_rest_of_a_faulty_row_is_still_placed() -> None:
    """A form that is not understood is left out, and the others keep their order."""
    book = books.load("line")
    actions, problems = place(entries.row("S QQQQ S")[0], book.movement, book.tradition)

    assert 1 == len(problems)
    assert [12, 24] == [action.tick for action in actions]
