"""How long a body lasts that is laid out, and its start, cut after so many ticks."""

from collections.abc import Callable
from itertools import takewhile
from typing import TypeAlias

from attrs import evolve

from stepcheck.books.placing import last_beat
from stepcheck.model.claims import Check, Kind, Test
from stepcheck.model.dance import (
    TICKS,
    Body,
    Choice,
    Figure,
    Forever,
    Gap,
    Item,
    Lap,
    Last,
    Pass,
    Repeat,
    Rest,
    Step,
    Timed,
    Together,
    Uncut,
    Version,
)
from stepcheck.model.items import checks, inside, spliced

Pick: TypeAlias = Callable[[Figure], Version]
"""A choice among the meanings of a figure."""
Known: TypeAlias = dict[tuple[int, Pick], tuple[Body, int | None]]
"""Lengths of bodies, by the `id` of each and the meanings, with the body itself so that it stays."""


class CutFails(Exception):
    """A body cannot be cut there; `line` is where."""

    def __init__(self, name: str, line: int) -> None:
        self.name, self.line = name, line


def usual(figure: Figure) -> Version:
    """Return the usual meaning of a figure."""
    return figure.versions[figure.usual]


def shortest(figure: Figure) -> Version:
    """Return the meaning of a figure that lasts least."""
    return min(figure.versions, key=lambda version: version.length)


def longest(figure: Figure) -> Version:
    """Return the meaning of a figure that lasts most."""
    return max(figure.versions, key=lambda version: version.length)


READINGS: tuple[Pick, ...] = (usual, shortest, longest)
"""A body that is equally long under each of these choices is that long under every reading of its words."""


def length(body: Body, pick: Pick = usual, *, claimed: bool = False, known: Known | None = None) -> int | None:
    """Return the ticks of a body as danced, of alternatives those of the first; None where a blank leaves them open.

    Args:
        body: what is danced.
        pick: chooses among the meanings of figures.
        claimed: whether it lasts as its claims have it: where one states the time since the start, that holds.  Else
            what the sheet states counts only where a blank leaves the length open.
        known: the lengths of bodies found so far, for the same `claimed`.
    """
    known = {} if known is None else known
    where = id(body), pick
    if where not in known:
        total: int | None = 0
        for item in spliced(body):
            if isinstance(item, Check | Together):
                times = (check.value for check in checks(item) if check.test is Test.CLOCK and check.value is not None)
                total = next(times, total) if claimed or total is None else total
            elif total is not None:
                more = _lasts(item, pick, claimed, known)
                total = None if more is None else total + more
        known[where] = body, total
    return known[where][1]


def stated(body: Body, pick: Pick = usual) -> int | None:
    """Return the ticks of a body as its claims have them."""
    return length(body, pick, claimed=True)


def _lasts(item: Item, pick: Pick, claimed: bool, known: Known) -> int | None:
    match item:
        case Forever() | Last():
            return 0
        case Step():
            version = pick(item.figure)
            return version.length if claimed else last_beat(version.actions) * TICKS
        case Rest() | Gap() | Uncut():
            return item.ticks
        case Timed(lasts=int(ticks)) | Pass(lasts=int(ticks)):
            return ticks
    once = next((length(body, pick, claimed=claimed, known=known) for body in inside(item)), 0)
    if not isinstance(item, Repeat) or not once:
        return once
    return None if item.times is None else once * item.times


def cut(body: Body, ticks: int, *, last: bool = False, known: Known | None = None) -> Body:
    """Return the start of a body that lasts `ticks`, as danced.

    Behind the cut the claims about what ended there are kept, and each `expect` up to the next thing that begins.

    Args:
        last: nothing follows, so that it does not matter where a cut figure turns.
        known: the lengths of bodies that earlier cuts have found, for the next one.

    Raises:
        CutFails: the cut falls inside a figure that turns at no stated count, behind a blank of unknown length, or
            beyond the end of the body.
    """
    return _Cutter(last, {} if known is None else known).whole(body, ticks)


def falls(body: Body, ticks: int, pick: Pick, known: Known | None = None) -> tuple[object, ...] | str:
    """Return where a cut falls, as the index of the cut item and the ticks left in it, level by level; or why it cannot
    be made. `known` is as for `cut`."""
    cutter = _Cutter(True, {} if known is None else known, pick)
    try:
        left = cutter.body(body, ticks)[1]
    except CutFails as failure:
        return failure.name
    return (*cutter.path, left)


def as_block(line: int, body: Body) -> Body:
    """Return a body as a block, so that a cut before its first check falls before the block."""
    first = tuple(takewhile(lambda item: all(map(_is_expected, spliced((item,)))), body))
    return (Repeat(line, 1, first), *body[len(first) :]) if first else body


