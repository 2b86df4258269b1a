"""Evident mistakes: claims that are slips of the pen, as other lines, headings or claims of the sheet show; and names,
cuts and orders of sections that make a sheet ill-formed.

specs/costs.md has the rules.
"""

from collections.abc import Collection, Iterator, Mapping
from itertools import islice, pairwise, product
from math import gcd, prod
from typing import Any

from stepcheck.fixes.protected import Trials
from stepcheck.language import edits, parser, syntax
from stepcheck.language.alterations import applied
from stepcheck.language.edits import Edit
from stepcheck.language.stretches import dance_of, every_line, label, mark_of, numbered, parts, rows
from stepcheck.language.syntax import Line, Row
from stepcheck.model import words
from stepcheck.model.claims import Claim, Kind
from stepcheck.model.dance import EIGHTHS, TICKS, Foot, Weight, key
from stepcheck.model.findings import Diagnostic, Severity
from stepcheck.model.outcome import Verdict
from stepcheck.model.source import Source
from stepcheck.program.claims import register
from stepcheck.program.routine import Routine, elaborate, reread
from stepcheck.walk.walk import failing

_TURNING = (Kind.TURN, Kind.NET, Kind.FACING, Kind.WALLS)
FOURS, WHOLE = (4 * TICKS, 3 * TICKS), (4 * TICKS, 6 * TICKS)
"""The usual lengths of phrases of music: fours, or the threes and sixes of a waltz."""


def slips(trials: Trials, kept: frozenset[int], kinds: Collection[str]) -> tuple[Edit, ...]:  # noqa: C901 - a case for each kind
    """Return the refuted claims that are slips of the pen by the rules of specs/costs.md, changed to what is danced.

    Args:
        trials: the sheet.
        kept: lines that stay as they are.
        kinds: the kinds of changes that are made.
    """
    routine, report = trials.routine, trials.report
    refuted = {one.claim: one for one in report.diagnostics if one.claim}
    leaning = _leaning(routine, refuted)
    proved = frozenset(one.id for one in report.claims if one.verdict is Verdict.PROVED)
    ends, heads = _ends(routine, proved), {number: line.node for number, line in numbered(routine.sheet).items()}
    stated = {
        claim.kind
        for (line, _, _), claim in register(routine.sheet).slots.items()
        if claim.id in proved and (claim.kind is not Kind.LENGTH or isinstance(heads[line], syntax.DanceHead))
    }
    turning = {one.id for one in trials.program.claims if one.id in refuted and one.kind in _TURNING}
    last = max((number for number, node in heads.items() if node is not None), default=0)
    found: list[Edit] = []
    for claim, edit, claimed, danced in _restated(routine, refuted):
        line = edit.line
        if isinstance(edit, edits.ChangeMusic):
            alone = all(name == claim.id or dict(one.args).get("only_with") for name, one in refuted.items())
            if alone and (
                claim.id in leaning or _misspelt(claimed, danced) or _unlike(trials, line, claimed or 0, danced)
            ):
                found.append(edits.CorrectMusic(line, danced))
            continue
        kind, round_ = (Kind.FACING, EIGHTHS) if claim.kind in (Kind.TURN, Kind.NET) else (claim.kind, danced + 1)
        agreed = ends.get((line, kind)) == danced % round_ != (claimed or 0) % round_
        match claim.kind:
            case Kind.LENGTH:
                agreed |= _misspelt(claimed, danced)
                agreed |= len(refuted) == 1 and _whole(routine.sheet, line, (claimed or 0) - danced)
            case Kind.TURN | Kind.NET:  # a class sees where it faces then, not how often it went round
                off = abs((claimed or 0) - danced)
                far = abs(claimed or 0) < EIGHTHS <= abs(danced) and not off % EIGHTHS
                turns = _turns(routine.sheet, line)
                agreed |= far and not any(
                    off in range(0, 2 * often * abs(turn) + 1, 2 * abs(turn)) for turn, often in turns
                )
                sides = [(turn > 0) - (turn < 0) for turn, _ in turns]
                agreed |= claimed == -danced and len(sides) > 1 and {*sides} == {(danced > 0) - (danced < 0)}
            case Kind.FIGURE:
                after = trials.after((edit,))
                agreed = after is not None and not after.left
            case Kind.COUNTS:
                agreed |= _joins(routine.sheet, line, edit.value)
            case Kind.WALLS:
                agreed |= bool({Kind.TURN, Kind.NET} & stated) and not turning - {claim.id}
            case Kind.FOOT | Kind.FACING if line == last and isinstance(heads[line], syntax.ExpectRow):
                sure = claim.kind is Kind.FOOT or (stated & {Kind.LENGTH, Kind.SECTION} and not _unsure(routine.sheet))
                agreed |= len(refuted) == 1 and bool(sure)
        if agreed or (claim.id in leaning and claim.kind is not Kind.FIGURE):
            found.append(edits.CorrectSlip(line, edit.at, edit.value, edit.role))
    return tuple(edit for edit in found if edit.line not in kept and edit.kind in kinds)


