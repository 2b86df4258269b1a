"""Checks on effects: whether a check holds for every state of an effect, and the effect after it.

Facings and turns of an effect count from the start of its frame, which faced `front`, in eighths.
"""

from stepcheck.model.dance import EIGHTHS, Check, Test, Weight
from stepcheck.walk.effects import Algebra, Effect, Entry


def judged(algebra: Algebra, effect: Effect, check: Check, front: int) -> tuple[bool, bool, Effect]:
    """Return whether a check holds for all the states of `effect`, whether it does for some, and the effect after it,
    as if it had held for every state."""
    where = check.test, check.value, front
    found = effect.judged.get(where)
    if found is None:
        ways = [_holds(after, entry, check, front) for _, after, entry in effect.entries()]
        every, some = all(every for every, _ in ways), any(some for _, some in ways)
        found = effect.judged[where] = every, some, _taken(algebra, effect, check, front)
    return found


def _holds(weight: Weight, entry: Entry, check: Check, front: int) -> tuple[bool, bool]:
    """Say whether a check holds for all the states of one entry that ends with `weight`, and whether it does for
    some."""
    value = check.value
    match check.test:
        case Test.LEAD:
            return weight is Weight.BOTH if value is None else weight != value, value is None or weight != value
        case Test.FOOT:
            return (weight is not Weight.BOTH and weight != value,) * 2
        case Test.BOTH:
            return (weight is Weight.BOTH,) * 2
        case Test.FACING:
            bit = _bit(check.number - front)
            return entry.facings == bit, bool(entry.facings & bit)
        case Test.CLOCK:
            return entry.low == entry.high == value, entry.low <= check.number <= entry.high
        case Test.TURN:
            turn = check.number
            every = entry.turns in ((), (turn,)) and not entry.loose & ~_bit(turn)
            return every, bool(entry.loose & _bit(turn)) or _has(entry, turn)
        case Test.EITHER:
            turn = check.number
            if turn % 4:
                return False, False
            every = not entry.more and {*entry.turns} <= {turn, -turn} and not entry.loose & ~_bit(turn)
            return every, bool(entry.loose & _bit(turn)) or _has(entry, turn) or _has(entry, -turn)


def _bit(turn: int) -> int:
    """Return the bit of the change of facing that a turn makes."""
    return 1 << turn % EIGHTHS


def _has(entry: Entry, turn: int) -> bool:
    """Say whether an exact turn is, or may be, one of an entry."""
    if turn in entry.turns:
        return True
    return entry.more and turn in range(*_ends(entry, turn))


def _ends(entry: Entry, turn: int) -> tuple[int, int]:
    """Return the least and greatest turn that leave the same facing as `turn`; two equal ones if there is none."""
    alike = [one for one in entry.turns if (one - turn) % EIGHTHS == 0]
    return (alike[0], alike[-1]) if alike else (turn, turn)


def _taken(algebra: Algebra, effect: Effect, check: Check, front: int) -> Effect:
    match check.test:
        case Test.LEAD | Test.FOOT | Test.BOTH:
            if check.test is Test.LEAD and check.value is None:
                spread = algebra.either(algebra.moved(effect, Weight.LEFT), algebra.moved(effect, Weight.RIGHT))
                return algebra.opened(spread)
            weight = Weight.BOTH if check.test is Test.BOTH else Weight(1 - check.number)
            return effect if effect.ends() == (weight,) else algebra.moved(effect, weight)
        case Test.FACING:
            return algebra.mapped(effect, lambda entry: _facing(entry, check.number - front))
        case Test.CLOCK:
            return algebra.mapped(effect, lambda entry: entry._replace(low=check.number, high=check.number))
        case Test.TURN:
            return algebra.mapped(effect, lambda entry: Entry((check.number,), 0, entry.low, entry.high))
        case Test.EITHER:
            return algebra.mapped(effect, lambda entry: _either(entry, check.number))


def _facing(entry: Entry, turn: int) -> Entry:
    """Return an entry with every facing changed by `turn` since the start; those that were wrong are loose."""
    turns = tuple(one for one in entry.turns if (one - turn) % EIGHTHS == 0)
    wrong = entry.loose or len(turns) < len(entry.turns)
    return entry._replace(turns=turns, loose=_bit(turn) if wrong else 0, more=entry.more and len(turns) > 1)


def _either(entry: Entry, turn: int) -> Entry:
    """Return an entry turned by `turn` to one side or the other; what was wrong is turned to the right."""
    if turn % 4:
        return Entry((turn,), 0, entry.low, entry.high)
    right = {side for side in (turn, -turn) if _has(entry, side)}
    if entry.more or entry.loose & ~_bit(turn) or not {*entry.turns} <= right:
        right.add(turn)
    return Entry(tuple(sorted(right)), entry.loose & _bit(turn), entry.low, entry.high)
