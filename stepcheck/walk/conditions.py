"""What each test asks: the meaning that the first engine gives to checks, in one table.

Whatever follows dancers without a solver takes it from here: fixes, notes, the floor.
"""

from functools import lru_cache

from stepcheck.model.claims import Check, Condition, Test
from stepcheck.model.dance import EIGHTHS, Weight
from stepcheck.walk.effects import WEIGHTS, Algebra, Effect, Entry, faced


@lru_cache(maxsize=1 << 12)
def condition(test: Test, value: int | None) -> Condition:
    """Return what a test asks with a value; a foot that is to be found is no condition yet."""
    if test is Test.BOTH:
        return Condition((Weight.BOTH,), Weight.BOTH)
    assert value is not None
    match test:
        case Test.LEAD:
            return Condition((Weight(1 - value), Weight.BOTH), Weight(1 - value), settles=True)
        case Test.FOOT:
            return Condition((Weight(1 - value),), Weight(1 - value))
        case Test.FACING | Test.CLOCK:
            return Condition((value,), value)
        case Test.TURN:
            return Condition((value,), value, settles=True)
        case Test.EITHER:
            return Condition((value, -value) if value % 4 == 0 else (), value)


def asked(check: Check) -> Condition:
    """Return what a check asks."""
    return condition(check.test, check.value)


def judged(algebra: Algebra, effect: Effect, check: Check, front: int) -> tuple[bool, bool, Effect]:
    """Return whether a check holds for all the states of `effect`, whether it does for some, and the effect after it,
    as if it had held for every state."""
    where = check.test, check.value, front
    found = effect.judged.get(where)
    if found is None and check.blank:
        spread = algebra.either(*(algebra.moved(effect, (end,) * 3) for end in (Weight.LEFT, Weight.RIGHT)))
        every = all(weight is Weight.BOTH for weight in effect.ends)
        found = effect.judged[where] = every, bool(effect.ends), algebra.opened(spread)
    elif found is None:
        about, goal = check.test.about, asked(check)
        ways = [_holds(after, entry, about, goal, front) for _, after, entry in effect.entries]
        every, some = all(every for every, _ in ways), any(some for _, some in ways)
        found = effect.judged[where] = every, some, _taken(algebra, effect, about, goal, front)
    return found


def _holds(weight: Weight, entry: Entry, about: str, goal: Condition, front: int) -> tuple[bool, bool]:
    """Say whether a condition holds for all the states of one entry that ends with `weight`, and whether it does for
    some."""
    holds = goal.holds
    match about:
        case "weight":
            return (weight in holds,) * 2
        case "facing":
            bits = faced(holds, front)
            return not entry.facings & ~bits, bool(entry.facings & bits)
        case "clock":
            some = [tick for tick in holds if entry.low <= tick <= entry.high]
            return len(some) == entry.high - entry.low + 1, bool(some)
    loose = faced(holds)
    every = not entry.more and {*entry.turns} <= {*holds} and not entry.loose & ~loose
    return every, bool(entry.loose & loose) or any(_has(entry, turn) for turn in holds)


def _has(entry: Entry, turn: int) -> bool:
    """Say whether an exact turn is one of an entry, or may be, between two that leave the same facing."""
    if turn in entry.turns or not entry.more:
        return turn in entry.turns
    alike = [one for one in entry.turns if (one - turn) % EIGHTHS == 0]
    return bool(alike) and alike[0] < turn < alike[-1]


def _taken(algebra: Algebra, effect: Effect, about: str, goal: Condition, front: int) -> Effect:
    match about:
        case "weight":
            to = tuple(map(goal.after, WEIGHTS))
            return effect if all(to[end] == end for end in effect.ends) else algebra.moved(effect, to)
        case "facing":
            return algebra.mapped(effect, lambda entry: _faced(entry, goal, front))
        case "clock":
            return algebra.mapped(effect, lambda entry: entry._replace(low=goal.then, high=goal.then))
    return algebra.mapped(effect, lambda entry: _turned(entry, goal))


def _faced(entry: Entry, goal: Condition, front: int) -> Entry:
    """Return an entry with every facing changed to one that is accepted; those that were wrong are loose."""
    bits = faced(goal.holds, front)
    turns = tuple(one for one in entry.turns if bits >> one % EIGHTHS & 1)
    loose = entry.loose & bits
    if entry.loose & ~bits or len(turns) < len(entry.turns):
        loose |= faced((goal.then,), front)
    return entry._replace(turns=turns, loose=loose, more=entry.more and len(turns) > 1)


def _turned(entry: Entry, goal: Condition) -> Entry:
    """Return an entry with every turn changed to one that is accepted; those that were wrong are exact."""
    loose = 0 if goal.settles else entry.loose & faced(goal.holds)
    turns = {turn for turn in goal.holds if _has(entry, turn)}
    if entry.loose & ~loose or not {*entry.turns} <= turns:
        turns.add(goal.then)
    return Entry(tuple(sorted(turns)), loose, entry.low, entry.high)
