"""The floor: what each of its groups dances, how it begins, the meetings of them all; how far passes go."""

from bisect import bisect_left
from collections.abc import Iterable, Iterator
from itertools import islice
from typing import TYPE_CHECKING

from attrs import evolve

from stepcheck.language.patch import MEANT, Rewrite
from stepcheck.language.stretches import every_line, relates
from stepcheck.language.syntax import (
    NOWHERE,
    At,
    HoldRow,
    LabelHead,
    Line,
    PartHead,
    Row,
    Sheet,
    SpotMark,
    TimesHead,
    TogetherHead,
    TravelMark,
    UntilHead,
)
from stepcheck.model import words
from stepcheck.model.claims import Check, Claim, Kind, Test
from stepcheck.model.dance import (
    EIGHTHS,
    TICKS,
    Action,
    Body,
    Choice,
    Figure,
    Forever,
    Item,
    Lap,
    Lined,
    Pass,
    Repeat,
    Step,
    Timed,
    Together,
    Version,
    key,
)
from stepcheck.model.floor import RELATIONS, TOO_LONG, Meeting, Travel
from stepcheck.model.items import Mapped, every, inside, is_blank, once
from stepcheck.model.movements import Actor, Movement, Sense
from stepcheck.program.claims import EACH_SECTION, LineFails, Registry, first_weights
from stepcheck.program.header import Facts

if TYPE_CHECKING:
    from stepcheck.program.layout import Layout

MOST_MEETINGS = 256
MOST_PLACES = 2_000  # at which they should never meet, of which few are kept
ENDS = "say under music: or behind dance: how long the music is"
_STEP = Movement("step", ("S",), (Sense("", Actor.FREE, True),))


def floor(head: Line, groups: tuple[str, ...]) -> tuple[tuple[Line, ...], ...]:
    """Return the lines of the dance as each group dances them; once, where there are no groups.

    Raises:
        LineFails: a block `together:` does not name each of the groups once.
    """
    split = groups or any(isinstance(line.node, TogetherHead) for line in every_line(head.body))
    return tuple(of_group(head.body, groups, group) for group in groups or ("",)) if split else (head.body,)


def danced(facts: Facts, bodies: tuple[Body, ...], sheet: Sheet) -> tuple[Body, tuple[Meeting, ...]]:
    """Return the dance of groups that dance these bodies, a choice of one for each, and their meetings.

    Raises:
        LineFails: they do not dance alike in what goes on for ever, or nobody can say when they meet.
    """
    if not facts.groups:
        return bodies[0], ()
    lines = {line.number: line for line in every_line(sheet.lines)}
    begun = tuple((*begins(facts, number), *body) for number, body in enumerate(bodies))
    plain = [unmarked(body) for body in begun]
    ever = tuple(item for item in plain[0][-1:] if isinstance(item, Forever))
    for item in every(begun[0]) if ever else ():
        if isinstance(item, Check) and _marks(item):
            raise _open(lines[item.line])
    found = meetings(facts, begun, lines)
    if ever and any(body[-1:] != ever for body in plain):
        what = "the groups do not dance alike until the music ends, and nobody says when it does"
        raise LineFails("mark-not-possible-here", lines[ever[0].line], NOWHERE, what, ENDS)
    return (Choice(0, None, tuple(body[: len(body) - len(ever)] for body in plain)), *ever), found


def of_group(lines: tuple[Line, ...], groups: tuple[str, ...], group: str) -> tuple[Line, ...]:
    """Return lines of the dance as one of the `groups` dances them."""
    out: list[Line] = []
    for line in lines:
        if isinstance(line.node, UntilHead) or (isinstance(line.node, TimesHead) and line.node.times is None):
            for one in every_line(line.body):
                if relates(one.node):
                    raise _open(one)
        if not isinstance(line.node, TogetherHead):
            out.append(evolve(line, body=of_group(line.body, groups, group)) if line.body else line)
            continue
        rows = {key(name): row for row in line.body for name, _ in _named(row)}
        _vet(line, groups, set(rows))
        row = rows[key(group)]
        if isinstance(row.node, Row):
            waits = () if row.node.wait is None else (evolve(row, node=HoldRow(row.node.wait), body=()),)
            out += (*waits, evolve(row, node=evolve(row.node, section=None, wait=None)))
        else:
            out += row.body
    return tuple(out)


