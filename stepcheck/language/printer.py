"""From syntax to text: the one canonical layout of a sheet, with every note and comment kept."""

from collections.abc import Callable
from fractions import Fraction
from typing import Any

from stepcheck.language import syntax
from stepcheck.language.syntax import Line, Node, Sheet, Times
from stepcheck.model import words
from stepcheck.model.dance import EIGHTHS, TICKS, Foot

INDENT = "  "
_SIDES = ("", " right", " left")


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


def print_node(node: Node | Any) -> str:
    """Return the line, or the piece of a line, that `node` stands for.

    Raises:
        TypeError: it is neither.
    """
    if type(node) not in _PRINTED:
        raise TypeError(f"{node!r} is no line of a sheet")
    return _PRINTED[type(node)](node)


def _all(*nodes: Any) -> str:
    return ", ".join(print_node(node) for node in nodes if node is not None)


def _music(node: syntax.MusicRow) -> str:
    apart = "," if node.name[-1].isdigit() and node.ticks < TICKS else ""
    return f"{node.name}{apart} {_parts(node.ticks, TICKS)}"


def _figure(node: syntax.FigureRow) -> str:
    facts = _all(node.length, node.foot, node.turn, node.travel)
    return f"{node.name}{facts and ', '}{facts}: {print_forms(node.forms)}"


def _counts(node: syntax.CountsHead) -> str:
    counts = f"{node.unit} {node.first}-{node.last}" if node.first < node.last else f"{node.unit[:-1]} {node.first}"
    states = _all(node.foot, node.facing)
    return f"{counts}{states and ', '}{states}:"


def _only(node: syntax.OnlyHead) -> str:
    times = print_times(node.times)
    return f"except {times} time:" if node.exclude else f"{times} time only:"


def _row(node: syntax.Row) -> str:
    section = "" if node.section is None else f"{node.section}: "
    section += "" if node.wait is None else f"wait {print_node(node.wait)}, "
    return section + " | ".join(map(print_node, node.options))


def _option(node: syntax.Option) -> str:
    text = print_forms(node.forms) or (node.name if node.book is None else f"{node.name} from {node.book}")
    if node.times != 1:
        text += f" x{'?' if node.times is None else node.times}"
    marks = list(node.marks)
    if marks and isinstance(marks[0], syntax.UntilMark):
        text += f" {print_node(marks.pop(0))}"
    return ", ".join([text, *map(print_node, marks)])


def _foot(node: syntax.FootMark) -> str:
    if node.both:
        return "both feet"
    return "? foot" if node.foot is None else f"{words.foot(node.foot)} foot"


def _turn(node: syntax.TurnMark) -> str:
    size = "?" if node.eighths is None else _size(node.eighths)
    text = f"turn {size}{_SIDES[node.side]}" if node.eighths != 0 else "no turn"
    if node.beat is not None:
        text += f" @{node.beat}"
    return text if node.times is None else f"{text} on {print_times(node.times)}"


def _travel(node: syntax.TravelMark) -> str:
    size, ways = abs(node.right or node.forward), ("right", "left") if node.right else ("forward", "back")
    return f"{_steps(size)} {ways[(node.right or node.forward) < 0]}" if size else "on the spot"


def _steps(number: int) -> str:
    return f"{number} step{'' if number == 1 else 's'}"


def _net(node: syntax.NetMark) -> str:
    start, end = (words.facing(*wall) for wall in zip((node.start, node.end), node.clocks, strict=True))
    return _timed(node.time, f"{start} to {end}")


def _form(node: syntax.Form) -> str:
    text = node.form if node.foot is None else f"{node.form}({'L' if node.foot is Foot.LEFT else 'R'})"
    if node.tick is None or node.beat is None:
        return text
    off = node.tick - node.beat * TICKS
    return f"{text}@&{node.beat}" if off < 0 else f"{text}@{node.beat}{words.INSIDE[off]}"


_PRINTED: dict[type, Callable[[Any], str]] = {
    syntax.HeaderField: lambda node: f"{node.key}: {node.value}",
    syntax.MusicHead: lambda node: "music:",
    syntax.FiguresHead: lambda node: "figures:",
    syntax.MusicRow: _music,
    syntax.FigureRow: _figure,
    syntax.PartHead: lambda node: f"part {node.name}: {', '.join(map(_piece, node.pieces))}".rstrip(),
    syntax.DanceHead: lambda node: f"dance: {_all(node.length)}".rstrip(),
    syntax.CountsHead: _counts,
    syntax.TimesHead: lambda node: f"{'?' if node.times is None else node.times} time{'s' * (node.times != 1)}:",
    syntax.OnlyHead: _only,
    syntax.UntilHead: lambda node: "until the music ends:",
    syntax.TogetherHead: lambda node: "together:",
    syntax.LabelHead: lambda node: f"{node.name}:",
    syntax.ExpectRow: lambda node: f"expect {_all(*node.states)}",
    syntax.HoldRow: lambda node: f"hold {print_node(node.length)}",
    syntax.GapRow: lambda node: f"? {print_node(node.length)}",
    syntax.Row: _row,
    syntax.Option: _option,
    syntax.Length: lambda node: _timed(node.time, _of(node.ticks, node.unit)),
    syntax.FirstMark: lambda node: f"first {_of(node.ticks, node.unit)}",
    syntax.FootMark: _foot,
    syntax.FacingMark: lambda node: f"facing {words.facing(node.facing, node.clock)}",
    syntax.TurnMark: _turn,
    syntax.TravelMark: _travel,
    syntax.SpotMark: lambda node: f"within {_steps(node.steps)}" if node.steps else "returns",
    syntax.SwapMark: lambda node: "mirrored" if node.mirrored else "opposite foot",
    syntax.UntilMark: lambda node: "until the music ends",
    syntax.StateMark: lambda node: node.said,
    syntax.NetMark: _net,
    syntax.FeetMark: lambda node: _timed(node.time, f"{print_node(node.start)} to {print_node(node.end)}"),
    syntax.Form: _form,
}


def print_forms(forms: tuple[syntax.Form, ...]) -> str:
    """Return a figure's row of movements."""
    return " ".join(map(print_node, forms))


def print_times(times: Times) -> str:
    """Return `2nd, 4th`, `every 2nd`, `last`."""
    if times.every is not None:
        return f"every {words.ordinal(times.every)}"
    return ", ".join([*map(words.ordinal, times.named), *(["last"] if times.last else [])])


def _piece(node: syntax.Piece) -> str:
    """Return a piece of a contract, in which the size of a turn comes first."""
    if not isinstance(node, syntax.TurnMark):
        return print_node(node)
    if not node.eighths:
        return _timed(node.time, print_node(node))
    turns = "turns" if node.eighths > EIGHTHS else "turn"
    return _timed(node.time, f"{_size(node.eighths)} {turns}{_SIDES[node.side]}")


def _timed(time: int | None, text: str) -> str:
    return text if time is None else f"{words.ordinal(time)} time {text}"


def _size(eighths: int) -> str:
    return "full" if eighths == EIGHTHS else _parts(eighths, EIGHTHS)


def _of(ticks: int, unit: str) -> str:
    return f"{_parts(ticks, TICKS)} {unit[:-1] if ticks <= TICKS else unit}"


def _parts(parts: int, unit: int) -> str:
    return words.number(Fraction(parts, unit))
