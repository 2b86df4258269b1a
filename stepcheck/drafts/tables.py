"""Reads the rows of a table of counted steps."""

import re

from attrs import evolve

from stepcheck.drafts.laying import group
from stepcheck.drafts.remainder import announced
from stepcheck.pages.page import Page, sectioned
from stepcheck.pages.parts import Section
from stepcheck.pages.passes import is_change
from stepcheck.steps.counts import Counted, Counts, read
from stepcheck.steps.outline import Assumptions, Expect, Line, cells_of
from stepcheck.steps.rows import rows_of
from stepcheck.steps.steps import clock, wall
from stepcheck.steps.vocabulary import plain

_WORDS = re.compile(r"(?i)\b(?!(?:left|right|both|and|then|foot|feet|[lr]+)\b)[a-z]{3,}")
"""What is no foot."""
_LAST = re.compile(r"[,/>]|\bto\b|\bthen\b")
"""What stands before the last of several walls."""


def _goes_on(page: Page, following: str) -> bool:
    """Say whether the next row has the counts behind those that were read: then no steps stand between them."""
    counts = read(plain(dict(zip(page.table, cells_of(following), strict=False)).get("counts", "")))
    last = page.here.last if page.parts else 0
    return counts is not None and (counts.first == last + 1 or (last > 0 and counts.first == 1))


def table_row(page: Page, number: int, text: str, following: str = "") -> bool:
    """Read a row of a table, counted steps or the head of a section; return whether it is one.

    `following` is the next line.
    """
    cells, table = [re.sub(r"^[\s.-]+$", "", cell) for cell in cells_of(text)], page.table
    said = dict(zip(table, cells, strict=False))
    if said.get("steps") and len(_WORDS.findall(said.get("feet", ""))) > 1 and page.steps(said["feet"]):
        table = tuple({"feet": "steps", "steps": "cue"}.get(kind, kind) for kind in table)
        said = dict(zip(table, cells, strict=False))
    filled = [cell for cell in cells if cell]
    if is_change(head := filled[0] if len(filled) == 1 else cells[0]):
        if not (tag := announced(page, head)):
            return False
        page.tag, said = tag, {**said, "section": ""}
    counts = read(plain(said.get("counts", "")))
    below = "   ".join(filter(None, cells_of(following)))
    titled = counts is None or counts.length > 4 or re.search(r"[A-Za-z]{2}|[A-Z]\d|[(\[]", said["counts"])
    many = counts.length if counts and counts.length > 4 else 0
    told = 0 < many <= page.steps(said.get("steps", ""))
    named = titled and not told and sectioned(page, "   ".join(filled), below)
    if named or (len(filled) == 1 and said.get("steps") and not page.tag and _goes_on(page, following)):
        page.tag = None
        page.section(Section(" ".join(filled), named.counts if named else None, number))
        page.reader.mark(number, "heading")
        return True
    letter = "ABCDEFGH"[sum(re.fullmatch("[A-H]", each.title) is not None for each in page.sections) :][:1]
    if (label := re.match(rf"{letter}\s+(?=[A-Z])", name := said.get("cue", ""))) and letter and counts:
        said = {**said, "section": letter, "cue": name[label.end() :]}
    if said.get("section") and (page.tag or said["section"] != page.here.title):
        page.tag = None
        page.section(Section(said["section"], None, number))
    if (hour := _walled(said.get("where", ""))) and ":" in hour:
        said = {**said, "where": "", "facing": hour}
    words = " ".join(said[kind] for kind in ("steps", "where", "turn") if said.get(kind))
    words += ", ".join(f"{side} {said[side]}" for side in ("right", "left") if said.get(side))
    words = _called(page, said.get("cue", ""), words, counts)
    if counts is None or not words:
        return False
    group(page, number, [Counted(words, counts, said.get("feet", ""), "")])
    facing = said.get("facing", "")
    face = _walled(facing)
    known = {"counts", "feet", "steps", "section", "where", "turn", "right", "left"} | (
        {"facing"} if face and not _LAST.search(facing) else set()
    )
    kinds = (*table, *[""] * (len(cells) - len(table)))
    rest = [cell for kind, cell in zip(kinds, cells, strict=False) if kind not in known and re.search(r"\w", cell)]
    items = page.target
    last = max((at for at, item in enumerate(items) if isinstance(item, Line)), default=-1)
    if last >= 0 and isinstance(line := items[last], Line):
        items[last] = evolve(line, facing=face or line.facing, remark="; ".join(filter(None, (line.remark, *rest))))
        items += [Expect(f"facing {face}")] if line.blank and face else []
    return True


def _called(page: Page, name: str, words: str, counts: Counts | None) -> str:
    """Return the words that a row spells, behind what they are called where they alone don't come to its counts, or
    have no turn where the name has one."""
    if not (name and words and counts):
        return words or name
    made = rows_of(evolve(page.group(words), counts=counts), page.reader.book, Assumptions())
    turns = [any(getattr(event, "turn", None) for event in page.group(each).events) for each in (name, words)]
    told = not any(isinstance(item, Line) and item.blank for item in made) and turns[0] <= turns[1]
    return words if told else f"{name}: {words}"


def facing_said(page: Page, text: str) -> list[str]:
    """Return the cells of a row that is none of steps, an hour in a column of facings as one."""
    cells = cells_of(text)
    kinds = (*page.table, *[""] * (len(cells) - len(page.table)))
    faces = [_walled(cell) if kind == "facing" else "" for kind, cell in zip(kinds, cells, strict=False)]
    return [f"facing {face}" if face else cell for face, cell in zip(faces, cells, strict=True)]


def _walled(cell: str) -> str:
    """Return the facing that a cell says, "" for none."""
    said = _LAST.split(cell.casefold())[-1].strip(" .")
    return said if said in ("front", "back") else clock(said) or wall(said if ":" in said else f"{said}:00")
