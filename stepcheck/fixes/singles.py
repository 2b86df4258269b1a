"""Single changes that are tried one by one: those that the sheet itself speaks for, and those of groups and places.

No search follows groups side by side, or dancers over the floor.  What costs less than it else would, as other lines
speak for it, has its rules in specs/costs.md.
"""

import re
from collections.abc import Collection, Iterator
from itertools import pairwise, product, zip_longest

from attrs import evolve

from stepcheck.books.placing import last_beat
from stepcheck.books.placing import place as placed
from stepcheck.breaks.material import Material
from stepcheck.fixes.evident import base, call, named, restatements
from stepcheck.fixes.nearness import akin
from stepcheck.fixes.protected import Trials
from stepcheck.language import edits, syntax
from stepcheck.language.alterations import changed
from stepcheck.language.edits import Edit
from stepcheck.language.printer import print_node
from stepcheck.language.stretches import dance_of, every_line, label, parts, rows
from stepcheck.language.syntax import Line, Row, Sheet, TravelMark
from stepcheck.model.dance import EIGHTHS, TICKS, Foot, key
from stepcheck.model.findings import Diagnostic
from stepcheck.program.header import FACINGS
from stepcheck.program.routine import Routine
from stepcheck.search.changes import MOST_TIMES as OFTEN
from stepcheck.search.changes import others
from stepcheck.search.shapes import swaps, unfilled

MOST_TIME, FAR = 6, 1 << 30
LIKE = {"S": "TCH", "TCH": "S", "DS": "RS", "RS": "DS"}
"""The movements that one is easily written for another: as long, on the other foot afterwards."""
MOST_STEPS, MOST_WAIT, MOST_TIMES, MOST_INSIDE = 6, 16, 4, 12
TURNS = (-8, -4, -2, 2, 4, 8)
WALLS = ("front", "right wall", "back", "left wall")
SIDES = {"right": (1, 0), "left": (-1, 0), "forward": (0, 1), "back": (0, -1)}
START = re.compile(r"start (\d+) steps? (?:to the )?(\w+)")


