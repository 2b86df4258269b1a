"""Blanks: every kind of them, several at once, and what is said where more than one filling or none fits."""

from pathlib import Path

import pytest

from stepcheck import load, loads
from stepcheck.breaks.blanks import blanks
from stepcheck.breaks.fill import Filled, fill
from stepcheck.breaks.material import material
from stepcheck.breaks.puzzle import Puzzle
from stepcheck.breaks.settling import settling
from stepcheck.breaks.states import SearchError
from stepcheck.model.dance import Foot
from stepcheck.model.outcome import Verdict

UNFINISHED = Path(__file__).parents[3] / "specs" / "unfinished"
HEAD = "book: clogging\nlevel: easy, club scheme\nlead: left\n"


def solved(text: str, **options: object) -> Filled:
    """Return what fits the blanks of a sheet."""
    return fill(loads(HEAD + text), **options)  # type: ignore[arg-type]


def said(found: Filled) -> list[list[str]]:
    """Return the fillings of each way as text."""
    return [[one.text for one in way.fillings] for way in found.fills]


def test_a_turn() -> None:
    """`turn ?` becomes the only turn with which the part turns as its heading says."""
    found = solved("part A: 8 beats, 1/4 turn left\n  Triple\n  Push-off, turn ?\ndance:\n  A\n")
    assert ([["turn 1/4 left"]], True, -2) == (said(found), found.unique, found.fills[0].fillings[0].value)


def test_a_turn_keeps_its_times_and_its_count() -> None:
    """What is written behind the blank, on which times and on which count, stays there."""
    found = solved("part A: 16 beats, 1/2 turn right\n  Push-off x4, turn ? on 2nd, 4th\ndance:\n  A\n")
    assert [["turn 1/4 right on 2nd, 4th"]] == said(found)
    assert "  Push-off x4, turn 1/4 right on 2nd, 4th\n" in found.fills[0].text


def test_how_often_a_figure() -> None:
    """`x?` becomes the number that fills the part; once is written without a number."""
    found = solved("part A: 12 beats\n  Triple\n  Basic x?\npart B: 6 beats\n  Triple\n  Basic x?\ndance:\n  A\n  B\n")
    assert ([["x4", "once"]], True) == (said(found), found.unique)
    assert "  Basic\n" in found.fills[0].text


def test_how_often_a_block() -> None:
    """`? times:` becomes the number of times that fills the part."""
    found = solved("part A: 32 beats\n  ? times:\n    Triple\n    Rocking Chair\ndance:\n  A\n")
    assert ([["4 times"]], True) == (said(found), found.unique)


def test_a_foot() -> None:
    """`? foot` becomes the foot that is free there."""
    found = solved("part A: 8 beats\n  Triple, ? foot\n  Triple, ? foot\ndance:\n  A\n")
    assert ([["left foot", "right foot"]], True) == (said(found), found.unique)
    assert [Foot.LEFT, Foot.RIGHT] == [one.value for one in found.fills[0].fillings]


def test_whole_beats() -> None:
    """`? 8 beats` becomes rows of figures in the order of breaks; that they all do the same is said apart."""
    found = solved("part A: 8 beats, no turn, left foot to left foot\n  ? 8 beats   # what here?\ndance:\n  A\n")
    assert [["Cowboy"], ["Triple x2"], ["Triple / Vine"]] == said(found)
    assert (False, True) == (found.unique, found.unique_effect)
    assert "  Cowboy      # what here?\n" in found.fills[0].text


def test_a_row_of_several_lines_keeps_the_margin() -> None:
    """A row of several figures takes several lines at the margin of the blank."""
    found = solved("part A: 7 beats, no turn\n  2 times:\n    ? 3 1/2 beats\ndance:\n  A\n")
    assert "every figure takes whole beats" in found.reason
    again = solved("part A: 14 beats, no turn\n  2 times:\n    ? 7 beats (here)\ndance:\n  A\n")
    lines = again.fills[0].text.split("\n")
    place = next(number for number, line in enumerate(lines) if line.endswith("(here)"))
    assert all(line.startswith("    ") for line in lines[place : place + 2])


def test_known_figures_come_first_in_a_row() -> None:
    """Of rows that are as short, those of figures that the routine dances come before others."""
    found = solved(
        "part A: 8 beats, no turn, left foot to left foot\n  ? 4 beats\n  Stomp Double\n  # so\ndance:\n  A\n"
    )
    assert ["Stomp Double"] == said(found)[0]


def test_the_level_of_the_header_holds_for_rows() -> None:
    """Rows keep to the level of the header, unless another one is asked for."""
    text = "part A: 8 beats, no turn, left foot to left foot\n  ? 8 beats\ndance:\n  A\n"
    assert not [one for way in solved(text, limit=50).fills for one in way.fillings if "Samantha" in one.text]
    assert [one for way in solved(text, limit=50, level="any").fills for one in way.fillings if "Samantha" in one.text]
    with pytest.raises(SearchError):
        solved(text, level="nonesuch")


