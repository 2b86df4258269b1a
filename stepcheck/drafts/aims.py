"""Where dancers face while a dance is read, how far a pivot turns of which only its aim is told, and the sides of turns
that say none."""

import itertools
import re
from collections.abc import Iterator, Sequence

from attrs import evolve

from stepcheck.books.book import Book
from stepcheck.model.dance import EIGHTHS
from stepcheck.pages.page import Page
from stepcheck.pages.reader import Reader
from stepcheck.steps.counts import spins
from stepcheck.steps.outline import Block, Expect, Item, Line, Outline, Part, each_line, lines_of, turned_by
from stepcheck.steps.steps import (
    OTHER,
    SIDE,
    WALLS,
    WEIGHT,
    Event,
    Facing,
    Mention,
    Step,
    Turn,
    Unread,
    Weighted,
    turned,
)
from stepcheck.steps.vocabulary import tight


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


def turned_onto(page: Page, events: Sequence[Event]) -> tuple[Event, ...]:
    """Return events in which words that only turn and give the foot that has the weight then, `1/2 turn left, weight on
    L`, are a pivot onto it, where the other foot stepped before them; any others as they are."""
    said, weight = [*events[:2], None, None][:2]
    if not (isinstance(said, Unread) and isinstance(weight, Weighted) and page.parts):
        return tuple(events)
    made = page.reader.events(f"pivot {said.text}")
    step = made[0] if len(made) == 1 else None
    if not (isinstance(step, Step) and step.codes == ("PV", "S") and step.turn and not step.foot):
        return tuple(events)
    onto = weight.foot and page.stands() == OTHER[weight.foot]
    return (evolve(step, foot=weight.foot, text=said.text), *events[2:]) if onto else tuple(events)


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


def sided(outline: Outline, reader: Reader) -> Outline:
    """Return an outline of line dance in which each turn has a side; what turns otherwise is a blank, and open.

    The side of a turn that says none is the one that leads to where dancers are said to face behind it. Of a half, for
    which both do, it is away from the foot that steps before a pivot, and to the foot that pointed before it steps.
    """
    return evolve(outline, parts=tuple(_with_sides(part, reader) for part in outline.parts))


_ANYWHERE = Line(blank=True)
"""Stands where lines are danced again, from where else dancers may face."""


def _course(items: Sequence[Item]) -> Iterator[Item]:
    """Yield the lines and claims of a part in order."""
    for item in items:
        if isinstance(item, Block):
            around = [_ANYWHERE] * (item.times > 1)
            yield from (*around, *_course(item.lines), *around, *[Expect(f"facing {item.facing}")] * bool(item.facing))
        else:
            yield item


def _with_sides(part: Part, reader: Reader) -> Part:
    facing, stands = (0 if part.name == "Main" else None), ""
    course, made, before = [*_course(part.lines)], list[Line](), _ANYWHERE
    for at, item in enumerate(course):
        if isinstance(item, Line) and item.turn and not item.turn.side:
            item = _sided(item, facing, course[at + 1 :], _customary(before, item, stands), reader)
        if isinstance(item, Line) and item is not _ANYWHERE:
            made.append(item)
        facing = _behind_item(facing, item, reader.book)
        stands = _standing(item, stands)
        before = item if isinstance(item, Line) and {move.code for move in item.moves} != {"HOLD"} else before
    lines = iter(made)
    return evolve(part, lines=tuple(each_line(item, lambda _: next(lines)) for item in part.lines))


def _sided(line: Line, facing: int | None, later: Sequence[Item], customary: str, reader: Reader) -> Line:
    """Return a line whose turn says no side with one, or as a blank; dancers face there before it."""
    assert line.turn
    aim = _aim([line, *later], reader.book)
    either = [evolve(line, turn=evolve(line.turn, side=side)) for side in SIDE.values()]
    if line.turn.eighths in {abs(each.turn) for found in reader.book.find(line.name) for each in found.versions}:
        return evolve(line, turn=None)  # it turns so by itself
    if aim is not None and facing is not None:
        there = [each for each in either if (facing + (turned_by(each, False) or 0) - aim) % EIGHTHS == 0]
        if len(there) == 1:
            return there[0]
    if line.turn.eighths == EIGHTHS // 2 and customary:
        reader.assumed.add("a half turn off a step is away from its foot, and from a point to its foot")
        return evolve(line, turn=evolve(line.turn, side=customary))
    text = tight(reader.texts[line.source - 1]) if line.source else "a turn without a side"
    reader.leave_open(line.source, text, "blank")
    return Line(counts=line.counts, blank=True, measured=line.measured, remark=text, source=line.source)


def _aim(course: Sequence[Item], book: Book) -> int | None:
    """Return how dancers face behind the first line of several by what is claimed of it or of those behind it, None
    where that isn't known."""
    way = 0
    for at, item in enumerate(course):
        if isinstance(item, Line):
            turns = turned_by(item, spins(item.name, book)) if at else 0
            if turns is None:
                return None
            way += turns
        claimed = item.facing if isinstance(item, Line) else getattr(item, "says", "").removeprefix("facing ")
        if claimed in WALLS:
            return WALLS[claimed] - way
    return None


def _standing(item: Item, foot: str) -> str:
    """Return the foot that dancers stand on behind a line, `foot` before it, "" where that isn't known."""
    if not isinstance(item, Line) or item.name or item.blank:
        return "" if isinstance(item, Line) else foot
    for move in item.moves:
        foot = move.foot or OTHER.get(foot, "") if move.code in WEIGHT else foot
    return foot


def _customary(before: Line, line: Line, stands: str) -> str:
    """Return the side to which a half turn in a row goes behind another line, "" where it may go to either; dancers
    stand on a foot before it."""
    codes = [move.code for move in line.moves]
    pivot = codes.index("PV") if "PV" in codes else -1
    row, foot = (before, stands) if not pivot else (evolve(line, moves=line.moves[: max(0, pivot)]), "")
    if pivot >= 0:
        stepped = row.moves and row.moves[-1].code in WEIGHT and not {"behind", "back"} & {*" ".join(row.note).split()}
        return SIDE.get(OTHER.get(foot or _standing(row, stands), ""), "") if stepped else ""
    pair = line.moves[max(0, line.at - 2) : line.at] if not line.syncopated else ()
    pointed = len(pair) == 2 and pair[0].code in ("PT", "TCH") and pair[1].code in WEIGHT
    return SIDE[pair[1].foot] if pointed and pair[0].foot == pair[1].foot != "" else ""