def _open(line: Line) -> LineFails:
    """Return the failure of a claim about groups of which nobody can say when these come to it."""
    what = "how often the groups meet here is open"
    hints = ("write what holds between the groups outside what is danced any number of times", ENDS)
    return LineFails("mark-not-possible-here", line, NOWHERE, what, *hints)


def _named(line: Line) -> Iterator[tuple[str, At]]:
    """Yield the name of a group on a line, with its place, if it has one."""
    if isinstance(line.node, LabelHead):
        yield line.node.name, line.node.at
    elif isinstance(line.node, Row) and line.node.section is not None:
        yield line.node.section, line.node.section_at


def _vet(head: Line, groups: tuple[str, ...], named: set[str]) -> None:
    """Refuse a block that does not name each group once."""
    if not groups:
        hint = "name the groups in the header, as in: groups: odd lines, even lines"
        raise LineFails("wrong-groups", head, NOWHERE, "the floor is not split into groups", hint)
    seen: set[str] = set()
    for line in head.body:
        for name, at in _named(line):
            if key(name) not in map(key, groups):
                hints = [Rewrite(one, at, MEANT) for one in groups if key(one) not in named][:1]
                said, last = f"there is no group {name}", f"the groups are {', '.join(groups)}"
                raise LineFails("wrong-groups", line, at, said, *hints, last)
            if key(name) in seen:
                said, last = f"{name} has a line here already", "put all its lines under one heading"
                raise LineFails("wrong-groups", line, at, said, last)
            seen.add(key(name))
    for group in groups:
        if key(group) not in seen:
            hint = f"give it a line here; one that has nothing to do waits, as in: {group}: and under it hold 8 beats"
            raise LineFails("wrong-groups", head, NOWHERE, f"{group} has no line here", hint)


def begins(facts: Facts, number: int) -> Body:
    """Return a step of no length that puts a group on its own lead, wall and place, where it has such."""
    line, lead, facing, place = facts.starts[number]
    if (lead, facing, place or (0, 0)) == (facts.lead, facts.facing, (0, 0)):
        return ()
    actions = (Action(_STEP, None, TICKS, 1),) if lead is not facts.lead else ()
    figure = Figure(f"({facts.groups[number]} begin)", (Version("", actions, 0),), lead=facts.lead, line=line)
    return (Step(line, figure, (facing - facts.facing) % EIGHTHS, travel=place or (0, 0)),)


def unmarked(body: Body) -> Body:
    """Return a body without the checks that mark the places of meetings."""
    return Mapped(lambda item: () if _marks(item) else (item,)).body(body)


def meetings(facts: Facts, bodies: tuple[Body, ...], lines: dict[int, Line]) -> tuple[Meeting, ...]:
    """Return the meetings of groups that dance these bodies; `lines` are those of the sheet by their numbers.

    Raises:
        LineFails: one stands where nobody can say when the groups come to it, or where they start; or there are too
            many.
    """
    if not any(_marks(item) for item in every(bodies[0])):
        return ()
    found: list[Meeting] = []
    marked = [tuple(islice(_places(body), MOST_PLACES + 1)) for body in bodies]
    if len(set(map(len, marked))) > 1:
        return ()  # a claim stands among the lines of one group, where it is a misplaced line
    each = list(zip(*marked, strict=True))
    alone = _followed([(places[0][0].claim, tuple(before for _, before in places)) for places in each])
    for number, places in enumerate(each):
        check = places[0][0]
        if len(found) == MOST_MEETINGS or number == MOST_PLACES:
            what, hint = f"the groups meet more than {number} times", "say what holds between them less often"
            raise LineFails("too-many-steps", lines[check.line], NOWHERE, what, hint)
        if check.claim.kind is not Kind.APART:
            found.append(Meeting(check.line, check.claim, tuple(before for _, before in places)))
            continue
        astray = [group for group, start in zip(facts.groups, facts.starts, strict=True) if start[3] is None]
        if len(astray) > 1:
            what = f"nobody says where {words.listed(astray)} start"
            hint = f"say in the header how far from the middle, as in `{astray[-1]}: start 2 steps forward`"
            raise LineFails("wrong-groups", lines[check.claim.line], NOWHERE, what, hint)
        if number in alone:
            found.append(Meeting(check.line, check.claim, alone[number], unknown_ways(alone[number])))
    return tuple(found)


