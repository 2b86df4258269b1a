"""The changes that a line of a routine can take, those with the same effect put together as one variant.

Many figures have one effect and one length, so the search chooses among effects; the figure is chosen afterwards.
"""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any, NamedTuple

from attrs import field, frozen

from stepcheck.language import edits
from stepcheck.language.alterations import changed
from stepcheck.language.edits import Edit
from stepcheck.language.printer import print_node
from stepcheck.language.stretches import mark_of, rows
from stepcheck.language.syntax import At, FirstMark, FootMark, HoldRow, Length, Line, Option, Row, TurnMark
from stepcheck.model.claims import Check, Claim, Kind, Test
from stepcheck.model.dance import TICKS, Body, Choice, Figure, Foot, Repeat, Rest, Step, key
from stepcheck.program.claims import LineFails
from stepcheck.program.cutting import length
from stepcheck.search.candidates import TURNS, Candidate, wishes
from stepcheck.search.slots import Sketch, Slot, timed
from stepcheck.search.transitions import Transition, Transitions, Unclear, then

MOST_TIMES = 8
INSERTED = (1, 2, 3, 4)
HOLDS = range(1, 9)
FILL = "fill"
"""The kind of a filling of a blank, which is no change."""
_NOBODY = Claim("", Kind.LEAD, 0, "")


def others(number: int, most: int = MOST_TIMES) -> Iterator[int]:
    """Yield the other numbers that may have been meant for one: from 1 to `most`, and to twice as many as it says."""
    return (other for other in range(1, max(most, 2 * number) + 1) if other != number)


class Offer(NamedTuple):
    """One change without its line: its kind, and the figure or number that it writes."""

    kind: str
    candidate: Candidate | None = None
    value: int | None = None
    option: int = 0
    at: At | None = None
    turn: int | None = None

    def row(self) -> Row | HoldRow:
        """Return the line that is put in."""
        if self.candidate is None:
            return HoldRow(Length((self.value or 1) * TICKS))
        turn = self.turn or 0
        marks = (TurnMark.of(turn),) if turn else ()
        return Row((Option(self.candidate.name, self.value, self.candidate.book, marks=marks),))


@frozen(eq=False)
class Variant:
    """A transition that a line can be given, in each of its slots, and the offers that lead to it."""

    transitions: tuple[Transition, ...]
    cost: int
    offers: tuple[Offer, ...] = field(repr=False)


def edit_of(key: tuple[int, int], offer: Offer) -> Edit:
    """Return an offer as an edit of the line that `key` stands for."""
    line, point = key
    kind, candidate, value, option, at, _ = offer
    name, book = (candidate.name, candidate.book) if candidate is not None else ("", None)
    match kind:
        case "figure":
            return edits.ReplaceFigure(line, name, book)
        case "other length":
            return edits.ReplaceLength(line, name, book)
        case "alternative":
            return edits.ChangeAlternative(line, option, name, book)
        case "times":
            return edits.ChangeTimes(line, value or 1, option)
        case "turn":
            return edits.ChangeTurn(line, value, option)
        case "lead":
            return edits.ChangeLead(line, Foot(value or 0), option)
        case "delete":
            return edits.DeleteLine(line)
        case "claim" if at is not None:
            return edits.ChangeClaim(line, at, value)
    return edits.InsertLine(line, print_node(offer.row()), point == 1)


