"""Changed claims: the values with which a failing claim of the sheet would hold for the steps as danced."""

from collections.abc import Iterator, Mapping
from math import gcd
from typing import Any

from attrs import evolve, frozen

from stepcheck.language.edits import ChangeClaim, ChangeLead, ChangeMusic, Edit
from stepcheck.language.syntax import CountsHead, Line, MusicRow, Row
from stepcheck.model.claims import FIXED, Check, Claim, Kind, Test
from stepcheck.model.dance import EIGHTHS, TICKS, Foot, Walls, Weight
from stepcheck.program.claims import Swap, turned
from stepcheck.search.slots import Sketch
from stepcheck.search.transitions import Dancers, Result, fits, mended, values


@frozen
class Restated:
    """The new value of a changed claim.

    `sort` is the subject of the claim (foot, facing, turn, clock, counts or walls). `value` is a foot (None for both
    feet), eighths, ticks, first and last tick of counts, or a number of walls, as the sheet would write it. `kind` is
    the kind of change.
    """

    sort: str
    value: Any
    kind: str

    def after(self, check: Check, dancers: Dancers, swap: Swap, front: int) -> Dancers | None:
        """Return dancers after a check with the new value; None if it fails for one of them."""
        test, value = check.test, self.value
        match self.sort:
            case "foot" if value is None:
                test = Test.BOTH
            case "foot":
                test = Test.LEAD if check.test is Test.LEAD else Test.FOOT
                value = int(Foot(value).other) if swap.feet else int(value)
            case "facing":
                value = turned(value, swap) % EIGHTHS
            case "turn":
                test, value = Test.TURN, turned(value, swap)
            case "counts":
                value = value[1] if check.value != self.value[2] else value[0]
        other = evolve(check, test=test, value=value)
        return mended(other, dancers, front) if fits(other, dancers, front) else None


class Restating:
    """The claims of one sheet that may be changed, with what each change costs.

    `kinds` has the kind of change by claim; `counts` the first and last tick of each heading of counts.
    """

    def __init__(
        self, prices: Mapping[str, int], kinds: Mapping[str, str], counts: Mapping[str, tuple[int, int]]
    ) -> None:
        self.prices, self.kinds, self.counts = prices, kinds, counts

    def others(
        self, check: Check, dancers: Dancers, swap: Swap, front: int, holds: bool
    ) -> Iterator[tuple[int, Restated]]:
        """Yield the values with which a claim would hold, at the first of its checks, each with its cost.

        A claim that holds there is left alone, but for a foot that leads off from both feet.
        """
        kind = self.kinds.get(check.claim.id)
        if kind is None or (holds and not (check.test is Test.LEAD and any(d[1] == Weight.BOTH for d in dancers))):
            return
        for sort, value in self._values(check, dancers, swap, front):
            yield self.prices[kind], Restated(sort, value, kind)

    def _values(self, check: Check, dancers: Dancers, swap: Swap, front: int) -> Iterator[tuple[str, Any]]:
        found = {*values(check.test.about, dancers, front)}
        if check.test is Test.LEAD:
            if check.value in found or found == {Weight.BOTH}:
                yield "foot", _foot(Foot(check.number).other, swap)
            return
        if len(found) != 1:
            return
        value = found.pop()
        match check.test.about:
            case "weight":
                yield "foot", None if value == Weight.BOTH else _foot(1 - value, swap)
            case "facing":
                yield "facing", turned(value, swap) % EIGHTHS
            case "clock":
                yield from self._clock(check, value)
            case _:
                yield "turn", turned(value, swap)  # with its side, even where the claim had none

    def _clock(self, check: Check, clock: int) -> Iterator[tuple[str, Any]]:
        if check.claim.kind is not Kind.COUNTS:
            if clock > 0:
                yield "clock", clock
            return
        first, last = self.counts[check.claim.id]
        if clock % TICKS == 0 and check.value == first:
            yield from (
                ("counts", (clock, end, first)) for end in dict.fromkeys((last, clock + last - first)) if end > clock
            )
        elif clock % TICKS == 0 and clock > first:
            yield "counts", (first, clock, first)

    def home(self, walls: Walls, facings: int, result: Result, budget: int) -> bool:
        """Say whether laps that turn so (a bit) bring dancers home after the claimed number of walls, or after another
        number that the budget allows to claim."""
        kind, laps = self.kinds.get(walls.claim.id), _laps(facings)
        return laps == walls.count or (laps > 0 and kind is not None and result.cost + self.prices[kind] <= budget)

    def walls(self, walls: Walls, turns: set[int], result: Result, budget: int) -> Iterator[Result]:
        """Yield a result if the laps come home after as many laps as the sheet claims, or as a changed claim would say.

        Args:
            walls: the claim.
            turns: for each assignment of readings the bits of the changes of facing of the laps.
            result: the dance up to its end.
            budget: what all changes may cost.
        """
        counts = {_laps(bits) for bits in turns}
        if counts == {walls.count}:
            yield result
        elif len(counts) == 1 and 0 not in counts and self.kinds.get(walls.claim.id):
            kind = self.kinds[walls.claim.id]
            cost = result.cost + self.prices[kind]
            if cost <= budget:
                pick = (walls.claim.id, Restated("walls", counts.pop(), kind))
                yield result._replace(cost=cost, picks=(*result.picks, pick))


def _laps(facings: int) -> int:
    """Return after how many laps dancers come home, from the bits of their changes of facing; 0 if these differ."""
    return EIGHTHS // gcd(facings.bit_length() - 1, EIGHTHS) if facings.bit_count() == 1 else 0


def _foot(foot: int, swap: Swap) -> Foot:
    """Return a foot as the sheet has it, from one as it is in a pass."""
    return Foot(foot).other if swap.feet else Foot(foot)


def claimed(sketch: Sketch, prices: Mapping[str, int], kept: frozenset[int]) -> Restating:
    """Return which claims of a routine may be changed, by what kind of change."""
    kinds, counts = {}, {}
    for claim in sketch.program.claims:
        line = sketch.lines[claim.line]
        kind = _kind(claim, line)
        if kind in prices and claim.line not in kept:
            kinds[claim.id] = kind
        if isinstance(line.node, CountsHead):
            counts[claim.id] = (line.node.first - 1) * TICKS, line.node.last * TICKS
    return Restating(prices, kinds, counts)


def _kind(claim: Claim, line: Line) -> str:
    """Return the kind of change that a claim takes; empty if it takes none."""
    match claim.kind:
        case Kind.LEAD if isinstance(line.node, Row | CountsHead):
            return "lead"
        case Kind.SECTION if isinstance(line.node, MusicRow):
            return "music"
        case Kind.ALTERNATIVES | Kind.TIME | Kind.SECTION:
            return ""
        case _ if claim.kind.value in FIXED:
            return ""
        case _:
            return "claim"


def edit_of(sketch: Sketch, claim: str, other: Restated) -> Edit:
    """Return a changed claim as an edit of the sheet."""
    line, at, role = sketch.places[claim]
    value = other.value
    if other.kind == "lead":
        node = sketch.lines[line].node
        options = node.options if isinstance(node, Row) else ()
        return ChangeLead(line, value, next((n for n, o in enumerate(options) if any(m.at == at for m in o.marks)), 0))
    if other.kind == "music":
        return ChangeMusic(line, value)
    if other.sort == "counts":
        value = value[0] // TICKS + 1, value[1] // TICKS
    return ChangeClaim(line, at, value, role)
