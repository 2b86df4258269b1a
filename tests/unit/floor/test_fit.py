"""A dance laid out anew: over songs, to lengths, with restarts and tags; against brute force and CP-SAT."""

import random
from collections.abc import Iterator
from fractions import Fraction as F
from pathlib import Path

import pytest

import stepcheck as sc
from stepcheck.floor.better import better
from stepcheck.floor.fit import Fitted, fit
from stepcheck.floor.layouts import Cost, Layouts, Place, Step, Task
from stepcheck.floor.moves import lands, sequence, ticks_of, written
from stepcheck.model.dance import EIGHTHS, TICKS, Weight, key
from stepcheck.model.source import SearchError
from stepcheck.music.strains import Section

HEAD = "routine: Sluice Gate\nbook: clogging\nBasic: with double toe\n"
PARTS = """
part Verse: 16 beats
  Triple x3
  Basic x2

part Chorus: 12 beats, left foot to right foot
  Triple x3

part Turn: 8 beats, front to back
  Triple, turn 1/2 left
  Basic x2

"""
LINE = """routine: Barge Steps
book: line
lead: right

part Main: 16 counts
  Vine x2
  Shuffle x4

dance:
  Main until the music ends
"""


def sheet(dance: str, head: str = HEAD, parts: str = PARTS) -> sc.Routine:
    """Return a routine with this dance."""
    return sc.loads(f"{head}{parts}dance:\n{dance}")


def lines(found: Fitted) -> list[str]:
    """Return the dance of an answer that is proved."""
    assert "" == found.reason
    assert found.report is not None and found.report.exit_status == 0, str(found.report)
    return list(found.lines)


def test_sections_are_filled_with_the_parts_of_their_names() -> None:
    """A section with the name of a part, or of a label of the dance, is filled with it, and repeated if it fits."""
    routine = sheet("  Verse\n  Turn x2\n")
    assert ["verse: Verse x2", "turn: Turn x2", "verse: Verse"] == lines(
        fit(routine, music="verse 32, turn 16, verse 16")
    )
    labelled = sc.loads(f"{HEAD}\nmusic:\n  a 16\n  b 16\n{PARTS}dance:\n  a: Verse\n  b: Turn x2\n")
    assert ["b: Turn x2", "a: Verse", "b: Turn x2"] == lines(fit(labelled, music="b 16, a 16, b 16"))


def test_without_such_names_the_order_of_the_dance_holds() -> None:
    """Lines follow each other as in the sheet, and begin again behind the last one."""
    found = fit(sheet("  Verse\n  Turn x2\n"), music=[("A", 16), ("A", 16), ("B", 16), ("B", 16)])
    assert ["A: Verse", "A: Turn x2", "B: Verse", "B: Turn x2"] == lines(found)
    assert (0, 0, ()) == (found.restarts, found.moved, found.breaks)


def test_what_the_sheet_expects_holds_in_the_layout() -> None:
    """The wall at the end, and what is expected behind a line, decide between layouts."""
    free = fit(sheet("  Verse\n  Turn\n"), music="a 40")
    assert ["Verse", "Turn", "Verse"] == lines(free)
    home = fit(sheet("  Verse\n  Turn\n  expect facing front\n"), music="a 40")
    assert "expect facing front" == lines(home)[-1]
    assert 0 == lines(home).count("Turn") % 2
    behind = fit(sheet("  Turn\n  expect facing back\n  Verse\n"), music="a 16, b 16")
    assert lines(behind)


def test_a_break_fills_what_no_part_fills() -> None:
    """An irregular section gets one break, as short as can be, which lands where the dance goes on."""
    found = fit(sheet("  Verse\n"), music="verse 16, verse 18")
    assert ["verse: Verse", "verse:", "Verse"] == lines(found)[:3]
    assert ([F(2)], 0) == ([one.beats for one in found.breaks], found.restarts)
    assert ["beat 17 of verse, section 2: a break of 2 beats: Basic"] == list(found.places)
    assert "unsat" == found.confirmed
    assert "The second engine confirms it" in found.statement


