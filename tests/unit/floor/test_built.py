"""Sheets that are built by a program: what comes of them is what was asked for."""

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import pytest

import stepcheck as sc
from stepcheck.language.parser import parse
from stepcheck.language.printer import print_line, print_node
from stepcheck.language.syntax import (
    DanceHead,
    FacingMark,
    FigureRow,
    FiguresHead,
    FootMark,
    HeaderField,
    Line,
    MusicHead,
    MusicRow,
    PartHead,
    Row,
    SwapMark,
    TurnMark,
    UntilMark,
)
from stepcheck.model.dance import EIGHTHS, TICKS, Foot
from stepcheck.model.source import Source

SPECS = Path(__file__).parents[3] / "specs"
SHEETS = sorted([*(SPECS / "routines").glob("*.routine"), *(SPECS / "unfinished").glob("*.routine")])


def plain(lines: tuple[Line, ...]) -> Iterator[tuple[str, tuple[object, ...]]]:
    """Yield lines that say something as text without comments, nested."""
    for one in lines:
        if one.node is not None or one.note is not None:
            said = "" if one.node is None else print_node(one.node)
            yield f"{said} ({one.note})".strip() if one.note else said, tuple(plain(one.body))


def rebuilt(lines: tuple[Line, ...]) -> list[sc.Built | str]:
    """Return lines built anew, each with the builder that is for it."""
    return [built for one in lines if one.node is not None for built in [again(one)]]


def again(one: Line) -> sc.Built | str:
    """Return a line built anew."""
    match one.node:
        case Row(options=(option,), section=None) if all(_simple(mark) for mark in option.marks) and _in_order(
            option.marks
        ):
            asked: dict[str, object] = {}
            for mark in option.marks:
                match mark:
                    case FootMark(foot=foot, both=both):
                        asked["foot"] = "both" if both else "?" if foot is None else ("left", "right")[foot]
                    case FacingMark():
                        asked["facing"] = print_node(mark).removeprefix("facing ")
                    case TurnMark(eighths=None):
                        asked["turn"] = "?"
                    case TurnMark(eighths=int(eighths), side=side):
                        asked["turn"] = f"{Fraction(eighths, EIGHTHS)}{('', ' right', ' left')[side]}"
                    case SwapMark(mirrored=mirrored):
                        asked["mirrored" if mirrored else "opposite"] = True
                    case UntilMark():
                        asked["until_the_music_ends"] = True
            return sc.line(option.name, times=option.times, book=option.book, note=one.note or "", **asked)  # type: ignore[arg-type]
        case _ if one.body:
            return sc.block(print_node(one.node), rebuilt(one.body))  # type: ignore[arg-type]
        case _:
            return print_line(Line(0, 0, one.node, one.note))


def _simple(mark: object) -> bool:
    if isinstance(mark, TurnMark):
        return mark.beat is None and mark.times is None and mark.time is None
    return isinstance(mark, FootMark | FacingMark | SwapMark | UntilMark)


def _in_order(marks: tuple[object, ...]) -> bool:
    kinds = [(UntilMark, FootMark, FacingMark, TurnMark, SwapMark).index(type(mark)) for mark in marks]  # type: ignore[arg-type]
    return kinds == sorted(set(kinds))


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_every_sheet_of_the_catalogue_can_be_built(path: Path) -> None:
    """Built out of values, each says what it says as text, comments aside, and is the same dance."""
    text = path.read_text("utf-8")
    lines, _ = parse(Source(str(path), text))
    asked: dict[str, object] = {"header": {}, "parts": [], "music": [], "figures": []}
    for one in lines.lines:
        match one.node:
            case HeaderField(key="routine", value=value):
                asked["title"] = value
            case HeaderField(key="book", value=value):
                asked["book"] = value
            case HeaderField(key=key, value=value):
                asked["header"][key] = value  # type: ignore[index]
            case MusicHead():
                rows = [row.node for row in one.body if isinstance(row.node, MusicRow)]
                asked["music"] = [(row.name, Fraction(row.ticks, TICKS)) for row in rows]
            case FiguresHead():
                for row in one.body:
                    if isinstance(row.node, FigureRow):
                        asked["figures"].append(_figure(row.node))  # type: ignore[attr-defined]
            case PartHead(name=name):
                contract = print_node(one.node).partition(":")[2].strip()
                asked["parts"].append(sc.part(name, contract, rebuilt(one.body)))  # type: ignore[attr-defined]
            case DanceHead():
                asked["lasts"] = print_node(one.node).partition(":")[2].strip()
                asked["dance"] = rebuilt(one.body)
    made = sc.sheet(path=str(path), **asked)  # type: ignore[arg-type]
    again, _ = parse(made.sheet.source)

    order = (HeaderField, MusicHead, FiguresHead, PartHead, DanceHead)
    sections = [one for one in lines.lines if one.node is not None]
    sections.sort(
        key=lambda one: (order.index(type(one.node)), getattr(one.node, "key", "") not in ("routine", "book"))
    )  # type: ignore[arg-type]
    said = [(text, tuple(row for row in body if row[0][:1] != "(")) for text, body in plain(tuple(sections))]
    assert [text for text, _ in said] == [text for text, _ in plain(again.lines)]
    before, after = sc.load(path), made
    assert len(before.diagnostics) == len(after.diagnostics)
    assert sc.check(before, engine="walk").verdict is sc.check(after, engine="walk").verdict


