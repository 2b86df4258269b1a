"""Questions about a body that is laid out: its parts and passes, its first foot, how far its steps go; and the body
with some checks only.
"""

from collections import Counter
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, TypeAlias

from attrs import evolve, field, frozen

from stepcheck.language.stretches import every_line
from stepcheck.language.syntax import Line, Mark, PartHead, Row, SpotMark, TravelMark
from stepcheck.model.claims import Check, Claim, Kind, Test
from stepcheck.model.dance import Body, Choice, Gap, Item, Lap, Pass, Repeat, Rest, Step, Timed, Together, Weight, key
from stepcheck.model.floor import TOO_LONG, Travel
from stepcheck.model.items import Mapped, checks, every, inside
from stepcheck.program.claims import LineFails, Swap

if TYPE_CHECKING:
    from stepcheck.program.layout import Layout

EITHER_FOOT = (Weight.LEFT, Weight.RIGHT)


@frozen
class Uncut(Rest):
    """The first `ticks` of a body that is cut once its lines are changed, in a program that keeps its lines.

    With `music`, `body` is one lap of what goes on until the music ends, `music` ticks after the clock's start; it is
    empty where the laps differ.
    """

    body: Body = ()
    music: int | None = None


@frozen
class Reached:
    """The parts that a dance reaches, by key, and the ids of the reached claims that a time comes."""

    parts: set[str] = field(factory=set)
    times: set[str] = field(factory=set)

    def without_times(self, body: Body) -> Body:
        """Return a body without the checks that a time comes, which only mark its place; record the parts and times in
        it."""

        def change(item: Item) -> Body:
            if isinstance(item, Pass):
                self.parts.add(key(item.part))
            if isinstance(item, Check) and item.claim.kind is Kind.TIME:
                self.times.add(item.claim.id)
                return ()
            return () if isinstance(item, Repeat) and not item.body else (item,)

        return Mapped(change).body(body)


def steps_alone(body: Body, *, lasting: bool = False) -> Body:
    """Return the steps of a body, with no check but those of the feet that are to lead.

    With `lasting`, what is cut short lasts as long as its counts.
    """

    def change(item: Item) -> Body:
        match item:
            case Check():
                return (item,) if item.test is Test.LEAD else ()
            case Together():
                return ()
            case Choice():
                return (evolve(item, claim=None),)
            case Timed(lasts=int()) if lasting:
                return (item,)
            case Timed() | Lap():
                return item.body
            case Pass():
                return (evolve(item, lap=False, lasts=item.lasts if lasting else None),)
            case Repeat():
                return (item,) if item.body else ()
        return (item,)

    return Mapped(change).body(body)


def lengths_alone(body: Body) -> Body:
    """Return a body with no check but those of lengths, which no foot and no facing can change."""

    def change(item: Item) -> Body:
        found = checks(item)
        return tuple(check for check in found if check.test is Test.CLOCK) if found else (item,)

    return Mapped(change).body(body)


Passes: TypeAlias = dict[int, tuple[Body, Counter[str]]]
"""How many passes of each part there are in bodies, by the `id` of each, with the body itself so that it stays."""


def passes(body: Body, known: Passes) -> Counter[str]:
    """Return how many passes of each part there are in a body, those in passes included; `known` holds earlier
    answers."""
    if id(body) not in known:
        found = Counter[str]()
        for item in body:
            if isinstance(item, Pass):
                found[key(item.part)] += 1
            times = item.times or 1 if isinstance(item, Repeat) else 1
            for inner in inside(item):
                for part, number in passes(inner, known).items():
                    found[part] += number * times
        known[id(body)] = body, found
    return known[id(body)][1]


def first_weights(body: Body, heads: frozenset[int]) -> tuple[Weight, ...]:
    """Return the possible weights before a body: by the foot that its first step names, else on either foot.

    Args:
        body: a body as laid out.
        heads: the lines of the headings of parts, whose contracts may say that a part begins on both feet.
    """
    return _named(body, heads) or EITHER_FOOT


def _under(body: Body, number: int, claim: Claim) -> Body | None:
    """Return the items under a heading of counts whose foot check is item `number` of a body; None if it is no such
    check.

    The foot of a heading is that of the first line under it: it names nothing where none is danced.
    """
    rest = body[number + 1 :]
    for end, item in enumerate(rest):
        if isinstance(item, Check) and item.claim.kind is Kind.COUNTS and item.claim.line == claim.line:
            return rest[:end]
    return None


