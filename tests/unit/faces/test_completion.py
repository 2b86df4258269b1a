"""What may be written next."""

import pytest

from stepcheck.faces.document import spread
from stepcheck.faces.proposals import Offer, offers

FIGURES = "figures:\n  Mill Wheel, 4 beats: DS DS RS RS\n"
HEAD = f"routine: x\nbook: clogging\nmusic:\n  verse 8\n{FIGURES}part Verse: 8 beats\n  Triple\n"


def at(last: str, head: str = HEAD) -> tuple[Offer, ...]:
    """Return what is offered at the end of a line under `head`."""
    text = head + last
    desk = spread(text, "x.routine")
    return offers(desk, len(desk.source.lines), len(desk.source.lines[-1]) + 1)


def labels(found: tuple[Offer, ...], kind: str) -> list[str]:
    """Return the labels of one kind."""
    return [offer.label for offer in found if offer.kind == kind]


def test_a_line_of_a_part_offers_names_and_blocks() -> None:
    """Figures of the book with their lengths, the sheet's own first; parts; blocks; from where the name begins."""
    found = at("  Tri")

    assert "Mill Wheel" == labels(found, "figure")[0]
    assert Offer("Triple", "figure", 3, "4 beats") in found
    assert ["Verse"] == labels(found, "part")
    assert "2 times:" in labels(found, "keyword") and "until the music ends:" not in labels(found, "keyword")


def test_the_dance_offers_sections_and_until() -> None:
    """Under `dance:` the sections of the music and the end of the music are offered as well."""
    found = at("dance:\n  ")

    assert ["verse: "] == labels(found, "section")
    assert "until the music ends:" in labels(found, "keyword")
    assert 10 == labels_column(at("dance:\n  verse: V"))


def labels_column(found: tuple[Offer, ...]) -> int:
    """Return the column that all offers begin at."""
    (column,) = {offer.column for offer in found}
    return column


@pytest.mark.parametrize(
    ("typed", "offered", "column"),
    [
        ("  Triple, tu", "turn 1/4 right", 11),
        ("  Triple, left foot, fa", "facing back", 22),
        ("  Triple, on", "on the spot", 11),
        ("  expect l", "left foot", 10),
        ("  Triple | Vi", "Vine", 12),
        ("part Chorus: 8 beats, fr", "front to back", 23),
        ("par", "part ", 1),
        ("le", "lead: ", 1),
        ("lead: ", "right", 7),
        ("book: li", "line", 7),
        ("stomp: ", "takes weight", 8),
    ],
)
def test_every_place_offers_what_may_stand_there(typed: str, offered: str, column: int) -> None:
    """Marks after a comma, alternatives after a bar, pieces of a contract, fields of the header and their values."""
    found = at(typed, "" if ":" in typed and not typed.startswith("part") and typed[0] != " " else HEAD)

    assert offered in [offer.label for offer in found]
    assert column == next(offer.column for offer in found if offer.label == offered)


def test_a_floor_with_groups_offers_them() -> None:
    """Groups stand before their lines under `dance:`; an `expect` there may say what holds between them."""
    head = f"groups: odd, even\n{HEAD}dance:\n"

    assert labels(at("  together:\n    ", head), "section") == ["verse: ", "odd: ", "even: "]
    assert "same wall" in labels(at("  expect front, ", head), "keyword")
    assert "same wall" not in labels(at("  expect front, "), "keyword")
    assert "mirror images" in labels(at("each section: ", "groups: odd, even\n"), "value")
    assert "lead right" in labels(at("even: ", "groups: odd, even\n"), "value")


def test_a_row_of_movements_in_a_part_goes_on_with_movements() -> None:
    """After a code in capitals the forms of movements are offered, in parts only, from where the next one begins."""
    assert {"DT", "BR"} <= set(labels(at("  DS DS B"), "movement"))
    assert 6 == next(offer.column for offer in at("  DS B") if offer.kind == "movement")
    assert [] == labels(at("dance:\n  DS B"), "movement")


def test_a_figure_is_made_of_movements() -> None:
    """Under `figures:` the forms of movements are offered after the colon, with what they stand for."""
    found = at("figures:\n  Weir Step, 4 beats: DS B", "routine: x\nbook: clogging\n")

    assert "BR" in labels(found, "movement")
    assert 26 == labels_column(found)


@pytest.mark.parametrize("typed", ["  Triple  # th", "music:\n  ve"])
def test_comments_and_lengths_are_the_writers_own(typed: str) -> None:
    """Nothing is offered in a comment, or for the sections of the music."""
    assert () == at(typed)


def test_what_is_offered_can_be_read() -> None:
    """Every figure and part that is offered is understood where it is written."""
    head = "routine: x\nbook: line\npart A:\n  Vine\ndance:\n"
    for offer in at("  ", head):
        if offer.kind == "figure":
            desk = spread(f"{head}  {offer.label}", "x.routine")
            assert "unknown-name" not in [finding.code.name for finding in desk.report.diagnostics], offer
