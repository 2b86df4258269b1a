"""Every single change of a small sheet, by the rules of specs/costs.md, and the cheapest sets found by trying them all.

Nothing here goes through the search: a set of changes is made to the text, and the text is checked.
"""

from collections.abc import Iterable, Iterator
from itertools import combinations

from stepcheck.books.book import Book
from stepcheck.language.alterations import EditError, applied
from stepcheck.language.edits import (
    ChangeAlternative,
    ChangeBlock,
    ChangeClaim,
    ChangeLead,
    ChangeSwap,
    ChangeTimes,
    ChangeTurn,
    DeleteLine,
    Edit,
    InsertLine,
    ReplaceFigure,
    ReplaceLength,
    ReplacePart,
)
from stepcheck.language.printer import print_node
from stepcheck.language.stretches import every_line
from stepcheck.language.syntax import (
    CountsHead,
    DanceHead,
    ExpectRow,
    FacingMark,
    FeetMark,
    FootMark,
    HeaderField,
    HoldRow,
    Length,
    Line,
    NetMark,
    OnlyHead,
    Option,
    PartHead,
    Row,
    TimesHead,
    TurnMark,
)
from stepcheck.model.dance import TICKS, Figure, Foot, Step, key
from stepcheck.model.outcome import Verdict
from stepcheck.program.routine import Routine
from stepcheck.report import pipeline
from stepcheck.walk.walk import verdicts

LENGTHS = range(1, 25)


def singles(routine: Routine, book: Book, kinds: Iterable[str]) -> list[Edit]:
    """Return every single change of these kinds."""
    wanted = set(kinds)
    figures = [figure.name for figure in book.figures()]
    by_name = {key(figure.name): figure for figure in book.figures()}
    parts = [str(line.node.name) for line in routine.sheet.lines if isinstance(line.node, PartHead)]
    turned = _turned(routine)
    found: list[Edit] = []
    for line in routine.sheet.lines:
        if isinstance(line.node, HeaderField) and line.node.key == "walls":
            found += (ChangeClaim(line.number, line.node.at, walls) for walls in (1, 2, 4, 8))
        if isinstance(line.node, PartHead | DanceHead):
            found += _head(line)
            found += _block(line.body, [*figures, *turned], parts, isinstance(line.node, DanceHead))
    said = [
        edit
        for edit in found
        if not (isinstance(edit, ChangeTurn) and edit.turn == 0 and _turns_not(routine, edit, by_name))
    ]
    told = [_of_another_length(routine, edit, by_name) for edit in dict.fromkeys(said)]
    return [edit for edit in told if edit.kind in wanted]


def _of_another_length(routine: Routine, edit: Edit, figures: dict[str, Figure]) -> Edit:
    """Return a change of figure as one to another length, if it is one and no line of the sheet has the figure."""
    if not isinstance(edit, ReplaceFigure):
        return edit
    rows = {line.number: line.node for line in every_line(routine.sheet.lines) if isinstance(line.node, Row)}
    danced = {key(option.name) for row in rows.values() for option in row.options}
    old, new = (
        figure and figure.versions[figure.usual].length
        for figure in (figures.get(key(name)) for name in (rows[edit.line].options[0].name, edit.name))
    )
    return edit if old in (None, new) or key(edit.name) in danced else ReplaceLength(edit.line, edit.name, edit.book)


def _turns_not(routine: Routine, edit: ChangeTurn, figures: dict[str, Figure]) -> bool:
    """Say whether the figure of an edit has no turn of its own, so that to write none says what leaving it away
    does."""
    node = next(line.node for line in every_line(routine.sheet.lines) if line.number == edit.line)
    assert isinstance(node, Row)
    figure = figures.get(key(node.options[edit.option].name))
    return figure is not None and not any(version.turn for version in figure.versions)


def _turned(routine: Routine) -> list[str]:
    """Return each figure with each turn that the sheet gives it, to either side."""
    marks = {
        (option.name, sides, mark.eighths)
        for line in every_line(routine.sheet.lines)
        for option in (line.node.options if isinstance(line.node, Row) else ())
        for mark in option.marks
        if isinstance(mark, TurnMark) and mark.eighths
        for sides in (1, -1)
    }
    return [print_node(Row((Option(name, marks=(TurnMark(size, side),)),))) for name, side, size in sorted(marks)]


def _block(lines: tuple[Line, ...], figures: list[str], parts: list[str], in_dance: bool) -> Iterator[Edit]:
    first = True
    for line in lines:
        if line.node is None:
            continue
        yield from _line(line, [name for name in figures if "," not in name], parts)
        rows = isinstance(line.node, Row | HoldRow | ExpectRow)
        texts = [name for name in figures if "," in name] if rows else []
        texts += (
            [f"{name} x{n}".removesuffix(" x1") for name in figures if "," not in name for n in (1, 2, 3, 4)]
            if rows
            else []
        )
        texts += [f"hold {n} {'beat' if n == 1 else 'beats'}" for n in range(1, 9)] if rows else []
        texts += parts if in_dance and not isinstance(line.node, ExpectRow) else []
        for text in texts:
            yield InsertLine(line.number, text)
            if first and not isinstance(line.node, ExpectRow):
                yield InsertLine(line.number, text, before=True)
        yield from _block(line.body, figures, parts, in_dance)
        first = False


