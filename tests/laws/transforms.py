"""Sheets changed as syntax, line by line, so that what was said of them before can be said of them afterwards.

A changed line keeps the number of the line that it comes from; a new one has the number 0.
"""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from typing import Any, TypeAlias

from attrs import evolve, fields, has

import stepcheck as sc
from stepcheck.language.parser import parse
from stepcheck.language.printer import print_sheet
from stepcheck.language.syntax import (
    CountsHead,
    DanceHead,
    ExpectRow,
    FacingMark,
    FeetMark,
    FigureRow,
    FiguresHead,
    FirstMark,
    FootMark,
    Form,
    HeaderField,
    HoldRow,
    LabelHead,
    Length,
    Line,
    MusicHead,
    MusicRow,
    NetMark,
    OnlyHead,
    Option,
    PartHead,
    Row,
    Sheet,
    SwapMark,
    TimesHead,
    TogetherHead,
    TravelMark,
    TurnMark,
    UntilHead,
    UntilMark,
)
from stepcheck.model.claims import Kind
from stepcheck.model.dance import EIGHTHS, Foot, key
from stepcheck.model.outcome import Verdict
from stepcheck.model.source import Source
from stepcheck.model.words import facing as wall
from stepcheck.program.claims import register
from stepcheck.program.header import FACINGS
from stepcheck.report import pipeline
from tests.reference_layout import nodes

Lines: TypeAlias = tuple[Line, ...]
Place: TypeAlias = tuple[int, Kind, int, int]
"""A claim: its line in the sheet as it was, its kind, the time that it speaks of, and which of these it is."""

SHORT = 30
"""As many lines as a sheet may have that both engines are asked about, which takes seconds where repeats are nested."""

# -- reading, printing, deciding -------------------------------------------------------------------------------------


def lines_of(text: str) -> Lines:
    """Return the lines of a sheet that say something."""
    return mapped(parse(Source("<text>", text))[0].lines, lambda line, _: (line,) if line.node is not None else ())


def text_of(lines: Lines) -> str:
    """Return the text of a sheet."""
    return print_sheet(Sheet(Source("<text>", ""), lines))


def decided(lines: Lines, engine: str = "walk") -> dict[Place, Verdict] | str:
    """Return the verdict on each claim, or the code of what makes the sheet ill-formed.

    A line that stands there several times is refuted if one of its copies is, and vacuous if all are.  A sheet with a
    blank, or a long one, is decided by the walk: the other engine tries fillings until its budget is spent.
    """
    text = text_of(lines)
    routine, engine = sc.loads(text), "walk" if "?" in text or text.count("\n") > SHORT else engine
    if routine.program is None:
        return next(d.code.name for d in routine.diagnostics if d.code.severity == 2)
    printed = (line for line in nodes(routine.sheet.lines) if line.node is not None)
    origins = {line.number: old.number for line, old in zip(printed, nodes(lines), strict=True)}
    told = {outcome.claim: outcome.verdict for outcome in pipeline.decide(routine.program, engine)[0]}
    seen: dict[Place, list[Verdict]] = {}
    many: Counter[tuple[int, Kind, int]] = Counter()
    for claim in register(routine.sheet).claims:
        here = (claim.line, claim.kind, claim.time)
        many[here] += 1
        verdict = told.get(claim.id, Verdict.PROVED if claim.kind is Kind.TIME else None)
        assert verdict is not None, claim
        seen.setdefault((origins[claim.line], claim.kind, claim.time, many[here]), []).append(verdict)
    return {
        place: max((one for one in each if one is not Verdict.VACUOUS), default=Verdict.VACUOUS)
        for place, each in seen.items()
    }


# -- changing ----------------------------------------------------------------------------------------------------------


def mapped(lines: Lines, change: Callable[[Line, Any], Lines], above: Any = None) -> Lines:
    """Return lines with each replaced, from the inside out; `change` is told the node of the heading above as well."""
    return tuple(
        new for line in lines for new in change(evolve(line, body=mapped(line.body, change, line.node)), above)
    )


