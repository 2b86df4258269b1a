"""What may come of a body once, from each of its starts: asked of z3 until it knows of nothing else.

It is a guess for the script: there z3 is asked again whether it is all.
"""

from collections.abc import Mapping
from typing import Any

from stepcheck.model.dance import EIGHTHS
from stepcheck.proof.prelude import Widths, prelude
from stepcheck.proof.solving import BudgetSpent, Session, Shared
from stepcheck.proof.ways import Body, End, Group, Start, grouped

MOST_WAYS = 1000
SEEN, PICKS, WEIGHT, FACING = "seen", "picked", "begun-on", "begun-facing"


def ends(shared: Shared, text: str, widths: Widths, body: Body, budget: int) -> tuple[Mapping[Start, set[End]], int]:
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
    """Return that what is seen belongs to a group."""
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
