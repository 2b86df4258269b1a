"""The times of a repeat, laid out."""

import random
from functools import partial

import pytest

from stepcheck.language.syntax import Times
from stepcheck.model.dance import Body, Pass, Repeat, Rest
from stepcheck.program.repeats import UNNAMED, Pattern, Tally, Turn, passes, pattern, spread


def lay(turn: Turn) -> tuple[Rest, ...]:
    """Return a rest as long as the number of the time, so that it can be told apart."""
    return (Rest(1, turn.time),)


def danced(body: Body) -> list[Rest]:
    """Return the rests of a body, one by one."""
    out: list[Rest] = []
    for item in body:
        assert isinstance(item, Rest | Repeat)
        out += danced(item.body) * (item.times or 0) if isinstance(item, Repeat) else [item]
    return out


def test_times_cover_named_every_and_last() -> None:
    """Something written for the 2nd and every 3rd and the last of 7 happens on 2, 3, 6 and 7."""
    times = Times((2,), 3, True)

    assert [2, 3, 6, 7] == [time for time in range(1, 8) if times.covers(time, time == 7)]


def test_the_last_time_may_end_without_a_number() -> None:
    """Where nobody knows how many there are, a time may be said to be the last."""
    assert Times(last=True).covers(5, Turn(5, None, ends=True).is_last)
    assert not Times(last=True).covers(5, Turn(5, None).is_last)


def test_a_pattern_says_which_times_may_differ() -> None:
    """The named times, the least common multiple of the rounds, and whether the last differs."""
    assert Pattern((1, 4), 6, True) == pattern((Times((1, 4)), Times(every=2), Times(every=3), Times(last=True)))
    assert pattern(()).plain


def test_times_that_are_alike_stay_a_repeat() -> None:
    """Nothing is unrolled where no time differs, so that a billion costs nothing."""
    assert (Repeat(1, 10**9, (Rest(1, 1),)),) == spread(1, 10**9, Pattern(), lay)


def test_equal_times_between_named_ones_are_repeats() -> None:
    """The last but one of a billion is as short as the 2nd: the times before it, it, and the rest."""
    early = spread(1, 10**9, Pattern((2,)), lay)
    late = spread(1, 10**9, Pattern((10**9 - 1,)), lay)

    assert (Rest(1, 1), Rest(1, 2), Repeat(1, 10**9 - 2, (Rest(1, 3),))) == early
    assert (Repeat(1, 10**9 - 2, (Rest(1, 1),)), Rest(1, 10**9 - 1), Rest(1, 10**9)) == late


@pytest.mark.parametrize("total", range(1, 12))
@pytest.mark.parametrize("own", [Pattern((3,)), Pattern((2, 7), 2), Pattern((), 3, True), Pattern((1, 4, 5), 2, True)])
def test_a_repeat_laid_out_is_each_of_its_times(own: Pattern, total: int) -> None:
    """Danced out, the times are those that are laid one by one: of one kind where they are laid as equal."""

    def kind(turn: Turn) -> tuple[Rest, ...]:
        named, round, last = own.kind(turn)
        return (Rest(named + 1, 10 * round + last),)

    assert [rest for time in range(1, total + 1) for rest in kind(Turn(time, total))] == danced(
        spread(1, total, own, kind)
    )


@pytest.mark.parametrize("seed", range(100))
def test_a_repeat_with_parts_is_each_of_its_times_too(seed: int) -> None:
    """Whatever passes of its parts differ, and wherever these begin and end, each time has the passes that it would
    have alone."""
    chance = random.Random(seed)

    def some() -> Pattern:
        named = tuple(sorted(chance.sample(range(1, 30), chance.choice((0, 0, 1, 2)))))
        return Pattern(named, chance.choice((1, 1, 2, 3)), chance.random() < 0.3)

    total, own, parts = chance.randint(1, 40), some(), {"a": some(), "b": some()}
    often = {part: chance.choice((0, 1, 2)) for part in parts}
    begun = {part: chance.choice((0, 0, 5)) for part in parts}
    totals = {part: begun[part] + often[part] * total for part in parts if chance.random() < 0.6}
    ending = {part: chance.randint(1, 60) for part in parts if chance.random() < 0.3}
    codes: dict[object, int] = {}

    def lay(tally: Tally, turn: Turn) -> tuple[Rest, ...]:
        passes = [pattern.kind(tally.next(part)) for part, pattern in parts.items() for _ in range(often[part])]
        return (Rest(1, codes.setdefault((own.kind(turn), *passes), len(codes))),)

    plain, tally = Tally(dict(begun), totals, ending), Tally(dict(begun), totals, ending)
    laid = spread(1, total, own, partial(lay, tally), parts, tally)

    assert [rest for time in range(1, total + 1) for rest in lay(plain, Turn(time, total))] == danced(laid)
    assert {part: count for part, count in plain.danced.items() if often[part]} == {
        part: count for part, count in tally.danced.items() if often[part]
    }


def test_parts_whose_passes_differ_break_a_repeat_where_they_do() -> None:
    """A part danced twice a time, whose 7th pass is named, breaks the 4th time and none after it."""
    tally = Tally()
    part = Pattern((7,))

    def passes(turn: Turn) -> tuple[Rest, ...]:
        kinds = [part.kind(tally.next("a"))[0] for _ in range(2)]
        return (Rest(1, sum(kinds)),)

    laid = spread(1, 100, Pattern(), passes, {"a": part}, tally)

    assert (Repeat(1, 3, (Rest(1, 0),)), Rest(1, 7), Repeat(1, 96, (Rest(1, 0),))) == laid
    assert {"a": 200} == tally.danced


def test_a_time_that_nothing_names_is_covered_by_nothing() -> None:
    """Neither by a number, nor by every so many, nor as the last."""
    assert not Times((1, 2), 2, True).covers(UNNAMED.time, UNNAMED.is_last)
    assert not Times((), 1).covers(UNNAMED.time, UNNAMED.is_last)


def test_rounds_and_the_last_time() -> None:
    """Every 2nd and the last of 9: rounds of two, one left, and the last apart."""
    laid = spread(1, 9, Pattern(period=2, last=True), lay)

    assert (Repeat(1, 4, (Rest(1, 1), Rest(1, 2))), Rest(1, 9)) == laid


def test_fewer_times_than_are_named() -> None:
    """A repeat of one with a second time named is danced once."""
    assert (Rest(1, 1),) == spread(1, 1, Pattern((2,)), lay)


def one(name: str, *body: object) -> Pass:
    """Return a pass of a part."""
    return Pass(1, name, 0, body)  # type: ignore[arg-type]


def test_the_passes_of_a_body_are_counted_by_part() -> None:
    """Those in passes and of each time of a repeat, too; of a blank number of times one."""
    inner = one("Inner", Rest(1, 12))
    body = (one("Outer", inner, inner), Repeat(1, 5, (inner, Repeat(1, 3, (inner,)))), Repeat(1, None, (inner,)))

    assert {"outer": 1, "inner": 2 + 5 + 15 + 1} == passes(body, {})
    assert {} == passes((Repeat(1, 2, (Rest(1, 12),)),), {})