def _leaning(routine: Routine, refuted: Mapping[str, Diagnostic]) -> set[str]:
    """Return the claims that others fail with: those about time for a claim about time, if there are any."""
    assert routine.program is not None
    about_time = {one.id: one.kind in (Kind.LENGTH, Kind.COUNTS, Kind.SECTION) for one in routine.program.claims}
    found: set[str] = set()
    for name, one in refuted.items():
        causes = dict(one.args).get("only_with", ())
        found.update([cause for cause in causes if about_time[cause] is about_time[name]] or causes)
    return found


def _restated(
    routine: Routine, refuted: Mapping[str, Diagnostic]
) -> Iterator[tuple[Claim, edits.ChangeClaim | edits.ChangeMusic, int | None, int]]:
    """Yield the refuted claims to which the steps give one value, if no other is to blame; each with its change to what
    is danced, its value as claimed, and as danced."""
    for (line, at, role), claim in register(routine.sheet).slots.items():
        args = dict(refuted[claim.id].args) if claim.id in refuted else {}
        values = args.get("found_values", ())
        if len(values) != 1 or args.get("only_with"):
            continue
        value = _danced(claim.kind, values[0], routine.sheet, line)
        both = claim.kind in (Kind.LEAD, Kind.FOOT, Kind.BOTH) and value == Weight.BOTH
        if claim.kind is Kind.SECTION and values[0]:
            yield claim, edits.ChangeMusic(line, values[0]), args["expected_value"], values[0]
        elif value is not None:
            yield claim, edits.ChangeClaim(line, at, None if both else value, role), args["expected_value"], values[0]


def facts(trials: Trials) -> tuple[edits.ChangeMusic, ...]:
    """Return the lengths of sections of the music that would be what is danced, where something is danced to them."""
    return tuple(edit for edit in restatements(trials) if isinstance(edit, edits.ChangeMusic))


def restatements(trials: Trials) -> tuple[edits.ChangeClaim | edits.ChangeMusic, ...]:
    """Return the refuted claims that the steps give one value, each changed to that."""
    told = {one.claim: one for one in trials.report.diagnostics if one.claim}
    return tuple(edit for _, edit, _, _ in _restated(trials.routine, told))