class Offers:
    """The variants of every line of a sketch.

    `names` looks figures up, `pool` are the figures that may be put in, `prices` says what a change of each kind costs;
    lines in `kept` stay as they are, and at those in `closed` nothing is put in.  `shared` holds the variants of rows
    that differ in nothing that matters, for all the shapes of one sheet.
    """

    def __init__(
        self,
        sketch: Sketch,
        transitions: Transitions,
        pool: Iterable[Candidate],
        prices: Mapping[str, int],
        kept: frozenset[int] = frozenset(),
        closed: frozenset[int] = frozenset(),
        shared: dict[object, Any] | None = None,
    ) -> None:
        self.sketch, self.transitions, self.prices, self.kept, self.closed = (
            sketch,
            transitions,
            prices,
            kept | {0},
            closed | {0},
        )
        self.pool = tuple(pool)
        self.slots: dict[tuple[int, int], list[Slot]] = {}
        self.index: dict[Slot, int] = {}
        self.own: dict[Slot, Transition] = {}
        self.leads = False
        self._variants: dict[tuple[int, int], tuple[Variant, ...]] = {}
        self.shared: dict[object, Any] = {} if shared is None else shared

    def add(self, slot: Slot) -> None:
        """Add a slot of the sketch."""
        found = self.slots.setdefault(slot.key, [])
        self.index[slot] = len(found)
        found.append(slot)
        own = self.own[slot] = self.transitions.body(slot.core) if not slot.blank else self.transitions.nothing
        self.leads |= any(way.weight == 2 for row in own for way in row or ())

    def variants(self, key: tuple[int, int]) -> tuple[Variant, ...]:
        """Return the variants of a line, or of an insertion at a point; without those that change nothing."""
        if key not in self._variants:
            blank = not key[1] and any(slot.blank for slot in self.slots.get(key, ()))
            found = () if blank else self.every(key)
            if blank:  # fillings cost nothing, and are no changes
                bodies = tuple((slot.core, -1 if slot.around.swap.mirrored else 1) for slot in self.slots[key])
                each = dict.fromkeys(wishes(self.transitions, bodies))
                found = tuple(Variant(made, 0, (Offer(FILL),)) for made in each if _can_be_danced(made))
            elif found and not key[1]:
                own = tuple(self.own[slot] for slot in self.slots[key])
                found = tuple(one for one in found if one.transitions != own and _can_be_danced(one.transitions))
            self._variants[key] = found
        return self._variants[key]

    def every(self, key: tuple[int, int]) -> tuple[Variant, ...]:
        """Return the variants of a line, or of an insertion at a point, those included that change nothing or that
        nobody can dance."""
        point = key[1] > 0
        still = key[0] in (self.closed if point else self.kept)
        # What can be put in is the same at every point, as nothing is written on it.
        return () if still else self._once("insert", self._insertable()) if point else tuple(self._found(key))

    @property
    def seen(self) -> int:
        """How many changes have been looked at."""
        return sum(len(one.offers) for variants in self._variants.values() for one in variants if one.cost)

    def transition(self, slot: Slot, variant: Variant) -> Transition:
        """Return the transition of a variant in a slot."""
        return variant.transitions[0 if slot.point else self.index[slot]]

    def _found(self, key: tuple[int, int]) -> Iterator[Variant]:
        slots = self.slots[key]
        row = slots[0].line.node
        if isinstance(row, Row):
            steps = [step for step in (plain(slot, row) for slot in slots) if step is not None]
            if len(steps) == len(slots):
                yield from self._plain(row, slots, steps)
            else:
                where = (row, tuple(slot.around for slot in slots), self.sketch.waived)
                yield from self._once(where, self._laid(row, slots))
        if "delete" in self.prices and all(slot.bare for slot in slots):
            yield Variant((self.transitions.still,) * len(slots), self.prices["delete"], (Offer("delete"),))

    def _grouped(self, found: Iterable[tuple[tuple[Transition, ...], Offer]]) -> Iterator[Variant]:
        """Yield the offers of one kind and transition together."""
        groups: dict[tuple[str, tuple[Transition, ...]], list[Offer]] = {}
        for made, offer in found:
            groups.setdefault((offer.kind, made), []).append(offer)
        for (kind, made), offers in groups.items():
            yield Variant(made, self.prices[kind], _said_once(offers))

    # -- rows of one figure ------------------------------------------------------------------------------------------

    def _plain(self, row: Row, slots: list[Slot], steps: list[Step]) -> Iterator[Variant]:
        """Yield the variants of a row of one figure; those of rows that differ in the figure only are shared."""
        option = row.options[0]
        times = option.times or 1
        turns = tuple(step.turn for step in steps)
        signs = tuple(-1 if slot.around.swap.mirrored else 1 for slot in slots)
        figure = steps[0].figure
        ticks, beat = figure.length, max(step.turn_beat or 1 for step in steps)
        yield from self._once(("figure", times, turns, ticks, beat), self._figures(times, turns, ticks, beat))
        named, marked = (mark_of(option, kind) is not None for kind in (FootMark, TurnMark))
        rest = self._others(figure, option, turns, signs)
        yield from self._once((figure, times, turns, signs, named, marked, self.leads), rest)

    def _once(self, where: object, found: Iterator[tuple[tuple[Transition, ...], Offer]]) -> tuple[Variant, ...]:
        if where not in self.shared:
            self.shared[where] = tuple(self._grouped(found))
        made: tuple[Variant, ...] = self.shared[where]
        return made

    def _danced(self, figure: Figure, times: int, turn: int | None) -> Transition:
        return self.transitions.power(self.transitions.step(figure, turn), times)

    def _figures(
        self, times: int, turns: tuple[int | None, ...], ticks: int, beat: int
    ) -> Iterator[tuple[tuple[Transition, ...], Offer]]:
        for one in self.pool:
            if one.figure.length < beat * TICKS:  # a turn stays on its count
                continue
            kind = "figure" if one.figure.length == ticks or one.known else "other length"
            if kind in self.prices:
                yield tuple(self._danced(one.figure, times, turn) for turn in turns), Offer(kind, one)

    def _others(
        self, figure: Figure, option: Option, turns: tuple[int | None, ...], signs: tuple[int, ...]
    ) -> Iterator[tuple[tuple[Transition, ...], Offer]]:
        times = option.times or 1
        for offer in self._numbers(option, 0):
            turned, number = turns, offer.value
            if offer.kind == "turn":
                turned, number = tuple(None if offer.value is None else sign * offer.value for sign in signs), times
            yield tuple(self._danced(figure, number or 1, turn) for turn in turned), offer
        if "lead" in self.prices and self.leads and not mark_of(option, FootMark):
            for foot in Foot:
                lead = self.transitions.item(Check(0, _NOBODY, Test.LEAD, int(foot)))
                yield tuple(then(lead, self._danced(figure, times, turn)) for turn in turns), Offer("lead", value=foot)

    def _numbers(self, option: Option, number: int) -> Iterator[Offer]:
        """Yield the other times and turns that alternative number `number` could have."""
        if "times" in self.prices and option.times is not None:
            yield from (Offer("times", value=times, option=number) for times in others(option.times))
        if "turn" in self.prices and not mark_of(option, FirstMark):
            own = (None,) if mark_of(option, TurnMark) else ()
            yield from (Offer("turn", value=turn, option=number) for turn in (*TURNS, *own))

    # -- other rows --------------------------------------------------------------------------------------------------

    def _laid(self, row: Row, slots: list[Slot]) -> Iterator[tuple[tuple[Transition, ...], Offer]]:
        """Yield the offers for a row whose transitions are known only once it is laid out anew."""
        groups: dict[Transition, list[Candidate]] = {}  # figures that do the same are laid out once
        for one in self.pool:
            groups.setdefault(self.transitions.step(one.figure), []).append(one)
        for number, option in enumerate(row.options):
            ticks = self._ticks(slots[0].line, option) if len(row.options) == 1 else None
            for alike in groups.values():
                same = ticks is None or alike[0].figure.length == ticks
                kind = "alternative" if len(row.options) > 1 else "figure"
                made = self._again(slots, Offer(kind, alike[0], option=number))
                if made is not None:
                    sorts = ((kind if same or one.known else "other length", one) for one in alike)
                    yield from ((made, Offer(sort, one, option=number)) for sort, one in sorts if sort in self.prices)
            for offer in (*self._numbers(option, number), *self._lengths(slots, number, option)):
                made = self._again(slots, offer)
                if made is not None:
                    yield made, offer

    def _lengths(self, slots: list[Slot], number: int, option: Option) -> Iterator[Offer]:
        """Yield how long an alternative could say that it lasts: as long as its steps do."""
        mark = mark_of(option, Length) if "claim" in self.prices else None
        if mark is not None:
            choices = (item for item in slots[0].core if isinstance(item, Choice))
            found = {length(timed(choice.options[number])[0]) for choice in choices} - {mark.ticks, None, 0}
            yield from (Offer("claim", value=ticks, option=number, at=mark.at) for ticks in found)

    def _ticks(self, line: Line, option: Option) -> int | None:
        """Return how long the figure of a row lasts once; None if it has none."""
        try:
            return self.sketch.layout.names.figure(line, option).length
        except LineFails:
            return None

    def _again(self, slots: list[Slot], offer: Offer) -> tuple[Transition, ...] | None:
        """Return the transitions of a row after a change, laid out anew in each of its slots; None if it cannot be."""
        try:
            return tuple(self.transitions.body(timed(self.items(slot, offer))[0]) for slot in slots)
        except (LineFails, Unclear):
            return None

    def items(self, slot: Slot, offer: Offer) -> Body:
        """Return the steps that stand in a slot after a change.

        Raises:
            LineFails: they cannot be laid out.
        """
        if offer.kind == "delete":
            return ()
        edit = edit_of(slot.key, offer)
        if isinstance(edit, edits.InsertLine) and offer.candidate is None:
            return (Rest(slot.line.number, (offer.value or 1) * TICKS),)
        row = offer.row() if isinstance(edit, edits.InsertLine) else changed(edit, self.sketch.lines[edit.line].node)
        assert isinstance(row, Row)
        items = self.sketch.again(slot, row)
        return tuple(item for item in items if not isinstance(item, Check))

    # -- points ------------------------------------------------------------------------------------------------------

    def _insertable(self) -> Iterator[tuple[tuple[Transition, ...], Offer]]:
        if "insert" in self.prices:
            turned = self._turned()
            for one in self.pool:
                step = self.transitions.step(one.figure)
                yield from (((self.transitions.power(step, times),), Offer("insert", one, times)) for times in INSERTED)
                for turn in turned.get(key(one.name), ()):
                    yield (self.transitions.step(one.figure, turn),), Offer("insert", one, 1, turn=turn)
            yield from (((self.transitions.rest(beats * TICKS),), Offer("insert", value=beats)) for beats in HOLDS)

    def _turned(self) -> dict[str, tuple[int, ...]]:
        """Return by the names of the figures that turn in the sheet the turns that they have there, to either side."""
        found: dict[str, set[int]] = {}
        for option in (option for _, row in rows(self.sketch.routine.sheet.lines) for option in row.options):
            turns = {mark.eighths for mark in option.marks if isinstance(mark, TurnMark) and mark.eighths}
            found.setdefault(key(option.name), set()).update(turns, (-turn for turn in turns))
        return {name: tuple(sorted(turns)) for name, turns in found.items()}


def _can_be_danced(transitions: Iterable[Transition]) -> bool:
    """Say whether there is a weight from which one of some transitions can be danced."""
    return any(row is not None for transition in transitions for row in transition)


def _said_once(offers: list[Offer]) -> tuple[Offer, ...]:
    """Return offers that do the same, without a `no turn` that need not be written: the figure has no turn of its
    own."""
    return tuple(
        one for one in offers if (one.kind, one.value) != ("turn", 0) or one._replace(value=None) not in offers
    )


def plain(slot: Slot, row: Row) -> Step | None:
    """Return the step that a slot is made of, if it is one figure, danced some times alike."""
    if len(row.options) != 1 or any(isinstance(mark, FirstMark) for mark in row.options[0].marks):
        return None
    if any(isinstance(mark, TurnMark) and mark.times is not None for mark in row.options[0].marks):
        return None
    core = slot.core
    if len(core) == 1 and isinstance(core[0], Repeat) and core[0].times == row.options[0].times:
        core = core[0].body
    elif row.options[0].times != 1:
        return None
    return core[0] if len(core) == 1 and isinstance(core[0], Step) and not core[0].blank else None
