"""Edits of a sheet in a few words: `line 12: Triple instead of Basic`."""

import re
from collections.abc import Iterable
from difflib import SequenceMatcher

from stepcheck.language.alterations import changed
from stepcheck.language.edits import ChangeMusic, DeleteLine, Edit, Exchange, FixName, InsertLine, SettleReading
from stepcheck.language.printer import print_node
from stepcheck.language.stretches import every_line
from stepcheck.language.syntax import Sheet
from stepcheck.model import words

_PIECES = re.compile(r", | \| |: |:$")
MOST = 3
"""How many changes are named; of more the number is said."""


def described(sheet: Sheet, edits: Iterable[Edit]) -> str:
    """Return edits of a sheet in words; the same one on several lines is said once.

    Args:
        sheet: the sheet as it is.
        edits: they name its lines.
    """
    places: dict[str, list[int]] = {}
    for edit in edits:
        places.setdefault(_said(sheet, edit), []).append(edit.line)
    said = [f"{_lines(lines)}{what}" for what, lines in places.items()]
    more = [f"{len(said) - MOST} more"] if len(said) > MOST else []
    return "; ".join([*said[:MOST], *more])


def _lines(lines: list[int]) -> str:
    return f"line{'s' if len(lines) > 1 else ''} {words.listed([str(line) for line in lines])}"


def _said(sheet: Sheet, edit: Edit) -> str:
    """Return what an edit does, as it stands behind the number of its line."""
    line = next(one for one in every_line(sheet.lines) if one.number == edit.line)
    match edit:
        case InsertLine(text=text, before=before):
            return f": {text} put in {'before' if before else 'after'} it"
        case SettleReading(word=word, reading=reading, new=True):
            return f": {word}: {reading} put in after it"
        case Exchange(other=other):
            return f" and line {other}: exchanged"
        case DeleteLine():
            return f": {line.text.partition('#')[0].strip().rstrip(':')} taken out"
        case FixName(start=start, end=end, name=name):
            return f": {name} instead of {sheet.source.line(edit.line)[start - 1 : end - 1]}"
    assert line.node is not None
    old, new = (_PIECES.split(print_node(node)) for node in (line.node, changed(edit, line.node)))
    gone, came = [], []
    for what, start, end, first, last in SequenceMatcher(None, old, new, autojunk=False).get_opcodes():
        if what != "equal":
            gone += old[start:end]
            came += new[first:last]
    if not gone:
        return f": {', '.join(came)} put in"
    said = f": {', '.join(came)} instead of {', '.join(gone)}" if came else f": {', '.join(gone)} taken out"
    return f"{said} (what the sheet says of the music: listen to it)" if isinstance(edit, ChangeMusic) else said