def deep(value: Any, change: Callable[[Any], Any]) -> Any:
    """Return a value of the syntax with each value in it replaced, from the inside out."""
    if isinstance(value, tuple):
        return tuple(deep(one, change) for one in value)
    if not has(type(value)):
        return value
    return change(evolve(value, **{one.name: deep(getattr(value, one.name), change) for one in fields(type(value))}))


def field_of(lines: Lines, name: str, default: str = "") -> str:
    """Return the value of a field of the header."""
    return next((li.node.value for li in lines if isinstance(li.node, HeaderField) and li.node.key == name), default)


def headed(lines: Lines, name: str, value: str) -> Lines:
    """Return a sheet with a field of the header; without it if the value is empty."""
    rest = tuple(line for line in lines if not (isinstance(line.node, HeaderField) and line.node.key == name))
    return ((Line(0, 0, HeaderField(name, value)),) if value else ()) + rest


def lead_of(lines: Lines) -> str:
    """Return the foot that goes first."""
    return field_of(lines, "lead", "left" if field_of(lines, "book") == "clogging" else "right")


def _begun(lines: Lines, foot: Callable[[str], str], facing: Callable[[int], int]) -> Lines:
    """Return a sheet whose header, and each group in it, begins with another foot and on another wall."""
    groups = {one.strip() for one in field_of(lines, "groups").split(",")}

    def start(piece: str) -> str:
        word, _, value = piece.strip().partition(" ")
        if word == "start":
            way, _, side = piece.strip().rpartition(" ")
            return f"{way} {foot(side) if side in OTHER else side}"
        return f"lead {foot(value)}" if word == "lead" else f"facing {wall(facing(FACINGS[value]))}"

    def change(line: Line, _: Any) -> Lines:
        if not (isinstance(line.node, HeaderField) and line.node.key in groups):
            return (line,)
        return (evolve(line, node=evolve(line.node, value=", ".join(map(start, line.node.value.split(","))))),)

    begun = headed(mapped(lines, change), "lead", foot(lead_of(lines)))
    return headed(begun, "facing", wall(facing(FACINGS[field_of(lines, "facing", "front")])))


def rotated(lines: Lines, eighths: int) -> Lines:
    """Return a sheet begun on another wall: the header's facings and those under `dance:`, which are the room's."""

    def turned(value: Any) -> Any:
        return (
            evolve(value, facing=(value.facing + eighths) % EIGHTHS, clock=False)
            if isinstance(value, FacingMark)
            else value
        )

    begun = _begun(lines, lambda foot: foot, lambda facing: (facing + eighths) % EIGHTHS)
    return tuple(deep(line, turned) if isinstance(line.node, DanceHead) else line for line in begun)


OTHER = {"left": "right", "right": "left"}


def mirrored(lines: Lines, figures: bool) -> Lines:
    """Return a sheet as in a mirror.

    Args:
        lines: the sheet.
        figures: whether its own figures are mirrored too.  A figure is danced in a mirror by the other lead, so this
            changes nothing but for one of both feet or none alone, which is danced from both feet as it is written:
            that one is mirrored always.
    """

    def image(value: Any) -> Any:
        match value:
            case FootMark(foot=Foot()) | Form(foot=Foot()):
                return evolve(value, foot=value.foot.other)
            case FacingMark():
                return evolve(value, facing=-value.facing % EIGHTHS, clock=False)
            case NetMark():
                return evolve(value, start=-value.start % EIGHTHS, end=-value.end % EIGHTHS, clocks=(False, False))
            case TurnMark():
                return evolve(value, side=-value.side)
            case TravelMark():
                return evolve(value, right=-value.right)
            case FigureRow(foot=None):
                return evolve(value, foot=FootMark(Foot.RIGHT))
        return value

    begun = _begun(lines, OTHER.__getitem__, lambda facing: -facing % EIGHTHS)

    def kept(line: Line) -> Line:
        led = isinstance(line.node, FigureRow) and any(form.form not in ("JUMP", "HOLD") for form in line.node.forms)
        return line if led and not figures else deep(line, image)

    return tuple(
        evolve(line, body=tuple(map(kept, line.body))) if isinstance(line.node, FiguresHead) else deep(line, image)
        for line in begun
    )


