"""What can be said of a body without dancing it: how far it can turn at most, what it compares."""

from functools import lru_cache

from stepcheck.model.dance import (
    EIGHTHS,
    Body,
    Check,
    Choice,
    Figure,
    Forever,
    Gap,
    Lap,
    Last,
    Pass,
    Repeat,
    Rest,
    Step,
    Test,
    Timed,
    Together,
)  # fmt: skip

MOST_ROUNDS = 48  # a longer repeat is unrolled only until it goes in circles
MOST_TIMES = 64  # a repeat without a number is danced from 1 to this many times


def extent(body: Body, known: dict[int, tuple[int, int]] | None = None) -> tuple[int, int]:
    """Return the largest turn to either side and the longest time that a body can reach or name.

    `known` has the bodies already looked at, by their `id`: a part is danced many times.
    """
    known = {} if known is None else known
    turn = ticks = 0
    for item in body:
        match item:
            case Step(figure=figure, turn=written):
                most, long = _reach(figure)
                sizes = (max(most, abs(written or 0)) + EIGHTHS, long)
            case Check(value=value):
                sizes = (abs(value or 0), abs(value or 0))
            case Together(checks=checks):
                sizes = extent(checks, known)
            case Rest() | Gap():
                sizes = (EIGHTHS, item.ticks)
            case Choice(options=options):
                found = [extent(option, known) for option in options]
                sizes = (sum(one[0] for one in found), sum(one[1] for one in found))
            case _:
                most = MOST_TIMES if isinstance(item, Forever) else 1
                times = (item.times or MOST_TIMES) if isinstance(item, Repeat) else most
                once = known.get(id(item.body))
                if once is None:
                    once = known[id(item.body)] = extent(item.body, known)
                sizes = (once[0] * times, once[1] * times)
        turn, ticks = turn + sizes[0], ticks + sizes[1]
    return turn, ticks


def unrolled(body: Body, known: dict[int, int] | None = None) -> int:
    """Return about how many items a body has when it is unrolled; `known` as in `extent`."""
    known = {} if known is None else known
    count = 0
    for item in body:
        match item:
            case Step() | Check() | Together() | Rest() | Gap():
                count += 1
            case Choice(options=options):
                count += sum(unrolled(option, known) for option in options)
            case _:
                if id(item.body) not in known:
                    known[id(item.body)] = unrolled(item.body, known)
                times = min(item.times or MOST_TIMES, MOST_ROUNDS) if isinstance(item, Repeat) else 1
                count += times * known[id(item.body)]
    return count


@lru_cache(maxsize=1 << 12)
def _reach(figure: Figure) -> tuple[int, int]:
    """Return how far any version of a figure turns at most, and how long it lasts."""
    return max(abs(version.turn) for version in figure.versions), max(version.length for version in figure.versions)


def compares(body: Body, *tests: Test) -> bool:
    """Whether a body makes one of `tests` in its own frame and by its own clock."""
    for item in body:
        match item:
            case Check(test=test):
                found = test in tests
            case Choice(options=options):
                found = any(compares(option, *tests) for option in options)
            case Timed():
                found = compares(item.body, *(test for test in tests if test is not Test.CLOCK))
            case Repeat() | Lap() | Forever() | Last():
                found = compares(item.body, *tests)
            case _:
                found = False
        if found:
            return True
    return False


def agrees(body: Body) -> bool:
    """Whether what comes to a point together matters in a body: a turn without a side, or a blank."""
    for item in body:
        match item:
            case Check(test=test, value=value):
                found = test is Test.EITHER or (test is Test.LEAD and value is None)
            case Step(blank=blank):
                found = blank
            case Choice(options=options):
                found = any(agrees(option) for option in options)
            case Rest():
                found = False
            case Gap() | Repeat(times=None):
                found = True
            case _:
                found = agrees(item.body)
        if found:
            return True
    return False


def leaning(body: Body) -> int:
    """Return about how far a body turns: a guess, on which nothing but speed hangs."""
    total = 0
    for item in body:
        match item:
            case Step(figure=figure, turn=turn):
                total += figure.versions[figure.usual].turn if turn is None else turn
            case Choice(options=options):
                total += leaning(options[0]) if options else 0
            case Pass() | Lap() | Timed() | Repeat():
                total += leaning(item.body) * ((item.times or 1) if isinstance(item, Repeat) else 1)
            case _:
                pass
    return total
