"""Rows of figures of exactly so many beats: what is asked, what comes, and what is said where nothing does."""

from fractions import Fraction
from pathlib import Path

import pytest

from stepcheck.books import book as books
from stepcheck.breaks.breaks import Breaks, find_breaks, steps_of
from stepcheck.breaks.endings import break_after
from stepcheck.breaks.states import SearchError, State, lines, read, repertoire
from stepcheck.model.dance import Weight
from stepcheck.report import pipeline


def said(found: Breaks) -> list[str]:
    """Return each row as one text."""
    return [" / ".join(one.lines) for one in found.breaks]


@pytest.mark.parametrize(
    ("words", "state"),
    [
        ("left foot, front", State(Weight.RIGHT, 0)),
        ("9:00, right foot", State(Weight.LEFT, 6)),
        ("both feet", State(Weight.BOTH, None)),
        ("facing the left wall", State(None, 6)),
        ("any", State()),
        ("Left Foot, any wall", State(Weight.RIGHT, None)),
    ],
)
def test_states_are_read_as_a_teacher_says_them(words: str, state: State) -> None:
    """A foot that is named is the free one, and whatever is not named is left open."""
    assert state == read(words)


@pytest.mark.parametrize("words", ["left", "third foot", "left foot, right foot", "front, back", ""])
def test_a_state_that_says_nothing_clear_is_refused(words: str) -> None:
    """`left` alone may be a foot or a wall, so it is refused with a pattern to write."""
    with pytest.raises(SearchError, match="write it like this: left foot, front"):
        read(words)


def test_a_state_is_written_as_it_is_read() -> None:
    """What a state says of itself reads back as the same state."""
    for state in State().each():
        assert state == read(str(state))


def test_every_row_has_the_length_and_the_ends_that_were_asked() -> None:
    """Each row lasts exactly the beats, starts at the start and ends at the end."""
    found = find_breaks("clogging", beats=8, start="left foot, front", end="right foot, back", limit=40)
    assert 40 == len(found.breaks)
    assert {(Fraction(8), "left foot, front", "right foot, back")} == {
        (one.beats, str(one.start), str(one.end)) for one in found.breaks
    }


def test_fewest_figures_come_first() -> None:
    """One figure of eight beats comes before two of four, as specs/costs.md lays down."""
    found = find_breaks("clogging", beats=8, limit=30)
    counts = [len(one.figures) for one in found.breaks]
    assert sorted(counts) == counts
    assert "Cowboy" == said(found)[0]


def test_known_figures_come_before_others_of_as_many() -> None:
    """Among rows of as many figures those with fewer unknown figures come first."""
    found = find_breaks("clogging", beats=4, end="right foot, front", known=["Triple Kick"], limit=2)
    assert "Triple Kick" == said(found)[0] or "Triple Kick" in said(found)
    first = find_breaks("clogging", beats=8, known=["Rocking Chair"], limit=1)
    assert "Cowboy" == said(first)[0]
    assert (
        "Rocking Chair x2"
        == said(
            find_breaks(
                "clogging",
                beats=8,
                known=["Rocking Chair"],
                unwanted=[one.name for one in books.load("clogging").figures() if one.versions[one.usual].length == 96],
                limit=1,
            )
        )[0]
    )


def test_rows_turn_no_more_than_they_need() -> None:
    """Of rows that are otherwise alike the one that turns least comes first."""
    found = find_breaks("clogging", beats=4, end="right foot, front", limit=20)
    turns = [one.turning for one in found.breaks if len(one.figures) == 1]
    assert sorted(turns) == turns


def test_equal_neighbours_are_folded() -> None:
    """The lines are those of a sheet: `Cowboy x4`, not four lines."""
    assert ["Cowboy x4"] == said(find_breaks("clogging", beats=32, limit=1))


def test_a_turn_that_is_not_the_figure_s_own_is_written() -> None:
    """A usual turn stands on its line, a built-in one does not."""
    found = said(find_breaks("clogging", beats=4, end="right foot, back", limit=50))
    assert "Push-off, turn 1/2 right" in found
    assert "Turning Push-off" in found


def test_a_usual_turn_is_mirrored_with_the_figure() -> None:
    """The book lists the turns of a figure for its own foot; from the other foot they go to the other side."""
    left = find_breaks("clogging", beats=4, start="left foot, front", end="back", wanted=["Airplane"])
    right = find_breaks("clogging", beats=4, start="right foot, front", end="back", wanted=["Airplane"])
    assert (["Airplane, turn 1/2 left"], ["Airplane, turn 1/2 right"]) == (said(left), said(right))


def test_a_scheme_that_grades_no_figure_is_said_to_be_so(tmp_path: Path) -> None:
    """A scheme without grades is no reason to call every figure too hard."""
    (tmp_path / "own.book").write_text("book: Own\non top of: clogging\nlevels:\n  ferry: first, second\n", "utf-8")

    with pytest.raises(SearchError, match=r"^no figure of this book is graded in ferry$"):
        find_breaks(str(tmp_path / "own.book"), beats=8, level="first in ferry")
    with pytest.raises(SearchError, match=r"^no figure of this book is graded in harbour$"):
        find_breaks(beats=8, level="easy, harbour scheme")


