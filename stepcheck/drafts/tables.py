"""Rows of tables in a routine: a cue with its codes and feet, or a set with a column for each few beats."""

import re

from attrs import evolve

from stepcheck.drafts.codes import feet_of, row
from stepcheck.drafts.cues import Cues, split_foot
from stepcheck.drafts.outline import Block, Item, Line, Remark


def row_lines(cells: list[str], said: dict[str, str], kinds: tuple[str, ...], cues: Cues) -> list[Item]:
    """Return the lines of a row with a cue, its codes, feet and notes; none where it says no steps.

    Args:
        cells: the cells as they stand; one in a column without a known heading is a remark.
        said: the cells by the kind of their column.
        kinds: the kinds of the columns.
        cues: reads cues and codes.
    """
    name, foot = split_foot(said.get("cue", ""))
    beats = int(said["counts"]) if said.get("counts", "").isdecimal() else 0
    rest = [cell for kind, cell in zip(kinds, cells, strict=False) if cell and not kind] + [
        c for c in cells[len(kinds) :] if c
    ]
    notes = re.sub(r"^(left|right)$", r"to the \1", said.get("notes", ""))
    if coded := row(said.get("steps", "")):
        line = cues.behind(cues.coded(evolve(coded, name=name), feet_of(said.get("feet", ""))), notes)
        line = evolve(line, foot=line.foot or foot) if line.name else line
        made: list[Item] = [line]
    else:
        made = list(cues.cues(said.get("steps") or said.get("cue", "")))
        if not made or not isinstance(last := made[-1], Line):
            return []
        made[-1] = cues.behind(last, notes)
    if len(made) > 1 or not isinstance(only := made[0], Line):
        return made
    counts = beats or cues.beats(only)
    return [evolve(only, counts=counts, stated=bool(beats), remark="; ".join(rest))]


def set_block(cells: list[str], kinds: tuple[str, ...], cues: Cues) -> Block:
    """Return the lines of a set, each column of beats a cue; `(cont.)` carries on the cue before."""
    items: list[Item] = []
    facing, total = "", 0
    for kind, cell in zip(kinds, cells, strict=False):
        if kind == "facing":
            facing = cell.casefold()
        if not kind.startswith("beats"):
            continue
        beats = int(kind.split()[1])
        total += beats
        if re.match(r"\(?cont", cell, re.IGNORECASE) and items and isinstance(last := items[-1], Line):
            items[-1] = evolve(last, counts=last.counts + beats, stated=True)
            continue
        made = cues.cues(cell) or (Remark(cell),)
        if len(made) == 1 and isinstance(only := made[0], Line):
            made = (evolve(only, counts=beats, stated=True),)
        items += made
    return Block(f"beats 1-{total}", tuple(items), facing if facing in ("front", "back") else "", cells[0])
