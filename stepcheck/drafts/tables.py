"""Reads the rows of a table: counted steps, cues with their codes, sets with their beats."""

import re

from attrs import evolve

from stepcheck.drafts.laying import group
from stepcheck.drafts.retold import TELLS
from stepcheck.pages.heads import head, name_of
from stepcheck.pages.order import ORDER_WORD, REPEAT
from stepcheck.pages.page import Page, sectioned
from stepcheck.pages.parts import Section
from stepcheck.pages.passes import is_change
from stepcheck.steps.codes import feet_of, forms_beats, is_feet, row
from stepcheck.steps.counts import Counted, read
from stepcheck.steps.cues import Cues
from stepcheck.steps.marks import footed, footed_once, split_foot, times_again, times_of, unaccounted
from stepcheck.steps.outline import Block, Expect, Item, Line, Remark, cells_of
from stepcheck.steps.steps import clock, wall
from stepcheck.steps.vocabulary import plain, tight


def table_row(page: Page, number: int, text: str, following: str = "") -> str | None:
    """Read a row of a table: counted steps, a set with its beats, a cue with its codes; `following` is the next line.

    Returns:
        "" where it is read, the text that it is where it ends or interrupts the table, None where it says no steps.
    """
    cells = cells_of(text)
    said = dict(zip(page.table, cells, strict=False))
    return _counted(page, number, text, cells, said, following) if page.line else _cued(page, number, cells, said)


def _goes_on(page: Page, following: str) -> bool:
    """Say whether the next row has the counts behind those that were read: then no steps stand between them."""
    counts = read(plain(dict(zip(page.table, cells_of(following), strict=False)).get("counts", "")))
    last = page.here.last if page.parts else 0
    return counts is not None and (counts.first == last + 1 or (last > 0 and counts.first == 1))


def _counted(page: Page, number: int, text: str, cells: list[str], said: dict[str, str], following: str) -> str | None:
    if is_change(cells[0]):
        return None
    filled = [cell for cell in cells if cell]
    counts = read(plain(said.get("counts", "")))
    below = "   ".join(filter(None, cells_of(following)))
    titled = counts is None or counts.length > 4 or re.search(r"[A-Za-z]{2}|[A-Z]\d|[(\[]", said["counts"])
    named = titled and sectioned(page, "   ".join(filled), below)
    if named or (len(filled) == 1 and said.get("steps") and not page.tag and _goes_on(page, following)):
        page.tag = None
        page.section(Section(" ".join(filled), named.counts if named else None, number))
        page.reader.mark(number, "heading")
        return ""
    if said.get("section"):
        page.section(Section(said["section"], None, number))
    if (hour := _walled(said.get("where", ""))) and ":" in hour:
        said = {**said, "where": "", "facing": hour}
    words = " ".join(said[kind] for kind in ("steps", "where", "turn") if said.get(kind))
    words += ", ".join(f"{side} {said[side]}" for side in ("right", "left") if said.get(side))
    if counts is None or not words:
        return None
    group(page, number, [Counted(words, counts, said.get("feet", ""), "")], text)
    facing = said.get("facing", "")
    face = _walled(facing)
    known = {"counts", "feet", "steps", "section", "where", "turn", "right", "left"} | ({"facing"} if face else set())
    kinds = (*page.table, *[""] * (len(cells) - len(page.table)))
    rest = [cell for kind, cell in zip(kinds, cells, strict=False) if kind not in known and re.search(r"\w", cell)]
    items = page.target
    last = max((at for at, item in enumerate(items) if isinstance(item, Line)), default=-1)
    if last >= 0 and isinstance(line := items[last], Line):
        items[last] = evolve(line, facing=face or line.facing, remark="; ".join(filter(None, (line.remark, *rest))))
        items += [Expect(f"facing {face}")] if line.blank and face else []
    return ""


def _walled(cell: str) -> str:
    """Return the facing that a cell says, "" for none."""
    said = cell.casefold().strip(" .")
    return said if said in ("front", "back") else clock(said) or wall(said if ":" in said else f"{said}:00")


