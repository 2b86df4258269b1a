"""The cells of tables: in which column each stands, and the line of cues that a row says."""

import itertools
import re

from stepcheck.steps.sections import words_of
from stepcheck.steps.vocabulary import plain
from stepcheck.steps.words import SIDED

_COLUMNS = words_of("columns of clogging")
"""What the heads of columns say that these hold."""
SAME = re.compile(r"(?i)^\W*(?:(?:same|ditto)\b(?!\s+as)|[\"-]+(?=$))\W*(.*)$")
"""A cell that is the one above it once more, and words behind that."""


def kinds(cells: list[str]) -> list[str]:
    """Return what the columns of a table hold by their heads, "" for one that no word names; none if these are no
    heads."""
    named = [_kind(cell) for cell in cells]
    if len(cells) < 3 or sum(map(bool, named)) < 3:
        return []
    return ["row" if kind == "step" in named[:at] else kind for at, kind in enumerate(named)]


def columns(text: str) -> list[int]:
    """Return where the columns of a table that is set with spaces begin, if a line is their heads."""
    found = [*re.finditer(r"\S+(?: \S+)*", text)]
    heads = all(_kind(each[0]) for each in found)
    return [each.start() for each in found] if heads and len(found) > 2 and "\t" not in text else []


def _kind(head: str) -> str:
    """Return what a column holds by its head, "" if no word names that."""
    return _COLUMNS.get(head.casefold().strip(" .:#"), "")


def cells_of(text: str, columns: list[int]) -> list[str]:
    """Return what stands under the heads of columns, nothing where a word stands across two."""
    if not columns or any(text[at - 1 : at].strip() for at in columns[1:]):
        return []
    return [plain(text[at:end]).strip() for at, end in itertools.pairwise([*columns, len(text)])]


def told_in(said: dict[str, str]) -> str:
    """Return a row of a table as a line of cues."""
    step = " ".join(filter(None, (re.sub(r"^-$", "", said.get("number", "")), said.get("step", ""))))
    if not said.get("step") and not said.get("row"):
        return ""
    foot = said.get("feet", "")
    row = re.sub(r"^\W*(?i:same|ditto)?\W*$", "", said.get("row", ""))
    if row and "," in foot and len(foot.split(",")) == int((re.match(r"\d+", step) or ["0"])[0]):
        step, foot = f"{step} ({foot})", ""  # a foot for each time
    beats = _beats(said.get("beats", ""))
    bars = re.match(r"\d+", said.get("measures", "") or "")
    notes = said.get("note", "").split("   ")
    feet, *told = (re.sub(r"\W|then|and", "", each) for each in (said.get("feet", ""), *notes))
    notes = [note for note, each in zip(notes, told, strict=True) if len(feet) < 2 or each != feet]  # said twice
    note = "   ".join(re.sub(rf"(?i)^(?={SIDED}$)", "to the ", each) for each in notes)
    pieces = (step, row, foot if row else f"({foot})" * bool(foot), said.get("counts", ""), note)
    text = "   ".join(filter(None, pieces))
    return f"{text} [{beats}]" if beats else f"{text} [{bars[0]} measures]" if bars else text


def _beats(cell: str) -> int:
    """Return how many beats a cell says, 0 if none: `4`, `4+4`, or from one beat to another one, `9-16`."""
    found = re.search(r"(\d+)(?:\s*-\s*(\d+)|((?:\s*\+\s*\d+)*))", cell)
    if not found:
        return 0
    if found[2]:
        return max(0, int(found[2]) - int(found[1]) + 1)
    return sum(map(int, re.findall(r"\d+", found[0])))