def _danced(kind: Kind, value: int, sheet: syntax.Sheet, line: int) -> int | tuple[int, int] | Foot | None:
    """Return the value that would make a refuted claim true; None where the claim has no value to change."""
    match kind:
        case Kind.LENGTH | Kind.FIGURE | Kind.TURN | Kind.NET | Kind.FACING:
            return value
        case Kind.LEAD if isinstance(numbered(sheet)[line].node, syntax.PartHead):
            return Foot(value).other if value != Weight.BOTH else None
        case Kind.FOOT | Kind.BOTH:
            return Weight.BOTH if value == Weight.BOTH else Foot(value).other
        case Kind.WALLS:
            return EIGHTHS // gcd(value, EIGHTHS)
        case Kind.COUNTS if value % TICKS == 0:
            head = numbered(sheet)[line].node
            assert isinstance(head, syntax.CountsHead)
            late, end = (value // TICKS + 1, head.last), (head.first, value // TICKS)
            if _joins(sheet, line, late):
                return late
            return end if end[0] <= end[1] else None
    return None


def _misspelt(claimed: int | None, danced: int) -> bool:
    """Say whether a length is likely to be written wrong: it is what is danced with two digits swapped, or no whole
    number of fours where that is."""
    if claimed is None:
        return False
    one, other = str(claimed // TICKS), str(danced // TICKS)
    swapped = other != one and other in words.swaps(one)
    return swapped or (any(danced % unit == 0 for unit in WHOLE) and all(claimed % unit for unit in FOURS))


def _lengths(sheet: syntax.Sheet) -> dict[str, set[int]]:
    return {
        name: {piece.ticks for piece in head.pieces if isinstance(piece, syntax.Length)}
        for name, head in parts(sheet).items()
    }


def _whole(sheet: syntax.Sheet, line: int, missing: int) -> bool:
    """Say whether a line is the head of a dance of whole parts that say how long they are, none of them, some times, as
    long as what is missing."""
    lengths = _lengths(sheet)
    dance = dance_of(sheet)
    options = [option for _, row in rows(dance.body) for option in row.options]
    whole = all(lengths.get(key(one.name)) and not one.marks for one in options)
    fills = any(ticks and missing % ticks == 0 for some in lengths.values() for ticks in some)
    return line == dance.number and missing > 0 and whole and not fills


def _unlike(trials: Trials, line: int, claimed: int, danced: int) -> bool:
    """Say whether no part would fill what a section of the music is too long for: it is longer than another of its
    name, which is as long as is danced; or its name stands once, and all that is danced to it is one part that is
    danced nowhere else, as long as that says."""
    sheet = trials.routine.sheet
    lengths = _lengths(sheet)
    names = [(one.number, base(row.name)) for one, row in sheet.music]
    name = dict(names)[line]
    lines = dance_of(sheet).body
    heads = [one for one in every_line(lines) if base(label(one)) == name]
    calls, inner = ([key(row.options[0].name) for _, row in rows(some)] for some in (lines, tuple(heads)))
    others = {row.ticks for one, row in sheet.music if base(row.name) == name and one.number != line}
    if claimed % danced == 0 or any(claimed - danced in some for some in lengths.values()):
        return False
    lone = [other for _, other in names].count(name) == len(heads) == len(inner) == calls.count(inner[0]) == 1
    return (others == {danced} and claimed > danced) or (lone and danced in lengths.get(inner[0], ()))


def _turns(sheet: syntax.Sheet, head: int) -> list[tuple[int, int]]:
    """Return the turns that are written on lines under a heading, in signed eighths, each with how often at most."""
    part = tuple(line for line in sheet.lines if line.number == head)
    blocks = [
        (line.node.times or 1, {number for number, _ in rows(line.body)})
        for line in every_line(part)
        if isinstance(line.node, syntax.TimesHead)
    ]
    return [
        (mark.signed, (option.times or 1) * prod(times for times, inner in blocks if number in inner))
        for number, row in rows(part)
        for option in row.options
        for mark in option.marks
        if isinstance(mark, syntax.TurnMark) and mark.eighths
    ]


def _unsure(sheet: syntax.Sheet) -> bool:
    """Say whether a line has a part danced with the opposite foot or mirrored, or may name the wrong part."""
    options = (option for _, row in rows(sheet.lines) for option in row.options)
    return any(named(dance_of(sheet), parts(sheet))) or any(mark_of(one, syntax.SwapMark) for one in options)


def _joins(sheet: syntax.Sheet, line: int, counts: Any) -> bool:
    """Say whether a heading of other counts would begin where the one before it ends, or end where the next begins."""
    part = next(part for part in sheet.lines if any(one.number == line for one in part.body))
    heads = [one for one in part.body if isinstance(one.node, syntax.CountsHead)]
    spans = [(head.node.first, head.node.last) for head in heads]  # type: ignore[union-attr]
    at = [head.number for head in heads].index(line)
    before, after = [(0, 0), *spans][at][1], [*spans, (0, 0)][at + 1][0]
    return (counts[0], counts[1] + 1) in ((before + 1, spans[at][1] + 1), (spans[at][0], after))


def _ends(routine: Routine, proved: frozenset[str]) -> dict[tuple[int, Kind], int]:
    """Return by the lines of parts what the last of their headings say that hold: the tick of the end, the facing."""
    claims = {(slot[0], claim.kind) for slot, claim in register(routine.sheet).slots.items() if claim.id in proved}
    found: dict[tuple[int, Kind], int] = {}
    for part in routine.sheet.lines:
        for line in part.body:
            if not isinstance(line.node, syntax.CountsHead):
                continue
            if (line.number, Kind.COUNTS) in claims:
                found[part.number, Kind.LENGTH] = line.node.last * TICKS
            if line.node.facing is not None and (line.number, Kind.FACING) in claims:
                found[part.number, Kind.FACING] = line.node.facing.facing
    return found


def named(dance: Line, heads: Mapping[str, syntax.PartHead]) -> Iterator[edits.NameSection]:
    """Yield the lines of a dance that are to name the part of the name of their section of the music, what all other
    sections of that name, but for its number, are danced to, or what alone stands between the same two elsewhere."""
    lines = rows(dance.body)
    sections = {number: row.section for number, row in lines}
    for head in every_line(dance.body):
        inner = [line.number for line in head.body if isinstance(line.node, Row)]
        if isinstance(head.node, syntax.LabelHead) and len(inner) == 1:
            sections[inner[0]] = head.node.name
    names = [key(row.options[0].name) for _, row in lines]
    for at, (number, _) in enumerate(lines):
        section, fellows = sections[number], set[str]()
        if section is not None:
            fellows |= {key(section)} & {*heads}
            alike = {names[n] for n, (one, _) in enumerate(lines) if n != at and base(sections[one]) == base(section)}
            fellows |= alike if len(alike) == 1 else set()
        pairs = {pair for n, pair in enumerate(pairwise(names)) if n not in (at - 1, at)}
        around = (*names[max(at - 1, 0) : at], *names[at + 1 : at + 2])
        if names[at] in heads and len(around) == 2:
            between = {name for name in heads if {(around[0], name), (name, around[1])} <= pairs}
            fellows |= between if not {(around[0], names[at]), (names[at], around[1])} <= pairs else set()
        yield from (
            edits.NameSection(number, heads[name].name) for name in fellows if name in heads and name != names[at]
        )


def base(section: str | None) -> str | None:
    """Return the name of a section of the music without its number."""
    return None if section is None else key(section).rstrip("0123456789 ")


def call(line: Line) -> str:
    """Return the name on a row of one alternative."""
    return key(line.node.options[0].name) if isinstance(line.node, Row) else ""


NAMES = ("unknown-name", "unknown-header", "header-value", "unknown-section", "unknown-reading", "cut-beyond-the-end")
MOST_TRIES = 27
ROUNDS = 3


def respelled(routine: Routine, rounds: int = ROUNDS) -> Iterator[tuple[tuple[edits.FixName, ...], Routine]]:
    """Yield the ways to put names and cuts of an ill-formed sheet right, nearest first, with the routine after each.

    Nothing is yielded if something else is wrong with it too.
    """
    wrong = [found for found in routine.diagnostics if found.code.severity is Severity.ERROR]
    options = [tuple(_meant(found)) for found in wrong]
    if not rounds or not wrong or not all(options):
        return
    for fixes in islice(product(*options), MOST_TRIES):
        text = applied(routine.sheet, fixes)
        sheet, found = parser.parse(Source(routine.path, text))
        made = elaborate(sheet, found, readings=routine.readings)
        if made.program is not None:
            yield fixes, made
            continue
        lines = {fix.line for fix in fixes}
        for more, after in respelled(made, rounds - 1):
            if not lines & {fix.line for fix in more}:
                yield (*fixes, *more), after


def relabelled(routine: Routine) -> Iterator[tuple[tuple[Edit], Routine]]:
    """Yield the ways to bring a dance into the order of the music, with the routine after each: two lines beside each
    other that change places, or a line less.

    Where nothing fails after some of them, only these; none if something else is wrong with the sheet.
    """
    wrong = [found.code.name for found in routine.diagnostics if found.code.severity is Severity.ERROR]
    if {*wrong} != {"unknown-section"}:
        return
    found: list[Edit] = []
    for block in every_line(routine.sheet.lines):
        lines = [line for line in block.body if label(line) is not None]
        for one, other in pairwise(lines):
            same = one.node == other.node and one.body == other.body
            found.append(edits.DeleteTwin(other.number) if same else edits.Exchange(one.number, other.number, True))
        found += (edits.DeleteLine(line.number) for line in lines)
    made = {edit: reread(routine, applied(routine.sheet, (edit,))) for edit in found}
    fits = [((edit,), one) for edit, one in made.items() if one.program is not None]
    yield from [way for way in fits if way[1].program is not None and not failing(way[1].program)] or fits


def _meant(found: Diagnostic) -> Iterator[edits.FixName]:
    """Yield what may have been meant in the place of a finding: what its hints would write there."""
    if found.code.name not in NAMES:
        return
    for hint in found.hints:
        for span, name in hint.patch.replacements if hint.patch is not None else ():
            if span == found.span or found.code.name == "unknown-reading":
                yield edits.FixName(span.line, span.column, span.end_column, name)