def test_a_restart_comes_before_a_break() -> None:
    """A repeated dance restarts where four counts more or less are wanted, and takes a tag where that is not enough."""
    restarted = fit(sc.loads(LINE), music="verse 32, chorus 40")
    assert (0, 1) == (len(restarted.breaks), restarted.restarts)
    assert "Main, first 8 counts" in lines(restarted)
    tagged = fit(sc.loads(LINE), music="verse 34")
    assert ([F(2)], 0) == ([one.beats for one in tagged.breaks], tagged.restarts)
    assert 2 == sum(line.startswith("Main") + line.endswith("x2") for line in lines(tagged) if line.startswith("Main"))


def test_a_section_that_cannot_be_filled_is_named() -> None:
    """A strain that lasts half a beat too long is named, with how long the lines are."""
    found = fit(sheet("  Verse\n"), music=[("A", 16), ("B", F(33, 2))])
    assert "the section B (number 2, 16 1/2 beats) cannot be filled: the lines of the dance last" in found.reason
    assert (None, "") == (found.report, found.text)


def test_a_dance_is_cut_by_leaving_out_repeats_first() -> None:
    """Only lines are left out; a part that comes again goes before one that comes once, in one stretch if it can be."""
    routine = sheet("  Verse\n  Turn x2\n  Verse\n  Turn x2\n  Verse\n")
    found = fit(routine, beats=48)
    assert ["Verse", "Turn x2", "Verse"] == lines(found)
    assert "dance: 48 beats" in found.text
    assert ["Verse", "Turn x2"] == lines(fit(routine, beats=32))


def test_a_dance_is_cut_to_fewer_beats_than_a_break_can_have() -> None:
    """The second engine is asked of no break that is longer than the whole dance."""
    routine = sheet("  Verse x2\n  Turn\n", HEAD)

    assert "unsat" == fit(routine, beats=7).confirmed


def test_a_dance_is_cut_to_a_track() -> None:
    """At the tempo of the sheet, the wait counted, it is the longest dance by whole lines that ends in time."""
    routine = sheet("  Verse x4\n", HEAD + "tempo: 120\nwait: 16 beats\n")
    found = fit(routine, length="30s")
    assert (F(32), ["Verse x2"]) == (found.beats, lines(found))
    assert found.lines == fit(routine, length="0:30").lines == fit(routine, length=30).lines
    with pytest.raises(SearchError, match="tempo"):
        fit(sheet("  Verse\n"), length="30s")
    with pytest.raises(SearchError, match="is no time"):
        fit(routine, length="soon")


def test_times_of_a_part_are_told_apart() -> None:
    """A part that is longer the second time fills a longer second verse."""
    parts = "\npart Verse: 8 beats, 2nd time 16 beats\n  Triple x2\n  2nd time only:\n    Triple x2\n\n"
    routine = sheet("  Verse\n", HEAD, parts)
    assert ["verse: Verse"] * 3 == lines(fit(routine, music="verse 8, verse 16, verse 8"))


def test_dancers_who_part_company_all_land() -> None:
    """A variation leaves dancers on both walls or feet; what follows has to fit all of them."""
    parts = "\npart Verse: 8 beats\n  Triple x2 | Basic x4\n\npart Odd: 4 beats, left foot\n  Triple\n\n"
    found = fit(sheet("  Verse\n  Odd\n", HEAD, parts), music="a 12")
    assert ["Verse", "Odd"] == lines(found)


def test_what_is_there_already_is_left() -> None:
    """A dance that fills its own song comes out as it is, without a change."""
    text = f"{HEAD}\nmusic:\n  verse 16\n  verse 16\n{PARTS}dance:\n  verse: Verse\n  verse: Verse\n"
    found = fit(sc.loads(text))
    assert ("", text) == (found.diff, found.text)


