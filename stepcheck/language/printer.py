"""From syntax to text: the one canonical layout of a sheet, with every note and comment kept."""

from functools import singledispatch
from math import gcd
from typing import Any

from stepcheck.language import syntax
from stepcheck.language.syntax import Line, Node, Sheet, Times
from stepcheck.model.dance import EIGHTHS, TICKS, Foot

INDENT = "  "
_CLOCK = ("12:00", "1:30", "3:00", "4:30", "6:00", "7:30", "9:00", "10:30")
_WALLS = {0: "front", 2: "right wall", 4: "back", 6: "left wall"}
_AFTER = {0: "", TICKS // 4: "e", TICKS // 2: "&", TICKS * 3 // 4: "a"}


def print_sheet(sheet: Sheet) -> str:
    """Return the sheet in its canonical layout.

    Two spaces a level; one blank line before each section, and at most one between other lines; comments at the end of
    a line keep their column if two spaces before them can stay.  A line that could not be understood stays as it is.
    """
    printed: list[str] = []
    for line in sheet.lines:
        if line.body or isinstance(line.node, _SECTIONS):
            above = len(printed)
            while above and printed[above - 1].startswith("#"):
                above -= 1
            if above and printed[above - 1]:
                printed.insert(above, "")
        _print_line(line, 0, printed)
    while printed and not printed[-1]:
        printed.pop()
    return "".join(text + "\n" for text in printed)


def print_line(line: Line, depth: int = 0) -> str:
    """Return one line without those under it, indented `depth` levels."""
    margin = INDENT * depth
    if line.broken:
        return margin + line.text
    pieces = [] if line.node is None else [print_node(line.node)]
    if line.note is not None:
        pieces.append(f"({line.note})")
    text = margin + " ".join(pieces)
    if line.comment is None:
        return text.rstrip()
    comment = f"# {line.comment}".rstrip()
    if not pieces:
        return margin + comment
    column = line.indent + line.text.find("#")
    return text.ljust(max(column, len(text) + 2)) + comment


def _print_line(line: Line, depth: int, printed: list[str]) -> None:
    """Add the line and those under it to `printed`, without blank lines at either end of a block."""
    if _blank(line):
        if printed and printed[-1]:
            printed.append("")
        return
    printed.append(print_line(line, depth))
    top = len(printed)
    for below in line.body:
        if len(printed) > top or not _blank(below):
            _print_line(below, depth + 1, printed)
    while len(printed) > top and not printed[-1]:
        printed.pop()


def _blank(line: Line) -> bool:
    return line.node is None and not line.broken and line.note is None and line.comment is None


# -- lines -----------------------------------------------------------------------------------------------------------

_SECTIONS = (syntax.MusicHead, syntax.FiguresHead, syntax.PartHead, syntax.DanceHead)


@singledispatch
def print_node(node: Node | Any) -> str:
    """Return the line, or the piece of a line, that `node` stands for."""
    raise TypeError(f"{node!r} is no line of a sheet")


@print_node.register
def _header(node: syntax.HeaderField) -> str:
    return f"{node.key}: {node.value}"


@print_node.register
def _music(node: syntax.MusicHead) -> str:
    return "music:"


@print_node.register
def _figures(node: syntax.FiguresHead) -> str:
    return "figures:"


@print_node.register
def _section(node: syntax.MusicRow) -> str:
    apart = "," if node.name[-1].isdigit() and node.ticks < TICKS else ""
    return f"{node.name}{apart} {_beats(node.ticks)}"


@print_node.register
def _figure(node: syntax.FigureRow) -> str:
    facts = [print_node(fact) for fact in (node.length, node.foot, node.turn, node.travel) if fact is not None]
    return f"{', '.join([node.name, *facts])}: {print_forms(node.forms)}"


@print_node.register
def _part(node: syntax.PartHead) -> str:
    return f"part {node.name}: {', '.join(map(_piece, node.pieces))}".rstrip()


@print_node.register
def _dance(node: syntax.DanceHead) -> str:
    return "dance:" if node.length is None else f"dance: {print_node(node.length)}"


@print_node.register
def _counts(node: syntax.CountsHead) -> str:
    counts = f"{node.unit} {node.first}-{node.last}" if node.first < node.last else f"{node.unit[:-1]} {node.first}"
    return ", ".join([counts, *(print_node(state) for state in (node.foot, node.facing) if state is not None)]) + ":"


@print_node.register
def _repeat(node: syntax.TimesHead) -> str:
    return f"{'?' if node.times is None else node.times} {'time' if node.times == 1 else 'times'}:"


@print_node.register
def _only(node: syntax.OnlyHead) -> str:
    times = print_times(node.times)
    return f"except {times} time:" if node.exclude else f"{times} time only:"


@print_node.register
def _until_head(node: syntax.UntilHead) -> str:
    return "until the music ends:"


@print_node.register
def _together(node: syntax.TogetherHead) -> str:
    return "together:"


@print_node.register
def _relation(node: syntax.RelationMark) -> str:
    return node.relation


@print_node.register
def _label(node: syntax.LabelHead) -> str:
    return f"{node.name}:"


@print_node.register
def _expect(node: syntax.ExpectRow) -> str:
    return f"expect {', '.join(map(print_node, node.states))}"


@print_node.register
def _hold(node: syntax.HoldRow) -> str:
    return f"hold {print_node(node.length)}"


@print_node.register
def _gap(node: syntax.GapRow) -> str:
    return f"? {print_node(node.length)}"


@print_node.register
def _row(node: syntax.Row) -> str:
    section = "" if node.section is None else f"{node.section}: "
    section += "" if node.wait is None else f"wait {print_node(node.wait)}, "
    return section + " | ".join(map(print_node, node.options))


@print_node.register
def _option(node: syntax.Option) -> str:
    text = print_forms(node.forms) or (node.name if node.book is None else f"{node.name} from {node.book}")
    if node.times != 1:
        text += f" x{'?' if node.times is None else node.times}"
    marks = list(node.marks)
    if marks and isinstance(marks[0], syntax.UntilMark):
        text += f" {print_node(marks.pop(0))}"
    return ", ".join([text, *map(print_node, marks)])


# -- pieces ----------------------------------------------------------------------------------------------------------


@print_node.register
def _length(node: syntax.Length) -> str:
    return _timed(node.time, _of(node.ticks, node.unit))


@print_node.register
def _first(node: syntax.FirstMark) -> str:
    return f"first {_of(node.ticks, node.unit)}"


@print_node.register
def _foot(node: syntax.FootMark) -> str:
    if node.both:
        return "both feet"
    return "? foot" if node.foot is None else f"{'left' if node.foot is Foot.LEFT else 'right'} foot"


@print_node.register
def _facing(node: syntax.FacingMark) -> str:
    return f"facing {wall(node.facing, node.clock)}"


@print_node.register
def _turn(node: syntax.TurnMark) -> str:
    size = "?" if node.eighths is None else _size(node.eighths)
    text = f"turn {size}{_side(node.side)}" if node.eighths != 0 else "no turn"
    if node.beat is not None:
        text += f" @{node.beat}"
    return text if node.times is None else f"{text} on {print_times(node.times)}"


@print_node.register
def _travel(node: syntax.TravelMark) -> str:
    size, ways = abs(node.right or node.forward), ("right", "left") if node.right else ("forward", "back")
    way = ways[(node.right or node.forward) < 0]
    return f"{size} step{'' if size == 1 else 's'} {way}" if size else "on the spot"


@print_node.register
def _spot(node: syntax.SpotMark) -> str:
    return f"within {node.steps} step{'' if node.steps == 1 else 's'}" if node.steps else "returns"


@print_node.register
def _swap(node: syntax.SwapMark) -> str:
    return "mirrored" if node.turns else "opposite foot"


@print_node.register
def _until(node: syntax.UntilMark) -> str:
    return "until the music ends"


@print_node.register
def _net(node: syntax.NetMark) -> str:
    return _timed(node.time, f"{wall(node.start, node.clocks[0])} to {wall(node.end, node.clocks[1])}")


@print_node.register
def _feet(node: syntax.FeetMark) -> str:
    return _timed(node.time, f"{print_node(node.start)} to {print_node(node.end)}")


@print_node.register
def _form(node: syntax.Form) -> str:
    text = node.form if node.foot is None else f"{node.form}({'L' if node.foot is Foot.LEFT else 'R'})"
    if node.tick is None or node.beat is None:
        return text
    off = node.tick - node.beat * TICKS
    return f"{text}@&{node.beat}" if off < 0 else f"{text}@{node.beat}{_AFTER[off]}"


def print_forms(forms: tuple[syntax.Form, ...]) -> str:
    """Return a figure's row of movements."""
    return " ".join(map(print_node, forms))


def print_times(times: Times) -> str:
    """Return `2nd, 4th`, `every 2nd`, `last`."""
    if times.every is not None:
        return f"every {ordinal(times.every)}"
    return ", ".join([*map(ordinal, times.named), *(["last"] if times.last else [])])


def ordinal(number: int) -> str:
    """Return `1st`, `2nd`, `3rd`, `4th`, `11th`."""
    ending = "th" if number % 100 in (11, 12, 13) else {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    return f"{number}{ending}"


def wall(facing: int, clock: bool = False) -> str:
    """Return the name of a facing in eighths: a wall, or the time on the clock where no wall has a name."""
    return _CLOCK[facing] if clock else _WALLS.get(facing, _CLOCK[facing])


def _piece(node: syntax.Piece) -> str:
    """Return a piece of a contract, in which the size of a turn comes first."""
    if not isinstance(node, syntax.TurnMark) or not node.eighths:
        return _timed(node.time, print_node(node)) if isinstance(node, syntax.TurnMark) else print_node(node)
    turns = "turns" if node.eighths > EIGHTHS else "turn"
    return _timed(node.time, f"{_size(node.eighths)} {turns}{_side(node.side)}")


def _timed(time: int | None, text: str) -> str:
    return text if time is None else f"{ordinal(time)} time {text}"


def _side(side: int) -> str:
    return ("", " right", " left")[side]


def _size(eighths: int) -> str:
    return "full" if eighths == EIGHTHS else _mixed(eighths, EIGHTHS)


def _beats(ticks: int) -> str:
    return _mixed(ticks, TICKS)


def _of(ticks: int, unit: str) -> str:
    return f"{_beats(ticks)} {unit[:-1] if ticks <= TICKS else unit}"


def _mixed(parts: int, unit: int) -> str:
    """Return `parts` of a `unit` as a whole number and a fraction."""
    whole, rest = divmod(parts, unit)
    common = gcd(rest, unit)
    fraction = [f"{rest // common}/{unit // common}"] if rest else []
    return " ".join(([str(whole)] if whole or not rest else []) + fraction)