def test_no_shipped_scheme_is_without_grades() -> None:
    """Every scheme of a shipped book grades some figure, and names its source."""
    for book in map(books.load, books.SHIPPED):
        assert book.shelf is not None
        graded = {level.scheme for figure in book.figures() for level in figure.levels}
        assert graded == {scheme.title for scheme in book.shelf.text.levels}
        assert all(scheme.sources for scheme in book.shelf.text.levels)


def test_a_level_leaves_harder_figures_out() -> None:
    """At most the level asked, in the scheme asked; figures that the scheme does not grade are left out."""
    names = {
        one.name
        for row in find_breaks("clogging", beats=4, end="any", level="basic", limit=99).breaks
        for one in row.figures
    }
    graded = {
        one.name
        for one in books.load("clogging").figures()
        if any((level.scheme, level.name) == ("club", "basic") for level in one.levels)
    }
    assert names and names <= graded
    plus = find_breaks("clogging", beats=8, level="basic plus in convention", limit=99).breaks
    assert {"Basic", "Rocking Chair", "Clog-over Vine", "Charleston"} >= {
        one.name for row in plus for one in row.figures
    }


def test_wanted_and_unwanted_figures() -> None:
    """Every wanted figure stands in every row, no unwanted one in any."""
    found = find_breaks("clogging", beats=8, wanted=["Basic", "Triple Brush"], unwanted=["double basic"], limit=20)
    names = [{one.name for one in row.figures} for row in found.breaks]
    assert names and all({"Basic", "Triple Brush"} <= each and "Double Basic" not in each for each in names)


def test_most_in_a_row() -> None:
    """No figure follows itself more often than allowed, whatever it turns."""
    found = find_breaks("clogging", beats=16, most_in_a_row=1, limit=30)
    assert 30 == len(found.breaks)
    assert not [
        row for row in found.breaks for a, b in zip(row.figures, row.figures[1:], strict=False) if a.figure is b.figure
    ]


def test_most_turn() -> None:
    """The turns of a row add up to no more than allowed, whichever side they go to."""
    found = find_breaks("clogging", beats=4, end="left foot", most_turn="1/4", limit=200)
    assert {0, Fraction(1, 4)} == {one.turning for one in found.breaks}


def test_ends_may_be_left_open() -> None:
    """A foot alone means any wall, a wall alone any foot, and each row says which it is."""
    assert {Weight.RIGHT} == {row.end.weight for row in find_breaks(beats=4, end="left foot", limit=99).breaks}
    assert {4} == {row.end.facing for row in find_breaks(beats=8, end="back", limit=99).breaks}
    free = find_breaks(beats=2, start="any", end="back", limit=10)
    assert free.breaks and {4} == {row.end.facing for row in free.breaks}
    assert len(said(free)) == len(set(said(free)))


def test_from_both_feet_the_foot_is_written() -> None:
    """A row from both feet says which foot goes first, for without that it would be a choice."""
    found = find_breaks("line", beats=4, start="both feet, front", end="left foot, front", limit=10)
    assert found.breaks and all("right foot" in text or "left foot" in text for text in said(found))


def test_both_feet_at_the_end() -> None:
    """A row may end with the weight on both feet where the book has a figure for that."""
    found = find_breaks("line", beats=2, start="right foot, front", end="both feet, front", limit=3)
    assert {Weight.BOTH} == {row.end.weight for row in found.breaks}


def test_lengths_are_exact_fractions_too() -> None:
    """Half beats and triplets are lengths like others; what is finer than a twelfth is refused."""
    assert find_breaks(beats=Fraction(15, 2)).reason
    assert said(find_breaks(beats=Fraction(8))) == said(find_breaks(beats=8.0))
    for wrong in (0, -1, 129, Fraction(1, 24), float("nan"), float("inf")):
        with pytest.raises(SearchError):
            find_breaks(beats=wrong)


def test_128_beats_are_found() -> None:
    """The longest row that can be asked for is found."""
    assert {Fraction(128)} == {row.beats for row in find_breaks(beats=128, end="right foot, back", limit=10).breaks}


def test_what_is_asked_must_make_sense() -> None:
    """Unknown figures, levels, limits and books are refused with a word on what would do."""
    with pytest.raises(SearchError, match="did you mean Triple"):
        find_breaks(beats=8, wanted=["Tripel"])
    with pytest.raises(SearchError, match="the levels of the figures are basic, easy"):
        find_breaks(beats=8, level="wizard")
    for wrong in ({"limit": 0}, {"most_in_a_row": 0}, {"most_turn": -1}):
        with pytest.raises(SearchError):
            find_breaks(beats=8, **wrong)


