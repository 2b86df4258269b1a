"""Single changes that are tried one by one, each list of them worked out by hand."""

import pytest

from stepcheck.breaks.material import material
from stepcheck.fixes.protected import Trials
from stepcheck.fixes.singles import otherwise, singles
from stepcheck.language.alterations import changed
from stepcheck.language.edits import ChangeMovement, ChangeTimes, ChangeTurn, Exchange, ReplacePart
from stepcheck.language.parser import parse_line
from stepcheck.language.printer import print_node
from stepcheck.report import pipeline

HEAD = "book: clogging\nlead: left\n"


@pytest.mark.parametrize(("times", "others"), [(2, [1, 3, 4]), (3, [1, 2, 4, 5, 6]), (5, [1, 2, 3, 4, 6, 7, 8, 9, 10])])
def test_a_row_is_danced_up_to_twice_as_often(times: int, others: list[int]) -> None:
    """And four times at least."""
    sheet = pipeline.loads(f"{HEAD}part A:\n  Triple x{times}\ndance:\n  A\n").sheet
    assert others == [one.times for one in otherwise(sheet, "A", (), ()) if isinstance(one, ChangeTimes)]


def test_a_pass_may_be_of_each_other_part() -> None:
    """Of those before it in the sheet, and those behind it."""
    parts = "".join(f"part {name}:\n  Triple\n" for name in "ACB")
    found = otherwise(pipeline.loads(f"{HEAD}{parts}dance:\n  B\n").sheet, "", (), ())
    assert {"A", "C"} == {one.name for one in found if isinstance(one, ReplacePart)}


def found(text: str) -> list[object]:
    """Return the single changes of a sheet."""
    routine = pipeline.loads(HEAD + text)
    return [*singles(Trials(routine), material(routine), frozenset(), frozenset())]


def test_a_figure_of_the_sheet_turns_as_far_to_either_side() -> None:
    """Up to once around, in eighths."""
    made = found("figures:\n  Weir Drop, 4 beats, 1/4 right: DS DS DS RS\npart A:\n  Weir Drop\ndance:\n  A\n")
    assert [*range(-8, 9)] == [one.turn for one in made if isinstance(one, ChangeTurn)]


@pytest.mark.parametrize(
    ("beats", "row", "others"),
    [
        (3, "DS DS", {"DS DS DS"}),
        (3, "DS RS", {"DS DS RS", "DS RS RS", "RS DS RS", "DS RS DS"}),
        (2, "DS DS RS", {"DS RS", "DS DS"}),
        (4, "DS DS", set()),
        (3, "DS DS RS", set()),
    ],
)
def test_a_figure_of_another_length_takes_a_movement_more_or_less(beats: int, row: str, others: set[str]) -> None:
    """Of its own movements, once each, at every place; none where it lasts as stated, or one is not enough. One in the
    place of another as long changes no length."""
    made = found(f"figures:\n  Weir Drop, {beats} beats: {row}\npart A:\n  Weir Drop\ndance:\n  A\n")
    node = parse_line(f"Weir Drop: {row}", "figures")
    rows = [print_node(changed(one, node)).partition(": ")[2] for one in made if isinstance(one, ChangeMovement)]
    longer = [one for one in rows if len(one.split()) != len(row.split())]
    assert others == {*longer}
    assert len(longer) == len(others)


@pytest.mark.parametrize(
    ("text", "pairs"),
    [
        ("part A:\n  Triple\n  Basic\n  Cowboy\ndance:\n  A\n", {(4, 5), (5, 6)}),
        ("part A:\n  Triple\n  Triple\n  Basic\ndance:\n  A\n", {(5, 6)}),
        ("part A:\n  Triple\npart B:\n  Basic x2\ndance:\n  A, first 2 beats\n  B\n  A\n", {(8, 9), (9, 10), (8, 10)}),
        (
            "music:\n  verse 4\n  chorus 4\n  verse 4\npart A:\n  Triple\npart B:\n  Basic x2\n"
            "dance:\n  verse: A\n  chorus: A\n  verse: B\n",
            {(13, 14), (12, 14)},
        ),
    ],
)
def test_rows_change_places(text: str, pairs: set[tuple[int, int]]) -> None:
    """Those side by side that are not alike, and two passes of a part that is cut in one of them, or to
    sections of one name, however far apart."""
    assert pairs == {(one.line, one.other) for one in found(text) if isinstance(one, Exchange)}


@pytest.mark.parametrize(
    ("beats", "rows", "often"),
    [
        (16, "  Triple x2", {(4, 4)}),
        (28, "  Basic x7", {(4, 14)}),
        (30, "  Basic x7", set()),
        (16, "  Basic", {(4, 8)}),
        (18, "  Basic", set()),
        (4, "  Triple x2", {(4, 1)}),
        (8, "  Triple x2", set()),
    ],
)
def test_a_part_of_another_length_has_its_figures_more_often(
    beats: int, rows: str, often: set[tuple[int, int]]
) -> None:
    """As often as makes up what is stated, up to eight times, or twice as often as they stand there."""
    made = found(f"part A: {beats} beats\n{rows}\ndance:\n  A\n")
    assert often == {(one.line, one.times) for one in made if isinstance(one, ChangeTimes)}
