"""Evident mistakes: changes that other lines, headings or claims of the same sheet speak for.

Each is a change of one kind that costs less than it else would; specs/costs.md has the rules.
"""

from collections.abc import Iterator, Mapping
from itertools import pairwise
from math import gcd

from stepcheck.language import syntax
from stepcheck.language.edits import ChangeBlock, ChangeMusic, CorrectSlip, DeleteTwin, Edit, InsertCall, NameSection
from stepcheck.language.printer import print_node
from stepcheck.language.stretches import every_line
from stepcheck.language.syntax import Line, Option, Row
from stepcheck.model.dance import EIGHTHS, TICKS, Foot, Kind, Weight, key
from stepcheck.model.outcome import Verdict
from stepcheck.program.claims import register
from stepcheck.program.routine import Routine
from stepcheck.report import pipeline

BOTH_FEET = 2
FOURS, EIGHTS = (4 * TICKS, 3 * TICKS), (8 * TICKS, 6 * TICKS)
"""The usual lengths of phrases of music: fours and eights, or the threes and sixes of a waltz."""


def slips(routine: Routine, kept: frozenset[int]) -> tuple[Edit, ...]:
    """Return the refuted claims that the sheet itself shows to be slips of the pen, changed to what is danced.

    Such a claim is contradicted by another claim, which the steps bear out; or its number is no whole number of fours
    or has two digits of what is danced swapped, and what is danced are whole eights.
    """
    report = pipeline.check(routine, engine="walk")
    refuted = {one.claim: one for one in report.diagnostics if one.claim}
    leaning = {cause for one in refuted.values() for cause in dict(one.args).get("only_with", ())}
    ends = _ends(routine, frozenset(one.id for one in report.claims if one.verdict is Verdict.PROVED))
    found: list[Edit] = []
    for (line, at, role), claim in register(routine.sheet).slots.items():
        finding = refuted.get(claim.id)
        args = dict(finding.args) if finding is not None else {}
        if line in kept or len(args.get("found_values", ())) != 1 or args.get("only_with"):
            continue
        (danced,) = args["found_values"]
        value = _danced(claim.kind, danced, routine.sheet, line)
        claimed = args["expected_value"]
        kind, round_ = (Kind.FACING, EIGHTHS) if claim.kind in (Kind.TURN, Kind.NET) else (claim.kind, danced + 1)
        agreed = ends.get((line, kind)) == danced % round_ != (claimed or 0) % round_
        if value is not None and (claim.id in leaning or agreed or _misspelt(claim.kind, claimed, danced)):
            found.append(CorrectSlip(line, at, None if value == BOTH_FEET else value, role))
    return tuple(found)


def facts(routine: Routine) -> tuple[ChangeMusic, ...]:
    """Return the lengths of sections of the music that would be what is danced, where something is danced to them."""
    lines = {line.number: line.node for line in every_line(routine.sheet.lines)}
    places = {claim.id: claim.line for claim in register(routine.sheet).slots.values() if claim.kind is Kind.SECTION}
    found = []
    for finding in pipeline.check(routine, engine="walk").diagnostics:
        (danced, *more) = dict(finding.args).get("found_values") or (0,)
        line = places.get(finding.claim, 0)
        if danced and not more and isinstance(lines.get(line), syntax.MusicRow):
            found.append(ChangeMusic(line, danced))
    return tuple(found)


