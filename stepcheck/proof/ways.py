"""Long repeats in which dancers part: tables of what may come of 1, 2, 4, 8 … times, stated and asked.

Of all that may come of it from one start, a table has for each foot and change of facing the least and the greatest
turn (and one between, where there is one: a claim of a turn to either side tells three from two) and the shortest and
the longest time.
"""

from collections.abc import Callable, Iterable, Mapping
from itertools import product
from typing import Any

from attrs import define, field, frozen

from stepcheck.model.dance import EIGHTHS
from stepcheck.proof.names import FEET, Function, Names, Picks, chosen, literal
from stepcheck.proof.prelude import Widths, prelude
from stepcheck.proof.solving import BudgetSpent, Session, Shared

MOST_WAYS = 1000
SEEN, PICKS, WEIGHT, FACING = "seen", "picked", "begun-on", "begun-facing"

Start = tuple[int, int]
"""A weight, and a facing since the frame began, 0 where none is claimed in the body."""
End = tuple[int, int, int, int]
"""A weight, whether the turn is loose, the turn, and the time in ticks."""
Probe = Callable[[Names, "Repeated"], Mapping[Start, Iterable[End]]]


@frozen
class Repeated(Function):
    """The function of a body that is repeated, and how it can begin; it tests facings, if anything."""

    starts: tuple[Start, ...] = ()


@frozen
class Group:
    """What ends on one foot with one change of facing: a few of its turns, and the shortest and longest time."""

    weight: int
    loose: int
    turns: tuple[int, ...]
    shortest: int
    longest: int

    def ends(self) -> tuple[End, ...]:
        """Return the ends by which it is known."""
        times = dict.fromkeys((self.shortest, self.longest))
        return tuple((self.weight, self.loose, turn, ticks) for turn, ticks in product(self.turns, times))


Table = Mapping[Start, tuple[Group, ...]]


def grouped(ends: Iterable[End]) -> tuple[Group, ...]:
    """Return ends by foot and facing."""
    found: dict[tuple[int, int, int], tuple[set[int], set[int]]] = {}
    for weight, loose, turn, ticks in ends:
        turns, times = found.setdefault((weight, loose, turn % EIGHTHS), (set(), set()))
        turns.add(turn % EIGHTHS if loose else turn)
        times.add(ticks)
    return tuple(
        Group(weight, loose, tuple(sorted({*sorted(turns)[:2], max(turns)})), min(times), max(times))
        for (weight, loose, _), (turns, times) in sorted(found.items())
    )


def one_after_other(first: Table, second: Table, facings: bool) -> Table:
    """Return a guess of what may come of something and of something after it."""
    out = {}
    for (weight, facing), groups in first.items():
        ends: set[End] = set()
        for one in (end for group in groups for end in group.ends()):
            then = (one[0], (facing + one[2]) % EIGHTHS if facings else 0)
            for two in (end for group in second[then] for end in group.ends()):
                ends.add((two[0], one[1] | two[1], one[2] + two[2], one[3] + two[3]))
        out[weight, facing] = grouped(ends)
    return out


