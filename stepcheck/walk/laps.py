"""The claim about the number of walls: laps danced for their steps alone, from every weight that can begin one."""

from functools import reduce
from math import gcd
from operator import or_

from attrs import frozen

from stepcheck.model.dance import EIGHTHS, Walls, Weight
from stepcheck.model.outcome import Verdict
from stepcheck.walk.branches import Event, Start
from stepcheck.walk.frontier import Fronts


@frozen
class _Turning:
    """How laps from one weight turn: their changes of facing as bits, for the assignments `who` (bits).

    `open` says that a blank decides whether there is such a lap, or how it ends.
    """

    facings: int
    who: int
    open: bool


def walls(claim: Walls, begun: Weight, laps: tuple[Start, ...], fronts: Fronts) -> list[Event]:  # noqa: C901 - one worklist
    """Return the verdicts on a claim about walls, by assignments.

    Args:
        claim: the claim, with a whole pass for its steps alone.
        begun: the weight at the start of the dance.
        laps: the starts of the laps that the dance reaches.
        fronts: the walk over the dance; it is left as it was, but for its budget.
    """
    refuted: dict[str, int] = {}
    doubted: dict[str, int] = {}  # what may be refuted under each filling, each time by another dancer
    for event in fronts.events:
        if event.verdict is not Verdict.PROVED:
            noted = refuted if event.verdict is Verdict.REFUTED else doubted
            noted[event.claim] = noted.get(event.claim, 0) | event.who
    passes: list[_Turning] = []
    failing = waiting = 0
    reached = reduce(or_, (lap.who for lap in laps), 0)
    pending = [Start((begun,), False, fronts.words.every & ~reached)] if fronts.words.every & ~reached else []
    pending += sorted(laps, key=lambda lap: lap.open)
    sure, known = dict.fromkeys(Weight, 0), dict.fromkeys(Weight, 0)
    while pending:
        lap = pending.pop(next((number for number, one in enumerate(pending) if not one.open), 0))
        for weight in lap.weights:
            seen = known if lap.open else sure
            who = lap.who & ~seen[weight]
            if not who:
                continue
            known[weight] |= who
            sure[weight] |= 0 if lap.open else who
            met = fronts.passed(claim.body, (weight,), lap.open)
            for event in met.events:
                bits = event.who & who & ~refuted.get(event.claim, 0)
                if event.verdict is Verdict.REFUTED and not lap.open:
                    failing |= bits & ~doubted.get(event.claim, 0)
                    bits &= doubted.get(event.claim, 0)
                if event.verdict is not Verdict.PROVED:
                    waiting |= bits
            for effect, some in met.ends:
                if some & who:
                    is_open = lap.open or effect.open
                    passes.append(
                        _Turning(reduce(or_, (e.facings for _, _, e in effect.entries()), 0), some & who, is_open)
                    )
                    pending.append(Start(effect.ends(), is_open, some & who))
    every = fronts.words.every
    out = []
    for tried in (every & failing, every & waiting & ~failing, every & ~failing & ~waiting):
        for who, sure_turns, maybe in _parted(passes, tried):
            stands = _stands(claim.count, sure_turns, maybe, bool(who & failing), bool(who & waiting))
            out.append(Event(claim.claim.id, stands, who, id(claim)))
    return out


def _stands(count: int, facings: int, maybe: int, failing: bool, waiting: bool) -> Verdict:
    """Return the verdict where laps turn by `facings` (bits), and some that wait on a blank by `maybe` (bits)."""
    fitting = sum(1 << turn for turn in range(EIGHTHS) if EIGHTHS // gcd(turn, EIGHTHS) == count)
    if failing or facings.bit_count() > 1 or not fitting & (facings or maybe):
        return Verdict.REFUTED
    if waiting or (facings | maybe).bit_count() > 1:
        return Verdict.UNDECIDED
    return Verdict.PROVED


def _parted(passes: list[_Turning], every: int) -> list[tuple[int, int, int]]:
    """Return sets of assignments with one answer each: who, the changes of facing that are sure, and those that
    wait."""
    parts = {(0, 0): every} if every else {}
    for one in passes:
        split: dict[tuple[int, int], int] = {}
        for (sure, maybe), who in parts.items():
            more = (sure, maybe | one.facings) if one.open else (sure | one.facings, maybe)
            for where, piece in ((more, who & one.who), ((sure, maybe), who & ~one.who)):
                if piece:
                    split[where] = split.get(where, 0) | piece
        parts = split
    return [(who, sure, maybe) for (sure, maybe), who in parts.items()]
