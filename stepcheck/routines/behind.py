"""Numbers in brackets behind the figures of a whole sheet that are how often these are danced: `CHARLESTON (2)`."""

import re
from collections.abc import Iterator, Sequence

from attrs import evolve

from stepcheck.cues.cue import Reading
from stepcheck.cues.entries import Entry
from stepcheck.cues.figures import Figures
from stepcheck.steps.outline import Line

_BEHIND = re.compile(r"(?P<said>[A-Za-z][A-Za-z' -]*?)\s*\((?P<often>\d{1,2})\)(?P<next>\s*)(?=(\w)?)")


def repeated(lines: Sequence[Entry], cues: Figures) -> list[Entry]:
    """Return lines with the numbers behind their figures as how often these are danced, if two of them are less than
    the beats that their figures last, and none is how long several last, `4 Basics (8)`, or one of more than four
    beats."""
    figures = [each for entry in lines for each in _figures(entry, cues)]
    fewer = sum(number < size for _, number, many, size in figures if not many)
    beats = any(number == size * (many or 1) for _, number, many, size in figures if many or size > 4)
    return [_often(entry, cues) for entry in lines] if fewer > 1 and not beats else [*lines]


def _figures(entry: Entry, cues: Figures) -> Iterator[tuple[int, int, int, int]]:
    """Yield where the numbers behind the figures of a line stand, with these, how many the figures are, and how many
    beats one of them lasts."""
    reading = Reading(cues.vocabulary, {})
    for found in _BEHIND.finditer(entry.raw):
        front = re.search(r"(\d{1,2})\s*x?\s*$", entry.raw[: found.start()])
        made = reading.cues(found["said"])
        plain = len(made) == 1 and made[0].name and not (made[0].unknown or made[0].doubt or made[0].row)
        size = cues.beats(Line(name=made[0].name)) if plain else 0
        if size:
            yield found.start(), int(found["often"]), int(front[1]) if front else 0, size


def _often(entry: Entry, cues: Figures) -> Entry:
    """Return a line with the numbers behind its figures as times."""
    spots = {found[0] for found in _figures(entry, cues)}
    said = {at["said"] for at in _BEHIND.finditer(entry.raw) if at.start() in spots}
    last = re.search(rf"\({entry.stated}\)\W*$", entry.raw) if entry.stated else None
    text = f"{entry.text} ({entry.stated})" if last else entry.text
    made = _BEHIND.sub(
        lambda at: f"{at['said']} x{at['often']}{',' * bool(at[4])}{at['next']}" if at["said"] in said else at[0], text
    )
    return evolve(entry, text=made, stated=0, loose=False) if made != text else entry