def _line(line: Line, figures: list[str], parts: list[str]) -> Iterator[Edit]:
    node, number = line.node, line.number
    match node:
        case Row(options=options):
            for place, option in enumerate(options):
                call = key(option.name) in map(key, parts)
                if not call:
                    for name in figures:
                        if key(name) != key(option.name):
                            yield (
                                ReplaceFigure(number, name)
                                if len(options) == 1
                                else ChangeAlternative(number, place, name)
                            )
                    yield from (ChangeTurn(number, turn, place) for turn in (None, *range(-8, 9)))
                else:
                    for name in parts:
                        if key(name) != key(option.name):
                            yield ReplacePart(number, name, place)
                    yield from (ChangeSwap(number, swap, place) for swap in ("", "opposite foot", "mirrored"))
                most = max(4 if call else 8, 2 * (option.times or 1))
                yield from (ChangeTimes(number, times, place) for times in range(1, most + 1) if times != option.times)
                for mark in option.marks:
                    if isinstance(mark, FootMark):
                        yield from (ChangeLead(number, foot, place) for foot in Foot)
                    elif isinstance(mark, FacingMark):
                        yield from (ChangeClaim(number, mark.at, facing) for facing in range(8))
                    elif isinstance(mark, Length):
                        yield from (ChangeClaim(number, mark.at, beats * TICKS) for beats in LENGTHS)
        case TimesHead(times=int(times)):
            yield from (ChangeBlock(number, n) for n in range(1, max(8, 2 * times) + 1) if n != times)
        case CountsHead():
            for first in range(1, 13):
                yield from (ChangeClaim(number, node.at, (first, last)) for last in range(first, 25))
            if node.foot is not None:
                yield from (ChangeLead(number, foot) for foot in Foot)
            if node.facing is not None:
                yield from (ChangeClaim(number, node.facing.at, facing) for facing in range(8))
        case ExpectRow(states=states):
            for state in states:
                values = range(8) if isinstance(state, FacingMark) else (*Foot, None)
                yield from (ChangeClaim(number, state.at, value) for value in values)
    if isinstance(node, Row | HoldRow | TimesHead | OnlyHead | CountsHead):
        yield DeleteLine(number)


def _head(line: Line) -> Iterator[Edit]:
    pieces = line.node.pieces if isinstance(line.node, PartHead) else [line.node.length] if line.node.length else []  # type: ignore[union-attr]
    for piece in pieces:
        match piece:
            case Length():
                yield from (ChangeClaim(line.number, piece.at, beats * TICKS) for beats in LENGTHS)
            case TurnMark():
                turns = range(-16, 17) if piece.side or not piece.eighths else range(17)
                yield from (ChangeClaim(line.number, piece.at, turn) for turn in turns)
            case NetMark():
                yield from (ChangeClaim(line.number, piece.at, facing) for facing in range(8))
            case FeetMark():
                yield from (
                    ChangeClaim(line.number, piece.at, foot, role)
                    for foot in (*Foot, None)
                    for role in ("start", "end")
                )
            case FootMark():
                yield from (ChangeClaim(line.number, piece.at, foot) for foot in (*Foot, None))


def mends(routine: Routine, book: Book, edits: Iterable[Edit]) -> bool:
    """Say whether every claim of a sheet is proved after edits."""
    try:
        text = applied(routine.sheet, edits)
    except EditError:
        return False
    after = pipeline.loads(text, book=book)
    if after.program is None:
        return False
    worst = verdicts(after.program)
    if any(worst.get(one.id) is not Verdict.PROVED for one in after.program.claims):
        return False
    return _dances(after) or not _dances(routine)


def _dances(routine: Routine) -> bool:
    """Say whether anything but silence is is danced."""
    assert routine.program is not None
    return any(_stepped(item) for item in routine.program.dance)


def _stepped(item: object) -> bool:
    inner = getattr(item, "options", None) or (getattr(item, "body", ()),)
    return isinstance(item, Step) or any(_stepped(one) for body in inner for one in body)


def cheapest(
    routine: Routine, book: Book, prices: dict[str, int], kinds: Iterable[str], most: int
) -> tuple[int, set[frozenset[Edit]]] | None:
    """Return the least cost of a set of changes that mends a sheet, and all such sets; None if none costs `most` or
    less.

    A line is changed in one way beside its claims and its foot, and one line is put in at a place.
    """
    found = singles(routine, book, kinds)
    least = min((prices[edit.kind] for edit in found), default=most + 1)
    for cost in range(most + 1):
        sets: set[frozenset[Edit]] = set()
        for number in range(cost // least + 1):
            for edits in combinations(found, number):
                if sum(prices[edit.kind] for edit in edits) == cost and _apart(edits) and mends(routine, book, edits):
                    sets.add(frozenset(edits))
        if sets:
            return cost, sets
    return None


def _apart(edits: tuple[Edit, ...]) -> bool:
    places = [_place(edit) for edit in edits]
    return len(set(places)) == len(places)


def _place(edit: Edit) -> object:
    match edit:
        case ChangeClaim():
            return edit.line, edit.at, edit.role
        case ChangeLead():
            return edit.line, "lead", edit.option
        case InsertLine():
            return edit.line, edit.before
        case _:
            return edit.line
