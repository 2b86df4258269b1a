"""How feet, walls, turns, lengths and counts are said in words, the same on every face of stepcheck."""

from collections.abc import Iterable, Sequence
from fractions import Fraction
from functools import lru_cache

from stepcheck.model.dance import EIGHTHS, TICKS, Foot, Weight

WALLS = ("front", "1:30", "right wall", "4:30", "back", "7:30", "left wall", "10:30")
CLOCK = ("12:00", "1:30", "3:00", "4:30", "6:00", "7:30", "9:00", "10:30")
FACINGS = {name: eighths for eighths, names in enumerate(zip(WALLS, CLOCK, strict=True)) for name in names}
"""The walls in eighths by name and by the clock."""
INSIDE = {0: "", 3: "e", 6: "&", 9: "a"}


def foot(value: Foot | int) -> str:
    """Return `left` or `right`."""
    return ("left", "right")[value]


def free(weight: Weight | int | None) -> str:
    """Return the free foot for a table: `left`, `right`, `none` with the weight on both, `?` where it is open."""
    if weight is None:
        return "?"
    return "none" if weight == Weight.BOTH else foot(Foot(weight).other)


def freely(weight: Weight | int) -> str:
    """Return where the weight is, as a sentence about the free foot."""
    return "the weight is on both feet" if weight == Weight.BOTH else f"the {free(weight)} foot is free"


def facing(eighths: int, clock: bool = False) -> str:
    """Return the wall at `eighths` clockwise from the front, by name or by the clock; `?` if it is not known (-1)."""
    return "?" if eighths < 0 else (CLOCK if clock else WALLS)[eighths % EIGHTHS]


def towards(eighths: int, clock: bool = False) -> str:
    """Return the wall as it stands after "facing" in a sentence."""
    name = facing(eighths, clock)
    return {"?": "an unknown wall"}.get(name, f"the {name}" if name.endswith("wall") else name)


def listed(names: Sequence[str], word: str = "and") -> str:
    """Return names in a row as a sentence has them: `A`, `A and B`, `A, B and C`; at least one."""
    return f" {word} ".join(filter(None, [", ".join(names[:-1]), names[-1]]))


def lines(numbers: Iterable[int]) -> str:
    """Return lines by their numbers: `line 3`, `lines 3 and 5`."""
    told = list(map(str, numbers))
    return f"line{'s' if len(told) > 1 else ''} {listed(told)}"


def number(value: Fraction) -> str:
    """Return `value` as a whole number with a fraction: `32`, `1/4`, `1 1/2`."""
    whole, rest = divmod(value, 1)
    if not rest:
        return str(whole)
    return f"{whole} {rest}" if whole else str(rest)


@lru_cache(maxsize=1 << 10)
def length(ticks: int, unit: str = "beats") -> str:
    """Return `ticks` in beats or counts: `32 beats`, `1 count`, `1 1/2 beats`."""
    beats = Fraction(ticks, TICKS)
    return f"{number(beats)} {unit if beats > 1 or not beats else unit.removesuffix('s')}"


@lru_cache(maxsize=1 << 8)
def size(eighths: int) -> str:
    """Return how far a turn goes, whatever its side: `no turn`, `1/4 turn`, `a full turn`, `1 1/2 turns`."""
    share = Fraction(abs(eighths), EIGHTHS)
    if share in (0, 1):
        return "a full turn" if share else "no turn"
    return f"{number(share)} turn{'s' if share > 1 else ''}"


def turn(eighths: int) -> str:
    """Return a signed turn: `1/4 turn right`, `a full turn left`, `no turn`."""
    return size(eighths) + (" right" if eighths > 0 else " left" if eighths < 0 else "")


def shortest(eighths: int) -> int:
    """Return the turn from -3 to 4 that leads as far round as `eighths`."""
    return (eighths + EIGHTHS // 2 - 1) % EIGHTHS - (EIGHTHS // 2 - 1)


def away(eighths: int) -> str:
    """Return a change of facing: `where it began`, `1/4 turn right of where it began` …."""
    short = shortest(eighths)
    if not short:
        return "where it began"
    return "1/2 turn from where it began" if short == EIGHTHS // 2 else f"{turn(short)} of where it began"


def beat(tick: int) -> str:
    """Return the count of `tick` from a start, as dancers say it: `1` for tick 0, `2&` half a beat after the second."""
    whole, rest = divmod(tick, TICKS)
    return f"{whole + 1}{INSIDE[rest]}" if rest in INSIDE else f"{whole + 1} {Fraction(rest, TICKS)}"


def ordinal(value: int) -> str:
    """Return `1st`, `2nd`, `3rd`, `4th` …"""
    ending = "th" if value % 100 in (11, 12, 13) else {1: "st", 2: "nd", 3: "rd"}.get(value % 10, "th")
    return f"{value}{ending}"


def count(value: int, noun: str) -> str:
    """Return `1 sheet`, `12 sheets`."""
    return f"{value:,} {noun}{'' if value == 1 else 's'}"


def only(value: int) -> str:
    """Return `there is only one`, `there are only 3`."""
    return "there is only one" if value == 1 else f"there are only {value:,}"


def visible(text: str) -> str:
    """Return `text` with every character that steers a terminal written out, so that a sheet can't."""
    if text.isprintable():
        return text
    return "".join(char if char.isprintable() else char.encode("unicode_escape", "replace").decode() for char in text)


def swaps(text: str) -> tuple[str, ...]:
    """Return a text with each two characters side by side swapped."""
    return tuple(text[:at] + text[at + 1] + text[at] + text[at + 2 :] for at in range(len(text) - 1))
