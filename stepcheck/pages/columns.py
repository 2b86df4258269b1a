"""Columns of a description: which kinds a row of headings names, and cells that stand apart by spaces or strokes."""

import re
from collections.abc import Iterator

from stepcheck.steps.vocabulary import visible

_COLUMNS = {
    "counts": "count, counts, ct, cts, beat, beats",
    "feet": "foot, feet, ft, lead, weight, left/right, l/r, leg",
    "steps": "step, steps, description, what you do, do this, what, movement, movements, action, do, footwork",
    "right": "right foot, right, rf",
    "left": "left foot, left, lf",
    "facing": "facing, wall, face, facing after, clock",
    "section": "sec, section, set, part",
    "cue": "cue, cues, call, calls, called, name, figure",
    "notes": "notes, note, remarks, comment",
    "where": "where, way, place, to where, dir, direction",
    "turn": "turn, turns, turning",
}
"""The words over columns, by what these hold."""


def tabbed(texts: list[str]) -> Iterator[str]:
    """Yield lines, those of a table whose cells stand apart by spaces or strokes with tabs between them."""
    starts: list[int] = []
    barred = False
    for at, raw in enumerate(map(visible, texts)):
        bars = " | " in raw and not raw.lstrip().startswith("|")
        if bars and columns("\t".join(raw.split("|"))):
            barred = True
        elif "\t" not in raw and columns(re.sub(r"(?<=\S) {2,}(?=\S)", "\t", raw.strip())):
            starts = [each.start() for each in re.finditer(r"\S+(?: \S+)*", raw)]
        seen = _celled(raw, starts) if starts and "\t" not in raw else raw
        goes_on = "\t" in seen or any(_under(later, starts) for later in texts[at + 1 : at + 3])
        starts, barred = starts if goes_on else [], barred and bars
        yield "\t".join(cell.strip() for cell in raw.split("|")) if barred else seen


def _under(text: str, starts: list[int]) -> bool:
    """Say whether a row has a cell that stands apart just under a column behind the first."""
    return any(
        each.start() in starts[1:] and text[: each.start()].endswith("  ")
        for each in re.finditer(r"\S+(?: \S+)*", text)
    )


def columns(line: str) -> tuple[str, ...]:
    """Return the kinds of column that a row of column headings names, empty if the line is none."""
    cells = [cell.strip(" .:").casefold() for cell in line.split("\t")]
    kinds = [next((kind for kind, words in _COLUMNS.items() if cell in words.split(", ")), "") for cell in cells]
    for index, cell in enumerate(cells):
        if span := re.match(r"beats? (\d+)\s*[-\u2013]\s*(\d+)$", cell):
            kinds[index] = f"beats {int(span[2]) - int(span[1]) + 1}" if int(span[2]) >= int(span[1]) else ""
    if (
        len(cells) >= 3
        and kinds.count("") == 1
        and cells[kinds.index("")]
        and not {"steps", "cue", "right", "left"} & {*kinds}
    ):
        kinds[kinds.index("")] = "steps"
    named = [kind for kind in kinds if kind]
    return tuple(kinds) if len(cells) >= 3 and len(named) >= max(2, len(cells) - 1) else ()


def _celled(text: str, starts: list[int]) -> str:
    """Return a row whose cells stand apart by spaces with tabs between them, each in the column it stands under."""
    found = [(each.start(), each[0]) for each in re.finditer(r"\S+(?: \S+)*", text)]
    over = starts[1] - found[0][0] if len(starts) > 1 and found else 0
    if found and 0 < over < len(found[0][1]) and found[0][1][over - 1] == " ":
        found[:1] = [(found[0][0], found[0][1][:over].rstrip()), (starts[1], found[0][1][over:])]
    cells = [""] * len(starts)
    for start, cell in found:
        at = max(index for index, begin in enumerate(starts) if begin <= max(start, starts[0]) + 1)
        cells[at] = f"{cells[at]} {cell}".strip()
    return "\t".join(cells) if len(found) > 1 and any(cells[1:]) else text