def test_a_sheet_s_own_figures_can_fill_it() -> None:
    """Figures that the sheet defines are among those that it can be filled with."""
    own = "figures:\n  Mill Wheel, 8 beats: DS DS RS RS DS DS RS RS\n\n"
    found = solved(own + "part A: 8 beats, no turn\n  ? 8 beats\ndance:\n  A\n")
    assert ["Mill Wheel"] in said(found)


def test_one_blank_is_one_unknown_wherever_it_comes() -> None:
    """A part that is danced twice has the same filling both times."""
    found = solved("part A: 8 beats\n  Triple\n  Push-off, turn ?\ndance:\n  A x2\n  expect facing back\n", limit=9)
    assert [["turn 1/4 right"], ["turn 1/4 left"], ["turn 3/4 right"], ["turn 3/4 left"]] == said(found)
    assert (False, False) == (found.unique, found.unique_effect)


def test_what_would_settle_it() -> None:
    """Where several fit, a claim is named that would leave one of them, and does."""
    text = "part A: 8 beats\n  Triple\n  Push-off, turn ?\ndance:\n  A x2\n  expect facing back\n"
    found = solved(text)
    assert "1/4 turn right in the heading of A, line 4" == found.settled_by
    again = solved(text.replace("8 beats\n", "8 beats, 1/4 turn right\n", 1))
    assert ([["turn 1/4 right"]], True) == (said(again), again.unique)


def test_it_must_hold_for_every_variation() -> None:
    """A filling holds whichever alternative the dancers pick."""
    found = solved(
        "part A: 16 beats, no turn\n  Triple x2, turn 1/4 left | Triple, turn 1/4 right | Vine\n  Triple\ndance:\n  A\n"
    )
    assert "the sheet has no blank" == found.reason
    fits = solved(
        "part A: 12 beats, no turn\n  Vine, turn 1/4 left | Triple, turn ?\n  Push-off, turn ?\n  Triple\ndance:\n  A\n"
    )
    assert ["turn 1/4 left", "turn 1/4 right"] in said(fits)
    assert all(way[0] == "turn 1/4 left" for way in said(fits))


def test_it_must_hold_for_every_reading() -> None:
    """With the words left open, no row hangs on how one of them is read."""
    text = HEAD + "part A: 9 beats, left foot to right foot\n  ? 1 beat\n  Triple x2\ndance:\n  A\n"
    open_words = fill(loads(text, readings="all"), limit=40)
    usual = fill(loads(text), limit=40)
    assert ["Stomp"] in said(usual)
    assert ["Stomp"] not in said(open_words)
    assert open_words.fills


def test_the_demo_sheets() -> None:
    """The unfinished sheets of the specification come out as their teachers would fill them."""
    tarp = fill(load(UNFINISHED / "rain_on_the_tarp.routine"))
    assert (True, [["turn 1/2 left", "x4", "turn 1/2 left"]]) == (tarp.unique, said(tarp))
    ticket = fill(load(UNFINISHED / "old_ferry_ticket.routine"))
    assert (True, [["left foot", "2 times", "turn 1/4 right"]]) == (ticket.unique, said(ticket))
    pier = fill(load(UNFINISHED / "lantern_pier.routine"))
    assert (["Cowboy"], False) == (said(pier)[0], pier.unique)


def test_every_filling_is_proved_by_both_engines() -> None:
    """What is shown has been decided by both engines, and nothing in it is left undecided."""
    found = fill(load(UNFINISHED / "gap_in_the_fence.routine"))
    assert {("both", Verdict.PROVED)} == {(one.report.engine, one.report.verdict) for one in found.fills}


def test_filling_twice_changes_nothing() -> None:
    """A sheet that has been filled has no blank left."""
    found = fill(load(UNFINISHED / "two_smudges.routine"))
    again = fill(loads(found.fills[0].text))
    assert ((), "the sheet has no blank") == (again.fills, again.reason)


def test_the_diff_shows_only_what_changes() -> None:
    """The unified diff has one line out and one in for each blank, and the comment stays in its column."""
    found = fill(load(UNFINISHED / "lantern_pier.routine"), limit=1)
    lines = [line for line in found.fills[0].diff.split("\n")[2:] if line[:1] in "+-" and line]
    assert 2 == len(lines)
    assert lines[0].index("#") == lines[1].index("#")


def test_where_nothing_fits_the_blank_is_named() -> None:
    """The answer names the blank that stays empty, and for a row what the sheet wants of it."""
    found = solved("part A: 8 beats, 1/8 turn left, left foot to left foot\n  ? 8 beats\ndance:\n  A\n")
    assert found.fills == ()
    assert "no row of figures fits ? 8 beats on line 5" in found.reason
    assert "1/8 turn left" in found.reason
    odd = solved("part A: 9 beats\n  Basic x?\ndance:\n  A\n")
    assert "no number of times fits x? on line 5" in odd.reason