@pytest.mark.parametrize(
    ("asked", "reason"),
    [
        ({"beats": Fraction(1, 2)}, "no row of figures lasts exactly 1/2 beat: the shortest figure takes 1 beat"),
        ({"beats": Fraction(5, 2)}, "no row of figures lasts exactly 2 1/2 beats: every figure takes whole beats"),
        (
            {"beats": 1, "end": "both feet"},
            "no row of 1 beat that begins with the left foot free, facing front ends with the weight on both feet: "
            "after exactly 1 beat the left foot is free or the right foot is free",
        ),
        (
            {"beats": 2, "end": "left foot, back", "level": "basic"},
            "no row of 2 beats that begins with the left foot free, facing front keeps to the level basic and ends "
            "facing back: after 2 beats one can only face front; it can be done in 4 beats",
        ),
        (
            {"beats": 4, "wanted": ["Cowboy"]},
            "no row of 4 beats that begins with the left foot free, facing front holds Cowboy: "
            "Cowboy alone takes 8 beats; it can be done in 8 beats",
        ),
        (
            {"beats": 8, "end": "back", "most_turn": 0},
            "no row of 8 beats that begins with the left foot free, facing front has no turn and ends facing back: "
            "after 8 beats one can only face front",
        ),
    ],
)
def test_why_there_is_none(asked: dict[str, object], reason: str) -> None:
    """Where no row exists the answer names the least set of conditions that cannot hold together, in dance words."""
    found = find_breaks("clogging", **asked)  # type: ignore[arg-type]
    assert ((), reason) == (found.breaks, found.reason)


def test_parity_of_feet_is_a_reason() -> None:
    """With figures that all change the foot, only one foot can be free after so many of them."""
    book = books.load("clogging")
    others = [one.name for one in book.figures() if one.name != "Basic"]
    found = find_breaks(book, beats=4, end="right foot, front", unwanted=[*others])
    assert "ends with the right foot free" in found.reason
    assert "without" in found.reason


@pytest.mark.parametrize("name", ["clogging", "line"])
def test_every_figure_can_stand_on_a_line(name: str) -> None:
    """Whatever the book calls a figure, the line that names it is read as that figure."""
    from stepcheck import loads

    found = repertoire(books.load(name).figures())
    for way in dict.fromkeys(way for ways in found.ways.values() for way in ways):
        foot = "right" if way.placed.lead is not None and way.placed.lead == 1 else "left"
        text = f"book: {name}\nlead: {foot}\ndance:\n  {lines((way.placed,))[0]}\n"
        routine = loads(text)
        assert routine.program is not None, text
        steps = [item for item in routine.program.dance if hasattr(item, "figure")]
        assert [way.placed.figure] == [item.figure for item in steps]


SHEET = """routine: Gap
book: clogging
level: easy, club scheme
lead: left

part A: 32 beats, left foot to left foot
  Triple x2
  Rocking Chair
  Fancy Double
  Basic x4
  Cowboy

part B: 16 beats
  Cowboy
  Triple x2

dance:
  A
  B
"""


def test_a_few_figures_that_the_class_knows_come_first() -> None:
    """Eight beats after a figure of eight are two to four others of the routine, not that figure again."""
    routine = pipeline.loads(SHEET)
    for row in break_after(routine, "A", beats=8).breaks:
        names = [one.name for one in row.figures]
        assert 2 <= len(names) <= 4 and "Cowboy" not in names
        assert {*names} <= {"Triple", "Rocking Chair", "Fancy Double", "Basic"}


def test_the_offers_differ_in_kind() -> None:
    """The first three rows have no figure in common."""
    rows = [
        {one.name for one in row.figures} for row in break_after(pipeline.loads(SHEET), "A", beats=8, limit=3).breaks
    ]
    assert sum(map(len, rows)) == len(set().union(*rows))


def test_a_shorter_row_is_one_figure_where_one_is_known() -> None:
    """Below eight beats the fewest figures come first."""
    assert 1 == len(break_after(pipeline.loads(SHEET), "A", beats=4, limit=1).breaks[0].figures)


def test_the_number_of_figures_is_what_was_asked() -> None:
    """`steps` holds for each row, and none is found where no row has as many."""
    rows = find_breaks("clogging", beats=8, steps="3-4", limit=30).breaks
    assert {3, 4} >= {len(row.figures) for row in rows} and 30 == len(rows)
    assert {1} == {len(row.figures) for row in break_after(pipeline.loads(SHEET), "A", beats=8, steps=(1, 1)).breaks}
    assert not find_breaks("clogging", beats=1, steps="9").breaks


@pytest.mark.parametrize("steps", ["x", "4-2", "0", "1-2-3", (2, 1)])
def test_a_number_of_figures_that_is_none_is_refused(steps: str | tuple[int, int]) -> None:
    """What is no two numbers, the lesser first, is said to be none."""
    with pytest.raises(SearchError, match="is no number of figures; write 3, or 2-4"):
        steps_of(steps)
