"""Breaks that start where a routine stands, and endings where the music stops."""

from pathlib import Path

import pytest

from stepcheck import load, loads
from stepcheck.breaks.endings import break_after, find_endings
from stepcheck.breaks.states import SearchError
from stepcheck.model.dance import Weight
from stepcheck.model.outcome import Verdict
from stepcheck.report.pipeline import check

SPECS = Path(__file__).parents[3] / "specs"
ROUND = """\
book: line
lead: right
walls: 4

part Main: 16 counts, 1/4 turn left
  Vine, right foot
  Vine, left foot, turn 1/4 left
  Jazz Box x2

dance:
  Main until the music ends
"""


def lines(found: object) -> list[str]:
    """Return each row as one text."""
    return [" / ".join(one.lines) for one in found.breaks]  # type: ignore[attr-defined]


def test_a_break_after_a_part_leads_back_to_where_it_starts() -> None:
    """The states are those that come after the part; what follows stays as it was."""
    routine = loads(
        "book: clogging\npart A: 8 beats\n  Triple\n  Push-off, turn 1/4 right\npart B:\n  Triple\ndance:\n  A\n  B\n"
    )
    found = break_after(routine, "A", beats=8)
    assert {("left foot, right wall", "left foot, right wall")} == {
        (str(one.start), str(one.end)) for one in found.breaks
    }


def test_put_into_the_sheet_it_changes_nothing_that_follows() -> None:
    """The rows, written under the part, leave every other claim of the routine proved."""
    path = SPECS / "routines" / "ferry_lights.routine"
    text = path.read_text(encoding="utf-8")
    place = "  Rock Step                       # a tag: a figure may stand in the dance itself\n"
    assert place in text
    number = text[: text.index(place)].count("\n") + 1
    for one in break_after(load(path), number, beats=4, limit=3).breaks:
        after = text.replace(place, place + "".join(f"  {line}\n" for line in one.lines))
        assert Verdict.PROVED is check(loads(after), engine="walk").verdict


def test_every_state_that_comes_there_is_served() -> None:
    """After a part that comes with several walls, one row has to fit them all."""
    found = break_after(loads(ROUND), "Main", beats=8)
    assert {4} == {len(one.starts) for one in found.breaks}
    assert all(one.starts == one.ends for one in found.breaks)
    none = break_after(loads(ROUND), "Main", beats=8, end="front")
    assert "no one row leads there from all of these" in none.reason


def test_the_figures_of_the_routine_are_known() -> None:
    """Of rows that are as short, those of figures that the routine dances come first."""
    found = break_after(loads(ROUND), "Main", beats=4, limit=1)
    assert ["Jazz Box"] == lines(found)


def test_what_never_comes_is_refused() -> None:
    """A part that is never danced, or a sheet with mistakes in the writing, has no break."""
    for place, said in (
        ("Nonesuch", "there is no part 'Nonesuch'; there is Main"),
        ("Mian", r"there is no part 'Mian'; did you mean Main\?"),
        (4711, "line 4711 is never danced"),
    ):
        with pytest.raises(SearchError, match=said):
            break_after(loads(ROUND), place, beats=4)
    with pytest.raises(SearchError, match="mistakes in the writing"):
        break_after(loads("book: line\ndance:\n  Nonesuch\n"), "A", beats=4)


def test_what_waits_on_a_blank_is_refused() -> None:
    """After a blank that leaves the state open no break can be found yet."""
    routine = loads("book: clogging\npart A:\n  ? 8 beats\ndance:\n  A\n")
    with pytest.raises(SearchError, match="waits on a blank"):
        break_after(routine, "A", beats=4)


def test_an_ending_is_the_shortest_that_gets_home() -> None:
    """The music stops in the ninth pass after 16 counts at 9:00: the shortest ending is home on the last beat."""
    routine = load(SPECS / "routines" / "ferry_lights.routine")
    found = find_endings(routine, passes=9, counts=16, facing="9:00")
    assert ("Main, first 14 counts",) == found.before
    assert {2} == {one.beats for one in found.breaks}
    assert {0} == {one.end.facing for one in found.breaks}
    both = find_endings(routine, passes=9, counts=16, facing="9:00", both_feet=True)
    assert {(Weight.BOTH, 0)} == {(one.end.weight, one.end.facing) for one in both.breaks}


def test_an_ending_written_down_is_proved() -> None:
    """The pass cut short with the ending after it is at the front on the last beat, as a sheet that claims so shows."""
    for stop in (4, 8, 11, 16):
        found = find_endings(loads(ROUND), passes=2, counts=stop, limit=2)
        for one in found.breaks:
            rows = "".join(f"  {line}\n" for line in (*found.before, *one.lines))
            text = ROUND.replace("walls: 4\n", "").replace(
                "  Main until the music ends\n", f"  Main\n{rows}  expect facing front\n"
            )
            text = text.replace("dance:\n", f"dance: {16 + stop} counts\n")
            assert Verdict.PROVED is check(loads(text), engine="walk").verdict, text


def test_nothing_is_to_be_added_where_it_ends_well() -> None:
    """Where the music stops at the front the ending is empty."""
    found = find_endings(loads(ROUND), passes=1, counts=4)
    assert (("Main, first 4 counts",), [""]) == (found.before, lines(found))


def test_the_length_of_an_ending_can_be_asked_for() -> None:
    """With a length every ending has it."""
    assert {4} == {one.beats for one in find_endings(loads(ROUND), passes=2, counts=16, beats=4).breaks}


def test_why_there_is_no_ending() -> None:
    """Where none fits before the music stops, the reason says what can be reached."""
    found = find_endings(loads(ROUND), passes=1, counts=1, facing="back")
    assert "no ending of up to 1 beat: no row of 1 beat" in found.reason


def test_passes_and_counts_must_exist() -> None:
    """There is no count beyond the end of the part, no pass beyond the last, and a wall is a wall."""
    with pytest.raises(SearchError, match="has no 17 counts"):
        find_endings(loads(ROUND), passes=1, counts=17)
    with pytest.raises(SearchError, match="is danced only 2 times"):
        find_endings(loads(ROUND.replace("until the music ends", "x2")), passes=3, counts=4)
    with pytest.raises(SearchError, match="no foot and no wall"):
        find_endings(loads(ROUND), passes=1, counts=4, facing="up")
    two = loads("book: line\npart A:\n  Vine\npart B:\n  Vine\ndance:\n  A\n  B\n")
    with pytest.raises(SearchError, match="say which part the music stops in: A, B"):
        find_endings(two, passes=1, counts=2)


def test_no_break_is_found_for_what_nobody_has_looked_through(monkeypatch: pytest.MonkeyPatch) -> None:
    """A break has to serve all who come there; where the walk did not reach them all, that is said instead."""
    text = (
        "book: line\nlead: right\npart A: 4 counts\n  Vine\npart B:\n  Vine, turn 1/4 left\ndance:\n  A\n  B x9\n  A\n"
    )
    assert break_after(loads(text), "A", beats=4).breaks
    assert find_endings(loads(ROUND), passes=4, counts=8).breaks
    monkeypatch.setattr("stepcheck.walk.arrivals.BUDGET", 3)

    with pytest.raises(SearchError, match="too much to look at"):
        break_after(loads(text), "A", beats=4)
    with pytest.raises(SearchError, match="too much to look at"):
        find_endings(loads(ROUND), passes=4, counts=8)