def names_of(lines: Lines) -> tuple[str, ...]:
    """Return the names that a sheet makes up: of parts, figures, sections and groups."""
    made = [li.node.name for li in nodes(lines) if isinstance(li.node, PartHead | FigureRow | MusicRow | LabelHead)]
    made += [one.strip() for one in field_of(lines, "groups").split(",")]
    return tuple(dict.fromkeys(one for one in made if one))


def renamed(lines: Lines, names: Mapping[str, str]) -> Lines:
    """Return a sheet with other names."""
    new = {key(old): name for old, name in names.items()}

    def change(value: Any) -> Any:
        match value:
            case HeaderField(key="groups"):
                return evolve(value, value=", ".join(new.get(key(one), one) for one in value.value.split(",")))
            case HeaderField():
                return evolve(value, key=new.get(key(value.key), value.key))
            case PartHead() | FigureRow() | MusicRow() | LabelHead() | Option():
                return evolve(value, name=new.get(key(value.name), value.name))
            case Row(section=str()):
                return evolve(value, section=new.get(key(value.section), value.section))
        return value

    return deep(lines, change)


# -- claims taken away -------------------------------------------------------------------------------------------------


def unsung(lines: Lines) -> Lines:
    """Return a sheet without music and sections, and without a length of its dance or a number of walls."""

    def change(line: Line, above: Any) -> Lines:
        match line.node:
            case MusicHead():
                return ()
            case DanceHead():
                return (evolve(line, node=DanceHead()),)
            case LabelHead() if not isinstance(above, TogetherHead):
                return line.body
            case Row() if not isinstance(above, TogetherHead):
                return (evolve(line, node=evolve(line.node, section=None)),)
        return (line,)

    return headed(mapped(lines, change), "walls", "")


def without(lines: Lines, *kinds: type) -> Lines:
    """Return lines without marks and pieces of contracts of some kinds.

    Headings of counts go if lengths do, and what goes on until the music ends is danced once if its mark goes.
    """

    def kept(marks: tuple[Any, ...]) -> tuple[Any, ...]:
        return tuple(mark for mark in marks if not isinstance(mark, kinds))

    def change(line: Line, _: Any) -> Lines:
        node = line.node
        match node:
            case PartHead():
                return (evolve(line, node=evolve(node, pieces=kept(node.pieces))),)
            case Row():
                options = tuple(evolve(option, marks=kept(option.marks)) for option in node.options)
                return (evolve(line, node=evolve(node, options=options)),)
            case ExpectRow():
                states = kept(node.states)
                return (evolve(line, node=ExpectRow(states)),) if states else ()
            case CountsHead() if Length in kinds:
                return line.body
            case UntilHead() if UntilMark in kinds:
                return line.body
        return (line,)

    return mapped(lines, change)


# -- parts and blocks --------------------------------------------------------------------------------------------------


def called(lines: Lines) -> set[str]:
    """Return the names that lines dance, and those in the parts among them."""
    parts = {key(line.node.name): line for line in lines if isinstance(line.node, PartHead)}
    waiting = [line for line in lines if isinstance(line.node, DanceHead)]
    found: set[str] = set()
    while waiting:
        rows = (line.node for line in nodes((waiting.pop(),)) if isinstance(line.node, Row))
        new = {key(option.name) for row in rows for option in row.options} - found
        found |= new
        waiting += [parts[name] for name in new & parts.keys()]
    return found


