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
    barred, last = False, ""
    for at, raw in enumerate(map(visible, texts)):
        bars = " | " in raw and (barred or not raw.lstrip().startswith("|"))
        if bars and columns("\t".join(raw.split("|"))):
            barred = True
        elif "\t" not in raw and columns(re.sub(r"(?<=\S) {2,}(?=\S)", "\t", raw.strip())):
            starts = [each.start() for each in re.finditer(r"\S+(?: \S+)*", raw)]
        seen = _celled(raw, starts) if starts and "\t" not in raw else raw
        if seen == raw and starts and "\t" in last and raw.strip():
            seen = _alone(raw, starts, last.split("\t"))
        goes_on = "\t" in seen or any(_under(later, starts) for later in texts[at + 1 : at + 3])
        starts, barred = starts if goes_on else [], barred and bars
        last = "\t".join(cell.strip() for cell in raw.split("|")) if barred else seen
        yield last


def _alone(raw: str, starts: list[int], before: list[str]) -> str:
    """Return a cell that stands alone and goes on with the words of the cell over it in its column, any other line as
    it is."""
    begin = len(raw) - len(raw.lstrip())
    at = starts.index(begin) if begin in starts[1:] else 0
    return "\t" * at + raw.strip() if 0 < at < len(before) and _unended(before[at], raw.strip()) else raw


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


_UNENDED = re.compile(r"(?:[,&+/-]|\b(?:and|then|with|to|on|the|a))\s*$")


def _unended(before: str, more: str) -> bool:
    """Say whether the words of a cell go on in the cell under it."""
    return bool(more) and (bool(_UNENDED.search(before)) or more[0].islower() or more[0] in "(&")


def row_on(kinds: tuple[str, ...], before: str, text: str) -> str:
    """Return a row of a table with the one under it that has no counts of its own and goes on with its words, or says
    where it faces; "" for any other lines."""
    cells, more = before.split("\t"), text.split("\t")
    if not {"counts", "steps"} <= {*kinds} or len(more) < 2 or max(len(cells), len(more)) > len(kinds):
        return ""
    cells += [""] * (len(kinds) - len(cells))
    more += [""] * (len(kinds) - len(more))
    pairs = {kind: (one.strip(), other.strip()) for kind, one, other in zip(kinds, cells, more, strict=True)}
    led, own = pairs["counts"]
    apart = [kind for kind, (one, other) in pairs.items() if one and other and kind != "steps"]
    filled = any(other for kind, (_, other) in pairs.items() if kind != "steps")
    if own or apart or not re.match(r"\W*\d", led) or pairs.get("section", ("", ""))[1]:
        return ""
    if not (filled or _unended(*pairs["steps"])):
        return ""
    return "\t".join(" ".join(filter(None, map(str.strip, both))) for both in zip(cells, more, strict=True))


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