def _followed(places: list[tuple[Claim, tuple[Body, ...]]]) -> dict[int, tuple[Body, ...]]:
    """Return by its number each place of `never meet` up to which dancers are followed, with the steps before it.

    What is danced before a place is danced before later ones, too: the last of a claim is enough, and where that can't
    be followed the last that can.
    """

    def steps(number: int) -> tuple[Body, ...]:
        return tuple(steps_alone(body, lasting=True) for body in places[number][1])

    kept = set[int]()
    for claim in {claim for claim, _ in places if claim.kind is Kind.APART}:
        numbers = [number for number, (other, _) in enumerate(places) if other == claim]
        known = bisect_left(numbers, True, key=lambda number: bool(unknown_ways(steps(number))))
        kept |= {numbers[-1], numbers[known - 1]}  # of no known one, twice the last
    return {number: steps(number) for number in kept}


def marker(line: int, claim: Claim) -> Check:
    """Return the check that marks the place of a meeting."""
    return Check(line, claim, Test.CLOCK, None)


def closing(registry: Registry, line: int) -> Body:
    """Return the marks of what `each section` of the header says of the groups, behind a `line` of the dance."""
    return tuple(marker(line, claim) for (_, _, role), claim in registry.slots.items() if role == EACH_SECTION)


def _marks(item: Item) -> bool:
    return isinstance(item, Check) and item.claim.kind in RELATIONS.values()


def _places(body: Body, before: Body = ()) -> Iterator[tuple[Check, Body]]:
    """Yield each meeting of a body, with all that is danced before it."""
    for item in body:
        if isinstance(item, Check) and _marks(item):
            yield item, before
            continue
        plain = unmarked((item,))
        if plain != (item,):
            match item:
                case Repeat(times=int(times)):
                    once = unmarked(item.body)
                    for time in range(times):
                        so_far = (evolve(item, times=time, body=once),) if time else ()
                        yield from _places(item.body, (*before, *so_far))
                case Timed():
                    yield from ((check, (*before, Timed(inner))) for check, inner in _places(item.body))
                case Lined():
                    yield from _places(item.body, before)
                case _:
                    raise AssertionError(f"a meeting in a {type(item).__name__}")
        before = (*before, *plain)


# -- how far passes go -------------------------------------------------------------------------------------------------


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


def any_of(line: int, bodies: tuple[Body, ...]) -> Body:
    """Return the steps of one of some bodies, whichever a dancer picks."""
    alone = tuple(dict.fromkeys(map(steps_alone, bodies)))
    return alone[0] if len(alone) == 1 else (Choice(line, None, alone),)


MOST_STEPS = 600
"""How many steps of a pass are followed; where there are more, nothing is decided."""


def travels(layout: "Layout", heads: frozenset[int], danced: tuple[Body, ...]) -> tuple[Travel, ...]:
    """Return the claims of parts about where a pass ends (`returns`, `within 4 steps`), each with the passes to follow:
    the different whole ones that are `danced`, from the feet with which they begin."""
    names, out = layout.names, list[Travel]()
    layout.failures += _on_parts(every_line(names.sheet.lines), names.parts)
    for head in names.parts.values() if not layout.lined else ():
        assert isinstance(head.node, PartHead)
        pieces = [piece for piece in head.node.pieces if isinstance(piece, SpotMark)]
        came = (one for one in once(*danced) if isinstance(one, Pass)) if pieces else ()
        passes = [one for one in came if one.lasts is None and one.part == head.node.name]
        if passes:
            bodies: tuple[Body, ...] = tuple(dict.fromkeys((evolve(one, line=head.number),) for one in passes))
            weights = tuple(dict.fromkeys(weight for body in bodies for weight in first_weights(body, heads)))
            alone = tuple(map(steps_alone, bodies))
            unknown, body = unknown_ways(alone), any_of(head.number, bodies)
            out += (Travel(layout.registry.at(head, one.at), one.steps, weights, body, unknown) for one in pieces)
    return tuple(out)


def _on_parts(lines: Iterable[Line], parts: dict[str, Line]) -> Iterator[LineFails]:
    """Yield a failure for each line that says how far a part goes: the part's own lines say that."""
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
        if is_blank(item) and not isinstance(item, Step):
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
