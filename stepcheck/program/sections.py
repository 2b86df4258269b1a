"""The finding about a line of the dance that names a section which the music doesn't have."""

from collections.abc import Sequence
from difflib import get_close_matches

from stepcheck.language.parser import meant_lines
from stepcheck.language.patch import MEANT, Rewrite
from stepcheck.language.stretches import every_line
from stepcheck.language.syntax import NOWHERE, At, LabelHead, Line, MusicRow, Row
from stepcheck.model.dance import key
from stepcheck.program.claims import LineFails


def unknown_section(head: Line, music: Sequence[tuple[Line, MusicRow]], label: str, first: Line) -> LineFails:
    """Return the failure of a section's name in the dance.

    Args:
        head: the line `dance:`.
        music: the sections of the music.
        label: the name.
        first: the first line of the dance that belongs to it.
    """
    line, at = _label(head, label, first)
    rows = {key(section.name): (row, section) for row, section in music}
    hints: list[str | Rewrite] = []
    if not rows:
        message, last = f"there is no section {label} of the music", "list the sections under a line music:"
    else:
        if key(label) in rows:
            message = f"the music has no more {label} here"
            last = "bring the dance into the order of the music, or add the section under music:"
        else:
            message = f"the music has no section {label}"
            last = f"the sections are {', '.join(node.name for _, node in rows.values())}"
        near = get_close_matches(key(label), [one for one in rows if one != key(label)])
        hints += [Rewrite(rows[one][1].name, at, MEANT) for one in near]
        for row, node in (rows[one] for one in near if not rows[one][1].role):
            instead = Rewrite(label, node.at, f"or call the section on line {row.number} {{}}")
            hints.append(instead.hint(row.number, row.text[:0].ljust(row.indent), node.at))
    if isinstance(line.node, LabelHead):  # it may be a heading of the language with one word mended
        hints += meant_lines(line.text.partition("#")[0].strip(), "dance")
    return LineFails("unknown-section", line, at, message, *hints, last)


def _label(head: Line, label: str, first: Line) -> tuple[Line, At]:
    """Return the line on which a section is named, above or on the `first` line under it, and the place."""
    if isinstance(first.node, Row) and first.node.section is not None:
        return first, first.node.section_at
    for line in every_line(head.body):
        if isinstance(line.node, LabelHead) and line.node.name == label and first in line.body:
            return line, line.node.at
    return first, NOWHERE