@define
class Tables:
    """The tables of one body, by how often it is danced: each with the function that goes one of its ways.

    `asked` are terms of what is false of the guesses.
    """

    names: Names
    body: Repeated
    first: Mapping[Start, Iterable[End]]
    asked: list[str] = field(factory=list)
    _made: dict[int, tuple[Function, Table]] = field(factory=dict)

    def times(self, times: int) -> Function:
        """State the body danced so many times, and return the function that goes one of its ways."""
        if times not in self._made:
            if times == 1:
                table: Table = {start: grouped(ends) for start, ends in self.first.items()}
                self._state(times, table, (self.body,))
            else:
                parts = (times - 1, 1) if times % 2 else (times // 2, times // 2)
                ways = tuple(self.times(part) for part in parts)
                one, two = (self._made[part][1] for part in parts)
                self._state(times, one_after_other(one, two, bool(self.body.looks)), ways)
        return self._made[times][0]

    def _state(self, times: int, table: Table, parts: tuple[Function, ...]) -> None:
        names, body = self.names, self.body
        title = f"{body.title} x{times}"
        self._made[times] = _way(names, body, title, table), table
        covers = _covers(names, body, title, table)
        bit = names.bit(f"{title}: every way is stated")
        weight = names.constant(f"{body.title}: begun with the weight on", 2, "pick")
        facing = names.constant(f"{body.title}: begun facing", 3, "pick") if body.looks else "#b000"
        end = f"(standing {weight} {facing})"
        for part in parts:
            end = part.of(end, names.pick(f"picks of {part.title}", part.picks) if part.picks else "")
        most = max(start[0] for start in body.starts)
        known = f"({covers} {weight} {facing} (since {facing} {end}))"
        self.asked.append(f"(ite (and (bvule {weight} {FEET[most]}) (not {known})) {bit} none)")


def stated(
    names: Names, body: Repeated, times: int, first: Mapping[Start, Iterable[End]]
) -> tuple[Function, list[str]]:
    """State a body danced so many times.

    Args:
        names: the script.
        body: what is repeated.
        times: how often, at least twice.
        first: what may come of it once, by start: a guess.

    Returns:
        the function, and what is false of the guesses, as terms.
    """
    tables = Tables(names, body, first)
    # Claims in it look at how it begins only: danced once for each start, it has begun in all ways that come.
    most = min(times, len(body.starts))
    end, levels = tables.times(times), most.bit_length()
    ways = [tables.times(1 << level) for level in range(levels)]
    picks = Picks(names)
    ends = end.of("d", picks.take(end.picks))
    count, some = picks.take(levels), "d"
    for level, way in enumerate(ways):
        jump = way.of("d", picks.take(way.picks))
        some = f"(let ((d {some})) (ite (= ((_ extract {level} {level}) k) #b1) {jump} d))"
    lap = body.of(some, picks.take(body.picks))
    name = names.fresh(f"{body.title} x{times}")
    names.say(
        f"; the dancer after all the times, with what is false in the one that comes after k of them\n"
        f"(define-fun {name} ((d Dancer){picks.taken}) Dancer\n"
        f"  (let ((k (ite (bvult {count} {literal(most, levels)}) {count} {literal(0, levels)})))\n"
        f"  (also {ends} {lap})))",
        2 * levels,
    )
    return Function(name, picks.width, 1), tables.asked


def _from_starts(names: Names, body: Repeated, dancer: str, terms: Mapping[Start, str]) -> str:
    """Return the term of the start with which a dancer begins."""
    weight, facing = (f"(weight {dancer})", f"(facing {dancer})") if dancer == "d" else ("w", "f")

    def begins(number: int) -> str:
        foot, wall = body.starts[number]
        on = f"(= {weight} {FEET[foot]})"
        return f"(and {on} (= {facing} {names.wall(wall)}))" if body.looks else on

    return chosen(begins, [terms[start] for start in body.starts])


def _way(names: Names, body: Repeated, title: str, table: Table) -> Function:
    rows = {start: [end for group in groups for end in group.ends()] for start, groups in table.items()}
    width = max(1, *((len(ends) - 1).bit_length() for ends in rows.values()))
    terms = {}
    for start, ends in rows.items():
        told = [
            f"(dancer {FEET[w]} #b{loose} {names.turn(turn)} {names.beats(ticks)} none)"
            for w, loose, turn, ticks in ends
        ]
        terms[start] = chosen(lambda number: f"(= p {literal(number, width)})", told)
    name = names.fresh(f"{title}, some way")
    names.say(
        f"(define-fun {name} ((d Dancer) (p (_ BitVec {width}))) Dancer\n"
        f"  (then d {_from_starts(names, body, 'd', terms)}))",
        sum(map(len, rows.values())),
    )
    return Function(name, width, 1)


def _covers(names: Names, body: Repeated, title: str, table: Table) -> str:
    """State whether a table knows of an end, which began from nothing with the weight w, facing f."""
    terms = {
        start: f"(or {' '.join(_group(names, group) for group in groups)} false)" for start, groups in table.items()
    }
    name = names.fresh(f"{title}: known")
    names.say(
        f"(define-fun {name} ((w Weight) (f Eighths) (d Dancer)) Bool\n  {_from_starts(names, body, '', terms)})", 1
    )
    return name


def _group(names: Names, group: Group) -> str:
    times = f"{names.beats(group.shortest)} {names.beats(group.longest)} d"
    if group.loose:
        return f"(comes-loosely {FEET[group.weight]} {names.wall(group.turns[0])} {times})"
    pairs = [(group.turns[0], group.turns[-1])] if len(group.turns) > 2 else [(turn, turn) for turn in group.turns]
    return " ".join(f"(comes {FEET[group.weight]} {names.turn(one)} {names.turn(two)} {times})" for one, two in pairs)


# -- what may come of a body once: z3 is asked until it knows of nothing else ----------------------------------------


def ends(
    shared: Shared, text: str, widths: Widths, body: Repeated, budget: int
) -> tuple[Mapping[Start, set[End]], int]:
    """Return the ends of a body by start, enough to know their groups, and what is left of the budget.

    Args:
        shared: what the script so far shares with others.
        text: the rest of it, without its vocabulary.
        widths: its widths.
        body: what is danced.
        budget: what z3 may spend.

    Raises:
        BudgetSpent: it is spent, or there are too many ends.
    """
    width = 3 + widths.turn + widths.beats
    picks = f" {PICKS}" if body.picks else ""
    lines = (
        text,
        f"(declare-const {WEIGHT} Weight)\n(declare-const {FACING} Eighths)",
        f"(declare-const {PICKS} (_ BitVec {body.picks}))" if body.picks else "",
        f"(declare-const {SEEN} (_ BitVec {width}))",
        f"(define-fun danced () Dancer (since {FACING} ({body.name} (standing {WEIGHT} {FACING}){picks})))",
        f"(assert (= {SEEN} (concat (weight danced) (loose danced) (turn danced) (beats danced))))\n",
    )
    bits = {SEEN: width, WEIGHT: 2, FACING: 3}
    session = Session.reading(prelude(widths), "\n".join(lines), bits, SEEN, budget, shared)
    return {start: _from(session, start, widths) for start in body.starts}, session.left


def _from(session: Session, start: Start, widths: Widths) -> set[End]:
    found: set[End] = set()
    here = [session.equal(WEIGHT, start[0]), session.equal(FACING, start[1])]
    while len(found) <= MOST_WAYS:
        known = [_known(session, group, widths) for group in grouped(found)]
        values = session.ask(*here, session.unlike([session.one_of(known)]))
        if values is None:
            return found
        value, ticks = values[SEEN], values[SEEN] & (1 << widths.beats) - 1
        value >>= widths.beats
        turn = value & (1 << widths.turn) - 1
        turn -= turn >> widths.turn - 1 << widths.turn
        found.add((value >> widths.turn + 1, value >> widths.turn & 1, turn, ticks))
    raise BudgetSpent("too many ways")


def _known(session: Session, group: Group, widths: Widths) -> Any:
    low = widths.beats
    ticks, turn = session.part(SEEN, low - 1, 0), session.part(SEEN, low + widths.turn - 1, low)
    facing = session.part(SEEN, low + 2, low)
    feet = session.part(SEEN, low + widths.turn + 2, low + widths.turn)
    conditions = [
        session.within(feet, 2 * group.weight + group.loose, 2 * group.weight + group.loose),
        session.within(facing, group.turns[0] % EIGHTHS, group.turns[0] % EIGHTHS),
        session.within(ticks, group.shortest, group.longest),
    ]
    if not group.loose:
        spans = [(group.turns[0], group.turns[-1])] if len(group.turns) > 2 else [(one, one) for one in group.turns]
        conditions.append(session.one_of([session.within(turn, *span) for span in spans]))
    return session.all_of(conditions)