def _cued(page: Page, number: int, cells: list[str], said: dict[str, str]) -> str | None:
    if page.above and re.fullmatch(
        r"(?i)\W*(?:same|ditto|opp\w*|other|mirror\w*|\")(?:\W+(?:foot|feet|side))?\W*", said.get("steps", "")
    ):
        cells = [page.above if cell == said["steps"] else cell for cell in cells]
        said = {**said, "steps": page.above}  # the row above, with the feet beside it
    coded = said.get("steps") and row(said["steps"])
    page.above = said["steps"] if coded else page.above
    sets = page.table[0] == "section" and any(kind.startswith("beats ") for kind in page.table)
    if sets and (named := re.match(r"([A-Z])\d+$", cells[0])):
        return _set(page, number, named[1], cells)
    headed = head(cells[0] + ":", page.names) and not re.match(r"^[A-Z]\d", cells[0])
    if headed and page.table[0] == "section" and said.get("steps"):
        page.begin(name_of(cells[0], page.names), 0)
        return _cued(page, number, ["", *cells[1:]], {**said, page.table[0]: ""})
    ends = sets or ORDER_WORD.match(cells[0]) or headed
    steps = said.get("steps", "") if page.table[0] == "section" else ""
    inner = (
        coded
        or any(map(row, cells))
        or (steps and page.cues.moving(steps) and not REPEAT.search(steps) and not times_again(steps))
    )
    if ends or (not cells[0] and not (inner and not head(cells[1] + ":", page.names))):
        page.table = () if ends and (sets or not headed) else page.table
        return _as_text(page, cells, bool(headed))
    words = said.get("cue") or said.get("steps") or cells[0]
    if not any(map(row, cells)) and (
        REPEAT.search(words) or times_again(words) or (TELLS.search(words) and not page.cues.moving(words))
    ):
        return "  ".join(cell for cell in cells if cell)
    if (page.parts or not page.names) and (lines := row_lines(cells, said, page.table, page.cues)):
        page.opened()
        beats = int(said["counts"]) if said.get("counts", "").isdecimal() else 0
        kinds = ("cue" if coded or not said.get("steps") else "steps", "notes", "where", "turn")
        beside = ", ".join(re.sub(r"(?i)^(?:left|right|l|r)$", r"to the \g<0>", said.get(kind, "")) for kind in kinds)
        whole = not any(isinstance(each, Line) and each.blank for each in lines)
        doubted = whole and unaccounted(beside, lines, page.cues, coded=bool(coded))
        if doubted or (beats and sum(map(page.cues.lasts, lines)) not in (0, beats)):
            beats = beats or sum(map(page.cues.lasts, lines))
            lines = [Line(blank=True, counts=beats, remark=tight("  ".join(cells)))]
        page.here.items += [evolve(i, measured=beats > 0) if isinstance(i, Line) else i for i in lines]
        page.reader.mark(number, "steps")
        for line in lines:
            if isinstance(line, Line) and line.blank:
                page.reader.leave_open(number, line.remark, "blank")
        return ""
    return None


def _as_text(page: Page, cells: list[str], headed: bool) -> str:
    """Return a row that ends or interrupts a table as the text that it is."""
    filled = [cell for cell in cells if cell]
    if headed and filled[1:] and filled[1].isdecimal():
        filled = [f"{filled[0]} ({filled[1]})", *filled[2:]]
    if not cells[0] and filled and (REPEAT.search(filled[0]) or times_again(filled[0])):
        return " ".join(f"({cell})" if cell.isdecimal() else cell for cell in filled)
    behind = ("  " if cells[0] else ", ").join(filled[1:])
    return f"{filled[0]}:  {behind}" if behind else "".join(filled) or " "


def _set(page: Page, number: int, name: str, cells: list[str]) -> str:
    """Take a set of a part, its beats in columns."""
    if not page.parts or page.parts[-1].name != name:
        page.begin(name, 0)
    page.here.items.append(set_block(cells, page.table, page.cues))
    page.reader.mark(number, "steps")
    return ""