def _danced(kind: Kind, value: int, sheet: syntax.Sheet, line: int) -> int | tuple[int, int] | Foot | None:
    """Return the value that would make a refuted claim true; None where the claim has no value to change."""
    match kind:
        case Kind.LENGTH | Kind.TURN | Kind.NET | Kind.FACING:
            return value
        case Kind.LEAD if any(one.number == line and isinstance(one.node, syntax.PartHead) for one in sheet.lines):
            return Foot(value).other if value != Weight.BOTH else None
        case Kind.FOOT | Kind.BOTH:
            return BOTH_FEET if value == Weight.BOTH else Foot(value).other
        case Kind.WALLS:
            return EIGHTHS // gcd(value, EIGHTHS)
        case Kind.COUNTS if value % TICKS == 0:
            first = next(
                one.node.first
                for one in every_line(sheet.lines)
                if one.number == line and isinstance(one.node, syntax.CountsHead)
            )
            return (first, value // TICKS) if value // TICKS >= first else None
    return None


def _misspelt(kind: Kind, claimed: int | None, danced: int) -> bool:
    """Say whether a length is likely to be written wrong: what is danced are whole eights, what is claimed is no whole
    number of fours, or the same digits with two of them swapped."""
    if kind is not Kind.LENGTH or claimed is None or all(danced % unit for unit in EIGHTS):
        return False
    one, other = str(claimed // TICKS), str(danced // TICKS)
    swapped = any(one[:at] + one[at + 1] + one[at] + one[at + 2 :] == other != one for at in range(len(one) - 1))
    return swapped or all(claimed % unit for unit in FOURS)


def _ends(routine: Routine, proved: frozenset[str]) -> dict[tuple[int, Kind], int]:
    """Return by the lines of parts what the last of their headings say that hold: the tick of the end, the facing."""
    claims = {(slot[0], claim.kind) for slot, claim in register(routine.sheet).slots.items() if claim.id in proved}
    found: dict[tuple[int, Kind], int] = {}
    for part in routine.sheet.lines:
        for line in part.body:
            if isinstance(line.node, syntax.CountsHead) and (line.number, Kind.COUNTS) in claims:
                found[part.number, Kind.LENGTH] = line.node.last * TICKS
            if isinstance(line.node, syntax.CountsHead) and (line.number, Kind.FACING) in claims:
                assert line.node.facing is not None
                found[part.number, Kind.FACING] = line.node.facing.facing
    return found


def singles(routine: Routine, kept: frozenset[int], closed: frozenset[int]) -> Iterator[Edit]:
    """Yield the changes that may each mend a sheet by itself, and that its other lines speak for.

    Args:
        routine: the routine.
        kept: lines that stay as they are.
        closed: lines beside which nothing is put in.
    """
    parts = {
        key(one.node.name): str(one.node.name) for one in routine.sheet.lines if isinstance(one.node, syntax.PartHead)
    }
    for line in every_line(routine.sheet.lines):
        for row, section in _sections(line):
            named = parts.get(key(section))
            if named is not None and row.number not in kept:
                yield NameSection(row.number, named)
        if isinstance(line.node, syntax.TimesHead) and line.node.times == 1 and line.number not in kept:
            yield ChangeBlock(line.number, 2)
        for one, other in pairwise(inner for inner in line.body if not isinstance(line.node, syntax.DanceHead)):
            if isinstance(one.node, Row) and one.node == other.node and other.number not in kept:
                yield DeleteTwin(other.number)
    for head in routine.sheet.lines:
        if isinstance(head.node, syntax.DanceHead):
            yield from (edit for edit in _calls(head, parts) if edit.line not in closed)


def _sections(line: Line) -> Iterator[tuple[Line, str]]:
    """Yield the line that alone is danced to a section of the music, with the name of the section, if another is
    written."""
    rows = [one for one in line.body if isinstance(one.node, Row)]
    match line.node:
        case Row(section=str(name), options=(option,)) if key(option.name) != key(name):
            yield line, name
        case syntax.LabelHead(name=name) if len(rows) == 1:
            node = rows[0].node
            if isinstance(node, Row) and [key(option.name) for option in node.options] != [key(name)]:
                yield rows[0], name


def _calls(head: Line, parts: Mapping[str, str]) -> Iterator[InsertCall]:
    """Yield the parts that stand between two others elsewhere in the dance, or behind one, and could stand so here."""
    rows = [line for line in head.body if isinstance(line.node, Row)]
    names = [key(line.node.options[0].name) for line in rows if isinstance(line.node, Row)]
    pairs = set(pairwise(names))
    for line, one, other in zip(rows, names, (*names[1:], None), strict=False):
        marks = line.node.options[0].marks if isinstance(line.node, Row) else ()
        swap = tuple(mark for mark in marks if isinstance(mark, syntax.SwapMark))
        for name, written in parts.items():
            if (one, name) in pairs and (other is None or (name, other) in pairs) and name not in (one, other):
                yield InsertCall(line.number, print_node(Row((Option(written, marks=swap),))))