def waits(sheet: Sheet) -> Iterator[edits.ChangeWait]:
    """Yield the other times that silence could last, or that a group could wait before its line."""
    groups = _groups(sheet)
    for line in every_line(sheet.lines):
        match line.node:
            case syntax.HoldRow(length=syntax.Length(ticks=ticks)):
                pass
            case Row(wait=syntax.Length(ticks=ticks)):
                yield edits.ChangeWait(line.number, None)
            case Row(section=str(name)) if key(name) in groups:
                ticks = 0
            case _:
                continue
        times = range(TICKS, TICKS * max(MOST_WAIT, 2 * ticks // TICKS) + 1, TICKS)
        yield from (edits.ChangeWait(line.number, other) for other in times if other != ticks)


def starts(sheet: Sheet) -> Iterator[edits.ChangeStart]:
    """Yield the other feet, walls and places that a group could begin with, one piece of its line changed."""
    groups = _groups(sheet)
    for line in sheet.lines:
        if isinstance(line.node, syntax.HeaderField) and key(line.node.key) in groups:
            said = [piece.strip() for piece in line.node.value.split(",")]
            for at, piece in enumerate(said):
                if len(said) > 1:
                    yield edits.ChangeStart(line.number, ", ".join([*said[:at], *said[at + 1 :]]))
                yield from (
                    edits.ChangeStart(line.number, ", ".join([*said[:at], other, *said[at + 1 :]]))
                    for other in _other_starts(piece)
                    if other != piece
                )


def _other_starts(piece: str) -> Iterator[str]:
    """Yield what else a piece of the line of a group could say."""
    word, _, rest = piece.partition(" ")
    if way := START.match(piece):
        yield from (f"start {way[1]} step{'s' * (way[1] != '1')} {side}" for side in SIDES)
        yield from (f"start {steps} step{'s' * (steps > 1)} {way[2]}" for steps in range(1, MOST_STEPS + 1))
    elif word == "lead":
        yield f"lead {'left' if rest == 'right' else 'right'}"
    elif word == "facing":
        yield from (f"facing {wall}" for wall in WALLS if FACINGS[wall] != FACINGS.get(rest))


def ways(sheet: Sheet) -> Iterator[edits.ChangeWay]:
    """Yield the other ways that lines and figures of the sheet could go: as far to another side, or another distance to
    the same. One that says no way could go as others do."""
    lines = [*every_line(sheet.lines)]
    calls = parts(sheet).keys()
    marks = [mark for line in lines for _, mark in _going(line, calls) if mark is not None]
    sizes = sorted({abs(mark.right or mark.forward) for mark in marks} - {0})
    for line in lines:
        for option, mark in _going(line, calls):
            size, old = abs(mark.right or mark.forward) if mark else 0, (mark.right, mark.forward) if mark else None
            found = [(0, 0)]
            for steps in (size,) if size else sizes:
                found += [(steps * right, steps * forward) for right, forward in SIDES.values()]
            if mark is not None and size:
                right, forward = mark.right // size, mark.forward // size
                found += [(steps * right, steps * forward) for steps in range(1, max(MOST_STEPS, 2 * size) + 1)]
            yield from (edits.ChangeWay(line.number, *way, option) for way in dict.fromkeys(found) if way != old)


def _going(line: Line, calls: Collection[str]) -> Iterator[tuple[int, TravelMark | None]]:
    """Yield the alternatives of a line that goes somewhere, or could, each with the way that it says."""
    match line.node:
        case Row(options=options):
            for number, option in enumerate(options):
                if key(option.name) not in calls:
                    yield number, next((mark for mark in option.marks if isinstance(mark, TravelMark)), None)
        case syntax.FigureRow(travel=TravelMark() as mark):
            yield 0, mark


def otherwise(sheet: Sheet, part: str, known: Collection[str], close: Collection[str]) -> Iterator[Edit]:
    """Yield what single lines could say otherwise.

    Args:
        sheet: the sheet.
        part: the part whose lines are changed; empty for all.
        known: the names of figures that may be put in.
        close: the parts that return to where they begin, as they claim.
    """
    names = {name: head.name for name, head in parts(sheet).items()}
    for head in sheet.lines:
        if isinstance(head.node, syntax.PartHead) and part in ("", head.node.name):
            spots = (piece for piece in head.node.pieces if isinstance(piece, syntax.SpotMark) and piece.steps)
            slip = edits.CorrectSlip if head.node.name in close else edits.ChangeClaim
            yield from (
                slip(head.number, piece.at, steps)
                for piece in spots
                for steps in range(1, MOST_INSIDE + 1)
                if steps != piece.steps
            )
        elif not isinstance(head.node, syntax.DanceHead) or part:
            continue
        for line in every_line(head.body):
            if isinstance(line.node, Row):
                yield from _row(line.number, line.node, names, known)
                if isinstance(head.node, syntax.DanceHead):
                    yield from (edits.InsertLine(line.number, name) for name in names.values())
            if isinstance(line.node, Row | syntax.HoldRow):
                yield edits.DeleteLine(line.number)
            if isinstance(line.node, syntax.TimesHead) and line.node.times:
                yield from (edits.ChangeBlock(line.number, n) for n in others(line.node.times, MOST_TIMES))


def _row(number: int, row: Row, names: dict[str, str], known: Collection[str]) -> Iterator[Edit]:
    yield from swaps(number, row, names)
    for place, option in enumerate(row.options):
        called = key(option.name) in names
        if option.times is not None:
            yield from (edits.ChangeTimes(number, n, place) for n in others(option.times, MOST_TIMES))
        feet = [mark.foot for mark in option.marks if isinstance(mark, syntax.FootMark)]
        yield from (edits.ChangeLead(number, foot.other, place) for foot in feet if isinstance(foot, Foot))
        if called:
            yield from (
                edits.ReplacePart(number, name, place) for name in names.values() if key(name) != key(option.name)
            )
            continue
        turns = [mark.signed for mark in option.marks if isinstance(mark, syntax.TurnMark)]
        yield from (
            edits.ChangeTurn(number, turn, place) for turn in (*TURNS, *([None] if turns else [])) if [turn] != turns
        )
        yield from (edits.ReplaceFigure(number, name) for name in known if key(name) != key(option.name) and not place)


def _groups(sheet: Sheet) -> frozenset[str]:
    fields = (line.node for line in sheet.lines if isinstance(line.node, syntax.HeaderField))
    return frozenset(key(name.strip()) for one in fields if key(one.key) == "groups" for name in one.value.split(","))


def singles(trials: Trials, stuff: Material, kept: frozenset[int], closed: frozenset[int]) -> Iterator[Edit]:
    """Yield the changes that may each mend a sheet by itself, and that its other lines speak for.

    Args:
        trials: the sheet.
        stuff: the figures that may be put in.
        kept: lines that stay as they are.
        closed: lines beside which nothing is put in.
    """
    routine, told = trials.routine, trials.report.diagnostics
    heads = parts(routine.sheet)
    found: list[Edit] = [*restatements(trials), *waits(routine.sheet), *starts(routine.sheet)]
    found += _akin(routine.sheet, stuff)
    for line in every_line(routine.sheet.lines):
        if isinstance(line.node, syntax.DanceHead):
            found += named(line, heads)
        if isinstance(line.node, syntax.TimesHead) and line.node.times == 1:
            found.append(edits.ChangeBlock(line.number, 2))
        if isinstance(line.node, syntax.FigureRow):
            found += _figure(routine, line.number, line.node)
        if isinstance(line.node, syntax.PartHead):
            times = {getattr(piece, "time", None) or 0 for piece in line.node.pieces} - {0}
            found += (
                edits.ChangeTime(line.number, old, new) for old in times for new in range(1, MOST_TIME) if new != old
            )
        often = (option.times for one in line.body if isinstance(one.node, Row) for option in one.node.options)
        twice = not isinstance(line.node, syntax.DanceHead) or any(times != 1 for times in often)
        for one, other in pairwise(line.body if twice else ()):
            if isinstance(one.node, Row) and one.node == other.node:
                found.append(edits.DeleteTwin(other.number))
        if line.body:
            found += _exchanges(line)
    yield from (edit for edit in found if not kept & edit.lines)
    calls = (*_calls(routine.sheet), *_missing(routine.sheet), *_fillings(routine, stuff, told), *_cuts(routine, told))
    yield from (edit for edit in calls if edit.line not in closed)


def _figure(routine: Routine, number: int, row: syntax.FigureRow) -> Iterator[Edit]:
    """Yield the other turns of a figure of the sheet, and a movement that is like one of its own; where it doesn't last
    as stated, a movement more, less or another of the sheet's own figures with which it does."""
    if row.turn is not None:
        yield from (edits.ChangeTurn(number, turn) for turn in range(-EIGHTHS, EIGHTHS + 1))
    forms = [one.form for one in row.forms]
    yield from (edits.ChangeMovement(number, place, LIKE[form]) for place, form in enumerate(forms) if form in LIKE)
    if row.length is None or _lasts(routine, row) == row.length.ticks:
        return
    own = (line.node for line in every_line(routine.sheet.lines) if isinstance(line.node, syntax.FigureRow))
    others = dict.fromkeys(form.form for figure in (row, *own) for form in figure.forms)
    made: dict[syntax.Node, Edit] = {}
    for place, form in product(range(len(forms) + 1), ("", *others)):
        for more in (False, True) if form else (False,):
            edit = edits.ChangeMovement(number, place, form, more)
            if place < len(forms) + more:
                made[changed(edit, row)] = edit
    yield from (edit for node, edit in made.items() if _lasts(routine, node) == row.length.ticks)


def _lasts(routine: Routine, row: syntax.Node) -> int:
    """Return how long the movements of a figure of the sheet last, in ticks; 0 if they are not understood."""
    book = routine.facts.book
    assert isinstance(row, syntax.FigureRow)
    actions, problems = placed(row.forms, book.movement, book.tradition)
    return 0 if problems else last_beat(actions) * TICKS


def _akin(sheet: Sheet, stuff: Material) -> Iterator[edits.ReplaceFigure]:
    """Yield the figures whose names are with a word more or less those that one line alone says, once."""
    names = dict.fromkeys(figure.name for figure in stuff.figures if figure not in stuff.hard)
    lines = rows(sheet.lines)
    called = [key(row.options[0].name) for _, row in lines]
    for (number, row), said in zip(lines, called, strict=True):
        if len(row.options) == row.options[0].times == called.count(said) == 1:
            yield from (edits.ReplaceFigure(number, name) for name in names if akin(said, name))


def _cuts(routine: Routine, told: tuple[Diagnostic, ...]) -> Iterator[edits.InsertLine]:
    """Yield the passes of parts, cut to what the dance is short of, at each place of a dance that has such a pass."""
    dance = dance_of(routine.sheet)
    options = [option for _, row in rows(dance.body) for option in row.options]
    cut = [(one.name, mark) for one in options for mark in one.marks if isinstance(mark, syntax.FirstMark)]
    args = next(
        (dict(one.args) for one in told if one.span.line == dance.number and one.code.name == "wrong-length"), {}
    )
    values = args.get("found_values", ())
    missing = args["expected_value"] - values[0] if len(values) == 1 else 0
    for name, mark in dict.fromkeys((name, evolve(mark, ticks=missing)) for name, mark in cut if missing > 0):
        text = print_node(Row((syntax.Option(name, marks=(mark,)),)))
        yield from (edits.InsertLine(line.number, text) for line in every_line(dance.body) if line.node is not None)


def _fillings(
    routine: Routine, stuff: Material, told: tuple[Diagnostic, ...]
) -> Iterator[edits.FillCounts | edits.ChangeTimes]:
    """Yield the figures of the routine that last as long as a heading of counts, or a part without such, is short of,
    at each place under it; those that stand there already are danced more often."""
    short = {one.span.line: dict(one.args) for one in told if one.code.name in ("wrong-counts", "wrong-length")}
    for head in every_line(routine.sheet.lines):
        lines = [(line.number, line.node) for line in head.body if isinstance(line.node, Row)]
        args = short.get(head.number, {})
        if not lines or len(args.get("found_values", ())) != 1 or isinstance(head.node, syntax.DanceHead):
            continue
        expected = head.node.last * TICKS if isinstance(head.node, syntax.CountsHead) else args["expected_value"]
        missing = expected - args["found_values"][0]
        for name, ticks in sorted((figure.name, figure.length or 0) for figure in stuff.known):
            same = [(number, row.options[0].times) for number, row in lines if key(row.options[0].name) == key(name)]
            times, rest = divmod(missing, ticks or FAR)
            if not rest and same:
                often = ((number, old, old + times) for number, old in same if old)
                yield from (
                    edits.ChangeTimes(number, new) for number, old, new in often if 0 < new <= max(OFTEN, 2 * old)
                )
            elif not rest and times in (1, 2, 4):
                text = print_node(Row((syntax.Option(name, times),)))
                yield edits.FillCounts(lines[0][0], text, True)
                yield from (edits.FillCounts(number, text) for number, _ in lines)


def _exchanges(head: Line) -> Iterator[edits.Exchange]:
    """Yield the exchanges of two rows that stand side by side, of two passes of a part that is cut in one of them, and
    of what is danced to two sections of one name."""
    rows = [line for line in head.body if isinstance(line.node, Row | syntax.HoldRow | syntax.LabelHead)]
    for at, one in enumerate(rows):
        for place, other in enumerate(rows[at + 1 :]):
            alike = isinstance(one.node, Row) and isinstance(other.node, Row)
            names = {label(line) or "" for line in (one, other)}
            if alike and one.node.options == other.node.options:  # type: ignore[union-attr]
                continue
            cut = alike and call(one) == call(other)
            if (names != {""} and len(names) == 1) or cut or (not place and (alike or names == {""})):
                yield edits.Exchange(one.number, other.number)


def _calls(sheet: Sheet) -> Iterator[edits.InsertCall]:
    """Yield the rows that could stand behind another one as they do elsewhere: behind one of the same name, and in the
    dance before one that they stand before there too."""
    blocks = [
        (line, [inner for inner in line.body if isinstance(inner.node, Row)])
        for line in every_line(sheet.lines)
        if line.body
    ]
    pairs = {(call(one), call(other)): other for _, under in blocks for one, other in pairwise(under)}
    for head, under in blocks:
        calls = isinstance(head.node, syntax.DanceHead)
        bare = [*map(_bare, under)]
        for at, (one, other) in enumerate(zip_longest(under, under[1:])):
            alike = [call(row) == call(one) for row in under] if calls else [some == bare[at] for some in bare]
            behind = {call(after) for place, after in enumerate(under[1:]) if alike[place] and place != at}
            for (before, name), fellow in pairs.items():
                fits = calls and (other is None or (name, call(other)) in pairs)
                fits |= behind == {name} and (other is None or calls or other.node != one.node)
                if before == call(one) and fits and name not in (before, call(other) if other else ""):
                    option = fellow.node.options[0]  # type: ignore[union-attr]
                    marks = one.node.options[0].marks if calls else option.marks  # type: ignore[union-attr]
                    kinds = syntax.SwapMark if calls else syntax.TurnMark
                    marks = tuple(mark for mark in marks if isinstance(mark, kinds))
                    said = evolve(option, marks=marks, times=1 if calls else option.times)
                    yield edits.InsertCall(one.number, print_node(Row((said,))))


def _bare(line: Line) -> object:
    """Return what a row says, but for its feet."""
    node = line.node
    assert isinstance(node, Row)
    bare = (tuple(m for m in option.marks if not isinstance(m, syntax.FootMark)) for option in node.options)
    return tuple((key(option.name), option.times, marks) for option, marks in zip(node.options, bare, strict=True))


def _missing(sheet: Sheet) -> Iterator[edits.InsertCall]:
    """Yield the lines of the dance for a part that no line has danced, and for a section of the music that has none:
    that part, the part of its name, or what is danced to another section of its name."""
    lines = rows(sheet.lines)
    called = {key(option.name) for _, row in lines for option in row.options}
    names = [head.name for head in parts(sheet).values()]
    never = [name for name in names if key(name) not in called]
    for section, number, ahead in unfilled(sheet):
        alike = (row for _, row in lines if base(row.section) == base(section.name))
        texts = [print_node(evolve(row, section=None)) for row in alike]
        texts += [name for name in names if key(name) == base(section.name) or name in never]
        yield from (edits.InsertCall(number, f"{section.name}: {text}", ahead) for text in texts)
    if never:
        body = dance_of(sheet).body
        danced = [line for line in every_line(body) if isinstance(line.node, Row | syntax.HoldRow)]
        yield from (edits.InsertCall(line.number, name) for name in never for line in danced)
        yield from (edits.InsertCall(body[0].number, name, True) for name in never)