def _named(body: Body, heads: frozenset[int]) -> tuple[Weight, ...] | None:
    """Return the weights before the first step of a body: none if it names no foot; None if nothing is danced."""
    for number, item in enumerate(body):
        found: tuple[Weight, ...] | None = None
        match item:
            case Check(test=Test.LEAD, value=foot, claim=claim):
                under = _under(body, number, claim)
                if under is None or _named(under, heads) is not None:
                    return (Weight.BOTH,) if foot is None else (Weight(1 - foot),)  # from both, any foot can be found
            case Step() | Gap():
                return ()
            case Choice():
                named = {_named((*option, *body[number + 1 :]), heads) for option in item.options}
                return named.pop() if len(named) == 1 else ()
            case Check(test=Test.BOTH, claim=claim) if claim.kind is Kind.STAND and claim.line in heads:
                return (Weight.BOTH,)
            case Check() | Together() | Rest():
                continue
            case _:
                found = _named(item.body, heads)
        if found is not None:
            return found
    return None


MOST_STEPS = 600
"""How many steps of a pass are followed; where there are more, nothing is decided."""


def going(body: Body, marks: Iterable[Mark], swap: Swap) -> Body:
    """Return the steps of a line with the way that its mark gives them, mirrored where its pass is."""
    mark = next((mark for mark in marks if isinstance(mark, TravelMark)), None)
    if mark is None:
        return body
    way = (-mark.right if swap.turns else mark.right), mark.forward
    return tuple(evolve(item, travel=way) if isinstance(item, Step) else item for item in body)


def travels(layout: "Layout", heads: frozenset[int]) -> tuple[Travel, ...]:
    """Return the claims of parts about where a pass ends (`returns`, `within 4 steps`), each with the pass to follow.

    That is a pass in a time that no line names, from the feet with which the part begins.
    """
    names, out = layout.names, list[Travel]()
    layout.failures += _on_parts(every_line(names.sheet.lines), names.parts)
    for part, head in names.parts.items() if not layout.lined else ():
        assert isinstance(head.node, PartHead)
        pieces = [piece for piece in head.node.pieces if isinstance(piece, SpotMark)]
        if pieces:
            whole: Body = (layout.one_pass(head, part),)
            body, weights = steps_alone(whole), first_weights(whole, heads)
            unknown = unknown_ways((body,))
            out += (Travel(layout.registry.at(head, one.at), one.steps, weights, body, unknown) for one in pieces)
    return tuple(out)


def _on_parts(lines: Iterable[Line], parts: dict[str, Line]) -> Iterator[LineFails]:
    """Yield the lines that say how far a part goes, which its own lines say."""
    for line in lines:
        for option in line.node.options if isinstance(line.node, Row) else ():
            for mark in option.marks:
                if isinstance(mark, TravelMark) and key(option.name) in parts:
                    message = "how far it goes is said of a figure, not of a part"
                    yield LineFails("mark-not-possible-here", line, mark.at, message, "say it on the lines of the part")


def unknown_ways(bodies: tuple[Body, ...]) -> tuple[str, ...]:
    """Return the figures in bodies of which nobody says how far they go, or that there are too many steps."""
    found = tuple(dict.fromkeys(figure for body in bodies for figure in _unknown(body)))
    return found or (TOO_LONG if any(_steps(body) > MOST_STEPS for body in bodies) else ())


def _unknown(body: Body) -> Iterator[str]:
    """Yield the figures of which nobody says how far they go: one that goes somewhere hangs on where it turns."""
    for item in every(body):
        open_ = isinstance(item, Repeat) and item.times is None
        if isinstance(item, Gap) or open_ or (isinstance(item, Check) and item.value is None):
            yield "?"
        if isinstance(item, Step) and item.travel is None:
            known = [version.travel for version in item.figure.versions]
            turned = item.blank or (item.turn is not None and any(way not in (None, (0, 0)) for way in known))
            if None in known or turned:
                yield item.figure.name
        elif isinstance(item, Step) and item.blank:
            yield item.figure.name


def _steps(body: Body) -> int:
    """Return how many steps a body has, with its repeats danced out."""
    total = 0
    for item in body:
        times = item.times or 1 if isinstance(item, Repeat) else 1
        sizes = [_steps(one) for one in inside(item)]
        total += times * (sum(sizes) if isinstance(item, Choice) else sum(sizes) or 1)
    return total
