"""A sheet that is changed without a change of what it says keeps its verdicts.

Each law changes the syntax of random sheets of every construct, and is asked of the walk, in a few examples of both
engines.
"""

from attrs import evolve
from hypothesis import assume, given
from hypothesis import strategies as st

import stepcheck as sc
from stepcheck.language.alterations import applied
from stepcheck.language.edits import ChangeLead, ChangeTimes, ChangeTurn, DeleteLine, InsertLine
from stepcheck.language.parser import parse
from stepcheck.language.syntax import (
    DanceHead,
    ExpectRow,
    FacingMark,
    FigureRow,
    FiguresHead,
    FirstMark,
    FootMark,
    Form,
    GapRow,
    Length,
    Line,
    Option,
    PartHead,
    Row,
    TogetherHead,
    TravelMark,
    TurnMark,
    UntilMark,
)
from stepcheck.model.claims import Kind
from stepcheck.model.dance import Foot, key
from stepcheck.model.outcome import Verdict
from stepcheck.model.source import Source
from stepcheck.model.words import facing as wall
from stepcheck.strategies import sheets
from stepcheck.strategies.random_sheets import random_sheet
from tests.laws import transforms as t
from tests.profiles import law
from tests.reference_layout import nodes

LAW, MORE, FEW = law(20), law(50), law(15)


def drawn(*tastes: str) -> st.SearchStrategy[t.Lines]:
    """Return a strategy for sheets with a taste, one in five written pick by pick, the others by a seed, which is quick."""
    seeded = st.builds(random_sheet, st.integers(0, 10**9), taste=st.sampled_from(tastes))
    return st.one_of(*[seeded] * 4, st.sampled_from(tastes).flatmap(lambda taste: sheets(taste=taste))).map(t.lines_of)


SHEETS = drawn("", "groups", "groups", "travel", "turns", "contracts")
APART = drawn("", "turns", "swaps", "times")
EITHER = st.one_of(APART, sheets(sound=True).map(t.lines_of))
PAIRS = st.tuples(EITHER, EITHER).filter(lambda pair: t.field_of(pair[0], "book") == t.field_of(pair[1], "book"))
ENGINES = st.sampled_from(("walk",) * 9 + ("both",))
TREES = (
    "Alder Birch Cedar Damson Elder Fir Gean Hazel Ivy Juniper Kauri Larch "
    "Maple Nutmeg Oak Pear Quince Rowan Spindle Teak Upas Vinca Willow Yew"
)
NAMES = st.permutations([f"Old {tree}" for tree in TREES.split()])


def blanks(lines: t.Lines) -> bool:
    """Return whether a sheet has blanks."""
    return "?" in t.text_of(lines)


@MORE
@given(SHEETS, st.integers(1, 7), ENGINES)
def test_another_wall_to_begin_on_changes_no_verdict(lines: t.Lines, eighths: int, engine: str) -> None:
    """Turned in the room, with all that is said of the room, a sheet keeps every verdict."""
    assert t.decided(t.rotated(lines, eighths), engine) == t.decided(lines, engine)


@MORE
@given(SHEETS, st.booleans(), ENGINES)
def test_a_mirror_image_has_the_same_verdicts(lines: t.Lines, figures: bool, engine: str) -> None:
    """With left for right everywhere a sheet keeps every verdict, whether its figures are written for it or not.

    A refuted turn without a side is taken as one to the right, so that sheets with such a finding are left aside.
    """
    before = t.decided(lines, engine)
    sided = {
        (line.number, Kind.TURN, piece.time or 0)
        for line in lines
        if isinstance(line.node, PartHead)
        for piece in line.node.pieces
        if isinstance(piece, TurnMark) and piece.eighths and not piece.side
    }
    assume(
        isinstance(before, str)
        or all(v in (Verdict.PROVED, Verdict.VACUOUS) for place, v in before.items() if place[:3] in sided)
    )

    assert t.decided(t.mirrored(lines, figures), engine) == before


@FEW
@given(SHEETS, NAMES, ENGINES)
def test_other_names_change_no_verdict(lines: t.Lines, names: list[str], engine: str) -> None:
    """Parts, figures, sections and groups may be called as one likes."""
    new = t.renamed(lines, dict(zip(t.names_of(lines), names, strict=False)))

    assert not set(t.names_of(lines)) & set(t.names_of(new))
    assert t.decided(new, engine) == t.decided(lines, engine)