def test_the_song_of_a_file_is_named_if_it_lies_beside_the_sheet(tmp_path: Path) -> None:
    """Else its sections are written down; an old list of sections goes either way."""
    pytest.importorskip("music21", reason="songs are read with music21: pip install 'stepcheck[music]'")
    song = tmp_path / "weir.abc"
    song.write_text("X:1\nM:2/4\nL:1/8\nK:D\n" + 4 * "d4|d4|" + "|\n" + 4 * "d4|d4|" + "]\n")
    path = tmp_path / "a.routine"
    path.write_text(f"{HEAD}\nmusic:\n  verse 16\n{PARTS}dance:\n  verse: Verse\n")
    beside = fit(sc.load(path), music=song)
    assert "music: weir.abc\n" in beside.text and "music:\n" not in beside.text
    assert ["A: Verse", "B: Verse"] == lines(beside)
    (tmp_path / "away").mkdir()
    (tmp_path / "away" / "b.routine").write_text(path.read_text())
    away = fit(sc.load(tmp_path / "away" / "b.routine"), music=str(song))
    assert "music:\n  A 16\n  B 16\n" in away.text
    assert beside.lines == away.lines
    path.write_text(beside.text)
    assert "" == fit(sc.load(path)).diff


@pytest.mark.parametrize(("music", "said"), [("verse", "is no section of a song"), (None, "say which song")])
def test_what_is_no_song(music: str | None, said: str) -> None:
    """Words that are neither a file nor sections are refused, and so is no song at all."""
    with pytest.raises(SearchError, match=said):
        fit(sheet("  Verse\n"), music=music)
    with pytest.raises(SearchError, match="mistakes in the writing"):
        fit(sheet("  Vers\n"), music="a 16")
    with pytest.raises(SearchError, match="groups"):
        fit(sheet("  Verse\n", f"{HEAD}groups: odd lines, even lines\n"), music="a 16")
    with pytest.raises(SearchError, match="blank"):
        fit(sheet("  ? 8 beats\n"), music="a 16")


def test_the_text_of_a_sheet_is_kept_around_the_dance() -> None:
    """Comments, notes, other sections and the layout stay; only the song and the dance are other lines."""
    text = f"# top\n{HEAD}# kept\n{PARTS}dance:\n  Verse (softly)  # slow\n\n# end\n"
    found = written(sc.loads(text), ["  Verse"], ("music:", "  a 16"))
    assert found.startswith(f"# top\n{HEAD}") and found.endswith("dance:\n  Verse\n\n# end\n")
    assert "# kept" in found and "\n\nmusic:\n  a 16\n\n" in found
    assert "Verse (softly)  # slow" in lines(fit(sc.loads(text), music="a 32"))


# -- the order of specs/fit.md, by brute force and by CP-SAT -----------------------------------------------------------

NAMES = ("verse", "chorus", "A", "B")


