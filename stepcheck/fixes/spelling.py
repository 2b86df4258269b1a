"""Sheets that are ill-formed in names only, with the names put right."""

import re
from collections.abc import Iterator
from difflib import get_close_matches
from itertools import islice, product

from stepcheck.language import parser
from stepcheck.language.alterations import applied
from stepcheck.language.edits import FixName
from stepcheck.language.syntax import MusicHead, MusicRow
from stepcheck.model.dance import key
from stepcheck.model.findings import Diagnostic, Severity
from stepcheck.model.source import Source
from stepcheck.program.routine import Routine, elaborate

NAMES = ("unknown-name", "unknown-header", "header-value", "unknown-section", "unknown-reading")
MOST_TRIES = 27
ROUNDS = 3
_MEANT = re.compile(r"(?:or )?did you mean (.+?)\?$")
_ONE_OF = re.compile(r"write one of: (.+)$")


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
    """Yield the names that may have been meant in the place of a finding."""
    span = found.span
    if found.code.name not in NAMES or span.line != span.end_line:
        return
    names = [meant[1] for hint in found.hints if (meant := _MEANT.match(hint))]
    written = routine.sheet.source.line(span.line)[span.column - 1 : span.end_column - 1]
    for hint in found.hints:
        if one_of := _ONE_OF.match(hint):
            names += one_of[1].split("; ")
    if found.code.name == "unknown-section":
        sections = {
            key(row.node.name): row.node.name
            for head in routine.sheet.lines if isinstance(head.node, MusicHead)
            for row in head.body if isinstance(row.node, MusicRow)
        }  # fmt: skip
        names += [sections[near] for near in get_close_matches(key(written.rstrip(":")), sections)]
    for name in dict.fromkeys(names):
        if name != written:
            yield FixName(span.line, span.column, span.end_column, name)
