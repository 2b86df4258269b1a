"""Sheets that are ill-formed in names only, with the names put right."""

from collections.abc import Iterator
from itertools import islice, product

from stepcheck.language import parser
from stepcheck.language.alterations import applied
from stepcheck.language.edits import FixName
from stepcheck.model.findings import Diagnostic, Severity
from stepcheck.model.source import Source
from stepcheck.program.routine import Routine, elaborate

NAMES = ("unknown-name", "unknown-header", "header-value", "unknown-section", "unknown-reading")
MOST_TRIES = 27
ROUNDS = 3


def respelled(routine: Routine, rounds: int = ROUNDS) -> Iterator[tuple[tuple[FixName, ...], Routine]]:
    """Yield the ways to put the names of an ill-formed sheet right, nearest names first, with the routine after each.

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


def _meant(routine: Routine, found: Diagnostic) -> Iterator[FixName]:
    """Yield the names that may have been meant in the place of a finding: what its hints would write there."""
    if found.code.name not in NAMES:
        return
    for hint in found.hints:
        for span, name in hint.patch.replacements if hint.patch is not None else ():
            if span == found.span or found.code.name == "unknown-reading":
                yield FixName(span.line, span.column, span.end_column, name)
