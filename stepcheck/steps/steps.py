"""What a text of steps says, as values: steps, figures, facings, remarks, and what isn't understood."""

import re

from attrs import evolve, frozen

from stepcheck.model.dance import EIGHTHS

OTHER = {"L": "R", "R": "L"}
SIDE = {"L": "left", "R": "right"}
WEIGHT = frozenset(["S", "CL", "RK", "RC", "BA", "TW", "HW", "STO"])
"""The movements that take the weight onto the foot that makes them."""
FREE = "no weight"
"""The note of a stomp before another one of the same foot."""
CLOCKS = ("12:00", "1:30", "3:00", "4:30", "6:00", "7:30", "9:00", "10:30")
"""The facings of a sheet, each an eighth of a turn to the right of the one before."""
WALLS = {wall: at for at, wall in enumerate(CLOCKS)} | {"front": 0, "back": EIGHTHS // 2}
"""Facings, in eighths of a turn to the right of the front."""


@frozen
class Turn:
    """A turn of `eighths`, to the "left" or "right", or to a side that isn't said ("")."""

    eighths: int
    side: str = ""


@frozen
class Step:
    """A movement: its codes, who makes it ("L", "R" or "" where it isn't said), where it goes, and what turns at it.

    `bare` says that no word says the movement, `inside` that it stands in brackets, `turned` that its turn is said
    apart from it, `beside` that it may be made together with the one before: `touch L and clap`, `half` that an `&`
    leads to it.
    """

    codes: tuple[str, ...]
    foot: str = ""
    note: tuple[str, ...] = ()
    turn: Turn | None = None
    text: str = ""
    inside: bool = False
    turned: bool = False
    beside: bool = False
    bare: bool = False
    half: bool = False


@frozen
class Mention:
    """A figure that is named: its name in the book, how many times, its feet where they are said.

    `at` is the count of its turn, 0 for the whole figure, `nth` the step that it is said to be made on, -1 the last;
    `spelled` says that its steps stand behind it, `bracketed`
    that a bracket does, `explained` that they may, behind a dash or more words;
    `ends` that the next one is how it ends, `several` that its name is a plural without a number; `heard` are the feet
    that stand behind it, one for each time.
    """

    name: str
    feet: str = ""
    note: tuple[str, ...] = ()
    turn: Turn | None = None
    times: int = 1
    text: str = ""
    at: int = 0
    spelled: bool = False
    ends: bool = False
    several: bool = False
    heard: str = ""
    explained: bool = False
    bracketed: bool = False
    nth: int = 0


@frozen
class Stretch:
    """How many counts the step before it lasts, or each of those before it."""

    counts: int
    each: bool = False


@frozen
class Facing:
    """A facing that is said: a time of the clock, front or back."""

    wall: str


@frozen
class Weighted:
    """The foot that is said to have the weight; "" where it is said to be on none."""

    foot: str


@frozen
class Aside:
    """Words that say no step; `inside` says that they stand in brackets."""

    text: str
    inside: bool = False


@frozen
class Unread:
    """Words that may say steps and aren't understood; `spelled` says that steps stand behind their colon, `inside` that
    they stand in brackets."""

    text: str
    spelled: bool = False
    inside: bool = False


Event = Step | Mention | Stretch | Facing | Weighted | Aside | Unread


def turn(value: str) -> Turn:
    """Return the turn that a piece `turned` holds."""
    size, _, side = value.partition(" ")
    return Turn(int(size), SIDE.get(side, ""))


def turned(turn: Turn, times: int = 1) -> int | None:
    """Return by how many eighths to the right a turn goes, None where its side matters and isn't said."""
    if not turn.side and 2 * turn.eighths % EIGHTHS:
        return None
    return turn.eighths * times * (-1 if turn.side == "left" else 1)


def wall(text: str) -> str:
    """Return a time of the clock as a facing of a sheet, "" if it is none of the eight."""
    return text if text in CLOCKS else ""


_CLOCK = re.compile(r"(?i)(\d{1,2}:\d\d)|(\d{1,2})\s*o'?\s*clock")


def clock(text: str) -> str:
    """Return the facing that a time of the clock in a text names, "" if none does."""
    match = _CLOCK.search(text)
    return wall(match[1] or f"{match[2]}:00") if match else ""


def explain(events: list[Event], start: int) -> None:
    """Let the figure before words that end in a colon, the first of them at `start`, be explained by what follows."""
    named = max((at for at, event in enumerate(events) if isinstance(event, Mention)), default=start)
    figure = events[named] if named < start else None
    if isinstance(figure, Mention) and all(isinstance(event, Aside | Unread) for event in events[named + 1 :]):
        events[named] = evolve(figure, explained=True)


def on_each(spin: Turn, made: list[Event], before: list[Event], text: str) -> list[Event]:
    """Return the events of a phrase that says of a turn that each step makes it, and turn those before it: all of the
    phrase, or of the line if the phrase has one, if they are alike; a figure danced several times turns each time."""
    alone = sum(isinstance(event, Step | Mention) for event in made) > 1
    group = [event for event in (*(() if alone else before), *made) if isinstance(event, Step | Mention)]
    if isinstance(last := group[-1] if group else None, Mention) and (last.times > 1 or last.several):
        return made
    kinds = {event.codes if isinstance(event, Step) else event.name for event in group}
    if len(kinds) > 1 or {event.turn for event in group} != {spin, None}:
        return [Unread(text)]
    before[:] = before if alone else [_turning(event, spin) for event in before]
    return [_turning(event, spin) for event in made]


def _turning(event: Event, spin: Turn) -> Event:
    if isinstance(event, Step):
        return evolve(event, turn=spin, turned=False)
    return evolve(event, turn=spin) if isinstance(event, Mention) else event


def begun(steps: tuple[Step, ...]) -> tuple[Step, ...]:
    """Return steps said in one breath with the only foot, the last one's, as that of the first: `step touch L`."""
    if not steps[1:] or not steps[-1].foot or any(step.foot for step in steps[:-1]):
        return steps
    return (evolve(steps[0], foot=steps[-1].foot), *steps[1:-1], evolve(steps[-1], foot=""))