class _Cutter:
    """One cut; `last` says that nothing follows it."""

    def __init__(self, last: bool, known: Known, pick: Pick = usual) -> None:
        self.last, self.known, self.pick = last, known, pick
        self.path: list[tuple[int, int]] = []

    def body(self, body: Body, ticks: int) -> tuple[Body, int]:
        """Return the start of a body, and the ticks that it is too short by."""
        out: list[Item] = []
        for place, item in enumerate(spliced(body)):
            if isinstance(item, Check | Together):
                if ticks == 0 and isinstance(item, Check):
                    if item.claim.kind is Kind.TIME:
                        continue  # it does not come
                    if item.opens or item.claim.kind in (Kind.LEAD, Kind.STAND):
                        break
                out.append(item)
                continue
            if ticks == 0:
                self.path.append((place, 0))
                break
            more = _lasts(item, self.pick, False, self.known)
            if more is not None and more <= ticks and not (more == ticks and self.begins_at_end(item)):
                out.append(item)
                ticks -= more
                continue
            self.path.append((place, ticks))
            out += self.item(item, ticks)
            return tuple(out), 0
        return tuple(out), ticks

    def begins_at_end(self, item: Item) -> bool:
        """Say whether something begins at the very end of an item, where a cut does not reach it."""
        if not isinstance(item, Pass | Timed | Lap | Repeat):
            return False
        once = length(item.body, self.pick, known=self.known)
        if not once:
            return False
        return _Cutter(self.last, self.known, self.pick).whole(item.body, once) != tuple(spliced(item.body))

    def item(self, item: Item, ticks: int) -> Body:
        """Return the start of one item that is too long."""
        match item:
            case Step():
                figure, turn = self.figure(item, ticks), self.turn(item, ticks)
                return (evolve(item, figure=figure, turn=turn, blank=item.blank and turn is None, travel=None),)
            case Rest() | Gap() | Uncut():
                return (evolve(item, ticks=ticks),)
            case Choice():
                # An alternative that is shorter than the cut is danced as it is.
                options = tuple(self.body(option, ticks)[0] for option in item.options)
                return (evolve(item, claim=None, options=options),)
            case Repeat():
                return self.repeat(item, ticks)
            case Timed():
                return (evolve(item, body=self.whole(item.body, ticks), lasts=ticks),)
            case Pass():
                return (evolve(item, body=self.whole(item.body, ticks), lasts=ticks, lap=False),)
        assert isinstance(item, Lap)
        return (Timed(self.whole(item.body, ticks), ticks),)

    def whole(self, body: Body, ticks: int) -> Body:
        """Return the start of a body that is long enough."""
        out, left = self.body(body, ticks)
        if left:
            raise CutFails("cut-beyond-the-end", 0)
        return out

    def repeat(self, item: Repeat, ticks: int) -> Body:
        """Return the start of a repeat."""
        once = length(item.body, self.pick, known=self.known)
        if once is None or (item.times is None and ticks >= once):
            raise CutFails("cut-behind-a-blank", item.line)
        whole, rest = divmod(ticks, once)
        if not rest and self.begins_at_end(item):
            whole, rest = whole - 1, once
        self.path.append((whole, rest))
        start: Body = (evolve(item, times=whole),) if whole else ()
        # At the cut the next time has begun as far as its expectations go.
        more = rest or (item.times is not None and whole < item.times)
        return (*start, *self.whole(item.body, rest)) if more else start

    def turns_by(self, beat: int | None, ticks: int, line: int) -> bool:
        """Say whether a turn on `beat` comes before the cut; the turn at no stated count fails unless nothing
        follows."""
        if beat is not None:
            return _begun(beat, ticks)
        if self.last:
            return False
        raise CutFails("cut-splits-a-turn", line)

    def figure(self, step: Step, ticks: int) -> Figure:
        """Return the start of a step's figure: what is made before the cut, of the beats that have begun there."""
        versions = []
        for version in step.figure.versions:
            actions = tuple(one for one in version.actions if _begun(one.beat, ticks) and one.tick - TICKS < ticks)
            turn = version.turn
            if turn and step.turn is None and not step.blank and not self.turns_by(version.turn_beat, ticks, step.line):
                turn = 0
            versions.append(evolve(version, actions=actions, length=ticks, turn=turn, travel=None))
        return evolve(step.figure, versions=tuple(versions))

    def turn(self, step: Step, ticks: int) -> int | None:
        """Return the turn of the start of a step."""
        if not step.turn and not step.blank:
            return step.turn
        return step.turn if self.turns_by(step.turn_beat, ticks, step.line) else 0


def _begun(beat: int, ticks: int) -> bool:
    """Say whether a beat of a figure, counted from 1, has begun before a cut."""
    return (beat - 1) * TICKS < ticks


def _is_expected(item: Item) -> bool:
    """Say whether an item checks a state to which the steps before it lead."""
    kind = item.claim.kind if isinstance(item, Check) else Kind.LEAD
    return kind.test is not None and kind not in (Kind.LEAD, Kind.STAND)