def row_lines(cells: list[str], said: dict[str, str], kinds: tuple[str, ...], cues: Cues) -> list[Item]:
    """Return the lines of a row with a cue, its codes, feet and notes; none where it says no steps.

    Args:
        cells: the cells as they stand; one in a column without a known heading is a remark.
        said: the cells by the kind of their column.
        kinds: the kinds of the columns.
        cues: reads cues and codes.
    """
    spelled = {kind: cell for kind, cell in said.items() if kind != "steps" and row(cell)}
    if spelled and not row(said.get("steps", "")):  # the row stands beside the words, under another head
        kind, cell = next(iter(spelled.items()))
        said = {**said, kind: "", "cue": said.get("steps") or said.get("cue", ""), "steps": cell}
    called, _, behind = said.get("cue", "").partition(",")
    times, called = times_of(called)
    called = called.removesuffix("s") if times > 1 else called
    name, foot = split_foot(called)
    beats = int(said["counts"]) if said.get("counts", "").isdecimal() else 0
    whole = row(said.get("steps", ""))
    if (
        whole
        and times > 1
        and forms_beats(" ".join(each for group in whole.codes for each in group), cues.book) == beats
    ):
        times, name = 1, ""  # the row of all of them
    kinds = (*kinds, *[""] * (len(cells) - len(kinds)))
    rest = [cell for kind, cell in zip(kinds, cells, strict=False) if cell and not kind]
    notes = " ".join(re.sub(r"^(left|right)$", r"to the \1", said.get(kind, "")) for kind in ("notes", "where", "turn"))
    notes = f"{behind} {notes}" if behind else notes
    coded = row(said.get("steps", ""))
    if coded and not (coded.rest and cues.moving(coded.rest)):
        feet = feet_of(said.get("feet", ""))
        each = feet if len(feet) == times > 1 else ()  # one for each time
        line = evolve(cues.coded(evolve(coded, name=name, bracketed=True), () if each else feet), times=times)
        line = cues.behind(line, notes)
        if line.moves and times > 1:
            made: list[Item] = [footed_once(evolve(line, times=1), foot) for foot in each or [""] * times]
        else:
            made = [evolve(line, foot=line.foot or at) if line.name else line for at in each[:1] or foot or ("",)]
    else:
        words = said.get("steps") or said.get("cue", "")
        made = list(cues.cues(f"{words.removesuffix(coded.rest)}, {coded.rest}" if coded else words))
        if not made or not isinstance(last := made[-1], Line):
            return []
        feet = feet_of(said.get("feet", ""))
        last = cues.behind(last, notes)
        last = footed_once(last, feet[0]) if last.moves and len(feet) == 1 and not last.moves[0].foot else last
        made[-1:] = footed(last, feet) if len(made) == 1 and last.name and feet and not last.foot else [last]
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
        if re.match(r"(?i)\(?cont", cell) and items and isinstance(last := items[-1], Line):
            items[-1] = evolve(last, counts=last.counts + beats, stated=True)
            continue
        made = cues.cues(cell) or (Remark(cell),)
        if len(made) == 1 and isinstance(only := made[0], Line):
            made = (evolve(only, counts=beats, stated=True),)
        items += made
    return Block(f"beats 1-{total}", tuple(items), facing if facing in ("front", "back") else "", cells[0])


def cued_cells(page: Page, number: int, text: str) -> bool:
    """Take a row of cells without heads of columns: a cue, its codes, their feet, its beats; return whether it is one.

    What does not come to just its beats is a blank of them.
    """
    cells = cells_of(text)
    kinds = (
        "cue",
        *(
            "feet" if is_feet(cell) else "counts" if cell.isdecimal() else "steps" if row(cell) else ""
            for cell in cells[1:]
        ),
    )
    if not page.parts or len(cells) < 3 or head(text, page.names) or kinds[-1] != "counts" or not any(cells[1:-1]):
        return False
    made, beats = row_lines(cells, dict(zip(kinds, cells, strict=False)), kinds, page.cues), int(cells[-1])
    line = made[0] if len(made) == 1 and "steps" in kinds else None
    if not isinstance(line, Line) or line.blank or page.cues.beats(line) != beats:
        line = Line(blank=True, counts=beats, remark=tight(text))
        page.reader.leave_open(number, text, "blank")
    page.here.items.append(evolve(line, stated=False, measured=True))
    page.reader.mark(number, "steps")
    return True