def problem(seed: int, beats: int) -> tuple[sc.Routine, Task]:
    """Return a random sheet of short parts, and sections that last so long together."""
    chance = random.Random(seed)
    parts = ""
    for name in ("Verse", "Chorus", "Tail")[: chance.randint(1, 3)]:
        rows = [chance.choice(("Triple", "Basic", "Triple, turn 1/2 left", "Basic x2", "DS RS")) for _ in range(3)]
        claim = chance.choice(("", ", left foot", ", front to back"))
        parts += f"\npart {name}:{claim[1:]}\n" + "".join(f"  {row}\n" for row in rows[: chance.randint(1, 3)])
    used = [name for name in ("Verse", "Chorus", "Tail") if f"part {name}:" in parts]
    dance = "".join(f"  {chance.choice(used)}\n" for _ in range(chance.randint(1, 3)))
    end = chance.choice(("", "  expect facing front\n", "  expect left foot\n"))
    sizes = [beats] if beats < 6 or chance.random() < 0.5 else [beats // 2, beats - beats // 2]
    sections = tuple(Section(chance.choice(NAMES), size * TICKS) for size in sizes)
    return sheet(dance + end, HEAD, parts + "\n"), Task(sections, cut=chance.random() < 0.3, breaks=2)


@pytest.mark.parametrize("seed", range(40))
def test_moves_do_what_the_whole_sheet_says(seed: int) -> None:
    """A sequence of lines, whole and cut, leads somewhere exactly where the check of a sheet with these lines refutes
    nothing."""
    routine, task = problem(300 + seed, 8)
    layouts = Layouts(routine, sequence(routine), task)
    chance = random.Random(seed)
    parts = {move.part: number for number, move in enumerate(layouts.moves)}
    row = [*parts.values(), *(chance.choice(list(parts.values())) for _ in range(2))]
    chance.shuffle(row)
    told, front = [], layouts.start.front
    for number in row:
        short = [move for move in layouts.cuts[number].values() if chance.random() < 0.3]
        move = short[0] if short else layouts.moves[number]
        told.append(f"  {move.text}")
        found = layouts.effects.through(layouts.effects.bodies(move)[0], front) if front else None
        front = found or ()
    made = sc.loads(written(routine, (*told, *(f"  {line}" for line in layouts.sequence.end.expected))))
    refuted = [one for one in sc.check(made, engine="walk").claims if one.verdict is sc.Verdict.REFUTED]
    assert (bool(front) and lands(layouts.sequence.end.states, front)) is (not refuted)


@pytest.mark.parametrize("beats", [1, 2, 3, 4])
def test_a_break_leads_where_some_row_of_figures_leads(beats: int) -> None:
    """The ends of breaks from either foot, and from both, are those for which a search for rows finds one."""
    routine, task = problem(300, 8)
    layouts = Layouts(routine, sequence(routine), task)
    for weight in Weight:
        here = ((weight, 0),)
        ends = [((after, facing),) for after in Weight for facing in range(EIGHTHS)]
        found = [end for end in ends if layouts.asked(here, beats * TICKS, end).found(1)]
        assert found == list(layouts.rows(here, beats * TICKS))


def every(layouts: Layouts, place: Place, cost: Cost, breaks: int) -> Iterator[Cost]:
    """Yield the cost of every layout from a place on, by trying everything."""
    if place.tick == layouts.task.total:
        if lands(layouts.sequence.end.states, place.front):
            left = range(place.last + 1, len(layouts.sequence.moves)) if layouts.task.cut else ()
            parts = [move.part or move.text for move in layouts.sequence.moves]
            lost = sum(parts.index(parts[number]) == number for number in left)
            yield cost.plus(Cost(0, 0, 0, lost, int(bool(left)), len(left)))
        return
    for more, _, after in layouts.onward(place):
        yield from every(layouts, after, cost.plus(more), breaks)
    for more, _, after in layouts.breaks(place, layouts.lengths(place)) if breaks else ():
        yield from every(layouts, after, cost.plus(more), breaks - 1)


def spent(layouts: Layouts, steps: tuple[Step, ...]) -> Cost:
    """Return what a layout costs, counted from its steps."""
    cost, place = Cost(), layouts.start
    for step in steps:
        found = [
            (more, after)
            for more, one, after in (*layouts.onward(place), *layouts.breaks(place, layouts.lengths(place)))
            if (one.number, one.cut, one.end, one.after) == (step.number, step.cut, step.end, step.after)
        ]
        more, place = found[0]
        cost = cost.plus(more)
    return cost.plus(layouts._rest(place.last))


@pytest.mark.parametrize("seed", range(30))
def test_no_layout_is_better_by_brute_force(seed: int) -> None:
    """On small cases the layout found costs what the best of all costs, one after the other; none is there where none
    is found."""
    routine, task = problem(seed, 4 + seed % 5)
    layouts = Layouts(routine, sequence(routine), task)
    found = layouts.best()
    costs = list(every(layouts, layouts.start, Cost(), task.breaks))

    assert (found is None) is (not costs)
    if found is not None:
        assert min(costs) == spent(layouts, found)


def optimum(layouts: Layouts) -> Cost | None:
    """Return the least cost of a layout by CP-SAT of ortools: a flow through the places, one piece of the cost at a
    time."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    arcs: list[tuple[Cost, object]] = []
    seen, left = {(layouts.start, 0)}, [(layouts.start, 0)]
    into: dict[object, list[object]] = {}
    out: dict[object, list[object]] = {}
    while left:
        place, breaks = left.pop()
        onward = (
            [(more, (after, breaks)) for more, _, after in layouts.onward(place)]
            if place.tick < layouts.task.total
            else []
        )
        if breaks < layouts.task.breaks:
            onward += [(more, (after, breaks + 1)) for more, _, after in layouts.breaks(place, layouts.lengths(place))]
        if place.tick == layouts.task.total and lands(layouts.sequence.end.states, place.front):
            onward.append((layouts._rest(place.last), "end"))
        for more, after in onward:
            arc = model.new_bool_var("")
            arcs.append((more, arc))
            out.setdefault((place, breaks), []).append(arc)
            into.setdefault(after, []).append(arc)
            if after != "end" and after not in seen:
                seen.add(after)
                left.append(after)
    if "end" not in into:
        return None
    for node in seen:
        model.add(sum(out.get(node, [])) == sum(into.get(node, [])) + (node == (layouts.start, 0)))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.catch_sigint_signal = False  # else Ctrl-C is dead for all that is run after it
    best: list[int] = []
    for piece in range(len(Cost._fields)):
        total = sum(more[piece] * arc for more, arc in arcs)
        model.minimize(total)
        assert cp_model.OPTIMAL == solver.solve(model)
        best.append(round(solver.objective_value))
        model.add(total == best[-1])
    return Cost(*best)


@pytest.mark.parametrize("seed", range(8))
def test_no_layout_is_better_by_cp_sat(seed: int) -> None:
    """On larger cases the layout found costs the optimum of CP-SAT (ortools), piece by piece of the written order."""
    pytest.importorskip("ortools", reason="the optimum is that of ortools: pip install 'stepcheck[test]'")
    routine, task = problem(100 + seed, 16 + 3 * seed)
    layouts = Layouts(routine, sequence(routine), Task(task.sections, task.cut, breaks=1))
    found = layouts.best()

    assert optimum(layouts) == (None if found is None else spent(layouts, found))


@pytest.mark.parametrize("seed", range(0, 12, 2))
def test_the_second_engine_finds_nothing_better(seed: int) -> None:
    """z3 says that no layout is better than the one found; of one that is not the best, it says that there may be."""
    routine, task = problem(200 + seed, 12 + seed)
    layouts = Layouts(routine, sequence(routine), task)
    found = layouts.best()
    assert found is not None
    assert "unsat" == better(layouts, found)[0]
    worse = Step(0, 12, -1, 0, False, found[0].before, found[0].before)
    assert "open" == better(layouts, (*found, worse))[0]


def test_moves_know_their_lengths() -> None:
    """A part lasts as long as it is danced, and a cut one as long as its counts."""
    routine = sheet("  Verse\n")
    layouts = Layouts(routine, sequence(routine), Task((Section("a", 192),)))
    assert [16, 12, 8] == [ticks_of(layouts.effects.bodies(move)[0]) // TICKS for move in layouts.moves]
    assert [[4, 8, 12], [4, 8], [4]] == [list(layouts.cuts[number]) for number in range(3)]
    assert ["verse", "chorus", "turn"] == [key(move.part) for move in layouts.moves]


def test_a_sheet_without_a_dance_is_told_what_to_write() -> None:
    """Nothing is laid out anew where no order stands, and the message says what to do."""
    routine = sc.loads("routine: Lantern Pier\nbook: clogging\n\npart A: 16 beats\n  Triple x2\n  Basic x4\n")

    with pytest.raises(sc.SearchError, match="no `dance:`; write it"):
        sc.fit(routine, beats=8)


def test_what_a_line_does_has_to_be_known(monkeypatch: pytest.MonkeyPatch) -> None:
    """A layout is made of lines that were looked through to their end; where that is too much, it is said."""
    assert fit(sheet("  Verse\n"), music="verse 16").text
    monkeypatch.setattr("stepcheck.walk.arrivals.BUDGET", 2)

    with pytest.raises(SearchError, match="too much to look at"):
        fit(sheet("  Verse\n"), music="verse 16")