def splittable(lines: Lines, name: str) -> Lines:
    """Return a sheet with a part that can be split: neither it nor a line that dances it claims how all of it goes.

    A line that dances it has no alternatives; times claimed of several passes begin with no named foot.
    """

    def start(piece: Any) -> tuple[FootMark, ...]:
        mark = piece.start if isinstance(piece, FeetMark) and piece.time is None else piece
        return (mark,) if isinstance(mark, FootMark) else ()

    def change(line: Line, above: Any) -> Lines:
        node = line.node
        if isinstance(node, PartHead) and node.name == name:
            feet = tuple(foot for piece in node.pieces for foot in start(piece))
            return (evolve(line, node=evolve(node, pieces=feet), body=without(line.body, FacingMark, Length)),)
        if not isinstance(node, Row):
            return (line,)
        dances = next((option for option in node.options if key(option.name) == key(name)), None)
        if dances is None:
            return (line,)
        once = dances.times == 1 and not any(isinstance(mark, UntilMark) for mark in dances.marks)
        gone = (Length,) if once else (Length, FootMark, FacingMark)
        marks = tuple(mark for mark in dances.marks if not isinstance(mark, gone))
        return (evolve(line, node=evolve(node, options=(evolve(dances, marks=marks),))),)

    return mapped(without(unsung(lines), FirstMark), change)


def split(lines: Lines, name: str, at: int, second: str) -> Lines:
    """Return a sheet with a splittable part split before its line `at`, from 0; the rest has the name `second`."""

    def change(line: Line, above: Any) -> Lines:
        node = line.node
        if isinstance(node, PartHead) and node.name == name:
            return evolve(line, body=line.body[:at]), Line(0, 0, PartHead(second), body=line.body[at:])
        if not isinstance(node, Row) or key(node.options[0].name) != key(name):
            return (line,)
        option = node.options[0]
        swaps = tuple(mark for mark in option.marks if isinstance(mark, SwapMark))
        feet = tuple(mark for mark in option.marks if isinstance(mark, FootMark))
        ends = tuple(mark for mark in option.marks if isinstance(mark, FacingMark))
        halves = (
            evolve(line, node=evolve(node, options=(evolve(option, times=1, marks=feet + swaps),))),
            evolve(line, node=Row((evolve(option, name=second, times=1, marks=swaps + ends),))),
        )
        if any(isinstance(mark, UntilMark) for mark in option.marks):
            return (Line(0, 0, UntilHead(), body=halves),)
        return halves if option.times == 1 else (Line(0, 0, TimesHead(option.times), body=halves),)

    return mapped(lines, change)


def _counts_times(lines: Lines) -> bool:
    """Return whether lines name times of the repeat around them."""
    for line in lines:
        match line.node:
            case OnlyHead() | CountsHead():
                return True
            case Row(options=options):
                for option in options:
                    if option.times == 1 and any(getattr(mark, "times", None) for mark in option.marks):
                        return True
        if not isinstance(line.node, TimesHead) and _counts_times(line.body):
            return True
    return any(isinstance(line.node, CountsHead) for line in nodes(lines))


def foldable(lines: Lines, above: Any = None) -> Iterator[int]:
    """Yield the numbers of the lines that may be danced in a repeat or written several times."""
    for line in lines:
        row = line.node
        ends = isinstance(row, Row) and any(isinstance(m, UntilMark) for o in row.options for m in o.marks)
        named = isinstance(row, Row) and row.section is not None
        inside = line.body if isinstance(row, TimesHead) else (line,)
        if (
            isinstance(row, TimesHead | Row | HoldRow | ExpectRow | TogetherHead)
            and not (ends or named or _counts_times(inside))
            and not isinstance(above, TogetherHead)
        ):
            yield line.number
        yield from foldable(line.body, row)


def folded(lines: Lines, number: int, times: int) -> Lines:
    """Return lines with one of them in a repeat; a repeat stays as it is."""
    return mapped(
        lines,
        lambda line, _: (
            (Line(0, 0, TimesHead(times), body=(line,)),)
            if line.number == number and not isinstance(line.node, TimesHead)
            else (line,)
        ),
    )


def unfolded(lines: Lines, number: int, times: int) -> Lines:
    """Return lines with one of them written several times; of a repeat, what stands under it."""

    def change(line: Line, _: Any) -> Lines:
        if line.number != number:
            return (line,)
        return line.body * line.node.times if isinstance(line.node, TimesHead) else (line,) * times

    return mapped(lines, change)


def inserted(lines: Lines, number: int, new: Lines) -> Lines:
    """Return lines with new ones behind one of them."""
    return mapped(lines, lambda line, _: (line, *new) if line.number == number else (line,))