def _figure(row: FigureRow) -> sc.Built:
    turn = (
        None
        if row.turn is None or row.turn.eighths is None
        else Fraction(row.turn.eighths * (row.turn.side or 1), EIGHTHS)
    )
    return sc.figure(
        row.name,
        " ".join(map(print_node, row.forms)),
        turn=turn,
        beats=None if row.length is None else Fraction(row.length.ticks, TICKS),
        foot=None if row.foot is None else "left" if row.foot.foot is Foot.LEFT else "right",
        travel="" if row.travel is None else print_node(row.travel),
    )


@pytest.mark.parametrize(
    ("built", "text"),
    [
        (sc.line("Vine"), "Vine"),
        (sc.line("Vine", times=3, turn="1/4 left", foot="right"), "Vine x3, right foot, turn 1/4 left"),
        (sc.line("Vine", turn=Fraction(-1, 4)), "Vine, turn 1/4 left"),
        (sc.line("Vine", turn=1), "Vine, turn full right"),
        (sc.line("Vine", turn=0), "Vine, no turn"),
        (sc.line("Vine", turn="1/2"), "Vine, turn 1/2"),
        (sc.line("Vine", turn="?", times=None), "Vine x?, turn ?"),
        (sc.line("Vine", facing="9:00", note="softly"), "Vine, facing 9:00 (softly)"),
        (sc.line("Vine", "turn 1/4 left on last", times=2), "Vine x2, turn 1/4 left on last"),
        (sc.line("A", mirrored=True), "A, mirrored"),
        (sc.line("A", opposite=True, until_the_music_ends=True), "A until the music ends, opposite foot"),
        (sc.line("Mill Wheel", book="Millrace"), "Mill Wheel from Millrace"),
        (sc.figure("Weir Step", "DS  RS", beats=2), "Weir Step, 2 beats: DS RS"),
        (sc.figure("Weir Step", "DS RS", travel="1 step back"), "Weir Step, 1 step back: DS RS"),
        (sc.block("2 times:", ["A", sc.line("B")]), "2 times:\n  A\n  B"),
    ],
)
def test_a_line_is_what_a_sheet_would_have(built: sc.Built, text: str) -> None:
    """Each thing that can be said of a line is written the one canonical way; turns are whole turns."""
    assert text == str(built)


@pytest.mark.parametrize(
    "build",
    [
        lambda: sc.sheet("x", dance=[sc.line("Triple x2")]),
        lambda: sc.sheet("x", dance=[sc.line("Triple", note="a) b")]),
        lambda: sc.sheet("x", dance=[sc.line("Triple\nBasic")]),
        lambda: sc.sheet("x\ny", dance="Triple"),
        lambda: sc.sheet("x # y", dance="Triple"),
        lambda: sc.sheet("x", parts=[sc.part("A: 8 beats", "", "Triple")], dance="A"),
        lambda: sc.sheet("x", music={"verse": 0}, dance="Triple"),
        lambda: sc.line("Triple", turn="1/3 left"),
        lambda: sc.line("Triple", turn="1/4 up"),
        lambda: sc.line("Triple", foot="third"),
        lambda: sc.figure("Weir Step", "DS RS", travel="a mile"),
        lambda: sc.line("Triple", facing="north"),
        lambda: sc.line("Triple", times=0),
        lambda: sc.figure("Weir Step", ""),
        lambda: sc.figure("Weir Step", "DS", beats="long"),
    ],
)
def test_what_no_sheet_can_say_is_refused(build: object) -> None:
    """A value that would be read as something else than was asked for never becomes a routine."""
    with pytest.raises(sc.BuildError):
        build()  # type: ignore[operator]


def test_what_is_wrong_with_a_dance_is_a_finding() -> None:
    """As with text: an unknown figure is no error of the program that built the sheet."""
    made = sc.sheet("x", dance=[sc.line("Tripel")])

    assert ["SR301"] == [one.code.id for one in made.diagnostics]
