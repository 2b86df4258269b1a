"""Where a dance asks for care, and where it does not."""

import pytest

import stepcheck as sc

HEAD = "routine: x\nbook: {}\n{}figures:\n  Clip, 1 beat: STO(L)\n  Clap Hop, 1 beat: HOP@1\npart A:\n{}dance:\n  A\n"


def kinds(body: str, *, book: str = "clogging", head: str = "") -> list[tuple[str, int]]:
    """Return the notes on a part, each with its line counted from the part's first."""
    routine = sc.loads(HEAD.format(book, head, "".join(f"  {line}\n" for line in body.split("; "))))
    assert routine.well_formed, routine.diagnostics
    return [(one.kind, one.line - 6 - bool(head)) for one in sc.care(routine)]


@pytest.mark.parametrize(
    ("body", "notes"),
    [
        ("Triple x4, turn 1/2 right", [("turning", 1)]),
        ("Triple x3, turn 1/2 right", []),
        ("Triple x2, turn 1/2 right; Basic; Triple x2, turn 1/2 right", [("turning", 1)]),
        ("Triple x2, turn 1/2 right; Triple; Triple x2, turn 1/2 right", []),
        ("Triple x2, turn 1/2 right; Triple x2, turn 1/2 left", []),
    ],
)
def test_much_turning_one_way_gets_a_note(body: str, notes: list[tuple[str, int]]) -> None:
    """Two whole turns one way, with less than four beats between them; not less, not with a pause, not both ways."""
    assert notes == kinds(body)


@pytest.mark.parametrize(
    ("body", "notes"),
    [
        ("Clap Hop x8", [("one foot", 1)]),
        ("Clap Hop x7", []),
        ("Clap Hop x4; Basic x2; Clap Hop x4", [("one foot", 1)]),
        ("Clap Hop x4; Basic; Clap Hop x4", []),
        ("Clap Hop x4; Basic x6; Clap Hop x4", []),
        ("Stomp x16", []),
    ],
)
def test_many_hops_on_one_foot_get_a_note(body: str, notes: list[tuple[str, int]]) -> None:
    """Eight on one foot; not fewer, not where the other foot comes between, not after a rest of more than eight beats."""
    assert notes == kinds(body)


def test_a_figure_above_the_level_gets_a_note() -> None:
    """In the scheme of the sheet's level; a figure of that level gets none, and a sheet without a level none at all."""
    assert [("level", 2)] == kinds("Triple; Fancy Double", head="level: basic, club scheme\n")
    assert [] == kinds("Triple; Fancy Double", head="level: easy, club scheme\n")
    assert [] == kinds("Triple; Fancy Double")


@pytest.mark.parametrize(
    ("book", "figure", "tempo", "noted"),
    [
        ("clogging", "Triple", 160, False),
        ("clogging", "Triple", 161, True),
        ("clogging", "Buck Basic", 135, False),
        ("clogging", "Buck Basic", 136, True),
        ("line", "Step", 200, False),
        ("line", "Step", 201, True),
        ("line", "Shuffle", 154, False),
        ("line", "Shuffle", 155, True),
    ],
)
def test_a_figure_that_gets_crowded_gets_a_note(book: str, figure: str, tempo: int, noted: bool) -> None:
    """Over the fastest published tempo for figures of so many sounds a beat, and not at it."""
    assert ([("tempo", 1)] if noted else []) == kinds(figure, book=book, head=f"tempo: {tempo}\n")


@pytest.mark.parametrize(
    ("body", "noted"),
    [
        ("Heel Touch, turn 1/4 left", True),
        ("Heel Touch, turn 1/8 left", False),
        ("Step, turn 1/2 left", False),
        ("Step, turn 3/4 left", True),
        ("Pivot Half", False),
        ("Heel Touch", False),
    ],
)
def test_a_turn_on_a_foot_that_sticks_gets_a_note(body: str, noted: bool) -> None:
    """A quarter or more on fewer movements that unweight a foot than half turns; a pivot or a step is enough for one."""
    assert ([("sticking foot", 1)] if noted else []) == kinds(body, book="line")


def test_every_note_has_a_source() -> None:
    """What is published is named, the rest is marked."""
    text = HEAD.format(
        "clogging", "level: basic, club scheme\ntempo: 180\n", "  Fancy Double x6, turn 1/2 left\n  Clap Hop x9\n"
    )
    found = sc.care(sc.loads(text))

    assert {"turning", "one foot", "level", "tempo"} <= {one.kind for one in found}
    assert all("." in one.source or "common practice" in one.source or "book" in one.source for one in found)