@MORE
@given(APART, st.data(), ENGINES)
def test_a_part_that_is_split_in_two_keeps_the_verdicts_of_its_lines(
    lines: t.Lines, data: st.DataObject, engine: str
) -> None:
    """A part, and two parts that are danced one after the other with its lines, are the same dance."""
    danced = t.called(lines)
    parts = [li.node.name for li in lines if isinstance(li.node, PartHead) and key(li.node.name) in danced]
    assume(parts and not blanks(lines))
    name = data.draw(st.sampled_from(parts))
    joined = t.splittable(lines, name)
    body = next(line.body for line in joined if isinstance(line.node, PartHead) and line.node.name == name)
    assume(len(body) > 1)
    verdicts = t.decided(joined, engine)
    program = sc.loads(t.text_of(joined)).program
    assume(isinstance(verdicts, dict) and program is not None and not program.spares)  # a spare is danced by itself
    apart = t.split(joined, name, data.draw(st.integers(1, len(body) - 1)), "Old Alder")

    assert t.decided(apart, engine) == verdicts


@LAW
@given(SHEETS, st.data(), ENGINES)
def test_a_repeat_is_its_lines_written_out(lines: t.Lines, data: st.DataObject, engine: str) -> None:
    """Lines in a repeat and the same lines written so often have the same verdicts; a line is refuted if a copy is."""
    assume(not blanks(lines) and isinstance(t.decided(lines), dict))
    able = list(t.foldable(lines))
    assume(able)
    number, times = data.draw(st.sampled_from(able)), data.draw(st.integers(2, 4))

    assert t.decided(t.unfolded(lines, number, times), engine) == t.decided(t.folded(lines, number, times), engine)


def rows_behind(lines: t.Lines) -> list[int]:
    """Return the lines behind which others can be danced."""
    inside = [(line, below) for line in nodes(lines) for below in line.body]
    return [
        below.number
        for line, below in inside
        if isinstance(below.node, Row)
        and not isinstance(line.node, TogetherHead)
        and not any(isinstance(mark, UntilMark) for option in below.node.options for mark in option.marks)
    ]


@MORE
@given(SHEETS, st.data(), ENGINES)
def test_a_figure_and_its_inverse_change_neither_feet_nor_turns(
    lines: t.Lines, data: st.DataObject, engine: str
) -> None:
    """A figure and one that undoes it may stand anywhere, where no length is claimed.

    A step turns one way and the next step back; where the weight may be on both feet, only the turn is made.
    """
    lines = t.without(t.unsung(lines), Length, FirstMark)
    before = t.decided(lines, engine)
    able = rows_behind(lines)
    assume(able and isinstance(before, dict))
    jumps = any(
        isinstance(value, GapRow) or getattr(value, "both", False) or getattr(value, "form", "") == "JUMP"
        for value in values(lines)
    )
    own = data.draw(st.booleans()) and not jumps
    eighths = data.draw(st.integers(1, 8))
    turns = ((), ()) if own else ((TurnMark(eighths, -1),), (TurnMark(eighths, 1),))
    forms = (Form("HOLD" if jumps else "S"),)
    figure = Line(
        0, 0, FigureRow("Old Alder", forms, turn=TurnMark(eighths, 1) if own else None, travel=TravelMark(0, 0))
    )
    pair = tuple(Line(0, 0, Row((Option("Old Alder", marks=marks),))) for marks in turns)
    after = tuple(
        evolve(line, body=(*line.body, figure)) if isinstance(line.node, FiguresHead) else line
        for line in t.inserted(lines, data.draw(st.sampled_from(able)), pair)
    )

    assert told_of_places(t.decided(after, engine)) == told_of_places(before)


def values(lines: t.Lines) -> list[object]:
    """Return every value in the syntax of a sheet."""
    found: list[object] = []
    t.deep(lines, lambda value: found.append(value) or value)
    return found


def told_of_places(verdicts: dict[t.Place, Verdict] | str) -> dict[t.Place, Verdict]:
    """Return the verdicts on claims that are about neither lengths nor moments."""
    assert isinstance(verdicts, dict), verdicts
    return {
        place: v for place, v in verdicts.items() if place[1] not in (Kind.ALTERNATIVES, Kind.SAME_BEAT, Kind.APART)
    }


def with_end(lines: t.Lines, *states: FootMark | FacingMark) -> t.Lines:
    """Return a sheet that says how it ends."""
    end = Line(-1, 0, ExpectRow(states))
    return tuple(evolve(li, body=(*li.body, end)) if isinstance(li.node, DanceHead) else li for li in lines)


