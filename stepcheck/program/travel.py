"""How far the steps of a part go: what its lines say, and what its contract says of where it ends."""

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from attrs import evolve

from stepcheck.language.stretches import every_line
from stepcheck.language.syntax import Line, Mark, PartHead, Row, SpotMark, TravelMark
from stepcheck.model.claims import Check
from stepcheck.model.dance import Body, Choice, Gap, Repeat, Step, key
from stepcheck.model.floor import TOO_LONG, Travel
from stepcheck.model.items import every, inside
from stepcheck.program.claims import LineFails
from stepcheck.program.contracts import Swap
from stepcheck.program.laid import first_weights, steps_alone

if TYPE_CHECKING:
    from stepcheck.program.layout import Layout

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
