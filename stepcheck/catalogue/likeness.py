"""What is left of a dance when the names are taken away: its steps as they are danced, so that two sheets can be
compared.

Words are read as usual, and of a both-footed start the foot that the figure is written for leads.
"""

from collections.abc import Callable, Iterable
from functools import lru_cache
from itertools import repeat
from typing import TypeAlias, TypeVar

from attrs import frozen

from stepcheck.books.footwork import Impossible, ends
from stepcheck.model import dance
from stepcheck.model.claims import Check
from stepcheck.model.items import inside
from stepcheck.walk.stands import asked

MOST_STEPS = 20_000  # of a repeat are written out; a longer one is compared by its body and its number

Likeness: TypeAlias = tuple[object, ...]
"""Steps in order; equal for two dances that are danced alike."""


@frozen
class Danced:
    """A stretch of dance: its `steps`, and where the weight is after it."""

    steps: Likeness
    after: dance.Weight

    @property
    def either(self) -> Likeness:
        """What a stretch and its mirror image share."""
        return min(self.steps, mirrored(self.steps), key=repr)


def mirrored(steps: Likeness) -> Likeness:
    """Return the mirror image of steps: every foot is the other one, and every turn goes the other way."""
    out: list[object] = []
    for one in steps:
        match one:
            case ("rest", _):
                out.append(one)
            case (str(word), *bodies):
                out.append((word, *(mirrored(body) for body in bodies if isinstance(body, tuple))))
            case (deeds, length, str(foot), int(turn)):
                out.append((deeds, length, _OTHER.get(foot, foot), -turn))
    return tuple(out)


_OTHER = {lead.name: lead.other.name for lead in dance.Foot}


class Blank(Exception):
    """A stretch that is not known yet cannot be compared."""


def plain_name(figure: dance.Figure) -> str:
    """Return the name of a figure as its book has it; where two books have it, its name in a program says which."""
    return figure.name.partition(" from ")[0]


def danced(program: dance.Program) -> Danced | None:
    """Return the dance of a program without its names; None if there is a blank in it."""
    return _body(program.dance, dance.Weight(program.lead.other))


def parts(program: dance.Program) -> dict[str, Danced]:
    """Return the parts of a program as they are danced first, by name; those with a blank are left out."""
    found: dict[str, Danced] = {}

    def visit(body: dance.Body, weight: dance.Weight) -> None:
        for item in body:
            if isinstance(item, dance.Pass) and item.part not in found:
                made = _body(item.body, weight)
                if made is not None:
                    found[item.part] = made
            for inner in inside(item):
                visit(inner, weight)
            after = _body((item,), weight)
            weight = weight if after is None else after.after

    visit(program.dance, dance.Weight(program.lead.other))
    return found


def _body(body: dance.Body, weight: dance.Weight) -> Danced | None:
    try:
        return _Writer().body(body, weight)
    except Blank:
        return None


class _Writer:
    """Writes stretches out, each body once for each weight."""

    def __init__(self) -> None:
        self._made: dict[tuple[int, dance.Weight], Danced] = {}

    def body(self, body: dance.Body, weight: dance.Weight) -> Danced:
        where = (id(body), weight)
        if where not in self._made:
            self._made[where] = _row(self._item, body, weight)
        return self._made[where]

    def _item(self, item: dance.Item, weight: dance.Weight) -> Danced:
        match item:
            case dance.Step():
                return _step(item, weight)
            case dance.Rest(ticks=ticks):
                return Danced((("rest", ticks),), weight)
            case dance.Gap() | Check(blank=True) | dance.Repeat(times=None):
                raise Blank
            case dance.Together(checks=checks):
                return self.body(checks, weight)
            case Check():
                feet = item.test.about == "weight"
                return Danced((), dance.Weight(asked(item).after(weight)) if feet else weight)
            case dance.Choice(options=options):
                made = [self.body(option, weight) for option in options]
                return _with("or", made, made[0].after)
            case dance.Repeat(times=int(times)):
                return self._times(item.body, times, weight)
            case dance.Forever():
                once = self.body(item.body, weight)
                return _with("for ever", [once, self.body(item.body, once.after)], once.after)
            case dance.Last():
                return _with("or end with", [self.body(item.body, weight)], weight)
            case _:
                return self.body(item.body, weight)

    def _times(self, body: dance.Body, times: int, weight: dance.Weight) -> Danced:
        """Return a repeat: written out if it is short, else by its body and how often it comes round."""
        once = self.body(body, weight)
        if len(once.steps) * times <= MOST_STEPS:
            return _row(self.body, repeat(body, times), weight)
        seen = [weight]
        while (weight := self.body(body, seen[-1]).after) not in seen:
            seen.append(weight)
        first = seen.index(weight)
        after = seen[first + (times - first) % (len(seen) - first)] if times >= len(seen) else seen[times]
        return _with(f"{times} times", [once, self.body(body, once.after)], after)


Piece = TypeVar("Piece")


def _row(write: Callable[[Piece, dance.Weight], Danced], pieces: Iterable[Piece], weight: dance.Weight) -> Danced:
    """Return pieces of a dance, one behind the other."""
    steps: list[object] = []
    for piece in pieces:
        made = write(piece, weight)
        _add(steps, made.steps)
        weight = made.after
    return Danced(tuple(steps), weight)


def _with(word: str, made: list[Danced], after: dance.Weight) -> Danced:
    return Danced(((word, *(one.steps for one in made)),), after)


def _add(steps: list[object], more: Likeness) -> None:
    """Add steps; two rests in a row are one."""
    for one in more:
        match steps[-1:], one:
            case [("rest", int(before))], ("rest", int(ticks)):
                steps[-1] = ("rest", before + ticks)
            case _:
                steps.append(one)


def _step(step: dance.Step, weight: dance.Weight) -> Danced:
    if step.blank:
        raise Blank
    figure = step.figure
    (lead, end, own), *others = ends(figure, weight)
    after = weight if isinstance(end, Impossible) else end
    turn = own if step.turn is None else step.turn
    deeds, length = _deeds(figure), figure.length
    foot = "both" if weight is dance.Weight.BOTH and not others else lead.name
    return Danced(((deeds, length, foot, turn),), after)


@lru_cache(maxsize=4096)
def _deeds(figure: dance.Figure) -> tuple[object, ...]:
    """Return what makes a figure this one.

    One of a book is itself, since two of the same footwork may go different ways.  One of a sheet is its movements,
    feet as its lead has them, so that two names for it are one.
    """
    if figure.book:
        return (figure.book, plain_name(figure), figure.versions[figure.usual].label)
    mirrored = figure.lead is dance.Foot.RIGHT
    out = []
    for action in figure.versions[figure.usual].actions:
        foot = action.foot.other if action.foot is not None and mirrored else action.foot
        sense = action.movement.senses[action.movement.usual]
        out.append((action.movement.name, sense.label, None if foot is None else foot.name, action.tick))
    return tuple(out)