def end_of(lines: t.Lines) -> tuple[str, int] | None:
    """Return the foot that is free and the facing at the end, if every dance ends so."""

    def holds(*states: FootMark | FacingMark) -> bool:
        verdicts = t.decided(with_end(lines, *states))
        return isinstance(verdicts, dict) and all(v is Verdict.PROVED for p, v in verdicts.items() if p[0] == -1)

    foot = next((name for name, foot in (("left", Foot.LEFT), ("right", Foot.RIGHT)) if holds(FootMark(foot))), None)
    facing = next((facing for facing in range(8) if foot and holds(FacingMark(facing))), None)
    return None if foot is None or facing is None else (foot, facing)


@FEW
@given(PAIRS, NAMES, ENGINES)
def test_routines_that_are_joined_keep_their_verdicts(
    pair: tuple[t.Lines, t.Lines], names: list[str], engine: str
) -> None:
    """Two routines danced one after the other have the verdicts of both, so that two proved ones are proved.

    The second begins with the foot and on the wall with which the first ends.
    """
    first, second = (t.without(t.unsung(lines), UntilMark) for lines in pair)
    assume(not blanks((*first, *second)))
    end = end_of(first)
    assume(end is not None)
    second = t.renamed(second, dict(zip(t.names_of(second), names, strict=False)))
    second = t.deep(
        second, lambda value: evolve(value, number=value.number + 1000) if isinstance(value, Line) else value
    )
    header = tuple(line for line in first if line.body == ())
    begun = t.headed(t.headed(header, "lead", end[0]), "facing", wall(end[1]))
    alone = t.decided((*begun, *(line for line in second if line.body)), engine)
    assume(isinstance(alone, dict))

    def under(kind: type) -> t.Lines:
        return tuple(below for line in (*first, *second) if isinstance(line.node, kind) for below in line.body)

    both = (
        *header,
        *(Line(0, 0, FiguresHead(), body=rows) for rows in (under(FiguresHead),) if rows),
        *(line for line in (*first, *second) if isinstance(line.node, PartHead)),
        Line(0, 0, DanceHead(), body=under(DanceHead)),
    )
    assert t.decided(both, engine) == t.decided(first, engine) | alone


@LAW
@given(SHEETS, st.data(), ENGINES)
def test_the_order_of_a_contract_means_nothing(lines: t.Lines, data: st.DataObject, engine: str) -> None:
    """The pieces of contracts may be written in any order; which of two of one kind is the first is all that it says."""
    heads = [line.node for line in lines if isinstance(line.node, PartHead)]
    kinds = [[(type(piece), getattr(piece, "time", None)) for piece in head.pieces] for head in heads]
    assume(any(len(each) > 1 for each in kinds) and all(len({*each}) == len(each) for each in kinds))
    new = tuple(
        evolve(li, node=evolve(li.node, pieces=tuple(data.draw(st.permutations(li.node.pieces)))))
        if isinstance(li.node, PartHead)
        else li
        for li in lines
    )

    assert t.decided(new, engine) == t.decided(lines, engine)


@FEW
@given(SHEETS, st.data())
def test_an_edit_and_its_undo_leave_the_bytes_and_the_report(lines: t.Lines, data: st.DataObject) -> None:
    """A sheet that is edited, and edited back, is the sheet that it was, and so is its report."""
    text = t.text_of(lines)
    sheet = parse(Source("<text>", text))[0]
    rows = [
        line
        for line in nodes(sheet.lines)
        if isinstance(line.node, Row) and not any(isinstance(m, UntilMark) for o in line.node.options for m in o.marks)
    ]
    assume(rows)
    line = data.draw(st.sampled_from(rows))
    kinds = ["times", "insert"] * (line.node.options[0].times is not None)
    marks = line.node.options[0].marks
    turn = next((m for m in marks if isinstance(m, TurnMark) and m.eighths is not None), None)
    foot = next((m.foot for m in marks if isinstance(m, FootMark) and m.foot is not None), None)
    kinds += ["turn"] * (turn is not None) + ["lead"] * (foot is not None)
    assume(kinds)
    match data.draw(st.sampled_from(kinds)):
        case "times":
            edit, undo = ChangeTimes(line.number, 7), ChangeTimes(line.number, line.node.options[0].times)
        case "turn":
            edit, undo = ChangeTurn(line.number, 3), ChangeTurn(line.number, turn.eighths * (turn.side or 1))
        case "lead":
            edit, undo = ChangeLead(line.number, foot.other), ChangeLead(line.number, foot)
        case _:
            edit, undo = InsertLine(line.number, "hold 3 beats"), DeleteLine(line.number + 1)
    changed = applied(sheet, [edit])
    back = applied(parse(Source("<text>", changed))[0], [undo])

    assert changed != text or edit == undo
    assert back == text
    assert sc.check(sc.loads(back), engine="walk") == sc.check(sc.loads(text), engine="walk")
