"""Mistakes that the sheet itself shows: what its other lines, headings and claims say of what was meant.

Each is a change of one kind that costs less than it else would; specs/costs.md has the rules.
"""

from collections.abc import Iterator, Mapping
from itertools import pairwise
from math import gcd

from stepcheck.language import syntax
from stepcheck.language.edits import CorrectSlip, DeleteTwin, Edit, InsertCall, NameSection
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
"""What music comes in: fours and eights, or the threes and sixes of a waltz."""


def slips(routine: Routine, kept: frozenset[int]) -> tuple[Edit, ...]:
    """Return the refuted claims that the sheet itself shows to be slips of the pen, changed to what is danced.

    Such a claim is contradicted by another claim, which the steps bear out; or its number is no whole number of fours
    or has two digits of what is danced swapped, and what is danced are whole eights.
    """
    report = pipeline.check(routine, engine="walk")
    refuted = {one.claim: one for one in report.diagnostics if one.claim}
    leaning = {cause for one in refuted.values() for cause in dict(one.args).get("only_with", ())}
    heads = _last_headings(routine, frozenset(one.id for one in report.claims if one.verdict is Verdict.PROVED))
    found: list[Edit] = []
    for (line, at, role), claim in register(routine.sheet).slots.items():
        finding = refuted.get(claim.id)
        args = dict(finding.args) if finding is not None else {}
        if line in kept or len(args.get("found_values", ())) != 1 or args.get("only_with"):
            continue
        (danced,) = args["found_values"]
        value = _danced(claim.kind, danced, routine.sheet, line)
        ends = claim.kind is Kind.LENGTH and (line, danced) in heads
        if value is not None and (claim.id in leaning or ends or _misspelt(claim.kind, args["expected_value"], danced)):
            found.append(CorrectSlip(line, at, None if value == BOTH_FEET else value, role))
    return tuple(found)


def _danced(kind: Kind, value: int, sheet: syntax.Sheet, line: int) -> int | tuple[int, int] | Foot | None:
    """Return what a refuted claim would say if it said what is danced; None where it says nothing of the kind."""
    match kind:
        case Kind.LENGTH | Kind.TURN | Kind.NET | Kind.FACING:
            return value
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


def _last_headings(routine: Routine, proved: frozenset[str]) -> frozenset[tuple[int, int]]:
    """Return the parts whose last heading of counts holds, by line, with the tick at which it ends."""
    claims = {(slot[0], claim.kind) for slot, claim in register(routine.sheet).slots.items() if claim.id in proved}
    found = set()
    for part in routine.sheet.lines:
        heads = [one for one in part.body if isinstance(one.node, syntax.CountsHead)]
        if heads and (heads[-1].number, Kind.COUNTS) in claims and isinstance(heads[-1].node, syntax.CountsHead):
            found.add((part.number, heads[-1].node.last * TICKS))
    return frozenset(found)


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
        node = line.node
        if isinstance(node, Row) and node.section is not None and line.number not in kept:
            named = parts.get(key(node.section))
            if named is not None and [key(one.name) for one in node.options] != [key(named)]:
                yield NameSection(line.number, named)
        for one, other in pairwise(inner for inner in line.body if not isinstance(line.node, syntax.DanceHead)):
            if isinstance(one.node, Row) and one.node == other.node and other.number not in kept:
                yield DeleteTwin(other.number)
    for head in routine.sheet.lines:
        if isinstance(head.node, syntax.DanceHead):
            yield from (edit for edit in _calls(head, parts) if edit.line not in closed)


def _calls(head: Line, parts: Mapping[str, str]) -> Iterator[InsertCall]:
    """Yield the parts that stand between two others elsewhere in the dance, and could stand between them here."""
    rows = [line for line in head.body if isinstance(line.node, Row)]
    names = [key(line.node.options[0].name) for line in rows if isinstance(line.node, Row)]
    pairs = set(pairwise(names))
    for line, (one, other) in zip(rows, pairwise(names), strict=False):
        for name, written in parts.items():
            if (one, name) in pairs and (name, other) in pairs and name not in (one, other):
                yield InsertCall(line.number, print_node(Row((Option(written),))))
