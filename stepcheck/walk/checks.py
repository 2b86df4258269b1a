"""What a check says of all the states that an effect leads to, and how they go on."""

from stepcheck.model.dance import EIGHTHS, Check, Test, Weight
from stepcheck.walk.effects import Algebra, Effect, Entry


def holds(effect: Effect, check: Check, front: int) -> tuple[bool, bool]:
    """Say whether a check holds for all the states of `effect`, and whether it does for some.

    Args:
        effect: what leads to the check from the start of its frame, with a clock that counts from its own start.
        check: the check; mirrored and swapped already where it must be.
        front: the facing at the start of the frame, in eighths.
    """
    where = check.test, check.value, front
    found = effect.held.get(where)
    if found is None:
        found = effect.held[where] = _holds(effect, check, front)
    return found


def _holds(effect: Effect, check: Check, front: int) -> tuple[bool, bool]:
    value = check.value
    ways = [(after, entry) for _, after, entry in effect.entries()]
    match check.test:
        case Test.LEAD:
            if value is None:
                return all(after is Weight.BOTH for after, _ in ways), True
            fits = [after != value for after, _ in ways]
        case Test.FOOT:
            fits = [after is not Weight.BOTH and after != value for after, _ in ways]
        case Test.BOTH:
            fits = [after is Weight.BOTH for after, _ in ways]
        case Test.FACING:
            bit = 1 << value
            return all(e.facings == bit for _, e in ways), any(e.facings & bit for _, e in ways)
        case Test.CLOCK:
            return all(e.low == e.high == value for _, e in ways), any(e.low <= value <= e.high for _, e in ways)
        case Test.TURN:
            return all(_turns(e, value, front) for _, e in ways), any(_may_turn(e, value, front) for _, e in ways)
        case Test.EITHER:
            return _either(ways, value, front)
    return all(fits), any(fits)


def _facing_bit(turn: int, front: int) -> int:
    """Return the bit of the facing after `turn` eighths."""
    return 1 << (front + turn) % EIGHTHS


def _turns(entry: Entry, turn: int, front: int) -> bool:
    """Say whether every state of the entry has this turn."""
    exact = not entry.exact or entry.turn_low == entry.turn_high == turn
    return exact and not entry.loose & ~_facing_bit(turn, front)


def _may_turn(entry: Entry, turn: int, front: int) -> bool:
    """Say whether some state of the entry may have this turn."""
    bit = _facing_bit(turn, front)
    return bool(entry.loose & bit or (entry.exact & bit and entry.turn_low <= turn <= entry.turn_high))


def _either(ways: list[tuple[Weight, Entry]], turn: int, front: int) -> tuple[bool, bool]:
    """Judge a turn that may go to either side, but the same way and as far in every state."""
    some = any(_may_turn(entry, side, front) for _, entry in ways for side in (turn, -turn))
    if any(entry.loose for _, entry in ways):
        facings = 0
        for _, entry in ways:
            facings |= entry.facings
        return facings in (_facing_bit(turn, front), _facing_bit(-turn, front)), some
    every = any(all(_turns(entry, side, front) for _, entry in ways) for side in (turn, -turn))
    return every, some


def go_on(algebra: Algebra, effect: Effect, check: Check, front: int, narrow: bool) -> Effect:
    """Return `effect` as it goes on after a check that does not hold for all its states.

    Args:
        narrow: keep only the states for which it holds (they wait on a blank); else mend every state.
    """
    value = check.value
    match check.test:
        case Test.LEAD | Test.FOOT if value is not None:
            if narrow:
                effect = _ending(
                    algebra, effect, lambda w: w != value and (check.test is Test.LEAD or w is not Weight.BOTH)
                )
            return algebra.moved(effect, Weight(1 - value))
        case Test.BOTH:
            return algebra.moved(
                _ending(algebra, effect, lambda w: w is Weight.BOTH) if narrow else effect, Weight.BOTH
            )
        case Test.FACING:
            return algebra.mapped(effect, lambda entry: _faced(entry, value, front, narrow))
        case Test.CLOCK:
            return algebra.mapped(
                effect,
                lambda e: None if narrow and not e.low <= value <= e.high else e._replace(low=value, high=value),
            )
        case Test.TURN | Test.EITHER:
            if narrow:
                sides = (value,) if check.test is Test.TURN else (value, -value)
                return algebra.mapped(effect, lambda entry: _kept(entry, sides, front))
            bit = _facing_bit(value, front)
            return algebra.mapped(effect, lambda e: Entry(bit, 0, e.low, e.high, value, value))
    return effect


def lead_off(algebra: Algebra, effect: Effect, check: Check) -> Effect:
    """Return `effect` after a LEAD check that holds: a weight on both feet goes to the foot that does not lead."""
    if check.value is None:
        return algebra.opened(_spread(algebra, effect))
    if all(after is not Weight.BOTH for after in effect.ends()):
        return effect
    return algebra.moved(effect, Weight(1 - check.value))


def _spread(algebra: Algebra, effect: Effect) -> Effect:
    """Return `effect` with the weight on either foot at its end."""
    return algebra.either(algebra.moved(effect, Weight.LEFT), algebra.moved(effect, Weight.RIGHT))


def _ending(algebra: Algebra, effect: Effect, keep) -> Effect:
    """Return only the ways of `effect` whose last weight is kept."""
    rows = [[e if e is not None and keep(w) else None for w, e in zip(Weight, row, strict=True)] for row in effect.rows]
    return algebra.effect(rows, effect.open)


def _faced(entry: Entry, facing: int, front: int, narrow: bool) -> Entry | None:
    """Return the entry with its facing set, or only its states that have it."""
    bit = 1 << facing
    if narrow and not entry.facings & bit:
        return None
    exact = entry.exact & bit
    loose = entry.loose & bit if narrow else bit if entry.loose or entry.exact & ~bit else 0
    if not exact:
        return Entry(0, loose or bit, entry.low, entry.high, 0, 0)
    low, high = _bounds(entry, (facing - front) % EIGHTHS)
    return Entry(exact, loose, entry.low, entry.high, low, high)


def _bounds(entry: Entry, residue: int) -> tuple[int, int]:
    """Return the bounds of the exact turns that leave `residue` modulo 8."""
    low = entry.turn_low + (residue - entry.turn_low) % EIGHTHS
    high = entry.turn_high - (entry.turn_high - residue) % EIGHTHS
    return low, high


def _kept(entry: Entry, sides: tuple[int, ...], front: int) -> Entry | None:
    """Return only the states of the entry whose turn is one of `sides`, now exact."""
    fitting = [side for side in sides if _may_turn(entry, side, front)]
    if not fitting:
        return None
    bits = 0
    for side in fitting:
        bits |= _facing_bit(side, front)
    return Entry(bits, 0, entry.low, entry.high, min(fitting), max(fitting))