def test_a_mistake_elsewhere_is_said_first() -> None:
    """What is wrong whatever fills the blanks is to be mended first."""
    found = solved(
        "part A: 8 beats\n  Triple\n  Triple\n  expect right foot\npart B: 8 beats\n  Basic x?\ndance:\n  A\n  B\n"
    )
    assert found.reason == "line 7: 'right foot' fails whatever is put in the blanks; mend that first"
    broken = solved("part A: 8 beats\n  Tripel\n  Basic x?\ndance:\n  A\n")
    assert "line 5: there is no figure or part 'Tripel'" in broken.reason


def test_the_budget_is_said() -> None:
    """Where the budget is spent the answer says that not everything was tried."""
    found = solved("part A: 32 beats\n  Basic x?\n  Push-off, turn ?\n  Basic x?\ndance:\n  A\n", budget=30)
    assert not found.complete


def test_blanks_are_found_in_order() -> None:
    """Every kind of blank is found, with its place in the line."""
    routine = loads(HEAD + "part A:\n  ? 8 beats\n  ? times:\n    Basic x?, turn ?, ? foot\ndance:\n  Triple x?\n  A\n")
    texts = [one.text for one in blanks(routine.sheet)]
    assert ["? 8 beats", "? times", "x?", "turn ?", "? foot", "x?"] == texts


def test_the_number_asked_for_makes_sense() -> None:
    """At least one way is asked for."""
    with pytest.raises(SearchError):
        solved("part A: 8 beats\n  Basic x?\ndance:\n  A\n", limit=0)


GATE = "figures:\n  Gate, 1 beat, turn 1/4 right: S\n\n"
SWAPPED = GATE + "part A: 3 beats, 1/4 turn right, left foot to right foot\n  ? 3 beats\ndance:\n  A\n  A, {}\n"


def test_a_row_is_mirrored_with_its_part() -> None:
    """A turn that is written on a row goes the other way in a mirrored pass, where the other foot leads."""
    found = solved(
        "part A: 8 beats, 1/4 turn right, left foot to right foot\n  ? 8 beats\ndance:\n  A\n  A, mirrored\n"
    )
    assert ["Triple / Rocking Chair, turn 1/4 right"] == said(found)[0]
    assert (False, True) == (found.unique, found.unique_effect)


def test_a_row_may_do_something_else_on_the_opposite_foot() -> None:
    """Turns of figures go with the foot that leads, and written ones stay: each pass gets what it needs of the row."""
    text = SWAPPED.format("opposite foot")
    home, back = (solved(f"{text}  expect facing {wall}\n", level="any") for wall in ("front", "back"))

    assert ["Gate / Kick Step"] == said(home)[0] and home.unique_effect
    assert ["Basketball Turn, turn 1/4 right / Double Toe Step"] == said(back)[0] and back.unique_effect


def test_what_differs_in_one_pass_only_is_not_the_same() -> None:
    """That whatever fits does the same is said only if it does so in every pass."""
    assert solved(SWAPPED.format("mirrored"), level="any").unique_effect
    assert not solved(SWAPPED.format("opposite foot"), level="any").unique_effect


@pytest.mark.parametrize(
    "calls,tries", [("  A\n", 20), ("  A\n  A, mirrored\n", 20), ("  A\n  Stomp Double\n  A\n", 40)]
)
def test_a_long_gap_takes_few_tries(calls: str, tries: int) -> None:
    """Rows of 64 beats are found without trying all that such rows can do."""
    found = solved(f"part A: 64 beats\n  ? 64 beats\ndance:\n{calls}", budget=tries)
    assert 3 == len(found.fills) and found.complete


def test_what_is_too_much_to_look_at_fits_no_blank(monkeypatch: pytest.MonkeyPatch) -> None:
    """A try that comes to no end has not shown that nothing fails: nothing is said to fit, nor that nothing does."""
    monkeypatch.setattr("stepcheck.walk.arrivals.BUDGET", 3)
    for blank in ("Vine, turn ?", "? 4 beats", "Basic x?"):
        found = solved(f"part A: 8 beats, left foot to left foot\n  {blank}\n  Triple\ndance:\n  A\n  A\n")
        assert (False, False, ()) == (found.complete, found.unique, found.fills)
        assert "what can stand in the blanks is too much to look at" == found.reason


def test_nothing_settles_a_blank_by_what_is_not_known(monkeypatch: pytest.MonkeyPatch) -> None:
    """A claim that would leave one filling is offered where it is known to hold."""
    routine = loads(f"{HEAD}part A: 8 beats, left foot to left foot\n  Triple\n  Triple, turn ?\ndance:\n  A\n")
    found = fill(routine)
    assert found.settled_by
    monkeypatch.setattr("stepcheck.walk.arrivals.BUDGET", 3)
    puzzle = Puzzle(routine, material(routine, None), 20_000)

    assert "" == settling(puzzle, found.fills[0].text, found.fills[0].fillings)
