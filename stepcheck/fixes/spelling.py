"""Sheets that are ill-formed in names, numbers of cuts, or the order of the sections of the music, put right."""

from collections.abc import Iterator
from itertools import islice, pairwise, product

from stepcheck.fixes.protected import failing
from stepcheck.fixes.shapes import label
from stepcheck.language import parser
from stepcheck.language.alterations import applied
from stepcheck.language.edits import DeleteLine, DeleteTwin, Edit, Exchange, FixName
from stepcheck.language.stretches import every_line
from stepcheck.model.findings import Diagnostic, Severity
from stepcheck.model.source import Source
from stepcheck.program.routine import Routine, elaborate

NAMES = ("unknown-name", "unknown-header", "header-value", "unknown-section", "unknown-reading", "cut-beyond-the-end")
MOST_TRIES = 27
ROUNDS = 3


def respelled(routine: Routine, rounds: int = ROUNDS) -> Iterator[tuple[tuple[FixName, ...], Routine]]:
    """Yield the ways to put names and cuts of an ill-formed sheet right, nearest first, with the routine after each.

    Nothing is yielded if something else is wrong with it too.
    """
    wrong = [found for found in routine.diagnostics if found.code.severity is Severity.ERROR]
    options = [tuple(_meant(routine, found)) for found in wrong]
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
            found.append(DeleteTwin(other.number) if same else Exchange(one.number, other.number, True))
        found += (DeleteLine(line.number) for line in lines)
    after = {edit: parser.parse(Source(routine.path, applied(routine.sheet, (edit,)))) for edit in found}
    made = {edit: elaborate(*one, readings=routine.readings, book=routine.facts.book) for edit, one in after.items()}
    fits = [((edit,), one) for edit, one in made.items() if one.program is not None]
    yield from [way for way in fits if way[1].program is not None and not failing(way[1].program)] or fits


def _meant(routine: Routine, found: Diagnostic) -> Iterator[FixName]:
    """Yield what may have been meant in the place of a finding: what its hints would write there."""
    if found.code.name not in NAMES:
        return
    for hint in found.hints:
        for span, name in hint.patch.replacements if hint.patch is not None else ():
            if span == found.span or found.code.name == "unknown-reading":
                yield FixName(span.line, span.column, span.end_column, name)
