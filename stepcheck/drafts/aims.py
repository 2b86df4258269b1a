"""Where dancers face while a dance is read, and how far a pivot turns of which only its aim is told."""

import itertools
import re
from collections.abc import Sequence

from attrs import evolve

from stepcheck.books.book import Book
from stepcheck.model.dance import EIGHTHS
from stepcheck.pages.page import Page
from stepcheck.steps.counts import spins
from stepcheck.steps.outline import Expect, Item, lines_of, turned_by
from stepcheck.steps.steps import SIDE, WALLS, Event, Facing, Mention, Step, Turn, Unread, Weighted, turned


def aimed(page: Page, events: Sequence[Event], text: str) -> tuple[Event, ...]:
    """Return events in which a pivot of which only its aim is said, `pivot to face the back`, turns as far as that is.

    That is known where it is known how dancers face before it, and the side is said or it is a half turn; else the
    pivot is not understood.

    Args:
        page: what is read so far.
        events: what the words of a group say.
        text: these words.
    """
    out = list(events)
    for at, (event, later) in enumerate(itertools.pairwise(events)):
        if not (
            isinstance(event, Step) and event.codes == ("PV", "S") and not event.turn and isinstance(later, Facing)
        ):
            continue
        footed = re.search(r"(?i)\bon(?:to)?\b", event.text)
        side = "" if footed else SIDE.get(event.foot, "")
        moving = [each for each in events if isinstance(each, Step | Mention | Unread)]
        before = _behind(_faced(page), out[:at])
        right = WALLS[later.wall] - before if before is not None else 0
        way = (-right if side == "left" else right) % EIGHTHS
        if way and (side or way == EIGHTHS // 2):
            out[at] = evolve(event, turn=Turn(way, side), foot=event.foot if footed else "")
            if any(isinstance(each, Weighted) for each in out[at + 2 : at + 3]):
                out[at + 1], out[at + 2] = out[at + 2], later  # the weight is the pivot's
        elif len(moving) == 1:
            out[at] = Unread(text)
    return tuple(out)


def _behind(facing: int | None, events: Sequence[Event]) -> int | None:
    """Return how dancers face behind steps, None where that isn't known."""
    for event in events:
        turn = event.turn if isinstance(event, Step) else None
        way = turned(turn) if turn else None if isinstance(event, Mention | Unread) else 0
        facing = None if facing is None or way is None else facing + way
    return facing


def _faced(page: Page) -> int | None:
    """Return how dancers face behind all that is read, in eighths from the front, None where that isn't known."""
    facing: int | None = 0
    if page.parted or page.tag:
        return None
    for item in (item for section in page.sections for item in section.items):
        facing = _behind_item(facing, item, page.reader.book)
    return facing


def _behind_item(facing: int | None, item: Item, book: Book) -> int | None:
    if isinstance(item, Expect):
        return WALLS.get(item.says.removeprefix("facing "), facing)
    for line in lines_of(item):
        way = turned_by(line, spins(line.name, book))
        facing = None if facing is None or way is None else facing + way
        facing = WALLS.get(line.facing, facing)
    return facing
